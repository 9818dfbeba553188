//! Plans what is cut from what, backwards: panels from blanks, skins from boards, cores from slabs, slabs from billets, lumber
//! from bars.
//!
//! ```text
//!   panels ──► blanks ──► two skins of each ──► boards
//!                    └──► its core, in pieces ──► slabs ──► billets
//!   lumber, splines, plates ──► bars
//! ```
//!
//! *Promises.* Every panel that may be cut lies on exactly one blank, inside its trim, a kerf from its neighbours, with the strength
//! axis as its line has it and the same face up as its neighbours; or a finding says why not. Every sheet comes apart by cuts from
//! edge to edge in the order given. Beside each count stands what no plan can go below, with its scope. Panels on HOLD are on no
//! blank.
//!
//! *Does not do.* A panel's own skins and foam within its rectangle: those are the saw's. Which stock to buy: the plant's rules say
//! what is on hand.

mod apart;
mod attitude;
mod bars;
mod blanks;
mod boards;
pub mod codes;
mod cores;
mod foam;
mod items;
mod leftovers;
mod model;
mod order;
mod sheets;
pub mod solve;
mod tally;

pub use attitude::{Attitude, OnBlank};
pub use leftovers::{Leftovers, read_stock, stock_schema, stock_text};
pub use model::{
    Bar, Billet, Blank, BlankPanel, CutSheet, FoamTally, Leftover, SheetCut, SheetOffcut,
    SheetPiece, StockPlan, Tally,
};

pub use order::{CutKind, NumberedCut, numbered_cuts};

use crate::fabrication::Fabrication;
use crate::findings::{Finding, Outcome, Place};
use crate::geometry::{ShopPoint, ShopRect};
use crate::layout::Layout;
use crate::rules::PlantRules;
use std::collections::BTreeSet;

/// What the plan is made from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Models<'a> {
    pub(crate) layout: &'a Layout,
    pub(crate) fabrication: &'a Fabrication,
    pub(crate) rules: &'a PlantRules,
}

/// What was noticed while planning.
#[derive(Debug, Default)]
struct Notes {
    findings: Vec<Finding>,
    /// Names of what fits no stock.
    unplaced: Vec<String>,
}

/// Plans the stock of a package.
///
/// - `leftovers`: what earlier jobs left over; it is used before new stock.
#[must_use]
pub fn plan_stock(
    layout: &Layout,
    fabrication: &Fabrication,
    rules: &PlantRules,
    leftovers: &Leftovers,
) -> Outcome<StockPlan> {
    let models = &Models {
        layout,
        fabrication,
        rules,
    };
    let mut notes = Notes::default();
    let (mut blanks, blank_counts) = blanks::plan_blanks(models, leftovers, &mut notes);
    let (boards, board_counts) = boards::plan_boards(models, leftovers, &blanks, &mut notes);
    let foam = foam::plan_foam(models, &mut blanks, &mut notes);
    let (bars, bar_counts) = bars::plan_bars(models, leftovers, &mut notes);
    let held = fabrication.panels.iter().filter(|panel| panel.is_held());
    let held: Vec<String> = held.map(|panel| panel.mark.clone()).collect();
    let mut plan = StockPlan {
        blanks,
        boards,
        slabs: foam.slabs,
        billets: foam.billets,
        bars,
        held,
        unplaced: notes.unplaced,
        ..StockPlan::default()
    };
    plan.tallies = tally::tallies(
        models,
        &plan,
        &tally::Counts {
            blanks: &blank_counts,
            boards: &board_counts,
            slabs: &foam.slab_counts,
            billets: &foam.billet_counts,
            bars: &bar_counts,
        },
    );
    plan.foam = tally::foam(models, &plan);
    rename_offcuts(&mut plan, leftovers);
    plan.leftovers = kept(models, &plan, leftovers);
    let mut findings = notes.findings;
    report(&plan, leftovers, &mut findings);
    Outcome {
        output: plan,
        findings,
    }
}

/// Names of the leftovers that the plan uses.
fn used_leftovers(plan: &StockPlan) -> BTreeSet<&str> {
    let sheets = plan.blanks.iter().map(|blank| &blank.sheet);
    let sheets = sheets.chain(&plan.boards).map(|it| it.leftover.as_str());
    let bars = plan.bars.iter().map(|bar| bar.leftover.as_str());
    sheets.chain(bars).filter(|name| !name.is_empty()).collect()
}

