//! Blocks unfolded: from entities and insertions to flat curves, texts and areas, still in the file's units.

use super::affine::Affine;
use super::codes;
use super::contents::{Contents, Record, plain_line_type};
use super::curves::{FlatCurve, flat_ellipse};
use super::flat::{Flat, FlatArea, FlatDimension, FlatPlacement, FlatStroke};
use super::lettering::flat_texts;
use super::model::{FillKind, Source, SourceIndex};
use super::ordinary::Reading;
use super::pieces::{Pieces, flat_edge, flat_spline, ring_of};
use super::shape::{Insertion, Shape, Space, TextShape};
use crate::findings::{Finding, Place};
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// Insertions nested deeper than this are not followed: no plan is drawn so, and hostile files are.
const DEEPEST: usize = 32;

/// Placed blocks, all cells of arrays counted; a large sheet has a few thousand.
const MOST_PLACEMENTS: usize = 200_000;

/// Curves, texts and areas; a very large sheet has half a million.
const MOST_ITEMS: usize = 8_000_000;

/// What holds for everything inside an insertion.
#[derive(Clone)]
struct Around {
    place: Affine,
    /// Handles of the insertions, each followed by a stroke.
    handles: String,
    blocks: Vec<String>,
    /// Definitions being unfolded, to notice a block inside itself.
    open: Vec<usize>,
    layer: Option<String>,
    /// The insertion's line type, which entities may ask for.
    line_type: String,
    is_hidden: bool,
    placement: Option<usize>,
}

/// Unfolds model space.
pub(super) fn unfold(
    contents: &Contents<'_>,
    readings: &[Option<Reading>],
    file: &str,
    model: &[Range<usize>],
) -> Flat {
    let mut unfolding = Unfolding {
        contents,
        readings,
        file,
        flat: Flat::default(),
        is_full: false,
        missing: BTreeSet::new(),
        layer_numbers: BTreeMap::new(),
    };
    let around = Around {
        place: Affine::IDENTITY,
        handles: String::new(),
        blocks: Vec::new(),
        open: Vec::new(),
        layer: None,
        line_type: String::new(),
        is_hidden: false,
        placement: None,
    };
    for range in model {
        unfolding.records(range.clone(), &around);
    }
    unfolding.flat
}

struct Unfolding<'a> {
    contents: &'a Contents<'a>,
    readings: &'a [Option<Reading>],
    file: &'a str,
    flat: Flat,
    is_full: bool,
    missing: BTreeSet<String>,
    layer_numbers: BTreeMap<String, usize>,
}

