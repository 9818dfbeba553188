//! Storeys that lie over each other in the model and are told apart by the names of what they are drawn in, or by their height.
//!
//! ```text
//!   INSERT first.dwg  ┌───┬──┐       LINE z = 0    ┌───┬──┐      layer L1-WALL ┌───┬──┐
//!   INSERT second.dwg ├──┬┼──┤       LINE z = 108  ├──┬┼──┤            L2-WALL ├──┬┼──┤
//! ```
//!
//! What is found here only seems so: whoever recovers the plan reads the storeys apart and looks whether each of them closes.
//! The heights at which they are drawn are those of their decks.

use crate::drawing::blocks::unfold::{Around, SHEETS_APART, Unfolding};
use crate::drawing::codes;
use crate::drawing::entities::affine::Affine;
use crate::drawing::entities::ordinary::Reading;
use crate::drawing::entities::shape::{Shape, Space};
use crate::drawing::file::contents::{Block, Contents, Record};
use crate::drawing::file::references::file_name;
use crate::drawing::model::{Drawing, Level};
use crate::drawing::sheets::levels::storey_level;
use crate::findings::{Finding, Place};
use geo::Coord;
use std::collections::{BTreeMap, BTreeSet};

/// Storeys over each other.
pub(in crate::drawing) struct Stack {
    /// What tells them apart.
    pub(in crate::drawing) by: &'static str,
    /// From the lowest up.
    pub(in crate::drawing) storeys: Vec<Storey>,
    /// Where each of them begins, in the file's units.
    pub(in crate::drawing) lows: Vec<f64>,
    /// That of the widest, in the file's units.
    pub(in crate::drawing) width: f64,
}

/// One of them.
pub(in crate::drawing) struct Storey {
    pub(in crate::drawing) name: String,
    /// Its records of model space.
    pub(in crate::drawing) records: Vec<usize>,
    /// The height at which most of them lie.
    pub(in crate::drawing) height: Option<f64>,
}

/// Where a storey that was set beside others begins, and how high it lies, in the file's units.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(in crate::drawing) struct SetAside {
    pub(in crate::drawing) from: f64,
    pub(in crate::drawing) height: Option<f64>,
}

/// From deck to deck, inches: 7 ft to 20 ft; the space for people in it, and two storeys of a hall (common practice, no source).
const DECK_TO_DECK: std::ops::RangeInclusive<f64> = 84.0..=240.0;

/// The decks of storeys that were set side by side; none where a height is missing or is none of a storey.
pub(in crate::drawing) fn levels(places: &[SetAside], inches_per_unit: f64) -> Vec<Level> {
    let heights: Option<Vec<f64>> = places.iter().map(|it| it.height).collect();
    let heights = heights.unwrap_or_default();
    let mut steps = heights
        .windows(2)
        .map(|it| (it[1] - it[0]) * inches_per_unit);
    if !steps.all(|it| DECK_TO_DECK.contains(&it)) {
        return Vec::new();
    }
    let low = heights.first().copied().unwrap_or(0.0);
    let level = |(place, height): (&SetAside, &f64)| Level {
        from: place.from * inches_per_unit,
        floor: (height - low) * inches_per_unit,
    };
    places.iter().zip(&heights).map(level).collect()
}

/// A storey has at least so many lines; a hut with a door has more.
const LEAST: usize = 16;
/// Storeys share this much of the smaller one's extent.
const SHARED: f64 = 0.5;
/// Of a wire model, foot and head of the walls with uprights between them, at least this share of the lines is drawn twice.
const TWICE: f64 = 0.6;
/// A plan whose size is not known yet is so many times as long as its storeys are high together.
const A_FEW: f64 = 4.0;
/// Storeys are so far apart, as a share of the plan's longer side.
const APART: std::ops::Range<f64> = 0.015..3.0;

