//! Blocks unfolded: from entities and insertions to flat curves, texts and areas, still in the file's units.

use crate::drawing::blocks::clips::Clip;
use crate::drawing::blocks::flat::{Flat, FlatArea, FlatDimension, FlatStroke, Tally};
use crate::drawing::blocks::pieces::{Pieces, flat_edge, flat_spline, ring_of};
use crate::drawing::codes;
use crate::drawing::entities::affine::Affine;
use crate::drawing::entities::curves::{FlatCurve, flat_ellipse};
use crate::drawing::entities::lettering::flat_texts;
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::shape::{Shape, TextShape};
use crate::drawing::file::bound_names::without_reference;
use crate::drawing::file::contents::{Contents, LayerState, Record, plain_line_type};
use crate::drawing::file::references::Part;
use crate::drawing::model::{FillKind, Source, SourceIndex};
use crate::drawing::sheets::sheet::{self, Sheet};
use crate::drawing::sheets::stacked::{self, Storey};
use crate::drawing::sheets::titles;
use crate::findings::{Finding, Place};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

/// Insertions nested deeper than this are not followed: no plan is drawn so, and hostile files are.
pub(in crate::drawing) const DEEPEST: usize = 32;

/// Placed blocks, all cells of arrays counted; a large sheet has a few thousand.
pub(in crate::drawing) const MOST_PLACEMENTS: usize = 200_000;

/// Curves, texts and areas; a very large sheet has half a million.
const MOST_ITEMS: usize = 8_000_000;

/// What holds for everything inside an insertion.
#[derive(Clone)]
pub(in crate::drawing) struct Around {
    pub(in crate::drawing) place: Affine,
    /// Handles of the insertions, each followed by a stroke.
    pub(in crate::drawing) handles: String,
    pub(in crate::drawing) blocks: Vec<String>,
    /// Definitions being unfolded, to notice a block inside itself.
    pub(in crate::drawing) open: Vec<(usize, usize)>,
    pub(in crate::drawing) layer: Option<String>,
    /// The insertion's line type, which entities may ask for.
    pub(in crate::drawing) line_type: String,
    pub(in crate::drawing) is_hidden: bool,
    pub(in crate::drawing) placement: Option<usize>,
    /// Inside a referred drawing: its block's name and a bar, which layers of it have before their own name.
    pub(in crate::drawing) prefix: String,
    /// Files being unfolded, to notice a drawing that refers to itself.
    pub(in crate::drawing) files: Vec<usize>,
    /// What the insertions around show of their blocks.
    pub(in crate::drawing) clips: Vec<Clip>,
}

