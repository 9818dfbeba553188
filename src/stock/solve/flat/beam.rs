//! Beam search over slots: sheets are filled strip by strip, row by row, piece by piece, and the best partial plans are kept.
//!
//! ```text
//!   ┌──────┬─────┬ ─ ─ ┐   the next piece goes: beside the last one in its row · in a new row of the strip
//!   │      ├──┬──┤     │                        in a new strip · on a new sheet
//!   ├───┬──┤  │▒▒│     │   a slot is left behind only when no piece fits it any more: a plan that leaves one can be
//!   │   │  ├──┴──┤     │   mended by moving a later piece forward, so nothing is lost
//!   └───┴──┴─────┴ ─ ─ ┘
//! ```
//!
//! Level by level, all partial plans with equally many pieces are compared by a guide and the best few go on. Partial plans
//! whose price so far and whose least price for the rest exceed the target are dropped. Cost: width x pieces x types.

use super::super::numbers::{real, short};
use super::pattern::{Pattern, Slot};
use super::problem::{Problem, Use};
use std::collections::BTreeSet;

/// By what partial plans are compared: less is better.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Guide {
    /// Share of waste so far.
    Waste,
    /// Share of waste over mean worth of the pieces laid: large pieces first.
    WasteBySize,
    /// The same with a little waste granted: large pieces count even while nothing is wasted.
    SizeFirst,
}

/// What a beam search is to do.
#[derive(Debug, Clone)]
pub(super) struct Task<'a> {
    /// How many of each type to lay.
    pub(super) demand: &'a [u32],
    /// Worth of each type to the guide.
    pub(super) worth: &'a [f64],
    pub(super) guide: Guide,
    /// How many partial plans are kept.
    pub(super) width: usize,
    /// Plans of a higher price, the last sheet priced by what is used of it, are of no use.
    pub(super) target: f64,
    /// Frames to use.
    pub(super) frames: &'a [usize],
    /// How many of each kind of sheet may still be used.
    pub(super) stock: &'a [u32],
    /// Work in all at which the search gives up.
    pub(super) limit: u64,
}

/// A plan, and its price with the last sheet priced by what is used of it.
#[derive(Debug, Clone)]
pub(super) struct Found {
    pub(super) plan: Vec<Pattern>,
    pub(super) price: f64,
}

/// A partial plan.
#[derive(Debug, Clone, Default)]
struct Node {
    /// Of the pieces laid.
    hash: u64,
    kind: usize,
    frame: usize,
    front: Front,
    /// The last use laid in the row.
    last: usize,
    /// Price of the sheets before this one.
    closed: f64,
    laid_area: f64,
    laid_worth: f64,
    /// First and last batch on the sheet.
    batches: (u32, u32),
    trace: u32,
}

/// A partial plan with one piece more, not made yet.
#[derive(Debug, Clone, Copy)]
struct Child {
    key: u64,
    hash: u64,
    parent: u32,
    slot: Slot,
    at: usize,
    kind: usize,
    frame: usize,
}

impl Child {
    /// Of equal partial plans the one whose row may take most of what is left comes first.
    fn order(&self) -> (u64, u64, usize, u32, Slot) {
        (self.key, self.hash, self.at, self.parent, self.slot)
    }
}

/// How a partial plan came about: what was before, what was laid.
#[derive(Debug, Clone, Copy)]
struct Step {
    before: u32,
    slot: Slot,
    at: usize,
    kind: usize,
    frame: usize,
}

/// What a search came to.
#[derive(Debug, Clone)]
pub(super) struct Answer {
    /// The plan found, if any within the target.
    pub(super) found: Option<Found>,
    /// No partial plan was dropped for another: where nothing was found there is nothing within the target.
    pub(super) whole: bool,
}

/// Searches; what it took is added to `work`.
pub(super) fn beam(problem: &Problem, task: &Task<'_>, work: &mut u64) -> Answer {
    let n_pieces: u32 = task.demand.iter().sum();
    let mut beam = Beam::new(problem, task);
    for level in 1..=n_pieces {
        beam.expand(real(i64::from(level)));
        *work += beam.work;
        beam.work = 0;
        beam.settle();
        let stopped = *work > task.limit;
        if beam.nodes.is_empty() || stopped {
            return Answer {
                found: None,
                whole: beam.whole && !stopped,
            };
        }
    }
    Answer {
        found: Some(beam.plan()),
        whole: beam.whole,
    }
}

