//! A storey in plan: panels, joints, marks, widths, rough openings, over the architect's lines.

use super::background::add_background;
use super::words::{Row, Standing};
use super::writer::{CadDrawing, CadShape};
use super::{drawing_of, empty, in_drawing};
use crate::building::PanelWall;
use crate::documents::Models;
use crate::layout::PanelKind;
use crate::plan::{OpeningKind, Storey};
use crate::units::{Inches, Length};
use geo::Coord;

/// Height of a mark, inches in life: 6 mm on paper at 1/4" = 1'-0".
const MARK: f64 = 9.0;
/// Height of other words.
const WORD: f64 = 4.5;

/// The key plan of a storey of the building.
pub(super) fn key_plan(models: &Models<'_>, index: usize) -> CadDrawing {
    let made = models.building.storeys.get(index);
    let id = made.map_or("", |it| it.id.as_str());
    let storey = models.trace.plan.storeys.iter().find(|it| it.id == id);
    let mut cad = empty(models, storey);
    if let Some(drawing) = drawing_of(models, storey) {
        add_background(&mut cad, drawing);
    }
    for line in storey.iter().flat_map(|storey| &storey.grid) {
        add_grid_line(&mut cad, line.start, line.end, &line.name);
    }
    let mut standing = Standing::of(&cad);
    for (number, wall) in models.building.walls.iter().enumerate() {
        if wall.storey != id {
            continue;
        }
        add_panels(&mut cad, &mut standing, models, storey, number, wall);
        add_openings(&mut cad, &mut standing, models, storey, wall);
    }
    cad
}

/// A line of the architect's grid with its bubble at the start, drawing coordinates.
pub(super) fn add_grid_line(cad: &mut CadDrawing, start: Coord<f64>, end: Coord<f64>, name: &str) {
    let d = end - start;
    let length = d.x.hypot(d.y);
    if length <= 0.0 {
        return;
    }
    let centre = start - d / length * MARK;
    cad.put("Z-GRID-OTLN", 8, CadShape::Line(start, end));
    cad.put("Z-GRID-IDEN", 8, CadShape::Circle(centre, MARK));
    let shape = CadShape::Text {
        at: centre,
        height: WORD,
        turn_deg: 0.0,
        words: name.to_owned(),
        is_centred: true,
    };
    cad.put("Z-GRID-IDEN", 8, shape);
}

fn add_panels(
    cad: &mut CadDrawing,
    standing: &mut Standing,
    models: &Models<'_>,
    storey: Option<&Storey>,
    number: usize,
    wall: &PanelWall,
) {
    let thickness = thickness(models, wall);
    let Some(run) = models.layout.walls.get(number) else {
        return;
    };
    let point = |along: Length, out: f64| {
        in_drawing(
            storey,
            wall.frame.point((run.from + along).to_inches(), out),
        )
    };
    let turn = readable(point(Length::ZERO, 0.0), point(Length::inches(1), 0.0));
    for panel in &models.fabrication.panels {
        let Some(laid) = models.layout.panels.get(panel.panel) else {
            continue;
        };
        if panel.wall != number {
            continue;
        }
        let (from, to) = (laid.rect.x0, laid.rect.x1);
        // Over or under an opening: it is named there, and a wall stands only beside it.
        let (name, farther) = match panel.kind {
            PanelKind::Wall => ("", 0.0),
            PanelKind::Header => (" OVER", 0.0),
            PanelKind::Sill => (" UNDER", 22.0),
        };
        if panel.kind == PanelKind::Wall {
            let ring = vec![
                point(from, 0.0),
                point(to, 0.0),
                point(to, -thickness),
                point(from, -thickness),
            ];
            cad.put("Z-WALL-OTLN", 7, CadShape::Ring(ring));
        }
        let middle = from + (to - from).half();
        let mark = if panel.is_held() {
            format!("{}{name} HOLD", panel.mark)
        } else {
            format!("{}{name}", panel.mark)
        };
        let row = |layer, colour, height, out, words| Row {
            layer,
            colour,
            height,
            out: out + farther,
            words,
        };
        let width = panel.width.feet_inches().to_string();
        let rows = vec![
            row("Z-WALL-IDEN", 7, MARK, 14.0, mark),
            row("Z-WALL-DIMS", 4, WORD, 25.0, width),
        ];
        let reach = (to - from).to_inches() / 2.0;
        let beside = |along: f64, out: f64| {
            let at = (run.from + middle).to_inches() + along;
            in_drawing(storey, wall.frame.point(at, out))
        };
        standing.put(cad, rows, turn, reach, beside);
    }
}

fn add_openings(
    cad: &mut CadDrawing,
    standing: &mut Standing,
    models: &Models<'_>,
    storey: Option<&Storey>,
    wall: &PanelWall,
) {
    let thickness = thickness(models, wall);
    let point =
        |along: Length, out: f64| in_drawing(storey, wall.frame.point(along.to_inches(), out));
    let turn = readable(point(Length::ZERO, 0.0), point(Length::inches(1), 0.0));
    for opening in &wall.openings {
        let is_window = opening.kind == OpeningKind::Window;
        let layer = if is_window { "Z-GLAZ" } else { "Z-DOOR" };
        let ring = vec![
            point(opening.from, 0.0),
            point(opening.to, 0.0),
            point(opening.to, -thickness),
            point(opening.from, -thickness),
        ];
        cad.put(&format!("{layer}-OTLN"), 5, CadShape::Ring(ring));
        let rows = vec![Row {
            layer: if is_window {
                "Z-GLAZ-IDEN"
            } else {
                "Z-DOOR-IDEN"
            },
            colour: 5,
            height: WORD,
            out: -thickness - 8.0,
            words: format!(
                "{} R.O. {} x {}",
                opening.id,
                Inches(opening.width()),
                Inches(opening.height())
            ),
        }];
        let half = opening.width().to_inches() / 2.0;
        let beside = |along: f64, out: f64| {
            let at = opening.from.to_inches() + half + along;
            in_drawing(storey, wall.frame.point(at, out))
        };
        standing.put(cad, rows, turn, half, beside);
    }
}

fn thickness(models: &Models<'_>, wall: &PanelWall) -> f64 {
    let assembly = models.rules.assemblies.get(wall.assembly);
    assembly.map_or(0.0, |it| it.thickness().to_inches())
}

/// Direction of words along a wall, degrees, so that they are read from below or from the right.
fn readable(from: Coord<f64>, to: Coord<f64>) -> f64 {
    let d = to - from;
    let degrees = d.y.atan2(d.x).to_degrees();
    if degrees > 90.0 + 1e-6 {
        degrees - 180.0
    } else if degrees <= -90.0 + 1e-6 {
        degrees + 180.0
    } else {
        degrees
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_read_from_below_or_from_the_right() {
        let zero = Coord { x: 0.0, y: 0.0 };
        for ((x, y), expected) in [
            ((1.0, 0.0), 0.0),
            ((-1.0, 0.0), 0.0),
            ((0.0, 1.0), 90.0),
            ((0.0, -1.0), 90.0),
        ] {
            assert!((readable(zero, Coord { x, y }) - expected).abs() < 1e-9);
        }
    }
}
