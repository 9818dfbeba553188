//! Niches and fire boxes let into a wall from one side: the face behind them goes on, and no opening goes through.
//!
//! ```text
//!   ════════════════════════════   goes on         two lines go into the wall as deep as each other, and one closes them there:
//!              ┌──────┐            left behind     the wall stays, and outside it is asked whether what is left is enough
//!   ═══════════╡      ╞═════════
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::assemble::{Part, Traced};
use crate::plan::axis::Axis;
use crate::plan::walls::openings::{Judged, middle_of};
use crate::plan::{Storey, codes};

/// What is left of the wall behind a niche, and how deep the niche is, inches, at least.
const LEFT: f64 = 1.0;
const DEEP: f64 = 2.0;
/// Lines start at a face and end as deep as each other within this, inches, beyond the drawing's slack.
const LOOSE: f64 = 0.35;
/// Lines named for windows and doors that are longer together than this, inches, say that it is one.
const NAMED: f64 = 6.0;

/// How much of the wall a niche leaves behind it; none for what is no niche.
pub(in crate::plan) fn left_behind(it: &Traced<'_>, judged: &Judged) -> Option<f64> {
    let evidence = &judged.evidence;
    let is_named = evidence.window + evidence.door > NAMED || judged.callout.is_some();
    let is_open = judged.has_jambs || judged.in_corner || evidence.is_hung() || evidence.slides;
    if is_named || is_open || evidence.n_faces != 1 || evidence.n_inner != 1 {
        return None;
    }
    let thickness = it.runs[judged.run].thickness;
    let loose = LOOSE + it.lines.slack;
    [1.0, -1.0].into_iter().find_map(|side| {
        let [first, last] =
            [judged.u0, judged.u1].map(|u| depth(it, judged.run, u, side * thickness / 2.0));
        let (first, last) = (first?, last?);
        let is_one = (first - last).abs() <= 2.0 * loose;
        is_one.then_some(thickness - first.max(last))
    })
}

/// How deep a line goes into the wall from the face at `d`, where it starts there at `u`.
fn depth(it: &Traced<'_>, run: usize, u: f64, d: f64) -> Option<f64> {
    let run = &it.runs[run];
    let loose = LOOSE + it.lines.slack;
    let across = Axis {
        origin: run.axis.point(u, d),
        along: run.axis.left() * -d.signum(),
    };
    let ends = [across.origin, across.point(run.thickness, 0.0)];
    let near = it
        .rails
        .near_line(ends, loose, |way| way.sine_from(&across).abs() < 0.02);
    let pieces = near.into_iter().flat_map(|i| {
        let rail = &it.rails.list[i];
        let is_here = across.d(rail.axis.point(rail.start(), 0.0)).abs() <= loose;
        let pieces = rail.pieces.iter().filter(move |_| is_here);
        pieces.map(|(a, b, _)| {
            let [p, q] = [*a, *b].map(|s| across.s(rail.axis.point(s, 0.0)));
            (p.min(q), p.max(q))
        })
    });
    let deep = pieces
        .filter(|(low, high)| low.abs() <= loose && *high >= DEEP && *high <= run.thickness - LEFT);
    deep.map(|it| it.1).max_by(f64::total_cmp)
}

/// A doubt at each niche of an outside wall.
pub(in crate::plan) fn ask_about_niches(
    it: &Traced<'_>,
    parts: &[Part],
    storey: &Storey,
    findings: &mut Vec<Finding>,
) {
    let outside = parts
        .iter()
        .zip(&storey.walls)
        .filter(|it| it.0.is_exterior);
    for (part, wall) in outside {
        let (low, high) = (part.from.min(part.to), part.from.max(part.to));
        for (_, judged) in crate::plan::assemble::openings_of(it, part.run) {
            let is_here = judged.u0 >= low && judged.u1 <= high;
            let Some(left) = left_behind(it, judged).filter(|_| is_here) else {
                continue;
            };
            let at = middle_of(it.runs, judged) + it.lines.origin;
            findings.push(Finding::doubt(
                codes::BARE_JAMBS,
                Where::element(&storey.id, &wall.id).with_at(at.x, at.y),
                format!(
                    "a niche of {:.1} in is let into {} from one side and leaves {left:.2} in of it: taken as wall",
                    judged.width(),
                    wall.id
                ),
                "say in the job that it is a wall, if what is left is enough; or what opens there",
            ));
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{exterior_openings, recovered, sides};

    #[test]
    fn the_wall_goes_on_behind_a_niche_and_outside_it_is_asked_about() {
        // Walls of 12 in; a niche of 48 by 8 in from inside below, and a window above.
        let mut lines = sides(0.0, 0.0, 400.0, 280.0);
        lines.extend([
            [12.0, 12.0, 12.0, 268.0],
            [388.0, 12.0, 388.0, 268.0],
            [12.0, 12.0, 150.0, 12.0],
            [150.0, 12.0, 150.0, 4.0],
            [150.0, 4.0, 198.0, 4.0],
            [198.0, 4.0, 198.0, 12.0],
            [198.0, 12.0, 388.0, 12.0],
            [12.0, 268.0, 100.0, 268.0],
            [136.0, 268.0, 388.0, 268.0],
        ]);
        lines.retain(|l| !(l[1] == 280.0 && l[3] == 280.0));
        lines.extend([[0.0, 280.0, 100.0, 280.0], [136.0, 280.0, 400.0, 280.0]]);
        lines.extend([100.0, 136.0].map(|x| [x, 268.0, x, 280.0]));
        lines.push([100.0, 274.0, 136.0, 274.0]);
        let found = recovered(&lines);
        assert_eq!(exterior_openings(&found.output), [[118.0, 274.0, 36.0]]);
        let asked = found.findings.iter();
        let asked = asked.filter(|it| codes::ABOUT_OPENINGS.contains(&it.code));
        let places: Vec<[f64; 2]> = asked.filter_map(|it| it.place.at).collect();
        assert_eq!(places, [[174.0, 6.0]]);
    }
}
