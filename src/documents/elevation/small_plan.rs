//! A small plan of the storey in the strip: the walls of this sheet black, from where they are seen, with their ids.

use super::subject::Subject;
use crate::documents::paper::style::{Fill, Pen};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Spot, spot};
use crate::documents::plan_view::{extent_of, level_turn, turned};
use geo::Coord;

/// Room round the plan for ids, in heights of a letter.
const ROUND: f64 = 3.6;

/// Draws it into an area; nothing where the area is too low to tell walls apart.
pub(super) fn draw_small_plan(canvas: &mut Canvas, subjects: &[&Subject<'_>], area: Area) {
    let Some(first) = subjects.first() else {
        return;
    };
    let (input, note) = (first.input, first.lettering().note);
    let walls = input.building.walls.iter().zip(&input.layout.walls);
    let walls = walls.enumerate().filter(|(_, (wall, run))| {
        wall.storey_index == first.wall.storey_index && !run.run.is_empty()
    });
    let walls: Vec<_> = walls.collect();
    let lines: Vec<(Coord<f64>, Coord<f64>)> = walls
        .iter()
        .map(|(_, (wall, _))| {
            let end = wall.frame.point(wall.face_length.to_inches(), 0.0);
            (wall.frame.origin, end)
        })
        .collect();
    let turn = level_turn(&lines);
    let bodies = walls.iter().filter_map(|(index, (wall, run))| {
        let thick = input.rules.assemblies.get(wall.assembly)?.thickness();
        let (from, to, inner) = (run.from.to_inches(), run.to.to_inches(), -thick.to_inches());
        let at = |x: f64, out: f64| wall.frame.point(x, out);
        let ring = [at(from, 0.0), at(to, 0.0), at(to, inner), at(from, inner)];
        Some((*index, wall.id.as_str(), ring))
    });
    let bodies: Vec<(usize, &str, [Coord<f64>; 4])> = bodies.collect();
    let corners = bodies.iter().flat_map(|it| it.2);
    let Some(extent) = extent_of(corners.map(|p| turned(p, turn))) else {
        return;
    };
    let room = area.grown(-ROUND * note);
    if room.height() < LEAST || room.width() < LEAST {
        return;
    }
    let k = (room.width() / extent.width().max(1.0)).min(room.height() / extent.height().max(1.0));
    let centre = extent.middle();
    let paper = |p: Coord<f64>| -> Spot {
        let p = turned(p, turn);
        spot(
            room.middle().x + (p.x - centre.x) * k,
            room.middle().y - (p.y - centre.y) * k,
        )
    };
    let is_here = |index: usize| subjects.iter().any(|it| it.index == index);
    let mut taken: Vec<Area> = Vec::new();
    for (index, _, ring) in &bodies {
        let (fill, pen) = if is_here(*index) {
            (Fill::Black, Pen::Edge)
        } else {
            (Fill::White, Pen::Fine)
        };
        let ring = ring.map(paper);
        taken.extend(Area::around(&ring));
        canvas.shape(Form::Polygon(ring.to_vec()), pen.full(), fill);
    }
    let lettered = Lettered::cap(note).bold().middle();
    for (index, id, ring) in &bodies {
        if !is_here(*index) {
            continue;
        }
        let [a, b, c, d] = ring.map(paper);
        let (outer, inner) = ((a + b) / 2.0, (c + d) / 2.0);
        let across = outer - inner;
        let out = across / across.x.hypot(across.y).max(1e-9);
        let half = spot(lettered.width(id) / 2.0 + 0.6, note / 2.0 + 0.8);
        let off = half.x * out.x.abs() + half.y * out.y.abs() + 0.8;
        for at in [outer + out * off, inner - out * off] {
            let label = Area::of(at - half, at + half);
            if area.holds(&label) && !taken.iter().any(|it| it.meets(&label)) {
                canvas.text_centred(at, *id, lettered);
                taken.push(label);
                break;
            }
        }
    }
}

/// Least height and width of a plan, mm.
const LEAST: f64 = 20.0;
