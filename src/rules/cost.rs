//! What a layout costs, in whole cents: the weights of the plant, or the price book laid over them.
//!
//! ```text
//!   plant.toml: [cost], [[lines]] ──► CostRules ◄── prices.toml, where one is given: what it states replaces a weight
//! ```

use super::assembly::Assembly;
use super::checks::Checks;
use super::plant_file::Key;
use super::prices::{Money, PriceFacts};
use super::stock_prices::StockPrices;
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::collections::BTreeMap;

/// The search finds the least sum of these, whole cents.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CostRules {
    /// The price book that was laid over the weights; `None` where none was given.
    pub book: Option<PriceFacts>,
    /// Each panel, for handling, by laminating line (same order as [`super::PlantRules::lines`]).
    pub panel: Vec<i64>,
    /// Each square foot of blank used up, its leftover included, by laminating line.
    pub blank_sq_ft: Vec<i64>,
    /// The same by assembly, from the price book: it goes before that of the line.
    pub assembly_sq_ft: BTreeMap<String, i64>,
    /// Prices of stock, from the price book; empty without one.
    pub stock: StockPrices,
    /// Each board foot of sawn lumber, from the price book.
    pub lumber_bd_ft: Option<Money>,
    /// Each foot of joint: spline, sealant, fixings.
    pub joint_ft: i64,
    /// The same of panels with one skin, whose spline is another, from the price book; it goes before `joint_ft`.
    pub liner_joint_ft: Option<i64>,
    /// Each panel that is ripped, that is, narrower than its line.
    pub rip: i64,
    /// Each panel below the preferred width.
    pub narrow: i64,
    /// Each joint nearer to an opening than preferred.
    pub near_opening: i64,
    /// Each panel too heavy to set by hand.
    pub machine_lift: i64,
    /// Each opening framed between panels instead of cut whole.
    pub framed_opening: i64,
    /// Each special: bevelled end or other cut the ordinary saw run does not make.
    pub special: i64,
    /// Each panel whose module is not a whole number of half blanks of the smallest line. Default: 0.
    pub off_module: i64,
    /// Each whole [`Self::STEP`] by which a panel's module differs from an equal share of its run. Default: 0.
    pub unequal: i64,
    /// Each whole [`Self::STEP`] of difference between the outer legs of a panel with openings. Default: 0.
    pub uneven_legs: i64,
}

/// More than any single thing may cost, cents.
pub(super) const MOST_CENTS: i64 = 100_000_000;

impl CostRules {
    /// Unequal widths and legs are counted in whole steps of this: closer, nobody sees a difference.
    pub const STEP: Length = Length::inches(6);

    /// Cents of a square foot of blank of a line and an assembly.
    #[must_use]
    pub fn sq_ft_cents(&self, line: usize, assembly: &str) -> i64 {
        let of_line = || self.blank_sq_ft.get(line).copied();
        let of_assembly = self.assembly_sq_ft.get(assembly).copied();
        of_assembly.or_else(of_line).unwrap_or_default()
    }

    /// Cents of a foot of joint between panels of an assembly.
    #[must_use]
    pub fn joint_ft_cents(&self, assembly: Option<&Assembly>) -> i64 {
        let is_liner = assembly.is_some_and(Assembly::is_liner);
        let of_liner = self.liner_joint_ft.filter(|_| is_liner);
        of_liner.unwrap_or(self.joint_ft)
    }

    /// Where the figures come from, as printed beside every cost.
    #[must_use]
    pub fn source(&self) -> String {
        match &self.book {
            Some(book) => format!("{} of {}", book.name, book.date),
            None => "the weights of the plant's rules, no price book".to_owned(),
        }
    }
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CostFile {
    joint_ft: Key<i64>,
    rip: Key<i64>,
    narrow: Key<i64>,
    near_opening: Key<i64>,
    machine_lift: Key<i64>,
    framed_opening: Key<i64>,
    special: Key<i64>,
    off_module: Key<i64>,
    unequal: Key<i64>,
    uneven_legs: Key<i64>,
}

/// Takes over what the group gives.
pub(super) fn apply_cost(file: &CostFile, to: &mut CostRules, checks: &mut Checks<'_>) {
    let all = [
        ("joint_ft", &mut to.joint_ft, &file.joint_ft),
        ("rip", &mut to.rip, &file.rip),
        ("narrow", &mut to.narrow, &file.narrow),
        ("near_opening", &mut to.near_opening, &file.near_opening),
        ("machine_lift", &mut to.machine_lift, &file.machine_lift),
        (
            "framed_opening",
            &mut to.framed_opening,
            &file.framed_opening,
        ),
        ("special", &mut to.special, &file.special),
        ("off_module", &mut to.off_module, &file.off_module),
        ("unequal", &mut to.unequal, &file.unequal),
        ("uneven_legs", &mut to.uneven_legs, &file.uneven_legs),
    ];
    for (key, target, given) in all {
        checks.number(&format!("cost.{key}"), target, given, &(0..=MOST_CENTS));
    }
}
