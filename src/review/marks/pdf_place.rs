//! Where the points of a marked page lie on its sheet, though the page was scaled, turned, cropped or put on other paper.
//!
//! ```text
//!   issued:   [ drawing ]            drawing ─► box ─► mm
//!   marked:   q … cm [ drawing ] Q   page ─► (… cm)⁻¹ ─► drawing ─► box ─► mm
//! ```
//!
//! What stands before the drawing says how it was moved; boxes and units of the marked page say nothing of that and are not asked.
//! A drawing that was written anew is known by the letters that begin at the same places.

use super::pdf::numbers;
use crate::documents::paper::{Spot, spot};
use kurbo::{Affine, Point};
use lopdf::content::{Content, Operation};
use lopdf::{Dictionary, Document, Object, ObjectId};

/// Millimetres of a point.
const MM: f64 = 25.4 / 72.0;
/// Boxes of a page are the same within this, points.
const SAME_BOX: f64 = 1.0;
/// Letters stand at the same place within this, points of the issued page.
pub(super) const SAME_LETTER: f64 = 1.0;
/// Fewer pieces of text tell nothing.
pub(super) const FEWEST: usize = 8;
/// A drawing longer than this is not looked through for its letters, bytes.
const LARGEST: usize = 16 << 20;

/// From a page's points to millimetres on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Place {
    to_paper: Affine,
}

impl Place {
    /// Of a box: left, bottom, right, top in points, with so many points to its unit.
    pub(super) fn of_box([x0, y0, x1, y1]: [f64; 4], unit: f64) -> Self {
        let scale = MM * unit;
        let (left, top) = (x0.min(x1), y0.max(y1));
        Self {
            to_paper: Affine::new([scale, 0.0, 0.0, -scale, -left * scale, top * scale]),
        }
    }

    /// Of a page on which the drawing of this one stands under a transform; `None` where that leaves nothing of it.
    pub(super) fn under(self, moved: Affine) -> Option<Self> {
        let is_flat = !moved.is_finite() || moved.determinant().abs() < 1e-9;
        (!is_flat).then(|| Self {
            to_paper: self.to_paper * moved.inverse(),
        })
    }

    pub(super) fn spot(&self, x: f64, y: f64) -> Spot {
        let p = self.to_paper * Point::new(x, y);
        spot(p.x, p.y)
    }

    pub(super) fn spots(&self, numbers: &[f64]) -> Vec<Spot> {
        numbers
            .chunks_exact(2)
            .map(|it| self.spot(it[0], it[1]))
            .collect()
    }
}

/// The box of a page, which may be its parent's; letter size where none says it.
pub(super) fn media_box(document: &Document, page: ObjectId) -> [f64; 4] {
    let mut node = document.get_dictionary(page).ok();
    for _ in 0..16 {
        let Some(facts) = node else { break };
        if let [x0, y0, x1, y1] = numbers(document, facts, b"MediaBox")[..] {
            return [x0.min(x1), y0.min(y1), x0.max(x1), y0.max(y1)];
        }
        node = facts
            .get_deref(b"Parent", document)
            .and_then(Object::as_dict)
            .ok();
    }
    [0.0, 0.0, 612.0, 792.0]
}

/// Points to a page's unit.
pub(super) fn user_unit(document: &Document, page: ObjectId) -> f64 {
    document
        .get_dictionary(page)
        .and_then(|it| it.get_deref(b"UserUnit", document))
        .and_then(Object::as_float)
        .map_or(1.0, f64::from)
}

/// True for boxes of one size.
pub(super) fn is_same_size(a: [f64; 4], b: [f64; 4]) -> bool {
    let size = |it: [f64; 4]| [it[2] - it[0], it[3] - it[1]];
    let (a, b) = (size(a), size(b));
    (a[0] - b[0]).abs() <= SAME_BOX && (a[1] - b[1]).abs() <= SAME_BOX
}

/// How what follows some operators is moved by them.
pub(super) fn moved_by(operators: &[u8]) -> Option<Affine> {
    let content = Content::decode(operators).ok()?;
    let mut hand = Hand::default();
    for operation in &content.operations {
        hand.heed(operation);
    }
    Some(hand.now)
}

