//! The box of a carried mark: its number, its state, and what the reviewer wrote where that has no place of its own.
//!
//! ```text
//!   words as drawn ── on nothing ──► stay          box: M7 ANSWERED          or: M7 ANSWERED
//!                  └─ on something ─► in the box        all that was said        the first line …
//!                                                                                see Z-092
//! ```
//!
//! A box stands on nothing that the sheet shows: beside its mark, or farther off with a leader that ends in a dot on it. It is
//! searched for as other signs are (`plan_view/placement.rs`), near the mark and then over the whole paper, its margin included;
//! the whole is taken before the first line unless that stands much nearer.

use super::{CarriedMark, REVIEW_SHEET};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::overlap::{ARCHITECT, Standings, standings};
use crate::documents::paper::page::extent;
use crate::documents::paper::style::{Fill, Ink, Pen, SMALL_SHEET};
use crate::documents::paper::{
    Area, Canvas, Form, Group, Item, Lettered, Sheet, Spot, Weight, spot,
};
use crate::documents::plan_view::{Candidate, LabelBox, Obstacles, box_edge, place};

/// A box this near its mark needs no leader, mm.
const NEAR: f64 = 2.5;
/// How far from a mark its box is looked for first, mm.
const STEPS: [f64; 8] = [1.2, 2.2, 5.0, 9.0, 14.0, 20.0, 28.0, 38.0];
/// Directions in which it is looked for, degrees apart.
const TURN_DEG: f64 = 30.0;
/// Places on a mark from which it is looked for.
const FEET: usize = 24;
/// Pieces a mark's lines are cut into for that, mm.
const PIECE: f64 = 6.0;
/// Steps of the search over the whole paper, mm.
const GRID: f64 = 5.0;
/// What the edge of the paper is kept free of, mm: no printer reaches it.
const EDGE: f64 = 5.0;
/// Width of what a reviewer wrote, mm, and the most lines of it.
const WIDTHS: [f64; 2] = [72.0, 48.0];
const MOST_LINES: usize = 6;
/// The same of its first words alone.
const SHORT_WIDTHS: [f64; 3] = [72.0, 40.0, 26.0];
/// Most letters of the first line where the whole has no place.
const LETTERS: usize = 40;
/// What a shorter form costs, as mm farther from the mark, and a box without a leader far from its mark.
const SHORTER: f64 = 25.0;
const ALONE: f64 = 300.0;
/// Room round a box, and inside it, mm.
const ROOM: f64 = 0.5;
const INSET: f64 = 1.0;
/// Radius of the dot at the foot of a leader, mm.
const DOT: f64 = 0.6;

/// One way to letter a box: its lines, the first in bold.
struct Wording {
    lines: Vec<String>,
    cost: f64,
}

impl Wording {
    const LETTERED: Lettered = Lettered::cap(SMALL_SHEET.note).ink(Ink::Accent);
    const LEADING: f64 = SMALL_SHEET.note * 1.6;

    fn size(&self) -> [f64; 2] {
        let mut lines = self.lines.iter();
        let head = lines
            .next()
            .map_or(0.0, |it| Self::LETTERED.bold().width(it));
        let width = lines
            .map(|it| Self::LETTERED.width(it))
            .fold(head, f64::max);
        let more = self
            .lines
            .iter()
            .skip(1)
            .map(|_| Self::LEADING)
            .sum::<f64>();
        [width + 2.0 * INSET, SMALL_SHEET.note + more + 2.0 * INSET]
    }

    fn draw(&self, canvas: &mut Canvas, place: Area, leader: Option<[Spot; 2]>) {
        if let Some([from, to]) = leader {
            canvas.line(Pen::Thin.full().with(Ink::Accent), from, to);
            canvas.shape(Form::Circle(to, DOT), None, Fill::Accent);
        }
        let frame = Pen::Edge.full().with(Ink::Accent);
        canvas.shape(Form::Area(place), frame, Fill::White);
        let mut lettered = Self::LETTERED.bold();
        let mut at = spot(place.x0 + INSET, place.y0 + INSET + SMALL_SHEET.note);
        for line in &self.lines {
            canvas.text(at, line.as_str(), lettered);
            at.y += Self::LEADING;
            lettered = Self::LETTERED;
        }
    }
}

