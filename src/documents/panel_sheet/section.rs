//! Where sections A-A (upright) and B-B (level) cut the panel, and B-B itself.

use super::arrange::Arrangement;
use super::subject::{Hand, Subject};
use crate::building::WallRole;
use crate::documents::details::{CutModels, CutPart, Part, break_line, draw_cut};
use crate::documents::paper::dimension::{DimensionString, Side, short_string};
use crate::documents::paper::scale::{fitting_scale, scales};
use crate::documents::paper::style::SMALL_SHEET;
use crate::documents::paper::symbol::view_title;
use crate::documents::paper::{Area, Canvas, Lettered, Spot, View, spot};
use crate::documents::plan_view::clip_ring;
use crate::layout::{PanelEdge, WallEnd};
use crate::units::{Inches, Length};

/// Where the two planes cut, panel axes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cuts {
    /// Of A-A.
    pub(super) x: Length,
    /// Of B-B.
    pub(super) y: Length,
    /// The end that B-B shows.
    pub(super) hand: Hand,
}

impl Cuts {
    /// Planes clear of chases and of the lines that leave the panel beside their marks.
    pub(super) fn of(subject: &Subject<'_>, arrangement: &Arrangement) -> Self {
        let is_spline = |hand| matches!(subject.edge(hand), PanelEdge::Spline { .. });
        let hand = if !is_spline(Hand::Right) && is_spline(Hand::Left) {
            Hand::Left
        } else {
            Hand::Right
        };
        Self {
            x: upright_plane(subject, arrangement),
            y: level_plane(subject, hand, arrangement),
            hand,
        }
    }
}

const NOTE: Lettered = Lettered::cap(SMALL_SHEET.note);
/// How far into the panel the inner mark of B-B reaches, mm.
const MARK_REACH: f64 = 17.0;
/// Places tried for a plane.
const PLACES: i64 = 48;

/// The place between two ends that lies best by a score, the first of equals.
fn best(from: Length, to: Length, score: impl Fn(Length) -> f64) -> Length {
    let sixteenth = Length::fraction(0, 1, 16);
    let mut found = (f64::NEG_INFINITY, from);
    for i in 1..PLACES {
        let at = (from + Length::nanometres((to - from).to_nanometres() / PLACES * i))
            .floor_to(sixteenth);
        let value = score(at);
        if value > found.0 {
            found = (value, at);
        }
    }
    found.1
}

fn upright_plane(subject: &Subject<'_>, arrangement: &Arrangement) -> Length {
    let panel = subject.panel;
    let hole = subject.holes().next().map(|(_, hole)| hole);
    let (from, to) = hole.map_or((Length::ZERO, panel.width), |hole| (hole.x0, hole.x1));
    let mut lines: Vec<Length> = panel.outer_skin.outline.0.iter().map(|p| p.x).collect();
    lines.extend(subject.holes().flat_map(|(_, hole)| [hole.x0, hole.x1]));
    lines.extend(panel.pick_points.iter().map(|p| p.x));
    lines.extend(
        panel
            .inner_cuts
            .iter()
            .flat_map(|cut| [cut.rect.x0, cut.rect.x1]),
    );
    lines.extend(
        panel
            .chases
            .iter()
            .filter(|c| c.from.x == c.to.x)
            .map(|c| c.from.x),
    );
    let view = &arrangement.view;
    best(from, to, |x| {
        let on_paper = view.x(x.to_inches());
        let in_break = view.breaks().any(|it| it.holds(x.to_inches()));
        let clear = lines
            .iter()
            .map(|line| {
                let d = on_paper - view.x(line.to_inches());
                // The mark reaches 6.4 mm to the left and 5.6 to the right.
                if d >= 0.0 { d / 6.4 } else { -d / 5.6 }
            })
            .fold(4.0, f64::min);
        let in_stud = panel
            .lumber
            .iter()
            .any(|it| it.is_upright && it.rect.x0 <= x && x <= it.rect.x1);
        clear - if in_stud { 2.0 } else { 0.0 } - if in_break { 8.0 } else { 0.0 }
    })
}

