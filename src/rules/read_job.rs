//! `job.toml` to [`Job`]: what this building is, and what the drafter decided about it.

use super::checks::Checks;
use super::codes;
use super::drawn_lines::single_lines;
use super::error::RulesError;
use super::job::{BearingLine, Job, JobOpening, JobPanel, JobStorey, JobWall, Loads, OpeningMatch};
use super::job_corrections::correction;
use super::job_file::{
    BearingFile, JobFile, KindWord, LoadsFile, NorthValue, OpeningFile, PanelFile, StoreyFile,
    UnitWord, WallFile,
};
use super::job_layers::layers;
use super::job_layout::layout;
use super::nailers::drawn_nailers;
use super::plant_file::{Key, LengthKey};
use super::schema::job_schema_value;
use crate::drawing::DrawingUnit;
use crate::findings::{Finding, Outcome, Place};
use crate::plan::{CorrectionAnchor, OpeningKind, PlanCorrections};
use crate::toml_text::{At, LengthValue, PlaceValue, Text, nearest, read_typed};
use crate::units::Length;
use std::ops::RangeInclusive;

/// The commented job file that `panelwright new` writes.
const NEW_JOB: &str = include_str!("new_job.toml");
/// Heights and widths of walls and openings: anything a building may have.
pub(super) const SIZE: RangeInclusive<Length> = Length::inches(1)..=Length::feet(200);
/// A sill may lie on the deck.
const HEIGHT: RangeInclusive<Length> = Length::ZERO..=Length::feet(200);

/// A base may lie below the deck.
/// What hangs below a panel.
const DROP: RangeInclusive<Length> = Length::ZERO..=Length::feet(4);
const LEVEL: RangeInclusive<Length> = Length::feet(-40)..=Length::feet(40);
/// Rise in a run of 12 in.
const PITCH: RangeInclusive<Length> = Length::fraction(0, 1, 16)..=Length::inches(48);

/// The commented job file: every key with its meaning, unit and default.
#[must_use]
pub fn new_job_text() -> &'static str {
    NEW_JOB
}

/// Reads a job.
///
/// - `text`: the file's content, empty for none; `file`: its name as the user gave it, empty for none.
/// - What the text does not say is `None`: the room that needs it takes a default and says so.
///
/// ```
/// use panelwright::rules::{HeightTo, read_job};
/// let job = read_job("[wall]\nheight = \"9'-0\\\"\"\nto = 'cap'", "job.toml").unwrap().output;
/// assert_eq!(job.wall_height.unwrap().to_string(), "108\"");
/// assert_eq!(job.height_to, HeightTo::Cap);
/// let error = read_job("[wall]\nhieght = 96", "job.toml").unwrap_err();
/// assert_eq!(error.to_string(), "job.toml:2: there is no key 'wall.hieght': did you mean 'height'?");
/// ```
///
/// # Errors
/// [`RulesError`] when a key is misspelt or a value impossible.
pub fn read_job(text: &str, file: &str) -> Result<Outcome<Job>, RulesError> {
    let text = Text { file, text };
    let given: JobFile = read_typed(text, job_schema_value())?;
    let mut checks = Checks::new(text);
    let job = job(&given, &mut checks);
    if checks.mistakes.is_empty() {
        let findings = incomplete(&job);
        Ok(Outcome {
            output: job,
            findings,
        })
    } else {
        let mut mistakes = checks.mistakes;
        mistakes.sort_by_key(|mistake| mistake.place.line);
        Err(RulesError { mistakes })
    }
}

