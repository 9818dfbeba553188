//! Rooms and titles: the bounded faces of the arrangement and the texts in them.
//!
//! ```text
//!   ┌──────────┐
//!   │  KITCHEN │   ──► Room { name: "KITCHEN", outline: inside faces, area }
//!   └──────────┘
//! ```

use crate::drawing::{Drawing, Text, ViewKind, ViewsNamed, is_underlined};
use crate::plan::callouts::readings;
use crate::plan::enclosure::faces::Ring;
use crate::plan::enclosure::network::Network;
use crate::plan::enclosure::outline::{contains, doubled_area, polygon, stretches};
use crate::plan::lines::rails::around;
use crate::plan::nearby::Nearby;
use crate::plan::walls::runs::Run;
use crate::plan::{Room, Storey};
use crate::side_by_side::in_stretches;
use geo::Coord;

/// A room has at least this area, square inches: 4 square feet; less is a chase or a sliver.
const LEAST_ROOM: f64 = 576.0;
/// Lines of one name stand within this many letter heights of each other.
const LINE_SPACING: f64 = 2.2;

/// The rooms of a network's bounded rings; ids are left empty.
pub(in crate::plan) fn rooms(
    runs: &[Run],
    network: &Network,
    rings: &[&Ring],
    drawing: &Drawing,
    origin: Coord<f64>,
) -> Vec<Room> {
    let names = Names::new(drawing, origin);
    let room = |ring: &&Ring| {
        let outline = polygon(runs, &stretches(network, &ring.sides), 1.0);
        let area = doubled_area(&outline) / 2.0;
        (area >= LEAST_ROOM).then(|| {
            let (name, sources) = names.of(&outline);
            Room {
                name,
                sources,
                outline: outline.iter().map(|p| *p + origin).collect(),
                area_sq_ft: area / 144.0,
                ..Room::default()
            }
        })
    };
    let mut rooms = in_stretches(rings.len(), |part| {
        rings[part].iter().filter_map(room).collect()
    });
    rooms.sort_by(|p, q| {
        let low = |room: &Room| {
            room.outline
                .iter()
                .fold((f64::INFINITY, f64::INFINITY), |m, c| {
                    (m.0.min(c.y), m.1.min(c.x))
                })
        };
        let ((py, px), (qy, qx)) = (low(p), low(q));
        py.total_cmp(&qy).then(px.total_cmp(&qx))
    });
    rooms
}

/// Texts that may be names of rooms, by place, and sizes of rooms.
struct Names<'a> {
    drawing: &'a Drawing,
    texts: Vec<&'a Text>,
    tree: Nearby,
    sizes: Vec<&'a Text>,
    origin: Coord<f64>,
}

impl<'a> Names<'a> {
    fn new(drawing: &'a Drawing, origin: Coord<f64>) -> Self {
        let texts: Vec<&Text> = shown(drawing)
            .filter(|text| is_name(&text.content))
            .collect();
        let tree = Nearby::points(texts.iter().map(|text| text.at - origin));
        let sizes = shown(drawing);
        Self {
            drawing,
            texts,
            tree,
            sizes: sizes.filter(|text| is_size(&text.content)).collect(),
            origin,
        }
    }

    /// The name written in a room, and the handles of its texts.
    fn of(&self, outline: &[Coord<f64>]) -> (String, Vec<String>) {
        let Some(area) = around(outline, 0.0) else {
            return Default::default();
        };
        let near = self.tree.sorted(&area).into_iter();
        let inside = near.filter(|i| contains(outline, self.texts[*i].at - self.origin));
        let lines = name(inside.map(|i| self.texts[i]).collect(), &self.sizes);
        let words: Vec<String> = lines.iter().map(|text| clean(&text.content)).collect();
        let source = |text: &&Text| self.drawing.sources.get(text.source.0 as usize);
        let sources = lines.iter().filter_map(source);
        let sources = sources.map(|it| it.handle.clone()).collect();
        (words.join(" "), sources)
    }
}

