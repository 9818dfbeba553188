//! What differs between a sheet as issued and the same sheet as it came back, by place and shape alone.
//!
//! ```text
//!   same place, same shape ─► the same;  other ink ─► restyled;  other words ─► changed text
//!   the same ink in other pieces, letters as outlines ─► the same (`remade`)
//!   of the rest: same shape elsewhere ─► moved;  only issued ─► deleted;  only came back ─► added
//! ```
//!
//! Method: each shape is known by its box, its length and the product moment of its length about the middle of its box, which an
//! editor keeps whether it writes a rectangle or a path. Cost: neighbours by an R-tree, so near linear in the things drawn.

use super::apart::{pieces, put_together, taken_apart};
use super::drawn::{Drawing, Drawn, DrawnForm, Words};
use super::inks::Inks;
use super::remade::{Rest, remade};
use crate::documents::paper::{Spot, spot};
use rstar::RTree;
use rstar::primitives::GeomWithData;
use std::collections::BTreeMap;

/// Boxes are the same within this, mm: editors round to hundredths of their own units.
const SAME_PLACE: f64 = 0.08;
/// And what has found nothing so near, within this: some cut every number to a tenth.
const CUT_PLACE: f64 = 0.2;
/// Texts stand at the same place within this, mm.
const SAME_BASE: f64 = 0.3;
/// Lengths are the same within this share.
const SAME_SHARE: f64 = 0.01;
/// The differences of a sheet that came back.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Differences {
    /// Things only the marked sheet has: their places in its list.
    pub(super) added: Vec<usize>,
    /// Things only the issued sheet has.
    pub(super) deleted: Vec<usize>,
    /// Issued and marked: the same thing elsewhere.
    pub(super) moved: Vec<(usize, usize)>,
    /// Issued and marked: another text at the same place.
    pub(super) changed: Vec<(usize, usize)>,
    /// Issued and marked: another ink.
    pub(super) restyled: Vec<(usize, usize)>,
    /// How many things are the same, other inks and what an editor made anew included.
    pub(super) n_same: usize,
    /// How many texts came back as the outlines of their letters.
    pub(super) n_outlined: usize,
    /// How many things were found in an outline that somebody made of several.
    pub(super) n_combined: usize,
    /// True when the inks of the sheet did not come back.
    pub(super) inks_are_lost: bool,
}

/// What a thing is known by.
#[derive(Clone, Copy, Debug)]
struct Shape {
    size: [f64; 2],
    length: f64,
    moment: f64,
    middle: Spot,
    n_pieces: f64,
}

impl Shape {
    fn of(item: &Drawn) -> Self {
        let middle = item.area.middle();
        let (mut length, mut moment, mut n_pieces) = (0.0, 0.0, 0.0);
        if let Some(lines) = item.lines() {
            for (a, b) in lines.runs.iter().flat_map(|run| run.pieces()) {
                let piece = (b.x - a.x).hypot(b.y - a.y);
                let (x, y) = (
                    f64::midpoint(a.x, b.x) - middle.x,
                    f64::midpoint(a.y, b.y) - middle.y,
                );
                length += piece;
                n_pieces += 1.0;
                // Of a straight piece: about its own middle, and of its middle.
                moment += piece * (x * y + (b.x - a.x) * (b.y - a.y) / 12.0);
            }
        }
        Self {
            size: [item.area.width(), item.area.height()],
            length,
            moment,
            middle,
            n_pieces,
        }
    }

    /// - `within`: how far off an editor may have put it, mm.
    fn is_like(&self, other: &Self, within: f64) -> bool {
        let near = |a: f64, b: f64, by: f64| (a - b).abs() <= by;
        // Each piece may have lost as much as numbers were cut by.
        let cut = (within - SAME_PLACE) * self.n_pieces;
        let spread = self.length * self.size[0].max(self.size[1]).max(1.0);
        near(self.size[0], other.size[0], 2.0 * within)
            && near(self.size[1], other.size[1], 2.0 * within)
            && near(
                self.length,
                other.length,
                SAME_SHARE * self.length + 4.0 * within + cut,
            )
            && near(
                self.moment,
                other.moment,
                SAME_SHARE * spread * self.size[0].min(self.size[1]) + within * spread,
            )
    }

