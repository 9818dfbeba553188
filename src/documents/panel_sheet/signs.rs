//! Signs for the edges: an 8 mm square with the section of that edge.
//!
//! ```text
//!   ═╦═   spline: block across two pairs of skins        ║▀▀║  plate, buck, stud: bar closing two skins
//!   ═╩═                                                  ║  ║
//! ```

use super::subject::Hand;
use crate::documents::paper::style::{Fill, Pen};
use crate::documents::paper::{Area, Canvas, Form, Spot, spot};
use crate::fabrication::EdgeJoint;
use crate::rules::Face;

/// Side of a sign, mm.
pub(in crate::documents) const SIDE: f64 = 8.0;

/// Where the edge lies on the panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::documents) enum EdgePlace {
    End(Hand),
    Top,
    Bottom,
}

/// What the sign shows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::documents) enum Sign {
    /// A spline into the neighbour.
    Spline,
    /// Closed by lumber.
    Closed,
    /// Runs through, another panel butts behind it.
    Through,
    /// Butts against another panel.
    Butt,
    /// Bevelled; true when the outer skin is the longer.
    Mitre(bool),
}

impl Sign {
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Spline => "spline",
            Self::Closed => "lumber, in edge",
            Self::Through => "corner, through",
            Self::Butt => "corner, butts",
            Self::Mitre(_) => "corner, bevelled",
        }
    }

    pub(super) const fn of_joint(joint: EdgeJoint) -> Self {
        match joint {
            EdgeJoint::Spline => Self::Spline,
            EdgeJoint::Corner => Self::Through,
            EdgeJoint::Plate | EdgeJoint::Buck | EdgeJoint::Jamb | EdgeJoint::Free => Self::Closed,
        }
    }
}

/// The sign of one edge of one panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::documents) struct EdgeSign {
    pub(in crate::documents) shows: Sign,
    pub(in crate::documents) place: EdgePlace,
    /// The face without a skin, of a liner.
    pub(in crate::documents) bare: Option<Face>,
}

/// Draws a sign into its square.
///
/// The sign is drawn for a right end, outside face down, and turned to the edge it stands for. A face without a skin has no line.
pub(in crate::documents) fn draw_sign(canvas: &mut Canvas, upper_left: Spot, edge: EdgeSign) {
    let EdgeSign { shows, place, bare } = edge;
    let square = Area::new(
        upper_left.x,
        upper_left.y,
        upper_left.x + SIDE,
        upper_left.y + SIDE,
    );
    canvas.shape(Form::Area(square), Pen::Thin.full(), Fill::White);
    let middle = square.middle();
    // In the sign's own axes u runs out of the panel and v to the inside face, in parts of half the square.
    let put = |u: f64, v: f64| {
        let (u, v) = (u * SIDE / 2.0, v * SIDE / 2.0);
        match place {
            EdgePlace::End(Hand::Right) => spot(middle.x + u, middle.y - v),
            EdgePlace::End(Hand::Left) => spot(middle.x - u, middle.y - v),
            EdgePlace::Top => spot(middle.x + v, middle.y - u),
            EdgePlace::Bottom => spot(middle.x + v, middle.y + u),
        }
    };
    let skin = |canvas: &mut Canvas, face: Face, from: (f64, f64), to: (f64, f64)| {
        if bare != Some(face) {
            canvas.line(Pen::Edge.full(), put(from.0, from.1), put(to.0, to.1));
        }
    };
    let both = |outer: f64, inner: f64| [(Face::Outer, outer), (Face::Inner, inner)];
    let bar = |canvas: &mut Canvas, corners: [(f64, f64); 4]| {
        let points = corners.map(|(u, v)| put(u, v)).to_vec();
        canvas.shape(Form::Polygon(points), None, Fill::Black);
    };
    match shows {
        Sign::Spline => {
            for (face, v) in both(-0.55, 0.55) {
                skin(canvas, face, (-0.8, v), (-0.08, v));
                skin(canvas, face, (0.08, v), (0.8, v));
            }
            bar(
                canvas,
                [(-0.35, -0.4), (0.35, -0.4), (0.35, 0.4), (-0.35, 0.4)],
            );
        }
        Sign::Closed => {
            for (face, v) in both(-0.5, 0.5) {
                skin(canvas, face, (-0.75, v), (0.6, v));
            }
            bar(
                canvas,
                [(0.25, -0.36), (0.6, -0.36), (0.6, 0.36), (0.25, 0.36)],
            );
        }
        Sign::Through => {
            for (face, v) in both(-0.75, -0.05) {
                skin(canvas, face, (-0.8, v), (0.75, v));
            }
            bar(
                canvas,
                [(0.45, -0.63), (0.75, -0.63), (0.75, -0.17), (0.45, -0.17)],
            );
            for (face, u) in both(0.75, 0.05) {
                skin(canvas, face, (u, 0.08), (u, 0.8));
            }
        }
        Sign::Butt => {
            for (face, v) in both(-0.4, 0.4) {
                skin(canvas, face, (-0.8, v), (0.05, v));
            }
            bar(
                canvas,
                [(-0.25, -0.26), (0.05, -0.26), (0.05, 0.26), (-0.25, 0.26)],
            );
            for (face, u) in both(0.75, 0.18) {
                skin(canvas, face, (u, -0.8), (u, 0.8));
            }
        }
        Sign::Mitre(outer_longer) => {
            let (outer, inner) = if outer_longer { (0.7, 0.1) } else { (0.1, 0.7) };
            skin(canvas, Face::Outer, (-0.75, -0.5), (outer, -0.5));
            skin(canvas, Face::Inner, (-0.75, 0.5), (inner, 0.5));
            let at = |v: f64| outer + (inner - outer) * (v + 0.5);
            bar(
                canvas,
                [
                    (at(-0.36) - 0.35, -0.36),
                    (at(-0.36), -0.36),
                    (at(0.36), 0.36),
                    (at(0.36) - 0.35, 0.36),
                ],
            );
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::Item;

    fn lines(shows: Sign, bare: Option<Face>) -> usize {
        let mut canvas = Canvas::new();
        let place = EdgePlace::Top;
        draw_sign(&mut canvas, spot(0.0, 0.0), EdgeSign { shows, place, bare });
        let items = canvas.into_group("sign", "").items;
        let is_line =
            |it: &&Item| matches!(it, Item::Shape(it) if matches!(it.form, Form::Line(..)));
        items.iter().filter(is_line).count()
    }

    #[test]
    fn a_face_without_a_skin_has_no_line() {
        for shows in [
            Sign::Spline,
            Sign::Closed,
            Sign::Through,
            Sign::Butt,
            Sign::Mitre(true),
        ] {
            for bare in [Face::Outer, Face::Inner] {
                assert_eq!(
                    2 * lines(shows, Some(bare)),
                    lines(shows, None),
                    "{shows:?}"
                );
            }
        }
    }
}
