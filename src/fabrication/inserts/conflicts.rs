//! Two things of the job that want one place: the later one is refused, and the panel held.
//!
//! ```text
//!   │▓▓┌─┐      ▓ a post, placed first: a box over it would be cut into what bears
//!   │▓▓│▓│┌──┐
//!   │▓▓└─┘│┌─┼┐  two cuts that meet would be one hole of a shape that nobody asked for
//! ```

use super::Inserts;
use crate::fabrication::brief::PanelBrief;
use crate::geometry::ShopRect;
use crate::units::Length;

/// What is in the way of a cut from the inner face, in words.
pub(super) fn of_cut(
    brief: &PanelBrief<'_>,
    (rect, depth): (ShopRect, Length),
    placed: &Inserts,
) -> Option<String> {
    let place = (rect, behind(brief, depth));
    // Cuts that only touch run into one another.
    lumber(place, placed).or_else(|| cut(brief, rect.grown(Length::TAPE_STEP), place.1, placed))
}

/// What is in the way of a piece of lumber between two depths below the outer face.
pub(super) fn of_lumber(
    brief: &PanelBrief<'_>,
    (rect, depth): (ShopRect, [Length; 2]),
    placed: &Inserts,
) -> Option<String> {
    lumber((rect, depth), placed).or_else(|| cut(brief, rect, depth, placed))
}

fn lumber((rect, depth): (ShopRect, [Length; 2]), placed: &Inserts) -> Option<String> {
    let mut pieces = placed.pieces.iter().map(|it| &it.lumber);
    let found = pieces.find(|it| it.rect.common(&rect).is_some() && shares(it.depth, depth));
    found.map(|it| format!("a {} stands in its place", it.usage))
}

fn cut(
    brief: &PanelBrief<'_>,
    rect: ShopRect,
    depth: [Length; 2],
    placed: &Inserts,
) -> Option<String> {
    let mut cuts = placed.inner_cuts.iter();
    let found =
        cuts.find(|it| it.rect.common(&rect).is_some() && shares(behind(brief, it.depth), depth));
    found.map(|it| format!("the cut for {} is in its place", it.what))
}

/// Below the outer face.
fn behind(brief: &PanelBrief<'_>, depth: Length) -> [Length; 2] {
    let thickness = brief.assembly.thickness();
    [thickness - depth, thickness]
}

fn shares(a: [Length; 2], b: [Length; 2]) -> bool {
    a[0] < b[1] && b[0] < a[1]
}