/// The lines of the name: of the tallest words, lines below one another together, those with the room's size below them; else the
/// uppermost.
fn name<'a>(mut texts: Vec<&'a Text>, sizes: &[&Text]) -> Vec<&'a Text> {
    let tallest = texts.iter().map(|text| text.height).fold(0.0, f64::max);
    texts.retain(|text| text.height > 0.9 * tallest);
    let angle = texts.first().map_or(0.0, |text| text.angle);
    let place = |text: &Text| along_and_up(text.at, angle);
    texts.sort_by(|p, q| {
        let (p, q) = (place(p), place(q));
        q.1.total_cmp(&p.1).then(p.0.total_cmp(&q.0))
    });
    let mut blocks: Vec<Vec<&Text>> = Vec::new();
    for text in texts {
        let above = blocks
            .iter_mut()
            .find(|block| block.last().is_some_and(|last| follows(last, text)));
        match above {
            Some(block) => block.push(text),
            None => blocks.push(vec![text]),
        }
    }
    let has_size = |block: &&Vec<&Text>| {
        let last = block.last();
        last.is_some_and(|last| sizes.iter().any(|size| follows(last, size)))
    };
    let sized = blocks.iter().find(has_size);
    sized.or(blocks.first()).cloned().unwrap_or_default()
}

/// True when a line stands close below another as both are read: both begin, or have their middles, one above the other.
pub(in crate::plan) fn follows(above: &Text, text: &Text) -> bool {
    let (aside, up) = along_and_up(text.at - above.at, above.angle);
    let (between, _) = along_and_up(text.middle - above.middle, above.angle);
    let (down, aside) = (-up, aside.abs().min(between.abs()));
    down > 0.0 && down < LINE_SPACING * above.height.max(text.height) && aside < 4.0 * above.height
}

/// A vector along and across the lines of a text that is turned by an angle.
fn along_and_up(v: Coord<f64>, angle: f64) -> (f64, f64) {
    let (sin, cos) = angle.sin_cos();
    (v.x * cos + v.y * sin, v.y * cos - v.x * sin)
}

/// The texts that the drawing shows.
fn shown(drawing: &Drawing) -> impl Iterator<Item = &Text> {
    let texts = drawing.texts.iter();
    texts.filter(|text| is_shown(drawing, text))
}

/// Where the names of rooms stand in a drawing, or what reads like one.
pub(in crate::plan) fn names(drawing: &Drawing) -> impl Iterator<Item = Coord<f64>> {
    texts_like_names(drawing).map(|it| it.1)
}

/// What reads like the name of a room, and where it stands.
pub(in crate::plan) fn texts_like_names(
    drawing: &Drawing,
) -> impl Iterator<Item = (&str, Coord<f64>)> {
    let texts = shown(drawing).filter(|text| is_name(&text.content));
    texts.map(|text| (text.content.trim(), text.middle))
}

fn is_shown(drawing: &Drawing, text: &Text) -> bool {
    let source = drawing.sources.get(text.source.0 as usize);
    source.is_none_or(|source| !source.is_hidden)
}

/// True for the size of a room: two lengths, or an area.
fn is_size(text: &str) -> bool {
    let text = clean(text).to_lowercase();
    let is_length = |it: &str| it.trim().starts_with(|c: char| c.is_ascii_digit());
    let pair = text.split_once(['x', '×']);
    let area = ["m²", "m2", "qm", "sq ft", "sq.ft", "sf"];
    pair.is_some_and(|(a, b)| is_length(a) && is_length(b))
        || is_length(&text)
            && area
                .iter()
                .any(|unit| text.trim_end_matches('.').ends_with(unit))
}

/// A name has letters, is short, and is neither a size nor a note.
pub(in crate::plan) fn is_name(text: &str) -> bool {
    let text = clean(text);
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    let others = text.chars().filter(char::is_ascii_digit).count();
    // A word of a language that is written by syllables is a letter or two.
    let least = if text.contains(|c: char| c >= '\u{2e80}') {
        2
    } else {
        3
    };
    (least..=28).contains(&text.chars().count())
        && letters >= 2
        && others <= 2
        && text.split_whitespace().count() <= 4
        && readings(&text).is_empty()
}

