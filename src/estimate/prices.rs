//! `prices.toml`: what things cost, with a date. Money is written in quotes and held as decimals, never as binary fractions.

use super::model::PriceFacts;
use crate::rules::RulesError;
use crate::toml_text::{Text, read_typed};
use rust_decimal::Decimal;
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

/// Prices for panelwright estimate.
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
    /// How far things may be off.
    #[serde(default)]
    pub range: Range,
}

/// Prices of materials.
#[derive(Clone, Debug, Default, PartialEq, serde::Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Materials {
    /// Each board foot of plates, studs and bucks.
    pub lumber_bd_ft: Option<Money>,
    /// Each board foot of headers.
    pub header_bd_ft: Option<Money>,
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
    pub prices: Option<Money>,
    /// Each open question of recovery, of the total, each way.
    pub question: Option<Money>,
    /// Headers that no engineer has sized, of their price, upwards.
    pub unsized_headers: Option<Money>,
    /// Assumed miles, of the price of the way, each way.
    pub miles: Option<Money>,
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

/// The JSON Schema of `prices.toml`.
#[must_use]
pub fn prices_schema() -> Value {
    schemars::schema_for!(Prices).to_value()
}

/// Reads a prices file.
///
/// ```
/// use panelwright::estimate::read_prices;
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
