//! What in a drawing speaks of its unit: swings, gaps, lengths, written numbers. All in the file's own units.

use crate::drawing::blocks::flat::{Flat, FlatDimension};
use crate::drawing::entities::curves::FlatCurve;
use crate::drawing::model::{Curve, DrawingUnit};
use crate::drawing::unit::breaks::{Strip, strip};
use crate::units::parse_length;
use geo::Coord;

/// Radii of arcs that may be door swings, distinct and sorted.
pub(super) fn swing_radii(flat: &Flat) -> Vec<f64> {
    let mut radii: Vec<f64> = flat
        .curves
        .iter()
        .filter_map(|stroke| match &stroke.curve {
            FlatCurve::Plain(Curve::Arc { radius, sweep, .. })
                if (60.0..=120.0).contains(&sweep.abs().to_degrees()) =>
            {
                Some(*radius)
            }
            _ => None,
        })
        .collect();
    radii.extend(chorded_radii(flat));
    radii.sort_by(f64::total_cmp);
    radii.dedup_by(|a, b| (*a - *b).abs() <= b.abs() * 1e-3);
    radii
}

/// A swing drawn as chords has at least so many of them.
const CHORDS: usize = 5;
/// Chords of one swing are as long as each other within this share.
const ALIKE: f64 = 0.25;
/// Chords turn by less than this, degrees: more is a corner.
const LEAST_CORNER: f64 = 20.0;

/// Radii of swings drawn as one polyline of chords.
fn chorded_radii(flat: &Flat) -> Vec<f64> {
    let mut radii = Vec::new();
    for one in flat.curves.chunk_by(|a, b| a.source == b.source) {
        let chords: Vec<(Coord<f64>, Coord<f64>)> = one
            .iter()
            .filter_map(|stroke| match &stroke.curve {
                FlatCurve::Plain(Curve::Line { start, end }) => Some((*start, *end)),
                _ => None,
            })
            .collect();
        if chords.len() == one.len() {
            radii.extend(chorded_radius(&chords));
        }
    }
    radii
}

/// The radius of chords that follow each other along a quarter circle.
fn chorded_radius(chords: &[(Coord<f64>, Coord<f64>)]) -> Option<f64> {
    if chords.len() < CHORDS {
        return None;
    }
    let length = |d: Coord<f64>| d.x.hypot(d.y);
    let first = length(chords[0].1 - chords[0].0);
    let mut sum = 0.0;
    let mut side = 0.0_f64;
    for pair in chords.windows(2) {
        let (p, q) = (pair[0].1 - pair[0].0, pair[1].1 - pair[1].0);
        let is_next = length(pair[1].0 - pair[0].1) <= 1e-3 * first;
        let turn = (p.x * q.y - p.y * q.x)
            .atan2(p.x * q.x + p.y * q.y)
            .to_degrees();
        let is_alike = (length(q) / first - 1.0).abs() <= ALIKE;
        if !is_next || !is_alike || turn.abs() >= LEAST_CORNER || turn * side < 0.0 {
            return None;
        }
        side = turn;
        sum += turn.abs();
    }
    // The first and the last chord turn by half a step each beyond what lies between them.
    let turns = u32::try_from(chords.len() - 1).ok()?;
    let sweep = sum * (1.0 + 1.0 / f64::from(turns));
    let ends = chords.first()?.0 - chords.last()?.1;
    (60.0..=120.0)
        .contains(&sweep)
        .then(|| length(ends) / 2.0 / (sweep / 2.0).to_radians().sin())
}

/// All straight lines, and the straight edges of areas.
fn lines(flat: &Flat) -> impl Iterator<Item = (Coord<f64>, Coord<f64>)> {
    let edges = flat
        .areas
        .iter()
        .flat_map(|area| area.rings.iter().flatten());
    let curves = flat.curves.iter().map(|stroke| &stroke.curve);
    curves.chain(edges).filter_map(|curve| match curve {
        FlatCurve::Plain(Curve::Line { start, end }) => Some((*start, *end)),
        _ => None,
    })
}

