//! What a panel costs by its size, and between which widths that does not change.
//!
//! ```text
//!   cents │            ┌────── 8 ft line, ripped ─────┐ whole
//!         │ ┌ 4 ft line, ripped ┐whole┘
//!         └─┴─────────────────┴─┴────────────────────┴─► width       a few flat bands
//! ```

use crate::rules::{Assembly, CostRules, LaminatingLine, PlantRules, StrengthAxis, Way};
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
        let (index, way) = upright_way(rules, width, self.height)?;
        let line = rules.lines.get(index)?;
        let pounds = self.pounds(width, cut_out);
        if pounds > rules.lifts.greatest_weight {
            return None;
        }
        let cost = &rules.cost;
        let mut cents = cost.panel.get(index).copied().unwrap_or_default();
        let rate = cost.sq_ft_cents(index, self.assembly);
        let kerf = rules.stock.kerf;
        cents = cents.saturating_add(blank_cents(line, way, (width, self.height), kerf, rate));
        // A whole module is the blank less the joint's gap, so that modules add up without eighths.
        if width < line.room(way).0 - rules.joints.gap {
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
        let ways = rules
            .lines
            .iter()
            .flat_map(|line| line.ways().map(move |way| (line, way)));
        for (line, way) in ways {
            let room = line.room(way).0;
            turns.extend([room - rules.joints.gap, room + nm]);
            if !way.stands && line.made_to_length {
                let feet = 1..=widest.steps_of(Length::feet(1)) + 1;
                turns.extend(feet.map(|n| Length::feet(n) - line.trim * 2 + nm));
            } else if !way.stands {
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

/// The smallest line that makes an upright panel of this size, and the way it lies on the blank.
pub(crate) fn upright_way(
    rules: &PlantRules,
    width: Length,
    height: Length,
) -> Option<(usize, Way)> {
    let lines = rules.lines.iter().enumerate();
    let mut ways = lines.filter_map(|(index, line)| {
        let way = line.way((width, height), rules.stock.kerf)?;
        Some((index, way))
    });
    ways.next()
}

/// The smallest line that makes an upright panel of this size.
pub(crate) fn upright_line(rules: &PlantRules, width: Length, height: Length) -> Option<usize> {
    upright_way(rules, width, height).map(|it| it.0)
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

fn rooms(rules: &PlantRules) -> impl Iterator<Item = (Length, Length)> {
    rules
        .lines
        .iter()
        .flat_map(|line| line.ways().map(|way| line.room(way)))
}

/// The greatest width of an upright panel of this height.
pub(crate) fn widest(rules: &PlantRules, height: Length) -> Length {
    let fits = rooms(rules).filter(|room| height <= room.1);
    fits.map(|room| room.0).max().unwrap_or_default()
}

/// The greatest height of an upright panel.
pub(crate) fn highest(rules: &PlantRules) -> Length {
    rooms(rules).map(|room| room.1).max().unwrap_or_default()
}

/// Cost of what one panel uses up of a blank, its leftover included, at `rate` cents a square foot.
fn blank_cents(
    line: &LaminatingLine,
    way: Way,
    size: (Length, Length),
    kerf: Length,
    rate: i64,
) -> i64 {
    let nm = |length: Length| i128::from(length.to_nanometres());
    let foot = nm(Length::feet(1));
    let (length, panels) = line.used(way, size, kerf);
    rounded(
        i128::from(rate) * nm(line.width) * length,
        foot * foot * panels,
    )
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
    use crate::rules::WallAxis;

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
        let mut either = PlantRules::default();
        for line in &mut either.lines {
            line.wall_axis = WallAxis::Either;
        }
        let mut either_fixed = fixed.clone();
        for line in &mut either_fixed.lines {
            line.wall_axis = WallAxis::Either;
        }
        for rules in [PlantRules::default(), across, fixed, either, either_fixed] {
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
    fn under_a_report_a_wall_panel_lies_the_way_that_uses_less_blank_and_headers_keep_their_axis() {
        // Trade rule: laid along the blank a panel is up to 24 ft long and 8 ft high, its axis horizontal.
        let mut rules = PlantRules::default();
        for line in &mut rules.lines {
            line.wall_axis = WallAxis::Either;
        }
        let lies = |width: i64, height: i64| {
            upright_way(&rules, Length::feet(width), Length::feet(height))
                .map(|(line, way)| (line, way.is_axis_level))
        };
        // By hand. 20 ft x 8 ft goes along the 8 ft blank alone. 4 ft x 9 ft stands in the 4 ft blank and could not lie there.
        // 5 ft x 8 ft takes 8 ft of the 8 ft blank standing and 5 ft lying; 8 ft x 8 ft takes 8 ft either way.
        assert_eq!(lies(20, 8), Some((1, true)));
        assert_eq!(lies(4, 9), Some((0, false)));
        assert_eq!(lies(5, 8), Some((1, true)));
        assert_eq!(lies(8, 8), Some((1, false)));
        assert_eq!(lies(9, 9), None);
        assert_eq!(highest(&rules), Length::feet(24));
        assert_eq!(widest(&rules, Length::feet(8)), Length::feet(24));
        assert_eq!(widest(&rules, Length::feet(9)), Length::feet(8));
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
