//! The log as sheets to print: a card for every mark, with its picture, who says what, and the answer.
//!
//! ```text
//!   ┌─ picture ─┐  M3 OPEN  cloud            three cards across, four down
//!   │   ~~~~    │  Z-4101-W101, W101, O1
//!   └───────────┘  who, when, what, answer
//! ```

use super::drawn::{Drawing, Drawn, DrawnForm};
use super::model::{Mark, MarkStatus, NO_DATE, ReviewLog};
use super::reader::read_svg;
use crate::documents::paper::fonts::{cap_ratio, wrap};
use crate::documents::paper::frame::ANSI_B;
use crate::documents::paper::strip::{HoldBox, Strip, TitleBlock};
use crate::documents::paper::style::{Ink, Pen, SMALL_SHEET, Stroke};
use crate::documents::paper::{
    Area, Canvas, Item, Lettered, Sheet, Spot, Text, Weight, spot, to_svg,
};
use crate::review::issued::Issued;
use crate::review::job_facts::title_facts;
use std::collections::BTreeMap;

/// Cards side by side and over each other.
const GRID: (usize, usize) = (3, 4);
/// Room round a card, mm.
const ROUND: f64 = 2.0;
/// Share of a card that its picture takes.
const PICTURE: f64 = 0.45;
/// From line to line, times the height of capitals.
const LEADING: f64 = 1.7;
/// Lines of the answer that a long question leaves room for.
const ANSWER: usize = 4;

/// `review/log.svg`, `review/log-2.svg` and on; none without marks.
///
/// - `picture`: the bytes of a mark's picture by its path.
pub(super) fn log_sheets<'a>(
    log: &ReviewLog,
    issued: &Issued,
    picture: impl Fn(&str) -> Option<&'a [u8]>,
) -> BTreeMap<String, Vec<u8>> {
    let pages = log.marks.chunks(GRID.0 * GRID.1).zip(1_usize..);
    pages
        .map(|(marks, page)| {
            let mut canvas = Canvas::new();
            for (mark, cell) in marks.iter().zip(cells()) {
                let drawn = picture(&mark.picture).and_then(|it| read_svg(it).ok());
                card(&mut canvas, mark, drawn.as_ref(), &cell.grown(-ROUND));
            }
            let ending = if page == 1 {
                String::new()
            } else {
                format!("-{page}")
            };
            let sheet = framed(canvas, log, issued, &ending);
            (format!("review/log{ending}.svg"), to_svg(&sheet))
        })
        .collect()
}

/// The places of cards on a sheet, row by row.
fn cells() -> Vec<Area> {
    let field = ANSI_B.field();
    let (mut rows, height) = (Vec::new(), field.height() / 4.0);
    let width = field.width() / 3.0;
    let mut corner = spot(field.x0, field.y0);
    for n in 1..=GRID.0 * GRID.1 {
        let (x, y) = (corner.x, corner.y);
        rows.push(Area::new(x, y, x + width, y + height));
        corner = if n % GRID.0 == 0 {
            spot(field.x0, y + height)
        } else {
            spot(x + width, y)
        };
    }
    rows
}

