//! The plant's rules as data. Every field names its default; `plant.toml` documents unit and source of each.

use super::assembly::{Assembly, LaminatingLine};
use super::splines::{ClosingSpline, SplineKind, SplineRules};
use crate::plan::OpeningKind;
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;

/// Everything a plant may set.
#[derive(Clone, Debug, PartialEq)]
pub struct PlantRules {
    /// Name of the plant or of the rule set, printed on the cover.
    pub name: String,
    /// Joints lie on this grid from the wall's datum end. Default: 1/16 in.
    pub grid: Length,
    /// Name of the assembly of walls for which the job names none. Default: `6-1/2`.
    pub default_assembly: String,
    /// Wall height where the job states none. Default: 8 ft.
    pub default_wall_height: Length,
    /// Panels the plant makes.
    pub assemblies: Vec<Assembly>,
    /// Laminating lines, smallest first.
    pub lines: Vec<LaminatingLine>,
    /// Joints between panels.
    pub joints: JointRules,
    /// Walls that a plan draws by one line.
    pub drawn_lines: super::DrawnLineRules,
    /// Piers of solid lumber beside framed openings.
    pub piers: super::PierRules,
    /// Blocking under point loads and beam pockets.
    pub points: super::PointRules,
    /// What a quote takes where no price book says it.
    pub quote: super::QuoteRules,
    /// Headers made of panel.
    pub sip_headers: super::SipHeaderRules,
    /// Sole, top and cap plates.
    pub plates: PlateRules,
    /// How far foam stands back from the skin's edge.
    pub recesses: RecessRules,
    /// Splines.
    pub splines: SplineRules,
    /// Corners.
    pub corners: CornerRules,
    /// Nails.
    pub fixings: FixingRules,
    /// Openings.
    pub openings: OpeningRules,
    /// Chases for wiring.
    pub chases: ChaseRules,
    /// Boards behind what the plan draws on walls.
    pub nailers: super::NailerRules,
    /// Lumber.
    pub lumber: LumberRules,
    /// Lifting.
    pub lifts: LiftRules,
    /// The saw.
    pub saw: SawRules,
    /// What blanks, boards, slabs and lumber are cut from.
    pub stock: super::StockRules,
    /// Press, labels, trucks, thermal resistance.
    pub dispatch: super::DispatchRules,
    /// Paper and scales of sheets.
    pub sheets: super::SheetRules,
    /// Joints of an upper storey over those of the storey below.
    pub alignment: super::AlignmentRules,
    /// What a layout costs.
    pub cost: super::CostRules,
    /// What it costs to change a panel that was issued before.
    pub revisions: super::RevisionRules,
    /// Limits of the code's prescriptive rules.
    pub scope: ScopeRules,
}

/// Where panels may meet.
#[derive(Clone, Debug, PartialEq)]
pub struct JointRules {
    /// Gap between skins at a joint. Default: 1/8 in.
    pub gap: Length,
    /// Spline at ordinary joints. Default: block.
    pub spline: SplineKind,
    /// Spline of the panel that closes a run between two that stand. Default: loose.
    pub closing: ClosingSpline,
    /// Spline of panels with one skin: lumber, which needs no second one. Default: single lumber.
    pub liner_spline: SplineKind,
    /// Least width of a panel. Default: 12 in.
    pub least_panel: Length,
    /// Preferred least width of a panel. Default: 24 in.
    pub preferred_panel: Length,
    /// Least distance from a joint to the rough edge of an opening. Default: 6 in.
    pub from_opening: Length,
    /// Preferred distance. Default: 12 in.
    pub from_opening_preferred: Length,
    /// Least distance from a joint to the face of a wall that meets inside. Default: 3 in.
    pub from_tee: Length,
    /// Least distance from a joint to a step in a wall's base or top, unless it lies on it. Default: 6 in.
    pub from_step: Length,
    /// Least distance from a joint to the side of a point load or beam pocket. Default: 3 in.
    pub from_point_load: Length,
    /// Greatest difference between a wall's foundation as measured and as drawn that is not asked about. Default: 1/4 in.
    pub site_tolerance: Length,
    /// How much longer the panel that closes a run is made, to be trimmed on site. Default: 0.
    pub make_up: Length,
}

impl JointRules {
    /// The spline of panels of an assembly.
    #[must_use]
    pub fn spline_of(&self, assembly: &Assembly) -> SplineKind {
        if assembly.is_liner() {
            self.liner_spline
        } else {
            self.spline
        }
    }

    /// The key that says so.
    #[must_use]
    pub fn spline_rule(&self, assembly: &Assembly) -> &'static str {
        if assembly.is_liner() {
            "joints.liner_spline"
        } else {
            "joints.spline"
        }
    }
}

