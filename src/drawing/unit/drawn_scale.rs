//! A drawing that is not drawn full size: its dimensions say the same multiple of what they measure, all of them; without
//! dimensions, the plan is a block placed at a scale of plans, or a note names the scale.
//!
//! ```text
//!   |◄── 12'-0" ──►|     3 units apart: 48 in to the unit, 1/4" = 1'-0"
//! ```
//!
//! Doors and walls must have their sizes at that scale, and it must be one that plans are drawn at; else the unit is asked for. A
//! note alone settles it only where doors would have no such size full size, where the header names the unit of that paper, where
//! walls are as thick as walls are made only at that scale, or where no arc is drawn and the lengths that are written are drawn at
//! that scale and not full size. Where only the walls say so, the size is asked for: a plan in inches at 1:48 looks like one in
//! metres, 39.37 in to the unit. Pages may be in millimetres or in points, whatever the scale.

use crate::drawing::blocks::flat::Flat;
use crate::drawing::model::{DrawingUnit, Scale};
use crate::drawing::sheets::sheet::{IMPERIAL, METRIC};
use crate::drawing::unit::breaks::{Strip, break_widths};
use crate::drawing::unit::evidence::{Written, call_out_width, lengths, parallel_gaps, written};
use crate::drawing::unit::scale_notes::scale_note;
use crate::drawing::unit::vote::{LEAVES, WALLS, is_made};

/// What the sheet says about the scale that was voted for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in crate::drawing) enum DrawnScale {
    /// It is theirs, or they say nothing in common.
    Agree,
    /// The drawing is drawn at one to so many of this unit, as `by` says.
    DrawnAt {
        one_to: f64,
        unit: DrawingUnit,
        by: &'static str,
    },
    /// Nothing says so but the walls, which have usual thicknesses at one to so many of this unit and none full size.
    MayBeDrawnAt { one_to: f64, unit: DrawingUnit },
    /// They say so many times what is drawn, and no scale explains it.
    Disagree { times: f64 },
}

/// Fewer dimensions may all be wrong.
const FEW: usize = 3;
/// Of ten dimensions so many must say the same multiple.
const OF_TEN: usize = 8;
/// Multiples are the same within this share: texts are rounded.
const ALIKE: f64 = 0.01;
/// A multiple is a usual scale within this share.
const USUAL: f64 = 5e-3;

/// - `radii`, `strips`, `pairs`: arcs that may be door swings, lines that may be faces of walls, and what dimensions measure and say, in
///   the file's units.
pub(super) fn drawn_scale(
    flat: &Flat,
    (radii, strips, pairs): (&[f64], &[Strip], &[(f64, Written)]),
    scale: &Scale,
) -> DrawnScale {
    // Bare numbers may be in any unit.
    let said: Vec<f64> = DrawingUnit::ALL
        .into_iter()
        .filter_map(|unit| common(pairs, unit))
        .collect();
    let gaps = parallel_gaps(strips);
    let is_plausible = |inches: f64| is_plausible(inches, radii, &gaps);
    let mut fitting: Vec<(f64, DrawingUnit)> = said
        .iter()
        .filter(|inches| is_plausible(**inches))
        .filter_map(|inches| usual(*inches))
        .collect();
    fitting.dedup();
    let own = scale.inches_per_unit;
    let is_own = said.iter().any(|it| (it / own - 1.0).abs() < 2.0 * ALIKE);
    match fitting.as_slice() {
        _ if said.is_empty() => by_sheet(flat, (radii, strips, &gaps), scale)
            .or_else(|| by_walls((radii, &gaps), scale))
            .unwrap_or(DrawnScale::Agree),
        _ if is_own && is_plausible(own) => DrawnScale::Agree,
        [(one_to, unit)] => DrawnScale::DrawnAt {
            one_to: *one_to,
            unit: *unit,
            by: "its dimensions",
        },
        // What is drawn has the sizes of doors: the texts are wrong, each of them.
        _ if is_own || !radii.is_empty() && is_plausible(own) => DrawnScale::Agree,
        _ => DrawnScale::Disagree {
            times: said.first().map_or(1.0, |it| it / own),
        },
    }
}

/// Of ten curves so many are in the block that is the plan.
const OF_PLAN: usize = 8;

/// A point of paper in inches: the unit of pages.
const POINT: f64 = 1.0 / 72.0;
/// Of ten lengths that are written so many must be drawn at the scale of a note, and half as many at most full size.
const OF_WRITTEN: usize = 6;
/// A length is drawn within this share of what is written: texts are rounded to half an inch.
const DRAWN: f64 = 4e-3;

