//! What each entity draws: shapes in the file's units, before any block is unfolded.

pub(super) mod affine;
mod areas;
mod crate_shapes;
pub(super) mod curves;
pub(super) mod direct;
pub(super) mod lettering;
mod mesh;
pub(super) mod ordinary;
mod plain;
mod proxy;
mod proxy_text;
pub(super) mod shape;
mod solids;
mod splines;
mod table;
pub(super) mod wide;
