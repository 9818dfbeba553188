//! What the first walk over a file finds: its header, layers, blocks, and where each entity stands. No geometry yet.

use crate::drawing::blocks::clips::Border;
use crate::drawing::file::census;
use crate::drawing::file::letters::Letters;
use crate::drawing::file::pairs::{Layout, PairReader};
use crate::drawing::file::walk;
use std::collections::BTreeMap;
use std::ops::Range;

/// What a file holds, by section.
#[derive(Debug)]
pub(in crate::drawing) struct Contents<'a> {
    /// The whole file.
    pub(in crate::drawing) bytes: &'a [u8],
    /// How it is laid out.
    pub(in crate::drawing) layout: Layout,
    /// Header variables, first value of each.
    pub(in crate::drawing) header: BTreeMap<String, String>,
    /// How its bytes become letters.
    pub(in crate::drawing) letters: Letters,
    /// The LAYER table, by upper-case name: the format does not tell cases apart.
    pub(in crate::drawing) layers: BTreeMap<String, LayerState>,
    /// Block definitions in file order; a later one of the same name counts, as in the table `block_by_name`.
    pub(in crate::drawing) blocks: Vec<Block>,
    /// Index into `blocks`, by upper-case name.
    pub(in crate::drawing) block_by_name: BTreeMap<String, usize>,
    /// All entities of all spaces, in file order; the parts of a polyline or insertion follow it.
    pub(in crate::drawing) records: Vec<Record>,
    /// Indices of each ENTITIES section; some files have several.
    pub(in crate::drawing) entities: Vec<Range<usize>>,
    /// Entity types met, by [`Record::kind`].
    pub(in crate::drawing) kinds: Vec<String>,
    /// Names met in groups 8 and 6, by [`Record::layer`] and [`Record::line_type`].
    pub(in crate::drawing) names: Vec<String>,
    /// Names of sections met.
    pub(in crate::drawing) sections: Vec<String>,
    /// Flags of the styles of multiple lines (MLINESTYLE, group 70), by upper-case name.
    pub(in crate::drawing) line_styles: BTreeMap<String, i64>,
    /// The LAYOUT objects: sheets in paper space and the model.
    pub(in crate::drawing) layouts: Vec<LayoutName>,
    /// What insertions show of their block, by their handle.
    pub(in crate::drawing) clips: BTreeMap<u64, Border>,
    /// Borders of which it cannot be told what they clip.
    pub(in crate::drawing) loose_clips: usize,
    /// Lines and pairs passed over.
    pub(in crate::drawing) skipped: usize,
    /// Line of the first thing passed over.
    pub(in crate::drawing) first_bad_line: usize,
    /// Where and in which section the file ends when it ends too early.
    pub(in crate::drawing) cut: Option<Cut>,
    /// True when the file ends without `EOF`, all sections closed.
    pub(in crate::drawing) lacks_end: bool,
}

/// Where a file breaks off.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::drawing) struct Cut {
    /// The section that was open.
    pub(in crate::drawing) section: String,
    /// Last line, or 0 in binary files.
    pub(in crate::drawing) line: usize,
}

/// State of a layer in the table.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::drawing) struct LayerState {
    /// Name as in the table.
    pub(in crate::drawing) name: String,
    /// Group 5.
    pub(in crate::drawing) handle: Option<u64>,
    /// Negative colour.
    pub(in crate::drawing) is_off: bool,
    /// Flag 1.
    pub(in crate::drawing) is_frozen: bool,
    /// Flag 4.
    pub(in crate::drawing) is_locked: bool,
    /// Line type, empty for continuous.
    pub(in crate::drawing) line_type: String,
}

/// A LAYOUT object: the tab of a sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::drawing) struct LayoutName {
    /// What its tab says.
    pub(in crate::drawing) name: String,
    /// Where its tab stands, from 1; 0 for the model.
    pub(in crate::drawing) tab: i64,
    /// Handle of the block record that holds its entities.
    pub(in crate::drawing) owner: Option<u64>,
}

