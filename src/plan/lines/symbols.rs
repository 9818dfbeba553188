//! What stands in an opening and beside it: swings, glazing, sizes. Looked at before anything is merged.
//!
//! ```text
//!      jamb ┌      ◜ swing        Evidence: swings that hang on a jamb, lines along the opening,
//!    ───────┘  ════  glazing      what their layers say, the size written beside
//! ```

use crate::drawing::{Curve, Drawing, SourceIndex};
use crate::plan::OpeningKind;
use crate::plan::axis::{Axis, Interval, covered, distance, joined};
use crate::plan::callouts::{Callout, callouts};
use crate::plan::lines::door_forms::{
    are_two_sides, door_between_lights, folding_leaves, is_in_pocket,
};
use crate::plan::lines::layers::Meaning;
use crate::plan::lines::leaves::{Leaf, leaves};
use crate::plan::lines::rails::around;
use crate::plan::lines::segments::{Lines, Segment};
use crate::plan::nearby::{Found, Nearby};
use crate::plan::pieces::bands::{AXIS, IN_POCKET};
use crate::plan::schedules::TaggedSize;
use crate::plan::walls::openings::EXACT;
use geo::Coord;

/// A swing arc.
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Arc {
    pub centre: Coord<f64>,
    pub radius: f64,
    /// The point halfway along it.
    pub middle: Coord<f64>,
    pub source: SourceIndex,
}

/// A swing that belongs to an opening.
#[derive(Clone, Copy, Debug)]
pub(in crate::plan) struct Hung {
    pub arc: usize,
    /// True when it hangs on the jamb at the start of the opening.
    pub at_start: bool,
    /// True when it opens to the left of the axis.
    pub to_left: bool,
}

/// What speaks for an opening.
#[derive(Clone, Debug, Default)]
pub(in crate::plan) struct Evidence {
    pub swings: Vec<Hung>,
    /// Leaves drawn without a swing; looked for where there is none.
    pub leaves: Vec<Leaf>,
    /// Lines along the opening over most of it, between the faces.
    pub n_inner: usize,
    /// Lines along the opening over most of it, on the faces.
    pub n_faces: usize,
    /// True when one line on a face and one close behind it are all there is: a leaf that closes flush, as of a vehicle door.
    pub is_flush: bool,
    /// True when shorter lines together fill the opening: sliding leaves, frames.
    pub is_filled: bool,
    /// True when a leaf as wide as it is, or a pocket with its leaf, comes out of the wall beside it.
    pub slides: bool,
    /// True when leaves fold in it.
    pub folds: bool,
    /// The width of the door that hangs between its lights, from post to post.
    pub between_lights: Option<f64>,
    /// True when a line in it ends where it does on both sides, or its leaves are as wide as it is: so its ends are meant.
    pub fits: bool,
    /// Lines in the opening on layers or in blocks named for windows and doors, inches.
    pub window: f64,
    pub door: f64,
    /// How much of its width those lines cover, inches.
    pub named: f64,
    pub sources: Vec<SourceIndex>,
}

impl Evidence {
    /// True when something is drawn in it that only an opening has.
    pub(in crate::plan) fn is_drawn(&self) -> bool {
        self.is_hung() || self.n_inner > 0 || self.is_filled || self.slides || self.folds
    }

    /// True when a swing hangs in it, or its leaves fold.
    pub(in crate::plan) fn is_swung(&self) -> bool {
        !self.swings.is_empty() || self.folds
    }

    /// True when a leaf is drawn in it, hung, folded or half in the wall.
    pub(in crate::plan) fn has_leaf(&self) -> bool {
        self.is_hung() || self.slides || self.folds
    }

    /// The same seen from the opening's other end.
    pub(in crate::plan) fn turned(mut self) -> Self {
        for hung in &mut self.swings {
            hung.at_start = !hung.at_start;
            hung.to_left = !hung.to_left;
        }
        for leaf in &mut self.leaves {
            leaf.at_start = !leaf.at_start;
            leaf.to_left = !leaf.to_left;
        }
        self
    }

