//! Decks and porches whose rails are drawn as two lines: they close with the house, and are no part of it.
//!
//! ```text
//!   ┏━━━━━━━━━━━━┓
//!   ┃   LIVING   ┃
//!   ┗━┯━━━╍╍━━━┯━┛      by its name under the open sky, and round it thin walls with nothing in them: left out, and asked
//!     │  DECK  │
//!     └────────┘
//! ```

use super::codes;
use super::faces::{Ring, Side};
use super::heated::is_unheated;
use super::network::Network;
use super::outline::{contains, polygon, stretches};
use super::outside::{is_reverse, without};
use super::runs::Run;
use crate::drawing::Drawing;
use crate::findings::{Finding, Place};
use geo::Coord;

/// Rails are at most this thick, as a share of the thickest outside wall.
const RAIL: f64 = 0.8;

/// Takes places out of the building that are named as not heated and have rails round them, each with a doubt.
///
/// - `origin`: where the runs' axes begin, drawing coordinates.
pub(super) fn leave_decks(
    mut rings: Vec<Ring>,
    network: &Network,
    runs: &[Run],
    drawing: &Drawing,
    origin: Coord<f64>,
    findings: &mut Vec<Finding>,
) -> Vec<Ring> {
    let names: Vec<(&str, Coord<f64>)> = drawing
        .texts
        .iter()
        .filter(|text| is_unheated(&text.content))
        .map(|text| (text.content.as_str(), text.middle - origin))
        .collect();
    for (name, at) in names {
        let Some((room, outer)) = deck(&rings, network, runs, at) else {
            continue;
        };
        let at = at + origin;
        findings.push(Finding::doubt(
            codes::LEFT_OUTSIDE,
            Place::file(&drawing.file).with_at(at.x, at.y),
            format!(
                "{name} closes with the house by walls as thin as rails and without a door or window: left out of the building"
            ),
            "if it is a room of the building, draw its walls as thick as the others or with their windows",
        ));
        let merged = without(&rings[outer], &rings[room], network);
        let mut index = 0..;
        rings.retain(|_| index.next().is_some_and(|i: usize| i != room && i != outer));
        rings.extend(merged);
    }
    rings
}

/// The room round a point and the outside beyond it, where only rails part them.
fn deck(rings: &[Ring], network: &Network, runs: &[Run], at: Coord<f64>) -> Option<(usize, usize)> {
    let room = (0..rings.len()).find(|&i| {
        let around = || polygon(runs, &stretches(network, &rings[i].sides), 1.0);
        rings[i].area > 0.0 && contains(&around(), at)
    })?;
    let shared = |other: &Ring| -> Vec<Side> {
        let own = rings[room].sides.iter().copied();
        own.filter(|side| other.sides.iter().any(|it| is_reverse(side, it)))
            .collect()
    };
    let outer = (0..rings.len()).find(|&i| rings[i].area < 0.0 && !shared(&rings[i]).is_empty())?;
    let edge = shared(&rings[outer]);
    let sides = rings[outer].sides.iter();
    let thickest = sides
        .map(|side| runs[side.run].thickness)
        .fold(0.0, f64::max);
    let is_rail = |side: &Side| {
        let run = &runs[side.run];
        let (a, b) = (
            network.stops[side.run][side.from].0,
            network.stops[side.run][side.to].0,
        );
        let mut cells = run.cells.iter();
        run.thickness <= RAIL * thickest
            && !cells.any(|it| {
                let middle = f64::midpoint(it.u0, it.u1);
                it.evidence.is_drawn() && middle > a.min(b) && middle < a.max(b)
            })
    };
    // A house that is all thin has no rails.
    (edge.len() < rings[outer].sides.len() && edge.iter().all(is_rail)).then_some((room, outer))
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{exterior_openings, open_shell, recovered_among};

    /// The house with a window in its lower wall, and below it a place with rails round it.
    fn low_edge(name: &str, rail: f64) -> (f64, Vec<[f64; 3]>, bool) {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        for d in [0.0, rail] {
            let (left, right, low) = (60.0 + d, 260.0 - d, -100.0 + d);
            lines.extend([[left, 0.0, left, low], [right, 0.0, right, low]]);
            lines.push([left, low, right, low]);
        }
        let words = [("LIVING", [180.0, 120.0]), (name, [160.0, -50.0])];
        let found = recovered_among(&lines, &[], &words);
        let outline = &found.output.storeys[0].outline;
        let low = outline.iter().map(|p| p.y).fold(0.0, f64::min);
        let is_asked = found
            .findings
            .iter()
            .any(|it| it.code == codes::LEFT_OUTSIDE && it.place.at == Some([160.0, -50.0]));
        (low, exterior_openings(&found.output), is_asked)
    }

    #[test]
    fn a_deck_with_rails_is_no_part_of_the_house() {
        let window = vec![[118.0, 3.0, 36.0]];
        assert_eq!(low_edge("DECK", 3.5), (0.0, window, true));
    }

    #[test]
    fn a_porch_with_walls_is_a_part_of_the_house() {
        assert_eq!(low_edge("PORCH", 6.0), (-100.0, Vec::new(), false));
        assert_eq!(low_edge("STUDY", 3.5), (-100.0, Vec::new(), false));
    }
}
