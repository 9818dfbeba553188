//! Pages, frames and clips of an SVG: where what stands in them comes to lie, and what of it is seen.

use super::style::length;
use super::trail::{numbers, shape, straightened, transform};
use crate::documents::paper::Area;
use kurbo::Affine;
use roxmltree::Node;

/// More shapes of one clip are not read.
const MOST_OF_A_CLIP: usize = 100;

/// From user units to millimetres, and the size of the paper.
pub(super) fn page(root: Node<'_, '_>) -> (Affine, [f64; 2]) {
    let view = numbers(root.attribute("viewBox").unwrap_or_default());
    // A share of the window is no size.
    let side = |name: &str| {
        root.attribute(name)
            .filter(|it| !it.contains('%'))
            .and_then(length)
            .filter(|it| *it > 0.0)
            .map(|it| it * 25.4 / 96.0)
    };
    match view[..] {
        [x, y, w, h] if w > 0.0 && h > 0.0 => {
            let scale = match (side("width"), side("height")) {
                (Some(width), _) => width / w,
                (None, Some(height)) => height / h,
                (None, None) => 25.4 / 96.0,
            };
            (
                Affine::scale(scale) * Affine::translate((-x, -y)),
                [w * scale, h * scale],
            )
        }
        _ => (
            Affine::scale(25.4 / 96.0),
            [
                side("width").unwrap_or_default(),
                side("height").unwrap_or_default(),
            ],
        ),
    }
}

/// What two boxes share; a box without width or height where that is nothing.
pub(super) fn both(a: &Area, b: &Area) -> Area {
    let (x0, y0) = (a.x0.max(b.x0), a.y0.max(b.y0));
    Area::new(x0, y0, a.x1.min(b.x1).max(x0), a.y1.min(b.y1).max(y0))
}

/// How the drawing of an SVG inside another is laid into its frame: as large as it fits, in the middle (SVG 1.1, 7.8).
pub(super) fn framed(node: Node<'_, '_>) -> Affine {
    let side = |name: &str| {
        node.attribute(name)
            .filter(|it| !it.contains('%'))
            .and_then(length)
    };
    let view = numbers(node.attribute("viewBox").unwrap_or_default());
    let ([x, y, w, h], Some(wide), Some(high)) = (&view[..], side("width"), side("height")) else {
        return Affine::IDENTITY;
    };
    if *w <= 0.0 || *h <= 0.0 || wide <= 0.0 || high <= 0.0 {
        return Affine::IDENTITY;
    }
    if node.attribute("preserveAspectRatio") == Some("none") {
        return Affine::scale_non_uniform(wide / w, high / h) * Affine::translate((-x, -y));
    }
    let scale = (wide / w).min(high / h);
    let middle = ((wide - w * scale) / 2.0, (high - h * scale) / 2.0);
    Affine::translate(middle) * Affine::scale(scale) * Affine::translate((-x, -y))
}

/// The box of a clip in the units of what it cuts; `None` where it cuts by a share of that, or what it cuts to is not known, as of a
/// clone or a text.
pub(super) fn clip_box(clip: Node<'_, '_>) -> Option<Area> {
    let is_share = clip.attribute("clipPathUnits") == Some("objectBoundingBox");
    if is_share || clip.tag_name().name() != "clipPath" {
        return None;
    }
    let whole = transform(clip.attribute("transform").unwrap_or_default());
    let mut points = Vec::new();
    let parts = clip.children().filter(Node::is_element);
    for (n, part) in parts.enumerate() {
        if n >= MOST_OF_A_CLIP {
            return None;
        }
        let own = transform(part.attribute("transform").unwrap_or_default());
        let lines = straightened(&shape(part)?, whole * own);
        points.extend(lines.runs.into_iter().flat_map(|it| it.points));
    }
    Area::around(&points)
}
