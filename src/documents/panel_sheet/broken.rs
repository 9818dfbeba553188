//! A long or a tall panel drawn with lengths left out where nothing is, rather than so small that nobody reads it.
//!
//! ```text
//!   ┌────────╲ ╲────────╲ ╲────────┐
//!   │        ╱ ╱        ╱ ╱        │    ordinates stay true
//!   └────────╲ ╲────────╲ ╲────────┘
//! ```

use super::subject::Subject;
use crate::documents::details::break_line;
use crate::documents::paper::scale::Scale;
use crate::documents::paper::style::{Fill, Pen};
use crate::documents::paper::{Area, Canvas, Form, Spot, spot};
use crate::geometry::ShopRing;
use crate::units::Length;

/// A panel is drawn whole down to this scale: 3/8" = 1'-0" is read at arm's length.
const WHOLE: f64 = 32.0;
/// What is broken is drawn no larger than 1" = 1'-0".
const LARGEST: f64 = 12.0;
/// More than two breaks make a puzzle.
const MOST: usize = 2;
/// What a length left out keeps on paper, mm.
const GAP: f64 = 5.0;
/// What stays of the panel on both sides of a break, beside whatever is shown there, mm: where that is too much, the less.
const KEEP: [f64; 2] = [9.0, 5.0];
/// Along a slope something is shown at so many places: it is not broken.
const ON_SLOPE: u32 = 16;

/// A length or a height left out, inches from the datum corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Break {
    pub(super) from: f64,
    pub(super) to: f64,
}

impl Break {
    /// Is a place left out, or so near that a sign there would stand on the break?
    pub(super) fn holds(&self, x: f64) -> bool {
        /// Inches.
        const NEAR: f64 = 6.0;
        self.from - NEAR <= x && x <= self.to + NEAR
    }
}

/// A panel's inches on paper: x right, y up, at a scale, without the lengths left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct PanelView {
    /// Where the datum corner lies on paper.
    pub(super) origin: Spot,
    /// Millimetres on paper for one inch of the panel.
    pub(super) scale: f64,
    breaks: [Option<Break>; MOST],
    /// Heights left out: of a panel that is broken in its length none.
    heights: [Option<Break>; MOST],
}

impl PanelView {
    /// One that shows all.
    pub(super) const fn whole(scale: f64) -> Self {
        Self {
            origin: spot(0.0, 0.0),
            scale,
            breaks: [None; MOST],
            heights: [None; MOST],
        }
    }

    /// What is left out, from the left.
    pub(super) fn breaks(&self) -> impl Iterator<Item = Break> {
        self.breaks.into_iter().flatten()
    }

    /// What is left out of its height, from the bottom.
    pub(super) fn heights(&self) -> impl Iterator<Item = Break> {
        self.heights.into_iter().flatten()
    }

    /// Is anything left out?
    pub(super) fn is_broken(&self) -> bool {
        self.breaks().chain(self.heights()).next().is_some()
    }

    /// Is a height left out?
    pub(super) fn is_left_out(&self, y: f64) -> bool {
        self.heights().any(|it| it.from < y && y < it.to)
    }

    pub(super) fn spot(&self, x: f64, y: f64) -> Spot {
        spot(self.x(x), self.y(y))
    }

    pub(super) fn x(&self, x: f64) -> f64 {
        self.origin.x + x * self.scale - self.saved(self.breaks(), x)
    }

    pub(super) fn y(&self, y: f64) -> f64 {
        self.origin.y - y * self.scale + self.saved(self.heights(), y)
    }

    /// What breaks take off a distance from the datum corner, mm.
    fn saved(&self, breaks: impl Iterator<Item = Break>, at: f64) -> f64 {
        let left_out = |it: Break| {
            let length = it.to - it.from;
            let part = ((at - it.from) / length).clamp(0.0, 1.0);
            part * (length * self.scale - GAP)
        };
        breaks.map(left_out).sum()
    }

    pub(super) fn area(&self, x0: f64, y0: f64, x1: f64, y1: f64) -> Area {
        Area::of(self.spot(x0, y0), self.spot(x1, y1))
    }

