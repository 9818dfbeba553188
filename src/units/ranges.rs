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
    let mut runs: Vec<Vec<&str>> = Vec::new();
    for name in names.iter().map(AsRef::as_ref) {
        match runs.last_mut() {
            Some(run) if run.last().is_some_and(|before| follows(before, name)) => run.push(name),
            _ => runs.push(vec![name]),
        }
    }
    let told = runs.iter().map(|run| match run.as_slice() {
        [first, _, .., last] => format!("{first}–{last}"),
        few => few.join(", "),
    });
    told.collect::<Vec<_>>().join(", ")
}

/// True when a name is the other's next: the same letters, as many digits, one more.
fn follows(before: &str, name: &str) -> bool {
    let parts = |name: &str| {
        let stem = name.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        let digits = name.get(stem..)?;
        Some((stem, digits.len(), digits.parse::<u64>().ok()?))
    };
    parts(before)
        .zip(parts(name))
        .is_some_and(|(a, b)| before.get(..a.0) == name.get(..b.0) && a.1 == b.1 && a.2 + 1 == b.2)
}
