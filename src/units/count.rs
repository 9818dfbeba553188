//! Counts in words.

/// `1 panel`, `2 panels`, `0 panels`: a noun with its count.
///
/// ```
/// use panelwright::units::counted;
/// assert_eq!([counted(1, "tie-down"), counted(12, "tie-down")], ["1 tie-down", "12 tie-downs"]);
/// ```
#[must_use]
pub fn counted(n: usize, noun: &str) -> String {
    match n {
        1 => format!("1 {noun}"),
        _ => format!("{n} {noun}s"),
    }
}
