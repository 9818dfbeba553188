//! Names in the job that the plan does not have: a decision that would be lost in silence.

use super::codes;
use super::raise::Raising;
use super::statements::has_tag;
use crate::findings::{Finding, Place};
use crate::plan::Plan;
use crate::rules::OpeningMatch;

/// Reports every wall, storey, opening and tag of the job that the plan lacks, and openings of walls without a face.
pub(super) fn check_references(raising: &mut Raising<'_>, plan: &Plan) {
    let job = raising.job;
    let walls: Vec<&str> = plan
        .storeys
        .iter()
        .flat_map(|storey| &storey.walls)
        .map(|wall| wall.id.as_str())
        .collect();
    let storeys: Vec<&str> = plan
        .storeys
        .iter()
        .flat_map(|storey| [storey.id.as_str(), storey.name.as_str()])
        .filter(|name| !name.is_empty())
        .collect();
    let openings: Vec<_> = plan
        .storeys
        .iter()
        .flat_map(|storey| &storey.openings)
        .collect();
    let mut missing = Vec::new();
    for entry in &job.walls {
        if !walls.contains(&entry.wall.as_str()) {
            missing.push((entry.line, format!("wall '{}'", entry.wall)));
        }
    }
    for line in &job.loads.bearing {
        if !walls.contains(&line.wall.as_str()) {
            missing.push((line.line, format!("wall '{}'", line.wall)));
        }
    }
    for entry in &job.storeys {
        if !storeys
            .iter()
            .any(|name| name.eq_ignore_ascii_case(&entry.storey))
        {
            missing.push((entry.line, format!("storey '{}'", entry.storey)));
        }
    }
    for entry in &job.openings {
        match &entry.which {
            OpeningMatch::Id(id) if !openings.iter().any(|opening| opening.id == *id) => {
                missing.push((entry.line, format!("opening '{id}'")));
            }
            OpeningMatch::Tag(tag) if !openings.iter().any(|opening| has_tag(opening, tag)) => {
                missing.push((entry.line, format!("opening with the tag '{tag}'")));
            }
            _ => {}
        }
    }
    missing.sort();
    for (line, what) in missing {
        raising.findings.push(Finding::doubt(
            codes::JOB_NAMES_NOTHING,
            Place::line(&job.file, line),
            format!("the plan has no {what}, so this entry has no effect"),
            "look the name up on trace.svg: ids change when the drawing does",
        ));
    }
}
