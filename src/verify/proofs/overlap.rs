//! No two panels overlap: their bodies, each between its outer and its inner skin, share no more than touching faces.
//!
//! Method: bodies are upright prisms over convex quadrilaterals in plan; two of them are apart when a side of one separates
//! them (separating axis theorem). All pairs of a package are few; a search tree was not worth its code.

use super::Proof;
use crate::geometry::tolerance;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_panel};
use crate::verify::readers::panels::Panel;

pub(super) const PROOF: Proof = Proof {
    code: codes::OVERLAP,
    statement: "no two panels overlap by more than 1/64 in; corners only touch",
    cases: "pairs",
    prove,
};

/// A panel's body once it is trimmed, or the space it needs.
pub(super) struct Body {
    pub(super) plan: [[f64; 2]; 4],
    pub(super) bottom: f64,
    pub(super) top: f64,
}

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let bodies: Vec<(&Panel, Body)> = package
        .panels
        .panels
        .iter()
        .filter_map(|panel| Some((panel, body(panel)?)))
        .collect();
    for (n, (panel, a)) in bodies.iter().enumerate() {
        for (other, b) in bodies.iter().skip(n + 1) {
            ledger.case();
            let depth = depth(a, b);
            ledger.demand(
                depth <= tolerance::WALL_TO_WALL,
                || at_panel(panel),
                || format!("it overlaps {} by {depth:.4} in", other.mark),
            );
        }
    }
}

pub(super) fn body(panel: &Panel) -> Option<Body> {
    let outer = panel.set(&panel.outer_skin).bounds()?;
    let inner = panel.set(&panel.inner_skin).bounds()?;
    let depth = -panel.thickness.0.to_inches();
    let corner = |x: crate::units::Length, out: f64| {
        let [x, y, _] = panel.placed.point(x.to_inches(), 0.0, out);
        [x, y]
    };
    Some(Body {
        plan: [
            corner(outer.x0, 0.0),
            corner(outer.x1, 0.0),
            corner(inner.x1, depth),
            corner(inner.x0, depth),
        ],
        bottom: panel.placed.origin[2] + outer.y0.to_inches(),
        top: panel.placed.origin[2] + outer.y1.to_inches(),
    })
}

/// How deep two bodies reach into each other: the least overlap over all separating directions; below zero when apart.
pub(super) fn depth(a: &Body, b: &Body) -> f64 {
    let upright = a.top.min(b.top) - a.bottom.max(b.bottom);
    let sides = |body: &Body| {
        let next = body.plan.iter().cycle().skip(1);
        let pairs = body.plan.iter().zip(next);
        pairs
            .map(|(p, q)| [q[1] - p[1], p[0] - q[0]])
            .collect::<Vec<_>>()
    };
    sides(a)
        .into_iter()
        .chain(sides(b))
        .filter_map(|[x, y]| {
            let length = x.hypot(y);
            (length > tolerance::WALL_TO_WALL).then(|| {
                let [a0, a1] = reach(a, [x / length, y / length]);
                let [b0, b1] = reach(b, [x / length, y / length]);
                (a1 - b0).min(b1 - a0)
            })
        })
        .fold(upright, f64::min)
}

/// Least and greatest place of a body along a direction.
fn reach(body: &Body, direction: [f64; 2]) -> [f64; 2] {
    let along = body
        .plan
        .iter()
        .map(|p| p[0] * direction[0] + p[1] * direction[1]);
    along.fold([f64::MAX, f64::MIN], |[low, high], it| {
        [low.min(it), high.max(it)]
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(x0: f64, y0: f64, x1: f64, y1: f64) -> Body {
        Body {
            plan: [[x0, y0], [x1, y0], [x1, y1], [x0, y1]],
            bottom: 0.0,
            top: 96.0,
        }
    }

    #[test]
    fn a_butt_corner_touches_and_a_crossed_one_overlaps() {
        let through = bar(0.0, 0.0, 100.0, 6.5);
        assert!(depth(&through, &bar(0.0, 6.5, 6.5, 100.0)).abs() < 1e-12);
        assert!((depth(&through, &bar(0.0, 6.0, 6.5, 100.0)) - 0.5).abs() < 1e-12);
        let mut above = bar(0.0, 0.0, 100.0, 6.5);
        (above.bottom, above.top) = (96.0, 200.0);
        assert!(depth(&through, &above).abs() < 1e-12);
    }
}
