//! What a file held, what was read, and why the rest was not.

use crate::drawing::blocks::flat::{Flat, Tally as FileTally};
use crate::drawing::blocks::unfold::place_of;
use crate::drawing::codes;
use crate::drawing::entities::direct::{SOLID, UNKNOWN};
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::file::contents::{Contents, Record};
use crate::drawing::file::references::{Part, stem};
use crate::drawing::model::{Census, CensusRow, Drawing};
use crate::drawing::sheets::sheet::Sheet;
use crate::findings::{Finding, Place};
use std::collections::{BTreeMap, BTreeSet};

/// What the names of the blocks of sheets begin with, after `*` or `$`.
const PAPER_BLOCK: &str = "PAPER_SPACE";

/// The space that entities of a block definition are counted in.
pub(in crate::drawing) fn space_of_block(name: &str) -> &'static str {
    // Blocks' names mostly begin otherwise: nothing is copied for them.
    let own = name.strip_prefix(['*', '$']).unwrap_or_default();
    let is_paper = own.get(..PAPER_BLOCK.len());
    if own.eq_ignore_ascii_case("MODEL_SPACE") {
        "model"
    } else if is_paper.is_some_and(|it| it.eq_ignore_ascii_case(PAPER_BLOCK)) {
        "paper"
    } else {
        "block"
    }
}

/// Counts of one kind in one space.
#[derive(Default)]
struct Tally<'a> {
    found: usize,
    read: usize,
    reasons: BTreeMap<&'a str, usize>,
}

