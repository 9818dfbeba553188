//! Signs with a fixed meaning: see the table in `docs/sheets.md`.

use super::canvas::{Canvas, Lettered};
use super::model::{Form, Spot, on_circle, spot};
use super::style::{self, Dash, Fill, Ink, Lettering, Pen, Stroke};

/// A direction on paper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Up the paper.
    Up,
    /// Down the paper.
    Down,
}

impl Direction {
    /// Its unit vector on paper, y down.
    #[must_use]
    pub const fn unit(self) -> Spot {
        match self {
            Self::Left => spot(-1.0, 0.0),
            Self::Right => spot(1.0, 0.0),
            Self::Up => spot(0.0, -1.0),
            Self::Down => spot(0.0, 1.0),
        }
    }
}

/// A circle with a name in it, wide enough for it: radius as wanted or more. Returns the radius.
pub fn balloon(
    canvas: &mut Canvas,
    stroke: Stroke,
    centre: Spot,
    radius: f64,
    name: &str,
    lettered: Lettered,
) -> f64 {
    let half = (lettered.width(name) / 2.0).hypot(lettered.cap / 2.0);
    let radius = radius.max(half + 0.5);
    canvas.circle(stroke, Fill::White, centre, radius);
    canvas.text_centred(centre, name, lettered.middle());
    radius
}

/// A hexagon with a name in it: a window.
pub fn hexagon(
    canvas: &mut Canvas,
    stroke: Stroke,
    centre: Spot,
    radius: f64,
    name: &str,
    lettered: Lettered,
) {
    let radius = radius.max(lettered.width(name) / 2.0 / 0.8 + 0.5);
    let points = (0..6).map(|i| on_circle(centre, radius, 60.0 * f64::from(i)));
    canvas.shape(Form::Polygon(points.collect()), stroke, Fill::White);
    canvas.text_centred(centre, name, lettered.middle());
}

/// A diamond with a number in it: a question.
pub fn diamond(canvas: &mut Canvas, centre: Spot, radius: f64, name: &str, lettered: Lettered) {
    let radius = radius.max(lettered.width(name) + lettered.cap * 0.9);
    let points = (0..4).map(|i| on_circle(centre, radius, 90.0 * f64::from(i)));
    let stroke = Pen::Edge.full().with(Ink::Accent);
    canvas.shape(Form::Polygon(points.collect()), stroke, Fill::White);
    canvas.text_centred(centre, name, lettered.middle().ink(Ink::Accent));
}

/// A triangle with a bang in it: a conflict.
pub fn conflict(canvas: &mut Canvas, centre: Spot, radius: f64) {
    let points = (0..3).map(|i| on_circle(centre, radius, 90.0 + 120.0 * f64::from(i)));
    let stroke = Pen::Edge.full().with(Ink::Accent);
    canvas.shape(Form::Polygon(points.collect()), stroke, Fill::White);
    let lettered = Lettered::cap(radius * 0.7).bold().middle().ink(Ink::Accent);
    canvas.text(spot(centre.x, centre.y + radius * 0.35), "!", lettered);
}

/// A tick: agrees.
pub fn tick(canvas: &mut Canvas, left: Spot, height: f64) {
    canvas.polyline(
        Pen::Edge.full(),
        vec![
            spot(left.x, left.y - height * 0.4),
            spot(left.x + height * 0.35, left.y),
            spot(left.x + height, left.y - height),
        ],
    );
}

/// A box to tick; crossed when it says stop.
pub fn tick_box(canvas: &mut Canvas, upper_left: Spot, side: f64, is_crossed: bool) {
    let area = super::model::Area::new(
        upper_left.x,
        upper_left.y,
        upper_left.x + side,
        upper_left.y + side,
    );
    canvas.shape(Form::Area(area), Pen::Edge.full(), Fill::White);
    if is_crossed {
        let [a, b, c, d] = area.corners();
        canvas.shape(
            Form::Hatch(vec![(a, c), (b, d)]),
            Pen::Bold.full(),
            Fill::None,
        );
    }
}

/// A disc in quarters, two of them black: the centre of gravity, or a datum on its corner.
pub fn quartered_disc(canvas: &mut Canvas, centre: Spot, radius: f64) {
    canvas.circle(Pen::Edge.full(), Fill::White, centre, radius);
    for start in [0.0_f64, 180.0] {
        let mut points = vec![centre];
        points.extend((0..=6).map(|i| on_circle(centre, radius, start + 15.0 * f64::from(i))));
        canvas.shape(Form::Polygon(points), None, Fill::Black);
    }
}

/// A ring over a solid triangle: where a sling goes in. The triangle's middle is the point.
pub fn pick_point(canvas: &mut Canvas, at: Spot) {
    canvas.shape(
        Form::Polygon(vec![
            spot(at.x, at.y - 1.4),
            spot(at.x + 2.0, at.y + 2.0),
            spot(at.x - 2.0, at.y + 2.0),
        ]),
        None,
        Fill::Black,
    );
    canvas.circle(Pen::Edge.full(), Fill::White, spot(at.x, at.y - 1.4), 1.5);
}

