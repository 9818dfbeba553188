//! The scale that is written on a sheet: `SCALE: 1/4" = 1'-0"`, `M 1:50`.

/// `1:50` or `1/4" = 1'-0"` as a fraction.
#[must_use]
pub fn scale_note(text: &str) -> Option<f64> {
    let text: String = text.chars().filter(|it| !it.is_whitespace()).collect();
    if let Some((paper, _)) = text.split_once("\"=1'") {
        let number = |it: &str| it.parse::<f64>().ok();
        let digits: String = (paper.chars().rev())
            .take_while(|it| it.is_ascii_digit() || "./".contains(*it))
            .collect();
        let digits: String = digits.chars().rev().collect();
        let inches = match digits.split_once('/') {
            Some((top, bottom)) => number(top)? / number(bottom)?,
            None => number(&digits)?,
        };
        return (inches > 0.0).then_some(inches / 12.0);
    }
    let (before, after) = text.split_once(':')?;
    let to: String = after.chars().take_while(char::is_ascii_digit).collect();
    let is_one = before.ends_with('1') && !before.ends_with("11");
    let to: f64 = to.parse().ok()?;
    (is_one && to >= 1.0).then_some(1.0 / to)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scale_notes_are_read_as_fractions() {
        assert_eq!(scale_note("SCALE: 1/4\" = 1'-0\""), Some(1.0 / 48.0));
        assert_eq!(scale_note("3\" = 1'-0\""), Some(0.25));
        assert_eq!(scale_note("M 1:50"), Some(0.02));
        assert_eq!(scale_note("NOTE 11:30"), None);
        assert_eq!(scale_note("FIRST FLOOR PLAN"), None);
    }
}
