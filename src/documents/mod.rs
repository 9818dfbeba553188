//! Draws every document of a package: sheets, outlines, lists, data files, as names and bytes.
//!
//! ```text
//!   all models ──► DocumentSet { "sheets/Z-4101-W101.svg": bytes, "outlines/W101.dxf": bytes, "panels.json": bytes, … }
//! ```
//!
//! *Promises.* Same input, same bytes. Every dimension on a sheet comes from the model's exact lengths and is rounded only
//! when printed. A panel on HOLD never stands in `outlines/`.
//!
//! *Does not do.* Touching a disk: that is `cli`.

mod csv_table;
mod details;
mod digest;
mod elevation;
mod explain;
mod findings_json;
mod json_text;
mod key_plan;
mod lists;
mod manifest;
mod model;
mod outline_dxf;
mod panel_sheet;
mod panels_json;
pub mod paper;
mod plan_json;
mod plan_view;
mod trace;

pub use digest::sha256_hex;
pub use elevation::{ElevationInput, elevation_sheets};
pub use explain::{ExplainError, explain};
pub use findings_json::findings_json;
pub use json_text::json_text as pretty;
pub use key_plan::{KeyPlanInput, key_plan_sheets};
pub use lists::lists;
pub use model::{DocumentSet, InputFile, TitleFacts};
pub use outline_dxf::{outline_dxf, outline_files, outline_path};
pub use panel_sheet::{PanelSheetInput, panel_sheet, panel_sheet_number, panel_sheets};
pub use panels_json::panels_json;
pub use plan_json::plan_json;
pub use trace::{trace_files, trace_sheets};

use crate::building::Building;
use crate::drawing::Drawing;
use crate::fabrication::Fabrication;
use crate::findings::Finding;
use crate::layout::Layout;
use crate::plan::Plan;
use crate::rules::{Job, PlantRules};

/// A number to nine decimals: read back, it gives the same whole nanometre.
#[must_use]
pub fn nine(value: f64) -> f64 {
    let rounded = (value * 1e9).round() / 1e9;
    // No negative zero in files.
    if rounded == 0.0 { 0.0 } else { rounded }
}

/// What the trace is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct TraceModels<'a> {
    /// The drawings; empty for sketches.
    pub drawings: &'a [Drawing],
    /// The plan.
    pub plan: &'a Plan,
    /// The job.
    pub job: &'a Job,
    /// Date handed in, before the job's.
    pub date: Option<&'a str>,
    /// Findings of all rooms so far.
    pub findings: &'a [Finding],
}

/// What a package is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct Models<'a> {
    /// Drawings, plan, job, findings.
    pub trace: TraceModels<'a>,
    /// Walls.
    pub building: &'a Building,
    /// Where panels are.
    pub layout: &'a Layout,
    /// Their parts.
    pub fabrication: &'a Fabrication,
    /// The plant's rules.
    pub rules: &'a PlantRules,
    /// Every file read, for the manifest.
    pub inputs: &'a [&'a InputFile],
}

/// Recovery only: `plan.json`, `trace.svg`, `findings.json`.
#[must_use]
pub fn draw_trace(models: &TraceModels<'_>) -> DocumentSet {
    let mut documents = DocumentSet::default();
    documents.add("plan.json", plan_json(models.plan, models.findings));
    documents.add("findings.json", findings_json(models.findings));
    for (name, bytes) in trace_files(
        models.drawings,
        models.plan,
        models.findings,
        &title(models),
    ) {
        documents.add(name, bytes);
    }
    documents
}

/// Every document of a package.
#[must_use]
pub fn draw_documents(models: &Models<'_>) -> DocumentSet {
    let mut documents = draw_trace(&models.trace);
    let facts = title(&models.trace);
    let key_plans = key_plan_sheets(&KeyPlanInput {
        building: models.building,
        layout: models.layout,
        fabrication: models.fabrication,
        plan: models.trace.plan,
        rules: models.rules,
        facts: &facts,
        north_deg: models.trace.job.north_deg,
    });
    let panels = panel_sheets(&PanelSheetInput {
        building: models.building,
        layout: models.layout,
        fabrication: models.fabrication,
        rules: models.rules,
        facts: &facts,
        north_deg: models.trace.job.north_deg,
    });
    let elevations = elevation_sheets(&ElevationInput {
        building: models.building,
        layout: models.layout,
        fabrication: models.fabrication,
        rules: models.rules,
        facts: &facts,
    });
    for sheet in key_plans.iter().chain(&elevations).chain(&panels) {
        documents.add(format!("sheets/{}.svg", sheet.name), paper::to_svg(sheet));
    }
    documents.add(
        "panels.json",
        panels_json(
            models.building,
            models.layout,
            models.fabrication,
            models.rules,
        ),
    );
    documents
        .files
        .extend(outline_files(models.fabrication, models.rules));
    documents
        .files
        .extend(lists(models.building, models.fabrication, models.rules));
    let manifest = manifest::manifest(&documents, models.inputs);
    documents.add("manifest.json", manifest);
    documents
}

fn title(models: &TraceModels<'_>) -> TitleFacts {
    let job = models.job;
    let given = |value: &Option<String>| value.clone().unwrap_or_default();
    TitleFacts {
        project: given(&job.project),
        building: given(&job.name),
        number: given(&job.number),
        date: models.date.map_or_else(|| given(&job.date), str::to_owned),
        drawn_by: given(&job.drawn_by),
        revision: "0".to_owned(),
        program: format!("{} {}", env!("CARGO_PKG_NAME"), env!("CARGO_PKG_VERSION")),
    }
}
