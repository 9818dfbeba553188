//! `plant.toml` as it is written: every key optional, because a plant's file only says what it changes.
//!
//! What a key means, its unit and its source stand in the files of `plant/`, once, and are put into the schema from there.

use super::alignment::AlignmentFile;
use super::assembly::{StrengthAxis, WallAxisWord};
use super::cost::CostFile;
use super::dispatch::{LabelsFile, PressFile, ShippingFile, ThermalFile};
use super::piers::PiersFile;
use super::plant::{
    BuckConvention, CapAtTees, ChaseMade, CornerTreatment, DrawnWidth, Face, OddCorner, SawUnit,
    SawVersion, SectionMaterial, SoleAtDoors, TeeStud,
};
use super::points::PointsFile;
use super::quoting::QuoteFile;
use super::sip_headers::SipHeadersFile;
use super::splines::{ClosingSpline, SplineKind, SplinesFile};
use super::stock::StockFile;
use super::value::HeaderValue;
use crate::toml_text::{At, LengthValue};
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;

/// A key that may be left out, with its place in the file.
pub(super) type Key<T> = Option<At<T>>;
/// A length that may be left out.
pub(super) type LengthKey = Key<LengthValue>;

/// Plant rules for panelwright.
#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PlantFile {
    pub(super) name: Key<String>,
    pub(super) grid: LengthKey,
    pub(super) default_assembly: Key<String>,
    pub(super) default_wall_height: LengthKey,
    pub(super) assemblies: Key<Vec<At<AssemblyFile>>>,
    pub(super) lines: Key<Vec<At<LineFile>>>,
    #[serde(default)]
    pub(super) drawn_lines: super::drawn_lines::DrawnLinesFile,
    #[serde(default)]
    pub(super) joints: JointsFile,
    #[serde(default)]
    pub(super) piers: PiersFile,
    #[serde(default)]
    pub(super) points: PointsFile,
    #[serde(default)]
    pub(super) quote: QuoteFile,
    #[serde(default)]
    pub(super) sip_headers: SipHeadersFile,
    #[serde(default)]
    pub(super) plates: PlatesFile,
    #[serde(default)]
    pub(super) recesses: RecessesFile,
    #[serde(default)]
    pub(super) splines: SplinesFile,
    #[serde(default)]
    pub(super) corners: CornersFile,
    #[serde(default)]
    pub(super) fixings: FixingsFile,
    #[serde(default)]
    pub(super) openings: OpeningsFile,
    #[serde(default)]
    pub(super) chases: ChasesFile,
    #[serde(default)]
    pub(super) nailers: super::nailers::NailersFile,
    #[serde(default)]
    pub(super) lumber: LumberFile,
    #[serde(default)]
    pub(super) lifts: LiftsFile,
    #[serde(default)]
    pub(super) saw: SawFile,
    #[serde(default)]
    pub(super) stock: StockFile,
    #[serde(default)]
    pub(super) press: PressFile,
    #[serde(default)]
    pub(super) labels: LabelsFile,
    #[serde(default)]
    pub(super) shipping: ShippingFile,
    #[serde(default)]
    pub(super) thermal: ThermalFile,
    #[serde(default)]
    pub(super) sheets: super::sheets::SheetsFile,
    #[serde(default)]
    pub(super) site_goods: super::site_goods::SiteGoodsFile,
    #[serde(default)]
    pub(super) alignment: AlignmentFile,
    #[serde(default)]
    pub(super) cost: CostFile,
    #[serde(default)]
    pub(super) revisions: super::revisions::RevisionsFile,
    #[serde(default)]
    pub(super) scope: ScopeFile,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AssemblyFile {
    /// Name, as jobs give it.
    pub(super) name: At<String>,
    /// Thickness of the foam.
    pub(super) core: At<LengthValue>,
    /// Thickness of the outer skin; 0 where that face is bare.
    pub(super) outer_skin: At<LengthValue>,
    /// Thickness of the inner skin; 0 where that face is bare.
    pub(super) inner_skin: At<LengthValue>,
    /// Section of plates, studs and bucks that go into the core.
    pub(super) lumber: At<String>,
    /// Material of both skins, as printed.
    pub(super) skin_material: Key<String>,
    /// Material of the outer skin where it is another.
    pub(super) outer_skin_material: Key<String>,
    /// Material of the inner skin where it is another.
    pub(super) inner_skin_material: Key<String>,
    /// Material of the core, as printed.
    pub(super) core_material: At<String>,
    /// Weight of the foam, pounds per cubic foot.
    pub(super) core_density: At<f64>,
    /// Weight of both skins, pounds per cubic foot.
    pub(super) skin_density: Key<f64>,
    /// Weight of the outer skin where it is another.
    pub(super) outer_skin_density: Key<f64>,
    /// Weight of the inner skin where it is another.
    pub(super) inner_skin_density: Key<f64>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LineFile {
    /// Name, as printed.
    pub(super) name: At<String>,
    /// Width of a blank, across the line.
    pub(super) width: At<LengthValue>,
    /// Greatest length of a blank.
    pub(super) length: At<LengthValue>,
    /// Trim taken off every edge of a blank.
    pub(super) trim: At<LengthValue>,
    /// Which way the boards' strong direction runs on the blank.
    pub(super) strength_axis: At<StrengthAxis>,
    /// Which way that axis may stand in walls.
    pub(super) wall_axis: Key<WallAxisWord>,
    /// The evaluation report that covers walls whose axis is level.
    pub(super) report: Key<String>,
    /// True when blanks are made as long as what is cut from them; false when left out.
    pub(super) made_to_length: Key<bool>,
    /// Cost of each panel of this line, cents.
    pub(super) panel_cents: At<i64>,
    /// Cost of each square foot of blank used up, cents.
    pub(super) blank_sq_ft_cents: At<i64>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct JointsFile {
    pub(super) gap: LengthKey,
    pub(super) spline: Key<SplineKind>,
    pub(super) closing: Key<ClosingSpline>,
    pub(super) liner_spline: Key<SplineKind>,
    pub(super) least_panel: LengthKey,
    pub(super) preferred_panel: LengthKey,
    pub(super) from_opening: LengthKey,
    pub(super) from_opening_preferred: LengthKey,
    pub(super) from_tee: LengthKey,
    pub(super) from_step: LengthKey,
    pub(super) from_point_load: LengthKey,
    pub(super) site_tolerance: LengthKey,
    pub(super) make_up: LengthKey,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PlatesFile {
    pub(super) thickness: LengthKey,
    pub(super) stock_lengths: Key<Vec<At<LengthValue>>>,
    pub(super) joint_offset: LengthKey,
    pub(super) least_piece: LengthKey,
    pub(super) sole_at_doors: Key<SoleAtDoors>,
    pub(super) has_cap: Key<bool>,
    pub(super) cap_at_tees: Key<CapAtTees>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RecessesFile {
    pub(super) plate: LengthKey,
    pub(super) end_stud: LengthKey,
    pub(super) buck: LengthKey,
    pub(super) seat: LengthKey,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CornersFile {
    pub(super) screw_spacing: LengthKey,
    pub(super) screw_bite: LengthKey,
    pub(super) odd: Key<OddCorner>,
    pub(super) tee: Key<TeeStud>,
    pub(super) tee_least_angle: Key<f64>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct FixingsFile {
    pub(super) nail: Key<String>,
    pub(super) nail_spacing: LengthKey,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct OpeningsFile {
    pub(super) buck: Key<BuckConvention>,
    pub(super) whole_up_to: LengthKey,
    pub(super) least_leg: LengthKey,
    pub(super) door_bridge: LengthKey,
    #[serde(default)]
    pub(super) drawn_width: DrawnWidthFile,
    #[serde(default)]
    pub(super) allowances: AllowancesFile,
    #[serde(default)]
    pub(super) sizes: SizesFile,
    pub(super) headers: Key<Vec<At<HeaderFile>>>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct DrawnWidthFile {
    pub(super) door: Key<DrawnWidth>,
    pub(super) window: Key<DrawnWidth>,
    pub(super) opening: Key<DrawnWidth>,
    pub(super) garage_door: Key<DrawnWidth>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AllowancesFile {
    pub(super) door: Key<AllowanceFile>,
    pub(super) window: Key<AllowanceFile>,
    pub(super) opening: Key<AllowanceFile>,
    pub(super) garage_door: Key<AllowanceFile>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AllowanceFile {
    /// Added to the unit's width.
    pub(super) width: At<LengthValue>,
    /// Added to the unit's height.
    pub(super) height: At<LengthValue>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SizesFile {
    pub(super) door: Key<SizeFile>,
    pub(super) window: Key<SizeFile>,
    pub(super) opening: Key<SizeFile>,
    pub(super) garage_door: Key<SizeFile>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SizeFile {
    /// Height of the unit.
    pub(super) height: At<LengthValue>,
    /// Rough head above the deck.
    pub(super) head: LengthKey,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct HeaderFile {
    /// Greatest rough width it serves.
    pub(super) up_to: At<LengthValue>,
    /// The member.
    pub(super) member: At<HeaderValue>,
    /// Jack studs at each end.
    pub(super) jacks: At<u32>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ChasesFile {
    pub(super) diameter: LengthKey,
    pub(super) horizontal: Key<Vec<At<LengthValue>>>,
    pub(super) vertical_from_joint: LengthKey,
    pub(super) vertical_spacing: LengthKey,
    pub(super) vertical_least: LengthKey,
    pub(super) from_latch: LengthKey,
    pub(super) clear_of_lumber: LengthKey,
    pub(super) box_depth: LengthKey,
    pub(super) made: Key<ChaseMade>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LumberFile {
    pub(super) grade: Key<String>,
    pub(super) density: Key<f64>,
    pub(super) lvl_grade: Key<String>,
    pub(super) lvl_density: Key<f64>,
    #[serde(default)]
    pub(super) sections: BTreeMap<String, At<SectionFile>>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SectionFile {
    /// Thinner side, dressed.
    pub(super) thickness: At<LengthValue>,
    /// Wider side, dressed.
    pub(super) width: At<LengthValue>,
    /// Nominal thickness, inches, for board feet.
    pub(super) nominal_thickness: At<u32>,
    /// Nominal width, inches, for board feet.
    pub(super) nominal_width: At<u32>,
    /// Sawn lumber, unless it says otherwise.
    pub(super) material: Key<SectionMaterial>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LiftsFile {
    pub(super) hand_limit: Key<f64>,
    pub(super) forklift_limit: Key<f64>,
    pub(super) pick_half_spacing: LengthKey,
    pub(super) pick_below_top: LengthKey,
    pub(super) greatest_weight: Key<f64>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SawFile {
    pub(super) unit: Key<SawUnit>,
    pub(super) version: Key<SawVersion>,
    pub(super) face_up: Key<Face>,
    pub(super) corners: Key<CornerTreatment>,
    pub(super) tool_radius: LengthKey,
    #[serde(default)]
    pub(super) layers: LayersFile,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct LayersFile {
    pub(super) outline: Key<String>,
    pub(super) opening: Key<String>,
    pub(super) under: Key<String>,
    pub(super) recess: Key<String>,
    pub(super) slot: Key<String>,
    pub(super) chase: Key<String>,
    pub(super) mark: Key<String>,
    pub(super) note: Key<String>,
    pub(super) blank: Key<String>,
    pub(super) cut: Key<String>,
    pub(super) offcut: Key<String>,
    pub(super) core_joint: Key<String>,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ScopeFile {
    pub(super) source: Key<String>,
    pub(super) wall_height: LengthKey,
    pub(super) building_length: LengthKey,
    pub(super) building_width: LengthKey,
    pub(super) storeys: Key<u32>,
    pub(super) ground_snow_psf: Key<f64>,
    pub(super) wind_mph_exposure_b: Key<f64>,
    pub(super) wind_mph_exposure_c: Key<f64>,
    pub(super) horizontal_chases: Key<u32>,
    pub(super) seismic: Key<Vec<At<String>>>,
    pub(super) thicknesses: Key<Vec<At<LengthValue>>>,
}
