//! Rooms, and what stands in them or against them and is no wall of theirs.

pub(super) mod fireboxes;
pub(super) mod fitments;
pub(super) mod loose;
pub(super) mod loose_furniture;
pub(super) mod niches;
pub(super) mod rooms;
pub(super) mod standing;
