//! Compares what the architect's dimensions say with what is drawn: one by one, against the walls, and as chains.
//!
//! ```text
//!      4'-0"      12'-0"          23'-6"  !        4'-0"          one by one: written against drawn
//!   ├────────┼────────────┼────────────────────┼────────┤         as a chain: sum of the written against the overall
//!   ├───────────────────────────────────────────────────┤         against the walls: points beside the faces they mean
//! ```
//!
//! Geometry stands: a conflict is a finding with both numbers, handle and place, and nothing is moved unless the job says that the
//! dimension is to be trusted.

mod again;
mod chains;
mod exploded;
mod findings;
mod ties;
mod trust;

pub(super) use again::{handle_now, keep_at_odds, keep_trusted};
pub use chains::{DimensionChain, dimension_chains};
pub use exploded::dimensions_in_lines;
pub(super) use findings::{allowed, dimension_findings};
pub(super) use trust::{trust, trusted_handles};

use crate::drawing::{Dimension, Drawing};
use crate::geometry::tolerance;
use crate::units::{Length, parse_length};

/// One linear dimension, checked.
#[derive(Clone, Debug, PartialEq)]
pub struct DimensionCheck {
    /// Index into `Drawing::dimensions`.
    pub dimension: usize,
    /// What the paper says: the typed text, else the text of its picture, else the measured length.
    pub written: Length,
    /// What lies between its two points.
    pub drawn: Length,
    /// How far what is written may be off because its last digit is rounded, inches.
    pub rounded: f64,
    /// How the two compare.
    pub verdict: DimensionVerdict,
}

/// What became of a dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DimensionVerdict {
    /// Written and drawn are the same within [`tolerance::DIMENSION_AGREES`].
    Agrees,
    /// They differ.
    Conflicts,
    /// A text was typed over it that is no length, such as `VERIFY`; the drawn length stands.
    NotALength,
}

/// Checks every linear dimension of a drawing; others (radius, angle) and those without length are left out.
///
/// - A bare number is in drawing units in a metric drawing and inches otherwise, unless another unit fits more of them. Metric or
///   with decimals, it agrees where it is right to its last digit: `2,18` over 2184.4 mm.
/// - A clear width (`2'-10" CLR.`) is less than what is drawn between the jambs by the stops of the leaf.
/// - The length a file states as measured, and the text of a dimension's picture, are held against the drawing only where most of
///   the drawing's dimensions agree with it: a factor or a rounding common to all of them is a style, not a conflict.
#[must_use]
pub fn check_dimensions(drawing: &Drawing) -> Vec<DimensionCheck> {
    let reading = Reading::of(drawing);
    drawing
        .dimensions
        .iter()
        .enumerate()
        .filter_map(|(index, dimension)| {
            let drawn = linear(dimension)?;
            let (written, rounded, verdict) = reading.judge(dimension, drawn);
            Some(DimensionCheck {
                dimension: index,
                written: inches(written)?,
                drawn: inches(drawn)?,
                rounded,
                verdict,
            })
        })
        .collect()
}

/// What a linear dimension measures, inches.
fn linear(dimension: &Dimension) -> Option<f64> {
    dimension.direction?;
    (dimension.measured > 1e-6).then_some(dimension.measured)
}

fn inches(value: f64) -> Option<Length> {
    Length::nearest(value, Length::nanometres(1))
}

/// How the dimensions of one drawing are written.
struct Reading {
    /// Inches in a bare number.
    bare: f64,
    /// Measured lengths as stated by the file are this many times the drawn ones; `None` when they agree on no factor.
    factor: Option<f64>,
    /// The texts of pictures are rounded to within this, inches; `None` when most of them say something else than is drawn.
    rounding: Option<f64>,
}

/// Share of a drawing's dimensions that must agree on a factor or a rounding before a single one is held against it.
const MOST: f64 = 0.7;

impl Reading {
    fn of(drawing: &Drawing) -> Self {
        let bare = bare_unit(drawing);
        Self {
            bare,
            factor: common_factor(drawing),
            rounding: rounding(drawing, bare),
        }
    }

