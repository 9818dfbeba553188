//! What an entity draws, in the file's units and before any block is unfolded.

/// A point or a direction in space.
pub(in crate::drawing) type Space = [f64; 3];

/// The shape of one entity. Angles in radians.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) enum Shape {
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
        /// See [`crate::drawing::Stroke::is_face`].
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
pub(in crate::drawing) struct Vertex {
    /// Where it is.
    pub(in crate::drawing) at: Space,
    /// Tangent of a quarter of the arc to the next vertex, positive counter-clockwise; 0 for a straight segment.
    pub(in crate::drawing) bulge: f64,
    /// Width at this vertex of the segment to the next.
    pub(in crate::drawing) start_width: f64,
    /// Width at the next vertex.
    pub(in crate::drawing) end_width: f64,
}

/// A rational B-spline.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::drawing) struct Nurbs {
    /// Degree, from 1.
    pub(in crate::drawing) degree: usize,
    /// Knots, not decreasing: as many as control points plus degree plus one.
    pub(in crate::drawing) knots: Vec<f64>,
    /// Control points.
    pub(in crate::drawing) control: Vec<Space>,
    /// Weights above zero, one for each control point.
    pub(in crate::drawing) weights: Vec<f64>,
}

/// A text of one or several lines.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::drawing) struct TextShape {
    /// Lines without formatting, top down.
    pub(in crate::drawing) lines: Vec<String>,
    /// Anchor of the first line.
    pub(in crate::drawing) at: Space,
    /// Direction of reading.
    pub(in crate::drawing) along: Space,
    /// From a line to the next one, as a share of the height, downwards.
    pub(in crate::drawing) line_step: f64,
    /// Cap height.
    pub(in crate::drawing) height: f64,
    /// The object's z axis.
    pub(in crate::drawing) normal: Space,
    /// Tag of an attribute.
    pub(in crate::drawing) tag: Option<String>,
    /// Where the anchor lies in the text's box: 0 left to 1 right, 0 bottom to 1 top.
    pub(in crate::drawing) justified: [f64; 2],
    /// True for an attribute that is not shown.
    pub(in crate::drawing) is_hidden: bool,
    /// True when its own formatting draws a line under it.
    pub(in crate::drawing) is_underlined: bool,
}

/// A placed block.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) struct Insertion {
    /// Name as in the file.
    pub(in crate::drawing) name: String,
    /// Where its base point goes.
    pub(in crate::drawing) at: Space,
    /// Scale along x, y, z.
    pub(in crate::drawing) scale: Space,
    /// Turn about z.
    pub(in crate::drawing) angle: f64,
    /// Columns and rows, from 1.
    pub(in crate::drawing) count: [u32; 2],
    /// Distance of columns and rows.
    pub(in crate::drawing) spacing: [f64; 2],
    /// The object's z axis.
    pub(in crate::drawing) normal: Space,
}

/// A dimension.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::drawing) struct DimensionShape {
    /// First measured point.
    pub(in crate::drawing) from: Space,
    /// Second measured point.
    pub(in crate::drawing) to: Space,
    /// Direction it measures in, for linear ones.
    pub(in crate::drawing) along: Option<Space>,
    /// Group 42.
    pub(in crate::drawing) stated: Option<f64>,
    /// Group 1.
    pub(in crate::drawing) override_text: String,
    /// Middle of the text.
    pub(in crate::drawing) text_at: Space,
    /// Name of the block with its picture.
    pub(in crate::drawing) picture: String,
}

/// A filled area: rings of edges in object coordinates.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::drawing) struct Area {
    /// Rings; each a list of edges in order.
    pub(in crate::drawing) rings: Vec<Vec<AreaEdge>>,
    /// Pattern name.
    pub(in crate::drawing) pattern: String,
    /// True for WIPEOUT.
    pub(in crate::drawing) is_wipeout: bool,
    /// The object's z axis.
    pub(in crate::drawing) normal: Space,
}

/// An edge of an area's ring.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) enum AreaEdge {
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
