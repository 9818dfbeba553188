//! From what differs to marks: what belongs together, and what kind of mark it is.
//!
//! ```text
//!   groups of the page: a mark each, as the page says
//!   the rest: things of one small group, strokes of one hand, a remark beside a cloud ──► one mark
//! ```

use super::cloud::is_cloud;
use super::crossing::crossing;
use super::drawn::{Drawing, Drawn, DrawnForm, Lines, Run, gap, gap_to};
use super::edits::{Sets, of_the_sheet, retyped};
use super::matching::is_same_lettering;
use super::model::MarkKind;
use super::sheets::{IssuedSheet, Laid, is_text};
use crate::documents::paper::{Area, Spot};
use std::collections::BTreeSet;

/// Strokes of one hand are no farther apart than this, mm.
const ONE_HAND: f64 = 5.0;
/// A remark stands no farther from what it is about, mm.
const BESIDE: f64 = 10.0;
/// A group of more things than this is a layer, whatever the editor calls it.
const MOST_OF_A_MARK: usize = 24;
/// Ends of lines that go on from one another are no farther apart, mm.
const JOINT: f64 = 0.3;
/// Things touch that are no farther apart, mm.
const TOUCHES: f64 = 0.5;
/// Points of a stroke drawn by hand.
const HAND_POINTS: usize = 9;
/// A ring is no smaller, mm: a smaller one is a letter.
const RING: f64 = 8.0;
/// It meets its own beginning within this share of its length.
const RING_GAP: f64 = 0.12;
/// And holds at least this share of what a circle as long holds.
const RING_HOLDS: f64 = 0.3;
/// A stroke so wide that is seen through was drawn with a marker, mm.
const MARKER: f64 = 1.5;
/// Of a text so much at least lies under a box that covers it.
const COVERED: f64 = 0.6;

/// A mark before it is known what it is about.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Draft {
    /// What it is.
    pub(super) kind: MarkKind,
    /// What is drawn.
    pub(super) items: Vec<Drawn>,
    /// What it says.
    pub(super) text: String,
    /// Who made it.
    pub(super) reviewer: Option<String>,
    /// When.
    pub(super) time: Option<String>,
    /// A dimension as it was and as it should be.
    pub(super) edit: Option<(String, String)>,
    /// Where it points; `None` for its middle.
    pub(super) tip: Option<Spot>,
    /// What it stands on, where the sheet itself was changed.
    pub(super) on: Option<Area>,
    /// True when the file itself says what kind of mark it is.
    pub(super) is_said: bool,
    /// The thing of the issued sheet that was changed: its place in the sheet's list.
    pub(super) issued: Option<usize>,
}

/// Every mark of a sheet that came back.
pub(super) fn drafts(sheet: &IssuedSheet, laid: &Laid) -> Vec<Draft> {
    let marked = &laid.marked;
    let differences = &laid.differences;
    let mut list = Vec::new();
    let (of_page, others): (Vec<usize>, Vec<usize>) = differences
        .added
        .iter()
        .copied()
        .filter(|i| !is_paper(sheet, &marked.items[*i]))
        .partition(|i| page_group(marked, &marked.items[*i]).is_some());
    of_the_page(marked, &of_page, &mut list);
    by_hand(marked, &others, &differences.added, &mut list);
    if !laid.is_part(sheet) {
        of_the_sheet(sheet, laid, &mut list);
        retyped(&mut list);
    }
    list
}

/// White without a rim, which nobody sees on white paper.
pub(super) fn is_blank(item: &Drawn) -> bool {
    item.lines().is_some() && item.look.stroke == "none" && item.look.fill == "#ffffff"
}

/// A white box that nothing is seen through: what it lies on is covered.
pub(super) fn covers(item: &Drawn) -> bool {
    let is_box = |lines: &Lines| match &lines.runs[..] {
        [run] => {
            let p = &run.points;
            (4..=5).contains(&p.len()) && p.iter().all(|p| is_corner(&item.area, *p))
        }
        _ => false,
    };
    item.look.fill == "#ffffff" && !item.look.is_clear && item.lines().is_some_and(is_box)
}

fn is_corner(area: &Area, p: Spot) -> bool {
    area.corners().iter().any(|it| far(*it, p) <= 0.05)
}

