//! A small plan of the storey with this panel black: where it stands and from where it is seen.

use super::arrange::Arrangement;
use super::labels::{Label, box_choice};
use super::subject::Subject;
use crate::documents::paper::style::{Fill, Ink, Pen, SMALL_SHEET};
use crate::documents::paper::symbol::north_arrow;
use crate::documents::paper::{Area, Canvas, Form, Lettered, Spot, spot};
use crate::documents::plan_view::SmallPlan;
use crate::fabrication::FabricatedPanel;
use geo::Coord;

/// Room about the plan for the sign of the view, mm.
const AROUND: f64 = 6.0;
/// Room at the right for the north arrow, mm: where the plan is small, the arrow is.
const NORTH: f64 = 16.0;
const SMALL_NORTH: f64 = 10.0;

/// Sizes of a plan beside the panel, from the largest, mm. Rather than smaller it stands on a further sheet.
const BESIDE: [(f64, f64); 4] = [(72.0, 52.0), (60.0, 44.0), (50.0, 38.0), (44.0, 33.0)];
/// From one place that is tried to the next, mm.
const STEP: f64 = 6.0;
/// Height of the plan's heading, mm.
const HEADING: f64 = 5.0;

/// The plan beside the panel, for sheets whose tables leave no room for it: as large as there is room, near the lower right.
pub(super) fn plan_label<'a>(subject: &'a Subject<'_>, arrangement: &Arrangement) -> Label<'a> {
    let (stage, panel) = (arrangement.stage.grown(-1.0), arrangement.panel);
    let count = |room: f64| {
        (0..=200)
            .map(|i| f64::from(i) * STEP)
            .take_while(move |it| *it <= room)
    };
    let mut choices = Vec::new();
    for (form, (width, height)) in BESIDE.into_iter().enumerate() {
        // Rather a small plan far away than none; rather a large one than one that is near.
        let smaller = 1000.0 - width * 10.0;
        for right in count(stage.width() - width) {
            for up in count(stage.height() - height) {
                let corner = spot(stage.x1 - right, stage.y1 - up);
                let area = Area::new(corner.x - width, corner.y - height, corner.x, corner.y);
                // A plan on the panel's face could be taken for an opening.
                if !area.meets(&panel) {
                    choices.push(box_choice(area, smaller + right + up, form));
                }
            }
        }
    }
    Label {
        name: "key plan".to_owned(),
        choices,
        draw: Box::new(move |canvas, choice| {
            let Some((width, height)) = BESIDE.get(choice.form) else {
                return;
            };
            let at = choice.at;
            let heading = Lettered::cap(SMALL_SHEET.note).bold();
            canvas.text(spot(at.x, at.y + SMALL_SHEET.note), "KEY PLAN", heading);
            let area = Area::new(at.x, at.y + HEADING, at.x + width, at.y + height);
            draw_mini_plan(canvas, subject, area);
        }),
    }
}

/// Draws the plan into an area.
pub(super) fn draw_mini_plan(canvas: &mut Canvas, subject: &Subject<'_>, area: Area) {
    let input = subject.input;
    let storey = subject.wall.storey_index;
    // A wall is one body: a storey has many panels, and this plan stands on the sheet of each.
    let Some(plan) = SmallPlan::of(input.building, input.layout, input.rules, storey) else {
        return;
    };
    let beside = if area.width() >= 3.0 * NORTH {
        NORTH
    } else {
        SMALL_NORTH
    };
    let right = input.north_deg.map_or(0.0, |_| beside);
    let room = Area::new(
        area.x0 + AROUND,
        area.y0 + AROUND - 2.0,
        area.x1 - AROUND - right,
        area.y1 - AROUND + 1.0,
    );
    if room.height() < 8.0 {
        return;
    }
    let paper = plan.paper(room);
    canvas.group("small-plan", "Where it stands", |canvas| {
        let own = body(subject.panel, subject.assembly.thickness().to_inches());
        let others = plan.bodies.iter();
        let others = others.map(|(_, ring)| (ring, Fill::White, Pen::Fine));
        for (ring, fill, pen) in others.chain([(&own, Fill::Black, Pen::Heavy)]) {
            let ring = ring.map(&paper).to_vec();
            canvas.shape(Form::Polygon(ring), pen.full(), fill);
        }
        draw_view_sign(canvas, subject, &paper);
        draw_name(canvas, subject, &paper, room, &plan.bodies);
    });
    if let Some(north) = input.north_deg {
        let at = spot(area.x1 - beside / 2.0 - 1.0, area.middle().y + 3.0);
        let turn = -north - plan.turn.to_degrees();
        canvas.group("north", "North", |canvas| {
            north_arrow(canvas, &SMALL_SHEET, at, beside * 0.31, turn);
        });
    }
}

