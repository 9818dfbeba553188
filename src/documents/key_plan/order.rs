//! What stands inside and at the corners: arrows in the order of erection, START, how corners meet, opening tags, rooms.

use super::scene::{Scene, ScenePanel};
use crate::building::CornerKind;
use crate::documents::paper::style::{Dash, Ink, Lettering, Pen};
use crate::documents::paper::symbol::{arrow, arrow_head};
use crate::documents::paper::{Area, Canvas, Lettered, Spot, spot};
use crate::documents::plan_view::{
    Candidate, Far, LabelBox, PlanView, Side, Tag, TagPlace, box_edge, far_places, room_places,
};
use crate::layout::WallEnd;
use geo::Coord;

/// A sign with its candidate places.
pub(super) struct Sign {
    kind: Kind,
    lettering: Lettering,
    places: Vec<Place>,
    candidates: Vec<Candidate>,
    /// Where a long leader may end.
    foot: Option<Spot>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Place {
    /// An arrow from a point to its tip, words across its middle.
    Arrow(Spot, Spot),
    /// Words about a point, a leader to another.
    Words(Spot, Option<Spot>),
    /// A tag of an opening.
    Tag(TagPlace),
}

enum Kind {
    Wall(String),
    Start(Coord<f64>),
    Corner(String),
    /// Its tag, and the panel that holds it.
    Opening(Tag, String),
    Room(String),
}

impl AsRef<[Candidate]> for Sign {
    fn as_ref(&self) -> &[Candidate] {
        &self.candidates
    }
}

impl Far for Sign {
    fn look_far(&mut self, window: &Area) {
        let Some(foot) = self.foot else {
            return;
        };
        let size = match &self.kind {
            Kind::Opening(tag, _) => [(tag.radius(&self.lettering) + 0.4) * 2.0; 2],
            Kind::Wall(words) => words_size(Lettered::cap(self.lettering.note).bold(), words),
            Kind::Corner(words) => words_size(Lettered::cap(self.lettering.note), words),
            Kind::Start(_) => start_size(&self.lettering),
            // A room is the architect's.
            Kind::Room(_) => return,
        };
        let found = far_places(foot, size, window);
        let place = |at| match self.kind {
            Kind::Opening(..) => Place::Tag(TagPlace {
                at,
                side: Side::Alone,
                foot: Some(foot),
            }),
            Kind::Wall(_) | Kind::Start(_) | Kind::Corner(_) | Kind::Room(_) => {
                Place::Words(at, Some(foot))
            }
        };
        self.places = found.iter().map(|it| place(it.0)).collect();
        self.candidates = found.into_iter().map(|it| it.1).collect();
    }

    fn name(&self) -> String {
        match &self.kind {
            Kind::Opening(tag, _) => tag.name.clone(),
            Kind::Wall(words) | Kind::Corner(words) | Kind::Room(words) => words.clone(),
            Kind::Start(_) => "START".to_owned(),
        }
    }
}

/// Room of words on paper, mm.
fn words_size(letters: Lettered, words: &str) -> [f64; 2] {
    [letters.width(words) + 2.0, letters.cap + 3.2]
}

impl Sign {
    const fn new(scene: &Scene<'_>, kind: Kind) -> Self {
        Self {
            kind,
            lettering: scene.lettering(),
            places: Vec::new(),
            candidates: Vec::new(),
            foot: None,
        }
    }

    fn push(&mut self, place: Place, candidate: Candidate) {
        self.places.push(place);
        self.candidates.push(candidate);
    }

