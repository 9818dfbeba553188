//! Marks of panels with their numbers of erection, outside the walls.
//!
//! One style for the whole sheet: the largest lettering at which nearly all panels hold their mark between their joints.
//! What still does not fit moves along or out, with a leader.

use super::body::{Body, bodies};
use super::dimensions::{MarkDepths, SIDES, side_of};
use super::scene::{Scene, ScenePanel, SceneWall};
use crate::documents::paper::style::{Ink, Lettering, Pen};
use crate::documents::paper::symbol::{balloon, tick_box};
use crate::documents::paper::{Area, Canvas, Lettered, Spot};
use crate::documents::plan_view::{Candidate, Far, LabelBox, PlanView, box_edge, far_places};
use crate::layout::PanelKind;
use crate::plan::Swing;
use geo::Coord;

/// Between a wall's face and its marks, mm: the joint ticks end before.
const GAP: f64 = 4.2;

/// Share of the panels that must hold their mark at a style for the sheet to take it.
const MOST: f64 = 0.85;

/// How a mark is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Style {
    /// Cap height of the mark, mm.
    cap: f64,
    /// How mark and number stand.
    set: Set,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Set {
    /// Number right of the mark.
    Row,
    /// Number under the mark.
    Stack,
    /// In a row read upwards.
    Upright,
}

/// From the largest down. No lettering below that of notes.
const fn styles(lettering: Lettering) -> [Style; 5] {
    [
        style(lettering.mark, Set::Row),
        style(lettering.mark, Set::Stack),
        style(lettering.note, Set::Row),
        style(lettering.note, Set::Stack),
        style(lettering.note, Set::Upright),
    ]
}

/// The first style in the lettering of notes.
const FIRST_SMALL: usize = 2;

const fn style(cap: f64, set: Set) -> Style {
    Style { cap, set }
}

/// A mark to be set.
#[derive(Clone, Debug)]
pub(super) struct Mark {
    mark: String,
    erection: String,
    remark: &'static str,
    is_held: bool,
    lettering: Lettering,
}

/// Where and how a mark stands.
#[derive(Clone, Copy, Debug)]
pub(super) struct MarkPlace {
    at: Spot,
    style: Style,
    foot: Option<Spot>,
}

impl Mark {
    fn of(panel: &ScenePanel<'_>, remark: &'static str, lettering: Lettering) -> Self {
        Self {
            mark: panel.panel.mark.clone(),
            erection: panel.panel.erection.to_string(),
            remark,
            is_held: panel.is_held(),
            lettering,
        }
    }

    fn letters(style: Style) -> Lettered {
        Lettered::cap(style.cap).bold()
    }

    fn words(&self) -> String {
        if self.remark.is_empty() {
            self.mark.clone()
        } else {
            format!("{} {}", self.mark, self.remark)
        }
    }

    fn radius(&self) -> f64 {
        let letters = Lettered::cap(self.lettering.note);
        let half = (letters.width(&self.erection) / 2.0).hypot(letters.cap / 2.0) + 0.6;
        half.max(3.6)
    }

    /// Widths of the box of HOLD and of the words, gaps after them included.
    fn parts(&self, style: Style) -> (f64, f64) {
        let hold = if self.is_held { style.cap + 1.4 } else { 0.0 };
        (hold, Self::letters(style).width(&self.words()))
    }

    /// Width and height on paper, mm.
    fn size(&self, style: Style) -> (f64, f64) {
        let (hold, words) = self.parts(style);
        let ring = self.radius() * 2.0;
        match style.set {
            Set::Row => (hold + words + 1.6 + ring, ring.max(style.cap)),
            Set::Stack => ((hold + words).max(ring), style.cap + 1.4 + ring),
            Set::Upright => (ring.max(style.cap), hold + words + 1.6 + ring),
        }
    }

