//! `panelwright batch`: many job folders, each made into its own package, and one report about all of them.
//!
//! ```text
//!   FOLDER/fen-house/  plan.dxf job.toml plant.toml        OUT/fen-house/   a package
//!   FOLDER/mill/       plan-1.dxf plan-2.dxf job.toml  ──► OUT/mill/        a package
//!   FOLDER/shed/       sketch.toml                         OUT/shed/        a package
//!                                                          OUT/report.md, report.csv, report.json
//! ```
//!
//! Jobs run side by side and know nothing of each other; the report lists them by name, so it is the same however many ran at
//! once. A job that is refused, or fails, is a row that says why.

use super::args::{Batch, Format, Shared};
use super::batch_report::{Counts, JobReport, Outcome, csv, json, markdown};
use super::beside::{beside, earlier_plan};
use super::issue::IssueBefore;
use super::place::{Place, Standing, real};
use super::{COMPLETE, HELD, PACKAGE_FILES, REFUSED, pdf_files, read_input, report};
use anyhow::{Context, Result, anyhow, bail};
use panelwright::package::{self, InputFile, Made, MakeOptions};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::num::NonZeroUsize;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};
use std::thread;

/// The report, in the three forms it is written in.
const REPORT: &str = "report.json";

/// Files of a job folder that are no plan.
const BESIDE_THE_PLAN: [&str; 3] = ["job.toml", "plant.toml", "prices.toml"];

/// Makes every job of the folder.
pub(super) fn run(batch: &Batch, shared: &Shared) -> Result<u8> {
    let jobs = job_folders(&batch.folder)?;
    claim(batch)?;
    let rules = batch.rules.as_deref().map(read_input).transpose()?;
    let reports = make_all(batch, &jobs, rules.as_ref());
    let forms = [
        (REPORT, json(&reports)),
        ("report.csv", csv(&reports)),
        ("report.md", markdown(&reports)),
    ];
    for (name, text) in &forms {
        put(&batch.out, name, text)?;
    }
    if shared.format == Format::Json {
        report::say(&forms[0].1);
    } else {
        for it in &reports {
            let is_told = !shared.quiet || it.outcome != Outcome::Complete;
            if is_told {
                report::say(&it.line());
            }
        }
    }
    Ok(code(&reports))
}

/// As `make` has it: 0 all complete; 1 written, but something is on HOLD, refused or unproved; 2 nothing was written.
fn code(reports: &[JobReport]) -> u8 {
    let is = |outcome| move |it: &JobReport| it.outcome == outcome;
    if reports.iter().all(is(Outcome::Complete)) {
        COMPLETE
    } else if reports.iter().all(is(Outcome::Refused)) {
        REFUSED
    } else {
        HELD
    }
}

/// The folders directly in a folder, by name; those whose name begins with a dot are passed over.
fn job_folders(folder: &Path) -> Result<Vec<(String, PathBuf)>> {
    let shown = folder.display();
    let entries =
        fs::read_dir(folder).with_context(|| format!("{shown}: cannot be read as a folder"))?;
    let mut jobs = BTreeMap::new();
    for entry in entries {
        let path = entry
            .with_context(|| format!("{shown}: cannot be read"))?
            .path();
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        if path.is_dir() && !name.starts_with('.') {
            jobs.insert(name.into_owned(), path);
        }
    }
    if jobs.is_empty() {
        bail!("{shown}: holds no job; put each job in a folder of its own, plan.dxf and job.toml");
    }
    Ok(jobs.into_iter().collect())
}

/// Refuses a place that is not ours, and one inside the jobs, where the next run would take packages for jobs.
fn claim(batch: &Batch) -> Result<()> {
    let shown = batch.out.display();
    if real(&batch.out).starts_with(real(&batch.folder)) {
        bail!("{shown}: lies in the folder of the jobs; choose another --out");
    }
    fs::create_dir_all(&batch.out)
        .with_context(|| format!("{shown}: cannot be made; choose another --out"))?;
    let is_filled = fs::read_dir(&batch.out)
        .with_context(|| format!("{shown}: cannot be read"))?
        .next()
        .is_some();
    if is_filled && !batch.replace {
        bail!("{shown}: is not empty; choose another --out, or add --replace");
    }
    if is_filled && !batch.out.join(REPORT).is_file() {
        bail!(
            "{shown}: holds no report of this program, so --replace will not touch it; choose another --out"
        );
    }
    Ok(())
}

/// Runs the jobs on as many threads as the machine has cores; reports come back in the order of the jobs.
fn make_all(
    batch: &Batch,
    jobs: &[(String, PathBuf)],
    rules: Option<&InputFile>,
) -> Vec<JobReport> {
    let next = AtomicUsize::new(0);
    let done: Mutex<BTreeMap<usize, JobReport>> = Mutex::default();
    let cores = thread::available_parallelism().map_or(1, NonZeroUsize::get);
    thread::scope(|scope| {
        for _ in 0..cores.min(jobs.len()) {
            scope.spawn(|| {
                loop {
                    let index = next.fetch_add(1, Ordering::Relaxed);
                    let Some((name, folder)) = jobs.get(index) else {
                        break;
                    };
                    let report = make_one(batch, name, folder, rules);
                    done.lock()
                        .unwrap_or_else(PoisonError::into_inner)
                        .insert(index, report);
                }
            });
        }
    });
    done.into_inner()
        .unwrap_or_else(PoisonError::into_inner)
        .into_values()
        .collect()
}

