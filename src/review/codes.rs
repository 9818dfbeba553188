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
/// A marked file is refused: it is hostile, broken, or of another package.
pub const MARKED_FILE_REFUSED: Code = Code::new("REV-07");
/// Something of a marked file was left out because it could act or reach outside.
pub const NEUTRALISED: Code = Code::new("REV-08");
/// A marked file looks like no sheet of the package.
pub const NO_SHEET: Code = Code::new("REV-09");
/// A marked PDF is not the package's own by its identity.
pub const OTHER_PDF: Code = Code::new("REV-10");
/// An edited dimension is not known to be any size of the job.
pub const NO_PROPOSAL: Code = Code::new("REV-11");
/// An answer names a mark that does not exist.
pub const UNKNOWN_MARK: Code = Code::new("REV-12");
/// Only a part of a sheet came back.
pub const PART_OF_A_SHEET: Code = Code::new("REV-13");
/// A mark of the issue before has no place on the new sheets.
pub const MARK_WITHOUT_PLACE: Code = Code::new("REV-14");
/// Marks of the issue before are not closed.
pub const MARKS_CARRIED: Code = Code::new("REV-15");
/// An entry of the job names another wall or opening than it did in the issue before.
pub const ENTRY_OF_ANOTHER_THING: Code = Code::new("REV-16");
/// Entries of the job were carried from the plan they were written on.
pub const ENTRIES_CARRIED: Code = Code::new("REV-17");
/// What an entry of the job is for is not found on this plan.
pub const ENTRY_WITHOUT_PLACE: Code = Code::new("REV-18");
/// Panels are locked, and there is no earlier issue to compare them with.
pub const LOCKED_UNCOMPARED: Code = Code::new("REV-19");
/// The job names walls and openings by their ids and does not say of which plan.
pub const IDS_OF_NO_PLAN: Code = Code::new("REV-20");
/// Texts of a marked sheet came back as the outlines of their letters.
pub const LETTERS_OUTLINED: Code = Code::new("REV-21");
/// The lines of a marked sheet came back without their inks, or all in one.
pub const INKS_LOST: Code = Code::new("REV-23");
/// Shapes of a marked sheet came back as parts of other outlines.
pub const SHAPES_COMBINED: Code = Code::new("REV-24");
/// An entry of the job would go elsewhere by another way of laying the earlier plan that fits nearly as well.
pub const ENTRY_EITHER_WAY: Code = Code::new("REV-25");
/// A question of the trace was answered more than once: the later answer holds.
pub const ANSWERED_ANEW: Code = Code::new("REV-26");
/// Files of the issue before are not as they were issued.
pub const ALTERED_SINCE: Code = Code::new("REV-22");
