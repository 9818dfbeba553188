//! What reading a drawing hands on: plain data, inches, drawing axes.

use geo::Coord;

/// One drawing file, flattened. Model space only; what lies elsewhere is counted in [`Census`].
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// File name as the user gave it.
    pub file: String,
    /// DXF version as written in the file, such as `AC1015`; empty when it has none.
    pub version: String,
    /// The unit the drawing turned out to be in, and why.
    pub scale: Scale,
    /// All layers named in the table or by an entity, sorted by name.
    pub layers: Vec<Layer>,
    /// Where strokes, fills, texts and dimensions come from: they point here.
    pub sources: Vec<Source>,
    /// Every visible line and arc, blocks unfolded, in file order.
    pub strokes: Vec<Stroke>,
    /// Closed areas: hatches, solids, traces, in file order.
    pub fills: Vec<Fill>,
    /// Texts, attributes and multi-line texts, in file order.
    pub texts: Vec<Text>,
    /// Dimensions, in file order.
    pub dimensions: Vec<Dimension>,
    /// Every block placed in model space, nested ones too, one for each cell of an array.
    pub placements: Vec<BlockPlacement>,
    /// What the file held, what was read and what was not.
    pub census: Census,
    /// Storeys seem to lie over each other in it and were read as one: what tells them apart.
    pub stacked: Option<&'static str>,
    /// Of storeys that lay over each other at heights of their own and stand side by side now: where each begins, from left to right.
    pub levels: Vec<Level>,
}

/// A storey's deck, as its drawing has it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Level {
    /// What lies right of this, up to the next one, is its storey, inches.
    pub from: f64,
    /// Height above the lowest of them, inches.
    pub floor: f64,
}

impl Drawing {
    /// The height of the deck of the storey that begins there, where the drawing gives it.
    #[must_use]
    pub fn floor_at(&self, x: f64) -> Option<f64> {
        let own = self
            .levels
            .iter()
            .rev()
            .find(|it| it.from <= x + LEVEL_NEAR);
        own.map(|it| it.floor)
    }
}

/// A storey's outline begins no further left of its lines than this, inches.
const LEVEL_NEAR: f64 = 1.0;

/// Index into [`Drawing::sources`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceIndex(pub u32);

/// The entity something comes from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Source {
    /// Handle in the file, upper-case hexadecimal; where the file has none, `L` and the line number.
    /// Inside blocks the handles of the insertions stand before it: `1A4/2F`.
    pub handle: String,
    /// Entity type as in the file: `LINE`, `LWPOLYLINE`…
    pub kind: String,
    /// Layer (of an entity on layer 0 inside a block: the insertion's layer).
    pub layer: String,
    /// Names of the blocks it is nested in, outermost first.
    pub blocks: Vec<String>,
    /// Line type name, the layer's where the entity has none of its own; empty for continuous.
    pub line_type: String,
    /// Line of the file where the entity starts, from 1; 0 when unknown.
    pub line: usize,
    /// True when its layer is frozen or off, or the entity is invisible. Kept, but not walls unless the job says so.
    pub is_hidden: bool,
}

/// A line or an arc.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Its shape.
    pub curve: Curve,
    /// Where it comes from; strokes of one polyline share it.
    pub source: SourceIndex,
    /// Position in its polyline, from 0; 0 for single entities.
    pub part: u32,
    /// True for the sides and ends that a wide polyline, a trace or an MLINE really drew, as opposed to a centre line.
    pub is_face: bool,
    /// True when it approximates a curve that is no circle (ellipse, spline).
    pub is_approximate: bool,
}

/// The two shapes that strokes have. Units: inches; angles in radians, counter-clockwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Curve {
    /// A straight line.
    Line {
        /// First end.
        start: Coord<f64>,
        /// Last end.
        end: Coord<f64>,
    },
    /// A circular arc or a full circle.
    Arc {
        /// Centre.
        centre: Coord<f64>,
        /// Radius, above zero.
        radius: f64,
        /// Angle of the start.
        start_angle: f64,
        /// Swept angle: positive counter-clockwise, at most a full turn either way.
        sweep: f64,
    },
}

