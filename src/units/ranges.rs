//! Names that follow each other, by the first and the last.

/// `W101–W119, W121`: three or more names that count on by one are told by the first and the last.
///
/// ```
/// use panelwright::units::ranges;
/// assert_eq!(ranges(&["W101", "W102", "W103", "W105", "W106"]), "W101–W103, W105, W106");
/// assert_eq!(ranges(&["W199", "W200", "W201-A", "W201-B"]), "W199, W200, W201-A, W201-B");
/// ```
#[must_use]
pub fn ranges<S: AsRef<str>>(names: &[S]) -> String {
    let told = runs(names).map(|run| match run {
        [first, _, .., last] => format!("{}–{}", first.as_ref(), last.as_ref()),
        few => {
            let few: Vec<&str> = few.iter().map(AsRef::as_ref).collect();
            few.join(", ")
        }
    });
    told.collect::<Vec<_>>().join(", ")
}

/// Names in runs in which each counts on by one from the one before: `H99`, `H100`.
pub fn runs<S: AsRef<str>>(names: &[S]) -> impl Iterator<Item = &[S]> {
    names.chunk_by(|before, name| follows(before.as_ref(), name.as_ref()))
}

/// True when a name is the other's next: the same letters, one more.
fn follows(before: &str, name: &str) -> bool {
    let parts = |name: &str| {
        let stem = name.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        let (letters, digits) = name.split_at_checked(stem)?;
        Some((letters.to_owned(), digits.parse::<u64>().ok()?))
    };
    let pair = parts(before).zip(parts(name));
    pair.is_some_and(|(a, b)| a.0 == b.0 && a.1 + 1 == b.1)
}
