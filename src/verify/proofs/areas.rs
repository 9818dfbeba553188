//! Skins and the openings cut in them add up to the wall's face; the inner skin differs from the outer by bevels, and by the pockets
//! and boxes that are named.

use super::Proof;
use crate::geometry::{ShopPoint, ShopRect, ShopRing, tolerance};
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_panel, at_wall};
use crate::verify::readers::panels::{InnerCut, Panel, RunPiece, Wall};

pub(super) const PROOF: Proof = Proof {
    code: codes::AREAS,
    statement: "skins, the openings in them, gaps and framed openings add up to each wall's face; skins differ by bevels, pockets and boxes only",
    cases: "panels",
    prove,
};

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    for wall in package.panels.walls.iter().filter(|it| !it.is_left_out()) {
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
            let face = profile(wall, [from, to], wall.skin_drop.0).doubled_area();
            sum += match piece {
                RunPiece::Panel { panel, .. } => package.panel(panel).map_or(0, filled),
                RunPiece::Opening { .. } | RunPiece::Gap { .. } => face,
            };
        }
        let whole = [Length::ZERO, wall.length.0];
        let whole = profile(wall, whole, wall.skin_drop.0).doubled_area();
        ledger.demand(
            is_near(sum, whole, slack(wall, wall.length.0)),
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
    let Some(wall) = package.wall_of(panel) else {
        ledger.fail(at_panel(panel), "its wall is not in panels.json");
        return;
    };
    let place = place(wall, panel);
    let slack = slack(wall, panel.set_width());
    let (found, expected) = (filled(panel), place.doubled_area());
    ledger.demand(
        is_near(found, expected, slack),
        || at_panel(panel),
        || {
            format!(
                "outer skin and openings add up to {}, its place in the wall is {}",
                words(found),
                words(expected)
            )
        },
    );
    let bounds = place.bounds().unwrap_or_default();
    let outline = panel.set(&panel.outer_skin);
    let astray = outline.0.iter().find(|point| {
        let x = point.x + bounds.x0;
        let y = point.y + bounds.y0;
        let reach = height_at(&wall.top_line(), x, true).max(height_at(&wall.top_line(), x, false));
        (y - reach).to_inches() > tolerance::SLOPE_CUT
    });
    ledger.demand(
        astray.is_none(),
        || at_panel(panel),
        || {
            let at = astray.copied().unwrap_or_default();
            format!(
                "its corner at {}, {} lies above the top of its wall",
                at.x, at.y
            )
        },
    );
    prove_inner(wall, panel, &bounds, ledger);
    if panel.make_up.0 != Length::ZERO {
        prove_make_up(panel, ledger);
    }
}

/// What is left long is skin alone: nothing that stays reaches beyond the place where it is trimmed.
fn prove_make_up(panel: &Panel, ledger: &mut Ledger) {
    let end = panel.set_width();
    let foam = std::iter::once(&panel.core).chain(&panel.core_others);
    let foam = foam.filter_map(|face| face.outline().bounds());
    let lumber = panel
        .lumber
        .iter()
        .map(super::super::readers::panels::Lumber::rect);
    let holes = panel.openings.iter().map(|it| it.skin_hole());
    let cuts = panel.inner_cuts.iter().map(InnerCut::rect);
    let reach = foam
        .chain(lumber)
        .chain(holes)
        .chain(cuts)
        .map(|it| it.x1)
        .max();
    let is_skin_alone = panel.make_up.0 > Length::ZERO && reach.is_none_or(|reach| reach <= end);
    let edges = panel.edges.iter();
    let is_plain = edges
        .filter(|edge| edge.from[0].0 == panel.width.0 && edge.to[0].0 == panel.width.0)
        .all(|edge| edge.bevel_deg == 0.0 && matches!(edge.joint.as_str(), "corner" | "free"));
    ledger.demand(
        is_skin_alone && is_plain,
        || at_panel(panel),
        || {
            format!(
                "its right end cannot be trimmed by {}: it is no plain end",
                panel.make_up.0
            )
        },
    );
}

