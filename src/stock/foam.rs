//! The core of every blank from slabs, and slabs from billets.
//!
//! ```text
//!   blank 9' x 8'      slab 30' x 4'                   billet, seen from its end
//!   ┌──────────┐       ┌────┬────┬────┬────┐           ════ skin
//!   │ piece 2  │ 4'    │ B1 │ B1 │ B2 │ …  │           ──── slab 3
//!   ├──────────┤ joint └────┴────┴────┴────┘           ──── slab 2
//!   │ piece 1  │ 4'                                    ──── slab 1
//!   └──────────┘                                       ════ skin
//! ```
//!
//! A core wider or longer than a slab is pieced. Along the blank joints are free. A joint across it is moved off lintels and the
//! heads of openings where a shorter piece allows that, and is a finding where none does (ANSI/APA PRS 610.1 allows no core joint
//! between the supports of a lintel, as quoted in the trade).

use super::boards::{SheetCount, report_unfit};
use super::model::{Billet, Blank, CutSheet};
use super::sheets::{Kind, Least, SheetProblem, Want, cut, name_sheet};
use super::solve::{Bar, Effort, Length1, cut_bars};
use super::{Models, Notes, codes};
use crate::findings::{Finding, Place};
use crate::geometry::{ShopPoint, ShopRect};
use crate::layout::PanelKind;
use crate::rules::BilletStock;
use crate::units::Length;
use std::collections::BTreeMap;

/// Billets of one material, and what no plan can go below.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct BilletCount {
    pub(super) material: String,
    pub(super) length: Length,
    pub(super) width: Length,
    pub(super) height: Length,
    pub(super) count: usize,
    pub(super) bound: usize,
    /// Pounds of a cubic foot.
    pub(super) density: f64,
}

/// Slabs and billets.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct FoamPlan {
    pub(super) slabs: Vec<CutSheet>,
    pub(super) billets: Vec<Billet>,
    pub(super) slab_counts: Vec<SheetCount>,
    pub(super) billet_counts: Vec<BilletCount>,
}

/// What slabs of one make are cut for.
type Make = (String, usize, Length);

/// Pieces the cores, lays the pieces onto slabs and the slabs into billets; core joints are entered in the blanks.
pub(super) fn plan_foam(models: &Models<'_>, blanks: &mut [Blank], notes: &mut Notes) -> FoamPlan {
    let stock = &models.rules.stock;
    let mut makes: BTreeMap<Make, Vec<Want>> = BTreeMap::new();
    let mut densities: BTreeMap<String, f64> = BTreeMap::new();
    for blank in blanks.iter_mut().filter(|it| it.sheet.leftover.is_empty()) {
        let Some(assembly) = models.rules.assemblies.get(blank.assembly) else {
            continue;
        };
        densities.insert(assembly.core_material.clone(), assembly.core_density);
        let on_hand = stock.billets.iter().enumerate();
        let best = on_hand
            .filter(|(_, billet)| billet.material == assembly.core_material)
            .filter_map(|(index, billet)| {
                let pieces = pieces(models, blank, billet)?;
                Some((pieces.len(), index, pieces))
            })
            .min_by_key(|(count, index, _)| (*count, *index));
        let Some((_, billet, rects)) = best else {
            notes.unplaced.push(format!("{} core 1", blank.sheet.name));
            notes.findings.push(Finding::doubt(
                codes::NO_SUCH_STOCK,
                Place::default(),
                format!(
                    "no billet of {} is on hand for the core of blank {}",
                    assembly.core_material, blank.sheet.name
                ),
                "add its real size to [[stock.billets]]",
            ));
            continue;
        };
        blank.core_joints = joints(&blank.sheet, &rects);
        report_joints(models, blank, notes);
        let make = (assembly.core_material.clone(), billet, assembly.core);
        let wants = makes.entry(make).or_default();
        for (number, rect) in rects.iter().enumerate() {
            wants.push(Want {
                name: format!("{} core {}", blank.sheet.name, number + 1),
                length: rect.width(),
                width: rect.height(),
                batch: 0,
            });
        }
    }
    let mut plan = FoamPlan::default();
    // By billet kind: the slabs cut from it, by name and thickness.
    let mut layers: BTreeMap<(String, usize), Vec<(String, Length)>> = BTreeMap::new();
    for ((material, index, thickness), wants) in makes {
        let Some(billet) = stock.billets.get(index) else {
            continue;
        };
        let kinds = [Kind::new(billet.length, billet.width)];
        let what = format!("{material} {thickness}");
        let mut answer = cut(&SheetProblem {
            what: material.clone(),
            thickness,
            kinds: &kinds,
            wants: &wants,
            trim: stock.slab_trim,
            kerf: stock.wire_kerf,
            window: None,
            effort: stock.effort,
            least: Least {
                width: stock.least_width,
                length: stock.least_length,
            },
        });
        report_unfit(&answer, &wants, &what, false, notes);
        let density = densities.get(&material).copied().unwrap_or_default();
        let make = (material.clone(), thickness);
        plan.slab_counts
            .push(SheetCount::of(&answer, make, density));
        let layer = layers.entry((material, index)).or_default();
        for mut sheet in answer.sheets.drain(..) {
            let name = format!("F{:02}", plan.slabs.len() + 1);
            name_sheet(&mut sheet, &name);
            // Slabs are cut for the job: what is left of one goes back to be ground.
            for offcut in &mut sheet.offcuts {
                offcut.is_kept = false;
            }
            layer.push((name, thickness));
            plan.slabs.push(sheet);
        }
    }
    for ((material, index), slabs) in layers {
        if let Some(billet) = stock.billets.get(index) {
            let density = densities.get(&material).copied().unwrap_or_default();
            stack(models, (billet, density), &slabs, &mut plan, notes);
        }
    }
    plan
}

