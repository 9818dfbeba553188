//! The straight lines of a drawing, with what speaks for or against each being the face of a wall.
//!
//! ```text
//!   stroke ──► hidden? aside by name? broken line type? inside a small block? ──► Segment { a, b, face }
//! ```

use crate::drawing::{Curve, Drawing, FillKind, SourceIndex};
use crate::plan::axis::{Axis, distance, dot, middle};
use crate::plan::lines::centre_lines::{centre_lines, of_multiple_lines};
use crate::plan::lines::chords::{Chorded, chorded};
use crate::plan::lines::dashes::dashes;
use crate::plan::lines::edges::{Meeting, edges};
use crate::plan::lines::hatching::hatching;
use crate::plan::lines::layers::{Known, Meaning, is_broken_line, meaning};
use crate::plan::lines::noise::quieten;
use crate::plan::lines::rails::around;
use crate::plan::lines::studs::studs;
use crate::plan::nearby::Nearby;
use crate::plan::walls::curves::{CurvedWall, curves};
use crate::side_by_side::{both, in_stretches, sort_by};
use geo::Coord;

/// A straight line, centred on [`Lines::origin`].
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Segment {
    pub a: Coord<f64>,
    pub b: Coord<f64>,
    pub source: SourceIndex,
    /// How well it may be a face of a wall: 1 yes, 0 never.
    pub face: f64,
    pub meaning: Meaning,
    /// Drawn dashed or dotted, the edge of a stud or of a roof: it bounds nothing.
    pub is_broken: bool,
}

impl Segment {
    /// Its length, inches.
    pub(in crate::plan) fn length(&self) -> f64 {
        distance(self.a, self.b)
    }
}

/// All straight lines of a drawing that recovery looks at.
#[derive(Clone, Debug, Default)]
pub(in crate::plan) struct Lines {
    /// Subtracted from every point: the middle of the drawing, so that far coordinates lose no digits.
    pub origin: Coord<f64>,
    /// Sorted by place, so that the order of entities in the file does not matter.
    pub segments: Vec<Segment>,
    /// How far apart ends lie that are meant to be one point, inches.
    pub slack: f64,
    /// Layers that were set aside by their name.
    pub aside: Vec<String>,
    /// Where the segments lie.
    pub index: Nearby,
    /// Lines of layers named for notes and furniture where others are named for walls: glass where they fit an opening, never faces.
    pub others: Vec<Segment>,
    /// Where those lie.
    pub others_index: Nearby,
    /// Curved walls: their chords are among the segments.
    pub curves: Vec<CurvedWall>,
    /// Arcs drawn as chords.
    pub chorded: Vec<Chorded>,
}

/// Blocks whose diagonal is shorter than this are symbols: windows, doors, furniture; inches (25 ft).
const SYMBOL_BLOCK: f64 = 300.0;
/// Fills thinner than this may be the body of walls, inches: masonry with its finishes comes to 20 in.
const BODY: f64 = 20.0;
/// Ends closer than this may be meant to be one point, inches: more than the greatest slack.
const LOOSE_END: f64 = 0.4;

/// Gathers the lines of a drawing.
pub(in crate::plan) fn lines(drawing: &Drawing) -> Lines {
    let origin = centre(drawing);
    let bent = || {
        let chorded = chorded(drawing, origin);
        (curves(drawing, origin, &chorded), chorded)
    };
    // Most drawings have no curved wall: what is straight need not wait for what is bent.
    let (mut lines, (curves, chorded)) = both(|| straight(drawing, origin, &[]), bent);
    if !curves.is_empty() {
        lines = straight(drawing, origin, &curves);
    }
    Lines {
        curves,
        chorded,
        ..lines
    }
}

