//! Columns that stand in a thinner wall: with the wall's faces between them they look like piers with glass between.
//!
//! ```text
//!          ┌──┐          ┌──┐
//!   ═══════╡  ╞══════════╡  ╞═══════      the thin wall goes on beyond the outermost: it is the wall, and they stand in it
//!          └──┘          └──┘
//! ```

use crate::plan::lines::rails::around;
use crate::plan::nearby::Nearby;
use crate::plan::pieces::solids::Solid;
use crate::plan::walls::bonds::WIDEST;
use crate::plan::walls::runs::RARE;
use crate::side_by_side::one_each;
use geo::Coord;

/// A column is at most this many times as long as it is thick.
const COLUMN: f64 = 2.0;
/// A wall ends within this of the column it meets, inches, beyond the drawing's slack.
const AT_COLUMN: f64 = 0.6;
/// A column is thicker than its wall by more, inches.
const THICKER: f64 = 0.5;
/// Two pieces are of one wall when they are as thick within this, and in line, inches, beyond the drawing's slack.
const ALIKE: f64 = 0.15;
/// Within this sine two axes lie along one another.
const PARALLEL: f64 = 0.02;

/// Takes columns out of the walls that they stand in.
pub(super) fn without_columns(mut solids: Vec<Solid>, slack: f64) -> Vec<Solid> {
    let is_square =
        |it: &Solid| it.u1 - it.u0 <= COLUMN * it.thickness && it.jambs.iter().all(Option::is_some);
    let ends = |it: &Solid| [it.u0, it.u1].map(|u| it.axis.point(u, 0.0));
    let index = Nearby::lines(solids.iter().map(|it| ends(it).into()));
    let loose = ALIKE + slack;
    // On one side of a column the walls that end there, by thickness.
    let thin = |column: &Solid, side: usize| -> Vec<f64> {
        let sign = if side == 0 { -1.0 } else { 1.0 };
        let u = if side == 0 { column.u0 } else { column.u1 };
        let mut found = Vec::new();
        let Some(area) = around(&[column.axis.point(u, 0.0)], column.thickness) else {
            return found;
        };
        index.visit(&area, |k| {
            let it = &solids[k];
            let along = ends(it).map(|p| sign * (column.axis.s(p) - u));
            let (near, far) = (along[0].min(along[1]), along[0].max(along[1]));
            let aside = column.axis.d(middle(it)).abs();
            if column.axis.sine(&it.axis).abs() < PARALLEL
                && it.support >= RARE
                && it.thickness < column.thickness - THICKER
                && aside <= (column.thickness - it.thickness) / 2.0 + loose
                && near.abs() <= AT_COLUMN + slack
                && far > column.thickness
            {
                found.push(it.thickness);
            }
        });
        found
    };
    // A wall as thick as the column, in line with it: then the column is a pier of that wall.
    let is_pier = |column: &Solid| {
        let far = [column.u0 - WIDEST, column.u1 + WIDEST].map(|u| column.axis.point(u, 0.0));
        around(&far, 1.0).is_some_and(|area| {
            index.any(&area, |k| {
                let it = &solids[k];
                !is_square(it)
                    && column.axis.sine(&it.axis).abs() < PARALLEL
                    && (it.thickness - column.thickness).abs() <= loose
                    && ends(it).iter().any(|p| column.axis.d(*p).abs() <= loose)
            })
        })
    };
    let is_column = |it: &Solid| {
        if !is_square(it) {
            return false;
        }
        let (before, after) = (thin(it, 0), thin(it, 1));
        let is_through = |p: &f64| after.iter().any(|q| (p - q).abs() <= loose);
        before.iter().any(is_through) && !is_pier(it)
    };
    let stay = one_each(solids.len(), |i| !is_column(&solids[i]));
    let mut stay = stay.into_iter();
    solids.retain(|_| stay.next().unwrap_or(true));
    solids
}

fn middle(it: &Solid) -> Coord<f64> {
    it.axis.point(f64::midpoint(it.u0, it.u1), 0.0)
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{open_shell, recovered, sides};

    /// How long the partition of 4 in is in which two columns of 6 in stand, how much other wall there is inside, and how many
    /// openings.
    fn found(are_over: bool) -> (f64, f64, usize) {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let columns = [(60.0, 66.0), (140.0, 146.0)];
        for x in [200.0, 204.0] {
            if are_over {
                lines.push([x, 6.0, x, 234.0]);
            } else {
                let parts = [(6.0, 60.0), (66.0, 140.0), (146.0, 234.0)];
                lines.extend(parts.map(|(low, high)| [x, low, x, high]));
            }
        }
        for (low, high) in columns {
            lines.extend(sides(199.0, low, 205.0, high));
        }
        let storey = &recovered(&lines).output.storeys[0];
        let inner = storey.walls.iter().filter(|it| !it.is_exterior);
        let (mut own, mut other) = (0.0, 0.0);
        for it in inner {
            let is_own = it.start.x == 202.0 && it.thickness == 4.0;
            let sum = if is_own { &mut own } else { &mut other };
            *sum += (it.end.y - it.start.y).abs();
        }
        (own, other, storey.openings.len() - 1)
    }

    #[test]
    fn columns_as_thick_as_the_outside_leave_the_partition_they_stand_in() {
        for are_over in [false, true] {
            assert_eq!(found(are_over), (228.0, 0.0, 0), "{are_over}");
        }
    }
}
