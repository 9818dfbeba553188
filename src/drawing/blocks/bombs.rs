//! Insertions that would unfold to more than any plan: told and left out before they are unfolded, so that the rest is read.
//!
//! ```text
//!   A holds 10 of B, B 10 of C, C 10 of D, … ──►  what each block unfolds to, from the innermost out  ──►  one block is too much
//! ```

use crate::drawing::blocks::unfold::Unfolding;
use crate::drawing::codes;
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::shape::{Insertion, Shape};
use crate::drawing::file::contents::{Contents, Record};
use crate::findings::Finding;

/// Blocks of one way that are named; drawings nest less deep.
const LONGEST_PATH: usize = 16;
/// Insertions that one insertion may unfold to; a sheet has a few thousand in all.
const MOST_IN_ONE: f64 = 20_000.0;

impl Unfolding<'_> {
    /// True, with a fault the first time, where an insertion would unfold to too many.
    pub(super) fn is_bomb(
        &mut self,
        record: &Record,
        insertion: &Insertion,
        block_index: usize,
    ) -> bool {
        let (contents, readings) = (self.contents, self.readings);
        let sizes = self.sizes.entry(self.part);
        let sizes = sizes.or_insert_with(|| sizes_of(contents, readings));
        let size = sizes.get(block_index).copied().unwrap_or(1.0);
        let n_all = cells(insertion) * size;
        if n_all <= MOST_IN_ONE {
            return false;
        }
        let path = heaviest(contents, readings, sizes, block_index);
        let way = if path.is_empty() {
            String::new()
        } else {
            format!(", most of them by way of '{}'", path.join("' > '"))
        };
        let name = &insertion.name;
        if self.missing.insert(format!("too many of {name}")) {
            self.flat.findings.push(Finding::fault(
                codes::TOO_MUCH,
                self.place_of(record),
                format!(
                    "the block '{name}' placed here unfolds to {n_all:.0} insertions{way}, more than {MOST_IN_ONE:.0}: it was left out wherever it does"
                ),
                "look for a block nested in itself many times over or an array of very many, purge it, and save the drawing again",
            ));
        }
        true
    }
}

fn cells(insertion: &Insertion) -> f64 {
    insertion.count.iter().map(|n| f64::from(*n)).product()
}

/// Of a block, those that it unfolds to most of, each held by the one before: to the last that holds another.
fn heaviest<'a>(
    contents: &Contents<'_>,
    readings: &'a [Option<Reading>],
    sizes: &[f64],
    block: usize,
) -> Vec<&'a str> {
    let mut path = Vec::new();
    let mut at = block;
    while path.len() < LONGEST_PATH {
        let Some(own) = contents.blocks.get(at) else {
            break;
        };
        let own = readings.get(own.records.clone()).unwrap_or_default();
        let held = own.iter().filter_map(|reading| match reading {
            Some(Reading::Shape(Shape::Insert(it))) => {
                let inner = *contents.block_by_name.get(&it.name.to_uppercase())?;
                let size = sizes.get(inner).copied().unwrap_or(1.0);
                (size > 1.0).then_some((it.name.as_str(), inner, cells(it) * size))
            }
            _ => None,
        });
        // Of equals the first.
        let Some((name, inner, _)) = held.reduce(|best, it| if it.2 > best.2 { it } else { best })
        else {
            break;
        };
        path.push(name);
        at = inner;
    }
    path
}

/// Of each block, how many insertions one of it unfolds to, itself counted; 1 for what holds itself or holds such a block.
fn sizes_of(contents: &Contents<'_>, readings: &[Option<Reading>]) -> Vec<f64> {
    let n_blocks = contents.blocks.len();
    let mut sizes = vec![1.0; n_blocks];
    // Of each block: those that hold it, each with how many cells.
    let mut holders: Vec<Vec<(usize, f64)>> = vec![Vec::new(); n_blocks];
    let mut n_open = vec![0_usize; n_blocks];
    for (outer, block) in contents.blocks.iter().enumerate() {
        let own = readings.get(block.records.clone()).unwrap_or_default();
        for reading in own {
            if let Some(Reading::Shape(Shape::Insert(it))) = reading
                && let Some(inner) = contents.block_by_name.get(&it.name.to_uppercase())
            {
                holders[*inner].push((outer, cells(it)));
                n_open[outer] += 1;
            }
        }
    }
    let mut ready: Vec<usize> = (0..n_blocks).filter(|it| n_open[*it] == 0).collect();
    while let Some(inner) = ready.pop() {
        for (outer, n_cells) in std::mem::take(&mut holders[inner]) {
            sizes[outer] += n_cells * sizes[inner];
            n_open[outer] -= 1;
            if n_open[outer] == 0 {
                ready.push(outer);
            }
        }
    }
    for (size, n) in sizes.iter_mut().zip(n_open) {
        if n > 0 {
            *size = 1.0;
        }
    }
    sizes
}