    /// Draws it at the place of that number.
    pub(super) fn draw(&self, canvas: &mut Canvas, chosen: usize) {
        let Some(place) = self.places.get(chosen).copied() else {
            return;
        };
        match (&self.kind, place) {
            (Kind::Wall(words), Place::Arrow(from, tip)) => {
                arrow(canvas, Pen::Edge.full(), from, tip, 5.5);
                let middle = (from + tip) / 2.0;
                let letters = wall_letters(&self.lettering)
                    .middle()
                    .turned(reading_deg(tip - from));
                canvas.text_centred(middle, words.clone(), letters.masked());
            }
            (Kind::Start(along), Place::Words(at, foot)) => {
                if let Some(foot) = foot {
                    let [width, height] = start_size(&self.lettering);
                    canvas.line(Pen::Fine.full(), box_edge(at, foot, width, height), foot);
                }
                draw_start(canvas, &self.lettering, at, *along);
            }
            (
                Kind::Wall(words) | Kind::Corner(words) | Kind::Room(words),
                Place::Words(at, foot),
            ) => {
                let letters = match self.kind {
                    Kind::Wall(_) => Lettered::cap(self.lettering.note).bold(),
                    Kind::Room(_) => Lettered::cap(self.lettering.note).ink(Ink::Pale),
                    Kind::Start(_) | Kind::Corner(_) | Kind::Opening(..) => {
                        Lettered::cap(self.lettering.note)
                    }
                };
                if let Some(foot) = foot {
                    let (width, height) = (letters.width(words) + 1.6, letters.cap + 3.2);
                    canvas.line(Pen::Fine.full(), box_edge(at, foot, width, height), foot);
                }
                canvas.text_centred(at, words.clone(), letters.middle());
            }
            (Kind::Opening(tag, panel), Place::Tag(place)) => {
                let data = [("opening", tag.name.as_str()), ("panel", panel.as_str())];
                let data = if panel.is_empty() {
                    &data[..1]
                } else {
                    &data[..]
                };
                let title = format!("Opening {} {panel}", tag.name);
                canvas.group_with("", title.trim_end(), data, |canvas| {
                    tag.draw(canvas, &self.lettering, &place);
                });
            }
            (
                Kind::Wall(_)
                | Kind::Start(_)
                | Kind::Corner(_)
                | Kind::Opening(..)
                | Kind::Room(_),
                _,
            ) => {}
        }
    }
}

const fn wall_letters(lettering: &Lettering) -> Lettered {
    Lettered::cap(lettering.title).bold()
}

/// Turn of words along a direction on paper, read from below or from the right.
fn reading_deg(d: Coord<f64>) -> f64 {
    let reads_along = d.x > 1e-6 || (d.x.abs() <= 1e-6 && d.y < 0.0);
    let d = if reads_along { d } else { d * -1.0 };
    (-d.y).atan2(d.x).to_degrees()
}

const LEVEL: Coord<f64> = Coord { x: 1.0, y: 0.0 };

/// One arrow for each wall, inside it, from the first panel set to the last; a short wall has words with a leader.
pub(super) fn wall_signs(scene: &Scene<'_>, view: &PlanView) -> Vec<Sign> {
    scene
        .walls
        .iter()
        .filter_map(|wall| {
            let order = scene.in_order(wall);
            let (first, last) = (order.first()?, order.last()?);
            let numbers = if order.len() == 1 {
                first.panel.erection.to_string()
            } else {
                format!("{} to {}", first.panel.erection, last.panel.erection)
            };
            let words = format!("{}: {numbers}", wall.name());
            let is_forward = first.ends[0] <= last.ends[0];
            let mut sign = Sign::new(scene, Kind::Wall(words.clone()));
            let (along, out) = wall.axes(view);
            let length = view.millimetres(wall.wall.face_length.to_inches());
            let inner = view.millimetres(wall.thickness);
            let start = view.paper(wall.face(0.0, 0.0));
            sign.foot = Some(start + along * (length / 2.0) - out * (inner / 2.0));
            let letters = wall_letters(&scene.lettering());
            let width = letters.width(&words) + 4.0;
            for inset in [16.0, 19.0, 22.0, 26.0, 30.0, 35.0, 40.0, 52.0, 66.0] {
                for share in [0.72, 0.5, 0.36] {
                    for shift in [0.0, -0.05, 0.05, -0.1, 0.1, -0.15, 0.15, -0.2, 0.2] {
                        let reach = length * share;
                        if reach < width + 16.0 || f64::abs(shift) + share / 2.0 > 0.48 {
                            continue;
                        }
                        let middle =
                            start + along * (length * (0.5 + shift)) - out * (inner + inset);
                        let (a, b) = (
                            middle - along * (reach / 2.0),
                            middle + along * (reach / 2.0),
                        );
                        let (from, tip) = if is_forward { (a, b) } else { (b, a) };
                        sign.push(
                            Place::Arrow(from, tip),
                            Candidate {
                                boxes: vec![
                                    LabelBox::line(from, tip, 3.6),
                                    LabelBox::about(middle, width, letters.cap + 2.4, along),
                                ],
                                lines: Vec::new(),
                                cost: inset + (0.72 - share) * 40.0 + f64::abs(shift) * 20.0,
                            },
                        );
                    }
                }
            }
            let small = Lettered::cap(scene.lettering().note).bold();
            let [width, height] = words_size(small, &words);
            // Inside, near; then farther in, or outside: rather a long leader than no sign.
            let inside = [5.0, 9.0, 14.0, 20.0, 28.0, 38.0, 50.0, 64.0];
            let outside = [9.0, 14.0, 20.0, 28.0, 38.0, 50.0, 64.0];
            let reaches = inside.map(|reach| (reach, -1.0, 0.0)).into_iter();
            let reaches = reaches.chain(outside.map(|reach| (reach, 1.0, 60.0)));
            for (reach, side, extra) in reaches {
                for step in [0.0, -1.0, 1.0, -2.0, 2.0, -3.0, 3.0, -4.5, 4.5, -6.0, 6.0] {
                    let depth = width * out.x.abs() / 2.0 + height * out.y.abs() / 2.0;
                    // Where a sign of an opening stands before the middle, the leader ends beside it.
                    for (share, aside) in [
                        (0.5, 0.0),
                        (0.25, 6.0),
                        (0.75, 6.0),
                        (0.1, 12.0),
                        (0.9, 12.0),
                    ] {
                        let foot = start + along * (length * share) - out * (inner / 2.0);
                        let face = foot + out * (side * inner / 2.0);
                        let at = face + out * (side * (reach + depth)) + along * (step * 9.0);
                        let is_off = reach > 8.0 || step != 0.0 || aside > 0.0;
                        let foot = is_off.then_some(foot);
                        let cost = 100.0 + extra + reach + f64::abs(step) * 3.0 + aside;
                        let candidate = words_candidate(at, foot, (width, height), cost);
                        sign.push(Place::Words(at, foot), candidate);
                    }
                }
            }
            Some(sign)
        })
        .collect()
}

fn words_candidate(at: Spot, foot: Option<Spot>, size: (f64, f64), cost: f64) -> Candidate {
    Candidate {
        boxes: vec![LabelBox::about(at, size.0, size.1, LEVEL)],
        lines: foot
            .map(|foot| {
                let start = box_edge(at, foot, size.0, size.1);
                LabelBox::line(start, foot, 0.3)
            })
            .into_iter()
            .collect(),
        cost,
    }
}

/// START at the first panel set.
pub(super) fn start_sign(scene: &Scene<'_>, view: &PlanView) -> Option<Sign> {
    let (wall, panel) = scene
        .walls
        .iter()
        .flat_map(|wall| {
            scene
                .panels(wall)
                .into_iter()
                .map(move |panel| (wall, panel))
        })
        .min_by_key(|(_, panel)| panel.panel.erection)?;
    let order = scene.in_order(wall);
    let is_forward = order.first()?.ends[0] <= order.last()?.ends[0];
    let (along, out) = wall.axes(view);
    let (end, along) = if is_forward {
        (panel.ends[0], along)
    } else {
        (panel.ends[1], along * -1.0)
    };
    let corner = view.paper(wall.face(end, -wall.thickness / 2.0));
    let [width, height] = start_size(&scene.lettering());
    let mut sign = Sign::new(scene, Kind::Start(along));
    sign.foot = Some(corner);
    for reach in [3.0, 7.0, 12.0, 18.0, 26.0, 36.0] {
        for sway in [0.0, 0.5, 1.0, 1.5, 2.2, -0.5] {
            let depth = width * along.x.abs() / 2.0 + height * along.y.abs() / 2.0;
            let at = corner - along * (reach + depth) + out * (sway * 10.0);
            sign.push(
                Place::Words(at, None),
                Candidate {
                    boxes: vec![LabelBox::about(at, width, height, LEVEL)],
                    lines: Vec::new(),
                    cost: reach + f64::abs(sway) * 6.0,
                },
            );
        }
    }
    Some(sign)
}

/// Room of the word and its triangle, mm.
fn start_size(lettering: &Lettering) -> [f64; 2] {
    [wall_letters(lettering).width("START") + 12.0, 9.0]
}

/// The word, and a solid triangle on the side of the first panel, pointing the way the walls are set.
fn draw_start(canvas: &mut Canvas, lettering: &Lettering, at: Spot, along: Coord<f64>) {
    let letters = wall_letters(lettering);
    let width = letters.width("START");
    let side = if along.x < -0.5 { -1.0 } else { 1.0 };
    let word = spot(at.x - side * 5.0, at.y);
    canvas.text_centred(word, "START", letters.middle());
    let middle = spot(at.x + side * (width / 2.0 + 1.0), at.y);
    arrow_head(canvas, middle + along * 4.0, along, 8.0);
}

/// How each corner meets: which wall runs through, which one butts, or the mitre.
pub(super) fn corner_signs(scene: &Scene<'_>, view: &PlanView) -> Vec<Sign> {
    let mut signs = Vec::new();
    for wall in &scene.walls {
        let next = wall
            .wall
            .right
            .with
            .and_then(|index| scene.walls.iter().find(|it| it.layout.wall == index));
        let missing = wall
            .wall
            .right
            .with
            .and_then(|index| scene.missing.iter().find(|it| it.layout.wall == index));
        let words = match (wall.layout.right_end, next) {
            (WallEnd::Through, Some(next)) => {
                format!("{} runs through, {} butts", wall.name(), next.name())
            }
            (WallEnd::Butt, Some(next)) => {
                format!("{} runs through, {} butts", next.name(), wall.name())
            }
            (WallEnd::Mitre { bevel_deg }, Some(next))
                if wall.wall.right.kind == CornerKind::Tee =>
            {
                format!(
                    "{} bevelled {}° to {}",
                    wall.name(),
                    degrees(bevel_deg.abs()),
                    next.name()
                )
            }
            (WallEnd::Mitre { bevel_deg }, Some(next)) => {
                format!(
                    "{} and {} bevelled {}°",
                    wall.name(),
                    next.name(),
                    degrees(bevel_deg)
                )
            }
            (WallEnd::Filled { bevel_deg }, Some(next)) => {
                format!(
                    "{} and {} square, wedges of {}°",
                    wall.name(),
                    next.name(),
                    degrees(bevel_deg)
                )
            }
            (WallEnd::Free, _) | (_, None) => match missing {
                Some(missing) => format!("{} is not made: brace {}", missing.name(), wall.name()),
                None => format!("{} ends free", wall.name()),
            },
        };
        let corner = view.paper(wall.face(wall.wall.face_length.to_inches(), 0.0));
        let (_, out) = wall.axes(view);
        let other = next.map_or(out, |it| it.axes(view).1);
        let away = out + other;
        let turn = away.y.atan2(away.x);
        let letters = Lettered::cap(scene.lettering().note);
        let (width, height) = (letters.width(&words) + 1.6, letters.cap + 3.2);
        let mut sign = Sign::new(scene, Kind::Corner(words));
        // A corner without room near it is no loss, for the bodies show how it meets; what has to be braced is.
        sign.foot = missing.map(|_| corner);
        for reach in [6.0, 10.0, 15.0, 22.0, 30.0, 40.0] {
            for (number, swing) in [0.0, -0.35, 0.35, -0.7, 0.7].into_iter().enumerate() {
                let (sine, cosine) = (turn + swing).sin_cos();
                let side = if cosine < 0.0 { -1.0 } else { 1.0 };
                let at = spot(
                    corner.x + reach * cosine + side * width / 2.0,
                    corner.y + reach * sine,
                );
                let foot = Some(corner);
                let cost = reach + f64::from(u32::try_from(number).unwrap_or(u32::MAX)) * 2.0;
                sign.push(
                    Place::Words(at, foot),
                    words_candidate(at, foot, (width, height), cost),
                );
            }
        }
        signs.push(sign);
    }
    signs
}

/// Degrees with two decimals at most.
fn degrees(value: f64) -> String {
    let words = format!("{:.2}", value.abs());
    words.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Tags of openings, inside.
pub(super) fn opening_signs(scene: &Scene<'_>, view: &PlanView) -> Vec<Sign> {
    let mut signs = Vec::new();
    for wall in &scene.walls {
        let (along, out) = wall.axes(view);
        let panels = [scene.panels(wall), scene.infills(wall)].concat();
        for opening in &wall.wall.openings {
            let tag = Tag {
                name: opening.id.clone(),
                kind: opening.kind,
                is_doubtful: opening.on_hold,
                lines: Vec::new(),
            };
            let middle = f64::midpoint(opening.from.to_inches(), opening.to.to_inches());
            let anchor = view.paper(wall.face(middle, -wall.thickness / 2.0));
            let half = view.millimetres(wall.thickness / 2.0);
            let slide = view.millimetres(opening.width().to_inches() / 2.0);
            let places = tag.places(
                &scene.lettering(),
                anchor,
                half,
                &[out * -1.0, out],
                along,
                slide,
            );
            let holds = |it: &ScenePanel<'_>| {
                let mut openings = it.made.into_iter().flat_map(|made| &made.openings);
                openings.any(|it| it.id == opening.id)
            };
            let holder = panels.iter().find(|it| holds(it));
            let mark = holder.map_or_else(String::new, |it| it.panel.mark.clone());
            let mut sign = Sign::new(scene, Kind::Opening(tag, mark));
            sign.foot = Some(anchor);
            for (place, candidate) in places {
                sign.push(Place::Tag(place), candidate);
            }
            signs.push(sign);
        }
    }
    signs
}

/// Names of the architect's rooms, pale.
pub(super) fn room_signs(scene: &Scene<'_>, view: &PlanView) -> Vec<Sign> {
    let rooms = scene.plan.iter().flat_map(|storey| &storey.rooms);
    rooms
        .filter(|room| !room.name.is_empty())
        .map(|room| {
            let letters = Lettered::cap(scene.lettering().note);
            let ring = room.outline.iter().map(|p| view.paper(*p)).collect();
            let mut sign = Sign::new(scene, Kind::Room(room.name.clone()));
            let width = letters.width(&room.name) + 2.0;
            for (at, candidate) in room_places(ring, width, letters.cap + 2.0) {
                sign.push(Place::Words(at, None), candidate);
            }
            sign
        })
        .collect()
}

/// Line of what is not ours.
pub(super) const fn pale() -> crate::documents::paper::style::Stroke {
    Pen::Thin.full().with(Ink::Pale)
}

/// Line of a header over an opening between panels.
pub(super) const fn overhead() -> crate::documents::paper::style::Stroke {
    Pen::Thin.dashed(Dash::Hidden)
}
