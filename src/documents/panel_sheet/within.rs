//! Labels on the panel: openings, face and UP, centre of gravity, parts' numbers.

use super::arrange::Arrangement;
use super::broken::break_areas;
use super::face::face_label;
use super::inner_cuts::cut_labels;
use super::labels::{
    Label, TextBlock, Touch, balloon_choices, box_choice, draw_balloons, draw_low_section_mark,
    draw_section_mark, inside, low_section_mark_box, section_mark_box,
};
use super::section::Cuts;
use super::subject::{Hand, PartRow, Subject, opening_word, printed, size};
use super::view::{GRAVITY_RADIUS, area, point};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::overlap::{is_cut_line, ring_holds};
use crate::documents::paper::style::SMALL_SHEET;
use crate::documents::paper::{Area, Group, Item, Lettered, Spot, spot};
use crate::documents::plan_view::{Candidate, LabelBox};
use crate::geometry::ShopRect;
use crate::units::Inches;
use smallvec::smallvec;

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);
const TITLE: Lettered = Lettered::cap(SMALL_SHEET.title).bold();

/// All labels on the panel, the more important first.
pub(super) fn inner_labels<'a>(
    subject: &'a Subject<'_>,
    arrangement: &'a Arrangement,
    cuts: &Cuts,
) -> Vec<Label<'a>> {
    let mut labels = Vec::new();
    let is_ticket = arrangement.sections.is_none();
    let [_, has_level] = arrangement.marks;
    if has_level && !is_ticket {
        labels.push(inner_level_mark(arrangement, cuts));
    }
    let indices = 0..subject.panel.openings.len();
    labels.extend(indices.filter_map(|index| opening_label(subject, arrangement, index)));
    labels.extend(cut_labels(subject, arrangement));
    labels.push(gravity_label(subject, arrangement));
    let is_early = subject.is_ticket() || arrangement.panel.height() < LOW;
    if is_early {
        labels.push(face_label(subject, arrangement));
    }
    labels.extend(balloons(subject, arrangement));
    if !is_early {
        // Last: it may stand anywhere on the panel.
        labels.push(face_label(subject, arrangement));
    }
    if has_level && is_ticket {
        labels.push(inner_level_mark(arrangement, cuts));
    }
    let face = OnPanel::of(subject, arrangement);
    for label in &mut labels {
        label.choices.retain(|choice| {
            let mut boxes = choice.boxes.iter();
            boxes.all(|it| face.holds(&it.extent()))
        });
    }
    labels
}

/// The panel on paper with its openings.
struct OnPanel {
    outline: Vec<Spot>,
    extent: Area,
    /// True of most: nothing of the extent is beyond the outline.
    is_rectangle: bool,
    holes: Vec<Area>,
}

impl OnPanel {
    fn of(subject: &Subject<'_>, arrangement: &Arrangement) -> Self {
        let view = &arrangement.view;
        let ring = &subject.panel.outer_skin.outline;
        let outline: Vec<Spot> = (ring.0.iter())
            .map(|corner| point(view, corner.x, corner.y))
            .collect();
        Self {
            extent: Area::around(&outline).unwrap_or_default(),
            is_rectangle: ring.0.len() == 4 && ring.sides().all(|(a, b)| a.x == b.x || a.y == b.y),
            holes: subject.holes().map(|(_, hole)| area(view, &hole)).collect(),
            outline,
        }
    }

    /// Is an area on the panel or in its openings, and not beyond a rake?
    fn holds(&self, label: &Area) -> bool {
        if self.is_rectangle && self.extent.holds(label) {
            return true;
        }
        label.corners().iter().all(|corner| {
            let is_in = |hole: &Area| hole.meets(&Area::of(*corner, *corner));
            ring_holds(&self.outline, *corner) || self.holes.iter().any(is_in)
        })
    }
}

/// The groups of a view whose lines the saw follows: no white patch of a label may hide a piece of them.
pub(super) fn cut_lines(view: &Group) -> impl Iterator<Item = &Group> {
    view.items.iter().filter_map(|item| match item {
        Item::Group(group) if is_cut_line(&group.id) => Some(group),
        _ => None,
    })
}

/// On a panel lower than this on paper, such as a header, the face has one row only and is placed before balloons, as on a ticket, mm.
const LOW: f64 = 30.0;

