//! Double walls drawn as one body: the wall known on both sides of it goes through, what is left stands against it.
//!
//! ```text
//!   ═══════╗       ╔═══════       the faces of the wall in the middle are seen only beyond the body: it goes on in it;
//!          ╠═══════╣              beside it stand walls of which one face is seen
//!   ═══════╝       ╚═══════
//! ```
//!
//! How thick such a wall is nothing shows, for its back is hidden. It is taken flush with the wall it stands against, unless the
//! plan has no wall of that thickness but a little thicker ones: then it is one of these, its back let into that wall.

use crate::findings::{Finding, Place as Where};
use crate::plan::axis::{Axis, Interval, covered, reaching};
use crate::plan::codes;
use crate::plan::lines::rails::Rails;
use crate::plan::nearby::{Area, Found, Nearby};
use crate::plan::pieces::bands::{FURRING, THICKEST, THINNEST};
use crate::plan::pieces::solids::THICK;
use crate::plan::walls::bonds::WIDEST;
use crate::plan::walls::runs::{RARE, Run};
use crate::side_by_side::in_stretches;
use geo::Coord;

/// Two pieces of one wall are as thick within this, inches, beyond the drawing's slack.
const ALIKE: f64 = 0.15;
/// A wall's back is let into the one it stands against by at most this share of what shows.
const LET_IN: f64 = 1.0 / 3.0;
/// The outer faces of a body are drawn over at least this share of it: walls across meet them.
const FACED: f64 = 0.75;

/// Takes double walls apart where the wall that goes through is known on both sides; hands on the walls let into others.
pub(in crate::plan) fn part_double_walls(
    rails: &Rails,
    runs: &mut Vec<Run>,
    slack: f64,
) -> Vec<LetIn> {
    let loose = ALIKE + slack;
    let mut let_in = Vec::new();
    let mut pieces = boxes(runs);
    let found = |runs: &[Run], pieces: &Nearby, index: usize| {
        let next = next_in_line(runs, pieces, index, loose)?;
        Some((next, body(rails, runs, [index, next], loose)?))
    };
    // Most plans have none.
    let all: &[Run] = runs;
    let first = in_stretches(all.len(), |mut part| {
        let first = part.find(|&it| found(all, &pieces, it).is_some());
        first.into_iter().collect()
    });
    let mut index = first.first().copied().unwrap_or(runs.len());
    while index < runs.len() {
        let Some((next, sides)) = found(runs, &pieces, index) else {
            index += 1;
            continue;
        };
        let gap = (runs[index].u1, along(&runs[next], &runs[index].axis)[0]);
        let thick = [sides[0].off, sides[1].off];
        let mut beside = Vec::new();
        for (run, shows) in sides
            .iter()
            .filter_map(|side| against(runs, index, side, loose))
        {
            if run.thickness > shows + loose {
                let_in.push(LetIn {
                    at: run.axis.point(f64::midpoint(run.u0, run.u1), 0.0),
                    shows,
                    thickness: run.thickness,
                });
            }
            beside.push(run);
        }
        runs[index] = runs[index].clone().joined(&runs[next]);
        let host = runs[index].clone();
        let mut place = 0..;
        runs.retain(|run| {
            let i: usize = place.next().unwrap_or_default();
            i != next && (i == index || !is_body(run, &host, gap, thick, loose))
        });
        runs.extend(beside);
        pieces = boxes(runs);
        index = 0;
    }
    let_in
}

/// A doubt, once for a drawing, about the walls whose backs are hidden in others.
///
/// - `origin`: where axes begin, drawing coordinates.
pub(in crate::plan) fn ask_about_backs(
    list: &[LetIn],
    file: &str,
    origin: Coord<f64>,
) -> Option<Finding> {
    let first = list.first()?;
    let at = first.at + origin;
    let mut place = Where::file(file);
    place.at = Some([at.x, at.y]);
    Some(Finding::doubt(
        codes::HIDDEN_BACK,
        place,
        format!(
            "{} of which {:.2} in shows before the wall it stands against: its back is hidden; taken {:.2} in thick, as walls are elsewhere on the plan",
            match list.len() {
                1 => "a wall".to_owned(),
                n => format!("each of {n} walls, the first here,"),
            },
            first.shows,
            first.thickness
        ),
        "nothing, if these are furring or partitions; else draw both faces of each",
    ))
}

