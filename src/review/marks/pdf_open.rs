//! Opening a PDF: bounded, and where a password is only its owner's.

use super::pdf::PdfRefusal;
use lopdf::{Dictionary, Document, LoadOptions, Object, Writer};

/// No stream may unfold to more, bytes.
const LARGEST_STREAM: usize = 64 << 20;

pub(super) fn open(bytes: &[u8]) -> Result<Document, PdfRefusal> {
    let options = LoadOptions {
        max_decompressed_size: Some(LARGEST_STREAM),
        ..LoadOptions::default()
    };
    let load = |bytes: &[u8]| {
        Document::load_mem_with_options(bytes, options.clone())
            .map_err(|error| PdfRefusal::NoPdf(error.to_string()))
    };
    let mut document = load(bytes)?;
    // A password that only its owner needs locks nothing: the crate has opened the file by the empty one, but where its lock stands in
    // the trailer itself.
    if let Some(again) = with_lock_apart(bytes, &document) {
        document = load(&again)?;
    }
    if document.is_encrypted() || document.trailer.has(b"Encrypt") {
        return Err(PdfRefusal::Locked);
    }
    Ok(document)
}

/// A file whose lock stands in the trailer itself, with a copy of it as a thing of its own, saved after the file's end (ISO 32000-1,
/// 7.5.6); `None` for any other.
fn with_lock_apart(bytes: &[u8], document: &Document) -> Option<Vec<u8>> {
    let lock = document.trailer.get(b"Encrypt").ok()?;
    let Object::Dictionary(_) = lock else {
        return None;
    };
    let size = document.trailer.get(b"Size").and_then(Object::as_i64);
    let size = size.ok().and_then(|it| u32::try_from(it).ok())?;
    let number = size.max(document.max_id.checked_add(1)?);
    let start = b"startxref";
    let last = bytes.windows(start.len()).rposition(|it| it == start)?;
    let after = String::from_utf8_lossy(bytes.get(last + start.len()..)?);
    let before: i64 = after.split_whitespace().next()?.parse().ok()?;
    let mut trailer = Dictionary::new();
    for name in [b"Root".as_slice(), b"ID", b"Info"] {
        if let Ok(value) = document.trailer.get(name) {
            trailer.set(name, value.clone());
        }
    }
    trailer.set("Size", i64::from(number) + 1);
    trailer.set("Prev", before);
    trailer.set("Encrypt", Object::Reference((number, 0)));
    let mut again = bytes.to_vec();
    again.push(b'\n');
    let at = again.len();
    again.extend(format!("{number} 0 obj\n").bytes());
    Writer::write_object(&mut again, lock).ok()?;
    again.extend(b"\nendobj\n");
    let table = again.len();
    again.extend(format!("xref\n{number} 1\n{at:010} 00000 n \ntrailer\n").bytes());
    Writer::write_object(&mut again, &Object::Dictionary(trailer)).ok()?;
    again.extend(format!("\nstartxref\n{table}\n%%EOF\n").bytes());
    Some(again)
}

/// What names a PDF through every saving; empty for none.
pub(super) fn identity_of(document: &Document) -> Vec<u8> {
    let id = document
        .trailer
        .get_deref(b"ID", document)
        .and_then(Object::as_array);
    let first = id.ok().and_then(|it| it.first());
    first
        .and_then(|it| it.as_str().ok())
        .map(<[u8]>::to_vec)
        .unwrap_or_default()
}
