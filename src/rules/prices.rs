//! The price book, `prices.toml`: what things cost, with a date. Money is written in quotes and held as decimals, never as binary
//! fractions.
//!
//! ```text
//!   prices.toml ──► Prices ──┬──► what a layout costs, in whole cents (`PlantRules::price_by`), and what waste is worth
//!                            └──► a quote
//! ```
//!
//! Rules owns it; layout, stock and estimate share it. Without one, layouts are weighed by the plant's `[cost]` and `[[lines]]`.

use super::{PlantRules, RulesError, SplineKind, StockPrices};
use crate::toml_text::{Text, read_typed};
use crate::units::Length;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use serde_json::Value;
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::fmt;

/// An amount, in quotes: `"12.50"`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Money(pub Decimal);

struct MoneyVisitor;

impl Visitor<'_> for MoneyVisitor {
    type Value = Money;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("an amount in quotes, such as \"12.50\"")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Money, E> {
        let amount: Decimal = text
            .trim()
            .parse()
            .map_err(|_| E::custom(format!("'{text}' is no amount; write it like \"12.50\"")))?;
        if amount.is_sign_negative() || amount > Decimal::from(100_000_000) || amount.scale() > 6 {
            return Err(E::custom(format!(
                "'{text}' lies outside 0 to 100,000,000 with six decimals"
            )));
        }
        Ok(Money(amount))
    }

    fn visit_i64<E: Error>(self, number: i64) -> Result<Money, E> {
        self.visit_str(&number.to_string())
    }
}

impl<'de> Deserialize<'de> for Money {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(MoneyVisitor)
    }
}

impl JsonSchema for Money {
    fn schema_name() -> Cow<'static, str> {
        "Money".into()
    }

    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": ["string", "integer"],
            "pattern": "^[0-9]+(\\.[0-9]{1,6})?$",
            "description": "An amount in quotes, such as \"12.50\", or a whole number."
        })
    }
}

/// The price book of panelwright: what layouts, waste and quotes are priced by.
#[derive(Clone, Debug, PartialEq, serde::Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Prices {
    /// Name of the list, printed on the quote.
    pub name: String,
    /// Date of the list, YYYY-MM-DD, printed on the quote.
    pub date: String,
    /// Sign printed before amounts.
    pub currency: String,
    /// Each gross square foot of panel, by assembly.
    pub panels: BTreeMap<String, Money>,
    /// Each foot of joint, by kind of spline: block, surface, single lumber, double lumber, thermal post, I-joist.
    #[serde(default)]
    pub splines: BTreeMap<String, Money>,
    /// Materials.
    #[serde(default)]
    pub materials: Materials,
    /// Labour in the plant.
    #[serde(default)]
    pub labour: Labour,
    /// Freight.
    #[serde(default)]
    pub freight: Freight,
    /// Stock: what waste is worth.
    #[serde(default)]
    pub stock: StockPrices,
    /// How far things may be off.
    #[serde(default)]
    pub range: Range,
    /// What a layout costs beyond material and hours; what is left out keeps the weight of the plant's `[cost]`.
    #[serde(default)]
    pub layout: LayoutPrices,
}

/// What the price book says of itself.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PriceFacts {
    /// Its name.
    pub name: String,
    /// Its date.
    pub date: String,
    /// Sign before an amount.
    pub currency: String,
}

/// Prices of a layout, as the keys of the plant's `[cost]`.
#[derive(Clone, Debug, Default, PartialEq, serde::Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LayoutPrices {
    /// Each panel that is narrower than its line.
    pub rip: Option<Money>,
    /// Each panel below the preferred width.
    pub narrow: Option<Money>,
    /// Each joint nearer to an opening than preferred.
    pub near_opening: Option<Money>,
    /// Each panel too heavy to set by hand.
    pub machine_lift: Option<Money>,
    /// Each opening framed between panels.
    pub framed_opening: Option<Money>,
    /// Each pier of solid lumber.
    pub pier: Option<Money>,
    /// Each joint of an upper storey that stands over none.
    pub unaligned: Option<Money>,
    /// Each issued panel that is not made again as it was.
    pub issued_panel: Option<Money>,
    /// The same of one that is released, cut or shipped.
    pub locked_panel: Option<Money>,
    /// Each panel off the module.
    pub off_module: Option<Money>,
    /// Each whole 6 in by which a panel is narrower or wider than an equal share of its run.
    pub unequal: Option<Money>,
    /// Each whole 6 in of difference between the legs beside a panel's openings.
    pub uneven_legs: Option<Money>,
}