/// A filled arrow head whose tip is the point, pointing along a unit vector.
pub fn arrow_head(canvas: &mut Canvas, tip: Spot, along: Spot, length: f64) {
    let back = tip - along * length;
    let half = spot(-along.y, along.x) * (length / 3.2);
    canvas.shape(
        Form::Polygon(vec![tip, back + half, back - half]),
        None,
        Fill::Black,
    );
}

/// An arrow from a point to a point.
pub fn arrow(canvas: &mut Canvas, stroke: Stroke, from: Spot, tip: Spot, head: f64) {
    let d = tip - from;
    let length = d.x.hypot(d.y).max(1e-9);
    let along = d / length;
    canvas.line(stroke, from, tip - along * (head * 0.8));
    arrow_head(canvas, tip, along, head);
}

/// A thick arrow that says which way is up; foot of its shaft at the point.
pub fn up_arrow(canvas: &mut Canvas, foot: Spot, height: f64, width: f64) {
    let (shaft, shoulder) = (width * 0.17, foot.y - height + width * 0.8);
    canvas.shape(
        Form::Polygon(vec![
            spot(foot.x - shaft, foot.y),
            spot(foot.x - shaft, shoulder),
            spot(foot.x - width / 2.0, shoulder),
            spot(foot.x, foot.y - height),
            spot(foot.x + width / 2.0, shoulder),
            spot(foot.x + shaft, shoulder),
            spot(foot.x + shaft, foot.y),
        ]),
        None,
        Fill::Black,
    );
}

/// A leader: a dot on what is meant, a line to the last point. The dot may be left out for a plain leader.
pub fn leader(canvas: &mut Canvas, from: Spot, through: &[Spot], has_dot: bool) {
    let mut points = vec![from];
    points.extend_from_slice(through);
    canvas.polyline(Pen::Fine.full(), points);
    if has_dot {
        canvas.shape(Form::Circle(from, 0.6), None, Fill::Black);
    }
}

/// The title under a view: balloon, name over a line, scale and remark under it. Returns the right end of the line.
///
/// - `right`: what reaches beyond it, mm, is set smaller, then cut.
pub fn view_title(
    canvas: &mut Canvas,
    lettering: &Lettering,
    centre: Spot,
    name: &str,
    title: &str,
    remark: &str,
    right: f64,
) -> f64 {
    let radius = lettering.title * 1.55;
    let radius = balloon(
        canvas,
        Pen::Bold.full(),
        centre,
        radius,
        name,
        Lettered::cap(lettering.title).bold(),
    );
    let big = Lettered::cap(lettering.title).bold();
    let x = centre.x + radius + lettering.note * 0.5;
    let room = right - x - 1.5;
    let end = x + canvas.text_within(spot(x, centre.y - 1.3), title, big, room) + 1.5;
    canvas.line(
        Pen::Bold.full(),
        spot(centre.x + radius, centre.y),
        spot(end, centre.y),
    );
    let small = Lettered::cap(lettering.note);
    let below = spot(x, centre.y + 1.4 + lettering.note);
    end.max(x + canvas.text_within(below, remark, small, room))
}

/// A circle with a bar: the letter of a detail over the sheet it stands on (`–` for this sheet).
pub fn detail_mark(
    canvas: &mut Canvas,
    lettering: &Lettering,
    centre: Spot,
    letter: &str,
    sheet: &str,
) -> f64 {
    let radius = lettering.note * 2.3;
    canvas.circle(Pen::Thin.full(), Fill::White, centre, radius);
    canvas.line(
        Pen::Thin.full(),
        spot(centre.x - radius, centre.y),
        spot(centre.x + radius, centre.y),
    );
    let upper = Lettered::cap(lettering.note).bold().middle();
    canvas.text(spot(centre.x, centre.y - radius * 0.25), letter, upper);
    let lower = Lettered::cap(style::SMALL_SHEET.note).middle();
    canvas.text(spot(centre.x, centre.y + radius * 0.68), sheet, lower);
    radius
}

/// A level: a small solid triangle on a line with its name above the line, to the right.
pub fn level(canvas: &mut Canvas, lettering: &Lettering, line_from: Spot, words: &str) {
    let lettered = Lettered::cap(lettering.note);
    let end = line_from.x + 14.0 + lettered.width(words);
    canvas.line(Pen::Fine.full(), line_from, spot(end, line_from.y));
    let tip = spot(line_from.x + 9.0, line_from.y);
    canvas.shape(
        Form::Polygon(vec![
            tip,
            spot(tip.x - 1.6, tip.y - 2.4),
            spot(tip.x + 1.6, tip.y - 2.4),
        ]),
        None,
        Fill::Black,
    );
    canvas.text(spot(tip.x + 4.0, line_from.y - 1.2), words, lettered);
}