/// The transform and font in force, and those to come back to.
#[derive(Default)]
struct Hand {
    now: Affine,
    font: Vec<u8>,
    before: Vec<(Affine, Vec<u8>)>,
}

impl Hand {
    fn heed(&mut self, operation: &Operation) {
        match operation.operator.as_str() {
            "q" if self.before.len() < 64 => self.before.push((self.now, self.font.clone())),
            "Q" => {
                if let Some(before) = self.before.pop() {
                    (self.now, self.font) = before;
                }
            }
            "Tf" => {
                let name = operation.operands.first().and_then(|it| it.as_name().ok());
                self.font = name.unwrap_or_default().to_vec();
            }
            "cm" => self.now *= affine(&operation.operands),
            _ => {}
        }
    }
}

fn affine(given: &[Object]) -> Affine {
    let numbers: Vec<f64> = given
        .iter()
        .filter_map(|it| it.as_float().ok().map(f64::from))
        .collect();
    match numbers[..] {
        [a, b, c, d, e, f] => Affine::new([a, b, c, d, e, f]),
        _ => Affine::IDENTITY,
    }
}

/// Every form that some operators show, each with how it is moved.
pub(super) fn forms<'a>(
    document: &'a Document,
    operators: &[u8],
    resources: Option<&'a Dictionary>,
) -> Vec<(&'a lopdf::Stream, Affine)> {
    let Ok(content) = Content::decode(operators) else {
        return Vec::new();
    };
    let all = resources.and_then(|it| it.get_deref(b"XObject", document).ok()?.as_dict().ok());
    let mut hand = Hand::default();
    let mut found = Vec::new();
    for operation in &content.operations {
        hand.heed(operation);
        if operation.operator != "Do" {
            continue;
        }
        let name = operation.operands.first().and_then(|it| it.as_name().ok());
        let form = name.and_then(|name| all?.get_deref(name, document).ok()?.as_stream().ok());
        if let Some(form) = form {
            let own = form.dict.get_deref(b"Matrix", document).ok();
            let own = own.and_then(|it| it.as_array().ok());
            found.push((
                form,
                hand.now * own.map_or(Affine::IDENTITY, |it| affine(it)),
            ));
        }
    }
    found
}

/// How the letters of an issued drawing are moved in another that has the same; `None` when they are not the same.
pub(super) fn moved_letters(issued: &[u8], shown: &[u8]) -> Option<Affine> {
    let (ours, theirs) = (letters(issued)?, letters(shown)?);
    if ours.len() != theirs.len() {
        return None;
    }
    moved(&ours, &theirs)
}

/// Every place in the letters of a page at which all letters of an issued drawing stand in a row: the number of the first, and how
/// they are moved.
pub(super) fn runs_of(ours: &[Letter], theirs: &[Letter]) -> Vec<(usize, Affine)> {
    if ours.len() < FEWEST {
        return Vec::new();
    }
    let rows = theirs.windows(ours.len()).enumerate();
    let alike = rows.filter(|(_, row)| ours.iter().zip(*row).all(|(a, b)| a.0 == b.0));
    alike
        .filter_map(|(at, row)| Some((at, moved(ours, row)?)))
        .collect()
}

/// How letters are moved; `None` where fewer than nine in ten are the same and moved alike.
fn moved(ours: &[Letter], theirs: &[Letter]) -> Option<Affine> {
    if ours.len() < FEWEST {
        return None;
    }
    let n_texts = ours.len();
    let pairs: Vec<(Point, Point)> = (ours.iter().zip(theirs))
        .filter(|(a, b)| a.0 == b.0)
        .map(|(a, b)| (a.1, b.1))
        .collect();
    let (a, b) = *pairs.first()?;
    let far = |it: &&(Point, Point)| (it.0 - a).hypot();
    let (c, d) = *pairs.iter().max_by(|p, q| far(p).total_cmp(&far(q)))?;
    let (ours, theirs) = (c - a, d - b);
    if ours.hypot() < 72.0 || theirs.hypot() < 1.0 {
        return None;
    }
    let turn = theirs.atan2() - ours.atan2();
    let moved = Affine::translate(b.to_vec2())
        * Affine::rotate(turn)
        * Affine::scale(theirs.hypot() / ours.hypot())
        * Affine::translate(-a.to_vec2());
    let back = moved.inverse();
    let agree = pairs
        .iter()
        .filter(|(was, now)| (back * *now - *was).hypot() <= SAME_LETTER)
        .count();
    (agree * 10 >= 9 * n_texts).then_some(moved)
}

