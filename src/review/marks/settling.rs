//! What can be said of a mark only when it is known what it stands on: which number it strikes, covers or measures.

use super::crossing::measured;
use super::drafts::{Draft, covered, words_of};
use super::drawn::around;
use super::model::MarkKind;
use super::proposals::last_length;
use super::sheets::IssuedSheet;
use super::touching::{About, named, struck};
use crate::documents::paper::Area;
use crate::units::{counted, parse_length};

/// A white box over more texts than this stands for none of them.
const MOST_COVERED: usize = 3;

/// Says of a mark what it edits, strikes or covers.
pub(super) fn settle(sheet: &IssuedSheet, about: &mut About, draft: &mut Draft) {
    if matches!(draft.kind, MarkKind::Shape | MarkKind::Text) && !draft.is_said {
        settle_cover(sheet, about, draft);
    }
    match draft.kind {
        MarkKind::Strike => {
            let struck = struck(&sheet.drawing, draft, &about.area_of(draft));
            let Some(first) = struck.first() else {
                return settle_line(sheet, about, draft);
            };
            // A number struck out and another beside it: an edited dimension.
            if last_length(first.words()).is_some() && last_length(&draft.text).is_some() {
                draft.edit = Some((first.words().to_owned(), draft.text.clone()));
                draft.kind = MarkKind::Dimension;
            } else if draft.text.is_empty() {
                draft.text = format!("struck out: \"{}\"", first.words());
            }
        }
        MarkKind::Dimension => {
            let Some((was, now)) = draft.edit.clone() else {
                return;
            };
            // What the reviewer did not write down stands on the sheet.
            let was = if was.is_empty() {
                was_of(sheet, about, draft, &now)
            } else {
                was
            };
            if draft.text.is_empty() || draft.text == now {
                draft.text = format!("{was} should be {now}").trim_start().to_owned();
            }
            draft.edit = Some((was, now));
        }
        _ => {}
    }
}

/// A white box over a text of the sheet: what is written on it stands instead of what it covers.
fn settle_cover(sheet: &IssuedSheet, about: &mut About, draft: &mut Draft) {
    let covered = covered(&sheet.drawing, &draft.items);
    let now = words_of(&draft.items);
    let is_size = last_length(&now).is_some();
    let size = covered.iter().find(|it| last_length(it.words()).is_some());
    let Some(was) = size.filter(|_| is_size).or_else(|| covered.first()) else {
        return;
    };
    let was = was.words().to_owned();
    // A box over much of the sheet corrects no one size.
    let is_wide = covered.len() > MOST_COVERED;
    about.touches = (!is_wide).then(|| named(&was));
    if is_wide || now.is_empty() {
        let what = match is_wide {
            true => counted(covered.len(), "text"),
            false => format!("\"{was}\""),
        };
        draft.kind = MarkKind::Deleted;
        draft.text = format!("covered: {what} {}", draft.text)
            .trim_end()
            .to_owned();
    } else if is_size && last_length(&was).is_some() {
        draft.kind = MarkKind::Dimension;
        draft.text.clone_from(&now);
        draft.edit = Some((was, now));
    } else {
        draft.kind = MarkKind::ChangedText;
        draft.text = format!("\"{was}\" is covered by \"{now}\"");
        draft.edit = Some((was, now));
    }
}

/// What a size was that a reviewer drew anew: what the mark touches, else what its line measures; empty when nothing tells.
fn was_of(sheet: &IssuedSheet, about: &mut About, draft: &Draft, now: &str) -> String {
    let touched = about.touches.as_deref().unwrap_or_default();
    let words = touched.split_once(' ').map_or("", |it| it.1);
    let n_sides = |it: &str| it.split(['×', 'x']).count();
    // A caption is a size when it ends in one: "UNIT 3'-0\" × 4'-0\"".
    if last_length(words).is_some() && n_sides(words) == n_sides(now) {
        return words.to_owned();
    }
    match measured(sheet, draft) {
        Some(size) => {
            about.touches = Some(named(&size));
            size
        }
        None => String::new(),
    }
}

/// A straight line through no text: a size beside it is that of what it measures; else it strikes what it crosses.
fn settle_line(sheet: &IssuedSheet, about: &mut About, draft: &mut Draft) {
    if parse_length(&draft.text).is_ok()
        && let Some(size) = measured(sheet, draft)
    {
        about.touches = Some(named(&size));
        let now = std::mem::take(&mut draft.text);
        draft.text = format!("{size} should be {now}");
        draft.edit = Some((size, now));
        draft.kind = MarkKind::Dimension;
        return;
    }
    match &about.touches {
        Some(touches) if draft.text.is_empty() => draft.text = format!("struck out: {touches}"),
        Some(_) => {}
        None if draft.is_said => {}
        None => draft.kind = MarkKind::Shape,
    }
}

impl About {
    /// The box of what is drawn, a remark beside it left out.
    fn area_of(&self, draft: &Draft) -> Area {
        let lines = draft.items.iter().filter(|it| it.lines().is_some());
        around(lines).unwrap_or(self.area)
    }
}
