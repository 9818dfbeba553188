//! What a trace has to say, before any of it is drawn: questions, openings, layers, units, gaps.

use super::units::Units;
use crate::drawing::Drawing;
use crate::fabrication::codes::MIRRORED_TWIN;
use crate::findings::{Finding, Severity, base_name};
use crate::plan::{Opening, OpeningKind, Plan, Storey, Wall, unused_strokes};
use geo::Coord;
use std::collections::{BTreeMap, BTreeSet};

/// A doubt or a fault, to be answered on paper. Findings that say the same are one question with several places.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Question {
    /// As numbered on the sheet, from 1: faults first.
    pub(crate) number: usize,
    /// True when panels may not be built before it is answered.
    pub(crate) is_fault: bool,
    /// Printed code.
    pub(crate) code: &'static str,
    /// What it is about: ids, or the file.
    pub(crate) about: Vec<String>,
    /// What was seen, as a sentence.
    pub(crate) seen: String,
    /// What to do about it, as a sentence; empty when the finding has no hint.
    pub(crate) hint: String,
    /// Where: drawing inches; empty when it is about the drawing as a whole.
    pub(crate) places: Vec<Coord<f64>>,
}

/// The questions of one storey; what names no storey stands on the first sheet. That two panels mirror each other asks nobody
/// anything: it warns those who cut and set them.
pub(crate) fn questions(findings: &[Finding], plan: &Plan, storey: &Storey) -> Vec<Question> {
    let is_first = plan.storeys.first().is_none_or(|it| it.id == storey.id);
    let mut found: Vec<(&Finding, Question)> = Vec::new();
    for severity in [Severity::Fault, Severity::Doubt] {
        let asks = |it: &&Finding| it.severity == severity && it.code != MIRRORED_TWIN;
        for finding in findings.iter().filter(asks) {
            let is_here = match &finding.place.storey {
                Some(id) => *id == storey.id,
                None => match &finding.place.element {
                    Some(element) => has_element(storey, element),
                    None => is_first,
                },
            };
            if !is_here {
                continue;
            }
            let about = about(finding, storey);
            let place = place_of(finding, storey);
            match found
                .iter_mut()
                .find(|(first, _)| first.says_the_same(finding))
            {
                Some((_, same)) => {
                    // Several places of one file name it once.
                    let known = &same.about;
                    let new = about.filter(|it| !known.contains(it));
                    same.about.extend(new);
                    same.places.extend(place);
                }
                None => {
                    let question = Question {
                        number: found.len() + 1,
                        is_fault: severity == Severity::Fault,
                        code: finding.code.name(),
                        about: about.into_iter().collect(),
                        seen: sentence(&finding.message),
                        hint: sentence(&finding.hint),
                        places: place.into_iter().collect(),
                    };
                    found.push((finding, question));
                }
            }
        }
    }
    found.into_iter().map(|(_, question)| question).collect()
}

fn has_element(storey: &Storey, id: &str) -> bool {
    storey.walls.iter().any(|it| it.id == id)
        || storey.openings.iter().any(|it| it.id == id)
        || storey.rooms.iter().any(|it| it.id == id)
}

/// `O7 in X3`, `X2`, the place in the plan, a layer, a file: whatever says best where to look.
fn about(finding: &Finding, storey: &Storey) -> Option<String> {
    let place = &finding.place;
    if let Some(id) = &place.element {
        return Some(match storey.openings.iter().find(|it| it.id == *id) {
            Some(opening) => format!("{id} in {}", opening.wall),
            None => id.clone(),
        });
    }
    if let Some(mark) = &place.panel {
        return Some(format!("panel {mark}"));
    }
    // A line of the job says more than the place it names.
    let at = place.at.filter(|_| place.line.is_none());
    if let Some(near) = at.and_then(|[x, y]| near(storey, Coord { x, y })) {
        return Some(near);
    }
    match (&place.layer, place.sources.first()) {
        (Some(layer), _) => Some(format!("layer {layer}")),
        (None, Some(handle)) => Some(format!("entity {handle}")),
        // On paper the folders of a file say nothing.
        (None, None) => place.file.as_ref().map(|file| base_name(file).to_owned()),
    }
}

