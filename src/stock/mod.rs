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
mod kept;
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
use crate::layout::Layout;
use crate::rules::PlantRules;

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
    let foam = foam::plan_foam(models, leftovers, &mut blanks, &mut notes);
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
    kept::rename_offcuts(&mut plan, leftovers);
    plan.leftovers = kept::kept(models, &plan, leftovers);
    let mut findings = notes.findings;
    report(&plan, leftovers, &mut findings);
    Outcome {
        output: plan,
        findings,
    }
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
    let used = kept::used_leftovers(plan);
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
