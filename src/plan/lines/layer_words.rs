//! The words of layer and block names, in nine languages and some more. Source: common practice in each language, no source.
//!
//! ```text
//!   "FOOTING"   a word of the name begins so      "=ROOF"   a word is that, or its plural
//!   "*WAND"     it stands anywhere: in compounds, and where words are not parted
//! ```
//!
//! A word without accents also fits one that has them.

/// What is pulled down; such a word counts beside any other.
pub(in crate::plan) const DEMOLITION: [&str; 33] = [
    "=DEMO",
    "DEMOL",
    "DEMOWALL",
    "DEMODOOR",
    "=REMOVE",
    "=REMOVED",
    "=REMOVAL",
    "=RMV",
    "*ABBRUCH",
    "*ABRISS",
    "RUECKBAU",
    "RUCKBAU",
    "DEMONTAGE",
    "DEMONTIER",
    "DERRIB",
    "DERRUB",
    "=DEPOSE",
    "=DEPOSES",
    "PURETTAV",
    "PURKU",
    "=PURETAAN",
    "СНОС",
    "ДЕМОНТ",
    "*拆除",
    "*拆",
    "*解体",
    "ROZBIOR",
    "WYBURZ",
    "=SLOOP",
    "SLOPEN",
    "RIVNING",
    "NEDRIV",
    "BOURAN",
];

/// What is written about the drawing; such a word counts beside a door or a window.
pub(in crate::plan) const NOTES: [&str; 31] = [
    "ANNO",
    "DIMS",
    "DIMEN",
    "=DIM",
    "TEXT",
    "=TXT",
    "NOTE",
    "KEYNOTE",
    "*BEMASS",
    "*BEMASZ",
    "*BESCHRIFT",
    "=COTA",
    "=COTE",
    "COTATION",
    "QUOT",
    "*HATCH",
    "*SCHRAFF",
    "SOMBREAD",
    "HACHUR",
    "TRATTEG",
    "ШТРИХ",
    "РАЗМЕР",
    "ТЕКСТ",
    "*尺寸",
    "*文字",
    "*填充",
    "TITLE",
    "MITTA",
    "TEKSTI",
    "DEFPOINTS",
    "=TESTO",
];

/// Windows, glazing.
pub(in crate::plan) const WINDOW: [&str; 19] = [
    "=WIN",
    "=WDW",
    "=WIND",
    "*WINDOW",
    "GLAZ",
    "GLAS",
    "*VERGLAS",
    "CASEMENT",
    "STOREFRONT",
    "*FENST",
    "VENTAN",
    "FENET",
    "*FINESTR",
    "VETRAT",
    "*IKKUN",
    "ОКН",
    "ОКОН",
    "*窗",
    "JANELA",
];

/// Doors. Portals and bearing walls (`muro portante`, `mur porteur`) begin as doors do in Romance languages.
pub(in crate::plan) const DOOR: [&str; 17] = [
    "*DOOR",
    "=DR",
    "=TUER",
    "=TUERE",
    "=TUEREN",
    "HAUSTUER",
    "INNENTUER",
    "AUSSENTUER",
    "SCHIEBETUER",
    "*TÜR",
    "PUERT",
    "=PORTE",
    "=PORTA",
    "=OVI",
    "*OVET",
    "ДВЕР",
    "*门",
];

/// Openings of either kind, and what spans them.
pub(in crate::plan) const OPENING: [&str; 6] = [
    "HEADER",
    "OPENING",
    "*ÖFFNUNG",
    "*OEFFNUNG",
    "HUECO",
    "APERTUR",
];

/// Walls.
pub(in crate::plan) const WALL: [&str; 22] = [
    "*WALL",
    "=WAL",
    "*WAND",
    "*WÄND",
    "*WAEND",
    "*MAUER",
    "MURO",
    "=MUR",
    "=MURS",
    "=MURI",
    "MURAT",
    "PARED",
    "TABIQ",
    "CLOISON",
    "PARET",
    "PAROI",
    "PARTITION",
    "*SEIN",
    "СТЕН",
    "ПЕРЕГОР",
    "*墙",
    "*壁",
];

/// Footings: not this storey's walls.
pub(in crate::plan) const FOOTING: [&str; 27] = [
    "=FOOT",
    "FOOTING",
    "FOOTER",
    "=FTG",
    "=FTNG",
    "=FNDN",
    "=FDN",
    "FOUNDATION",
    "*FUNDAMENT",
    "FUNDAMENTWAND",
    "FUNDAM",
    "FUNDAC",
    "FUNDACAO",
    "CIMIENTO",
    "CIMIENT",
    "CIMENTACION",
    "CIMENTACAO",
    "CIMENTAC",
    "FONDATION",
    "FONDAZIONE",
    "FONDAZION",
    "=STEM",
    "STEMWALL",
    "PERUSTUS",
    "ФУНДАМЕНТ",
    "ФУНДАМ",
    "*基础",
];

/// Roofs and what hangs over.
pub(in crate::plan) const ROOF: [&str; 25] = [
    "ROOF",
    "*DACH",
    "CUBIERTA",
    "CUBIERT",
    "=TECHO",
    "TOIT",
    "TOITURE",
    "TETTO",
    "COPERTURA",
    "COPERTUR",
    "*KATTO",
    "*VESIKATT",
    "KROVLYA",
    "KROV",
    "КРОВЛЯ",
    "КРОВЛИ",
    "КРОВЛ",
    "КРЫША",
    "КРЫШ",
    "*屋顶",
    "*屋面",
    "OVERHANG",
    "EAVE",
    "TELHADO",
    "COBERTURA",
];

/// Beams and slabs.
pub(in crate::plan) const STRUCTURE: [&str; 3] = ["BEAM", "SLAB", "DALLE"];

/// Grids, borders, symbols.
pub(in crate::plan) const MARKS: [&str; 9] = [
    "GRID", "RASTER", "BORDER", "*RAHMEN", "SYMB", "=AXIS", "=AXES", "ОСИ", "*轴",
];

/// Furniture and fixtures.
pub(in crate::plan) const FURNITURE: [&str; 19] = [
    "FURN",
    "*MOEBEL",
    "*MÖBEL",
    "MOBILI",
    "MUEBLE",
    "MEUBLE",
    "ARRED",
    "*KALUST",
    "МЕБЕЛ",
    "*家具",
    "FIXT",
    "PLUMB",
    "SANIT",
    "САНТЕХ",
    "*洁具",
    "APPL",
    "EQUIP",
    "=EQPM",
    "LAVAB",
];

/// Cabinets.
pub(in crate::plan) const CABINETS: [&str; 5] = ["CABINE", "=CASE", "CASEW", "=CASW", "COUNTER"];

/// Stairs.
pub(in crate::plan) const STAIRS: [&str; 8] = [
    "STAIR",
    "=STRS",
    "*TREPPE",
    "ESCAL",
    "=SCALA",
    "*PORRAS",
    "ЛЕСТН",
    "*楼梯",
];

/// Boards of decks.
pub(in crate::plan) const DECKS: [&str; 2] = ["=DECK", "DECKING"];

/// Words that hold one of the others by chance.
pub(in crate::plan) const CHANCE: [&str; 4] = ["INDOOR", "OUTDOOR", "DACHGESCHO", "DECKE"];
