//! Buildings for this room's tests: an outline in whole inches, walls 9 ft high in 6-1/2 in panels.

use crate::building::{
    Building, BuildingStorey, Corner, CornerKind, HeightStack, PanelWall, RoughOpening, SizeOrigin,
    WallProfile,
};
use crate::geometry::{Frame, ShopRect};
use crate::layout::issued::edges;
use crate::layout::{IssuedEdge, IssuedPanel, Layout, LayoutOptions, RunPiece};
use crate::plan::OpeningKind;
use crate::rules::{HeaderMember, HeldFace, PlantRules};
use crate::units::Length;
use geo::Coord;

/// The panels of a layout as issued, for each wall by its id.
pub(crate) fn issue(building: &Building, rules: &PlantRules, layout: &Layout) -> LayoutOptions {
    let mut options = LayoutOptions::default();
    for (wall, run) in building.walls.iter().zip(&layout.walls) {
        let wishes = options.walls.entry(wall.id.clone()).or_default();
        for (i, piece) in run.run.iter().enumerate() {
            let RunPiece::Panel { from, to, .. } = piece else {
                continue;
            };
            let ends = [run.from + *from, run.from + *to];
            wishes.issued.push(issued(wall, rules, ends, edges(run, i)));
        }
    }
    options
}

/// A panel of a wall as issued.
pub(crate) fn issued(
    wall: &PanelWall,
    rules: &PlantRules,
    [from, to]: [Length; 2],
    edges: [IssuedEdge; 2],
) -> IssuedPanel {
    let holes = wall.openings.iter();
    let inside = holes.filter(|hole| hole.from >= from && hole.to <= to);
    IssuedPanel {
        rect: wall.profile.bounds(from, to),
        edges,
        assembly: rules.assemblies[wall.assembly].name.clone(),
        openings: inside
            .map(|hole| ShopRect::new(hole.from, hole.sill, hole.to, hole.head))
            .collect(),
        is_locked: false,
    }
}

/// A building of one storey inside this outline, counter-clockwise; walls `X1`, `X2`… from each point to the next.
pub(crate) fn building(outline: &[[i64; 2]], rules: &PlantRules) -> Building {
    let n = outline.len();
    let point = |i: usize| {
        let [x, y] = outline[i % n].map(|inches| Length::inches(inches).to_inches());
        Coord { x, y }
    };
    let frame = |i: usize| Frame::from_points(point(i), point(i + 1)).unwrap();
    let corner = |before: usize, after: usize, with: usize| {
        let (a, b) = (frame(before).along, frame(after).along);
        let turn_deg = (a.x * b.y - a.y * b.x)
            .atan2(a.x * b.x + a.y * b.y)
            .to_degrees();
        let kind = if (turn_deg - 90.0).abs() < 1e-9 {
            CornerKind::Outside
        } else if (turn_deg + 90.0).abs() < 1e-9 {
            CornerKind::Inside
        } else {
            CornerKind::Odd
        };
        Corner {
            with: Some(with),
            kind,
            turn_deg,
        }
    };
    let wall = |i: usize| {
        let (before, after) = ((i + n - 1) % n, (i + 1) % n);
        let ([x0, y0], [x1, y1]) = (point(i).into(), point(i + 1).into());
        let (x0, y0, x1, y1): (f64, f64, f64, f64) = (x0, y0, x1, y1);
        let length = (x1 - x0).hypot(y1 - y0);
        PanelWall {
            face_length: Length::nearest(length, rules.grid).unwrap(),
            left: corner(before, i, before),
            right: corner(i, after, after),
            profile: WallProfile::level(
                Length::ZERO,
                Length::inches(108),
                Length::nearest(length, rules.grid).unwrap(),
            ),
            ..wall(&format!("X{}", i + 1), 0, rules, frame(i))
        }
    };
    Building {
        storeys: vec![BuildingStorey {
            id: "S1".to_owned(),
            ..BuildingStorey::default()
        }],
        walls: (0..n).map(wall).collect(),
        ..Building::default()
    }
}

/// A rectangle out to out; `X1` is its south wall.
pub(crate) fn rectangle(width: i64, depth: i64, rules: &PlantRules) -> Building {
    building(&[[0, 0], [width, 0], [width, depth], [0, depth]], rules)
}

/// A wall of its own with free ends, this many inches long.
pub(crate) fn free_wall(length: i64, openings: &[(i64, i64)], rules: &PlantRules) -> PanelWall {
    let frame = Frame::from_points(Coord { x: 0.0, y: 0.0 }, Coord { x: 1.0, y: 0.0 }).unwrap();
    let mut wall = wall("X1", length, rules, frame);
    for (from, to) in openings {
        add_window(&mut wall, *from, *to);
    }
    wall
}

fn wall(id: &str, length: i64, rules: &PlantRules, frame: Frame) -> PanelWall {
    let top = Length::inches(108);
    PanelWall {
        id: id.to_owned(),
        name: id.to_owned(),
        storey: "S1".to_owned(),
        storey_index: 0,
        frame,
        face_length: Length::inches(length),
        assembly: rules
            .assemblies
            .iter()
            .position(|a| a.name == "6-1/2")
            .unwrap(),
        stack: HeightStack {
            panel_bottom: Length::ZERO,
            panel_top: top,
            cap_top: top + Length::fraction(1, 1, 2),
        },
        profile: WallProfile::level(Length::ZERO, top, Length::inches(length)),
        left: Corner::default(),
        right: Corner::default(),
        openings: Vec::new(),
        tees: Vec::new(),
        jacks_above: Vec::new(),
        held: HeldFace::Outside,
        drawn_thickness: 6.5,
        skin_drop: Length::ZERO,
        stops: [Length::ZERO; 2],
        role: crate::building::WallRole::Exterior,
        bears: true,
        bearing: String::new(),
        on_hold: false,
        sources: Vec::new(),
    }
}

/// A window from 36 to 80 in above the deck; ids count up by wall.
pub(crate) fn add_window(wall: &mut PanelWall, from: i64, to: i64) {
    add_opening(wall, OpeningKind::Window, [from, to], [36, 80]);
}

/// A door 82 in high.
pub(crate) fn add_door(wall: &mut PanelWall, from: i64, to: i64) {
    add_opening(wall, OpeningKind::Door, [from, to], [0, 82]);
}

fn add_opening(wall: &mut PanelWall, kind: OpeningKind, x: [i64; 2], y: [i64; 2]) {
    let [from, to] = x.map(Length::inches);
    let [sill, head] = y.map(Length::inches);
    wall.openings.push(RoughOpening {
        id: format!("{}O{}", wall.id, wall.openings.len() + 1),
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
    });
}

/// Small whole numbers that look random and are always the same.
pub(crate) struct Numbers(pub(crate) u64);

impl Numbers {
    /// From 0 up to, not including, `n`.
    pub(crate) fn below(&mut self, n: i64) -> i64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(self.0 >> 33).unwrap() % n
    }

    /// A wall up to 45 ft long with up to six openings, some of them close together, some too wide for a panel.
    pub(crate) fn wall(&mut self) -> (i64, Vec<(i64, i64)>) {
        let length = 40 + self.below(500);
        let mut openings = Vec::new();
        let mut x = 6 + self.below(60);
        while openings.len() < 6 {
            let most = if self.below(6) == 0 { 120 } else { 60 };
            let to = x + 20 + self.below(most);
            if to + 6 > length {
                break;
            }
            openings.push((x, to));
            x = to + 3 + self.below(90);
        }
        (length, openings)
    }
}
