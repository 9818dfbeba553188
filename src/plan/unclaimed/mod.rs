//! What no wall, opening or fitment came of: gathered into things, each with a word for what it is.
//!
//! ```text
//!    strokes less those of walls ──► what touches, or stands in one row or block ──► by name, then by shape:
//!    stairs, hatching, cabinets, furniture, roof, footing, grid, north arrow, another view
//! ```
//!
//! Soft: a word on the drafter's sheet and in `plan.json`, nothing is decided by it.

mod kinds;
mod names;

use super::axis::{Axis, distance};
use super::groups::Groups;
use super::lines::layers::is_broken_line;
use super::nearby::{Area, Nearby};
use super::{Plan, Storey, Wall};
use crate::drawing::{Curve, Drawing, SourceIndex};
use geo::Coord;
use kinds::{FAR, Setting, kind, said_of};
use std::collections::{BTreeMap, BTreeSet};

/// What a drawing shows besides walls and openings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum UnclaimedKind {
    /// Beds, tables, baths.
    Furniture,
    /// Flights of stairs.
    Stairs,
    /// Cabinets along a wall.
    Cabinets,
    /// Eaves, ridges, hips and valleys drawn over the plan.
    Roof,
    /// Footings and stem walls beneath it.
    Footing,
    /// Lines of the grid.
    Grid,
    /// Hatching, tiles, boards.
    Hatching,
    /// The north arrow.
    North,
    /// Dimensions, leaders, frames of notes.
    Annotation,
    /// Paving, fences, decks.
    Outdoors,
    /// Another drawing on the sheet, its frame or its title block.
    OtherView,
    /// Something else.
    Other,
}

impl UnclaimedKind {
    /// The words on the sheet.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Furniture => "furniture",
            Self::Stairs => "stairs",
            Self::Cabinets => "cabinets",
            Self::Roof => "roof overhang",
            Self::Footing => "footing",
            Self::Grid => "grid",
            Self::Hatching => "hatching",
            Self::North => "north arrow",
            Self::Annotation => "annotation",
            Self::Outdoors => "outdoors",
            Self::OtherView => "other view",
            Self::Other => "no wall",
        }
    }
}

/// Lines that belong together and that no wall or opening came of.
#[derive(Clone, Debug, PartialEq)]
pub struct Unclaimed {
    /// What they are.
    pub kind: UnclaimedKind,
    /// True when the name of a layer or block says so, false when shape and place do.
    pub is_named: bool,
    /// Their box: lowest and highest corner, inches.
    pub bounds: [Coord<f64>; 2],
    /// A point on one of them near the middle of the box.
    pub at: Coord<f64>,
    /// Handles of the lines.
    pub sources: Vec<String>,
}

/// Something unclaimed, and where in the plan it is.
#[derive(Clone, Debug, PartialEq)]
pub struct NotWall<'a> {
    /// The file it is drawn in.
    pub file: &'a str,
    /// Id of the storey that it lies in or beside; none for what lies further off.
    pub storey: Option<&'a str>,
    /// What it is.
    pub thing: Unclaimed,
}

/// Lines touch within this, inches.
const TOUCHES: f64 = 0.3;
/// Lines of one row are at most this far apart, inches.
const ROW: f64 = 16.0;
/// What lies in a wall's body or this near it is the wall's, inches.
const OF_WALL: f64 = 1.2;
/// A leaf begins within this of the middle of its swing, inches.
const HINGE: f64 = 3.0;

/// A straight piece of something unclaimed.
#[derive(Clone, Copy, Debug)]
struct Line {
    a: Coord<f64>,
    b: Coord<f64>,
    source: SourceIndex,
    /// Which stroke of the drawing it is of.
    stroke: usize,
    is_broken: bool,
    is_arc: bool,
}

impl Line {
    fn length(&self) -> f64 {
        distance(self.a, self.b)
    }

    fn middle(&self) -> Coord<f64> {
        (self.a + self.b) / 2.0
    }

    fn area(&self, margin: f64) -> Area {
        let it = Area::of(self.a, self.b);
        let by = Coord {
            x: margin,
            y: margin,
        };
        Area {
            low: it.low - by,
            high: it.high + by,
        }
    }
}

