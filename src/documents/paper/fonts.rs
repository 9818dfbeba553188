//! The one typeface of every sheet: measured from the font itself, embedded as a small subset.
//!
//! Noto Sans, Regular and Bold, from the `notosans` crate; SIL Open Font License 1.1, which lets a document carry a subset
//! and lets the subset keep its name. A sheet carries the characters in [`COMMON`] and whatever else it uses, so two
//! sheets carry the same bytes unless one of them writes something unusual.
//!
//! Kerning and ligatures are switched off on sheets: a text is exactly as wide as its advances say, in every program.

use super::model::Weight;
use base64::Engine;
use flate2::Compression;
use flate2::write::ZlibEncoder;
use std::collections::{BTreeMap, BTreeSet};
use std::io::Write;
use std::ops::Range;
use std::sync::{Mutex, OnceLock, PoisonError};
use ttf_parser::{Face, GlyphId};

/// Name of the family in style sheets.
pub const FAMILY: &str = "Noto Sans";

/// Characters every sheet carries.
pub const COMMON: &str = " !\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrstuvwxyz{|}~\u{a0}°±²×½ØøÄÖÜäöüßéè–—’“”…′″≥≤";

/// Height of a capital as a part of the font size.
#[must_use]
pub fn cap_ratio() -> f64 {
    CAP_HEIGHT / UNITS_PER_EM
}

/// The font size that gives a cap height, same unit.
#[must_use]
pub fn font_size(cap: f64) -> f64 {
    cap / cap_ratio()
}

/// What a line of text takes on paper, mm, from its left end on the baseline.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Extent {
    /// Sum of the advances.
    pub width: f64,
    /// Ink above the baseline.
    pub above: f64,
    /// Ink below the baseline, positive.
    pub below: f64,
}

/// Measures a line of text at a cap height in mm.
#[must_use]
pub fn measure(words: &str, cap: f64, weight: Weight) -> Extent {
    let scale = font_size(cap) / UNITS_PER_EM;
    let table = metrics(weight);
    let (mut advance, mut above, mut below) = (0.0, 0.0_f64, 0.0_f64);
    for c in words.chars() {
        let glyph = table.glyph(c);
        advance += glyph.advance;
        above = above.max(glyph.above);
        below = below.max(glyph.below);
    }
    Extent {
        width: advance * scale,
        above: above * scale,
        below: below * scale,
    }
}

/// Width of a line of text at a cap height in mm.
#[must_use]
pub fn text_width(words: &str, cap: f64, weight: Weight) -> f64 {
    measure(words, cap, weight).width
}

/// Breaks a text into lines no wider than `width` mm; a word that is wider alone is broken between letters. A whole number and its
/// fraction stay on one line: 48 with 1/2 on the next would be read as 48.
#[must_use]
pub fn wrap(words: &str, width: f64, cap: f64, weight: Weight) -> Vec<String> {
    let mut lines = Vec::new();
    for paragraph in words.split('\n') {
        let mut line = String::new();
        let mut left = paragraph.trim_matches(' ');
        while !left.is_empty() {
            let whole = left.split_at(unit_end(left));
            let is_wide = text_width(whole.0, cap, weight) > width;
            let (unit, rest) = if is_wide {
                left.split_at(word_end(left))
            } else {
                whole
            };
            left = rest.trim_start_matches(' ');
            let before = line.len();
            if before > 0 {
                line.push(' ');
            }
            line.push_str(unit);
            if text_width(&line, cap, weight) <= width {
                continue;
            }
            line.truncate(before);
            if before > 0 {
                lines.push(std::mem::take(&mut line));
            }
            line = break_word(unit, width, cap, weight, &mut lines);
        }
        lines.push(line);
    }
    lines
}

/// Where the first word of a text ends.
fn word_end(words: &str) -> usize {
    words.find(' ').unwrap_or(words.len())
}

