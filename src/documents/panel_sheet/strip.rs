//! The strip of a panel sheet: parts, blank, weight, measures to take, notes, where it stands, cautions, title block.

use super::face::draw_face;
use super::measures::{draw_measures, measures_height};
use super::mini_plan::draw_mini_plan;
use super::subject::{Subject, printed, size};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::strip::{HoldBox, Revision, Strip};
use crate::documents::paper::style::{Fill, Ink, Pen, SMALL_SHEET};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Form, Item, Lettered, Weight, spot};
use crate::documents::plan_view::{draw_table, left_words, without_scale};
use crate::fabrication::{Fitted, Lift};
use crate::layout::PanelKind;
use crate::rules::Face;
use crate::units::{Inches, Length};

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);

/// Least height of the small plan, mm.
const LEAST_PLAN: f64 = 30.0;
/// Height of weight and picks, mm.
const WEIGHT: f64 = 22.5;
/// Share of the height that measures keep where parts need it too.
const MEASURES: f64 = 0.3;

/// The strip at the right of a sheet with sections; true when the small plan had room in it.
pub(super) fn draw_strip(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    number: &str,
    left: usize,
) -> bool {
    let mut strip = Strip::of(&subject.paper());
    draw_title(canvas, &mut strip, subject, number);
    draw_cautions(canvas, &mut strip, subject);
    draw_tables(canvas, &mut strip, subject);
    draw_notes(canvas, &mut strip, subject, left);
    draw_plan(canvas, &mut strip, subject)
}

/// Where the small plan has room, it says where the panel stands.
fn draw_plan(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) -> bool {
    if strip.rest().height() < LEAST_PLAN {
        return false;
    }
    let storeys = &subject.input.building.storeys;
    let storey = storeys.get(subject.wall.storey_index);
    let name = without_scale(storey.map_or("", |it| it.name.as_str())).to_lowercase();
    strip.heading(canvas, "KEY PLAN", &name);
    draw_mini_plan(canvas, subject, strip.rest());
    true
}

/// Share of a ticket's width that its tables take; the rest is for notes and the title block.
const TABLES: f64 = 0.54;
/// Share of a ticket's height that is kept for the view at least.
const VIEW: f64 = 0.46;

/// The two strips of a ticket's lower block: tables at the left, notes and title block at the right.
fn ticket_strips(block: Area) -> [Strip; 2] {
    let split = block.x0 + block.width() * TABLES;
    [
        Area::new(block.x0, block.y0, split, block.y1),
        Area::new(split, block.y0, block.x1, block.y1),
    ]
    .map(|area| Strip::within(area, SMALL_SHEET))
}

/// The lower block of a ticket: as high as what stands in it needs, but for the view's share.
pub(super) fn ticket_block(subject: &Subject<'_>, number: &str) -> Area {
    let frame = subject.paper().frame();
    let [mut tables, mut words] = ticket_strips(frame);
    let mut trial = Canvas::new();
    draw_tables(&mut trial, &mut tables, subject);
    draw_title(&mut trial, &mut words, subject, number);
    draw_cautions(&mut trial, &mut words, subject);
    draw_notes(&mut trial, &mut words, subject, 1);
    let needed = (tables.top - frame.y0).max(frame.height() - words.rest().height());
    // A hair more than needed, else rounding leaves out the last note.
    let height = (needed + 0.1).min(frame.height() * (1.0 - VIEW));
    Area::new(frame.x0, frame.y1 - height, frame.x1, frame.y1)
}

/// A ticket's lower block; true when the small plan had room in it.
pub(super) fn draw_ticket(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    number: &str,
    left: usize,
    block: Area,
) -> bool {
    let [mut tables, mut words] = ticket_strips(block);
    canvas.line(
        Pen::Bold.full(),
        spot(block.x0, block.y0),
        spot(block.x1, block.y0),
    );
    let split = words.area.x0;
    canvas.line(
        Pen::Bold.full(),
        spot(split, block.y0),
        spot(split, block.y1),
    );
    draw_title(canvas, &mut words, subject, number);
    draw_cautions(canvas, &mut words, subject);
    draw_tables(canvas, &mut tables, subject);
    draw_notes(canvas, &mut words, subject, left);
    draw_plan(canvas, &mut tables, subject)
}

