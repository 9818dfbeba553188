//! The ordinary entities: the commonest straight from their pairs, the others through the `dxf` crate.
//!
//! The crate knows how entities are built; what it does not know is how to go on after a bad one, how to read letters,
//! and which releases wrote what. So each of its entities is first checked here, pair by pair, and handed over in small binary
//! drawings that hold geometry only. A drawing that the crate refuses is halved until the entity at fault stands alone.

use crate::drawing::entities::affine;
use crate::drawing::entities::crate_shapes::shape_of;
use crate::drawing::entities::direct;
use crate::drawing::entities::plain::{Plain, read_plain};
use crate::drawing::entities::shape::Shape;
use crate::drawing::file::contents::{Contents, Record};
use crate::drawing::file::pairs;
use crate::drawing::file::pairs::Pair;
use crate::side_by_side::side_by_side;
use std::panic::{AssertUnwindSafe, catch_unwind};

/// What became of one entity.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::drawing) enum Reading {
    /// It draws this.
    Shape(Shape),
    /// It is of a kind that is only counted, for this reason.
    Counted(&'static str),
    /// It is broken: what is wrong with it.
    Broken(String),
}

/// Entities handed to the crate at once: enough to forget the cost of a drawing, few enough to find a bad one quickly and to
/// stay in memory that is at hand (256 measured fastest of 64 to 2048).
const BATCH: usize = 256;

/// What is said of an entity without coordinates.
pub(in crate::drawing) const NO_PLACE: &str = "it has no coordinates (group 10)";

/// Group codes that carry geometry, of a kind that goes through the crate.
fn wanted_codes(kind: &str) -> &'static [i64] {
    match kind {
        "ELLIPSE" => &[10, 20, 30, 11, 21, 31, 40, 41, 42, 210, 220, 230],
        "POLYLINE" => &[10, 20, 30, 40, 41, 70, 71, 72, 210, 220, 230],
        "VERTEX" => &[10, 20, 30, 40, 41, 42, 70, 71, 72, 73, 74],
        "SPLINE" | "HELIX" => &[10, 20, 30, 11, 21, 31, 40, 41, 70, 71],
        "SOLID" | "TRACE" => &[
            10, 20, 30, 11, 21, 31, 12, 22, 32, 13, 23, 33, 210, 220, 230,
        ],
        "3DFACE" => &[10, 20, 30, 11, 21, 31, 12, 22, 32, 13, 23, 33, 70],
        "MTEXT" => &[10, 20, 30, 11, 21, 31, 40, 44, 50, 71, 210, 220, 230],
        _ => &[],
    }
}

/// An entity on its way through the crate.
pub(in crate::drawing) struct Entry {
    /// Its number among the records.
    pub(in crate::drawing) record: usize,
    /// Its pairs in the crate's binary form.
    bytes: Vec<u8>,
    /// Its text, as it stands in the file: a letter may begin in one of its pieces and end in the next.
    letters: Vec<u8>,
    /// The same, read.
    pub(in crate::drawing) words: String,
}

/// How an ordinary entity is read.
#[derive(Clone, Copy)]
enum Way {
    Straight(Plain),
    ThroughTheCrate,
}

impl Way {
    fn of(kind: &str) -> Option<Self> {
        let is_for_the_crate = kind != "VERTEX" && !wanted_codes(kind).is_empty();
        let otherwise = is_for_the_crate.then_some(Self::ThroughTheCrate);
        Plain::of(kind).map(Self::Straight).or(otherwise)
    }
}

/// Reads the entities that are ordinary; `readings` has a place for each record of the file.
pub(in crate::drawing) fn read_ordinary(contents: &Contents<'_>, readings: &mut [Option<Reading>]) {
    let ways: Vec<Option<Way>> = contents.kinds.iter().map(|it| Way::of(it)).collect();
    let records = contents.records.iter().enumerate();
    let ordinary: Vec<(usize, &Record, Way)> = records
        .filter_map(|(i, it)| Some((i, it, (*ways.get(it.kind as usize)?)?)))
        .filter(|(_, it, way)| !it.is_part || matches!(way, Way::Straight(Plain::Attribute)))
        .collect();
    let batches: Vec<&[(usize, &Record, Way)]> = ordinary.chunks(BATCH).collect();
    for read in side_by_side(&batches, |batch| read_batch(contents, batch)) {
        for (index, reading) in read {
            if let Some(place) = readings.get_mut(index) {
                *place = Some(reading);
            }
        }
    }
}