/// Where the first word ends, with its fraction if it is a number.
fn unit_end(words: &str) -> usize {
    let end = word_end(words);
    let (word, rest) = words.split_at(end);
    let next = rest.strip_prefix(' ').unwrap_or_default();
    let digits = next.bytes().take_while(u8::is_ascii_digit).count();
    let is_fraction = digits > 0
        && next.as_bytes().get(digits) == Some(&b'/')
        && next
            .as_bytes()
            .get(digits + 1)
            .is_some_and(u8::is_ascii_digit);
    let is_whole = word.ends_with(|c: char| c.is_ascii_digit()) && !word.contains('/');
    if is_fraction && is_whole {
        end + 1 + word_end(next)
    } else {
        end
    }
}

/// Pushes full lines of a word that is wider than the line and returns what is left of it.
fn break_word(word: &str, width: f64, cap: f64, weight: Weight, lines: &mut Vec<String>) -> String {
    let mut line = String::new();
    for c in word.chars() {
        let longer = format!("{line}{c}");
        if text_width(&longer, cap, weight) > width && !line.is_empty() {
            lines.push(std::mem::replace(&mut line, c.to_string()));
        } else {
            line = longer;
        }
    }
    line
}

/// One glyph of a line as a page description needs it.
#[derive(Clone, Debug, PartialEq)]
pub struct PlacedGlyph {
    /// Its number in the font; 0 when the font lacks the character.
    pub id: u16,
    /// The bytes of the line it stands for.
    pub bytes: Range<usize>,
    /// Its advance as a part of the font size.
    pub advance: f64,
}

/// The glyphs of a line in order: one for each character, without kerning or ligatures, as [`measure`] counts them.
#[must_use]
pub fn glyphs(words: &str, weight: Weight) -> Vec<PlacedGlyph> {
    let table = metrics(weight);
    words
        .char_indices()
        .map(|(at, c)| PlacedGlyph {
            id: table
                .face
                .as_ref()
                .and_then(|face| face.glyph_index(c))
                .map_or(0, |GlyphId(id)| id),
            bytes: at..at + c.len_utf8(),
            advance: table.glyph(c).advance / UNITS_PER_EM,
        })
        .collect()
}

/// The `@font-face` rules for a sheet that uses the given characters.
///
/// Subsets are kept for the life of the program by what they hold beyond [`COMMON`]: hundreds of sheets share one.
#[must_use]
pub fn font_faces(used: &BTreeSet<char>) -> String {
    static KEPT: OnceLock<Mutex<BTreeMap<String, String>>> = OnceLock::new();
    let extra: String = used.iter().filter(|c| !COMMON.contains(**c)).collect();
    let kept = KEPT.get_or_init(Mutex::default);
    let mut kept = kept.lock().unwrap_or_else(PoisonError::into_inner);
    kept.entry(extra)
        .or_insert_with_key(|extra| {
            [Weight::Regular, Weight::Bold]
                .into_iter()
                .filter_map(|weight| face_rule(weight, extra))
                .collect()
        })
        .clone()
}

const UNITS_PER_EM: f64 = 2048.0;
const CAP_HEIGHT: f64 = 1462.0;

/// Advance and ink of one character, font units.
#[derive(Clone, Copy, Debug, Default)]
struct Glyph {
    advance: f64,
    above: f64,
    below: f64,
}

/// Glyphs of one weight: the common ones looked up once, others each time.
struct Metrics {
    face: Option<Face<'static>>,
    latin: Vec<Glyph>,
}

impl Metrics {
    fn read(weight: Weight) -> Self {
        let face = Face::parse(font_bytes(weight), 0).ok();
        let latin = (0..256_u32)
            .map(|code| look_up(face.as_ref(), char::from_u32(code).unwrap_or(' ')))
            .collect();
        Self { face, latin }
    }

    fn glyph(&self, c: char) -> Glyph {
        usize::try_from(u32::from(c))
            .ok()
            .and_then(|code| self.latin.get(code).copied())
            .unwrap_or_else(|| look_up(self.face.as_ref(), c))
    }
}

