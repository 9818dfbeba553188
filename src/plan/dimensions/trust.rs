//! Obeys the dimensions that the job says are to be trusted, where one opening can follow them; else says why not.
//!
//! ```text
//!   jamb to jamb of one opening      its width becomes the written one, about its middle
//!   face to a jamb or a middle       that opening moves along its wall
//!   both of one opening              the jamb stands where the one says, and the other jamb follows the width
//!   face to face                     refused: a wall would have to move, and others with it
//! ```
//!
//! All are tied to the plan before any opening moves: one that follows the first dimension still stands where the second one's points
//! are drawn.

use super::again::handle_now;
use super::ties::{Tied, Ties, along_of, tie};
use super::{check_dimensions, dimensions_in_lines, said};
use crate::drawing::Drawing;
use crate::findings::{Finding, Place};
use crate::geometry::tolerance;
use crate::plan::{CorrectionAnchor, CorrectionIntent, Plan, PlanCorrections, Storey, codes};
use geo::Coord;
use std::collections::BTreeMap;

/// Openings keep at least this from each other and from the ends of their wall, inches.
const LEAST_PIER: f64 = 1.0;

/// A trusted dimension as the job has it, and what it asks.
struct Trusted<'a> {
    /// The handle as written in the job.
    written: &'a str,
    place: Place,
    asks: Result<Asked<'a>, String>,
}

/// What a dimension asks of one opening.
struct Asked<'a> {
    drawing: &'a Drawing,
    /// Its handle in this drawing.
    handle: String,
    /// Indices of the storey and of its opening.
    opening: (usize, usize),
    wish: Wish,
}

/// A width, or where along its wall something of an opening stands, inches.
#[derive(Clone, Copy, Debug)]
enum Wish {
    Width(f64),
    Near(f64),
    Far(f64),
    Middle(f64),
}

/// The handle in these drawings of a dimension that the job trusts.
fn found(
    written: &str,
    corrections: &PlanCorrections,
    (plain, drawings): (&Plan, &[Drawing]),
) -> Result<String, String> {
    let earlier = corrections.earlier.as_ref();
    match earlier.filter(|it| !it.is_as_drawn(&plain.storeys)) {
        Some(earlier) => handle_now((earlier, written), (plain, drawings)),
        None => Ok(written.to_owned()),
    }
}