    /// What is written, inches, within what its last digit is rounded, and how it compares.
    fn judge(&self, dimension: &Dimension, drawn: f64) -> (f64, f64, DimensionVerdict) {
        let against = |written: f64, slack: f64| {
            let agrees = (written - drawn).abs() <= tolerance::DIMENSION_AGREES + slack;
            if agrees {
                DimensionVerdict::Agrees
            } else {
                DimensionVerdict::Conflicts
            }
        };
        match typed(&dimension.override_text, self.bare, drawn) {
            Typed::Length(length) => {
                if is_clear(&dimension.override_text) && is_clear_of(length, drawn) {
                    return (drawn, 0.0, DimensionVerdict::Agrees);
                }
                let rounded = last_digit(&dimension.override_text, self.bare, drawn);
                let beyond = (rounded - tolerance::DIMENSION_AGREES).max(0.0);
                return (length, rounded, against(length, beyond));
            }
            Typed::Words => return (drawn, 0.0, DimensionVerdict::NotALength),
            Typed::Nothing => {}
        }
        if let (Some(stated), Some(factor)) = (dimension.stated, self.factor) {
            let stated = stated / factor;
            // Written with few digits, a long length is off by its last one.
            if against(stated, drawn * 1e-5) == DimensionVerdict::Conflicts {
                return (stated, 0.0, DimensionVerdict::Conflicts);
            }
        }
        if let (Some(rounding), Typed::Length(shown)) = (
            self.rounding,
            typed(&dimension.shown_text, self.bare, drawn),
        ) && against(shown, rounding) == DimensionVerdict::Conflicts
        {
            return (shown, 0.0, DimensionVerdict::Conflicts);
        }
        (drawn, 0.0, DimensionVerdict::Agrees)
    }
}

/// The stops and the open leaf take so much of a door's width, inches. Source: common practice, no source.
const STOPS: (f64, f64) = (1.5, 2.5);

/// True for a text that says that its length is clear, between what stands out.
fn is_clear(text: &str) -> bool {
    let text = text.to_uppercase();
    let mut words = text.split(|c: char| !c.is_alphabetic());
    words.any(|word| ["CLR", "CLEAR"].contains(&word))
}

/// True when a clear width is what the stops leave of what is drawn.
fn is_clear_of(clear: f64, drawn: f64) -> bool {
    let off = drawn - clear;
    off >= STOPS.0 - tolerance::DIMENSION_AGREES && off <= STOPS.1 + tolerance::DIMENSION_AGREES
}

/// A number is rounded to a centimetre at most, inches: rounded to more, it is no dimension.
const COARSEST: f64 = 1.0 / 2.54;

/// Half of the last digit of a typed number, inches: none where it is in feet and inches, or in whole inches.
fn last_digit(text: &str, bare: f64, drawn: f64) -> f64 {
    let number = bare_text(text.trim());
    let is_rounded =
        is_number(number) && (!(1.0..=12.0).contains(&bare) || number.contains(['.', ',']));
    let step = step(text, bare, drawn);
    if is_rounded && step <= COARSEST * 1.001 {
        step / 2.0 + 1e-6
    } else {
        0.0
    }
}

/// A text over a dimension.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Typed {
    /// None, or `<>`, which stands for the measured length.
    Nothing,
    /// A length, inches.
    Length(f64),
    /// Words.
    Words,
}

/// Reads a text typed over a dimension; words and marks round a length are let be.
///
/// - `drawn`: what is measured, inches: of the two readings of `12.000` the nearer holds.
fn typed(text: &str, bare_unit: f64, drawn: f64) -> Typed {
    let text = text.trim();
    if text.is_empty() || text.contains("<>") {
        return Typed::Nothing;
    }
    let bare = bare_text(text);
    if is_number(bare) {
        let number = number(bare, bare_unit, drawn);
        return number.map_or(Typed::Words, |it| Typed::Length(it.0 * bare_unit));
    }
    // Most texts are names: to be read as a length takes longer.
    if !text.contains(char::is_numeric) {
        return Typed::Words;
    }
    parse_length(text)
        .or_else(|_| parse_length(bare))
        .map_or(Typed::Words, |length| Typed::Length(length.to_inches()))
}

/// A text without what drafters set round a length: `±24'-0" V.I.F.`.
fn bare_text(text: &str) -> &str {
    text.trim_start_matches(['±', '~', '(', '+', '/', '-', ' ', '≈'])
        .trim_end_matches(|c: char| c.is_alphabetic() || " .,()±".contains(c))
        .trim()
}

fn is_number(text: &str) -> bool {
    text.chars().any(|c| c.is_ascii_digit())
        && text
            .chars()
            .all(|c| c.is_ascii_digit() || c == '.' || c == ',')
}