fn look_up(face: Option<&Face<'static>>, c: char) -> Glyph {
    // A character the font lacks is drawn by another font: a whole em is set aside for it.
    let unknown = Glyph {
        advance: UNITS_PER_EM,
        above: CAP_HEIGHT,
        below: 0.0,
    };
    let Some((face, id)) = face.and_then(|face| Some((face, face.glyph_index(c)?))) else {
        return unknown;
    };
    let ink = face.glyph_bounding_box(id);
    Glyph {
        advance: face.glyph_hor_advance(id).map_or(UNITS_PER_EM, f64::from),
        above: ink.map_or(0.0, |ink| f64::from(ink.y_max)),
        below: ink.map_or(0.0, |ink| -f64::from(ink.y_min)),
    }
}

fn metrics(weight: Weight) -> &'static Metrics {
    static REGULAR: OnceLock<Metrics> = OnceLock::new();
    static BOLD: OnceLock<Metrics> = OnceLock::new();
    match weight {
        Weight::Regular => REGULAR.get_or_init(|| Metrics::read(weight)),
        Weight::Bold => BOLD.get_or_init(|| Metrics::read(weight)),
    }
}

/// The whole font of a weight, as TrueType.
#[must_use]
pub const fn font_bytes(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => notosans::REGULAR_TTF,
        Weight::Bold => notosans::BOLD_TTF,
    }
}

fn face_rule(weight: Weight, extra: &str) -> Option<String> {
    let font = woff(&subset(weight, extra)?)?;
    let number = match weight {
        Weight::Regular => 400,
        Weight::Bold => 700,
    };
    let data = base64::engine::general_purpose::STANDARD.encode(font);
    Some(format!(
        "@font-face{{font-family:\"{FAMILY}\";font-weight:{number};src:url(data:font/woff;base64,{data}) format(\"woff\")}}\n"
    ))
}

/// A font with the common characters and the extra ones, as TrueType.
fn subset(weight: Weight, extra: &str) -> Option<Vec<u8>> {
    let face = metrics(weight).face.as_ref()?;
    let mut glyphs = BTreeSet::from([0]);
    glyphs.extend(
        COMMON
            .chars()
            .chain(extra.chars())
            .filter_map(|c| face.glyph_index(c))
            .map(|GlyphId(id)| id),
    );
    let glyphs: Vec<u16> = glyphs.into_iter().collect();
    let font = allsorts::binary::read::ReadScope::new(font_bytes(weight))
        .read::<allsorts::font_data::FontData<'_>>()
        .ok()?;
    let provider = font.table_provider(0).ok()?;
    allsorts::subset::subset(
        &provider,
        &glyphs,
        &allsorts::subset::SubsetProfile::Minimal,
        allsorts::subset::CmapTarget::Unicode,
    )
    .ok()
}

/// Packs a TrueType font as WOFF 1.0 (W3C recommendation of 2012): each table deflated on its own.
fn woff(font: &[u8]) -> Option<Vec<u8>> {
    const HEADER: usize = 44;
    const ENTRY: usize = 20;
    let word = |at: usize| Some(u32::from_be_bytes(font.get(at..at + 4)?.try_into().ok()?));
    let count = usize::from(u16::from_be_bytes(font.get(4..6)?.try_into().ok()?));
    let mut directory: Vec<u8> = Vec::new();
    let mut body: Vec<u8> = Vec::new();
    for table in 0..count {
        let record = 12 + table * 16;
        let (start, length) = (word(record + 8)?, word(record + 12)?);
        let start = usize::try_from(start).ok()?;
        let bytes = font.get(start..start + usize::try_from(length).ok()?)?;
        let packed = deflate(bytes).filter(|packed| packed.len() < bytes.len());
        let packed = packed.as_deref().unwrap_or(bytes);
        let offset = u32::try_from(HEADER + count * ENTRY + body.len()).ok()?;
        directory.extend_from_slice(font.get(record..record + 4)?);
        directory.extend(offset.to_be_bytes());
        directory.extend(u32::try_from(packed.len()).ok()?.to_be_bytes());
        directory.extend(length.to_be_bytes());
        directory.extend_from_slice(font.get(record + 4..record + 8)?);
        body.extend_from_slice(packed);
        body.resize(body.len().next_multiple_of(4), 0);
    }
    let mut file = Vec::from(*b"wOFF");
    file.extend_from_slice(font.get(0..4)?);
    let total = HEADER + directory.len() + body.len();
    file.extend(u32::try_from(total).ok()?.to_be_bytes());
    file.extend(u16::try_from(count).ok()?.to_be_bytes());
    file.extend([0, 0]);
    file.extend(u32::try_from(font.len()).ok()?.to_be_bytes());
    // Version 1.0; neither metadata nor private data follow.
    file.extend([0, 1, 0, 0]);
    file.extend([0; 20]);
    file.extend(directory);
    file.extend(body);
    Some(file)
}