/// The handles in these drawings of the dimensions that the job trusts, as far as they are found.
pub(in crate::plan) fn trusted_handles(
    drawings: &[Drawing],
    corrections: &PlanCorrections,
    plain: &Plan,
) -> Vec<String> {
    let trusted = corrections.list.iter().filter_map(|it| match &it.anchor {
        CorrectionAnchor::Dimension(written) => Some(written),
        CorrectionAnchor::Id(_) | CorrectionAnchor::Point { .. } => None,
    });
    trusted
        .filter_map(|it| found(it, corrections, (plain, drawings)).ok())
        .collect()
}

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
    let mut list = Vec::new();
    for correction in &corrections.list {
        let (CorrectionIntent::Trusted, CorrectionAnchor::Dimension(written)) =
            (correction.intent, &correction.anchor)
        else {
            continue;
        };
        let found = found(written, corrections, (plain, drawings));
        list.push(Trusted {
            written,
            place: Place::line(&correction.file, correction.line),
            asks: found.and_then(|handle| asked(drawings, handle, plan)),
        });
    }
    refuse_contradictions(plan, &mut list);
    refuse_misfits(plan, &mut list);
    let targets = targets(plan, &list);
    let said = |asks: &Asked<'_>| {
        let own = &plan.storeys[asks.opening.0].openings[asks.opening.1];
        let (near, width) = targets[&asks.opening];
        let wide = || {
            format!(
                "{} is {} wide instead of {}",
                own.id,
                said(asks.drawing, width),
                said(asks.drawing, own.width)
            )
        };
        match asks.wish {
            Wish::Width(_) => wide(),
            _ if (width - own.width).abs() > tolerance::DIMENSION_AGREES => {
                format!("{}, and stands where it says", wide())
            }
            _ => format!(
                "{} moved by {}",
                own.id,
                said(asks.drawing, (near - own.near).abs())
            ),
        }
    };
    let words: Vec<Option<String>> = list
        .iter()
        .map(|it| it.asks.as_ref().ok().map(said))
        .collect();
    for (it, words) in list.iter().zip(words) {
        findings.push(match (&it.asks, words) {
            (Ok(asks), Some(done)) => {
                let name = if asks.handle.eq_ignore_ascii_case(it.written) {
                    it.written.to_owned()
                } else {
                    format!("{} of the earlier drawing, {} of this one,", it.written, asks.handle)
                };
                Finding::note(
                    codes::DIMENSION_TRUSTED,
                    it.place.clone().with_sources([asks.handle.clone()]),
                    format!("dimension {name} is trusted: {done}"),
                    "check the opening on trace.svg",
                )
            }
            (asks, _) => Finding::doubt(
                codes::ORPHAN_CORRECTION,
                it.place.clone().with_sources([it.written.to_owned()]),
                format!(
                    "dimension {} cannot be trusted: {}",
                    it.written,
                    asks.as_ref().err().map_or("", String::as_str)
                ),
                "have the drawing corrected, or correct walls and openings by [[correction]] of their own",
            ),
        });
    }
    for (at, (near, width)) in targets {
        place_opening(&mut plan.storeys[at.0], at.1, near, width);
    }
    for asks in list.iter().filter_map(|it| it.asks.as_ref().ok()) {
        let opening = &mut plan.storeys[asks.opening.0].openings[asks.opening.1];
        opening.sources.push(asks.handle.clone());
        let is_it = |handle: &String| handle.eq_ignore_ascii_case(&asks.handle);
        findings.retain(|finding| {
            !(finding.code == codes::DIMENSION_TEXT && finding.place.sources.iter().any(is_it))
        });
    }
}

/// What a dimension asks of the plan as it stands.
///
/// # Errors
/// Why no opening can follow it.
fn asked<'a>(drawings: &'a [Drawing], handle: String, plan: &Plan) -> Result<Asked<'a>, String> {
    let of_handle = |sheet: &Drawing| {
        let check = check_dimensions(sheet).into_iter().find(|check| {
            sheet
                .dimensions
                .get(check.dimension)
                .and_then(|it| sheet.sources.get(it.source.0 as usize))
                .is_some_and(|source| source.handle.eq_ignore_ascii_case(&handle))
        })?;
        Some((sheet.dimensions.get(check.dimension)?.clone(), check))
    };
    let in_lines = |drawing: &Drawing| {
        let own = plan.storeys.iter().filter(|it| it.file == drawing.file);
        of_handle(&dimensions_in_lines(drawing, &own.collect::<Vec<_>>()))
    };
    let (drawing, (dimension, check)) = drawings
        .iter()
        .find_map(|drawing| {
            let found = of_handle(drawing).or_else(|| in_lines(drawing))?;
            Some((drawing, found))
        })
        .ok_or("no linear dimension of the drawing has that handle")?;
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
    let storey = &plan.storeys[number];
    let now = to.at - from.at;
    let change = written.copysign(now) - now;
    let opening_of = |what: Tied| match what {
        Tied::Jamb { opening, .. } | Tied::Middle { opening } => Some(opening),
        Tied::Face { .. } | Tied::Centre { .. } => None,
    };
    let (index, moved, change) = match (opening_of(from.what), opening_of(to.what)) {
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
        (Some(a), None) => (a, Some(from.what), -change),
        (None, Some(a)) => (a, Some(to.what), change),
        (Some(a), Some(_)) => (a, None, change),
    };
    let way = wall_way(storey, index, direction).ok_or("its opening has no wall")?;
    let own = &storey.openings[index];
    let wish = match moved {
        Some(Tied::Jamb { is_near: true, .. }) => Wish::Near(own.near + change * way),
        Some(Tied::Jamb { .. }) => Wish::Far(own.near + own.width + change * way),
        Some(_) => Wish::Middle(own.near + own.width / 2.0 + change * way),
        None if matches!(from.what, Tied::Middle { .. })
            || matches!(to.what, Tied::Middle { .. }) =>
        {
            return Err("it measures within one opening".to_owned());
        }
        None => Wish::Width(written),
    };
    Ok(Asked {
        drawing,
        handle,
        opening: (number, index),
        wish,
    })
}

