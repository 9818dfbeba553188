//! The band under a plan: title, scale and remark, scale bar, north.

use super::strip_parts::bar_place;
use super::view::PlanView;
use crate::documents::paper::style::{LARGE_SHEET, Lettering};
use crate::documents::paper::symbol::{north_arrow, scale_bar, view_title};
use crate::documents::paper::{Area, Canvas, Group, Lettered, spot};

/// Height of the band, mm: on a small sheet the plan has more use for the room.
pub(crate) fn foot(lettering: &Lettering) -> f64 {
    if *lettering == LARGE_SHEET {
        34.0
    } else {
        24.0
    }
}

/// Room for the north arrow, mm.
const NORTH: f64 = 34.0;

/// A turn of less than this prints as none, degrees.
const LEAST_TURN: f64 = 0.05;

/// Draws the band.
///
/// - `field`: what the sheet has for plan and band.
/// - `more`: a second line of the remark; nothing where it is empty.
/// - `turn`: how far the plan is turned on the sheet, radians counter-clockwise; said when it is.
/// - `north_deg`: compass direction of the drawing's +y axis, degrees clockwise from north; `None` draws no arrow.
pub(crate) fn draw_foot(
    field: &Area,
    lettering: &Lettering,
    view: &PlanView,
    [title, remark, more]: [&str; 3],
    turn: f64,
    north_deg: Option<f64>,
) -> Group {
    let mut canvas = Canvas::new();
    let base = field.y1 - foot(lettering) / 2.0;
    let mut remark = format!("SCALE {}    {remark}", view.scale().name);
    let degrees = turn.to_degrees();
    if degrees.abs() >= LEAST_TURN {
        let way = if degrees > 0.0 {
            "counter-clockwise"
        } else {
            "clockwise"
        };
        remark.push_str(&format!(
            " Turned {:.1}° {way} against the architect's plan.",
            degrees.abs()
        ));
    }
    let mut right = field.x1 - 14.0;
    if let Some(north) = north_deg {
        // North lies so many degrees counter-clockwise of the drawing's +y; on the sheet the building is turned as well.
        let at = spot(right - 9.0, base + 2.0);
        north_arrow(&mut canvas, lettering, at, 8.0, -north - degrees);
        right -= NORTH;
    }
    let centre = spot(field.x0 + 12.0, base);
    let mut end = view_title(&mut canvas, lettering, centre, "1", title, &remark, right);
    if !more.is_empty() {
        let left = centre.x + lettering.title * 1.55 + lettering.note * 0.5;
        let at = spot(left, base + 1.4 + lettering.note * 2.6);
        let note = Lettered::cap(lettering.note);
        end = end.max(left + canvas.text_within(at, more, note, right - left - 1.5));
    }
    let per_inch = view.scale().per_inch();
    if let Some((left, feet)) = bar_place(end + 14.0, right, per_inch) {
        let at = spot(left, base + 3.0);
        scale_bar(&mut canvas, lettering, at, per_inch, feet);
    }
    canvas.into_group("view-title", "View title")
}

/// A storey's name as the architect wrote it, less the scale of the architect's sheet: ours is another.
pub(crate) fn without_scale(name: &str) -> &str {
    let name = name.trim();
    let Some((before, last)) = name.rsplit_once(' ') else {
        return name;
    };
    let is_ratio = last.split_once(':').is_some_and(|(one, many)| {
        let digits = |it: &str| !it.is_empty() && it.chars().all(|c| c.is_ascii_digit());
        digits(one) && digits(many)
    });
    if is_ratio { before.trim_end() } else { name }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scale_of_the_architects_sheet_is_no_part_of_a_storeys_name() {
        assert_eq!(without_scale("GROUND FLOOR  1:50"), "GROUND FLOOR");
        for name in ["GROUND FLOOR", "PLAN A:1", "1:50", ""] {
            assert_eq!(without_scale(name), name);
        }
    }
}
