//! What is left of a polygon when rectangles are taken from it, exactly.
//!
//! ```text
//!   base            cuts              pieces
//!     ╱╲                                ╱╲
//!   ╱    ╲          ┌─┐               ╱    ╲        the cut that reaches an edge is a notch,
//!   │    │     −    │ │ ┌┐       =    │ ┌─┐│        the one that does not is a hole
//!   │    │          │ │ └┘            │ │ ││
//!   └────┘          └─┘               └─┘ └┘
//! ```
//!
//! Method: upright lines through all corners, and through the places where a slope meets a cut's level, part the plane into
//! strips; in a strip the sides and levels lie over each other without crossing, and each cell between two of them is in or out.
//! The border between is walked with the inside on the left. Level and upright sides stay exact; where an upright line meets a
//! slope, the height is taken to the nearest nanometre, the same from both sides. Cost is the number of strips times the number
//! of cuts, a few hundred for a panel. Boolean operations in floating point were refused: a panel's contour must be exact.

use super::PartFace;
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::units::Length;
use std::collections::{BTreeMap, BTreeSet};

/// The pieces of `base` outside every one of `cuts`, largest first, equal ones from the left and from below.
///
/// - `base`: counter-clockwise, not crossing itself.
/// - Contours are counter-clockwise, holes clockwise; each starts at its lowest, then leftmost point.
/// - No contour crosses or touches itself; pieces that share only a corner are two pieces.
/// - Empty when nothing is left.
pub(super) fn subtract(base: &ShopRing, cuts: &[ShopRect]) -> Vec<PartFace> {
    let cells = cells(base, cuts);
    let mut pieces: BTreeMap<usize, PartFace> = BTreeMap::new();
    for (label, ring) in rings(&cells) {
        let piece = pieces.entry(label).or_default();
        if ring.doubled_area() > 0 {
            piece.outline = ring;
        } else {
            piece.holes.push(ring);
        }
    }
    let mut pieces: Vec<PartFace> = pieces.into_values().collect();
    pieces.retain(|piece| !piece.outline.0.is_empty());
    for piece in &mut pieces {
        piece.holes.sort_by_key(|hole| hole.0.first().copied());
    }
    pieces.sort_by_key(|piece| {
        let area: i128 = piece.outline.doubled_area()
            + piece.holes.iter().map(ShopRing::doubled_area).sum::<i128>();
        (-area, piece.outline.0.first().copied())
    });
    pieces
}

/// Height at x of the straight line through two points apart in x, to the nearest nanometre.
pub(super) fn height_at((a, b): (ShopPoint, ShopPoint), x: Length) -> Length {
    let nm = |length: Length| i128::from(length.to_nanometres());
    let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
    let (run, rise) = (nm(b.x - a.x), nm(b.y - a.y) * nm(x - a.x));
    if run == 0 || rise == 0 {
        return a.y;
    }
    let rounded = (rise * 2 + run).div_euclid(run * 2);
    a.y + Length::nanometres(i64::try_from(rounded).unwrap_or_default())
}

/// A side or a level across a strip: its heights at the strip's two ends, and the number of the base's side it is, if one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Curve {
    left: Length,
    right: Length,
    side: Option<usize>,
}

impl Curve {
    fn doubled_middle(&self) -> Length {
        self.left + self.right
    }
}

/// What lies in between two curves of a strip.
#[derive(Clone, Copy, Debug)]
struct Cell {
    x: [Length; 2],
    lower: Curve,
    upper: Curve,
}