/// Where an opening stands, from its wall's start, and how wide it is, after wishes that agree; two settle it.
fn follow((near, width): (f64, f64), wishes: &[Wish]) -> (f64, f64) {
    let [first, rest @ ..] = wishes else {
        return (near, width);
    };
    // What a second one says of another place, or of the width.
    let other = rest
        .iter()
        .find(|it| std::mem::discriminant(*it) != std::mem::discriminant(first));
    match (*first, other.copied()) {
        (Wish::Width(wide), None) => (near + (width - wide) / 2.0, wide),
        (Wish::Near(at), None) => (at, width),
        (Wish::Far(at), None) => (at - width, width),
        (Wish::Middle(at), None) => (at - width / 2.0, width),
        (Wish::Width(wide), Some(it)) | (it, Some(Wish::Width(wide))) => {
            follow((near, wide), &[it])
        }
        (Wish::Near(a), Some(Wish::Far(b))) | (Wish::Far(b), Some(Wish::Near(a))) => (a, b - a),
        (Wish::Near(a), Some(Wish::Middle(m))) | (Wish::Middle(m), Some(Wish::Near(a))) => {
            (a, 2.0 * (m - a))
        }
        (Wish::Far(b), Some(Wish::Middle(m))) | (Wish::Middle(m), Some(Wish::Far(b))) => {
            (2.0 * m - b, 2.0 * (b - m))
        }
        (own, Some(_)) => follow((near, width), &[own]),
    }
}

/// True when an opening stands as a wish has it.
fn is_granted((near, width): (f64, f64), wish: Wish) -> bool {
    let off = match wish {
        Wish::Width(wide) => width - wide,
        Wish::Near(at) => near - at,
        Wish::Far(at) => near + width - at,
        Wish::Middle(at) => near + width / 2.0 - at,
    };
    off.abs() <= tolerance::DIMENSION_AGREES
}

