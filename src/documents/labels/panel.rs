//! The label of a panel.

use super::place::{Line, MARGIN, Place};
use super::{LabelInput, code_words, job_words, qr, wall_words};
use crate::documents::paper::fonts::wrap;
use crate::documents::paper::style::{Fill, Ink, Pen};
use crate::documents::paper::symbol::up_arrow;
use crate::documents::paper::{Canvas, Lettered, Weight};
use crate::fabrication::{FabricatedPanel, Lift};
use crate::rules::Face;
use crate::units::{Inches, Length};

/// Side of the code with its quiet zone, in millimetres of the design.
pub(super) const CODE: f64 = 50.0;

pub(super) fn draw(
    canvas: &mut Canvas,
    place: &Place,
    input: &LabelInput<'_>,
    panel: &FabricatedPanel,
) {
    let [width, height] = [place.width(), place.height()];
    let right = width - MARGIN;
    let room = right - CODE - MARGIN;
    place.write(
        canvas,
        [MARGIN, 30.0],
        room,
        &Line::new(&panel.mark, 22.0).bold(),
    );
    let assembly = input.rules.assemblies.get(panel.assembly);
    let thickness = assembly.map_or(Length::ZERO, crate::rules::Assembly::thickness);
    let revision = if panel.revision.is_empty() {
        String::new()
    } else {
        format!("Rev {}, ", panel.revision)
    };
    let name = assembly.map_or("", |it| it.name.as_str());
    let kind = format!("{revision}{} panel, assembly {name}", panel.kind_name());
    place.write(canvas, [MARGIN, 38.5], room, &Line::new(&kind, 4.0));
    let wall = wall_words(input, panel.wall);
    place.write(canvas, [MARGIN, 46.5], room, &Line::new(&wall, 4.0));
    let size = format!(
        "{} wide × {} high × {}\"",
        panel.width.feet_inches(),
        panel.height.feet_inches(),
        Inches(thickness)
    );
    place.write(canvas, [MARGIN, 55.0], room, &Line::new(&size, 5.0).bold());
    if panel.make_up > Length::ZERO {
        let words = format!("RIGHT END {} LONG: TRIM TO FIT", panel.make_up);
        place.write(canvas, [MARGIN, 59.0], room, &Line::new(&words, 3.0).bold());
    }
    let code = code_words(input, &panel.mark, &panel.revision);
    let square = place.area(right - CODE, 4.0, right, 4.0 + CODE);
    qr::draw(canvas, &code, square);
    let line = Pen::Edge.full();
    canvas.line(line, place.spot(MARGIN, 59.5), place.spot(right, 59.5));
    up_arrow(
        canvas,
        place.spot(MARGIN + 7.0, 82.0),
        place.length(20.0),
        place.length(14.0),
    );
    let face = match panel.face_up {
        Face::Outer => "OUTSIDE FACE",
        Face::Inner => "INSIDE FACE",
    };
    place.write(canvas, [23.0, 70.0], 20.0, &Line::new("UP", 7.0).bold());
    place.write(canvas, [23.0, 77.0], 40.0, &Line::new(face, 4.5).bold());
    place.write(
        canvas,
        [23.0, 82.0],
        40.0,
        &Line::new("stick on this face, arrow up", 2.8),
    );
    let lift = match panel.lift {
        Lift::Hand => "set by hand",
        Lift::Forklift => "set by forklift",
        Lift::Crane => "set by crane",
    };
    let weight = format!("{:.0} lb", panel.weight_lb);
    let erect = right - 38.0;
    place.write(
        canvas,
        [70.0, 74.5],
        erect - 74.0,
        &Line::new(&weight, 9.0).bold(),
    );
    place.write(canvas, [70.0, 81.5], erect - 74.0, &Line::new(lift, 3.4));
    place.write(canvas, [right, 66.0], 20.0, &Line::new("ERECT", 3.6).end());
    let order = panel.erection.to_string();
    let of = format!("of {}", input.fabrication.last_erection());
    place.write(
        canvas,
        [right - 15.0, 81.5],
        22.0,
        &Line::new(&order, 12.0).bold().end(),
    );
    place.write(canvas, [right, 81.5], 14.0, &Line::new(&of, 3.6).end());
    canvas.line(line, place.spot(MARGIN, 84.5), place.spot(right, 84.5));
    let cap = 2.7;
    let lines = wrap(caution(panel.lift), right - MARGIN, cap, Weight::Regular);
    let mut y = 88.6;
    for words in lines.iter().take(2) {
        place.write(canvas, [MARGIN, y], right - MARGIN, &Line::new(words, cap));
        y += 4.1;
    }
    let foot = height - 3.4;
    let job = job_words(input.facts);
    if panel.is_held() {
        canvas.fill(
            Fill::Black,
            place.area(MARGIN, foot - 4.6, right, foot + 1.6),
        );
        let words = format!("HOLD: not to be cut or shipped.  {job}");
        let lettered = Lettered::cap(place.length(3.2)).bold();
        let fits = (place.length(right - MARGIN - 4.0) / lettered.width(&words)).min(1.0);
        let lettered = Lettered::cap(place.length(3.2) * fits)
            .bold()
            .ink(Ink::White);
        canvas.text(place.spot(MARGIN + 2.0, foot), words, lettered);
    } else {
        place.write(
            canvas,
            [MARGIN, foot],
            right - MARGIN,
            &Line::new(&job, 3.4).bold(),
        );
    }
}

/// What can hurt people. Common practice, no source.
const fn caution(lift: Lift) -> &'static str {
    match lift {
        Lift::Hand => {
            "Weight is computed, not weighed. Never lift by a buck; nobody beneath or beside a raised panel; braced before it is let go."
        }
        Lift::Forklift | Lift::Crane => {
            "Weight is computed, not weighed. Both pick points, rated gear, never by a buck; nobody beneath or beside a raised panel; braced before it is let go."
        }
    }
}