/// The twin of the mark of B-B beyond the end.
fn inner_level_mark<'a>(arrangement: &Arrangement, cuts: &Cuts) -> Label<'a> {
    let (panel, view) = (arrangement.panel, arrangement.view);
    let (x, out) = match cuts.hand {
        Hand::Left => (panel.x0, spot(1.0, 0.0)),
        Hand::Right => (panel.x1, spot(-1.0, 0.0)),
    };
    let sight = spot(0.0, 1.0);
    let y = view.y(cuts.y.to_inches());
    let offsets = [
        6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 26.0, 34.0, 44.0, 56.0, 70.0,
    ];
    let mut choices = Vec::new();
    // On a panel that is too low for the whole sign, a lower one: rather that than a section without its place.
    for (form, extra) in [(0, 0.0), (1, 100.0)] {
        for off in offsets {
            let at = spot(x + out.x * off, y);
            let mut choice = box_choice(Area::of(at, at), off + extra, form);
            choice.at = at;
            choice.boxes = smallvec![if form == 0 {
                section_mark_box(at, out, sight)
            } else {
                low_section_mark_box(at, out, sight)
            }];
            choices.push(choice);
        }
    }
    Label {
        name: "inner mark of section B-B".to_owned(),
        choices,
        draw: Box::new(move |canvas, choice| {
            if choice.form == 0 {
                draw_section_mark(canvas, choice.at, out, sight, "B");
            } else {
                draw_low_section_mark(canvas, choice.at, out, sight, "B");
            }
        }),
    }
}

fn opening_label<'a>(
    subject: &Subject<'_>,
    arrangement: &Arrangement,
    index: usize,
) -> Option<Label<'a>> {
    let opening = subject.panel.openings.get(index)?;
    let rough = subject.rough_opening(opening.opening)?;
    let hole = area(&arrangement.view, &opening.skin_hole);
    let room = hole.grown(-1.2);
    let name = format!("{} {}", opening.id, opening_word(rough.kind));
    let buck = subject.input.rules.openings.buck.sentence().to_uppercase();
    let unit = format!(
        "UNIT {} × {}",
        rough.unit[0].feet_inches(),
        rough.unit[1].feet_inches()
    );
    let (width, height) = (opening.rough.width(), opening.rough.height());
    let wide = format!("{} wide ×", Inches(width));
    let high = format!("{} high", Inches(height));
    let measures = format!("{wide} {high}");
    let lines = |words: &str, lettered: Lettered, width: f64| -> Vec<(String, Lettered)> {
        wrap(words, width, lettered.cap, lettered.weight)
            .into_iter()
            .map(|line| (line, lettered))
            .collect()
    };
    // A number and its fraction stay on one line.
    let measures = if TITLE.width(&measures) <= room.width() {
        vec![(measures, TITLE)]
    } else {
        [wide, high].map(|words| (words, TITLE)).to_vec()
    };
    let full = [
        lines(&name, TITLE, room.width()),
        lines(&buck, NOTE, room.width()),
        measures,
        lines(&unit, NOTE, room.width()),
    ];
    let short = [
        lines(&opening.id, TITLE, room.width()),
        lines(&size(width, height), NOTE.bold(), room.width()),
    ];
    let outside = [
        vec![(name, TITLE)],
        vec![(size(width, height), NOTE.bold())],
    ];
    let blocks: Vec<TextBlock> = [full.concat(), short.concat(), outside.concat()]
        .into_iter()
        .map(|lines| TextBlock::new(lines, true))
        .collect();
    let mut choices = Vec::new();
    for (form, block) in blocks.iter().enumerate() {
        let wanted = spot(room.middle().x, room.y0 + block.height() / 2.0 + 2.0);
        let place = if form == 2 {
            arrangement.panel.grown(-1.0)
        } else {
            room
        };
        let cost = [0.0, 60.0, 200.0].get(form).copied().unwrap_or(0.0);
        choices.extend(inside(
            block.width(),
            block.height(),
            &place,
            wanted,
            form,
            cost,
        ));
    }
    Some(Label {
        name: format!("name and size of {}", opening.id),
        choices,
        draw: Box::new({
            let short = short_label(&opening.id);
            move |canvas, choice| {
                let Some(block) = blocks.get(choice.form) else {
                    return;
                };
                if choice.form == 0 {
                    block.draw(canvas, choice.at);
                } else {
                    canvas.group(&short, "", |canvas| block.draw(canvas, choice.at));
                }
            }
        }),
    })
}

/// The group of an opening's label that says no more than name and size.
fn short_label(id: &str) -> String {
    format!("short-{id}")
}

