//! Codes of failed proofs. See `docs/findings.md`.

use crate::findings::Code;

/// Panels, gaps and framed openings do not tile a wall's run exactly.
pub const TILING: Code = Code::new("PROOF-01");
/// Skins and openings do not add up to the wall's face.
pub const AREAS: Code = Code::new("PROOF-02");
/// An opening does not sit where the plan has it.
pub const JAMBS: Code = Code::new("PROOF-03");
/// A panel does not face out of the building.
pub const OUTWARDS: Code = Code::new("PROOF-04");
/// Two panels overlap.
pub const OVERLAP: Code = Code::new("PROOF-05");
/// A panel rebuilt from its outline file differs from `panels.json`.
pub const OUTLINE_FILE: Code = Code::new("PROOF-06");
/// A mark stands in both of `outlines/` and `held/`, in neither, or in the wrong one.
pub const FOLDERS: Code = Code::new("PROOF-07");
/// A list does not say what `panels.json` says.
pub const LISTS: Code = Code::new("PROOF-08");
/// A file is not the one the manifest names.
pub const MANIFEST: Code = Code::new("PROOF-09");
/// Plates do not cover a wall.
pub const PLATES: Code = Code::new("PROOF-10");
/// A panel cannot be set, given those that stand before it.
pub const ORDER: Code = Code::new("PROOF-11");
/// The panels of two walls do not close a corner.
pub const CORNERS: Code = Code::new("PROOF-12");
/// A panel lies on no blank or on two, or a blank does not come apart as its plan says.
pub const BLANKS: Code = Code::new("PROOF-13");
/// Stock does not come apart into just what is cut from it.
pub const CONSERVATION: Code = Code::new("PROOF-14");
/// A panel does not ride exactly once, not in reverse order of erection, or a truck breaks its limits.
pub const LOADS: Code = Code::new("PROOF-15");
/// A list of a station does not say what `panels.json` and `loads.json` say.
pub const STATIONS: Code = Code::new("PROOF-16");
/// A list of what is cut from what does not say what `stock.json`, the blanks' files and `panels.json` say.
pub const STOCK_LISTS: Code = Code::new("PROOF-17");
/// The workbook does not hold what the lists hold.
pub const WORKBOOK: Code = Code::new("PROOF-18");
