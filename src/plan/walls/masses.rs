//! What is thicker than its wall and drawn in one outline with it: chimneys, columns and pilasters.
//!
//! ```text
//!      ┌──────┐ far side             ┌────┐
//!   ───┘ step └───                 ──┘    │        the wall's face turns off at a right angle, and another line goes on
//!   ──────────────  goes through   ───────┤        from there along the wall: the wall goes on behind it
//! ```

use crate::plan::axis::{Axis, covered, reaching};
use crate::plan::enclosure::network::{Network, network};
use crate::plan::lines::rails::{Rails, Way};
use crate::plan::walls::runs::{RARE, Run};

/// What is deeper than this beside its wall is a room, inches: 4 ft.
const DEEPEST: f64 = 48.0;
/// And what goes on beyond the wall's end by more, inches: 4 ft.
const LONGEST: f64 = 48.0;
/// Less than this is a casing or a frame, inches.
const LEAST: f64 = 1.5;
/// A mass along a wall is at least this wide, inches: narrower is the end of a partition that meets it. And at most this: a
/// chimney of 12 ft.
const NARROWEST: f64 = 7.0;
const WIDEST: f64 = 144.0;
/// A column on both sides of its wall is at most this wide, inches.
const COLUMN: f64 = 39.0;
/// The two sides of one mass are as deep within this, inches, beyond twice the drawing's slack.
const ALIKE: f64 = 0.3;
/// A wall of this length tells how thick the outside is, inches: 10 ft; those that end in masses are nearly as thick.
const TELLING: f64 = 120.0;
const LIKE_OUTSIDE: f64 = 0.8;
/// A face goes through where this share of it is drawn.
const THROUGH: f64 = 0.95;

/// A face that turns off at the end of a wall: how far, and how far a line goes on along the wall from there.
#[derive(Clone, Copy)]
struct Step {
    deep: f64,
    long: f64,
}

/// The step of one face of a wall that ends at `end.origin` and looks along `end`.
///
/// - `d`: where the face lies, from the axis to its left.
fn step(rails: &Rails, end: &Axis, d: f64, slack: f64) -> Option<Step> {
    let reach = ALIKE + 2.0 * slack;
    let far = d + d.signum() * DEEPEST;
    let is_across = |way: &Way| way.sine_from(end).abs() > 0.98;
    let deep = rails
        .near_line([end.point(0.0, d), end.point(0.0, far)], reach, is_across)
        .into_iter()
        .filter_map(|index| {
            let rail = &rails.list[index];
            let foot = rail.axis.s(end.point(0.0, d));
            let from = rail.axis.s(end.point(0.0, d + d.signum() * LEAST / 2.0));
            let (low, high) = *reaching(&rail.face_cover, from, from).first()?;
            let (near, tip) = if from > foot {
                (low, high)
            } else {
                (high, low)
            };
            let [near, tip] = [near, tip].map(|s| rail.axis.point(s, 0.0));
            let starts = (end.d(near) - d).abs() <= reach && end.s(near).abs() <= reach;
            let deep = (end.d(tip) - d).abs();
            (starts && (LEAST..=DEEPEST).contains(&deep)).then_some(deep)
        })
        .max_by(f64::total_cmp)?;
    let tip = d + d.signum() * deep;
    let is_along = |way: &Way| way.sine_from(end).abs() < 0.02;
    let long = rails
        .near_line(
            [end.point(0.0, tip), end.point(LEAST, tip)],
            reach,
            is_along,
        )
        .into_iter()
        .filter_map(|index| {
            let rail = &rails.list[index];
            let s = rail.axis.s(end.point(LEAST / 2.0, tip));
            let (low, high) = *reaching(&rail.face_cover, s, s).first()?;
            let ends = [low, high].map(|s| rail.axis.point(s, 0.0));
            let is_here = ends.iter().all(|p| (end.d(*p) - tip).abs() <= reach);
            let [p, q] = ends.map(|p| end.s(p));
            let starts = p.min(q).abs() <= reach;
            (is_here && starts && p.max(q) >= LEAST).then_some(p.max(q))
        })
        .max_by(f64::total_cmp)?;
    Some(Step { deep, long })
}

/// True when the face of a wall is drawn from the end of it on.
fn goes_through(rails: &Rails, end: &Axis, d: f64, long: f64, slack: f64) -> bool {
    let reach = ALIKE + 2.0 * slack;
    let is_along = |way: &Way| way.sine_from(end).abs() < 0.02;
    let ends = [end.point(0.0, d), end.point(long, d)];
    let near = rails.near_line(ends, reach, is_along);
    near.into_iter().any(|index| {
        let rail = &rails.list[index];
        let [p, q] = ends.map(|p| rail.axis.s(p));
        let off = ends.map(|p| rail.axis.d(p).abs());
        off.iter().all(|it| *it <= reach)
            && covered(&rail.face_cover, p.min(q), p.max(q)) >= THROUGH * long
    })
}

/// True when a mass stands in the gap of a wall: each face goes through it or turns off round it at both ends, one at least.
///
/// - `gap`: from one end of the wall to the other.
pub(in crate::plan) fn fills(
    rails: &Rails,
    (gap, width): (&Axis, f64),
    thickness: f64,
    slack: f64,
) -> bool {
    if !(NARROWEST..=WIDEST).contains(&width) {
        return false;
    }
    let back = Axis {
        origin: gap.point(width, 0.0),
        along: gap.along * -1.0,
    };
    let mut n_steps = 0;
    for d in [thickness / 2.0, -thickness / 2.0] {
        if goes_through(rails, gap, d, width, slack) {
            continue;
        }
        let steps = (step(rails, gap, d, slack), step(rails, &back, -d, slack));
        let (Some(first), Some(last)) = steps else {
            return false;
        };
        if (first.deep - last.deep).abs() > ALIKE + 2.0 * slack {
            return false;
        }
        n_steps += 1;
    }
    n_steps == 1 || n_steps == 2 && width <= COLUMN
}