    /// True when a leaf or its swing hangs in it.
    pub(in crate::plan) fn is_hung(&self) -> bool {
        !self.swings.is_empty() || !self.leaves.is_empty()
    }

    /// True when something says that this is an opening.
    pub(in crate::plan) fn speaks(&self) -> bool {
        self.is_drawn() || self.window + self.door > 6.0
    }
}

/// The symbols of a drawing, indexed by place.
pub(in crate::plan) struct Place<'a> {
    pub lines: &'a Lines,
    pub arcs: Vec<Arc>,
    pub callouts: Vec<Callout>,
    /// Sizes that schedules give the tags on the plan.
    tagged: Vec<TaggedSize>,
    arc_index: Nearby,
    callout_index: Nearby,
}

/// Glass and leaves fit their opening within this, inches, beyond twice the drawing's slack.
const FITS: f64 = 0.1;
/// Door leaves are this wide, inches. Source: leaves of 15 in to 4 ft are made; common practice, no source.
const LEAF: (f64, f64) = (15.0, 52.0);
/// A hinge stands within this of its jamb, inches, beyond half the wall.
pub(in crate::plan) const AT_HINGE: f64 = 2.5;
/// A swing's radius agrees with the width of its opening within this, inches: frames take up to 2 in a side.
const FRAME: f64 = 4.5;
/// The leaf of a vehicle door is at most this thick, inches, and at most this share of its wall. Source: common practice, no source.
const FLUSH: f64 = 3.0;
const FLUSH_SHARE: f64 = 0.4;
/// Share of the opening that a line along it must cover.
pub(in crate::plan) const ALONG: f64 = 0.75;
/// A size stands within this of its opening's middle, beyond half the width, inches.
pub(in crate::plan) const BESIDE: f64 = 48.0;

/// What says of two jambs alone that an opening is there stands this near the middle of the wall, inches.
const BESIDE_WALL: f64 = 30.0;

impl<'a> Place<'a> {
    /// Gathers the symbols of a drawing.
    pub(in crate::plan) fn new(drawing: &Drawing, lines: &'a Lines, arcs: Vec<Arc>) -> Self {
        let callouts = callouts(drawing, lines.origin);
        Self {
            arc_index: Nearby::points(arcs.iter().map(|arc| arc.centre)),
            callout_index: Nearby::points(callouts.iter().map(|c| c.at)),
            lines,
            arcs,
            callouts,
            tagged: Vec::new(),
        }
    }

    /// The same with what schedules say of tags.
    pub(in crate::plan) fn with_tags(mut self, tagged: Vec<TaggedSize>) -> Self {
        self.tagged = tagged;
        self
    }

    /// What the schedule says of the tag beside an opening, where it has the opening's width.
    pub(in crate::plan) fn tagged(&self, axis: &Axis, width: f64) -> Option<OpeningKind> {
        let fitting = self
            .tagged
            .iter()
            .filter(|it| (it.width - width).abs() < EXACT && is_beside(axis, width, it.at));
        let nearest = fitting.min_by(|p, q| axis.d(p.at).abs().total_cmp(&axis.d(q.at).abs()));
        nearest.map(|it| it.kind)
    }

    /// Looks at the opening from `axis.origin` over `width`, in a wall of a thickness.
    pub(in crate::plan) fn look(&self, axis: &Axis, width: f64, thickness: f64) -> Evidence {
        let mut it = Evidence::default();
        self.look_for_swings(axis, width, thickness, &mut it);
        self.look_for_lines(axis, width, thickness, &mut it);
        if it.swings.is_empty() {
            let at_jambs = self.at_jambs(axis, width, thickness);
            it.leaves = leaves(self, axis, width, thickness, &at_jambs);
            it.sources.extend(it.leaves.iter().map(|leaf| leaf.source));
            if it.leaves.is_empty() {
                self.look_for_other_doors(axis, width, thickness, &at_jambs, &mut it);
            }
        }
        it.sources.sort_unstable();
        it.sources.dedup();
        it
    }

