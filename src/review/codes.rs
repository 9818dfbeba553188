//! Finding codes of this room; explained in `docs/findings.md`.

use crate::findings::Code;

/// The earlier issue and the new plan do not lie over each other: every panel counts as new.
pub const NOT_THE_SAME_BUILDING: Code = Code::new("REV-01");
/// A panel that is released, cut or shipped differs from what the new plan asks for.
pub const LOCKED_PANEL_CHANGED: Code = Code::new("REV-02");
/// A panel that is released, cut or shipped is not needed any more.
pub const LOCKED_PANEL_RETIRED: Code = Code::new("REV-03");
/// A panel changed and carries a new revision letter.
pub const PANEL_CHANGED: Code = Code::new("REV-04");
/// A panel was retired; its mark is never used again.
pub const PANEL_RETIRED: Code = Code::new("REV-05");
/// The job names a panel that does not exist.
pub const UNKNOWN_PANEL: Code = Code::new("REV-06");
