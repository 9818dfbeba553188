//! What is sent to the site loose: plates, lumber and splines by length, fixings, sealant, tape.

use super::pounds;
use crate::documents::csv_table::{CsvTable, FeetInTurn};
use crate::fabrication::{EdgeJoint, Fabrication, Fitted, SkinEdge};
use crate::rules::PlantRules;
use crate::units::Length;
use std::collections::BTreeMap;

/// Pieces that are alike: what, use, section, grade, length.
type Alike<'a> = (&'static str, &'a str, &'a str, &'a str, Length);

/// Everything that is sent beside the panels, over the whole building.
pub(super) fn site_list(fabrication: &Fabrication, rules: &PlantRules) -> CsvTable {
    let mut table = CsvTable::new(&[
        "goods",
        "use",
        "item",
        "grade",
        "length (in)",
        "length (ft-in)",
        "quantity",
        "with allowance",
        "unit",
        "weight (lb)",
    ]);
    let plates = fabrication.plates.iter().map(|it| {
        let key = (
            "plate",
            it.plate.name(),
            &*it.section,
            &*it.grade,
            it.length,
        );
        (key, it.weight_lb)
    });
    let lumber = fabrication.panels.iter().flat_map(|panel| &panel.lumber);
    let lumber = lumber.filter(|it| it.fitted != Fitted::Plant).map(|it| {
        let goods = if it.usage.starts_with("spline") {
            "spline"
        } else {
            "lumber"
        };
        let key = (goods, &*it.usage, &*it.section, &*it.grade, it.length);
        (key, it.weight_lb)
    });
    let mut alike: BTreeMap<Alike<'_>, (usize, f64)> = BTreeMap::new();
    for (key, weight) in plates.chain(lumber) {
        let sum = alike.entry(key).or_default();
        *sum = (sum.0 + 1, sum.1 + weight);
    }
    for ((goods, usage, section, grade, length), (count, weight)) in alike {
        table.row([
            goods.to_owned(),
            usage.to_owned(),
            section.to_owned(),
            grade.to_owned(),
            CsvTable::inches(length),
            length.feet_inches().to_string(),
            count.to_string(),
            count.to_string(),
            "piece".to_owned(),
            pounds(weight),
        ]);
    }
    let goods = &rules.dispatch.site_goods;
    let mut row =
        |what: &str, usage: &str, item: &str, counted: String, sent: String, unit: &str| {
            let (none, unit) = (String::new(), unit.to_owned());
            let head = [what, usage, item].map(str::to_owned);
            let tail = [
                none.clone(),
                none.clone(),
                none.clone(),
                counted,
                sent,
                unit,
                none,
            ];
            table.row(head.into_iter().chain(tail));
        };
    let mut fixings: BTreeMap<(&str, &str), u32> = BTreeMap::new();
    for it in fabrication.panels.iter().flat_map(|panel| &panel.fixings) {
        *fixings.entry((&*it.item, &*it.usage)).or_default() += it.count;
    }
    for ((item, usage), count) in fixings {
        let sent = CsvTable::number((f64::from(count) * (1.0 + goods.allowance)).ceil(), 0);
        row("fixing", usage, item, count.to_string(), sent, "piece");
    }
    let feet = |length: Length| length.to_inches() / 12.0;
    let with = |length: Length| CsvTable::number(feet(length) * (1.0 + goods.allowance), 2);
    let bead = fabrication
        .panels
        .iter()
        .fold(Length::ZERO, |sum, it| sum + it.sealant);
    let usage = "joints, plates and corners";
    let item = format!("bead {}", goods.bead);
    row(
        "sealant",
        usage,
        &item,
        FeetInTurn::default().next(bead),
        with(bead),
        "ft",
    );
    let [cartridges, sent] = goods.cartridges(bead).map(|it| it.to_string());
    let item = format!("{} cu in", CsvTable::number(goods.cartridge, 1));
    row("sealant", usage, &item, cartridges, sent, "cartridge");
    if goods.tape {
        let edges = fabrication.panels.iter().flat_map(|panel| &panel.edges);
        let joined = |it: &&SkinEdge| matches!(it.joint, EdgeJoint::Spline | EdgeJoint::Corner);
        let lengths = edges
            .filter(joined)
            .map(|it| (it.to.x - it.from.x).abs() + (it.to.y - it.from.y).abs());
        // Each joint is an edge of two panels.
        let tape = lengths.fold(Length::ZERO, |sum, it| sum + it).half();
        let counted = CsvTable::number(feet(tape), 2);
        row(
            "tape",
            "inside of joints and corners",
            "tape",
            counted,
            with(tape),
            "ft",
        );
    }
    table
}