fn framed(body: Canvas, log: &ReviewLog, issued: &Issued, ending: &str) -> Sheet {
    let mut frame = Canvas::new();
    ANSI_B.draw_frame(&mut frame);
    let mut strip_canvas = Canvas::new();
    let mut strip = Strip::of(&ANSI_B);
    let open = |it: &&Mark| it.status == MarkStatus::Open;
    let n_open = log.marks.iter().filter(open).count();
    strip.title_block(
        &mut strip_canvas,
        &TitleBlock {
            facts: &title_facts(issued),
            title: "REVIEW LOG".to_owned(),
            subtitle: format!("marks on {}", issued.in_words()),
            scale: "not to scale".to_owned(),
            number: "LOG".to_owned() + ending,
            revisions: Vec::new(),
            hold: HoldBox::Held(vec!["for answering: build from no card".to_owned()]),
        },
    );
    strip.heading(&mut strip_canvas, "NOTES", "");
    strip.numbered(
        &mut strip_canvas,
        &[
            format!("{} marks came back, {n_open} of them open.", log.marks.len()),
            "Answer and close them in review/answers.toml; what they propose stands in review/proposed.toml.".to_owned(),
            "Nothing a reviewer wrote changes a size until it stands in the job.".to_owned(),
        ],
    );
    Sheet {
        name: format!("log{ending}"),
        title: "Review log".to_owned(),
        description: "Every mark that came back for this issue, with its picture and its answer."
            .to_owned(),
        paper: ANSI_B.name.to_owned(),
        width: ANSI_B.width,
        height: ANSI_B.height,
        number: "LOG".to_owned() + ending,
        data: Vec::new(),
        layers: vec![
            body.into_group("marks", "Marks"),
            frame.into_group("frame", "Frame"),
            strip_canvas.into_group("strip", "Strip"),
        ],
    }
}

fn card(canvas: &mut Canvas, mark: &Mark, picture: Option<&Drawing>, cell: &Area) {
    let split = cell.x0 + PICTURE * cell.width();
    let room = Area::new(cell.x0, cell.y0, split, cell.y1);
    if let Some(picture) = picture {
        draw(canvas, picture, &room);
    }
    canvas.rect(Pen::Fine.full(), room);
    let cap = SMALL_SHEET.note;
    let (left, width) = (split + ROUND, cell.x1 - split - ROUND);
    let step = cap * LEADING;
    let mut base = cell.y0 + cap;
    let status = mark.status.name().to_uppercase();
    let head = format!("{} {status}, {}", mark.id, mark.kind.name());
    canvas.text_within(spot(left, base), &head, Lettered::cap(cap).bold(), width);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a card is a few lines high"
    )]
    let most = (cell.height() / step).floor().max(1.0) as usize - 1;
    for line in lines(mark, width, most) {
        base += step;
        canvas.text(spot(left, base), line, Lettered::cap(cap));
    }
}

/// What stands below the head of a card, no more lines than fit.
fn lines(mark: &Mark, width: f64, most: usize) -> Vec<String> {
    let set = |words: &str| wrap(words, width, SMALL_SHEET.note, Weight::Regular);
    let joined = |parts: &[Option<&str>]| {
        let given: Vec<&str> = parts.iter().copied().flatten().collect();
        given.join(", ")
    };
    let shortened = |mut lines: Vec<String>, most: usize| {
        if lines.len() > most {
            lines.truncate(most);
            if let Some(last) = lines.last_mut() {
                last.push_str(" …");
            }
        }
        lines
    };
    let place = [&mark.panel, &mark.opening, &mark.wall].map(Option::as_deref);
    let sheet = Some(mark.sheet.as_deref().unwrap_or("no sheet"));
    let mut all = set(&joined(&[sheet, place[0], place[1], place[2]]));
    let who = mark.reviewer.as_deref().unwrap_or("not named");
    all.extend(set(&joined(&[Some(who), mark.time.as_deref()])));
    let on = mark.answered_on.as_deref().unwrap_or(NO_DATE);
    let answer = mark.answer.as_deref().map_or_else(Vec::new, |answer| {
        shortened(set(&format!("Answer: {on}, {answer}")), ANSWER)
    });
    let room = most.saturating_sub(all.len() + answer.len());
    let said = match &mark.touches {
        Some(touches) => format!("{} ({touches})", mark.text),
        None => mark.text.clone(),
    };
    all.extend(shortened(set(&said), room));
    all.extend(answer);
    all.truncate(most);
    all
}

