//! Lines that look like faces of walls and are none: boxes that stand free, rows of equal lines.
//!
//! ```text
//!   ┌────┐         │ │ │ │ │
//!   │    │ bed     │ │ │ │ │ treads, tiles        labelled as no faces; nothing is taken away
//!   └────┘
//! ```

use crate::plan::axis::{Axis, covered, joined};
use crate::plan::groups::Groups;
use crate::plan::lines::rails::{around, boxes};
use crate::plan::lines::segments::{NearEnd, Segment, off};
use crate::plan::nearby::{Area, Nearby};
use crate::plan::pieces::bands::{THICKEST, THINNEST};
use crate::plan::pieces::solids::THICK;
use crate::side_by_side::{both, in_stretches};
use geo::Coord;

/// Free boxes at most this long are furniture, inches: a bed, a table, a flight of stairs. Longer ones may be rooms.
const LARGEST: f64 = 150.0;
/// Thinner boxes are pieces of wall, inches.
const SMALLEST: f64 = 14.0;
/// Share of a side that its lines must cover.
const CLOSED: f64 = 0.95;
/// In line with a piece of wall another follows within this, inches.
const FOLLOWS: f64 = 250.0;
/// Lines of a row lie at most this far apart, inches, and are at least this long.
const ROW: (f64, f64) = (THICKEST, 10.0);
/// So many lines that have equal neighbours make a row.
const ROW_MIDDLES: usize = 3;
/// Both edges of a joist or a rafter lie at most this far apart, inches, and one joist this far from the next: less than walls
/// stand apart. Source: common practice, no source.
const TWIN: f64 = 4.0;
const TWINS_APART: f64 = 25.0;
/// Shorter lines are no row, inches; those shorter than a row's stand near each other for their length, and are more.
const SHORT: f64 = 3.0;
const DENSE: f64 = 0.75;
const SHORT_MIDDLES: usize = 8;
const ASKEW: f64 = 0.25;

/// Marks lines of furniture, stairs and tiles as no faces.
pub(super) fn quieten(segments: &mut [Segment], tree: &Nearby, ends: &[NearEnd], slack: f64) {
    let (mut quiet, parts) = both(
        || rows(segments, tree, slack),
        || components(segments, ends, slack),
    );
    let all: &[Segment] = segments;
    quiet.extend(in_stretches(parts.len(), |part| {
        let boxes = part.filter_map(|i| Some((i, free_box(all, tree, &parts[i], slack)?)));
        boxes
            .flat_map(|(i, it)| within(all, tree, &parts[i], &it, slack))
            .collect()
    }));
    for i in quiet {
        segments[i].face = 0.0;
    }
}

/// Segments that hang together by their ends, where there are four or more.
fn components(segments: &[Segment], ends: &[NearEnd], slack: f64) -> Vec<Vec<usize>> {
    let reach = slack + 0.05;
    let mut groups = Groups::new(segments.len());
    for it in ends {
        let (own, other) = (it.own(), it.other());
        let is_new = groups.least(own) != groups.least(other);
        if is_new && off(&segments[other], it.end(segments)) <= reach {
            groups.join(own, other);
        }
    }
    let mut members: Vec<Vec<usize>> = vec![Vec::new(); segments.len()];
    for (i, segment) in segments.iter().enumerate() {
        if segment.face > 0.0 {
            members[groups.least(i)].push(i);
        }
    }
    members.retain(|list| list.len() >= 4);
    members
}

