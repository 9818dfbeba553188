//! Numbers on the architect's plan: circles of differences and diamonds of questions, each with a leader to its place.

use super::compare::Difference;
use super::sheet::ChangeInput;
use crate::documents::paper::style::{Fill, Ink, Pen};
use crate::documents::paper::symbol::{balloon, diamond};
use crate::documents::paper::{Area, Canvas, Form, Group, Lettered, Spot, spot};
use crate::documents::plan_view::{
    Candidate, LabelBox, Obstacles, PlanView, edge, place, room_places,
};
use geo::Coord;

/// Radius of a difference's circle, mm.
const CIRCLE: f64 = 3.6;
/// Radius of the dot at the foot of a leader, and the white round it, mm.
const DOT: f64 = 0.8;
const DOT_AIR: f64 = 0.6;
/// Where nothing but a point will do, its dot moves this far off words, mm: it still stands on what it is about.
const ASIDE: f64 = 2.5;

/// What a number stands for.
enum Sign {
    Change(usize),
    Question(String),
}

/// Draws them; one without room stands in the list.
///
/// - `words`: those of the architect, which nothing covers that can stand elsewhere.
pub(super) fn numbers(
    input: &ChangeInput<'_>,
    found: &[Difference],
    view: &PlanView,
    (window, words): (&Area, &[LabelBox]),
    obstacles: &mut Obstacles,
) -> Group {
    let mut signs: Vec<(Sign, Spot)> = Vec::new();
    for (index, difference) in found.iter().enumerate() {
        if let Some(at) = difference.at {
            let within = difference.within.iter().map(|p| view.paper(*p));
            let foot = clear_foot(view.paper(at), within.collect(), words);
            signs.push((Sign::Change(index + 1), foot));
        }
    }
    for asked in input.questions {
        for at in &asked.question.places {
            let sign = Sign::Question(asked.question.number.to_string());
            let foot = clear_foot(view.paper(*at), Vec::new(), words);
            signs.push((sign, foot));
        }
    }
    signs.retain(|(_, foot)| window.holds(&Area::of(*foot, *foot)));
    let radius = |sign: &Sign| match sign {
        Sign::Change(_) => CIRCLE,
        Sign::Question(name) => {
            let letters = Lettered::cap(input.paper().lettering.note).bold();
            (letters.width(name) + letters.cap * 0.9).max(6.0)
        }
    };
    let requests: Vec<Vec<Candidate>> = signs
        .iter()
        .map(|(sign, foot)| candidates(*foot, radius(sign)))
        .collect();
    let chosen = place(&requests, obstacles).chosen;
    let mut canvas = Canvas::new();
    let note = Lettered::cap(input.paper().lettering.note).bold();
    for ((sign, foot), chosen) in signs.iter().zip(chosen) {
        let Some(at) = chosen.and_then(|index| spots(*foot).nth(index)) else {
            continue;
        };
        let stroke = Pen::Thin.full().with(Ink::Accent);
        canvas.line(stroke, edge(at, *foot, radius(sign)), edge(*foot, at, DOT));
        canvas.shape(Form::Circle(*foot, DOT), stroke, Fill::Accent);
        match sign {
            Sign::Change(number) => {
                let name = number.to_string();
                let data = [("difference", name.as_str())];
                canvas.group_with("", &format!("Change {name}"), &data, |canvas| {
                    balloon(canvas, Pen::Edge.full(), at, CIRCLE, &name, note);
                });
            }
            Sign::Question(name) => {
                let data = [("question", name.as_str())];
                canvas.group_with("", &format!("Question {name}"), &data, |canvas| {
                    diamond(canvas, at, radius(sign), name, note);
                });
            }
        }
    }
    canvas.into_group("numbers", "Changes and questions")
}

/// Where a leader ends: the point itself, or where words stand on it the nearest place that they leave free.
///
/// - `within`: what such a place may stand in; where it has no corners, close to the point.
fn clear_foot(at: Spot, within: Vec<Spot>, words: &[LabelBox]) -> Spot {
    let size = 2.0 * (DOT + DOT_AIR);
    let is_clear = |at: &Spot| {
        let dot = LabelBox::about(*at, size, size, Coord { x: 1.0, y: 0.0 });
        words.iter().all(|it| !it.overlaps(&dot))
    };
    if is_clear(&at) {
        return at;
    }
    let around = (0..16).map(|step| {
        let (sine, cosine) = (f64::from(step) * std::f64::consts::TAU / 16.0).sin_cos();
        spot(at.x + ASIDE * cosine, at.y + ASIDE * sine)
    });
    let inside = room_places(within, size, size).into_iter().map(|it| it.0);
    let others = around.chain(inside).filter(is_clear);
    let away = |it: &Spot| (it.x - at.x).hypot(it.y - at.y);
    let nearest = others.min_by(|a, b| away(a).total_cmp(&away(b)));
    nearest.unwrap_or(at)
}

fn spots(foot: Spot) -> impl Iterator<Item = Spot> {
    [12.0, 18.0, 26.0, 36.0, 50.0, 70.0]
        .into_iter()
        .flat_map(move |reach: f64| {
            (0..16).map(move |step| {
                let angle = f64::from(step) * std::f64::consts::TAU / 16.0;
                spot(foot.x + reach * angle.cos(), foot.y + reach * angle.sin())
            })
        })
}

fn candidates(foot: Spot, radius: f64) -> Vec<Candidate> {
    spots(foot)
        .map(|at| {
            let d = at - foot;
            let side = 2.0 * radius + 1.0;
            let along = Coord { x: 1.0, y: 0.0 };
            Candidate {
                boxes: vec![LabelBox::about(at, side, side, along)],
                lines: vec![LabelBox::line(edge(at, foot, radius), foot, 0.3)],
                cost: d.x.hypot(d.y),
            }
        })
        .collect()
}
