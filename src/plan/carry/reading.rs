//! Reads the walls and openings of a `plan.json` that this program wrote.

use super::names::IssuedNames;
use crate::plan::{Opening, OpeningKind, Room, StatedDimension, Storey, Wall};
use geo::Coord;
use serde::Deserialize;

/// The plan on which corrections were made: walls and openings, inches.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct EarlierPlan {
    /// Its storeys.
    pub storeys: Vec<Storey>,
}

impl EarlierPlan {
    /// True when these storeys are those of the plan, in the same place and by the same names.
    #[must_use]
    pub fn is_as_drawn(&self, storeys: &[Storey]) -> bool {
        let is_one = |a: &Coord<f64>, b: &Coord<f64>| {
            let d = *a - *b;
            d.x.abs() < WRITTEN && d.y.abs() < WRITTEN
        };
        let is_wall = |a: &Wall, b: &Wall| {
            a.id == b.id && is_one(&a.start, &b.start) && is_one(&a.end, &b.end)
        };
        let is_opening = |a: &Opening, b: &Opening| {
            let by = (a.width - b.width).abs();
            a.id == b.id && is_one(&a.centre, &b.centre) && by < WRITTEN
        };
        let is_storey = |a: &Storey, b: &Storey| {
            a.id == b.id
                && a.walls.len() == b.walls.len()
                && a.openings.len() == b.openings.len()
                && a.walls.iter().zip(&b.walls).all(|(a, b)| is_wall(a, b))
                && a.openings
                    .iter()
                    .zip(&b.openings)
                    .all(|(a, b)| is_opening(a, b))
        };
        self.storeys.len() == storeys.len()
            && self
                .storeys
                .iter()
                .zip(storeys)
                .all(|(a, b)| is_storey(a, b))
    }
}

/// Coordinates are written within this, inches.
const WRITTEN: f64 = 1e-6;

/// Why an earlier plan cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "{file}: is not a plan.json of this program: {reason}; name the one that the drafter looked at, or take the key out"
)]
pub struct EarlierPlanError {
    /// The file.
    pub file: String,
    /// What is wrong with it.
    pub reason: String,
}

#[derive(Deserialize)]
struct File {
    schema: String,
    storeys: Vec<StoreyRow>,
    #[serde(default)]
    before_corrections: Vec<StoreyRow>,
    written_on: Option<WrittenOn>,
}

/// The plan on which the job was written, where it was an earlier one still.
#[derive(Deserialize)]
struct WrittenOn {
    storeys: Vec<StoreyRow>,
    before_corrections: Vec<StoreyRow>,
}

#[derive(Deserialize)]
struct StoreyRow {
    id: String,
    #[serde(default)]
    name: String,
    #[serde(default)]
    file: String,
    walls: Vec<WallRow>,
    openings: Vec<OpeningRow>,
    #[serde(default)]
    rooms: Vec<RoomRow>,
    #[serde(default)]
    dimensions: Vec<DimensionRow>,
}

#[derive(Deserialize)]
struct DimensionRow {
    handle: String,
    from: [f64; 2],
    to: [f64; 2],
    along: [f64; 2],
    written: f64,
}

#[derive(Deserialize)]
struct RoomRow {
    id: String,
    #[serde(default)]
    name: String,
    outline: Vec<[f64; 2]>,
}

#[derive(Deserialize)]
struct WallRow {
    id: String,
    exterior: bool,
    start: [f64; 2],
    end: [f64; 2],
    thickness: f64,
    #[serde(default)]
    sources: Vec<String>,
}

#[derive(Deserialize)]
struct OpeningRow {
    id: String,
    wall: String,
    kind: String,
    centre: [f64; 2],
    near: f64,
    width: f64,
    tag: Option<String>,
    height: Option<f64>,
    sill: Option<f64>,
    head: Option<f64>,
    #[serde(default)]
    sources: Vec<String>,
}

/// Reads a `plan.json`; where it was itself corrected, the plan before its corrections, whose ids the corrections use.
///
/// # Errors
/// [`EarlierPlanError`] when the text is no such file.
pub fn read_earlier_plan(text: &str, file: &str) -> Result<EarlierPlan, EarlierPlanError> {
    let read = read(text, file)?;
    let rows = if read.before_corrections.is_empty() {
        read.storeys
    } else {
        read.before_corrections
    };
    Ok(plan(rows))
}

/// Reads a `plan.json` as it was issued, after its corrections: its ids are those that the rest of the job uses.
///
/// # Errors
/// [`EarlierPlanError`] when the text is no such file.
pub fn read_issued_plan(text: &str, file: &str) -> Result<EarlierPlan, EarlierPlanError> {
    Ok(plan(read(text, file)?.storeys))
}

/// Reads both plans of a `plan.json` whose ids go on in the next issue.
///
/// # Errors
/// [`EarlierPlanError`] when the text is no such file.
pub fn read_issued_names(text: &str, file: &str) -> Result<IssuedNames, EarlierPlanError> {
    Ok(IssuedNames {
        before_corrections: read_earlier_plan(text, file)?,
        as_issued: read_issued_plan(text, file)?,
    })
}

/// Reads the plan on which the job of an issue was written, before its corrections and after them: its own, or the earlier one from
/// which the job was carried to it.
///
/// # Errors
/// [`EarlierPlanError`] when the text is no such file.
pub fn read_written_on(text: &str, file: &str) -> Result<IssuedNames, EarlierPlanError> {
    match read(text, file)?.written_on {
        Some(it) => Ok(IssuedNames {
            before_corrections: plan(it.before_corrections),
            as_issued: plan(it.storeys),
        }),
        None => read_issued_names(text, file),
    }
}

fn read(text: &str, file: &str) -> Result<File, EarlierPlanError> {
    let fail = |reason: String| EarlierPlanError {
        file: file.to_owned(),
        reason,
    };
    let read: File = serde_json::from_str(text).map_err(|error| fail(error.to_string()))?;
    if read.schema != "panelwright.plan/1" {
        return Err(fail(format!("its schema is '{}'", read.schema)));
    }
    Ok(read)
}

fn plan(rows: Vec<StoreyRow>) -> EarlierPlan {
    EarlierPlan {
        storeys: rows.into_iter().map(storey).collect(),
    }
}

fn storey(row: StoreyRow) -> Storey {
    Storey {
        id: row.id,
        name: row.name,
        file: row.file,
        walls: row
            .walls
            .into_iter()
            .map(|it| Wall {
                id: it.id,
                is_exterior: it.exterior,
                start: it.start.into(),
                end: it.end.into(),
                thickness: it.thickness,
                sources: it.sources,
                ..Wall::default()
            })
            .collect(),
        openings: row
            .openings
            .into_iter()
            .map(|it| Opening {
                id: it.id,
                wall: it.wall,
                kind: OpeningKind::from_name(&it.kind).unwrap_or_default(),
                centre: it.centre.into(),
                near: it.near,
                width: it.width,
                tag: it.tag,
                height: it.height,
                sill: it.sill,
                head: it.head,
                sources: it.sources,
                ..Opening::default()
            })
            .collect(),
        rooms: row
            .rooms
            .into_iter()
            .map(|it| Room {
                id: it.id,
                name: it.name,
                outline: it.outline.into_iter().map(Into::into).collect(),
                ..Room::default()
            })
            .collect(),
        dimensions: row
            .dimensions
            .into_iter()
            .map(|it| StatedDimension {
                handle: it.handle,
                from: it.from.into(),
                to: it.to.into(),
                along: it.along.into(),
                written: it.written,
            })
            .collect(),
        ..Storey::default()
    }
}