/// A mark ready for its box: what stays as it was drawn, and where a leader may end.
struct Ready<'a> {
    mark: &'a CarriedMark,
    kept: Vec<Item>,
    feet: Vec<Spot>,
    wordings: Vec<Wording>,
    shift: Spot,
}

/// Draws marks of one sheet with their boxes.
///
/// - `marks`: each with how far it moves on paper.
pub(super) fn draw(sheet: &Sheet, marks: &[(&CarriedMark, Spot)]) -> Vec<Item> {
    let paper = Area::new(0.0, 0.0, sheet.width, sheet.height).grown(-EDGE);
    let mut obstacles = Obstacles::inside(paper);
    let mut taken = Vec::new();
    for layer in &sheet.layers {
        let standing = standings(layer);
        if layer.id == ARCHITECT {
            soften(&standing, &mut obstacles);
        } else {
            let (texts, lines) = boxes(&standing);
            texts.iter().for_each(|it| obstacles.add_text(*it));
            lines.iter().for_each(|it| obstacles.add_line(*it));
            taken.extend(texts.into_iter().chain(lines));
        }
    }
    let ready: Vec<Ready<'_>> = marks
        .iter()
        .map(|(mark, shift)| {
            let ready = ready(mark, *shift, &paper, &mut taken);
            let (texts, lines) = boxes(&standings(&group_of(&ready.kept)));
            texts.into_iter().for_each(|it| obstacles.add_text(it));
            lines.into_iter().for_each(|it| obstacles.add_line(it));
            ready
        })
        .collect();
    let near: Vec<Vec<Choice>> = ready.iter().map(near_choices).collect();
    let candidates = |all: &[Vec<Choice>]| -> Vec<Vec<Candidate>> {
        let one = |it: &Vec<Choice>| it.iter().map(|it| it.candidate.clone()).collect();
        all.iter().map(one).collect()
    };
    let chosen = place(&candidates(&near), &obstacles).chosen;
    let mut found: Vec<Option<&Choice>> = near
        .iter()
        .zip(chosen)
        .map(|(all, number)| all.get(number?))
        .collect();
    for choice in found.iter().flatten() {
        obstacles.add_label(&choice.candidate);
    }
    let left: Vec<usize> = (0..found.len()).filter(|it| found[*it].is_none()).collect();
    let far: Vec<Vec<Choice>> = left
        .iter()
        .map(|index| far_choices(&ready[*index], &paper))
        .collect();
    let chosen = place(&candidates(&far), &obstacles).chosen;
    for ((index, all), number) in left.iter().zip(&far).zip(chosen) {
        found[*index] = number.and_then(|it| all.get(it)).or(all.last());
    }
    let drawn = ready.into_iter().zip(found);
    drawn
        .map(|(ready, choice)| Item::Group(ready.draw(choice)))
        .collect()
}

fn group_of(items: &[Item]) -> Group {
    Group {
        items: items.to_vec(),
        ..Group::default()
    }
}

/// Texts and lines of a drawing as boxes.
fn boxes(standing: &Standings) -> (Vec<LabelBox>, Vec<LabelBox>) {
    let texts = standing.texts.iter().map(LabelBox::upright);
    let lines = standing.lines.iter();
    (
        texts.collect(),
        lines.map(|[a, b]| LabelBox::line(*a, *b, 0.3)).collect(),
    )
}

/// The architect's drawing: it may be stood on where nothing else is free.
fn soften(standing: &Standings, obstacles: &mut Obstacles) {
    let (texts, lines) = boxes(standing);
    texts
        .into_iter()
        .for_each(|it| obstacles.add_words(it, 8.0));
    lines.into_iter().for_each(|it| obstacles.add_soft(it, 1.0));
}