/// Texts of the sheet that a white box of a mark covers, those near its middle first.
pub(super) fn covered<'a>(issued: &'a Drawing, items: &[Drawn]) -> Vec<&'a Drawn> {
    let boxes: Vec<&Area> = items
        .iter()
        .filter(|it| covers(it))
        .map(|it| &it.area)
        .collect();
    let share = |of: &Area, area: &Area| {
        let wide = of.x1.min(area.x1) - of.x0.max(area.x0);
        let high = of.y1.min(area.y1) - of.y0.max(area.y0);
        let whole = (of.width() * of.height()).max(0.01);
        wide.max(0.0) * high.max(0.0) / whole
    };
    let off = |it: &Drawn| {
        let middle = it.area.middle();
        let all = boxes.iter().map(|area| far(area.middle(), middle));
        all.fold(f64::INFINITY, f64::min)
    };
    let texts = issued.items.iter().filter(|it| !it.words().is_empty());
    let mut found: Vec<&Drawn> = texts
        .filter(|it| boxes.iter().any(|area| share(&it.area, area) >= COVERED))
        .collect();
    found.sort_by(|a, b| off(a).total_cmp(&off(b)));
    found
}

/// A new white ground under most of a sheet: the editor's paper.
fn is_paper(sheet: &IssuedSheet, item: &Drawn) -> bool {
    let [w, h] = sheet.drawing.size;
    is_blank(item) && item.area.width() * item.area.height() > 0.5 * w * h
}

/// The group of the page that an item stands in.
fn page_group(drawing: &Drawing, item: &Drawn) -> Option<usize> {
    let mut groups = item.groups.iter().copied();
    groups.find(|group| {
        let facts = drawing.groups.get(*group);
        facts.is_some_and(|it| it.data.contains_key("mark"))
    })
}

fn of_the_page(marked: &Drawing, items: &[usize], list: &mut Vec<Draft>) {
    let mut groups: Vec<usize> = items
        .iter()
        .filter_map(|i| page_group(marked, &marked.items[*i]))
        .collect();
    groups.dedup();
    for group in groups {
        let of_it: Vec<Drawn> = items
            .iter()
            .map(|i| &marked.items[*i])
            .filter(|item| page_group(marked, item) == Some(group))
            .cloned()
            .collect();
        let data = &marked.groups[group].data;
        let said = |name: &str| data.get(name).cloned().unwrap_or_default();
        let kind = match said("mark").as_str() {
            "cloud" => MarkKind::Cloud,
            "arrow" => MarkKind::Arrow,
            "text" => MarkKind::Text,
            "dimension" => MarkKind::Dimension,
            "stamp" => MarkKind::Stamp,
            _ => MarkKind::Shape,
        };
        let mut text = said("text");
        if kind == MarkKind::Stamp {
            text = [said("stamp"), text]
                .into_iter()
                .filter(|it| !it.is_empty())
                .collect::<Vec<_>>()
                .join(": ");
        }
        if text.is_empty() {
            text = words_of(&of_it);
        }
        let first = &of_it[0];
        list.push(Draft {
            kind,
            tip: (kind == MarkKind::Arrow)
                .then(|| page_tip(&of_it))
                .flatten(),
            edit: (kind == MarkKind::Dimension).then(|| (said("was"), said("now"))),
            text,
            reviewer: marked.fact(first, "reviewer").map(str::to_owned),
            time: marked.fact(first, "time").map(str::to_owned),
            items: of_it,
            on: None,
            is_said: true,
            issued: None,
        });
    }
}

/// The page draws an arrow from its tail to its tip, then the head.
fn page_tip(items: &[Drawn]) -> Option<Spot> {
    let lines = items.iter().find_map(Drawn::lines)?;
    lines.runs.first()?.points.last().copied()
}

pub(super) fn words_of(items: &[Drawn]) -> String {
    let words: Vec<&str> = items
        .iter()
        .map(Drawn::words)
        .filter(|words| !words.is_empty())
        .collect();
    words.join(" ")
}

