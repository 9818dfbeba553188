//! Several things on one sheet: which rings of walls are plans, and what else the sheet shows.

use super::codes;
use crate::drawing::{Drawing, ViewKind, ViewTitle, view_titles};
use crate::findings::{Finding, Place};
use geo::Coord;

/// A title stands within this share of its view's height below it.
const BELOW: f64 = 0.3;

/// For each outline, drawing coordinates, whether its own title says that it is something else than a floor plan. None is, unless
/// another has the title of a plan, so that one odd word never loses a building.
pub(super) fn other_views(titles: &[ViewTitle], outlines: &[Vec<Coord<f64>>]) -> Vec<bool> {
    let own: Vec<Option<ViewKind>> = outlines
        .iter()
        .map(|outline| own_title(titles, outline).map(|title| title.kind))
        .collect();
    let has_plan = own.contains(&Some(ViewKind::Plan));
    own.iter()
        .map(|kind| has_plan && kind.is_some_and(|kind| kind != ViewKind::Plan))
        .collect()
}

/// The title just below an outline, or in it.
fn own_title<'a>(titles: &'a [ViewTitle], outline: &[Coord<f64>]) -> Option<&'a ViewTitle> {
    let fold = |pick: fn(&Coord<f64>) -> f64, least: bool| {
        let values = outline.iter().map(pick);
        if least {
            values.fold(f64::INFINITY, f64::min)
        } else {
            values.fold(f64::NEG_INFINITY, f64::max)
        }
    };
    let (left, right) = (fold(|p| p.x, true), fold(|p| p.x, false));
    let (low, high) = (fold(|p| p.y, true), fold(|p| p.y, false));
    let reach = BELOW * (high - low).max(0.3 * (right - left));
    titles
        .iter()
        .filter(|title| {
            title.at.x > left && title.at.x < right && title.at.y < high && title.at.y > low - reach
        })
        .max_by(|a, b| {
            a.height
                .total_cmp(&b.height)
                .then((b.at.y - low).abs().total_cmp(&(a.at.y - low).abs()))
        })
}

/// A note that names what a sheet shows besides plans.
pub(super) fn note_other_views(drawing: &Drawing, findings: &mut Vec<Finding>) {
    let titles = view_titles(drawing);
    let others: Vec<String> = titles
        .iter()
        .filter(|title| title.kind != ViewKind::Plan)
        .map(|title| format!("'{}' ({})", title.text, title.kind.name()))
        .collect();
    if others.is_empty() {
        return;
    }
    findings.push(Finding::note(
        codes::OTHER_VIEWS,
        Place::file(&drawing.file),
        format!("the sheet also shows {}", others.join(", ")),
        "nothing, if none of these is a floor plan; else correct its title",
    ));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_elevation_beside_a_plan_is_told_by_its_title() {
        let outline = |x: f64| -> Vec<Coord<f64>> {
            [(x, 0.0), (x + 400.0, 0.0), (x + 400.0, 200.0), (x, 200.0)]
                .map(Coord::from)
                .to_vec()
        };
        let title = |kind: ViewKind, x: f64| ViewTitle {
            kind,
            text: String::new(),
            at: (x, -20.0).into(),
            height: 9.0,
        };
        let outlines = [outline(0.0), outline(500.0)];
        let titles = [
            title(ViewKind::Plan, 200.0),
            title(ViewKind::Elevation, 700.0),
        ];
        assert_eq!(other_views(&titles, &outlines), [false, true]);
        // Without a plan's title nothing is left out.
        assert_eq!(other_views(&titles[1..], &outlines), [false, false]);
    }
}