/// The panel's body in plan: its outer face and its thickness inwards.
fn body(panel: &FabricatedPanel, thickness: f64) -> [Coord<f64>; 4] {
    let [ox, oy, _] = panel.placed.origin;
    let [ux, uy, _] = panel.placed.x;
    let along = Coord { x: ux, y: uy };
    // Inwards is to the left of along: up × along.
    let inwards = Coord { x: -uy, y: ux };
    let start = Coord { x: ox, y: oy };
    let end = start + along * panel.width.to_inches();
    [
        start,
        end,
        end + inwards * thickness,
        start + inwards * thickness,
    ]
}

/// A hollow triangle outside the panel that points at it.
fn draw_view_sign(canvas: &mut Canvas, subject: &Subject<'_>, paper: &impl Fn(Coord<f64>) -> Spot) {
    let own = body(subject.panel, 0.0);
    let (a, b) = (paper(own[0]), paper(own[1]));
    let middle = (a + b) / 2.0;
    let d = b - a;
    let length = d.x.hypot(d.y).max(1e-9);
    let along = d / length;
    // On paper y is down: outwards is to the right of along as seen.
    let out = spot(-along.y, along.x);
    let tip = middle + out * 1.4;
    let base = middle + out * 4.4;
    canvas.shape(
        Form::Polygon(vec![tip, base + along * 2.0, base - along * 2.0]),
        Pen::Fine.full(),
        Fill::White,
    );
}

/// The building's name and size, when they fit between the walls.
fn draw_name(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    paper: &impl Fn(Coord<f64>) -> Spot,
    room: Area,
    bodies: &[(usize, [Coord<f64>; 4])],
) {
    let mark = Lettered::cap(SMALL_SHEET.note).bold().middle();
    let own = body(subject.panel, subject.assembly.thickness().to_inches());
    let inner = (paper(own[2]) + paper(own[3])) / 2.0;
    let outer = (paper(own[0]) + paper(own[1])) / 2.0;
    let inwards = inner - outer;
    let length = inwards.x.hypot(inwards.y).max(1e-9);
    let unit = inwards / length;
    let half = mark.width(&subject.panel.mark) / 2.0;
    let off = half * unit.x.abs() + 2.4 * unit.y.abs() + 1.4;
    let at = inner + unit * off;
    let box_of = |middle: Spot, half: f64| {
        Area::new(
            middle.x - half,
            middle.y - 1.9,
            middle.x + half,
            middle.y + 1.9,
        )
    };
    let extents: Vec<Area> = bodies
        .iter()
        .filter_map(|(_, ring)| Area::around(&ring.map(paper)))
        .collect();
    let is_free =
        |area: &Area| extents.iter().all(|it| !it.meets(area)) && room.grown(4.0).holds(area);
    let own_box = box_of(at, half);
    let has_mark = is_free(&own_box);
    if has_mark {
        canvas.text_centred(at, subject.panel.mark.clone(), mark);
    }
    let name = subject.input.facts.building.to_uppercase();
    let lettered = Lettered::cap(SMALL_SHEET.note).middle().ink(Ink::Mid);
    let half = lettered.width(&name) / 2.0;
    let middle = room.middle();
    let area = box_of(middle, half + 0.5);
    if !name.is_empty() && is_free(&area) && !(has_mark && area.meets(&own_box)) {
        canvas.text_centred(middle, name, lettered);
    }
}
