//! Lines across an outside wall that end at both its faces and bound no opening: jambs, maybe.
//!
//! ```text
//!   ────────┬────────┬────────
//!           │   ?    │            both faces run on, nothing says what stands between: asked, none is made
//!   ────────┴────────┴────────
//! ```

use crate::findings::{Finding, Place as Where};
use crate::plan::answers::questions::LEAST_POST;
use crate::plan::assemble::{Part, Traced};
use crate::plan::lines::symbols::{AT_HINGE, Arc};
use crate::plan::nearby::Nearby;
use crate::plan::pieces::bands::{jambs_and_leaves_between, jambs_between};
use crate::plan::walls::openings::Judged;
use crate::plan::walls::runs::Run;
use crate::plan::{OpeningKind, Storey, Wall, codes};
use geo::Coord;
use std::collections::BTreeSet;

/// Doors and windows between two lines are at least and at most this wide, inches: slits of 6 in are made, and studs are thinner.
const WIDE: (f64, f64) = (5.0, 100.0);
/// Glass goes on from a corner to a line by at least this, inches: nearer, the line is the end of a post.
const FROM_CORNER: f64 = 15.0;
/// A mullion is at least this thick, inches: less is a line drawn twice.
const LEAST_MULLION: f64 = 0.75;
/// A line leans when it is off both the wall's direction and the square to it by more than this, as a sine.
const LEANS: f64 = 0.1;
/// A line within this of the end of an opening, or of the side of a wall across, is its own, inches.
const OWN: f64 = 3.0;

/// A doubt for each pair of lines across an outside wall that bounds nothing.
pub(in crate::plan) fn ask_about_lines_across(
    it: &Traced<'_>,
    parts: &[Part],
    storey: &Storey,
    findings: &mut Vec<Finding>,
) {
    // The runs that stop at a node.
    let mut at_node: Vec<Vec<&Run>> = vec![Vec::new(); it.network.nodes.len()];
    for (run, stops) in it.runs.iter().zip(&it.network.stops) {
        for stop in stops {
            at_node[stop.1].push(run);
        }
    }
    let mut alone: Vec<Alone<'_>> = Vec::new();
    for (part, wall) in parts.iter().zip(&storey.walls) {
        let run = &it.runs[part.run];
        if !part.is_exterior || run.is_curtain {
            continue;
        }
        let (low, high) = (part.from.min(part.to), part.from.max(part.to));
        let corner = run.thickness / 2.0 + OWN;
        let ends = (low + corner, high - corner);
        let lines = jambs_between(it.rails, &run.axis, run.thickness, ends, it.lines.slack);
        let openings = &it.by_run[part.run];
        let is_bound = |u: &f64| {
            let mut own = openings.iter().map(|k| &it.openings[*k]);
            own.any(|judged| *u > judged.u0 - OWN && *u < judged.u1 + OWN)
        };
        let stands_at = |u: &f64| {
            it.network.stops[part.run].iter().any(|&(at, node)| {
                // What goes no further than the faces is the wall itself, between two lines as far apart as it is thick.
                let goes_on = |it: &&&Run| it.u1 - it.u0 > run.thickness + OWN;
                let across = at_node[node].iter().filter(goes_on);
                let across = across.filter(|it| !std::ptr::eq(**it, run));
                let half = across.map(|it| it.thickness / 2.0).fold(0.0, f64::max);
                (u - at).abs() < half + OWN
            })
        };
        let left: Vec<f64> = lines
            .into_iter()
            .filter(|u| !is_bound(u) && !stands_at(u))
            .collect();
        let at = |u: f64| run.axis.point(u, 0.0) + it.lines.origin;
        let pairs = paired(&left);
        let has_fellow = |u: f64| pairs.iter().any(|it| [it.0, it.1].contains(&u));
        for (line, end) in [(left.first(), low), (left.last(), high)] {
            let line = line.filter(|u| !has_fellow(**u));
            let near = line.filter(|u| (FROM_CORNER..=WIDE.1).contains(&(*u - end).abs()));
            alone.extend(near.map(|u| Alone {
                wall,
                corner: at(end),
                middle: at(f64::midpoint(*u, end)),
                far: (u - end).abs(),
            }));
        }
        for (from, to) in pairs {
            if is_post(it, run, (from, to)) {
                continue;
            }
            let middle = at(f64::midpoint(from, to));
            findings.push(Finding::doubt(
                codes::ACROSS,
                Where::element(&storey.id, &wall.id).with_at(middle.x, middle.y),
                format!(
                    "two lines cross {} as the jambs of an opening do, {:.1} in apart, and nothing else says that one is there: none is made",
                    wall.id,
                    to - from
                ),
                "if it is a door or a window, draw it or say in the job where it is and how wide; else say there is = \"wall\" at this point",
            ));
        }
    }
    ask_about_corners(storey, &alone, findings);
}

