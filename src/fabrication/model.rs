//! A panel as the plant makes it. Panel axes unless stated otherwise.

use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::layout::{PanelKind, PlateUse};
use crate::rules::Face;
use crate::units::{Erection, Length};

/// All panels and the plates of the walls.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fabrication {
    /// In the order of `Layout::panels`.
    pub panels: Vec<FabricatedPanel>,
    /// Plates, wall by wall.
    pub plates: Vec<WallPlate>,
    /// Joints that take fixings or sealant, in the order in which the panels come to them.
    pub joints: Vec<Joint>,
}

impl Fabrication {
    /// The last place in the order of erection: of a first issue, how many panels there are.
    #[must_use]
    pub fn last_erection(&self) -> Erection {
        let places = self.panels.iter().map(|panel| panel.erection);
        places.max().unwrap_or_default()
    }
}

/// What one joint takes. The fixings of all joints together are those of all panels together, and so are the beads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joint {
    /// What meets.
    pub kind: JointKind,
    /// `W101/W102`, `W101 sole plate`, `X1/X2` of a corner or a tee, `O1/W103 left` of a jamb.
    pub name: String,
    /// Index into `Building::walls`: the first wall that comes to it.
    pub wall: usize,
    /// Marks of the panels that come to it.
    pub panels: Vec<String>,
    /// The longest of their edges there; zero within a panel.
    pub length: Length,
    /// Screws, nails and the like.
    pub fixings: Vec<Fixing>,
    /// Length of sealant bead.
    pub sealant: Length,
}

/// What meets at a joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum JointKind {
    /// Two panels, by a spline.
    Spline,
    /// A panel and a plate.
    Plate,
    /// The end of a header or sill panel and the jamb beside it.
    Jamb,
    /// Two walls at a corner.
    Corner,
    /// A wall and the face of a panel.
    Tee,
    /// The skins and the lumber of one panel.
    Panel,
}

impl JointKind {
    /// The word in `panels.json`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Spline => "spline",
            Self::Plate => "plate",
            Self::Jamb => "jamb",
            Self::Corner => "corner",
            Self::Tee => "tee",
            Self::Panel => "panel",
        }
    }
}

/// A panel with its parts.
#[derive(Clone, Debug, PartialEq)]
pub struct FabricatedPanel {
    /// Mark.
    pub mark: String,
    /// Revision letter, empty at first issue.
    pub revision: String,
    /// Why it is on HOLD; empty when it may be cut.
    pub holds: Vec<Hold>,
    /// Index into `Layout::panels`.
    pub panel: usize,
    /// Index into `Building::walls`.
    pub wall: usize,
    /// What it is.
    pub kind: PanelKind,
    /// Index into `PlantRules::assemblies`.
    pub assembly: usize,
    /// Bounding width of the outer skin.
    pub width: Length,
    /// Bounding height of the outer skin.
    pub height: Length,
    /// How far its outer skin reaches below inner skin and foam: part of its height.
    pub skin_drop: Length,
    /// How far its right end is left long, to be trimmed on site: part of its width.
    pub make_up: Length,
    /// Place in the order of erection.
    pub erection: Erection,
    /// Outer skin.
    pub outer_skin: PartFace,
    /// Inner skin, in the same axes (seen from outside, not turned over).
    pub inner_skin: PartFace,
    /// What is cut into the inner skin alone, and why: pockets and boxes of the job.
    pub inner_cuts: Vec<InnerCut>,
    /// Core: what foam remains after recesses, in the middle of its thickness; of several pieces the largest.
    pub core: PartFace,
    /// Further pieces of foam, largest first, where lumber parts the core.
    pub core_others: Vec<PartFace>,
    /// Openings in it.
    pub openings: Vec<PanelOpening>,
    /// Every edge with its joint.
    pub edges: Vec<SkinEdge>,
    /// Lumber in or with it.
    pub lumber: Vec<Lumber>,
    /// Chases.
    pub chases: Vec<Chase>,
    /// Screws, nails and the like.
    pub fixings: Vec<Fixing>,
    /// Length of sealant bead.
    pub sealant: Length,
    /// As lifted: skins, core, plant-fitted lumber. Pounds.
    pub weight_lb: f64,
    /// Centre of gravity as lifted, inches.
    pub centre_of_gravity: [f64; 2],
    /// Where to pick it up; empty when set by hand.
    pub pick_points: Vec<ShopPoint>,
    /// What lifts it.
    pub lift: Lift,
    /// Where it stands.
    pub placed: Placement,
    /// The face that lies up on the saw.
    pub face_up: Face,
    /// Mark of an earlier panel that is cut exactly alike.
    pub same_as: Option<String>,
    /// Mark of an earlier panel that is its mirror image.
    pub mirror_of: Option<String>,
    /// Notes for the sheet: how the wire gets across an opening, bridge to cut on site…
    pub notes: Vec<String>,
    /// Handles of wall and openings.
    pub sources: Vec<String>,
}

