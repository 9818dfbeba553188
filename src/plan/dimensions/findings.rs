//! What dimensions give reason to say.

use super::ties::{Tie, Ties, tie};
use super::{DimensionVerdict, check_dimensions, dimension_chains, said};
use crate::drawing::{Curve, Dimension, Drawing};
use crate::findings::{Finding, Place};
use crate::geometry::tolerance;
use crate::plan::{Storey, codes};
use geo::Coord;

/// A point of a dimension lies on a drawn line within this, inches.
const ON_LINE: f64 = 1.0 / 64.0;

/// Findings about the dimensions of a drawing.
///
/// - `alone`: its dimensions in lines and text.
/// - `storeys`: those recovered from this drawing.
/// - `slack`: how loosely its lines meet, inches.
pub(in crate::plan) fn dimension_findings(
    [drawing, alone]: [&Drawing; 2],
    storeys: &[&Storey],
    slack: f64,
) -> Vec<Finding> {
    let checks = check_dimensions(drawing);
    let ties: Vec<Ties<'_>> = storeys.iter().map(|it| Ties::new(it)).collect();
    let mut findings = Vec::new();
    for check in &checks {
        let Some(dimension) = drawing.dimensions.get(check.dimension) else {
            continue;
        };
        if is_hidden(drawing, dimension) {
            continue;
        }
        if check.verdict == DimensionVerdict::Conflicts {
            findings.push(Finding::doubt(
                codes::DIMENSION_TEXT,
                place(drawing, storeys, dimension),
                format!(
                    "a dimension says {}, and {} is drawn between its points",
                    said(drawing, check.written.to_inches()),
                    said(drawing, check.drawn.to_inches())
                ),
                "correct the text or the lines; what is drawn stands until then, or trust it in the job by [[correction]] dimension",
            ));
        } else {
            findings.extend(beside_faces(drawing, (storeys, &ties), dimension, slack));
        }
    }
    findings.append(&mut about_chains(drawing, storeys, &checks));
    findings.append(&mut about_exploded(alone, storeys));
    findings
}

/// What is said of dimensions in lines and text: they are compared alone, as those of a drawing that has no others.
fn about_exploded(alone: &Drawing, storeys: &[&Storey]) -> Vec<Finding> {
    let checks = check_dimensions(alone);
    let conflicts = checks
        .iter()
        .filter(|it| it.verdict == DimensionVerdict::Conflicts);
    let mut findings: Vec<Finding> = conflicts
        .filter_map(|check| {
            let dimension = alone.dimensions.get(check.dimension)?;
            Some(Finding::doubt(
                codes::DIMENSION_TEXT,
                place(alone, storeys, dimension),
                format!(
                    "a dimension in lines and text says {}, and {} is drawn between its ends",
                    said(alone, check.written.to_inches()),
                    said(alone, check.drawn.to_inches())
                ),
                "correct the text or the lines; what is drawn stands until then, or trust it in the job by [[correction]] dimension, the handle of its text",
            ))
        })
        .collect();
    findings.append(&mut about_chains(alone, storeys, &checks));
    findings
}

fn is_hidden(drawing: &Drawing, dimension: &Dimension) -> bool {
    drawing
        .sources
        .get(dimension.source.0 as usize)
        .is_some_and(|source| source.is_hidden)
}

/// Handle, layer and text of a dimension; the storey it stands nearest to.
fn place(drawing: &Drawing, storeys: &[&Storey], dimension: &Dimension) -> Place {
    let source = drawing.sources.get(dimension.source.0 as usize);
    let middle = (dimension.from + dimension.to) / 2.0;
    Place {
        file: Some(drawing.file.clone()),
        line: source.map(|it| it.line).filter(|line| *line > 0),
        layer: source.map(|it| it.layer.clone()),
        storey: nearest(storeys, middle).map(|it| it.id.clone()),
        ..Place::default()
    }
    .with_at(dimension.text_at.x, dimension.text_at.y)
    .with_sources(source.map(|it| it.handle.clone()))
}

/// The storey whose walls lie nearest to a point.
fn nearest<'a>(storeys: &[&'a Storey], point: Coord<f64>) -> Option<&'a Storey> {
    let far = |storey: &Storey| {
        storey
            .walls
            .iter()
            .map(|wall| {
                let d = (wall.start + wall.end) / 2.0 - point;
                d.x.hypot(d.y)
            })
            .fold(f64::INFINITY, f64::min)
    };
    storeys
        .iter()
        .min_by(|a, b| far(a).total_cmp(&far(b)))
        .copied()
}

