//! Frames as deep as their wall: short boxes between the wall's own jamb and the opening.
//!
//! ```text
//!   ─────────┐┌──┐          both faces end at the wall's jamb, and again a little further on:
//!     wall   ││  │ opening    the box stands in the opening, and the wall ends where its faces do
//!   ─────────┘└──┘
//! ```

use crate::plan::lines::rails::Rails;
use crate::plan::pieces::bands::{Band, FURRING, Span};
use crate::plan::walls::piers::breaks_at;
use std::ops::Range;

/// Spans of one band meet where they end within this of each other, inches.
const MEET: f64 = 0.05;

/// For each span of a band whether it is a frame, or one of several boxes that make one: it begins at the jamb of a wall, and no wall
/// follows.
///
/// - `is_opening`: true for a span between two jambs that is an opening; beside it the drawing's slack.
pub(super) fn linings(
    rails: &Rails,
    band: &Band,
    (is_opening, slack): (&dyn Fn(usize) -> bool, f64),
) -> Vec<bool> {
    let spans = &band.spans;
    let mut found = vec![false; spans.len()];
    for k in 0..spans.len() {
        for ahead in [true, false] {
            for frame in beyond(rails, band, (k, ahead), is_opening, slack) {
                found[frame] = true;
            }
        }
    }
    found
}

/// The frame that stands beyond one end of a span, if that is wall.
fn beyond(
    rails: &Rails,
    band: &Band,
    (wall, ahead): (usize, bool),
    is_opening: &dyn Fn(usize) -> bool,
    slack: f64,
) -> Range<usize> {
    let spans = &band.spans;
    let next = |k: usize| {
        let it = if ahead {
            k.checked_add(1)
        } else {
            k.checked_sub(1)
        };
        it.filter(|it| {
            let (low, high) = (k.min(*it), k.max(*it));
            high < spans.len() && spans[high].u0 - spans[low].u1 < MEET
        })
    };
    let long = |it: &Span| it.u1 - it.u0;
    let own = &spans[wall];
    let is_broken = |u| breaks_at(rails, band.rails, &band.axis, u, slack);
    let jamb = own.jambs[usize::from(ahead)].map(|it| it.u);
    // Of two short boxes side by side either may be the frame.
    let is_wall = long(own) >= FURRING && jamb.is_some() && !is_opening(wall);
    let (mut end, mut total) = (wall, 0.0);
    while let Some(k) = next(end).filter(|k| is_wall && !is_opening(*k)) {
        total += long(&spans[k]);
        if total >= FURRING {
            return 0..0;
        }
        end = k;
    }
    if end == wall || !jamb.is_some_and(is_broken) {
        return 0..0;
    }
    if ahead { wall + 1..end + 1 } else { end..wall }
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{exterior_openings, open_shell, recovered, sides};

    #[test]
    fn frames_as_deep_as_their_wall_stand_in_the_opening() {
        for wide in [1.5, 2.0, 2.6] {
            let mut lines = open_shell(100.0, 136.0);
            lines.extend(sides(100.0, 0.0, 100.0 + wide, 6.0));
            lines.extend(sides(136.0 - wide, 0.0, 136.0, 6.0));
            lines.extend(sides(100.0 + wide, 2.0, 136.0 - wide, 3.5));
            let openings = exterior_openings(&recovered(&lines).output);
            assert_eq!(openings, [[118.0, 3.0, 36.0]], "{wide}");
        }
    }

    #[test]
    fn a_frame_drawn_in_one_with_its_leaf_stands_in_the_opening() {
        let mut lines = open_shell(100.0, 136.0);
        for (jamb, x) in [(100.0, 102.0), (136.0, 134.0)] {
            lines.extend([0.0, 6.0].map(|y| [jamb, y, x, y]));
            lines.extend([[x, 0.0, x, 2.0], [x, 3.5, x, 6.0]]);
        }
        lines.extend([2.0, 3.5].map(|y| [102.0, y, 134.0, y]));
        let openings = exterior_openings(&recovered(&lines).output);
        assert_eq!(openings, [[118.0, 3.0, 36.0]]);
    }

    #[test]
    fn a_post_in_a_wall_whose_faces_run_on_over_it_is_wall() {
        let mut lines = open_shell(100.0, 136.0);
        lines.extend([[97.5, 0.0, 97.5, 6.0], [100.0, 3.0, 136.0, 3.0]]);
        let openings = exterior_openings(&recovered(&lines).output);
        assert_eq!(openings, [[118.0, 3.0, 36.0]]);
    }
}
