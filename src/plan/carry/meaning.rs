//! What a name given on an earlier plan means on this one, where that is another wall or opening than it was.

use super::matching::Matches;
use super::rigid::{Unlaid, unit};
use super::storeys::Fits;
use super::{Carried, EarlierPlan};
use crate::geometry::Motion;
use crate::plan::answers::obey::wall_at;
use crate::plan::{CorrectionAnchor, Opening, Plan, Storey, Wall};
use geo::Coord;

/// A wall or an opening as a person finds it in the drawing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Whereabouts {
    /// `wall`, `room`, `dimension`, or the kind of opening.
    pub kind: &'static str,
    /// The wall, or the wall it is in; a room's id; a dimension's handle.
    pub wall: String,
    /// Length of a wall, width of an opening, what a dimension says; inches.
    pub size: f64,
    /// Its middle, drawing coordinates in inches.
    pub middle: [f64; 2],
}

/// A name that means something else than it did.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OtherMeaning {
    /// What it meant on the earlier plan.
    pub was: Whereabouts,
    /// What it means on this one.
    pub is: Whereabouts,
    /// Id on this plan of what it meant; `None` where that is not found again for sure.
    pub now: Option<String>,
    /// Storey of what it means now.
    pub storey: String,
}

/// For each anchor what it means now, where it meant something else on the earlier plan.
///
/// - `anchors`: ids of walls and openings, or points on walls.
/// - `None` for what means the same, and for what either plan has not: what names nothing is said where it is obeyed.
#[must_use]
pub fn other_meanings(
    earlier: &EarlierPlan,
    plan: &Plan,
    anchors: &[CorrectionAnchor],
) -> Vec<Option<OtherMeaning>> {
    let laid = lay(earlier, plan);
    let all = anchors.iter();
    all.map(|anchor| match anchor {
        CorrectionAnchor::Id(id) => of_id(id, (&laid, earlier), plan),
        CorrectionAnchor::Point { at, storey } => {
            let at = Coord { x: at[0], y: at[1] };
            let of = |it: &&Carried<'_>| storey.as_ref().is_none_or(|id| *id == it.now.id);
            laid.iter().filter(of).find_map(|it| of_point(at, it))
        }
        CorrectionAnchor::Dimension(_) => None,
    })
    .collect()
}

/// A point that moved less than this stands where it stood, inches.
pub(super) const STILL: f64 = 1.0 / 64.0;

/// Where what an anchor meant on an earlier plan is on this one.
#[derive(Clone, Debug, PartialEq)]
pub enum Whither {
    /// Named as it was, or nothing that the earlier plan has.
    AsItWas,
    /// Named so now.
    Now(CorrectionAnchor),
    /// Not found again for sure; what it was.
    Lost(Whereabouts),
}

/// For each anchor that was given on the earlier plan what it is called on this one.
///
/// - `anchors`: ids of walls and openings, or points on walls.
#[must_use]
pub fn anchors_now(
    earlier: &EarlierPlan,
    plan: &Plan,
    anchors: &[CorrectionAnchor],
) -> Vec<Whither> {
    let laid = lay(earlier, plan);
    let all = anchors.iter();
    all.map(|anchor| match anchor {
        CorrectionAnchor::Id(id) => id_now(id, &laid, earlier),
        CorrectionAnchor::Point { at, storey } => {
            let at = Coord { x: at[0], y: at[1] };
            let of = |it: &&Carried<'_>| storey.as_ref().is_none_or(|id| *id == it.earlier.id);
            let found = laid.iter().filter(of).find_map(|it| point_now(at, it));
            found.unwrap_or(Whither::AsItWas)
        }
        CorrectionAnchor::Dimension(_) => Whither::AsItWas,
    })
    .collect()
}

