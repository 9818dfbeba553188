//! The panel from outside: outline, holes, recesses, lumber, chases, screws, picks, centre of gravity.

use super::arrange::Arrangement;
use super::broken::{PanelView, clear_breaks, draw_breaks, draw_ring, draw_row};
use super::hidden::HiddenLines;
use super::subject::{Hand, Subject};
use crate::documents::paper::overlap::{DATUM, LIFTING};
use crate::documents::paper::style::{Dash, Fill, Hatch, Pen, RECESS_HATCH};
use crate::documents::paper::symbol::{pick_point, quartered_disc};
use crate::documents::paper::{Area, Canvas, Form, Spot, spot};
use crate::fabrication::{FabricatedPanel, Fitted, PartFace};
use crate::geometry::{ShopRect, ShopRing};
use crate::layout::WallEnd;
use crate::units::Length;

/// Radius of the sign at the datum corner, mm.
const DATUM_RADIUS: f64 = 2.4;

/// Radius of the sign for the centre of gravity, mm.
pub(super) const GRAVITY_RADIUS: f64 = 2.6;

pub(super) fn draw_view(canvas: &mut Canvas, subject: &Subject<'_>, arrangement: &Arrangement) {
    let view = &arrangement.view;
    let panel = subject.panel;
    canvas.group("recess", "Foam stands back (hatched)", |canvas| {
        let contours: Vec<Vec<Spot>> = rings(&panel.outer_skin)
            .chain(panel.core_pieces().flat_map(rings))
            .map(|ring| on_paper(ring, view))
            .collect();
        canvas.hatch(&recess_hatch(subject, view), &contours);
    });
    canvas.group("chases", "Chases", |canvas| {
        for chase in &panel.chases {
            canvas.line(
                Pen::Thin.dashed(Dash::Chase),
                point(view, chase.from.x, chase.from.y),
                point(view, chase.to.x, chase.to.y),
            );
        }
    });
    draw_hidden(canvas, subject, view);
    draw_beyond(canvas, subject, view);
    draw_voids(canvas, subject, view);
    let drawn = with_beyond(subject, view, arrangement.panel);
    clear_breaks(canvas, view, drawn);
    let id = format!("outline-{}", panel.mark);
    canvas.group_with(&id, "Outline", &[("panel", &panel.mark)], |canvas| {
        draw_ring(canvas, view, &panel.outer_skin.outline);
    });
    draw_breaks(canvas, view, drawn);
    draw_trim_line(canvas, subject, view);
    draw_openings(canvas, subject, view);
    draw_screws(canvas, subject, view);
    canvas.group(LIFTING, "Picks and centre of gravity", |canvas| {
        for pick in &panel.pick_points {
            pick_point(canvas, point(view, pick.x, pick.y));
        }
        let [x, y] = panel.centre_of_gravity;
        quartered_disc(canvas, view.spot(x, y), GRAVITY_RADIUS);
    });
    canvas.group(DATUM, "Datum corner", |canvas| {
        draw_cut_corner(canvas, subject, view);
        quartered_disc(canvas, view.origin, DATUM_RADIUS);
    });
}

/// Where the datum corner is cut away, the two edges of the blank that meet there.
fn draw_cut_corner(canvas: &mut Canvas, subject: &Subject<'_>, view: &PanelView) {
    if !subject.is_datum_cut_away() {
        return;
    }
    let outline = &subject.panel.outer_skin.outline.0;
    let along = outline.iter().filter(|it| it.y == Length::ZERO);
    let up = outline.iter().filter(|it| it.x == Length::ZERO);
    let ends = [
        along
            .map(|it| point(view, it.x, it.y))
            .min_by(|a, b| a.x.total_cmp(&b.x)),
        up.map(|it| point(view, it.x, it.y))
            .max_by(|a, b| a.y.total_cmp(&b.y)),
    ];
    for end in ends.into_iter().flatten() {
        canvas.line(Pen::Fine.dashed(Dash::Phantom), view.origin, end);
    }
}

