//! How high a storey lies, by its name: titles of plans, layers, blocks, files.

/// Words of names, the first that fits counts. Source: common practice in each language, no source.
const WORDS: [(i32, &[&str]); 6] = [
    (
        -1,
        &[
            "BASEMENT",
            "CELLAR",
            "KELLER",
            "SOTANO",
            "SÓTANO",
            "SOUS-SOL",
            "ПОДВАЛ",
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
            "PIANO TERRA",
            "BEGANE GROND",
            "PARTER",
            "PŘÍZEMÍ",
            "PLANTA BAIXA",
            "一层",
        ],
    ),
    (1, &["FIRST", "1ST", "PRIMERA", "PRIMEIR", "R+1", "ПЕРВО"]),
    (
        2,
        &[
            "SECOND",
            "UPPER",
            "2ND",
            "OBERGESCHOSS",
            "PLANTA ALTA",
            "ETAGE",
            "ÉTAGE",
            "PRIMO",
            "VERDIEPING",
            "PIĘTR",
            "R+2",
            "ВТОРО",
            "二层",
        ],
    ),
    (3, &["THIRD", "3RD", "三层"]),
    (9, &["ATTIC", "LOFT", "DACHGESCHOSS", "COMBLES"]),
];

/// Short names that stand alone in a longer one.
const SHORT: [(&str, i32); 6] = [
    ("UG", -1),
    ("KG", -1),
    ("EG", 0),
    ("PB", 0),
    ("OG", 2),
    ("DG", 9),
];

/// What stands before or after the number of a storey.
const NUMBERED: [&str; 17] = [
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
    "PISO",
    "PLANTA",
    "OG",
    "NP",
    "ЭТАЖ",
    "ЭТАЖА",
];

/// How high a name says that its storey lies; `None` where it names none.
#[must_use]
pub fn storey_level(name: &str) -> Option<i32> {
    let upper = name.to_uppercase();
    let by_word = WORDS
        .iter()
        .find(|(_, words)| words.iter().any(|word| upper.contains(word)));
    by_word
        .map(|it| it.0)
        .or_else(|| by_number(&upper))
        .or_else(|| {
            let words = || upper.split(|c: char| !c.is_alphanumeric());
            let short = |it: &&(&str, i32)| words().any(|word| word == it.0);
            SHORT.iter().find(short).map(|it| it.1)
        })
}

/// `L2`, `2F`, `LEVEL 2`, `2.OG`, `FLOOR-2`: a number of one digit beside one of the words.
fn by_number(upper: &str) -> Option<i32> {
    let mut words: Vec<String> = Vec::new();
    let mut last = None;
    for letter in upper.chars() {
        // Letters, digits and the rest part from each other.
        let kind = (letter.is_alphabetic(), letter.is_ascii_digit());
        if kind == (false, false) {
            last = None;
            continue;
        }
        match words.last_mut() {
            Some(word) if last == Some(kind) => word.push(letter),
            _ => words.push(letter.to_string()),
        }
        last = Some(kind);
    }
    let number = |word: &String| {
        let word = word.trim_start_matches('0');
        (word.len() == 1).then(|| word.parse().ok()).flatten()
    };
    words.windows(2).find_map(|pair| match pair {
        [a, b] if NUMBERED.contains(&a.as_str()) => number(b),
        // One letter after a number is as often the side of a door or a revision.
        [a, b] if b == "F" || b.len() > 1 && NUMBERED.contains(&b.as_str()) => number(a),
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
            ("PLANTA PRIMERA", Some(1)),
            ("План второго этажа", Some(2)),
            ("ПЛАН 2 ЭТАЖА", Some(2)),
            ("BASEMENT", Some(-1)),
            ("FURNITURE", None),
            ("A-WALL", None),
            ("WALL-2", None),
            ("A-101", None),
        ] {
            assert_eq!(storey_level(name), level, "{name}");
        }
    }
}
