//! What goes back to the rack: which leftovers of earlier jobs are used, and what is kept of this one.

use super::Models;
use super::leftovers::Leftovers;
use super::model::{CutSheet, Leftover, SheetOffcut, StockPlan};
use crate::geometry::{ShopPoint, ShopRect};
use crate::units::Length;
use std::collections::BTreeSet;

/// Names of the leftovers that the plan uses.
pub(super) fn used_leftovers(plan: &StockPlan) -> BTreeSet<&str> {
    let sheets = plan.blanks.iter().map(|blank| &blank.sheet);
    let sheets = sheets.chain(&plan.boards).chain(&plan.slabs);
    let sheets = sheets.map(|it| &it.leftover);
    let billets = plan.billets.iter().map(|it| &it.leftover);
    let bars = plan.bars.iter().map(|bar| &bar.leftover);
    let all = sheets.chain(billets).chain(bars).map(String::as_str);
    all.filter(|name| !name.is_empty()).collect()
}

/// No offcut bears the name of a leftover of an earlier job: `B01-1` becomes `B01-1b`, then `B01-1c`.
pub(super) fn rename_offcuts(plan: &mut StockPlan, leftovers: &Leftovers) {
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
    for sheet in blanks.chain(&mut plan.boards).chain(&mut plan.slabs) {
        for offcut in &mut sheet.offcuts {
            rename(&mut offcut.name);
        }
    }
    let bars = plan.bars.iter_mut().map(|it| &mut it.kept);
    let billets = plan.billets.iter_mut().map(|it| &mut it.kept);
    for name in bars.chain(billets).flatten() {
        rename(name);
    }
}

/// What is left over for the next job: leftovers that were not used, then new ones.
pub(super) fn kept(models: &Models<'_>, plan: &StockPlan, leftovers: &Leftovers) -> Vec<Leftover> {
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
    for (kind, sheets) in [("board", &plan.boards), ("slab", &plan.slabs)] {
        for sheet in sheets {
            let offcuts = sheet_leftovers(sheet, kind, &sheet.what);
            all.extend(offcuts.map(|(left, _)| left));
        }
    }
    for billet in &plan.billets {
        if let Some(name) = &billet.kept {
            all.push(Leftover {
                name: name.clone(),
                kind: "billet",
                what: billet.what.clone(),
                thickness: billet.left(),
                length: billet.length,
                width: billet.width,
                ..Leftover::default()
            });
        }
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
        thickness: if kind == "blank" {
            Length::ZERO
        } else {
            sheet.thickness
        },
        length: offcut.rect.width(),
        width: offcut.rect.height(),
        has_whole_core: false,
    };
    kept.map(move |offcut| (left(offcut), offcut.rect))
}

/// True when a core joint runs through the inside of a rectangle.
pub(super) fn passes([from, to]: &[ShopPoint; 2], rect: &ShopRect) -> bool {
    let (low, high) = (
        [from.x.min(to.x), from.y.min(to.y)],
        [from.x.max(to.x), from.y.max(to.y)],
    );
    low[0] < rect.x1 && high[0] > rect.x0 && low[1] < rect.y1 && high[1] > rect.y0
}
