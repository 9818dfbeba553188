//! Reads what the proofs need of `loads.json`.

use super::panels::Inches;
use crate::units::Erection;
use serde::Deserialize;

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct LoadsFile {
    pub(in crate::verify) schema: String,
    pub(in crate::verify) limits: Limits,
    pub(in crate::verify) bound: usize,
    pub(in crate::verify) trucks: Vec<Truck>,
    pub(in crate::verify) bundles: Vec<Bundle>,
}

impl LoadsFile {
    /// Reads the file; the reason when it is none.
    pub(in crate::verify) fn read(bytes: &[u8]) -> Result<Self, String> {
        let file: Self = serde_json::from_slice(bytes).map_err(|error| error.to_string())?;
        if file.schema == "panelwright.loads/1" {
            Ok(file)
        } else {
            Err(format!("its schema is '{}'", file.schema))
        }
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Limits {
    pub(in crate::verify) length: Inches,
    pub(in crate::verify) width: Inches,
    pub(in crate::verify) height: Inches,
    pub(in crate::verify) weight_lb: f64,
    pub(in crate::verify) tie_down_lb: f64,
    pub(in crate::verify) overhang: Inches,
    pub(in crate::verify) blocked: bool,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Truck {
    pub(in crate::verify) truck: u32,
    pub(in crate::verify) weight_lb: f64,
    pub(in crate::verify) loose_lb: f64,
    pub(in crate::verify) beyond: Vec<String>,
    pub(in crate::verify) stacks: Vec<Stack>,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Stack {
    pub(in crate::verify) stack: String,
    pub(in crate::verify) at: [Inches; 2],
    pub(in crate::verify) length: Inches,
    pub(in crate::verify) width: Inches,
    pub(in crate::verify) height: Inches,
    pub(in crate::verify) weight_lb: f64,
    pub(in crate::verify) tie_downs: u32,
    pub(in crate::verify) panels: Vec<Loaded>,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Loaded {
    pub(in crate::verify) mark: String,
    #[serde(flatten)]
    pub(in crate::verify) erection: Erection,
    pub(in crate::verify) length: Inches,
    pub(in crate::verify) width: Inches,
    pub(in crate::verify) thickness: Inches,
    pub(in crate::verify) weight_lb: f64,
    pub(in crate::verify) layer: u32,
    pub(in crate::verify) column: u32,
    pub(in crate::verify) bottom: Inches,
    pub(in crate::verify) across: Inches,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Bundle {
    pub(in crate::verify) bundle: String,
    pub(in crate::verify) pieces: Vec<String>,
    pub(in crate::verify) weight_lb: f64,
    pub(in crate::verify) truck: Option<u32>,
}