struct Beam<'a> {
    problem: &'a Problem,
    task: &'a Task<'a>,
    total_area: f64,
    reference: f64,
    nodes: Vec<Node>,
    /// What is left of each type, and of each kind of sheet, node by node.
    left: Vec<u32>,
    stock: Vec<u32>,
    /// Uses that a node may still lay.
    open: Vec<usize>,
    children: Vec<Child>,
    worst: u64,
    steps: Vec<Step>,
    whole: bool,
    work: u64,
}

impl<'a> Beam<'a> {
    fn new(problem: &'a Problem, task: &'a Task<'a>) -> Self {
        let areas = problem.types.iter().zip(task.demand);
        let highest = problem.kinds.iter().filter(|it| it.on_hand.is_none());
        let reference = highest.map(|it| it.rate).fold(0.0, f64::max);
        Self {
            problem,
            task,
            total_area: areas.map(|(it, n)| it.area * real(i64::from(*n))).sum(),
            reference: if reference > 0.0 {
                reference
            } else {
                problem.least_rate
            },
            nodes: vec![Node {
                kind: usize::MAX,
                trace: u32::MAX,
                ..Node::default()
            }],
            left: task.demand.to_vec(),
            stock: task.stock.to_vec(),
            open: Vec::new(),
            children: Vec::new(),
            worst: u64::MAX,
            steps: Vec::new(),
            whole: true,
            work: 0,
        }
    }

    /// All partial plans with one piece more; `level` counts their pieces.
    fn expand(&mut self, level: f64) {
        self.children.clear();
        self.worst = u64::MAX;
        let nodes = std::mem::take(&mut self.nodes);
        for (index, node) in nodes.iter().enumerate() {
            self.expand_node(index, node, level);
        }
        self.nodes = nodes;
    }

    fn expand_node(&mut self, index: usize, node: &Node, level: f64) {
        if node.kind == usize::MAX {
            self.offer_sheets(index, node, level);
            return;
        }
        let problem = self.problem;
        let uses = &problem.uses[node.frame];
        let (width, height) = problem.extent(node.kind, node.frame);
        let front = node.front;
        let mut open = std::mem::take(&mut self.open);
        open.clear();
        let left = &self.left[index * problem.types.len()..];
        open.extend((0..uses.len()).filter(|at| {
            let it = &uses[*at];
            left[it.of] > 0 && within_window(problem, node, it)
        }));
        self.work += u64::from(short(open.len() / 8));
        let (mut row_fits, mut strip_fits, mut sheet_fits) = (false, false, false);
        // Beside the last piece: its row is opened by its highest piece, so only what comes later in the order.
        let from = open.partition_point(|at| *at < node.last);
        for at in &open[from..] {
            let end = front.x + uses[*at].w;
            if end <= width {
                row_fits |= end <= front.edge;
                sheet_fits = true;
                self.offer(index, node, &uses[*at], (Slot::Beside, *at), level);
            }
        }
        if !row_fits {
            let from = open.partition_point(|at| uses[*at].h > height - front.high);
            for at in &open[from..] {
                let end = front.start + uses[*at].w;
                if end <= width {
                    strip_fits |= end <= front.edge;
                    sheet_fits = true;
                    self.offer(index, node, &uses[*at], (Slot::Row, *at), level);
                }
            }
        }
        if !row_fits && !strip_fits {
            let from = open.partition_point(|at| uses[*at].h > height);
            for at in &open[from..] {
                if front.edge + uses[*at].w <= width {
                    sheet_fits = true;
                    self.offer(index, node, &uses[*at], (Slot::Strip, *at), level);
                }
            }
        }
        self.open = open;
        if !sheet_fits {
            self.offer_sheets(index, node, level);
        }
    }

    fn offer_sheets(&mut self, index: usize, node: &Node, level: f64) {
        let n_types = self.problem.types.len();
        let n_kinds = self.problem.kinds.len();
        for kind in 0..n_kinds {
            if self.stock[index * n_kinds + kind] == 0 {
                continue;
            }
            for frame in self.task.frames {
                let (width, height) = self.problem.extent(kind, *frame);
                let closed = self.closed_price(node);
                let fresh = Node {
                    kind,
                    frame: *frame,
                    closed,
                    ..node.clone()
                };
                for (at, it) in self.problem.uses[*frame].iter().enumerate() {
                    if it.w <= width && it.h <= height && self.left[index * n_types + it.of] > 0 {
                        self.offer(index, &fresh, it, (Slot::Sheet, at), level);
                    }
                }
            }
        }
    }

