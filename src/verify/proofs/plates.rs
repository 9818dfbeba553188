//! Plates cover each wall's run: tops without a break, soles everywhere but in doors, caps everywhere but where another wall's
//! cap laps over the corner; no two of a kind overlap.

use super::Proof;
use crate::geometry::tolerance;
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_wall};
use crate::verify::readers::panels::{RunPiece, Wall};

pub(super) const PROOF: Proof = Proof {
    code: codes::PLATES,
    statement: "plates cover each wall's run without overlap, the sole everywhere but in doors, caps lapped at corners",
    cases: "plates",
    prove,
};

/// Whether no plate need lie between two places of the run.
type MayMiss<'a> = &'a dyn Fn(Length, Length) -> bool;

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    for wall in &package.panels.walls {
        let doors = doors(package, wall);
        let is_door = |from, to| doors.iter().any(|door| door.0 <= from && to <= door.1);
        let never = |_, _| false;
        let is_lapped = |from, to| is_lapped(package, wall, from, to);
        let courses: [(&str, bool, MayMiss<'_>); 3] = [
            ("sole plate", false, &is_door),
            ("top plate", false, &never),
            ("cap plate", true, &is_lapped),
        ];
        for (usage, is_optional, may_miss) in courses {
            let mut pieces: Vec<(Length, Length, &str)> = wall
                .plates
                .iter()
                .filter(|plate| plate.usage == usage)
                .map(|plate| (plate.from.0, plate.to.0, plate.mark.as_str()))
                .collect();
            pieces.sort_unstable();
            if pieces.is_empty() && is_optional {
                continue;
            }
            prove_course(wall, usage, &pieces, may_miss, ledger);
        }
    }
}

fn prove_course(
    wall: &Wall,
    usage: &str,
    pieces: &[(Length, Length, &str)],
    may_miss: MayMiss<'_>,
    ledger: &mut Ledger,
) {
    let mut reached = Length::ZERO;
    let end = wall.length.0;
    let last = (end, end, "the end of the run");
    for (n, (from, to, mark)) in pieces.iter().chain(std::iter::once(&last)).enumerate() {
        let is_piece = n < pieces.len();
        if is_piece {
            ledger.case();
            ledger.demand(
                to > from && (n == 0 || *from >= reached),
                || at_wall(wall),
                || format!("{usage} {mark} overlaps the one before it, or has no length"),
            );
        }
        ledger.demand(
            *from <= reached || may_miss(reached, *from),
            || at_wall(wall),
            || format!("no {usage} lies from {reached} to {from}, where {mark} begins"),
        );
        reached = reached.max(*to);
    }
}

/// Where openings reach down to the sole, run axes.
fn doors(package: &Package<'_>, wall: &Wall) -> Vec<(Length, Length)> {
    let mut doors = Vec::new();
    for piece in &wall.run {
        match piece {
            RunPiece::Opening { from, to, .. } if !has_sill(package, wall, (from.0, to.0)) => {
                doors.push((from.0, to.0));
            }
            RunPiece::Panel { panel, from, .. } => {
                let openings = package.panel(panel).into_iter().flat_map(|it| &it.openings);
                let low = openings.map(crate::verify::readers::panels::Opening::rough);
                let reaching = low.filter(|rough| rough.y0 <= Length::ZERO);
                doors.extend(reaching.map(|rough| (from.0 + rough.x0, from.0 + rough.x1)));
            }
            RunPiece::Opening { .. } | RunPiece::Gap { .. } => {}
        }
    }
    doors
}

/// True when a sill panel stands in a framed opening: a window, under which the sole runs through.
fn has_sill(package: &Package<'_>, wall: &Wall, (from, to): (Length, Length)) -> bool {
    let panels = package.panels.panels.iter();
    let mut sills = panels.filter(|panel| panel.wall == wall.id && panel.kind == "sill");
    sills.any(|panel| {
        let middle = panel.width.0.to_inches() / 2.0;
        let [x, y, _] = panel.placed.point(middle, 0.0, 0.0);
        let [along, _] = wall.local([x, y]);
        from.to_inches() < along && along < to.to_inches()
    })
}

/// True when the caps of other walls of the storey lie over this stretch of the wall: at its two ends and in its middle.
fn is_lapped(package: &Package<'_>, wall: &Wall, from: Length, to: Length) -> bool {
    let (from, to) = (from.to_inches(), to.to_inches());
    let inside = tolerance::WALL_TO_WALL;
    let middle = -wall.thickness.0.to_inches() / 2.0;
    let places = [from + inside, f64::midpoint(from, to), to - inside];
    places.into_iter().all(|along| {
        let point = wall.point(along, middle);
        let mut others = package.panels.walls.iter();
        others.any(|other| {
            other.id != wall.id && other.storey == wall.storey && is_under_cap(other, point)
        })
    })
}

fn is_under_cap(wall: &Wall, point: [f64; 2]) -> bool {
    let [along, out] = wall.local(point);
    let mut caps = wall
        .plates
        .iter()
        .filter(|plate| plate.usage == "cap plate");
    (-wall.thickness.0.to_inches()..=0.0).contains(&out)
        && caps.any(|cap| cap.from.0.to_inches() <= along && along <= cap.to.0.to_inches())
}