/// The storeys of a model; `None` where it seems to hold one.
///
/// - `extent`: of what a storey draws.
pub(in crate::drawing) fn stack(
    contents: &Contents<'_>,
    readings: &[Option<Reading>],
    extent: impl Fn(&Storey) -> Option<[Coord<f64>; 2]>,
) -> Option<Stack> {
    let model = Model::new(contents, readings);
    let ways: [(&'static str, Vec<Storey>); 3] = [
        (
            "the drawings or blocks that they stand in",
            model.by_insertion(),
        ),
        ("their heights", model.by_height()),
        ("the names of their layers", model.by_layer()),
    ];
    ways.into_iter().find_map(|(by, storeys)| {
        if storeys.len() < 2 {
            return None;
        }
        let extents: Vec<[Coord<f64>; 2]> = storeys.iter().map(&extent).collect::<Option<_>>()?;
        let mut pairs = extents.iter().zip(extents.iter().skip(1));
        let width = extents.iter().map(|[a, b]| b.x - a.x).fold(0.0, f64::max);
        let lows = extents.iter().map(|[low, _]| low.x).collect();
        let stack = Stack {
            by,
            storeys,
            lows,
            width,
        };
        pairs.all(|(a, b)| is_over(a, b)).then_some(stack)
    })
}

/// Storeys that seem to lie over each other and do not close apart.
#[must_use]
pub fn read_as_one(drawing: &Drawing, by: &str, closes_as_one: bool) -> Finding {
    let make = if closes_as_one {
        Finding::note
    } else {
        Finding::doubt
    };
    make(
        codes::OVER_EACH_OTHER,
        Place::file(&drawing.file),
        format!(
            "storeys seem to lie over each other in the model, by {by}; they are read as one, for apart they do not close"
        ),
        "look whether the trace shows one storey; if not, ask for each storey in a drawing of its own",
    )
}

impl Unfolding<'_> {
    /// Unfolds storeys that lie over each other, side by side.
    pub(in crate::drawing) fn stack(&mut self, stack: Stack) {
        self.flat.overlaid_by = stack.by;
        self.flat.storey_step = stack.width * (1.0 + 1.0 / SHEETS_APART);
        let mut around = Around::outside();
        let mut shift = 0.0;
        for (storey, low) in stack.storeys.into_iter().zip(stack.lows) {
            self.flat.set_aside.push(SetAside {
                from: low + shift,
                height: storey.height,
            });
            around.place = Affine::moved([shift, 0.0, 0.0]);
            self.several(&storey.records, &around);
            self.flat.overlaid.push(storey.name);
            shift += self.flat.storey_step;
        }
    }

    pub(in crate::drawing) fn several(&mut self, records: &[usize], around: &Around) {
        for index in records {
            self.records(*index..*index + 1, around);
        }
    }
}

/// True for extents that lie over each other.
fn is_over(a: &[Coord<f64>; 2], b: &[Coord<f64>; 2]) -> bool {
    let area = |x: f64, y: f64| x.max(0.0) * y.max(0.0);
    let own = |[low, high]: &[Coord<f64>; 2]| area(high.x - low.x, high.y - low.y);
    let shared = area(
        a[1].x.min(b[1].x) - a[0].x.max(b[0].x),
        a[1].y.min(b[1].y) - a[0].y.max(b[0].y),
    );
    let less = own(a).min(own(b));
    less > 0.0 && shared >= SHARED * less
}

/// What lies in model space and is shown.
struct Model<'a> {
    contents: &'a Contents<'a>,
    things: Vec<(usize, &'a Record, &'a Shape)>,
}

impl<'a> Model<'a> {
    fn new(contents: &'a Contents<'_>, readings: &'a [Option<Reading>]) -> Self {
        let all = contents.model_space().into_iter().flatten();
        let things = all.filter_map(|index| {
            let record = contents.records.get(index)?;
            let Some(Some(Reading::Shape(shape))) = readings.get(index) else {
                return None;
            };
            (!record.is_part && !record.is_paper).then_some((index, record, shape))
        });
        Self {
            contents,
            things: things.collect(),
        }
    }

    /// By keys from the lowest up; what has none goes to the lowest. `weight` says how many lines a thing counts for.
    fn parted<'k>(
        &self,
        key: impl Fn(&Record, &Shape) -> Option<(i32, &'k str)>,
        weight: impl Fn(&Shape) -> usize,
    ) -> Vec<Storey> {
        let mut levels: BTreeMap<i32, (String, usize)> = BTreeMap::new();
        let keys: Vec<Option<i32>> = self
            .things
            .iter()
            .map(|(_, record, shape)| {
                let (level, name) = key(record, shape)?;
                let own = levels.entry(level).or_insert_with(|| (name.to_owned(), 0));
                own.1 += weight(shape);
                Some(level)
            })
            .collect();
        levels.retain(|_, own| own.1 >= LEAST);
        let lowest = levels.keys().next().copied();
        let storey = |(level, (name, _)): (&i32, &(String, usize))| {
            let own = || {
                let all = self.things.iter().zip(&keys).filter(|(_, own)| {
                    let own = own.filter(|it| levels.contains_key(it));
                    own.or(lowest) == Some(*level)
                });
                all.map(|(it, _)| it)
            };
            Storey {
                name: name.clone(),
                records: own().map(|it| it.0).collect(),
                height: common_height(own().map(|it| it.2)),
            }
        };
        levels.iter().map(storey).collect()
    }