/// A picture, made as large as its place takes; what reaches beyond its frame is cut off.
fn draw(canvas: &mut Canvas, picture: &Drawing, room: &Area) {
    let [wide, high] = picture.size.map(|it| it.max(1.0));
    let scale = (room.width() / wide).min(room.height() / high).min(1.0);
    let middle = room.middle();
    let shift = spot(middle.x - wide * scale / 2.0, middle.y - high * scale / 2.0);
    let own = picture.groups.iter().position(|it| it.id == "mark");
    let frame = Area::new(
        shift.x,
        shift.y,
        shift.x + wide * scale,
        shift.y + high * scale,
    );
    for item in &picture.items {
        let is_mark = own.is_some_and(|own| item.groups.contains(&own));
        let placed = item.clone().placed(scale, shift);
        let stroke = if is_mark {
            Pen::Edge.full().with(Ink::Accent)
        } else {
            Pen::Hair.full().with(Ink::Mid)
        };
        put(canvas, &placed, stroke, &frame);
    }
}

fn put(canvas: &mut Canvas, item: &Drawn, stroke: Stroke, frame: &Area) {
    let mut line = |a: Spot, b: Spot| {
        if let Some((a, b)) = clipped(a, b, frame) {
            canvas.line(stroke, a, b);
        }
    };
    match &item.form {
        DrawnForm::Lines(lines) => {
            for (a, b) in lines.runs.iter().flat_map(|run| run.pieces()) {
                line(a, b);
            }
        }
        DrawnForm::Image(_) => {
            let corners = item.area.corners();
            for (a, b) in corners.iter().zip(corners.iter().cycle().skip(1)) {
                line(*a, *b);
            }
        }
        DrawnForm::Words(words) if frame.holds(&item.area) => canvas.put(Item::Text(Text {
            words: words.words.clone(),
            at: words.at,
            cap: words.size * cap_ratio(),
            weight: Weight::Regular,
            anchor: words.anchor,
            turn_deg: words.turn_deg,
            ink: stroke.ink,
            is_masked: false,
            cell: None,
        })),
        DrawnForm::Words(_) => {}
    }
}

/// The part of a line inside a box (Liang and Barsky's clipping, from memory).
fn clipped(a: Spot, b: Spot, frame: &Area) -> Option<(Spot, Spot)> {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (step, room) in [
        (-dx, a.x - frame.x0),
        (dx, frame.x1 - a.x),
        (-dy, a.y - frame.y0),
        (dy, frame.y1 - a.y),
    ] {
        if step.abs() < 1e-12 {
            if room < 0.0 {
                return None;
            }
        } else if step < 0.0 {
            from = from.max(room / step);
        } else {
            to = to.min(room / step);
        }
    }
    let at = |share: f64| spot(a.x + share * dx, a.y + share * dy);
    (from < to).then(|| (at(from), at(to)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_reaches_beyond_a_frame_is_cut_off_at_it() {
        let frame = Area::new(0.0, 0.0, 10.0, 10.0);
        let cut = |a: [f64; 2], b: [f64; 2]| {
            let found = clipped(spot(a[0], a[1]), spot(b[0], b[1]), &frame);
            found.map(|(a, b)| [a.x, a.y, b.x, b.y])
        };
        assert_eq!(cut([-5.0, 5.0], [15.0, 5.0]), Some([0.0, 5.0, 10.0, 5.0]));
        assert_eq!(cut([2.0, 2.0], [4.0, 12.0]), Some([2.0, 2.0, 3.6, 10.0]));
        assert_eq!(cut([-5.0, 11.0], [15.0, 11.0]), None);
    }

    #[test]
    fn a_long_question_leaves_room_for_its_answer() {
        let mark = Mark {
            text: "why ".repeat(400),
            answer: Some("so".to_owned()),
            answered_on: Some("2026-11-28".to_owned()),
            ..Mark::default()
        };
        let lines = lines(&mark, 50.0, 12);
        assert!(lines.len() <= 12);
        assert_eq!(lines.last().unwrap(), "Answer: 2026-11-28, so");
        assert!(lines.iter().any(|it| it.ends_with('…')));
    }

    #[test]
    fn an_answer_without_a_date_says_so() {
        let mark = Mark {
            answer: Some("so".to_owned()),
            ..Mark::default()
        };
        let lines = lines(&mark, 50.0, 12);
        assert_eq!(lines.last().unwrap(), "Answer: no date, so");
    }
}
