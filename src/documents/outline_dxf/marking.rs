//! What is inked on the face that lies up: the mark and which way is up, clear of every hole and edge.

use super::contents::SawShape;
use super::facts::SawAxes;
use crate::fabrication::{FabricatedPanel, PartFace};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::units::Length;

/// Heights of letters tried, largest first: legible across a shop, small enough for a 12 in strip. Common practice, no source.
const HEIGHTS: [Length; 4] = [
    Length::inches(3),
    Length::inches(2),
    Length::inches(1),
    Length::fraction(0, 1, 2),
];
/// Clear space kept round the text, so that ink never lands in a cut.
const CLEAR: Length = Length::inches(2);
/// Distance of the places tried.
const STEP: Length = Length::inches(2);

/// Mark and direction on the face, or nothing when no place is free; the notes then say so.
pub(super) fn mark_on_face(
    panel: &FabricatedPanel,
    axes: &SawAxes,
    face: &PartFace,
) -> Option<SawShape> {
    let words = inked_words(panel, axes);
    let outline = ShopRing(axes.ring(&face.outline));
    let holes: Vec<ShopRing> = face
        .holes
        .iter()
        .map(|hole| ShopRing(axes.ring(hole)))
        .collect();
    let bounds = outline.bounds()?;
    HEIGHTS.into_iter().find_map(|height| {
        // Letters of the simple font are as wide as high at most.
        let letters = i64::try_from(words.chars().count()).unwrap_or(i64::MAX);
        let width = height * letters;
        free_place(&outline, &holes, &bounds, width, height).map(|at| SawShape::Text {
            at,
            height,
            words: words.clone(),
        })
    })
}

/// `W101-A OUTER UP`: the letters stand upright when the panel does.
pub(super) fn inked_words(panel: &FabricatedPanel, axes: &SawAxes) -> String {
    let revision = if panel.revision.is_empty() {
        String::new()
    } else {
        format!("-{}", panel.revision)
    };
    format!(
        "{}{revision} {} FACE",
        panel.mark,
        axes.face_up().name().to_uppercase()
    )
}

/// The first free place from the left, highest first in each column.
fn free_place(
    outline: &ShopRing,
    holes: &[ShopRing],
    bounds: &ShopRect,
    width: Length,
    height: Length,
) -> Option<ShopPoint> {
    let mut x = bounds.x0 + CLEAR;
    while x + width + CLEAR <= bounds.x1 {
        let mut y = bounds.y1 - CLEAR - height;
        while y - CLEAR >= bounds.y0 {
            let text = ShopRect::new(x, y, x + width, y + height).grown(CLEAR);
            let crosses = |ring: &ShopRing| ring.sides().any(|side| may_cross(side, &text));
            if !crosses(outline) && !holes.iter().any(crosses) && !inside_any(holes, &text) {
                return Some(ShopPoint::new(x, y));
            }
            y -= STEP;
        }
        x += STEP;
    }
    None
}

/// True when the side's own rectangle shares inner points with the text: at most too careful beside a slope.
fn may_cross((a, b): (ShopPoint, ShopPoint), text: &ShopRect) -> bool {
    a.x.min(b.x) < text.x1
        && a.x.max(b.x) > text.x0
        && a.y.min(b.y) < text.y1
        && a.y.max(b.y) > text.y0
}

/// True when the text lies wholly inside a hole.
fn inside_any(holes: &[ShopRing], text: &ShopRect) -> bool {
    let bounds = holes.iter().filter_map(ShopRing::bounds);
    bounds
        .filter_map(|hole| hole.common(text))
        .any(|common| common == *text)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ring(x0: i64, y0: i64, x1: i64, y1: i64) -> ShopRing {
        let [x0, y0, x1, y1] = [x0, y0, x1, y1].map(Length::inches);
        ShopRect::new(x0, y0, x1, y1).ring()
    }

    #[track_caller]
    fn check(holes: &[ShopRing], expected: Option<(i64, i64)>) {
        let outline = ring(0, 0, 48, 96);
        let bounds = outline.bounds().unwrap();
        let found = free_place(
            &outline,
            holes,
            &bounds,
            Length::inches(20),
            Length::inches(2),
        );
        let at = expected.map(|(x, y)| ShopPoint::new(Length::inches(x), Length::inches(y)));
        assert_eq!(found, at);
    }

    #[test]
    fn the_mark_goes_to_the_top_left_and_never_into_a_hole() {
        check(&[], Some((2, 92)));
        check(&[ring(4, 50, 44, 95)], Some((2, 46)));
        check(&[ring(1, 1, 47, 95)], None);
    }
}
