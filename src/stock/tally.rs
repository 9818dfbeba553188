//! What the plan comes to: counts with what no plan can go below, and what is wasted, in area, weight and money.

use super::Models;
use super::bars::BarCount;
use super::blanks::BlankCount;
use super::boards::SheetCount;
use super::foam::BilletCount;
use super::model::{Blank, CutSheet, FoamTally, StockPlan, Tally};
use crate::geometry::ShopRect;
use crate::rules::{Assembly, ChaseMade, CostRules, Money};
use crate::units::{Length, square_feet};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Counts of all kinds.
pub(super) struct Counts<'a> {
    pub(super) blanks: &'a [BlankCount],
    pub(super) boards: &'a [SheetCount],
    pub(super) slabs: &'a [SheetCount],
    pub(super) billets: &'a [BilletCount],
    pub(super) bars: &'a [BarCount],
}

/// One tally for each kind and make of stock.
pub(super) fn tallies(models: &Models<'_>, plan: &StockPlan, counts: &Counts<'_>) -> Vec<Tally> {
    let cost = &models.rules.cost;
    let foam_rate = |material: &str| cost.stock.foam_cu_ft.get(material).map(|it| it.0);
    let mut all: Vec<Tally> = counts
        .blanks
        .iter()
        .map(|count| blanks(models, plan, count))
        .collect();
    for count in counts.boards {
        let mut tally = sheets("boards", &plan.boards, count);
        let rate = cost.stock.board_sq_ft(&count.material, count.thickness);
        price(&mut tally, rate);
        all.push(tally);
    }
    for count in counts.slabs {
        let mut tally = sheets("slabs", &plan.slabs, count);
        let thick = Decimal::from_f64_retain(count.thickness.to_inches() / 12.0);
        let rate = foam_rate(&count.material).zip(thick);
        price(&mut tally, rate.map(|(rate, thick)| rate * thick));
        all.push(tally);
    }
    for count in counts.billets {
        let mut tally = billets(plan, count);
        price(&mut tally, foam_rate(&count.material));
        all.push(tally);
    }
    for count in counts.bars {
        let mut tally = bars(count);
        price(&mut tally, models.rules.bar_ft(&count.section));
        all.push(tally);
    }
    all
}

fn blanks(models: &Models<'_>, plan: &StockPlan, count: &BlankCount) -> Tally {
    let assembly = models.rules.assemblies.get(count.assembly);
    let line = models.rules.lines.get(count.line);
    let name = assembly.map_or("", |it| it.name.as_str());
    let line_name = line.map_or("", |it| it.name.as_str());
    let here = || {
        let blanks = plan.blanks.iter();
        blanks.filter(|blank| (blank.assembly, blank.line) == (count.assembly, count.line))
    };
    let panels = here().flat_map(|blank| &blank.panels);
    let skins = panels.filter_map(|it| models.fabrication.panels.get(it.panel));
    let cut: f64 = skins.map(|it| it.outer_skin.square_inches() / 144.0).sum();
    let kept: f64 = here().map(|blank| kept_area(&blank.sheet)).sum();
    let areas = (count.area / 144.0, count.bound_area / 144.0, cut);
    let is_by_area = line.is_some_and(|line| line.made_to_length);
    let new = (count.new_area / 144.0, count.bound_area / 144.0);
    let mut sentence = if count.has_leftovers {
        said_new("blanks", count.count, new, "sq ft", count.scope)
    } else if is_by_area {
        said_amount("blanks", count.count, areas, "sq ft", count.scope)
    } else {
        said("blanks", count.count, count.bound, count.scope)
    };
    if count.groups > 1 && models.rules.chases.made == ChaseMade::Core {
        sentence.push_str("; panels whose chases in the core do not coincide are kept apart");
    }
    let mut tally = Tally {
        kind: "blanks",
        what: format!("{name}, {line_name} line"),
        count: count.count,
        bound: Some(count.bound),
        scope: count.scope,
        is_proven: if count.has_leftovers {
            is_least_new(new)
        } else if is_by_area {
            is_least(areas)
        } else {
            count.count <= count.bound
        },
        sentence,
        used: count.area / 144.0,
        cut,
        kept,
        unit: "sq ft",
        ..Tally::default()
    };
    // What weighs layouts is nobody's price: money is told only where somebody gave prices.
    let cost = &models.rules.cost;
    let has_book = |_: &_| cost.book.is_some();
    let cents = line.filter(has_book);
    let cents = cents.map(|_| cost.sq_ft_cents(count.line, name));
    tally.waste_lb = tally.waste() * assembly.map_or(0.0, Assembly::pounds_per_sq_ft);
    price(&mut tally, cents.map(|cents| Decimal::new(cents, 2)));
    tally
}