/// Lines that are looked at for lengths and gaps: enough for any plan, and a bound on the time for the largest.
const MOST_LINES: usize = 50_000;

/// Lengths of the lines, distinct and sorted; the longer half of them, as short ones belong to fittings and frames.
pub(super) fn lengths(flat: &Flat) -> Vec<f64> {
    let mut lengths: Vec<f64> = lines(flat)
        .take(MOST_LINES)
        .map(|(start, end)| (end.x - start.x).hypot(end.y - start.y))
        .filter(|&length| length > 0.0)
        .collect();
    lengths.sort_unstable_by(f64::total_cmp);
    lengths.dedup_by(|a, b| (*a - *b).abs() <= b.abs() * 1e-6);
    lengths.split_off(lengths.len() / 2)
}

/// The larger side of what the lines cover; the outermost fiftieth at each end left out, as a few strays lie far off.
pub(super) fn extent(flat: &Flat) -> f64 {
    let spread = |axis: fn(Coord<f64>) -> f64| {
        let mut values: Vec<f64> = lines(flat)
            .take(MOST_LINES)
            .flat_map(|(start, end)| [axis(start), axis(end)])
            .collect();
        if values.is_empty() {
            return 0.0;
        }
        let cut = values.len() / 50;
        let last = values.len() - cut - 1;
        let low = *values.select_nth_unstable_by(cut, f64::total_cmp).1;
        *values.select_nth_unstable_by(last, f64::total_cmp).1 - low
    };
    spread(|at| at.x).max(spread(|at| at.y))
}

/// All lines by direction, distance and start.
pub(super) fn strips(flat: &Flat) -> Vec<Strip> {
    let Some((origin, _)) = lines(flat).next() else {
        return Vec::new();
    };
    let mut strips: Vec<Strip> = lines(flat)
        .take(MOST_LINES)
        .map(|(start, end)| strip(origin, start, end))
        .collect();
    strips.sort_by(|a, b| {
        a.0.cmp(&b.0)
            .then(a.1.total_cmp(&b.1))
            .then(a.2.total_cmp(&b.2))
    });
    strips
}

/// Distances of parallels that are nearest to each other, distinct, each with a weight: the root of the sum of squares
/// of its overlaps, so that long walls count for more than frames, and one gap drawn often does not count alone.
pub(super) fn parallel_gaps(strips: &[Strip]) -> Vec<(f64, f64)> {
    // The nearest parallel of each line on either side: its number, its distance, the overlap.
    let mut nearest: Vec<Option<(usize, f64, f64)>> = vec![None; strips.len()];
    let mut offer = |line: usize, other: usize, gap: f64, overlap: f64| {
        if let Some(place) = nearest.get_mut(line)
            && place.is_none_or(|(_, known, _)| gap < known)
        {
            *place = Some((other, gap, overlap));
        }
    };
    for (number, line) in strips.iter().enumerate() {
        let length = line.3 - line.2;
        // Only a few neighbours are looked at: the next face is near in the order, and this stays linear.
        for (other_number, other) in strips.iter().enumerate().skip(number + 1).take(12) {
            if other.0 != line.0 {
                break;
            }
            let gap = other.1 - line.1;
            let overlap = line.3.min(other.3) - line.2.max(other.2);
            let shorter = length.min(other.3 - other.2);
            if gap > length * 1e-6 && overlap > 0.5 * shorter && overlap > 2.0 * gap {
                offer(number, other_number, gap, overlap);
                offer(other_number, number, gap, overlap);
                break;
            }
        }
    }
    // Two faces of one wall are each other's nearest; a room between two walls is not.
    let mut gaps: Vec<(f64, f64)> = nearest
        .iter()
        .enumerate()
        .filter_map(|(number, near)| {
            let (other, gap, overlap) = (*near)?;
            let (back, _, _) = nearest.get(other).copied().flatten()?;
            (back == number && other > number).then_some((gap, overlap * overlap))
        })
        .collect();
    gaps.sort_by(|a, b| a.0.total_cmp(&b.0));
    gaps.chunk_by(|a, b| b.0 - a.0 <= b.0 * 2e-3)
        .filter_map(|alike| {
            let gap = alike.get(alike.len() / 2)?.0;
            let weight: f64 = alike.iter().map(|gap| gap.1).sum();
            Some((gap, weight.sqrt()))
        })
        .collect()
}