/// Moves a mark, and parts words that would stand on something from what stays as it was drawn.
fn ready<'a>(
    mark: &'a CarriedMark,
    shift: Spot,
    paper: &Area,
    taken: &mut Vec<LabelBox>,
) -> Ready<'a> {
    let all: Vec<Item> = mark
        .items
        .iter()
        .map(|it| super::moved(it, shift))
        .collect();
    let whole = extent(&group_of(&all));
    let (words, mut kept): (Vec<Item>, Vec<Item>) = all
        .into_iter()
        .partition(|item| matches!(item, Item::Text(_)));
    // A number that the job gives by now is not struck.
    if mark.is_taken_over {
        kept.clear();
    }
    let own = standings(&group_of(&words)).texts;
    let stands_free = |area: &Area| {
        let mine = LabelBox::upright(&area.grown(ROOM));
        paper.holds(area) && !taken.iter().any(|it| it.overlaps(&mine))
    };
    let is_free = !mark.is_taken_over && own.iter().all(stands_free);
    let said: Vec<&str> = words
        .iter()
        .filter_map(|it| match it {
            Item::Text(text) => Some(text.words.trim()),
            Item::Group(_) | Item::Shape(_) => None,
        })
        .collect();
    let said = if is_free {
        String::new()
    } else {
        said.join(" ")
    };
    if is_free {
        taken.extend(own.iter().map(LabelBox::upright));
        kept.extend(words);
    }
    let at = spot(mark.at.x + shift.x, mark.at.y + shift.y);
    let feet = feet(&kept, whole, at);
    Ready {
        mark,
        kept,
        feet,
        wordings: wordings(mark, &said),
        shift,
    }
}

/// Where a leader may end: on the mark's lines; of one without lines at the edge of where its words stood, and at what it is about.
fn feet(kept: &[Item], whole: Option<Area>, at: Spot) -> Vec<Spot> {
    let lines = standings(&group_of(kept)).lines;
    let mut feet = Vec::new();
    for [from, to] in lines {
        let d = to - from;
        let length = d.x.hypot(d.y);
        let mut along = 0.0;
        while along < length {
            feet.push(from + d * (along / length));
            along += PIECE;
        }
        feet.push(to);
    }
    if feet.is_empty() {
        let area = whole.unwrap_or_else(|| Area::of(at, at));
        let middle = area.middle();
        feet.extend(area.corners());
        feet.extend([
            spot(middle.x, area.y0),
            spot(area.x1, middle.y),
            spot(middle.x, area.y1),
            spot(area.x0, middle.y),
            at,
        ]);
    }
    let step = feet.len().div_ceil(FEET).max(1);
    feet.into_iter().step_by(step).collect()
}

fn wordings(mark: &CarriedMark, said: &str) -> Vec<Wording> {
    let head = format!("{} {}", mark.id, super::state(mark));
    let with = |more: Vec<String>, cost: f64| Wording {
        lines: std::iter::once(head.clone()).chain(more).collect(),
        cost,
    };
    if said.is_empty() {
        return vec![with(Vec::new(), 0.0)];
    }
    let see = format!("see {REVIEW_SHEET}");
    let mut all: Vec<Wording> = WIDTHS
        .iter()
        .map(|width| wrap(said, *width, SMALL_SHEET.note, Weight::Regular))
        .filter(|lines| lines.len() <= MOST_LINES)
        .map(|lines| with(lines, 0.0))
        .collect();
    let first = first_line(said);
    if first != said {
        all.extend(SHORT_WIDTHS.iter().map(|width| {
            let mut lines = wrap(&first, *width, SMALL_SHEET.note, Weight::Regular);
            lines.push(see.clone());
            with(lines, SHORTER)
        }));
    }
    all.push(with(vec![see], 3.0 * SHORTER));
    all
}

/// The first words of a remark, cut at a word.
fn first_line(said: &str) -> String {
    if said.chars().count() <= LETTERS {
        return said.to_owned();
    }
    let mut first = String::new();
    for word in said.split(' ') {
        if first.chars().count() + 1 + word.chars().count() > LETTERS {
            break;
        }
        if !first.is_empty() {
            first.push(' ');
        }
        first.push_str(word);
    }
    if first.is_empty() {
        first = said.chars().take(LETTERS).collect();
    }
    format!("{first}…")
}

/// A place for a box.
struct Choice {
    candidate: Candidate,
    wording: usize,
    place: Area,
    leader: Option<[Spot; 2]>,
}

impl Choice {
    /// A box with its leader to a foot; none where it stands close by.
    fn of(wording: usize, it: &Wording, place: Area, foot: Spot) -> Self {
        let gap = apart(&place, foot);
        let leader = (gap > NEAR).then(|| {
            let middle = place.middle();
            [box_edge(middle, foot, place.width(), place.height()), foot]
        });
        Self::with(wording, place, leader, it.cost + gap)
    }

