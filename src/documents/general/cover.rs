//! The cover: picture, index of sheets, the job in numbers, notes and cautions.

use super::picture::Picture;
use super::{GeneralInput, Named, sheet};
use crate::documents::left_out::{caution, hold_words, left_out};
use crate::documents::paper::flow::Flow;
use crate::documents::paper::symbol::view_title;
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Sheet, spot};
use crate::documents::plan_view::grouped;
use crate::units::square_feet;

/// Width of the column that holds index and numbers, mm, and its greatest share of the field.
const INDEX: f64 = 250.0;
const INDEX_SHARE: f64 = 0.42;

const NOTES: [&str; 5] = [
    "Panels are made from these sheets only. Do not scale: use the numbers.",
    "Marks run through the set: a mark on plan, elevation, label and list is the same panel.",
    "Elevations and panels are seen from outside.",
    "A panel on HOLD is not cut, shipped or set before its question is answered.",
    "What was changed against the architect's drawing, and what is still to be answered, stands on its own sheets.",
];

const CAUTIONS: [&str; 4] = [
    "LIFTING: lift by the pick points of the panel sheet with rated gear. Nobody under or beside a raised panel. Stop in wind.",
    "STRUCTURE: a wall stands only while it is braced. Headers, anchorage and what is marked not sized are for the engineer; local code governs.",
    "CUTTING: never cut skins on site without the engineer's word; never over-cut a corner.",
    "WIRING: by a licensed electrician, in the chases. Drill plates and splines, never a skin from inside out.",
];

/// The cover of a set.
///
/// - `set`: all other sheets, in order: number, title and revision are listed.
pub(in crate::documents) fn cover_sheet(input: &GeneralInput<'_>, set: &[&Sheet]) -> Sheet {
    let paper = input.paper();
    let field = paper.field();
    let picture = Picture::of(input.fabrication, input.rules);
    let beside = lists_beside(input, set, &field);
    let below = lists_below(input, set, &field);
    let Placed { room, pages } = match below {
        Some(below) if picture.scale_in(&below.room) > picture.scale_in(&beside.room) => below,
        _ => beside,
    };
    let mut canvas = Canvas::new();
    canvas.group("picture", "Panels from above", |canvas| {
        picture.draw(canvas, room);
    });
    view_title(
        &mut canvas,
        &paper.lettering,
        spot(room.x0, room.y1 + TITLE - 13.0),
        "1",
        "PANELS AS THEY STAND",
        "NOT TO SCALE   Seen from above, left of the drawing's lower edge. Darker: on HOLD.",
        room.x1 + 10.0,
    );
    let mut layers = vec![canvas.into_group("picture-and-title", "Picture")];
    layers.extend(
        pages
            .into_iter()
            .map(|page| page.into_group("index", "Index")),
    );
    let named = Named {
        number: "Z-000".to_owned(),
        name: "cover",
        title: "COVER",
        subtitle: "structural insulated panels, shop drawings",
        description: "Index of sheets, picture of the building, numbers, notes and cautions.",
        scale: "not to scale",
    };
    sheet(input, named, layers, |canvas, strip| {
        strip.heading(canvas, "NOTES", "");
        strip.numbered(canvas, &NOTES.map(str::to_owned));
        strip.rule(canvas);
        strip.heading(canvas, "CAUTIONS", "");
        let mut cautions = Vec::from_iter(caution(&left_out(input.building, input.layout, None)));
        cautions.extend(CAUTIONS.map(str::to_owned));
        strip.numbered(canvas, &cautions);
        strip.rule(canvas);
    })
}

/// Lists that are set, and the room they leave to the picture.
struct Placed {
    room: Area,
    pages: Vec<Canvas>,
}

/// Between the picture and what stands under its title, mm.
const TITLE: f64 = 28.0;

