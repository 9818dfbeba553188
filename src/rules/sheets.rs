//! How sheets are drawn, as rules: paper and scales.

use super::checks::Checks;
use super::plant_file::Key;
use schemars::JsonSchema;
use serde::Deserialize;

/// Paper and scales of the sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SheetRules {
    /// Paper of plans, elevations, details, schedules and the cover. Default: ARCH D.
    pub plans: PlanPaper,
    /// Paper of the sheet of each panel. Default: ANSI B.
    pub panels: PanelPaper,
    /// Paper of cutting sheets and load sheets. Default: ANSI B.
    pub shop: PlanPaper,
    /// Which list of scales is drawn at. Default: imperial.
    pub scales: ScaleList,
}

impl Default for SheetRules {
    fn default() -> Self {
        Self {
            plans: PlanPaper::default(),
            panels: PanelPaper::default(),
            shop: PlanPaper::AnsiB,
            scales: ScaleList::default(),
        }
    }
}

/// Paper for plans and all else that shows the whole building, and for the shop.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum PlanPaper {
    /// 11 × 17 in.
    #[serde(rename = "ANSI B")]
    AnsiB,
    /// 297 × 420 mm.
    A3,
    /// 22 × 34 in.
    #[serde(rename = "ANSI D")]
    AnsiD,
    /// 18 × 24 in.
    #[serde(rename = "ARCH C")]
    ArchC,
    /// 24 × 36 in.
    #[default]
    #[serde(rename = "ARCH D")]
    ArchD,
    /// 594 × 841 mm.
    A1,
}

/// Paper for the sheet of one panel.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum PanelPaper {
    /// 11 × 17 in, landscape, with sections.
    #[default]
    #[serde(rename = "ANSI B")]
    AnsiB,
    /// 297 × 420 mm, landscape, with sections.
    A3,
    /// 8 1/2 × 11 in, upright: a ticket, its sections on the detail sheets.
    #[serde(rename = "Letter")]
    Letter,
    /// 210 × 297 mm, upright: a ticket, its sections on the detail sheets.
    A4,
}

/// A list of standard scales.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum ScaleList {
    /// Those of an architect's scale: 3/4" = 1'-0".
    #[default]
    #[serde(rename = "imperial")]
    Imperial,
    /// Those of ISO 5455: 1:20.
    #[serde(rename = "metric")]
    Metric,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SheetsFile {
    plans: Key<PlanPaper>,
    panels: Key<PanelPaper>,
    shop: Key<PlanPaper>,
    scales: Key<ScaleList>,
}

/// Takes over what the group gives.
pub(super) fn apply_sheets(file: &SheetsFile, to: &mut SheetRules) {
    Checks::take(&mut to.plans, &file.plans);
    Checks::take(&mut to.panels, &file.panels);
    Checks::take(&mut to.shop, &file.shop);
    Checks::take(&mut to.scales, &file.scales);
}
