//! The commands. This is the only part that touches disk, prints, or knows the time.

mod args;
mod batch;
mod batch_report;
mod beside;
mod estimate;
mod issue;
mod marks;
mod place;
mod report;
mod verify;

use anyhow::{Context, Result};
use args::{Arguments, Command, Inputs, Make, Shared, Target, Trace};
use beside::{beside, earlier_plan};
use clap::Parser;
use issue::IssueBefore;
use panelwright::documents::{PdfFiles, findings_json};
use panelwright::drawing::{
    DrawingOptions, Reference, read_drawing, read_sketch, survey, survey_json,
};
use panelwright::findings::{Finding, Severity};
use panelwright::package::{self, InputFile, Made, MakeOptions, Shown};
use panelwright::review::{compare_packages, overlay_sheets, part_fates, parts_csv};
use panelwright::units::counted;
use panelwright::{documents, rules};
use place::{Place, Standing};
use report::Progress;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::ExitCode;

/// Nothing is on HOLD, every proof holds.
const COMPLETE: u8 = 0;
/// Written, but something is on HOLD or a proof failed.
const HELD: u8 = 1;
/// Refused, nothing written.
const REFUSED: u8 = 2;

/// A file that only this program leaves in a folder, for each kind of folder it writes.
const PACKAGE_FILES: &[&str] = &["manifest.json"];
const TRACE_FILES: &[&str] = &["plan.json"];
const COMPARISON_FILES: &[&str] = &["comparison.json"];

/// Parses the command line, runs the command, and turns the outcome into an exit code.
pub(crate) fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version are no errors to clap, and print to standard output.
            let code = if error.use_stderr() {
                REFUSED
            } else {
                COMPLETE
            };
            drop(error.print());
            return ExitCode::from(code);
        }
    };
    let shared = &arguments.shared;
    let outcome = match &arguments.command {
        Command::Make(make) => run_make(make, shared),
        Command::Batch(batch) => batch::run(batch, shared),
        Command::Trace(trace) => run_trace(trace, shared),
        Command::Estimate(estimate) => estimate::run(estimate, shared),
        Command::Survey { input } => run_survey(input, shared),
        Command::Verify { dir } => verify::run(dir, shared),
        Command::Explain { dir, mark } => run_explain(dir, mark),
        Command::Compare {
            old,
            new,
            out,
            replace,
        } => run_compare([old, new], out.as_deref(), *replace, shared),
        Command::Marks { dir, marked } => marks::run(dir, marked, shared),
        Command::New { dir } => run_new(dir),
        Command::Rules { schema, document } => run_rules(*schema, *document),
    };
    match outcome {
        Ok(code) => ExitCode::from(code),
        Err(error) => {
            report::refuse(&error);
            ExitCode::from(REFUSED)
        }
    }
}

fn run_make(make: &Make, shared: &Shared) -> Result<u8> {
    let mut progress = Progress::start(shared);
    let inputs = read_inputs(&make.read)?;
    let job = make.read.job.as_deref().map(read_input).transpose()?;
    let before = IssueBefore::read(
        make.revise.as_deref(),
        make.read.job.as_deref().zip(job.as_ref()),
    )?;
    before.refuse_early(&make.target.out, make.target.replace)?;
    let options = MakeOptions {
        job,
        rules: make.rules.as_deref().map(read_input).transpose()?,
        prices: make.prices.as_deref().map(read_input).transpose()?,
        stock: make.stock.as_deref().map(read_input).transpose()?,
        references: beside(&make.read.inputs, &inputs)?,
        earlier_plan: earlier_plan(make.read.job.as_deref())?,
        shown: Shown::Visible,
        date: make.date.clone(),
        earlier: before.files.clone(),
        alternatives: make.alternatives,
        pdf: pdf_files(make.no_pdf),
    };
    let place = claim(&make.target, PACKAGE_FILES)?;
    progress.done("reading");
    let made = package::make(&inputs, &options, &mut |room| progress.done(room))?;
    let kept = before.kept(&make.target.out, &made.documents.files)?;
    place.put(&made.documents.files, kept)?;
    progress.done("writing");
    progress.finish(make.target.timings);
    let summary = make_summary(&made, &make.target.out);
    report::report(
        shared,
        &made.findings,
        &findings_json(&made.findings),
        &summary,
    );
    Ok(if made.is_complete() { COMPLETE } else { HELD })
}

