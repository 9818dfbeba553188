//! Says which entries of the job mean another wall or opening on the new plan than they did on the one of the issue before.
//!
//! Ids go on from issue to issue where walls and openings are found again, but not those of sketches or of openings that a
//! correction adds: a size, a header or a joint would then be given to another opening without a word.

use super::codes;
use super::newly::is_new;
use super::{Issued, IssuedError};
use crate::drawing::Drawing;
use crate::findings::{Finding, Place};
use crate::plan::{
    CorrectionAnchor, EarlierPlan, Elsewhere, IssuedNames, OtherMeaning, Plan, PlanCorrection,
    Whereabouts, Whither, anchors_now, as_drawn, corrections_elsewhere, entries_either_way,
    other_meanings, read_issued_plan, read_written_on,
};
use crate::rules::{Job, OpeningMatch};
use crate::units::{FeetInches, Length};
use std::collections::{BTreeMap, BTreeSet};

/// A doubt for every entry and every correction of the job that is about something else than it was.
///
/// - `files`: the package of the issue before.
///
/// # Errors
/// [`IssuedError`] when its `plan.json` is missing or cannot be read.
pub fn renamed_entries(
    files: &BTreeMap<String, Vec<u8>>,
    (plan, drawings): (&Plan, &[Drawing]),
    job: &Job,
) -> Result<Vec<Finding>, IssuedError> {
    let earlier = written_on(files)?;
    let entries = entries(job);
    let anchors: Vec<CorrectionAnchor> = entries.iter().map(|it| it.anchor.clone()).collect();
    let meanings = other_meanings(&earlier.as_issued, plan, &anchors);
    let either = either_way(&earlier.as_issued, plan, (&entries, &job.file));
    let of_entries = entries.iter().zip(meanings);
    let of_entries =
        of_entries.filter_map(|(entry, meaning)| Some(doubt(entry, &meaning?, &job.file)));
    let corrections = &job.corrections.list;
    let drawn = (&as_drawn(plan), drawings);
    let elsewhere = corrections_elsewhere(&earlier.before_corrections, drawn, corrections);
    let of_corrections = corrections.iter().zip(elsewhere);
    let before = Issued::inputs_said(files)?;
    let of_corrections = of_corrections.filter_map(|(correction, it)| {
        let it = it?;
        Some(if is_new(&correction.anchor, &before) {
            written_for_this(correction, &it)
        } else {
            held_elsewhere(correction, &it)
        })
    });
    Ok(of_entries.chain(of_corrections).chain(either).collect())
}

/// A doubt for every entry that would be about something else by another way of laying the earlier plan that fits nearly as well.
fn either_way(
    earlier: &EarlierPlan,
    plan: &Plan,
    (entries, file): (&[Entry], &str),
) -> Vec<Finding> {
    let anchors: Vec<CorrectionAnchor> = entries.iter().map(|it| it.anchor.clone()).collect();
    let both = entries
        .iter()
        .zip(entries_either_way(earlier, plan, &anchors));
    both.filter_map(|(entry, ways)| {
        let [is, other] = ways?;
        let mut place = Place::line(file, entry.line).with_at(is.middle[0], is.middle[1]);
        place.between = Some([is.middle, other.middle]);
        Some(Finding::doubt(
            codes::ENTRY_EITHER_WAY,
            place,
            format!(
                "the earlier plan lies on this one in two ways that fit nearly alike: by the one taken {} {} is about {}, by the other about {}",
                entry.table,
                entry.name(),
                words(&is),
                words(&other)
            ),
            "look at both places on trace.svg; if the other one is meant, name it here; then name the plan.json of this drawing as corrected_plan",
        ))
    })
    .collect()
}

/// The plan on which the job of an issue was written, as far as the issue knows.
///
/// - `files`: the package.
///
/// # Errors
/// [`IssuedError`] when its `plan.json` is missing or cannot be read.
pub fn written_on(files: &BTreeMap<String, Vec<u8>>) -> Result<IssuedNames, IssuedError> {
    const FILE: &str = "plan.json";
    let bytes = files.get(FILE).ok_or(IssuedError::Missing(FILE))?;
    let text = String::from_utf8_lossy(bytes);
    read_written_on(&text, FILE).map_err(|error| IssuedError::Unreadable {
        file: FILE.to_owned(),
        reason: error.reason,
    })
}