/// The hatch of recesses, the closer the narrower they are on paper: the least of them must still show lines.
fn recess_hatch(subject: &Subject<'_>, view: &PanelView) -> Hatch {
    /// Lines closer than this print as grey, mm.
    const CLOSEST: f64 = 0.6;
    let recesses = subject.panel.edges.iter().map(|edge| edge.recess);
    let least = recesses.filter(|it| *it > Length::ZERO).min();
    let narrow = least.map_or(f64::INFINITY, |it| it.to_inches() * view.scale);
    Hatch {
        spacing: RECESS_HATCH.spacing.min(narrow * 0.6).max(CLOSEST),
        ..RECESS_HATCH
    }
}

/// A point of the panel on paper.
pub(super) fn point(view: &PanelView, x: Length, y: Length) -> Spot {
    view.spot(x.to_inches(), y.to_inches())
}

/// A rectangle of the panel on paper.
pub(super) fn area(view: &PanelView, rect: &ShopRect) -> Area {
    Area::of(point(view, rect.x0, rect.y0), point(view, rect.x1, rect.y1))
}

fn rings(face: &PartFace) -> impl Iterator<Item = &ShopRing> {
    std::iter::once(&face.outline).chain(&face.holes)
}

fn on_paper(ring: &ShopRing, view: &PanelView) -> Vec<Spot> {
    ring.0.iter().map(|p| point(view, p.x, p.y)).collect()
}

/// Edges behind the outer skin: the foam's own, the lumber's, the inner skin's where it differs. No edge is drawn twice.
fn draw_hidden(canvas: &mut Canvas, subject: &Subject<'_>, view: &PanelView) {
    let panel = subject.panel;
    let mut hidden = HiddenLines::default();
    for ring in rings(&panel.outer_skin) {
        hidden.cover(ring);
    }
    let inner = Some(&panel.inner_skin).filter(|it| **it != panel.outer_skin);
    let bounds = ShopRect::new(Length::ZERO, Length::ZERO, panel.width, panel.height);
    canvas.group("hidden", "Foam and lumber behind the skin", |canvas| {
        let mut draw = |canvas: &mut Canvas, ring: &ShopRing| {
            for (from, to) in hidden.add(ring) {
                canvas.line(
                    Pen::Thin.dashed(Dash::Hidden),
                    point(view, from.x, from.y),
                    point(view, to.x, to.y),
                );
            }
        };
        let foam = panel.core_pieces().flat_map(rings);
        for ring in foam.chain(inner.into_iter().flat_map(rings)) {
            draw(canvas, ring);
        }
        for (index, lumber) in panel.lumber.iter().enumerate() {
            // Pieces that lie behind each other show the same lines: the first draws them for all.
            let mut before = panel.lumber.iter().take(index);
            if before.any(|it| it.rect == lumber.rect) {
                continue;
            }
            if let Some(inside) = lumber.rect.common(&bounds) {
                let marks = marks_at(panel, &lumber.rect);
                let id = format!("lumber-{}", lumber.mark);
                canvas.group_with(&id, &marks, &[("part", &marks)], |canvas| {
                    draw(canvas, &inside.ring());
                });
            }
        }
    });
}

/// Marks of the lumber in a place, as `data-part` names them.
fn marks_at(panel: &FabricatedPanel, rect: &ShopRect) -> String {
    let there = panel.lumber.iter().filter(|it| it.rect == *rect);
    let marks: Vec<&str> = there.map(|it| it.mark.as_str()).collect();
    marks.join(" ")
}

/// The panel with the lumber that stands beyond its ends: a height left out is left out of both.
fn with_beyond(subject: &Subject<'_>, view: &PanelView, panel: Area) -> Area {
    if view.heights().next().is_none() {
        return panel;
    }
    let lumber = subject.panel.lumber.iter();
    let plant = lumber.filter(|it| it.fitted == Fitted::Plant);
    plant.fold(panel, |whole, it| {
        let own = area(view, &it.rect);
        Area::new(
            whole.x0.min(own.x0),
            whole.y0,
            whole.x1.max(own.x1),
            whole.y1,
        )
    })
}