/// Which of the lines across a wall, by rising place, belong together as the two jambs of one opening: so that the fewest are left
/// alone, and of ways that leave as many, the narrowest openings.
fn paired(lines: &[f64]) -> Vec<(f64, f64)> {
    // For the first lines: how many are left alone, how wide the pairs are together, and whether the last two are one.
    let mut best: Vec<(usize, f64, bool)> = vec![(0, 0.0, false)];
    for i in 0..lines.len() {
        let alone = (best[i].0 + 1, best[i].1, false);
        let wide = i.checked_sub(1).map(|k| lines[i] - lines[k]);
        let pair = wide.filter(|it| (WIDE.0..=WIDE.1).contains(it));
        let pair = pair.map(|wide| (best[i - 1].0, best[i - 1].1 + wide, true));
        best.push(match pair {
            Some(it) if (it.0, it.1) < (alone.0, alone.1) => it,
            _ => alone,
        });
    }
    let mut pairs = Vec::new();
    let mut n = lines.len();
    while n > 0 {
        if best[n].2 {
            pairs.push((lines[n - 2], lines[n - 1]));
            n -= 2;
        } else {
            n -= 1;
        }
    }
    pairs.reverse();
    pairs
}

/// A mullion stands this far from the ends of its opening at least, inches: no sash is narrower.
const SASH: f64 = 10.0;

/// A doubt at each part of an outside opening that two lines across part, nearer each other than any post of the wall is thick, or one
/// line, where a door hangs in it: one opening with a mullion, or two.
pub(in crate::plan) fn ask_about_mullions(
    it: &Traced<'_>,
    storey: &Storey,
    asked: &[usize],
    findings: &mut Vec<Finding>,
) {
    let outside = storey.walls.iter().filter(|wall| wall.is_exterior);
    let outside: BTreeSet<&str> = outside.map(|wall| wall.id.as_str()).collect();
    for (k, opening) in asked.iter().zip(&storey.openings) {
        if !outside.contains(opening.wall.as_str()) || opening.kind == OpeningKind::GarageDoor {
            continue;
        }
        let judged = &it.openings[*k];
        if judged.evidence.between_lights.is_some() {
            continue;
        }
        let run = &it.runs[judged.run];
        let ends = (judged.u0 + SASH, judged.u1 - SASH);
        let (axis, thick, slack) = (&run.axis, run.thickness, it.lines.slack);
        let lines = jambs_between(it.rails, axis, thick, ends, slack);
        let pairs = lines.windows(2).map(|pair| (pair[0], pair[1]));
        let is_mullion = |it: &(f64, f64)| (LEAST_MULLION..LEAST_POST).contains(&(it.1 - it.0));
        let mut posts: Vec<(f64, f64)> = pairs.filter(is_mullion).collect();
        // A door hangs on a jamb: one line beside it parts it from a window, whatever goes on from that line.
        if posts.is_empty() && hangs_beside(it, judged) {
            let lines = jambs_and_leaves_between(it.rails, axis, thick, ends, slack);
            posts = lines.into_iter().map(|u| (u, u)).collect();
        }
        let starts = std::iter::once(judged.u0).chain(posts.iter().map(|it| it.1));
        let stops = posts.iter().map(|it| it.0).chain([judged.u1]);
        for (from, to) in starts.zip(stops).filter(|_| !posts.is_empty()) {
            let at = run.axis.point(f64::midpoint(from, to), 0.0) + it.lines.origin;
            findings.push(Finding::doubt(
                codes::PIER,
                Where::element(&storey.id, &opening.id).with_at(at.x, at.y),
                format!(
                    "lines cross {} in {} and leave no room for a post: one opening with a mullion looks so, and two side by side",
                    opening.id, opening.wall
                ),
                "if each has its own rough opening, draw the post between them or say in the job how wide each is; taken as one",
            ));
        }
    }
}

