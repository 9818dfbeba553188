//! Every panel can be set, given those that stand before it in the order of erection.
//!
//! ```text
//!     stands │▒▒ spline   ◄── slides ──┌────────────┐░░░░ free travel: no panel may stand here yet
//!     before │▒▒                       │ this panel │░░░░
//! ```
//!
//! A panel tilts up over the sole plate beside its neighbour and slides along the wall onto the spline between them. So it needs
//! as much free travel on its other side as that spline reaches beyond the edge it is fitted in. A loose spline is dropped in
//! from the top and needs none. What is looked at are `erection`, `edges`, `lumber` and `placed` of `panels.json`.

use super::Proof;
use super::overlap::{Body, body, depth};
use crate::findings::Place;
use crate::geometry::tolerance;
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_panel};
use crate::verify::readers::panels::Panel;

pub(super) const PROOF: Proof = Proof {
    code: codes::ORDER,
    statement: "every panel can be set, given those that stand before it: room to slide onto each fitted spline",
    cases: "panels",
    prove,
};

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let mut order: Vec<&Panel> = package.panels.panels.iter().collect();
    order.sort_by_key(|panel| panel.erection);
    for pair in order.windows(2) {
        ledger.demand(
            pair[0].erection < pair[1].erection,
            || at_panel(pair[1]),
            || {
                format!(
                    "it and {} are both number {}",
                    pair[0].mark, pair[1].erection
                )
            },
        );
    }
    for (place, panel) in order.iter().enumerate() {
        ledger.case();
        let standing = &order[..place];
        for edge in panel.edges.iter().filter(|edge| edge.joint == "spline") {
            let Some(mate) = standing
                .iter()
                .find(|it| edge.with.as_deref() == Some(&it.mark))
            else {
                continue;
            };
            let is_left = edge.from[0].0.max(edge.to[0].0) < panel.width.0.half();
            let travel = reach(panel, is_left).max(reach(mate, !is_left));
            if travel == Length::ZERO {
                continue;
            }
            let Some(space) = travel_space(panel, is_left, travel) else {
                ledger.fail(Place::panel(&panel.mark), "it has no outline");
                continue;
            };
            for other in standing {
                let in_the_way = body(other).map_or(0.0, |other| depth(&space, &other));
                ledger.demand(
                    in_the_way <= tolerance::WALL_TO_WALL,
                    || at_panel(panel),
                    || {
                        format!(
                            "it has to slide {travel} onto the spline between it and {}, and {} stands in the way",
                            mate.mark, other.mark
                        )
                    },
                );
            }
        }
    }
}

/// How far fitted splines reach out of a panel's left or right edge.
fn reach(panel: &Panel, is_left: bool) -> Length {
    let splines = panel.lumber.iter();
    let fitted =
        splines.filter(|piece| piece.usage.starts_with("spline") && piece.fitted == "plant");
    let out = fitted.map(|piece| {
        let rect = piece.rect();
        if is_left {
            -rect.x0
        } else {
            rect.x1 - panel.width.0
        }
    });
    out.max().unwrap_or_default().max(Length::ZERO)
}

/// The space beside a panel, away from its mate, that it takes up while it slides.
fn travel_space(panel: &Panel, mate_is_left: bool, travel: Length) -> Option<Body> {
    let own = body(panel)?;
    let (width, travel) = (panel.set_width().to_inches(), travel.to_inches());
    let [from, to] = if mate_is_left {
        [width, width + travel]
    } else {
        [-travel, 0.0]
    };
    let depth = -panel.thickness.0.to_inches();
    let corner = |x: f64, out: f64| {
        let [x, y, _] = panel.placed.point(x, 0.0, out);
        [x, y]
    };
    Some(Body {
        plan: [
            corner(from, 0.0),
            corner(to, 0.0),
            corner(to, depth),
            corner(from, depth),
        ],
        ..own
    })
}
