//! Reads what the proofs need of `stock.json`.

use super::panels::{Inches, shop_point};
use crate::geometry::{ShopPoint, ShopRect};
use crate::units::Length;
use serde::Deserialize;

type Pair = [Inches; 2];

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct StockFile {
    pub(in crate::verify) schema: String,
    pub(in crate::verify) priced_by: String,
    pub(in crate::verify) summary: Vec<Summary>,
    pub(in crate::verify) foam: Vec<Foam>,
    pub(in crate::verify) held: Vec<String>,
    pub(in crate::verify) unplaced: Vec<String>,
    pub(in crate::verify) blanks: Vec<Blank>,
    pub(in crate::verify) boards: Vec<Board>,
    pub(in crate::verify) slabs: Vec<Slab>,
    pub(in crate::verify) billets: Vec<Billet>,
    pub(in crate::verify) lumber: Vec<Bar>,
    pub(in crate::verify) leftovers: Vec<Leftover>,
}

/// What is kept for another job.
#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Leftover {
    pub(in crate::verify) name: String,
    pub(in crate::verify) kind: String,
    pub(in crate::verify) what: String,
    pub(in crate::verify) grade: String,
    pub(in crate::verify) thickness: Inches,
    pub(in crate::verify) length: Inches,
    pub(in crate::verify) width: Inches,
    pub(in crate::verify) whole_core: bool,
}

impl StockFile {
    /// Reads the file; the reason when it cannot be.
    pub(in crate::verify) fn read(bytes: &[u8]) -> Result<Self, String> {
        let file: Self = serde_json::from_slice(bytes).map_err(|error| error.to_string())?;
        match file.schema.as_str() {
            "panelwright.stock/1" => Ok(file),
            other => Err(format!(
                "its schema is '{other}', not 'panelwright.stock/1'"
            )),
        }
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Foam {
    pub(in crate::verify) material: String,
    pub(in crate::verify) billets_cu_ft: f64,
    pub(in crate::verify) slabs_cu_ft: f64,
    pub(in crate::verify) panels_cu_ft: f64,
    pub(in crate::verify) kept_cu_ft: f64,
    pub(in crate::verify) rests_cu_ft: f64,
    pub(in crate::verify) wire_cu_ft: f64,
    pub(in crate::verify) blank_offcuts_cu_ft: f64,
    pub(in crate::verify) grindings_cu_ft: f64,
    pub(in crate::verify) ground_lb: f64,
    pub(in crate::verify) waste_cents: Option<i64>,
    pub(in crate::verify) ground_cents: Option<i64>,
}

/// What one kind of stock comes to.
#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Summary {
    pub(in crate::verify) kind: String,
    pub(in crate::verify) what: String,
    pub(in crate::verify) unit: String,
    pub(in crate::verify) used: f64,
    pub(in crate::verify) cut: f64,
    pub(in crate::verify) kept: f64,
    pub(in crate::verify) waste: f64,
    pub(in crate::verify) waste_lb: f64,
    pub(in crate::verify) waste_cents: Option<i64>,
}

/// Size, cuts and offcuts of any sheet.
#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Sheet {
    pub(in crate::verify) leftover: String,
    pub(in crate::verify) length: Inches,
    pub(in crate::verify) width: Inches,
    pub(in crate::verify) thickness: Inches,
    pub(in crate::verify) trim: Inches,
    pub(in crate::verify) kerf: Inches,
    pub(in crate::verify) cuts: Vec<Cut>,
    pub(in crate::verify) offcuts: Vec<Offcut>,
}

