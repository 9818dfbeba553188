//! Told by its outline alone: is a line that closes a revision cloud?
//!
//! ```text
//!    ╭─╮╭─╮╭─╮      a lobe turns one way all along; a cusp between two lobes turns the other way at once
//!    ╰╮     ╭╯      a circle and a rounded box have no cusp; a star and a toothed edge turn at their corners alone
//!     ╰─╯╰─╯
//! ```
//!
//! Method: the line is walked in equal steps, fine ones for an editor's arcs and coarse ones for a hand that shakes. Common practice,
//! no source.

use super::drafts::far;
use super::drawn::Run;
use crate::documents::paper::{Spot, spot};

/// Steps round the line, for hands that are sure and less sure.
const STEPS: [u32; 4] = [480, 240, 120, 60];
/// A cloud has so many lobes at least.
const LOBES: usize = 3;
/// A lobe turns by so much at least, degrees.
const TURNS: f64 = 55.0;
/// A cusp by so much at least, degrees.
const CUSP: f64 = 20.0;
/// And within so many steps.
const LONGEST_CUSP: usize = 4;
/// Of a lobe's turn one step holds no more than this share: it is round.
const AT_ONCE: f64 = 0.6;
/// So much of the line at least is lobes.
const SHARE: f64 = 0.7;
/// A line drawn from point to point has so many for each lobe at least: a cross has three.
const POINTS: usize = 4;
/// A smaller one is a letter, mm.
const SMALLEST: f64 = 2.0;
/// Ends are joined when they are no farther apart than this share of the line.
const CLOSES: f64 = 0.12;
/// Ends of pieces that follow one another are no farther apart, mm.
const JOINT: f64 = 0.3;

/// True for lobes all round something.
///
/// - `n_curves`: how many of the pieces were curves.
pub(super) fn is_cloud(runs: &[&Run], n_curves: usize) -> bool {
    let Some(points) = chained(runs) else {
        return false;
    };
    let over = |of: fn(&Spot) -> f64| {
        let all = points.iter().map(of);
        let (low, high) = all.fold((f64::MAX, f64::MIN), |(a, b), it| (a.min(it), b.max(it)));
        high - low
    };
    over(|p| p.x).min(over(|p| p.y)) > SMALLEST
        && STEPS.iter().any(|n| {
            let turns = turns(&walked(&points, *n));
            let n_lobes = lobes(&turns, 1.0).max(lobes(&turns, -1.0));
            n_lobes >= LOBES && (n_curves >= LOBES || points.len() >= POINTS * n_lobes)
        })
}

/// The points of a line that closes, its pieces in the order in which they follow one another; `None` for any other.
fn chained(runs: &[&Run]) -> Option<Vec<Spot>> {
    let mut left: Vec<Vec<Spot>> = runs.iter().map(|run| run.points.clone()).collect();
    left.retain(|it| it.len() > 1);
    let mut all = left.pop()?;
    while !left.is_empty() {
        let end = *all.last()?;
        let meets = |p: Option<&Spot>| p.is_some_and(|p| far(*p, end) <= JOINT);
        let next = (left.iter()).position(|it| meets(it.first()) || meets(it.last()))?;
        let mut piece = left.swap_remove(next);
        if !meets(piece.first()) {
            piece.reverse();
        }
        all.append(&mut piece);
    }
    let (first, last) = (*all.first()?, *all.last()?);
    let is_closed = matches!(runs, [run] if run.is_closed);
    (is_closed || far(first, last) <= CLOSES * length(&all)).then(|| {
        all.push(first);
        all
    })
}

fn length(points: &[Spot]) -> f64 {
    points.windows(2).map(|it| far(it[0], it[1])).sum()
}

/// Points at equal steps along a line.
fn walked(points: &[Spot], n: u32) -> Vec<Spot> {
    let step = length(points) / f64::from(n);
    let mut out = Vec::new();
    let mut rest = 0.0;
    for pair in points.windows(2) {
        let long = far(pair[0], pair[1]);
        while rest < long && step > 0.0 && out.len() < n as usize {
            let t = rest / long;
            out.push(spot(
                pair[0].x + (pair[1].x - pair[0].x) * t,
                pair[0].y + (pair[1].y - pair[0].y) * t,
            ));
            rest += step;
        }
        rest -= long;
    }
    out
}

