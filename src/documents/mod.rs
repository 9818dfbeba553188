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

mod asked;
mod cad;
mod carried;
mod changes;
mod csv_table;
mod cutting;
mod details;
mod digest;
mod elevation;
mod explain;
mod findings_json;
mod general;
mod json_text;
mod key_plan;
mod labels;
mod left_out;
mod lists;
mod loading;
mod loads_json;
mod manifest;
mod model;
mod outline_dxf;
mod page;
mod panel_sheet;
mod panels_json;
pub mod paper;
pub mod pdf;
mod plan_json;
mod plan_view;
mod quote;
mod revised;
mod said;
mod set;
mod stock_json;
mod table_sheet;
mod trace;
mod workbook;

pub use carried::{carried_by, mark_line, mark_words};
pub use digest::sha256_hex;
pub use elevation::{ElevationInput, elevation_sheets};
pub use explain::{ExplainError, explain};
pub use findings_json::findings_json;
pub use json_text::json_text as pretty;
pub use key_plan::{KeyPlanInput, key_plan_sheets};
pub use labels::{LabelInput, label_pages};
pub use lists::lists;
pub use loads_json::loads_json;
pub(crate) use model::issue_in_words;
pub use model::{
    CarriedMark, DocumentSet, InputFile, IssueFacts, PanelNews, PdfFiles, Revision, Revisions,
    TitleFacts,
};
pub use outline_dxf::{blank_files, outline_dxf, outline_files, outline_path};
pub use panel_sheet::{PanelSheetInput, panel_sheet, panel_sheet_number, panel_sheets};
pub use panels_json::{PanelsFacts, panels_json};
pub use pdf::{PdfError, PdfFacts, to_pdf};
pub use plan_json::plan_json;
pub use quote::{QuoteInput, quote_json, quote_sheet, quote_text};
pub use said::said;
pub use set::{FiledSheet, package_id, sheet_set};
pub use stock_json::stock_json;
pub use trace::{trace_files, trace_sheets};
pub use workbook::workbook;

use crate::building::Building;
use crate::drawing::Drawing;
use crate::fabrication::Fabrication;
use crate::findings::Finding;
use crate::layout::Layout;
use crate::loads::LoadPlan;
use crate::plan::Plan;
use crate::rules::{Job, PlantRules, SheetRules, WallAxis};
use crate::side_by_side::side_by_side;
use crate::stock::{StockPlan, stock_text};
use std::collections::BTreeMap;

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
    /// Is what no wall came of named on the trace, and what is hidden shown there?
    pub names_unclaimed: bool,
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
    /// What they are cut from.
    pub stock: &'a StockPlan,
    /// Their trucks.
    pub loads: &'a LoadPlan,
    /// The plant's rules.
    pub rules: &'a PlantRules,
    /// What this issue takes over from the one before.
    pub issue: &'a IssueFacts,
    /// Every file read, for the manifest.
    pub inputs: &'a [&'a InputFile],
    /// Are PDF files wanted?
    pub pdf: PdfFiles,
}

impl<'a> Models<'a> {
    /// What elevations are drawn from.
    const fn elevations(&self, facts: &'a TitleFacts) -> ElevationInput<'a> {
        ElevationInput {
            building: self.building,
            layout: self.layout,
            fabrication: self.fabrication,
            rules: self.rules,
            facts,
            plan: self.trace.plan,
        }
    }
}

/// Recovery only: `plan.json`, `trace.svg`, `findings.json`.
#[must_use]
pub fn draw_trace(models: &TraceModels<'_>) -> DocumentSet {
    let mut documents = data_files(models);
    let mut shown;
    let mut drawings = models.drawings;
    if models.names_unclaimed {
        // Recovery has seen what is hidden as hidden; only the picture shows it.
        shown = drawings.to_vec();
        for source in shown.iter_mut().flat_map(|it| &mut it.sources) {
            source.is_hidden = false;
        }
        drawings = &shown;
    }
    for (name, bytes) in trace_files(
        drawings,
        models.plan,
        models.findings,
        &title(models),
        models.names_unclaimed,
    ) {
        documents.add(name, bytes);
    }
    documents
}

fn data_files(models: &TraceModels<'_>) -> DocumentSet {
    let mut documents = DocumentSet::default();
    documents.add(
        "plan.json",
        plan_json(models.plan, models.drawings, models.findings),
    );
    documents.add("findings.json", findings_json(models.findings));
    documents
}

/// A package as drawn.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawn {
    /// Its files.
    pub documents: DocumentSet,
    /// Its sheets, as they stand in the PDF.
    pub sheets: Vec<FiledSheet>,
}

