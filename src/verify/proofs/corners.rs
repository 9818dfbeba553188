//! The walls of a storey close at their corners: every end that is not free meets another wall.
//!
//! ```text
//!   butt        both edges of the end lie on a face of a wall that runs through
//!   through     its end is flush with a face of the wall that butts there
//!   mitre       both edges are those of another wall's end, or lie on the face of a wall that it meets askew
//!   filled      one edge is that of another wall's square end, and a wedge stands between them
//! ```
//!
//! With the tiling of each wall this says that panels close the building. Between walls the tolerance is 1/64 in.

use super::Proof;
use crate::geometry::tolerance;
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_wall};
use crate::verify::readers::panels::{RunPiece, Wall};

pub(super) const PROOF: Proof = Proof {
    code: codes::CORNERS,
    statement: "at every corner the panels of two walls close the storey, within 1/64 in",
    cases: "ends of walls",
    prove,
};

/// One end of a wall's run in plan: the edges of its outer and of its inner face.
struct End<'a> {
    wall: &'a Wall,
    /// `through`, `butt`, `mitre`, `filled` or `free`.
    kind: &'a str,
    outer: [f64; 2],
    inner: [f64; 2],
}

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let walls = package.panels.walls.iter();
    // A wall that could not be panelled has its own fault.
    let ends: Vec<End<'_>> = walls
        .filter(|wall| !wall.run.is_empty())
        .flat_map(|wall| ends(package, wall))
        .collect();
    for end in &ends {
        ledger.case();
        let mut others = ends
            .iter()
            .filter(|it| it.wall.id != end.wall.id && it.wall.storey == end.wall.storey);
        let met = match end.kind {
            "free" => true,
            "mitre" => others.any(|it| {
                (is_near(it.outer, end.outer) && is_near(it.inner, end.inner))
                    || lies_on(it.wall, end)
            }),
            "filled" => others.any(|it| {
                it.kind == "filled"
                    && (is_near(it.outer, end.outer) || is_near(it.inner, end.inner))
            }),
            "butt" => others.any(|it| lies_on(it.wall, end)),
            _ => others.any(|it| it.kind == "butt" && lies_on(end.wall, it) && is_flush(end, it)),
        };
        let unpanelled = || {
            let mut all = package.panels.walls.iter();
            all.any(|wall| wall.run.is_empty() && wall.storey == end.wall.storey)
        };
        ledger.demand(
            met || unpanelled(),
            || at_wall(end.wall),
            || {
                let [x, y] = end.outer;
                format!("its {} end at {x:.4}, {y:.4} meets no other wall", end.kind)
            },
        );
    }
}

fn ends<'a>(package: &Package<'_>, wall: &'a Wall) -> [End<'a>; 2] {
    let length = wall.length.0.to_inches();
    let depth = -wall.thickness.0.to_inches();
    let [left, right] = [true, false].map(|is_left| bevel_shift(package, wall, is_left));
    [
        End {
            wall,
            kind: &wall.left_end,
            outer: wall.point(0.0, 0.0),
            inner: wall.point(left, depth),
        },
        End {
            wall,
            kind: &wall.right_end,
            outer: wall.point(length, 0.0),
            inner: wall.point(length - right, depth),
        },
    ]
}

/// How far the bevel of the panel at an end takes the inner face back from the outer one, inches.
fn bevel_shift(package: &Package<'_>, wall: &Wall, is_left: bool) -> f64 {
    let piece = if is_left {
        wall.run.first()
    } else {
        wall.run.last()
    };
    let Some(RunPiece::Panel { panel, .. }) = piece else {
        return 0.0;
    };
    let Some(panel) = package.panel(panel) else {
        return 0.0;
    };
    let x = if is_left { Length::ZERO } else { panel.width.0 };
    let mut edges = panel.edges.iter();
    let edge =
        edges.find(|edge| edge.contour == "outline" && edge.from[0].0 == x && edge.to[0].0 == x);
    edge.map_or(0.0, |edge| {
        panel.thickness.0.to_inches() * edge.bevel_deg.to_radians().tan()
    })
}

fn is_near(a: [f64; 2], b: [f64; 2]) -> bool {
    (a[0] - b[0]).hypot(a[1] - b[1]) <= tolerance::WALL_TO_WALL
}

/// True when both edges of an end lie on one face of a wall, within its run.
fn lies_on(wall: &Wall, end: &End<'_>) -> bool {
    let points = [end.outer, end.inner].map(|point| wall.local(point));
    let length = wall.length.0.to_inches();
    let reach = tolerance::WALL_TO_WALL;
    [0.0, -wall.thickness.0.to_inches()]
        .into_iter()
        .any(|face| {
            points.iter().all(|[along, out]| {
                (out - face).abs() <= reach && (-reach..=length + reach).contains(along)
            })
        })
}

/// True when the end of a wall that runs through is flush with a face of the wall that butts.
fn is_flush(through: &End<'_>, butt: &End<'_>) -> bool {
    let [end, _] = through.wall.local(through.outer);
    [butt.outer, butt.inner].into_iter().any(|point| {
        let [along, _] = through.wall.local(point);
        (along - end).abs() <= tolerance::WALL_TO_WALL
    })
}
