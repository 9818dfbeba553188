//! Marks of the issue before: open ones drawn again where their panel now stands, and all of them on the review sheet.
//!
//! ```text
//!   old sheet: panel's box ── the mark beside it        new sheet: panel's box ── the mark, as far beside it
//!                                                                               └── M1 OPEN, in a box (label.rs)
//! ```

mod label;

use super::paper::page::extent;
use super::paper::style::{Fill, Ink, Pen};
use super::paper::table::{Column, Table};
use super::paper::{
    Anchor, Area, Canvas, Form, Group, Item, Lettered, Shape, Sheet, Spot, Text, spot,
};
use super::table_sheet::TableSheets;
use super::{CarriedMark, FiledSheet, IssueFacts, TitleFacts};
use std::collections::BTreeMap;

/// Id of the layer with the marks of the issue before.
pub(super) const LAYER: &str = "carried-marks";
/// Number of the sheet that lists all marks.
const REVIEW_SHEET: &str = "Z-092";
/// Fact of a mark's group: how far the mark moved on paper, mm.
const MOVED_BY: &str = "moved-by";

/// True when a sheet, as bytes, shows marks of an earlier issue.
pub(super) fn shows_marks(svg: &[u8]) -> bool {
    let wanted = format!("id=\"{LAYER}\"");
    svg.windows(wanted.len()).any(|it| it == wanted.as_bytes())
}

/// True when a sheet shows marks of the issue before.
pub(super) fn is_marked(sheet: &Sheet) -> bool {
    sheet.layers.iter().any(|layer| layer.id == LAYER)
}

/// Draws every mark that is not closed on the sheet that now shows what it is about.
pub(super) fn draw_carried(set: &mut [FiledSheet], issue: &IssueFacts) {
    let mut by_sheet: BTreeMap<usize, Vec<(&CarriedMark, Spot)>> = BTreeMap::new();
    for mark in issue.marks.iter().filter(|mark| mark.is_drawn) {
        if let Some((index, shift)) = place(set, mark) {
            by_sheet.entry(index).or_default().push((mark, shift));
        }
    }
    for (index, marks) in by_sheet {
        let sheet = &mut set[index].sheet;
        let items = label::draw(sheet, &marks);
        sheet.layers.push(Group {
            id: LAYER.to_owned(),
            title: "Marks of the issue before".to_owned(),
            items,
            ..Group::default()
        });
    }
}

/// How far a mark moved on the way to a sheet, mm on paper; `None` where the sheet does not show it.
#[must_use]
pub fn carried_by(sheet: &Sheet, id: &str) -> Option<Spot> {
    let wanted = format!("carried-{id}");
    let layer = sheet.layers.iter().find(|layer| layer.id == LAYER)?;
    let group = layer.items.iter().find_map(|item| match item {
        Item::Group(group) if group.id == wanted => Some(group),
        Item::Group(_) | Item::Shape(_) | Item::Text(_) => None,
    })?;
    let (_, by) = group.data.iter().find(|it| it.0 == MOVED_BY)?;
    let (x, y) = by.split_once(' ')?;
    Some(spot(x.parse().ok()?, y.parse().ok()?))
}

/// The sheet a mark is drawn on, and how far it moves on paper; `None` when what it is about is gone.
fn place(set: &[FiledSheet], mark: &CarriedMark) -> Option<(usize, Spot)> {
    let shift = |was: &Area, now: &Area| {
        let to = carried(mark.at, was, now);
        spot(to.x - mark.at.x, to.y - mark.at.y)
    };
    if mark.panel.is_empty() {
        let facts = [
            ("opening", &mark.opening, &mark.opening_area),
            ("wall", &mark.wall, &mark.wall_area),
        ];
        let again = facts.into_iter().find_map(|(fact, name, was)| {
            let (index, now) = best(set, mark, (fact, name), SAME_KIND)?;
            Some((index, shift(was.as_ref()?, &now)))
        });
        let same = || set.iter().position(|it| it.sheet.name == mark.sheet);
        return again.or_else(|| {
            let index = same()?;
            let by = beside_neighbours(&set[index].sheet, mark);
            Some((index, by.unwrap_or_default()))
        });
    }
    let (index, panel) = best(set, mark, ("panel", &mark.panel), ANY_KIND)?;
    let opening = (!mark.opening.is_empty())
        .then(|| shown_opening(&set[index].sheet, &mark.opening))
        .flatten();
    let (was, now) = match (mark.opening_area, opening) {
        (Some(was), Some(now)) => (was, now),
        _ => (mark.panel_area.unwrap_or(panel), panel),
    };
    Some((index, shift(&was, &now)))
}