    fn by_layer(&self) -> Vec<Storey> {
        let names = self.contents.names.iter();
        let levels: Vec<Option<i32>> = names.map(|name| storey_level(name)).collect();
        self.parted(
            |record, _| {
                let level = levels.get(record.layer as usize).copied().flatten()?;
                Some((level, self.contents.name(record.layer)))
            },
            is_line,
        )
    }

    /// The block that a shape places.
    fn block(&self, shape: &Shape) -> Option<&'a Block> {
        let Shape::Insert(it) = shape else {
            return None;
        };
        let at = self.contents.block_by_name.get(&it.name.to_uppercase());
        at.and_then(|at| self.contents.blocks.get(*at))
    }

    /// What a thing at a height counts for: furniture little, a block that may hold a storey what it holds.
    fn weight(&self, shape: &Shape) -> usize {
        match shape {
            Shape::Insert(_) => {
                let held = self.block(shape).map_or(0, |it| it.records.len());
                if held < LEAST { LEAST / 4 } else { held }
            }
            _ => is_line(shape),
        }
    }

    fn by_insertion(&self) -> Vec<Storey> {
        let block = |shape: &Shape| self.block(shape);
        self.parted(
            |_, shape| {
                let block = block(shape)?;
                let file = block.reference.as_deref().map(file_name);
                let level = storey_level(&block.name).or_else(|| storey_level(file?))?;
                Some((level, block.name.as_str()))
            },
            // A drawing that is referred to holds what it holds.
            |shape| match block(shape) {
                Some(block) if block.reference.is_some() => LEAST,
                Some(block) => block.records.len(),
                None => 0,
            },
        )
    }

    /// By the heights at which most things lie.
    fn by_height(&self) -> Vec<Storey> {
        let corners = self.things.iter().filter_map(|it| corner(it.2));
        let (low, high) = corners.fold(
            ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]),
            |(low, high), at| {
                (
                    [0, 1, 2].map(|i| f64::min(low[i], at[i])),
                    [0, 1, 2].map(|i| f64::max(high[i], at[i])),
                )
            },
        );
        let mut size = (high[0] - low[0]).max(high[1] - low[1]);
        if size <= 0.0 {
            // Blocks over each other at one place: a plan is a few storeys long.
            size = A_FEW * (high[2] - low[2]);
        }
        if !size.is_finite() || size <= 0.0 {
            return Vec::new();
        }
        // Heights to a thousandth of the plan's size.
        let step = size / 1000.0;
        #[expect(clippy::cast_possible_truncation, reason = "far fewer steps than 2^31")]
        let rounded = |z: f64| (z / step).round().clamp(-1e6, 1e6) as i32;
        let mut bands: BTreeMap<i32, Band<'_>> = BTreeMap::new();
        let mut n_upright = 0;
        for (_, _, shape) in &self.things {
            let Some(z) = height(shape) else {
                n_upright += is_line(shape);
                continue;
            };
            let band = bands.entry(rounded(z)).or_default();
            band.weight += self.weight(shape);
            match shape {
                Shape::Line { start, end } => band.lines.push((start, end)),
                Shape::Arc { .. } | Shape::Text(_) | Shape::Insert(_) => band.has_more = true,
                _ => {}
            }
        }
        bands.retain(|_, band| band.weight >= LEAST);
        let is_apart = |a: i32, b: i32| APART.contains(&(f64::from(b - a) / 1000.0));
        let marks: Vec<i32> = bands.keys().copied().collect();
        let mut pairs = bands.iter().zip(bands.iter().skip(1));
        let are_storeys = marks.len() > 1
            && pairs.all(|((a, below), (b, above))| {
                is_apart(*a, *b)
                    && (n_upright == 0 || above.has_more || !above.repeats(below, step))
            });
        let least = bands.values().map(|it| it.weight).min().unwrap_or(0);
        if !are_storeys || n_upright * 2 > least {
            return Vec::new();
        }
        let names: Vec<String> = marks
            .iter()
            .map(|it| format!("at height {:.0}", f64::from(*it) * step))
            .collect();
        self.parted(
            |_, shape| {
                let own = rounded(height(shape)?);
                let at = marks.iter().rposition(|it| *it <= own).unwrap_or(0);
                Some((*marks.get(at)?, names.get(at)?.as_str()))
            },
            |shape| self.weight(shape),
        )
    }
}

