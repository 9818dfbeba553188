//! The open questions of a package: what was seen, what was taken meanwhile, and which panels wait for the answer.

use super::trace::{Question, questions};
use crate::building::Building;
use crate::fabrication::{FabricatedPanel, Fabrication};
use crate::findings::Finding;
use crate::plan::{Plan, Storey};

/// A question of one storey, with what it holds up.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Asked {
    /// Index of its storey in the plan.
    pub(crate) storey: usize,
    /// Number as printed on the trace: `3`, or `S2-3` in a plan of several storeys.
    pub(crate) number: String,
    /// The question.
    pub(crate) question: Question,
    /// Marks of panels on HOLD for it, in order of erection.
    pub(crate) holds: Vec<String>,
}

/// Every open question, storey by storey, faults first.
pub(crate) fn asked(
    plan: &Plan,
    findings: &[Finding],
    building: &Building,
    fabrication: &Fabrication,
) -> Vec<Asked> {
    let empty = Storey::default();
    let storeys = if plan.storeys.is_empty() {
        std::slice::from_ref(&empty)
    } else {
        &plan.storeys
    };
    let mut all = Vec::new();
    for (index, storey) in storeys.iter().enumerate() {
        for question in questions(findings, plan, storey) {
            let number = if storeys.len() > 1 {
                format!("{}-{}", storey.id, question.number)
            } else {
                question.number.to_string()
            };
            all.push(Asked {
                storey: index,
                number,
                holds: held_by(&question, building, fabrication),
                question,
            });
        }
    }
    all
}

fn held_by(question: &Question, building: &Building, fabrication: &Fabrication) -> Vec<String> {
    // A doubt holds up nothing, though a fault of its code may hold what stands beside what it names.
    if !question.is_fault {
        return Vec::new();
    }
    let mut panels: Vec<&FabricatedPanel> = fabrication
        .panels
        .iter()
        .filter(|panel| panel.holds.iter().any(|hold| hold.code == question.code))
        .filter(|panel| is_about(question, panel, building))
        .collect();
    panels.sort_by(|a, b| (a.erection, &a.mark).cmp(&(b.erection, &b.mark)));
    panels.into_iter().map(|it| it.mark.clone()).collect()
}

/// True when the question names the panel, its wall or one of its openings, or names nothing at all.
fn is_about(question: &Question, panel: &FabricatedPanel, building: &Building) -> bool {
    let wall = building.walls.get(panel.wall).map(|wall| wall.id.as_str());
    let names = |word: &str| {
        word == panel.mark
            || Some(word) == wall
            || panel.openings.iter().any(|opening| opening.id == word)
    };
    // One told for several openings at once names them in its words alone.
    let words = match question.about.is_empty() {
        true => std::slice::from_ref(&question.seen),
        false => question.about.as_slice(),
    };
    let about = || {
        let parts = words
            .iter()
            .flat_map(|it| it.split(|c: char| !c.is_alphanumeric()));
        parts.filter(|it| !it.is_empty())
    };
    about().any(names) || !about().any(|word| is_id(word, building))
}

fn is_id(word: &str, building: &Building) -> bool {
    building
        .walls
        .iter()
        .any(|wall| wall.id == word || wall.openings.iter().any(|opening| opening.id == word))
}