/// Where a mark in a room goes with the panels round it, though the plan came back moved, turned or at another scale: as the most of them
/// went. `None` where fewer than three of them are there still.
fn beside_neighbours(sheet: &Sheet, mark: &CarriedMark) -> Option<Spot> {
    let pairs = mark.neighbours.iter();
    let pairs =
        pairs.filter_map(|(panel, was)| Some((*was, shown(sheet, "panel", panel)?.middle())));
    let pairs: Vec<(Spot, Spot)> = pairs.collect();
    if pairs.len() < 3 {
        return None;
    }
    let n = f64::from(u32::try_from(pairs.len()).ok()?);
    let mean = |of: &dyn Fn(&(Spot, Spot)) -> Spot| {
        let sum = pairs.iter().map(of).fold(spot(0.0, 0.0), |a, b| a + b);
        spot(sum.x / n, sum.y / n)
    };
    let (from, to) = (mean(&|it| it.0), mean(&|it| it.1));
    // The turn and scale that lay the old places on the new ones with the least squares.
    let (mut straight, mut across, mut size) = (0.0, 0.0, 0.0);
    for (was, now) in &pairs {
        let (p, q) = (*was - from, *now - to);
        straight += p.x * q.x + p.y * q.y;
        across += p.x * q.y - p.y * q.x;
        size += p.x * p.x + p.y * p.y;
    }
    if size < 1.0 {
        return None;
    }
    let (straight, across) = (straight / size, across / size);
    let p = mark.at - from;
    let now = to + spot(p.x * straight - p.y * across, p.x * across + p.y * straight);
    Some(now - mark.at)
}

/// How far from the sheet of a mark its next sheet may be: of the same kind; a panel's own, or any.
const SAME_KIND: usize = 1;
const ANY_KIND: usize = 3;

/// The sheet that shows a panel, an opening or a wall, and where: the same sheet, one of the same kind, then the panel's own.
fn best(
    set: &[FiledSheet],
    mark: &CarriedMark,
    (fact, name): (&str, &str),
    farthest: usize,
) -> Option<(usize, Area)> {
    let kind = |name: &str| name.get(..3).map(str::to_owned);
    let order = |sheet: &Sheet| match () {
        () if sheet.name == mark.sheet => 0,
        () if kind(&sheet.name) == kind(&mark.sheet) => SAME_KIND,
        () if sheet.data.iter().any(|it| it.0 == "panel") => 2,
        () => ANY_KIND,
    };
    let all = set.iter().enumerate();
    let near = all.filter(|(_, it)| !name.is_empty() && order(&it.sheet) <= farthest);
    near.filter_map(|(index, it)| Some((index, shown(&it.sheet, fact, name)?)))
        .min_by_key(|(index, _)| order(&set[*index].sheet))
}

/// A point beside or in a box, as it stands to that box after it moved.
fn carried(p: Spot, was: &Area, now: &Area) -> Spot {
    let along = |p: f64, [a, b]: [f64; 2], [c, d]: [f64; 2]| {
        let inside = p.clamp(a, b.max(a));
        let share = if b - a > 1e-6 {
            (inside - a) / (b - a)
        } else {
            0.5
        };
        c + share * (d - c) + (p - inside)
    };
    spot(
        along(p.x, [was.x0, was.x1], [now.x0, now.x1]),
        along(p.y, [was.y0, was.y1], [now.y0, now.y1]),
    )
}

