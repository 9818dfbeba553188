//! A dimension that the job trusts, found again on a revised drawing by what it measures: its handle may be another's by now.
//!
//! ```text
//!   earlier   2F4   corner ├── 5'-4" ──┤ jamb of O3
//!   now       8A1   corner ├── 5'-4" ──┤ jamb of O3      this one is meant
//!             2F4              ├── 3'-0" ──┤             not this one
//! ```

use super::ties::{Tied, Ties, tie};
use super::{DimensionCheck, DimensionVerdict, check_dimensions, dimensions_in_lines, said};
use crate::drawing::{Dimension, Drawing};
use crate::plan::carry::{Carried, EarlierPlan, lay};
use crate::plan::{Plan, StatedDimension, Storey};
use geo::Coord;

/// What is written is the same within this, inches.
const AS_WRITTEN: f64 = 1.0 / 64.0;
/// Sine of the angle within which a dimension measures the way it did.
const SAME_WAY: f64 = 0.02;

/// Keeps of a drawing the dimensions that say something else than is drawn, each with the storey that it measures: one of them may
/// be trusted, and is to be found again when the drawing is revised.
///
/// - `sheets`: the drawing, and its dimensions in lines and text.
pub(in crate::plan) fn keep_at_odds(sheets: [&Drawing; 2], storeys: &mut [Storey]) {
    keep(sheets, storeys, |_, it| {
        it.verdict == DimensionVerdict::Conflicts
    });
}

/// Keeps those that the job trusts too, though they say what is drawn: on the next drawing they may not.
///
/// - `handles`: in these drawings.
pub(in crate::plan) fn keep_trusted(
    drawings: &[Drawing],
    handles: &[String],
    storeys: &mut [Storey],
) {
    for drawing in drawings {
        let is_trusted = |sheet: &Drawing, it: &DimensionCheck| {
            let dimension = sheet.dimensions.get(it.dimension);
            let own = dimension.and_then(|dimension| handle(sheet, dimension));
            own.is_some_and(|own| handles.iter().any(|it| it.eq_ignore_ascii_case(own)))
        };
        for storey in storeys.iter_mut().filter(|it| it.file == drawing.file) {
            let in_lines = dimensions_in_lines(drawing, &[storey]);
            keep(
                [drawing, &in_lines],
                std::slice::from_mut(storey),
                is_trusted,
            );
        }
    }
}

/// Adds to each storey the dimensions of its drawing that measure it and are wanted, whole ones and those in lines and text.
fn keep(
    sheets: [&Drawing; 2],
    storeys: &mut [Storey],
    is_wanted: impl Fn(&Drawing, &DimensionCheck) -> bool,
) {
    for sheet in sheets {
        let checks = check_dimensions(sheet).into_iter();
        let wanted: Vec<DimensionCheck> = checks.filter(|it| is_wanted(sheet, it)).collect();
        keep_each(sheet, storeys, &wanted);
    }
}

fn keep_each(drawing: &Drawing, storeys: &mut [Storey], wanted: &[DimensionCheck]) {
    if wanted.is_empty() {
        return;
    }
    for storey in storeys {
        let ties = Ties::new(storey);
        let of = |check: &DimensionCheck| {
            let dimension = drawing.dimensions.get(check.dimension)?;
            let along = along(dimension);
            tie(&ties, dimension.from, along)?;
            tie(&ties, dimension.to, along)?;
            Some(StatedDimension {
                handle: handle(drawing, dimension)?.to_owned(),
                from: dimension.from,
                to: dimension.to,
                along,
                written: check.written.to_inches(),
            })
        };
        let found: Vec<StatedDimension> = wanted.iter().filter_map(of).collect();
        let is_new = |it: &StatedDimension| {
            let mut known = storey.dimensions.iter();
            !known.any(|known| known.handle == it.handle)
        };
        let new: Vec<StatedDimension> = found.into_iter().filter(is_new).collect();
        storey.dimensions.extend(new);
    }
}

/// The handle that a trusted dimension of an earlier plan has in these drawings.
///
/// # Errors
/// Why none of them is the one for sure.
pub(in crate::plan) fn handle_now(
    (earlier, handle): (&EarlierPlan, &str),
    (plan, drawings): (&Plan, &[Drawing]),
) -> Result<String, String> {
    let laid = lay(earlier, plan);
    let known = |storey: &Storey| {
        let mut all = storey.dimensions.iter();
        all.position(|it| it.handle.eq_ignore_ascii_case(handle))
    };
    let Some((it, index)) = laid.iter().find_map(|it| Some((it, known(it.earlier)?))) else {
        return Err(if earlier.storeys.iter().any(|it| known(it).is_some()) {
            "the storey of the earlier plan that it measures lies on no storey of this one for sure"
        } else {
            "the earlier plan.json does not say what it measured: a dimension of this drawing may have its handle by now"
        }
        .to_owned());
    };
    let was = &it.earlier.dimensions[index];
    let drawing = drawings.iter().find(|drawing| drawing.file == it.now.file);
    let drawing = drawing.ok_or("its drawing is not among these")?;
    let in_lines = dimensions_in_lines(drawing, &[it.now]);
    let mut other = None;
    for sheet in [drawing, &in_lines] {
        for check in check_dimensions(sheet) {
            let dimension = &sheet.dimensions[check.dimension];
            if !measures_as(dimension, was, it) {
                continue;
            }
            let written = check.written.to_inches();
            if (written - was.written).abs() < AS_WRITTEN {
                let found = self::handle(sheet, dimension);
                return found
                    .map(str::to_owned)
                    .ok_or_else(|| "it has no handle".to_owned());
            }
            other = Some(written);
        }
    }
    Err(other.map_or_else(
        || "no dimension of this drawing measures what it did".to_owned(),
        |now| {
            format!(
                "what it measured is {} by this drawing, and was {}",
                said(drawing, now),
                said(drawing, was.written)
            )
        },
    ))
}

