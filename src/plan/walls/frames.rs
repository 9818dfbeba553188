//! What stands in openings and looks like wall: posts, frames, glazing against a face.
//!
//! ```text
//!    ─────┐╷     ╷┌─────      slivers at a jamb, posts between jambs, thin pairs inside a thick one
//!    ─────┘╵══□══╵└─────
//! ```

use crate::plan::axis::Axis;
use crate::plan::lines::rails::{Rails, around};
use crate::plan::nearby::{Area, Nearby};
use crate::plan::pieces::bands::jambs_between;
use crate::plan::pieces::solids::{CASING, Solid};
use crate::plan::walls::bonds::{Bond, NARROWEST};
use crate::plan::walls::reveals::NIB;
use crate::plan::walls::runs::{Cell, RARE, Run};
use crate::side_by_side::{in_stretches, one_each};

/// The jamb of an opening stands within this of its end, inches, beyond the drawing's slack.
const AT_JAMB: f64 = 0.6;
/// A run shorter than this many thicknesses is a stub.
const STUB: f64 = 1.5;
/// A post is at most this many times as long as it is thick.
const SQUARE: f64 = 1.25;
/// Above this sine two axes lie across one another.
const SQUARELY: f64 = 0.98;
/// A frame may stand this far out of its wall, inches.
const FRAME_SLACK: f64 = 1.0;
/// Within this sine two axes lie along one another.
const PARALLEL: f64 = 0.02;
/// A frame that stands off the faces of its wall does so by more, inches.
const OFF_FACE: f64 = 0.5;
/// A nib stands at the end of its opening and on a face of its wall within this, inches.
const FLUSH: f64 = 0.3;
/// A run that shares more than this of its length with a better supported one in the same place is none.
const OVER: f64 = 0.4;

/// Solids that are no wall, by rising index.
pub(super) fn no_walls(solids: &[Solid], bonds: &[&Bond]) -> Vec<usize> {
    let mut list = posts(solids, bonds);
    list.extend(slivers(solids, bonds));
    list.sort_unstable();
    list.dedup();
    list
}

/// Slivers beyond a jamb: the jamb closes the wall, and the wall does not go on at the sliver's other end.
fn slivers(solids: &[Solid], bonds: &[&Bond]) -> Vec<usize> {
    let mut goes_on = vec![[false, false]; solids.len()];
    // Of two pieces that touch the jamb between them may have been given to one.
    let mut closed: Vec<[bool; 2]> = solids
        .iter()
        .map(|it| it.jambs.map(|j| j.is_some()))
        .collect();
    for bond in bonds.iter().filter(|bond| bond.cells.is_empty()) {
        let ends = [(bond.a, bond.ends[0]), (bond.b, bond.ends[1])];
        let is_closed = ends.iter().any(|&(i, end)| solids[i].jambs[end].is_some());
        for (i, end) in ends {
            goes_on[i][end] = true;
            closed[i][end] |= is_closed;
        }
    }
    (0..solids.len())
        .filter(|&i| {
            let it = &solids[i];
            let open = match closed[i] {
                [true, false] => 1,
                [false, true] => 0,
                _ => return false,
            };
            it.u1 - it.u0 < CASING && !goes_on[i][open]
        })
        .collect()
}