/// True when a job names a wall, an opening, a place or a dimension of a plan.
#[must_use]
pub fn names_things(job: &Job) -> bool {
    !job.corrections.list.is_empty() || !entries(job).is_empty()
}

/// Gives every entry of the job that names a wall or an opening its name on this plan, where it was written on an earlier
/// one; what is not found again is left out and told.
///
/// - `earlier`: the plan that the entries were written on, after its corrections.
#[must_use]
pub fn carry_entries(earlier: &EarlierPlan, plan: &Plan, job: &mut Job) -> Vec<Finding> {
    let entries = entries(job);
    let anchors: Vec<CorrectionAnchor> = entries.iter().map(|it| it.anchor.clone()).collect();
    let whither = anchors_now(earlier, plan, &anchors);
    let mut findings = either_way(earlier, plan, (&entries, &job.file));
    let mut moved = Vec::new();
    for (entry, now) in entries.iter().zip(&whither) {
        match now {
            Whither::AsItWas => {}
            Whither::Now(anchor) => {
                if let (CorrectionAnchor::Id(was), CorrectionAnchor::Id(is)) =
                    (&entry.anchor, anchor)
                {
                    moved.push(format!("{} {was} is {is}", entry.table));
                }
            }
            Whither::Lost(was) => findings.push(lost(entry, was, &job.file)),
        }
    }
    if !moved.is_empty() {
        findings.push(Finding::note(
            codes::ENTRIES_CARRIED,
            Place::file(&job.file),
            format!(
                "the job was written on an earlier plan, and its entries were carried to this one: {}",
                moved.join(", ")
            ),
            "look at each once on trace.svg; write the new names when you next edit the job",
        ));
    }
    rename(job, whither);
    findings
}

/// What walls and openings of the issue before are called on this plan: `None` for what is not found again.
///
/// - `files`: the package of the issue before; `names`: ids on its plan.
///
/// # Errors
/// [`IssuedError`] when its `plan.json` is missing or cannot be read.
pub(super) fn names_now(
    files: &BTreeMap<String, Vec<u8>>,
    plan: &Plan,
    names: BTreeSet<String>,
) -> Result<BTreeMap<String, Option<String>>, IssuedError> {
    let earlier = issued_plan(files)?;
    let anchors: Vec<CorrectionAnchor> = names.iter().cloned().map(CorrectionAnchor::Id).collect();
    let whither = anchors_now(&earlier, plan, &anchors);
    let both = names.into_iter().zip(whither);
    Ok(both
        .map(|(name, whither)| match whither {
            Whither::Now(CorrectionAnchor::Id(now)) => (name, Some(now)),
            Whither::Lost(_) => (name, None),
            Whither::Now(_) | Whither::AsItWas => (name.clone(), Some(name)),
        })
        .collect())
}

/// Says that a job names walls or openings by ids of a plan it does not name: nobody can tell whether this is that plan.
#[must_use]
pub fn ids_of_no_plan(job: &Job) -> Option<Finding> {
    let corrections = job.corrections.list.iter();
    let corrections = corrections.map(|it| (&it.anchor, it.line));
    let entries = entries(job);
    let all = corrections.chain(entries.iter().map(|it| (&it.anchor, it.line)));
    let ids: Vec<(&String, usize)> = all
        .filter_map(|(anchor, line)| match anchor {
            CorrectionAnchor::Id(id) => Some((id, line)),
            CorrectionAnchor::Point { .. } | CorrectionAnchor::Dimension(_) => None,
        })
        .collect();
    let line = ids.iter().map(|it| it.1).min()?;
    let mut names: Vec<&str> = Vec::new();
    for (id, _) in &ids {
        if !names.contains(&id.as_str()) {
            names.push(id);
        }
    }
    let more = match names.len() {
        0..=4 => String::new(),
        n => format!(" and {} more", n - 4),
    };
    names.truncate(4);
    Some(Finding::note(
        codes::IDS_OF_NO_PLAN,
        Place::line(&job.file, line),
        format!(
            "the job names {}{more} by the ids of a plan and does not say of which: on a drawing revised since they were read, they may be others",
            names.join(", ")
        ),
        "look at each on trace.svg; of a revised drawing name the plan.json they were read from as corrected_plan, or the issue before as revises",
    ))
}

