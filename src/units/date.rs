//! Dates as people hand them in.

/// True for `YYYY-MM-DD` with a month and a day that there are, leap years counted.
///
/// ```
/// use panelwright::units::is_date;
/// assert!(is_date("2024-02-29"));
/// assert!(!is_date("2026-02-29") && !is_date("2026-04-31") && !is_date("soon"));
/// ```
#[must_use]
pub fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [y, m, d] = parts.as_slice() else {
        return false;
    };
    let number = |part: &str, digits: usize| {
        let is_so = part.len() == digits && part.bytes().all(|it| it.is_ascii_digit());
        is_so.then(|| part.parse::<u32>().ok()).flatten()
    };
    let (Some(y), Some(m), Some(d)) = (number(y, 4), number(m, 2), number(d, 2)) else {
        return false;
    };
    let is_leap = y % 4 == 0 && (y % 100 != 0 || y % 400 == 0);
    let last = match m {
        2 if is_leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => return false,
    };
    (1900..=2999).contains(&y) && (1..=last).contains(&d)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_one_of_the_calendar() {
        // The Gregorian calendar: every fourth year is a leap year, of the hundreds every fourth.
        for day in ["2000-02-29", "2024-02-29", "2026-12-31", "2026-04-30"] {
            assert!(is_date(day), "{day}");
        }
        for none in [
            "2026-02-29",
            "2100-02-29",
            "2026-02-30",
            "2026-04-31",
            "2026-13-01",
            "2026-00-10",
            "2026-01-00",
            "2026-1-01",
            "+026-01-01",
            "1850-01-01",
            "2026-01",
            "",
        ] {
            assert!(!is_date(none), "{none}");
        }
    }
}
