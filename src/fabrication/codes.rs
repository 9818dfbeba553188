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
/// Two pieces of lumber want the same place.
pub const LUMBER_OVERLAPS: Code = Code::new("FAB-06");
/// A horizontal chase stops at an opening.
pub const CHASE_STOPS: Code = Code::new("FAB-07");
/// A vertical chase does not fit where a rule wants it.
pub const CHASE_WITHOUT_ROOM: Code = Code::new("FAB-08");
/// Two vertical chases of one panel are closer than the rule's least distance.
pub const CHASES_CLOSE: Code = Code::new("FAB-09");
/// A horizontal chase height lies in no foam of the panel.
pub const CHASE_OUTSIDE: Code = Code::new("FAB-10");
/// A panel is heavier than the plant lifts.
pub const TOO_HEAVY: Code = Code::new("FAB-11");
/// No pick point is clear of openings.
pub const PICKS_WITHOUT_ROOM: Code = Code::new("FAB-12");
/// A wall or an opening is on hold by an earlier stage.
pub const HELD_BEFORE: Code = Code::new("FAB-13");
/// The job names no post under a point load: blocking stands there by rule, and nobody sized it.
pub const BLOCKING_NOT_SIZED: Code = Code::new("FAB-30");
/// Neither the job nor the plant's rules name what stands under a point load.
pub const POST_UNNAMED: Code = Code::new("FAB-32");
/// The job is issued for review: every panel is held.
pub const ISSUED_FOR_REVIEW: Code = Code::new("FAB-14");
/// A panel looks like the mirror image of an earlier one.
pub const MIRRORED_TWIN: Code = Code::new("FAB-15");
/// A post, pocket, box or nailer of the job does not fit its panel.
pub const INSERT_DOES_NOT_FIT: Code = Code::new("FAB-16");
/// A chase is cut short, moved or dropped for a post, pocket or nailer.
pub const CHASE_CUT_SHORT: Code = Code::new("FAB-17");
/// An upright chase that a rule wants where an opening is: moved beside its frame, or dropped.
pub const CHASE_AT_OPENING: Code = Code::new("FAB-31");
/// An electrical box that no chase reaches.
pub const BOX_WITHOUT_WIRE: Code = Code::new("FAB-18");
/// Something hangs on the outer skin over a nailer that nobody sized.
pub const OUTER_NAILER: Code = Code::new("FAB-35");
/// A nailer is left out in a panel that has no room for it.
pub const NAILER_LEFT_OUT: Code = Code::new("FAB-36");