impl FabricatedPanel {
    /// The contour of a face: its skin's, or that of the foam where the face is bare.
    #[must_use]
    pub const fn face(&self, face: Face) -> &PartFace {
        match face {
            Face::Outer => &self.outer_skin,
            Face::Inner => &self.inner_skin,
        }
    }

    /// All pieces of foam, the largest first.
    pub fn core_pieces(&self) -> impl Iterator<Item = &PartFace> {
        std::iter::once(&self.core)
            .chain(&self.core_others)
            .filter(|piece| !piece.outline.0.is_empty())
    }

    /// The word in `panels.json`: `gable` for a full panel whose top slopes or steps, else what it is.
    #[must_use]
    pub fn kind_name(&self) -> &'static str {
        let mut tops = self.outer_skin.outline.sides().filter(|(a, b)| b.x < a.x);
        let is_level = |(a, b): (ShopPoint, ShopPoint)| a.y == b.y && a.y == self.height;
        let is_notch = |(a, b): (ShopPoint, ShopPoint)| {
            let openings = self.openings.iter();
            a.y == b.y && openings.map(|it| it.skin_hole.y1).any(|y| y == a.y)
        };
        if self.kind == PanelKind::Wall && tops.any(|side| !is_level(side) && !is_notch(side)) {
            return "gable";
        }
        self.kind.name()
    }

    /// True when it must not be cut.
    #[must_use]
    pub fn is_held(&self) -> bool {
        !self.holds.is_empty()
    }
}

/// A hole in the inner skin that the outer one does not have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InnerCut {
    /// What it is for, as the job names it: `girder`, `receptacle`.
    pub what: String,
    /// Where.
    pub rect: ShopRect,
    /// How deep from the inner face: through the skin and into the core, or through both.
    pub depth: Length,
}

/// Why a panel is on HOLD.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hold {
    /// Code of the finding, such as `FAB-02`.
    pub code: String,
    /// In words.
    pub reason: String,
}

/// The contours of one skin or of the core.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PartFace {
    /// Outer contour, counter-clockwise.
    pub outline: ShopRing,
    /// Holes, clockwise. A hole that reaches an edge is a notch in the outline.
    pub holes: Vec<ShopRing>,
}

impl PartFace {
    /// Net area, square inches.
    #[must_use]
    pub fn square_inches(&self) -> f64 {
        self.outline.square_inches() - self.holes.iter().map(ShopRing::square_inches).sum::<f64>()
    }
}

/// An opening in a panel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PanelOpening {
    /// Id as in the plan.
    pub id: String,
    /// Index into the wall's openings.
    pub opening: usize,
    /// Rough opening.
    pub rough: ShopRect,
    /// Hole in the skins.
    pub skin_hole: ShopRect,
}

/// Which contour an edge lies on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EdgeContour {
    /// The outline.
    Outline,
    /// The hole of an opening, by id.
    Opening(String),
}

/// What is at an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeJoint {
    /// Spline into a neighbour.
    Spline,
    /// Plate.
    Plate,
    /// Corner with another wall.
    Corner,
    /// Buck of an opening.
    Buck,
    /// Jamb of an opening framed between panels.
    Jamb,
    /// Closed by a stud, nothing follows.
    Free,
}

impl EdgeJoint {
    /// The word in `panels.json`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Spline => "spline",
            Self::Plate => "plate",
            Self::Corner => "corner",
            Self::Buck => "buck",
            Self::Jamb => "jamb",
            Self::Free => "free",
        }
    }
}

/// One straight edge of the outer skin's contour.
#[derive(Clone, Debug, PartialEq)]
pub struct SkinEdge {
    /// Which contour.
    pub contour: EdgeContour,
    /// Start, in the contour's direction.
    pub from: ShopPoint,
    /// End.
    pub to: ShopPoint,
    /// What is there.
    pub joint: EdgeJoint,
    /// Foam back from the skin's edge.
    pub recess: Length,
    /// Slots for surface splines.
    pub slots: Vec<Slot>,
    /// Degrees from square through the thickness; positive when the outer skin is longer.
    pub bevel_deg: f64,
    /// Mark of the neighbour, or id of the wall, or mark of the plate.
    pub with: Option<String>,
}

