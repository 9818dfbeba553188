//! Rows of dimensions end to end under one overall dimension, added up.

use super::{DimensionCheck, DimensionVerdict};
use crate::drawing::{Dimension, Drawing};
use crate::geometry::tolerance;
use crate::units::Length;
use geo::Coord;

/// A row of dimensions end to end under one overall dimension.
#[derive(Clone, Debug, PartialEq)]
pub struct DimensionChain {
    /// True when it measures along the y axis of the drawing as turned.
    pub is_upright: bool,
    /// Where the overall's text stands across the chain, as turned, inches.
    pub lane: f64,
    /// Lengths as written, in order from the left or from below.
    pub parts: Vec<Length>,
    /// What they add up to.
    pub sum: Length,
    /// The overall as written.
    pub overall: Length,
    /// True when the two agree.
    pub closes: bool,
    /// Indices into `Drawing::dimensions`: the overall first, then the parts.
    pub dimensions: Vec<usize>,
}

/// Finds chains that stand under an overall dimension, and adds them up.
///
/// - `turn`: the drawing turned by this, radians; chains run along its two axes then.
/// - Returns them by direction, then by place; each set of written lengths in a direction once.
#[must_use]
pub fn dimension_chains(
    drawing: &Drawing,
    checks: &[DimensionCheck],
    turn: f64,
) -> Vec<DimensionChain> {
    let mut spans: Vec<Span> = checks
        .iter()
        .filter(|check| check.verdict != DimensionVerdict::NotALength)
        .filter_map(|check| Span::new(drawing.dimensions.get(check.dimension)?, check, turn))
        .collect();
    spans.sort_by(|a, b| {
        a.is_upright
            .cmp(&b.is_upright)
            .then(a.from.total_cmp(&b.from))
            .then(a.to.total_cmp(&b.to))
            .then(a.lane.total_cmp(&b.lane))
            .then(a.dimension.cmp(&b.dimension))
    });
    spans
        .iter()
        .filter_map(|overall| {
            let parts = chain_under(overall, &spans)?;
            let sum = parts.iter().fold(Length::ZERO, |sum, it| sum + it.written);
            let off = (sum.to_inches() - overall.written.to_inches()).abs();
            let rounded = overall.rounded + parts.iter().map(|it| it.rounded).sum::<f64>();
            Some(DimensionChain {
                is_upright: overall.is_upright,
                lane: overall.lane,
                parts: parts.iter().map(|it| it.written).collect(),
                sum,
                overall: overall.written,
                closes: off <= tolerance::DIMENSION_AGREES + rounded,
                dimensions: std::iter::once(overall)
                    .chain(&parts)
                    .map(|it| it.dimension)
                    .collect(),
            })
        })
        .collect()
}

/// A dimension along one of the two directions.
#[derive(Clone, Copy, Debug)]
struct Span {
    dimension: usize,
    is_upright: bool,
    from: f64,
    to: f64,
    lane: f64,
    written: Length,
    rounded: f64,
}

impl Span {
    /// `None` when it measures at an angle to both directions.
    fn new(dimension: &Dimension, check: &DimensionCheck, turn: f64) -> Option<Self> {
        let direction = dimension.direction? + turn;
        let (sine, cosine) = direction.sin_cos();
        let is_upright = sine.abs() > cosine.abs();
        if sine.abs().min(cosine.abs()) > tolerance::DIMENSION_SLANT {
            return None;
        }
        let (sine, cosine) = turn.sin_cos();
        let pick = |p: Coord<f64>| {
            let p = Coord {
                x: p.x * cosine - p.y * sine,
                y: p.x * sine + p.y * cosine,
            };
            if is_upright { (p.y, p.x) } else { (p.x, p.y) }
        };
        let (a, b) = (pick(dimension.from).0, pick(dimension.to).0);
        (a.is_finite() && b.is_finite()).then(|| Self {
            dimension: check.dimension,
            is_upright,
            from: a.min(b),
            to: a.max(b),
            lane: pick(dimension.text_at).1,
            written: check.written,
            rounded: check.rounded,
        })
    }
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= tolerance::DIMENSION_AGREES
}

/// Two or more spans of one lane, end to end from the overall's start to its end.
fn chain_under(overall: &Span, spans: &[Span]) -> Option<Vec<Span>> {
    let inside: Vec<&Span> = spans
        .iter()
        .filter(|it| {
            it.is_upright == overall.is_upright
                && it.to - it.from < overall.to - overall.from - tolerance::DIMENSION_AGREES
                && it.from >= overall.from - tolerance::DIMENSION_AGREES
                && it.to <= overall.to + tolerance::DIMENSION_AGREES
        })
        .collect();
    let mut best: Option<(f64, Vec<Span>)> = None;
    for first in inside.iter().filter(|it| close(it.from, overall.from)) {
        let mut chain = vec![**first];
        let mut end = first.to;
        while !close(end, overall.to) {
            let next = inside
                .iter()
                .filter(|it| {
                    close(it.from, end) && (it.lane - first.lane).abs() <= tolerance::DIMENSION_LANE
                })
                .min_by(|a, b| {
                    (a.lane - first.lane)
                        .abs()
                        .total_cmp(&(b.lane - first.lane).abs())
                });
            match next {
                Some(it) if it.to > end + tolerance::DIMENSION_AGREES => {
                    chain.push(**it);
                    end = it.to;
                }
                _ => break,
            }
        }
        if chain.len() > 1 && close(end, overall.to) {
            let away = (first.lane - overall.lane).abs();
            if best.as_ref().is_none_or(|(least, _)| away < *least) {
                best = Some((away, chain));
            }
        }
    }
    best.map(|(_, chain)| chain)
}

#[cfg(test)]
mod tests {
    use super::super::check_dimensions;
    use super::super::testing::{dimension, drawing};
    use super::*;

    #[test]
    fn a_chain_whose_parts_do_not_add_up_to_its_overall_says_so() {
        let parts = [
            dimension(0.0, 48.0, 300.0, ""),
            dimension(48.0, 192.0, 300.0, ""),
            dimension(192.0, 480.0, 300.0, "23'-6\""),
            dimension(480.0, 528.0, 300.0, ""),
            dimension(0.0, 528.0, 330.0, ""),
        ];
        let drawing = drawing(parts.to_vec());
        let checks = check_dimensions(&drawing);
        let chains = dimension_chains(&drawing, &checks, 0.0);
        assert_eq!(chains.len(), 1);
        assert_eq!(chains[0].sum, Length::inches(522));
        assert_eq!(chains[0].overall, Length::inches(528));
        assert_eq!(chains[0].dimensions, [4, 0, 1, 2, 3]);
        assert!(!chains[0].closes && !chains[0].is_upright);
    }
}
