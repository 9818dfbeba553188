//! The unit of a drawing, by likelihood over all evidence: what the header says is one weak vote among others.
//!
//! Each vote gives, for every unit, the natural logarithm of how likely its evidence would be if the drawing were in that
//! unit. They are added. The numbers are judgements of the strength of evidence (no source), kept such that no single
//! vote but a dimension with its unit written out decides alone.

use crate::drawing::blocks::flat::Flat;
use crate::drawing::file::contents::Contents;
use crate::drawing::model::{DrawingUnit, Scale, UnitVote};
use crate::drawing::sheets::sheet::{is_usual, windows};
use crate::drawing::unit::breaks::{Strip, break_widths, enclosed_widths};
use crate::drawing::unit::drawn_scale::{DrawnScale, drawn_scale};
use crate::drawing::unit::evidence::{
    Written, call_out_width, extent, is_multiple, lengths, parallel_gaps, room_sizes, step_fit,
    strips, swing_radii,
};
use crate::drawing::unit::lengths_in_lines::measured_lengths;
use crate::side_by_side::{both, side_by_side};

const UNITS: usize = DrawingUnit::ALL.len();

/// The evidence of what is written on dimensions.
pub(in crate::drawing) const DIMENSIONS: &str = "dimension values";

/// The winner must be this many times as likely as the next.
pub(in crate::drawing) const DECISIVE: f64 = 100.0;

/// Above this many times as likely, a header that says otherwise needs no confirmation.
pub(in crate::drawing) const BEYOND_DOUBT: f64 = 10_000.0;

/// What every drawing has, the barest too: these alone may fit two units.
const BARE: [&str; 4] = ["header", WALL_GAPS, LENGTHS, SIZE];
const WALL_GAPS: &str = "wall thicknesses";
const LENGTHS: &str = "lengths";
const SIZE: &str = "overall size";

/// What a vote came to.
pub(in crate::drawing) struct Voted {
    /// The likeliest unit.
    pub(in crate::drawing) scale: Scale,
    /// How many times likelier it is than the next.
    pub(in crate::drawing) ratio: f64,
    /// The next.
    pub(in crate::drawing) next: DrawingUnit,
    /// What the sheet says about it.
    pub(in crate::drawing) drawn_scale: DrawnScale,
    /// How many times likelier the winner must be: more where nothing speaks but bare lines.
    pub(in crate::drawing) decisive: f64,
}

/// The vote of all evidence.
pub(in crate::drawing) fn vote(contents: &Contents<'_>, flat: &Flat) -> Voted {
    let header = header_unit(contents);
    let lines = || both(|| strips(flat), || swing_radii(flat));
    let ((strips, radii), lengths) = both(lines, || measured_lengths(flat));
    let votes: [&(dyn Fn() -> Option<UnitVote> + Sync); 12] = [
        &|| header_vote(contents, header),
        &|| format_vote(contents),
        &|| window_vote(contents),
        &|| dimension_vote(&lengths),
        &|| writing_vote(flat),
        &|| door_vote(&radii),
        &|| call_out_vote(flat, &radii),
        &|| opening_vote(&strips),
        &|| wall_vote(&strips),
        &|| length_vote(flat),
        &|| lettering_vote(flat),
        &|| extent_vote(flat),
    ];
    let votes: Vec<UnitVote> = side_by_side(&votes, |vote| vote())
        .into_iter()
        .flatten()
        .collect();
    let mut total = [0.0; UNITS];
    for vote in &votes {
        for (sum, part) in total.iter_mut().zip(vote.log_likelihood) {
            *sum += part;
        }
    }
    let mut ranked: Vec<(DrawingUnit, f64)> = DrawingUnit::ALL.into_iter().zip(total).collect();
    ranked.sort_by(|a, b| b.1.total_cmp(&a.1));
    let (unit, best) = ranked.first().copied().unwrap_or_default();
    let (next_unit, next) = ranked.get(1).copied().unwrap_or_default();
    let weight: f64 = total.iter().map(|sum| (sum - best).exp()).sum();
    let scale = Scale {
        unit,
        inches_per_unit: unit.inches(),
        confidence: 1.0 / weight,
        rival: None,
        header,
        votes,
    };
    let is_bare =
        header.is_none() && (scale.votes.iter()).all(|it| BARE.contains(&it.evidence.as_str()));
    Voted {
        decisive: if is_bare { BEYOND_DOUBT } else { DECISIVE },
        drawn_scale: drawn_scale(flat, (&radii, &strips, &lengths), &scale),
        scale,
        ratio: (best - next).exp(),
        next: next_unit,
    }
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
    match contents.header.get("$INSUNITS")?.trim() {
        "1" => Some(DrawingUnit::Inch),
        "2" => Some(DrawingUnit::Foot),
        "4" => Some(DrawingUnit::Millimetre),
        "5" => Some(DrawingUnit::Centimetre),
        "6" => Some(DrawingUnit::Metre),
        _ => None,
    }
}

