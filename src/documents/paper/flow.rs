//! Tables and blocks that run from column to column and from sheet to sheet.
//!
//! ```text
//!   ┌ A ┐ ┌ B ┐      ┌ A ┐ ┌ … ┐
//!   │ 1 │ │ 3 │  ──► │ 5 │ │   │     a table is cut between rows, its heads are set again; a block stays whole
//!   │ 2 │ │ 4 │      │ 6 │ │   │
//!   └───┘ └───┘      └───┘ └───┘
//! ```

use super::canvas::{Canvas, Lettered};
use super::model::{Area, spot};
use super::style::Lettering;
use super::table::Table;

/// Space between two things in a column, mm.
const BETWEEN: f64 = 6.0;
/// Space between columns that fill a sheet, mm.
const BETWEEN_COLUMNS: f64 = 10.0;
/// How much larger letters are tried, largest first.
const LARGER: [f64; 4] = [1.5, 1.3, 1.15, 1.0];
/// Steps in which columns are made shorter.
const SHARES: u32 = 24;

/// What has been set so far.
#[derive(Clone, Debug)]
pub struct Flow {
    first: Vec<Area>,
    later: Vec<Area>,
    lettering: Lettering,
    pages: Vec<Canvas>,
    column: usize,
    y: f64,
    /// True when a table had to wrap or break cells.
    is_tight: bool,
    /// How many blocks each sheet has.
    blocks: Vec<usize>,
    /// The block that starts a sheet wherever the one before ends.
    head: Option<usize>,
    /// True when a table that a column can hold is not cut.
    keeps_tables: bool,
}

impl Flow {
    /// Columns of the first sheet, and of every later one; neither may be empty.
    #[must_use]
    pub fn new(first: Vec<Area>, later: Vec<Area>, lettering: Lettering) -> Self {
        let y = first.first().map_or(0.0, |area| area.y0);
        Self {
            first,
            later,
            lettering,
            pages: vec![Canvas::new()],
            column: 0,
            y,
            is_tight: false,
            blocks: vec![0],
            head: None,
            keeps_tables: false,
        }
    }

    /// Has every table from here on that a column can hold stand in one column.
    pub const fn keep_tables(&mut self, keeps: bool) {
        self.keeps_tables = keeps;
    }

    /// Has a block start a new sheet, counted from 0.
    pub const fn start_sheet_with(&mut self, block: Option<usize>) {
        self.head = block;
    }

    /// How many blocks stand on each sheet.
    #[must_use]
    pub fn blocks(&self) -> &[usize] {
        &self.blocks
    }

    /// The letters it is set in.
    #[must_use]
    pub const fn lettering(&self) -> Lettering {
        self.lettering
    }

    /// Equal columns side by side in an area.
    #[must_use]
    pub fn columns(area: Area, count: u32, gap: f64) -> Vec<Area> {
        let n = f64::from(count.max(1));
        let width = (area.width() - gap * (n - 1.0)) / n;
        (0..count.max(1))
            .map(|index| {
                let x = area.x0 + (width + gap) * f64::from(index);
                Area::new(x, area.y0, x + width, area.y1)
            })
            .collect()
    }

    /// Sets something on as few sheets as it needs, in the largest letters that need no more, its columns as short as they
    /// can be: so a sheet is filled from side to side.
    ///
    /// - `count`: most columns side by side.
    #[must_use]
    pub fn filling(
        area: Area,
        count: u32,
        lettering: Lettering,
        set: impl Fn(&mut Self),
    ) -> Vec<Canvas> {
        let pages = |columns: u32, share: f64, lettering: Lettering| {
            let part = Area::new(area.x0, area.y0, area.x1, area.y0 + area.height() * share);
            let columns = Self::columns(part, columns, BETWEEN_COLUMNS);
            let mut flow = Self::new(columns.clone(), columns, lettering);
            set(&mut flow);
            flow
        };
        let least = pages(count, 1.0, lettering).pages.len();
        let larger = LARGER.iter().flat_map(|by| {
            let larger = lettering.larger(*by);
            (1..=count).rev().map(move |columns| (columns, larger))
        });
        let fits = |it: &(u32, Lettering)| {
            let flow = pages(it.0, 1.0, it.1);
            flow.pages.len() <= least && !flow.is_tight
        };
        let (columns, lettering) = larger.clone().find(fits).unwrap_or((count, lettering));
        let shares = (1..SHARES).map(|it| f64::from(it) / f64::from(SHARES));
        let mut shortest = shares
            .map(|share| pages(columns, share, lettering))
            .filter(|flow| flow.pages.len() <= least);
        let flow = shortest.next();
        flow.unwrap_or_else(|| pages(columns, 1.0, lettering)).pages
    }

