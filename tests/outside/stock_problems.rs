//! Cuts stock for problems handed in, one a line as JSON, and prints the plans: `tests/outside/stock.py` judges them.
//!
//! ```text
//!   sheets: {"sheets": [[width, height, on hand or null, cost]..], "pieces": [[width, height, count, may turn, batch]..],
//!            "kerf", "trim", "first_cut": "width"|"height"|"either", "window": null or a number, "steps"}
//!   bars:   {"bars": [[length, on hand or null, cost]..], "lengths": [[length, count]..], "kerf", "trim", "steps"}
//! ```
//!
//! Only what the library shows to everybody is used.
#![expect(clippy::print_stdout, reason = "it prints plans")]

use panelwright::stock::solve::{
    Bar, Effort, FirstCut, Length1, Piece, Saw, Sheet, check_bar_bound, check_bound, cut_bars,
    cut_sheets,
};
use serde_json::{Value, json};
use std::io::BufRead as _;

fn main() {
    for line in std::io::stdin().lock().lines() {
        let answer = line
            .map_err(|error| error.to_string())
            .and_then(|line| answer(&line));
        println!(
            "{}",
            answer.unwrap_or_else(|error| json!({ "error": error }))
        );
    }
}

fn answer(line: &str) -> Result<Value, String> {
    let problem: Value = serde_json::from_str(line).map_err(|error| error.to_string())?;
    if problem["bars"].is_null() {
        sheets(&problem)
    } else {
        bars(&problem)
    }
}

fn rows(problem: &Value, key: &str) -> Result<Vec<Vec<Value>>, String> {
    let rows = problem[key].as_array().ok_or(format!("no {key}"))?;
    let row = |it: &Value| it.as_array().cloned().ok_or(format!("{key}: {it}"));
    rows.iter().map(row).collect()
}

fn number(it: Option<&Value>) -> i64 {
    it.and_then(Value::as_i64).unwrap_or(0)
}

fn count(it: Option<&Value>) -> Option<u32> {
    it.and_then(Value::as_u64)
        .and_then(|n| u32::try_from(n).ok())
}

fn sheets(problem: &Value) -> Result<Value, String> {
    let sheets: Vec<Sheet> = rows(problem, "sheets")?
        .iter()
        .map(|it| Sheet {
            width: number(it.first()),
            height: number(it.get(1)),
            on_hand: count(it.get(2)),
            cost: number(it.get(3)),
        })
        .collect();
    let pieces: Vec<Piece> = rows(problem, "pieces")?
        .iter()
        .map(|it| Piece {
            width: number(it.first()),
            height: number(it.get(1)),
            count: count(it.get(2)).unwrap_or(0),
            may_turn: it.get(3).and_then(Value::as_bool).unwrap_or(false),
            batch: count(it.get(4)).unwrap_or(0),
        })
        .collect();
    let saw = Saw {
        kerf: number(problem.get("kerf")),
        trim: number(problem.get("trim")),
        first_cut: match problem["first_cut"].as_str() {
            Some("width") => FirstCut::AlongWidth,
            Some("height") => FirstCut::AlongHeight,
            _ => FirstCut::Either,
        },
        window: count(problem.get("window")),
    };
    let effort = Effort(problem["steps"].as_u64().unwrap_or(0));
    let plan = cut_sheets(&sheets, &pieces, &saw, effort).map_err(|error| error.to_string())?;
    let cut: Vec<Value> = plan
        .sheets
        .iter()
        .map(|it| {
            let pieces = it.pieces.iter();
            let pieces = pieces.map(|p| json!([p.piece, p.x, p.y, p.turned]));
            let cuts = it.cuts.iter();
            let cuts = cuts.map(|c| json!([c.from.0, c.from.1, c.to.0, c.to.1, c.stage]));
            let offcuts = it.offcuts.iter();
            let offcuts = offcuts.map(|o| json!([o.x, o.y, o.width, o.height]));
            json!({
                "sheet": it.sheet,
                "pieces": pieces.collect::<Vec<_>>(),
                "cuts": cuts.collect::<Vec<_>>(),
                "offcuts": offcuts.collect::<Vec<_>>(),
            })
        })
        .collect();
    Ok(json!({
        "sheets": cut,
        "bound": plan.bound.sheets,
        "cost_bound": plan.bound.cost,
        "scope": format!("{:?}", plan.bound.scope),
        "proved": check_bound(&sheets, &pieces, &saw, &plan.bound),
    }))
}

fn bars(problem: &Value) -> Result<Value, String> {
    let bars: Vec<Bar> = rows(problem, "bars")?
        .iter()
        .map(|it| Bar {
            length: number(it.first()),
            on_hand: count(it.get(1)),
            cost: number(it.get(2)),
        })
        .collect();
    let pieces: Vec<Length1> = rows(problem, "lengths")?
        .iter()
        .map(|it| Length1 {
            length: number(it.first()),
            count: count(it.get(1)).unwrap_or(0),
        })
        .collect();
    let (kerf, trim) = (number(problem.get("kerf")), number(problem.get("trim")));
    let effort = Effort(problem["steps"].as_u64().unwrap_or(0));
    let plan = cut_bars(&bars, &pieces, kerf, trim, effort).map_err(|error| error.to_string())?;
    let cut = plan.bars.iter();
    let cut = cut.map(|it| json!({ "bar": it.bar, "pieces": it.pieces, "offcut": it.offcut }));
    Ok(json!({
        "bars": cut.collect::<Vec<_>>(),
        "bound": plan.bound.bars,
        "cost_bound": plan.bound.cost,
        "proved": check_bar_bound(&bars, &pieces, kerf, trim, &plan.bound),
    }))
}