/// Prices of materials.
#[derive(Clone, Debug, Default, PartialEq, serde::Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Materials {
    /// Each board foot of plates, studs and bucks.
    pub lumber_bd_ft: Option<Money>,
    /// Each board foot of headers.
    pub header_bd_ft: Option<Money>,
    /// Each foot of a ply of laminated veneer lumber.
    pub lvl_ft: Option<Money>,
    /// Each foot of a header made of panel.
    pub sip_header_ft: Option<Money>,
    /// Each nail.
    pub nail: Option<Money>,
    /// Each panel screw.
    pub screw: Option<Money>,
    /// Each foot of sealant bead.
    pub sealant_ft: Option<Money>,
}

/// Hours and their rate.
#[derive(Clone, Debug, Default, PartialEq, serde::Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Labour {
    /// Each hour.
    pub rate: Option<Money>,
    /// Hours for each panel.
    pub panel: Option<Money>,
    /// Hours for each opening.
    pub opening: Option<Money>,
    /// Hours for each panel with a bevelled end.
    pub special: Option<Money>,
}

/// Freight.
#[derive(Clone, Debug, Default, PartialEq, serde::Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Freight {
    /// Each load.
    pub load: Option<Money>,
    /// Each mile of each load.
    pub mile: Option<Money>,
    /// Miles taken when nobody says how far.
    pub miles: Option<Money>,
}

/// Per cents by which a total may be off.
#[derive(Clone, Debug, Default, PartialEq, serde::Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Range {
    /// The prices themselves, of the total, each way.
    #[serde(default, deserialize_with = "per_cent")]
    pub prices: Option<Money>,
    /// Each open question of recovery, of the total, each way.
    #[serde(default, deserialize_with = "per_cent")]
    pub question: Option<Money>,
    /// Headers that no engineer has sized, of their price, upwards.
    #[serde(default, deserialize_with = "per_cent")]
    pub unsized_headers: Option<Money>,
    /// Assumed miles, of the price of the way, each way.
    #[serde(default, deserialize_with = "per_cent")]
    pub miles: Option<Money>,
}

/// A share of a whole: no more than all of it.
fn per_cent<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Option<Money>, D::Error> {
    let rate = Money::deserialize(deserializer)?;
    if rate.0 > Decimal::ONE_HUNDRED {
        let message = format!("{} per cent is more than the whole; write 0 to 100", rate.0);
        return Err(D::Error::custom(message));
    }
    Ok(Some(rate))
}

impl Prices {
    /// What the file says of itself.
    #[must_use]
    pub fn facts(&self) -> PriceFacts {
        PriceFacts {
            name: self.name.clone(),
            date: self.date.clone(),
            currency: self.currency.clone(),
        }
    }
}

impl PlantRules {
    /// Lays a price book over the weights of `[cost]` and `[[lines]]`: what it states replaces them.
    ///
    /// - A square foot of blank costs what a gross square foot of panel of that assembly does, whatever the line.
    /// - A foot of joint: the spline of its assembly, four beads of sealant, and four rows of nails, where the spline has a price.
    /// - A panel and a special: their hours.
    pub fn price_by(&mut self, prices: &Prices) {
        let cost = &mut self.cost;
        cost.book = Some(prices.facts());
        cost.stock = prices.stock.clone();
        cost.lumber_bd_ft = prices.materials.lumber_bd_ft;
        let by_assembly = prices.panels.iter();
        cost.assembly_sq_ft = by_assembly
            .filter_map(|(name, price)| Some((name.clone(), whole_cents(price.0)?)))
            .collect();
        let materials = &prices.materials;
        let of = |price: Option<Money>| price.map_or(Decimal::ZERO, |it| it.0);
        let nails_per_foot = Decimal::from(4 * 12 * Length::inches(1).to_nanometres())
            .checked_div(Decimal::from(self.fixings.nail_spacing.to_nanometres()));
        let foot = |spline: SplineKind| {
            let spline = prices.splines.get(spline.name())?;
            let nails = of(materials.nail) * nails_per_foot.unwrap_or_default();
            Some(Money(
                spline.0 + Decimal::from(4) * of(materials.sealant_ft) + nails,
            ))
        };
        let mut of_liner = cost.liner_joint_ft.unwrap_or(cost.joint_ft);
        take(&mut of_liner, foot(self.joints.liner_spline));
        cost.liner_joint_ft = Some(of_liner);
        take(&mut cost.joint_ft, foot(self.joints.spline));
        let labour = &prices.labour;
        let hours = |hours: Option<Money>| Some(Money(hours?.0 * labour.rate?.0));
        for panel in &mut cost.panel {
            take(panel, hours(labour.panel));
        }
        take(&mut cost.special, hours(labour.special));
        let layout = &prices.layout;
        take(&mut cost.rip, layout.rip);
        take(&mut cost.narrow, layout.narrow);
        take(&mut cost.near_opening, layout.near_opening);
        take(&mut cost.machine_lift, layout.machine_lift);
        take(&mut cost.framed_opening, layout.framed_opening);
        take(&mut cost.off_module, layout.off_module);
        take(&mut cost.unequal, layout.unequal);
        take(&mut cost.uneven_legs, layout.uneven_legs);
        take(&mut self.piers.cents, layout.pier);
        take(&mut self.alignment.cents, layout.unaligned);
        take(&mut self.revisions.issued_panel, layout.issued_panel);
        take(&mut self.revisions.locked_panel, layout.locked_panel);
    }
}

