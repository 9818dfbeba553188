//! A wall from outside: panels with their openings, marks, chases, plates; strings and levels as on its sheet.
//!
//! ```text
//!   ┌ W101 ┬ W102 ─┐ ─ TOP OF PANEL 9'-0"
//!   │ ▭    │   ▭   │ ─ CHASE 1'-2"
//!   └──────┴───────┘ ─ DECK 0"
//!   ├─┼─┼──┼─┼──┼──┤   openings, modules, overall
//!   ▭▭▭▭▭▭▭▭▭▭▭▭▭▭▭   cap, top, sole
//! ```

use super::empty;
use super::key_plan::add_grid_line;
use super::words::width_of;
use super::writer::{CadDrawing, CadShape};
use crate::documents::Models;
use crate::documents::elevation::{ElevationInput, WallFigures, wall_figures};
use crate::documents::left_out::is_left_out;
use crate::documents::plan_view::grid_on_wall;
use crate::fabrication::FabricatedPanel;
use crate::geometry::ShopPoint;
use crate::layout::PlateUse;
use crate::units::{Inches, Length};
use geo::Coord;

/// Heights of a mark, inches in life, the largest that its panel holds is taken.
const MARKS: [f64; 6] = [7.0, 5.5, 4.0, 3.0, 2.0, 1.5];
/// Height of other words.
const WORD: f64 = 4.0;
/// Below the wall: the first string, from string to string, from them to the plates, from plate to plate, to title and grid.
const STRING: f64 = 14.0;
const LANE: f64 = 12.0;
const PLATE: f64 = 6.0;
const GRID: f64 = 14.0;

/// Where the run's axes lie in the file: x from the wall's left corner, y from its deck.
#[derive(Clone, Copy)]
struct Axes {
    from: Length,
}

impl Axes {
    fn at(self, x: Length, y: Length) -> Coord<f64> {
        Coord {
            x: self.x(x),
            y: y.to_inches(),
        }
    }

    fn x(self, x: Length) -> f64 {
        (self.from + x).to_inches()
    }
}

/// The elevation of a wall: x along it from its left corner, y up from its deck.
pub(super) fn elevation(
    models: &Models<'_>,
    input: &ElevationInput<'_>,
    index: usize,
) -> CadDrawing {
    let wall = models.building.walls.get(index);
    let id = wall.map_or("", |wall| wall.storey.as_str());
    let storey = models.trace.plan.storeys.iter().find(|it| it.id == id);
    let mut cad = empty(models, storey);
    let Some((wall, run)) = wall.zip(models.layout.walls.get(index)) else {
        return cad;
    };
    let axes = Axes { from: run.from };
    if is_left_out(run) {
        let outline = wall.profile.within(&wall.profile.bounds(run.from, run.to));
        let ring = outline.0.iter().map(|p| axes.at(p.x - run.from, p.y));
        cad.put("Z-ELEV-OTLN", 7, CadShape::Ring(ring.collect()));
        let high = wall.stack.panel_top - Length::inches(8);
        let middle = axes.at(run.length().half(), high);
        let words = format!("{}: NO PANELS MADE", wall.name);
        put_words(&mut cad, "Z-ELEV-IDEN", MARKS[0], middle, words);
    }
    for panel in &models.fabrication.panels {
        if panel.wall == index {
            add_panel(&mut cad, models, panel, axes);
        }
    }
    for opening in &wall.openings {
        let lines = [
            opening.id.clone(),
            format!("R.O. {}\"", Inches(opening.width())),
            format!("x {}\"", Inches(opening.height())),
        ];
        let room = [opening.width(), opening.height()].map(Length::to_inches);
        let centre = Coord {
            x: (opening.from + opening.width().half()).to_inches(),
            y: (opening.sill + opening.height().half()).to_inches(),
        };
        for (words, up) in lines.into_iter().zip([1.0, 0.0, -1.0]) {
            let height = fitting(&words, room[0]).min(room[1] / 6.0);
            let up = Coord {
                x: 0.0,
                y: up * room[1].min(WORD * 6.0) / 4.0,
            };
            put_words(&mut cad, "Z-ELEV-IDEN", height, centre + up, words);
        }
    }
    let base: Vec<Coord<f64>> = wall
        .profile
        .base_between(run.from, run.to)
        .iter()
        .map(|p| axes.at(p.x - run.from, p.y))
        .collect();
    for pair in base.windows(2) {
        cad.put("Z-ELEV-BASE", 8, CadShape::Line(pair[0], pair[1]));
    }
    let lowest = base.iter().map(|it| it.y).fold(0.0, f64::min);
    let mut y = lowest - wall.skin_drop.to_inches() - STRING;
    if let Some(figures) = wall_figures(input, index) {
        y = add_strings(&mut cad, &figures, axes, y);
        add_levels(&mut cad, &figures, axes.x(run.length()));
        y = add_plates(&mut cad, models, index, axes, y);
        let at = Coord {
            x: axes.x(run.length().half()),
            y: y - GRID,
        };
        put_words(&mut cad, "Z-ELEV-IDEN", MARKS[0], at, figures.title);
    }
    if let Some(storey) = storey {
        let top = wall.stack.cap_top.to_inches();
        for (name, along) in grid_on_wall(storey, &wall.frame, wall.face_length) {
            let x = along.to_inches();
            let foot = Coord {
                x,
                y: y - 2.0 * GRID,
            };
            add_grid_line(&mut cad, foot, Coord { x, y: top }, &name);
        }
    }
    cad
}