/// Counts every entity; parts of polylines and insertions are counted with what they belong to.
///
/// - `parts`: the drawing itself first; of those it refers to, model space is counted in the space `reference`.
/// - `lost`: kinds of a DWG that are not in the DXF made from it.
pub(in crate::drawing) fn census(
    parts: &[Part<'_>],
    flat: &Flat,
    lost: &BTreeMap<&str, usize>,
) -> Census {
    let mut rows = Vec::new();
    let mut all = Census::default();
    for (part, own) in parts.iter().zip(&flat.tallies) {
        let sheets = if rows.is_empty() {
            flat.sheets.as_slice()
        } else {
            &[]
        };
        let mut counted = of_file(part, own, sheets);
        if rows.is_empty() {
            counted
                .rows
                .extend(lost.iter().map(|(kind, count)| CensusRow {
                    space: "model".to_owned(),
                    kind: (*kind).to_owned(),
                    found: *count,
                    read: 0,
                    reason: "not converted from DWG".to_owned(),
                }));
            rows = counted.rows;
            all = Census {
                rows: Vec::new(),
                ..counted
            };
            all.references.retain(|path| !is_read(parts, path));
        } else {
            rows.extend(counted.rows.into_iter().filter_map(|mut row| {
                (row.space == "model").then(|| {
                    "reference".clone_into(&mut row.space);
                    row
                })
            }));
        }
    }
    all.rows = summed(rows);
    all
}

/// True when the drawing behind a path was handed in and read.
fn is_read(parts: &[Part<'_>], path: &str) -> bool {
    parts
        .iter()
        .skip(1)
        .any(|part| stem(part.name) == stem(path))
}

/// Rows of the same kind in the same space as one.
fn summed(rows: Vec<CensusRow>) -> Vec<CensusRow> {
    let mut by_kind: BTreeMap<(String, String), CensusRow> = BTreeMap::new();
    for row in rows {
        let key = (row.space.clone(), row.kind.clone());
        match by_kind.get_mut(&key) {
            None => {
                by_kind.insert(key, row);
            }
            Some(known) => {
                known.found += row.found;
                known.read += row.read;
                if known.reason.is_empty() {
                    known.reason = row.reason;
                } else if !row.reason.is_empty() && row.reason != known.reason {
                    known.reason = format!("{}; {}", known.reason, row.reason);
                }
            }
        }
    }
    by_kind.into_values().collect()
}

/// - `sheets`: those in paper space that were read in place of the model.
fn of_file(part: &Part<'_>, own: &FileTally, sheets: &[Sheet]) -> Census {
    let is_read = |index: usize| {
        let mut ranges = sheets.iter().flat_map(|it| &it.records);
        ranges.any(|range| range.contains(&index))
    };
    let (contents, readings) = (part.contents, &part.readings);
    let mut tallies: BTreeMap<(&str, &str), Tally<'_>> = BTreeMap::new();
    let mut count =
        |index: usize, record: &Record, space: &'static str, unused: Option<&'static str>| {
            if record.is_part {
                return;
            }
            let kind = contents
                .kinds
                .get(record.kind as usize)
                .map_or("", String::as_str);
            let tally = tallies.entry((space, kind)).or_default();
            tally.found += 1;
            let reason = match readings.get(index) {
                _ if unused.is_some() => unused,
                Some(Some(Reading::Shape(_))) => own.idle.get(&index).copied(),
                Some(Some(Reading::Counted(reason))) => Some(*reason),
                _ => Some("damaged: see the findings"),
            };
            match reason {
                None => tally.read += 1,
                Some(reason) => *tally.reasons.entry(reason).or_default() += 1,
            }
        };
    for (number, block) in contents.blocks.iter().enumerate() {
        let space = space_of_block(&block.name);
        let unused = match space {
            "model" => None,
            "paper" => Some(PAPER),
            _ if own.placed.contains(&number) => None,
            _ if own.pictures.contains(&block.name.to_uppercase()) => {
                Some("the picture of a dimension, which is read itself")
            }
            _ => Some("in a block that is not placed"),
        };
        for index in block.records.clone() {
            if let Some(record) = contents.records.get(index) {
                count(index, record, space, unused.filter(|_| !is_read(index)));
            }
        }
    }
    for index in contents.entities.iter().cloned().flatten() {
        if let Some(record) = contents.records.get(index) {
            let (space, unused) = if record.is_paper {
                ("paper", Some(PAPER).filter(|_| !is_read(index)))
            } else {
                ("model", Some(SCRAP).filter(|_| !sheets.is_empty()))
            };
            count(index, record, space, unused);
        }
    }
    let rows: Vec<CensusRow> = tallies
        .into_iter()
        .map(|((space, kind), tally)| CensusRow {
            space: space.to_owned(),
            kind: kind.to_owned(),
            found: tally.found,
            read: tally.read,
            reason: reason_words(&tally),
        })
        .collect();
    Census {
        in_paper_space: rows
            .iter()
            .filter(|row| row.space == "paper")
            .map(|row| row.found)
            .sum(),
        rows,
        references: references(contents),
        bad_pairs: contents.skipped,
    }
}

const PAPER: &str = "on a sheet in paper space";
const SCRAP: &str = "beside sheets that hold the drawing";

fn reason_words(tally: &Tally<'_>) -> String {
    match tally.reasons.iter().next() {
        None => String::new(),
        Some((reason, _)) if tally.reasons.len() == 1 => (*reason).to_owned(),
        Some(_) => tally
            .reasons
            .iter()
            .map(|(reason, count)| format!("{count} {reason}"))
            .collect::<Vec<_>>()
            .join("; "),
    }
}

fn references(contents: &Contents<'_>) -> Vec<String> {
    let mut names: Vec<String> = contents
        .blocks
        .iter()
        .filter_map(|block| block.reference.clone())
        .collect();
    names.sort();
    names.dedup();
    names
}

/// What drawings hold in which no plan was found, and what of it was not looked at.
#[must_use]
pub fn holdings(drawings: &[Drawing]) -> String {
    let n_strokes: usize = drawings.iter().map(|drawing| drawing.strokes.len()).sum();
    // Where a sheet is read, so is what is pasted on it.
    let has_model = |it: &Census| {
        it.rows
            .iter()
            .any(|row| row.space == "model" && row.found > 0)
    };
    let has_picture = drawings
        .iter()
        .map(|it| &it.census)
        .any(|it| it.has_picture() || !has_model(it) && it.has_picture_in("paper"));
    let mut hidden: BTreeSet<&str> = BTreeSet::new();
    let mut n_hidden = 0;
    for drawing in drawings {
        let sources = drawing.strokes.iter();
        let sources = sources.filter_map(|it| drawing.sources.get(it.source.0 as usize));
        for source in sources.filter(|source| source.is_hidden) {
            n_hidden += 1;
            hidden.insert(&source.layer);
        }
    }
    let mut beside: Vec<String> = Vec::new();
    if n_hidden > 0 {
        let layers: Vec<&str> = hidden.into_iter().collect();
        beside.push(format!(
            "{n_hidden} of them are hidden, on {}",
            layers.join(", ")
        ));
    }
    let mut unread: BTreeMap<&str, usize> = BTreeMap::new();
    for row in drawings.iter().flat_map(|it| &it.census.rows) {
        let is_unread = row.reason.contains(SOLID)
            || row.reason.contains(UNKNOWN)
            || row.kind.contains("PROXY");
        if row.space != "paper" && is_unread && row.found > row.read {
            *unread.entry(&row.kind).or_default() += row.found - row.read;
        }
    }
    if !unread.is_empty() {
        let kinds = unread.iter().map(|(kind, count)| format!("{count} {kind}"));
        let kinds: Vec<String> = kinds.collect();
        beside.push(format!("nothing was read of {}", kinds.join(", ")));
    }
    let missing = drawings.iter().flat_map(|it| &it.census.references);
    beside.extend(
        missing.map(|path| format!("the external drawing '{path}' is not here or cannot be read")),
    );
    let beside = if beside.is_empty() {
        String::new()
    } else {
        format!(" ({})", beside.join("; "))
    };
    let what = if has_picture {
        "the drawing holds a picture, of which nothing can be read, and"
    } else {
        "there are"
    };
    format!("{what} {n_strokes} lines, of which none form a wall{beside}")
}

/// Most findings of one kind that are worth reading one by one.
const MOST_ALIKE: usize = 20;

/// What the file itself gives reason to say.
pub(in crate::drawing) fn findings(
    contents: &Contents<'_>,
    readings: &[Option<Reading>],
    file: &str,
) -> Vec<Finding> {
    let mut findings = Vec::new();
    let mut broken = 0;
    for (record, reading) in contents.records.iter().zip(readings) {
        if let Some(Reading::Broken(reason)) = reading {
            broken += 1;
            if broken <= MOST_ALIKE {
                findings.push(Finding::doubt(
                    codes::BROKEN_ENTITY,
                    place_of(contents, record, file),
                    format!("this {} was left out: {reason}", contents.kind(record)),
                    "look at that place in the drawing; if something is missing there, save it again from the CAD program",
                ));
            }
        }
    }
    if broken > MOST_ALIKE {
        findings.push(Finding::doubt(
            codes::BROKEN_ENTITY,
            Place::file(file),
            format!(
                "{} more entities were left out because they are damaged",
                broken - MOST_ALIKE
            ),
            "save the drawing again from the CAD program: this file is not sound",
        ));
    }
    if contents.skipped > 0 {
        let place = match contents.first_bad_line {
            0 => Place::file(file),
            line => Place::line(file, line),
        };
        findings.push(Finding::note(
            codes::BAD_PAIRS,
            place,
            format!("{} lines are no pair of code and value", contents.skipped),
            "what they touched is named above; else nothing is lost",
        ));
    }
    if contents.lacks_end || contents.cut.is_some() {
        findings.push(Finding::note(
            codes::NO_END,
            Place::file(file),
            "the file ends without its end mark, after all its entities".to_owned(),
            "nothing is missing from the drawing itself; ask for a fresh copy if in doubt",
        ));
    }
    if contents.loose_clips > 0 {
        findings.push(Finding::doubt(
            codes::CLIPPED,
            Place::file(file),
            format!(
                "{} borders clip an insertion that they do not name; all of it was read",
                contents.loose_clips
            ),
            "if walls appear that the drawing does not show, explode or trim the clipped blocks",
        ));
    }
    findings
}

/// A note for each drawing referred to that was read, a doubt for each that was not at hand.
pub(in crate::drawing) fn about_references(parts: &[Part<'_>], file: &str) -> Vec<Finding> {
    let mut findings = Vec::new();
    // A drawing that refers back to this one adds nothing to it.
    let mut told: BTreeSet<String> = BTreeSet::from([stem(file)]);
    for name in parts.iter().flat_map(|part| references(part.contents)) {
        if !told.insert(stem(&name)) {
            continue;
        }
        if is_read(parts, &name) {
            findings.push(Finding::note(
                codes::REFERENCE_READ,
                Place::file(file),
                format!("the external drawing '{name}' was read from beside the file"),
                "check that it is of the same date as the drawing",
            ));
            continue;
        }
        findings.push(Finding::doubt(
            codes::REFERENCE,
            Place::file(file),
            format!("the external drawing '{name}' is referred to and not in the file"),
            "if walls are drawn in it, put it beside the drawing, or bind the references and save again",
        ));
    }
    findings
}

/// A note about what lies outside what insertions show of their blocks.
pub(in crate::drawing) fn about_clipped(flat: &Flat, file: &str) -> Option<Finding> {
    (flat.n_clipped > 0).then(|| {
        Finding::note(
            codes::CLIPPED,
            Place::file(file),
            format!(
                "insertions show only a part of their block: {} things outside it were cut or left out, as on the drawing",
                flat.n_clipped
            ),
            "nothing, if the trace shows what the drawing shows",
        )
    })
}

/// A doubt about kinds of entity that may draw walls and of which no lines are known.
pub(in crate::drawing) fn about_unread(census: &Census, file: &str) -> Option<Finding> {
    let rows = census.rows.iter().filter(|row| {
        row.space != "paper"
            && row.found > row.read
            && (row.reason.contains(SOLID) || row.reason.contains(UNKNOWN))
    });
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for row in rows {
        *kinds.entry(&row.kind).or_default() += row.found - row.read;
    }
    let kinds: Vec<String> = kinds
        .iter()
        .map(|(kind, count)| format!("{count} {kind}"))
        .collect();
    (!kinds.is_empty()).then(|| {
        Finding::doubt(
            codes::UNREAD,
            Place::file(file),
            format!("of these nothing was read: {}", kinds.join(", ")),
            "if walls or openings are drawn by them, ask the architect to explode them to lines",
        )
    })
}

/// A doubt about objects of other programs of which no lines are known.
pub(in crate::drawing) fn about_foreign(census: &Census, file: &str) -> Option<Finding> {
    let count: usize = census
        .rows
        .iter()
        .filter(|row| matches!(row.space.as_str(), "model" | "reference"))
        .filter(|row| row.kind.contains("PROXY"))
        .map(|row| row.found - row.read)
        .sum();
    (count > 0).then(|| {
        Finding::doubt(
            codes::FOREIGN_OBJECTS,
            Place::file(file),
            format!("{count} objects of another program carry no picture of their lines: nothing of them was read"),
            "if walls or openings are such objects, ask the architect to export them as plain lines",
        )
    })
}

impl Census {
    /// True where the model holds a picture: an image, an embedded object, a page of another format.
    #[must_use]
    pub fn has_picture(&self) -> bool {
        self.has_picture_in("model")
    }

    fn has_picture_in(&self, space: &str) -> bool {
        self.rows.iter().any(|row| {
            row.space == space
                && matches!(
                    row.kind.as_str(),
                    "IMAGE"
                        | "OLE2FRAME"
                        | "OLEFRAME"
                        | "PDFUNDERLAY"
                        | "DWFUNDERLAY"
                        | "DGNUNDERLAY"
                )
        })
    }
}

/// Why a file draws nothing, and what to do.
pub(in crate::drawing) fn why_nothing(census: &Census, findings: &[Finding]) -> String {
    let found = |space: &str| {
        census
            .rows
            .iter()
            .filter(|row| row.space == space)
            .map(|row| row.found)
            .sum::<usize>()
    };
    let has_only_pages = found("model") == 0;
    if census.has_picture() || has_only_pages && census.has_picture_in("paper") {
        return "the drawing holds a picture of a plan only (an image, an embedded object or a PDF), no lines; ask the architect for the drawing behind it, or write a sketch".to_owned();
    }
    if let Some(row) = census
        .rows
        .iter()
        .find(|row| row.space == "model" && row.kind.contains("PROXY") && row.found > 0)
    {
        return format!(
            "the drawing holds {} objects of another program that carry no picture of their lines; ask the architect to export it as plain DXF (in the CAD program: export to an older release, or explode them)",
            row.found
        );
    }
    if let Some(name) = census.references.first() {
        return format!(
            "the plan is in the external drawing '{name}', which is not here; put it beside the drawing, or bind the references and save again"
        );
    }
    if found("model") == 0 && found("paper") > 0 {
        return format!(
            "model space is empty; all {} entities lie on sheets in paper space; export the model instead",
            found("paper")
        );
    }
    if found("model") == 0 {
        return "the drawing is empty; export it again with its contents".to_owned();
    }
    let first = |code| findings.iter().find(|finding| finding.code == code);
    if let Some(bomb) = first(codes::TOO_MUCH) {
        return format!("{}; {}", bomb.message, bomb.hint);
    }
    if let Some(first) = first(codes::BROKEN_ENTITY) {
        return format!(
            "none of its {} entities can be read; the first: {}; save it again from the CAD program",
            found("model"),
            first.message
        );
    }
    format!(
        "none of its {} entities draws a line: {}; export the plan with its lines",
        found("model"),
        census
            .rows
            .iter()
            .filter(|row| row.space == "model")
            .map(|row| format!("{} {}", row.found, row.kind))
            .collect::<Vec<_>>()
            .join(", ")
    )
}