/// The plan of the issue before, as it was built.
fn issued_plan(files: &BTreeMap<String, Vec<u8>>) -> Result<EarlierPlan, IssuedError> {
    const FILE: &str = "plan.json";
    let bytes = files.get(FILE).ok_or(IssuedError::Missing(FILE))?;
    let text = String::from_utf8_lossy(bytes);
    read_issued_plan(&text, FILE).map_err(|error| IssuedError::Unreadable {
        file: FILE.to_owned(),
        reason: error.reason,
    })
}

/// Takes over what [`anchors_now`] says, in the order of [`entries`].
fn rename(job: &mut Job, whither: Vec<Whither>) {
    let mut whither = whither.into_iter();
    let mut next = |anchor: &mut CorrectionAnchor| match whither.next() {
        Some(Whither::Now(now)) => {
            *anchor = now;
            true
        }
        Some(Whither::Lost(_)) => false,
        Some(Whither::AsItWas) | None => true,
    };
    job.walls.retain_mut(|it| next_id(&mut it.wall, &mut next));
    job.openings.retain_mut(|it| match &mut it.which {
        OpeningMatch::Id(id) => next_id(id, &mut next),
        OpeningMatch::Tag(_) | OpeningMatch::Kind(_) => true,
    });
    job.layouts.retain_mut(|it| next(&mut it.anchor));
    let bearing = &mut job.loads.bearing;
    bearing.retain_mut(|it| next_id(&mut it.wall, &mut next));
}

fn next_id(id: &mut String, next: &mut impl FnMut(&mut CorrectionAnchor) -> bool) -> bool {
    let mut anchor = CorrectionAnchor::Id(std::mem::take(id));
    let is_kept = next(&mut anchor);
    if let CorrectionAnchor::Id(now) = anchor {
        *id = now;
    }
    is_kept
}

fn lost(entry: &Entry, was: &Whereabouts, file: &str) -> Finding {
    let name = entry.name();
    let at = was.middle;
    Finding::doubt(
        codes::ENTRY_WITHOUT_PLACE,
        Place::line(file, entry.line).with_at(at[0], at[1]),
        format!(
            "{} {name} was written for {}, which is not found on this plan: the entry is left out",
            entry.table,
            words(was)
        ),
        "look at the place on trace.svg and name what the entry is for on this plan, or take it out",
    )
}

/// An entry of the job that names a wall or an opening.
struct Entry {
    table: &'static str,
    anchor: CorrectionAnchor,
    line: usize,
}

impl Entry {
    /// What it calls its wall or opening.
    fn name(&self) -> &str {
        match &self.anchor {
            CorrectionAnchor::Id(id) => id,
            CorrectionAnchor::Point { .. } | CorrectionAnchor::Dimension(_) => "at its point",
        }
    }
}

fn entries(job: &Job) -> Vec<Entry> {
    let id = |table, id: &str, line| Entry {
        table,
        anchor: CorrectionAnchor::Id(id.to_owned()),
        line,
    };
    let walls = job.walls.iter();
    let walls = walls.map(|it| id("[[wall.only]]", &it.wall, it.line));
    let openings = job.openings.iter().filter_map(|it| match &it.which {
        OpeningMatch::Id(name) => Some(id("[[opening]]", name, it.line)),
        OpeningMatch::Tag(_) | OpeningMatch::Kind(_) => None,
    });
    let layouts = job.layouts.iter().map(|it| Entry {
        table: "[[layout]]",
        anchor: it.anchor.clone(),
        line: it.line,
    });
    let bearing = job.loads.bearing.iter();
    let bearing = bearing.map(|it| id("[[loads.bearing]]", &it.wall, it.line));
    walls
        .chain(openings)
        .chain(layouts)
        .chain(bearing)
        .collect()
}