fn cells(base: &ShopRing, cuts: &[ShopRect]) -> Vec<Cell> {
    let Some(bounds) = base.bounds() else {
        return Vec::new();
    };
    let cuts: Vec<ShopRect> = cuts.iter().filter_map(|cut| cut.common(&bounds)).collect();
    let sides: Vec<(usize, (ShopPoint, ShopPoint))> = base.sides().enumerate().collect();
    let mut cells = Vec::new();
    let xs: Vec<Length> = strips(base, &cuts).into_iter().collect();
    for pair in xs.windows(2) {
        let x = [pair[0], pair[1]];
        let over = |(a, b): &(ShopPoint, ShopPoint)| {
            a.x != b.x && a.x.min(b.x) <= x[0] && x[1] <= a.x.max(b.x)
        };
        let here = sides.iter().filter(|(_, side)| over(side));
        let mut curves: Vec<Curve> = here
            .map(|(number, side)| Curve {
                left: height_at(*side, x[0]),
                right: height_at(*side, x[1]),
                side: Some(*number),
            })
            .collect();
        let borders = curves.clone();
        let levels: Vec<&ShopRect> = cuts
            .iter()
            .filter(|cut| cut.x0 <= x[0] && x[1] <= cut.x1)
            .collect();
        curves.extend(levels.iter().flat_map(|cut| {
            [cut.y0, cut.y1].map(|y| Curve {
                left: y,
                right: y,
                side: None,
            })
        }));
        curves.sort_by_key(Curve::doubled_middle);
        for pair in curves.windows(2) {
            let (lower, upper) = (pair[0], pair[1]);
            let (low, high) = (lower.doubled_middle(), upper.doubled_middle());
            let below = borders.iter().filter(|it| it.doubled_middle() <= low);
            let is_cut = |cut: &&&ShopRect| cut.y0 * 2 <= low && high <= cut.y1 * 2;
            if low < high && below.count() % 2 == 1 && levels.iter().find(is_cut).is_none() {
                cells.push(Cell { x, lower, upper });
            }
        }
    }
    cells
}

/// Upright lines through all corners and through where a slope meets a cut's level, rising.
fn strips(base: &ShopRing, cuts: &[ShopRect]) -> BTreeSet<Length> {
    let mut xs: BTreeSet<Length> = base.0.iter().map(|point| point.x).collect();
    xs.extend(cuts.iter().flat_map(|cut| [cut.x0, cut.x1]));
    for (a, b) in base.sides().filter(|(a, b)| a.x != b.x && a.y != b.y) {
        for y in cuts.iter().flat_map(|cut| [cut.y0, cut.y1]) {
            if a.y.min(b.y) < y && y < a.y.max(b.y) {
                // The same line with its axes exchanged.
                let turned = [a, b].map(|point| ShopPoint::new(point.y, point.x));
                xs.insert(height_at((turned[0], turned[1]), y));
            }
        }
    }
    xs
}

/// A step along the border, inside on its left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Step {
    to: ShopPoint,
    label: usize,
    side: Option<usize>,
}

/// Every border ring with the label of the cells on its left.
fn rings(cells: &[Cell]) -> Vec<(usize, ShopRing)> {
    let mut steps = border(cells);
    let mut rings = Vec::new();
    while let Some((&start, _)) = steps.first_key_value() {
        let mut path: Vec<(ShopPoint, Option<usize>)> = Vec::new();
        let (mut at, mut before) = (start, None);
        let mut label = 0;
        while let Some(step) = take_leftmost(&mut steps, before, at) {
            path.push((at, step.side));
            label = step.label;
            before = Some(at);
            at = step.to;
        }
        rings.extend(
            simple_loops(&path)
                .into_iter()
                .map(|ring| (label, without_middles(&ring))),
        );
    }
    rings
}

/// Inside stays on the left, so the leftmost way keeps to one piece where two meet in a corner.
fn take_leftmost(
    steps: &mut BTreeMap<ShopPoint, Vec<Step>>,
    before: Option<ShopPoint>,
    at: ShopPoint,
) -> Option<Step> {
    let ways = steps.get_mut(&at)?;
    let turn = |step: &Step| {
        let Some(before) = before else { return 0.0 };
        let way = |a: ShopPoint, b: ShopPoint| [(b.x - a.x).to_inches(), (b.y - a.y).to_inches()];
        let ([ax, ay], [bx, by]) = (way(before, at), way(at, step.to));
        (ax * by - ay * bx).atan2(ax * bx + ay * by)
    };
    let best = (0..ways.len()).max_by(|a, b| turn(&ways[*a]).total_cmp(&turn(&ways[*b])))?;
    let step = ways.swap_remove(best);
    if ways.is_empty() {
        steps.remove(&at);
    }
    Some(step)
}

