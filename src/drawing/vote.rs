//! The unit of a drawing, by likelihood over all evidence: what the header says is one weak vote among others.

use super::contents::Contents;
use super::curves::FlatCurve;
use super::model::{Curve, DrawingUnit, Scale, UnitVote};
use super::unfold::Flat;
use crate::units::parse_length;
use geo::Coord;

const UNITS: usize = DrawingUnit::ALL.len();

/// The winner must be this many times as likely as the next.
pub(super) const DECISIVE: f64 = 100.0;

/// The vote and how many times likelier the winner is than the next.
pub(super) fn vote(contents: &Contents<'_>, flat: &Flat) -> (Scale, f64) {
    let header = header_unit(contents);
    let votes: Vec<UnitVote> = [
        header_vote(contents, header),
        format_vote(contents),
        dimension_vote(flat),
        writing_vote(flat),
        door_vote(flat),
        call_out_vote(flat),
        wall_vote(flat),
        lettering_vote(flat),
        extent_vote(flat),
    ]
    .into_iter()
    .flatten()
    .collect();
    let mut total = [0.0; UNITS];
    for vote in &votes {
        for (sum, part) in total.iter_mut().zip(vote.log_likelihood) {
            *sum += part;
        }
    }
    let mut order: Vec<usize> = (0..UNITS).collect();
    order.sort_by(|a, b| total[*b].total_cmp(&total[*a]));
    let best = order.first().copied().unwrap_or(0);
    let second = order.get(1).copied().unwrap_or(0);
    let unit = DrawingUnit::ALL.get(best).copied().unwrap_or_default();
    let weight: f64 = total.iter().map(|sum| (sum - total[best]).exp()).sum();
    let scale = Scale {
        unit,
        inches_per_unit: unit.inches(),
        confidence: 1.0 / weight,
        header,
        votes,
    };
    (scale, (total[best] - total[second]).exp())
}

fn each(of: impl Fn(DrawingUnit) -> f64) -> [f64; UNITS] {
    DrawingUnit::ALL.map(of)
}

fn some_vote(evidence: &str, count: usize, log_likelihood: [f64; UNITS]) -> Option<UnitVote> {
    (count > 0).then(|| UnitVote {
        evidence: evidence.to_owned(),
        count,
        log_likelihood,
    })
}

/// `$INSUNITS` (DXF reference: 1 inch, 2 foot, 4 mm, 5 cm, 6 m).
fn header_unit(contents: &Contents<'_>) -> Option<DrawingUnit> {
    let code: f64 = contents.header.get("$INSUNITS")?.parse().ok()?;
    [
        (1.0, DrawingUnit::Inch),
        (2.0, DrawingUnit::Foot),
        (4.0, DrawingUnit::Millimetre),
        (5.0, DrawingUnit::Centimetre),
        (6.0, DrawingUnit::Metre),
    ]
    .into_iter()
    .find(|(known, _)| code == *known)
    .map(|(_, unit)| unit)
}

/// The header is right more often than not; it is often a template's.
fn header_vote(contents: &Contents<'_>, header: Option<DrawingUnit>) -> Option<UnitVote> {
    let is_metric = contents
        .header
        .get("$MEASUREMENT")
        .map(|flag| flag.trim() != "0");
    let likelihood = each(|unit| {
        let by_unit = match header {
            Some(stated) if stated == unit => 0.0,
            Some(_) => -(6.0_f64.ln()),
            None => 0.0,
        };
        let by_flag = match is_metric {
            Some(metric) if metric != unit.is_metric() => -(1.5_f64.ln()),
            _ => 0.0,
        };
        by_unit + by_flag
    });
    let count = usize::from(header.is_some()) + usize::from(is_metric.is_some());
    some_vote("header", count, likelihood)
}