/// What an editor added, with no word of what it is.
///
/// - `added`: all that is not the sheet's own.
fn by_hand(marked: &Drawing, items: &[usize], added: &[usize], list: &mut Vec<Draft>) {
    let count = items.len();
    let mut sets = Sets::new(count);
    let item = |n: usize| &marked.items[items[n]];
    let small_group = |n: usize| {
        let inner = item(n).groups.last().copied()?;
        let facts = marked.groups.get(inner)?;
        let of_it = (0..count)
            .filter(|m| item(*m).groups.contains(&inner))
            .count();
        (!facts.is_layer && facts.id != "review" && of_it <= MOST_OF_A_MARK).then_some(inner)
    };
    let groups: Vec<Option<usize>> = (0..count).map(small_group).collect();
    // Plain SVG knows no layers: the outermost group that holds nothing of the sheet may be one, of many marks.
    let added: BTreeSet<usize> = added.iter().copied().collect();
    let all = marked.items.iter().enumerate();
    let of_the_sheet: BTreeSet<usize> = all
        .filter(|(i, _)| !added.contains(i))
        .flat_map(|(_, it)| it.groups.iter().copied())
        .collect();
    let is_layer = |n: usize| {
        let mut own = item(n).groups.iter();
        own.find(|it| !of_the_sheet.contains(it)).copied() == groups[n]
    };
    let in_layer: Vec<bool> = (0..count).map(is_layer).collect();
    let kinds: Vec<MarkKind> = (0..count).map(|n| kind_of(item(n))).collect();
    let grounds: Vec<bool> = (0..count).map(|n| covers(item(n))).collect();
    for a in 0..count {
        for b in a + 1..count {
            let near = gap(&item(a).area, &item(b).area);
            let is_group = groups[a].is_some()
                && groups[a] == groups[b]
                && (!in_layer[a]
                    || near <= TOUCHES && is_one_thing((item(a), kinds[a]), (item(b), kinds[b])));
            let is_hand = [kinds[a], kinds[b]] == [MarkKind::Handwriting; 2] && near <= ONE_HAND;
            // The head of an arrow, or the shaft of a head.
            let is_joint = near <= TOUCHES && is_head(item(a)) != is_head(item(b));
            // Two lines through each other are one cross.
            let is_cross = [kinds[a], kinds[b]] == [MarkKind::Strike; 2]
                && near <= 0.0
                && crossing(straight(item(a)), straight(item(b))).is_some();
            // What is written on a white box, or under it where the editor sorts by kind, is written instead of what it covers.
            let is_instead = [(a, b), (b, a)]
                .iter()
                .any(|(a, b)| grounds[*a] && near <= 0.0 && is_inside(item(*b), item(*a)));
            let is_row = is_row(item(a), item(b));
            let is_chain = near <= JOINT && is_chain(item(a), item(b));
            if is_group || is_hand || is_joint || is_cross || is_instead || is_row || is_chain {
                sets.join(a, b);
            }
        }
    }
    // A text beside something is what is said about it: the nearest takes it.
    for n in (0..count).filter(|n| is_text(&item(*n).form)) {
        if !sets.is_alone(n) {
            continue;
        }
        let about = |m: &usize| {
            *m != n
                && matches!(
                    kinds[*m],
                    MarkKind::Cloud
                        | MarkKind::Arrow
                        | MarkKind::Strike
                        | MarkKind::Shape
                        | MarkKind::Highlight
                )
                && gap(&item(*m).area, &item(n).area) <= BESIDE
        };
        let nearest = (0..count).filter(about).min_by(|a, b| {
            let far = |m: &usize| gap(&item(*m).area, &item(n).area);
            far(a).total_cmp(&far(b))
        });
        if let Some(m) = nearest {
            sets.join(n, m);
        }
    }
    for set in sets.all() {
        let of_it: Vec<Drawn> = set.iter().map(|n| item(*n).clone()).collect();
        list.push(drafted(marked, of_it));
    }
}

/// True unless each of two says something of its own: two clouds, arrows, pictures, or lines that do not go on from each other.
fn is_one_thing((a, of_a): (&Drawn, MarkKind), (b, of_b): (&Drawn, MarkKind)) -> bool {
    let is_own = |kind: MarkKind| {
        matches!(
            kind,
            MarkKind::Cloud
                | MarkKind::Arrow
                | MarkKind::Image
                | MarkKind::Highlight
                | MarkKind::Strike
        )
    };
    let ends = |item: &Drawn| {
        let (p, q) = straight(item);
        [p, q]
    };
    let goes_on = || {
        let [mine, others] = [ends(a), ends(b)];
        mine.iter()
            .any(|p| others.iter().any(|q| far(*p, *q) <= TOUCHES))
    };
    let are_lines = [of_a, of_b] == [MarkKind::Strike; 2];
    !(is_own(of_a) && is_own(of_b)) || (are_lines && goes_on())
}

/// A text that stands on a box.
fn is_inside(words: &Drawn, ground: &Drawn) -> bool {
    is_text(&words.form) && gap_to(&ground.area, words.area.middle()) <= 0.0
}

