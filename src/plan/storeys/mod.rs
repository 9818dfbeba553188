//! The plans of a sheet: which things on it are plans, which storey each is, and how they lie over each other.

pub(super) mod clusters;
mod overlay;
pub(super) mod pictures;
pub(super) mod register;
pub(super) mod scales;
pub(super) mod several;
pub(super) mod variants;
pub(super) mod views;
