//! Collinear lines gathered into rails: what may be one face of a wall.
//!
//! ```text
//!   ─────  ───┬────      one rail: pieces, and what they cover
//! ```
//!
//! Method: two lines belong together when the shorter lies on the line of the longer within the drawing's slack and is
//! near it; a rail is what hangs together so. No global directions are binned: a skew of hundredths of a degree over a
//! long wall is kept as drawn. Refused: merging into one line, which eats jambs and door leaves (`docs/recovery.md`).

use crate::plan::axis::{Axis, Few, Interval, cross, distance, joined_in_order};
use crate::plan::groups::Groups;
use crate::plan::lines::segments::Segment;
use crate::plan::nearby::{Area, Found, Nearby, rank};
use crate::side_by_side::{both, in_stretches, one_each, sort_by_key};
use geo::Coord;

/// Lines along one straight line.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Rail {
    pub axis: Axis,
    /// Its pieces by rising start: interval and segment.
    pub pieces: Few<(f64, f64, usize)>,
    /// For each piece how far to the left of the axis its middle lies: lines of one rail are not all of one thing.
    pub offsets: Few<f64>,
    /// Its pieces that are drawn through, and what they cover.
    pub whole: Few<Interval>,
    pub cover: Few<Interval>,
    /// Covered by lines that may be faces of walls.
    pub face_cover: Few<Interval>,
    /// The pieces that may be faces, each with how well it may: 0 to 1.
    faces: Few<(f64, f64, f64)>,
    /// Length of the longest of its pieces.
    longest: f64,
    /// Where its last piece ends.
    end: f64,
}

/// Rails with an index of where they lie.
pub(in crate::plan) struct Rails {
    pub list: Vec<Rail>,
    /// Of each its way: many are asked for that, and few for more.
    pub ways: Vec<Way>,
    index: Nearby,
}

/// Which way a rail runs, and from where to where.
pub(in crate::plan) struct Way {
    pub axis: Axis,
    start: f64,
    end: f64,
}

impl Way {
    fn of(rail: &Rail) -> Self {
        Self {
            axis: rail.axis,
            start: rail.start(),
            end: rail.end(),
        }
    }

    /// How long it is.
    pub(in crate::plan) fn length(&self) -> f64 {
        self.end - self.start
    }

    /// Both ends as points.
    pub(in crate::plan) fn ends(&self) -> [Coord<f64>; 2] {
        [self.start, self.end].map(|s| self.axis.point(s, 0.0))
    }

    /// Sine of the angle from an axis to it.
    pub(in crate::plan) fn sine_from(&self, axis: &Axis) -> f64 {
        cross(axis.along, self.axis.along)
    }
}

/// Lines of one rail lie at most this far apart along it, inches: less than any door.
const NEAR: f64 = 12.0;
/// Gaps in a line up to this are drafting errors and count as drawn, inches.
const DRAFTING_GAP: f64 = 1.5;
/// Rails are indexed in boxes of at most this in their shorter side, inches, so that slanted ones do not fill the sheet.
const BOX: f64 = 30.0;

/// So many boxes of one line are the most.
const MOST_BOXES: u32 = 4096;
/// A short line lies on a longer one's within at most this many times the drawing's slack.
const MOST_REACH: f64 = 3.0;

impl Rails {
    /// Gathers segments into rails.
    pub(in crate::plan) fn new(segments: &[Segment], index: &Nearby, slack: f64) -> Self {
        let list = gather(segments, index, slack);
        let (index, ways) = both(
            || {
                let all = list.iter().enumerate();
                Nearby::new(
                    all.flat_map(|(i, rail)| boxes(rail.ends(), 0.0).map(move |area| (area, i))),
                )
            },
            || list.iter().map(Way::of).collect(),
        );
        Self { list, ways, index }
    }

    /// Takes parts of rails from what may be faces.
    ///
    /// - `parts`: for each rail some of its face cover.
    pub(in crate::plan) fn without_faces(&mut self, parts: &[Vec<Interval>]) {
        for (rail, parts) in self.list.iter_mut().zip(parts) {
            let is_left = |a: f64, b: f64| !parts.iter().any(|it| it.0 <= a && b <= it.1);
            rail.face_cover.retain(|it| is_left(it.0, it.1));
            rail.faces.retain(|it| is_left(it.0, it.1));
        }
    }