/// The unclaimed things of all drawings of a plan, each with its storey. Hidden lines are left out.
#[must_use]
pub fn not_walls<'a>(drawings: &'a [Drawing], plan: &'a Plan) -> Vec<NotWall<'a>> {
    let of_drawing = |drawing: &'a Drawing| {
        let own = plan.storeys.iter().filter(|it| it.file == drawing.file);
        let own: Vec<&Storey> = own.collect();
        let things = unclaimed(drawing, &own);
        things.into_iter().map(move |thing| NotWall {
            file: &drawing.file,
            storey: storey_of(&thing, &own),
            thing,
        })
    };
    drawings.iter().flat_map(of_drawing).collect()
}

/// For each stroke of a drawing whether no wall and no opening came of it: hidden ones, and what is unclaimed.
#[must_use]
pub fn unused_strokes(drawing: &Drawing, storeys: &[&Storey]) -> Vec<bool> {
    let is_hidden = |index: SourceIndex| {
        let source = drawing.sources.get(index.0 as usize);
        source.is_some_and(|it| it.is_hidden)
    };
    let strokes = drawing.strokes.iter();
    let mut unused: Vec<bool> = strokes.map(|it| is_hidden(it.source)).collect();
    for line in lines(drawing, storeys) {
        unused[line.stroke] = true;
    }
    unused
}

/// The storey whose walls a thing lies among, else beside.
fn storey_of<'a>(thing: &Unclaimed, storeys: &[&'a Storey]) -> Option<&'a str> {
    let around = |margin: f64| {
        storeys.iter().find(|it| {
            let ends: Vec<_> = it.walls.iter().flat_map(|it| [it.start, it.end]).collect();
            Area::around(&ends, margin).is_some_and(|it| it.meets(&Area::of(thing.at, thing.at)))
        })
    };
    let own = around(0.0).or_else(|| around(FAR));
    own.map(|it| it.id.as_str())
        .filter(|_| thing.kind != UnclaimedKind::OtherView)
}

/// The unclaimed things of a drawing, by place. Hidden lines are left out.
#[must_use]
pub fn unclaimed(drawing: &Drawing, storeys: &[&Storey]) -> Vec<Unclaimed> {
    let lines = lines(drawing, storeys);
    let setting = Setting::new(drawing, storeys);
    let mut groups = gathered(drawing, &lines, &setting);
    let made = groups.members();
    let made = made.into_iter().filter(|list| !list.is_empty());
    let mut found: Vec<Unclaimed> = made
        .filter_map(|list| {
            let own: Vec<Line> = list.iter().map(|i| lines[*i]).collect();
            let bounds = Area::around(
                &own.iter().flat_map(|it| [it.a, it.b]).collect::<Vec<_>>(),
                0.0,
            )?;
            let middle = (bounds.low + bounds.high) / 2.0;
            let at = own
                .iter()
                .map(Line::middle)
                .min_by(|p, q| distance(*p, middle).total_cmp(&distance(*q, middle)))?;
            let handles: BTreeSet<&String> = own
                .iter()
                .filter_map(|it| Some(&drawing.sources.get(it.source.0 as usize)?.handle))
                .collect();
            let (kind, is_named) = kind(&own, &bounds, &setting);
            Some(Unclaimed {
                kind,
                is_named,
                bounds: [bounds.low, bounds.high],
                at,
                sources: handles.into_iter().cloned().collect(),
            })
        })
        .collect();
    found.sort_by(|p, q| {
        let (a, b) = (p.bounds[0], q.bounds[0]);
        a.x.total_cmp(&b.x)
            .then(a.y.total_cmp(&b.y))
            .then(p.kind.cmp(&q.kind))
    });
    found
}

