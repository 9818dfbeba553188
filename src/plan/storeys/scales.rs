//! A storey that is drawn at another scale than the first one: walls, and doors, outline or scale note say the same multiple.

use crate::drawing::{Drawing, scale_note};
use crate::findings::{Finding, Place as Where};
use crate::plan::axis::distance;
use crate::plan::storeys::register::beside;
use crate::plan::{Storey, codes};
use geo::Coord;

/// Walls of one house differ by less than this, as a share, or by nothing else.
const OTHER: f64 = 0.1;
/// Outlines are alike within this share.
const ALIKE: f64 = 0.01;
/// Doors and notes say about the same within this share: doors of two storeys differ.
const ABOUT: f64 = 0.12;
/// No storey has doors that are mostly narrower than this, inches.
const NARROW: f64 = 22.0;
/// A scale note stands within this share of its plan's size below it.
const BELOW: f64 = 0.6;

/// A fault for each storey that is drawn at another scale than the first.
pub(in crate::plan) fn ask_about_scales(storeys: &[Storey], drawings: &[Drawing]) -> Vec<Finding> {
    let mut closed = storeys.iter().filter(|it| !it.outline.is_empty());
    let Some(first) = closed.next() else {
        return Vec::new();
    };
    let drawing_of = |storey: &Storey| drawings.iter().find(|it| it.file == storey.file);
    let said = closed.filter_map(|own| {
        let walls = thickness(own)? / thickness(first)?;
        if (walls.ln()).abs() < (1.0 + OTHER).ln() {
            return None;
        }
        let is = |other: f64, within: f64| (other / walls).ln().abs() <= (1.0 + within).ln();
        let [x, y] = [|p: &Coord<f64>| p.x, |p: &Coord<f64>| p.y]
            .map(|pick| extent(own, pick) / extent(first, pick));
        let doors = leaf(own).zip(leaf(first));
        let notes = drawing_of(own).and_then(|it| noted(it, own));
        let notes = notes.zip(drawing_of(first).and_then(|it| noted(it, first)));
        let by_outline = is(x, ALIKE) && is(y, ALIKE);
        let by_doors = doors.is_some_and(|(a, b)| is(a / b, ABOUT) && a.min(b) < NARROW);
        let by_note = notes.is_some_and(|(a, b)| is(a / b, ABOUT));
        let what = match (by_doors, by_outline, by_note) {
            (true, ..) => doors.map_or_else(String::new, |(a, b)| {
                format!("its doors are {a:.2} in wide, those of {} {b:.2} in", first.id)
            }),
            (_, true, _) => format!("its outline is {x:.3} times as large"),
            (.., true) => "its scale note says another scale".to_owned(),
            _ => return None,
        };
        let at = beside(&own.outline);
        let place = Where {
            storey: Some(own.id.clone()),
            ..Where::default()
        };
        Some(Finding::fault(
            codes::STOREY_SCALE,
            place.with_at(at.x, at.y),
            format!(
                "{} is drawn {walls:.3} times as large as {}: its outside walls are {:.2} in thick, not {:.2} in, and {what}",
                own.id,
                first.id,
                thickness(own)?,
                thickness(first)?
            ),
            "draw both at one scale, or give the storey a file of its own; it is taken as drawn",
        ))
    });
    said.collect()
}

/// Thickness of most of the outside walls, inches.
fn thickness(storey: &Storey) -> Option<f64> {
    let outside = storey.walls.iter().filter(|it| it.is_exterior);
    middle(outside.map(|it| (it.thickness, distance(it.start, it.end))))
}

/// Width of the leaf of the middle one of its hung doors, inches.
fn leaf(storey: &Storey) -> Option<f64> {
    let leaves = storey.openings.iter().filter_map(|it| it.leaf);
    middle(leaves.map(|it| (it, 1.0)))
}