/// Plates along a wall.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateRules {
    /// Thickness of every plate. Default: 1-1/2 in.
    pub thickness: Length,
    /// Stock lengths that may be bought, rising. Default: 8 to 20 ft in steps of 2.
    pub stock_lengths: Vec<Length>,
    /// Least distance of a plate's joint from a panel joint and from a joint in the next plate. Default: 24 in.
    pub joint_offset: Length,
    /// Least length of a piece of plate. Default: 24 in.
    pub least_piece: Length,
    /// What the sole plate does at doors. Default: stops at both jambs.
    pub sole_at_doors: SoleAtDoors,
    /// True when a cap plate as wide as the panel lies on top. Default: true.
    pub has_cap: bool,
    /// What the cap of a panel wall does that meets another one inside. Default: laps onto it, unless it is a partition.
    pub cap_at_tees: CapAtTees,
}

/// What a cap does where its wall meets another one inside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum CapAtTees {
    /// That of a bearing or party wall laps onto the other wall, whose cap is parted there.
    #[serde(rename = "laps")]
    Laps,
    /// Ends at the face of the other wall, whose cap runs on.
    #[serde(rename = "ends")]
    Ends,
}

/// What the sole plate does where a door stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum SoleAtDoors {
    /// Stops at both jambs.
    #[serde(rename = "stops")]
    Stops,
    /// Runs through for erection and is cut out after.
    #[serde(rename = "runs through")]
    RunsThrough,
}

/// How far the foam stands back from the skin's edge.
#[derive(Clone, Debug, PartialEq)]
pub struct RecessRules {
    /// At top and bottom plates. Default: 1-1/2 in.
    pub plate: Length,
    /// At end studs and corners. Default: 1-1/2 in.
    pub end_stud: Length,
    /// At bucks. Default: 1-1/2 in.
    pub buck: Length,
    /// Extra depth so that lumber seats. Default: 0.
    pub seat: Length,
}

/// Corners of walls.
#[derive(Clone, Debug, PartialEq)]
pub struct CornerRules {
    /// Distance of screws through the run-through panel. Default: 24 in.
    pub screw_spacing: Length,
    /// Screw length beyond the panel's thickness. Default: 1-1/2 in.
    pub screw_bite: Length,
    /// What happens at corners that are not square. Default: both ends bevelled.
    pub odd: OddCorner,
    /// What stands in the core where an interior wall meets. Default: nothing.
    pub tee: TeeStud,
    /// Sharpest angle at which an interior wall of panels may meet another one, degrees. Default: 45.
    pub tee_least_angle: f64,
}

/// What stands in a panel's core where an interior wall meets it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum TeeStud {
    /// Nothing: a panel wall is screwed through the panel, a stick one to the skin.
    #[serde(rename = "none")]
    None,
    /// A stud from sole to top plate.
    #[serde(rename = "stud")]
    Stud,
}

/// Nails through the skins.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FixingRules {
    /// Nail through each skin into plates, splines, studs and bucks. Default: `8d, 0.131 x 2 1/2`.
    pub nail: String,
    /// Distance of nails along each skin. Default: 6 in.
    pub nail_spacing: Length,
}

/// Corners that are not square.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum OddCorner {
    /// Both ends bevelled by half the turn.
    #[serde(rename = "mitre")]
    Mitre,
    /// Both ends square, and a wedge of lumber between them.
    #[serde(rename = "square")]
    Square,
}

/// Openings.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningRules {
    /// Where bucks lie. Default: in the recess.
    pub buck: BuckConvention,
    /// What the drawn width is, by kind. Default: unit size of doors and windows, rough opening of plain openings.
    pub drawn_width: BTreeMap<OpeningKind, DrawnWidth>,
    /// Added to the unit's size to get the rough opening, by kind.
    pub allowances: BTreeMap<OpeningKind, Allowance>,
    /// Sizes taken when neither plan nor job says: a doubt each time.
    pub sizes: BTreeMap<OpeningKind, OpeningSize>,
    /// Headers by clear rough width, rising; the first row whose `up_to` is not below the width holds.
    pub headers: Vec<HeaderRule>,
    /// An opening whose rough width is above this is framed between panels. Default: 84 in.
    pub whole_up_to: Length,
    /// Least leg of panel beside an opening that is cut whole. Default: 6 in.
    pub least_leg: Length,
    /// Height of the bridge left across a door's legs for saw, truck and crane; 0 for none. Default: 6 in.
    pub door_bridge: Length,
}

/// Where bucks lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum BuckConvention {
    /// In the foam's recess, flush with the skin's edge: skin hole = rough opening.
    #[serde(rename = "in recess")]
    InRecess,
    /// Lining the hole: skin hole = rough opening and a buck on each side.
    #[serde(rename = "lining")]
    Lining,
}

