//! Tables whose cells are measured: long names wrap, they are never shrunk.

use super::canvas::{Canvas, Lettered};
use super::fonts::{text_width, wrap};
use super::model::{Anchor, Area, Spot, Weight, spot};
use super::style::{Ink, Lettering, Pen};

/// One column.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Column {
    /// Its head.
    pub head: String,
    /// How its cells stand.
    pub anchor: Anchor,
    /// Weight of its cells.
    pub weight: Weight,
    /// True when it may wrap and takes what width is left.
    pub is_flexible: bool,
    /// What its cells name, `panel` say: a row says so as `data-panel`; empty when they name nothing.
    pub names: &'static str,
    /// What the cell of each row names, where its words say it in short; an empty one names nothing.
    pub named: Vec<String>,
}

impl Column {
    /// A column of words that keeps its width.
    #[must_use]
    pub fn words(head: &str) -> Self {
        Self {
            head: head.to_owned(),
            ..Self::default()
        }
    }

    /// A column of words that may wrap.
    #[must_use]
    pub fn wrapping(head: &str) -> Self {
        Self {
            is_flexible: true,
            ..Self::words(head)
        }
    }

    /// A column of numbers, right-aligned.
    #[must_use]
    pub fn numbers(head: &str) -> Self {
        Self {
            anchor: Anchor::End,
            ..Self::words(head)
        }
    }

    /// A centred column.
    #[must_use]
    pub fn centred(head: &str) -> Self {
        Self {
            anchor: Anchor::Middle,
            ..Self::words(head)
        }
    }

    /// Its cells are ids of panels, openings or walls.
    #[must_use]
    pub fn naming(self, names: &'static str) -> Self {
        Self { names, ..self }
    }

    /// Its cells are short for ids, those of each row.
    #[must_use]
    pub fn naming_each(self, names: &'static str, named: Vec<String>) -> Self {
        Self {
            names,
            named,
            ..self
        }
    }

    /// What the cell of a row names; `None` when it names nothing.
    fn id_of<'a>(&'a self, row: Option<usize>, words: &'a str) -> Option<&'a str> {
        let (false, Some(row)) = (self.names.is_empty(), row) else {
            return None;
        };
        if self.named.is_empty() {
            return Some(words).filter(|it| is_id(it));
        }
        let named = self.named.get(row).map(String::as_str);
        named.filter(|it| !it.is_empty())
    }

    /// In bold.
    #[must_use]
    pub fn bold(self) -> Self {
        Self {
            weight: Weight::Bold,
            ..self
        }
    }
}

/// A table.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Columns from the left.
    pub columns: Vec<Column>,
    /// Rows of cells, one for each column.
    pub rows: Vec<Vec<String>>,
    /// A last row in bold, if there is one.
    pub total: Option<Vec<String>>,
    /// False leaves out the row of heads.
    pub has_heads: bool,
}

/// A table made ready for a width: columns set, cells wrapped.
#[derive(Clone, Debug, PartialEq)]
pub struct TableLayout {
    widths: Vec<f64>,
    rows: Vec<LaidRow>,
    pitch: f64,
    cap: f64,
}

#[derive(Clone, Debug, PartialEq)]
struct LaidRow {
    cells: Vec<Vec<String>>,
    weights: Vec<Weight>,
    anchors: Vec<Anchor>,
    height: f64,
    is_head: bool,
    /// What the row is about, by name.
    facts: Vec<(&'static str, String)>,
}

/// Space left and right of a cell's text, mm.
const PADDING: f64 = 1.4;

/// Flexible columns take spare width up to this part of a table's width; what is more is shared by all.
const NEAR: f64 = 0.2;

/// Rows that stay together at the head of a table.
const TOGETHER: usize = 3;

/// Flexible columns get at least this part of a table's width before all columns shrink alike.
const LEAST_SHARE: f64 = 0.2;

impl Table {
    /// Takes a column out.
    pub fn leave_out(&mut self, index: usize) {
        if index >= self.columns.len() {
            return;
        }
        self.columns.remove(index);
        for row in self.rows.iter_mut().chain(&mut self.total) {
            if index < row.len() {
                row.remove(index);
            }
        }
    }

    /// The height of a row of one line, mm.
    #[must_use]
    pub fn pitch(lettering: &Lettering) -> f64 {
        lettering.note * 2.0
    }

