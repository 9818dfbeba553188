//! From an architect's plan to a building made of structural insulated panels.
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
pub mod fabrication;
pub mod findings;
pub mod geometry;
pub mod layout;
pub mod package;
pub mod plan;
pub mod rules;
mod toml_text;
pub mod units;
pub mod verify;