/// What the waste costs at a price for each unit of the tally.
fn price(tally: &mut Tally, rate: Option<Decimal>) {
    tally.waste_cents = rate.and_then(|rate| CostRules::amount_cents(tally.waste(), rate));
}

fn area(rect: &ShopRect) -> f64 {
    square_feet(rect.width(), rect.height())
}

fn kept_area(sheet: &CutSheet) -> f64 {
    let kept = sheet.offcuts.iter().filter(|offcut| offcut.is_kept);
    // The sum of nothing is 0 on paper; that of floats is -0.
    kept.fold(0.0, |sum, offcut| sum + area(&offcut.rect))
}

fn sheets(kind: &'static str, all: &[CutSheet], count: &SheetCount) -> Tally {
    let here = || {
        let same =
            |sheet: &&CutSheet| sheet.what == count.material && sheet.thickness == count.thickness;
        all.iter().filter(same)
    };
    let pieces = here().flat_map(|sheet| &sheet.pieces);
    let cut: f64 = pieces.map(|piece| area(&piece.rect)).sum();
    let areas = (count.area / 144.0, count.bound_area / 144.0, cut);
    let new = (areas.0, areas.1);
    let sentence = if count.has_leftovers {
        said_new(kind, count.count, new, "sq ft", count.scope)
    } else if count.has_sizes {
        said_amount(kind, count.count, areas, "sq ft", count.scope)
    } else {
        said(kind, count.count, count.bound, count.scope)
    };
    let mut tally = Tally {
        kind,
        what: format!("{} {}", count.material, count.thickness),
        count: count.count,
        bound: Some(count.bound),
        scope: count.scope,
        is_proven: if count.has_leftovers {
            is_least_new(new)
        } else if count.has_sizes {
            is_least(areas)
        } else {
            count.count <= count.bound
        },
        sentence,
        used: here()
            .map(|sheet| square_feet(sheet.length, sheet.width))
            .sum(),
        cut,
        kept: here().map(kept_area).sum(),
        unit: "sq ft",
        ..Tally::default()
    };
    tally.waste_lb = tally.waste() * count.pounds_per_sq_ft;
    tally
}

fn billets(plan: &StockPlan, count: &BilletCount) -> Tally {
    let here = || {
        let billets = plan.billets.iter();
        billets.filter(|it| {
            it.what == count.material
                && it.length == count.length
                && it.width == count.width
                && (it.height == count.height || !it.leftover.is_empty())
        })
    };
    let volume = |length: Length, width: Length, height: Length| {
        square_feet(length, width) * height.to_inches() / 12.0
    };
    let of_height = |height: Length| volume(count.length, count.width, height);
    let new = (of_height(count.new), of_height(count.bound_height));
    let mut tally = Tally {
        kind: "billets",
        what: format!(
            "{} {} x {} x {}",
            count.material,
            count.length.feet_inches(),
            count.width.feet_inches(),
            count.height.feet_inches()
        ),
        count: count.count,
        bound: Some(count.bound),
        scope: "any cutting",
        is_proven: if count.has_leftovers {
            is_least_new(new)
        } else {
            count.count <= count.bound
        },
        sentence: if count.has_leftovers {
            said_new("billets", count.count, new, "cu ft", "any cutting")
        } else {
            said("billets", count.count, count.bound, "any cutting")
        },
        used: here()
            .map(|it| volume(it.length, it.width, it.height))
            .sum(),
        cut: here()
            .flat_map(|it| {
                let slabs = it.slabs.iter();
                slabs.map(|slab| volume(it.length, it.width, slab.2 - slab.1))
            })
            .sum(),
        kept: here()
            .filter(|it| it.kept.is_some())
            .fold(0.0, |sum, it| sum + volume(it.length, it.width, it.left())),
        unit: "cu ft",
        ..Tally::default()
    };
    tally.waste_lb = tally.waste() * count.density;
    tally
}