/// Unfolds model space, or the sheets where nothing is drawn there.
///
/// - `parts`: the drawing itself first, then the drawings it refers to.
/// - `apart`: storeys that seem to lie over each other are read side by side.
pub(in crate::drawing) fn unfold(parts: &[Part<'_>], file: &str, apart: bool) -> Flat {
    let Some(first) = parts.first() else {
        return Flat::default();
    };
    let mut unfolding = Unfolding::new(parts, first, file);
    match sheet::instead_of_model(first.contents) {
        None => unfolding.model(first, apart),
        Some((sheets, scrap)) => {
            unfolding.on_sheet = true;
            let mut end = f64::NEG_INFINITY;
            for sheet in &sheets {
                // Sheets lie over each other, each at its own origin: they are set side by side.
                let mut around = Around::outside();
                let mut alone = Unfolding::new(parts, first, file);
                alone.sheet(sheet, &around);
                let Some((low, high)) = alone.flat.span() else {
                    continue;
                };
                let shift = if low < end {
                    end + (high - low) / SHEETS_APART - low
                } else {
                    0.0
                };
                around.place = Affine::moved([shift, 0.0, 0.0]);
                end = high + shift;
                unfolding.sheet(sheet, &around);
            }
            unfolding.flat.sheets = sheets;
            unfolding.flat.scrap = scrap;
        }
    }
    unfolding.flat
}

/// Sheets are set so far apart that no view of one hangs together with one of the next: their width through this.
pub(in crate::drawing) const SHEETS_APART: f64 = 4.0;

impl Around {
    /// What holds for things that are in no insertion.
    pub(in crate::drawing) fn outside() -> Self {
        Self {
            place: Affine::IDENTITY,
            handles: String::new(),
            blocks: Vec::new(),
            open: Vec::new(),
            layer: None,
            line_type: String::new(),
            is_hidden: false,
            placement: None,
            prefix: String::new(),
            files: vec![0],
            clips: Vec::new(),
        }
    }
}

pub(in crate::drawing) struct Unfolding<'a> {
    pub(in crate::drawing) parts: &'a [Part<'a>],
    /// Which of the parts is being unfolded; `contents` and `readings` are its own.
    pub(in crate::drawing) part: usize,
    pub(in crate::drawing) contents: &'a Contents<'a>,
    pub(in crate::drawing) readings: &'a [Option<Reading>],
    pub(in crate::drawing) file: &'a str,
    pub(in crate::drawing) flat: Flat,
    pub(in crate::drawing) is_full: bool,
    /// True while a sheet in paper space is unfolded.
    on_sheet: bool,
    /// Layers that the storey being unfolded does not show, upper case.
    shut: BTreeSet<String>,
    pub(in crate::drawing) missing: BTreeSet<String>,
    /// Of each part, what its blocks unfold to, once asked for.
    pub(in crate::drawing) sizes: BTreeMap<usize, Vec<f64>>,
    layer_numbers: BTreeMap<String, usize>,
    /// The state that the drawing itself gives each of them.
    host_layers: Vec<Option<&'a LayerState>>,
}

