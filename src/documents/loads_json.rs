//! `loads.json`: see `docs/loads.md`.

use super::json_text::json_text;
use super::loading::CAUTIONS;
use super::nine;
use crate::loads::{Bundle, LoadPlan, Stack, Truck};
use crate::rules::PlantRules;
use crate::units::{Length, letters};
use serde_json::{Value, json};

fn inches(length: Length) -> f64 {
    nine(length.to_inches())
}

/// The bytes of the file.
#[must_use]
pub fn loads_json(plan: &LoadPlan, rules: &PlantRules) -> String {
    let it = &rules.dispatch.shipping;
    let trucks: Vec<Value> = plan.trucks.iter().map(truck).collect();
    json_text(&json!({
        "schema": "panelwright.loads/1",
        "limits": {
            "length": inches(it.deck_length), "width": inches(it.deck_width), "height": inches(it.clear_height()),
            "dunnage": inches(it.dunnage), "weight_lb": nine(it.payload), "tie_down_lb": nine(it.tie_down),
            "overhang": inches(it.overhang), "blocked": it.blocked,
        },
        "count": plan.trucks.len(), "bound": plan.bound, "scope": LoadPlan::SCOPE, "sentence": plan.sentence(),
        "trucks": trucks,
        "bundles": plan.bundles.iter().map(bundle).collect::<Vec<_>>(),
        "cautions": CAUTIONS,
    }))
}

fn bundle(bundle: &Bundle) -> Value {
    json!({
        "bundle": bundle.name,
        "kind": bundle.kind.name(),
        "panel": bundle.panel,
        "pieces": bundle.pieces.iter().map(|it| it.mark.as_str()).collect::<Vec<_>>(),
        "weight_lb": nine(bundle.weight_lb()),
        "truck": bundle.kind.is_shipped().then_some(1),
    })
}

fn truck(truck: &Truck) -> Value {
    json!({
        "truck": truck.number,
        "weight_lb": nine(truck.weight_lb()),
        "loose_lb": nine(truck.loose_lb),
        "height": inches(truck.height()),
        "length": inches(truck.length()),
        "tie_downs": truck.stacks.iter().map(|it| it.tie_downs).sum::<u32>(),
        "beyond": truck.beyond,
        "stacks": truck.stacks.iter().map(stack).collect::<Vec<_>>(),
    })
}

fn stack(stack: &Stack) -> Value {
    let panels = stack.panels.iter().map(|it| {
        let mut row = json!({
            "layer": it.layer, "column": it.column, "bottom": inches(it.bottom), "across": inches(it.across),
            "mark": it.mark, "erection": it.erection.number, "length": inches(it.length),
            "width": inches(it.width), "thickness": inches(it.thickness), "weight_lb": nine(it.weight_lb),
        });
        if it.erection.letter > 0 {
            row["erection_letter"] = letters(it.erection.letter).into();
        }
        row
    });
    json!({
        "stack": stack.name,
        "at": [inches(stack.x), inches(stack.y)],
        "length": inches(stack.length), "width": inches(stack.width), "height": inches(stack.height),
        "weight_lb": nine(stack.weight_lb()),
        "columns": stack.columns, "tie_downs": stack.tie_downs,
        "panels": panels.collect::<Vec<_>>(),
    })
}
