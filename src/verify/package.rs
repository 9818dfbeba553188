//! A package's files as the proofs see them.

use super::VerifyError;
use super::readers::panels::{Panel, PanelsFile, Wall};
use super::readers::plan::{PlanFile, Storey};
use super::readers::told::{left_out, open_storeys};
use crate::findings::Place;
use serde::de::DeserializeOwned;
use std::collections::{BTreeMap, BTreeSet};

/// What was read.
pub(super) struct Package<'a> {
    pub(super) files: &'a BTreeMap<String, Vec<u8>>,
    pub(super) plan: PlanFile,
    pub(super) panels: PanelsFile,
    /// Storey and id of the walls that a fault says cannot be panelled.
    left_out: BTreeSet<(String, String)>,
    /// Ids of the storeys that a fault says do not close.
    open: BTreeSet<String>,
}

impl<'a> Package<'a> {
    /// Reads the two files without which nothing can be proved.
    pub(super) fn read(files: &'a BTreeMap<String, Vec<u8>>) -> Result<Self, VerifyError> {
        let plan: PlanFile = read_json(files, "plan.json")?;
        let panels: PanelsFile = read_json(files, "panels.json")?;
        let schemas = [
            ("plan.json", &plan.schema, "panelwright.plan/1"),
            ("panels.json", &panels.schema, "panelwright.panels/1"),
        ];
        for (file, found, expected) in schemas {
            if found != expected {
                return Err(VerifyError::Unreadable {
                    file: file.to_owned(),
                    reason: format!("its schema is '{found}', not '{expected}'"),
                });
            }
        }
        Ok(Self {
            files,
            plan,
            panels,
            left_out: files
                .get("findings.json")
                .map(|it| left_out(it))
                .unwrap_or_default(),
            open: files
                .get("findings.json")
                .map(|it| open_storeys(it))
                .unwrap_or_default(),
        })
    }

    /// Marks of panels on HOLD, in the order of the file.
    pub(super) fn held_marks(&self) -> Vec<String> {
        let held = self.panels.panels.iter().filter(|panel| panel.hold);
        held.map(|panel| panel.mark.clone()).collect()
    }

    /// A panel by its mark.
    pub(super) fn panel(&self, mark: &str) -> Option<&Panel> {
        self.panels.panels.iter().find(|panel| panel.mark == mark)
    }

    /// The wall a panel belongs to.
    pub(super) fn wall_of(&self, panel: &Panel) -> Option<&Wall> {
        let mut walls = self.panels.walls.iter();
        walls.find(|wall| wall.id == panel.wall)
    }

    /// True where nothing was made for a wall, and a fault says that it cannot be panelled.
    pub(super) fn is_told_left_out(&self, wall: &Wall) -> bool {
        let key = (wall.storey.clone(), wall.id.clone());
        wall.is_left_out() && self.left_out.contains(&key)
    }

    /// True where no storey of the plan has an outline, and of each a fault says that it does not close.
    pub(super) fn is_told_open(&self) -> bool {
        let storeys = &self.plan.storeys;
        let is_told = |it: &Storey| it.outline().is_empty() && self.open.contains(&it.id);
        !storeys.is_empty() && storeys.iter().all(is_told)
    }

    /// A storey of the plan by its id.
    pub(super) fn storey(&self, id: &str) -> Option<&Storey> {
        self.plan.storeys.iter().find(|storey| storey.id == id)
    }
}

/// Where a finding about a wall points.
pub(super) fn at_wall(wall: &Wall) -> Place {
    Place::element(&wall.storey, &wall.id)
}

/// Where a finding about a panel points.
pub(super) fn at_panel(panel: &Panel) -> Place {
    Place {
        storey: Some(panel.storey.clone()),
        ..Place::panel(&panel.mark)
    }
}

fn read_json<T: DeserializeOwned>(
    files: &BTreeMap<String, Vec<u8>>,
    name: &'static str,
) -> Result<T, VerifyError> {
    let bytes = files.get(name).ok_or(VerifyError::Missing(name))?;
    serde_json::from_slice(bytes).map_err(|error| VerifyError::Unreadable {
        file: name.to_owned(),
        reason: error.to_string(),
    })
}