/// The corners of a closed box that is no room, no pier and no shaft.
fn free_box(
    segments: &[Segment],
    tree: &Nearby,
    members: &[usize],
    slack: f64,
) -> Option<[Coord<f64>; 4]> {
    let longest = members
        .iter()
        .copied()
        .max_by(|p, q| segments[*p].length().total_cmp(&segments[*q].length()))?;
    if segments[longest].length() > LARGEST {
        return None;
    }
    let frame = Axis::through(segments[longest].a, segments[longest].b)?;
    let (mut s, mut d) = (
        (f64::INFINITY, f64::NEG_INFINITY),
        (f64::INFINITY, f64::NEG_INFINITY),
    );
    for p in members
        .iter()
        .flat_map(|i| [segments[*i].a, segments[*i].b])
    {
        let (along, aside) = (frame.s(p), frame.d(p));
        s = (s.0.min(along), s.1.max(along));
        d = (d.0.min(aside), d.1.max(aside));
    }
    let (long, wide) = ((s.1 - s.0).max(d.1 - d.0), (s.1 - s.0).min(d.1 - d.0));
    if long > LARGEST || wide < SMALLEST {
        return None;
    }
    let corners = [(s.0, d.0), (s.1, d.0), (s.1, d.1), (s.0, d.1)].map(|(s, d)| frame.point(s, d));
    let reach = 2.0 * slack + 0.1;
    let sides: Vec<Axis> = (0..4)
        .filter_map(|i| Axis::through(corners[i], corners[(i + 1) % 4]))
        .collect();
    let is_closed =
        sides
            .iter()
            .zip([s.1 - s.0, d.1 - d.0].iter().cycle())
            .all(|(side, length)| {
                let own = members
                    .iter()
                    .filter_map(|i| on_line(&segments[*i], side, reach));
                covered(&joined(own.collect(), 0.3), 0.0, *length) >= CLOSED * length
            });
    if !is_closed || sides.len() < 4 {
        return None;
    }
    let is_member = |i: usize| members.binary_search(&i).is_ok();
    let faced = sides
        .iter()
        .zip([s.1 - s.0, d.1 - d.0].iter().cycle())
        .filter(|(side, length)| {
            is_faced(
                segments,
                tree,
                side,
                (**length, (THINNEST, SMALLEST)),
                &is_member,
            )
        })
        .count();
    // Walls all round make a closet or a shaft of it.
    if faced >= 3 {
        return None;
    }
    let is_pier = wide <= THICKEST
        && (0..2).any(|i| {
            let length = if i == 0 { s.1 - s.0 } else { d.1 - d.0 };
            [&sides[i], &sides[i + 2]]
                .iter()
                .all(|side| goes_on(segments, tree, side, length, reach, &is_member))
        });
    (!is_pier).then_some(corners)
}

/// A segment on a line: its interval there.
fn on_line(segment: &Segment, line: &Axis, reach: f64) -> Option<(f64, f64)> {
    if line.d(segment.a).abs() > reach || line.d(segment.b).abs() > reach {
        return None;
    }
    let (p, q) = (line.s(segment.a), line.s(segment.b));
    Some((p.min(q), p.max(q)))
}

/// True when a line faces the side of a box from outside, so far away. The outside is on the right.
fn is_faced(
    segments: &[Segment],
    tree: &Nearby,
    side: &Axis,
    (length, (near, far)): (f64, (f64, f64)),
    is_member: &dyn Fn(usize) -> bool,
) -> bool {
    let ends = [(0.0, 0.0), (length, 0.0), (length, -far), (0.0, -far)];
    let Some(area) = around(&ends.map(|(s, d)| side.point(s, d)), 0.0) else {
        return false;
    };
    let mut cover = Vec::new();
    tree.visit(&area, |i| {
        let segment = &segments[i];
        let (p, q) = (-side.d(segment.a), -side.d(segment.b));
        if segment.face > 0.0
            && (near..=far).contains(&p)
            && (p - q).abs() < 0.02 * segment.length() + 0.1
            && !is_member(i)
        {
            let (a, b) = (side.s(segment.a), side.s(segment.b));
            cover.push((a.min(b), a.max(b)));
        }
    });
    covered(&joined(cover, 0.0), 0.0, length) >= 0.5 * length
}

