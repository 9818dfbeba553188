//! A plan of the generator: its truth, its drawing, and both as files.

use super::house::{House, Kind, Wish};
use super::plane::{Point, contains, distance};
use super::random::Random;
use super::sheet::{Lie, Sheet};
use super::style::{Level, Style, Walls};
use super::traps::{self, Traps};
use panelwright::plan::SingleLines;
use panelwright::rules::PlantRules;
use serde_json::{Value, json};

/// A wall of the truth, where it lies on the sheet, inches: an inside wall ends at the face of the wall it meets.
#[derive(Clone, Debug)]
pub(crate) struct TrueWall {
    pub(crate) start: Point,
    pub(crate) end: Point,
    pub(crate) thickness: f64,
    pub(crate) exterior: bool,
}

/// An opening of the truth.
#[derive(Clone, Debug)]
pub(crate) struct TrueOpening {
    pub(crate) centre: Point,
    pub(crate) width: f64,
    pub(crate) exterior: bool,
    pub(crate) kind: &'static str,
    pub(crate) wall: usize,
}

/// What a drawing shows.
#[derive(Clone, Debug, Default)]
pub(crate) struct Truth {
    pub(crate) outline: Vec<Point>,
    pub(crate) walls: Vec<TrueWall>,
    pub(crate) openings: Vec<TrueOpening>,
    /// Largest error of drafting, inches.
    pub(crate) jitter: f64,
}

/// A plan: number, level, style, sheet and truth.
pub(crate) struct Plan {
    pub(crate) seed: u64,
    pub(crate) style: Style,
    pub(crate) footprint: &'static str,
    pub(crate) sheet: Sheet,
    pub(crate) truth: Truth,
}

impl Plan {
    /// The plan of a number: levels take turns.
    pub(crate) fn of(seed: u64) -> Self {
        let mut random = Random::new(seed);
        let (house, style) = Self::of_office(&mut random, Level::of(seed));
        Self::drawn(seed, &house, style, &mut random)
    }

    /// A plan with traps on its sheet: slivers, walls of one direction skewed, other views.
    pub(crate) fn of_traps(seed: u64) -> Self {
        let mut random = Random::new(seed);
        let (house, style) = Self::of_office(&mut random, Level::of(seed));
        let mut traps_random = Random::new(seed ^ 0x7249_5053);
        let traps = Traps::choose(&mut traps_random);
        let mut it = Self::drawn(
            seed,
            &house,
            Style {
                lie: Lie::straight(),
                ..style.clone()
            },
            &mut random,
        );
        if traps.views {
            let metric = traps_random.chance(0.4);
            let second = Self::house(&mut traps_random, &style, metric);
            let both = (&mut it.sheet, &mut it.truth);
            traps::views(&house, &second, &style, &mut traps_random, both);
        }
        if traps.slivers > 0.0 {
            traps::sliver(&mut it.sheet, traps.slivers, &mut traps_random);
        }
        traps::skew(&mut it.sheet, traps.skew);
        traps::skew_truth(&mut it.truth, traps.skew);
        it.sheet = it.sheet.laid(&style.lie);
        it.truth = it.truth.laid(&style.lie);
        it.style = style;
        it
    }

    /// A house and how its office draws.
    fn of_office(random: &mut Random, level: Level) -> (House, Style) {
        let metric = random.chance(0.4);
        let style = Style::choose(random, level, metric);
        (Self::house(random, &style, metric), style)
    }

    /// A house that can be drawn in a style.
    fn house(random: &mut Random, style: &Style, metric: bool) -> House {
        let by_centre = matches!(style.walls, Walls::Wide | Walls::Multi);
        let is_drawn = matches!(style.walls, Walls::Lines | Walls::Rings);
        let wish = Wish {
            metric,
            even: by_centre,
            layered: !metric && is_drawn && !style.run_on && random.chance(0.12),
            square: by_centre || style.walls == Walls::Solids,
            told: style.level != Level::Hard,
            longest_room: 220.0,
            size: None,
        };
        named(House::invent(random, &wish))
    }

    /// A plan of single lines: exact, and drafted with errors, by turns.
    pub(crate) fn of_single_lines(seed: u64) -> Self {
        let level = Level::of(seed);
        let mut random = Random::new(seed);
        let metric = random.chance(0.4);
        let style = Style::choose(&mut random, level, metric).by_single_lines(&mut random);
        let wish = Wish {
            metric,
            even: true,
            layered: false,
            square: false,
            told: true,
            longest_room: 220.0,
            size: None,
        };
        let house = named(House::invent(&mut random, &wish));
        Self::drawn(seed, &house, style, &mut random)
    }

