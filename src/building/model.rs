//! Panel walls: exact inside each wall, a frame in floating point for where it stands.

use super::WallProfile;
use crate::geometry::Frame;
use crate::plan::{Hinge, OpeningKind};
use crate::rules::{FloorKind, HeaderMember, HeldFace, InteriorUse, PointLoad};
use crate::units::Length;
use geo::Coord;

/// The building to be panelled.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Building {
    /// From the lowest up.
    pub storeys: Vec<BuildingStorey>,
    /// All walls to be panelled, storey by storey, in the order of the outline.
    pub walls: Vec<PanelWall>,
    /// The step the bridge snapped to.
    pub snap_step: Length,
}

/// A storey.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BuildingStorey {
    /// Id as in the plan.
    pub id: String,
    /// Name printed on sheets.
    pub name: String,
    /// Deck above the lowest deck.
    pub floor: Length,
    /// How the floor that makes this deck is carried by the walls below.
    pub floor_kind: FloorKind,
    /// From the caps below up to this deck; zero on the lowest storey and where the floor hangs inside the walls.
    pub floor_depth: Length,
    /// Panels' outside face as snapped, building coordinates, inches, counter-clockwise.
    pub outline: Vec<Coord<f64>>,
}

/// A straight wall from corner to corner; an interior one from face to face of what it meets, seen from its outside face.
///
/// ```text
///   up ▲   seen from outside
///      │┌──────────────────────────────┐
///      ││        ┌─────┐      ┌───┐    │
///      ││        └─────┘      │   │    │
///    0 │└─────────────────────┴───┴────┘
///      └●──────────────────────────────●──► along      0 and `face_length` are the corners of the outside face
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct PanelWall {
    /// Id as in the plan, such as `X1`.
    pub id: String,
    /// Printed name, such as `South`; the id when there is no other.
    pub name: String,
    /// Storey id.
    pub storey: String,
    /// Index of the storey in [`Building::storeys`].
    pub storey_index: usize,
    /// The outside face of the panels, origin at the left corner, building coordinates.
    pub frame: Frame,
    /// Corner to corner along the outside face.
    pub face_length: Length,
    /// How far short of its left and its right corner its panels stop; the site frames the rest. Zero: they do not.
    pub stops: [Length; 2],
    /// Index into [`crate::rules::PlantRules::assemblies`].
    pub assembly: usize,
    /// Heights above the storey's deck: the lowest bottom, the highest top.
    pub stack: HeightStack,
    /// How far the outer skin reaches below the base; it does not bear there.
    pub skin_drop: Length,
    /// Base and top from end to end.
    pub profile: WallProfile,
    /// What it is for.
    pub role: WallRole,
    /// The corner at along = 0, seen from outside the left one.
    pub left: Corner,
    /// The corner at along = `face_length`.
    pub right: Corner,
    /// Rough openings, by position, not overlapping.
    pub openings: Vec<RoughOpening>,
    /// Walls that meet it inside.
    pub tees: Vec<Tee>,
    /// Jacks of the storey above that bear on it, from left to right.
    pub jacks_above: Vec<JacksAbove>,
    /// Which line of the architect's wall was held, and how thick that wall is drawn, inches.
    pub held: HeldFace,
    /// Drawn thickness, inches.
    pub drawn_thickness: f64,
    /// False where the job says that something else carries in its place.
    pub bears: bool,
    /// Bearing as the job states it; empty when it states none.
    pub bearing: String,
    /// True when an open fault touches the wall itself: all its panels are on HOLD.
    pub on_hold: bool,
    /// Handles it came from.
    pub sources: Vec<String>,
}

/// Heights of one wall above its storey's deck.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct HeightStack {
    /// Bottom of the panel; skins bear on the deck at 0.
    pub panel_bottom: Length,
    /// Top of the panel.
    pub panel_top: Length,
    /// Top of the cap plate; equal to `panel_top` without one.
    pub cap_top: Length,
}

/// What a corner is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum CornerKind {
    /// Square, building inside it (90° seen from inside).
    Outside,
    /// Square, building outside it (270° seen from inside).
    Inside,
    /// Any other turn: both ends bevelled.
    Odd,
    /// An interior wall ends at the face of another one.
    Tee,
    /// No wall follows.
    #[default]
    Free,
}

/// What a wall is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum WallRole {
    /// It encloses the building.
    #[default]
    Exterior,
    /// An interior wall that carries.
    Bearing,
    /// Between two dwellings.
    Party,
    /// An interior wall that carries nothing.
    Partition,
}

impl WallRole {
    /// What the job says an interior wall is.
    #[must_use]
    pub const fn of(used: InteriorUse) -> Self {
        match used {
            InteriorUse::Bearing => Self::Bearing,
            InteriorUse::Party => Self::Party,
            InteriorUse::Partition => Self::Partition,
        }
    }

    /// The word in `panels.json` and on sheets.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Exterior => "exterior",
            Self::Bearing => "bearing",
            Self::Party => "party",
            Self::Partition => "partition",
        }
    }

    /// The side from which its panels are seen on sheets.
    #[must_use]
    pub const fn seen_from(self) -> &'static str {
        match self {
            Self::Exterior => "OUTSIDE",
            Self::Bearing | Self::Party | Self::Partition => "ITS OUTSIDE FACE",
        }
    }
}

/// One end of a wall.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Corner {
    /// Index into [`Building::walls`] of the wall that follows there.
    pub with: Option<usize>,
    /// What it is.
    pub kind: CornerKind,
    /// Change of direction walking counter-clockwise, degrees: +90 at an outside corner, −90 at an inside one. At a tee how far this
    /// wall's end is bevelled, positive where its outer skin is the longer one; 0 where it is square.
    pub turn_deg: f64,
}

