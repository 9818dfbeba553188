//! What an annotation says by its appearance alone: the texts that its normal appearance stream shows (ISO 32000-1, 9.4 and
//! 12.5.5: the operators, from memory). Nothing is drawn; only letters are read.

use lopdf::content::Content;
use lopdf::{Dictionary, Document, Encoding, Object, Stream};

/// No appearance may unfold to more, bytes.
const LARGEST: usize = 4 << 20;
/// Forms may show forms so many times over.
const DEEPEST: usize = 4;
/// More words than this are no remark, bytes.
const MOST_WORDS: usize = 20_000;
/// A gap in a line of letters that is a blank, thousandths of the letters' size.
const BLANK: f32 = -180.0;

/// The words of an annotation's normal appearance; empty where it has none.
pub(super) fn shown_words(document: &Document, annotation: &Dictionary) -> String {
    let mut words = String::new();
    if let Some(stream) = normal(document, annotation) {
        read(document, stream, DEEPEST, &mut words);
    }
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The stream of the normal appearance; of several states the one that the annotation is in.
fn normal<'a>(document: &'a Document, annotation: &'a Dictionary) -> Option<&'a Stream> {
    let all = annotation.get_deref(b"AP", document).ok()?.as_dict().ok()?;
    match all.get_deref(b"N", document).ok()? {
        Object::Stream(stream) => Some(stream),
        Object::Dictionary(states) => {
            let state = annotation.get(b"AS").and_then(Object::as_name).ok()?;
            states.get_deref(state, document).ok()?.as_stream().ok()
        }
        _ => None,
    }
}

fn read(document: &Document, stream: &Stream, depth: usize, words: &mut String) {
    let Ok(bytes) = stream.get_plain_content_with_limit(LARGEST) else {
        return;
    };
    let Ok(content) = Content::decode(&bytes) else {
        return;
    };
    let own = |kind: &[u8], name: &[u8]| -> Option<&Object> {
        let resources = stream.dict.get_deref(b"Resources", document).ok()?;
        let of_kind = resources.as_dict().ok()?.get_deref(kind, document).ok()?;
        of_kind.as_dict().ok()?.get_deref(name, document).ok()
    };
    let mut font: Option<Encoding<'_>> = None;
    let mut is_shown = true;
    let mut n_letters = 0;
    for operation in &content.operations {
        if words.len() > MOST_WORDS {
            return;
        }
        let given = &operation.operands;
        let number = |i: usize| given.get(i).and_then(|it| it.as_float().ok());
        match operation.operator.as_str() {
            "Tf" => {
                let name = given.first().and_then(|it| it.as_name().ok());
                let facts = name.and_then(|name| own(b"Font", name)?.as_dict().ok());
                font = facts.and_then(|it| it.get_font_encoding_with_limit(document, LARGEST).ok());
            }
            "Tr" => is_shown = number(0) != Some(3.0),
            "Td" | "TD" => {
                // Single letters set one by one are one word.
                let is_line = number(1).is_some_and(|y| y.abs() > 0.01);
                if is_line || n_letters > 1 {
                    words.push(' ');
                }
                n_letters = 0;
            }
            "T*" | "ET" => words.push(' '),
            "Tm" if n_letters > 1 => {
                words.push(' ');
                n_letters = 0;
            }
            "Tj" | "'" | "\"" | "TJ" if is_shown => {
                if matches!(operation.operator.as_str(), "'" | "\"") {
                    words.push(' ');
                }
                let before = words.chars().count();
                for object in given {
                    letters(object, font.as_ref(), words);
                }
                n_letters += words.chars().count() - before;
            }
            "Do" if depth > 0 => {
                let name = given.first().and_then(|it| it.as_name().ok());
                let form = name.and_then(|name| own(b"XObject", name)?.as_stream().ok());
                let is_form = |it: &&Stream| {
                    it.dict
                        .get(b"Subtype")
                        .and_then(Object::as_name)
                        .is_ok_and(|it| it == b"Form")
                };
                if let Some(form) = form.filter(is_form) {
                    words.push(' ');
                    read(document, form, depth - 1, words);
                }
            }
            _ => {}
        }
    }
}

/// The letters of a string, or of the strings and gaps of an array.
fn letters(object: &Object, font: Option<&Encoding<'_>>, words: &mut String) {
    match object {
        Object::String(bytes, _) => match font.map(|it| Document::decode_text(it, bytes)) {
            Some(Ok(text)) => words.push_str(&text),
            // Without its font a string is read as Latin text.
            _ => words.extend(bytes.iter().map(|byte| char::from(*byte))),
        },
        Object::Array(all) => {
            for it in all {
                match it.as_float() {
                    Ok(gap) if gap < BLANK => words.push(' '),
                    Ok(_) => {}
                    Err(_) if matches!(it, Object::String(..)) => letters(it, font, words),
                    Err(_) => {}
                }
            }
        }
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use lopdf::dictionary;

    fn annotation(content: &str) -> (Document, Dictionary) {
        let mut document = Document::new();
        let font = dictionary! { "Type" => "Font", "Subtype" => "Type1", "BaseFont" => "Helvetica", "Encoding" => "WinAnsiEncoding" };
        let inner = dictionary! {
            "Subtype" => "Form", "Resources" => dictionary! { "Font" => dictionary! { "F1" => font.clone() } },
        };
        let inner = document.add_object(Stream::new(inner, b"BT /F1 9 Tf (inside) Tj ET".to_vec()));
        let outer = dictionary! {
            "Subtype" => "Form",
            "Resources" => dictionary! { "Font" => dictionary! { "F1" => font }, "XObject" => dictionary! { "X1" => inner } },
        };
        let stream = document.add_object(Stream::new(outer, content.as_bytes().to_vec()));
        let annotation =
            dictionary! { "Subtype" => "FreeText", "AP" => dictionary! { "N" => stream } };
        (document, annotation)
    }

    #[test]
    fn an_appearance_says_its_lines_its_pieces_and_its_forms() {
        for (content, said) in [
            (
                "BT /F1 10 Tf 2 20 Td (Who trims) Tj 0 -12 Td (this?) Tj ET",
                "Who trims this?",
            ),
            (
                "BT /F1 10 Tf [(Wh) 20 (o) -300 (trims)] TJ T* (this\\351) Tj ET",
                "Who trims thisé",
            ),
            (
                "BT /F1 10 Tf (a) Tj 5 0 Td (b) Tj 5 0 Td (c) Tj ET /X1 Do",
                "abc inside",
            ),
            ("BT /F1 10 Tf 3 Tr (unseen) Tj 0 Tr (seen) Tj ET", "seen"),
            ("q 1 0 0 1 0 0 cm 0 0 10 10 re S Q", ""),
        ] {
            let (document, annotation) = annotation(content);
            assert_eq!(shown_words(&document, &annotation), said, "{content}");
        }
    }
}
