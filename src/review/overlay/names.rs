//! Marks beside the walls of an overlay plan, placed by search: outside of the wall first, then inside, never on one another.

use super::BUMP;
use crate::documents::paper::style::{Ink, SMALL_SHEET};
use crate::documents::paper::{Area, Canvas, Lettered, Spot, spot};

/// From a panel to the middle of its name, mm: clear of its cloud, then farther.
const OUT: [f64; 4] = [10.0, 15.0, 20.0, 26.0];
/// Where along the panel it stands, as a share of its length from the middle.
const ALONG: [f64; 7] = [0.0, -0.2, 0.2, -0.4, 0.4, -0.6, 0.6];
/// Space kept round a name, mm.
const ROUND: f64 = 0.8;

/// Names that stand on the sheet, and what they keep clear of.
pub(super) struct Names {
    /// Where the sheet may be drawn on.
    room: Area,
    /// The middle of the building: outside is away from it.
    middle: Spot,
    /// Panels and clouds.
    blocked: Vec<Area>,
    placed: Vec<Area>,
}

impl Names {
    /// - `panels`: the corners of every panel as drawn, and whether it is in a cloud.
    pub(super) fn new<'a>(
        room: Area,
        middle: Spot,
        panels: impl Iterator<Item = (&'a [Spot], bool)>,
    ) -> Self {
        let blocked = panels.filter_map(|(corners, is_clouded)| {
            let area = Area::around(corners)?;
            Some(area.grown(if is_clouded { 2.0 + BUMP / 2.0 } else { 0.0 }))
        });
        Self {
            room,
            middle,
            blocked: blocked.collect(),
            placed: Vec::new(),
        }
    }

    /// A name that says what to do with a panel, where nothing stands.
    pub(super) fn place(&mut self, canvas: &mut Canvas, words: &str, area: &Area) {
        let is_level = area.width() >= area.height();
        let at = area.middle();
        let plain = Lettered::cap(SMALL_SHEET.note).middle().bold().masked();
        let lettered = if is_level { plain } else { plain.upwards() };
        let [length, depth] = [area.width(), area.height()];
        let half = |longer: f64, shorter: f64| if is_level { longer } else { shorter } / 2.0;
        let (wide, high) = (lettered.width(words), lettered.cap);
        let size = spot(half(wide, high), half(high, wide));
        let is_far_side = if is_level {
            at.y > self.middle.y
        } else {
            at.x > self.middle.x
        };
        let sides = if is_far_side {
            [1.0, -1.0]
        } else {
            [-1.0, 1.0]
        };
        let ways = sides.into_iter().flat_map(|side| {
            OUT.into_iter()
                .flat_map(move |out| ALONG.into_iter().map(move |along| (side * out, along)))
        });
        let spots = ways.map(|(out, along)| match is_level {
            true => spot(
                at.x + along * length,
                at.y + out + out.signum() * depth / 2.0,
            ),
            false => spot(
                at.x + out + out.signum() * length / 2.0,
                at.y + along * depth,
            ),
        });
        let boxed = |at: Spot| Area::of(at - size, at + size).grown(ROUND);
        let mut spots = spots.peekable();
        let first = spots.peek().copied().unwrap_or(at);
        let found = spots.find(|at| self.is_free(&boxed(*at))).unwrap_or(first);
        self.placed.push(boxed(found));
        canvas.text_centred(found, words, lettered);
    }

    /// The mark of a panel that stays as it was, small and grey along its inner face, where it has room: beside a long panel along it,
    /// else level.
    pub(super) fn place_unchanged(&mut self, canvas: &mut Canvas, mark: &str, ring: &[Spot]) {
        /// Kept from the ends: a neighbour's cloud may reach over.
        const ENDS: f64 = 10.0;
        let &[outer_left, outer_right, inner_right, inner_left] = ring else {
            return;
        };
        let lettered = Lettered::cap(SMALL_SHEET.note)
            .ink(Ink::Mid)
            .middle()
            .masked();
        let d = outer_right - outer_left;
        let length = d.x.hypot(d.y);
        let is_upright = d.x.abs() < 0.01 * length;
        let is_level = d.y.abs() < 0.01 * length;
        let (wide, high) = (lettered.width(mark), lettered.cap);
        if (is_level || is_upright) && length < wide + ENDS {
            return;
        }
        let inner = (inner_left + inner_right) / 2.0;
        let through = inner_left - outer_left;
        let inward = through / through.x.hypot(through.y).max(1e-9);
        let (lettered, size) = if is_upright {
            (lettered.upwards(), spot(high / 2.0, wide / 2.0))
        } else {
            (lettered, spot(wide / 2.0, high / 2.0))
        };
        // So far in that its box just clears the face.
        let clear = inward.x.abs() * size.x + inward.y.abs() * size.y;
        let at = inner + inward * (clear + high / 2.0 + 0.6);
        let own = Area::of(at - size, at + size);
        if self.placed.iter().any(|it| it.meets(&own)) {
            return;
        }
        self.placed.push(own.grown(ROUND));
        canvas.text_centred(at, mark, lettered);
    }

    fn is_free(&self, area: &Area) -> bool {
        let mut taken = self.blocked.iter().chain(&self.placed);
        self.room.holds(area) && !taken.any(|it| it.meets(area))
    }
}
