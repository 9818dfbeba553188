//! Sheets that are one table: as many as it takes, on ANSI B.

use super::general::capitalised;
use super::paper::frame::ANSI_B;
use super::paper::strip::{HoldBox, Strip, TitleBlock};
use super::paper::table::Table;
use super::paper::{Canvas, Sheet};
use super::{Revision, TitleFacts};

/// Space round the table, mm.
const ROUND: f64 = 4.0;

/// A table that is to become sheets.
#[derive(Clone, Debug)]
pub(super) struct TableSheets<'a> {
    /// Number of the first sheet; the others are `Z-091.2`, `Z-091.3` and on.
    pub(super) number: &'static str,
    /// Ending of the file names: `revised-panels`.
    pub(super) name: &'static str,
    /// Title of the sheets.
    pub(super) title: &'static str,
    /// A line under it.
    pub(super) subtitle: &'a str,
    /// What the sheets show, in a sentence.
    pub(super) description: &'static str,
    /// Notes in the strip.
    pub(super) notes: &'a [String],
    /// The table.
    pub(super) table: &'a Table,
    /// Job and date.
    pub(super) facts: &'a TitleFacts,
}

impl TableSheets<'_> {
    /// The sheets: rows in order, none parted.
    pub(super) fn draw(&self) -> Vec<Sheet> {
        let mut sheets = Vec::new();
        let mut from = 0;
        while from < self.table.rows.len() {
            let count = self.rows_that_fit(from);
            sheets.push(self.sheet(sheets.len() + 1, from, count));
            from += count;
        }
        sheets
    }

    /// How many rows from one on fit a sheet: at least one.
    fn rows_that_fit(&self, from: usize) -> usize {
        let room = ANSI_B.field().grown(-ROUND);
        let fits = |count: &usize| {
            let laid = self
                .part(from, *count)
                .lay_out(&ANSI_B.lettering, room.width());
            laid.height() <= room.height()
        };
        let left = self.table.rows.len() - from;
        (1..=left).take_while(fits).last().unwrap_or(1)
    }

    fn part(&self, from: usize, count: usize) -> Table {
        Table {
            rows: self.table.rows[from..from + count].to_vec(),
            ..self.table.clone()
        }
    }

    fn sheet(&self, page: usize, from: usize, count: usize) -> Sheet {
        let number = match page {
            1 => self.number.to_owned(),
            page => format!("{}.{page}", self.number),
        };
        let mut frame = Canvas::new();
        ANSI_B.draw_frame(&mut frame);
        let room = ANSI_B.field().grown(-ROUND);
        let mut body = Canvas::new();
        let laid = self
            .part(from, count)
            .lay_out(&ANSI_B.lettering, room.width());
        laid.draw(&mut body, room.x0, room.y0);
        let mut strip_canvas = Canvas::new();
        let mut strip = Strip::of(&ANSI_B);
        strip.title_block(
            &mut strip_canvas,
            &TitleBlock {
                facts: self.facts,
                title: self.title.to_owned(),
                subtitle: self.subtitle.to_owned(),
                scale: "not to scale".to_owned(),
                number: number.clone(),
                revisions: Revision::issued(self.facts),
                hold: HoldBox::Released,
            },
        );
        strip.heading(&mut strip_canvas, "NOTES", "");
        strip.numbered(&mut strip_canvas, self.notes);
        Sheet {
            name: format!("{number}-{}", self.name),
            title: format!(
                "{number} {}, {}",
                capitalised(self.title),
                self.facts.building
            ),
            description: self.description.to_owned(),
            paper: ANSI_B.name.to_owned(),
            width: ANSI_B.width,
            height: ANSI_B.height,
            number,
            data: Vec::new(),
            layers: vec![
                body.into_group("table", "Table"),
                frame.into_group("frame", "Frame"),
                strip_canvas.into_group("strip", "Strip"),
            ],
        }
    }
}
