//! Counts what a building takes and, with prices, what it costs.
//!
//! ```text
//!   Building + Fabrication + LoadPlan ──► quantities ──┬──► priced ──► amounts, a sum
//!   prices.toml ──► Prices ────────────────────────────┘
//! ```
//!
//! *Promises.* Quantities are counted on the panels as laid out, not by rule of thumb. Money is decimal. What has no price is named
//! and left out, never taken as free in silence.
//!
//! *Does not do.* Choosing what to vary: that is `quote`, which runs the whole line again for each assumed figure. Selling.

pub mod codes;
mod model;
mod not_made;
mod quantities;

pub use model::{
    Assumed, Choice, Line, PricedBy, Question, Quote, QuotedPlan, Sure, to_whole, whole,
};
pub use quantities::{
    board_feet, decimal, gross_square_feet, hangs_on_headers, is_header, n_specials, quantities,
};

use crate::findings::{Finding, Place};
use crate::rules::{Assembly, Money, Prices, ThermalRules};
use rust_decimal::Decimal;

/// Adds labour and the way to the quantities and prices every line.
///
/// - `miles`: as stated, else those of the prices file.
/// - Returns the sum, and a doubt for each thing without a price.
pub fn price(
    lines: &mut Vec<Line>,
    prices: &Prices,
    counts: [usize; 3],
    miles: Option<Decimal>,
) -> (Decimal, Vec<Finding>) {
    let by_rate = |item: &str, quantity, unit, by| Line {
        item: item.to_owned(),
        quantity,
        unit,
        sure: Sure::ByRate,
        by,
        rate: None,
        amount: None,
    };
    let labour = &prices.labour;
    let hours = [&labour.panel, &labour.opening, &labour.special];
    let hours = hours
        .into_iter()
        .zip(counts)
        .map(|(hours, n)| hours.map_or(Decimal::ZERO, |it| it.0) * Decimal::from(n));
    let hours: Decimal = hours.sum();
    if !hours.is_zero() {
        lines.push(by_rate(
            "plant labour",
            hours.round_dp(2),
            "h",
            PricedBy::Hour,
        ));
    }
    let loads = lines
        .iter()
        .find(|line| line.by == PricedBy::Load)
        .map(|line| line.quantity);
    let miles = miles.or_else(|| prices.freight.miles.map(|it| it.0));
    if let (Some(loads), Some(miles)) = (loads, miles) {
        lines.push(by_rate(
            "haul of all loads",
            loads * miles,
            "miles",
            PricedBy::Mile,
        ));
    }
    let materials = &prices.materials;
    let mut findings = Vec::new();
    let mut sum = Decimal::ZERO;
    for line in lines {
        let rate = match &line.by {
            PricedBy::Nothing => continue,
            PricedBy::Panel(name) => prices.panels.get(name).copied(),
            PricedBy::Spline(kind) => prices.splines.get(kind).copied(),
            PricedBy::Material("lumber_bd_ft") => materials.lumber_bd_ft,
            PricedBy::Material("header_bd_ft") => materials.header_bd_ft,
            PricedBy::Material("lvl_ft") => materials.lvl_ft,
            PricedBy::Material("sip_header_ft") => materials.sip_header_ft,
            PricedBy::Material("nail") => materials.nail,
            PricedBy::Material("screw") => materials.screw,
            PricedBy::Material("sealant_ft") => materials.sealant_ft,
            PricedBy::Material(_) => None,
            PricedBy::Hour => labour.rate,
            PricedBy::Load => prices.freight.load,
            PricedBy::Mile => prices.freight.mile,
        };
        let Some(Money(rate)) = rate else {
            findings.push(Finding::doubt(
                codes::NO_PRICE,
                Place::default(),
                format!(
                    "{}: the prices file '{}' has no price for it; it is left out of the sum",
                    line.item, prices.name
                ),
                "add it to the prices file; `panelwright rules --schema` names its key",
            ));
            continue;
        };
        let amount = to_whole(rate * line.quantity);
        line.rate = Some(rate);
        line.amount = Some(amount);
        sum += amount;
    }
    (sum, findings)
}

/// What was stated and changes nothing.
#[must_use]
pub fn changes_nothing(message: String, hint: &str) -> Finding {
    Finding::doubt(codes::CHANGES_NOTHING, Place::default(), message, hint)
}

