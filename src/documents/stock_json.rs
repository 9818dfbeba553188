//! `stock.json`: see `docs/stock.md`.

use super::json_text::json_text;
use super::nine;
use crate::fabrication::Fabrication;
use crate::geometry::{ShopPoint, ShopRect};
use crate::rules::{PlantRules, StrengthAxis};
use crate::stock::{
    Bar, Billet, Blank, CutSheet, FoamTally, Leftover, SheetOffcut, StockPlan, Tally, numbered_cuts,
};
use crate::units::Length;
use serde_json::{Value, json};

fn inches(length: Length) -> f64 {
    nine(length.to_inches())
}

fn point(point: ShopPoint) -> [f64; 2] {
    [inches(point.x), inches(point.y)]
}

fn sides(rect: &ShopRect) -> [f64; 4] {
    [rect.x0, rect.y0, rect.x1, rect.y1].map(inches)
}

fn lines(lines: &[[ShopPoint; 2]]) -> Vec<[[f64; 2]; 2]> {
    lines.iter().map(|line| line.map(point)).collect()
}

/// The bytes of the file.
#[must_use]
pub fn stock_json(plan: &StockPlan, fabrication: &Fabrication, rules: &PlantRules) -> String {
    let all = |sheets: &[CutSheet], key: &str| -> Vec<Value> {
        sheets.iter().map(|it| sheet(it, key)).collect()
    };
    let blanks: Vec<Value> = plan
        .blanks
        .iter()
        .map(|it| blank(it, fabrication, rules))
        .collect();
    json_text(&json!({
        "schema": "panelwright.stock/1",
        "priced_by": rules.cost.source(),
        "summary": plan.tallies.iter().map(tally).collect::<Vec<_>>(),
        "foam": plan.foam.iter().map(foam).collect::<Vec<_>>(),
        "held": plan.held,
        "unplaced": plan.unplaced,
        "blanks": blanks,
        "boards": all(&plan.boards, "board"),
        "slabs": all(&plan.slabs, "slab"),
        "billets": plan.billets.iter().map(billet).collect::<Vec<_>>(),
        "lumber": plan.bars.iter().map(bar).collect::<Vec<_>>(),
        "leftovers": plan.leftovers.iter().map(leftover).collect::<Vec<_>>(),
    }))
}

fn tally(it: &Tally) -> Value {
    json!({
        "kind": it.kind, "what": it.what, "count": it.count, "bound": it.bound, "scope": it.scope, "sentence": it.sentence,
        "unit": it.unit, "used": nine(it.used), "cut": nine(it.cut), "kept": nine(it.kept), "waste": nine(it.waste()),
        "waste_lb": nine(it.waste_lb), "waste_cents": it.waste_cents,
    })
}

fn foam(it: &FoamTally) -> Value {
    json!({
        "material": it.material, "billets_cu_ft": nine(it.billets), "slabs_cu_ft": nine(it.slabs), "panels_cu_ft": nine(it.panels),
        "kept_cu_ft": nine(it.kept), "rests_cu_ft": nine(it.rests), "wire_cu_ft": nine(it.wire), "blank_offcuts_cu_ft": nine(it.blank_offcuts),
        "grindings_cu_ft": nine(it.grindings), "grindings_lb": nine(it.grindings_lb),
        "ground_lb": nine(it.ground_lb), "waste_cents": it.waste_cents, "ground_cents": it.ground_cents,
    })
}

fn blank(it: &Blank, fabrication: &Fabrication, rules: &PlantRules) -> Value {
    let assembly = rules.assemblies.get(it.assembly);
    let line = rules.lines.get(it.line);
    let axis = line.map_or(StrengthAxis::Long, |line| line.strength_axis);
    let panels: Vec<Value> = it
        .panels
        .iter()
        .map(|panel| {
            let attitude = panel.on.attitude;
            json!({
                "mark": panel.mark, "at": sides(&panel.rect), "turn": attitude.degrees(), "up": attitude.up(),
                "paired_with": panel.paired_with,
            })
        })
        .collect();
    let cuts: Vec<Value> = numbered_cuts(it, |index| fabrication.panels.get(index))
        .iter()
        .map(|cut| {
            json!({
                "number": cut.number, "kind": cut.kind.name(), "from": point(cut.from), "to": point(cut.to),
                "stage": cut.stage,
            })
        })
        .collect();
    let sheet = &it.sheet;
    json!({
        "blank": sheet.name, "assembly": assembly.map_or("", |it| it.name.as_str()),
        "line": line.map_or("", |it| it.name.as_str()), "leftover": sheet.leftover,
        "length": inches(sheet.length), "width": inches(sheet.width), "thickness": inches(sheet.thickness),
        "trim": inches(sheet.trim), "kerf": inches(sheet.kerf),
        "strength_axis": match axis { StrengthAxis::Long => "long", StrengthAxis::Short => "short" },
        "face_up": it.face_up.name(),
        "panels": panels, "cuts": cuts, "offcuts": offcuts(&sheet.offcuts),
        "chases": lines(&it.chases), "core_joints": lines(&it.core_joints),
    })
}

fn offcuts(all: &[SheetOffcut]) -> Vec<Value> {
    all.iter()
        .map(|it| json!({ "name": it.name, "at": sides(&it.rect), "kept": it.is_kept }))
        .collect()
}

fn sheet(it: &CutSheet, key: &str) -> Value {
    let pieces: Vec<Value> = it
        .pieces
        .iter()
        .map(|piece| json!({ "name": piece.name, "at": sides(&piece.rect) }))
        .collect();
    let cuts: Vec<Value> = it
        .cuts
        .iter()
        .enumerate()
        .map(|(index, cut)| {
            json!({ "number": index + 1, "from": point(cut.from), "to": point(cut.to), "stage": cut.stage })
        })
        .collect();
    json!({
        key: it.name, "material": it.what, "leftover": it.leftover, "thickness": inches(it.thickness),
        "length": inches(it.length), "width": inches(it.width), "trim": inches(it.trim), "kerf": inches(it.kerf),
        "pieces": pieces, "cuts": cuts, "offcuts": offcuts(&it.offcuts),
    })
}

fn billet(it: &Billet) -> Value {
    let slabs: Vec<Value> = it
        .slabs
        .iter()
        .map(|(name, from, to)| json!({ "slab": name, "from": inches(*from), "to": inches(*to) }))
        .collect();
    json!({
        "billet": it.name, "material": it.what, "leftover": it.leftover, "length": inches(it.length), "width": inches(it.width),
        "height": inches(it.height), "skin": inches(it.skin), "kerf": inches(it.kerf), "slabs": slabs,
        "rest": inches(it.rest), "kept": it.kept,
    })
}

fn bar(it: &Bar) -> Value {
    let pieces: Vec<Value> = it
        .pieces
        .iter()
        .map(|(mark, length)| json!({ "mark": mark, "length": inches(*length) }))
        .collect();
    json!({
        "bar": it.name, "section": it.section, "grade": it.grade, "leftover": it.leftover, "length": inches(it.length),
        "trim": inches(it.trim), "kerf": inches(it.kerf), "pieces": pieces, "offcut": inches(it.offcut),
        "kept": it.kept,
    })
}

fn leftover(it: &Leftover) -> Value {
    json!({
        "name": it.name, "kind": it.kind, "what": it.what, "grade": it.grade, "thickness": inches(it.thickness),
        "length": inches(it.length), "width": inches(it.width), "whole_core": it.has_whole_core,
    })
}
