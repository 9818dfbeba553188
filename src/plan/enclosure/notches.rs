//! Notches of a house, between its wings: nothing is drawn across their mouth, and windows look into them.
//!
//! ```text
//!   ┏━━━━┓      ┏━━━━┓      two walls in one line with a long gap between are no front of a room that has windows towards it:
//!   ┃    ╏      ┃    ┃      it is outdoors
//!   ┃    ┗━╍╍━━━┛    ┃
//!   ┗━━━━━━━━━━━━━━━━┛
//! ```

use crate::drawing::Drawing;
use crate::findings::{Finding, Place};
use crate::plan::codes;
use crate::plan::enclosure::decks::{corners, is_room, leave, middle};
use crate::plan::enclosure::faces::{Ring, Side};
use crate::plan::enclosure::heated::is_outdoors;
use crate::plan::enclosure::network::Network;
use crate::plan::enclosure::outline::contains;
use crate::plan::enclosure::outside::is_reverse;
use crate::plan::enclosure::wells::shows_glass;
use crate::plan::inside::rooms::is_name;
use crate::plan::walls::runs::{Cell, Run};
use geo::Coord;

/// A mouth is at least this wide, inches: 8 ft. What is narrower may be the way into a room.
const MOUTH: f64 = 96.0;
/// Beside it lie the corners of the wings only, inches, beyond twice the wall's thickness.
const CORNER: f64 = 6.0;

/// Takes notches out of the building, each with a note.
///
/// - `origin`: where the runs' axes begin, drawing coordinates.
/// - `roofed`: places that the job calls rooms, from there.
pub(in crate::plan) fn leave_notches(
    mut rings: Vec<Ring>,
    network: &Network,
    runs: &[Run],
    (drawing, origin): (&Drawing, Coord<f64>),
    roofed: &[Coord<f64>],
    findings: &mut Vec<Finding>,
) -> Vec<Ring> {
    let is_it = |rings: &[Ring], room: usize| {
        let outer = notch(rings, network, runs, room)?;
        let outline = corners(&rings[room], network, runs);
        let texts = drawing.texts.iter();
        let mut own = texts.filter(|it| contains(&outline, it.middle - origin));
        let is_named = own.any(|it| is_name(&it.content) && !is_outdoors(&it.content));
        (!is_named && !is_room(&rings[room], network, runs, roofed)).then_some((room, outer))
    };
    while let Some((room, outer)) = (0..rings.len()).find_map(|room| is_it(&rings, room)) {
        let at = middle(&rings[room], network, runs) + origin;
        findings.push(Finding::note(
            codes::LEFT_OUTSIDE,
            Place::file(&drawing.file).with_at(at.x, at.y),
            "windows look into a place between two wings, and nothing is drawn across its mouth: taken as outside",
            "if it is a room, draw the wall that closes it, or write its name in it",
        ));
        leave(&mut rings, network, room, outer);
    }
    rings
}

/// The outside beyond a room that one bare gap parts from it, and that the house has windows towards.
fn notch(rings: &[Ring], network: &Network, runs: &[Run], room: usize) -> Option<usize> {
    let own = &rings[room];
    if own.area <= 0.0 {
        return None;
    }
    let is_mouth = |side: &&Side| {
        let run = &runs[side.run];
        let (low, high) = span(network, side);
        let mut cells = cells(run, (low, high));
        let is_open = |it: &Cell| {
            let wide = it.u1 - it.u0;
            let is_bare = !it.evidence.speaks() && it.evidence.n_faces == 0;
            is_bare && wide >= MOUTH && high - low - wide <= 2.0 * run.thickness + CORNER
        };
        matches!((cells.next(), cells.next()), (Some(it), None) if is_open(it))
    };
    let mouth = own.sides.iter().find(is_mouth)?;
    let has = |ring: &Ring, side: &Side| ring.sides.iter().any(|it| is_reverse(it, side));
    let outer = (0..rings.len()).find(|&i| rings[i].area < 0.0 && has(&rings[i], mouth))?;
    let inner: Vec<&Side> = (own.sides.iter())
        .filter(|side| !has(&rings[outer], side))
        .collect();
    let looks_out = inner.iter().any(|side| {
        let mut cells = cells(&runs[side.run], span(network, side));
        cells.any(|it| shows_glass(&it.evidence))
    });
    (inner.len() + 1 == own.sides.len() && looks_out).then_some(outer)
}

/// From where to where a side lies along its run.
fn span(network: &Network, side: &Side) -> (f64, f64) {
    let [a, b] = [side.from, side.to].map(|i| network.stops[side.run][i].0);
    (a.min(b), a.max(b))
}

fn cells(run: &Run, (low, high): (f64, f64)) -> impl Iterator<Item = &Cell> {
    run.cells.iter().filter(move |it| {
        let middle = f64::midpoint(it.u0, it.u1);
        middle > low && middle < high
    })
}

#[cfg(test)]
mod tests {
    use crate::findings::{Finding, Severity};
    use crate::plan::trial::{open_shell, recovered_among};

    /// Corners of the outline, and whether is asked, of a house with two wings below, a window or none between them.
    fn winged(glass: bool, name: &str) -> (usize, bool) {
        let mut lines = open_shell(160.0, 196.0);
        lines.retain(|l| !(l[1] == 0.0 && l[3] == 0.0 || l[0] == 0.0 && l[2] == 0.0));
        lines.retain(|l| !(l[1] == 6.0 && l[3] == 6.0 || l[0] == 360.0 && l[2] == 360.0));
        lines.extend(glass.then_some([160.0, 3.0, 196.0, 3.0]));
        // The wings go 100 in down, 100 in wide; the faces of their ends run through at the corners.
        lines.extend([[0.0, -100.0, 0.0, 240.0], [360.0, -100.0, 360.0, 240.0]]);
        for (from, to) in [(0.0, 100.0), (260.0, 360.0)] {
            lines.extend([
                [from, -100.0, to, -100.0],
                [from, -94.0, to, -94.0],
                [from + 6.0, 6.0, to - 6.0, 6.0],
                [from + 6.0, 0.0, to - 6.0, 0.0],
            ]);
        }
        for x in [6.0, 354.0, 94.0, 100.0, 260.0, 266.0] {
            lines.push([x, -100.0, x, 0.0]);
        }
        for y in [0.0, 6.0] {
            lines.extend([[if y > 0.0 { 94.0 } else { 100.0 }, y, 160.0, y]]);
            lines.extend([[196.0, y, if y > 0.0 { 266.0 } else { 260.0 }, y]]);
        }
        let words = [("LIVING", [180.0, 120.0]), (name, [180.0, -50.0])];
        let found = recovered_among(&lines, &[], &words);
        let is_asked = |it: &Finding| it.severity != Severity::Note;
        let outline = found.output.storeys[0].outline.len();
        (outline, found.findings.iter().any(is_asked))
    }

    #[test]
    fn a_notch_that_windows_look_into_is_outdoors_unless_a_name_says_otherwise() {
        assert_eq!(winged(true, "PATIO"), (8, false));
        assert_eq!(winged(true, "2020"), (8, false));
        assert!(winged(true, "DINING").0 < 8);
    }
}
