//! The strip of a panel sheet: parts, blank, weight, measures to take, notes, where it stands, cautions, title block.

use super::lists::further_number;
use super::measures::{draw_measures, measures_height};
use super::mini_plan::draw_mini_plan;
use super::subject::{PartRow, Subject, numbers, printed, size};
use super::title::draw_title;
use super::why::draw_why;
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::strip::Strip;
use crate::documents::paper::style::{Fill, Pen, SMALL_SHEET};
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas, Form, Item, Lettered, Weight, spot};
use crate::documents::plan_view::{draw_table, without_scale};
use crate::fabrication::{Fitted, Lift};
use crate::layout::PanelKind;
use crate::rules::{CornerTreatment, Face};
use crate::units::{Inches, Length};

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);

/// Least height of the small plan, mm; and of one beside its heading.
const LEAST_PLAN: f64 = 24.0;
const LOW_PLAN: f64 = 18.0;
/// Height of weight and picks, mm.
pub(super) const WEIGHT: f64 = 22.5;
/// Share of the height that measures keep where parts need it too.
const MEASURES: f64 = 0.3;

/// What a strip had room for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Drawn {
    /// The small plan stands in it.
    pub(super) has_plan: bool,
    /// Why the panel is as it is stands in it.
    pub(super) has_why: bool,
    /// All but notes that is said of the panel stands on the sheet; else a further one has it.
    pub(super) is_complete: bool,
    /// Notes that it has no room for, each with its number.
    pub(super) notes: Vec<(usize, String)>,
}

/// The strip at the right of a sheet with sections.
///
/// - `left`: names of the labels that found no place on the drawing; `dropped`: what shorter labels do not say.
/// - `is_beside`: notes that it has no room for stand on the drawing.
pub(super) fn draw_strip(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    number: &str,
    (left, dropped): (&[String], &[String]),
    is_beside: bool,
) -> Drawn {
    let mut strip = Strip::of(&subject.paper());
    let further = further_number(number, 2);
    let has_reasons = draw_title(canvas, &mut strip, subject, number);
    draw_cautions(canvas, &mut strip, subject);
    let has_tables = draw_tables(canvas, &mut strip, subject, &further);
    let notes = draw_notes(
        canvas,
        &mut strip,
        subject,
        (left, dropped),
        &further,
        is_beside,
    );
    // Where there is no room for the plan anyway, it needs none.
    let rest = strip.rest().height();
    let keep = [LEAST_PLAN, LOW_PLAN].into_iter().find(|it| *it <= rest);
    Drawn {
        has_why: draw_why(canvas, &mut strip, subject, keep.unwrap_or_default()),
        has_plan: draw_plan(canvas, &mut strip, subject),
        is_complete: has_reasons && has_tables && left.is_empty(),
        notes,
    }
}

/// Where the small plan has room, it says where the panel stands.
pub(super) fn draw_plan(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) -> bool {
    /// What the heading beside a low plan takes of its width, mm.
    const BESIDE: f64 = 24.0;
    let rest = strip.rest();
    if rest.height() < LOW_PLAN {
        return false;
    }
    if rest.height() < LEAST_PLAN {
        let head = spot(strip.left(), rest.y0 + NOTE.cap + 1.6);
        canvas.text(head, "KEY PLAN", NOTE.bold());
        let beside = Area::new(rest.x0 + BESIDE, rest.y0, rest.x1, rest.y1);
        draw_mini_plan(canvas, subject, beside);
        return true;
    }
    let storeys = &subject.input.building.storeys;
    let storey = storeys.get(subject.wall.storey_index);
    let name = without_scale(storey.map_or("", |it| it.name.as_str())).to_lowercase();
    strip.heading(canvas, "KEY PLAN", &name);
    draw_mini_plan(canvas, subject, strip.rest());
    true
}

/// Parts, weight, measures. What the parts need, measures beyond the first few give up, then the parts themselves; both count
/// what they leave out. True when they leave out nothing.
fn draw_tables(
    canvas: &mut Canvas,
    strip: &mut Strip,
    subject: &Subject<'_>,
    further: &str,
) -> bool {
    let measures = measures_height(subject);
    let most = strip.rest().height() * MEASURES;
    let mut shorter = *strip;
    shorter.foot -= WEIGHT + measures.min(most);
    let has_parts = draw_parts(canvas, &mut shorter, subject, further);
    strip.top = shorter.top;
    draw_weight(canvas, strip, subject);
    draw_measures(canvas, strip, subject, further) && has_parts
}

