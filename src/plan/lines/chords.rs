//! Arcs drawn as chains of short lines, found by where the lines lie and never by their order in the file.
//!
//! ```text
//!   ╭╌╮   short lines end to end, turning the same way by equal steps ──► one arc
//! ```

use crate::drawing::{Curve, Drawing, SourceIndex};
use crate::plan::axis::{cross, distance, dot};
use crate::plan::nearby::{Nearby, rank};
use geo::Coord;
use std::collections::BTreeMap;

/// An arc drawn as chords.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Chorded {
    pub centre: Coord<f64>,
    pub radius: f64,
    /// Swept angle, radians, above zero.
    pub sweep: f64,
    /// Ends of the chords along it.
    pub points: Vec<Coord<f64>>,
    /// The entity of the first chord.
    pub source: SourceIndex,
}

/// At least this many chords make an arc.
const CHORDS: usize = 5;
/// Chords are shorter than this, inches.
const LONGEST: f64 = 60.0;
/// Longer than this, a chord is one only of a flat arc: else it is the side of a polygon, inches.
const LONG: f64 = 14.0;
/// Sine of the greatest turn between chords of a flat arc (16 degrees).
const FLAT: f64 = 0.28;
/// Ends within this are one, inches.
const ONE_POINT: f64 = 0.05;
/// Ends are looked through in strips this wide, inches.
const STRIP: f64 = 8.0;
/// Sine of the least and of the greatest turn from chord to chord.
const TURN: (f64, f64) = (0.008, 0.6);

/// A short line, one way round.
#[derive(Clone, Copy)]
struct Piece {
    a: Coord<f64>,
    b: Coord<f64>,
    source: SourceIndex,
}

/// All arcs drawn as chords, centred on an origin.
pub(in crate::plan) fn chorded(drawing: &Drawing, origin: Coord<f64>) -> Vec<Chorded> {
    let mut pieces = beside_slanted(pieces(drawing, origin));
    let mut may = bending(&pieces).into_iter();
    pieces.retain(|_| may.next() == Some(true));
    pieces.sort_by(|p, q| {
        p.a.x
            .total_cmp(&q.a.x)
            .then_with(|| p.a.y.total_cmp(&q.a.y))
            .then_with(|| p.b.x.total_cmp(&q.b.x))
            .then_with(|| p.b.y.total_cmp(&q.b.y))
    });
    let pieces = in_one(&pieces);
    let tree = Nearby::points(pieces.iter().flat_map(|it| [it.a, it.b]));
    let mut used = vec![false; pieces.len()];
    let mut arcs = Vec::new();
    for first in 0..pieces.len() {
        if used[first] {
            continue;
        }
        used[first] = true;
        let mut chain = vec![pieces[first].a, pieces[first].b];
        // Where two arcs cross, a single piece cannot tell which of them it goes on with: the other end is looked at first.
        let mut at_both_ends = |at_fork| {
            let mut is_open = false;
            for _ in 0..2 {
                is_open |= grow(&pieces, &tree, &mut used, &mut chain, at_fork);
                chain.reverse();
            }
            is_open
        };
        if at_both_ends(false) {
            at_both_ends(true);
        }
        split(&chain, pieces[first].source, &mut arcs);
    }
    arcs
}

fn pieces(drawing: &Drawing, origin: Coord<f64>) -> Vec<Piece> {
    let is_visible = |index: SourceIndex| {
        drawing
            .sources
            .get(index.0 as usize)
            .is_some_and(|source| !source.is_hidden)
    };
    drawing
        .strokes
        .iter()
        .filter(|stroke| is_visible(stroke.source))
        .filter_map(|stroke| {
            let Curve::Line { start, end } = stroke.curve else {
                return None;
            };
            let (p, q) = (start - origin, end - origin);
            let (a, b) = if (p.x, p.y) <= (q.x, q.y) {
                (p, q)
            } else {
                (q, p)
            };
            let source = stroke.source;
            (ONE_POINT..LONGEST)
                .contains(&distance(a, b))
                .then_some(Piece { a, b, source })
        })
        .collect()
}

/// What is slanted, or meets such a piece at an end: of three chords in a row one is, and most lines of a plan are square to it.
fn beside_slanted(pieces: Vec<Piece>) -> Vec<Piece> {
    let slanted = slanted(&pieces);
    let ends = (pieces.iter().zip(&slanted))
        .filter(|it| *it.1)
        .flat_map(|(it, _)| [it.a, it.b]);
    let tree = Nearby::points(ends);
    let meets = |it: &Piece| {
        [it.a, it.b]
            .iter()
            .any(|p| tree.any_within(*p, ONE_POINT, |_| true))
    };
    (pieces.into_iter().zip(slanted))
        .filter(|(it, is_slanted)| *is_slanted || meets(it))
        .map(|it| it.0)
        .collect()
}

