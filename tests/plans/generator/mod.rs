//! Invents houses and draws them as offices do: the same number gives the same plan.
#![allow(
    dead_code,
    reason = "the tests, the program that writes plans and the bench each use a part"
)]

pub(crate) mod errors;
pub(crate) mod fittings;
pub(crate) mod house;
pub(crate) mod plan;
pub(crate) mod plane;
pub(crate) mod random;
pub(crate) mod rest;
pub(crate) mod sheet;
pub(crate) mod style;
pub(crate) mod traps;
pub(crate) mod walls;
