//! Which corrections of a job would hold elsewhere on this plan than on the earlier one, where nobody knows on which they were written.

use super::meaning::{STILL, Whereabouts, lay, of_opening, of_wall};
use super::{Carried, EarlierPlan, is_all_meant, is_wall_meant, place};
use crate::drawing::Drawing;
use crate::plan::answers::meant::opening_meant;
use crate::plan::answers::obey::wall_at;
use crate::plan::dimensions::handle_now;
use crate::plan::enclosure::outline::contains;
use crate::plan::{CorrectionAnchor, CorrectionIntent, Plan, PlanCorrection, Storey};
use geo::Coord;

/// A correction whose place was another on the earlier plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Elsewhere {
    /// What it was about on the earlier plan.
    pub was: Whereabouts,
    /// What it is about on this one; `None` where nothing is there.
    pub is: Option<Whereabouts>,
    /// Where that is now; `None` where it is not found again for sure.
    pub now: Option<CorrectionAnchor>,
}

/// For each correction what it would be about, where that is something else or somewhere else than on the earlier plan.
///
/// - `plan`: as recovered without corrections; `drawings`: those that it was recovered from.
/// - `None` for what is by an id, which goes on, for what holds where it held, and for what was about nothing.
#[must_use]
pub fn corrections_elsewhere(
    earlier: &EarlierPlan,
    (plan, drawings): (&Plan, &[Drawing]),
    corrections: &[PlanCorrection],
) -> Vec<Option<Elsewhere>> {
    let laid = lay(earlier, plan);
    let all = corrections.iter();
    all.map(|it| match &it.anchor {
        CorrectionAnchor::Id(_) => None,
        CorrectionAnchor::Dimension(handle) => trusted(earlier, (plan, drawings), handle),
        CorrectionAnchor::Point { at, storey } => {
            let at = Coord { x: at[0], y: at[1] };
            let placed = place(it, &laid, earlier);
            of_point((it.intent, at, storey.as_deref()), placed.ok(), &laid)
        }
    })
    .collect()
}

fn trusted(
    earlier: &EarlierPlan,
    (plan, drawings): (&Plan, &[Drawing]),
    handle: &str,
) -> Option<Elsewhere> {
    let mut all = earlier.storeys.iter().flat_map(|it| &it.dimensions);
    let was = all.find(|it| it.handle.eq_ignore_ascii_case(handle))?;
    let now = handle_now((earlier, handle), (plan, drawings)).ok();
    if now
        .as_deref()
        .is_some_and(|it| it.eq_ignore_ascii_case(handle))
    {
        return None;
    }
    let middle = (was.from + was.to) / 2.0;
    Some(Elsewhere {
        was: Whereabouts {
            kind: "dimension",
            wall: was.handle.clone(),
            size: was.written,
            middle: [middle.x, middle.y],
        },
        is: None,
        now: now.map(CorrectionAnchor::Dimension),
    })
}

fn of_point(
    (intent, at, storey): (CorrectionIntent, Coord<f64>, Option<&str>),
    placed: Option<(Coord<f64>, String)>,
    laid: &[Carried<'_>],
) -> Option<Elsewhere> {
    let mut of_earlier = laid
        .iter()
        .filter(|it| storey.is_none_or(|id| id == it.earlier.id));
    let was = of_earlier.find_map(|it| about(it.earlier, intent, at))?;
    let of_now = laid
        .iter()
        .filter(|it| storey.is_none_or(|id| id == it.now.id));
    let mut of_now = of_now.map(|it| it.now);
    let is = of_now.find_map(|it| about(it, intent, at));
    let Some((to, id)) = placed else {
        // Of what is about nothing now it is said where it is obeyed.
        return is.map(|is| Elsewhere {
            was,
            is: Some(is),
            now: None,
        });
    };
    let by = to - at;
    let mut same = laid.iter().filter(|it| it.now.id == id);
    let meant = same.find_map(|it| about(it.now, intent, to));
    // Of an opening, or of all of a wall, any place in it will do.
    let is_any_place = is_all_meant(intent) || meant.as_ref().is_some_and(|it| it.kind != "wall");
    if by.x.hypot(by.y) < STILL || is_any_place && meant.is_some() && meant == is {
        return None;
    }
    Some(Elsewhere {
        was,
        is,
        now: Some(CorrectionAnchor::Point {
            at: [to.x, to.y],
            storey: Some(id),
        }),
    })
}

/// What a correction at a point is about on a storey.
fn about(storey: &Storey, intent: CorrectionIntent, at: Coord<f64>) -> Option<Whereabouts> {
    let opening = opening_meant(storey, at).filter(|_| !is_wall_meant(intent));
    if let Some(index) = opening {
        return Some(of_opening(&storey.openings[index]));
    }
    if let Some((wall, _)) = wall_at(storey, at) {
        return Some(of_wall(wall));
    }
    let mut rooms = storey.rooms.iter();
    let room = rooms.find(|it| contains(&it.outline, at))?;
    Some(Whereabouts {
        kind: "room",
        wall: room.id.clone(),
        size: 0.0,
        middle: [at.x, at.y],
    })
}