/// Solids that stand inside an opening of a better supported wall, by rising index.
fn posts(solids: &[Solid], bonds: &[&Bond]) -> Vec<usize> {
    let middles = solids.iter();
    let tree = Nearby::points(middles.map(|it| it.axis.point(f64::midpoint(it.u0, it.u1), 0.0)));
    in_stretches(bonds.len(), |part| {
        let mut list = Vec::new();
        for bond in &bonds[part] {
            let host = &solids[bond.a];
            for cell in &bond.cells {
                let Some(axis) = Axis::through(cell.from, cell.to) else {
                    continue;
                };
                let width = axis.s(cell.to);
                let Some(area) = around(&[cell.from, cell.to], host.thickness) else {
                    continue;
                };
                tree.visit(&area, |k| {
                    let it = &solids[k];
                    let corners = [(it.u0, -0.5), (it.u0, 0.5), (it.u1, -0.5), (it.u1, 0.5)]
                        .map(|(u, side)| it.axis.point(u, side * it.thickness));
                    // Along its wall, shorter than thick, off both faces: a frame, however common its thickness is elsewhere.
                    let is_frame = axis.sine(&it.axis).abs() < PARALLEL
                        && it.u1 - it.u0 < it.thickness
                        && corners
                            .iter()
                            .all(|p| axis.d(*p).abs() < host.thickness / 2.0 - OFF_FACE);
                    // Against a face, and past no jamb of the whole wall: a rebated reveal.
                    let is_nib = !cell.has_jambs
                        && it.u1 - it.u0 <= NIB
                        && corners
                            .iter()
                            .any(|p| (axis.d(*p).abs() - host.thickness / 2.0).abs() <= FLUSH)
                        && corners
                            .iter()
                            .any(|p| axis.s(*p).min(width - axis.s(*p)).abs() <= FLUSH);
                    let is_post = !is_nib
                        && k != bond.a
                        && k != bond.b
                        && (it.support <= host.support || is_frame)
                        && it.thickness < host.thickness
                        && corners.iter().all(|p| {
                            let (s, d) = (axis.s(*p), axis.d(*p).abs());
                            d <= host.thickness / 2.0 + FRAME_SLACK
                                && s > -FRAME_SLACK
                                && s < width + FRAME_SLACK
                        });
                    if is_post {
                        list.push(k);
                    }
                });
            }
        }
        list
    })
}

/// True when a run may be one layer of another that is drawn in layers: as thick as partitions are, it is no wall of its own.
fn is_layer(run: &Run, whole: &Run) -> bool {
    run.layers.is_empty() && !whole.layers.is_empty() && run.thickness < whole.thickness
}

