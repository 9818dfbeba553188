//! Files of a package before they are written.

use super::paper::{Area, Item, Spot};
use crate::rules::SheetRules;
use serde::{Deserialize, Serialize};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

/// Names (with `/`, relative to the package) and bytes, sorted by name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DocumentSet {
    /// The files.
    pub files: BTreeMap<String, Vec<u8>>,
}

impl DocumentSet {
    /// Adds a file; a name given twice keeps the last.
    pub fn add(&mut self, name: impl Into<String>, bytes: impl Into<Vec<u8>>) {
        self.files.insert(name.into(), bytes.into());
    }
}

/// Whether PDF files are written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PdfFiles {
    /// They are.
    #[default]
    Written,
    /// They are left out: `--no-pdf`.
    LeftOut,
}

/// What an issue takes over from the one before; the default is a first issue.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct IssueFacts {
    /// Which issue of the job it is: 0 for the first.
    pub number: u32,
    /// SHA-256 of the manifest of the issue before; empty at the first.
    pub revises: String,
    /// The id that the sheets of the issue before print; empty where its manifest does not say it.
    pub revises_package: String,
    /// What its sheets say of revisions.
    pub revisions: Revisions,
    /// Marks that are never used again.
    pub retired: BTreeSet<String>,
    /// Sheets of unchanged panels, byte for byte as issued, by their path in the package.
    pub kept_sheets: BTreeMap<String, Vec<u8>>,
    /// What became of panels that are not the same as in the issue before: in the order of erection, then the retired ones.
    pub news: Vec<PanelNews>,
    /// Marks that came back for the issue before.
    pub marks: Vec<CarriedMark>,
}

/// The rows of revisions that sheets print, newest first, three at most.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Revisions {
    /// Of the sheets that show more than one panel.
    pub sheets: Vec<Revision>,
    /// Of each panel's own sheets, by its mark.
    pub panels: BTreeMap<String, Vec<Revision>>,
}

/// One row of the table of revisions.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Revision {
    /// Letter before release, number after.
    pub name: String,
    /// Date.
    pub date: String,
    /// What changed.
    pub change: String,
}

impl Revision {
    /// So many rows stand on a sheet.
    pub const SHOWN: usize = 3;

    /// This row over earlier ones, as many as are shown.
    #[must_use]
    pub fn over(self, earlier: &[Self]) -> Vec<Self> {
        let rows = std::iter::once(self).chain(earlier.iter().cloned());
        rows.take(Self::SHOWN).collect()
    }

    /// The rows of a sheet as issued: that it is the first when it is, else where changes stand; then those of earlier issues.
    #[must_use]
    pub fn issued(facts: &TitleFacts) -> Vec<Self> {
        let is_first = ["", "0"].contains(&facts.revision.as_str());
        let row = Self {
            name: if is_first {
                "0".to_owned()
            } else {
                facts.revision.clone()
            },
            date: facts.date.clone(),
            change: if is_first {
                "First issue".to_owned()
            } else {
                format!("See Z-091 of issue {}", facts.revision)
            },
        };
        row.over(&facts.revisions)
    }
}

/// A reviewer's mark on the issue before; empty texts for what is not known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CarriedMark {
    /// `M1`.
    pub id: String,
    /// What it is: `cloud`.
    pub kind: String,
    /// `open`, `answered` or `closed`.
    pub status: String,
    /// True when it stands again on the new sheets.
    pub is_drawn: bool,
    /// True when the job says by now what it proposed, and it is not closed.
    pub is_taken_over: bool,
    /// Name of the sheet it was made on.
    pub sheet: String,
    /// Panel it is about.
    pub panel: String,
    /// Opening it is about.
    pub opening: String,
    /// Wall it is about.
    pub wall: String,
    /// Where the panel stood on that sheet, mm.
    pub panel_area: Option<Area>,
    /// Where the opening stood on that sheet, mm.
    pub opening_area: Option<Area>,
    /// Where the wall stood on that sheet, mm.
    pub wall_area: Option<Area>,
    /// Of a mark on a plan: every panel that its sheet showed, and the middle of each.
    pub neighbours: Vec<(String, Spot)>,
    /// Where it points, mm on that sheet.
    pub at: Spot,
    /// What is drawn, on that sheet.
    pub items: Vec<Item>,
    /// What the reviewer says.
    pub question: String,
    /// Who.
    pub reviewer: String,
    /// When, as the file says.
    pub time: String,
    /// The drafter's answer.
    pub answer: String,
    /// Its date.
    pub answered_on: String,
}

/// What became of one panel since the issue before.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PanelNews {
    /// Mark.
    pub mark: String,
    /// Revision letter now; empty for none.
    pub revision: String,
    /// `changed`, `new`, `redrawn` or `retired`.
    pub what: &'static str,
    /// What changed, in words.
    pub changes: Vec<String>,
    /// Where on its face it changed: left, bottom, right, top, inches; empty where it changed as a whole.
    pub places: Vec<[f64; 4]>,
    /// Marks of its lumber that is new, of another size or at another place.
    pub parts: Vec<String>,
    /// What on the plan, in the corrections or in the other files is behind it, in short.
    pub causes: Vec<String>,
    /// Why: the same with the handles of the drawing, and the rules that say so now.
    pub why: Vec<String>,
}

impl IssueFacts {
    /// The news of a panel.
    #[must_use]
    pub fn news_of(&self, mark: &str) -> Option<&PanelNews> {
        self.news.iter().find(|news| news.mark == mark)
    }

    /// What names the issue before in words: its number, and the id that its sheets print.
    #[must_use]
    pub fn issue_before(&self) -> String {
        issue_in_words(self.number.saturating_sub(1), &self.revises_package)
    }
}

/// `issue 0, package id 0ae54ed4450b`; without the id where it is not known.
pub(crate) fn issue_in_words(number: u32, package: &str) -> String {
    if package.is_empty() {
        format!("issue {number}")
    } else {
        format!("issue {number}, package id {package}")
    }
}

/// What every title block says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct TitleFacts {
    /// Project line, such as the owner and site; empty when the job names none.
    pub project: String,
    /// Building.
    pub building: String,
    /// Job number.
    pub number: String,
    /// Date handed in; empty prints none.
    pub date: String,
    /// Who drew it.
    pub drawn_by: String,
    /// Revision printed in the table.
    pub revision: String,
    /// Rows of earlier issues in that table, newest first.
    pub revisions: Vec<Revision>,
    /// Id of the package, small print; empty before there is one.
    pub package: String,
    /// Reports under which the strength axis of wall panels may lie level, small print; empty where it stands upright.
    pub axis_reports: String,
    /// Name and version of the program.
    pub program: String,
    /// Paper and scales.
    pub sheets: SheetRules,
}

/// A file handed in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct InputFile {
    /// Name as the user gave it; drawings end in `.dxf`, sketches in `.toml`.
    pub name: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

impl InputFile {
    /// Its text; what is not UTF-8 is replaced.
    #[must_use]
    pub fn text(&self) -> Cow<'_, str> {
        String::from_utf8_lossy(&self.bytes)
    }

    /// What it says key by key; nothing of a file that is no TOML by its name.
    #[must_use]
    pub fn said(&self) -> BTreeMap<String, String> {
        if self.is_sketch() {
            super::said(&self.text())
        } else {
            BTreeMap::new()
        }
    }

    /// True for a sketch, by its name.
    #[must_use]
    pub fn is_sketch(&self) -> bool {
        self.name.to_ascii_lowercase().ends_with(".toml")
    }
}