    /// Price of all sheets up to and with the current one.
    fn closed_price(&self, node: &Node) -> f64 {
        match self.problem.kinds.get(node.kind) {
            Some(kind) => node.closed + kind.price,
            None => 0.0,
        }
    }

    /// Offers a partial plan with one piece more; dropped when it cannot meet the target or more than enough are better.
    #[inline]
    fn offer(
        &mut self,
        parent: usize,
        node: &Node,
        it: &Use,
        (slot, at): (Slot, usize),
        level: f64,
    ) {
        self.work += 1;
        let front = Front::after(node, it, slot);
        let laid = node.laid_area + it.area;
        let price = node.closed + self.rate(node) * front.area(self.height(node));
        let least = price + (self.total_area - laid) * self.problem.least_rate;
        if least > self.task.target {
            return;
        }
        let worth = node.laid_worth + self.task.worth[it.of];
        let waste = 1.0 - worth * self.reference / price;
        let key = match self.task.guide {
            Guide::Waste => waste,
            Guide::WasteBySize => waste / (worth / level),
            Guide::SizeFirst => (waste + 0.1) / (worth / level),
        };
        let key = ordered(key);
        if key > self.worst {
            return;
        }
        let mut pieces = node.hash.wrapping_add(type_hash(it));
        if self.problem.saw.window.is_some() {
            let (first, last) = batches_with(node, it, slot);
            pieces = scrambled(pieces ^ u64::from(first)).wrapping_add(u64::from(last));
        }
        let hash = front.hash(node, pieces);
        self.children.push(Child {
            key,
            hash,
            parent: short(parent),
            slot,
            at,
            kind: node.kind,
            frame: node.frame,
        });
        if self.children.len() > 6 * self.task.width + 1000 {
            self.thin(3 * self.task.width);
        }
    }

    fn rate(&self, node: &Node) -> f64 {
        self.problem.kinds[node.kind].rate
    }

    fn height(&self, node: &Node) -> i64 {
        self.problem.extent(node.kind, node.frame).1
    }

    /// Keeps the best `n` children.
    fn thin(&mut self, n: usize) {
        if n > 0 && self.children.len() > n {
            self.whole = false;
            self.children
                .select_nth_unstable_by_key(n - 1, Child::order);
            self.children.truncate(n);
            self.worst = self
                .children
                .iter()
                .map(|it| it.key)
                .max()
                .unwrap_or(u64::MAX);
        }
    }

    /// Makes the best children the next level.
    fn settle(&mut self) {
        self.thin(3 * self.task.width);
        self.children.sort_unstable_by_key(Child::order);
        let n_types = self.problem.types.len();
        let n_kinds = self.problem.kinds.len();
        let mut seen = BTreeSet::new();
        let (mut nodes, mut left, mut stock) = (Vec::new(), Vec::new(), Vec::new());
        for child in &self.children {
            if !seen.insert(child.hash) {
                continue;
            }
            if nodes.len() == self.task.width {
                self.whole = false;
                break;
            }
            let parent = usize::try_from(child.parent).unwrap_or(0);
            let old = &self.nodes[parent];
            let it = &self.problem.uses[child.frame][child.at];
            let from = left.len();
            left.extend_from_slice(&self.left[parent * n_types..(parent + 1) * n_types]);
            left[from + it.of] -= 1;
            let from = stock.len();
            stock.extend_from_slice(&self.stock[parent * n_kinds..(parent + 1) * n_kinds]);
            let mut node = old.clone();
            if child.slot == Slot::Sheet {
                stock[from + child.kind] -= 1;
                node.closed = self.closed_price(old);
                node.kind = child.kind;
                node.frame = child.frame;
            }
            node.batches = batches_with(&node, it, child.slot);
            node.front = Front::after(&node, it, child.slot);
            node.last = child.at;
            node.hash = old.hash.wrapping_add(type_hash(it));
            node.laid_area = old.laid_area + it.area;
            node.laid_worth = old.laid_worth + self.task.worth[it.of];
            node.trace = short(self.steps.len());
            self.steps.push(Step {
                before: old.trace,
                slot: child.slot,
                at: child.at,
                kind: child.kind,
                frame: child.frame,
            });
            nodes.push(node);
        }
        self.nodes = nodes;
        self.left = left;
        self.stock = stock;
    }