/// How far a written length and a drawn one may differ: lines drafted loosely lie as far off as they do.
pub(in crate::plan) fn allowed(slack: f64) -> f64 {
    let loose = slack > 1.0 / 64.0 + 1e-9;
    tolerance::DIMENSION_AGREES + if loose { 2.0 * slack } else { 0.0 }
}

/// A dimension whose points stand a little beside the faces they mean.
fn beside_faces(
    drawing: &Drawing,
    (storeys, ties): (&[&Storey], &[Ties<'_>]),
    dimension: &Dimension,
    slack: f64,
) -> Option<Finding> {
    let (sine, cosine) = dimension.direction?.sin_cos();
    let direction = Coord { x: cosine, y: sine };
    let storey = nearest(storeys, (dimension.from + dimension.to) / 2.0)?;
    let ties = ties.iter().find(|it| std::ptr::eq(it.storey, storey))?;
    let meant = |point: Coord<f64>| -> (f64, Option<Tie>) {
        let own = point.x * direction.x + point.y * direction.y;
        match tie(ties, point, direction) {
            Some(tie)
                if tie.off.abs() > ON_LINE
                    && !is_corner(storey, point, direction)
                    && !is_drawn(drawing, point, direction) =>
            {
                (tie.at, Some(tie))
            }
            _ => (own, None),
        }
    };
    let ((from, first), (to, second)) = (meant(dimension.from), meant(dimension.to));
    if first.is_none() && second.is_none() {
        return None;
    }
    let faces = (to - from).abs();
    let off = (faces - dimension.measured).abs();
    (off > allowed(slack)).then(|| {
        Finding::doubt(
            codes::DIMENSION_POINTS,
            place(drawing, storeys, dimension),
            format!(
                "a dimension measures {}, and what its points stand beside is {} apart",
                said(drawing, dimension.measured),
                said(drawing, faces)
            ),
            "set its points on the faces, centre lines or jambs they mean; what is drawn stands until then",
        )
    })
}

/// True when a corner of the outline lies at a point, along the dimension: it is measured from there, on whatever side of the building
/// the dimension stands.
fn is_corner(storey: &Storey, point: Coord<f64>, direction: Coord<f64>) -> bool {
    let s = |p: &Coord<f64>| (p.x - point.x) * direction.x + (p.y - point.y) * direction.y;
    storey.outline.iter().any(|it| s(it).abs() <= ON_LINE)
}

/// True when a line passes through a point, or is square to the dimension and ends there.
fn is_drawn(drawing: &Drawing, point: Coord<f64>, direction: Coord<f64>) -> bool {
    let s = |p: Coord<f64>| (p.x - point.x) * direction.x + (p.y - point.y) * direction.y;
    let t = |p: Coord<f64>| (p.y - point.y) * direction.x - (p.x - point.x) * direction.y;
    // Lines along the dimension run through every point of it: they say nothing about where it ends, but their ends do.
    let is_through = |start: Coord<f64>, end: Coord<f64>| {
        let ends = [start, end]
            .iter()
            .any(|p| s(*p).abs() <= ON_LINE && t(*p).abs() <= 12.0);
        let (a, b) = (s(start), s(end));
        let square = a.abs() <= ON_LINE && b.abs() <= ON_LINE;
        let near = t(start).min(t(end)) <= 60.0 && t(start).max(t(end)) >= -60.0;
        ends || square && near
    };
    drawing.strokes.iter().any(|stroke| match stroke.curve {
        Curve::Line { start, end } => is_through(start, end),
        Curve::Arc { centre, radius, .. } => {
            let d = point - centre;
            (d.x.hypot(d.y) - radius).abs() <= ON_LINE || d.x.hypot(d.y) <= ON_LINE
        }
    }) || drawing
        .fills
        .iter()
        .flat_map(|fill| &fill.rings)
        .flatten()
        .any(|p| s(*p).abs() <= ON_LINE && t(*p).abs() <= 60.0)
        || drawing
            .placements
            .iter()
            .any(|it| s(it.at).abs() <= ON_LINE && t(it.at).abs() <= 60.0)
}

fn about_chains(
    drawing: &Drawing,
    storeys: &[&Storey],
    checks: &[super::DimensionCheck],
) -> Vec<Finding> {
    let turn = storeys
        .first()
        .and_then(|storey| storey.walls.iter().find(|wall| wall.is_exterior))
        .map_or(0.0, |wall| {
            let d = wall.end - wall.start;
            let angle = d.y.atan2(d.x);
            let quarter = std::f64::consts::FRAC_PI_2;
            -(angle - (angle / quarter).round() * quarter)
        });
    let mut chains = dimension_chains(drawing, checks, turn);
    chains.retain(|chain| !chain.closes);
    // The same lengths written twice, as on both sides of a house, are said once.
    chains.dedup_by(|a, b| a.parts == b.parts && a.overall == b.overall);
    chains
        .iter()
        .filter_map(|chain| {
            let dimensions: Vec<&Dimension> = chain
                .dimensions
                .iter()
                .filter_map(|index| drawing.dimensions.get(*index))
                .collect();
            let overall = dimensions.first()?;
            if is_hidden(drawing, overall) {
                return None;
            }
            let parts: Vec<String> = chain
                .parts
                .iter()
                .map(|part| said(drawing, part.to_inches()))
                .collect();
            let handles: Vec<String> = dimensions
                .iter()
                .filter_map(|it| drawing.sources.get(it.source.0 as usize))
                .map(|source| source.handle.clone())
                .collect();
            Some(Finding::doubt(
                codes::DIMENSION_CHAIN,
                place(drawing, storeys, overall).with_sources(handles),
                format!(
                    "a chain of dimensions adds up to {}, and its overall says {}: {}",
                    said(drawing, chain.sum.to_inches()),
                    said(drawing, chain.overall.to_inches()),
                    parts.join(" + ")
                ),
                "find the part or the overall that is wrong and correct it; what is drawn stands until then",
            ))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::super::testing::{dimension, drawing};
    use super::super::ties::tests::storey;
    use super::*;

    #[track_caller]
    fn check(list: Vec<Dimension>, expected: &[&str]) {
        let drawing = drawing(list);
        let storey = storey();
        let found = dimension_findings([&drawing, &Drawing::default()], &[&storey], 1.0 / 64.0);
        let codes: Vec<&str> = found.iter().map(|it| it.code.name()).collect();
        assert_eq!(codes, expected, "{found:?}");
    }

    #[test]
    fn each_kind_of_conflict_is_found_and_nothing_else() {
        // Outside face to outside face, face to jamb, jamb to jamb: all agree.
        check(
            vec![
                dimension(-3.0, 243.0, 50.0, "20'-6\""),
                dimension(-3.0, 60.0, 40.0, ""),
                dimension(60.0, 96.0, 40.0, "3'-0\""),
                dimension(96.0, 243.0, 40.0, ""),
            ],
            &[],
        );
        check(vec![dimension(-3.0, 243.0, 50.0, "20'-5\"")], &["PLAN-30"]);
        check(vec![dimension(-3.0, 243.25, 50.0, "")], &["PLAN-31"]);
        // Points far from everything mean something that is no wall.
        check(vec![dimension(-3.0, 200.0, 50.0, "")], &[]);
    }

    #[test]
    fn a_point_in_line_with_a_corner_of_the_building_means_that_corner() {
        let drawing = drawing(vec![dimension(-3.0, 243.25, 50.0, "")]);
        let storey = Storey {
            outline: vec![(243.25, 400.0).into()],
            ..storey()
        };
        let found = dimension_findings([&drawing, &Drawing::default()], &[&storey], 1.0 / 64.0);
        assert!(found.is_empty(), "{found:?}");
    }

    #[test]
    fn a_chain_that_does_not_add_up_is_one_finding_with_its_handles() {
        let drawing = drawing(vec![
            dimension(-3.0, 60.0, 40.0, "5'-3\""),
            dimension(60.0, 96.0, 40.0, "3'-0\""),
            dimension(96.0, 243.0, 40.0, "12'-3 1/16\""),
            dimension(-3.0, 243.0, 50.0, "20'-5 15/16\""),
        ]);
        let storey = storey();
        let found = dimension_findings([&drawing, &Drawing::default()], &[&storey], 1.0 / 64.0);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].code.name(), "PLAN-32");
        assert_eq!(found[0].place.sources, ["D3", "D0", "D1", "D2"]);
        assert_eq!(found[0].place.storey.as_deref(), Some("S1"));
    }
}