    /// Sets the columns and wraps the cells for a width in mm.
    #[must_use]
    pub fn lay_out(&self, lettering: &Lettering, width: f64) -> TableLayout {
        let cap = lettering.note;
        let widths = self.widths(cap, width);
        let pitch = Self::pitch(lettering);
        let line = lettering.leading();
        let heads = self.columns.iter().map(|column| column.head.clone());
        // The number of a row among those that are neither head nor total.
        let mut sources: Vec<(Vec<String>, Option<usize>, bool)> = Vec::new();
        if self.has_heads {
            sources.push((heads.collect(), None, true));
        }
        let rows = self.rows.iter().enumerate();
        sources.extend(rows.map(|(index, row)| (row.clone(), Some(index), false)));
        sources.extend(self.total.iter().map(|row| (row.clone(), None, false)));
        let rows = sources
            .into_iter()
            .map(|(row, index, is_head)| {
                let is_bold = index.is_none();
                let weights: Vec<Weight> = self
                    .columns
                    .iter()
                    .map(|column| if is_bold { Weight::Bold } else { column.weight })
                    .collect();
                let cells: Vec<Vec<String>> = row
                    .iter()
                    .zip(widths.iter().zip(&weights))
                    .map(|(words, (width, weight))| {
                        wrap(words, width - 2.0 * PADDING + 1e-6, cap, *weight)
                    })
                    .collect();
                let mut height = pitch;
                for cell in &cells {
                    let more = cell.iter().skip(1).map(|_| line).sum::<f64>();
                    height = height.max(pitch + more);
                }
                let named = self.columns.iter().zip(&row);
                let facts = named.filter_map(|(column, words)| {
                    let id = column.id_of(index, words)?;
                    Some((column.names, id.to_owned()))
                });
                LaidRow {
                    facts: facts.collect(),
                    cells,
                    weights,
                    anchors: self.columns.iter().map(|column| column.anchor).collect(),
                    height,
                    is_head,
                }
            })
            .collect();
        TableLayout {
            widths,
            rows,
            pitch,
            cap,
        }
    }

    /// Column widths that fill the width: natural ones when they fit, else the flexible ones give way as far as their
    /// longest word, then all as far as theirs, and the rest after that, in proportion.
    fn widths(&self, cap: f64, width: f64) -> Vec<f64> {
        let [natural, least] = self.measured(cap);
        let over = natural.iter().sum::<f64>() - width;
        if over <= 0.0 {
            return give_out(&natural, -over, &self.columns);
        }
        let slack: Vec<f64> = self
            .columns
            .iter()
            .zip(natural.iter().zip(&least))
            .map(|(column, (natural, least))| {
                if column.is_flexible {
                    natural - least
                } else {
                    0.0
                }
            })
            .collect();
        let all: f64 = slack.iter().sum();
        if all >= over {
            return natural
                .iter()
                .zip(slack)
                .map(|(natural, slack)| natural - slack * over / all)
                .collect();
        }
        // Words stay whole where they can: a mark or a length broken between letters is read wrong.
        let spare = width - least.iter().sum::<f64>();
        if spare >= 0.0 {
            let give = natural.iter().sum::<f64>() - least.iter().sum::<f64>();
            return natural
                .iter()
                .zip(&least)
                .map(|(natural, least)| least + (natural - least) * spare / give)
                .collect();
        }
        // Not even the longest words fit: flexible columns share what the others leave, and words break between letters.
        let fixed: f64 = self
            .columns
            .iter()
            .zip(&natural)
            .map(|(column, width)| if column.is_flexible { 0.0 } else { *width })
            .sum();
        let flexible: f64 = natural.iter().sum::<f64>() - fixed;
        if width - fixed > LEAST_SHARE * width {
            let factor = (width - fixed) / flexible.max(1e-9);
            return natural
                .iter()
                .zip(&self.columns)
                .map(|(w, column)| if column.is_flexible { w * factor } else { *w })
                .collect();
        }
        let factor = width / (fixed + flexible);
        natural.iter().map(|w| w * factor).collect()
    }

    /// How wide it is where nothing is wrapped, mm.
    #[must_use]
    pub fn natural_width(&self, lettering: &Lettering) -> f64 {
        let [natural, _] = self.measured(lettering.note);
        natural.iter().sum()
    }

