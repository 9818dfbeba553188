//! What a panel costs by its size, and between which widths that does not change.
//!
//! ```text
//!   cents │            ┌────── 8 ft line, ripped ─────┐ whole
//!         │ ┌ 4 ft line, ripped ┐whole┘
//!         └─┴─────────────────┴─┴────────────────────┴─► width       a few flat bands
//! ```

use crate::rules::{Assembly, CostRules, LaminatingLine, PlantRules, StrengthAxis};
use crate::units::{Length, square_feet};

/// A panel's price and the line that makes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Price {
    /// Index into the plant's lines: the smallest that can make it.
    pub(crate) line: usize,
    /// Whole cents.
    pub(crate) cents: i64,
}

/// Widths from `from` to `to`, both included, that cost the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Band {
    pub(crate) from: Length,
    pub(crate) to: Length,
    pub(crate) cents: i64,
}

/// Prices upright panels of one height and assembly.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pricer<'a> {
    pub(crate) rules: &'a PlantRules,
    pub(crate) height: Length,
    /// Weight of skins and foam, pounds per square foot. Lumber is not known yet.
    pub(crate) pounds_per_sq_ft: f64,
    /// Name of the assembly.
    assembly: &'a str,
    /// The module that would part the run into equal panels, where unequal ones cost something.
    pub(crate) share: Option<Length>,
}

impl<'a> Pricer<'a> {
    /// For panels of this assembly and height.
    pub(crate) fn new(
        rules: &'a PlantRules,
        assembly: Option<&'a Assembly>,
        height: Length,
    ) -> Self {
        let pounds = assembly.map_or(0.0, Assembly::pounds_per_sq_ft);
        Self {
            rules,
            height,
            pounds_per_sq_ft: pounds,
            assembly: assembly.map_or("", |it| &it.name),
            share: None,
        }
    }

    /// The same for a run of this length: its equal share is what each of the fewest panels that fill it would be.
    pub(crate) fn for_run(self, length: Length) -> Self {
        let (gap, widest) = (self.rules.joints.gap, widest(self.rules, self.height));
        let whole = (length + gap).to_nanometres();
        let most = (widest + gap).to_nanometres().max(1);
        let count = whole.max(1).saturating_add(most - 1) / most;
        let is_priced = self.rules.cost.unequal > 0 && count > 0;
        let share = is_priced.then(|| Length::nanometres(whole / count));
        Self { share, ..self }
    }

    /// The price of a panel of this width (of its longer skin), less `cut_out` square feet of openings; `None` when no line
    /// makes it or it is too heavy. The least width is not looked at here.
    pub(crate) fn price(&self, width: Length, cut_out: f64) -> Option<Price> {
        let rules = self.rules;
        let index = upright_line(rules, width, self.height)?;
        let line = rules.lines.get(index)?;
        let pounds = self.pounds(width, cut_out);
        if pounds > rules.lifts.greatest_weight {
            return None;
        }
        let cost = &rules.cost;
        let mut cents = cost.panel.get(index).copied().unwrap_or_default();
        let rate = cost.sq_ft_cents(index, self.assembly);
        let kerf = rules.stock.kerf;
        cents = cents.saturating_add(blank_cents(line, (width, self.height), kerf, rate));
        // A whole module is the blank less the joint's gap, so that modules add up without eighths.
        if width < upright_room(line).0 - rules.joints.gap {
            cents = cents.saturating_add(cost.rip);
        }
        if width < rules.joints.preferred_panel {
            cents = cents.saturating_add(cost.narrow);
        }
        if pounds > rules.lifts.hand_limit {
            cents = cents.saturating_add(cost.machine_lift);
        }
        if let Some(share) = self.share {
            let aside = (width + rules.joints.gap - share).abs();
            cents =
                cents.saturating_add(cost.unequal.saturating_mul(aside.steps_of(CostRules::STEP)));
        }
        Some(Price { line: index, cents })
    }