fn level_plane(subject: &Subject<'_>, hand: Hand, arrangement: &Arrangement) -> Length {
    let panel = subject.panel;
    let k = arrangement.scale.per_inch();
    let lines: Vec<Length> = panel
        .chases
        .iter()
        .filter(|c| c.from.y == c.to.y)
        .map(|c| c.from.y)
        .collect();
    let wanted = panel.height.to_inches() * 0.55;
    best(Length::ZERO, panel.height, |y| {
        let clear = lines
            .iter()
            .map(|line| {
                let above = (y - *line).to_inches() * k;
                // The words of a chase stand below its ordinate.
                above.abs() / if above < 0.0 { 20.0 } else { 14.0 }
            })
            .fold(1.0, f64::min);
        // The mark's twin stands inside the panel at that end: not in an opening that reaches it.
        let reach = MARK_REACH / k;
        let in_hole = subject.holes().any(|(_, hole)| {
            let beside = match hand {
                Hand::Left => hole.x0.to_inches() < reach,
                Hand::Right => (panel.width - hole.x1).to_inches() < reach,
            };
            let (y, room) = (y.to_inches(), 9.0 / k);
            beside && hole.y0.to_inches() - room <= y && y <= hole.y1.to_inches() + room
        });
        let [_, gravity] = panel.centre_of_gravity;
        let at_gravity = (y.to_inches() - gravity).abs() * k < 12.0;
        let off = (y.to_inches() - wanted).abs() / panel.height.to_inches().max(1.0);
        let in_break = arrangement.view.heights().any(|it| it.holds(y.to_inches()));
        let hidden = if in_break { 8.0 } else { 0.0 };
        clear - off - hidden - if in_hole { 2.0 } else { 0.0 } - if at_gravity { 0.5 } else { 0.0 }
    })
}

/// Height of the band for a section's title, mm.
pub(super) const TITLE: f64 = 16.0;

/// Draws section B-B: a level cut at one end with what meets it there, outside face down.
pub(super) fn draw_level(canvas: &mut Canvas, subject: &Subject<'_>, area: Area, cuts: &Cuts) {
    let models = models(subject);
    let height = subject.place.rect.y0 + cuts.y;
    let thickness = subject.assembly.thickness().to_inches();
    let (top, foot) = (area.y0 + 22.0, area.y1 - TITLE - 9.0);
    let is_corner = matches!(subject.edge(cuts.hand), PanelEdge::Corner { .. });
    let list = scales(subject.input.facts.sheets.scales);
    // At a corner the other wall needs room behind or beside.
    let tall = if is_corner {
        thickness * 1.7
    } else {
        thickness
    };
    let scale = fitting_scale(list, 4.0, [1.0, tall], [1e9, foot - top]);
    let k = scale.per_inch();
    let run = subject
        .input
        .layout
        .walls
        .get(subject.panel.wall)
        .map_or(Length::ZERO, |it| it.from);
    let end = (run + subject.place.rect.x0 + subject.end(cuts.hand)).to_inches();
    // A long wall has many panels: those that the window can show are cut.
    let reach = area.width() / k;
    let mut parts = models.level_of_some(subject.panel.wall, height, |[from, to]| {
        from <= end + reach && end - reach <= to
    });
    if let PanelEdge::Corner { with, .. } = subject.edge(cuts.hand) {
        let near = [end, reach + thickness];
        parts.extend(models.level_of_other(subject.panel.wall, with, height, near));
        parts.sort_by_key(|part| part.stuff);
    }
    let middle = area.middle();
    let base = foot - (foot - top - tall * k).max(0.0) / 2.0;
    // The joint stands in the middle; at a corner the panel needs more room than what lies beyond.
    let is_spline = matches!(subject.edge(cuts.hand), PanelEdge::Spline { .. });
    let share = match (is_corner, is_spline) {
        (true, _) => 0.14,
        (_, true) => 0.0,
        // Nothing lies beyond.
        _ => 0.28,
    };
    let out = if cuts.hand == Hand::Left { -1.0 } else { 1.0 };
    let shift = out * area.width() * share;
    let view = View {
        origin: spot(middle.x + shift - end * k, base),
        scale: k,
    };
    let half = area.width() / 2.0 - 4.0;
    let window = Area::new(
        middle.x - half,
        base - tall * k - 1.0,
        middle.x + half,
        base + if is_corner { 3.0 } else { 1.0 },
    );
    draw_cut(canvas, &parts, &|p: Spot| view.spot(p.x, p.y), &window);
    draw_breaks(canvas, &parts, &view, &window);
    draw_marks(canvas, subject, &parts, &view, &window);
    draw_level_words(canvas, subject, cuts, &view, window.y0 + 1.0, end);
    let side = match subject.wall.role {
        WallRole::Exterior => "OUTSIDE",
        WallRole::Bearing | WallRole::Party | WallRole::Partition => "OUTSIDE FACE",
    };
    let foot = window.y1 + 5.2;
    let (at, lettered) = match (
        draw_bevel(canvas, subject, cuts, (&view, end), window.y1),
        cuts.hand,
    ) {
        (false, _) => (middle.x, NOTE.middle()),
        (_, Hand::Left) => (window.x1, NOTE.end()),
        (_, Hand::Right) => (window.x0, NOTE),
    };
    canvas.text(spot(at, foot), side, lettered);
    let title = spot(area.x0 + 8.0, area.y1 - TITLE / 2.0);
    view_title(
        canvas,
        &SMALL_SHEET,
        title,
        "B",
        "SECTION B-B",
        &format!("SCALE {}   At y {}", scale.name, Inches(cuts.y)),
        area.x1 - 1.0,
    );
}

