//! Measures what lies on what: every text against every other text and every line that is not covered beneath it.
//!
//! A line drawn before an opaque white shape (or a masked text) that holds the whole text is covered. Touching is not
//! overlapping: boxes are shrunk by [`TOUCH`].

use super::model::{Area, Form, Group, Item, Sheet, Spot, Text, on_circle};
use super::style::{Fill, Ink, dimension};

/// Less than this, mm on paper, is a touch that no reader sees.
pub const TOUCH: f64 = 0.05;

/// Something on something.
#[derive(Clone, Debug, PartialEq)]
pub enum Overlap {
    /// Two texts.
    Texts(String, String, Spot),
    /// A text and a line of the named group.
    Line(String, String, Spot),
    /// A text and a dark fill of the named group.
    Dark(String, String, Spot),
    /// A text that leaves its cell.
    Cell(String, Spot),
    /// A text that leaves the paper.
    Paper(String, Spot),
    /// A patch or white shape drawn over an earlier text.
    Covered(String, Spot),
    /// A white patch that hides a piece of a line the saw follows, of the named group.
    Cut(String, Spot),
}

/// Id of the layer that shows the architect's own drawing: it may overlap itself, and ours may lie on it.
pub const ARCHITECT: &str = "architect";

/// Ids of the groups with signs that mark a point and so stand on it: the datum corner, picks and centre of gravity.
pub(in crate::documents) const DATUM: &str = "datum";
pub(in crate::documents) const LIFTING: &str = "lifting";

/// Is a group of a panel's sheet what the saw follows: the outline or the edge of an opening?
pub(in crate::documents) fn is_cut_line(id: &str) -> bool {
    id.starts_with("outline-") || id.starts_with("opening-")
}

/// Everything that overlaps on a sheet, less the layer [`ARCHITECT`]; empty when all is well.
#[must_use]
pub fn overlaps(sheet: &Sheet) -> Vec<Overlap> {
    let mut flat = Flat::default();
    for layer in sheet.layers.iter().filter(|it| it.id != ARCHITECT) {
        flat.add(layer);
    }
    let paper = Area::new(0.0, 0.0, sheet.width, sheet.height);
    let mut found = Vec::new();
    for (i, text) in flat.texts.iter().enumerate() {
        let words = || text.words.clone();
        if !paper.holds(&text.area) {
            found.push(Overlap::Paper(words(), text.place));
        }
        if text
            .cell
            .is_some_and(|cell| !cell.grown(TOUCH).holds(&text.area))
        {
            found.push(Overlap::Cell(words(), text.place));
        }
        for other in &flat.texts[i + 1..] {
            if text.area.meets(&other.area) && quads_meet(&text.corners, &other.corners) {
                found.push(Overlap::Texts(words(), other.words.clone(), text.place));
            }
        }
        flat.against_shapes(text, &mut found);
    }
    flat.hidden_cuts(&mut found);
    found
}

/// Where the texts of a group stand.
pub(in crate::documents) fn text_areas(group: &Group) -> Vec<Area> {
    let mut flat = Flat::default();
    flat.add(group);
    flat.texts.iter().map(|text| text.area).collect()
}

/// What stands on paper, for a search of free places.
#[derive(Debug, Default)]
pub(in crate::documents) struct Standings {
    /// Boxes round texts.
    pub(in crate::documents) texts: Vec<Area>,
    /// Pieces of lines, and edges of what is filled other than white.
    pub(in crate::documents) lines: Vec<[Spot; 2]>,
}

/// Texts, lines and edges of fills in a group.
pub(in crate::documents) fn standings(group: &Group) -> Standings {
    let mut flat = Flat::default();
    flat.add(group);
    let fills = flat.fills.iter().filter(|it| it.fill != Fill::White);
    let edges = fills.flat_map(|it| {
        let next = it.ring.iter().cycle().skip(1);
        it.ring.iter().zip(next).map(|(a, b)| [*a, *b])
    });
    Standings {
        texts: flat.texts.iter().map(|text| text.area).collect(),
        lines: (flat.lines.iter().map(|it| [it.from, it.to]))
            .chain(edges)
            .collect(),
    }
}

/// From where to where a straight line runs within an area, along it from `from`; `None`: it passes by.
fn within(area: &Area, from: Spot, along: Spot) -> Option<(f64, f64)> {
    let axes = [
        (from.x, along.x, area.x0, area.x1),
        (from.y, along.y, area.y0, area.y1),
    ];
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    for (at, step, least, most) in axes {
        if step.abs() < 1e-9 {
            if at < least || at > most {
                return None;
            }
            continue;
        }
        let ends = [(least - at) / step, (most - at) / step];
        low = low.max(ends[0].min(ends[1]));
        high = high.min(ends[0].max(ends[1]));
    }
    (low < high).then_some((low, high))
}