/// North: a needle and an N; `turn_deg` turns the needle clockwise from the paper's up.
pub fn north_arrow(
    canvas: &mut Canvas,
    lettering: &Lettering,
    centre: Spot,
    radius: f64,
    turn_deg: f64,
) {
    let point = |r: f64, degrees: f64| on_circle(centre, r, 90.0 - turn_deg + degrees);
    canvas.circle(Pen::Fine.full(), Fill::None, centre, radius);
    let tip = point(radius, 0.0);
    let (left, right, tail) = (
        point(radius * 0.8, 155.0),
        point(radius * 0.8, -155.0),
        point(radius * 0.45, 180.0),
    );
    canvas.shape(Form::Polygon(vec![tip, left, tail]), None, Fill::Black);
    canvas.shape(
        Form::Polygon(vec![tip, right, tail]),
        Pen::Fine.full(),
        Fill::White,
    );
    let word = point(radius + lettering.mark * 0.9, 0.0);
    canvas.text_centred(word, "N", Lettered::cap(lettering.mark).bold().middle());
}

/// A scale bar from a left end: 0, a quarter, half and the whole of `feet`, each named.
pub fn scale_bar(canvas: &mut Canvas, lettering: &Lettering, left: Spot, per_inch: f64, feet: i32) {
    let length = f64::from(feet) * 12.0 * per_inch;
    let marks = [
        (0.0, 0),
        (0.125, feet / 8),
        (0.25, feet / 4),
        (0.5, feet / 2),
        (1.0, feet),
    ];
    let bar = super::model::Area::new(left.x, left.y - 2.0, left.x + length, left.y);
    canvas.shape(Form::Area(bar), Pen::Edge.full(), Fill::White);
    for (from, to, upper) in [
        (0.0, 0.125, false),
        (0.125, 0.25, true),
        (0.25, 0.5, false),
        (0.5, 1.0, true),
    ] {
        let y = if upper { left.y - 2.0 } else { left.y - 1.0 };
        let part =
            super::model::Area::new(left.x + from * length, y, left.x + to * length, y + 1.0);
        canvas.fill(Fill::Black, part);
    }
    let lettered = Lettered::cap(lettering.note).middle();
    let mut free_from = f64::NEG_INFINITY;
    for (part, feet) in marks {
        let words = format!("{feet}'");
        let x = left.x + part * length;
        let half = lettered.width(&words) / 2.0;
        if x - half >= free_from {
            canvas.text(spot(x, left.y - 3.4), words, lettered);
            free_from = x + half + 1.0;
        }
    }
}

/// A revision cloud along the edge of an area: bumps outwards of about `bump` mm.
pub fn cloud(canvas: &mut Canvas, area: super::model::Area, bump: f64, stroke: Stroke) {
    let corners = area.corners();
    let next = corners.iter().cycle().skip(1);
    for (from, to) in corners.iter().zip(next) {
        let d = *to - *from;
        let length = d.x.hypot(d.y);
        let count = (length / bump).round().max(1.0);
        let radius = length / count / 2.0;
        // Each bump is half a circle outside the side, drawn from its far end to its near end.
        let heading = (-d.y).atan2(d.x).to_degrees();
        let mut i = 0.0;
        while i < count {
            let centre = *from + d * ((i + 0.5) / count);
            canvas.arc(stroke, centre, radius, heading, 180.0);
            i += 1.0;
        }
    }
}

/// A dashed circle around something in question.
pub fn question_ring(canvas: &mut Canvas, centre: Spot, radius: f64) {
    let stroke = Pen::Edge.dashed(Dash::Hidden).with(Ink::Accent);
    canvas.circle(stroke, Fill::None, centre, radius);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::model::Item;

    #[test]
    fn signs_differ_in_shape_when_all_ink_is_black() {
        let lettered = Lettered::cap(2.4);
        let at = spot(20.0, 20.0);
        type Sign<'a> = (&'a str, &'a dyn Fn(&mut Canvas));
        type Shapes = Vec<(Form, Option<Dash>)>;
        let signs: [Sign<'_>; 8] = [
            ("door", &|c| {
                balloon(c, Pen::Edge.full(), at, 3.0, "1", lettered);
            }),
            ("window", &|c| {
                hexagon(c, Pen::Edge.full(), at, 3.0, "1", lettered);
            }),
            ("question", &|c| diamond(c, at, 3.0, "1", lettered)),
            ("conflict", &|c| conflict(c, at, 3.0)),
            ("agrees", &|c| tick(c, at, 3.0)),
            ("released", &|c| tick_box(c, at, 3.0, false)),
            ("held", &|c| tick_box(c, at, 3.0, true)),
            ("asked about", &|c| question_ring(c, at, 3.0)),
        ];
        let mut seen: Vec<(&str, Shapes)> = Vec::new();
        for (name, draw) in signs {
            let mut canvas = Canvas::new();
            draw(&mut canvas);
            let group = canvas.into_group("sign", "Sign");
            // Shapes and their dashes alone: no ink, no fill, no words.
            let shapes = group.items.iter().filter_map(|it| match it {
                Item::Shape(it) => Some((it.form.clone(), it.stroke.map(|it| it.dash))),
                Item::Text(_) | Item::Group(_) => None,
            });
            let shapes: Shapes = shapes.collect();
            for (other, forms) in &seen {
                assert!(*forms != shapes, "{name} looks like {other} in grey");
            }
            seen.push((name, shapes));
        }
    }
}