    fn draw(&self, canvas: &mut Canvas, place: &MarkPlace) {
        let style = place.style;
        let (width, height) = self.size(style);
        let (hold, words) = self.parts(style);
        let radius = self.radius();
        if let Some(foot) = place.foot {
            let start = box_edge(place.at, foot, width + 1.0, height + 0.8);
            canvas.line(Pen::Fine.full(), start, foot);
        }
        let ink = if self.is_held {
            Ink::Accent
        } else {
            Ink::Black
        };
        let letters = Self::letters(style).ink(ink);
        let (along, start, down) = match style.set {
            Set::Row => (Coord { x: 1.0, y: 0.0 }, width / 2.0, 0.0),
            Set::Stack => (
                Coord { x: 1.0, y: 0.0 },
                (hold + words) / 2.0,
                (style.cap - height) / 2.0,
            ),
            Set::Upright => (Coord { x: 0.0, y: -1.0 }, height / 2.0, 0.0),
        };
        let line = Spot {
            x: place.at.x,
            y: place.at.y + down,
        };
        let at = |offset: f64| line + along * (offset - start);
        if self.is_held {
            let middle = at(style.cap / 2.0);
            let corner = Spot {
                x: middle.x - style.cap / 2.0,
                y: middle.y - style.cap / 2.0,
            };
            tick_box(canvas, corner, style.cap, true);
        }
        let letters = if style.set == Set::Upright {
            letters.upwards()
        } else {
            letters
        };
        canvas.text_centred(at(hold + words / 2.0), self.words(), letters.middle());
        let ring = match style.set {
            Set::Row | Set::Upright => at(hold + words + 1.6 + radius),
            Set::Stack => Spot {
                x: place.at.x,
                y: place.at.y + height / 2.0 - radius,
            },
        };
        balloon(
            canvas,
            Pen::Thin.full(),
            ring,
            radius,
            &self.erection,
            Lettered::cap(self.lettering.note),
        );
    }
}

/// Steps between scales from which on a mark in the lettering of notes is the lesser evil.
const FAR_APART: f64 = 1.9;

/// Styles that hold so much less than the best are none to try.
const NEARLY: f64 = 0.1;

/// The styles that a sheet may have at a scale, the larger first: those at which nearly all panels hold their mark; where none
/// does so, those at which the most do.
///
/// - `step`: how many times smaller the next scale is. Marks are made smaller for a scale only where the next is far smaller.
pub(super) fn sheet_styles(scene: &Scene<'_>, view: &PlanView, step: f64) -> Vec<usize> {
    let share = |style: Style| {
        let (mut held, mut all) = (0.0, 0.0);
        for wall in &scene.walls {
            let (along, _) = wall.axes(view);
            for panel in scene.panels(wall) {
                let (width, height) = Mark::of(&panel, "", scene.lettering()).size(style);
                let room = view.millimetres(panel.ends[1] - panel.ends[0]);
                let needs = width * along.x.abs() + height * along.y.abs() + 1.5;
                all += 1.0;
                held += if needs <= room { 1.0 } else { 0.0 };
            }
        }
        held / f64::max(all, 1.0)
    };
    let shares = styles(scene.lettering()).map(share);
    let best = shares.iter().copied().fold(0.0, f64::max);
    let least = if best >= MOST { MOST } else { best - NEARLY };
    let numbered = shares.iter().enumerate();
    let mut fitting: Vec<usize> = (numbered.filter(|it| *it.1 >= least).map(|it| it.0)).collect();
    let is_large = |style: &usize| *style < FIRST_SMALL;
    if best >= MOST && fitting.first().is_some_and(is_large) && step < FAR_APART {
        fitting.retain(is_large);
    }
    fitting
}

