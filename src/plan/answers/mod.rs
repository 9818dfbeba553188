//! What is asked, and what the drafter answered.

pub(super) mod alternatives;
pub(super) mod meant;
mod moved;
pub(super) mod obey;
pub(super) mod questions;
pub(super) mod strays;