fn shown_opening(sheet: &Sheet, id: &str) -> Option<Area> {
    shown(sheet, "opening", id)
}

/// The box of the largest group that shows a panel or an opening.
fn shown(sheet: &Sheet, fact: &str, name: &str) -> Option<Area> {
    fn look(group: &Group, fact: &str, name: &str, found: &mut Vec<Area>) {
        let is_it = group
            .data
            .iter()
            .any(|(key, value)| key == fact && value == name);
        if is_it {
            found.extend(extent(group));
        }
        for item in &group.items {
            if let Item::Group(inner) = item {
                look(inner, fact, name, found);
            }
        }
    }
    let mut found = Vec::new();
    let layers = sheet.layers.iter().filter(|layer| layer.id != LAYER);
    for layer in layers {
        look(layer, fact, name, &mut found);
    }
    let size = |it: &Area| it.width() * it.height();
    found.into_iter().max_by(|a, b| size(a).total_cmp(&size(b)))
}

fn moved(item: &Item, by: Spot) -> Item {
    let put = |p: &Spot| spot(p.x + by.x, p.y + by.y);
    let all = |points: &[Spot]| points.iter().map(put).collect();
    match item {
        Item::Group(group) => Item::Group(Group {
            items: group.items.iter().map(|it| moved(it, by)).collect(),
            ..group.clone()
        }),
        Item::Text(text) => Item::Text(Text {
            at: put(&text.at),
            ..text.clone()
        }),
        Item::Shape(shape) => Item::Shape(Shape {
            form: match &shape.form {
                Form::Polyline(points) => Form::Polyline(all(points)),
                Form::Polygon(points) => Form::Polygon(all(points)),
                other => other.clone(),
            },
            ..shape.clone()
        }),
    }
}

/// A mark's lines and words as items of a sheet: in the accent and the widest pen, so that no drawing of ours looks alike.
#[must_use]
pub fn mark_line(points: Vec<Spot>, is_closed: bool) -> Item {
    Item::Shape(Shape {
        form: if is_closed {
            Form::Polygon(points)
        } else {
            Form::Polyline(points)
        },
        stroke: Some(Pen::Heavy.full().with(Ink::Accent)),
        fill: Fill::None,
    })
}

/// What a mark's box and the review sheet call its state.
fn state(mark: &CarriedMark) -> String {
    if mark.is_taken_over && mark.status == "open" {
        "TAKEN OVER".to_owned()
    } else {
        mark.status.to_uppercase()
    }
}

/// The words of a mark.
#[must_use]
pub fn mark_words(words: &str, at: Spot, cap: f64, anchor: Anchor, turn_deg: f64) -> Item {
    let mut canvas = Canvas::new();
    canvas.text(at, words, Lettered::cap(cap).ink(Ink::Accent));
    let group = canvas.into_group("", "");
    let text = group.items.into_iter().find_map(|item| match item {
        Item::Text(text) => Some(text),
        Item::Group(_) | Item::Shape(_) => None,
    });
    match text {
        Some(text) => Item::Text(Text {
            anchor,
            turn_deg,
            ..text
        }),
        None => mark_line(vec![at, at], false),
    }
}

