//! Courtyards: rooms inside the building that are named as open to the sky. Their walls are exterior.
//!
//! ```text
//!   ┏━━━━━━━━━━━━━┓
//!   ┃  ┏━━━━━━━┓  ┃      the ring round the court is walked the other way: its outside is the court
//!   ┃  ┃ COURT ┃  ┃
//!   ┃  ┗━━━━━━━┛  ┃
//!   ┗━━━━━━━━━━━━━┛
//! ```

use super::assemble::{Part, Traced};
use super::faces::Ring;
use super::outline::{contains, doubled_area, polygon, stretches};
use super::{Storey, codes};
use crate::drawing::Text;
use crate::findings::{Finding, Place as Where};

/// Words for a place under the sky, in nine languages; common practice, no source.
const WORDS: [&str; 16] = [
    "COURTYARD",
    "PATIO",
    "ATRIUM",
    "LIGHT WELL",
    "OPEN TO SKY",
    "INNENHOF",
    "LICHTHOF",
    "HOF",
    "COUR",
    "CORTILE",
    "SISÄPIHA",
    "PIHA",
    "ДВОР",
    "庭院",
    "中庭",
    "天井",
];

/// True when a name says that a place is open to the sky.
pub(super) fn is_open(name: &str) -> bool {
    let upper = name.to_uppercase();
    let words: Vec<&str> = upper.split(|c: char| !c.is_alphanumeric()).collect();
    WORDS.iter().any(|word| {
        if word.chars().count() > 4 || !word.is_ascii() {
            upper.contains(word)
        } else {
            words.contains(word)
        }
    })
}

/// Rings of rooms that are courtyards: named so, and nowhere at the building's edge.
pub(super) fn courts<'a>(it: &Traced<'_>, rooms: &[&'a Ring], outside: &[Part]) -> Vec<&'a Ring> {
    let texts = it.drawing.texts.iter();
    let texts: Vec<&Text> = texts.filter(|text| is_open(&text.content)).collect();
    if texts.is_empty() {
        return Vec::new();
    }
    let named = |ring: &&&Ring| {
        let outline = polygon(it.runs, &stretches(it.network, &ring.sides), 1.0);
        doubled_area(&outline) > 0.0
            && texts
                .iter()
                .any(|text| contains(&outline, text.middle - it.lines.origin))
    };
    let is_inner = |ring: &&&Ring| {
        !stretches(it.network, &ring.sides).iter().any(|own| {
            let (low, high) = (own.from.min(own.to), own.from.max(own.to));
            outside.iter().any(|part| {
                let (from, to) = (part.from.min(part.to), part.from.max(part.to));
                part.run == own.run && high.min(to) - low.max(from) > 1.0
            })
        })
    };
    rooms
        .iter()
        .filter(named)
        .filter(is_inner)
        .copied()
        .collect()
}

/// The walls round a courtyard, their outside on the right.
pub(super) fn parts(it: &Traced<'_>, ring: &Ring) -> Vec<Part> {
    let walk = stretches(it.network, &ring.sides);
    let parts = walk.iter().rev().map(|own| Part {
        run: own.run,
        from: own.to,
        to: own.from,
        is_exterior: true,
    });
    parts.collect()
}

/// A fault for each courtyard: its walls are known, and no panels are made for them yet.
pub(super) fn note(
    it: &Traced<'_>,
    courts: &[&Ring],
    storey: &Storey,
    findings: &mut Vec<Finding>,
) {
    for ring in courts {
        let outline = polygon(it.runs, &stretches(it.network, &ring.sides), 1.0);
        let area = doubled_area(&outline) / 288.0;
        let Some(at) = outline.first().map(|p| *p + it.lines.origin) else {
            continue;
        };
        findings.push(Finding::fault(
            codes::COURTYARD,
            Where {
                storey: Some(storey.id.clone()),
                ..Where::default()
            }
            .with_at(at.x, at.y),
            format!("{area:.0} sq ft inside the building are a courtyard by its name: its walls are exterior, and no panels are made for them"),
            "if it is not open to the sky, give it another name in the drawing; else have these walls framed on site, or draw them as a building of their own",
        ));
    }
}
