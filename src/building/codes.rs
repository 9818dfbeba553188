//! Codes of findings made while raising a building. See `docs/findings.md`.

use crate::findings::Code;

/// The outline of a storey does not close: its walls cannot be raised.
pub const OUTLINE_OPEN: Code = Code::new("BLDG-01");

/// A face of the outline has no wall behind it.
pub const FACE_WITHOUT_WALL: Code = Code::new("BLDG-02");

/// The bridge moved a corner or an opening by more than 1/64 in.
pub const MOVED: Code = Code::new("BLDG-03");

/// Panels are thicker or thinner than the walls drawn.
pub const THICKNESS_DIFFERS: Code = Code::new("BLDG-04");

/// The job names no assembly: the plant's default was taken.
pub const ASSEMBLY_ASSUMED: Code = Code::new("BLDG-05");

/// The job names an assembly the plant does not make.
pub const ASSEMBLY_UNKNOWN: Code = Code::new("BLDG-06");

/// The job states no wall height: the plant's default was taken.
pub const HEIGHT_ASSUMED: Code = Code::new("BLDG-07");

/// A wall is too low to be made of panels.
pub const WALL_TOO_LOW: Code = Code::new("BLDG-08");

/// Nothing says how high a storey's deck is.
pub const FLOOR_UNKNOWN: Code = Code::new("BLDG-09");

/// Heights or heads of openings were taken from the plant's defaults.
pub const OPENING_SIZE_ASSUMED: Code = Code::new("BLDG-10");

/// Sill, head and height of an opening do not agree.
pub const SIZES_DISAGREE: Code = Code::new("BLDG-11");

/// A rough opening reaches beyond its wall.
pub const OPENING_BEYOND_WALL: Code = Code::new("BLDG-12");

/// Two rough openings overlap.
pub const OPENINGS_OVERLAP: Code = Code::new("BLDG-13");

/// A rough opening is taller than its wall less the plates.
pub const OPENING_TOO_TALL: Code = Code::new("BLDG-14");

/// The member over an opening is named, and no table here has sized it.
pub const HEADER_NOT_SIZED: Code = Code::new("BLDG-15");

/// The code's table covers the member over an opening.
pub const HEADER_BY_TABLE: Code = Code::new("BLDG-40");

/// The code's table rejects the member that the job names over an opening.
pub const HEADER_REJECTED: Code = Code::new("BLDG-41");

/// Nobody names the member over an opening.
pub const HEADER_UNNAMED: Code = Code::new("BLDG-16");

/// The member over an opening is not in the plant's lumber, or does not go into the wall.
pub const HEADER_DOES_NOT_FIT: Code = Code::new("BLDG-17");

/// A header of panel lies beyond the limits of its rule.
pub const SIP_HEADER_BEYOND: Code = Code::new("BLDG-46");

/// An opening reaches the top plate: no member has room over it.
pub const OPENING_TO_PLATE: Code = Code::new("BLDG-42");

/// No panels are made for an interior wall that the job has made of panels.
pub const INTERIOR_REFUSED: Code = Code::new("BLDG-43");

/// A part of a wall is not made of panels: what stands there is not of this program.
pub const BEYOND_PANELS: Code = Code::new("BLDG-45");

/// The job holds a layer of a wall that the wall does not have.
pub const HELD_LAYER_UNKNOWN: Code = Code::new("BLDG-50");

/// The layers that the job gives for a wall are not as thick together as it is drawn.
pub const LAYERS_DO_NOT_ADD_UP: Code = Code::new("BLDG-51");

/// An opening runs into a corner, and ends at a post that stands there.
pub const CORNER_POST: Code = Code::new("BLDG-54");

/// An outer skin drops below its panels and does not bear there.
pub const SKIN_DOES_NOT_BEAR: Code = Code::new("BLDG-52");

/// Panels with one skin stand in a wall that bears.
pub const ONE_SKIN_BEARS: Code = Code::new("BLDG-55");

/// Panels with one skin: they bear nothing.
pub const ONE_SKIN: Code = Code::new("BLDG-56");

/// A dropped outer skin reaches onto the panels of the storey below.
pub const SKIN_ON_PANEL: Code = Code::new("BLDG-53");

/// What overall dimensions and rooms become where panels are thicker or thinner than the walls drawn.
pub const SIZES_CHANGE: Code = Code::new("BLDG-58");

/// An opening stands nearly in line with one of the storey below.
pub const NEARLY_OVER: Code = Code::new("BLDG-57");

/// A party wall: its fire and sound rating is not designed here.
pub const PARTY_WALL: Code = Code::new("BLDG-44");

/// The job speaks of a wall, an opening or a storey that the plan does not have.
pub const JOB_NAMES_NOTHING: Code = Code::new("BLDG-18");

/// Something lies outside the prescriptive rules for panel walls: design required.
pub const OUTSIDE_PRESCRIPTIVE: Code = Code::new("BLDG-19");

/// The job states no loads, so limits that depend on them were not checked.
pub const LOADS_NOT_STATED: Code = Code::new("BLDG-20");

/// An opening stands in an exterior wall that has no face on the outline.
pub const OPENING_WITHOUT_FACE: Code = Code::new("BLDG-21");

/// The heights of a storey do not stack: its deck lies below the caps that carry it, or two statements of it differ.
pub const HEIGHTS_DO_NOT_STACK: Code = Code::new("BLDG-23");

/// The line of a wall's top or base that the job gives cannot be built.
pub const PROFILE_IMPOSSIBLE: Code = Code::new("BLDG-24");

/// Walls of different thickness lie on one face.
pub const UNEVEN_FACE: Code = Code::new("BLDG-22");

/// Sizes are built as in the issue before, from which they differ by rounding alone.
pub const KEPT_AS_ISSUED: Code = Code::new("BLDG-65");