/// Curves that go on where another ends: the arcs of a cloud that came one by one.
fn is_chain(a: &Drawn, b: &Drawn) -> bool {
    let ends = |item: &Drawn| {
        let lines = item.lines().filter(|it| it.n_curves > 0)?;
        let [run] = &lines.runs[..] else { return None };
        let is_open = !run.is_closed;
        is_open.then_some([*run.points.first()?, *run.points.last()?])
    };
    let (Some(a), Some(b)) = (ends(a), ends(b)) else {
        return false;
    };
    a.iter().any(|p| b.iter().any(|q| far(*p, *q) <= JOINT))
}

/// Words of one line that an editor cut, or letters that it turned into shapes.
fn is_row(a: &Drawn, b: &Drawn) -> bool {
    let near = gap(&a.area, &b.area);
    match (&a.form, &b.form) {
        (DrawnForm::Words(x), DrawnForm::Words(y)) => {
            let is_level = (x.at.y - y.at.y).abs() <= 0.1 * x.size && x.turn_deg.abs() < 1.0;
            is_same_lettering(x, y) && is_level && near <= 0.8 * x.size
        }
        _ => is_letter(a) && is_letter(b) && a.look == b.look && near <= 0.5 * ONE_HAND,
    }
}

/// A small filled shape without a line: a letter, or a part of one.
fn is_letter(item: &Drawn) -> bool {
    /// Larger letters are drawn on purpose, mm.
    const LARGEST: f64 = 15.0;
    let is_small = item.area.height() < LARGEST && item.area.width() < LARGEST;
    item.lines().is_some() && item.look.stroke == "none" && is_small
}

/// What stamps say: one that an editor stripped of its data is a box with one of these in it.
const STAMPS: [&str; 3] = ["APPROVED", "APPROVED AS NOTED", "REVISE AND RESUBMIT"];

/// A mark made of things that belong together.
fn drafted(marked: &Drawing, items: Vec<Drawn>) -> Draft {
    let text = words_of(&items);
    let tip = items
        .iter()
        .find_map(arrow_tip)
        .or_else(|| tip_by_head(&items));
    let rank = |kind: MarkKind| match kind {
        MarkKind::Cloud => 0,
        MarkKind::Arrow => 1,
        MarkKind::Strike | MarkKind::Highlight => 2,
        MarkKind::Image => 3,
        MarkKind::Handwriting => 4,
        MarkKind::Shape => 5,
        _ => 6,
    };
    let kind = items
        .iter()
        .map(kind_of)
        .min_by_key(|kind| rank(*kind))
        .unwrap_or_default();
    let lines = || items.iter().filter_map(Drawn::lines);
    let runs: Vec<&Run> = lines().flat_map(|it| &it.runs).collect();
    let kind = if is_cloud(&runs, lines().map(|it| it.n_curves).sum()) {
        MarkKind::Cloud
    } else {
        kind
    };
    let mut words = items.iter().map(|it| it.words().to_uppercase());
    let is_stamp =
        kind == MarkKind::Shape && words.any(|it| STAMPS.iter().any(|known| *known == it));
    let fact = |name: &str| {
        let found = items.iter().find_map(|it| marked.fact(it, name));
        found.map(str::to_owned)
    };
    Draft {
        kind: if is_stamp {
            MarkKind::Stamp
        } else if tip.is_some() && kind != MarkKind::Cloud {
            MarkKind::Arrow
        } else {
            kind
        },
        text,
        reviewer: fact("reviewer"),
        time: fact("time"),
        tip,
        items,
        ..Draft::default()
    }
}

/// What one thing is by its shape.
pub(super) fn kind_of(item: &Drawn) -> MarkKind {
    match &item.form {
        DrawnForm::Words(_) => MarkKind::Text,
        DrawnForm::Image(_) => MarkKind::Image,
        DrawnForm::Lines(lines) => {
            if arrow_tip(item).is_some() {
                MarkKind::Arrow
            } else if is_highlight(item, lines) {
                MarkKind::Highlight
            } else if covers(item) {
                MarkKind::Shape
            } else if is_letter(item) && !is_head(item) {
                MarkKind::Handwriting
            } else if is_cloud(&lines.runs.iter().collect::<Vec<_>>(), lines.n_curves) {
                MarkKind::Cloud
            } else if is_straight(lines) {
                MarkKind::Strike
            } else if is_hand(lines) && !is_ring(lines) {
                MarkKind::Handwriting
            } else {
                MarkKind::Shape
            }
        }
    }
}

/// A straight line from end to end.
fn straight(item: &Drawn) -> (Spot, Spot) {
    let run = item.lines().and_then(|lines| lines.runs.first());
    let ends = run.and_then(|run| Some((*run.points.first()?, *run.points.last()?)));
    ends.unwrap_or_default()
}