/// A line square to the sheet, less what lies on texts.
pub(in crate::documents) fn clear_of(texts: &[Area], [from, to]: [Spot; 2]) -> Vec<[Spot; 2]> {
    let length = (to - from).x.hypot((to - from).y);
    let along = (to - from) / length;
    let mut blocked: Vec<(f64, f64)> = texts
        .iter()
        .map(|text| text.grown(0.6))
        .filter_map(|text| within(&text, from, along))
        .filter(|(low, high)| *high > 0.0 && *low < length)
        .collect();
    blocked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut pieces = Vec::new();
    let mut start = 0.0_f64;
    for (low, high) in blocked.into_iter().chain([(length, length)]) {
        if low - start > 0.5 {
            pieces.push([from + along * start, from + along * low.min(length)]);
        }
        start = start.max(high);
    }
    pieces
}

/// A text with its turned box.
struct FlatText {
    order: usize,
    words: String,
    place: Spot,
    corners: [Spot; 4],
    area: Area,
    cell: Option<Area>,
    is_white: bool,
}

/// A straight piece of a line.
struct FlatLine {
    order: usize,
    from: Spot,
    to: Spot,
    group: usize,
    /// Does the saw follow it?
    is_cut: bool,
}

/// A filled shape.
struct FlatFill {
    order: usize,
    ring: Vec<Spot>,
    area: Area,
    fill: Fill,
    group: usize,
}

#[derive(Default)]
struct Flat {
    order: usize,
    groups: Vec<String>,
    texts: Vec<FlatText>,
    lines: Vec<FlatLine>,
    fills: Vec<FlatFill>,
}

impl Flat {
    fn add(&mut self, group: &Group) {
        let index = self.groups.len();
        self.groups.push(if group.id.is_empty() {
            group.title.clone()
        } else {
            group.id.clone()
        });
        for item in &group.items {
            self.order += 1;
            match item {
                Item::Group(inner) => self.add(inner),
                Item::Text(text) => self.add_text(text, index),
                Item::Shape(shape) => {
                    let rings = rings(&shape.form);
                    if shape.fill != Fill::None {
                        for (ring, _) in rings.iter().filter(|(_, closed)| *closed) {
                            self.add_fill(ring.clone(), shape.fill, index);
                        }
                    }
                    if shape.stroke.is_some() {
                        let is_cut = is_cut_line(&group.id);
                        for (ring, closed) in rings {
                            self.add_lines(&ring, closed, index, is_cut);
                        }
                    }
                }
            }
        }
    }

    fn add_text(&mut self, text: &Text, group: usize) {
        if text.is_masked {
            self.add_fill(text.corners(dimension::MASK).to_vec(), Fill::White, group);
            self.order += 1;
        }
        let corners = text.corners(-TOUCH);
        self.texts.push(FlatText {
            order: self.order,
            words: text.words.clone(),
            place: text.at,
            area: Area::around(&corners).unwrap_or_default(),
            corners,
            cell: text.cell,
            is_white: text.ink == Ink::White,
        });
    }

    fn add_fill(&mut self, ring: Vec<Spot>, fill: Fill, group: usize) {
        self.fills.push(FlatFill {
            order: self.order,
            area: Area::around(&ring).unwrap_or_default(),
            ring,
            fill,
            group,
        });
    }

    fn add_lines(&mut self, points: &[Spot], closed: bool, group: usize, is_cut: bool) {
        let order = self.order;
        let back = closed.then(|| points.last().copied().zip(points.first().copied()));
        for (from, to) in points
            .windows(2)
            .filter_map(|pair| Some((*pair.first()?, *pair.last()?)))
            .chain(back.flatten())
        {
            self.lines.push(FlatLine {
                order,
                from,
                to,
                group,
                is_cut,
            });
        }
    }

    /// White patches over lines that the saw follows; signs that mark a point stand on it.
    fn hidden_cuts(&self, found: &mut Vec<Overlap>) {
        let name = |group: usize| self.groups.get(group).map_or("", String::as_str);
        for line in self.lines.iter().filter(|line| line.is_cut) {
            let hides = |fill: &&FlatFill| {
                fill.fill == Fill::White
                    && fill.order > line.order
                    && ![DATUM, LIFTING].contains(&name(fill.group))
                    && segment_meets_ring(line.from, line.to, &fill.ring, &fill.area)
            };
            for fill in self.fills.iter().filter(hides) {
                found.push(Overlap::Cut(
                    format!("{} under {}", name(line.group), name(fill.group)),
                    fill.area.middle(),
                ));
            }
        }
    }

