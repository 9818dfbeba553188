//! Storey by storey: outline through the bridge, walls behind its faces, corners, heights, openings, tees.

use super::as_issued::{AsIssued, issued_lengths, told};
use super::bridge::{
    INCH_STEP, METRIC_STEP, SnappedFace, dominant_direction, snap_as_issued, snap_outline,
};
use super::codes;
use super::faces::{Face, faces_of};
use super::heights::{deck, height_stack, job_storey, profile, wall_height};
use super::interior::raise_interior;
use super::liners;
use super::model::{Building, BuildingStorey, Corner, CornerKind, PanelWall, Tee, WallRole};
use super::openings::raise_openings;
use super::outline::{distance, true_corners};
use super::references::check_references;
use super::scope::check_scope;
use super::sizes::{self, Moved};
use super::{skin_drop, stacked};
use crate::drawing::DrawingUnit;
use crate::findings::{Code, Finding, Outcome, Place};
use crate::geometry::Frame;
use crate::geometry::tolerance::{BRIDGE_MOVE, SQUARE_ANGLE_DEG};
use crate::plan::{Plan, Storey, ToBuilding};
use crate::rules::{Job, JobWall, PlantRules};
use crate::units::Length;
use geo::Coord;

/// What every step of raising reads, and the findings it adds to.
pub(super) struct Raising<'a> {
    pub(super) job: &'a Job,
    pub(super) rules: &'a PlantRules,
    pub(super) step: Length,
    /// What the issue before was built to.
    pub(super) issued: &'a AsIssued,
    /// How many sizes are as issued and would else be rounded otherwise.
    pub(super) n_kept: usize,
    pub(super) findings: Vec<Finding>,
    /// Walls of the storey being raised, with how far the panels' faces move from the drawn ones.
    pub(super) moved: Vec<Moved>,
    /// Doubts told together: code, message with `{ids}` and hint, and the openings concerned.
    together: Vec<(Code, String, &'static str, Vec<String>)>,
}

impl Raising<'_> {
    /// Adds an opening to a doubt that is told once for all of a storey; `{ids}` in the message stands for them.
    pub(super) fn together(&mut self, code: Code, message: String, hint: &'static str, id: &str) {
        let same = self
            .together
            .iter_mut()
            .find(|(known, text, ..)| *known == code && *text == message);
        match same {
            Some((.., ids)) => ids.push(id.to_owned()),
            None => self
                .together
                .push((code, message, hint, vec![id.to_owned()])),
        }
    }

    fn tell_together(&mut self, storey: &Storey) {
        for (code, message, hint, ids) in std::mem::take(&mut self.together) {
            let place = match ids.as_slice() {
                [one] => element_place(storey, one),
                _ => storey_place(storey),
            };
            let message = message.replace("{ids}", &ids.join(", "));
            self.findings
                .push(Finding::doubt(code, place, message, hint));
        }
    }
}

/// Raises a plan into panel walls.
///
/// - Sizes come from the job, then the plan, then the plant's defaults; each default taken is a finding.
/// - What cannot be raised is a fault that names it, and the rest goes on: an opening that cannot be where it is drawn is
///   left out or cut down, and its wall is on hold.
/// - Lengths are exact; angles and places are floating point, inches, building coordinates.
#[must_use]
pub fn raise_building(plan: &Plan, job: &Job, rules: &PlantRules) -> Outcome<Building> {
    raise_as_issued(plan, job, rules, &AsIssued::default())
}

