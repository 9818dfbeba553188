//! Further sheets of a panel: everything that is said of it in lists, parts with their places.
//!
//! A ticket always has one, with the sections where the lists leave room. A sheet with sections has one when its strip or its drawing had to leave something out.

use super::edges::{edge_words, neighbours};
use super::measures::flow_measures;
use super::section::{Cuts, draw_level};
use super::signs::EdgePlace;
use super::strip::{LOOSE, draw_cautions, draw_plan, notes, part_rows, row_marks, skin_rows};
use super::subject::{Subject, capital, opening_word, size};
use super::ticket::{draw_block, ticket_strips};
use super::title::{draw_title, reasons};
use super::upright::draw_upright;
use super::why::{HEADING as WHY, reasons_in_short, reasons_set_solid, told};
use crate::documents::paper::flow::Flow;
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::strip::Strip;
use crate::documents::paper::style::SMALL_SHEET;
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Lettered, Sheet, Weight, spot};
use crate::fabrication::Fitted;
use crate::units::{Inches, Length};

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);

/// Space about the lists, mm.
const ROUND: f64 = 3.0;
/// Space between columns, mm.
const BETWEEN: f64 = 6.0;
/// Space under what stays whole, mm.
const UNDER: f64 = 6.0;

/// Number of the second, third… sheet of a panel: `Z-4101.2`.
pub(super) fn further_number(number: &str, sheet: usize) -> String {
    format!("{number}.{sheet}")
}

/// The lists on as many sheets as they need; on those of a ticket sections A-A and B-B too, where they take no more sheets.
/// Says which.
pub(super) fn list_sheets(
    subject: &Subject<'_>,
    number: &str,
    cuts: &Cuts,
) -> (Vec<Sheet>, [bool; 2]) {
    let paper = subject.paper();
    let foot = |canvas: &mut Canvas, number: &str| -> Area {
        if subject.is_ticket() {
            draw_ticket_foot(canvas, subject, number)
        } else {
            let mut strip = Strip::of(&paper);
            draw_title(canvas, &mut strip, subject, number);
            draw_cautions(canvas, &mut strip, subject);
            draw_plan(canvas, &mut strip, subject);
            paper.field()
        }
    };
    let field = foot(&mut Canvas::new(), &further_number(number, 2));
    let count = if subject.is_ticket() { 2 } else { 3 };
    let columns = Flow::columns(field.grown(-ROUND), count, BETWEEN);
    let set = |before: [bool; 2], after: [bool; 2], why: Why| {
        let mut flow = Flow::new(columns.clone(), columns.clone(), SMALL_SHEET);
        set_sections(&mut flow, subject, cuts, before);
        set_lists(&mut flow, subject);
        match why {
            Why::Listed => set_why(&mut flow, subject),
            Why::Solid => set_why_solid(&mut flow, subject),
            Why::Nowhere => {}
        }
        set_sections(&mut flow, subject, cuts, after);
        flow.into_pages()
    };
    let mut shown = NEITHER;
    let mut pages = if subject.is_ticket() {
        set(NEITHER, NEITHER, Why::Nowhere)
    } else {
        set(NEITHER, NEITHER, Why::Listed)
    };
    if subject.is_ticket() {
        let least = pages.len();
        let mut tries = WITH
            .iter()
            .flat_map(|[before, after]| WHYS.map(|why| (*before, *after, why)));
        let found = tries.find_map(|(before, after, why)| {
            let more = set(before, after, why);
            let both = [before[0] || after[0], before[1] || after[1]];
            (more.len() <= least).then_some((more, both))
        });
        (pages, shown) = found.unwrap_or((pages, shown));
    }
    let pages = pages.into_iter().enumerate();
    let sheets = pages
        .map(|(index, lists)| {
            let number = further_number(number, index + 2);
            let mut frame = Canvas::new();
            paper.draw_frame(&mut frame);
            let mut block = Canvas::new();
            foot(&mut block, &number);
            let mark = &subject.panel.mark;
            let data = [("panel", mark.as_str())];
            let mut shown = Canvas::new();
            shown.group_with("lists-of-panel", &format!("Panel {mark}"), &data, |canvas| {
                canvas.append(lists);
            });
            Sheet {
                name: format!("{number}-{mark}"),
                title: format!("{mark} lists, {}", subject.input.facts.building),
                description: format!(
                    "Parts with their places, openings, edges, measures and notes of panel {mark}. {}, inches.",
                    paper.name
                ),
                paper: paper.name.to_owned(),
                width: paper.width,
                height: paper.height,
                data: super::sheet_data(subject),
                layers: vec![
                    frame.into_group("frame", "Frame"),
                    shown.into_group("lists", "Lists"),
                    block.into_group("strip", "Title block"),
                ],
                number,
            }
        })
        .collect();
    (sheets, shown)
}

