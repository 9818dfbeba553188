//! What a page of a PDF says in words and where, whatever program wrote it: by that the sheets of a page that was drawn anew are
//! known, one or several side by side.
//!
//! ```text
//!   the small print of a sheet ─► which sheet, and one point of it
//!   its other words            ─► turn and size, by the most of them that agree
//! ```

use super::pdf_place::{FEWEST, SAME_LETTER, fonted, forms};
use kurbo::{Affine, Point};
use lopdf::{Dictionary, Document, Object};
use std::collections::BTreeMap;

/// Forms stand in forms so many times over.
const DEEPEST: usize = 3;
/// So many forms of a page are looked into.
const MOST_FORMS: usize = 200;
/// More is not unfolded of one page, bytes.
const LARGEST: usize = 32 << 20;
/// A table of a font's letters is no longer, bytes.
const LARGEST_FONT: usize = 1 << 20;
/// And so many fonts are looked into.
const MOST_FONTS: usize = 200;
/// A page shows the same sheet, and the same words, no more often than this.
const MOST_ALIKE: usize = 64;
/// What stands nearer to the small print says nothing of turn and size, points.
const NEAR: f64 = 36.0;
/// Of the turns and sizes that the most words agree on so many are tried.
const MOST_TRIED: usize = 3;

/// A piece of text and where it begins, points of the page.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Piece {
    pub(super) words: String,
    at: Point,
}

/// Every piece of text of a drawing, those of its forms included.
pub(super) fn pieces(
    document: &Document,
    drawing: &[u8],
    resources: Option<&Dictionary>,
) -> Vec<Piece> {
    let mut reader = Reader {
        document,
        found: Vec::new(),
        n_bytes: 0,
        n_forms: 0,
        n_fonts: 0,
    };
    reader.read(drawing, resources, (Affine::IDENTITY, 0));
    reader.found
}

struct Reader<'a> {
    document: &'a Document,
    found: Vec<Piece>,
    n_bytes: usize,
    n_forms: usize,
    n_fonts: usize,
}

impl Reader<'_> {
    fn read(
        &mut self,
        drawing: &[u8],
        resources: Option<&Dictionary>,
        (moved, depth): (Affine, usize),
    ) {
        self.n_bytes += drawing.len();
        if self.n_bytes > LARGEST {
            return;
        }
        let mut by_font: BTreeMap<Vec<u8>, Vec<(Vec<u8>, Point)>> = BTreeMap::new();
        for (font, letter) in fonted(drawing).unwrap_or_default() {
            by_font.entry(font).or_default().push(letter);
        }
        let part = |key: &[u8]| {
            let found = resources?.get_deref(key, self.document).ok()?;
            found.as_dict().ok()
        };
        let fonts = part(b"Font");
        for (name, letters) in by_font {
            let font = fonts.and_then(|it| it.get_deref(&name, self.document).ok()?.as_dict().ok());
            self.n_fonts += 1;
            let Some(mut font) = font.cloned().filter(|_| self.n_fonts <= MOST_FONTS) else {
                continue;
            };
            // What the letters say wins over how they are numbered.
            if font.has(b"ToUnicode") {
                font.remove(b"Encoding");
            }
            let Ok(encoding) = font.get_font_encoding_with_limit(self.document, LARGEST_FONT)
            else {
                continue;
            };
            for (bytes, at) in letters {
                let words = Document::decode_text(&encoding, &bytes).unwrap_or_default();
                let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
                if !words.is_empty() {
                    let at = moved * at;
                    self.found.push(Piece { words, at });
                }
            }
        }
        if depth >= DEEPEST {
            return;
        }
        for (form, more) in forms(self.document, drawing, resources) {
            self.n_forms += 1;
            if self.n_forms > MOST_FORMS {
                return;
            }
            let Ok(own) = form.get_plain_content_with_limit(LARGEST) else {
                continue;
            };
            let inner = form.dict.get_deref(b"Resources", self.document);
            let inner = inner.and_then(Object::as_dict).ok().or(resources);
            self.read(&own, inner, (moved * more, depth + 1));
        }
    }
}

