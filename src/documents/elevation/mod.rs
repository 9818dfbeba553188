//! Draws elevations of all walls, seen from outside: panels, joints, openings, chases, plates, details.
//!
//! ```text
//!   ┌─────────────────────────────────────┬─────────┐
//!   │  W101   W102   levels    W105       │ notes   │
//!   │ ┌──────┬──────┐        ┌───────┐    │ panels  │
//!   │ │  ▭   │      │        │   ▯   │    │ symbols │
//!   │ └──────┴──────┘        └───────┘    │         │
//!   │  openings, modules, overall         │         │
//!   │  plates, exploded                   │         │
//!   │  1 WALL X1             2 WALL X2    │         │
//!   │  more walls, or their details       │ title   │
//!   └─────────────────────────────────────┴─────────┘
//! ```
//!
//! Short walls share a sheet, in the building's order and all at one scale; a wall that no standard scale brings onto the paper
//! is parted at match lines.
//!
//! *Promises.* Left is left as seen from outside. Every length is the model's own, rounded to 1/16 in when printed; modules
//! add up to the run. Details are cut from the parts as fabricated.
//!
//! *Does not do.* Deciding anything.

mod arrange;
mod dimensions;
mod plates;
mod points;
mod small_plan;
mod strip;
mod subject;
mod wall;

use crate::building::Building;
use crate::documents::TitleFacts;
use crate::documents::details::{CutModels, draw_detail, merge, wall_details};
use crate::documents::general::capitalised;
use crate::documents::paper::overlap::text_areas;
use crate::documents::paper::scale::scales;
use crate::documents::paper::style::{Lettering, dimension as size};
use crate::documents::paper::symbol::view_title;
use crate::documents::paper::{Area, Canvas, Group, Item, Sheet, View, spot};
use crate::fabrication::Fabrication;
use crate::layout::Layout;
use crate::plan::Plan;
use crate::rules::PlantRules;
use crate::units::{Inches, Length};
use arrange::{Cell, Page, arrange};
use std::collections::BTreeMap;
use subject::Subject;

/// From the floor to the plates, where three strings stand between, mm.
const BELOW: f64 = size::LANES[2] + 8.0;
/// More room for the string and bubbles of the architect's grid, where it crosses the wall, mm.
const GRID: f64 = 27.0;
/// Least height of the details, mm; without it they stand on the detail sheets only.
const DETAILS: f64 = 170.0;
/// Least width of a detail, mm.
const DETAIL: f64 = 200.0;

/// All that elevations are drawn from.
#[derive(Clone, Copy, Debug)]
pub struct ElevationInput<'a> {
    /// Walls and storeys.
    pub building: &'a Building,
    /// Where panels stand.
    pub layout: &'a Layout,
    /// Their parts.
    pub fabrication: &'a Fabrication,
    /// The plant's rules.
    pub rules: &'a PlantRules,
    /// Title block.
    pub facts: &'a TitleFacts,
    /// The plan, for the architect's grid.
    pub plan: &'a Plan,
}

/// The sheets of all walls with panels: `Z-201-X1-X3` and so on, in the building's order.
#[must_use]
pub fn elevation_sheets(input: &ElevationInput<'_>) -> Vec<Sheet> {
    arrange(input).iter().map(elevation_sheet).collect()
}

/// Number of the sheet that shows each wall, the first of those of a parted one.
pub(crate) fn elevation_numbers(input: &ElevationInput<'_>) -> BTreeMap<usize, String> {
    let mut numbers = BTreeMap::new();
    for page in arrange(input) {
        for cell in page.cells {
            let number = numbers.entry(cell.subject.index);
            number.or_insert_with(|| page.number.clone());
        }
    }
    numbers
}

