//! Reads a workbook (ISO/IEC 29500): its sheets with the values and sums of their cells.

use flate2::read::DeflateDecoder;
use roxmltree::{Document, Node};
use std::collections::BTreeMap;
use std::io::Read;

/// A part of a workbook is never unpacked beyond this many bytes.
const MOST_BYTES: u64 = 1 << 28;

/// Sheets by name.
pub(in crate::verify) struct Workbook {
    pub(in crate::verify) sheets: BTreeMap<String, Cells>,
}

/// Cells of a sheet by row, counted from 0, then by column as lettered.
pub(in crate::verify) type Cells = BTreeMap<u32, BTreeMap<String, Cell>>;

/// What a cell shows.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::verify) struct Cell {
    /// A text, or a number as written.
    pub(in crate::verify) value: String,
    pub(in crate::verify) is_number: bool,
    /// The formula the value comes from.
    pub(in crate::verify) formula: Option<String>,
}

impl Workbook {
    /// Reads a file; the reason when it cannot be.
    pub(in crate::verify) fn read(bytes: &[u8]) -> Result<Self, String> {
        let parts = unpacked(bytes)?;
        let part = |name: &str| {
            let found = parts.get(name);
            found.ok_or_else(|| format!("it has no part {name}"))
        };
        let texts = match parts.get("xl/sharedStrings.xml") {
            Some(text) => {
                let document = parsed(text)?;
                let items = document.root_element().children();
                items
                    .filter(|it| it.has_tag_name_local("si"))
                    .map(words)
                    .collect()
            }
            None => Vec::new(),
        };
        let links = parsed(part("xl/_rels/workbook.xml.rels")?)?;
        let targets: BTreeMap<&str, &str> = links
            .root_element()
            .children()
            .filter_map(|it| Some((it.attribute("Id")?, it.attribute("Target")?)))
            .collect();
        let book = parsed(part("xl/workbook.xml")?)?;
        let named = book
            .descendants()
            .filter(|it| it.has_tag_name_local("sheet"));
        let mut sheets = BTreeMap::new();
        for sheet in named {
            let name = sheet.attribute("name").unwrap_or_default();
            let id = sheet
                .attributes()
                .find(|it| it.name() == "id" && it.namespace().is_some());
            let target = id.and_then(|id| targets.get(id.value()));
            let target = target.ok_or_else(|| format!("sheet {name} has no part"))?;
            let document = parsed(part(&format!("xl/{}", target.trim_start_matches("/xl/")))?)?;
            let cells =
                cells(&document, &texts).map_err(|reason| format!("sheet {name}: {reason}"))?;
            sheets.insert(name.to_owned(), cells);
        }
        Ok(Self { sheets })
    }
}

/// Names of elements whatever their namespace's prefix.
trait Local {
    fn has_tag_name_local(&self, name: &str) -> bool;
}

impl Local for Node<'_, '_> {
    fn has_tag_name_local(&self, name: &str) -> bool {
        self.is_element() && self.tag_name().name() == name
    }
}

fn parsed(text: &str) -> Result<Document<'_>, String> {
    Document::parse(text).map_err(|error| error.to_string())
}

/// All text below a node.
fn words(node: Node<'_, '_>) -> String {
    let texts = node.descendants().filter(|it| it.has_tag_name_local("t"));
    texts.filter_map(|it| it.text()).collect()
}

