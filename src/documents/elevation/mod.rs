//! Draws one elevation for each wall, seen from outside: panels, joints, openings, chases, plates, details.
//!
//! ```text
//!   ┌─────────────────────────────────────┬─────────┐
//!   │  W101    W102    W103       levels  │ notes   │
//!   │ ┌──────┬──────┬───────┐             │ panels  │
//!   │ │  ▭   │      │   ▯   │             │ symbols │
//!   │ └──────┴──────┴───────┘             │         │
//!   │  openings, modules, overall         │         │
//!   │  plates, exploded                   │         │
//!   │  A corner   B joint   C top   …     │ title   │
//!   └─────────────────────────────────────┴─────────┘
//! ```
//!
//! *Promises.* Left is left as seen from outside. Every length is the model's own, rounded to 1/16 in when printed; modules
//! add up to the run. Details are cut from the parts as fabricated.
//!
//! *Does not do.* Deciding anything.

mod dimensions;
mod plates;
mod strip;
mod subject;
mod wall;

use crate::building::Building;
use crate::documents::TitleFacts;
use crate::documents::details::{CutModels, draw_detail, wall_details};
use crate::documents::paper::overlap::text_areas;
use crate::documents::paper::scale::{fitting_scale, scales};
use crate::documents::paper::style::LARGE_SHEET;
use crate::documents::paper::symbol::view_title;
use crate::documents::paper::{Area, Canvas, Sheet, View, spot};
use crate::fabrication::Fabrication;
use crate::layout::Layout;
use crate::plan::Plan;
use crate::rules::PlantRules;
use subject::Subject;

/// Room left of the wall for names of strings and the height, mm.
const LEFT: f64 = 62.0;
/// Room right of it for levels, mm.
const RIGHT: f64 = 74.0;
/// Room above it for the neighbours and the order of erection, mm.
const ABOVE: f64 = 40.0;
/// Room below it for three strings, mm.
const BELOW: f64 = 54.0;
/// Room for the string and bubbles of the architect's grid, where it crosses the wall, mm.
const GRID: f64 = 25.0;
/// Height of a view's title, mm.
const TITLE: f64 = 24.0;
/// Height of the exploded plates, mm.
const PLATES: f64 = 58.0;
/// Least height of the details, mm; without it they stand on the detail sheets only.
const DETAILS: f64 = 170.0;
/// Least width of a detail, mm.
const DETAIL: f64 = 200.0;

/// All that elevations are drawn from.
#[derive(Clone, Copy, Debug)]
pub struct ElevationInput<'a> {
    /// Walls and storeys.
    pub building: &'a Building,
    /// Where panels stand.
    pub layout: &'a Layout,
    /// Their parts.
    pub fabrication: &'a Fabrication,
    /// The plant's rules.
    pub rules: &'a PlantRules,
    /// Title block.
    pub facts: &'a TitleFacts,
    /// The plan, for the architect's grid.
    pub plan: &'a Plan,
}

/// One sheet for each wall with panels: `Z-201-X1` and so on, in the building's order.
#[must_use]
pub fn elevation_sheets(input: &ElevationInput<'_>) -> Vec<Sheet> {
    (0..input.building.walls.len())
        .filter_map(|wall| Subject::new(input, wall))
        .map(|subject| elevation_sheet(&subject))
        .collect()
}