    fn with(wording: usize, place: Area, leader: Option<[Spot; 2]>, cost: f64) -> Self {
        let line = |[from, to]: [Spot; 2]| LabelBox::line(from, to, 2.0 * DOT);
        Self {
            candidate: Candidate {
                boxes: vec![LabelBox::upright(&place.grown(ROOM))],
                lines: leader.map(line).into_iter().collect(),
                cost,
            },
            wording,
            place,
            leader,
        }
    }
}

/// From a box to a point outside it, mm.
fn apart(area: &Area, p: Spot) -> f64 {
    let x = (area.x0 - p.x).max(p.x - area.x1).max(0.0);
    let y = (area.y0 - p.y).max(p.y - area.y1).max(0.0);
    x.hypot(y)
}

fn near_choices(ready: &Ready<'_>) -> Vec<Choice> {
    let mut all = Vec::new();
    for (number, it) in ready.wordings.iter().enumerate() {
        let [width, height] = it.size();
        for foot in &ready.feet {
            let mut turn = 0.0_f64;
            while turn < 360.0 {
                let (sin, cos) = turn.to_radians().sin_cos();
                turn += TURN_DEG;
                for step in STEPS {
                    let x = foot.x + cos * (step + width / 2.0);
                    let y = foot.y + sin * (step + height / 2.0);
                    let (half, rise) = (width / 2.0, height / 2.0);
                    let place = Area::new(x - half, y - rise, x + half, y + rise);
                    if apart(&place, *foot) > 0.9 {
                        all.push(Choice::of(number, it, place, *foot));
                    }
                }
            }
        }
    }
    all
}

/// Places all over the paper with a leader from the nearest foot; without one where no leader passes. The last is for a sheet
/// without any free place: the corner of the paper.
fn far_choices(ready: &Ready<'_>, paper: &Area) -> Vec<Choice> {
    let mut all = Vec::new();
    for (number, it) in ready.wordings.iter().enumerate() {
        let [width, height] = it.size();
        let mut y = paper.y0 + 0.6;
        while y + height < paper.y1 {
            let mut x = paper.x0 + 0.6;
            while x + width < paper.x1 {
                let place = Area::new(x, y, x + width, y + height);
                let gap = |foot: &&Spot| apart(&place, **foot);
                let nearest = ready.feet.iter().min_by(|a, b| gap(a).total_cmp(&gap(b)));
                if let Some(foot) = nearest {
                    all.push(Choice::of(number, it, place, *foot));
                    let cost = it.cost + gap(&foot) + ALONE;
                    all.push(Choice::with(number, place, None, cost));
                }
                x += GRID;
            }
            y += GRID;
        }
    }
    if let Some((number, it)) = ready.wordings.iter().enumerate().next_back() {
        let [width, height] = it.size();
        let place = Area::new(paper.x0, paper.y0, paper.x0 + width, paper.y0 + height);
        all.push(Choice::with(number, place, None, 9.0 * ALONE));
    }
    all
}

impl Ready<'_> {
    fn draw(self, choice: Option<&Choice>) -> Group {
        let mark = self.mark;
        let mut canvas = Canvas::new();
        for item in self.kept {
            canvas.put(item);
        }
        if let Some((choice, wording)) =
            choice.and_then(|it| Some((it, self.wordings.get(it.wording)?)))
        {
            canvas.group(&format!("tag-{}", mark.id), "", |canvas| {
                wording.draw(canvas, choice.place, choice.leader);
            });
        }
        let mut group = canvas.into_group(&format!("carried-{}", mark.id), "");
        group.title = format!("{} {}: {}", mark.id, mark.status, mark.question);
        group.data = vec![(
            super::MOVED_BY.to_owned(),
            format!("{:.3} {:.3}", self.shift.x, self.shift.y),
        )];
        group
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_remark_is_cut_at_a_word() {
        let check = |said: &str, expected: &str| assert_eq!(first_line(said), expected);
        check("Move the joint", "Move the joint");
        check(
            "Is this the right window? It stands 6 in too far to the left",
            "Is this the right window? It stands 6 in…",
        );
        check(
            "Donaudampfschifffahrtsgesellschaftskapitaen asks",
            "Donaudampfschifffahrtsgesellschaftskapit…",
        );
    }
}
