//! Prints random walls with the layout that the program gives them, for a judge that knows neither: `tests/outside/optimum.py`.
//!
//! ```text
//!   layout_problems SEED COUNT SIXTEENTHS walls|rings|issued|storeys|houses    one building a line, as JSON; whole nanometres
//! ```
//!
//! `issued` are walls of which an earlier layout was issued, and one window has moved since; `storeys` a wall over a wall; `houses` a
//! rectangle over a rectangle. On part of all of them, in random mixture: last panels left long, outer skins that drop, jacks of openings
//! above, boards whose strength may run either way, and panels with one skin.
//!
//! Only what the library shows to everybody is used, and only rules, walls and the answer are printed: no table that the search
//! made for itself.
#![expect(clippy::print_stdout, reason = "it prints problems")]

use geo::Coord;
use panelwright::building::{
    Building, BuildingStorey, Corner, CornerKind, HeightStack, JacksAbove, PanelWall, RoughOpening,
    SizeOrigin, Tee, WallProfile,
};
use panelwright::geometry::{Frame, ShopPoint, ShopRect};
use panelwright::layout::{
    IssuedEdge, IssuedPanel, LayoutOptions, RunPiece, WallEnd, WallWishes, lay_out,
};
use panelwright::plan::OpeningKind;
use panelwright::rules::{
    HeaderMember, HeldFace, PlantRules, StrengthAxis, UnderJacks, WallAxis, read_prices,
};
use panelwright::units::Length;
use serde_json::{Value, json};
use std::collections::BTreeMap;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let number = |i: usize, other: i64| words.get(i).and_then(|w| w.parse().ok()).unwrap_or(other);
    let (seed, count, step) = (number(0, 1), number(1, 10), number(2, 32));
    let kind = words.get(3).map_or("walls", String::as_str);
    let mut numbers = Numbers(seed.unsigned_abs());
    let mut mixed = Numbers(seed.unsigned_abs() + 1_000_000);
    for case in 0..count {
        let mut rules = variant(case % 8, step);
        rules.grid = Length::fraction(0, step, 16);
        let length = 40 + numbers.below(if step < 32 { 200 } else { 500 });
        let mut building = match kind {
            "rings" | "houses" => {
                ring(&mut numbers, &rules, if kind == "rings" { case } else { 0 })
            }
            _ => alone(vec![wall(&mut numbers, &rules, length, step)]),
        };
        if matches!(kind, "storeys" | "houses") {
            rules.alignment.cents = [400, 2_000, 6_000][index(case % 3)];
            rules.alignment.within = Length::inches([1, 2, 5][index(case / 3 % 3)]);
            second_storey(&mut numbers, &rules, &mut building);
        }
        if building.walls.len() > 2 {
            for wall in &mut building.walls {
                wall.tees.truncate(1);
            }
        }
        mix(&mut mixed, &mut rules, &mut building);
        if kind != "issued" && case % 3 == 0 {
            // A foundation that steps down.
            for wall in &mut building.walls {
                let at = mixed.below(wall.face_length.steps_of(Length::inches(1)) * 3 / 4);
                let step = ShopPoint::new(Length::inches(at), Length::inches(-16));
                wall.profile.base.push(step);
            }
        }
        let is_bare = building.walls.len() > 1 || step < 32;
        let mut options = wishes(&mut numbers, &building, is_bare);
        if kind == "issued" {
            rules.revisions.issued_panel = [0, 900, 25_000][index(case % 3)];
            rules.revisions.locked_panel = [4_000, 150_000][index(case % 2)];
            revise(&mut numbers, &rules, &mut building, &mut options);
        }
        println!("{}", problem(&building, &rules, &options));
    }
}

fn index(number: i64) -> usize {
    usize::try_from(number).unwrap_or_default()
}