    /// How wide something of `width` inches is on paper.
    pub(super) fn wide(&self, width: f64) -> f64 {
        self.x(width) - self.origin.x
    }

    /// How high something of `height` inches is on paper.
    pub(super) fn high(&self, height: f64) -> f64 {
        self.origin.y - self.y(height)
    }
}

/// A larger scale at which a panel fits its room when lengths are left out, or heights, if it would be small without.
///
/// - `whole`: the scale at which all of it fits.
/// - `room`: width and height on paper, mm.
/// - `beside`: how much of the width a view broken in its length leaves to the words beside it.
pub(super) fn broken(
    subject: &Subject<'_>,
    list: &[Scale],
    whole: Scale,
    room: [f64; 2],
    beside: f64,
) -> Option<(Scale, PanelView)> {
    if whole.ratio <= WHOLE {
        return None;
    }
    let [width, height] = [subject.panel.width, subject.panel.height].map(Length::to_inches);
    let shown = shown(subject);
    let larger = list.iter().filter(|it| it.ratio >= LARGEST);
    let mut larger = larger.take_while(|it| it.ratio < whole.ratio);
    larger.find_map(|scale| {
        let k = scale.per_inch();
        let mut view = PanelView::whole(k);
        let within = |shown: &[f64], room: f64| {
            let mut found = KEEP.iter();
            found.find_map(|keep| breaks_between(shown, k, room, *keep))
        };
        if height * k <= room[1] {
            view.breaks = within(&shown[0], room[0] - beside)?;
        } else if width * k <= room[0] {
            view.heights = within(&shown[1], room[1])?;
        } else {
            return None;
        }
        Some((*scale, view))
    })
}

/// Where along the panel and in its height something begins, ends or stands, inches, in order.
fn shown(subject: &Subject<'_>) -> [Vec<f64>; 2] {
    let panel = subject.panel;
    let skins = [&panel.outer_skin, &panel.inner_skin].into_iter();
    let faces = skins.chain(panel.core_pieces());
    let rings = faces.flat_map(|it| std::iter::once(&it.outline).chain(&it.holes));
    let rings: Vec<&ShopRing> = rings.collect();
    let corners = rings.iter().flat_map(|it| &it.0);
    let mut spots: Vec<[Length; 2]> = corners.map(|it| [it.x, it.y]).collect();
    let cuts = panel.inner_cuts.iter().map(|it| &it.rect);
    let rects = panel.lumber.iter().map(|it| &it.rect).chain(cuts);
    spots.extend(rects.flat_map(|it| [[it.x0, it.y0], [it.x1, it.y1]]));
    let chases = panel.chases.iter().flat_map(|it| [it.from, it.to]);
    let points = chases.chain(panel.pick_points.iter().copied());
    spots.extend(points.map(|it| [it.x, it.y]));
    spots.push([
        panel.width - panel.make_up,
        subject.deck().unwrap_or(Length::ZERO),
    ]);
    let mut spots: Vec<[f64; 2]> = spots.iter().map(|it| it.map(Length::to_inches)).collect();
    spots.extend(rings.into_iter().flat_map(along_slopes));
    spots.push(panel.centre_of_gravity);
    let news = subject.input.issue.news_of(&panel.mark);
    let places = news.map_or(&[][..], |it| &it.places);
    spots.extend(
        places
            .iter()
            .flat_map(|[x0, y0, x1, y1]| [[*x0, *y0], [*x1, *y1]]),
    );
    let ends = [panel.width, panel.height].map(Length::to_inches);
    std::array::from_fn(|axis| {
        let mut all: Vec<f64> = spots.iter().map(|it| it[axis]).collect();
        all.retain(|it| (0.0..=ends[axis]).contains(it));
        all.extend([0.0, ends[axis]]);
        all.sort_by(f64::total_cmp);
        all
    })
}

