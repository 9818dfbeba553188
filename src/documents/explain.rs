//! Answers "why here?" for one panel, and "why so?" for one wall, from a package's own files.

use crate::rules::rule_words;
use crate::units::Length;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fmt::Write;

/// Why a panel cannot be explained.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum ExplainError {
    /// The file is not what it should be.
    #[error("panels.json: {0}")]
    Unreadable(String),
    /// No such panel.
    #[error("there is no panel and no wall {mark}; its panels and walls are {known}")]
    Unknown {
        /// What was asked for.
        mark: String,
        /// What there is.
        known: String,
    },
}

/// The reasons, parts with their rules, and findings of one panel as text; or of a wall its cost, bound and next best layouts.
///
/// - `panels`, `findings`: the texts of `panels.json` and `findings.json`.
///
/// # Errors
/// [`ExplainError`] when the file cannot be read or holds no such panel.
pub fn explain(panels: &str, findings: &str, mark: &str) -> Result<String, ExplainError> {
    let package: Value = serde_json::from_str(panels)
        .map_err(|error| ExplainError::Unreadable(error.to_string()))?;
    let all = package["panels"]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    let panel = all.iter().find(|panel| {
        panel["mark"]
            .as_str()
            .is_some_and(|m| m.eq_ignore_ascii_case(mark))
    });
    let walls = package["walls"]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    let wall = walls.iter().find(|wall| {
        let id = wall["id"].as_str();
        id.is_some_and(|id| id.eq_ignore_ascii_case(mark))
    });
    let Some(panel) = panel else {
        if let Some(wall) = wall {
            let priced_by = package["priced_by"].as_str().unwrap_or_default();
            return Ok(explain_wall(wall, priced_by));
        }
        let marks = all.iter().filter_map(|panel| panel["mark"].as_str());
        let ids = walls.iter().filter_map(|wall| wall["id"].as_str());
        let known: Vec<&str> = marks.chain(ids).collect();
        return Err(ExplainError::Unknown {
            mark: mark.to_owned(),
            known: known.join(", "),
        });
    };
    let word = |key: &str| panel[key].as_str().unwrap_or("?").to_owned();
    let number = |key: &str| panel[key].as_f64().unwrap_or(f64::NAN);
    let mark = word("mark");
    let mut text = format!(
        "{mark}: {} panel of {}, wall {}, {} wide, {} high, {} lb, erected as number {}{}\n",
        word("kind"),
        word("assembly"),
        word("wall"),
        feet(&panel["width"]),
        feet(&panel["height"]),
        number("weight_lb").round(),
        panel["erection"],
        panel["erection_letter"].as_str().unwrap_or_default()
    );
    section(&mut text, "why here", &panel["reasons"], |reason| {
        let of = |key: &str| reason[key].as_str().unwrap_or("?").to_owned();
        format!("{}: {} [{}]", of("about"), of("words"), of("rule"))
    });
    section(&mut text, "parts", &panel["lumber"], |part| {
        let of = |key: &str| part[key].as_str().unwrap_or("?").to_owned();
        format!(
            "{} {}, {}, {}, {} [{}]",
            of("mark"),
            of("use"),
            of("section"),
            feet(&part["length"]),
            of("fitted"),
            of("rule")
        )
    });
    let named = ["reasons", "lumber"].map(|list| panel[list].as_array());
    let named = named.into_iter().flatten().flatten();
    let rules: BTreeSet<&str> = named.filter_map(|it| it["rule"].as_str()).collect();
    let rules: Vec<Value> = rules.into_iter().map(Value::from).collect();
    section(
        &mut text,
        "rules named here",
        &Value::Array(rules),
        |rule| {
            let rule = rule.as_str().unwrap_or("?");
            let words = rule_words(rule).unwrap_or_else(|| match rule {
                "order" => "docs/layout.md, Order and marks".to_owned(),
                _ => "job.toml, see docs/rules.md".to_owned(),
            });
            format!("{rule}: {words}")
        },
    );
    section(&mut text, "on HOLD", &panel["holds"], |hold| {
        format!(
            "{} [{}]",
            hold["reason"].as_str().unwrap_or("?"),
            hold["code"].as_str().unwrap_or("?")
        )
    });
    section(&mut text, "notes", &panel["notes"], |note| {
        note.as_str().unwrap_or("?").to_owned()
    });
    let list: Value = serde_json::from_str(findings).unwrap_or_default();
    let list = if list.is_array() {
        &list
    } else {
        &list["findings"]
    };
    let about: Vec<Value> = list
        .as_array()
        .into_iter()
        .flatten()
        .filter(|f| f["panel"].as_str() == Some(&mark))
        .cloned()
        .collect();
    section(&mut text, "findings", &Value::Array(about), |finding| {
        let of = |key: &str| finding[key].as_str().unwrap_or("?").to_owned();
        format!(
            "{}[{}]: {}; {}",
            of("severity"),
            of("code"),
            of("message"),
            of("hint")
        )
    });
    if let Some(sources) = panel["sources"].as_array() {
        let handles: Vec<&str> = sources.iter().filter_map(Value::as_str).collect();
        // Writing to a String cannot fail.
        let _ = writeln!(text, "\nfrom the drawing: entities {}", handles.join(", "));
    }
    Ok(text)
}

