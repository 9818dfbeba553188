//! One detail before it is put on paper: what is cut, how much of it is shown, and what is said of it.

use super::cut::CutPart;
use crate::documents::paper::dimension::PRINTED;
use crate::documents::paper::{Area, Spot};
use crate::documents::plan_view::clip_ring;
use crate::units::{Inches, Length};

/// What a detail is about, in the order they stand on the sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum DetailKind {
    /// Where two walls meet, or one ends.
    Corner,
    /// Where two panels meet.
    Joint,
    /// Sole, top and cap plates.
    Plate,
    /// Head, sill and jamb.
    Opening,
}

/// Which way it is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum CutWay {
    /// Seen from above, outside at the foot of the sheet.
    Level,
    /// Seen along the wall, outside at the left.
    Upright,
}

/// A detail. Lengths in inches of the cut: x along it, y up on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Detail {
    /// What it is about.
    pub(crate) kind: DetailKind,
    /// Which way it is cut.
    pub(crate) way: CutWay,
    /// Title: `PANEL JOINT`.
    pub(crate) title: String,
    /// What else is to be known: `gap 1/8, sealant both faces`.
    pub(crate) remark: String,
    /// What is cut.
    pub(crate) parts: Vec<CutPart>,
    /// What is shown of it.
    pub(crate) window: Area,
    /// What must be shown of it; as much more of the window is as the scale leaves room for. Empty: the whole window.
    pub(crate) least: Option<Area>,
    /// Positions of a string of dimensions above it.
    pub(crate) across: Vec<f64>,
    /// Positions of a string at its left.
    pub(crate) up: Vec<f64>,
    /// Places and what is said of them.
    pub(crate) call_outs: Vec<(Spot, String)>,
    /// Beads of sealant, cut across.
    pub(crate) beads: Vec<Spot>,
    /// Nails and screws, head first.
    pub(crate) nails: Vec<[Spot; 2]>,
    /// Height of the deck, where it is seen.
    pub(crate) deck: Option<f64>,
    /// The side of the wall that is drawn below, in a level cut.
    pub(crate) side: &'static str,
    /// Where this is found: walls, joints, openings.
    pub(crate) places: Vec<String>,
}

impl Detail {
    /// What two details have in common that are drawn once.
    pub(crate) fn key(&self) -> String {
        let words: Vec<&str> = self.call_outs.iter().map(|it| it.1.as_str()).collect();
        format!(
            "{}|{}|{}|{}|{}",
            self.title,
            self.remark,
            words.join("|"),
            printed_pieces(&self.across).join(","),
            printed_pieces(&self.up).join(",")
        )
    }

    /// Names every part that is seen, each once, by a function; of parts named alike the one farthest right is pointed at.
    pub(crate) fn name_parts(&mut self, name: impl Fn(&CutPart) -> Option<String>) {
        let mut found: Vec<(Spot, String)> = Vec::new();
        for part in &self.parts {
            let seen = clip_ring(&part.ring, &self.window);
            let (Some(words), Some(extent)) = (name(part), Area::around(&seen)) else {
                continue;
            };
            if extent.width() * extent.height() < 1e-3 {
                continue;
            }
            // Of a slanted part the middle is surely inside; of a long one the right end is nearer to the words.
            let mut count = 0.0;
            let mut sum = Spot { x: 0.0, y: 0.0 };
            for p in &seen {
                sum = sum + *p;
                count += 1.0;
            }
            let middle = sum / f64::max(count, 1.0);
            let is_long = extent.width() > 3.0 * extent.height();
            let x = if is_long {
                extent.x0 + extent.width() * 0.8
            } else {
                middle.x
            };
            let at = Spot { x, y: middle.y };
            match found.iter_mut().find(|it| it.1 == words) {
                Some(known) if known.0.x < at.x => known.0 = at,
                Some(_) => {}
                None => found.push((at, words)),
            }
        }
        found.extend(std::mem::take(&mut self.call_outs));
        self.call_outs = found;
    }
}

/// The pieces of a string as printed: differences of positions rounded to 1/16 in from the first, so that they add up.
pub(crate) fn printed_pieces(ends: &[f64]) -> Vec<String> {
    let first = ends.first().copied().unwrap_or(0.0);
    let rounded: Vec<Length> = ends
        .iter()
        .map(|it| Length::nearest(it - first, PRINTED).unwrap_or_default())
        .collect();
    rounded
        .windows(2)
        .filter_map(|pair| Some(Inches(*pair.last()? - *pair.first()?).to_string()))
        .collect()
}
