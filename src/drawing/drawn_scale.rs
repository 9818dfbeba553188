//! A drawing that is not drawn full size: its dimensions say the same multiple of what they measure, all of them.
//!
//! ```text
//!   |◄── 12'-0" ──►|     3 units apart: 48 in to the unit, 1/4" = 1'-0"
//! ```
//!
//! Doors and walls must have their sizes at that scale, and it must be one that plans are drawn at; else the unit is asked for.

use super::breaks::Strip;
use super::evidence::{Written, measured_and_written, parallel_gaps};
use super::flat::Flat;
use super::model::{DrawingUnit, Scale};
use super::sheet::{IMPERIAL, METRIC};
use super::vote::{LEAVES, WALLS};

/// What the dimensions say about the scale that was voted for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum ByDimensions {
    /// It is theirs, or they say nothing in common.
    Agree,
    /// The drawing is drawn at one to so many of this unit.
    DrawnAt { one_to: f64, unit: DrawingUnit },
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

/// - `radii`, `strips`: arcs that may be door swings, and lines that may be faces of walls, in the file's units.
pub(super) fn by_dimensions(
    flat: &Flat,
    (radii, strips): (&[f64], &[Strip]),
    scale: &Scale,
) -> ByDimensions {
    let pairs: Vec<(f64, Written)> = flat
        .dimensions
        .iter()
        .filter_map(measured_and_written)
        .collect();
    // Bare numbers may be in any unit.
    let said: Vec<f64> = DrawingUnit::ALL
        .into_iter()
        .filter_map(|unit| common(&pairs, unit))
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
        _ if said.is_empty() || is_own && is_plausible(own) => ByDimensions::Agree,
        [(one_to, unit)] => ByDimensions::DrawnAt {
            one_to: *one_to,
            unit: *unit,
        },
        // What is drawn has the sizes of doors: the texts are wrong, each of them.
        _ if is_own || !radii.is_empty() && is_plausible(own) => ByDimensions::Agree,
        _ => ByDimensions::Disagree {
            times: said.first().map_or(1.0, |it| it / own),
        },
    }
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

/// The usual scale that so many inches to the unit are, the unit being an inch or a millimetre of paper.
fn usual(inches: f64) -> Option<(f64, DrawingUnit)> {
    [DrawingUnit::Inch, DrawingUnit::Millimetre]
        .into_iter()
        .find_map(|unit| {
            let one_to = inches / unit.inches();
            let mut scales = IMPERIAL.iter().chain(&METRIC);
            let own = scales.find(|it| (one_to / **it - 1.0).abs() < USUAL)?;
            Some((*own, unit))
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
