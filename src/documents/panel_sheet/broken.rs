//! A long panel drawn with lengths left out where nothing is, rather than so small that nobody reads it.
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
/// What stays of the panel on both sides of a break, beside whatever is shown there, mm.
const KEEP: f64 = 9.0;

/// A length left out, inches from the datum corner.
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
}

impl PanelView {
    /// One that shows all.
    pub(super) const fn whole(scale: f64) -> Self {
        Self {
            origin: spot(0.0, 0.0),
            scale,
            breaks: [None; MOST],
        }
    }

    /// What is left out, from the left.
    pub(super) fn breaks(&self) -> impl Iterator<Item = Break> {
        self.breaks.into_iter().flatten()
    }

    pub(super) fn spot(&self, x: f64, y: f64) -> Spot {
        spot(self.x(x), self.y(y))
    }

    pub(super) fn x(&self, x: f64) -> f64 {
        let left_out = |it: Break| {
            let length = it.to - it.from;
            let part = ((x - it.from) / length).clamp(0.0, 1.0);
            part * (length * self.scale - GAP)
        };
        self.origin.x + x * self.scale - self.breaks().map(left_out).sum::<f64>()
    }

    pub(super) fn y(&self, y: f64) -> f64 {
        self.origin.y - y * self.scale
    }

    pub(super) fn area(&self, x0: f64, y0: f64, x1: f64, y1: f64) -> Area {
        Area::of(self.spot(x0, y0), self.spot(x1, y1))
    }

    /// How wide something of `width` inches is on paper.
    pub(super) fn wide(&self, width: f64) -> f64 {
        self.x(width) - self.origin.x
    }
}

/// A larger scale at which a panel fits its room when lengths are left out, if it would be small without.
///
/// - `whole`: the scale at which all of it fits.
/// - `room`: width and height on paper, mm.
pub(super) fn broken(
    subject: &Subject<'_>,
    list: &[Scale],
    whole: Scale,
    room: [f64; 2],
) -> Option<(Scale, PanelView)> {
    if whole.ratio <= WHOLE {
        return None;
    }
    let height = subject.panel.height.to_inches();
    let shown = shown(subject);
    let larger = list.iter().filter(|it| it.ratio >= LARGEST);
    larger
        .take_while(|it| it.ratio < whole.ratio)
        .filter(|it| height * it.per_inch() <= room[1])
        .find_map(|scale| Some((*scale, view_with_breaks(&shown, scale.per_inch(), room[0])?)))
}

/// Where along the panel something begins, ends or stands, inches, in order.
fn shown(subject: &Subject<'_>) -> Vec<f64> {
    let panel = subject.panel;
    let skins = [&panel.outer_skin, &panel.inner_skin].into_iter();
    let faces = skins.chain(panel.core_pieces());
    let rings = faces.flat_map(|it| std::iter::once(&it.outline).chain(&it.holes));
    let mut all: Vec<Length> = rings.flat_map(|it| &it.0).map(|it| it.x).collect();
    all.extend(panel.lumber.iter().flat_map(|it| [it.rect.x0, it.rect.x1]));
    all.extend(panel.chases.iter().flat_map(|it| [it.from.x, it.to.x]));
    all.extend(
        panel
            .inner_cuts
            .iter()
            .flat_map(|it| [it.rect.x0, it.rect.x1]),
    );
    all.extend(panel.pick_points.iter().map(|it| it.x));
    all.push(panel.width - panel.make_up);
    let mut all: Vec<f64> = all.into_iter().map(Length::to_inches).collect();
    all.push(panel.centre_of_gravity[0]);
    let news = subject.input.issue.news_of(&panel.mark);
    let places = news.map_or(&[][..], |it| &it.places);
    all.extend(places.iter().flat_map(|[x0, _, x1, _]| [*x0, *x1]));
    let width = panel.width.to_inches();
    all.retain(|x| (0.0..=width).contains(x));
    all.extend([0.0, width]);
    all.sort_by(f64::total_cmp);
    all
}

/// The longest empty stretches give what is too long for the room, each in its share.
fn view_with_breaks(shown: &[f64], scale: f64, room: f64) -> Option<PanelView> {
    let width = shown.last()? - shown.first()?;
    let excess = width * scale - room;
    // How much of a stretch can go, mm.
    let spare = |pair: &[f64; 2]| (pair[1] - pair[0]) * scale - 2.0 * KEEP - GAP;
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
    let mut view = PanelView::whole(scale);
    for (place, stretch) in view.breaks.iter_mut().zip(&stretches) {
        let half = (spare(stretch) * excess / all + GAP) / scale / 2.0;
        let middle = (stretch[0] + stretch[1]) / 2.0;
        *place = Some(Break {
            from: middle - half,
            to: middle + half,
        });
    }
    Some(view)
}

