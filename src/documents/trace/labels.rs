//! The names and signs on a trace: what they say and where they may stand.

use super::background::{DIMENSION_CAP, place_dimension, written_words};
use super::dimension_checks::{DimensionCheck, Verdict};
use super::facts::{Gap, Question, distance, is_exterior, kind_name, size_of};
use super::recovered::{Surety, opening_place, solid_runs};
use super::units::Units;
use crate::documents::paper::style::{Fill, Ink, LARGE_SHEET, Lettering, Pen};
use crate::documents::paper::symbol::{conflict, diamond, tick};
use crate::documents::paper::{Area, Canvas, Lettered, Spot, spot};
use crate::documents::plan_view::{
    Candidate, LabelBox, Obstacles, PlanView, Side, Tag, TagPlace, edge, place, room_places,
};
use crate::drawing::Drawing;
use crate::plan::{Room, Storey};
use geo::Coord;

/// Lettering of the sheet.
const LETTERING: Lettering = LARGE_SHEET;

/// Radius of a question's ring, mm.
const RING: f64 = 2.4;

/// One thing to say on the drawing.
#[derive(Clone, Debug)]
pub(super) enum Sign {
    /// A wall's id on its body.
    WallId(String),
    /// The id of a short wall, beside it.
    ShortWallId(String),
    /// An opening.
    Opening(Tag),
    /// A question's number.
    Question(usize),
    /// A dimension that contradicts the drawing.
    Conflict(String),
    /// How wide a gap is.
    Gap(String),
    /// A room: its id, and lines that begin with it.
    Room { id: String, lines: Vec<String> },
    /// What something is that is no wall.
    Thing(&'static str),
    /// A dimension that agrees.
    Agrees,
}

/// A sign with the places it may take.
#[derive(Clone, Debug)]
pub(super) struct Label {
    sign: Sign,
    places: Vec<TagPlace>,
    candidates: Vec<Candidate>,
}

impl Label {
    pub(super) fn push(&mut self, place: TagPlace, candidate: Candidate) {
        self.places.push(place);
        self.candidates.push(candidate);
    }

    pub(super) fn new(sign: Sign) -> Self {
        Self {
            sign,
            places: Vec::new(),
            candidates: Vec::new(),
        }
    }
}

/// What found no room on the drawing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Left {
    /// Signs other than ticks: they stand in the tables only.
    pub(super) signs: usize,
    /// Candidates weighed: the work done.
    pub(super) weighed: usize,
}

/// Finds places for labels and draws them. Labels become obstacles for whatever is placed after them.
pub(super) fn draw_labels(
    canvas: &mut Canvas,
    labels: &[Label],
    obstacles: &mut Obstacles,
    left: &mut Left,
) {
    let requests: Vec<&[Candidate]> = labels.iter().map(|it| it.candidates.as_slice()).collect();
    let placed = place(&requests, obstacles);
    left.weighed += placed.weighed;
    for (label, chosen) in labels.iter().zip(placed.chosen) {
        let found =
            chosen.and_then(|index| Some((label.places.get(index)?, label.candidates.get(index)?)));
        match found {
            Some((place, candidate)) => {
                label.sign.draw(canvas, place);
                obstacles.add_label(candidate);
            }
            None => left.signs += usize::from(!matches!(label.sign, Sign::Agrees)),
        }
    }
}

/// Ids of walls on their bodies, where a solid run has room for them.
pub(super) fn wall_labels(storey: &Storey, view: &PlanView) -> Vec<Label> {
    on_walls(storey, view)
        .into_iter()
        .filter(|label| !label.candidates.is_empty())
        .collect()
}