    /// The cheapest of the nodes as a plan, the last sheet priced by what is used of it.
    fn plan(&self) -> Found {
        let price = |it: &Node| it.closed + self.rate(it) * it.front.area(self.height(it));
        let best = self
            .nodes
            .iter()
            .min_by(|a, b| price(a).total_cmp(&price(b)));
        let price = best.map_or(0.0, price);
        let mut steps = Vec::new();
        let mut trace = best.map_or(u32::MAX, |it| it.trace);
        while let Some(step) = usize::try_from(trace)
            .ok()
            .and_then(|at| self.steps.get(at))
        {
            steps.push(*step);
            trace = step.before;
        }
        let mut plan: Vec<Pattern> = Vec::new();
        for step in steps.iter().rev() {
            if step.slot == Slot::Sheet {
                plan.push(Pattern {
                    kind: step.kind,
                    frame: step.frame,
                    moves: Vec::new(),
                });
            }
            if let Some(sheet) = plan.last_mut() {
                sheet.moves.push((step.slot, step.at));
            }
        }
        Found { plan, price }
    }
}

/// Whether a piece's batch may stand on the sheet.
fn within_window(problem: &Problem, node: &Node, it: &Use) -> bool {
    problem.saw.window.is_none_or(|window| {
        let (first, last) = node.batches;
        last.max(it.batch) - first.min(it.batch) <= window
    })
}

/// First and last batch on the sheet with the piece.
fn batches_with(node: &Node, it: &Use, slot: Slot) -> (u32, u32) {
    if slot == Slot::Sheet {
        return (it.batch, it.batch);
    }
    let (first, last) = node.batches;
    (first.min(it.batch), last.max(it.batch))
}

/// How far a sheet is filled.
///
/// Closed strips end at `start`; the current one spans from there to `edge`. Its current row spans from `low` to `high` and is
/// filled up to `x`.
#[derive(Debug, Clone, Copy, Default)]
struct Front {
    start: i64,
    edge: i64,
    low: i64,
    high: i64,
    x: i64,
}

impl Front {
    /// The front once a piece more is laid.
    #[inline]
    fn after(node: &Node, it: &Use, slot: Slot) -> Self {
        let now = node.front;
        match slot {
            Slot::Beside => {
                let x = now.x + it.w;
                let edge = now.edge.max(x);
                Self { x, edge, ..now }
            }
            Slot::Row => {
                let x = now.start + it.w;
                Self {
                    start: now.start,
                    edge: now.edge.max(x),
                    low: now.high,
                    high: now.high + it.h,
                    x,
                }
            }
            Slot::Strip | Slot::Sheet => {
                let start = if slot == Slot::Sheet { 0 } else { now.edge };
                Self {
                    start,
                    edge: start + it.w,
                    low: 0,
                    high: it.h,
                    x: start + it.w,
                }
            }
        }
    }

    /// Area behind the front of a sheet of this height.
    #[inline]
    fn area(&self, height: i64) -> f64 {
        real(self.start) * real(height)
            + real(self.edge - self.start) * real(self.low)
            + real(self.x - self.start) * real(self.high - self.low)
    }

    /// Equal for partial plans that go on alike.
    #[inline]
    fn hash(&self, node: &Node, pieces: u64) -> u64 {
        let place = node.kind * 2 + node.frame;
        let mut hash = scrambled(pieces ^ node.closed.to_bits()) ^ u64::from(short(place));
        for side in [self.start, self.edge, self.low, self.high, self.x] {
            hash = (hash.rotate_left(5) ^ side.cast_unsigned()).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        }
        scrambled(hash)
    }
}

#[inline]
fn type_hash(it: &Use) -> u64 {
    scrambled(u64::from(short(it.of)))
}

/// A number whose bits all hang on all bits of the one given (splitmix64, public domain).
fn scrambled(n: u64) -> u64 {
    let mut z = n.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}

/// A key that sorts as the number does.
fn ordered(key: f64) -> u64 {
    let bits = key.to_bits();
    if bits >> 63 == 0 {
        bits | 1 << 63
    } else {
        !bits
    }
}
