//! Names on the architect's plan: what questions and changes speak of is found there.

use super::in_drawing;
use super::sheet::ChangeInput;
use crate::documents::general::capitalised;
use crate::documents::paper::{Canvas, Group, Lettered, Spot, spot};
use crate::documents::plan_view::{Candidate, LabelBox, Obstacles, PlanView, place};
use geo::Coord;

/// A name on the plan: what kind of thing it names, the name, a point on it and one on that face beside which it is written.
struct Named<'a> {
    kind: &'static str,
    name: &'a str,
    middle: Spot,
    face: Spot,
}

/// Openings and walls, and the panels that questions speak of: questions and changes call them by these names.
fn named<'a>(input: &ChangeInput<'a>, view: &PlanView) -> Vec<Named<'a>> {
    let walls = input.models.building.walls.iter().enumerate();
    let own = walls.filter(|(_, wall)| wall.storey == input.storey.id);
    let mut all = Vec::new();
    for (index, wall) in own {
        let at = |along: f64, out: f64| {
            view.paper(in_drawing(input.storey, wall.frame.point(along, out)))
        };
        let half = wall.drawn_thickness / 2.0;
        for it in &wall.openings {
            let along = f64::midpoint(it.from.to_inches(), it.to.to_inches());
            all.push(Named {
                kind: "opening",
                name: &it.id,
                middle: at(along, -half),
                face: at(along, 0.0),
            });
        }
        // From here on inside, where no opening is named.
        let along = wall.face_length.to_inches() / 2.0;
        all.push(Named {
            kind: "wall",
            name: &wall.id,
            middle: at(along, -half),
            face: at(along, -2.0 * half),
        });
        let panels = input.models.fabrication.panels.iter();
        for panel in panels.filter(|it| it.wall == index && is_spoken_of(input, &it.mark)) {
            let [x, y, _] = panel.placed.origin;
            let [ux, uy, _] = panel.placed.x;
            let middle = Coord { x, y } + Coord { x: ux, y: uy } * (panel.width.to_inches() / 2.0);
            let inwards = Coord { x: -uy, y: ux };
            let at = |by: f64| view.paper(in_drawing(input.storey, middle + inwards * by));
            all.push(Named {
                kind: "panel",
                name: &panel.mark,
                middle: at(half),
                face: at(2.0 * half),
            });
        }
    }
    all
}

/// True when a question names a panel or holds it up.
fn is_spoken_of(input: &ChangeInput<'_>, mark: &str) -> bool {
    let names = |words: &str| {
        words
            .split(|c: char| !c.is_alphanumeric())
            .any(|it| it == mark)
    };
    input.questions.iter().any(|asked| {
        let mut about = asked.question.about.iter();
        asked.holds.iter().any(|it| it == mark)
            || names(&asked.question.seen)
            || about.any(|it| names(it))
    })
}

/// Writes the names beside what they name.
pub(super) fn names_on_plan(
    input: &ChangeInput<'_>,
    view: &PlanView,
    obstacles: &mut Obstacles,
) -> Group {
    let note = input.paper().lettering.note;
    let letters = Lettered::cap(note).bold().middle();
    let all = named(input, view);
    let beside = |it: &Named<'_>| -> Vec<(Spot, Candidate)> {
        let out = it.face - it.middle;
        let long = out.x.hypot(out.y).max(1e-9);
        let (width, height) = (letters.width(it.name) + 1.2, note + 1.2);
        let reaches = [1.0, -1.0].into_iter().flat_map(|side| {
            [1.0, 2.5, 4.5, 7.0, 10.0, 14.0]
                .map(|gap| side * (long + gap + width.hypot(height) / 2.0))
        });
        let shifts = [0.0, 6.0, -6.0, 12.0, -12.0, 18.0, -18.0];
        let across = spot(-out.y / long, out.x / long);
        reaches
            .flat_map(|reach| shifts.map(|shift| (reach, shift)))
            .map(|(reach, shift)| {
                let at = it.middle + out * (reach / long) + across * shift;
                let place = Candidate {
                    boxes: vec![LabelBox::about(at, width, height, Coord { x: 1.0, y: 0.0 })],
                    lines: Vec::new(),
                    cost: reach.abs() + shift.abs(),
                };
                (at, place)
            })
            .collect()
    };
    let choices: Vec<Vec<(Spot, Candidate)>> = all.iter().map(beside).collect();
    let requests: Vec<Vec<Candidate>> = choices
        .iter()
        .map(|list| list.iter().map(|it| it.1.clone()).collect())
        .collect();
    let mut canvas = Canvas::new();
    let chosen = place(&requests, obstacles).chosen;
    for ((it, list), chosen) in all.iter().zip(&choices).zip(chosen) {
        if let Some((at, _)) = chosen.and_then(|index| list.get(index)) {
            let title = format!("{} {}", capitalised(it.kind), it.name);
            canvas.group_with("", &title, &[(it.kind, it.name)], |canvas| {
                canvas.text_centred(*at, it.name, letters);
            });
        }
    }
    canvas.into_group("names", "Openings, walls, panels")
}