/// The pieces of a blank's core, each no larger than a slab; `None` when the slab has no room at all.
fn pieces(models: &Models<'_>, blank: &Blank, billet: &BilletStock) -> Option<Vec<ShopRect>> {
    let trim = models.rules.stock.slab_trim * 2;
    let (longest, widest) = (billet.length - trim, billet.width - trim);
    if longest <= Length::ZERO || widest <= Length::ZERO {
        return None;
    }
    let forbidden = forbidden(models, blank);
    let columns = stops(blank.sheet.length, longest, &forbidden);
    let rows = stops(blank.sheet.width, widest, &[]);
    let mut rects = Vec::new();
    for row in rows.windows(2) {
        for column in columns.windows(2) {
            rects.push(ShopRect::new(column[0], row[0], column[1], row[1]));
        }
    }
    Some(rects)
}

/// Where pieces begin and end along one side: as long as they may be, but not ending where no joint may lie.
fn stops(whole: Length, longest: Length, forbidden: &[(Length, Length)]) -> Vec<Length> {
    let mut stops = vec![Length::ZERO];
    let mut at = Length::ZERO;
    while whole - at > longest {
        let mut next = at + longest;
        while let Some((from, _)) = forbidden
            .iter()
            .find(|(from, to)| *from < next && next < *to)
        {
            next = *from;
        }
        // No place is free: the longest piece, and a finding.
        at = if next > at { next } else { at + longest };
        stops.push(at);
    }
    stops.push(whole);
    stops
}

/// Stretches along the blank where a joint across it would weaken a lintel: headers, and what lies over openings.
fn forbidden(models: &Models<'_>, blank: &Blank) -> Vec<(Length, Length)> {
    let mut found = Vec::new();
    for placed in &blank.panels {
        let Some(panel) = models.fabrication.panels.get(placed.panel) else {
            continue;
        };
        if panel.kind == PanelKind::Header {
            found.push((placed.rect.x0, placed.rect.x1));
            continue;
        }
        for opening in &panel.openings {
            let hole = &opening.rough;
            let over = [
                ShopPoint::new(hole.x0, hole.y1),
                ShopPoint::new(hole.x1, panel.height),
            ]
            .map(|point| placed.on.point(point));
            let (from, to) = (over[0].x.min(over[1].x), over[0].x.max(over[1].x));
            found.push((from, to));
        }
    }
    found
}

