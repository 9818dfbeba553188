//! Words in names of layers and blocks that say what is drawn there, in the usual languages. Source: common practice, no source.

use super::UnclaimedKind;

/// Words with what they mean; the first that stands in a name wins.
const WORDS: [(UnclaimedKind, &[&str]); 8] = [
    (
        UnclaimedKind::Stairs,
        &[
            "STAIR",
            "STRS",
            "TREPPE",
            "ESCAL",
            "SCALA",
            "PORRAS",
            "ЛЕСТН",
            "楼梯",
            "TRAPP",
        ],
    ),
    (
        UnclaimedKind::North,
        &["NORTH", "NORD", "NORTE", "POHJ", "СЕВЕР", "指北针"],
    ),
    (
        UnclaimedKind::Roof,
        &[
            "ROOF",
            "DACH",
            "CUBIERT",
            "TECHO",
            "TOIT",
            "TETTO",
            "COPERTUR",
            "KATTO",
            "KROV",
            "КРОВЛ",
            "КРЫШ",
            "屋顶",
            "屋面",
            "OVERHANG",
            "EAVE",
            "TELHADO",
        ],
    ),
    (
        UnclaimedKind::Footing,
        &[
            "FOOT",
            "FOUND",
            "FUNDAM",
            "CIMIENT",
            "CIMENT",
            "FONDA",
            "STEM",
            "ФУНДАМ",
            "基础",
        ],
    ),
    (
        UnclaimedKind::Cabinets,
        &[
            "CABIN", "CASEW", "CASW", "COUNTER", "KITCH", "KUECHE", "KÜCHE", "COCINA", "CUISINE",
        ],
    ),
    (
        UnclaimedKind::Furniture,
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
            "APPL",
            "EQUIP",
            "EQPM",
            "LAVAB",
        ],
    ),
    (
        UnclaimedKind::Hatching,
        &[
            "HATCH",
            "PATT",
            "SCHRAFF",
            "SOMBREAD",
            "HACHUR",
            "TRATTEG",
            "ШТРИХ",
            "填充",
            "TILE",
        ],
    ),
    (
        UnclaimedKind::Annotation,
        &[
            "ANNO",
            "DIM",
            "TEXT",
            "NOTE",
            "BEMASS",
            "BESCHRIFT",
            "COTA",
            "COTE",
            "QUOT",
            "РАЗМЕР",
            "ТЕКСТ",
            "尺寸",
            "文字",
            "TITLE",
            "BORDER",
            "RAHMEN",
            "SYMB",
        ],
    ),
];

/// What a name says.
pub(super) fn named(name: &str) -> Option<UnclaimedKind> {
    let upper = name.to_uppercase();
    let found = WORDS
        .iter()
        .find(|(_, words)| words.iter().any(|word| upper.contains(word)));
    found.map(|it| it.0)
}
