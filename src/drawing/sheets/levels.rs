//! How high a storey lies, by its name: titles of plans, layers, blocks, files.

/// Words of names that say how high a storey lies, the first that fits counts. Source: common practice in each language, no source.
const WORDS: [(i32, &[&str]); 6] = [
    (
        -1,
        &[
            "BASEMENT",
            "CELLAR",
            "LOWER LEVEL",
            "LOWER FLOOR",
            "LOWER GROUND",
            "KELLER",
            "UNTERGESCHOSS",
            "SOUTERRAIN",
            "SOTANO",
            "SÓTANO",
            "SUBSUELO",
            "SOUS-SOL",
            "SOUS SOL",
            "INTERRATO",
            "SUBSOLO",
            "KELDER",
            "PIWNIC",
            "KÄLLARE",
            "KÆLDER",
            "KJELLER",
            "SUTERÉN",
            "KELLARI",
            "ПОДВАЛ",
            "ЦОКОЛЬ",
            "地下",
        ],
    ),
    (
        0,
        &[
            "GROUND",
            "MAIN",
            "ERDGESCHOSS",
            "PLANTA BAJA",
            "RDC",
            "REZ-DE",
            "REZ DE CH",
            "PIANO TERRA",
            "PIANO RIALZATO",
            "BEGANE GROND",
            "PARTER",
            "PŘÍZEMÍ",
            "PLANTA BAIXA",
            "RÉS-DO-CHÃO",
            "TÉRREO",
            "STUEETAGE",
            "STUEPLAN",
            "BOTTENVÅNING",
            "ENTREPLAN",
            "ALAKERTA",
            "一层",
            "首层",
            "底层",
            "一楼",
        ],
    ),
    (
        1,
        &[
            "FIRST", "1ST", "PRIMERA", "PRIMEIR", "PRIMO", "PREMIER", "EERSTE", "ERSTES", "R+1",
            "ПЕРВ",
        ],
    ),
    (
        2,
        &[
            "SECOND", "2ND", "SEGUND", "DEUXI", "TWEEDE", "ZWEITES", "R+2", "ВТОР", "二层", "二楼",
        ],
    ),
    (
        3,
        &[
            "THIRD", "3RD", "TERCER", "TERCEIR", "TERZO", "TROISI", "DRITTES", "DERDE", "ТРЕТ",
            "三层",
        ],
    ),
    (
        9,
        &[
            "ATTIC",
            "LOFT",
            "DACHGESCHOSS",
            "SPITZBODEN",
            "COMBLES",
            "BUHARDILLA",
            "SOTTOTETTO",
            "ZOLDER",
            "PODDASZE",
            "PODKROV",
            "ULLAKKO",
            "ЧЕРДАК",
            "МАНСАРД",
            "阁楼",
        ],
    ),
];

/// What lies above, where no number says how high.
const UPPER: [&str; 12] = [
    "UPPER",
    "OBERGESCHOSS",
    "PLANTA ALTA",
    "ETAGE",
    "ÉTAGE",
    "VERDIEPING",
    "PIĘTR",
    "ÖVERVÅNING",
    "OVERETASJE",
    "YLÄKERTA",
    "SUPERIOR",
    "楼上",
];

/// Short names that stand alone in a longer one.
const SHORT: [(&str, i32); 7] = [
    ("UG", -1),
    ("KG", -1),
    ("EG", 0),
    ("PB", 0),
    ("STUE", 0),
    ("OG", 2),
    ("DG", 9),
];

/// What stands before or after the number of a storey.
const NUMBERED: [&str; 46] = [
    "L",
    "LVL",
    "LEVEL",
    "F",
    "FL",
    "FLR",
    "FLOOR",
    "STOREY",
    "STORY",
    "NIVEAU",
    "NIV",
    "NIVEL",
    "LIVELLO",
    "PISO",
    "PLANTA",
    "PIANO",
    "ANDAR",
    "PAVIMENTO",
    "OG",
    "OBERGESCHOSS",
    "STOCK",
    "ETAGE",
    "ÉTAGE",
    "ETG",
    "ETASJE",
    "SAL",
    "VERDIEPING",
    "VERD",
    "VÅNING",
    "VÅNINGEN",
    "VÅN",
    "KERROS",
    "KRS",
    "PIĘTRO",
    "PIĘTRA",
    "PODLAŽÍ",
    "NP",
    "ЭТАЖ",
    "ЭТАЖА",
    "УРОВЕНЬ",
    "层",
    "PLAN",
    // These count downwards.
    "UG",
    "UNTERGESCHOSS",
    "PP",
    "SUBSUELO",
];
/// How many of them, at the end, count downwards.
const DOWNWARDS: usize = 4;

