//! What sort of file came back: an SVG is unpacked and read in the letters it is written in; of what is none, it is said what to do.

use super::reader::{LARGEST, SvgRefusal};
use encoding_rs::{Encoding, UTF_16BE, UTF_16LE};
use flate2::read::MultiGzDecoder;
use std::borrow::Cow;
use std::io::Read;

/// Why a file holds no text of an SVG.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub(super) enum FileRefusal {
    #[error("{0}")]
    Svg(#[from] SvgRefusal),
    #[error(
        "is a packed SVG that unpacks to more than 64 MB, or is cut off; save it again as plain SVG"
    )]
    Unpacking,
    #[error(
        "is a picture ({0}), and pictures are not read; draw the marks on the sheet's SVG, its PDF or the page, or put the picture onto the sheet there"
    )]
    Picture(&'static str),
    #[error("is {0}, and no marked sheet; save the marked sheet as plain SVG or as PDF")]
    Other(&'static str),
}

/// First bytes of pictures, and of what else is sent by mistake.
const PICTURES: [(&[u8], &str); 6] = [
    (b"\x89PNG", "PNG"),
    (b"\xff\xd8\xff", "JPEG"),
    (b"GIF8", "GIF"),
    (b"BM", "BMP"),
    (b"II*\0", "TIFF"),
    (b"MM\0*", "TIFF"),
];
const OTHERS: [(&[u8], &str); 5] = [
    (b"  0\nSECTION", "a DXF drawing"),
    (b"  0\r\nSECTION", "a DXF drawing"),
    (b"PK\x03\x04", "a packed folder or an office document"),
    (b"AC10", "a DWG drawing"),
    (b"%!PS", "PostScript"),
];

/// The bytes of an SVG in UTF-8.
pub(super) fn as_text(bytes: &[u8]) -> Result<Cow<'_, [u8]>, FileRefusal> {
    if !bytes.starts_with(b"\x1f\x8b") {
        return plain(Cow::Borrowed(bytes));
    }
    let most = u64::try_from(LARGEST).unwrap_or(u64::MAX);
    let mut unpacked = Vec::new();
    let unpacking = MultiGzDecoder::new(bytes)
        .take(most + 1)
        .read_to_end(&mut unpacked);
    match unpacking {
        Ok(_) if unpacked.len() <= LARGEST => plain(Cow::Owned(unpacked)),
        _ => Err(FileRefusal::Unpacking),
    }
}

fn plain(bytes: Cow<'_, [u8]>) -> Result<Cow<'_, [u8]>, FileRefusal> {
    if bytes.len() > LARGEST {
        return Err(SvgRefusal::TooLarge.into());
    }
    if let Some(encoding) = encoding(&bytes) {
        // Letters that are none of that writing become marks of replacement, as a viewer shows them.
        let text = encoding.decode(&bytes).0.into_owned().into_bytes();
        return if text.len() > LARGEST {
            Err(SvgRefusal::TooLarge.into())
        } else {
            Ok(Cow::Owned(text))
        };
    }
    let is = |list: &[(&[u8], &'static str)]| {
        let found = list.iter().find(|it| bytes.starts_with(it.0));
        found.map(|it| it.1)
    };
    let is_webp = bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP");
    let is_heic = bytes.get(4..8) == Some(b"ftyp");
    let picture = is(&PICTURES)
        .or_else(|| is_webp.then_some("WebP"))
        .or_else(|| is_heic.then_some("HEIC"));
    if let Some(kind) = picture {
        return Err(FileRefusal::Picture(kind));
    }
    match is(&OTHERS) {
        Some(kind) => Err(FileRefusal::Other(kind)),
        None => Ok(bytes),
    }
}

/// The writing of a text that is not in UTF-8: by its first bytes, else by what its first line says.
fn encoding(bytes: &[u8]) -> Option<&'static Encoding> {
    match bytes {
        [0xff, 0xfe, ..] | [b'<', 0, ..] => return Some(UTF_16LE),
        [0xfe, 0xff, ..] | [0, b'<', ..] => return Some(UTF_16BE),
        _ if std::str::from_utf8(bytes).is_ok() => return None,
        _ => {}
    }
    let head = bytes.get(..200.min(bytes.len()))?;
    let head = String::from_utf8_lossy(head.strip_prefix(b"<?xml")?).into_owned();
    let (_, label) = head.split_once("encoding")?;
    let label = label.trim_start_matches([' ', '=']);
    let quote = label.chars().next().filter(|it| matches!(it, '"' | '\''))?;
    let label = label[1..].split(quote).next()?;
    // A first line that says UTF-8 of what is none is wrong.
    Encoding::for_label(label.as_bytes()).filter(|it| *it != encoding_rs::UTF_8)
}

#[cfg(test)]
mod tests {
    use super::*;
    use flate2::Compression;
    use flate2::write::GzEncoder;
    use std::io::Write;

    const SVG: &str = "<?xml version=\"1.0\" encoding=\"ISO-8859-1\"?><svg><text>é</text></svg>";

    fn packed(bytes: &[u8]) -> Vec<u8> {
        let mut packer = GzEncoder::new(Vec::new(), Compression::fast());
        packer.write_all(bytes).unwrap();
        packer.finish().unwrap()
    }

    #[test]
    fn a_text_is_read_in_whatever_it_is_written_or_packed() {
        let little: Vec<u8> = SVG.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> = SVG.encode_utf16().flat_map(u16::to_be_bytes).collect();
        let marked = [b"\xff\xfe".as_slice(), &little].concat();
        let latin: Vec<u8> = SVG.chars().map(|c| u8::try_from(c).unwrap()).collect();
        for bytes in [
            SVG.into(),
            little,
            big,
            marked,
            latin,
            packed(SVG.as_bytes()),
        ] {
            assert_eq!(as_text(&bytes).unwrap().as_ref(), SVG.as_bytes());
        }
    }

    #[test]
    fn what_is_no_text_says_what_to_do() {
        let endless = packed(&vec![b' '; LARGEST + 1]);
        assert_eq!(as_text(&endless), Err(FileRefusal::Unpacking));
        let cut = packed(SVG.as_bytes());
        assert_eq!(as_text(&cut[..20]), Err(FileRefusal::Unpacking));
        for (bytes, word) in [
            (b"\x89PNG\r\n\x1a\n".as_slice(), "picture (PNG)"),
            (b"\xff\xd8\xff\xe0", "picture (JPEG)"),
            (b"RIFF\0\0\0\0WEBPVP8 ", "picture (WebP)"),
            (b"PK\x03\x04", "packed folder"),
        ] {
            let why = as_text(bytes).unwrap_err().to_string();
            assert!(why.contains(word), "{why}");
        }
    }
}
