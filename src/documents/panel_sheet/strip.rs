//! The strip of a panel sheet: parts, blank, weight, measures to take, notes, where it stands, cautions, title block.

use super::mini_plan::draw_mini_plan;
use super::subject::{Hand, Subject, printed, size};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::frame::ANSI_B;
use crate::documents::paper::strip::{HoldBox, Revision, Strip, fitting_cap};
use crate::documents::paper::style::{Fill, Ink, Pen, SMALL_SHEET};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Weight, spot};
use crate::documents::plan_view::left_words;
use crate::fabrication::{Fitted, Lift};
use crate::layout::PanelKind;
use crate::rules::Face;
use crate::units::{Inches, Length};

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);

/// Least height of the small plan, mm.
const LEAST_PLAN: f64 = 30.0;

pub(super) fn draw_strip(canvas: &mut Canvas, subject: &Subject<'_>, number: &str, left: usize) {
    let mut strip = Strip::of(&ANSI_B);
    draw_title(canvas, &mut strip, subject, number);
    draw_cautions(canvas, &mut strip, subject);
    draw_parts(canvas, &mut strip, subject);
    draw_weight(canvas, &mut strip, subject);
    draw_measures(canvas, &mut strip, subject);
    draw_notes(canvas, &mut strip, subject, left);
    let rest = strip.rest();
    if rest.height() >= LEAST_PLAN {
        let storey = subject
            .input
            .building
            .storeys
            .get(subject.wall.storey_index);
        let name = storey.map_or("", |it| it.name.as_str()).to_lowercase();
        strip.heading(canvas, "KEY PLAN", &name);
        draw_mini_plan(canvas, subject, strip.rest());
    }
}

/// Foot: revisions, HOLD, project, mark.
fn draw_title(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>, number: &str) {
    let facts = subject.input.facts;
    let cell = strip.take_foot(canvas, 38.0);
    let split = cell.x1 - 36.0;
    canvas.line(Pen::Edge.full(), spot(split, cell.y0), spot(split, cell.y1));
    let small = [
        ("WALL", subject.wall.name.as_str()),
        ("DRAWN", facts.drawn_by.as_str()),
        ("CHECKED", ""),
        ("SHEET", number),
    ];
    let pitch = cell.height() / 4.0;
    let mut y = cell.y0;
    for (name, value) in small {
        let middle = y + pitch / 2.0;
        canvas.text_centred(spot(split + 2.0, middle), name, NOTE);
        let room = strip.right() - split - 5.0 - NOTE.width(name);
        let cap = if name == "SHEET" {
            SMALL_SHEET.mark
        } else {
            SMALL_SHEET.note
        };
        canvas.text_centred(
            spot(strip.right(), middle),
            value,
            fitting_cap(value, cap, room).bold().end(),
        );
        y += pitch;
        if y < cell.y1 - 1.0 {
            canvas.line(
                Pen::Hair.full().with(Ink::Hatch),
                spot(split, y),
                spot(cell.x1, y),
            );
        }
    }
    canvas.text(spot(strip.left(), cell.y0 + 4.4), "MARK", NOTE);
    let erect = format!("ERECT {}", subject.erection());
    canvas.text(
        spot(split - 2.0, cell.y0 + 5.2),
        erect,
        Lettered::cap(SMALL_SHEET.title).bold().end(),
    );
    let mark = &subject.panel.mark;
    let big = fitting_cap(mark, SMALL_SHEET.sheet, split - strip.left() - 3.0);
    canvas.text(spot(strip.left(), cell.y1 - 4.5), mark.clone(), big.bold());
    draw_project(canvas, strip, subject);
    let hold = if subject.panel.is_held() {
        HoldBox::Held(
            subject
                .panel
                .holds
                .iter()
                .map(|hold| format!("{}: {}", hold.code, hold.reason))
                .collect(),
        )
    } else {
        HoldBox::Released
    };
    strip.hold(canvas, &hold);
    let name = if subject.panel.revision.is_empty() {
        facts.revision.clone()
    } else {
        subject.panel.revision.clone()
    };
    let news = subject.input.issue.news_of(&subject.panel.mark);
    let change = match news {
        Some(news) if news.what == "changed" => changes_in_short(&news.changes),
        _ if subject.panel.revision.is_empty() && facts.revision == "0" => "First issue".to_owned(),
        Some(news) if news.what == "new" => "New panel".to_owned(),
        _ => "Cut as before; order, neighbours or notes differ".to_owned(),
    };
    strip.revisions(
        canvas,
        &[Revision {
            name,
            date: facts.date.clone(),
            change,
        }],
    );
}

