//! Takes a review over to the next issue: what its sheets draw again, and the log the next package starts with.

use super::answers;
use super::drawn::{Drawn, DrawnForm};
use super::log::{LOG, MarksError, log_of};
use super::model::{Mark, NO_DATE, ReviewLog};
use super::picture::picture;
use super::reader::read_svg;
use super::sheets::{IssuedSheet, Sheets};
use super::taken_over::{HINT, is_taken_over};
use crate::documents::paper::fonts::cap_ratio;
use crate::documents::paper::{Area, Item, Spot, spot};
use crate::documents::{CarriedMark, FiledSheet, carried_by, mark_line, mark_words, pretty};
use crate::findings::{Finding, Place};
use crate::plan::Plan;
use crate::review::codes;
use crate::review::meanings::names_now;
use crate::rules::Job;
use crate::units::counted;
use std::collections::{BTreeMap, BTreeSet};

/// Numbers of key plans begin so.
const PLANS: &str = "Z-1";

/// The marks of an earlier issue, for the sheets of the next: walls and openings by their names on the new plan.
///
/// - `files`: the earlier package's, its `review/` included.
/// - `job`: the next issue's; a mark whose proposal it says by now is told apart.
/// - `retired`: marks of panels that are no more; a mark on one of them is said.
///
/// # Errors
/// [`MarksError`] when its log or its answers cannot be read.
pub fn carried_marks(
    files: &BTreeMap<String, Vec<u8>>,
    (plan, job, retired): (&Plan, &Job, &BTreeSet<String>),
    findings: &mut Vec<Finding>,
) -> Result<(ReviewLog, Vec<CarriedMark>), MarksError> {
    let mut log = log_of(files)?;
    if let Some(bytes) = files.get(answers::FILE) {
        answers::answer(&mut log, &String::from_utf8_lossy(bytes), findings)?;
    }
    let mut sheets = Sheets::of(files);
    let mut marks: Vec<CarriedMark> = log
        .marks
        .iter()
        .map(|mark| {
            let sheet = mark.sheet.as_deref().and_then(|name| sheets.get(name));
            carried(mark, sheet, &drawn(files, mark))
        })
        .collect();
    let named = |mark: &Mark| [mark.opening.clone(), mark.wall.clone()];
    let names = log.marks.iter().flat_map(named).flatten().collect();
    let now = names_now(files, plan, names)?;
    say(&log, &now, retired, findings);
    for (mark, carried) in log.marks.iter_mut().zip(&mut marks) {
        rename(mark, &now);
        carried.opening = mark.opening.clone().unwrap_or_default();
        carried.wall = mark.wall.clone().unwrap_or_default();
        if mark
            .proposal
            .as_ref()
            .is_some_and(|it| is_taken_over(it, job))
        {
            carried.question = format!("{} [{HINT}]", carried.question);
            carried.is_taken_over = mark.goes_on();
        }
    }
    Ok((log, marks))
}

/// Walls and openings of the issue before, each by its name on the new plan; `None` for what is not found again.
type Names = BTreeMap<String, Option<String>>;

/// Gives a mark the names of the new plan; what would change something that is gone proposes nothing any more.
fn rename(mark: &mut Mark, now: &Names) {
    let is = |name: &str| {
        now.get(name)
            .cloned()
            .unwrap_or_else(|| Some(name.to_owned()))
    };
    let proposal = mark.proposal.take().map(|text| {
        let lines = text.lines().map(|line| {
            let Some((before, id)) = line.split_once("id = \"") else {
                return Some(format!("{line}\n"));
            };
            let (id, after) = id.split_once('"')?;
            Some(format!("{before}id = \"{}\"{after}\n", is(id)?))
        });
        lines.collect::<Option<String>>()
    });
    mark.proposal = proposal.flatten();
    for name in [&mut mark.opening, &mut mark.wall] {
        *name = name.take().and_then(|it| is(&it));
    }
}