/// What some plants and jobs ask beside the rest, each on a quarter of the buildings or more.
fn mix(numbers: &mut Numbers, rules: &mut PlantRules, building: &mut Building) {
    if numbers.below(3) == 0 {
        rules.joints.make_up = Length::fraction(numbers.below(4), 1, 2);
    }
    if numbers.below(4) == 0 {
        for line in &mut rules.lines {
            line.wall_axis = WallAxis::Either;
        }
    }
    if numbers.below(3) == 0 {
        let drop = [[0, 1], [1, 1], [9, 0], [20, 0]][index(numbers.below(4))];
        for wall in &mut building.walls {
            wall.skin_drop = Length::fraction(drop[0], drop[1], 2);
        }
    }
    if numbers.below(6) == 0 {
        // Panels with one skin: their joints have a spline of their own.
        for assembly in &mut rules.assemblies {
            assembly.inner.thickness = Length::ZERO;
        }
    }
    if numbers.below(2) == 0 {
        return;
    }
    if numbers.below(4) == 0 {
        rules.alignment.under_jacks = UnderJacks::Any;
    }
    for wall in &mut building.walls {
        let length = wall.face_length.steps_of(Length::inches(1));
        let packs = (0..2 + numbers.below(4)).map(|i| {
            let from = Length::fraction(numbers.below(length), numbers.below(8), 8);
            JacksAbove {
                opening: format!("A{i}"),
                from,
                to: from + Length::fraction(3, numbers.below(4) * 6, 4),
            }
        });
        wall.jacks_above = packs.collect();
        wall.jacks_above.sort_by_key(|pack| pack.from);
    }
}

/// The same walls once more, with openings of their own; a single wall shifted by some steps of the grid.
fn second_storey(numbers: &mut Numbers, rules: &PlantRules, building: &mut Building) {
    let count = building.walls.len();
    let mut shift = 0.0;
    let mut uppers = Vec::new();
    for lower in &building.walls {
        let length = lower.face_length.steps_of(Length::inches(1));
        if count == 1 && numbers.below(3) == 0 {
            for _ in 0..numbers.below(20) {
                shift += 2.0;
            }
        }
        let other = |corner: &Corner| Corner {
            with: corner.with.map(|with| with + count),
            ..*corner
        };
        uppers.push(PanelWall {
            id: format!("Y{}", &lower.id[1..]),
            storey_index: 1,
            frame: Frame {
                origin: Coord {
                    x: lower.frame.origin.x + shift,
                    ..lower.frame.origin
                },
                ..lower.frame
            },
            left: other(&lower.left),
            right: other(&lower.right),
            ..wall(numbers, rules, length, 32)
        });
    }
    building.storeys.push(BuildingStorey::default());
    building.walls.extend(uppers);
}

/// Issues a layout of the wall that need not be its best, then moves one opening, and now and then says that a panel is cut or was
/// of another assembly.
fn revise(
    numbers: &mut Numbers,
    rules: &PlantRules,
    building: &mut Building,
    options: &mut LayoutOptions,
) {
    let wall = &mut building.walls[0];
    let length = wall.face_length.steps_of(Length::inches(1));
    let from = Length::inches(numbers.below(length));
    let clear = WallWishes {
        keep_clear: vec![[from, from + Length::inches(30)]],
        ..WallWishes::default()
    };
    let before = LayoutOptions {
        walls: BTreeMap::from([(wall.id.clone(), clear)]),
        ..LayoutOptions::default()
    };
    let laid = lay_out(&alone(vec![wall.clone()]), rules, &before).output;
    let run = &laid.walls[0].run;
    let mut issued = Vec::new();
    for (i, piece) in run.iter().enumerate() {
        let RunPiece::Panel { from, to, .. } = piece else {
            continue;
        };
        let edge = |piece: Option<&RunPiece>| match piece {
            None => IssuedEdge::End,
            Some(RunPiece::Opening { .. }) => IssuedEdge::Jamb,
            Some(RunPiece::Gap { .. } | RunPiece::Panel { .. }) => IssuedEdge::Joint,
        };
        let before = i.checked_sub(1).and_then(|i| run.get(i));
        let holes = wall.openings.iter();
        let holes = holes.filter(|hole| hole.from >= *from && hole.to <= *to);
        let mut rect = wall.profile.bounds(*from, *to);
        rect.y0 -= wall.skin_drop;
        issued.push(IssuedPanel {
            rect,
            edges: [edge(before), edge(run.get(i + 1))],
            assembly: match numbers.below(8) {
                0 => "another".to_owned(),
                _ => rules.assemblies[wall.assembly].name.clone(),
            },
            openings: holes
                .map(|hole| ShopRect::new(hole.from, hole.sill, hole.to, hole.head))
                .collect(),
            is_locked: numbers.below(3) == 0,
        });
    }
    options.walls.entry(wall.id.clone()).or_default().issued = issued;
    let count = i64::try_from(wall.openings.len())
        .unwrap_or_default()
        .max(1);
    let by = Length::inches(numbers.below(5) - 2);
    if let Some(hole) = wall.openings.get_mut(index(numbers.below(count))) {
        (hole.from, hole.to) = (hole.from + by, hole.to + by);
    }
}

