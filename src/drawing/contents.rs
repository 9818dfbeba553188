//! What the first walk over a file finds: its header, layers, blocks, and where each entity stands. No geometry yet.

use super::clips::Border;
use super::letters::Letters;
use super::pairs::{Layout, PairReader};
use std::collections::BTreeMap;
use std::ops::Range;

/// What a file holds, by section.
#[derive(Debug)]
pub(super) struct Contents<'a> {
    /// The whole file.
    pub(super) bytes: &'a [u8],
    /// How it is laid out.
    pub(super) layout: Layout,
    /// Header variables, first value of each.
    pub(super) header: BTreeMap<String, String>,
    /// How its bytes become letters.
    pub(super) letters: Letters,
    /// The LAYER table, by upper-case name: the format does not tell cases apart.
    pub(super) layers: BTreeMap<String, LayerState>,
    /// Block definitions in file order; a later one of the same name counts, as in the table `block_by_name`.
    pub(super) blocks: Vec<Block>,
    /// Index into `blocks`, by upper-case name.
    pub(super) block_by_name: BTreeMap<String, usize>,
    /// All entities of all spaces, in file order; the parts of a polyline or insertion follow it.
    pub(super) records: Vec<Record>,
    /// Indices of each ENTITIES section; some files have several.
    pub(super) entities: Vec<Range<usize>>,
    /// Entity types met, by [`Record::kind`].
    pub(super) kinds: Vec<String>,
    /// Names met in groups 8 and 6, by [`Record::layer`] and [`Record::line_type`].
    pub(super) names: Vec<String>,
    /// Names of sections met.
    pub(super) sections: Vec<String>,
    /// Flags of the styles of multiple lines (MLINESTYLE, group 70), by upper-case name.
    pub(super) line_styles: BTreeMap<String, i64>,
    /// The LAYOUT objects: sheets in paper space and the model.
    pub(super) layouts: Vec<LayoutName>,
    /// What insertions show of their block, by their handle.
    pub(super) clips: BTreeMap<u64, Border>,
    /// Borders of which it cannot be told what they clip.
    pub(super) loose_clips: usize,
    /// Lines and pairs passed over.
    pub(super) skipped: usize,
    /// Line of the first thing passed over.
    pub(super) first_bad_line: usize,
    /// Where and in which section the file ends when it ends too early.
    pub(super) cut: Option<Cut>,
    /// True when the file ends without `EOF`, all sections closed.
    pub(super) lacks_end: bool,
}

/// Where a file breaks off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Cut {
    /// The section that was open.
    pub(super) section: String,
    /// Last line, or 0 in binary files.
    pub(super) line: usize,
}

/// State of a layer in the table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct LayerState {
    /// Name as in the table.
    pub(super) name: String,
    /// Group 5.
    pub(super) handle: Option<u64>,
    /// Negative colour.
    pub(super) is_off: bool,
    /// Flag 1.
    pub(super) is_frozen: bool,
    /// Flag 4.
    pub(super) is_locked: bool,
    /// Line type, empty for continuous.
    pub(super) line_type: String,
}

/// A LAYOUT object: the tab of a sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct LayoutName {
    /// What its tab says.
    pub(super) name: String,
    /// Where its tab stands, from 1; 0 for the model.
    pub(super) tab: i64,
    /// Handle of the block record that holds its entities.
    pub(super) owner: Option<u64>,
}

/// A block definition.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Block {
    /// Name.
    pub(super) name: String,
    /// Base point.
    pub(super) base: [f64; 3],
    /// Path of the external reference, where it is one.
    pub(super) reference: Option<String>,
    /// Handle of its block record.
    pub(super) owner: Option<u64>,
    /// Its entities.
    pub(super) records: Range<usize>,
}

/// One entity: where it stands, and what all entities have.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Record {
    /// Index into [`Contents::kinds`].
    pub(super) kind: u32,
    /// Index into [`Contents::names`].
    pub(super) layer: u32,
    /// Index into [`Contents::names`].
    pub(super) line_type: u32,
    /// Where its pairs stand in the bytes.
    pub(super) bytes: Range<usize>,
    /// Line it starts on, 0 in binary files.
    pub(super) line: usize,
    /// Group 5.
    pub(super) handle: Option<u64>,
    /// Group 60.
    pub(super) is_invisible: bool,
    /// Group 67.
    pub(super) is_paper: bool,
    /// True when the walk lost pairs inside it.
    pub(super) is_broken: bool,
    /// How many of the records after it are its vertices, attributes and end mark.
    pub(super) parts: u32,
    /// True for such a part.
    pub(super) is_part: bool,
}

impl<'a> Contents<'a> {
    /// Walks the file.
    pub(super) fn read(bytes: &'a [u8]) -> Self {
        super::walk::walk(bytes)
    }

    /// The records of model space: the ENTITIES section, and what some programs write into the block of that name.
    pub(super) fn model_space(&self) -> Vec<Range<usize>> {
        self.blocks
            .iter()
            .filter(|block| super::census::space_of_block(&block.name) == "model")
            .map(|block| block.records.clone())
            .chain(self.entities.iter().cloned())
            .collect()
    }

    /// The pairs of an entity, its type first.
    pub(super) fn pairs(&self, record: &Record) -> PairReader<'a> {
        let end = record.bytes.end.min(self.bytes.len());
        PairReader::new(
            self.bytes.get(..end).unwrap_or_default(),
            self.layout,
            record.bytes.start,
            record.line.max(1),
        )
    }

    /// Type of an entity, upper case.
    pub(super) fn kind(&self, record: &Record) -> &str {
        self.kinds
            .get(record.kind as usize)
            .map_or("", String::as_str)
    }

    /// State of a layer by its name.
    pub(super) fn layer(&self, name: &str) -> Option<&LayerState> {
        self.layers.get(&name.to_uppercase())
    }

    /// A name met in group 8 or 6.
    pub(super) fn name(&self, index: u32) -> &str {
        self.names.get(index as usize).map_or("", String::as_str)
    }

    /// The handle in upper-case hexadecimal, else `L` and the line, else (binary) `B` and the offset.
    pub(super) fn handle(&self, record: &Record) -> String {
        self.handle_after("", record)
    }

    /// The same after something else.
    pub(super) fn handle_after(&self, before: &str, record: &Record) -> String {
        match (record.handle, record.line) {
            (Some(handle), _) => format!("{before}{handle:X}"),
            (None, 0) => format!("{before}B{}", record.bytes.start),
            (None, line) => format!("{before}L{line}"),
        }
    }
}

/// A line type as [`super::Source`] wants it: empty for continuous, by layer and by block.
pub(super) fn plain_line_type(name: &str) -> String {
    let upper = name.to_ascii_uppercase();
    if matches!(upper.as_str(), "CONTINUOUS" | "BYLAYER" | "BYBLOCK") {
        String::new()
    } else {
        name.to_owned()
    }
}
