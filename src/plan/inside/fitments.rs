//! What hangs on walls as the plan draws it: cabinets inside, decks outside.
//!
//! ```text
//!   ═══════════════  face      cabinets: a line along the wall as far from its face as cabinets are deep, on a layer or in a
//!    ┌───────────┐             block of that name, or with their name written between line and face
//!    │    24     │
//!    └───────────┘             deck: its name outside the building, between the lines that run out from the wall
//! ```
//!
//! What is found is for the drafter to confirm. Depths and words: common practice, no source.

use crate::drawing::{Curve, Drawing, SourceIndex, Text};
use crate::plan::enclosure::outline::contains;
use crate::plan::lines::layers::{Known, Meaning, meaning};
use crate::plan::model::{Fitment, FitmentKind};
use crate::plan::nearby::{Area, Nearby};
use crate::plan::{Storey, Wall};
use crate::side_by_side::in_stretches;
use geo::Coord;

/// Depths of wall and of base cabinets with their counter, inches.
const DEPTHS: [(FitmentKind, f64, f64); 2] = [
    (FitmentKind::WallCabinets, 10.0, 16.0),
    (FitmentKind::BaseCabinets, 20.0, 27.0),
];
/// A line runs along a wall when its ends differ less in their distance from it, inches.
const ALONG: f64 = 0.25;
/// The narrowest box, inches.
const LEAST: f64 = 9.0;
/// Boxes nearer to each other stand in one row, inches.
const ROW: f64 = 1.0;
/// A deck's name stands within this of the wall, inches: half of a deck 40 ft deep.
const DECK_REACH: f64 = 240.0;
/// A deck's edge begins within this of the wall's face, inches: its trim or the siding lies between.
const AT_FACE: f64 = 12.0;

/// Words in names of layers and blocks that hold cabinets.
const CASEWORK: [&str; 14] = [
    "CABIN", "CASEWORK", "CASW", "A-CASE", "COUNTER", "MILLWORK", "KUECHE", "KÜCHE", "COCINA",
    "CUISINE", "CUCINA", "KEITTI", "КУХН", "橱",
];
/// Words written on cabinets.
const CABINET_WORDS: [&str; 7] = [
    "CABINET", "CABS", "UPPERS", "CASEWORK", "COUNTER", "VANITY", "CAB.",
];
/// Words written on decks that hang on walls; terraces and patios lie on the ground.
const DECK_WORDS: [&str; 9] = [
    "DECK",
    "BALCONY",
    "BALKON",
    "BALCON",
    "BALCÓN",
    "BALCONE",
    "PARVEKE",
    "БАЛКОН",
    "阳台",
];
/// A text with one of these is a note about a deck, not its name.
const NOT_A_DECK: [&str; 6] = ["ROOF", "JOIST", "LEDGER", "BELOW", "ABOVE", "METAL"];

/// A straight stroke.
struct Line {
    ends: [Coord<f64>; 2],
    source: SourceIndex,
    is_casework: bool,
}

/// For each storey what the drawing shows along its walls.
pub(in crate::plan) fn fitments(drawing: &Drawing, storeys: &[&Storey]) -> Vec<Vec<Fitment>> {
    let words: Vec<&Text> = drawing
        .texts
        .iter()
        .filter(|it| is_seen(drawing, it.source))
        .collect();
    let named = |list: &[&str]| -> Vec<&Text> {
        let all = words.iter().copied();
        all.filter(|text| says(&text.content, list)).collect()
    };
    let cabinets = named(&CABINET_WORDS);
    let decks: Vec<&Text> = named(&DECK_WORDS)
        .into_iter()
        .filter(|text| text.content.chars().count() <= 28 && !says(&text.content, &NOT_A_DECK))
        .collect();
    let lines = lines(drawing);
    if cabinets.is_empty() && decks.is_empty() && !lines.iter().any(|it| it.is_casework) {
        return vec![Vec::new(); storeys.len()];
    }
    let index = Nearby::lines(lines.iter().map(|it| it.ends.into()));
    let of_storey = |storey: &&Storey| {
        in_stretches(storey.walls.len(), |part| {
            let on = |wall: &Wall| {
                let mut found = along(drawing, (&lines, &index), &cabinets, wall);
                found.extend(decks_on(drawing, &lines, &decks, storey, wall));
                found
            };
            storey.walls[part].iter().flat_map(on).collect()
        })
    };
    storeys.iter().map(of_storey).collect()
}

fn says(text: &str, words: &[&str]) -> bool {
    let upper = text.to_uppercase();
    words.iter().any(|word| upper.contains(word))
}

