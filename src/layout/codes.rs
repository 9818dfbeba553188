//! Codes of findings made while laying out panels. See `docs/findings.md`.

use crate::findings::Code;

/// No panels can tile a wall under the rules.
pub const NO_LAYOUT: Code = Code::new("LAY-01");
/// A leg beside an opening is narrower than the rule.
pub const NARROW_LEG: Code = Code::new("LAY-02");
/// Plate joints cannot keep their distance.
pub const PLATE_JOINTS: Code = Code::new("LAY-03");
