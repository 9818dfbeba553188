//! Reads what a revision needs of a package's own files.

use super::lineage::Lineage;
use super::printed::printed_otherwise;
use crate::documents::{Revisions, issue_in_words, sha256_hex};
use crate::rules::job_without_revises;
use crate::units::{Erection, Length};
use serde::Deserialize;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// Why a folder is no package of an earlier issue.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum IssuedError {
    /// A file is missing.
    #[error("{0}: is missing; an earlier issue is a whole package as `panelwright make` wrote it")]
    Missing(&'static str),
    /// A file cannot be read.
    #[error("{file}: {reason}; an earlier issue is a whole package as `panelwright make` wrote it")]
    Unreadable {
        /// Its name in the package.
        file: String,
        /// What is wrong with it.
        reason: String,
    },
}

/// A package as issued: inches, building coordinates.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Issued {
    /// SHA-256 of its `manifest.json`; empty for a package not written yet.
    pub id: String,
    /// The id that its sheets print; empty where the manifest does not say it.
    pub package: String,
    /// Which issue of the job it is: 0 for the first.
    pub issue: u32,
    /// What its sheets say of revisions.
    pub revisions: Revisions,
    /// SHA-256 of every input by its file name.
    pub inputs: BTreeMap<String, String>,
    /// What each input says key by key, by its file name, where the manifest tells.
    pub said: BTreeMap<String, BTreeMap<String, String>>,
    /// SHA-256 of the job without its line `revises`, where it has one.
    pub job_without_revises: Option<String>,
    /// Walls that carry panels.
    pub walls: Vec<IssuedWall>,
    /// Panels in the order of the file.
    pub panels: Vec<IssuedPanel>,
    /// Marks that earlier revisions retired.
    pub retired: BTreeSet<String>,
    /// Its sheets that are as they were issued: name of the file and bytes.
    pub sheets: BTreeMap<String, Vec<u8>>,
    /// Files that are not as its manifest says.
    pub altered: Vec<String>,
}

/// A wall's run.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct IssuedWall {
    /// Id as in the plan.
    pub id: String,
    /// Storey id.
    pub storey: String,
    /// Left end on the outer face, and height.
    pub origin: [f64; 3],
    /// Direction to the right as seen from outside.
    pub along: [f64; 2],
    /// Length.
    pub length: f64,
    /// Pieces of its run from left to right.
    pub run: Vec<IssuedPiece>,
    /// Left and right rough jamb of every opening along the run.
    pub openings: Vec<[f64; 2]>,
    /// Its plates.
    pub plates: Vec<IssuedPlate>,
    /// Its outside face as it was built; `None` where the file does not say.
    pub built: Option<BuiltFace>,
}

/// A plate of a wall, along its run, inches.
#[derive(Clone, Debug, Default, PartialEq, Deserialize)]
pub struct IssuedPlate {
    /// Mark.
    pub mark: String,
    /// `sole plate`, `top plate` or `cap plate`.
    #[serde(rename = "use")]
    pub usage: String,
    /// Section it is cut from.
    pub section: String,
    /// Left end.
    pub from: f64,
    /// Right end.
    pub to: f64,
}

/// An outside face in run axes, exact.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BuiltFace {
    /// Its corners.
    pub corners: [Length; 2],
    /// Rough openings.
    pub openings: Vec<[Length; 4]>,
    /// Stretches that walls take which meet it inside.
    pub tees: Vec<[Length; 2]>,
}

/// A piece of a run: a panel, a gap, or an opening framed between panels.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct IssuedPiece {
    /// Mark, of a panel.
    pub mark: Option<String>,
    /// True for the gap of a joint.
    pub is_gap: bool,
    /// Left edge along the run; 0 for a gap.
    pub from: f64,
    /// Right edge along the run; 0 for a gap.
    pub to: f64,
}

/// A panel as issued.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct IssuedPanel {
    /// Mark.
    pub mark: String,
    /// Revision letter, empty at first issue.
    pub revision: String,
    /// `open`, `released`, `cut` or `shipped`.
    pub status: String,
    /// Storey id.
    pub storey: String,
    /// Wall id.
    pub wall: String,
    /// What it is.
    pub kind: String,
    /// Place in the order of erection.
    pub erection: Erection,
    /// Lower left corner on the outer face.
    pub origin: [f64; 3],
    /// Direction to the right as seen from outside, level part.
    pub along: [f64; 2],
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
    /// Everything the file says about it.
    pub data: Value,
}

#[derive(Deserialize)]
struct PanelsFile {
    walls: Vec<WallRow>,
    panels: Vec<Value>,
    #[serde(default)]
    retired: BTreeSet<String>,
}

