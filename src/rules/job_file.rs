//! `job.toml` as it is written. What its keys mean stands in `new_job.toml`, once.

use super::header_table::Supports;
use super::job::{FloorKind, HeightTo, HeldFace, InteriorUse, Issue, PanelStatus};
use super::job_corrections::CorrectionFile;
use super::job_layout::LayoutFile;
use super::plant::DrawnWidth;
use super::plant_file::{Key, LengthKey};
use super::value::HeaderValue;
use crate::toml_text::{At, LengthValue};
use schemars::JsonSchema;
use serde::Deserialize;

/// A job for panelwright.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct JobFile {
    pub(super) name: Key<String>,
    pub(super) number: Key<String>,
    pub(super) project: Key<String>,
    pub(super) date: Key<String>,
    pub(super) drawn_by: Key<String>,
    pub(super) issue: Key<Issue>,
    pub(super) north: Key<NorthValue>,
    pub(super) unit: Key<UnitWord>,
    pub(super) assembly: Key<String>,
    pub(super) corrected_plan: Key<String>,
    pub(super) revises: Key<String>,
    #[serde(default)]
    pub(super) wall: WallsFile,
    #[serde(default)]
    pub(super) storey: Vec<At<StoreyFile>>,
    #[serde(default)]
    pub(super) opening: Vec<At<OpeningFile>>,
    #[serde(default)]
    pub(super) layout: Vec<At<LayoutFile>>,
    #[serde(default)]
    pub(super) panel: Vec<At<PanelFile>>,
    #[serde(default)]
    pub(super) loads: LoadsFile,
    #[serde(default)]
    pub(super) correction: Vec<At<CorrectionFile>>,
}

/// Where north is: a word or a bearing.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
#[serde(untagged)]
pub(super) enum NorthValue {
    /// `up`, `right`, `down` or `left`.
    Word(String),
    /// Compass bearing of the sheet's upward direction, degrees.
    Degrees(f64),
}

/// A unit of length.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum UnitWord {
    Inch,
    Foot,
    Mm,
    Cm,
    M,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WallsFile {
    pub(super) height: LengthKey,
    pub(super) to: Key<HeightTo>,
    pub(super) skin_drop: LengthKey,
    pub(super) bears: Key<bool>,
    pub(super) hold: Key<HeldFace>,
    pub(super) hold_layer: Key<String>,
    #[serde(default)]
    pub(super) layers: Vec<At<(String, LengthValue)>>,
    pub(super) drawn_line: Key<HeldFace>,
    pub(super) drawn_thickness: LengthKey,
    pub(super) drawn_partition: LengthKey,
    #[serde(default)]
    pub(super) nailers: Vec<At<super::nailers::DrawnWord>>,
    pub(super) ledger_height: LengthKey,
    #[serde(default)]
    pub(super) only: Vec<At<WallFile>>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct WallFile {
    /// Id as in the plan.
    pub(super) id: At<String>,
    /// Printed name, such as `South`.
    pub(super) name: Key<String>,
    /// Wall height.
    pub(super) height: LengthKey,
    /// How far its outer skin reaches below its panels.
    pub(super) skin_drop: LengthKey,
    /// False where something else carries in its place.
    pub(super) bears: Key<bool>,
    /// Assembly by name.
    pub(super) assembly: Key<String>,
    /// Which line is held.
    pub(super) hold: Key<HeldFace>,
    /// The layer whose line is held.
    pub(super) hold_layer: Key<String>,
    /// Layers from the outside in: name and thickness.
    #[serde(default)]
    pub(super) layers: Vec<At<(String, LengthValue)>>,
    /// An interior wall is made of panels: "bearing", "party" or "partition".
    pub(super) panels: Key<InteriorUse>,
    /// Where its panels begin, along the wall.
    pub(super) from: LengthKey,
    /// Where they end.
    pub(super) to: LengthKey,
    /// Points of the top of its panels: along the wall, above the deck.
    #[serde(default)]
    pub(super) top: Vec<At<[LengthValue; 2]>>,
    /// Steps of its base: from where on, at which level.
    #[serde(default)]
    pub(super) base: Vec<At<[LengthValue; 2]>>,
    /// Rise of a gable in a run of 12 in.
    pub(super) pitch: LengthKey,
    /// Where the gable is highest, along the wall.
    pub(super) ridge: LengthKey,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct StoreyFile {
    /// Id or title as in the plan.
    pub(super) id: At<String>,
    /// Height of its walls.
    pub(super) height: LengthKey,
    /// Its deck above the lowest deck.
    pub(super) floor: LengthKey,
    /// Depth of its floor, from the caps below to its deck.
    pub(super) floor_depth: LengthKey,
    /// How its floor is carried.
    pub(super) floor_kind: Key<FloorKind>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct OpeningFile {
    /// One opening by its id in the plan.
    pub(super) id: Key<String>,
    /// All openings with this tag or call-out.
    pub(super) tag: Key<String>,
    /// All openings of this kind.
    pub(super) kind: Key<KindWord>,
    /// Unit width.
    pub(super) width: LengthKey,
    /// Unit height.
    pub(super) height: LengthKey,
    /// Rough width.
    pub(super) rough_width: LengthKey,
    /// Rough height.
    pub(super) rough_height: LengthKey,
    /// What its width as drawn on the plan is.
    pub(super) drawn: Key<DrawnWidth>,
    /// Rough sill above the deck.
    pub(super) sill: LengthKey,
    /// Rough head above the deck.
    pub(super) head: LengthKey,
    /// The member over it.
    pub(super) header: Key<HeaderValue>,
    /// True: where it runs into a corner a post stands there.
    pub(super) corner_post: Key<bool>,
    /// True: moved into line with the opening below that it nearly stands over; false: left.
    pub(super) in_line: Key<bool>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PanelFile {
    /// Mark of the panel.
    pub(super) mark: At<String>,
    /// How far it is.
    pub(super) status: At<PanelStatus>,
}

/// What an opening is.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub(super) enum KindWord {
    Door,
    Window,
    Opening,
    GarageDoor,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LoadsFile {
    pub(super) ground_snow_psf: Key<f64>,
    pub(super) wind_mph: Key<f64>,
    pub(super) exposure: Key<String>,
    pub(super) seismic: Key<String>,
    pub(super) building_width: LengthKey,
    pub(super) header_braced: Key<bool>,
    #[serde(default)]
    pub(super) bearing: Vec<At<BearingFile>>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct BearingFile {
    /// Wall id as in the plan.
    pub(super) wall: At<String>,
    /// What bears, in words.
    pub(super) carries: At<String>,
    /// Which rows of the header table that is.
    pub(super) supports: Key<Supports>,
}