fn deflate(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes).ok()?;
    encoder.finish().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_font_is_what_the_constants_say() {
        for weight in [Weight::Regular, Weight::Bold] {
            let face = Face::parse(font_bytes(weight), 0).unwrap();
            assert_eq!(f64::from(face.units_per_em()), UNITS_PER_EM);
            assert_eq!(f64::from(face.capital_height().unwrap()), CAP_HEIGHT);
        }
        assert!((measure("H", 2.4, Weight::Regular).above - 2.4).abs() < 1e-9);
    }

    #[test]
    fn every_common_character_is_in_the_font_and_in_the_subset() {
        for weight in [Weight::Regular, Weight::Bold] {
            let small = subset(weight, "Ł").unwrap();
            let face = Face::parse(&small, 0).unwrap();
            for c in COMMON.chars().chain("Ł".chars()) {
                let id = face.glyph_index(c);
                assert!(id.is_some(), "{c} {weight:?}");
                let expected = metrics(weight).glyph(c).advance;
                let advance = id.and_then(|id| face.glyph_hor_advance(id)).unwrap();
                assert_eq!(f64::from(advance), expected, "{c}");
            }
        }
    }

    #[test]
    fn the_packed_font_unpacks_to_the_subset() {
        // Reader of another hand: the WOFF reader of `allsorts`.
        use allsorts::tables::FontTableProvider;
        let plain = subset(Weight::Bold, "").unwrap();
        let packed = woff(&plain).unwrap();
        assert!(
            packed.len() * 4 < plain.len() * 3,
            "{} {}",
            packed.len(),
            plain.len()
        );
        let font = allsorts::binary::read::ReadScope::new(&packed)
            .read::<allsorts::font_data::FontData<'_>>()
            .unwrap();
        let provider = font.table_provider(0).unwrap();
        let face = Face::parse(&plain, 0).unwrap();
        for name in [b"glyf", b"cmap", b"hmtx"] {
            let tag = ttf_parser::Tag::from_bytes(name);
            let table = provider.read_table_data(tag.0).unwrap();
            assert_eq!(Some(&*table), face.raw_face().table(tag));
        }
    }

    #[test]
    fn a_whole_number_keeps_its_fraction() {
        let words = "cap CP8 over, loose; recess 1 1/2, 24 1/2 × 48 1/2 high";
        for width in 5..60 {
            let lines = wrap(words, f64::from(width), 2.4, Weight::Regular);
            let is_wide = text_width("24 1/2", 2.4, Weight::Regular) <= f64::from(width);
            let is_parted = lines.iter().any(|it| it.starts_with("1/2"));
            assert!(!(is_wide && is_parted), "{width} {lines:?}");
        }
        // Words that only look alike are parted as ever.
        for (words, end) in [
            ("1/2 1/4", 3),
            ("W101 and 1/2", 4),
            ("1 1/2,", 6),
            ("9 /2", 1),
        ] {
            assert_eq!(unit_end(words), end, "{words}");
        }
    }

    #[test]
    fn long_text_wraps_at_blanks_and_a_long_word_between_letters() {
        let lines = wrap(
            "Seal both faces of every spline",
            25.0,
            2.4,
            Weight::Regular,
        );
        assert!(lines.len() > 1 && lines.join(" ") == "Seal both faces of every spline");
        let word = "Oberschwellenauflager".repeat(3);
        let lines = wrap(&word, 25.0, 2.4, Weight::Regular);
        assert!(lines.len() > 2 && lines.concat() == word);
        assert!(
            lines
                .iter()
                .all(|line| text_width(line, 2.4, Weight::Regular) <= 25.0)
        );
    }
}