    /// All widths that can be made, in flat bands, rising.
    pub(crate) fn bands(&self, cut_out: f64) -> Vec<Band> {
        let rules = self.rules;
        let widest = widest(rules, self.height);
        let nm = Length::nanometres(1);
        // First widths at which something changes.
        let mut turns = vec![nm, rules.joints.preferred_panel, widest + nm];
        for line in &rules.lines {
            let room = upright_room(line).0;
            turns.extend([room - rules.joints.gap, room + nm]);
            if !line.stands_along() && line.made_to_length {
                let feet = 1..=widest.steps_of(Length::feet(1)) + 1;
                turns.extend(feet.map(|n| Length::feet(n) - line.trim * 2 + nm));
            } else if !line.stands_along() {
                // One more than go into a blank at the least width: the least width itself is then in a band of its own price.
                let (kerf, least) = (rules.stock.kerf, rules.joints.least_panel);
                let most = (room + kerf).to_nanometres() / (least + kerf).to_nanometres().max(1);
                let counts = 1..=(most + 1).min(1000);
                let each = |n: i64| Length::nanometres((room + kerf).to_nanometres() / n) - kerf;
                turns.extend(counts.map(|n| each(n) + nm));
            }
        }
        if let Some(share) = self.share {
            let even = share - rules.joints.gap;
            let steps = 1..=widest.steps_of(CostRules::STEP) + 1;
            turns.extend(steps.flat_map(|k| {
                let aside = CostRules::STEP * k;
                [even - aside + nm, even + aside]
            }));
        }
        for limit in [rules.lifts.hand_limit, rules.lifts.greatest_weight] {
            turns.extend(self.first_heavier(limit, cut_out, widest));
        }
        turns.retain(|turn| *turn > Length::ZERO && *turn <= widest + nm);
        turns.sort_unstable();
        turns.dedup();
        let mut bands: Vec<Band> = Vec::new();
        for pair in turns.windows(2) {
            let Some(price) = self.price(pair[0], cut_out) else {
                continue;
            };
            let band = Band {
                from: pair[0],
                to: pair[1] - nm,
                cents: price.cents,
            };
            match bands.last_mut() {
                Some(last) if last.cents == band.cents && last.to + nm == band.from => {
                    last.to = band.to;
                }
                _ => bands.push(band),
            }
        }
        bands
    }

    fn pounds(&self, width: Length, cut_out: f64) -> f64 {
        (square_feet(width, self.height) - cut_out) * self.pounds_per_sq_ft
    }

    /// The least width that is heavier than `limit`, by halving.
    fn first_heavier(&self, limit: f64, cut_out: f64, widest: Length) -> Option<Length> {
        let nm = Length::nanometres(1);
        let (mut light, mut heavy) = (Length::ZERO, widest);
        if self.pounds(heavy, cut_out) <= limit {
            return None;
        }
        while heavy - light > nm {
            let middle = light + (heavy - light).half();
            if self.pounds(middle, cut_out) > limit {
                heavy = middle;
            } else {
                light = middle;
            }
        }
        Some(heavy)
    }
}

/// Greatest width and height of an upright panel from a line: the strength axis stands upright unless a report says otherwise.
pub(crate) fn upright_room(line: &LaminatingLine) -> (Length, Length) {
    let (across, along) = (line.width - line.trim * 2, line.length - line.trim * 2);
    if line.stands_along() {
        (across, along)
    } else {
        (along, across)
    }
}

/// The smallest line that makes an upright panel of this size.
pub(crate) fn upright_line(rules: &PlantRules, width: Length, height: Length) -> Option<usize> {
    rules.lines.iter().position(|line| {
        let room = upright_room(line);
        width <= room.0 && height <= room.1
    })
}

/// The smallest line that makes a header panel, whose strength axis runs along its length.
pub(crate) fn lying_line(rules: &PlantRules, length: Length, height: Length) -> Option<usize> {
    rules.lines.iter().position(|line| {
        let (across, along) = (line.width - line.trim * 2, line.length - line.trim * 2);
        let room = match line.strength_axis {
            StrengthAxis::Long => (along, across),
            StrengthAxis::Short => (across, along),
        };
        length <= room.0 && height <= room.1
    })
}

