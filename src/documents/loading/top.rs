//! A truck seen from above: deck, stacks with their names, straps, lengths from the headboard.

use super::{LoadSheetInput, Views, on_deck};
use crate::documents::paper::dimension::{
    DimensionString, Side, dimension_string, printed_pieces, unprinted,
};
use crate::documents::paper::style::{Dash, Fill, Lettering, Pen};
use crate::documents::paper::symbol::{arrow, view_title};
use crate::documents::paper::{Area, Canvas, Form, Group, Lettered, spot};
use crate::loads::{Stack, Truck};
use crate::units::Length;

/// Draws it; returns what its string had no room to print.
pub(super) fn draw(
    input: &LoadSheetInput<'_>,
    truck: &Truck,
    views: &Views,
) -> (Group, Option<String>) {
    let mut canvas = Canvas::new();
    let (rules, view) = (input.shipping(), &views.top);
    let [length, width] = [rules.deck_length, rules.deck_width].map(Length::to_inches);
    let deck = view.area(0.0, 0.0, length, width);
    canvas.shape(Form::Area(deck), Pen::Bold.full(), Fill::Light);
    canvas.line(
        Pen::Heavy.full(),
        spot(deck.x0, deck.y0),
        spot(deck.x0, deck.y1),
    );
    let paper = input.paper();
    let grown = paper.letters_grown();
    let note = Lettered::cap(paper.lettering.note);
    canvas.text_centred(
        spot(deck.x0 - 3.4, deck.middle().y),
        "FRONT",
        note.bold().middle().upwards(),
    );
    let tip = spot(deck.x0 - 9.5, deck.middle().y);
    arrow(
        &mut canvas,
        Pen::Edge.full(),
        tip + spot(4.0, 0.0),
        tip,
        2.0,
    );
    for stack in &truck.stacks {
        let area = on_deck(view, stack);
        canvas.group_with(
            &format!("top-{}", stack.name),
            &format!("Stack {}", stack.name),
            &[("stack", &stack.name)],
            |canvas| draw_stack(canvas, &paper.lettering, stack, area),
        );
    }
    // Stacks beside each other are one bay, also where two stand behind each other beside a long one.
    let mut bays: Vec<(Length, Length)> = Vec::new();
    for stack in &truck.stacks {
        let end = stack.x + stack.length;
        match bays.iter_mut().find(|bay| stack.x < bay.1 && bay.0 < end) {
            Some(bay) => *bay = (bay.0.min(stack.x), bay.1.max(end)),
            None => bays.push((stack.x, end)),
        }
    }
    bays.sort_unstable();
    let mut ends: Vec<Length> = bays.iter().flat_map(|bay| [bay.0, bay.1]).collect();
    ends.push(rules.deck_length.max(truck.length()));
    ends.dedup();
    let words = printed_pieces(&ends);
    let places: Vec<f64> = ends.iter().map(|it| view.x(it.to_inches())).collect();
    let string = DimensionString {
        side: Side::Below,
        edge: deck.y1,
        ends: &places,
        words: &words,
        lane: 8.0 * grown,
        from: 1.5,
        cap: paper.lettering.note,
    };
    let left = dimension_string(&mut canvas, &string);
    let left = unprinted("Lengths", "the first stack's front", &ends, &words, &left);
    view_title(
        &mut canvas,
        &paper.lettering,
        spot(deck.x0 + 6.0, deck.y1 + 18.5 * grown),
        "2",
        "FROM ABOVE",
        &format!(
            "{}   dashed: tie-downs; the lower side is the truck's left",
            views.scale.name
        ),
        paper.field().x1,
    );
    (canvas.into_group("top", "From above"), left)
}

/// Where a stack forks: the panels that stand side by side, one over the other from the lowest up.
fn draw_columns(canvas: &mut Canvas, stack: &Stack, area: &Area) {
    let [long, wide] = [stack.length, stack.width].map(|it| it.to_inches().max(1.0));
    for panel in stack.panels.iter().filter(|it| it.column > 0) {
        let [from, width, length] =
            [panel.across, panel.width, panel.length].map(Length::to_inches);
        let at = Area::new(
            area.x0,
            area.y1 - (from + width) / wide * area.height(),
            area.x0 + length / long * area.width(),
            area.y1 - from / wide * area.height(),
        );
        canvas.shape(Form::Area(at), Pen::Thin.full(), Fill::White);
    }
}

fn draw_stack(canvas: &mut Canvas, lettering: &Lettering, stack: &Stack, area: Area) {
    canvas.shape(Form::Area(area), Pen::Bold.full(), Fill::White);
    draw_columns(canvas, stack, &area);
    let strap = Pen::Thin.dashed(Dash::Hidden);
    for number in 0..stack.tie_downs {
        let part = (f64::from(number) + 0.5) / f64::from(stack.tie_downs);
        let x = area.x0 + area.width() * part;
        canvas.line(strap, spot(x, area.y0), spot(x, area.y1));
    }
    let room = area.width() - 1.6;
    let size = format!(
        "{} × {}",
        stack.length.feet_inches(),
        stack.width.feet_inches()
    );
    let small = Lettered::cap(lettering.note).middle().masked();
    let middle = area.middle();
    let has_size = small.width(&size) <= room && area.height() >= 13.0;
    let lift = if has_size { 2.6 } else { 0.0 };
    let cap = lettering.heading.min(area.height() - 1.6);
    let name = Lettered::cap(cap).bold().middle().masked();
    let base = middle + spot(0.0, cap / 2.0 - lift);
    canvas.text_within(base, &stack.name, name, room);
    if has_size {
        canvas.text_centred(middle + spot(0.0, 4.0), size, small);
    }
}
