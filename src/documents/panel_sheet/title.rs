//! The title block of a panel's sheets: mark, face and UP, project, HOLD, revision.

use super::face::draw_face;
use super::subject::Subject;
use crate::documents::paper::strip::{HoldBox, Strip};
use crate::documents::paper::style::{Ink, Pen, SMALL_SHEET};
use crate::documents::paper::{Area, Canvas, Lettered, spot};
use crate::documents::{IssueFacts, Revision, TitleFacts};
use crate::fabrication::FabricatedPanel;
use crate::units::Inches;

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);

/// Foot of a strip: mark, project, HOLD, revision. True when all reasons of a HOLD stand there.
pub(super) fn draw_title(
    canvas: &mut Canvas,
    strip: &mut Strip,
    subject: &Subject<'_>,
    number: &str,
) -> bool {
    draw_mark(canvas, strip, subject, number);
    let project = subject.input.facts.project.to_uppercase();
    draw_project(canvas, strip, subject, &project);
    let has_reasons = draw_hold(canvas, strip, subject);
    draw_revisions(canvas, strip, subject);
    has_reasons
}

/// Mark, face, UP, erection number, wall, number of the sheet.
pub(super) fn draw_mark(
    canvas: &mut Canvas,
    strip: &mut Strip,
    subject: &Subject<'_>,
    number: &str,
) {
    let facts = subject.input.facts;
    let cell = strip.take_foot(canvas, 38.0);
    let split = cell.x1 - 36.0;
    canvas.line(Pen::Edge.full(), spot(split, cell.y0), spot(split, cell.y1));
    // A long name gives way, not the id before it.
    let wall = match subject.wall.name.as_str() {
        name if name == subject.wall.id => name.to_owned(),
        name => format!("{} {name}", subject.wall.id),
    };
    let small = [
        ("WALL", wall.as_str()),
        ("DRAWN", facts.drawn_by.as_str()),
        ("CHECKED", ""),
        ("SHEET", number),
    ];
    let pitch = cell.height() / 4.0;
    let mut y = cell.y0;
    for (name, value) in small {
        let place = Area::new(split + 2.0, y, strip.right(), y + pitch);
        let cap = if name == "SHEET" {
            SMALL_SHEET.mark
        } else {
            SMALL_SHEET.note
        };
        canvas.named_value(place, (name, NOTE), value, Lettered::cap(cap).bold());
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
    // Of so many places: a panel put in between takes a letter, so that the sheets of all others stay true.
    let of = subject.input.fabrication.last_erection();
    let erect = format!("ERECT {} OF {of}", subject.panel.erection);
    canvas.text_within(
        spot(split - 2.0, cell.y0 + 5.2),
        &erect,
        Lettered::cap(SMALL_SHEET.title).bold().end(),
        split - strip.left() - NOTE.width("MARK") - 4.0,
    );
    draw_face(canvas, spot(strip.left(), cell.y0 + 10.7), split - 2.0);
    let mark = &subject.panel.mark;
    let big = Lettered::cap(SMALL_SHEET.sheet).bold();
    let room = split - strip.left() - 3.0;
    canvas.text_within(spot(strip.left(), cell.y1 - 4.5), mark, big, room);
}

/// May it be cut? With the reasons if not; true when all of them stand there.
pub(super) fn draw_hold(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) -> bool {
    strip.hold(canvas, &HoldBox::of(reasons(subject).into_iter()))
}

/// Why the panel is on HOLD; nothing when it is not.
pub(super) fn reasons(subject: &Subject<'_>) -> Vec<String> {
    let holds = subject.panel.holds.iter();
    holds
        .map(|hold| format!("{}: {}", hold.code, hold.reason))
        .collect()
}

/// The rows of this panel's revisions, newest first.
pub(super) fn draw_revisions(canvas: &mut Canvas, strip: &mut Strip, subject: &Subject<'_>) {
    let input = subject.input;
    let mut rows = panel_revisions(input.issue, input.facts, subject.panel);
    for row in rows.iter_mut().skip(1) {
        row.change = in_a_line(&row.change);
    }
    // What is compared of a sheet with the one issued leaves this out: it says which issue it is.
    canvas.group("revision-row", "Revision", |canvas| {
        strip.revisions(canvas, &rows);
    });
}

/// What a panel's sheets say of its revisions, newest first. One that is as it was in the issue before says what it said there.
pub(in crate::documents) fn panel_revisions(
    issue: &IssueFacts,
    facts: &TitleFacts,
    panel: &FabricatedPanel,
) -> Vec<Revision> {
    let earlier = issue.revisions.panels.get(&panel.mark);
    let earlier = earlier.map_or(&[][..], Vec::as_slice);
    let news = issue.news_of(&panel.mark);
    if news.is_none() && !earlier.is_empty() {
        return earlier.to_vec();
    }
    let name = if panel.revision.is_empty() {
        facts.revision.clone()
    } else {
        panel.revision.clone()
    };
    let change = match news {
        Some(news) if news.what == "changed" => {
            let because = news.causes.iter().take(1).cloned();
            changes_in_short(
                &because
                    .chain(news.changes.iter().cloned())
                    .collect::<Vec<_>>(),
            )
        }
        _ if panel.revision.is_empty() && facts.revision == "0" => "First issue".to_owned(),
        Some(news) if news.what == "new" => "New panel".to_owned(),
        Some(news) if news.what == "redrawn" => {
            format!("Cut as before; {}", changes_in_short(&news.changes))
        }
        _ => "Cut as before".to_owned(),
    };
    let row = Revision {
        name,
        date: facts.date.clone(),
        change,
    };
    row.over(earlier)
}

/// The beginning of what an earlier revision changed: the whole of it stands on the sheet of changes of its issue.
fn in_a_line(change: &str) -> String {
    const ROOM: usize = 40;
    if change.chars().count() <= ROOM {
        return change.to_owned();
    }
    let mut short = String::new();
    for word in change.split(' ') {
        if short.chars().count() + word.chars().count() >= ROOM {
            break;
        }
        short.push_str(word);
        short.push(' ');
    }
    format!("{}…", short.trim_end().trim_end_matches([';', ',', ':']))
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

/// Project if it is to be named, building and job, what panel it is.
pub(super) fn draw_project(
    canvas: &mut Canvas,
    strip: &mut Strip,
    subject: &Subject<'_>,
    project: &str,
) {
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
    strip.words_at_foot(
        canvas,
        &[
            (project, NOTE),
            (job.as_str(), NOTE.bold()),
            (panel.as_str(), NOTE),
        ],
    );
}

#[cfg(test)]
mod tests {
    use super::*;

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

    #[test]
    fn an_earlier_change_is_told_by_its_first_words() {
        assert_eq!(in_a_line("First issue"), "First issue");
        let long = "O1 moved 6\" to the right; opening 36\" x 60\" at 6\" is now at 12\"";
        assert_eq!(
            in_a_line(long),
            "O1 moved 6\" to the right; opening 36\" x…"
        );
    }
}
