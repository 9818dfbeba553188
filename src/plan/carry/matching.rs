//! Which wall and which opening of this plan is which of the earlier one.

use super::neighbours::{Both, Went};
use super::rigid::{cross, dot, moved, turned, unit};
use crate::geometry::Motion;
use crate::plan::{Opening, Storey, Wall};

/// For each wall and each opening of the earlier storey the one of this storey, where it is sure.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::plan) struct Matches {
    pub(in crate::plan) walls: Vec<Option<usize>>,
    pub(in crate::plan) openings: Vec<Option<usize>>,
    /// Walls that run the other way now.
    turned: Vec<bool>,
}

impl Matches {
    /// True when a wall of the earlier storey runs the other way now.
    pub(in crate::plan) fn is_turned(&self, wall: usize) -> bool {
        self.turned.get(wall).copied().unwrap_or(false)
    }
}

/// A wall may have moved across itself by this, inches: farther away it is known by its neighbours alone.
const MOVED: f64 = 36.0;
/// Worth of a wall's change above which it is another wall, inches.
const OTHER_WALL: f64 = 72.0;
/// An opening may have moved along its wall by this, inches.
const SHIFTED: f64 = 48.0;
/// The next best must cost at least this more, inches, and half as much again.
const CLEAR: f64 = 4.0;

/// Matches walls by their place, those left over by their neighbours, then the openings of matched walls.
pub(super) fn match_storeys(old: &Storey, now: &Storey, rigid: &Motion) -> Matches {
    let wall_costs: Vec<Vec<f64>> = old
        .walls
        .iter()
        .map(|a| now.walls.iter().map(|b| wall_cost(a, b, rigid)).collect())
        .collect();
    let mut walls = assign(&wall_costs, OTHER_WALL);
    let both = Both::of(old, now, rigid);
    both.let_go(&mut walls);
    both.match_left_over(&mut walls);
    let is_turned = old
        .walls
        .iter()
        .zip(&walls)
        .map(|(a, b)| {
            let ways = unit(a).zip(b.and_then(|b| unit(&now.walls[b])));
            ways.is_some_and(|((_, from), (_, to))| dot(turned(rigid, from), to) < 0.0)
        })
        .collect();
    let partner = |opening: &Opening| {
        let index = old.walls.iter().position(|wall| wall.id == opening.wall)?;
        let to = walls.get(index).copied().flatten()?;
        Some((to, both.went(index, to)?))
    };
    let opening_costs: Vec<Vec<f64>> = old
        .openings
        .iter()
        .map(|a| {
            let wall = partner(a).map(|(index, went)| (&now.walls[index], went));
            now.openings
                .iter()
                .map(|b| match wall {
                    Some((wall, went)) if wall.id == b.wall => {
                        opening_cost(a, b, (wall, &went), rigid)
                    }
                    _ => f64::INFINITY,
                })
                .collect()
        })
        .collect();
    let openings = assign(&opening_costs, SHIFTED);
    Matches {
        walls,
        openings,
        turned: is_turned,
    }
}

/// How much a wall would have changed: across, at both ends, in thickness; infinite for what cannot be the same wall.
fn wall_cost(a: &Wall, b: &Wall, rigid: &Motion) -> f64 {
    let (Some((length, from)), Some((other, to))) = (unit(a), unit(b)) else {
        return f64::INFINITY;
    };
    let thicker = (a.thickness - b.thickness).abs();
    if cross(turned(rigid, from), to).abs() > 0.02 || thicker > 1.0 {
        return f64::INFINITY;
    }
    let (p, q) = (
        moved(rigid, a.start) - b.start,
        moved(rigid, a.end) - b.start,
    );
    let aside = f64::midpoint(cross(to, p).abs(), cross(to, q).abs());
    let (s, e) = (dot(to, p), dot(to, q));
    let (low, high) = (s.min(e), s.max(e));
    let shared = high.min(other) - low.max(0.0);
    if aside > MOVED || shared < 0.3 * length.min(other) {
        return f64::INFINITY;
    }
    aside + 0.4 * (low.abs() + (high - other).abs()) + 8.0 * thicker
}

/// How much an opening would have changed: along its wall from the nearer of where either end of the wall took it, and in width.
/// Where each end took it onto an opening, both fit alike and neither is matched.
fn opening_cost(a: &Opening, b: &Opening, (wall, went): (&Wall, &Went), rigid: &Motion) -> f64 {
    let Some((_, along)) = unit(wall) else {
        return f64::INFINITY;
    };
    let was = dot(along, moved(rigid, a.centre) - wall.start);
    let is = dot(along, b.centre - wall.start);
    let wider = (a.width - b.width).abs();
    let kind = if a.kind == b.kind { 0.0 } else { 3.0 };
    let aside = went.0.map(|by| (was + by - is).abs());
    aside[0].min(aside[1]) + 0.5 * wider + kind
}

/// Pairs cheapest first, each only where it is the best of both by a margin among what is left.
fn assign(costs: &[Vec<f64>], limit: f64) -> Vec<Option<usize>> {
    let n_columns = costs.first().map_or(0, Vec::len);
    let mut of_row: Vec<Option<usize>> = vec![None; costs.len()];
    let mut of_column: Vec<bool> = vec![false; n_columns];
    loop {
        let mut best: Option<(f64, usize, usize)> = None;
        for (row, line) in costs.iter().enumerate() {
            if of_row[row].is_some() {
                continue;
            }
            for (column, cost) in line.iter().enumerate() {
                if of_column[column] || *cost > limit {
                    continue;
                }
                let clear = cost + CLEAR.max(0.5 * cost);
                let has_rival = line
                    .iter()
                    .enumerate()
                    .any(|(other, it)| other != column && !of_column[other] && *it < clear)
                    || costs.iter().enumerate().any(|(other, line)| {
                        other != row && of_row[other].is_none() && line[column] < clear
                    });
                if !has_rival && best.is_none_or(|(known, _, _)| *cost < known) {
                    best = Some((*cost, row, column));
                }
            }
        }
        let Some((_, row, column)) = best else {
            return of_row;
        };
        of_row[row] = Some(column);
        of_column[column] = true;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pair_is_made_only_where_it_is_the_best_of_both_by_a_margin() {
        let far = f64::INFINITY;
        // The first row fits the first column exactly; that leaves the second column for the second row.
        assert_eq!(
            assign(&[vec![0.0, 20.0], vec![2.0, 10.0]], 48.0),
            [None, None],
            "two rows within 4 in of one column are a question"
        );
        assert_eq!(
            assign(&[vec![0.0, 20.0], vec![5.0, 10.0]], 48.0),
            [Some(0), Some(1)]
        );
        assert_eq!(assign(&[vec![far, 50.0]], 48.0), [None]);
    }
}
