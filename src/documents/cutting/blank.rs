//! Blanks: a sheet for each, or one for several that come apart alike; small ones share sheets.

use super::blank_view::{View, draw};
use super::small::{self, Band};
use super::{AT_THE_SAW, CuttingInput, Page, blanks_title, named, shortened};
use crate::documents::paper::flow::Flow;
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::rules::Face;
use crate::stock::{Blank, CutKind, NumberedCut, SheetCut, numbered_cuts};
use crate::units::{Inches, Length, square_feet};

/// Heights that the picture of a blank may have on a sheet of its own, mm of ANSI B: the greatest that takes no more sheets.
const TALL: [f64; 4] = [160.0, 105.0, 88.0, 72.0];

/// What makes two blanks come apart alike.
#[derive(PartialEq)]
struct Shape<'a> {
    made: (usize, usize, Face),
    size: [Length; 4],
    rects: Vec<ShopRect>,
    rings: Vec<ShopRing>,
    cuts: &'a [SheetCut],
    offcuts: Vec<ShopRect>,
    lines: Vec<&'a [[ShopPoint; 2]]>,
}

fn shape<'a>(input: &CuttingInput<'_>, blank: &'a Blank) -> Shape<'a> {
    let sheet = &blank.sheet;
    Shape {
        made: (blank.assembly, blank.line, blank.face_up),
        size: [sheet.length, sheet.width, sheet.trim, sheet.kerf],
        rects: blank.panels.iter().map(|it| it.rect).collect(),
        rings: (0..blank.panels.len())
            .flat_map(|place| contours(input, blank, place))
            .collect(),
        cuts: &sheet.cuts,
        offcuts: sheet.offcuts.iter().map(|it| it.rect).collect(),
        lines: vec![blank.chases.as_slice(), blank.core_joints.as_slice()],
    }
}

/// The contours of a blank's panel as they lie, outline first: those of the face that lies up.
pub(super) fn contours(input: &CuttingInput<'_>, blank: &Blank, place: usize) -> Vec<ShopRing> {
    let Some(it) = blank.panels.get(place) else {
        return Vec::new();
    };
    let Some(panel) = input.fabrication.panels.get(it.panel) else {
        return Vec::new();
    };
    let face = panel.face(blank.face_up);
    let rings = std::iter::once(&face.outline).chain(&face.holes);
    rings.map(|ring| it.on.ring(ring)).collect()
}