/// Steps of all cells' borders less those that two cells share; cells that hang together by sides have one label.
fn border(cells: &[Cell]) -> BTreeMap<ShopPoint, Vec<Step>> {
    // Upright sides are parted at every height at which a cell on either side has a corner.
    let mut heights: BTreeMap<Length, BTreeSet<Length>> = BTreeMap::new();
    for cell in cells {
        let [x0, x1] = cell.x;
        heights
            .entry(x0)
            .or_default()
            .extend([cell.lower.left, cell.upper.left]);
        heights
            .entry(x1)
            .or_default()
            .extend([cell.lower.right, cell.upper.right]);
    }
    let mut open: BTreeMap<(ShopPoint, ShopPoint), (usize, Option<usize>)> = BTreeMap::new();
    let mut labels: Vec<usize> = (0..cells.len()).collect();
    for (number, cell) in cells.iter().enumerate() {
        for (from, to, side) in sides_of(cell, &heights) {
            if let Some((other, _)) = open.remove(&(to, from)) {
                let [a, b] = [root(&labels, number), root(&labels, other)];
                labels[a.max(b)] = a.min(b);
            } else {
                open.insert((from, to), (number, side));
            }
        }
    }
    let mut steps: BTreeMap<ShopPoint, Vec<Step>> = BTreeMap::new();
    for ((from, to), (number, side)) in open {
        let label = root(&labels, number);
        steps
            .entry(from)
            .or_default()
            .push(Step { to, label, side });
    }
    steps
}

fn root(labels: &[usize], mut number: usize) -> usize {
    while labels[number] != number {
        number = labels[number];
    }
    number
}

type Side = (ShopPoint, ShopPoint, Option<usize>);

/// The sides of a cell, counter-clockwise, none of no length.
fn sides_of(cell: &Cell, heights: &BTreeMap<Length, BTreeSet<Length>>) -> Vec<Side> {
    let [x0, x1] = cell.x;
    let (lower, upper) = (cell.lower, cell.upper);
    let mut sides = vec![
        (
            ShopPoint::new(x0, lower.left),
            ShopPoint::new(x1, lower.right),
            lower.side,
        ),
        (
            ShopPoint::new(x1, upper.right),
            ShopPoint::new(x0, upper.left),
            upper.side,
        ),
    ];
    let mut upright = |x: Length, from: Length, to: Length, is_down: bool| {
        let all = heights.get(&x).into_iter().flatten();
        let ys: Vec<Length> = all.copied().filter(|y| from <= *y && *y <= to).collect();
        for pair in ys.windows(2) {
            let [low, high] = [ShopPoint::new(x, pair[0]), ShopPoint::new(x, pair[1])];
            sides.push(if is_down {
                (high, low, None)
            } else {
                (low, high, None)
            });
        }
    };
    upright(x1, lower.right, upper.right, false);
    upright(x0, lower.left, upper.left, true);
    sides
}

/// Parts a closed path at every corner it passes twice.
fn simple_loops(path: &[(ShopPoint, Option<usize>)]) -> Vec<Vec<(ShopPoint, Option<usize>)>> {
    let mut loops = Vec::new();
    let mut open: Vec<(ShopPoint, Option<usize>)> = Vec::new();
    for corner in path {
        if let Some(back) = open.iter().position(|seen| seen.0 == corner.0) {
            loops.push(open.split_off(back));
        }
        open.push(*corner);
    }
    loops.push(open);
    loops
}