fn bars(count: &BarCount) -> Tally {
    let feet = |length: Length| length.to_inches() / 12.0;
    let lengths = (feet(count.used), feet(count.bound_length), feet(count.cut));
    let new = (feet(count.new), feet(count.bound_length));
    let sentence = if count.has_leftovers {
        said_new("bars", count.count, new, "ft", "any cutting")
    } else {
        said_amount("bars", count.count, lengths, "ft", "any cutting")
    };
    let mut tally = Tally {
        kind: "lumber",
        // `LVL 1-3/4x11-7/8` says its material already.
        what: if count.section.starts_with(&count.grade) {
            count.section.clone()
        } else {
            format!("{} {}", count.section, count.grade)
        },
        count: count.count,
        bound: Some(count.bound),
        scope: "any cutting",
        is_proven: if count.has_leftovers {
            is_least_new(new)
        } else {
            is_least(lengths)
        },
        sentence,
        used: feet(count.used),
        cut: feet(count.cut),
        kept: feet(count.kept),
        unit: "ft",
        ..Tally::default()
    };
    tally.waste_lb = tally.waste() * count.pounds_per_ft;
    tally
}

/// `14 blanks; none can do with fewer than 14 (any cutting)`.
fn said(kind: &str, count: usize, bound: usize, scope: &str) -> String {
    let noun = noun(kind, count);
    let gap = match count.saturating_sub(bound) {
        0 => String::new(),
        gap => format!(": gap {gap}, not proven"),
    };
    format!("{count} {noun}; none can do with fewer than {bound} ({scope}){gap}")
}

/// True when no plan can do with less, to the tenth that is printed.
fn is_least((used, bound, cut): (f64, f64, f64)) -> bool {
    used - bound.max(cut) < 0.1
}

/// The same of new stock beside leftovers.
fn is_least_new((new, bound): (f64, f64)) -> bool {
    new - bound < 0.1
}

/// `20 bars, 96.0 ft of them new; beside these leftovers none of these sizes can do with less new stock than 96.0 ft (any cutting)`.
fn said_new(kind: &str, count: usize, (new, bound): (f64, f64), unit: &str, scope: &str) -> String {
    let noun = noun(kind, count);
    format!(
        "{count} {noun}, {new:.1} {unit} of new stock; beside these leftovers none of these sizes can do with less of it than {bound:.1} {unit} ({scope}){}",
        gap(new - bound, unit)
    )
}

/// Nothing below a tenth, which is what is printed.
fn gap(gap: f64, unit: &str) -> String {
    if gap < 0.1 {
        String::new()
    } else {
        format!(": gap {gap:.1} {unit}, not proven")
    }
}

/// `20 blanks, 1440.0 sq ft; none can do with less than 1440.0 sq ft (any cutting)`: where sizes differ, the amount counts.
fn said_amount(
    kind: &str,
    count: usize,
    (used, bound, cut): (f64, f64, f64),
    unit: &str,
    scope: &str,
) -> String {
    let noun = noun(kind, count);
    let bound = bound.max(cut);
    let gap = gap(used - bound, unit);
    format!(
        "{count} {noun}, {used:.1} {unit}; none of these sizes can do with less than {bound:.1} {unit} ({scope}){gap}"
    )
}

fn noun(kind: &str, count: usize) -> &str {
    if count == 1 {
        kind.trim_end_matches('s')
    } else {
        kind
    }
}

