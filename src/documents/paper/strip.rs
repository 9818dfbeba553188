//! The strip at the right of a sheet: cells stacked from the top, the title block at the foot.
//!
//! ```text
//!   ┌──────────────┐ top ▼   heading, prose, numbered notes, tables, areas to draw in
//!   │  …           │
//!   │  free        │         what is left: `rest`
//!   │  revisions   │
//!   │  HOLD        │
//!   │  project     │
//!   │  title       │
//!   └──── Z-201 ───┘ foot ▲  sheet number lowest right
//! ```

use super::canvas::{Canvas, Lettered};
use super::fonts::wrap;
use super::frame::Paper;
use super::model::{Area, Item, Weight, spot};
use super::style::{Ink, Lettering, Pen};
use super::symbol::tick_box;
use super::table::{Column, Table};
use crate::documents::{Revision, TitleFacts};

/// The strip while it is being filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strip {
    /// The strip.
    pub area: Area,
    /// Lettering.
    pub lettering: Lettering,
    /// Where the next cell from the top begins.
    pub top: f64,
    /// Where the next cell from the foot ends.
    pub foot: f64,
}

/// Released, or stop.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum HoldBox {
    /// Empty box; the words stand at the right.
    #[default]
    Released,
    /// Crossed box with the reasons beside it.
    Held(Vec<String>),
}

impl HoldBox {
    /// Held for these reasons; released where there are none.
    #[must_use]
    pub fn of(reasons: impl Iterator<Item = String>) -> Self {
        let reasons: Vec<String> = reasons.collect();
        if reasons.is_empty() {
            Self::Released
        } else {
            Self::Held(reasons)
        }
    }
}

/// What the foot of a strip says.
#[derive(Clone, Debug, PartialEq)]
pub struct TitleBlock<'a> {
    /// Project, building, job.
    pub facts: &'a TitleFacts,
    /// Title of the sheet.
    pub title: String,
    /// A line under it.
    pub subtitle: String,
    /// Scale as printed, or `as shown`.
    pub scale: String,
    /// Sheet number.
    pub number: String,
    /// Newest first; three are shown.
    pub revisions: Vec<Revision>,
    /// May it be built?
    pub hold: HoldBox,
}

/// Lines that reasons for a HOLD may take: the rest stands on the sheets of the panels.
const HOLD_LINES: usize = 7;

/// Space between a cell's rule and its text, mm.
const INSET: f64 = 2.0;

impl Strip {
    /// The empty strip of a paper.
    #[must_use]
    pub fn of(paper: &Paper) -> Self {
        Self::within(paper.strip_area(), paper.lettering)
    }

    /// An empty one in an area.
    #[must_use]
    pub const fn within(area: Area, lettering: Lettering) -> Self {
        Self {
            area,
            lettering,
            top: area.y0,
            foot: area.y1,
        }
    }

    /// Left end of text.
    #[must_use]
    pub fn left(&self) -> f64 {
        self.area.x0 + INSET
    }

    /// Right end of text.
    #[must_use]
    pub fn right(&self) -> f64 {
        self.area.x1 - INSET
    }

    /// What is left between top and foot.
    #[must_use]
    pub fn rest(&self) -> Area {
        Area::new(self.area.x0, self.top, self.area.x1, self.foot)
    }

    /// A line across at the top cursor: the next cell begins.
    pub fn rule(&self, canvas: &mut Canvas) {
        canvas.line(
            Pen::Edge.full(),
            spot(self.area.x0, self.top),
            spot(self.area.x1, self.top),
        );
    }

    /// Takes a cell of a height from the top, ruled at its foot.
    pub fn take(&mut self, canvas: &mut Canvas, height: f64) -> Area {
        let cell = Area::new(self.area.x0, self.top, self.area.x1, self.top + height);
        self.top += height;
        self.rule(canvas);
        cell
    }

    /// Takes a cell of a height from the foot, ruled at its top.
    pub fn take_foot(&mut self, canvas: &mut Canvas, height: f64) -> Area {
        let cell = Area::new(self.area.x0, self.foot - height, self.area.x1, self.foot);
        self.foot -= height;
        canvas.line(
            Pen::Edge.full(),
            spot(cell.x0, cell.y0),
            spot(cell.x1, cell.y0),
        );
        cell
    }

    /// A heading, with a remark at the right end.
    pub fn heading(&mut self, canvas: &mut Canvas, words: &str, remark: &str) {
        let cap = self.heading_cap();
        self.top += cap + INSET;
        let bold = Lettered::cap(cap).bold();
        canvas.text(spot(self.left(), self.top), words, bold);
        let room = self.right() - self.left() - bold.width(words) - 3.0;
        let note = Lettered::cap(self.lettering.note).end();
        canvas.text_within(spot(self.right(), self.top), remark, note, room);
        self.top += 1.2;
    }

    fn heading_cap(&self) -> f64 {
        if self.lettering.note < 3.0 {
            self.lettering.note
        } else {
            self.lettering.title
        }
    }