/// True when a swing hangs in an opening, or on a line across it.
fn hangs_beside(it: &Traced<'_>, judged: &Judged) -> bool {
    let run = &it.runs[judged.run];
    let reach = run.thickness / 2.0 + AT_HINGE;
    let hangs = |arc: &Arc| {
        let (s, d) = (run.axis.s(arc.centre), run.axis.d(arc.centre));
        d.abs() <= reach && s > judged.u0 - AT_HINGE && s < judged.u1 + AT_HINGE
    };
    !judged.evidence.swings.is_empty() || it.place.arcs.iter().any(hangs)
}

/// True when a line leans between two lines across a wall, from face to face: the sign of a post or of insulation, and no opening.
fn is_post(it: &Traced<'_>, run: &Run, (from, to): (f64, f64)) -> bool {
    let middle = run.axis.point(f64::midpoint(from, to), 0.0);
    let near = it.place.segments_near(middle, (to - from) / 2.0);
    let half = run.thickness / 2.0 + it.lines.slack + 0.1;
    near.into_iter().any(|i| {
        let line = &it.lines.segments[i];
        let [p, q] = [line.a, line.b].map(|p| (run.axis.s(p), run.axis.d(p)));
        let is_inside = |(s, d): (f64, f64)| s > from - 0.1 && s < to + 0.1 && d.abs() <= half;
        let (along, across) = ((p.0 - q.0).abs(), (p.1 - q.1).abs());
        let long = along.hypot(across);
        is_inside(p)
            && is_inside(q)
            && across > 0.8 * run.thickness
            && along.min(across) > LEANS * long
    })
}

/// A line across an outside wall that has no fellow, near a corner.
struct Alone<'a> {
    wall: &'a Wall,
    corner: Coord<f64>,
    middle: Coord<f64>,
    far: f64,
}

