//! Proves a package from its files alone.
//!
//! ```text
//!   plan.json, panels.json, outlines/*.dxf, lists/*.csv, manifest.json ──► small readers of its own ──► proofs ──► findings
//! ```
//!
//! *Promises.* It trusts no model of the program: it looks only into `geometry`, `units` and `findings`.
//!
//! *Does not do.* Repairing.

pub mod codes;
