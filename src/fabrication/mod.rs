//! Makes each panel's parts: skins, core, lumber, chases, fixings, weight.
//!
//! ```text
//!   Panel ──► outer skin, inner skin, core (three outlines) ──► lumber in the recesses ──► chases ──► weight, picks
//! ```
//!
//! *Promises.* All contours are exact and counter-clockwise, holes clockwise, none crosses itself. Panel axes: x from the
//! left end as seen from outside, y up, origin at the lower left of the outer skin's bounding rectangle. Every part names
//! the rule that sized it and who fits it. A plate that crosses a joint belongs to the wall and is not here.
//!
//! *Does not do.* Structure: members are named by job or plant, never sized here.

pub mod codes;
mod model;

pub use model::{
    Chase, EdgeContour, EdgeJoint, FabricatedPanel, Fabrication, Fitted, Fixing, Hold, Lift,
    Lumber, PanelOpening, PartFace, Placement, SkinEdge, Slot, WallPlate,
};