/// Outline, holes, chases, and the mark inside.
fn add_panel(cad: &mut CadDrawing, models: &Models<'_>, panel: &FabricatedPanel, axes: Axes) {
    let Some(laid) = models.layout.panels.get(panel.panel) else {
        return;
    };
    let (x0, y0) = (laid.rect.x0, laid.rect.y0);
    let at = |p: &ShopPoint| axes.at(x0 + p.x, y0 + p.y);
    let rings = std::iter::once(&panel.outer_skin.outline).chain(&panel.outer_skin.holes);
    let rings: Vec<Vec<Coord<f64>>> = rings.map(|ring| ring.0.iter().map(at).collect()).collect();
    for (number, ring) in rings.iter().enumerate() {
        let (layer, colour) = match number {
            0 => ("Z-ELEV-OTLN", 7),
            _ => ("Z-ELEV-OPNG", 5),
        };
        cad.put(layer, colour, CadShape::Ring(ring.clone()));
    }
    for chase in &panel.chases {
        let line = CadShape::Line(at(&chase.from), at(&chase.to));
        cad.put("Z-ELEV-CHAS", 3, line);
    }
    let words = if panel.is_held() {
        format!("{} HOLD", panel.mark)
    } else {
        panel.mark.clone()
    };
    let (place, height) = inside(&rings, &words);
    put_words(cad, "Z-ELEV-IDEN", height, place, words);
}

/// Where words stand in a panel: in its middle, under its top, clear of its openings; and how high they are.
fn inside(rings: &[Vec<Coord<f64>>], words: &str) -> (Coord<f64>, f64) {
    let Some((outline, holes)) = rings.split_first() else {
        return (Coord::zero(), WORD);
    };
    let reach = |ring: &[Coord<f64>]| {
        let xs = || ring.iter().map(|it| it.x);
        [
            xs().fold(f64::INFINITY, f64::min),
            xs().fold(f64::NEG_INFINITY, f64::max),
        ]
    };
    let [left, right] = reach(outline);
    let x = f64::midpoint(left, right);
    let mut last = (Coord { x, y: 0.0 }, WORD);
    for height in MARKS {
        let half = width_of(words, height) * 0.55;
        let spans = [-1.0, 0.0, 1.0].map(|part| span(outline, x + part * half));
        let spans = spans.into_iter().flatten();
        let (mut floor, mut top) = (f64::NEG_INFINITY, f64::INFINITY);
        let mut n_spans = 0;
        for [low, high] in spans {
            (floor, top) = (floor.max(low), top.min(high));
            n_spans += 1;
        }
        for hole in holes {
            let [from, to] = reach(hole);
            if from < x + half && x - half < to {
                floor = hole.iter().map(|it| it.y).fold(floor, f64::max);
            }
        }
        let room = top - floor;
        if room.is_finite() {
            let y = (top - height).max(f64::midpoint(floor, top));
            last = (Coord { x, y }, height);
        }
        if n_spans == 3 && room >= height * 1.4 {
            break;
        }
    }
    last
}

/// From where to where a ring stands over a place, inside its ends.
fn span(ring: &[Coord<f64>], x: f64) -> Option<[f64; 2]> {
    let sides = ring.iter().zip(ring.iter().cycle().skip(1));
    let crossings = sides.filter_map(|(a, b)| {
        let (least, most) = (a.x.min(b.x), a.x.max(b.x));
        let is_across = least <= x && x <= most && least < most;
        is_across.then(|| a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x))
    });
    let mut found: Option<[f64; 2]> = None;
    for y in crossings {
        let [low, high] = found.unwrap_or([y, y]);
        found = Some([low.min(y), high.max(y)]);
    }
    found
}

