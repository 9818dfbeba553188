//! Panels, gaps and framed openings tile each wall's run: from 0 to its length, no overlap, nothing left out.

use super::Proof;
use crate::findings::Place;
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::{Package, at_panel, at_wall};
use crate::verify::readers::panels::{RunPiece, Wall};
use std::collections::BTreeMap;

pub(super) const PROOF: Proof = Proof {
    code: codes::TILING,
    statement: "panels, gaps and framed openings tile each wall's run to the nanometre, each mark once; a wall left out is told",
    cases: "walls",
    prove,
};

/// What to do about a wall for which nothing was made, and no fault says why.
const LEFT_OUT: &str = "no fault of this wall in findings.json (LAY-01) says that it cannot be panelled; do not build from this package, make it again, \
    and if the proof still fails report it with the input";

/// What to do about a package without walls, where the plan has an outline or no fault says that it does not close.
const NO_WALL: &str = "not every storey is told not to close (BLDG-01 in findings.json): answer the faults listed there, make it again, \
    and if the proof still fails report it with the input";

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    let mut uses: BTreeMap<&str, usize> = BTreeMap::new();
    for wall in &package.panels.walls {
        ledger.case();
        prove_wall(package, wall, ledger);
        for piece in &wall.run {
            if let RunPiece::Panel { panel, .. } = piece {
                *uses.entry(panel.as_str()).or_default() += 1;
            }
        }
    }
    if package.panels.walls.is_empty() && !package.is_told_open() {
        ledger.fail_for(Place::file("panels.json"), "there is no wall", NO_WALL);
    }
    let mut marks: BTreeMap<&str, usize> = BTreeMap::new();
    for panel in &package.panels.panels {
        *marks.entry(&panel.mark).or_default() += 1;
        let expected = usize::from(!matches!(panel.kind.as_str(), "header" | "sill"));
        let found = uses.remove(panel.mark.as_str()).unwrap_or_default();
        ledger.demand(
            found == expected,
            || at_panel(panel),
            || format!("it stands {found} times in the walls' runs, not {expected}"),
        );
    }
    for mark in uses.keys() {
        ledger.fail(
            Place::panel(mark),
            "it stands in a wall's run and is no panel",
        );
    }
    for (mark, n) in marks.into_iter().filter(|(_, n)| *n > 1) {
        ledger.fail(Place::panel(mark), format!("{n} panels have this mark"));
    }
}

fn prove_wall(package: &Package<'_>, wall: &Wall, ledger: &mut Ledger) {
    if package.is_told_left_out(wall) {
        return;
    }
    if wall.is_left_out() {
        let message = format!(
            "no panel and no plate is made for it, {} long",
            wall.length.0
        );
        return ledger.fail_for(at_wall(wall), message, LEFT_OUT);
    }
    let mut reached = Length::ZERO;
    for piece in &wall.run {
        let (name, from, to) = match piece {
            RunPiece::Panel { panel, from, to } => (panel.as_str(), from.0, to.0),
            RunPiece::Opening {
                opening, from, to, ..
            } => (opening.as_str(), from.0, to.0),
            RunPiece::Gap { gap } => ("a gap", reached, reached + gap.0),
        };
        ledger.demand(
            from == reached,
            || at_wall(wall),
            || format!("{name} begins at {from} where the piece before ends at {reached}"),
        );
        // Where the plant leaves no gap, panels touch.
        let may_be_nothing = matches!(piece, RunPiece::Gap { .. });
        ledger.demand(
            to > from || may_be_nothing && to == from,
            || at_wall(wall),
            || format!("{name} is {} long", to - from),
        );
        if let RunPiece::Panel { panel, .. } = piece
            && let Some(panel) = package.panel(panel)
        {
            ledger.demand(
                panel.set_width() == to - from && panel.wall == wall.id,
                || at_panel(panel),
                || {
                    format!(
                        "it is {} wide in wall {} and takes {} of wall {}",
                        panel.set_width(),
                        panel.wall,
                        to - from,
                        wall.id
                    )
                },
            );
        }
        reached = to;
    }
    ledger.demand(
        reached == wall.length.0,
        || at_wall(wall),
        || {
            format!(
                "its pieces end at {reached}, the run at {}: {} is missing",
                wall.length.0,
                wall.length.0 - reached
            )
        },
    );
}
