//! Lines a board's thickness off the faces of walls, all along them: where no jamb says that they are layers, it is asked.
//!
//! ```text
//!   ───────────      ───────────      gypsum or a board? each opening ends by ends of lines alone
//!   ───────────      ───────────      wall
//!   ───────────      ───────────
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::axis::{Interval, covered, joined};
use crate::plan::codes;
use crate::plan::lines::rails::boxes;
use crate::plan::lines::segments::Lines;
use crate::plan::walls::runs::Run;
use crate::side_by_side::in_stretches;

/// Boards and plaster are so thick, inches. Source: common practice, no source.
const BOARD: (f64, f64) = (0.35, 1.3);
/// They run along so much of a wall, its openings left out, as a share.
const ALONG: f64 = 0.6;
/// Of all wall of a drawing so much has them, as a share: less is trim.
const MOST: f64 = 0.5;

/// The doubt about such lines, at the longest wall along which they run.
///
/// - `runs`: the walls, in axes that begin at the lines' origin.
pub(in crate::plan) fn ask_about_boards(
    runs: &[Run],
    lines: &Lines,
    file: &str,
) -> Option<Finding> {
    let long = |run: &Run| run.u1 - run.u0;
    let total: f64 = runs.iter().map(long).sum();
    let with: Vec<(&Run, f64)> = in_stretches(runs.len(), |part| {
        let plain = runs[part].iter();
        plain
            .filter(|run| run.layers.is_empty() && !run.is_curtain)
            .filter_map(|run| Some((run, board(run, lines)?)))
            .collect()
    });
    let own: f64 = with.iter().map(|it| long(it.0)).sum();
    let (run, off) = with.iter().max_by(|p, q| long(p.0).total_cmp(&long(q.0)))?;
    if own < MOST * total {
        return None;
    }
    let at = run.axis.point(f64::midpoint(run.u0, run.u1), 0.0) + lines.origin;
    Some(Finding::doubt(
        codes::WHICH_LAYER,
        Where::file(file).with_at(at.x, at.y),
        format!(
            "a line runs {off:.2} in off a face of most walls, all along them, and no line across an opening says whether it is a layer: left out, and the wall here taken as {:.2} in thick",
            run.thickness
        ),
        "nothing, if it is trim; else draw lines across the whole wall at both ends of its openings",
    ))
}

/// How far off the nearest such line of a wall lies.
fn board(run: &Run, lines: &Lines) -> Option<f64> {
    let half = run.thickness / 2.0;
    let ends = [run.u0, run.u1].map(|u| run.axis.point(u, 0.0));
    let mut sides: [Vec<(f64, Interval)>; 2] = [Vec::new(), Vec::new()];
    for area in boxes(ends, half + BOARD.1 + 0.1) {
        lines.index.visit(&area, |j| {
            let it = &lines.segments[j];
            let (p, q) = (run.axis.d(it.a), run.axis.d(it.b));
            let off = f64::midpoint(p, q);
            let is_off = (BOARD.0..=BOARD.1).contains(&(off.abs() - half));
            let (a, b) = (run.axis.s(it.a), run.axis.s(it.b));
            let part = (a.min(b), a.max(b));
            let is_beside = part.0 <= run.u1 && part.1 >= run.u0;
            if it.face > 0.0 && (p - q).abs() < 0.1 && is_off && is_beside {
                sides[usize::from(off < 0.0)].push((off.abs() - half, part));
            }
        });
    }
    let open: f64 = run.cells.iter().map(|it| it.u1 - it.u0).sum();
    let solid = run.u1 - run.u0 - open;
    let is_along = |side: &&Vec<(f64, Interval)>| {
        let cover = joined(side.iter().map(|it| it.1).collect(), 0.0);
        let over: f64 = run
            .cells
            .iter()
            .map(|it| covered(&cover, it.u0, it.u1))
            .sum();
        solid > 0.0 && covered(&cover, run.u0, run.u1) - over >= ALONG * solid
    };
    let own = sides.iter().filter(is_along).flatten();
    own.map(|it| it.0).min_by(f64::total_cmp)
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{recovered, sides};

    #[test]
    fn boards_off_both_faces_are_asked_about_where_no_jamb_says_what_they_are() {
        // Four lines to the wall, none across: the two gaps in front and behind hold two panes and the lines of both faces.
        let house = |off: f64| {
            let mut lines = Vec::new();
            let mut offs = vec![0.0, 6.5];
            if off > 0.0 {
                offs.extend([off, 6.5 - off]);
            }
            for d in offs {
                let box_of = sides(d, d, 480.0 - d, 336.0 - d);
                for it in box_of {
                    if (it[1] - it[3]).abs() < 1e-9 {
                        let (from, to) = (it[0].min(it[2]), it[0].max(it[2]));
                        let ends = [from, 60.0, 108.0, 300.0, 360.0, to];
                        lines.extend(ends.chunks(2).map(|e| [e[0], it[1], e[1], it[1]]));
                    } else {
                        lines.push(it);
                    }
                }
            }
            for (from, to) in [(60.0, 108.0), (300.0, 360.0)] {
                for d in [0.0, 2.75, 3.75, 6.5] {
                    lines.extend([d, 336.0 - d].map(|y| [from, y, to, y]));
                }
            }
            lines
        };
        let asked = |off: f64| {
            let found = recovered(&house(off));
            assert_eq!(found.output.storeys[0].openings.len(), 4, "{off}");
            let mut all = found.findings.iter();
            all.any(|it| it.code == codes::WHICH_LAYER)
        };
        assert!(asked(0.5) && asked(0.625));
        assert!(!asked(0.0));
    }
}