/// A closed ring as the rows of lines that are left of it; one that is closed where nothing is left out.
pub(super) fn draw_ring(canvas: &mut Canvas, view: &PanelView, ring: &ShopRing) {
    let stroke = Pen::Heavy.full();
    let corners: Vec<[f64; 2]> = (ring.0.iter())
        .map(|it| [it.x.to_inches(), it.y.to_inches()])
        .collect();
    let mut done: Vec<Vec<Spot>> = Vec::new();
    let mut row: Vec<Spot> = Vec::new();
    let next = corners.iter().skip(1).chain(corners.first());
    for (a, b) in corners.iter().zip(next) {
        row.push(view.spot(a[0], a[1]));
        let (low, high) = (a[0].min(b[0]), a[0].max(b[0]));
        let mut crossed: Vec<Break> = view
            .breaks()
            .filter(|it| low < it.from && it.to < high)
            .collect();
        if b[0] < a[0] {
            crossed.reverse();
        }
        for it in crossed {
            let on_side = |x: f64| view.spot(x, a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0]));
            let [into, out] = if b[0] < a[0] {
                [it.to, it.from]
            } else {
                [it.from, it.to]
            };
            row.push(on_side(into));
            done.push(std::mem::take(&mut row));
            row.push(on_side(out));
        }
    }
    if done.is_empty() {
        canvas.polygon(stroke, row);
        return;
    }
    // The ring's start lies within a row.
    if let Some(first) = done.first_mut() {
        row.append(first);
        *first = row;
    }
    for row in done {
        canvas.polyline(stroke, row);
    }
}

/// Takes what is left out off the paper; what the saw follows is drawn after it.
pub(super) fn clear_breaks(canvas: &mut Canvas, view: &PanelView, panel: Area) {
    for area in break_areas(view, panel) {
        canvas.shape(Form::Area(area.grown(0.5)), None, Fill::White);
    }
}

/// A break line at each side of what is left out.
pub(super) fn draw_breaks(canvas: &mut Canvas, view: &PanelView, panel: Area) {
    if view.breaks().next().is_none() {
        return;
    }
    canvas.group(
        "breaks",
        "Length left out: nothing stands there",
        |canvas| {
            for it in break_areas(view, panel) {
                for x in [it.x0, it.x1] {
                    break_line(canvas, spot(x, it.y0), spot(x, it.y1));
                }
            }
        },
    );
}

/// What the breaks take on paper.
pub(super) fn break_areas(view: &PanelView, panel: Area) -> impl Iterator<Item = Area> {
    let ends = view.breaks().map(|it| [view.x(it.from), view.x(it.to)]);
    ends.map(move |[x0, x1]| Area::new(x0, panel.y0, x1, panel.y1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_longest_empty_stretches_give_what_does_not_fit_and_what_is_shown_stays_at_scale() {
        // 16 ft with its picks and centre of gravity, at 1:24 in 120 mm.
        let shown = [0.0, 1.5, 70.0, 96.0, 122.0, 190.5, 192.0];
        let scale = 25.4 / 24.0;
        let view = view_with_breaks(&shown, scale, 120.0).unwrap();
        assert!((view.wide(192.0) - 120.0).abs() < 1e-9);
        let breaks: Vec<Break> = view.breaks().collect();
        assert_eq!(breaks.len(), 2);
        for it in breaks {
            assert!((view.x(it.to) - view.x(it.from) - GAP).abs() < 1e-9);
            assert!(
                shown
                    .iter()
                    .all(|x| *x <= it.from - KEEP / scale + 1e-9
                        || it.to + KEEP / scale - 1e-9 <= *x)
            );
        }
        // Between picks nothing is left out.
        assert!((view.x(122.0) - view.x(70.0) - 52.0 * scale).abs() < 1e-9);
        // 24 ft with a chase each 2 ft: a puzzle.
        let close: Vec<f64> = (0..=12).map(|i| 24.0 * f64::from(i)).collect();
        assert_eq!(view_with_breaks(&close, scale, 120.0), None);
    }
}
