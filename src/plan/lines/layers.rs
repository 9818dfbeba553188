//! What layer, block and line type names say, in nine languages: soft evidence, never a veto, but for three meanings.
//!
//! ```text
//!   "xref-house$0$A-WALL" ──► words ──► Meaning::Wall
//! ```
//!
//! Demolition, footings and roofs are not this storey's walls however much they look like them: they are set aside, and
//! a note says so. A word counts where a word of the name begins with it, and beside a wall's word only where it is one: a
//! `FIREPROOF WALL` is no roof and a `WALL SYSTEM` no stem wall. Windows and doors are said before what they stand in
//! (`ROOF WINDOW`), demolition before everything.

use crate::plan::lines::layer_words::{
    CABINETS, CHANCE, DECKS, DEMOLITION, DOOR, FOOTING, FURNITURE, MARKS, NOTES, OPENING, ROOF,
    STAIRS, STRUCTURE, WALL, WINDOW,
};
use std::collections::BTreeMap;

/// What a name means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::plan) enum Meaning {
    /// Walls.
    Wall,
    /// Doors.
    Door,
    /// Openings of either kind, and what spans them.
    Opening,
    /// Windows, glazing.
    Window,
    /// Furniture, cabinets, fixtures, stairs.
    Furnishing,
    /// Dimensions, text, grids, hatches, borders.
    Annotation,
    /// Demolition, footings, roofs, beams, slabs: not this storey's walls.
    Aside,
    /// Nothing known.
    Unknown,
}

/// What a layer's name says is on it, as a word: `wall`, `door`, `opening`, `window`, `furnishing`, `annotation`, `aside`
/// (demolition, footings, roofs), or `unknown`.
#[must_use]
pub fn layer_meaning(name: &str) -> &'static str {
    match meaning(name) {
        Meaning::Wall => "wall",
        Meaning::Door => "door",
        Meaning::Opening => "opening",
        Meaning::Window => "window",
        Meaning::Furnishing => "furnishing",
        Meaning::Annotation => "annotation",
        Meaning::Aside => "aside",
        Meaning::Unknown => "unknown",
    }
}

/// The first of some meanings whose words stand in the name of a layer or block; a reference prefix (`xref$0$`) is left out.
pub(in crate::plan) fn first_said<T: Copy>(name: &str, words: &[(T, &[&str])]) -> Option<T> {
    let name = Name::of(name.rsplit(['$', '|']).next().unwrap_or(name));
    let found = words.iter().find(|(_, words)| name.fits(words) > Fit::None);
    found.map(|it| it.0)
}

/// The meaning of a layer or block name; a reference prefix (`xref$0$`) is left out.
pub(in crate::plan) fn meaning(name: &str) -> Meaning {
    let own = name.rsplit(['$', '|']).next().unwrap_or(name);
    let name = Name::of(own);
    let says = |words: &[&str]| name.fits(words) > Fit::None;
    if is_demolished(own) || says(&DEMOLITION) {
        return Meaning::Aside;
    }
    if says(&NOTES) {
        return Meaning::Annotation;
    }
    // Beside a wall's word only whole words say something else.
    let least = if says(&WALL) { Fit::Whole } else { Fit::Part };
    let told = [
        (Meaning::Window, &WINDOW[..], Fit::Part),
        (Meaning::Door, &DOOR, Fit::Part),
        (Meaning::Aside, &FOOTING, least),
        (Meaning::Aside, &ROOF, least),
        (Meaning::Aside, &STRUCTURE, least),
        (Meaning::Annotation, &MARKS, least),
        (Meaning::Furnishing, &FURNITURE, least),
        (Meaning::Furnishing, &CABINETS, least),
        (Meaning::Furnishing, &STAIRS, least),
        (Meaning::Furnishing, &DECKS, least),
        (Meaning::Opening, &OPENING, Fit::Part),
        (Meaning::Wall, &WALL, Fit::Part),
    ];
    let mut told = told.iter();
    let first = told.find(|(_, words, least)| name.fits(words) >= *least);
    first.map_or(Meaning::Unknown, |it| it.0)
}

/// How a word stands in a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    None,
    /// It is a part of a word.
    Part,
    /// It is a word, or its plural.
    Whole,
}

/// No word of the lists has fewer bytes: blocks are many and mostly a letter and a number, and are asked for nothing.
const SHORTEST: usize = 2;

/// A name as its words, upper case, each as it is written and, where it has accents, without them.
struct Name {
    words: Vec<String>,
}

