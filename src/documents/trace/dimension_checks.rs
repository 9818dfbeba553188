//! Compares what the architect's dimensions say with what is drawn, one by one and as chains.
//!
//! ```text
//!      4'-0"      12'-0"          23'-6"  !        4'-0"          one by one: written against drawn
//!   ├────────┼────────────┼────────────────────┼────────┤         as a chain: sum of the written against the overall
//!   ├───────────────────────────────────────────────────┤
//! ```
//!
//! Geometry stands: a conflict is shown with both numbers, nothing is moved.

use crate::documents::paper::Area;
use crate::documents::plan_view::turned;
use crate::drawing::{Dimension, Drawing};
use crate::geometry::tolerance;
use crate::units::{Length, parse_length};
use geo::Coord;

/// One linear dimension, checked.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct DimensionCheck {
    /// Index into `Drawing::dimensions`.
    pub(crate) dimension: usize,
    /// What the paper says: the typed text, else the measured length.
    pub(crate) written: Length,
    /// What lies between its two points.
    pub(crate) drawn: Length,
    /// How the two compare.
    pub(crate) verdict: Verdict,
}

/// What became of a dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// Written and drawn are the same within [`tolerance::DIMENSION_AGREES`].
    Agrees,
    /// They differ.
    Conflicts,
    /// A text was typed over it that is no length, such as `VERIFY`; the drawn length stands.
    NotALength,
}

/// A row of dimensions end to end under one overall dimension.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct ChainCheck {
    /// Which side of the building, on the sheet as it lies: `top`, `right`, `bottom`, `left`, `inside`.
    pub(crate) side: &'static str,
    /// Lengths as written, in order from the left or from below.
    pub(crate) parts: Vec<Length>,
    /// What they add up to.
    pub(crate) sum: Length,
    /// The overall as written.
    pub(crate) overall: Length,
    /// True when the two agree.
    pub(crate) closes: bool,
}

/// Checks every linear dimension of a drawing; others (radius, angle) and those without length are left out.
///
/// - A bare number is in drawing units in a metric drawing, and inches otherwise.
pub(crate) fn check_dimensions(drawing: &Drawing) -> Vec<DimensionCheck> {
    drawing
        .dimensions
        .iter()
        .enumerate()
        .filter_map(|(index, dimension)| {
            dimension.direction?;
            let drawn = inches(dimension.measured)?;
            if drawn <= Length::ZERO {
                return None;
            }
            let (written, verdict) = match written_length(drawing, dimension) {
                Written::Measured => (dimension.stated.and_then(inches).unwrap_or(drawn), None),
                Written::Length(length) => (length, None),
                Written::Words => (drawn, Some(Verdict::NotALength)),
            };
            let verdict = verdict.unwrap_or(
                if (written.to_inches() - drawn.to_inches()).abs() <= tolerance::DIMENSION_AGREES {
                    Verdict::Agrees
                } else {
                    Verdict::Conflicts
                },
            );
            Some(DimensionCheck {
                dimension: index,
                written,
                drawn,
                verdict,
            })
        })
        .collect()
}

/// Finds chains that stand under an overall dimension, and adds them up.
///
/// - `turn`: as the sheet turns the building; sides are named as they lie on it.
/// - `extent`: the building as turned, inches.
/// - Returns them by side (top, right, bottom, left, inside), then from the outside in; each set of two points once.
pub(crate) fn check_chains(
    drawing: &Drawing,
    checks: &[DimensionCheck],
    turn: f64,
    extent: &Area,
) -> Vec<ChainCheck> {
    let mut spans: Vec<Span> = checks
        .iter()
        .filter_map(|check| Span::new(drawing.dimensions.get(check.dimension)?, check, turn))
        .collect();
    spans.sort_by(|a, b| {
        (a.is_upright, a.from, a.to)
            .partial_cmp(&(b.is_upright, b.from, b.to))
            .unwrap_or(std::cmp::Ordering::Equal)
            .then(a.lane.total_cmp(&b.lane))
    });
    let mut chains = Vec::new();
    for overall in &spans {
        if let Some(parts) = chain_under(overall, &spans) {
            let sum = parts.iter().fold(Length::ZERO, |sum, it| sum + it.written);
            let side = side_of(overall, extent);
            chains.push((
                side,
                ChainCheck {
                    side: SIDES[side],
                    parts: parts.iter().map(|it| it.written).collect(),
                    sum,
                    overall: overall.written,
                    closes: (sum.to_inches() - overall.written.to_inches()).abs()
                        <= tolerance::DIMENSION_AGREES,
                },
            ));
        }
    }
    chains.sort_by_key(|(side, _)| *side);
    chains.dedup();
    chains.into_iter().map(|(_, chain)| chain).collect()
}

