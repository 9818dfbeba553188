//! Rooms and titles: the bounded faces of the arrangement and the texts in them.
//!
//! ```text
//!   ┌──────────┐
//!   │  KITCHEN │   ──► Room { name: "KITCHEN", outline: inside faces, area }
//!   └──────────┘
//! ```

use super::Room;
use super::callouts::readings;
use super::faces::Ring;
use super::nearby::Nearby;
use super::network::Network;
use super::outline::{contains, doubled_area, polygon, stretches};
use super::rails::around;
use super::runs::Run;
use crate::drawing::{Drawing, Text, ViewKind, view_kind};
use geo::Coord;

/// A room has at least this area, square inches: 4 square feet; less is a chase or a sliver.
const LEAST_ROOM: f64 = 576.0;
/// Lines of one name stand within this many letter heights of each other.
const LINE_SPACING: f64 = 2.2;

/// The rooms of a network's bounded rings; ids are left empty.
pub(super) fn rooms(
    runs: &[Run],
    network: &Network,
    rings: &[&Ring],
    drawing: &Drawing,
    origin: Coord<f64>,
) -> Vec<Room> {
    let names = Names::new(drawing, origin);
    let mut rooms: Vec<Room> = rings
        .iter()
        .filter_map(|ring| {
            let outline = polygon(runs, &stretches(network, &ring.sides), 1.0);
            let area = doubled_area(&outline) / 2.0;
            (area >= LEAST_ROOM).then(|| Room {
                id: String::new(),
                name: names.of(&outline),
                outline: outline.iter().map(|p| *p + origin).collect(),
                area_sq_ft: area / 144.0,
            })
        })
        .collect();
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

/// Texts that may be names of rooms, by place.
struct Names<'a> {
    texts: Vec<&'a Text>,
    tree: Nearby,
    origin: Coord<f64>,
}

impl<'a> Names<'a> {
    fn new(drawing: &'a Drawing, origin: Coord<f64>) -> Self {
        let texts = drawing.texts.iter();
        let texts: Vec<&Text> = texts.filter(|text| is_name(&text.content)).collect();
        let tree = Nearby::points(texts.iter().map(|text| text.at - origin));
        Self {
            texts,
            tree,
            origin,
        }
    }

    /// The name written in a room, in the order of the file.
    fn of(&self, outline: &[Coord<f64>]) -> String {
        let Some(area) = around(outline, 0.0) else {
            return String::new();
        };
        let near = self.tree.sorted(&area).into_iter();
        let inside = near.filter(|i| contains(outline, self.texts[*i].at - self.origin));
        name(inside.map(|i| self.texts[i]).collect())
    }
}

/// The tallest words, lines below one another joined.
fn name(mut texts: Vec<&Text>) -> String {
    let tallest = texts.iter().map(|text| text.height).fold(0.0, f64::max);
    texts.retain(|text| text.height > 0.9 * tallest);
    texts.sort_by(|p, q| q.at.y.total_cmp(&p.at.y).then(p.at.x.total_cmp(&q.at.x)));
    let mut words: Vec<String> = Vec::new();
    let mut last: Option<&Text> = None;
    for text in texts {
        let follows = last.is_none_or(|l| {
            l.at.y - text.at.y < LINE_SPACING * text.height
                && (l.at.x - text.at.x).abs() < 20.0 * text.height
        });
        if !follows {
            break;
        }
        words.push(clean(&text.content));
        last = Some(text);
    }
    words.join(" ")
}

/// A name has letters, is short, and is neither a size nor a note.
fn is_name(text: &str) -> bool {
    let text = clean(text);
    let letters = text.chars().filter(|c| c.is_alphabetic()).count();
    let others = text.chars().filter(char::is_ascii_digit).count();
    (3..=28).contains(&text.chars().count())
        && letters >= 2
        && others <= 2
        && readings(&text).is_empty()
        && text.split_whitespace().count() <= 4
}

fn clean(text: &str) -> String {
    text.replace("%%u", "")
        .replace("%%U", "")
        .replace("%%o", "")
        .trim()
        .to_owned()
}

/// The title of a plan: the tallest text with a title's word, nearest below or in the outline.
pub(super) fn title(drawing: &Drawing, outline: &[Coord<f64>]) -> String {
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
    drawing
        .texts
        .iter()
        .filter(|text| {
            text.at.x > left - 0.5 * size
                && text.at.x < right + 0.5 * size
                && text.at.y > low - 0.6 * size
                && text.at.y < high + 0.3 * size
                && view_kind(&text.content) == Some(ViewKind::Plan)
        })
        .max_by(|p, q| {
            p.height
                .total_cmp(&q.height)
                .then(q.at.y.total_cmp(&p.at.y))
                .then(q.content.cmp(&p.content))
        })
        .map_or_else(String::new, |text| clean(&text.content))
}