/// Runs that stand inside an opening of a better supported run are its frame.
pub(super) fn without_frames(rails: &Rails, runs: Vec<Run>, slack: f64) -> Vec<Run> {
    let is_closed = |run: &Run, cell: &Cell| {
        [cell.u0, cell.u1].iter().all(|u| {
            let near = (u - AT_JAMB - slack, u + AT_JAMB + slack);
            !jambs_between(rails, &run.axis, run.thickness, near, slack).is_empty()
        })
    };
    let cells: Vec<(usize, Area)> = runs
        .iter()
        .enumerate()
        .flat_map(|(i, run)| {
            run.cells.iter().filter_map(move |cell| {
                let half = run.thickness / 2.0;
                let corners = [
                    run.axis.point(cell.u0, -half),
                    run.axis.point(cell.u1, half),
                    run.axis.point(cell.u0, half),
                    run.axis.point(cell.u1, -half),
                ];
                Some((i, around(&corners, FRAME_SLACK)?))
            })
        })
        .collect();
    let openings = Nearby::new(cells.iter().map(|it| it.1).zip(0..));
    let bodies = Nearby::new(
        runs.iter()
            .enumerate()
            .filter_map(|(i, run)| Some((around(&run.corners(), 0.0)?, i))),
    );
    let is_frame = |k: usize, run: &Run| {
        let [first, ..] = run.corners();
        let here = Area::of(first, first);
        openings.any(&here, |cell| {
            let (i, area) = cells[cell];
            i != k
                && runs[i].support >= run.support
                && run.corners().iter().all(|p| {
                    let host = &runs[i];
                    let (s, d) = (host.axis.s(*p), host.axis.d(*p).abs());
                    d <= host.thickness / 2.0 + FRAME_SLACK
                        && host
                            .cells
                            .iter()
                            .any(|cell| s > cell.u0 - FRAME_SLACK && s < cell.u1 + FRAME_SLACK)
                        && area.meets(&Area::of(*p, *p))
                })
        })
    };
    // Glazing and one face, or two lines between the faces, look like a thin wall inside a wall.
    let is_inside = |k: usize, run: &Run| {
        let middle = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0);
        let Some(area) = around(&[middle], 1.0) else {
            return false;
        };
        bodies.any(&area, |i| {
            let host = &runs[i];
            i != k
                && host.thickness > run.thickness + FRAME_SLACK
                && (host.support >= run.support || is_layer(run, host))
                && run.corners().iter().all(|p| {
                    let (s, d) = (host.axis.s(*p), host.axis.d(*p).abs());
                    d <= host.thickness / 2.0 + 0.5
                        && s > host.u0 - FRAME_SLACK
                        && s < host.u1 + FRAME_SLACK
                })
        })
    };
    // Two walls cannot stand in one place: the face of one and the far face of the other are no third.
    let is_over = |k: usize, run: &Run| {
        let ends = [run.axis.point(run.u0, 0.0), run.axis.point(run.u1, 0.0)];
        let Some(area) = around(&ends, run.thickness / 2.0) else {
            return false;
        };
        let length = run.u1 - run.u0;
        bodies.any(&area, |i| {
            let other = &runs[i];
            if i == k
                || other.support <= run.support
                || is_layer(other, run)
                || run.axis.sine(&other.axis).abs() > PARALLEL
            {
                return false;
            }
            let [p, q] = [other.u0, other.u1].map(|u| run.axis.s(other.axis.point(u, 0.0)));
            let shared = p.max(q).min(run.u1) - p.min(q).max(run.u0);
            let apart = run
                .axis
                .d(other.axis.point(f64::midpoint(other.u0, other.u1), 0.0))
                .abs();
            let overlap = f64::midpoint(run.thickness, other.thickness) - apart;
            shared > OVER * length && overlap > 0.5 * run.thickness.min(other.thickness)
        })
    };
    // A stub of a rare thickness is two faces that happen to lie opposite one another.
    // So are two stubs with a gap between, unless jambs close it and it holds what an opening holds.
    let is_stub = |run: &Run| {
        let open: f64 = run.cells.iter().map(|cell| cell.u1 - cell.u0).sum();
        run.support < RARE
            && run.u1 - run.u0 - open < STUB * run.thickness
            && !run
                .cells
                .iter()
                .any(|cell| cell.evidence.is_drawn() && is_closed(run, cell))
    };
    // Posts of a porch in a row, as long as they are thick, each closed all round, and nothing between them.
    let is_row_of_posts = |run: &Run| {
        run.n_solids > 1
            && run.longest < SQUARE * run.thickness
            && run.capped == [true, true]
            && !run.cells.iter().any(|cell| cell.evidence.speaks())
    };
    // The two jambs of a slit, as long as their wall is thick: both ends of it stand beside them, in line.
    let is_slit = |k: usize, run: &Run| {
        let middle = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0);
        let Some(area) = around(&[middle], run.thickness).filter(|_| run.thickness < NARROWEST)
        else {
            return false;
        };
        let long = run.u1 - run.u0;
        let has_end = |side: f64| {
            bodies.any(&area, |i| {
                let host = &runs[i];
                let ends = [host.u0, host.u1].map(|u| host.axis.point(u, 0.0));
                i != k
                    && run.axis.sine(&host.axis).abs() > SQUARELY
                    && (host.thickness - long).abs() <= FLUSH
                    && host.axis.d(middle).abs() <= FLUSH
                    && ends.into_iter().zip(host.capped).any(|(end, is_capped)| {
                        is_capped && (run.axis.d(end) * side - run.thickness / 2.0).abs() <= FLUSH
                    })
            })
        };
        run.cells.is_empty() && has_end(1.0) && has_end(-1.0)
    };
    let keep = one_each(runs.len(), |k| {
        let run = &runs[k];
        !is_stub(run)
            && !is_slit(k, run)
            && !is_row_of_posts(run)
            && !is_frame(k, run)
            && !is_inside(k, run)
            && !is_over(k, run)
    });
    runs.into_iter()
        .zip(keep)
        .filter(|(_, keep)| *keep)
        .map(|(run, _)| run)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::codes;
    use crate::plan::trial::{exterior_openings, open_shell, pieces, recovered, shell, sides};
    use geo::Coord;

    #[test]
    fn a_sliver_ends_at_the_jamb_that_was_given_to_the_wall_beside_it() {
        // A frame flush with both faces goes 3/4 in past the jamb at 0; the wall begins there.
        let solid = |(u0, u1), jambs| Solid {
            axis: Axis {
                origin: Coord { x: 0.0, y: 0.0 },
                along: Coord { x: 1.0, y: 0.0 },
            },
            thickness: 6.0,
            u0,
            u1,
            jambs,
            rails: (0, 1),
            layers: Vec::new(),
            support: 1.0,
            margin: 1.0,
        };
        let wall = solid((0.0, 60.0), [Some(0.0), None]);
        let frame = solid((-0.76, 0.0), [None, None]);
        let touching = Bond {
            a: 0,
            b: 1,
            ends: [1, 0],
            cells: Vec::new(),
        };
        assert_eq!(no_walls(&[frame.clone(), wall.clone()], &[&touching]), [0]);
        // Without the jamb it is a piece of the wall.
        let open = Solid {
            jambs: [None, None],
            ..wall
        };
        assert!(no_walls(&[frame, open], &[&touching]).is_empty());
    }

    /// How many runs stand beside the house.
    fn n_beside(extra: &[[f64; 4]]) -> usize {
        let mut lines = shell();
        let n_own = pieces(&lines).runs.len();
        lines.extend(extra);
        pieces(&lines).runs.len() - n_own
    }

    #[test]
    fn the_jambs_of_a_slit_are_no_wall_across() {
        // Windows of 48 in and of 6 in, the small one with glass or with nothing in it.
        let glass = [200.0, 3.0, 206.0, 3.0];
        for glass in [&[][..], &[glass]] {
            let mut lines = open_shell(200.0, 206.0);
            lines.retain(|l| !(l[0] > 353.0 && l[2] > 353.0));
            for (x, low, high) in [(354.0, 6.0, 234.0), (360.0, 0.0, 240.0)] {
                lines.extend([[x, low, x, 100.0], [x, 148.0, x, high]]);
            }
            lines.extend([100.0, 148.0].map(|y| [354.0, y, 360.0, y]));
            lines.push([357.0, 100.0, 357.0, 148.0]);
            lines.extend(glass);
            let found = recovered(&lines);
            let own = found
                .findings
                .iter()
                .filter(|it| it.code == codes::NO_OUTLINE);
            let at: Vec<_> = own.filter_map(|it| it.place.at).collect();
            // With glass it is a window.
            let asked = if glass.is_empty() {
                vec![[203.0, 3.0]]
            } else {
                Vec::new()
            };
            assert_eq!(at, asked);
            let openings = exterior_openings(&found.output);
            assert!(openings.contains(&[203.0, 3.0, 6.0]));
        }
    }

    #[test]
    fn two_stubs_of_a_rare_thickness_are_wall_where_they_hold_a_window() {
        let mut stubs = Vec::new();
        for (from, to) in [(100.0, 106.0), (142.0, 148.0)] {
            stubs.extend([[from, -90.0, to, -90.0], [from, -80.0, to, -80.0]]);
        }
        stubs.extend([[106.0, -90.0, 106.0, -80.0], [142.0, -90.0, 142.0, -80.0]]);
        assert_eq!(n_beside(&stubs), 0);
        stubs.push([106.0, -85.0, 142.0, -85.0]);
        assert_eq!(n_beside(&stubs), 1);
    }

    #[test]
    fn frames_as_deep_as_a_partition_is_thick_are_no_walls() {
        // Partitions of 4 in are commoner than the walls of 6 in; the window's frames are 2 in by 4 in.
        let mut lines = open_shell(100.0, 160.0);
        for x in [30.0, 60.0, 180.0, 210.0, 240.0, 280.0, 320.0] {
            lines.extend([[x, 6.0, x, 234.0], [x + 4.0, 6.0, x + 4.0, 234.0]]);
        }
        lines.extend(sides(100.0, 1.0, 102.0, 5.0));
        lines.extend(sides(158.0, 1.0, 160.0, 5.0));
        lines.push([102.0, 3.0, 158.0, 3.0]);
        let plan = recovered(&lines).output;
        let openings = plan.storeys.iter().flat_map(|it| &it.openings);
        let widths: Vec<f64> = openings.map(|it| it.width).collect();
        assert_eq!(widths, [60.0]);
    }
}