/// The same, where sizes that differ from the issue before by rounding alone stay as they were issued; a note says how many.
#[must_use]
pub fn raise_as_issued(
    plan: &Plan,
    job: &Job,
    rules: &PlantRules,
    issued: &AsIssued,
) -> Outcome<Building> {
    let mut raising = Raising {
        job,
        rules,
        step: snap_step(plan.unit),
        issued,
        n_kept: 0,
        findings: Vec::new(),
        moved: Vec::new(),
        together: Vec::new(),
    };
    let mut building = Building {
        snap_step: raising.step,
        ..Building::default()
    };
    let mut below = None;
    for storey in &plan.storeys {
        let deck = deck(&mut raising, storey, below);
        let index = building.storeys.len();
        let first = building.walls.len();
        building.storeys.push(BuildingStorey {
            id: storey.id.clone(),
            name: if storey.name.is_empty() {
                storey.id.clone()
            } else {
                storey.name.clone()
            },
            floor: deck.floor,
            floor_kind: deck.kind,
            floor_depth: deck.depth,
            outline: Vec::new(),
        });
        raise_storey(&mut raising, storey, index, &mut building);
        let walls = building.walls.get_mut(first..).unwrap_or_default();
        for wall in walls.iter_mut() {
            wall.on_hold |= deck.is_unknown;
        }
        // A floor lies on walls that are level; a gable stands beside it.
        let level = walls.iter().filter(|wall| wall.profile.is_level());
        let cap = level.map(|wall| wall.stack.cap_top).max();
        let cap = cap.unwrap_or_else(|| {
            let height = wall_height(&raising, storey, None).0;
            height_stack(&raising, height).cap_top
        });
        below = Some((deck.floor, cap));
    }
    stacked::line_up(&mut raising, plan, &mut building);
    stacked::bear_on_below(&mut building, rules);
    raising.findings.extend(told(raising.n_kept));
    check_references(&mut raising, plan);
    check_scope(&mut raising, &building);
    Outcome {
        output: building,
        findings: raising.findings,
    }
}

fn snap_step(unit: DrawingUnit) -> Length {
    match unit {
        DrawingUnit::Inch | DrawingUnit::Foot => INCH_STEP,
        DrawingUnit::Millimetre | DrawingUnit::Centimetre | DrawingUnit::Metre => METRIC_STEP,
    }
}

/// From a storey's drawing coordinates to building coordinates.
pub(super) fn to_building(place: &ToBuilding, point: Coord<f64>) -> Coord<f64> {
    let (x, y) = if place.turn_deg == 0.0 {
        (point.x, point.y)
    } else {
        let (sine, cosine) = place.turn_deg.to_radians().sin_cos();
        (
            point.x * cosine - point.y * sine,
            point.x * sine + point.y * cosine,
        )
    };
    let [shift_x, shift_y] = place.shift;
    Coord {
        x: x + shift_x,
        y: y + shift_y,
    }
}

/// From building coordinates back to a storey's drawing coordinates, for places in findings.
pub(super) fn to_drawing(place: &ToBuilding, point: Coord<f64>) -> Coord<f64> {
    let [shift_x, shift_y] = place.shift;
    let unshifted = ToBuilding {
        shift: [0.0, 0.0],
        turn_deg: -place.turn_deg,
        ..*place
    };
    to_building(
        &unshifted,
        Coord {
            x: point.x - shift_x,
            y: point.y - shift_y,
        },
    )
}

/// The place of a wall or an opening of a storey.
pub(super) fn element_place(storey: &Storey, id: &str) -> Place {
    Place {
        file: file_of(storey),
        ..Place::element(&storey.id, id)
    }
}

/// The place of a storey as a whole.
pub(super) fn storey_place(storey: &Storey) -> Place {
    Place {
        file: file_of(storey),
        storey: Some(storey.id.clone()),
        ..Place::default()
    }
}

fn file_of(storey: &Storey) -> Option<String> {
    (!storey.file.is_empty()).then(|| storey.file.clone())
}

