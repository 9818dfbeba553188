//! Walls over each other, against trying everything.

use super::corners::{Role, ends};
use super::pairs::{Over, Walked, walk};
use super::run::Run;
use super::search::oracle::Oracle;
use super::search::{Chain, Search, places_of_pair};
use super::stacked::Neighbours;
use super::testing::{Numbers, free_wall, rectangle};
use super::{Layout, LayoutOptions, RunPiece, codes, lay_out};
use crate::building::{Building, BuildingStorey, PanelWall};
use crate::geometry::Frame;
use crate::rules::PlantRules;
use crate::units::Length;
use geo::Coord;

/// These walls, the second over the first.
fn over(lower: PanelWall, upper: PanelWall) -> Building {
    let upper = PanelWall {
        id: "X2".to_owned(),
        storey_index: 1,
        ..upper
    };
    Building {
        storeys: vec![BuildingStorey::default(); 2],
        walls: vec![lower, upper],
        ..Building::default()
    }
}

fn alone(wall: &PanelWall) -> Building {
    Building {
        storeys: vec![BuildingStorey::default()],
        walls: vec![wall.clone()],
        ..Building::default()
    }
}

/// Rules on a grid of so many inches, with a price on joints that stand over none.
fn priced(grid: i64, within: i64, cents: i64) -> PlantRules {
    let mut rules = PlantRules {
        grid: Length::inches(grid),
        ..PlantRules::default()
    };
    rules.alignment.within = Length::inches(within);
    rules.alignment.cents = cents;
    rules
}

/// Joints of each wall, along it.
fn joints(layout: &Layout) -> Vec<Vec<Length>> {
    let walls = layout.walls.iter().map(|wall| {
        let gaps = wall.run.iter().filter_map(|piece| match piece {
            RunPiece::Gap { to, .. } => Some(wall.from + *to),
            RunPiece::Panel { .. } | RunPiece::Opening { .. } => None,
        });
        gaps.collect()
    });
    walls.collect()
}

fn cost(layout: &Layout) -> i64 {
    layout.walls.iter().map(|wall| wall.cost_cents).sum()
}

/// A small wall: to 13 ft, to two openings, some too wide for a panel, some with a narrow pier between.
fn small(numbers: &mut Numbers, length: i64, rules: &PlantRules) -> PanelWall {
    let mut openings = Vec::new();
    let mut x = 12 + numbers.below(40);
    while openings.len() < 2 {
        let most = if numbers.below(4) == 0 { 90 } else { 30 };
        let to = x + 20 + numbers.below(most);
        if to + 12 > length {
            break;
        }
        openings.push((x, to));
        x = to + 4 + numbers.below(40);
    }
    free_wall(length, &openings, rules)
}

/// The least of both walls, by trying every layout of one over every layout of the other.
fn try_both(house: &Building, rules: &PlantRules) -> Option<(i64, i64)> {
    let [lower, upper] = [0, 1].map(|wall: usize| Oracle::new(&house.walls[wall], rules).every());
    let asked = &rules.alignment;
    let pairs = lower.iter().flat_map(|(low, under)| {
        upper.iter().map(move |(high, over)| {
            let is_over = |x: &&Length| under.iter().any(|y| (**x - *y).abs() <= asked.within);
            let open = over.iter().filter(|x| !is_over(x)).count();
            let open = i64::try_from(open).unwrap() * asked.cents;
            (low.0 + high.0, low.1 + high.1 + open)
        })
    });
    pairs.min()
}