/// Parts, weight, measures. What the parts need, measures beyond the first few give up, then the parts themselves; both count
/// what they leave out.
fn draw_tables(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
    let measures = measures_height(subject);
    let most = strip.rest().height() * MEASURES;
    let mut shorter = *strip;
    shorter.foot -= WEIGHT + measures.min(most);
    draw_parts(canvas, &mut shorter, subject);
    strip.top = shorter.top;
    draw_weight(canvas, strip, subject);
    draw_measures(canvas, strip, subject);
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
        let base = spot(strip.right(), middle + cap / 2.0);
        canvas.text_within(base, value, Lettered::cap(cap).bold().end(), room);
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
    draw_face(canvas, spot(strip.left(), cell.y0 + 10.7), split - 2.0);
    let mark = &subject.panel.mark;
    let big = Lettered::cap(SMALL_SHEET.sheet).bold();
    let room = split - strip.left() - 3.0;
    canvas.text_within(spot(strip.left(), cell.y1 - 4.5), mark, big, room);
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

/// The changes of a revision in the room of its row, as many as stand there whole; all of them stand on the sheet of changes.
fn changes_in_short(changes: &[String]) -> String {
    const ROOM: usize = 150;
    const SHEET: &str = "see Z-091";
    let words = changes.join("; ");
    if words.chars().count() <= ROOM {
        return words;
    }
    let up_to = |n: usize| {
        changes
            .iter()
            .take(n)
            .cloned()
            .collect::<Vec<_>>()
            .join("; ")
    };
    let shown = (1..changes.len())
        .rev()
        .find(|n| up_to(*n).chars().count() <= ROOM);
    if let Some(n) = shown {
        return format!("{}; {} more, {SHEET}", up_to(n), changes.len() - n);
    }
    let short: String = words.chars().take(ROOM).collect();
    format!("{}… {SHEET}", short.trim_end())
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
                    match row.fitted {
                        Fitted::Site => format!("{}, cut to fit on site", row.name),
                        Fitted::Plant | Fitted::Loose => row.name.clone(),
                    },
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
    let table = |rows, has_heads| Table {
        columns: columns(),
        rows,
        total: None,
        has_heads,
    };
    let loose = table(other, false);
    let mut shorter = *strip;
    if !loose.rows.is_empty() {
        shorter.foot -= strip.table_height(&loose) + 8.0;
    }
    let heading = "PARTS FITTED IN THE PLANT, AND BLANK";
    let fitted = table(rows, true);
    draw_table(
        canvas,
        &mut shorter,
        heading,
        "inches",
        fitted,
        "panels.json",
    );
    strip.top = shorter.top;
    if !loose.rows.is_empty() {
        let heading = "LOOSE, WITH THE PANEL";
        draw_table(canvas, strip, heading, "", loose, "panels.json");
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
    let mut rows = Vec::new();
    if panel.outer_skin == panel.inner_skin && assembly.is_even() {
        let outer = bounds(&panel.outer_skin.outline);
        rows.push(row(2, "Skins", assembly.outer.words(), outer));
    } else {
        for side in assembly.skinned() {
            let name = format!("Skin, {}", side.name());
            let outline = bounds(&panel.face(side).outline);
            rows.push(row(1, &name, assembly.skin(side).words(), outline));
        }
    }
    for piece in panel.core_pieces() {
        let core = format!("{} {}", assembly.core_material, Inches(assembly.core));
        rows.push(row(1, "Core", core, bounds(&piece.outline)));
    }
    rows
}

fn draw_weight(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
    let panel = subject.panel;
    let cell = strip.take(canvas, WEIGHT);
    let frame = Area::new(cell.x0 + 2.0, cell.y0 + 2.0, cell.x0 + 47.0, cell.y1 - 2.0);
    canvas.shape(Form::Area(frame), Pen::Edge.full(), Fill::White);
    canvas.text(spot(frame.x0 + 2.0, frame.y0 + 4.2), "WEIGHT", NOTE);
    let words = format!("{:.0} lb", panel.weight_lb);
    canvas.text_within(
        spot(frame.middle().x, frame.y1 - 2.6),
        &words,
        Lettered::cap(SMALL_SHEET.large).bold().middle(),
        frame.width() - 4.0,
    );
    let values = frame.x1 + 21.0;
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
        let words = format!("{}, two-leg sling", Inches(y));
        let is_wide = NOTE.bold().width(&words) > cell.x1 - values - 1.0;
        rows.push((
            "PICKS y",
            if is_wide {
                format!("{}, 2 legs", Inches(y))
            } else {
                words
            },
        ));
    }
    let pitch = (cell.height() - 3.0) / 4.0;
    let mut middle = cell.y0 + 1.5 + pitch / 2.0;
    for (name, value) in rows {
        canvas.text_centred(spot(frame.x1 + 3.0, middle), name, NOTE);
        canvas.text_centred(spot(values, middle), value, NOTE.bold());
        middle += pitch;
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
    // What does not fit stands in panels.json; the sheet counts it, and who points at the notes reads them all.
    for kept in (0..=notes.len()).rev() {
        let mut shown: Vec<String> = notes.iter().take(kept).cloned().collect();
        let title = if kept < notes.len() {
            shown.push(format!("{} more: see panels.json.", notes.len() - kept));
            notes.join("; ")
        } else {
            "Notes".to_owned()
        };
        let mut trial = *strip;
        let mut drawn = Canvas::new();
        trial.heading(&mut drawn, "NOTES", "");
        trial.top -= 1.6;
        trial.numbered(&mut drawn, &shown);
        if trial.top <= strip.foot {
            *strip = trial;
            canvas.put(Item::Group(drawn.into_group("notes", &title)));
            strip.rule(canvas);
            return;
        }
    }
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

    #[test]
    fn changes_are_told_whole_and_the_rest_counted() {
        let height = "height 96\" is now 102\"".to_owned();
        let long = "edge corner (0\", 96\") to (0\", 0\") recess 1 1/2\" ".repeat(4);
        assert_eq!(changes_in_short(std::slice::from_ref(&height)), height);
        let all = [height.clone(), long.clone(), long.clone()];
        let expected = format!("{height}; 2 more, see Z-091");
        assert_eq!(changes_in_short(&all), expected);
        assert!(changes_in_short(&[long]).ends_with("… see Z-091"));
    }
}