/// What a wall's layout costs, that nothing better exists, and what would come next.
fn explain_wall(wall: &Value, priced_by: &str) -> String {
    let word = |key: &str| wall[key].as_str().unwrap_or("?");
    let dollars = |value: &Value| {
        let cents = value.as_i64().unwrap_or_default();
        format!("${}.{:02}", cents / 100, cents % 100)
    };
    let mut text = format!(
        "{}: wall {} of {}, a run of {} from its {} end at the left to its {} end at the right\n",
        word("id"),
        word("name"),
        word("assembly"),
        feet(&wall["length"]),
        word("left_end"),
        word("right_end")
    );
    let run = wall["run"]
        .as_array()
        .map(Vec::as_slice)
        .unwrap_or_default();
    if run.is_empty() {
        text.push_str("it could not be panelled: see findings.json\n");
        return text;
    }
    let (cost, bound) = (&wall["cost_cents"], &wall["bound_cents"]);
    // Writing to a String cannot fail.
    let _ = writeln!(
        text,
        "cost {} ({}); proved least under the plant's rules {}{}",
        dollars(cost),
        priced_by,
        dollars(bound),
        if cost == bound {
            ": nothing better exists"
        } else {
            ""
        }
    );
    section(&mut text, "panels", &wall["run"], |piece| {
        let of = |key: &str| piece[key].as_str().map(str::to_owned);
        match (of("panel"), of("opening")) {
            (Some(panel), _) => format!(
                "{panel} from {} to {}",
                feet(&piece["from"]),
                feet(&piece["to"])
            ),
            (_, Some(opening)) => format!(
                "{opening}, framed between panels, from {} to {}",
                feet(&piece["from"]),
                feet(&piece["to"])
            ),
            _ => format!("gap of {}", feet(&piece["gap"])),
        }
    });
    section(
        &mut text,
        "next best layouts that truly differ",
        &wall["alternatives"],
        |other| {
            let joints = other["joints"]
                .as_array()
                .map(Vec::as_slice)
                .unwrap_or_default();
            let joints: Vec<String> = joints.iter().map(feet).collect();
            format!(
                "{}: joints at {}",
                dollars(&other["cost_cents"]),
                joints.join(", ")
            )
        },
    );
    if wall["alternatives"].as_array().is_none_or(Vec::is_empty) {
        text.push_str("\nfor the next best layouts make the package with --alternatives 5\n");
    }
    text
}

/// A length of the file in feet and inches, to the sixteenth as on the sheets.
fn feet(value: &Value) -> String {
    let inches = value.as_f64().unwrap_or(f64::NAN);
    let length = Length::nearest(inches, Length::nanometres(1));
    length.map_or_else(|| "?".to_owned(), |it| it.feet_inches().to_string())
}

fn section(text: &mut String, title: &str, items: &Value, line: impl Fn(&Value) -> String) {
    let items = items.as_array().map(Vec::as_slice).unwrap_or_default();
    if items.is_empty() {
        return;
    }
    let _ = writeln!(text, "\n{title}");
    for item in items {
        let _ = writeln!(text, "  {}", line(item));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PANELS: &str = r#"{"panels":[{"mark":"W101","kind":"wall","assembly":"6-1/2","wall":"X1","width":48.0,"height":108.0,
        "weight_lb":127.4,"erection":1,"reasons":[{"about":"right edge","rule":"joints.from_opening","words":"6 in clear of O1"}]}]}"#;

    #[test]
    fn a_panel_says_why_it_is_there() {
        let text = explain(PANELS, "[]", "w101").unwrap();
        assert!(
            text.contains("right edge: 6 in clear of O1 [joints.from_opening]"),
            "{text}"
        );
        let rule =
            "joints.from_opening: Least distance from a joint to the rough edge of an opening";
        assert!(text.contains(rule), "{text}");
    }

    #[test]
    fn a_wall_says_its_cost_its_bound_and_what_comes_next() {
        let panels = r#"{"panels":[],"priced_by":"Demo of 2026-11-01","walls":[{"id":"X1","name":"South","assembly":"6-1/2","length":144.0,"left_end":"through",
            "right_end":"butt","cost_cents":101640,"bound_cents":101640,"run":[{"panel":"W101","from":0.0,"to":95.875},
            {"gap":0.125},{"panel":"W102","from":96.0,"to":144.0}],"alternatives":[{"cost_cents":103140,"joints":[48.0]}]}]}"#;
        let text = explain(panels, "[]", "x1").unwrap();
        assert!(text.contains("cost $1016.40 (Demo of 2026-11-01); proved least under the plant's rules $1016.40: nothing better exists"), "{text}");
        assert!(text.contains("$1031.40: joints at 4'-0\""), "{text}");
        assert!(text.contains("W102 from 8'-0\" to 12'-0\""), "{text}");
    }

    #[test]
    fn an_unknown_mark_is_answered_with_the_known_ones() {
        assert!(
            explain(PANELS, "[]", "W999")
                .unwrap_err()
                .to_string()
                .contains("W101")
        );
    }
}
