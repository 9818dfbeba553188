//! Letters: from the code page and the escapes of a DXF to Unicode.

use crate::drawing::file::code_pages;
use encoding_rs::Encoding;
use std::borrow::Cow;

/// How a file's bytes become letters.
#[derive(Clone, Copy, Debug)]
pub(in crate::drawing) struct Letters {
    page: Page,
    /// True where all texts are UTF-8, whatever the header says.
    is_unicode: bool,
}

/// A code page.
#[derive(Clone, Copy, Debug)]
enum Page {
    Known(&'static Encoding),
    /// The upper half of a page of DOS.
    Dos(&'static str),
    Johab,
}

impl Letters {
    /// From the header: UTF-8 from release 2007 (`AC1021`) on, else by `$DWGCODEPAGE`, else Western European.
    ///
    /// - `text`: the file where it is text. Pages of double bytes take almost anything for letters, UTF-8 too: only the whole file
    ///   tells that it is UTF-8 and the header wrong.
    pub(in crate::drawing) fn of(version: &str, code_page: &str, text: &[u8]) -> Self {
        let page = page_of(code_page);
        Self {
            page,
            is_unicode: is_unicode_version(version)
                || page.is_double() && is_unicode_by_its_letters(text),
        }
    }

    /// Decodes a text, with `\U+XXXX`, `\M+nXXXX` and caret escapes undone.
    pub(in crate::drawing) fn read(self, bytes: &[u8]) -> Cow<'_, str> {
        let text = if bytes.is_ascii() {
            String::from_utf8_lossy(bytes)
        } else {
            self.decode(bytes)
        };
        if text.contains(['\\', '^']) {
            Cow::Owned(undo_escapes(&text))
        } else {
            text
        }
    }

    fn decode(self, bytes: &[u8]) -> Cow<'_, str> {
        // Text that happens to be well-formed UTF-8 in a page of single bytes is nearly always UTF-8 that the header
        // forgot to mention; in pages of double bytes such pairs are ordinary letters.
        if (self.is_unicode || !self.page.is_double())
            && let Ok(text) = std::str::from_utf8(bytes)
        {
            return Cow::Borrowed(text);
        }
        match self.page {
            Page::Known(encoding) => encoding.decode_without_bom_handling(bytes).0,
            Page::Dos(upper_half) => Cow::Owned(code_pages::decode(upper_half, bytes)),
            Page::Johab => Cow::Owned(code_pages::decode_johab(bytes)),
        }
    }
}

impl Page {
    fn is_double(self) -> bool {
        match self {
            Self::Known(encoding) => !encoding.is_single_byte() && encoding != encoding_rs::UTF_8,
            Self::Dos(_) => false,
            Self::Johab => true,
        }
    }
}

/// So many letters of three bytes and none that is no UTF-8: by chance one file in thousands.
const TELLING: usize = 3;

/// True for a text that is UTF-8 with letters of East Asia in it.
fn is_unicode_by_its_letters(text: &[u8]) -> bool {
    std::str::from_utf8(text).is_ok_and(|text| {
        let mut wide = text.chars().filter(|it| !it.is_ascii());
        let (mut found, mut all) = (0, 0);
        for letter in &mut wide {
            all += 1;
            found += usize::from(letter >= '\u{2e80}');
        }
        found >= TELLING && found * 2 > all
    })
}

fn is_unicode_version(version: &str) -> bool {
    version
        .strip_prefix("AC")
        .and_then(|number| number.trim().parse::<u32>().ok())
        .is_some_and(|number| number >= 1021)
}

/// The pages behind the names that `$DWGCODEPAGE` may have (DXF reference).
fn page_of(name: &str) -> Page {
    let upper = name.trim().to_ascii_uppercase();
    let number: String = upper.chars().filter(char::is_ascii_digit).collect();
    if number == "1361" || upper == "JOHAB" {
        return Page::Johab;
    }
    if let Some(upper_half) = code_pages::upper_half(&number) {
        return Page::Dos(upper_half);
    }
    if upper.contains("8859")
        && let Some(part) = number.strip_prefix("8859")
        && let Some(encoding) = Encoding::for_label(format!("iso-8859-{part}").as_bytes())
    {
        return Page::Known(encoding);
    }
    Page::Known(match (upper.as_str(), number.as_str()) {
        ("GB2312", _) | (_, "936") => encoding_rs::GBK,
        ("BIG5", _) | (_, "950") => encoding_rs::BIG5,
        ("DOS932" | "SHIFT_JIS", _) | (_, "932") => encoding_rs::SHIFT_JIS,
        ("KSC5601", _) | (_, "949") => encoding_rs::EUC_KR,
        ("MAC-ROMAN", _) => encoding_rs::MACINTOSH,
        (_, "874") => encoding_rs::WINDOWS_874,
        (_, "1250") => encoding_rs::WINDOWS_1250,
        (_, "1251") => encoding_rs::WINDOWS_1251,
        (_, "866") => encoding_rs::IBM866,
        (_, "1253") => encoding_rs::WINDOWS_1253,
        (_, "1254") => encoding_rs::WINDOWS_1254,
        (_, "1255") => encoding_rs::WINDOWS_1255,
        (_, "1256") => encoding_rs::WINDOWS_1256,
        (_, "1257") => encoding_rs::WINDOWS_1257,
        (_, "1258") => encoding_rs::WINDOWS_1258,
        ("UTF-8" | "UTF8", _) | (_, "65001") => encoding_rs::UTF_8,
        _ => encoding_rs::WINDOWS_1252,
    })
}

