//! Of a building that lies on itself in several ways, which way the drawing itself tells: by its handles, its rooms' names, its place.
//!
//! ```text
//!   ┌──────┬──────┐     ┌──────┬──────┐
//!   │ BED  │ BATH │     │ BATH │ BED  │    the walls fit both ways round; the rooms say which
//!   └──────┴──────┘     └──────┴──────┘
//! ```

use super::matching::match_storeys;
use super::rigid::{Laying, is_same_place, moved};
use crate::geometry::Motion;
use crate::plan::Storey;
use crate::plan::enclosure::outline::{contains, point_within};
use geo::Coord;

/// A way is told by what speaks for it when at least twice as much does as for any other, and this share of all there is.
const MOST: f64 = 0.5;

/// Of several ways the one that the drawing tells; `None` where nothing tells, or two things tell two ways.
///
/// - The drawing's own place tells only where handles and names do not: a revised drawing keeps its origin more often than not. As it
///   may have been turned on its place, the other ways are kept.
pub(super) fn told(old: &Storey, now: &Storey, ways: &[(f64, Motion)]) -> Option<Laying> {
    let by_handles = clearest(ways.iter().map(|way| same_handles(old, now, &way.1)));
    let by_rooms = clearest(ways.iter().map(|way| same_rooms(old, now, &way.1)));
    let told = match (by_handles, by_rooms) {
        (Some(a), Some(b)) => (a == b).then_some(a),
        (a, b) => a.or(b),
    };
    let is_silent = by_handles.is_none() && by_rooms.is_none();
    let in_place = || {
        let mut all = ways.iter();
        all.position(|way| is_same_place(old, &way.1, &Motion::NONE))
    };
    let own = told.or_else(|| in_place().filter(|_| is_silent))?;
    let others = ways
        .iter()
        .enumerate()
        .filter(|it| is_silent && it.0 != own);
    Some(Laying {
        share: ways[own].0,
        motion: ways[own].1,
        others: others.map(|it| it.1.1).collect(),
    })
}

/// The one share of them that says it for sure.
fn clearest(shares: impl Iterator<Item = f64>) -> Option<usize> {
    let shares: Vec<f64> = shares.collect();
    let best = (0..shares.len()).max_by(|a, b| shares[*a].total_cmp(&shares[*b]))?;
    let rival = (0..shares.len()).filter(|it| *it != best);
    let rival = rival.map(|it| shares[it]).fold(0.0, f64::max);
    (shares[best] >= MOST && shares[best] >= 2.0 * rival).then_some(best)
}

/// The share of walls and openings that are drawn by entities of the same handles as what they are taken for.
fn same_handles(old: &Storey, now: &Storey, way: &Motion) -> f64 {
    let matches = match_storeys(old, now, way);
    let walls = old.walls.iter().zip(&matches.walls);
    let walls = walls.filter_map(|(was, is)| Some((&was.sources, &now.walls[(*is)?].sources)));
    let openings = old.openings.iter().zip(&matches.openings);
    let openings =
        openings.filter_map(|(was, is)| Some((&was.sources, &now.openings[(*is)?].sources)));
    let pairs: Vec<bool> = walls
        .chain(openings)
        .map(|(was, is)| was.iter().any(|it| is.contains(it)))
        .collect();
    share(&pairs)
}

/// The share of named rooms in whose place a room of that name is.
pub(super) fn same_rooms(old: &Storey, now: &Storey, way: &Motion) -> f64 {
    let named = old.rooms.iter().filter(|it| !it.name.is_empty());
    let is_there = |at: Coord<f64>, name: &str| {
        let mut rooms = now.rooms.iter();
        rooms.any(|it| it.name == name && contains(&it.outline, at))
    };
    let found: Vec<bool> = named
        .filter_map(|room| {
            let at = point_within(&room.outline)?;
            Some(is_there(moved(way, at), &room.name))
        })
        .collect();
    share(&found)
}

