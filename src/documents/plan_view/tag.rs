//! Tags of openings, and places round an anchor where a tag may stand.

use super::{Candidate, LabelBox};
use crate::documents::paper::style::{Dash, Lettering, Pen, Stroke};
use crate::documents::paper::symbol::{balloon, hexagon};
use crate::documents::paper::{Area, Canvas, Lettered, Spot, spot};
use crate::plan::OpeningKind;
use geo::Coord;

/// Between a sign and the text beside it, mm.
const TEXT_GAP: f64 = 1.2;

/// A leader is drawn when a tag stands farther than this from what it names, mm beyond its own size.
const LEADER_FROM: f64 = 4.0;

/// A sign with lines of text beside it.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tag {
    /// What stands in the sign.
    pub(crate) name: String,
    /// Which sign: windows a hexagon, all else a circle.
    pub(crate) kind: OpeningKind,
    /// True for a dashed sign: what it names is not certain.
    pub(crate) is_doubtful: bool,
    /// Lines beside it; none for the sign alone.
    pub(crate) lines: Vec<String>,
}

/// On which side of the sign the lines stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    /// To the right.
    Right,
    /// To the left.
    Left,
    /// Nowhere: the sign alone, the lines are left to a table.
    Alone,
}

/// A place for a tag.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct TagPlace {
    /// Middle of the sign.
    pub(crate) at: Spot,
    /// Where the lines stand.
    pub(crate) side: Side,
    /// What a leader points to, when there is one.
    pub(crate) foot: Option<Spot>,
}

impl Tag {
    /// Radius of the sign, mm.
    pub(crate) fn radius(&self, lettering: &Lettering) -> f64 {
        let name = Lettered::cap(lettering.note).bold();
        let half = name.width(&self.name) / 2.0;
        match self.kind {
            OpeningKind::Window => half / 0.8 + 0.7,
            OpeningKind::Door | OpeningKind::Opening | OpeningKind::GarageDoor => {
                half.hypot(lettering.note / 2.0) + 0.7
            }
        }
    }

    fn line_step(lettering: &Lettering) -> f64 {
        lettering.note * 1.55
    }

    /// Width and height of its lines, mm.
    fn block(&self, lettering: &Lettering) -> (f64, f64) {
        let letters = Lettered::cap(lettering.note);
        let width = self
            .lines
            .iter()
            .map(|line| letters.width(line))
            .fold(0.0, f64::max);
        let steps = self.lines.iter().skip(1).count();
        let height = self.lines.first().map_or(0.0, |_| lettering.note);
        (
            width,
            (0..steps).fold(height, |sum, _| sum + Self::line_step(lettering)),
        )
    }

    /// The candidate that goes with a place.
    pub(crate) fn candidate(
        &self,
        lettering: &Lettering,
        place: &TagPlace,
        cost: f64,
    ) -> Candidate {
        let radius = self.radius(lettering);
        let sign = Area::new(
            place.at.x - radius,
            place.at.y - radius,
            place.at.x + radius,
            place.at.y + radius,
        );
        let mut boxes = vec![LabelBox::upright(&sign.grown(0.4))];
        let (width, height) = self.block(lettering);
        let start = match place.side {
            Side::Right => Some(place.at.x + radius + TEXT_GAP),
            Side::Left => Some(place.at.x - radius - TEXT_GAP - width),
            Side::Alone => None,
        };
        if let Some(x) = start.filter(|_| width > 0.0) {
            let text = Area::new(
                x,
                place.at.y - height / 2.0,
                x + width,
                place.at.y + height / 2.0,
            );
            boxes.push(LabelBox::upright(&text.grown(0.6)));
        }
        Candidate {
            boxes,
            lines: place
                .foot
                .map(|foot| LabelBox::line(edge(place.at, foot, radius), foot, 0.3))
                .into_iter()
                .collect(),
            cost,
        }
    }

