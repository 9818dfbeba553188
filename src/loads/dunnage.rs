//! Where dunnage lies.

use crate::rules::ShippingRules;
use crate::units::Length;

/// Where dunnage lies under a stack: distances of the pieces' middles from the stack's front end.
///
/// - One near each end, and between them as many as keep the distance of the rules.
#[must_use]
pub fn dunnage_places(length: Length, rules: &ShippingRules) -> Vec<Length> {
    let inset = rules.dunnage.min(length.half().half());
    let between = length - inset - inset;
    let spacing = rules.dunnage_spacing.max(Length::inches(1));
    let n_spaces = between.ceil_to(spacing).steps_of(spacing).max(1);
    let step = |n: i64| Length::nanometres(between.to_nanometres() / n_spaces * n);
    (0..=n_spaces).map(|n| inset + step(n)).collect()
}