#[expect(
    clippy::cast_precision_loss,
    reason = "plans have far fewer than 2^53 walls"
)]
fn share(found: &[bool]) -> f64 {
    let n = found.iter().filter(|it| **it).count();
    if found.is_empty() {
        0.0
    } else {
        n as f64 / found.len() as f64
    }
}

#[cfg(test)]
mod tests {
    use super::super::rigid::{Unlaid, estimate, laying};
    use super::*;
    use crate::plan::{Room, Wall};

    /// A house of two like rooms, a window in neither: it lies on itself both ways round.
    fn house() -> Storey {
        let corners = [(0.0, 0.0), (480.0, 0.0), (480.0, 240.0), (0.0, 240.0)];
        let wall = |i: usize, from: (f64, f64), to: (f64, f64)| Wall {
            id: format!("X{i}"),
            start: from.into(),
            end: to.into(),
            thickness: 6.0,
            sources: vec![format!("A{i}")],
            ..Wall::default()
        };
        let mut walls: Vec<Wall> = (0..4)
            .map(|i| wall(i, corners[i], corners[(i + 1) % 4]))
            .collect();
        walls.push(wall(4, (240.0, 0.0), (240.0, 240.0)));
        let room = |name: &str, x: f64| Room {
            name: name.to_owned(),
            outline: [(3.0, 3.0), (237.0, 3.0), (237.0, 237.0), (3.0, 237.0)]
                .map(|(px, py)| Coord { x: px + x, y: py })
                .to_vec(),
            ..Room::default()
        };
        Storey {
            walls,
            rooms: vec![room("BED", 0.0), room("BATH", 240.0)],
            ..Storey::default()
        }
    }

    fn bare(mut storey: Storey, is_named: bool, is_drawn: bool) -> Storey {
        for room in storey.rooms.iter_mut().filter(|_| !is_named) {
            room.name.clear();
        }
        for wall in storey.walls.iter_mut().filter(|_| !is_drawn) {
            wall.sources.clear();
        }
        storey
    }

    /// The house turned round about its middle, and moved.
    fn turned(mut storey: Storey, by: f64) -> Storey {
        let over = |p: Coord<f64>| Coord {
            x: 480.0 + by - p.x,
            y: 240.0 + by - p.y,
        };
        for wall in &mut storey.walls {
            (wall.start, wall.end) = (over(wall.start), over(wall.end));
        }
        for room in &mut storey.rooms {
            room.outline.iter_mut().for_each(|p| *p = over(*p));
        }
        storey
    }

    fn is_turned(now: &Storey) -> Result<bool, Unlaid> {
        estimate(&house(), now).map(|(_, motion)| motion.cos < 0.0)
    }

    #[test]
    fn rooms_and_handles_tell_which_way_round_and_place_where_they_do_not() {
        let turned_round = |by| turned(house(), by);
        assert_eq!(is_turned(&bare(turned_round(90.0), true, false)), Ok(true));
        assert_eq!(is_turned(&bare(turned_round(0.0), false, true)), Ok(true));
        assert_eq!(is_turned(&bare(house(), false, false)), Ok(false));
    }

    #[test]
    fn told_by_its_place_alone_the_other_way_is_kept() {
        let others = |now: &Storey| laying(&house(), now).map(|it| it.others.len());
        assert_eq!(others(&bare(house(), false, false)), Ok(1));
        assert_eq!(others(&bare(house(), true, false)), Ok(0));
        assert_eq!(others(&bare(house(), false, true)), Ok(0));
    }

    #[test]
    fn nothing_is_told_where_nothing_tells_or_two_things_tell_two_ways() {
        let moved = bare(turned(house(), 90.0), false, false);
        assert_eq!(is_turned(&moved), Err(Unlaid::TwoWays));
        // Its walls keep their handles, and its rooms were changed over.
        let mut crossed = turned(house(), 90.0);
        crossed.rooms[0].name = "BATH".to_owned();
        crossed.rooms[1].name = "BED".to_owned();
        assert_eq!(is_turned(&crossed), Err(Unlaid::TwoWays));
    }
}
