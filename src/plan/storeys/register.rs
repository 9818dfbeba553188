//! Puts a storey over the first one: by what both name and what both show, else it is asked.
//!
//! ```text
//!     ┌────┐
//!   ┌─┤ S2 ├──┐      grid lines of equal names, where there are any; else the move that lays the greatest length of S2's faces,
//!   │ └────┴──┤      inner walls and stairs on those of S1; of moves that lay as much, the one nearest to corner on corner
//!   └── S1 ───┘
//! ```
//!
//! - Storeys in files of their own that lie over each other as drawn, by faces both ways, stay as they are drawn; where another place
//!   lays more it is asked.
//! - A storey is turned where its letters are, or where its grid says so; where only its outline does it is asked.
//! - A second place that is nearly as good, or one that hardly anything speaks for, is asked with the figures of both.

use crate::drawing::Drawing;
use crate::findings::{Finding, Place as Where};
use crate::plan::axis::distance;
use crate::plan::storeys::overlay::{Overlay, Spot, names_both_ways, one_turn};
use crate::plan::{Storey, codes};
use geo::Coord;

/// Another place is nearly as good from this share of what is laid.
const NEARLY: f64 = 0.9;
/// Hardly anything speaks for a place that lays less than this share of the storey's outline.
const HARDLY: f64 = 0.25;
/// A storey lies over another as drawn where faces of this length lie on faces both ways, inches.
const AS_DRAWN: f64 = 24.0;
/// An outline that lays less than this share may be turned; turned, it lays at least `TURNED`.
const MAY_BE_TURNED: f64 = 0.6;
const TURNED: f64 = 0.8;

/// Where a storey stands, and what is asked about it.
struct Stand {
    spot: Spot,
    doubt: Option<String>,
}

/// Gives every storey its place over the first that has an outline.
///
/// - `drawings`: those the storeys come from.
pub(in crate::plan) fn register_storeys(
    storeys: &mut [Storey],
    drawings: &[Drawing],
) -> Vec<Finding> {
    let mut said = Vec::new();
    let mut closed = storeys.iter_mut().filter(|it| !it.outline.is_empty());
    let Some(first) = closed.next() else {
        return said;
    };
    let mut base = None;
    for own in closed {
        let overlay = |storey: &Storey| {
            let drawing = drawings.iter().find(|it| it.file == storey.file);
            Overlay::of(storey, drawing)
        };
        let base = base.get_or_insert_with(|| overlay(first));
        let stand = stand(base, &overlay(own), own.file != first.file);
        own.to_building.shift = [stand.spot.shift.x, stand.spot.shift.y];
        own.to_building.turn_deg = stand.spot.turn;
        if let Some(doubt) = stand.doubt {
            let at = beside(&own.outline);
            let place = Where {
                storey: Some(own.id.clone()),
                ..Where::default()
            };
            said.push(Finding::doubt(
                codes::STOREY_PLACE,
                place.with_at(at.x, at.y),
                format!("{} over {}: {doubt}", own.id, first.id),
                "check where it stands; to settle it, name the grid lines on both plans, or draw the storeys over each other in files of their own",
            ));
        }
    }
    said
}

/// - `is_apart`: the storeys come from files of their own.
fn stand(base: &Overlay, own: &Overlay, is_apart: bool) -> Stand {
    let turns = own.turns(base);
    let told = turns.told.unwrap_or(0.0);
    let mut by_grid = std::iter::once(told).chain(turns.all.iter().copied());
    if let Some(spot) = by_grid.find_map(|turn| own.by_grid(base, turn)) {
        return Stand { spot, doubt: None };
    }
    let as_drawn = own.spot(base, Coord { x: 0.0, y: 0.0 }, 0.0);
    let as_drawn = own.with_lines(base, &as_drawn);
    let is_over = own.laid_both_ways(base).iter().all(|it| *it >= AS_DRAWN);
    let (mut spot, mut rival) = own.best(base, told);
    if is_apart && one_turn(told, 0.0) && is_over {
        let doubt = if names_both_ways(own, base) {
            Some("grid lines of one name lie at other places".to_owned())
        } else {
            let is_better = spot.score * NEARLY > as_drawn.score;
            is_better.then(|| {
                format!(
                    "taken as drawn, it lays {:.0} in; {}",
                    as_drawn.score,
                    lays(&spot)
                )
            })
        };
        return Stand {
            spot: as_drawn,
            doubt,
        };
    }
    let mut doubt = None;
    if spot.outline < MAY_BE_TURNED * own.perimeter || !one_turn(told, 0.0) {
        // Half a turn lays a rectangle on itself: letters and grids alone say so.
        let is_other = |turn: f64| !one_turn(turn, told) && !one_turn(turn, told + 180.0);
        let others = turns.all.iter().filter(|it| is_other(**it));
        let others = others.map(|turn| own.best(base, *turn).0);
        let other = others.max_by(|p, q| p.outline.total_cmp(&q.outline));
        let is_better =
            |it: &Spot| it.outline * NEARLY > spot.outline && it.score * NEARLY > spot.score;
        if let Some(other) = other.filter(is_better) {
            doubt = Some(format!(
                "turned by {}, {}; turned by {}, {}",
                degrees(spot.turn),
                lays(&spot),
                degrees(other.turn),
                lays(&other)
            ));
            if turns.told.is_none() && other.outline >= TURNED * own.perimeter {
                (spot, rival) = (other, None);
            }
        }
    }
    if is_apart && spot.score < HARDLY * own.perimeter && own.is_over(base) {
        spot = as_drawn;
    }
    let doubt = if doubt.is_some() {
        doubt
    } else if names_both_ways(own, base) {
        Some(format!(
            "grid lines of one name lie at other places; {}",
            lays(&spot)
        ))
    } else if spot.score < HARDLY * own.perimeter {
        Some(format!(
            "hardly anything says where it stands: {}, of {:.0} in of outside faces",
            lays(&spot),
            own.perimeter
        ))
    } else {
        let rival = rival.filter(|it| it.score >= NEARLY * spot.score);
        rival.map(|rival| {
            format!(
                "two places are nearly as good: {}; {}",
                lays(&spot),
                lays(&rival)
            )
        })
    };
    Stand { spot, doubt }
}

