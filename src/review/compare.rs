//! What changed between two packages, from their files alone.

use super::differences::{Change, in_short};
use super::files::{FileNews, news_between};
use super::issued::{Issued, IssuedError, IssuedPanel};
use super::lineage::{Fate, Lineage, PanelFate};
use super::references::{other_holds, other_references};
use super::verdict::Verdict;
use crate::units::ranges;
use serde::Serialize;
use serde_json::Value;
use std::collections::BTreeMap;

/// No line of the printed table is longer, in letters.
const LINE: usize = 110;

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
    /// What to do with each of them, in the same order.
    pub verdicts: Vec<Verdict>,
    /// Of panels whose sheets alone say something else, by their old mark: what.
    pub printed: BTreeMap<String, Vec<String>>,
    /// Inputs that differ: each file with the keys that say something else.
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
    what_to_do: String,
    /// What is cut off and out, or why it cannot be recut.
    details: Vec<String>,
    /// What is not as it was, as the printed table has it.
    told: Vec<String>,
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
    let of = |row: &PanelFate| {
        let pair = row
            .old
            .map(|i| &old.panels[i])
            .zip(row.new.map(|i| &new.panels[i]));
        Verdict::of(&row.fate, pair)
    };
    Ok(Comparison {
        verdicts: fates.iter().map(of).collect(),
        fates,
        printed,
        inputs: news_between(&old, &new)
            .iter()
            .map(FileNews::told)
            .collect(),
        lineage,
        old,
        new,
    })
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

    /// Every panel with what to do about it.
    pub fn rows(&self) -> impl Iterator<Item = (&PanelFate, &Verdict)> {
        self.fates.iter().zip(&self.verdicts)
    }

    fn panels(&self, row: &PanelFate) -> [Option<&IssuedPanel>; 2] {
        [
            row.old.and_then(|index| self.old.panels.get(index)),
            row.new.and_then(|index| self.new.panels.get(index)),
        ]
    }

    /// What of a panel is not as it was, in words: sizes and openings in full, pieces by name.
    fn told(&self, row: &PanelFate) -> Vec<String> {
        let [was, now] = self.panels(row);
        let nothing = Value::Null;
        let holds = || now.map(|now| other_holds(was.map_or(&nothing, |it| &it.data), &now.data));
        match (&row.fate, was, now) {
            (Fate::Changed(changes), _, _) => {
                let mut told = in_short(changes);
                told.extend(holds().unwrap_or_default());
                told
            }
            (Fate::Redrawn, Some(was), Some(now)) => {
                let printed = self.printed.get(&was.mark).cloned();
                printed.unwrap_or_else(|| other_references(&was.data, &now.data))
            }
            (Fate::New, _, _) => holds().unwrap_or_default(),
            _ => Vec::new(),
        }
    }

    /// The table as data: one row a panel.
    #[must_use]
    pub fn table(&self) -> ComparisonTable {
        let rows = self.rows().map(|(row, verdict)| {
            let [old, new] = self.marks(row);
            ComparisonRow {
                old,
                new,
                fate: row.fate.name(),
                what_to_do: verdict.words(),
                details: verdict.details().to_vec(),
                told: self.told(row),
                changes: match &row.fate {
                    Fate::Changed(changes) => changes.clone(),
                    _ => Vec::new(),
                },
            }
        });
        ComparisonTable {
            schema: "panelwright.comparison/1",
            inputs: self.inputs.clone(),
            panels: rows.collect(),
        }
    }

    /// The table as text: panels that are not the same, those of which the same is told in one row, then the counts.
    #[must_use]
    pub fn text(&self) -> String {
        let mut lines: Vec<String> = Vec::new();
        for input in &self.inputs {
            lines.extend(broken(input, 0));
        }
        if self.lineage.motion.is_none() {
            lines.push("the two do not lie over each other: every panel counts as new".to_owned());
        }
        let mut groups: Vec<(String, Vec<String>, Vec<[String; 2]>)> = Vec::new();
        for (row, verdict) in self.rows().filter(|(row, _)| row.fate != Fate::Same) {
            let (words, told, marks) = (verdict.words(), self.told(row), self.marks(row));
            match groups.iter_mut().find(|it| it.0 == words && it.1 == told) {
                Some(group) => group.2.push(marks),
                None => groups.push((words, told, vec![marks])),
            }
        }
        for (words, told, marks) in groups {
            lines.extend(broken(&format!("{}: {words}", which(&marks)), 0));
            lines.extend(told.iter().flat_map(|it| broken(it, 4)));
        }
        let [same, redrawn, changed, new, retired] = self.counts();
        lines.push(format!(
            "panels: {same} the same, {redrawn} redrawn, {changed} changed, {new} new, {retired} retired"
        ));
        lines.join("\n")
    }
}