/// How much longer one skin is than the other at a bevelled end, below the section; false at other ends.
fn draw_bevel(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    cuts: &Cuts,
    (view, end): (&View, f64),
    edge: f64,
) -> bool {
    let inner = subject.panel.inner_skin.outline.bounds();
    let (Some(WallEnd::Mitre { .. }), Some(inner)) = (subject.wall_end(cuts.hand), inner) else {
        return false;
    };
    let beyond = match cuts.hand {
        Hand::Left => inner.x0,
        Hand::Right => inner.x1 - subject.panel.width,
    };
    let mut ends = [end, end + beyond.to_inches()];
    ends.sort_by(f64::total_cmp);
    let words = [super::subject::printed(ends[1] - ends[0])];
    if beyond != Length::ZERO {
        short_string(
            canvas,
            &DimensionString {
                side: Side::Below,
                edge,
                ends: &ends.map(|x| view.x(x)),
                words: &words,
                lane: 3.4,
                from: 0.8,
                cap: SMALL_SHEET.note,
            },
        );
    }
    beyond != Length::ZERO
}

/// Break lines where skins go on beyond the window.
fn draw_breaks(canvas: &mut Canvas, parts: &[CutPart], view: &View, window: &Area) {
    let mut sides: [Option<(f64, f64)>; 4] = [None; 4];
    for part in parts
        .iter()
        .filter(|part| matches!(part.part, Part::Skin(_)))
    {
        let ring: Vec<Spot> = part.ring.iter().map(|p| view.spot(p.x, p.y)).collect();
        let clipped = clip_ring(&ring, window);
        let on = [
            |p: &Spot, w: &Area| (p.x - w.x0).abs(),
            |p: &Spot, w: &Area| (p.x - w.x1).abs(),
            |p: &Spot, w: &Area| (p.y - w.y0).abs(),
            |p: &Spot, w: &Area| (p.y - w.y1).abs(),
        ];
        for (index, (off, side)) in on.iter().zip(&mut sides).enumerate() {
            let reaches: Vec<f64> = clipped
                .iter()
                .filter(|p| off(p, window) < 1e-6)
                .map(|p| if index < 2 { p.y } else { p.x })
                .collect();
            if reaches.len() < 2 {
                continue;
            }
            for at in reaches {
                let known = side.unwrap_or((at, at));
                *side = Some((known.0.min(at), known.1.max(at)));
            }
        }
    }
    for (index, side) in sides.into_iter().enumerate() {
        let Some((from, to)) = side else { continue };
        let at = |along: f64| match index {
            0 => spot(window.x0, along),
            1 => spot(window.x1, along),
            2 => spot(along, window.y0),
            _ => spot(along, window.y1),
        };
        break_line(canvas, at(from), at(to));
    }
}

