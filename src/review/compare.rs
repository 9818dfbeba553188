//! What changed between two packages, from their files alone.

use super::differences::{Change, other_references};
use super::issued::{Issued, IssuedError};
use super::lineage::{Fate, Lineage, PanelFate};
use super::recut::can_be_recut;
use serde::Serialize;
use std::collections::BTreeMap;

/// Two issues side by side.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Comparison {
    /// The earlier one.
    pub old: Issued,
    /// The later one.
    pub new: Issued,
    /// How their panels belong together.
    pub lineage: Lineage,
    /// What became of every panel: the later issue's in its order, then the retired ones.
    pub fates: Vec<PanelFate>,
    /// Of panels whose sheets alone say something else, by their old mark: what.
    pub printed: BTreeMap<String, Vec<String>>,
    /// Inputs that differ: file name, and whether it is in both.
    pub inputs: Vec<String>,
}

/// A comparison as it is printed.
#[derive(Clone, Debug, Serialize)]
pub struct ComparisonTable {
    schema: &'static str,
    inputs: Vec<String>,
    panels: Vec<ComparisonRow>,
}

/// One panel of a comparison.
#[derive(Clone, Debug, Serialize)]
struct ComparisonRow {
    old: String,
    new: String,
    fate: &'static str,
    what_to_do: &'static str,
    changes: Vec<Change>,
}

/// Compares two packages.
///
/// - `old`, `new`: names relative to the package, with `/`, and bytes.
///
/// # Errors
/// [`IssuedError`] when one of them is not a whole package.
pub fn compare_packages(
    old: &BTreeMap<String, Vec<u8>>,
    new: &BTreeMap<String, Vec<u8>>,
) -> Result<Comparison, IssuedError> {
    let (old, new) = (Issued::read(old)?, Issued::read(new)?);
    let lineage = Lineage::between(&old, &new);
    let mut fates = lineage.fates(&old, &new);
    let mut printed = BTreeMap::new();
    for row in fates.iter_mut().filter(|row| row.fate == Fate::Same) {
        let Some(before) = row.old.map(|index| &old.panels[index]) else {
            continue;
        };
        let told = before.printed_otherwise([&old.sheets, &new.sheets], &lineage);
        if !told.is_empty() {
            row.fate = Fate::Redrawn;
            printed.insert(before.mark.clone(), told);
        }
    }
    Ok(Comparison {
        fates,
        printed,
        inputs: changed_inputs(&old, &new),
        lineage,
        old,
        new,
    })
}

fn changed_inputs(old: &Issued, new: &Issued) -> Vec<String> {
    let mut words: Vec<String> = new
        .inputs
        .iter()
        .filter_map(|(name, digest)| match old.inputs.get(name) {
            None => Some(format!("{name} is new")),
            Some(before) if before != digest => Some(format!("{name} changed")),
            Some(_) => None,
        })
        .collect();
    words.extend(
        old.inputs
            .keys()
            .filter(|name| !new.inputs.contains_key(*name))
            .map(|name| format!("{name} is not given any more")),
    );
    words
}

impl Comparison {
    /// How many panels are the same, redrawn, changed, new and retired.
    #[must_use]
    pub fn counts(&self) -> [usize; 5] {
        let mut counts = [0; 5];
        for row in &self.fates {
            counts[match row.fate {
                Fate::Same => 0,
                Fate::Redrawn => 1,
                Fate::Changed(_) => 2,
                Fate::New => 3,
                Fate::Retired => 4,
            }] += 1;
        }
        counts
    }

    /// Marks of a row: the old one and the new one, empty where there is none.
    #[must_use]
    pub fn marks(&self, row: &PanelFate) -> [String; 2] {
        let name = |issued: &Issued, index: Option<usize>| {
            index
                .and_then(|index| issued.panels.get(index))
                .map_or_else(String::new, |panel| {
                    if panel.revision.is_empty() {
                        panel.mark.clone()
                    } else {
                        format!("{}-{}", panel.mark, panel.revision)
                    }
                })
        };
        [name(&self.old, row.old), name(&self.new, row.new)]
    }

    /// True when a changed panel has to be cut again and cannot be cut out of the one that was made.
    pub(super) fn is_scrap(&self, row: &PanelFate) -> bool {
        let before = row.old.and_then(|index| self.old.panels.get(index));
        let now = row.new.and_then(|index| self.new.panels.get(index));
        row.fate.is_cut()
            && matches!((before, now), (Some(before), Some(now)) if !can_be_recut(&before.data, &now.data))
    }

    /// What to do with a panel that was made from the earlier issue.
    #[must_use]
    pub fn what_to_do(&self, row: &PanelFate) -> &'static str {
        match &row.fate {
            Fate::Same => "reuse: nothing to do",
            Fate::Redrawn => "reuse: replace its sheet",
            Fate::Changed(_) if !row.fate.is_cut() => {
                "reuse: nothing is cut again; fit it as its new sheet says"
            }
            Fate::Changed(_) if self.is_scrap(row) => {
                "scrap: it cannot be cut from the one made before; cut it new"
            }
            Fate::Changed(_) => {
                "recut: it can be cut from the one made before; replace sheet and outline"
            }
            Fate::New => "cut: new",
            Fate::Retired => "scrap: mark retired",
        }
    }

    /// The table as data: one row a panel.
    #[must_use]
    pub fn table(&self) -> ComparisonTable {
        ComparisonTable {
            schema: "panelwright.comparison/1",
            inputs: self.inputs.clone(),
            panels: self
                .fates
                .iter()
                .map(|row| {
                    let [old, new] = self.marks(row);
                    ComparisonRow {
                        old,
                        new,
                        fate: row.fate.name(),
                        what_to_do: self.what_to_do(row),
                        changes: match &row.fate {
                            Fate::Changed(changes) => changes.clone(),
                            _ => Vec::new(),
                        },
                    }
                })
                .collect(),
        }
    }

    /// The table as text: panels that are not the same, one a line, then the counts.
    #[must_use]
    pub fn text(&self) -> String {
        let mut lines = self.inputs.clone();
        if self.lineage.motion.is_none() {
            lines.push("the two do not lie over each other: every panel counts as new".to_owned());
        }
        for row in self.fates.iter().filter(|row| row.fate != Fate::Same) {
            let [old, new] = self.marks(row);
            let which = match (old.as_str(), new.as_str()) {
                ("", new) => new.to_owned(),
                (old, "") => old.to_owned(),
                (old, new) if old == new => new.to_owned(),
                (old, new) => format!("{old} → {new}"),
            };
            lines.push(format!("{which}: {}", self.what_to_do(row)));
            let told: Vec<String> = match (&row.fate, row.old, row.new) {
                (Fate::Changed(changes), _, _) => changes.iter().map(Change::words).collect(),
                (Fate::Redrawn, Some(was), Some(now)) => {
                    let (was, now) = (&self.old.panels[was], &self.new.panels[now]);
                    let printed = self.printed.get(&was.mark).cloned();
                    printed.unwrap_or_else(|| other_references(&was.data, &now.data))
                }
                _ => Vec::new(),
            };
            lines.extend(told.iter().map(|words| format!("    {words}")));
        }
        let [same, redrawn, changed, new, retired] = self.counts();
        lines.push(format!(
            "panels: {same} the same, {redrawn} redrawn, {changed} changed, {new} new, {retired} retired"
        ));
        lines.join("\n")
    }
}
