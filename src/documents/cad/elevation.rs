//! A wall from outside: panels with their openings, marks, module widths.

use super::empty;
use super::key_plan::add_grid_line;
use super::writer::{CadDrawing, CadShape};
use crate::documents::Models;
use crate::documents::left_out::is_left_out;
use crate::documents::plan_view::grid_on_wall;
use crate::layout::PanelKind;
use crate::units::Length;
use geo::Coord;

/// Height of a mark, inches in life.
const MARK: f64 = 7.0;
/// Height of other words.
const WORD: f64 = 4.0;
/// How far below the deck the string of widths runs.
const STRING: f64 = 18.0;

/// The elevation of a wall: x along it from its left corner, y up from its deck.
pub(super) fn elevation(models: &Models<'_>, index: usize) -> CadDrawing {
    let wall = models.building.walls.get(index);
    let id = wall.map_or("", |wall| wall.storey.as_str());
    let storey = models.trace.plan.storeys.iter().find(|it| it.id == id);
    let mut cad = empty(models, storey);
    let from = models
        .layout
        .walls
        .get(index)
        .map_or(Length::ZERO, |run| run.from);
    let at = |x: Length, y: Length| Coord {
        x: (from + x).to_inches(),
        y: y.to_inches(),
    };
    let run = models.layout.walls.get(index);
    if let Some((wall, run)) = wall.zip(run.filter(|run| is_left_out(run))) {
        let outline = wall.profile.within(&wall.profile.bounds(run.from, run.to));
        let ring = outline.0.iter().map(|p| at(p.x - from, p.y)).collect();
        cad.put("Z-ELEV-OTLN", 7, CadShape::Ring(ring));
        let middle = at(
            run.length().half(),
            wall.stack.panel_top - Length::inches(8),
        );
        let words = format!("{}: NO PANELS MADE", wall.name);
        put_words(&mut cad, "Z-ELEV-IDEN", MARK, middle, words);
    }
    for panel in models
        .fabrication
        .panels
        .iter()
        .filter(|it| it.wall == index)
    {
        let Some(laid) = models.layout.panels.get(panel.panel) else {
            continue;
        };
        let (x0, y0) = (laid.rect.x0, laid.rect.y0);
        let ring = |ring: &crate::geometry::ShopRing| {
            CadShape::Ring(ring.0.iter().map(|p| at(x0 + p.x, y0 + p.y)).collect())
        };
        cad.put("Z-ELEV-OTLN", 7, ring(&panel.outer_skin.outline));
        for hole in &panel.outer_skin.holes {
            cad.put("Z-ELEV-OPNG", 5, ring(hole));
        }
        let middle = x0 + (laid.rect.x1 - x0).half();
        let high = y0 + (laid.rect.y1 - y0) - Length::inches(8);
        let mark = if panel.is_held() {
            format!("{} HOLD", panel.mark)
        } else {
            panel.mark.clone()
        };
        put_words(&mut cad, "Z-ELEV-IDEN", MARK, at(middle, high), mark);
        if panel.kind != PanelKind::Wall {
            continue;
        }
        let below = |x: Length| Coord {
            y: -STRING,
            ..at(x, Length::ZERO)
        };
        let line = CadShape::Line(below(x0), below(laid.rect.x1));
        cad.put("Z-ELEV-DIMS", 4, line);
        for x in [x0, laid.rect.x1] {
            let up = Coord { x: 0.0, y: 2.0 };
            cad.put(
                "Z-ELEV-DIMS",
                4,
                CadShape::Line(below(x) - up, below(x) + up),
            );
        }
        let words = panel.width.feet_inches().to_string();
        let place = below(middle) + Coord { x: 0.0, y: WORD };
        put_words(&mut cad, "Z-ELEV-DIMS", WORD, place, words);
    }
    for opening in wall.iter().flat_map(|wall| &wall.openings) {
        let place = Coord {
            x: (opening.from + opening.width().half()).to_inches(),
            y: (opening.sill + opening.height().half()).to_inches(),
        };
        put_words(&mut cad, "Z-ELEV-IDEN", WORD, place, opening.id.clone());
    }
    if let Some((wall, storey)) = wall.zip(storey) {
        let top = wall.stack.cap_top.to_inches();
        for (name, along) in grid_on_wall(storey, &wall.frame, wall.face_length) {
            let x = along.to_inches();
            let foot = Coord {
                x,
                y: -2.0 * STRING,
            };
            add_grid_line(&mut cad, foot, Coord { x, y: top }, &name);
        }
    }
    cad
}

fn put_words(cad: &mut CadDrawing, layer: &str, height: f64, at: Coord<f64>, words: String) {
    let shape = CadShape::Text {
        at,
        height,
        turn_deg: 0.0,
        words,
        is_centred: true,
    };
    cad.put(layer, 7, shape);
}
