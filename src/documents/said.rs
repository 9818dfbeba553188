//! What a file that people write says, key by key: the manifest holds it, so that the next issue can tell which key changed.

use std::collections::BTreeMap;
use toml::Value;

/// Keys that name an entry of a list better than its number does, the surer first: by name, by place, by kind, by size.
const NAMES: [&str; 16] = [
    "id",
    "mark",
    "name",
    "wall",
    "at",
    "storey",
    "dimension",
    "tag",
    "kind",
    "carries",
    "from",
    "height",
    "material",
    "thickness",
    "length",
    "up_to",
];
/// Those whose values mean nothing without the key.
const TOLD_WITH_KEY: [&str; 6] = ["at", "storey", "from", "height", "up_to", "dimension"];
/// A file that says more than this is told by its name alone.
const MOST_KEYS: usize = 2000;

/// Keys of a price book. Packages leave the office, and money does not leave with them.
const OF_PRICES: [&str; 2] = ["currency", "labour"];

/// Every key of a TOML file and its value as written in TOML: `wall.height` → `"9'"`; nothing where it is no TOML or a price book.
#[must_use]
pub fn said(text: &str) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    if let Ok(table) = text.parse::<toml::Table>()
        && !OF_PRICES.iter().any(|key| table.contains_key(*key))
    {
        add(&Value::Table(table), "", &mut found);
    }
    if found.len() > MOST_KEYS {
        found.clear();
    }
    found
}

fn add(value: &Value, path: &str, found: &mut BTreeMap<String, String>) {
    match value {
        Value::Table(table) => {
            for (key, inner) in table {
                let dot = if path.is_empty() { "" } else { "." };
                add(inner, &format!("{path}{dot}{key}"), found);
            }
        }
        Value::Array(list) if list.iter().any(Value::is_table) => {
            for (name, inner) in names(list).iter().zip(list) {
                add(inner, &format!("{path}[{name}]"), found);
            }
        }
        Value::Array(list) if list.iter().any(Value::is_array) => {
            for (name, inner) in pairs(list).iter().zip(list) {
                add(inner, &format!("{path}[{name}]"), found);
            }
        }
        Value::Array(list) if list.len() > 3 => {
            for (n, inner) in list.iter().enumerate() {
                add(inner, &format!("{path}[{}]", n + 1), found);
            }
        }
        plain => {
            found.insert(path.to_owned(), plain.to_string());
        }
    }
}

/// What the entries of a list are called: by as many of their own keys as tell them apart, with the number where none do.
fn names(list: &[Value]) -> Vec<String> {
    let parts: Vec<Vec<String>> = list.iter().map(own_names).collect();
    let told = |parts: &[String], n: usize| parts.get(..n).unwrap_or(parts).join(", ");
    let name = |(number, own): (usize, &Vec<String>)| {
        let is_alone = |n: &usize| {
            let alike = parts.iter().filter(|it| told(it, *n) == told(own, *n));
            alike.count() == 1
        };
        match (1..=own.len()).find(is_alone) {
            Some(n) => told(own, n),
            None => [told(own, 1), (number + 1).to_string()]
                .into_iter()
                .filter(|it| !it.is_empty())
                .collect::<Vec<_>>()
                .join(", "),
        }
    };
    parts.iter().enumerate().map(name).collect()
}

/// What names an entry, the surest first.
fn own_names(entry: &Value) -> Vec<String> {
    let told = |key: &&str| {
        let words = plain(entry.get(*key)?)?;
        let is_with_key = TOLD_WITH_KEY.contains(key);
        Some(if is_with_key {
            format!("{key} {words}")
        } else {
            words
        })
    };
    NAMES.iter().filter_map(told).collect()
}

/// Pairs of a name and a value, such as the layers of a wall, by their names; others by their numbers.
fn pairs(list: &[Value]) -> Vec<String> {
    let first = |it: &Value| it.get(0).and_then(Value::as_str).map(str::to_owned);
    let all: Vec<Option<String>> = list.iter().map(first).collect();
    let is_alone = |name: &Option<String>| all.iter().filter(|it| *it == name).count() == 1;
    let numbered = all.iter().enumerate();
    let name = |(n, name): (usize, &Option<String>)| match name {
        Some(own) if is_alone(name) => own.clone(),
        Some(_) | None => (n + 1).to_string(),
    };
    numbered.map(name).collect()
}

/// A text without its quotes, a number, or a place of several.
fn plain(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.clone()),
        Value::Integer(_) | Value::Float(_) => Some(value.to_string()),
        Value::Array(list) => {
            let all: Option<Vec<String>> = list.iter().map(plain).collect();
            all.map(|it| it.join(" "))
        }
        Value::Boolean(_) | Value::Datetime(_) | Value::Table(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_stay_in_the_office() {
        let prices = include_str!("../../sample-drawings/prices.toml");
        assert!(prices.contains("currency"));
        assert!(said(prices).is_empty());
        assert!(said("[labour]\nhour = 40\n").is_empty());
    }

    #[test]
    fn a_file_is_told_key_by_key() {
        let text =
            "name = \"Barn\"\n[wall]\nheight = \"9'\"\n[[opening]]\nid = \"O1\"\nheight = 80\n";
        let found = said(text);
        let all: Vec<(&str, &str)> = (found.iter())
            .map(|(key, value)| (key.as_str(), value.as_str()))
            .collect();
        let expected = [
            ("name", "\"Barn\""),
            ("opening[O1].height", "80"),
            ("opening[O1].id", "\"O1\""),
            ("wall.height", "\"9'\""),
        ];
        assert_eq!(all, expected);
        assert!(said("0\nSECTION\n").is_empty());
    }

    #[test]
    fn an_entry_before_it_does_not_rename_one_that_has_a_name() {
        let one = said("[[opening]]\nid = 'O1'\nheight = 80\n");
        let two = said("[[opening]]\nid = 'O2'\n[[opening]]\nid = 'O1'\nheight = 80\n");
        assert!(one.iter().all(|(key, value)| two.get(key) == Some(value)));
        let alike = said("[[opening]]\nid = 'O1'\n[[opening]]\nid = 'O1'\n");
        assert!(alike.contains_key("opening[O1, 2].id"));
    }

    #[test]
    fn an_entry_without_a_name_is_told_by_its_place_its_kind_or_its_size() {
        let text = "[[layout]]\nat = [0, 180]\nstorey = 'S1'\nboxes = [{ at = 40, height = 16 }, { at = 40, height = 44 }, { at = 90, height = 16 }]\n\
                    [[layout]]\nat = [0, 180]\nstorey = 'S2'\nleft = 'butt'\n[[layout]]\nid = 'X3'\nleft = 'butt'\n\
                    [[opening]]\ntag = '3040'\nsill = 30\n[[opening]]\nkind = 'door'\nhead = 80\n\
                    [wall]\nlayers = [['gypsum', 0.5], ['cladding', 1]]\n";
        let keys: Vec<String> = said(text).into_keys().collect();
        for key in [
            "layout[at 0 180, storey S1].boxes[at 40, height 16].height",
            "layout[at 0 180, storey S1].boxes[at 40, height 44].height",
            "layout[at 0 180, storey S1].boxes[at 90].at",
            "layout[at 0 180, storey S2].left",
            "layout[X3].left",
            "opening[3040].sill",
            "opening[door].head",
            "wall.layers[cladding]",
        ] {
            assert!(keys.iter().any(|it| it == key), "{key}: {keys:#?}");
        }
        assert!(said("[[a]]\nb = true\n").contains_key("a[1].b"));
    }
}
