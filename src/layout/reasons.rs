//! "Why here?": the reason behind each edge, width and opening of a panel.
//!
//! A joint's reason is found by trying: what would a step of the grid to either side break or cost, all else left alone?

use super::corners::Ends;
use super::demands::pier_at_opening;
use super::price::{upright_line, upright_way};
use super::run::{Run, grid};
use super::solution::{Piece, Side, Solution};
use super::{PanelKind, Reason, WallEnd};
use crate::building::{PanelWall, WallRole};
use crate::rules::PlantRules;
use crate::units::{Length, square_feet};

/// Reasons for the panels of one run.
pub(crate) struct Reasons<'a> {
    pub(crate) rules: &'a PlantRules,
    pub(crate) wall: &'a PanelWall,
    pub(crate) ends: &'a Ends,
    pub(crate) run: &'a Run<'a>,
    pub(crate) solution: &'a Solution,
}

/// What a step aside would do.
enum Step {
    Breaks { rule: String, words: String },
    Costs(i64),
}

impl Step {
    fn words(&self) -> String {
        match self {
            Self::Breaks { rule, words } => format!("would break {rule} ({words})"),
            Self::Costs(0) => "costs the same".to_owned(),
            Self::Costs(cents) => format!("costs {} more", dollars(*cents)),
        }
    }
}