/// What a block's scale, else a note, says of a drawing without dimensions.
///
/// - `gaps`: distances of faces, each with a weight, in the file's units.
fn by_sheet(
    flat: &Flat,
    (radii, strips, gaps): (&[f64], &[Strip], &[(f64, f64)]),
    scale: &Scale,
) -> Option<DrawnScale> {
    let at = |(one_to, unit), by| DrawnScale::DrawnAt { one_to, unit, by };
    let notes = flat.texts.iter().filter_map(|it| scale_note(&it.content));
    if radii.is_empty() {
        let notes = notes.map(|it| 1.0 / it).collect();
        return by_writing(flat, strips, scale, notes).map(|it| at(it, "its scale note"));
    }
    let fits = |inches: f64| is_plausible(inches, radii, &[]);
    let is_small = !fits(scale.inches_per_unit);
    let paper = |one_to: f64| {
        let mut pages = pages(one_to);
        let native = pages
            .first()
            .copied()
            .filter(|it| fits(it.0 * it.1.inches()));
        pages.retain(|it| is_small && fits(it.0 * it.1.inches()));
        native.or(pages.first().copied())
    };
    let is_plan = |curves: usize| curves * 10 >= flat.curves.len() * OF_PLAN;
    let placed = flat.placements.iter().filter(|it| it.parent.is_none());
    let mut placed = placed.filter(|it| is_plan(it.curves.len()));
    if let Some(plan) = placed.next() {
        let [x, y] = plan.scale.map(f64::abs);
        let is_even = x > 0.0 && (x / y - 1.0).abs() < USUAL;
        if let Some(found) = paper(1.0 / x).filter(|_| is_even) {
            return Some(at(
                found,
                "the scale at which the block of the plan is placed",
            ));
        }
    }
    let mut noted: Vec<(f64, DrawingUnit)> = notes.filter_map(|it| paper(1.0 / it)).collect();
    noted.dedup();
    let [found @ (_, unit)] = noted[..] else {
        return None;
    };
    let is_settled = is_small
        || scale.header == Some(unit) && scale.unit != unit
        || say(gaps, found.0 * unit.inches(), scale.inches_per_unit, MADE);
    is_settled.then(|| at(found, "its scale note"))
}

/// What a drawing at one to so many may be drawn in: its system's paper first, then a page's millimetres and points. Nothing where
/// no plan is drawn at that scale.
fn pages(one_to: f64) -> Vec<(f64, DrawingUnit)> {
    let is_near = |usual: &f64| (one_to / usual - 1.0).abs() < USUAL;
    let is_imperial = IMPERIAL.iter().any(is_near);
    if !is_imperial && !METRIC.iter().any(is_near) {
        return Vec::new();
    }
    let inch = (one_to, DrawingUnit::Inch);
    let millimetre = (one_to, DrawingUnit::Millimetre);
    let points = (one_to * POINT, DrawingUnit::Inch);
    if is_imperial {
        vec![inch, millimetre, points]
    } else {
        vec![millimetre, inch, points]
    }
}

/// The page on which the lengths that are written with their unit, and the sizes beside openings, are drawn at the scale of a note,
/// and not full size: a drawing whose dimensions are lines and text.
fn by_writing(
    flat: &Flat,
    strips: &[Strip],
    scale: &Scale,
    notes: Vec<f64>,
) -> Option<(f64, DrawingUnit)> {
    let mut said: Vec<f64> = flat
        .texts
        .iter()
        .filter_map(|it| match written(&it.content) {
            Some(Written::Inches(inches)) => Some(inches),
            _ => call_out_width(&it.content),
        })
        .collect();
    said.sort_by(f64::total_cmp);
    said.dedup();
    if said.len() < FEW || notes.is_empty() {
        return None;
    }
    let mut drawn = [lengths(flat), break_widths(strips)].concat();
    drawn.sort_by(f64::total_cmp);
    let count = |inches: f64| {
        let is_drawn = |length: &&f64| {
            let (low, high) = (**length * (1.0 - DRAWN), **length * (1.0 + DRAWN));
            let next = drawn.partition_point(|it| it * inches < low);
            drawn.get(next).is_some_and(|it| it * inches <= high)
        };
        said.iter().filter(is_drawn).count()
    };
    let own = count(scale.inches_per_unit);
    let all = notes.into_iter().flat_map(pages);
    let counted = all.map(|it| (count(it.0 * it.1.inches()), it));
    let (best, found) = counted.max_by_key(|it| it.0)?;
    (best * 10 >= said.len() * OF_WRITTEN && best >= 2 * own).then_some(found)
}

