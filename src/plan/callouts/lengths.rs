//! One side of a size, in each of the ways in which it is written; inches.

/// `2'-6"`, `2'6 1/2"`, `30"`.
pub(super) fn feet_and_inches(text: &str) -> Option<f64> {
    if !text.contains(['\'', '"']) {
        return None;
    }
    // All spellings of feet, inches and fractions; two quotes mean inches too.
    let text = text.replace("''", "\"");
    Some(crate::units::parse_length(&text).ok()?.to_inches())
}

/// `2-6`, `3/0`, `3°-0°`, `3⁰`: feet, then inches without marks.
pub(super) fn parted_feet(text: &str) -> Option<f64> {
    let text = text.replace('°', "-").replace("--", "-");
    let text = text.trim_end_matches('-');
    let (feet, inches) = match text.split_once(['-', '/']) {
        Some((feet, inches)) => (feet.trim().to_owned(), inches.trim().to_owned()),
        None => raised(text)?,
    };
    let is_short = |it: &str| (1..=2).contains(&it.len()) && it.bytes().all(|b| b.is_ascii_digit());
    if !is_short(&feet) || !is_short(&inches) {
        return None;
    }
    let inches: f64 = inches.parse().ok()?;
    (inches < 12.0).then_some(feet.parse::<f64>().ok()? * 12.0 + inches)
}

/// `6⁸` and `88⁵`: digits, then small ones above them.
fn raised(text: &str) -> Option<(String, String)> {
    let text = text.trim();
    let at = text.find(|c: char| small_digit(c).is_some())?;
    let small: Option<String> = text[at..].chars().map(small_digit).collect();
    Some((text[..at].to_owned(), small?))
}

fn small_digit(c: char) -> Option<char> {
    let value = match c {
        '⁰' => 0,
        '¹' => 1,
        '²' => 2,
        '³' => 3,
        '⁴'..='⁹' => u32::from(c) - u32::from('⁰'),
        _ => return None,
    };
    char::from_digit(value, 10)
}

/// True where two lengths with a stroke in them are fractions of an inch, in lowest terms: `1/2`, `3/4`, and no feet and inches.
pub(super) fn is_fraction(text: &str) -> bool {
    let Some((over, under)) = text.trim().split_once('/') else {
        return false;
    };
    matches!(
        (over.parse::<u32>(), under.parse::<u32>()),
        (Ok(over), Ok(under)) if over % 2 == 1 && over < under && under.is_power_of_two()
    )
}

/// Centimetres of openings: `90`, `88,5`, `88⁵`, and `88 5` as a raised half leaves it.
pub(super) fn centimetres(text: &str) -> Option<f64> {
    let text = text.trim_end_matches("CM").trim();
    let parted = raised(text);
    let half = || {
        let (whole, half) = text.split_once(' ')?;
        (half.trim() == "5").then(|| (whole.to_owned(), "5".to_owned()))
    };
    let text = match parted.or_else(half) {
        Some((whole, tenths)) => format!("{whole}.{tenths}"),
        None => text.replace(',', "."),
    };
    if !is_plain(&text) || text.split_once('.').is_some_and(|(_, tail)| tail.len() > 1) {
        return None;
    }
    let cm: f64 = text.parse().ok()?;
    (50.0..=300.0).contains(&cm).then_some(cm / 2.54)
}

/// Metres with their decimals: `0.90`, `2,10`, `2.13⁵`.
pub(super) fn metres(text: &str) -> Option<f64> {
    let text = text.trim_end_matches('M').trim().replace(',', ".");
    let text = match raised(&text) {
        Some((whole, more)) => whole + &more,
        None => text,
    };
    let m: f64 = text
        .parse()
        .ok()
        .filter(|_| is_plain(&text) && text.contains('.'))?;
    (0.4..=3.0).contains(&m).then_some(m / 0.0254)
}

/// Whole millimetres: `900`, `2100 mm`.
pub(super) fn millimetres(text: &str) -> Option<f64> {
    let text = text.trim_end_matches("MM").trim();
    let mm: f64 = text.parse().ok().filter(|_| is_plain(text))?;
    (mm >= 250.0).then_some(mm / 25.4)
}

/// Decimetres of a door: `9` by `21`. Source: modules of leaves in northern Europe, common practice, no source.
pub(super) fn decimetres((w, h): (&str, &str)) -> Option<(f64, f64)> {
    let both = (w.parse::<f64>().ok()?, h.parse::<f64>().ok()?);
    let is_door = is_plain(w) && (5.0..=24.0).contains(&both.0) && ["20", "21", "23"].contains(&h);
    is_door.then_some((both.0 / 0.254, both.1 / 0.254))
}

/// `36`, in a pair that is no size of timber or of a room.
pub(super) fn inches(text: &str) -> Option<f64> {
    let text = text.trim();
    let inches: f64 = text.parse().ok().filter(|_| is_plain(text))?;
    (18.0..=120.0).contains(&inches).then_some(inches)
}

/// `30`: 3'-0".
pub(super) fn two_digits(text: &str) -> Option<f64> {
    match text.trim().as_bytes() {
        [a @ b'1'..=b'9', b @ b'0'..=b'9'] => {
            Some(f64::from(a - b'0') * 12.0 + f64::from(b - b'0'))
        }
        _ => None,
    }
}

fn is_plain(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
        && text.chars().all(|c| c.is_ascii_digit() || c == '.')
}
