//! What an annotation says in words, and when.

use super::plain_words::{LONGEST, LONGEST_NAME, plain_words};
use lopdf::{Dictionary, Document, Object, decode_text_string};

pub(super) fn said(document: &Document, facts: &Dictionary, key: &[u8]) -> String {
    let object = facts.get_deref(key, document).ok();
    let text = object.and_then(|it| decode_text_string(it).ok());
    let longest = if key == b"T" { LONGEST_NAME } else { LONGEST };
    plain_words(&text.unwrap_or_default(), longest).0
}

/// True when an annotation's words or name held what is not taken over.
pub(super) fn is_cleaned(document: &Document, annotation: &Dictionary) -> bool {
    [
        (b"Contents".as_slice(), LONGEST),
        (b"T".as_slice(), LONGEST_NAME),
    ]
    .into_iter()
    .any(|(key, longest)| {
        let object = annotation.get_deref(key, document).ok();
        let text = object.and_then(|it| decode_text_string(it).ok());
        text.is_some_and(|it| plain_words(&it, longest).1.is_some())
    })
}

pub(super) fn said_name<'a>(facts: &'a Dictionary, key: &[u8]) -> &'a [u8] {
    facts.get(key).and_then(Object::as_name).unwrap_or_default()
}

/// What an annotation says; where it says it in rich text alone, that without its tags.
pub(super) fn contents(document: &Document, annotation: &Dictionary) -> String {
    let plain = said(document, annotation, b"Contents");
    if !plain.is_empty() {
        return plain;
    }
    let rich = said(document, annotation, b"RC");
    let parts = rich.split('<').enumerate();
    let words = parts.map(|(i, part)| match (i, part.split_once('>')) {
        (0, _) => part,
        (_, Some((_, words))) => words,
        (_, None) => "",
    });
    let words = words.collect::<Vec<_>>().join(" ");
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a stamp says: its name by ISO 32000-1, table 181; one of a viewer's own by its subject, if it has one.
pub(super) fn stamp(name: &[u8], subject: String) -> String {
    const NAMES: [&[u8]; 14] = [
        b"Approved",
        b"Experimental",
        b"NotApproved",
        b"AsIs",
        b"Expired",
        b"NotForPublicRelease",
        b"Confidential",
        b"Final",
        b"Sold",
        b"Departmental",
        b"ForComment",
        b"TopSecret",
        b"Draft",
        b"ForPublicRelease",
    ];
    if subject.is_empty() || NAMES.contains(&name) {
        return spaced(name);
    }
    subject
}

/// `NotApproved` as `not approved`.
fn spaced(name: &[u8]) -> String {
    let mut words = String::new();
    for c in String::from_utf8_lossy(name).chars() {
        if c.is_uppercase() && !words.is_empty() {
            words.push(' ');
        }
        words.extend(c.to_lowercase());
    }
    words
}

/// `D:20261126140500+01'00'` as ISO 8601, which also names its zone.
pub(super) fn iso_time(text: &str) -> Option<String> {
    let digits = text.strip_prefix("D:").unwrap_or(text);
    let part = |from: usize, to: usize| {
        let part = digits.get(from..to)?;
        part.chars().all(|c| c.is_ascii_digit()).then_some(part)
    };
    let date = format!("{}-{}-{}", part(0, 4)?, part(4, 6)?, part(6, 8)?);
    let Some((hours, minutes)) = part(8, 10).zip(part(10, 12)) else {
        return Some(date);
    };
    let seconds = part(12, 14).unwrap_or("00");
    let zone = digits.get(14..).unwrap_or_default();
    let zone = match zone.chars().next() {
        Some('Z') => "Z".to_owned(),
        Some(sign @ ('+' | '-')) => {
            let plain: String = zone.chars().filter(char::is_ascii_digit).collect();
            match plain.len() {
                2 => format!("{sign}{plain}:00"),
                4 => format!("{sign}{}:{}", &plain[..2], &plain[2..]),
                _ => String::new(),
            }
        }
        _ => String::new(),
    };
    Some(format!("{date}T{hours}:{minutes}:{seconds}{zone}"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use lopdf::dictionary;

    #[test]
    fn times_are_iso_with_their_zone() {
        for (given, expected) in [
            ("D:20261126140500Z", Some("2026-11-26T14:05:00Z")),
            ("D:20261126140500+01'00'", Some("2026-11-26T14:05:00+01:00")),
            ("D:20261126", Some("2026-11-26")),
            ("yesterday", None),
        ] {
            assert_eq!(iso_time(given).as_deref(), expected);
        }
    }

    #[test]
    fn rich_text_alone_is_read_without_its_tags() {
        let rich = "<body><p>rich <b>only</b></p></body>";
        let rich = Object::string_literal(rich);
        let annotation = dictionary! { "RC" => rich };
        assert_eq!(contents(&Document::new(), &annotation), "rich only");
        let annotation = dictionary! {
            "RC" => Object::string_literal("<p>rich</p>"), "Contents" => Object::string_literal("plain"),
        };
        assert_eq!(contents(&Document::new(), &annotation), "plain");
    }

    #[test]
    fn a_stamp_of_a_viewers_own_says_its_subject() {
        let stamp = |name: &[u8], subject: &str| stamp(name, subject.to_owned());
        assert_eq!(stamp(b"NotApproved", "Stamp"), "not approved");
        assert_eq!(stamp(b"SB17", "Revise and resubmit"), "Revise and resubmit");
        assert_eq!(stamp(b"AsNoted", ""), "as noted");
    }
}