/// What an elevation says of a wall in numbers, for those who draw it elsewhere.
pub(crate) struct WallFigures {
    /// Strings along the wall: name, where pieces part in run axes, their lengths as printed.
    pub(crate) strings: Vec<(&'static str, Vec<Length>, Vec<String>)>,
    /// Heights above the deck with what lies there, from the top.
    pub(crate) levels: Vec<(Length, String)>,
    /// Its title.
    pub(crate) title: String,
}

/// The numbers of a wall as its sheet prints them; `None` when it has no elevation.
pub(crate) fn wall_figures(input: &ElevationInput<'_>, index: usize) -> Option<WallFigures> {
    let subject = Subject::new(input, index)?;
    let strings = dimensions::strings(&subject).into_iter();
    Some(WallFigures {
        strings: strings
            .map(|it| {
                let words = it.words(&subject);
                (it.name, it.ends, words)
            })
            .collect(),
        levels: dimensions::named_levels(&subject),
        title: title_words(&subject),
    })
}

/// `WALL X1 FROM OUTSIDE`.
fn title_words(subject: &Subject<'_>) -> String {
    format!("{} FROM {}", subject.title(), subject.wall.role.seen_from())
}

/// A wall by layers.
struct Drawn {
    wall: Canvas,
    grid: Canvas,
    strings: Group,
    labels: Canvas,
    plates: Canvas,
    /// What strings had no room to print.
    left: Vec<String>,
}

impl Drawn {
    fn draw_all(self, canvas: &mut Canvas) {
        for part in [self.wall, self.grid, self.labels, self.plates] {
            canvas.append(part);
        }
        canvas.put(Item::Group(self.strings));
    }
}

/// Draws a wall and all that belongs to it, its title left out.
fn draw_cell(subject: &Subject<'_>, view: &View) -> Drawn {
    let grid = subject.grid();
    let floor = view.y(-subject.depth().to_inches());
    let mut wall = Canvas::new();
    wall::draw_wall(&mut wall, subject, view);
    points::draw_points(&mut wall, subject, view);
    let mut strings = Canvas::new();
    let (mut left, mut deeper) = dimensions::draw_dimensions(&mut strings, subject, view);
    let strings = strings.into_group("", "");
    let mut lines = Canvas::new();
    let texts = text_areas(&strings);
    let (more, words) = dimensions::draw_grid(&mut lines, subject, view, &grid, &texts, deeper);
    left.extend(words);
    deeper += more;
    let mut labels = Canvas::new();
    left.extend(wall::draw_labels(&mut labels, subject, view));
    let stands = [&wall, &lines, &labels].map(|it| it.clone().into_group("", ""));
    left.extend(points::name_points(&mut labels, subject, view, stands));
    let mut plates = Canvas::new();
    let below = floor + deeper + BELOW + if grid.is_empty() { 0.0 } else { GRID };
    left.extend(plates::draw_plates(&mut plates, subject, view, below));
    Drawn {
        wall,
        grid: lines,
        strings,
        labels,
        plates,
        left,
    }
}

fn elevation_sheet(page: &Page<'_>) -> Sheet {
    let subjects: Vec<&Subject<'_>> = page.cells.iter().map(|it| &it.subject).collect();
    let Some(first) = subjects.first() else {
        return Sheet::default();
    };
    let (paper, facts) = (first.paper(), first.input.facts);
    let mut frame = Canvas::new();
    paper.draw_frame(&mut frame);
    let [mut lines, mut body, mut strings, mut labels, mut exploded] =
        std::array::from_fn(|_| Canvas::new());
    let mut left = Vec::new();
    for (cell, number) in page.cells.iter().zip(1_usize..) {
        let mut drawn = draw_cell(&cell.subject, &cell.view);
        left.append(&mut drawn.left);
        draw_title(&mut drawn.labels, page, cell, number);
        let layers = [
            (&mut lines, "grid", drawn.grid.into_group("", "")),
            (&mut body, "wall", drawn.wall.into_group("", "")),
            (&mut strings, "dimensions", drawn.strings),
            (&mut labels, "labels", drawn.labels.into_group("", "")),
            (&mut exploded, "plates", drawn.plates.into_group("", "")),
        ];
        for (layer, name, group) in layers {
            put_of_wall(layer, &cell.subject, name, group);
        }
    }
    let mut cuts = Canvas::new();
    if let Some(rest) = page.rest {
        draw_details(&mut cuts, &subjects, &rest, &paper.lettering);
    }
    let mut side = Canvas::new();
    strip::draw_strip(&mut side, page, &subjects, &left);
    let mut ids: Vec<&str> = subjects.iter().map(|it| it.wall.id.as_str()).collect();
    ids.dedup();
    let mut storeys: Vec<&str> = subjects.iter().map(|it| it.wall.storey.as_str()).collect();
    storeys.dedup();
    let name = match ids.as_slice() {
        [one] => format!("{}-{one}", page.number),
        [one, .., last] => format!("{}-{one}-{last}", page.number),
        [] => page.number.clone(),
    };
    let [title, side_of] = strip::titles(&subjects);
    Sheet {
        name,
        title: format!(
            "{} {} {side_of}, {}",
            page.number,
            capitalised(&title),
            facts.building
        ),
        number: page.number.clone(),
        description:
            "Walls from outside with their panels, openings, chases and plates. Millimetres on paper."
                .to_owned(),
        paper: paper.name.to_owned(),
        width: paper.width,
        height: paper.height,
        data: vec![
            ("elevation".to_owned(), ids.join(" ")),
            ("storey".to_owned(), storeys.join(" ")),
            ("job".to_owned(), facts.number.clone()),
            ("scale".to_owned(), page.scale.data()),
        ],
        layers: vec![
            frame.into_group("frame", "Frame"),
            lines.into_group("grid", "Architect's grid"),
            body.into_group("wall", "Panels and openings"),
            strings.into_group("dimensions", "Dimensions"),
            labels.into_group("labels", "Marks and titles"),
            exploded.into_group("plates", "Plates, exploded"),
            cuts.into_group("details", "Details"),
            side.into_group("strip", "Notes, tables, title block"),
        ],
    }
}

/// Puts what belongs to a wall into a layer, as a group that names the wall.
fn put_of_wall(layer: &mut Canvas, subject: &Subject<'_>, name: &str, group: Group) {
    if group.items.is_empty() {
        return;
    }
    let part = subject.part[0].to_string();
    let mut data = vec![("wall", subject.wall.id.as_str())];
    if subject.part[1] > 1 {
        data.push(("part", &part));
    }
    let id = format!("{name}-{}", subject.key());
    layer.group_with(&id, &subject.title(), &data, |canvas| {
        for item in group.items {
            canvas.put(item);
        }
    });
}

/// A wall's title, at the foot of its cell.
fn draw_title(canvas: &mut Canvas, page: &Page<'_>, cell: &Cell<'_>, number: usize) {
    let (subject, area) = (&cell.subject, &cell.area);
    let lettering = subject.lettering();
    let title = title_words(subject);
    let mut remark = match subject.part {
        [_, 1] => format!("SCALE {}", page.scale.name),
        _ => {
            let whole = subject.run.length().feet_inches();
            format!("SCALE {}   Run overall {whole}", page.scale.name)
        }
    };
    for words in pitches(subject) {
        remark.push_str("   ");
        remark.push_str(&words);
    }
    let centre = spot(
        area.x0 + lettering.title * 2.0,
        area.y1 + lettering.title * 2.4,
    );
    let number = number.to_string();
    let [title, remark] = [title.as_str(), remark.as_str()];
    view_title(canvas, &lettering, centre, &number, title, remark, area.x1);
}

/// How steep the slopes of its top are, each once: rise on 12 along, and degrees.
fn pitches(subject: &Subject<'_>) -> Vec<String> {
    let stretches = subject.wall.profile.stretches();
    let sloped = stretches.filter(|it| !it.is_level());
    let mut words: Vec<String> = sloped
        .filter_map(|it| {
            let rise = Length::nearest(it.slope().abs() * 12.0, Length::fraction(0, 1, 16))?;
            let degrees = it.degrees().abs();
            Some(format!("Slope {} on 12, {degrees:.1}°", Inches(rise)))
        })
        .collect();
    words.sort();
    words.dedup();
    words
}

/// As many details of the walls as stand side by side; the detail sheets have them all.
fn draw_details(
    canvas: &mut Canvas,
    subjects: &[&Subject<'_>],
    area: &Area,
    lettering: &Lettering,
) {
    let Some(input) = subjects.first().map(|it| it.input) else {
        return;
    };
    let models = CutModels {
        building: input.building,
        layout: input.layout,
        fabrication: input.fabrication,
        rules: input.rules,
    };
    let mut details = Vec::new();
    for subject in subjects {
        merge(&mut details, wall_details(&models, subject.index));
    }
    let mut cells = Vec::new();
    let count = (area.width() / DETAIL).floor().max(1.0);
    let width = area.width() / count;
    let mut x = area.x0;
    while x + width <= area.x1 + 1e-6 {
        cells.push(Area::new(x, area.y0, x + width, area.y1));
        x += width;
    }
    let list = scales(input.facts.sheets.scales);
    for ((detail, cell), letter) in details.iter().zip(&cells).zip('A'..) {
        let name = letter.to_string();
        let id = format!("detail-{name}");
        canvas.group(&id, &detail.title, |canvas| {
            draw_detail(canvas, &models, lettering, list, detail, &name, cell);
        });
    }
}