/// The straight lines with the chords of curved walls, weighed.
fn straight(drawing: &Drawing, origin: Coord<f64>, curves: &[CurvedWall]) -> Lines {
    let (mut segments, aside) = gathered(drawing, origin, curves);
    let others = weigh_by_layer(&mut segments);
    let tree = |list: &[Segment]| Nearby::lines(list.iter().map(|it| (it.a, it.b)));
    let (index, others_index) = both(|| tree(&segments), || tree(&others));
    let ends = near_ends(&segments, &index);
    let (hatched, dashed) = both(
        || hatching(&segments, &ends),
        || dashes(&segments, &index, &ends),
    );
    for i in hatched.into_iter().chain(dashed) {
        (segments[i].face, segments[i].is_broken) = (0.0, true);
    }
    let slack = loose_ends(&segments, &ends);
    let (meeting, (centre, studs)) = both(
        || Meeting::of(&segments, &ends, slack),
        || {
            let centre = centre_lines(&segments, &index, slack);
            (centre, studs(&segments, &index, slack))
        },
    );
    for i in studs.into_iter().chain(centre) {
        (segments[i].face, segments[i].is_broken) = (0.0, true);
    }
    edges(&mut segments, &index, meeting, slack);
    quieten(&mut segments, &index, &ends, slack);
    Lines {
        origin,
        segments,
        slack,
        aside,
        index,
        others,
        others_index,
        ..Lines::default()
    }
}

/// All straight lines, sorted by place, with curved walls as their chords; and the layers that are set aside.
fn gathered(
    drawing: &Drawing,
    origin: Coord<f64>,
    curves: &[CurvedWall],
) -> (Vec<Segment>, Vec<String>) {
    let (mut meanings, mut broken) = (Known::new(meaning), Known::new(is_broken_line));
    let mut of_blocks = Known::new(meaning);
    let is_symbol = symbol_sources(drawing, &mut of_blocks);
    let mut aside: Vec<String> = Vec::new();
    let mut segments: Vec<Segment> = Vec::new();
    // Of a line drawn in the middle of a multiple line nothing but its place counts.
    let is_middle = of_multiple_lines(drawing);
    let mut push = |a: Coord<f64>, b: Coord<f64>, index: SourceIndex, trust: Option<f64>| {
        let Some(source) = drawing.sources.get(index.0 as usize) else {
            return;
        };
        if source.is_hidden || distance(a, b) < 1e-6 || !(a.x + a.y + b.x + b.y).is_finite() {
            return;
        }
        let mut sense = meanings.get(&source.layer);
        if sense == Meaning::Unknown {
            sense = source
                .blocks
                .last()
                .map_or(sense, |block| match of_blocks.get(block) {
                    Meaning::Annotation => Meaning::Unknown,
                    other => other,
                });
        }
        if sense == Meaning::Aside {
            if !aside.contains(&source.layer) {
                aside.push(source.layer.clone());
            }
            return;
        }
        let symbol = is_symbol.get(index.0 as usize).copied().unwrap_or(false);
        let is_broken = trust.is_none() || broken.get(&source.line_type);
        let face = if is_broken || symbol {
            0.0
        } else {
            trust.unwrap_or(0.0)
        };
        // One way round, so that reversed lines give the same plan.
        let (a, b) = (a - origin, b - origin);
        let (a, b) = if (a.x, a.y) <= (b.x, b.y) {
            (a, b)
        } else {
            (b, a)
        };
        segments.push(Segment {
            a,
            b,
            source: index,
            face,
            meaning: sense,
            is_broken,
        });
    };
    for (stroke, is_middle) in drawing.strokes.iter().zip(is_middle) {
        if let Curve::Line { start, end } = stroke.curve {
            let is_chord = |it: &CurvedWall| it.has_chord(start - origin, end - origin);
            if !curves.iter().any(is_chord) {
                push(start, end, stroke.source, (!is_middle).then_some(1.0));
            }
        }
    }
    for (start, end, source) in curves.iter().flat_map(CurvedWall::chords) {
        push(start + origin, end + origin, source, Some(1.0));
    }
    for fill in &drawing.fills {
        if fill.kind == FillKind::Wipeout || thinness(&fill.rings) > BODY {
            continue;
        }
        for ring in &fill.rings {
            for (i, from) in ring.iter().enumerate() {
                push(*from, ring[(i + 1) % ring.len()], fill.source, Some(0.9));
            }
        }
    }
    sort_by(&mut segments, |p, q| {
        p.a.x
            .total_cmp(&q.a.x)
            .then_with(|| p.a.y.total_cmp(&q.a.y))
            .then_with(|| p.b.x.total_cmp(&q.b.x))
            .then_with(|| p.b.y.total_cmp(&q.b.y))
            .then_with(|| q.face.total_cmp(&p.face))
    });
    aside.sort();
    (segments, aside)
}