/// The changes of a revision in the room of its row; all of them stand on the sheet of changes.
fn changes_in_short(changes: &[String]) -> String {
    const ROOM: usize = 150;
    let words = changes.join("; ");
    if words.chars().count() <= ROOM {
        return words;
    }
    let short: String = words.chars().take(ROOM).collect();
    format!("{}… see Z-091", short.trim_end())
}

fn draw_project(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
    let facts = subject.input.facts;
    let job = match (facts.building.is_empty(), facts.number.is_empty()) {
        (false, false) => format!("{}, job {}", facts.building.to_uppercase(), facts.number),
        (false, true) => facts.building.to_uppercase(),
        (true, false) => format!("Job {}", facts.number),
        (true, true) => String::new(),
    };
    let panel = format!(
        "{} in SIP, {} high",
        subject.assembly.name.replace('-', " "),
        Inches(subject.panel.height)
    );
    let project = facts.project.to_uppercase();
    strip.words_at_foot(
        canvas,
        &[
            (project.as_str(), NOTE),
            (job.as_str(), NOTE.bold()),
            (panel.as_str(), NOTE),
        ],
    );
}

fn draw_cautions(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
    let mut lines = vec![match subject.panel.face_up {
        Face::Outer => "Outside face up on the saw; a mirrored cut is scrap.".to_owned(),
        Face::Inner => {
            "INSIDE face up on the saw: the outline file is mirrored, this view is not.".to_owned()
        }
    }];
    lines.push("Do not over-cut the corners of skin holes.".to_owned());
    lines.push(match subject.panel.lift {
        Lift::Hand => "Set by hand by a crew; never lift by a buck.".to_owned(),
        Lift::Forklift | Lift::Crane => {
            "Both pick points, rated gear, nobody beneath; never lift by a buck.".to_owned()
        }
    });
    if subject
        .panel
        .notes
        .iter()
        .any(|note| note.contains("chase"))
        || !subject.panel.chases.is_empty()
    {
        lines.push("Wiring by a licensed electrician; never cut skins for it.".to_owned());
    }
    let width = strip.right() - strip.left();
    let wrapped: Vec<String> = lines
        .iter()
        .flat_map(|line| wrap(line, width, NOTE.cap, Weight::Regular))
        .collect();
    let leading = SMALL_SHEET.leading();
    let count: f64 = wrapped.iter().map(|_| leading).sum();
    let cell = strip.take_foot(canvas, count + 7.6);
    canvas.text(spot(strip.left(), cell.y0 + 4.4), "CAUTIONS", NOTE.bold());
    let mut y = cell.y0 + 4.8;
    for line in wrapped {
        y += leading;
        canvas.text(spot(strip.left(), y), line, NOTE);
    }
}

fn draw_parts(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
    let columns = || {
        vec![
            Column::centred("No."),
            Column::centred("Qty"),
            Column::wrapping("Use"),
            Column::wrapping("Section"),
            Column::numbers("Length"),
        ]
    };
    let rows_of = |wanted: &dyn Fn(Fitted) -> bool| -> Vec<Vec<String>> {
        subject
            .rows
            .iter()
            .filter(|row| wanted(row.fitted))
            .map(|row| {
                vec![
                    row.number.to_string(),
                    row.pieces.len().to_string(),
                    row.name.clone(),
                    row.section.clone(),
                    Inches(row.length).to_string(),
                ]
            })
            .collect()
    };
    let plant = rows_of(&|fitted| fitted == Fitted::Plant);
    let other = rows_of(&|fitted| fitted != Fitted::Plant);
    let mut rows = plant;
    rows.extend(skin_rows(subject));
    strip.heading(canvas, "PARTS FITTED IN THE PLANT, AND BLANK", "inches");
    let table = Table {
        columns: columns(),
        rows,
        total: None,
        has_heads: true,
    };
    strip.table(canvas, &table);
    if !other.is_empty() {
        strip.heading(canvas, "LOOSE, WITH THE PANEL", "");
        strip.table(
            canvas,
            &Table {
                columns: columns(),
                rows: other,
                total: None,
                has_heads: false,
            },
        );
    }
    strip.rule(canvas);
}

/// Skins and core as rows of the same table, without numbers.
fn skin_rows(subject: &Subject<'_>) -> Vec<Vec<String>> {
    let (panel, assembly) = (subject.panel, subject.assembly);
    let bounds = |ring: &crate::geometry::ShopRing| {
        ring.bounds()
            .map_or_else(String::new, |it| size(it.width(), it.height()))
    };
    let row = |count: usize, name: &str, section: String, length: String| {
        vec![
            String::new(),
            count.to_string(),
            name.to_owned(),
            section,
            length,
        ]
    };
    let skin = |thickness: Length| format!("{} {}", assembly.skin_material, Inches(thickness));
    let outer = bounds(&panel.outer_skin.outline);
    let mut rows = Vec::new();
    if panel.outer_skin == panel.inner_skin && assembly.outer_skin == assembly.inner_skin {
        rows.push(row(2, "Skins", skin(assembly.outer_skin), outer));
    } else {
        rows.push(row(1, "Skin, outer", skin(assembly.outer_skin), outer));
        rows.push(row(
            1,
            "Skin, inner",
            skin(assembly.inner_skin),
            bounds(&panel.inner_skin.outline),
        ));
    }
    for piece in panel.core_pieces() {
        let core = format!("{} {}", assembly.core_material, Inches(assembly.core));
        rows.push(row(1, "Core", core, bounds(&piece.outline)));
    }
    rows
}