impl Reasons<'_> {
    /// All reasons for panel `i` of the run.
    pub(crate) fn of(&self, i: usize) -> Vec<Reason> {
        let piece = &self.solution.panels[i];
        let mut reasons = vec![
            self.edge("left edge", piece.left, i),
            self.edge("right edge", piece.right, i + 1),
            self.width(i),
        ];
        let width = piece.to - piece.from;
        if pier_at_opening::is_pier(self.wall, self.rules, piece) {
            let what = if pier_at_opening::is_post(self.wall, piece) {
                format!("the post of the corner, with the panel that meets it there: {width} wide")
            } else {
                format!("a pier {width} wide, narrower than a panel may be")
            };
            let words = format!("{what}: solid lumber between its skins, not sized: engineer");
            reasons.push(reason("pier", "piers.least", words));
        } else if piece.right == Side::End && self.ends.right.make_up > Length::ZERO {
            let words = super::make_up::words(self.ends.right.make_up);
            reasons.push(reason("make-up", "joints.make_up", words));
        }
        for (held, opening) in self.wall.openings.iter().enumerate() {
            if opening.from < piece.from || opening.to > piece.to {
                continue;
            }
            let id = &self.wall.openings[held].id;
            let (left, right) = (opening.from - piece.from, piece.to - opening.to);
            reasons.push(reason(
                &format!("opening {id}"),
                "openings.whole_up_to",
                format!(
                    "{id} is cut whole: its {} are not above {}; {left} of panel stand to its left, {right} to its right",
                    opening.width(),
                    self.rules.openings.whole_up_to
                ),
            ));
        }
        reasons
    }

    /// What bevels add to the longer skin of panel `i`.
    pub(crate) fn extra(&self, i: usize) -> Length {
        let piece = &self.solution.panels[i];
        let at = |side: Side, end: Length| if side == Side::End { end } else { Length::ZERO };
        at(piece.left, self.run.left.extra) + at(piece.right, self.run.right.extra)
    }

    /// The boundary before panel `i`, or after the last.
    fn edge(&self, about: &str, side: Side, i: usize) -> Reason {
        match side {
            Side::End if i == 0 => self.run_end(about, self.ends.left.end, self.wall.left.with),
            Side::End => self.run_end(about, self.ends.right.end, self.wall.right.with),
            Side::Jamb(opening) => {
                let hole = &self.wall.openings[opening];
                let whole = self.rules.openings.whole_up_to;
                let words = if hole.width() > whole {
                    format!(
                        "the rough jamb of {}: its {} are above {whole}, so it is framed between panels",
                        hole.id,
                        hole.width()
                    )
                } else {
                    format!(
                        "the rough jamb of {}: no panel can hold it whole here, so it is framed between panels",
                        hole.id
                    )
                };
                reason(about, "openings.whole_up_to", words)
            }
            Side::Joint => self.joint(about, i),
        }
    }

    fn run_end(&self, about: &str, end: WallEnd, with: Option<usize>) -> Reason {
        let words = match (end, with) {
            (WallEnd::Through, _) => {
                "this wall runs through at the corner: the other one butts against it".to_owned()
            }
            (WallEnd::Butt, _) if self.wall.role != WallRole::Exterior => {
                "the run stops at the face of the wall that it meets".to_owned()
            }
            (WallEnd::Butt, _) => {
                "the run stops at the face of the wall that runs through at the corner".to_owned()
            }
            (WallEnd::Mitre { bevel_deg }, _) if self.wall.role != WallRole::Exterior => format!(
                "the wall meets another one askew: its end is bevelled by {:.3} degrees to lie on that wall's face",
                bevel_deg.abs()
            ),
            (WallEnd::Mitre { bevel_deg }, _) => format!(
                "the corner is not square: both walls are bevelled, this one by {:.3} degrees",
                bevel_deg.abs()
            ),
            (WallEnd::Filled { .. }, _) => {
                "the corner is not square: both walls end square where they touch, and a wedge fills what is left".to_owned()
            }
            (WallEnd::Free, _) => "no wall follows: the run ends with the wall".to_owned(),
        };
        reason(about, "corners", words)
    }

    /// The joint between panel `i - 1` and panel `i`.
    fn joint(&self, about: &str, i: usize) -> Reason {
        let (Some(left), Some(right)) = (
            i.checked_sub(1)
                .and_then(|before| self.solution.panels.get(before)),
            self.solution.panels.get(i),
        ) else {
            return reason(about, "cost", String::new());
        };
        let at = right.from;
        if self.run.fixed.contains(&at) {
            return reason(
                about,
                "wishes.joints",
                "the drafter fixed this joint".to_owned(),
            );
        }
        let step = grid(self.rules);
        let aside = |joint: Length| self.aside(i, joint);
        let (to_left, to_right) = (aside(at - step), aside(at + step));
        let is_asked = self.rules.alignment.cents > 0 && self.run.beside.below.is_some();
        let over = if is_asked && self.run.beside.is_over_joint(at, self.rules) {
            ", over a joint of the wall below"
        } else {
            ""
        };
        let (rule, lead) = self.lead(left, right, &to_left, &to_right);
        let tie = if matches!(to_right, Step::Costs(0)) || matches!(to_left, Step::Costs(0)) {
            "; equal costs are settled by whole modules, then even legs, then full panels from the left"
        } else {
            ""
        };
        let lead = format!("{lead}{over}");
        let words = format!(
            "{lead}: a step of {step} to the right {}, to the left {}{tie}",
            to_right.words(),
            to_left.words()
        );
        Reason {
            lead: Some(lead),
            ..reason(about, &rule, words)
        }
    }

    fn lead(
        &self,
        left: &Piece,
        right: &Piece,
        to_left: &Step,
        to_right: &Step,
    ) -> (String, String) {
        let width = left.to - left.from;
        if self.run.is_module(width, false)
            && let Some(line) = upright_line(self.rules, width, self.run.pricer.height)
        {
            let module = width + self.rules.joints.gap;
            let name = &self.rules.lines[line].name;
            return (
                "lines".to_owned(),
                format!(
                    "the panel to its left takes {module} of the wall, whole modules of the {name} line"
                ),
            );
        }
        let is_even = |piece: &Piece| {
            let held = super::assemble::held(self.run, piece);
            let first = held.first().and_then(|i| self.run.openings.get(*i));
            let last = held.last().and_then(|i| self.run.openings.get(*i));
            first.zip(last).is_some_and(|(a, b)| {
                (a.from - piece.from - (piece.to - b.to)).abs() <= grid(self.rules)
            })
        };
        match (to_left, to_right) {
            (_, Step::Breaks { rule, .. }) => (
                rule.clone(),
                "as far right as the rules let it go".to_owned(),
            ),
            (Step::Breaks { rule, .. }, _) => (
                rule.clone(),
                "as far left as the rules let it go".to_owned(),
            ),
            _ if is_even(left) || is_even(right) => (
                "cost".to_owned(),
                "the opening beside it stands in the middle of its panel".to_owned(),
            ),
            _ => (
                "cost".to_owned(),
                "the wall costs least with its joint here".to_owned(),
            ),
        }
    }

    /// What the joint before panel `i` would do at `joint`, the panels' other edges left alone.
    fn aside(&self, i: usize, joint: Length) -> Step {
        let gap = self.rules.joints.gap;
        if let Some(zone) = self
            .run
            .forbidden
            .iter()
            .find(|zone| zone.bars(joint - gap, joint))
        {
            return Step::Breaks {
                rule: zone.rule.to_owned(),
                words: zone.words.clone(),
            };
        }
        let (left, right) = (&self.solution.panels[i - 1], &self.solution.panels[i]);
        let here = self.pair_cents(i, right.from);
        let moved = self.pair_cents(i, joint);
        if let (Some(here), Some(moved)) = (here, moved) {
            return Step::Costs(moved - here);
        }
        let least = self.rules.joints.least_panel;
        if (joint - gap - left.from).min(right.to - joint) < least {
            return Step::Breaks {
                rule: "joints.least_panel".to_owned(),
                words: format!("no panel narrower than {least}"),
            };
        }
        Step::Breaks {
            rule: "lines".to_owned(),
            words: format!("no line makes a panel wider than {}", self.run.widest),
        }
    }

    fn pair_cents(&self, i: usize, joint: Length) -> Option<i64> {
        let (left, right) = (self.solution.panels[i - 1], self.solution.panels[i]);
        let before = self.cents(
            i - 1,
            &Piece {
                to: joint - self.rules.joints.gap,
                ..left
            },
        )?;
        let after = self.cents(
            i,
            &Piece {
                from: joint,
                ..right
            },
        )?;
        Some(before + after + self.run.joint_cents(joint))
    }

    fn cents(&self, i: usize, piece: &Piece) -> Option<i64> {
        let least = |side: Side, end: &super::run::End| {
            if side == Side::End {
                end.least
            } else {
                self.rules.joints.least_panel
            }
        };
        let width = piece.to - piece.from;
        let least = least(piece.left, &self.run.left).max(least(piece.right, &self.run.right));
        let held = super::assemble::held(self.run, piece);
        let area: f64 = held.iter().map(|i| self.run.openings[*i].area).sum();
        let price = self.run.pricer.price(width + self.extra(i), area)?;
        (width >= least).then_some(price.cents)
    }

    fn width(&self, i: usize) -> Reason {
        let piece = &self.solution.panels[i];
        let longer = piece.to - piece.from + self.extra(i);
        let height = self.run.pricer.height;
        let Some((line, way)) = upright_way(self.rules, longer, height)
            .and_then(|(i, way)| Some((self.rules.lines.get(i)?, way)))
        else {
            return reason("width", "lines", String::new());
        };
        let room = line.room(way).0;
        let feet = square_feet(longer, height);
        let words = if longer >= room - self.rules.joints.gap {
            format!("the whole width of the {} line, {feet:.1} sq ft", line.name)
        } else {
            format!(
                "ripped to {longer} on the {} line, whose panels are {room} wide",
                line.name
            )
        };
        let words = if way.is_axis_level {
            format!("{words}; strength axis horizontal under {}", line.report)
        } else {
            words
        };
        reason("width", "lines", words)
    }
}

/// Reasons for a header or sill panel.
pub(crate) fn of_infill(
    rules: &PlantRules,
    wall: &PanelWall,
    kind: PanelKind,
    opening: usize,
) -> Vec<Reason> {
    let id = wall
        .openings
        .get(opening)
        .map_or("", |opening| opening.id.as_str());
    let gap = rules.joints.gap;
    vec![
        reason(
            "width",
            "openings.whole_up_to",
            format!(
                "{id} is framed between panels: this {} panel fills it from jamb to jamb, less a gap of {gap} at each end",
                kind.name()
            ),
        ),
        reason(
            "mark",
            "order",
            "it stands in the row after the panels on both of its sides: it is set between them"
                .to_owned(),
        ),
    ]
}

fn dollars(cents: i64) -> String {
    let sign = if cents < 0 { "-" } else { "" };
    format!("{sign}${}.{:02}", cents.abs() / 100, cents.abs() % 100)
}

fn reason(about: &str, rule: &str, words: String) -> Reason {
    Reason {
        about: about.to_owned(),
        rule: rule.to_owned(),
        words,
        lead: None,
    }
}