/// What the labels of openings do not say where they had no room for it: a sentence for each opening.
pub(super) fn dropped(subject: &Subject<'_>, labels: &Group) -> Vec<String> {
    fn has(group: &Group, id: &str) -> bool {
        group.items.iter().any(|item| match item {
            Item::Group(inner) => inner.id == id || has(inner, id),
            Item::Shape(_) | Item::Text(_) => false,
        })
    }
    let openings = subject.panel.openings.iter();
    let short = openings.filter(|it| has(labels, &short_label(&it.id)));
    let told = short.filter_map(|it| {
        let rough = subject.rough_opening(it.opening)?;
        Some(format!(
            "{}: {}, unit {} × {}; {}.",
            it.id,
            opening_word(rough.kind).to_lowercase(),
            rough.unit[0].feet_inches(),
            rough.unit[1].feet_inches(),
            subject.input.rules.openings.buck.sentence()
        ))
    });
    told.collect()
}

/// The form of the words at the centre of gravity that is turned.
const UPWARDS: usize = 3;

fn gravity_label<'a>(subject: &Subject<'_>, arrangement: &Arrangement) -> Label<'a> {
    let [x, y] = subject.panel.centre_of_gravity;
    let block = TextBlock::new(
        vec![
            (format!("CG {}, {}", printed(x), printed(y)), NOTE.bold()),
            (format!("{:.0} lb", subject.panel.weight_lb), NOTE.bold()),
        ],
        true,
    );
    let line = TextBlock::new(
        vec![(format!("CG {}, {}", printed(x), printed(y)), NOTE.bold())],
        true,
    );
    let narrow = TextBlock::new(
        [
            format!("x {}", printed(x)),
            format!("y {}", printed(y)),
            format!("{:.0} lb", subject.panel.weight_lb),
        ]
        .map(|words| (words, NOTE.bold()))
        .to_vec(),
        true,
    );
    let centre = arrangement.view.spot(x, y);
    let panel = arrangement.panel.grown(-1.0);
    let mut choices = Vec::new();
    // The last form is the first turned, to be read from the right: between lumber there may be room for nothing wider.
    let forms = [&block, &line, &narrow, &line].into_iter();
    for (form, block) in forms.enumerate() {
        let (mut w, mut h) = (block.width(), block.height());
        if form == UPWARDS {
            (w, h) = (h, w);
        }
        let near = GRAVITY_RADIUS + 1.6;
        let places = [
            spot(centre.x - w / 2.0, centre.y + near),
            spot(centre.x - w / 2.0, centre.y - near - h),
            spot(centre.x + near, centre.y - h / 2.0),
            spot(centre.x - near - w, centre.y - h / 2.0),
            spot(centre.x + near, centre.y + near),
            spot(centre.x - near - w, centre.y + near),
            spot(centre.x + near, centre.y - near - h),
            spot(centre.x - near - w, centre.y - near - h),
        ];
        // Farther off where the sign stands among lumber: only the turned one goes there.
        let along = [0.0, 4.0, 8.0, 12.0]
            .into_iter()
            .filter(|_| form == UPWARDS);
        let farther = along.flat_map(|off| {
            let (above, below) = (centre.y - near - h - off, centre.y + near + off);
            [1.0, -1.0].into_iter().flat_map(move |hand| {
                let near = [2.0, 5.0, 8.0].map(|by| centre.x + hand * by - w / 2.0);
                near.into_iter()
                    .flat_map(move |x| [spot(x, above), spot(x, below)])
            })
        });
        for (rank, at) in places.into_iter().chain(farther).enumerate() {
            let here = Area::new(at.x, at.y, at.x + w, at.y + h);
            if panel.holds(&here) {
                let rank = u32::try_from(rank).map_or(0.0, f64::from);
                let cost = rank + [0.0, 12.0, 24.0, 40.0].get(form).copied().unwrap_or(0.0);
                choices.push(box_choice(here, cost, form));
            }
        }
    }
    Label {
        name: "centre of gravity".to_owned(),
        choices,
        draw: Box::new(move |canvas, choice| match choice.form {
            0 => block.draw(canvas, choice.at),
            1 => line.draw(canvas, choice.at),
            UPWARDS => line.draw_upwards(canvas, choice.at),
            _ => narrow.draw(canvas, choice.at),
        }),
    }
}

