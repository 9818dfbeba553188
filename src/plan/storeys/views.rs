//! Several things on one sheet: which rings of walls are plans, and what else the sheet shows.

use crate::drawing::{ViewKind, ViewTitle};
use crate::findings::{Finding, Place};
use crate::plan::codes;
use geo::Coord;

/// A title stands within this share of its view's height below it.
const BELOW: f64 = 0.3;
/// Or within this many heights of its own letters: strings of dimensions stand between. Source: common practice, no source.
const LETTERS: f64 = 12.0;

/// What an outline is by its title.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::plan) enum ByTitle {
    Plan,
    /// Something else than a floor plan.
    Other,
    Untold,
}

impl ByTitle {
    pub(in crate::plan) fn is_plan(self) -> bool {
        self != Self::Other
    }
}

/// What each outline is by its own title; drawing coordinates, the largest first. None is another view unless one has the title of
/// a plan, so that one odd word never loses a building; and what shares the title of a larger plan, a shed, has none of its own.
pub(in crate::plan) fn views_by_title(
    titles: &[ViewTitle],
    outlines: &[Vec<Coord<f64>>],
) -> Vec<ByTitle> {
    let own: Vec<Option<&ViewTitle>> = outlines
        .iter()
        .map(|outline| own_title(titles, outline))
        .collect();
    let has_plan = own.iter().flatten().any(|it| it.kind == ViewKind::Plan);
    own.iter()
        .enumerate()
        .map(|(i, title)| match title {
            Some(it) if it.kind == ViewKind::Plan && !own[..i].contains(title) => ByTitle::Plan,
            Some(it) if it.kind != ViewKind::Plan && has_plan => ByTitle::Other,
            _ => ByTitle::Untold,
        })
        .collect()
}

/// The title just below an outline, as it reads, or in it.
pub(in crate::plan) fn own_title<'a>(
    titles: &'a [ViewTitle],
    outline: &[Coord<f64>],
) -> Option<&'a ViewTitle> {
    let below = |title: &ViewTitle| {
        let (sine, cosine) = title.angle.sin_cos();
        let turned = |p: &Coord<f64>| Coord {
            x: p.x * cosine + p.y * sine,
            y: p.y * cosine - p.x * sine,
        };
        let outline: Vec<Coord<f64>> = outline.iter().map(turned).collect();
        let least =
            |pick: fn(&Coord<f64>) -> f64| outline.iter().map(pick).fold(f64::INFINITY, f64::min);
        let (left, low) = (least(|p| p.x), least(|p| p.y));
        let (right, high) = (-least(|p| -p.x), -least(|p| -p.y));
        let at = turned(&title.at);
        let reach = BELOW * (high - low).max(0.3 * (right - left));
        let reach = reach.max(LETTERS * title.height);
        let is_own = at.x > left && at.x < right && at.y < high && at.y > low - reach;
        is_own.then(|| (at.y - low).abs())
    };
    titles
        .iter()
        .filter_map(|title| Some((title, below(title)?)))
        .max_by(|(a, far), (b, near)| a.height.total_cmp(&b.height).then(near.total_cmp(far)))
        .map(|it| it.0)
}

/// A note that names what a sheet shows besides plans.
pub(in crate::plan) fn note_other_views(
    file: &str,
    titles: &[ViewTitle],
    findings: &mut Vec<Finding>,
) {
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
        Place::file(file),
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
            angle: 0.0,
        };
        let outlines = [outline(0.0), outline(500.0)];
        let titles = [
            title(ViewKind::Plan, 200.0),
            title(ViewKind::Elevation, 700.0),
        ];
        let by = views_by_title;
        assert_eq!(by(&titles, &outlines), [ByTitle::Plan, ByTitle::Other]);
        // Without a plan's title nothing is left out.
        assert_eq!(by(&titles[1..], &outlines), [ByTitle::Untold; 2]);
        // Below two strings of dimensions it is as far off as twelve of its letters are high.
        let low = |y: f64| ViewTitle {
            at: (200.0, y).into(),
            ..titles[0].clone()
        };
        assert_eq!(by(&[low(-107.0)], &outlines[..1]), [ByTitle::Plan]);
        assert_eq!(by(&[low(-109.0)], &outlines[..1]), [ByTitle::Untold]);
        // On a sheet that lies on its side it stands to the right and reads upwards.
        let upright = ViewTitle {
            at: (107.0, 200.0).into(),
            angle: std::f64::consts::FRAC_PI_2,
            ..titles[0].clone()
        };
        let turned: Vec<Coord<f64>> = outlines[0]
            .iter()
            .map(|p| Coord { x: -p.y, y: p.x })
            .collect();
        assert_eq!(by(&[upright], &[turned]), [ByTitle::Plan]);
        // A shed beside the house has no title of its own.
        let shed = [(0.0, 10.0), (300.0, 10.0), (300.0, 90.0), (0.0, 90.0)];
        let outlines = [outline(0.0), shed.map(Coord::from).to_vec()];
        assert_eq!(by(&titles, &outlines), [ByTitle::Plan, ByTitle::Untold]);
    }
}