/// Adds the walls of one storey to the building.
fn raise_storey(
    raising: &mut Raising<'_>,
    storey: &Storey,
    storey_index: usize,
    building: &mut Building,
) {
    let drawn: Vec<Coord<f64>> = storey
        .outline
        .iter()
        .map(|point| to_building(&storey.to_building, *point))
        .collect();
    let corners = true_corners(&drawn);
    if corners.len() < 3 {
        if storey.walls.iter().any(|wall| wall.is_exterior) || building.storeys.len() == 1 {
            raising.findings.push(Finding::fault(
                codes::OUTLINE_OPEN,
                storey_place(storey),
                format!(
                    "the outline of storey {} does not close, so none of its walls can be raised",
                    storey.id
                ),
                "close the gap in the drawing, or correct the plan in job.toml ([[correction]]); trace.svg shows it",
            ));
        }
        return;
    }
    let faces = faces_of(raising, storey, &corners);
    let outward: Vec<Length> = faces.iter().map(|face| face.outward).collect();
    let free = snap_outline(&corners, &outward, raising.step);
    let places = free.iter().map(|it| (it.frame, it.length));
    let lengths = issued_lengths(raising.issued, &storey.id, places);
    let snapped = snap_as_issued(&corners, &outward, raising.step, &lengths);
    let pairs = free.iter().zip(&snapped);
    raising.n_kept += pairs.filter(|(a, b)| a.length != b.length).count();
    report_moves(raising, storey, &faces, &snapped);
    if let Some(place) = building.storeys.get_mut(storey_index) {
        place.outline = snapped.iter().map(|face| face.frame.origin).collect();
    }
    let first = building.walls.len();
    let standing: Vec<(&Face, &SnappedFace)> = faces
        .iter()
        .zip(&snapped)
        .filter(|(face, snapped)| stands(raising, storey, face, snapped))
        .collect();
    let n_walls = standing.len();
    for (index, (face, snapped)) in standing.iter().enumerate() {
        let before = standing.get((index + n_walls - 1) % n_walls);
        let after = standing.get((index + 1) % n_walls);
        let mut wall = raise_wall(raising, storey, storey_index, face, snapped);
        wall.left = before.map_or_else(Corner::default, |(_, other)| {
            corner(other, snapped, first + (index + n_walls - 1) % n_walls)
        });
        wall.right = after.map_or_else(Corner::default, |(_, other)| {
            corner(snapped, other, first + (index + 1) % n_walls)
        });
        let met = |corner: &Corner, other: Option<&&(&Face, &SnappedFace)>| {
            let (face, _) = other?;
            let assembly = raising.rules.assemblies.get(face.assembly)?;
            match corner.kind {
                CornerKind::Outside => Some(assembly.thickness()),
                // The other wall ends beyond the corner, behind this one's face.
                CornerKind::Inside => Some(Length::ZERO),
                CornerKind::Odd | CornerKind::Tee | CornerKind::Free => None,
            }
        };
        let [from, to] = wall.stops.map(|stop| stop > Length::ZERO);
        let corners = [
            met(&wall.left, before.as_ref()).filter(|_| !from),
            met(&wall.right, after.as_ref()).filter(|_| !to),
        ];
        raise_openings(raising, storey, face, &mut wall, corners);
        building.walls.push(wall);
    }
    part_corners(building.walls.get_mut(first..).unwrap_or_default());
    let room = room_below(building, storey_index, raising);
    let standing = building.walls.get_mut(first..).unwrap_or_default();
    skin_drop::report(raising, storey, standing, room);
    let ends = corners.iter().zip(corners.iter().cycle().skip(1));
    for (face, (from, to)) in faces.iter().zip(ends) {
        if let Some(line) = Frame::from_points(*from, *to) {
            face.tell_moved(raising, line, distance(*from, *to));
        }
    }
    raise_interior(raising, storey, (storey_index, first), building);
    let turn = dominant_direction(&corners);
    sizes::report(raising, storey, (&corners, &outward), turn);
    let standing = building.walls.get_mut(first..).unwrap_or_default();
    liners::report(raising, storey, standing);
    report_assumed_heights(
        raising,
        storey,
        building.walls.get(first..).unwrap_or_default(),
    );
    raising.tell_together(storey);
    report_lost_openings(raising, storey, &faces);
}

/// From the top of the panels below up to a storey's deck; `None` on the lowest.
fn room_below(building: &Building, storey: usize, raising: &Raising<'_>) -> Option<Length> {
    let depth = building.storeys.get(storey)?.floor_depth;
    let cap = if raising.rules.plates.has_cap {
        raising.rules.plates.thickness
    } else {
        Length::ZERO
    };
    (storey > 0).then_some(depth + cap)
}

/// Where panels stop short of a corner no walls meet.
fn part_corners(walls: &mut [PanelWall]) {
    let n = walls.len();
    for index in 0..n {
        let [from, to] = walls[index].stops;
        if from > Length::ZERO {
            walls[index].left = Corner::default();
            walls[(index + n - 1) % n].right = Corner::default();
        }
        if to > Length::ZERO {
            walls[index].right = Corner::default();
            walls[(index + 1) % n].left = Corner::default();
        }
    }
}

/// The part of a wall that is made of panels, and whether what the job says of it is possible.
fn panelled(
    raising: &mut Raising<'_>,
    place: &Place,
    entry: Option<&JobWall>,
    length: Length,
) -> ([Length; 2], bool) {
    let [from, to] = entry.map_or([None, None], |entry| entry.panelled);
    let stretch = [from.unwrap_or_default(), to.unwrap_or(length)];
    let [from, to] = stretch;
    let is_possible = Length::ZERO <= from && from < to && to <= length;
    if !is_possible {
        let message = format!(
            "panels from {from} to {to} are none: the wall runs from 0\" to {length}; all of it is drawn"
        );
        let hint = "correct from and to of this [[wall.only]] in job.toml";
        let fault = Finding::fault(codes::BEYOND_PANELS, place.clone(), message, hint);
        raising.findings.push(fault);
        return ([Length::ZERO, length], false);
    }
    (stretch, true)
}

