//! The problem as the searches see it: kerf counted into every piece and sheet, equal pieces made one type.

use super::super::model::{Bound, FirstCut, Piece, Saw, Sheet, Unfit};
use super::super::numbers::{common_divisor, real};

/// Lengths beyond this are refused: sums and products in proofs then stay within 128 bits, sums of lengths within 64.
const LONGEST: i64 = 1 << 40;
/// More pieces than this are refused.
const MOST_PIECES: u64 = 1 << 20;

/// A usable kind of sheet, inside its trim, one kerf longer and wider: see [`Problem`].
#[derive(Debug, Clone)]
pub(super) struct Kind {
    pub(super) sheet: usize,
    pub(super) width: i64,
    pub(super) height: i64,
    pub(super) on_hand: Option<u32>,
    /// Cost first, then one for the sheet; one alone where there is one kind. What a search makes least.
    pub(super) price: f64,
    /// Price of a unit of area.
    pub(super) rate: f64,
}

/// Equal pieces.
#[derive(Debug, Clone)]
pub(super) struct Type {
    pub(super) width: i64,
    pub(super) height: i64,
    pub(super) count: u32,
    pub(super) may_turn: bool,
    pub(super) batch: u32,
    pub(super) area: f64,
    /// Which of the pieces given, and how many of each.
    pub(super) members: Vec<(usize, u32)>,
}

/// One way to lay a type, in the frame where strips stand side by side along the first axis.
#[derive(Debug, Clone, Copy)]
pub(super) struct Use {
    pub(super) of: usize,
    /// Along the first axis.
    pub(super) w: i64,
    /// Along the second.
    pub(super) h: i64,
    pub(super) turned: bool,
    pub(super) area: f64,
    pub(super) batch: u32,
}

/// Sheets and pieces with the kerf counted in.
///
/// A row of pieces `w1 + k, w2 + k, ...` fits `W + k` exactly when the pieces and the kerfs between them fit `W`: the last piece
/// needs no kerf behind it.
#[derive(Debug, Clone)]
pub(super) struct Problem {
    pub(super) kinds: Vec<Kind>,
    pub(super) types: Vec<Type>,
    /// Uses when strips stand side by side along x, and along y; highest first.
    pub(super) uses: [Vec<Use>; 2],
    /// Which of the two frames may be used.
    pub(super) frames: Vec<usize>,
    pub(super) saw: Saw,
    /// All lengths here are those given divided by this.
    pub(super) unit: i64,
    /// Least rate of a kind.
    pub(super) least_rate: f64,
    /// What a unit of cost weighs in a price against one sheet.
    cost_weight: f64,
}

impl Problem {
    /// Reads the problem.
    pub(super) fn read(sheets: &[Sheet], pieces: &[Piece], saw: &Saw) -> Result<Self, Unfit> {
        checked_sizes(sheets, pieces, saw)?;
        let n_pieces: u64 = pieces.iter().map(|it| u64::from(it.count)).sum();
        let mut kinds = kinds(sheets, saw);
        let mut types = types(pieces, saw);
        for kind_or_type in &types {
            if !kinds.iter().any(|kind| lies_on(kind_or_type, kind)) {
                let piece = kind_or_type.members.first().map_or(0, |it| it.0);
                return Err(Unfit::Piece { piece });
            }
        }
        kinds.retain(|kind| types.iter().any(|it| lies_on(it, kind)));
        let cost_weight = if kinds.len() == 1 { 0 } else { n_pieces + 1 };
        let cost_weight = real(i64::try_from(cost_weight).unwrap_or(i64::MAX));
        let lengths = kinds.iter().flat_map(|it| [it.width, it.height]);
        let sides = types.iter().flat_map(|it| [it.width, it.height]);
        let unit = lengths.chain(sides).fold(0, common_divisor).max(1);
        for kind in &mut kinds {
            kind.width /= unit;
            kind.height /= unit;
            kind.price = real(sheets[kind.sheet].cost) * cost_weight + 1.0;
            kind.rate = kind.price / (real(kind.width) * real(kind.height));
        }
        kinds.sort_by(|a, b| a.rate.total_cmp(&b.rate).then(a.sheet.cmp(&b.sheet)));
        for it in &mut types {
            it.width /= unit;
            it.height /= unit;
            it.area = real(it.width) * real(it.height);
        }
        let least_rate = kinds.iter().map(|it| it.rate).fold(f64::INFINITY, f64::min);
        let frames = match saw.first_cut {
            FirstCut::AlongHeight => vec![0],
            FirstCut::AlongWidth => vec![1],
            FirstCut::Either => vec![0, 1],
        };
        Ok(Self {
            uses: [uses(&types, &kinds, 0), uses(&types, &kinds, 1)],
            kinds,
            types,
            frames,
            saw: *saw,
            unit,
            least_rate,
            cost_weight,
        })
    }

    /// Length along the first and the second axis of a kind of sheet in a frame.
    pub(super) fn extent(&self, kind: usize, frame: usize) -> (i64, i64) {
        let it = &self.kinds[kind];
        if frame == 0 {
            (it.width, it.height)
        } else {
            (it.height, it.width)
        }
    }