/// Places along the slopes of a ring, inches: broken they would not meet.
fn along_slopes(ring: &ShopRing) -> Vec<[f64; 2]> {
    let next = ring.0.iter().skip(1).chain(ring.0.first());
    let sides = ring.0.iter().zip(next);
    let slopes = sides.filter(|(a, b)| a.x != b.x && a.y != b.y);
    slopes
        .flat_map(|(a, b)| {
            let [a, b] = [a, b].map(|it| [it.x, it.y].map(Length::to_inches));
            (1..ON_SLOPE).map(move |step| {
                let part = f64::from(step) / f64::from(ON_SLOPE);
                std::array::from_fn(|axis| a[axis] + (b[axis] - a[axis]) * part)
            })
        })
        .collect()
}

/// The longest empty stretches give what is too long for the room, each in its share.
///
/// - `keep`: what stays on both sides of a break, mm.
fn breaks_between(
    shown: &[f64],
    scale: f64,
    room: f64,
    keep: f64,
) -> Option<[Option<Break>; MOST]> {
    let width = shown.last()? - shown.first()?;
    let excess = width * scale - room;
    // How much of a stretch can go, mm.
    let spare = |pair: &[f64; 2]| (pair[1] - pair[0]) * scale - 2.0 * keep - GAP;
    let pairs = shown.iter().zip(shown.iter().skip(1));
    let mut stretches: Vec<[f64; 2]> = pairs.map(|(a, b)| [*a, *b]).collect();
    stretches.retain(|it| spare(it) > 0.0);
    stretches.sort_by(|a, b| spare(b).total_cmp(&spare(a)).then(a[0].total_cmp(&b[0])));
    stretches.truncate(MOST);
    let all: f64 = stretches.iter().map(spare).sum();
    if all < excess {
        return None;
    }
    stretches.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut breaks = [None; MOST];
    for (place, stretch) in breaks.iter_mut().zip(&stretches) {
        let half = (spare(stretch) * excess / all + GAP) / scale / 2.0;
        let middle = (stretch[0] + stretch[1]) / 2.0;
        *place = Some(Break {
            from: middle - half,
            to: middle + half,
        });
    }
    Some(breaks)
}

/// A closed ring as the rows of lines that are left of it; one that is closed where nothing is left out.
pub(super) fn draw_ring(canvas: &mut Canvas, view: &PanelView, ring: &ShopRing) {
    let corners = ring.0.iter().map(|it| [it.x, it.y].map(Length::to_inches));
    draw_row(canvas, view, &corners.collect::<Vec<_>>(), true);
}

/// A row of corners, inches, as the rows of lines that are left of it.
///
/// - `is_closed`: the last corner leads to the first.
pub(super) fn draw_row(
    canvas: &mut Canvas,
    view: &PanelView,
    corners: &[[f64; 2]],
    is_closed: bool,
) {
    let stroke = Pen::Heavy.full();
    let mut done: Vec<Vec<Spot>> = Vec::new();
    let mut row: Vec<Spot> = Vec::new();
    let first = corners.first().filter(|_| is_closed);
    let next = corners.iter().skip(1).chain(first);
    for (a, b) in corners.iter().zip(next) {
        row.push(view.spot(a[0], a[1]));
        for (axis, it) in crossed(view, [*a, *b]) {
            let on_side = |at: f64| {
                let part = (at - a[axis]) / (b[axis] - a[axis]);
                view.spot(a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part)
            };
            let [into, out] = if b[axis] < a[axis] {
                [it.to, it.from]
            } else {
                [it.from, it.to]
            };
            row.push(on_side(into));
            done.push(std::mem::take(&mut row));
            row.push(on_side(out));
        }
    }
    if !is_closed {
        row.extend(corners.last().map(|it| view.spot(it[0], it[1])));
        done.push(std::mem::take(&mut row));
    } else if done.is_empty() {
        canvas.polygon(stroke, row);
        return;
    } else if let Some(first) = done.first_mut() {
        // The ring's start lies within a row.
        row.append(first);
        *first = row;
    }
    for row in done {
        canvas.polyline(stroke, row);
    }
}