impl<'a> Unfolding<'a> {
    fn new(parts: &'a [Part<'a>], first: &'a Part<'a>, file: &'a str) -> Self {
        Self {
            parts,
            part: 0,
            contents: first.contents,
            readings: &first.readings,
            file,
            flat: Flat {
                tallies: parts.iter().map(|_| Tally::default()).collect(),
                ..Flat::default()
            },
            is_full: false,
            on_sheet: false,
            shut: BTreeSet::new(),
            missing: BTreeSet::new(),
            sizes: BTreeMap::new(),
            layer_numbers: BTreeMap::new(),
            host_layers: Vec::new(),
        }
    }

    /// Unfolds the model: once, or once for each of the storeys that lie over each other in it, side by side.
    fn model(&mut self, first: &'a Part<'a>, apart: bool) {
        let storeys = titles::storeys_over_each_other(self.contents, self.readings);
        if storeys.is_empty() {
            let alone = |storey: &Storey| {
                let mut alone = Unfolding::new(self.parts, first, self.file);
                alone.several(&storey.records, &Around::outside());
                alone.flat.extent()
            };
            let stack = stacked::stack(self.contents, self.readings, alone);
            match stack {
                Some(stack) if apart => self.stack(stack),
                other => {
                    for range in self.contents.model_space() {
                        self.records(range, &Around::outside());
                    }
                    self.flat.stacked = other.map(|it| it.by);
                }
            }
            titles::from_sheets(self);
            return;
        }
        self.flat.overlaid_by = "the layers that their windows freeze";
        let mut around = Around::outside();
        let mut shift = 0.0;
        for it in storeys {
            self.shut = it.shut;
            around.place = Affine::moved([shift, 0.0, 0.0]);
            for range in self.contents.model_space() {
                self.records(range, &around);
            }
            if shift == 0.0 {
                let (low, high) = self.flat.span().unwrap_or((0.0, 0.0));
                self.flat.storey_step = (high - low) * (1.0 + 1.0 / SHEETS_APART);
            }
            let reading = self.readings.get(it.title);
            if let (Some(Some(Reading::Shape(Shape::Text(text)))), Some(record)) =
                (reading, self.contents.records.get(it.title))
            {
                around.place = around.place.after(&it.onto);
                self.text(record, text, &around);
            }
            shift += self.flat.storey_step;
            self.flat.overlaid.push(it.name);
        }
    }

    /// Unfolds a sheet.
    fn sheet(&mut self, sheet: &Sheet, around: &Around) {
        self.on_sheet = true;
        for range in &sheet.records {
            self.records(range.clone(), around);
        }
    }

    pub(in crate::drawing) fn records(&mut self, range: Range<usize>, around: &Around) {
        for index in range {
            if self.is_full {
                return;
            }
            let contents = self.contents;
            let Some(record) = contents.records.get(index) else {
                return;
            };
            if record.is_part || record.is_paper && !self.on_sheet {
                continue;
            }
            let readings = self.readings;
            if let Some(Some(Reading::Shape(shape))) = readings.get(index) {
                self.shape(index, record, shape, around);
            }
        }
    }

    /// Registers where something comes from.
    pub(in crate::drawing) fn source(&mut self, record: &Record, around: &Around) -> SourceIndex {
        let contents = self.contents;
        let layer = layer_of(contents, record, around);
        let layer = layer.as_ref();
        let number = match self.layer_numbers.get(layer) {
            Some(number) => *number,
            None => {
                let number = self.flat.layer_names.len();
                self.flat.layer_names.push(layer.to_owned());
                self.layer_numbers.insert(layer.to_owned(), number);
                let host = self.parts.first().and_then(|it| it.contents.layer(layer));
                self.host_layers.push(host);
                number
            }
        };
        let host = self.host_layers.get(number).copied().flatten();
        let state = host.or_else(|| self.own_layer_state(layer, around));
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
            || !self.shut.is_empty() && self.shut.contains(&layer.to_uppercase())
            || state.is_some_and(|state| state.is_off || state.is_frozen);
        let handle = contents.handle_after(&around.handles, record);
        let index = u32::try_from(self.flat.sources.len()).unwrap_or(u32::MAX);
        self.flat.source_layers.push(number);
        self.flat.sources.push(Source {
            handle,
            kind: contents.kind(record).to_owned(),
            layer: without_reference(layer).to_owned(),
            blocks: around.blocks.clone(),
            line_type,
            // Lines are those of the file that was given.
            line: if self.part == 0 { record.line } else { 0 },
            is_hidden,
        });
        SourceIndex(index)
    }

    pub(in crate::drawing) fn shape(
        &mut self,
        index: usize,
        record: &Record,
        shape: &Shape,
        around: &Around,
    ) {
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
            Shape::Several(shapes) => {
                for shape in shapes {
                    self.shape(index, record, shape, around);
                }
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
                let rings = self.shown_rings(around, vec![ring]);
                if rings.is_empty() && !around.clips.is_empty() {
                    return;
                }
                let source = self.source(record, around);
                self.flat.areas.push(FlatArea {
                    rings,
                    pattern: "SOLID".to_owned(),
                    kind: FillKind::Solid,
                    source,
                });
                self.add_pieces(record, pieces, source, around);
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
                let rings = self.shown_rings(around, rings);
                if rings.is_empty() && !around.clips.is_empty() {
                    return;
                }
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
                self.tally()
                    .pictures
                    .insert(dimension.picture.to_uppercase());
                if self.is_clipped(around, Some(place.flat(dimension.text_at))) {
                    return;
                }
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
            self.tally().idle.insert(index, "without any length");
            return;
        }
        let source = self.source(record, around);
        self.add_pieces(record, pieces, source, around);
    }

    fn add_pieces(
        &mut self,
        record: &Record,
        mut pieces: Pieces,
        source: SourceIndex,
        around: &Around,
    ) {
        for clip in &around.clips {
            let all = std::mem::take(&mut pieces.list);
            for (curve, is_face) in all {
                let shown = clip.cut(&curve);
                self.flat.n_clipped += usize::from(shown != [curve]);
                let shown = shown.into_iter().map(|it| (it, is_face));
                pieces.list.extend(shown);
            }
        }
        for (part, (curve, is_face)) in pieces.list.into_iter().enumerate() {
            self.flat.curves.push(FlatStroke {
                curve,
                source,
                part: u32::try_from(part).unwrap_or(u32::MAX),
                is_face,
            });
        }
        if self.flat.curves.len() > MOST_ITEMS {
            let name = around.blocks.last().map_or("", String::as_str);
            self.fill_up(self.place_of(record), name);
        }
    }

    /// Stops the unfolding, once, in a block.
    pub(in crate::drawing) fn fill_up(&mut self, place: Place, name: &str) {
        if self.is_full {
            return;
        }
        self.is_full = true;
        self.flat.findings.push(Finding::fault(
            codes::TOO_MUCH,
            place,
            format!(
                "blocks unfold to more than {MOST_PLACEMENTS} insertions or {MOST_ITEMS} lines: at the block '{name}' it is too many, \
                 and the rest was left out"
            ),
            "look for a block nested in itself many times over, purge it, and save the drawing again",
        ));
    }

    pub(in crate::drawing) fn text(&mut self, record: &Record, text: &TextShape, around: &Around) {
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
        if self.is_clipped(around, Some(place.flat(text.at))) {
            return;
        }
        let source = self.source(record, around);
        if text.is_hidden
            && let Some(source) = self.flat.sources.get_mut(source.0 as usize)
        {
            source.is_hidden = true;
        }
        self.flat
            .texts
            .extend(flat_texts(text, &place, around.placement, source));
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

    pub(in crate::drawing) fn place_of(&self, record: &Record) -> Place {
        let name = self.parts.get(self.part).map_or(self.file, |it| it.name);
        place_of(self.contents, record, name)
    }

    /// What is counted of the file being unfolded.
    pub(in crate::drawing) fn tally(&mut self) -> &mut Tally {
        if self.flat.tallies.len() <= self.part {
            self.flat.tallies.resize_with(self.part + 1, Tally::default);
        }
        &mut self.flat.tallies[self.part]
    }

    /// State of a layer: of one in a referred drawing as the drawing itself has it, else as that one has it.
    pub(in crate::drawing) fn layer_state(
        &self,
        layer: &str,
        around: &Around,
    ) -> Option<&'_ LayerState> {
        let host = self.parts.first().and_then(|it| it.contents.layer(layer));
        host.or_else(|| self.own_layer_state(layer, around))
    }

    /// State of a layer as the referred drawing that is being unfolded has it.
    fn own_layer_state(&self, layer: &str, around: &Around) -> Option<&'a LayerState> {
        if self.part == 0 {
            return None;
        }
        let own = layer.strip_prefix(&around.prefix)?;
        self.contents.layer(own)
    }
}