/// True when another line goes on in line with a side, beyond it.
fn goes_on(
    segments: &[Segment],
    tree: &Nearby,
    side: &Axis,
    length: f64,
    reach: f64,
    is_member: &dyn Fn(usize) -> bool,
) -> bool {
    let ends = [side.point(-FOLLOWS, 0.0), side.point(length + FOLLOWS, 0.0)];
    let follows = |i: usize| {
        segments[i].face > 0.0
            && !is_member(i)
            && on_line(&segments[i], side, reach)
                .is_some_and(|(a, b)| b - a > THINNEST && (b < 0.0 || a > length))
    };
    boxes(ends, reach).any(|area| tree.any(&area, follows))
}

/// Faces that a box is made of, and those that lie inside it: a wall's face that it stands against is none of them.
fn within(
    segments: &[Segment],
    tree: &Nearby,
    members: &[usize],
    corners: &[Coord<f64>; 4],
    slack: f64,
) -> Vec<usize> {
    let Some(area) = around(corners, 0.5) else {
        return Vec::new();
    };
    let sides: Vec<Axis> = (0..4)
        .filter_map(|i| Axis::through(corners[i], corners[(i + 1) % 4]))
        .collect();
    let mut found = Vec::new();
    tree.visit(&area, |i| {
        let it = &segments[i];
        let edge = if members.binary_search(&i).is_ok() {
            -0.5
        } else {
            slack
        };
        let is_in = |p: Coord<f64>| sides.iter().all(|side| side.d(p) > edge);
        if it.face > 0.0
            && is_in((it.a + it.b) / 2.0)
            && [it.a, it.b]
                .iter()
                .all(|p| sides.iter().all(|side| side.d(*p) > -0.5))
        {
            found.push(i);
        }
    });
    found
}

/// Lines of rows: at least five alike, side by side, equally far apart.
fn rows(segments: &[Segment], tree: &Nearby, slack: f64) -> Vec<usize> {
    let mut groups = Groups::new(segments.len());
    let mut middles: Vec<Option<f64>> = vec![None; segments.len()];
    let mut inward: Vec<Option<(usize, f64)>> = vec![None; segments.len()];
    let all = in_stretches(segments.len(), |part| {
        let beside = |i| Some((i, alike_beside(segments, tree, i, slack)?));
        part.filter_map(beside).collect()
    });
    for (i, (gap, pair)) in all {
        middles[i] = Some(gap);
        for j in pair {
            inward[j] = Some((i, gap));
            groups.join(i, j);
        }
    }
    join_grids(segments, tree, &middles, &mut groups);
    let mut count = vec![0_usize; segments.len()];
    for i in (0..segments.len()).filter(|i| middles[*i].is_some()) {
        count[groups.least(i)] += 1;
    }
    let rows: Vec<usize> = (0..segments.len()).map(|i| groups.least(i)).collect();
    // The last of a row may be the face of the wall it ends at: then another face lies behind it, and not where the row
    // would go on to the wall's face.
    let is_face = |i: usize| {
        inward[i].is_some_and(|(next, gap)| {
            let side = Axis::through(segments[i].a, segments[i].b);
            let side = side.map(|axis| turned(axis, &segments[i], segments[next].a));
            side.is_some_and(|side| {
                let (own, long) = (|j: usize| rows[j] == rows[i], segments[i].length());
                let faced = |range| is_faced(segments, tree, &side, (long, range), &own);
                let loose = 0.02 * gap + 2.0 * slack + 0.1;
                let goes_on = faced((gap - loose, gap + loose))
                    && !faced((THINNEST, gap - loose))
                    && faced((gap + loose + THINNEST, gap + SMALLEST));
                faced((THINNEST, THICK)) && !goes_on
            })
        })
    };
    in_stretches(segments.len(), |part| {
        let is_quiet = |&i: &usize| middles[i].is_some() || !is_face(i);
        let own = part.filter(|&i| {
            let is_short = segments[i].length() < ROW.1;
            count[rows[i]] >= if is_short { SHORT_MIDDLES } else { ROW_MIDDLES }
        });
        own.filter(is_quiet).collect()
    })
}