/// One straight line.
fn is_straight(lines: &Lines) -> bool {
    let [run] = &lines.runs[..] else {
        return false;
    };
    let (Some(first), Some(last)) = (run.points.first(), run.points.last()) else {
        return false;
    };
    let length: f64 = run.pieces().map(|(a, b)| far(a, b)).sum();
    !run.is_closed && far(*first, *last) > 0.97 * length && length > 1.0
}

fn is_hand(lines: &Lines) -> bool {
    lines
        .runs
        .iter()
        .any(|run| !run.is_closed && run.points.len() >= HAND_POINTS)
}

/// Laid over something so that it is still read: a box without a hole, or a stroke of a marker.
fn is_highlight(item: &Drawn, lines: &Lines) -> bool {
    if !item.look.is_clear {
        return false;
    }
    let width: f64 = item.look.width.parse().unwrap_or_default();
    if item.look.fill == "none" {
        return width >= MARKER;
    }
    let is_white = item.look.fill == "#ffffff";
    let is_large = item.area.width().max(item.area.height()) >= RING;
    let has_corners = matches!(&lines.runs[..], [run] if run.points.len() > 3);
    !is_white && has_corners && (is_large || lines.n_curves == 0)
}

/// One line, round by hand or by an editor, that comes back to where it began.
fn is_ring(lines: &Lines) -> bool {
    let [run] = &lines.runs[..] else {
        return false;
    };
    let (Some(first), Some(area)) = (run.points.first(), Area::around(&run.points)) else {
        return false;
    };
    let length: f64 = run.pieces().map(|(a, b)| far(a, b)).sum();
    let gap = run.points.last().map_or(0.0, |last| far(*first, *last));
    let round = run.points.iter().zip(run.points.iter().cycle().skip(1));
    let twice: f64 = round
        .map(|(a, b)| (a.x - first.x) * (b.y - first.y) - (b.x - first.x) * (a.y - first.y))
        .sum();
    let holds = 2.0 * std::f64::consts::PI * twice.abs() / (length * length).max(1e-9);
    let is_large = area.width().max(area.height()) >= RING;
    is_large && gap <= RING_GAP * length && holds >= RING_HOLDS
}

/// Where the head that the file puts on a line points.
fn arrow_tip(item: &Drawn) -> Option<Spot> {
    let lines = item.lines()?;
    let (first, last) = (lines.runs.first()?, lines.runs.last()?);
    match lines.heads {
        [_, true] => last.points.last().copied(),
        [true, false] => first.points.first().copied(),
        [false, false] => barbed(lines),
    }
}

/// A shaft and two short barbs that leave its end: as the page draws an arrow, and many hands do.
fn barbed(lines: &Lines) -> Option<Spot> {
    let [shaft, barbs @ ..] = &lines.runs[..] else {
        return None;
    };
    let (tail, tip) = (*shaft.points.first()?, *shaft.points.last()?);
    let ends = barbs.iter().flat_map(|run| run.points.iter());
    let is_near = ends.clone().any(|p| far(*p, tip) < 0.2);
    let is_short = ends.clone().all(|p| far(*p, tip) < 0.6 * far(tail, tip));
    (!barbs.is_empty() && shaft.points.len() == 2 && is_near && is_short).then_some(tip)
}

/// A small filled shape of three to five corners.
fn is_head(item: &Drawn) -> bool {
    let Some(Lines {
        runs, n_curves: 0, ..
    }) = item.lines()
    else {
        return false;
    };
    let [run] = &runs[..] else { return false };
    let n = run.points.len();
    (3..=5).contains(&n)
        && !item.look.is_clear
        && !covers(item)
        && item.look.fill != "none"
        && item.area.width().max(item.area.height()) < 15.0
}

/// Of a shaft and a head: the corner of the head that is farthest from the other end of the shaft.
fn tip_by_head(items: &[Drawn]) -> Option<Spot> {
    let head = items.iter().find(|it| is_head(it))?;
    let shaft = items
        .iter()
        .filter_map(Drawn::lines)
        .find(|lines| is_straight(lines))?;
    let run: &Run = shaft.runs.first()?;
    let (a, b) = (*run.points.first()?, *run.points.last()?);
    let middle = head.area.middle();
    let tail = if far(a, middle) > far(b, middle) {
        a
    } else {
        b
    };
    let corners = head.lines()?.runs.first()?.points.iter().copied();
    corners.max_by(|p, q| far(*p, tail).total_cmp(&far(*q, tail)))
}

pub(super) fn far(a: Spot, b: Spot) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}
