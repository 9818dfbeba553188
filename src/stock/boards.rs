//! The skins of every blank onto boards of their own material and thickness, the strength axis kept.

use super::leftovers::Leftovers;
use super::model::{Blank, CutSheet};
use super::sheets::{Kind, Least, SheetAnswer, SheetProblem, Want, cut, name_sheet};
use super::{Models, Notes, codes};
use crate::findings::{Finding, Place};
use crate::rules::StrengthAxis;
use crate::units::Length;
use std::collections::BTreeMap;

/// Sheets of one kind of stock, and what no plan can go below.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct SheetCount {
    pub(super) material: String,
    pub(super) thickness: Length,
    pub(super) count: usize,
    pub(super) bound: usize,
    /// New stock, square inches.
    pub(super) area: f64,
    pub(super) bound_area: f64,
    pub(super) scope: &'static str,
    /// True where sheets differ in size: then their area is least, not their number.
    pub(super) has_sizes: bool,
    /// True where leftovers were on hand: then the bound is of new stock beside them.
    pub(super) has_leftovers: bool,
    /// Pounds of a square foot.
    pub(super) pounds_per_sq_ft: f64,
}

impl SheetCount {
    pub(super) fn of(
        answer: &SheetAnswer,
        (material, thickness): (String, Length),
        density: f64,
    ) -> Self {
        Self {
            material,
            thickness,
            count: answer.sheets.len(),
            bound: answer.bound,
            area: answer.new_area(),
            bound_area: answer.bound_area,
            scope: answer.scope,
            has_sizes: answer.has_sizes,
            has_leftovers: answer.has_leftovers,
            pounds_per_sq_ft: density * thickness.to_inches() / 12.0,
        }
    }
}

/// Boards for all blanks that are laminated anew.
pub(super) fn plan_boards(
    models: &Models<'_>,
    leftovers: &Leftovers,
    blanks: &[Blank],
    notes: &mut Notes,
) -> (Vec<CutSheet>, Vec<SheetCount>) {
    let stock = &models.rules.stock;
    let mut groups: BTreeMap<(String, Length), (f64, Vec<Want>)> = BTreeMap::new();
    for blank in blanks.iter().filter(|it| it.sheet.leftover.is_empty()) {
        let (Some(assembly), Some(line)) = (
            models.rules.assemblies.get(blank.assembly),
            models.rules.lines.get(blank.line),
        ) else {
            continue;
        };
        let (length, width) = match line.strength_axis {
            StrengthAxis::Long => (blank.sheet.length, blank.sheet.width),
            StrengthAxis::Short => (blank.sheet.width, blank.sheet.length),
        };
        for face in assembly.skinned() {
            let skin = assembly.skin(face);
            let key = (skin.material.clone(), skin.thickness);
            let (_, wants) = groups
                .entry(key)
                .or_insert_with(|| (skin.density, Vec::new()));
            wants.push(Want {
                name: format!("{} {}", blank.sheet.name, face.name()),
                length,
                width,
                batch: 0,
            });
        }
    }
    let mut boards = Vec::new();
    let mut counts = Vec::new();
    for ((material, thickness), (density, wants)) in groups {
        let what = format!("{material} {thickness}");
        let on_hand = stock
            .boards
            .iter()
            .filter(|board| board.material == material && board.thickness == thickness);
        let mut kinds: Vec<Kind> = on_hand
            .map(|board| Kind::new(board.length, board.width))
            .collect();
        kinds.extend(leftovers.boards(&material, thickness));
        let answer = cut(&SheetProblem {
            what: material.clone(),
            thickness,
            kinds: &kinds,
            wants: &wants,
            trim: stock.board_trim,
            kerf: stock.board_kerf,
            window: None,
            effort: stock.effort,
            least: Least {
                width: stock.least_width,
                length: stock.least_length,
            },
        });
        report_unfit(&answer, &wants, &what, kinds.is_empty(), notes);
        counts.push(SheetCount::of(&answer, (material, thickness), density));
        boards.extend(answer.sheets);
    }
    for (number, board) in boards.iter_mut().enumerate() {
        name_sheet(board, &format!("H{:02}", number + 1));
    }
    (boards, counts)
}

/// One finding for all that fits no stock of a kind.
pub(super) fn report_unfit(
    answer: &SheetAnswer,
    wants: &[Want],
    what: &str,
    has_none: bool,
    notes: &mut Notes,
) {
    if answer.unfit.is_empty() {
        return;
    }
    let names = answer.unfit.iter().filter_map(|index| wants.get(*index));
    let names: Vec<&str> = names.map(|want| want.name.as_str()).collect();
    let all = names.iter().map(|name| (*name).to_owned());
    notes.unplaced.extend(all);
    let (code, why) = if has_none {
        (codes::NO_SUCH_STOCK, "none is on hand")
    } else {
        (codes::FITS_NO_STOCK, "they fit none on hand")
    };
    notes.findings.push(Finding::doubt(
        code,
        Place::default(),
        format!("{what}: {why}: {}", names.join(", ")),
        "add its real size to [[stock.boards]] or [[stock.billets]]",
    ));
}