/// A number that stands bare, and how many decimals it has: a mark before three digits may part thousands, as in `12.000` or
/// `12.500,5`.
fn number(text: &str, unit: f64, drawn: f64) -> Option<(f64, usize)> {
    let mark = text.rfind(['.', ',']);
    let decimals = mark.map_or(0, |at| text.len() - at - 1);
    let plain = (text.replace(',', ".").parse().ok()).map(|it: f64| (it, decimals));
    // The last mark is a decimal one where it is another than those before it.
    let (whole, tail) = match mark {
        Some(at) if text[..at].contains(['.', ',']) && !text[..at].contains(&text[at..=at]) => {
            (&text[..at], &text[at + 1..])
        }
        _ => (text, ""),
    };
    let mut groups = whole.split(['.', ',']);
    let first = groups.next().unwrap_or("");
    let is_grouped = (1..=3).contains(&first.len())
        && !first.starts_with('0')
        && whole.len() > first.len()
        && groups.all(|it| it.len() == 3);
    let grouped = is_grouped.then(|| format!("{}.{tail}0", whole.replace(['.', ','], "")));
    let grouped = grouped.and_then(|it| it.parse().ok());
    let grouped = grouped.map(|it: f64| (it, tail.len()));
    let off = |it: &(f64, usize)| (it.0 * unit - drawn).abs();
    let all = plain.into_iter().chain(grouped);
    all.min_by(|p, q| off(p).total_cmp(&off(q)))
}

/// Inches in a bare number on a dimension: the unit that most of them agree with, the drawing's own before others.
fn bare_unit(drawing: &Drawing) -> f64 {
    let own = if drawing.scale.unit.is_metric() {
        drawing.scale.inches_per_unit
    } else {
        1.0
    };
    // Numbers of the other system stand on drawings too: millimetres on one in inches.
    let metric = [1.0 / 25.4, 1.0 / 2.54, 1.0 / 0.0254];
    let others = metric.into_iter().chain([1.0, 12.0]);
    let bare: Vec<(&str, f64)> = drawing
        .dimensions
        .iter()
        .filter_map(|dimension| {
            let drawn = linear(dimension)?;
            let text = bare_text(dimension.override_text.trim());
            is_number(text).then_some((text, drawn))
        })
        .collect();
    let agreeing = |unit: f64| {
        bare.iter()
            .filter(|(text, drawn)| {
                let rounded = last_digit(text, unit, *drawn).max(tolerance::DIMENSION_AGREES);
                number(text, unit, *drawn).is_some_and(|it| (it.0 * unit - drawn).abs() <= rounded)
            })
            .count()
    };
    let mut best = own;
    for unit in others {
        if agreeing(unit) > agreeing(best) {
            best = unit;
        }
    }
    best
}

/// The factor by which most stated lengths differ from the drawn ones.
fn common_factor(drawing: &Drawing) -> Option<f64> {
    let mut ratios: Vec<f64> = drawing
        .dimensions
        .iter()
        .filter_map(|dimension| {
            let drawn = linear(dimension)?;
            dimension
                .stated
                .filter(|stated| *stated > 0.0)
                .map(|stated| stated / drawn)
        })
        .collect();
    ratios.sort_by(f64::total_cmp);
    let middle = *ratios.get(ratios.len() / 2)?;
    let is_near = |ratio: &&f64| (**ratio / middle - 1.0).abs() < 1e-3;
    share(ratios.iter().filter(is_near).count(), ratios.len()).then_some(
        if (middle - 1.0).abs() < 1e-3 {
            1.0
        } else {
            middle
        },
    )
}

/// Within what the texts of the pictures are rounded: half of the finest step that any of them shows.
fn rounding(drawing: &Drawing, bare: f64) -> Option<f64> {
    let shown: Vec<(f64, f64, f64)> = drawing
        .dimensions
        .iter()
        .filter(|dimension| typed(&dimension.override_text, bare, 0.0) == Typed::Nothing)
        .filter_map(|dimension| {
            let drawn = linear(dimension)?;
            match typed(&dimension.shown_text, bare, drawn) {
                Typed::Length(length) => {
                    Some((length, drawn, step(&dimension.shown_text, bare, drawn)))
                }
                Typed::Nothing | Typed::Words => None,
            }
        })
        .collect();
    let finest = shown.iter().map(|it| it.2).fold(f64::INFINITY, f64::min);
    let slack = finest / 2.0;
    let agreeing = shown
        .iter()
        .filter(|(length, drawn, _)| (length - drawn).abs() <= tolerance::DIMENSION_AGREES + slack)
        .count();
    (!shown.is_empty() && share(agreeing, shown.len())).then_some(slack)
}