/// The layer an entity lies on: inside an insertion, layer 0 stands for the insertion's own.
pub(in crate::drawing) fn layer_of<'a>(
    contents: &'a Contents<'_>,
    record: &Record,
    around: &'a Around,
) -> Cow<'a, str> {
    match (&around.layer, contents.name(record.layer)) {
        (Some(outer), "" | "0") => Cow::Borrowed(outer.as_str()),
        (None, "") => Cow::Borrowed("0"),
        (_, own) if around.prefix.is_empty() => Cow::Borrowed(own),
        (_, own) => Cow::Owned(format!("{}{own}", around.prefix)),
    }
}

/// The records of an entity's vertices or attributes.
pub(in crate::drawing) fn parts(index: usize, record: &Record) -> Range<usize> {
    index + 1..index + 1 + record.parts as usize
}

/// True for texts whose points are in world coordinates whatever their extrusion.
fn record_is_world(kind: &str) -> bool {
    kind == "MTEXT"
}

/// Where an entity stands, for a finding.
pub(in crate::drawing) fn place_of(contents: &Contents<'_>, record: &Record, file: &str) -> Place {
    Place {
        file: Some(file.to_owned()),
        line: (record.line > 0).then_some(record.line),
        layer: Some(contents.name(record.layer).to_owned()).filter(|name| !name.is_empty()),
        ..Place::default()
    }
    .with_sources([contents.handle(record)])
}
