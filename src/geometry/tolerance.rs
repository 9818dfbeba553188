//! Every tolerance by its name: what it is for, and what goes wrong when it is too small or too large.

/// Faces of two walls that meet at an odd angle agree within this, inches (1/64).
///
/// Smaller: rounding of an angle to nanometres shows as a fault. Larger: a real gap passes the proof.
pub const WALL_TO_WALL: f64 = 1.0 / 64.0;

/// The bridge reports a corner or an opening that it moved by more than this, inches (1/64).
///
/// Smaller: every drawing not made on the grid is reported. Larger: an opening may sit visibly beside the plan.
pub const BRIDGE_MOVE: f64 = 1.0 / 64.0;

/// What is drawn within this of the size it was issued with is built as issued, inches (1/64 and a hair).
///
/// Rounding to the grid moves both ends of a size by half a step. Smaller: a plan turned round or saved in millimetres makes
/// panels anew for a sixty-fourth. Larger: an architect's own change is lost, and jambs stand beside the plan.
pub const AS_ISSUED: f64 = 1.0 / 60.0;

/// Ellipses and splines are drawn by arcs and chords within this, inches (1/128).
///
/// Smaller: a curved wall becomes thousands of pieces. Larger: its face is off by more than half a tape mark.
pub const CURVE_FIT: f64 = 1.0 / 128.0;

/// A face whose direction differs from the building's square by no more than this is square to it, degrees.
///
/// Smaller: a plan drawn a hair out of square gets bevelled corners. Larger: a real splay of 1/4 in in 24 ft is lost.
pub const SQUARE_ANGLE_DEG: f64 = 0.05;

/// A short face that drifts across its length by no more than this is square too, inches (1/16).
///
/// Smaller: drafting jitter of 1/16 in makes a short return a splay. Larger: a real splay of a short face is lost.
pub const SQUARE_DRIFT: f64 = 1.0 / 16.0;

/// Parallel faces whose lines lie this near share one line, corners this near are one, and a corner this near to the line
/// through its neighbours is none, inches (1/32).
///
/// Smaller: parallel chains of a drafted plan end in different sums, and a broken line makes two walls. Larger: a real jog
/// is straightened.
pub const SHARED_FACE: f64 = 1.0 / 32.0;

/// A wall belongs to the face of the outline its own face lies this near, inches (1/2).
///
/// Smaller: a wall with uneven lines finds no face. Larger: the wall behind a jog is taken for it.
pub const WALL_ON_FACE: f64 = 0.5;

/// The runs of a sketch close when they end within this of where they began, inches (1/64).
///
/// Smaller: a bay of `NE 5'-7 7/8"` never closes. Larger: a mistyped sixty-fourth passes.
pub const SKETCH_CLOSES: f64 = 1.0 / 64.0;

/// A dimension's written length and what is drawn are the same within this, inches (1/16, the finest a plan is read to).
///
/// Smaller: rounding of a printed length is reported as a conflict. Larger: a real contradiction passes unseen.
pub const DIMENSION_AGREES: f64 = 1.0 / 16.0;

/// Dimensions stand in one row when the places of their texts differ by no more than this across it, inches (one foot).
///
/// Smaller: a text moved aside for room falls out of its chain. Larger: two rows are read as one.
pub const DIMENSION_LANE: f64 = 12.0;

/// A dimension runs along the sheet when the sine of its angle to it is no more than this.
///
/// Smaller: a skewed plan has no chains. Larger: a slanted dimension joins a level chain.
pub const DIMENSION_SLANT: f64 = 0.01;

/// A coordinate of an outline file equals that of `panels.json` within this, inches.
///
/// Smaller: a file in millimetres that another program wrote again fails for its rounding. Larger: more than a saw can see.
pub const OUTLINE_COORDINATE: f64 = 1e-6;

/// Where an upright cut meets a sloped top, heights agree within this, inches.
///
/// Smaller: heights rounded to the nanometre by two roads fail. Larger: a gap under a rake plate passes the proof.
pub const SLOPE_CUT: f64 = 1e-6;

/// How far the unit vectors of a panel's place may be from square and from length one.
///
/// Smaller: vectors written with nine decimals fail. Larger: a panel leans unseen; over 24 ft this is 3e-5 in.
pub const UNIT_VECTOR: f64 = 1e-7;

/// Faces of two storeys, or of two issues of a plan, lie on each other within this, inches.
///
/// Smaller: a storey drawn apart from the other misses its faces. Larger: a wall moved by less is not seen as moved.
pub const ON_FACE: f64 = 0.5;