/// Ids of walls too short for them: beside the wall, with a leader. Interior ones that stand together, as round a column, share it.
pub(super) fn short_wall_labels(storey: &Storey, view: &PlanView, is_exterior: bool) -> Vec<Label> {
    let letters = wall_letters();
    let bare = on_walls(storey, view);
    let short = storey
        .walls
        .iter()
        .zip(bare)
        .filter(|(wall, label)| label.candidates.is_empty() && wall.is_exterior == is_exterior);
    let mut together: Vec<(Vec<&str>, Vec<Spot>)> = Vec::new();
    for (wall, _) in short {
        let foot = (view.paper(wall.start) + view.paper(wall.end)) / 2.0;
        let is_near = |feet: &Vec<Spot>| feet.iter().all(|it| distance(*it, foot) < TOGETHER);
        match together
            .iter_mut()
            .find(|it| !is_exterior && is_near(&it.1))
        {
            Some((ids, feet)) => {
                ids.push(&wall.id);
                feet.push(foot);
            }
            None => together.push((vec![&wall.id], vec![foot])),
        }
    }
    let label = |(ids, feet): (Vec<&str>, Vec<Spot>)| {
        let words = id_list(&ids);
        let mut label = Label::new(Sign::ShortWallId(words.clone()));
        let foot = feet[0];
        let (width, height) = (letters.width(&words) + 1.6, letters.cap + 1.6);
        for reach in [5.0, 8.0, 12.0, 18.0, 26.0] {
            for step in 0..8 {
                let angle = (f64::from(step) + 0.5) * std::f64::consts::TAU / 8.0;
                let at = spot(
                    foot.x + (reach + width / 2.0) * angle.cos(),
                    foot.y + (reach + height / 2.0) * angle.sin(),
                );
                let start = edge(at, foot, width / 2.0);
                label.push(
                    TagPlace {
                        foot: Some(foot),
                        ..plain(at)
                    },
                    Candidate {
                        boxes: vec![LabelBox::about(at, width, height, LEVEL)],
                        lines: vec![LabelBox::line(start, foot, 0.3)],
                        cost: reach,
                    },
                );
            }
        }
        label
    };
    together.into_iter().map(label).collect()
}

/// Short walls within this of each other share one label, mm on paper.
const TOGETHER: f64 = 9.0;

/// Ids of one letter in few words: `I61-I63, I70`.
fn id_list(ids: &[&str]) -> String {
    let number = |id: &str| id.get(1..).and_then(|it| it.parse::<usize>().ok());
    let mut runs: Vec<(&str, &str)> = Vec::new();
    for id in ids {
        match runs.last_mut() {
            Some((_, last)) if number(last).map(|it| it + 1) == number(id) => *last = id,
            _ => runs.push((id, id)),
        }
    }
    let words = runs.iter().map(|(first, last)| {
        if first == last {
            (*first).to_owned()
        } else {
            format!("{first}-{last}")
        }
    });
    words.collect::<Vec<_>>().join(", ")
}

pub(super) const LEVEL: Coord<f64> = Coord { x: 1.0, y: 0.0 };

fn on_walls(storey: &Storey, view: &PlanView) -> Vec<Label> {
    let letters = wall_letters();
    storey
        .walls
        .iter()
        .map(|wall| {
            let mut label = Label::new(Sign::WallId(wall.id.clone()));
            let width = letters.width(&wall.id) + 1.6;
            let height = letters.cap + 1.6;
            for (number, (from, to)) in solid_runs(storey, wall, view).into_iter().enumerate() {
                let d = to - from;
                let length = d.x.hypot(d.y);
                let along = d / length.max(1e-9);
                let needs = width * along.x.abs() + height * along.y.abs() + 2.0;
                if length < needs {
                    continue;
                }
                for share in [0.5, 0.35, 0.65, 0.25, 0.75] {
                    let at = from + d * share;
                    let is_clear = distance(at, from).min(distance(at, to)) >= needs / 2.0;
                    if is_clear {
                        let cost = f64::from(u32::try_from(number).unwrap_or(u32::MAX))
                            + (share - 0.5_f64).abs();
                        label.push(
                            plain(at),
                            Candidate {
                                boxes: vec![LabelBox::about(at, width, height, LEVEL)],
                                lines: Vec::new(),
                                cost,
                            },
                        );
                    }
                }
            }
            label
        })
        .collect()
}

const fn wall_letters() -> Lettered {
    Lettered::cap(LETTERING.note).bold()
}

pub(super) const fn plain(at: Spot) -> TagPlace {
    TagPlace {
        at,
        side: Side::Alone,
        foot: None,
    }
}

