//! The detail sheets, `Z-501` and on: every kind of detail of the building once, large, with where it is found.

use super::cell::{draw_detail, fit};
use super::cut::CutModels;
use super::detail::Detail;
use super::walls::{merge, wall_details};
use crate::documents::left_out::{caution, hold_words, left_out};
use crate::documents::paper::frame::Paper;
use crate::documents::paper::scale::{Scale, scales};
use crate::documents::paper::strip::{HoldBox, Strip, TitleBlock};
use crate::documents::paper::style::{Ink, Pen};
use crate::documents::paper::{Area, Canvas, Sheet, spot};
use crate::documents::{Revision, TitleFacts};

/// Least size of a cell on large sheets and on small ones, mm.
const CELL: [f64; 2] = [210.0, 165.0];
const SMALL_CELL: [f64; 2] = [140.0, 125.0];

const NOTES: [&str; 4] = [
    "Cut from the parts as fabricated: what is drawn is what the lists hold. Sizes are inches.",
    "Seal before setting: both edges of every plate, both faces of every spline, every butt end. Black dots are beads.",
    "Nails and screws are signs; their kind and spacing stand beside them.",
    "At: the walls, joints and openings that are made so.",
];

const CAUTIONS: [&str; 3] = [
    "Structure: anchorage, hold-downs and headers are not sized here: engineer; local code governs.",
    "No spline, plate or bead is left out: a wall is as strong and as tight as its joints.",
    "Never cut a skin to make something fit: ask.",
];

/// The sheets; none for a building without panels.
pub(crate) fn detail_sheets(models: &CutModels<'_>, facts: &TitleFacts) -> Vec<Sheet> {
    let mut details: Vec<Detail> = Vec::new();
    for wall in 0..models.building.walls.len() {
        merge(&mut details, wall_details(models, wall));
    }
    details.sort_by(|a, b| (a.kind, &a.title).cmp(&(b.kind, &b.title)));
    let paper = Paper::of_plans(&facts.sheets);
    let least = if paper.zones.is_some() {
        CELL
    } else {
        SMALL_CELL
    };
    let field = paper.field();
    let most = whole(field.width() / least[0]) * whole(field.height() / least[1]);
    let count = details.len().div_ceil(most);
    let mut rest = details.as_slice();
    let mut sheets = Vec::new();
    let mut first = 1;
    for page in 0..count {
        // As many on each sheet, so that none is left nearly empty.
        let (shown, later) = rest.split_at(rest.len().div_ceil(count - page));
        let place = Page {
            number: format!("Z-{}", 501 + page),
            of: format!("{} of {count}", page + 1),
            first,
        };
        let cells = best_cells(&paper, scales(facts.sheets.scales), least, shown);
        sheets.push(sheet(models, facts, &paper, &place, shown, &cells));
        first += shown.len();
        rest = later;
    }
    sheets
}

struct Page {
    number: String,
    of: String,
    /// Number of its first detail.
    first: usize,
}

/// The field in rows of cells, in that one of the divisions in which the details are drawn largest.
///
/// Rows are equally high; where the details do not fill the last row, its cells are wider, so that none stays empty.
fn best_cells(paper: &Paper, list: &[Scale], least: [f64; 2], details: &[Detail]) -> Vec<Area> {
    let field = paper.field();
    let most = whole(field.width() / least[0]).min(details.len());
    let divisions = (1..=most).map(|across| cells(&field, across, details.len()));
    let fitting = divisions.filter(|cells| {
        cells
            .first()
            .is_some_and(|cell| cell.height() >= least[1] - 1e-6)
    });
    let drawn = |cells: &Vec<Area>| -> f64 {
        let each = details.iter().zip(cells).map(|(detail, cell)| {
            let it = fit(detail, list, &paper.lettering, cell);
            let k = it.scale.per_inch();
            it.window.width() * it.window.height() * k * k
        });
        each.sum()
    };
    let largest = fitting.max_by(|a, b| drawn(a).total_cmp(&drawn(b)));
    largest.unwrap_or_else(|| cells(&field, most.max(1), details.len()))
}