fn doubt(entry: &Entry, meaning: &OtherMeaning, file: &str) -> Finding {
    let OtherMeaning {
        was,
        is,
        now,
        storey,
    } = meaning;
    let name = match &entry.anchor {
        CorrectionAnchor::Id(id) => id.clone(),
        CorrectionAnchor::Point { .. } | CorrectionAnchor::Dimension(_) => "its point".to_owned(),
    };
    let (gone, todo) = match now {
        Some(id) => (
            format!("that is {id} now"),
            format!(
                "write {id} if this entry was written for the plan before; leave it if it was written for this one"
            ),
        ),
        None => (
            "that is not found again for sure".to_owned(),
            "look at both places on trace.svg and name what this entry is for, or take it out"
                .to_owned(),
        ),
    };
    let mut place = Place::line(file, entry.line).with_at(is.middle[0], is.middle[1]);
    place.storey = Some(storey.clone());
    place.between = Some([was.middle, is.middle]);
    Finding::doubt(
        codes::ENTRY_OF_ANOTHER_THING,
        place,
        format!(
            "{} {name} is {} on this plan; on the earlier one it was {}: {gone}",
            entry.table,
            words(is),
            words(was)
        ),
        todo,
    )
}

/// A correction that the issue before had not, and that would be about something on its plan too.
fn written_for_this(correction: &PlanCorrection, it: &Elsewhere) -> Finding {
    let is = it
        .is
        .as_ref()
        .map_or_else(|| "nothing of the earlier one".to_owned(), words);
    Finding::note(
        codes::ENTRY_OF_ANOTHER_THING,
        Place::line(&correction.file, correction.line),
        format!(
            "[[correction]] was not in the job of the issue before and is taken as written for this plan, about {is}; on the earlier plan its place was that of {}",
            words(&it.was)
        ),
        "nothing, if it was read from this drawing; else write it anew from this trace.svg",
    )
}

/// A correction that holds elsewhere on this plan than on the earlier one.
fn held_elsewhere(correction: &PlanCorrection, it: &Elsewhere) -> Finding {
    let name = match &correction.anchor {
        CorrectionAnchor::Id(id) => id.clone(),
        CorrectionAnchor::Dimension(handle) => format!("dimension {handle}"),
        CorrectionAnchor::Point { .. } => "at its point".to_owned(),
    };
    let is = it.is.as_ref().map_or_else(
        || "finds nothing that it was written for".to_owned(),
        |is| format!("is about {}", words(is)),
    );
    let (gone, todo) = match &it.now {
        Some(now) => {
            let now = match now {
                CorrectionAnchor::Id(id) => format!("id = \"{id}\""),
                CorrectionAnchor::Dimension(handle) => format!("dimension = \"{handle}\""),
                CorrectionAnchor::Point { at: [x, y], .. } => format!("at = [{x:.3}, {y:.3}]"),
            };
            (
                format!("that is {now} now"),
                format!(
                    "write {now} if this was written for the plan before; leave it if it was written for this one"
                ),
            )
        }
        None => (
            "that is not found again for sure".to_owned(),
            "look at both places on trace.svg and say what this is about, or take it out"
                .to_owned(),
        ),
    };
    let middle = it.is.as_ref().map_or(it.was.middle, |is| is.middle);
    let mut place = Place::line(&correction.file, correction.line).with_at(middle[0], middle[1]);
    place.between = it.is.as_ref().map(|is| [it.was.middle, is.middle]);
    Finding::doubt(
        codes::ENTRY_OF_ANOTHER_THING,
        place,
        format!(
            "[[correction]] {name} {is} on this plan; on the earlier one it was about {}: {gone}",
            words(&it.was)
        ),
        todo,
    )
}

/// `the window 4'-0" wide of wall X1, its middle at 17'-0", 0'-0"`.
fn words(it: &Whereabouts) -> String {
    let feet = |inches: f64| {
        Length::nearest(inches, Length::fraction(0, 1, 16)).map_or_else(
            || format!("{inches:.1} in"),
            |it| FeetInches(it).to_string(),
        )
    };
    let [x, y] = it.middle.map(feet);
    let size = feet(it.size);
    let name = &it.wall;
    match it.kind {
        "wall" => format!("wall {name} {size} long, its middle at {x}, {y}"),
        "room" => format!("room {name} round {x}, {y}"),
        "dimension" => format!("dimension {name} of {size}, its middle at {x}, {y}"),
        kind => {
            let kind = kind.replace('_', " ");
            format!("the {kind} {size} wide of wall {name}, its middle at {x}, {y}")
        }
    }
}