/// The panels of a row: `W101–W104`, or `W105 → W105-A` where the mark is another now, or `W101–W104, revision A` of several.
fn which(marks: &[[String; 2]]) -> String {
    let is_kept = |[old, new]: &[String; 2]| old == new || old.is_empty() || new.is_empty();
    if marks.iter().all(is_kept) {
        let name = |[old, new]: &[String; 2]| if new.is_empty() { old } else { new }.clone();
        return ranges(&marks.iter().map(name).collect::<Vec<_>>());
    }
    let parts = |mark: &str| -> [String; 2] {
        let (stem, letter) = mark.split_once('-').unwrap_or((mark, ""));
        [stem, letter].map(str::to_owned)
    };
    let all: Vec<[String; 2]> = marks.iter().map(|[_, new]| parts(new)).collect();
    let is_alike = marks
        .iter()
        .zip(&all)
        .all(|([old, _], [stem, letter])| *letter == all[0][1] && parts(old)[0] == *stem);
    if is_alike && all.len() > 1 {
        let stems: Vec<&str> = all.iter().map(|it| it[0].as_str()).collect();
        return format!("{}, revision {}", ranges(&stems), all[0][1]);
    }
    let told = marks.iter().map(|[old, new]| format!("{old} → {new}"));
    told.collect::<Vec<_>>().join(", ")
}

/// A line broken at blanks, indented; what follows is indented more.
fn broken(words: &str, indent: usize) -> Vec<String> {
    const MORE: usize = 4;
    let mut lines = vec![" ".repeat(indent)];
    for word in words.split(' ') {
        let Some(line) = lines.last_mut() else { break };
        let is_empty = line.trim_start().is_empty();
        if !is_empty && line.chars().count() + 1 + word.chars().count() > LINE {
            lines.push(format!("{}{word}", " ".repeat(indent + MORE)));
        } else {
            if !is_empty {
                line.push(' ');
            }
            line.push_str(word);
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn panels_that_keep_their_mark_are_told_by_ranges_and_others_by_both_marks() {
        let kept = ["W101", "W102", "W103"].map(|it| [it.to_owned(), it.to_owned()]);
        assert_eq!(which(&kept), "W101–W103");
        let changed = [["W104".to_owned(), "W104-A".to_owned()]];
        assert_eq!(which(&changed), "W104 → W104-A");
        let several = ["W104", "W105", "W106"].map(|it| [it.to_owned(), format!("{it}-A")]);
        assert_eq!(which(&several), "W104–W106, revision A");
        assert_eq!(which(&[[String::new(), "W122".to_owned()]]), "W122");
        assert_eq!(which(&[["W122".to_owned(), String::new()]]), "W122");
    }

    #[test]
    fn a_long_line_is_broken_and_no_word_is_lost() {
        let words = "opening gone; ".repeat(40);
        let lines = broken(words.trim(), 4);
        assert!(lines.len() > 4);
        assert!(lines.iter().all(|line| line.chars().count() <= LINE));
        let all: Vec<&str> = lines
            .iter()
            .flat_map(|line| line.split_whitespace())
            .collect();
        assert_eq!(all, words.split_whitespace().collect::<Vec<_>>());
    }
}