/// True when a dimension measures between the things that an earlier one did.
fn measures_as(dimension: &Dimension, was: &StatedDimension, it: &Carried<'_>) -> bool {
    if dimension.direction.is_none() {
        return false;
    }
    let along = along(dimension);
    let [x, y] = it.rigid.turn([was.along.x, was.along.y]);
    if (along.x * y - along.y * x).abs() > SAME_WAY {
        return false;
    }
    let (old, now) = (Ties::new(it.earlier), Ties::new(it.now));
    let before = [was.from, was.to].map(|p| {
        let tied = tie(&old, p, was.along)?.what;
        thing_now(tied, it)
    });
    let after = [dimension.from, dimension.to].map(|p| Some(tie(&now, p, along)?.what));
    let is_one = before.iter().chain(&after).all(Option::is_some);
    is_one && (before == after || before == [after[1], after[0]])
}

/// What an earlier plan's dimension is tied to, on this plan.
fn thing_now(tied: Tied, it: &Carried<'_>) -> Option<Tied> {
    let wall_now = |wall: usize| it.matches.walls.get(wall).copied().flatten();
    let opening_now = |opening: usize| it.matches.openings.get(opening).copied().flatten();
    Some(match tied {
        Tied::Face { wall } => Tied::Face {
            wall: wall_now(wall)?,
        },
        Tied::Centre { wall } => Tied::Centre {
            wall: wall_now(wall)?,
        },
        Tied::Jamb { opening, is_near } => {
            let id = &it.earlier.openings[opening].wall;
            let wall = it.earlier.walls.iter().position(|wall| wall.id == *id)?;
            Tied::Jamb {
                opening: opening_now(opening)?,
                is_near: is_near != it.matches.is_turned(wall),
            }
        }
        Tied::Middle { opening } => Tied::Middle {
            opening: opening_now(opening)?,
        },
    })
}

fn along(dimension: &Dimension) -> Coord<f64> {
    let (sine, cosine) = dimension.direction.unwrap_or(0.0).sin_cos();
    Coord { x: cosine, y: sine }
}

fn handle<'a>(drawing: &'a Drawing, dimension: &Dimension) -> Option<&'a str> {
    let source = drawing.sources.get(dimension.source.0 as usize)?;
    Some(&source.handle)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{dimension, drawing};
    use super::super::ties::tests::storey;
    use super::*;

    fn plan(storey: Storey) -> Plan {
        Plan {
            storeys: vec![storey],
            ..Plan::default()
        }
    }

    /// The handle now of a dimension from a corner to a jamb that was D0, on a drawing of these.
    fn now(dimensions: Vec<Dimension>) -> Result<String, String> {
        let was = drawing(vec![dimension(-3.0, 60.0, 40.0, "5'-4\"")]);
        let mut storeys = [storey()];
        let in_lines = dimensions_in_lines(&was, &[&storeys[0]]);
        keep_at_odds([&was, &in_lines], &mut storeys);
        let earlier = EarlierPlan {
            storeys: storeys.to_vec(),
        };
        handle_now((&earlier, "d0"), (&plan(storey()), &[drawing(dimensions)]))
    }

    #[test]
    fn it_is_found_by_what_it_measures_whichever_has_its_handle() {
        let own = || dimension(-3.0, 60.0, 55.0, "5'-4\"");
        let other = || dimension(60.0, 96.0, 40.0, "3'-2\"");
        assert_eq!(now(vec![own(), other()]), Ok("D0".to_owned()));
        assert_eq!(now(vec![other(), own()]), Ok("D1".to_owned()));
        let mut backward = own();
        (backward.from, backward.to) = (backward.to, backward.from);
        assert_eq!(now(vec![other(), backward]), Ok("D1".to_owned()));
    }

    #[test]
    fn where_nothing_measures_that_or_it_says_another_length_it_is_not_found() {
        let other = || dimension(60.0, 96.0, 40.0, "3'-2\"");
        let none = now(vec![other()]).unwrap_err();
        assert!(none.contains("no dimension"), "{none}");
        let changed = now(vec![other(), dimension(-3.0, 60.0, 40.0, "5'-6\"")]);
        let changed = changed.unwrap_err();
        assert!(
            changed.contains("66\"") && changed.contains("64\""),
            "{changed}"
        );
        let earlier = EarlierPlan {
            storeys: vec![storey()],
        };
        let drawings = [drawing(vec![other()])];
        let unknown = handle_now((&earlier, "d0"), (&plan(storey()), &drawings));
        assert!(unknown.unwrap_err().contains("does not say"));
    }
}
