//! Obeys a dimension that the job says is to be trusted, where one opening can follow it; else says why not.
//!
//! ```text
//!   jamb to jamb of one opening      its width becomes the written one, about its middle
//!   face to a jamb or a middle       that opening moves along its wall
//!   face to face                     refused: a wall would have to move, and others with it
//! ```

use super::again::handle_now;
use super::ties::{Tied, Ties, along_of, tie};
use super::{check_dimensions, said};
use crate::drawing::Drawing;
use crate::findings::{Finding, Place};
use crate::plan::{CorrectionAnchor, CorrectionIntent, Plan, PlanCorrections, Storey, codes};
use geo::Coord;

/// Openings keep at least this from each other and from the ends of their wall, inches.
const LEAST_PIER: f64 = 1.0;

/// Obeys the trusted dimensions among the corrections.
///
/// - `plain`: the plan before corrections, on which those of an earlier drawing are found again.
pub(in crate::plan) fn trust(
    drawings: &[Drawing],
    corrections: &PlanCorrections,
    plain: &Plan,
    plan: &mut Plan,
    findings: &mut Vec<Finding>,
) {
    for correction in &corrections.list {
        let (CorrectionIntent::Trusted, CorrectionAnchor::Dimension(written)) =
            (correction.intent, &correction.anchor)
        else {
            continue;
        };
        let earlier = corrections.earlier.as_ref();
        let found = match earlier.filter(|it| !it.is_as_drawn(&plain.storeys)) {
            Some(earlier) => handle_now((earlier, written), (plain, drawings)),
            None => Ok(written.clone()),
        };
        let place = Place::line(&correction.file, correction.line);
        let obeyed = found.and_then(|handle| {
            let done = obey(drawings, &handle, plan, findings)?;
            Ok((handle, done))
        });
        match obeyed {
            Ok((handle, done)) => {
                let name = if handle.eq_ignore_ascii_case(written) {
                    written.clone()
                } else {
                    format!("{written} of the earlier drawing, {handle} of this one,")
                };
                findings.push(Finding::note(
                    codes::DIMENSION_TRUSTED,
                    place.with_sources([handle]),
                    format!("dimension {name} is trusted: {done}"),
                    "check the opening on trace.svg",
                ));
            }
            Err(why) => findings.push(Finding::doubt(
                codes::ORPHAN_CORRECTION,
                place.with_sources([written.clone()]),
                format!("dimension {written} cannot be trusted: {why}"),
                "have the drawing corrected, or correct walls and openings by [[correction]] of their own",
            )),
        }
    }
}

fn obey(
    drawings: &[Drawing],
    handle: &str,
    plan: &mut Plan,
    findings: &mut Vec<Finding>,
) -> Result<String, String> {
    let (drawing, check) = drawings
        .iter()
        .find_map(|drawing| {
            let check = check_dimensions(drawing).into_iter().find(|check| {
                drawing
                    .dimensions
                    .get(check.dimension)
                    .and_then(|it| drawing.sources.get(it.source.0 as usize))
                    .is_some_and(|source| source.handle.eq_ignore_ascii_case(handle))
            })?;
            Some((drawing, check))
        })
        .ok_or("no linear dimension of the drawing has that handle")?;
    let dimension = &drawing.dimensions[check.dimension];
    let (sine, cosine) = dimension.direction.unwrap_or(0.0).sin_cos();
    let direction = Coord { x: cosine, y: sine };
    let written = check.written.to_inches();
    let mut found = None;
    for (number, storey) in plan.storeys.iter().enumerate() {
        if storey.file != drawing.file {
            continue;
        }
        let ties = Ties::new(storey);
        if let (Some(from), Some(to)) = (
            tie(&ties, dimension.from, direction),
            tie(&ties, dimension.to, direction),
        ) {
            found = Some((number, from, to));
            break;
        }
    }
    let (number, from, to) =
        found.ok_or("its points stand at no face, centre line or jamb of the plan")?;
    let storey = &mut plan.storeys[number];
    let now = to.at - from.at;
    let change = written.copysign(now) - now;
    let opening_of = |what: Tied| match what {
        Tied::Jamb { opening, .. } | Tied::Middle { opening } => Some(opening),
        Tied::Face { .. } | Tied::Centre { .. } => None,
    };
    let index = match (opening_of(from.what), opening_of(to.what)) {
        (None, None) => {
            return Err(
                "it measures between walls, and a wall cannot move without the others".to_owned(),
            );
        }
        (Some(a), Some(b)) if a != b => {
            return Err(
                "it measures between two openings, and does not say which moves".to_owned(),
            );
        }
        (Some(a), _) | (None, Some(a)) => a,
    };
    let is_width = opening_of(from.what) == opening_of(to.what);
    let way = wall_way(storey, index, direction).ok_or("its opening has no wall")?;
    let (old_near, old_width) = (storey.openings[index].near, storey.openings[index].width);
    let (near, width) = if is_width {
        if matches!(from.what, Tied::Middle { .. }) || matches!(to.what, Tied::Middle { .. }) {
            return Err("it measures within one opening".to_owned());
        }
        (old_near - (written - old_width) / 2.0, written)
    } else if opening_of(to.what).is_some() {
        (old_near + change * way, old_width)
    } else {
        (old_near - change * way, old_width)
    };
    fits(storey, index, near, width)?;
    let wall_id = storey.openings[index].wall.clone();
    let wall = storey
        .walls
        .iter()
        .find(|wall| wall.id == wall_id)
        .ok_or("its opening has no wall")?;
    let (length, _) = along_of(wall).ok_or("its wall has no length")?;
    let centre = wall.start + (wall.end - wall.start) * ((near + width / 2.0) / length);
    let opening = &mut storey.openings[index];
    (opening.near, opening.width, opening.centre) = (near, width, centre);
    opening.sources.push(handle.to_owned());
    let id = opening.id.clone();
    findings.retain(|finding| {
        !(finding.code == codes::DIMENSION_TEXT
            && finding.place.sources.iter().any(|it| it == handle))
    });
    Ok(if is_width {
        format!(
            "{id} is {} wide instead of {}",
            said(drawing, width),
            said(drawing, old_width)
        )
    } else {
        format!("{id} moved by {}", said(drawing, (near - old_near).abs()))
    })
}

