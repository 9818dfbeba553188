//! Reads what the proofs need of `plan.json`.

use serde::Deserialize;

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct PlanFile {
    pub(in crate::verify) schema: String,
    pub(in crate::verify) storeys: Vec<Storey>,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Storey {
    pub(in crate::verify) id: String,
    to_building: ToBuilding,
    outline: Vec<[f64; 2]>,
    pub(in crate::verify) walls: Vec<Wall>,
    pub(in crate::verify) openings: Vec<Opening>,
}

#[derive(Debug, Deserialize)]
struct ToBuilding {
    #[serde(rename = "move")]
    shift: [f64; 2],
    turn_deg: f64,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Wall {
    pub(in crate::verify) id: String,
    pub(in crate::verify) exterior: bool,
    pub(in crate::verify) start: [f64; 2],
    pub(in crate::verify) end: [f64; 2],
    pub(in crate::verify) thickness: f64,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Opening {
    pub(in crate::verify) id: String,
    pub(in crate::verify) wall: String,
    pub(in crate::verify) centre: [f64; 2],
}

impl Storey {
    /// A point of the drawing in the building: turned about the origin, then moved.
    pub(in crate::verify) fn in_building(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let (sin, cos) = self.to_building.turn_deg.to_radians().sin_cos();
        let [dx, dy] = self.to_building.shift;
        [x * cos - y * sin + dx, x * sin + y * cos + dy]
    }

    /// The outside face in the building; empty when it does not close.
    pub(in crate::verify) fn outline(&self) -> Vec<[f64; 2]> {
        self.outline
            .iter()
            .map(|point| self.in_building(*point))
            .collect()
    }
}