#[derive(Deserialize)]
struct WallRow {
    id: String,
    storey: String,
    origin: [f64; 3],
    along: [f64; 2],
    length: f64,
    #[serde(default)]
    run: Vec<PieceRow>,
    #[serde(default)]
    plates: Vec<IssuedPlate>,
    corners: Option<[f64; 2]>,
    #[serde(default)]
    openings: Vec<[f64; 4]>,
    #[serde(default)]
    tees: Vec<[f64; 2]>,
}

#[derive(Deserialize)]
struct PieceRow {
    panel: Option<String>,
    gap: Option<f64>,
    #[serde(default)]
    from: f64,
    #[serde(default)]
    to: f64,
}

#[derive(Deserialize)]
struct PanelRow {
    mark: String,
    #[serde(default)]
    revision: String,
    #[serde(default)]
    status: String,
    storey: String,
    wall: String,
    kind: String,
    #[serde(flatten)]
    erection: Erection,
    width: f64,
    height: f64,
    placed: PlacedRow,
}

#[derive(Deserialize)]
struct PlacedRow {
    origin: [f64; 3],
    x: [f64; 3],
}

#[derive(Deserialize)]
struct ManifestFile {
    #[serde(default)]
    issue: u32,
    #[serde(default)]
    package: String,
    #[serde(default)]
    revisions: Revisions,
    #[serde(default)]
    inputs: Vec<InputRow>,
    job_without_revises: Option<String>,
    #[serde(default)]
    files: BTreeMap<String, String>,
}

#[derive(Deserialize)]
struct InputRow {
    name: String,
    sha256: String,
    #[serde(default)]
    said: BTreeMap<String, String>,
}

impl IssuedPanel {
    /// How the paths of its sheets end.
    pub(super) fn sheet_ending(&self) -> String {
        format!("-{}.svg", self.mark)
    }

    /// What its sheets print otherwise now, in words: of a panel cut as before.
    ///
    /// - `was`, `now`: sheets by their path.
    pub(super) fn printed_otherwise(
        &self,
        [was, now]: [&BTreeMap<String, Vec<u8>>; 2],
        lineage: &Lineage,
    ) -> Vec<String> {
        let ending = self.sheet_ending();
        let own = was.iter().filter(|(name, _)| name.ends_with(&ending));
        let pairs = own.filter_map(|(name, was)| Some((was, now.get(name)?)));
        let is_turned = lineage
            .motion
            .as_ref()
            .is_some_and(|it| it.sin != 0.0 || it.cos < 0.0);
        pairs
            .flat_map(|(was, now)| printed_otherwise(was, now, is_turned))
            .collect()
    }
}

impl Issued {
    /// Reads a package from its files.
    ///
    /// - `files`: names relative to the package, with `/`, and bytes.
    ///
    /// # Errors
    /// [`IssuedError`] when `panels.json` or `manifest.json` is missing or cannot be read.
    pub fn read(files: &BTreeMap<String, Vec<u8>>) -> Result<Self, IssuedError> {
        let file = |name: &'static str| files.get(name).ok_or(IssuedError::Missing(name));
        let bytes = file("manifest.json")?;
        let manifest: ManifestFile = parse("manifest.json", bytes)?;
        let mut issued = Self::from_panels(&String::from_utf8_lossy(file("panels.json")?))?;
        issued.id = sha256_hex(bytes);
        issued.issue = manifest.issue;
        issued.package = manifest.package;
        issued.revisions = manifest.revisions;
        let said = manifest.inputs.iter();
        issued.said = said
            .map(|input| (input.name.clone(), input.said.clone()))
            .collect();
        issued.inputs = manifest
            .inputs
            .into_iter()
            .map(|input| (input.name, input.sha256))
            .collect();
        issued.job_without_revises = manifest.job_without_revises;
        let is_altered = |name: &String, bytes: &[u8]| {
            let issued = manifest.files.get(name);
            issued.is_some_and(|digest| *digest != sha256_hex(bytes))
        };
        for (name, bytes) in files {
            if is_altered(name, bytes) {
                issued.altered.push(name.clone());
            } else if name.starts_with("sheets/") {
                issued.sheets.insert(name.clone(), bytes.clone());
            }
        }
        Ok(issued)
    }

    /// True when it was made from a job that is the same but for the issue it names as the one before.
    #[must_use]
    pub fn has_job(&self, text: &str) -> bool {
        let own = sha256_hex(job_without_revises(text).as_bytes());
        let mut known = self.inputs.values().chain(&self.job_without_revises);
        known.any(|digest| *digest == own)
    }

