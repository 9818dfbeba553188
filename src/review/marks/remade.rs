//! What an editor made anew of the same ink: lines in other pieces, copies that lie where they were copied from, texts in pieces,
//! and letters as outlines. None of it was drawn by a reviewer.
//!
//! ```text
//!   a text gone;  on its baseline the same letters in several texts, or outlines that fill its box ─► it is there
//!   lines gone or added;  all along them, lines of the same ink on the other sheet ──────────────► they are there
//! ```
//!
//! Method: along each line a point every millimetre asks an R-tree of the other sheet's straight pieces; near linear in what differs.

use super::drawn::{Drawing, Drawn, DrawnForm, Words, joined};
use super::inks::Inks;
use super::matching::{is_near, is_same_lettering};
use crate::documents::paper::{Anchor, Area, Spot, spot};
use rstar::RTree;
use rstar::primitives::{GeomWithData, Line};
use std::collections::{BTreeMap, BTreeSet};

/// Lines lie on each other within this, mm.
const ON_IT: f64 = 0.12;
/// A line is looked at every so many millimetres.
const STEP: f64 = 1.0;
/// More straight pieces than this, or points to look at, are another drawing.
const MOST: usize = 400_000;
/// More things added than this are another drawing, even of texts letter by letter.
const MOST_ADDED: usize = 50_000;
/// Of pieces that lie on each other so many are asked for their ink.
const MOST_ON_IT: usize = 200;
/// Of a text's box so much at least is filled by its letters, each way.
const FILLED: f64 = 0.6;
/// Letters of another font run so much of a text's width beyond its box.
const WIDER: f64 = 0.15;

/// What differs so far.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Rest {
    /// Things only the issued sheet has, in order.
    pub(super) gone: Vec<usize>,
    /// Things only the marked sheet has, in order.
    pub(super) added: Vec<usize>,
    /// Lines of outlines that were taken apart, which have one ink, whatever theirs was.
    pub(super) pieces: BTreeSet<usize>,
    /// How many texts came back as outlines.
    pub(super) n_outlined: usize,
    /// How many things came back in an outline made of several.
    pub(super) n_combined: usize,
}

/// Takes out of what differs what is the same to the eye.
pub(super) fn remade((issued, marked): (&Drawing, &Drawing), inks: &Inks, rest: &mut Rest) {
    if (rest.added.is_empty() && rest.gone.is_empty()) || rest.added.len() > MOST_ADDED {
        return;
    }
    copied_words(issued, marked, rest);
    words_in_pieces(issued, marked, rest);
    apart(issued, marked, rest);
    outlined(issued, marked, inks, rest);
    let mut n_looks = 0;
    let ours = Pieces::of(&issued.items);
    rest.added.retain(|i| {
        let item = &marked.items[*i];
        !ours.cover(item, &mut n_looks, |was| inks.is_seen_like(was, &item.look))
    });
    if !rest.gone.is_empty() {
        let theirs = Pieces::of(&marked.items);
        rest.gone.retain(|j| {
            let item = &issued.items[*j];
            !theirs.cover(item, &mut n_looks, |now| inks.is_seen_like(&item.look, now))
        });
        combined(&ours, (issued, marked), rest);
    }
}

/// Lines of an outline taken apart that lie on what is gone from the sheet, and what of the sheet is all there in them.
fn apart(issued: &Drawing, marked: &Drawing, rest: &mut Rest) {
    if rest.pieces.is_empty() {
        return;
    }
    let of = |list: &[usize], all: &Drawing| -> Vec<Drawn> {
        list.iter().map(|i| all.items[*i].clone()).collect()
    };
    let (lost, mut n_looks) = (of(&rest.gone, issued), 0);
    let ours = Pieces::of(&lost);
    let mut found: Vec<usize> = rest.pieces.iter().copied().collect();
    found.retain(|i| ours.cover(&marked.items[*i], &mut n_looks, |_| true));
    let there = of(&found, marked);
    let (theirs, mut n_looks, n_before) = (Pieces::of(&there), 0, rest.gone.len());
    rest.gone
        .retain(|j| !theirs.cover(&issued.items[*j], &mut n_looks, |_| true));
    rest.n_combined += n_before - rest.gone.len();
    rest.added.retain(|i| found.binary_search(i).is_err());
}

