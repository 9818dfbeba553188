//! How drawings of stock fill a sheet: as large, and in as few columns, as take no more sheets, its columns as short.

use super::CuttingInput;
use crate::documents::paper::flow::Flow;
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::style::Lettering;
use crate::documents::paper::{Area, Canvas, Lettered, spot};

/// How much larger than at least drawings may be, largest first.
pub(super) const LARGER: [f64; 6] = [3.0, 2.4, 1.9, 1.5, 1.25, 1.0];
/// Between columns, mm.
const BETWEEN: f64 = 6.0;

/// What is set on sheets by a function that gets a flow and how much larger than at least drawings may be, and says how large
/// they are: the sum of their scales.
pub(super) fn filled(input: &CuttingInput<'_>, set: impl Fn(&mut Flow, f64) -> f64) -> Vec<Canvas> {
    let paper = input.paper();
    let field = paper.field().grown(-4.0);
    let narrow = paper.columns(field, BETWEEN);
    let laid = |columns: Vec<Area>, larger: f64, head: Option<usize>| {
        let mut flow = Flow::new(columns.clone(), columns.clone(), paper.lettering);
        flow.start_sheet_with(head);
        let scales = set(&mut flow, larger);
        Laid {
            scales,
            blocks: flow.blocks().to_vec(),
            pages: flow.into_pages(),
            columns,
            larger,
        }
    };
    let most = u32::try_from(narrow.len()).unwrap_or(1);
    let fewest = (1..=most)
        .map(|count| laid(Flow::columns(field, count, BETWEEN), 1.0, None))
        .chain([laid(narrow, 1.0, None)])
        .min_by_key(|it| it.pages.len());
    let Some(mut best) = fewest else {
        return Vec::new();
    };
    let least = best.pages.len();
    // In a narrow column what may be large is not: the columns are judged by what is drawn in them.
    for count in 1..=most {
        let tries = LARGER.iter();
        let mut tries =
            tries.map(|larger| laid(Flow::columns(field, count, BETWEEN), *larger, None));
        if let Some(found) = tries.find(|it| it.pages.len() <= least)
            && (count == 1
                || found.scales > best.scales * LARGER_BY
                || found.columns.len() == best.columns.len() && found.scales >= best.scales)
        {
            best = found;
        }
    }
    // Columns end at one height on all sheets: none has one drawing only.
    let shares = (LEAST_SHARE..SHARES).map(|it| f64::from(it) / f64::from(SHARES));
    let mut shorter = shares.rev().map(|share| {
        let columns = best.columns.iter();
        let columns = columns.map(|it| Area::new(it.x0, it.y0, it.x1, it.y0 + it.height() * share));
        laid(columns.collect(), best.larger, None)
    });
    let even = shorter
        .by_ref()
        .take_while(|it| it.pages.len() <= least)
        .last();
    best = even.unwrap_or(best);
    // What does not come out even so: the last sheet takes some of the one before.
    if let [rest @ .., before, last] = best.blocks.as_slice()
        && 2 * last < *before
    {
        let head = rest.iter().sum::<usize>() + (before + last).div_ceil(2);
        let shared = laid(best.columns.clone(), best.larger, Some(head));
        if shared.pages.len() <= least {
            best = shared;
        }
    }
    best.pages
}

/// Drawings set in columns.
struct Laid {
    scales: f64,
    /// How many stand on each sheet.
    blocks: Vec<usize>,
    pages: Vec<Canvas>,
    columns: Vec<Area>,
    larger: f64,
}

/// Steps in which columns are made shorter, and the fewest that are left of them.
const SHARES: u32 = 16;
const LEAST_SHARE: u32 = 4;

/// More columns are worth drawings that are so many times larger.
const LARGER_BY: f64 = 1.01;

/// What comes apart alike in as many parts as columns of a height hold; what a column holds stays whole.
///
/// - `height`: of a part, mm; the more it has, the higher.
pub(super) fn parted<'a, T>(
    group: &'a [T],
    column: f64,
    height: impl Fn(&'a [T]) -> f64,
) -> Vec<&'a [T]> {
    let mut parts = Vec::new();
    let mut rest = group;
    while !rest.is_empty() {
        let is_too_high = |count: usize| height(&rest[..count]) > column;
        let (mut least, mut most) = (1, rest.len());
        if !is_too_high(most) {
            least = most;
        }
        while least < most {
            let middle = (least + most).div_ceil(2);
            if is_too_high(middle) {
                most = middle - 1;
            } else {
                least = middle;
            }
        }
        let (part, later) = rest.split_at(least);
        parts.push(part);
        rest = later;
    }
    parts
}

/// What a piece of stock is called, and below it what it is.
pub(super) struct Head {
    lines: Vec<(String, Lettered)>,
}

impl Head {
    /// Wrapped for a width.
    ///
    /// - `name`: which one, and how many.
    /// - `facts`: material, size, saw.
    pub(super) fn new(lettering: &Lettering, width: f64, name: &str, facts: &str) -> Self {
        let rows = [
            (name, Lettered::cap(lettering.title).bold()),
            (facts, Lettered::cap(lettering.note)),
        ];
        let lines = rows.iter().filter(|row| !row.0.is_empty());
        let lines = lines.flat_map(|(words, lettered)| {
            let wrapped = wrap(words, width - 2.0, lettered.cap, lettered.weight);
            wrapped.into_iter().map(|line| (line, *lettered))
        });
        Self {
            lines: lines.collect(),
        }
    }

    /// Height, mm.
    pub(super) fn height(&self) -> f64 {
        self.lines.iter().map(|(_, it)| it.cap * 1.6).sum()
    }

    /// Draws it at the top of an area; returns where it ends.
    pub(super) fn draw(&self, canvas: &mut Canvas, area: &Area) -> f64 {
        let mut y = area.y0;
        for (words, lettered) in &self.lines {
            y += lettered.cap * 1.6;
            canvas.text(spot(area.x0 + 1.0, y), words.clone(), *lettered);
        }
        y
    }
}

/// How many come apart alike: nothing for one.
pub(super) fn alike(count: usize) -> String {
    match count {
        0 | 1 => String::new(),
        n => format!(": cut {n} alike"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_group_is_parted_where_a_column_ends_and_loses_nothing() {
        let group: Vec<u32> = (0..144).collect();
        let height = |part: &[u32]| part.iter().fold(20.0, |sum, _| sum + 5.0);
        let parts = parted(&group, 240.0, height);
        let counts: Vec<usize> = parts.iter().map(|it| it.len()).collect();
        assert_eq!(counts, [44, 44, 44, 12]);
        assert_eq!(parts.concat(), group);
        assert_eq!(parted(&group[..9], 240.0, height), [&group[..9]]);
        // One that no column holds stands alone.
        assert_eq!(parted(&group[..2], 1.0, height).len(), 2);
    }
}
