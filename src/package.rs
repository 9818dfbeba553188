//! The whole line in one place: bytes of drawings, job and rules in, a proved set of files out.
//!
//! ```text
//!   read_drawing → recover_plan → raise_revised → lay_out → fabricate → draw_documents
//! ```
//!
//! *Promises.* Every room's findings are collected in order; nothing is written.
//!
//! *Does not do.* Files, clocks, printing: `cli` hands bytes in and puts files in place.

mod drawable;
mod earlier;

use crate::building::Building;
pub use crate::documents::InputFile;
use crate::documents::{
    DocumentSet, FiledSheet, IssueFacts, PanelsFacts, PdfError, PdfFiles, TraceModels,
    draw_documents, draw_trace, panel_sheets_as_now, panels_json, sha256_hex,
};
use crate::drawing::{
    Drawing, DrawingError, DrawingOptions, Reference, Sketch, holdings, read_as_one, read_drawing,
    read_sketch,
};
use crate::fabrication::{FabricateOptions, Fabrication, Hold, fabricate};
use crate::findings::{Finding, Outcome, Severity, parted};
use crate::layout::{Layout, LayoutOptions, beside_free, lay_out, options_of_job};
use crate::loads::plan_loads;
use crate::plan::{
    EarlierPlanError, Plan, all_close, closes, correct_sketches, plan_from_sketches,
    read_earlier_plan, recover_plan,
};
use crate::review::{
    self, Issued, IssuedError, MarksError, News, PanelFate, ReviewLog, carried_marks, carry_marks,
    draw_anew, heed_issue, input_news, judge, next_review, plan_news, raise_revised,
    uncompared_panels, unknown_panels, why_drawn_anew,
};
use crate::rules::{Job, PlantRules, RulesError, read_job, read_prices, read_rules};
use crate::stock::{Leftovers, StockPlan, plan_stock, read_stock};
use crate::units::is_date;
use crate::verify::{VerifyError, VerifyReport, verify_package};
use drawable::Drawable;
use earlier::{entries_on_this_plan, known_earlier, of_the_plan};
use std::collections::{BTreeMap, BTreeSet};

/// Everything a run reads besides the drawings.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MakeOptions {
    /// The job file. Default: none, every default is a finding.
    pub job: Option<InputFile>,
    /// The plant's rules. Default: the documented ones.
    pub rules: Option<InputFile>,
    /// The price book that layouts and waste are priced by. Default: none, the weights of the rules.
    pub prices: Option<InputFile>,
    /// Date printed on sheets, before the job's. Default: none.
    pub date: Option<String>,
    /// What earlier jobs left over. Default: nothing.
    pub stock: Option<InputFile>,
    /// The files of the issue before, whose marks are kept. Default: none, this is the first issue.
    pub earlier: Option<BTreeMap<String, Vec<u8>>>,
    /// The earlier `plan.json` that the job names as the one its corrections were made on. Default: none.
    pub earlier_plan: Option<InputFile>,
    /// What stands beside the drawings and is referred to by them. Default: nothing.
    pub references: Vec<InputFile>,
    /// What the trace shows of the drawing. Default: what the architect's own print shows.
    pub shown: Shown,
    /// How many truly different layouts of each wall to list. Default: none.
    pub alternatives: usize,
    /// Are PDF files wanted? Default: yes.
    pub pdf: PdfFiles,
}

/// What a trace shows of the architect's drawing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Shown {
    /// What is visible.
    #[default]
    Visible,
    /// What is frozen, switched off or invisible too.
    All,
}

