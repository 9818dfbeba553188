//! The building of a quote: plan and elevations with their panels, small, without dimensions.

use super::QuoteInput;
use crate::building::PanelWall;
use crate::documents::paper::style::{Fill, Pen, SMALL_SHEET};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Spot, spot};
use crate::fabrication::FabricatedPanel;
use geo::Coord;

/// Most elevations shown; the rest is named.
const MOST_WALLS: usize = 8;
/// Height of the plan as a part of the room.
const PLAN: f64 = 0.48;

/// Plan above, elevations below in two columns and at one scale.
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
    }
}

/// A panel from above.
fn footprint(input: &QuoteInput<'_>, panel: &FabricatedPanel) -> Vec<[f64; 2]> {
    let thickness = input
        .rules
        .assemblies
        .get(panel.assembly)
        .map_or(0.0, |it| it.thickness().to_inches());
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
    let walls: Vec<usize> = (0..input.building.walls.len())
        .filter(|index| {
            input
                .fabrication
                .panels
                .iter()
                .any(|panel| panel.wall == *index)
        })
        .collect();
    let note = Lettered::cap(SMALL_SHEET.note);
    let foot = if walls.len() > MOST_WALLS {
        let more = walls.len() - MOST_WALLS;
        canvas.text(
            spot(room.x0, room.y1 - 0.5),
            format!("and {more} more walls"),
            note,
        );
        room.y1 - 5.0
    } else {
        room.y1
    };
    let shown: Vec<usize> = walls.into_iter().take(MOST_WALLS).collect();
    let rows = f64::from(u32::try_from(shown.len().div_ceil(2).max(1)).unwrap_or(1));
    let (width, height) = (room.width() / 2.0, (foot - room.y0) / rows);
    // All walls at one scale: the widest and the highest of them fill their cells.
    let boxes = shown.iter().filter_map(|index| extent(input, *index));
    let greatest = boxes.fold([0.0_f64; 2], |[w, h], [x0, y0, x1, y1]| {
        [w.max(x1 - x0), h.max(y1 - y0)]
    });
    for (place, index) in shown.into_iter().enumerate() {
        let column = f64::from(u32::try_from(place % 2).unwrap_or(0));
        let row = f64::from(u32::try_from(place / 2).unwrap_or(0));
        let (x, y) = (room.x0 + column * width, room.y0 + row * height);
        let cell = Area::new(x, y, x + width - 4.0, y + height - 6.0);
        let panels = || {
            input
                .fabrication
                .panels
                .iter()
                .filter(move |panel| panel.wall == index)
        };
        let Some(wall) = input.building.walls.get(index) else {
            continue;
        };
        let place = |panel: &FabricatedPanel, x: f64, y: f64| on_wall(wall, panel, x, y);
        let Some([x0, y0, _, _]) = extent(input, index) else {
            continue;
        };
        let whole = [[x0, y0], [x0 + greatest[0], y0 + greatest[1]]];
        let Some(map) = Map::fitting(whole.into_iter(), cell) else {
            continue;
        };
        for panel in panels() {
            let contour = |ring: &crate::geometry::ShopRing| -> Vec<Spot> {
                ring.0
                    .iter()
                    .map(|p| map.spot(place(panel, p.x.to_inches(), p.y.to_inches())))
                    .collect()
            };
            let mut contours = vec![contour(&panel.outer_skin.outline)];
            contours.extend(panel.outer_skin.holes.iter().map(contour));
            canvas.shape(Form::Region(contours), Pen::Thin.full(), Fill::Light);
        }
        canvas.text(spot(x, y + height - 1.5), wall.name.clone(), note);
    }
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
        let [w, h] = [panel.width, panel.height].map(crate::units::Length::to_inches);
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