/// Inner edges of the pieces, each once.
fn joints(sheet: &CutSheet, rects: &[ShopRect]) -> Vec<[ShopPoint; 2]> {
    let mut joints = Vec::new();
    for rect in rects {
        if rect.x1 < sheet.length {
            joints.push([
                ShopPoint::new(rect.x1, rect.y0),
                ShopPoint::new(rect.x1, rect.y1),
            ]);
        }
        if rect.y1 < sheet.width {
            joints.push([
                ShopPoint::new(rect.x0, rect.y1),
                ShopPoint::new(rect.x1, rect.y1),
            ]);
        }
    }
    joints
}

fn report_joints(models: &Models<'_>, blank: &Blank, notes: &mut Notes) {
    let forbidden = forbidden(models, blank);
    for [from, to] in &blank.core_joints {
        let is_across = from.x == to.x;
        if is_across && forbidden.iter().any(|(a, b)| *a < from.x && from.x < *b) {
            notes.findings.push(Finding::doubt(
                codes::CORE_JOINT,
                Place::default(),
                format!(
                    "the core of blank {} has a joint {} from its datum end, across a lintel or over an opening",
                    blank.sheet.name,
                    from.x.feet_inches()
                ),
                "add a longer billet to [[stock.billets]], or have the engineer allow it",
            ));
        }
    }
}

/// Slabs one above the other in billets of one kind.
fn stack(
    models: &Models<'_>,
    (billet, density): (&BilletStock, f64),
    slabs: &[(String, Length)],
    plan: &mut FoamPlan,
    notes: &mut Notes,
) {
    let stock = &models.rules.stock;
    let room = billet.height - stock.billet_skin * 2;
    let (fitting, unfit): (Vec<_>, Vec<_>) = slabs.iter().partition(|slab| slab.1 <= room);
    notes
        .unplaced
        .extend(unfit.iter().map(|slab| slab.0.clone()));
    if let Some((name, thickness)) = unfit.first() {
        notes.findings.push(Finding::doubt(
            codes::FITS_NO_STOCK,
            Place::default(),
            format!(
                "slab {name}, {thickness} thick, fits no billet of {}",
                billet.material
            ),
            "add a higher billet to [[stock.billets]]",
        ));
    }
    let mut groups: BTreeMap<Length, Vec<&str>> = BTreeMap::new();
    for (name, thickness) in fitting {
        groups.entry(*thickness).or_default().push(name);
    }
    let pieces: Vec<Length1> = groups
        .iter()
        .map(|(thickness, names)| Length1 {
            length: thickness.to_nanometres(),
            count: u32::try_from(names.len()).unwrap_or(u32::MAX),
        })
        .collect();
    if pieces.is_empty() {
        return;
    }
    let bars = [Bar {
        length: billet.height.to_nanometres(),
        on_hand: None,
        cost: 1,
    }];
    let (kerf, trim) = (stock.wire_kerf, stock.billet_skin);
    let effort = Effort(stock.effort);
    let Ok(answer) = cut_bars(
        &bars,
        &pieces,
        kerf.to_nanometres(),
        trim.to_nanometres(),
        effort,
    ) else {
        let names = groups.into_values().flatten().map(str::to_owned);
        notes.unplaced.extend(names);
        return;
    };
    let thicknesses: Vec<Length> = groups.keys().copied().collect();
    let mut queues: Vec<_> = groups.into_values().map(Vec::into_iter).collect();
    plan.billet_counts.push(BilletCount {
        material: billet.material.clone(),
        length: billet.length,
        width: billet.width,
        height: billet.height,
        count: answer.bars.len(),
        bound: usize::try_from(answer.bound.bars).unwrap_or_default(),
        density,
    });
    for bar in answer.bars {
        let mut found = Billet {
            name: format!("K{:02}", plan.billets.len() + 1),
            what: billet.material.clone(),
            length: billet.length,
            width: billet.width,
            height: billet.height,
            skin: trim,
            kerf,
            slabs: Vec::new(),
            rest: Length::nanometres(bar.offcut),
        };
        let mut at = trim;
        for index in bar.pieces {
            let name = queues.get_mut(index).and_then(Iterator::next);
            let (Some(name), Some(thickness)) = (name, thicknesses.get(index)) else {
                continue;
            };
            found.slabs.push((name.to_owned(), at, at + *thickness));
            at += *thickness + kerf;
        }
        plan.billets.push(found);
    }
}