/// Whether each piece runs another way than most of the drawing: the way in which most pieces run, or square to it.
fn slanted(pieces: &[Piece]) -> Vec<bool> {
    let quarter = std::f64::consts::FRAC_PI_2;
    let angles: Vec<f64> = (pieces.iter())
        .map(|it| (it.b.y - it.a.y).atan2(it.b.x - it.a.x))
        .map(|it| it.rem_euclid(quarter))
        .collect();
    // How many run nearly alike, and the first of them.
    let mut alike: BTreeMap<i64, (usize, f64)> = BTreeMap::new();
    for angle in &angles {
        let bin = alike.entry(rank((angle / TURN.0).round()));
        bin.or_insert((0, *angle)).0 += 1;
    }
    let most = alike.into_values().max_by_key(|it| it.0);
    let usual = most.map_or(0.0, |it| it.1);
    let turn = |angle: f64| {
        let off = (angle - usual).abs();
        off.min(quarter - off)
    };
    angles.iter().map(|it| turn(*it) > TURN.0 / 2.0).collect()
}

/// Whether each piece meets another at an end and bends by what a chord may: most lines meet others squarely or in line.
///
/// Method: ends in strips, from the bottom up in each, so that ends that may be one stand side by side.
fn bending(pieces: &[Piece]) -> Vec<bool> {
    // The ranks of its strip and of how high it lies, which piece and which end of it.
    let mut ends: Vec<(i64, i64, (usize, bool))> = Vec::with_capacity(pieces.len() * 5 / 2);
    for (i, it) in pieces.iter().enumerate() {
        for (p, at_b) in [(it.a, false), (it.b, true)] {
            let strip = |x: f64| (x / STRIP).floor();
            ends.push((rank(strip(p.x)), rank(p.y), (i, at_b)));
            // Near the edge of a strip it stands in the next one too.
            if strip(p.x + ONE_POINT) > strip(p.x) {
                ends.push((rank(strip(p.x + ONE_POINT)), rank(p.y), (i, at_b)));
            }
        }
    }
    ends.sort_unstable();
    // The way of each, and by how much ends that miss each other may turn it.
    let ways: Vec<(Coord<f64>, f64)> = pieces
        .iter()
        .map(|it| {
            let length = distance(it.a, it.b);
            ((it.b - it.a) / length, 1.1 * ONE_POINT / length)
        })
        .collect();
    let mut may = vec![false; pieces.len()];
    let mut in_line = Vec::new();
    for (k, (strip, _, (i, at_b))) in ends.iter().enumerate() {
        let own = if *at_b { pieces[*i].b } else { pieces[*i].a };
        let highest = rank(own.y + ONE_POINT);
        for (other_strip, high, (j, _)) in &ends[k + 1..] {
            if *high > highest || other_strip > strip {
                break;
            }
            let ((way, off), (other, other_off)) = (ways[*i], ways[*j]);
            let (sine, loose) = (cross(way, other).abs(), off + other_off);
            if i != j && sine > TURN.0 - loose && sine < TURN.1 + loose {
                (may[*i], may[*j]) = (true, true);
            } else if i != j && sine <= TURN.0 {
                in_line.push([*i, *j]);
            }
        }
    }
    // A chord drawn in pieces bends by its ends alone.
    for [i, j] in in_line {
        may[i] |= may[j];
        may[j] |= may[i];
    }
    may
}

/// Pieces in line that meet as one, and one that is drawn twice once.
///
/// - `pieces`: from left to right, so that each begins where one before it ends.
fn in_one(pieces: &[Piece]) -> Vec<Piece> {
    let tree = Nearby::points(pieces.iter().map(|it| it.a));
    let mut is_part = vec![false; pieces.len()];
    let mut all: Vec<Piece> = Vec::with_capacity(pieces.len());
    for i in 0..pieces.len() {
        if is_part[i] {
            continue;
        }
        is_part[i] = true;
        let mut whole = pieces[i];
        let way = (whole.b - whole.a) / distance(whole.a, whole.b);
        let is_along = |it: &Piece| {
            let own = it.b - it.a;
            let turn = TURN.0 * distance(it.a, it.b);
            dot(way, own) > 0.0 && cross(way, own).abs() <= turn
        };
        let mut next = Some(i);
        while next.is_some() {
            next = None;
            tree.visit_within(whole.b, ONE_POINT, |k| {
                if !is_part[k] && is_along(&pieces[k]) {
                    next = Some(next.map_or(k, |other| other.min(k)));
                }
            });
            if let Some(k) = next {
                is_part[k] = true;
                whole.b = pieces[k].b;
            }
        }
        let long = dot(way, whole.b - whole.a) + ONE_POINT;
        tree.visit_within(whole.a, ONE_POINT, |k| {
            is_part[k] |= is_along(&pieces[k]) && dot(way, pieces[k].b - whole.a) <= long;
        });
        all.push(whole);
    }
    all
}

