//! Walls that another wall meets right beside their corner go on past it.
//!
//! ```text
//!   corner ┏━━━━┯━━━┯━━━━━        both faces are drawn only beyond the partition: the run begins there;
//!          ┃    │   │             one face is drawn on the corner's side too, so the wall goes on
//!          ┃    ┷   ┷
//! ```

use crate::plan::axis::covered;
use crate::plan::lines::rails::{Rails, around};
use crate::plan::nearby::Nearby;
use crate::plan::walls::runs::Run;
use crate::side_by_side::in_stretches;

/// The wall across begins within this of a run's end, inches, beyond the drawing's slack.
const AT_END: f64 = 0.5;
/// A face goes on beyond the wall across by at least this, inches.
const GOES_ON: f64 = 0.75;

/// Takes the ends of runs past the walls that meet them there.
pub(in crate::plan) fn go_through(rails: &Rails, runs: &mut [Run], slack: f64) {
    let tree = Nearby::new(
        runs.iter()
            .enumerate()
            .filter_map(|(i, run)| Some((around(&run.corners(), run.thickness)?, i))),
    );
    let all: &[Run] = runs;
    let found = in_stretches(all.len(), |part| {
        let ends = part.flat_map(|i| [(i, 0), (i, 1)]);
        let open = ends.filter(|&(i, side)| !all[i].capped[side]);
        open.filter_map(|(i, side)| {
            let run = &all[i];
            let (end, sign) = [(run.u0, -1.0), (run.u1, 1.0)][side];
            let area = around(&[run.axis.point(end, 0.0)], run.thickness)?;
            let far = (tree.sorted(&area).into_iter())
                .filter(|j| *j != i)
                .filter_map(|j| far_side(run, &all[j], (end, sign), slack))
                .filter(|far| goes_on(rails, run, *far, sign))
                .max_by(|p, q| (p * sign).total_cmp(&(q * sign)))?;
            Some((i, side, far))
        })
        .collect()
    });
    for (i, side, far) in found {
        if side == 0 {
            runs[i].u0 = far;
        } else {
            runs[i].u1 = far;
        }
    }
}

/// The far side of a wall across that begins at the end of a run and is thinner than a corner's reach.
fn far_side(run: &Run, other: &Run, (end, sign): (f64, f64), slack: f64) -> Option<f64> {
    let sine = run.axis.sine(&other.axis).abs();
    if sine < 0.9 {
        return None;
    }
    let u = run.axis.meets(&other.axis)?;
    let v = other.axis.s(run.axis.point(u, 0.0));
    let reach = run.thickness / 2.0 + AT_END + slack;
    let ends_here = (v - other.u0).abs() <= reach || (v - other.u1).abs() <= reach;
    let half = other.thickness / 2.0 / sine;
    let begins = (sign * (u - end) - half).abs() <= AT_END + slack;
    (ends_here && begins).then_some(u + sign * half)
}

/// True when one of the run's faces is drawn beyond a place.
fn goes_on(rails: &Rails, run: &Run, from: f64, sign: f64) -> bool {
    run.rails.iter().any(|&rail| {
        let rail = &rails.list[rail];
        let s = rail.axis.s(run.axis.point(from, 0.0));
        let t = rail.axis.s(run.axis.point(from + sign * GOES_ON, 0.0));
        covered(&rail.face_cover, s.min(t), s.max(t)) > 0.9 * GOES_ON
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{open_shell, recovered};

    #[test]
    fn a_partition_right_beside_a_corner_leaves_it_closed() {
        // The partition's face stands 1/2 in off the inside corner, lower left.
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.retain(|l| *l != [6.0, 6.0, 100.0, 6.0]);
        lines.extend([
            [6.0, 6.0, 6.5, 6.0],
            [11.0, 6.0, 100.0, 6.0],
            [6.5, 6.0, 6.5, 120.0],
            [11.0, 6.0, 11.0, 120.0],
            [6.5, 120.0, 11.0, 120.0],
        ]);
        let storey = &recovered(&lines).output.storeys[0];
        assert_eq!(storey.outline.len(), 4);
        assert_eq!(storey.walls.iter().filter(|it| it.is_exterior).count(), 4);
    }
}