/// A point this near a wall's face is at that wall, inches; further off it is in its room, else beside the nearest wall.
const AT_WALL: f64 = 12.0;
/// Beside a wall is up to this far off, inches: 20 ft.
const BESIDE_WALL: f64 = 240.0;

/// Where in a storey a point is, by the wall or the room; `None` far off every wall.
fn near(storey: &Storey, p: Coord<f64>) -> Option<String> {
    let off = |wall: &Wall| {
        let along = wall.end - wall.start;
        let long = along.x.hypot(along.y).max(1e-9);
        let off = p - wall.start;
        let share = ((off.x * along.x + off.y * along.y) / (long * long)).clamp(0.0, 1.0);
        let foot = off - along * share;
        foot.x.hypot(foot.y) - wall.thickness / 2.0
    };
    let walls = storey.walls.iter().map(|wall| (off(wall), wall));
    let (far, wall) = walls.min_by(|a, b| a.0.total_cmp(&b.0))?;
    if far <= AT_WALL {
        return Some(format!("at {}", wall.id));
    }
    if let Some(room) = storey.room_at(p) {
        let named = format!("in {} {}", room.id, room.name);
        return Some(named.trim_end().to_owned());
    }
    (far <= BESIDE_WALL).then(|| format!("beside {}", wall.id))
}

/// The point a finding names, else the middle of the wall or opening it names.
fn place_of(finding: &Finding, storey: &Storey) -> Option<Coord<f64>> {
    if let Some([x, y]) = finding.place.at {
        return Some(Coord { x, y });
    }
    let id = finding.place.element.as_ref()?;
    let opening = storey.openings.iter().find(|it| it.id == *id);
    let wall = storey.walls.iter().find(|it| it.id == *id);
    opening
        .map(|it| it.centre)
        .or_else(|| wall.map(|it| (it.start + it.end) / 2.0))
}

/// With a capital and a full stop, as on paper.
pub(crate) fn sentence(words: &str) -> String {
    let words = words.trim();
    let mut letters = words.chars();
    let Some(first) = letters.next() else {
        return String::new();
    };
    let stop = if words.ends_with(['.', '?', '!', ':']) {
        ""
    } else {
        "."
    };
    format!("{}{}{stop}", first.to_uppercase(), letters.as_str())
}

/// A line of the table of openings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct OpeningRow {
    /// Id.
    pub(crate) id: String,
    /// `Door`, `Window`, `Opening`, `Garage door`.
    pub(crate) kind: &'static str,
    /// Its wall.
    pub(crate) wall: String,
    /// Width and height of the unit; `?` where unknown.
    pub(crate) size: String,
    /// What it was read from.
    pub(crate) read_from: String,
}

/// The table of openings, exterior ones first, as in the plan.
pub(crate) fn opening_rows(
    drawing: Option<&Drawing>,
    storey: &Storey,
    questions: &[Question],
    units: Units,
) -> Vec<OpeningRow> {
    let kinds = source_kinds(drawing);
    let mut rows: Vec<(bool, OpeningRow)> = storey
        .openings
        .iter()
        .map(|opening| {
            let is_interior = !is_exterior(storey, opening);
            (
                is_interior,
                OpeningRow {
                    id: opening.id.clone(),
                    kind: kind_name(opening.kind),
                    wall: opening.wall.clone(),
                    size: size_of(opening, units),
                    read_from: read_from(opening, &kinds, questions),
                },
            )
        })
        .collect();
    rows.sort_by_key(|(is_interior, _)| *is_interior);
    rows.into_iter().map(|(_, row)| row).collect()
}

/// True when its wall is exterior.
pub(crate) fn is_exterior(storey: &Storey, opening: &Opening) -> bool {
    storey
        .walls
        .iter()
        .any(|wall| wall.id == opening.wall && wall.is_exterior)
}

