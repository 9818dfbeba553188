//! Pairs of rails a wall's thickness apart, cut at full-thickness lines across them.
//!
//! ```text
//!    ────────┬───────┬─────────      Band { axis, thickness }
//!      solid │ ═════ │  solid        Spans between breaks; `inner`: lines along it between the faces
//!    ────────┴───────┴─────────
//! ```
//!
//! *Cells, not gaps*: a gap is neither necessary nor sufficient for an opening, so spans are cut at jambs and judged by
//! what stands in them.

use crate::plan::axis::{
    Axis, Few, Interval, common, covered, dot, joined, joined_in_order, reaching,
};
use crate::plan::lines::rails::{Rail, Rails, Way};
use crate::plan::walls::bonds::NARROWEST;
use crate::side_by_side::in_stretches;

/// Walls are at least this thick, inches: less is casing, glazing, a leaf. Furring on 1 5/8 in studs is the thinnest.
pub(in crate::plan) const THINNEST: f64 = 1.9;
/// Partitions of boards are at least this thick, inches: thinner is glass in a frame.
const BOARD: f64 = 0.7;
/// And at most this thick, inches: more is a room. Two walls and the chase between them, drawn as one body, come to 30 in.
/// Source: common practice, no source.
pub(in crate::plan) const THICKEST: f64 = 30.0;
/// Walls of stone are at most this thick, inches, where three openings at least are drawn in walls of one such thickness.
pub(in crate::plan) const STONE: f64 = 48.0;
/// Thinner than this, a wall is furring, inches.
pub(in crate::plan) const FURRING: f64 = 2.75;
/// Share of the thickness that a jamb must span.
const FULL_THICKNESS: f64 = 0.93;
/// A jamb stands within this of the end of a span, inches, beyond the drawing's slack.
const AT_JAMB: f64 = 0.6;
/// A line across ends at a face when it goes no further than this, inches, beyond the drawing's slack.
const ENDS_AT_FACE: f64 = 0.35;
/// A line lies on a face, not between them, within so many inches of it at least and at most: a sixteenth of the thickness, and less
/// than the thinnest board, 1/2 in.
const ON_FACE: (f64, f64) = (0.3, 0.45);
/// Axes of walls are drawn at least this far beyond them, inches.
pub(in crate::plan) const AXIS: f64 = 12.0;
/// Less of a line between the faces than this share of a span says nothing, but for what is as long as an opening is wide: in a long
/// wall without jambs a window's glass is a small share.
const BIT: f64 = 0.05;
/// A solid piece is at least this long, inches.
pub(in crate::plan) const LEAST_SOLID: f64 = 0.75;

/// A full-thickness line across a band.
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Jamb {
    /// Along the band.
    pub u: f64,
    /// True when it ends at both faces.
    pub is_exact: bool,
    /// True when a line of its own ends at both faces, whatever goes on beyond them.
    pub has_own_line: bool,
    pub rail: usize,
}

/// Part of a band, both faces drawn, no full-thickness line inside.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Span {
    pub u0: f64,
    pub u1: f64,
    pub jambs: [Option<Jamb>; 2],
    /// Lines between the faces: offset from the axis and what of the span they cover.
    pub inner: Vec<(f64, Vec<Interval>)>,
}

impl Span {
    /// What lines between the faces cover; gaps less than this are none.
    pub(in crate::plan) fn glass(&self, gap: f64) -> Vec<Interval> {
        let inner = self.inner.iter().flat_map(|it| it.1.iter().copied());
        joined(inner.collect(), gap)
    }

    /// Share of the span that lines between the faces cover.
    pub(in crate::plan) fn inner_share(&self) -> f64 {
        covered(&self.glass(0.0), self.u0, self.u1) / (self.u1 - self.u0).max(1e-9)
    }
}

/// Two parallel rails that face each other.
#[derive(Clone, Debug)]
pub(in crate::plan) struct Band {
    pub axis: Axis,
    pub thickness: f64,
    pub rails: (usize, usize),
    pub spans: Vec<Span>,
}

