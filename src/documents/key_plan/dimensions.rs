//! Strings of dimensions round the building: panel modules wall by wall, faces, overall.
//!
//! ```text
//!   edge ──┬── marks ──┬── panels ──┬── (panels of a wall that laps) ──┬── faces ──┬── overall
//! ```
//!
//! Walls along the sheet have their strings at its sides, those at an angle and those inside a court beside themselves.

use super::scene::{Scene, SceneWall};
use crate::documents::paper::dimension::{
    DimensionString, PRINTED, Side, dimension_string, printed_pieces,
};
use crate::documents::paper::{Area, Canvas, Spot};
use crate::documents::plan_view::{PlanView, turned};
use crate::layout::RunPiece;
use crate::units::Length;
use geo::Coord;

/// The sides in a fixed order.
pub(super) const SIDES: [Side; 4] = [Side::Above, Side::Right, Side::Below, Side::Left];

/// Their names in ids, same order.
const SIDE_NAMES: [&str; 4] = ["above", "right", "below", "left"];

/// How deep the lane of marks is on each side of [`SIDES`], mm.
pub(super) type MarkDepths = [f64; 4];

/// Which string of a side a wall has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Lane {
    /// At a side, in the lane of that number from 0.
    AtSide(usize, usize),
    /// Beside the wall itself.
    Beside,
}

/// Positions of a wall's modules: corner, left edges of panels and of openings between panels, end of the run, corner.
///
/// Inches from the left corner, exact, rising. A module is a panel and the gap after it.
pub(super) fn module_ends(wall: &SceneWall<'_>) -> Vec<Length> {
    let layout = wall.layout;
    let mut ends = vec![layout.from];
    for piece in &layout.run {
        match piece {
            RunPiece::Panel { from, .. } | RunPiece::Opening { from, .. } => {
                ends.push(layout.from + *from);
            }
            RunPiece::Gap { .. } => {}
        }
    }
    ends.push(layout.to);
    // Where the run stops short of a corner, the corner stands in the string too.
    if layout.from > Length::ZERO {
        ends.push(Length::ZERO);
    }
    if layout.to < wall.wall.face_length {
        ends.push(wall.wall.face_length);
    }
    ends.sort();
    ends.dedup();
    ends
}

/// The side a wall faces, when it lies along the sheet.
pub(super) fn side_of(wall: &SceneWall<'_>, turn: f64) -> Option<usize> {
    let out = turned(wall.wall.frame.out(), turn);
    const LEVEL: f64 = 1e-3;
    if out.x.abs() < LEVEL {
        Some(if out.y > 0.0 { 0 } else { 2 })
    } else if out.y.abs() < LEVEL {
        Some(if out.x > 0.0 { 1 } else { 3 })
    } else {
        None
    }
}

/// A wall in the turned axes: its stretch along its side, and how far out it lies.
fn stretch(wall: &SceneWall<'_>, side: usize, turn: f64) -> ([f64; 2], f64) {
    let from = wall.layout.from.min(Length::ZERO).to_inches();
    let to = wall.layout.to.max(wall.wall.face_length).to_inches();
    let (a, b) = (
        turned(wall.face(from, 0.0), turn),
        turned(wall.face(to, 0.0), turn),
    );
    let is_upright = side % 2 == 1;
    let (p, q, out) = if is_upright {
        (a.y, b.y, a.x)
    } else {
        (a.x, b.x, a.y)
    };
    let out = if side < 2 { out } else { -out };
    ([p.min(q), p.max(q)], out)
}

