//! What became of the jobs of a batch, as a table for people, for a spreadsheet, and for programs.

use panelwright::documents::pretty;
use panelwright::findings::Severity;
use panelwright::package::Made;
use panelwright::units::counted;
use serde_json::{Value, json as value};

/// What became of a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// Every panel may be cut.
    Complete,
    /// Written, but something is on HOLD or a proof failed.
    Held,
    /// Nothing was written.
    Refused,
}

impl Outcome {
    const fn name(self) -> &'static str {
        match self {
            Self::Complete => "complete",
            Self::Held => "HOLD",
            Self::Refused => "refused",
        }
    }
}

/// How much a job is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Counts {
    panels: usize,
    held: usize,
    openings: usize,
    pounds: f64,
    faults: usize,
    doubts: usize,
    notes: usize,
}

impl Counts {
    /// Of a package.
    pub(super) fn of(made: &Made) -> Self {
        let panels = &made.fabrication.panels;
        let of = |severity| {
            let findings = made.findings.iter();
            findings.filter(|it| it.severity == severity).count()
        };
        Self {
            panels: panels.len(),
            held: panels.iter().filter(|it| it.is_held()).count(),
            openings: made.building.walls.iter().map(|it| it.openings.len()).sum(),
            pounds: panels.iter().map(|it| it.weight_lb).sum(),
            faults: of(Severity::Fault),
            doubts: of(Severity::Doubt),
            notes: of(Severity::Note),
        }
    }

    fn plus(self, other: &Self) -> Self {
        Self {
            panels: self.panels + other.panels,
            held: self.held + other.held,
            openings: self.openings + other.openings,
            pounds: self.pounds + other.pounds,
            faults: self.faults + other.faults,
            doubts: self.doubts + other.doubts,
            notes: self.notes + other.notes,
        }
    }

    fn words(&self) -> [String; 7] {
        [
            self.panels.to_string(),
            self.held.to_string(),
            self.openings.to_string(),
            format!("{:.0}", self.pounds),
            self.faults.to_string(),
            self.doubts.to_string(),
            self.notes.to_string(),
        ]
    }
}

/// One job of a batch.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct JobReport {
    /// Name of its folder, and of its package.
    pub(super) job: String,
    /// What became of it.
    pub(super) outcome: Outcome,
    /// How much it is; nothing when it was refused.
    pub(super) counts: Counts,
    /// The codes that hold panels, or why it was refused.
    pub(super) why: String,
}

impl JobReport {
    /// One line for a terminal.
    pub(super) fn line(&self) -> String {
        let (job, outcome) = (&self.job, self.outcome.name());
        match self.outcome {
            Outcome::Refused => format!("{job}: {outcome}: {}", self.why),
            Outcome::Complete | Outcome::Held => format!(
                "{job}: {outcome}: {}, {} on HOLD, {}, {}",
                counted(self.counts.panels, "panel"),
                self.counts.held,
                counted(self.counts.faults, "fault"),
                counted(self.counts.doubts, "doubt")
            ),
        }
    }
}

const HEADS: [&str; 10] = [
    "job", "outcome", "panels", "on HOLD", "openings", "lb", "faults", "doubts", "notes", "why",
];

fn total(reports: &[JobReport]) -> Counts {
    let none = Counts::default();
    reports.iter().fold(none, |sum, it| sum.plus(&it.counts))
}

fn row(it: &JobReport) -> Vec<String> {
    let mut cells = vec![it.job.clone(), it.outcome.name().to_owned()];
    cells.extend(it.counts.words());
    cells.push(it.why.clone());
    cells
}

/// The report as JSON.
pub(super) fn json(reports: &[JobReport]) -> String {
    let counted = |it: &Counts| {
        value!({
            "panels": it.panels, "held": it.held, "openings": it.openings, "weight_lb": it.pounds.round(),
            "faults": it.faults, "doubts": it.doubts, "notes": it.notes,
        })
    };
    let jobs: Vec<Value> = reports
        .iter()
        .map(|it| {
            value!({
                "job": it.job, "outcome": it.outcome.name(), "counts": counted(&it.counts), "why": it.why,
            })
        })
        .collect();
    pretty(&value!({ "jobs": jobs, "all": counted(&total(reports)) }))
}

/// The report as CSV: a row for each job, no totals.
pub(super) fn csv(reports: &[JobReport]) -> String {
    let quoted = |cell: &String| {
        if cell.contains([',', '"', '\n']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell.clone()
        }
    };
    let mut text = HEADS.join(",");
    for it in reports {
        let cells: Vec<String> = row(it).iter().map(quoted).collect();
        text.push('\n');
        text.push_str(&cells.join(","));
    }
    text.push('\n');
    text
}

/// The report as a page.
pub(super) fn markdown(reports: &[JobReport]) -> String {
    let count = |outcome| reports.iter().filter(|it| it.outcome == outcome).count();
    let mut text = format!(
        "# Jobs\n\n{} jobs: {} complete, {} on HOLD, {} refused.\n\n| {} |\n|---|---|--:|--:|--:|--:|--:|--:|--:|---|\n",
        reports.len(),
        count(Outcome::Complete),
        count(Outcome::Held),
        count(Outcome::Refused),
        HEADS.join(" | ")
    );
    let plain = |cell: String| cell.replace('|', "\\|").replace('\n', " ");
    for it in reports {
        let name = match it.outcome {
            Outcome::Refused => plain(it.job.clone()),
            // The package is the folder beside the report.
            Outcome::Complete | Outcome::Held => {
                format!("[{0}](<{0}/index.html>)", plain(it.job.clone()))
            }
        };
        let cells = row(it).into_iter().skip(1).map(plain);
        let cells: Vec<String> = std::iter::once(name).chain(cells).collect();
        text.push_str(&format!("| {} |\n", cells.join(" | ")));
    }
    let all = total(reports).words().join(" | ");
    text.push_str(&format!("| **all** | | {all} | |\n"));
    text
}
