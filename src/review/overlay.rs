//! Two issues drawn over each other: the old in grey, the new in black, what changed in a cloud.
//!
//! ```text
//!   plan of each storey: every panel as it stands        faces: each changed panel, old dashed and grey, new full and black
//! ```
//!
//! Both at the largest scale of the package's list that stands on the sheet, all faces of one sheet at the same.

mod faces;
mod names;

use self::faces::{MOST, faces};
use self::names::Names;
use super::compare::Comparison;
use super::issued::IssuedPanel;
use super::job_facts::{scale_list, title_facts};
use super::lineage::{Fate, PanelFate};
use super::registration::Motion;
use super::verdict::Verdict;
use crate::documents::Revision;
use crate::documents::paper::frame::ANSI_B;
use crate::documents::paper::scale::{Scale, fitting_scale, plan_scales};
use crate::documents::paper::strip::{HoldBox, Strip, TitleBlock};
use crate::documents::paper::style::{Dash, Ink, Pen, Stroke};
use crate::documents::paper::symbol::cloud;
use crate::documents::paper::{Area, Canvas, Sheet, Spot, View, spot};
use std::collections::BTreeSet;

/// Size of a cloud's bump, mm.
const BUMP: f64 = 4.0;

/// The overlay sheets of two issues: `Z-093` and on.
#[must_use]
pub fn overlay_sheets(compared: &Comparison) -> Vec<Sheet> {
    let scales = plan_scales(scale_list(&compared.new));
    let mut sheets: Vec<(String, (Canvas, Scale))> = Vec::new();
    let storeys: BTreeSet<&str> = compared
        .new
        .panels
        .iter()
        .chain(&compared.old.panels)
        .map(|panel| panel.storey.as_str())
        .collect();
    for storey in storeys {
        if let Some(canvas) = plan(compared, storey, &scales) {
            sheets.push((format!("PLAN OF {storey}, OLD AND NEW"), canvas));
        }
    }
    let changed: Vec<(&PanelFate, &Verdict)> = compared
        .rows()
        .filter(|(row, _)| matches!(row.fate, Fate::Changed(_)))
        .collect();
    // As even as can be: none shows one panel only.
    let pages = changed.len().div_ceil(MOST).max(1);
    for rows in changed.chunks(changed.len().div_ceil(pages).max(1)) {
        sheets.push((
            "CHANGED PANELS FROM OUTSIDE".to_owned(),
            faces(compared, rows, &scales),
        ));
    }
    let [old, new] = [&compared.old, &compared.new].map(|it| it.in_words());
    let subtitle = format!("{old} under {new}");
    let facts = title_facts(&compared.new);
    let row = Revision {
        name: compared.new.issue.to_string(),
        date: facts.date.clone(),
        change: format!("Over issue {}", compared.old.issue),
    };
    let sheets = sheets.into_iter().zip(1_usize..);
    sheets
        .map(|((title, (body, scale)), page)| {
            let block = TitleBlock {
                facts: &facts,
                title,
                subtitle: subtitle.clone(),
                scale: scale.name.to_owned(),
                number: number(page),
                revisions: vec![row.clone()],
                hold: HoldBox::Held(vec!["for comparing only".to_owned()]),
            };
            framed(&block, body, scale)
        })
        .collect()
}

fn number(page: usize) -> String {
    match page {
        1 => "Z-093".to_owned(),
        page => format!("Z-093.{page}"),
    }
}

