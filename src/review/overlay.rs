//! Two issues drawn over each other: the old in grey, the new in black, what changed in a cloud.
//!
//! ```text
//!   plan of each storey: every panel as it stands        faces: each changed panel, old dashed and grey, new full and black
//! ```

use super::compare::Comparison;
use super::issued::IssuedPanel;
use super::lineage::{Fate, PanelFate};
use super::places::changed_places;
use super::registration::Motion;
use crate::documents::paper::frame::ANSI_B;
use crate::documents::paper::strip::{HoldBox, Strip, TitleBlock};
use crate::documents::paper::style::{Dash, Fill, Ink, Pen, SMALL_SHEET, Stroke};
use crate::documents::paper::symbol::cloud;
use crate::documents::paper::{Area, Canvas, Form, Lettered, Sheet, Spot, View, spot};
use crate::documents::{Revision, TitleFacts};
use serde_json::Value;
use std::collections::BTreeSet;

/// Faces of panels side by side and over each other.
const GRID: (usize, usize) = (3, 2);
/// Size of a cloud's bump, mm.
const BUMP: f64 = 4.0;

/// The overlay sheets of two issues: `Z-093` and on.
#[must_use]
pub fn overlay_sheets(compared: &Comparison) -> Vec<Sheet> {
    let mut sheets: Vec<(String, Canvas)> = Vec::new();
    let storeys: BTreeSet<&str> = compared
        .new
        .panels
        .iter()
        .chain(&compared.old.panels)
        .map(|panel| panel.storey.as_str())
        .collect();
    for storey in storeys {
        if let Some(canvas) = plan(compared, storey) {
            sheets.push((format!("PLAN OF {storey}, OLD AND NEW"), canvas));
        }
    }
    let changed: Vec<&PanelFate> = compared
        .fates
        .iter()
        .filter(|row| matches!(row.fate, Fate::Changed(_)))
        .collect();
    for rows in changed.chunks(GRID.0 * GRID.1) {
        sheets.push((
            "CHANGED PANELS FROM OUTSIDE".to_owned(),
            faces(compared, rows),
        ));
    }
    let [old, new] = [&compared.old, &compared.new].map(|it| it.in_words());
    let subtitle = format!("{old} under {new}");
    let row = Revision {
        name: compared.new.issue.to_string(),
        date: String::new(),
        change: format!("Over issue {}", compared.old.issue),
    };
    let sheets = sheets.into_iter().zip(1_usize..);
    sheets
        .map(|((title, canvas), page)| framed(&title, (&subtitle, &row), canvas, page))
        .collect()
}

fn framed(title: &str, (subtitle, row): (&str, &Revision), body: Canvas, page: usize) -> Sheet {
    let number = match page {
        1 => "Z-093".to_owned(),
        page => format!("Z-093.{page}"),
    };
    let mut frame = Canvas::new();
    ANSI_B.draw_frame(&mut frame);
    let mut strip_canvas = Canvas::new();
    let mut strip = Strip::of(&ANSI_B);
    strip.title_block(
        &mut strip_canvas,
        &TitleBlock {
            facts: &TitleFacts::default(),
            title: title.to_owned(),
            subtitle: subtitle.to_owned(),
            scale: "none".to_owned(),
            number: number.clone(),
            revisions: vec![row.clone()],
            hold: HoldBox::Held(vec!["for comparing only".to_owned()]),
        },
    );
    strip.heading(&mut strip_canvas, "NOTES", "");
    strip.numbered(
        &mut strip_canvas,
        &[
            "Grey and dashed: the earlier issue. Black: the later one. Boxes in a wall: its openings.",
            "In a cloud: changed, with what to do. Small and grey: as it was. NEW: cut it. GONE, crossed: scrap it; its mark is never used again.",
            "Parts to reuse, recut or scrap: parts.csv.",
            "For comparing only: do not build from this sheet.",
        ]
        .map(str::to_owned),
    );
    Sheet {
        name: format!("{number}-overlay"),
        title: format!("{number} {title}"),
        description: "Two issues drawn over each other.".to_owned(),
        paper: ANSI_B.name.to_owned(),
        width: ANSI_B.width,
        height: ANSI_B.height,
        number,
        data: Vec::new(),
        layers: vec![
            body.into_group("overlay", "Old and new"),
            frame.into_group("frame", "Frame"),
            strip_canvas.into_group("strip", "Strip"),
        ],
    }
}

const fn old_line() -> Stroke {
    Pen::Edge.dashed(Dash::Hidden).with(Ink::Mid)
}

/// The four corners of a panel in plan, building inches.
fn footprint(panel: &IssuedPanel, motion: &Motion) -> [[f64; 2]; 4] {
    stretch(panel, motion, [0.0, panel.width])
}

