//! A plan from a sketch: nothing to recover, only to convert.

use super::answers::obey::{locate, orphan, put_right};
use super::axis::Axis;
use super::carry::{Names, renumbered};
use super::codes;
use super::model::{Opening, OpeningKind, Plan, Storey, Wall};
use super::{CorrectionIntent, PlanCorrection, PlanCorrections};
use crate::drawing::{DrawingUnit, Sketch};
use crate::findings::{Finding, Outcome, Place};
use geo::Coord;

/// Turns sketches, one for each storey from the lowest up, into one plan.
#[must_use]
pub fn plan_from_sketches(sketches: &[Sketch]) -> Outcome<Plan> {
    let mut plan = empty();
    let mut findings = Vec::new();
    for (index, sketch) in sketches.iter().enumerate() {
        let mut one = plan_from_sketch(sketch).into_output(&mut findings);
        for storey in &mut one.storeys {
            storey.id = format!("S{}", index + 1);
            let n_walls: usize = plan.storeys.iter().map(|it: &Storey| it.walls.len()).sum();
            let n_openings: usize = plan
                .storeys
                .iter()
                .map(|it: &Storey| it.openings.len())
                .sum();
            // Ids are unique in the plan: each storey's numbers go on from the one below.
            let later = |id: &str, more: usize| {
                let number: usize = id.get(1..).and_then(|n| n.parse().ok()).unwrap_or_default();
                format!("{}{}", &id[..1], number + more)
            };
            for wall in &mut storey.walls {
                wall.id = later(&wall.id, n_walls);
            }
            for opening in &mut storey.openings {
                opening.id = later(&opening.id, n_openings);
                opening.wall = later(&opening.wall, n_walls);
            }
        }
        plan.storeys.append(&mut one.storeys);
    }
    Outcome {
        output: plan,
        findings,
    }
}

/// Turns a sketch into the same plan that recovery would give.
///
/// ```text
///   outside faces, counter-clockwise          centre lines, half a thickness inside, corner to corner
///   ┌──────────────┐                          ┌╌╌╌╌╌╌╌╌╌╌╌╌╌╌┐
///   │              │            ──►           ╎ ┏━━━━━━━━━━┓ ╎
///   └──────────────┘                          ╎ ┗━━━━━━━━━━┛ ╎
/// ```
///
/// - Openings are measured from the wall's outside corner, as people measure on site.
/// - Walls are `X1`, `X2`… and openings `O1`, `O2`… in the order of the sketch.
pub(super) fn plan_from_sketch(sketch: &Sketch) -> Outcome<Plan> {
    let mut findings = Vec::new();
    let faces: Vec<Axis> = sketch
        .walls
        .iter()
        .filter_map(|wall| Axis::through(wall.start, wall.end))
        .collect();
    if faces.len() < sketch.walls.len() || faces.len() < 3 {
        findings.push(Finding::fault(
            codes::NO_OUTLINE,
            Place::file(&sketch.file),
            "the sketch has no closed ring of walls: a wall has no length, or there are fewer than three",
            "give each wall a length, and enough walls to come back to the start",
        ));
        return Outcome {
            output: empty(),
            findings,
        };
    }
    let half = sketch.thickness / 2.0;
    let n = faces.len();
    let corners: Vec<Coord<f64>> = (0..n)
        .map(|i| corner(&faces[(i + n - 1) % n], &faces[i], half))
        .collect();
    let walls: Vec<Wall> = (0..n)
        .map(|i| Wall {
            id: format!("X{}", i + 1),
            is_exterior: true,
            start: corners[i],
            end: corners[(i + 1) % n],
            thickness: sketch.thickness,
            layers: Vec::new(),
            sources: vec![format!("{}:{}", sketch.walls[i].name, sketch.walls[i].line)],
            confidence: 1.0,
            alternatives: Vec::new(),
        })
        .collect();
    let mut openings = Vec::new();
    for (index, item) in sketch.openings.iter().enumerate() {
        let (Some(face), Some(wall)) = (faces.get(item.wall), walls.get(item.wall)) else {
            continue;
        };
        let Some(kind) = OpeningKind::from_name(&item.kind) else {
            findings.push(Finding::fault(
                codes::UNKNOWN_KIND,
                Place::line(&sketch.file, item.line),
                format!("an opening is called {:?}", item.kind),
                "call it door, window, opening or garage_door",
            ));
            continue;
        };
        let middle = item.from + item.width / 2.0;
        openings.push(Opening {
            id: format!("O{}", index + 1),
            wall: wall.id.clone(),
            kind,
            centre: face.point(middle, half),
            near: item.from - face.s(wall.start),
            width: item.width,
            tag: item.tag.clone(),
            height: item.height,
            sill: item.sill,
            sources: vec![format!("line {}", item.line)],
            confidence: 1.0,
            ..Opening::default()
        });
    }
    let mut plan = empty();
    plan.storeys.push(Storey {
        id: "S1".to_owned(),
        name: sketch.name.clone(),
        file: sketch.file.clone(),
        outline: sketch.walls.iter().map(|wall| wall.start).collect(),
        walls,
        openings,
        ..Storey::default()
    });
    Outcome {
        output: plan,
        findings,
    }
}