/// Lengths shown as feet and inches make one unit an inch: the CAD programs print them so only then.
fn format_vote(contents: &Contents<'_>) -> Option<UnitVote> {
    let shows_feet = |name: &str| {
        contents
            .header
            .get(name)
            .is_some_and(|value| matches!(value.trim(), "3" | "4"))
    };
    let count = ["$LUNITS", "$DIMLUNIT"]
        .iter()
        .filter(|name| shows_feet(name))
        .count();
    some_vote(
        "number format",
        count,
        each(|unit| match unit {
            DrawingUnit::Inch => 0.0,
            _ => -(10.0_f64.ln()),
        }),
    )
}

/// Feet and inches typed over a measured value give the unit outright.
fn dimension_vote(flat: &Flat) -> Option<UnitVote> {
    let mut count = 0;
    let mut likelihood = [0.0; UNITS];
    for dimension in &flat.dimensions {
        let Some(along) = dimension.along else {
            continue;
        };
        let Some(written) = written_inches(&dimension.override_text) else {
            continue;
        };
        let size = along.x.hypot(along.y).max(1e-300);
        let measured = ((dimension.to.x - dimension.from.x) * along.x
            + (dimension.to.y - dimension.from.y) * along.y)
            .abs()
            / size;
        if measured <= 0.0 || written <= 0.0 {
            continue;
        }
        count += 1;
        if count <= 6 {
            for (sum, unit) in likelihood.iter_mut().zip(DrawingUnit::ALL) {
                let off = (measured * unit.inches() / written - 1.0).abs();
                // A typed value is wrong about one time in ten.
                *sum += if off < 0.02 { 0.0 } else { -(10.0_f64.ln()) };
            }
        }
    }
    some_vote("dimension values", count, likelihood)
}

/// A length that states its unit: feet and inches, or a metric unit.
fn written_inches(text: &str) -> Option<f64> {
    let has_unit = text.contains(['\'', '"', '′', '″']) || text.trim_end().ends_with('m');
    if !has_unit {
        return None;
    }
    parse_length(text).ok().map(|length| length.to_inches())
}

/// Texts in feet and inches are written by those who draw in them; areas in square metres by others.
fn writing_vote(flat: &Flat) -> Option<UnitVote> {
    let (mut imperial, mut metric) = (0_usize, 0_usize);
    for text in &flat.texts {
        let content = text.content.as_str();
        let has_feet = content
            .split_once('\'')
            .is_some_and(|(before, _)| before.ends_with(|c: char| c.is_ascii_digit()));
        if has_feet || content.to_ascii_uppercase().contains("SQ FT") {
            imperial += 1;
        } else if content.contains("m²") || content.contains("m2") || content.ends_with(" mm") {
            metric += 1;
        }
    }
    let weight = |count: usize| match count {
        0 => 0.0,
        1..=2 => 3.0_f64.ln(),
        _ => 10.0_f64.ln(),
    };
    some_vote(
        "writing",
        imperial + metric,
        each(|unit| {
            if unit.is_metric() {
                -weight(imperial)
            } else {
                -weight(metric)
            }
        }),
    )
}

/// Radii of arcs that may be door swings, distinct, in file units.
fn swing_radii(flat: &Flat) -> Vec<f64> {
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
    radii.sort_by(f64::total_cmp);
    radii.dedup_by(|a, b| (*a - *b).abs() <= b.abs() * 1e-3);
    radii
}

/// Door leaves are 22 to 42 in wide (600 to 1050 mm), and of whole sizes.
fn door_vote(flat: &Flat) -> Option<UnitVote> {
    let radii = swing_radii(flat);
    let mut likelihood = [0.0; UNITS];
    for (sum, unit) in likelihood.iter_mut().zip(DrawingUnit::ALL) {
        let fitting = radii
            .iter()
            .filter(|&&radius| (22.0..=42.0).contains(&(radius * unit.inches())))
            .count();
        let whole = radii
            .iter()
            .filter(|&&radius| {
                let inches = radius * unit.inches();
                let step = if unit.is_metric() { 50.0 / 25.4 } else { 2.0 };
                (22.0..=42.0).contains(&inches) && is_multiple(inches, step, 0.02)
            })
            .count();
        *sum = per_item(fitting, 20.0) + per_item(whole, 4.0);
    }
    some_vote("door swings", radii.len(), likelihood)
}