fn draw_weight(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
    let panel = subject.panel;
    let cell = strip.take(canvas, 22.5);
    let frame = Area::new(cell.x0 + 2.0, cell.y0 + 2.0, cell.x0 + 47.0, cell.y1 - 2.0);
    canvas.shape(Form::Area(frame), Pen::Edge.full(), Fill::White);
    canvas.text(spot(frame.x0 + 2.0, frame.y0 + 4.2), "WEIGHT", NOTE);
    let words = format!("{:.0} lb", panel.weight_lb);
    let big = fitting_cap(&words, SMALL_SHEET.large, frame.width() - 4.0);
    canvas.text(
        spot(frame.middle().x, frame.y1 - 2.6),
        words,
        big.bold().middle(),
    );
    let [x, y] = panel.centre_of_gravity;
    let mut rows = vec![
        ("CG x, y", format!("{}, {}", printed(x), printed(y))),
        ("LIFT", panel.lift.name().to_owned()),
    ];
    if panel.pick_points.is_empty() {
        rows.push((
            "PICKS",
            match panel.lift {
                Lift::Hand => "none needed".to_owned(),
                Lift::Forklift | Lift::Crane => "rigger to choose".to_owned(),
            },
        ));
    } else {
        let xs: Vec<String> = panel
            .pick_points
            .iter()
            .map(|p| Inches(p.x).to_string())
            .collect();
        rows.push(("PICKS x", xs.join(" and ")));
        let y = panel.pick_points.first().map_or(Length::ZERO, |p| p.y);
        rows.push(("PICKS y", format!("{}, two-leg sling", Inches(y))));
    }
    let pitch = (cell.height() - 3.0) / 4.0;
    let mut middle = cell.y0 + 1.5 + pitch / 2.0;
    for (name, value) in rows {
        canvas.text_centred(spot(frame.x1 + 3.0, middle), name, NOTE);
        canvas.text_centred(spot(frame.x1 + 21.0, middle), value, NOTE.bold());
        middle += pitch;
    }
}

/// What is measured before the label goes on: name and value.
fn measures(subject: &Subject<'_>) -> Vec<(String, String)> {
    let panel = subject.panel;
    let inches = |length: Length| Inches(length).to_string();
    let diagonal =
        |width: Length, height: Length| printed(width.to_inches().hypot(height.to_inches()));
    let [left, right] = [Hand::Left, Hand::Right].map(|hand| subject.end_span(hand));
    // From each lower corner to the upper one beyond.
    let diagonals = [
        diagonal(panel.width, right[1] - left[0]),
        diagonal(panel.width, left[1] - right[0]),
    ];
    let mut rows = vec![
        ("Width, bottom".to_owned(), inches(panel.width)),
        ("Width, top".to_owned(), inches(panel.width)),
        ("Height, left".to_owned(), inches(left[1] - left[0])),
        ("Height, right".to_owned(), inches(right[1] - right[0])),
    ];
    if diagonals[0] == diagonals[1] {
        rows.push(("Diagonals, both".to_owned(), diagonals[0].clone()));
    } else {
        rows.push(("Diagonal, right".to_owned(), diagonals[0].clone()));
        rows.push(("Diagonal, left".to_owned(), diagonals[1].clone()));
    }
    if let Some(inner) = panel.inner_skin.outline.bounds()
        && inner.width() != panel.width
    {
        rows.push(("Inner skin, width".to_owned(), inches(inner.width())));
    }
    for (id, hole) in subject.holes() {
        rows.push((format!("{id} width"), inches(hole.width())));
        rows.push((format!("{id} height"), inches(hole.height())));
        rows.push((
            format!("{id} diagonals"),
            diagonal(hole.width(), hole.height()),
        ));
    }
    if rows.len() % 2 == 1 {
        let bevel = [Hand::Left, Hand::Right]
            .iter()
            .filter_map(|hand| subject.skin_edge(*hand))
            .find(|edge| edge.bevel_deg != 0.0);
        let words = bevel.map_or_else(
            || inches(subject.assembly.thickness()),
            |edge| format!("{}°", super::subject::degrees(edge.bevel_deg)),
        );
        let name = if bevel.is_some() {
            "Bevel"
        } else {
            "Thickness"
        };
        rows.push((name.to_owned(), words));
    }
    rows
}

