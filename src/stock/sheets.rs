//! Named rectangles onto sheets of stock: hands whole numbers to the solver and gives its answer names and exact lengths.

use super::model::{CutSheet, SheetCut, SheetOffcut, SheetPiece};
use super::solve::{Effort, FirstCut, Piece, Saw, Scope, Sheet, cost_bound, cut_sheets};
use crate::geometry::{ShopPoint, ShopRect};
use crate::units::Length;
use std::collections::BTreeMap;

/// A rectangle wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Want {
    pub(super) name: String,
    /// Along the sheet.
    pub(super) length: Length,
    /// Across it.
    pub(super) width: Length,
    pub(super) batch: u32,
}

/// Sheets of one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Kind {
    pub(super) length: Length,
    pub(super) width: Length,
    /// Name of the leftover it is; `None`: new stock, as many as needed.
    pub(super) leftover: Option<String>,
}

impl Kind {
    /// New stock.
    pub(super) const fn new(length: Length, width: Length) -> Self {
        Self {
            length,
            width,
            leftover: None,
        }
    }

    /// Cost in square sixteenths of an inch; a leftover costs a tenth, so that it is used first.
    fn cost(&self) -> i64 {
        let sixteenth = Length::fraction(0, 1, 16);
        let area = self.length.steps_of(sixteenth) * self.width.steps_of(sixteenth);
        if self.leftover.is_some() {
            area / 10
        } else {
            area
        }
    }
}

/// What is cut from what, and how.
pub(super) struct SheetProblem<'a> {
    pub(super) what: String,
    pub(super) thickness: Length,
    pub(super) kinds: &'a [Kind],
    pub(super) wants: &'a [Want],
    pub(super) trim: Length,
    pub(super) kerf: Length,
    pub(super) window: Option<u32>,
    pub(super) effort: u64,
    pub(super) least: Least,
}

/// What an offcut must measure to be kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Least {
    pub(super) width: Length,
    pub(super) length: Length,
}

impl Least {
    fn is_kept(self, rect: &ShopRect) -> bool {
        let (x, y) = (rect.width(), rect.height());
        x.min(y) >= self.width && x.max(y) >= self.length
    }
}

/// What came of it.
#[derive(Clone, Debug, Default)]
pub(super) struct SheetAnswer {
    /// Sheets without names; their pieces are named.
    pub(super) sheets: Vec<CutSheet>,
    /// By sheet and piece, the index into the wants.
    pub(super) wants: Vec<Vec<usize>>,
    /// Indices of wants that fit no sheet.
    pub(super) unfit: Vec<usize>,
    /// No plan uses fewer sheets.
    pub(super) bound: usize,
    /// No plan uses less area of new stock, square inches.
    pub(super) bound_area: f64,
    pub(super) scope: &'static str,
    /// True where sheets differ in size.
    pub(super) has_sizes: bool,
    /// True where leftovers were on hand.
    pub(super) has_leftovers: bool,
}

impl SheetAnswer {
    /// Square inches of all its sheets.
    pub(super) fn area(&self) -> f64 {
        self.sheets.iter().map(CutSheet::square_inches).sum()
    }

    /// Square inches of new stock.
    pub(super) fn new_area(&self) -> f64 {
        let new = self.sheets.iter().filter(|it| it.leftover.is_empty());
        new.map(CutSheet::square_inches).sum()
    }
}

