//! Fire boxes let into an outside wall: their masonry stands outside, and the wall goes on behind it.
//!
//! ```text
//!        ┏━━━━━━━━━━┓  back             the sides are thicker than the wall, nothing opens in them, and the wall goes on
//!        ┃ ┌──────┐ ┃                   in one line on either side: it is one wall, and the box is left out and asked about
//!   ═════┛ │      │ ┗═════
//!   ───────┘      └───────  inside
//! ```
//!
//! Sides no thicker than the wall may be those of a bay without a window: it stays a part of the room, and is asked about where no
//! name is written in it.

use crate::drawing::Drawing;
use crate::findings::{Finding, Place as Where};
use crate::plan::CorrectionIntent;
use crate::plan::answers::obey::Located;
use crate::plan::axis::distance;
use crate::plan::codes;
use crate::plan::enclosure::decks::answer;
use crate::plan::inside::rooms::is_name;
use crate::plan::lines::rails::around;
use crate::plan::nearby::{Area, Nearby};
use crate::plan::walls::runs::Run;
use geo::Coord;

/// A box is at most this wide and deep, inches. Source: fires of 3 to 6 ft with their sides; common practice, no source.
const WIDE: f64 = 108.0;
const DEEP: f64 = 48.0;
/// Its sides are thicker than the wall by this at least, inches: a bay's are not.
const THICKER: f64 = 1.0;
/// Words in names of what stands in it, in nine languages. Source: common practice, no source.
const FIRES: [&str; 11] = [
    "FIRE",
    "CHIMNEY",
    "HEARTH",
    "KAMIN",
    "CHEMIN",
    "CAMINO",
    "CHIMENEA",
    "LAREIRA",
    "TAKKA",
    "КАМИН",
    "壁炉",
];
/// Ends meet within this, inches, beyond half of what they meet.
const REACH: f64 = 2.0;
/// The wall on either side is one within this, inches.
const ONE: f64 = 0.25;
/// Beyond this sine two walls stand across one another; within the other they lie in line.
const ACROSS: f64 = 0.98;
const ALONG: f64 = 0.01;

/// The walls of one box, by number: its back, its sides, and the wall on either side of it.
struct FireBox {
    /// True when its sides are thicker than the wall.
    is_thick: bool,
    back: usize,
    sides: [usize; 2],
    walls: [usize; 2],
}

