//! What an architect changed between two plans: walls and openings that moved, grew, came or went, in words.
//!
//! A wall is measured on its centre line against the earlier one laid over this plan; an opening by its middle along its wall.

use super::matching::Matches;
use super::meaning::lay;
use super::rigid::{cross, dot, moved, unit};
use super::{Carried, EarlierPlan};
use crate::plan::{Opening, Plan, Storey, Wall};
use crate::units::Length;

/// Less than this is rounding and the tape, inches.
const STILL: f64 = 1.0 / 16.0;

/// One thing that is not as it was.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PlanChange {
    /// Id of the storey.
    pub storey: String,
    /// The wall, or the wall of the opening: as it is called now, or as it was where it is gone.
    pub wall: String,
    /// The opening; `None` where the wall itself changed.
    pub opening: Option<String>,
    /// Its kind: `wall`, or that of the opening.
    pub kind: &'static str,
    /// What became of it.
    pub what: String,
    /// Handles of what draws it; of a thing that is gone, those it had.
    pub sources: Vec<String>,
}

impl PlanChange {
    /// `window O12 is 6" farther right`.
    #[must_use]
    pub fn words(&self) -> String {
        let name = self.opening.as_deref().unwrap_or(&self.wall);
        format!("{} {name} {}", self.kind.replace('_', " "), self.what)
    }
}

/// What differs between an earlier plan and this one, storey by storey; nothing of storeys that do not lie over each other.
#[must_use]
pub fn plan_changes(earlier: &EarlierPlan, plan: &Plan) -> Vec<PlanChange> {
    lay(earlier, plan).iter().flat_map(of_storey).collect()
}

fn of_storey(it: &Carried<'_>) -> Vec<PlanChange> {
    let Matches {
        walls, openings, ..
    } = &it.matches;
    // Laid where it stood because no turn and move is sure, it may lie on nothing: that says nothing of what changed.
    if walls.iter().flatten().count() * 2 < walls.len() {
        return Vec::new();
    }
    let change = |wall: &Wall, what: String| PlanChange {
        storey: it.now.id.clone(),
        wall: wall.id.clone(),
        opening: None,
        kind: "wall",
        what,
        sources: wall.sources.clone(),
    };
    let mut found = Vec::new();
    for (was, now) in it.earlier.walls.iter().zip(walls) {
        match now.map(|now| &it.now.walls[now]) {
            Some(now) => {
                found.extend(wall_changes(it, was, now).map(|what| change(now, what)));
            }
            None => found.push(change(was, "is gone".to_owned())),
        }
    }
    for (index, wall) in it.now.walls.iter().enumerate() {
        if !walls.contains(&Some(index)) {
            found.push(change(wall, "is new".to_owned()));
        }
    }
    let change = |opening: &Opening, wall: &str, what: String| PlanChange {
        storey: it.now.id.clone(),
        wall: wall.to_owned(),
        opening: Some(opening.id.clone()),
        kind: opening.kind.name(),
        what,
        sources: opening.sources.clone(),
    };
    for (was, now) in it.earlier.openings.iter().zip(openings) {
        match now.map(|now| &it.now.openings[now]) {
            Some(now) => {
                let all = opening_changes(it, was, now);
                if !all.is_empty() {
                    found.push(change(now, &now.wall, all.join(", ")));
                }
            }
            None => {
                let wall = wall_now(it, &was.wall);
                found.push(change(was, wall, "is gone".to_owned()));
            }
        }
    }
    for (index, opening) in it.now.openings.iter().enumerate() {
        if !openings.contains(&Some(index)) {
            let what = format!("is new, {} wide", tape(opening.width));
            found.push(change(opening, &opening.wall, what));
        }
    }
    found
}

/// What an earlier wall is called now, or was.
fn wall_now<'a>(it: &Carried<'a>, id: &'a str) -> &'a str {
    let index = it.earlier.walls.iter().position(|wall| wall.id == id);
    let now = index.and_then(|index| it.matches.walls.get(index).copied().flatten());
    now.map_or(id, |now| &it.now.walls[now].id)
}

