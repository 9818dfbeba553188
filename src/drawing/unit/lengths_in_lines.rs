//! Numbers over lines between two marks: dimensions that were exploded into lines, or that came back from a page.
//!
//! ```text
//!   │   3,60   │        witness lines or ticks across a line, the number about the middle between them
//!   ┼──────────┼        and most of all such numbers the same multiple of what is drawn
//! ```

use crate::drawing::blocks::flat::{Flat, FlatText};
use crate::drawing::entities::curves::FlatCurve;
use crate::drawing::model::Curve;
use crate::drawing::unit::evidence::{Written, call_out_width, measured_and_written, written};
use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

/// More numbers say the same again.
const MOST: usize = 400;
/// Fewer may stand between lines by chance, and of ten so many must say the same multiple.
const LEAST: usize = 5;
const OF_TEN: usize = 8;
/// Multiples are the same within this share: numbers are rounded.
const ALIKE: f64 = 0.02;
/// A number stands this near its line, in heights of its letters; letters are about this wide.
const BESIDE: f64 = 1.8;
const LETTER: f64 = 0.9;
/// A witness line goes beyond the line by so much, and a tick is at most so long, in heights of letters.
const BEYOND: (f64, f64) = (0.02, 2.0);
const TICK: f64 = 3.0;
/// Sine of the angle within which lines are along a number or square to it, and sines of the angles of ticks.
const SQUARE: f64 = 0.01;
const SLANTED: (f64, f64) = (0.3, 0.95);
/// The number stands off the middle between its marks by at most this share of their distance.
const OFF_MIDDLE: f64 = 0.2;

type Line = (Coord<f64>, Coord<f64>);
type Boxes = RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>;

/// A number with the lines along it, by how far aside each lies and from where to where, and the marks across the nearest.
struct Number<'a> {
    text: &'a FlatText,
    value: f64,
    written: Written,
    lanes: Vec<[f64; 3]>,
    marks: Vec<f64>,
}

impl Number<'_> {
    /// Along the number, and aside of it.
    fn seen(&self, p: Coord<f64>) -> (f64, f64) {
        let (sine, cosine) = self.text.angle.sin_cos();
        let off = p - self.text.middle;
        (off.x * cosine + off.y * sine, off.y * cosine - off.x * sine)
    }

    fn point(&self, (s, d): (f64, f64)) -> Coord<f64> {
        let (sine, cosine) = self.text.angle.sin_cos();
        let off = Coord {
            x: s * cosine - d * sine,
            y: s * sine + d * cosine,
        };
        self.text.middle + off
    }

    /// The nearest line along it, put together of its pieces.
    fn lane(&self) -> Option<[f64; 3]> {
        let nearest = self
            .lanes
            .iter()
            .min_by(|p, q| p[0].abs().total_cmp(&q[0].abs()))?[0];
        let own = self
            .lanes
            .iter()
            .filter(|it| (it[0] - nearest).abs() <= 0.05 * self.text.height);
        own.copied()
            .reduce(|all, it| [nearest, all[1].min(it[1]), all[2].max(it[2])])
    }

    /// How far its marks lie apart.
    fn measured(&self) -> Option<f64> {
        let left = self.marks.iter().filter(|at| **at < 0.0);
        let right = self.marks.iter().filter(|at| **at > 0.0);
        let left = left.copied().max_by(f64::total_cmp)?;
        let right = right.copied().min_by(f64::total_cmp)?;
        let (long, middle) = (right - left, f64::midpoint(left, right));
        let is_between = middle.abs() <= OFF_MIDDLE * long + self.text.height;
        (is_between && long > self.text.height).then_some(long)
    }
}

/// What dimensions measure and what is written on them; of a drawing without dimensions, what is drawn between the marks of numbers.
pub(super) fn measured_lengths(flat: &Flat) -> Vec<(f64, Written)> {
    let own = flat.dimensions.iter().filter_map(measured_and_written);
    let own: Vec<(f64, Written)> = own.collect();
    if own.is_empty() {
        lengths_in_lines(flat)
    } else {
        own
    }
}

