//! The building of a quote: plan and elevations with their panels, small, without dimensions.

use super::QuoteInput;
use crate::building::PanelWall;
use crate::documents::paper::style::{Fill, Pen, SMALL_SHEET};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Spot, spot};
use crate::fabrication::FabricatedPanel;
use crate::geometry::ShopRing;
use crate::units::Length;
use geo::Coord;

/// Height of the plan as a part of the room.
const PLAN: f64 = 0.48;
/// Between elevations in a row, and below one for its name, mm.
const BETWEEN: f64 = 5.0;
/// For the name below an elevation, mm.
const NAME: f64 = 6.0;
/// An elevation lower than this on paper shows nothing, mm: then fewer walls are shown, and the rest counted.
const LEAST_HEIGHT: f64 = 6.0;

/// Plan above, elevations below in rows and at one scale.
pub(super) fn draw(canvas: &mut Canvas, input: &QuoteInput<'_>, room: Area) {
    let split = room.y0 + room.height() * PLAN;
    let title = Lettered::cap(SMALL_SHEET.title).bold();
    canvas.text(
        spot(room.x0, room.y0 + 4.5),
        "PLAN, NOT FOR CONSTRUCTION",
        title,
    );
    plan(
        canvas,
        input,
        Area::new(room.x0, room.y0 + 8.0, room.x1, split - 4.0),
    );
    canvas.text(
        spot(room.x0, split + 4.0),
        "ELEVATIONS FROM OUTSIDE, NOT FOR CONSTRUCTION",
        title,
    );
    elevations(
        canvas,
        input,
        Area::new(room.x0, split + 7.0, room.x1, room.y1 - 2.0),
    );
}

fn plan(canvas: &mut Canvas, input: &QuoteInput<'_>, room: Area) {
    let n = input.building.storeys.len().max(1);
    let step = room.width() / f64::from(u32::try_from(n).unwrap_or(1));
    let mut left = room.x0;
    for (index, storey) in input.building.storeys.iter().enumerate() {
        let cell = Area::new(left, room.y0, left + step - 4.0, room.y1);
        left += step;
        let panels = input.fabrication.panels.iter().filter(|panel| {
            let wall = input.building.walls.get(panel.wall);
            wall.is_some_and(|wall| wall.storey_index == index)
        });
        let quads: Vec<Vec<[f64; 2]>> = panels.map(|panel| footprint(input, panel)).collect();
        let points = quads
            .iter()
            .flatten()
            .copied()
            .chain(storey.outline.iter().map(|p| [p.x, p.y]));
        let Some(map) = Map::fitting(points, cell) else {
            continue;
        };
        let outline: Vec<Spot> = storey
            .outline
            .iter()
            .map(|p: &Coord<f64>| map.spot([p.x, p.y]))
            .collect();
        if outline.len() > 2 {
            canvas.shape(Form::Polygon(outline), Pen::Fine.full(), Fill::None);
        }
        for quad in quads {
            let points = quad.into_iter().map(|p| map.spot(p)).collect();
            canvas.shape(Form::Polygon(points), Pen::Thin.full(), Fill::Light);
        }
        let walls = input.building.walls.iter();
        for wall in walls.filter(|it| it.storey_index == index) {
            for quad in gaps(input, wall) {
                let points = quad.map(|p| map.spot(p)).to_vec();
                canvas.shape(Form::Polygon(points), Pen::Thin.full(), Fill::White);
            }
        }
    }
}

/// The openings of a wall from above.
fn gaps(input: &QuoteInput<'_>, wall: &PanelWall) -> impl Iterator<Item = [[f64; 2]; 4]> {
    let thickness = thickness(input, wall.assembly);
    wall.openings.iter().map(move |it| {
        let [from, to] = [it.from, it.to].map(Length::to_inches);
        [(from, 0.0), (to, 0.0), (to, -thickness), (from, -thickness)].map(|(along, out)| {
            let p = wall.frame.point(along, out);
            [p.x, p.y]
        })
    })
}

/// Through a wall of an assembly, inches.
fn thickness(input: &QuoteInput<'_>, assembly: usize) -> f64 {
    let assembly = input.rules.assemblies.get(assembly);
    assembly.map_or(0.0, |it| it.thickness().to_inches())
}

/// A panel from above.
fn footprint(input: &QuoteInput<'_>, panel: &FabricatedPanel) -> Vec<[f64; 2]> {
    let thickness = thickness(input, panel.assembly);
    let ([x, y, _], [dx, dy, _]) = (panel.placed.origin, panel.placed.x);
    let width = panel.width.to_inches();
    // Inwards of a wall whose x runs to the right as seen from outside: to the left of x.
    let inner = [-dy * thickness, dx * thickness];
    let (a, b) = ([x, y], [x + dx * width, y + dy * width]);
    vec![
        a,
        b,
        [b[0] + inner[0], b[1] + inner[1]],
        [a[0] + inner[0], a[1] + inner[1]],
    ]
}