/// The part of the wall's face that a panel fills, run axes: from its place, between its bottom and its top.
fn place(wall: &Wall, panel: &Panel) -> ShopRing {
    let exact = |inches: f64| Length::nearest(inches, Length::nanometres(1)).unwrap_or_default();
    let in_run = wall.run.iter().find_map(|piece| match piece {
        RunPiece::Panel {
            panel: mark, from, ..
        } if *mark == panel.mark => Some(from.0),
        _ => None,
    });
    let [x, y, z] = panel.placed.origin;
    let from = in_run.unwrap_or_else(|| exact(wall.local([x, y])[0]));
    let bottom = exact(z - wall.origin[2]);
    let ring = profile(wall, [from, from + panel.set_width()], wall.skin_drop.0);
    if in_run.is_some() {
        return ring;
    }
    // A header or sill panel stands in a framed opening: over its bottom, under its top.
    let mut points = ring.0;
    let (low, high) = (bottom, bottom + panel.height.0);
    for point in &mut points {
        point.y = point.y.clamp(low, high);
    }
    points.dedup();
    ShopRing(points)
}

/// By how much areas may differ where a top slopes: the tolerance of its cut points along a length, doubled square nanometres.
fn slack(wall: &Wall, along: Length) -> i128 {
    let is_level = wall
        .top_line()
        .windows(2)
        .all(|pair| pair[0].y == pair[1].y || pair[0].x == pair[1].x);
    let height = Length::nearest(tolerance::SLOPE_CUT, Length::nanometres(1)).unwrap_or_default();
    if is_level {
        return 0;
    }
    2 * i128::from(height.to_nanometres()) * i128::from(along.to_nanometres())
}

fn is_near(a: i128, b: i128, slack: i128) -> bool {
    (a - b).abs() <= slack
}

/// The outer skin's net area as set and that of the openings cut in it, doubled.
fn filled(panel: &Panel) -> i128 {
    let bounds = panel.outer_skin.outline().bounds().unwrap_or_default();
    let openings = panel.openings.iter();
    let cut = openings.filter_map(|opening| opening.skin_hole().common(&bounds));
    let cut: i128 = cut.map(|hole| hole.ring().doubled_area()).sum();
    panel.outer_skin.doubled_area() - panel.trimmed(&panel.outer_skin) + cut
}

/// The inner skin's ends are the outer skin's, moved inwards by thickness times the bevel's tangent.
fn prove_inner(wall: &Wall, panel: &Panel, place: &ShopRect, ledger: &mut Ledger) {
    let ends = [&panel.outer_skin, &panel.inner_skin].map(|face| panel.set(face).bounds());
    let [Some(outer), Some(inner)] = ends else {
        ledger.fail(at_panel(panel), "a skin has no outline");
        return;
    };
    let thickness = panel.thickness.0.to_inches();
    let moved = |x: Length| {
        let x = if x == panel.set_width() {
            panel.width.0
        } else {
            x
        };
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
        expected.iter().zip(&found).all(near),
        || at_panel(panel),
        || {
            format!(
                "its inner skin runs from {:.6} to {:.6} in, by its bevels it would from {:.6} to {:.6} in",
                found[0], found[1], expected[0], expected[1]
            )
        },
    );
    let is_full = !matches!(panel.kind.as_str(), "header" | "sill");
    let behind = if is_full {
        let ends = [inner.x0, inner.x1].map(|x| place.x0 + x);
        profile(wall, ends, Length::ZERO).doubled_area()
    } else {
        filled(panel) - hanging(wall, panel)
    };
    let cut: i128 = panel
        .openings
        .iter()
        .filter_map(|opening| {
            // A door's hole in the outer skin goes on through what hangs below the base.
            let hole = opening.skin_hole();
            let base = wall.base_at(place.x0 + hole.x0) - place.y0;
            let y0 = hole.y0.max(base);
            ShopRect { y0, ..hole }.common(&outer)
        })
        .map(|hole| hole.ring().doubled_area())
        .sum();
    let own = panel.inner_cuts.iter();
    let own: i128 = own.map(|it| it.rect().ring().doubled_area()).sum();
    let inner_skin = panel.inner_skin.doubled_area() - panel.trimmed(&panel.inner_skin);
    let found = inner_skin + cut + own;
    ledger.demand(
        is_near(found, behind, slack(wall, panel.set_width())),
        || at_panel(panel),
        || {
            format!(
                "inner skin and openings add up to {}, its place in the wall is {}",
                words(found),
                words(behind)
            )
        },
    );
    let inner = panel.inner_skin.holes();
    for it in &panel.inner_cuts {
        let found = inner.iter().filter(|hole| is_for(hole, it)).count();
        ledger.demand(
            found == 1,
            || at_panel(panel),
            || format!("its inner skin has {found} holes for {}, not one", it.what),
        );
    }
    let mut shared = inner;
    shared.retain(|hole| !panel.inner_cuts.iter().any(|it| is_for(hole, it)));
    ledger.demand(
        shared == panel.outer_skin.holes()
            || panel
                .edges
                .iter()
                .any(|edge| edge.contour != "outline" && edge.bevel_deg != 0.0),
        || at_panel(panel),
        || "the holes of its skins differ and no edge of an opening is bevelled".to_owned(),
    );
}

