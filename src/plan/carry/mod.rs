//! Carries corrections made on an earlier plan to this one: by the walls both have, never by coordinates or handles.
//!
//! ```text
//!   earlier plan.json ──► turn and move that lay most of its walls on this plan's ──► walls matched ──► openings matched
//!                                                    a correction goes where its wall or opening went
//! ```
//!
//! Method: (1) pairs of long walls propose a turn and a move; each is scored by the length of wall and the openings that it lays on
//! the new plan (a consensus search in fixed order, after Fischler and Bolles 1981), and the best must beat every other by a
//! margin, or the drawing must tell which it is (`ways`); storeys are paired all together (`storeys`), and what would go elsewhere by
//! what fits nearly as well is a doubt (`either`); (2) walls are matched
//! cheapest first, each pair only if it is both's best by a margin, those left over by the walls that they meet, then openings as
//! walls; (3) a place along a wall is kept from what stands along it in both plans (`along`); (4) what has no match is an orphan and
//! is reported. An assignment of walls of least total cost was refused: it matches what is left over to each other.

mod along;
mod changes;
mod either;
mod elsewhere;
mod matching;
mod meaning;
mod names;
mod neighbours;
mod reading;
mod rigid;
mod storeys;
#[cfg(test)]
mod tests;
mod ways;

pub use changes::{PlanChange, as_drawn, plan_changes};
pub use either::entries_either_way;
pub use elsewhere::{Elsewhere, corrections_elsewhere};
pub use meaning::{OtherMeaning, Whereabouts, Whither, anchors_now, other_meanings};
pub use names::IssuedNames;
pub use reading::{
    EarlierPlan, EarlierPlanError, read_earlier_plan, read_issued_names, read_issued_plan,
    read_written_on,
};

pub(super) use meaning::lay;
pub(super) use names::{Names, renumbered};

use super::answers::meant::opening_meant;
use super::answers::obey::{Located, clear_point, orphan, wall_at};
use super::enclosure::outline::point_within;
use super::lines::rails::around;
use super::{CorrectionAnchor, CorrectionIntent, Plan, PlanCorrection, Storey, codes};
use crate::findings::{Finding, Place};
use crate::geometry::Motion;
use geo::Coord;
use matching::{Matches, match_storeys};
use storeys::Fits;

/// An earlier storey on a storey of this plan.
pub(super) struct Carried<'a> {
    pub(super) earlier: &'a Storey,
    pub(super) now: &'a Storey,
    pub(super) rigid: Motion,
    pub(super) matches: Matches,
}

/// Turns corrections made on an earlier plan into points of this one; what cannot be carried is reported.
pub(super) fn carry<'a>(
    earlier: &EarlierPlan,
    plan: &Plan,
    corrections: &'a [PlanCorrection],
    findings: &mut Vec<Finding>,
) -> Vec<Located<'a>> {
    let mut why = Vec::new();
    let mut storeys: Vec<Carried<'_>> = Vec::new();
    let fits = Fits::of(&earlier.storeys, &plan.storeys);
    let rivals = either::rivals((earlier, plan), &fits);
    for (old, found) in earlier.storeys.iter().zip(fits.joint()) {
        match found {
            Ok((number, rigid)) => {
                storeys.push(Carried::laid(old, &plan.storeys[number], rigid));
            }
            Err(reason) => why.push(format!("{}: {}", old.id, reason.words())),
        }
    }
    let mut located = Vec::new();
    let mut n_carried = 0_usize;
    for correction in corrections {
        if matches!(correction.anchor, CorrectionAnchor::Dimension(_)) {
            continue;
        }
        match place(correction, &storeys, earlier) {
            Ok((at, storey)) => {
                n_carried += 1;
                let other = either::elsewhere(correction, (at, &storey), (earlier, &rivals));
                findings
                    .extend(other.map(|other| either::doubt(correction, (at, &storey), &other)));
                let own = plan.storeys.iter().find(|it| it.id == storey);
                located.push(Located {
                    correction,
                    at,
                    file: own.map(|it| it.file.clone()),
                    storey: Some(storey),
                });
            }
            Err(reason) if why.is_empty() => findings.push(lost(correction, &storeys, &reason)),
            Err(reason) => {
                let reason = format!("{reason} ({})", why.join("; "));
                findings.push(lost(correction, &storeys, &reason));
            }
        }
    }
    for it in &storeys {
        findings.push(Finding::note(
            codes::CORRECTIONS_CARRIED,
            Place {
                storey: Some(it.now.id.clone()),
                ..Place::default()
            },
            format!(
                "{n_carried} of {} corrections were carried from the earlier plan of {}, which lies here turned by {:.2} degrees; {} of its {} walls and {} of its {} openings were found again",
                corrections.len(),
                it.earlier.id,
                turn(&it.rigid),
                it.matches.walls.iter().flatten().count(),
                it.matches.walls.len(),
                it.matches.openings.iter().flatten().count(),
                it.matches.openings.len()
            ),
            "look at each correction on trace.svg once",
        ));
    }
    located
}

