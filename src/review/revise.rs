//! Carries marks from the earlier issue onto the new layout, and gives revision letters to what changed.

use super::codes;
use super::differences::{Change, in_short};
use super::files::FileNews;
use super::issued::{Issued, IssuedPanel};
use super::lineage::{Fate, Lineage, PanelFate};
use super::neighbours::{Unlike, followed};
use super::order::places as places_in_order;
use super::places::{changed_places, other_parts};
use super::plates::{carry_plates, retired_plates};
use super::references::{other_holds, other_references};
use super::verdict::Verdict;
use super::why::{PlanNews, Why, ids_of};
use crate::documents::{IssueFacts, PanelNews};
use crate::fabrication::Fabrication;
use crate::findings::{Finding, Place};
use crate::layout::{Layout, rename_findings};
use crate::rules::{Job, PanelStatus};
use crate::units::{count_of_letters, letters};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// A new issue beside the one before.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Revision {
    /// What became of every panel.
    pub fates: Vec<PanelFate>,
    /// What its documents take over.
    pub facts: IssueFacts,
}

/// What is not as it was for the issue before, apart from the panels.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct News {
    /// What changed on the plan or by a correction.
    pub plan: Vec<PlanNews>,
    /// What the other files say otherwise of what panels are.
    pub inputs: Vec<FileNews>,
}

/// Gives the panels of a layout the marks of the earlier issue and their places in the order of erection; new ones take the next
/// free numbers of their storey, and places in between.
///
/// - `new`: the layout as a package under its own marks, panels in the layout's order.
/// - `findings`: those of the layout, which name panels as it did.
/// - Returns the lineage by which marks were carried.
pub fn carry_marks(
    old: &Issued,
    new: &Issued,
    layout: &mut Layout,
    findings: &mut [Finding],
) -> Lineage {
    let lineage = Lineage::between(old, new);
    let mut used: BTreeSet<String> = old.retired.clone();
    used.extend(old.panels.iter().map(|panel| panel.mark.clone()));
    let mut marks: Vec<Option<String>> = vec![None; layout.panels.len()];
    for (before, now) in &lineage.pairs {
        marks[*now] = Some(old.panels[*before].mark.clone());
    }
    for index in &lineage.fresh {
        let mark = next_mark(&new.panels[*index], &used);
        used.insert(mark.clone());
        marks[*index] = Some(mark);
    }
    let names = layout.rename(&marks);
    rename_findings(findings, &names);
    let mut issued = vec![None; layout.panels.len()];
    for (before, now) in &lineage.pairs {
        issued[*now] = Some(old.panels[*before].erection);
    }
    for (panel, place) in layout.panels.iter_mut().zip(places_in_order(&issued)) {
        panel.erection = place;
    }
    if let Some(motion) = &lineage.motion {
        carry_plates(old, new, motion, layout);
    }
    lineage
}

/// The next free mark after all that were used in a panel's series: its storey's letter and digit, then a running number.
fn next_mark(panel: &IssuedPanel, used: &BTreeSet<String>) -> String {
    let mark = &panel.mark;
    let letters = mark.chars().take_while(|c| !c.is_ascii_digit()).count();
    // The storey's number comes first; what follows counts within it.
    let stem = &mark[..(letters + 1).min(mark.len())];
    let digits = mark.len() - stem.len();
    let mut number = used
        .iter()
        .filter_map(|mark| mark.strip_prefix(stem)?.parse::<u32>().ok())
        .max()
        .unwrap_or(0);
    loop {
        number += 1;
        let next = format!("{stem}{number:0digits$}");
        if !used.contains(&next) {
            return next;
        }
    }
}