/// 1 when the opening's wall runs the dimension's way, else -1.
fn wall_way(storey: &Storey, opening: usize, direction: Coord<f64>) -> Option<f64> {
    let id = &storey.openings.get(opening)?.wall;
    let wall = storey.walls.iter().find(|wall| wall.id == *id)?;
    let (_, along) = along_of(wall)?;
    Some((along.x * direction.x + along.y * direction.y).signum())
}

fn fits(storey: &Storey, index: usize, near: f64, width: f64) -> Result<(), String> {
    let own = &storey.openings[index];
    let wall = storey.walls.iter().find(|wall| wall.id == own.wall);
    let length = wall.and_then(along_of).map_or(0.0, |(length, _)| length);
    if width <= 0.0 || near < LEAST_PIER || near + width > length - LEAST_PIER {
        return Err(format!("{} would leave its wall", own.id));
    }
    let other = storey.openings.iter().enumerate().find(|(number, it)| {
        *number != index
            && it.wall == own.wall
            && near < it.near + it.width + LEAST_PIER
            && it.near < near + width + LEAST_PIER
    });
    match other {
        Some((_, other)) => Err(format!("{} would meet {}", own.id, other.id)),
        None => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{dimension, drawing};
    use super::super::ties::tests::storey;
    use super::*;
    use crate::drawing::Dimension;
    use crate::plan::PlanCorrection;

    /// What the one opening, near 60 and 36 wide, becomes, and which codes are given.
    #[track_caller]
    fn check(dimension: Dimension, expected: (f64, f64), code: &str) {
        let drawing = drawing(vec![dimension]);
        let mut plan = Plan {
            storeys: vec![storey()],
            ..Plan::default()
        };
        let correction = PlanCorrection {
            anchor: CorrectionAnchor::Dimension("d0".to_owned()),
            intent: CorrectionIntent::Trusted,
            file: "job.toml".to_owned(),
            line: 3,
        };
        let mut findings = Vec::new();
        let corrections = PlanCorrections {
            list: vec![correction],
            ..PlanCorrections::default()
        };
        trust(
            &[drawing],
            &corrections,
            &plan.clone(),
            &mut plan,
            &mut findings,
        );
        let opening = &plan.storeys[0].openings[0];
        assert_eq!((opening.near, opening.width), expected, "{findings:?}");
        let codes: Vec<&str> = findings.iter().map(|it| it.code.name()).collect();
        assert_eq!(codes, [code], "{findings:?}");
    }

    #[test]
    fn one_opening_follows_a_trusted_dimension() {
        check(
            dimension(60.0, 96.0, 40.0, "3'-2\""),
            (59.0, 38.0),
            "PLAN-33",
        );
        check(
            dimension(-3.0, 60.0, 40.0, "5'-4\""),
            (61.0, 36.0),
            "PLAN-33",
        );
        check(
            dimension(78.0, 243.0, 40.0, "13'-10\""),
            (59.0, 36.0),
            "PLAN-33",
        );
    }

    #[test]
    fn what_would_move_a_wall_or_leave_it_is_refused() {
        check(
            dimension(-3.0, 243.0, 40.0, "20'-0\""),
            (60.0, 36.0),
            "PLAN-08",
        );
        check(
            dimension(-3.0, 60.0, 40.0, "25'-0\""),
            (60.0, 36.0),
            "PLAN-08",
        );
        check(
            dimension(130.0, 150.0, 40.0, "2'-0\""),
            (60.0, 36.0),
            "PLAN-08",
        );
    }
}