/// All bands of a drawing: as thick as walls, and thinner.
///
/// - `thickest`: what walls are at most, inches.
pub(in crate::plan) fn bands(rails: &Rails, thickest: f64, slack: f64) -> (Vec<Band>, Vec<Band>) {
    let has_faces = |i: usize| !rails.list[i].face_cover.is_empty();
    let mut all = in_stretches(rails.list.len(), |part| {
        let mut bands = Vec::new();
        for a in part.filter(|a| has_faces(*a)) {
            let near = parallels(rails, a, thickest, slack);
            for &(b, d) in &near {
                if b > a && (BOARD..=thickest).contains(&d.abs()) && has_faces(b) {
                    bands.extend(band(rails, (a, b), &near, d, slack));
                }
            }
        }
        bands
    });
    let thin = all
        .extract_if(.., |band| band.thickness < THINNEST)
        .collect();
    (all, thin)
}

/// Parallel rails beside rail `a`, with their distance to its left.
fn parallels(rails: &Rails, a: usize, thickest: f64, slack: f64) -> Vec<(usize, f64)> {
    let rail = &rails.list[a];
    let mine = rail.end() - rail.start();
    let is_parallel = |other: &Way| {
        let skew = 0.012 + 3.0 * slack / mine.min(other.length()).max(1.0);
        other.sine_from(&rail.axis).abs() <= skew.min(0.2)
    };
    rails
        .near_line(rail.ends(), thickest, is_parallel)
        .into_iter()
        .filter(|b| *b != a)
        .filter_map(|b| {
            let other = &rails.ways[b];
            let [p, q] = other.ends().map(|p| rail.axis.s(p));
            let (from, to) = (p.min(q).max(rail.start()), p.max(q).min(rail.end()));
            if to - from < LEAST_SOLID {
                return None;
            }
            let d = distance_at(rail, &other.axis, (from + to) / 2.0)?;
            (d.abs() <= thickest + slack).then_some((b, d))
        })
        .collect()
}

/// How far to the left of `rail` the line of `other` passes at `s`.
fn distance_at(rail: &Rail, other: &Axis, s: f64) -> Option<f64> {
    let across = Axis {
        origin: rail.axis.point(s, 0.0),
        along: rail.axis.left(),
    };
    across.meets(other)
}

fn band(
    rails: &Rails,
    (a, b): (usize, usize),
    near: &[(usize, f64)],
    d: f64,
    slack: f64,
) -> Option<Band> {
    let (low, high) = (&rails.list[a], &rails.list[b]);
    let axis = between(low, high, d)?;
    // Only where one lies beside the other: a long rail has many neighbours.
    let beside = |rail: &Rail, other: &Rail| {
        let [p, q] = other.ends().map(|p| rail.axis.s(p));
        let cover = reaching(&rail.face_cover, p.min(q) - 1.0, p.max(q) + 1.0);
        joined(rail.along(cover, &axis), 0.0)
    };
    let both = common(&beside(low, high), &beside(high, low));
    let (first, last) = (both.first()?.0, both.last()?.1);
    let half = d.abs() / 2.0;
    let faces = [&low.axis, &high.axis];
    let jambs = jambs(rails, &axis, faces, half, (first, last), slack);
    let margin = (slack + 0.1).max((0.06 * d.abs()).clamp(ON_FACE.0, ON_FACE.1));
    let inner: Vec<Inner<'_>> = near
        .iter()
        .filter(|(c, e)| {
            *c != b && e.signum() == d.signum() && e.abs() > margin && e.abs() < d.abs() - margin
        })
        .filter_map(|&(c, _)| {
            let rail = &rails.list[c];
            let [p, q] = [first, last].map(|u| rail.axis.s(axis.point(u, 0.0)));
            let cover = reaching(&rail.cover, p.min(q) - 1.0, p.max(q) + 1.0);
            // A long band has many between its faces elsewhere.
            if cover.is_empty() {
                return None;
            }
            let is_axis = |(a, b): &Interval| *a <= first - AXIS && *b >= last + AXIS;
            let mut cover = rail.along(cover, &axis);
            // A line that goes on beyond both ends of the wall is an axis, no glass; what lies on it may be.
            if cover.iter().any(is_axis) {
                cover = rail.along(&rail.whole, &axis);
                cover.retain(|it| !is_axis(it) && it.1 > first && it.0 < last);
            }
            // Where it lies beside the band: the direction of either, when short, says little about what lies far off.
            let (from, to) = (p.min(q).max(rail.start()), p.max(q).min(rail.end()));
            let beside = rail.axis.point(f64::midpoint(from, to), 0.0);
            Some(Inner {
                offset: axis.d(beside),
                cover: joined(cover, 0.0),
                rail,
            })
        })
        .collect();
    let mut spans = Vec::new();
    for &(from, to) in &both {
        let mut cuts = vec![from];
        let first = jambs.partition_point(|j| j.u < from);
        cuts.extend(
            jambs[first..]
                .iter()
                .map(|j| j.u)
                .take_while(|&u| u <= to)
                .filter(|&u| u > from + AT_JAMB && u < to - AT_JAMB),
        );
        cuts.push(to);
        for pair in cuts.windows(2) {
            if pair[1] - pair[0] >= LEAST_SOLID {
                spans.push(span(&axis, (pair[0], pair[1]), &jambs, &inner, slack));
            }
        }
    }
    (!spans.is_empty()).then_some(Band {
        axis,
        thickness: d.abs(),
        rails: (a, b),
        spans,
    })
}