/// Openings of exterior walls that lie on no face are lost: a fault, never silence.
fn report_lost_openings(raising: &mut Raising<'_>, storey: &Storey, faces: &[Face]) {
    for opening in &storey.openings {
        let is_exterior = storey
            .walls
            .iter()
            .any(|wall| wall.id == opening.wall && wall.is_exterior);
        if is_exterior && !faces.iter().any(|face| face.has_wall(&opening.wall)) {
            raising.findings.push(Finding::fault(
                codes::OPENING_WITHOUT_FACE,
                element_place(storey, &opening.id)
                    .with_at(opening.centre.x, opening.centre.y)
                    .with_sources(opening.sources.iter()),
                format!(
                    "{} stands in {}, which has no face on the outline: it is in no panel",
                    opening.id, opening.wall
                ),
                "correct the outline in the drawing, or the wall in job.toml ([[correction]])",
            ));
        }
    }
}

/// False, with a fault, for a face that offsets have eaten up.
fn stands(raising: &mut Raising<'_>, storey: &Storey, face: &Face, snapped: &SnappedFace) -> bool {
    if snapped.length > Length::ZERO {
        return true;
    }
    raising.findings.push(Finding::fault(
        codes::FACE_WITHOUT_WALL,
        element_place(storey, &face.id),
        format!("{} has no length left once panels of their own thickness stand there", face.id),
        "hold another line of the wall (wall.hold), or take an assembly nearer to the drawn thickness",
    ));
    false
}

pub(super) fn raise_wall(
    raising: &mut Raising<'_>,
    storey: &Storey,
    storey_index: usize,
    face: &Face,
    snapped: &SnappedFace,
) -> PanelWall {
    let entry = face.job_wall(raising.job);
    let (height, _) = wall_height(raising, storey, entry);
    let mut stack = height_stack(raising, height);
    let plates = raising.rules.plates.thickness * 2;
    let too_low = stack.panel_top <= plates;
    let mut tees = tees(raising, storey, face, snapped);
    let issued = raising.issued;
    if let Some(under) = issued.under(&storey.id, &snapped.frame, snapped.length) {
        raising.n_kept += under.keep_tees(&mut tees);
    }
    let place = element_place(storey, &face.id).with_sources(face.sources.iter());
    let named = (face.id.as_str(), snapped.length);
    let (profile, is_possible) = profile(raising, &place, entry, named, &stack);
    let (panelled, is_stretch) = panelled(raising, &place, entry, snapped.length);
    let [from, to] = panelled;
    let bounds = profile.bounds(from, to);
    let cap = stack.cap_top - stack.panel_top;
    (stack.panel_bottom, stack.panel_top) = (bounds.y0, bounds.y1);
    stack.cap_top = stack.panel_top + cap;
    if too_low {
        raising.findings.push(Finding::fault(
            codes::WALL_TOO_LOW,
            element_place(storey, &face.id),
            format!(
                "{} is {height} high: no panel is left between its plates",
                face.id
            ),
            "correct the height in job.toml",
        ));
    }
    let bearing: Vec<&str> = raising
        .job
        .loads
        .bearing
        .iter()
        .filter(|line| face.has_wall(&line.wall))
        .map(|line| line.carries.as_str())
        .collect();
    PanelWall {
        id: face.id.clone(),
        name: entry
            .and_then(|entry| entry.name.clone())
            .unwrap_or_else(|| face.id.clone()),
        storey: storey.id.clone(),
        storey_index,
        frame: snapped.frame,
        face_length: snapped.length,
        stops: [from, snapped.length - to],
        assembly: face.assembly,
        stack,
        skin_drop: skin_drop::skin_drop(raising, entry),
        profile,
        role: WallRole::Exterior,
        left: Corner::default(),
        right: Corner::default(),
        openings: Vec::new(),
        tees,
        jacks_above: Vec::new(),
        held: face.hold,
        drawn_thickness: face.drawn_thickness,
        bears: entry
            .and_then(|entry| entry.bears)
            .unwrap_or(!raising.job.is_carried),
        bearing: bearing.join("; "),
        on_hold: face.on_hold || too_low || !is_possible || !is_stretch,
        sources: face.sources.clone(),
    }
}

