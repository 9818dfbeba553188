//! Ties rows of schedules to openings by their tags, fills in what the plan does not say, and names what disagrees.

use super::bubbles::is_in_bubble;
use super::{Row, Schedule};
use crate::drawing::{Drawing, Text};
use crate::findings::{Finding, Place};
use crate::plan::dimensions::said;
use crate::plan::{Opening, OpeningKind, Storey, codes};
use geo::Coord;
use std::collections::BTreeMap;

/// A tag stands within this of its opening's middle, beyond half its width, inches.
const BESIDE: f64 = 60.0;
/// A tag of the other kind's schedule is taken only where it is nearer by this, inches.
const OTHER_KIND: f64 = 40.0;
/// Widths and heights agree within this, inches.
const SAME: f64 = 0.6;
/// Drawn to the frame or the rough opening, an opening is wider than its unit by up to this, inches.
const FRAMED: f64 = 3.1;

/// Gives openings what the schedules of a drawing say.
pub(in crate::plan) fn apply_schedules(
    drawing: &Drawing,
    schedules: &[Schedule],
    storeys: &mut [Storey],
    findings: &mut Vec<Finding>,
) {
    if schedules.is_empty() {
        return;
    }
    let schedules: Vec<Schedule> = schedules
        .iter()
        .map(|it| by_type(drawing, schedules, it))
        .collect();
    let schedules = schedules.as_slice();
    let rows: Vec<(&Schedule, &Row)> = schedules
        .iter()
        .flat_map(|schedule| schedule.rows.iter().map(move |row| (schedule, row)))
        .collect();
    let tags = tags(drawing, schedules, &rows);
    let pairs = tie(storeys, &rows, &tags);
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for pair in &pairs {
        *counts.entry(pair.row).or_default() += 1;
        let row = rows[pair.row].1;
        let storey = &mut storeys[pair.storey];
        let text = tags[pair.tag].text;
        let id = storey.id.clone();
        give(
            drawing,
            &id,
            &mut storey.openings[pair.opening],
            row,
            text,
            findings,
        );
    }
    for schedule in schedules {
        let own: usize = rows
            .iter()
            .enumerate()
            .filter(|(_, (of, _))| std::ptr::eq(*of, schedule))
            .map(|(number, _)| counts.get(&number).copied().unwrap_or(0))
            .sum();
        findings.push(Finding::note(
            codes::SCHEDULE_READ,
            Place::file(&drawing.file).with_at(schedule.bounds[0].x, schedule.bounds[1].y),
            format!(
                "{} with {} rows was read; {own} openings have a tag of it",
                if schedule.title.is_empty() {
                    "a schedule without title".to_owned()
                } else {
                    format!("'{}'", schedule.title)
                },
                schedule.rows.len()
            ),
            "check one opening of each tag",
        ));
    }
    count_rows(drawing, &rows, &counts, findings);
    lone_tags(drawing, storeys, &tags, &pairs, findings);
}

/// What the row of a tag says of the opening beside it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::plan) struct TaggedSize {
    /// The middle of the tag, from an origin.
    pub at: Coord<f64>,
    pub width: f64,
    pub kind: OpeningKind,
}

/// The sizes that schedules give the tags on a plan: the unit's and the rough opening's.
pub(in crate::plan) fn tagged_sizes(
    drawing: &Drawing,
    schedules: &[Schedule],
    origin: Coord<f64>,
) -> Vec<TaggedSize> {
    let schedules: Vec<Schedule> = schedules
        .iter()
        .map(|it| by_type(drawing, schedules, it))
        .collect();
    let all = schedules.iter();
    let rows: Vec<(&Schedule, &Row)> = all
        .flat_map(|it| it.rows.iter().map(move |row| (it, row)))
        .collect();
    let tags = tags(drawing, &schedules, &rows);
    let sizes = tags.iter().filter(|it| it.is_sure).flat_map(|tag| {
        let (rows, text) = (tag.rows.iter().map(|row| rows[*row].1), tag.text);
        rows.flat_map(move |row| {
            let kind = row.kind;
            let widths = [row.width, row.rough_width].into_iter().flatten();
            widths.filter_map(move |width| {
                Some(TaggedSize {
                    at: text.middle - origin,
                    width,
                    kind: kind?,
                })
            })
        })
    });
    sizes.collect()
}

