//! What the heads of columns and the titles of schedules say, in fifteen languages. Source: common practice, no source.

use crate::plan::OpeningKind;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Column {
    Tag,
    Width,
    Height,
    /// Width and height in one cell.
    Size,
    RoughWidth,
    RoughHeight,
    /// Rough width and height in one cell.
    Rough,
    Quantity,
    Kind,
    Sill,
    Head,
    /// Thickness, material, remarks and the like.
    Other,
}

/// Heads that are these words and nothing else, marks left out.
const WHOLE: [(Column, &[&str]); 6] = [
    (
        Column::Tag,
        &[
            "NO",
            "NUMBER",
            "MARK",
            "TAG",
            "ID",
            "SYM",
            "SYMBOL",
            "KEY",
            "ITEM",
            "#",
            "DOOR NO",
            "WINDOW NO",
            "NR",
            "POS",
            "POSITION",
            "NUMMER",
            "REP",
            "REPÈRE",
            "REPERE",
            "N",
            "Nº",
            "N°",
            "NUM",
            "REF",
            "MARCA",
            "CLAVE",
            "SIGLA",
            "TUNNUS",
            "MERKKI",
            "NRO",
            "МАРКА",
            "ПОЗ",
            "ПОЗИЦИЯ",
            "№",
            "编号",
            "门窗编号",
            "设计编号",
            "DOOR",
            "WINDOW",
            "CODE",
            "COD",
            "CÓDIGO",
            "MERK",
            "NUMER",
            "OZNACZENIE",
            "LITTERA",
            "LITT",
            "BETECKNING",
            "MÆRKE",
            "MERKE",
            "ID NR",
            "OZNAČENÍ",
            "OZN",
            "POL",
        ],
    ),
    (
        Column::Width,
        &[
            "W",
            "WIDTH",
            "B",
            "BREITE",
            "ANCHO",
            "A",
            "L",
            "LARGEUR",
            "LARG",
            "LARGHEZZA",
            "LARGURA",
            "LEVEYS",
            "BREEDTE",
            "SZEROKOŚĆ",
            "SZER",
            "BREDD",
            "BREDDE",
            "ŠÍŘKA",
            "ШИРИНА",
            "宽",
            "宽度",
            "WD",
        ],
    ),
    (
        Column::Height,
        &[
            "H",
            "HEIGHT",
            "HT",
            "HÖHE",
            "HOEHE",
            "ALTO",
            "ALTURA",
            "HAUTEUR",
            "HAUT",
            "ALTEZZA",
            "KORKEUS",
            "HOOGTE",
            "WYSOKOŚĆ",
            "WYS",
            "HÖJD",
            "HØJDE",
            "HØYDE",
            "VÝŠKA",
            "ВЫСОТА",
            "高",
            "高度",
            "HGT",
        ],
    ),
    (
        Column::Quantity,
        &[
            "QTY",
            "QUANTITY",
            "COUNT",
            "NO REQD",
            "REQD",
            "ANZAHL",
            "STK",
            "STÜCK",
            "MENGE",
            "CANT",
            "CANTIDAD",
            "QTÉ",
            "QTE",
            "QUANTITÉ",
            "NBRE",
            "NOMBRE",
            "QTÀ",
            "QTA",
            "QUANTITÀ",
            "QTD",
            "QUANTIDADE",
            "QUANT",
            "KPL",
            "AANTAL",
            "ST",
            "ILOŚĆ",
            "LICZBA",
            "SZT",
            "ANTAL",
            "ANTALL",
            "POČET",
            "KS",
            "NB",
            "MÄÄRÄ",
            "LKM",
            "КОЛ",
            "КОЛ-ВО",
            "КОЛИЧЕСТВО",
            "数量",
            "樘数",
            "EA",
        ],
    ),
    (
        Column::Size,
        &[
            "SIZE",
            "UNIT SIZE",
            "DOOR SIZE",
            "WINDOW SIZE",
            "NOMINAL SIZE",
            "DIMENSIONS",
            "GRÖSSE",
            "GROESSE",
            "MASSE",
            "MAßE",
            "ABMESSUNG",
            "ABMESSUNGEN",
            "MEDIDAS",
            "DIMENSIONES",
            "TAMAÑO",
            "DIMENSIONI",
            "MISURE",
            "DIMENSÕES",
            "MEDIDA",
            "KOKO",
            "MITAT",
            "AFMETING",
            "AFMETINGEN",
            "MAAT",
            "WYMIARY",
            "WYMIAR",
            "MÅTT",
            "MÅL",
            "ROZMĚR",
            "ROZMĚRY",
            "РАЗМЕР",
            "РАЗМЕРЫ",
            "尺寸",
            "洞口尺寸",
            "DIMENSION",
            "DIMS",
            "DIM",
            "FORMAT",
        ],
    ),
    (
        Column::Kind,
        &[
            "TYPE",
            "STYLE",
            "OPERATION",
            "DESCRIPTION",
            "TYP",
            "ART",
            "BEZEICHNUNG",
            "TIPO",
            "DESCRIPCIÓN",
            "DESIGNATION",
            "DÉSIGNATION",
            "DESCRIZIONE",
            "DESCRIÇÃO",
            "TYYPPI",
            "SOORT",
            "OMSCHRIJVING",
            "RODZAJ",
            "OPIS",
            "BESKRIVNING",
            "BESKRIVELSE",
            "BENÄMNING",
            "POPIS",
            "DRUH",
            "ТИП",
            "НАИМЕНОВАНИЕ",
            "类型",
            "类别",
            "名称",
        ],
    ),
];