/// True when `part` of `whole` is most of it.
#[expect(
    clippy::cast_precision_loss,
    reason = "drawings have far fewer than 2^53 dimensions"
)]
fn share(part: usize, whole: usize) -> bool {
    part as f64 >= MOST * whole as f64
}

/// The step to which a written length is rounded, as it looks, inches: `3.60` to a hundredth, `7 1/2"` to a half.
fn step(text: &str, bare: f64, drawn: f64) -> f64 {
    let text = bare_text(text.trim());
    if let Some((_, tail)) = text.rsplit_once('/') {
        let digits: String = tail.chars().take_while(char::is_ascii_digit).collect();
        return digits.parse::<f64>().map_or(1.0, |den| 1.0 / den.max(1.0));
    }
    if is_number(text) {
        let decimals = number(text, bare, drawn).map_or(0, |it| it.1);
        return bare * 10_f64.powi(-i32::try_from(decimals).unwrap_or(0));
    }
    1.0
}

/// A length as the drawing writes it: feet and inches, or millimetres.
pub(super) fn said(drawing: &Drawing, length: f64) -> String {
    use crate::units::Millimetres;
    let Some(length) = inches(length) else {
        return "?".to_owned();
    };
    if drawing.scale.unit.is_metric() {
        format!("{} mm", Millimetres(length))
    } else {
        // To 1/64, so that a conflict of a sixteenth shows; whole feet are written apart.
        let rounded = Length::nearest(length.to_inches(), Length::TAPE_STEP).unwrap_or(length);
        rounded.to_string()
    }
}

#[cfg(test)]
pub(super) mod testing {
    use super::*;
    use crate::drawing::{Source, SourceIndex};