/// How a ticket tells why it is so.
#[derive(Clone, Copy)]
enum Why {
    Listed,
    Solid,
    Nowhere,
}

/// What is tried, the best first.
const WHYS: [Why; 3] = [Why::Listed, Why::Solid, Why::Nowhere];

/// Neither section A-A nor B-B.
const NEITHER: [bool; 2] = [false; 2];
/// Which of them stand before the lists and which after them: what is tried, the best first.
const WITH: [[[bool; 2]; 2]; 7] = [
    [[true, true], NEITHER],
    [[true, false], [false, true]],
    [NEITHER, [true, true]],
    [[true, false], NEITHER],
    [NEITHER, [true, false]],
    [NEITHER, [false, true]],
    [NEITHER, NEITHER],
];

/// Heights of sections A-A and B-B on a ticket, mm: the least at which their words stand beside them.
const SECTIONS: [f64; 2] = [92.0, 74.0];

/// The sections that are shown, each whole.
fn set_sections(flow: &mut Flow, subject: &Subject<'_>, cuts: &Cuts, shown: [bool; 2]) {
    let [upright, level] = shown;
    if upright {
        flow.block(
            |_| SECTIONS[0],
            |canvas, area| draw_upright(canvas, subject, area, cuts),
        );
    }
    if level {
        flow.block(
            |_| SECTIONS[1],
            |canvas, area| draw_level(canvas, subject, area, cuts),
        );
    }
    if upright || level {
        flow.block(|_| UNDER, |_, _| {});
    }
}

/// Small plan and title block; what is left above them.
fn draw_ticket_foot(canvas: &mut Canvas, subject: &Subject<'_>, number: &str) -> Area {
    let frame = subject.paper().frame();
    let [_, mut trial] = ticket_strips(frame);
    draw_title(&mut Canvas::new(), &mut trial, subject, number);
    let top = trial.foot - 0.1;
    let block = Area::new(frame.x0, top, frame.x1, frame.y1);
    draw_block(canvas, block);
    let [mut plan, mut title] = ticket_strips(block);
    draw_title(canvas, &mut title, subject, number);
    draw_plan(canvas, &mut plan, subject);
    Area::new(frame.x0, frame.y0, frame.x1, top)
}