/// How much a ring turns at each of its points, degrees.
fn turns(ring: &[Spot]) -> Vec<f64> {
    let n = ring.len();
    let at = |i: usize| ring[i % n];
    let heading = |a: Spot, b: Spot| (b.y - a.y).atan2(b.x - a.x).to_degrees();
    (0..n)
        .map(|i| {
            let (a, b, c) = (at(i + n - 1), at(i), at(i + 1));
            (heading(b, c) - heading(a, b) + 540.0).rem_euclid(360.0) - 180.0
        })
        .collect()
}

/// How many lobes a ring has that turn one way, 1 or -1; 0 when too little of it is lobes.
fn lobes(turns: &[f64], way: f64) -> usize {
    let n = turns.len();
    // One that almost turns back is a cusp whatever its sign.
    let is_back = |i: usize| turns[i] * way < -1.0 || turns[i].abs() > 150.0;
    let Some(start) = (0..n).find(|i| !is_back(*i) && is_back((*i + n - 1) % n)) else {
        return 0;
    };
    let (mut good, mut in_good) = (0, 0);
    let (mut lobe, mut back): (Vec<f64>, Vec<f64>) = (Vec::new(), Vec::new());
    let mut all = (0..n).map(|i| (start + i) % n).peekable();
    while let Some(i) = all.next() {
        if is_back(i) {
            back.push(turns[i].abs());
        } else {
            lobe.push((turns[i] * way).max(0.0));
        }
        let is_over = all.peek().is_none_or(|next| is_back(i) && !is_back(*next));
        if is_over {
            let turned: f64 = lobe.iter().sum();
            let most = lobe.iter().copied().fold(0.0, f64::max);
            let is_cusp = back.len() <= LONGEST_CUSP && back.iter().sum::<f64>() >= CUSP;
            if is_cusp && turned >= TURNS && most <= AT_ONCE * turned {
                good += 1;
                in_good += lobe.len() + back.len();
            }
            lobe.clear();
            back.clear();
        }
    }
    if super::matching::share(in_good, n) >= SHARE {
        good
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use super::super::reader::read_svg;
    use super::*;

    fn is_one(d: &str) -> bool {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" viewBox=\"0 0 100 100\"><path d=\"{d}\" fill=\"none\" stroke=\"#00f\"/></svg>"
        );
        let drawing = read_svg(text.as_bytes()).unwrap();
        let lines = drawing.items[0].lines().unwrap();
        let runs: Vec<&Run> = lines.runs.iter().collect();
        is_cloud(&runs, lines.n_curves)
    }

    /// Arcs from point to point of a box, so many to a side.
    fn boxed(wide: f64, high: f64, n: [u32; 2], bulge: f64) -> String {
        let (x0, y0) = (20.0, 20.0);
        let corners = [
            (x0, y0),
            (x0 + wide, y0),
            (x0 + wide, y0 + high),
            (x0, y0 + high),
            (x0, y0),
        ];
        let mut d = format!("M{x0} {y0}");
        for (side, pair) in corners.windows(2).enumerate() {
            let n = n[side % 2];
            let chord = far(spot(pair[0].0, pair[0].1), spot(pair[1].0, pair[1].1)) / f64::from(n);
            let radius = chord / bulge;
            for k in 1..=n {
                let t = f64::from(k) / f64::from(n);
                let x = pair[0].0 + (pair[1].0 - pair[0].0) * t;
                let y = pair[0].1 + (pair[1].1 - pair[0].1) * t;
                d.push_str(&format!("A{radius} {radius} 0 0 1 {x} {y}"));
            }
        }
        d
    }

    /// Round a circle of lobes, from point to point, as a pen gives it.
    fn penned(n_lobes: u32, bulge: f64, shake: f64) -> String {
        let n = n_lobes * 14;
        let mut d = String::new();
        for i in 0..n {
            let t = f64::from(i) / f64::from(n);
            let lobe = (t * f64::from(n_lobes) * std::f64::consts::PI).sin().abs();
            let off = shake * (f64::from(i) * 12.9898).sin();
            let r = 12.0 + bulge * lobe + off;
            let turn = t * std::f64::consts::TAU;
            let to = if i == 0 { 'M' } else { 'L' };
            d.push_str(&format!(
                "{to}{:.3} {:.3}",
                50.0 + r * turn.cos(),
                50.0 + r * turn.sin()
            ));
        }
        d
    }

    #[test]
    fn clouds_small_and_large_of_few_arcs_and_many_are_clouds() {
        for (name, d) in [
            ("one arc a side", boxed(8.0, 6.0, [1, 1], 1.8)),
            ("six arcs in all", boxed(9.0, 4.0, [2, 1], 1.8)),
            ("tiny", boxed(2.4, 2.4, [2, 2], 1.8)),
            ("flat arcs", boxed(24.0, 12.0, [4, 2], 1.6)),
            ("large", boxed(70.0, 60.0, [14, 12], 1.8)),
            ("a pen", penned(9, 4.0, 0.0)),
            ("a pen that shakes", penned(7, 4.0, 0.25)),
            (
                "three lobes",
                "M30 30A8 8 0 1 1 44 30A8 8 0 1 1 37 42A8 8 0 1 1 30 30Z".into(),
            ),
            (
                "curls inwards",
                boxed(40.0, 30.0, [6, 5], 1.7).replace(" 0 0 1 ", " 0 0 0 "),
            ),
            (
                "arcs apart",
                boxed(30.0, 20.0, [5, 3], 1.9)
                    .split('A')
                    .skip(1)
                    .fold(("M20 20".to_owned(), String::new()), |(from, all), arc| {
                        let to: Vec<&str> = arc.split(' ').skip(5).collect();
                        (format!("M{}", to.join(" ")), format!("{all}{from}A{arc}"))
                    })
                    .1,
            ),
        ] {
            assert!(is_one(&d), "{name}: {d}");
        }
    }

    #[test]
    fn rings_boxes_stars_teeth_and_letters_are_no_clouds() {
        let star: String = (0..10)
            .map(|k| {
                let turn = f64::from(k) * 36.0_f64.to_radians();
                let r = if k % 2 == 0 { 20.0 } else { 8.0 };
                let to = if k == 0 { 'M' } else { 'L' };
                format!(
                    "{to}{:.3} {:.3}",
                    50.0 + r * turn.cos(),
                    50.0 + r * turn.sin()
                )
            })
            .collect();
        for (name, d) in [
            ("ring", "M20 30A10 10 0 0 1 40 30A10 10 0 0 1 20 30Z"),
            ("flat ring", "M20 30A30 6 0 0 1 80 30A30 6 0 0 1 20 30Z"),
            (
                "rounded box",
                "M24 20H60A4 4 0 0 1 64 24V40A4 4 0 0 1 60 44H24A4 4 0 0 1 20 40V24A4 4 0 0 1 24 20Z",
            ),
            (
                "speech bubble",
                "M24 20H60A4 4 0 0 1 64 24V40A4 4 0 0 1 60 44H40L34 54L36 44H24A4 4 0 0 1 20 40V24A4 4 0 0 1 24 20Z",
            ),
            ("box", "M20 20H60V40H20Z"),
            ("cross", "M30 20H40V30H50V40H40V50H30V40H20V30H30Z"),
            (
                "teeth",
                "M20 20L24 16L28 20L32 16L36 20L40 16L44 20L44 40L20 40Z",
            ),
            ("star", &star),
            ("a ring of a hand that shakes", &penned(8, 0.0, 0.3)),
            (
                "an eight",
                "M40 40C50 30 50 20 40 20C30 20 30 30 40 40C50 50 50 60 40 60C30 60 30 50 40 40Z",
            ),
            ("a leaf", "M20 40C30 20 50 20 60 40C50 60 30 60 20 40Z"),
            ("a wave", "M20 20Q25 10 30 20T40 20T50 20T60 20"),
            (
                "a spiral",
                "M50 50A4 4 0 0 1 58 50A8 8 0 0 1 42 50A12 12 0 0 1 66 50A16 16 0 0 1 34 50",
            ),
        ] {
            assert!(!is_one(d), "{name}");
        }
    }
}
