//! Codes of doors and windows that are their sizes in decimetres: `M0921`, `C1215`, `FM1021a`.
//!
//! A door's letters end with M, a window's with C; two digits of width, two of height. Makers of other countries have such codes that
//! are no sizes: they count only on a drawing with Chinese words. Source: common practice there, no source.

use super::sizes::{Reading, Size};
use crate::drawing::Text;
use crate::plan::OpeningKind;

/// Letters before the digits: doors and windows of kinds.
const MOST_LETTERS: usize = 4;
/// Openings are at least and at most so wide, decimetres.
const WIDE: (f64, f64) = (5.0, 60.0);
/// And so high.
const HIGH: (f64, f64) = (4.0, 33.0);

/// True for a drawing with Chinese words.
pub(super) fn are_used(texts: &[&Text]) -> bool {
    let is_chinese = |c: char| ('\u{4e00}'..='\u{9fff}').contains(&c);
    texts.iter().any(|it| it.content.contains(is_chinese))
}

/// The size that a code is; `None` for another text.
pub(super) fn size(text: &str) -> Option<Size> {
    let start = text.find(|c: char| c.is_ascii_digit())?;
    let (letters, rest) = text.split_at(start);
    let (digits, more) = rest.split_at_checked(4)?;
    let is_code = (1..=MOST_LETTERS).contains(&letters.len())
        && letters.bytes().all(|b| b.is_ascii_uppercase())
        && digits.bytes().all(|b| b.is_ascii_digit())
        && (more.is_empty() || more.len() == 1 && more.bytes().all(|b| b.is_ascii_lowercase()));
    let kind = match letters.chars().last()? {
        'M' => OpeningKind::Door,
        'C' => OpeningKind::Window,
        _ => return None,
    };
    let length = |digits: &str, (least, most): (f64, f64)| {
        let tenths: f64 = digits.parse().ok()?;
        (least..=most).contains(&tenths).then_some(tenths / 0.254)
    };
    let reading = Reading {
        width: length(&digits[..2], WIDE)?,
        height: Some(length(&digits[2..], HIGH)?),
        rounding: 0.0,
    };
    is_code.then(|| Size {
        readings: vec![reading],
        kind: Some(kind),
        ..Size::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_sizes_in_decimetres_and_other_codes_are_none() {
        let read = |text: &str| {
            let size = size(text)?;
            let one = size.readings[0];
            let millimetres = |inches: f64| (inches * 25.4).round();
            Some((
                millimetres(one.width),
                one.height.map(millimetres),
                size.kind,
            ))
        };
        let (door, window) = (Some(OpeningKind::Door), Some(OpeningKind::Window));
        assert_eq!(read("M0921"), Some((900.0, Some(2100.0), door)));
        assert_eq!(read("FM1021a"), Some((1000.0, Some(2100.0), door)));
        assert_eq!(read("C1215"), Some((1200.0, Some(1500.0), window)));
        assert_eq!(read("TLM2424"), Some((2400.0, Some(2400.0), door)));
        for text in [
            "A1215", "C24", "M09211", "C1215AB", "CW145", "C0315", "M0999", "1215", "C",
        ] {
            assert_eq!(read(text), None, "{text}");
        }
    }
}