/// How a page that has a small print is moved wherever that stands in another.
pub(super) fn moved_words(ours: &[Piece], theirs: &[Piece], small_print: &str) -> Vec<Affine> {
    let mut single: BTreeMap<&str, Vec<Point>> = BTreeMap::new();
    for piece in ours {
        single.entry(&piece.words).or_default().push(piece.at);
    }
    let mut shown: BTreeMap<&str, Vec<Point>> = BTreeMap::new();
    for piece in theirs {
        let all = shown.entry(&piece.words).or_default();
        if all.len() < MOST_ALIKE {
            all.push(piece.at);
        }
    }
    let Some([from]) = single.get(small_print).map(Vec::as_slice) else {
        return Vec::new();
    };
    let alike: Vec<(Point, &[Point])> = single
        .iter()
        .filter(|(_, at)| at.len() == 1)
        .filter_map(|(words, at)| Some((at[0], shown.get(words)?.as_slice())))
        .collect();
    let anchors = shown.get(small_print).into_iter().flatten();
    anchors
        .filter_map(|to| moved_about((*from, *to), &alike))
        .collect()
}

/// The turn and size about a point that most words agree on.
fn moved_about((from, to): (Point, Point), alike: &[(Point, &[Point])]) -> Option<Affine> {
    /// Votes, and the pair farthest from the small print.
    type Vote = (usize, f64, Affine);
    let mut votes: BTreeMap<[i64; 2], Vote> = BTreeMap::new();
    for (was, all) in alike {
        for now in *all {
            let (a, b) = (*was - from, *now - to);
            if a.hypot() < NEAR || b.hypot() < 1.0 {
                continue;
            }
            let (turn, size) = (b.atan2() - a.atan2(), b.hypot() / a.hypot());
            let moved = Affine::translate(to.to_vec2())
                * Affine::rotate(turn)
                * Affine::scale(size)
                * Affine::translate(-from.to_vec2());
            let degrees = whole(turn.to_degrees().rem_euclid(360.0)) % 360;
            let vote = votes
                .entry([degrees, whole(size.ln() * 100.0)])
                .or_insert((0, 0.0, moved));
            vote.0 += 1;
            if a.hypot() > vote.1 {
                (vote.1, vote.2) = (a.hypot(), moved);
            }
        }
    }
    let mut votes: Vec<Vote> = votes.into_values().collect();
    votes.sort_by_key(|it| std::cmp::Reverse(it.0));
    let agree = |moved: &Affine| {
        let back = moved.inverse();
        let there = |(was, all): &&(Point, &[Point])| {
            let mut all = all.iter();
            all.any(|now| (back * *now - *was).hypot() <= SAME_LETTER)
        };
        alike.iter().filter(there).count()
    };
    let tried = votes.into_iter().take(MOST_TRIED);
    let scored = tried.map(|it| (agree(&it.2), it.2));
    let (n, best) = scored.max_by_key(|it| it.0)?;
    (n >= FEWEST && n * 2 > alike.len()).then_some(best)
}

fn whole(value: f64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "clamped and rounded")]
    let whole = value.clamp(-1e6, 1e6).round() as i64;
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    fn page(moved: Affine, name: &str) -> Vec<Piece> {
        let mut found: Vec<Piece> = (0..12_u32)
            .map(|n| Piece {
                words: format!("W{n}"),
                at: moved * Point::new(f64::from(n * 50), f64::from((n * 7) % 12) * 40.0),
            })
            .collect();
        found.push(Piece {
            words: name.to_owned(),
            at: moved * Point::new(40.0, 5.0),
        });
        found
    }

    #[test]
    fn each_of_four_pages_that_say_nearly_the_same_is_laid_where_it_stands() {
        let ways = [[0.0, 0.0], [600.0, 0.0], [0.0, 400.0], [600.0, 400.0]]
            .map(|[x, y]| Affine::translate((x, y)) * Affine::rotate(1.5) * Affine::scale(0.5));
        let mut sheet = Vec::new();
        for (n, way) in ways.iter().enumerate() {
            sheet.extend(page(*way, &format!("print {n}")));
        }
        for (n, way) in ways.iter().enumerate() {
            let name = format!("print {n}");
            let own = page(Affine::IDENTITY, &name);
            let [moved] = moved_words(&own, &sheet, &name)[..] else {
                panic!("{n}");
            };
            let p = Point::new(123.0, 45.0);
            assert!((moved * p - *way * p).hypot() < 1e-6, "{n}");
        }
        // Another page with the same small print is not taken for it.
        let other = page(Affine::IDENTITY, "print 9");
        let mut few = sheet[..3].to_vec();
        few.push(other[12].clone());
        assert!(moved_words(&other, &few, "print 9").is_empty());
    }
}
