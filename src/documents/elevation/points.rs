//! Posts and pockets in the wall under what bears on it: hidden lines, each named beside itself.
//!
//! ```text
//!     ┌───┐
//!     │╲ ╱│── GIRDER POCKET      hidden from outside: a pocket opens the inner skin only
//!     │╱ ╲│   4 × 9 1/2 AT 5'-10"
//!     └┬─┬┘
//!      │ │─── POST 3-2x6
//!      └─┘
//! ```

use super::subject::Subject;
use super::wall::on_paper;
use crate::documents::paper::style::{Dash, Fill, Pen};
use crate::documents::paper::{Area, Canvas, Form, Group, Lettered, Spot, View, spot};
use crate::documents::plan_view::{Candidate, Obstacles, box_edge, far_places, place};
use crate::geometry::ShopRect;
use crate::units::Inches;

/// Uses of lumber that stands under a load.
const POSTS: [&str; 3] = ["post", "blocking", "hold-down post"];

/// A post or a pocket, in run axes.
struct Bearing {
    rect: ShopRect,
    is_pocket: bool,
    lines: Vec<String>,
}

/// All of the wall, panel by panel.
fn bearings(subject: &Subject<'_>) -> Vec<Bearing> {
    let points = &subject.run.points;
    let at = |point: &crate::rules::PointLoad| point.at - subject.run.from;
    let mut found = Vec::new();
    for (laid, made) in &subject.panels {
        let in_run = |rect: &ShopRect| {
            let (x, y) = (laid.rect.x0, laid.rect.y0);
            ShopRect::new(x + rect.x0, y + rect.y0, x + rect.x1, y + rect.y1)
        };
        for cut in &made.inner_cuts {
            let rect = in_run(&cut.rect);
            let is_of = |point: &crate::rules::PointLoad| {
                let at = at(point);
                point.pocket.is_some() && point.what == cut.what && rect.x0 < at && at < rect.x1
            };
            if points.iter().any(is_of) {
                let lines = vec![
                    format!("{} POCKET", cut.what.to_uppercase()),
                    format!(
                        "{} × {} AT {}",
                        Inches(rect.width()),
                        Inches(rect.height()),
                        rect.y0.feet_inches()
                    ),
                ];
                found.push(Bearing {
                    rect,
                    is_pocket: true,
                    lines,
                });
            }
        }
        // Plies side by side are one post.
        let mut posts: Vec<(ShopRect, &str, &str, usize)> = Vec::new();
        for piece in &made.lumber {
            if !POSTS.contains(&piece.usage.as_str()) {
                continue;
            }
            let rect = in_run(&piece.rect);
            match posts.last_mut() {
                Some((post, usage, section, plies))
                    if [*usage, *section] == [&piece.usage, &piece.section]
                        && [post.x1, post.y0, post.y1] == [rect.x0, rect.y0, rect.y1] =>
                {
                    post.x1 = rect.x1;
                    *plies += 1;
                }
                _ => posts.push((rect, &piece.usage, &piece.section, 1)),
            }
        }
        found.extend(posts.into_iter().map(|(rect, usage, section, plies)| {
            let mut under = points.iter().filter(|it| {
                let at = at(it);
                rect.x0 <= at && at <= rect.x1
            });
            let mut lines = vec![format!("{} {plies}-{section}", usage.to_uppercase())];
            lines.extend(
                under
                    .next()
                    .map(|it| format!("UNDER {}", it.what.to_uppercase())),
            );
            Bearing {
                rect,
                is_pocket: false,
                lines,
            }
        }));
    }
    found
}

/// Draws them; a pocket is crossed.
pub(super) fn draw_points(canvas: &mut Canvas, subject: &Subject<'_>, view: &View) {
    for it in bearings(subject) {
        let area = on_paper(view, &it.rect);
        canvas.group("", &it.lines.join(" "), |canvas| {
            canvas.rect(Pen::Thin.dashed(Dash::Hidden), area);
            if it.is_pocket {
                let corners = [
                    [spot(area.x0, area.y0), spot(area.x1, area.y1)],
                    [spot(area.x0, area.y1), spot(area.x1, area.y0)],
                ];
                for [from, to] in corners {
                    canvas.line(Pen::Fine.full(), from, to);
                }
            }
        });
    }
}

/// Names them where nothing else stands; returns what there is to say of them in the notes, above all what found no place.
///
/// - `stands`: what stands on the wall already.
pub(super) fn name_points(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
    stands: [Group; 3],
) -> Vec<String> {
    let all = bearings(subject);
    if all.is_empty() {
        return Vec::new();
    }
    let letters = Lettered::cap(subject.lettering().note).middle();
    let step = letters.cap * 1.7;
    let [from, to] = [subject.from, subject.to].map(|it| view.x(it.to_inches()));
    let [top, _] = subject.tops();
    let window = Area::new(from, view.y(top.to_inches()), to, view.y(0.0));
    let mut obstacles = Obstacles::inside(window);
    for group in &stands {
        obstacles.add_group(group);
    }
    let places: Vec<Vec<Place>> = all
        .iter()
        .map(|it| {
            places_of(
                &on_paper(view, &it.rect),
                size(&it.lines, letters, step),
                &window,
            )
        })
        .collect();
    let requests: Vec<Vec<Candidate>> = places
        .iter()
        .map(|it| it.iter().map(|place| place.candidate.clone()).collect())
        .collect();
    let mut left = Vec::new();
    let chosen = place(&requests, &obstacles).chosen;
    for ((it, places), chosen) in all.iter().zip(&places).zip(chosen) {
        let Some(place) = chosen.and_then(|index| places.get(index)) else {
            let middle = it.rect.x0 + it.rect.width().half();
            left.push(format!(
                "{} at {}",
                it.lines.join(" "),
                middle.feet_inches()
            ));
            continue;
        };
        let [width, height] = size(&it.lines, letters, step);
        let start = box_edge(place.at, place.foot, width, height);
        canvas.line(Pen::Fine.full(), start, place.foot);
        canvas.shape(Form::Circle(place.foot, 0.6), None, Fill::Black);
        let mut y = place.at.y - height / 2.0 + 0.6 + letters.cap / 2.0;
        for words in &it.lines {
            canvas.text_centred(spot(place.at.x, y), words, letters);
            y += step;
        }
    }
    let key = subject.key();
    let mut notes = vec![format!(
        "Posts and pockets in {key} stand as the job names them: not sized: engineer."
    )];
    if !left.is_empty() {
        notes.push(format!(
            "Dashed in {key} without their names, from its left end: {}.",
            left.join("; ")
        ));
    }
    notes
}

/// Width and height of lines on paper, mm.
fn size(lines: &[String], letters: Lettered, step: f64) -> [f64; 2] {
    let widths = lines.iter().map(|words| letters.width(words));
    let more: f64 = lines.iter().skip(1).map(|_| step).sum();
    [widths.fold(0.0, f64::max) + 1.6, letters.cap + more + 1.2]
}

/// Where a name may stand, and where its leader ends.
struct Place {
    at: Spot,
    foot: Spot,
    candidate: Candidate,
}

fn places_of(area: &Area, size: [f64; 2], window: &Area) -> Vec<Place> {
    let middle = area.middle().x;
    let feet = [0.5, 0.3, 0.7, 0.15].map(|part| spot(middle, area.y0 + area.height() * part));
    feet.into_iter()
        .flat_map(|foot| {
            let found = far_places(foot, size, window).into_iter();
            found.map(move |(at, candidate)| Place {
                at,
                foot,
                candidate,
            })
        })
        .collect()
}