/// Balloons with the numbers of the parts table; parts that lie over each other share a leader.
fn balloons<'a>(subject: &Subject<'_>, arrangement: &Arrangement) -> Vec<Label<'a>> {
    let mut told: Vec<usize> = Vec::new();
    let mut labels = Vec::new();
    for (index, row) in subject.rows.iter().enumerate() {
        let first = row.pieces.first();
        let Some(first) = first.and_then(|it| subject.panel.lumber.get(*it)) else {
            continue;
        };
        if told.contains(&index) {
            continue;
        }
        let group = rows_at(subject, &first.rect);
        let touches = touches(subject, arrangement, row, &group);
        told.extend(group.into_iter().map(|(row, _)| row));
        let Some(touch) = touches.first() else {
            continue;
        };
        let words: Vec<String> = touch.numbers.iter().map(usize::to_string).collect();
        labels.push(Label {
            name: format!("number {} of the parts", words.join(", ")),
            choices: balloon_choices(&touches),
            draw: Box::new({
                let before = subject.before_numbers();
                move |canvas, choice| draw_balloons(canvas, choice, (&before, &touches))
            }),
        });
    }
    labels
}

/// The rows with a piece in a rectangle, each with that piece.
fn rows_at(subject: &Subject<'_>, rect: &ShopRect) -> Vec<(usize, usize)> {
    let lumber = &subject.panel.lumber;
    let lies_there = |piece: &usize| lumber.get(*piece).is_some_and(|it| it.rect == *rect);
    let rows = subject.rows.iter().enumerate();
    rows.filter_map(|(index, row)| {
        let piece = row.pieces.iter().copied().find(lies_there)?;
        Some((index, piece))
    })
    .collect()
}

/// Where a leader may touch the pieces of a row that have all of the group over them: at parts of their length, what lies beyond
/// the panel's edge last.
fn touches(
    subject: &Subject<'_>,
    arrangement: &Arrangement,
    row: &PartRow,
    group: &[(usize, usize)],
) -> Vec<Touch> {
    let pieces = row.pieces.iter();
    let pieces = pieces.filter_map(|i| subject.panel.lumber.get(*i));
    let with_group = pieces.filter_map(|lumber| {
        let here = rows_at(subject, &lumber.rect);
        let has = |row: usize| here.iter().any(|(it, _)| *it == row);
        let numbers = here.iter().filter_map(|(_, piece)| subject.number(*piece));
        let has_all = group.iter().all(|(row, _)| has(*row));
        has_all.then(|| (lumber, numbers.collect::<Vec<_>>()))
    });
    with_group
        .take(2)
        .flat_map(|(lumber, numbers)| {
            let on_paper = area(&arrangement.view, &lumber.rect);
            [0.5, 0.35, 0.65, 0.22, 0.78].map(|part| {
                let middle = on_paper.middle();
                let at = if lumber.is_upright {
                    spot(middle.x, on_paper.y0 + on_paper.height() * part)
                } else {
                    spot(on_paper.x0 + on_paper.width() * part, middle.y)
                };
                Touch {
                    at,
                    numbers: numbers.clone(),
                }
            })
        })
        .collect()
}

/// The area that labels on the panel may use: the panel and a little beyond its ends for balloons.
pub(super) fn window(arrangement: &Arrangement) -> Area {
    let panel = arrangement.panel;
    Area::new(
        panel.x0 + 0.6,
        panel.y0 + 0.6,
        panel.x1 - 0.6,
        panel.y1 - 0.6,
    )
}

/// Candidate boxes that keep labels off the signs drawn on the panel.
pub(super) fn signs(subject: &Subject<'_>, arrangement: &Arrangement) -> Vec<Candidate> {
    let view = &arrangement.view;
    let around = |at: Spot, radius: f64| Candidate {
        boxes: vec![LabelBox::about(
            at,
            2.0 * radius,
            2.0 * radius,
            spot(1.0, 0.0),
        )],
        lines: Vec::new(),
        cost: 0.0,
    };
    let [x, y] = subject.panel.centre_of_gravity;
    let breaks = break_areas(view, arrangement.panel).map(|area| Candidate {
        boxes: vec![LabelBox::about(
            area.middle(),
            area.width() + 4.0,
            area.height() + 4.0,
            spot(1.0, 0.0),
        )],
        lines: Vec::new(),
        cost: 0.0,
    });
    let mut signs: Vec<Candidate> = breaks.collect();
    signs.push(around(view.spot(x, y), GRAVITY_RADIUS + 0.4));
    signs.extend(
        subject
            .panel
            .pick_points
            .iter()
            .map(|pick| around(view.spot(pick.x.to_inches(), pick.y.to_inches()), 3.4)),
    );
    signs
}