/// The header is right more often than not. Where it is wrong it is a template's, and the drawing then is in one of the
/// units that people draw in without a thought: inches, millimetres, metres. Centimetres and feet are chosen knowingly.
fn header_vote(contents: &Contents<'_>, header: Option<DrawingUnit>) -> Option<UnitVote> {
    let is_metric = contents
        .header
        .get("$MEASUREMENT")
        .map(|flag| flag.trim() != "0");
    let likelihood = each(|unit| {
        let by_unit = match header {
            Some(stated) if stated != unit => match unit {
                DrawingUnit::Inch | DrawingUnit::Millimetre | DrawingUnit::Metre => {
                    -(10.0_f64.ln())
                }
                DrawingUnit::Foot | DrawingUnit::Centimetre => -(40.0_f64.ln()),
            },
            _ => 0.0,
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
            DrawingUnit::Foot
            | DrawingUnit::Millimetre
            | DrawingUnit::Centimetre
            | DrawingUnit::Metre => -(10.0_f64.ln()),
        }),
    )
}

/// Windows onto the model at a usual scale of plans.
fn window_vote(contents: &Contents<'_>) -> Option<UnitVote> {
    let scales = windows(contents);
    let likelihood = each(|unit| {
        let usual = scales.iter().filter(|&&scale| is_usual(scale, unit));
        per_item(usual.count(), 6.0)
    });
    some_vote("scales of viewports", scales.len(), likelihood)
}

/// How near a written and a measured length must be, as a share, to be the same one: texts are rounded.
const SAME_LENGTH: f64 = 0.02;

/// Dimensions that are counted one by one; more of them say the same again.
const MOST_DIMENSIONS: usize = 4;

/// What is written on dimensions against what they measure.
fn dimension_vote(pairs: &[(f64, Written)]) -> Option<UnitVote> {
    // A typed value is wrong about one time in ten: the median of a few decides, not one.
    let likelihood = each(|unit| {
        let penalties = pairs
            .iter()
            .map(|(measured, written)| dimension_penalty(*measured, *written, unit));
        let sum: f64 = penalties.sum();
        #[expect(
            clippy::cast_precision_loss,
            reason = "drawings have far fewer than 2^53 dimensions"
        )]
        let share = MOST_DIMENSIONS.min(pairs.len()) as f64 / pairs.len().max(1) as f64;
        sum * share
    });
    some_vote(DIMENSIONS, pairs.len(), likelihood)
}

