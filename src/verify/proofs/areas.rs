//! Skins and the openings cut in them add up to the wall's face; the inner skin differs from the outer by bevels only.

use super::Proof;
use crate::geometry::{ShopPoint, ShopRect, ShopRing, tolerance};
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_panel, at_wall};
use crate::verify::readers::panels::{Panel, RunPiece, Wall, shop_point};

pub(super) const PROOF: Proof = Proof {
    code: codes::AREAS,
    statement: "skins, the openings in them, gaps and framed openings add up to each wall's face; skins differ by bevels only",
    cases: "panels",
    prove,
};

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    for wall in &package.panels.walls {
        let mut sum = 0;
        let mut reached = Length::ZERO;
        for piece in &wall.run {
            let (from, to) = match piece {
                RunPiece::Panel { from, to, .. } | RunPiece::Opening { from, to, .. } => {
                    (from.0, to.0)
                }
                RunPiece::Gap { gap } => (reached, reached + gap.0),
            };
            reached = to;
            let face = profile(wall, from, to).doubled_area();
            sum += match piece {
                RunPiece::Panel { panel, .. } => package.panel(panel).map_or(0, filled),
                RunPiece::Opening { .. } | RunPiece::Gap { .. } => face,
            };
        }
        let whole = profile(wall, Length::ZERO, wall.length.0).doubled_area();
        ledger.demand(
            sum == whole,
            || at_wall(wall),
            || {
                format!(
                    "its pieces cover {} and its face is {}",
                    words(sum),
                    words(whole)
                )
            },
        );
    }
    for panel in &package.panels.panels {
        ledger.case();
        prove_panel(package, panel, ledger);
    }
}

fn prove_panel(package: &Package<'_>, panel: &Panel, ledger: &mut Ledger) {
    let wall = package.wall_of(panel);
    let place = wall.and_then(|wall| {
        wall.run.iter().find_map(|piece| match piece {
            RunPiece::Panel {
                panel: mark,
                from,
                to,
            } if *mark == panel.mark => Some(profile(wall, from.0, to.0)),
            _ => None,
        })
    });
    // A header or sill panel stands in a framed opening and is a plain rectangle.
    let rectangle = ShopRect::new(Length::ZERO, Length::ZERO, panel.width.0, panel.height.0);
    let expected = place.unwrap_or_else(|| rectangle.ring()).doubled_area();
    let found = filled(panel);
    ledger.demand(
        found == expected,
        || at_panel(panel),
        || {
            format!(
                "outer skin and openings add up to {}, its place in the wall is {}",
                words(found),
                words(expected)
            )
        },
    );
    prove_inner(panel, ledger);
}

/// The outer skin's net area and that of the openings cut in it, doubled.
fn filled(panel: &Panel) -> i128 {
    let bounds = panel.outer_skin.outline().bounds().unwrap_or_default();
    let openings = panel.openings.iter();
    let cut = openings.filter_map(|opening| opening.skin_hole().common(&bounds));
    panel.outer_skin.doubled_area() + cut.map(|hole| hole.ring().doubled_area()).sum::<i128>()
}

/// The inner skin's ends are the outer skin's, moved inwards by thickness times the bevel's tangent.
fn prove_inner(panel: &Panel, ledger: &mut Ledger) {
    let (outer, inner) = (panel.outer_skin.outline(), panel.inner_skin.outline());
    let (Some(outer), Some(inner)) = (outer.bounds(), inner.bounds()) else {
        ledger.fail(at_panel(panel), "a skin has no outline");
        return;
    };
    let thickness = panel.thickness.0.to_inches();
    let moved = |x: Length| {
        let mut upright = panel
            .edges
            .iter()
            .filter(|edge| edge.contour == "outline" && edge.from[0].0 == x && edge.to[0].0 == x);
        let bevel = upright.next().map_or(0.0, |edge| edge.bevel_deg);
        thickness * bevel.to_radians().tan()
    };
    let expected = [
        outer.x0.to_inches() + moved(outer.x0),
        outer.x1.to_inches() - moved(outer.x1),
    ];
    let found = [inner.x0.to_inches(), inner.x1.to_inches()];
    let near = |(a, b): (&f64, &f64)| (a - b).abs() <= tolerance::OUTLINE_COORDINATE;
    ledger.demand(
        expected.iter().zip(&found).all(near) && (inner.y0, inner.y1) == (outer.y0, outer.y1),
        || at_panel(panel),
        || {
            format!(
                "its inner skin runs from {:.6} to {:.6} in, by its bevels it would from {:.6} to {:.6} in",
                found[0], found[1], expected[0], expected[1]
            )
        },
    );
    let same_holes = panel.outer_skin.holes() == panel.inner_skin.holes();
    ledger.demand(
        same_holes
            || panel
                .edges
                .iter()
                .any(|edge| edge.contour != "outline" && edge.bevel_deg != 0.0),
        || at_panel(panel),
        || "the holes of its skins differ and no edge of an opening is bevelled".to_owned(),
    );
}

/// The wall's face between two places of its run: below its top, above the steps of its base.
fn profile(wall: &Wall, from: Length, to: Length) -> ShopRing {
    let top: Vec<ShopPoint> = wall.top.iter().map(|point| shop_point(*point)).collect();
    let base: Vec<ShopPoint> = wall.base.iter().map(|point| shop_point(*point)).collect();
    let mut ring = Vec::new();
    for (index, step) in base.iter().enumerate() {
        let start = if index == 0 { from } else { step.x.max(from) };
        let end = base.get(index + 1).map_or(to, |next| next.x.min(to));
        if start < end {
            ring.push(ShopPoint::new(start, step.y));
            ring.push(ShopPoint::new(end, step.y));
        }
    }
    ring.push(ShopPoint::new(to, height_at(&top, to)));
    let between = top.iter().rev();
    ring.extend(between.filter(|point| from < point.x && point.x < to));
    ring.push(ShopPoint::new(from, height_at(&top, from)));
    ShopRing(ring)
}

/// Height of a line of points at x, to the nanometre below.
fn height_at(line: &[ShopPoint], x: Length) -> Length {
    for pair in line.windows(2) {
        let [a, b] = [pair[0], pair[1]];
        if a.x <= x && x <= b.x && a.x < b.x {
            let nm = |length: Length| i128::from(length.to_nanometres());
            let rise = nm(b.y - a.y) * nm(x - a.x) / nm(b.x - a.x);
            return a.y + i64::try_from(rise).map_or(Length::ZERO, Length::nanometres);
        }
    }
    line.first().map_or(Length::ZERO, |point| point.y)
}

#[expect(clippy::cast_precision_loss, reason = "an area for a message")]
fn words(doubled_area: i128) -> String {
    let square_inches = doubled_area as f64 / 2.0 / (25_400_000.0 * 25_400_000.0);
    format!("{square_inches:.6} sq in")
}