/// Resistance of foam and skins, without framing, films and finishes.
#[must_use]
pub fn r_value(assembly: &Assembly, thermal: &ThermalRules) -> f64 {
    assembly.core.to_inches() * thermal.core_r_per_inch
        + f64::from(assembly.n_skins()) * thermal.skin_r
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::PlantRules;
    use crate::units::{Length, square_feet};

    #[test]
    fn board_feet_are_those_of_the_books() {
        // Twice 2x10x16 = 26.67: a published material handbook; single sections are checked where they are reckoned.
        let rules = PlantRules::default();
        for (section, feet, expected) in [("2x10", 16, 26.67), ("2-2x10", 16, 53.33)] {
            let found = board_feet(section, Length::feet(feet), &rules).unwrap();
            assert!((found - expected).abs() < 0.005, "{section}: {found}");
        }
        assert_eq!(
            board_feet("engineered lumber", Length::feet(8), &rules),
            None
        );
    }

    #[test]
    fn bare_panels_weigh_what_is_worked_out_by_hand() {
        // Skins of 40 pcf (Canadian Wood Council basis), foam of 1 pcf: pounds per square foot and for an 8 ft x 24 ft blank.
        let rules = PlantRules::default();
        for (name, psf, blank) in [
            ("4-1/2", 3.219, 618.0),
            ("6-1/2", 3.385, 650.0),
            ("8-1/4", 3.531, 678.0),
            ("10-1/4", 3.698, 710.0),
            ("12-1/4", 3.865, 742.0),
        ] {
            let it = rules.assemblies.iter().find(|it| it.name == name).unwrap();
            let found = it.pounds_per_sq_ft();
            assert!((found - psf).abs() < 0.001, "{name}: {found}");
            assert!(
                (found * square_feet(Length::feet(8), Length::feet(24)) - blank).abs() < 0.5,
                "{name}"
            );
        }
    }

    #[test]
    fn panels_with_skins_of_the_tabled_weight_weigh_what_is_worked_out_by_hand() {
        // Skins of 1.4 lb each square foot (APA, approximate weight of 7/16 in), foam of 1 pcf: sums by hand, printed to the thousandth.
        let rules = PlantRules::default();
        for (name, psf) in [
            ("4-1/2", 3.102),
            ("6-1/2", 3.269),
            ("8-1/4", 3.415),
            ("10-1/4", 3.581),
            ("12-1/4", 3.748),
        ] {
            let mut it = rules
                .assemblies
                .iter()
                .find(|it| it.name == name)
                .unwrap()
                .clone();
            for skin in [&mut it.outer, &mut it.inner] {
                skin.density = 1.4 * 12.0 / skin.thickness.to_inches();
            }
            let found = it.pounds_per_sq_ft();
            assert!((found - psf).abs() < 0.0006, "{name}: {found}");
        }
    }

    #[test]
    fn resistance_is_core_and_two_skins() {
        // Per inch: 3.6 ASTM C578 type I at 75 F, 4.0 at 40 F, 3.85 a producer's typical value; skins 0.62: 1997 ASHRAE ch. 24. Sums by
        // hand, printed to the hundredth.
        let rules = PlantRules::default();
        let bases = [(3.6, 0.0), (3.6, 0.62), (3.85, 0.62), (4.0, 0.62)];
        for (name, expected) in [
            ("4-1/2", [13.05, 14.29, 15.20, 15.74]),
            ("6-1/2", [20.25, 21.49, 22.90, 23.74]),
            ("8-1/4", [26.55, 27.79, 29.63, 30.74]),
            ("10-1/4", [33.75, 34.99, 37.33, 38.74]),
            ("12-1/4", [40.95, 42.19, 45.03, 46.74]),
        ] {
            let assembly = rules.assemblies.iter().find(|it| it.name == name).unwrap();
            for ((core_r_per_inch, skin_r), r) in bases.into_iter().zip(expected) {
                let thermal = ThermalRules {
                    core_r_per_inch,
                    skin_r,
                };
                let found = r_value(assembly, &thermal);
                assert!((found - r).abs() < 0.0051, "{name}: {found}, not {r}");
            }
        }
        // What is shipped is the second of them.
        let shipped = &rules.dispatch.thermal;
        assert_eq!((shipped.core_r_per_inch, shipped.skin_r), bases[1]);
    }

    #[test]
    fn amounts_have_their_thousands_parted() {
        let amount: Decimal = "1234567.50".parse().unwrap();
        assert_eq!(
            [
                whole(amount, "$"),
                whole(-amount, "$"),
                whole(Decimal::from(999), "")
            ],
            ["$1,234,568", "-$1,234,568", "999"]
        );
    }
}
