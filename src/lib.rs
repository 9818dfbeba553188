//! From an architect's plan to a building made of structural insulated panels.
//!
//! ```text
//!  plan.dxf ─┐
//!  sketch ───┤ drawing ──► plan ──► building ──► layout ──► fabrication ──► documents ──► files of a package
//!  job.toml ─┴─────────► rules ───────┴────────────┴─────────────┘              │
//!                                                        verify ◄── the files, nothing else
//! ```
//!
//! *Promises.* Data flows one way, and each room hands on plain data with what it noticed ([`findings::Outcome`]). Up to
//! `plan` lengths are floating-point inches with named tolerances, from `building` on they are exact ([`units::Length`]).
//! Same input, same bytes. No input makes it panic.
//!
//! *Does not do.* Touching a disk, printing, knowing the time: that is the program's own `cli`.
//!
//! [`package::make`] runs the whole line.
#![cfg_attr(
    test,
    allow(
        clippy::unwrap_used,
        clippy::float_cmp,
        reason = "a test may stop at the first surprise"
    )
)]

pub mod building;
pub mod documents;
pub mod drawing;
pub mod estimate;
pub mod fabrication;
pub mod findings;
pub mod geometry;
pub mod layout;
pub mod loads;
pub mod package;
pub mod plan;
pub mod quote;
pub mod review;
pub mod rules;
mod side_by_side;
pub mod stock;
mod toml_text;
pub mod units;
pub mod verify;