fn set_lists(input: &GeneralInput<'_>, columns: &[Area], table: &Table) -> Vec<Canvas> {
    let columns = columns.to_vec();
    let mut flow = Flow::new(columns.clone(), columns, input.paper().lettering);
    flow.table("THE JOB IN NUMBERS", "", &numbers(input));
    flow.table("SHEETS", "", table);
    flow.into_pages()
}

/// Lists in a column at the right.
fn lists_beside(input: &GeneralInput<'_>, set: &[&Sheet], field: &Area) -> Placed {
    let column = Area::new(
        field.x1 - INDEX.min(field.width() * INDEX_SHARE),
        field.y0 + 8.0,
        field.x1 - 6.0,
        field.y1 - 8.0,
    );
    let mut pages = set_lists(input, &[column], &index(set, &by_wall));
    if pages.len() > 1 {
        pages = set_lists(input, &[column], &index(set, &by_series));
    }
    let room = Area::new(
        field.x0 + 12.0,
        field.y0 + 12.0,
        column.x0 - 14.0,
        field.y1 - TITLE,
    );
    Placed { room, pages }
}

/// Lists in columns at the foot, as low as they can be; none when they would take more than half of the sheet.
fn lists_below(input: &GeneralInput<'_>, set: &[&Sheet], field: &Area) -> Option<Placed> {
    let room = Area::new(
        field.x0 + 12.0,
        field.y0 + 12.0,
        field.x1 - 12.0,
        field.y1 - 8.0,
    );
    let least = input.paper().lettering.note * COLUMN;
    let many = (1_u32..).take_while(|n| f64::from(*n) * least <= room.width());
    let many = many.last().unwrap_or(1);
    let tables = [index(set, &by_wall), index(set, &by_series)];
    let mut steps = tables
        .iter()
        .flat_map(|table| (1..=STEPS).map(move |step| (table, step)));
    steps.find_map(|(table, step)| {
        let height = room.height() * f64::from(step) / f64::from(2 * STEPS);
        let lists = Area::new(room.x0, room.y1 - height, room.x1, room.y1);
        let pages = set_lists(input, &Flow::columns(lists, many, 10.0), table);
        let left = Area::new(room.x0, room.y0, room.x1, lists.y0 - TITLE);
        (pages.len() == 1).then_some(Placed { room: left, pages })
    })
}

/// Steps in which half of the sheet is tried for the lists at the foot.
const STEPS: u32 = 20;
/// Least width of a column at the foot, in heights of a note.
const COLUMN: f64 = 50.0;

/// How many walls, and which of them have no panels.
fn walls(input: &GeneralInput<'_>) -> String {
    let count = input.building.walls.len();
    match hold_words(&left_out(input.building, input.layout, None)) {
        Some(words) => format!("{count}; {words}"),
        None => count.to_string(),
    }
}

fn numbers(input: &GeneralInput<'_>) -> Table {
    let panels = &input.fabrication.panels;
    let count = |n: usize| n.to_string();
    let weight: f64 = panels.iter().map(|it| it.weight_lb).sum();
    let gross: f64 = panels
        .iter()
        .map(|it| square_feet(it.width, it.height))
        .sum();
    let mut rows = vec![
        ("Panels", count(panels.len())),
        (
            "On HOLD",
            count(panels.iter().filter(|it| it.is_held()).count()),
        ),
        ("Walls", walls(input)),
        (
            "Openings",
            count(
                input
                    .building
                    .walls
                    .iter()
                    .map(|it| it.openings.len())
                    .sum(),
            ),
        ),
        (
            "Panel area, openings not taken off",
            format!("{} sq ft", grouped(gross)),
        ),
        ("Weight of all panels", format!("{} lb", grouped(weight))),
    ];
    let heaviest = panels.iter().max_by(|a, b| {
        a.weight_lb
            .total_cmp(&b.weight_lb)
            .then_with(|| b.mark.cmp(&a.mark))
    });
    rows.extend(heaviest.map(|it| {
        (
            "Heaviest",
            format!("{}, {} lb", it.mark, grouped(it.weight_lb)),
        )
    }));
    let longest = panels
        .iter()
        .max_by(|a, b| (a.width, &b.mark).cmp(&(b.width, &a.mark)));
    rows.extend(longest.map(|it| {
        (
            "Longest",
            format!("{}, {}", it.mark, it.width.feet_inches()),
        )
    }));
    let mut assemblies: Vec<&str> = panels
        .iter()
        .filter_map(|it| input.rules.assemblies.get(it.assembly))
        .map(|it| it.name.as_str())
        .collect();
    assemblies.sort_unstable();
    assemblies.dedup();
    rows.push(("Assembly", assemblies.join(", ")));
    if !input.facts.package.is_empty() {
        rows.push(("Package", input.facts.package.clone()));
    }
    Table {
        columns: vec![Column::words("What"), Column::wrapping("").bold()],
        rows: rows
            .into_iter()
            .map(|(name, value)| vec![name.to_owned(), value])
            .collect(),
        total: None,
        has_heads: false,
    }
}