/// The ring through these corners without the points in the middle of its sides, from its lowest, leftmost point.
fn without_middles(corners: &[(ShopPoint, Option<usize>)]) -> ShopRing {
    let n = corners.len();
    let turns = |k: &usize| {
        let ((a, before), (b, after), (c, _)) =
            (corners[(k + n - 1) % n], corners[*k], corners[(k + 1) % n]);
        let is_one_slope = before.is_some() && before == after;
        !(is_one_slope || (a.x == b.x && b.x == c.x) || (a.y == b.y && b.y == c.y))
    };
    let mut points: Vec<ShopPoint> = (0..n).filter(turns).map(|k| corners[k].0).collect();
    let lowest = (0..points.len()).min_by_key(|k| (points[*k].y, points[*k].x));
    points.rotate_left(lowest.unwrap_or(0));
    ShopRing(points)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(x0: i64, y0: i64, x1: i64, y1: i64) -> ShopRect {
        ShopRect::new(
            Length::inches(x0),
            Length::inches(y0),
            Length::inches(x1),
            Length::inches(y1),
        )
    }

    /// Each piece as its outline and its holes: `0,0 9,0 9,9 0,9 / 3,3 3,6 6,6 6,3`.
    #[track_caller]
    fn check(cuts: &[ShopRect], expected: &[&str]) {
        check_in(rect(0, 0, 9, 9).ring(), cuts, expected);
    }

    #[track_caller]
    fn check_in(base: ShopRing, cuts: &[ShopRect], expected: &[&str]) {
        let points = |ring: &ShopRing| {
            let points: Vec<String> = ring
                .0
                .iter()
                .map(|p| format!("{},{}", p.x.to_inches(), p.y.to_inches()))
                .collect();
            points.join(" ")
        };
        let found: Vec<String> = subtract(&base, cuts)
            .iter()
            .map(|piece| {
                std::iter::once(&piece.outline)
                    .chain(&piece.holes)
                    .map(points)
                    .collect::<Vec<_>>()
                    .join(" / ")
            })
            .collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn a_window_is_a_hole_run_clockwise() {
        check(&[rect(3, 3, 6, 6)], &["0,0 9,0 9,9 0,9 / 3,3 3,6 6,6 6,3"]);
    }

    #[test]
    fn a_door_is_a_notch() {
        //   ┌─────┐
        //   │ ┌─┐ │
        //   └─┘ └─┘
        check(&[rect(3, -1, 6, 6)], &["0,0 3,0 3,6 6,6 6,0 9,0 9,9 0,9"]);
    }

    #[test]
    fn a_cut_from_side_to_side_leaves_two_pieces_the_larger_first() {
        check(&[rect(0, 3, 9, 4)], &["0,4 9,4 9,9 0,9", "0,0 9,0 9,3 0,3"]);
    }

    #[test]
    fn pieces_that_share_only_a_corner_are_two() {
        check(
            &[rect(0, 0, 5, 5), rect(5, 5, 9, 9)],
            &["0,5 5,5 5,9 0,9", "5,0 9,0 9,5 5,5"],
        );
    }

    #[test]
    fn holes_that_share_only_a_corner_stay_two_rings() {
        check(
            &[rect(2, 2, 4, 4), rect(4, 4, 6, 6)],
            &["0,0 9,0 9,9 0,9 / 2,2 2,4 4,4 4,2 / 4,4 4,6 6,6 6,4"],
        );
    }

    #[test]
    fn cuts_that_overlap_are_one_hole_and_a_cut_beyond_the_base_changes_nothing() {
        check(
            &[rect(2, 2, 4, 6), rect(3, 4, 6, 6), rect(20, 0, 30, 9)],
            &["0,0 9,0 9,9 0,9 / 2,2 2,6 6,6 6,4 4,4 4,2"],
        );
    }

    #[test]
    fn nothing_left_is_no_piece() {
        check(&[rect(-1, -1, 10, 10)], &[]);
    }

    fn ring(points: &[(i64, i64)]) -> ShopRing {
        let point = |(x, y): &(i64, i64)| ShopPoint::new(Length::inches(*x), Length::inches(*y));
        ShopRing(points.iter().map(point).collect())
    }

    #[test]
    fn a_slope_stays_one_side_however_many_cuts_lie_under_it() {
        let gable = ring(&[(0, 0), (12, 0), (12, 6), (6, 9), (0, 6)]);
        check_in(
            gable,
            &[rect(1, 1, 2, 3), rect(7, -1, 10, 4)],
            &["0,0 7,0 7,4 10,4 10,0 12,0 12,6 6,9 0,6 / 1,1 1,3 2,3 2,1"],
        );
    }

    #[test]
    fn a_cut_through_a_slope_parts_it() {
        //   the slope from (12, 6) to (0, 9) meets y = 8 at x = 4
        let shed = ring(&[(0, 0), (12, 0), (12, 6), (0, 9)]);
        check_in(
            shed,
            &[rect(3, 4, 8, 8)],
            &["0,0 12,0 12,6 8,7 8,4 3,4 3,8 4,8 0,9"],
        );
    }

    #[test]
    fn steps_of_base_and_top_keep_their_corners() {
        let stepped = ring(&[
            (0, 0),
            (5, 0),
            (5, -2),
            (9, -2),
            (9, 9),
            (4, 9),
            (4, 7),
            (0, 7),
        ]);
        check_in(
            stepped,
            &[rect(6, 0, 8, 3)],
            &["5,-2 9,-2 9,9 4,9 4,7 0,7 0,0 5,0 / 6,0 6,3 8,3 8,0"],
        );
    }
}
