//! Which of the plan's walls stands behind each face of the outline, what it is made of, and which of its lines is held.

use super::codes;
use super::hold::{HeldLayer, hold, report};
use super::outline::distance;
use super::raise::{Raising, element_place, storey_place, to_building, to_drawing};
use super::sizes::Moved;
use crate::findings::{Finding, Place};
use crate::geometry::Frame;
use crate::geometry::tolerance::{BRIDGE_MOVE, WALL_ON_FACE};
use crate::plan::{Storey, Wall};
use crate::rules::{HeldFace, Job, JobWall};
use crate::units::Length;
use geo::Coord;

/// A face of the outline with the wall behind it.
pub(super) struct Face {
    /// Id of the wall, or `F` and a number for a face without one.
    pub(super) id: String,
    /// Ids of all plan walls on it, by position; the first is not always [`Self::id`].
    walls: Vec<String>,
    /// For each of them, true when it runs against the face.
    reversed: Vec<bool>,
    /// As drawn, inches, of the longest one.
    pub(super) drawn_thickness: f64,
    /// Index into the plant's assemblies.
    pub(super) assembly: usize,
    /// Which line of the drawn wall stays.
    pub(super) hold: HeldFace,
    /// The layer of it whose line that is, where the job names one.
    pub(super) layer: Option<HeldLayer>,
    /// How far the outside face moves outwards on that account.
    pub(super) outward: Length,
    /// True when a fault touches it.
    pub(super) on_hold: bool,
    /// Handles it came from.
    pub(super) sources: Vec<String>,
}

impl Face {
    /// True when the plan's wall lies on this face.
    pub(super) fn has_wall(&self, wall: &str) -> bool {
        self.id == wall || self.walls.iter().any(|id| id == wall)
    }

    /// True when the plan's wall runs against the direction of the face.
    pub(super) fn runs_against(&self, wall: &str) -> bool {
        self.walls
            .iter()
            .zip(&self.reversed)
            .any(|(id, reversed)| id == wall && *reversed)
    }

    /// Notes how far the panel's faces move from the drawn ones; `line` is the drawn outside (or OUT) face.
    pub(super) fn tell_moved(&self, raising: &mut Raising<'_>, line: Frame, length: f64) {
        let Some(assembly) = raising.rules.assemblies.get(self.assembly) else {
            return;
        };
        let drawn = Length::nearest(self.drawn_thickness, raising.step).unwrap_or_default();
        raising.moved.push(Moved {
            face: line,
            length,
            thickness: self.drawn_thickness,
            by: [self.outward, assembly.thickness() - drawn - self.outward],
        });
    }

    /// The job's entry for it; the later one wins.
    pub(super) fn job_wall<'a>(&self, job: &'a Job) -> Option<&'a JobWall> {
        job.walls
            .iter()
            .rev()
            .find(|entry| self.has_wall(&entry.wall))
    }
}

/// A plan wall that lies on a face.
struct Behind<'a> {
    wall: &'a Wall,
    from: f64,
    overlap: f64,
    reversed: bool,
}

/// Finds wall, assembly and held line for every face; one for each corner of the outline.
pub(super) fn faces_of(
    raising: &mut Raising<'_>,
    storey: &Storey,
    corners: &[Coord<f64>],
) -> Vec<Face> {
    let mut assumed = Vec::new();
    let mut faces = Vec::with_capacity(corners.len());
    let next = corners.iter().cycle().skip(1);
    for (index, (start, end)) in corners.iter().zip(next).enumerate() {
        let behind = walls_behind(storey, *start, *end);
        let mut face = face(raising, storey, index, [*start, *end], &behind);
        let (assembly, is_stated) = assembly(raising, storey, &mut face);
        face.assembly = assembly;
        if !is_stated {
            assumed.push(face.id.clone());
        }
        let stated = face.job_wall(raising.job).and_then(|entry| entry.hold);
        face.hold = stated.unwrap_or(raising.job.hold);
        let longest = behind.iter().find(|found| found.wall.id == face.id);
        hold(raising, storey, &mut face, longest.map(|found| found.wall));
        faces.push(face);
    }
    report_assumed(raising, storey, &assumed);
    report(raising, storey, &faces);
    faces
}

/// The same for interior walls that are made of panels: their centre line is held unless the job says otherwise.
pub(super) fn interior_faces(
    raising: &mut Raising<'_>,
    storey: &Storey,
    walls: &[&Wall],
) -> Vec<Face> {
    let mut assumed = Vec::new();
    let mut faces = Vec::with_capacity(walls.len());
    for wall in walls {
        let mut face = Face {
            id: wall.id.clone(),
            walls: vec![wall.id.clone()],
            reversed: vec![false],
            drawn_thickness: wall.thickness,
            assembly: 0,
            hold: HeldFace::Centre,
            layer: None,
            outward: Length::ZERO,
            on_hold: false,
            sources: wall.sources.clone(),
        };
        let (assembly, is_stated) = assembly(raising, storey, &mut face);
        face.assembly = assembly;
        if !is_stated {
            assumed.push(face.id.clone());
        }
        let own = face.job_wall(raising.job).and_then(|entry| entry.hold);
        face.hold = own.unwrap_or(HeldFace::Centre);
        hold(raising, storey, &mut face, Some(wall));
        faces.push(face);
    }
    report_assumed(raising, storey, &assumed);
    report(raising, storey, &faces);
    faces
}