const fn pdf_files(are_left_out: bool) -> PdfFiles {
    if are_left_out {
        PdfFiles::LeftOut
    } else {
        PdfFiles::Written
    }
}

fn make_summary(made: &Made, out: &Path) -> String {
    let panels = &made.fabrication.panels;
    let n_held = panels.iter().filter(|panel| panel.is_held()).count();
    let weight: f64 = panels.iter().fold(0.0, |sum, panel| sum + panel.weight_lb);
    let held = match n_held {
        0 if panels.is_empty() && made.building.walls.is_empty() => "NOTHING CLOSED, so nothing was made: answer the faults PLAN-02 by \
            [[correction]] in job.toml or close the gaps in the drawing (trace.svg shows them), then make it again with --replace".to_owned(),
        0 => "none on HOLD".to_owned(),
        n => format!("{n} on HOLD"),
    };
    format!(
        "{}: {} in {}, {weight:.0} lb, {held}\n{}\n{}",
        out.display(),
        counted(panels.len(), "panel"),
        counted(made.layout.walls.len(), "wall"),
        made.proofs.summary(),
        severities(&made.findings)
    )
}

fn severities(findings: &[Finding]) -> String {
    let count = |severity| {
        findings
            .iter()
            .filter(|finding| finding.severity == severity)
            .count()
    };
    format!(
        "{}, {}, {}: see findings.json",
        counted(count(Severity::Fault), "fault"),
        counted(count(Severity::Doubt), "doubt"),
        counted(count(Severity::Note), "note")
    )
}

fn run_trace(trace: &Trace, shared: &Shared) -> Result<u8> {
    let mut progress = Progress::start(shared);
    let inputs = read_inputs(&trace.read)?;
    let job = trace.read.job.as_deref().map(read_input).transpose()?;
    let before = IssueBefore::read(
        trace.revise.as_deref(),
        trace.read.job.as_deref().zip(job.as_ref()),
    )?;
    let options = MakeOptions {
        job,
        earlier: before.files,
        references: beside(&trace.read.inputs, &inputs)?,
        earlier_plan: earlier_plan(trace.read.job.as_deref())?,
        shown: if trace.all {
            Shown::All
        } else {
            Shown::Visible
        },
        ..MakeOptions::default()
    };
    let place = claim(&trace.target, TRACE_FILES)?;
    progress.done("reading");
    let (documents, findings) = package::trace(&inputs, &options, &mut |room| progress.done(room))?;
    place.put(&documents.files, &[])?;
    progress.done("writing");
    progress.finish(trace.target.timings);
    let summary = format!(
        "{}: traced; {}",
        trace.target.out.display(),
        severities(&findings)
    );
    report::report(shared, &findings, &findings_json(&findings), &summary);
    Ok(
        if findings
            .iter()
            .any(|finding| finding.severity == Severity::Fault)
        {
            HELD
        } else {
            COMPLETE
        },
    )
}

fn run_survey(input: &Path, shared: &Shared) -> Result<u8> {
    let file = read_input(input)?;
    if file.is_sketch() {
        let sketch = read_sketch(&String::from_utf8_lossy(&file.bytes), &file.name)?.output;
        report::say(&format!(
            "{}: a sketch in words, {} and {} in inches; nothing has to be recovered from it",
            file.name,
            counted(sketch.walls.len(), "wall"),
            counted(sketch.openings.len(), "opening")
        ));
        return Ok(COMPLETE);
    }
    let found = beside(&[input.to_path_buf()], std::slice::from_ref(&file))?;
    let references: Vec<Reference<'_>> = found
        .iter()
        .map(|file| Reference {
            name: &file.name,
            bytes: &file.bytes,
        })
        .collect();
    let options = DrawingOptions {
        references: &references,
        ..DrawingOptions::default()
    };
    let read = read_drawing(&file.bytes, &file.name, &options)?;
    if shared.format == args::Format::Json {
        report::say(&documents::pretty(&survey_json(
            &read.output,
            &read.findings,
        )));
    } else {
        report::say(&survey(&read.output, &read.findings));
    }
    Ok(COMPLETE)
}