impl Name {
    /// Words part at signs, at digits and before a capital after a small letter.
    fn of(name: &str) -> Self {
        let mut words: Vec<String> = Vec::new();
        let (mut is_within, mut was_small) = (false, false);
        for letter in name.chars().filter(|it| !is_combining(*it)) {
            let is_new = !is_within || was_small && letter.is_uppercase();
            (is_within, was_small) = (letter.is_alphabetic(), letter.is_lowercase());
            match words.last_mut() {
                Some(word) if is_within && !is_new => word.extend(letter.to_uppercase()),
                _ if is_within => words.push(letter.to_uppercase().collect()),
                _ => {}
            }
        }
        words
            .retain(|word| word.len() >= SHORTEST && !CHANCE.iter().any(|it| word.starts_with(it)));
        let bare = |word: &String| word.chars().map(without_accent).collect::<String>();
        let bare: Vec<String> = words.iter().filter(|it| !it.is_ascii()).map(bare).collect();
        words.extend(bare);
        Self { words }
    }

    /// How well any of the words stands in the name.
    fn fits(&self, words: &[&str]) -> Fit {
        let own = self.words.iter();
        let all = own.flat_map(|own| words.iter().map(move |word| fit(own, word)));
        all.max().unwrap_or(Fit::None)
    }
}

/// Endings of plurals.
const PLURALS: [&str; 6] = ["", "S", "ES", "E", "N", "EN"];

/// How a word of the lists, with its sign, stands in a word of a name.
fn fit(own: &str, word: &str) -> Fit {
    let (is_anywhere, is_whole, word) = match word.split_at_checked(1) {
        Some(("*", word)) => (true, false, word),
        Some(("=", word)) => (false, true, word),
        _ => (false, false, word),
    };
    // Blocks are many and mostly numbered: their words are shorter than those of the lists.
    if own.len() < word.len() {
        return Fit::None;
    }
    match own.strip_prefix(word) {
        Some(rest) if PLURALS.contains(&rest) => Fit::Whole,
        Some(_) if !is_whole => Fit::Part,
        _ if is_anywhere && own.contains(word) => Fit::Part,
        _ => Fit::None,
    }
}

/// True where the status field of the National CAD Standard, last in a name that begins with its discipline, says demolition:
/// `A-WALL-D`, `A-WALL-FULL-D`.
fn is_demolished(name: &str) -> bool {
    let fields: Vec<&str> = name.split('-').collect();
    match &fields[..] {
        [discipline, groups @ .., status] => {
            let is_of = |it: &&str, letters: usize| {
                it.len() == letters && it.bytes().all(|b| b.is_ascii_alphanumeric())
            };
            status.eq_ignore_ascii_case("D")
                && (is_of(discipline, 1) || is_of(discipline, 2))
                && !groups.is_empty()
                && groups.iter().all(|it| is_of(it, 4))
        }
        _ => false,
    }
}

/// True for an accent that is written after its letter.
fn is_combining(letter: char) -> bool {
    ('\u{300}'..='\u{36f}').contains(&letter)
}

/// A capital letter without its accent.
fn without_accent(letter: char) -> char {
    match letter {
        'À'..='Å' | 'Ą' => 'A',
        'Ç' | 'Ć' | 'Č' => 'C',
        'È'..='Ë' | 'Ę' | 'Ě' => 'E',
        'Ì'..='Ï' => 'I',
        'Ł' => 'L',
        'Ñ' | 'Ń' => 'N',
        'Ò'..='Ö' => 'O',
        'Ś' | 'Š' => 'S',
        'Ù'..='Ü' | 'Ů' => 'U',
        'Ź' | 'Ż' | 'Ž' => 'Z',
        'Ё' => 'Е',
        other => other,
    }
}

/// What names mean, each looked up once: a drawing has many lines and few names.
pub(in crate::plan) struct Known<'a, T> {
    of: fn(&str) -> T,
    list: BTreeMap<&'a str, T>,
    /// The name asked for last: mostly the next one too.
    last: Option<(&'a str, T)>,
}

impl<'a, T: Copy> Known<'a, T> {
    /// Nothing is known yet; `of` says what a name means.
    pub(in crate::plan) fn new(of: fn(&str) -> T) -> Self {
        let list = BTreeMap::new();
        Self {
            of,
            list,
            last: None,
        }
    }

    /// What a name means.
    pub(in crate::plan) fn get(&mut self, name: &'a str) -> T {
        if let Some((last, known)) = self.last
            && last == name
        {
            return known;
        }
        let known = *self.list.entry(name).or_insert_with(|| (self.of)(name));
        self.last = Some((name, known));
        known
    }
}