/// Words anywhere in a head.
const PARTS: [(Column, &[&str]); 4] = [
    (
        Column::Sill,
        &[
            "SILL",
            "BRÜSTUNG",
            "BRUESTUNG",
            "BRH",
            "ANTEPECHO",
            "ALFÉIZAR",
            "ALLÈGE",
            "ALLEGE",
            "DAVANZALE",
            "PEITORIL",
            "BORSTWERING",
            "PARAPET",
            "BRÖSTNING",
            "BRYSTNING",
            "ПОДОКОН",
            "窗台",
        ],
    ),
    (
        Column::Head,
        &[
            "HEAD HEIGHT",
            "HEAD HT",
            "HEAD HGT",
            "HEADER HEIGHT",
            "STURZ",
            "DINTEL",
            "LINTEAU",
            "ARCHITRAVE",
            "VERGA",
            "LATEI",
            "NADPROŻE",
            "NADPRAŽÍ",
            "ПЕРЕМЫЧК",
        ],
    ),
    (
        Column::Rough,
        &[
            "ROUGH",
            "R.O",
            "ROHBAU",
            "LICHTE ROH",
            "HUECO",
            "VANO",
            "BAIE",
            "FORO",
            "VÃO",
            "AUKKO",
            "DAGMAAT",
            "SPARING",
            "OTWÓR",
            "HÅL",
            "MURHUL",
            "STAVEBNÍ OTVOR",
            "ПРОЁМ",
            "ПРОЕМ",
            "洞口",
        ],
    ),
    (
        Column::Other,
        &[
            "REMARK",
            "NOTE",
            "COMMENT",
            "MATERIAL",
            "FINISH",
            "THICK",
            "THK",
            "FRAME",
            "HARDWARE",
            "GLAZ",
            "MANUF",
            "MODEL",
            "FIRE",
            "BEMERK",
            "OBSERV",
            "REMARQUE",
            "OSSERV",
            "HUOM",
            "OPMERK",
            "UWAGI",
            "ANM",
            "ANMÄRK",
            "BEMÆRK",
            "MERKNAD",
            "POZNÁM",
            "ПРИМЕЧ",
            "备注",
            "LOCATION",
            "ROOM",
            "SWING",
            "U-VALUE",
            "SHGC",
        ],
    ),
];