/// A piece of text as bytes, and where it begins.
pub(super) type Letter = (Vec<u8>, Point);
/// Every piece of text of a drawing.
pub(super) type Letters = Vec<Letter>;

/// The texts of a drawing in its order; `None` of one too long to be looked through.
pub(super) fn letters(drawing: &[u8]) -> Option<Letters> {
    let all = fonted(drawing)?.into_iter();
    Some(all.map(|it| it.1).collect())
}

/// The same, each with the name of its font.
pub(super) fn fonted(drawing: &[u8]) -> Option<Vec<(Vec<u8>, Letter)>> {
    if drawing.len() > LARGEST {
        return None;
    }
    let content = Content::decode(drawing).ok()?;
    let mut hand = Hand::default();
    let (mut line, mut lead) = (Affine::IDENTITY, 0.0);
    let mut found = Vec::new();
    for operation in &content.operations {
        hand.heed(operation);
        let given = &operation.operands;
        let number = |i: usize| {
            let it = given.get(i).and_then(|it| it.as_float().ok());
            it.map_or(0.0, f64::from)
        };
        match operation.operator.as_str() {
            "BT" => line = Affine::IDENTITY,
            "Tm" => line = affine(given),
            "TL" => lead = number(0),
            "Td" => line *= Affine::translate((number(0), number(1))),
            "TD" => {
                lead = -number(1);
                line *= Affine::translate((number(0), number(1)));
            }
            "T*" | "'" | "\"" => line *= Affine::translate((0.0, -lead)),
            _ => {}
        }
        if matches!(operation.operator.as_str(), "Tj" | "TJ" | "'" | "\"") {
            let mut bytes = Vec::new();
            for object in given {
                spelt(object, &mut bytes);
            }
            let at = hand.now * (line * Point::ORIGIN);
            found.push((hand.font.clone(), (bytes, at)));
        }
    }
    Some(found)
}

fn spelt(object: &Object, bytes: &mut Vec<u8>) {
    match object {
        Object::String(all, _) => bytes.extend(all),
        Object::Array(all) => {
            for it in all.iter().filter(|it| matches!(it, Object::String(..))) {
                spelt(it, bytes);
            }
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_before_a_drawing_says_how_it_is_moved() {
        let moved = moved_by(b"q\n0.5 0 0 0.5 10 20 cm\nq 9 0 0 9 0 0 cm Q").unwrap();
        assert_eq!(moved, Affine::new([0.5, 0.0, 0.0, 0.5, 10.0, 20.0]));
        let issued = Place::of_box([0.0, 0.0, 72.0, 144.0], 1.0);
        let place = issued.under(moved).unwrap();
        // The lower left corner of the drawing, and a point an inch right of it and an inch up.
        let (a, b) = (place.spot(10.0, 20.0), place.spot(46.0, 56.0));
        assert!((a.x - 0.0).hypot(a.y - 50.8) < 1e-9, "{a:?}");
        assert!((b.x - 25.4).hypot(b.y - 25.4) < 1e-9, "{b:?}");
        assert_eq!(issued.under(Affine::scale(0.0)), None);
    }

    #[test]
    fn a_drawing_written_anew_is_known_by_its_letters_and_another_is_not() {
        let drawing = |head: &str, words: &str| {
            let texts: String = (0..12)
                .map(|n| format!("BT 1 0 0 1 {} {} Tm ({words}{n}) Tj ET\n", n * 30, n * n))
                .collect();
            format!("{head}\n{texts}").into_bytes()
        };
        let issued = drawing("q", "W");
        let moved = moved_letters(&issued, &drawing("0 0.5 -0.5 0 7 9 cm", "W")).unwrap();
        let p = moved * Point::new(100.0, 40.0);
        assert!((p - Point::new(-13.0, 59.0)).hypot() < 1e-6, "{p:?}");
        assert_eq!(moved_letters(&issued, &drawing("q", "V")), None);
    }
}