/// A kind as printed.
pub(crate) const fn kind_name(kind: OpeningKind) -> &'static str {
    match kind {
        OpeningKind::Door => "Door",
        OpeningKind::Window => "Window",
        OpeningKind::Opening => "Opening",
        OpeningKind::GarageDoor => "Garage door",
    }
}

/// `3'-0" × 6'-8"`, or `900 × 2030`: the width as drawn, and the height where the plan states it.
pub(crate) fn size_of(opening: &Opening, units: Units) -> String {
    format!(
        "{} × {}",
        units.inches(opening.width),
        opening
            .height
            .map_or_else(|| "?".to_owned(), |it| units.inches(it))
    )
}

/// Entity type by handle.
fn source_kinds(drawing: Option<&Drawing>) -> BTreeMap<&str, &str> {
    drawing
        .map(|it| {
            it.sources
                .iter()
                .map(|source| (source.handle.as_str(), source.kind.as_str()))
                .collect()
        })
        .unwrap_or_default()
}

fn read_from(opening: &Opening, kinds: &BTreeMap<&str, &str>, questions: &[Question]) -> String {
    let mut parts = Vec::new();
    match &opening.tag {
        Some(tag) => parts.push(format!("tag {tag}")),
        None => parts.push("no tag".to_owned()),
    }
    let handles = || opening.sources.iter().map(String::as_str);
    if opening.swing.is_some() || handles().any(|it| kinds.get(it) == Some(&"ARC")) {
        parts.push("swing".to_owned());
    } else if handles().any(|it| it.contains('/') || kinds.get(it) == Some(&"INSERT")) {
        parts.push("block".to_owned());
    } else if opening.kind == OpeningKind::Window {
        parts.push("glass".to_owned());
    } else {
        parts.push("jambs".to_owned());
    }
    let name = format!("{} in {}", opening.id, opening.wall);
    let asked: Vec<String> = questions
        .iter()
        .filter(|it| it.about.contains(&name))
        .map(|it| it.number.to_string())
        .collect();
    if !asked.is_empty() {
        parts.push(format!("question {}", asked.join(", ")));
    }
    parts.join(", ")
}

/// A layer from which nothing, or not everything, became a wall or an opening.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct LayerRow {
    /// Name.
    pub(crate) name: String,
    /// Strokes on it that became neither.
    pub(crate) unused: usize,
    /// Strokes on it in all.
    pub(crate) strokes: usize,
    /// Why, as far as is known.
    pub(crate) why: &'static str,
}

/// Layers with strokes that were read and not used, the fullest first.
pub(crate) fn unused_layers(drawing: &Drawing, storeys: &[&Storey]) -> Vec<LayerRow> {
    let shown = drawing.sources.iter().filter(|it| !it.is_hidden);
    let shown: BTreeSet<&str> = shown.map(|it| it.handle.as_str()).collect();
    let mut rows: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (stroke, is_unused) in drawing.strokes.iter().zip(unused_strokes(drawing, storeys)) {
        let Some(source) = usize::try_from(stroke.source.0)
            .ok()
            .and_then(|index| drawing.sources.get(index))
        else {
            continue;
        };
        // Storeys that windows part are read once for each, the other's layers hidden.
        if source.is_hidden && !source.handle.is_empty() && shown.contains(source.handle.as_str()) {
            continue;
        }
        let row = rows.entry(source.layer.as_str()).or_default();
        row.0 += usize::from(is_unused);
        row.1 += 1;
    }
    let mut rows: Vec<LayerRow> = rows
        .into_iter()
        .filter(|(_, (unused, _))| *unused > 0)
        .map(|(name, (unused, strokes))| {
            let layer = drawing.layers.iter().find(|it| it.name == name);
            LayerRow {
                name: name.to_owned(),
                unused,
                strokes,
                why: match layer {
                    Some(it) if it.is_frozen => "frozen in the file",
                    Some(it) if it.is_off => "switched off in the file",
                    _ if unused == strokes => "no wall, no opening",
                    _ => "partly used",
                },
            }
        })
        .collect();
    rows.sort_by(|a, b| b.unused.cmp(&a.unused).then_with(|| a.name.cmp(&b.name)));
    rows
}

