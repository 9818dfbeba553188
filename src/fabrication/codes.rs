//! Codes of findings made while fabricating panels. See `docs/findings.md`.

use crate::findings::Code;

/// A panel refers to a wall, an assembly or an opening that does not exist: it is left out.
pub const PANEL_WITHOUT_BASIS: Code = Code::new("FAB-01");
/// A skin falls into pieces, or nothing of it is left.
pub const SKIN_IN_PIECES: Code = Code::new("FAB-02");
/// An opening leaves no panel beside or over it.
pub const OPENING_DOES_NOT_FIT: Code = Code::new("FAB-03");
/// A header does not fit between the skins or under the top plate: it is listed loose.
pub const HEADER_DOES_NOT_FIT: Code = Code::new("FAB-04");
/// A header is named but not sized.
pub const HEADER_NOT_SIZED: Code = Code::new("FAB-05");
/// A wall or an opening is on hold by an earlier stage.
pub const HELD_BEFORE: Code = Code::new("FAB-13");
/// The job is issued for review: every panel is held.
pub const ISSUED_FOR_REVIEW: Code = Code::new("FAB-14");
