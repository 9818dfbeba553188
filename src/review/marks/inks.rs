//! What an editor made of the inks of a sheet: it writes black its own way, or rounds every width, and no reviewer did that.

use super::drawn::{Look, decimals};
use super::matching::share;
use std::collections::BTreeMap;

/// So many of one ink that all changed alike are the editor's doing, not the reviewer's.
const EDITORS: usize = 8;
/// And at least this share of all of that ink.
const EDITORS_SHARE: f64 = 0.6;
/// Colours are the same within this in every channel: what a change of colour space costs.
const SAME_COLOUR: i32 = 10;

/// One part of an ink: what it is of, and its value.
type Part<'a> = (&'static str, &'a str);

/// What most of each colour, width and dash became.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Inks {
    became: BTreeMap<(&'static str, String), String>,
}

impl Inks {
    /// From the inks of things that are the same on both sheets: as issued, and as they came back.
    pub(super) fn of<'a>(pairs: impl Iterator<Item = (&'a Look, &'a Look)>) -> Self {
        let mut all: BTreeMap<Part<'_>, BTreeMap<&str, usize>> = BTreeMap::new();
        for (was, now) in pairs {
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
        Self { became }
    }

    /// True for inks that differ by an editor's doing alone.
    pub(super) fn is_like(&self, was: &Look, now: &Look) -> bool {
        let mut all = parts(was).into_iter().zip(parts(now));
        all.all(|(was, now)| self.is_part_like(was, now.1))
    }

    /// The same, of what is seen of an outline: its line, or its inside where it has no line.
    pub(super) fn is_seen_like(&self, was: &Look, now: &Look) -> bool {
        let of = |look: &Look| look.stroke == "none";
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
            dash: String::new(),
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
    }
}