/// Compares the panels as they will be issued with the earlier issue, gives revision letters, and says what is locked.
///
/// - `new`: `panels.json` of the fabrication under its carried marks, panels in the fabrication's order.
/// - `job`: says which panels are released, cut or shipped, and so locked; `changed_since`: what the panels may follow from.
/// - A locked panel that changed or went is a fault with its choices; its place is the panel.
pub fn judge(
    old: &Issued,
    new: &Issued,
    lineage: &Lineage,
    (job, changed_since): (&Job, &News),
    fabrication: &mut Fabrication,
    findings: &mut Vec<Finding>,
) -> Revision {
    let mut revision = Revision {
        fates: lineage.fates(old, new),
        facts: IssueFacts {
            number: old.issue + 1,
            revises: old.id.clone(),
            revises_package: old.package.clone(),
            revisions: old.revisions.clone(),
            retired: &old.retired | &retired_plates(old, new),
            ..IssueFacts::default()
        },
    };
    if lineage.motion.is_none() {
        findings.push(Finding::fault(
            codes::NOT_THE_SAME_BUILDING,
            Place::default(),
            "the earlier issue does not lie over this plan: less than two fifths of the walls coincide",
            "give the package of this job to --revise, or make a first issue without it",
        ));
    }
    if !old.altered.is_empty() {
        findings.push(Finding::doubt(
            codes::ALTERED_SINCE,
            Place::default(),
            format!(
                "files of the earlier issue are not as they were issued: {}; sheets among them are drawn anew",
                old.altered.join(", ")
            ),
            "revise the package as it was issued, or read the new sheets with care",
        ));
    }
    let fates = revision.fates.clone();
    let whys = whys((old, new), &fates, changed_since);
    for (row, why) in fates.iter().zip(whys) {
        let before = row.old.map(|index| &old.panels[index]);
        let now = row.new.map(|index| &new.panels[index]);
        let causes = why.causes.clone();
        let told = news(before, now, &row.fate, why).map(|mut news| {
            news.changes.extend(already(before, &row.fate, job));
            news
        });
        revision.facts.news.extend(told);
        match (&row.fate, before) {
            (Fate::Retired, Some(before)) => {
                retire(before, (job, &causes), &mut revision, findings);
            }
            (Fate::Changed(changes), Some(before)) => {
                let Some(panel) = row.new.and_then(|index| fabrication.panels.get_mut(index))
                else {
                    continue;
                };
                panel.revision = next_letter(&before.revision);
                let what = (
                    panel.revision.as_str(),
                    changes.as_slice(),
                    causes.as_slice(),
                );
                let pair = row.new.map(|index| (before, &new.panels[index]));
                findings.push(changed(before, what, &Verdict::of(&row.fate, pair), job));
            }
            (Fate::Same | Fate::Redrawn, Some(before)) => {
                if let Some(panel) = row.new.and_then(|index| fabrication.panels.get_mut(index)) {
                    panel.revision.clone_from(&before.revision);
                }
                if row.fate == Fate::Same {
                    let ending = before.sheet_ending();
                    let sheets = old
                        .sheets
                        .iter()
                        .filter(|(name, _)| name.ends_with(&ending));
                    revision
                        .facts
                        .kept_sheets
                        .extend(sheets.map(|(name, bytes)| (name.clone(), bytes.clone())));
                }
            }
            _ => {}
        }
    }
    revision
}

/// Of panels cut as before, whose sheets would say something else now: they are drawn anew, and told.
///
/// - `sheets`: the sheets of panels as they would be drawn now, by their path; `why`: why they may print something else.
/// - Their fate is `Redrawn` from here on.
pub fn draw_anew(
    (old, lineage): (&Issued, &Lineage),
    sheets: &BTreeMap<String, Vec<u8>>,
    why: &[String],
    (issue, fates): (&mut IssueFacts, &mut [PanelFate]),
) {
    for row in fates.iter_mut().filter(|row| row.fate == Fate::Same) {
        let Some(before) = row.old.map(|index| &old.panels[index]) else {
            continue;
        };
        let told = before.printed_otherwise([&issue.kept_sheets, sheets], lineage);
        if told.is_empty() {
            continue;
        }
        row.fate = Fate::Redrawn;
        let ending = before.sheet_ending();
        issue.kept_sheets.retain(|name, _| !name.ends_with(&ending));
        issue.news.push(PanelNews {
            mark: before.mark.clone(),
            revision: before.revision.clone(),
            what: row.fate.name(),
            changes: told,
            why: why.to_vec(),
            ..PanelNews::default()
        });
    }
    let marks: Vec<&str> = (fates.iter())
        .filter_map(|row| row.old)
        .map(|index| old.panels[index].mark.as_str())
        .collect();
    // A new panel has its place after those that stood there before.
    let place = |news: &PanelNews| marks.iter().position(|mark| *mark == news.mark);
    let retired = |news: &PanelNews| news.what == "retired";
    let rank = |news: &PanelNews| (retired(news), place(news).unwrap_or(marks.len()));
    issue.news.sort_by_key(rank);
}