    /// True when something is drawn in the opening that only an opening has.
    pub(in crate::plan) fn is_drawn(&self, axis: &Axis, width: f64, thickness: f64) -> bool {
        let mut it = Evidence::default();
        self.look_for_swings(axis, width, thickness, &mut it);
        if it.swings.is_empty() {
            self.look_for_lines(axis, width, thickness, &mut it);
        }
        if it.is_drawn() {
            return true;
        }
        let at_jambs = self.at_jambs(axis, width, thickness);
        !leaves(self, axis, width, thickness, &at_jambs).is_empty()
            || folding_leaves(self, axis, width, thickness, &at_jambs).is_some()
    }

    /// Leaves that fold, and a door between two lights.
    fn look_for_other_doors(
        &self,
        axis: &Axis,
        width: f64,
        thickness: f64,
        at_jambs: &[Found; 2],
        it: &mut Evidence,
    ) {
        if let Some(leaves) = folding_leaves(self, axis, width, thickness, at_jambs) {
            it.folds = true;
            it.sources.extend(leaves);
        } else if let Some(door) = door_between_lights(self, axis, width, thickness) {
            it.sources
                .extend(door.swings.iter().map(|it| self.arcs[it.arc].source));
            it.between_lights = Some(door.width);
            it.swings = door.swings;
        }
    }

    /// Swings whose hinge stands within a margin of a point, by rising index.
    pub(in crate::plan) fn arcs_near(&self, p: Coord<f64>, margin: f64) -> Vec<usize> {
        let mut near = Vec::new();
        self.arc_index.visit_within(p, margin, |i| near.push(i));
        near.sort_unstable();
        near
    }

    /// True when a size that fits this width, or a tag whose row in a schedule does, stands beside the opening.
    pub(in crate::plan) fn is_called_out(&self, axis: &Axis, width: f64) -> bool {
        let middle = axis.point(width / 2.0, 0.0);
        let by_size = self.callouts_near(middle, width).any(|i| {
            let callout = &self.callouts[i];
            is_beside(axis, width, callout.at)
                && callout.is_packed
                && callout
                    .readings
                    .iter()
                    .any(|r| r.height.is_some() && (r.width - width).abs() < EXACT)
        });
        by_size || self.tagged(axis, width).is_some()
    }

