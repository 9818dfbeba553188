//! One key plan sheet.

use super::beside::{BesideString, beside_strings};
use super::dimensions::{Lane, draw_dimensions, lanes, side_depth};
use super::grid::{draw_grid, grid_depth};
use super::marks::{MarkLabel, infill_marks, mark_depths, panel_marks, sheet_styles};
use super::order::{
    Sign, corner_signs, opening_signs, overhead, pale, room_signs, start_sign, wall_signs,
};
use super::scene::{Scene, SceneWall, on_paper};
use super::strip::draw_strip;
use crate::building::RoughOpening;
use crate::documents::paper::overlap::{ARCHITECT, text_areas};
use crate::documents::paper::scale::plan_scales;
use crate::documents::paper::style::{Dash, Fill, Ink, Pen};
use crate::documents::paper::{Area, Canvas, Form, Group, Item, Sheet, Spot};
use crate::documents::plan_view::{
    Far, Missed, Obstacles, PlanView, clip_ring, closed_shape, direction, draw_foot, foot,
    place_all, shape_on_paper, solid_shape, wall_bodies, without_scale,
};
use crate::layout::RunPiece;
use crate::plan::{Hinge, OpeningKind, Swing};
use crate::units::Length;
use geo::{BooleanOps, Coord, LineString, MultiPolygon, Polygon};

/// Length of a joint's tick beyond the outside face, mm.
const TICK: f64 = 3.0;

/// What a label had better not stand on: a line of the architect's costs as much as standing so many mm farther away.
const ON_INTERIOR: f64 = 3.0;

/// Draws the sheet of a storey.
pub(super) fn key_plan_sheet(scene: &Scene<'_>) -> Sheet {
    let paper = scene.paper();
    let field = paper.field();
    let window = Area::new(
        field.x0 + 3.0,
        field.y0 + 3.0,
        field.x1 - 3.0,
        field.y1 - foot(&paper.lettering),
    );
    let lanes = lanes(scene);
    let Draft {
        view,
        layers,
        missed,
    } = best_draft(scene, &lanes, &window);

    let title = format!("KEY PLAN, {}", storey_name(scene).to_uppercase());
    let remark = "Panels cut above the sill. Marks and strings outside, order of erection inside.";
    let north = scene.input.north_deg;
    let foot = draw_foot(
        &field,
        &paper.lettering,
        &view,
        [&title, remark, ""],
        scene.turn,
        north,
    );
    let mut frame = Canvas::new();
    paper.draw_frame(&mut frame);
    let number = sheet_number(scene);
    let facts = scene.input.facts;
    Sheet {
        name: format!("{number}-key-plan"),
        title: format!(
            "{number} Key plan, {}, {}",
            storey_name(scene),
            facts.building
        ),
        number,
        description: "Where every panel stands and in what order it is set. Millimetres on paper."
            .to_owned(),
        paper: paper.name.to_owned(),
        width: paper.width,
        height: paper.height,
        data: vec![
            ("storey".to_owned(), scene.storey.id.clone()),
            ("scale".to_owned(), view.scale().data()),
        ],
        layers: layers
            .into_iter()
            .chain([
                foot,
                frame.into_group("frame", "Frame"),
                draw_strip(scene, &view, &missed.all),
            ])
            .collect(),
    }
}

/// The plan drawn at a scale.
struct Draft {
    view: PlanView,
    layers: Vec<Group>,
    /// The signs that found no room near what they name, and the signs and lengths of strings that found none at all.
    missed: Missed,
}

/// The first of those with the fewest signs far from what they name: with one row kept free for marks; with two; with none where
/// marks are wider than their panels, which allows the largest scale.
fn best_draft(scene: &Scene<'_>, lanes: &[Lane], window: &Area) -> Draft {
    let mut best = draft(scene, lanes, window, 1.0);
    for rows in [2.0, 0.0] {
        if best.missed.near == 0 {
            break;
        }
        let other = draft(scene, lanes, window, rows);
        let rank = |it: &Draft| (it.missed.all.len(), it.missed.near);
        if rank(&other) < rank(&best) {
            best = other;
        }
    }
    best
}

