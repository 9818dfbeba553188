//! `quote.json`: see `docs/estimate.md`. Money and quantities are texts, so that no reader makes binary fractions of them.

use super::{NOT_FOR_CONSTRUCTION, SCOPE};
use crate::documents::TitleFacts;
use crate::documents::json_text::json_text;
use crate::documents::nine;
use crate::estimate::Quote;
use serde_json::json;

/// The bytes of the file.
#[must_use]
pub fn quote_json(quote: &Quote, facts: &TitleFacts) -> String {
    let lines: Vec<_> = quote.lines.iter().map(|it| json!({
        "item": it.item, "quantity": it.quantity.to_string(), "unit": it.unit, "sure": it.sure.words(),
        "rate": it.rate.map(|it| it.to_string()), "amount": it.amount.map(|it| it.to_string()),
    })).collect();
    let assumed: Vec<_> = quote.assumed.iter().map(|it| json!({
        "figure": it.words, "step": it.step, "option": it.option, "low": it.low.to_string(), "high": it.high.to_string(),
    })).collect();
    let choices: Vec<_> = quote.choices.iter().map(|it| json!({
        "assembly": it.assembly, "r_value": nine(it.r_value), "panels": it.n_panels, "sq_ft": it.square_feet.to_string(),
        "weight_lb": nine(it.pounds), "loads": it.loads, "likely": it.total.map(|it| it.to_string()),
    })).collect();
    let questions: Vec<&String> = quote.questions.iter().flat_map(|it| &it.reasons).collect();
    let [low, likely, high] = quote.range.map(|it| it.to_string());
    // A bound that does not hold is none.
    let high = quote.uncounted.is_empty().then_some(high);
    let prices = quote
        .prices
        .as_ref()
        .map(|it| json!({ "name": it.name, "date": it.date, "currency": it.currency }));
    json_text(&json!({
        "schema": "panelwright.quote/1",
        "job": facts.number, "building": facts.building, "date": facts.date,
        "plans": quote.plans.iter().map(|it| json!({ "file": it.file, "sha256": it.sha256 })).collect::<Vec<_>>(),
        "storeys": quote.storeys,
        "scope": SCOPE, "not_for_construction": NOT_FOR_CONSTRUCTION,
        "prices": prices,
        "unit": if quote.prices.is_some() { "money" } else { "gross sq ft of panel" },
        "assembly": quote.assembly,
        "low": low, "likely": likely, "high": high, "uncounted": quote.uncounted,
        "lines": lines, "assumed": assumed,
        "questions": questions, "questions_move": quote.questions_swing().to_string(),
        "assemblies": choices, "without_price": quote.without_price, "changes_nothing": quote.idle,
    }))
}