/// Tags of openings: outside the building for exterior ones, on either side for interior ones.
pub(super) fn opening_labels(storey: &Storey, view: &PlanView, units: Units) -> Vec<Label> {
    let mut openings: Vec<_> = storey.openings.iter().collect();
    openings.sort_by_key(|it| !is_exterior(storey, it));
    openings
        .into_iter()
        .filter_map(|opening| {
            let wall = storey.walls.iter().find(|it| it.id == opening.wall)?;
            let (anchor, out, along, half) = opening_place(wall, opening, view)?;
            let lines = if wall.is_exterior {
                vec![
                    kind_name(opening.kind).to_uppercase(),
                    size_of(opening, units),
                ]
            } else {
                vec![size_of(opening, units)]
            };
            let tag = Tag {
                name: opening.id.clone(),
                kind: opening.kind,
                is_doubtful: Surety::of(opening.confidence) != Surety::Sure,
                lines,
            };
            let slide = view.millimetres(opening.width / 2.0);
            let places = tag.places(&LETTERING, anchor, half, &[out, out * -1.0], along, slide);
            let mut label = Label::new(Sign::Opening(tag));
            for (place, candidate) in places {
                label.push(place, candidate);
            }
            Some(label)
        })
        .collect()
}

/// Diamonds of questions, each with a leader to the ring round its place.
pub(super) fn question_labels(
    questions: &[Question],
    view: &PlanView,
    window: &Area,
) -> Vec<Label> {
    let mut labels = Vec::new();
    for question in questions {
        for at in &question.places {
            let foot = view.paper(*at);
            if !window.holds(&Area::of(foot, foot)) {
                continue;
            }
            let radius = diamond_radius(question.number);
            let mut label = Label::new(Sign::Question(question.number));
            for reach in [14.0, 20.0, 28.0, 38.0, 52.0, 70.0] {
                for step in 0..16 {
                    let angle = f64::from(step) * std::f64::consts::TAU / 16.0;
                    let at = spot(foot.x + reach * angle.cos(), foot.y + reach * angle.sin());
                    let start = edge(at, foot, radius * 0.8);
                    let end = edge(foot, at, RING);
                    // Diagonals stand out from walls and dimensions, which run along the sheet.
                    let slant = if step % 4 == 0 { 4.0 } else { 0.0 };
                    label.push(
                        TagPlace {
                            foot: Some(foot),
                            ..plain(at)
                        },
                        Candidate {
                            boxes: vec![square(at, radius + 0.5)],
                            // The ring lies on what is asked about: on walls and jambs, but not on words.
                            lines: vec![LabelBox::line(start, end, 0.3), square(foot, RING)],
                            cost: reach + slant,
                        },
                    );
                }
            }
            labels.push(label);
        }
    }
    labels
}

fn diamond_radius(number: usize) -> f64 {
    let letters = Lettered::cap(LETTERING.title).bold();
    (letters.width(&number.to_string()) + letters.cap * 0.9).max(6.0)
}

fn square(at: Spot, half: f64) -> LabelBox {
    LabelBox::about(at, half * 2.0, half * 2.0, LEVEL)
}