/// - `rows`: of marks that a side keeps free where a mark is wider than its panel.
fn draft(scene: &Scene<'_>, lanes: &[Lane], window: &Area, rows: f64) -> Draft {
    let (view, style) = fit(scene, lanes, window, rows);
    let (depths, widest) = mark_depths(scene, &view, style, rows);

    let mut interior = Canvas::new();
    draw_interior(&mut interior, scene, &view, window);
    let interior = interior.into_group("interior", "Interior walls");
    let mut swings = Canvas::new();
    draw_swings(&mut swings, scene, &view, window);
    let swings = swings.into_group("swings", "Doors inside");
    let mut panels = Canvas::new();
    draw_walls(&mut panels, scene, &view);
    let panels = panels.into_group("panels", "Panels");
    let mut dimensions = Canvas::new();
    let mut left = draw_dimensions(&mut dimensions, scene, &view, lanes, &depths);
    let dimensions = dimensions.into_group("dimensions", "Dimensions");
    let mut grid = Canvas::new();
    left.extend(draw_grid(
        &mut grid,
        scene,
        &view,
        (lanes, &depths),
        &text_areas(&dimensions),
    ));
    let grid = grid.into_group("grid", "Architect's grid");

    let mut obstacles = Obstacles::inside(*window);
    for group in [&panels, &dimensions, &grid, &swings] {
        obstacles.add_group(group);
    }
    obstacles.add_group_softly(&interior, ON_INTERIOR);
    let mut labelling = Labelling {
        window,
        canvas: Canvas::new(),
        obstacles,
        missed: Missed::default(),
    };
    let strings = beside_strings(scene, &view, lanes, widest);
    labelling.add(
        "strings-beside",
        "Panels of walls at an angle or in a court",
        strings,
        BesideString::draw,
    );
    let marks = panel_marks(scene, &view, style);
    labelling.add("marks", "Marks", marks, MarkLabel::draw);
    let openings = opening_signs(scene, &view);
    labelling.add("openings", "Openings", openings, Sign::draw);
    let infills = infill_marks(scene, &view, style);
    let title = "Marks of headers and sills";
    labelling.add("infill-marks", title, infills, MarkLabel::draw);
    let start = start_sign(scene, &view).into_iter().collect();
    labelling.add("start", "Start of erection", start, Sign::draw);
    let walls = wall_signs(scene, &view);
    labelling.add("order", "Order of erection", walls, Sign::draw);
    let mut missed = std::mem::take(&mut labelling.missed);
    missed.all.extend(left);
    // A corner without room is no loss: the bodies show how it meets. A room is the architect's.
    let corners = corner_signs(scene, &view);
    labelling.add("corners", "Corners", corners, Sign::draw);
    let rooms = room_signs(scene, &view);
    labelling.add("rooms", "Rooms", rooms, Sign::draw);

    let mut architect = Canvas::new();
    architect.put(Item::Group(interior));
    architect.put(Item::Group(swings));
    Draft {
        view,
        layers: vec![
            architect.into_group(ARCHITECT, "Architect's interior"),
            grid,
            panels,
            dimensions,
            labelling.canvas.into_group("labels", "Labels"),
        ],
        missed,
    }
}

/// Labels as they come to stand on the sheet.
struct Labelling<'a> {
    window: &'a Area,
    canvas: Canvas,
    obstacles: Obstacles,
    missed: Missed,
}

impl Labelling<'_> {
    /// Places labels, those before them standing, and draws them in a group.
    fn add<L: Far>(
        &mut self,
        id: &str,
        title: &str,
        labels: Vec<L>,
        draw: impl Fn(&L, &mut Canvas, usize),
    ) {
        let mut canvas = Canvas::new();
        let missed = place_all(labels, self.window, &mut self.obstacles, |label, chosen| {
            draw(label, &mut canvas, chosen);
        });
        self.missed.near += missed.near;
        self.missed.all.extend(missed.all);
        self.canvas.put(Item::Group(canvas.into_group(id, title)));
    }
}

/// `Z-101`, `Z-102`…
pub(super) fn sheet_number(scene: &Scene<'_>) -> String {
    format!("Z-{:03}", 100 + scene.number)
}

/// As printed: the storey's name, else its id.
pub(super) fn storey_name(scene: &Scene<'_>) -> String {
    let name = scene.storey.name.trim();
    if name == scene.storey.id {
        return format!("storey {name}");
    }
    let name = without_scale(name).to_lowercase();
    // What stood between two words may have left two blanks.
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ");
    match name.strip_suffix(" plan").unwrap_or(&name) {
        "" | "plan" => format!("storey {}", scene.storey.id),
        name => name.to_owned(),
    }
}