/// Small whole numbers that look random and are always the same.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, n: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005);
        self.0 = self.0.wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(self.0 >> 33).unwrap_or_default() % n
    }
}

/// A price book that is nobody's.
const BOOK: &str = "name = 'Invented'\ndate = '2026-11-01'\ncurrency = '$'\n[panels]\n'6-1/2' = '3.15'\n[splines]\nblock = '1.37'\n'single lumber' = '2.05'\n\
    [materials]\nsealant_ft = '0.21'\n[layout]\nnarrow = '33.33'\n";

/// Rules that differ in everything that prices a panel or keeps a joint off.
fn variant(which: i64, step: i64) -> PlantRules {
    let mut rules = PlantRules::default();
    match which {
        1 => {
            rules.joints.gap = Length::ZERO;
            rules.alignment.cents = 700;
            rules.lifts.hand_limit = 250.0;
        }
        2 => {
            for line in &mut rules.lines {
                line.strength_axis = StrengthAxis::Short;
            }
            rules.default_wall_height = Length::inches(46);
        }
        3 => {
            rules.lifts.greatest_weight = 400.0;
            rules.lifts.forklift_limit = 300.0;
            rules.default_assembly = "10-1/4".to_owned();
        }
        4 => {
            for line in &mut rules.lines {
                line.trim = Length::fraction(0, 1, 4);
            }
            rules.joints.least_panel = Length::inches(16);
            rules.joints.from_opening = Length::inches(8);
            rules.openings.least_leg = Length::inches(4);
        }
        5 => {
            rules.openings.whole_up_to = Length::inches(60);
            rules.cost.joint_ft = 200;
            rules.alignment.cents = 5_000;
            rules.cost.rip = 6_000;
            rules.cost.narrow = 100;
            rules.cost.machine_lift = 9_000;
            rules.cost.blank_sq_ft = vec![300, 420];
            let book = read_prices(BOOK, "prices.toml");
            rules.price_by(&book.unwrap_or_else(|error| panic!("{error}")));
        }
        6 => {
            for line in &mut rules.lines {
                line.made_to_length = false;
            }
            rules.default_wall_height = Length::inches(96);
            rules.cost.off_module = 900;
            rules.cost.unequal = 400;
            // The model in layers prices panels between openings by their width alone.
            rules.cost.uneven_legs = if step < 32 { 0 } else { 350 };
        }
        7 => {
            for line in &mut rules.lines {
                line.strength_axis = StrengthAxis::Short;
                line.made_to_length = false;
            }
            rules.default_wall_height = Length::inches(45);
            rules.cost.unequal = 150;
            rules.cost.uneven_legs = if step < 32 { 0 } else { 1_100 };
        }
        _ => rules.default_wall_height = Length::inches(108),
    }
    rules
}