/// True for line types that show what is hidden, above or a mere axis.
pub(in crate::plan) fn is_broken_line(line_type: &str) -> bool {
    let name = line_type.to_uppercase();
    [
        "DASH", "HIDDEN", "CENTER", "CENTRE", "PHANTOM", "DOT", "STRICH", "TRAZO", "AXES",
    ]
    .iter()
    .any(|word| name.contains(word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(name: &str, expected: Meaning) {
        assert_eq!(meaning(name), expected, "{name}");
    }

    #[test]
    fn every_word_of_the_lists_is_long_enough_to_be_looked_at() {
        let lists = [
            &DEMOLITION[..],
            &NOTES,
            &WALL,
            &WINDOW,
            &DOOR,
            &FOOTING,
            &ROOF,
            &STRUCTURE,
            &MARKS,
            &FURNITURE,
            &CABINETS,
            &STAIRS,
            &DECKS,
            &OPENING,
        ];
        for word in lists.into_iter().flatten() {
            let bare = word.trim_start_matches(['*', '=']);
            assert!(bare.len() >= SHORTEST, "{word}");
        }
    }

    #[test]
    fn names_mean_walls_in_many_languages() {
        for name in [
            "A-WALL",
            "Wand",
            "MUROS",
            "xref-house$0$A-WALL",
            "СТЕНЫ",
            "墙体",
            "mur",
            "pareti",
            "Seinä",
        ] {
            check(name, Meaning::Wall);
        }
    }

    #[test]
    fn a_stem_wall_is_set_aside_and_layer_0_says_nothing() {
        check("S-STEM-WALL", Meaning::Aside);
        check("A-WALL-DEMO", Meaning::Aside);
        check("0", Meaning::Unknown);
        check("A-GLAZ", Meaning::Window);
        check("Beschriftung", Meaning::Annotation);
    }

    #[test]
    fn a_part_of_another_word_sets_no_wall_aside() {
        for name in [
            "WALL SYSTEM",
            "FIREPROOF WALL",
            "SOUNDPROOF PARTITIONS",
            "1F-FOOTPRINT-WALLS",
            "MUR CIMENT",
            "MURO DE CIMENTO",
            "Dachgeschoss-Wand",
            "Treppenhauswand",
            "MURO PORTANTE",
            "MURS PORTEURS",
            "Stahlbetonwand",
            "Deckenhohe Wand",
            "MOBILE WALL",
        ] {
            check(name, Meaning::Wall);
        }
        check("FOOTPRINT", Meaning::Unknown);
        check("DECKE", Meaning::Unknown);
        check("OUTDOOR UNIT", Meaning::Unknown);
        for name in [
            "ROOF WALL",
            "FundamentWand",
            "WALL FOOTINGS",
            "Flachdach",
            "DACHUEBERSTAND",
            "CUBIERTAS",
            "Fondations",
            "A-ROOF-OTLN",
        ] {
            check(name, Meaning::Aside);
        }
    }

    #[test]
    fn a_window_or_a_door_is_said_before_what_it_stands_in() {
        for name in [
            "CASEMENT",
            "WINDOW SYSTEM",
            "STOREFRONT SYSTEM",
            "ROOF WINDOW",
            "Dachfenster",
            "Kattoikkuna",
            "STAIR WINDOWS",
        ] {
            check(name, Meaning::Window);
        }
        check("SLAB DOOR", Meaning::Door);
        check("DoorLeaf", Meaning::Door);
        check("Haustür", Meaning::Door);
        check("A-DOOR-ANNO", Meaning::Annotation);
        check("Wandschraffur", Meaning::Annotation);
        check("A-CASE", Meaning::Furnishing);
    }

    #[test]
    fn what_is_pulled_down_is_said_in_many_ways() {
        for name in [
            "DÉMOLITION",
            "De\u{301}molition",
            "A-WALL-D",
            "A-WALL-FULL-D",
            "A-DOOR-D",
            "AD-GLAZ-D",
            "TO BE REMOVED",
            "EXIST-REMOVE",
            "WALLS-DEMOLISHED",
            "Abbruchwand",
            "DemoWall",
            "A DEMOLIR",
            "DEMOLIÇÃO",
            "ДЕМОНТАЖ",
            "ROZBIÓRKA",
            "WYBURZENIA",
            "SLOOP",
            "RIVNING",
            "拆除墙",
            "解体",
        ] {
            check(name, Meaning::Aside);
        }
        // What can be moved stands; a unit's letter is no status.
        check("REMOVABLE PARTITION", Meaning::Wall);
        check("DEMOUNTABLE PARTITIONS", Meaning::Wall);
        check("UNIT-WALLS-D", Meaning::Wall);
        check("A-WALL-E", Meaning::Wall);
    }
}
