//! The wall's plates, one row each, so that joints and laps are seen.

use super::subject::Subject;
use crate::documents::paper::dimension::{DimensionString, Side, printed_pieces, short_string};
use crate::documents::paper::style::{Dash, Fill, Pen};
use crate::documents::paper::{Area, Canvas, Form, Lettered, View, spot};
use crate::fabrication::WallPlate;
use crate::layout::PlateUse;

/// Height of a plate on paper, mm: not to scale.
const THICK: f64 = 6.0;
/// From row to row, mm.
const ROW: f64 = 16.0;

/// Draws cap, top and sole from top to bottom; returns what the notes say of plates too short for their marks, and of joints
/// too near those of panels for the distance.
pub(super) fn draw_plates(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
    top: f64,
) -> Vec<String> {
    let note = Lettered::cap(subject.lettering().note);
    let rows = [
        (PlateUse::Cap, "CAP"),
        (PlateUse::Top, "TOP"),
        (PlateUse::Sole, "SOLE"),
    ];
    if subject.is_left_out() {
        return Vec::new();
    }
    let (mut short, mut near) = (Vec::new(), Vec::new());
    let foot = top + ROW * 3.0;
    let x = view.x(subject.leftmost().to_inches()) - 6.0;
    for joint in subject.joints() {
        let x = view.x(joint.to_inches());
        canvas.line(Pen::Fine.dashed(Dash::Chain), spot(x, top), spot(x, foot));
    }
    for (row, (plate, name)) in rows.into_iter().enumerate() {
        let upper = top + ROW * f64::from(u8::try_from(row).unwrap_or_default()) + 2.0;
        let lower = upper + THICK;
        let mut section = "";
        let right = subject.plates().filter(|piece| piece.plate == plate);
        let right = right.map(|piece| piece.to).max();
        for piece in subject.plates().filter(|piece| piece.plate == plate) {
            section = &piece.section;
            let Some([from, to]) = subject.shown(piece.from, piece.to) else {
                continue;
            };
            let area = Area::new(
                view.x(from.to_inches()),
                upper,
                view.x(to.to_inches()),
                lower,
            );
            canvas.shape(Form::Area(area), Pen::Edge.full(), Fill::White);
            cut_out(canvas, subject, view, piece, [upper, lower]);
            let mut length = piece.length.feet_inches().to_string();
            // Under a slope it is drawn as it lies in the wall: shorter.
            if piece.bottom != piece.bottom_to {
                length.push_str(" ON SLOPE");
            }
            let both = format!("{} {length}", piece.mark);
            let lettered = if piece.cut_out.is_empty() {
                note.middle()
            } else {
                note.middle().masked()
            };
            let middle = spot(area.middle().x, area.middle().y);
            if note.width(&both) + 2.0 <= area.width() {
                canvas.text_centred(middle, both, lettered);
            } else if note.width(&piece.mark) + 1.0 <= area.width() {
                canvas.text_centred(middle, &piece.mark, lettered);
            } else if Some(piece.to) == right && to == piece.to {
                // Nothing stands right of the last one.
                canvas.text_centred(spot(area.x1 + 1.5, middle.y), both, note);
            } else {
                short.push(format!("{both} at {}", (from - subject.from).feet_inches()));
            }
        }
        near.extend(distances(canvas, subject, view, (plate, name), lower));
        canvas.text_centred(spot(x, upper + THICK / 2.0 - 2.4), name, note.bold().end());
        canvas.text_centred(spot(x, upper + THICK / 2.0 + 2.4), section, note.end());
    }
    let told = [
        (
            "Plates",
            "too short for their marks, with where each begins",
            short,
        ),
        (
            "Joints of plates",
            "too near a panel joint for the distance, with where each lies",
            near,
        ),
    ];
    let told = told.into_iter().filter(|it| !it.2.is_empty());
    told.map(|(what, why, list)| {
        let key = subject.key();
        format!(
            "{what} of {key} {why} from its left end: {}.",
            list.join("; ")
        )
    })
    .collect()
}

/// What the site cuts out of a plate: crossed.
fn cut_out(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
    piece: &WallPlate,
    [upper, lower]: [f64; 2],
) {
    for [from, to] in &piece.cut_out {
        let Some(ends) = subject.shown(*from, *to) else {
            continue;
        };
        let [x0, x1] = ends.map(|it| view.x(it.to_inches()));
        canvas.rect(
            Pen::Thin.dashed(Dash::Phantom),
            Area::new(x0, upper, x1, lower),
        );
        for [from, to] in [[upper, lower], [lower, upper]] {
            canvas.line(Pen::Thin.full(), spot(x0, from), spot(x1, to));
        }
    }
}

/// Under each joint of a plate, how far it is from the nearest joint of panels; returns those that have no room for it.
fn distances(
    canvas: &mut Canvas,
    subject: &Subject<'_>,
    view: &View,
    (plate, name): (PlateUse, &str),
    lower: f64,
) -> Vec<String> {
    let mut short = Vec::new();
    let joints = subject.joints();
    let pieces: Vec<_> = subject.plates().filter(|it| it.plate == plate).collect();
    for piece in &pieces {
        let at = piece.to;
        let follows = pieces.iter().any(|other| other.from == at)
            && (subject.from..=subject.to).contains(&at);
        let near = joints.iter().min_by_key(|joint| (**joint - at).abs());
        let (true, Some(near)) = (follows, near.copied()) else {
            continue;
        };
        let ends = [at.min(near), at.max(near)];
        let words = printed_pieces(&ends);
        let places = ends.map(|end| view.x(end.to_inches()));
        let needed = Lettered::cap(subject.lettering().note)
            .width(words.first().map_or("", String::as_str))
            + 3.0;
        if needed <= places[1] - places[0] {
            short_string(
                canvas,
                &DimensionString {
                    side: Side::Below,
                    edge: lower,
                    ends: &places,
                    words: &words,
                    lane: 6.5,
                    from: 1.5,
                    cap: subject.lettering().note,
                },
            );
        } else if let Some(distance) = words.first() {
            let place = (at - subject.from).feet_inches();
            short.push(format!("{name} {distance} at {place}"));
        }
    }
    short
}
