//! Every opening of a panelled wall stands in the world where the plan has it.
//!
//! ```text
//!   plan.json:    centre of the opening ──to_building──► ●
//!                                        left jamb  ├────┼────┤  right jamb, each half the rough width away within 1/64 in
//!   panels.json:  rough opening ──placed──►         ▲         ▲
//! ```
//!
//! The allowance of a rough opening is the same on both sides of its unit, so the middle does not move. One that was moved into line with
//! an opening of the storey below stands beside the plan by what the package says, and in line. An opening beyond the free
//! end of a wall's panels is not made, and must not be cut; one that could not be made at all holds its whole wall.

use super::Proof;
use crate::findings::Place;
use crate::geometry::tolerance;
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::panels::{Pair, RunPiece, Wall as Panelled};
use crate::verify::readers::plan::{Opening, Storey, Wall};
use crate::verify::readers::table::Table;
use std::collections::BTreeMap;

pub(super) const PROOF: Proof = Proof {
    code: codes::JAMBS,
    statement: "every opening's jambs stand in the world where the plan has them, within 1/64 in",
    cases: "openings",
    prove,
};

/// Both jambs of an opening in the building, in plan, and the exact width between them.
struct Jambs {
    at: [[f64; 2]; 2],
    width: Length,
    /// The exact width that the plan has: more where an opening ends at a post in a corner.
    drawn: Length,
    thickness: f64,
}

/// How far an opening was moved along its wall to stand in line with one of the storey below, and that one.
fn moved<'a>(package: &'a Package<'_>, opening: &str) -> Option<(f64, &'a str)> {
    let mut all = package.panels.walls.iter().flat_map(|wall| &wall.moved);
    let moved = all.find(|it| it.opening == opening)?;
    Some((moved.by.0.to_inches(), moved.over.as_str()))
}

/// True when an opening is made shorter than drawn only where it would run over the wall round a corner: by no more than twice a
/// wall's thickness from where that wall's face lies.
fn ends_in_corners(wall: &Panelled, made: Pair, drawn: Pair) -> bool {
    let (thickness, end) = (wall.thickness.0, wall.length.0);
    let [left, right] = [made[0].0 - drawn[0].0, drawn[1].0 - made[1].0];
    let in_left = left == Length::ZERO || (left > Length::ZERO && drawn[0].0 < thickness);
    let in_right = right == Length::ZERO || (right > Length::ZERO && drawn[1].0 > end - thickness);
    let is_near = made[0].0 <= drawn[0].0.max(Length::ZERO) + thickness * 2
        && made[1].0 >= drawn[1].0.min(end) - thickness * 2;
    in_left && in_right && is_near
}

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let placed = placed_jambs(package);
    let listed = listed_widths(package);
    let mut n_known = 0;
    for storey in &package.plan.storeys {
        for opening in &storey.openings {
            let panelled = package
                .panels
                .walls
                .iter()
                .any(|wall| wall.id == opening.wall);
            let wall = storey.walls.iter().find(|wall| wall.id == opening.wall);
            let (true, Some(wall)) = (panelled, wall) else {
                continue;
            };
            if is_beyond(package, storey, opening) {
                continue;
            }
            ledger.case();
            let place = || Place::element(&storey.id, &opening.id);
            match placed.get(opening.id.as_str()).map(Vec::as_slice) {
                Some([jambs]) => {
                    n_known += 1;
                    let moved = moved(package, &opening.id);
                    let by = moved.map_or(0.0, |(by, _)| by);
                    prove_opening(storey, wall, opening, (jambs, by), ledger);
                    if let Some((_, over)) = moved {
                        let below = placed.get(over).and_then(|it| it.first());
                        let stands = below.is_some_and(|it| are_in_line(jambs, it));
                        ledger.demand(stands, place, || {
                            format!("it was moved, and does not stand in line with {over}")
                        });
                    }
                    let width = listed.get(opening.id.as_str()).copied().flatten();
                    ledger.demand(width == Some(jambs.width), place, || {
                        "its rough width in lists/openings.csv is another".to_owned()
                    });
                }
                Some(many) => {
                    n_known += 1;
                    ledger.fail(place(), format!("it is cut {} times", many.len()));
                }
                None => ledger.demand(is_held(package, &opening.wall), place, || {
                    "no panel has it, no run leaves it open, and its wall is not on HOLD".to_owned()
                }),
            }
        }
    }
    ledger.demand(
        n_known == placed.len(),
        || Place::file("panels.json"),
        || format!("it has {} openings, the plan {n_known}", placed.len()),
    );
}

/// True when nothing of a wall may be cut: an opening that was left out with a fault has held it.
fn is_held(package: &Package<'_>, wall: &str) -> bool {
    let mut panels = package.panels.panels.iter().filter(|it| it.wall == wall);
    panels.all(|panel| panel.hold)
}