fn datum(sheet: &Sheet, name: &str) -> String {
    let found = sheet.data.iter().find(|(key, _)| key == name);
    found.map(|(_, value)| value.clone()).unwrap_or_default()
}

/// Panel sheets of one wall together, every other sheet alone.
fn by_wall(sheet: &Sheet) -> (String, String) {
    if datum(sheet, "panel").is_empty() {
        (sheet.name.clone(), String::new())
    } else {
        ("panels".to_owned(), datum(sheet, "wall"))
    }
}

/// All sheets of a series together, for a set whose index is longer than its column.
fn by_series(sheet: &Sheet) -> (String, String) {
    let series = crate::documents::pdf::series(&sheet.number);
    (series.unwrap_or("").to_owned(), String::new())
}

/// A row for all sheets in succession that have one key.
fn index(set: &[&Sheet], key: &dyn Fn(&Sheet) -> (String, String)) -> Table {
    let rows = index_rows(set, key);
    Table {
        columns: vec![
            Column::words("Sheet").bold(),
            Column::wrapping("Title"),
            Column::centred("Rev"),
        ],
        rows,
        total: None,
        has_heads: true,
    }
}

fn index_rows(set: &[&Sheet], key: &dyn Fn(&Sheet) -> (String, String)) -> Vec<Vec<String>> {
    let mut rows: Vec<Vec<String>> = Vec::new();
    let mut rest = set;
    while let Some((first, _)) = rest.split_first() {
        let together = rest
            .iter()
            .take_while(|it| key(it) == key(first))
            .count()
            .max(1);
        let last = rest.get(together - 1).copied().unwrap_or(first);
        let panel = |sheet: &Sheet| Some(datum(sheet, "panel")).filter(|mark| !mark.is_empty());
        let revision = Some(datum(first, "revision")).filter(|it| !it.is_empty());
        let bare = |sheet: &Sheet| {
            let title = sheet
                .title
                .strip_prefix(&sheet.number)
                .unwrap_or(&sheet.title);
            title.split(", ").next().unwrap_or(title).trim().to_owned()
        };
        let (number, title) = match (together, panel(first), panel(last)) {
            (1, Some(mark), _) => (first.number.clone(), format!("Panel {mark}")),
            (_, Some(a), Some(b)) => (
                format!("{} to {}", first.number, last.number),
                if a == b {
                    format!("Panel {a}, {together} sheets")
                } else {
                    format!("Panels {a} to {b}, {together} sheets")
                },
            ),
            (1, ..) => (first.number.clone(), bare(first)),
            _ if bare(first) == bare(last) => {
                (format!("{} to {}", first.number, last.number), bare(first))
            }
            _ => (
                format!("{} to {}", first.number, last.number),
                format!("{} to {}", bare(first), bare(last)),
            ),
        };
        rows.push(vec![
            number,
            title,
            revision.unwrap_or_else(|| "0".to_owned()),
        ]);
        rest = rest.get(together..).unwrap_or_default();
    }
    rows
}