impl Sheet {
    /// What is left when the trim is off.
    pub(in crate::verify) fn inside(&self) -> ShopRect {
        let trim = self.trim.0;
        ShopRect::new(trim, trim, self.length.0 - trim, self.width.0 - trim)
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Cut {
    pub(in crate::verify) number: usize,
    /// Of a blank's cut: opening, trim, through, slope; boards and slabs have cuts through only.
    #[serde(default)]
    pub(in crate::verify) kind: Option<String>,
    from: Pair,
    to: Pair,
}

impl Cut {
    /// True for a cut from edge to edge.
    pub(in crate::verify) fn is_through(&self) -> bool {
        self.kind.as_deref().is_none_or(|kind| kind == "through")
    }

    /// Both ends.
    pub(in crate::verify) const fn ends(&self) -> [ShopPoint; 2] {
        [shop_point(self.from), shop_point(self.to)]
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Offcut {
    at: [Inches; 4],
    pub(in crate::verify) name: String,
    pub(in crate::verify) kept: bool,
}

impl Offcut {
    pub(in crate::verify) const fn rect(&self) -> ShopRect {
        rect(self.at)
    }
}

const fn rect([x0, y0, x1, y1]: [Inches; 4]) -> ShopRect {
    ShopRect::new(x0.0, y0.0, x1.0, y1.0)
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Blank {
    pub(in crate::verify) blank: String,
    pub(in crate::verify) assembly: String,
    pub(in crate::verify) line: String,
    pub(in crate::verify) face_up: String,
    #[serde(flatten)]
    pub(in crate::verify) sheet: Sheet,
    pub(in crate::verify) panels: Vec<BlankPanel>,
    chases: Vec<[Pair; 2]>,
    core_joints: Vec<[Pair; 2]>,
}

impl Blank {
    /// Joints between pieces of its core.
    pub(in crate::verify) fn joints(&self) -> Vec<[ShopPoint; 2]> {
        let lines = self.core_joints.iter();
        lines.map(|line| line.map(shop_point)).collect()
    }

    /// Chases that run through its core.
    pub(in crate::verify) fn chases(&self) -> Vec<[ShopPoint; 2]> {
        self.chases
            .iter()
            .map(|line| line.map(shop_point))
            .collect()
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct BlankPanel {
    pub(in crate::verify) mark: String,
    at: [Inches; 4],
    pub(in crate::verify) turn: u32,
    pub(in crate::verify) up: String,
    pub(in crate::verify) paired_with: Option<String>,
}

impl BlankPanel {
    pub(in crate::verify) const fn rect(&self) -> ShopRect {
        rect(self.at)
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Board {
    pub(in crate::verify) board: String,
    pub(in crate::verify) material: String,
    #[serde(flatten)]
    pub(in crate::verify) sheet: Sheet,
    pub(in crate::verify) pieces: Vec<Piece>,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Slab {
    pub(in crate::verify) slab: String,
    pub(in crate::verify) material: String,
    #[serde(flatten)]
    pub(in crate::verify) sheet: Sheet,
    pub(in crate::verify) pieces: Vec<Piece>,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Piece {
    pub(in crate::verify) name: String,
    at: [Inches; 4],
}

impl Piece {
    pub(in crate::verify) const fn rect(&self) -> ShopRect {
        rect(self.at)
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Billet {
    pub(in crate::verify) billet: String,
    pub(in crate::verify) material: String,
    pub(in crate::verify) length: Inches,
    pub(in crate::verify) width: Inches,
    pub(in crate::verify) height: Inches,
    pub(in crate::verify) skin: Inches,
    pub(in crate::verify) kerf: Inches,
    pub(in crate::verify) leftover: String,
    pub(in crate::verify) slabs: Vec<Layer>,
    pub(in crate::verify) rest: Inches,
    pub(in crate::verify) kept: Option<String>,
}

impl Billet {
    /// Height of what is left above the last kerf, the upper skin on it.
    pub(in crate::verify) fn left(&self) -> Length {
        self.rest.0 + self.skin.0
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Layer {
    pub(in crate::verify) slab: String,
    pub(in crate::verify) from: Inches,
    pub(in crate::verify) to: Inches,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Bar {
    pub(in crate::verify) bar: String,
    pub(in crate::verify) section: String,
    pub(in crate::verify) grade: String,
    pub(in crate::verify) leftover: String,
    pub(in crate::verify) length: Inches,
    pub(in crate::verify) trim: Inches,
    pub(in crate::verify) kerf: Inches,
    pub(in crate::verify) pieces: Vec<BarPiece>,
    pub(in crate::verify) offcut: Inches,
    pub(in crate::verify) kept: Option<String>,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct BarPiece {
    pub(in crate::verify) mark: String,
    pub(in crate::verify) length: Inches,
}

impl Bar {
    /// What must be left after the last kerf: nothing where the last piece ends less than a kerf from the end.
    pub(in crate::verify) fn rest(&self) -> Option<Length> {
        let room = self.length.0 - self.trim.0 * 2;
        let pieces: Length = self.pieces.iter().map(|piece| piece.length.0).sum();
        let n = i64::try_from(self.pieces.len()).ok()?;
        let before_last = self.kerf.0 * (n - 1).max(0);
        let left = room - pieces - before_last;
        (left >= Length::ZERO).then(|| (left - self.kerf.0).max(Length::ZERO))
    }
}