/// How a wall differs from what it was.
fn wall_changes(it: &Carried<'_>, was: &Wall, now: &Wall) -> Option<String> {
    let (length, along) = unit(now)?;
    let mut said = Vec::new();
    let ends = [was.start, was.end].map(|p| moved(&it.rigid, p) - now.start);
    // Outside, of an exterior wall, is to the right of its way.
    let aside = f64::midpoint(cross(along, ends[0]), cross(along, ends[1]));
    if aside.abs() > STILL {
        let side = match (now.is_exterior, aside > 0.0) {
            (true, true) => "farther out",
            (true, false) => "farther in",
            (false, _) => "aside",
        };
        said.push(format!("is {} {side}", tape(aside.abs())));
    }
    let places = ends.map(|p| dot(along, p));
    let grown = [places[0].min(places[1]), length - places[0].max(places[1])];
    for (by, end) in grown.into_iter().zip(["left", "right"]) {
        if by.abs() > STILL {
            let way = if by > 0.0 { "longer" } else { "shorter" };
            let end = if now.is_exterior {
                format!(" at its {end} end")
            } else {
                String::new()
            };
            said.push(format!("is {} {way}{end}", tape(by.abs())));
        }
    }
    let thicker = now.thickness - was.thickness;
    if thicker.abs() > STILL {
        let [a, b] = [was, now].map(|wall| tape(wall.thickness));
        said.push(format!("is {b} thick, was {a}"));
    }
    if was.is_exterior != now.is_exterior {
        let side = if now.is_exterior { "outside" } else { "inside" };
        said.push(format!("stands {side} now"));
    }
    (!said.is_empty()).then(|| said.join(", "))
}

/// How an opening differs from what it was.
fn opening_changes(it: &Carried<'_>, was: &Opening, now: &Opening) -> Vec<String> {
    let mut said = Vec::new();
    let wall = it.now.walls.iter().find(|wall| wall.id == now.wall);
    if let Some((wall, (_, along))) = wall.and_then(|wall| Some((wall, unit(wall)?))) {
        let by = dot(along, now.centre - moved(&it.rigid, was.centre));
        if by.abs() > STILL {
            let way = match (wall.is_exterior, by > 0.0) {
                (true, true) => "farther right",
                (true, false) => "farther left",
                (false, _) => "farther along",
            };
            said.push(format!("is {} {way}", tape(by.abs())));
        }
    }
    if (now.width - was.width).abs() > STILL {
        let [a, b] = [was, now].map(|it| tape(it.width));
        said.push(format!("is {b} wide, was {a}"));
    }
    for (what, before, after) in [
        ("height", was.height, now.height),
        ("sill", was.sill, now.sill),
        ("head", was.head, now.head),
    ] {
        let said_as = |it: Option<f64>| it.map_or_else(|| "not stated".to_owned(), tape);
        let is_other = match (before, after) {
            (Some(a), Some(b)) => (a - b).abs() > STILL,
            (a, b) => a.is_some() != b.is_some(),
        };
        if is_other {
            said.push(format!(
                "{what} {}, was {}",
                said_as(after),
                said_as(before)
            ));
        }
    }
    if was.kind != now.kind {
        said.push(format!("was a {}", was.kind.name().replace('_', " ")));
    }
    said
}

/// As on a tape.
fn tape(inches: f64) -> String {
    Length::nearest(inches, Length::fraction(0, 1, 16))
        .map_or_else(|| format!("{inches:.2} in"), |it| it.to_string())
}