/// Where the centre lines of two neighbouring faces meet; of two faces in one line, the point between them.
fn corner(before: &Axis, after: &Axis, half: f64) -> Coord<f64> {
    let shifted = Axis {
        origin: before.point(0.0, half),
        ..*before
    };
    let own = Axis {
        origin: after.point(0.0, half),
        ..*after
    };
    own.meets(&shifted)
        .map_or(own.origin, |s| own.point(s, 0.0))
}

/// Gives the walls and openings of sketches the ids of the issue before, and obeys the job's corrections: openings and kinds. What
/// walls there are a sketch says itself.
#[must_use]
pub fn correct_sketches(plan: Plan, corrections: &PlanCorrections) -> Outcome<Plan> {
    let mut findings = Vec::new();
    let has_any = !corrections.list.is_empty();
    let issued = corrections.issued.as_ref();
    let pairs = renumbered(issued, &plan);
    let named = |mut plan: Plan, is_corrected| {
        let mut names = Names::of(issued, is_corrected).paired(&pairs);
        plan.storeys.iter_mut().for_each(|it| names.give(it));
        plan
    };
    if !has_any {
        return Outcome {
            output: named(plan, true),
            findings,
        };
    }
    // Ids in corrections are those of the plan without them: the drafter read them on its trace.
    let plain = named(plan.clone(), false);
    let located = locate(&plain, corrections, &mut findings);
    let mut plan = named(plan, true);
    put_right(&mut plan, (&located, &[]), &mut findings);
    let of_walls = |it: &&PlanCorrection| {
        matches!(
            it.intent,
            CorrectionIntent::NotAWall | CorrectionIntent::SingleLines | CorrectionIntent::Trusted
        )
    };
    findings.extend(corrections.list.iter().filter(of_walls).map(|it| {
        orphan(
            it,
            "is about a drawing, and this plan is a sketch: correct the sketch itself",
        )
    }));
    plan.before_corrections = plain.storeys;
    Outcome {
        output: plan,
        findings,
    }
}

fn empty() -> Plan {
    Plan {
        unit: DrawingUnit::Inch,
        inches_per_unit: 1.0,
        unit_confidence: 1.0,
        storeys: Vec::new(),
        before_corrections: Vec::new(),
        written_on: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{SketchOpening, SketchWall};

    #[test]
    fn a_rectangle_has_its_centre_lines_half_a_thickness_inside() {
        let points = [(0.0, 0.0), (288.0, 0.0), (288.0, 192.0), (0.0, 192.0)];
        let sketch = Sketch {
            thickness: 6.5,
            walls: (0..4)
                .map(|i| SketchWall {
                    start: points[i].into(),
                    end: points[(i + 1) % 4].into(),
                    ..SketchWall::default()
                })
                .collect(),
            openings: vec![SketchOpening {
                wall: 1,
                kind: "door".to_owned(),
                from: 24.0,
                width: 36.0,
                ..SketchOpening::default()
            }],
            ..Sketch::default()
        };
        let outcome = plan_from_sketch(&sketch);
        let storey = &outcome.output.storeys[0];
        assert!(outcome.findings.is_empty());
        assert_eq!(storey.walls[0].start, Coord { x: 3.25, y: 3.25 });
        assert_eq!(storey.walls[0].end, Coord { x: 284.75, y: 3.25 });
        // Measured from the outside corner the jamb is at 24 in, from the centre corner half a thickness less.
        assert_eq!(storey.openings[0].near, 20.75);
        assert_eq!(storey.openings[0].centre, Coord { x: 284.75, y: 42.0 });
    }
}