/// What is drawn between the marks of numbers, and the numbers; nothing where they do not say one multiple.
fn lengths_in_lines(flat: &Flat) -> Vec<(f64, Written)> {
    let mut numbers: Vec<Number<'_>> = flat.texts.iter().filter_map(number).take(MOST).collect();
    if numbers.len() < LEAST {
        return Vec::new();
    }
    let lines = || {
        flat.curves.iter().filter_map(|stroke| match &stroke.curve {
            FlatCurve::Plain(Curve::Line { start, end }) => Some((*start, *end)),
            _ => None,
        })
    };
    let reach = |it: &Number<'_>| {
        let letters = u16::try_from(it.text.content.chars().count()).map_or(0.0, f64::from);
        let reach = (0.5 * LETTER * letters + BESIDE) * it.text.height;
        let off = Coord { x: reach, y: reach };
        Some((it.text.middle - off, it.text.middle + off))
    };
    each_near(&boxes(&numbers, reach), lines(), |i, line| {
        lay(&mut numbers[i], line);
    });
    let lane = |it: &Number<'_>| {
        let [d, from, to] = it.lane()?;
        Some((it.point((from, d)), it.point((to, d))))
    };
    each_near(&boxes(&numbers, lane), lines(), |i, line| {
        mark(&mut numbers[i], line);
    });
    let mut pairs: Vec<(f64, f64, Written)> = (numbers.iter())
        .filter_map(|it| Some((it.value, it.measured()?, it.written)))
        .collect();
    let multiple = |it: &(f64, f64, Written)| it.0 / it.1;
    pairs.sort_by(|p, q| multiple(p).total_cmp(&multiple(q)));
    let Some(middle) = pairs.get(pairs.len() / 2).map(multiple) else {
        return Vec::new();
    };
    let n_all = pairs.len();
    pairs.retain(|it| (multiple(it) / middle - 1.0).abs() <= ALIKE);
    if pairs.len() < LEAST || pairs.len() * 10 < n_all * OF_TEN {
        pairs.clear();
    }
    pairs.into_iter().map(|it| (it.1, it.2)).collect()
}

/// A text that is a length and no size of a door.
fn number(text: &FlatText) -> Option<Number<'_>> {
    if text.height <= 0.0 || call_out_width(&text.content).is_some() {
        return None;
    }
    let written = written(&text.content)?;
    let (Written::Inches(value) | Written::Number(value, _)) = written;
    (value > 0.0).then_some(Number {
        text,
        value,
        written,
        lanes: Vec::new(),
        marks: Vec::new(),
    })
}

fn boxes<'a>(numbers: &[Number<'a>], of: impl Fn(&Number<'a>) -> Option<Line>) -> Boxes {
    let all = numbers.iter().enumerate();
    let all = all.filter_map(|(i, it)| {
        let (a, b) = of(it)?;
        let off = 0.1 * it.text.height;
        let low = [a.x.min(b.x) - off, a.y.min(b.y) - off];
        let high = [a.x.max(b.x) + off, a.y.max(b.y) + off];
        Some(GeomWithData::new(Rectangle::from_corners(low, high), i))
    });
    RTree::bulk_load(all.collect())
}

fn each_near(boxes: &Boxes, lines: impl Iterator<Item = Line>, mut call: impl FnMut(usize, Line)) {
    for (a, b) in lines {
        let around = AABB::from_corners([a.x, a.y], [b.x, b.y]);
        for own in boxes.locate_in_envelope_intersecting(&around) {
            call(own.data, (a, b));
        }
    }
}

/// Adds a line along the number and beside it.
fn lay(it: &mut Number<'_>, (a, b): Line) {
    let ((s, d), (t, e)) = (it.seen(a), it.seen(b));
    let (long, letter) = ((t - s).abs(), it.text.height);
    let is_along = (d - e).abs() <= SQUARE * long && long > letter;
    if is_along && d.abs().max(e.abs()) <= BESIDE * letter {
        it.lanes.push([f64::midpoint(d, e), s.min(t), s.max(t)]);
    }
}

/// Adds a witness line or a tick across its line.
fn mark(it: &mut Number<'_>, (a, b): Line) {
    let Some([lane, ..]) = it.lane() else { return };
    let ((s, d), (t, e)) = (it.seen(a), it.seen(b));
    let (long, letter) = ((t - s).hypot(e - d), it.text.height);
    let (below, above) = (lane - d.min(e), d.max(e) - lane);
    if below <= 0.0 || above <= 0.0 || long <= 0.0 {
        return;
    }
    let sine = (e - d).abs() / long;
    let beyond = below.min(above);
    let is_witness =
        (t - s).abs() <= SQUARE * long && (BEYOND.0 * letter..=BEYOND.1 * letter).contains(&beyond);
    let is_tick = (SLANTED.0..=SLANTED.1).contains(&sine)
        && long <= TICK * letter
        && (below - above).abs() <= 0.2 * letter;
    if is_witness || is_tick {
        it.marks.push(s + (t - s) * (lane - d) / (e - d));
    }
}