/// The nearest lines as long as a line, right and left of it, where they are equally far off, and how far.
fn alike_beside(
    segments: &[Segment],
    tree: &Nearby,
    i: usize,
    slack: f64,
) -> Option<(f64, [usize; 2])> {
    let segment = &segments[i];
    let long = segment.length();
    if segment.face <= 0.0 || long < SHORT {
        return None;
    }
    let axis = Axis::through(segment.a, segment.b)?;
    let area = beside(&axis, long)?;
    // Short ones may lie askew, as those of an insulation's sign do.
    let askew = if long < ROW.1 { ASKEW * long } else { 0.0 };
    let loose = 0.02 * long + 2.0 * slack + 0.1;
    // The two nearest on each side.
    let mut beside: [[Option<(f64, usize)>; 2]; 2] = [[None; 2]; 2];
    tree.visit(&area, |j| {
        let own = &segments[j];
        let (a, b) = (axis.s(own.a), axis.s(own.b));
        let off = [a.min(b), a.max(b) - long];
        let is_alike = (off[0] - off[1]).abs() < loose && off[0].abs() < loose + askew;
        if !is_alike || off[1].abs() >= loose + askew || own.face <= 0.0 {
            return;
        }
        let (p, q) = (axis.d(own.a), axis.d(own.b));
        if j == i || (p - q).abs() > loose.min(0.5) || !(0.4..=ROW.0).contains(&p.abs()) {
            return;
        }
        let [first, second] = &mut beside[usize::from(p > 0.0)];
        let new = (p.abs(), j);
        if first.is_none_or(|known| new < known) {
            (*first, *second) = (Some(new), *first);
        } else if second.is_none_or(|known| new < known) {
            *second = Some(new);
        }
    });
    let [[Some((g, j)), behind_g], [Some((h, k)), behind_h]] = beside else {
        return None;
    };
    if long < ROW.1 && g > DENSE * long {
        return None;
    }
    let is_equal = |g: f64, h: f64| (g - h).abs() <= 0.02 * g + 2.0 * slack + 0.02;
    if is_equal(g, h) {
        return Some((g, [j, k]));
    }
    // Joists and rafters are drawn by two lines each: the next but one is as far off on either side.
    let ((p, j), (q, k)) = (behind_g?, behind_h?);
    let is_pair = long >= ROW.1 && g.min(h) <= TWIN && g + h <= TWINS_APART;
    (is_pair && is_equal(p, q) && is_equal(p, g + h)).then_some((p, [j, k]))
}

/// Rows that cross with equal gaps are one grid of tiles: faces of walls do not cross.
fn join_grids(segments: &[Segment], tree: &Nearby, middles: &[Option<f64>], groups: &mut Groups) {
    for (i, gap) in middles.iter().enumerate() {
        let (Some(gap), segment) = (gap, &segments[i]) else {
            continue;
        };
        let (Some(axis), Some(area)) = (
            Axis::through(segment.a, segment.b),
            around(&[segment.a, segment.b], 0.0),
        ) else {
            continue;
        };
        tree.visit(&area, |j| {
            let Some(other) = middles[j].filter(|other| (gap - other).abs() <= 0.02 * gap) else {
                return;
            };
            let (p, q) = (axis.d(segments[j].a), axis.d(segments[j].b));
            let is_through = p * q < 0.0 && p.abs().min(q.abs()) > other / 4.0;
            if j > i && is_through && (p - q).abs() > 0.9 * segments[j].length() {
                groups.join(i, j);
            }
        });
    }
}

/// Where the neighbours of a line in a row lie: all cross the middle of it upright.
fn beside(axis: &Axis, long: f64) -> Option<Area> {
    let ends = [ROW.0, -ROW.0].map(|d| axis.point(long / 2.0, d));
    around(&ends, 0.0)
}

