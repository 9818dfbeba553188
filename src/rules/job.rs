//! The job as data: what this building is, and what the drafter decided about it.

use crate::drawing::DrawingUnit;
use crate::plan::PlanCorrections;
use crate::rules::{DrawnWidth, HeaderMember};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;

/// A job file, read. `None` means the file does not say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Job {
    /// File name as the user gave it; empty without a job file.
    pub file: String,
    /// Name of the building.
    pub name: Option<String>,
    /// Job number.
    pub number: Option<String>,
    /// Owner or project line of the title block.
    pub project: Option<String>,
    /// Date printed on sheets, `YYYY-MM-DD`.
    pub date: Option<String>,
    /// Who drew it, for the title block.
    pub drawn_by: Option<String>,
    /// What the package is issued for.
    pub issue: Issue,
    /// Compass direction of the drawing's +y axis, degrees clockwise from north; `None` when not known.
    pub north_deg: Option<f64>,
    /// Unit of the drawing, where the drafter overrules the vote.
    pub unit: Option<DrawingUnit>,
    /// Assembly of every wall, by name.
    pub assembly: Option<String>,
    /// Line of the job file that names the assembly; 0 when none does.
    pub assembly_line: usize,
    /// Wall height.
    pub wall_height: Option<Length>,
    /// What the height reaches.
    pub height_to: HeightTo,
    /// How far the outer skin of exterior walls reaches below their panels. Default: 0.
    pub skin_drop: Length,
    /// True where something else than the walls of panels carries, such as a frame that they close. Default: false.
    pub is_carried: bool,
    /// Which line of the architect's wall is held.
    pub hold: HeldFace,
    /// The layer whose line that is; `None` for the whole wall.
    pub hold_layer: Option<String>,
    /// Layers of the walls from the outside in, name and thickness; empty for those of the drawing.
    pub layers: Vec<(String, Length)>,
    /// True when the job file says which line is held.
    pub is_hold_stated: bool,
    /// Per storey.
    pub storeys: Vec<JobStorey>,
    /// Per wall.
    pub walls: Vec<JobWall>,
    /// Per opening, tag or kind; later entries win.
    pub openings: Vec<JobOpening>,
    /// What the drafter wishes of the layout of walls.
    pub layouts: Vec<super::JobLayout>,
    /// Panels that are locked: what the plant or the site already has.
    pub panels: Vec<JobPanel>,
    /// Loads, where the job states them.
    pub loads: Loads,
    /// What the plan draws on walls that nailers are asked for.
    pub drawn_nailers: super::DrawnNailers,
    /// The `plan.json` on which the corrections were made, where that was an earlier drawing's; a path beside the job file.
    pub corrected_plan: Option<String>,
    /// The package of the issue before; a path beside the job file.
    pub revises: Option<String>,
    /// The drafter's corrections of the recovered plan.
    pub corrections: PlanCorrections,
}

/// What a package is issued for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum Issue {
    /// Panels without faults may be cut.
    #[default]
    #[serde(rename = "production")]
    Production,
    /// For review: every panel is held.
    #[serde(rename = "review")]
    Review,
}

/// What a wall height reaches, from the deck.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum HeightTo {
    /// The top of the panel: a 9 ft wall is a 108 in panel.
    #[default]
    #[serde(rename = "panel")]
    Panel,
    /// The top of the cap plate.
    #[serde(rename = "cap")]
    Cap,
    /// The finished ceiling; the panel reaches as high as the cap then allows.
    #[serde(rename = "ceiling")]
    Ceiling,
}

/// How the floor of a storey is carried by the walls below it.
///
/// ```text
///   platform             hung
///   ║   panel            ║   panel
///   ╠═══════ deck        ╠═══════ deck = top of the caps below
///   │ joists │           ╟┐ joists hang inside the wall, from a ledger or hangers
///   ╞══╡ cap             ╞╡
///   ║                    ║
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum FloorKind {
    /// On the caps.
    #[default]
    #[serde(rename = "platform")]
    Platform,
    /// Inside the walls, its deck level with the caps.
    #[serde(rename = "hung")]
    Hung,
}

impl FloorKind {
    /// The word in `job.toml` and on sheets.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Platform => "platform",
            Self::Hung => "hung",
        }
    }
}

/// Which line of the architect's wall is held when panel and drawn wall differ in thickness.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum HeldFace {
    /// Outside face.
    #[default]
    #[serde(rename = "outside")]
    Outside,
    /// Inside face.
    #[serde(rename = "inside")]
    Inside,
    /// Centre line.
    #[serde(rename = "centre")]
    Centre,
}

/// What an interior wall is that is made of panels.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum InteriorUse {
    /// It carries.
    Bearing,
    /// It stands between two dwellings.
    Party,
    /// It carries nothing.
    Partition,
}