/// A schedule whose types, and none of its numbers, stand on the plan: they are its tags.
fn by_type(drawing: &Drawing, all: &[Schedule], own: &Schedule) -> Schedule {
    let mut typed = own.clone();
    for row in &mut typed.rows {
        row.tag = std::mem::take(&mut row.type_word);
    }
    let count = |it: &Schedule| {
        let rows: Vec<(&Schedule, &Row)> = it.rows.iter().map(|row| (it, row)).collect();
        let tags = tags(drawing, all, &rows).into_iter();
        tags.filter(|it| it.is_sure).count()
    };
    let is_told = typed.rows.iter().all(|row| !row.tag.is_empty());
    if is_told && count(own) == 0 && count(&typed) > 0 {
        typed
    } else {
        own.clone()
    }
}

/// A tag on the plan: the rows it may mean, and the text.
struct Tag<'a> {
    rows: Vec<usize>,
    text: &'a Text,
    /// False for letters alone: they are a tag where an opening of the row's width is beside them.
    is_sure: bool,
}

/// Texts outside the schedules that say the tag of a row, and stand in a bubble, can be nothing else or are letters.
fn tags<'a>(
    drawing: &'a Drawing,
    schedules: &[Schedule],
    rows: &[(&Schedule, &Row)],
) -> Vec<Tag<'a>> {
    let key = |text: &str| text.trim().to_uppercase();
    drawing
        .texts
        .iter()
        .filter(|text| {
            let source = drawing.sources.get(text.source.0 as usize);
            source.is_none_or(|source| !source.is_hidden)
        })
        .filter(|text| {
            !schedules.iter().any(|schedule| {
                let [low, high] = schedule.bounds;
                text.middle.x >= low.x - 1.0
                    && text.middle.x <= high.x + 1.0
                    && text.middle.y >= low.y - 1.0
                    && text.middle.y <= high.y + 1.0
            })
        })
        .filter_map(|text| {
            let own = key(&text.content);
            let meant: Vec<usize> = rows
                .iter()
                .enumerate()
                .filter(|(_, (_, row))| key(&row.tag) == own)
                .map(|(number, _)| number)
                .collect();
            let is_sure =
                !meant.is_empty() && (is_letters_and_digits(&own) || is_in_bubble(drawing, text));
            let is_letters = !own.is_empty() && own.chars().all(char::is_alphabetic);
            let is_tag = is_sure || is_letters;
            (!meant.is_empty() && is_tag).then_some(Tag {
                rows: meant,
                text,
                is_sure,
            })
        })
        .collect()
}

/// `W1`, `D-12`: letters, then digits; a bare number may be anything.
fn is_letters_and_digits(tag: &str) -> bool {
    let begins = tag.starts_with(char::is_alphabetic);
    let ends = tag.ends_with(|c: char| c.is_ascii_digit());
    begins
        && ends
        && tag
            .chars()
            .all(|c| c.is_alphanumeric() || "-. ".contains(c))
}

/// A tag at an opening, with the row it means.
#[derive(Clone, Copy, Debug)]
struct Pair {
    tag: usize,
    row: usize,
    storey: usize,
    opening: usize,
}