impl Unfolding<'_> {
    fn records(&mut self, range: Range<usize>, around: &Around) {
        for index in range {
            if self.is_full {
                return;
            }
            let contents = self.contents;
            let Some(record) = contents.records.get(index) else {
                return;
            };
            if record.is_part || record.is_paper {
                continue;
            }
            let readings = self.readings;
            if let Some(Some(Reading::Shape(shape))) = readings.get(index) {
                self.shape(index, record, shape, around);
            }
        }
    }

    /// Registers where something comes from.
    fn source(&mut self, record: &Record, around: &Around) -> SourceIndex {
        let contents = self.contents;
        let layer = layer_of(contents, record, around);
        let state = contents.layer(layer);
        let own_type = contents.name(record.line_type);
        let line_type = if own_type.is_empty() || own_type.eq_ignore_ascii_case("BYLAYER") {
            state.map_or_else(String::new, |state| state.line_type.clone())
        } else if own_type.eq_ignore_ascii_case("BYBLOCK") {
            around.line_type.clone()
        } else {
            plain_line_type(own_type)
        };
        let is_hidden = around.is_hidden
            || record.is_invisible
            || state.is_some_and(|state| state.is_off || state.is_frozen);
        let mut handle = around.handles.clone();
        handle.push_str(&contents.handle(record));
        let index = u32::try_from(self.flat.sources.len()).unwrap_or(u32::MAX);
        let number = match self.layer_numbers.get(layer) {
            Some(number) => *number,
            None => {
                let number = self.flat.layer_names.len();
                self.flat.layer_names.push(layer.to_owned());
                self.layer_numbers.insert(layer.to_owned(), number);
                number
            }
        };
        self.flat.source_layers.push(number);
        self.flat.sources.push(Source {
            handle,
            kind: contents.kind(record).to_owned(),
            layer: without_reference(layer).to_owned(),
            blocks: around.blocks.clone(),
            line_type,
            line: record.line,
            is_hidden,
        });
        SourceIndex(index)
    }

    fn shape(&mut self, index: usize, record: &Record, shape: &Shape, around: &Around) {
        let place = &around.place;
        let mut pieces = Pieces::default();
        match shape {
            Shape::Insert(insertion) => {
                self.insertion(index, record, insertion, around);
                return;
            }
            Shape::Text(text) => {
                self.text(record, text, around);
                return;
            }
            Shape::Line { start, end } => pieces.line(place, *start, *end, false),
            Shape::Lines { lines, are_faces } => {
                for (start, end) in lines {
                    pieces.line(place, *start, *end, *are_faces);
                }
            }
            Shape::Arc {
                centre,
                radius,
                start,
                sweep,
                normal,
            } => {
                let place = place.after(&Affine::object(*normal));
                pieces.arc(&place, *centre, *radius, (*start, *sweep), false);
            }
            Shape::Ellipse {
                centre,
                major,
                minor,
                start,
                sweep,
            } => pieces.extend(
                flat_ellipse(
                    place.flat(*centre),
                    place.flat_direction(*major),
                    place.flat_direction(*minor),
                    *start,
                    *sweep,
                ),
                false,
            ),
            Shape::Polyline {
                vertices,
                is_closed,
                normal,
            } => pieces.polyline(&place.after(&Affine::object(*normal)), vertices, *is_closed),
            Shape::Spline(nurbs) => pieces.extend(Some(flat_spline(place, nurbs)), false),
            Shape::Corners { corners, normal } => {
                let place = place.after(&Affine::object(*normal));
                let is_trace = self.contents.kind(record) == "TRACE";
                let ring = ring_of(corners, &place);
                if is_trace {
                    pieces
                        .list
                        .extend(ring.iter().map(|curve| (curve.clone(), true)));
                }
                let source = self.source(record, around);
                self.flat.areas.push(FlatArea {
                    rings: vec![ring],
                    pattern: "SOLID".to_owned(),
                    kind: FillKind::Solid,
                    source,
                });
                self.add_pieces(pieces, source);
                return;
            }
            Shape::Area(area) => {
                let place = place.after(&Affine::object(area.normal));
                let rings: Vec<Vec<FlatCurve>> = area
                    .rings
                    .iter()
                    .map(|ring| {
                        ring.iter()
                            .filter_map(|edge| flat_edge(&place, edge))
                            .collect()
                    })
                    .collect();
                let source = self.source(record, around);
                self.flat.areas.push(FlatArea {
                    rings,
                    pattern: area.pattern.clone(),
                    kind: if area.is_wipeout {
                        FillKind::Wipeout
                    } else {
                        FillKind::Hatch
                    },
                    source,
                });
                return;
            }
            Shape::Dimension(dimension) => {
                let shown_text = self.shown_text(&dimension.picture);
                self.flat.pictures.insert(dimension.picture.to_uppercase());
                let source = self.source(record, around);
                self.flat.dimensions.push(FlatDimension {
                    from: place.flat(dimension.from),
                    to: place.flat(dimension.to),
                    along: dimension.along.map(|along| place.flat_direction(along)),
                    stated: dimension.stated,
                    override_text: dimension.override_text.clone(),
                    shown_text,
                    text_at: place.flat(dimension.text_at),
                    source,
                });
                return;
            }
        }
        if pieces.list.is_empty() {
            self.flat.idle.insert(index, "without any length");
            return;
        }
        let source = self.source(record, around);
        self.add_pieces(pieces, source);
    }

    fn add_pieces(&mut self, pieces: Pieces, source: SourceIndex) {
        for (part, (curve, is_face)) in pieces.list.into_iter().enumerate() {
            self.flat.curves.push(FlatStroke {
                curve,
                source,
                part: u32::try_from(part).unwrap_or(u32::MAX),
                is_face,
            });
        }
        if self.flat.curves.len() > MOST_ITEMS {
            self.fill_up();
        }
    }

    /// Stops the unfolding, once.
    fn fill_up(&mut self) {
        if self.is_full {
            return;
        }
        self.is_full = true;
        self.flat.findings.push(Finding::fault(
            codes::TOO_MUCH,
            Place::file(self.file),
            format!(
                "blocks unfold to more than {MOST_PLACEMENTS} insertions or {MOST_ITEMS} lines; the rest was left out"
            ),
            "look for a block nested in itself many times over, purge it, and save the drawing again",
        ));
    }

    fn text(&mut self, record: &Record, text: &TextShape, around: &Around) {
        let place = around
            .place
            .after(&if record_is_world(self.contents.kind(record)) {
                Affine::IDENTITY
            } else {
                Affine::object(text.normal)
            });
        if text.lines.iter().all(String::is_empty) {
            return;
        }
        let source = self.source(record, around);
        self.flat
            .texts
            .extend(flat_texts(text, &place, around.placement, source));
    }

    fn insertion(&mut self, index: usize, record: &Record, insertion: &Insertion, around: &Around) {
        let contents = self.contents;
        let block_index = contents
            .block_by_name
            .get(&insertion.name.to_uppercase())
            .copied();
        let Some((block_index, block)) =
            block_index.and_then(|at| Some((at, contents.blocks.get(at)?)))
        else {
            self.flat.idle.insert(index, "its block is not in the file");
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
        if around.open.contains(&block_index) || around.open.len() >= DEEPEST {
            let (message, hint) = if around.open.contains(&block_index) {
                (
                    format!("the block '{}' contains itself", insertion.name),
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
            self.flat
                .idle
                .insert(index, "a block inside itself or nested too deep");
            return;
        }
        self.flat.placed.insert(block_index);
        let source = self.source(record, around);
        let (outer_layer, is_hidden) = self.layer_around(record, around);
        let mut inner = around.clone();
        inner.handles = format!("{}{}/", around.handles, contents.handle(record));
        inner.blocks.push(without_reference(&block.name).to_owned());
        inner.open.push(block_index);
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
                    self.fill_up();
                }
                if self.is_full {
                    return;
                }
                let cell = [
                    f64::from(column) * insertion.spacing[0],
                    f64::from(row) * insertion.spacing[1],
                    0.0,
                ];
                inner.place = base
                    .after(&Affine::moved(cell))
                    .after(&Affine::scaled(insertion.scale))
                    .after(&Affine::moved(block.base.map(|part| -part)));
                if !inner.place.is_sane() {
                    self.flat.idle.insert(index, "placed beyond any drawing");
                    return;
                }
                self.cell(
                    &mut inner,
                    block.records.clone(),
                    source,
                    &attributes,
                    around,
                    block.base,
                );
            }
        }
        self.attribute_texts(index, record, around, first_placement);
    }

    /// One placed cell and everything in it.
    fn cell(
        &mut self,
        inner: &mut Around,
        records: Range<usize>,
        source: SourceIndex,
        attributes: &[(String, String)],
        around: &Around,
        base: Space,
    ) {
        let x = inner.place.flat_direction([1.0, 0.0, 0.0]);
        let y = inner.place.flat_direction([0.0, 1.0, 0.0]);
        let turn = x.x * y.y - x.y * y.x;
        let number = self.flat.placements.len();
        let first = self.flat.curves.len();
        self.flat.placements.push(FlatPlacement {
            name: inner.blocks.last().cloned().unwrap_or_default(),
            at: inner.place.flat(base),
            angle: x.y.atan2(x.x),
            scale: [
                x.x.hypot(x.y),
                y.x.hypot(y.y) * if turn < 0.0 { -1.0 } else { 1.0 },
            ],
            parent: around.placement,
            attributes: attributes.to_vec(),
            source,
            curves: first..first,
        });
        inner.placement = Some(number);
        self.records(records, inner);
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
            .contents
            .layer(layer)
            .is_some_and(|state| state.is_frozen);
        (
            layer.to_owned(),
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

    /// The text in the picture of a dimension.
    fn shown_text(&self, picture: &str) -> String {
        let contents = self.contents;
        let block = contents
            .block_by_name
            .get(&picture.to_uppercase())
            .and_then(|at| contents.blocks.get(*at));
        let Some(block) = block else {
            return String::new();
        };
        block
            .records
            .clone()
            .find_map(|index| match self.readings.get(index) {
                Some(Some(Reading::Shape(Shape::Text(text)))) => {
                    Some(text.lines.join(" ")).filter(|text| !text.is_empty())
                }
                _ => None,
            })
            .unwrap_or_default()
    }

    fn place_of(&self, record: &Record) -> Place {
        place_of(self.contents, record, self.file)
    }
}

/// The layer an entity lies on: inside an insertion, layer 0 stands for the insertion's own.
fn layer_of<'a>(contents: &'a Contents<'_>, record: &Record, around: &'a Around) -> &'a str {
    match (&around.layer, contents.name(record.layer)) {
        (Some(outer), "" | "0") => outer,
        (None, "") => "0",
        (_, own) => own,
    }
}