impl BuckConvention {
    /// The sentence printed on every sheet.
    #[must_use]
    pub const fn sentence(self) -> &'static str {
        match self {
            Self::InRecess => "rough opening = skin hole",
            Self::Lining => "skin hole = rough opening + bucks",
        }
    }
}

/// What the width drawn on the plan is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum DrawnWidth {
    /// The unit's (nominal) size.
    #[serde(rename = "unit")]
    Unit,
    /// The leaf of the door.
    #[serde(rename = "leaf")]
    Leaf,
    /// The rough opening.
    #[serde(rename = "rough")]
    Rough,
}

/// Rough opening less unit size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Allowance {
    /// Added to the width.
    pub width: Length,
    /// Added to the height.
    pub height: Length,
}

/// A height and a head taken for want of anything better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OpeningSize {
    /// Height of the unit.
    pub height: Length,
    /// Rough head above the deck. Without it a window's lines up with the doors', all others stand on the deck.
    pub head: Option<Length>,
}

/// A header for openings up to a width.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeaderRule {
    /// Greatest rough width it serves.
    pub up_to: Length,
    /// The member.
    pub member: HeaderMember,
    /// Jack studs at each end.
    pub jacks: u32,
}

/// What carries over an opening.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HeaderMember {
    /// Nothing: the panel itself, where the plant's rule allows it.
    None,
    /// Plies of a lumber section: `2-2x10`.
    Lumber {
        /// How many side by side.
        plies: u32,
        /// Which section.
        section: String,
    },
    /// A strip of panel as thick as the core, on edge: `SIP 11 7/8`.
    Sip {
        /// How deep.
        depth: Length,
    },
    /// Named, but to be sized by an engineer before release.
    Engineer,
}

/// Chases for wiring.
#[derive(Clone, Debug, PartialEq)]
pub struct ChaseRules {
    /// Diameter. Default: 1-1/2 in.
    pub diameter: Length,
    /// Heights of horizontal chases above the deck. Default: 16 and 44 in.
    pub horizontal: Vec<Length>,
    /// Distance of the vertical chase from a joint, in the panel to its left. Default: 4 in.
    pub vertical_from_joint: Length,
    /// Greatest distance between vertical chases of one panel. Default: 48 in.
    pub vertical_spacing: Length,
    /// Least distance between vertical chases of one panel; closer is reported. Default: 24 in.
    pub vertical_least: Length,
    /// Distance of the chase beside a door's latch from the rough opening. Default: 6 in.
    pub from_latch: Length,
    /// Clear distance of any chase from lumber. Default: 1 in.
    pub clear_of_lumber: Length,
    /// How deep the core is hollowed behind a box for wiring. Default: 2 in.
    pub box_depth: Length,
    /// When chases are made. Default: in the core, before lamination.
    pub made: ChaseMade,
}

/// When chases are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum ChaseMade {
    /// In the core before lamination.
    #[serde(rename = "core")]
    Core,
    /// In the finished panel.
    #[serde(rename = "panel")]
    Panel,
}

/// Lumber.
#[derive(Clone, Debug, PartialEq)]
pub struct LumberRules {
    /// Sections by name; dressed sizes after PS 20.
    pub sections: BTreeMap<String, LumberSection>,
    /// Species and grade printed in lists. Default: `SPF No. 2`.
    pub grade: String,
    /// Pounds per cubic foot. Default: 28.
    pub density: f64,
    /// Grade of laminated veneer lumber printed in lists. Default: `LVL`.
    pub lvl_grade: String,
    /// Pounds per cubic foot of it. Default: 42.
    pub lvl_density: f64,
}

/// What a section is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum SectionMaterial {
    /// Sawn lumber.
    #[default]
    #[serde(rename = "sawn")]
    Sawn,
    /// Laminated veneer lumber: no board foot, sold by the foot.
    #[serde(rename = "LVL")]
    Lvl,
}

impl LumberRules {
    /// The section that a piece is sawn from: `2x8` of `2x8 ripped to 6 1/2` and of `2x8 ripped to 5 15/16, edges at 22.5 degrees`.
    #[must_use]
    pub fn sawn_from(section: &str) -> &str {
        let words = [" ripped to ", ", edges at "];
        let ends = words.iter().filter_map(|it| section.find(it));
        section
            .get(..ends.min().unwrap_or(section.len()))
            .unwrap_or(section)
    }

    /// Grade and pounds per cubic foot of a section; of sawn lumber where the rules do not have it.
    #[must_use]
    pub fn grade_of(&self, section: &str) -> (&str, f64) {
        match self.sections.get(section).map(|it| it.material) {
            Some(SectionMaterial::Lvl) => (&self.lvl_grade, self.lvl_density),
            Some(SectionMaterial::Sawn) | None => (&self.grade, self.density),
        }
    }
}