    /// Call-outs near an opening.
    pub(in crate::plan) fn callouts_near(
        &self,
        middle: Coord<f64>,
        width: f64,
    ) -> impl Iterator<Item = usize> + '_ {
        let reach = width / 2.0 + BESIDE;
        let mut list = Vec::new();
        self.callout_index
            .visit_within(middle, reach, |i| list.push(i));
        list.sort_unstable();
        list.into_iter()
    }

    /// Segments whose box comes within a margin of a point, by rising index.
    pub(in crate::plan) fn segments_near(&self, p: Coord<f64>, margin: f64) -> Found {
        let Some(area) = around(&[p], margin) else {
            return Found::new();
        };
        self.lines.index.sorted(&area)
    }

    /// Segments near each jamb of an opening, where leaves hang.
    fn at_jambs(&self, axis: &Axis, width: f64, thickness: f64) -> [Found; 2] {
        let reach = thickness / 2.0 + AT_HINGE;
        [0.0, width].map(|u| self.segments_near(axis.point(u, 0.0), reach))
    }

    fn look_for_swings(&self, axis: &Axis, width: f64, thickness: f64, it: &mut Evidence) {
        let slack = thickness * 0.6 + AT_HINGE;
        let middle = axis.point(width / 2.0, 0.0);
        let reach = width / 2.0 + slack + thickness;
        let near = self.arcs_near(middle, reach);
        let hangs = |i: usize| {
            let s = axis.s(self.arcs[i].centre);
            (s.abs() < AT_HINGE, (s - width).abs() < AT_HINGE)
        };
        // Of two leaves one may be wider: together they fill the opening.
        let fills = |own: usize, other: usize| {
            let whole = self.arcs[own].radius + self.arcs[other].radius;
            let (p, q) = (hangs(own), hangs(other));
            (whole - width).abs() < FRAME && (p.0 && q.1 || p.1 && q.0)
        };
        for &i in &near {
            let arc = &self.arcs[i];
            let d = axis.d(arc.centre);
            let (at_start, at_end) = hangs(i);
            let single = (arc.radius - width).abs() < FRAME;
            let double = (arc.radius * 2.0 - width).abs() < 2.0 * FRAME
                || near.iter().any(|other| fills(i, *other));
            let (ms, md) = (axis.s(arc.middle), axis.d(arc.middle));
            let over = ms > -3.0 && ms < width + 3.0;
            if d.abs() < slack && over && (at_start || at_end) && (single || double) {
                let other = near.iter().filter(|other| fills(i, **other));
                let wholes = other.map(|other| arc.radius + self.arcs[*other].radius);
                let wholes = wholes.chain([arc.radius, arc.radius * 2.0]);
                let misfit = wholes.fold(f64::INFINITY, |m, whole| m.min((whole - width).abs()));
                it.fits |= misfit <= FITS + 2.0 * self.lines.slack;
                it.swings.push(Hung {
                    arc: i,
                    at_start,
                    to_left: md > 0.0,
                });
                it.sources.push(arc.source);
            }
        }
    }

    fn look_for_lines(&self, axis: &Axis, width: f64, thickness: f64, it: &mut Evidence) {
        let half = thickness / 2.0;
        let edge = 0.3 + self.lines.slack;
        let corners = [
            axis.point(0.0, half),
            axis.point(width, half),
            axis.point(width, -half),
            axis.point(0.0, -half),
        ];
        let Some(area) = around(&corners, edge) else {
            return;
        };
        let found = self.lines.index.sorted(&area);
        let mut named: Vec<Interval> = Vec::new();
        // Offset, interval, segment.
        let mut along: Vec<(f64, Interval)> = Vec::new();
        let near = FITS + 2.0 * self.lines.slack;
        let fits_in = |(from, to): Interval| from.abs() <= near && (to - width).abs() <= near;
        // Whatever its layer is named for, a line from jamb to jamb is glass or a sill.
        let fits = |it: &&Segment| {
            let (p, q) = (axis.s(it.a), axis.s(it.b));
            fits_in((p.min(q), p.max(q)))
        };
        let others = self.lines.others_index.sorted(&area);
        let others = others.into_iter().map(|i| &self.lines.others[i]);
        let own = found.into_iter().map(|i| &self.lines.segments[i]);
        for segment in own.chain(others.filter(fits)) {
            let (p, q) = (
                (axis.s(segment.a), axis.d(segment.a)),
                (axis.s(segment.b), axis.d(segment.b)),
            );
            let (from, to) = (p.0.min(q.0), p.0.max(q.0));
            if p.1.abs().max(q.1.abs()) > half + edge || to < 0.0 || from > width {
                continue;
            }
            let inside = from > -1.0 && to < width + 1.0;
            let off = f64::midpoint(p.1, q.1).abs();
            // An axis is drawn through, far beyond the opening.
            if off < half - 0.4 && from < -AXIS && to > width + AXIS {
                continue;
            }
            let length = (to.min(width) - from.max(0.0)).max(0.0);
            let sum = match segment.meaning {
                Meaning::Window if inside => Some(&mut it.window),
                Meaning::Door if inside => Some(&mut it.door),
                _ => None,
            };
            if let Some(sum) = sum {
                *sum += length;
                named.push((from, to));
            }
            if (p.1 - q.1).abs() <= 0.03 * (to - from) + 2.0 * self.lines.slack && to - from > 0.5 {
                along.push((f64::midpoint(p.1, q.1), (from, to)));
                if inside {
                    it.sources.push(segment.source);
                }
            }
        }
        it.named = covered(&joined(named, 1.0), 0.0, width);
        along.sort_by(|p, q| p.0.total_cmp(&q.0).then(p.1.0.total_cmp(&q.1.0)));
        let mut start = 0;
        let mut inner: Vec<Interval> = Vec::new();
        let mut pockets: Vec<(f64, Interval)> = Vec::new();
        let (mut fits, mut runs_on) = (false, false);
        let (mut face_at, mut inner_at) = (0.0_f64, 0.0_f64);
        for i in 1..=along.len() {
            if i < along.len() && along[i].0 - along[i - 1].0 <= 0.25 + self.lines.slack {
                continue;
            }
            let offset = f64::midpoint(along[start].0, along[i - 1].0);
            let cover = joined(along[start..i].iter().map(|it| it.1).collect(), 1.0);
            let on_face = offset.abs() > half - 0.4 - self.lines.slack;
            if covered(&cover, 0.0, width) >= ALONG * width {
                if on_face {
                    it.n_faces += 1;
                    face_at = offset;
                    runs_on |= !along[start..i].iter().any(|it| fits_in(it.1));
                } else {
                    it.n_inner += 1;
                    inner_at = offset;
                }
            }
            if !on_face {
                it.slides |= cover.iter().any(|own| comes_out_of_wall(*own, width));
                let out = cover.iter().filter(|own| is_in_pocket(**own, width));
                pockets.extend(out.map(|own| (offset, *own)));
                fits |= cover.iter().any(|it| fits_in(*it));
                inner.extend(cover);
            }
            start = i;
        }
        it.slides |= are_two_sides(&pockets);
        let deep = (inner_at - face_at).abs();
        it.is_flush =
            (it.n_faces, it.n_inner) == (1, 1) && deep <= FLUSH.min(FLUSH_SHARE * thickness);
        // Where a face runs on over it, the opening was told by its glass, and has no ends of its own to compare; not so where a sill
        // is drawn from end to end for itself.
        it.fits |= fits && !runs_on;
        it.is_filled = covered(&joined(inner, 1.0), 0.0, width) >= ALONG * width;
    }
}