/// True for an opening beyond a free end of its wall's panels: nothing of it is made.
fn is_beyond(package: &Package<'_>, storey: &Storey, opening: &Opening) -> bool {
    let mut walls = package.panels.walls.iter();
    walls
        .find(|wall| wall.id == opening.wall)
        .is_some_and(|wall| {
            let [along, _] = wall.local(storey.in_building(opening.centre));
            (along < 0.0 && wall.left_end == "free")
                || (along > wall.length.0.to_inches() && wall.right_end == "free")
        })
}

fn prove_opening(
    storey: &Storey,
    wall: &Wall,
    opening: &Opening,
    (jambs, by): (&Jambs, f64),
    ledger: &mut Ledger,
) {
    let place = || Place::element(&storey.id, &opening.id);
    let [start, end, centre] =
        [wall.start, wall.end, opening.centre].map(|p| storey.in_building(p));
    let (dx, dy) = (end[0] - start[0], end[1] - start[1]);
    let length = dx.hypot(dy);
    // Walls run with the outside on their right, so the left jamb seen from outside is the nearer one.
    let half = jambs.drawn.to_inches() / 2.0;
    for (jamb, expected) in jambs.at.iter().zip([by - half, by + half]) {
        let (x, y) = (jamb[0] - centre[0], jamb[1] - centre[1]);
        let along = (x * dx + y * dy) / length;
        let across = (x * dy - y * dx) / length;
        let beside = (along - expected).abs();
        ledger.demand(beside <= tolerance::WALL_TO_WALL, place, || {
            format!("a jamb stands {beside:.4} in along the wall beside where the plan has it")
        });
        let reach = (wall.thickness / 2.0 + jambs.thickness) + tolerance::WALL_TO_WALL;
        ledger.demand(across.abs() <= reach, place, || {
            format!("its panel's face is {across:.3} in from the wall's centre line")
        });
    }
}

/// True when left jambs, middles or right jambs of two openings stand over each other.
fn are_in_line(a: &Jambs, b: &Jambs) -> bool {
    let middle = |it: &Jambs| [0, 1].map(|i| f64::midpoint(it.at[0][i], it.at[1][i]));
    let [left, right] = a.at;
    let (dx, dy) = (right[0] - left[0], right[1] - left[1]);
    let along = |from: [f64; 2], to: [f64; 2]| {
        ((to[0] - from[0]) * dx + (to[1] - from[1]) * dy) / dx.hypot(dy)
    };
    let lines = [(left, b.at[0]), (middle(a), middle(b)), (right, b.at[1])];
    let mut lines = lines.into_iter();
    lines.any(|(above, below)| along(above, below).abs() <= tolerance::WALL_TO_WALL)
}

fn placed_jambs<'a>(package: &'a Package<'_>) -> BTreeMap<&'a str, Vec<Jambs>> {
    let mut found: BTreeMap<&str, Vec<Jambs>> = BTreeMap::new();
    for panel in &package.panels.panels {
        for opening in &panel.openings {
            let rough = opening.rough();
            found.entry(&opening.id).or_default().push(Jambs {
                at: [rough.x0, rough.x1].map(|x| {
                    let [x, y, _] = panel.placed.point(x.to_inches(), 0.0, 0.0);
                    [x, y]
                }),
                width: rough.width(),
                drawn: rough.width(),
                thickness: panel.thickness.0.to_inches(),
            });
        }
    }
    for wall in &package.panels.walls {
        let mut panels = package.panels.panels.iter();
        let thickness = panels
            .find(|panel| panel.wall == wall.id)
            .map_or(0.0, |panel| panel.thickness.0.to_inches());
        for piece in &wall.run {
            if let RunPiece::Opening {
                opening,
                from,
                to,
                drawn,
            } = piece
            {
                let point = |x: f64| [0, 1].map(|i| wall.origin[i] + wall.along[i] * x);
                let made = [*from, *to];
                let at = drawn.filter(|drawn| ends_in_corners(wall, made, *drawn));
                let at = at.unwrap_or(made);
                found.entry(opening).or_default().push(Jambs {
                    at: at.map(|x| point(x.0.to_inches())),
                    width: to.0 - from.0,
                    drawn: at[1].0 - at[0].0,
                    thickness,
                });
            }
        }
    }
    found
}

fn listed_widths(package: &Package<'_>) -> BTreeMap<String, Option<Length>> {
    let bytes = package.files.get("lists/openings.csv");
    let table = bytes.and_then(|bytes| Table::read(bytes).ok());
    let rows = table.iter().flat_map(Table::rows);
    rows.map(|row| {
        let name = row.text("opening").to_owned();
        (name, row.inches("rough width (in)"))
    })
    .collect()
}
