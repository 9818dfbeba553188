//! Several plans on one sheet: which storey each is, and what is said about it.

use crate::drawing::storey_level;
use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::Traced;
use crate::plan::codes;
use crate::plan::enclosure::shells::Shell;
use crate::plan::inside::rooms::title;
use geo::Coord;

/// How high the title of a plan says that it lies.
fn level(it: &Traced<'_>, shell: &Shell<'_>) -> Option<i32> {
    let points = shell.outline.iter();
    let moved: Vec<Coord<f64>> = points.map(|p| *p + it.lines.origin).collect();
    storey_level(&title(it.drawing, it.views, &moved))
}

/// Of several plans on a sheet: a note where each has a title that says its storey, else a doubt.
pub(in crate::plan) fn say_several(it: &Traced<'_>, shells: &[&Shell<'_>]) -> Option<Finding> {
    let mut levels: Vec<i32> = shells.iter().filter_map(|own| level(it, own)).collect();
    levels.sort_unstable();
    levels.dedup();
    let last = shells.iter().skip(1).last()?;
    let (is_told, low) = (levels.len() == shells.len(), lower_left(&last.outline));
    let place = Where::file(&it.drawing.file);
    let (n, at) = (shells.len(), low + it.lines.origin);
    Some(if is_told {
        Finding::note(
            codes::SEVERAL_PLANS,
            place,
            format!("the sheet shows {n} plans: taken as storeys by their titles"),
            "give each storey its own drawing if that is wrong",
        )
    } else {
        Finding::doubt(
            codes::SEVERAL_PLANS,
            place.with_at(at.x, at.y),
            format!(
                "the sheet shows {n} plans: taken as storeys of one building by their titles, else from left to right; buildings beside each other are drawn so too"
            ),
            "give each storey its own drawing if that is wrong, and each building its own job",
        )
    })
}

/// Storeys of one sheet by their titles, else from left to right and from below.
pub(in crate::plan) fn in_order<'b, 'a>(
    it: &Traced<'_>,
    mut shells: Vec<&'b Shell<'a>>,
) -> Vec<&'b Shell<'a>> {
    let rank = |shell: &Shell<'_>| level(it, shell).unwrap_or(1);
    shells.sort_by(|p, q| {
        let (a, b) = (lower_left(&p.outline), lower_left(&q.outline));
        rank(p)
            .cmp(&rank(q))
            .then(a.x.total_cmp(&b.x))
            .then(a.y.total_cmp(&b.y))
    });
    shells
}

/// The lower left corner of the box round points.
pub(in crate::plan) fn lower_left(points: &[Coord<f64>]) -> Coord<f64> {
    points.iter().fold(
        Coord {
            x: f64::INFINITY,
            y: f64::INFINITY,
        },
        |m, p| Coord {
            x: m.x.min(p.x),
            y: m.y.min(p.y),
        },
    )
}
