//! Sizes written beside openings: `3068`, `2'-6" x 6'-8"`, `16070 O.H. DOOR`, `914`, `900 x 2100`, `101/126 BRH 90`.
//!
//! ```text
//!   "3068"  ──► 3'-0" wide, 6'-8" high, or 3068 mm wide: the opening beside it says which
//!   88  ┐
//!   213 ┴──► 88/213: a size in two parts, one under the other
//! ```
//!
//! Four digits are feet and inches of width, then of height; five begin with two digits of feet, or of inches: `21068` is 21'-0" or
//! 2'-10" wide, and the opening beside it says which. `PR 2668` is a pair: one leaf or both may fill the opening. `90/210` and
//! `0,90 x 2,10` are centimetres and metres, `88⁵/2,13⁵` both; `120x100/110` has its sill behind it; `36 X 80` is inches, or 3'-6" by 8'-0". `R.O.` says that it is the rough opening.
//! Source: trade notation (house-plan FAQ for `4050`); suffixes and metric forms are common practice, no source.

mod codes;
mod lengths;
mod modules;
mod sizes;
mod stacked;
#[cfg(test)]
mod tests;
mod words;

pub(super) use sizes::Reading;

use super::OpeningKind;
use super::inside::rooms::{follows, is_name};
use crate::drawing::{Drawing, SourceIndex, Text};
use geo::Coord;
use stacked::stacked;
use words::names_kind;

/// A size as written, with every reading it allows.
#[derive(Clone, Debug)]
pub(super) struct Callout {
    pub text: String,
    /// About the middle of the text.
    pub at: Coord<f64>,
    pub readings: Vec<Reading>,
    /// Sill above the floor, inches, where it is written with the size.
    pub sill: Option<f64>,
    /// True for packed digits, which mean nothing but an opening; a pair may be the size of a room.
    pub is_packed: bool,
    /// True when it is the rough opening's size.
    pub is_rough: bool,
    /// What its suffix says.
    pub kind: Option<OpeningKind>,
    pub sources: Vec<SourceIndex>,
}

/// The height of a sill stands within this of its size, in heights of its letters.
const UNDER: f64 = 4.0;

/// All call-outs of a drawing.
pub(super) fn callouts(drawing: &Drawing, origin: Coord<f64>) -> Vec<Callout> {
    let shown = drawing.texts.iter().filter(|text| {
        let source = drawing.sources.get(text.source.0 as usize);
        source.is_some_and(|source| !source.is_hidden)
    });
    let shown: Vec<&Text> = shown.collect();
    let has_codes = codes::are_used(&shown);
    let has_modules = modules::are_used(&shown);
    let sills: Vec<(&Text, f64)> = (shown.iter())
        .filter_map(|it| Some((*it, sizes::sill_alone(&it.content)?)))
        .collect();
    let (singles, stacks) = stacked(shown);
    // The size of a room stands below its name.
    let names: Vec<&Text> = (singles.iter().copied())
        .filter(|it| is_name(&it.content) && !names_kind(&it.content))
        .collect();
    let is_of_room = |text: &Text| names.iter().any(|name| follows(name, text));
    let of_singles = singles.iter().filter_map(|text| {
        let letters = f64::from(u32::try_from(text.content.chars().count()).ok()?);
        let half = letters * text.height * 0.4;
        let along = Coord {
            x: text.angle.cos(),
            y: text.angle.sin(),
        };
        let at = text.at - origin + along * half;
        let content = text.content.trim();
        let coded = || codes::size(content).filter(|_| has_codes);
        let size = modules::size(content, has_modules)
            .or_else(|| sizes::size(content))
            .or_else(coded)?;
        let callout = with_size(content, at, &[text], size);
        let is_surely = callout.is_packed || callout.is_rough || callout.kind.is_some();
        (is_surely || !is_of_room(text)).then_some(callout)
    });
    let of_stacks = stacks.into_iter().filter_map(|stack| {
        let [upper, lower] = stack.parts;
        let at = (upper.middle + lower.middle) / 2.0 - origin;
        callout(&stack.text, at, &stack.parts)
    });
    let mut list: Vec<Callout> = of_singles.chain(of_stacks).collect();
    for (text, sill) in sills {
        let near = list.iter_mut().filter(|it| it.sill.is_none());
        let near = near.map(|it| {
            let off = it.at - (text.middle - origin);
            (off.x.hypot(off.y), it)
        });
        let near = near.filter(|it| it.0 <= UNDER * text.height);
        if let Some((_, it)) = near.min_by(|p, q| p.0.total_cmp(&q.0)) {
            it.sill = Some(sill);
            it.sources.push(text.source);
        }
    }
    list.sort_by(|p, q| {
        p.at.x
            .total_cmp(&q.at.x)
            .then(p.at.y.total_cmp(&q.at.y))
            .then(p.text.cmp(&q.text))
    });
    list
}

fn callout(text: &str, at: Coord<f64>, parts: &[&Text]) -> Option<Callout> {
    sizes::size(text).map(|size| with_size(text, at, parts, size))
}

fn with_size(text: &str, at: Coord<f64>, parts: &[&Text], size: sizes::Size) -> Callout {
    Callout {
        text: text.to_owned(),
        at,
        readings: size.readings,
        sill: size.sill,
        is_packed: size.is_packed,
        is_rough: size.is_rough,
        kind: size.kind,
        sources: parts.iter().map(|it| it.source).collect(),
    }
}

/// Every reading of a text as an opening's size; empty when it is none.
pub(super) fn readings(text: &str) -> Vec<Reading> {
    sizes::size(text).map_or_else(Vec::new, |size| size.readings)
}
