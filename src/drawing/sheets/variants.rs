//! Plans of one storey more than once: as it is and as it shall be, options, and once more for furniture or finishes.

/// Which of several plans of one storey a title names.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlanVariant {
    /// As it shall be.
    Proposed,
    /// As it is.
    Existing,
    /// One of several ways to build it, by its letter or number.
    Option(String),
    /// Once more, for furniture or finishes.
    Trade,
}

/// Words with which a word of a title begins. Source: common practice in each language, no source.
const EXISTING: [&str; 13] = [
    "EXISTING",
    "BESTAND",
    "EXISTENTE",
    "EXISTANT",
    "ESISTENTE",
    "BESTAAND",
    "ISTNIEJ",
    "BEFINTLIG",
    "EKSISTERENDE",
    "STÁVAJÍCÍ",
    "NYKYTILA",
    "СУЩЕСТВ",
    "现状",
];
/// More than one word, or short.
const EXISTING_PHRASES: [&str; 7] = [
    "(E)",
    "EXIST.",
    "STATO DI FATTO",
    "STATO ATTUALE",
    "AS-BUILT",
    "ESTADO ACTUAL",
    "ÉTAT ACTUEL",
];
const PROPOSED: [&str; 13] = [
    "PROPOSED",
    "PLANUNG",
    "PROPUEST",
    "REFORMAD",
    "PROJET",
    "PROGETTO",
    "PROPOST",
    "PROJEKTOWAN",
    "FÖRESLAG",
    "FORESLÅ",
    "NAVRHOVAN",
    "ПРОЕКТИР",
    "拟建",
];
/// Short words that stand alone.
const NEW: [&str; 8] = [
    "NEW", "NEU", "NEUBAU", "NIEUW", "NIEUWE", "NY", "UUSI", "NOVÝ",
];
const OPTION: [&str; 17] = [
    "ALTERNATE",
    "ALT",
    "SCHEME",
    "OPTION",
    "OPT",
    "VARIANTE",
    "VARIANT",
    "OPCION",
    "OPCIÓN",
    "OPZIONE",
    "ALTERNATIVE",
    "ALTERNATIVA",
    "ALTERNATIV",
    "WARIANT",
    "OPTIE",
    "ВАРИАНТ",
    "VAIHTOEHTO",
];

/// What is drawn on plans that show a storey once more.
const TRADES: [&str; 16] = [
    "FURNITURE",
    "FURNISHING",
    "FINISH",
    "FLOORING",
    "TILING",
    "MÖBLIERUNG",
    "MOBILIARIO",
    "AMUEBLAD",
    "AMOBLAD",
    "ACABADOS",
    "MOBILIER",
    "AMEUBLEMENT",
    "ARRED",
    "MOBILIÁRIO",
    "UMEBLOWAN",
    "МЕБЕЛ",
];

/// Which variant of a storey a title names; `None` where it names none.
#[must_use]
pub fn plan_variant(title: &str) -> Option<PlanVariant> {
    let upper = title.to_uppercase().replace("%%U", "");
    let words: Vec<&str> = upper
        .split(|c: char| !c.is_alphanumeric())
        .filter(|it| !it.is_empty())
        .collect();
    let begins = |list: &[&str]| {
        let mut words = words.iter();
        words.any(|word| list.iter().any(|it| word.starts_with(it)))
    };
    let key = words
        .windows(2)
        .find(|pair| OPTION.contains(&pair[0]) && pair[1].chars().count() <= 2);
    if let Some(pair) = key {
        return Some(PlanVariant::Option(pair[1].to_owned()));
    }
    if begins(&EXISTING) || EXISTING_PHRASES.iter().any(|it| upper.contains(it)) {
        return Some(PlanVariant::Existing);
    }
    let is_new = begins(&PROPOSED) || words.iter().any(|word| NEW.contains(word));
    let is_once_more = begins(&TRADES).then_some(PlanVariant::Trade);
    is_new.then_some(PlanVariant::Proposed).or(is_once_more)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn titles_say_which_of_several_plans_of_a_storey_they_name() {
        let option = |key: &str| Some(PlanVariant::Option(key.to_owned()));
        for (title, variant) in [
            ("EXISTING FLOOR PLAN", Some(PlanVariant::Existing)),
            ("(E) FIRST FLOOR PLAN", Some(PlanVariant::Existing)),
            ("PROPOSED FLOOR PLAN", Some(PlanVariant::Proposed)),
            ("GRUNDRISS EG BESTAND", Some(PlanVariant::Existing)),
            ("GRUNDRISS EG NEU", Some(PlanVariant::Proposed)),
            ("FIRST FLOOR PLAN - OPTION A", option("A")),
            ("GRUNDRISS EG VARIANTE 2", option("2")),
            ("FIRST FLOOR PLAN", None),
            ("FURNITURE LAYOUT", Some(PlanVariant::Trade)),
            ("FIRST FLOOR FINISHES PLAN", Some(PlanVariant::Trade)),
            ("FLOOR PLAN WITH OPTION LOFT", None),
        ] {
            assert_eq!(plan_variant(title), variant, "{title}");
        }
    }
}