/// The corner between two faces that follow each other; `with` is the wall on the other side of it.
fn corner(before: &SnappedFace, after: &SnappedFace, with: usize) -> Corner {
    let (a, b) = (before.frame.along, after.frame.along);
    let turn_deg = (a.x * b.y - a.y * b.x)
        .atan2(a.x * b.x + a.y * b.y)
        .to_degrees();
    let kind = if (turn_deg - 90.0).abs() <= SQUARE_ANGLE_DEG {
        CornerKind::Outside
    } else if (turn_deg + 90.0).abs() <= SQUARE_ANGLE_DEG {
        CornerKind::Inside
    } else {
        CornerKind::Odd
    };
    Corner {
        with: Some(with),
        kind,
        turn_deg,
    }
}

/// Interior walls that end on this wall's centre line: how much of the host each takes.
fn tees(raising: &Raising<'_>, storey: &Storey, face: &Face, snapped: &SnappedFace) -> Vec<Tee> {
    let mut tees = Vec::new();
    let reach = face.drawn_thickness + 1.0;
    for wall in storey.walls.iter().filter(|wall| !wall.is_exterior) {
        let start = to_building(&storey.to_building, wall.start);
        let end = to_building(&storey.to_building, wall.end);
        let Some(frame) = Frame::from_points(start, end) else {
            continue;
        };
        let host = snapped.frame.along;
        let sine = (frame.along.x * host.y - frame.along.y * host.x).abs();
        // A wall that runs nearly along the host lies beside it, and does not meet it.
        if sine < 0.2 {
            continue;
        }
        for point in [start, end] {
            let (along, out) = snapped.frame.local(point);
            let half = wall.thickness / 2.0 / sine;
            let from = Length::nearest(along - half, raising.step);
            let to = Length::nearest(along + half, raising.step);
            if let (Some(from), Some(to)) = (from, to)
                && out <= 1.0
                && out >= -reach
                && to > Length::ZERO
                && from < snapped.length
            {
                tees.push(Tee {
                    wall: wall.id.clone(),
                    from,
                    to,
                });
            }
        }
    }
    tees.sort_by(|a, b| (a.from, a.to, &a.wall).cmp(&(b.from, b.to, &b.wall)));
    tees
}

fn report_moves(
    raising: &mut Raising<'_>,
    storey: &Storey,
    faces: &[Face],
    snapped: &[SnappedFace],
) {
    for (face, snapped) in faces.iter().zip(snapped) {
        if snapped.moved > BRIDGE_MOVE {
            let Coord { x, y } = to_drawing(&storey.to_building, snapped.frame.origin);
            raising.findings.push(Finding::doubt(
                codes::MOVED,
                element_place(storey, &face.id)
                    .with_at(x, y)
                    .with_sources(face.sources.iter()),
                format!(
                    "the left corner of {} was moved by {:.3}\" to make the outline square and its lengths whole",
                    face.id, snapped.moved
                ),
                "draw the outline square to 1/64\", or confirm the lengths on the key plan",
            ));
        }
    }
}

fn report_assumed_heights(raising: &mut Raising<'_>, storey: &Storey, walls: &[PanelWall]) {
    let is_stated = raising.job.wall_height.is_some()
        || job_storey(raising, storey).is_some_and(|entry| entry.wall_height.is_some());
    let assumed: Vec<&str> = walls
        .iter()
        .filter(|wall| {
            let entry = raising
                .job
                .walls
                .iter()
                .rev()
                .find(|entry| entry.wall == wall.id);
            !is_stated && entry.is_none_or(|entry| entry.wall_height.is_none())
        })
        .map(|wall| wall.id.as_str())
        .collect();
    if !assumed.is_empty() {
        let message = format!(
            "no wall height is stated: {} takes {} from the plant rules (default_wall_height)",
            assumed.join(", "),
            raising.rules.default_wall_height.feet_inches()
        );
        raising.findings.push(Finding::doubt(
            codes::HEIGHT_ASSUMED,
            storey_place(storey),
            message,
            "give it in job.toml: [wall] height = \"9'-0\\\"\"",
        ));
    }
}

#[cfg(test)]
mod tests;