/// Two free ends of exterior walls between which the outline does not close.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Gap {
    /// One end, drawing inches.
    pub(crate) from: Coord<f64>,
    /// The other; the same point when no other end is free.
    pub(crate) to: Coord<f64>,
}

/// The gaps of an outline that does not close: those that findings name, else free ends of exterior walls, each with the
/// nearest other one.
///
/// An end is free when no other exterior wall comes within half its own thickness and half the other's.
pub(crate) fn outline_gaps(storey: &Storey, findings: &[Finding]) -> Vec<Gap> {
    if !storey.outline.is_empty() {
        return Vec::new();
    }
    let named: Vec<Gap> = findings
        .iter()
        .filter(|it| it.place.storey.as_ref().is_none_or(|id| *id == storey.id))
        .filter_map(|it| it.place.between)
        .map(|[from, to]| Gap {
            from: from.into(),
            to: to.into(),
        })
        .collect();
    if !named.is_empty() {
        return named;
    }
    let walls: Vec<_> = storey.walls.iter().filter(|it| it.is_exterior).collect();
    let mut free: Vec<Coord<f64>> = Vec::new();
    for (index, wall) in walls.iter().enumerate() {
        for end in [wall.start, wall.end] {
            let meets = walls.iter().enumerate().any(|(other, it)| {
                other != index
                    && distance_to_line(end, it.start, it.end)
                        <= f64::midpoint(wall.thickness, it.thickness)
            });
            if !meets {
                free.push(end);
            }
        }
    }
    let mut gaps = Vec::new();
    while let Some(from) = free.first().copied() {
        free.remove(0);
        let nearest = free
            .iter()
            .enumerate()
            .min_by(|a, b| distance(*a.1, from).total_cmp(&distance(*b.1, from)))
            .map(|(index, to)| (index, *to));
        let to = match nearest {
            Some((index, to)) => {
                free.remove(index);
                to
            }
            None => from,
        };
        gaps.push(Gap { from, to });
    }
    gaps
}

pub(crate) fn distance(a: Coord<f64>, b: Coord<f64>) -> f64 {
    (a.x - b.x).hypot(a.y - b.y)
}