/// View and style of marks: the largest scale at which the plan stands on the paper with its marks and strings, which take
/// their room by the scale; the smallest of the list when none does.
fn fit(scene: &Scene<'_>, lanes: &[Lane], window: &Area, rows: f64) -> (PlanView, usize) {
    let corners = scene.corners();
    let list = &plan_scales(scene.input.facts.sheets.scales);
    let mut found = None;
    for index in 0..list.len() {
        let one = list.get(index..=index).unwrap_or_default();
        let trial = PlanView::fit(&corners, scene.turn, window, one);
        let ratio = trial.scale().ratio;
        if ratio < PlanView::LARGEST {
            continue;
        }
        let drawn: Vec<Spot> = corners.iter().map(|p| trial.paper(*p)).collect();
        let drawn = Area::around(&drawn).unwrap_or_default();
        let next = list.get(index + 1).map_or(f64::INFINITY, |it| it.ratio);
        for style in sheet_styles(scene, &trial, next / ratio) {
            let (depths, widest) = mark_depths(scene, &trial, style, rows);
            let depth =
                |side: usize| side_depth(scene, lanes, side, &depths) + grid_depth(scene, side);
            let beside = if lanes.contains(&Lane::Beside) {
                widest * 0.5
            } else {
                0.0
            };
            let room = Area::new(
                window.x0 + depth(3).max(beside),
                window.y0 + depth(0).max(beside),
                window.x1 - depth(1).max(beside),
                window.y1 - depth(2).max(beside),
            );
            let view = PlanView::fit(&corners, scene.turn, &room, one);
            if drawn.width() <= room.width() && drawn.height() <= room.height() {
                return (view, style);
            }
            found = Some((view, style));
        }
    }
    found.unwrap_or_else(|| (PlanView::fit(&corners, scene.turn, window, list), 0))
}

/// Interior walls, pale, cut off at the panels.
fn draw_interior(canvas: &mut Canvas, scene: &Scene<'_>, view: &PlanView, window: &Area) {
    let Some(storey) = &scene.plan else {
        return;
    };
    let bodies = wall_bodies(storey);
    let is_exterior = |index: usize| storey.walls.get(index).is_some_and(|it| it.is_exterior);
    let architects = closed_shape(bodies.iter().filter(|it| is_exterior(it.wall)));
    let panels = scene
        .walls
        .iter()
        .fold(MultiPolygon::new(Vec::new()), |all, wall| {
            let mut ring = wall.run_body().to_vec();
            ring.reverse();
            all.union(&Polygon::new(LineString::new(ring), Vec::new()))
        });
    // Where panels are thinner than the wall as drawn, partitions end short: they are the architect's, and shown as drawn.
    let taken = architects.union(&panels);
    let interior = solid_shape(
        storey,
        bodies.iter().filter(|it| !is_exterior(it.wall)),
        &taken,
    );
    for rings in shape_on_paper(&interior, view) {
        let rings: Vec<Vec<Spot>> = rings
            .iter()
            .map(|ring| clip_ring(ring, window))
            .filter(|ring| ring.len() > 2)
            .collect();
        if !rings.is_empty() {
            canvas.shape(Form::Region(rings), pale(), Fill::None);
        }
    }
}

/// The architect's doors inside.
fn draw_swings(canvas: &mut Canvas, scene: &Scene<'_>, view: &PlanView, window: &Area) {
    let Some(storey) = &scene.plan else {
        return;
    };
    for opening in &storey.openings {
        let wall = storey.walls.iter().find(|it| it.id == opening.wall);
        let middle = view.paper(opening.centre);
        let is_shown = window.grown(-20.0).holds(&Area::of(middle, middle));
        if let Some(wall) = wall.filter(|it| !it.is_exterior && is_shown)
            && let Some(along) = direction(wall)
        {
            let swing = DoorLeaf {
                near: wall.start + along * opening.near,
                along,
                width: opening.width,
                leaf: opening.leaf.unwrap_or(opening.width),
                left_face: wall.thickness / 2.0,
                right_face: wall.thickness / 2.0,
                hinge: opening.hinge,
                swing: opening.swing,
            };
            swing.draw(canvas, view, pale());
        }
    }
}

/// A door's leaf, wherever it hangs.
struct DoorLeaf {
    /// The jamb nearer the wall's start, on the line the faces are measured from.
    near: Coord<f64>,
    /// Along the wall.
    along: Coord<f64>,
    /// Jamb to jamb.
    width: f64,
    /// The leaf.
    leaf: f64,
    /// From the line to the face on the left of `along`.
    left_face: f64,
    /// To the face on its right.
    right_face: f64,
    hinge: Option<Hinge>,
    swing: Option<Swing>,
}