    /// Rails near the box of some points, each once, by rising index.
    pub(in crate::plan) fn near(&self, points: &[Coord<f64>], margin: f64) -> Found {
        let Some(area) = around(points, margin) else {
            return Found::new();
        };
        let mut found = self.index.sorted(&area);
        found.dedup();
        found
    }

    /// Rails near a straight line that run a way that is asked for, each once, by rising index.
    pub(in crate::plan) fn near_line(
        &self,
        ends: [Coord<f64>; 2],
        margin: f64,
        is_it: impl Fn(&Way) -> bool,
    ) -> Found {
        let mut found = Found::new();
        for area in boxes(ends, margin) {
            self.index.visit(&area, |i| {
                if is_it(&self.ways[i]) {
                    found.push(i);
                }
            });
        }
        found.sort_unstable();
        found.dedup();
        found
    }
}

impl Rail {
    /// Start of the first piece.
    pub(in crate::plan) fn start(&self) -> f64 {
        self.pieces.first().map_or(0.0, |piece| piece.0)
    }

    /// End of the last piece.
    pub(in crate::plan) fn end(&self) -> f64 {
        self.end
    }

    /// Both ends as points.
    pub(in crate::plan) fn ends(&self) -> [Coord<f64>; 2] {
        [
            self.axis.point(self.start(), 0.0),
            self.axis.point(self.end(), 0.0),
        ]
    }

    /// Its pieces that reach into a stretch of its axis, and some beside it, by rising start.
    pub(in crate::plan) fn pieces_in(
        &self,
        from: f64,
        to: f64,
    ) -> impl Iterator<Item = &(f64, f64, usize)> {
        let first = self.pieces.partition_point(|it| it.0 < from - self.longest);
        self.pieces[first..].iter().take_while(move |it| it.0 <= to)
    }

    /// The same and some more, each with how far to the left of the axis its middle lies.
    pub(in crate::plan) fn pieces_and_offsets_in(
        &self,
        from: f64,
        to: f64,
    ) -> impl Iterator<Item = (&(f64, f64, usize), &f64)> {
        let low = from - self.longest - 1.0;
        let first = self.pieces.partition_point(|it| it.0 < low);
        let all = self.pieces[first..].iter().zip(&self.offsets[first..]);
        all.take_while(move |(piece, _)| piece.0 <= to)
    }

    /// How well its lines may be faces between two places, by length: 0 to 1.
    pub(in crate::plan) fn face(&self, from: f64, to: f64) -> f64 {
        let (mut total, mut weighed) = (0.0, 0.0);
        let first = self
            .faces
            .partition_point(|it| it.0 < from - self.longest - 1.0);
        for (a, b, face) in self.faces[first..].iter().take_while(|it| it.0 < to) {
            let shared = (b.min(to) - a.max(from)).max(0.0);
            total += shared;
            weighed += shared * face;
        }
        if total > 0.0 { weighed / total } else { 0.0 }
    }

    /// Intervals of this rail measured along another axis.
    pub(in crate::plan) fn along(&self, intervals: &[Interval], axis: &Axis) -> Vec<Interval> {
        let mut list: Vec<Interval> = intervals
            .iter()
            .map(|&(a, b)| {
                let (p, q) = (
                    axis.s(self.axis.point(a, 0.0)),
                    axis.s(self.axis.point(b, 0.0)),
                );
                (p.min(q), p.max(q))
            })
            .collect();
        list.sort_by(|a, b| a.0.total_cmp(&b.0));
        list
    }
}

/// The box of some points, grown by a margin.
pub(in crate::plan) fn around(points: &[Coord<f64>], margin: f64) -> Option<Area> {
    Area::around(points, margin)
}

/// Boxes along a straight line, grown by a margin: many where it is slanted.
pub(in crate::plan) fn boxes(
    [from, to]: [Coord<f64>; 2],
    margin: f64,
) -> impl Iterator<Item = Area> {
    let way = to - from;
    let wide = way.x.abs().min(way.y.abs());
    let mut parts = 1_u32;
    while wide > BOX * f64::from(parts) && parts < MOST_BOXES {
        parts += 1;
    }
    (0..parts).filter_map(move |k| {
        let at = |k: u32| from + way * (f64::from(k) / f64::from(parts));
        around(&[at(k), at(k + 1)], margin)
    })
}

