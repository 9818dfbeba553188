//! What a number in a string of dimensions under a wall is of: the piece between two ticks in which it stands, or to which its leader
//! leads, tells which of several as long is meant.
//!
//! ```text
//!   |──2'-6"──|──3'-0"──|──2'-6"──|     ticks ─► inches along the wall ─► opening, pier or panel
//! ```

use super::drafts::Draft;
use super::drawn::{Drawn, Run, gap_to};
use super::proposals_layout::{from_corner, left_of};
use super::proposals_openings::openings;
use super::sheets::{IssuedSheet, ShownPlace};
use super::touching::About;
use crate::review::issued::{Issued, IssuedWall};

/// A number of the sheet that a mark edits stands no farther from it, mm.
const NEAR: f64 = 40.0;
/// Lines meet within this, mm.
const TOUCH: f64 = 0.05;
/// A leader ends no farther from its number, mm.
const AT_NUMBER: f64 = 2.0;

/// Lays a mark that edits a number of a string to what that number is of.
pub(super) fn settle_string(
    issued: &Issued,
    sheet: &IssuedSheet,
    about: &mut About,
    draft: &Draft,
) {
    let Some(number) = number(sheet, about, draft) else {
        return;
    };
    let fact = |name: &str| sheet.drawing.fact(number, name).map(str::to_owned);
    let Some(string) = fact("string") else {
        return;
    };
    about.wall = fact("wall").or_else(|| about.wall.take());
    (about.panel, about.opening) = (None, None);
    let wall = (issued.walls.iter()).find(|it| Some(&it.id) == about.wall.as_ref());
    about.along = wall.and_then(|wall| along(issued, sheet, wall, number, &string));
    if let (Some(at), Some(wall)) = (about.along, wall) {
        match string.as_str() {
            "openings" => {
                let all = openings(issued, wall);
                let here = all.iter().find(|it| it.from < at && at < it.to);
                about.opening = here.map(|it| it.id.to_owned());
            }
            "modules" => {
                let of_it = issued.panels.iter().filter(|it| it.wall == wall.id);
                let mut of_it = of_it.filter(|it| it.kind == "wall");
                let here = of_it.find(|it| {
                    let left = left_of(issued, wall, it);
                    left < at && at < left + it.width
                });
                about.panel = here.map(|it| it.mark.clone());
            }
            _ => {}
        }
    }
    about.string = Some(string);
}

/// The number that a mark edits: what it changed itself, else the nearest one that says what it was.
fn number<'a>(sheet: &'a IssuedSheet, about: &About, draft: &Draft) -> Option<&'a Drawn> {
    if let Some(own) = draft.issued {
        return sheet.drawing.items.get(own);
    }
    let (was, _) = draft.edit.as_ref().filter(|it| !it.0.is_empty())?;
    let off = |it: &&Drawn| gap_to(&it.area, about.at);
    let all = sheet.drawing.items.iter().filter(|it| it.words() == was);
    all.filter(|it| off(it) <= NEAR)
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// The middle of a number's piece, from the wall's left corner seen from outside, inches; `None` where its string does not tell.
fn along(
    issued: &Issued,
    sheet: &IssuedSheet,
    wall: &IssuedWall,
    number: &Drawn,
    string: &str,
) -> Option<f64> {
    let drawing = &sheet.drawing;
    let is_string = |group: &&usize| {
        let facts = drawing.groups.get(**group);
        facts.is_some_and(|it| it.data.contains_key("string"))
    };
    let own = *number.groups.iter().rev().find(is_string)?;
    let of_it = drawing.items.iter().filter(|it| it.groups.contains(&own));
    let lines = of_it.filter_map(Drawn::lines);
    let runs: Vec<&Run> = lines.flat_map(|it| &it.runs).collect();
    let is_level = |run: &&&Run| matches!(run.points[..], [a, b] if (a.y - b.y).abs() < TOUCH && (a.x - b.x).abs() > TOUCH);
    let lane = runs.iter().find(is_level)?.points.first()?.y;
    // Extension lines cross the string's line; leaders begin on it.
    let ticks = runs.iter().filter_map(|run| match run.points[..] {
        [a, b] if (a.x - b.x).abs() < TOUCH => {
            let crosses = (a.y - lane) * (b.y - lane) < -TOUCH;
            crosses.then_some(a.x)
        }
        _ => None,
    });
    let mut ticks: Vec<f64> = ticks.collect();
    ticks.sort_by(f64::total_cmp);
    let leaders = runs.iter().filter_map(|run| {
        let (first, last) = (run.points.first()?, run.points.last()?);
        let begins = (first.y - lane).abs() < TOUCH && (last.y - lane).abs() > TOUCH;
        begins.then_some((gap_to(&number.area, *last), first.x))
    });
    let leader = leaders
        .filter(|it| it.0 <= AT_NUMBER)
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let x = leader.map_or_else(|| number.area.middle().x, |it| it.1);
    let piece = ticks.windows(2).find(|it| it[0] < x && x < it[1])?;
    let scale = sheet.fact("scale")?.strip_prefix("1:")?;
    let inches = scale.parse::<f64>().ok()? / 25.4;
    let first = *ticks.first()?;
    let whole = format!("string-{string}-{}", wall.id);
    let start = if drawing.groups.get(own)?.id == whole {
        from_corner(issued, wall)
    } else {
        let (last, span) = (*ticks.last()?, (lane, inches));
        start_of_part(issued, sheet, wall, [first, last], span)?
    };
    Some(start + (f64::midpoint(piece[0], piece[1]) - first) * inches)
}

/// Where a string of a part of a wall begins along it: by the marks of the panels over it, which stand in their middles.
fn start_of_part(
    issued: &Issued,
    sheet: &IssuedSheet,
    wall: &IssuedWall,
    [first, last]: [f64; 2],
    (lane, inches): (f64, f64),
) -> Option<f64> {
    let is_over = |place: &&ShownPlace| {
        let at = place.area.middle();
        place.wall.as_ref() == Some(&wall.id) && at.y < lane && first < at.x && at.x < last
    };
    let starts = sheet.places.iter().filter(is_over).filter_map(|place| {
        let panel = issued.panel(place.panel.as_deref()?)?;
        let middle = left_of(issued, wall, panel) + panel.width / 2.0;
        Some(middle - (place.area.middle().x - first) * inches)
    });
    let mut starts: Vec<f64> = starts.collect();
    starts.sort_by(f64::total_cmp);
    starts.get(starts.len() / 2).copied()
}
