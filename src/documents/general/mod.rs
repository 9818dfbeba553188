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

use super::TitleFacts;
use super::paper::frame::Paper;
use super::paper::strip::{HoldBox, Revision, Strip, TitleBlock};
use super::paper::{Canvas, Group, Sheet};
use crate::building::Building;
use crate::fabrication::Fabrication;
use crate::rules::PlantRules;

/// All that general sheets are drawn from.
#[derive(Clone, Copy, Debug)]
pub(super) struct GeneralInput<'a> {
    /// Walls and openings.
    pub(super) building: &'a Building,
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

/// With one capital, as in a list.
fn capitalised(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(String::from).unwrap_or_default();
    first + &letters.as_str().to_lowercase()
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
    let hold = match held.count() {
        0 => HoldBox::Released,
        1 => HoldBox::Held(vec!["1 panel on HOLD: see its sheet".to_owned()]),
        n => HoldBox::Held(vec![format!("{n} panels on HOLD: see their sheets")]),
    };
    strip.title_block(
        &mut canvas,
        &TitleBlock {
            facts: input.facts,
            title: named.title.to_owned(),
            subtitle: named.subtitle.to_owned(),
            scale: named.scale.to_owned(),
            number: named.number.clone(),
            revisions: vec![Revision::issued(input.facts)],
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