/// Twice the area over the perimeter: about the thickness of a long thin shape.
fn thinness(rings: &[Vec<Coord<f64>>]) -> f64 {
    let (mut area, mut perimeter) = (0.0, 0.0);
    for (index, ring) in rings.iter().enumerate() {
        let mut doubled = 0.0;
        for (i, p) in ring.iter().enumerate() {
            let q = ring[(i + 1) % ring.len()];
            doubled +=
                (p.x - ring[0].x) * (q.y - ring[0].y) - (q.x - ring[0].x) * (p.y - ring[0].y);
            perimeter += distance(*p, q);
        }
        area += if index == 0 {
            doubled.abs() / 2.0
        } else {
            -doubled.abs() / 2.0
        };
    }
    if perimeter > 0.0 {
        2.0 * area.abs() / perimeter
    } else {
        f64::INFINITY
    }
}

/// Where no layer is named for walls, what more of the lines lie on than this share is not named for its doors or windows alone.
const MOST: f64 = 0.6;

/// Where the drawing names its walls, other named lines are less likely to be faces; where it does not, all are equal. Gives back
/// the lines of notes and furniture.
fn weigh_by_layer(segments: &mut Vec<Segment>) -> Vec<Segment> {
    let total = |meaning: Option<Meaning>| -> f64 {
        segments
            .iter()
            .filter(|s| s.face > 0.0 && meaning.is_none_or(|m| m == s.meaning))
            .map(Segment::length)
            .sum()
    };
    let knows_walls =
        total(Some(Meaning::Wall)) > 0.1 * total(None) && total(Some(Meaning::Wall)) > 480.0;
    let misnamed = [Meaning::Window, Meaning::Door, Meaning::Opening]
        .into_iter()
        .find(|it| !knows_walls && total(Some(*it)) > MOST * total(None));
    for segment in segments.iter_mut() {
        if Some(segment.meaning) == misnamed {
            segment.meaning = Meaning::Unknown;
        }
        segment.face *= match (segment.meaning, knows_walls) {
            (Meaning::Wall, _) => 1.0,
            (Meaning::Unknown, true) => 0.6,
            (Meaning::Unknown, false) => 1.0,
            (Meaning::Door | Meaning::Window | Meaning::Opening, _) => 0.35,
            (Meaning::Furnishing | Meaning::Annotation, true) | (Meaning::Aside, _) => 0.0,
            (Meaning::Furnishing | Meaning::Annotation, false) => 0.3,
        };
    }
    // Notes and furniture drawn over walls say nothing about what is a wall; without names they cannot be told apart.
    let is_other = |it: &mut Segment| {
        knows_walls && matches!(it.meaning, Meaning::Annotation | Meaning::Furnishing)
    };
    segments.extract_if(.., is_other).collect()
}

