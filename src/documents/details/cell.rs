//! Draws one detail in a cell of a sheet: the cut in the middle, dimensions above and at the left, words at the right, its title
//! and where it is found at the foot.

use super::cut::CutModels;
use super::detail::{CutWay, Detail, printed_pieces};
use super::draw::{break_line, draw_cut};
use crate::documents::paper::dimension::{DimensionString, Side, short_string};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::overlap::ring_holds;
use crate::documents::paper::scale::{Scale, fitting_scale};
use crate::documents::paper::spread::spread;
use crate::documents::paper::style::{Fill, Lettering, Pen};
use crate::documents::paper::symbol::view_title;
use crate::documents::paper::{Area, Canvas, Form, Lettered, Spot, View, Weight, spot};
use crate::documents::plan_view::clip_ring;

/// Height of title, scale and places, mm.
const TITLE: f64 = 31.0;
/// Room above for two strings, mm.
const ABOVE: f64 = 32.0;
/// Room below for the word that says where outside is, mm.
const BELOW: f64 = 9.0;
/// Room at the left for two strings, mm.
const LEFT: f64 = 34.0;
/// Room where no string stands, mm.
const BARE: f64 = 8.0;
/// Greatest share of the width for words at the right.
const WORDS: f64 = 0.34;
/// From the cut to its words, mm.
const TO_WORDS: f64 = 16.0;
/// Details are not drawn larger than life.
const LARGEST: f64 = 1.0;
/// Radius of a bead of sealant on paper, mm.
const BEAD: f64 = 1.0;

/// Where the cut stands in a cell, and what is shown of it at which scale.
pub(super) struct Fit {
    pub(super) scale: Scale,
    /// What is shown, inches.
    pub(super) window: Area,
    /// Room for the cut, mm.
    room: Area,
    /// Room for the words beside it, mm.
    words: f64,
}

/// The largest scale at which the least of a detail finds room, and as much more of it as there is room for.
pub(super) fn fit(detail: &Detail, scales: &[Scale], lettering: &Lettering, cell: &Area) -> Fit {
    let note = Lettered::cap(lettering.note);
    let widest = detail.call_outs.iter().map(|it| note.width(&it.1) + 4.0);
    let words = widest.fold(0.0, f64::max).min(cell.width() * WORDS);
    let strings = |ends: &[f64], most: f64| match ends.len() {
        0 | 1 => BARE,
        2 => most * 0.5,
        _ => most,
    };
    let room = Area::new(
        cell.x0 + strings(&detail.up, LEFT),
        cell.y0 + strings(&detail.across, ABOVE),
        cell.x1 - words - TO_WORDS,
        cell.y1 - TITLE - BELOW,
    );
    let window = detail.window;
    let least = detail.least.unwrap_or(window);
    let size = [least.width(), least.height()];
    let scale = fitting_scale(scales, LARGEST, size, [room.width(), room.height()]);
    let k = scale.per_inch();
    let [x0, x1] = stretch(
        [least.x0, least.x1],
        [window.x0, window.x1],
        room.width() / k,
    );
    let [y0, y1] = stretch(
        [least.y0, least.y1],
        [window.y0, window.y1],
        room.height() / k,
    );
    Fit {
        scale,
        window: Area::new(x0, y0, x1, y1),
        room,
        words,
    }
}

/// A span that grows to a length, on both sides alike, and not beyond another.
fn stretch(least: [f64; 2], most: [f64; 2], length: f64) -> [f64; 2] {
    let spare = (length - (least[1] - least[0])).max(0.0);
    let [before, after] = [least[0] - most[0], most[1] - least[1]];
    let all = (before + after).max(1e-9);
    let share = (spare / all).min(1.0);
    [least[0] - before * share, least[1] + after * share]
}

