//! What a file that people write says, key by key: the manifest holds it, so that the next issue can tell which key changed.

use std::collections::BTreeMap;
use toml::Value;

/// Keys that name an entry of a list better than its place does.
const NAMES: [&str; 5] = ["id", "mark", "name", "wall", "at"];
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
            for (n, inner) in list.iter().enumerate() {
                add(inner, &format!("{path}[{}]", name(list, n)), found);
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

/// What an entry of a list is called: by its own name, with its place where another has that too or it has none.
fn name(list: &[Value], n: usize) -> String {
    let named = |entry: &Value| {
        let found = NAMES.iter().find_map(|key| entry.get(key)?.as_str());
        found.map(str::to_owned)
    };
    match named(&list[n]) {
        Some(own)
            if list
                .iter()
                .filter_map(named)
                .filter(|it| *it == own)
                .count()
                == 1 =>
        {
            own
        }
        Some(own) => format!("{own}, {}", n + 1),
        None => format!("{}", n + 1),
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
}