    /// Of each column the width in which nothing is wrapped, and that of its longest word.
    fn measured(&self, cap: f64) -> [Vec<f64>; 2] {
        let cells = |index: usize| {
            let column = self.columns.get(index);
            let weight = column.map_or(Weight::Regular, |column| column.weight);
            let head = column.filter(|_| self.has_heads).map(|column| &column.head);
            let rows = self.rows.iter().filter_map(move |row| row.get(index));
            let total = self.total.iter().filter_map(move |row| row.get(index));
            rows.map(move |words| (words, weight))
                .chain(total.chain(head).map(|words| (words, Weight::Bold)))
        };
        let widest = |index: usize, measure: &dyn Fn(&str, Weight) -> f64| {
            cells(index).fold(0.0, |widest: f64, (words, weight)| {
                widest.max(measure(words, weight))
            }) + 2.0 * PADDING
        };
        let natural: Vec<f64> = (0..self.columns.len())
            .map(|index| {
                widest(index, &|words, weight| {
                    words
                        .split('\n')
                        .map(|line| text_width(line, cap, weight))
                        .fold(0.0, f64::max)
                })
            })
            .collect();
        let least: Vec<f64> = (0..self.columns.len())
            .map(|index| {
                widest(index, &|words, weight| {
                    words
                        .split([' ', '\n'])
                        .map(|word| text_width(word, cap, weight))
                        .fold(0.0, f64::max)
                })
            })
            .collect();
        [natural, least]
    }
}

/// Gives spare width to the flexible columns, or between all when none is flexible or much is to spare: a row is read
/// across a narrow gap, not across half a sheet.
fn give_out(natural: &[f64], spare: f64, columns: &[Column]) -> Vec<f64> {
    let flexible = columns.iter().filter(|column| column.is_flexible);
    let flexible: f64 = flexible.map(|_| 1.0).sum();
    let all: f64 = columns.iter().map(|_| 1.0).sum();
    let width = natural.iter().sum::<f64>() + spare;
    let taken = if flexible > 0.0 {
        spare.min(width * NEAR)
    } else {
        0.0
    };
    let each = (spare - taken) / f64::max(all, 1.0);
    let more = taken / f64::max(flexible, 1.0);
    natural
        .iter()
        .zip(columns)
        .map(|(width, column)| width + each + if column.is_flexible { more } else { 0.0 })
        .collect()
}

impl TableLayout {
    /// Height, mm.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.rows.iter().map(|row| row.height).sum()
    }

    /// True when a cell stands on more than one line.
    #[must_use]
    pub fn is_tight(&self) -> bool {
        let mut cells = self.rows.iter().flat_map(|row| &row.cells);
        cells.any(|lines| lines.len() > 1)
    }

    /// The table in two: rows that fit a height, and the rest under the same heads; `None` when all fits.
    ///
    /// At least one row stays in the first part, so that every split makes the rest shorter.
    #[must_use]
    pub fn split(&self, height: f64) -> Option<(Self, Self)> {
        let heads = self.rows.iter().take_while(|row| row.is_head).count();
        let feet = self.rows.iter().scan(0.0, |foot, row| {
            *foot += row.height;
            Some(*foot)
        });
        let first = feet.take_while(|foot| *foot <= height).count();
        let first = first.max(heads + 1);
        if first >= self.rows.len() {
            return None;
        }
        let part = |rows: Vec<LaidRow>| Self {
            widths: self.widths.clone(),
            rows,
            pitch: self.pitch,
            cap: self.cap,
        };
        let (upper, lower) = self.rows.split_at(first);
        let again = self.rows.iter().take(heads).chain(lower);
        Some((part(upper.to_vec()), part(again.cloned().collect())))
    }

    /// Height of the heads and the first rows: fewer are not left alone at the foot of a column.
    #[must_use]
    pub fn least_height(&self) -> f64 {
        let heads = self.rows.iter().take_while(|row| row.is_head).count();
        self.rows
            .iter()
            .take(heads + TOGETHER)
            .map(|row| row.height)
            .sum()
    }

    /// Draws it from its upper left corner; returns the y of its foot.
    pub fn draw(&self, canvas: &mut Canvas, left: f64, top: f64) -> f64 {
        let right = left + self.widths.iter().sum::<f64>();
        let mut y = top;
        for row in &self.rows {
            let foot = y + row.height;
            if row.facts.is_empty() {
                self.draw_cells(canvas, row, spot(left, y));
            } else {
                let data: Vec<(&str, &str)> =
                    row.facts.iter().map(|it| (it.0, it.1.as_str())).collect();
                let ids: Vec<&str> = data.iter().map(|it| it.1).collect();
                canvas.group_with("", &ids.join(", "), &data, |canvas| {
                    self.draw_cells(canvas, row, spot(left, y));
                });
            }
            let stroke = if row.is_head {
                Pen::Edge.full()
            } else {
                Pen::Hair.full().with(Ink::Hatch)
            };
            canvas.line(stroke, spot(left, foot), spot(right, foot));
            y = foot;
        }
        y
    }