/// How deep the lanes of marks are, mm, and how wide the widest mark is.
///
/// - `rows`: how many rows a side keeps free where a mark is wider than its panel.
pub(super) fn mark_depths(
    scene: &Scene<'_>,
    view: &PlanView,
    style: usize,
    rows: f64,
) -> (MarkDepths, f64) {
    let mut depths: MarkDepths = [GAP; 4];
    let mut widest: f64 = 0.0;
    let Some(style) = styles(scene.lettering()).get(style).copied() else {
        return (depths, widest);
    };
    for wall in &scene.walls {
        let (along, _) = wall.axes(view);
        let side = side_of(wall, scene.turn);
        if let Some(depth) = side.and_then(|side| depths.get_mut(side)) {
            *depth = depth.max(view.millimetres(swing_depth(scene, wall)) + SWING_AIR);
        }
        for panel in scene.panels(wall) {
            let mark = Mark::of(&panel, "", scene.lettering());
            let (width, height) = mark.size(style);
            widest = widest.max(width);
            let Some(depth) = side.and_then(|side| depths.get_mut(side)) else {
                continue;
            };
            let across = width * along.y.abs() + height * along.x.abs();
            let needs = width * along.x.abs() + height * along.y.abs() + 1.5;
            let rows = if needs > view.millimetres(panel.ends[1] - panel.ends[0]) {
                rows
            } else {
                1.0
            };
            *depth = depth.max(GAP + rows * (across + 1.0) + 3.0);
        }
    }
    debug_assert_eq!(depths.len(), SIDES.len());
    (depths, widest)
}

/// Between a door's swing and the first string, mm.
const SWING_AIR: f64 = 3.0;

/// How far doors of a wall swing out of the building, inches.
fn swing_depth(scene: &Scene<'_>, wall: &SceneWall<'_>) -> f64 {
    let openings = wall.wall.openings.iter();
    let swinging = openings
        .filter(|it| it.hinge.is_some() && scene.swing(it) == Some(Swing::Out))
        .map(|it| it.unit[0].min(it.width()).to_inches());
    swinging.fold(0.0, f64::max)
}

/// A leader up to this length is followed at a glance, mm; each mm more costs so much: rather a smaller mark nearer by.
const EASY: f64 = 20.0;
const FARTHER: f64 = 1.0;

/// What it costs to stand beside another panel than one's own, with a leader: more than a row or a smaller style.
const BESIDE_ANOTHER: f64 = 30.0;

/// A mark with its candidate places.
pub(super) struct MarkLabel {
    /// What to set.
    pub(super) mark: Mark,
    /// Where.
    pub(super) places: Vec<MarkPlace>,
    /// What each place costs.
    pub(super) candidates: Vec<Candidate>,
    /// Where a leader ends: in the panel's middle.
    foot: Spot,
}

impl MarkLabel {
    /// Draws it at the place of that number.
    pub(super) fn draw(&self, canvas: &mut Canvas, chosen: usize) {
        if let Some(place) = self.places.get(chosen) {
            let id = format!("mark-{}", self.mark.mark);
            canvas.group_with(
                &id,
                &format!("Panel {}", self.mark.mark),
                &[("panel", self.mark.mark.as_str())],
                |canvas| self.mark.draw(canvas, place),
            );
        }
    }
}

impl AsRef<[Candidate]> for MarkLabel {
    fn as_ref(&self) -> &[Candidate] {
        &self.candidates
    }
}

impl Far for MarkLabel {
    fn look_far(&mut self, window: &Area) {
        let style = styles(self.mark.lettering)[FIRST_SMALL];
        let (width, height) = self.mark.size(style);
        let found = far_places(self.foot, [width + 1.0, height + 0.8], window);
        let place = |at| MarkPlace {
            at,
            style,
            foot: Some(self.foot),
        };
        self.places = found.iter().map(|it| place(it.0)).collect();
        self.candidates = found.into_iter().map(|it| it.1).collect();
    }

    fn name(&self) -> String {
        self.mark.mark.clone()
    }
}

/// Marks of the full-height panels of the storey.
pub(super) fn panel_marks(scene: &Scene<'_>, view: &PlanView, style: usize) -> Vec<MarkLabel> {
    let bodies = bodies(scene, view);
    let mut labels = Vec::new();
    for wall in &scene.walls {
        for panel in scene.panels(wall) {
            let mark = Mark::of(&panel, "", scene.lettering());
            labels.push(label(wall, &panel, mark, view, (style, &bodies)));
        }
    }
    labels
}

