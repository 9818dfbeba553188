//! The stacks of a truck as lists, from the top down, so that the first row comes off first; then the loose goods, all of them.
//! No list is cut between columns where none has to be for the number of sheets; one that is cut has its heads again.

use super::LoadSheetInput;
use crate::documents::paper::flow::Flow;
use crate::documents::paper::table::{Column, Table};
use crate::documents::paper::{Area, Canvas};
use crate::documents::plan_view::grouped;
use crate::loads::{Bundle, Stack, Truck};
use crate::units::counted;

/// Least width of a list, in heights of a note.
const COLUMN: f64 = 39.0;

/// Between columns, mm.
const BETWEEN: f64 = 4.0;

/// What stands below the views of the first sheet, and on every further one.
pub(super) fn pages(
    input: &LoadSheetInput<'_>,
    truck: &Truck,
    field: &Area,
    foot: f64,
) -> Vec<Canvas> {
    let room = field.grown(-3.0);
    let below = Area::new(room.x0, foot, room.x1, room.y1);
    let lettering = input.paper().lettering;
    let least = lettering.note * COLUMN;
    let many = |fits: &dyn Fn(f64) -> bool| {
        let many = (1_u32..).take_while(|n| fits(f64::from(*n)));
        many.last().unwrap_or(1)
    };
    let bundles = input.loose_on(truck);
    let stacks: Vec<Table> = truck.stacks.iter().map(|it| table(input, it)).collect();
    let goods = loose(&bundles);
    let widths = stacks.iter().chain([&goods]);
    let natural = widths
        .map(|it| it.natural_width(&lettering))
        .fold(0.0, f64::max);
    let set = |many: u32, kept: Kept| {
        let columns = |area| Flow::columns(area, many, BETWEEN);
        let mut flow = Flow::new(columns(below), columns(room), lettering);
        flow.keep_tables(kept == Kept::All);
        for (stack, list) in truck.stacks.iter().zip(&stacks) {
            let remark = format!(
                "{} high, {} lb, {}",
                stack.height,
                grouped(stack.weight_lb()),
                counted(stack.tie_downs as usize, "tie-down")
            );
            flow.table(&stack.name, &remark, list);
        }
        flow.keep_tables(kept != Kept::Nothing);
        if !bundles.is_empty() {
            flow.table("LOOSE GOODS", "pieces on each bundle's label", &goods);
        }
        flow.into_pages()
    };
    // A loader reads a stack from the top down: it stands in one column where that takes no further sheet.
    // Columns are as narrow as the lists by themselves where that saves one.
    let counts = [
        many(&|n| n * least <= field.width()),
        many(&|n| n * (natural + BETWEEN) <= room.width() + BETWEEN),
    ];
    let cut = counts.map(|many| (set(many, Kept::Nothing), many));
    let Some((cut, many)) = cut.into_iter().min_by_key(|it| it.0.len()) else {
        return Vec::new();
    };
    let kept = [Kept::All, Kept::Loose].into_iter();
    let kept = kept.map(|kept| set(many, kept));
    let mut kept = kept.filter(|pages| pages.len() <= cut.len());
    kept.next().unwrap_or(cut)
}

/// Which lists are not cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kept {
    All,
    Loose,
    Nothing,
}

fn table(input: &LoadSheetInput<'_>, stack: &Stack) -> Table {
    let rows = stack.panels.iter().rev().map(|it| {
        let is_held = input.panel(&it.mark).is_some_and(|panel| panel.is_held());
        vec![
            stack.place_of(it),
            if is_held {
                format!("{} HOLD", it.mark)
            } else {
                it.mark.clone()
            },
            it.erection.to_string(),
            format!("{} × {}", it.length.feet_inches(), it.width.feet_inches()),
            grouped(it.weight_lb),
        ]
    });
    Table {
        columns: vec![
            Column::numbers("Layer"),
            Column::wrapping("Mark").bold().naming("panel"),
            Column::numbers("Erect"),
            Column::words("Size"),
            Column::numbers("lb"),
        ],
        rows: rows.collect(),
        total: None,
        has_heads: true,
    }
}

fn loose(bundles: &[&Bundle]) -> Table {
    let pieces: usize = bundles.iter().map(|it| it.pieces.len()).sum();
    let weight = bundles.iter().fold(0.0, |sum, it| sum + it.weight_lb());
    let rows = bundles.iter().map(|it| {
        vec![
            it.name.clone(),
            it.pieces.len().to_string(),
            grouped(it.weight_lb()),
        ]
    });
    Table {
        columns: vec![
            Column::wrapping("Bundle").bold(),
            Column::numbers("Pieces"),
            Column::numbers("lb"),
        ],
        rows: rows.collect(),
        total: Some(vec![
            "Total".to_owned(),
            pieces.to_string(),
            grouped(weight),
        ]),
        has_heads: true,
    }
}