fn elevations(canvas: &mut Canvas, input: &QuoteInput<'_>, room: Area) {
    let walls: Vec<Elevation<'_>> = input
        .building
        .walls
        .iter()
        .enumerate()
        .filter_map(|(index, wall)| {
            let bounds = extent(input, index)?;
            Some(Elevation {
                index,
                wall,
                bounds,
            })
        })
        .collect();
    let note = Lettered::cap(SMALL_SHEET.note);
    let (scale, corners) = flowed(&walls, room);
    for (it, corner) in walls.iter().zip(&corners) {
        let [x0, y0, ..] = it.bounds;
        let map = Map {
            origin: *corner,
            scale,
            low: [x0, y0],
        };
        let panels = input.fabrication.panels.iter();
        for panel in panels.filter(|panel| panel.wall == it.index) {
            let contour = |ring: &ShopRing| -> Vec<Spot> {
                let points = ring.0.iter();
                let on = points.map(|p| on_wall(it.wall, panel, p.x.to_inches(), p.y.to_inches()));
                on.map(|p| map.spot(p)).collect()
            };
            let mut contours = vec![contour(&panel.outer_skin.outline)];
            contours.extend(panel.outer_skin.holes.iter().map(contour));
            canvas.shape(Form::Region(contours), Pen::Thin.full(), Fill::Light);
        }
        let below = spot(corner.x, corner.y + NAME - 1.5);
        canvas.text(below, it.wall.name.clone(), note);
    }
    let more = walls.len() - corners.len();
    if more > 0 {
        let words = format!("and {more} more wall{}", if more > 1 { "s" } else { "" });
        canvas.text(spot(room.x0, room.y1 - 0.5), words, note);
    }
}

/// A wall that has panels.
struct Elevation<'a> {
    index: usize,
    wall: &'a PanelWall,
    /// Of its panels, along the wall and up, inches.
    bounds: [f64; 4],
}

impl Elevation<'_> {
    /// How long it is on paper with its name, and how high.
    fn size(&self, scale: f64) -> [f64; 2] {
        let [x0, y0, x1, y1] = self.bounds;
        let name = Lettered::cap(SMALL_SHEET.note).width(&self.wall.name);
        [(scale * (x1 - x0)).max(name), scale * (y1 - y0)]
    }
}

/// The greatest scale at which all elevations stand in rows in a room, and the lower left corner of each; where they would be too
/// small to see, those that find room.
fn flowed(walls: &[Elevation<'_>], room: Area) -> (f64, Vec<Spot>) {
    let longest = walls.iter().map(|it| it.bounds[2] - it.bounds[0]);
    let highest = walls.iter().map(|it| it.bounds[3] - it.bounds[1]);
    let (longest, highest) = (longest.fold(1.0, f64::max), highest.fold(1.0, f64::max));
    let mut scale = (room.width() / longest).min((room.height() - NAME) / highest);
    let least = (LEAST_HEIGHT / highest).min(scale);
    loop {
        let corners = rows(walls, room, scale);
        if corners.len() == walls.len() {
            return (scale, corners);
        }
        if scale <= least {
            let above = Area::new(room.x0, room.y0, room.x1, room.y1 - BETWEEN);
            return (scale, rows(walls, above, scale));
        }
        scale = (0.95 * scale).max(least);
    }
}

/// The lower left corners of elevations one after the other in rows from the top, as long as there is room.
fn rows(walls: &[Elevation<'_>], room: Area, scale: f64) -> Vec<Spot> {
    let mut corners = Vec::new();
    let (mut left, mut top, mut first) = (room.x0, room.y0, 0);
    let mut tallest = 0.0_f64;
    for (i, it) in walls.iter().enumerate() {
        let [width, height] = it.size(scale);
        if i > first && left + width > room.x1 {
            (left, top, first) = (room.x0, top + tallest + NAME, i);
            tallest = 0.0;
        }
        if height > tallest {
            tallest = height;
            corners[first..]
                .iter_mut()
                .for_each(|it: &mut Spot| it.y = top + tallest);
        }
        if top + tallest + NAME > room.y1 {
            corners.truncate(first);
            break;
        }
        corners.push(spot(left, top + tallest));
        left += width + BETWEEN;
    }
    corners
}

/// Along a wall and up, from where its panels stand.
fn on_wall(wall: &PanelWall, panel: &FabricatedPanel, x: f64, y: f64) -> [f64; 2] {
    let [px, py, z] = panel.placed.origin;
    let (along, _) = wall.frame.local(Coord { x: px, y: py });
    [along + x, z + y]
}

/// Bounds of a wall's panels along it and up; `None` without panels.
fn extent(input: &QuoteInput<'_>, index: usize) -> Option<[f64; 4]> {
    let wall = input.building.walls.get(index)?;
    let panels = input.fabrication.panels.iter();
    let corners = panels.filter(|it| it.wall == index).flat_map(|panel| {
        let [w, h] = [panel.width, panel.height].map(Length::to_inches);
        [on_wall(wall, panel, 0.0, 0.0), on_wall(wall, panel, w, h)]
    });
    bounds(corners)
}

fn bounds(points: impl Iterator<Item = [f64; 2]>) -> Option<[f64; 4]> {
    points.fold(None, |bounds: Option<[f64; 4]>, [x, y]| {
        let [x0, y0, x1, y1] = bounds.unwrap_or([x, y, x, y]);
        Some([x0.min(x), y0.min(y), x1.max(x), y1.max(y)])
    })
}

/// The model's inches on paper.
struct Map {
    origin: Spot,
    scale: f64,
    low: [f64; 2],
}

impl Map {
    fn fitting(points: impl Iterator<Item = [f64; 2]>, room: Area) -> Option<Self> {
        let [x0, y0, x1, y1] = bounds(points)?;
        let scale = (room.width() / (x1 - x0).max(1.0)).min(room.height() / (y1 - y0).max(1.0));
        (scale.is_finite() && scale > 0.0).then(|| Self {
            origin: spot(room.x0, room.y1),
            scale,
            low: [x0, y0],
        })
    }

    fn spot(&self, [x, y]: [f64; 2]) -> Spot {
        spot(
            self.origin.x + (x - self.low[0]) * self.scale,
            self.origin.y - (y - self.low[1]) * self.scale,
        )
    }
}