/// Adds chords at the end of a chain as long as one goes on by a small turn: of several, the one nearest the chain's own circle.
///
/// - `at_fork`: whether a chain of one piece, which has no circle yet, chooses between several too: the straightest.
/// - True when it stopped at such a choice.
fn grow(
    pieces: &[Piece],
    tree: &Nearby,
    used: &mut [bool],
    chain: &mut Vec<Coord<f64>>,
    at_fork: bool,
) -> bool {
    while let [.., before, end] = chain[..] {
        let way = end - before;
        let length = distance(before, end);
        let own_circle = match chain[..] {
            [.., a, b, c] => circle(a, b, c).map(|centre| (centre, distance(centre, c))),
            _ => None,
        };
        let (mut next, mut n_ways): (Option<(f64, usize, Coord<f64>)>, usize) = (None, 0);
        tree.visit_within(end, ONE_POINT, |k| {
            let i = k / 2;
            let it = &pieces[i];
            let far = if distance(it.a, end) <= distance(it.b, end) {
                it.b
            } else {
                it.a
            };
            let on = far - end;
            if used[i] || dot(way, on) <= 0.0 {
                return;
            }
            let own = distance(far, end).max(1e-9);
            let sine = (cross(way, on) / (length * own)).abs();
            let most = if own.max(length) > LONG { FLAT } else { TURN.1 };
            let fits = (TURN.0..most).contains(&sine) && (0.3..3.3).contains(&(own / length));
            if !fits {
                return;
            }
            n_ways += 1;
            let off = own_circle.map_or(sine, |(c, radius)| (distance(far, c) - radius).abs());
            if next.is_none_or(|known| (off, i) < (known.0, known.1)) {
                next = Some((off, i, far));
            }
        });
        let Some((_, i, far)) = next else {
            return false;
        };
        if n_ways > 1 && own_circle.is_none() && !at_fork {
            return true;
        }
        used[i] = true;
        chain.push(far);
    }
    false
}

/// An arc of a chain: centre, radius, and where it ends.
type Reach = ((Coord<f64>, f64), usize);

/// The longest arc from a place of a chain.
fn longest(chain: &[Coord<f64>], from: usize) -> Option<Reach> {
    let mut to = from + CHORDS;
    let mut best = fitted(chain.get(from..=to)?)?;
    // Grown by doubling, then by single chords.
    let mut step = CHORDS;
    while step > 0 {
        let end = (to + step).min(chain.len() - 1);
        match fitted(&chain[from..=end]) {
            Some(circle) if end > to => {
                (best, to) = (circle, end);
                step *= 2;
            }
            _ => step /= 2,
        }
    }
    Some((best, to))
}

/// Cuts a chain into arcs, the same ones from either end.
fn split(chain: &[Coord<f64>], source: SourceIndex, arcs: &mut Vec<Chorded>) {
    let mut from = 0;
    while from + CHORDS < chain.len() {
        let Some((mut best, mut to)) = longest(chain, from) else {
            from += 1;
            continue;
        };
        // A line that leads into an arc lies near the circle through it and the first chords: without it the arc goes on.
        if let Some((other, far)) = longest(chain, from + 1).filter(|it| it.1 > to + 1) {
            (best, to) = (other, far);
            from += 1;
        }
        let points = chain[from..=to].to_vec();
        let sweep: f64 = points
            .windows(2)
            .map(|w| 2.0 * (distance(w[0], w[1]) / 2.0 / best.1).min(1.0).asin())
            .sum();
        arcs.push(Chorded {
            centre: best.0,
            radius: best.1,
            sweep,
            points,
            source,
        });
        from = to;
    }
}

/// The circle through a chain whose every point lies on it.
fn fitted(chain: &[Coord<f64>]) -> Option<(Coord<f64>, f64)> {
    let (first, middle, last) = (*chain.first()?, chain[chain.len() / 2], *chain.last()?);
    let centre = circle(first, middle, last)?;
    let radius = distance(centre, first);
    let tolerance = 0.05 + 0.004 * radius;
    // Chords that all turn one way: a zigzag is no arc.
    let turn = |w: &[Coord<f64>]| cross(w[1] - w[0], w[2] - w[1]);
    let is_one_way =
        chain.windows(3).all(|w| turn(w) > 0.0) || chain.windows(3).all(|w| turn(w) < 0.0);
    let is_round = chain
        .iter()
        .all(|p| (distance(*p, centre) - radius).abs() < tolerance);
    (is_round && is_one_way && radius < 2400.0).then_some((centre, radius))
}