/// A block definition.
#[derive(Clone, Debug, Default, PartialEq)]
pub(in crate::drawing) struct Block {
    /// Name.
    pub(in crate::drawing) name: String,
    /// Base point.
    pub(in crate::drawing) base: [f64; 3],
    /// Path of the external reference, where it is one.
    pub(in crate::drawing) reference: Option<String>,
    /// Handle of its block record.
    pub(in crate::drawing) owner: Option<u64>,
    /// Its entities.
    pub(in crate::drawing) records: Range<usize>,
}

/// One entity: where it stands, and what all entities have.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::drawing) struct Record {
    /// Index into [`Contents::kinds`].
    pub(in crate::drawing) kind: u32,
    /// Index into [`Contents::names`].
    pub(in crate::drawing) layer: u32,
    /// Index into [`Contents::names`].
    pub(in crate::drawing) line_type: u32,
    /// Where its pairs stand in the bytes.
    pub(in crate::drawing) bytes: Range<usize>,
    /// Line it starts on, 0 in binary files.
    pub(in crate::drawing) line: usize,
    /// Group 5.
    pub(in crate::drawing) handle: Option<u64>,
    /// Group 60.
    pub(in crate::drawing) is_invisible: bool,
    /// Group 67.
    pub(in crate::drawing) is_paper: bool,
    /// True when the walk lost pairs inside it.
    pub(in crate::drawing) is_broken: bool,
    /// How many of the records after it are its vertices, attributes and end mark.
    pub(in crate::drawing) parts: u32,
    /// True for such a part.
    pub(in crate::drawing) is_part: bool,
}

impl<'a> Contents<'a> {
    /// Walks the file.
    pub(in crate::drawing) fn read(bytes: &'a [u8]) -> Self {
        walk::walk(bytes)
    }

    /// The records of model space: the ENTITIES section, and what some programs write into the block of that name.
    pub(in crate::drawing) fn model_space(&self) -> Vec<Range<usize>> {
        self.blocks
            .iter()
            .filter(|block| census::space_of_block(&block.name) == "model")
            .map(|block| block.records.clone())
            .chain(self.entities.iter().cloned())
            .collect()
    }

    /// The pairs of an entity, its type first.
    pub(in crate::drawing) fn pairs(&self, record: &Record) -> PairReader<'a> {
        let end = record.bytes.end.min(self.bytes.len());
        PairReader::new(
            self.bytes.get(..end).unwrap_or_default(),
            self.layout,
            record.bytes.start,
            record.line.max(1),
        )
    }

    /// Type of an entity, upper case.
    pub(in crate::drawing) fn kind(&self, record: &Record) -> &str {
        self.kinds
            .get(record.kind as usize)
            .map_or("", String::as_str)
    }

    /// State of a layer by its name.
    pub(in crate::drawing) fn layer(&self, name: &str) -> Option<&LayerState> {
        self.layers.get(&name.to_uppercase())
    }

    /// A name met in group 8 or 6.
    pub(in crate::drawing) fn name(&self, index: u32) -> &str {
        self.names.get(index as usize).map_or("", String::as_str)
    }

    /// The handle in upper-case hexadecimal, else `L` and the line, else (binary) `B` and the offset.
    pub(in crate::drawing) fn handle(&self, record: &Record) -> String {
        self.handle_after("", record)
    }

    /// The same after something else.
    pub(in crate::drawing) fn handle_after(&self, before: &str, record: &Record) -> String {
        match (record.handle, record.line) {
            (Some(handle), _) => format!("{before}{handle:X}"),
            (None, 0) => format!("{before}B{}", record.bytes.start),
            (None, line) => format!("{before}L{line}"),
        }
    }
}

/// A line type as [`crate::drawing::Source`] wants it: empty for continuous, by layer and by block.
pub(in crate::drawing) fn plain_line_type(name: &str) -> String {
    let upper = name.to_ascii_uppercase();
    if matches!(upper.as_str(), "CONTINUOUS" | "BYLAYER" | "BYBLOCK") {
        String::new()
    } else {
        name.to_owned()
    }
}