fn framed(block: &TitleBlock<'_>, body: Canvas, scale: Scale) -> Sheet {
    let mut frame = Canvas::new();
    ANSI_B.draw_frame(&mut frame);
    let mut strip_canvas = Canvas::new();
    let mut strip = Strip::of(&ANSI_B);
    strip.title_block(&mut strip_canvas, block);
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
        name: format!("{}-overlay", block.number),
        title: [block.number.as_str(), &block.title, &block.facts.building].join(" "),
        description: "Two issues drawn over each other.".to_owned(),
        paper: ANSI_B.name.to_owned(),
        width: ANSI_B.width,
        height: ANSI_B.height,
        number: block.number.clone(),
        data: vec![("scale".to_owned(), scale.data())],
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

/// The openings of a panel in plan, each with its id.
fn openings<'a>(panel: &'a IssuedPanel, motion: &Motion) -> Vec<(&'a str, [[f64; 2]; 4])> {
    let all = panel.data["openings"].as_array();
    all.into_iter()
        .flatten()
        .filter_map(|it| {
            let [from, to] = [0, 2].map(|i| it["rough"][i].as_f64());
            let id = it["id"].as_str().unwrap_or_default();
            Some((id, stretch(panel, motion, [from?, to?])))
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

fn plan(compared: &Comparison, storey: &str, scales: &[Scale]) -> Option<(Canvas, Scale)> {
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
    let scale = fitting_scale(scales, 1.0, size(bounds), [room.width(), room.height()]);
    let view = centred(bounds, &room, scale);
    let mut canvas = Canvas::new();
    let ring = |corners: &[[f64; 2]; 4]| -> Vec<Spot> {
        corners.iter().map(|[x, y]| view.spot(*x, *y)).collect()
    };
    let mut draw =
        |panel: &IssuedPanel, corners: &[[f64; 2]; 4], motion: &Motion, pens: [Stroke; 2]| {
            canvas.group_with("", &panel.mark, &[("panel", &panel.mark)], |canvas| {
                canvas.polygon(pens[0], ring(corners));
                for (id, opening) in openings(panel, motion) {
                    canvas.group_with("", id, &[("opening", id)], |canvas| {
                        canvas.polygon(pens[1], ring(&opening));
                    });
                }
            });
        };
    for (i, corners) in &old {
        draw(&compared.old.panels[*i], corners, &motion, [old_line(); 2]);
    }
    let pens = [Pen::Bold.full(), Pen::Edge.full()];
    for (i, corners) in &new {
        draw(&compared.new.panels[*i], corners, &Motion::NONE, pens);
    }
    let panels: Vec<(&PanelFate, Option<String>, &str, Vec<Spot>)> = compared
        .rows()
        .filter_map(|(row, verdict)| {
            let now = row.new.and_then(|i| new.iter().find(|it| it.0 == i));
            let was = row.old.and_then(|i| old.iter().find(|it| it.0 == i));
            let mark = match (now, was) {
                (Some((i, _)), _) => &compared.new.panels[*i].mark,
                (None, Some((i, _))) => &compared.old.panels[*i].mark,
                (None, None) => return None,
            };
            let (_, corners) = now.or(was)?;
            Some((
                row,
                name_of(compared, row, verdict),
                mark.as_str(),
                ring(corners),
            ))
        })
        .collect();
    for (row, name, _, points) in &panels {
        let Some(area) = Area::around(points).filter(|_| name.is_some()) else {
            continue;
        };
        if row.fate == Fate::Retired {
            canvas.line(Pen::Edge.full(), points[0], points[2]);
            canvas.line(Pen::Edge.full(), points[1], points[3]);
        } else {
            let stroke = Pen::Edge.full().with(Ink::Accent);
            cloud(&mut canvas, area.grown(2.0), BUMP, stroke);
        }
    }
    let drawn = panels.iter().map(|it| (it.3.as_slice(), it.1.is_some()));
    let mut names = Names::new(ANSI_B.field().grown(-2.0), room.middle(), drawn);
    for (_, name, mark, points) in &panels {
        if name.is_none() {
            names.place_unchanged(&mut canvas, mark, points);
        }
    }
    for (_, name, _, points) in &panels {
        if let (Some(name), Some(area)) = (name, Area::around(points)) {
            names.place(&mut canvas, name, &area);
        }
    }
    Some((canvas, scale))
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
fn name_of(compared: &Comparison, row: &PanelFate, verdict: &Verdict) -> Option<String> {
    let [old, new] = compared.marks(row);
    let mark = if new.is_empty() { old } else { new };
    verdict.on_sheet().map(|words| format!("{mark} {words}"))
}

/// Width and height of bounds.
const fn size([x0, y0, x1, y1]: [f64; 4]) -> [f64; 2] {
    [x1 - x0, y1 - y0]
}

/// The view that lays the middle of bounds on a room's, at a scale.
fn centred([x0, y0, x1, y1]: [f64; 4], room: &Area, scale: Scale) -> View {
    let (middle, scale) = (room.middle(), scale.per_inch());
    View {
        origin: spot(
            middle.x - f64::midpoint(x0, x1) * scale,
            middle.y + f64::midpoint(y0, y1) * scale,
        ),
        scale,
    }
}
