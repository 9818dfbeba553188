//! Marks of the issue before: open ones drawn again where their panel now stands, and all of them on the review sheet.
//!
//! ```text
//!   old sheet: panel's box ── the mark beside it        new sheet: panel's box ── the mark, as far beside it
//!                                                                               └── M1 OPEN, in a box
//! ```

use super::paper::page::extent;
use super::paper::style::{Fill, Ink, Pen, SMALL_SHEET};
use super::paper::table::{Column, Table};
use super::paper::{
    Anchor, Area, Canvas, Form, Group, Item, Lettered, Shape, Sheet, Spot, Text, spot,
};
use super::table_sheet::TableSheets;
use super::{CarriedMark, FiledSheet, IssueFacts, TitleFacts};

/// Id of the layer with the marks of the issue before.
pub(super) const LAYER: &str = "carried-marks";
/// Room between a mark and its tag, and steps farther out when that is taken, mm.
const BESIDE: [f64; 5] = [1.5, 5.0, 10.0, 16.0, 24.0];

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
    for mark in issue.marks.iter().filter(|mark| mark.is_drawn) {
        if let Some((index, shift)) = place(set, mark) {
            let sheet = &mut set[index].sheet;
            let group = drawn(sheet, mark, shift);
            match sheet.layers.iter_mut().find(|layer| layer.id == LAYER) {
                Some(layer) => layer.items.push(Item::Group(group)),
                None => sheet.layers.push(Group {
                    id: LAYER.to_owned(),
                    title: "Marks of the issue before".to_owned(),
                    items: vec![Item::Group(group)],
                    ..Group::default()
                }),
            }
        }
    }
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
        return again.or_else(|| Some((same()?, spot(0.0, 0.0))));
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

/// A mark at its new place, with its tag.
fn drawn(sheet: &Sheet, mark: &CarriedMark, shift: Spot) -> Group {
    let mut canvas = Canvas::new();
    for item in &mark.items {
        canvas.put(moved(item, shift));
    }
    let mut strokes = canvas.into_group("", "");
    let area = extent(&strokes).unwrap_or_else(|| {
        let at = spot(mark.at.x + shift.x, mark.at.y + shift.y);
        Area::of(at, at)
    });
    let words = format!("{} {}", mark.id, mark.status.to_uppercase());
    let mut tag = Canvas::new();
    let lettered = Lettered::cap(SMALL_SHEET.note).bold().ink(Ink::Accent);
    let (width, height) = (lettered.width(&words) + 2.0, SMALL_SHEET.note + 2.0);
    let place = free_place(sheet, &area, width, height);
    tag.shape(
        Form::Area(place),
        Pen::Edge.full().with(Ink::Accent),
        Fill::White,
    );
    tag.text_centred(place.middle(), words, lettered.middle());
    strokes.id = format!("carried-{}", mark.id);
    strokes.title = format!("{} {}: {}", mark.id, mark.status, mark.question);
    strokes
        .items
        .push(Item::Group(tag.into_group(&format!("tag-{}", mark.id), "")));
    strokes
}

/// A place beside a mark where the tag stands on no text, as far as there is one.
fn free_place(sheet: &Sheet, area: &Area, width: f64, height: f64) -> Area {
    let mut taken = Vec::new();
    for layer in &sheet.layers {
        texts(layer, &mut taken);
    }
    let paper = Area::new(0.0, 0.0, sheet.width, sheet.height).grown(-12.0);
    let middle = area.middle();
    let mut first = None;
    for by in BESIDE {
        let corners = [
            (area.x1 + by, area.y0 - by - height),
            (area.x0 - by - width, area.y0 - by - height),
            (area.x1 + by, area.y1 + by),
            (area.x0 - by - width, area.y1 + by),
            (middle.x - width / 2.0, area.y0 - by - height),
            (middle.x - width / 2.0, area.y1 + by),
            (area.x1 + by, middle.y - height / 2.0),
            (area.x0 - by - width, middle.y - height / 2.0),
        ];
        for (x, y) in corners {
            let place = Area::new(x, y, x + width, y + height);
            if paper.holds(&place) && !taken.iter().any(|it| it.meets(&place.grown(0.5))) {
                return place;
            }
            first = first.or(paper.holds(&place).then_some(place));
        }
    }
    first.unwrap_or_else(|| Area::new(paper.x0, paper.y0, paper.x0 + width, paper.y0 + height))
}

fn texts(group: &Group, taken: &mut Vec<Area>) {
    for item in &group.items {
        match item {
            Item::Group(inner) => texts(inner, taken),
            Item::Text(text) => taken.push(text.area()),
            Item::Shape(_) => {}
        }
    }
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
            mark.status.to_uppercase(),
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
        number: "Z-092",
        name: "review",
        title: "REVIEW",
        subtitle: &format!("marks on {}", issue.issue_before()),
        description: "Every mark that came back for the issue before, with its answer.",
        notes: &[
            "An OPEN mark has no answer that its reviewer agreed to: it stands again on the sheet named, in a heavy line with its number in a box.",
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