/// Strings below the wall; returns where what comes below them begins.
fn add_strings(cad: &mut CadDrawing, figures: &WallFigures, axes: Axes, top: f64) -> f64 {
    let mut y = top;
    for (name, ends, words) in &figures.strings {
        let xs: Vec<f64> = ends.iter().map(|it| axes.x(*it)).collect();
        let (Some(first), Some(last)) = (xs.first(), xs.last()) else {
            continue;
        };
        let line = [*first, *last].map(|x| Coord { x, y });
        cad.put("Z-ELEV-DIMS", 4, CadShape::Line(line[0], line[1]));
        for x in &xs {
            let tick = [y - 2.0, y + 2.0].map(|y| Coord { x: *x, y });
            cad.put("Z-ELEV-DIMS", 4, CadShape::Line(tick[0], tick[1]));
        }
        for (pair, words) in xs.windows(2).zip(words) {
            let height = fitting(words, pair[1] - pair[0]);
            let x = f64::midpoint(pair[0], pair[1]);
            let at = Coord { x, y: y + WORD };
            put_words(cad, "Z-ELEV-DIMS", height, at, words.clone());
        }
        let at = Coord {
            x: first - 6.0 - width_of(name, WORD) / 2.0,
            y,
        };
        put_words(cad, "Z-ELEV-DIMS", WORD, at, (*name).to_owned());
        y -= LANE;
    }
    y
}

/// Heights above the deck at the right, one below the other.
fn add_levels(cad: &mut CadDrawing, figures: &WallFigures, right: f64) {
    let mut above = f64::INFINITY;
    for (level, words) in &figures.levels {
        let y = level.to_inches();
        let stands = y.min(above - WORD * 1.6);
        above = stands;
        let [from, bend, to] =
            [(2.0, y), (8.0, y), (16.0, stands)].map(|(x, y)| Coord { x: right + x, y });
        cad.put("Z-ELEV-DIMS", 4, CadShape::Line(from, bend));
        cad.put("Z-ELEV-DIMS", 4, CadShape::Line(bend, to));
        let at = Coord {
            x: right + 18.0 + width_of(words, WORD) / 2.0,
            y: stands,
        };
        put_words(cad, "Z-ELEV-DIMS", WORD, at, words.clone());
    }
}

/// Plates in their places, and below the strings one row each with mark and length; returns where those end.
fn add_plates(
    cad: &mut CadDrawing,
    models: &Models<'_>,
    index: usize,
    axes: Axes,
    top: f64,
) -> f64 {
    let plates = models.fabrication.plates.iter();
    let plates: Vec<_> = plates.filter(|it| it.wall == index).collect();
    let square = models.rules.plates.thickness.to_inches();
    for plate in &plates {
        let [left, right] =
            [(plate.from, plate.bottom), (plate.to, plate.bottom_to)].map(|(x, y)| axes.at(x, y));
        let slope = (right.y - left.y) / (right.x - left.x);
        let up = Coord {
            x: 0.0,
            y: square * slope.hypot(1.0),
        };
        let ring = vec![left, right, right + up, left + up];
        cad.put("Z-ELEV-PLAT", 6, CadShape::Ring(ring));
    }
    let mut y = top;
    for kind in [PlateUse::Cap, PlateUse::Top, PlateUse::Sole] {
        let own = plates.iter().filter(|it| it.plate == kind);
        let mut leftmost = f64::INFINITY;
        for plate in own {
            let [x0, x1] = [plate.from, plate.to].map(|it| axes.x(it));
            leftmost = leftmost.min(x0);
            let corners = [[x0, y - PLATE], [x1, y - PLATE], [x1, y], [x0, y]];
            let ring = corners.map(|[x, y]| Coord { x, y }).to_vec();
            cad.put("Z-ELEV-PLAT", 6, CadShape::Ring(ring));
            let words = format!("{} {}", plate.mark, plate.length.feet_inches());
            let at = Coord {
                x: f64::midpoint(x0, x1),
                y: y - PLATE / 2.0,
            };
            put_words(cad, "Z-ELEV-PLAT", fitting(&words, x1 - x0), at, words);
        }
        if leftmost.is_finite() {
            let name = kind.name().to_uppercase();
            let at = Coord {
                x: leftmost - 6.0 - width_of(&name, WORD) / 2.0,
                y: y - PLATE / 2.0,
            };
            put_words(cad, "Z-ELEV-PLAT", WORD, at, name);
            y -= PLATE + 4.0;
        }
    }
    y
}

/// The height at which words find room in a width: no more than that of words.
fn fitting(words: &str, width: f64) -> f64 {
    (WORD * 0.9 * width / width_of(words, WORD)).min(WORD)
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
