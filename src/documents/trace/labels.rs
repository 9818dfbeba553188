//! Where the names and signs on a trace may stand.

use super::background::{DIMENSION_CAP, place_dimension, written_words};
use super::dimension_checks::{DimensionCheck, Verdict};
use super::facts::{Gap, Question, distance, is_exterior, kind_name, size_of};
use super::recovered::{Surety, opening_place, solid_runs};
use super::sign::{RING, Sign, diamond_radius, wall_letters};
use super::units::Units;
use crate::documents::paper::style::Lettering;
use crate::documents::paper::{Area, Canvas, Lettered, Spot, spot};
use crate::documents::plan_view::{
    Candidate, Far, LabelBox, Obstacles, PlanView, Side, Tag, TagPlace, edge, far_places,
    place_all, room_places,
};
use crate::drawing::Drawing;
use crate::plan::{Room, Storey};
use crate::units::runs;
use geo::Coord;

/// A sign with the places it may take.
#[derive(Clone, Debug)]
pub(super) struct Label {
    sign: Sign,
    lettering: Lettering,
    places: Vec<TagPlace>,
    candidates: Vec<Candidate>,
    /// Where a long leader may end: on the thing that is named.
    feet: Vec<Spot>,
}

impl AsRef<[Candidate]> for Label {
    fn as_ref(&self) -> &[Candidate] {
        &self.candidates
    }
}

impl Far for Label {
    fn look_far(&mut self, window: &Area) {
        if matches!(self.sign, Sign::WallId(_) | Sign::Thing(_) | Sign::Agrees) {
            return;
        }
        let (width, height) = self.sign.far_size(&self.lettering);
        self.places.clear();
        self.candidates.clear();
        for foot in &self.feet {
            for (at, mut candidate) in far_places(*foot, [width, height], window) {
                if matches!(self.sign, Sign::Question(_)) {
                    candidate.lines.push(square(*foot, RING));
                }
                self.places.push(TagPlace {
                    foot: Some(*foot),
                    ..plain(at)
                });
                self.candidates.push(candidate);
            }
        }
    }

    fn name(&self) -> String {
        self.sign.name()
    }
}

impl Label {
    pub(super) fn push(&mut self, place: TagPlace, candidate: Candidate) {
        self.places.push(place);
        self.candidates.push(candidate);
    }

    /// Places round what a leader goes to, a box's half and a reach away from it.
    pub(super) fn push_round(&mut self, foot: Spot, [width, height]: [f64; 2], reaches: &[f64]) {
        for reach in reaches {
            for step in 0..8 {
                let angle = (f64::from(step) + 0.5) * std::f64::consts::TAU / 8.0;
                let at = spot(
                    foot.x + (reach + width / 2.0) * angle.cos(),
                    foot.y + (reach + height / 2.0) * angle.sin(),
                );
                let start = edge(at, foot, width / 2.0);
                self.push(
                    TagPlace {
                        foot: Some(foot),
                        ..plain(at)
                    },
                    Candidate {
                        boxes: vec![LabelBox::about(at, width, height, LEVEL)],
                        lines: vec![LabelBox::line(start, foot, 0.3)],
                        cost: *reach,
                    },
                );
            }
        }
    }

    pub(super) const fn new(sign: Sign, lettering: Lettering, feet: Vec<Spot>) -> Self {
        Self {
            sign,
            lettering,
            places: Vec::new(),
            candidates: Vec::new(),
            feet,
        }
    }
}

/// Finds places for labels and draws them; returns the signs other than ticks that found none. Labels become obstacles for
/// whatever is placed after them.
pub(super) fn draw_labels(
    canvas: &mut Canvas,
    labels: Vec<Label>,
    window: &Area,
    obstacles: &mut Obstacles,
) -> Vec<String> {
    let are_ticks = labels.iter().all(|it| matches!(it.sign, Sign::Agrees));
    let missed = place_all(labels, window, obstacles, |label, chosen| {
        if let Some(place) = label.places.get(chosen) {
            label.sign.draw(canvas, &label.lettering, place);
        }
    });
    if are_ticks { Vec::new() } else { missed.all }
}

/// Ids of walls on their bodies, where a solid run has room for them.
pub(super) fn wall_labels(storey: &Storey, view: &PlanView, lettering: &Lettering) -> Vec<Label> {
    on_walls(storey, view, lettering)
        .into_iter()
        .filter(|label| !label.candidates.is_empty())
        .collect()
}

/// Ids of walls too short for them: beside the wall, with a leader. Interior ones that stand together, as round a column, share it.
pub(super) fn short_wall_labels(
    storey: &Storey,
    view: &PlanView,
    lettering: &Lettering,
    is_exterior: bool,
) -> Vec<Label> {
    let letters = wall_letters(lettering);
    let bare = on_walls(storey, view, lettering);
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
        let foot = feet[0];
        let sign = Sign::ShortWallId(words.clone());
        let named = storey
            .walls
            .iter()
            .find(|it| ids.first() == Some(&it.id.as_str()));
        let ends = named.map(|it| [view.paper(it.start), view.paper(it.end)]);
        let along = |share: f64| ends.map(|[from, to]| from + (to - from) * share);
        let others = [0.2, 0.8].into_iter().filter_map(along);
        let on_it = std::iter::once(foot).chain(others).collect();
        let mut label = Label::new(sign, *lettering, on_it);
        let (width, height) = (letters.width(&words) + 1.6, letters.cap + 1.6);
        label.push_round(foot, [width, height], &[5.0, 8.0, 12.0, 18.0, 26.0]);
        label
    };
    together.into_iter().map(label).collect()
}

/// Short walls within this of each other share one label, mm on paper.
const TOGETHER: f64 = 9.0;

