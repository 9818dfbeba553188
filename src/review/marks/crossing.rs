//! What a straight line goes through where it goes through no text, and the printed size that it measures.

use super::drafts::{Draft, far, is_blank};
use super::drawn::{Drawing, Drawn, gap, gap_to};
use super::proposals::last_length;
use super::sheets::IssuedSheet;
use crate::documents::paper::{Area, Spot, spot};
use crate::units::parse_length;

/// A dimension's text stands no farther from its line, mm.
const OF_ITS_LINE: f64 = 6.0;
/// A size that a line measures stands no farther from it, mm.
const OF_WHAT_IS_MEASURED: f64 = 40.0;
/// A size that it does not measure, but stands at, mm.
const AT_THE_LINE: f64 = 5.0;
/// A hand measures this well: mm, and of the length.
const BY_HAND: (f64, f64) = (1.5, 0.03);

type Piece = (Spot, Spot);

/// Every straight piece of what is drawn.
pub(super) fn pieces(items: &[Drawn]) -> Vec<Piece> {
    let lines = items.iter().filter_map(Drawn::lines);
    let runs = lines.flat_map(|it| &it.runs);
    runs.flat_map(|run| run.pieces()).collect()
}

/// Where two straight pieces cross.
pub(super) fn crossing((a, b): Piece, (c, d): Piece) -> Option<Spot> {
    let (r, s) = ([b.x - a.x, b.y - a.y], [d.x - c.x, d.y - c.y]);
    let turn = r[0] * s[1] - r[1] * s[0];
    if turn.abs() < 1e-9 {
        return None;
    }
    let to = [c.x - a.x, c.y - a.y];
    let t = (to[0] * s[1] - to[1] * s[0]) / turn;
    let u = (to[0] * r[1] - to[1] * r[0]) / turn;
    let is_on = (0.0..=1.0).contains(&t) && (0.0..=1.0).contains(&u);
    is_on.then(|| spot(a.x + r[0] * t, a.y + r[1] * t))
}

/// True when a piece goes through a box.
pub(super) fn goes_through((a, b): Piece, area: &Area) -> bool {
    let corners = area.corners();
    let edges = (0..4).map(|i| (corners[i], corners[(i + 1) % 4]));
    gap_to(area, a) <= 0.0
        || edges
            .into_iter()
            .any(|edge| crossing((a, b), edge).is_some())
}

/// What of the sheet the lines of a mark cross, in words: a dimension, a part, an opening before anything else; and whether it is
/// no more than a line.
pub(super) fn crossed(sheet: &IssuedSheet, draft: &Draft) -> Option<(bool, String)> {
    let own = pieces(&draft.items);
    let whole = Area::around(&own.iter().flat_map(|it| [it.0, it.1]).collect::<Vec<_>>())?;
    let issued = &sheet.drawing;
    let mut best: Option<(u8, f64, String)> = None;
    for item in issued.items.iter().filter(|it| !is_blank(it)) {
        if gap(&item.area, &whole) > 0.0 || is_frame(issued, item) {
            continue;
        }
        let of_it = pieces(std::slice::from_ref(item));
        let places = own
            .iter()
            .flat_map(|a| of_it.iter().filter_map(|b| crossing(*a, *b)));
        let nearest = places
            .map(|p| far(p, whole.middle()))
            .min_by(f64::total_cmp);
        let Some(off) = nearest else { continue };
        let (rank, words) = named(issued, item);
        let is_better = best
            .as_ref()
            .is_none_or(|(least, known, _)| (rank, off) < (*least, *known));
        if is_better {
            best = Some((rank, off, words));
        }
    }
    best.map(|it| (it.0 > 0, it.2))
}

fn is_frame(issued: &Drawing, item: &Drawn) -> bool {
    let mut ids = item.groups.iter().filter_map(|it| issued.groups.get(*it));
    ids.any(|it| it.id == "frame" || it.id == "strip")
}

