//! The order of erection from issue to issue: what stays keeps its number, what is new comes in between.
//!
//! ```text
//!   issued:   1 ── 2 ── 3 ────── 4 ── 5
//!   now:      1 ── 2 ── 3 ─ new ─ 4 ── 5      the new one is 3A
//! ```

use crate::units::Erection;

/// Places for panels in the order in which they are set now, each later than the one before.
///
/// - `issued`: the place of each in the issue before; `None` of a new one.
/// - The most that still follow each other keep theirs. Where that is less than half of them, another order begins: all are
///   numbered from 1.
pub(super) fn places(issued: &[Option<Erection>]) -> Vec<Erection> {
    let kept = longest_rising(issued);
    let n_kept = kept.iter().flatten().count();
    if n_kept * 2 < issued.iter().flatten().count() {
        return (1..).map(Erection::from).take(issued.len()).collect();
    }
    let mut before = Erection::default();
    let place = |(i, own): (usize, &Option<Erection>)| {
        before = match own {
            Some(own) if *own > before => *own,
            _ => {
                let bound = kept[i + 1..].iter().flatten().next();
                let whole = Erection::from(before.number + 1);
                let has_room = bound.is_none_or(|bound| whole < *bound);
                if has_room || before == Erection::default() {
                    whole
                } else {
                    before.next_letter()
                }
            }
        };
        before
    };
    kept.iter().enumerate().map(place).collect()
}

/// The longest part of the places that rises, the others left out.
fn longest_rising(issued: &[Option<Erection>]) -> Vec<Option<Erection>> {
    // Of each the length of the longest part that ends with it, and what stands before it there.
    let mut ends: Vec<(usize, Option<usize>)> = Vec::with_capacity(issued.len());
    for (i, own) in issued.iter().enumerate() {
        let before = (0..i).filter(|j| own.is_some() && issued[*j].is_some() && issued[*j] < *own);
        let longest = before.max_by_key(|j| (ends[*j].0, *j));
        ends.push((
            longest.map_or(0, |j| ends[j].0) + usize::from(own.is_some()),
            longest,
        ));
    }
    let mut kept = vec![None; issued.len()];
    let mut at = (0..issued.len())
        .filter(|i| issued[*i].is_some())
        .max_by_key(|i| ends[*i].0);
    while let Some(i) = at {
        kept[i] = issued[i];
        at = ends[i].1;
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    /// `12A` and `-` of a new panel.
    fn told(issued: &str) -> String {
        let place = |word: &str| {
            let number: String = word.chars().take_while(char::is_ascii_digit).collect();
            let place = Erection::from(number.parse::<u32>().ok()?);
            Some(if word.ends_with('A') {
                place.next_letter()
            } else {
                place
            })
        };
        let issued: Vec<Option<Erection>> = issued.split(' ').map(place).collect();
        let places = places(&issued);
        assert!(places.is_sorted_by(|a, b| a < b), "{places:?}");
        let words: Vec<String> = places.iter().map(ToString::to_string).collect();
        words.join(" ")
    }

    #[test]
    fn what_is_new_comes_in_between_and_nothing_else_moves() {
        assert_eq!(told("1 2 - 3"), "1 2 2A 3");
        assert_eq!(told("1 2 - - 3"), "1 2 2A 2B 3");
        assert_eq!(told("1 2 3 - -"), "1 2 3 4 5");
        assert_eq!(told("- 1 2 3"), "1 1A 2 3");
        assert_eq!(told("1 2 2A - 3"), "1 2 2A 2B 3");
    }

    #[test]
    fn what_is_gone_leaves_a_gap_that_a_new_panel_fills() {
        assert_eq!(told("1 2 4 5"), "1 2 4 5");
        assert_eq!(told("1 2 - 4 5"), "1 2 3 4 5");
    }

    #[test]
    fn only_a_panel_that_has_no_room_left_moves_on() {
        assert_eq!(told("1 2 - 2A 3"), "1 2 2A 2B 3");
    }

    #[test]
    fn what_is_set_elsewhere_now_is_numbered_there() {
        assert_eq!(told("1 5 2 3 4 6"), "1 1A 2 3 4 6");
        assert_eq!(told("6 5 4 3 2 1"), "1 2 3 4 5 6");
    }
}
