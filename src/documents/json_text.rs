//! JSON that a person can read and a review can compare: what is short stands on one line, what is long is broken.

use serde::Serialize;

/// Longest array or object kept on one line, in bytes.
const ONE_LINE: usize = 110;

/// The value as JSON text, keys in the order of the data, a line feed at the end.
///
/// - Numbers come as `serde_json` writes them: the shortest text that reads back to the same number.
#[must_use]
pub fn json_text(value: &impl Serialize) -> String {
    // Plain data always serialises; the empty text of an impossible failure would not even be read back as JSON.
    let compact = serde_json::to_string(value).unwrap_or_default();
    let mut out = String::with_capacity(compact.len() * 2);
    lay_out(&compact, 0, &mut out);
    out.push('\n');
    out
}

/// Writes one value with the lines of long containers indented by `depth`.
fn lay_out(value: &str, depth: usize, out: &mut String) {
    let is_container = value.starts_with(['[', '{']);
    if !is_container || value.len() <= 2 {
        out.push_str(value);
        return;
    }
    let (open, close) = (&value[..1], &value[value.len() - 1..]);
    let items = split(&value[1..value.len() - 1]);
    let is_short = value.len() <= ONE_LINE;
    let pad = if open == "{" { " " } else { "" };
    out.push_str(open);
    for (n, item) in items.iter().enumerate() {
        if is_short {
            out.push_str(if n == 0 { pad } else { ", " });
        } else {
            out.push_str(if n == 0 { "\n" } else { ",\n" });
            out.push_str(&"  ".repeat(depth + 1));
        }
        let (key, inner) = keyed(item);
        if let Some(key) = key {
            out.push_str(key);
            out.push_str(": ");
        }
        lay_out(inner, depth + 1, out);
    }
    if is_short {
        out.push_str(pad);
    } else {
        out.push('\n');
        out.push_str(&"  ".repeat(depth));
    }
    out.push_str(close);
}

/// `"key":value` in its two parts, or a bare value.
fn keyed(item: &str) -> (Option<&str>, &str) {
    if !item.starts_with('"') {
        return (None, item);
    }
    let end = string_end(item);
    match item[end..].strip_prefix(':') {
        Some(value) => (Some(&item[..end]), value),
        None => (None, item),
    }
}

/// Parts at the commas outside strings and inner containers.
fn split(inner: &str) -> Vec<&str> {
    let (mut parts, mut start, mut depth, mut at) = (Vec::new(), 0, 0_usize, 0);
    let bytes = inner.as_bytes();
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'"' => {
                at += string_end(&inner[at..]);
                continue;
            }
            b'[' | b'{' => depth += 1,
            b']' | b'}' => depth = depth.saturating_sub(1),
            b',' if depth == 0 => {
                parts.push(&inner[start..at]);
                start = at + 1;
            }
            _ => {}
        }
        at += 1;
    }
    parts.push(&inner[start..]);
    parts
}

/// Just behind the closing quote of the string that `text` begins with.
fn string_end(text: &str) -> usize {
    let mut escaped = false;
    for (at, byte) in text.bytes().enumerate().skip(1) {
        match byte {
            _ if escaped => escaped = false,
            b'\\' => escaped = true,
            b'"' => return at + 1,
            _ => {}
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    #[test]
    fn short_values_stay_on_one_line_and_nothing_is_lost() {
        let points: Vec<[f64; 2]> = (0..30).map(|n| [f64::from(n), 0.5]).collect();
        let value = json!({ "a \"q\" \\": "x, [y", "points": points, "empty": [], "none": null });
        let text = json_text(&value);
        assert_eq!(serde_json::from_str::<Value>(&text).unwrap(), value);
        assert!(text.contains("\n    [0.0, 0.5],\n"), "{text}");
        assert_eq!(
            json_text(&json!({ "a": [1, { "b": 2 }] })),
            "{ \"a\": [1, { \"b\": 2 }] }\n"
        );
    }
}
