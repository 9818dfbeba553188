//! Sheets, their windows and titles: which views a drawing shows, and storeys that lie over each other in the model.

pub(super) mod levels;
pub(super) mod sheet;
pub(super) mod stacked;
pub(super) mod survey;
pub(super) mod titles;
pub(super) mod variants;
pub(super) mod views;