/// The records of an entity's vertices or attributes.
fn parts(index: usize, record: &Record) -> Range<usize> {
    index + 1..index + 1 + record.parts as usize
}

/// True for texts whose points are in world coordinates whatever their extrusion.
fn record_is_world(kind: &str) -> bool {
    kind == "MTEXT"
}

/// Where an entity stands, for a finding.
pub(super) fn place_of(contents: &Contents<'_>, record: &Record, file: &str) -> Place {
    Place {
        file: Some(file.to_owned()),
        line: (record.line > 0).then_some(record.line),
        layer: Some(contents.name(record.layer).to_owned()).filter(|name| !name.is_empty()),
        ..Place::default()
    }
    .with_sources([contents.handle(record)])
}

/// A layer or block name without the name of the drawing it was bound from: `site$0$A-WALL`, `site|A-WALL`.
pub(super) fn without_reference(name: &str) -> &str {
    let name = name.rsplit_once('|').map_or(name, |(_, own)| own);
    let mut rest = name;
    while let Some((before, after)) = rest.split_once('$') {
        let digits = after.bytes().take_while(u8::is_ascii_digit).count();
        match after.get(digits..).and_then(|tail| tail.strip_prefix('$')) {
            Some(own) if digits > 0 && !own.is_empty() && !before.is_empty() => rest = own,
            _ => break,
        }
    }
    rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_lose_the_drawing_they_were_bound_from() {
        for (name, own) in [
            ("xref-1$0$A-WALL", "A-WALL"),
            ("a$0$b$1$A-WALL", "A-WALL"),
            ("site|A-WALL", "A-WALL"),
            ("A-WALL", "A-WALL"),
            ("COST$", "COST$"),
            ("$0$A", "$0$A"),
            ("a$x$B", "a$x$B"),
        ] {
            assert_eq!(without_reference(name), own, "{name}");
        }
    }
}
