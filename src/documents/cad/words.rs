//! Where words of ours stand in the architect's drawing: on no other words, as near to their wall as that allows.

use super::writer::{CadDrawing, CadShape};
use crate::documents::plan_view::LabelBox;
use geo::Coord;

/// Width of a letter, in heights: that of the plain fonts of drawing programs. From memory.
const LETTER: f64 = 0.85;
/// Steps outwards and sideways that are tried, inches in life.
const STEP: f64 = 4.5;
const STEPS_OUT: u32 = 40;
const STEPS_ALONG: i32 = 8;
/// Moved farther than this, words have a line to what they name.
const NEAR: f64 = 20.0;

/// Words of one thing, one row farther out than the other.
pub(super) struct Row {
    pub(super) layer: &'static str,
    pub(super) colour: u8,
    pub(super) height: f64,
    /// From the wall's outside face, negative inwards.
    pub(super) out: f64,
    pub(super) words: String,
}

/// The words that stand already.
pub(super) struct Standing(Vec<LabelBox>);

impl Standing {
    /// All of a drawing.
    pub(super) fn of(cad: &CadDrawing) -> Self {
        let texts = cad.entities.iter().filter_map(|it| match &it.shape {
            CadShape::Text {
                at,
                height,
                turn_deg,
                words,
                ..
            } => Some(box_of(*at, *height, *turn_deg, words)),
            _ => None,
        });
        Self(texts.collect())
    }

    /// Puts rows where they stand on nothing: as near as can be to where they belong, else there.
    ///
    /// - `point`: a place so far along the wall from the middle of what is named, and so far out.
    /// - `reach`: how far along the wall they may go.
    pub(super) fn put(
        &mut self,
        cad: &mut CadDrawing,
        rows: Vec<Row>,
        turn_deg: f64,
        reach: f64,
        point: impl Fn(f64, f64) -> Coord<f64>,
    ) {
        let way = rows.first().map_or(1.0, |it| it.out.signum());
        let boxes = |along: f64, more: f64| {
            let one = |it: &Row| {
                box_of(
                    point(along, it.out + way * more),
                    it.height,
                    turn_deg,
                    &it.words,
                )
            };
            rows.iter().map(one).collect::<Vec<LabelBox>>()
        };
        let is_free = |(along, more): &(f64, f64)| {
            let here = boxes(*along, *more);
            !here
                .iter()
                .any(|it| self.0.iter().any(|other| it.overlaps(other)))
        };
        let (along, more) = places(reach)
            .into_iter()
            .find(is_free)
            .unwrap_or((0.0, 0.0));
        self.0.extend(boxes(along, more));
        if let Some(first) = rows.first().filter(|_| more > NEAR) {
            let end = first.out + way * (more - first.height);
            let line = CadShape::Line(point(0.0, way * 2.0), point(along, end));
            cad.put(first.layer, first.colour, line);
        }
        for row in rows {
            let shape = CadShape::Text {
                at: point(along, row.out + way * more),
                height: row.height,
                turn_deg,
                words: row.words,
                is_centred: true,
            };
            cad.put(row.layer, row.colour, shape);
        }
    }
}

/// Places to try, along the wall and farther out, the nearest first.
fn places(reach: f64) -> Vec<(f64, f64)> {
    let along = (-STEPS_ALONG..=STEPS_ALONG).map(|i| f64::from(i) * STEP);
    let along = along.filter(|it| it.abs() <= reach);
    let out = || (0..STEPS_OUT).map(|i| f64::from(i) * STEP);
    let mut all: Vec<(f64, f64)> = along.flat_map(|a| out().map(move |b| (a, b))).collect();
    all.sort_by(|a, b| {
        let far = |it: &(f64, f64)| it.0.abs() + it.1;
        far(a)
            .total_cmp(&far(b))
            .then(a.1.total_cmp(&b.1))
            .then(b.0.total_cmp(&a.0))
    });
    all
}

/// How wide words are at a height.
pub(super) fn width_of(words: &str, height: f64) -> f64 {
    let letters = u32::try_from(words.chars().count()).unwrap_or(u32::MAX);
    f64::from(letters) * height * LETTER
}

fn box_of(middle: Coord<f64>, height: f64, turn_deg: f64, words: &str) -> LabelBox {
    let (y, x) = turn_deg.to_radians().sin_cos();
    LabelBox::about(
        middle,
        width_of(words, height),
        height * 1.3,
        Coord { x, y },
    )
}