fn gather(segments: &[Segment], index: &Nearby, slack: f64) -> Vec<Rail> {
    let lengths: Vec<f64> = segments.iter().map(Segment::length).collect();
    let on_one_line = in_stretches(segments.len(), |part| {
        let mut pairs = Vec::new();
        for i in part {
            // Each looks along its own line for the shorter ones on it.
            let Some(axis) = Axis::through(segments[i].a, segments[i].b) else {
                continue;
            };
            let along = [axis.point(-NEAR, 0.0), axis.point(lengths[i] + NEAR, 0.0)];
            for area in boxes(along, MOST_REACH * slack) {
                index.visit(&area, |j| {
                    let is_longer = lengths[i].total_cmp(&lengths[j]).then(j.cmp(&i)).is_gt();
                    if is_longer && are_one(&axis, lengths[i], &segments[j], slack) {
                        pairs.push((i, j));
                    }
                });
            }
        }
        pairs
    });
    let mut groups = Groups::new(segments.len());
    for (i, j) in on_one_line {
        groups.join(i, j);
    }
    let mut members: Vec<(usize, usize)> =
        (0..segments.len()).map(|i| (groups.least(i), i)).collect();
    members.sort_unstable();
    let members: Vec<&[(usize, usize)]> = members.chunk_by(|p, q| p.0 == q.0).collect();
    // Where each lies is known before what it is made of: a rail is large, and is made where it stays.
    let mut placed = in_stretches(members.len(), |part| {
        part.filter_map(|k| Some((place(segments, members[k])?, k)))
            .collect()
    });
    sort_by_key(&mut placed, |((place, _), k)| (*place, *k));
    one_each(placed.len(), |i| {
        let ((_, axis), k) = placed[i];
        rail(segments, members[k], axis)
    })
}

/// Where a rail lies among the others, by ranks, and its axis.
fn place(segments: &[Segment], members: &[(usize, usize)]) -> Option<([i64; 4], Axis)> {
    let axis = axis(segments, members)?;
    let ends = || members.iter().map(|it| interval(&axis, &segments[it.1]));
    let first = ends().map(|it| it.0).min_by(f64::total_cmp)?;
    let end = ends().map(|it| it.1).fold(first, f64::max);
    let start = axis.point(first, 0.0);
    Some(([start.x, start.y, axis.along.y, end].map(rank), axis))
}

/// What a segment covers of an axis.
fn interval(axis: &Axis, segment: &Segment) -> Interval {
    let (s, t) = (axis.s(segment.a), axis.s(segment.b));
    (s.min(t), s.max(t))
}

/// True when a shorter line lies on the axis of a longer one, near it.
fn are_one(axis: &Axis, length: f64, short: &Segment, slack: f64) -> bool {
    let off = axis.d(short.a).abs().max(axis.d(short.b).abs());
    if off > MOST_REACH * slack {
        return false;
    }
    let (s0, s1) = (axis.s(short.a), axis.s(short.b));
    let gap = s0.min(s1).max(0.0) - s0.max(s1).min(length);
    // A long line's direction is known to twice the slack over its length; short neighbours cannot lie far beyond it.
    let beyond = (s0.max(s1) - length).max(-s0.min(s1)).max(0.0);
    let reach = slack * (1.0 + (beyond / length.max(1.0)).min(MOST_REACH - 1.0));
    let sine = axis.along.x * (short.b.y - short.a.y) - axis.along.y * (short.b.x - short.a.x);
    gap <= NEAR && off <= reach && sine.abs() <= 0.3 * short.length()
}

/// The axis of members, each after its group: direction and offset by least squares of length, or exactly through the longest.
fn axis(segments: &[Segment], members: &[(usize, usize)]) -> Option<Axis> {
    let members = || members.iter().map(|it| it.1);
    let longest = members().reduce(|p, q| {
        if segments[q].length() > segments[p].length() {
            q
        } else {
            p
        }
    })?;
    fitted(segments, members(), &segments[longest])
}

