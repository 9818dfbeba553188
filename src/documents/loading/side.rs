//! A truck seen from its left side: road, deck, dunnage, stacks panel by panel, the legal height.

use super::{LoadSheetInput, Views, above_road};
use crate::documents::paper::dimension::{DimensionString, Side, short_string};
use crate::documents::paper::style::{Dash, Fill, Ink, Pen};
use crate::documents::paper::symbol::view_title;
use crate::documents::paper::{Canvas, Form, Group, Lettered, spot};
use crate::loads::{LoadedPanel, Stack, Truck, dunnage_places};
use crate::units::Length;
use std::cmp::Reverse;

/// Drawn thickness of the deck, inches.
const DECK: f64 = 8.0;
/// Drawn wheel: radius and places of the axles before the rear end, inches. They only say where the rear is.
const WHEEL: (f64, [f64; 2]) = (20.0, [108.0, 58.0]);

pub(super) fn draw(input: &LoadSheetInput<'_>, truck: &Truck, views: &Views) -> Group {
    let mut canvas = Canvas::new();
    let (rules, view) = (input.shipping(), &views.side);
    let [length, deck, limit, dunnage] = [
        rules.deck_length,
        rules.deck_height,
        rules.greatest_height,
        rules.dunnage,
    ]
    .map(Length::to_inches);
    let phantom = Pen::Thin.dashed(Dash::Phantom);
    for before in WHEEL.1 {
        let centre = view.spot(length - before, WHEEL.0);
        canvas.circle(phantom, Fill::None, centre, WHEEL.0 * view.scale);
    }
    canvas.line(
        Pen::Edge.full(),
        view.spot(0.0, 0.0),
        view.spot(length, 0.0),
    );
    let beam = view.area(0.0, deck - DECK, length, deck);
    canvas.shape(Form::Area(beam), Pen::Bold.full(), Fill::Light);
    canvas.line(
        Pen::Heavy.full(),
        view.spot(0.0, deck - DECK),
        view.spot(0.0, deck + 40.0),
    );
    // The nearer ones cover the farther ones.
    let mut stacks: Vec<&Stack> = truck.stacks.iter().collect();
    stacks.sort_by(|a, b| (b.y, &a.name).cmp(&(a.y, &b.name)));
    for stack in stacks {
        let [x, l] = [stack.x, stack.length].map(Length::to_inches);
        for place in dunnage_places(stack.length, rules) {
            let middle = x + place.to_inches();
            let block = view.area(
                middle - dunnage / 2.0,
                deck,
                middle + dunnage / 2.0,
                deck + dunnage,
            );
            canvas.shape(Form::Area(block), Pen::Thin.full(), Fill::Medium);
        }
        let foot = deck + dunnage;
        let mut panels: Vec<&LoadedPanel> = stack.panels.iter().collect();
        panels.sort_by_key(|it| Reverse(it.across));
        canvas.group(
            &format!("side-{}", stack.name),
            &format!("Stack {}", stack.name),
            |canvas| {
                for panel in panels {
                    let z = foot + panel.bottom.to_inches();
                    let top = z + panel.thickness.to_inches();
                    let at = view.area(x, z, x + panel.length.to_inches().min(l), top);
                    let mark = panel.mark.as_str();
                    canvas.group_with("", mark, &[("panel", mark)], |canvas| {
                        canvas.shape(Form::Area(at), Pen::Edge.full(), Fill::White);
                    });
                }
            },
        );
    }
    let over = Pen::Thin.dashed(Dash::Hidden);
    canvas.line(
        over,
        view.spot(-12.0, limit),
        view.spot(length + 12.0, limit),
    );
    let paper = input.paper();
    let note = Lettered::cap(paper.lettering.note);
    let words = format!("GREATEST HEIGHT {}", rules.greatest_height.feet_inches());
    canvas.text(view.spot(0.0, limit) - spot(0.0, 1.4), words, note);
    if above_road(rules, truck) > rules.greatest_height {
        let at = view.spot(length, limit) - spot(0.0, 1.4);
        canvas.text(at, "THE LOAD IS HIGHER", note.bold().ink(Ink::Accent).end());
    }
    draw_heights(&mut canvas, input, truck, views);
    view_title(
        &mut canvas,
        &paper.lettering,
        view.spot(0.0, 0.0) + spot(6.0, 7.0) * paper.letters_grown(),
        "1",
        "FROM THE LEFT SIDE",
        &format!(
            "{}   front at the left; wheels show the rear only",
            views.scale.name
        ),
        paper.field().x1,
    );
    canvas.into_group("side", "From the left side")
}

/// Deck, load with its dunnage, and what is left to the limit.
fn draw_heights(canvas: &mut Canvas, input: &LoadSheetInput<'_>, truck: &Truck, views: &Views) {
    let (rules, view) = (input.shipping(), &views.side);
    let load = above_road(rules, truck);
    let mut levels = vec![Length::ZERO, rules.deck_height, load];
    if load < rules.greatest_height {
        levels.push(rules.greatest_height);
    }
    levels.reverse();
    let ends: Vec<f64> = levels.iter().map(|it| view.y(it.to_inches())).collect();
    let words: Vec<String> = levels
        .windows(2)
        .filter_map(|pair| Some((*pair.first()? - *pair.last()?).feet_inches().to_string()))
        .collect();
    let string = DimensionString {
        side: Side::Right,
        edge: view.x(rules.deck_length.max(truck.length()).to_inches()),
        ends: &ends,
        words: &words,
        lane: 14.0,
        from: 6.0,
        cap: input.paper().lettering.note,
    };
    short_string(canvas, &string);
}