/// Each panel's mark in its foam, where there is room for it.
fn draw_marks(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    parts: &[CutPart],
    view: &View,
    window: &Area,
) {
    let lettered = Lettered::cap(SMALL_SHEET.title).bold().middle().masked();
    let mut seen: Vec<(usize, Area)> = Vec::new();
    for part in parts.iter().filter(|part| part.part == Part::Foam) {
        let ring: Vec<Spot> = part.ring.iter().map(|p| view.spot(p.x, p.y)).collect();
        let (Some(panel), Some(extent)) = (part.panel, Area::around(&clip_ring(&ring, window)))
        else {
            continue;
        };
        let size = |area: &Area| area.width() * area.height();
        match seen.iter_mut().find(|(known, _)| *known == panel) {
            Some((_, known)) if size(known) < size(&extent) => *known = extent,
            Some(_) => {}
            None => seen.push((panel, extent)),
        }
    }
    for (panel, extent) in seen {
        let mark = subject
            .input
            .fabrication
            .panels
            .get(panel)
            .map_or("", |it| it.mark.as_str());
        let room = lettered.width(mark) + 2.0;
        if extent.width() >= room && extent.height() >= lettered.cap + 2.0 {
            canvas.text_centred(extent.middle(), mark, lettered);
        }
    }
}

/// The spline's number and the dimensions above.
fn draw_level_words(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    cuts: &Cuts,
    view: &View,
    highest: f64,
    end: f64,
) {
    let mark = Lettered::cap(SMALL_SHEET.title).bold().middle().masked();
    let inwards = if cuts.hand == Hand::Left { 1.0 } else { -1.0 };
    let recess = subject
        .skin_edge(cuts.hand)
        .map_or(0.0, |edge| edge.recess.to_inches());
    let y = view.y(subject.assembly.thickness().to_inches() / 2.0);
    let top = view.y(subject.assembly.thickness().to_inches());
    let mut ends = vec![end + inwards * recess, end];
    if let PanelEdge::Spline { .. } = subject.edge(cuts.hand) {
        let gap = subject.input.rules.joints.gap.to_inches();
        let beyond = end - inwards * gap;
        ends.extend([beyond, beyond - inwards * recess]);
    }
    ends.sort_by(f64::total_cmp);
    let words: Vec<String> = ends
        .windows(2)
        .map(|pair| {
            super::subject::printed(
                pair.iter()
                    .rev()
                    .copied()
                    .reduce(|a, b| a - b)
                    .unwrap_or(0.0),
            )
        })
        .collect();
    let ends: Vec<f64> = ends.into_iter().map(|x| view.x(x)).collect();
    let edge = top.min(highest);
    let is_corner = matches!(subject.edge(cuts.hand), PanelEdge::Corner { .. });
    if recess > 0.0 && !is_corner {
        short_string(
            canvas,
            &DimensionString {
                side: Side::Above,
                edge,
                ends: &ends,
                words: &words,
                lane: 7.0,
                from: 1.5,
                cap: SMALL_SHEET.note,
            },
        );
    }
    let spline = subject.number_at(cuts.hand, "spline");
    if let Some(number) = spline {
        let gap = subject.input.rules.joints.gap.to_inches();
        let x = view.x(end - inwards * gap / 2.0);
        canvas.text_centred(spot(x, y), number.to_string(), mark);
    }
}

/// What cuts are made from.
pub(super) const fn models<'a>(subject: &Subject<'a>) -> CutModels<'a> {
    CutModels {
        building: subject.input.building,
        layout: subject.input.layout,
        fabrication: subject.input.fabrication,
        rules: subject.input.rules,
    }
}

/// The call-out of a cut part; `None` for what needs none.
pub(super) fn call_out(subject: &Subject<'_>, part: &CutPart) -> Option<String> {
    let assembly = subject.assembly;
    Some(match part.part {
        Part::Skin(face) => assembly.skin_call_out(face),
        Part::Foam => format!("{} CORE {}", assembly.core_material, Inches(assembly.core)),
        Part::Plate(index) => {
            let plate = subject.input.fabrication.plates.get(index)?;
            format!("{} {}", plate.plate.name().to_uppercase(), plate.mark)
        }
        Part::Lumber(index) => {
            let row = subject.row_of(index)?;
            let name = row.name.split(',').next().unwrap_or_default();
            format!("{} {}", name.to_uppercase(), subject.number(index)?)
        }
    })
}
