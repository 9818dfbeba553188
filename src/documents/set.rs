//! The sheets of a package as one set: in the order of their numbers, stamped alike, led from mark to sheet.
//!
//! Whoever draws a new kind of sheet adds it to [`sheet_set`]; files, the PDF, the page and the cover's index follow.

use super::carried::{draw_carried, is_marked, review_sheets, shows_marks};
use super::changes::change_sheets;
use super::cutting::{CuttingInput, cutting_sheets};
use super::details::{CutModels, detail_sheets};
use super::general::{GeneralInput, cover_sheet, schedule_sheets};
use super::loading::{LoadSheetInput, load_sheets};
use super::paper::frame::Paper;
use super::paper::{Canvas, Group, Item, Sheet};
use super::revised::revised_sheets;
use super::{
    IssueFacts, KeyPlanInput, Models, PanelSheetInput, TitleFacts, elevation_sheets,
    key_plan_sheets, panel_sheets, sha256_hex, trace_sheets,
};
use std::collections::BTreeMap;

/// A sheet and the file it is written to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FiledSheet {
    /// Path in the package: `sheets/Z-401-W101.svg`.
    pub path: String,
    /// The sheet.
    pub sheet: Sheet,
}

/// Every sheet of a package, in the order of their numbers.
#[must_use]
pub fn sheet_set(models: &Models<'_>, facts: &TitleFacts) -> Vec<FiledSheet> {
    let trace = &models.trace;
    let mut set: Vec<FiledSheet> = trace_sheets(
        trace.drawings,
        trace.plan,
        trace.findings,
        facts,
        trace.names_unclaimed,
    )
    .into_iter()
    .map(|sheet| filed("", sheet))
    .collect();
    let mut drawn = revised_sheets(models.issue, facts);
    drawn.extend(change_sheets(models, facts));
    drawn.extend(key_plan_sheets(&KeyPlanInput {
        building: models.building,
        layout: models.layout,
        fabrication: models.fabrication,
        plan: trace.plan,
        rules: models.rules,
        facts,
        north_deg: trace.job.north_deg,
    }));
    drawn.extend(elevation_sheets(&models.elevations(facts)));
    drawn.extend(panel_sheets(&of_panels(models, facts)));
    let cuts = CutModels {
        building: models.building,
        layout: models.layout,
        fabrication: models.fabrication,
        rules: models.rules,
    };
    drawn.extend(detail_sheets(&cuts, facts));
    let general = GeneralInput {
        building: models.building,
        layout: models.layout,
        fabrication: models.fabrication,
        rules: models.rules,
        facts,
    };
    drawn.extend(schedule_sheets(&general));
    drawn.extend(cutting_sheets(&CuttingInput {
        fabrication: models.fabrication,
        stock: models.stock,
        rules: models.rules,
        facts,
    }));
    drawn.extend(load_sheets(&LoadSheetInput {
        fabrication: models.fabrication,
        loads: models.loads,
        rules: models.rules,
        facts,
    }));
    set.extend(drawn.into_iter().map(|sheet| filed("sheets/", sheet)));
    let review = review_sheets(models.issue, &set, facts);
    let after = set
        .iter()
        .rposition(|it| it.sheet.number.starts_with("Z-091"))
        .map_or(0, |at| at + 1);
    set.splice(
        after..after,
        review.into_iter().map(|it| filed("sheets/", it)),
    );
    draw_carried(&mut set, models.issue);
    let others: Vec<&Sheet> = set.iter().map(|it| &it.sheet).collect();
    let cover = cover_sheet(&general, &others);
    set.insert(0, filed("sheets/", cover));
    finish(&mut set, (models.issue, facts));
    set
}

fn of_panels<'a>(models: &Models<'a>, facts: &'a TitleFacts) -> PanelSheetInput<'a> {
    PanelSheetInput {
        building: models.building,
        layout: models.layout,
        fabrication: models.fabrication,
        rules: models.rules,
        facts,
        issue: models.issue,
        north_deg: models.trace.job.north_deg,
    }
}

/// The sheets of panels alone, stamped as they are in the whole set.
pub(super) fn panel_sheets_of(models: &Models<'_>, facts: &TitleFacts) -> Vec<FiledSheet> {
    let sheets = panel_sheets(&of_panels(models, facts)).into_iter();
    let mut set: Vec<FiledSheet> = sheets.map(|sheet| filed("sheets/", sheet)).collect();
    for it in &mut set {
        stamp(&mut it.sheet, facts);
    }
    set
}

/// By these facts a single sheet finds its package again.
const STAMPED: [&str; 2] = ["package", "revision"];
/// The root of a file ends before so many bytes.
const ROOT: usize = 4096;

fn filed(folder: &str, sheet: Sheet) -> FiledSheet {
    FiledSheet {
        path: format!("{folder}{}.svg", sheet.name),
        sheet,
    }
}

/// The bytes that a sheet keeps from the issue before: as long as no mark of an issue before comes or goes.
pub(super) fn kept<'a>(issue: &'a IssueFacts, it: &FiledSheet) -> Option<&'a Vec<u8>> {
    let bytes = issue.kept_sheets.get(&it.path)?;
    (!is_marked(&it.sheet) && !shows_marks(bytes)).then_some(bytes)
}

/// What a sheet's file says of itself in its root.
fn in_root(svg: &[u8], name: &str) -> Option<String> {
    let head = svg.get(..ROOT).unwrap_or(svg).utf8_chunks().next()?.valid();
    let (_, after) = head.split_once(&format!(" data-{name}=\""))?;
    Some(after.split_once('"')?.0.to_owned())
}