    /// A level dimension at a height, its points at height zero.
    pub(in crate::plan) fn dimension(from: f64, to: f64, lane: f64, text: &str) -> Dimension {
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

    /// A drawing of these dimensions; the n-th has the handle `Dn`.
    pub(in crate::plan) fn drawing(mut dimensions: Vec<Dimension>) -> Drawing {
        for (index, dimension) in (0..).zip(&mut dimensions) {
            dimension.source = SourceIndex(index);
        }
        Drawing {
            sources: (0..dimensions.len())
                .map(|n| Source {
                    handle: format!("D{n}"),
                    ..Source::default()
                })
                .collect(),
            dimensions,
            ..Drawing::default()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::testing::{dimension, drawing};
    use super::*;
    use crate::drawing::{DrawingUnit, Scale};

    #[track_caller]
    fn check(text: &str, measured: f64, expected: DimensionVerdict) {
        let drawing = drawing(vec![dimension(0.0, measured, 10.0, text)]);
        assert_eq!(check_dimensions(&drawing)[0].verdict, expected);
    }

    #[test]
    fn a_typed_text_is_held_against_what_is_drawn() {
        use DimensionVerdict::{Agrees, Conflicts, NotALength};
        check("", 288.0, Agrees);
        check("<>", 288.0, Agrees);
        check("24'-0\"", 288.0, Agrees);
        check("24'-0\" V.I.F.", 288.0, Agrees);
        check("±24'-0\"", 288.0, Agrees);
        check("23'-6\"", 288.0, Conflicts);
        check("24'-0 1/8\"", 288.0, Conflicts);
        check("24'-0 1/16\"", 288.0, Agrees);
        check("VERIFY", 288.0, NotALength);
    }

    #[test]
    fn a_clear_width_is_what_the_stops_leave() {
        use DimensionVerdict::{Agrees, Conflicts};
        check("2'-10\" CLR.", 36.0, Agrees);
        check("2'-10\" CLEAR", 36.0, Agrees);
        check("3'-0\" CLR.", 36.0, Agrees);
        check("2'-8\" CLR.", 36.0, Conflicts);
        check("2'-10\"", 36.0, Conflicts);
    }

    #[test]
    fn a_number_agrees_that_is_right_to_its_last_digit() {
        use DimensionVerdict::{Agrees, Conflicts};
        let verdicts = |texts: [&str; 3]| {
            let lengths = [2184.4, 3048.0, 1524.0].map(|it: f64| it / 25.4);
            let all = texts.iter().zip(lengths);
            let mut sheet = drawing(
                all.map(|(text, long)| dimension(0.0, long, 10.0, text))
                    .collect(),
            );
            sheet.scale = Scale {
                unit: DrawingUnit::Millimetre,
                inches_per_unit: 1.0 / 25.4,
                ..Scale::default()
            };
            let checks = check_dimensions(&sheet);
            checks.iter().map(|it| it.verdict).collect::<Vec<_>>()
        };
        assert_eq!(verdicts(["2,18", "3,05", "1,52"]), [Agrees; 3]);
        assert_eq!(verdicts(["218", "305", "152"]), [Agrees; 3]);
        assert_eq!(
            verdicts(["2,19", "3,05", "1,52"]),
            [Conflicts, Agrees, Agrees]
        );
        assert_eq!(
            verdicts(["2184", "3048", "1530"]),
            [Agrees, Agrees, Conflicts]
        );
        // Whole inches are not rounded.
        check("36", 36.4, Conflicts);
    }

    #[test]
    fn bare_numbers_are_in_the_unit_that_most_of_them_agree_with() {
        let mut sheet = drawing(vec![
            dimension(0.0, 3600.0 / 25.4, 10.0, "360"),
            dimension(0.0, 2400.0 / 25.4, 10.0, "240"),
            dimension(0.0, 1200.0 / 25.4, 10.0, "125"),
        ]);
        sheet.scale = Scale {
            unit: DrawingUnit::Millimetre,
            inches_per_unit: 1.0 / 25.4,
            ..Scale::default()
        };
        let verdicts: Vec<_> = check_dimensions(&sheet)
            .iter()
            .map(|it| it.verdict)
            .collect();
        use DimensionVerdict::{Agrees, Conflicts};
        assert_eq!(verdicts, [Agrees, Agrees, Conflicts]);
    }

    #[test]
    fn a_mark_before_three_digits_parts_thousands_where_that_is_what_is_drawn() {
        let mut sheet = drawing(vec![
            dimension(0.0, 12_000.0 / 25.4, 10.0, "12.000"),
            dimension(0.0, 875.0 / 25.4, 10.0, "875"),
            dimension(0.0, 3625.0 / 25.4, 10.0, "3,625"),
            dimension(0.0, 1010.0 / 25.4, 10.0, "1.010"),
            dimension(0.0, 12_500.5 / 25.4, 10.0, "12.500,5"),
            dimension(0.0, 2400.0 / 25.4, 10.0, "2.500"),
        ]);
        sheet.scale = Scale {
            unit: DrawingUnit::Millimetre,
            inches_per_unit: 1.0 / 25.4,
            ..Scale::default()
        };
        let checks = check_dimensions(&sheet);
        let verdicts: Vec<_> = checks.iter().map(|it| it.verdict).collect();
        use DimensionVerdict::{Agrees, Conflicts};
        assert_eq!(
            verdicts,
            [Agrees, Agrees, Agrees, Agrees, Agrees, Conflicts]
        );
    }

    #[test]
    fn a_factor_common_to_all_is_a_style_and_one_that_differs_a_conflict() {
        let stated = |measured: f64, stated: f64| Dimension {
            stated: Some(stated),
            ..dimension(0.0, measured, 10.0, "")
        };
        let conflicts = |list: Vec<Dimension>| {
            check_dimensions(&drawing(list))
                .iter()
                .filter(|it| it.verdict == DimensionVerdict::Conflicts)
                .count()
        };
        let scaled = vec![
            stated(100.0, 200.0),
            stated(50.0, 100.0),
            stated(60.0, 120.0),
        ];
        assert_eq!(conflicts(scaled.clone()), 0);
        let one_off = [scaled, vec![stated(80.0, 163.0)]].concat();
        assert_eq!(conflicts(one_off), 1);
    }

    #[test]
    fn the_text_of_a_picture_is_held_against_what_is_drawn_within_its_rounding() {
        let shown = |measured: f64, text: &str| Dimension {
            shown_text: text.to_owned(),
            ..dimension(0.0, measured, 10.0, "")
        };
        let list = vec![
            shown(120.0, "10'-0\""),
            shown(96.3, "8'-0 1/2\""),
            shown(60.0, "5'-0\""),
            shown(84.0, "6'-6\""),
        ];
        let verdicts: Vec<bool> = check_dimensions(&drawing(list))
            .iter()
            .map(|it| it.verdict == DimensionVerdict::Conflicts)
            .collect();
        assert_eq!(verdicts, [false, false, false, true]);
    }
}