/// Draws a detail.
///
/// - `name`: number or letter in its balloon.
pub(crate) fn draw_detail(
    canvas: &mut Canvas,
    models: &CutModels<'_>,
    lettering: &Lettering,
    scales: &[Scale],
    detail: &Detail,
    name: &str,
    cell: &Area,
) {
    let Fit {
        scale,
        window,
        room,
        words: words_width,
    } = fit(detail, scales, lettering, cell);
    let shown = Detail {
        window,
        ..detail.clone()
    };
    let detail = &shown;
    let size = [window.width(), window.height()];
    let k = scale.per_inch();
    let left = room.x0 + (room.width() - size[0] * k).max(0.0) / 2.0;
    let foot = room.y1 - (room.height() - size[1] * k).max(0.0) / 2.0;
    let view = View {
        origin: spot(left - window.x0 * k, foot + window.y0 * k),
        scale: k,
    };
    let paper = Area::new(left, foot - size[1] * k, left + size[0] * k, foot);
    for part in &detail.parts {
        let mut inner = Canvas::new();
        let one = std::slice::from_ref(part);
        draw_cut(&mut inner, one, &|p: Spot| view.spot(p.x, p.y), &paper);
        if let Some(id) = models.part_id(part) {
            let words = part.stuff.word();
            let data = [("part", id.as_str())];
            canvas.group_with("", &format!("{words} {id}"), &data, |canvas| {
                canvas.append(inner);
            });
        } else {
            canvas.append(inner);
        }
    }
    draw_breaks(canvas, detail, &view, &paper);
    if let Some(deck) = detail.deck {
        let y = view.y(deck);
        let heavy = Pen::Heavy.full();
        canvas.line(heavy, spot(paper.x0 - 6.0, y), spot(paper.x1 + 6.0, y));
    }
    for [head, tip] in &detail.nails {
        draw_nail(canvas, view.spot(head.x, head.y), view.spot(tip.x, tip.y));
    }
    for bead in &detail.beads {
        let at = view.spot(bead.x, bead.y);
        canvas.shape(Form::Circle(at, BEAD), None, Fill::Black);
    }
    strings(canvas, lettering, detail, &view);
    let words = Area::new(
        (paper.x1 + TO_WORDS).min(cell.x1 - words_width),
        cell.y0,
        cell.x1,
        cell.y1,
    );
    call_outs(
        canvas,
        lettering,
        detail,
        &view,
        &paper,
        &words,
        words_width,
    );
    outside(canvas, lettering, detail, &paper);

    let centre = spot(cell.x0 + 12.0, cell.y1 - 17.0);
    let remark = format!("SCALE {}   {}", scale.name, detail.remark);
    let right = cell.x1 - 4.0;
    view_title(
        canvas,
        lettering,
        centre,
        name,
        &detail.title,
        &remark,
        right,
    );
    let note = Lettered::cap(lettering.note);
    let left = centre.x + lettering.title * 1.55 + lettering.note * 0.5;
    let base = centre.y + 1.4 + lettering.note * 2.7;
    let told = |count: usize| {
        let shown = chained(detail.places.get(..count).unwrap_or_default());
        let more = match detail.places.len() - count {
            0 => String::new(),
            n => format!(" and {n} more, by their signs on elevations"),
        };
        wrap(
            &format!("At {shown}{more}"),
            right - left,
            note.cap,
            note.weight,
        )
    };
    let counts = (1..=detail.places.len()).rev();
    let mut lines = counts
        .map(told)
        .find(|it| it.len() <= 2)
        .unwrap_or_else(|| told(detail.places.len()));
    let mut lines = lines.drain(..);
    let first = lines.next().unwrap_or_default();
    canvas.text(spot(left, base), &first, note);
    // What still does not fit is set smaller and then cut, with the whole of it as its title.
    let rest: Vec<String> = lines.collect();
    if !rest.is_empty() {
        let below = spot(left, base + lettering.leading());
        canvas.text_within(below, &rest.join(" "), note, right - left);
    }
}

/// Places as a list, joints of neighbours as one chain: `W101|W102|W103, W105|W106`.
fn chained(places: &[String]) -> String {
    let mut words = String::new();
    let mut last = "";
    for place in places {
        let (left, right) = place.split_once('|').unwrap_or((place, ""));
        if !right.is_empty() && left == last {
            words.push('|');
            words.push_str(right);
        } else {
            words.push_str(if words.is_empty() { "" } else { ", " });
            words.push_str(place);
        }
        last = right;
    }
    words
}