fn job(given: &JobFile, checks: &mut Checks<'_>) -> Job {
    Job {
        file: checks.text.file.to_owned(),
        name: filled(&given.name),
        number: filled(&given.number),
        project: filled(&given.project),
        date: date(&given.date, checks),
        drawn_by: filled(&given.drawn_by),
        issue: value(&given.issue).unwrap_or_default(),
        north_deg: given
            .north
            .as_ref()
            .and_then(|at| north(&at.value, at.offset, checks)),
        unit: value(&given.unit).map(unit),
        assembly: filled(&given.assembly),
        assembly_line: given
            .assembly
            .as_ref()
            .map_or(0, |at| checks.text.line(at.offset)),
        wall_height: size("wall.height", &given.wall.height, &SIZE, checks),
        height_to: value(&given.wall.to).unwrap_or_default(),
        skin_drop: size("wall.skin_drop", &given.wall.skin_drop, &DROP, checks).unwrap_or_default(),
        is_carried: value(&given.wall.bears).is_some_and(|it| !it),
        hold: value(&given.wall.hold).unwrap_or_default(),
        hold_layer: filled(&given.wall.hold_layer),
        layers: layers("wall.layers", &given.wall.layers, checks),
        is_hold_stated: given.wall.hold.is_some(),
        storeys: given.storey.iter().map(|at| storey(at, checks)).collect(),
        walls: given.wall.only.iter().map(|at| wall(at, checks)).collect(),
        openings: given
            .opening
            .iter()
            .filter_map(|at| opening(at, checks))
            .collect(),
        layouts: given
            .layout
            .iter()
            .filter_map(|at| layout(at, checks))
            .collect(),
        panels: given.panel.iter().map(|at| panel(at, checks)).collect(),
        loads: loads(&given.loads, checks),
        drawn_nailers: drawn_nailers(&given.wall, checks),
        corrected_plan: filled(&given.corrected_plan),
        revises: filled(&given.revises),
        corrections: PlanCorrections {
            earlier: None,
            issued: None,
            single_lines: single_lines(&given.wall, checks),
            list: given
                .correction
                .iter()
                .filter_map(|at| correction(at, checks))
                .collect(),
        },
    }
}

fn panel(at: &At<PanelFile>, checks: &Checks<'_>) -> JobPanel {
    JobPanel {
        mark: at.value.mark.value.trim().to_owned(),
        status: at.value.status.value,
        line: checks.text.line(at.offset),
    }
}

fn value<T: Copy>(given: &Key<T>) -> Option<T> {
    given.as_ref().map(|at| at.value)
}

