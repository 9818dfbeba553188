//! Strings of dimensions beside their walls: for walls at an angle to the sheet, and for those inside a court.

use super::dimensions::{Lane, module_ends};
use super::scene::Scene;
use crate::documents::paper::dimension::printed_pieces;
use crate::documents::paper::spread::spread;
use crate::documents::paper::style::Pen;
use crate::documents::paper::style::dimension::{EXTENSION_GAP, HALF_TICK, OVERRUN, TEXT_LIFT};
use crate::documents::paper::{Area, Canvas, Lettered, Spot};
use crate::documents::plan_view::{Candidate, Far, PlanView};
use geo::Coord;

/// The string of a wall at an angle or inside a court, with the distances from the wall it may have.
pub(super) struct BesideString {
    spots: Vec<Spot>,
    words: Vec<String>,
    along: Coord<f64>,
    out: Coord<f64>,
    cap: f64,
    lifts: Vec<f64>,
    candidates: Vec<Candidate>,
}

impl AsRef<[Candidate]> for BesideString {
    fn as_ref(&self) -> &[Candidate] {
        &self.candidates
    }
}

impl Far for BesideString {
    /// A string reads only beside its wall.
    fn look_far(&mut self, _window: &Area) {}

    fn name(&self) -> String {
        "a string beside its wall".to_owned()
    }
}

impl BesideString {
    /// Draws it at the distance of that number.
    pub(super) fn draw(&self, canvas: &mut Canvas, chosen: usize) {
        if let Some(lift) = self.lifts.get(chosen) {
            draw_beside(
                canvas,
                &self.spots,
                &self.words,
                self.along,
                self.out,
                *lift,
                self.cap,
            );
        }
    }
}

/// Strings that stand beside their walls, beyond the marks where there is room, else nearer.
///
/// - `widest`: width of the widest mark, mm.
pub(super) fn beside_strings(
    scene: &Scene<'_>,
    view: &PlanView,
    lanes: &[Lane],
    widest: f64,
) -> Vec<BesideString> {
    let walls = scene.walls.iter().zip(lanes);
    walls
        .filter(|(_, lane)| **lane == Lane::Beside)
        .map(|(wall, _)| {
            let ends = module_ends(wall);
            let (along, out) = wall.axes(view);
            let beyond = widest * out.x.abs() + scene.lettering().mark * 2.0 * out.y.abs() + 4.0;
            let mut string = BesideString {
                spots: ends
                    .iter()
                    .map(|end| view.paper(wall.face(end.to_inches(), 0.0)))
                    .collect(),
                words: printed_pieces(&ends),
                along,
                out,
                cap: scene.lettering().note,
                lifts: Vec::new(),
                candidates: Vec::new(),
            };
            for (number, more) in [0.5, 0.8, 0.2, 1.2, 1.7].into_iter().enumerate() {
                let lift = beyond + scene.lane() * more;
                let mut trial = Canvas::new();
                draw_beside(
                    &mut trial,
                    &string.spots,
                    &string.words,
                    along,
                    out,
                    lift,
                    string.cap,
                );
                let cost = f64::from(u32::try_from(number).unwrap_or(u32::MAX)) * 2.0;
                let group = trial.into_group("", "");
                string.candidates.push(Candidate::of_group(&group, cost));
                string.lifts.push(lift);
            }
            string
        })
        .collect()
}

/// How far an extension line begins before its string, in heights of the lettering: clear of the marks.
const BACK: f64 = 1.95;

/// A string parallel to a wall at any angle, `lift` mm outside its face.
fn draw_beside(
    canvas: &mut Canvas,
    spots: &[Spot],
    words: &[String],
    along: Coord<f64>,
    out: Coord<f64>,
    lift: f64,
    cap: f64,
) {
    let (Some(first), Some(last)) = (spots.first(), spots.last()) else {
        return;
    };
    let fine = Pen::Fine.full();
    canvas.line(fine, *first + out * lift, *last + out * lift);
    let tick = (along + out) * HALF_TICK;
    for p in spots {
        let start = (lift - cap * BACK).max(EXTENSION_GAP);
        canvas.line(fine, *p + out * start, *p + out * (lift + OVERRUN));
        let at = *p + out * lift;
        canvas.line(Pen::Edge.full(), at - tick, at + tick);
    }
    // Read from below or from the right.
    let reads_along = along.x > 1e-9 || (along.x.abs() <= 1e-9 && along.y < 0.0);
    let reading = if reads_along { along } else { along * -1.0 };
    let turn_deg = (-reading.y).atan2(reading.x).to_degrees();
    let lettered = Lettered::cap(cap).middle().turned(turn_deg).masked();
    let half = lettered.cap / 2.0;
    let above = Coord {
        x: reading.y,
        y: -reading.x,
    };
    let mut inside = Vec::new();
    let mut outside = Vec::new();
    for (pair, words) in spots.windows(2).zip(words) {
        let &[a, b] = pair else { continue };
        let d = b - a;
        let length = d.x.hypot(d.y);
        let middle = (a + b) / 2.0;
        let width = lettered.width(words);
        if width + 2.0 * HALF_TICK <= length {
            inside.push((middle + out * lift + above * (TEXT_LIFT + half), words));
        } else {
            outside.push((middle, width, words));
        }
    }
    let place = |p: &Spot| (p.x - first.x) * along.x + (p.y - first.y) * along.y;
    let wanted: Vec<f64> = outside.iter().map(|it| place(&it.0)).collect();
    let sizes: Vec<f64> = outside.iter().map(|it| it.1 + 2.0).collect();
    let places = spread(&wanted, &sizes, f64::NEG_INFINITY, f64::INFINITY);
    // Where texts that fit stand on the outer side of the line, those that do not stand beyond them.
    let is_outer = above.x * out.x + above.y * out.y > 0.0;
    let near = if is_outer {
        lift + TEXT_LIFT + lettered.cap + 1.2
    } else {
        lift + OVERRUN + 1.2
    };
    for ((middle, _, words), at) in outside.iter().zip(places) {
        let foot = *first + along * at;
        canvas.line(fine, *middle + out * lift, foot + out * (near - 0.4));
        canvas.text_centred(foot + out * (near + half), (*words).clone(), lettered);
    }
    // Last, so that their patches cover leaders that pass beneath.
    for (at, words) in inside {
        canvas.text_centred(at, words.clone(), lettered);
    }
}