/// Cuts all wants that fit.
pub(super) fn cut(problem: &SheetProblem<'_>) -> SheetAnswer {
    let room = |kind: &Kind| {
        let trims = problem.trim * 2;
        (kind.length - trims, kind.width - trims)
    };
    let fits = |want: &Want| {
        let new = problem.kinds.iter().filter(|kind| kind.leftover.is_none());
        let mut rooms = new.map(room);
        rooms.any(|(length, width)| want.length <= length && want.width <= width)
    };
    let mut answer = SheetAnswer {
        scope: scope_name(Scope::AnyCutting),
        has_sizes: problem.kinds.len() > 1,
        has_leftovers: problem.kinds.iter().any(|it| it.leftover.is_some()),
        ..SheetAnswer::default()
    };
    // Equal wants are one piece; which of them lies where is settled afterwards, the first first.
    let mut groups: BTreeMap<(u32, i64, i64), Vec<usize>> = BTreeMap::new();
    for (index, want) in problem.wants.iter().enumerate() {
        if !fits(want) {
            answer.unfit.push(index);
            continue;
        }
        let key = (
            want.batch,
            want.length.to_nanometres(),
            want.width.to_nanometres(),
        );
        groups.entry(key).or_default().push(index);
    }
    if groups.is_empty() {
        return answer;
    }
    let pieces: Vec<Piece> = groups
        .iter()
        .map(|((batch, width, height), wants)| Piece {
            width: *width,
            height: *height,
            count: u32::try_from(wants.len()).unwrap_or(u32::MAX),
            // A quarter-turn would turn the strength axis.
            may_turn: false,
            batch: *batch,
        })
        .collect();
    let sheets: Vec<Sheet> = problem
        .kinds
        .iter()
        .map(|kind| Sheet {
            width: kind.length.to_nanometres(),
            height: kind.width.to_nanometres(),
            on_hand: kind.leftover.as_ref().map(|_| 1),
            cost: kind.cost(),
        })
        .collect();
    let saw = Saw {
        kerf: problem.kerf.to_nanometres(),
        trim: problem.trim.to_nanometres(),
        first_cut: FirstCut::Either,
        window: problem.window,
    };
    let Ok(plan) = cut_sheets(&sheets, &pieces, &saw, Effort(problem.effort)) else {
        // Everything fits new stock of which there is as much as needed; what is refused nevertheless is not cut in silence.
        answer.unfit = (0..problem.wants.len()).collect();
        return answer;
    };
    let mut queues: Vec<_> = groups
        .into_values()
        .map(|wants| wants.into_iter())
        .collect();
    for sheet in &plan.sheets {
        let Some(kind) = problem.kinds.get(sheet.sheet) else {
            continue;
        };
        let mut found = CutSheet {
            what: problem.what.clone(),
            leftover: kind.leftover.clone().unwrap_or_default(),
            length: kind.length,
            width: kind.width,
            thickness: problem.thickness,
            trim: problem.trim,
            kerf: problem.kerf,
            ..CutSheet::default()
        };
        let mut indices = Vec::new();
        for placed in &sheet.pieces {
            let next = queues.get_mut(placed.piece).and_then(Iterator::next);
            let Some((index, want)) = next.and_then(|i| Some((i, problem.wants.get(i)?))) else {
                continue;
            };
            indices.push(index);
            found.pieces.push(SheetPiece {
                name: want.name.clone(),
                rect: rect(placed.x, placed.y, want.length, want.width),
            });
        }
        found.cuts = sheet
            .cuts
            .iter()
            .map(|cut| SheetCut {
                from: point(cut.from),
                to: point(cut.to),
                stage: cut.stage,
            })
            .collect();
        found.offcuts = sheet
            .offcuts
            .iter()
            .map(|it| {
                let (length, width) = (Length::nanometres(it.width), Length::nanometres(it.height));
                let rect = rect(it.x, it.y, length, width);
                SheetOffcut {
                    name: String::new(),
                    rect,
                    is_kept: problem.least.is_kept(&rect),
                }
            })
            .collect();
        answer.sheets.push(found);
        answer.wants.push(indices);
    }
    answer.bound = usize::try_from(plan.bound.sheets).unwrap_or_default();
    answer.bound_area = area_of_cost(if answer.has_leftovers {
        // What leftovers cost is for the search; new stock is counted here, and they are free.
        let free = sheets.iter().map(|it| Sheet {
            cost: it.on_hand.map_or(it.cost, |_| 0),
            ..it.clone()
        });
        cost_bound(&free.collect::<Vec<_>>(), &pieces, &saw, &plan.bound)
    } else {
        plan.bound.cost
    });
    // Where sizes differ count and area stand side by side: the narrower scope holds for both.
    answer.scope = scope_name(if answer.has_sizes {
        plan.bound.scope.max(plan.bound.cost_scope)
    } else {
        plan.bound.scope
    });
    answer
}

/// Names a sheet and its offcuts: `H01`, `H01-1`, `H01-2`.
pub(super) fn name_sheet(sheet: &mut CutSheet, name: &str) {
    name.clone_into(&mut sheet.name);
    for (number, offcut) in sheet.offcuts.iter_mut().enumerate() {
        offcut.name = format!("{name}-{}", number + 1);
    }
}

/// Scopes from the widest: a bound for one holds for those after it.
const SCOPES: [&str; 2] = ["any cutting", "any guillotine cutting"];

/// The scope of the sum of two bounds.
pub(super) fn weaker(a: &'static str, b: &'static str) -> &'static str {
    let place = |scope| SCOPES.iter().position(|it| *it == scope);
    if place(a) < place(b) { b } else { a }
}

const fn scope_name(scope: Scope) -> &'static str {
    match scope {
        Scope::AnyCutting => SCOPES[0],
        Scope::AnyGuillotine => SCOPES[1],
    }
}

/// Square inches.
#[expect(
    clippy::cast_precision_loss,
    reason = "an area for sentences and lists"
)]
fn area_of_cost(cost: i64) -> f64 {
    cost as f64 / 256.0
}

fn point((x, y): (i64, i64)) -> ShopPoint {
    ShopPoint::new(Length::nanometres(x), Length::nanometres(y))
}

fn rect(x: i64, y: i64, length: Length, width: Length) -> ShopRect {
    let (x0, y0) = (Length::nanometres(x), Length::nanometres(y));
    ShopRect::new(x0, y0, x0 + length, y0 + width)
}