fn run_explain(dir: &Path, mark: &str) -> Result<u8> {
    let path = dir.join("panels.json");
    let bytes = fs::read(&path).with_context(|| {
        format!(
            "{}: is no package: panels.json cannot be read",
            dir.display()
        )
    })?;
    let panels = String::from_utf8_lossy(&bytes);
    let findings = fs::read(dir.join("findings.json")).unwrap_or_default();
    let text = documents::explain(&panels, &String::from_utf8_lossy(&findings), mark)
        .with_context(|| format!("{}", dir.display()))?;
    report::say(&text);
    Ok(COMPLETE)
}

fn run_compare(
    [old, new]: [&Path; 2],
    out: Option<&Path>,
    replace: bool,
    shared: &Shared,
) -> Result<u8> {
    let compared = compare_packages(&read_package(old)?, &read_package(new)?)
        .with_context(|| format!("{} and {}", old.display(), new.display()))?;
    report::say(&match shared.format {
        args::Format::Text => compared.text(),
        args::Format::Json => documents::pretty(&compared.table()),
    });
    if let Some(out) = out {
        let place = claim_at(out, replace, COMPARISON_FILES)?;
        let parts = part_fates(&compared);
        let mut files: BTreeMap<String, Vec<u8>> = overlay_sheets(&compared)
            .iter()
            .map(|sheet| {
                (
                    format!("{}.svg", sheet.name),
                    documents::paper::to_svg(sheet),
                )
            })
            .collect();
        files.insert("parts.csv".to_owned(), parts_csv(&parts));
        let table = documents::pretty(&compared.table());
        files.insert("comparison.json".to_owned(), table.into_bytes());
        place.put(&files, &[])?;
    }
    Ok(COMPLETE)
}

/// All files of a package.
fn read_package(dir: &Path) -> Result<BTreeMap<String, Vec<u8>>> {
    let mut files = BTreeMap::new();
    verify::read_folder(dir, "", 0, &mut files)?;
    if !files.contains_key("manifest.json") {
        anyhow::bail!("{}: is no package: it has no manifest.json", dir.display());
    }
    Ok(files)
}

fn run_new(dir: &Path) -> Result<u8> {
    fs::create_dir_all(dir).with_context(|| format!("{}: cannot be made", dir.display()))?;
    let files = [
        ("job.toml", rules::new_job_text()),
        ("plant.toml", rules::default_rules_text()),
    ];
    for (name, _) in &files {
        let path = dir.join(name);
        if path.exists() {
            anyhow::bail!(
                "{}: stands there already; nothing was written",
                path.display()
            );
        }
    }
    for (name, text) in &files {
        let path = dir.join(name);
        fs::write(&path, text).with_context(|| format!("{}: cannot be written", path.display()))?;
    }
    report::say(&format!(
        "{0}: job.toml and plant.toml started; put plan.dxf beside them, then\n  panelwright make {0}/plan.dxf --job {0}/job.toml --rules {0}/plant.toml --out {0}/package",
        dir.display()
    ));
    Ok(COMPLETE)
}

fn run_rules(schema: bool, document: bool) -> Result<u8> {
    if schema {
        let schemas: BTreeMap<&str, serde_json::Value> = [
            ("plant.toml", rules::rules_schema()),
            ("job.toml", rules::job_schema()),
            ("sketch.toml", panelwright::drawing::sketch_schema()),
            ("prices.toml", rules::prices_schema()),
            ("stock.toml", panelwright::stock::stock_schema()),
        ]
        .into();
        report::say(&documents::pretty(&schemas));
    } else if document {
        report::say(&rules::rules_document());
    } else {
        report::say(rules::default_rules_text());
    }
    Ok(COMPLETE)
}

fn claim(target: &Target, ours: &[&str]) -> Result<Place> {
    claim_at(&target.out, target.replace, ours)
}

fn claim_at(out: &Path, replace: bool, ours: &[&str]) -> Result<Place> {
    Place::claim(
        out,
        if replace {
            Standing::Replaced
        } else {
            Standing::Refused
        },
        ours,
    )
}

fn read_inputs(read: &Inputs) -> Result<Vec<InputFile>> {
    read.inputs.iter().map(|path| read_input(path)).collect()
}

pub(super) fn read_input(path: &Path) -> Result<InputFile> {
    if path.is_dir() {
        anyhow::bail!("{}: is a folder; name the file in it", path.display());
    }
    let bytes = fs::read(path).with_context(|| format!("{}: cannot be read", path.display()))?;
    Ok(InputFile {
        name: path.to_string_lossy().into_owned(),
        bytes,
    })
}
