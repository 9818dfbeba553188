//! Cuts pieces from stock with few sheets, and proves how few can do.
//!
//! ```text
//!   sheets ┐     ┌ flat/bound: area, dual functions ─┐ columns: values ──► bound ──► check_bound
//!   pieces ┤ ──► problem ─► search: beam, rework ─► pattern ─► CutPlan ──► replay
//!   saw    ┘     (kerf counted into every side)
//!   bars, lengths ─► bars/: columns, dive, finish ─► BarPlan ──► replay_bars, check_bar_bound
//! ```
//!
//! *Promises.* Every piece is cut, with the kerf between and the trim around; every bound is a proof in whole numbers that
//! [`check_bound`] repeats by other means; equal input gives equal plans, and the searches stop on counted work.
//!
//! *Does not do.* Units, names, trapezoids, defects in sheets: the room around it.

mod bars;
mod filling;
mod flat;
mod master;
mod model;
mod numbers;
mod tally;

pub use bars::{bar_cost_bound, check_bar_bound, cut_bars, replay_bars};
pub use flat::{check_bound, cost_bound, cut_sheets, replay};
pub use model::{
    Bar, BarBound, BarPlan, BarUse, BatchProof, Bound, CutPlan, CutSheet, DualFunction, Effort,
    FirstCut, Length1, Offcut, Piece, Placed, Proof, Saw, SawCut, Scope, Sheet, Unfit,
};
