//! The wall's plates, one row each, so that joints and laps are seen.

use super::PAPER;
use super::subject::Subject;
use crate::documents::paper::style::{Dash, Fill, Pen};
use crate::documents::paper::{Area, Canvas, Form, Lettered, View, spot};
use crate::layout::PlateUse;

/// Height of a plate on paper, mm: not to scale.
const THICK: f64 = 6.0;
/// From row to row, mm.
const ROW: f64 = 17.0;

/// Draws cap, top and sole from top to bottom.
pub(super) fn draw_plates(canvas: &mut Canvas, subject: &Subject<'_>, view: &View, top: f64) {
    let note = Lettered::cap(PAPER.lettering.note);
    let rows = [
        (PlateUse::Cap, "CAP"),
        (PlateUse::Top, "TOP"),
        (PlateUse::Sole, "SOLE"),
    ];
    let foot = top + ROW * 3.0;
    // A cap that laps over the next wall reaches past the run.
    let first = subject.plates().map(|piece| piece.from).min();
    let x = view.x(first.map_or(0.0, crate::units::Length::to_inches).min(0.0)) - 6.0;
    for joint in subject.joints() {
        let x = view.x(joint.to_inches());
        canvas.line(Pen::Fine.dashed(Dash::Chain), spot(x, top), spot(x, foot));
    }
    for (row, (plate, name)) in rows.into_iter().enumerate() {
        let upper = top + ROW * f64::from(u8::try_from(row).unwrap_or_default()) + 2.0;
        let lower = upper + THICK;
        let mut section = "";
        for piece in subject.plates().filter(|piece| piece.plate == plate) {
            section = &piece.section;
            let area = Area::new(
                view.x(piece.from.to_inches()),
                upper,
                view.x(piece.to.to_inches()),
                lower,
            );
            canvas.shape(Form::Area(area), Pen::Edge.full(), Fill::White);
            let length = piece.length.feet_inches().to_string();
            let both = format!("{} {length}", piece.mark);
            let middle = spot(area.middle().x, area.middle().y);
            if note.width(&both) + 2.0 <= area.width() {
                canvas.text_centred(middle, both, note.middle());
            } else if note.width(&piece.mark) + 1.0 <= area.width() {
                canvas.text_centred(middle, &piece.mark, note.middle());
            }
        }
        canvas.text_centred(spot(x, upper + THICK / 2.0 - 2.4), name, note.bold().end());
        canvas.text_centred(spot(x, upper + THICK / 2.0 + 2.4), section, note.end());
    }
}