/// Joins the walls that fire boxes part, and takes the boxes out; a doubt at each that the job says nothing about.
///
/// - `drawing`: the one being recovered; `origin`: where the runs' axes begin, drawing coordinates.
pub(in crate::plan) fn go_on_behind_fires(
    runs: &mut Vec<Run>,
    located: &[Located<'_>],
    (drawing, origin): (&Drawing, Coord<f64>),
) -> Vec<Finding> {
    let file = drawing.file.as_str();
    let mut findings = Vec::new();
    let mut gone = vec![false; runs.len()];
    for it in boxes(runs) {
        let all = [it.sides[0], it.sides[1], it.walls[0], it.walls[1], it.back];
        if all.iter().any(|i| gone[*i]) {
            continue;
        }
        let own: Vec<Coord<f64>> = (it.sides.iter().chain([&it.back]))
            .flat_map(|&i| runs[i].corners())
            .collect();
        let Some(area) = around(&own, REACH) else {
            continue;
        };
        let said = located.iter().filter(|own| own.is_drawn_in(file));
        let mut said = said.filter(|own| area.holds(&Area::of(own.at - origin, own.at - origin)));
        let said = said.find_map(|own| match own.correction.intent {
            CorrectionIntent::Interior => Some(true),
            CorrectionIntent::Exterior => Some(false),
            _ => None,
        });
        if said == Some(true) {
            continue;
        }
        let mut names = drawing.texts.iter().filter(|text| {
            let upper = text.content.to_uppercase();
            is_name(&text.content) && !FIRES.iter().any(|word| upper.contains(word))
        });
        let is_held = |p: Coord<f64>| area.holds(&Area::of(p - origin, p - origin));
        if said.is_none() && !it.is_thick && names.any(|text| is_held(text.middle)) {
            continue;
        }
        if said.is_none() {
            let wall = &runs[it.walls[0]].axis;
            let middle = runs[it.back]
                .axis
                .point(f64::midpoint(runs[it.back].u0, runs[it.back].u1), 0.0);
            let within = wall.point(wall.s(middle), wall.d(middle) / 2.0) + origin;
            for p in [wall.point(wall.s(middle), 0.0) + origin, within] {
                findings.push(asked(runs, &it, (p, within), file));
            }
            if !it.is_thick {
                continue;
            }
        }
        let [first, last] = it.walls;
        runs[first] = runs[first].clone().joined(&runs[last]);
        for i in [last, it.back, it.sides[0], it.sides[1]] {
            gone[i] = true;
        }
    }
    let mut gone = gone.into_iter();
    runs.retain(|_| gone.next() != Some(true));
    findings
}

/// What is asked of a box, at a place and with a point in it.
fn asked(
    runs: &[Run],
    it: &FireBox,
    (at, within): (Coord<f64>, Coord<f64>),
    file: &str,
) -> Finding {
    let place = Where::file(file).with_at(at.x, at.y);
    if it.is_thick {
        let [one, other] = it.sides.map(|i| runs[i].thickness);
        return Finding::doubt(
            codes::LEFT_OUTSIDE,
            place,
            format!(
                "a box with sides of {one:.2} and {other:.2} in is let into the outside wall: taken as a fire box, the wall goes on behind it"
            ),
            format!(
                "{}, if it is; \"interior\" if the room goes on into it",
                answer(within, "exterior")
            ),
        );
    }
    Finding::doubt(
        codes::LEFT_OUTSIDE,
        place,
        "three walls without an opening stand before the outside wall, open towards the room: a bay looks so, and a fire box; taken as a part of the room",
        format!(
            "{}, if the wall goes on behind it; \"interior\" if it is a bay; or write its name in it",
            answer(within, "exterior")
        ),
    )
}

fn boxes(runs: &[Run]) -> Vec<FireBox> {
    let bodies = runs.iter().enumerate();
    let tree = Nearby::new(bodies.filter_map(|(i, run)| Some((around(&run.corners(), REACH)?, i))));
    let is_bare = |run: &Run| run.cells.is_empty() && !run.is_curtain && run.curve.is_none();
    let found = (0..runs.len()).filter_map(|back| {
        let own = &runs[back];
        if !is_bare(own) || own.u1 - own.u0 > WIDE {
            return None;
        }
        let near = |run: &Run| Some(tree.sorted(&around(&run.corners(), REACH)?));
        let at_end = |u: f64| {
            let end = own.axis.point(u, 0.0);
            let mut near = near(own)?.into_iter();
            near.find(|&j| {
                let side = &runs[j];
                let ends = [side.u0, side.u1].map(|u| side.axis.point(u, 0.0));
                let is_here = ends
                    .iter()
                    .any(|p| own.axis.d(*p).abs() <= own.thickness / 2.0 + REACH);
                j != back
                    && is_bare(side)
                    && side.u1 - side.u0 <= DEEP
                    && side.axis.sine(&own.axis).abs() > ACROSS
                    && side.axis.d(end).abs() <= side.thickness / 2.0 + REACH
                    && is_here
            })
        };
        let sides = [at_end(own.u0)?, at_end(own.u1)?];
        let wall_of = |side: usize| {
            let side = &runs[side];
            // The end away from the back.
            let ends = [side.u0, side.u1].map(|u| side.axis.point(u, 0.0));
            let far = if own.axis.d(ends[0]).abs() > own.axis.d(ends[1]).abs() {
                ends[0]
            } else {
                ends[1]
            };
            let mut near = near(side)?.into_iter();
            near.find(|&j| {
                let wall = &runs[j];
                let ends = [wall.u0, wall.u1].map(|u| wall.axis.point(u, 0.0));
                let reach = side.thickness / 2.0 + REACH;
                wall.axis.sine(&own.axis).abs() < ALONG
                    && wall.axis.d(far).abs() <= wall.thickness / 2.0 + REACH
                    && ends.iter().any(|p| {
                        side.axis.d(*p).abs() <= reach
                            && distance(*p, far) <= reach + wall.thickness
                    })
            })
        };
        let walls = [wall_of(sides[0])?, wall_of(sides[1])?];
        let [a, b] = walls.map(|i| &runs[i]);
        let is_one = walls[0] != walls[1]
            && sides[0] != sides[1]
            && !walls.contains(&back)
            && (a.thickness - b.thickness).abs() <= ONE
            && a.axis.d(b.axis.point(b.u0, 0.0)).abs() <= ONE
            && a.axis.sine(&b.axis).abs() < ALONG
            && a.curve.is_none()
            && b.curve.is_none();
        let is_thick = [(0, a), (1, b)]
            .iter()
            .all(|(i, wall)| runs[sides[*i]].thickness >= wall.thickness + THICKER);
        is_one.then_some(FireBox {
            is_thick,
            back,
            sides,
            walls,
        })
    });
    found.collect()
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{corrected, open_shell};
    use crate::plan::{CorrectionIntent, codes};

    /// Corners of the outline, and how often is asked, of a house with a box on its right side, the sides of it so thick.
    fn boxed(side: f64, intent: Option<CorrectionIntent>) -> (usize, usize) {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.retain(|l| !(l[0] > 350.0 && l[0] == l[2]));
        let (low, high) = (100.0, 140.0);
        lines.extend([
            [354.0, 6.0, 354.0, low],
            [354.0, high, 354.0, 234.0],
            [354.0, low, 380.0, low],
            [380.0, low, 380.0, high],
            [380.0, high, 354.0, high],
            [360.0, 0.0, 360.0, low - side],
            [360.0, high + side, 360.0, 240.0],
            [360.0, low - side, 384.0, low - side],
            [384.0, low - side, 384.0, high + side],
            [384.0, high + side, 360.0, high + side],
        ]);
        let found = corrected(&lines, &[], ([372.0, 120.0], None), intent);
        let asked = found.findings.iter();
        let asked =
            asked.filter(|it| [codes::LEFT_OUTSIDE, codes::ORPHAN_CORRECTION].contains(&it.code));
        (found.output.storeys[0].outline.len(), asked.count())
    }

    #[test]
    fn the_wall_goes_on_behind_a_fire_box_and_it_is_asked_about_until_the_job_answers() {
        assert_eq!(boxed(10.0, None), (4, 2));
        assert_eq!(boxed(10.0, Some(CorrectionIntent::Exterior)), (4, 0));
        assert_eq!(boxed(10.0, Some(CorrectionIntent::Interior)), (8, 0));
    }

    #[test]
    fn a_bay_with_sides_as_thick_as_the_wall_is_a_part_of_the_house_and_asked_about() {
        assert_eq!(boxed(6.0, None), (8, 2));
        assert_eq!(boxed(6.0, Some(CorrectionIntent::Exterior)), (4, 0));
        assert_eq!(boxed(6.0, Some(CorrectionIntent::Interior)), (8, 0));
    }
}