/// Takes the loose ends of walls on into the masses that they end at, where they meet something then.
pub(in crate::plan) fn go_on_in_masses(
    rails: &Rails,
    runs: &mut [Run],
    before: Network,
    slack: f64,
) -> Network {
    // Where partitions end at a column is of no matter to the outside.
    let long = runs
        .iter()
        .filter(|it| it.support >= RARE && it.u1 - it.u0 >= TELLING);
    let thick = long.map(|it| it.thickness).fold(0.0, f64::max);
    let mut moved: Vec<(usize, usize, f64)> = Vec::new();
    for (i, (run, free)) in runs.iter().zip(&before.free).enumerate() {
        for side in [0, 1] {
            let is_thick = run.thickness >= LIKE_OUTSIDE * thick;
            if is_thick && free[side] && !run.capped[side] && run.curve.is_none() {
                let far = in_mass(rails, run, side, slack);
                moved.extend(far.map(|u| (i, side, u)));
            }
        }
    }
    if moved.is_empty() {
        return before;
    }
    for (run, side, far) in &mut moved {
        let end = end_of(&mut runs[*run], *side);
        std::mem::swap(end, far);
    }
    let after = network(runs);
    moved.retain(|(run, side, _)| after.free[*run][*side]);
    if moved.is_empty() {
        return after;
    }
    for (run, side, near) in moved {
        *end_of(&mut runs[run], side) = near;
    }
    network(runs)
}

const fn end_of(run: &mut Run, side: usize) -> &mut f64 {
    if side == 0 { &mut run.u0 } else { &mut run.u1 }
}

/// Where a wall ends that goes on in the mass at one of its ends.
fn in_mass(rails: &Rails, run: &Run, side: usize, slack: f64) -> Option<f64> {
    let (u, sign) = if side == 0 {
        (run.u0, -1.0)
    } else {
        (run.u1, 1.0)
    };
    let end = Axis {
        origin: run.axis.point(u, 0.0),
        along: run.axis.along * sign,
    };
    let half = run.thickness / 2.0;
    let steps = [half, -half].map(|d| (d, step(rails, &end, d, slack)));
    let own = steps.iter().filter_map(|it| it.1);
    let long = own.map(|it| it.long).min_by(f64::total_cmp)?;
    let is_whole = |(d, step): &(f64, Option<Step>)| {
        step.is_some() || goes_through(rails, &end, *d, long, slack)
    };
    (long <= LONGEST && steps.iter().all(is_whole)).then_some(u + sign * long)
}

#[cfg(test)]
mod tests {
    use crate::findings::{Finding, Severity};
    use crate::plan::trial::{exterior_openings, open_shell, recovered};

    /// The house with a window below, and its upper wall's inner face broken round what stands against it from 150 to 222.
    fn house(round: &[[f64; 4]]) -> Vec<[f64; 4]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.retain(|l| !(l[1] == 234.0 && l[3] == 234.0));
        lines.extend([[6.0, 234.0, 150.0, 234.0], [222.0, 234.0, 354.0, 234.0]]);
        lines.extend([[150.0, 234.0, 150.0, 198.0], [222.0, 234.0, 222.0, 198.0]]);
        lines.extend(round);
        lines
    }

    #[test]
    fn the_wall_goes_on_behind_a_chimney_in_one_outline_with_it() {
        let whole = house(&[[150.0, 198.0, 222.0, 198.0]]);
        // With the fire's place in it.
        let open = house(&[
            [150.0, 198.0, 160.0, 198.0],
            [212.0, 198.0, 222.0, 198.0],
            [160.0, 198.0, 160.0, 214.0],
            [212.0, 198.0, 212.0, 214.0],
            [160.0, 214.0, 212.0, 214.0],
        ]);
        let is_asked = |it: &Finding| it.severity != Severity::Note;
        for lines in [whole, open] {
            let found = recovered(&lines);
            let plan = found.output;
            assert!(!found.findings.iter().any(is_asked));
            assert_eq!(plan.storeys[0].outline.len(), 4);
            assert_eq!(exterior_openings(&plan), [[118.0, 3.0, 36.0]]);
        }
        // Nothing at the back of it: nobody says what the gap is.
        assert!(recovered(&house(&[])).findings.iter().any(is_asked));
    }

    #[test]
    fn walls_end_in_a_column_in_one_outline_with_them() {
        // The lower left corner is a column of 20 in, flush with the outside.
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.retain(|l| *l != [6.0, 6.0, 100.0, 6.0]);
        lines.retain(|l| !(l[0] == 6.0 && l[2] == 6.0));
        lines.extend([
            [20.0, 6.0, 100.0, 6.0],
            [20.0, 6.0, 20.0, 20.0],
            [20.0, 20.0, 6.0, 20.0],
            [6.0, 20.0, 6.0, 234.0],
        ]);
        let plan = recovered(&lines).output;
        assert_eq!(plan.storeys[0].outline.len(), 4);
        assert_eq!(plan.storeys[0].walls.len(), 4);
    }
}