/// Takes a price that is stated, in whole cents.
fn take(cents: &mut i64, price: Option<Money>) {
    if let Some(price) = price.and_then(|price| whole_cents(price.0)) {
        *cents = price;
    }
}

/// To the nearest cent, halves up; no more than `[cost]` may say. `None` for what is below nothing.
fn whole_cents(amount: Decimal) -> Option<i64> {
    let half_up = rust_decimal::RoundingStrategy::MidpointAwayFromZero;
    let cents = (amount * Decimal::ONE_HUNDRED).round_dp_with_strategy(0, half_up);
    let cents = cents.to_i64()?;
    (cents >= 0).then_some(cents.min(super::cost::MOST_CENTS))
}

/// The JSON Schema of `prices.toml`.
#[must_use]
pub fn prices_schema() -> Value {
    schemars::schema_for!(Prices).to_value()
}

/// Reads a prices file.
///
/// ```
/// use panelwright::rules::read_prices;
/// let text = "name = 'Demo'\ndate = '2026-11-01'\ncurrency = '$'\n[panels]\n'6-1/2' = '7.25'";
/// let prices = read_prices(text, "prices.toml").unwrap();
/// assert_eq!(prices.panels["6-1/2"].0.to_string(), "7.25");
/// let error = read_prices(&text.replace("'7.25'", "7.25"), "prices.toml").unwrap_err();
/// assert!(error.to_string().contains("in quotes"), "{error}");
/// ```
///
/// # Errors
/// [`RulesError`] with the line of each mistake: a misspelt key, money that is a binary fraction, a date that is none.
pub fn read_prices(text: &str, file: &str) -> Result<Prices, RulesError> {
    let whole = Text { file, text };
    let prices: Prices = read_typed(whole, &prices_schema())?;
    if !crate::units::is_date(&prices.date) {
        let offset = text.find("date").unwrap_or_default();
        let message = format!("date is '{}'", prices.date);
        return Err(vec![whole.mistake(offset, message, "write YYYY-MM-DD")].into());
    }
    Ok(prices)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOOK: &str = "name = 'Demo'\ndate = '2026-11-01'\ncurrency = '$'\n[panels]\n'6-1/2' = '7.25'\n[splines]\nblock = '1.10'\n\
        [materials]\nsealant_ft = '0.22'\nnail = '0.03'\n[labour]\nrate = '46.00'\npanel = '0.6'\n[layout]\nrip = '12'\n";

    #[test]
    fn what_the_book_states_replaces_the_weights_and_what_it_leaves_out_stays() {
        let mut rules = PlantRules::default();
        let weights = rules.cost.clone();
        rules.price_by(&read_prices(BOOK, "prices.toml").unwrap());
        let cost = &rules.cost;
        // By hand: 1.10 + 4 x 0.22 + 4 x 2 nails of 0.03 = 2.22 a foot of joint; 0.6 h x 46.00 = 27.60 a panel.
        assert_eq!((cost.joint_ft, &cost.panel[..]), (222, &[2760, 2760][..]));
        // Panels with one skin have another spline: the book states none of it, so the plant's weight stays.
        let mut liner = rules.assemblies[0].clone();
        liner.inner.thickness = Length::ZERO;
        assert_eq!(cost.joint_ft_cents(Some(&rules.assemblies[0])), 222);
        assert_eq!(cost.joint_ft_cents(Some(&liner)), weights.joint_ft);
        let text = BOOK.replace("block = '1.10'", "block = '1.10'\n'single lumber' = '2.00'");
        let mut both = PlantRules::default();
        both.price_by(&read_prices(&text, "prices.toml").unwrap());
        assert_eq!(both.cost.joint_ft_cents(Some(&liner)), 312);
        assert_eq!((cost.rip, cost.narrow), (1200, weights.narrow));
        assert_eq!(cost.sq_ft_cents(0, "6-1/2"), 725);
        assert_eq!(cost.sq_ft_cents(0, "4-1/2"), weights.blank_sq_ft[0]);
        assert_eq!(cost.special, weights.special);
        assert_eq!(cost.source(), "Demo of 2026-11-01");
        assert!(weights.source().contains("no price book"));
    }
}
