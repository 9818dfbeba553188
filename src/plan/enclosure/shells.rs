//! Outer rings that may be storeys: no border, no closet, nothing inside another.
//!
//! ```text
//!   ┌─────────────┐
//!   │  ┏━━╍╍━━┓   │      the border has no opening and holds what has; a shed is a building where nothing larger is
//!   │  ┗━━━━━━┛   │
//!   └─────────────┘
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::{Traced, openings_of};
use crate::plan::codes;
use crate::plan::enclosure::faces::Ring;
use crate::plan::enclosure::lots::leave_lots;
use crate::plan::enclosure::outline::{contains, doubled_area, polygon, stretches};
use crate::plan::storeys::clusters::Clusters;
use crate::plan::walls::openings::middle_of;
use geo::Coord;

/// A storey encloses at least this, square inches: 120 square feet; less is a column, a chimney, a symbol.
pub(in crate::plan) const LEAST_STOREY: f64 = 17_280.0;
/// Where nothing on the sheet is larger, what stands alone and has a door is a shed from here on: 40 square feet.
pub(in crate::plan) const LEAST_SHED: f64 = 5760.0;

/// An outer ring with its polygon.
pub(in crate::plan) struct Shell<'a> {
    pub ring: &'a Ring,
    pub outline: Vec<Coord<f64>>,
    pub area: f64,
    pub n_openings: usize,
}

/// Outer rings that may be storeys, largest first, none inside another; walls of the lot are left out with a doubt.
pub(in crate::plan) fn shells<'a>(
    it: &Traced<'a>,
    clusters: &Clusters,
    findings: &mut Vec<Finding>,
) -> Vec<Shell<'a>> {
    let mut list: Vec<Shell<'a>> = it
        .rings
        .iter()
        .filter(|ring| ring.area < 0.0)
        .filter(|ring| {
            let first = ring.sides.first().map(|side| clusters.of[side.run]);
            first.and_then(|own| clusters.is_plan.get(own)) == Some(&true)
        })
        .filter_map(|ring| {
            let around = stretches(it.network, &ring.sides);
            let mut outline = polygon(it.runs, &around, 1.0);
            outline.reverse();
            let area = doubled_area(&outline) / 2.0;
            let n_openings = around.iter().map(|s| openings_of(it, s.run).count()).sum();
            (area >= LEAST_SHED).then_some(Shell {
                ring,
                outline,
                area,
                n_openings,
            })
        })
        .collect();
    let has_storey = list.iter().any(|shell| shell.area >= LEAST_STOREY);
    list.retain(|shell| shell.area >= LEAST_STOREY || !has_storey && is_shed(it, shell));
    // A border frames the sheet: it has no openings and holds what has.
    let is_border = |shell: &Shell<'_>| {
        shell.n_openings == 0
            && list.iter().any(|other| {
                other.n_openings > 0 && other.outline.iter().all(|p| contains(&shell.outline, *p))
            })
    };
    let borders: Vec<bool> = list.iter().map(is_border).collect();
    let mut is_border = borders.into_iter();
    list.retain(|_| is_border.next() != Some(true));
    if list.iter().any(|shell| shell.n_openings > 0) {
        list.retain(|shell| shell.n_openings > 0);
    }
    leave_lots(it, &mut list, findings);
    list.sort_by(|p, q| {
        q.area
            .total_cmp(&p.area)
            .then(q.n_openings.cmp(&p.n_openings))
    });
    let mut out: Vec<Shell<'a>> = Vec::new();
    for shell in list {
        let is_inside = shell
            .outline
            .first()
            .is_some_and(|p| out.iter().any(|o| contains(&o.outline, *p)));
        if !is_inside {
            out.push(shell);
        }
    }
    out
}

/// True when a small ring has a door or window and no wall stands outside it: else it is a closet of an open plan.
fn is_shed(it: &Traced<'_>, shell: &Shell<'_>) -> bool {
    let has_door = || {
        let mut sides = shell.ring.sides.iter();
        sides.any(|side| openings_of(it, side.run).any(|own| own.1.evidence.is_drawn()))
    };
    let stands_alone = || {
        (0..it.runs.len())
            .filter(|run| !it.network.stops[*run].is_empty())
            .all(|run| {
                let own = &it.runs[run];
                let middle = own.axis.point(f64::midpoint(own.u0, own.u1), 0.0);
                contains(&shell.outline, middle)
            })
    };
    has_door() && stands_alone()
}

/// True when an opening stands in a wall inside: the walls round a cellar have none.
pub(in crate::plan) fn holds_opening(it: &Traced<'_>, shell: &Shell<'_>) -> bool {
    let mut middles = it.openings.iter().map(|own| middle_of(it.runs, own));
    middles.any(|p| contains(&shell.outline, p))
}