/// Each item makes a unit `ratio` times as likely; after the third they say the same again.
fn per_item(count: usize, ratio: f64) -> f64 {
    let counted = match count {
        0 => 0.0,
        1 => 1.0,
        2 => 1.6,
        _ => 2.0,
    };
    counted * ratio.ln()
}

fn is_multiple(value: f64, step: f64, tolerance: f64) -> bool {
    (value - (value / step).round() * step).abs() <= tolerance
}

/// Call-outs such as 3068 (3'-0" by 6'-8") beside swings of just that radius.
fn call_out_vote(flat: &Flat) -> Option<UnitVote> {
    let radii = swing_radii(flat);
    let mut widths: Vec<f64> = flat
        .texts
        .iter()
        .filter_map(|text| call_out_width(&text.content))
        .collect();
    widths.sort_by(f64::total_cmp);
    widths.dedup();
    let likelihood = each(|unit| {
        let matched = widths
            .iter()
            .filter(|&&width| {
                radii
                    .iter()
                    .any(|radius| (radius * unit.inches() / width - 1.0).abs() < 2e-3)
            })
            .count();
        per_item(matched, 10.0)
    });
    some_vote("call-outs", widths.len(), likelihood)
}

/// Width in inches of a call-out of four digits: feet, inches, feet, inches.
fn call_out_width(content: &str) -> Option<f64> {
    let digits: Vec<u32> = content
        .trim()
        .chars()
        .map(|letter| letter.to_digit(10))
        .collect::<Option<_>>()?;
    match digits.as_slice() {
        [feet @ 1..=9, inches, high @ 1..=9, _] if *high >= 2 => {
            Some(f64::from(*feet * 12 + *inches))
        }
        _ => None,
    }
}

/// Thicknesses that walls are drawn with, inches: studs and their finishes, block (common practice, no source).
const IMPERIAL_WALLS: [f64; 14] = [
    3.5, 4.0, 4.5, 4.75, 4.875, 5.5, 6.0, 6.5, 6.75, 7.5, 8.0, 8.25, 10.0, 12.0,
];

/// The same in millimetres: brick and block formats, boarded studs (common practice, no source).
const METRIC_WALLS: [f64; 20] = [
    75.0, 80.0, 90.0, 100.0, 110.0, 115.0, 120.0, 125.0, 140.0, 150.0, 175.0, 180.0, 200.0, 220.0,
    240.0, 250.0, 300.0, 350.0, 365.0, 400.0,
];

/// Distances of near parallels against the thicknesses of walls.
fn wall_vote(flat: &Flat) -> Option<UnitVote> {
    let gaps = parallel_gaps(flat);
    let total: f64 = gaps.iter().map(|gap| gap.1).sum();
    if total <= 0.0 {
        return None;
    }
    let likelihood = each(|unit| {
        let share = |fits: &dyn Fn(f64) -> bool| {
            gaps.iter()
                .filter(|gap| fits(gap.0 * unit.inches()))
                .map(|gap| gap.1)
                .sum::<f64>()
                / total
        };
        let plausible = share(&|inches| (3.4..=14.6).contains(&inches));
        let nominal = share(&|inches| {
            if unit.is_metric() {
                METRIC_WALLS
                    .iter()
                    .any(|wall| (inches * 25.4 - wall).abs() < 0.6)
            } else {
                IMPERIAL_WALLS
                    .iter()
                    .any(|wall| (inches - wall).abs() < 0.02)
            }
        });
        2.0 * (0.05 + plausible).ln() + (0.1 + nominal).ln()
    });
    some_vote("wall thicknesses", gaps.len(), likelihood)
}