/// So much of all wall is as thick as walls are made, where that says the scale, and full size at most so much, as shares.
const MADE: [f64; 2] = [0.8, 0.2];
/// The same where the header names the unit of the paper, and the drawing would be in another.
const MADE_AS_SAID: [f64; 2] = [0.95, 0.75];
/// A thickness counts that makes up so much of all walls.
const COUNTS: f64 = 0.1;

/// The only usual scale at which walls of two thicknesses are as thick as walls are made, where full size none are.
fn by_walls((radii, gaps): (&[f64], &[(f64, f64)]), scale: &Scale) -> Option<DrawnScale> {
    if radii.is_empty() {
        return None;
    }
    let papers = [
        (DrawingUnit::Inch, &IMPERIAL[..]),
        (DrawingUnit::Millimetre, &METRIC[..]),
    ];
    let all = papers.into_iter();
    let all = all.flat_map(|(unit, list)| list.iter().map(move |one_to| (*one_to, unit)));
    let is_so = |(one_to, unit): &(f64, DrawingUnit)| {
        let inches = one_to * unit.inches();
        let is_said = scale.header == Some(*unit) && scale.unit != *unit;
        let shares = if is_said { MADE_AS_SAID } else { MADE };
        is_plausible(inches, radii, &[]) && say(gaps, inches, scale.inches_per_unit, shares)
    };
    let found: Vec<(f64, DrawingUnit)> = all.filter(is_so).collect();
    let [(one_to, unit)] = found[..] else {
        return None;
    };
    Some(DrawnScale::MayBeDrawnAt { one_to, unit })
}

/// Of what is as thick as walls are: how much is as thick as they are made, as a share, and in how many thicknesses.
fn made(gaps: &[(f64, f64)], inches: f64) -> (f64, usize) {
    let walls = || gaps.iter().filter(|it| WALLS.contains(&(it.0 * inches)));
    let total: f64 = walls().map(|it| it.1).sum();
    let made = || walls().filter(|it| is_made(it.0 * inches));
    let count = made().filter(|it| it.1 >= COUNTS * total).count();
    (made().map(|it| it.1).sum::<f64>() / total, count)
}

/// True where walls of two thicknesses are as thick as walls are made with so many inches to the unit, and few with `own`.
fn say(gaps: &[(f64, f64)], inches: f64, own: f64, [least, most]: [f64; 2]) -> bool {
    let (share, count) = made(gaps, inches);
    share >= least && count >= 2 && made(gaps, own).0 <= most
}

/// Inches to the unit that most dimensions say, bare numbers being in `unit`.
fn common(pairs: &[(f64, Written)], unit: DrawingUnit) -> Option<f64> {
    let mut said: Vec<f64> = pairs
        .iter()
        .map(|(measured, written)| match written {
            Written::Inches(inches) => inches / measured,
            Written::Number(number, _) => number * unit.inches() / measured,
        })
        .collect();
    if said.len() < FEW {
        return None;
    }
    said.sort_by(f64::total_cmp);
    let middle = said.get(said.len() / 2).copied()?;
    let alike = said
        .iter()
        .filter(|it| (*it / middle - 1.0).abs() < ALIKE)
        .count();
    (alike * 10 >= said.len() * OF_TEN).then_some(middle)
}

/// The usual scale that so many inches to the unit are, the unit being an inch, a millimetre or a point of paper.
fn usual(inches: f64) -> Option<(f64, DrawingUnit)> {
    let points = (DrawingUnit::Inch, POINT);
    let papers = [DrawingUnit::Inch, DrawingUnit::Millimetre].map(|it| (it, 1.0));
    papers
        .into_iter()
        .chain([points])
        .find_map(|(unit, times)| {
            let one_to = inches / unit.inches() / times;
            let mut scales = IMPERIAL.iter().chain(&METRIC);
            let own = scales.find(|it| (one_to / **it - 1.0).abs() < USUAL)?;
            Some((*own * times, unit))
        })
}

/// True when half of what may be doors are as wide as doors; without any, when half of the walls are as thick as walls.
fn is_plausible(inches: f64, radii: &[f64], gaps: &[(f64, f64)]) -> bool {
    let fitting = |it: &&f64| LEAVES.contains(&(**it * inches));
    if !radii.is_empty() {
        return radii.iter().filter(fitting).count() * 2 >= radii.len();
    }
    let weight = |fits: &dyn Fn(f64) -> bool| -> f64 {
        let all = gaps.iter().filter(|gap| fits(gap.0 * inches));
        all.map(|gap| gap.1).sum()
    };
    weight(&|gap| WALLS.contains(&gap)) * 2.0 >= weight(&|_| true)
}