/// What of plant-fitted lumber stands beyond the skins: splines, the ends of a head buck over jacks.
fn draw_beyond(canvas: &mut Canvas, subject: &Subject<'_>, view: &PanelView) {
    let width = subject.panel.width;
    canvas.group("beyond", "Lumber beyond the skin", |canvas| {
        for lumber in &subject.panel.lumber {
            let rect = lumber.rect;
            if lumber.fitted != Fitted::Plant {
                continue;
            }
            let parts = [
                (rect.x0 < Length::ZERO).then(|| ShopRect {
                    x1: rect.x1.min(Length::ZERO),
                    ..rect
                }),
                (rect.x1 > width).then(|| ShopRect {
                    x0: rect.x0.max(width),
                    ..rect
                }),
            ];
            let id = format!("beyond-{}", lumber.mark);
            canvas.group_with(&id, &lumber.mark, &[("part", &lumber.mark)], |canvas| {
                for part in parts.into_iter().flatten() {
                    canvas.shape(Form::Area(area(view, &part)), Pen::Edge.full(), Fill::White);
                }
                // A door's bridge stands in its notch.
                if lumber.usage.contains("bridge") {
                    canvas.rect(Pen::Edge.dashed(Dash::Phantom), area(view, &rect));
                }
            });
        }
    });
}

/// Where the end of a make-up panel is trimmed as drawn.
fn draw_trim_line(canvas: &mut Canvas, subject: &Subject<'_>, view: &PanelView) {
    let panel = subject.panel;
    if panel.make_up == Length::ZERO {
        return;
    }
    let x = panel.width - panel.make_up;
    let [low, high] = subject.end_span(Hand::Right);
    canvas.group(
        "trim",
        "Where the right end is trimmed, as drawn",
        |canvas| {
            canvas.line(
                Pen::Edge.dashed(Dash::Phantom),
                point(view, x, low),
                point(view, x, high),
            );
        },
    );
}

/// Both diagonals of every opening: nothing is there, as shop drawings say it (common practice, no source).
fn draw_voids(canvas: &mut Canvas, subject: &Subject<'_>, view: &PanelView) {
    canvas.group("voids", "Openings: nothing is there", |canvas| {
        for (_, hole) in subject.holes() {
            let hole = area(view, &hole);
            let fine = Pen::Fine.full();
            canvas.line(fine, spot(hole.x0, hole.y0), spot(hole.x1, hole.y1));
            canvas.line(fine, spot(hole.x0, hole.y1), spot(hole.x1, hole.y0));
        }
    });
}

fn draw_openings(canvas: &mut Canvas, subject: &Subject<'_>, view: &PanelView) {
    for (id, hole) in subject.holes() {
        let group = format!("opening-{id}");
        canvas.group_with(
            &group,
            &format!("Opening {id}"),
            &[("opening", id)],
            |canvas| {
                let bounds = subject.panel.outer_skin.holes.iter();
                let is_hole = bounds
                    .filter_map(ShopRing::bounds)
                    .any(|bounds| bounds == hole);
                if is_hole && !view.is_broken() {
                    canvas.rect(Pen::Heavy.full(), area(view, &hole));
                } else {
                    // A notch is part of the outline; its sides stand here too, so that the opening can be pointed at.
                    let [x0, y0, x1, y1] =
                        [hole.x0, hole.y0, hole.x1, hole.y1].map(Length::to_inches);
                    let corners = [[x0, y0], [x0, y1], [x1, y1], [x1, y0]];
                    draw_row(canvas, view, &corners, is_hole);
                }
            },
        );
    }
}

/// Crosses where screws go through the panel at a corner: half a spacing from the end, then at the spacing, as they are
/// counted, the last below the plate.
fn draw_screws(canvas: &mut Canvas, subject: &Subject<'_>, view: &PanelView) {
    let panel = subject.panel;
    canvas.group("screws", "Corner screws, on site", |canvas| {
        for hand in [Hand::Left, Hand::Right] {
            if subject.wall_end(hand) != Some(WallEnd::Through) {
                continue;
            }
            // Into the middle of the wall that butts.
            let inwards = subject.assembly.thickness().half();
            let x = match hand {
                Hand::Left => inwards,
                Hand::Right => panel.width - inwards,
            };
            let [low, _] = subject.end_span(hand);
            let is_shown = |y: &Length| !view.is_left_out((low + *y).to_inches());
            for y in subject.screws(hand).into_iter().filter(is_shown) {
                let at = point(view, x, low + y);
                canvas.shape(
                    Form::Hatch(vec![
                        (spot(at.x - 1.2, at.y), spot(at.x + 1.2, at.y)),
                        (spot(at.x, at.y - 1.2), spot(at.x, at.y + 1.2)),
                    ]),
                    Pen::Thin.full(),
                    Fill::None,
                );
            }
        }
    });
}