/// What could not be carried, at the place in this drawing where its point would be; its point alone says nothing here.
fn lost(correction: &PlanCorrection, storeys: &[Carried<'_>], reason: &str) -> Finding {
    let mut finding = orphan(correction, reason);
    let CorrectionAnchor::Point { at, storey } = &correction.anchor else {
        return finding;
    };
    let at = Coord { x: at[0], y: at[1] };
    let is_here = |it: &&Carried<'_>| storey.as_ref().is_none_or(|id| *id == it.earlier.id);
    let near = storeys
        .iter()
        .filter(is_here)
        .filter_map(|it| Some((it.away(at)?, it)));
    let near = near.min_by(|a, b| a.0.total_cmp(&b.0));
    finding.place.at = near.map(|(_, it)| {
        let (now, _) = it.moved(at);
        [now.x, now.y]
    });
    if finding.place.at.is_none() {
        finding.message += &format!(
            "; its point ({:.1}, {:.1}) is one of the earlier drawing",
            at.x, at.y
        );
    }
    finding
}

/// The turn of a motion in degrees, for messages: no minus zero.
fn turn(motion: &Motion) -> f64 {
    let degrees = motion.degrees();
    if degrees.abs() < 0.005 { 0.0 } else { degrees }
}

/// True of what is said of all of a wall, wherever in it the point is.
const fn is_all_meant(intent: CorrectionIntent) -> bool {
    matches!(
        intent,
        CorrectionIntent::NotAWall | CorrectionIntent::Core { .. }
    )
}

/// True of what is said of a wall or a room, even where an opening is.
const fn is_wall_meant(intent: CorrectionIntent) -> bool {
    is_all_meant(intent)
        || matches!(
            intent,
            CorrectionIntent::Exterior | CorrectionIntent::Interior
        )
}

/// True of what may be said of a room or a gap, where no wall is.
const fn is_place_meant(intent: CorrectionIntent) -> bool {
    matches!(
        intent,
        CorrectionIntent::Exterior
            | CorrectionIntent::Interior
            | CorrectionIntent::SingleLines
            | CorrectionIntent::Wall
            | CorrectionIntent::Opening { .. }
    )
}

/// True when a storey has a wall, an opening or a room of that name.
fn has(storey: &Storey, id: &str) -> bool {
    storey.walls.iter().any(|it| it.id == id)
        || storey.openings.iter().any(|it| it.id == id)
        || storey.rooms.iter().any(|it| it.id == id)
}

/// Where a correction goes, and on which storey.
fn place(
    correction: &PlanCorrection,
    storeys: &[Carried<'_>],
    earlier: &EarlierPlan,
) -> Result<(Coord<f64>, String), String> {
    match &correction.anchor {
        CorrectionAnchor::Id(id) => {
            for it in storeys {
                if let Some(index) = it.earlier.openings.iter().position(|o| o.id == *id) {
                    return it.opening(index);
                }
                if let Some(index) = it.earlier.walls.iter().position(|w| w.id == *id) {
                    return it.named_wall(correction.intent, index);
                }
                let room = it.earlier.rooms.iter().find(|room| room.id == *id);
                if let Some(middle) = room.and_then(|room| point_within(&room.outline)) {
                    return Ok(it.moved(middle));
                }
            }
            let unlaid = earlier.storeys.iter().find(|it| has(it, id));
            Err(unlaid.map_or_else(
                || "names no wall, no opening and no room of the earlier plan".to_owned(),
                |it| format!("is about {id} of {} of the earlier plan, which lies on no storey of this one for sure", it.id),
            ))
        }
        CorrectionAnchor::Point { at, storey } => {
            let at = Coord { x: at[0], y: at[1] };
            let is_here = |it: &&Carried<'_>| storey.as_ref().is_none_or(|id| *id == it.earlier.id);
            for it in storeys.iter().filter(is_here) {
                if let Some(placed) = it.point(correction.intent, at) {
                    return placed;
                }
            }
            // What is said of a place beyond the walls goes with the storey that it is said of, or lies nearest.
            let nearest = storeys
                .iter()
                .filter(is_here)
                .filter_map(|it| Some((it.away(at)?, it)));
            let nearest = nearest.min_by(|a, b| a.0.total_cmp(&b.0));
            match nearest.filter(|_| is_place_meant(correction.intent)) {
                Some((_, it)) => Ok(it.moved(at)),
                None => {
                    Err("finds no wall and no opening of the earlier plan at its point".to_owned())
                }
            }
        }
        CorrectionAnchor::Dimension(_) => Err("is about a dimension".to_owned()),
    }
}

impl<'a> Carried<'a> {
    /// An earlier storey laid on one of this plan, its walls and openings matched.
    fn laid(earlier: &'a Storey, now: &'a Storey, rigid: Motion) -> Self {
        let matches = match_storeys(earlier, now, &rigid);
        Self {
            earlier,
            now,
            rigid,
            matches,
        }
    }

    fn opening(&self, index: usize) -> Result<(Coord<f64>, String), String> {
        let id = &self.earlier.openings[index].id;
        let found = self.matches.openings.get(index).copied().flatten();
        match found.or_else(|| self.opening_in_place(index)) {
            Some(now) => Ok((self.now.openings[now].centre, self.now.id.clone())),
            None => Err(format!(
                "is about opening {id} of the earlier plan, which is not found again for sure"
            )),
        }
    }

    /// Any place in a wall, for what is said of all of it.
    fn wall(&self, index: usize) -> Result<(Coord<f64>, String), String> {
        match self.matches.walls.get(index).copied().flatten() {
            Some(now) => Ok((
                clear_point(self.now, &self.now.walls[now]),
                self.now.id.clone(),
            )),
            None => Err(self.no_wall(index)),
        }
    }

    fn no_wall(&self, index: usize) -> String {
        let id = &self.earlier.walls[index].id;
        format!("is about wall {id} of the earlier plan, which is not found again for sure")
    }

    /// What is said of a wall by its name: of all of it, or of the place by which the earlier plan took it.
    fn named_wall(
        &self,
        intent: CorrectionIntent,
        index: usize,
    ) -> Result<(Coord<f64>, String), String> {
        if is_all_meant(intent) {
            return self.wall(index);
        }
        let at = clear_point(self.earlier, &self.earlier.walls[index]);
        self.along(index, at)
    }

    /// A point of the earlier plan: on an opening, or on a wall at a distance from what stands along it; `None` when it is on
    /// neither.
    fn point(
        &self,
        intent: CorrectionIntent,
        at: Coord<f64>,
    ) -> Option<Result<(Coord<f64>, String), String>> {
        if !is_wall_meant(intent)
            && let Some(index) = opening_meant(self.earlier, at)
        {
            return Some(self.opening(index));
        }
        let Some((wall, _)) = wall_at(self.earlier, at) else {
            // What is said of a room or a gap goes where the plan round it went.
            let is_meant = is_place_meant(intent) && self.away(at) == Some(0.0);
            return is_meant.then(|| Ok(self.moved(at)));
        };
        let index = self.earlier.walls.iter().position(|it| it.id == wall.id)?;
        let placed = self.along(index, at);
        // Of all of a wall any place will do.
        Some(match placed {
            Err(_) if is_all_meant(intent) => self.wall(index),
            _ => placed,
        })
    }

    /// Where the plan round a point went.
    fn moved(&self, at: Coord<f64>) -> (Coord<f64>, String) {
        let [x, y] = self.rigid.point([at.x, at.y]);
        (Coord { x, y }, self.now.id.clone())
    }

    /// How far a point lies from the box round the walls of the earlier plan; none within it.
    fn away(&self, at: Coord<f64>) -> Option<f64> {
        let walls = self.earlier.walls.iter();
        let ends: Vec<Coord<f64>> = walls.flat_map(|wall| [wall.start, wall.end]).collect();
        let all = around(&ends, 0.0)?;
        let beyond = |low: f64, high: f64, it: f64| (low - it).max(it - high).max(0.0);
        let x = beyond(all.low.x, all.high.x, at.x);
        Some(x.hypot(beyond(all.low.y, all.high.y, at.y)))
    }
}
