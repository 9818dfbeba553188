//! Words in names of layers and blocks that say what is drawn there, in the usual languages. Source: common practice, no source.
//!
//! They stand in names as those of `plan/lines/layer_words.rs` do; what both need stands there.

use super::UnclaimedKind;
use crate::plan::lines::layer_words::{CABINETS, FOOTING, FURNITURE, ROOF, STAIRS};
use crate::plan::lines::layers::first_said;

/// Words with what they mean; the first that stands in a name wins.
const WORDS: [(UnclaimedKind, &[&str]); 10] = [
    (UnclaimedKind::Stairs, &STAIRS),
    (UnclaimedKind::Stairs, &["TRAPP"]),
    (
        UnclaimedKind::North,
        &["NORTH", "NORD", "NORTE", "POHJOIS", "СЕВЕР", "*指北针"],
    ),
    (UnclaimedKind::Roof, &ROOF),
    (UnclaimedKind::Footing, &FOOTING),
    (UnclaimedKind::Cabinets, &CABINETS),
    (
        UnclaimedKind::Cabinets,
        &["KITCHEN", "*KUECHE", "*KÜCHE", "COCINA", "CUISINE"],
    ),
    (UnclaimedKind::Furniture, &FURNITURE),
    (
        UnclaimedKind::Hatching,
        &[
            "*HATCH",
            "=PATT",
            "PATTERN",
            "*SCHRAFF",
            "SOMBREAD",
            "HACHUR",
            "TRATTEG",
            "ШТРИХ",
            "*填充",
            "TILE",
            "TILING",
        ],
    ),
    (
        UnclaimedKind::Annotation,
        &[
            "ANNO",
            "=DIM",
            "DIMEN",
            "=TEXT",
            "=TXT",
            "NOTE",
            "*BEMASS",
            "*BESCHRIFT",
            "=COTA",
            "=COTE",
            "COTATION",
            "QUOT",
            "РАЗМЕР",
            "ТЕКСТ",
            "*尺寸",
            "*文字",
            "TITLE",
            "BORDER",
            "*RAHMEN",
            "SYMB",
        ],
    ),
];

/// What a name says.
pub(super) fn named(name: &str) -> Option<UnclaimedKind> {
    first_said(name, &WORDS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_say_by_whole_words_what_is_drawn() {
        use UnclaimedKind as Kind;
        for (name, kind) in [
            ("A-ROOF", Some(Kind::Roof)),
            ("FIREPROOFING", None),
            ("S-FNDN", Some(Kind::Footing)),
            ("FTNG-EXT", Some(Kind::Footing)),
            ("FOOTPRINT", None),
            ("Streifenfundament", Some(Kind::Footing)),
            ("SYSTEM", None),
            ("STEM WALL", Some(Kind::Footing)),
            ("DIMMER", None),
            ("A-ANNO-DIMS", Some(Kind::Annotation)),
            ("Kuechenschrank", Some(Kind::Cabinets)),
            ("KITCHEN", Some(Kind::Cabinets)),
            ("EG-Dachüberstand", Some(Kind::Roof)),
            ("TREPPENHAUS", Some(Kind::Stairs)),
            ("Haustreppe", Some(Kind::Stairs)),
            ("TEXTILE", None),
            ("TILES", Some(Kind::Hatching)),
            ("xref$0$A-FURN", Some(Kind::Furniture)),
            ("NORTH-ARROW", Some(Kind::North)),
            ("PANORDINATE", None),
        ] {
            assert_eq!(named(name), kind, "{name}");
        }
    }
}