/// A plan of these storeys, to compare what was drawn before corrections.
#[must_use]
pub fn as_drawn(plan: &Plan) -> Plan {
    let storeys: &[Storey] = if plan.before_corrections.is_empty() {
        &plan.storeys
    } else {
        &plan.before_corrections
    };
    Plan {
        storeys: storeys.to_vec(),
        ..Plan::default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::OpeningKind;

    /// A room 40 by 20 feet with two windows in its south wall, turned by a quarter and moved when it is asked.
    fn room(depth: f64, windows: [(f64, f64); 2], is_turned: bool) -> Plan {
        let put = |x: f64, y: f64| {
            let (x, y) = if is_turned {
                (5000.0 - y, 800.0 + x)
            } else {
                (x, y)
            };
            geo::Coord { x, y }
        };
        let corners = [(0.0, 0.0), (480.0, 0.0), (480.0, depth), (0.0, depth)];
        let walls = (0..4).map(|i| {
            let (from, to) = (corners[i], corners[(i + 1) % 4]);
            Wall {
                id: format!("X{}", i + 1),
                is_exterior: true,
                start: put(from.0, from.1),
                end: put(to.0, to.1),
                thickness: 6.5,
                sources: vec![format!("A{i}")],
                ..Wall::default()
            }
        });
        let openings = windows.iter().zip(1..).map(|((middle, width), n)| Opening {
            id: format!("O{n}"),
            wall: "X1".to_owned(),
            kind: OpeningKind::Window,
            centre: put(*middle, 0.0),
            near: middle - width / 2.0,
            width: *width,
            sources: vec![format!("B{n}")],
            ..Opening::default()
        });
        Plan {
            storeys: vec![Storey {
                id: "S1".to_owned(),
                walls: walls.collect(),
                openings: openings.collect(),
                ..Storey::default()
            }],
            ..Plan::default()
        }
    }

    fn told(was: &Plan, now: &Plan) -> Vec<String> {
        let earlier = EarlierPlan {
            storeys: was.storeys.clone(),
        };
        let all = plan_changes(&earlier, now);
        all.iter().map(PlanChange::words).collect()
    }

    const WINDOWS: [(f64, f64); 2] = [(100.0, 36.0), (300.0, 48.0)];

    #[test]
    fn the_same_plan_turned_and_moved_has_not_changed() {
        let was = room(240.0, WINDOWS, false);
        assert_eq!(told(&was, &room(240.0, WINDOWS, true)), [""; 0]);
    }

    #[test]
    fn a_window_that_moved_and_one_that_grew_are_told_as_one_sees_them_from_outside() {
        let was = room(240.0, WINDOWS, false);
        let now = room(240.0, [(94.0, 36.0), (300.0, 60.0)], false);
        assert_eq!(
            told(&was, &now),
            [
                "window O1 is 6\" farther left",
                "window O2 is 60\" wide, was 48\""
            ]
        );
    }

    #[test]
    fn of_a_building_that_lies_two_ways_and_stands_elsewhere_nothing_is_said_unless_its_handles_tell()
     {
        let was = room(240.0, WINDOWS, false);
        let mut now = room(240.0, [(94.0, 36.0), (300.0, 60.0)], true);
        assert_eq!(told(&was, &now).len(), 2);
        for wall in &mut now.storeys[0].walls {
            wall.sources.clear();
        }
        assert_eq!(told(&was, &now), [""; 0]);
    }

    #[test]
    fn a_wall_moved_out_makes_two_others_longer() {
        let was = room(240.0, WINDOWS, false);
        assert_eq!(
            told(&was, &room(252.0, WINDOWS, true)),
            [
                "wall X2 is 12\" longer at its right end",
                "wall X3 is 12\" farther out",
                "wall X4 is 12\" longer at its left end"
            ]
        );
    }

    #[test]
    fn what_comes_and_goes_is_told_with_its_handles() {
        let was = room(240.0, WINDOWS, false);
        let mut now = was.clone();
        now.storeys[0].openings.remove(0);
        now.storeys[0].openings.push(Opening {
            id: "O7".to_owned(),
            wall: "X3".to_owned(),
            kind: OpeningKind::Door,
            centre: geo::Coord { x: 200.0, y: 240.0 },
            width: 36.0,
            sources: vec!["C1".to_owned()],
            ..Opening::default()
        });
        let earlier = EarlierPlan {
            storeys: was.storeys,
        };
        let found = plan_changes(&earlier, &now);
        let words: Vec<String> = found.iter().map(PlanChange::words).collect();
        assert_eq!(words, ["window O1 is gone", "door O7 is new, 36\" wide"]);
        assert_eq!(found[0].wall, "X1");
        assert_eq!(found[0].sources, ["B1"]);
        assert_eq!(found[1].sources, ["C1"]);
    }
}