/// `Z-092-review` and as many more as it takes: every mark of the issue before with its answer; none without marks.
pub(super) fn review_sheets(
    issue: &IssueFacts,
    set: &[FiledSheet],
    facts: &TitleFacts,
) -> Vec<Sheet> {
    if issue.marks.is_empty() {
        return Vec::new();
    }
    let row = |mark: &CarriedMark| {
        let now = place(set, mark).map(|(index, _)| set[index].sheet.number.clone());
        let was = mark
            .sheet
            .splitn(3, '-')
            .take(2)
            .collect::<Vec<_>>()
            .join("-");
        let sheet = match now {
            Some(now) => now,
            None if mark.sheet.is_empty() => "none".to_owned(),
            None => format!("gone; was {was}"),
        };
        let by = [
            mark.reviewer.as_str(),
            mark.time.get(..10).unwrap_or(&mark.time),
        ];
        let by: Vec<&str> = by.into_iter().filter(|it| !it.is_empty()).collect();
        let answer = if mark.answer.is_empty() {
            "no answer yet".to_owned()
        } else {
            mark.answer.clone()
        };
        vec![
            mark.id.clone(),
            state(mark),
            sheet,
            mark.panel.clone(),
            by.join(", "),
            format!("{}: {}", mark.kind, mark.question),
            answer,
            mark.answered_on.clone(),
        ]
    };
    let table = Table {
        columns: vec![
            Column::words("MARK").bold(),
            Column::words("STATUS").bold(),
            Column::wrapping("SHEET"),
            Column::words("PANEL").bold(),
            Column::wrapping("BY"),
            Column::wrapping("WHAT THE REVIEWER MARKED"),
            Column::wrapping("ANSWER"),
            Column::words("ANSWERED"),
        ],
        rows: issue.marks.iter().map(row).collect(),
        total: None,
        has_heads: true,
    };
    TableSheets {
        number: REVIEW_SHEET,
        name: "review",
        title: "REVIEW",
        subtitle: &format!("marks on {}", issue.issue_before()),
        description: "Every mark that came back for the issue before, with its answer.",
        notes: &[
            "An OPEN mark has no answer that its reviewer agreed to: it stands again on the sheet named, in a heavy line with its number in a box.",
            "TAKEN OVER: an open mark of which the job says by now what it asked for. Its box stays on the sheet until it is closed; nothing is struck.",
            "ANSWERED: the drafter answered; the reviewer has not closed it. CLOSED: done with, and listed here for the last time.",
            "GONE: the panel or the sheet that was marked is no more; the question may still hold.",
            "A stamp holds for the issue it was put on alone: it is listed here and stands on no new sheet.",
            "Nothing a reviewer wrote changes a size until it stands in the job.",
        ]
        .map(str::to_owned),
        table: &table,
        facts,
    }
    .draw()
}

#[cfg(test)]
mod tests {
    use super::*;

    const PANELS: [(&str, [f64; 2]); 4] = [
        ("W101", [0.0, 0.0]),
        ("W102", [100.0, 0.0]),
        ("W103", [100.0, 60.0]),
        ("W104", [0.0, 60.0]),
    ];

    #[test]
    fn a_mark_in_a_room_goes_with_the_panels_round_it() {
        let mark = CarriedMark {
            at: spot(20.0, 10.0),
            neighbours: PANELS
                .map(|(panel, [x, y])| (panel.to_owned(), spot(x, y)))
                .to_vec(),
            ..CarriedMark::default()
        };
        // The plan turned by a quarter, at half the scale; of its panels one is gone.
        let mut canvas = Canvas::new();
        for (panel, [x, y]) in &PANELS[..3] {
            let at = spot(200.0 - y / 2.0, 50.0 + x / 2.0);
            canvas.group_with("", "", &[("panel", *panel)], |canvas| {
                canvas.circle(Pen::Fine.full(), Fill::None, at, 3.0);
            });
        }
        let sheet = Sheet {
            layers: vec![canvas.into_group("", "")],
            ..Sheet::default()
        };
        let by = beside_neighbours(&sheet, &mark).unwrap();
        let now = mark.at + by;
        assert!((now.x - 195.0).hypot(now.y - 60.0) < 1e-6, "{now:?}");
        let lost = CarriedMark {
            neighbours: mark.neighbours[2..].to_vec(),
            ..mark
        };
        assert_eq!(beside_neighbours(&sheet, &lost), None);
    }
}
