//! Which pieces that may be wall want each side of a line.
//!
//! ```text
//!      piece   piece
//!   ═════════════════ line      a face has wall on one side only: what wants the other side is another wall, or none
//!        piece
//! ```

use crate::plan::axis::{Interval, covered, joined, moved};
use crate::plan::lines::rails::Rails;
use crate::plan::pieces::bands::{Band, FURRING};
use crate::plan::pieces::solids::Candidate;
use crate::side_by_side::one_of_many;

/// Shorter pieces say nothing of what stands beside them, inches.
const LEAST: f64 = 18.0;
/// Walls are no thicker than this, inches, where something stands against them; cabinets are.
const DEEP: f64 = 15.0;
/// What leaves no more than this of a length open covers it, as a share.
const COVERED: f64 = 0.9;

/// A wall that something stands against goes on beyond it by its depth and this at least, inches: at a corner of walls drawn as
/// boxes the face goes on by the depth of the next one.
const BEYOND: f64 = 3.0;

/// One side of a rail: its number, and whether it is the left one.
pub(super) type Side = (usize, bool);

/// A piece on one side of a rail.
struct Claim {
    own: Interval,
    worth: f64,
    thickness: f64,
}

/// The pieces on one side of a rail, by rising start.
#[derive(Default)]
struct OneSide {
    list: Vec<Claim>,
    longest: f64,
}

/// The pieces on every side of every rail.
pub(super) struct Claims {
    /// Of each rail the right side, then the left.
    sides: Vec<[OneSide; 2]>,
    /// Thicknesses within this are one, inches.
    alike: f64,
}

impl Claims {
    /// Gathers candidates.
    ///
    /// - `worth`: how well each may be a wall, 0 to 1.
    pub(super) fn of(
        rails: &Rails,
        bands: &[Band],
        candidates: &[Candidate],
        faces: &[Faces],
        worth: &[f64],
        alike: f64,
    ) -> Self {
        let mut all: Vec<[OneSide; 2]> = Vec::new();
        all.resize_with(rails.list.len(), Default::default);
        for (c, (faces, worth)) in candidates.iter().zip(faces.iter().zip(worth)) {
            let thickness = bands[c.band].thickness;
            if c.u1 - c.u0 < LEAST || !(FURRING..=DEEP).contains(&thickness) {
                continue;
            }
            for ((rail, is_left), own) in *faces {
                let it = &mut all[rail][usize::from(is_left)];
                it.longest = it.longest.max(own.1 - own.0);
                it.list.push(Claim {
                    own,
                    worth: *worth,
                    thickness,
                });
            }
        }
        for it in all.iter_mut().flatten() {
            it.list.sort_by(|p, q| p.own.0.total_cmp(&q.own.0));
        }
        Self { sides: all, alike }
    }

    /// The pieces of at least some worth that lie beside a part of a rail.
    fn beside(
        &self,
        (rail, is_left): Side,
        (from, to): Interval,
        worth: f64,
    ) -> impl Iterator<Item = &Claim> {
        let it = &self.sides[rail][usize::from(is_left)];
        let first = it.list.partition_point(|c| c.own.0 < from - it.longest);
        (it.list[first..].iter())
            .take_while(move |it| it.own.0 < to)
            .filter(move |it| it.own.1 > from && it.worth >= worth)
    }

    /// True for a piece between two others that are equally thick, cover it, and are each as likely: the gap between two leaves.
    pub(super) fn is_between_leaves(&self, c: &Candidate, faces: &Faces, worth: f64) -> bool {
        if c.u1 - c.u0 < LEAST {
            return false;
        }
        let [left, right] = faces.map(|((rail, is_left), own)| {
            let near: Vec<&Claim> = self.beside((rail, !is_left), own, worth).collect();
            let covers = |it: &&&Claim| {
                let same = near
                    .iter()
                    .filter(|other| (other.thickness - it.thickness).abs() <= self.alike);
                let cover = joined(same.map(|other| other.own).collect(), 0.0);
                covered(&cover, own.0, own.1) >= COVERED * (own.1 - own.0)
            };
            let leaves = near.iter().filter(covers).map(|it| it.thickness);
            leaves.collect::<Vec<f64>>()
        });
        let is_one = |p: f64| right.iter().any(|q| (p - q).abs() <= self.alike);
        left.into_iter().any(is_one)
    }