/// The value with half of the weight below it.
fn middle(list: impl Iterator<Item = (f64, f64)>) -> Option<f64> {
    let mut list: Vec<(f64, f64)> = list.collect();
    list.sort_by(|p, q| p.0.total_cmp(&q.0));
    let half = list.iter().map(|it| it.1).sum::<f64>() / 2.0;
    let mut sum = 0.0;
    let mut all = list.into_iter();
    all.find(|it| {
        sum += it.1;
        sum >= half
    })
    .map(|it| it.0)
}

fn extent(storey: &Storey, pick: fn(&Coord<f64>) -> f64) -> f64 {
    let values = || storey.outline.iter().map(pick);
    values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min)
}

/// The scale that is written in or below a plan, as a fraction: the nearest.
fn noted(drawing: &Drawing, storey: &Storey) -> Option<f64> {
    let least = |pick: fn(&Coord<f64>) -> f64| {
        let values = storey.outline.iter().map(pick);
        values.fold(f64::INFINITY, f64::min)
    };
    let (left, low) = (least(|p| p.x), least(|p| p.y));
    let (wide, high) = (extent(storey, |p| p.x), extent(storey, |p| p.y));
    let near = drawing.texts.iter().filter(|it| {
        let [x, y] = [it.at.x - left, it.at.y - low];
        x > -0.1 * wide && x < wide && y < 0.0 && y > -BELOW * wide.max(high)
    });
    let notes = near.filter_map(|it| Some((low - it.at.y, scale_note(&it.content)?)));
    notes.min_by(|p, q| p.0.total_cmp(&q.0)).map(|it| it.1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::Severity;
    use crate::plan::trial::drawing;
    use crate::plan::{Opening, Wall};

    fn storey(id: &str, x: f64, (wide, high): (f64, f64), thick: f64, leaf: f64) -> Storey {
        let corners = [(x, 0.0), (x + wide, 0.0), (x + wide, high), (x, high)];
        Storey {
            id: id.to_owned(),
            file: "trial.dxf".to_owned(),
            outline: corners.map(Coord::from).to_vec(),
            walls: vec![Wall {
                is_exterior: true,
                end: (wide, 0.0).into(),
                thickness: thick,
                ..Wall::default()
            }],
            openings: vec![Opening {
                leaf: Some(leaf),
                ..Opening::default()
            }],
            ..Storey::default()
        }
    }

    #[test]
    fn a_storey_at_another_scale_is_a_fault_with_both_numbers() {
        let lower = storey("S1", 0.0, (480.0, 336.0), 6.5, 32.0);
        let words = [
            ("SCALE: 1/4\" = 1'-0\"", [100.0, -60.0]),
            ("SCALE: 1/8\" = 1'-0\"", [800.0, -60.0]),
        ];
        let said = |size: (f64, f64), thick: f64, leaf: f64, words: &[(&str, [f64; 2])]| {
            let upper = storey("S2", 700.0, size, thick, leaf);
            let drawings = [drawing(&[], &[], words)];
            let mut said = ask_about_scales(&[lower.clone(), upper], &drawings).into_iter();
            said.next().map(|it| (it.severity, it.message))
        };
        let (severity, message) = said((240.0, 168.0), 3.25, 15.0, &[]).unwrap();
        assert_eq!(severity, Severity::Fault);
        assert!(message.contains("3.25 in thick, not 6.50 in"), "{message}");
        assert!(message.contains("15.00 in wide"), "{message}");
        let by_outline = said((384.0, 268.8), 5.2, 24.0, &[]).unwrap().1;
        assert!(by_outline.contains("0.800 times"), "{by_outline}");
        let by_note = said((150.0, 120.0), 3.25, 32.0, &words).unwrap().1;
        assert!(by_note.contains("scale note"), "{by_note}");
        // Thinner walls above, and smaller doors, are a storey as others.
        assert_eq!(said((300.0, 336.0), 4.5, 30.0, &[]), None);
        assert_eq!(said((480.0, 336.0), 6.5, 32.0, &words), None);
    }
}
