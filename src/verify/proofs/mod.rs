//! The proofs, each in a file of its own with its statement.

mod areas;
mod blanks;
mod conservation;
mod core_joints;
mod corners;
mod fewest_trucks;
mod folders;
mod goods;
mod jambs;
mod lists;
mod loads;
mod manifest;
mod order;
mod outlines;
mod outwards;
mod overlap;
mod plates;
mod stations;
mod stock_lists;
mod tiling;
mod workbook;

use super::ledger::Ledger;
use super::package::Package;
use crate::findings::Code;

/// A statement and how it is proved.
pub(super) struct Proof {
    pub(super) code: Code,
    /// What holds, as a sentence.
    pub(super) statement: &'static str,
    /// What is counted: `walls`, `panels`.
    pub(super) cases: &'static str,
    pub(super) prove: fn(&Package<'_>, &mut Ledger),
}

/// All proofs, in the order of their codes.
pub(super) const ALL: [Proof; 18] = [
    tiling::PROOF,
    areas::PROOF,
    jambs::PROOF,
    outwards::PROOF,
    overlap::PROOF,
    outlines::PROOF,
    folders::PROOF,
    lists::PROOF,
    manifest::PROOF,
    plates::PROOF,
    order::PROOF,
    corners::PROOF,
    blanks::PROOF,
    conservation::PROOF,
    loads::PROOF,
    stations::PROOF,
    stock_lists::PROOF,
    workbook::PROOF,
];