fn distance_to_line(p: Coord<f64>, a: Coord<f64>, b: Coord<f64>) -> f64 {
    let d = b - a;
    let square = d.x * d.x + d.y * d.y;
    let t = if square > 0.0 {
        (((p.x - a.x) * d.x + (p.y - a.y) * d.y) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    distance(p, a + d * t)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::findings::{Code, Place};
    use crate::plan::Wall;

    const SILL: Code = Code::new("TEST-01");
    const OPEN: Code = Code::new("TEST-02");

    fn storey() -> Storey {
        Storey {
            id: "S1".to_owned(),
            openings: ["O1", "O2"]
                .map(|id| Opening {
                    id: id.to_owned(),
                    wall: "X1".to_owned(),
                    width: 36.0,
                    ..Opening::default()
                })
                .to_vec(),
            ..Storey::default()
        }
    }

    #[test]
    fn a_question_is_headed_by_its_place_in_the_plan() {
        let wall = |id: &str, x: f64| Wall {
            id: id.to_owned(),
            start: Coord { x, y: 0.0 },
            end: Coord { x, y: 200.0 },
            thickness: 6.0,
            ..Wall::default()
        };
        let corners = [(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)];
        let storey = Storey {
            walls: vec![wall("X1", 0.0), wall("X2", 300.0)],
            rooms: vec![crate::plan::Room {
                id: "R1".to_owned(),
                name: "BATH".to_owned(),
                outline: corners.map(Coord::from).to_vec(),
                ..crate::plan::Room::default()
            }],
            ..storey()
        };
        let said = |at: Option<[f64; 2]>| {
            let place = Place {
                at,
                layer: Some("DIM".to_owned()),
                ..Place::default()
            };
            let finding = Finding::doubt(OPEN, place, "something", "");
            about(&finding, &storey)
        };
        for (at, words) in [
            ([10.0, 90.0], "at X1"),
            ([150.0, 90.0], "in R1 BATH"),
            ([340.0, 90.0], "beside X2"),
            ([4000.0, 90.0], "layer DIM"),
        ] {
            assert_eq!(said(Some(at)).as_deref(), Some(words));
        }
        assert_eq!(said(None).as_deref(), Some("layer DIM"));
    }

    #[test]
    fn questions_that_say_the_same_are_one_and_faults_come_first() {
        let storey = storey();
        let plan = Plan {
            storeys: vec![storey.clone()],
            ..Plan::default()
        };
        let findings = [
            Finding::doubt(SILL, Place::element("S1", "O1"), "no height", "tag it"),
            Finding::note(SILL, Place::element("S1", "O2"), "fine", ""),
            Finding::doubt(SILL, Place::element("S1", "O2"), "no height", "tag it"),
            Finding::fault(OPEN, Place::file("plan.dxf"), "does not close", ""),
        ];
        let questions = questions(&findings, &plan, &storey);
        let about: Vec<_> = questions.iter().map(|it| it.about.join(", ")).collect();
        assert_eq!(about, ["plan.dxf", "O1 in X1, O2 in X1"]);
        assert_eq!(questions[1].seen, "No height.");
        assert_eq!(questions[1].places.len(), 2);
        assert_eq!(size_of(&storey.openings[0], Units::Imperial), "3'-0\" × ?");
    }

    #[test]
    fn an_open_ring_shows_both_ends_of_its_gap() {
        let wall = |start: (f64, f64), end: (f64, f64)| Wall {
            is_exterior: true,
            start: start.into(),
            end: end.into(),
            thickness: 6.0,
            ..Wall::default()
        };
        let storey = Storey {
            walls: vec![
                wall((0.0, 0.0), (300.0, 0.0)),
                wall((300.0, 0.0), (300.0, 200.0)),
                wall((300.0, 200.0), (0.0, 200.0)),
                wall((0.0, 200.0), (0.0, 40.0)),
            ],
            ..Storey::default()
        };
        let gap = Gap {
            from: (0.0, 0.0).into(),
            to: (0.0, 40.0).into(),
        };
        assert_eq!(outline_gaps(&storey, &[]), [gap]);
    }

    #[test]
    fn a_layer_hidden_in_the_window_of_another_storey_only_is_used() {
        use crate::drawing::{Curve, Source, SourceIndex, Stroke};
        let source = |handle: &str, layer: &str, is_hidden: bool| Source {
            handle: handle.to_owned(),
            layer: layer.to_owned(),
            is_hidden,
            ..Source::default()
        };
        let stroke = |number: u32| Stroke {
            curve: Curve::Line {
                start: Coord { x: 0.0, y: 0.0 },
                end: Coord { x: 100.0, y: 0.0 },
            },
            source: SourceIndex(number),
            part: 0,
            is_face: false,
            is_approximate: false,
        };
        // Read for two storeys: one line once shown and once hidden, one hidden in both.
        let drawing = Drawing {
            sources: vec![
                source("A", "WALL", false),
                source("A", "WALL", true),
                source("B", "OLD", true),
                source("B", "OLD", true),
            ],
            strokes: (0..4).map(stroke).collect(),
            ..Drawing::default()
        };
        let rows = unused_layers(&drawing, &[]);
        let rows: Vec<_> = rows
            .iter()
            .map(|it| (it.name.as_str(), it.strokes))
            .collect();
        assert_eq!(rows, [("OLD", 2), ("WALL", 1)]);
    }
}
