//! How one sheet is cut, as the searches hold it, and its unfolding into places, cuts and offcuts.

use super::super::model::{CutSheet, Offcut, Placed, SawCut};
use super::super::numbers::real;
use super::problem::Problem;

/// Where the next piece goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Slot {
    /// In the current row, beside the last piece.
    Beside,
    /// In a new row of the current strip.
    Row,
    /// In a new strip of the current sheet.
    Strip,
    /// In a new sheet of this kind and frame.
    Sheet,
}

/// One sheet: pieces in the order they are laid. The first opens a strip.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Pattern {
    pub(super) kind: usize,
    pub(super) frame: usize,
    /// Slot, and index into the uses of the frame.
    pub(super) moves: Vec<(Slot, usize)>,
}

/// A row: its height, and its pieces.
type Row = (i64, Vec<usize>);

impl Pattern {
    /// Area of the pieces on it.
    pub(super) fn filled(&self, problem: &Problem) -> f64 {
        let uses = &problem.uses[self.frame];
        self.moves.iter().map(|(_, it)| uses[*it].area).sum()
    }

    /// Types on it, one entry a piece, sorted.
    pub(super) fn types(&self, problem: &Problem) -> Vec<usize> {
        let uses = &problem.uses[self.frame];
        let mut types: Vec<usize> = self.moves.iter().map(|(_, it)| uses[*it].of).collect();
        types.sort_unstable();
        types
    }

    /// Area behind the front, as a beam search prices the last sheet: whole strips, whole rows, and what is used of the last row.
    pub(super) fn front_area(&self, problem: &Problem, height: i64) -> f64 {
        let uses = &problem.uses[self.frame];
        let strips = self.strips(problem);
        let Some(((width, rows), closed)) = strips.split_last() else {
            return 0.0;
        };
        let Some(((row_height, row), below)) = rows.split_last() else {
            return 0.0;
        };
        let start: i64 = closed.iter().map(|it| it.0).sum();
        let low: i64 = below.iter().map(|it| it.0).sum();
        let filled: i64 = row.iter().map(|it| uses[*it].w).sum();
        real(start) * real(height) + real(*width) * real(low) + real(filled) * real(*row_height)
    }

    /// Strips of rows: the strip's width with each.
    fn strips(&self, problem: &Problem) -> Vec<(i64, Vec<Row>)> {
        let uses = &problem.uses[self.frame];
        let mut strips: Vec<(i64, Vec<Row>)> = Vec::new();
        for (slot, it) in &self.moves {
            if matches!(slot, Slot::Strip | Slot::Sheet) || strips.is_empty() {
                strips.push((0, Vec::new()));
            }
            let Some((width, rows)) = strips.last_mut() else {
                continue;
            };
            if *slot != Slot::Beside || rows.is_empty() {
                rows.push((0, Vec::new()));
            }
            if let Some((height, row)) = rows.last_mut() {
                row.push(*it);
                *height = uses[*it].h.max(*height);
                *width = row.iter().map(|it| uses[*it].w).sum::<i64>().max(*width);
            }
        }
        strips
    }

    /// Strips of rows; a strip that is one row of full height is as many strips as it has pieces, so that what comes apart alike is cut
    /// alike, from the datum on.
    fn parted(&self, problem: &Problem, up: i64) -> Vec<(i64, Vec<Row>)> {
        let uses = &problem.uses[self.frame];
        let strips = self.strips(problem).into_iter();
        let parted = strips.flat_map(|(width, rows)| match rows.as_slice() {
            [(height, row)] if *height >= up => {
                let alone = |it: &usize| (uses[*it].w, vec![(uses[*it].h, vec![*it])]);
                row.iter().map(alone).collect()
            }
            _ => vec![(width, rows)],
        });
        parted.collect()
    }

