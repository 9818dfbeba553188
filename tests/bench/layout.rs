//! How long layouts take: `cargo bench --bench layout`. Figures, no verdict: no test depends on a clock.
#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

use geo::Coord;
use panelwright::building::{
    Building, BuildingStorey, Corner, CornerKind, HeightStack, PanelWall, RoughOpening, SizeOrigin,
    WallProfile,
};
use panelwright::geometry::Frame;
use panelwright::layout::{LayoutOptions, WallWishes, lay_out};
use panelwright::plan::OpeningKind;
use panelwright::rules::{HeaderMember, HeldFace, PlantRules};
use panelwright::units::Length;
use std::time::Instant;

fn main() {
    let rules = PlantRules::default();
    let best = LayoutOptions::default();
    let five = LayoutOptions {
        alternatives: 5,
        ..LayoutOptions::default()
    };
    let wall = Building {
        storeys: vec![BuildingStorey::default()],
        walls: vec![free_wall(720, &rules)],
        ..Building::default()
    };
    time("60 ft wall, 10 openings, 1/16 in", &wall, &rules, &best);
    time(
        "the same and its five next best layouts",
        &wall,
        &rules,
        &five,
    );
    naive(&wall, &rules);
    // Two storeys, every joint of the upper one that stands over none at a price.
    let mut priced = PlantRules::default();
    priced.alignment.cents = 2_000;
    for houses in [1, 5] {
        let building = two_storeys(houses, &rules);
        let name = format!("{houses} houses of two storeys of four walls of 60 ft");
        time(&name, &building, &rules, &best);
        time(
            &format!("{name}, joints over joints"),
            &building,
            &priced,
            &best,
        );
    }
    for rings in [1, 5, 10, 15, 20] {
        let building = houses(rings, &rules);
        time(
            &format!("{rings} houses of four walls of 60 ft"),
            &building,
            &rules,
            &best,
        );
    }
}

/// What the best layout saves against a joint every 4 ft from the left, wherever the rules let one be.
fn naive(building: &Building, rules: &PlantRules) {
    let chop = |wall: &PanelWall| WallWishes {
        joints: (1..100)
            .map(|i| Length::feet(4) * i)
            .filter(|joint| *joint < wall.face_length)
            .collect(),
        ..WallWishes::default()
    };
    let walls = building.walls.iter();
    let options = LayoutOptions {
        walls: walls.map(|wall| (wall.id.clone(), chop(wall))).collect(),
        ..LayoutOptions::default()
    };
    let figures = |options: &LayoutOptions| {
        let layout = lay_out(building, rules, options).output;
        let cents: i64 = layout.walls.iter().map(|wall| wall.cost_cents).sum();
        (layout.panels.len(), cents)
    };
    let ((best_panels, best), (chop_panels, chopped)) =
        (figures(&LayoutOptions::default()), figures(&options));
    println!(
        "best {best_panels} panels, {best} cents; a joint every 4 ft: {chop_panels} panels, {chopped} cents; ratio {}.{:02}",
        chopped / best.max(1),
        chopped * 100 / best.max(1) % 100
    );
}

fn time(name: &str, building: &Building, rules: &PlantRules, options: &LayoutOptions) {
    let mut least = f64::MAX;
    let (mut panels, mut cost, mut bound): (usize, i64, i64) = (0, 0, 0);
    for _ in 0..5 {
        let start = Instant::now();
        let layout = lay_out(building, rules, options).output;
        least = least.min(start.elapsed().as_secs_f64() * 1000.0);
        panels = layout.panels.len();
        cost = layout.walls.iter().map(|wall| wall.cost_cents).sum();
        bound = layout.walls.iter().map(|wall| wall.bound_cents).sum();
    }
    println!(
        "{name}: {panels} panels, {least:.1} ms, {cost} cents, proved but for {}",
        cost - bound
    );
}