fn undo_escapes(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(['\\', '^']) {
        let (before, tail) = rest.split_at(at);
        out.push_str(before);
        if let Some((letter, after)) = unicode_escape(tail).or_else(|| page_escape(tail)) {
            out.push(letter);
            rest = after;
        } else if let Some((letter, after)) = caret_escape(tail) {
            out.push(letter);
            rest = after;
        } else {
            let mut letters = tail.chars();
            out.extend(letters.next());
            rest = letters.as_str();
        }
    }
    out.push_str(rest);
    out
}

/// `\U+00E4`.
fn unicode_escape(tail: &str) -> Option<(char, &str)> {
    let rest = tail
        .strip_prefix("\\U+")
        .or_else(|| tail.strip_prefix("\\u+"))?;
    let letter = char::from_u32(u32::from_str_radix(rest.get(..4)?, 16).ok()?)?;
    Some((letter, rest.get(4..)?))
}

/// `\M+1C4A5`: a digit for the page, then the two bytes of a letter in it.
fn page_escape(tail: &str) -> Option<(char, &str)> {
    let rest = tail
        .strip_prefix("\\M+")
        .or_else(|| tail.strip_prefix("\\m+"))?;
    let encoding = match rest.get(..1)? {
        "1" => encoding_rs::SHIFT_JIS,
        "2" => encoding_rs::BIG5,
        "3" | "4" => encoding_rs::EUC_KR,
        "5" => encoding_rs::GBK,
        _ => return None,
    };
    let bytes = u16::from_str_radix(rest.get(1..5)?, 16).ok()?.to_be_bytes();
    let (text, had_errors) = encoding.decode_without_bom_handling(&bytes);
    let letter = text.chars().next().filter(|_| !had_errors)?;
    Some((letter, rest.get(5..)?))
}

/// `^J` is a line feed, `^I` a tabulator, `^ ` a caret.
fn caret_escape(tail: &str) -> Option<(char, &str)> {
    let mut letters = tail.strip_prefix('^')?.chars();
    let letter = match letters.next()? {
        ' ' => '^',
        'I' => '\t',
        'J' => '\n',
        'M' => '\r',
        _ => return None,
    };
    Some((letter, letters.as_str()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(version: &str, page: &str, bytes: &[u8], expected: &str) {
        assert_eq!(Letters::of(version, page, bytes).read(bytes), expected);
    }

    #[test]
    fn code_pages_and_escapes_become_letters() {
        check("AC1015", "ANSI_1252", b"K\xFCche", "Küche");
        check("AC1015", "ANSI_936", b"\xC7\xBD\xCC\xE5", "墙体");
        check("AC1015", "ANSI_1251", b"\xF1\xF2\xE5\xED\xFB", "стены");
        check("AC1021", "ANSI_1252", "墙 Küche".as_bytes(), "墙 Küche");
        check("AC1015", "ANSI_1252", "Küche".as_bytes(), "Küche");
        check("AC1021", "", b"K\xFCche", "Küche");
        check("AC1027", "ANSI_936", b"\xC7\xBD\xCC\xE5", "墙体");
        check("AC1015", "ANSI_936", "厨房平面".as_bytes(), "厨房平面");
        check("AC1009", "dos850", b"K\x9ACHE", "KÜCHE");
        check("AC1009", "dos855", b"\xC7\xE8", "КУ");
        check("AC1015", "johab", b"\xC3\xB1\xAF\xA9", "침실");
        check("AC1015", "iso8859-5", b"\xBA\xC3", "КУ");
        check("AC1015", "mac-roman", b"K\x86CHE", "KÜCHE");
        check("AC1009", "", b"K\\U+00FCche", "Küche");
        check("AC1015", "ANSI_1252", b"\\M+5C7BD", "墙");
        check("AC1015", "", b"a^Jb^ c\\P", "a\nb^c\\P");
        check("AC1015", "", b"\\U+12", "\\U+12");
    }
}