/// Rows of so many cells, the last of as many as are left.
fn cells(field: &Area, across: usize, count: usize) -> Vec<Area> {
    let float = |n: usize| u32::try_from(n).map_or(f64::INFINITY, f64::from);
    let rows = count.div_ceil(across);
    let height = field.height() / float(rows.max(1));
    let mut cells = Vec::new();
    for row in 0..rows {
        let in_row = across.min(count - row * across);
        let width = field.width() / float(in_row);
        let y = field.y0 + height * float(row);
        for column in 0..in_row {
            let x = field.x0 + width * float(column);
            cells.push(Area::new(x, y, x + width, y + height));
        }
    }
    cells
}

/// How many whole ones, at least one.
fn whole(ratio: f64) -> usize {
    let most = (1_u32..100).take_while(|n| f64::from(*n) <= ratio + 1e-9);
    usize::try_from(most.last().unwrap_or(1)).unwrap_or(1)
}

fn sheet(
    models: &CutModels<'_>,
    facts: &TitleFacts,
    paper: &Paper,
    page: &Page,
    details: &[Detail],
    cells: &[Area],
) -> Sheet {
    let mut frame = Canvas::new();
    paper.draw_frame(&mut frame);
    let mut body = Canvas::new();
    let list = scales(facts.sheets.scales);
    for ((detail, cell), number) in details.iter().zip(cells).zip(page.first..) {
        let name = number.to_string();
        let id = format!("detail-{name}");
        // Panels at joints, walls at corners, openings by their ids.
        let places = detail.places.join(" ");
        let data = [("detail", name.as_str()), ("at", places.as_str())];
        body.group_with(&id, &detail.title, &data, |canvas| {
            draw_detail(canvas, models, &paper.lettering, list, detail, &name, cell);
        });
    }
    let field = paper.field();
    let hair = Pen::Hair.full().with(Ink::Hatch);
    for cell in cells {
        if cell.x1 < field.x1 - 1.0 {
            frame.line(hair, spot(cell.x1, cell.y0), spot(cell.x1, cell.y1));
        }
        if cell.y1 < field.y1 - 1.0 {
            frame.line(hair, spot(cell.x0, cell.y1), spot(cell.x1, cell.y1));
        }
    }
    let mut side = Canvas::new();
    let mut strip = Strip::of(paper);
    let held = models.fabrication.panels.iter().filter(|it| it.is_held());
    let missing = left_out(models.building, models.layout, None);
    let panels = match held.count() {
        0 => None,
        1 => Some("1 panel: see its sheet".to_owned()),
        n => Some(format!("{n} panels: see their sheets")),
    };
    let hold = HoldBox::of(hold_words(&missing).into_iter().chain(panels));
    strip.title_block(
        &mut side,
        &TitleBlock {
            facts,
            title: "DETAILS".to_owned(),
            subtitle: format!("corners, joints, plates, openings; {}", page.of),
            scale: "as shown".to_owned(),
            number: page.number.clone(),
            revisions: Revision::issued(facts),
            hold,
        },
    );
    strip.heading(&mut side, "NOTES", "");
    strip.numbered(&mut side, &NOTES.map(str::to_owned));
    strip.rule(&mut side);
    strip.heading(&mut side, "CAUTIONS", "");
    let mut cautions = Vec::from_iter(caution(&missing));
    cautions.extend(CAUTIONS.map(str::to_owned));
    strip.numbered(&mut side, &cautions);
    strip.rule(&mut side);
    Sheet {
        name: format!("{}-details", page.number),
        title: format!("{} Details, {}", page.number, page.of),
        number: page.number.clone(),
        description: "Corners, joints, plates and openings, cut from the parts as fabricated. Millimetres on paper."
            .to_owned(),
        paper: paper.name.to_owned(),
        width: paper.width,
        height: paper.height,
        data: vec![("job".to_owned(), facts.number.clone())],
        layers: vec![
            frame.into_group("frame", "Frame"),
            body.into_group("details", "Details"),
            side.into_group("strip", "Notes, title block"),
        ],
    }
}
