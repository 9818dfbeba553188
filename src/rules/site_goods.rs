//! What is sent to the site beside panels and lumber, as rules: how much more than counted, and in what sealant comes.

use super::checks::Checks;
use super::plant_file::{Key, LengthKey};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Screws, sealant and tape for the site.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SiteGoodsRules {
    /// Part sent beyond what is counted. Default: 0.1.
    pub allowance: f64,
    /// Diameter of a bead of sealant. Default: 1/2 in.
    pub bead: Length,
    /// What one cartridge holds, cubic inches. Default: 52.
    pub cartridge: f64,
    /// Is tape sent for the inside of panel joints and corners? Default: no.
    pub tape: bool,
}

impl SiteGoodsRules {
    /// Cartridges for a length of bead, and for it with the allowance.
    #[must_use]
    pub fn cartridges(&self, bead: Length) -> [u64; 2] {
        [1.0, 1.0 + self.allowance].map(|part| self.filled(bead, part))
    }

    fn filled(&self, bead: Length, part: f64) -> u64 {
        let radius = self.bead.to_inches() / 2.0;
        let volume = std::f64::consts::PI * radius * radius * bead.to_inches();
        let wanted = volume * part / self.cartridge.max(1e-9);
        // Counted up, so that nothing is rounded away.
        (0_u64..1_000_000)
            .zip(std::iter::successors(Some(0.0), |n| Some(n + 1.0)))
            .find(|(_, n): &(u64, f64)| *n >= wanted)
            .map_or(1_000_000, |(count, _)| count)
    }
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SiteGoodsFile {
    allowance: Key<f64>,
    bead: LengthKey,
    cartridge: Key<f64>,
    tape: Key<bool>,
}

/// A bead.
const BEAD: RangeInclusive<Length> = Length::fraction(0, 1, 16)..=Length::inches(2);

/// Takes over what the group gives.
pub(super) fn apply_site_goods(
    file: &SiteGoodsFile,
    to: &mut SiteGoodsRules,
    checks: &mut Checks<'_>,
) {
    let allowance = &mut to.allowance;
    checks.number(
        "site_goods.allowance",
        allowance,
        &file.allowance,
        &(0.0..=1.0),
    );
    checks.length("site_goods.bead", &mut to.bead, &file.bead, &BEAD);
    let cartridge = &mut to.cartridge;
    checks.number(
        "site_goods.cartridge",
        cartridge,
        &file.cartridge,
        &(1.0..=2_000.0),
    );
    Checks::take(&mut to.tape, &file.tape);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cartridge_of_29_fluid_ounces_makes_22_feet_of_half_inch_bead() {
        // By hand: 29 US fl oz of 231/128 cubic inches are 52.3; a bead 1/2 in thick has 0.1963 square inches: 266 in.
        let rules = SiteGoodsRules {
            allowance: 0.0,
            bead: Length::fraction(0, 1, 2),
            cartridge: 52.3,
            tape: false,
        };
        assert_eq!(rules.cartridges(Length::ZERO), [0, 0]);
        assert_eq!(rules.cartridges(Length::inches(266)), [1, 1]);
        assert_eq!(rules.cartridges(Length::inches(267)), [2, 2]);
        let more = SiteGoodsRules {
            allowance: 0.1,
            ..rules
        };
        assert_eq!(more.cartridges(Length::inches(266)), [1, 2]);
    }
}
