//! Where walls meet, what they enclose and what lies outside: rings, outlines, courts, decks, and gaps that leave them open.

pub(super) mod assumed;
pub(super) mod completion;
pub(super) mod courts;
pub(super) mod crossed;
pub(super) mod decks;
pub(super) mod faces;
pub(super) mod fronts;
pub(super) mod glazed;
pub(super) mod heated;
pub(super) mod leftovers;
pub(super) mod lots;
pub(super) mod network;
pub(super) mod notches;
pub(super) mod open_plans;
pub(super) mod outbuildings;
pub(super) mod outline;
pub(super) mod outside;
pub(super) mod shells;
pub(super) mod wells;
