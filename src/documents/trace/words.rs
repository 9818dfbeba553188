//! Which of the architect's words and numbers stand on a sheet, and how high they are.
//!
//! ```text
//!   as high as drawn, where that is the least height or more ─► stands
//!   a number that conflicts                                  ─► stands
//!   a number                                                 ─► stands where no word does
//!   lower than the least ─► as high as that, the largest first ─► stands where it meets no word, and no line but its own
//! ```
//!
//! What does not stand is counted on the sheet.

use crate::documents::paper::Spot;
use crate::documents::paper::style::SMALL_SHEET;
use crate::documents::plan_view::LabelBox;
use geo::Coord;
use rstar::primitives::Line;
use rstar::{AABB, RTree};

/// The least height of lettering on any sheet, mm.
pub(super) const LEAST: f64 = SMALL_SHEET.note;
/// Lower than this words are not raised to it: on the sheet they would be many times what they are.
const NOT_RAISED: f64 = LEAST / 4.0;
/// Between words, mm.
const AIR: f64 = 0.8;

/// A line of words about its middle.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct WordLine {
    pub(super) middle: Spot,
    pub(super) width: f64,
    pub(super) words: String,
}

/// Words of the architect.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Words {
    /// Cap height as the drawing has it, mm on paper; of a number as we draw it.
    pub(super) drawn: f64,
    /// Cap height on the sheet, mm.
    pub(super) cap: f64,
    /// Unit vector of reading on paper.
    pub(super) along: Coord<f64>,
    /// What stands there; nothing where the sheet ends before.
    pub(super) lines: Vec<WordLine>,
    pub(super) rank: Rank,
}

/// What stands before what.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Rank {
    /// Whatever else stands there.
    Always,
    /// The number of a dimension.
    Number,
    /// Words raised to the least height.
    Raised,
}

impl Words {
    /// What they take on paper, so many times as large.
    fn boxes(&self, times: f64, air: f64) -> impl Iterator<Item = LabelBox> + '_ {
        let high = self.cap * times + air;
        let lines = self.lines.iter();
        lines.map(move |it| LabelBox::about(it.middle, it.width * times + air, high, self.along))
    }
}

/// Which of them stand.
///
/// - `lines`: all that the architect drew, on paper.
pub(super) fn standing(all: &[Words], lines: &[(Spot, Spot)]) -> Vec<bool> {
    let mut order: Vec<usize> = (0..all.len()).collect();
    order.sort_by(|a, b| {
        let (a, b) = (&all[*a], &all[*b]);
        a.rank.cmp(&b.rank).then(b.drawn.total_cmp(&a.drawn))
    });
    let is_raised = |it: &Words| it.rank == Rank::Raised;
    // Only words that are raised come to stand on lines that they were not drawn on.
    let lines = if all.iter().any(is_raised) {
        lines
    } else {
        &[]
    };
    let ends = lines.iter().map(|(a, b)| Line::new([a.x, a.y], [b.x, b.y]));
    let lines = RTree::bulk_load(ends.collect());
    let mut stands = vec![false; all.len()];
    let mut taken: Vec<LabelBox> = Vec::new();
    for index in order {
        let words = &all[index];
        let is_free = || {
            let mut own = words.boxes(1.0, AIR);
            own.all(|it| !taken.iter().any(|other| other.overlaps(&it)))
        };
        let is_clear = || {
            let before: Vec<LabelBox> = words.boxes(words.drawn / words.cap, 0.0).collect();
            let mut raised = words.boxes(1.0, 0.0);
            raised.all(|it| !meets_more(&lines, &it, &before))
        };
        stands[index] = match words.rank {
            Rank::Always => true,
            Rank::Number => is_free(),
            Rank::Raised => words.drawn >= NOT_RAISED && is_free() && is_clear(),
        };
        if stands[index] {
            taken.extend(words.boxes(1.0, 0.0));
        }
    }
    stands
}

/// True when a box meets a line that these do not.
fn meets_more(lines: &RTree<Line<[f64; 2]>>, area: &LabelBox, before: &[LabelBox]) -> bool {
    let extent = area.extent();
    let envelope = AABB::from_corners([extent.x0, extent.y0], [extent.x1, extent.y1]);
    let mut near = lines.locate_in_envelope_intersecting(&envelope);
    near.any(|line| {
        let [a, b] = [line.from, line.to].map(|[x, y]| Coord { x, y });
        let line = LabelBox::line(a, b, 0.0);
        line.overlaps(area) && !before.iter().any(|it| line.overlaps(it))
    })
}

/// What the sheet says of those that do not; nothing where all do.
pub(crate) fn left_out_words(count: usize) -> String {
    match count {
        0 => String::new(),
        1 => {
            "1 word or number of the architect has no room at this scale: see the plan.".to_owned()
        }
        n => format!(
            "{n} words and numbers of the architect have no room at this scale: see the plan."
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::spot;

    fn words(at: [f64; 2], width: f64, drawn: f64, rank: Rank) -> Words {
        Words {
            drawn,
            cap: drawn.max(LEAST),
            along: Coord { x: 1.0, y: 0.0 },
            lines: vec![WordLine {
                middle: spot(at[0], at[1]),
                width,
                words: String::new(),
            }],
            rank,
        }
    }

    #[test]
    fn small_words_are_raised_where_they_meet_no_word_and_no_line_but_their_own() {
        let room = words([50.0, 50.0], 20.0, 3.0, Rank::Always);
        let name = words([50.0, 80.0], 20.0, 1.2, Rank::Raised);
        let size = words([50.0, 81.6], 20.0, 1.1, Rank::Raised);
        let tag = words([90.0, 50.0], 8.0, 1.2, Rank::Raised);
        let smudge = words([20.0, 20.0], 8.0, 0.3, Rank::Raised);
        let number = words([55.0, 51.0], 8.0, LEAST, Rank::Number);
        let all = [number, size, name, tag, smudge, room];
        let stands = |lines: &[(Spot, Spot)]| standing(&all, lines);
        assert_eq!(stands(&[]), [false, false, true, true, false, true]);
        // A wall beside the tag as drawn, and one through it.
        let beside = (spot(80.0, 51.0), spot(100.0, 51.0));
        assert!(!stands(&[beside])[3]);
        let through = (spot(80.0, 50.0), spot(100.0, 50.0));
        assert!(stands(&[through])[3]);
    }
}