/// Why each panel is not as it was: its own causes, else those of the neighbour it follows.
fn whys((old, new): (&Issued, &Issued), fates: &[PanelFate], news: &News) -> Vec<Why> {
    let panels = |row: &PanelFate| {
        let before = row.old.map(|index| &old.panels[index]);
        (before, row.new.map(|index| &new.panels[index]))
    };
    let mark = |row: &PanelFate| {
        let (before, now) = panels(row);
        now.or(before).map_or("", |it| it.mark.as_str())
    };
    let mut whys: Vec<Why> = Vec::with_capacity(fates.len());
    let mut unlike = BTreeMap::new();
    for row in fates {
        let (before, now) = panels(row);
        let why = Why::of(before, now, &news.plan);
        if !matches!(row.fate, Fate::Same | Fate::Redrawn) {
            unlike.insert(mark(row), Unlike::of(before, now, &why.causes));
        }
        whys.push(why);
    }
    let named = ids_of(old.panels.iter().chain(&new.panels));
    for (row, why) in fates.iter().zip(&mut whys) {
        if why.causes.is_empty()
            && unlike.contains_key(mark(row))
            && let Some((neighbour, causes)) = followed(mark(row), &unlike)
        {
            why.follow(neighbour, causes);
        }
        why.add_inputs(panels(row).into(), &news.inputs, &named);
    }
    whys
}

/// What the sheet of changes says of a panel; nothing of one that is the same.
fn news(
    before: Option<&IssuedPanel>,
    now: Option<&IssuedPanel>,
    fate: &Fate,
    why: Why,
) -> Option<PanelNews> {
    if *fate == Fate::Same {
        return None;
    }
    let is_changed = matches!(fate, Fate::Changed(_));
    let letter = before.map_or("", |panel| &panel.revision);
    // Of a panel that is cut as before no rule decided anything anew.
    let rules = match fate {
        Fate::Redrawn => Vec::new(),
        _ => why.rules,
    };
    let nothing = Value::Null;
    let holds = now.map(|now| other_holds(before.map_or(&nothing, |it| &it.data), &now.data));
    let holds = holds.unwrap_or_default();
    Some(PanelNews {
        mark: now.or(before)?.mark.clone(),
        revision: if is_changed {
            next_letter(letter)
        } else {
            letter.to_owned()
        },
        what: fate.name(),
        changes: match (fate, before, now) {
            (Fate::Changed(changes), _, _) => [in_short(changes), holds].concat(),
            (Fate::Redrawn, Some(before), Some(now)) => other_references(&before.data, &now.data),
            (Fate::New, _, _) => holds,
            _ => Vec::new(),
        },
        places: match (before, now) {
            (Some(before), Some(now)) if is_changed => changed_places(&before.data, &now.data),
            _ => Vec::new(),
        },
        parts: match (before, now) {
            (Some(before), Some(now)) if is_changed => other_parts(&before.data, &now.data),
            _ => Vec::new(),
        },
        causes: match fate {
            Fate::Redrawn => Vec::new(),
            _ => why.causes,
        },
        why: why.words.into_iter().chain(rules).collect(),
    })
}

/// What the sheet of changes adds of a panel that changed or went, and is no longer only on paper.
fn already(before: Option<&IssuedPanel>, fate: &Fate, job: &Job) -> Option<String> {
    let status = locked(job, &before?.mark)?;
    match fate {
        Fate::Changed(_) => Some(format!("on HOLD: it is {status} already [REV-02]")),
        Fate::Retired => Some(format!("it is {status} already [REV-03]")),
        Fate::Same | Fate::Redrawn | Fate::New => None,
    }
}

fn retire(
    before: &IssuedPanel,
    (job, causes): (&Job, &[String]),
    revision: &mut Revision,
    findings: &mut Vec<Finding>,
) {
    let because = because(causes);
    revision.facts.retired.insert(before.mark.clone());
    findings.push(match locked(job, &before.mark) {
        Some(status) => Finding::fault(
            codes::LOCKED_PANEL_RETIRED,
            Place::panel(&before.mark),
            format!("panel {} is {status}, and the new plan has no place for it{because}", before.mark),
            "scrap it and set its status to \"open\" in job.toml, keep it for another job as a leftover, or keep the wall as it was",
        ),
        None => Finding::note(
            codes::PANEL_RETIRED,
            Place::panel(&before.mark),
            format!("panel {} is retired; its mark is never used again{because}", before.mark),
            "scrap its drawings, and its outline on the saw",
        ),
    });
}

/// The plan's changes behind it, as the end of a sentence.
fn because(causes: &[String]) -> String {
    match causes {
        [] => String::new(),
        all => format!(" ({})", all.join("; ")),
    }
}