fn id_now(id: &str, laid: &[Carried<'_>], earlier: &EarlierPlan) -> Whither {
    match laid.iter().find_map(|it| meant(id, it)) {
        Some((_, Some(now))) if now == id => Whither::AsItWas,
        Some((_, Some(now))) => Whither::Now(CorrectionAnchor::Id(now)),
        Some((was, None)) => Whither::Lost(was),
        None => {
            let was = earlier.storeys.iter().find_map(|it| found(id, it));
            was.map_or(Whither::AsItWas, Whither::Lost)
        }
    }
}

/// A point keeps its distance from what stands along its wall.
fn point_now(at: Coord<f64>, it: &Carried<'_>) -> Option<Whither> {
    let (wall, _) = wall_at(it.earlier, at)?;
    let index = it.earlier.walls.iter().position(|own| own.id == wall.id)?;
    let Ok((now, storey)) = it.along(index, at) else {
        return Some(Whither::Lost(of_wall(wall)));
    };
    let moved = now - at;
    if storey == it.earlier.id && moved.x.hypot(moved.y) < STILL {
        return Some(Whither::AsItWas);
    }
    Some(Whither::Now(CorrectionAnchor::Point {
        at: [now.x, now.y],
        storey: Some(storey),
    }))
}

/// Earlier storeys on those of this plan. Where no turn and move is sure, as in a building that is the same from both ends, the
/// storey of the same id stands where it stood: a revised drawing keeps its origin more often than not. On a mirrored one nothing does.
pub(in crate::plan) fn lay<'a>(earlier: &'a EarlierPlan, plan: &'a Plan) -> Vec<Carried<'a>> {
    let found = Fits::of(&earlier.storeys, &plan.storeys).joint();
    let is_free = |number: &usize| {
        let mut taken = found.iter().flatten();
        !taken.any(|(taken, _)| taken == number)
    };
    let both = earlier.storeys.iter().zip(&found);
    both.filter_map(|(old, found)| {
        let (number, rigid) = match found {
            Ok(found) => *found,
            Err(Unlaid::Mirrored) => return None,
            Err(_) => {
                let same = plan.storeys.iter().position(|it| it.id == old.id);
                (same.filter(is_free)?, Motion::NONE)
            }
        };
        Some(Carried::laid(old, &plan.storeys[number], rigid))
    })
    .collect()
}

fn of_id(
    id: &str,
    (laid, earlier): (&[Carried<'_>], &EarlierPlan),
    plan: &Plan,
) -> Option<OtherMeaning> {
    let (was, now) = laid.iter().find_map(|it| meant(id, it)).or_else(|| {
        let was = earlier.storeys.iter().find_map(|it| found(id, it))?;
        Some((was, None))
    })?;
    if now.as_deref() == Some(id) {
        return None;
    }
    let (storey, is) = plan.storeys.iter().find_map(|storey| {
        let found = found(id, storey)?;
        Some((storey, found))
    })?;
    Some(OtherMeaning {
        was,
        is,
        now,
        storey: storey.id.clone(),
    })
}

/// What an id meant on an earlier storey, and the id of that now.
pub(super) fn meant(id: &str, it: &Carried<'_>) -> Option<(Whereabouts, Option<String>)> {
    let Matches {
        walls, openings, ..
    } = &it.matches;
    let was = found(id, it.earlier)?;
    let opening = it.earlier.openings.iter().position(|it| it.id == id);
    let now = match opening {
        Some(i) => openings[i].map(|now| it.now.openings[now].id.clone()),
        None => {
            let i = it.earlier.walls.iter().position(|it| it.id == id)?;
            walls[i].map(|now| it.now.walls[now].id.clone())
        }
    };
    Some((was, now))
}

fn of_point(at: Coord<f64>, it: &Carried<'_>) -> Option<OtherMeaning> {
    let (old, _) = wall_at(it.earlier, at)?;
    let (wall, _) = wall_at(it.now, at)?;
    let (was, now) = meant(&old.id, it)?;
    (now.as_ref() != Some(&wall.id)).then(|| OtherMeaning {
        was,
        is: of_wall(wall),
        now,
        storey: it.now.id.clone(),
    })
}

pub(super) fn found(id: &str, storey: &Storey) -> Option<Whereabouts> {
    let opening = storey.openings.iter().find(|it| it.id == id);
    let wall = || storey.walls.iter().find(|it| it.id == id).map(of_wall);
    opening.map(of_opening).or_else(wall)
}

pub(super) fn of_wall(wall: &Wall) -> Whereabouts {
    let middle = (wall.start + wall.end) / 2.0;
    Whereabouts {
        kind: "wall",
        wall: wall.id.clone(),
        size: unit(wall).map_or(0.0, |(length, _)| length),
        middle: [middle.x, middle.y],
    }
}

pub(super) fn of_opening(opening: &Opening) -> Whereabouts {
    Whereabouts {
        kind: opening.kind.name(),
        wall: opening.wall.clone(),
        size: opening.width,
        middle: [opening.centre.x, opening.centre.y],
    }
}