/// The doubt about a building that nobody can enter: a border round a picture or round a detail looks like one.
pub(in crate::plan) fn ask_about_no_opening(it: &Traced<'_>, shell: &Shell<'_>) -> Finding {
    let middle = shell
        .outline
        .iter()
        .fold(Coord { x: 0.0, y: 0.0 }, |sum, p| sum + *p);
    #[expect(
        clippy::cast_precision_loss,
        reason = "outlines have far fewer than 2^53 corners"
    )]
    let at = middle / shell.outline.len().max(1) as f64 + it.lines.origin;
    let place = Where::file(&it.drawing.file).with_at(at.x, at.y);
    let hint = "check on trace.svg that this is the plan; a picture of a plan has no lines to recover: ask for the drawing behind it";
    if it.drawing.census.has_picture() {
        return Finding::fault(
            codes::NO_OPENING,
            place,
            "the outside walls hold no door and no window, and the model holds a picture: this is a border round it, not a building",
            hint,
        );
    }
    Finding::doubt(
        codes::NO_OPENING,
        place,
        "the outside walls hold no door and no window: this may be a border, not a building",
        hint,
    )
}

#[cfg(test)]
mod tests {
    use crate::findings::Outcome;
    use crate::plan::trial::{Swing, exterior_openings, recovered, recovered_with, sides};
    use crate::plan::{Plan, codes};

    /// A square shed of 4.5 in walls with a door of 3 ft in its lower wall.
    fn shed(side: f64) -> Vec<[f64; 4]> {
        let mut lines = sides(0.0, 0.0, side, side);
        lines.extend(sides(4.5, 4.5, side - 4.5, side - 4.5));
        lines.retain(|l| !(l[1] < 5.0 && l[3] < 5.0));
        for (y, low, high) in [(0.0, 0.0, side), (4.5, 4.5, side - 4.5)] {
            lines.extend([[low, y, 30.0, y], [66.0, y, high, y]]);
        }
        lines.extend([[30.0, 0.0, 30.0, 4.5], [66.0, 0.0, 66.0, 4.5]]);
        lines.push([30.0, 4.5, 30.0, 40.5]);
        lines
    }

    fn hung(lines: &[[f64; 4]]) -> Outcome<Plan> {
        let swing = Swing {
            centre: [30.0, 4.5],
            radius: 36.0,
            start: 0.0,
        };
        recovered_with(lines, &[swing])
    }

    #[test]
    fn a_shed_that_stands_alone_is_a_building() {
        let found = hung(&shed(96.0));
        assert_eq!(found.output.storeys[0].outline.len(), 4);
        assert_eq!(exterior_openings(&found.output), [[48.0, 2.25, 36.0]]);
        // A chimney's size is none.
        let small = hung(&shed(72.0));
        let storeys = &small.output.storeys;
        assert!(storeys.iter().all(|it| it.outline.is_empty()));
    }

    #[test]
    fn a_closet_of_an_open_plan_is_no_shed() {
        let mut lines = shed(96.0);
        for y in [0.0, 91.5] {
            lines.extend([[96.0, y, 300.0, y], [96.0, y + 4.5, 300.0, y + 4.5]]);
        }
        let found = hung(&lines);
        // What is missing may be the far end, never the closet's side.
        let outline = &found.output.storeys[0].outline;
        assert!(outline.iter().any(|p| p.x > 250.0));
        assert!(found.findings.iter().any(|it| it.code == codes::NO_OUTLINE));
    }

    #[test]
    fn a_border_round_a_picture_is_a_fault() {
        let mut lines = sides(0.0, 0.0, 500.0, 400.0);
        lines.extend(sides(10.0, 10.0, 490.0, 390.0));
        let mut drawing = crate::plan::trial::drawing(&lines, &[], &[]);
        drawing.census.rows.push(crate::drawing::CensusRow {
            kind: "IMAGE".to_owned(),
            space: "model".to_owned(),
            ..crate::drawing::CensusRow::default()
        });
        let found = crate::plan::recover_plan(&[drawing], &crate::plan::PlanCorrections::default());
        let asked = found
            .findings
            .iter()
            .find(|it| it.code == codes::NO_OPENING);
        assert_eq!(
            asked.map(|it| it.severity),
            Some(crate::findings::Severity::Fault)
        );
    }

    #[test]
    fn a_border_without_a_door_is_asked_about() {
        let mut lines = sides(0.0, 0.0, 500.0, 400.0);
        lines.extend(sides(10.0, 10.0, 490.0, 390.0));
        let found = recovered(&lines);
        let asked = found
            .findings
            .iter()
            .find(|it| it.code == codes::NO_OPENING);
        assert_eq!(asked.and_then(|it| it.place.at), Some([250.0, 200.0]));
    }
}