    /// Draws the tag at a place.
    pub(crate) fn draw(&self, canvas: &mut Canvas, lettering: &Lettering, place: &TagPlace) {
        let radius = self.radius(lettering);
        if let Some(foot) = place.foot {
            canvas.line(Pen::Fine.full(), edge(place.at, foot, radius), foot);
        }
        let stroke: Stroke = if self.is_doubtful {
            Pen::Edge.dashed(Dash::Hidden)
        } else {
            Pen::Thin.full()
        };
        let name = Lettered::cap(lettering.note).bold();
        match self.kind {
            OpeningKind::Window => hexagon(canvas, stroke, place.at, radius, &self.name, name),
            OpeningKind::Door | OpeningKind::Opening | OpeningKind::GarageDoor => {
                balloon(canvas, stroke, place.at, radius, &self.name, name);
            }
        }
        let letters = Lettered::cap(lettering.note);
        let (x, letters) = match place.side {
            Side::Right => (place.at.x + radius + TEXT_GAP, letters),
            Side::Left => (place.at.x - radius - TEXT_GAP, letters.end()),
            Side::Alone => return,
        };
        let (_, height) = self.block(lettering);
        let mut y = place.at.y - height / 2.0 + lettering.note;
        for line in &self.lines {
            canvas.text(spot(x, y), line.clone(), letters);
            y += Self::line_step(lettering);
        }
    }

    /// Places beside an opening, the cheapest being the nearest on its outer side.
    ///
    /// - `anchor`: the middle of the opening on paper; `half`: half its wall's thickness on paper.
    /// - `sides`: unit vectors away from the wall, the preferred one first; `along` the wall.
    /// - `slide`: how far along the wall the sign may move and still stand before the opening, mm.
    pub(crate) fn places(
        &self,
        lettering: &Lettering,
        anchor: Spot,
        half: f64,
        sides: &[Coord<f64>],
        along: Coord<f64>,
        slide: f64,
    ) -> Vec<(TagPlace, Candidate)> {
        let radius = self.radius(lettering);
        let (width, _) = self.block(lettering);
        let mut places = Vec::new();
        for (number, away) in sides.iter().enumerate() {
            let second_side = if number > 0 { 8.0 } else { 0.0 };
            for gap in [2.0, 6.0, 11.0, 17.0, 25.0, 34.0, 45.0, 58.0] {
                for step in [0.0, -0.5, 0.5, -1.0, 1.0, -1.8, 1.8, -3.0, 3.0] {
                    for side in [Side::Right, Side::Left, Side::Alone] {
                        let shift = step * slide.max(radius * 1.5);
                        let face = anchor + *away * half;
                        let at = face + *away * (radius + gap) + along * shift;
                        let is_before = shift.abs() <= slide && gap <= LEADER_FROM;
                        let foot = (!is_before).then(|| face - *away * (half / 2.0));
                        let middle = match side {
                            Side::Right => at.x + (width + TEXT_GAP) / 2.0,
                            Side::Left => at.x - (width + TEXT_GAP) / 2.0,
                            Side::Alone => at.x,
                        };
                        // Text on the far side of the sign from the wall reads best; straddling the wall is refused later.
                        let towards = match side {
                            Side::Right => -away.x,
                            Side::Left => away.x,
                            Side::Alone => 0.0,
                        };
                        let cost = gap
                            + shift.abs() * 0.6
                            + (middle - anchor.x).abs() * 0.05
                            + second_side
                            + towards.max(0.0) * 6.0
                            + if side == Side::Alone && width > 0.0 {
                                40.0
                            } else {
                                0.0
                            }
                            + if foot.is_some() { 4.0 } else { 0.0 };
                        let place = TagPlace { at, side, foot };
                        let candidate = self.candidate(lettering, &place, cost);
                        // The sign's own box holds the leader's start; its text must be clear of it.
                        let is_crossed =
                            candidate.boxes.iter().skip(1).any(|text| {
                                candidate.lines.iter().any(|leader| leader.overlaps(text))
                            });
                        if !is_crossed {
                            places.push((place, candidate));
                        }
                    }
                }
            }
        }
        places
    }
}

/// Where a line from the middle of an upright box to a foot leaves the box.
pub(crate) fn box_edge(at: Spot, foot: Spot, width: f64, height: f64) -> Spot {
    let d = foot - at;
    let share = (width / 2.0 / d.x.abs().max(1e-9)).min(height / 2.0 / d.y.abs().max(1e-9));
    if share < 1.0 { at + d * share } else { foot }
}

/// Where a line from a sign's middle to a foot leaves the sign.
pub(crate) fn edge(at: Spot, foot: Spot, radius: f64) -> Spot {
    let d = foot - at;
    let length = d.x.hypot(d.y);
    if length > radius {
        at + d * (radius / length)
    } else {
        foot
    }
}