/// Ids of one letter in few words: `I61-I63, I70`.
fn id_list(ids: &[&str]) -> String {
    let words = runs(ids).map(|run| match run {
        [first, .., last] => format!("{first}-{last}"),
        one => one.concat(),
    });
    words.collect::<Vec<_>>().join(", ")
}

pub(super) const LEVEL: Coord<f64> = Coord { x: 1.0, y: 0.0 };

fn on_walls(storey: &Storey, view: &PlanView, lettering: &Lettering) -> Vec<Label> {
    let letters = wall_letters(lettering);
    storey
        .walls
        .iter()
        .map(|wall| {
            let mut label = Label::new(Sign::WallId(wall.id.clone()), *lettering, Vec::new());
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

pub(super) const fn plain(at: Spot) -> TagPlace {
    TagPlace {
        at,
        side: Side::Alone,
        foot: None,
    }
}

/// Tags of openings: outside the building for exterior ones, on either side for interior ones.
pub(super) fn opening_labels(
    storey: &Storey,
    view: &PlanView,
    lettering: &Lettering,
    units: Units,
) -> Vec<Label> {
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
            let places = tag.places(lettering, anchor, half, &[out, out * -1.0], along, slide);
            let feet = [0.0, -0.7, 0.7].map(|share| anchor + along * (slide * share));
            let mut label = Label::new(Sign::Opening(tag), *lettering, feet.to_vec());
            for (place, candidate) in places {
                label.push(place, candidate);
            }
            Some(label)
        })
        .collect()
}

/// What ids of walls had better leave free: the rings of questions, which have their place.
pub(super) fn spare_rings(questions: &[Question], view: &PlanView, obstacles: &mut Obstacles) {
    for at in questions.iter().flat_map(|it| &it.places) {
        obstacles.add_soft(square(view.paper(*at), RING), ON_RING);
    }
}

/// What a wall's id pays on a question's ring: more than for any place on its wall.
const ON_RING: f64 = 1000.0;

/// Diamonds of questions, each with a leader to the ring round its place.
pub(super) fn question_labels(
    questions: &[Question],
    view: &PlanView,
    lettering: &Lettering,
    window: &Area,
) -> Vec<Label> {
    let mut labels = Vec::new();
    for question in questions {
        for at in &question.places {
            let foot = view.paper(*at);
            if !window.holds(&Area::of(foot, foot)) {
                continue;
            }
            let radius = diamond_radius(lettering, question.number);
            let sign = Sign::Question(question.number);
            let mut label = Label::new(sign, *lettering, vec![foot]);
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

fn square(at: Spot, half: f64) -> LabelBox {
    LabelBox::about(at, half * 2.0, half * 2.0, LEVEL)
}

/// Marks beside dimensions: a tick where written and drawn agree, a triangle with the drawn length where they do not.
pub(super) fn dimension_labels(
    drawing: &Drawing,
    checks: &[DimensionCheck],
    view: &PlanView,
    lettering: &Lettering,
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
            let (width, height) = sign.size(lettering);
            let mut label = Label::new(sign, *lettering, vec![place.text]);
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
pub(super) fn gap_labels(
    gaps: &[Gap],
    view: &PlanView,
    lettering: &Lettering,
    units: Units,
) -> Vec<Label> {
    gaps.iter()
        .map(|gap| {
            let words = if gap.from == gap.to {
                "OPEN END".to_owned()
            } else {
                format!("GAP {}", units.inches(distance(gap.from, gap.to)))
            };
            let sign = Sign::Gap(words);
            let (width, height) = sign.size(lettering);
            let middle = (view.paper(gap.from) + view.paper(gap.to)) / 2.0;
            let mut label = Label::new(sign, *lettering, vec![middle]);
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
pub(super) fn room_labels(
    storey: &Storey,
    view: &PlanView,
    lettering: &Lettering,
    units: Units,
) -> Vec<Label> {
    storey
        .rooms
        .iter()
        .map(|room| room_label(room, view, lettering, units))
        .collect()
}

/// Places in a room at which a long leader may end.
const FEET: usize = 8;

/// What it costs a room to be named by its id alone: less than standing on a text of the architect's.
const ID_ALONE: f64 = 9.0;

fn room_label(room: &Room, view: &PlanView, lettering: &Lettering, units: Units) -> Label {
    let name = format!("{} {}", room.id, room.name);
    let sign = Sign::Room {
        id: room.id.clone(),
        lines: vec![name.trim().to_owned(), units.area(room.area_sq_ft)],
    };
    let (width, height) = sign.size(lettering);
    let id_width = Lettered::cap(lettering.note).width(&room.id) + 2.0;
    let mut inside = room_places(room_ring(room, view), 0.0, 0.0);
    inside.sort_by(|a, b| a.1.cost.total_cmp(&b.1.cost));
    let feet = inside.iter().take(FEET).map(|it| it.0).collect();
    let mut label = Label::new(sign, *lettering, feet);
    for (at, candidate) in room_places(room_ring(room, view), width, height) {
        label.push(
            TagPlace {
                side: Side::Right,
                ..plain(at)
            },
            candidate,
        );
    }
    // In a closet full of the architect's words the id alone must do.
    for (at, mut candidate) in room_places(room_ring(room, view), id_width, lettering.note + 2.0) {
        candidate.cost += ID_ALONE;
        label.push(plain(at), candidate);
    }
    label
}

fn room_ring(room: &Room, view: &PlanView) -> Vec<Spot> {
    room.outline.iter().map(|p| view.paper(*p)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_that_follow_each_other_are_said_by_the_first_and_the_last() {
        assert_eq!(id_list(&["I61", "I62", "I63", "I70"]), "I61-I63, I70");
        assert_eq!(id_list(&["I9"]), "I9");
    }
}