fn set_lists(flow: &mut Flow, subject: &Subject<'_>) {
    let table = |columns, rows| Table {
        columns,
        rows,
        total: None,
        has_heads: true,
    };
    let mut set = |heading: &str, remark: &str, columns: Vec<Column>, rows: Vec<Vec<String>>| {
        if !rows.is_empty() {
            flow.table(heading, remark, &table(columns, rows));
        }
    };
    let parts = |is_of_plant| {
        vec![
            Column::wrapping(&subject.before_numbers())
                .bold()
                .naming_each("part", row_marks(subject, is_of_plant)),
            Column::centred("Qty"),
            Column::wrapping("Part"),
            Column::numbers("Length"),
            Column::wrapping("From x, y"),
        ]
    };
    let fitted = with_places(subject, true);
    set("PARTS FITTED IN THE PLANT", "inches", parts(true), fitted);
    let loose = with_places(subject, false);
    set(LOOSE, "", parts(false), loose);
    // By themselves: their sizes are wider than lengths, and would leave the names of parts no room.
    let blank = vec![
        Column::centred("Qty"),
        Column::wrapping("Blank"),
        Column::numbers("Size"),
    ];
    let rows = skin_rows(subject).into_iter();
    set("BLANK", "inches", blank, rows.map(blank_row).collect());
    set(
        "OPENINGS",
        "rough",
        vec![
            Column::words("Id").bold(),
            Column::wrapping("Kind, unit"),
            Column::numbers("Width × height"),
            Column::numbers("Hole x, y"),
        ],
        openings(subject),
    );
    set(
        "CUT INTO THE INNER SKIN",
        "",
        vec![
            Column::wrapping("What"),
            Column::numbers("Width × height"),
            Column::numbers("From x, y"),
        ],
        inner_cuts(subject),
    );
    set(
        "CHASES",
        "",
        vec![
            Column::words("Ø"),
            Column::numbers("From x, y"),
            Column::numbers("To x, y"),
        ],
        chases(subject),
    );
    set(
        "EDGES",
        "",
        vec![
            Column::words("Edge").bold(),
            Column::wrapping("What stands there"),
            Column::wrapping("Beyond"),
        ],
        edges(subject),
    );
    flow_measures(flow, subject);
    flow.block(|_| UNDER, |_, _| {});
    flow_lines(flow, "ON HOLD", &reasons(subject));
    let mut all = notes(subject);
    if subject.holes().next().is_some() {
        all.push(capital(subject.input.rules.openings.buck.sentence()));
    }
    flow_lines(flow, "NOTES", &all);
}

fn set_why(flow: &mut Flow, subject: &Subject<'_>) {
    let why = reasons_in_short(subject).into_iter();
    let why: Vec<String> = why.map(|(about, words)| told(&about, &words)).collect();
    flow_lines(flow, WHY, &why);
}

/// The same in the least room: one reason after the other.
fn set_why_solid(flow: &mut Flow, subject: &Subject<'_>) {
    let words = reasons_set_solid(subject);
    let leading = SMALL_SHEET.leading();
    let head = SMALL_SHEET.note + 2.0;
    let wrapped = |width: f64| wrap(&words, width - 2.8, NOTE.cap, Weight::Regular);
    let height = |width: f64| {
        let lines: f64 = wrapped(width).iter().map(|_| leading).sum();
        head + lines + 1.4
    };
    flow.block(height, |canvas, area| {
        let mut at = spot(area.x0 + 1.4, area.y0 + head);
        canvas.text(at, WHY, NOTE.bold());
        for words in wrapped(area.width()) {
            at.y += leading;
            canvas.text(at, words, NOTE);
        }
    });
}

/// Rows of parts with where their pieces begin: the lower left corner of each, from the datum corner.
fn with_places(subject: &Subject<'_>, is_of_plant: bool) -> Vec<Vec<String>> {
    let rows = subject.rows.iter();
    let rows = rows.filter(|row| (row.fitted == Fitted::Plant) == is_of_plant);
    rows.zip(part_rows(subject, is_of_plant))
        .map(|(row, cells)| {
            let pieces = row.pieces.iter();
            let pieces = pieces.filter_map(|piece| subject.panel.lumber.get(*piece));
            let mut corners: Vec<String> = Vec::new();
            for lumber in pieces {
                let words = at(lumber.rect.x0, lumber.rect.y0);
                // Pieces that lie behind each other are told once.
                if !corners.contains(&words) {
                    corners.push(words);
                }
            }
            with_place(cells, corners.join("; "))
        })
        .collect()
}

/// Number, quantity, use and section in one cell, length, place.
fn with_place(row: Vec<String>, place: String) -> Vec<String> {
    let [number, count, name, section, length] = row.as_slice() else {
        return row;
    };
    vec![
        number.clone(),
        count.clone(),
        format!("{name}, {section}"),
        length.clone(),
        place,
    ]
}

/// Quantity, name and what it is made of, size.
fn blank_row(row: Vec<String>) -> Vec<String> {
    let [_, count, name, section, size] = row.as_slice() else {
        return row;
    };
    vec![count.clone(), format!("{name}, {section}"), size.clone()]
}

fn at(x: Length, y: Length) -> String {
    // A place stays on one line.
    format!("{}, {}", Inches(x), Inches(y)).replace(' ', "\u{a0}")
}