/// A line of the sheet in words, and its rank: 0 for what has a name of its own, 2 for hatching, 1 for any other line.
fn named(issued: &Drawing, item: &Drawn) -> (u8, String) {
    let ids: Vec<&str> = (item.groups.iter().rev())
        .filter_map(|it| Some(issued.groups.get(*it)?.id.as_str()))
        .filter(|id| !id.is_empty())
        .collect();
    let is_dimension = |id: &&str| {
        ["string", "ordinates", "dimensions"]
            .iter()
            .any(|it| id.starts_with(it))
    };
    if ids.iter().any(is_dimension) {
        let inner = item.groups.last();
        let texts = issued.items.iter().filter(|it| it.groups.last() == inner);
        let size = texts
            .filter(|it| parse_length(it.words()).is_ok())
            .map(|it| (gap(&it.area, &item.area), it))
            .filter(|it| it.0 <= OF_ITS_LINE)
            .min_by(|a, b| a.0.total_cmp(&b.0));
        if let Some((_, text)) = size {
            return (0, format!("dimension {}", text.words()));
        }
    }
    for name in ["part", "opening"] {
        if let Some(id) = issued.fact(item, name) {
            return (0, format!("{name} {id}"));
        }
    }
    let plain = ["panel", "wall"].into_iter().find_map(|name| {
        let id = issued.fact(item, name)?;
        Some(format!("line of {name} {id}"))
    });
    let plain = plain.or_else(|| ids.first().map(|id| format!("line of {id}")));
    let rank = if ids.contains(&"recess") { 2 } else { 1 };
    (rank, plain.unwrap_or_else(|| "line".to_owned()))
}

/// The printed size that the longest line of a mark measures at the sheet's scale; else the one that it stands at.
///
/// Of "a × b" the side that was measured.
pub(super) fn measured(sheet: &IssuedSheet, draft: &Draft) -> Option<String> {
    let length = |it: &Piece| far(it.0, it.1);
    let (a, b) = pieces(&draft.items)
        .into_iter()
        .max_by(|p, q| length(p).total_cmp(&length(q)))?;
    let on_line = |t: f64| spot(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t);
    let off = |it: &Drawn| {
        let gaps = (0..=10).map(|i| gap_to(&it.area, on_line(f64::from(i) / 10.0)));
        gaps.fold(f64::INFINITY, f64::min)
    };
    let scale = sheet
        .fact("scale")
        .and_then(|it| it.strip_prefix("1:")?.parse::<f64>().ok());
    // How well a size fits, 0 to 1; `None` for what the hand cannot have meant.
    let miss = |words: &str| {
        let there = last_length(words)?.to_inches() * 25.4 / scale?;
        let miss = (there - far(a, b)).abs() / BY_HAND.0.max(BY_HAND.1 * there);
        (miss <= 1.0).then_some(miss)
    };
    let texts = sheet
        .drawing
        .items
        .iter()
        .filter(|it| !it.words().is_empty());
    let near: Vec<(f64, &str)> = texts.map(|it| (off(it), it.words())).collect();
    let by_measure = near
        .iter()
        .filter(|it| it.0 <= OF_WHAT_IS_MEASURED)
        .flat_map(|(off, words)| words.split('×').map(move |part| (*off, part.trim())))
        .filter_map(|(off, words)| Some((miss(words)? + off / OF_WHAT_IS_MEASURED, words)));
    let at_it = near
        .iter()
        .filter(|it| it.0 <= AT_THE_LINE && parse_length(it.1).is_ok())
        .copied();
    let nearest = |a: &(f64, &str), b: &(f64, &str)| a.0.total_cmp(&b.0);
    let found = by_measure.min_by(nearest).or_else(|| at_it.min_by(nearest));
    found.map(|it| it.1.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_cross_where_they_cross() {
        let p = |x: f64, y: f64| spot(x, y);
        let across = (p(0.0, 0.0), p(10.0, 10.0));
        assert_eq!(
            crossing(across, (p(0.0, 10.0), p(10.0, 0.0))),
            Some(p(5.0, 5.0))
        );
        assert_eq!(crossing(across, (p(20.0, 0.0), p(30.0, -10.0))), None);
        assert_eq!(crossing(across, (p(1.0, 0.0), p(11.0, 10.0))), None);
        let area = Area::new(4.0, 4.0, 6.0, 6.0);
        assert!(goes_through(across, &area));
        assert!(!goes_through((p(0.0, 8.0), p(10.0, 8.0)), &area));
    }
}
