//! Why there is no drawing at all.

use crate::toml_text::Mistake;

/// Why a file gives no drawing. Each says what the file is and what to do.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum DrawingError {
    /// There are no bytes, or only blanks.
    #[error("{file}: the file is empty; export the drawing again")]
    Empty {
        /// File name as the user gave it.
        file: String,
    },
    /// It is something else.
    #[error("{file}: this is {found}, not a drawing (DWG or DXF); {advice}")]
    NotDxf {
        /// File name as the user gave it.
        file: String,
        /// What it looks like.
        found: String,
        /// What to do about it.
        advice: &'static str,
    },
    /// It breaks off before its entities are complete: nothing should be built from half a plan.
    #[error(
        "{file}: the file breaks off{} in the {section} section; the last whole entity is {last}; copy or export it again",
        line_words(*line)
    )]
    Truncated {
        /// File name as the user gave it.
        file: String,
        /// The section that was open.
        section: String,
        /// Last line of the file, 0 for a binary one.
        line: usize,
        /// Kind and handle of the last entity that is whole, or `none`.
        last: String,
    },
    /// It has no model space entity that draws anything.
    #[error("{file}: {reason}")]
    NothingDrawn {
        /// File name as the user gave it.
        file: String,
        /// Why, and what to do.
        reason: String,
    },
    /// A DWG that cannot be read.
    #[error("{file}: this DWG ({version}) is not read: {reason}")]
    Dwg {
        /// File name as the user gave it.
        file: String,
        /// Version and release.
        version: String,
        /// Why, and what to do.
        reason: String,
    },
    /// A sketch that cannot be taken as it is.
    #[error("{}", lines(mistakes))]
    Sketch {
        /// Every mistake found, at least one.
        mistakes: Vec<Mistake>,
    },
}

fn lines(mistakes: &[Mistake]) -> String {
    let lines: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
    lines.join("\n")
}

fn line_words(line: usize) -> String {
    if line == 0 {
        String::new()
    } else {
        format!(" after line {line}")
    }
}

/// Looks at the first bytes: `None` when it may be a DXF.
pub(super) fn not_dxf(bytes: &[u8], file: &str) -> Option<DrawingError> {
    if bytes.trim_ascii().is_empty() {
        return Some(DrawingError::Empty {
            file: file.to_owned(),
        });
    }
    let (found, advice) = look(bytes)?;
    Some(DrawingError::NotDxf {
        file: file.to_owned(),
        found,
        advice,
    })
}

fn look(bytes: &[u8]) -> Option<(String, &'static str)> {
    const EXPORT: &str = "ask the architect for a DWG or a DXF";
    let starts = |mark: &[u8]| bytes.starts_with(mark);
    let said = |what: &str| Some((what.to_owned(), EXPORT));
    if starts(b"%PDF") {
        return said("a PDF");
    }
    if starts(b"PK\x03\x04") {
        return Some((
            "a ZIP archive".to_owned(),
            "unpack it and give the drawing inside",
        ));
    }
    for (mark, name) in [
        (&b"\x89PNG"[..], "a PNG picture"),
        (b"\xFF\xD8\xFF", "a JPEG picture"),
        (b"GIF8", "a GIF picture"),
        (b"II*\0", "a TIFF picture"),
        (b"MM\0*", "a TIFF picture"),
        (b"BM", "a BMP picture"),
        (b"AutoCAD DXB", "a DXB file"),
        (b"\x1f\x8b", "a compressed file"),
        (b"7z\xBC\xAF", "a 7-Zip archive"),
        (b"ISO-10303", "an IFC or STEP model"),
        (b"SQLite", "a database"),
        (b"\xFF\xFE", "a text in UTF-16"),
        (b"\xFE\xFF", "a text in UTF-16"),
    ] {
        if starts(mark) {
            return said(name);
        }
    }
    let head = bytes.get(..bytes.len().min(512)).unwrap_or_default();
    let text = String::from_utf8_lossy(head);
    let text = text.trim_start_matches('\u{feff}').trim_start();
    if text.starts_with("<?xml") || text.starts_with("<svg") || text.starts_with('<') {
        return said("an XML, SVG or HTML file");
    }
    None
}

/// The version of a DWG by its first six bytes; `None` when the bytes are no DWG.
pub(super) fn dwg_version(bytes: &[u8]) -> Option<&str> {
    // A DXF begins with a group code, never with its version.
    let version = std::str::from_utf8(bytes.get(..6)?).ok()?;
    let is_old = matches!(
        version,
        "MC0.0\0" | "AC1.2\0" | "AC1.40" | "AC1.50" | "AC2.10"
    );
    let is_version = version
        .strip_prefix("AC")
        .is_some_and(|number| number.bytes().all(|byte| byte.is_ascii_digit()));
    (is_version || is_old).then_some(version)
}

/// The release behind a version such as `AC1027`.
pub(super) fn release_name(version: &str) -> Option<&'static str> {
    Some(match version.trim() {
        "AC1002" => "release 2",
        "AC1003" => "release 2.6",
        "AC1004" => "release 9",
        "AC1006" => "release 10",
        "AC1009" => "release 11 or 12",
        "AC1012" => "release 13",
        "AC1014" => "release 14",
        "AC1015" => "release 2000",
        "AC1018" => "release 2004",
        "AC1021" => "release 2007",
        "AC1024" => "release 2010",
        "AC1027" => "release 2013",
        "AC1032" => "release 2018",
        _ => return None,
    })
}

/// The error for bytes that hold no section of a DXF.
pub(super) fn no_sections(bytes: &[u8], file: &str) -> DrawingError {
    let head = bytes.get(..bytes.len().min(4096)).unwrap_or_default();
    let is_text = head
        .iter()
        .all(|&byte| byte >= 0x20 || matches!(byte, b'\t' | b'\n' | b'\r' | 0x1a));
    DrawingError::NotDxf {
        file: file.to_owned(),
        found: if is_text {
            "a text without any DXF section"
        } else {
            "an unknown kind of file"
        }
        .to_owned(),
        advice: "ask the architect for a DWG or a DXF",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(bytes: &[u8], expected: &str) {
        let error = not_dxf(bytes, "plan.dxf").unwrap_or_else(|| no_sections(bytes, "plan.dxf"));
        assert!(error.to_string().contains(expected), "{error}");
    }

    #[test]
    fn what_is_no_dxf_is_named() {
        check(b"%PDF-1.7 ...", "this is a PDF");
        check(b"PK\x03\x04....", "a ZIP archive");
        check(b"\x89PNG\r\n", "a PNG picture");
        check(b"<svg xmlns", "an XML, SVG or HTML file");
        check(b" \n ", "the file is empty");
        check(b"", "the file is empty");
        check(b"Dear all,\nplease find", "a text without any DXF section");
        check(b"\x00\x01\x02\x03", "an unknown kind of file");
    }
}