impl DoorLeaf {
    fn draw(
        &self,
        canvas: &mut Canvas,
        view: &PlanView,
        stroke: crate::documents::paper::style::Stroke,
    ) {
        let (Some(hinge), Some(swing)) = (self.hinge, self.swing) else {
            return;
        };
        let left = Coord {
            x: -self.along.y,
            y: self.along.x,
        };
        let (into, offset) = match swing {
            Swing::In => (left, left * self.left_face),
            Swing::Out => (left * -1.0, left * -self.right_face),
        };
        let (pivot, towards) = match hinge {
            Hinge::Start => (self.near, self.along),
            Hinge::End => (self.near + self.along * self.width, self.along * -1.0),
        };
        let pivot = pivot + offset;
        let leaf = self.leaf.min(self.width);
        let arc: Vec<Spot> = (0..=12)
            .map(|i| {
                let (sine, cosine) = (f64::from(i) * std::f64::consts::FRAC_PI_2 / 12.0).sin_cos();
                view.paper(pivot + into * (leaf * cosine) + towards * (leaf * sine))
            })
            .collect();
        if let Some(tip) = arc.first().copied() {
            canvas.line(stroke, view.paper(pivot), tip);
        }
        canvas.polyline(stroke, arc);
    }
}

/// Panels as bodies, joints, openings.
fn draw_walls(canvas: &mut Canvas, scene: &Scene<'_>, view: &PlanView) {
    for wall in scene
        .missing
        .iter()
        .filter(|it| it.layout.length() > Length::ZERO)
    {
        let id = wall.wall.id.as_str();
        let data = [("wall", id)];
        canvas.group_with("", &format!("{id}: no panels made"), &data, |canvas| {
            let pen = Pen::Edge.dashed(Dash::Hidden).with(Ink::Accent);
            canvas.polygon(pen, on_paper(&wall.run_body(), view));
        });
    }
    for wall in &scene.walls {
        for panel in scene.panels(wall) {
            let mark = panel.panel.mark.as_str();
            let body = on_paper(&wall.body(panel.ends), view);
            canvas.group_with(
                &format!("panel-{mark}"),
                &format!("Panel {mark}"),
                &[("panel", mark), ("wall", wall.wall.id.as_str())],
                |canvas| {
                    let fill = if panel.is_held() {
                        Fill::Medium
                    } else {
                        Fill::Light
                    };
                    canvas.shape(Form::Polygon(body), Pen::Bold.full(), fill);
                },
            );
        }
    }
    for wall in &scene.walls {
        for opening in &wall.wall.openings {
            let id = format!("opening-{}", opening.id);
            let data = [
                ("opening", opening.id.as_str()),
                ("wall", wall.wall.id.as_str()),
            ];
            canvas.group_with(&id, &format!("Opening {}", opening.id), &data, |canvas| {
                draw_opening(canvas, scene, wall, opening, view);
            });
        }
        canvas.group(&format!("joints-{}", wall.wall.id), "Joints", |canvas| {
            for piece in &wall.layout.run {
                if let RunPiece::Gap { from, to } = piece {
                    let middle = (wall.layout.from + *from + (*to - *from).half()).to_inches();
                    let (_, out) = wall.axes(view);
                    let outer = view.paper(wall.face(middle, 0.0)) + out * TICK;
                    let inner = view.paper(wall.face(middle, -wall.thickness));
                    canvas.line(Pen::Heavy.full(), inner, outer);
                }
            }
        });
    }
}

fn draw_opening(
    canvas: &mut Canvas,
    scene: &Scene<'_>,
    wall: &SceneWall<'_>,
    opening: &RoughOpening,
    view: &PlanView,
) {
    let hole = on_paper(&wall.hole(opening), view);
    let &[outer_left, outer_right, inner_right, inner_left] = hole.as_slice() else {
        return;
    };
    canvas.shape(Form::Polygon(hole), None, Fill::White);
    canvas.line(Pen::Bold.full(), outer_left, inner_left);
    canvas.line(Pen::Bold.full(), outer_right, inner_right);
    let between = wall.layout.run.iter().any(|piece| {
        matches!(piece, RunPiece::Opening { opening: index, .. }
            if wall.wall.openings.get(*index).is_some_and(|it| it.id == opening.id))
    });
    let faces = if between {
        overhead()
    } else {
        Pen::Thin.full()
    };
    canvas.line(faces, outer_left, outer_right);
    canvas.line(faces, inner_left, inner_right);
    let thin = Pen::Fine.full();
    let across = |share: f64| {
        (
            outer_left + (inner_left - outer_left) * share,
            outer_right + (inner_right - outer_right) * share,
        )
    };
    match opening.kind {
        OpeningKind::Window => {
            for share in [0.4, 0.6] {
                let (a, b) = across(share);
                canvas.line(thin, a, b);
            }
        }
        OpeningKind::Door | OpeningKind::Opening | OpeningKind::GarageDoor => {
            DoorLeaf {
                near: wall.face(opening.from.to_inches(), 0.0),
                along: wall.wall.frame.along,
                width: opening.width().to_inches(),
                leaf: opening.unit[0].to_inches(),
                left_face: wall.thickness,
                right_face: 0.0,
                hinge: opening.hinge,
                swing: scene.swing(opening),
            }
            .draw(canvas, view, thin);
        }
    }
}