    /// The words of a row, from its upper left corner.
    fn draw_cells(&self, canvas: &mut Canvas, row: &LaidRow, from: Spot) {
        let mut x = from.x;
        let cells = row.cells.iter().zip(&row.weights).zip(&row.anchors);
        for (((lines, weight), anchor), width) in cells.zip(&self.widths) {
            let cell = Area::new(x, from.y, x + width, from.y + row.height);
            let lettered = Lettered::cap(self.cap)
                .weight(*weight)
                .anchor(*anchor)
                .within(cell);
            let at = match anchor {
                Anchor::Start => x + PADDING,
                Anchor::Middle => x + width / 2.0,
                Anchor::End => x + width - PADDING,
            };
            let mut base = from.y + f64::midpoint(self.pitch, self.cap);
            for line in lines {
                canvas.text(spot(at, base), line.clone(), lettered);
                base += self.cap * 1.6;
            }
            x += width;
        }
    }
}

/// An id, or several: a letter and a number each, such as `W101` or `O4`.
fn is_id(words: &str) -> bool {
    let is_one = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_uppercase())
            && word.ends_with(|c: char| c.is_ascii_digit())
    };
    !words.is_empty() && words.split(' ').all(is_one)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::model::Sheet;
    use crate::documents::paper::overlap::overlaps;
    use crate::documents::paper::style::SMALL_SHEET;

    #[track_caller]
    fn check(width: f64, rows: &[[&str; 3]]) -> f64 {
        let table = Table {
            columns: vec![
                Column::numbers("No."),
                Column::wrapping("Use"),
                Column::numbers("Length").bold(),
            ],
            rows: rows
                .iter()
                .map(|row| row.map(str::to_owned).into())
                .collect(),
            total: None,
            has_heads: true,
        };
        let mut canvas = Canvas::new();
        let laid = table.lay_out(&SMALL_SHEET, width);
        let foot = laid.draw(&mut canvas, 10.0, 10.0);
        assert!((foot - 10.0 - laid.height()).abs() < 1e-9);
        assert!((laid.widths.iter().sum::<f64>() - width).abs() < 1e-9);
        let sheet = Sheet {
            width: 200.0,
            height: 200.0,
            layers: vec![canvas.into_group("table", "Table")],
            ..Sheet::default()
        };
        assert_eq!(overlaps(&sheet), []);
        laid.height()
    }

    #[test]
    fn short_cells_fill_the_width_and_long_ones_wrap() {
        let one = check(80.0, &[["1", "End stud, left", "105"]]);
        let long = "Buck at the head of the opening, ripped from the next wider section";
        assert!(check(60.0, &[["1", long, "105"]]) > one);
    }

    #[test]
    fn a_mark_and_a_length_stay_whole_where_words_fit() {
        let rows = [["1 of 2 alike", "W108", "13 15/16"]
            .map(str::to_owned)
            .to_vec()];
        let mut table = Table {
            columns: vec![
                Column::words("Place"),
                Column::wrapping("Mark").bold(),
                Column::numbers("Length"),
            ],
            rows: rows.to_vec(),
            total: None,
            has_heads: false,
        };
        let narrow = table.natural_width(&SMALL_SHEET) * 0.8;
        let laid = table.lay_out(&SMALL_SHEET, narrow);
        let cells = &laid.rows[0].cells;
        assert_eq!(cells[1], ["W108"], "{cells:?}");
        assert!(
            cells[2]
                .iter()
                .all(|it| "13 15/16".split(' ').any(|word| word == it) || it == "13 15/16")
        );
        assert!((laid.widths.iter().sum::<f64>() - narrow).abs() < 1e-9);
        table.leave_out(0);
        assert_eq!((table.columns.len(), table.rows[0].len()), (2, 2));
    }

    #[test]
    fn a_word_wider_than_its_column_breaks() {
        check(40.0, &[["1", "Oberschwellenauflagerbohle", "105 15/16"]]);
    }
}
