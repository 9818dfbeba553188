//! Sizes in two parts: the width over the height, as two texts one under the other.
//!
//! ```text
//!    88        1,01        2'-6"
//!   ────      ──────      3'-0"
//!   213        2,13
//! ```
//!
//! Of more than two in one column each is a number of a table or of a row of dimensions, and none is joined.

use super::lengths::{centimetres, feet_and_inches, metres, millimetres};
use super::sizes;
use crate::drawing::Text;
use crate::plan::nearby::{Area, Nearby};
use geo::Coord;

/// Two texts that make one size.
pub(super) struct Stack<'a> {
    /// The upper one first.
    pub parts: [&'a Text; 2],
    /// As one size in one row.
    pub text: String,
}

/// The lower text begins within this of the upper, middle to middle, in heights of its letters.
const UNDER: (f64, f64) = (0.9, 2.6);
/// And stands so little aside.
const ASIDE: f64 = 1.0;

/// Parts texts into those that stand for themselves and those that make a size together.
pub(super) fn stacked(texts: Vec<&Text>) -> (Vec<&Text>, Vec<Stack<'_>>) {
    let is_side: Vec<bool> = texts.iter().map(|it| is_side(&it.content)).collect();
    let sides = || (0..texts.len()).filter(|i| is_side[*i]);
    let index = Nearby::new(sides().map(|i| (Area::of(texts[i].middle, texts[i].middle), i)));
    let beside = |i: usize| -> Vec<(usize, bool)> {
        let mut list = Vec::new();
        let reach = (UNDER.1 + ASIDE) * texts[i].height;
        index.visit_within(texts[i].middle, reach, |j| {
            if j != i
                && let Some(is_under) = under(texts[i], texts[j])
            {
                list.push((j, is_under));
            }
        });
        list
    };
    let mut is_joined = vec![false; texts.len()];
    let mut stacks = Vec::new();
    for i in sides() {
        let [(j, true)] = beside(i)[..] else { continue };
        if beside(j).len() != 1 {
            continue;
        }
        let (upper, lower) = (texts[i].content.trim(), texts[j].content.trim());
        let between = if upper.contains(['\'', '"', '′', '″', '’', '”']) {
            " x "
        } else {
            "/"
        };
        let text = format!("{upper}{between}{lower}");
        if sizes::size(&text).is_some() {
            (is_joined[i], is_joined[j]) = (true, true);
            stacks.push(Stack {
                parts: [texts[i], texts[j]],
                text,
            });
        }
    }
    let single = texts.iter().zip(&is_joined).filter(|(_, joined)| !**joined);
    (single.map(|(text, _)| *text).collect(), stacks)
}

/// True for one length of an opening and nothing with it.
fn is_side(text: &str) -> bool {
    let text = crate::units::typed_marks(text.trim());
    let length = feet_and_inches(&text)
        .or_else(|| centimetres(&text))
        .or_else(|| metres(&text))
        .or_else(|| millimetres(&text));
    length.is_some_and(|it| (10.0..=246.0).contains(&it))
}

/// Whether another text stands under (`true`) or over one; `None` when it does neither.
fn under(own: &Text, other: &Text) -> Option<bool> {
    let turned = (own.angle - other.angle).sin().abs();
    let is_alike = turned < 0.02 && (own.height / other.height - 1.0).abs() < 0.5;
    if !is_alike || own.height <= 0.0 {
        return None;
    }
    let along = Coord {
        x: own.angle.cos(),
        y: own.angle.sin(),
    };
    let d = other.middle - own.middle;
    let (aside, up) = (d.x * along.x + d.y * along.y, d.y * along.x - d.x * along.y);
    let is_near = aside.abs() <= ASIDE * own.height
        && (UNDER.0 * own.height..=UNDER.1 * own.height).contains(&up.abs());
    is_near.then_some(up < 0.0)
}
