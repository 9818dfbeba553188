//! What a panel costs by its size, and between which widths that does not change.
//!
//! ```text
//!   cents │            ┌────── 8 ft line, ripped ─────┐ whole
//!         │ ┌ 4 ft line, ripped ┐whole┘
//!         └─┴─────────────────┴─┴────────────────────┴─► width       a few flat bands
//! ```

use crate::rules::{Assembly, LaminatingLine, PlantRules, StrengthAxis};
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
}

impl<'a> Pricer<'a> {
    /// For panels of this assembly and height.
    pub(crate) fn new(rules: &'a PlantRules, assembly: Option<&Assembly>, height: Length) -> Self {
        let pounds = assembly.map_or(0.0, |a| {
            let skins = (a.outer_skin + a.inner_skin).to_inches() * a.skin_density;
            (skins + a.core.to_inches() * a.core_density) / 12.0
        });
        Self {
            rules,
            height,
            pounds_per_sq_ft: pounds,
        }
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
        let rate = cost.blank_sq_ft.get(index).copied().unwrap_or_default();
        cents = cents.saturating_add(blank_share(line, width, self.height, rate));
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
            if !line.stands_along() {
                // One more than go into a blank at the least width: the least width itself is then in a band of its own price.
                let most = room.to_nanometres() / rules.joints.least_panel.to_nanometres().max(1);
                let counts = 1..=(most + 1).min(1000);
                turns.extend(counts.map(|n| Length::nanometres(room.to_nanometres() / n) + nm));
            }
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

/// Cost of the share of a blank that one panel uses up, what its size leaves over included, at `rate` cents a square foot.
fn blank_share(line: &LaminatingLine, width: Length, height: Length, rate: i64) -> i64 {
    let along = if line.stands_along() { height } else { width };
    let nm = |length: Length| i128::from(length.to_nanometres());
    let usable = line.length - line.trim * 2;
    let per_blank = nm(usable) / nm(along).max(1);
    let foot = nm(Length::feet(1));
    let parts = foot * foot * per_blank.max(1);
    rounded(i128::from(rate) * nm(line.width) * nm(line.length), parts)
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
    fn a_whole_four_foot_panel_costs_its_handling_and_half_a_blank() {
        // Shipped prices: 3500 for the panel, 420 a square foot; a 24 ft blank gives two panels of 9 ft: 4 x 12 x 420 = 20160.
        let rules = PlantRules::default();
        let price = pricer(&rules)
            .price(Length::fraction(47, 7, 8), 0.0)
            .unwrap();
        assert_eq!((price.line, price.cents), (0, 3500 + 20_160));
        let ripped = pricer(&rules).price(Length::inches(40), 0.0).unwrap();
        assert_eq!(ripped.cents, 3500 + 20_160 + 1500);
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
        for rules in [PlantRules::default(), across] {
            let least = rules.joints.least_panel;
            for cut_out in [0.0, 21.6, 40.0] {
                let bands = pricer(&rules).bands(cut_out);
                for sixteenths in 0..=4600 {
                    let width = least + Length::fraction(0, sixteenths, 16);
                    let band = bands.iter().find(|b| b.from <= width && width <= b.to);
                    let price = pricer(&rules).price(width, cut_out);
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