#[test]
fn two_storeys_cost_what_trying_every_layout_over_every_other_costs() {
    let mut numbers = Numbers(51);
    let (mut judged, mut dearer, mut framed) = (0, 0, 0);
    for case in 0..80 {
        let (grid, within) = [(6, 0), (5, 5), (12, 0), (12, 5)][case % 4];
        let mut rules = priced(grid, within, [700, 2_000, 6_000][case % 3]);
        rules.cost.off_module = [0, 900][case / 3 % 2];
        rules.cost.uneven_legs = [0, 350][case / 6 % 2];
        let length = 70 + numbers.below(if grid < 12 { 40 } else { 80 });
        let [lower, upper] = [0, 1].map(|_| small(&mut numbers, length, &rules));
        let house = over(lower, upper);
        let laid = lay_out(&house, &rules, &LayoutOptions::default());
        let least = try_both(&house, &rules);
        let is_laid = laid.output.walls.iter().all(|wall| !wall.run.is_empty());
        assert_eq!(is_laid, least.is_some(), "case {case}");
        let Some(least) = least else {
            continue;
        };
        assert_eq!(
            cost(&laid.output),
            least.1,
            "case {case}: {:?}",
            joints(&laid.output)
        );
        let walls = &laid.output.walls;
        assert!(walls.iter().all(|wall| wall.bound_cents == wall.cost_cents));
        let one = lay_out(&alone(&house.walls[0]), &rules, &LayoutOptions::default());
        dearer += i32::from(cost(&one.output) < walls[0].cost_cents);
        framed += least.0;
        judged += 1;
    }
    // In some the lower wall is dearer than it would be alone, for what stands on it.
    assert!(
        judged > 50 && dearer > 1 && framed > 2,
        "{judged} {dearer} {framed}"
    );
}

#[test]
fn few_places_are_enough_where_every_quarter_inch_is_one() {
    // The walk looks at few places of a fine grid; at every place of it, it finds the same.
    let mut numbers = Numbers(53);
    let mut judged = 0;
    for case in 0..16 {
        let mut rules = priced(1, 1, [700, 2_000, 6_000][case % 3]);
        rules.grid = Length::fraction(0, 1, 4);
        let length = 110 + numbers.below(80);
        let [lower, upper] = [0, 1].map(|_| small(&mut numbers, length, &rules));
        let walls = [lower, upper];
        let runs = walls.each_ref().map(|wall| {
            let none = Building::default();
            let ends = ends(&none, &rules, wall, Role::Through, Role::Through);
            Run::new(wall, &ends, &rules, None, &Neighbours::default())
        });
        let [Ok(low), Ok(high)] = runs.each_ref().map(|run| Search::plain(run, run.left.at)) else {
            continue;
        };
        if runs[0].openings.is_empty() || low.solve(&runs[0].left).is_none() {
            continue;
        }
        let found = |most: usize| {
            let both = [(&low, &runs[0].left), (&high, &runs[1].left)];
            let within = rules.alignment.within;
            let [lows, highs] = places_of_pair(both, (Length::ZERO, within), most)?;
            let n_places = lows.len().max(highs.len());
            let mut chains = [
                Chain::new(&low, (&runs[0].left, i64::MAX), lows),
                Chain::new(&high, (&runs[1].left, i64::MAX), highs),
            ];
            let [low, high] = &mut chains;
            let over = Over {
                start: Length::ZERO,
                within,
                cents: rules.alignment.cents,
            };
            let mut effort = usize::MAX;
            match walk([low, high], (over, i64::MAX), &mut effort) {
                Walked::Least { excess, .. } => Some((n_places, excess)),
                Walked::AtLeast(_) | Walked::Unproved(_) => None,
            }
        };
        let Some((all, least)) = found(100_000) else {
            continue;
        };
        let (few, same) = found(all - 1).unwrap_or((all, least));
        assert_eq!(same, least, "case {case}");
        judged += i32::from(few < all);
    }
    assert!(judged > 5, "{judged}");
}