/// Where a size came from, for findings and the schedule.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SizeOrigin {
    /// Drawn, tagged or scheduled on the plan.
    Plan,
    /// Stated by the job.
    Job,
    /// Taken from the plant's defaults: a doubt.
    #[default]
    Assumed,
}

/// A rough opening in wall coordinates.
#[derive(Clone, Debug, PartialEq)]
pub struct RoughOpening {
    /// Id as in the plan.
    pub id: String,
    /// What it is.
    pub kind: OpeningKind,
    /// Left jamb of the rough opening along the wall.
    pub from: Length,
    /// Right jamb.
    pub to: Length,
    /// Bottom above the deck; 0 for a door.
    pub sill: Length,
    /// Top above the deck.
    pub head: Length,
    /// Size of the unit that goes in: width and height.
    pub unit: [Length; 2],
    /// Where the height came from.
    pub height_origin: SizeOrigin,
    /// Where its head, or with a stated sill that, came from: how high the opening stands.
    pub head_origin: SizeOrigin,
    /// Tag or call-out on the plan.
    pub tag: Option<String>,
    /// Hinge side of a door, along this wall.
    pub hinge: Option<Hinge>,
    /// The member over it that job or plant names.
    pub header: HeaderMember,
    /// Jack studs at each end of the header.
    pub jacks: u32,
    /// True when the job names the header; false when the plant's table by width did.
    pub header_from_job: bool,
    /// Which rule or job line chose the header, for lists: `openings.headers` or `job.toml:12`.
    pub header_rule: String,
    /// From where to where it is drawn, where it runs into a corner and so ends at a post that stands there.
    pub drawn: Option<[Length; 2]>,
    /// Where it was moved into line with an opening of the storey below.
    pub moved_over: Option<MovedOver>,
    /// True when an open fault or blocking doubt touches it.
    pub on_hold: bool,
    /// Handles it came from.
    pub sources: Vec<String>,
}

impl PanelWall {
    /// From where to where along the outside face it is made of panels.
    #[must_use]
    pub fn panelled(&self) -> [Length; 2] {
        [self.stops[0], self.face_length - self.stops[1]]
    }

    /// Height of its panels at its left or right end.
    #[must_use]
    pub fn end_height(&self, is_left: bool) -> Length {
        let x = if is_left {
            Length::ZERO
        } else {
            self.face_length
        };
        let top = self.profile.stretch(x, !is_left);
        top.map_or(Length::ZERO, |it| {
            it.at(x) - self.profile.base_at(x, !is_left)
        })
    }

    /// The lowest underside of the top plate over an opening.
    #[must_use]
    pub fn room_over(&self, opening: &RoughOpening, plate: Length) -> Length {
        let [_, low] = self.profile.underside(opening.from, opening.to, plate);
        low
    }

    /// The opening over which a point load bears from jamb to jamb, where the job names the member that carries there.
    #[must_use]
    pub fn carried_by(&self, point: &PointLoad) -> Option<&RoughOpening> {
        let half = point.width.half();
        let (from, to) = (point.at - half, point.at + half);
        let mut openings = self.openings.iter();
        openings.find(|it| {
            let is_named = matches!(
                it.header,
                HeaderMember::Lumber { .. } | HeaderMember::Sip { .. }
            );
            is_named
                && it.header_from_job
                && point.hold_down.is_none()
                && it.from <= from
                && to <= it.to
        })
    }

    /// True when an opening reaches down to the wall's base.
    #[must_use]
    pub fn is_door(&self, opening: &RoughOpening) -> bool {
        let [base, _] = self.profile.base_range(opening.from, opening.to);
        opening.sill <= base
    }
}

impl RoughOpening {
    /// Whether it ends at the post of a corner, left and right.
    #[must_use]
    pub fn at_post(&self) -> [bool; 2] {
        self.drawn
            .map_or([false; 2], |[from, to]| [from < self.from, to > self.to])
    }

    /// Jamb to jamb.
    #[must_use]
    pub fn width(&self) -> Length {
        self.to - self.from
    }

    /// Sill to head.
    #[must_use]
    pub fn height(&self) -> Length {
        self.head - self.sill
    }

    /// True when a span table covers the member over it, the code's or the plant's own of headers of panel: `header_rule` names the
    /// edition.
    #[must_use]
    pub fn is_header_by_table(&self) -> bool {
        self.header_rule.contains("Table R602.7") || self.header_rule.starts_with(SIP_SPANS)
    }

    /// True when it reaches the deck.
    #[must_use]
    pub fn reaches_floor(&self) -> bool {
        self.sill <= Length::ZERO
    }
}

/// How the rule of a header of panel begins that a row of the plant's table covers.
pub(super) const SIP_SPANS: &str = "sip_headers.spans: ";

/// A wall that meets another one inside.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tee {
    /// Id of the wall that meets.
    pub wall: String,
    /// Nearer side of it along the host.
    pub from: Length,
    /// Farther side.
    pub to: Length,
}

/// Jacks beside an opening of the storey above, along the wall that they bear on.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct JacksAbove {
    /// Id of that opening.
    pub opening: String,
    /// Left side of the pack.
    pub from: Length,
    /// Right side.
    pub to: Length,
}

/// How an opening was moved into line with one below.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MovedOver {
    /// Along its wall; negative to the left.
    pub by: Length,
    /// Id of the opening below.
    pub over: String,
}