/// Each tag to the nearest opening and each opening to one tag, nearest pairs first.
fn tie(storeys: &[Storey], rows: &[(&Schedule, &Row)], tags: &[Tag<'_>]) -> Vec<Pair> {
    let mut offers: Vec<(f64, Pair)> = Vec::new();
    for (tag, own) in tags.iter().enumerate() {
        let (meant, text) = (&own.rows, own.text);
        let fits = |row: &Row, wide: f64| {
            let mut widths = [row.width, row.rough_width].into_iter().flatten();
            own.is_sure || widths.any(|it| (-SAME..=FRAMED).contains(&(wide - it)))
        };
        for (storey, own) in storeys.iter().enumerate() {
            for (opening, it) in own.openings.iter().enumerate() {
                let d = it.centre - text.middle;
                let far = (d.x.hypot(d.y) - it.width / 2.0).max(0.0);
                if far > BESIDE {
                    continue;
                }
                for row in meant.iter().filter(|row| fits(rows[**row].1, it.width)) {
                    let strange = if agrees(rows[*row].1.kind, it.kind) {
                        0.0
                    } else {
                        OTHER_KIND
                    };
                    let pair = Pair {
                        tag,
                        row: *row,
                        storey,
                        opening,
                    };
                    offers.push((d.x.hypot(d.y) + strange, pair));
                }
            }
        }
    }
    offers.sort_by(|a, b| {
        a.0.total_cmp(&b.0)
            .then(a.1.tag.cmp(&b.1.tag))
            .then(a.1.storey.cmp(&b.1.storey))
            .then(a.1.opening.cmp(&b.1.opening))
            .then(a.1.row.cmp(&b.1.row))
    });
    let mut pairs: Vec<Pair> = Vec::new();
    for (_, pair) in offers {
        let is_free = pairs.iter().all(|known| {
            known.tag != pair.tag && (known.storey, known.opening) != (pair.storey, pair.opening)
        });
        if is_free {
            pairs.push(pair);
        }
    }
    pairs.sort_by_key(|pair| (pair.storey, pair.opening));
    pairs
}

/// Whether a row's kind may be an opening of a kind.
fn agrees(row: Option<OpeningKind>, drawn: OpeningKind) -> bool {
    match (row, drawn) {
        (None, _) | (_, OpeningKind::Opening) => true,
        (Some(OpeningKind::Door), OpeningKind::GarageDoor) => true,
        (Some(kind), drawn) => kind == drawn,
    }
}

/// Gives an opening what its row says and the plan does not; names what disagrees.
fn give(
    drawing: &Drawing,
    storey: &str,
    opening: &mut Opening,
    row: &Row,
    text: &Text,
    findings: &mut Vec<Finding>,
) {
    let mut off: Vec<String> = Vec::new();
    let say = |length: f64| said(drawing, length);
    if let Some(width) = row.width {
        let wider = opening.width - width;
        let is_rough = row
            .rough_width
            .is_some_and(|rough| (rough - opening.width).abs() <= SAME);
        if !(is_rough || (-SAME..=FRAMED).contains(&wider)) {
            off.push(format!(
                "the schedule says {} wide, {} is drawn",
                say(width),
                say(opening.width)
            ));
        }
    }
    match (opening.height, row.height) {
        (None, Some(height)) => opening.height = Some(height),
        (Some(own), Some(height)) if (own - height).abs() > SAME => off.push(format!(
            "the schedule says {} high, the call-out {} says {}",
            say(height),
            opening.tag.as_deref().unwrap_or("beside it"),
            say(own)
        )),
        _ => {}
    }
    if let (Some(width), Some(height)) = (row.rough_width, row.rough_height) {
        opening.rough = opening.rough.or(Some([width, height]));
    }
    opening.sill = opening.sill.or(row.sill);
    opening.head = opening.head.or(row.head);
    if let (Some(sill), Some(head), Some(height)) = (row.sill, row.head, row.height)
        && (head - sill - height).abs() > SAME
    {
        off.push(format!(
            "the schedule's sill {} and head {} leave {}, and its height is {}",
            say(sill),
            say(head),
            say(head - sill),
            say(height)
        ));
    }
    if let Some(kind) = row.kind {
        let is_open = opening.kind == OpeningKind::Opening;
        if is_open {
            opening.kind = kind;
            opening.confidence = opening.confidence.max(0.97);
        }
        if is_open || opening.kind == kind && kind == OpeningKind::GarageDoor {
            // The schedule answers what the drawing left open.
            findings.retain(|finding| {
                !(matches!(finding.code, codes::BARE_JAMBS | codes::LONG_GAP)
                    && finding.place.element.as_deref() == Some(&opening.id))
            });
        } else if !agrees(row.kind, opening.kind) {
            off.push(format!(
                "the schedule says {}, {} is drawn",
                kind.name().replace('_', " "),
                opening.kind.name().replace('_', " ")
            ));
        }
    }
    let tag = row.tag.trim().to_owned();
    opening.tag = opening.tag.take().or(Some(tag.clone()));
    let handle = drawing
        .sources
        .get(text.source.0 as usize)
        .map(|source| source.handle.clone());
    opening.sources.extend(handle);
    opening.sources.sort();
    opening.sources.dedup();
    if !off.is_empty() {
        findings.push(Finding::doubt(
            codes::SCHEDULE_CONFLICT,
            Place::element(storey, &opening.id)
                .with_at(opening.centre.x, opening.centre.y)
                .with_sources(row.sources.iter()),
            format!("{} has the tag {tag}: {}", opening.id, off.join("; ")),
            "check which is right; what is drawn stands, then the call-out, then the schedule",
        ));
    }
}

/// From so many tags of one schedule on that stand nowhere on the plan they are asked about together; so are all of them.
const TOGETHER: usize = 3;

fn count_rows(
    drawing: &Drawing,
    rows: &[(&Schedule, &Row)],
    counts: &BTreeMap<usize, usize>,
    findings: &mut Vec<Finding>,
) {
    let counted = rows.iter().enumerate().map(|(number, (schedule, row))| {
        let on_plan = counts.get(&number).copied().unwrap_or(0);
        (*schedule, *row, on_plan)
    });
    let counted: Vec<(&Schedule, &Row, usize)> = counted.collect();
    for own in counted.chunk_by(|p, q| std::ptr::eq(p.0, q.0)) {
        let is_missing =
            |it: &&(&Schedule, &Row, usize)| it.2 == 0 && it.1.quantity.is_none_or(|it| it > 0);
        let missing: Vec<&Row> = own.iter().filter(is_missing).map(|it| it.1).collect();
        let is_none = missing.len() == own.len() && missing.len() > 1;
        let is_together = missing.len() >= TOGETHER || is_none;
        if let Some((schedule, ..)) = own.first().filter(|_| is_together) {
            findings.push(missing_tags(drawing, schedule, &missing));
        }
        let alone = own.iter().filter(|it| !is_together || !is_missing(it));
        findings.extend(alone.filter_map(|(schedule, row, on_plan)| {
            let place = Place::file(&drawing.file)
                .with_at(schedule.bounds[0].x, schedule.bounds[1].y)
                .with_sources(row.sources.iter());
            match row.quantity {
                Some(quantity) if quantity != *on_plan => Some(Finding::doubt(
                    codes::SCHEDULE_COUNT,
                    place,
                    format!(
                        "the schedule counts {quantity} of tag {}, the plan has {on_plan}",
                        row.tag
                    ),
                    "look for a missing opening or tag, or correct the schedule",
                )),
                None if *on_plan == 0 => Some(Finding::doubt(
                    codes::TAG_ALONE,
                    place,
                    format!(
                        "tag {} of the schedule stands at no opening of the plan",
                        row.tag
                    ),
                    "check whether an opening or its tag is missing",
                )),
                _ => None,
            }
        }));
    }
}

/// One question about all tags of a schedule that stand nowhere on the plan: one way of drawing them is behind it.
fn missing_tags(drawing: &Drawing, schedule: &Schedule, missing: &[&Row]) -> Finding {
    let tags: Vec<&str> = missing.iter().map(|it| it.tag.as_str()).collect();
    Finding::doubt(
        codes::TAG_ALONE,
        Place::file(&drawing.file)
            .with_at(schedule.bounds[0].x, schedule.bounds[1].y)
            .with_sources(missing.iter().flat_map(|it| &it.sources)),
        format!(
            "{} tags of the schedule stand at no opening of the plan: {}",
            tags.len(),
            tags.join(", ")
        ),
        "check whether these openings or their tags are missing; sizes are taken from what is drawn and from call-outs",
    )
}

/// Tags in bubbles near a wall that found no opening.
fn lone_tags(
    drawing: &Drawing,
    storeys: &[Storey],
    tags: &[Tag<'_>],
    pairs: &[Pair],
    findings: &mut Vec<Finding>,
) {
    for (number, tag) in tags.iter().enumerate() {
        if !tag.is_sure || pairs.iter().any(|pair| pair.tag == number) {
            continue;
        }
        let text = tag.text;
        let near = storeys.iter().find(|storey| {
            storey.walls.iter().any(|wall| {
                let d = wall.end - wall.start;
                let length = d.x.hypot(d.y).max(1e-9);
                let r = text.middle - wall.start;
                let (along, aside) = (
                    (r.x * d.x + r.y * d.y) / length,
                    (d.x * r.y - d.y * r.x).abs() / length,
                );
                aside < BESIDE && along > 0.0 && along < length
            })
        });
        let Some(storey) = near else { continue };
        let handle = drawing
            .sources
            .get(text.source.0 as usize)
            .map(|source| source.handle.clone());
        findings.push(Finding::doubt(
            codes::TAG_ALONE,
            Place {
                storey: Some(storey.id.clone()),
                ..Place::default()
            }
            .with_at(text.middle.x, text.middle.y)
            .with_sources(handle),
            format!("the tag {} stands at no opening", text.content.trim()),
            "check whether an opening is missing there; none is made",
        ));
    }
}
