//! Walls that moved farther than a wall may to be known by its place: found again by what they meet, never taken for another.

use super::*;
use rigid::estimate;

const FEET: f64 = 12.0;

/// A house with every point put elsewhere; ids begin with an N, and the n-th stays the n-th.
fn put(old: &Storey, to: impl Fn(Coord<f64>) -> Coord<f64>) -> Storey {
    let mut now = old.clone();
    for wall in &mut now.walls {
        (wall.start, wall.end) = (to(wall.start), to(wall.end));
        wall.id = format!("N{}", wall.id);
    }
    for opening in &mut now.openings {
        opening.centre = to(opening.centre);
        opening.id = format!("N{}", opening.id);
        opening.wall = format!("N{}", opening.wall);
        let wall = now.walls.iter().find(|it| it.id == opening.wall).unwrap();
        let d = opening.centre - wall.start;
        opening.near = d.x.hypot(d.y) - opening.width / 2.0;
    }
    now
}

/// One wall and its openings by some inches along x.
fn slide(old: &Storey, wall: usize, by: f64) -> Storey {
    let mut now = put(old, |p| p);
    let id = now.walls[wall].id.clone();
    now.walls[wall].start.x += by;
    now.walls[wall].end.x += by;
    for opening in now.openings.iter_mut().filter(|it| it.wall == id) {
        opening.centre.x += by;
    }
    now
}

fn partitions(storey: &Storey) -> Vec<usize> {
    let walls = storey.walls.iter().enumerate();
    let upright = walls.filter(|(_, it)| !it.is_exterior && it.start.x > 1.0);
    upright.map(|(i, _)| i).collect()
}

/// How many walls and openings are found again, not found, and taken for another.
fn counts(old: &Storey, now: &Storey) -> [usize; 3] {
    let Ok((_, rigid)) = estimate(old, now) else {
        return [0, old.walls.len() + old.openings.len(), 0];
    };
    let it = match_storeys(old, now, &rigid);
    let mut counts = [0; 3];
    let mut count = |was: &str, now: Option<&str>| {
        let place = now.map_or(1, |now| if now == format!("N{was}") { 0 } else { 2 });
        counts[place] += 1;
    };
    for (was, to) in old.walls.iter().zip(&it.walls) {
        count(&was.id, to.map(|to| now.walls[to].id.as_str()));
    }
    for (was, to) in old.openings.iter().zip(&it.openings) {
        count(&was.id, to.map(|to| now.openings[to].id.as_str()));
    }
    counts
}

fn sum(all: impl Iterator<Item = [usize; 3]>) -> [usize; 3] {
    all.fold([0; 3], |a, b| [0, 1, 2].map(|i| a[i] + b[i]))
}

fn houses() -> Vec<Storey> {
    let mut numbers = Numbers(20_261_128);
    (0..60).map(|_| house(&mut numbers)).collect()
}

#[test]
fn a_partition_that_moved_4_to_10_ft_between_the_same_walls_is_the_same_wall() {
    for feet in [4.0, 6.0, 10.0] {
        let mut n_moved = 0;
        let all = houses();
        for old in &all {
            for wall in partitions(old) {
                let x = old.walls[wall].start.x;
                let next = |it: &f64| *it > x + 1.0;
                let walls = old.walls.iter().map(|it| it.start.x);
                let free = walls.filter(next).fold(f64::INFINITY, f64::min) - x;
                // A wall that passes another is another wall.
                if free < feet * FEET + 12.0 {
                    continue;
                }
                let now = slide(old, wall, feet * FEET);
                let found = counts(old, &now);
                assert_eq!(found[1..], [0, 0], "{feet} ft, {}", old.walls[wall].id);
                n_moved += 1;
            }
        }
        assert!(n_moved > 20, "{n_moved} at {feet} ft");
    }
}

#[test]
fn a_wall_that_passed_its_neighbour_is_never_taken_for_another() {
    let all = houses();
    let moved = all.iter().flat_map(|old| {
        let walls = partitions(old).into_iter();
        walls.flat_map(move |wall| {
            [-120.0, -72.0, 72.0, 120.0].map(|by| counts(old, &slide(old, wall, by)))
        })
    });
    let [kept, lost, astray] = sum(moved);
    assert_eq!(astray, 0, "{kept} kept, {lost} lost");
    assert!(kept > 60 * lost, "{kept} kept, {lost} lost");
}

#[test]
fn of_a_house_stretched_in_the_middle_or_at_an_end_nothing_goes_astray() {
    for (share, feet) in [
        (0.5, 8.0),
        (0.6, 8.0),
        (0.6, 4.0),
        (0.95, 6.0),
        (0.95, 10.0),
    ] {
        let all = houses();
        let [kept, lost, astray] = sum(all.iter().map(|old| {
            let cut = share * old.walls[0].end.x;
            let to = |p: Coord<f64>| Coord {
                x: if p.x > cut { p.x + feet * FEET } else { p.x },
                ..p
            };
            counts(old, &put(old, to))
        }));
        let said = format!("at {share} by {feet} ft: {kept} kept, {lost} lost, {astray} astray");
        assert_eq!(astray, 0, "{said}");
        assert!(kept * 100 >= (kept + lost) * 99, "{said}");
    }
}

#[test]
fn a_wall_taken_out_is_not_one_put_in_with_other_openings_or_beyond_a_third() {
    let mut n_tried = 0;
    for old in &houses() {
        for wall in partitions(old) {
            let mut now = put(old, |p| p);
            let gone = now.walls[wall].clone();
            now.openings.retain(|it| it.wall != gone.id);
            let crosses = |it: &&Wall| {
                let is_beside = it.start.y.min(it.end.y) == gone.start.y.min(gone.end.y);
                is_beside && !it.is_exterior && it.start.x == it.end.x && it.id != gone.id
            };
            let beyond = now.walls.iter().filter(crosses);
            let beyond = beyond.map(|it| it.start.x).fold(0.0, f64::max);
            if beyond <= gone.start.x {
                continue;
            }
            let wall = &mut now.walls[wall];
            wall.id = "NEW".to_owned();
            wall.start.x = beyond + 40.0;
            wall.end.x = beyond + 40.0;
            assert_eq!(counts(old, &now)[2], 0, "{}", gone.id);
            n_tried += 1;
        }
    }
    assert!(n_tried > 30, "{n_tried}");
}

#[test]
fn what_is_said_of_a_place_beyond_the_walls_goes_with_its_storey() {
    let old = house(&mut Numbers(29));
    let over = |p: Coord<f64>| Coord {
        x: 1000.0 - p.y,
        y: 40.0 + p.x,
    };
    let plan = Plan {
        storeys: vec![put(&old, over)],
        ..Plan::default()
    };
    let earlier = EarlierPlan { storeys: vec![old] };
    let said = |intent| PlanCorrection {
        anchor: CorrectionAnchor::Point {
            at: [-90.0, -70.0],
            storey: None,
        },
        intent,
        ..correction("")
    };
    let corrections = [
        said(CorrectionIntent::Interior),
        said(CorrectionIntent::NotAWall),
    ];
    let mut findings = Vec::new();
    let located = carry(&earlier, &plan, &corrections, &mut findings);
    assert_eq!(located.len(), 1, "{findings:?}");
    let d = located[0].at - over(Coord { x: -90.0, y: -70.0 });
    assert!(d.x.hypot(d.y) < 1e-6);
}