/// A rail between the faces.
struct Inner<'a> {
    /// From the band's axis.
    offset: f64,
    cover: Vec<Interval>,
    rail: &'a Rail,
}

impl Inner<'_> {
    /// From the band's axis in a part of it: what is drawn there says where it lies, not what else is on its rail.
    fn offset_in(&self, axis: &Axis, (u0, u1): Interval) -> f64 {
        let [p, q] = [u0, u1].map(|u| self.rail.axis.s(axis.point(u, 0.0)));
        let (from, to) = (p.min(q), p.max(q));
        let (mut total, mut weighed) = (0.0, 0.0);
        for ((a, b, _), offset) in self.rail.pieces_and_offsets_in(from, to) {
            let long = b.min(to) - a.max(from);
            if long > 0.0 {
                total += long;
                weighed += long * offset;
            }
        }
        let turn = dot(self.rail.axis.along, axis.along).signum();
        self.offset
            + if total > 0.0 {
                turn * weighed / total
            } else {
                0.0
            }
    }
}

fn span(axis: &Axis, (u0, u1): Interval, jambs: &[Jamb], inner: &[Inner<'_>], slack: f64) -> Span {
    let at = |u: f64| {
        let first = jambs.partition_point(|j| j.u < u - 2.0 * AT_JAMB - slack);
        jambs[first..]
            .iter()
            .take_while(|j| j.u <= u + 2.0 * AT_JAMB + slack)
            .filter(|j| (j.u - u).abs() <= AT_JAMB + slack)
            .min_by(|p, q| (p.u - u).abs().total_cmp(&(q.u - u).abs()))
            .copied()
    };
    let own = inner
        .iter()
        .filter_map(|it| {
            let mut list = common(reaching(&it.cover, u0, u1), &[(u0, u1)]);
            list.retain(|own| !is_pocketed(*own, it, inner, (u0, u1)));
            let is_there = covered(&list, u0, u1) > (BIT * (u1 - u0)).min(NARROWEST);
            is_there.then(|| (it.offset_in(axis, (u0, u1)), list))
        })
        .collect();
    Span {
        u0,
        u1,
        jambs: [at(u0), at(u1)],
        inner: own,
    }
}

/// Leaves that slide into their wall are this wide and this thick, inches. Source: common practice, no source.
const SLIDING: (f64, f64) = (15.0, 52.0);
const SLIDING_THICKNESS: (f64, f64) = (0.75, 2.6);
/// A leaf in its pocket reaches at least this far into the wall and out of it, inches.
pub(in crate::plan) const IN_POCKET: f64 = 6.0;
/// Its two sides end together within this, inches.
const SQUARE: f64 = 0.5;

/// True when what of a line lies in a span is one side of a leaf that slides into the wall: the wall goes on beside it.
///
/// ```text
///   ──────────────┐            ┌────
///        ══════════════        │        the leaf, half in its pocket
///   ──────────────┘            └────
/// ```
fn is_pocketed(own: Interval, line: &Inner<'_>, inner: &[Inner<'_>], (u0, u1): Interval) -> bool {
    let all = |it: &Inner<'_>| reaching(&it.cover, own.0, own.1).first().copied();
    let Some((from, to)) = all(line) else {
        return false;
    };
    let comes_out = |end: f64| from < end - IN_POCKET && to > end + IN_POCKET;
    let is_leaf = (SLIDING.0..=SLIDING.1).contains(&(to - from))
        && (comes_out(u1) && from > u0 + IN_POCKET || comes_out(u0) && to < u1 - IN_POCKET);
    is_leaf
        && inner.iter().any(|other| {
            let apart = (other.offset - line.offset).abs();
            let ends = all(other);
            (SLIDING_THICKNESS.0..=SLIDING_THICKNESS.1).contains(&apart)
                && ends.is_some_and(|(a, b)| (a - from).abs().max((b - to).abs()) < SQUARE)
        })
}

