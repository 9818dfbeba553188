//! What a drawing holds, for people and for programs.
//!
//! ```text
//!   Drawing + findings ──► survey       a plain-text table
//!                     └──► survey_json  { version, unit, counts, read, layers, … }
//! ```

use crate::drawing::error::release_name;
use crate::drawing::finish::curve_bounds;
use crate::drawing::model::{CensusRow, Curve, Drawing, DrawingUnit, Layer};
use crate::drawing::sheets::views::view_titles;
use crate::findings::Finding;
use geo::Coord;
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::fmt::Write;

/// What the drawing holds: version, unit and votes, layers, entities read and not read, references, paper space.
#[must_use]
pub fn survey(drawing: &Drawing, findings: &[Finding]) -> String {
    let blocks = [
        heading(drawing),
        unit_block(drawing),
        layer_block(drawing),
        space_block(drawing, "model", "Model space"),
        space_block(
            drawing,
            "block",
            "Inside blocks, each definition counted once",
        ),
        space_block(drawing, "paper", "Paper space"),
        space_block(
            drawing,
            "reference",
            "Model space of drawings referred to, read from beside the file",
        ),
        reference_block(drawing),
        view_block(drawing),
        finding_block(findings),
    ];
    let filled: Vec<String> = blocks
        .into_iter()
        .filter(|block| !block.is_empty())
        .collect();
    filled.join("\n")
}

fn heading(drawing: &Drawing) -> String {
    let version = match (drawing.version.as_str(), release_name(&drawing.version)) {
        ("", _) => "no version stated".to_owned(),
        (version, Some(release)) => format!("{version}, {release}"),
        (version, None) => version.to_owned(),
    };
    format!(
        "{} ({version})\n{} strokes, {} areas, {} texts, {} dimensions, {} placed blocks\n",
        drawing.file,
        drawing.strokes.len(),
        drawing.fills.len(),
        drawing.texts.len(),
        drawing.dimensions.len(),
        drawing.placements.len()
    )
}

/// Columns of a table.
#[derive(Clone, Copy)]
enum Align {
    Left,
    Right,
}