/// Why a run has nothing to hand on.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MakeError {
    /// A drawing or sketch cannot be read.
    #[error(transparent)]
    Drawing(#[from] DrawingError),
    /// The rules or the job cannot be read.
    #[error(transparent)]
    Rules(#[from] RulesError),
    /// The plan on which the corrections were made cannot be read.
    #[error(transparent)]
    EarlierPlan(#[from] EarlierPlanError),
    /// The plan on which the corrections were made is not at hand.
    #[error(
        "{job}: corrected_plan names '{plan}', which was not found; put it there, or take the key out"
    )]
    NoEarlierPlan {
        /// The job file.
        job: String,
        /// The path it names.
        plan: String,
    },
    /// Drawings and sketches were given together.
    #[error("{0}: a sketch and a drawing cannot be mixed; give drawings only or sketches only")]
    Mixed(String),
    /// No wall was found.
    #[error("{file}: no walls were found; {reason}")]
    NoWalls {
        /// The first input.
        file: String,
        /// What was seen instead, and what to do.
        reason: String,
    },
    /// The earlier issue is no package.
    #[error("--revise: {0}")]
    Earlier(#[from] IssuedError),
    /// The marks on the earlier issue cannot be read.
    #[error("--revise: {0}")]
    Marks(#[from] MarksError),
    /// The package made cannot even be read back: a mistake of the program.
    #[error("the package cannot be proved: {0}")]
    Unprovable(#[from] VerifyError),
    /// The PDF cannot be written: a mistake of the program.
    #[error(transparent)]
    Pdf(#[from] PdfError),
    /// The date is not `YYYY-MM-DD`.
    #[error("--date {0}: is not a date; write YYYY-MM-DD")]
    Date(String),
}

/// What was read and recovered.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Traced {
    /// The drawings, in the order given; empty for sketches.
    pub drawings: Vec<Drawing>,
    /// The job, or its defaults.
    pub job: Job,
    /// The plan.
    pub plan: Plan,
}

/// A package before it is written.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Made {
    /// Its files.
    pub documents: DocumentSet,
    /// Its sheets as drawn.
    pub sheets: Vec<FiledSheet>,
    /// All findings of all rooms and proofs.
    pub findings: Vec<Finding>,
    /// The building.
    pub building: Building,
    /// Where its panels are.
    pub layout: Layout,
    /// Their parts.
    pub fabrication: Fabrication,
    /// What they are cut from.
    pub stock: StockPlan,
    /// What was proved of the files.
    pub proofs: VerifyReport,
    /// What became of the panels of the issue before; empty at a first issue.
    pub fates: Vec<PanelFate>,
}

impl Made {
    /// True when every panel may be cut and every proof holds.
    #[must_use]
    pub fn is_complete(&self) -> bool {
        self.findings
            .iter()
            .all(|finding| finding.severity != Severity::Fault)
            && self.fabrication.panels.iter().all(|panel| !panel.is_held())
    }
}

/// Recovery only: `plan.json`, `trace.svg`, `findings.json`.
///
/// - `done`: called with the name of each room as it finishes.
///
/// # Errors
/// [`MakeError`] when there is nothing to hand on.
pub fn trace(
    inputs: &[InputFile],
    options: &MakeOptions,
    done: &mut dyn FnMut(&str),
) -> Result<(DocumentSet, Vec<Finding>), MakeError> {
    let mut findings = Vec::new();
    // What the rules are is of no matter to a trace, but for what they take single lines for.
    let rules = plant_rules(options)?.output;
    let traced = read_and_recover(inputs, (options, &rules), &mut findings, done)?;
    let documents = draw_trace(&TraceModels {
        drawings: &traced.drawings,
        plan: &traced.plan,
        job: &traced.job,
        date: options.date.as_deref(),
        findings: &findings,
        names_unclaimed: options.shown == Shown::All,
    });
    done("documents");
    Ok((documents, findings))
}

/// The whole job.
///
/// - `done`: called with the name of each room as it finishes.
///
/// # Errors
/// [`MakeError`] when there is nothing to hand on; whatever can be built with a hold on it is a finding instead.
pub fn make(
    inputs: &[InputFile],
    options: &MakeOptions,
    done: &mut dyn FnMut(&str),
) -> Result<Made, MakeError> {
    let mut findings = Vec::new();
    let mut rules = plant_rules(options)?.into_output(&mut findings);
    if let Some(file) = &options.prices {
        rules.price_by(&read_prices(&file.text(), &file.name)?);
    }
    let leftovers = match &options.stock {
        Some(file) => read_stock(&file.text(), &file.name)?,
        None => Leftovers::default(),
    };
    let mut traced = read_and_recover(inputs, (options, &rules), &mut findings, done)?;
    let earlier = options.earlier.as_ref().map(Issued::read).transpose()?;
    entries_on_this_plan(options, &mut traced, &mut findings)?;
    let raised = raise_revised(earlier.as_ref(), &traced.plan, &traced.job, &rules);
    let building = raised.into_output(&mut findings);
    done("building");
    let stated = options_of_job(&traced.job, (&traced.plan, &building), &rules);
    let mut layout_options = LayoutOptions {
        alternatives: options.alternatives,
        ..stated.into_output(&mut findings)
    };
    let mut laid = lay_out(&building, &rules, &layout_options);
    if let Some(old) = &earlier {
        let free = laid.output;
        heed_issue(old, (&building, &free), &traced.job, &mut layout_options);
        laid = lay_out(&building, &rules, &layout_options);
        let both = [&free, &laid.output];
        let told = beside_free(&building, &rules, &layout_options, both);
        laid.findings.extend(told);
    }
    let n_before = findings.len();
    let mut layout = laid.into_output(&mut findings);
    done("layout");
    let models = (&building, &rules, &traced.job);
    let lineage = match &earlier {
        Some(old) => {
            let (_, drafted) = as_issued(models, &layout, &mut findings.clone())?;
            let own = findings.get_mut(n_before..).unwrap_or_default();
            Some((old, carry_marks(old, &drafted, &mut layout, own)))
        }
        None => None,
    };
    let inputs = all_inputs(inputs, options);
    let inputs_changed = earlier.as_ref().map(|old| input_news(old, &inputs));
    let inputs_changed = inputs_changed.unwrap_or_default();
    let plan_changed = options
        .earlier
        .as_ref()
        .map(|it| plan_news(it, &traced.plan));
    let plan_changed = plan_changed.transpose()?.unwrap_or_default();
    let mut issue = IssueFacts::default();
    let mut fates = Vec::new();
    let mut fabrication = match &lineage {
        None => fabricated(models, &layout, &mut findings),
        Some((old, lineage)) => {
            let (mut fabrication, new) = as_issued(models, &layout, &mut findings)?;
            let news = News {
                plan: plan_changed.clone(),
                inputs: inputs_changed.of_panels.clone(),
            };
            let judged = judge(
                old,
                &new,
                lineage,
                (&traced.job, &news),
                &mut fabrication,
                &mut findings,
            );
            let is_locked = |it: &&Finding| it.code == review::codes::LOCKED_PANEL_CHANGED;
            hold_named(&mut fabrication, findings.iter().filter(is_locked));
            issue = judged.facts;
            fates = judged.fates;
            fabrication
        }
    };
    let mut review = ReviewLog::default();
    if let Some(files) = &options.earlier {
        (review, issue.marks) = carried_marks(
            files,
            (&traced.plan, &traced.job, &issue.retired),
            &mut findings,
        )?;
    }
    if earlier.is_none() {
        findings.extend(uncompared_panels(&traced.job));
    }
    findings.extend(unknown_panels(&traced.job, &fabrication, &issue.retired));
    let loads = plan_loads(&building, &fabrication, &rules).into_output(&mut findings);
    done("fabrication");
    let cut = |fabrication: &Fabrication| plan_stock(&layout, fabrication, &rules, &leftovers);
    let mut stock = loop {
        let planned = cut(&fabrication);
        let before = findings.len();
        let faults = planned
            .findings
            .iter()
            .filter(|it| it.severity == Severity::Fault);
        findings.extend(faults.cloned());
        if !hold_named(&mut fabrication, findings[before..].iter()) {
            findings.truncate(before);
            break planned.into_output(&mut findings);
        }
    };
    done("stock");
    let drawable = Drawable {
        traced: &traced,
        options,
        building: &building,
        layout: &layout,
        loads: &loads,
        rules: &rules,
        inputs: &inputs,
    };
    if let Some((old, lineage)) = &lineage {
        let models = drawable.models((&fabrication, &stock), &issue, &findings);
        let sheets = panel_sheets_as_now(&models);
        let changed = (&mut issue, &mut fates[..]);
        let why = why_drawn_anew(&plan_changed, &inputs_changed);
        draw_anew((old, lineage), &sheets, &why, changed);
    }
    let mut drawn = draw_documents(&drawable.models((&fabrication, &stock), &issue, &findings))?;
    done("documents");
    let proved = verify_package(&drawn.documents.files)?;
    if !proved.output.is_proved() {
        // What is not proved is not cut: every panel is held, and the documents say why.
        hold_all(&mut fabrication, &proved.findings);
        findings.extend(proved.findings);
        stock = cut(&fabrication).output;
        // No sheet that says otherwise stays as it was.
        issue.kept_sheets.clear();
        drawn = draw_documents(&drawable.models((&fabrication, &stock), &issue, &findings))?;
    }
    if let (Some(earlier), Some((old, _))) = (&options.earlier, &lineage) {
        // What came back stands beside a package, never in its manifest.
        let files = &drawn.documents.files;
        let id = files.get("manifest.json").map(|it| sha256_hex(it));
        let made = next_review(
            (&review, &old.id),
            (files, &id.unwrap_or_default()),
            (&drawn.sheets, earlier),
        );
        drawn.documents.files.extend(made);
    }
    done("verify");
    Ok(Made {
        documents: drawn.documents,
        sheets: drawn.sheets,
        findings,
        building,
        layout,
        fabrication,
        stock,
        proofs: proved.output,
        fates,
    })
}

type Fixed<'a> = (&'a Building, &'a PlantRules, &'a Job);

fn fabricated(
    (building, rules, job): Fixed<'_>,
    layout: &Layout,
    findings: &mut Vec<Finding>,
) -> Fabrication {
    let options = FabricateOptions {
        earlier: findings,
        issue: job.issue,
    };
    let fabricated = fabricate(building, layout, rules, &options);
    fabricated.into_output(findings)
}

/// The fabrication of a layout, and how a package of it would read.
fn as_issued(
    models: Fixed<'_>,
    layout: &Layout,
    findings: &mut Vec<Finding>,
) -> Result<(Fabrication, Issued), MakeError> {
    let (building, rules, job) = models;
    let fabrication = fabricated(models, layout, findings);
    let facts = PanelsFacts {
        job,
        issue: &IssueFacts::default(),
        stock: &StockPlan::default(),
    };
    let text = panels_json(building, layout, &fabrication, rules, &facts);
    Ok((fabrication, Issued::from_panels(&text)?))
}

/// Puts the panels on HOLD that findings name; true when any was not held before.
fn hold_named<'a>(
    fabrication: &mut Fabrication,
    findings: impl Iterator<Item = &'a Finding> + Clone,
) -> bool {
    let mut is_new = false;
    for panel in &mut fabrication.panels {
        let names = |it: &&Finding| it.place.panel.as_ref() == Some(&panel.mark);
        let holds = findings.clone().filter(names).map(|it| Hold {
            code: it.code.name().to_owned(),
            reason: it.message.clone(),
        });
        let holds: Vec<Hold> = holds.collect();
        is_new |= !panel.is_held() && !holds.is_empty();
        panel.holds.extend(holds);
    }
    is_new
}