/// The middle line of two rails, in the direction of the first.
fn between(low: &Rail, high: &Rail, d: f64) -> Option<Axis> {
    let (l, h) = (low.end() - low.start(), high.end() - high.start());
    let same = low.axis.along.x * high.axis.along.x + low.axis.along.y * high.axis.along.y;
    let along = low.axis.along * l + high.axis.along * (h * same.signum());
    let [p, q] = high.ends().map(|p| low.axis.s(p));
    let (from, to) = (p.min(q).max(low.start()), p.max(q).min(low.end()));
    let origin = low.axis.point(f64::midpoint(from, to), d / 2.0);
    Axis::through(origin, origin + along)
}

/// Full-thickness lines across, by rising u.
fn jambs(
    rails: &Rails,
    axis: &Axis,
    faces: [&Axis; 2],
    half: f64,
    (first, last): Interval,
    slack: f64,
) -> Vec<Jamb> {
    let ends = [axis.point(first, 0.0), axis.point(last, 0.0)];
    let near = rails.near_line(ends, half + 1.0, |it| is_across(it, axis));
    let mut list: Vec<Jamb> = near
        .into_iter()
        .filter_map(|i| across(&rails.list[i], i, axis, faces, slack))
        .filter(|j| j.u >= first - 1.0 && j.u <= last + 1.0)
        .collect();
    list.sort_by(|p, q| p.u.total_cmp(&q.u).then(p.rail.cmp(&q.rail)));
    list
}

/// A jamb stands off the wall across by at most this, inches: a stub shorter than its own casing.
const STAND_OFF: f64 = 2.5;

/// The jamb next to the side of a wall across, looking along the axis from `side` by `sign`; the side itself where there
/// is none.
pub(in crate::plan) fn jamb_off(
    rails: &Rails,
    axis: &Axis,
    thickness: f64,
    side: f64,
    sign: f64,
    slack: f64,
) -> f64 {
    let half = thickness / 2.0;
    let faces = [half, -half].map(|d| Axis {
        origin: axis.point(0.0, d),
        ..*axis
    });
    let far = side + sign * STAND_OFF;
    let ends = (side.min(far), side.max(far));
    jambs(rails, axis, [&faces[0], &faces[1]], half, ends, slack)
        .iter()
        .filter(|jamb| jamb.has_own_line && (ends.0 - slack..=ends.1 + slack).contains(&jamb.u))
        .map(|jamb| jamb.u)
        .min_by(|p, q| (p - side).abs().total_cmp(&(q - side).abs()))
        .unwrap_or(side)
}

/// Full-thickness lines of their own that end at both faces of a wall, between two places along it, rising.
pub(in crate::plan) fn jambs_between(
    rails: &Rails,
    axis: &Axis,
    thickness: f64,
    ends: Interval,
    slack: f64,
) -> Vec<f64> {
    lines_between(rails, axis, thickness, ends, slack, |jamb| jamb.is_exact)
}