    fn is_at(&self, other: &Self, within: f64) -> bool {
        (self.middle.x - other.middle.x).abs() <= within
            && (self.middle.y - other.middle.y).abs() <= within
    }
}

/// One sheet's things, found by place.
struct Finder<'a> {
    items: &'a [Drawn],
    shapes: Vec<Shape>,
    tree: RTree<GeomWithData<[f64; 2], usize>>,
    free: Vec<bool>,
}

impl<'a> Finder<'a> {
    fn new(items: &'a [Drawn]) -> Self {
        let shapes: Vec<Shape> = items.iter().map(Shape::of).collect();
        let places = items
            .iter()
            .zip(&shapes)
            .enumerate()
            .map(|(i, (item, it))| {
                let p = base(item).unwrap_or(it.middle);
                GeomWithData::new([p.x, p.y], i)
            });
        Self {
            tree: RTree::bulk_load(places.collect()),
            items,
            free: vec![true; shapes.len()],
            shapes,
        }
    }

    /// Free things within a distance of a place, in their order.
    fn near(&self, p: Spot, within: f64) -> Vec<usize> {
        let found = self
            .tree
            .locate_within_distance([p.x, p.y], within * within);
        let mut found: Vec<usize> = found.map(|it| it.data).filter(|i| self.free[*i]).collect();
        found.sort_unstable();
        found
    }
}

/// Where a text stands.
const fn base(item: &Drawn) -> Option<Spot> {
    match &item.form {
        DrawnForm::Words(words) => Some(words.at),
        DrawnForm::Lines(_) | DrawnForm::Image(_) => None,
    }
}

/// True for the same thing at the same place, its ink aside.
fn is_same(a: (&Drawn, &Shape), b: (&Drawn, &Shape), within: f64) -> bool {
    let is_there = || a.1.is_at(b.1, within) && a.1.is_like(b.1, within);
    match (&a.0.form, &b.0.form) {
        (DrawnForm::Words(x), DrawnForm::Words(y)) => {
            x.words == y.words && is_same_lettering(x, y) && is_near(x.at, y.at)
        }
        (DrawnForm::Lines(_), DrawnForm::Lines(_)) => is_there(),
        (DrawnForm::Image(x), DrawnForm::Image(y)) => x == y && is_there(),
        _ => false,
    }
}

pub(super) fn is_near(a: Spot, b: Spot) -> bool {
    (a.x - b.x).hypot(a.y - b.y) <= SAME_BASE
}

pub(super) fn is_same_lettering(a: &Words, b: &Words) -> bool {
    let turn = (a.turn_deg - b.turn_deg).rem_euclid(360.0);
    (a.size - b.size).abs() <= 0.05 * a.size && !(1.0..=359.0).contains(&turn)
}