/// What makes an ordinal of a number.
const ORDINALS: [&str; 18] = [
    "ST", "ND", "RD", "TH", "ER", "ERE", "ÈRE", "E", "È", "EME", "ÈME", "DE", "STE", "º", "ª", "A",
    "Й", "ГО",
];

/// What else stands in the name of a storey.
const BESIDE: [&str; 8] = [
    "PLAN",
    "FLOOR",
    "LEVEL",
    "GESCHOSS",
    "STOREY",
    "STORY",
    "CHAUSSÉE",
    "CHAUSSEE",
];

/// How high a name says that its storey lies; `None` where it names none.
#[must_use]
pub fn storey_level(name: &str) -> Option<i32> {
    let upper = name.to_uppercase();
    // It is a floor plan too, of any storey.
    let rest = upper.replacen("PLANTA BAIXA", "", 1);
    (rest.len() < upper.len())
        .then(|| level_of(&rest))
        .flatten()
        .or_else(|| level_of(&upper))
}

fn level_of(upper: &str) -> Option<i32> {
    let by_word = WORDS
        .iter()
        .find(|(_, words)| words.iter().any(|word| upper.contains(word)));
    by_word
        .map(|it| it.0)
        .or_else(|| by_number(upper))
        .or_else(|| UPPER.iter().any(|word| upper.contains(word)).then_some(2))
        .or_else(|| {
            let words = || upper.split(|c: char| !c.is_alphanumeric());
            let short = |it: &&(&str, i32)| words().any(|word| word == it.0);
            SHORT.iter().find(short).map(|it| it.1)
        })
}

/// True for a name that says nothing but a storey: `LEVEL 1`, `1. SAL`, `LOWER LEVEL`, `BASEMENT`.
pub(in crate::drawing) fn is_storey_name(name: &str) -> bool {
    let upper = name.trim().to_uppercase();
    let letters = upper.chars().filter(|it| it.is_alphabetic()).count();
    if !(3..=32).contains(&letters) || storey_level(&upper).is_none() {
        return false;
    }
    let known = || {
        let words = WORDS.iter().flat_map(|it| it.1);
        words.chain(&UPPER).chain(&NUMBERED).chain(&ORDINALS)
    };
    let parts = || known().flat_map(|it| it.split([' ', '-']));
    let is_known = |word: &str| {
        let is_one = |it: &str| it == word || it.chars().count() > 3 && word.starts_with(it);
        word.bytes().all(|it| it.is_ascii_digit()) && word.len() < 3
            || parts().chain(BESIDE).any(is_one)
            || SHORT.iter().any(|it| it.0 == word)
    };
    words(&upper).iter().all(|it| is_known(&it.0))
}

/// The words and the numbers of a name; true for a number that is one side of a scale, `1:50`.
fn words(upper: &str) -> Vec<(String, bool)> {
    let mut words: Vec<(String, bool)> = Vec::new();
    let mut last = None;
    for (at, letter) in upper.char_indices() {
        // Letters, digits and the rest part from each other.
        let kind = (letter.is_alphabetic(), letter.is_ascii_digit());
        if kind == (false, false) {
            last = None;
            continue;
        }
        match words.last_mut() {
            Some(word) if last == Some(kind) => word.0.push(letter),
            _ => words.push((letter.to_string(), false)),
        }
        last = Some(kind);
        let rest = upper[at + letter.len_utf8()..].trim_start();
        let side = rest.strip_prefix([':', '/', '=']).map(str::trim_start);
        if kind.1
            && side.is_some_and(|it| it.starts_with(|c: char| c.is_ascii_digit()))
            && let Some(word) = words.last_mut()
        {
            word.1 = true;
        }
    }
    words
}

