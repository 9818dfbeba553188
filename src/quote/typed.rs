//! What the command line of an estimate says: read as the job file would be, one option at a time, so that what is wrong with one is
//! said of it.

use super::QuoteOptions;
use crate::findings::Place;
use crate::package::MakeError;
use crate::rules::{Job, JobOpening, OpeningMatch, PlantRules, RulesError, read_job};
use crate::toml_text::{Mistake, nearest};
use crate::units::{Length, parse_length};

/// Below this a height without a unit is feet that were meant.
const LEAST_BARE: Length = Length::inches(24);

/// What was typed.
#[derive(Debug, Default)]
pub(super) struct Typed {
    wall_height: Option<Length>,
    assembly: Option<String>,
    openings: Vec<JobOpening>,
}

/// Reads the options.
///
/// # Errors
/// The first option that cannot be taken, with what it says and what would be right.
pub(super) fn read(options: &QuoteOptions, rules: &PlantRules) -> Result<Typed, MakeError> {
    let mut typed = Typed::default();
    for name in &options.assemblies {
        known(name, rules)?;
    }
    typed.assembly = options.assemblies.first().cloned();
    if let Some(height) = &options.wall_height {
        let job = height_of("--wall-height", height, "[wall]\nheight")?;
        typed.wall_height = job.wall_height;
    }
    let opening = |kind, key| format!("[[opening]]\nkind = \"{kind}\"\n{key}");
    for (option, given, before) in [
        (
            "--door-height",
            &options.door_height,
            opening("door", "height"),
        ),
        (
            "--window-height",
            &options.window_height,
            opening("window", "height"),
        ),
        (
            "--window-head",
            &options.window_head,
            opening("window", "head"),
        ),
    ] {
        if let Some(given) = given {
            typed
                .openings
                .extend(height_of(option, given, &before)?.openings);
        }
    }
    if let Some(header) = &options.header {
        for kind in ["door", "window", "opening", "garage_door"] {
            let job = as_job("--header", header, &opening(kind, "header"))?;
            typed.openings.extend(job.openings);
        }
    }
    Ok(typed)
}

/// An assembly that the plant makes.
fn known(name: &str, rules: &PlantRules) -> Result<(), MakeError> {
    let names: Vec<&str> = rules.assemblies.iter().map(|it| it.name.as_str()).collect();
    if names.contains(&name) {
        return Ok(());
    }
    let list = names.join(", ");
    let hint = match nearest(name, &names) {
        Some(near) => format!("did you mean '{near}'? It is one of {list}"),
        None => format!("take one of {list}, or add it to plant.toml"),
    };
    Err(refused(
        "--assembly",
        name,
        format!("the plant makes no assembly '{name}'"),
        hint,
    ))
}

/// A height; without a unit it is inches, as everywhere, and so few of them were meant as feet.
fn height_of(option: &str, given: &str, before: &str) -> Result<Job, MakeError> {
    let job = as_job(option, given, before)?;
    let is_bare = !given.contains(|c: char| c.is_alphabetic() || "'\"′″’”".contains(c));
    if is_bare && parse_length(given).is_ok_and(|it| it < LEAST_BARE) {
        let given = given.trim();
        let message = format!("'{given}' has no unit and would be {given} inches");
        let hint = format!("write \"{given}'\" for feet, or '{given}\"' for inches");
        return Err(refused(option, given, message, hint));
    }
    Ok(job)
}

/// Reads one value as the job file would: one reader for both.
fn as_job(option: &str, given: &str, before: &str) -> Result<Job, MakeError> {
    let value = given.replace('\\', "\\\\").replace('"', "\\\"");
    let text = format!("{before} = \"{value}\"\n");
    match read_job(&text, option) {
        Ok(read) => Ok(read.output),
        Err(error) => {
            let [first, ..] = error.mistakes.as_slice() else {
                return Err(error.into());
            };
            // What the reader says of a line of a file is no help for what stands on the command line.
            let hint = match first.hint.strip_prefix("correct it, or delete") {
                Some(_) => "write it anew, or leave the option out",
                None => &first.hint,
            };
            Err(refused(
                option,
                given,
                first.message.clone(),
                hint.to_owned(),
            ))
        }
    }
}

fn refused(option: &str, given: &str, message: String, hint: String) -> MakeError {
    let place = Place::file(&format!("{option} {given}"));
    RulesError::from(vec![Mistake {
        place,
        message,
        hint,
    }])
    .into()
}

/// Lays what was typed over the job: heights of openings only where nothing states them, headers where the job names none.
pub(super) fn obey(typed: &Typed, job: &mut Job, rules: &mut PlantRules) {
    if let Some(height) = typed.wall_height {
        job.wall_height = Some(height);
        for storey in &mut job.storeys {
            storey.wall_height = None;
        }
        for wall in &mut job.walls {
            wall.wall_height = None;
        }
    }
    if typed.assembly.is_some() {
        job.assembly.clone_from(&typed.assembly);
        for wall in &mut job.walls {
            wall.assembly = None;
        }
    }
    for entry in &typed.openings {
        if let OpeningMatch::Kind(kind) = &entry.which
            && let Some(size) = rules.openings.sizes.get_mut(kind)
        {
            size.height = entry.height.unwrap_or(size.height);
            size.head = entry.head.or(size.head);
        }
    }
    let headers = typed.openings.iter().filter(|it| it.header.is_some());
    let headers = headers.map(|it| JobOpening {
        line: 0,
        ..it.clone()
    });
    // Later entries win: what the job says of an opening stays.
    job.openings.splice(0..0, headers);
}
