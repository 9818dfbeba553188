//! Codes of findings made while recovering a plan. See `docs/findings.md`.

use crate::findings::Code;

/// The outside walls do not close.
pub const OPEN_EXTERIOR: Code = Code::new("PLAN-01");
/// An opening without anything in it.
pub const BARE_OPENING: Code = Code::new("PLAN-02");