/// A nail or screw: a line with a head across it.
fn draw_nail(canvas: &mut Canvas, head: Spot, tip: Spot) {
    let d = tip - head;
    let length = d.x.hypot(d.y);
    if length <= 0.0 {
        return;
    }
    let across = spot(-d.y, d.x) * (1.2 / length);
    canvas.line(Pen::Edge.full(), head, tip);
    canvas.line(Pen::Bold.full(), head - across, head + across);
}

/// Break lines where skins go on beyond the window.
fn draw_breaks(canvas: &mut Canvas, detail: &Detail, view: &View, paper: &Area) {
    let sides: [fn(&Spot, &Area) -> f64; 4] = [
        |p, w| (p.x - w.x0).abs(),
        |p, w| (p.x - w.x1).abs(),
        |p, w| (p.y - w.y0).abs(),
        |p, w| (p.y - w.y1).abs(),
    ];
    for (index, off) in sides.into_iter().enumerate() {
        let is_upright = index < 2;
        let mut span: Option<[f64; 2]> = None;
        for part in &detail.parts {
            let ring: Vec<Spot> = part.ring.iter().map(|p| view.spot(p.x, p.y)).collect();
            let reached: Vec<f64> = clip_ring(&ring, paper)
                .iter()
                .filter(|p| off(p, paper) < 1e-6)
                .map(|p| if is_upright { p.y } else { p.x })
                .collect();
            for at in reached {
                let [low, high] = span.unwrap_or([at, at]);
                span = Some([low.min(at), high.max(at)]);
            }
        }
        let Some([low, high]) = span.filter(|[low, high]| high - low > 1.0) else {
            continue;
        };
        let at = |along: f64| match index {
            0 => spot(paper.x0, along),
            1 => spot(paper.x1, along),
            2 => spot(along, paper.y0),
            _ => spot(along, paper.y1),
        };
        break_line(canvas, at(low), at(high));
    }
}

/// Strings above and at the left, each with its overall where it has more than one piece.
fn strings(canvas: &mut Canvas, lettering: &Lettering, detail: &Detail, view: &View) {
    let window = detail.window;
    let across: Vec<f64> = detail.across.iter().map(|x| view.x(*x)).collect();
    // From the top down: a string at the left runs down the paper.
    let mut heights = detail.up.clone();
    heights.reverse();
    let up: Vec<f64> = heights.iter().map(|y| view.y(*y)).collect();
    let mut words_up = printed_pieces(&detail.up);
    words_up.reverse();
    let ends = |it: &[f64]| match it {
        [first, .., last] => vec![*first, *last],
        _ => Vec::new(),
    };
    let rows = [
        (
            Side::Above,
            view.y(window.y1),
            across,
            printed_pieces(&detail.across),
            printed_pieces(&ends(&detail.across)),
        ),
        (
            Side::Left,
            view.x(window.x0),
            up,
            words_up,
            printed_pieces(&ends(&detail.up)),
        ),
    ];
    for (side, edge, places, words, overall) in rows {
        if places.len() < 2 {
            continue;
        }
        let string =
            |ends: &[f64], words: &[String], [lane, from]: [f64; 2], canvas: &mut Canvas| {
                short_string(
                    canvas,
                    &DimensionString {
                        side,
                        edge,
                        ends,
                        words,
                        lane,
                        from,
                        cap: lettering.note,
                    },
                );
            };
        string(&places, &words, [8.0, 1.5], canvas);
        if places.len() > 2 {
            // Beyond texts that found no room between their ticks.
            string(&ends(&places), &overall, [23.0, 19.5], canvas);
        }
    }
}

/// Which side is outside.
fn outside(canvas: &mut Canvas, lettering: &Lettering, detail: &Detail, paper: &Area) {
    let note = Lettered::cap(lettering.note).masked();
    let base = paper.y1 + lettering.note + 3.5;
    match detail.way {
        CutWay::Level => canvas.text(spot(paper.middle().x, base), detail.side, note.middle()),
        CutWay::Upright => {
            canvas.text(spot(paper.x0 + 3.0, base), "OUT", note.middle());
            canvas.text(spot(paper.x1 - 3.0, base), "IN", note.middle());
        }
    }
}

