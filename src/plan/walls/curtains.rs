//! Glass between posts: an opening where it stands in line with a wall, else a wall of glass that no panel is made for.
//!
//! ```text
//!   ━━━━━┓□───□───□      in line with the wall, within its thickness: one opening of that wall, up to the corner
//!        ┗━━━
//!      □───□───□         in line with nothing: a curtain wall
//! ```

use crate::plan::axis::Axis;
use crate::plan::enclosure::network::Network;
use crate::plan::lines::symbols::Place;
use crate::plan::walls::runs::Run;
use rstar::RTree;
use rstar::primitives::GeomWithData;

/// A post is at most this many times as long as it is thick.
const POST: f64 = 1.15;
/// Posts of a curtain wall that stands in line with nothing.
const CURTAIN_POSTS: usize = 3;
/// A post touches the wall it stands against within this, inches.
const TOUCHES: f64 = 2.5;

/// Turns runs of posts and glass into openings of the walls they stand in line with, or into curtain walls.
pub(in crate::plan) fn glaze(runs: &mut Vec<Run>, place: &Place<'_>) {
    let glass: Vec<usize> = (0..runs.len()).filter(|&i| is_glass(&runs[i])).collect();
    let ends: Vec<GeomWithData<[f64; 2], (usize, usize)>> = runs
        .iter()
        .enumerate()
        .filter(|(i, _)| glass.binary_search(i).is_err())
        .flat_map(|(i, run)| {
            [(0, run.u0), (1, run.u1)].map(|(side, u)| {
                let p = run.axis.point(u, 0.0);
                GeomWithData::new([p.x, p.y], (i, side))
            })
        })
        .collect();
    let tree = RTree::bulk_load(ends);
    let mut gone = Vec::new();
    for &b in &glass {
        let hosts: Vec<(usize, usize, f64)> = [runs[b].u0, runs[b].u1]
            .into_iter()
            .filter_map(|u| {
                let p = runs[b].axis.point(u, 0.0);
                let mut near: Vec<(usize, usize)> = tree
                    .locate_within_distance([p.x, p.y], 400.0)
                    .map(|it| it.data)
                    .filter(|&(a, side)| continues(&runs[a], side, &runs[b]))
                    .collect();
                near.sort_unstable();
                near.first().map(|&(a, side)| (a, side, u))
            })
            .collect();
        if let Some(&(a, side, near)) = hosts.first() {
            let far = if near > runs[b].u0 {
                runs[b].u0
            } else {
                runs[b].u1
            };
            let far = runs[a].axis.s(runs[b].axis.point(far, 0.0));
            extend(&mut runs[a], side, far, place);
            gone.push(b);
        } else if runs[b].n_solids >= CURTAIN_POSTS {
            runs[b].is_curtain = true;
            runs[b].cells.clear();
        }
    }
    let mut index = 0..;
    runs.retain(|_| index.next().is_some_and(|i: usize| !gone.contains(&i)));
}

/// True when every solid piece is a post, closed all round, and every gap is glazed: a pier at a corner is open towards it.
fn is_glass(run: &Run) -> bool {
    run.n_solids >= 2
        && run.capped == [true, true]
        && run.longest <= POST * run.thickness
        && run.cells.len() + 1 >= run.n_solids
        && run
            .cells
            .iter()
            .all(|cell| cell.evidence.swings.is_empty() && cell.evidence.is_drawn())
}

/// True when the end of a wall touches a run of glass that goes on in line, within the wall's faces.
fn continues(wall: &Run, side: usize, glass: &Run) -> bool {
    let (end, sign) = if side == 0 {
        (wall.u0, -1.0)
    } else {
        (wall.u1, 1.0)
    };
    let mut on = glass
        .corners()
        .map(|p| (sign * (wall.axis.s(p) - end), wall.axis.d(p).abs()));
    on.sort_by(|p, q| p.0.total_cmp(&q.0));
    wall.capped[side]
        && glass.thickness < 0.85 * wall.thickness
        && on.iter().all(|(_, d)| *d <= wall.thickness / 2.0 + 0.5)
        && on[0].0.abs() <= TOUCHES
}

/// Gives a wall the opening from its end to `far`.
fn extend(wall: &mut Run, side: usize, far: f64, place: &Place<'_>) {
    let near = if side == 0 { wall.u0 } else { wall.u1 };
    let (u0, u1) = (near.min(far), near.max(far));
    let axis = Axis {
        origin: wall.axis.point(u0, 0.0),
        ..wall.axis
    };
    let evidence = place.look(&axis, u1 - u0, wall.thickness);
    wall.open_into_corner(side, far, evidence);
}

