//! The legend of a trace: every sign with how many of it there are, and whether the outline closes.

use super::dimension_checks::Verdict;
use super::facts::{Gap, distance, is_exterior};
use super::recovered::{Surety, wall_sample};
use super::strip::StripFacts;
use super::things::thing_words;
use super::units::Units;
use crate::documents::paper::strip::Strip;
use crate::documents::paper::style::{Fill, Ink, Pen};
use crate::documents::paper::symbol::{balloon, conflict, diamond, hexagon, tick};
use crate::documents::paper::{Canvas, Lettered, spot};
use crate::documents::plan_view::{left_words, legend_row, short_list};
use crate::plan::{OpeningKind, Storey};
use crate::units::Length;

/// Draws the legend.
pub(super) fn draw_legend(canvas: &mut Canvas, strip: &mut Strip, facts: &StripFacts<'_>) {
    let (storey, units) = (facts.input.storey, facts.input.units());
    let (remark, is_closed) = outline_words(storey, facts.gaps, units);
    strip.heading(canvas, "RECOVERED", &remark);
    strip.top += 1.2;
    for (is_exterior, name) in [(true, "exterior wall X"), (false, "interior wall I")] {
        for surety in Surety::ALL {
            let walls: Vec<_> = storey
                .walls
                .iter()
                .filter(|it| it.is_exterior == is_exterior && Surety::of(it.confidence) == surety)
                .collect();
            if walls.is_empty() {
                continue;
            }
            let mut thicknesses: Vec<f64> = walls.iter().map(|it| it.thickness).collect();
            thicknesses.sort_by(f64::total_cmp);
            let mut printed: Vec<String> =
                thicknesses.into_iter().map(|it| units.inches(it)).collect();
            printed.dedup();
            let state = match surety {
                Surety::Sure => "",
                Surety::Likely => ", likely: glance at it",
                Surety::Doubtful => ", doubtful: check it",
            };
            let words = format!("{name}, {}{state}", short_list(&printed, 4));
            legend_row(
                canvas,
                strip,
                &words,
                &walls.len().to_string(),
                |canvas, at| {
                    wall_sample(canvas, spot(at.x - 9.0, at.y - 2.3), is_exterior, surety);
                },
            );
        }
    }
    legend_signs(canvas, strip, facts);
    if !is_closed && !facts.gaps.is_empty() {
        let gaps = facts.gaps.iter().filter(|it| it.from != it.to).count();
        legend_row(
            canvas,
            strip,
            "gap in the exterior, from end to end",
            &gaps.to_string(),
            |canvas, at| {
                let accent = Pen::Bold.full().with(Ink::Accent);
                canvas.circle(accent, Fill::None, spot(at.x - 7.0, at.y), 1.8);
                canvas.circle(accent, Fill::None, spot(at.x + 7.0, at.y), 1.8);
                canvas.line(accent, spot(at.x - 5.2, at.y), spot(at.x + 5.2, at.y));
            },
        );
    }
    if !facts.input.unclaimed.is_empty() {
        strip.prose(canvas, &[thing_words(facts.input.unclaimed)]);
    }
    if !facts.left.is_empty() {
        strip.prose(canvas, &[left_words(facts.left)]);
    }
    strip.top += 1.0;
    strip.rule(canvas);
}

fn legend_signs(canvas: &mut Canvas, strip: &mut Strip, facts: &StripFacts<'_>) {
    let storey = facts.input.storey;
    let name = Lettered::cap(strip.lettering.note).bold();
    let is_window = |kind: OpeningKind| kind == OpeningKind::Window;
    let count = |wants_window: bool| {
        let of = |wants_exterior: bool| {
            storey
                .openings
                .iter()
                .filter(|it| {
                    is_window(it.kind) == wants_window && is_exterior(storey, it) == wants_exterior
                })
                .count()
        };
        format!("{} + {}", of(true), of(false))
    };
    legend_row(
        canvas,
        strip,
        "window: exterior + interior",
        &count(true),
        |canvas, at| {
            hexagon(canvas, Pen::Thin.full(), at, 3.9, "", name);
        },
    );
    legend_row(
        canvas,
        strip,
        "door, opening: exterior + interior",
        &count(false),
        |canvas, at| {
            balloon(canvas, Pen::Thin.full(), at, 3.6, "", name);
        },
    );
    let named = storey.rooms.iter().filter(|it| !it.name.is_empty()).count();
    let rooms = format!("{named} of {}", storey.rooms.len());
    legend_row(canvas, strip, "room with a name", &rooms, |canvas, at| {
        canvas.text_centred(
            at,
            "R1 NAME",
            Lettered::cap(name.cap).middle().ink(Ink::Mid),
        );
    });
    let agree = facts
        .checks
        .iter()
        .filter(|it| it.verdict == Verdict::Agrees)
        .count();
    if !facts.checks.is_empty() {
        legend_row(
            canvas,
            strip,
            "dimension agrees with the drawing",
            &agree.to_string(),
            |canvas, at| tick(canvas, spot(at.x - 1.3, at.y + 1.3), 2.6),
        );
        legend_row(
            canvas,
            strip,
            "dimension contradicts it",
            &(facts
                .checks
                .iter()
                .filter(|it| it.verdict == Verdict::Conflicts)
                .count())
            .to_string(),
            |canvas, at| conflict(canvas, spot(at.x, at.y + 0.8), 3.4),
        );
    }
    legend_row(
        canvas,
        strip,
        "question, ring where it points to",
        &facts.questions.len().to_string(),
        |canvas, at| {
            let accent = Pen::Thin.full().with(Ink::Accent);
            diamond(canvas, spot(at.x - 4.0, at.y), 3.8, "", name);
            canvas.circle(accent, Fill::None, spot(at.x + 7.0, at.y), 2.0);
            canvas.line(accent, at, spot(at.x + 5.0, at.y));
        },
    );
}

/// What the outline is like, and whether it closes.
fn outline_words(storey: &Storey, gaps: &[Gap], units: Units) -> (String, bool) {
    if storey.walls.is_empty() {
        return ("no wall".to_owned(), true);
    }
    if storey.outline.is_empty() {
        let widths: Vec<String> = gaps
            .iter()
            .filter(|it| it.from != it.to)
            .map(|it| units.inches(distance(it.from, it.to)))
            .collect();
        let words = if widths.is_empty() {
            "outline DOES NOT CLOSE".to_owned()
        } else {
            format!("outline DOES NOT CLOSE: {}", short_list(&widths, 3))
        };
        return (words, false);
    }
    let next = storey.outline.iter().cycle().skip(1);
    let (mut doubled, mut around) = (0.0, 0.0);
    for (a, b) in storey.outline.iter().zip(next) {
        doubled += a.x * b.y - b.x * a.y;
        around += distance(*a, *b);
    }
    let area = doubled.abs() / 2.0 / 144.0;
    let around = Length::nearest(around, Length::fraction(0, 1, 16))
        .map_or_else(String::new, |it| units.length(it));
    (
        format!("outline closed, {}, {around} round", units.area(area)),
        true,
    )
}
