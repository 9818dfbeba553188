//! A run as a problem of numbers: where joints may lie and what a panel of each width costs.

use super::WallEnd;
use super::corners::Ends;
use crate::building::PanelWall;
use crate::rules::PlantRules;
use crate::units::{Length, square_feet};

/// One run, in run axes.
#[derive(Clone, Debug)]
pub(crate) struct Run<'a> {
    pub(crate) rules: &'a PlantRules,
    pub(crate) length: Length,
    pub(crate) height: Length,
    /// Rough jambs of each opening, by position.
    pub(crate) openings: Vec<(Length, Length)>,
    /// Which openings may be framed between panels.
    pub(crate) may_frame: Vec<bool>,
    /// Which openings must be framed between panels.
    pub(crate) must_frame: Vec<bool>,
    /// Where no part of a joint's gap may lie: open intervals, with the rule that says so.
    pub(crate) forbidden: Vec<Forbidden>,
    /// Weight of a bare panel, pounds per square foot.
    pub(crate) pounds_per_sq_ft: f64,
    /// Cost of bevelled ends, which no joint changes.
    pub(crate) fixed_cost: i64,
}

/// An interval without joints.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Forbidden {
    pub(crate) from: Length,
    pub(crate) to: Length,
    pub(crate) rule: &'static str,
    pub(crate) words: String,
}

impl<'a> Run<'a> {
    /// The run of `wall` between `ends`.
    pub(crate) fn new(wall: &PanelWall, ends: &Ends, rules: &'a PlantRules) -> Self {
        let height = wall.stack.panel_top - wall.stack.panel_bottom;
        let shifted = |x: Length| x - ends.from;
        let openings: Vec<(Length, Length)> = wall
            .openings
            .iter()
            .map(|o| (shifted(o.from), shifted(o.to)))
            .collect();
        let keep_off = rules.joints.from_opening.max(rules.openings.least_leg);
        let mut forbidden: Vec<Forbidden> = wall
            .openings
            .iter()
            .zip(&openings)
            .map(|(opening, (from, to))| Forbidden {
                from: *from - keep_off,
                to: *to + keep_off,
                rule: "joints.from_opening",
                words: format!(
                    "no joint in {} or within {keep_off} of its rough jambs",
                    opening.id
                ),
            })
            .collect();
        forbidden.extend(wall.tees.iter().map(|tee| Forbidden {
            from: shifted(tee.from) - rules.joints.from_tee,
            to: shifted(tee.to) + rules.joints.from_tee,
            rule: "joints.from_tee",
            words: format!(
                "no joint where wall {} meets, or within {} of it",
                tee.wall, rules.joints.from_tee
            ),
        }));
        forbidden.sort_by_key(|interval| (interval.from, interval.to));
        let must_frame = wall
            .openings
            .iter()
            .map(|o| {
                o.width() > rules.openings.whole_up_to
                    || o.width() + rules.openings.least_leg * 2 > widest(rules, height)
            })
            .collect();
        // A header panel must stand above, or there is nothing to frame the opening with.
        let may_frame = wall
            .openings
            .iter()
            .map(|o| o.head < wall.stack.panel_top && header_fits(rules, o.width()))
            .collect();
        let is_special = |end: WallEnd| i64::from(matches!(end, WallEnd::Mitre { .. }));
        let pounds_per_sq_ft = rules.assemblies.get(wall.assembly).map_or(0.0, |a| {
            let skins = (a.outer_skin + a.inner_skin).to_inches() * a.skin_density;
            (skins + a.core.to_inches() * a.core_density) / 12.0
        });
        Self {
            rules,
            length: ends.to - ends.from,
            height,
            openings,
            may_frame,
            must_frame,
            forbidden,
            pounds_per_sq_ft,
            fixed_cost: (is_special(ends.left) + is_special(ends.right)) * rules.cost.special,
        }
    }