fn is_seen(drawing: &Drawing, index: SourceIndex) -> bool {
    let source = drawing.sources.get(index.0 as usize);
    source.is_some_and(|it| !it.is_hidden)
}

/// Lines that may be edges of cabinets or decks: none of walls, doors, windows, notes or what is set aside.
fn lines(drawing: &Drawing) -> Vec<Line> {
    let casework: fn(&str) -> bool =
        |name| says(name.rsplit(['$', '|']).next().unwrap_or(name), &CASEWORK);
    let mut meanings = Known::new(meaning);
    let [mut is_casework, mut holds_casework] = [Known::new(casework), Known::new(casework)];
    let mut list = Vec::new();
    for stroke in &drawing.strokes {
        let Curve::Line { start, end } = stroke.curve else {
            continue;
        };
        let Some(source) = drawing.sources.get(stroke.source.0 as usize) else {
            continue;
        };
        let by_name = is_casework.get(&source.layer)
            || (source.blocks.last()).is_some_and(|it| holds_casework.get(it));
        let is_free = matches!(
            meanings.get(&source.layer),
            Meaning::Furnishing | Meaning::Unknown
        );
        if !source.is_hidden && (by_name || is_free) {
            list.push(Line {
                ends: [start, end],
                source: stroke.source,
                is_casework: by_name,
            });
        }
    }
    list
}

/// A wall's own axes: along it from its start, and off its centre line to the left.
struct Axes {
    start: Coord<f64>,
    along: Coord<f64>,
    length: f64,
}

impl Axes {
    fn of(wall: &Wall) -> Option<Self> {
        let d = wall.end - wall.start;
        let length = d.x.hypot(d.y);
        (length > 1.0).then(|| Self {
            start: wall.start,
            along: d / length,
            length,
        })
    }

    fn local(&self, p: Coord<f64>) -> (f64, f64) {
        let d = p - self.start;
        (
            d.x * self.along.x + d.y * self.along.y,
            d.y * self.along.x - d.x * self.along.y,
        )
    }

    fn point(&self, s: f64, off: f64) -> Coord<f64> {
        let left = Coord {
            x: -self.along.y,
            y: self.along.x,
        };
        self.start + self.along * s + left * off
    }
}

/// Rows of cabinets along a wall: of an exterior wall inside, of an interior one on both sides.
fn along(
    drawing: &Drawing,
    (lines, index): (&[Line], &Nearby),
    names: &[&Text],
    wall: &Wall,
) -> Vec<Fitment> {
    let Some(axes) = Axes::of(wall) else {
        return Vec::new();
    };
    let reach = wall.thickness / 2.0 + DEPTHS.iter().fold(ALONG, |most, it| most.max(it.2));
    let Some(area) = Area::around(&[wall.start, wall.end], reach) else {
        return Vec::new();
    };
    let near = index.sorted(&area);
    let sides: &[f64] = if wall.is_exterior {
        &[1.0]
    } else {
        &[1.0, -1.0]
    };
    let mut found = Vec::new();
    for side in sides {
        for (kind, least, most) in DEPTHS {
            let mut fronts: Vec<(f64, f64, Option<&Text>, SourceIndex)> = Vec::new();
            for line in near.iter().map(|i| &lines[*i]) {
                let [(s0, off0), (s1, off1)] = line.ends.map(|p| axes.local(p));
                let depth = off0 * side - wall.thickness / 2.0;
                let (from, to) = (s0.min(s1).max(0.0), s0.max(s1).min(axes.length));
                if (off0 - off1).abs() > ALONG || depth < least || depth > most || to - from < LEAST
                {
                    continue;
                }
                let on_it = names.iter().find(|text| {
                    let (s, off) = axes.local(text.middle);
                    let off = off * side - wall.thickness / 2.0;
                    from <= s && s <= to && 0.0 < off && off < depth
                });
                if line.is_casework || on_it.is_some() {
                    fronts.push((from, to, on_it.copied(), line.source));
                }
            }
            found.extend(rows(drawing, fronts, |from, to| Fitment {
                kind,
                wall: wall.id.clone(),
                from: axes.point(from, side * wall.thickness / 2.0),
                to: axes.point(to, side * wall.thickness / 2.0),
                ..Fitment::default()
            }));
        }
    }
    found
}

