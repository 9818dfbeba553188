//! What an entity draws, in the file's units and before any block is unfolded.

/// A point or a direction in space.
pub(super) type Space = [f64; 3];

/// The shape of one entity. Angles in radians.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Shape {
    /// LINE: world coordinates.
    Line {
        /// First end.
        start: Space,
        /// Last end.
        end: Space,
    },
    /// ARC and CIRCLE: object coordinates.
    Arc {
        /// Centre.
        centre: Space,
        /// Radius, above zero.
        radius: f64,
        /// Angle of the start.
        start: f64,
        /// Swept counter-clockwise angle, above zero.
        sweep: f64,
        /// The object's z axis.
        normal: Space,
    },
    /// ELLIPSE: world coordinates.
    Ellipse {
        /// Centre.
        centre: Space,
        /// From the centre to the end of the long axis.
        major: Space,
        /// From the centre to the end of the short axis.
        minor: Space,
        /// Parameter of the start.
        start: f64,
        /// Swept parameter, above zero.
        sweep: f64,
    },
    /// LWPOLYLINE and POLYLINE: object coordinates (world for 3D ones, whose normal is z).
    Polyline {
        /// Vertices in order.
        vertices: Vec<Vertex>,
        /// True when the last vertex joins the first.
        is_closed: bool,
        /// The object's z axis.
        normal: Space,
    },
    /// SPLINE: world coordinates.
    Spline(Box<Nurbs>),
    /// SOLID, TRACE (object coordinates) and 3DFACE (world): corners in drawing order round the area.
    Corners {
        /// Three or four.
        corners: Vec<Space>,
        /// The object's z axis.
        normal: Space,
    },
    /// MLINE, mesh edges and the like: lines in world coordinates; true for those that are faces of something wide.
    Lines {
        /// The lines.
        lines: Vec<(Space, Space)>,
        /// See [`super::Stroke::is_face`].
        are_faces: bool,
    },
    /// TEXT, ATTRIB (object coordinates) and MTEXT (world).
    Text(Box<TextShape>),
    /// INSERT: object coordinates.
    Insert(Box<Insertion>),
    /// DIMENSION: world coordinates.
    Dimension(Box<DimensionShape>),
    /// HATCH and WIPEOUT.
    Area(Box<Area>),
    /// The picture of an object of another program.
    Several(Vec<Self>),
}

/// A vertex of a polyline.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Vertex {
    /// Where it is.
    pub(super) at: Space,
    /// Tangent of a quarter of the arc to the next vertex, positive counter-clockwise; 0 for a straight segment.
    pub(super) bulge: f64,
    /// Width at this vertex of the segment to the next.
    pub(super) start_width: f64,
    /// Width at the next vertex.
    pub(super) end_width: f64,
}

/// A rational B-spline.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Nurbs {
    /// Degree, from 1.
    pub(super) degree: usize,
    /// Knots, not decreasing: as many as control points plus degree plus one.
    pub(super) knots: Vec<f64>,
    /// Control points.
    pub(super) control: Vec<Space>,
    /// Weights above zero, one for each control point.
    pub(super) weights: Vec<f64>,
}

/// A text of one or several lines.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct TextShape {
    /// Lines without formatting, top down.
    pub(super) lines: Vec<String>,
    /// Anchor of the first line.
    pub(super) at: Space,
    /// Direction of reading.
    pub(super) along: Space,
    /// From a line to the next one, as a share of the height, downwards.
    pub(super) line_step: f64,
    /// Cap height.
    pub(super) height: f64,
    /// The object's z axis.
    pub(super) normal: Space,
    /// Tag of an attribute.
    pub(super) tag: Option<String>,
    /// Where the anchor lies in the text's box: 0 left to 1 right, 0 bottom to 1 top.
    pub(super) justified: [f64; 2],
    /// True for an attribute that is not shown.
    pub(super) is_hidden: bool,
    /// True when its own formatting draws a line under it.
    pub(super) is_underlined: bool,
}

/// A placed block.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Insertion {
    /// Name as in the file.
    pub(super) name: String,
    /// Where its base point goes.
    pub(super) at: Space,
    /// Scale along x, y, z.
    pub(super) scale: Space,
    /// Turn about z.
    pub(super) angle: f64,
    /// Columns and rows, from 1.
    pub(super) count: [u32; 2],
    /// Distance of columns and rows.
    pub(super) spacing: [f64; 2],
    /// The object's z axis.
    pub(super) normal: Space,
}

/// A dimension.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct DimensionShape {
    /// First measured point.
    pub(super) from: Space,
    /// Second measured point.
    pub(super) to: Space,
    /// Direction it measures in, for linear ones.
    pub(super) along: Option<Space>,
    /// Group 42.
    pub(super) stated: Option<f64>,
    /// Group 1.
    pub(super) override_text: String,
    /// Middle of the text.
    pub(super) text_at: Space,
    /// Name of the block with its picture.
    pub(super) picture: String,
}

/// A filled area: rings of edges in object coordinates.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Area {
    /// Rings; each a list of edges in order.
    pub(super) rings: Vec<Vec<AreaEdge>>,
    /// Pattern name.
    pub(super) pattern: String,
    /// True for WIPEOUT.
    pub(super) is_wipeout: bool,
    /// The object's z axis.
    pub(super) normal: Space,
}

/// An edge of an area's ring.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum AreaEdge {
    /// A straight edge.
    Line(Space, Space),
    /// Part of an ellipse, or of a circle: centre, axes, start, sweep (either way).
    Ellipse {
        /// Centre.
        centre: Space,
        /// Long axis.
        major: Space,
        /// Short axis, a quarter turn counter-clockwise from the long one.
        minor: Space,
        /// Parameter of the start.
        start: f64,
        /// Swept parameter, either way.
        sweep: f64,
    },
    /// A spline.
    Spline(Nurbs),
}