/// An outline that somebody made of several things of the sheet, which are gone: it has one ink, theirs may have been others.
fn combined(ours: &Pieces<'_>, (issued, marked): (&Drawing, &Drawing), rest: &mut Rest) {
    let mut n_looks = 0;
    let mut made = rest.added.clone();
    made.retain(|i| {
        let item = &marked.items[*i];
        let is_of_several = item.lines().is_some_and(|it| it.runs.len() > 1);
        is_of_several && ours.cover(item, &mut n_looks, |_| true)
    });
    for i in made {
        let one = [marked.items[i].clone()];
        let theirs = Pieces::of(&one);
        let n_before = rest.gone.len();
        rest.gone
            .retain(|j| !theirs.cover(&issued.items[*j], &mut n_looks, |_| true));
        // What lies on lines that are all there was drawn over them.
        if rest.gone.len() < n_before {
            rest.n_combined += n_before - rest.gone.len();
            rest.added.retain(|it| *it != i);
        }
    }
}

const fn words(item: &Drawn) -> Option<&Words> {
    match &item.form {
        DrawnForm::Words(words) => Some(words),
        DrawnForm::Lines(_) | DrawnForm::Image(_) => None,
    }
}

/// A text that lies on the same text of the sheet is a copy.
fn copied_words(issued: &Drawing, marked: &Drawing, rest: &mut Rest) {
    let known: BTreeSet<&str> = issued.items.iter().map(Drawn::words).collect();
    rest.added.retain(|i| {
        let Some(now) = words(&marked.items[*i]).filter(|it| known.contains(it.words.as_str()))
        else {
            return true;
        };
        let is_there = |was: &Words| {
            was.words == now.words && is_same_lettering(was, now) && is_near(was.at, now.at)
        };
        !issued.items.iter().filter_map(words).any(is_there)
    });
}

/// The way a text runs, and where it starts and ends along it.
fn baseline(words: &Words) -> (Spot, f64, Spot) {
    let level = Words {
        turn_deg: 0.0,
        ..words.clone()
    };
    let width = level.area().width();
    let (sin, cos) = words.turn_deg.to_radians().sin_cos();
    let along = spot(cos, -sin);
    let back = match words.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => width / 2.0,
        Anchor::End => width,
    };
    let start = spot(words.at.x - along.x * back, words.at.y - along.y * back);
    (start, width, along)
}

/// A text that editors cut where they like, or that stands by its other end: on its baseline are its letters, in order.
fn words_in_pieces(issued: &Drawing, marked: &Drawing, rest: &mut Rest) {
    if rest.gone.len() * rest.added.len() > 50 * MOST {
        return;
    }
    let mut used: BTreeSet<usize> = BTreeSet::new();
    let texts: Vec<(usize, &Words, Spot, f64)> = (rest.added.iter())
        .filter_map(|i| {
            let words = words(&marked.items[*i])?;
            let (start, length, _) = baseline(words);
            Some((*i, words, start, length))
        })
        .collect();
    rest.gone.retain(|j| {
        let Some(was) = words(&issued.items[*j]) else {
            return true;
        };
        let (start, width, along) = baseline(was);
        let mut on_it: Vec<(f64, f64, usize, &Words)> = texts
            .iter()
            .filter(|(i, now, ..)| is_same_lettering(was, now) && !used.contains(i))
            .filter_map(|(i, now, own, length)| {
                let (x, y) = (own.x - start.x, own.y - start.y);
                let (at, off) = (x * along.x + y * along.y, (x * along.y - y * along.x).abs());
                let slack = was.size + 0.1 * width;
                let is_on = off <= 0.2 * was.size && at >= -slack && at + length <= width + slack;
                is_on.then_some((at, *length, *i, *now))
            })
            .collect();
        on_it.sort_by(|a, b| a.0.total_cmp(&b.0));
        let wanted = letters(&was.words);
        let (mut said, mut of_it) = (String::new(), Vec::new());
        for it in &on_it {
            let more = letters(&it.3.words);
            if wanted[said.len()..].starts_with(&more) {
                said.push_str(&more);
                of_it.push(it);
            }
        }
        // One text alone that stands by the same end was moved.
        let is_it = said == wanted
            && match of_it[..] {
                [one] => {
                    let off = one.0 + one.1 / 2.0 - width / 2.0;
                    one.3.anchor != was.anchor && off.abs() <= 0.5 + 0.1 * width
                }
                _ => true,
            };
        if is_it {
            used.extend(of_it.iter().map(|it| it.2));
        }
        !is_it
    });
    rest.added.retain(|i| !used.contains(i));
}

