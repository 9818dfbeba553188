//! Codes of findings made while reading a drawing. See `docs/findings.md`.

use crate::findings::Code;

/// Entities that could not be read.
pub const BROKEN_ENTITY: Code = Code::new("DRAW-01");
/// The unit cannot be told.
pub const UNKNOWN_UNIT: Code = Code::new("DRAW-02");
/// The header names another unit than the drawing shows.
pub const HEADER_UNIT: Code = Code::new("DRAW-03");
/// A block is placed but not in the file.
pub const MISSING_BLOCK: Code = Code::new("DRAW-04");
/// A block contains itself or is nested too deep.
pub const NESTED_BLOCK: Code = Code::new("DRAW-05");
/// Blocks unfold to more than any drawing holds.
pub const TOO_MUCH: Code = Code::new("DRAW-06");
/// An external reference is not in the file.
pub const REFERENCE: Code = Code::new("DRAW-07");
/// Lines of the file that are no pairs.
pub const BAD_PAIRS: Code = Code::new("DRAW-08");
/// The file has no end mark, or breaks off after the entities.
pub const NO_END: Code = Code::new("DRAW-09");
/// An insertion shows only a part of its block.
pub const CLIPPED: Code = Code::new("DRAW-10");
/// A sketch does not say how thick its walls are.
pub const SKETCH_THICKNESS: Code = Code::new("DRAW-11");
/// A DWG is damaged and was read as far as it goes.
pub const DAMAGED_DWG: Code = Code::new("DRAW-12");
/// A DWG holds entities that could not be converted.
pub const NOT_CONVERTED: Code = Code::new("DRAW-13");
/// An external reference was read from beside the file.
pub const REFERENCE_READ: Code = Code::new("DRAW-14");
/// Objects of other programs whose lines are not in the file.
pub const FOREIGN_OBJECTS: Code = Code::new("DRAW-15");
/// The model is empty, and a sheet in paper space was read.
pub const ON_SHEET: Code = Code::new("DRAW-16");
/// The drawing is drawn at a scale, by its dimensions.
pub const DRAWN_AT: Code = Code::new("DRAW-17");
/// Storeys lie over each other in the model, or seem to.
pub const OVER_EACH_OTHER: Code = Code::new("DRAW-18");
/// Solids and unknown kinds of entity, which may draw walls.
pub const UNREAD: Code = Code::new("DRAW-19");
