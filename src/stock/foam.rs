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
//! A core wider or longer than a slab is pieced (see [`super::cores`]). No joint goes through a lintel: a header panel, or what stands over
//! an opening that no header spans (ANSI/APA PRS 610.1 allows no core joint between the supports of a lintel, as quoted in the trade).
//! Where no slab on hand allows that, the panel is a fault and goes on HOLD.
//!
//! What is left of slabs and billets is kept where it is large enough, and used before new foam.

use super::boards::{SheetCount, report_unfit};
use super::cores::{CorePiece, CorePlan, KeepClear, Slab, broken, piece_core};
use super::leftovers::Leftovers;
use super::model::{Billet, Blank, CutSheet};
use super::sheets::{Kind, Least, SheetProblem, Want, cut, name_sheet};
use super::solve::{Bar, BarPlan, Effort, Length1, bar_cost_bound, cut_bars};
use super::{Models, Notes, codes};
use crate::fabrication::FabricatedPanel;
use crate::findings::{Finding, Place};
use crate::geometry::{ShopPoint, ShopRect};
use crate::layout::PanelKind;
use crate::rules::BilletStock;
use crate::units::Length;
use std::collections::{BTreeMap, BTreeSet};

/// Billets of one material, and what no plan can go below.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct BilletCount {
    pub(super) material: String,
    pub(super) length: Length,
    pub(super) width: Length,
    pub(super) height: Length,
    pub(super) count: usize,
    pub(super) bound: usize,
    /// True where leftovers were on hand: then the bound is of new stock beside them.
    pub(super) has_leftovers: bool,
    /// Height of new billets, and what no plan can go below.
    pub(super) new: Length,
    pub(super) bound_height: Length,
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
pub(super) fn plan_foam(
    models: &Models<'_>,
    leftovers: &Leftovers,
    blanks: &mut [Blank],
    notes: &mut Notes,
) -> FoamPlan {
    let stock = &models.rules.stock;
    let mut makes: BTreeMap<Make, Vec<Want>> = BTreeMap::new();
    let mut densities: BTreeMap<String, f64> = BTreeMap::new();
    for blank in blanks.iter_mut().filter(|it| it.sheet.leftover.is_empty()) {
        let Some(assembly) = models.rules.assemblies.get(blank.assembly) else {
            continue;
        };
        densities.insert(assembly.core_material.clone(), assembly.core_density);
        let keep = kept_clear(models, blank);
        let Some((billet, plan)) = best_core(models, blank, &keep) else {
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
        let rects: Vec<ShopRect> = plan.pieces.iter().map(|it| it.rect).collect();
        blank.core_joints = joints(&blank.sheet, &rects);
        refuse_joints(blank, &plan.pieces, &keep, notes);
        let make = (assembly.core_material.clone(), billet, assembly.core);
        let wants = makes.entry(make).or_default();
        for (number, piece) in plan.pieces.iter().enumerate() {
            let (along, across) = (piece.rect.width(), piece.rect.height());
            wants.push(Want {
                name: format!("{} core {}", blank.sheet.name, number + 1),
                length: if piece.is_turned { across } else { along },
                width: if piece.is_turned { along } else { across },
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
        let new = Kind::new(billet.length, billet.width);
        let old = old_slabs(leftovers, &plan.slabs, (&material, thickness));
        let kinds: Vec<Kind> = [new].into_iter().chain(old).collect();
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
            // A leftover is cut from no billet: that was done in the job it is left from.
            if sheet.leftover.is_empty() {
                layer.push((name, thickness));
            }
            plan.slabs.push(sheet);
        }
    }
    for ((material, index), slabs) in layers {
        if let Some(billet) = stock.billets.get(index) {
            let density = densities.get(&material).copied().unwrap_or_default();
            let old: Vec<(&str, Length)> = leftovers
                .billets(&material, [billet.length, billet.width])
                .filter(|it| !plan.billets.iter().any(|used| used.leftover == it.0))
                .collect();
            stack(models, (billet, density, &old), &slabs, &mut plan, notes);
        }
    }
    plan
}

/// Leftover slabs that no core lies on yet: two makes of billet may give slabs of one thickness.
fn old_slabs(
    leftovers: &Leftovers,
    slabs: &[CutSheet],
    (material, thickness): (&str, Length),
) -> impl Iterator<Item = Kind> {
    let is_free = |it: &Kind| {
        let mut taken = slabs.iter().map(|slab| Some(&slab.leftover));
        !taken.any(|name| name == it.leftover.as_ref())
    };
    leftovers.slabs(material, thickness).filter(is_free)
}

/// The kind of billet that makes a blank's core best, and how.
fn best_core(models: &Models<'_>, blank: &Blank, keep: &[KeepClear]) -> Option<(usize, CorePlan)> {
    let assembly = models.rules.assemblies.get(blank.assembly)?;
    let on_hand = models.rules.stock.billets.iter().enumerate();
    let best = on_hand
        .filter(|(_, billet)| billet.material == assembly.core_material)
        .filter_map(|(index, billet)| {
            let plan = pieces(models, blank, billet, keep)?;
            Some((plan.cost, index, plan))
        })
        .min_by_key(|(cost, index, _)| (*cost, *index));
    best.map(|(_, index, plan)| (index, plan))
}

/// Panels of a blank, as in the fabrication, whose lintel no core of it has in one piece.
pub(super) fn broken_panels(models: &Models<'_>, blank: &Blank) -> BTreeSet<usize> {
    let keep = kept_clear(models, blank);
    if !keep.iter().any(|it| it.is_lintel) {
        return BTreeSet::new();
    }
    let plan = best_core(models, blank, &keep).map(|(_, plan)| plan);
    let plan = plan.unwrap_or_default();
    let placed = broken(&plan.pieces, &keep).filter_map(|it| blank.panels.get(it.panel));
    placed.map(|it| it.panel).collect()
}

/// The pieces of a blank's core, each no larger than a slab; `None` when the slab has no room at all.
fn pieces(
    models: &Models<'_>,
    blank: &Blank,
    billet: &BilletStock,
    keep: &[KeepClear],
) -> Option<CorePlan> {
    let stock = &models.rules.stock;
    let trim = stock.slab_trim * 2;
    let slab = Slab {
        length: billet.length - trim,
        width: billet.width - trim,
        least: stock.least_core_strip,
    };
    piece_core((blank.sheet.length, blank.sheet.width), slab, keep)
}

/// Where a joint would weaken what carries over an opening: header panels, and what stands over openings of full ones.
pub(super) fn kept_clear(models: &Models<'_>, blank: &Blank) -> Vec<KeepClear> {
    let mut found = Vec::new();
    for (index, placed) in blank.panels.iter().enumerate() {
        let Some(panel) = models.fabrication.panels.get(placed.panel) else {
            continue;
        };
        for (rect, is_lintel) in lintels(panel) {
            let corners = [(rect.x0, rect.y0), (rect.x1, rect.y1)];
            let [a, b] = corners.map(|(x, y)| placed.on.point(ShopPoint::new(x, y)));
            found.push(KeepClear {
                rect: ShopRect::new(a.x.min(b.x), a.y.min(b.y), a.x.max(b.x), a.y.max(b.y)),
                is_lintel,
                panel: index,
            });
        }
    }
    found
}

/// What stands over a panel's openings, in its axes, and whether the panel itself carries there: no header is in it, and no jack waits
/// beside the opening for one that is still to be named.
pub(super) fn lintels(panel: &FabricatedPanel) -> Vec<(ShopRect, bool)> {
    let has = |usage: &str, near: &ShopRect| {
        let mut own = panel.lumber.iter().filter(|it| it.usage == usage);
        own.any(|it| it.rect.common(near).is_some())
    };
    match panel.kind {
        PanelKind::Header => {
            let whole = ShopRect::new(Length::ZERO, Length::ZERO, panel.width, panel.height);
            vec![(whole, !has("header", &whole))]
        }
        PanelKind::Sill => Vec::new(),
        PanelKind::Wall => {
            let over = panel.openings.iter().map(|opening| {
                let rough = opening.rough;
                let over = ShopRect::new(rough.x0, rough.y1, rough.x1, panel.height);
                let beside = rough.grown(BESIDE);
                (over, !has("header", &over) && !has("jack", &beside))
            });
            over.filter(|(it, _)| it.y0 < it.y1).collect()
        }
    }
}

/// A jack stands within this of its opening.
const BESIDE: Length = Length::inches(1);

/// Inner edges of the pieces, those in one line as one: first across the blank, then along it.
fn joints(sheet: &CutSheet, rects: &[ShopRect]) -> Vec<[ShopPoint; 2]> {
    let mut across: BTreeMap<Length, Vec<[Length; 2]>> = BTreeMap::new();
    let mut along: BTreeMap<Length, Vec<[Length; 2]>> = BTreeMap::new();
    for rect in rects {
        if rect.x1 < sheet.length {
            across.entry(rect.x1).or_default().push([rect.y0, rect.y1]);
        }
        if rect.y1 < sheet.width {
            along.entry(rect.y1).or_default().push([rect.x0, rect.x1]);
        }
    }
    let across = in_line(across).map(|(x, [y0, y1])| [(x, y0), (x, y1)]);
    let along = in_line(along).map(|(y, [x0, x1])| [(x0, y), (x1, y)]);
    let both = across.chain(along);
    both.map(|ends| ends.map(|(x, y)| ShopPoint::new(x, y)))
        .collect()
}

/// Stretches of each line, those that touch joined.
fn in_line(
    lines: BTreeMap<Length, Vec<[Length; 2]>>,
) -> impl Iterator<Item = (Length, [Length; 2])> {
    lines.into_iter().flat_map(|(at, mut stretches)| {
        stretches.sort_unstable();
        let mut joined: Vec<[Length; 2]> = Vec::new();
        for [from, to] in stretches {
            match joined.last_mut() {
                Some(last) if from <= last[1] => last[1] = last[1].max(to),
                _ => joined.push([from, to]),
            }
        }
        joined.into_iter().map(move |stretch| (at, stretch))
    })
}

/// A fault for each panel whose lintel is of several pieces: what is put together so must not carry.
fn refuse_joints(blank: &Blank, pieces: &[CorePiece], keep: &[KeepClear], notes: &mut Notes) {
    let panels: BTreeSet<usize> = broken(pieces, keep).map(|it| it.panel).collect();
    for placed in panels.into_iter().filter_map(|it| blank.panels.get(it)) {
        notes.findings.push(Finding::fault(
            codes::CORE_JOINT,
            Place::panel(&placed.mark),
            format!(
                "no slab on hand makes its core without a joint where the panel carries over an opening (laid on blank {})",
                blank.sheet.name
            ),
            "name a header over the opening, part the panel there, or add a wider or longer billet to [[stock.billets]]",
        ));
    }
}

/// Slabs one above the other in billets of one kind, and in what is left of such by name and height.
fn stack(
    models: &Models<'_>,
    (billet, density, old): (&BilletStock, f64, &[(&str, Length)]),
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
    let new = [(None, billet.height)].into_iter();
    let kinds: Vec<(Option<&str>, Length)> = new
        .chain(old.iter().map(|(name, height)| (Some(*name), *height)))
        .collect();
    let step = Length::fraction(0, 1, 16);
    let bars: Vec<Bar> = kinds
        .iter()
        .map(|(leftover, height)| Bar {
            length: height.to_nanometres(),
            on_hand: leftover.map(|_| 1),
            // Sixteenths of an inch; a leftover costs a tenth, so that it is used first.
            cost: height.steps_of(step) / leftover.map_or(1, |_| 10),
        })
        .collect();
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
    let is_new = |bar: usize| kinds.get(bar).is_some_and(|kind| kind.0.is_none());
    let new = answer.bars.iter().filter(|it| is_new(it.bar));
    plan.billet_counts.push(BilletCount {
        has_leftovers: !old.is_empty(),
        new: new.map(|_| billet.height).sum(),
        bound_height: step * least_new(&bars, &pieces, (kerf, trim), &answer),
        material: billet.material.clone(),
        length: billet.length,
        width: billet.width,
        height: billet.height,
        count: answer.bars.len(),
        bound: usize::try_from(answer.bound.bars).unwrap_or_default(),
        density,
    });
    for bar in answer.bars {
        let Some((leftover, height)) = kinds.get(bar.bar).copied() else {
            continue;
        };
        let name = format!("K{:02}", plan.billets.len() + 1);
        let mut found = Billet {
            kept: Some(format!("{name}-1")),
            name,
            what: billet.material.clone(),
            leftover: leftover.unwrap_or_default().to_owned(),
            length: billet.length,
            width: billet.width,
            height,
            skin: trim,
            kerf,
            slabs: Vec::new(),
            rest: Length::nanometres(bar.offcut),
        };
        if found.rest <= Length::ZERO || found.left() < stock.least_billet {
            found.kept = None;
        }
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

/// What new billets cost at least: what leftovers cost is for the search; here they are free.
fn least_new(
    bars: &[Bar],
    pieces: &[Length1],
    (kerf, trim): (Length, Length),
    answer: &BarPlan,
) -> i64 {
    if bars.iter().all(|it| it.on_hand.is_none()) {
        return answer.bound.cost;
    }
    let free = bars.iter().map(|bar| Bar {
        cost: bar.on_hand.map_or(bar.cost, |_| 0),
        ..bar.clone()
    });
    let cuts = (kerf.to_nanometres(), trim.to_nanometres());
    bar_cost_bound(&free.collect::<Vec<_>>(), pieces, cuts, &answer.bound)
}
