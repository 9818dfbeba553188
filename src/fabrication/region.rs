//! What is left of a rectangle when rectangles are taken from it, exactly.
//!
//! ```text
//!   base            cuts              pieces
//!   ┌───────┐       ┌─┐               ┌───────┐      the cut that reaches an edge is a notch,
//!   │       │   −   │ │ ┌┐        =   │ ┌─┐ ┌┐│      the one that does not is a hole
//!   │       │       │ │ └┘            │ │ │ └┘│
//!   └───────┘       └─┘               └─┘ └───┘
//! ```
//!
//! Method: the sides of all rectangles make an uneven grid; each cell is in or out; the border between them is walked with the
//! inside on the left. Cost is the number of cells times the number of cuts, a few hundred for a panel. Boolean operations in
//! floating point were refused: a panel's contour must be exact to the nanometre.

use super::PartFace;
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::units::Length;
use std::collections::BTreeMap;

/// The pieces of `base` outside every one of `cuts`, largest first, equal ones from the left and from below.
///
/// - Contours are counter-clockwise, holes clockwise; each starts at its lowest, then leftmost point.
/// - No contour crosses or touches itself; pieces that share only a corner are two pieces.
/// - Empty when nothing is left.
pub(super) fn subtract(base: ShopRect, cuts: &[ShopRect]) -> Vec<PartFace> {
    let Some(grid) = Grid::new(base, cuts) else {
        return Vec::new();
    };
    let labels = grid.labels();
    let mut pieces: BTreeMap<usize, PartFace> = BTreeMap::new();
    for (label, ring) in grid.rings(&labels) {
        let piece = pieces.entry(label).or_default();
        if ring.doubled_area() > 0 {
            piece.outline = ring;
        } else {
            piece.holes.push(ring);
        }
    }
    let mut pieces: Vec<PartFace> = pieces.into_values().collect();
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

/// The grid of all sides: cell (i, j) lies between `xs[i]` and `xs[i + 1]`, `ys[j]` and `ys[j + 1]`.
struct Grid {
    xs: Vec<Length>,
    ys: Vec<Length>,
    /// Row by row from below, true where the base is left.
    inside: Vec<bool>,
}

/// A corner of the grid: column and row.
type Corner = (usize, usize);

impl Grid {
    fn new(base: ShopRect, cuts: &[ShopRect]) -> Option<Self> {
        if base.x0 >= base.x1 || base.y0 >= base.y1 {
            return None;
        }
        let cuts: Vec<ShopRect> = cuts.iter().filter_map(|cut| cut.common(&base)).collect();
        let mut xs = vec![base.x0, base.x1];
        let mut ys = vec![base.y0, base.y1];
        for cut in &cuts {
            xs.extend([cut.x0, cut.x1]);
            ys.extend([cut.y0, cut.y1]);
        }
        for side in [&mut xs, &mut ys] {
            side.sort_unstable();
            side.dedup();
        }
        let mut inside = Vec::with_capacity((xs.len() - 1) * (ys.len() - 1));
        for y in ys.windows(2) {
            for x in xs.windows(2) {
                let cell = ShopRect::new(x[0], y[0], x[1], y[1]);
                inside.push(cuts.iter().all(|cut| cut.common(&cell).is_none()));
            }
        }
        Some(Self { xs, ys, inside })
    }

    fn n_columns(&self) -> usize {
        self.xs.len() - 1
    }

    fn n_rows(&self) -> usize {
        self.ys.len() - 1
    }

    /// The number of the cell right of and above corner (i, j), when it exists and is in.
    fn cell(&self, i: usize, j: usize) -> Option<usize> {
        let index = j * self.n_columns() + i;
        (i < self.n_columns() && j < self.n_rows() && self.inside[index]).then_some(index)
    }

    /// The same for the cell `left` columns left and `down` rows below that one.
    fn cell_from(&self, corner: Corner, left: usize, down: usize) -> Option<usize> {
        self.cell(corner.0.checked_sub(left)?, corner.1.checked_sub(down)?)
    }

    /// For each cell that is in, the least number of the cells it hangs together with by sides.
    fn labels(&self) -> Vec<usize> {
        let mut labels = vec![usize::MAX; self.inside.len()];
        for start in 0..self.inside.len() {
            if !self.inside[start] || labels[start] != usize::MAX {
                continue;
            }
            let mut open = vec![start];
            labels[start] = start;
            while let Some(index) = open.pop() {
                let (i, j) = (index % self.n_columns(), index / self.n_columns());
                let around = [
                    self.cell(i + 1, j),
                    self.cell(i, j + 1),
                    self.cell_from((i, j), 1, 0),
                    self.cell_from((i, j), 0, 1),
                ];
                for next in around.into_iter().flatten() {
                    if labels[next] == usize::MAX {
                        labels[next] = start;
                        open.push(next);
                    }
                }
            }
        }
        labels
    }

    /// Every border ring with the label of the cells on its left.
    fn rings(&self, labels: &[usize]) -> Vec<(usize, ShopRing)> {
        let mut steps = self.border(labels);
        let mut rings = Vec::new();
        while let Some((&(start, heading), _)) = steps.first_key_value() {
            let mut path = Vec::new();
            let (mut corner, mut heading) = (start, heading);
            let mut label = 0;
            // Inside stays on the left, so the leftmost way keeps to one piece where two meet in a corner.
            while let Some(of) = steps.remove(&(corner, heading)) {
                path.push(corner);
                label = of;
                corner = heading.step(corner);
                let left_first = [heading.left(), heading, heading.left().left().left()];
                match left_first
                    .into_iter()
                    .find(|way| steps.contains_key(&(corner, *way)))
                {
                    Some(way) => heading = way,
                    None => break,
                }
            }
            rings.extend(
                simple_loops(&path)
                    .into_iter()
                    .map(|ring| (label, self.ring(&ring))),
            );
        }
        rings
    }

    /// Every unit step along the border, inside on the left, with the label of the cell there.
    fn border(&self, labels: &[usize]) -> BTreeMap<(Corner, Heading), usize> {
        let mut steps = BTreeMap::new();
        for j in 0..=self.n_rows() {
            for i in 0..=self.n_columns() {
                let (upper, lower) = (self.cell(i, j), self.cell_from((i, j), 0, 1));
                match (upper, lower) {
                    (Some(cell), None) => {
                        steps.insert(((i, j), Heading::Right), labels[cell]);
                    }
                    (None, Some(cell)) => {
                        steps.insert(((i + 1, j), Heading::Left), labels[cell]);
                    }
                    _ => {}
                }
                let (right, left) = (upper, self.cell_from((i, j), 1, 0));
                match (right, left) {
                    (Some(cell), None) => {
                        steps.insert(((i, j + 1), Heading::Down), labels[cell]);
                    }
                    (None, Some(cell)) => {
                        steps.insert(((i, j), Heading::Up), labels[cell]);
                    }
                    _ => {}
                }
            }
        }
        steps
    }

    /// The ring through these corners without the points in the middle of its sides, from its lowest, leftmost point.
    fn ring(&self, corners: &[Corner]) -> ShopRing {
        let n = corners.len();
        let turns = |k: &usize| {
            let (a, b, c) = (corners[(k + n - 1) % n], corners[*k], corners[(k + 1) % n]);
            !((a.0 == b.0 && b.0 == c.0) || (a.1 == b.1 && b.1 == c.1))
        };
        let mut points: Vec<ShopPoint> = (0..n)
            .filter(turns)
            .map(|k| ShopPoint::new(self.xs[corners[k].0], self.ys[corners[k].1]))
            .collect();
        let lowest = (0..points.len()).min_by_key(|k| (points[*k].y, points[*k].x));
        points.rotate_left(lowest.unwrap_or(0));
        ShopRing(points)
    }
}

/// Parts a closed path at every corner it passes twice.
fn simple_loops(path: &[Corner]) -> Vec<Vec<Corner>> {
    let mut loops = Vec::new();
    let mut open: Vec<Corner> = Vec::new();
    for corner in path {
        if let Some(back) = open.iter().position(|seen| seen == corner) {
            loops.push(open.split_off(back));
        }
        open.push(*corner);
    }
    loops.push(open);
    loops
}

/// The four ways along the grid.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Heading {
    Right,
    Up,
    Left,
    Down,
}

impl Heading {
    fn left(self) -> Self {
        match self {
            Self::Right => Self::Up,
            Self::Up => Self::Left,
            Self::Left => Self::Down,
            Self::Down => Self::Right,
        }
    }

    fn step(self, (i, j): Corner) -> Corner {
        match self {
            Self::Right => (i + 1, j),
            Self::Up => (i, j + 1),
            Self::Left => (i.wrapping_sub(1), j),
            Self::Down => (i, j.wrapping_sub(1)),
        }
    }
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
        let points = |ring: &ShopRing| {
            let points: Vec<String> = ring
                .0
                .iter()
                .map(|p| format!("{},{}", p.x.to_inches(), p.y.to_inches()))
                .collect();
            points.join(" ")
        };
        let found: Vec<String> = subtract(rect(0, 0, 9, 9), cuts)
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
}
