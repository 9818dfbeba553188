//! Codes of findings made while laying out panels. See `docs/findings.md`.

use crate::findings::Code;

/// No panels can tile a wall under the rules.
pub const NO_LAYOUT: Code = Code::new("LAY-01");
/// A pier between two openings of one panel is narrower than a leg may be.
pub const NARROW_PIER: Code = Code::new("LAY-02");
/// Plate joints cannot keep their distance.
pub const PLATE_JOINTS: Code = Code::new("LAY-03");
/// An opening that may be cut whole is framed between panels, because no panel can hold it.
pub const FRAMED_BY_NEED: Code = Code::new("LAY-04");
/// No line makes the header panel or sill panel of a framed opening.
pub const NO_INFILL: Code = Code::new("LAY-05");
/// A header or sill panel is lower than a panel may be narrow.
pub const LOW_INFILL: Code = Code::new("LAY-06");
/// An opening reaches into the top plate, or beyond the panel.
pub const OPENING_TOO_HIGH: Code = Code::new("LAY-07");
/// The last panel of a ring has no room to slide onto its spline.
pub const NO_TRAVEL: Code = Code::new("LAY-08");
/// A wish of the drafter is refused.
pub const WISH_REFUSED: Code = Code::new("LAY-09");
/// A point load bears over an opening.
pub const POINT_LOAD: Code = Code::new("LAY-11");
/// What was measured on site differs from the plan.
pub const MEASURED_OTHERWISE: Code = Code::new("LAY-12");
/// Panels are released, and nobody has measured what their walls stand on.
pub const NOT_MEASURED: Code = Code::new("LAY-20");
/// A cap does not lap onto the cap of the wall it meets.
pub const CAP_NOT_LAPPED: Code = Code::new("LAY-21");
/// That walls over each other cost least together is not proved; the gap is stated.
pub const STOREYS_GAP: Code = Code::new("LAY-22");
/// No panel of a wall is left long for trimming, though the plant's rule asks for one.
pub const NO_MAKE_UP: Code = Code::new("LAY-23");
/// Jacks of the storey above bear over an opening.
pub const JACKS_OVER_OPENING: Code = Code::new("LAY-26");
/// A strip beside a framed opening is a pier of solid lumber.
pub const PIER: Code = Code::new("LAY-13");
/// That top plate and cap cannot be had for less is not proved; the gap is stated.
pub const PLATE_GAP: Code = Code::new("LAY-14");
/// The parts of a wall, printed to the sixteenth, do not add up to the overall as printed.
pub const PRINTED_SUM: Code = Code::new("LAY-15");
/// A revision: what it keeps of the earlier issue, and what that costs.
pub const HEEDS_ISSUE: Code = Code::new("LAY-16");
/// Nailers behind what the plan draws on a wall, or why none are made.
pub const NAILERS_AS_DRAWN: Code = Code::new("LAY-28");
/// No lumber section is wide enough for the cap plate.
pub const NO_CAP_SECTION: Code = Code::new("LAY-10");
