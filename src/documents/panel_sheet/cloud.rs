//! Clouds: what is on HOLD, and what a revision changed.

use super::arrange::Arrangement;
use super::subject::Subject;
use super::view::area;
use crate::documents::paper::Canvas;
use crate::documents::paper::style::{Ink, Pen};
use crate::documents::paper::symbol::cloud;

/// Size of a bump, mm.
const BUMP: f64 = 5.0;

/// Clouds round the openings that a hold names and round what a revision changed; round the whole panel when a hold names none,
/// or when it was changed as a whole.
pub(super) fn draw_clouds(canvas: &mut Canvas, subject: &Subject<'_>, arrangement: &Arrangement) {
    let panel = subject.panel;
    let stroke = Pen::Edge.full().with(Ink::Accent);
    let names = |id: &str, words: &str| {
        words
            .split(|c: char| !c.is_alphanumeric())
            .any(|word| word == id)
    };
    let named: Vec<_> = subject
        .holes()
        .filter(|(id, _)| panel.holds.iter().any(|hold| names(id, &hold.reason)))
        .collect();
    canvas.group("clouds", "On HOLD or revised", |canvas| {
        for (_, hole) in &named {
            cloud(
                canvas,
                area(&arrangement.view, hole).grown(3.0),
                BUMP,
                stroke,
            );
        }
        let news = subject.input.issue.news_of(&panel.mark);
        let places = news.map_or(&[][..], |it| &it.places);
        for [x0, y0, x1, y1] in places {
            let place = arrangement.view.area(*x0, *y0, *x1, *y1);
            cloud(canvas, place.grown(2.0), BUMP, stroke);
        }
        let is_changed = news.is_some_and(|it| it.what == "changed");
        let is_revised = is_changed && places.is_empty();
        let is_whole = (panel.is_held() && named.is_empty()) || is_revised;
        if is_whole {
            cloud(canvas, arrangement.panel.grown(-4.0), BUMP, stroke);
        }
    });
}