    /// How many of each type are needed.
    pub(super) fn demand(&self) -> Vec<u32> {
        self.types.iter().map(|it| it.count).collect()
    }

    /// No plan has a lower price than this.
    pub(super) fn floor(&self, bound: &Bound) -> f64 {
        real(bound.cost) * self.cost_weight + real(i64::from(bound.sheets))
    }

    /// How many of each kind of sheet there are.
    pub(super) fn stock(&self) -> Vec<u32> {
        let stock = self.kinds.iter().map(|it| it.on_hand.unwrap_or(u32::MAX));
        stock.collect()
    }

    /// All stock; and where several kinds can be had, each endless one alone, with and without what is on hand: a search that
    /// sees fewer kinds sees further.
    pub(super) fn choices(&self) -> Vec<Vec<u32>> {
        let all = self.stock();
        let mut choices = vec![all.clone()];
        for only in (0..self.kinds.len()).filter(|it| self.kinds[*it].on_hand.is_none()) {
            for on_hand in [true, false] {
                let open =
                    |kind: usize| kind == only || on_hand && self.kinds[kind].on_hand.is_some();
                let stock = all.iter().enumerate();
                let stock = stock
                    .map(|(kind, n)| if open(kind) { *n } else { 0 })
                    .collect();
                if !choices.contains(&stock) {
                    choices.push(stock);
                }
            }
        }
        choices
    }
}

fn checked_sizes(sheets: &[Sheet], pieces: &[Piece], saw: &Saw) -> Result<(), Unfit> {
    let refuse = |what: String| Err(Unfit::Size { what });
    if !(0..LONGEST).contains(&saw.kerf) || !(0..LONGEST).contains(&saw.trim) {
        return refuse(format!("kerf {} with trim {}", saw.kerf, saw.trim));
    }
    for (i, it) in sheets.iter().enumerate() {
        let sides = [it.width, it.height].into_iter();
        if !sides.clone().all(|side| (1..LONGEST).contains(&side))
            || !(0..LONGEST).contains(&it.cost)
        {
            return refuse(format!(
                "sheet {i}: {} x {} at {}",
                it.width, it.height, it.cost
            ));
        }
    }
    for (i, it) in pieces.iter().enumerate() {
        let mut sides = [it.width, it.height].into_iter();
        if !sides.all(|side| (1..LONGEST).contains(&side)) {
            return refuse(format!("piece {i}: {} x {}", it.width, it.height));
        }
    }
    let n: u64 = pieces.iter().map(|it| u64::from(it.count)).sum();
    if n > MOST_PIECES {
        return refuse(format!("a count of {n} pieces"));
    }
    Ok(())
}

fn kinds(sheets: &[Sheet], saw: &Saw) -> Vec<Kind> {
    let usable = sheets.iter().enumerate().filter_map(|(sheet, it)| {
        let width = it.width - 2 * saw.trim + saw.kerf;
        let height = it.height - 2 * saw.trim + saw.kerf;
        let sawable = width > saw.kerf && height > saw.kerf && it.on_hand != Some(0);
        sawable.then_some(Kind {
            sheet,
            width,
            height,
            on_hand: it.on_hand,
            price: 0.0,
            rate: 0.0,
        })
    });
    usable.collect()
}

fn types(pieces: &[Piece], saw: &Saw) -> Vec<Type> {
    let mut types: Vec<Type> = Vec::new();
    for (index, it) in pieces.iter().enumerate().filter(|(_, it)| it.count > 0) {
        let may_turn = it.may_turn && it.width != it.height;
        // Without a window all batches are one.
        let batch = saw.window.map_or(0, |_| it.batch);
        let (width, height) = (it.width + saw.kerf, it.height + saw.kerf);
        let same = types.iter_mut().find(|of| {
            (of.width, of.height, of.may_turn, of.batch) == (width, height, may_turn, batch)
        });
        match same {
            Some(of) => {
                of.count += it.count;
                of.members.push((index, it.count));
            }
            None => types.push(Type {
                width,
                height,
                count: it.count,
                may_turn,
                batch,
                area: 0.0,
                members: vec![(index, it.count)],
            }),
        }
    }
    types
}

fn lies_on(it: &Type, kind: &Kind) -> bool {
    let fits = |w, h| w <= kind.width && h <= kind.height;
    fits(it.width, it.height) || it.may_turn && fits(it.height, it.width)
}

/// Every way to lay every type that some kind of sheet can hold, highest first: a row is opened by its highest piece.
fn uses(types: &[Type], kinds: &[Kind], frame: usize) -> Vec<Use> {
    let mut uses = Vec::new();
    for (of, it) in types.iter().enumerate() {
        for turned in [false, true] {
            let (x, y) = if turned {
                (it.height, it.width)
            } else {
                (it.width, it.height)
            };
            let fits = kinds.iter().any(|k| x <= k.width && y <= k.height);
            if fits && (it.may_turn || !turned) {
                let (w, h) = if frame == 0 { (x, y) } else { (y, x) };
                uses.push(Use {
                    of,
                    w,
                    h,
                    turned,
                    area: it.area,
                    batch: it.batch,
                });
            }
        }
    }
    uses.sort_by_key(|it| (-it.h, -it.w, it.of, it.turned));
    uses
}