#[test]
fn houses_of_two_storeys_are_proved_and_cost_no_more_than_storey_by_storey() {
    let mut numbers = Numbers(57);
    let (mut proved, mut judged) = (0, 0);
    for _ in 0..6 {
        let rules = priced(2, 1, 2_500);
        let (width, depth) = (150 + numbers.below(80) * 2, 150 + numbers.below(60) * 2);
        let mut house = rectangle(width, depth, &rules);
        let upper = rectangle(width, depth, &rules);
        house.storeys.push(BuildingStorey::default());
        for mut wall in upper.walls {
            wall.id = format!("Y{}", wall.id);
            wall.storey_index = 1;
            wall.left.with = wall.left.with.map(|with| with + 4);
            wall.right.with = wall.right.with.map(|with| with + 4);
            house.walls.push(wall);
        }
        for wall in &mut house.walls {
            let length = wall.face_length.steps_of(Length::inches(1));
            let from = 30 + numbers.below(length - 110);
            super::testing::add_window(wall, from, from + 24 + numbers.below(24));
        }
        let laid = lay_out(&house, &rules, &LayoutOptions::default());
        let bound: i64 = laid.output.walls.iter().map(|wall| wall.bound_cents).sum();
        let said = laid.findings.iter().any(|it| it.code == codes::STOREYS_GAP);
        assert_eq!(said, bound < cost(&laid.output));
        proved += i32::from(!said);
        // The lower storey alone, then the upper one over just these joints.
        let mut by_storey = LayoutOptions::default();
        let ground = Building {
            walls: house.walls[..4].to_vec(),
            ..house.clone()
        };
        let first = lay_out(&ground, &rules, &LayoutOptions::default()).output;
        for (wall, joints) in ground.walls.iter().zip(joints(&first)) {
            by_storey.walls.entry(wall.id.clone()).or_default().joints = joints;
        }
        let second = lay_out(&house, &rules, &by_storey).output;
        assert!(cost(&laid.output) <= cost(&second));
        judged += i32::from(cost(&laid.output) < cost(&second));
    }
    assert!(proved == 6 && judged > 0, "{proved} {judged}");
}

#[test]
fn too_much_to_walk_is_a_gap_that_is_said() {
    // Two walls of 80 ft with windows all along, at every sixteenth: too many places.
    let mut rules = priced(1, 1, 4_000);
    rules.grid = Length::fraction(0, 1, 16);
    let windows = |first: i64| (0..9).map(move |i| (first + i * 97, first + i * 97 + 37));
    let wall = |first: i64| free_wall(960, &windows(first).collect::<Vec<_>>(), &rules);
    let house = over(wall(31), wall(67));
    let laid = lay_out(&house, &rules, &LayoutOptions::default());
    let bound: i64 = laid.output.walls.iter().map(|wall| wall.bound_cents).sum();
    assert!(bound < cost(&laid.output));
    let said = laid
        .findings
        .iter()
        .find(|it| it.code == codes::STOREYS_GAP)
        .unwrap();
    let dollars = |cents: i64| format!("{}.{:02}", cents / 100, cents % 100);
    assert!(said.message.contains(&dollars(bound)), "{}", said.message);
    // No bound lies below what each wall costs alone.
    let free = house
        .walls
        .iter()
        .map(|wall| lay_out(&alone(wall), &rules, &LayoutOptions::default()));
    assert!(bound >= free.map(|it| cost(&it.output)).sum());
}

#[test]
fn reversing_or_turning_both_storeys_costs_the_same() {
    let mut numbers = Numbers(59);
    let mut rules = priced(1, 1, 2_000);
    // So that joints counted from the other end lie on the same grid.
    rules.joints.gap = Length::ZERO;
    for _ in 0..12 {
        let length = 90 + numbers.below(90);
        let [lower, upper] = [0, 1].map(|_| small(&mut numbers, length, &rules));
        let house = over(lower, upper);
        let sum = |house: &Building| {
            let walls = lay_out(house, &rules, &LayoutOptions::default())
                .output
                .walls;
            walls.iter().fold([0, 0], |sum, wall| {
                [sum[0] + wall.cost_cents, sum[1] + wall.bound_cents]
            })
        };
        let (mut reversed, mut turned) = (house.clone(), house.clone());
        for wall in &mut reversed.walls {
            wall.openings.reverse();
            for hole in &mut wall.openings {
                let length = wall.face_length;
                (hole.from, hole.to) = (length - hole.to, length - hole.from);
            }
        }
        let to = Coord { x: 3.0, y: -4.0 };
        for wall in &mut turned.walls {
            wall.frame = Frame::from_points(Coord { x: 0.0, y: 0.0 }, to).unwrap();
        }
        assert_eq!(sum(&house), sum(&reversed));
        assert_eq!(sum(&house), sum(&turned));
    }
}
