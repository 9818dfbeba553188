//! What recovery hands on: `plan.json` as data. Inches, in drawing coordinates times `inches_per_unit`.

use crate::drawing::DrawingUnit;
use geo::Coord;

/// A recovered plan.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Unit of the (first) drawing.
    pub unit: DrawingUnit,
    /// Inches in one drawing unit.
    pub inches_per_unit: f64,
    /// Confidence in the unit, 0 to 1.
    pub unit_confidence: f64,
    /// Storeys from the lowest up.
    pub storeys: Vec<Storey>,
    /// Storeys as recovered before the job's corrections, whose ids the corrections use; empty without corrections.
    pub before_corrections: Vec<Storey>,
    /// The earlier plan on which the job was written, when it was carried from there to this one.
    pub written_on: Option<super::IssuedNames>,
}

/// One storey.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Storey {
    /// `S1`, `S2`… from the lowest up.
    pub id: String,
    /// Title on the drawing, such as `FIRST FLOOR PLAN`; empty when it has none.
    pub name: String,
    /// File it comes from.
    pub file: String,
    /// From this storey's drawing coordinates to building coordinates.
    pub to_building: ToBuilding,
    /// Outside face, counter-clockwise, first point not repeated; empty when it does not close.
    pub outline: Vec<Coord<f64>>,
    /// Walls, exterior first, in the order of the outline.
    pub walls: Vec<Wall>,
    /// Openings, in the order of their walls and along them.
    pub openings: Vec<Opening>,
    /// Rooms with their names.
    pub rooms: Vec<Room>,
    /// The architect's grid, by name.
    pub grid: Vec<GridLine>,
    /// What hangs on walls as drawn, in the order of the walls.
    pub fitments: Vec<Fitment>,
    /// Dimensions that say something else than is drawn, and those that the job trusts.
    pub dimensions: Vec<StatedDimension>,
}

/// A linear dimension, as a job may trust it and a revised drawing is to be searched for it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StatedDimension {
    /// Its handle.
    pub handle: String,
    /// First measured point.
    pub from: Coord<f64>,
    /// Second measured point.
    pub to: Coord<f64>,
    /// Unit vector in which it measures.
    pub along: Coord<f64>,
    /// What it says, inches.
    pub written: f64,
}

/// What a fitment is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum FitmentKind {
    /// Cabinets that stand on the floor.
    #[default]
    BaseCabinets,
    /// Cabinets that hang on the wall.
    WallCabinets,
    /// A deck or balcony.
    Deck,
}

impl FitmentKind {
    /// The words in `plan.json` and on sheets.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::BaseCabinets => "base cabinets",
            Self::WallCabinets => "wall cabinets",
            Self::Deck => "deck",
        }
    }
}

/// Something that the plan draws along a wall and that hangs on it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fitment {
    /// What it is.
    pub kind: FitmentKind,
    /// Id of its wall.
    pub wall: String,
    /// One end on the wall's face.
    pub from: Coord<f64>,
    /// The other.
    pub to: Coord<f64>,
    /// What is written on it; empty when nothing is.
    pub label: String,
    /// Handles of its lines and label.
    pub sources: Vec<String>,
}

/// A line of the architect's grid.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct GridLine {
    /// What stands in its bubble, such as `A` or `3`.
    pub name: String,
    /// Where it leaves its bubble.
    pub start: Coord<f64>,
    /// Its far end.
    pub end: Coord<f64>,
    /// Handles of its lines, bubble and name.
    pub sources: Vec<String>,
}

/// Turn about the origin, then move; `floor` is the height of the deck.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ToBuilding {
    /// Added after turning, inches.
    pub shift: [f64; 2],
    /// Counter-clockwise, degrees.
    pub turn_deg: f64,
    /// Height of this storey's deck above the lowest, inches.
    pub floor: f64,
}

impl ToBuilding {
    /// A point of the storey's drawing in building coordinates.
    #[must_use]
    pub fn point(&self, p: Coord<f64>) -> Coord<f64> {
        let (sine, cosine) = if self.turn_deg == 0.0 {
            (0.0, 1.0)
        } else {
            self.turn_deg.to_radians().sin_cos()
        };
        Coord {
            x: p.x * cosine - p.y * sine + self.shift[0],
            y: p.x * sine + p.y * cosine + self.shift[1],
        }
    }
}

