//! The first walk over a file, section by section.

use crate::drawing::blocks::clips::{self, Border};
use crate::drawing::file::contents::{
    Block, Contents, Cut, LayerState, LayoutName, Record, plain_line_type,
};
use crate::drawing::file::letters::Letters;
use crate::drawing::file::pairs::{Layout, Pair, PairReader};
use std::collections::{BTreeMap, BTreeSet};

/// Walks the file.
pub(in crate::drawing) fn walk(bytes: &[u8]) -> Contents<'_> {
    let (layout, start) = Layout::of(bytes);
    let mut walk = Walk {
        reader: PairReader::new(bytes, layout, start, 1),
        contents: Contents {
            bytes,
            layout,
            header: BTreeMap::new(),
            letters: Letters::of("", "", b""),
            layers: BTreeMap::new(),
            blocks: Vec::new(),
            block_by_name: BTreeMap::new(),
            records: Vec::new(),
            entities: Vec::new(),
            kinds: Vec::new(),
            names: vec![String::new()],
            sections: Vec::new(),
            line_styles: BTreeMap::new(),
            layouts: Vec::new(),
            clips: BTreeMap::new(),
            loose_clips: 0,
            skipped: 0,
            first_bad_line: 0,
            cut: None,
            lacks_end: false,
        },
        kinds: Interner::default(),
        names: Interner::default(),
        held: None,
        borders: Vec::new(),
        owners: BTreeMap::new(),
    };
    walk.sections();
    let mut contents = walk.contents;
    (contents.clips, contents.loose_clips) = clips::by_insertion(walk.borders, &walk.owners);
    if !contents.clips.is_empty() {
        let n_borders = contents.clips.len();
        let records = contents.records.iter();
        let there: BTreeSet<u64> = records.filter_map(|it| it.handle).collect();
        contents.clips.retain(|handle, _| there.contains(handle));
        contents.loose_clips += n_borders - contents.clips.len();
    }
    contents.skipped = walk.reader.skipped;
    contents.first_bad_line = walk.reader.first_bad_line;
    contents
}

/// Gives each distinct name a number; the last one asked for is found at once.
#[derive(Default)]
struct Interner<'a> {
    by_name: BTreeMap<&'a [u8], u32>,
    last: Option<(&'a [u8], u32)>,
}

impl<'a> Interner<'a> {
    /// The number of a name, and whether it is new.
    fn number(&mut self, name: &'a [u8], next: usize) -> (u32, bool) {
        if let Some((last, number)) = self.last
            && last == name
        {
            return (number, false);
        }
        let fresh = u32::try_from(next).unwrap_or(u32::MAX);
        let mut is_new = false;
        let number = *self.by_name.entry(name).or_insert_with(|| {
            is_new = true;
            fresh
        });
        self.last = Some((name, number));
        (number, is_new)
    }
}

/// An object of which something is of interest.
#[derive(Default)]
enum Object {
    #[default]
    Other,
    /// Name and flags.
    LineStyle(String, Option<i64>),
    /// The sheet, and whether its own part has begun.
    Layout(LayoutName, bool),
    /// Its handle.
    Dictionary(Option<u64>),
    Border(Border),
}

struct Walk<'a> {
    reader: PairReader<'a>,
    contents: Contents<'a>,
    kinds: Interner<'a>,
    names: Interner<'a>,
    held: Option<Pair<'a>>,
    borders: Vec<Border>,
    /// Of each dictionary its owner.
    owners: BTreeMap<u64, u64>,
}