/// The string of every wall: those seen from a side stand at it, in as few lanes as they need.
pub(super) fn lanes(scene: &Scene<'_>) -> Vec<Lane> {
    let mut lanes = vec![Lane::Beside; scene.walls.len()];
    for side in 0..SIDES.len() {
        let mut facing: Vec<(usize, [f64; 2], f64, f64)> = scene
            .walls
            .iter()
            .enumerate()
            .filter(|(_, it)| side_of(it, scene.turn) == Some(side))
            .map(|(index, it)| {
                let (range, out) = stretch(it, side, scene.turn);
                (index, range, out, it.thickness)
            })
            .collect();
        facing.sort_by(|a, b| b.2.total_cmp(&a.2).then(a.1[0].total_cmp(&b.1[0])));
        let mut placed: Vec<([f64; 2], usize)> = Vec::new();
        for (index, range, _, thickness) in facing {
            let shared = |other: &[f64; 2]| range[1].min(other[1]) - range[0].max(other[0]);
            // A run that passes an inside corner laps its neighbour by a wall's thickness; more than two is a wall behind.
            let is_behind = placed
                .iter()
                .any(|(other, _)| shared(other) > 2.0 * thickness);
            if is_behind {
                continue;
            }
            let lane = (0..=placed.len())
                .find(|lane| {
                    placed
                        .iter()
                        .all(|(other, taken)| taken != lane || shared(other) <= 0.01)
                })
                .unwrap_or(0);
            placed.push((range, lane));
            if let Some(it) = lanes.get_mut(index) {
                *it = Lane::AtSide(side, lane);
            }
        }
    }
    lanes
}

/// How many strings of panels each side has.
fn n_lanes(lanes: &[Lane], side: usize) -> usize {
    lanes
        .iter()
        .filter_map(|lane| match lane {
            Lane::AtSide(on, number) if *on == side => Some(number + 1),
            Lane::AtSide(..) | Lane::Beside => None,
        })
        .max()
        .unwrap_or(0)
}

/// How far the strings of a side reach from the building's edge, mm.
pub(super) fn side_depth(
    scene: &Scene<'_>,
    lanes: &[Lane],
    side: usize,
    marks: &MarkDepths,
) -> f64 {
    let has_faces = faces_at(scene, lanes, side).len() > 2;
    let strings = u32::try_from(n_lanes(lanes, side) + usize::from(has_faces)).unwrap_or(u32::MAX);
    // Half a lane before the first string and half a lane for the texts of the overall.
    marks.get(side).copied().unwrap_or(0.0) + (f64::from(strings) + 1.0) * scene.lane()
}

/// Where the corners of the building and those of walls seen from a side lie along it, level, rising.
fn faces_at(scene: &Scene<'_>, lanes: &[Lane], side: usize) -> Vec<Coord<f64>> {
    let at = |p: &Coord<f64>| {
        let level = turned(*p, scene.turn);
        if side % 2 == 1 { level.y } else { level.x }
    };
    let mut corners = scene.corners();
    corners.sort_by(|a, b| at(a).total_cmp(&at(b)));
    let mut faces: Vec<Coord<f64>> = corners
        .first()
        .into_iter()
        .chain(corners.last())
        .copied()
        .collect();
    for (wall, lane) in scene.walls.iter().zip(lanes) {
        if matches!(lane, Lane::AtSide(on, _) if *on == side) {
            faces.push(wall.face(0.0, 0.0));
            faces.push(wall.face(wall.wall.face_length.to_inches(), 0.0));
        }
    }
    faces.sort_by(|a, b| at(a).total_cmp(&at(b)));
    faces.dedup_by(|a, b| (at(a) - at(b)).abs() < crate::geometry::tolerance::WALL_TO_WALL);
    faces
}

/// Draws the strings at the sides; returns what they had no room to print, string by string.
pub(super) fn draw_dimensions(
    canvas: &mut Canvas,
    scene: &Scene<'_>,
    view: &PlanView,
    lanes: &[Lane],
    marks: &MarkDepths,
) -> Vec<String> {
    let mut left = Vec::new();
    let corners: Vec<Spot> = scene.corners().iter().map(|p| view.paper(*p)).collect();
    let Some(building) = Area::around(&corners) else {
        return left;
    };
    for (side, side_name) in SIDE_NAMES.iter().enumerate() {
        for number in 0..n_lanes(lanes, side) {
            let walls = scene.walls.iter().zip(lanes);
            let here: Vec<&SceneWall<'_>> = walls
                .filter(|(_, lane)| **lane == Lane::AtSide(side, number))
                .map(|(wall, _)| wall)
                .collect();
            let (ends, words) = row_of(&here, side, scene.turn, view);
            let names: Vec<&str> = here.iter().map(|it| it.name()).collect();
            let id = format!("string-{}-{}", side_name, number + 1);
            let title = format!("Panels of {}", names.join(", "));
            let depth = marks.get(side).copied().unwrap_or(0.0);
            let lane = depth + (0..number).fold(scene.lane() * 0.5, |sum, _| sum + scene.lane());
            canvas.group(&id, &title, |canvas| {
                let short = draw_at_side(canvas, scene, side, &building, &ends, &words, lane);
                let about = format!("panels of {}", names.join(", "));
                left.extend(left_of_string(&about, side, &words, &short));
            });
        }
    }
    canvas.group("strings-overall", "Faces and overall", |canvas| {
        for side in 0..SIDES.len() {
            left.extend(draw_overall(
                canvas, scene, view, &building, side, lanes, marks,
            ));
        }
    });
    left
}

