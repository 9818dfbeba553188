//! What a number in a string of dimensions under a wall is of: the piece between two ticks in which it stands, or to which its leader
//! leads, tells which of several as long is meant.
//!
//! ```text
//!   |──2'-6"──|──3'-0"──|──2'-6"──|     ticks ─► inches along the wall ─► opening, pier or panel
//! ```

use super::drafts::Draft;
use super::drawn::{Drawn, Run, around, gap_to};
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
            "modules" => about.panel = panel_at(issued, wall, at),
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
    let groups = &sheet.drawing.groups;
    let is_string = |group: &&usize| {
        let facts = groups.get(**group);
        facts.is_some_and(|it| it.data.contains_key("string"))
    };
    let own = *number.groups.iter().rev().find(is_string)?;
    let ruler = Ruler::of(issued, sheet, wall, (own, string))?;
    let leaders = runs(sheet, own).into_iter().filter_map(|run| {
        let (first, last) = (run.points.first()?, run.points.last()?);
        let begins = (first.y - ruler.lane).abs() < TOUCH && (last.y - ruler.lane).abs() > TOUCH;
        begins.then_some((gap_to(&number.area, *last), first.x))
    });
    let leader = leaders
        .filter(|it| it.0 <= AT_NUMBER)
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let x = leader.map_or_else(|| number.area.middle().x, |it| it.1);
    let mut pieces = ruler.ticks.windows(2);
    let piece = pieces.find(|it| it[0] < x && x < it[1])?;
    Some(ruler.along(f64::midpoint(piece[0], piece[1])))
}

/// Every run of lines in a group of a sheet.
fn runs(sheet: &IssuedSheet, group: usize) -> Vec<&Run> {
    let items = sheet.drawing.items.iter();
    let of_it = items.filter(|it| it.groups.contains(&group));
    let lines = of_it.filter_map(Drawn::lines);
    lines.flat_map(|it| &it.runs).collect()
}

/// A string of dimensions as what it is on paper: a ruler along its wall.
struct Ruler {
    /// Where its line is, mm.
    lane: f64,
    /// Its ticks from left to right, mm.
    ticks: Vec<f64>,
    /// Where the first is, from the wall's left corner, inches.
    start: f64,
    /// Inches to a millimetre.
    inches: f64,
}

impl Ruler {
    /// - `string`: its group and what it is.
    fn of(
        issued: &Issued,
        sheet: &IssuedSheet,
        wall: &IssuedWall,
        (own, string): (usize, &str),
    ) -> Option<Self> {
        let runs = runs(sheet, own);
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
        let scale = sheet.fact("scale")?.strip_prefix("1:")?;
        let inches = scale.parse::<f64>().ok()? / 25.4;
        let (first, last) = (*ticks.first()?, *ticks.last()?);
        let whole = format!("string-{string}-{}", wall.id);
        let start = if sheet.drawing.groups.get(own)?.id == whole {
            from_corner(issued, wall)
        } else {
            start_of_part(issued, sheet, wall, [first, last], (lane, inches))?
        };
        Some(Self {
            lane,
            ticks,
            start,
            inches,
        })
    }

    /// A place on paper along the wall, inches.
    fn along(&self, x: f64) -> f64 {
        let first = self.ticks.first().copied().unwrap_or_default();
        self.start + (x - first) * self.inches
    }
}

/// Lays a mark on the drawing of a wall to the panel and the opening in which it stands: an elevation names its panels at their marks
/// alone.
pub(super) fn settle_elevation(issued: &Issued, sheet: &IssuedSheet, about: &mut About) {
    if sheet.fact("elevation").is_none() || about.panel.is_some() || about.string.is_some() {
        return;
    }
    let groups = &sheet.drawing.groups;
    let p = about.at;
    let of_walls = groups.iter().enumerate().filter_map(|(own, group)| {
        let key = group.id.strip_prefix("wall-")?;
        let inside = sheet.drawing.items.iter();
        let area = around(inside.filter(|it| it.groups.contains(&own)))?;
        (gap_to(&area, p) <= 0.0).then_some((own, key, group.data.get("wall")?))
    });
    for (own, key, id) in of_walls {
        let Some(wall) = issued.walls.iter().find(|it| it.id == *id) else {
            continue;
        };
        let string = format!("string-modules-{key}");
        let string = groups.iter().position(|it| it.id == string);
        let ruler = string.and_then(|it| Ruler::of(issued, sheet, wall, (it, "modules")));
        let Some(ruler) = ruler else { continue };
        let at = ruler.along(p.x);
        let panel = panel_at(issued, wall, at);
        // Between the jambs of an opening, in a box as wide as it.
        let all = openings(issued, wall);
        let here = all.iter().find(|it| it.from < at && at < it.to);
        let is_box = |it: &&Drawn| {
            let sides = [it.area.x0, it.area.x1].map(|x| ruler.along(x));
            let is_as_wide = here.is_some_and(|it| {
                (sides[0] - it.from).abs() < 1.0 && (sides[1] - it.to).abs() < 1.0
            });
            is_as_wide && it.groups.contains(&own) && gap_to(&it.area, p) <= 0.0
        };
        let is_inside = sheet.drawing.items.iter().any(|it| is_box(&it));
        about.panel = panel;
        about.opening = here.filter(|_| is_inside).map(|it| it.id.to_owned());
        about.wall = Some(id.clone());
        return;
    }
}

/// The panel of full height at a place along a wall.
fn panel_at(issued: &Issued, wall: &IssuedWall, at: f64) -> Option<String> {
    let of_it = issued.panels.iter().filter(|it| it.wall == wall.id);
    let mut of_it = of_it.filter(|it| it.kind == "wall");
    let here = of_it.find(|it| {
        let left = left_of(issued, wall, it);
        left < at && at < left + it.width
    });
    here.map(|it| it.mark.clone())
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
