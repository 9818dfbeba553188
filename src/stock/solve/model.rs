//! What the solvers are given and what they hand back: plain integers of one unit of length, chosen by the caller.

use thiserror::Error;

/// Sheets of one size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    /// Along x.
    pub width: i64,
    /// Along y.
    pub height: i64,
    /// How many there are; `None`: as many as needed.
    pub on_hand: Option<u32>,
    /// What one costs; plans of least cost are looked for, and among them those of fewest sheets.
    pub cost: i64,
}

/// Pieces of one size.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    /// Along x when not turned.
    pub width: i64,
    /// Along y when not turned.
    pub height: i64,
    /// How many are needed.
    pub count: u32,
    /// May lie a quarter turned.
    pub may_turn: bool,
    /// Which batch it belongs to; see [`Saw::window`].
    pub batch: u32,
}

/// Which way the first cuts of a sheet go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirstCut {
    /// First cuts run along x, from side to side.
    AlongWidth,
    /// First cuts run along y, from bottom to top.
    AlongHeight,
    /// Either way, sheet by sheet.
    Either,
}

/// How sheets are sawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Saw {
    /// What a cut turns to dust.
    pub kerf: i64,
    /// What is taken off each of the four edges of a sheet first, its own kerf counted in it.
    pub trim: i64,
    /// Which way the first cuts go.
    pub first_cut: FirstCut,
    /// `Some(s)`: a sheet may hold pieces of batches b to b + s and no others. `None`: any.
    pub window: Option<u32>,
}

/// How much work a solver may do: a count of steps, never time. A million steps take about a tenth of a second.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Effort(pub u64);

/// Where a piece lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Index into the pieces given.
    pub piece: usize,
    /// Lower left corner, from the lower left corner of the whole sheet, trim counted.
    pub x: i64,
    /// Lower left corner, from the lower left corner of the whole sheet, trim counted.
    pub y: i64,
    /// Lies a quarter turned.
    pub turned: bool,
}

/// One cut from edge to edge of the rectangle it parts.
///
/// ```text
///   from ┃░         An upright cut turns to dust what lies between x and x + kerf; a level one between y and y + kerf.
///        ┃░         `from` and `to` stand on the lower edge of the kerf: its centre line is half a kerf further right, or up.
///     to ┃░         At the far edge of a rectangle less than a kerf may be left: then all of that is dust.
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SawCut {
    /// Left or lower end.
    pub from: (i64, i64),
    /// Right or upper end.
    pub to: (i64, i64),
    /// 1: parts the sheet into strips; 2: a strip into rows; 3: a row into pieces; 4: trims a piece lower than its row.
    pub stage: u8,
}

/// A rectangle left over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Offcut {
    /// Lower left corner.
    pub x: i64,
    /// Lower left corner.
    pub y: i64,
    /// Along x.
    pub width: i64,
    /// Along y.
    pub height: i64,
}

/// One sheet, cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutSheet {
    /// Index into the sheets given.
    pub sheet: usize,
    /// The pieces on it, in sawing order.
    pub pieces: Vec<Placed>,
    /// The cuts, in sawing order, after the trim.
    pub cuts: Vec<SawCut>,
    /// What is left over inside the trim, in sawing order.
    pub offcuts: Vec<Offcut>,
}

/// For which plans a bound holds. Each holds for those after it too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scope {
    /// However the pieces are laid, sawn or milled.
    AnyCutting,
    /// For every plan of cuts from edge to edge.
    AnyGuillotine,
}

/// Why no plan can do with less: a whole value for each piece, and the most that pieces on one sheet can be worth.
///
/// If all pieces together are worth `T` and one sheet never holds more than `V`, then `T / V` sheets are needed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Proof {
    /// A piece is worth its area, kerf counted.
    Area,
    /// A piece is worth the product of two dual feasible functions of its sides.
    DualFunctions {
        /// Of the width.
        along: DualFunction,
        /// Of the height.
        up: DualFunction,
    },
    /// Each piece, in the order given, has a value; the most of one sheet is found by dynamic programming over edge-to-edge cuts.
    Values(Vec<i64>),
}

/// A function `f` of lengths such that lengths that fit side by side in `whole` are worth no more than `f(whole)` together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DualFunction {
    /// The length itself.
    Same,
    /// Lengths above `whole - cut` count as the whole, those below `cut` as nothing; `cut` at most half the whole.
    Threshold(i64),
    /// Whole multiples in steps of `1 / parts`.
    Steps(i64),
    /// Counts how many of length `unit` a length displaces.
    Count(i64),
}

/// What no plan can go below.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bound {
    /// No plan uses fewer sheets.
    pub sheets: u32,
    /// No plan costs less.
    pub cost: i64,
    /// For which plans the count holds.
    pub scope: Scope,
    /// For which plans the cost holds.
    pub cost_scope: Scope,
    /// What proves the count: one proof for all pieces, or one for each of some batches, each further from the next than the
    /// window; these are added.
    pub proofs: Vec<BatchProof>,
    /// What proves the cost, in the same way.
    pub cost_proofs: Vec<BatchProof>,
}

/// A proof for the pieces of one batch, or of all.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BatchProof {
    /// `None`: all pieces.
    pub batch: Option<u32>,
    /// The proof.
    pub proof: Proof,
}

/// Sheets cut, and what no plan can go below.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutPlan {
    /// In the order of cutting: batch, then as found.
    pub sheets: Vec<CutSheet>,
    /// What no plan can go below.
    pub bound: Bound,
}

/// Bars of one length.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bar {
    /// Whole length.
    pub length: i64,
    /// How many there are; `None`: as many as needed.
    pub on_hand: Option<u32>,
    /// What one costs.
    pub cost: i64,
}

/// Pieces of one length.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Length1 {
    /// Length.
    pub length: i64,
    /// How many are needed.
    pub count: u32,
}

/// One bar, cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BarUse {
    /// Index into the bars given.
    pub bar: usize,
    /// Indices into the pieces given, in cutting order, from the first end trim on.
    pub pieces: Vec<usize>,
    /// What is left at the far end after the last kerf and before the end trim.
    pub offcut: i64,
}

/// What no plan of bars can go below: whole values of the pieces prove it as [`Proof::Values`] does for sheets, and where they leave
/// a gap and the pieces are few, trying out every filling does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BarBound {
    /// No plan uses fewer bars.
    pub bars: u32,
    /// No plan costs less.
    pub cost: i64,
    /// Values that prove the count of bars, one for each piece.
    pub count_values: Vec<i64>,
    /// Values that prove the cost, one for each piece; or that shorten the trying out that does.
    pub cost_values: Vec<i64>,
    /// The cost is proved by trying out: the values alone prove less.
    pub is_tried: bool,
}

/// Bars cut, and what no plan can go below.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BarPlan {
    /// The bars, longest use first.
    pub bars: Vec<BarUse>,
    /// What no plan can go below.
    pub bound: BarBound,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Unfit {
    /// A piece fits no stock.
    #[error("piece {piece} fits no stock")]
    Piece {
        /// Index into the pieces given.
        piece: usize,
    },
    /// All that is on hand does not do.
    #[error("the stock on hand runs out before piece {piece} is cut")]
    RunsOut {
        /// Index of a piece that is left.
        piece: usize,
    },
    /// A size, kerf or trim is below zero, or a piece has no size, or the numbers are beyond what is counted exactly.
    #[error("{what} is not a size that can be cut")]
    Size {
        /// Which number.
        what: String,
    },
}