/// The same with those from which a line of its own goes on, as the leaf of a door that stands open does.
pub(in crate::plan) fn jambs_and_leaves_between(
    rails: &Rails,
    axis: &Axis,
    thickness: f64,
    ends: Interval,
    slack: f64,
) -> Vec<f64> {
    lines_between(rails, axis, thickness, ends, slack, |_| true)
}

fn lines_between(
    rails: &Rails,
    axis: &Axis,
    thickness: f64,
    ends: Interval,
    slack: f64,
    is_one: impl Fn(&Jamb) -> bool,
) -> Vec<f64> {
    let half = thickness / 2.0;
    let faces = [half, -half].map(|d| Axis {
        origin: axis.point(0.0, d),
        ..*axis
    });
    jambs(rails, axis, [&faces[0], &faces[1]], half, ends, slack)
        .iter()
        .filter(|jamb| jamb.has_own_line && is_one(jamb))
        .filter(|jamb| jamb.u > ends.0 && jamb.u < ends.1)
        .map(|jamb| jamb.u)
        .collect()
}

/// True when a rail crosses an axis squarely.
fn is_across(way: &Way, axis: &Axis) -> bool {
    way.sine_from(axis).abs() >= 0.96
}

/// The rail as a jamb of a band, which it crosses squarely, when it is drawn over the full thickness.
fn across(rail: &Rail, index: usize, axis: &Axis, faces: [&Axis; 2], slack: f64) -> Option<Jamb> {
    let (p, q) = (rail.axis.meets(faces[0])?, rail.axis.meets(faces[1])?);
    let (from, to) = (p.min(q), p.max(q));
    if covered(&rail.cover, from, to) < FULL_THICKNESS * (to - from) - slack {
        return None;
    }
    let reach = ENDS_AT_FACE + 2.0 * slack;
    let middle = f64::midpoint(from, to);
    let part = reaching(&rail.cover, middle, middle).first()?;
    // A door leaf or another wall's face may go on from a jamb, drawn as a line of its own.
    let first = rail.pieces.partition_point(|piece| piece.0 <= from - reach);
    let own: Few<(Interval, f64)> = rail.pieces[first..]
        .iter()
        .zip(&rail.offsets[first..])
        .take_while(|(piece, _)| piece.0 < to + reach)
        .filter(|(piece, _)| piece.1 < to + reach)
        .map(|(piece, offset)| ((piece.0, piece.1), *offset))
        .collect();
    let cover = joined_in_order(own.iter().map(|it| it.0), 0.0);
    let has_own_line = covered(&cover, from, to) >= FULL_THICKNESS * (to - from) - slack;
    // Its own line says where it stands: what else lies on its rail may be a leaf or a bed, off by a little.
    let total: f64 = own.iter().map(|((p, q), _)| q - p).sum();
    let weighed: f64 = own.iter().map(|((p, q), offset)| (q - p) * offset).sum();
    let offset = if has_own_line && total > 0.0 {
        weighed / total
    } else {
        0.0
    };
    Some(Jamb {
        u: axis.s(rail.axis.point(f64::midpoint(from, to), offset)),
        is_exact: part.0 > from - reach && part.1 < to + reach,
        has_own_line,
        rail: index,
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::OpeningKind;
    use crate::plan::trial::{exterior_openings, open_shell, pieces, recovered, sides};

    #[test]
    fn a_window_is_a_small_share_of_a_long_wall_without_jambs() {
        // Lower walls drawn through to the corners, 60 ft long, one window of 24 in in it.
        let mut lines = sides(0.0, 0.0, 720.0, 240.0);
        lines.extend(sides(6.0, 6.0, 714.0, 234.0));
        lines.retain(|l| !(l[1] < 7.0 && l[3] < 7.0));
        for (y, low, high) in [(0.0, 0.0, 720.0), (6.0, 6.0, 714.0)] {
            let ends = [low, 300.0, 324.0, high];
            lines.extend(ends.windows(2).map(|it| [it[0], y, it[1], y]));
        }
        lines.push([300.0, 3.0, 324.0, 3.0]);
        let openings = exterior_openings(&recovered(&lines).output);
        assert_eq!(openings, [[312.0, 3.0, 24.0]]);
    }

    #[test]
    fn a_wall_goes_on_beside_the_leaf_that_slides_into_it() {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let jamb = 120.0;
        for x in [200.0, 204.0] {
            lines.extend([[x, 6.0, x, 90.0], [x, jamb, x, 234.0]]);
        }
        // The wall's end is open where the leaf comes out.
        lines.extend([[200.0, jamb, 204.0, jamb], [200.0, 90.0, 201.0, 90.0]]);
        lines.push([203.0, 90.0, 204.0, 90.0]);
        for x in [201.3, 202.7] {
            lines.push([x, 75.0, x, 105.0]);
        }
        lines.extend([[201.3, 75.0, 202.7, 75.0], [201.3, 105.0, 202.7, 105.0]]);
        let found = recovered(&lines).output;
        let inside = found.storeys[0].walls.iter().find(|it| !it.is_exterior);
        let wall = inside.unwrap();
        let own = found.storeys[0].openings.iter();
        let own: Vec<_> = own.filter(|it| it.wall == wall.id).collect();
        assert_eq!(own.len(), 1);
        assert_eq!(own[0].kind, OpeningKind::Door);
        let (middle, width) = (own[0].centre.y, own[0].width);
        assert!((middle - 105.0).abs() < 1e-6 && (width - 30.0).abs() < 1e-6);
    }

    /// The window of a house, one of its jambs in line with something that lies beside it.
    fn window(beside: Option<f64>) -> [f64; 3] {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend(beside.map(|x| [x, 12.0, x, 102.0]));
        exterior_openings(&recovered(&lines).output)[0]
    }

    #[test]
    fn a_jamb_stands_where_its_own_line_does() {
        let near = |p: [f64; 3], q: [f64; 3]| p.iter().zip(q).all(|(p, q)| (p - q).abs() < 1e-6);
        assert!(near(window(None), [118.0, 3.0, 36.0]));
        // Off by less than lines of one rail are: most of the rail lies elsewhere.
        for x in [99.988, 100.012] {
            assert!(near(window(Some(x)), [118.0, 3.0, 36.0]), "{x}");
        }
    }

    #[test]
    fn glass_and_a_layer_of_one_rail_lie_where_each_is_drawn() {
        let lines = [
            [0.0, 0.0, 236.0, 0.0],
            [0.0, 6.0, 236.0, 6.0],
            [100.0, 0.0, 100.0, 6.0],
            [136.0, 0.0, 136.0, 6.0],
            [0.0, 3.0, 100.0, 3.0],
            [100.0, 3.012, 136.0, 3.012],
            [136.0, 3.0, 236.0, 3.0],
        ];
        let found = pieces(&lines).bands;
        let band = found.iter().find(|band| band.thickness > 5.0).unwrap();
        let offsets = band.spans.iter().map(|span| span.inner[0].0);
        let offsets: Vec<f64> = offsets.collect();
        assert_eq!(offsets.len(), 3);
        assert!(
            ((offsets[1] - offsets[0]).abs() - 0.012).abs() < 1e-6,
            "{offsets:?}"
        );
        assert!((offsets[2] - offsets[0]).abs() < 1e-6, "{offsets:?}");
    }

    #[test]
    fn a_line_between_the_faces_is_measured_where_they_are() {
        // Faces 10 in long, drawn by an ending off by 0.06 in: 200 in on their direction is off by more than an inch.
        let lines = [
            [0.0, 0.0, 10.0, 0.06],
            [0.0, 6.0, 10.0, 6.06],
            [0.0, 3.0, 400.0, 3.0],
        ];
        let found = pieces(&lines).bands;
        let mut inner = found
            .iter()
            .filter(|band| band.thickness > 5.0)
            .flat_map(|band| band.spans.iter().flat_map(|span| &span.inner));
        let (offset, _) = inner.next().unwrap();
        assert!(offset.abs() < 0.1, "{offset}");
    }
}