/// Stamps every sheet with the package and its revision, and lets marks lead to the sheets of their panels and walls. A sheet that
/// keeps its bytes says in the PDF and on the page what it says there.
fn finish(set: &mut [FiledSheet], (issue, facts): (&IssueFacts, &TitleFacts)) {
    let named = |name: &'static str| -> BTreeMap<String, String> {
        let own = |it: &FiledSheet| {
            let value = it.sheet.data.iter().find(|(key, _)| key == name);
            let words = value.map_or("", |(_, value)| value.as_str());
            let led = |word: &str| (word.to_owned(), it.path.clone());
            words.split_whitespace().map(led).collect::<Vec<_>>()
        };
        // Of a wall in parts, the first of its sheets.
        set.iter().rev().flat_map(own).collect()
    };
    let leads = Leads {
        panels: named("panel"),
        walls: named("elevation"),
    };
    for it in set {
        if let Some(bytes) = kept(issue, it) {
            let said = STAMPED.map(|name| Some((name.to_owned(), in_root(bytes, name)?)));
            it.sheet
                .data
                .retain(|(key, _)| !STAMPED.contains(&key.as_str()));
            it.sheet.data.extend(said.into_iter().flatten());
        }
        stamp(&mut it.sheet, facts);
        for layer in &mut it.sheet.layers {
            leads.lead(layer, &it.path);
        }
    }
}

/// The facts by which a single sheet finds its package again: package, revision. Beside them, what every sheet of the job says.
pub(super) fn stamp(sheet: &mut Sheet, facts: &TitleFacts) {
    for (name, value) in STAMPED.into_iter().zip([&facts.package, &facts.revision]) {
        let is_there = sheet
            .data
            .iter()
            .any(|(key, value)| key == name && !value.is_empty());
        if !is_there {
            sheet.data.retain(|(key, _)| key != name);
            sheet.data.push((name.to_owned(), value.clone()));
        }
    }
    let Some(paper) = Paper::named(&sheet.paper) else {
        return;
    };
    let of = |name: &str| {
        let found = sheet.data.iter().find(|(key, _)| key == name);
        found.map_or("", |(_, value)| value.as_str())
    };
    let words = format!(
        "{}  {}  rev {}",
        of("package"),
        sheet.number,
        of("revision")
    );
    let mut canvas = Canvas::new();
    paper.draw_small_print(&mut canvas, words.trim_start());
    sheet
        .layers
        .push(canvas.into_group("small-print", "Package, sheet, revision"));
    if !facts.axis_reports.is_empty() {
        let words = format!("Strength axis of walls either way, {}", facts.axis_reports);
        let mut canvas = Canvas::new();
        paper.draw_small_print_at_right(&mut canvas, &words);
        let group = canvas.into_group("reports", "Reports on the strength axis");
        sheet.layers.push(group);
    }
}

/// Where marks lead.
struct Leads {
    /// Sheet of each panel by its mark.
    panels: BTreeMap<String, String>,
    /// Elevation of each wall.
    walls: BTreeMap<String, String>,
}

impl Leads {
    /// Links each group that shows a panel, else a wall, unless it stands on that very sheet. Links never nest.
    fn lead(&self, group: &mut Group, path: &str) {
        let value = |name: &str| {
            let found = group.data.iter().find(|(key, _)| key == name);
            found.map(|(_, value)| value)
        };
        let target = match (value("panel"), value("elevation")) {
            (Some(mark), _) => self.panels.get(mark),
            (None, Some(wall)) => self.walls.get(wall),
            (None, None) => None,
        };
        if let Some(target) = target.filter(|target| *target != path) {
            group.link = beside(target, path);
            return;
        }
        for item in &mut group.items {
            if let Item::Group(inner) = item {
                self.lead(inner, path);
            }
        }
    }
}

/// A path of the package as seen from the folder of another.
fn beside(target: &str, from: &str) -> String {
    match (target.rsplit_once('/'), from.rsplit_once('/')) {
        (Some((there, name)), Some((here, _))) if there == here => name.to_owned(),
        (_, None) => target.to_owned(),
        (_, Some(_)) => format!("../{target}"),
    }
}

/// What names a package: twelve hexadecimal digits of the SHA-256 of what it is made from.
///
/// Of the inputs and the program, never of the files made: it can stand on every sheet.
#[must_use]
pub fn package_id(inputs: &[&super::InputFile], facts: &TitleFacts) -> String {
    let mut words = format!("{}\n{}\n", facts.program, facts.revision);
    for input in inputs {
        words.push_str(&sha256_hex(&input.bytes));
        words.push('\n');
    }
    let mut id = sha256_hex(words.as_bytes());
    id.truncate(12);
    id
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::InputFile;

    #[test]
    fn a_package_is_named_by_its_inputs() {
        let facts = TitleFacts::default();
        let file = |bytes: &[u8]| InputFile {
            name: "plan.dxf".to_owned(),
            bytes: bytes.to_vec(),
        };
        let [a, b] = [file(b"one"), file(b"two")];
        let id = package_id(&[&a], &facts);
        assert_eq!(id.len(), 12);
        assert_eq!(id, package_id(&[&a], &facts));
        assert_ne!(id, package_id(&[&b], &facts));
        let second = TitleFacts {
            revision: "1".to_owned(),
            ..TitleFacts::default()
        };
        assert_ne!(id, package_id(&[&a], &second));
    }

    #[test]
    fn links_are_relative_to_the_sheet_that_has_them() {
        let target = "sheets/Z-401-W1.svg";
        assert_eq!(beside(target, "sheets/Z-101.svg"), "Z-401-W1.svg");
        assert_eq!(beside(target, "trace.svg"), target);
        assert_eq!(beside("trace.svg", "sheets/Z-101.svg"), "../trace.svg");
    }
}