/// The breaks that a line crosses, in its direction, with the axis they lie on.
fn crossed(view: &PanelView, [a, b]: [[f64; 2]; 2]) -> Vec<(usize, Break)> {
    let all = view.breaks().map(|it| (0, it));
    let all = all.chain(view.heights().map(|it| (1, it)));
    let ends = |axis: usize| (a[axis].min(b[axis]), a[axis].max(b[axis]));
    let is_crossed = |(axis, it): &(usize, Break)| ends(*axis).0 < it.from && it.to < ends(*axis).1;
    let mut found: Vec<(usize, Break)> = all.filter(is_crossed).collect();
    if found.first().is_some_and(|(axis, _)| b[*axis] < a[*axis]) {
        found.reverse();
    }
    found
}

/// Takes what is left out off the paper; what the saw follows is drawn after it.
pub(super) fn clear_breaks(canvas: &mut Canvas, view: &PanelView, panel: Area) {
    for area in break_areas(view, panel) {
        canvas.shape(Form::Area(area.grown(0.5)), None, Fill::White);
    }
}

/// A break line at each side of what is left out.
pub(super) fn draw_breaks(canvas: &mut Canvas, view: &PanelView, panel: Area) {
    if !view.is_broken() {
        return;
    }
    canvas.group("breaks", "Left out: nothing stands there", |canvas| {
        for it in break_areas(view, panel) {
            if view.heights().next().is_some() {
                for y in [it.y0, it.y1] {
                    break_line(canvas, spot(it.x0, y), spot(it.x1, y));
                }
            } else {
                for x in [it.x0, it.x1] {
                    break_line(canvas, spot(x, it.y0), spot(x, it.y1));
                }
            }
        }
    });
}

/// What the breaks take on paper.
pub(super) fn break_areas(view: &PanelView, panel: Area) -> impl Iterator<Item = Area> {
    let lengths = view.breaks().map(|it| [view.x(it.from), view.x(it.to)]);
    let lengths = lengths.map(move |[x0, x1]| Area::new(x0, panel.y0, x1, panel.y1));
    let heights = view.heights().map(|it| [view.y(it.to), view.y(it.from)]);
    lengths.chain(heights.map(move |[y0, y1]| Area::new(panel.x0, y0, panel.x1, y1)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_empty_stretches_give_what_does_not_fit_and_what_is_shown_stays_at_scale() {
        // 16 ft with its picks and centre of gravity, at 1:24 in 120 mm.
        let shown = [0.0, 1.5, 70.0, 96.0, 122.0, 190.5, 192.0];
        let scale = 25.4 / 24.0;
        let mut view = PanelView::whole(scale);
        view.breaks = breaks_between(&shown, scale, 120.0, KEEP[0]).unwrap();
        assert!((view.wide(192.0) - 120.0).abs() < 1e-9);
        let breaks: Vec<Break> = view.breaks().collect();
        assert_eq!(breaks.len(), 2);
        for it in breaks {
            assert!((view.x(it.to) - view.x(it.from) - GAP).abs() < 1e-9);
            assert!(
                shown.iter().all(|x| *x <= it.from - KEEP[0] / scale + 1e-9
                    || it.to + KEEP[0] / scale - 1e-9 <= *x)
            );
        }
        // Between picks nothing is left out.
        assert!((view.x(122.0) - view.x(70.0) - 52.0 * scale).abs() < 1e-9);
        // 24 ft with a chase each 2 ft: a puzzle.
        let close: Vec<f64> = (0..=12).map(|i| 24.0 * f64::from(i)).collect();
        assert_eq!(breaks_between(&close, scale, 120.0, KEEP[0]), None);
        // The same upright: heights shown keep their scale, and paper runs down.
        let mut upright = PanelView::whole(scale);
        upright.heights = breaks_between(&shown, scale, 120.0, KEEP[0]).unwrap();
        assert!((upright.high(192.0) - 120.0).abs() < 1e-9);
        assert!((upright.y(70.0) - upright.y(122.0) - 52.0 * scale).abs() < 1e-9);
        assert!(upright.is_left_out(40.0) && !upright.is_left_out(96.0));
    }
}
