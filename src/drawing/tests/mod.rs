//! Whole drawings, from bytes to strokes.

use super::testing::{Draft, read_inches};
use super::*;
use geo::Coord;

mod arrivals;
mod blocks;
mod damage;
mod files;
mod layouts;
mod shapes;
mod sheets;
mod units;

fn at(x: f64, y: f64) -> Coord<f64> {
    Coord { x, y }
}

/// Ends of the strokes, arcs by start and end, rounded to a billionth.
fn ends(drawing: &Drawing) -> Vec<[Coord<f64>; 2]> {
    let round = |at: Coord<f64>| Coord {
        x: (at.x * 1e9).round() / 1e9 + 0.0,
        y: (at.y * 1e9).round() / 1e9 + 0.0,
    };
    drawing
        .strokes
        .iter()
        .map(|stroke| match stroke.curve {
            Curve::Line { start, end } => [round(start), round(end)],
            Curve::Arc {
                centre,
                radius,
                start_angle,
                sweep,
            } => [start_angle, start_angle + sweep].map(|angle| {
                round(Coord {
                    x: centre.x + radius * angle.cos(),
                    y: centre.y + radius * angle.sin(),
                })
            }),
        })
        .collect()
}

fn source<'a>(drawing: &'a Drawing, stroke: &Stroke) -> &'a Source {
    &drawing.sources[stroke.source.0 as usize]
}

fn codes_of(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|finding| finding.code.name()).collect()
}

fn small() -> Draft {
    Draft::default()
        .variable("$ACADVER, 1 AC1015")
        .layer("A-WALL", 0, 7)
        .rectangle("A-WALL", [0.0, 0.0], [288.0, 192.0])
        .entity("ARC, 8 A-DOOR, 10 48, 20 6.5, 40 36, 50 0, 51 90")
        .entity("TEXT, 8 0, 10 60, 20 60, 40 6, 1 HALL")
}