/// Straight pieces of what is drawn and lies in no wall's body, is no source of an opening and no leaf.
fn lines(drawing: &Drawing, storeys: &[&Storey]) -> Vec<Line> {
    let openings = || storeys.iter().flat_map(|it| &it.openings);
    let claimed: BTreeSet<&str> = openings()
        .flat_map(|it| &it.sources)
        .chain(
            storeys
                .iter()
                .flat_map(|it| &it.walls)
                .flat_map(|it| &it.sources),
        )
        .map(String::as_str)
        .filter(|it| !it.is_empty())
        .collect();
    let walls: Vec<&Wall> = storeys.iter().flat_map(|it| &it.walls).collect();
    let bodies = Nearby::new(walls.iter().enumerate().filter_map(|(i, it)| {
        let half = it.thickness / 2.0 + OF_WALL;
        Some((Area::around(&[it.start, it.end], half)?, i))
    }));
    let is_in_wall = |p: Coord<f64>| {
        bodies.any(&Area::of(p, p), |i| {
            let wall = walls[i];
            Axis::through(wall.start, wall.end).is_some_and(|axis| {
                let reach = wall.thickness / 2.0 + OF_WALL;
                let s = axis.s(p);
                axis.d(p).abs() <= reach
                    && s >= -reach
                    && s <= distance(wall.start, wall.end) + reach
            })
        })
    };
    let is_of = |index: SourceIndex| {
        drawing
            .sources
            .get(index.0 as usize)
            .is_none_or(|it| it.is_hidden || claimed.contains(it.handle.as_str()))
    };
    let swings: Vec<Coord<f64>> = drawing
        .strokes
        .iter()
        .filter(|it| is_of(it.source))
        .filter_map(|it| match it.curve {
            Curve::Arc { centre, .. } => Some(centre),
            Curve::Line { .. } => None,
        })
        .collect();
    let hinges = Nearby::points(swings.iter().copied());
    let mut list = Vec::new();
    let strokes = drawing.strokes.iter().enumerate();
    for (number, stroke) in strokes.filter(|it| !is_of(it.1.source)) {
        let source = stroke.source;
        let is_broken = drawing
            .sources
            .get(source.0 as usize)
            .is_some_and(|it| is_broken_line(&it.line_type));
        let mut push = |a: Coord<f64>, b: Coord<f64>, is_arc: bool| {
            list.push(Line {
                a,
                b,
                source,
                stroke: number,
                is_broken,
                is_arc,
            });
        };
        match stroke.curve {
            Curve::Line { start, end } => {
                let is_wall = [start, end, (start + end) / 2.0]
                    .into_iter()
                    .all(is_in_wall);
                let is_leaf = [start, end]
                    .iter()
                    .any(|p| hinges.any_within(*p, HINGE, |_| true));
                if !is_wall && !is_leaf && distance(start, end) > 1e-6 {
                    push(start, end, false);
                }
            }
            Curve::Arc {
                centre,
                radius,
                start_angle,
                sweep,
            } => {
                let at = |k: i32| {
                    let (sine, cosine) = (start_angle + sweep * f64::from(k) / 8.0).sin_cos();
                    centre
                        + Coord {
                            x: radius * cosine,
                            y: radius * sine,
                        }
                };
                for k in 0..8 {
                    push(at(k), at(k + 1), true);
                }
            }
        }
    }
    list
}

/// Lines that touch, stand in one row, or are of one entity or one block. Lines of the grid cross everything: nothing hangs together
/// by them, nor by lines of which names say that they are something else.
fn gathered(drawing: &Drawing, lines: &[Line], setting: &Setting<'_>) -> Groups {
    let mut known: BTreeMap<SourceIndex, Option<UnclaimedKind>> = BTreeMap::new();
    let said: Vec<Option<UnclaimedKind>> = (lines.iter())
        .map(|line| {
            let own = || {
                drawing
                    .sources
                    .get(line.source.0 as usize)
                    .and_then(said_of)
            };
            *known.entry(line.source).or_insert_with(own)
        })
        .collect();
    let may_be_one = |i: usize, j: usize| said[i].zip(said[j]).is_none_or(|(p, q)| p == q);
    let on_grid: Vec<bool> = lines.iter().map(|it| setting.is_grid(it)).collect();
    let index = Nearby::lines(lines.iter().map(|it| (it.a, it.b)));
    let mut groups = Groups::new(lines.len());
    let mut entities: BTreeMap<&str, usize> = BTreeMap::new();
    for (i, line) in lines.iter().enumerate() {
        let handle = drawing.sources.get(line.source.0 as usize);
        let handle = handle.map_or("", |it| it.handle.split('/').next().unwrap_or(""));
        if !handle.is_empty() {
            groups.join(i, *entities.entry(handle).or_insert(i));
        }
        index.visit(&line.area(TOUCHES), |j| {
            let other = &lines[j];
            let is_like = line.is_broken == other.is_broken && on_grid[i] == on_grid[j];
            if j > i && is_like && may_be_one(i, j) && touch(line, other) {
                groups.join(i, j);
            }
        });
        if line.is_arc || line.length() < ROW / 2.0 {
            continue;
        }
        let Some(beside) = Area::around(&[line.middle()], ROW) else {
            continue;
        };
        index.visit(&beside, |j| {
            if j > i && on_grid[i] == on_grid[j] && may_be_one(i, j) && are_in_row(line, &lines[j])
            {
                groups.join(i, j);
            }
        });
    }
    groups
}