/// Says which marks go on, and which have lost what they were about.
fn say(log: &ReviewLog, now: &Names, retired: &BTreeSet<String>, findings: &mut Vec<Finding>) {
    let open: Vec<&Mark> = log.marks.iter().filter(|mark| mark.goes_on()).collect();
    let is_gone = |name: &&String| now.get(*name).is_some_and(Option::is_none);
    for mark in &open {
        if let Some(panel) = mark.panel.as_ref().filter(|it| retired.contains(*it)) {
            findings.push(Finding::doubt(
                codes::MARK_WITHOUT_PLACE,
                Place::panel(panel),
                format!("mark {} was about {panel}, which is retired", mark.id),
                "it is listed on Z-092: answer it in review/answers.toml if it still matters, or close it",
            ));
        } else if let Some(name) = mark.opening.as_ref().or(mark.wall.as_ref()).filter(is_gone) {
            findings.push(Finding::doubt(
                codes::MARK_WITHOUT_PLACE,
                Place::default(),
                format!(
                    "mark {} was about {name} of the issue before, which is not found on this plan",
                    mark.id
                ),
                "it is listed on Z-092, and proposes nothing any more: answer it in review/answers.toml if it still matters, or close it",
            ));
        }
    }
    if !open.is_empty() {
        findings.push(Finding::note(
            codes::MARKS_CARRIED,
            Place::default(),
            format!(
                "not closed, and carried to the new sheets or to Z-092: {} of the issue before",
                counted(open.len(), "mark")
            ),
            "answer or close them in review/answers.toml",
        ));
    }
}

/// What a mark's picture shows of it, on its sheet.
fn drawn(files: &BTreeMap<String, Vec<u8>>, mark: &Mark) -> Vec<Drawn> {
    let picture = files.get(&mark.picture).and_then(|it| read_svg(it).ok());
    let (Some(picture), Some(area)) = (picture, mark.area) else {
        return Vec::new();
    };
    let own = picture.groups.iter().position(|group| group.id == "mark");
    let items: Vec<Drawn> = picture
        .items
        .into_iter()
        .filter(|item| own.is_some_and(|own| item.groups.contains(&own)))
        .collect();
    // The picture begins where its frame does: back to where the mark stands on the sheet.
    let Some(corner) = super::drawn::around(&items) else {
        return items;
    };
    let shift = spot(area[0] - corner.x0, area[1] - corner.y0);
    items.into_iter().map(|it| it.placed(1.0, shift)).collect()
}

fn carried(mark: &Mark, sheet: Option<&IssuedSheet>, items: &[Drawn]) -> CarriedMark {
    let [x0, y0, x1, y1] = mark.area.unwrap_or_default();
    let area = Area::new(x0, y0, x1, y1);
    let given = |value: &Option<String>| value.clone().unwrap_or_default();
    let box_of = |is_it: &dyn Fn(&super::sheets::ShownPlace) -> bool| {
        let size = |it: &Area| it.width() * it.height();
        let places = sheet.into_iter().flat_map(|it| &it.places);
        places
            .filter(|it| is_it(it))
            .map(|it| it.area)
            .max_by(|a, b| size(a).total_cmp(&size(b)))
    };
    let mut paper: Vec<Item> = items.iter().flat_map(to_items).collect();
    if paper.is_empty() {
        paper.push(mark_line(area.grown(1.0).corners().to_vec(), true));
    }
    CarriedMark {
        id: mark.id.clone(),
        kind: mark.kind.name().to_owned(),
        status: mark.status.name().to_owned(),
        is_drawn: mark.goes_on() && mark.sheet.is_some(),
        is_taken_over: false,
        sheet: given(&mark.sheet),
        panel: given(&mark.panel),
        opening: given(&mark.opening),
        panel_area: box_of(&|it| it.panel.is_some() && it.panel == mark.panel),
        opening_area: box_of(&|it| it.opening.is_some() && it.opening == mark.opening),
        wall: given(&mark.wall),
        wall_area: box_of(&|it| it.wall.is_some() && it.wall == mark.wall),
        neighbours: sheet.map(neighbours).unwrap_or_default(),
        at: mark.at.map_or_else(|| area.middle(), |[x, y]| spot(x, y)),
        items: paper,
        question: match &mark.touches {
            Some(touches) => format!("{} ({touches})", mark.text),
            None => mark.text.clone(),
        },
        reviewer: given(&mark.reviewer),
        time: given(&mark.time),
        answer: given(&mark.answer),
        answered_on: match (&mark.answer, &mark.answered_on) {
            (Some(_), None) => NO_DATE.to_owned(),
            (_, on) => given(on),
        },
    }
}