impl Curve {
    /// The point at a share of its length: 0 at its start, 1 at its end.
    #[must_use]
    pub fn at(&self, share: f64) -> Coord<f64> {
        match *self {
            Self::Line { start, end } => start * (1.0 - share) + end * share,
            Self::Arc {
                centre,
                radius,
                start_angle,
                sweep,
            } => {
                let (sin, cos) = (start_angle + sweep * share).sin_cos();
                Coord {
                    x: centre.x + radius * cos,
                    y: centre.y + radius * sin,
                }
            }
        }
    }
}

/// A closed area.
#[derive(Clone, Debug, PartialEq)]
pub struct Fill {
    /// What drew it.
    pub kind: FillKind,
    /// Rings, the first not repeated; curves as chords within 1/128 in. Outer rings and holes as the file has them.
    pub rings: Vec<Vec<Coord<f64>>>,
    /// Hatch pattern name, `SOLID` for solid fills.
    pub pattern: String,
    /// Where it comes from.
    pub source: SourceIndex,
}

/// What kind of entity a [`Fill`] is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FillKind {
    /// HATCH, by pattern or solid.
    Hatch,
    /// SOLID or TRACE.
    Solid,
    /// WIPEOUT.
    Wipeout,
}

/// A piece of text, one for each line of a multi-line text with formatting removed.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// What it says.
    pub content: String,
    /// Its anchor.
    pub at: Coord<f64>,
    /// About the middle of it, by its justification and number of letters: good for what it stands beside.
    pub middle: Coord<f64>,
    /// Cap height, inches.
    pub height: f64,
    /// Direction of reading, radians.
    pub angle: f64,
    /// Attribute tag when it is an attribute of a block.
    pub tag: Option<String>,
    /// True when its own formatting draws a line under it; one that is drawn is a stroke.
    pub is_underlined: bool,
    /// Index into [`Drawing::placements`] of the block it belongs to, if any.
    pub placement: Option<usize>,
    /// Where it comes from.
    pub source: SourceIndex,
}

/// A dimension, as drawn. Lengths in inches after scaling.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// First measured point.
    pub from: Coord<f64>,
    /// Second measured point.
    pub to: Coord<f64>,
    /// Direction in which it measures, radians; `None` when not linear (radius, angle).
    pub direction: Option<f64>,
    /// What the geometry gives between the two points along the direction.
    pub measured: f64,
    /// What the file states as measured (group 42), times the scale; `None` when absent.
    pub stated: Option<f64>,
    /// Text typed over the measured value; empty when there is none.
    pub override_text: String,
    /// What its picture in the drawing shows; empty when it has no picture or text.
    pub shown_text: String,
    /// Where the text stands.
    pub text_at: Coord<f64>,
    /// Where it comes from.
    pub source: SourceIndex,
}

/// One insertion of a block.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockPlacement {
    /// Block name without any reference prefix.
    pub name: String,
    /// Insertion point.
    pub at: Coord<f64>,
    /// Turn, radians.
    pub angle: f64,
    /// Scale along the block's x and y; a negative product is a mirrored block.
    pub scale: [f64; 2],
    /// Box of its unfolded strokes, minimum and maximum; `None` when it drew nothing.
    pub bounds: Option<[Coord<f64>; 2]>,
    /// Index of the placement it is nested in.
    pub parent: Option<usize>,
    /// Attributes: tag and value.
    pub attributes: Vec<(String, String)>,
    /// The INSERT entity.
    pub source: SourceIndex,
}

/// A layer and its state.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layer {
    /// Name as in the file.
    pub name: String,
    /// Switched off.
    pub is_off: bool,
    /// Frozen.
    pub is_frozen: bool,
    /// Locked.
    pub is_locked: bool,
    /// How many strokes, fills and texts lie on it.
    pub count: usize,
}

/// Units a drawing may be in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DrawingUnit {
    /// Inches.
    #[default]
    Inch,
    /// Feet.
    Foot,
    /// Millimetres.
    Millimetre,
    /// Centimetres.
    Centimetre,
    /// Metres.
    Metre,
}

impl DrawingUnit {
    /// All, in the order in which they are tried.
    pub const ALL: [Self; 5] = [
        Self::Inch,
        Self::Foot,
        Self::Millimetre,
        Self::Centimetre,
        Self::Metre,
    ];