fn draw_measures(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
    const PITCH: f64 = 4.7;
    let rows = measures(subject);
    strip.heading(canvas, "MEASURE BEFORE LABEL", "tolerance ±1/8");
    let half = rows.len().div_ceil(2);
    let height: f64 = rows.iter().take(half).map(|_| PITCH).sum();
    let cell = strip.take(canvas, height + 2.4);
    let width = cell.width() / 2.0;
    for (column, rows) in rows.chunks(half.max(1)).enumerate() {
        let x = if column == 0 {
            cell.x0
        } else {
            cell.x0 + width
        };
        let mut middle = cell.y0 + 1.2 + PITCH / 2.0;
        for (name, value) in rows {
            let tick = Area::new(x + width - 9.5, middle - 1.6, x + width - 2.0, middle + 1.6);
            canvas.text_centred(spot(x + 2.0, middle), name.clone(), NOTE);
            canvas.text_centred(
                spot(tick.x0 - 1.6, middle),
                value.clone(),
                NOTE.bold().end(),
            );
            canvas.rect(Pen::Thin.full(), tick);
            middle += PITCH;
        }
    }
}

fn draw_notes(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>, left: usize) {
    let mut notes = notes(subject);
    let words = left_words(left);
    if !words.is_empty() {
        notes.push(words);
    }
    if notes.is_empty() {
        return;
    }
    let mut trial = *strip;
    let mut drawn = Canvas::new();
    trial.heading(&mut drawn, "NOTES", "");
    trial.top -= 1.6;
    trial.numbered(&mut drawn, &notes);
    // What does not fit stands in panels.json and the lists; the sheet says so instead of stopping in mid-sentence.
    if trial.top > strip.foot {
        let mut fewer = notes;
        while trial.top > strip.foot && fewer.len() > 1 {
            fewer.pop();
            let mut shown = fewer.clone();
            shown.push("More notes: panelwright explain.".to_owned());
            trial = *strip;
            drawn = Canvas::new();
            trial.heading(&mut drawn, "NOTES", "");
            trial.top -= 1.6;
            trial.numbered(&mut drawn, &shown);
        }
        if trial.top > strip.foot {
            return;
        }
    }
    *strip = trial;
    canvas.put(crate::documents::paper::Item::Group(
        drawn.into_group("notes", "Notes"),
    ));
    strip.rule(canvas);
}

/// Notes of this panel: its own, twins, its kind.
fn notes(subject: &Subject<'_>) -> Vec<String> {
    let panel = subject.panel;
    let ids: Vec<&str> = panel.openings.iter().map(|it| it.id.as_str()).collect();
    let mut notes = joined(&panel.notes, &ids);
    notes.extend(
        panel
            .same_as
            .iter()
            .map(|mark| format!("Cut exactly as {mark}.")),
    );
    notes.extend(panel.mirror_of.iter().map(|mark| {
        format!("MIRROR IMAGE of {mark}: check mark, face and UP before it is cut or set.")
    }));
    if panel.kind != PanelKind::Wall {
        let ends = match panel.kind {
            PanelKind::Header => "Stands over the opening; y 0 is its own bottom, not the floor.",
            PanelKind::Sill | PanelKind::Wall => "Stands under the opening.",
        };
        notes.push(ends.to_owned());
    }
    notes
}

/// Notes that say the same of several openings become one.
fn joined(notes: &[String], ids: &[&str]) -> Vec<String> {
    let mut known: Vec<(String, Vec<&str>)> = Vec::new();
    for note in notes {
        let id = ids.iter().find(|id| {
            let mut words = note.split(|c: char| !c.is_alphanumeric());
            words.any(|word| word == **id)
        });
        let pattern = id.map_or_else(|| note.clone(), |id| note.replacen(id, PLACEHOLDER, 1));
        match known.iter_mut().find(|(it, _)| *it == pattern) {
            Some((_, ids)) => ids.extend(id),
            None => known.push((pattern, id.into_iter().copied().collect())),
        }
    }
    known
        .into_iter()
        .map(|(pattern, ids)| pattern.replacen(PLACEHOLDER, &ids.join(" and "), 1))
        .map(|note| super::subject::capital(&note))
        .collect()
}

/// Stands for an opening's id while notes are compared; no note holds it.
const PLACEHOLDER: &str = "\u{0}";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_alike_but_for_the_opening_become_one() {
        let notes = [
            "header over O1: engineer",
            "bridge at O1",
            "header over O12: engineer",
        ];
        let found = joined(&notes.map(str::to_owned), &["O1", "O12"]);
        assert_eq!(found, ["Header over O1 and O12: engineer", "Bridge at O1"]);
    }
}