/// Every document of a package.
///
/// # Errors
/// [`PdfError`] when the PDF or workbook cannot be written: a mistake of the program.
pub fn draw_documents(models: &Models<'_>) -> Result<Drawn, PdfError> {
    let mut documents = data_files(&models.trace);
    let facts = sheet_facts(models);
    let sheets = sheet_set(models, &facts);
    let files = side_by_side(&sheets, |it| {
        let kept = set::kept(models.issue, it).cloned();
        kept.unwrap_or_else(|| paper::to_svg(&it.sheet))
    });
    for (it, file) in sheets.iter().zip(files) {
        documents.add(it.path.as_str(), file);
    }
    documents.add(
        "panels.json",
        panels_json(
            models.building,
            models.layout,
            models.fabrication,
            models.rules,
            &PanelsFacts {
                job: models.trace.job,
                issue: models.issue,
                stock: models.stock,
            },
        ),
    );
    let (fabrication, stock) = (models.fabrication, models.stock);
    documents.add("stock.json", stock_json(stock, fabrication, models.rules));
    documents.add("leftovers.toml", stock_text(&stock.leftovers));
    let blanks = blank_files(stock, fabrication, models.rules);
    documents.files.extend(blanks);
    documents
        .files
        .extend(outline_files(fabrication, stock, models.rules));
    documents.add("loads.json", loads_json(models.loads, models.rules));
    documents.files.extend(lists(
        models.building,
        models.fabrication,
        models.loads,
        stock,
        models.rules,
    ));
    documents.add("index.html", page::page(models, &sheets, &facts));
    documents.files.extend(cad::cad_files(models, &facts));
    let book = workbook(&documents.files, &facts.date, &heading(&facts));
    let book = book.map_err(|error| PdfError::Workbook(error.to_string()))?;
    documents.add("lists/lists.xlsx", book);
    if models.pdf == PdfFiles::Written {
        let pages: Vec<&paper::Sheet> = sheets.iter().map(|it| &it.sheet).collect();
        let about = PdfFacts {
            title: heading(&facts),
            program: facts.program.clone(),
            id: facts.package.clone(),
        };
        documents.add("sheets.pdf", to_pdf(&pages, &about)?);
        let labels = label_pages(&LabelInput {
            building: models.building,
            fabrication: models.fabrication,
            loads: models.loads,
            rules: models.rules,
            facts: &facts,
        });
        let pages: Vec<&paper::Sheet> = labels.iter().collect();
        // A building of which no wall can be panelled has nothing to label.
        if !pages.is_empty() {
            let about = PdfFacts {
                title: format!("{}, labels", about.title),
                id: format!("{}-labels", about.id),
                ..about
            };
            documents.add("labels.pdf", to_pdf(&pages, &about)?);
        }
    }
    let manifest = manifest::manifest(
        &documents,
        (models.inputs, models.trace.job),
        (models.issue, &facts),
        models.fabrication,
    );
    documents.add("manifest.json", manifest);
    Ok(Drawn { documents, sheets })
}

/// What every sheet of a package says of it.
fn sheet_facts(models: &Models<'_>) -> TitleFacts {
    let mut facts = TitleFacts {
        revision: models.issue.number.to_string(),
        revisions: models.issue.revisions.sheets.clone(),
        sheets: models.rules.sheets,
        axis_reports: axis_reports(models.rules),
        ..title(&models.trace)
    };
    facts.package = package_id(models.inputs, &facts);
    facts
}

/// The sheets of all panels as they would be drawn now, whatever is kept: their paths in the package, and SVG.
#[must_use]
pub fn panel_sheets_as_now(models: &Models<'_>) -> BTreeMap<String, Vec<u8>> {
    let sheets = set::panel_sheets_of(models, &sheet_facts(models));
    let files = side_by_side(&sheets, |it| (it.path.clone(), paper::to_svg(&it.sheet)));
    files.into_iter().collect()
}

/// Building and job in a line.
fn heading(facts: &TitleFacts) -> String {
    let words = [facts.building.as_str(), facts.number.as_str()];
    let words: Vec<&str> = words.into_iter().filter(|it| !it.is_empty()).collect();
    if words.is_empty() {
        "Panels".to_owned()
    } else {
        words.join(", ")
    }
}

/// The reports under which the strength axis of wall panels may lie level.
fn axis_reports(rules: &PlantRules) -> String {
    let lines = rules.lines.iter();
    let lines = lines.filter(|it| it.wall_axis == WallAxis::Either);
    let words = lines.map(|it| format!("{} line: {}", it.name, it.report));
    words.collect::<Vec<_>>().join("; ")
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
        revisions: Vec::new(),
        package: String::new(),
        axis_reports: String::new(),
        program: format!("{} {}", env!("CARGO_PKG_NAME"), env!("CARGO_PKG_VERSION")),
        sheets: SheetRules::default(),
    }
}