    /// Prose, wrapped, below the cursor; ends with a little space.
    pub fn prose(&mut self, canvas: &mut Canvas, lines: &[String]) {
        self.prose_from(canvas, lines, self.left());
    }

    fn prose_from(&mut self, canvas: &mut Canvas, lines: &[String], left: f64) {
        let lettered = Lettered::cap(self.lettering.note);
        self.top += self.lettering.note * 0.45;
        for words in lines {
            for line in wrap(words, self.right() - left, lettered.cap, Weight::Regular) {
                self.top += self.lettering.leading();
                canvas.text(spot(left, self.top), line, lettered);
            }
        }
        self.top += INSET;
    }

    /// Notes with numbers from 1.
    pub fn numbered(&mut self, canvas: &mut Canvas, notes: &[String]) {
        let indent = self.lettering.note * 2.6;
        for (i, note) in notes.iter().enumerate() {
            let lettered = Lettered::cap(self.lettering.note).bold();
            let base = self.top + self.lettering.note * 0.45 + self.lettering.leading();
            canvas.text(spot(self.left(), base), (i + 1).to_string(), lettered);
            self.prose_from(canvas, std::slice::from_ref(note), self.left() + indent);
            self.top -= self.lettering.note * 0.6;
        }
        self.top += self.lettering.note * 0.6;
    }

    /// A table over the whole width.
    pub fn table(&mut self, canvas: &mut Canvas, table: &Table) {
        let laid = table.lay_out(&self.lettering, self.area.width());
        self.top = laid.draw(canvas, self.area.x0, self.top);
    }

    /// So many rows of a table could stand in what is left, each of one line: more need not be tried.
    #[must_use]
    pub fn most_rows(&self) -> usize {
        let left = (self.foot - self.top).max(0.0);
        (0..)
            .take_while(|rows| f64::from(*rows) * Table::pitch(&self.lettering) <= left)
            .count()
    }

    /// Height a table would take.
    #[must_use]
    pub fn table_height(&self, table: &Table) -> f64 {
        table.lay_out(&self.lettering, self.area.width()).height()
    }

    /// Revision rows at the foot, newest first, three at most.
    pub fn revisions(&mut self, canvas: &mut Canvas, revisions: &[Revision]) {
        let table = Table {
            columns: vec![
                Column::words("REV").bold(),
                Column::words("DATE"),
                Column::wrapping("CHANGE"),
            ],
            rows: revisions
                .iter()
                .take(Revision::SHOWN)
                .map(|it| vec![it.name.clone(), it.date.clone(), it.change.clone()])
                .collect(),
            total: None,
            has_heads: true,
        };
        let laid = table.lay_out(&self.lettering, self.area.width());
        let cell = self.take_foot(canvas, laid.height());
        laid.draw(canvas, cell.x0, cell.y0);
    }

    /// The HOLD box at the foot: empty, or crossed with the reasons beside it. True when all of them stand there.
    pub fn hold(&mut self, canvas: &mut Canvas, hold: &HoldBox) -> bool {
        let side = self.lettering.note * 1.7;
        let big = Lettered::cap(self.lettering.title).bold();
        let text_left = self.left() + side + 2.0;
        let reason_left = text_left + big.width("HOLD") + 3.0;
        let reasons = match hold {
            HoldBox::Released => vec!["not on hold".to_owned()],
            HoldBox::Held(reasons) => reasons.clone(),
        };
        let lettered = Lettered::cap(self.lettering.note);
        let lettered = if *hold == HoldBox::Released {
            lettered
        } else {
            lettered.bold().ink(Ink::Accent)
        };
        let lines: Vec<String> = reasons
            .iter()
            .flat_map(|reason| {
                wrap(
                    reason,
                    self.right() - reason_left,
                    lettered.cap,
                    lettered.weight,
                )
            })
            .collect();
        let is_cut = lines.len() > HOLD_LINES;
        let mut lines = lines;
        if is_cut {
            lines.truncate(HOLD_LINES - 1);
            lines.push("and more: on the panels' own sheets".to_owned());
        }
        let more = lines
            .iter()
            .skip(1)
            .map(|_| self.lettering.leading())
            .sum::<f64>();
        let cell = self.take_foot(canvas, side + 2.0 * INSET + more);
        let upper = cell.y0 + INSET;
        tick_box(
            canvas,
            spot(self.left(), upper),
            side,
            *hold != HoldBox::Released,
        );
        let middle = upper + side / 2.0;
        canvas.text_centred(spot(text_left, middle), "HOLD", big);
        let mut base = middle + lettered.cap / 2.0;
        let mut words = Canvas::new();
        for line in lines {
            words.text(spot(reason_left, base), line, lettered);
            base += self.lettering.leading();
        }
        if is_cut {
            let group = words.into_group("hold", &reasons.join("; "));
            canvas.put(Item::Group(group));
        } else {
            canvas.append(words);
        }
        !is_cut
    }