/// True for a text that stands between the jambs of an opening, near its wall.
fn is_beside(axis: &Axis, width: f64, at: Coord<f64>) -> bool {
    axis.d(at).abs() < BESIDE_WALL && (0.0..=width).contains(&axis.s(at))
}

/// True when a line along an opening is as long as it is wide and lies partly in the wall at one end of it.
fn comes_out_of_wall((from, to): Interval, width: f64) -> bool {
    let fits = ((to - from) - width).abs() < FRAME;
    let is_across = |end: f64| from < end - IN_POCKET && to > end + IN_POCKET;
    fits && is_across(0.0) != is_across(width)
}

/// Arcs that may be swings of doors: those drawn as arcs, and chords that lie on one.
pub(in crate::plan) fn arcs(drawing: &Drawing, lines: &Lines) -> Vec<Arc> {
    let origin = lines.origin;
    let is_visible = |index: SourceIndex| {
        drawing
            .sources
            .get(index.0 as usize)
            .is_some_and(|source| !source.is_hidden)
    };
    let mut list: Vec<Arc> = drawing
        .strokes
        .iter()
        .filter_map(|stroke| match stroke.curve {
            Curve::Arc {
                centre,
                radius,
                start_angle,
                sweep,
            } if is_visible(stroke.source) => {
                let fits = (LEAF.0..=LEAF.1).contains(&radius) && (0.5..2.3).contains(&sweep.abs());
                let angle = start_angle + sweep / 2.0;
                let out = Coord {
                    x: angle.cos(),
                    y: angle.sin(),
                };
                let centre = centre - origin;
                fits.then(|| Arc {
                    centre,
                    radius,
                    middle: centre + out * radius,
                    source: stroke.source,
                })
            }
            Curve::Arc { .. } | Curve::Line { .. } => None,
        })
        .collect();
    list.extend(lines.chorded.iter().filter_map(|it| {
        let fits = (LEAF.0..=LEAF.1).contains(&it.radius) && (0.9..2.3).contains(&it.sweep);
        fits.then(|| Arc {
            centre: it.centre,
            radius: it.radius,
            middle: it.points[it.points.len() / 2],
            source: it.source,
        })
    }));
    list.sort_by(|p, q| {
        p.centre
            .x
            .total_cmp(&q.centre.x)
            .then(p.centre.y.total_cmp(&q.centre.y))
            .then(p.middle.x.total_cmp(&q.middle.x))
    });
    list.dedup_by(|p, q| distance(p.centre, q.centre) < 0.1 && distance(p.middle, q.middle) < 0.1);
    list
}