fn elevation_sheet(subject: &Subject<'_>) -> Sheet {
    let paper = subject.paper();
    let field = paper.field();
    let (length, height) = (subject.length().to_inches(), subject.highest().to_inches());
    let depth = -subject.wall.stack.panel_bottom.to_inches().min(0.0);
    let grid = subject.grid();
    let beneath = BELOW + if grid.is_empty() { 0.0 } else { GRID };
    let room = [
        field.width() - LEFT - RIGHT,
        field.height() - ABOVE - beneath - 2.0 * TITLE - PLATES,
    ];
    let scale = fitting_scale(
        scales(subject.input.facts.sheets.scales),
        8.0,
        [length, height + depth],
        room,
    );
    let k = scale.per_inch();
    let left = field.x0 + LEFT + ((room[0] - length * k) / 2.0).max(0.0);
    let view = View {
        origin: spot(left, field.y0 + ABOVE + height * k),
        scale: k,
    };
    let floor = view.y(-depth);

    let mut frame = Canvas::new();
    paper.draw_frame(&mut frame);
    let mut body = Canvas::new();
    wall::draw_wall(&mut body, subject, &view);
    let mut strings = Canvas::new();
    dimensions::draw_dimensions(&mut strings, subject, &view);
    let strings = strings.into_group("dimensions", "Dimensions");
    let mut lines = Canvas::new();
    dimensions::draw_grid(&mut lines, subject, &view, &grid, &text_areas(&strings));
    let mut labels = Canvas::new();
    wall::draw_labels(&mut labels, subject, &view);
    let below = floor + beneath + TITLE;
    let side = subject.wall.role.seen_from();
    let title = format!("{} FROM {side}", subject.title());
    let remark = format!(
        "SCALE {}   Viewed from {}. 0 = deck = bottom of panels.",
        scale.name,
        side.to_lowercase()
    );
    title_at(&mut labels, &field, below, ["1", &title, &remark]);
    let mut exploded = Canvas::new();
    plates::draw_plates(&mut exploded, subject, &view, below + 4.0);
    let under = below + PLATES + TITLE;
    let remark = format!("SCALE {}   Chain lines are panel joints.", scale.name);
    title_at(
        &mut exploded,
        &field,
        under,
        ["2", "PLATES, EXPLODED", &remark],
    );
    let mut cuts = Canvas::new();
    let area = Area::new(field.x0, under + 6.0, field.x1, field.y1 - 4.0);
    if area.height() >= DETAILS {
        draw_details(&mut cuts, subject, &area);
    }
    let mut side = Canvas::new();
    strip::draw_strip(&mut side, subject);

    let facts = subject.input.facts;
    let number = subject.number();
    Sheet {
        name: format!("{number}-{}", subject.wall.id),
        title: format!(
            "{number} {} from {}, {}",
            subject.title(),
            subject.wall.role.seen_from().to_lowercase(),
            facts.building
        ),
        description:
            "A wall from outside with its panels, openings, chases and plates. Millimetres on paper."
                .to_owned(),
        paper: paper.name.to_owned(),
        width: paper.width,
        height: paper.height,
        data: vec![
            ("wall".to_owned(), subject.wall.id.clone()),
            ("elevation".to_owned(), subject.wall.id.clone()),
            ("storey".to_owned(), subject.wall.storey.clone()),
            ("job".to_owned(), facts.number.clone()),
            ("scale".to_owned(), scale.data()),
        ],
        layers: vec![
            frame.into_group("frame", "Frame"),
            lines.into_group("grid", "Architect's grid"),
            body.into_group("wall", "Panels and openings"),
            strings,
            labels.into_group("labels", "Marks and titles"),
            exploded.into_group("plates", "Plates, exploded"),
            cuts.into_group("details", "Details"),
            side.into_group("strip", "Notes, tables, title block"),
        ],
        number,
    }
}

/// A view's title whose balloon stands near the foot of its band.
fn title_at(canvas: &mut Canvas, field: &Area, foot: f64, [name, title, remark]: [&str; 3]) {
    let centre = spot(field.x0 + 12.0, foot - 10.0);
    let right = field.x1 - 4.0;
    view_title(canvas, &LARGE_SHEET, centre, name, title, remark, right);
}

/// As many details of the wall as stand side by side; the detail sheets have them all.
fn draw_details(canvas: &mut Canvas, subject: &Subject<'_>, area: &Area) {
    let models = CutModels {
        building: subject.input.building,
        layout: subject.input.layout,
        fabrication: subject.input.fabrication,
        rules: subject.input.rules,
    };
    let details = wall_details(&models, subject.index);
    let mut cells = Vec::new();
    let count = (area.width() / DETAIL).floor().max(1.0);
    let width = area.width() / count;
    let mut x = area.x0;
    while x + width <= area.x1 + 1e-6 {
        cells.push(Area::new(x, area.y0, x + width, area.y1));
        x += width;
    }
    let list = scales(subject.input.facts.sheets.scales);
    for ((detail, cell), letter) in details.iter().zip(&cells).zip('A'..) {
        let name = letter.to_string();
        let id = format!("detail-{name}");
        canvas.group(&id, &detail.title, |canvas| {
            draw_detail(canvas, &LARGE_SHEET, list, detail, &name, cell);
        });
    }
}