    /// True for a piece that shares a face with another one, which goes on beyond every end that a jamb closes; where none closes
    /// any, beyond every end that meets nothing.
    ///
    /// - `worth`: the other one's at least.
    pub(super) fn leans(
        &self,
        rails: &Rails,
        band: &Band,
        (c, faces): (&Candidate, &Faces),
        worth: f64,
    ) -> bool {
        let ends = if c.n_exact() > 0 { c.exact } else { c.free() };
        if ends == [false, false] {
            return false;
        }
        faces.iter().any(|&((rail, is_left), own)| {
            let axis = &rails.list[rail].axis;
            let [first, last] = [c.u0, c.u1].map(|u| axis.s(band.axis.point(u, 0.0)));
            let closed = if first <= last {
                ends
            } else {
                [ends[1], ends[0]]
            };
            let beyond = closed.map(|is_closed| {
                if is_closed {
                    band.thickness + BEYOND
                } else {
                    -band.thickness
                }
            });
            self.beside((rail, !is_left), own, worth)
                .any(|it| it.own.0 <= own.0 - beyond[0] && it.own.1 >= own.1 + beyond[1])
        })
    }
}

/// The two faces of a candidate: of each its rail, whether the candidate lies on its left, and where along it.
pub(super) type Faces = [(Side, Interval); 2];

/// The faces of every candidate.
pub(super) fn faces(rails: &Rails, bands: &[Band], candidates: &[Candidate]) -> Vec<Faces> {
    one_of_many(candidates.len(), |i| {
        let c = &candidates[i];
        let band = &bands[c.band];
        let middle = band.axis.point(f64::midpoint(c.u0, c.u1), 0.0);
        [band.rails.0, band.rails.1].map(|index| {
            let axis = &rails.list[index].axis;
            let own = moved((c.u0, c.u1), &band.axis, axis);
            ((index, axis.d(middle) > 0.0), own)
        })
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{open_shell, recovered, sides};

    /// Thickness and place of the inner upright walls of a house.
    fn upright(extra: &[[f64; 4]]) -> Vec<[f64; 2]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend(extra);
        let storey = &recovered(&lines).output.storeys[0];
        let inner = storey.walls.iter().filter(|it| !it.is_exterior);
        let mut walls: Vec<[f64; 2]> = inner.map(|it| [it.start.x, it.thickness]).collect();
        walls.sort_by(|p, q| p[0].total_cmp(&q[0]));
        walls
    }

    #[test]
    fn two_leaves_of_which_no_other_wall_is_are_two_walls() {
        // The gap is closed at both ends by the inner faces of the outside walls, and the leaves are not.
        let mut lines: Vec<[f64; 4]> = [190.0, 195.5, 199.0, 204.5]
            .map(|x| [x, 6.0, x, 234.0])
            .to_vec();
        for y in [6.0, 234.0] {
            lines.push([195.5, y, 199.0, y]);
        }
        assert_eq!(upright(&lines), [[192.75, 5.5], [201.75, 5.5]]);
    }

    #[test]
    fn the_end_of_a_counter_is_no_partition_beside_the_wall_it_stands_at() {
        let mut lines = open_shell(100.0, 136.0);
        lines.retain(|l| *l != [6.0, 6.0, 100.0, 6.0]);
        lines.extend([
            [6.0, 6.0, 66.0, 6.0],
            [70.0, 6.0, 100.0, 6.0],
            [100.0, 3.0, 136.0, 3.0],
        ]);
        for x in [66.0, 150.0, 200.0, 250.0, 300.0] {
            lines.extend([[x, 6.0, x, 234.0], [x + 4.0, 6.0, x + 4.0, 234.0]]);
        }
        // As far from the wall's inner face as partitions are thick.
        lines.extend([[6.0, 10.0, 31.0, 10.0], [31.0, 10.0, 31.0, 96.0]]);
        let storey = &recovered(&lines).output.storeys[0];
        assert_eq!(storey.outline.len(), 4);
        let inner = storey.walls.iter().filter(|it| !it.is_exterior);
        assert!(
            inner.clone().count() == 5
                && inner.clone().all(|it| (it.start.x - it.end.x).abs() < 1.0)
        );
    }

    #[test]
    fn a_box_as_thick_as_the_outside_leaves_the_partition_it_stands_against() {
        let partition = [[200.0, 6.0, 200.0, 234.0], [204.5, 6.0, 204.5, 234.0]];
        for thick in [4.5, 6.0, 12.0] {
            let mut lines = partition.to_vec();
            lines.extend(sides(204.5, 40.0, 204.5 + thick, 150.0));
            assert_eq!(upright(&lines), [[202.25, 4.5]], "{thick}");
        }
    }
}
