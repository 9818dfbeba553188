//! A label's own measures: it is designed on 152.4 mm x 101.6 mm and drawn at any size.

use crate::documents::paper::{Anchor, Area, Canvas, Lettered, Spot, Weight, spot};

/// Width of the design, mm.
const WIDTH: f64 = 152.4;
/// Height of the design, mm.
const HEIGHT: f64 = 101.6;
/// Kept free along every edge, in millimetres of the design.
pub(super) const MARGIN: f64 = 6.0;

/// One label on its page.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    area: Area,
    /// Millimetres on paper for one of the design.
    unit: f64,
}

impl Place {
    /// A label that fills an area of a page, mm.
    pub(super) fn new(area: Area) -> Self {
        Self {
            area,
            unit: (area.width() / WIDTH).min(area.height() / HEIGHT),
        }
    }

    /// Its width in millimetres of the design: more than its own on a wide label.
    pub(super) fn width(&self) -> f64 {
        self.area.width() / self.unit
    }

    /// Its height likewise.
    pub(super) fn height(&self) -> f64 {
        self.area.height() / self.unit
    }

    /// A point of the design on the page.
    pub(super) fn spot(&self, x: f64, y: f64) -> Spot {
        spot(self.area.x0 + x * self.unit, self.area.y0 + y * self.unit)
    }

    /// A rectangle of the design on the page.
    pub(super) fn area(&self, x0: f64, y0: f64, x1: f64, y1: f64) -> Area {
        Area::of(self.spot(x0, y0), self.spot(x1, y1))
    }

    /// A length of the design on the page, mm.
    pub(super) fn length(&self, length: f64) -> f64 {
        length * self.unit
    }

    /// Writes one line at a point of the design; it shrinks to fit `room` design millimetres.
    pub(super) fn write(&self, canvas: &mut Canvas, at: [f64; 2], room: f64, line: &Line<'_>) {
        let lettered = Lettered::cap(line.cap).weight(line.weight);
        let wide = lettered.width(line.words);
        let cap = line.cap * (room / wide.max(1e-9)).min(1.0);
        let lettered = Lettered::cap(self.length(cap))
            .weight(line.weight)
            .anchor(line.anchor);
        canvas.text(self.spot(at[0], at[1]), line.words, lettered);
    }
}

/// One line of a label.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line<'a> {
    pub(super) words: &'a str,
    /// Cap height, in millimetres of the design.
    pub(super) cap: f64,
    pub(super) weight: Weight,
    pub(super) anchor: Anchor,
}

impl<'a> Line<'a> {
    /// Regular, from its left end.
    pub(super) const fn new(words: &'a str, cap: f64) -> Self {
        Self {
            words,
            cap,
            weight: Weight::Regular,
            anchor: Anchor::Start,
        }
    }

    /// In bold.
    pub(super) const fn bold(self) -> Self {
        Self {
            weight: Weight::Bold,
            ..self
        }
    }

    /// By its right end.
    pub(super) const fn end(self) -> Self {
        Self {
            anchor: Anchor::End,
            ..self
        }
    }
}