fn alone(walls: Vec<PanelWall>) -> Building {
    Building {
        storeys: vec![BuildingStorey::default()],
        walls,
        ..Building::default()
    }
}

/// A wall with free ends, up to six openings and up to two walls that meet it.
fn wall(numbers: &mut Numbers, rules: &PlantRules, length: i64, step: i64) -> PanelWall {
    let odd = |numbers: &mut Numbers, inches: i64| {
        let sixteenths = if step < 32 { numbers.below(16) } else { 0 };
        Length::fraction(inches, sixteenths, 16)
    };
    let mut openings = Vec::new();
    let mut x = 6 + numbers.below(60);
    while openings.len() < 6 {
        let most = if numbers.below(6) == 0 { 120 } else { 60 };
        let to = x + 20 + numbers.below(most);
        if to + 6 > length {
            break;
        }
        openings.push(opening(
            openings.len(),
            odd(numbers, x),
            odd(numbers, to - 1),
            numbers.below(3),
        ));
        x = to + 3 + numbers.below(90);
    }
    let tees = (0..numbers.below(3)).map(|i| {
        let from = odd(numbers, numbers_below(length, i));
        Tee {
            wall: format!("I{i}"),
            from,
            to: from + Length::fraction(4, 1, 2),
        }
    });
    let tees = tees.collect();
    let top = rules.default_wall_height;
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
            .position(|assembly| assembly.name == rules.default_assembly)
            .unwrap_or_default(),
        stack: HeightStack {
            panel_bottom: Length::ZERO,
            panel_top: top,
            cap_top: top + rules.plates.thickness,
        },
        profile: WallProfile::level(Length::ZERO, top, Length::inches(length)),
        left: Corner::default(),
        right: Corner::default(),
        openings,
        tees,
        jacks_above: Vec::new(),
        held: HeldFace::Outside,
        drawn_thickness: 6.5,
        skin_drop: Length::ZERO,
        stops: [Length::ZERO; 2],
        role: panelwright::building::WallRole::Exterior,
        bears: true,
        bearing: String::new(),
        on_hold: false,
        sources: Vec::new(),
    }
}

/// Two places along a wall, a third and two thirds of it.
fn numbers_below(length: i64, i: i64) -> i64 {
    length * (i + 1) / 3
}