/// Marks beside dimensions: a tick where written and drawn agree, a triangle with the drawn length where they do not.
pub(super) fn dimension_labels(
    drawing: &Drawing,
    checks: &[DimensionCheck],
    view: &PlanView,
    verdict: Verdict,
    units: Units,
) -> Vec<Label> {
    checks
        .iter()
        .filter(|it| it.verdict == verdict)
        .filter_map(|check| {
            let dimension = drawing.dimensions.get(check.dimension)?;
            let place = place_dimension(dimension, view)?;
            let words = written_words(dimension, check, units);
            let half = Lettered::cap(DIMENSION_CAP).width(&words) / 2.0;
            let sign = match verdict {
                Verdict::Conflicts => {
                    Sign::Conflict(format!("drawn {}", units.length(check.drawn)))
                }
                Verdict::Agrees | Verdict::NotALength => Sign::Agrees,
            };
            let (width, height) = sign.size();
            let mut label = Label::new(sign);
            let along = place.along;
            let up = Coord {
                x: along.y,
                y: -along.x,
            };
            let reach = width / 2.0 * along.x.abs() + height / 2.0 * along.y.abs();
            let rise = width / 2.0 * up.x.abs() + height / 2.0 * up.y.abs();
            let mut steps = vec![(half + 1.0 + reach, 0.0), (-half - 1.0 - reach, 0.0)];
            if verdict == Verdict::Conflicts {
                for lift in [2.0, 5.0, 9.0, 14.0] {
                    steps.push((0.0, DIMENSION_CAP / 2.0 + rise + lift));
                    steps.push((0.0, -DIMENSION_CAP / 2.0 - rise - lift - 2.0));
                }
            }
            for (number, (over, lift)) in steps.into_iter().enumerate() {
                let at = place.text + along * over + up * lift;
                label.push(
                    plain(at),
                    Candidate {
                        boxes: vec![LabelBox::about(at, width, height, LEVEL)],
                        lines: Vec::new(),
                        cost: f64::from(u32::try_from(number).unwrap_or(u32::MAX)),
                    },
                );
            }
            Some(label)
        })
        .collect()
}

/// How wide each gap is, near its middle.
pub(super) fn gap_labels(gaps: &[Gap], view: &PlanView, units: Units) -> Vec<Label> {
    gaps.iter()
        .map(|gap| {
            let words = if gap.from == gap.to {
                "OPEN END".to_owned()
            } else {
                format!("GAP {}", units.inches(distance(gap.from, gap.to)))
            };
            let sign = Sign::Gap(words);
            let (width, height) = sign.size();
            let mut label = Label::new(sign);
            let middle = (view.paper(gap.from) + view.paper(gap.to)) / 2.0;
            for reach in [6.0, 10.0, 16.0, 24.0] {
                for step in 0..8 {
                    let angle = f64::from(step) * std::f64::consts::TAU / 8.0;
                    let at = spot(
                        middle.x + (reach + width / 2.0) * angle.cos(),
                        middle.y + (reach + height / 2.0) * angle.sin(),
                    );
                    label.push(
                        plain(at),
                        Candidate {
                            boxes: vec![LabelBox::about(at, width, height, LEVEL)],
                            lines: Vec::new(),
                            cost: reach,
                        },
                    );
                }
            }
            label
        })
        .collect()
}

/// Rooms: id and name over the area, inside the room.
pub(super) fn room_labels(storey: &Storey, view: &PlanView, units: Units) -> Vec<Label> {
    storey
        .rooms
        .iter()
        .map(|room| room_label(room, view, units))
        .collect()
}

/// What it costs a room to be named by its id alone: less than standing on a text of the architect's.
const ID_ALONE: f64 = 9.0;

fn room_label(room: &Room, view: &PlanView, units: Units) -> Label {
    let name = format!("{} {}", room.id, room.name);
    let sign = Sign::Room {
        id: room.id.clone(),
        lines: vec![name.trim().to_owned(), units.area(room.area_sq_ft)],
    };
    let (width, height) = sign.size();
    let id_width = Lettered::cap(LETTERING.note).width(&room.id) + 2.0;
    let mut label = Label::new(sign);
    let ring: Vec<Coord<f64>> = room.outline.iter().map(|p| view.paper(*p)).collect();
    for (at, candidate) in room_places(ring.clone(), width, height) {
        label.push(
            TagPlace {
                side: Side::Right,
                ..plain(at)
            },
            candidate,
        );
    }
    // In a closet full of the architect's words the id alone must do.
    for (at, mut candidate) in room_places(ring, id_width, LETTERING.note + 2.0) {
        candidate.cost += ID_ALONE;
        label.push(plain(at), candidate);
    }
    label
}

impl Sign {
    fn words(&self) -> (Vec<&str>, Lettered) {
        match self {
            Self::WallId(words) | Self::ShortWallId(words) => {
                (vec![words.as_str()], wall_letters())
            }
            Self::Thing(word) => (vec![word], Lettered::cap(LETTERING.note).ink(Ink::Mid)),
            Self::Room { lines, .. } => (
                lines.iter().map(String::as_str).collect(),
                Lettered::cap(LETTERING.note).ink(Ink::Mid),
            ),
            Self::Gap(words) | Self::Conflict(words) => (
                vec![words.as_str()],
                Lettered::cap(LETTERING.note).bold().ink(Ink::Accent),
            ),
            Self::Opening(_) | Self::Question(_) | Self::Agrees => {
                (Vec::new(), Lettered::cap(LETTERING.note))
            }
        }
    }