/// Fronts that follow or cover one another as rows, from left to right.
fn rows(
    drawing: &Drawing,
    mut fronts: Vec<(f64, f64, Option<&Text>, SourceIndex)>,
    row: impl Fn(f64, f64) -> Fitment,
) -> Vec<Fitment> {
    fronts.sort_by(|p, q| {
        p.0.total_cmp(&q.0)
            .then(p.1.total_cmp(&q.1))
            .then(p.3.cmp(&q.3))
    });
    let mut found: Vec<(f64, f64, Vec<SourceIndex>, String)> = Vec::new();
    for (from, to, text, source) in fronts {
        match found.last_mut() {
            Some(last) if from <= last.1 + ROW => last.1 = last.1.max(to),
            _ => found.push((from, to, Vec::new(), String::new())),
        }
        if let Some((_, _, sources, label)) = found.last_mut() {
            sources.push(source);
            if let Some(text) = text {
                sources.push(text.source);
                label.clone_from(&text.content);
            }
        }
    }
    let whole = found.into_iter();
    whole
        .map(|(from, to, sources, label)| Fitment {
            label,
            sources: handles(drawing, sources),
            ..row(from, to)
        })
        .collect()
}

/// Decks named outside an exterior wall, from edge to edge, or over the whole wall where no edges are drawn.
fn decks_on(
    drawing: &Drawing,
    lines: &[Line],
    names: &[&Text],
    storey: &Storey,
    wall: &Wall,
) -> Vec<Fitment> {
    let Some(axes) = Axes::of(wall).filter(|_| wall.is_exterior && !storey.outline.is_empty())
    else {
        return Vec::new();
    };
    let half = wall.thickness / 2.0;
    let beyond = |p: Coord<f64>| -axes.local(p).1 - half;
    let mut found: Vec<Fitment> = Vec::new();
    for text in names {
        let (at, reach) = (axes.local(text.middle).0, beyond(text.middle));
        let is_here = (0.0..=axes.length).contains(&at) && (0.0..DECK_REACH).contains(&reach);
        if !is_here
            || contains(&storey.outline, text.middle)
            || is_nearer(storey, wall, text, reach)
        {
            continue;
        }
        let mut edges = [(0.0, None), (axes.length, None)];
        for line in lines {
            let [(s0, _), (s1, _)] = line.ends.map(|p| axes.local(p));
            let outs = line.ends.map(beyond);
            let (near, far) = (outs[0].min(outs[1]), outs[0].max(outs[1]));
            if (s0 - s1).abs() > ALONG || near.abs() > AT_FACE || far < reach {
                continue;
            }
            let s = f64::midpoint(s0, s1);
            if s < at && s > edges[0].0 {
                edges[0] = (s, Some(line.source));
            } else if s > at && s < edges[1].0 {
                edges[1] = (s, Some(line.source));
            }
        }
        let mut sources = vec![text.source];
        sources.extend(edges.iter().filter_map(|it| it.1));
        found.push(Fitment {
            kind: FitmentKind::Deck,
            wall: wall.id.clone(),
            from: axes.point(edges[0].0, -half),
            to: axes.point(edges[1].0, -half),
            label: text.content.trim().to_owned(),
            sources: handles(drawing, sources),
        });
    }
    // One deck may bear its name and its size: each stretch counts once.
    found.dedup_by(|p, q| p.from == q.from && p.to == q.to);
    found
}

/// True when another exterior wall faces a text from nearer.
fn is_nearer(storey: &Storey, own: &Wall, text: &Text, reach: f64) -> bool {
    let others = storey
        .walls
        .iter()
        .filter(|it| it.is_exterior && it.id != own.id);
    others.into_iter().any(|wall| {
        let Some(axes) = Axes::of(wall) else {
            return false;
        };
        let (s, off) = axes.local(text.middle);
        let out = -off - wall.thickness / 2.0;
        (0.0..=axes.length).contains(&s) && (0.0..reach).contains(&out)
    })
}