fn letters(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

/// Texts that came back as the outlines of their letters. A letter is of the text whose box its middle is in or nearest to.
fn outlined(issued: &Drawing, marked: &Drawing, inks: &Inks, rest: &mut Rest) {
    let filled = |i: &&usize| {
        let item = &marked.items[**i];
        rest.pieces.contains(*i) || (item.lines().is_some() && item.look.stroke == "none")
    };
    let places = rest.added.iter().filter(filled).map(|i| {
        let middle = marked.items[*i].area.middle();
        GeomWithData::new([middle.x, middle.y], *i)
    });
    let tree = RTree::bulk_load(places.collect());
    // For each letter how far off its text is, and which it is.
    let mut nearest: BTreeMap<usize, (f64, usize)> = BTreeMap::new();
    for j in &rest.gone {
        let item = &issued.items[*j];
        let Some(was) = words(item) else { continue };
        let room = room_of_letters(&item.area, was);
        let inside = rstar::AABB::from_corners([room.x0, room.y0], [room.x1, room.y1]);
        for place in tree.locate_in_envelope(&inside) {
            let now = &marked.items[place.data];
            let suits = rest.pieces.contains(&place.data)
                || inks.is_colour_like(&item.look.fill, &now.look.fill);
            if room.holds(&now.area) && suits {
                let off = off(now.area.middle(), &item.area);
                let known = nearest.entry(place.data).or_insert((f64::INFINITY, *j));
                if off < known.0 {
                    *known = (off, *j);
                }
            }
        }
    }
    let mut of: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for (i, (_, j)) in nearest {
        of.entry(j).or_default().push(i);
    }
    let mut used: BTreeSet<usize> = BTreeSet::new();
    rest.gone.retain(|j| {
        let item = &issued.items[*j];
        let (Some(was), Some(own)) = (words(item), of.get(j)) else {
            return true;
        };
        let all = own.iter().map(|i| marked.items[*i].area).reduce(joined);
        let is_it = all.is_some_and(|all| fills(&all, &item.area, was));
        if is_it {
            used.extend(own);
            rest.n_outlined += 1;
        }
        !is_it
    });
    rest.added.retain(|i| !used.contains(i));
}

/// Where the letters of a text may stand: another font than the sheet's own runs wider, to either side along the text.
fn room_of_letters(area: &Area, words: &Words) -> Area {
    let more = WIDER * area.width().max(area.height());
    let (dx, dy) = if is_level(words) {
        (more, 0.0)
    } else {
        (0.0, more)
    };
    let near = area.grown(0.35 * words.size);
    Area::new(near.x0 - dx, near.y0 - dy, near.x1 + dx, near.y1 + dy)
}

/// How far a point is outside a box, mm; less than nothing in it, the deeper the less.
fn off(p: Spot, area: &Area) -> f64 {
    let middle = area.middle();
    let beyond = |at: f64, middle: f64, half: f64| (at - middle).abs() - half;
    let x = beyond(p.x, middle.x, area.width() / 2.0);
    let y = beyond(p.y, middle.y, area.height() / 2.0);
    x.max(y)
}

fn is_level(words: &Words) -> bool {
    words.turn_deg.to_radians().cos().abs() > 0.7
}

/// True when what was found reaches as far as the letters of a text do: along it nearly all, across it what a dash or a dot has.
fn fills(found: &Area, area: &Area, words: &Words) -> bool {
    let (along, of) = if is_level(words) {
        (found.width(), area.width())
    } else {
        (found.height(), area.height())
    };
    along >= FILLED * of
}

/// The straight pieces of a sheet, by place.
struct Pieces<'a> {
    items: &'a [Drawn],
    tree: RTree<GeomWithData<Line<[f64; 2]>, usize>>,
}

impl<'a> Pieces<'a> {
    fn of(items: &'a [Drawn]) -> Self {
        let pieces = items.iter().enumerate().flat_map(|(i, item)| {
            let runs = item.lines().into_iter().flat_map(|it| &it.runs);
            let pieces = runs.flat_map(|run| run.pieces());
            pieces.map(move |(a, b)| GeomWithData::new(Line::new([a.x, a.y], [b.x, b.y]), i))
        });
        let pieces: Vec<_> = pieces.take(MOST).collect();
        Self {
            items,
            tree: RTree::bulk_load(pieces),
        }
    }

    /// True when all along a thing's lines there are lines of an ink that suits.
    fn cover(
        &self,
        item: &Drawn,
        n_looks: &mut usize,
        suits: impl Fn(&super::drawn::Look) -> bool,
    ) -> bool {
        let Some(lines) = item.lines().filter(|it| it.heads == [false; 2]) else {
            return false;
        };
        let mut there = |x: f64, y: f64| {
            *n_looks += 1;
            let found = self.tree.locate_within_distance([x, y], ON_IT * ON_IT);
            *n_looks <= MOST
                && found
                    .take(MOST_ON_IT)
                    .any(|it| suits(&self.items[it.data].look))
        };
        let mut pieces = lines.runs.iter().flat_map(|run| run.pieces());
        pieces.all(|(a, b)| {
            let length = (b.x - a.x).hypot(b.y - a.y);
            let n = (length / STEP).ceil().clamp(1.0, 4000.0);
            let mut t = 0.0;
            loop {
                if !there(a.x + (b.x - a.x) * t / n, a.y + (b.y - a.y) * t / n) {
                    return false;
                }
                t += 1.0;
                if t > n {
                    return true;
                }
            }
        })
    }
}