/// Doubts where such lines stand on both sides of one corner: glass on both faces round it is drawn so.
fn ask_about_corners(storey: &Storey, alone: &[Alone<'_>], findings: &mut Vec<Finding>) {
    let index = Nearby::points(alone.iter().map(|it| it.corner));
    for own in alone {
        let is_fellow = |k: usize| alone[k].wall.id != own.wall.id;
        if !index.any_within(own.corner, own.wall.thickness, is_fellow) {
            continue;
        }
        findings.push(Finding::doubt(
            codes::ACROSS,
            Where::element(&storey.id, &own.wall.id).with_at(own.middle.x, own.middle.y),
            format!(
                "a line crosses {} as a jamb does, {:.1} in from the corner, and another the wall round it: glass round a corner looks so, and nothing else says that it is there: none is made",
                own.wall.id, own.far
            ),
            "if it is a window, draw its glass or say in the job where it is and how wide; else say there is = \"wall\" at this point",
        ));
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::codes;
    use crate::plan::trial::{Swing, open_shell, recovered, recovered_with};

    fn asked(extra: &[[f64; 4]]) -> Vec<[f64; 2]> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend(extra);
        let found = recovered(&lines).findings;
        let own = found.iter().filter(|f| f.code == codes::ACROSS);
        own.filter_map(|f| f.place.at).collect()
    }

    #[test]
    fn two_lines_across_an_outside_wall_are_asked_about_and_one_is_not() {
        let across = |x: f64| [x, 0.0, x, 6.0];
        assert_eq!(asked(&[across(200.0), across(236.0)]), [[218.0, 3.0]]);
        assert!(asked(&[across(200.0)]).is_empty());
        assert_eq!(asked(&[across(200.0), across(212.0)]), [[206.0, 3.0]]);
        assert_eq!(asked(&[across(200.0), across(207.0)]), [[203.5, 3.0]]);
        // As far apart as the wall is thick.
        assert_eq!(asked(&[across(200.0), across(206.0)]), [[203.0, 3.0]]);
        assert!(asked(&[across(200.0), across(203.5)]).is_empty());
    }

    #[test]
    fn each_of_two_windows_is_asked_about_once_and_the_pier_between_is_not() {
        let across = |x: f64| [x, 0.0, x, 6.0];
        let pairs = [160.0, 196.0, 230.0, 278.0].map(across);
        assert_eq!(asked(&pairs), [[178.0, 3.0], [254.0, 3.0]]);
        // Near the corner, with a window in the wall round it: two windows, and no glass round the corner.
        let round = [[354.0, 40.0, 360.0, 40.0], [354.0, 88.0, 360.0, 88.0]];
        let all = [&pairs[..], &round].concat();
        assert_eq!(asked(&all).len(), 3);
    }

    #[test]
    fn a_post_in_the_wall_is_no_pair_of_jambs() {
        let across = |x: f64| [x, 0.0, x, 6.0];
        let cross = [[200.0, 0.0, 212.0, 6.0], [200.0, 6.0, 212.0, 0.0]];
        let post = [vec![across(200.0), across(212.0)], cross.to_vec()].concat();
        assert!(asked(&post).is_empty());
    }

    #[test]
    fn a_mullion_between_two_sashes_is_asked_about_at_both() {
        let asked = |thick: f64| {
            let mut lines = open_shell(100.0, 160.0 + thick);
            for x in [130.0, 130.0 + thick] {
                lines.push([x, 0.0, x, 6.0]);
            }
            for (from, to) in [(100.0, 130.0), (130.0 + thick, 160.0 + thick)] {
                lines.push([from, 3.0, to, 3.0]);
            }
            lines.extend([0.0, 6.0].map(|y| [130.0, y, 130.0 + thick, y]));
            let found = recovered(&lines).findings;
            let own = found.iter().filter(|f| f.code == codes::PIER);
            own.filter_map(|f| f.place.at).collect::<Vec<[f64; 2]>>()
        };
        assert_eq!(asked(1.5), [[115.0, 3.0], [146.5, 3.0]]);
        assert!(asked(6.0).is_empty());
    }

    #[test]
    fn a_line_between_a_door_and_a_window_is_asked_about() {
        let asked = |swing: bool| {
            let mut lines = open_shell(100.0, 172.0);
            lines.extend([[136.0, 0.0, 136.0, 6.0], [136.0, 3.0, 172.0, 3.0]]);
            lines.extend((!swing).then_some([100.0, 3.0, 136.0, 3.0]));
            let door = Swing {
                centre: [100.0, 6.0],
                radius: 36.0,
                start: 0.0,
            };
            let swings = if swing { vec![door] } else { Vec::new() };
            let found = recovered_with(&lines, &swings).findings;
            let own = found.iter().filter(|f| f.code == codes::PIER);
            own.filter_map(|f| f.place.at).collect::<Vec<[f64; 2]>>()
        };
        let places = asked(true);
        assert!(places.contains(&[118.0, 3.0]) && places.contains(&[154.0, 3.0]));
        assert!(asked(false).is_empty());
    }

    #[test]
    fn lines_across_on_both_sides_of_a_corner_are_asked_about() {
        let low = [300.0, 0.0, 300.0, 6.0];
        let right = [354.0, 60.0, 360.0, 60.0];
        assert_eq!(asked(&[low, right]).len(), 2);
        assert!(asked(&[low]).is_empty());
    }

    #[test]
    fn walls_that_butt_are_no_lines_across() {
        let wall = [
            [200.0, 6.0, 200.0, 234.0],
            [204.5, 6.0, 204.5, 234.0],
            [240.0, 6.0, 240.0, 234.0],
            [244.5, 6.0, 244.5, 234.0],
        ];
        assert!(asked(&wall).is_empty());
    }
}
