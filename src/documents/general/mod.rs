//! Sheets about the whole package: cover with the picture and the index, schedules.
//!
//! ```text
//!   Z-000  cover: picture of the panels, index of sheets, the job in numbers, cautions
//!   Z-601  schedules of openings, panels, lumber and plates, as many sheets as they need
//! ```
//!
//! *Promises.* Every sheet of the set stands in the index; every opening, panel, piece of lumber and plate is counted in a
//! schedule.
//!
//! *Does not do.* Deciding or measuring anything: numbers are those of fabrication.

mod cover;
mod picture;
mod schedules;

pub(super) use cover::cover_sheet;
pub(super) use schedules::schedule_sheets;

use super::left_out::{hold_words, left_out};
use super::paper::frame::Paper;
use super::paper::strip::{HoldBox, Strip, TitleBlock};
use super::paper::{Canvas, Group, Sheet};
use super::{Revision, TitleFacts};
use crate::building::Building;
use crate::fabrication::Fabrication;
use crate::layout::Layout;
use crate::rules::PlantRules;

/// All that general sheets are drawn from.
#[derive(Clone, Copy, Debug)]
pub(super) struct GeneralInput<'a> {
    /// Walls and openings.
    pub(super) building: &'a Building,
    /// Where panels stand.
    pub(super) layout: &'a Layout,
    /// Panels and plates.
    pub(super) fabrication: &'a Fabrication,
    /// The plant's rules.
    pub(super) rules: &'a PlantRules,
    /// Title block.
    pub(super) facts: &'a TitleFacts,
}

impl GeneralInput<'_> {
    const fn paper(&self) -> Paper {
        Paper::of_plans(&self.facts.sheets)
    }
}

/// What a general sheet is called.
struct Named<'a> {
    number: String,
    name: &'a str,
    title: &'a str,
    subtitle: &'a str,
    description: &'a str,
    scale: &'a str,
}

/// With one capital, as in a list; marks keep theirs.
pub(super) fn capitalised(words: &str) -> String {
    let is_mark = |word: &&str| word.contains(|c: char| c.is_ascii_digit());
    let lower = words.split(' ').map(|word| {
        if is_mark(&word) {
            word.to_owned()
        } else {
            word.to_lowercase()
        }
    });
    let lower = lower.collect::<Vec<_>>().join(" ");
    let mut letters = lower.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    first.unwrap_or_default() + letters.as_str()
}

/// Frame, strip and sheet about what was drawn.
fn sheet(
    input: &GeneralInput<'_>,
    named: Named<'_>,
    mut layers: Vec<Group>,
    fill_strip: impl FnOnce(&mut Canvas, &mut Strip),
) -> Sheet {
    let mut frame = Canvas::new();
    let paper = input.paper();
    paper.draw_frame(&mut frame);
    let mut canvas = Canvas::new();
    let mut strip = Strip::of(&paper);
    let held = input.fabrication.panels.iter().filter(|it| it.is_held());
    let panels = match held.count() {
        0 => None,
        1 => Some("1 panel on HOLD: see its sheet".to_owned()),
        n => Some(format!("{n} panels on HOLD: see their sheets")),
    };
    let walls = hold_words(&left_out(input.building, input.layout, None));
    let hold = HoldBox::of(walls.into_iter().chain(panels));
    strip.title_block(
        &mut canvas,
        &TitleBlock {
            facts: input.facts,
            title: named.title.to_owned(),
            subtitle: named.subtitle.to_owned(),
            scale: named.scale.to_owned(),
            number: named.number.clone(),
            revisions: Revision::issued(input.facts),
            hold,
        },
    );
    fill_strip(&mut canvas, &mut strip);
    layers.push(frame.into_group("frame", "Frame"));
    layers.push(canvas.into_group("strip", "Title block"));
    Sheet {
        name: format!("{}-{}", named.number, named.name),
        title: format!("{} {}", named.number, capitalised(named.title)),
        number: named.number,
        description: named.description.to_owned(),
        paper: paper.name.to_owned(),
        width: paper.width,
        height: paper.height,
        data: Vec::new(),
        layers,
    }
}

#[cfg(test)]
mod tests {
    use super::capitalised;

    #[test]
    fn titles_have_one_capital_in_a_list_and_marks_keep_theirs() {
        assert_eq!(capitalised("WALLS X1 TO X5"), "Walls X1 to X5");
        assert_eq!(capitalised("slabs"), "Slabs");
        assert_eq!(capitalised(""), "");
    }
}