    /// What the lines are, where they are single: the thickness of the first wall outside and of the first inside.
    pub(crate) fn single_lines(&self) -> SingleLines {
        let mut it = assumed();
        let first = |exterior| {
            self.truth
                .walls
                .iter()
                .find(|wall| wall.exterior == exterior)
        };
        it.exterior = first(true).map_or(it.exterior, |wall| wall.thickness);
        it.interior = first(false).map_or(it.interior, |wall| wall.thickness);
        it
    }

    /// A house drawn in a style.
    pub(crate) fn drawn(seed: u64, house: &House, style: Style, random: &mut Random) -> Self {
        let sheet = traps::storey(house, &style, random);
        let truth = truth(house, &style);
        Self {
            seed,
            footprint: house.footprint,
            sheet: sheet.laid(&style.lie),
            truth: truth.laid(&style.lie),
            style,
        }
    }

    /// Its drawing as DXF.
    pub(crate) fn dxf(&self) -> String {
        self.sheet.dxf(&self.style.writing)
    }

    /// Its name.
    pub(crate) fn name(&self) -> String {
        format!("g{:03}_{}", self.seed, self.style.level.name())
    }

    /// Its truth as JSON.
    pub(crate) fn json(&self) -> Value {
        let style = &self.style;
        let at = |p: &Point| json!([p.x, p.y]);
        let walls = self.truth.walls.iter().enumerate().map(|(i, wall)| {
            json!({"id": format!("T{}", i + 1), "exterior": wall.exterior, "start": at(&wall.start),
                   "end": at(&wall.end), "thickness": wall.thickness})
        });
        let openings = self.truth.openings.iter().enumerate().map(|(i, it)| {
            json!({"id": format!("O{}", i + 1), "wall": format!("T{}", it.wall + 1), "kind": it.kind,
                   "exterior": it.exterior, "width": it.width, "centre": at(&it.centre)})
        });
        json!({
            "name": self.name(), "level": style.level.name(), "unit": style.unit, "declared": style.declared,
            "version": style.writing.version, "style": format!("{:?}", style.walls), "layers": style.names[0],
            "angle": style.lie.turn.to_degrees(), "jitter": self.truth.jitter, "footprint": self.footprint,
            "outline": self.truth.outline.iter().map(at).collect::<Vec<_>>(),
            "walls": walls.collect::<Vec<_>>(), "openings": openings.collect::<Vec<_>>(),
        })
    }
}

/// The house with the room behind a vehicle door named a garage.
fn named(mut house: House) -> House {
    for hole in house.holes.iter().filter(|it| it.kind == Kind::Garage) {
        let wall = &house.walls[hole.wall];
        let beside = wall.thickness / 2.0 + 12.0;
        for side in [beside, -beside] {
            let p = wall.line().at((hole.from + hole.to) / 2.0, side);
            let behind = house.rooms.iter_mut().filter(|it| contains(&it.ring, p));
            behind.for_each(|room| room.name = "GARAGE");
        }
    }
    house
}

pub(crate) fn truth(house: &House, style: &Style) -> Truth {
    let walls = house.walls.iter().map(|wall| TrueWall {
        start: wall.a,
        end: wall.b,
        thickness: wall.thickness,
        exterior: wall.exterior,
    });
    let openings = house.holes.iter().map(|hole| {
        let wall = &house.walls[hole.wall];
        TrueOpening {
            centre: wall.line().at((hole.from + hole.to) / 2.0, 0.0),
            width: hole.width(),
            exterior: wall.exterior,
            kind: hole.kind.name(),
            wall: hole.wall,
        }
    });
    Truth {
        outline: house.outline.clone(),
        walls: walls.collect(),
        openings: openings.collect(),
        jitter: style.errors.map_or(0.0, |it| it.jitter),
    }
}

impl Truth {
    /// The truth of the sheet lying otherwise.
    pub(crate) fn laid(&self, lie: &Lie) -> Self {
        let mut out = self.clone();
        for p in &mut out.outline {
            *p = lie.at(*p);
        }
        if lie.mirrored {
            out.outline.reverse();
        }
        for wall in &mut out.walls {
            wall.start = lie.at(wall.start);
            wall.end = lie.at(wall.end);
            if lie.mirrored {
                std::mem::swap(&mut wall.start, &mut wall.end);
            }
        }
        for opening in &mut out.openings {
            opening.centre = lie.at(opening.centre);
        }
        out
    }
}

/// Length of a wall.
pub(crate) fn length(wall: &TrueWall) -> f64 {
    distance(wall.start, wall.end)
}

/// What the shipped plant rules take single lines for.
pub(crate) fn assumed() -> SingleLines {
    let mut lines = SingleLines::default();
    PlantRules::default().drawn_lines.assume(&mut lines);
    lines
}
