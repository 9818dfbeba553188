//! Where a question of the trace stands: by its words in `findings.json`, and by the walls and openings of `plan.json`.

use super::answers::Question;
use serde::Deserialize;
use serde_json::Value;
use std::collections::BTreeMap;

/// Two ends of a gap this far out of line with an axis are not in line, inches.
const IN_LINE: f64 = 1.0;

/// What a package says of its questions' places.
#[derive(Debug, Default)]
pub(super) struct Places {
    findings: Vec<FindingRow>,
    plan: PlanFile,
}

#[derive(Debug, Deserialize)]
struct FindingRow {
    code: String,
    message: String,
    storey: Option<String>,
    element: Option<String>,
    at: Option<[f64; 2]>,
    between: Option<[[f64; 2]; 2]>,
}

impl FindingRow {
    fn is_asked(&self, question: &Question) -> bool {
        self.code == question.code && bare_words(&self.message) == bare_words(&question.asked)
    }
}

#[derive(Debug, Default, Deserialize)]
struct PlanFile {
    drawing: DrawingRow,
    storeys: Vec<StoreyRow>,
}

#[derive(Debug, Default, Deserialize)]
struct DrawingRow {
    unit: Option<String>,
}

#[derive(Debug, Deserialize)]
struct StoreyRow {
    id: String,
    walls: Vec<WallRow>,
    openings: Vec<OpeningRow>,
}

#[derive(Debug, Deserialize)]
struct WallRow {
    id: String,
    start: [f64; 2],
    end: [f64; 2],
    thickness: f64,
    #[serde(default)]
    layers: Vec<Value>,
}

#[derive(Debug, Deserialize)]
struct OpeningRow {
    id: String,
    wall: String,
    kind: String,
    centre: [f64; 2],
    width: f64,
}

/// A place that a question is about.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Spot {
    /// Drawing coordinates, inches.
    pub(super) at: [f64; 2],
    /// Its storey, in a plan of several.
    pub(super) storey: Option<String>,
    /// What is there.
    pub(super) what: What,
}

/// What is there.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum What {
    /// An opening: id and kind as recovered.
    Opening(String, String),
    /// A wall: its id.
    Wall(String),
    /// A gap between walls; true when it runs along an axis of the drawing, so that its middle is in line with them.
    Gap(bool),
    /// Nothing that the finding names.
    Bare,
}

impl Spot {
    /// A correction of the job there, to its `is`.
    pub(super) fn correction(&self, is: &str) -> String {
        let [x, y] = self.at;
        let name = match &self.what {
            What::Opening(id, _) | What::Wall(id) => format!("      # {id}"),
            What::Gap(_) | What::Bare => String::new(),
        };
        let storey = self.storey.as_ref();
        let storey = storey.map_or_else(String::new, |id| format!("storey = \"{id}\"\n"));
        format!("[[correction]]\nat = [{x:.3}, {y:.3}]{name}\n{storey}is = \"{is}\"\n")
    }

    /// The head of the table of the opening that is there; `None` where none is.
    pub(super) fn opening(&self) -> Option<String> {
        let [x, y] = self.at;
        let What::Opening(id, _) = &self.what else {
            return None;
        };
        Some(format!(
            "[[opening]]\nid = \"{id}\"               # at [{x:.3}, {y:.3}]\n"
        ))
    }
}

impl Places {
    /// Reads them from a package; none where its files do not tell.
    pub(super) fn of(files: &BTreeMap<String, Vec<u8>>) -> Self {
        let file = |name: &str| files.get(name).map(Vec::as_slice).unwrap_or_default();
        Self {
            findings: serde_json::from_slice(file("findings.json")).unwrap_or_default(),
            plan: serde_json::from_slice(file("plan.json")).unwrap_or_default(),
        }
    }

    /// True when the drawing is in inches or feet.
    pub(super) fn has_inches(&self) -> bool {
        matches!(self.plan.drawing.unit.as_deref(), Some("in" | "ft"))
    }

    /// True for a building of several storeys.
    pub(super) fn has_storeys(&self) -> bool {
        self.plan.storeys.len() > 1
    }

    /// How many layers a wall is drawn in.
    pub(super) fn n_layers(&self, wall: &str) -> usize {
        let mut walls = self.plan.storeys.iter().flat_map(|it| &it.walls);
        walls
            .find(|it| it.id == wall)
            .map_or(0, |it| it.layers.len())
    }

    /// The storeys that a question names.
    pub(super) fn storeys_of(&self, question: &Question) -> Vec<&str> {
        let asked = self.findings.iter().filter(|it| it.is_asked(question));
        let mut named: Vec<&str> = asked.filter_map(|it| it.storey.as_deref()).collect();
        // In a plan of several storeys a number says which one: `S2-3`.
        if let Some((wanted, _)) = question.number.rsplit_once('-') {
            named.retain(|it| *it == wanted);
        }
        named.dedup();
        named
    }