/// Sets a table: columns as wide as their widest cell, two blanks between, two before.
fn table(aligns: &[Align], rows: &[Vec<String>]) -> String {
    let width = |column: usize| {
        rows.iter()
            .filter_map(|row| row.get(column))
            .map(|cell| cell.chars().count())
            .max()
            .unwrap_or(0)
    };
    let widths: Vec<usize> = (0..aligns.len()).map(width).collect();
    let mut out = String::new();
    for row in rows {
        let mut line = String::new();
        for ((cell, align), width) in row.iter().zip(aligns).zip(&widths) {
            let fill = " ".repeat(width.saturating_sub(cell.chars().count()));
            line.push_str("  ");
            match align {
                Align::Left => line.extend([cell.as_str(), &fill]),
                Align::Right => line.extend([fill.as_str(), cell]),
            }
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

fn words(cells: &[&str]) -> Vec<String> {
    cells.iter().map(|cell| (*cell).to_owned()).collect()
}

fn unit_block(drawing: &Drawing) -> String {
    let scale = &drawing.scale;
    let header = scale.header.map_or("nothing", DrawingUnit::word);
    let mut out = format!(
        "Unit: {} (the header says {header}), {}\n",
        scale.unit.word(),
        share(scale.confidence)
    );
    if scale.votes.is_empty() {
        return out;
    }
    let mut rows = vec![
        words(&["evidence", "items"])
            .into_iter()
            .chain(DrawingUnit::ALL.map(|unit| unit.name().to_owned()))
            .collect::<Vec<_>>(),
    ];
    let mut total = [0.0; 5];
    for vote in &scale.votes {
        for (sum, part) in total.iter_mut().zip(vote.log_likelihood) {
            *sum += part;
        }
        let mut row = vec![vote.evidence.clone(), vote.count.to_string()];
        row.extend(powers(vote.log_likelihood));
        rows.push(row);
    }
    let mut sum = words(&["all", ""]);
    sum.extend(powers(total));
    rows.push(sum);
    let right = [Align::Right; 6];
    let aligns: Vec<Align> = [Align::Left].into_iter().chain(right).collect();
    out.push_str(&table(&aligns, &rows));
    out.push_str("  (powers of ten by which a unit is less likely than the likeliest)\n");
    out
}

/// A share of certainty in words that do not round to certain.
fn share(confidence: f64) -> String {
    if confidence > 0.9999 {
        "more than 99.99 % sure".to_owned()
    } else {
        format!("{:.2} % sure", confidence * 100.0)
    }
}

fn powers(log_likelihood: [f64; 5]) -> Vec<String> {
    let best = log_likelihood
        .iter()
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    log_likelihood
        .iter()
        .map(|value| {
            let power = (value - best) / std::f64::consts::LN_10;
            if power > -0.05 {
                "0".to_owned()
            } else {
                format!("{power:.1}")
            }
        })
        .collect()
}

fn state(layer: &Layer) -> String {
    let states = [
        (layer.is_frozen, "frozen"),
        (layer.is_off, "off"),
        (layer.is_locked, "locked"),
    ];
    states
        .iter()
        .filter(|(holds, _)| *holds)
        .map(|(_, word)| *word)
        .collect::<Vec<_>>()
        .join(", ")
}

fn layer_block(drawing: &Drawing) -> String {
    let mut rows = vec![words(&["layer", "items", "state"])];
    rows.extend(
        drawing
            .layers
            .iter()
            .map(|layer| vec![layer.name.clone(), layer.count.to_string(), state(layer)]),
    );
    format!(
        "Layers: {}\n{}",
        drawing.layers.len(),
        table(&[Align::Left, Align::Right, Align::Left], &rows)
    )
}

fn rows_of<'a>(drawing: &'a Drawing, space: &'a str) -> impl Iterator<Item = &'a CensusRow> {
    drawing
        .census
        .rows
        .iter()
        .filter(move |row| row.space == space)
}

fn space_block(drawing: &Drawing, space: &str, title: &str) -> String {
    let found: usize = rows_of(drawing, space).map(|row| row.found).sum();
    if found == 0 {
        return String::new();
    }
    let read: usize = rows_of(drawing, space).map(|row| row.read).sum();
    let mut rows = vec![words(&["entity", "found", "read", "not read because"])];
    rows.extend(rows_of(drawing, space).map(|row| {
        vec![
            row.kind.clone(),
            row.found.to_string(),
            row.read.to_string(),
            row.reason.clone(),
        ]
    }));
    format!(
        "{title}: {found} entities, {read} read\n{}",
        table(
            &[Align::Left, Align::Right, Align::Right, Align::Left],
            &rows
        )
    )
}

fn reference_block(drawing: &Drawing) -> String {
    let census = &drawing.census;
    let mut out = String::new();
    if !census.references.is_empty() {
        out.push_str("External references, not in the file:\n");
        for name in &census.references {
            // Writing to a string cannot fail.
            let _ = writeln!(out, "  {name}");
        }
    }
    if census.bad_pairs > 0 {
        let _ = writeln!(out, "Lines that are no pair: {}", census.bad_pairs);
    }
    out
}

fn view_block(drawing: &Drawing) -> String {
    let titles = view_titles(drawing);
    if titles.is_empty() {
        return String::new();
    }
    let rows: Vec<Vec<String>> = titles
        .iter()
        .map(|title| vec![title.kind.name().to_owned(), title.text.clone()])
        .collect();
    format!(
        "Views by their titles: {}\n{}",
        titles.len(),
        table(&[Align::Left, Align::Left], &rows)
    )
}

fn finding_block(findings: &[Finding]) -> String {
    let mut out = String::new();
    if !findings.is_empty() {
        let _ = writeln!(out, "Findings: {}", findings.len());
        for finding in findings {
            let _ = writeln!(out, "  {finding}\n    hint: {}", finding.hint);
        }
    }
    out
}

/// Number, length and extent of the strokes that are no faces, inches: what another reader can check.
fn centre_lines(drawing: &Drawing) -> Value {
    let mut count = 0_usize;
    let mut length = 0.0;
    let mut low = [f64::INFINITY; 2];
    let mut high = [f64::NEG_INFINITY; 2];
    for stroke in drawing.strokes.iter().filter(|stroke| !stroke.is_face) {
        count += 1;
        length += match stroke.curve {
            Curve::Line { start, end } => (end.x - start.x).hypot(end.y - start.y),
            Curve::Arc { radius, sweep, .. } => radius * sweep.abs(),
        };
        let (lowest, highest) = curve_bounds(&stroke.curve);
        low = [low[0].min(lowest.x), low[1].min(lowest.y)];
        high = [high[0].max(highest.x), high[1].max(highest.y)];
    }
    if count == 0 {
        return json!({ "count": 0, "length": 0.0, "bounds": null });
    }
    json!({ "count": count, "length": length, "bounds": [low, high] })
}

/// Number of areas, and the sum of what their rings enclose, square inches, each ring counted for itself.
fn enclosed(drawing: &Drawing) -> Value {
    let ring_area = |ring: &Vec<Coord<f64>>| {
        let next = ring.iter().cycle().skip(1);
        let Some(origin) = ring.first() else {
            return 0.0;
        };
        // Taken from the first corner, so that a drawing far from its origin loses nothing.
        let doubled: f64 = ring
            .iter()
            .zip(next)
            .map(|(a, b)| (a.x - origin.x) * (b.y - origin.y) - (b.x - origin.x) * (a.y - origin.y))
            .sum();
        doubled.abs() / 2.0
    };
    let total: f64 = drawing
        .fills
        .iter()
        .flat_map(|fill| &fill.rings)
        .map(ring_area)
        .sum();
    json!({ "count": drawing.fills.len(), "enclosed": total })
}

/// The same for programs: `version`, `unit`, `inches_per_unit`, `confidence`, `header_unit`, `votes`, `counts` and `read`
/// (space, then entity type), `not_read`, `layers`, `lines` (inches, wide polylines apart), `areas`, `references`,
/// `bad_pairs`, `views` (titles on the sheet), `findings`.
#[must_use]
pub fn survey_json(drawing: &Drawing, findings: &[Finding]) -> Value {
    let by_space = |value: fn(&CensusRow) -> Value| {
        let mut spaces: BTreeMap<&str, Map<String, Value>> =
            ["block", "model", "paper", "reference"]
                .map(|space| (space, Map::new()))
                .into();
        for row in &drawing.census.rows {
            spaces
                .entry(&row.space)
                .or_default()
                .insert(row.kind.clone(), value(row));
        }
        spaces
    };
    let units = DrawingUnit::ALL.map(DrawingUnit::name);
    let votes: Vec<Value> = drawing
        .scale
        .votes
        .iter()
        .map(|vote| {
            let each: BTreeMap<&str, f64> = units.into_iter().zip(vote.log_likelihood).collect();
            json!({ "evidence": vote.evidence, "items": vote.count, "log_likelihood": each })
        })
        .collect();
    let layers: Vec<Value> = drawing
        .layers
        .iter()
        .map(|layer| {
            json!({
                "name": layer.name,
                "off": layer.is_off,
                "frozen": layer.is_frozen,
                "locked": layer.is_locked,
                "items": layer.count,
            })
        })
        .collect();
    let not_read: Vec<Value> = drawing
        .census
        .rows
        .iter()
        .filter(|row| row.read < row.found)
        .map(|row| {
            json!({
                "space": row.space,
                "kind": row.kind,
                "count": row.found - row.read,
                "reason": row.reason,
            })
        })
        .collect();
    let views: Vec<Value> = view_titles(drawing)
        .iter()
        .map(|title| json!({ "kind": title.kind.name(), "title": title.text, "at": [title.at.x, title.at.y] }))
        .collect();
    let findings: Vec<Value> = findings
        .iter()
        .map(|finding| {
            json!({
                "code": finding.code.name(),
                "severity": finding.severity.name(),
                "message": finding.message,
                "hint": finding.hint,
                "line": finding.place.line,
                "sources": finding.place.sources,
            })
        })
        .collect();
    json!({
        "file": drawing.file,
        "version": drawing.version,
        "unit": drawing.scale.unit.name(),
        "inches_per_unit": drawing.scale.inches_per_unit,
        "confidence": drawing.scale.confidence,
        "header_unit": drawing.scale.header.map(DrawingUnit::name),
        "votes": votes,
        "counts": by_space(|row| json!(row.found)),
        "read": by_space(|row| json!(row.read)),
        "not_read": not_read,
        "layers": layers,
        "lines": centre_lines(drawing),
        "areas": enclosed(drawing),
        "references": drawing.census.references,
        "bad_pairs": drawing.census.bad_pairs,
        "views": views,
        "findings": findings,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{DrawingOptions, read_drawing};

    fn small() -> (Drawing, Vec<Finding>) {
        let text = "0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nA-WALL\n10\n0\n20\n0\n11\n120\n21\n0\n0\nPOINT\n10\n0\n20\n0\n0\nENDSEC\n0\nEOF\n";
        let outcome =
            read_drawing(text.as_bytes(), "small.dxf", &DrawingOptions::default()).unwrap();
        (outcome.output, outcome.findings)
    }

    #[test]
    fn the_text_names_what_was_read_and_what_was_not() {
        let (drawing, findings) = small();
        let text = survey(&drawing, &findings);
        for part in [
            "small.dxf (no version stated)",
            "Model space: 2 entities, 1 read",
            "  LINE        1     1",
            "  POINT       1     0  a point has no extent",
            "  A-WALL      1",
            "fault[DRAW-02]",
        ] {
            assert!(text.contains(part), "{part} is not in:\n{text}");
        }
    }

    #[test]
    fn the_object_has_the_keys_that_others_rely_on() {
        let (drawing, findings) = small();
        let value = survey_json(&drawing, &findings);
        assert_eq!(value["counts"]["model"]["LINE"], 1);
        assert_eq!(value["read"]["model"]["POINT"], 0);
        assert_eq!(value["counts"]["paper"], json!({}));
        assert_eq!(value["layers"][0]["name"], "A-WALL");
        assert_eq!(value["not_read"][0]["reason"], "a point has no extent");
    }
}