/// What the notes say of the pieces of a string that have no length printed.
///
/// - `short`: which pieces, in order on the paper.
pub(super) fn left_of_string(
    about: &str,
    side: usize,
    words: &[String],
    short: &[usize],
) -> Option<String> {
    let lengths: Vec<&str> = short
        .iter()
        .filter_map(|piece| words.get(*piece).map(String::as_str))
        .collect();
    let start = if side % 2 == 1 { "top" } else { "left" };
    (!lengths.is_empty()).then(|| {
        format!(
            "lengths of {about} (those too short for them, from the {start}: {})",
            counted(&lengths).join(", ")
        )
    })
}

/// Lengths in order; three or more alike that follow each other as one with how many: `99 × 8'-0"`.
fn counted(lengths: &[&str]) -> Vec<String> {
    let alike = lengths.chunk_by(|a, b| a == b);
    alike
        .flat_map(|run| match run {
            [first, _, _, ..] => vec![format!("{} × {first}", run.len())],
            short => short.iter().map(|it| (*it).to_owned()).collect(),
        })
        .collect()
}

/// Positions of one wall along its side, level inches and paper, and what is printed between them.
type WallRow = (Vec<(f64, f64)>, Vec<String>);

/// One row of a side: the modules of its walls, and what lies between two walls that do not meet.
///
/// Positions on paper along the side, rising, and what is printed between them.
fn row_of(
    walls: &[&SceneWall<'_>],
    side: usize,
    turn: f64,
    view: &PlanView,
) -> (Vec<f64>, Vec<String>) {
    let is_upright = side % 2 == 1;
    let place = |wall: &SceneWall<'_>, along: Length| {
        let p = wall.face(along.to_inches(), 0.0);
        let (level, paper) = (turned(p, turn), view.paper(p));
        if is_upright {
            (level.y, paper.y)
        } else {
            (level.x, paper.x)
        }
    };
    let mut strings: Vec<WallRow> = walls
        .iter()
        .map(|wall| {
            let ends = module_ends(wall);
            let mut words = printed_pieces(&ends);
            let mut places: Vec<(f64, f64)> = ends.iter().map(|end| place(wall, *end)).collect();
            if places.first().map(|it| it.1) > places.last().map(|it| it.1) {
                places.reverse();
                words.reverse();
            }
            (places, words)
        })
        .collect();
    strings.sort_by(|a, b| {
        let start = |it: &WallRow| it.0.first().map_or(0.0, |p| p.1);
        start(a).total_cmp(&start(b))
    });
    let mut row: Vec<(f64, f64)> = Vec::new();
    let mut words = Vec::new();
    for (places, pieces) in strings {
        let mut places = places.into_iter();
        let first = places.next();
        if let (Some(last), Some(first)) = (row.last().copied(), first) {
            let between = (first.0 - last.0).abs();
            if between > crate::geometry::tolerance::WALL_TO_WALL {
                let length = Length::nearest(between, PRINTED).unwrap_or_default();
                words.push(length.feet_inches().to_string());
                row.push(first);
            }
        } else {
            row.extend(first);
        }
        row.extend(places);
        words.extend(pieces);
    }
    (row.into_iter().map(|it| it.1).collect(), words)
}