/// What a text says as the head of a column; `None` when it is no head.
pub(super) fn column(text: &str) -> Option<Column> {
    let upper = text.trim().to_uppercase();
    if upper.is_empty() || upper.chars().count() > 28 {
        return None;
    }
    let plain: String = upper
        .trim_matches(|c: char| ".:-_ ()*".contains(c))
        .replace(['.', ':'], "")
        .replace('×', "X");
    if upper.contains("RO")
        && upper
            .chars()
            .filter(|c| c.is_alphabetic())
            .collect::<String>()
            == "RO"
    {
        return Some(Column::Rough);
    }
    let whole = |text: &str| {
        WHOLE
            .iter()
            .find(|(_, words)| words.contains(&text))
            .map(|(column, _)| *column)
    };
    let part = PARTS
        .iter()
        .find(|(_, words)| words.iter().any(|word| upper.contains(word)))
        .map(|(column, _)| *column);
    // "R.O. WIDTH", "ROUGH OPENING HEIGHT": the kind of length follows.
    if part == Some(Column::Rough) {
        let last = plain.split_whitespace().last().unwrap_or("");
        return Some(match whole(last) {
            Some(Column::Width) => Column::RoughWidth,
            Some(Column::Height) => Column::RoughHeight,
            _ => Column::Rough,
        });
    }
    // "DIMENSIONS (L X H)", "SIZE W X H", "B/H": width over or beside height.
    if let Some(head) = before_order(&plain)
        && (head.is_empty() || whole(head) == Some(Column::Size))
    {
        return Some(Column::Size);
    }
    whole(plain.trim()).or(part).or_else(|| {
        // "WIDTH (MM)", "ANCHO M".
        let first = plain.split(|c: char| " ([".contains(c)).next()?;
        let is_short = plain.chars().count() <= first.chars().count() + 6;
        (is_short && first.chars().count() > 2)
            .then(|| whole(first))
            .flatten()
    })
}

/// What stands before the letters of width and height at the end of a head; `None` where it does not end with them.
fn before_order(plain: &str) -> Option<&str> {
    let end = |text: &str, letters: &[char]| -> Option<usize> {
        let text = text.trim_end();
        text.ends_with(letters).then(|| text.len() - 1)
    };
    let height = end(plain, &['H'])?;
    let between = end(&plain[..height], &['X', '/'])?;
    let width = end(&plain[..between], &['W', 'B', 'L', 'A'])?;
    let head = &plain[..width];
    let is_apart = head.is_empty() || head.ends_with([' ', '(', '[', '-']);
    is_apart.then(|| head.trim_end_matches([' ', '(', '[', '-']))
}

const DOORS: [&str; 15] = [
    "DOOR", "TÜR", "TUER", "PUERTA", "PORTE", "PORTA", "OVI", "ДВЕР", "门", "DEUR", "DRZWI",
    "DÖRR", "DØR", "DVEŘ", "DVER",
];
const WINDOWS: [&str; 19] = [
    "WINDOW", "FENSTER", "VENTANA", "FENÊTRE", "FENETRE", "FINESTR", "JANELA", "ОКОН", "ОКН", "窗",
    "IKKUNA", "KOZIJN", "RAAM", "RAMEN", "OKIEN", "OKEN", "OKNO", "FÖNSTER", "VINDU",
];
const GARAGE: [&str; 9] = [
    "GARAGE",
    "OVERHEAD",
    "O.H.",
    "SECTIONAL",
    "GARAJE",
    "SEKTIONALTOR",
    "GARAGEM",
    "GARAŻ",
    "车库门",
];

