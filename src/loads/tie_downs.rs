//! How many tie-downs an article takes.

use crate::units::Length;

/// Tie-downs of one stack that nothing blocks towards the front.
///
/// - One for up to 5 ft and 1,100 lb; two for up to 10 ft; two and one for each further 10 ft begun.
/// - Together their working load limits reach at least half of the weight.
/// - Source: 49 CFR 393.106 and 393.110, as summarised by FMCSA.
#[must_use]
pub fn tie_downs(length: Length, weight_lb: f64, working_load_limit: f64) -> u32 {
    let ten = Length::feet(10);
    let by_length = if length <= Length::feet(5) && weight_lb <= 1_100.0 {
        1
    } else if length <= ten {
        2
    } else {
        2 + u32::try_from((length - ten).ceil_to(ten).steps_of(ten)).unwrap_or(u32::MAX - 2)
    };
    let mut by_weight = 0_u32;
    while f64::from(by_weight) * working_load_limit < weight_lb / 2.0 && by_weight < 1_000 {
        by_weight += 1;
    }
    by_length.max(by_weight)
}
