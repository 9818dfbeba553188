//! What an editor made of the inks of a sheet: it writes black its own way, or rounds every width, and no reviewer did that.

use super::drawn::{Look, decimals};
use super::matching::share;
use std::collections::BTreeMap;

/// So many of one ink that all changed alike are the editor's doing, not the reviewer's.
const EDITORS: usize = 8;
/// And at least this share of all of that ink.
const EDITORS_SHARE: f64 = 0.6;
/// When more than this share of all lines came back in another ink, and so many, the inks say nothing any more.
const LOST_SHARE: f64 = 0.4;
const LOST: usize = 20;
/// So many widths that became one are more than rounding.
const ONE_WIDTH: usize = 3;
/// Colours are the same within this in every channel: what a change of colour space costs.
const SAME_COLOUR: i32 = 10;

/// One part of an ink: what it is of, and its value.
type Part<'a> = (&'static str, &'a str);

/// What most of each colour, width and dash became.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Inks {
    became: BTreeMap<(&'static str, String), String>,
    are_lost: bool,
}

impl Inks {
    /// From the inks of things that are the same on both sheets: as issued, and as they came back.
    pub(super) fn of<'a>(pairs: impl Iterator<Item = (&'a Look, &'a Look)>) -> Self {
        let mut all: BTreeMap<Part<'_>, BTreeMap<&str, usize>> = BTreeMap::new();
        let pairs: Vec<_> = pairs.collect();
        for (was, now) in pairs.iter().copied() {
            for ((what, was), (_, now)) in parts(was).into_iter().zip(parts(now)) {
                *all.entry((what, was)).or_default().entry(now).or_default() += 1;
            }
        }
        let mut became = BTreeMap::new();
        for ((what, was), nows) in all {
            let of: usize = nows.values().sum();
            let most = nows.into_iter().max_by_key(|(_, n)| *n);
            let editors = |n: usize| n > 1 && n >= EDITORS.min(of) && share(n, of) >= EDITORS_SHARE;
            if let Some((now, n)) = most
                && editors(n)
                && now != was
            {
                became.insert((what, was.to_owned()), now.to_owned());
            }
        }
        let mut inks = Self {
            became,
            are_lost: false,
        };
        let has_line = |it: &&(&Look, &Look)| it.0.stroke != "none";
        let of = pairs.iter().filter(has_line).count();
        let others = (pairs.iter().filter(has_line))
            .filter(|(was, now)| !inks.is_like(was, now))
            .count();
        let widths = inks.became.iter().filter(|it| it.0.0 == "width");
        let mut now: Vec<&String> = widths.map(|it| it.1).collect();
        now.sort_unstable();
        let is_one = now.windows(ONE_WIDTH).any(|it| it[0] == it[ONE_WIDTH - 1]);
        inks.are_lost = is_one || (others >= LOST && share(others, of) > LOST_SHARE);
        inks
    }

    /// True when an editor saved the lines of a sheet without their inks, or all in one: none says what a reviewer did.
    pub(super) const fn are_lost(&self) -> bool {
        self.are_lost
    }

    /// True for inks that differ by an editor's doing alone.
    pub(super) fn is_like(&self, was: &Look, now: &Look) -> bool {
        let mut all = parts(was).into_iter().zip(parts(now));
        all.all(|(was, now)| self.is_part_like(was, now.1))
    }

    /// The same, of what is seen of an outline: its line, or its inside where it has no line.
    pub(super) fn is_seen_like(&self, was: &Look, now: &Look) -> bool {
        let of = |look: &Look| look.stroke == "none";
        if self.are_lost {
            return true;
        }
        if of(was) != of(now) {
            return false;
        }
        let [line, inside, width, dash] = parts(was);
        let [line_now, inside_now, width_now, dash_now] = parts(now);
        if of(was) {
            return self.is_part_like(inside, inside_now.1);
        }
        self.is_part_like(line, line_now.1)
            && self.is_part_like(width, width_now.1)
            && self.is_part_like(dash, dash_now.1)
    }

    /// True for a colour as issued and what an editor made of it.
    pub(super) fn is_colour_like(&self, was: &str, now: &str) -> bool {
        self.is_part_like((COLOUR, was), now)
    }

    fn is_part_like(&self, was: Part<'_>, now: &str) -> bool {
        if self.are_lost {
            return true;
        }
        let became = self.became.get(&(was.0, was.1.to_owned()));
        is_near(was.0, was.1, now) || became.is_some_and(|it| is_near(was.0, it, now))
    }
}

const COLOUR: &str = "colour";

fn parts(look: &Look) -> [Part<'_>; 4] {
    [
        (COLOUR, &look.stroke),
        (COLOUR, &look.fill),
        ("width", &look.width),
        ("dash", &look.dash),
    ]
}

/// True for values that differ by rounding alone.
fn is_near(what: &str, a: &str, b: &str) -> bool {
    if what != COLOUR {
        // Editors round to hundredths of their own units.
        let within = if what == "width" { 0.025 } else { 0.15 };
        let (a, b) = (decimals(a), decimals(b));
        return a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| (a - b).abs() <= within);
    }
    let channels = |text: &str| -> Option<[i32; 3]> {
        let digits = text.strip_prefix('#').filter(|it| it.len() == 6)?;
        let one = |at: usize| i32::from_str_radix(digits.get(at..at + 2)?, 16).ok();
        Some([one(0)?, one(2)?, one(4)?])
    };
    match (channels(a), channels(b)) {
        (Some(a), Some(b)) => a.iter().zip(b).all(|(a, b)| (a - b).abs() <= SAME_COLOUR),
        _ => a == b,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look(stroke: &str, width: &str) -> Look {
        Look {
            stroke: stroke.to_owned(),
            fill: "none".to_owned(),
            width: width.to_owned(),
            ..Look::default()
        }
    }

    #[test]
    fn a_black_that_became_another_everywhere_is_the_editors_and_a_blue_one_is_not() {
        let (black, rich, wide) = (
            look("#000000", "0.35"),
            look("#231f20", "0.35"),
            look("#000000", "0.70"),
        );
        let many = std::iter::repeat_n((&black, &rich), 20);
        let inks = Inks::of(many.chain([(&wide, &look("#0000ff", "0.70"))]));
        assert!(inks.is_like(&black, &rich));
        // A width that stands once says nothing of its colour: that is told by all lines.
        assert!(inks.is_like(&wide, &look("#231f20", "0.70")));
        assert!(!inks.is_like(&wide, &look("#0000ff", "0.70")));
        assert!(inks.is_colour_like("#b3261e", "#b2271f"));
        assert!(!inks.are_lost());
    }

    #[test]
    fn lines_without_ink_or_all_in_one_say_nothing_and_a_few_restyled_do() {
        let was: Vec<Look> = ["0.18", "0.25", "0.35", "0.70"]
            .iter()
            .flat_map(|width| std::iter::repeat_n(look("#000000", width), 10))
            .collect();
        let lost = |now: &dyn Fn(usize, &Look) -> Look| {
            let now: Vec<Look> = was.iter().enumerate().map(|(n, it)| now(n, it)).collect();
            Inks::of(was.iter().zip(&now)).are_lost()
        };
        let none = Look {
            stroke: "none".to_owned(),
            fill: "#000000".to_owned(),
            ..Look::default()
        };
        assert!(lost(&|_, _| none.clone()));
        assert!(lost(&|_, _| look("#000000", "0.20")));
        let red = |n: usize, it: &Look| match n % 10 {
            0 | 1 => look("#ff0000", &it.width),
            _ => it.clone(),
        };
        assert!(!lost(&red));
    }
}