    fn against_shapes(&self, text: &FlatText, found: &mut Vec<Overlap>) {
        let name = |group: usize| self.groups.get(group).cloned().unwrap_or_default();
        let mut covered = 0;
        for fill in self.fills.iter().filter(|fill| fill.area.meets(&text.area)) {
            let is_opaque = matches!(fill.fill, Fill::White | Fill::Light | Fill::Medium);
            if fill.order > text.order {
                if quad_meets_ring(&text.corners, &fill.ring) {
                    found.push(Overlap::Covered(text.words.clone(), text.place));
                }
            } else if is_opaque && text.corners.iter().all(|p| ring_holds(&fill.ring, *p)) {
                covered = covered.max(fill.order);
            }
        }
        for fill in &self.fills {
            let is_dark = matches!(fill.fill, Fill::Black | Fill::Accent);
            if is_dark
                && !text.is_white
                && fill.order > covered
                && fill.order < text.order
                && fill.area.meets(&text.area)
                && quad_meets_ring(&text.corners, &fill.ring)
            {
                found.push(Overlap::Dark(
                    text.words.clone(),
                    name(fill.group),
                    text.place,
                ));
            }
        }
        for line in self.lines.iter().filter(|line| line.order > covered) {
            if segment_meets_ring(line.from, line.to, &text.corners, &text.area) {
                found.push(Overlap::Line(
                    text.words.clone(),
                    name(line.group),
                    text.place,
                ));
            }
        }
    }
}

/// A shape's lines as rows of points, each with whether it is closed.
fn rings(form: &Form) -> Vec<(Vec<Spot>, bool)> {
    match form {
        Form::Line(a, b) => vec![(vec![*a, *b], false)],
        Form::Polyline(points) => vec![(points.clone(), false)],
        Form::Polygon(points) => vec![(points.clone(), true)],
        Form::Region(rings) => rings.iter().map(|ring| (ring.clone(), true)).collect(),
        Form::Area(area) => vec![(area.corners().to_vec(), true)],
        Form::Circle(centre, radius) => vec![(arc_points(*centre, *radius, 0.0, 360.0), true)],
        Form::Arc {
            centre,
            radius,
            start_deg,
            sweep_deg,
        } => vec![(arc_points(*centre, *radius, *start_deg, *sweep_deg), false)],
        Form::Hatch(lines) => lines.iter().map(|(a, b)| (vec![*a, *b], false)).collect(),
    }
}

fn arc_points(centre: Spot, radius: f64, start: f64, sweep: f64) -> Vec<Spot> {
    // Forty-eight chords to the circle lie within 0.05 mm of it up to a radius of 23 mm.
    (0..=48)
        .map(|i| on_circle(centre, radius, start + sweep * f64::from(i) / 48.0))
        .collect()
}

fn side(a: Spot, b: Spot, p: Spot) -> f64 {
    (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)
}

/// Does a point lie within a ring?
pub(in crate::documents) fn ring_holds(ring: &[Spot], p: Spot) -> bool {
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).fold(false, |inside, (a, b)| {
        let crosses =
            (a.y <= p.y) != (b.y <= p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y);
        inside != crosses
    })
}

/// Do a segment and a convex ring share a point? The quick test by upright boxes first.
fn segment_meets_ring(from: Spot, to: Spot, ring: &[Spot], area: &Area) -> bool {
    let reach = Area::of(from, to);
    if reach.x0 > area.x1 || reach.x1 < area.x0 || reach.y0 > area.y1 || reach.y1 < area.y0 {
        return false;
    }
    if ring_holds(ring, from) || ring_holds(ring, to) {
        return true;
    }
    let next = ring.iter().cycle().skip(1);
    ring.iter().zip(next).any(|(a, b)| {
        side(from, to, *a) * side(from, to, *b) < 0.0 && side(*a, *b, from) * side(*a, *b, to) < 0.0
    })
}

/// Do a convex corner-by-corner area and a ring share anything?
pub(in crate::documents) fn quad_meets_ring(quad: &[Spot; 4], ring: &[Spot]) -> bool {
    let area = Area::around(quad).unwrap_or_default();
    let next = ring.iter().cycle().skip(1);
    quad.iter().any(|p| ring_holds(ring, *p))
        || ring
            .iter()
            .zip(next)
            .any(|(a, b)| segment_meets_ring(*a, *b, quad, &area))
}