/// No offcut bears the name of a leftover of an earlier job: `B01-1` becomes `B01-1b`, then `B01-1c`.
fn rename_offcuts(plan: &mut StockPlan, leftovers: &Leftovers) {
    let taken: BTreeSet<&str> = leftovers.all.iter().map(|it| it.name.as_str()).collect();
    let rename = |name: &mut String| {
        let free = |it: &String| !taken.contains(it.as_str());
        if !free(name) {
            let lettered = ('b'..='z').map(|letter| format!("{name}{letter}"));
            let numbered = (1_u64..).map(|number| format!("{name} {number}"));
            if let Some(other) = lettered.chain(numbered).find(free) {
                *name = other;
            }
        }
    };
    let blanks = plan.blanks.iter_mut().map(|blank| &mut blank.sheet);
    for sheet in blanks.chain(&mut plan.boards) {
        for offcut in &mut sheet.offcuts {
            rename(&mut offcut.name);
        }
    }
    for bar in &mut plan.bars {
        if let Some(name) = &mut bar.kept {
            rename(name);
        }
    }
}

/// What is left over for the next job: leftovers that were not used, then new ones.
fn kept(models: &Models<'_>, plan: &StockPlan, leftovers: &Leftovers) -> Vec<Leftover> {
    let used = used_leftovers(plan);
    let mut all: Vec<Leftover> = leftovers
        .all
        .iter()
        .filter(|it| !used.contains(it.name.as_str()))
        .cloned()
        .collect();
    for blank in &plan.blanks {
        let assembly = models.rules.assemblies.get(blank.assembly);
        let what = assembly.map_or("", |assembly| assembly.name.as_str());
        let was_whole =
            blank.sheet.leftover.is_empty() || leftovers.is_whole(&blank.sheet.leftover);
        let offcuts = sheet_leftovers(&blank.sheet, "blank", what);
        all.extend(offcuts.map(|(left, rect)| Leftover {
            has_whole_core: was_whole && !blank.core_joints.iter().any(|it| passes(it, &rect)),
            ..left
        }));
    }
    for board in &plan.boards {
        let offcuts = sheet_leftovers(board, "board", &board.what);
        all.extend(offcuts.map(|(left, _)| left));
    }
    for bar in &plan.bars {
        if let Some(name) = &bar.kept {
            all.push(Leftover {
                name: name.clone(),
                kind: "bar",
                what: bar.section.clone(),
                grade: bar.grade.clone(),
                length: bar.offcut,
                ..Leftover::default()
            });
        }
    }
    all
}

fn sheet_leftovers<'a>(
    sheet: &'a CutSheet,
    kind: &'static str,
    what: &'a str,
) -> impl Iterator<Item = (Leftover, ShopRect)> + 'a {
    let kept = sheet.offcuts.iter().filter(|offcut| offcut.is_kept);
    let left = move |offcut: &SheetOffcut| Leftover {
        name: offcut.name.clone(),
        kind,
        what: what.to_owned(),
        grade: String::new(),
        thickness: if kind == "board" {
            sheet.thickness
        } else {
            crate::units::Length::ZERO
        },
        length: offcut.rect.width(),
        width: offcut.rect.height(),
        has_whole_core: false,
    };
    kept.map(move |offcut| (left(offcut), offcut.rect))
}

/// True when a core joint runs through the inside of a rectangle.
fn passes([from, to]: &[ShopPoint; 2], rect: &ShopRect) -> bool {
    let (low, high) = (
        [from.x.min(to.x), from.y.min(to.y)],
        [from.x.max(to.x), from.y.max(to.y)],
    );
    low[0] < rect.x1 && high[0] > rect.x0 && low[1] < rect.y1 && high[1] > rect.y0
}

fn report(plan: &StockPlan, leftovers: &Leftovers, findings: &mut Vec<Finding>) {
    if !plan.held.is_empty() {
        findings.push(Finding::note(
            codes::HELD_APART,
            Place::default(),
            format!(
                "{} of the panels are on HOLD and on no blank; their stock is not counted",
                plan.held.len()
            ),
            "settle what holds them before stock is ordered",
        ));
    }
    let used = used_leftovers(plan);
    if !used.is_empty() {
        let names: Vec<&str> = used.into_iter().collect();
        findings.push(Finding::note(
            codes::LEFTOVER_USED,
            Place::default(),
            format!(
                "{} of {} leftovers are used: {}",
                names.len(),
                leftovers.all.len(),
                names.join(", ")
            ),
            "check that each is there, sound, and as large as the file says",
        ));
    }
}