fn handles(drawing: &Drawing, mut sources: Vec<SourceIndex>) -> Vec<String> {
    sources.sort_unstable();
    sources.dedup();
    let all = sources.into_iter();
    let mut handles: Vec<String> = all
        .filter_map(|index| drawing.sources.get(index.0 as usize))
        .map(|source| source.handle.clone())
        .collect();
    handles.dedup();
    handles
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::{Source, Stroke};

    /// A house 30 ft by 20 ft with walls 6 in thick: its south and its east wall.
    fn storey() -> Storey {
        let wall = |id: &str, start: (f64, f64), end: (f64, f64)| Wall {
            id: id.to_owned(),
            is_exterior: true,
            start: start.into(),
            end: end.into(),
            thickness: 6.0,
            ..Wall::default()
        };
        let corners = [(0.0, 0.0), (360.0, 0.0), (360.0, 240.0), (0.0, 240.0)];
        Storey {
            outline: corners.map(Coord::from).to_vec(),
            walls: vec![
                wall("X1", (3.0, 3.0), (357.0, 3.0)),
                wall("X2", (357.0, 3.0), (357.0, 237.0)),
            ],
            ..Storey::default()
        }
    }

    fn drawing(layer: &str, lines: &[[f64; 4]], texts: &[(&str, f64, f64)]) -> Drawing {
        let mut it = Drawing::default();
        let mut source = |layer: &str| {
            let handle = format!("{:X}", it.sources.len() + 16);
            it.sources.push(Source {
                handle,
                layer: layer.to_owned(),
                ..Source::default()
            });
            SourceIndex(u32::try_from(it.sources.len() - 1).unwrap())
        };
        for [x0, y0, x1, y1] in lines {
            it.strokes.push(Stroke {
                curve: Curve::Line {
                    start: (*x0, *y0).into(),
                    end: (*x1, *y1).into(),
                },
                source: source(layer),
                part: 0,
                is_face: false,
                is_approximate: false,
            });
        }
        for (content, x, y) in texts {
            it.texts.push(Text {
                content: (*content).to_owned(),
                at: (*x, *y).into(),
                middle: (*x, *y).into(),
                height: 6.0,
                angle: 0.0,
                tag: None,
                is_underlined: false,
                placement: None,
                source: source("A-TEXT"),
            });
        }
        it
    }

    #[track_caller]
    fn check(drawing: &Drawing, expected: &[&str]) {
        let found = fitments(drawing, &[&storey()]);
        let found: Vec<String> = found[0]
            .iter()
            .map(|it| {
                let (a, b) = (it.from, it.to);
                let sources = it.sources.join(" ");
                format!(
                    "{} {} {},{} {},{} [{}] {sources}",
                    it.wall,
                    it.kind.name(),
                    a.x,
                    a.y,
                    b.x,
                    b.y,
                    it.label
                )
            })
            .collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn a_front_on_a_layer_of_cabinets_is_a_row_along_its_wall() {
        // Two boxes side by side, and one over them 12 in deep.
        let lines = [
            [40.0, 30.0, 76.0, 30.0],
            [76.5, 30.0, 100.0, 30.0],
            [40.0, 30.0, 40.0, 6.0],
            [50.0, 18.0, 90.0, 18.0],
        ];
        let expected = [
            "X1 wall cabinets 50,6 90,6 [] 13",
            "X1 base cabinets 40,6 100,6 [] 10 11",
        ];
        check(&drawing("A-CASEWORK", &lines, &[]), &expected);
        // A line that is not named says nothing.
        check(&drawing("A-FURN", &lines, &[]), &[]);
        // Depths that no cabinet has.
        check(&drawing("CABINETS", &[[40.0, 46.0, 90.0, 46.0]], &[]), &[]);
    }

    #[test]
    fn what_is_written_on_a_box_names_it() {
        let lines = [[40.0, 30.0, 76.0, 30.0], [200.0, 30.0, 240.0, 30.0]];
        let it = drawing("0", &lines, &[("BASE CABINET", 50.0, 18.0)]);
        check(&it, &["X1 base cabinets 40,6 76,6 [BASE CABINET] 10 12"]);
    }

    #[test]
    fn a_deck_reaches_from_edge_to_edge_and_without_edges_along_its_wall() {
        let edges = [
            [370.0, 60.0, 480.0, 60.0],
            [361.0, 200.0, 480.0, 200.0],
            [480.0, 60.0, 480.0, 200.0],
            // The leaf of a door is shorter than the deck is deep.
            [360.0, 100.0, 396.0, 100.0],
        ];
        let name = [("WOOD DECK", 420.0, 120.0)];
        let expected = ["X2 deck 360,60 360,200 [WOOD DECK] 10 11 14"];
        check(&drawing("A-FLOR", &edges, &name), &expected);
        let expected = ["X2 deck 360,3 360,237 [WOOD DECK] 10"];
        check(&drawing("A-FLOR", &[], &name), &expected);
        // Inside it is a room's name, and a roof's deck is no deck.
        check(&drawing("A-FLOR", &[], &[("DECK", 100.0, 100.0)]), &[]);
        check(&drawing("A-FLOR", &[], &[("ROOF DECK", 420.0, 120.0)]), &[]);
    }
}
