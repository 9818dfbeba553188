//! What blanks, boards, slabs and lumber are cut from, as rules: sizes on hand, kerfs, trims, what a leftover must measure.

use super::checks::Checks;
use super::plant_file::{Key, LengthKey};
use crate::toml_text::{At, LengthValue};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Stock and how it is cut.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StockRules {
    /// Kerf of the saw that cuts panels from blanks. Default: 3/16 in.
    pub kerf: Length,
    /// Kerf of the saw that cuts boards. Default: 1/8 in.
    pub board_kerf: Length,
    /// Trim taken off every edge of a board before skins are cut from it. Default: 0.
    pub board_trim: Length,
    /// Kerf of the hot wire. Default: 1/16 in.
    pub wire_kerf: Length,
    /// Taken off the top and the bottom of a billet. Default: 1 in.
    pub billet_skin: Length,
    /// Trim taken off every edge of a slab. Default: 0.
    pub slab_trim: Length,
    /// A strip of core narrower than this is made wider where its neighbour can spare it. Default: 6 in.
    pub least_core_strip: Length,
    /// Kerf of the saw that cuts lumber. Default: 1/8 in.
    pub lumber_kerf: Length,
    /// Taken off each end of a bar of lumber. Default: 0.
    pub lumber_trim: Length,
    /// Lengths of what is no sawn lumber: block splines, strips, fillers, engineered members; rising.
    pub spline_lengths: Vec<Length>,
    /// Shorter side of a sheet leftover worth keeping. Default: 12 in.
    pub least_width: Length,
    /// Longer side of a sheet leftover worth keeping. Default: 48 in.
    pub least_length: Length,
    /// Length of a bar leftover worth keeping. Default: 36 in.
    pub least_bar: Length,
    /// Height of what is left of a billet, its skin included, worth keeping. Default: 12 in.
    pub least_billet: Length,
    /// Panels of a batch, in the order of erection; 0 for no batches. Default: 0.
    pub batch: u32,
    /// How many batches later a panel on the same blank may be. Default: 1.
    pub batch_window: u32,
    /// Counted work of each search. Default: 2,000,000.
    pub effort: u64,
    /// Boards on hand.
    pub boards: Vec<BoardStock>,
    /// Billets on hand.
    pub billets: Vec<BilletStock>,
}

/// A board on hand; its strength axis runs along its length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BoardStock {
    /// Material, as assemblies name it.
    pub material: String,
    /// Thickness.
    pub thickness: Length,
    /// Along the strength axis.
    pub length: Length,
    /// Across it.
    pub width: Length,
}