/// A wall that is taken thicker than shows, its back let into the wall it stands against.
pub(in crate::plan) struct LetIn {
    at: Coord<f64>,
    shows: f64,
    thickness: f64,
}

/// One side of a body: a face, how far it lies off the axis, and from where to where it is drawn.
struct Side {
    rail: usize,
    /// To the left of the axis where positive.
    off: f64,
    ends: Interval,
}

/// Where the pieces of wall lie: each box grown by as much as its piece may lean.
fn boxes(runs: &[Run]) -> Nearby {
    let own = |(i, run): (usize, &Run)| {
        let ends = [run.u0, run.u1].map(|u| run.axis.point(u, 0.0));
        Some((Area::around(&ends, STRAIGHT * (run.u1 - run.u0))?, i))
    };
    Nearby::new(runs.iter().enumerate().filter_map(own))
}

/// Two pieces of one wall lean from each other by less than this sine.
const STRAIGHT: f64 = 0.01;

/// The next piece of the same wall beyond the end of a run, with nothing but a body between them.
fn next_in_line(runs: &[Run], pieces: &Nearby, index: usize, loose: f64) -> Option<usize> {
    let own = &runs[index];
    if own.is_curtain || own.curve.is_some() || own.thickness >= THICKEST - THINNEST {
        return None;
    }
    let ends = [own.u1, own.u1 + WIDEST].map(|u| own.axis.point(u, 0.0));
    // A piece whose middle is in line may begin off the line by as much as it leans over half its length.
    let near =
        Area::around(&ends, 1.0 + loose).map_or_else(Found::new, |area| pieces.sorted(&area));
    let next = near.into_iter().filter(|&i| i != index).filter_map(|i| {
        let other = &runs[i];
        let gap = along(other, &own.axis)[0] - own.u1;
        let middle = other.axis.point(f64::midpoint(other.u0, other.u1), 0.0);
        let is_one = own.axis.sine(&other.axis).abs() < STRAIGHT
            && own.axis.d(middle).abs() <= loose
            && (own.thickness - other.thickness).abs() <= loose;
        (is_one && (THICK..=WIDEST).contains(&gap)).then_some((gap, i))
    });
    let nearest = next.min_by(|p, q| p.0.total_cmp(&q.0).then(p.1.cmp(&q.1)));
    nearest.map(|it| it.1)
}

/// The outer faces of a body between two pieces of a wall, left and right.
fn body(rails: &Rails, runs: &[Run], [before, after]: [usize; 2], loose: f64) -> Option<[Side; 2]> {
    let own = &runs[before];
    let gap = (own.u1, along(&runs[after], &own.axis)[0]);
    let ends = [gap.0, gap.1].map(|u| own.axis.point(u, 0.0));
    let near = rails.near_line(ends, THICKEST, |it| it.sine_from(&own.axis).abs() < 0.01);
    let side = |sign: f64| {
        let faces = near.iter().filter_map(|&rail| {
            let it = &rails.list[rail];
            let middle = own.axis.point(f64::midpoint(gap.0, gap.1), 0.0);
            let off = own.axis.d(it.axis.point(it.axis.s(middle), 0.0));
            let [p, q] = ends.map(|p| it.axis.s(p));
            let (from, to) = (p.min(q), p.max(q));
            let is_face = off * sign >= own.thickness / 2.0 - loose
                && covered(&it.face_cover, from, to) >= FACED * (to - from);
            let drawn = reaching(&it.face_cover, from, to);
            let (first, last) = (drawn.first()?.0.max(from), drawn.last()?.1.min(to));
            let [a, b] = [first, last].map(|u| own.axis.s(it.axis.point(u, 0.0)));
            is_face.then_some(Side {
                rail,
                off,
                ends: (a.min(b), a.max(b)),
            })
        });
        faces.min_by(|p, q| p.off.abs().total_cmp(&q.off.abs()))
    };
    let sides = [side(1.0)?, side(-1.0)?];
    let thickness = sides[0].off - sides[1].off;
    (THICK..=THICKEST).contains(&thickness).then_some(sides)
}

