//! Lumber, plates and splines onto stock lengths, by section and grade.

use super::leftovers::Leftovers;
use super::model::Bar;
use super::solve::{self, Effort, Length1, bar_cost_bound, cut_bars};
use super::{Models, Notes, codes};
use crate::findings::{Finding, Place};
use crate::rules::{LumberRules, SectionMaterial};
use crate::units::Length;
use std::collections::BTreeMap;

/// Bars of one section and grade, and what no plan can go below.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct BarCount {
    pub(super) section: String,
    pub(super) grade: String,
    pub(super) count: usize,
    /// No plan uses fewer bars, or less length of new stock.
    pub(super) bound: usize,
    pub(super) bound_length: Length,
    /// Leftovers were on hand: then the bound is of new stock beside them.
    pub(super) has_leftovers: bool,
    /// New stock.
    pub(super) new: Length,
    pub(super) used: Length,
    pub(super) cut: Length,
    pub(super) kept: Length,
    /// Pounds of a foot.
    pub(super) pounds_per_ft: f64,
}

/// Pieces of one section and grade: mark, length, weight.
type Pieces = Vec<(String, Length, f64)>;

/// All pieces of panels that may be cut, and all plates.
pub(super) fn plan_bars(
    models: &Models<'_>,
    leftovers: &Leftovers,
    notes: &mut Notes,
) -> (Vec<Bar>, Vec<BarCount>) {
    let mut groups: BTreeMap<(String, String), Pieces> = BTreeMap::new();
    let panels = models.fabrication.panels.iter();
    let lumber = panels
        .filter(|panel| !panel.is_held())
        .flat_map(|panel| &panel.lumber)
        .map(|it| (&it.section, &it.grade, &it.mark, it.length, it.weight_lb));
    let plates = models.fabrication.plates.iter();
    let plates = plates.map(|it| (&it.section, &it.grade, &it.mark, it.length, it.weight_lb));
    for (section, grade, mark, length, weight) in lumber.chain(plates) {
        // What is ripped is cut from the section it is ripped from, beside the pieces that keep its width.
        let key = (LumberRules::sawn_from(section).to_owned(), grade.clone());
        let pieces = groups.entry(key).or_default();
        pieces.push((mark.clone(), length, weight));
    }
    let mut bars = Vec::new();
    let mut counts = Vec::new();
    for (key, pieces) in groups {
        plan_group(
            models,
            leftovers,
            (&key, &pieces),
            (&mut bars, &mut counts),
            notes,
        );
    }
    (bars, counts)
}

