//! Dates as people hand them in.

/// True for `YYYY-MM-DD` with a month and a day that there are.
#[must_use]
pub fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let number = |part: &str, low: u32, high: u32| {
        part.parse().is_ok_and(|n: u32| (low..=high).contains(&n))
    };
    matches!(parts.as_slice(), [y, m, d] if y.len() == 4 && m.len() == 2 && d.len() == 2
        && number(y, 1900, 2999) && number(m, 1, 12) && number(d, 1, 31))
}
