//! Where each panel stands.
//!
//! Run axes: x along the panelled run from its left end as seen from outside, y up from the storey's deck.

use crate::geometry::ShopRect;
use crate::rules::{Assembly, ClosingSpline, JointRules, Nailer, PointLoad, SplineKind, WiringBox};
use crate::units::{Erection, Length};

/// The whole building laid out.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Layout {
    /// One for each wall of the building, same order.
    pub walls: Vec<WallLayout>,
    /// All panels in the order of erection.
    pub panels: Vec<Panel>,
}

/// One wall's run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WallLayout {
    /// Index into `Building::walls`.
    pub wall: usize,
    /// Start of the run along the wall's outside face; below 0 where the run passes an inside corner.
    pub from: Length,
    /// End of the run along the wall's outside face.
    pub to: Length,
    /// The end at `from`, left as seen from outside.
    pub left_end: WallEnd,
    /// The end at `to`.
    pub right_end: WallEnd,
    /// Pieces from left to right, tiling 0 to `to - from` without overlap: run axes.
    pub run: Vec<RunPiece>,
    /// Plates of the wall: run axes.
    pub plates: Vec<PlateRun>,
    /// Cost of the layout in cents.
    pub cost_cents: i64,
    /// Proved least cost in cents under the same rules; equal to `cost_cents` when the search is exact.
    pub bound_cents: i64,
    /// Point loads and beam pockets on it, as the job states them: along the wall's outside face.
    pub points: Vec<PointLoad>,
    /// Electrical boxes, the same way.
    pub boxes: Vec<WiringBox>,
    /// Boards behind the inner skin, the same way.
    pub nailers: Vec<Nailer>,
    /// Middles of upright chases, the same way.
    pub chases: Vec<Length>,
    /// The next best layouts that truly differ: cost and joint positions, run axes.
    pub alternatives: Vec<(i64, Vec<Length>)>,
}

impl WallLayout {
    /// Length of the run.
    #[must_use]
    pub fn length(&self) -> Length {
        self.to - self.from
    }
}

/// How a run ends.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum WallEnd {
    /// Runs to the corner; the other wall butts against its inner face (at an inside corner: its outer face).
    Through,
    /// Stops at the face of the wall that runs through.
    Butt,
    /// Bevelled by this many degrees through the thickness; positive when the outer skin is longer.
    Mitre {
        /// Degrees from square.
        bevel_deg: f64,
    },
    /// Square, where it touches the other wall, with a wedge of filler as far as a bevel of so many degrees would reach.
    Filled {
        /// Degrees from square; positive when the wedge is wider outside.
        bevel_deg: f64,
    },
    /// No wall follows.
    #[default]
    Free,
}

/// A piece of a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunPiece {
    /// A full-height panel.
    Panel {
        /// Index into [`Layout::panels`].
        panel: usize,
        /// Left edge.
        from: Length,
        /// Right edge.
        to: Length,
    },
    /// A gap between skins.
    Gap {
        /// Left.
        from: Length,
        /// Right.
        to: Length,
    },
    /// An opening framed between two panels, from rough jamb to rough jamb; header and sill panels stand in it.
    Opening {
        /// Index into the wall's openings.
        opening: usize,
        /// Left jamb.
        from: Length,
        /// Right jamb.
        to: Length,
    },
}

/// What a panel is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum PanelKind {
    /// Full height.
    #[default]
    Wall,
    /// Over an opening framed between panels.
    Header,
    /// Under one.
    Sill,
}

impl PanelKind {
    /// The word in `panels.json`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Wall => "wall",
            Self::Header => "header",
            Self::Sill => "sill",
        }
    }
}

/// A panel: its place and its edges.
#[derive(Clone, Debug, PartialEq)]
pub struct Panel {
    /// Mark: `W101`, `W102`… by storey, in erection order at first issue.
    pub mark: String,
    /// Place in the order of erection, from 1.
    pub erection: Erection,
    /// Index into `Building::walls` and [`Layout::walls`].
    pub wall: usize,
    /// What it is.
    pub kind: PanelKind,
    /// Bounds of the outer skin as made, run axes. At a bevelled end the outer skin's own edge.
    pub rect: ShopRect,
    /// How far its right end is left long, to be trimmed on site: its place in the run ends so much short of `rect`.
    pub make_up: Length,
    /// Openings cut in it: indices into the wall's openings.
    pub openings: Vec<usize>,
    /// True for a strip beside a framed opening with solid lumber between its skins: narrower than a panel may be, or the post of
    /// a corner.
    pub is_pier: bool,
    /// Left edge.
    pub left: PanelEdge,
    /// Right edge.
    pub right: PanelEdge,
    /// Index into `PlantRules::lines`: the smallest line that can make it.
    pub line: usize,
    /// True for a wall panel that lies on its blank with the strength axis level: only under the line's report.
    pub is_axis_level: bool,
    /// Why it is as it is: each joint and choice with its rule.
    pub reasons: Vec<Reason>,
}

/// Who has the spline at a panel's edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SplineFit {
    /// This panel, delivered with it: by rule at its right edge.
    Carries,
    /// Its neighbour: this panel slides onto it.
    Receives,
    /// Neither: it closes a run, is listed loose with the panel to its left and dropped in from the top.
    Loose,
}

impl SplineFit {
    /// The kind of spline there: the plant's for panels of the assembly, or the one that it closes runs with.
    #[must_use]
    pub fn kind(self, joints: &JointRules, assembly: &Assembly) -> SplineKind {
        match (self, joints.closing) {
            (Self::Loose, ClosingSpline::Surface) if !assembly.is_liner() => SplineKind::Surface,
            _ => joints.spline_of(assembly),
        }
    }
}

/// What happens at an upright edge of a panel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PanelEdge {
    /// A spline into the neighbour.
    Spline {
        /// Index into [`Layout::panels`].
        with: usize,
        /// Who has the spline.
        fit: SplineFit,
    },
    /// A corner with another wall.
    Corner {
        /// Index into `Building::walls`.
        with: usize,
        /// How this wall's run ends there.
        end: WallEnd,
    },
    /// The jamb of an opening framed between panels: stud and jacks stand in this edge.
    Jamb {
        /// Index into the wall's openings.
        opening: usize,
    },
    /// Nothing follows: closed by an end stud.
    Free,
}

/// A piece of plate that belongs to the wall and crosses the joints.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlateRun {
    /// Mark: a series for each kind through the building, `SP1`, `TP1`, `CP1`….
    pub mark: String,
    /// Which plate.
    pub plate: PlateUse,
    /// Section, such as `2x6`; a cap is ripped to the panel's thickness from the next wider section.
    pub section: String,
    /// Left end, run axes; plates may lap past the run at corners.
    pub from: Length,
    /// Right end.
    pub to: Length,
}

/// Which plate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlateUse {
    /// On the deck, in the panel's bottom recess.
    Sole,
    /// In the panel's top recess.
    Top,
    /// On top of the panel, as wide as the panel.
    Cap,
}

impl PlateUse {
    /// The word in `panels.json`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sole => "sole plate",
            Self::Top => "top plate",
            Self::Cap => "cap plate",
        }
    }
}

/// Why something is as it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reason {
    /// What it is about: `left edge`, `right edge`, `width`, `opening O4`, `mark`.
    pub about: String,
    /// The rule's name, as in `plant.toml`: `joints.from_opening`.
    pub rule: String,
    /// In words.
    pub words: String,
    /// The words without what other choices would cost, where they tell that; costs move with every layout.
    pub lead: Option<String>,
}