/// A dimension's text against what it measures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Written {
    /// It states its unit: so many inches.
    Inches(f64),
    /// A bare number with this many decimals.
    Number(f64, usize),
}

/// What a linear dimension measures, and what is written on it.
pub(super) fn measured_and_written(dimension: &FlatDimension) -> Option<(f64, Written)> {
    let along = dimension.along?;
    let size = along.x.hypot(along.y);
    let (dx, dy) = (
        dimension.to.x - dimension.from.x,
        dimension.to.y - dimension.from.y,
    );
    let measured = (dx * along.x + dy * along.y).abs() / size;
    let text = if dimension.override_text.is_empty() {
        &dimension.shown_text
    } else {
        &dimension.override_text
    };
    let written = written(text)?;
    let value = match written {
        Written::Inches(value) | Written::Number(value, _) => value,
    };
    (measured > 0.0 && measured.is_finite() && value > 0.0).then_some((measured, written))
}

/// Reads a dimension's text.
pub(super) fn written(text: &str) -> Option<Written> {
    let text = text.trim();
    let states_unit = text.contains(['\'', '"', '′', '″', '’', '”']) || text.ends_with('m');
    if states_unit {
        return parse_length(text)
            .ok()
            .map(|length| Written::Inches(length.to_inches()));
    }
    let plain = text.replace(',', ".");
    let decimals = plain.split_once('.').map_or(0, |(_, tail)| tail.len());
    let is_number = !plain.is_empty()
        && plain
            .bytes()
            .all(|byte| byte.is_ascii_digit() || byte == b'.');
    if !is_number {
        return None;
    }
    plain
        .parse()
        .ok()
        .map(|number| Written::Number(number, decimals))
}

/// Sizes in a room's text such as `5.00 X 3.60`.
pub(super) fn room_sizes(content: &str) -> Vec<Written> {
    let lower = content.to_lowercase();
    let Some((first, second)) = lower.split_once(['x', '×']) else {
        return Vec::new();
    };
    [first, second].into_iter().filter_map(written).collect()
}

/// Width in inches of a call-out of four digits: feet, inches, feet, inches.
pub(super) fn call_out_width(content: &str) -> Option<f64> {
    let digits: Vec<u32> = content
        .trim()
        .chars()
        .map(|letter| letter.to_digit(10))
        .collect::<Option<_>>()?;
    match digits.as_slice() {
        [feet @ 1..=9, inches, 2..=9, _] => Some(f64::from(*feet * 12 + *inches)),
        _ => None,
    }
}

/// Steps that lengths in a unit are multiples of, in that unit, each with the share of lengths that are (from memory of
/// drawings; only their order matters).
const fn steps(unit: DrawingUnit) -> &'static [(f64, f64)] {
    match unit {
        DrawingUnit::Inch => &[
            (12.0, 0.15),
            (6.0, 0.10),
            (1.0, 0.30),
            (0.5, 0.15),
            (0.25, 0.08),
            (0.125, 0.05),
            (0.0625, 0.04),
        ],
        DrawingUnit::Foot => &[
            (1.0, 0.25),
            (0.5, 0.15),
            (1.0 / 12.0, 0.35),
            (1.0 / 24.0, 0.10),
            (1.0 / 192.0, 0.05),
        ],
        DrawingUnit::Millimetre => &[
            (100.0, 0.15),
            (50.0, 0.10),
            (10.0, 0.30),
            (5.0, 0.15),
            (1.0, 0.15),
            (0.5, 0.05),
            (0.1, 0.03),
        ],
        DrawingUnit::Centimetre => &[
            (10.0, 0.15),
            (5.0, 0.10),
            (1.0, 0.30),
            (0.5, 0.15),
            (0.1, 0.15),
            (0.05, 0.04),
        ],
        DrawingUnit::Metre => &[
            (0.1, 0.15),
            (0.05, 0.10),
            (0.01, 0.40),
            (0.005, 0.10),
            (0.001, 0.05),
        ],
    }
}

