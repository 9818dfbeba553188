//! Places for a room's name.

use super::{Candidate, LabelBox};
use crate::documents::paper::{Area, Spot, spot};
use geo::{Centroid, Contains, LineString, Polygon};

/// Places inside a room where a text of some size fits, the nearer to the room's middle the cheaper.
///
/// - `ring`: the room on paper; `width`, `height`: of the text, mm.
pub(crate) fn room_places(ring: Vec<Spot>, width: f64, height: f64) -> Vec<(Spot, Candidate)> {
    const STEPS: i32 = 10;
    let Some(bounds) = Area::around(&ring) else {
        return Vec::new();
    };
    let polygon = Polygon::new(LineString::new(ring), Vec::new());
    let middle = polygon
        .centroid()
        .map_or_else(|| bounds.middle(), |it| it.0);
    let mut places = Vec::new();
    for row in 1..STEPS {
        for column in 1..STEPS {
            let at = spot(
                bounds.x0 + bounds.width() * f64::from(column) / f64::from(STEPS),
                bounds.y0 + bounds.height() * f64::from(row) / f64::from(STEPS),
            );
            let half = spot(width / 2.0, height / 2.0);
            let text = Area::of(at - half, at + half);
            let is_inside = text
                .corners()
                .iter()
                .all(|corner| polygon.contains(&geo::Point(*corner)));
            if is_inside {
                let away = at - middle;
                let candidate = Candidate {
                    boxes: vec![LabelBox::upright(&text)],
                    lines: Vec::new(),
                    cost: away.x.hypot(away.y) * 0.1,
                };
                places.push((at, candidate));
            }
        }
    }
    places
}