/// What differs on one storey.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JobStorey {
    /// Id or name as in the plan.
    pub storey: String,
    /// Wall height.
    pub wall_height: Option<Length>,
    /// Height of the deck above the lowest.
    pub floor: Option<Length>,
    /// Depth of the floor from the caps below to this deck.
    pub floor_depth: Option<Length>,
    /// How that floor is carried.
    pub floor_kind: Option<FloorKind>,
    /// Line of the job file.
    pub line: usize,
}

/// What differs on one wall.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JobWall {
    /// Id as in the plan.
    pub wall: String,
    /// Printed name, such as `South`.
    pub name: Option<String>,
    /// Wall height.
    pub wall_height: Option<Length>,
    /// How far its outer skin reaches below its panels.
    pub skin_drop: Option<Length>,
    /// Whether it bears; `None` for what is said of all walls.
    pub bears: Option<bool>,
    /// Assembly by name.
    pub assembly: Option<String>,
    /// Which line is held.
    pub hold: Option<HeldFace>,
    /// The layer whose line that is.
    pub hold_layer: Option<String>,
    /// Its layers from the outside in, name and thickness; empty for those of all walls.
    pub layers: Vec<(String, Length)>,
    /// What an interior wall is that is made of panels; `None`: framed on site, and not of this program.
    pub panels: Option<InteriorUse>,
    /// The top of its panels as points, along the outside face from the left corner and above the deck; empty for none.
    pub top: Vec<[Length; 2]>,
    /// The steps of its base: from where on, at which level above the deck; empty for none.
    pub base: Vec<[Length; 2]>,
    /// Rise of a gable's top in a run of 12 in.
    pub pitch: Option<Length>,
    /// Where the gable is highest, along the outside face; `None` for the middle.
    pub ridge: Option<Length>,
    /// From where to where along the outside face it is made of panels; `None` for from or to its corner.
    pub panelled: [Option<Length>; 2],
    /// Line of the job file.
    pub line: usize,
}

/// A panel that is no longer only on paper.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobPanel {
    /// Mark.
    pub mark: String,
    /// How far it is.
    pub status: PanelStatus,
    /// Line of the job file.
    pub line: usize,
}

/// How far a panel is; from `released` on it is locked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum PanelStatus {
    /// On paper.
    #[default]
    Open,
    /// Given to the plant.
    Released,
    /// Cut.
    Cut,
    /// On its way, or on site.
    Shipped,
}

impl PanelStatus {
    /// The word in `panels.json` and `job.toml`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Released => "released",
            Self::Cut => "cut",
            Self::Shipped => "shipped",
        }
    }
}

/// Which openings an entry is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OpeningMatch {
    /// One opening by its id.
    Id(String),
    /// All with a tag.
    Tag(String),
    /// All of a kind.
    Kind(crate::plan::OpeningKind),
}

/// What the job says about openings.
#[derive(Clone, Debug, PartialEq)]
pub struct JobOpening {
    /// Which.
    pub which: OpeningMatch,
    /// Unit width.
    pub width: Option<Length>,
    /// Unit height.
    pub height: Option<Length>,
    /// Rough width.
    pub rough_width: Option<Length>,
    /// Rough height.
    pub rough_height: Option<Length>,
    /// What its width as drawn on the plan is; `None`: as the plant has it for its kind.
    pub drawn: Option<DrawnWidth>,
    /// Rough sill above the deck.
    pub sill: Option<Length>,
    /// Rough head above the deck.
    pub head: Option<Length>,
    /// The member over it.
    pub header: Option<HeaderMember>,
    /// True where it runs into a corner and is to end at a post that stands there.
    pub corner_post: bool,
    /// Whether it is moved into line with the opening below that it nearly stands over; `None`: as the plant has it.
    pub in_line: Option<bool>,
    /// Line of the job file.
    pub line: usize,
}

/// Loads as stated; none is ever assumed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Loads {
    /// Ground snow load, psf.
    pub ground_snow_psf: Option<f64>,
    /// Ultimate design wind speed, mph.
    pub wind_mph: Option<f64>,
    /// Wind exposure category.
    pub exposure: Option<String>,
    /// Seismic design category.
    pub seismic: Option<String>,
    /// Width of the building square to its ridge, for the header table.
    pub building_width: Option<Length>,
    /// True when the tops of headers are braced sideways.
    pub is_header_braced: bool,
    /// Lines of bearing.
    pub bearing: Vec<BearingLine>,
}

/// A wall that carries roof or floor.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BearingLine {
    /// Wall id as in the plan.
    pub wall: String,
    /// What bears: free words, printed.
    pub carries: String,
    /// Which rows of the header table that is; `None` when the job does not say.
    pub supports: Option<super::Supports>,
    /// Line of the job file.
    pub line: usize,
}