fn dimension_penalty(measured: f64, written: Written, unit: DrawingUnit) -> f64 {
    let is_same = |a: f64, b: f64| (a / b - 1.0).abs() < SAME_LENGTH;
    match written {
        Written::Inches(inches) => {
            if is_same(measured * unit.inches(), inches) {
                0.0
            } else {
                -(12.0_f64.ln())
            }
        }
        // A number that is the measured one is in the drawing's unit; its decimals tell which unit that is.
        Written::Number(number, decimals) if is_same(number, measured) => {
            let usual = match unit {
                DrawingUnit::Metre => (1..=3).contains(&decimals) && number < 200.0,
                DrawingUnit::Millimetre => decimals == 0 && number >= 100.0,
                DrawingUnit::Centimetre => decimals <= 2 && (10.0..6000.0).contains(&number),
                DrawingUnit::Inch => decimals <= 4 && (4.0..3000.0).contains(&number),
                DrawingUnit::Foot => (1..=2).contains(&decimals) && number < 300.0,
            };
            if usual { 0.0 } else { -(3.0_f64.ln()) }
        }
        // Else it is in another unit than the drawing's: which pairs of units give this ratio?
        Written::Number(number, _) => {
            let fits = DrawingUnit::ALL.into_iter().any(|text_unit| {
                text_unit != unit && is_same(number * text_unit.inches(), measured * unit.inches())
            });
            if fits { 0.0 } else { -(4.0_f64.ln()) }
        }
    }
}

/// Texts in feet and inches are written by those who draw in them; areas in square metres by others.
fn writing_vote(flat: &Flat) -> Option<UnitVote> {
    let (mut imperial, mut metric, mut metres) = (0_usize, 0_usize, 0_usize);
    for text in &flat.texts {
        let content = text.content.as_str();
        let has_feet = content
            .split_once('\'')
            .is_some_and(|(before, _)| before.ends_with(|c: char| c.is_ascii_digit()));
        let sizes = room_sizes(content);
        if has_feet || content.to_ascii_uppercase().contains("SQ FT") {
            imperial += 1;
        } else if content.contains("m²") || content.contains("m2") || content.ends_with(" mm") {
            metric += 1;
        } else if sizes.len() == 2
            && sizes
                .iter()
                .all(|size| matches!(size, Written::Number(size, 2) if (0.5..30.0).contains(size)))
        {
            metres += 1;
        }
    }
    let weight = |count: usize| match count {
        0 => 0.0,
        1..=2 => 3.0_f64.ln(),
        _ => 10.0_f64.ln(),
    };
    some_vote(
        "writing",
        imperial + metric + metres,
        each(|unit| {
            let system = if unit.is_metric() {
                -weight(imperial)
            } else {
                -weight(metric + metres)
            };
            let in_metres = if unit == DrawingUnit::Metre {
                0.0
            } else {
                -weight(metres) / 2.0
            };
            system + in_metres
        }),
    )
}

/// Widths of door leaves, inches: 22 to 42 (600 to 1050 mm), common practice, no source.
pub(in crate::drawing) const LEAVES: std::ops::RangeInclusive<f64> = 22.0..=42.0;

/// Door leaves have usual widths, and whole ones.
fn door_vote(radii: &[f64]) -> Option<UnitVote> {
    let likelihood = each(|unit| {
        // Leaves come in steps of 2 in, or of 25 mm.
        let step = if unit.is_metric() { 25.0 / 25.4 } else { 2.0 };
        let inches = || {
            radii
                .iter()
                .map(|radius| radius * unit.inches())
                .filter(|inches| LEAVES.contains(inches))
        };
        let whole = inches().filter(|&inches| is_multiple(inches, step, 0.02));
        per_item(inches().count(), 20.0) + per_item(whole.count(), 4.0)
    });
    some_vote("door swings", radii.len(), likelihood)
}

/// Breaks in walls are openings: the middle one of them is some 3 ft wide (common practice, no source). Where faces run on over
/// openings no break is one, and the glass between them is as wide as they are.
fn opening_vote(strips: &[Strip]) -> Option<UnitVote> {
    let (breaks, glass) = (break_widths(strips), enclosed_widths(strips));
    let is_through = glass.len() >= FEW && glass.len() > breaks.len();
    let widths = if is_through { glass } else { breaks };
    let middle = widths.get(widths.len() / 2).copied()?;
    some_vote(
        "breaks in walls",
        widths.len(),
        each(|unit| {
            let weight = if widths.len() < FEW { 0.5 } else { 1.0 };
            weight * near(middle * unit.inches(), 36.0, 0.35, 4.0)
        }),
    )
}