    /// Cost of the joint whose right panel starts at `x`, in cents.
    pub(crate) fn joint_cost(&self, x: Length) -> i64 {
        let cost = &self.rules.cost;
        let (left, near) = (
            x - self.rules.joints.gap,
            self.rules.joints.from_opening_preferred,
        );
        let is_near = self
            .openings
            .iter()
            .any(|(from, to)| x > *from - near && left < *to + near);
        cost.joint_ft * tenths_of_feet(self.height) / 10
            + if is_near { cost.near_opening } else { 0 }
    }

    /// The laminating line that makes a panel of this module, and the panel's cost in cents; `None` when none can.
    ///
    /// A module is the panel with the gap at its right; where no joint follows, the panel alone. So a whole module of the
    /// line gives a panel narrower than the line by the gap, and strings of modules need no eighths.
    pub(crate) fn panel_cost(&self, width: Length) -> Option<(usize, i64)> {
        if width < self.rules.joints.least_panel {
            return None;
        }
        let line = line_for(self.rules, width, self.height)?;
        let (cost, made) = (&self.rules.cost, self.rules.lines.get(line)?);
        let usable = made.length - made.trim * 2;
        let per_blank = usable.steps_of(self.height).max(1);
        // The blank's share that one panel uses up, what its height leaves over included.
        let square_feet_tenths =
            tenths_of_feet(made.width) * tenths_of_feet(made.length) / 10 / per_blank;
        let mut cents =
            cost.panel.get(line)? + cost.blank_sq_ft.get(line)? * square_feet_tenths / 10;
        if width < made.width - made.trim * 2 {
            cents += cost.rip;
        }
        if width < self.rules.joints.preferred_panel {
            cents += cost.narrow;
        }
        if square_feet(width, self.height) * self.pounds_per_sq_ft > self.rules.lifts.hand_limit {
            cents += cost.machine_lift;
        }
        Some((line, cents))
    }

    /// Widths from which on the cost of a panel is another one, rising: between two of them it is the same.
    pub(crate) fn cost_steps(&self) -> Vec<Length> {
        let rules = self.rules;
        let nm = Length::nanometres(1);
        let mut steps = vec![rules.joints.least_panel, rules.joints.preferred_panel];
        for line in &rules.lines {
            let net = line.width - line.trim * 2;
            steps.extend([net, net + nm]);
        }
        // The first width above the hand limit, found on the grid of nanometres by halving.
        let too_heavy = |width: Length| {
            square_feet(width, self.height) * self.pounds_per_sq_ft > rules.lifts.hand_limit
        };
        let (mut light, mut heavy) = (Length::ZERO, widest(rules, self.height) + nm);
        if too_heavy(heavy) {
            while heavy - light > nm {
                let middle = light + (heavy - light).half();
                if too_heavy(middle) {
                    heavy = middle;
                } else {
                    light = middle;
                }
            }
            steps.push(heavy);
        }
        steps.push(widest(rules, self.height) + nm);
        steps.sort_unstable();
        steps.dedup();
        steps.retain(|step| *step >= rules.joints.least_panel);
        steps
    }
}

/// The smallest line that makes an upright panel of this size.
pub(crate) fn line_for(rules: &PlantRules, width: Length, height: Length) -> Option<usize> {
    rules.lines.iter().position(|line| {
        width <= line.width - line.trim * 2 && height <= line.length - line.trim * 2
    })
}

/// The smallest line that makes a header or sill panel, whose strength axis runs along its length.
pub(crate) fn lying_line_for(rules: &PlantRules, length: Length, height: Length) -> Option<usize> {
    line_for(rules, height, length)
}

fn header_fits(rules: &PlantRules, length: Length) -> bool {
    rules
        .lines
        .iter()
        .any(|line| length <= line.length - line.trim * 2)
}

/// The greatest width of an upright panel of this height.
pub(crate) fn widest(rules: &PlantRules, height: Length) -> Length {
    let fits = rules
        .lines
        .iter()
        .filter(|line| height <= line.length - line.trim * 2);
    fits.map(|line| line.width - line.trim * 2)
        .max()
        .unwrap_or(Length::ZERO)
}

fn tenths_of_feet(length: Length) -> i64 {
    length.steps_of(Length::fraction(1, 1, 5))
}