/// The rail of its members, each after its group, on their axis.
fn rail(segments: &[Segment], members: &[(usize, usize)], axis: Axis) -> Rail {
    let mut pieces: Few<(f64, f64, usize)> = members
        .iter()
        .map(|it| {
            let (from, to) = interval(&axis, &segments[it.1]);
            (from, to, it.1)
        })
        .collect();
    pieces.sort_by(|p, q| {
        p.0.total_cmp(&q.0)
            .then(p.1.total_cmp(&q.1))
            .then(p.2.cmp(&q.2))
    });
    let offset = |it: &Segment| axis.d((it.a + it.b) / 2.0);
    let offsets = pieces.iter().map(|it| offset(&segments[it.2])).collect();
    let longest = pieces.iter().map(|it| it.1 - it.0).fold(0.0, f64::max);
    let first = pieces.first().map_or(0.0, |it| it.0);
    let end = pieces.iter().map(|it| it.1).fold(first, f64::max);
    let whole: Few<Interval> = pieces
        .iter()
        .filter(|p| !segments[p.2].is_broken)
        .map(|p| (p.0, p.1))
        .collect();
    let cover = joined_in_order(whole.iter().copied(), DRAFTING_GAP);
    let faces: Few<(f64, f64, f64)> = pieces
        .iter()
        .map(|p| (p.0, p.1, segments[p.2].face))
        .filter(|it| it.2 >= 0.3)
        .collect();
    let face_cover = joined_in_order(faces.iter().map(|it| (it.0, it.1)), DRAFTING_GAP);
    Rail {
        axis,
        pieces,
        offsets,
        whole,
        cover,
        face_cover,
        faces,
        longest,
        end,
    }
}

/// Straight line of least squares through the members, each end weighed by its segment's length.
fn fitted(
    segments: &[Segment],
    members: impl Iterator<Item = usize>,
    longest: &Segment,
) -> Option<Axis> {
    let rough = Axis::through(longest.a, longest.b)?;
    let ends = members.flat_map(|i| {
        let segment = &segments[i];
        let weight = distance(segment.a, segment.b);
        [(segment.a, weight), (segment.b, weight)]
    });
    rough.fitted(ends)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::SourceIndex;
    use crate::plan::lines::layers::Meaning;

    fn segment(x0: f64, y0: f64, x1: f64, y1: f64) -> Segment {
        Segment {
            a: Coord { x: x0, y: y0 },
            b: Coord { x: x1, y: y1 },
            source: SourceIndex(0),
            face: 1.0,
            meaning: Meaning::Unknown,
            is_broken: false,
        }
    }

    fn rails(lines: &[Segment], slack: f64) -> Rails {
        let index = Nearby::lines(lines.iter().map(|it| (it.a, it.b)));
        Rails::new(lines, &index, slack)
    }

    #[test]
    fn broken_lines_are_one_rail_and_a_door_parts_two() {
        let lines = [
            segment(0.0, 0.0, 40.0, 0.01),
            segment(41.0, 0.0, 80.0, 0.0),
            segment(116.0, 0.0, 150.0, 0.0),
            segment(0.0, 6.0, 80.0, 6.0),
        ];
        let rails = rails(&lines, 1.0 / 64.0);
        assert_eq!(rails.list.len(), 3);
        assert_eq!(rails.list[0].cover.len(), 1);
    }

    #[test]
    fn each_piece_keeps_how_far_it_lies_off_its_rail() {
        let lines = [
            segment(0.0, 0.0, 6.0, 0.0),
            segment(12.0, 0.012, 90.0, 0.012),
        ];
        let rails = rails(&lines, 1.0 / 64.0);
        let own = &rails.list[0];
        let offsets: Vec<f64> = own.offsets.iter().copied().collect();
        assert_eq!((rails.list.len(), offsets.len()), (1, 2));
        for (line, offset) in lines.iter().zip(offsets) {
            let middle = (line.a + line.b) / 2.0;
            let drawn = own.axis.point(own.axis.s(middle), offset);
            assert!(distance(drawn, middle) < 1e-9, "{drawn:?}");
        }
    }

    #[test]
    fn a_leaf_does_not_join_the_face_it_stands_on() {
        let rails = rails(
            &[segment(0.0, 0.0, 40.0, 0.0), segment(40.0, 0.0, 40.0, 36.0)],
            0.25,
        );
        assert_eq!(rails.list.len(), 2);
    }
}