    /// Extent used along the first and second axis, kerf counted.
    pub(super) fn extent(&self, problem: &Problem) -> (i64, i64) {
        let strips = self.strips(problem);
        let high = |rows: &Vec<Row>| rows.iter().map(|it| it.0).sum();
        (
            strips.iter().map(|it| it.0).sum(),
            strips.iter().map(|it| high(&it.1)).max().unwrap_or(0),
        )
    }

    /// Places, cuts and offcuts, in the units given. `next` hands out pieces of a type.
    pub(super) fn unfold(
        &self,
        problem: &Problem,
        mut next: impl FnMut(usize) -> usize,
    ) -> CutSheet {
        let kind = &problem.kinds[self.kind];
        let uses = &problem.uses[self.frame];
        let (across, up) = problem.extent(self.kind, self.frame);
        let mut bench = Bench {
            sheet: CutSheet {
                sheet: kind.sheet,
                pieces: Vec::new(),
                cuts: Vec::new(),
                offcuts: Vec::new(),
            },
            frame: self.frame,
            unit: problem.unit,
            kerf: problem.saw.kerf,
            trim: problem.saw.trim,
        };
        let mut x = 0;
        for (width, rows) in self.parted(problem, up) {
            bench.cut_upright(x + width, 0, up, across, 1);
            let mut y = 0;
            for (height, row) in rows {
                bench.cut_level(y + height, x, x + width, up, 2);
                let mut at = x;
                for it in row {
                    let laid = uses[it];
                    bench.cut_upright(at + laid.w, y, y + height, x + width, 3);
                    bench.cut_level(y + laid.h, at, at + laid.w, y + height, 4);
                    bench.place(next(laid.of), at, y, laid.turned);
                    bench.keep(at, y + laid.h, at + laid.w, y + height);
                    at += laid.w;
                }
                bench.keep(at, y, x + width, y + height);
                y += height;
            }
            bench.keep(x, y, x + width, up);
            x += width;
        }
        bench.keep(x, 0, across, up);
        bench.sheet
    }
}

/// Writes a sheet in the caller's units and axes. Every rectangle here carries one kerf beyond its right and upper edge.
struct Bench {
    sheet: CutSheet,
    frame: usize,
    unit: i64,
    kerf: i64,
    trim: i64,
}

impl Bench {
    fn point(&self, first: i64, second: i64, less: (i64, i64)) -> (i64, i64) {
        let first = first * self.unit + self.trim - less.0;
        let second = second * self.unit + self.trim - less.1;
        if self.frame == 0 {
            (first, second)
        } else {
            (second, first)
        }
    }

    /// A cut across the first axis that frees what ends at `at`, unless the rectangle ends there too.
    fn cut_upright(&mut self, at: i64, from: i64, to: i64, end: i64, stage: u8) {
        if at < end {
            let from = self.point(at, from, (self.kerf, 0));
            let to = self.point(at, to, (self.kerf, self.kerf));
            self.sheet.cuts.push(SawCut { from, to, stage });
        }
    }

    fn cut_level(&mut self, at: i64, from: i64, to: i64, end: i64, stage: u8) {
        if at < end {
            let from = self.point(from, at, (0, self.kerf));
            let to = self.point(to, at, (self.kerf, self.kerf));
            self.sheet.cuts.push(SawCut { from, to, stage });
        }
    }

    fn place(&mut self, piece: usize, first: i64, second: i64, turned: bool) {
        let (x, y) = self.point(first, second, (0, 0));
        self.sheet.pieces.push(Placed {
            piece,
            x,
            y,
            turned,
        });
    }

    fn keep(&mut self, left: i64, low: i64, right: i64, high: i64) {
        let (x, y) = self.point(left, low, (0, 0));
        let (right, high) = self.point(right, high, (self.kerf, self.kerf));
        if right > x && high > y {
            self.sheet.offcuts.push(Offcut {
                x,
                y,
                width: right - x,
                height: high - y,
            });
        }
    }
}