/// `L2`, `2F`, `LEVEL 2`, `2.OG`, `1ER ÉTAGE`, `FLOOR-2`: a number of one digit beside one of the words.
fn by_number(upper: &str) -> Option<i32> {
    let mut words = words(upper);
    let mut is_after_number = false;
    words.retain(|(word, _)| {
        let is_ending = is_after_number && ORDINALS.contains(&word.as_str());
        is_after_number = word.bytes().all(|it| it.is_ascii_digit());
        !is_ending
    });
    let number = |(word, is_scale): &(String, bool)| -> Option<i32> {
        let is_number = !is_scale && word.bytes().all(|it| it.is_ascii_digit());
        let digits = word.trim_start_matches('0');
        (is_number && digits.len() <= 1).then(|| digits.parse().unwrap_or(0))
    };
    let way = |word: &str| {
        let at = NUMBERED.iter().position(|it| *it == word)?;
        Some(if at + DOWNWARDS < NUMBERED.len() {
            1
        } else {
            -1
        })
    };
    let both = |word: &str, of: &(String, bool)| Some(way(word)? * number(of)?);
    words.windows(2).find_map(|pair| match pair {
        [a, b] if way(&a.0).is_some() => both(&a.0, b),
        // One letter after a number is as often the side of a door or a revision; a plan is numbered behind.
        [a, b] if b.0 == "F" || b.0 == "层" || b.0.chars().count() > 1 && b.0 != "PLAN" => {
            both(&b.0, a)
        }
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_say_how_high_their_storey_lies() {
        for (name, level) in [
            ("FIRST FLOOR PLAN", Some(1)),
            ("second floor", Some(2)),
            ("L2-WALL", Some(2)),
            ("A-WALL-2F", Some(2)),
            ("plan_level_03", Some(3)),
            ("1.OG", Some(1)),
            ("house EG", Some(0)),
            ("Erdgeschoss", Some(0)),
            ("PLAN R+1", Some(1)),
            ("PLANTA BAIXA", Some(0)),
            ("PLANTA BAIXA - TÉRREO", Some(0)),
            ("PLANTA BAIXA - PAVIMENTO SUPERIOR", Some(2)),
            ("首层平面图", Some(0)),
            ("二楼平面图", Some(2)),
            ("PLANTA PRIMERA", Some(1)),
            ("План второго этажа", Some(2)),
            ("ПЛАН 2 ЭТАЖА", Some(2)),
            ("BASEMENT", Some(-1)),
            ("LEVEL 1", Some(1)),
            ("LOWER LEVEL", Some(-1)),
            ("LEVEL 0", Some(0)),
            ("PLAN 2", Some(2)),
            ("1. SAL", Some(1)),
            ("STUE", Some(0)),
            ("2. ETG.", Some(2)),
            ("1. Obergeschoss", Some(1)),
            ("2. Obergeschoss", Some(2)),
            ("Obergeschoss", Some(2)),
            ("2. Untergeschoss", Some(-1)),
            ("2.UG", Some(-2)),
            ("1er étage", Some(1)),
            ("2ème étage", Some(2)),
            ("PIANO PRIMO", Some(1)),
            ("PIANO SECONDO", Some(2)),
            ("2e verdieping", Some(2)),
            ("1. kerros", Some(1)),
            ("2-й этаж", Some(2)),
            ("SECOND FLOOR 1:50", Some(2)),
            ("FLOOR PLAN 1:50", None),
            ("FLOOR PLAN 1/4\" = 1'-0\"", None),
            ("FURNITURE", None),
            ("A-WALL", None),
            ("WALL-2", None),
            ("A-101", None),
        ] {
            assert_eq!(storey_level(name), level, "{name}");
        }
    }

    #[test]
    fn a_name_of_a_storey_says_nothing_else() {
        for name in [
            "LEVEL 1",
            "LOWER LEVEL",
            "1. SAL",
            "1. ETG.",
            "Basement",
            "CELLAR",
            "SECOND FLOOR",
            "Kellergeschoss",
            "SOUS-SOL",
            "1er étage",
        ] {
            assert!(is_storey_name(name), "{name}");
        }
        for name in [
            "UNFINISHED BASEMENT",
            "L2",
            "LOFT BED",
            "FIRST AID",
            "BATH 2",
            "GROUND BEAM",
        ] {
            assert!(!is_storey_name(name), "{name}");
        }
    }
}