pub(super) fn draw_cautions(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
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

fn draw_parts(
    canvas: &mut Canvas,
    strip: &mut Strip,
    subject: &Subject<'_>,
    further: &str,
) -> bool {
    let table = |rows, has_heads, is_of_plant| Table {
        columns: vec![
            Column::wrapping(&subject.before_numbers())
                .bold()
                .naming_each("part", row_marks(subject, is_of_plant)),
            Column::centred("Qty"),
            Column::wrapping("Use"),
            Column::wrapping("Section"),
            Column::numbers("Length"),
        ],
        rows,
        total: None,
        has_heads,
    };
    let mut rows = part_rows(subject, true);
    rows.extend(skin_rows(subject));
    let loose = table(part_rows(subject, false), false, false);
    let mut shorter = *strip;
    if !loose.rows.is_empty() {
        shorter.foot -= strip.table_height(&loose) + 8.0;
    }
    let fitted = table(rows, true, true);
    let mut is_whole = draw_table(canvas, &mut shorter, FITTED, "inches", fitted, further);
    strip.top = shorter.top;
    if !loose.rows.is_empty() {
        is_whole &= draw_table(canvas, strip, LOOSE, "", loose, further);
    }
    strip.rule(canvas);
    is_whole
}

const FITTED: &str = "PARTS FITTED IN THE PLANT, AND BLANK";
pub(super) const LOOSE: &str = "LOOSE, WITH THE PANEL";

/// Lumber that the plant fits, or that does not come fitted: numbers of its marks, quantity, use, section, length.
pub(super) fn part_rows(subject: &Subject<'_>, is_of_plant: bool) -> Vec<Vec<String>> {
    let rows = subject.rows.iter();
    let news = subject.input.issue.news_of(&subject.panel.mark);
    let is_revised = |row: &PartRow| {
        let mut marks = row
            .pieces
            .iter()
            .filter_map(|i| subject.panel.lumber.get(*i));
        marks.any(|it| news.is_some_and(|news| news.parts.contains(&it.mark)))
    };
    let name = |row: &PartRow| match is_revised(row) {
        true => format!("{}, rev {}", row.name, subject.panel.revision),
        false => row.name.clone(),
    };
    rows.filter(|row| (row.fitted == Fitted::Plant) == is_of_plant)
        .map(|row| {
            vec![
                numbers(
                    &row.pieces
                        .iter()
                        .filter_map(|it| subject.number(*it))
                        .collect::<Vec<_>>(),
                ),
                row.pieces.len().to_string(),
                match row.fitted {
                    Fitted::Site => format!("{}, cut to fit on site", name(row)),
                    Fitted::Plant | Fitted::Loose => name(row),
                },
                row.section.clone(),
                Inches(row.length).to_string(),
            ]
        })
        .collect()
}

/// The marks of the pieces in each of these rows.
pub(super) fn row_marks(subject: &Subject<'_>, is_of_plant: bool) -> Vec<String> {
    let rows = subject.rows.iter();
    rows.filter(|row| (row.fitted == Fitted::Plant) == is_of_plant)
        .map(|row| {
            let pieces = row.pieces.iter();
            let pieces = pieces.filter_map(|piece| subject.panel.lumber.get(*piece));
            let marks: Vec<&str> = pieces.map(|it| it.mark.as_str()).collect();
            marks.join(" ")
        })
        .collect()
}

/// Skins and core as rows of the same table, without numbers.
pub(super) fn skin_rows(subject: &Subject<'_>) -> Vec<Vec<String>> {
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

pub(super) fn draw_weight(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
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

/// Returns the notes that it has no room for, each with its number.
fn draw_notes(
    canvas: &mut Canvas,
    strip: &mut Strip,
    subject: &Subject<'_>,
    (left, dropped): (&[String], &[String]),
    further: &str,
    is_beside: bool,
) -> Vec<(usize, String)> {
    let mut notes = notes(subject);
    notes.extend_from_slice(dropped);
    let names = left.join("; ");
    match left.len() {
        0 => {}
        1 => notes.push(format!(
            "1 sign found no free place on the drawing: {names}. See {further}."
        )),
        n => notes.push(format!(
            "{n} signs found no free place on the drawing: {names}. See {further}."
        )),
    }
    if notes.is_empty() {
        return Vec::new();
    }
    let elsewhere = match is_beside {
        true => "beside the panel".to_owned(),
        false => format!("see {further}"),
    };
    let rest = |kept: usize| (kept + 2..).zip(notes.iter().skip(kept).cloned()).collect();
    // What does not fit stands elsewhere; the strip counts it, and who points at the notes reads them all.
    for kept in (0..=notes.len()).rev() {
        let mut shown: Vec<String> = notes.iter().take(kept).cloned().collect();
        let title = if kept < notes.len() {
            shown.push(format!("{} more: {elsewhere}.", notes.len() - kept));
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
            return rest(kept);
        }
    }
    rest(0)
}

/// Notes of this panel: its own, twins, its kind.
pub(super) fn notes(subject: &Subject<'_>) -> Vec<String> {
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
    notes.extend(corners_by_hand(subject));
    if panel.is_held() {
        notes.push(match panel.revision.as_str() {
            "" => "Cloud: what is on HOLD. Nothing here is revised.".to_owned(),
            _ => "Clouds: what is on HOLD, and what a revision changed.".to_owned(),
        });
    }
    if panel.kind != PanelKind::Wall {
        let ends = match panel.kind {
            PanelKind::Header => "Stands over the opening; y 0 is its own bottom, not the floor.",
            PanelKind::Sill | PanelKind::Wall => "Stands under the opening.",
        };
        notes.push(ends.to_owned());
    }
    notes
}

/// Corners that the saw leaves to the hand, by place: `outer and inner skin, 4 at O1 each`.
fn corners_by_hand(subject: &Subject<'_>) -> Option<String> {
    let saw = &subject.input.rules.saw;
    let corners = subject.panel.corners_by_hand(saw);
    let mut places: Vec<(String, Vec<&str>)> = Vec::new();
    for it in &corners {
        let at = it.place.as_deref().unwrap_or("the outline");
        let words = format!("{} at {at}", it.count);
        match places.iter_mut().find(|(known, _)| *known == words) {
            Some((_, faces)) => faces.push(it.face.name()),
            None => places.push((words, vec![it.face.name()])),
        }
    }
    let what = match saw.corners {
        CornerTreatment::ToolRadius => format!(
            "Square inside corners by hand, radius {} left standing",
            Inches(saw.tool_radius)
        ),
        CornerTreatment::Square | CornerTreatment::StopShort => {
            "Finish inside corners by hand".to_owned()
        }
    };
    let said = places.iter().map(|(words, faces)| {
        let faces = faces.join(" and ");
        format!("{words}, {faces} skin")
    });
    let said: Vec<String> = said.collect();
    (!said.is_empty()).then(|| format!("{what}: {}.", said.join("; ")))
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