/// The openings of a panel in plan.
fn openings(panel: &IssuedPanel, motion: &Motion) -> Vec<[[f64; 2]; 4]> {
    let all = panel.data["openings"].as_array();
    all.into_iter()
        .flatten()
        .filter_map(|it| {
            let [from, to] = [0, 2].map(|i| it["rough"][i].as_f64());
            Some(stretch(panel, motion, [from?, to?]))
        })
        .collect()
}

/// The four corners of a stretch of a panel, from its left.
fn stretch(panel: &IssuedPanel, motion: &Motion, [left, right]: [f64; 2]) -> [[f64; 2]; 4] {
    let thickness = panel.data["thickness"].as_f64().unwrap_or(6.0);
    let [x, y] = panel.along;
    let from = [panel.origin[0], panel.origin[1]];
    // Inside is to the left of the way to the right as seen from outside.
    let at = |along: f64, inward: f64| {
        motion.point([
            from[0] + x * along - y * inward,
            from[1] + y * along + x * inward,
        ])
    };
    [
        at(left, 0.0),
        at(right, 0.0),
        at(right, thickness),
        at(left, thickness),
    ]
}

fn plan(compared: &Comparison, storey: &str) -> Option<Canvas> {
    let motion = compared.lineage.motion.unwrap_or(Motion::NONE);
    let old: Vec<(usize, [[f64; 2]; 4])> = of_storey(&compared.old.panels, storey, &motion);
    let new = of_storey(&compared.new.panels, storey, &Motion::NONE);
    let corners = old.iter().chain(&new).flat_map(|it| it.1);
    let bounds = corners.fold(None, |bounds: Option<[f64; 4]>, [x, y]| {
        Some(bounds.map_or([x, y, x, y], |[a, b, c, d]| {
            [a.min(x), b.min(y), c.max(x), d.max(y)]
        }))
    })?;
    let room = ANSI_B.field().grown(-26.0);
    let view = fitted(bounds, &room);
    let mut canvas = Canvas::new();
    let ring = |corners: &[[f64; 2]; 4]| -> Vec<Spot> {
        corners.iter().map(|[x, y]| view.spot(*x, *y)).collect()
    };
    for (i, corners) in &old {
        canvas.polygon(old_line(), ring(corners));
        for opening in openings(&compared.old.panels[*i], &motion) {
            canvas.polygon(old_line(), ring(&opening));
        }
    }
    for (i, corners) in &new {
        canvas.polygon(Pen::Bold.full(), ring(corners));
        for opening in openings(&compared.new.panels[*i], &Motion::NONE) {
            canvas.polygon(Pen::Edge.full(), ring(&opening));
        }
    }
    let middle = room.middle();
    for row in &compared.fates {
        let now = row.new.and_then(|i| new.iter().find(|it| it.0 == i));
        let was = row.old.and_then(|i| old.iter().find(|it| it.0 == i));
        let (Some((_, corners)), Some(words)) = (now.or(was), said(compared, row)) else {
            continue;
        };
        let points = ring(corners);
        let Some(area) = Area::around(&points) else {
            continue;
        };
        if row.fate == Fate::Retired {
            canvas.line(Pen::Edge.full(), points[0], points[2]);
            canvas.line(Pen::Edge.full(), points[1], points[3]);
        } else {
            cloud(
                &mut canvas,
                area.grown(2.0),
                BUMP,
                Pen::Edge.full().with(Ink::Accent),
            );
        }
        // Outside the building, where nothing stands.
        let at = area.middle();
        let is_level = area.width() >= area.height();
        let cap = SMALL_SHEET.note;
        if is_level {
            let y = if at.y > middle.y {
                area.y1 + 10.0
            } else {
                area.y0 - 10.0
            };
            canvas.text_centred(spot(at.x, y), words, Lettered::cap(cap).middle().bold());
        } else {
            let x = if at.x > middle.x {
                area.x1 + 10.0
            } else {
                area.x0 - 10.0
            };
            canvas.text_centred(
                spot(x, at.y),
                words,
                Lettered::cap(cap).middle().bold().upwards(),
            );
        }
    }
    for row in &compared.fates {
        let now = row.new.and_then(|i| new.iter().find(|it| it.0 == i));
        if let (Some((i, corners)), None) = (now, said(compared, row)) {
            name_unchanged(&mut canvas, &compared.new.panels[*i].mark, &ring(corners));
        }
    }
    Some(canvas)
}