fn openings(subject: &Subject<'_>) -> Vec<Vec<String>> {
    let openings = subject.panel.openings.iter();
    openings
        .filter_map(|it| {
            let rough = subject.rough_opening(it.opening)?;
            let [width, height] = rough.unit;
            let mut kind = format!(
                "{}, unit {} × {}",
                opening_word(rough.kind).to_lowercase(),
                width.feet_inches(),
                height.feet_inches()
            );
            let hole = it.skin_hole;
            if (hole.width(), hole.height()) != (it.rough.width(), it.rough.height()) {
                kind.push_str(&format!(
                    ", skin hole {}",
                    size(hole.width(), hole.height())
                ));
            }
            Some(vec![
                it.id.clone(),
                kind,
                size(it.rough.width(), it.rough.height()),
                at(hole.x0, hole.y0),
            ])
        })
        .collect()
}

fn inner_cuts(subject: &Subject<'_>) -> Vec<Vec<String>> {
    let cuts = subject.panel.inner_cuts.iter();
    cuts.map(|cut| {
        vec![
            cut.what.clone(),
            size(cut.rect.width(), cut.rect.height()),
            at(cut.rect.x0, cut.rect.y0),
        ]
    })
    .collect()
}

fn chases(subject: &Subject<'_>) -> Vec<Vec<String>> {
    let chases = subject.panel.chases.iter();
    chases
        .map(|it| {
            vec![
                Inches(it.diameter).to_string(),
                at(it.from.x, it.from.y),
                at(it.to.x, it.to.y),
            ]
        })
        .collect()
}

fn edges(subject: &Subject<'_>) -> Vec<Vec<String>> {
    let beyond = neighbours(subject);
    edge_words(subject)
        .into_iter()
        .map(|edge| {
            let (name, hand) = match edge.sign.place {
                EdgePlace::End(hand) => (hand.word(), Some(hand)),
                EdgePlace::Top => ("top", None),
                EdgePlace::Bottom => ("bottom", None),
            };
            let is_there = |it: &&super::edges::Neighbour| Some(it.hand) == hand;
            let neighbour = beyond.iter().find(is_there);
            let words = neighbour.map(|it| format!("{} {}", it.mark, it.remark));
            vec![
                name.to_owned(),
                joined(&edge.lines),
                words.unwrap_or_default().trim_end().to_owned(),
            ]
        })
        .collect()
}

/// Lines of an edge in one: a line that ends with a comma goes on, any other is a sentence of its own.
fn joined(lines: &[String]) -> String {
    let mut all = String::new();
    for line in lines.iter().filter(|line| !line.is_empty()) {
        if !all.is_empty() {
            all.push_str(if all.ends_with(',') { " " } else { "; " });
        }
        all.push_str(line);
    }
    all
}

/// A heading and numbered paragraphs, each of which stays whole.
fn flow_lines(flow: &mut Flow, heading: &str, lines: &[String]) {
    const INDENT: f64 = 6.0;
    let leading = SMALL_SHEET.leading();
    for (index, words) in lines.iter().enumerate() {
        let head = if index == 0 {
            SMALL_SHEET.title + 2.0
        } else {
            0.0
        };
        let wrapped = |width: f64| wrap(words, width - INDENT - 2.0, NOTE.cap, Weight::Regular);
        let height = |width: f64| {
            let lines: f64 = wrapped(width).iter().map(|_| leading).sum();
            head + lines + 1.4
        };
        flow.block(height, |canvas, area| {
            if index == 0 {
                let bold = Lettered::cap(SMALL_SHEET.title).bold();
                canvas.text(
                    spot(area.x0 + 1.4, area.y0 + SMALL_SHEET.title),
                    heading,
                    bold,
                );
            }
            let mut base = area.y0 + head;
            for (line, words) in wrapped(area.width()).into_iter().enumerate() {
                base += leading;
                if line == 0 {
                    let number = (index + 1).to_string();
                    canvas.text(spot(area.x0 + 1.4, base), number, NOTE.bold());
                }
                canvas.text(spot(area.x0 + INDENT, base), words, NOTE);
            }
        });
    }
    if !lines.is_empty() {
        flow.block(|_| UNDER, |_, _| {});
    }
}