/// A dressed section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LumberSection {
    /// Thinner side.
    pub thickness: Length,
    /// Wider side.
    pub width: Length,
    /// Nominal thickness, inches, for board feet.
    pub nominal_thickness: u32,
    /// Nominal width, inches, for board feet.
    pub nominal_width: u32,
    /// What it is made of.
    pub material: SectionMaterial,
}

/// Lifting.
#[derive(Clone, Debug, PartialEq)]
pub struct LiftRules {
    /// Greatest weight set by hand, pounds. Default: 150, by a crew of four.
    pub hand_limit: f64,
    /// Greatest weight set by forklift, pounds; above it a crane. Default: 600.
    pub forklift_limit: f64,
    /// Distance of pick points each side of the centre of gravity. Default: 24 in.
    pub pick_half_spacing: Length,
    /// Distance of pick points below the top edge. Default: 8 in.
    pub pick_below_top: Length,
    /// Greatest weight of one panel, pounds. Default: 2,000.
    pub greatest_weight: f64,
}

/// A face of a panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum Face {
    /// The outside.
    #[serde(rename = "outer")]
    Outer,
    /// The inside.
    #[serde(rename = "inner")]
    Inner,
}

impl Face {
    /// `outer` or `inner`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Outer => "outer",
            Self::Inner => "inner",
        }
    }

    /// The face behind it.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Outer => Self::Inner,
            Self::Inner => Self::Outer,
        }
    }
}

/// The saw and its files.
#[derive(Clone, Debug, PartialEq)]
pub struct SawRules {
    /// Unit of outline files. Default: inch.
    pub unit: SawUnit,
    /// Version of outline files. Default: R12.
    pub version: SawVersion,
    /// The face that lies up. Default: outer.
    pub face_up: Face,
    /// Inside corners. Default: stop short and finish by hand.
    pub corners: CornerTreatment,
    /// Radius of the tool that a router leaves standing in inside corners. Default: 1/4 in.
    pub tool_radius: Length,
    /// Layer names.
    pub layers: LayerNames,
}

/// Unit of outline files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum SawUnit {
    /// Inches.
    #[serde(rename = "inch")]
    Inch,
    /// Millimetres.
    #[serde(rename = "mm")]
    Millimetre,
}

/// Version of outline files.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum SawVersion {
    /// R12: POLYLINE.
    #[serde(rename = "R12")]
    R12,
    /// R2000: LWPOLYLINE.
    #[serde(rename = "R2000")]
    R2000,
}

/// Inside corners of openings: skins are never over-cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum CornerTreatment {
    /// Cut square by the machine.
    #[serde(rename = "square")]
    Square,
    /// Stop short of the corner, finish by hand.
    #[serde(rename = "stop short")]
    StopShort,
    /// The tool's radius is left standing in the opening, and squared by hand.
    #[serde(rename = "tool radius")]
    ToolRadius,
}

/// Names of layers in outline files.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LayerNames {
    /// Outer contour of the face that lies up.
    pub outline: String,
    /// Holes of the face that lies up.
    pub opening: String,
    /// Contours of the face that lies down, where they differ.
    pub under: String,
    /// Contours of the foam.
    pub recess: String,
    /// Centre lines of surface-spline slots.
    pub slot: String,
    /// Chases.
    pub chase: String,
    /// What is inked on the face.
    pub mark: String,
    /// All other text.
    pub note: String,
    /// Contour of a blank.
    pub blank: String,
    /// Saw cuts of a blank.
    pub cut: String,
    /// What is left over of a blank.
    pub offcut: String,
    /// Joints in a blank's core.
    pub core_joint: String,
}

/// Limits of the code's prescriptive rules for panel walls: beyond them design is required.
#[derive(Clone, Debug, PartialEq)]
pub struct ScopeRules {
    /// What the limits are quoted from. Default: `IRC R610.2 (2018)`.
    pub source: String,
    /// Greatest wall height. Default: 10 ft.
    pub wall_height: Length,
    /// Greatest length of the building, across its joists or trusses. Default: 60 ft.
    pub building_length: Length,
    /// Greatest width of the building, along its joists or trusses. Default: 40 ft.
    pub building_width: Length,
    /// Greatest number of storeys. Default: 2.
    pub storeys: u32,
    /// Greatest ground snow load, psf. Default: 70.
    pub ground_snow_psf: f64,
    /// Greatest ultimate wind speed in exposure B, mph. Default: 155.
    pub wind_mph_exposure_b: f64,
    /// Greatest ultimate wind speed in exposure C, mph. Default: 140.
    pub wind_mph_exposure_c: f64,
    /// Seismic design categories. Default: A, B, C.
    pub seismic: Vec<String>,
    /// Greatest number of horizontal chases in a panel. Default: 2.
    pub horizontal_chases: u32,
    /// Panel thicknesses of ANSI/APA PRS 610.1. Default: 4-1/2 and 6-1/2 in.
    pub thicknesses: Vec<Length>,
}
