//! Codes of findings made while recovering a plan. See `docs/findings.md`.

use crate::findings::Code;

/// No walls were found.
pub const NO_WALLS: Code = Code::new("PLAN-01");
/// The walls do not close round the building.
pub const NO_OUTLINE: Code = Code::new("PLAN-02");
/// An opening has jambs and nothing that says what it is.
pub const BARE_JAMBS: Code = Code::new("PLAN-03");
/// A long gap between two walls in one line: an opening, or two walls.
pub const LONG_GAP: Code = Code::new("PLAN-04");
/// A call-out and the jambs beside it disagree.
pub const CALL_OUT_WIDTH: Code = Code::new("PLAN-05");
/// A call-out found no opening.
pub const CALL_OUT_ALONE: Code = Code::new("PLAN-06");
/// A door swing found no opening.
pub const SWING_ALONE: Code = Code::new("PLAN-07");
/// A correction of the job found nothing to correct.
pub const ORPHAN_CORRECTION: Code = Code::new("PLAN-08");
/// An opening has a kind that is no kind.
pub const UNKNOWN_KIND: Code = Code::new("PLAN-09");
/// Lines were set aside by their layer name.
pub const SET_ASIDE: Code = Code::new("PLAN-10");
/// The sheet shows several plans.
pub const SEVERAL_PLANS: Code = Code::new("PLAN-11");
/// A layered wall, and nothing says which layer bears.
pub const WHICH_LAYER: Code = Code::new("PLAN-12");
/// An opening stands in a wall that no storey took.
pub const LEFT_OVER: Code = Code::new("PLAN-14");
/// An opening runs into a corner: no wall stands there.
pub const IN_CORNER: Code = Code::new("PLAN-15");
/// A wall of glass between posts: no panels are made for it.
pub const CURTAIN: Code = Code::new("PLAN-16");
/// A curved wall: no panels are made for it.
pub const CURVED: Code = Code::new("PLAN-18");