/// A billet of foam on hand: slabs are cut from it one above the other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BilletStock {
    /// Material, as assemblies name it.
    pub material: String,
    /// Length of its slabs.
    pub length: Length,
    /// Width of its slabs.
    pub width: Length,
    /// Over all, skins included.
    pub height: Length,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct StockFile {
    kerf: LengthKey,
    board_kerf: LengthKey,
    board_trim: LengthKey,
    wire_kerf: LengthKey,
    billet_skin: LengthKey,
    slab_trim: LengthKey,
    least_core_strip: LengthKey,
    lumber_kerf: LengthKey,
    lumber_trim: LengthKey,
    spline_lengths: Key<Vec<At<LengthValue>>>,
    least_width: LengthKey,
    least_length: LengthKey,
    least_bar: LengthKey,
    least_billet: LengthKey,
    batch: Key<u32>,
    batch_window: Key<u32>,
    effort: Key<u64>,
    boards: Key<Vec<At<BoardFile>>>,
    billets: Key<Vec<At<BilletFile>>>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BoardFile {
    /// Material, as assemblies name it.
    material: At<String>,
    /// Thickness.
    thickness: At<LengthValue>,
    /// Real length, along the strength axis.
    length: At<LengthValue>,
    /// Real width.
    width: At<LengthValue>,
}

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct BilletFile {
    /// Material, as assemblies name it.
    material: At<String>,
    /// Length of its slabs.
    length: At<LengthValue>,
    /// Width of its slabs.
    width: At<LengthValue>,
    /// Height, skins included.
    height: At<LengthValue>,
}

/// A kerf or a trim.
const CUT: RangeInclusive<Length> = Length::ZERO..=Length::inches(12);
/// A side of stock.
const SIDE: RangeInclusive<Length> = Length::inches(1)..=Length::feet(60);
/// A thickness of board.
const SKIN: RangeInclusive<Length> = Length::TAPE_STEP..=Length::inches(6);

/// Takes over what the group gives.
pub(super) fn apply_stock(file: &StockFile, to: &mut StockRules, checks: &mut Checks<'_>) {
    checks.length("stock.kerf", &mut to.kerf, &file.kerf, &CUT);
    checks.length(
        "stock.board_kerf",
        &mut to.board_kerf,
        &file.board_kerf,
        &CUT,
    );
    checks.length(
        "stock.board_trim",
        &mut to.board_trim,
        &file.board_trim,
        &CUT,
    );
    checks.length("stock.wire_kerf", &mut to.wire_kerf, &file.wire_kerf, &CUT);
    checks.length(
        "stock.billet_skin",
        &mut to.billet_skin,
        &file.billet_skin,
        &CUT,
    );
    checks.length("stock.slab_trim", &mut to.slab_trim, &file.slab_trim, &CUT);
    checks.length(
        "stock.least_core_strip",
        &mut to.least_core_strip,
        &file.least_core_strip,
        &CUT,
    );
    checks.length(
        "stock.lumber_kerf",
        &mut to.lumber_kerf,
        &file.lumber_kerf,
        &CUT,
    );
    checks.length(
        "stock.lumber_trim",
        &mut to.lumber_trim,
        &file.lumber_trim,
        &CUT,
    );
    checks.rising(
        "stock.spline_lengths",
        &mut to.spline_lengths,
        &file.spline_lengths,
        &SIDE,
    );
    checks.length(
        "stock.least_width",
        &mut to.least_width,
        &file.least_width,
        &SIDE,
    );
    checks.length(
        "stock.least_length",
        &mut to.least_length,
        &file.least_length,
        &SIDE,
    );
    checks.length("stock.least_bar", &mut to.least_bar, &file.least_bar, &SIDE);
    checks.length(
        "stock.least_billet",
        &mut to.least_billet,
        &file.least_billet,
        &SIDE,
    );
    checks.number("stock.batch", &mut to.batch, &file.batch, &(0..=10_000));
    checks.number(
        "stock.batch_window",
        &mut to.batch_window,
        &file.batch_window,
        &(0..=10_000),
    );
    checks.number(
        "stock.effort",
        &mut to.effort,
        &file.effort,
        &(1..=10_000_000_000),
    );
    if let Some(list) = &file.boards {
        let boards = list.value.iter().map(|item| board(&item.value, checks));
        to.boards = boards.collect();
    }
    if let Some(list) = &file.billets {
        let billets = list.value.iter().map(|item| billet(&item.value, checks));
        to.billets = billets.collect();
    }
}

fn board(file: &BoardFile, checks: &mut Checks<'_>) -> BoardStock {
    BoardStock {
        material: checks.one_text("stock.boards.material", &file.material),
        thickness: checks.one_length("stock.boards.thickness", &file.thickness, &SKIN),
        length: checks.one_length("stock.boards.length", &file.length, &SIDE),
        width: checks.one_length("stock.boards.width", &file.width, &SIDE),
    }
}

fn billet(file: &BilletFile, checks: &mut Checks<'_>) -> BilletStock {
    BilletStock {
        material: checks.one_text("stock.billets.material", &file.material),
        length: checks.one_length("stock.billets.length", &file.length, &SIDE),
        width: checks.one_length("stock.billets.width", &file.width, &SIDE),
        height: checks.one_length("stock.billets.height", &file.height, &SIDE),
    }
}