    /// Every place of a question; none where it is about the drawing as a whole, or asked by no finding of this package.
    pub(super) fn of_question(&self, question: &Question) -> Vec<Spot> {
        // In a plan of several storeys a number says which one: `S2-3`.
        let storeys = &self.plan.storeys;
        let wanted = question.number.rsplit_once('-').map(|it| it.0);
        let is_wanted = |id: &str| storeys.len() < 2 || wanted.is_none_or(|it| it == id);
        let asked = self.findings.iter().filter(|it| it.is_asked(question));
        let mut spots = Vec::new();
        for finding in asked {
            let named = finding.storey.as_deref();
            let own: Vec<&StoreyRow> = storeys
                .iter()
                .filter(|it| is_wanted(&it.id) && named.is_none_or(|id| id == it.id))
                .collect();
            let found = own.iter().find_map(|storey| {
                let found = storey.spots(finding);
                (!found.is_empty()).then_some((storey.id.as_str(), found))
            });
            let found = match (found, finding.at) {
                (Some(found), _) => Some(found),
                (None, Some(at)) if !own.is_empty() => {
                    let what = finding.between.map_or(What::Bare, gap);
                    Some((named.unwrap_or_default(), vec![(at, what)]))
                }
                (None, _) => None,
            };
            let Some((storey, found)) = found else {
                continue;
            };
            let storey = Some(storey).filter(|it| storeys.len() > 1 && !it.is_empty());
            spots.extend(found.into_iter().map(|(at, what)| Spot {
                at,
                storey: storey.map(str::to_owned),
                what,
            }));
        }
        spots
    }
}

/// Words without the capital and the stop that paper gives them.
fn bare_words(words: &str) -> String {
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    words.trim_end_matches(['.', '?', '!', ':']).to_lowercase()
}

fn gap([from, to]: [[f64; 2]; 2]) -> What {
    let is_along = |axis: usize| (from[axis] - to[axis]).abs() < IN_LINE;
    What::Gap(is_along(0) || is_along(1))
}

impl StoreyRow {
    /// The wall or opening that a finding names; where it names none and has no point, the openings in its words.
    fn spots(&self, finding: &FindingRow) -> Vec<([f64; 2], What)> {
        if let Some(id) = &finding.element {
            let opening = self.openings.iter().find(|it| it.id == *id);
            let wall = || self.walls.iter().find(|it| it.id == *id);
            let found = opening.map(OpeningRow::spot);
            let found = found.or_else(|| wall().map(|it| self.wall_spot(it)));
            return found.into_iter().collect();
        }
        if finding.at.is_some() {
            return Vec::new();
        }
        let words: Vec<&str> = finding
            .message
            .split(|c: char| !c.is_alphanumeric())
            .collect();
        let named = self.openings.iter();
        let named = named.filter(|it| words.contains(&it.id.as_str()));
        named.map(OpeningRow::spot).collect()
    }

    /// The point of a wall that is farthest from its openings, its ends and other walls: no other thing can be meant there.
    fn wall_spot(&self, wall: &WallRow) -> ([f64; 2], What) {
        let point =
            |share: f64| [0, 1].map(|i| wall.start[i] + (wall.end[i] - wall.start[i]) * share);
        let air = |at: [f64; 2]| {
            let walls = self.walls.iter().filter(|it| it.id != wall.id);
            let walls = walls.map(|it| off(at, it.start, it.end) - it.thickness / 2.0);
            let openings = self.openings.iter().filter(|it| it.wall == wall.id);
            let openings = openings.map(|it| off(at, it.centre, it.centre) - it.width / 2.0);
            let ends = [wall.start, wall.end].map(|it| off(at, it, it));
            let all = walls.chain(openings).chain(ends);
            all.fold(f64::INFINITY, f64::min)
        };
        let shares = (1..32).map(|step| f64::from(step) / 32.0);
        // Of places as good the one nearest the middle.
        let best = shares.max_by(|a, b| {
            let near_middle = (b - 0.5).abs().total_cmp(&(a - 0.5).abs());
            air(point(*a)).total_cmp(&air(point(*b))).then(near_middle)
        });
        (point(best.unwrap_or(0.5)), What::Wall(wall.id.clone()))
    }
}

impl OpeningRow {
    fn spot(&self) -> ([f64; 2], What) {
        let what = What::Opening(self.id.clone(), self.kind.clone());
        (self.centre, what)
    }
}

/// How far a point is from a line between two points.
fn off(p: [f64; 2], from: [f64; 2], to: [f64; 2]) -> f64 {
    let along = [to[0] - from[0], to[1] - from[1]];
    let d = [p[0] - from[0], p[1] - from[1]];
    let long = (along[0] * along[0] + along[1] * along[1]).max(1e-9);
    let share = ((d[0] * along[0] + d[1] * along[1]) / long).clamp(0.0, 1.0);
    (d[0] - along[0] * share).hypot(d[1] - along[1] * share)
}