/// For each source, whether it lies in a block small enough to be a symbol.
fn symbol_sources<'a>(drawing: &'a Drawing, meanings: &mut Known<'a, Meaning>) -> Vec<bool> {
    let mut small: Vec<(&str, bool)> = drawing
        .placements
        .iter()
        .filter_map(|place| {
            let [low, high] = place.bounds?;
            Some((place.name.as_str(), distance(low, high) < SYMBOL_BLOCK))
        })
        .collect();
    // A block that is ever large is no symbol.
    small.sort_unstable();
    small.dedup_by_key(|(name, _)| *name);
    let is_small = |name: &str| {
        small
            .binary_search_by(|(n, _)| (*n).cmp(name))
            .is_ok_and(|i| small[i].1)
    };
    // What one block holds stands side by side.
    let mut last: (&[String], bool) = (&[], false);
    drawing
        .sources
        .iter()
        .map(|source| {
            if last.0 != source.blocks {
                let mut blocks = source.blocks.iter();
                let is_symbol =
                    blocks.any(|block| is_small(block) && meanings.get(block) != Meaning::Wall);
                last = (&source.blocks, is_symbol);
            }
            last.1
        })
        .collect()
}

/// An end of a line that may be a face, and another such line that passes near it.
///
/// Millions on a large sheet: numbers of half the digits, and the end looked up.
pub(in crate::plan) struct NearEnd {
    own: u32,
    other: u32,
    /// True for the end at `b`.
    is_last: bool,
}

impl NearEnd {
    pub(in crate::plan) fn own(&self) -> usize {
        self.own as usize
    }

    pub(in crate::plan) fn other(&self) -> usize {
        self.other as usize
    }

    /// True for the end at `b`.
    pub(in crate::plan) fn is_last(&self) -> bool {
        self.is_last
    }

    pub(in crate::plan) fn end(&self, segments: &[Segment]) -> Coord<f64> {
        let own = &segments[self.own()];
        if self.is_last { own.b } else { own.a }
    }
}

/// For each end of each line that may be a face the other ones near it: looked for once, and asked about twice.
fn near_ends(segments: &[Segment], index: &Nearby) -> Vec<NearEnd> {
    in_stretches(segments.len(), |part| {
        let mut found = Vec::new();
        for i in part.filter(|i| segments[*i].face > 0.0) {
            for (end, is_last) in [(segments[i].a, false), (segments[i].b, true)] {
                let Some(area) = around(&[end], LOOSE_END) else {
                    continue;
                };
                index.visit(&area, |k| {
                    if k != i
                        && segments[k].face > 0.0
                        && let (Ok(own), Ok(other)) = (u32::try_from(i), u32::try_from(k))
                    {
                        found.push(NearEnd {
                            own,
                            other,
                            is_last,
                        });
                    }
                });
            }
        }
        found
    })
}

/// How loosely ends meet in this drawing: the largest of the usual distances between ends meant to be one, inches.
///
/// An exact drawing gives the smallest value, 1/64; hand-drafted errors of 1/16 give about 1/4.
fn loose_ends(segments: &[Segment], ends: &[NearEnd]) -> f64 {
    let tells: Vec<bool> = segments
        .iter()
        .map(|it| it.face > 0.0 && it.length() > 3.0)
        .collect();
    let nearest = |near: &[NearEnd]| {
        if !tells[near[0].own()] {
            return None;
        }
        let end = near[0].end(segments);
        let mut nearest: Option<f64> = None;
        let own = Axis::through(segments[near[0].own()].a, segments[near[0].own()].b);
        for it in near.iter().filter(|it| tells[it.other()]) {
            let other = &segments[it.other()];
            for p in [other.a, other.b] {
                let off = p - end;
                if dot(off, off) > LOOSE_END * LOOSE_END {
                    continue;
                }
                // Layers of a wall and the panes beside them end side by side: no two of them are meant to be one.
                let line = Axis::through(other.a, other.b).zip(own);
                let runs_along = line.filter(|(other, own)| other.sine(own).abs() < ALONGSIDE);
                let is_beside = runs_along.is_some_and(|(_, own)| {
                    let from = Axis { origin: end, ..own };
                    from.d(p).abs() > from.s(p).abs()
                });
                if !is_beside {
                    let gap = off.x.hypot(off.y);
                    nearest = Some(nearest.map_or(gap, |it| it.min(gap)));
                }
            }
        }
        nearest
    };
    let by_end = ends.chunk_by(|p, q| (p.own, p.is_last) == (q.own, q.is_last));
    let by_end: Vec<&[NearEnd]> = by_end.collect();
    let gaps = in_stretches(by_end.len(), |part| {
        by_end[part].iter().filter_map(|it| nearest(it)).collect()
    });
    let (gaps, askew) = both(|| nine_in_ten(gaps), || nine_in_ten(out_of_line(segments)));
    let usual = gaps.max(askew);
    (usual * 1.5).clamp(1.0 / 64.0, 0.25)
}