/// - `letter`, `changes`, `causes`: its revision now, what is not as it was, and the plan's changes behind it; `verdict`: what can be
///   made of one that is there.
fn changed(
    before: &IssuedPanel,
    (letter, changes, causes): (&str, &[Change], &[String]),
    verdict: &Verdict,
    job: &Job,
) -> Finding {
    let mark = &before.mark;
    let what = in_short(changes).join("; ") + &because(causes);
    let Some(status) = locked(job, mark) else {
        return Finding::note(
            codes::PANEL_CHANGED,
            Place::panel(mark),
            format!("panel {mark} is now revision {letter}: {what}"),
            "replace its earlier drawings, and its outline on the saw",
        );
    };
    let details = match verdict.details() {
        [] => String::new(),
        all => format!(" ({})", all.join("; ")),
    };
    let (asks, way) = match verdict {
        Verdict::Refit => (
            "fits and fixes it otherwise; its skins and core stay as they are",
            "fit it as the new plan asks, in the plant or where it stands, and set its status to \"open\" in job.toml".to_owned(),
        ),
        Verdict::Recut { .. } => (
            "asks for another",
            format!("recut it from the one made{details} and set its status to \"open\" in job.toml, make it again"),
        ),
        _ => (
            "asks for another",
            format!("make it again, for it cannot be recut{details}, and set its status to \"open\" in job.toml, alter it by hand on an engineer's or foreman's word"),
        ),
    };
    Finding::fault(
        codes::LOCKED_PANEL_CHANGED,
        Place::panel(mark),
        format!("panel {mark} is {status}, and the new plan {asks}: {what}"),
        format!("{way}, or keep plan, job and rules as they were there"),
    )
}

/// Panels that the job names and the building does not have; a retired one is said elsewhere.
#[must_use]
pub fn unknown_panels(
    job: &Job,
    fabrication: &Fabrication,
    retired: &BTreeSet<String>,
) -> Vec<Finding> {
    job.panels
        .iter()
        .filter(|named| {
            !retired.contains(&named.mark)
                && !fabrication
                    .panels
                    .iter()
                    .any(|panel| panel.mark == named.mark)
        })
        .map(|named| {
            Finding::doubt(
                codes::UNKNOWN_PANEL,
                Place::line(&job.file, named.line),
                format!("there is no panel {}", named.mark),
                "give a mark of the issue before, and that issue with --revise",
            )
        })
        .collect()
}

/// What a first issue cannot tell of panels that the job calls released, cut or shipped: whether they still are as they were.
#[must_use]
pub fn uncompared_panels(job: &Job) -> Option<Finding> {
    let named = job.panels.iter();
    let mut locked = named.filter(|panel| locked(job, &panel.mark).is_some());
    let first = locked.next()?;
    let others = locked.count();
    let which = match others {
        0 => first.mark.clone(),
        _ => format!("{} and {others} more", first.mark),
    };
    Some(Finding::doubt(
        codes::LOCKED_UNCOMPARED,
        Place::line(&job.file, first.line),
        format!(
            "{which}: {} by the job, but no issue before is given to compare with, so nobody looked whether it changed",
            first.status.name()
        ),
        "give the package it was made from with --revise, or as revises in job.toml",
    ))
}

/// The word of a panel that is locked.
pub(super) fn locked(job: &Job, mark: &str) -> Option<&'static str> {
    let named = job.panels.iter().rfind(|panel| panel.mark == mark)?;
    (named.status != PanelStatus::Open).then(|| named.status.name())
}

/// The letter after another: `A` after none, `AA` after the last.
fn next_letter(letter: &str) -> String {
    letters(count_of_letters(letter).unwrap_or_default() + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_panel_takes_the_next_number_that_was_never_used() {
        let used: BTreeSet<String> = ["W101", "W102", "W107", "W201"].map(str::to_owned).into();
        let panel = IssuedPanel {
            mark: "W103".to_owned(),
            ..IssuedPanel::default()
        };
        assert_eq!(next_mark(&panel, &used), "W108");
    }

    #[test]
    fn what_can_be_done_with_a_locked_panel_is_said() {
        let text = "[[panel]]\nmark = \"W101\"\nstatus = \"shipped\"\n";
        let job = crate::rules::read_job(text, "job.toml").unwrap().output;
        let before = IssuedPanel {
            mark: "W101".to_owned(),
            ..IssuedPanel::default()
        };
        let hint = |verdict: &Verdict| changed(&before, ("A", &[], &[]), verdict, &job).hint;
        let at = [0.0; 2];
        let hindrances = vec!["longer by 6\"".to_owned()];
        let scrap = hint(&Verdict::Scrap { hindrances, at });
        assert!(scrap.starts_with("make it again, for it cannot be recut (longer by 6\"),"));
        let cuts = vec!["cut 11\" off its right end".to_owned()];
        let recut = hint(&Verdict::Recut { cuts, at });
        assert!(recut.starts_with("recut it from the one made (cut 11\" off its right end) and"));
        assert!(hint(&Verdict::Refit).starts_with("fit it as the new plan asks"));
    }
}