/// The mark of a panel that stays as it was, small and grey along its inner face, where the panel is long enough on paper.
fn name_unchanged(canvas: &mut Canvas, mark: &str, ring: &[Spot]) {
    /// Kept from the ends: a neighbour's cloud may reach over.
    const ENDS: f64 = 10.0;
    let &[outer_left, outer_right, inner_right, inner_left] = ring else {
        return;
    };
    let lettered = Lettered::cap(SMALL_SHEET.note).ink(Ink::Mid).middle();
    let d = outer_right - outer_left;
    let length = d.x.hypot(d.y);
    let is_level = d.y.abs() < 0.01 * length;
    let is_upright = d.x.abs() < 0.01 * length;
    if !(is_level || is_upright) || length < lettered.width(mark) + ENDS {
        return;
    }
    let inner = (inner_left + inner_right) / 2.0;
    let through = inner_left - outer_left;
    let inward = through / through.x.hypot(through.y).max(1e-9);
    let at = inner + inward * (SMALL_SHEET.note + 0.6);
    let lettered = if is_level {
        lettered
    } else {
        lettered.upwards()
    };
    canvas.text_centred(at, mark, lettered);
}

fn of_storey(panels: &[IssuedPanel], storey: &str, motion: &Motion) -> Vec<(usize, [[f64; 2]; 4])> {
    let own = panels
        .iter()
        .enumerate()
        .filter(|(_, panel)| panel.storey == storey);
    own.map(|(i, panel)| (i, footprint(panel, motion)))
        .collect()
}

/// What a panel that is not the same is called on a sheet.
fn said(compared: &Comparison, row: &PanelFate) -> Option<String> {
    let [old, new] = compared.marks(row);
    match row.fate {
        Fate::Same | Fate::Redrawn => None,
        Fate::Changed(_) if !row.fate.is_cut() => Some(format!("{new} REUSE, REFIT")),
        Fate::Changed(_) if compared.is_scrap(row) => Some(format!("{new} CUT NEW")),
        Fate::Changed(_) => Some(format!("{new} RECUT")),
        Fate::New => Some(format!("{new} NEW")),
        Fate::Retired => Some(format!("{old} GONE")),
    }
}

/// The view that fits bounds into a room, its middle in the room's.
fn fitted([x0, y0, x1, y1]: [f64; 4], room: &Area) -> View {
    let scale = (room.width() / (x1 - x0).max(1.0)).min(room.height() / (y1 - y0).max(1.0));
    let middle = room.middle();
    View {
        origin: spot(
            middle.x - f64::midpoint(x0, x1) * scale,
            middle.y + f64::midpoint(y0, y1) * scale,
        ),
        scale,
    }
}

/// Faces of changed panels, old under new.
fn faces(compared: &Comparison, rows: &[&PanelFate]) -> Canvas {
    let mut canvas = Canvas::new();
    let field = ANSI_B.field().grown(-6.0);
    let (across, up) = (3.0, 2.0);
    let (width, height) = (field.width() / across, field.height() / up);
    let mut corner = spot(field.x0, field.y0);
    for row in rows {
        let cell = Area::new(corner.x, corner.y, corner.x + width, corner.y + height);
        let was = row.old.and_then(|i| compared.old.panels.get(i));
        let now = row.new.and_then(|i| compared.new.panels.get(i));
        if let (Some(was), Some(now)) = (was, now) {
            face(&mut canvas, was, now, &cell);
            if let Some(words) = said(compared, row) {
                let at = spot(cell.middle().x, cell.y1 - 6.0);
                canvas.text_centred(at, words, Lettered::cap(SMALL_SHEET.title).middle().bold());
            }
        }
        corner.x += width;
        if corner.x + 1.0 > field.x1 {
            corner = spot(field.x0, corner.y + height);
        }
    }
    canvas
}

fn face(canvas: &mut Canvas, was: &IssuedPanel, now: &IssuedPanel, cell: &Area) {
    let room = Area::new(cell.x0 + 8.0, cell.y0 + 8.0, cell.x1 - 8.0, cell.y1 - 16.0);
    let view = fitted(
        [
            0.0,
            0.0,
            was.width.max(now.width),
            was.height.max(now.height),
        ],
        &room,
    );
    for (panel, stroke) in [(was, old_line()), (now, Pen::Bold.full())] {
        let outline = points(&panel.data["outer_skin"]["outline"], &view);
        if outline.len() > 2 {
            canvas.shape(Form::Polygon(outline), stroke, Fill::None);
        }
        for opening in panel.data["openings"].as_array().into_iter().flatten() {
            if let Some(area) = rough(opening, &view) {
                canvas.rect(stroke, area);
            }
        }
    }
    let places = changed_places(&was.data, &now.data);
    let changed: Vec<Area> = match places.is_empty() {
        true => vec![view.area(0.0, 0.0, now.width, now.height).grown(1.0)],
        false => (places.iter())
            .map(|[x0, y0, x1, y1]| view.area(*x0, *y0, *x1, *y1))
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