/// The axis of a segment, turned so that a point lies on its left.
fn turned(axis: Axis, segment: &Segment, p: Coord<f64>) -> Axis {
    if axis.d(p) > 0.0 {
        axis
    } else {
        Axis {
            origin: segment.b,
            along: axis.along * -1.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::trial::{recovered, shell, sides};

    fn n_walls(lines: &[[f64; 4]]) -> usize {
        recovered(lines).output.storeys[0].walls.len()
    }

    #[test]
    fn a_bed_beside_a_wall_is_no_wall() {
        let mut lines = shell();
        lines.extend(sides(12.0, 12.0, 72.0, 92.0));
        assert_eq!(n_walls(&lines), 4);
    }

    #[test]
    fn a_wall_that_a_bed_stands_against_keeps_its_face() {
        let mut lines = shell();
        lines.extend([
            [100.0, 6.0, 100.0, 60.0],
            [104.5, 6.0, 104.5, 60.0],
            [100.0, 60.0, 104.5, 60.0],
        ]);
        lines.extend(sides(104.8, 6.3, 184.8, 70.0));
        assert_eq!(n_walls(&lines), 5);
    }

    #[test]
    fn treads_are_no_walls() {
        let mut lines = shell();
        for i in 0..8 {
            let x = 60.0 + 11.0 * f64::from(i);
            lines.push([x, 6.0, x, 42.0]);
        }
        assert_eq!(n_walls(&lines), 4);
    }

    #[test]
    fn joists_drawn_by_two_lines_each_are_no_walls() {
        for apart in [16.0, 24.0] {
            let mut lines = shell();
            for i in 0..8 {
                let x = 60.0 + apart * f64::from(i);
                lines.extend([[x, 6.0, x, 234.0], [x + 1.5, 6.0, x + 1.5, 234.0]]);
            }
            assert_eq!(n_walls(&lines), 4, "{apart}");
        }
    }

    #[test]
    fn tiles_leave_the_wall_they_start_from() {
        let mut lines = shell();
        lines.extend([[150.0, 6.0, 150.0, 234.0], [154.5, 6.0, 154.5, 234.0]]);
        for i in 1..12 {
            let at = 12.0 * f64::from(i);
            lines.push([6.0 + at, 6.0, 6.0 + at, 234.0]);
            lines.push([6.0, 6.0 + at, 150.0, 6.0 + at]);
        }
        assert_eq!(n_walls(&lines), 5);
    }

    #[test]
    fn tiles_leave_a_thick_wall_they_start_from() {
        // Walls 15 in thick: tiles of 12 in begin at the inner faces.
        let mut lines = sides(0.0, 0.0, 360.0, 240.0);
        lines.extend(sides(15.0, 15.0, 345.0, 225.0));
        for i in 1..17 {
            let at = 15.0 + 12.0 * f64::from(i);
            lines.push([at, 15.0, at, 225.0]);
            lines.push([15.0, at, 345.0, at]);
        }
        assert_eq!(n_walls(&lines), 4);
    }

    #[test]
    fn the_sign_of_insulation_is_no_wall() {
        // A zigzag of 3 in between the faces of the lower wall and the upper one.
        let mut lines = shell();
        for y in [0.0, 234.0] {
            for i in 0..110 {
                let x = 12.0 + 3.0 * f64::from(i);
                lines.push([x, y, x + 1.5, y + 6.0]);
                lines.push([x + 1.5, y + 6.0, x + 3.0, y]);
            }
        }
        let storey = &recovered(&lines).output.storeys[0];
        assert!(storey.walls.iter().all(|it| it.thickness == 6.0));
    }

    #[test]
    fn a_closet_with_walls_all_round_keeps_them() {
        let mut lines = shell();
        lines.extend(sides(100.0, 100.0, 172.0, 140.0));
        lines.extend(sides(104.5, 104.5, 167.5, 135.5));
        lines.extend([[172.0, 118.0, 354.0, 118.0], [172.0, 122.5, 354.0, 122.5]]);
        assert!(n_walls(&lines) > 8);
    }
}
