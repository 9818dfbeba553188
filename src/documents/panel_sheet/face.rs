//! Which face is seen and which way is up: on the panel where there is room, and always in the title block.

use super::arrange::Arrangement;
use super::labels::{Label, inside};
use super::subject::Subject;
use super::view::area;
use crate::documents::paper::style::{Fill, SMALL_SHEET};
use crate::documents::paper::symbol::up_arrow;
use crate::documents::paper::{Area, Canvas, Lettered, Spot, spot};

/// Every panel is drawn from outside.
const FACE: &str = "OUTSIDE FACE";
const UP: &str = "UP";
/// Between words and arrow, mm.
const GAP: f64 = 2.5;

/// The words' lettering, and the arrow's height and width, mm.
#[derive(Clone, Copy)]
struct Size {
    lettered: Lettered,
    high: f64,
    wide: f64,
    cost: f64,
}

const fn size(cap: f64, high: f64, wide: f64, cost: f64) -> Size {
    let lettered = Lettered::cap(cap).bold();
    Size {
        lettered,
        high,
        wide,
        cost,
    }
}

/// From the largest; the last two are for panels with little room between lumber.
const SIZES: [Size; 5] = [
    size(SMALL_SHEET.mark, 20.0, 8.0, 0.0),
    size(SMALL_SHEET.mark, 12.0, 6.5, 15.0),
    size(SMALL_SHEET.mark, 8.5, 5.0, 45.0),
    size(SMALL_SHEET.title, 6.5, 4.5, 60.0),
    size(SMALL_SHEET.note, 5.0, 3.8, 80.0),
];

impl Size {
    /// `OUTSIDE FACE ↑ UP` in one row.
    fn row(&self) -> f64 {
        self.lettered.width(FACE) + self.lettered.width(UP) + self.wide + 2.0 * GAP
    }

    /// `↑ UP` in one row: the view's title says the face.
    fn short_row(&self) -> f64 {
        self.wide + GAP + self.lettered.width(UP)
    }

    /// The width of arrow and UP over each other.
    fn column(&self) -> f64 {
        self.wide.max(self.lettered.width(UP))
    }

    /// Arrow and UP over each other.
    fn head(&self) -> f64 {
        self.high + 1.2 + self.lettered.cap
    }

    fn draw_row(&self, canvas: &mut Canvas, at: Spot) {
        let middle = at.y + self.high * 0.65;
        canvas.text_centred(spot(at.x, middle), FACE, self.lettered.masked());
        self.draw_short_row(canvas, spot(at.x + self.lettered.width(FACE) + GAP, at.y));
    }

    fn draw_short_row(&self, canvas: &mut Canvas, at: Spot) {
        let middle = at.y + self.high * 0.65;
        self.draw_arrow(canvas, spot(at.x + self.wide / 2.0, at.y));
        let words = spot(at.x + self.wide + GAP, middle);
        canvas.text_centred(words, UP, self.lettered.masked());
    }

    /// From the top: arrow, UP, the face upwards, which reads from the right.
    fn draw_column(&self, canvas: &mut Canvas, at: Spot) {
        self.draw_head(canvas, at);
        let foot = at.y + self.head() + GAP + self.lettered.width(FACE);
        let x = at.x + self.column() / 2.0;
        canvas.text_centred(spot(x, foot), FACE, self.lettered.masked().upwards());
    }

    fn draw_head(&self, canvas: &mut Canvas, at: Spot) {
        let x = at.x + self.column() / 2.0;
        self.draw_arrow(canvas, spot(x, at.y));
        let base = spot(x, at.y + self.head());
        canvas.text(base, UP, self.lettered.masked().middle());
    }

    fn draw_arrow(&self, canvas: &mut Canvas, top: Spot) {
        let half = self.wide / 2.0;
        canvas.fill(
            Fill::White,
            Area::new(top.x - half, top.y, top.x + half, top.y + self.high),
        );
        up_arrow(canvas, spot(top.x, top.y + self.high), self.high, self.wide);
    }
}

/// `OUTSIDE FACE ↑ UP` on the panel: level where there is room, else upright, else `↑ UP` only; rather not in an opening.
pub(super) fn face_label<'a>(subject: &Subject<'_>, arrangement: &Arrangement) -> Label<'a> {
    let panel = arrangement.panel.grown(-1.2);
    let mut choices = Vec::new();
    for (rank, size) in SIZES.iter().enumerate() {
        let wanted = spot(panel.middle().x, panel.y0 + 8.0 + size.high / 2.0);
        let forms = [
            (size.row(), size.high, 0.0),
            (
                size.column(),
                size.head() + GAP + size.lettered.width(FACE),
                20.0,
            ),
            (size.short_row(), size.high, SHORT),
            (size.column(), size.head(), SHORT + 20.0),
        ];
        for (form, (width, height, cost)) in forms.into_iter().enumerate() {
            let form = rank * forms.len() + form;
            choices.extend(inside(
                width,
                height,
                &panel,
                wanted,
                form,
                size.cost + cost,
            ));
        }
    }
    let holes = subject.holes();
    let holes: Vec<Area> = holes
        .map(|(_, hole)| area(&arrangement.view, &hole))
        .collect();
    for choice in &mut choices {
        let mut boxes = choice.boxes.iter();
        if boxes.any(|it| holes.iter().any(|hole| hole.meets(&it.extent()))) {
            choice.cost += IN_OPENING;
        }
    }
    Label {
        name: "OUTSIDE FACE, UP".to_owned(),
        choices,
        draw: Box::new(move |canvas, choice| {
            let Some(size) = SIZES.get(choice.form / 4) else {
                return;
            };
            match choice.form % 4 {
                0 => size.draw_row(canvas, choice.at),
                1 => size.draw_column(canvas, choice.at),
                2 => size.draw_short_row(canvas, choice.at),
                _ => size.draw_head(canvas, choice.at),
            }
        }),
    }
}

/// Words in an opening are not on the panel.
const IN_OPENING: f64 = 40.0;
/// Leaving out the face costs more than any other form of it.
const SHORT: f64 = 400.0;

/// `OUTSIDE FACE ↑ UP` in the title block, about the middle of a row that ends at `right`.
pub(super) fn draw_face(canvas: &mut Canvas, middle: Spot, right: f64) {
    let room = right - middle.x;
    let [.., larger, smaller] = &SIZES;
    let size = if larger.row() <= room {
        larger
    } else {
        smaller
    };
    canvas.group(
        "face",
        "Drawn from this face, and which way is up",
        |canvas| {
            // The row's words stand below the middle of its arrow.
            size.draw_row(canvas, spot(middle.x, middle.y - size.high * 0.5));
        },
    );
}