    /// Inches in one drawing unit.
    #[must_use]
    pub const fn inches(self) -> f64 {
        match self {
            Self::Inch => 1.0,
            Self::Foot => 12.0,
            Self::Millimetre => 1.0 / 25.4,
            Self::Centimetre => 1.0 / 2.54,
            Self::Metre => 1.0 / 0.0254,
        }
    }

    /// Short name as in `plan.json`: `in`, `ft`, `mm`, `cm`, `m`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Foot => "ft",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
        }
    }

    /// The word for several of it, for messages.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Inch => "inches",
            Self::Foot => "feet",
            Self::Millimetre => "millimetres",
            Self::Centimetre => "centimetres",
            Self::Metre => "metres",
        }
    }

    /// True for millimetres, centimetres and metres.
    #[must_use]
    pub const fn is_metric(self) -> bool {
        matches!(self, Self::Millimetre | Self::Centimetre | Self::Metre)
    }
}

/// The unit chosen, and the votes for it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Scale {
    /// The unit chosen.
    pub unit: DrawingUnit,
    /// Inches in one drawing unit (times a drawing scale, where one was found).
    pub inches_per_unit: f64,
    /// Share of the likelihood that the chosen unit holds, 0 to 1.
    pub confidence: f64,
    /// The next likely unit, where it is not so much less likely that it is settled.
    pub rival: Option<DrawingUnit>,
    /// What the header says, when it says anything.
    pub header: Option<DrawingUnit>,
    /// Every piece of evidence.
    pub votes: Vec<UnitVote>,
}

/// One piece of evidence for the unit.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitVote {
    /// What was looked at: `header`, `dimension values`, `door swings`, `wall thicknesses`, `call-outs`, `lettering`.
    pub evidence: String,
    /// How many items spoke.
    pub count: usize,
    /// Natural logarithm of the likelihood for each of [`DrawingUnit::ALL`].
    pub log_likelihood: [f64; 5],
}

/// What the file held.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Census {
    /// One row for each entity type and section, sorted.
    pub rows: Vec<CensusRow>,
    /// Entities in paper space.
    pub in_paper_space: usize,
    /// External references named in the file that were not at hand.
    pub references: Vec<String>,
    /// Bad pairs skipped.
    pub bad_pairs: usize,
}

/// How many entities of a type there were, and how many of them were read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CensusRow {
    /// Where: `model`, `paper`, `block` (definitions), or `reference` (model space of drawings referred to and read).
    pub space: String,
    /// Entity type as in the file.
    pub kind: String,
    /// How many the file has.
    pub found: usize,
    /// How many were turned into strokes, fills, texts, dimensions or placements.
    pub read: usize,
    /// Why the others were not; empty when all were read.
    pub reason: String,
}

/// A plan described in words of runs and openings: what starts on a napkin.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sketch {
    /// File name as the user gave it.
    pub file: String,
    /// Name of the plan.
    pub name: String,
    /// Drawn wall thickness, inches.
    pub thickness: f64,
    /// Outside faces in order, counter-clockwise, closed.
    pub walls: Vec<SketchWall>,
    /// Openings.
    pub openings: Vec<SketchOpening>,
}

/// One run of outside wall.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SketchWall {
    /// Name given in the sketch, or `W1`, `W2`… by order.
    pub name: String,
    /// Start of the outside face, inches.
    pub start: Coord<f64>,
    /// End of the outside face, inches.
    pub end: Coord<f64>,
    /// Line of the sketch file.
    pub line: usize,
}

/// One opening of a sketch.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SketchOpening {
    /// Index into [`Sketch::walls`].
    pub wall: usize,
    /// `door`, `window`, `opening` or `garage_door`.
    pub kind: String,
    /// From the wall's start (outside face, left end seen from outside) to the nearer jamb, inches.
    pub from: f64,
    /// Jamb to jamb, inches.
    pub width: f64,
    /// Height, where given, inches.
    pub height: Option<f64>,
    /// Sill above the deck, where given, inches.
    pub sill: Option<f64>,
    /// Tag or call-out, where given.
    pub tag: Option<String>,
    /// Line of the sketch file.
    pub line: usize,
}