/// Where the foam of each material goes.
pub(super) fn foam(models: &Models<'_>, plan: &StockPlan) -> Vec<FoamTally> {
    let mut found: BTreeMap<String, (FoamTally, f64)> = BTreeMap::new();
    for assembly in &models.rules.assemblies {
        let material = assembly.core_material.clone();
        let empty = FoamTally {
            material: material.clone(),
            ..FoamTally::default()
        };
        found
            .entry(material)
            .or_insert((empty, assembly.core_density));
    }
    for billet in &plan.billets {
        let Some((tally, _)) = found.get_mut(&billet.what) else {
            continue;
        };
        let face = square_feet(billet.length, billet.width);
        let deep = |length: Length| face * length.to_inches() / 12.0;
        tally.billets += deep(billet.height);
        let slabs: Length = billet.slabs.iter().map(|slab| slab.2 - slab.1).sum();
        let rests = billet.skin * 2 + billet.rest;
        let kept = billet.kept.as_ref().map_or(Length::ZERO, |_| billet.left());
        tally.kept += deep(kept);
        tally.rests += deep(rests - kept);
        tally.wire += deep(billet.height - slabs - rests);
    }
    for slab in &plan.slabs {
        let Some((tally, _)) = found.get_mut(&slab.what) else {
            continue;
        };
        let deep = |area: f64| area * slab.thickness.to_inches() / 12.0;
        let all = square_feet(slab.length, slab.width);
        let pieces: f64 = slab.pieces.iter().map(|piece| area(&piece.rect)).sum();
        let offcuts: f64 = slab.offcuts.iter().map(|it| area(&it.rect)).sum();
        let inner = square_feet(slab.length - slab.trim * 2, slab.width - slab.trim * 2);
        let kept = kept_area(slab);
        if !slab.leftover.is_empty() {
            tally.slabs += deep(all);
        }
        tally.kept += deep(kept);
        tally.rests += deep(offcuts - kept + all - inner);
        tally.wire += deep(inner - pieces - offcuts);
    }
    for blank in &plan.blanks {
        blank_foam(models, blank, &mut found);
    }
    let used = found
        .into_values()
        .filter(|(tally, _)| tally.billets + tally.slabs > 0.0);
    used.map(|(mut tally, density)| {
        tally.grindings_lb = tally.grindings * density;
        tally.ground_lb = (tally.rests + tally.grindings) * density;
        let at = |amount, prices: &BTreeMap<String, Money>| {
            CostRules::amount_cents(amount, prices.get(&tally.material)?.0)
        };
        let stock = &models.rules.cost.stock;
        let wasted = tally.rests + tally.wire + tally.grindings;
        (tally.waste_cents, tally.ground_cents) = (
            at(wasted, &stock.foam_cu_ft),
            at(tally.ground_lb, &stock.ground_lb),
        );
        tally
    })
    .collect()
}

fn blank_foam(models: &Models<'_>, blank: &Blank, found: &mut BTreeMap<String, (FoamTally, f64)>) {
    // The foam of a leftover was counted in the job it is left from.
    if !blank.sheet.leftover.is_empty() {
        return;
    }
    let Some(assembly) = models.rules.assemblies.get(blank.assembly) else {
        return;
    };
    let Some((tally, _)) = found.get_mut(&assembly.core_material) else {
        return;
    };
    let deep = |area: f64| area * assembly.core.to_inches() / 12.0;
    let whole = square_feet(blank.sheet.length, blank.sheet.width);
    let offcuts: f64 = blank.sheet.offcuts.iter().map(|it| area(&it.rect)).sum();
    let panels = blank.panels.iter();
    let panels = panels.filter_map(|it| models.fabrication.panels.get(it.panel));
    let cores = panels.flat_map(|panel| panel.core_pieces());
    let cores: f64 = cores.map(|core| core.square_inches() / 144.0).sum();
    tally.panels += deep(cores);
    tally.blank_offcuts += deep(offcuts);
    tally.grindings += deep(whole - offcuts - cores);
}
