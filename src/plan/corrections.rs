//! What the drafter decided about the plan, as intent: read from the job, obeyed by recovery.

use super::OpeningKind;

/// Corrections of a recovered plan, in the order of the job file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PlanCorrections {
    /// Each decision.
    pub list: Vec<PlanCorrection>,
    /// The plan on which they were made; `None` when ids and points are those of this drawing.
    pub earlier: Option<super::EarlierPlan>,
    /// Ids of the issue before, that go on in this plan; `None` at a first issue.
    pub issued: Option<super::IssuedNames>,
    /// What walls drawn by one line are taken for.
    pub single_lines: SingleLines,
}

/// What a wall drawn by one line is taken for.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SingleLines {
    /// What the line of an exterior wall is.
    pub line: DrawnLine,
    /// Thickness of exterior walls, inches; 0 until the job or the plant's rules say: then none are looked for.
    pub exterior: f64,
    /// Thickness of interior walls, inches, the same way.
    pub interior: f64,
    /// True when the job says so.
    pub is_stated: bool,
}

/// Which line of an exterior wall is drawn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum DrawnLine {
    /// Its centre line.
    #[default]
    Centre,
    /// Its outside face.
    Outside,
    /// Its inside face.
    Inside,
}

/// One decision of the drafter.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanCorrection {
    /// What it is about.
    pub anchor: CorrectionAnchor,
    /// What holds there.
    pub intent: CorrectionIntent,
    /// The job file.
    pub file: String,
    /// Line of the job file, from 1.
    pub line: usize,
}

/// What a correction is about.
#[derive(Clone, Debug, PartialEq)]
pub enum CorrectionAnchor {
    /// A wall or an opening by its id in the plan as recovered without corrections.
    Id(String),
    /// The wall or opening at a point, drawing coordinates in inches; the point outlives a revised drawing better than an id.
    Point {
        /// The point.
        at: [f64; 2],
        /// Storey id, when several storeys share coordinates.
        storey: Option<String>,
    },
    /// A dimension by its handle.
    Dimension(String),
}

/// What the drafter says holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CorrectionIntent {
    /// These lines are no wall.
    NotAWall,
    /// A wall stands there, solid: where none is drawn, the gap between those beside it is closed.
    Wall,
    /// The wall is solid there.
    NotAnOpening,
    /// The wall is exterior: of two rooms it parts, one is left out of the building.
    Exterior,
    /// The wall is interior.
    Interior,
    /// This layer, counted from the outside from 1 (of an interior wall: from the left), is the one that bears; it holds for
    /// every wall drawn in the same layers.
    Core {
        /// Which layer.
        layer: usize,
    },
    /// The plan round the point is a storey drawn by single lines.
    SingleLines,
    /// What the dimension says holds, not what is drawn.
    Trusted,
    /// The opening stands elsewhere in its wall.
    Moved {
        /// Its middle from the left corner of its wall seen from outside, along the outside face, inches.
        middle: f64,
    },
    /// An opening of this kind stands there, this wide if said.
    Opening {
        /// What it is.
        kind: OpeningKind,
        /// Jamb to jamb as drawn, inches.
        width: Option<f64>,
    },
}
