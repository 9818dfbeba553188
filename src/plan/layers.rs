//! What layer, block and line type names say, in nine languages: soft evidence, never a veto, but for three meanings.
//!
//! ```text
//!   "xref-house$0$A-WALL" ──► words ──► Meaning::Wall
//! ```
//!
//! Demolition, footings and roofs are not this storey's walls however much they look like them: they are set aside, and
//! a note says so. Source of the words: common practice in each language, no source.

use std::collections::BTreeMap;

/// What a name means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Meaning {
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

/// Words that may stand anywhere in a name, with their meaning; the first that fits wins.
const PARTS: [(Meaning, &[&str]); 7] = [
    (
        Meaning::Aside,
        &[
            "DEMO",
            "ABBRUCH",
            "ABRISS",
            "DEMOL",
            "FOOT",
            "FOUND",
            "FUNDAM",
            "CIMIENT",
            "CIMENT",
            "FONDA",
            "STEM",
            "ROOF",
            "DACH",
            "CUBIERT",
            "TECHO",
            "TOIT",
            "TETTO",
            "COPERTUR",
            "KATTO",
            "VESIKATT",
            "KROV",
            "КРОВЛ",
            "КРЫШ",
            "ФУНДАМ",
            "屋顶",
            "屋面",
            "基础",
            "拆除",
            "OVERHANG",
            "EAVE",
            "BEAM",
            "SLAB",
            "TELHADO",
            "COBERTURA",
            "DALLE",
        ],
    ),
    (
        Meaning::Annotation,
        &[
            "ANNO",
            "DIMS",
            "TEXT",
            "NOTE",
            "BEMASS",
            "BEMASZ",
            "BEMAß",
            "BESCHRIFT",
            "COTA",
            "COTE",
            "QUOT",
            "HATCH",
            "SCHRAFF",
            "SOMBREAD",
            "HACHUR",
            "TRATTEG",
            "ШТРИХ",
            "РАЗМЕР",
            "ТЕКСТ",
            "ОСИ",
            "尺寸",
            "文字",
            "轴",
            "填充",
            "GRID",
            "RASTER",
            "TITLE",
            "BORDER",
            "RAHMEN",
            "MITTA",
            "TEKSTI",
            "DEFPOINTS",
            "SYMB",
            "TESTO",
        ],
    ),
    (
        Meaning::Furnishing,
        &[
            "FURN",
            "MOEBEL",
            "MÖBEL",
            "MOBIL",
            "MUEBLE",
            "MEUBLE",
            "ARRED",
            "KALUST",
            "МЕБЕЛ",
            "家具",
            "FIXT",
            "PLUMB",
            "SANIT",
            "САНТЕХ",
            "洁具",
            "CABIN",
            "CASE",
            "CASW",
            "APPL",
            "EQUIP",
            "EQPM",
            "STAIR",
            "STRS",
            "TREPPE",
            "ESCAL",
            "SCALA",
            "PORRAS",
            "ЛЕСТН",
            "楼梯",
            "LAVAB",
            "COUNTER",
            "DECK",
        ],
    ),
    (
        Meaning::Window,
        &[
            "WIND", "GLAZ", "GLAS", "FENST", "VENTAN", "FENET", "FENÊT", "FINESTR", "VETRAT",
            "IKKUN", "ОКН", "窗", "JANELA",
        ],
    ),
    (
        Meaning::Door,
        &[
            "DOOR", "TUER", "TÜR", "PUERT", "PORTE", "PORTA", "OVET", "ДВЕР", "门",
        ],
    ),
    (
        Meaning::Opening,
        &[
            "HEADER", "OPENING", "ÖFFNUNG", "OEFFNUNG", "HUECO", "APERTUR",
        ],
    ),
    (
        Meaning::Wall,
        &[
            "WALL",
            "WAND",
            "WÄNDE",
            "WAENDE",
            "MAUER",
            "MURO",
            "MURS",
            "MURAT",
            "PARED",
            "TABIQ",
            "CLOISON",
            "PARET",
            "SEIN",
            "СТЕН",
            "ПЕРЕГОР",
            "墙",
            "壁",
            "PAREDE",
        ],
    ),
];

/// Words that must stand alone, between other signs, because they are part of many others.
const WHOLE: [(Meaning, &[&str]); 4] = [
    (
        Meaning::Annotation,
        &["DIM", "TXT", "TEXTO", "DIMENSION", "AXIS", "AXES"],
    ),
    (Meaning::Window, &["WIN", "WDW"]),
    (Meaning::Door, &["DR", "OVI"]),
    (Meaning::Wall, &["MUR", "WAL", "PARTITION"]),
];

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

/// The meaning of a layer or block name; a reference prefix (`xref$0$`) is left out.
pub(super) fn meaning(name: &str) -> Meaning {
    let own = name
        .rsplit(['$', '|'])
        .next()
        .unwrap_or(name)
        .to_uppercase();
    // A word with a letter that the name has not need not be looked for.
    let mut letters = [false; 256];
    own.bytes().for_each(|it| letters[usize::from(it)] = true);
    let has = |word: &str| word.bytes().all(|it| letters[usize::from(it)]) && own.contains(word);
    let part = PARTS
        .iter()
        .find(|(_, words)| words.iter().any(|it| has(it)));
    let whole = || {
        WHOLE.iter().find(|(_, words)| {
            own.split(|c: char| !c.is_alphanumeric())
                .any(|token| words.contains(&token))
        })
    };
    part.or_else(whole)
        .map_or(Meaning::Unknown, |(meaning, _)| *meaning)
}

/// What names mean, each looked up once: a drawing has many lines and few names.
pub(super) struct Known<'a, T> {
    of: fn(&str) -> T,
    list: BTreeMap<&'a str, T>,
    /// The name asked for last: mostly the next one too.
    last: Option<(&'a str, T)>,
}

impl<'a, T: Copy> Known<'a, T> {
    /// Nothing is known yet; `of` says what a name means.
    pub(super) fn new(of: fn(&str) -> T) -> Self {
        let list = BTreeMap::new();
        Self {
            of,
            list,
            last: None,
        }
    }

    /// What a name means.
    pub(super) fn get(&mut self, name: &'a str) -> T {
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
pub(super) fn is_broken_line(line_type: &str) -> bool {
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
}