fn cells(document: &Document<'_>, texts: &[String]) -> Result<Cells, String> {
    let mut rows = Cells::new();
    for cell in document
        .descendants()
        .filter(|it| it.has_tag_name_local("c"))
    {
        let place = cell.attribute("r").unwrap_or_default();
        let at = place
            .find(|it: char| it.is_ascii_digit())
            .unwrap_or(place.len());
        let (column, row) = place.split_at(at);
        let row: u32 = row
            .parse()
            .map_err(|_| format!("a cell has no place, '{place}'"))?;
        let of = |name: &str| {
            let child = cell.children().find(|it| it.has_tag_name_local(name));
            child.map(|it| it.text().unwrap_or_default().to_owned())
        };
        let Some(value) = of("v") else {
            continue;
        };
        let is_shared = cell.attribute("t") == Some("s");
        let value = if is_shared {
            let index: usize = value.parse().map_err(|_| format!("{place} has no text"))?;
            let found = texts.get(index).cloned();
            found.ok_or_else(|| format!("{place} has a text that is not there"))?
        } else {
            value
        };
        let found = Cell {
            value,
            is_number: !is_shared && cell.attribute("t").is_none_or(|it| it == "n"),
            formula: of("f"),
        };
        let cells = rows.entry(row.saturating_sub(1)).or_default();
        if cells.insert(column.to_owned(), found).is_some() {
            return Err(format!("{place} stands twice"));
        }
    }
    Ok(rows)
}

/// The parts of a ZIP file that are XML, by their names.
fn unpacked(bytes: &[u8]) -> Result<BTreeMap<String, String>, String> {
    const CUT_OFF: &str = "it is cut off, or no workbook";
    let end = bytes
        .windows(4)
        .rposition(|it| it == b"PK\x05\x06")
        .ok_or(CUT_OFF)?;
    let n_note = number(bytes, end + 20, 2).ok_or(CUT_OFF)?;
    bytes.get(end..end + 22 + n_note).ok_or(CUT_OFF)?;
    let n_parts = number(bytes, end + 10, 2).ok_or(CUT_OFF)?;
    let mut at = number(bytes, end + 16, 4).ok_or(CUT_OFF)?;
    let mut parts = BTreeMap::new();
    for _ in 0..n_parts {
        let field = |offset: usize, size: usize| number(bytes, at + offset, size).ok_or(CUT_OFF);
        let (method, packed) = (field(10, 2)?, field(20, 4)?);
        let (n_name, n_extra, n_note) = (field(28, 2)?, field(30, 2)?, field(32, 2)?);
        let local = field(42, 4)?;
        let name = bytes.get(at + 46..at + 46 + n_name).ok_or(CUT_OFF)?;
        let name = String::from_utf8_lossy(name).into_owned();
        at += 46 + n_name + n_extra + n_note;
        if !name.ends_with(".xml") && !name.ends_with(".rels") {
            continue;
        }
        let here = |offset: usize| number(bytes, local + offset, 2).ok_or(CUT_OFF);
        let from = local + 30 + here(26)? + here(28)?;
        let data = bytes.get(from..from + packed).ok_or(CUT_OFF)?;
        let mut text = String::new();
        let read = match method {
            0 => data.take(MOST_BYTES).read_to_string(&mut text),
            8 => DeflateDecoder::new(data)
                .take(MOST_BYTES)
                .read_to_string(&mut text),
            other => {
                return Err(format!(
                    "{name} is packed by method {other}, which is not known"
                ));
            }
        };
        read.map_err(|error| format!("{name}: {error}"))?;
        parts.insert(name, text);
    }
    Ok(parts)
}

/// A number of up to four bytes, least first.
fn number(bytes: &[u8], at: usize, size: usize) -> Option<usize> {
    let bytes = bytes.get(at..at.checked_add(size)?)?;
    let number = bytes
        .iter()
        .rev()
        .fold(0_u32, |sum, byte| (sum << 8) | u32::from(*byte));
    usize::try_from(number).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_cut_off_anywhere_is_refused_and_never_panics() {
        let mut book = rust_xlsxwriter::Workbook::new();
        let sheet = book.add_worksheet();
        sheet.write_string(0, 0, "a & b").unwrap();
        sheet.write_number(1, 2, 47.9375).unwrap();
        let bytes = book.save_to_buffer().unwrap();
        let read = Workbook::read(&bytes).unwrap();
        let cells = &read.sheets["Sheet1"];
        assert_eq!(cells[&0]["A"].value, "a & b");
        assert_eq!(cells[&1]["C"].value, "47.9375");
        for n in 0..bytes.len() {
            assert!(Workbook::read(&bytes[..n]).is_err(), "{n}");
        }
    }
}