/// One finding for all walls of a storey for which nobody names an assembly.
fn report_assumed(raising: &mut Raising<'_>, storey: &Storey, assumed: &[String]) {
    if !assumed.is_empty() {
        let message = format!(
            "no assembly is named: {} takes {} from the plant rules (default_assembly)",
            assumed.join(", "),
            raising.rules.default_assembly
        );
        let place = storey_place(storey);
        let hint = "name it in job.toml: assembly = \"6-1/2\"";
        raising.findings.push(Finding::doubt(
            codes::ASSEMBLY_ASSUMED,
            place,
            message,
            hint,
        ));
    }
}

/// The plan's exterior walls whose outside face lies on a face of the outline, by position.
fn walls_behind(storey: &Storey, start: Coord<f64>, end: Coord<f64>) -> Vec<Behind<'_>> {
    let Some(frame) = Frame::from_points(start, end) else {
        return Vec::new();
    };
    let length = distance(start, end);
    let mut found: Vec<Behind<'_>> = storey
        .walls
        .iter()
        .filter(|wall| wall.is_exterior)
        .filter_map(|wall| {
            let a = frame.local(to_building(&storey.to_building, wall.start));
            let b = frame.local(to_building(&storey.to_building, wall.end));
            let near = |out: f64| (out + wall.thickness / 2.0).abs() <= WALL_ON_FACE;
            // A centre line ends half a wall before the corner; a wall counts by what it covers of the face.
            let (from, to) = (a.0.min(b.0), a.0.max(b.0));
            let overlap = to.min(length) - from.max(0.0);
            let is_along = overlap > 0.0 && (b.1 - a.1).abs() <= WALL_ON_FACE;
            (near(a.1) && near(b.1) && is_along).then_some(Behind {
                wall,
                from,
                overlap,
                reversed: b.0 < a.0,
            })
        })
        .collect();
    found.sort_by(|a, b| {
        a.from
            .total_cmp(&b.from)
            .then_with(|| a.wall.id.cmp(&b.wall.id))
    });
    found
}

fn face(
    raising: &mut Raising<'_>,
    storey: &Storey,
    index: usize,
    ends: [Coord<f64>; 2],
    behind: &[Behind<'_>],
) -> Face {
    let longest = behind.iter().reduce(|best, next| {
        if next.overlap > best.overlap + BRIDGE_MOVE {
            next
        } else {
            best
        }
    });
    let mut sources: Vec<String> = behind
        .iter()
        .flat_map(|found| found.wall.sources.iter().cloned())
        .collect();
    sources.sort();
    sources.dedup();
    let place = |id: &str| {
        let [start, end] = ends;
        let middle = to_drawing(&storey.to_building, (start + end) / 2.0);
        element_place(storey, id).with_at(middle.x, middle.y)
    };
    let face = Face {
        id: longest.map_or_else(
            || format!("{}-F{}", storey.id, index + 1),
            |found| found.wall.id.clone(),
        ),
        walls: behind.iter().map(|found| found.wall.id.clone()).collect(),
        reversed: behind.iter().map(|found| found.reversed).collect(),
        drawn_thickness: longest.map_or(0.0, |found| found.wall.thickness),
        assembly: 0,
        hold: raising.job.hold,
        layer: None,
        outward: Length::ZERO,
        on_hold: longest.is_none(),
        sources,
    };
    if longest.is_none() {
        let [start, end] = ends;
        raising.findings.push(Finding::fault(
            codes::FACE_WITHOUT_WALL,
            place(&face.id),
            format!(
                "the outline has a face of {:.2}\" with no wall behind it; it is called {}",
                distance(start, end),
                face.id
            ),
            "complete the wall in the drawing, or correct the plan in job.toml ([[correction]])",
        ));
    }
    let thickness = face.drawn_thickness;
    let uneven: Vec<String> = behind
        .iter()
        .filter(|found| (found.wall.thickness - thickness).abs() > BRIDGE_MOVE)
        .map(|found| format!("{} {:.3}\"", found.wall.id, found.wall.thickness))
        .collect();
    if !uneven.is_empty() {
        raising.findings.push(Finding::doubt(
            codes::UNEVEN_FACE,
            place(&face.id).with_sources(face.sources.iter()),
            format!(
                "{} is drawn {thickness:.3}\" thick, and on the same face stand {}; one panel wall runs through",
                face.id,
                uneven.join(", ")
            ),
            "confirm that one assembly serves the whole face, or draw a jog where it changes",
        ));
    }
    face
}

/// The assembly of a face, and whether the job names it.
fn assembly(raising: &mut Raising<'_>, storey: &Storey, face: &mut Face) -> (usize, bool) {
    let rules = raising.rules;
    let index_of = |name: &str| rules.assemblies.iter().position(|a| a.name == name);
    let default = index_of(&rules.default_assembly).unwrap_or(0);
    let entry = face.job_wall(raising.job);
    let own = entry.and_then(|entry| Some((entry.assembly.as_ref()?, entry.line)));
    let common = raising
        .job
        .assembly
        .as_ref()
        .map(|name| (name, raising.job.assembly_line));
    let Some((name, line)) = own.or(common) else {
        return (default, false);
    };
    if let Some(index) = index_of(name) {
        return (index, true);
    }
    face.on_hold = true;
    let known: Vec<&str> = rules.assemblies.iter().map(|a| a.name.as_str()).collect();
    raising.findings.push(Finding::fault(
        codes::ASSEMBLY_UNKNOWN,
        Place {
            file: Some(raising.job.file.clone()),
            line: Some(line),
            ..element_place(storey, &face.id)
        },
        format!(
            "the plant makes no assembly '{name}'; {} is drawn with {}",
            face.id, rules.default_assembly
        ),
        format!("take one of {}, or add it to plant.toml", known.join(", ")),
    ));
    (default, true)
}