    /// The same of the files of a package that is not read any further.
    ///
    /// # Errors
    /// [`IssuedError`] when its manifest is missing or cannot be read.
    pub fn is_made_from(
        files: &BTreeMap<String, Vec<u8>>,
        text: &str,
    ) -> Result<bool, IssuedError> {
        const FILE: &str = "manifest.json";
        let bytes = files.get(FILE).ok_or(IssuedError::Missing(FILE))?;
        let manifest: ManifestFile = parse(FILE, bytes)?;
        let inputs = manifest.inputs.into_iter();
        let issued = Self {
            inputs: inputs.map(|input| (input.name, input.sha256)).collect(),
            job_without_revises: manifest.job_without_revises,
            ..Self::default()
        };
        Ok(issued.has_job(text))
    }

    /// What each input of a package said key by key, where it tells.
    ///
    /// # Errors
    /// [`IssuedError`] when its manifest is missing or cannot be read.
    pub(super) fn inputs_said(
        files: &BTreeMap<String, Vec<u8>>,
    ) -> Result<Vec<BTreeMap<String, String>>, IssuedError> {
        const FILE: &str = "manifest.json";
        let bytes = files.get(FILE).ok_or(IssuedError::Missing(FILE))?;
        let manifest: ManifestFile = parse(FILE, bytes)?;
        let inputs = manifest.inputs.into_iter();
        Ok(inputs.map(|input| input.said).collect())
    }

    /// Reads what a package's `panels.json` says, before or after it is written.
    ///
    /// # Errors
    /// [`IssuedError`] when the text is not such a file.
    pub fn from_panels(text: &str) -> Result<Self, IssuedError> {
        let file: PanelsFile = parse("panels.json", text.as_bytes())?;
        let panels: Vec<IssuedPanel> = file
            .panels
            .into_iter()
            .map(|data| {
                let row: PanelRow = serde_json::from_value(data.clone())
                    .map_err(|error| unreadable("panels.json", &error))?;
                Ok(IssuedPanel {
                    mark: row.mark,
                    revision: row.revision,
                    status: row.status,
                    storey: row.storey,
                    wall: row.wall,
                    kind: row.kind,
                    erection: row.erection,
                    origin: row.placed.origin,
                    along: [row.placed.x[0], row.placed.x[1]],
                    width: row.width,
                    height: row.height,
                    data,
                })
            })
            .collect::<Result<_, IssuedError>>()?;
        let walls = file.walls.into_iter().map(|wall| IssuedWall {
            openings: openings(&wall, &panels),
            built: built(&wall),
            id: wall.id,
            storey: wall.storey,
            origin: wall.origin,
            along: wall.along,
            length: wall.length,
            run: wall.run.into_iter().map(piece).collect(),
            plates: wall.plates,
        });
        Ok(Self {
            walls: walls.collect(),
            panels,
            retired: file.retired,
            ..Self::default()
        })
    }

    /// What names it in words.
    #[must_use]
    pub fn in_words(&self) -> String {
        issue_in_words(self.issue, &self.package)
    }

    /// The panel of a mark.
    #[must_use]
    pub fn panel(&self, mark: &str) -> Option<&IssuedPanel> {
        self.panels.iter().find(|panel| panel.mark == mark)
    }
}

/// Every opening of a wall once, whichever of its panels tell of it: over, under or round it.
fn openings(wall: &WallRow, panels: &[IssuedPanel]) -> Vec<[f64; 2]> {
    let mut found: BTreeMap<&str, [f64; 2]> = BTreeMap::new();
    for panel in panels {
        if panel.wall != wall.id || panel.storey != wall.storey {
            continue;
        }
        let d = [0, 1].map(|i| panel.origin[i] - wall.origin[i]);
        let left = d[0] * wall.along[0] + d[1] * wall.along[1];
        for opening in panel.data["openings"].as_array().into_iter().flatten() {
            let side = |i: usize| opening["rough"][i].as_f64().map(|x| left + x);
            if let (Some(id), Some(from), Some(to)) = (opening["id"].as_str(), side(0), side(2)) {
                found.entry(id).or_insert([from, to]);
            }
        }
    }
    found.into_values().collect()
}

fn built(wall: &WallRow) -> Option<BuiltFace> {
    let exact = |inches: f64| Length::nearest(inches, Length::nanometres(1)).unwrap_or_default();
    Some(BuiltFace {
        corners: wall.corners?.map(exact),
        openings: wall.openings.iter().map(|it| it.map(exact)).collect(),
        tees: wall.tees.iter().map(|it| it.map(exact)).collect(),
    })
}

fn piece(row: PieceRow) -> IssuedPiece {
    IssuedPiece {
        mark: row.panel,
        is_gap: row.gap.is_some(),
        from: row.from,
        to: row.to,
    }
}

fn parse<'a, T: Deserialize<'a>>(file: &str, bytes: &'a [u8]) -> Result<T, IssuedError> {
    serde_json::from_slice(bytes).map_err(|error| unreadable(file, &error))
}

fn unreadable(file: &str, error: &serde_json::Error) -> IssuedError {
    IssuedError::Unreadable {
        file: file.to_owned(),
        reason: error.to_string(),
    }
}