/// The wishes about each opening, in the order of the job.
fn wishes(list: &[Trusted<'_>]) -> BTreeMap<(usize, usize), Vec<Wish>> {
    let mut wishes: BTreeMap<(usize, usize), Vec<Wish>> = BTreeMap::new();
    for asks in list.iter().filter_map(|it| it.asks.as_ref().ok()) {
        wishes.entry(asks.opening).or_default().push(asks.wish);
    }
    wishes
}

/// Where each opening that follows a dimension comes to stand, and how wide.
fn targets(plan: &Plan, list: &[Trusted<'_>]) -> BTreeMap<(usize, usize), (f64, f64)> {
    let wishes = wishes(list).into_iter();
    let target = |(at, own): ((usize, usize), Vec<Wish>)| {
        let opening = &plan.storeys[at.0].openings[at.1];
        (at, follow((opening.near, opening.width), &own))
    };
    wishes.map(target).collect()
}

/// Refuses what those before it in the job leave no room for.
fn refuse_contradictions(plan: &Plan, list: &mut [Trusted<'_>]) {
    let mut known: BTreeMap<(usize, usize), Vec<Wish>> = BTreeMap::new();
    for it in list {
        let Ok(asks) = &it.asks else { continue };
        let opening = &plan.storeys[asks.opening.0].openings[asks.opening.1];
        let own = known.entry(asks.opening).or_default();
        own.push(asks.wish);
        let stands = follow((opening.near, opening.width), own);
        if !own.iter().all(|wish| is_granted(stands, *wish)) {
            own.pop();
            it.asks = Err(format!(
                "{} cannot follow it and the others that are trusted",
                opening.id
            ));
        }
    }
}

/// Refuses what would leave its wall or meet another opening where that comes to stand, the last of the job first.
fn refuse_misfits(plan: &Plan, list: &mut [Trusted<'_>]) {
    loop {
        let targets = targets(plan, list);
        let misfit = list.iter_mut().rev().find_map(|it| {
            let (number, index) = it.asks.as_ref().ok()?.opening;
            let why = fits(&plan.storeys[number], number, index, &targets).err()?;
            Some((it, why))
        });
        match misfit {
            Some((it, why)) => it.asks = Err(why),
            None => return,
        }
    }
}

/// Sets an opening along its wall.
fn place_opening(storey: &mut Storey, index: usize, near: f64, width: f64) {
    let wall = storey.walls.iter();
    let opening = &mut storey.openings[index];
    let own = wall.clone().find(|wall| wall.id == opening.wall);
    let Some((wall, (length, _))) = own.and_then(|wall| Some((wall, along_of(wall)?))) else {
        return;
    };
    opening.centre = wall.start + (wall.end - wall.start) * ((near + width / 2.0) / length);
    (opening.near, opening.width) = (near, width);
}

/// 1 when the opening's wall runs the dimension's way, else -1.
fn wall_way(storey: &Storey, opening: usize, direction: Coord<f64>) -> Option<f64> {
    let id = &storey.openings.get(opening)?.wall;
    let wall = storey.walls.iter().find(|wall| wall.id == *id)?;
    let (_, along) = along_of(wall)?;
    Some((along.x * direction.x + along.y * direction.y).signum())
}

fn fits(
    storey: &Storey,
    number: usize,
    index: usize,
    targets: &BTreeMap<(usize, usize), (f64, f64)>,
) -> Result<(), String> {
    let stands = |i: usize| {
        let it = &storey.openings[i];
        let own = targets.get(&(number, i));
        own.copied().unwrap_or((it.near, it.width))
    };
    let (near, width) = stands(index);
    let own = &storey.openings[index];
    let wall = storey.walls.iter().find(|wall| wall.id == own.wall);
    let length = wall.and_then(along_of).map_or(0.0, |(length, _)| length);
    if width <= 0.0 || near < LEAST_PIER || near + width > length - LEAST_PIER {
        return Err(format!("{} would leave its wall", own.id));
    }
    let other = storey.openings.iter().enumerate().find(|(i, it)| {
        let (from, wide) = stands(*i);
        *i != index
            && it.wall == own.wall
            && near < from + wide + LEAST_PIER
            && from < near + width + LEAST_PIER
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
        check_all(&[dimension], expected, &[code]);
    }

    /// The same for several, all of them trusted.
    #[track_caller]
    fn check_all(dimensions: &[Dimension], expected: (f64, f64), told: &[&str]) {
        let drawing = drawing(dimensions.to_vec());
        let mut plan = Plan {
            storeys: vec![storey()],
            ..Plan::default()
        };
        let correction = |number: usize| PlanCorrection {
            anchor: CorrectionAnchor::Dimension(format!("d{number}")),
            intent: CorrectionIntent::Trusted,
            file: "job.toml".to_owned(),
            line: 3,
        };
        let mut findings = Vec::new();
        let corrections = PlanCorrections {
            list: (0..dimensions.len()).map(correction).collect(),
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
        assert_eq!(codes, told, "{findings:?}");
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
    fn one_opening_follows_its_place_and_its_width_in_either_order() {
        let place = || dimension(-3.0, 60.0, 40.0, "5'-6\"");
        let width = || dimension(60.0, 96.0, 40.0, "2'-6\"");
        // The far jamb from the other wall.
        let rest = || dimension(96.0, 243.0, 40.0, "12'-6\"");
        let both = ["PLAN-33", "PLAN-33"];
        check_all(&[place(), width()], (63.0, 30.0), &both);
        check_all(&[width(), place()], (63.0, 30.0), &both);
        check_all(&[place(), rest()], (63.0, 30.0), &both);
        check_all(&[width(), rest()], (63.0, 30.0), &both);
        check_all(&[place(), width(), rest()], (63.0, 30.0), &["PLAN-33"; 3]);
        // A third that leaves no room for the first two is refused, and they stand.
        let wider = dimension(60.0, 96.0, 40.0, "3'-2\"");
        let refused = ["PLAN-33", "PLAN-33", "PLAN-08"];
        check_all(&[place(), rest(), wider], (63.0, 30.0), &refused);
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
