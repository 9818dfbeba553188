//! Insertions unfolded: each cell of a block, or of a drawing that is referred to, where it is placed.

use crate::drawing::blocks::flat::FlatPlacement;
use crate::drawing::blocks::unfold::{
    Around, DEEPEST, MOST_PLACEMENTS, Unfolding, layer_of, parts,
};
use crate::drawing::codes;
use crate::drawing::entities::affine::Affine;
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::shape::{Insertion, Shape, Space};
use crate::drawing::file::bound_names::without_reference;
use crate::drawing::file::contents::Record;
use crate::drawing::file::references::stem;
use crate::drawing::model::SourceIndex;
use crate::findings::Finding;
use std::ops::Range;

/// What is placed once.
struct Cell<'a> {
    records: Range<usize>,
    /// Path of the drawing it stands for, where it is a reference.
    reference: Option<&'a str>,
    source: SourceIndex,
    attributes: &'a [(String, String)],
    parent: Option<usize>,
    base: Space,
}

impl Unfolding<'_> {
    /// Every block on the way from a block to its own copy, outermost first.
    fn way_round(&self, around: &Around, block_index: usize) -> String {
        let open = around.open.iter();
        let from = open.skip_while(|it| **it != (self.part, block_index));
        let names = from
            .map(|it| it.1)
            .chain([block_index])
            .filter_map(|at| self.contents.blocks.get(at));
        let names: Vec<String> = names.map(|it| format!("'{}'", it.name)).collect();
        names.join(" holds ")
    }

    pub(super) fn insertion(
        &mut self,
        index: usize,
        record: &Record,
        insertion: &Insertion,
        around: &Around,
    ) {
        let contents = self.contents;
        let block_index = contents
            .block_by_name
            .get(&insertion.name.to_uppercase())
            .copied();
        let Some((block_index, block)) =
            block_index.and_then(|at| Some((at, contents.blocks.get(at)?)))
        else {
            self.tally()
                .idle
                .insert(index, "its block is not in the file");
            if self.missing.insert(insertion.name.clone()) {
                self.flat.findings.push(Finding::doubt(
                    codes::MISSING_BLOCK,
                    self.place_of(record),
                    format!(
                        "the block '{}' is placed but not in the file",
                        insertion.name
                    ),
                    "save the drawing again with all its blocks, or bind its external references",
                ));
            }
            return;
        };
        if around.open.contains(&(self.part, block_index)) || around.open.len() >= DEEPEST {
            let (message, hint) = if around.open.contains(&(self.part, block_index)) {
                (
                    format!(
                        "the block '{}' contains itself: {}",
                        insertion.name,
                        self.way_round(around, block_index)
                    ),
                    "its inner copy was left out; redefine the block without it",
                )
            } else {
                (
                    format!(
                        "the block '{}' is nested more than {DEEPEST} deep",
                        insertion.name
                    ),
                    "it was left out; explode some of the blocks around it",
                )
            };
            if self.missing.insert(message.clone()) {
                self.flat.findings.push(Finding::doubt(
                    codes::NESTED_BLOCK,
                    self.place_of(record),
                    message,
                    hint,
                ));
            }
            self.tally()
                .idle
                .insert(index, "a block inside itself or nested too deep");
            return;
        }
        if self.is_bomb(record, insertion, block_index) {
            self.tally()
                .idle
                .insert(index, "its block unfolds to too many");
            return;
        }
        self.tally().placed.insert(block_index);
        let source = self.source(record, around);
        let (outer_layer, is_hidden) = self.layer_around(record, around);
        let mut inner = around.clone();
        inner.handles = format!("{}{}/", around.handles, contents.handle(record));
        inner.blocks.push(without_reference(&block.name).to_owned());
        inner.open.push((self.part, block_index));
        inner.layer = Some(outer_layer);
        inner.line_type = self
            .flat
            .sources
            .get(source.0 as usize)
            .map(|own| own.line_type.clone())
            .unwrap_or_default();
        inner.is_hidden = is_hidden;
        let attributes = self.attributes(index, record);
        let first_placement = self.flat.placements.len();
        let base = around
            .place
            .after(&Affine::object(insertion.normal))
            .after(&Affine::moved(insertion.at))
            .after(&Affine::turned(insertion.angle));
        for row in 0..insertion.count[1] {
            for column in 0..insertion.count[0] {
                if self.flat.placements.len() >= MOST_PLACEMENTS {
                    self.fill_up(self.place_of(record), &insertion.name);
                }
                if self.is_full {
                    return;
                }
                let offset = [
                    f64::from(column) * insertion.spacing[0],
                    f64::from(row) * insertion.spacing[1],
                    0.0,
                ];
                inner.place = base
                    .after(&Affine::moved(offset))
                    .after(&Affine::scaled(insertion.scale))
                    .after(&Affine::moved(block.base.map(|part| -part)));
                if !inner.place.is_sane() {
                    self.tally().idle.insert(index, "placed beyond any drawing");
                    return;
                }
                inner.clips.clone_from(&around.clips);
                let border = record.handle.and_then(|it| contents.clips.get(&it));
                let clip = border.and_then(|border| border.placed(&inner.place));
                inner.clips.extend(clip);
                let cell = Cell {
                    records: block.records.clone(),
                    reference: block.reference.as_deref(),
                    source,
                    attributes: &attributes,
                    parent: around.placement,
                    base: block.base,
                };
                self.cell(&mut inner, &cell);
            }
        }
        self.attribute_texts(index, record, around, first_placement);
    }

    /// Model space of a referred drawing, where it was handed in.
    fn referred(&mut self, path: &str, inner: &mut Around) {
        let wanted = stem(path);
        let parts = self.parts;
        let found = parts
            .iter()
            .enumerate()
            .skip(1)
            .find(|(_, part)| stem(part.name) == wanted);
        let Some((number, part)) = found else { return };
        if inner.files.contains(&number) {
            return;
        }
        let before = (self.part, self.contents, self.readings);
        (self.part, self.contents, self.readings) = (number, part.contents, &part.readings);
        let mut around = inner.clone();
        around.files.push(number);
        around.prefix = format!("{}|", inner.blocks.last().map_or("", String::as_str));
        for range in part.contents.model_space() {
            self.records(range, &around);
        }
        (self.part, self.contents, self.readings) = before;
    }

    /// One placed cell and everything in it.
    fn cell(&mut self, inner: &mut Around, cell: &Cell<'_>) {
        let x = inner.place.flat_direction([1.0, 0.0, 0.0]);
        let y = inner.place.flat_direction([0.0, 1.0, 0.0]);
        let turn = x.x * y.y - x.y * y.x;
        let number = self.flat.placements.len();
        let first = self.flat.curves.len();
        self.flat.placements.push(FlatPlacement {
            name: inner.blocks.last().cloned().unwrap_or_default(),
            at: inner.place.flat(cell.base),
            angle: x.y.atan2(x.x),
            scale: [
                x.x.hypot(x.y),
                y.x.hypot(y.y) * if turn < 0.0 { -1.0 } else { 1.0 },
            ],
            parent: cell.parent,
            attributes: cell.attributes.to_vec(),
            source: cell.source,
            curves: first..first,
        });
        inner.placement = Some(number);
        match cell.reference {
            Some(path) => self.referred(path, inner),
            None => self.records(cell.records.clone(), inner),
        }
        let last = self.flat.curves.len();
        if let Some(placement) = self.flat.placements.get_mut(number) {
            placement.curves = first..last;
        }
    }

    /// The layer that entities of layer 0 take inside an insertion, and whether all of it is hidden: a frozen insertion
    /// hides what is in it, one on a layer that is off only what takes its layer.
    fn layer_around(&self, record: &Record, around: &Around) -> (String, bool) {
        let layer = layer_of(self.contents, record, around);
        let is_frozen = self
            .layer_state(&layer, around)
            .is_some_and(|state| state.is_frozen);
        (
            layer.into_owned(),
            around.is_hidden || record.is_invisible || is_frozen,
        )
    }

    fn attributes(&self, index: usize, record: &Record) -> Vec<(String, String)> {
        parts(index, record)
            .filter_map(|part| match self.readings.get(part) {
                Some(Some(Reading::Shape(Shape::Text(text)))) => {
                    Some((text.tag.clone().unwrap_or_default(), text.lines.join(" ")))
                }
                _ => None,
            })
            .collect()
    }

    fn attribute_texts(
        &mut self,
        index: usize,
        record: &Record,
        around: &Around,
        placement: usize,
    ) {
        let readings = self.readings;
        let contents = self.contents;
        let own = Around {
            placement: Some(placement),
            ..around.clone()
        };
        for part in parts(index, record) {
            if let (Some(Some(Reading::Shape(Shape::Text(text)))), Some(part)) =
                (readings.get(part), contents.records.get(part))
            {
                self.text(part, text, &own);
            }
        }
    }
}