/// The greatest width of an upright panel of this height.
pub(crate) fn widest(rules: &PlantRules, height: Length) -> Length {
    let rooms = rules.lines.iter().map(upright_room);
    let fits = rooms.filter(|room| height <= room.1);
    fits.map(|room| room.0).max().unwrap_or_default()
}

/// The greatest height of an upright panel.
pub(crate) fn highest(rules: &PlantRules) -> Length {
    let rooms = rules.lines.iter().map(upright_room);
    rooms.map(|room| room.1).max().unwrap_or_default()
}

/// Cost of what one panel uses up of a blank, its leftover included, at `rate` cents a square foot.
///
/// - A blank of fixed length is shared by as many panels of this size as are cut from it, a kerf between each two.
/// - A blank made to length is as long as the panel and its trim; where the panel's width runs along it, every started foot counts,
///   so that prices stay flat between widths.
fn blank_cents(
    line: &LaminatingLine,
    (width, height): (Length, Length),
    kerf: Length,
    rate: i64,
) -> i64 {
    let nm = |length: Length| i128::from(length.to_nanometres());
    let trim = line.trim * 2;
    let (along, foot) = (
        if line.stands_along() { height } else { width },
        Length::feet(1),
    );
    let (length, panels) = match (line.made_to_length, line.stands_along()) {
        (true, true) => (along + trim, 1),
        (true, false) => ((along + trim).ceil_to(foot), 1),
        (false, _) => (
            line.length,
            (nm(line.length - trim + kerf) / nm(along + kerf).max(1)).max(1),
        ),
    };
    let parts = nm(foot) * nm(foot) * panels;
    rounded(i128::from(rate) * nm(line.width) * nm(length), parts)
}

/// `rate` cents for each foot of `length`, to the nearest cent.
pub(crate) fn per_foot(rate: i64, length: Length) -> i64 {
    let foot = i128::from(Length::feet(1).to_nanometres());
    rounded(i128::from(rate) * i128::from(length.to_nanometres()), foot)
}