/// The height at which more than half of what says one lies.
fn common_height<'a>(shapes: impl Iterator<Item = &'a Shape>) -> Option<f64> {
    let mut all: Vec<f64> = shapes.filter_map(height).collect();
    all.sort_by(f64::total_cmp);
    let middle = all.get(all.len() / 2).copied()?;
    let n_alike = all.iter().filter(|it| is_level(**it, middle)).count();
    (n_alike * 2 > all.len()).then_some(middle)
}

/// What lies at one height.
#[derive(Default)]
struct Band<'a> {
    weight: usize,
    lines: Vec<(&'a Space, &'a Space)>,
    /// Arcs, texts or blocks lie there too: the head of a wire model has none.
    has_more: bool,
}

impl Band<'_> {
    /// Its lines, seen from above, each once.
    fn keys(&self, step: f64) -> BTreeSet<[i64; 4]> {
        let lines = self.lines.iter();
        lines.map(|(a, b)| line_key(**a, **b, step)).collect()
    }

    fn repeats(&self, other: &Self, step: f64) -> bool {
        let (own, others) = (self.keys(step), other.keys(step));
        let n_twice = own.intersection(&others).count();
        let least = own.len().min(others.len());
        #[expect(clippy::cast_precision_loss, reason = "far fewer lines than 2^53")]
        let share = n_twice as f64 / least.max(1) as f64;
        share >= TWICE
    }
}

/// A line seen from above, whichever way it was drawn.
fn line_key(start: Space, end: Space, step: f64) -> [i64; 4] {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "coordinates in steps of the plan's size"
    )]
    let whole = |it: f64| (it / step).round() as i64;
    let (a, b) = ([start[0], start[1]].map(whole), [end[0], end[1]].map(whole));
    let (a, b) = (a.min(b), a.max(b));
    [a[0], a[1], b[0], b[1]]
}

/// One for what may be a face of a wall.
fn is_line(shape: &Shape) -> usize {
    match shape {
        Shape::Line { .. } | Shape::Spline(_) | Shape::Arc { .. } | Shape::Corners { .. } => 1,
        Shape::Polyline { vertices, .. } => vertices.len().saturating_sub(1).max(1),
        Shape::Lines { lines, .. } => lines.len(),
        Shape::Area(_) => 1,
        _ => 0,
    }
}

/// A point of a shape.
fn corner(shape: &Shape) -> Option<Space> {
    Some(match shape {
        Shape::Line { start, .. } => *start,
        Shape::Polyline { vertices, .. } => vertices.first()?.at,
        Shape::Arc { centre, .. } => *centre,
        Shape::Insert(it) => it.at,
        _ => return None,
    })
}

/// Heights this close are one, in units of the drawing: what lies level is drawn level.
const LEVEL: f64 = 1e-9;

fn is_level(a: f64, b: f64) -> bool {
    (a - b).abs() <= LEVEL
}

/// The height at which a shape lies; `None` where it lies at several or says none.
fn height(shape: &Shape) -> Option<f64> {
    let is_up = |normal: &Space| normal[0] == 0.0 && normal[1] == 0.0 && normal[2] > 0.0;
    match shape {
        Shape::Line { start, end } => is_level(start[2], end[2]).then_some(start[2]),
        Shape::Arc { centre, normal, .. } => is_up(normal).then_some(centre[2]),
        Shape::Polyline {
            vertices, normal, ..
        } => {
            let z = vertices.first()?.at[2];
            (is_up(normal) && vertices.iter().all(|it| is_level(it.at[2], z))).then_some(z)
        }
        Shape::Insert(it) => is_up(&it.normal).then_some(it.at[2]),
        Shape::Text(it) => is_up(&it.normal).then_some(it.at[2]),
        Shape::Dimension(it) => Some(it.from[2]),
        Shape::Corners { corners, normal } => {
            let z = corners.first()?[2];
            (is_up(normal) && corners.iter().all(|it| is_level(it[2], z))).then_some(z)
        }
        _ => None,
    }
}
