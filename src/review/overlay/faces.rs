//! Faces of changed panels: the old one dashed and grey, the new one full and black where it lies best on the old one, and
//! under each what to do and why.

use super::super::compare::Comparison;
use super::super::issued::IssuedPanel;
use super::super::lineage::PanelFate;
use super::super::places::changed_places;
use super::super::verdict::Verdict;
use super::{BUMP, centred, name_of, old_line, size};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::frame::ANSI_B;
use crate::documents::paper::scale::{ARCHITECT, Scale, fitting_scale};
use crate::documents::paper::style::{Fill, Ink, Pen, SMALL_SHEET};
use crate::documents::paper::symbol::cloud;
use crate::documents::paper::{Area, Canvas, Form, Lettered, Spot, View, Weight, spot};
use serde_json::Value;

/// Faces of panels side by side and over each other, at most.
pub(super) const MOST: usize = 6;
/// Lines under a face, at most.
const LINES: usize = 3;
/// Kept round a face, mm.
const ROUND: f64 = 8.0;

/// Columns and rows for so many faces: few are drawn large.
const fn grid(n: usize) -> (f64, f64) {
    match n {
        0 | 1 => (1.0, 1.0),
        2 => (2.0, 1.0),
        3 | 4 => (2.0, 2.0),
        _ => (3.0, 2.0),
    }
}

/// The faces of some changed panels on one sheet, at one scale.
pub(super) fn faces(
    compared: &Comparison,
    rows: &[(&PanelFate, &Verdict)],
    scales: &[Scale],
) -> (Canvas, Scale) {
    let mut canvas = Canvas::new();
    let field = ANSI_B.field().grown(-6.0);
    let (across, up) = grid(rows.len());
    let (width, height) = (field.width() / across, field.height() / up);
    let mut corner = spot(field.x0, field.y0);
    let mut pairs = Vec::new();
    for (row, verdict) in rows {
        let cell = Area::new(corner.x, corner.y, corner.x + width, corner.y + height);
        let was = row.old.and_then(|i| compared.old.panels.get(i));
        let now = row.new.and_then(|i| compared.new.panels.get(i));
        if let (Some(was), Some(now)) = (was, now) {
            let name = name_of(compared, row, verdict).unwrap_or_default();
            let foot = title(&mut canvas, (&name, verdict), &cell);
            let room = Area::new(
                cell.x0 + ROUND,
                cell.y0 + ROUND,
                cell.x1 - ROUND,
                foot - ROUND,
            );
            pairs.push(([was, now], verdict.at(), room));
        }
        corner.x += width;
        if corner.x + 1.0 > field.x1 {
            corner = spot(field.x0, corner.y + height);
        }
    }
    let own = pairs.iter().map(|(pair, at, room)| {
        let room = [room.width(), room.height()];
        fitting_scale(scales, 1.0, size(bounds(*pair, *at)), room)
    });
    let smallest = own.max_by(|a, b| a.ratio.total_cmp(&b.ratio));
    let scale = smallest.unwrap_or(ARCHITECT[0]);
    for (pair, at, room) in pairs {
        face(
            &mut canvas,
            pair,
            at,
            &centred(bounds(pair, at), &room, scale),
        );
    }
    (canvas, scale)
}

/// What to do with a panel and why, at the foot of its cell; returns where that begins.
fn title(canvas: &mut Canvas, (name, verdict): (&str, &Verdict), cell: &Area) -> f64 {
    let cap = SMALL_SHEET.note;
    let room = cell.width() - 2.0 * ROUND;
    let all = wrap(&verdict.details().join("; "), room, cap, Weight::Regular);
    let is_more = all.len() > LINES;
    let lines = all.into_iter().filter(|it| !it.is_empty()).take(LINES);
    let mut lines: Vec<String> = lines.collect();
    if let Some(last) = lines.last_mut().filter(|_| is_more) {
        "and more: see comparison.json".clone_into(last);
    }
    let pitch = cap * 1.6;
    let deep = lines.iter().fold(0.0, |deep, _| deep + pitch);
    let mut y = cell.y1 - 4.0 - deep;
    let foot = y - SMALL_SHEET.title;
    let at = |y: f64| spot(cell.middle().x, y);
    canvas.text_centred(
        at(y - SMALL_SHEET.title / 2.0),
        name,
        Lettered::cap(SMALL_SHEET.title).middle().bold(),
    );
    for line in lines {
        y += pitch;
        canvas.text_centred(at(y - cap / 2.0), line, Lettered::cap(cap).middle());
    }
    foot
}

/// What both cover, the old one's datum corner at 0.
///
/// - `at`: where the new panel's datum corner lies on the old one.
fn bounds([was, now]: [&IssuedPanel; 2], [x, y]: [f64; 2]) -> [f64; 4] {
    [
        x.min(0.0),
        y.min(0.0),
        was.width.max(now.width + x),
        was.height.max(now.height + y),
    ]
}

fn face(canvas: &mut Canvas, [was, now]: [&IssuedPanel; 2], [x, y]: [f64; 2], view: &View) {
    let moved = View {
        origin: view.spot(x, y),
        scale: view.scale,
    };
    for (panel, view, stroke) in [(was, view, old_line()), (now, &moved, Pen::Bold.full())] {
        canvas.group_with("", &panel.mark, &[("panel", &panel.mark)], |canvas| {
            let outline = points(&panel.data["outer_skin"]["outline"], view);
            if outline.len() > 2 {
                canvas.shape(Form::Polygon(outline), stroke, Fill::None);
            }
            for opening in panel.data["openings"].as_array().into_iter().flatten() {
                let id = opening["id"].as_str().unwrap_or_default();
                if let Some(area) = rough(opening, view) {
                    canvas.group_with("", id, &[("opening", id)], |canvas| {
                        canvas.rect(stroke, area);
                    });
                }
            }
        });
    }
    let places = changed_places(&was.data, &now.data);
    let changed: Vec<Area> = match places.is_empty() {
        true => vec![moved.area(0.0, 0.0, now.width, now.height).grown(1.0)],
        false => (places.iter())
            .map(|[x0, y0, x1, y1]| moved.area(*x0, *y0, *x1, *y1))
            .collect(),
    };
    let stroke = Pen::Edge.full().with(Ink::Accent);
    for area in &changed {
        cloud(canvas, area.grown(2.0), BUMP, stroke);
    }
}

fn rough(opening: &Value, view: &View) -> Option<Area> {
    let side = |i: usize| opening["rough"][i].as_f64();
    Some(view.area(side(0)?, side(1)?, side(2)?, side(3)?))
}

fn points(list: &Value, view: &View) -> Vec<Spot> {
    let each = list.as_array().into_iter().flatten();
    each.filter_map(|it| Some(view.spot(it[0].as_f64()?, it[1].as_f64()?)))
        .collect()
}