/// Fewer breaks than this may all be wide ones.
const FEW: usize = 4;

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

/// Call-outs such as 3068 (3'-0" by 6'-8") beside swings of just that radius.
fn call_out_vote(flat: &Flat, radii: &[f64]) -> Option<UnitVote> {
    let mut widths: Vec<f64> = flat
        .texts
        .iter()
        .filter_map(|text| call_out_width(&text.content))
        .collect();
    widths.sort_by(f64::total_cmp);
    widths.dedup();
    let likelihood = each(|unit| {
        let matched = widths.iter().filter(|&&width| {
            radii
                .iter()
                .any(|radius| (radius * unit.inches() / width - 1.0).abs() < 2e-3)
        });
        per_item(matched.count(), 10.0)
    });
    some_vote("call-outs", widths.len(), likelihood)
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

/// Thicknesses of walls whatever they are made of, inches (common practice, no source).
pub(in crate::drawing) const WALLS: std::ops::RangeInclusive<f64> = 3.4..=20.0;

/// True for a thickness that walls are drawn with, inches.
pub(in crate::drawing) fn is_made(inches: f64) -> bool {
    let is_near =
        |walls: &[f64], size: f64, slack: f64| walls.iter().any(|wall| (size - wall).abs() < slack);
    is_near(&IMPERIAL_WALLS, inches, 0.02) || is_near(&METRIC_WALLS, inches * 25.4, 0.6)
}

/// Distances of near parallels against the thicknesses of walls.
fn wall_vote(strips: &[Strip]) -> Option<UnitVote> {
    let gaps = parallel_gaps(strips);
    let total: f64 = gaps.iter().map(|gap| gap.1).sum();
    if total <= 0.0 {
        return None;
    }
    let likelihood = each(|unit| {
        let share = |fits: &dyn Fn(f64) -> bool| {
            let fitting = gaps.iter().filter(|gap| fits(gap.0 * unit.inches()));
            fitting.map(|gap| gap.1).sum::<f64>() / total
        };
        let plausible = share(&|inches| WALLS.contains(&inches));
        let nominal = share(&is_made);
        2.0 * (0.05 + plausible).ln() + (0.1 + nominal).ln()
    });
    some_vote(WALL_GAPS, gaps.len(), likelihood)
}

/// Lengths are multiples of the steps that people draw in.
fn length_vote(flat: &Flat) -> Option<UnitVote> {
    let lengths = lengths(flat);
    // They come from few decisions: ten lengths speak for a hundred.
    #[expect(
        clippy::cast_precision_loss,
        reason = "drawings have far fewer than 2^53 lengths"
    )]
    let weight = 4.0 * (lengths.len() as f64 / (lengths.len() as f64 + 10.0));
    let mean = |unit| {
        #[expect(
            clippy::cast_precision_loss,
            reason = "drawings have far fewer than 2^53 lengths"
        )]
        let count = lengths.len().max(1) as f64;
        lengths
            .iter()
            .map(|&length| step_fit(length, unit))
            .sum::<f64>()
            / count
    };
    let means = each(mean);
    let best = means.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    some_vote(
        LENGTHS,
        lengths.len(),
        means.map(|mean| (weight * (mean - best)).max(-6.0)),
    )
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

/// A plan is some 60 ft across, a sheet with several a few times that.
fn extent_vote(flat: &Flat) -> Option<UnitVote> {
    let extent = extent(flat);
    if extent <= 0.0 {
        return None;
    }
    some_vote(
        SIZE,
        1,
        each(|unit| near(extent * unit.inches(), 900.0, 0.75, 6.0)),
    )
}

/// Log-normal closeness, floored: `spread` is the standard deviation of the logarithm, `most` the greatest penalty.
fn near(value: f64, centre: f64, spread: f64, most: f64) -> f64 {
    let off = (value / centre).ln() / spread;
    (-0.5 * off * off).max(-most)
}