fn quads_meet(a: &[Spot; 4], b: &[Spot; 4]) -> bool {
    quad_meets_ring(a, b) || b.iter().any(|p| ring_holds(a, *p))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::documents::paper::canvas::{Canvas, Lettered};
    use crate::documents::paper::spot;
    use crate::documents::paper::style::Pen;

    #[track_caller]
    fn check(expected: &[&str], draw: impl FnOnce(&mut Canvas)) {
        let mut canvas = Canvas::new();
        draw(&mut canvas);
        let sheet = Sheet {
            width: 100.0,
            height: 100.0,
            layers: vec![canvas.into_group("all", "All")],
            ..Sheet::default()
        };
        let found: Vec<&str> = overlaps(&sheet)
            .iter()
            .map(|overlap| match overlap {
                Overlap::Texts(..) => "texts",
                Overlap::Line(..) => "line",
                Overlap::Dark(..) => "dark",
                Overlap::Cell(..) => "cell",
                Overlap::Paper(..) => "paper",
                Overlap::Covered(..) => "covered",
                Overlap::Cut(..) => "cut",
            })
            .collect();
        assert_eq!(found, expected);
    }

    const NOTE: Lettered = Lettered::cap(3.0);

    #[test]
    fn texts_side_by_side_are_fine_and_on_each_other_are_not() {
        check(&[], |canvas| {
            canvas.text(spot(10.0, 10.0), "W101", NOTE);
            canvas.text(spot(10.0, 14.0), "W102", NOTE);
        });
        check(&["texts"], |canvas| {
            canvas.text(spot(10.0, 10.0), "W101", NOTE);
            canvas.text(spot(13.0, 16.0), "W102", NOTE.upwards());
        });
    }

    #[test]
    fn a_patch_over_a_line_that_the_saw_follows_counts_beside_it_and_under_the_datum_it_does_not() {
        let outline = |canvas: &mut Canvas| {
            canvas.group("outline-W101", "", |canvas| {
                canvas.line(Pen::Heavy.full(), spot(0.0, 9.0), spot(50.0, 9.0));
            });
        };
        for (at, expected) in [(10.0, &["cut"][..]), (14.0, &[])] {
            check(expected, |canvas| {
                outline(canvas);
                canvas.text(spot(10.0, at), "W101", NOTE.masked());
            });
        }
        check(&[], |canvas| {
            outline(canvas);
            canvas.group(DATUM, "", |canvas| {
                canvas.shape(Form::Circle(spot(0.0, 9.0), 2.0), None, Fill::White);
            });
        });
    }

    #[test]
    fn a_line_through_a_text_counts_unless_it_is_covered() {
        let cross = |canvas: &mut Canvas| {
            canvas.line(Pen::Fine.full(), spot(0.0, 9.0), spot(50.0, 9.0));
        };
        check(&["line"], |canvas| {
            cross(canvas);
            canvas.text(spot(10.0, 10.0), "W101", NOTE);
        });
        check(&[], |canvas| {
            cross(canvas);
            canvas.text(spot(10.0, 10.0), "W101", NOTE.masked());
        });
        check(&["line"], |canvas| {
            canvas.text(spot(10.0, 10.0), "W101", NOTE.masked());
            cross(canvas);
        });
        check(&[], |canvas| {
            cross(canvas);
            canvas.circle(Pen::Thin.full(), Fill::White, spot(20.0, 9.0), 8.0);
            canvas.text_centred(spot(20.0, 9.0), "W1", NOTE.middle());
        });
    }

    #[test]
    fn turned_text_is_measured_as_it_lies() {
        check(&["line"], |canvas| {
            canvas.text(spot(50.0, 50.0), "LONG TURNED TEXT", NOTE.upwards());
            canvas.line(Pen::Fine.full(), spot(40.0, 30.0), spot(60.0, 30.0));
        });
        check(&[], |canvas| {
            canvas.text(spot(50.0, 50.0), "LONG TURNED TEXT", NOTE.upwards());
            canvas.line(Pen::Fine.full(), spot(40.0, 52.0), spot(60.0, 52.0));
        });
    }

    #[test]
    fn dark_ground_cells_paper_and_late_patches_are_seen() {
        check(&["dark"], |canvas| {
            canvas.fill(Fill::Black, Area::new(5.0, 5.0, 30.0, 15.0));
            canvas.text(spot(10.0, 10.0), "W101", NOTE);
        });
        check(&["cell"], |canvas| {
            canvas.text(
                spot(10.0, 10.0),
                "W101",
                NOTE.within(Area::new(9.0, 5.0, 12.0, 11.0)),
            );
        });
        check(&["paper"], |canvas| {
            canvas.text(spot(95.0, 10.0), "W101", NOTE);
        });
        check(&["covered"], |canvas| {
            canvas.text(spot(10.0, 10.0), "W101", NOTE);
            canvas.text(spot(10.0, 13.4), "W102", NOTE.masked());
        });
    }
}