/// The nearest place that is shown.
const fn clamped(at: Spot, window: &Area) -> Spot {
    spot(
        at.x.clamp(window.x0, window.x1),
        at.y.clamp(window.y0, window.y1),
    )
}

/// A place in a part where no nail or screw runs: a leader from there would run along it.
///
/// - `k`: millimetres on paper for an inch.
fn off_nails(at: Spot, detail: &Detail, k: f64) -> Spot {
    /// Nearer than this a leader seems to point at the nail, mm.
    const NEAR: f64 = 2.0;
    const STEPS: [f64; 4] = [7.0, -7.0, 4.0, -4.0];
    let nail = detail.nails.iter().find(|[head, tip]| {
        let d = *tip - *head;
        let length = d.x.hypot(d.y).max(1e-9);
        let from = at - *head;
        let along = (from.x * d.x + from.y * d.y) / length;
        let across = (from.x * d.y - from.y * d.x).abs() / length;
        across * k < NEAR && (-NEAR..=length * k + NEAR).contains(&(along * k))
    });
    let Some([head, tip]) = nail.filter(|ends| !ends.contains(&at)) else {
        return at;
    };
    let d = *tip - *head;
    let across = spot(-d.y, d.x) / d.x.hypot(d.y).max(1e-9);
    // In what part it stands now, there it must stay.
    let holds = |p: Spot| {
        let parts = detail.parts.iter().enumerate();
        parts
            .filter(move |(_, part)| ring_holds(&part.ring, p))
            .map(|(index, _)| index)
    };
    let mut moved = STEPS.iter().map(|by| at + across * (*by / k));
    moved.find(|to| holds(at).eq(holds(*to))).unwrap_or(at)
}

/// Words at the right in the order of what they point at, each with a leader.
fn call_outs(
    canvas: &mut Canvas,
    lettering: &Lettering,
    detail: &Detail,
    view: &View,
    paper: &Area,
    cell: &Area,
    width: f64,
) {
    let note = Lettered::cap(lettering.note);
    let label = cell.x0;
    let mut targets: Vec<(Spot, Vec<String>)> = detail
        .call_outs
        .iter()
        .map(|(at, words)| {
            // What is shown may be less than where the parts were named.
            let at = clamped(off_nails(*at, detail, view.scale), &detail.window);
            let lines = wrap(words, width - 3.0, note.cap, Weight::Regular);
            (view.spot(at.x, at.y), lines)
        })
        .collect();
    targets.sort_by(|a, b| a.0.y.total_cmp(&b.0.y).then(b.0.x.total_cmp(&a.0.x)));
    let leading = lettering.leading();
    let sizes: Vec<f64> = targets
        .iter()
        .map(|(_, lines)| lines.iter().map(|_| leading).sum::<f64>() + 1.6)
        .collect();
    let wanted: Vec<f64> = targets.iter().map(|it| it.0.y).collect();
    // Beside the cut where they have room: leaders must not cross the strings above it.
    let foot = cell.y1 - TITLE;
    let top = if sizes.iter().sum::<f64>() <= foot - paper.y0 {
        paper.y0
    } else {
        cell.y0 + 4.0
    };
    let places = spread(&wanted, &sizes, top, foot);
    for (((target, lines), place), size) in targets.into_iter().zip(places).zip(sizes) {
        canvas.polyline(
            Pen::Fine.full(),
            vec![target, spot(label - 4.0, place), spot(label - 1.0, place)],
        );
        canvas.shape(Form::Circle(target, 0.6), None, Fill::Black);
        let mut y = place - (size - 1.6) / 2.0 + leading / 2.0;
        for line in lines {
            canvas.text_centred(spot(label, y), line, note);
            y += leading;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn joints_of_neighbours_stand_as_one_chain() {
        let told = |places: &[&str]| {
            let owned: Vec<String> = places.iter().map(|it| (*it).to_owned()).collect();
            chained(&owned)
        };
        assert_eq!(
            told(&["W101|W102", "W102|W103", "W105|W106", "W106|W107"]),
            "W101|W102|W103, W105|W106|W107"
        );
        assert_eq!(told(&["X1", "X2"]), "X1, X2");
        assert_eq!(told(&["W101|W102"]), "W101|W102");
    }
}