/// Lines at a smaller sine run along each other.
const ALONGSIDE: f64 = 0.05;

/// What nine in ten of some distances do not exceed.
fn nine_in_ten(mut list: Vec<f64>) -> f64 {
    list.sort_by(f64::total_cmp);
    list.get(list.len() * 9 / 10).copied().unwrap_or(0.0)
}

/// Lines of this length show by how much their ends are off the drawing's directions, inches: longer ones may be skew.
const TELLING: (f64, f64) = (6.0, 60.0);
/// Off by more than this, radians, a line is meant to be slanted (one degree).
const SLANTED: f64 = 0.0175;

/// How far short lines are off the direction of the lines they run with, from end to end.
///
/// Chains of a closed polyline meet exactly however roughly they were drawn: their ends say nothing, their directions do.
fn out_of_line(segments: &[Segment]) -> Vec<f64> {
    let quarter = std::f64::consts::FRAC_PI_2;
    let mut angles: Vec<(f64, f64)> = segments
        .iter()
        .filter(|s| s.face > 0.0 && s.length() >= TELLING.0)
        .map(|s| {
            let d = s.b - s.a;
            (d.y.atan2(d.x).rem_euclid(quarter), s.length())
        })
        .collect();
    angles.sort_by(|p, q| p.0.total_cmp(&q.0));
    // Directions: what lies within the slant of its neighbour is one, taken at the middle of its length.
    let mut found = Vec::new();
    for group in angles.chunk_by(|p, q| q.0 - p.0 < SLANTED / 2.0) {
        let total: f64 = group.iter().map(|it| it.1).sum();
        let mut sum = 0.0;
        let middle = group
            .iter()
            .find(|it| {
                sum += it.1;
                sum >= total / 2.0
            })
            .map_or(0.0, |it| it.0);
        found.extend(
            group
                .iter()
                .filter(|(angle, length)| (angle - middle).abs() < SLANTED && *length <= TELLING.1)
                .map(|(angle, length)| (angle - middle).abs() * length),
        );
    }
    found
}

/// Middle of everything drawn.
fn centre(drawing: &Drawing) -> Coord<f64> {
    let mut low = Coord {
        x: f64::INFINITY,
        y: f64::INFINITY,
    };
    let mut high = Coord {
        x: f64::NEG_INFINITY,
        y: f64::NEG_INFINITY,
    };
    for stroke in &drawing.strokes {
        if let Curve::Line { start, end } = stroke.curve {
            for p in [start, end] {
                low = Coord {
                    x: low.x.min(p.x),
                    y: low.y.min(p.y),
                };
                high = Coord {
                    x: high.x.max(p.x),
                    y: high.y.max(p.y),
                };
            }
        }
    }
    let centre = middle(low, high);
    if centre.x.is_finite() && centre.y.is_finite() {
        centre
    } else {
        Coord { x: 0.0, y: 0.0 }
    }
}

/// Distance of a point from a segment.
pub(in crate::plan) fn off(segment: &Segment, p: Coord<f64>) -> f64 {
    let Some(axis) = Axis::through(segment.a, segment.b) else {
        return distance(segment.a, p);
    };
    distance(axis.point(axis.s(p).clamp(0.0, segment.length()), 0.0), p)
}