/// Ends openings that run into a corner where the walls meet. Where glass goes round the corner, the longer of the two openings
/// goes on to the outer face: its head carries over the other's.
pub(in crate::plan) fn end_at_corners(runs: &mut [Run], network: &Network) {
    for (run, stops) in runs.iter_mut().zip(&network.stops) {
        let (Some(first), Some(last)) = (stops.first(), stops.last()) else {
            continue;
        };
        for cell in run.cells.iter_mut().filter(|cell| cell.in_corner) {
            cell.u0 = cell.u0.max(first.0);
            cell.u1 = cell.u1.min(last.0);
        }
        run.cells.retain(|cell| cell.u1 > cell.u0);
    }
    // Node, run, cell, width, at the run's start.
    let mut ends: Vec<(usize, usize, usize, f64, bool)> = Vec::new();
    for (index, (run, stops)) in runs.iter().zip(&network.stops).enumerate() {
        let (Some(first), Some(last)) = (stops.first(), stops.last()) else {
            continue;
        };
        for (k, cell) in run.cells.iter().enumerate().filter(|(_, it)| it.in_corner) {
            let width = cell.u1 - cell.u0;
            if (cell.u0 - first.0).abs() < 1e-6 {
                ends.push((first.1, index, k, width, true));
            } else if (cell.u1 - last.0).abs() < 1e-6 {
                ends.push((last.1, index, k, width, false));
            }
        }
    }
    ends.sort_by(|p, q| p.0.cmp(&q.0).then(q.3.total_cmp(&p.3)).then(p.1.cmp(&q.1)));
    for pair in ends.windows(2).filter(|pair| pair[0].0 == pair[1].0) {
        let (_, long, k, _, at_start) = pair[0];
        let other = &runs[pair[1].1];
        let sine = other.axis.sine(&runs[long].axis).abs();
        let out = other.thickness / 2.0 / sine.max(0.3);
        let cell = &mut runs[long].cells[k];
        if at_start {
            cell.u0 -= out;
        } else {
            cell.u1 += out;
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{exterior_openings, recovered, shell, sides};

    /// The shell without its lower wall.
    fn open_below() -> Vec<[f64; 4]> {
        let mut lines = shell();
        lines.retain(|l| !(l[1] < 7.0 && l[3] < 7.0));
        lines.retain(|l| ![0.0, 6.0, 354.0, 360.0].contains(&l[0]) || l[0] != l[2]);
        for x in [0.0, 6.0, 354.0, 360.0] {
            lines.push([
                x,
                0.0,
                x,
                if x == 0.0 || x == 360.0 { 240.0 } else { 234.0 },
            ]);
        }
        lines
    }

    fn posts_and_glass(lines: &mut Vec<[f64; 4]>, places: &[f64], y: f64) {
        for (i, x) in places.iter().enumerate() {
            lines.extend(sides(*x, y, x + 2.5, y + 4.0));
            if let Some(next) = places.get(i + 1) {
                lines.push([x + 2.5, y + 1.8, *next, y + 1.8]);
                lines.push([x + 2.5, y + 2.2, *next, y + 2.2]);
            }
        }
    }

    #[test]
    fn glass_between_posts_in_line_with_nothing_is_a_curtain_wall() {
        let mut lines = open_below();
        lines.extend([[0.0, 0.0, 6.0, 0.0], [354.0, 0.0, 360.0, 0.0]]);
        posts_and_glass(&mut lines, &[6.0, 93.0, 180.0, 267.0, 351.5], 1.0);
        let found = recovered(&lines);
        assert!(found.findings.iter().any(|f| f.code == codes::CURTAIN));
        assert!(exterior_openings(&found.output).is_empty());
        assert_eq!(found.output.storeys[0].outline.len(), 4);
    }

    #[test]
    fn glass_between_posts_in_line_with_a_wall_is_an_opening_of_it() {
        let mut lines = open_below();
        lines.extend([
            [0.0, 0.0, 6.0, 0.0],
            [200.0, 0.0, 360.0, 0.0],
            [200.0, 6.0, 354.0, 6.0],
            [200.0, 0.0, 200.0, 6.0],
        ]);
        posts_and_glass(&mut lines, &[6.0, 70.0, 134.0, 197.5], 1.0);
        let found = recovered(&lines);
        let openings = exterior_openings(&found.output);
        assert_eq!(openings.len(), 1);
        assert_eq!(openings[0][0] + openings[0][2] / 2.0, 200.0);
    }
}