/// A text that says something; the empty texts of a new job file say nothing.
pub(super) fn filled(given: &Key<String>) -> Option<String> {
    let text = given.as_ref()?.value.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

pub(super) fn size(
    key: &str,
    given: &LengthKey,
    range: &RangeInclusive<Length>,
    checks: &mut Checks<'_>,
) -> Option<Length> {
    given.as_ref().map(|at| checks.one_length(key, at, range))
}

fn date(given: &Key<String>, checks: &mut Checks<'_>) -> Option<String> {
    let text = filled(given)?;
    let parts: Vec<Option<u32>> = text.split('-').map(|part| part.parse().ok()).collect();
    let right = text.len() == 10
        && matches!(parts.as_slice(), [Some(_), Some(1..=12), Some(1..=31)])
        && text.chars().filter(|c| *c == '-').count() == 2;
    if !right {
        let offset = given.as_ref().map_or(0, |at| at.offset);
        let message = format!("date is '{text}'");
        checks.refuse(offset, message, "write YYYY-MM-DD, such as 2026-11-25");
    }
    Some(text)
}

/// Bearing of the sheet's upward direction: with north to the right, up is west.
fn north(given: &NorthValue, offset: usize, checks: &mut Checks<'_>) -> Option<f64> {
    match given {
        NorthValue::Degrees(degrees) if (-360.0..=360.0).contains(degrees) => {
            Some(degrees.rem_euclid(360.0))
        }
        NorthValue::Degrees(degrees) => {
            checks.refuse(
                offset,
                format!("north is {degrees}"),
                "give the bearing of the sheet's upward direction, 0 to 360 degrees",
            );
            None
        }
        NorthValue::Word(word) => match word.as_str() {
            "up" => Some(0.0),
            "right" => Some(270.0),
            "down" => Some(180.0),
            "left" => Some(90.0),
            _ => {
                checks.refuse(
                    offset,
                    format!("north is '{word}'"),
                    "write \"up\", \"right\", \"down\", \"left\", or degrees without quotes",
                );
                None
            }
        },
    }
}

fn unit(word: UnitWord) -> DrawingUnit {
    match word {
        UnitWord::Inch => DrawingUnit::Inch,
        UnitWord::Foot => DrawingUnit::Foot,
        UnitWord::Mm => DrawingUnit::Millimetre,
        UnitWord::Cm => DrawingUnit::Centimetre,
        UnitWord::M => DrawingUnit::Metre,
    }
}

fn storey(at: &At<StoreyFile>, checks: &mut Checks<'_>) -> JobStorey {
    JobStorey {
        storey: checks.one_text("storey.id", &at.value.id),
        wall_height: size("storey.height", &at.value.height, &SIZE, checks),
        floor: size("storey.floor", &at.value.floor, &HEIGHT, checks),
        floor_depth: size("storey.floor_depth", &at.value.floor_depth, &HEIGHT, checks),
        floor_kind: value(&at.value.floor_kind),
        line: checks.text.line(at.offset),
    }
}

fn wall(at: &At<WallFile>, checks: &mut Checks<'_>) -> JobWall {
    JobWall {
        wall: checks.one_text("wall.only.id", &at.value.id),
        name: filled(&at.value.name),
        wall_height: size("wall.only.height", &at.value.height, &SIZE, checks),
        skin_drop: size("wall.only.skin_drop", &at.value.skin_drop, &DROP, checks),
        bears: value(&at.value.bears),
        assembly: filled(&at.value.assembly),
        hold: value(&at.value.hold),
        hold_layer: filled(&at.value.hold_layer),
        layers: layers("wall.only.layers", &at.value.layers, checks),
        panels: value(&at.value.panels),
        panelled: [
            size("wall.only.from", &at.value.from, &HEIGHT, checks),
            size("wall.only.to", &at.value.to, &HEIGHT, checks),
        ],
        top: points("wall.only.top", &at.value.top, &HEIGHT, checks),
        base: points("wall.only.base", &at.value.base, &LEVEL, checks),
        pitch: size("wall.only.pitch", &at.value.pitch, &PITCH, checks),
        ridge: size("wall.only.ridge", &at.value.ridge, &HEIGHT, checks),
        line: checks.text.line(at.offset),
    }
}

/// Points of a line over a wall, x never falling.
fn points(
    key: &str,
    given: &[At<[LengthValue; 2]>],
    range: &RangeInclusive<Length>,
    checks: &mut Checks<'_>,
) -> Vec<[Length; 2]> {
    let mut points: Vec<[Length; 2]> = Vec::with_capacity(given.len());
    for at in given {
        let [x, y] = at.value.map(|length| length.0);
        let falls = points.last().is_some_and(|last| x < last[0]);
        if falls || !HEIGHT.contains(&x) || !range.contains(&y) {
            let message = format!("{key} has the point {x}, {y}");
            checks.refuse(
                at.offset,
                message,
                "give [along the wall from its left corner seen from outside, above the deck], from left to right",
            );
        }
        points.push([x, y]);
    }
    points
}

fn kind(word: KindWord) -> OpeningKind {
    match word {
        KindWord::Door => OpeningKind::Door,
        KindWord::Window => OpeningKind::Window,
        KindWord::Opening => OpeningKind::Opening,
        KindWord::GarageDoor => OpeningKind::GarageDoor,
    }
}

fn opening(at: &At<OpeningFile>, checks: &mut Checks<'_>) -> Option<JobOpening> {
    let file = &at.value;
    let which = match (filled(&file.id), filled(&file.tag), value(&file.kind)) {
        (Some(id), None, None) => OpeningMatch::Id(id),
        (None, Some(tag), None) => OpeningMatch::Tag(tag),
        (None, None, Some(word)) => OpeningMatch::Kind(kind(word)),
        _ => {
            checks.refuse(
                at.offset,
                "this [[opening]] does not say by one key which openings it is for",
                "give exactly one of id = \"O4\", tag = \"3068\" or kind = \"window\"",
            );
            return None;
        }
    };
    let sill = size("opening.sill", &file.sill, &HEIGHT, checks);
    let head = size("opening.head", &file.head, &SIZE, checks);
    if let (Some(low), Some(high)) = (sill, head)
        && low >= high
    {
        let message = format!("sill {low} is not below head {high}");
        checks.refuse(at.offset, message, "both are heights above the deck");
    }
    for (rough, unit, side) in [
        (&file.rough_width, &file.width, "width"),
        (&file.rough_height, &file.height, "height"),
    ] {
        if let (Some(rough), Some(unit)) = (rough, unit)
            && rough.value.0 < unit.value.0
        {
            checks.refuse(
                rough.offset,
                format!(
                    "rough_{side} {} is less than {side} {}",
                    rough.value.0, unit.value.0
                ),
                "the rough opening is not smaller than the unit in it",
            );
        }
    }
    Some(JobOpening {
        which,
        width: size("opening.width", &file.width, &SIZE, checks),
        height: size("opening.height", &file.height, &SIZE, checks),
        rough_width: size("opening.rough_width", &file.rough_width, &SIZE, checks),
        rough_height: size("opening.rough_height", &file.rough_height, &SIZE, checks),
        drawn: value(&file.drawn),
        sill,
        head,
        header: file.header.as_ref().map(|at| at.value.0.clone()),
        corner_post: value(&file.corner_post).unwrap_or_default(),
        in_line: value(&file.in_line),
        line: checks.text.line(at.offset),
    })
}

fn loads(file: &LoadsFile, checks: &mut Checks<'_>) -> Loads {
    Loads {
        ground_snow_psf: load("loads.ground_snow_psf", &file.ground_snow_psf, checks),
        wind_mph: load("loads.wind_mph", &file.wind_mph, checks),
        exposure: category("loads.exposure", &file.exposure, &["B", "C", "D"], checks),
        seismic: category(
            "loads.seismic",
            &file.seismic,
            &["A", "B", "C", "D0", "D1", "D2", "D", "E", "F"],
            checks,
        ),
        building_width: size("loads.building_width", &file.building_width, &SIZE, checks),
        is_header_braced: value(&file.header_braced).unwrap_or_default(),
        bearing: file.bearing.iter().map(|at| bearing(at, checks)).collect(),
    }
}

fn load(key: &str, given: &Key<f64>, checks: &mut Checks<'_>) -> Option<f64> {
    given
        .as_ref()
        .map(|at| checks.one_number(key, at, &(0.0..=1000.0)))
}

fn category(
    key: &str,
    given: &Key<String>,
    known: &[&str],
    checks: &mut Checks<'_>,
) -> Option<String> {
    let text = filled(given)?;
    if !known.contains(&text.as_str()) {
        let upper = text.to_ascii_uppercase();
        let hint = nearest(&upper, known).map_or_else(
            || format!("write one of {}", known.join(", ")),
            |near| format!("did you mean '{near}'? It is one of {}", known.join(", ")),
        );
        let offset = given.as_ref().map_or(0, |at| at.offset);
        checks.refuse(offset, format!("{key} is '{text}'"), hint);
    }
    Some(text)
}

fn bearing(at: &At<BearingFile>, checks: &mut Checks<'_>) -> BearingLine {
    BearingLine {
        wall: checks.one_text("loads.bearing.wall", &at.value.wall),
        carries: checks.one_text("loads.bearing.carries", &at.value.carries),
        supports: value(&at.value.supports),
        line: checks.text.line(at.offset),
    }
}

/// Where an entry holds: an id, or a point with its storey.
pub(super) fn anchor(
    entry: &str,
    (id, point, storey): (&Key<String>, &Key<[PlaceValue; 2]>, &Key<String>),
    offset: usize,
    checks: &mut Checks<'_>,
) -> Option<CorrectionAnchor> {
    match (filled(id), point) {
        (Some(id), None) => Some(CorrectionAnchor::Id(id)),
        (None, Some(point)) => Some(CorrectionAnchor::Point {
            at: point.value.map(|length| length.0.to_inches()),
            storey: filled(storey),
        }),
        _ => {
            checks.refuse(
                offset,
                format!("this [[{entry}]] does not say by one key where it holds"),
                "give exactly one of id = \"I4\" or at = [\"12'-0\\\"\", \"3'-6\\\"\"]",
            );
            None
        }
    }
}

/// One note for everything the title block lacks; what gives sizes is a doubt where it is used.
fn incomplete(job: &Job) -> Vec<Finding> {
    let (place, what) = if job.file.is_empty() {
        (
            Place::default(),
            "there is no job file: sheets print".to_owned(),
        )
    } else {
        (
            Place::file(&job.file),
            "the job does not say all: sheets print".to_owned(),
        )
    };
    let missing: Vec<&str> = [
        (job.name.is_none(), "name"),
        (job.number.is_none(), "number"),
        (job.date.is_none(), "date"),
        (job.drawn_by.is_none(), "drawn_by"),
    ]
    .into_iter()
    .filter_map(|(is_missing, key)| is_missing.then_some(key))
    .collect();
    if missing.is_empty() {
        return Vec::new();
    }
    vec![Finding::note(
        codes::JOB_INCOMPLETE,
        place,
        format!("{what} no {}", missing.join(", no ")),
        "fill job.toml; `panelwright new` writes one with every key",
    )]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::{HeaderMember, HeldFace, Issue};

    #[track_caller]
    fn check_refused(text: &str, expected: &str) {
        let error = read_job(text, "job.toml").unwrap_err();
        assert_eq!(error.to_string(), expected);
    }

    #[test]
    fn a_new_job_file_says_nothing_and_with_its_examples_uncommented_says_all() {
        let new = read_job(new_job_text(), "job.toml").unwrap();
        let nothing = Job {
            file: "job.toml".to_owned(),
            ..Job::default()
        };
        assert_eq!(new.output, nothing);
        assert_eq!(new.findings.len(), 1);
        let uncommented: String = new_job_text()
            .lines()
            .map(|line| match line.strip_prefix("# ") {
                Some(code) if code.starts_with('[') || is_setting(code) => format!("{code}\n"),
                _ => format!("{line}\n"),
            })
            .collect();
        let job = read_job(&uncommented, "job.toml").unwrap().output;
        assert_eq!(job.north_deg, Some(0.0));
        assert_eq!(job.walls.len(), 1);
        assert_eq!(job.storeys.len(), 1);
        assert_eq!(job.openings.len(), 2);
        assert_eq!(job.loads.bearing.len(), 1);
        assert_eq!(job.corrections.list.len(), 5);
        assert_eq!(job.layouts.len(), 2);
        let header = job.openings[1].header.clone();
        assert_eq!(header, HeaderMember::from_name("2-2x10"));
    }

    /// A line that is a key and a value, not a sentence with an equals sign in it.
    fn is_setting(line: &str) -> bool {
        line.split_once(" = ")
            .is_some_and(|(key, _)| key.chars().all(|c| c.is_ascii_lowercase() || c == '_'))
    }

    #[test]
    fn a_job_keeps_lines_for_messages() {
        let text = "issue = 'review'\nassembly = '8-1/4'\n[[wall.only]]\nid = 'X2'\nhold = 'inside'\n[[opening]]\ntag = '3068'\n";
        let job = read_job(text, "job.toml").unwrap().output;
        assert_eq!(job.issue, Issue::Review);
        assert_eq!((job.assembly_line, job.walls[0].line), (2, 3));
        assert_eq!(job.walls[0].hold, Some(HeldFace::Inside));
        assert_eq!(job.openings[0].line, 6);
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_line() {
        check_refused(
            "[[opening]]\nheight = 80\n",
            "job.toml:1: this [[opening]] does not say by one key which openings it is for: give exactly one of id = \
             \"O4\", tag = \"3068\" or kind = \"window\"",
        );
        check_refused(
            "[loads]\nseismic = 'G'\n",
            "job.toml:2: loads.seismic is 'G': write one of A, B, C, D0, D1, D2, D, E, F",
        );
        check_refused(
            "date = '25.11.2026'\n",
            "job.toml:1: date is '25.11.2026': write YYYY-MM-DD, such as 2026-11-25",
        );
        check_refused(
            "[[opening]]\nid = 'O1'\nwidth = 36\nrough_width = 35\n",
            "job.toml:4: rough_width 35\" is less than width 36\": the rough opening is not smaller than the unit in it",
        );
        check_refused(
            "[[opening]]\nid = 'O1'\nheader = '2x10'\n",
            "job.toml:3: '2x10' is not a header; write \"none\", \"engineer\", plies and section such as \"2-2x10\", or a header of panel such as \"SIP 11-7/8\": \
             correct it, or delete the line to take the default",
        );
    }
}