/// Marks of the headers and sills that stand in openings between panels.
pub(super) fn infill_marks(scene: &Scene<'_>, view: &PlanView, style: usize) -> Vec<MarkLabel> {
    let bodies = bodies(scene, view);
    let mut labels = Vec::new();
    for wall in &scene.walls {
        for panel in scene.infills(wall) {
            let remark = match panel.panel.kind {
                PanelKind::Header => "over",
                PanelKind::Sill => "under",
                PanelKind::Wall => "",
            };
            let mark = Mark::of(&panel, remark, scene.lettering());
            let style = style.max(FIRST_SMALL);
            labels.push(label(wall, &panel, mark, view, (style, &bodies)));
        }
    }
    labels
}

fn label(
    wall: &SceneWall<'_>,
    panel: &ScenePanel<'_>,
    mark: Mark,
    view: &PlanView,
    (style, bodies): (usize, &[Body]),
) -> MarkLabel {
    let (along, out) = wall.axes(view);
    let own = Body::of(wall, panel, view);
    let near: Vec<&Body> = bodies.iter().filter(|it| own.is_beside(it)).collect();
    let middle = view.paper(wall.face(f64::midpoint(panel.ends[0], panel.ends[1]), 0.0));
    let room = view.millimetres(panel.ends[1] - panel.ends[0]);
    let inner = view.millimetres(wall.thickness);
    let mut found = MarkLabel {
        mark,
        places: Vec::new(),
        candidates: Vec::new(),
        foot: middle - out * (inner * 0.4),
    };
    for (number, style) in styles(found.mark.lettering).iter().enumerate().skip(style) {
        let (width, height) = found.mark.size(*style);
        let across = width * out.x.abs() + height * out.y.abs();
        let lengthwise = width * along.x.abs() + height * along.y.abs();
        let worse = f64::from(u32::try_from(number).unwrap_or(u32::MAX)) * 6.0;
        let is_infill = !found.mark.remark.is_empty();
        // An infill that finds no place near its opening stands in the table of openings.
        let (outer_rows, inner_rows) = if is_infill { (3_u32, 3) } else { (6, 4) };
        for (is_inside, rows) in [(false, outer_rows), (true, inner_rows)] {
            for row in 0..rows {
                for step in [0.0, -0.25, 0.25, -0.5, 0.5, -0.8, 0.8, -1.2, 1.2, -1.8, 1.8] {
                    let shift = step * lengthwise.max(room);
                    let lift = GAP + across / 2.0 + f64::from(row) * (across * 0.5 + 2.0);
                    let away = if is_inside { out * -1.0 } else { out };
                    let from_face = if is_inside { lift + inner } else { lift };
                    let at = middle + along * shift + away * from_face;
                    let is_before = row == 0 && shift.abs() + lengthwise / 2.0 <= room / 2.0 + 0.5;
                    let is_plain = row == 0 && step == 0.0;
                    let is_own = own.is_nearest(&near, at, [width, height]);
                    let foot = (!(is_before || is_plain) || !is_own).then(|| {
                        middle + along * (shift.clamp(-room * 0.3, room * 0.3))
                            - out * (inner * 0.4)
                    });
                    let place = MarkPlace {
                        at,
                        style: *style,
                        foot,
                    };
                    found.candidates.push(Candidate {
                        boxes: vec![LabelBox::about(
                            at,
                            width + 1.0,
                            height + 0.8,
                            Coord { x: 1.0, y: 0.0 },
                        )],
                        lines: foot
                            .map(|foot| {
                                let start = box_edge(at, foot, width + 1.0, height + 0.8);
                                LabelBox::line(start, foot, 0.3)
                            })
                            .into_iter()
                            .collect(),
                        cost: worse
                            + f64::from(row) * 5.0
                            + shift.abs() * 0.5
                            + (shift.hypot(lift) - EASY).max(0.0) * FARTHER
                            + match (is_inside, is_infill) {
                                (false, _) => 0.0,
                                (true, true) => 8.0,
                                (true, false) => 45.0,
                            }
                            + if foot.is_some() { 4.0 } else { 0.0 }
                            + if own.is_taken_for(&near, at) {
                                BESIDE_ANOTHER
                            } else {
                                0.0
                            },
                    });
                    found.places.push(place);
                }
            }
        }
    }
    found
}