/// Steps of a building designed in the other system and drawn in this one: inches for metric units, else millimetres;
/// in that system's unit.
const fn foreign_steps(unit: DrawingUnit) -> &'static [(f64, f64)] {
    if unit.is_metric() {
        &[(12.0, 0.02), (1.0, 0.05), (0.25, 0.02)]
    } else {
        &[(100.0, 0.01), (10.0, 0.02)]
    }
}

/// Numbers rounded to two or three decimals turn up in every unit.
const ROUNDED: [(f64, f64); 2] = [(0.01, 0.05), (0.001, 0.03)];

/// How well a length fits the steps of a unit: the density of such lengths there, as a natural logarithm.
pub(super) fn step_fit(length: f64, unit: DrawingUnit) -> f64 {
    // A length that fits no step may be anything: the density of that is spread over this fine a grid.
    let anything = 2e-5;
    let foreign_unit = if unit.is_metric() {
        unit.inches().recip()
    } else {
        1.0 / (25.4 * unit.inches())
    };
    let foreign = foreign_steps(unit)
        .iter()
        .map(|(step, share)| (step * foreign_unit, *share));
    let fitting: f64 = steps(unit)
        .iter()
        .chain(&ROUNDED)
        .copied()
        .chain(foreign)
        .filter(|(step, _)| is_multiple(length, *step, (step * 1e-4).max(length * 1e-8)))
        .map(|(step, share)| step * share)
        .sum();
    (fitting + anything).ln()
}

/// True when a value is a whole number of steps.
pub(super) fn is_multiple(value: f64, step: f64, slack: f64) -> bool {
    (value - (value / step).round() * step).abs() <= slack
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn written_lengths_and_numbers_part() {
        assert_eq!(written("12'-6\""), Some(Written::Inches(150.0)));
        assert_eq!(written("3600 mm"), Some(Written::Inches(3600.0 / 25.4)));
        assert_eq!(written("3,60"), Some(Written::Number(3.6, 2)));
        assert_eq!(written("3600"), Some(Written::Number(3600.0, 0)));
        assert_eq!(written("EQ"), None);
        assert_eq!(written(""), None);
        assert_eq!(
            room_sizes("5.00 X 3.60"),
            [Written::Number(5.0, 2), Written::Number(3.6, 2)]
        );
    }

    #[test]
    fn only_call_outs_are_call_outs() {
        assert_eq!(call_out_width("3068"), Some(36.0));
        assert_eq!(call_out_width("2868"), Some(32.0));
        assert_eq!(call_out_width("2010"), None);
        assert_eq!(call_out_width("306"), None);
        assert_eq!(call_out_width("ABCD"), None);
    }

    #[test]
    fn lengths_fit_the_steps_of_their_own_unit_better() {
        use DrawingUnit::{Centimetre, Foot, Inch, Metre, Millimetre};
        for (length, own, other) in [
            (2400.0, Millimetre, Inch),
            (2400.0, Millimetre, Centimetre),
            (101.8125, Inch, Centimetre),
            (101.8125, Inch, Metre),
            (3.47, Metre, Inch),
            (361.7, Centimetre, Inch),
            (11.0 + 5.0 / 12.0, Foot, Inch),
            (36.0 * 2.54, Centimetre, Inch),
        ] {
            assert!(
                step_fit(length, own) > step_fit(length, other) + 0.5,
                "{length}"
            );
        }
    }
}