fn circle(a: Coord<f64>, b: Coord<f64>, c: Coord<f64>) -> Option<Coord<f64>> {
    let (p, q) = (b - a, c - a);
    let twice = 2.0 * cross(p, q);
    let (pp, qq) = (dot(p, p), dot(q, q));
    (twice.abs() > 1e-6).then(|| {
        a + Coord {
            x: (q.y * pp - p.y * qq) / twice,
            y: (p.x * qq - q.x * pp) / twice,
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Source, Stroke};

    /// The arcs of lines.
    fn arcs_of(ends: &[(Coord<f64>, Coord<f64>)]) -> Vec<Chorded> {
        let strokes = ends.iter().map(|&(start, end)| Stroke {
            curve: Curve::Line { start, end },
            source: SourceIndex(0),
            part: 0,
            is_face: false,
            is_approximate: false,
        });
        let drawing = Drawing {
            sources: vec![Source::default()],
            strokes: strokes.collect(),
            ..Drawing::default()
        };
        chorded(&drawing, Coord { x: 0.0, y: 0.0 })
    }

    #[test]
    fn a_swing_of_chords_drawn_in_pieces_or_twice_is_one_arc() {
        let at = |k: i32| {
            let angle = f64::from(k) * 9.0_f64.to_radians();
            Coord {
                x: 30.0 * angle.cos(),
                y: 30.0 * angle.sin(),
            }
        };
        // Most lines of a plan are square to each other.
        let wall = |y: f64| (Coord { x: 90.0, y }, Coord { x: 130.0, y });
        let mut ends: Vec<_> = [0.0, 20.0, 40.0].map(wall).to_vec();
        for k in 0..10 {
            let (a, b) = (at(k), at(k + 1));
            let share = 0.2 + 0.06 * f64::from(k);
            match k % 3 {
                0 => ends.extend([(a, a + (b - a) * share), (b, a + (b - a) * share)]),
                1 => ends.extend([(a, b), (b, a)]),
                _ => ends.push((b, a)),
            }
        }
        let arcs = arcs_of(&ends);
        assert_eq!(arcs.len(), 1);
        assert!((arcs[0].radius - 30.0).abs() < 1e-6);
        assert!((arcs[0].sweep.to_degrees() - 90.0).abs() < 1e-6);
    }

    #[test]
    fn a_swing_of_chords_is_an_arc_in_any_order_after_its_leaf() {
        // Hinge at the origin, leaf of 36 in along x, twelve chords up to y: the leaf's line comes first and meets the arc.
        let at = |k: i32| {
            let angle = f64::from(k) * 7.5_f64.to_radians();
            Coord {
                x: 36.0 * angle.cos(),
                y: 36.0 * angle.sin(),
            }
        };
        let mut ends = vec![(Coord { x: 0.0, y: 0.0 }, at(0))];
        ends.extend((0..12).map(|k| (at(k), at(k + 1))));
        for order in [0, 1] {
            if order == 1 {
                ends.reverse();
            }
            let arcs = arcs_of(&ends);
            assert_eq!(arcs.len(), 1);
            assert!((arcs[0].radius - 36.0).abs() < 1e-6);
            assert!((arcs[0].sweep.to_degrees() - 90.0).abs() < 1e-6);
        }
    }

    #[test]
    fn a_line_that_leads_into_an_arc_is_no_part_of_it_from_either_end() {
        let on = |k: i32| {
            let angle = f64::from(k) * 9.0_f64.to_radians();
            Coord {
                x: 28.0 * angle.cos(),
                y: 28.0 * angle.sin(),
            }
        };
        let mut chain: Vec<Coord<f64>> = (0..=10).map(on).collect();
        // A chord further on along the tangent: off the circle, but not off the one through the last chords and itself.
        let last = on(10);
        chain.push(Coord {
            x: last.x - 3.9,
            y: last.y,
        });
        for _ in 0..2 {
            let mut arcs = Vec::new();
            split(&chain, SourceIndex(0), &mut arcs);
            assert_eq!(arcs.len(), 1);
            assert!((arcs[0].radius - 28.0).abs() < 0.1, "{}", arcs[0].radius);
            assert!((arcs[0].sweep.to_degrees() - 90.0).abs() < 0.5);
            chain.reverse();
        }
    }
}