/// Twice what hangs of a sill panel's outer skin below its inner one, square nanometres.
fn hanging(wall: &Wall, panel: &Panel) -> i128 {
    let nm = |length: Length| i128::from(length.to_nanometres());
    if panel.kind == "sill" {
        2 * nm(wall.skin_drop.0) * nm(panel.width.0)
    } else {
        0
    }
}

/// True when a hole is just what is cut for a pocket or box.
fn is_for(hole: &ShopRing, cut: &InnerCut) -> bool {
    let rect = cut.rect();
    hole.bounds() == Some(rect) && hole.doubled_area().abs() == rect.ring().doubled_area()
}

/// The wall's face between two places of its run: below its top, above the steps of its base.
///
/// - `drop`: how far below that base.
fn profile(wall: &Wall, [from, to]: [Length; 2], drop: Length) -> ShopRing {
    let (top, mut base) = (wall.top_line(), wall.base_steps());
    base.iter_mut().for_each(|step| step.y -= drop);
    let mut ring = Vec::new();
    for (index, step) in base.iter().enumerate() {
        let start = if index == 0 { from } else { step.x.max(from) };
        let end = base.get(index + 1).map_or(to, |next| next.x.min(to));
        if start < end {
            ring.push(ShopPoint::new(start, step.y));
            ring.push(ShopPoint::new(end, step.y));
        }
    }
    ring.push(ShopPoint::new(to, height_at(&top, to, true)));
    let between = top.iter().rev();
    ring.extend(between.filter(|point| from < point.x && point.x < to));
    ring.push(ShopPoint::new(from, height_at(&top, from, false)));
    ring.dedup();
    ShopRing(ring)
}

/// Height of a line of points at x, to the nanometre below: from the left or from the right of it; its ends go on beyond.
fn height_at(line: &[ShopPoint], x: Length, is_left: bool) -> Length {
    let mut stretches = line.windows(2).filter(|pair| pair[0].x < pair[1].x);
    let reaches = |pair: &&[ShopPoint]| x < pair[1].x || (is_left && x == pair[1].x);
    let here = stretches.clone().find(reaches).or(stretches.next_back());
    let Some([a, b]) = here else {
        return line.first().map_or(Length::ZERO, |point| point.y);
    };
    let nm = |length: Length| i128::from(length.to_nanometres());
    let rise = (nm(b.y - a.y) * nm(x - a.x)).div_euclid(nm(b.x - a.x));
    a.y + i64::try_from(rise).map_or(Length::ZERO, Length::nanometres)
}

#[expect(clippy::cast_precision_loss, reason = "an area for a message")]
fn words(doubled_area: i128) -> String {
    let square_inches = doubled_area as f64 / 2.0 / (25_400_000.0 * 25_400_000.0);
    format!("{square_inches:.6} sq in")
}
