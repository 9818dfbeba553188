//! What goes elsewhere by another way of laying the earlier plan that fits nearly as well: a person must say which is meant.
//!
//! ```text
//!   earlier  ┌────┬────┐   now  ┌────┬────┐   nothing tells whether it was turned:
//!            │  * │    │        │  ? │ ?  │   what was said of * goes left, and may mean the right
//!            └────┴────┘        └────┴────┘
//! ```

use super::meaning::{STILL, Whereabouts, found, lay, meant, of_wall};
use super::storeys::Fits;
use super::{Carried, EarlierPlan, place};
use crate::findings::{Finding, Place};
use crate::plan::answers::obey::wall_at;
use crate::plan::{CorrectionAnchor, Plan, PlanCorrection, codes};
use geo::Coord;

/// A place of this plan and its storey.
type At = (Coord<f64>, String);

/// The earlier plan laid in every other way that fits nearly as well.
pub(super) fn rivals<'a>(
    (earlier, plan): (&'a EarlierPlan, &'a Plan),
    fits: &Fits<'_>,
) -> Vec<Vec<Carried<'a>>> {
    let all = fits.rivals().into_iter();
    all.map(|joint| {
        let both = earlier.storeys.iter().zip(joint);
        both.filter_map(|(old, found)| {
            let (number, motion) = found.ok()?;
            Some(Carried::laid(old, &plan.storeys[number], motion))
        })
        .collect()
    })
    .collect()
}

/// Where else a correction may belong.
pub(super) fn elsewhere(
    correction: &PlanCorrection,
    (at, storey): (Coord<f64>, &str),
    (earlier, rivals): (&EarlierPlan, &[Vec<Carried<'_>>]),
) -> Option<At> {
    let mut places = rivals
        .iter()
        .filter_map(|it| place(correction, it, earlier).ok());
    places.find(|(other, on)| is_apart((at, storey), (*other, on)))
}

fn is_apart(a: (Coord<f64>, &str), b: (Coord<f64>, &str)) -> bool {
    let d = a.0 - b.0;
    a.1 != b.1 || d.x.hypot(d.y) > STILL
}

/// Says that a correction may belong at another place.
pub(super) fn doubt(
    correction: &PlanCorrection,
    (at, storey): (Coord<f64>, &str),
    (other, on): &At,
) -> Finding {
    let mut place = Place::line(&correction.file, correction.line).with_at(at.x, at.y);
    place.storey = Some(storey.to_owned());
    place.between = Some([[at.x, at.y], [other.x, other.y]]);
    Finding::doubt(
        codes::EITHER_WAY,
        place,
        format!(
            "the earlier plan lies on this one in two ways that fit nearly alike: by the one taken this correction is at {:.1}, {:.1} on {storey}, by the other at {:.1}, {:.1} on {on}",
            at.x, at.y, other.x, other.y
        ),
        "look at both places on trace.svg; if the other one is meant, write its point as at; then name the plan.json of this drawing as corrected_plan",
    )
}

/// For each anchor of the job where it is by the way taken and by another that fits nearly as well, where these differ.
///
/// - `anchors`: ids of walls and openings, or points on walls, of the earlier plan.
#[must_use]
pub fn entries_either_way(
    earlier: &EarlierPlan,
    plan: &Plan,
    anchors: &[CorrectionAnchor],
) -> Vec<Option<[Whereabouts; 2]>> {
    let rivals = if anchors.is_empty() || earlier.is_as_drawn(&plan.storeys) {
        Vec::new()
    } else {
        rivals((earlier, plan), &Fits::of(&earlier.storeys, &plan.storeys))
    };
    if rivals.is_empty() {
        return vec![None; anchors.len()];
    }
    let taken = lay(earlier, plan);
    let all = anchors.iter();
    all.map(|anchor| {
        let (own, storey) = now(anchor, &taken)?;
        let others = rivals.iter().filter_map(|it| now(anchor, it));
        let middle = |it: &Whereabouts| Coord::from(it.middle);
        let mut apart =
            others.filter(|(it, on)| is_apart((middle(&own), &storey), (middle(it), on)));
        let (other, _) = apart.next()?;
        Some([own, other])
    })
    .collect()
}

/// What an anchor of the earlier plan is on this one, and on which storey.
fn now(anchor: &CorrectionAnchor, laid: &[Carried<'_>]) -> Option<(Whereabouts, String)> {
    match anchor {
        CorrectionAnchor::Id(id) => laid.iter().find_map(|it| {
            let now = meant(id, it)?.1?;
            Some((found(&now, it.now)?, it.now.id.clone()))
        }),
        CorrectionAnchor::Point { at, storey } => {
            let at = Coord::from(*at);
            let of = |it: &&Carried<'_>| storey.as_ref().is_none_or(|id| *id == it.earlier.id);
            laid.iter().filter(of).find_map(|it| {
                let (wall, _) = wall_at(it.earlier, at)?;
                let index = it.earlier.walls.iter().position(|own| own.id == wall.id)?;
                let (to, storey) = it.along(index, at).ok()?;
                let mut is = of_wall(wall_at(it.now, to)?.0);
                is.middle = [to.x, to.y];
                Some((is, storey))
            })
        }
        CorrectionAnchor::Dimension(_) => None,
    }
}
