//! Small readers of a package's files, sharing nothing with the writers.

pub(super) mod digest;
pub(super) mod loads;
pub(super) mod outline;
pub(super) mod panels;
pub(super) mod plan;
pub(super) mod stock;
pub(super) mod table;
pub(super) mod told;
pub(super) mod workbook;