/// Returns which pieces have no length printed.
pub(super) fn draw_at_side(
    canvas: &mut Canvas,
    scene: &Scene<'_>,
    side: usize,
    building: &Area,
    ends: &[f64],
    words: &[String],
    lane: f64,
) -> Vec<usize> {
    let Some(kind) = SIDES.get(side).copied() else {
        return Vec::new();
    };
    dimension_string(
        canvas,
        &DimensionString {
            side: kind,
            edge: edge_of(kind, building),
            ends,
            words,
            lane,
            // Texts of the string before that found no room between their ticks stand below this.
            from: lane - scene.lane() * 0.34,
            cap: scene.lettering().note,
        },
    )
}

fn edge_of(side: Side, building: &Area) -> f64 {
    match side {
        Side::Left => building.x0,
        Side::Right => building.x1,
        Side::Above => building.y0,
        Side::Below => building.y1,
    }
}

/// Corners on one side, and over them the overall; returns what had no room.
fn draw_overall(
    canvas: &mut Canvas,
    scene: &Scene<'_>,
    view: &PlanView,
    building: &Area,
    side: usize,
    lanes: &[Lane],
    marks: &MarkDepths,
) -> Vec<String> {
    let mut left = Vec::new();
    let is_upright = side % 2 == 1;
    let pick = |p: Coord<f64>| {
        let level = turned(p, scene.turn);
        let paper = view.paper(p);
        if is_upright {
            (level.y, paper.y)
        } else {
            (level.x, paper.x)
        }
    };
    let mut faces: Vec<(f64, f64)> = faces_at(scene, lanes, side).into_iter().map(pick).collect();
    faces.sort_by(|a, b| a.1.total_cmp(&b.1));
    let (Some(first), Some(last)) = (faces.first().copied(), faces.last().copied()) else {
        return left;
    };
    let depth = marks.get(side).copied().unwrap_or(0.0);
    let mut lane =
        depth + (0..n_lanes(lanes, side)).fold(scene.lane() * 0.5, |sum, _| sum + scene.lane());
    let mut rows = Vec::new();
    if faces.len() > 2 {
        rows.push(faces);
    }
    rows.push(vec![first, last]);
    for row in rows {
        let ends: Vec<Length> = row
            .iter()
            .map(|(level, _)| {
                let from_first = (level - first.0).abs();
                Length::nearest(from_first, Length::nanometres(1)).unwrap_or_default()
            })
            .collect();
        let words = printed_pieces(&ends);
        let places: Vec<f64> = row.iter().map(|(_, p)| *p).collect();
        let short = draw_at_side(canvas, scene, side, building, &places, &words, lane);
        left.extend(left_of_string("faces", side, &words, &short));
        lane += scene.lane();
    }
    left
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::parse_length;

    #[test]
    fn lengths_alike_that_follow_each_other_are_told_once() {
        let words = ["4'-0\"", "8'-0\"", "8'-0\"", "8'-0\"", "2'-0\"", "2'-0\""].map(str::to_owned);
        let told = left_of_string("panels of X1", 0, &words, &[0, 1, 2, 3, 4, 5]).unwrap();
        assert!(
            told.ends_with("from the left: 4'-0\", 3 × 8'-0\", 2'-0\", 2'-0\")"),
            "{told}"
        );
    }

    #[test]
    fn pieces_add_up_to_the_overall_as_printed_whatever_they_are() {
        // Seven thirds of a foot and odd nanometres: nothing here lies on a sixteenth. Rounding rule: trade.md 4.2.
        let ends: Vec<Length> = (0..8)
            .map(|i| Length::nanometres(i * 711_199_999 + i * i * 12_345_677))
            .collect();
        let whole = printed_pieces(&[ends[0], ends[7]]);
        let sum = printed_pieces(&ends)
            .iter()
            .map(|piece| parse_length(piece).unwrap())
            .fold(Length::ZERO, |sum, piece| sum + piece);
        assert_eq!(sum, parse_length(&whole[0]).unwrap());
        assert_eq!(
            printed_pieces(&[Length::ZERO, Length::fraction(6, 1, 2)]),
            ["6 1/2\""]
        );
    }
}