/// What became of each entity of a batch.
fn read_batch(contents: &Contents<'_>, batch: &[(usize, &Record, Way)]) -> Vec<(usize, Reading)> {
    let mut entries = Vec::new();
    let mut read = Vec::with_capacity(batch.len());
    for &(index, record, way) in batch {
        let reading = match way {
            _ if record.is_broken => Reading::Broken(direct::OUT_OF_STEP.to_owned()),
            Way::Straight(plain) => read_plain(contents, plain, record),
            Way::ThroughTheCrate => match prepare(contents, index, record) {
                Ok(entry) => {
                    entries.push(entry);
                    continue;
                }
                Err(reason) => Reading::Broken(reason),
            },
        };
        read.push((index, reading));
    }
    convert(contents, &entries, &mut read);
    read
}

/// Checks an entity pair by pair and writes it in the crate's binary form, its parts with it.
fn prepare(contents: &Contents<'_>, index: usize, record: &Record) -> Result<Entry, String> {
    let kind = contents.kind(record);
    let mut entry = Entry {
        record: index,
        bytes: Vec::with_capacity(128),
        letters: Vec::new(),
        words: String::new(),
    };
    // A helix is a spline that also says how it winds.
    write_text(
        &mut entry.bytes,
        0,
        if kind == "HELIX" { "SPLINE" } else { kind },
    );
    write_body(contents, record, kind, &mut entry, [0.0; 2])?;
    entry.words = contents.letters.read(&entry.letters).into_owned();
    if kind == "POLYLINE" {
        let widths = default_widths(contents, record);
        let parts = contents
            .records
            .get(index + 1..index + 1 + record.parts as usize);
        for part in parts.unwrap_or_default() {
            if contents.kind(part) == "VERTEX" {
                write_text(&mut entry.bytes, 0, "VERTEX");
                write_body(contents, part, "VERTEX", &mut entry, widths)?;
            }
        }
        write_text(&mut entry.bytes, 0, "SEQEND");
    }
    Ok(entry)
}

fn write_text(bytes: &mut Vec<u8>, code: i16, text: &str) {
    bytes.extend(code.to_le_bytes());
    bytes.extend(text.as_bytes());
    bytes.push(0);
}

fn write_real(bytes: &mut Vec<u8>, code: i16, number: f64) {
    bytes.extend(code.to_le_bytes());
    bytes.extend(number.to_le_bytes());
}

/// Widths that a polyline's vertices have when they state none.
fn default_widths(contents: &Contents<'_>, record: &Record) -> [f64; 2] {
    let mut widths = [0.0; 2];
    for pair in contents.pairs(record) {
        match pair.code {
            40 => widths[0] = pair.value.real().unwrap_or(0.0),
            41 => widths[1] = pair.value.real().unwrap_or(0.0),
            _ => {}
        }
    }
    widths
}

fn write_body(
    contents: &Contents<'_>,
    record: &Record,
    kind: &str,
    entry: &mut Entry,
    widths: [f64; 2],
) -> Result<(), String> {
    let wanted = wanted_codes(kind);
    if kind == "VERTEX" {
        write_real(&mut entry.bytes, 40, widths[0]);
        write_real(&mut entry.bytes, 41, widths[1]);
    }
    let mut has_place = false;
    for pair in contents.pairs(record).skip(1) {
        match (kind, pair.code) {
            // XDATA and embedded objects repeat codes with other meanings.
            (_, 101 | 1000..) => break,
            ("MTEXT", 1 | 3) => {
                entry.letters.extend(pair.value.bytes());
            }
            ("HELIX", 100) if pair.value.bytes().trim_ascii() == b"AcDbHelix" => break,
            ("MTEXT", 50) => {
                // One way to say a direction is enough: the angle becomes the axis.
                let (sin, cos) = affine::exact_sin_cos(real(&pair)?.to_radians());
                write_real(&mut entry.bytes, 11, cos);
                write_real(&mut entry.bytes, 21, sin);
            }
            (_, code) if wanted.contains(&code) => {
                has_place |= code == 10;
                write_pair(&mut entry.bytes, &pair)?;
            }
            _ => {}
        }
    }
    if has_place || matches!(kind, "POLYLINE" | "SPLINE" | "HELIX") {
        Ok(())
    } else {
        Err(NO_PLACE.to_owned())
    }
}

