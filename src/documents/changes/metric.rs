//! Lengths of the program's sentences as whoever draws in millimetres reads them.

/// Every length in feet and inches with the millimetres of it behind: whoever draws in metres need not reckon.
pub(super) fn with_millimetres(words: &str) -> String {
    let mut told = String::new();
    let mut rest = words;
    while let Some(at) = rest.find('"') {
        let (before, after) = rest.split_at(at + 1);
        told.push_str(before);
        if let Some(inches) = inches_at_end(&before[..at]) {
            told.push_str(&format!(" ({:.0} mm)", inches * 25.4));
        }
        rest = after;
    }
    told.push_str(rest);
    told
}

/// Measures read off the drawing, in inches and tenths, in millimetres: `31.0 in`, `3.9 by 13.3 in`.
pub(super) fn in_millimetres(words: &str) -> String {
    let tokens: Vec<&str> = words.split(' ').collect();
    let tenths = |token: &str| -> Option<f64> {
        let (whole, part) = token.split_once('.')?;
        let is_number = |it: &str| !it.is_empty() && it.bytes().all(|b| b.is_ascii_digit());
        (is_number(whole) && is_number(part)).then(|| token.parse().ok())?
    };
    let is_unit = |token: &str| token.trim_end_matches(|c: char| ".,:;)".contains(c)) == "in";
    let is_measure = |at: usize| {
        let rest = tokens.get(at + 1..).unwrap_or_default();
        match rest {
            [unit, ..] if is_unit(unit) => true,
            ["by", other, unit, ..] => tenths(other).is_some() && is_unit(unit),
            _ => false,
        }
    };
    let told = tokens.iter().enumerate().map(|(at, token)| {
        let before = at.checked_sub(1).and_then(|before| tokens.get(before));
        match tenths(token) {
            Some(inches) if is_measure(at) => format!("{:.0}", inches * 25.4),
            None if is_unit(token) && before.is_some_and(|it| tenths(it).is_some()) => {
                token.replacen("in", "mm", 1)
            }
            _ => (*token).to_owned(),
        }
    });
    told.collect::<Vec<String>>().join(" ")
}

/// Without the coordinates of our reading: a diamond stands at the place.
pub(super) fn without_coordinates(words: &str) -> String {
    let is_pair = |inside: &str| {
        let parts = inside.split(", ").map(str::parse::<f64>);
        inside.contains(", ") && parts.into_iter().all(|it| it.is_ok())
    };
    let mut told = String::new();
    let mut rest = words;
    while let Some((before, after)) = rest.split_once(" (") {
        let Some((inside, tail)) = after.split_once(')') else {
            break;
        };
        if is_pair(inside) {
            let lead = [" from", " to", " at"];
            let lead = lead.iter().find_map(|it| before.strip_suffix(it));
            told.push_str(lead.unwrap_or(before));
        } else {
            told.push_str(&rest[..rest.len() - tail.len()]);
        }
        rest = tail;
    }
    told.push_str(rest);
    told
}

/// The length that a text ends with, its last inch sign taken off: `82`, `48 1/2`, `8'-0`; `None` when it ends with none.
fn inches_at_end(words: &str) -> Option<f64> {
    let mut tokens = words.rsplit(' ');
    // A length between the marks of a tape.
    let last = tokens.next()?.trim_start_matches('~');
    let (feet, last) = match last.split_once("'-") {
        Some((feet, inches)) => (feet.parse::<u32>().ok()?, inches),
        None => (0, last),
    };
    let inches = match last.split_once('/') {
        None => f64::from(last.parse::<u32>().ok()?),
        Some((part, whole)) => {
            let (part, whole) = (part.parse::<u32>().ok()?, whole.parse::<u32>().ok()?);
            let before = tokens.next().unwrap_or_default().trim_start_matches('~');
            let (feet, inches) = before.split_once("'-").unwrap_or(("0", before));
            let feet: u32 = feet.parse().unwrap_or(0);
            let inches: u32 = inches.parse().unwrap_or(0);
            f64::from(feet * 12 + inches) + f64::from(part) / f64::from(whole.max(1))
        }
    };
    Some(f64::from(feet) * 12.0 + inches)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 25.4 mm to the inch, exactly (1959).
    #[test]
    fn lengths_carry_their_millimetres() {
        let check = |words: &str, expected: &str| assert_eq!(with_millimetres(words), expected);
        check("head 82\" above", "head 82\" (2083 mm) above");
        check("O7 takes 48 1/2\".", "O7 takes 48 1/2\" (1232 mm).");
        check("X1 takes 8'-0\" here", "X1 takes 8'-0\" (2438 mm) here");
        check("8'-4 1/2\"", "8'-4 1/2\" (2553 mm)");
        check("by ~1/2\" thicker", "by ~1/2\" (13 mm) thicker");
        check("called \"store\" here", "called \"store\" here");
    }

    #[test]
    fn what_is_measured_on_a_metric_plan_is_told_in_millimetres_and_without_our_coordinates() {
        let seen = "The outside walls do not close: a gap of 31.0 in from (324.4, 629.9) to (324.4, -660.9); a piece of 3.9 by 13.3 in stands free (a shelf, a sofa).";
        assert_eq!(
            in_millimetres(&without_coordinates(seen)),
            "The outside walls do not close: a gap of 787 mm; a piece of 99 by 338 mm stands free (a shelf, a sofa)."
        );
        let check = |words: &str| assert_eq!(in_millimetres(&without_coordinates(words)), words);
        check("O4 in X1 is 8 in all, version 1.5, in 2 parts");
        check("open (here");
    }
}
