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
/// A dimension says another length than is drawn.
pub const DIMENSION_TEXT: Code = Code::new("PLAN-30");
/// The points of a dimension stand beside what they mean.
pub const DIMENSION_POINTS: Code = Code::new("PLAN-31");
/// A chain of dimensions does not add up to its overall.
pub const DIMENSION_CHAIN: Code = Code::new("PLAN-32");
/// A dimension is trusted, and an opening followed it.
pub const DIMENSION_TRUSTED: Code = Code::new("PLAN-33");
/// Corrections were carried from an earlier plan.
pub const CORRECTIONS_CARRIED: Code = Code::new("PLAN-34");
/// A wall stands between a heated and an unheated room.
pub const UNHEATED: Code = Code::new("PLAN-35");
/// The sheet shows other things than floor plans.
pub const OTHER_VIEWS: Code = Code::new("PLAN-36");
/// A part was left out of the building by a correction.
pub const LEFT_OUTSIDE: Code = Code::new("PLAN-37");
/// A schedule, a call-out and the drawing disagree about an opening.
pub const SCHEDULE_CONFLICT: Code = Code::new("PLAN-38");
/// A schedule counts other openings than the plan has.
pub const SCHEDULE_COUNT: Code = Code::new("PLAN-39");
/// A tag found no opening or no row of a schedule.
pub const TAG_ALONE: Code = Code::new("PLAN-40");
/// A schedule was read.
pub const SCHEDULE_READ: Code = Code::new("PLAN-41");
/// A courtyard inside the building: its walls are exterior.
pub const COURTYARD: Code = Code::new("PLAN-50");
/// A facet of a curve that is drawn as chords.
pub const FACET: Code = Code::new("PLAN-60");
/// Walls drawn by one line: what the line is and how thick the wall is are assumed.
pub const SINGLE_LINE: Code = Code::new("PLAN-61");
/// A line across the wall stands inside an opening: a pier may be missing.
pub const PIER: Code = Code::new("PLAN-62");
/// Two lines cross an outside wall as jambs do, and nothing is drawn between them.
pub const ACROSS: Code = Code::new("PLAN-63");
/// A wall stands against another, and nothing shows how thick it is.
pub const HIDDEN_BACK: Code = Code::new("PLAN-65");
/// A building stands beside the plan and is left out.
pub const OUTBUILDING: Code = Code::new("PLAN-67");
/// The outside walls hold no opening.
pub const NO_OPENING: Code = Code::new("PLAN-66");
/// A wall between rooms ends short of another wall.
pub const LOOSE_END: Code = Code::new("PLAN-68");
/// Walls as large as a bath, a bed, a shelf or a sofa, and nothing opens into them.
pub const CLOSED_BOX: Code = Code::new("PLAN-69");
/// A drawing without a title beside the plan is taken as an elevation or a section.
pub const PICTURE: Code = Code::new("PLAN-70");
/// Walls that close nowhere stand beside the plan, and a room's name among them.
pub const OPEN_DRAWING: Code = Code::new("PLAN-77");
/// The title of a plan says that something else may be built.
pub const PLAN_TITLE: Code = Code::new("PLAN-79");
/// A correction would go elsewhere by another way of laying the earlier plan that fits nearly as well.
pub const EITHER_WAY: Code = Code::new("PLAN-78");
/// A storey may stand at another place over the first one.
pub const STOREY_PLACE: Code = Code::new("PLAN-75");
/// A storey is drawn at another scale than the first one.
pub const STOREY_SCALE: Code = Code::new("PLAN-76");

/// What is asked about an opening of an outside wall, or about what lies behind one: until the job answers, the panels there wait.
pub const ABOUT_OPENINGS: [Code; 11] = [
    NO_OUTLINE,
    BARE_JAMBS,
    LONG_GAP,
    CALL_OUT_WIDTH,
    CALL_OUT_ALONE,
    SWING_ALONE,
    LEFT_OVER,
    IN_CORNER,
    LEFT_OUTSIDE,
    PIER,
    ACROSS,
];