/// Puts every panel on HOLD for the proofs that failed.
fn hold_all(fabrication: &mut Fabrication, failures: &[Finding]) {
    let codes: BTreeSet<&str> = failures.iter().map(|failure| failure.code.name()).collect();
    for panel in &mut fabrication.panels {
        panel.holds.extend(codes.iter().map(|code| Hold {
            code: (*code).to_owned(),
            reason: "a proof of the package failed".to_owned(),
        }));
    }
}

fn all_inputs<'a>(inputs: &'a [InputFile], options: &'a MakeOptions) -> Vec<&'a InputFile> {
    inputs
        .iter()
        .chain(&options.job)
        .chain(&options.rules)
        .chain(&options.prices)
        .chain(&options.stock)
        .chain(&options.references)
        .chain(&options.earlier_plan)
        .collect()
}

/// The plant's rules, or those shipped.
pub(crate) fn plant_rules(options: &MakeOptions) -> Result<Outcome<PlantRules>, RulesError> {
    match &options.rules {
        Some(file) => read_rules(&file.text(), &file.name),
        None => read_rules("", "default plant rules"),
    }
}

pub(crate) fn read_and_recover(
    inputs: &[InputFile],
    (options, rules): (&MakeOptions, &PlantRules),
    findings: &mut Vec<Finding>,
    done: &mut dyn FnMut(&str),
) -> Result<Traced, MakeError> {
    if let Some(date) = &options.date
        && !is_date(date)
    {
        return Err(MakeError::Date(date.clone()));
    }
    let mut job = match &options.job {
        Some(file) => read_job(&file.text(), &file.name)?.into_output(findings),
        None => read_job("", "no job file")?.into_output(findings),
    };
    rules.drawn_lines.assume(&mut job.corrections.single_lines);
    job.corrections.earlier = match (&job.corrected_plan, &options.earlier_plan) {
        (None, _) => None,
        (Some(_), Some(file)) => Some(read_earlier_plan(&file.text(), &file.name)?),
        (Some(plan), None) => {
            return Err(MakeError::NoEarlierPlan {
                job: job.file.clone(),
                plan: plan.clone(),
            });
        }
    };
    let known = known_earlier(options, &mut job)?;
    let mut traced = recovered(inputs, (options, job), findings, done)?;
    traced.plan.written_on = of_the_plan(known, &traced.plan);
    Ok(traced)
}

