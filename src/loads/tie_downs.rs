//! How many tie-downs an article takes.

use crate::rules::ShippingRules;
use crate::units::Length;

/// Tie-downs of one stack.
///
/// - Where nothing blocks it towards the front: one for up to 5 ft and 1,100 lb; two for up to 10 ft; two and one for each further
///   10 ft begun. Where it is blocked: one for each 10 ft begun.
/// - Together their working load limits reach at least half of the weight.
/// - Source: 49 CFR 393.106 and 393.110, as summarised by FMCSA.
#[must_use]
pub fn tie_downs(length: Length, weight_lb: f64, rules: &ShippingRules) -> u32 {
    let ten = Length::feet(10);
    let tens = |length: Length| u32::try_from(length.ceil_to(ten).steps_of(ten));
    let by_length = if rules.blocked {
        tens(length).unwrap_or(u32::MAX).max(1)
    } else if length <= Length::feet(5) && weight_lb <= 1_100.0 {
        1
    } else if length <= ten {
        2
    } else {
        2 + tens(length - ten).unwrap_or(u32::MAX - 2)
    };
    let mut by_weight = 0_u32;
    while f64::from(by_weight) * rules.tie_down < weight_lb / 2.0 && by_weight < 1_000 {
        by_weight += 1;
    }
    by_length.max(by_weight)
}