/// Compares a sheet as issued with the same sheet as it came back, both in millimetres on paper. An outline that was made of many
/// things of the sheet is taken apart in what came back.
pub(super) fn differences(issued: &Drawing, marked: &mut Drawing) -> Differences {
    let mut finder = Finder::new(&issued.items);
    let shapes: Vec<Shape> = marked.items.iter().map(Shape::of).collect();
    let mut open: Vec<usize> = (0..marked.items.len()).collect();
    let mut result = Differences::default();
    let plain = Inks::default();
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    // First the same thing in the same ink, then in another; then what lies a little off.
    let ways = [SAME_PLACE, CUT_PLACE].map(|within| [(within, true), (within, false)]);
    for (within, is_strict) in ways.into_iter().flatten() {
        open.retain(|i| {
            let (item, shape) = (&marked.items[*i], &shapes[*i]);
            let at = base(item).unwrap_or(shape.middle);
            let found = finder.near(at, SAME_BASE).into_iter().find(|j| {
                let known = (&finder.items[*j], &finder.shapes[*j]);
                is_same(known, (item, shape), within)
                    && (!is_strict || plain.is_like(&known.0.look, &item.look))
            });
            if let Some(j) = found {
                finder.free[j] = false;
                pairs.push((j, *i));
            }
            found.is_none()
        });
    }
    let aparts = taken_apart(marked, &mut open);
    let looks = |(j, i): &(usize, usize)| (&issued.items[*j].look, &marked.items[*i].look);
    let inks = Inks::of(pairs.iter().map(looks));
    let mut rest = Rest {
        gone: (0..issued.items.len())
            .filter(|i| finder.free[*i])
            .collect(),
        added: open,
        pieces: pieces(&aparts),
        ..Rest::default()
    };
    remade((issued, marked), &inks, &mut rest);
    put_together(marked, &aparts, &mut rest.added);
    let marked = &*marked;
    let looks = |(j, i): &(usize, usize)| (&issued.items[*j].look, &marked.items[*i].look);
    let shapes: Vec<Shape> = marked.items.iter().map(Shape::of).collect();
    for j in (0..issued.items.len()).filter(|j| rest.gone.binary_search(j).is_err()) {
        finder.free[j] = false;
    }
    result.n_same = issued.items.len() - rest.gone.len();
    result.n_outlined = rest.n_outlined;
    result.n_combined = rest.n_combined;
    result.inks_are_lost = inks.are_lost();
    open = rest.added;
    pairs.retain(|pair| {
        let (was, now) = looks(pair);
        !inks.is_like(was, now)
    });
    pairs.sort_unstable_by_key(|(_, i)| *i);
    result.restyled = pairs;
    open.retain(|i| {
        let DrawnForm::Words(words) = &marked.items[*i].form else {
            return true;
        };
        let found = finder.near(words.at, SAME_BASE).into_iter().find(|j| {
            matches!(&finder.items[*j].form, DrawnForm::Words(known) if is_same_lettering(known, words))
        });
        if let Some(j) = found {
            finder.free[j] = false;
            result.changed.push((j, *i));
        }
        found.is_none()
    });
    let left: Vec<usize> = (0..issued.items.len())
        .filter(|i| finder.free[*i])
        .collect();
    result.moved = moved(&finder, &left, (&marked.items, &shapes, &inks), &mut open);
    for (j, _) in &result.moved {
        finder.free[*j] = false;
    }
    result.deleted = left.into_iter().filter(|i| finder.free[*i]).collect();
    result.added = open;
    result
}

/// What is hidden in what came back and is not the sheet's own.
pub(super) fn hidden<'a>(issued: &Drawing, marked: &'a Drawing) -> Vec<&'a Drawn> {
    if marked.hidden.is_empty() {
        return Vec::new();
    }
    let finder = Finder::new(&issued.items);
    let is_own = |item: &Drawn| {
        let shape = Shape::of(item);
        let near = finder.near(base(item).unwrap_or(shape.middle), SAME_BASE);
        let known = |j: usize| (&finder.items[j], &finder.shapes[j]);
        let is_it = |j: usize| is_same(known(j), (item, &shape), CUT_PLACE);
        near.into_iter().any(is_it)
    };
    marked.hidden.iter().filter(|it| !is_own(it)).collect()
}

/// Pairs the same thing at another place: nearest first, each once.
fn moved(
    finder: &Finder<'_>,
    left: &[usize],
    (items, shapes, inks): (&[Drawn], &[Shape], &Inks),
    open: &mut Vec<usize>,
) -> Vec<(usize, usize)> {
    /// Beyond this many of both, pairs are not looked for: another sheet was drawn.
    const MOST: usize = 4000;
    if left.len() > MOST || open.len() > MOST {
        return Vec::new();
    }
    let mut pairs: Vec<(i64, usize, usize)> = Vec::new();
    for j in left {
        for i in open.iter() {
            let (known, item) = (&finder.items[*j], &items[*i]);
            let is_it = match (&known.form, &item.form) {
                (DrawnForm::Words(a), DrawnForm::Words(b)) => {
                    a.words == b.words && is_same_lettering(a, b)
                }
                (DrawnForm::Lines(_), DrawnForm::Lines(_)) => {
                    inks.is_like(&known.look, &item.look)
                        && finder.shapes[*j].is_like(&shapes[*i], SAME_PLACE)
                }
                (DrawnForm::Image(a), DrawnForm::Image(b)) => a == b,
                _ => false,
            };
            if is_it {
                let (a, b) = (finder.shapes[*j].middle, shapes[*i].middle);
                pairs.push((microns((a.x - b.x).hypot(a.y - b.y)), *j, *i));
            }
        }
    }
    pairs.sort_unstable();
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (_, j, i) in pairs {
        if !found.iter().any(|(a, b)| *a == j || *b == i) {
            found.push((j, i));
        }
    }
    open.retain(|i| !found.iter().any(|(_, taken)| taken == i));
    found.sort_unstable();
    found
}