    /// Width and height, mm.
    pub(super) fn size(&self) -> (f64, f64) {
        let (lines, letters) = self.words();
        let width = lines.iter().map(|it| letters.width(it)).fold(0.0, f64::max);
        match self {
            Self::Agrees => (3.4, 3.4),
            Self::Conflict(_) => (width + TRIANGLE * 2.0 + 2.5, TRIANGLE * 2.0 + 0.5),
            Self::Room { .. } => (width + 2.0, LETTERING.note * 2.55 + 2.0),
            Self::WallId(_)
            | Self::ShortWallId(_)
            | Self::Gap(_)
            | Self::Thing(_)
            | Self::Opening(_)
            | Self::Question(_) => (width + 1.6, LETTERING.note + 1.6),
        }
    }

    fn draw(&self, canvas: &mut Canvas, place: &TagPlace) {
        let at = place.at;
        let (lines, letters) = self.words();
        match self {
            Self::WallId(words) => {
                canvas.text_centred(at, words.clone(), letters.middle().masked());
            }
            Self::ShortWallId(words) => {
                let half = letters.width(words) / 2.0 + 0.8;
                if let Some(foot) = place.foot {
                    canvas.line(Pen::Fine.full(), edge(at, foot, half), foot);
                }
                canvas.text_centred(at, words.clone(), letters.middle());
            }
            Self::Opening(tag) => tag.draw(canvas, &LETTERING, place),
            Self::Question(number) => {
                let radius = diamond_radius(*number);
                if let Some(foot) = place.foot {
                    let stroke = Pen::Thin.full().with(Ink::Accent);
                    canvas.circle(stroke, Fill::None, foot, RING);
                    canvas.line(stroke, edge(at, foot, radius * 0.8), edge(foot, at, RING));
                }
                let name = number.to_string();
                let lettered = Lettered::cap(LETTERING.title).bold();
                let data = [("question", name.as_str())];
                canvas.group_with("", &format!("Question {name}"), &data, |canvas| {
                    diamond(canvas, at, radius, &name, lettered);
                });
            }
            Self::Conflict(words) => {
                let (width, _) = self.size();
                let left = at.x - width / 2.0;
                conflict(canvas, spot(left + TRIANGLE, at.y + 0.8), TRIANGLE);
                canvas.text_centred(
                    spot(left + TRIANGLE * 2.0 + 1.2, at.y),
                    words.clone(),
                    letters,
                );
            }
            Self::Gap(words) => canvas.text_centred(at, words.clone(), letters.middle()),
            Self::Thing(word) => {
                let half = letters.width(word) / 2.0 + 0.8;
                if let Some(foot) = place.foot {
                    let leader = Pen::Hair.full().with(Ink::Mid);
                    canvas.line(leader, edge(at, foot, half), foot);
                }
                canvas.text_centred(at, *word, letters.middle());
            }
            Self::Room { id, .. } if place.side == Side::Alone => {
                canvas.text_centred(at, id.clone(), letters.middle());
            }
            Self::Room { .. } => {
                let step = LETTERING.note * 1.55;
                let mut y = at.y - step / 2.0;
                for line in lines {
                    canvas.text_centred(spot(at.x, y), line, letters.middle());
                    y += step;
                }
            }
            Self::Agrees => tick(canvas, spot(at.x - 1.3, at.y + 1.3), 2.6),
        }
    }
}

/// Radius of the triangle of a conflict, mm.
const TRIANGLE: f64 = 4.0;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_that_follow_each_other_are_said_by_the_first_and_the_last() {
        assert_eq!(id_list(&["I61", "I62", "I63", "I70"]), "I61-I63, I70");
        assert_eq!(id_list(&["I9"]), "I9");
    }
}
