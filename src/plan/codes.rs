//! Codes of findings made while recovering a plan. See `docs/findings.md`.

use crate::findings::Code;

/// The walls do not close round the building.
pub const NO_OUTLINE: Code = Code::new("PLAN-02");
/// An opening has jambs and nothing that says what it is.
pub const BARE_JAMBS: Code = Code::new("PLAN-03");
/// An opening has a kind that is no kind.
pub const UNKNOWN_KIND: Code = Code::new("PLAN-09");
