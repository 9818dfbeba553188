//! Walls that cannot be panelled: no panel is made of them, and every sheet that shows where they stand says so.

use super::plan_view::short_list;
use crate::building::Building;
use crate::layout::{Layout, WallLayout};

/// True when no panel is made of a wall.
pub(crate) const fn is_left_out(run: &WallLayout) -> bool {
    run.run.is_empty()
}

/// Names of such walls in the building's order, of one storey or of all.
pub(crate) fn left_out(building: &Building, layout: &Layout, storey: Option<usize>) -> Vec<String> {
    let runs = layout.walls.iter().filter(|run| is_left_out(run));
    let walls = runs.filter_map(|run| building.walls.get(run.wall));
    let walls = walls.filter(|wall| storey.is_none_or(|it| wall.storey_index == it));
    walls.map(|wall| wall.name.clone()).collect()
}

/// What the title block says of them beside HOLD.
pub(crate) fn hold_words(names: &[String]) -> Option<String> {
    (!names.is_empty()).then(|| format!("{}: no panels made", short_list(names, 6)))
}

/// What the cautions say of them.
pub(crate) fn caution(names: &[String]) -> Option<String> {
    let words = hold_words(names)?;
    Some(format!(
        "{words}. The building does not close there until the questions from Z-021 on are answered: brace what meets it."
    ))
}