fn opening(index: usize, from: Length, to: Length, kind: i64) -> RoughOpening {
    let (kind, sill, head) = match kind {
        0 => (OpeningKind::Door, 0, 82),
        1 => (OpeningKind::Window, 36, 80),
        _ => (OpeningKind::Window, 60, 80),
    };
    let (sill, head) = (Length::inches(sill), Length::inches(head));
    RoughOpening {
        id: format!("O{index}"),
        kind,
        from,
        to,
        sill,
        head,
        unit: [to - from, head - sill],
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
}

/// A rectangle, an L with its inside corner, or a rectangle with one corner cut off at 45 degrees.
fn ring(numbers: &mut Numbers, rules: &PlantRules, case: i64) -> Building {
    let (a, b) = (150 + numbers.below(250), 150 + numbers.below(200));
    let (lengths, turns): (Vec<i64>, Vec<f64>) = match case % 3 {
        0 => (vec![a, b, a, b], vec![90.0; 4]),
        1 => (
            vec![a, b / 2, a / 2, b - b / 2, a - a / 2, b],
            vec![90.0, 90.0, -90.0, 90.0, 90.0, 90.0],
        ),
        _ => (
            vec![a, b - 60, 85, a - 60, b],
            vec![90.0, 45.0, 45.0, 90.0, 90.0],
        ),
    };
    let n = lengths.len();
    let corner = |with: usize, turn_deg: f64| Corner {
        with: Some(with),
        kind: match turn_deg {
            90.0 => CornerKind::Outside,
            -90.0 => CornerKind::Inside,
            _ => CornerKind::Odd,
        },
        turn_deg,
    };
    let mut at = Coord { x: 0.0, y: 0.0 };
    let mut heading: f64 = 0.0;
    let mut walls = Vec::new();
    for i in 0..n {
        let along = Coord {
            x: heading.to_radians().cos(),
            y: heading.to_radians().sin(),
        };
        let own = wall(numbers, rules, lengths[i], 32);
        let frame = Frame { origin: at, along };
        at = frame.point(own.face_length.to_inches(), 0.0);
        heading += turns[i];
        walls.push(PanelWall {
            id: format!("X{}", i + 1),
            frame,
            left: corner((i + n - 1) % n, turns[(i + n - 1) % n]),
            right: corner((i + 1) % n, turns[i]),
            ..own
        });
    }
    alone(walls)
}

/// On every fourth wall a stretch that the drafter keeps clear, and on every eighth a joint where the rules allow one.
fn wishes(numbers: &mut Numbers, building: &Building, none: bool) -> LayoutOptions {
    let mut options = LayoutOptions::default();
    for wall in building.walls.iter().filter(|_| !none) {
        let draw = numbers.below(8);
        if draw > 1 {
            continue;
        }
        let length = wall.face_length.steps_of(Length::inches(1));
        let even = |numbers: &mut Numbers| Length::inches(numbers.below(length / 2) * 2);
        let mut wished = WallWishes::default();
        let from = even(numbers);
        wished.keep_clear.push([from, from + Length::inches(20)]);
        if draw == 1 {
            wished.joints.push(even(numbers));
        }
        options.walls.insert(wall.id.clone(), wished);
    }
    options
}

const fn nm(length: Length) -> i64 {
    length.to_nanometres()
}

fn problem(building: &Building, rules: &PlantRules, options: &LayoutOptions) -> Value {
    let laid = lay_out(building, rules, options);
    let refused: BTreeMap<&str, usize> = building
        .walls
        .iter()
        .map(|wall| {
            let own = laid.findings.iter().filter(|finding| {
                finding.code == panelwright::layout::codes::WISH_REFUSED
                    && finding.place.element.as_deref() == Some(wall.id.as_str())
            });
            (wall.id.as_str(), own.count())
        })
        .collect();
    let walls = building.walls.iter().zip(&laid.output.walls);
    let walls = walls.map(|(wall, found)| {
        let wished = options.walls.get(&wall.id).cloned().unwrap_or_default();
        let corner = |corner: &Corner| {
            let kind = format!("{:?}", corner.kind);
            json!({ "with": corner.with, "kind": kind, "turn_deg": corner.turn_deg })
        };
        let end = |end: WallEnd| match end {
            WallEnd::Through => "through",
            WallEnd::Butt => "butt",
            WallEnd::Mitre { .. } => "mitre",
            WallEnd::Filled { .. } => "filled",
            WallEnd::Free => "free",
        };
        let issued = wished.issued.iter().map(|panel| {
            json!({
                "rect": rect(&panel.rect),
                "edges": panel.edges.map(|edge| match edge {
                    IssuedEdge::End => "end",
                    IssuedEdge::Joint => "joint",
                    IssuedEdge::Jamb => "jamb",
                }),
                "is_same_assembly": panel.assembly == rules.assemblies[wall.assembly].name,
                "openings": panel.openings.iter().map(rect).collect::<Vec<_>>(),
                "is_locked": panel.is_locked,
            })
        });
        let run = found.run.iter().filter_map(|piece| match piece {
            RunPiece::Panel { from, to, .. } => {
                Some([nm(found.from + *from), nm(found.from + *to)])
            }
            RunPiece::Gap { .. } | RunPiece::Opening { .. } => None,
        });
        json!({
            "length": nm(wall.face_length),
            "height": nm(wall.stack.panel_top - wall.stack.panel_bottom),
            "skin_drop": nm(wall.skin_drop),
            "jacks": wall.jacks_above.iter().map(|j| [nm(j.from), nm(j.to)]).collect::<Vec<_>>(),
            "assembly": wall.assembly,
            "left": corner(&wall.left),
            "right": corner(&wall.right),
            "openings": wall.openings.iter()
                .map(|o| json!({ "from": nm(o.from), "to": nm(o.to), "sill": nm(o.sill), "head": nm(o.head) }))
                .collect::<Vec<_>>(),
            "steps": wall.profile.steps().map(nm).collect::<Vec<_>>(),
            "tees": wall.tees.iter().map(|t| [nm(t.from), nm(t.to)]).collect::<Vec<_>>(),
            "joints": wished.joints.iter().map(|joint| nm(*joint)).collect::<Vec<_>>(),
            "keep_clear": wished.keep_clear.iter().map(|z| z.map(nm)).collect::<Vec<_>>(),
            "storey": wall.storey_index,
            "origin": [wall.frame.origin.x, wall.frame.origin.y],
            "issued": issued.collect::<Vec<_>>(),
            "answer": {
                "from": nm(found.from), "to": nm(found.to),
                "ends": [end(found.left_end), end(found.right_end)],
                "cents": found.cost_cents, "bound": found.bound_cents,
                "panels": run.collect::<Vec<_>>(),
                "refused": refused[wall.id.as_str()],
            },
        })
    });
    let walls: Vec<Value> = walls.collect();
    json!({ "rules": rules_json(rules), "walls": walls })
}

fn rect(rect: &ShopRect) -> [i64; 4] {
    [nm(rect.x0), nm(rect.y0), nm(rect.x1), nm(rect.y1)]
}

fn rules_json(rules: &PlantRules) -> Value {
    let (joints, openings, cost) = (&rules.joints, &rules.openings, &rules.cost);
    json!({
        "grid": nm(rules.grid),
        "assemblies": rules.assemblies.iter().map(|a| json!({
            "core": nm(a.core), "outer_skin": nm(a.outer.thickness), "inner_skin": nm(a.inner.thickness),
            "core_density": a.core_density, "outer_density": a.outer.density, "inner_density": a.inner.density,
        })).collect::<Vec<_>>(),
        "lines": rules.lines.iter().enumerate().map(|(i, line)| json!({
            "width": nm(line.width), "length": nm(line.length), "trim": nm(line.trim),
            "is_long": line.strength_axis == StrengthAxis::Long,
            "is_either": line.wall_axis == WallAxis::Either,
            "is_made_to_length": line.made_to_length,
            "panel_cents": cost.panel[i],
            "blank_sq_ft_cents": rules.assemblies.iter().map(|a| cost.sq_ft_cents(i, &a.name)).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "gap": nm(joints.gap), "least_panel": nm(joints.least_panel),
        "preferred_panel": nm(joints.preferred_panel), "from_opening": nm(joints.from_opening),
        "from_opening_preferred": nm(joints.from_opening_preferred), "from_tee": nm(joints.from_tee), "from_step": nm(joints.from_step),
        "make_up": nm(joints.make_up),
        "is_clear_under_jacks": rules.alignment.under_jacks == UnderJacks::Clear,
        "whole_up_to": nm(openings.whole_up_to), "least_leg": nm(openings.least_leg),
        "hand_limit": rules.lifts.hand_limit, "greatest_weight": rules.lifts.greatest_weight,
        "joint_ft": rules.assemblies.iter().map(|a| cost.joint_ft_cents(Some(a))).collect::<Vec<_>>(),
        "rip": cost.rip, "narrow": cost.narrow,
        "near_opening": cost.near_opening, "machine_lift": cost.machine_lift,
        "framed_opening": cost.framed_opening, "special": cost.special,
        "issued_panel": rules.revisions.issued_panel, "locked_panel": rules.revisions.locked_panel,
        "within": nm(rules.alignment.within), "unaligned": rules.alignment.cents,
        "kerf": nm(rules.stock.kerf), "off_module": cost.off_module,
        "unequal": cost.unequal, "uneven_legs": cost.uneven_legs,
        "least_pier": nm(rules.piers.least), "pier": rules.piers.cents,
    })
}