fn clean(text: &str) -> String {
    if !text.contains("%%") {
        return text.trim().to_owned();
    }
    text.replace("%%u", "")
        .replace("%%U", "")
        .replace("%%o", "")
        .trim()
        .to_owned()
}

impl Storey {
    /// The room that a point of the drawing lies in.
    #[must_use]
    pub fn room_at(&self, p: Coord<f64>) -> Option<&Room> {
        self.rooms.iter().find(|it| contains(&it.outline, p))
    }
}

/// The title of a plan: the tallest text with a title's word, nearest below or in the outline.
pub(in crate::plan) fn title(
    drawing: &Drawing,
    views: &ViewsNamed,
    outline: &[Coord<f64>],
) -> String {
    let low = outline.iter().map(|p| p.y).fold(f64::INFINITY, f64::min);
    let high = outline
        .iter()
        .map(|p| p.y)
        .fold(f64::NEG_INFINITY, f64::max);
    let left = outline.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
    let right = outline
        .iter()
        .map(|p| p.x)
        .fold(f64::NEG_INFINITY, f64::max);
    let size = (high - low).max(right - left);
    let texts = drawing.texts.iter().zip(&views.kinds);
    let near: Vec<(&Text, Option<ViewKind>)> = texts
        .map(|(text, kind)| (text, *kind))
        .filter(|(text, _)| is_shown(drawing, text))
        .filter(|(text, _)| {
            text.at.x > left - 0.5 * size
                && text.at.x < right + 0.5 * size
                && text.at.y > low - 0.6 * size
                && text.at.y < high + 0.3 * size
        })
        .collect();
    let largest = |fits: &dyn Fn(&Text, Option<ViewKind>) -> bool| {
        let texts = near.iter().filter(|it| fits(it.0, it.1)).map(|it| it.0);
        texts.max_by(|p, q| {
            p.height
                .total_cmp(&q.height)
                .then(q.at.y.total_cmp(&p.at.y))
                .then(q.content.cmp(&p.content))
        })
    };
    // A name without such a word is a title where it is larger than the others, below the plan and underlined.
    let tallest = near.iter().map(|it| it.0.height).fold(0.0, f64::max);
    largest(&|_, kind| kind == Some(ViewKind::Plan))
        .or_else(|| {
            largest(&|text, kind| {
                text.height > 0.9 * tallest
                    && text.at.y < low
                    && (left..right).contains(&text.middle.x)
                    && kind.is_none()
                    && is_name(&text.content)
                    && is_underlined(drawing, text)
            })
        })
        .map_or_else(String::new, |text| clean(&text.content))
}

#[cfg(test)]
mod tests {
    use super::is_name;
    use crate::plan::trial::{recovered_among, shell};

    #[test]
    fn a_name_of_two_syllables_is_a_name_where_it_is_written_by_them() {
        assert!(is_name("厨房") && is_name("침실"));
        assert!(!is_name("N1") && !is_name("UP"));
    }

    #[test]
    fn a_name_has_the_size_of_its_room_below_it() {
        let name = |words: &[(&str, [f64; 2])]| {
            let plan = recovered_among(&shell(), &[], words).output;
            plan.storeys[0].rooms[0].name.clone()
        };
        let note = ("RAISED PLATFORM", [100.0, 200.0]);
        let garage = ("2 CAR GARAGE", [200.0, 100.0]);
        assert_eq!(name(&[note, garage]), "RAISED PLATFORM");
        let size = ("21'2 x 20'10", [205.0, 90.0]);
        assert_eq!(name(&[note, garage, size]), "2 CAR GARAGE");
        let lines = [("MASTER", [200.0, 110.0]), ("BEDROOM", [198.0, 100.0])];
        assert_eq!(name(&[note, lines[0], lines[1], size]), "MASTER BEDROOM");
    }
}