#[cfg(test)]
mod tests {
    use crate::drawing::{Source, SourceIndex};
    use crate::plan::trial::{
        Swing, drawing, exterior_openings, open_shell, recovered_with, shell,
    };
    use crate::plan::{OpeningKind, PlanCorrections, recover_plan};

    #[test]
    fn two_windows_without_jambs_on_their_layer_are_no_opening_from_corner_to_corner() {
        // Both faces of the right wall go through, and those of the walls across go on to its outer face.
        let mut lines = shell();
        lines.extend([[354.0, 6.0, 360.0, 6.0], [354.0, 234.0, 360.0, 234.0]]);
        lines.extend([[354.0, 0.0, 354.0, 6.0], [354.0, 234.0, 354.0, 240.0]]);
        lines.retain(|l| !(l[0] > 353.0 && l[2] > 353.0 && (l[1] - l[3]).abs() > 100.0));
        let places = [(30.0, 90.0), (130.0, 200.0)];
        for x in [354.0, 360.0] {
            let (low, high) = if x > 355.0 {
                (0.0, 240.0)
            } else {
                (6.0, 234.0)
            };
            lines.extend([[x, low, x, 30.0], [x, 90.0, x, 130.0], [x, 200.0, x, high]]);
        }
        let n_walls = lines.len();
        for (from, to) in places {
            lines.extend([354.0, 356.5, 357.5, 360.0].map(|x| [x, from, x, to]));
        }
        let mut drawing = drawing(&lines, &[], &[]);
        drawing.sources.push(Source {
            layer: "A-GLAZ".to_owned(),
            ..Source::default()
        });
        drawing.sources[0].layer = "A-WALL".to_owned();
        for stroke in &mut drawing.strokes[n_walls..] {
            stroke.source = SourceIndex(1);
        }
        let found = recover_plan(&[drawing], &PlanCorrections::default()).output;
        let wanted = [[357.0, 60.0, 60.0], [357.0, 165.0, 70.0]];
        assert_eq!(exterior_openings(&found), wanted);
    }

    #[test]
    fn two_leaves_of_unequal_width_are_one_door() {
        let half = std::f64::consts::FRAC_PI_2;
        let swing = |x: f64, radius: f64, start: f64| Swing {
            centre: [x, 6.0],
            radius,
            start,
        };
        let swings = [swing(100.0, 36.0, 0.0), swing(154.0, 18.0, half)];
        let found = recovered_with(&open_shell(100.0, 154.0), &swings);
        let openings = &found.output.storeys[0].openings;
        assert_eq!((openings.len(), openings[0].kind), (1, OpeningKind::Door));
        assert!(found.findings.iter().all(|it| it.place.at.is_none()));
    }
}
