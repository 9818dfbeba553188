//! Untitled storeys of one sheet, of which one grows into the shape of another.

use super::*;

/// Two storeys of these houses beside each other, each longer by so much, the second so far away.
fn sheet(houses: [&Storey; 2], longer: [f64; 2], aside: f64) -> Vec<Storey> {
    let of = |i: usize| {
        let mut storey = houses[i].clone();
        let end = storey.walls[0].end.x;
        storey.id = format!("S{}", i + 1);
        let put = |p: &mut Coord<f64>| {
            p.x += if i == 1 { aside } else { 0.0 } + if p.x > end - 1.0 { longer[i] } else { 0.0 };
        };
        for wall in &mut storey.walls {
            wall.id += if i == 1 { "U" } else { "" };
            put(&mut wall.start);
            put(&mut wall.end);
        }
        for opening in &mut storey.openings {
            opening.id += if i == 1 { "U" } else { "" };
            opening.wall += if i == 1 { "U" } else { "" };
            put(&mut opening.centre);
        }
        storey
    };
    [0, 1].map(of).to_vec()
}

/// What comes of corrections on each opening: right, wrong with a doubt, wrong without; and whether there was a doubt at all.
fn carried(old: Vec<Storey>, now: Vec<Storey>) -> ([usize; 3], bool) {
    let corrections: Vec<PlanCorrection> = old
        .iter()
        .flat_map(|it| &it.openings)
        .map(|it| correction(&it.id))
        .collect();
    let earlier = EarlierPlan { storeys: old };
    let storeys = now;
    let plan = Plan {
        storeys,
        ..Plan::default()
    };
    let mut findings = Vec::new();
    let located = carry(&earlier, &plan, &corrections, &mut findings);
    let doubts: Vec<[f64; 2]> = findings
        .iter()
        .filter(|it| it.code == codes::EITHER_WAY)
        .filter_map(|it| it.place.at)
        .collect();
    let mut n = [0; 3];
    for it in &located {
        let CorrectionAnchor::Id(id) = &it.correction.anchor else {
            panic!("{it:?}");
        };
        let mut all = plan.storeys.iter().flat_map(|it| &it.openings);
        let meant = all.find(|it| it.id == *id).unwrap().centre;
        let d = meant - it.at;
        let is_told = doubts.contains(&[it.at.x, it.at.y]);
        n[match (d.x.hypot(d.y) < 1e-6, is_told) {
            (true, _) => 0,
            (false, true) => 1,
            (false, false) => 2,
        }] += 1;
    }
    (n, !doubts.is_empty())
}

#[test]
fn storeys_that_grew_and_came_apart_go_astray_nowhere_without_a_doubt() {
    let mut numbers = Numbers(20_261_130);
    let (mut all, mut n_asked) = ([0; 3], 0);
    let houses: Vec<Storey> = (0..40).map(|_| house(&mut numbers)).collect();
    // The same house twice: nothing but number and place tells them apart.
    for house in &houses {
        for aside in [1200.0, 1500.0] {
            let old = sheet([house; 2], [0.0, -24.0], 1200.0);
            let now = sheet([house; 2], [24.0, 0.0], aside);
            let (n, is_asked) = carried(old, now);
            n_asked += usize::from(is_asked);
            all = [0, 1, 2].map(|i| all[i] + n[i]);
        }
    }
    assert_eq!(all[2], 0, "{all:?}");
    assert!(n_asked > 0);
}

#[test]
fn storeys_of_one_outline_are_told_by_what_is_within_and_nothing_is_asked() {
    let mut numbers = Numbers(20_261_131);
    let (mut all, mut n_asked) = ([0; 3], 0);
    for _ in 0..40 {
        let ground = house(&mut numbers);
        let mut upper = ground.clone();
        let spine = upper.walls[4].start.y;
        // Other partitions, and other openings.
        upper.walls.truncate(5);
        let inner = &mut upper.walls[4];
        (inner.start.y, inner.end.y) = (spine + 37.0, spine + 37.0);
        let kept: Vec<String> = upper.walls.iter().map(|it| it.id.clone()).collect();
        upper.openings.retain(|it| kept.contains(&it.wall));
        for opening in &mut upper.openings {
            let wall = upper.walls.iter().find(|it| it.id == opening.wall).unwrap();
            let d = wall.end - wall.start;
            let along = d / d.x.hypot(d.y);
            opening.near += 11.0;
            opening.centre = wall.start + along * (opening.near + opening.width / 2.0);
        }
        for aside in [1200.0, 1500.0] {
            let old = sheet([&ground, &upper], [0.0, -24.0], 1200.0);
            let now = sheet([&ground, &upper], [24.0, 0.0], aside);
            let (n, is_asked) = carried(old, now);
            n_asked += usize::from(is_asked);
            all = [0, 1, 2].map(|i| all[i] + n[i]);
        }
    }
    assert_eq!(all[1..], [0, 0], "{all:?}");
    assert_eq!(n_asked, 0);
}