/// Every panel of a plan with the middle of its box; none of another sheet.
fn neighbours(sheet: &IssuedSheet) -> Vec<(String, Spot)> {
    if !sheet.name.starts_with(PLANS) {
        return Vec::new();
    }
    let size = |it: &Area| it.width() * it.height();
    let mut largest: BTreeMap<&String, Area> = BTreeMap::new();
    for place in &sheet.places {
        if let Some(panel) = &place.panel {
            let known = largest.entry(panel).or_insert(place.area);
            if size(&place.area) > size(known) {
                *known = place.area;
            }
        }
    }
    let all = largest.into_iter();
    all.map(|(panel, area)| (panel.clone(), area.middle()))
        .collect()
}

fn to_items(item: &Drawn) -> Vec<Item> {
    match &item.form {
        DrawnForm::Lines(lines) => lines
            .runs
            .iter()
            .map(|run| mark_line(run.points.clone(), run.is_closed))
            .collect(),
        DrawnForm::Words(words) => vec![mark_words(
            &words.words,
            words.at,
            words.size * cap_ratio(),
            words.anchor,
            words.turn_deg,
        )],
        DrawnForm::Image(_) => vec![mark_line(item.area.corners().to_vec(), true)],
    }
}

/// The `review/` that the next package starts with: marks that go on, where its sheets show them now, and the highest number
/// that a mark bore; nothing where none ever came back.
///
/// - `old`: the log with its answers, and the SHA-256 of the manifest it answers.
/// - `files`: the next package's; `id`: the SHA-256 of its manifest.
/// - A mark that no sheet shows any more keeps no sheet.
pub fn next_review(
    (old, old_id): (&ReviewLog, &str),
    (files, id): (&BTreeMap<String, Vec<u8>>, &str),
    (set, earlier): (&[FiledSheet], &BTreeMap<String, Vec<u8>>),
) -> BTreeMap<String, Vec<u8>> {
    let mut made = BTreeMap::new();
    let mut log = ReviewLog {
        last: old.last_number(),
        ..ReviewLog::default()
    };
    let mut sheets = Sheets::of(files);
    for mark in old.marks.iter().filter(|mark| mark.goes_on()) {
        let items = drawn(earlier, mark);
        let place = set
            .iter()
            .find_map(|it| Some((it.sheet.name.as_str(), carried_by(&it.sheet, &mark.id)?)));
        let mut next = Mark {
            package: id.to_owned(),
            carried_from: Some(format!("{} of {old_id}", mark.id)),
            ..mark.clone()
        };
        let (items, sheet) = match (place, mark.area) {
            (Some((name, shift)), Some(was)) => {
                let [x0, y0, x1, y1] = was;
                let put = |p: Spot| [p.x + shift.x, p.y + shift.y];
                next.sheet = Some(name.to_owned());
                let round = |mm: f64| (mm * 1000.0).round() / 1000.0;
                let now = [x0 + shift.x, y0 + shift.y, x1 + shift.x, y1 + shift.y];
                next.area = Some(now.map(round));
                next.at = mark.at.map(|[x, y]| put(spot(x, y)));
                let items = items.into_iter().map(|it| it.placed(1.0, shift)).collect();
                (items, sheets.get(name))
            }
            _ => {
                next.sheet = None;
                next.area = None;
                next.at = None;
                (items, None)
            }
        };
        let title = format!("{} {}", mark.id, mark.kind.name());
        made.insert(
            next.picture.clone(),
            picture(&mark.id, &title, &items, sheet),
        );
        log.marks.push(next);
    }
    if log.last > 0 {
        made.insert(LOG.to_owned(), pretty(&log).into_bytes());
    }
    made
}
