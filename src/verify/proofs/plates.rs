//! Plates cover each wall's run: tops without a break, soles everywhere but in doors, caps everywhere but where another wall's
//! cap laps over the corner, all but what a bevel takes off; no two of a kind overlap.

use super::Proof;
use crate::geometry::tolerance;
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_wall};
use crate::verify::readers::panels::{RunPiece, Wall};

pub(super) const PROOF: Proof = Proof {
    code: codes::PLATES,
    statement: "plates cover each wall's run without overlap, the sole everywhere but in doors, caps lapped at corners, ends bevelled",
    cases: "plates",
    prove,
};

/// Whether no plate need lie between two places of the run.
type MayMiss<'a> = &'a dyn Fn(Length, Length) -> bool;

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    for wall in package.panels.walls.iter().filter(|it| !it.is_left_out()) {
        let doors = doors(package, wall);
        let [left, right] = bevel_reach(package, wall);
        let end = wall.length.0;
        let is_bevel = |from: Length, to: Length| {
            (from == Length::ZERO && to.to_inches() <= left)
                || (to == end && (end - from).to_inches() <= right)
        };
        let is_door = |from, to| {
            is_bevel(from, to) || doors.iter().any(|door| door.0 <= from && to <= door.1)
        };
        let is_lapped = |from, to| is_bevel(from, to) || is_lapped(package, wall, from, to);
        let courses: [(&str, bool, MayMiss<'_>); 3] = [
            ("sole plate", false, &is_door),
            ("top plate", false, &is_bevel),
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
            prove_slope(wall, mark, ledger);
        }
        ledger.demand(
            *from <= reached || may_miss(reached, *from),
            || at_wall(wall),
            || format!("no {usage} lies from {reached} to {from}, where {mark} begins"),
        );
        reached = reached.max(*to);
    }
}

/// A plate's cut length is its own along its slope.
fn prove_slope(wall: &Wall, mark: &str, ledger: &mut Ledger) {
    for plate in wall.plates.iter().filter(|plate| plate.mark == mark) {
        let run = (plate.to.0 - plate.from.0).to_inches();
        let rise = (plate.bottom_to.0 - plate.bottom.0).to_inches();
        let slant = run.hypot(rise);
        ledger.demand(
            (plate.length.0.to_inches() - slant).abs() <= tolerance::SLOPE_CUT,
            || at_wall(wall),
            || {
                format!(
                    "plate {mark} is {} long, by its ends {slant:.6} in",
                    plate.length.0
                )
            },
        );
    }
}

/// How far a bevel takes the inner face back from the outer one at the two ends of the run, inches; plates between may stop there.
fn bevel_reach(package: &Package<'_>, wall: &Wall) -> [f64; 2] {
    [(wall.run.first(), true), (wall.run.last(), false)].map(|(piece, is_left)| {
        let Some(RunPiece::Panel { panel, .. }) = piece else {
            return 0.0;
        };
        let reach = package.panel(panel).and_then(|panel| {
            let x = if is_left { Length::ZERO } else { panel.width.0 };
            let mut edges = panel.edges.iter();
            let edge = edges.find(|edge| {
                edge.contour == "outline" && edge.from[0].0 == x && edge.to[0].0 == x
            })?;
            let slope = edge.bevel_deg.to_radians().tan().abs();
            Some(panel.thickness.0.to_inches() * slope)
        });
        reach.unwrap_or_default()
    })
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
                let bottom = package.panel(panel).map_or(0.0, |it| it.placed.origin[2]);
                let bottom = bottom - wall.origin[2];
                let bottom = Length::nearest(bottom, Length::nanometres(1)).unwrap_or_default();
                let reaching = low.filter(|rough| {
                    rough.y0 + bottom <= wall.highest_base(from.0 + rough.x0, from.0 + rough.x1)
                });
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
