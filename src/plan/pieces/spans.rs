//! Spans of a pair of faces that are openings whatever the faces do: glazing, and doors over which both faces run on.
//!
//! ```text
//!   ──────┬────────┬──────       glass from jamb to jamb, a swing, a leaf or a size say so
//!    wall │ ══════ │ wall
//!   ──────┴────────┴──────
//! ```

use crate::drawing::SourceIndex;
use crate::plan::axis::{Axis, covered};
use crate::plan::lines::leaves::Leaf;
use crate::plan::lines::rails::Rails;
use crate::plan::lines::symbols::{ALONG, Place};
use crate::plan::pieces::bands::{Band, Span};
use crate::plan::walls::bonds::NARROWEST;
use crate::plan::walls::piers::{LEAST_PIER, breaks_at};
use crate::side_by_side::one_each;
use std::collections::BTreeSet;

/// Between two jambs, lines over this share of the way are glazing, not a wall's own.
const GLAZED: f64 = 0.6;

/// True when a span stands between two jambs and lines run along most of it, with no pier beside them: glazing.
pub(super) fn is_glazed(rails: &Rails, band: &Band, span: &Span, slack: f64) -> bool {
    span.jambs.iter().all(Option::is_some)
        && span.inner_share() >= GLAZED
        && !has_pier(rails, band, span, slack)
}

/// True when glass leaves a piece of a span bare and both faces break where it ends: where no jambs are drawn a pier looks so.
fn has_pier(rails: &Rails, band: &Band, span: &Span, slack: f64) -> bool {
    let glass = span.glass(LEAST_PIER);
    let ends = glass
        .iter()
        .flat_map(|it| [(it.0, it.0 - span.u0), (it.1, span.u1 - it.1)]);
    let mut ends = ends.filter(|it| it.1 >= LEAST_PIER).peekable();
    ends.peek().is_some() && ends.all(|it| breaks_at(rails, band.rails, &band.axis, it.0, slack))
}

/// What speaks for a door over which both faces run on.
#[derive(Clone, Copy)]
enum Door {
    /// A swing, lines of its layer, a size.
    Told,
    /// Its leaf, and by how much that is longer or shorter than the door is wide, inches.
    ByLeaf(SourceIndex, f64),
}

/// Whether both faces run on over a door: two jambs, and a swing, a leaf or a size says what stands between them.
fn door(rails: &Rails, band: &Band, span: &Span, place: &Place<'_>) -> Option<Door> {
    let [Some(from), Some(to)] = span.jambs else {
        return None;
    };
    let (width, origin) = (to.u - from.u, band.axis.point(from.u, 0.0));
    if width < NARROWEST {
        return None;
    }
    let axis = Axis {
        origin,
        ..band.axis
    };
    let evidence = place.look(&axis, width, band.thickness);
    let misfit = |leaf: &Leaf| {
        let whole = match evidence.leaves.len() {
            2 => 2.0 * leaf.width,
            _ => leaf.width,
        };
        (whole - width).abs()
    };
    let hangs_here = |leaf: &&Leaf| {
        // The face of a wall across is no jamb: what stands open before it hangs elsewhere.
        let (jamb, beside) = if leaf.at_start {
            (from, from.u - BESIDE)
        } else {
            (to, to.u + BESIDE)
        };
        jamb.has_own_line
            && (leaf.leans || misfit(leaf) < SQUARE_LEAF && is_faced(rails, band, beside))
    };
    let is_told = evidence.is_swung()
        || evidence.window + evidence.door > width && evidence.named >= ALONG * width
        || place.is_called_out(&axis, width);
    if is_told {
        return Some(Door::Told);
    }
    let leaf = evidence.leaves.iter().find(hangs_here)?;
    Some(Door::ByLeaf(leaf.source, misfit(leaf)))
}

/// Spans that are doors. A leaf on the jamb between two spans hangs in the one that it fits better.
pub(super) fn doors(
    rails: &Rails,
    bands: &[Band],
    spans: &[(usize, usize)],
    place: &Place<'_>,
) -> BTreeSet<(usize, usize)> {
    let found: Vec<Option<Door>> = one_each(spans.len(), |i| {
        let (index, k) = spans[i];
        door(rails, &bands[index], &bands[index].spans[k], place)
    });
    let is_better = |own: usize, beside: Option<usize>| {
        let beside = beside.filter(|i| spans.get(*i).is_some_and(|it| it.0 == spans[own].0));
        match (found[own], beside.and_then(|i| found[i])) {
            (Some(Door::ByLeaf(leaf, off)), Some(Door::ByLeaf(other, less))) => {
                leaf != other || off <= less
            }
            (it, _) => it.is_some(),
        }
    };
    (0..spans.len())
        .filter(|&i| is_better(i, i.checked_sub(1)) && is_better(i, Some(i + 1)))
        .map(|i| spans[i])
        .collect()
}

/// A leaf square to its wall is as long as a door with both faces drawn through is wide, within this, inches.
const SQUARE_LEAF: f64 = 1.0;
/// What lies beside a jamb is looked at this far from it, inches.
const BESIDE: f64 = 2.0;

/// True when both faces of a band are drawn at a place along it: no gap is there that a leaf could hang in.
fn is_faced(rails: &Rails, band: &Band, u: f64) -> bool {
    [band.rails.0, band.rails.1].iter().all(|rail| {
        let rail = &rails.list[*rail];
        let s = rail.axis.s(band.axis.point(u, 0.0));
        covered(&rail.face_cover, s - 0.5, s + 0.5) > 0.5
    })
}