/// The number of a pair, or what is wrong with it.
pub(in crate::drawing) fn real(pair: &Pair<'_>) -> Result<f64, String> {
    pair.value.real().ok_or_else(|| {
        format!(
            "group {} has no usable number: '{}'{}",
            pair.code,
            String::from_utf8_lossy(pair.value.bytes()).trim(),
            line_note(pair)
        )
    })
}

fn line_note(pair: &Pair<'_>) -> String {
    if pair.line == 0 {
        String::new()
    } else {
        format!(" on line {}", pair.line + 1)
    }
}

/// The small whole number of a pair, or what is wrong with it.
pub(in crate::drawing) fn small_whole(pair: &Pair<'_>) -> Result<i16, String> {
    let number = pair.value.whole().and_then(|it| i16::try_from(it).ok());
    number.ok_or_else(|| {
        format!(
            "group {} has no usable whole number{}",
            pair.code,
            line_note(pair)
        )
    })
}

fn write_pair(bytes: &mut Vec<u8>, pair: &Pair<'_>) -> Result<(), String> {
    let code = i16::try_from(pair.code).unwrap_or(i16::MAX);
    if (60..80).contains(&pair.code) {
        let number = small_whole(pair)?;
        bytes.extend(code.to_le_bytes());
        bytes.extend(number.to_le_bytes());
    } else {
        write_real(bytes, code, real(pair)?);
    }
    Ok(())
}

/// Hands entries to the crate; those that it refuses are halved down to one.
fn convert(contents: &Contents<'_>, entries: &[Entry], read: &mut Vec<(usize, Reading)>) {
    if entries.is_empty() {
        return;
    }
    let loaded = load(contents, entries);
    match loaded {
        Ok(shapes) => {
            read.extend(entries.iter().map(|entry| entry.record).zip(shapes));
        }
        Err(reason) => {
            if let [entry] = entries {
                read.push((entry.record, Reading::Broken(reason)));
            } else {
                let (first, second) = entries.split_at(entries.len() / 2);
                convert(contents, first, read);
                convert(contents, second, read);
            }
        }
    }
}

/// One small drawing through the crate.
fn load(contents: &Contents<'_>, entries: &[Entry]) -> Result<Vec<Reading>, String> {
    let mut bytes = pairs::BINARY_MARK.to_vec();
    bytes.reserve(entries.iter().map(|entry| entry.bytes.len()).sum());
    write_text(&mut bytes, 0, "SECTION");
    write_text(&mut bytes, 2, "ENTITIES");
    for (number, entry) in entries.iter().enumerate() {
        let kind_end = entry
            .bytes
            .iter()
            .skip(2)
            .position(|&byte| byte == 0)
            .map_or(0, |end| end + 3);
        let (head, rest) = entry.bytes.split_at(kind_end);
        bytes.extend(head);
        write_text(&mut bytes, 5, &format!("{:08X}", number + 1));
        bytes.extend(rest);
    }
    write_text(&mut bytes, 0, "ENDSEC");
    write_text(&mut bytes, 0, "EOF");
    // The crate is known to panic on absurd header dates only, which it never gets from here; a file must not end the
    // program all the same.
    let drawing = catch_unwind(AssertUnwindSafe(|| {
        dxf::Drawing::load(&mut bytes.as_slice())
    }))
    .map_err(|_| "the entity reader gave up on it".to_owned())?
    .map_err(|error| error.to_string())?;
    let mut shapes: Vec<Option<Reading>> = vec![None; entries.len()];
    for entity in drawing.entities() {
        let number = usize::try_from(entity.common.handle.0).unwrap_or(0);
        let at = number.wrapping_sub(1);
        if let (Some(place), Some(entry)) = (shapes.get_mut(at), entries.get(at)) {
            *place = Some(shape_of(contents, entity, entry));
        }
    }
    shapes
        .into_iter()
        .collect::<Option<Vec<_>>>()
        .ok_or_else(|| "the entity reader could not make sense of it".to_owned())
}