/// A slot behind a skin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Slot {
    /// Behind which skin.
    pub face: Face,
    /// Depth from the skin into the core.
    pub depth: Length,
    /// Width from the panel's edge.
    pub width: Length,
}

/// Who puts a part in, or cuts it to fit. What the site cuts out again is said beside it too: in the use of a bridge, as `cut_out` of a
/// plate, as a panel's `make_up`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fitted {
    /// The plant.
    Plant,
    /// Ships loose with the panel.
    Loose,
    /// Ships loose, and the site cuts it, or what it closes, to fit.
    Site,
}

impl Fitted {
    /// The word in `panels.json`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Plant => "plant",
            Self::Loose => "loose",
            Self::Site => "site",
        }
    }
}

/// A piece of lumber, spline or header.
#[derive(Clone, Debug, PartialEq)]
pub struct Lumber {
    /// Mark, unique in the package: `W101-3`.
    pub mark: String,
    /// What it is for: `end stud`, `buck head`, `buck sill`, `buck jamb`, `spline`, `header`, `jack`, `king stud`, `bridge`…
    pub usage: String,
    /// Section: `2x6`, `block 3 x 5 5/8`, `2-2x10`.
    pub section: String,
    /// Grade or material.
    pub grade: String,
    /// Cut length.
    pub length: Length,
    /// Its rectangle in the panel's elevation.
    pub rect: ShopRect,
    /// True when its length runs upright.
    pub is_upright: bool,
    /// From the panel's outer face inwards: where the piece begins and where it ends.
    pub depth: [Length; 2],
    /// Mitre and bevel of the two end cuts, degrees from square.
    pub end_cuts: [[f64; 2]; 2],
    /// Index into the panel's edges, when it stands at one.
    pub edge: Option<usize>,
    /// Who fits it.
    pub fitted: Fitted,
    /// The rule that sized it.
    pub rule: String,
    /// Weight, pounds.
    pub weight_lb: f64,
}

/// A round chase through the core.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chase {
    /// One end of the centre line.
    pub from: ShopPoint,
    /// The other.
    pub to: ShopPoint,
    /// Diameter.
    pub diameter: Length,
    /// The rule that placed it, such as `chases.horizontal`.
    pub rule: &'static str,
}

/// Fixings of one kind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fixing {
    /// Where they go.
    pub usage: String,
    /// What they are.
    pub item: String,
    /// How many.
    pub count: u32,
    /// The rule that spaced them.
    pub rule: String,
}

/// What lifts a panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Lift {
    /// A crew by hand.
    Hand,
    /// A forklift.
    Forklift,
    /// A crane.
    Crane,
}

impl Lift {
    /// The word in `panels.json`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Hand => "hand",
            Self::Forklift => "forklift",
            Self::Crane => "crane",
        }
    }
}

/// Where a panel stands: building coordinates, inches.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Placement {
    /// Lower left corner on the outer face of the outer skin.
    pub origin: [f64; 3],
    /// Unit vector of the panel's x.
    pub x: [f64; 3],
    /// Unit vector of the panel's y. x × y points outwards.
    pub y: [f64; 3],
}

/// A piece of plate as cut.
#[derive(Clone, Debug, PartialEq)]
pub struct WallPlate {
    /// Mark.
    pub mark: String,
    /// Index into `Building::walls`.
    pub wall: usize,
    /// Which plate.
    pub plate: PlateUse,
    /// Section.
    pub section: String,
    /// Grade.
    pub grade: String,
    /// Left end, run axes.
    pub from: Length,
    /// Right end.
    pub to: Length,
    /// Its underside above the deck at the left end.
    pub bottom: Length,
    /// Its underside above the deck at the right end: another height where it lies on a slope.
    pub bottom_to: Length,
    /// What the site cuts out of it once the panels are fixed, from and to in run axes: it lay under doors for erection.
    pub cut_out: Vec<[Length; 2]>,
    /// Cut length along its upper face, from plumb cut to plumb cut.
    pub length: Length,
    /// Mitre and bevel of the two end cuts, degrees from square.
    pub end_cuts: [[f64; 2]; 2],
    /// Weight, pounds.
    pub weight_lb: f64,
}

impl WallPlate {
    /// No plate is in a panel; the site cuts what lay under doors out of one.
    #[must_use]
    pub const fn fitted(&self) -> Fitted {
        if self.cut_out.is_empty() {
            Fitted::Loose
        } else {
            Fitted::Site
        }
    }
}
