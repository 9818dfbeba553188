//! Every tolerance by its name: what it is for, and what goes wrong when it is too small or too large.

/// Faces of two walls that meet at an odd angle agree within this, inches (1/64).
///
/// Smaller: rounding of an angle to nanometres shows as a fault. Larger: a real gap passes the proof.
pub const WALL_TO_WALL: f64 = 1.0 / 64.0;

/// The bridge reports a corner or an opening that it moved by more than this, inches (1/64).
///
/// Smaller: every drawing not made on the grid is reported. Larger: an opening may sit visibly beside the plan.
pub const BRIDGE_MOVE: f64 = 1.0 / 64.0;

/// Ellipses and splines are drawn by arcs and chords within this, inches (1/128).
///
/// Smaller: a curved wall becomes thousands of pieces. Larger: its face is off by more than half a tape mark.
pub const CURVE_FIT: f64 = 1.0 / 128.0;