/// Broken lines are drawn over others: only what ends at them belongs to them.
fn touch(p: &Line, q: &Line) -> bool {
    [p.a, p.b].iter().any(|it| off(q, *it) <= TOUCHES)
        || [q.a, q.b].iter().any(|it| off(p, *it) <= TOUCHES)
        || !p.is_broken && cross(p, q)
}

/// True when two lines cross.
fn cross(p: &Line, q: &Line) -> bool {
    let (Some(one), Some(other)) = (Axis::through(p.a, p.b), Axis::through(q.a, q.b)) else {
        return false;
    };
    one.d(q.a) * one.d(q.b) < 0.0 && other.d(p.a) * other.d(p.b) < 0.0
}

/// Distance of a point from a line.
fn off(line: &Line, p: Coord<f64>) -> f64 {
    Axis::through(line.a, line.b).map_or(distance(line.a, p), |axis| {
        let s = axis.s(p).clamp(0.0, line.length());
        distance(axis.point(s, 0.0), p)
    })
}

/// True when two lines stand side by side, equally long.
fn are_in_row(p: &Line, q: &Line) -> bool {
    let Some(axis) = Axis::through(p.a, p.b) else {
        return false;
    };
    let (s, t) = (axis.s(q.a), axis.s(q.b));
    let loose = 0.02 * p.length() + 0.5;
    !q.is_arc
        && p.is_broken == q.is_broken
        && s.min(t).abs() <= loose
        && (s.max(t) - p.length()).abs() <= loose
        && (axis.d(q.a) - axis.d(q.b)).abs() <= loose
        && axis.d(q.middle()).abs() <= ROW
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Source;
    use crate::plan::PlanCorrections;
    use crate::plan::recover_plan;
    use crate::plan::trial::{drawing, open_shell, sides};

    /// The kinds of what is drawn beside the walls of a house, by place.
    fn kinds(extra: &[[f64; 4]], words: &[(&str, [f64; 2])]) -> Vec<UnclaimedKind> {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend(extra);
        let drawing = drawing(&lines, &[], words);
        let drawings = [drawing];
        let plan = recover_plan(&drawings, &PlanCorrections::default()).output;
        let storeys: Vec<&Storey> = plan.storeys.iter().collect();
        let found = unclaimed(&drawings[0], &storeys);
        found.into_iter().map(|it| it.kind).collect()
    }

    #[test]
    fn each_thing_beside_the_walls_is_named() {
        assert!(kinds(&[], &[]).is_empty());
        assert_eq!(
            kinds(&sides(60.0, 60.0, 120.0, 140.0), &[]),
            [UnclaimedKind::Furniture]
        );
        let treads: Vec<[f64; 4]> = (0..10)
            .map(|i| 200.0 + 11.0 * f64::from(i))
            .map(|x| [x, 80.0, x, 120.0])
            .collect();
        assert_eq!(kinds(&treads, &[]), [UnclaimedKind::Stairs]);
        let counter = [[6.0, 210.0, 120.0, 210.0], [120.0, 210.0, 120.0, 234.0]];
        assert_eq!(kinds(&counter, &[]), [UnclaimedKind::Cabinets]);
        let eaves = sides(-40.0, -40.0, 400.0, 280.0);
        assert_eq!(kinds(&eaves, &[]), [UnclaimedKind::Roof]);
        let mut tiles = Vec::new();
        for i in 0..9 {
            let at = 12.0 * f64::from(i);
            tiles.push([200.0 + at, 60.0, 200.0 + at, 156.0]);
            tiles.push([200.0, 60.0 + at, 296.0, 60.0 + at]);
        }
        assert_eq!(kinds(&tiles, &[]), [UnclaimedKind::Hatching]);
        let arrow = [
            [500.0, 0.0, 500.0, 40.0],
            [500.0, 40.0, 494.0, 28.0],
            [500.0, 40.0, 506.0, 28.0],
        ];
        assert_eq!(
            kinds(&arrow, &[("N", [500.0, 48.0])]),
            [UnclaimedKind::North]
        );
    }

    #[test]
    fn lines_of_the_grid_leave_what_they_cross_apart() {
        let mut extra = sides(60.0, 60.0, 120.0, 140.0);
        extra.extend(sides(-40.0, -40.0, 400.0, 280.0));
        // From a bubble above the house to below it, through both.
        extra.push([90.0, 360.0, 90.0, -80.0]);
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let first = lines.len();
        lines.extend(extra);
        let mut drawing = drawing(&lines, &[], &[]);
        drawing.sources = (0..lines.len())
            .map(|number| Source {
                handle: format!("{number:X}"),
                layer: "0".to_owned(),
                ..Source::default()
            })
            .collect();
        for (stroke, number) in drawing.strokes.iter_mut().zip(0..) {
            stroke.source = SourceIndex(number);
        }
        let drawings = [drawing];
        let mut plan = recover_plan(&drawings, &PlanCorrections::default()).output;
        plan.storeys[0].grid.push(crate::plan::GridLine {
            name: "A".to_owned(),
            start: (90.0, 360.0).into(),
            end: (90.0, -80.0).into(),
            sources: vec![format!("{:X}", first + 8)],
        });
        let storeys: Vec<&Storey> = plan.storeys.iter().collect();
        let found = unclaimed(&drawings[0], &storeys);
        let kinds: Vec<UnclaimedKind> = found.into_iter().map(|it| it.kind).collect();
        let wanted = [
            UnclaimedKind::Roof,
            UnclaimedKind::Furniture,
            UnclaimedKind::Grid,
        ];
        assert_eq!(kinds, wanted);
    }

    #[test]
    fn what_names_say_is_something_else_is_another_thing_though_it_is_crossed() {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        let first = lines.len();
        lines.extend(sides(60.0, 60.0, 120.0, 140.0));
        // Cabinets whose end lies over the bed.
        lines.extend([[110.0, 210.0, 300.0, 210.0], [110.0, 130.0, 110.0, 234.0]]);
        let mut drawing = drawing(&lines, &[], &[]);
        drawing.sources = (0..lines.len())
            .map(|number| Source {
                handle: format!("{number:X}"),
                layer: match number {
                    it if it >= first + 4 => "A-CASE",
                    it if it >= first => "A-FURN",
                    _ => "0",
                }
                .to_owned(),
                ..Source::default()
            })
            .collect();
        for (stroke, number) in drawing.strokes.iter_mut().zip(0..) {
            stroke.source = SourceIndex(number);
        }
        let drawings = [drawing];
        let plan = recover_plan(&drawings, &PlanCorrections::default()).output;
        let storeys: Vec<&Storey> = plan.storeys.iter().collect();
        let found = unclaimed(&drawings[0], &storeys);
        let kinds: Vec<UnclaimedKind> = found.into_iter().map(|it| it.kind).collect();
        assert_eq!(kinds, [UnclaimedKind::Furniture, UnclaimedKind::Cabinets]);
    }

    #[test]
    fn a_thing_is_of_the_storey_it_lies_in_or_beside_and_says_what_names_it() {
        let mut lines = open_shell(100.0, 136.0);
        lines.push([100.0, 3.0, 136.0, 3.0]);
        lines.extend(sides(60.0, 60.0, 120.0, 140.0));
        lines.extend(sides(-90.0, 60.0, -40.0, 100.0));
        lines.extend(sides(2000.0, 60.0, 2040.0, 100.0));
        // The first box is named.
        let boxes = u32::try_from(lines.len()).unwrap() - 12;
        let source = |number: u32| Source {
            handle: format!("{number:X}"),
            layer: if (boxes..boxes + 4).contains(&number) {
                "A-FURN".to_owned()
            } else {
                "0".to_owned()
            },
            ..Source::default()
        };
        let mut drawing = drawing(&lines, &[], &[]);
        let n_lines = u32::try_from(lines.len()).unwrap();
        drawing.sources = (0..n_lines).map(source).collect();
        for (stroke, number) in drawing.strokes.iter_mut().zip(0..) {
            stroke.source = SourceIndex(number);
        }
        let drawings = [drawing];
        let plan = recover_plan(&drawings, &PlanCorrections::default()).output;
        let found = not_walls(&drawings, &plan);
        let said: Vec<_> = found
            .iter()
            .map(|it| (it.storey, it.thing.kind, it.thing.is_named))
            .collect();
        let storey = Some(plan.storeys[0].id.as_str());
        assert_eq!(
            said,
            [
                (storey, UnclaimedKind::Outdoors, false),
                (storey, UnclaimedKind::Furniture, true),
                (None, UnclaimedKind::OtherView, false),
            ]
        );
        assert!(found.iter().all(|it| it.thing.sources.len() == 4));
    }
}