/// Whether words name doors, windows or vehicle doors; `None` for neither or both.
pub(super) fn named_kind(text: &str) -> Option<OpeningKind> {
    let upper = text.to_uppercase();
    let has = |words: &[&str]| words.iter().any(|word| upper.contains(word));
    match (has(&DOORS), has(&WINDOWS)) {
        _ if has(&GARAGE) => Some(OpeningKind::GarageDoor),
        (true, false) => Some(OpeningKind::Door),
        (false, true) => Some(OpeningKind::Window),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heads_of_columns_are_known_in_the_usual_languages() {
        use Column::{
            Head, Height, Other, Quantity, Rough, RoughHeight, RoughWidth, Sill, Size, Tag, Width,
        };
        for (text, expected) in [
            ("NO.", Tag),
            ("MARK", Tag),
            ("Nr.", Tag),
            ("Repère", Tag),
            ("№", Tag),
            ("编号", Tag),
            ("TUNNUS", Tag),
            ("WIDTH", Width),
            ("Breite", Width),
            ("ANCHO", Width),
            ("LARGEUR", Width),
            ("Larghezza", Width),
            ("Largura", Width),
            ("Leveys", Width),
            ("Ширина", Width),
            ("宽度", Width),
            ("WIDTH (MM)", Width),
            ("HEIGHT", Height),
            ("Höhe", Height),
            ("ALTO", Height),
            ("Hauteur", Height),
            ("ВЫСОТА", Height),
            ("QTY.", Quantity),
            ("Anzahl", Quantity),
            ("Кол-во", Quantity),
            ("数量", Quantity),
            ("SIZE", Size),
            ("尺寸", Size),
            ("DIMENSIONS (L x H)", Size),
            ("Dimensions L × H", Size),
            ("SIZE W x H", Size),
            ("SIZE (WxH)", Size),
            ("Maße (B/H)", Size),
            ("MEDIDAS (A x H)", Size),
            ("DIM. (L x H)", Size),
            ("B x H", Size),
            ("REP", Tag),
            ("POS.", Tag),
            ("R.O.", Rough),
            ("ROUGH OPENING", Rough),
            ("R.O. WIDTH", RoughWidth),
            ("ROUGH HEIGHT", RoughHeight),
            ("SILL HT.", Sill),
            ("Brüstung", Sill),
            ("HEAD HEIGHT", Head),
            ("REMARKS", Other),
            ("THK.", Other),
            ("Merk", Tag),
            ("Breedte", Width),
            ("Hoogte", Height),
            ("Aantal", Quantity),
            ("Szerokość", Width),
            ("Wysokość", Height),
            ("Ilość", Quantity),
            ("Littera", Tag),
            ("Bredd", Width),
            ("Höjd", Height),
            ("Højde", Height),
            ("Označení", Tag),
            ("Šířka", Width),
            ("Počet", Quantity),
            ("Q.tà", Quantity),
        ] {
            assert_eq!(column(text), Some(expected), "{text}");
        }
        for text in [
            "KITCHEN",
            "3'-0\"",
            "",
            "FIRST FLOOR PLAN",
            "BATH",
            "WALL/H",
            "GLASS X H",
        ] {
            assert_eq!(column(text), None, "{text}");
        }
    }

    #[test]
    fn titles_say_what_a_schedule_lists() {
        assert_eq!(named_kind("DOOR SCHEDULE"), Some(OpeningKind::Door));
        assert_eq!(named_kind("Fensterliste"), Some(OpeningKind::Window));
        assert_eq!(named_kind("GARAGE DOOR"), Some(OpeningKind::GarageDoor));
        assert_eq!(named_kind("DOOR AND WINDOW SCHEDULE"), None);
        assert_eq!(named_kind("门窗表"), None);
        assert_eq!(named_kind("DEURENSTAAT"), Some(OpeningKind::Door));
        assert_eq!(named_kind("KOZIJNENSTAAT"), Some(OpeningKind::Window));
        assert_eq!(named_kind("Zestawienie drzwi"), Some(OpeningKind::Door));
        assert_eq!(named_kind("ZESTAWIENIE OKIEN"), Some(OpeningKind::Window));
        assert_eq!(named_kind("Dörrförteckning"), Some(OpeningKind::Door));
        assert_eq!(named_kind("Vinduesskema"), Some(OpeningKind::Window));
        assert_eq!(named_kind("VÝPIS OKEN"), Some(OpeningKind::Window));
    }
}