    /// What was set, one canvas for each sheet.
    #[must_use]
    pub fn into_pages(self) -> Vec<Canvas> {
        self.pages
    }

    /// The column that is being filled.
    #[must_use]
    pub fn area(&self) -> Area {
        let columns = if self.pages.len() == 1 {
            &self.first
        } else {
            &self.later
        };
        columns.get(self.column).copied().unwrap_or_default()
    }

    /// What height the column has left, mm.
    #[must_use]
    pub fn room(&self) -> f64 {
        self.area().y1 - self.y
    }

    /// True when nothing stands in the column yet.
    #[must_use]
    pub fn is_at_top(&self) -> bool {
        self.y <= self.area().y0
    }

    /// What height the next column has, mm.
    fn next_height(&self) -> f64 {
        let is_first = self.pages.len() == 1;
        let own = if is_first { &self.first } else { &self.later };
        let next = own.get(self.column + 1).or_else(|| self.later.first());
        next.map_or(0.0, Area::height)
    }

    /// Goes on at the head of the next column.
    pub fn next_column(&mut self) {
        let n_columns = if self.pages.len() == 1 {
            self.first.len()
        } else {
            self.later.len()
        };
        self.column += 1;
        if self.column >= n_columns {
            self.column = 0;
            self.pages.push(Canvas::new());
            self.blocks.push(0);
        }
        self.y = self.area().y0;
    }

    fn draw(&mut self, draw: impl FnOnce(&mut Canvas)) {
        if let Some(page) = self.pages.last_mut() {
            draw(page);
        }
    }

    /// A table under a heading; the heading stands again, marked as continued, where the table goes on.
    pub fn table(&mut self, heading: &str, remark: &str, table: &Table) {
        let cap = self.lettering.title;
        let head = cap + 3.0;
        let mut rest = table.lay_out(&self.lettering, self.area().width());
        self.is_tight |= rest.is_tight();
        let mut is_first = true;
        let whole = head + rest.height();
        let is_cut = self.room() < whole && !self.is_at_top();
        if self.keeps_tables && is_cut && whole <= self.next_height() {
            self.next_column();
        }
        loop {
            if self.room() < head + rest.least_height() && !self.is_at_top() {
                self.next_column();
            }
            let (area, top) = (self.area(), self.y);
            let words = if is_first {
                heading.to_owned()
            } else {
                format!("{heading}, CONTINUED")
            };
            let lettering = self.lettering;
            self.draw(|canvas| {
                let title = Lettered::cap(cap).bold();
                let room = area.width() - 2.8;
                let taken = canvas.text_within(spot(area.x0 + 1.4, top + cap), &words, title, room);
                if is_first {
                    let note = Lettered::cap(lettering.note).end();
                    let room = room - taken - 2.0;
                    canvas.text_within(spot(area.x1 - 1.4, top + cap), remark, note, room);
                }
            });
            self.y += head;
            let (now, later) = match rest.split(self.room()) {
                Some((now, later)) => (now, Some(later)),
                None => (rest.clone(), None),
            };
            let top = self.y;
            self.draw(|canvas| {
                now.draw(canvas, area.x0, top);
            });
            self.y += now.height();
            match later {
                Some(later) => rest = later,
                None => break,
            }
            is_first = false;
            self.next_column();
        }
        self.y += BETWEEN;
    }