/// Distances from each line to the next parallel beside it, and the length of their overlap, in file units.
fn parallel_gaps(flat: &Flat) -> Vec<(f64, f64)> {
    let Some(origin) = flat.curves.iter().find_map(|stroke| match &stroke.curve {
        FlatCurve::Plain(Curve::Line { start, .. }) => Some(*start),
        _ => None,
    }) else {
        return Vec::new();
    };
    // Direction in quarter degrees, distance from the origin, extent along the direction.
    let mut lines: Vec<(i32, f64, f64, f64)> = flat
        .curves
        .iter()
        .filter_map(|stroke| match &stroke.curve {
            FlatCurve::Plain(Curve::Line { start, end }) => Some(strip(origin, *start, *end)),
            _ => None,
        })
        .collect();
    lines.sort_by(|a, b| {
        a.0.cmp(&b.0)
            .then(a.1.total_cmp(&b.1))
            .then(a.2.total_cmp(&b.2))
    });
    let mut gaps = Vec::new();
    for (number, line) in lines.iter().enumerate() {
        let length = line.3 - line.2;
        // Only a few neighbours are looked at: the next face is near in the order, and this stays linear.
        for other in lines.iter().skip(number + 1).take(12) {
            if other.0 != line.0 {
                break;
            }
            let gap = other.1 - line.1;
            let overlap = line.3.min(other.3) - line.2.max(other.2);
            let shorter = length.min(other.3 - other.2);
            if gap > length * 1e-6 && overlap > 0.5 * shorter && overlap > 2.0 * gap {
                gaps.push((gap, overlap));
                break;
            }
        }
    }
    gaps
}

fn strip(origin: Coord<f64>, start: Coord<f64>, end: Coord<f64>) -> (i32, f64, f64, f64) {
    let (dx, dy) = (end.x - start.x, end.y - start.y);
    let mut angle = dy.atan2(dx).to_degrees().rem_euclid(180.0);
    if angle >= 179.875 {
        angle -= 180.0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "between 0 and 720 by construction"
    )]
    let bin = (angle * 4.0).round() as i32;
    let (sin, cos) = angle.to_radians().sin_cos();
    let along = |point: Coord<f64>| (point.x - origin.x) * cos + (point.y - origin.y) * sin;
    let across = (start.x - origin.x) * -sin + (start.y - origin.y) * cos;
    let (a, b) = (along(start), along(end));
    (bin, across, a.min(b), a.max(b))
}

/// Lettering in a plan is 3 to 14 in high: 3/32 in at a quarter inch to the foot, 2.5 mm at 1:100 (common practice).
fn lettering_vote(flat: &Flat) -> Option<UnitVote> {
    let mut heights: Vec<f64> = flat
        .texts
        .iter()
        .filter(|text| text.height > 0.0)
        .map(|text| text.height)
        .collect();
    heights.sort_by(f64::total_cmp);
    let middle = heights.get(heights.len() / 2).copied()?;
    some_vote(
        "lettering",
        heights.len(),
        each(|unit| near(middle * unit.inches(), 6.5, 0.7, 3.0)),
    )
}

/// A plan is some 60 ft across, with its sheet a few times that.
fn extent_vote(flat: &Flat) -> Option<UnitVote> {
    let mut xs = Vec::new();
    let mut ys = Vec::new();
    for stroke in &flat.curves {
        if let FlatCurve::Plain(Curve::Line { start, end }) = &stroke.curve {
            xs.extend([start.x, end.x]);
            ys.extend([start.y, end.y]);
        }
    }
    let spread = |values: &mut Vec<f64>| {
        values.sort_by(f64::total_cmp);
        // A few strays far off must not stretch the plan.
        let cut = values.len() / 50;
        match (
            values.get(cut),
            values.get(values.len().saturating_sub(cut + 1)),
        ) {
            (Some(low), Some(high)) => high - low,
            _ => 0.0,
        }
    };
    let extent = spread(&mut xs).max(spread(&mut ys));
    if extent <= 0.0 {
        return None;
    }
    some_vote(
        "overall size",
        1,
        each(|unit| near(extent * unit.inches(), 900.0, 1.0, 4.0)),
    )
}

/// Log-normal closeness, floored: `spread` is the standard deviation of the logarithm, `most` the greatest penalty.
fn near(value: f64, centre: f64, spread: f64, most: f64) -> f64 {
    let off = (value / centre).ln() / spread;
    (-0.5 * off * off).max(-most)
}