#[cfg(test)]
mod tests {
    use super::super::reader::read_svg;
    use super::*;

    fn drawing(body: &str) -> Drawing {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" viewBox=\"0 0 100 100\"><g fill=\"none\" stroke=\"#000\" stroke-width=\"0.35\">{body}</g></svg>"
        );
        read_svg(text.as_bytes()).unwrap()
    }

    fn rest(issued: &str, marked: &str) -> (usize, usize, usize) {
        let (issued, marked) = (drawing(issued), drawing(marked));
        let mut rest = Rest {
            gone: (0..issued.items.len()).collect(),
            added: (0..marked.items.len()).collect(),
            ..Rest::default()
        };
        remade((&issued, &marked), &Inks::default(), &mut rest);
        (rest.gone.len(), rest.added.len(), rest.n_outlined)
    }

    #[test]
    fn lines_in_other_pieces_are_the_same_and_a_piece_less_is_not() {
        let whole = "<path d=\"M10 10L50 10L50 40\"/>";
        let pieces = "<path d=\"M10 10L30 10\"/><path d=\"M50 40L50 10L29 10\"/>";
        assert_eq!(rest(whole, pieces), (0, 0, 0));
        assert_eq!(rest(pieces, whole), (0, 0, 0));
        assert_eq!(rest(whole, "<path d=\"M10 10L30 10\"/>"), (1, 0, 0));
        // Another ink over it is a reviewer's.
        let red = format!("{whole}<path d=\"M10 10L50 10\" stroke=\"#f00\"/>");
        assert_eq!(rest(whole, &red), (0, 1, 0));
    }

    #[test]
    fn a_text_in_pieces_or_in_outlines_is_the_same_and_another_text_is_not() {
        let text = |x: f64, anchor: &str, words: &str| {
            format!(
                "<text stroke=\"none\" fill=\"#000\" font-size=\"4\" x=\"{x}\" y=\"20\" text-anchor=\"{anchor}\">{words}</text>"
            )
        };
        let whole = text(20.0, "start", "SPLINE 3 1/2");
        let cut =
            text(20.0, "start", "SPLINE") + &text(36.0, "start", "3") + &text(39.5, "start", "1/2");
        assert_eq!(rest(&whole, &cut), (0, 0, 0));
        let other =
            text(20.0, "start", "SPLINE") + &text(36.0, "start", "4") + &text(39.5, "start", "1/2");
        assert_eq!(rest(&whole, &other).0, 1);
        // Stood by its middle; moved by the same end.
        assert_eq!(
            rest(
                &text(30.0, "middle", "96 1/4"),
                &text(24.0, "start", "96 1/4")
            ),
            (0, 0, 0)
        );
        assert_eq!(
            rest(
                &text(30.0, "start", "96 1/4"),
                &text(31.0, "start", "96 1/4")
            ),
            (1, 1, 0)
        );
        let outlines: String = (0..12)
            .map(|n| {
                format!(
                    "<path stroke=\"none\" fill=\"#000\" d=\"M{x} 20V17h1.5v3z\"/>",
                    x = 20.2 + f64::from(n) * 2.0
                )
            })
            .collect();
        assert_eq!(rest(&whole, &outlines), (0, 0, 1));
        let red = outlines.replace("#000", "#f00");
        assert_eq!(rest(&whole, &red).0, 1);
    }

    #[test]
    fn shapes_of_several_inks_made_one_are_there_and_a_line_drawn_over_them_is_added() {
        let two = "<path d=\"M10 10L50 10\"/><path d=\"M10 20L50 20\" stroke=\"#808080\"/>";
        let one = "<path d=\"M10 10L50 10M10 20L50 20\" stroke=\"#808080\"/>";
        assert_eq!(rest(two, one), (0, 0, 0));
        let over = format!("{two}<path d=\"M10 10L50 10M10 20L50 20\" stroke=\"#f00\"/>");
        assert_eq!(rest(two, &over), (0, 1, 0));
        let elsewhere = "<path d=\"M10 10L50 10M10 25L50 25\" stroke=\"#808080\"/>";
        assert_eq!(rest(two, elsewhere), (2, 1, 0));
    }
}
