//! Geometry that several rooms need and `geo` does not have, in both worlds.
//!
//! ```text
//!   survey world  f64 inches, `geo` types, tolerances by name      drawing, plan
//!   shop world    exact `Length`, `ShopPoint`, `ShopRing`          building onward
//! ```
//!
//! *Promises.* Every tolerance of the program stands in `tolerance.rs` with its reason.
//!
//! *Does not do.* Crossing between the worlds: that is `building/bridge.rs` alone.

mod frame;
mod laid;
mod shop;
pub mod tolerance;

pub use frame::Frame;
pub use laid::{Face, Motion, laid};
pub use shop::{ShopPoint, ShopRect, ShopRing};