    /// Goes on in the next column or sheet where the next block, of a height for the width of a column, does not stand in this one.
    pub fn make_room(&mut self, height: impl Fn(f64) -> f64) {
        let number: usize = self.blocks.iter().sum();
        let is_first = self.blocks.last() == Some(&0);
        if self.head == Some(number) && !is_first {
            let here = self.pages.len();
            while self.pages.len() == here {
                self.next_column();
            }
        } else if self.room() < height(self.area().width()) && !self.is_at_top() {
            self.next_column();
        }
    }

    /// Something of a height that stays whole.
    ///
    /// - `height`: for the width of the column; `draw` gets the area it takes.
    pub fn block(&mut self, height: impl Fn(f64) -> f64, draw: impl FnOnce(&mut Canvas, Area)) {
        self.make_room(&height);
        if let Some(count) = self.blocks.last_mut() {
            *count += 1;
        }
        let column = self.area();
        let tall = height(column.width());
        let area = Area::new(column.x0, self.y, column.x1, self.y + tall);
        self.draw(|canvas| draw(canvas, area));
        self.y += tall;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::model::Sheet;
    use crate::documents::paper::overlap::overlaps;
    use crate::documents::paper::style::SMALL_SHEET;
    use crate::documents::paper::table::Column;

    #[test]
    fn a_block_starts_a_sheet_where_it_is_told_to() {
        let columns = Flow::columns(Area::new(10.0, 10.0, 190.0, 100.0), 2, 4.0);
        let blocks = |head: Option<usize>| {
            let mut flow = Flow::new(columns.clone(), columns.clone(), SMALL_SHEET);
            flow.start_sheet_with(head);
            for _ in 0..5 {
                flow.block(|_| 40.0, |_, _| {});
            }
            assert_eq!(flow.blocks().len(), flow.clone().into_pages().len());
            flow.blocks().to_vec()
        };
        assert_eq!(blocks(None), [4, 1]);
        assert_eq!(blocks(Some(3)), [3, 2]);
        assert_eq!(blocks(Some(0)), [4, 1]);
    }

    #[test]
    fn a_table_that_a_column_can_hold_is_not_cut_where_tables_are_kept() {
        let table = |rows: usize| Table {
            columns: vec![Column::words("No.")],
            rows: (0..rows).map(|row| vec![row.to_string()]).collect(),
            total: None,
            has_heads: true,
        };
        let columns = Flow::columns(Area::new(10.0, 10.0, 190.0, 100.0), 2, 4.0);
        let cut = |keeps: bool, rows: usize| {
            let mut flow = Flow::new(columns.clone(), columns.clone(), SMALL_SHEET);
            flow.keep_tables(keeps);
            for _ in 0..2 {
                flow.table("GOODS", "", &table(rows));
            }
            format!("{:?}", flow.into_pages())
                .matches("CONTINUED")
                .count()
        };
        assert!((3..16).any(|rows| cut(false, rows) > 0));
        assert!((3..16).all(|rows| cut(true, rows) == 0));
        // One longer than a column has to be.
        assert!(cut(true, 40) > 0);
    }

    #[test]
    fn a_long_table_runs_through_columns_and_sheets_and_loses_no_row() {
        let table = Table {
            columns: vec![Column::words("No."), Column::wrapping("What")],
            rows: (0..70)
                .map(|row| vec![row.to_string(), format!("row {row} of the table")])
                .collect(),
            total: None,
            has_heads: true,
        };
        let columns = Flow::columns(Area::new(10.0, 10.0, 190.0, 100.0), 2, 4.0);
        let mut flow = Flow::new(columns.clone(), columns, SMALL_SHEET);
        flow.table("ROWS", "inches", &table);
        let pages = flow.into_pages();
        assert!(pages.len() > 1);
        let mut seen = 0;
        for page in pages {
            let sheet = Sheet {
                width: 200.0,
                height: 110.0,
                layers: vec![page.into_group("all", "All")],
                ..Sheet::default()
            };
            assert_eq!(overlaps(&sheet), []);
            let words = format!("{sheet:?}");
            seen += words.matches("of the table").count();
        }
        assert_eq!(seen, 70);
    }
}