/// A straight wall.
///
/// ```text
///    start ●━━━━━━━━━━━━━━━━━━━━━━● end        centre line, from centre to centre of the walls it meets
///          outside, for an exterior wall, is on the right of start → end
/// ```
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wall {
    /// `X1`… for exterior walls in the order of the outline, `I1`… for interior ones; unique in the plan.
    pub id: String,
    /// True when one face is the outside of the building.
    pub is_exterior: bool,
    /// Start of the centre line.
    pub start: Coord<f64>,
    /// End of the centre line.
    pub end: Coord<f64>,
    /// Over its outermost faces.
    pub thickness: f64,
    /// Layers from the outside (of an interior wall: the left) in; empty when it was drawn as one.
    pub layers: Vec<WallLayer>,
    /// Handles of its lines.
    pub sources: Vec<String>,
    /// 0 to 1.
    pub confidence: f64,
    /// What else it may be, the likeliest first.
    pub alternatives: Vec<Alternative>,
}

/// Which layer of a wall bears.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Core {
    /// It was drawn as one.
    Whole,
    /// By what is drawn, or by the job: the layer from the start of [`Wall::layers`], from 0.
    Known(usize),
    /// Several may: the plan asks.
    Asked,
}

impl Wall {
    /// Which of its layers bears.
    #[must_use]
    pub fn core(&self) -> Core {
        if self.layers.is_empty() {
            return Core::Whole;
        }
        let is_asked = self.alternatives.iter().any(|it| it.layer.is_some());
        let known = self.layers.iter().position(|it| it.is_structural);
        known.filter(|_| !is_asked).map_or(Core::Asked, Core::Known)
    }
}

/// What else a wall, an opening or a room may be, in the words that a correction uses.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Alternative {
    /// What it may be instead, as `is` of a `[[correction]]` has it.
    pub is: &'static str,
    /// With `core`: the layer that may bear instead, from the outside from 1.
    pub layer: Option<usize>,
    /// 0 to 1.
    pub confidence: f64,
}

/// One layer of a layered wall.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct WallLayer {
    /// Thickness, inches.
    pub thickness: f64,
    /// True for the layer that bears.
    pub is_structural: bool,
}

/// What an opening is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OpeningKind {
    /// A door that swings or slides.
    Door,
    /// A window.
    Window,
    /// A hole with nothing in it.
    #[default]
    Opening,
    /// An overhead or other vehicle door.
    GarageDoor,
}

impl OpeningKind {
    /// The word in `plan.json`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Door => "door",
            Self::Window => "window",
            Self::Opening => "opening",
            Self::GarageDoor => "garage_door",
        }
    }

    /// The kind with that name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        [Self::Door, Self::Window, Self::Opening, Self::GarageDoor]
            .into_iter()
            .find(|kind| kind.name() == name)
    }

    /// True when it reaches the floor unless a sill says otherwise.
    #[must_use]
    pub const fn reaches_floor(self) -> bool {
        !matches!(self, Self::Window)
    }
}

/// Which jamb a door hangs on, along its wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hinge {
    /// The jamb nearer the wall's start.
    Start,
    /// The jamb nearer the wall's end.
    End,
}

/// Which way a door opens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Swing {
    /// Into the building (of an interior wall: to the left of start → end).
    In,
    /// Out of it.
    Out,
}

/// An opening in a wall.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Opening {
    /// `O1`…, unique in the plan.
    pub id: String,
    /// Id of its wall.
    pub wall: String,
    /// What it is.
    pub kind: OpeningKind,
    /// Middle of the opening on the wall's centre line.
    pub centre: Coord<f64>,
    /// Along the centre line from the wall's start to the nearer jamb.
    pub near: f64,
    /// Jamb to jamb as drawn.
    pub width: f64,
    /// Call-out or tag beside it, such as `3068`.
    pub tag: Option<String>,
    /// Height of the unit, where call-out or schedule give it.
    pub height: Option<f64>,
    /// Sill above the floor, where known.
    pub sill: Option<f64>,
    /// Head above the floor, where known.
    pub head: Option<f64>,
    /// Leaf width, where a swing shows it.
    pub leaf: Option<f64>,
    /// Rough opening width and height, where call-out or schedule give them.
    pub rough: Option<[f64; 2]>,
    /// Hinge side of a door.
    pub hinge: Option<Hinge>,
    /// Way a door opens.
    pub swing: Option<Swing>,
    /// Handles of its lines, arcs, blocks and texts.
    pub sources: Vec<String>,
    /// 0 to 1.
    pub confidence: f64,
    /// What else it may be, the likeliest first.
    pub alternatives: Vec<Alternative>,
}

/// A room.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Room {
    /// `R1`…, unique in the plan.
    pub id: String,
    /// Name written in it; empty when there is none.
    pub name: String,
    /// Inside faces, counter-clockwise.
    pub outline: Vec<Coord<f64>>,
    /// Area in square feet.
    pub area_sq_ft: f64,
    /// Handles of the texts that name it.
    pub sources: Vec<String>,
    /// How sure it is that walls close round it, 0 to 1.
    pub confidence: f64,
    /// What else it may be, the likeliest first.
    pub alternatives: Vec<Alternative>,
}