/// One job, whatever becomes of it.
fn make_one(batch: &Batch, name: &str, folder: &Path, rules: Option<&InputFile>) -> JobReport {
    // A mistake of the program in one job must not take the others with it.
    let made = catch_unwind(AssertUnwindSafe(|| {
        make_package(batch, name, folder, rules)
    }))
    .unwrap_or_else(|_| {
        Err(anyhow!(
            "the program failed: a mistake of ours, please report it"
        ))
    });
    match made {
        Ok(made) => JobReport {
            job: name.to_owned(),
            outcome: if made.is_complete() {
                Outcome::Complete
            } else {
                Outcome::Held
            },
            counts: Counts::of(&made),
            why: held_for(&made),
        },
        Err(error) => JobReport {
            job: name.to_owned(),
            outcome: Outcome::Refused,
            counts: Counts::default(),
            why: format!("{error:#}"),
        },
    }
}

fn make_package(
    batch: &Batch,
    name: &str,
    folder: &Path,
    rules: Option<&InputFile>,
) -> Result<Made> {
    let plans = plans_of(folder)?;
    let inputs: Vec<InputFile> = plans
        .iter()
        .map(|path| read_input(path))
        .collect::<Result<_>>()?;
    let own = |file: &str| Some(folder.join(file)).filter(|path| path.is_file());
    let job = own("job.toml");
    let own_rules = own("plant.toml").as_deref().map(read_input).transpose()?;
    let job_file = job.as_deref().map(read_input).transpose()?;
    let out = batch.out.join(name);
    let before = IssueBefore::read(None, job.as_deref().zip(job_file.as_ref()))?;
    before.refuse_early(&out, batch.replace)?;
    let options = MakeOptions {
        job: job_file,
        earlier: before.files.clone(),
        rules: own_rules.or_else(|| rules.cloned()),
        references: beside(&plans, &inputs)?,
        earlier_plan: earlier_plan(job.as_deref())?,
        date: batch.date.clone(),
        pdf: pdf_files(batch.no_pdf),
        ..MakeOptions::default()
    };
    let standing = if batch.replace {
        Standing::Replaced
    } else {
        Standing::Refused
    };
    let place = Place::claim(&out, standing, PACKAGE_FILES)?;
    let made = package::make(&inputs, &options, &mut |_| {})?;
    let kept = before.kept(&out, &made.documents.files)?;
    place.put(&made.documents.files, kept)?;
    Ok(made)
}

/// The codes of what holds panels, each once.
fn held_for(made: &Made) -> String {
    let holds = made.fabrication.panels.iter().flat_map(|it| &it.holds);
    let codes: BTreeSet<&str> = holds.map(|hold| hold.code.as_str()).collect();
    codes.into_iter().collect::<Vec<_>>().join(", ")
}

/// The plans of a job, one for each storey from the lowest up: what is called `plan…` or `sketch…`, by name and number; else the
/// only drawing there.
fn plans_of(folder: &Path) -> Result<Vec<PathBuf>> {
    let shown = folder.display();
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).with_context(|| format!("{shown}: cannot be read"))? {
        let path = entry
            .with_context(|| format!("{shown}: cannot be read"))?
            .path();
        let name = lower_name(&path);
        let ending = path.extension().unwrap_or_default().to_string_lossy();
        let is_plan = ["dxf", "dwg", "toml"].contains(&ending.to_lowercase().as_str());
        if path.is_file() && is_plan && !BESIDE_THE_PLAN.contains(&name.as_str()) {
            found.push(path);
        }
    }
    let mut named: Vec<PathBuf> = found
        .iter()
        .filter(|path| {
            ["plan", "sketch"]
                .iter()
                .any(|it| lower_name(path).starts_with(it))
        })
        .cloned()
        .collect();
    if named.is_empty() {
        return match found.as_slice() {
            [] => bail!("{shown}: has no drawing (.dxf, .dwg) and no sketch (.toml)"),
            [_] => Ok(found),
            _ => bail!(
                "{shown}: has several drawings and none is called plan; name them plan-1, plan-2 from the lowest storey up"
            ),
        };
    }
    named.sort_by_key(|path| (number_in(&lower_name(path)), lower_name(path)));
    let stems: BTreeSet<_> = named.iter().map(|path| path.file_stem()).collect();
    if stems.len() < named.len() {
        bail!("{shown}: has one plan in two forms; keep the .dxf or the .dwg");
    }
    Ok(named)
}

fn lower_name(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default();
    name.to_string_lossy().to_lowercase()
}

/// The first number in a name; names without one come first.
fn number_in(name: &str) -> Option<u32> {
    let digits: String = name
        .chars()
        .skip_while(|c| !c.is_ascii_digit())
        .take_while(char::is_ascii_digit)
        .collect();
    digits.parse().ok()
}

/// Writes a form of the report beside its place and moves it there.
fn put(out: &Path, name: &str, text: &str) -> Result<()> {
    let (path, new) = (out.join(name), out.join(format!(".{name}.new")));
    fs::write(&new, text)
        .and_then(|()| fs::rename(&new, &path))
        .with_context(|| format!("{}: cannot be written", path.display()))
}
