//! x × y of every panel of an exterior wall points out of the building: a step out along it leaves the storey's outline, a step
//! back stays in. A panel of an interior wall has the building on both sides.

use super::Proof;
use crate::geometry::tolerance;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_panel};
use crate::verify::readers::panels::Panel;

pub(super) const PROOF: Proof = Proof {
    code: codes::OUTWARDS,
    statement: "x × y of every panel of an exterior wall points out of the building, interior ones stand in it, and y points up",
    cases: "panels",
    prove,
};

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    for panel in &package.panels.panels {
        ledger.case();
        let place = &panel.placed;
        let dot = |a: [f64; 3], b: [f64; 3]| a.iter().zip(b).map(|(a, b)| a * b).sum::<f64>();
        let is_small = |value: f64| value.abs() <= tolerance::UNIT_VECTOR;
        ledger.demand(
            is_small(dot(place.x, place.x) - 1.0)
                && is_small(dot(place.x, place.y))
                && is_small(place.y[0])
                && is_small(place.y[1])
                && is_small(place.y[2] - 1.0),
            || at_panel(panel),
            || "its axes are not square, not of length one, or y is not up".to_owned(),
        );
        let Some(storey) = package.storey(&panel.storey) else {
            let message = format!("its storey {} is not in the plan", panel.storey);
            ledger.fail(at_panel(panel), message);
            continue;
        };
        let outline = storey.outline();
        let drawn = storey.walls.iter().find(|wall| wall.id == panel.wall);
        // The held face may be the inner one: then the panel's face lies within the drawn wall.
        let clear = drawn.map_or(0.0, |wall| wall.thickness) + 1.0;
        let inside = -panel.thickness.0.to_inches() / 2.0;
        if drawn.is_some_and(|wall| !wall.exterior) {
            let beyond = -panel.thickness.0.to_inches() - 1.0;
            ledger.demand(
                contains(&outline, at(panel, MIDDLE, 1.0))
                    && contains(&outline, at(panel, MIDDLE, beyond)),
                || at_panel(panel),
                || "it belongs to an interior wall and does not stand in the building".to_owned(),
            );
            continue;
        }
        // At an inside corner a panel that runs through stands partly before the other wall.
        let looks_out = PLACES
            .iter()
            .any(|it| !contains(&outline, at(panel, *it, clear)));
        ledger.demand(
            looks_out && contains(&outline, at(panel, MIDDLE, inside)),
            || at_panel(panel),
            || "its outer face does not look out of the building".to_owned(),
        );
    }
}

/// Shares of a panel's width at which it is looked at.
const MIDDLE: f64 = 0.5;
const PLACES: [f64; 3] = [0.125, MIDDLE, 0.875];

/// A place of the panel in plan, `out` inches outside its outer face.
fn at(panel: &Panel, share: f64, out: f64) -> [f64; 2] {
    let along = panel.width.0.to_inches() * share;
    let [x, y, _] = panel.placed.point(along, 0.0, out);
    [x, y]
}

/// Counts the sides that a ray to the right crosses.
fn contains(ring: &[[f64; 2]], [x, y]: [f64; 2]) -> bool {
    let next = ring.iter().cycle().skip(1);
    let crossed = ring.iter().zip(next).filter(|([x0, y0], [x1, y1])| {
        (*y0 > y) != (*y1 > y) && x < (x1 - x0) * (y - y0) / (y1 - y0) + x0
    });
    crossed.count() % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_notch_is_outside() {
        // ┌──┐  ┌──┐
        // │  └──┘  │
        // └────────┘
        let u = [
            [0.0, 0.0],
            [9.0, 0.0],
            [9.0, 6.0],
            [6.0, 6.0],
            [6.0, 3.0],
            [3.0, 3.0],
            [3.0, 6.0],
            [0.0, 6.0],
        ];
        assert!(contains(&u, [4.5, 1.0]) && contains(&u, [1.0, 5.0]));
        assert!(!contains(&u, [4.5, 5.0]) && !contains(&u, [-1.0, 1.0]));
    }
}
