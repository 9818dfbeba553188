//! A small plan of the storey in the strip: the walls of this sheet black, from where they are seen, with their ids.

use super::subject::Subject;
use crate::documents::paper::style::{Dash, Fill, Ink, Pen};
use crate::documents::paper::{Area, Canvas, Form, Lettered, spot};
use crate::documents::plan_view::SmallPlan;

/// Room round the plan for ids, in heights of a letter.
const ROUND: f64 = 3.6;
/// Least height and width of a plan, mm.
const LEAST: f64 = 20.0;

/// Draws it into an area; nothing where the area is too low to tell walls apart.
pub(super) fn draw_small_plan(canvas: &mut Canvas, subjects: &[&Subject<'_>], area: Area) {
    let Some(first) = subjects.first() else {
        return;
    };
    let (input, note) = (first.input, first.lettering().note);
    let storey = first.wall.storey_index;
    let Some(plan) = SmallPlan::of(input.building, input.layout, input.rules, storey) else {
        return;
    };
    let room = area.grown(-ROUND * note);
    if room.height() < LEAST || room.width() < LEAST {
        return;
    }
    let paper = plan.paper(room);
    let is_here = |index: usize| subjects.iter().any(|it| it.index == index);
    let mut taken: Vec<Area> = Vec::new();
    for (index, ring) in &plan.bodies {
        let (fill, pen) = if is_here(*index) {
            (Fill::Black, Pen::Edge)
        } else {
            (Fill::White, Pen::Fine)
        };
        let ring = ring.map(&paper);
        taken.extend(Area::around(&ring));
        canvas.shape(Form::Polygon(ring.to_vec()), pen.full(), fill);
    }
    for (_, ring) in &plan.missing {
        let pen = Pen::Edge.dashed(Dash::Hidden).with(Ink::Accent);
        canvas.polygon(pen, ring.map(&paper).to_vec());
    }
    let lettered = Lettered::cap(note).bold().middle();
    for (index, ring) in plan.bodies.iter().chain(&plan.missing) {
        let Some(subject) = subjects.iter().find(|it| it.index == *index) else {
            continue;
        };
        let id = subject.wall.id.as_str();
        let [a, b, c, d] = ring.map(&paper);
        let (outer, inner) = ((a + b) / 2.0, (c + d) / 2.0);
        let across = outer - inner;
        let out = across / across.x.hypot(across.y).max(1e-9);
        let half = spot(lettered.width(id) / 2.0 + 0.6, note / 2.0 + 0.8);
        let off = half.x * out.x.abs() + half.y * out.y.abs() + 0.8;
        for at in [outer + out * off, inner - out * off] {
            let label = Area::of(at - half, at + half);
            if area.holds(&label) && !taken.iter().any(|it| it.meets(&label)) {
                canvas.text_centred(at, id, lettered);
                taken.push(label);
                break;
            }
        }
    }
}