const SIDES: [&str; 5] = ["top", "right", "bottom", "left", "inside"];

/// A dimension along one of the sheet's two directions.
#[derive(Clone, Copy, Debug)]
struct Span {
    is_upright: bool,
    from: f64,
    to: f64,
    lane: f64,
    written: Length,
}

impl Span {
    /// `None` when it measures at an angle to the sheet.
    fn new(dimension: &Dimension, check: &DimensionCheck, turn: f64) -> Option<Self> {
        let direction = dimension.direction? + turn;
        let (sine, cosine) = direction.sin_cos();
        let is_upright = sine.abs() > cosine.abs();
        if sine.abs().min(cosine.abs()) > tolerance::DIMENSION_SLANT {
            return None;
        }
        let pick = |p: Coord<f64>| {
            let p = turned(p, turn);
            if is_upright { (p.y, p.x) } else { (p.x, p.y) }
        };
        let (a, b) = (pick(dimension.from).0, pick(dimension.to).0);
        (a.is_finite() && b.is_finite()).then(|| Self {
            is_upright,
            from: a.min(b),
            to: a.max(b),
            lane: pick(dimension.text_at).1,
            written: check.written,
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

/// Index into [`SIDES`]: on which side of the building an overall dimension stands.
fn side_of(overall: &Span, extent: &Area) -> usize {
    if overall.is_upright {
        if overall.lane >= extent.x1 {
            1
        } else if overall.lane <= extent.x0 {
            3
        } else {
            4
        }
    } else if overall.lane >= extent.y1 {
        0
    } else if overall.lane <= extent.y0 {
        2
    } else {
        4
    }
}

enum Written {
    Measured,
    Length(Length),
    Words,
}

/// Reads the text typed over a dimension. `<>` stands for the measured length; words after a length are let be.
fn written_length(drawing: &Drawing, dimension: &Dimension) -> Written {
    let text = dimension.override_text.trim();
    if text.is_empty() || text.contains("<>") {
        return Written::Measured;
    }
    let bare = text
        .trim_start_matches(['±', '~', '(', '+', '/', '-', ' '])
        .trim_end_matches(|c: char| c.is_alphabetic() || " .,()±".contains(c))
        .trim();
    let is_plain_number = bare
        .chars()
        .all(|c| c.is_ascii_digit() || c == '.' || c == ',');
    if is_plain_number && drawing.scale.unit.is_metric() {
        let number: Option<f64> = bare.replace(',', ".").parse().ok();
        return number
            .and_then(|it| inches(it * drawing.scale.inches_per_unit))
            .map_or(Written::Words, Written::Length);
    }
    parse_length(text)
        .or_else(|_| parse_length(bare))
        .map_or(Written::Words, Written::Length)
}

fn inches(value: f64) -> Option<Length> {
    Length::nearest(value, Length::nanometres(1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::SourceIndex;

    fn dimension(from: f64, to: f64, lane: f64, text: &str) -> Dimension {
        Dimension {
            from: (from, 0.0).into(),
            to: (to, 0.0).into(),
            direction: Some(0.0),
            measured: to - from,
            stated: None,
            override_text: text.to_owned(),
            shown_text: String::new(),
            text_at: ((from + to) / 2.0, lane).into(),
            source: SourceIndex(0),
        }
    }

    fn drawing(dimensions: Vec<Dimension>) -> Drawing {
        Drawing {
            dimensions,
            ..Drawing::default()
        }
    }

    #[track_caller]
    fn check(text: &str, measured: f64, expected: Verdict) {
        let drawing = drawing(vec![dimension(0.0, measured, 10.0, text)]);
        assert_eq!(check_dimensions(&drawing)[0].verdict, expected);
    }

    #[test]
    fn a_typed_text_is_held_against_what_is_drawn() {
        check("", 288.0, Verdict::Agrees);
        check("<>", 288.0, Verdict::Agrees);
        check("24'-0\"", 288.0, Verdict::Agrees);
        check("24'-0\" V.I.F.", 288.0, Verdict::Agrees);
        check("±24'-0\"", 288.0, Verdict::Agrees);
        check("23'-6\"", 288.0, Verdict::Conflicts);
        check("VERIFY", 288.0, Verdict::NotALength);
    }

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
        let chains = check_chains(&drawing, &checks, 0.0, &Area::new(0.0, 0.0, 528.0, 200.0));
        assert_eq!(chains.len(), 1);
        assert_eq!(chains[0].side, "top");
        assert_eq!(chains[0].sum, Length::inches(522));
        assert_eq!(chains[0].overall, Length::inches(528));
        assert!(!chains[0].closes);
    }
}