pub(super) fn pages(input: &CuttingInput<'_>) -> Vec<Page> {
    let mut groups: Vec<(Shape<'_>, Vec<&Blank>)> = Vec::new();
    for blank in &input.stock.blanks {
        let shape = shape(input, blank);
        match groups.iter_mut().find(|it| it.0 == shape) {
            Some((_, group)) => group.push(blank),
            None => groups.push((shape, vec![blank])),
        }
    }
    let banded = groups
        .iter()
        .map(|(_, group)| (Band::new(input, group), group));
    let (small, large): (Vec<_>, Vec<_>) = banded.partition(|(band, _)| band.is_some());
    let mut pages: Vec<Page> = large
        .iter()
        .flat_map(|(_, group)| group_pages(input, group))
        .collect();
    let bands: Vec<Band<'_>> = small.into_iter().filter_map(|(band, _)| band).collect();
    pages.extend(small::pages(input, &bands));
    pages
}

/// Blanks that come apart alike, on sheets of their own.
pub(super) fn group_pages(input: &CuttingInput<'_>, group: &[&Blank]) -> Vec<Page> {
    let Some(first) = group.first() else {
        return Vec::new();
    };
    let cuts = numbered_cuts(first, |index| input.fabrication.panels.get(index));
    let paper = input.paper();
    let room = paper.field().grown(-3.0);
    let columns = |area| paper.columns(area, 5.0);
    let (pieces, offcuts, cut_rows) = (pieces(input, group), offcuts(group), cut_table(&cuts));
    let set = |view: &View| {
        let below = Area::new(room.x0, view.foot, room.x1, room.y1);
        let mut flow = Flow::new(columns(below), columns(room), paper.lettering);
        flow.table("PIECES", "inches from the datum corner", &pieces);
        if !offcuts.rows.is_empty() {
            flow.table("OFFCUTS", "kept ones are labelled and shelved", &offcuts);
        }
        if !cuts.is_empty() {
            flow.table("CUTS", "in this order", &cut_rows);
        }
        flow.into_pages()
    };
    // The picture gives way to lists that would else have their tail on a sheet of its own.
    let tries = TALL.map(|tall| {
        let view = View::within(input, &first.sheet, &paper.field(), tall);
        (set(&view), view)
    });
    let Some((pages, view)) = tries.into_iter().min_by_key(|it| it.0.len()) else {
        return Vec::new();
    };
    let mut picture = Canvas::new();
    draw(&mut picture, input, group, &cuts, &view);
    let names: Vec<&str> = group.iter().map(|it| it.sheet.name.as_str()).collect();
    let count = pages.len();
    let mut picture = Some(picture);
    pages
        .into_iter()
        .enumerate()
        .map(|(index, lists)| {
            let picture = picture.take().map(|it| it.into_group("blank", "Blank"));
            let has_view = picture.is_some();
            let mut layers: Vec<_> = picture.into_iter().collect();
            layers.push(lists.into_group("lists", "Lists"));
            Page {
                name: first.sheet.name.clone(),
                title: blanks_title(&names),
                subtitle: if count > 1 {
                    format!("panels from a blank, sheet {} of {count}", index + 1)
                } else {
                    "panels from a blank".to_owned()
                },
                scale: if has_view { view.scale.name } else { "none" },
                layers,
                facts: ("THE BLANK".to_owned(), facts(input, group, &names)),
                bounds: bound(input, first),
                notes: notes(input, &[first]),
                cautions: AT_THE_SAW,
            }
        })
        .collect()
}

fn facts(input: &CuttingInput<'_>, group: &[&Blank], names: &[&str]) -> Table {
    let Some(first) = group.first() else {
        return Table::default();
    };
    let sheet = &first.sheet;
    let area = |rects: &[ShopRect]| -> f64 {
        let areas = rects.iter().map(|it| square_feet(it.width(), it.height()));
        areas.fold(0.0, |sum, it| sum + it)
    };
    let whole = square_feet(sheet.length, sheet.width);
    let rects: Vec<ShopRect> = sheet.pieces.iter().map(|it| it.rect).collect();
    let kept = sheet.offcuts.iter().filter(|it| it.is_kept);
    let kept: Vec<ShopRect> = kept.map(|it| it.rect).collect();
    let line = input.rules.lines.get(first.line);
    let face = match first.face_up {
        Face::Outer => "OUTSIDE",
        Face::Inner => "INSIDE",
    };
    let feet = |area: f64| format!("{area:.1} sq ft, {:.0} %", 100.0 * area / whole.max(0.01));
    let mut rows = vec![
        ("Blanks", shortened(names, "named under PIECES")),
        ("How many", group.len().to_string()),
        ("Assembly", sheet.what.clone()),
        ("Line", line.map_or_else(String::new, |it| it.name.clone())),
        (
            "Size",
            format!(
                "{} × {}",
                sheet.length.feet_inches(),
                sheet.width.feet_inches()
            ),
        ),
        ("Thickness", format!("{}\"", Inches(sheet.thickness))),
        ("Face up", face.to_owned()),
        ("Kerf", sheet.kerf.to_string()),
        ("Trim, each edge", sheet.trim.to_string()),
        ("In panels, of each", feet(area(&rects))),
        ("Kept offcuts, of each", feet(area(&kept))),
        (
            "Waste with kerf, trim",
            feet(whole - area(&rects) - area(&kept)),
        ),
    ];
    if !sheet.leftover.is_empty() {
        rows.insert(2, ("Leftover used", sheet.leftover.clone()));
    }
    Table {
        columns: vec![Column::words("What"), Column::wrapping("").bold()],
        rows: rows
            .into_iter()
            .map(|(what, value)| vec![what.to_owned(), value])
            .collect(),
        total: None,
        has_heads: false,
    }
}

/// The sentence of this assembly and line.
fn bound(input: &CuttingInput<'_>, blank: &Blank) -> Vec<String> {
    let line = input.rules.lines.get(blank.line);
    let assembly = input.rules.assemblies.get(blank.assembly);
    let what = format!(
        "{}, {} line",
        assembly.map_or("", |it| it.name.as_str()),
        line.map_or("", |it| it.name.as_str())
    );
    let tallies = input.stock.tallies.iter();
    tallies
        .filter(|it| it.kind == "blanks" && it.what == what)
        .map(|it| format!("{}: {}.", it.what, it.sentence))
        .collect()
}

/// Notes on the blanks of one sheet.
pub(super) fn notes(input: &CuttingInput<'_>, blanks: &[&Blank]) -> Vec<String> {
    let panels = || blanks.iter().flat_map(|blank| &blank.panels);
    let mut notes = vec![
        "Datum: lower left corner, named face up. Inches from it, rounded to 1/16; blanks/ has them exactly.".to_owned(),
        "Saw in the order of the numbers: openings while the blank is stiff, then trim, rips and cross cuts from edge to edge of what is left, slopes last.".to_owned(),
    ];
    let has = |what: &dyn Fn(&Blank) -> bool| blanks.iter().any(|it| what(it));
    let lines = [
        Some("Arrow: to the panel's top."),
        has(&|it| !it.chases.is_empty()).then_some("Long dashes: chases, made before the press."),
        has(&|it| !it.core_joints.is_empty()).then_some("Chain lines: joints of the core."),
    ];
    let lines: Vec<&str> = lines.into_iter().flatten().collect();
    notes.push(lines.join(" "));
    let paired = panels().filter_map(|it| Some((it.mark.as_str(), it.paired_with.as_deref()?)));
    let paired: Vec<String> = paired
        .filter(|(a, b)| a < b)
        .map(|(a, b)| format!("{a} and {b}"))
        .collect();
    if !paired.is_empty() {
        let words = paired.join("; ");
        notes.push(format!(
            "Nose to tail in one rectangle, parted by a slope: {words}."
        ));
    }
    let is_turned = |panel: usize| {
        let panel = input.fabrication.panels.get(panel);
        panel.is_some_and(|it| it.mirror_of.is_some())
    };
    let mirrored = panels().filter(|it| is_turned(it.panel));
    let mirrored: Vec<&str> = mirrored.map(|it| it.mark.as_str()).collect();
    if !mirrored.is_empty() {
        notes.push(format!(
            "Mirror image of another panel: {}.",
            named(&mirrored)
        ));
    }
    notes
}

fn inches(length: Length) -> String {
    Inches(length).to_string()
}

pub(super) fn pieces(input: &CuttingInput<'_>, group: &[&Blank]) -> Table {
    let rows = group.iter().flat_map(|blank| {
        blank.panels.iter().enumerate().map(|(place, it)| {
            let panel = input.fabrication.panels.get(it.panel);
            let top = match it.on.attitude.up() {
                "+x" => "right",
                "-x" => "left",
                "+y" => "up",
                _ => "down",
            };
            vec![
                blank.sheet.name.clone(),
                (place + 1).to_string(),
                it.mark.clone(),
                panel.map_or_else(String::new, |it| it.revision.clone()),
                format!("{top}, {}°", it.on.attitude.degrees()),
                inches(it.rect.x0),
                inches(it.rect.y0),
                format!("{} × {}", inches(it.rect.width()), inches(it.rect.height())),
            ]
        })
    });
    let mut table = Table {
        columns: vec![
            Column::words("Blank"),
            Column::numbers("Place"),
            Column::wrapping("Mark").bold(),
            Column::centred("Rev"),
            Column::words("Top, turn"),
            Column::numbers("x"),
            Column::numbers("y"),
            Column::words("Along x × y"),
        ],
        rows: rows.collect(),
        total: None,
        has_heads: true,
    };
    // The heading names a blank that is alone; before the first revision there is no letter.
    if table
        .rows
        .iter()
        .all(|row| row.get(3).is_none_or(String::is_empty))
    {
        table.leave_out(3);
    }
    if group.len() == 1 {
        table.leave_out(0);
    }
    table
}

pub(super) fn offcuts(group: &[&Blank]) -> Table {
    let rows = group
        .iter()
        .flat_map(|blank| &blank.sheet.offcuts)
        .map(|it| {
            vec![
                it.name.clone(),
                if it.is_kept { "kept" } else { "waste" }.to_owned(),
                inches(it.rect.x0),
                inches(it.rect.y0),
                format!("{} × {}", inches(it.rect.width()), inches(it.rect.height())),
            ]
        });
    Table {
        columns: vec![
            Column::wrapping("Offcut").bold(),
            Column::words(""),
            Column::numbers("x"),
            Column::numbers("y"),
            Column::words("Along x × y"),
        ],
        rows: rows.collect(),
        total: None,
        has_heads: true,
    }
}

/// Cuts in order: where each is set, from where to where it runs, and on which side the kerf falls.
pub(super) fn cut_table(cuts: &[NumberedCut]) -> Table {
    let rows = cuts.iter().map(|it| {
        let is_upright = it.from.x == it.to.x;
        let is_slope = !is_upright && it.from.y != it.to.y;
        let name = match it.kind {
            CutKind::Through if is_upright => "cross cut",
            CutKind::Through => "rip",
            CutKind::Opening | CutKind::Trim | CutKind::Slope => it.kind.name(),
        };
        let kerf = match it.kind {
            CutKind::Through if is_upright => "right",
            CutKind::Through => "above",
            CutKind::Trim => "outside",
            CutKind::Opening => "in the hole",
            CutKind::Slope => "off the panel",
        };
        let (at, from, to) = if is_slope {
            let end = |at: ShopPoint| format!("{}, {}", inches(at.x), inches(at.y));
            ("x, y".to_owned(), end(it.from), end(it.to))
        } else if is_upright {
            let ends = [it.from.y.min(it.to.y), it.from.y.max(it.to.y)];
            let [from, to] = ends.map(inches);
            (format!("x {}", inches(it.from.x)), format!("y {from}"), to)
        } else {
            let ends = [it.from.x.min(it.to.x), it.from.x.max(it.to.x)];
            let [from, to] = ends.map(inches);
            (format!("y {}", inches(it.from.y)), format!("x {from}"), to)
        };
        vec![
            it.number.to_string(),
            name.to_owned(),
            at,
            from,
            to,
            kerf.to_owned(),
        ]
    });
    Table {
        columns: vec![
            Column::numbers("No.").bold(),
            Column::words("Cut"),
            Column::words("Set at").bold(),
            Column::words("From"),
            Column::words("To"),
            Column::words("Kerf"),
        ],
        rows: rows.collect(),
        total: None,
        has_heads: true,
    }
}