/// A place beside a storey's lower left corner, where none of its panels stands: what is said there is said of all of it.
pub(in crate::plan) fn beside(outline: &[Coord<f64>]) -> Coord<f64> {
    const AWAY: f64 = 48.0;
    let least = |pick: fn(&Coord<f64>) -> f64| {
        let values = outline.iter().map(pick);
        values.fold(f64::INFINITY, f64::min) - AWAY
    };
    Coord {
        x: least(|p| p.x),
        y: least(|p| p.y),
    }
}

/// What a place lays on what.
fn lays(spot: &Spot) -> String {
    let [x, y] = [spot.shift.x, spot.shift.y].map(|it| (it * 100.0).round() / 100.0 + 0.0);
    format!(
        "moved by {x:.2}, {y:.2} in it lays {:.0} in of faces, inner walls and stairs on others",
        spot.score
    )
}

fn degrees(turn: f64) -> String {
    format!("{turn:.2} degrees")
}

/// True when two moves are one place.
pub(in crate::plan) fn is_one_place(p: Coord<f64>, q: Coord<f64>) -> bool {
    /// Places nearer each other than this are one, inches.
    const APART: f64 = 3.0;
    distance(p, q) <= APART
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::trial::{drawing, sides};
    use crate::plan::{GridLine, Wall};

    fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Storey {
        let outline = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)];
        storey(&outline)
    }

    fn storey(outline: &[(f64, f64)]) -> Storey {
        Storey {
            file: "trial.dxf".to_owned(),
            outline: outline.iter().copied().map(Coord::from).collect(),
            ..Storey::default()
        }
    }

    /// Move and turn of the second of two storeys, and how many doubts there are.
    fn placed(storeys: [Storey; 2], lines: &[[f64; 4]]) -> ([f64; 3], usize) {
        let mut storeys = storeys;
        let said = register_storeys(&mut storeys, &[drawing(lines, &[], &[])]);
        let place = &storeys[1].to_building;
        let [x, y] = place.shift.map(|it| (it * 100.0).round() / 100.0 + 0.0);
        ([x, y, place.turn_deg], said.len())
    }

    #[test]
    fn an_upper_storey_stands_where_most_of_its_faces_have_faces_below() {
        // An L below; above it only the right part, whose lower left corner is not the L's.
        let base = storey(&[
            (0.0, 0.0),
            (300.0, 0.0),
            (300.0, 200.0),
            (200.0, 200.0),
            (200.0, 100.0),
            (0.0, 100.0),
        ]);
        let own = rectangle(1000.0, 500.0, 100.0, 200.0);
        assert_eq!(placed([base, own], &[]), ([-800.0, -500.0, 0.0], 0));
    }

    #[test]
    fn equal_storeys_stand_corner_on_corner() {
        let storeys = [
            rectangle(0.0, 0.0, 300.0, 200.0),
            rectangle(900.0, 5.0, 300.0, 200.0),
        ];
        assert_eq!(placed(storeys, &[]), ([-900.0, -5.0, 0.0], 0));
    }

    #[test]
    fn of_two_places_as_good_stairs_grid_and_inner_walls_choose_else_it_is_asked() {
        let both = || {
            [
                rectangle(0.0, 0.0, 480.0, 336.0),
                rectangle(700.0, 0.0, 300.0, 336.0),
            ]
        };
        assert_eq!(placed(both(), &[]), ([-700.0, 0.0, 0.0], 1));
        // Stairs 200 in from the left below, 20 in from it above.
        let stairs = |x: f64| (0..13).map(move |i| x + 10.0 * f64::from(i));
        let treads = stairs(200.0).chain(stairs(720.0));
        let treads: Vec<[f64; 4]> = treads.map(|x| [x, 200.0, x, 238.0]).collect();
        assert_eq!(placed(both(), &treads), ([-520.0, 0.0, 0.0], 0));
        // Names of the grid go before faces.
        let grid = |name: &str, from: [f64; 2], to: [f64; 2]| GridLine {
            name: name.to_owned(),
            start: from.into(),
            end: to.into(),
            ..GridLine::default()
        };
        let mut named = both();
        for (storey, x, left) in [(0, 240.0, 0.0), (1, 850.0, 700.0)] {
            named[storey].grid = vec![
                grid("B", [x, -60.0], [x, 380.0]),
                grid("1", [left - 60.0, 0.0], [left + 400.0, 0.0]),
            ];
        }
        assert_eq!(placed(named, &[]), ([-610.0, 0.0, 0.0], 0));
        // Stairs that leave it in the middle; half a turn would lay more of its outline.
        let treads = stairs(200.0).chain(stairs(810.0));
        let mut lines: Vec<[f64; 4]> = treads.map(|x| [x, 200.0, x, 238.0]).collect();
        for (x, y) in [
            (200.0, 200.0),
            (200.0, 238.0),
            (810.0, 200.0),
            (810.0, 238.0),
        ] {
            lines.push([x, y, x + 120.0, y]);
        }
        assert_eq!(placed(both(), &lines), ([-610.0, 0.0, 0.0], 0));
        // A bearing wall over a bearing wall.
        let mut walled = both();
        for (storey, x) in [(0, 240.0), (1, 760.0)] {
            walled[storey].walls.push(Wall {
                start: (x, 0.0).into(),
                end: (x, 336.0).into(),
                ..Wall::default()
            });
        }
        assert_eq!(placed(walled, &[]), ([-520.0, 0.0, 0.0], 0));
    }

    #[test]
    fn storeys_of_two_files_are_laid_over_each_other() {
        let of_file = |mut own: Storey| {
            own.file = "other.dxf".to_owned();
            own
        };
        let base = || rectangle(0.0, 0.0, 480.0, 336.0);
        let own = |x: f64, y: f64| of_file(rectangle(x, y, 480.0, 336.0));
        assert_eq!(
            placed([base(), own(913.0, 47.0)], &[]),
            ([-913.0, -47.0, 0.0], 0)
        );
        // As drawn it may be another part of the house.
        let part = of_file(rectangle(180.0, 0.0, 300.0, 336.0));
        assert_eq!(placed([base(), part], &[]), ([0.0, 0.0, 0.0], 0));
        // Turned by its outline alone: asked.
        let turned = of_file(rectangle(900.0, 0.0, 336.0, 480.0));
        let (place, n_asked) = placed([base(), turned], &[]);
        assert_eq!((place[2].abs(), n_asked), (90.0, 1));
    }

    #[test]
    fn a_storey_is_turned_as_its_letters_are() {
        let lower = rectangle(0.0, 0.0, 480.0, 336.0);
        let mut upper = rectangle(900.0, 0.0, 336.0, 480.0);
        upper.file = "other.dxf".to_owned();
        let lines = sides(0.0, 0.0, 10.0, 10.0);
        let mut other = drawing(&lines, &[], &[("BEDROOM", [1000.0, 100.0])]);
        other.file = "other.dxf".to_owned();
        other.texts[0].angle = std::f64::consts::FRAC_PI_2;
        let own = drawing(&lines, &[], &[("LIVING", [100.0, 100.0])]);
        let mut storeys = [lower, upper];
        let said = register_storeys(&mut storeys, &[own, other]);
        let place = &storeys[1].to_building;
        assert!(said.is_empty());
        assert_eq!(place.turn_deg, -90.0);
        let [x, y] = place.shift;
        assert!(x.abs() < 1e-6 && (y - 1236.0).abs() < 1e-6, "{x} {y}");
    }

    #[test]
    fn a_file_drawn_from_a_corner_of_its_own_is_asked_where_stairs_stand_elsewhere() {
        let asked = |stairs: f64| {
            let lower = rectangle(0.0, 0.0, 480.0, 336.0);
            let mut upper = rectangle(0.0, 0.0, 300.0, 336.0);
            upper.file = "other.dxf".to_owned();
            let treads = |x: f64| -> Vec<[f64; 4]> {
                let all = (0..13).map(|i| x + 10.0 * f64::from(i));
                all.map(|x| [x, 200.0, x, 238.0]).collect()
            };
            let mut other = drawing(&treads(stairs), &[], &[]);
            other.file = "other.dxf".to_owned();
            let mut storeys = [lower, upper];
            let said = register_storeys(&mut storeys, &[drawing(&treads(210.0), &[], &[]), other]);
            assert_eq!(storeys[1].to_building.shift, [0.0, 0.0]);
            said.len()
        };
        assert_eq!(asked(210.0), 0);
        // 180 in further left: the storey stands at the right end.
        assert_eq!(asked(30.0), 1);
    }
}
