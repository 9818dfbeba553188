//! Cuts pieces from stock with few sheets, and proves how few can do.
//!
//! ```text
//!   sheets ┐   ┌ flat/problem ─► beam, values, cover ─► layout ─► CutPlan ─► replay
//!   pieces ┤ ─►│                                                    ▲
//!   saw    ┘   └ flat/bounds: area, dual functions, columns ────────┘
//!   bars, lengths ─► bars/: columns, diving ─► BarPlan
//! ```
//!
//! *Promises.* Every piece is cut, with the kerf between and the trim around; every bound is a proof in whole numbers that
//! [`check_bound`] repeats by other means; equal input gives equal plans, and the searches stop on counted work.
//!
//! *Does not do.* Units, names, trapezoids, defects in sheets: the room around it.

mod bars;
mod flat;
mod model;
mod numbers;

pub use bars::{check_bar_bound, cut_bars, replay_bars};
pub use flat::{check_bound, cut_sheets, replay};
pub use model::{
    Bar, BarBound, BarPlan, BarUse, BatchProof, Bound, CutPlan, CutSheet, DualFunction, Effort,
    FirstCut, Length1, Offcut, Piece, Placed, Proof, Saw, SawCut, Scope, Sheet, Unfit,
};