    /// The whole foot of a large sheet.
    pub fn title_block(&mut self, canvas: &mut Canvas, block: &TitleBlock<'_>) {
        let lettering = self.lettering;
        let note = Lettered::cap(lettering.note);
        let foot = self.take_foot(canvas, lettering.note * 11.0);
        let split = foot.x0 + foot.width() * 0.42;
        canvas.line(Pen::Edge.full(), spot(split, foot.y0), spot(split, foot.y1));
        let facts = block.facts;
        let small = [
            ("SCALE", block.scale.as_str()),
            ("DRAWN", facts.drawn_by.as_str()),
            ("CHECKED", ""),
            ("DATE", facts.date.as_str()),
        ];
        let pitch = foot.height() / 4.0;
        let mut y = foot.y0;
        for (name, value) in small {
            let place = Area::new(self.left(), y, split - INSET, y + pitch);
            canvas.named_value(place, (name, note), value, note.bold());
            y += pitch;
            if y < foot.y1 - 1.0 {
                let hair = Pen::Hair.full().with(Ink::Hatch);
                canvas.line(hair, spot(foot.x0, y), spot(split, y));
            }
        }
        canvas.text(
            spot(split + INSET, foot.y0 + INSET + lettering.note),
            "SHEET",
            note,
        );
        canvas.text_within(
            spot(self.right(), foot.y1 - 4.0),
            &block.number,
            Lettered::cap(lettering.sheet).bold().end(),
            foot.x1 - split - 2.0 * INSET,
        );
        let title = Lettered::cap(lettering.heading).bold();
        self.words_at_foot(canvas, &[(&block.title, title), (&block.subtitle, note)]);
        let job = if facts.number.is_empty() {
            String::new()
        } else {
            format!("Job {}", facts.number)
        };
        let project = Lettered::cap(lettering.title).bold();
        self.words_at_foot(
            canvas,
            &[
                (&facts.project, project),
                (&facts.building, note),
                (&job, note),
            ],
        );
        self.hold(canvas, &block.hold);
        self.revisions(canvas, &block.revisions);
    }

    /// A cell at the foot with wrapped lines of different lettering; empty ones are left out.
    pub fn words_at_foot(&mut self, canvas: &mut Canvas, words: &[(&str, Lettered)]) {
        let width = self.right() - self.left();
        let lines: Vec<(String, Lettered)> = words
            .iter()
            .filter(|(words, _)| !words.is_empty())
            .flat_map(|(words, lettered)| {
                wrap(words, width, lettered.cap, lettered.weight)
                    .into_iter()
                    .map(|line| (line, *lettered))
            })
            .collect();
        let gap = |lettered: &Lettered| lettered.cap * 0.75;
        let height = lines.iter().map(|(_, it)| it.cap + gap(it)).sum::<f64>() + INSET;
        if lines.is_empty() {
            return;
        }
        let cell = self.take_foot(canvas, height);
        let mut y = cell.y0 + INSET * 0.75;
        for (line, lettered) in lines {
            y += lettered.cap;
            canvas.text(spot(self.left(), y), line, lettered);
            y += gap(&lettered);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::frame::{ANSI_B, ARCH_D};
    use crate::documents::paper::model::Sheet;
    use crate::documents::paper::overlap::overlaps;

    #[track_caller]
    fn check(paper: &Paper, facts: &TitleFacts, hold: HoldBox) {
        let mut canvas = Canvas::new();
        paper.draw_frame(&mut canvas);
        let mut strip = Strip::of(paper);
        strip.heading(&mut canvas, "NOTES", "two");
        let notes = [
            "View is from outside.",
            "Seal both faces of every spline and both edges of every plate, and every gap.",
        ];
        strip.numbered(&mut canvas, &notes.map(str::to_owned));
        strip.rule(&mut canvas);
        let block = TitleBlock {
            facts,
            title: "SOUTH WALL".to_owned(),
            subtitle: "from outside, with plates and details".to_owned(),
            scale: "as shown".to_owned(),
            number: "Z-201".to_owned(),
            revisions: vec![Revision {
                name: "0".to_owned(),
                date: "2026-11-25".to_owned(),
                change: "First issue".to_owned(),
            }],
            hold,
        };
        strip.title_block(&mut canvas, &block);
        assert!(strip.rest().height() > 0.0);
        let sheet = Sheet {
            width: paper.width,
            height: paper.height,
            layers: vec![canvas.into_group("strip", "Strip")],
            ..Sheet::default()
        };
        assert_eq!(overlaps(&sheet), []);
    }

    #[test]
    fn a_strip_holds_long_names_and_reasons() {
        let long = TitleFacts {
            project:
                "Larksedge Fen Reserve, station for the observation of marsh birds and dragonflies"
                    .to_owned(),
            building: "Bunkhouse with boat shed, wash house and a very long name".to_owned(),
            number: "J-2607".to_owned(),
            date: "2026-11-25".to_owned(),
            ..TitleFacts::default()
        };
        let held = HoldBox::Held(vec!["FAB-02: header over O4 is not sized: engineer; release only after the calculation is in".to_owned()]);
        for paper in [&ANSI_B, &ARCH_D] {
            check(paper, &TitleFacts::default(), HoldBox::Released);
            check(paper, &long, held.clone());
        }
    }
}
