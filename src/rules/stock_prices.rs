//! What stock costs, from the price book's `[stock]`: it says what each station's waste is worth, and nothing else.
//!
//! ```text
//!   prices.toml: [stock], materials.lumber_bd_ft ──► StockPrices ──► waste by station, in whole cents
//! ```
//!
//! What the book does not price has no amount, never none.

use super::prices::Money;
use super::{CostRules, PlantRules};
use crate::units::Length;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use schemars::JsonSchema;
use std::collections::BTreeMap;

/// Prices of stock before anything is made of it.
#[derive(Clone, Debug, Default, PartialEq, Eq, serde::Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StockPrices {
    /// Each square foot of board, by material and thickness: `"OSB 7/16"`.
    #[serde(default)]
    pub boards_sq_ft: BTreeMap<String, Money>,
    /// Each cubic foot of billet, by material: `EPS`.
    #[serde(default)]
    pub foam_cu_ft: BTreeMap<String, Money>,
    /// Each foot of a bar, by section; sawn lumber that is not here costs what `materials.lumber_bd_ft` says.
    #[serde(default)]
    pub bars_ft: BTreeMap<String, Money>,
    /// What each pound of foam that goes back to be ground is worth, by material.
    #[serde(default)]
    pub ground_lb: BTreeMap<String, Money>,
}

impl StockPrices {
    /// A square foot of board.
    #[must_use]
    pub fn board_sq_ft(&self, material: &str, thickness: Length) -> Option<Decimal> {
        let bare = |name: &str| name.replace('"', "");
        let wanted = bare(&format!("{material} {thickness}"));
        let mut boards = self.boards_sq_ft.iter();
        let found = boards.find(|(name, _)| bare(name) == wanted);
        found.map(|(_, price)| price.0)
    }
}

impl PlantRules {
    /// What a foot of bar costs by the price book: its section's own price, else that of its nominal board feet.
    #[must_use]
    pub fn bar_ft(&self, section: &str) -> Option<Decimal> {
        if let Some(price) = self.cost.stock.bars_ft.get(section) {
            return Some(price.0);
        }
        let sawn = self.lumber.sections.get(section)?;
        let nominal = Decimal::from(sawn.nominal_thickness) * Decimal::from(sawn.nominal_width);
        Some(self.cost.lumber_bd_ft?.0 * nominal / Decimal::from(12))
    }
}

impl CostRules {
    /// A measured amount at a rate, to the nearest cent, halves up.
    #[must_use]
    pub fn amount_cents(amount: f64, rate: Decimal) -> Option<i64> {
        let half_up = rust_decimal::RoundingStrategy::MidpointAwayFromZero;
        let amount = Decimal::from_f64_retain(amount)?.round_dp(6);
        let cents = amount
            .checked_mul(rate)?
            .checked_mul(Decimal::ONE_HUNDRED)?;
        cents.round_dp_with_strategy(0, half_up).to_i64()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::read_prices;

    const BOOK: &str = "name = 'Demo'\ndate = '2026-11-01'\ncurrency = '$'\n[panels]\n[materials]\nlumber_bd_ft = '0.95'\n\
        [stock]\nboards_sq_ft = { 'OSB 7/16' = '0.62' }\nbars_ft = { 'I-joist' = '3.10' }\n";

    #[test]
    fn a_foot_of_lumber_costs_its_nominal_board_feet_and_other_members_what_the_book_says() {
        let mut rules = PlantRules::default();
        assert_eq!(rules.bar_ft("2x6"), None);
        rules.price_by(&read_prices(BOOK, "prices.toml").unwrap());
        // A foot of 2x6 is one board foot by definition.
        assert_eq!(rules.bar_ft("2x6").unwrap().normalize().to_string(), "0.95");
        assert_eq!(rules.bar_ft("I-joist").unwrap().to_string(), "3.10");
        assert_eq!(rules.bar_ft("something else"), None);
        let stock = &rules.cost.stock;
        let seven = Length::fraction(0, 7, 16);
        assert_eq!(stock.board_sq_ft("OSB", seven).unwrap().to_string(), "0.62");
        assert_eq!(stock.board_sq_ft("OSB", Length::inches(1)), None);
        // By hand: 12.5 sq ft at 0.62 are 7.75.
        assert_eq!(
            CostRules::amount_cents(12.5, Decimal::new(62, 2)),
            Some(775)
        );
    }
}