/// True for a run that is the whole body, or a part of it.
fn is_body(run: &Run, host: &Run, gap: Interval, [left, right]: [f64; 2], loose: f64) -> bool {
    let [p, q] = along(run, &host.axis);
    let d = host
        .axis
        .d(run.axis.point(f64::midpoint(run.u0, run.u1), 0.0));
    host.axis.sine(&run.axis).abs() < 0.01
        && p >= gap.0 - loose
        && q <= gap.1 + loose
        && d + run.thickness / 2.0 <= left + loose
        && d - run.thickness / 2.0 >= right - loose
}

/// Both ends of a run along an axis, rising.
fn along(run: &Run, axis: &Axis) -> [f64; 2] {
    let [p, q] = [run.u0, run.u1].map(|u| axis.s(run.axis.point(u, 0.0)));
    [p.min(q), p.max(q)]
}

/// What stands beside the wall that goes through a body, on one side, and how much of it shows.
fn against(runs: &[Run], through: usize, side: &Side, loose: f64) -> Option<(Run, f64)> {
    let host = &runs[through];
    let shows = side.off.abs() - host.thickness / 2.0;
    if shows < THINNEST {
        return None;
    }
    let kind = kind_of(runs, shows, loose);
    let thickness = kind.map_or(shows, |it| it.thickness);
    let aside = side.off - side.off.signum() * thickness / 2.0;
    let run = Run {
        axis: Axis {
            origin: host.axis.point(0.0, aside),
            ..host.axis
        },
        thickness,
        u0: side.ends.0,
        u1: side.ends.1,
        cells: Vec::new(),
        rails: vec![side.rail],
        layers: Vec::new(),
        support: kind.map_or(host.support, |it| it.support),
        capped: [false, false],
        n_solids: 1,
        longest: side.ends.1 - side.ends.0,
        is_curtain: false,
        curve: None,
        margin: 1.0,
    };
    Some((run, shows))
}

/// The wall of the plan that one of which so much shows is alike: the nearest, as thick or a little thicker.
fn kind_of(runs: &[Run], shows: f64, loose: f64) -> Option<&Run> {
    if shows < FURRING {
        return None;
    }
    let fits = |it: &&Run| {
        it.support >= RARE
            && it.thickness >= shows - loose
            && it.thickness <= shows * (1.0 + LET_IN) + loose
    };
    let off = |it: &Run| (it.thickness - shows).abs();
    runs.iter()
        .filter(fits)
        .min_by(|p, q| off(p).total_cmp(&off(q)))
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{open_shell, recovered};

    /// A party wall of 12 in from wall to wall, furred out by `deep` on both sides between 100 and 160, partitions at both ends
    /// of that.
    fn furred(deep: f64) -> Vec<[f64; 2]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let (low, high) = (174.0, 186.0);
        let (left, right) = (low - deep, high + deep);
        for (x, out, far) in [(low, left, 6.0), (high, right, 354.0)] {
            lines.extend([
                [x, 6.0, x, 70.0],
                [x, 170.0, x, 234.0],
                [out, 75.0, out, 165.0],
                [x, 70.0, far, 70.0],
                [out, 75.0, far, 75.0],
                [out, 165.0, far, 165.0],
                [x, 170.0, far, 170.0],
            ]);
        }
        let storey = &recovered(&lines).output.storeys[0];
        let upright = storey
            .walls
            .iter()
            .filter(|it| !it.is_exterior && (it.end.x - it.start.x).abs() < 1.0);
        let mut found: Vec<[f64; 2]> = upright.map(|it| [it.start.x, it.thickness]).collect();
        found.sort_by(|p, q| p[0].total_cmp(&q[0]));
        found
    }

    #[test]
    fn a_party_wall_goes_through_where_it_is_furred_out() {
        assert_eq!(furred(5.0), [[171.5, 5.0], [180.0, 12.0], [188.5, 5.0]]);
    }

    #[test]
    fn a_wall_of_which_too_little_shows_for_the_plan_is_let_in() {
        assert_eq!(furred(4.5), [[172.0, 5.0], [180.0, 12.0], [188.0, 5.0]]);
    }
}
