//! Sizes in modules of a decimetre, as offices in northern Europe write them: `9x21`, `12x12`, `10x21(M)`, `9-21`, `12M12`.
//!
//! ```text
//!   "9x21" and "10x21" on the sheet ──►  "12x12" is a window of 12 by 12 dm; elsewhere it is a post, a tile or timber
//! ```
//!
//! An M says that a number is a module; without one, two doors on the sheet must be written so. A frame is up to 15 mm less than its
//! module. Source: common practice there, no source.

use super::sizes::{Reading, Size};
use crate::drawing::Text;

/// Doors are so high, decimetres.
const DOORS: [u8; 3] = [20, 21, 23];
/// Openings are at least and at most so wide and so high, decimetres.
const WIDE: std::ops::RangeInclusive<u8> = 3..=30;
/// So many doors say that sizes are modules.
const DOORS_ON_SHEET: usize = 2;
/// A frame is less than its module by up to this, inches.
const JOINT: f64 = 1.5 / 2.54;

/// True for a drawing on which doors are written so.
pub(super) fn are_used(texts: &[&Text]) -> bool {
    let is_door = |it: &&&Text| {
        parted(it.content.trim())
            .is_some_and(|it| DOORS.contains(&it.1) && (5..=24).contains(&it.0))
    };
    texts.iter().filter(is_door).count() >= DOORS_ON_SHEET
}

/// The size that a text is where sizes are modules, or where an M says that it is one.
pub(super) fn size(text: &str, are_used: bool) -> Option<Size> {
    let (wide, high, is_module) = parted(text.trim())?;
    let is_size = WIDE.contains(&wide) && WIDE.contains(&high) && (is_module || are_used);
    let reading = Reading {
        width: f64::from(wide) / 0.254,
        height: Some(f64::from(high) / 0.254),
        rounding: JOINT,
    };
    is_size.then(|| Size {
        readings: vec![reading],
        ..Size::default()
    })
}

/// Two whole numbers of at most two digits with a cross, a dash or an M between them; and whether there is an M.
fn parted(text: &str) -> Option<(u8, u8, bool)> {
    let text = text.to_uppercase().replace('×', "X").replace("(M)", "M");
    let (left, right) = text.split_once(['X', '-', 'M'])?;
    let is_between = text.as_bytes().get(left.len()) == Some(&b'M');
    let (right, is_behind) = match right.strip_suffix('M') {
        Some(number) => (number, true),
        None => (right, false),
    };
    let number = |it: &str| {
        let it = it.trim();
        let is_short = it.len() <= 2 && it.bytes().all(|b| b.is_ascii_digit());
        it.parse::<u8>().ok().filter(|_| is_short)
    };
    Some((number(left)?, number(right)?, is_between || is_behind))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(content: &str) -> Text {
        Text {
            content: content.to_owned(),
            at: (0.0, 0.0).into(),
            middle: (0.0, 0.0).into(),
            height: 6.0,
            angle: 0.0,
            tag: None,
            is_underlined: false,
            placement: None,
            source: crate::drawing::SourceIndex(0),
        }
    }

    #[test]
    fn modules_are_sizes_where_doors_are_written_so() {
        let read = |text: &str, are_used: bool| {
            let one = size(text, are_used)?.readings[0];
            let tenths = |it: f64| (it * 0.254).round();
            Some([tenths(one.width), tenths(one.height?)])
        };
        assert_eq!(read("12x12", true), Some([12.0, 12.0]));
        assert_eq!(read("9-21", true), Some([9.0, 21.0]));
        for text in ["10x21(M)", "10 x 21 M", "10M21"] {
            assert_eq!(read(text, false), Some([10.0, 21.0]), "{text}");
        }
        for text in ["12x12", "9-21", "2x6", "12", "12x12x5", "1M", "120x210"] {
            assert_eq!(read(text, false), None, "{text}");
        }
        let texts = ["9x21", "10x21", "12x12"].map(text);
        let all: Vec<&Text> = texts.iter().collect();
        assert!(are_used(&all) && !are_used(&all[1..]));
    }
}