fn rounded(value: i128, parts: i128) -> i64 {
    i64::try_from((value * 2 + parts).div_euclid(parts * 2)).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pricer(rules: &PlantRules) -> Pricer<'_> {
        let assembly = rules.assemblies.iter().find(|a| a.name == "6-1/2");
        Pricer::new(rules, assembly, Length::inches(108))
    }

    #[test]
    fn a_whole_four_foot_panel_costs_its_handling_and_its_own_blank() {
        // Shipped prices, by hand: 3500 for the panel, 420 a square foot of a blank made to length: 4 x 9 x 420 = 15120.
        let mut rules = PlantRules::default();
        let net = Length::fraction(47, 7, 8);
        let price = pricer(&rules).price(net, 0.0).unwrap();
        assert_eq!((price.line, price.cents), (0, 3500 + 15_120));
        let ripped = pricer(&rules).price(Length::inches(40), 0.0).unwrap();
        assert_eq!(ripped.cents, 3500 + 15_120 + 1500);
        // Trim of 1/4 in at both ends: 4 ft x 108-1/2 in x 420 = 15190.
        rules.lines[0].trim = Length::fraction(0, 1, 4);
        let trimmed = pricer(&rules).price(Length::inches(47), 0.0).unwrap();
        assert_eq!(trimmed.cents, 3500 + 15_190 + 1500);
    }

    #[test]
    fn what_a_height_leaves_over_in_a_blank_of_fixed_length_is_paid_for() {
        // Trade: two panels of 9 ft from a blank of 24 ft leave 6 ft, a quarter: each pays for 12 ft. Three of 8 ft would need two
        // kerfs of 3/16 in more than 24 ft: two come out, and each pays for 12 ft too.
        let mut rules = PlantRules::default();
        for line in &mut rules.lines {
            line.made_to_length = false;
        }
        let cents = |rules: &PlantRules, inches: i64| {
            let assembly = rules.assemblies.iter().find(|a| a.name == "6-1/2");
            let pricer = Pricer::new(rules, assembly, Length::inches(inches));
            pricer.price(Length::fraction(47, 7, 8), 0.0).unwrap().cents
        };
        assert_eq!(cents(&rules, 108), 3500 + 4 * 12 * 420);
        assert_eq!(cents(&rules, 96), 3500 + 4 * 12 * 420);
        rules.stock.kerf = Length::ZERO;
        assert_eq!(cents(&rules, 96), 3500 + 4 * 8 * 420);
    }

    #[test]
    fn unequal_widths_cost_by_whole_steps_from_the_equal_share() {
        // A run of 20 ft in panels up to 8 ft: three, so each module is (240 + 1/8) / 3 in, 80 and 1/24.
        let mut rules = PlantRules::default();
        rules.cost.unequal = 100;
        let pricer = pricer(&rules).for_run(Length::feet(20));
        let cents = |inches: i64| pricer.price(Length::inches(inches), 0.0).unwrap().cents;
        let plain = |inches: i64| {
            Pricer {
                share: None,
                ..pricer
            }
            .price(Length::inches(inches), 0.0)
            .unwrap()
            .cents
        };
        assert_eq!(cents(80) - plain(80), 0);
        assert_eq!(cents(75) - plain(75), 0);
        assert_eq!(cents(70) - plain(70), 100);
        assert_eq!(cents(93) - plain(93), 200);
    }

    #[test]
    fn a_jumbo_panel_needs_a_machine_until_its_openings_make_it_light() {
        // 8 ft x 9 ft at 3.385 psf: 244 lb. With 30 sq ft of openings 142 lb: below the hand limit of 150 lb.
        let rules = PlantRules::default();
        let (width, pricer) = (Length::inches(96), pricer(&rules));
        let (full, holed) = (
            pricer.price(width, 0.0).unwrap(),
            pricer.price(width, 30.0).unwrap(),
        );
        assert_eq!(full.cents - holed.cents, rules.cost.machine_lift);
    }

    #[test]
    fn bands_price_every_width_as_the_price_itself_does() {
        let mut across = PlantRules::default();
        for line in &mut across.lines {
            line.strength_axis = StrengthAxis::Short;
            line.width = Length::feet(10);
        }
        let mut fixed = across.clone();
        for line in &mut fixed.lines {
            line.made_to_length = false;
        }
        across.cost.unequal = 70;
        for rules in [PlantRules::default(), across, fixed] {
            let least = rules.joints.least_panel;
            for cut_out in [0.0, 21.6, 40.0] {
                let pricer = pricer(&rules).for_run(Length::feet(31));
                let bands = pricer.bands(cut_out);
                for sixteenths in 0..=4600 {
                    let width = least + Length::fraction(0, sixteenths, 16);
                    let band = bands.iter().find(|b| b.from <= width && width <= b.to);
                    let price = pricer.price(width, cut_out);
                    assert_eq!(band.map(|b| b.cents), price.map(|p| p.cents), "{width}");
                }
            }
        }
    }

    #[test]
    fn under_a_report_a_wall_panel_lies_along_the_blank_and_headers_keep_their_axis() {
        // Trade rule: laid along the blank a panel is up to 24 ft long and 8 ft high, its axis horizontal.
        let mut rules = PlantRules::default();
        for line in &mut rules.lines {
            line.wall_axis = crate::rules::WallAxis::Horizontal;
        }
        let (long, high) = (Length::feet(20), Length::feet(8));
        assert_eq!(upright_line(&rules, long, high), Some(1));
        assert_eq!(upright_line(&rules, Length::feet(4), Length::feet(9)), None);
        assert_eq!(
            lying_line(&rules, Length::feet(12), Length::feet(2)),
            Some(0)
        );
        assert_eq!(lying_line(&rules, Length::feet(2), Length::feet(12)), None);
    }

    #[test]
    fn a_blank_whose_strength_runs_across_gives_panels_no_higher_than_it_is_wide() {
        let mut rules = PlantRules::default();
        for line in &mut rules.lines {
            line.strength_axis = StrengthAxis::Short;
        }
        assert_eq!(
            upright_line(&rules, Length::inches(96), Length::inches(108)),
            None
        );
        assert_eq!(
            upright_line(&rules, Length::inches(200), Length::inches(96)),
            Some(1)
        );
    }
}