/// The plan of drawings or sketches, corrected as the job says.
fn recovered(
    inputs: &[InputFile],
    (options, job): (&MakeOptions, Job),
    findings: &mut Vec<Finding>,
    done: &mut dyn FnMut(&str),
) -> Result<Traced, MakeError> {
    done("rules");
    if inputs.iter().any(InputFile::is_sketch) {
        if let Some(odd) = inputs.iter().find(|input| !input.is_sketch()) {
            return Err(MakeError::Mixed(odd.name.clone()));
        }
        let sketches = inputs
            .iter()
            .map(|input| Ok(read_sketch(&input.text(), &input.name)?.into_output(findings)))
            .collect::<Result<Vec<Sketch>, DrawingError>>()?;
        done("drawing");
        let plan = plan_from_sketches(&sketches).into_output(findings);
        let plan = correct_sketches(plan, &job.corrections).into_output(findings);
        done("plan");
        return Ok(Traced {
            drawings: Vec::new(),
            job,
            plan,
        });
    }
    let beside = options.references.iter();
    let references: Vec<Reference<'_>> = beside
        .map(|InputFile { name, bytes }| Reference { name, bytes })
        .collect();
    let read = |leaning, apart| -> Result<Vec<Outcome<Drawing>>, DrawingError> {
        let drawing_options = DrawingOptions {
            unit: job.unit,
            leaning,
            apart,
            references: &references,
        };
        let read = |it: &InputFile| read_drawing(&it.bytes, &it.name, &drawing_options);
        inputs.iter().map(read).collect()
    };
    let (mut drawings, mut said) = parted(read(None, false)?);
    done("drawing");
    let mut recovered = recover_plan(&drawings, &job.corrections);
    // Of two units that the drawing leaves open, that in which the walls close is taken, and asked.
    let rival = drawings.first().and_then(|it| it.scale.rival);
    if let Some(rival) = rival.filter(|_| !closes(&recovered)) {
        let (others, other_said) = parted(read(Some(rival), false)?);
        let other = recover_plan(&others, &job.corrections);
        if closes(&other) {
            (drawings, said, recovered) = (others, other_said, other);
        }
    }
    // Storeys that seem to lie over each other are parted where each of them closes by itself.
    if let Some((drawing, by)) = drawings.iter().find_map(|it| Some((it, it.stacked?))) {
        let (others, other_said) = parted(read(None, true)?);
        let other = recover_plan(&others, &job.corrections);
        let n_storeys = recovered.output.storeys.len();
        if other.output.storeys.len() > n_storeys && all_close(&other) {
            (drawings, said, recovered) = (others, other_said, other);
        } else {
            said.push(read_as_one(drawing, by, closes(&recovered)));
        }
    }
    findings.append(&mut said);
    let plan = recovered.into_output(findings);
    done("plan");
    if plan.storeys.iter().all(|storey| storey.walls.is_empty()) {
        return Err(MakeError::NoWalls {
            file: inputs
                .first()
                .map_or_else(String::new, |input| input.name.clone()),
            reason: format!(
                "{}; see what it holds with `panelwright survey`",
                holdings(&drawings)
            ),
        });
    }
    Ok(Traced {
        drawings,
        job,
        plan,
    })
}