fn plan_group(
    models: &Models<'_>,
    leftovers: &Leftovers,
    ((section, grade), pieces): (&(String, String), &Pieces),
    (bars, counts): (&mut Vec<Bar>, &mut Vec<BarCount>),
    notes: &mut Notes,
) {
    let stock = &models.rules.stock;
    let named = models.rules.lumber.sections.get(section);
    let is_sawn = named.is_some_and(|it| it.material == SectionMaterial::Sawn);
    let lengths = if is_sawn {
        &models.rules.plates.stock_lengths
    } else {
        &stock.spline_lengths
    };
    // By bar: name of the leftover, length.
    let new = lengths.iter().map(|length| (None, *length));
    let old = leftovers.bars(section, grade);
    let kinds: Vec<(Option<&str>, Length)> = new
        .chain(old.map(|(name, length)| (Some(name), length)))
        .collect();
    let longest = lengths.iter().max().copied().unwrap_or_default() - stock.lumber_trim * 2;
    let mut groups: BTreeMap<Length, Vec<&str>> = BTreeMap::new();
    let mut long = Vec::new();
    for (mark, length, _) in pieces {
        if *length > longest || *length <= Length::ZERO {
            long.push(mark.as_str());
        } else {
            groups.entry(*length).or_default().push(mark);
        }
    }
    let all = long.iter().map(|mark| (*mark).to_owned());
    notes.unplaced.extend(all);
    if !long.is_empty() {
        notes.findings.push(Finding::doubt(
            codes::FITS_NO_STOCK,
            Place::default(),
            format!(
                "{section} {grade}: longer than any stock length: {}",
                long.join(", ")
            ),
            "order them to length, or add a length to plates.stock_lengths or stock.spline_lengths",
        ));
    }
    let wanted: Vec<Length1> = groups
        .iter()
        .map(|(length, marks)| Length1 {
            length: length.to_nanometres(),
            count: u32::try_from(marks.len()).unwrap_or(u32::MAX),
        })
        .collect();
    if wanted.is_empty() {
        return;
    }
    let step = Length::fraction(0, 1, 16);
    let on_hand: Vec<solve::Bar> = kinds
        .iter()
        .map(|(leftover, length)| solve::Bar {
            length: length.to_nanometres(),
            on_hand: leftover.map(|_| 1),
            // Sixteenths of an inch; a leftover costs a tenth, so that it is used first.
            cost: if leftover.is_some() {
                length.steps_of(step) / 10
            } else {
                length.steps_of(step)
            },
        })
        .collect();
    let (kerf, trim) = (stock.lumber_kerf, stock.lumber_trim);
    let effort = Effort(stock.effort);
    let Ok(answer) = cut_bars(
        &on_hand,
        &wanted,
        kerf.to_nanometres(),
        trim.to_nanometres(),
        effort,
    ) else {
        // All fit new stock of which there is as much as needed; what is refused nevertheless is not lost in silence.
        let marks = groups.into_values().flatten().map(str::to_owned);
        notes.unplaced.extend(marks);
        return;
    };
    let has_leftovers = kinds.iter().any(|kind| kind.0.is_some());
    let new_cost = if has_leftovers {
        // What leftovers cost is for the search; new stock is counted here, and they are free.
        let free = on_hand.iter().zip(&kinds).map(|(bar, kind)| solve::Bar {
            cost: if kind.0.is_some() { 0 } else { bar.cost },
            ..bar.clone()
        });
        let cuts = (kerf.to_nanometres(), trim.to_nanometres());
        bar_cost_bound(&free.collect::<Vec<_>>(), &wanted, cuts, &answer.bound)
    } else {
        answer.bound.cost
    };
    let sizes: Vec<Length> = groups.keys().copied().collect();
    let mut queues: Vec<_> = groups.into_values().map(Vec::into_iter).collect();
    let cut_length: Length = pieces
        .iter()
        .filter(|piece| piece.1 <= longest)
        .map(|piece| piece.1)
        .sum();
    let weight: f64 = pieces.iter().map(|piece| piece.2).sum();
    let all_length: Length = pieces.iter().map(|piece| piece.1).sum();
    let mut count = BarCount {
        section: section.clone(),
        grade: grade.clone(),
        count: answer.bars.len(),
        bound: usize::try_from(answer.bound.bars).unwrap_or_default(),
        bound_length: step * new_cost,
        has_leftovers,
        cut: cut_length,
        pounds_per_ft: weight / (all_length.to_inches() / 12.0),
        ..BarCount::default()
    };
    for used in answer.bars {
        let Some((leftover, length)) = kinds.get(used.bar).copied() else {
            continue;
        };
        let name = format!("L{:03}", bars.len() + 1);
        let offcut = Length::nanometres(used.offcut);
        let is_kept = offcut >= stock.least_bar;
        let mut bar = Bar {
            kept: is_kept.then(|| format!("{name}-1")),
            name,
            section: section.clone(),
            grade: grade.clone(),
            leftover: leftover.unwrap_or_default().to_owned(),
            length,
            trim,
            kerf,
            pieces: Vec::new(),
            offcut,
        };
        for index in used.pieces {
            let mark = queues.get_mut(index).and_then(Iterator::next);
            if let (Some(mark), Some(size)) = (mark, sizes.get(index)) {
                bar.pieces.push((mark.to_owned(), *size));
            }
        }
        count.used += length;
        if leftover.is_none() {
            count.new += length;
        }
        if is_kept {
            count.kept += offcut;
        }
        bars.push(bar);
    }
    counts.push(count);
}