impl<'a> Walk<'a> {
    fn next(&mut self) -> Option<Pair<'a>> {
        self.held.take().or_else(|| self.reader.next())
    }

    /// The word of a pair with code 0.
    fn word(pair: &Pair<'a>) -> &'a [u8] {
        pair.value.bytes().trim_ascii()
    }

    fn sections(&mut self) {
        let mut ended = false;
        while let Some(pair) = self.next() {
            if pair.code != 0 {
                continue;
            }
            let word = Self::word(&pair);
            if word.eq_ignore_ascii_case(b"EOF") {
                ended = true;
                break;
            }
            if word.eq_ignore_ascii_case(b"SECTION") {
                self.section();
                if self.contents.cut.is_some() {
                    return;
                }
            }
        }
        self.contents.lacks_end = !ended;
    }

    fn section(&mut self) {
        let name = match self.next() {
            Some(pair) if pair.code == 2 => {
                String::from_utf8_lossy(Self::word(&pair)).to_ascii_uppercase()
            }
            other => {
                self.held = other;
                return;
            }
        };
        self.contents.sections.push(name.clone());
        let closed = match name.as_str() {
            "HEADER" => self.header(),
            "TABLES" => self.tables(),
            "BLOCKS" => self.blocks(),
            "ENTITIES" => {
                let first = self.contents.records.len();
                let closed = self.entities();
                let last = self.contents.records.len();
                self.contents.entities.push(first..last);
                closed
            }
            _ => self.other_section(),
        };
        if !closed {
            let line = if self.contents.layout.is_binary() {
                0
            } else {
                self.reader.line().saturating_sub(1)
            };
            self.contents.cut = Some(Cut {
                section: name,
                line,
            });
        }
    }

    /// True when this word ends a section; all but `ENDSEC` are held for whoever reads on.
    fn ends_section(&mut self, pair: &Pair<'a>) -> bool {
        let word = Self::word(pair);
        if word.eq_ignore_ascii_case(b"ENDSEC") {
            return true;
        }
        if word.eq_ignore_ascii_case(b"SECTION") || word.eq_ignore_ascii_case(b"EOF") {
            self.held = Some(*pair);
            return true;
        }
        false
    }

    /// Walks a section of which only the borders of insertions, the styles of multiple lines and the sheets are of interest.
    fn other_section(&mut self) -> bool {
        let mut object = Object::Other;
        // Handles in braces are of what follows an object, not of its owner.
        let mut is_reactor = false;
        while let Some(pair) = self.next() {
            if pair.code == 0 {
                self.keep_object(std::mem::take(&mut object));
                if self.ends_section(&pair) {
                    return true;
                }
                object = match Self::word(&pair).to_ascii_uppercase().as_slice() {
                    b"MLINESTYLE" => Object::LineStyle(String::new(), None),
                    b"LAYOUT" => Object::Layout(LayoutName::default(), false),
                    b"DICTIONARY" => Object::Dictionary(None),
                    b"SPATIAL_FILTER" => Object::Border(Border {
                        is_on: true,
                        ..Border::default()
                    }),
                    _ => Object::Other,
                };
                is_reactor = false;
                continue;
            }
            if pair.code == 102 {
                is_reactor = Self::word(&pair).starts_with(b"{");
                continue;
            }
            let owner = || parse_handle(pair.value.bytes()).filter(|_| !is_reactor);
            let text = || self.contents.letters.read(Self::word(&pair)).into_owned();
            match &mut object {
                Object::Other => {}
                Object::LineStyle(name, flags) => match pair.code {
                    2 if name.is_empty() => *name = text().to_uppercase(),
                    70 if flags.is_none() => *flags = pair.value.whole(),
                    _ => {}
                },
                // What stands before this mark says how the sheet is plotted.
                Object::Layout(layout, is_own) => match pair.code {
                    100 => *is_own = Self::word(&pair).eq_ignore_ascii_case(b"AcDbLayout"),
                    1 if *is_own => layout.name = text(),
                    71 if *is_own => layout.tab = pair.value.whole().unwrap_or(0),
                    330 if *is_own => layout.owner = parse_handle(pair.value.bytes()),
                    _ => {}
                },
                Object::Dictionary(handle) => match (pair.code, *handle) {
                    (5, None) => *handle = owner(),
                    (330, Some(handle)) => {
                        self.owners.extend(owner().map(|owner| (handle, owner)));
                    }
                    _ => {}
                },
                Object::Border(border) => {
                    let number = || pair.value.real().unwrap_or(0.0);
                    match pair.code {
                        330 => border.owner = owner().or(border.owner),
                        10 => border.corners.push([number(), 0.0]),
                        20 => {
                            if let Some(corner) = border.corners.last_mut() {
                                corner[1] = number();
                            }
                        }
                        40 => border.numbers.push(number()),
                        71 => border.is_on = pair.value.whole() != Some(0),
                        _ => {}
                    }
                }
            }
        }
        self.keep_object(object);
        false
    }

    fn keep_object(&mut self, object: Object) {
        match object {
            Object::Other | Object::Dictionary(_) => {}
            Object::Border(border) => self.borders.push(border),
            Object::LineStyle(name, flags) => {
                if let Some(flags) = flags {
                    self.contents.line_styles.insert(name, flags);
                }
            }
            Object::Layout(layout, _) => self.contents.layouts.push(layout),
        }
    }

    fn header(&mut self) -> bool {
        let mut variable = String::new();
        let mut closed = false;
        while let Some(pair) = self.next() {
            match pair.code {
                0 if self.ends_section(&pair) => {
                    closed = true;
                    break;
                }
                9 => variable = String::from_utf8_lossy(Self::word(&pair)).to_ascii_uppercase(),
                _ if variable.is_empty() => {}
                _ => {
                    let value = match pair.value.real() {
                        Some(number) if self.contents.layout.is_binary() => number.to_string(),
                        _ => String::from_utf8_lossy(Self::word(&pair)).into_owned(),
                    };
                    self.contents
                        .header
                        .insert(std::mem::take(&mut variable), value);
                }
            }
        }
        let of = |name: &str| self.contents.header.get(name).map_or("", String::as_str);
        let text = match self.contents.layout {
            Layout::Lines(_) => self.contents.bytes,
            Layout::BinaryWide | Layout::BinaryNarrow => &[],
        };
        self.contents.letters = Letters::of(of("$ACADVER"), of("$DWGCODEPAGE"), text);
        closed
    }

    fn tables(&mut self) -> bool {
        let mut layer: Option<LayerState> = None;
        let mut closed = false;
        while let Some(pair) = self.next() {
            if pair.code == 0 {
                self.keep_layer(layer.take());
                if self.ends_section(&pair) {
                    closed = true;
                    break;
                }
                if Self::word(&pair).eq_ignore_ascii_case(b"LAYER") {
                    layer = Some(LayerState::default());
                }
                continue;
            }
            let Some(state) = &mut layer else {
                continue;
            };
            let flags = || pair.value.whole().unwrap_or(0);
            match pair.code {
                2 => {
                    state.name = self
                        .contents
                        .letters
                        .read(pair.value.bytes().trim_ascii())
                        .into_owned();
                }
                6 => {
                    let line_type = self.contents.letters.read(pair.value.bytes().trim_ascii());
                    state.line_type = plain_line_type(&line_type);
                }
                5 => state.handle = parse_handle(pair.value.bytes()),
                62 => state.is_off = flags() < 0,
                70 => (state.is_frozen, state.is_locked) = (flags() & 1 != 0, flags() & 4 != 0),
                _ => {}
            }
        }
        closed
    }

    fn keep_layer(&mut self, layer: Option<LayerState>) {
        if let Some(state) = layer
            && !state.name.is_empty()
        {
            let key = state.name.to_uppercase();
            self.contents.layers.insert(key, state);
        }
    }

    fn blocks(&mut self) -> bool {
        let mut current: Option<Block> = None;
        while let Some(pair) = self.next() {
            if pair.code != 0 {
                continue;
            }
            if self.ends_section(&pair) {
                self.keep_block(current.take());
                return true;
            }
            let word = Self::word(&pair);
            if word.eq_ignore_ascii_case(b"BLOCK") {
                self.keep_block(current.take());
                current = Some(self.block_head());
            } else if word.eq_ignore_ascii_case(b"ENDBLK") {
                self.keep_block(current.take());
            } else {
                self.held = Some(pair);
                self.run_of_entities();
            }
        }
        false
    }

    fn keep_block(&mut self, block: Option<Block>) {
        let Some(mut block) = block else { return };
        block.records.end = self.contents.records.len();
        if !block.name.is_empty() {
            let key = block.name.to_uppercase();
            let index = self.contents.blocks.len();
            self.contents.block_by_name.insert(key, index);
        }
        self.contents.blocks.push(block);
    }

    fn block_head(&mut self) -> Block {
        let mut block = Block {
            records: self.contents.records.len()..0,
            ..Block::default()
        };
        let (mut flags, mut path) = (0, String::new());
        while let Some(pair) = self.next() {
            let text = || {
                self.contents
                    .letters
                    .read(pair.value.bytes().trim_ascii())
                    .into_owned()
            };
            match pair.code {
                0 => {
                    self.held = Some(pair);
                    break;
                }
                1 => path = text(),
                2 => block.name = text(),
                3 if block.name.is_empty() => block.name = text(),
                10 => block.base[0] = pair.value.real().unwrap_or(0.0),
                20 => block.base[1] = pair.value.real().unwrap_or(0.0),
                30 => block.base[2] = pair.value.real().unwrap_or(0.0),
                70 => flags = pair.value.whole().unwrap_or(0),
                330 => block.owner = parse_handle(pair.value.bytes()),
                _ => {}
            }
        }
        // 4: external reference, 8: overlaid one, 16: depends on one.
        if flags & 12 != 0 {
            let fallback = block.name.clone();
            block.reference = Some(if path.is_empty() { fallback } else { path });
        }
        block
    }

    fn entities(&mut self) -> bool {
        while let Some(pair) = self.next() {
            if pair.code != 0 {
                continue;
            }
            if self.ends_section(&pair) {
                return true;
            }
            let word = Self::word(&pair);
            let is_stray = [&b"BLOCK"[..], b"ENDBLK"]
                .iter()
                .any(|frame| word.eq_ignore_ascii_case(frame));
            if !is_stray {
                self.held = Some(pair);
                self.run_of_entities();
            }
        }
        false
    }

    /// Reads entities until a word that belongs to a section's or block's frame, which is held.
    fn run_of_entities(&mut self) {
        // The polyline or insertion whose parts may follow.
        let mut owner: Option<usize> = None;
        while let Some(pair) = self.next() {
            if pair.code != 0 {
                continue;
            }
            let word = Self::word(&pair);
            if [&b"ENDSEC"[..], b"SECTION", b"EOF", b"BLOCK", b"ENDBLK"]
                .iter()
                .any(|frame| word.eq_ignore_ascii_case(frame))
            {
                self.held = Some(pair);
                return;
            }
            let kind = self.kind_number(word);
            let index = self.contents.records.len();
            let mut record = Record {
                kind,
                bytes: pair.offset..pair.offset,
                line: pair.line,
                ..Record::default()
            };
            let lost_before = self.reader.lost;
            self.entity_body(&mut record);
            record.is_broken = self.reader.lost > lost_before;
            let name = self.contents.kind(&record);
            let is_end = name == "SEQEND";
            let owner_kind = owner
                .and_then(|owner| self.contents.records.get(owner))
                .map(|owner| self.contents.kind(owner));
            record.is_part = matches!(
                (owner_kind, name),
                (Some("POLYLINE"), "VERTEX" | "SEQEND") | (Some("INSERT"), "ATTRIB" | "SEQEND")
            );
            let opens = matches!(name, "POLYLINE" | "INSERT");
            let is_part = record.is_part;
            if is_part && let Some(owner) = owner.and_then(|at| self.contents.records.get_mut(at)) {
                owner.parts += 1;
                owner.is_broken |= record.is_broken;
                record.is_paper = owner.is_paper;
            }
            owner = if opens {
                Some(index)
            } else if is_part && !is_end {
                owner
            } else {
                None
            };
            self.contents.records.push(record);
        }
    }

    fn kind_number(&mut self, word: &'a [u8]) -> u32 {
        let next = self.contents.kinds.len();
        let (number, is_new) = self.kinds.number(word, next);
        if is_new {
            let kind = String::from_utf8_lossy(word).to_ascii_uppercase();
            self.contents.kinds.push(kind);
        }
        number
    }

    fn name_number(&mut self, word: &'a [u8]) -> u32 {
        let next = self.contents.names.len();
        let (number, is_new) = self.names.number(word, next);
        if is_new {
            let name = self.contents.letters.read(word).into_owned();
            self.contents.names.push(name);
        }
        number
    }

    /// Reads what all entities have, up to the next one.
    fn entity_body(&mut self, record: &mut Record) {
        // An embedded object (group 101) repeats codes with other meanings.
        let mut is_embedded = false;
        loop {
            record.bytes.end = self.reader.offset();
            let Some(pair) = self.next() else { return };
            match pair.code {
                0 => {
                    record.bytes.end = pair.offset;
                    self.held = Some(pair);
                    return;
                }
                101 => is_embedded = true,
                _ if is_embedded => {}
                5 => record.handle = parse_handle(pair.value.bytes()),
                6 => record.line_type = self.name_number(pair.value.bytes().trim_ascii()),
                8 => record.layer = self.name_number(pair.value.bytes().trim_ascii()),
                60 => record.is_invisible = pair.value.whole() == Some(1),
                67 => record.is_paper = pair.value.whole() == Some(1),
                _ => {}
            }
        }
    }
}

/// A handle in hexadecimal; `None` when it is none.
pub(in crate::drawing) fn parse_handle(bytes: &[u8]) -> Option<u64> {
    let text = std::str::from_utf8(bytes.trim_ascii()).ok()?;
    u64::from_str_radix(text, 16)
        .ok()
        .filter(|&handle| handle > 0)
}