fn microns(mm: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "clamped to a sheet's size")]
    let whole = (mm.clamp(0.0, 1e6) * 1e3).round() as i64;
    whole
}

/// A share of whole numbers.
pub(super) fn share(part: usize, whole: usize) -> f64 {
    let small = |n: usize| f64::from(u32::try_from(n).unwrap_or(u32::MAX));
    small(part) / small(whole.max(1))
}

/// By how many quarters a drawing stands turned against a sheet, counter-clockwise as seen: what most texts say that both have once.
pub(super) fn quarters_by_words(issued: &Drawing, marked: &Drawing) -> usize {
    let (ours, theirs) = (single_words(issued), single_words(marked));
    let mut votes = [0_usize; 4];
    for (words, was) in ours {
        let Some(now) = theirs.get(words) else {
            continue;
        };
        let turn = (now.turn_deg - was.turn_deg).rem_euclid(360.0);
        for (vote, quarter) in votes.iter_mut().zip([0.0, 90.0, 180.0, 270.0]) {
            let off = (turn - quarter).abs();
            *vote += usize::from(off.min(360.0 - off) < 1.0);
        }
    }
    let most = votes.iter().max().copied().unwrap_or_default();
    votes.iter().position(|it| *it == most).unwrap_or_default()
}

/// The scale and shift that lay a drawing over a sheet as issued, by texts that both have once; `None` when too few agree.
///
/// An editor may write points for millimetres, or fit the page to the drawing: words stay words.
pub(super) fn fit_by_words(issued: &Drawing, marked: &Drawing) -> Option<(f64, Spot)> {
    let (ours, theirs) = (single_words(issued), single_words(marked));
    let pairs: Vec<(Spot, Spot)> = ours
        .iter()
        .filter_map(|(words, was)| Some((was.at, theirs.get(words)?.at)))
        .collect();
    if pairs.len() < 3 {
        return None;
    }
    let mut scales: Vec<f64> = Vec::new();
    for (n, (a, b)) in pairs.iter().enumerate() {
        for (c, d) in pairs.iter().skip(n + 1).take(40) {
            let (ours, theirs) = ((c.x - a.x).hypot(c.y - a.y), (d.x - b.x).hypot(d.y - b.y));
            if ours > 20.0 && theirs > 1e-6 {
                scales.push(ours / theirs);
            }
        }
    }
    let scale = median(&mut scales)?;
    let mut x: Vec<f64> = pairs.iter().map(|(a, b)| a.x - b.x * scale).collect();
    let mut y: Vec<f64> = pairs.iter().map(|(a, b)| a.y - b.y * scale).collect();
    let shift = spot(median(&mut x)?, median(&mut y)?);
    let agree = pairs
        .iter()
        .filter(|(a, b)| is_near(*a, spot(b.x * scale + shift.x, b.y * scale + shift.y)))
        .count();
    (agree * 2 > pairs.len() && agree >= 3).then_some((scale, shift))
}

fn median(values: &mut [f64]) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}

/// Texts that stand there once.
fn single_words(drawing: &Drawing) -> BTreeMap<&str, &Words> {
    let mut found: BTreeMap<&str, Vec<&Words>> = BTreeMap::new();
    for item in &drawing.items {
        if let DrawnForm::Words(words) = &item.form {
            found.entry(&words.words).or_default().push(words);
        }
    }
    let single = found.into_iter().filter(|(_, at)| at.len() == 1);
    single.map(|(words, at)| (words, at[0])).collect()
}