/// Houses side by side, each a square of 60 ft with ten openings in each wall.
fn houses(count: usize, rules: &PlantRules) -> Building {
    let mut walls = Vec::new();
    for house in 0..count {
        for side in 0..4 {
            let corner = |with: usize| Corner {
                with: Some(house * 4 + with % 4),
                kind: CornerKind::Outside,
                turn_deg: 90.0,
            };
            walls.push(PanelWall {
                left: corner(side + 3),
                right: corner(side + 1),
                ..free_wall(720, rules)
            });
        }
    }
    Building {
        storeys: vec![BuildingStorey::default()],
        walls,
        ..Building::default()
    }
}

/// Houses of two storeys; upper openings stand two feet aside.
fn two_storeys(count: usize, rules: &PlantRules) -> Building {
    let mut building = houses(count, rules);
    let n = building.walls.len();
    let square = [(0.0, 0.0), (720.0, 0.0), (720.0, 720.0), (0.0, 720.0)];
    let heading = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];
    for (i, wall) in building.walls.iter_mut().enumerate() {
        let (x, y) = square[i % 4];
        let shift = 1_000.0 * f64::from(u32::try_from(i / 4).unwrap_or_default());
        wall.frame.origin = Coord { x: x + shift, y };
        let (x, y) = heading[i % 4];
        wall.frame.along = Coord { x, y };
        wall.id = format!("X{i}");
    }
    let aside = Length::inches(24);
    for i in 0..n {
        let mut upper = building.walls[i].clone();
        upper.id = format!("Y{i}");
        upper.storey_index = 1;
        for corner in [&mut upper.left, &mut upper.right] {
            corner.with = corner.with.map(|with| with + n);
        }
        for hole in &mut upper.openings {
            (hole.from, hole.to) = (hole.from + aside, hole.to + aside);
        }
        building.walls.push(upper);
    }
    building.storeys.push(BuildingStorey::default());
    building
}

fn free_wall(length: i64, rules: &PlantRules) -> PanelWall {
    let openings = (0..10).map(|i| {
        let from = Length::inches(24 + i * 69);
        let to = from + Length::fraction(30 + 3 * (i % 3), 1, 2);
        RoughOpening {
            id: format!("O{i}"),
            kind: OpeningKind::Window,
            from,
            to,
            sill: Length::inches(36),
            head: Length::inches(80),
            unit: [to - from, Length::inches(44)],
            height_origin: SizeOrigin::Plan,
            head_origin: SizeOrigin::Plan,
            tag: None,
            hinge: None,
            header: HeaderMember::None,
            jacks: 0,
            header_from_job: false,
            drawn: None,
            moved_over: None,
            header_rule: String::new(),
            on_hold: false,
            sources: Vec::new(),
        }
    });
    PanelWall {
        id: "X1".to_owned(),
        name: "X1".to_owned(),
        storey: "S1".to_owned(),
        storey_index: 0,
        frame: Frame {
            origin: Coord { x: 0.0, y: 0.0 },
            along: Coord { x: 1.0, y: 0.0 },
        },
        face_length: Length::inches(length),
        assembly: rules
            .assemblies
            .iter()
            .position(|a| a.name == "6-1/2")
            .unwrap_or_default(),
        stack: HeightStack {
            panel_bottom: Length::ZERO,
            panel_top: Length::inches(108),
            cap_top: Length::fraction(109, 1, 2),
        },
        profile: WallProfile::level(Length::ZERO, Length::inches(108), Length::inches(length)),
        left: Corner::default(),
        right: Corner::default(),
        openings: openings.collect(),
        tees: Vec::new(),
        bears: true,
        jacks_above: Vec::new(),
        held: HeldFace::Outside,
        drawn_thickness: 6.5,
        skin_drop: Length::ZERO,
        stops: [Length::ZERO; 2],
        role: panelwright::building::WallRole::Exterior,
        bearing: String::new(),
        on_hold: false,
        sources: Vec::new(),
    }
}
