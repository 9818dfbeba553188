//! What is cut from what. Sheet axes: origin at the datum corner, x along the long side, y across, seen from the face that lies
//! up.

use super::attitude::OnBlank;
use crate::geometry::{ShopPoint, ShopRect};
use crate::rules::Face;
use crate::units::Length;
use std::collections::BTreeMap;

/// Everything cut for one package.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StockPlan {
    /// Blanks, in the order of lamination: by assembly, then line, then erection.
    pub blanks: Vec<Blank>,
    /// Boards with the skins cut from them.
    pub boards: Vec<CutSheet>,
    /// Slabs of foam with the pieces of core cut from them.
    pub slabs: Vec<CutSheet>,
    /// Billets with the slabs cut from them.
    pub billets: Vec<Billet>,
    /// Lumber, plates and splines.
    pub bars: Vec<Bar>,
    /// What each kind of stock comes to.
    pub tallies: Vec<Tally>,
    /// Where the foam goes, by core material.
    pub foam: Vec<FoamTally>,
    /// What is kept: by its name, in the order of the file.
    pub leftovers: Vec<Leftover>,
    /// Marks of panels on HOLD, which are on no blank.
    pub held: Vec<String>,
    /// What fits no stock on hand, by name: marks of panels and pieces, `B01 outer`, `B01 core 1`, slabs.
    pub unplaced: Vec<String>,
}

impl StockPlan {
    /// The blank a panel is cut from, by the panel's mark.
    #[must_use]
    pub fn blank_of(&self, mark: &str) -> Option<&Blank> {
        let mut blanks = self.blanks.iter();
        blanks.find(|blank| blank.panels.iter().any(|panel| panel.mark == mark))
    }

    /// Of everything that is kept and new: the blank, board, slab, billet or bar it is cut from, by its name.
    #[must_use]
    pub fn cut_from(&self) -> BTreeMap<&str, &str> {
        let sheets = self.blanks.iter().map(|it| &it.sheet);
        let offcuts = sheets
            .chain(&self.boards)
            .chain(&self.slabs)
            .flat_map(|sheet| {
                let kept = sheet.offcuts.iter().filter(|it| it.is_kept);
                kept.map(|it| (it.name.as_str(), sheet.name.as_str()))
            });
        let bars = self.bars.iter().map(|it| (&it.kept, &it.name));
        let billets = self.billets.iter().map(|it| (&it.kept, &it.name));
        let lengths = billets.chain(bars);
        let lengths = lengths.filter_map(|(kept, name)| Some((kept.as_deref()?, name.as_str())));
        offcuts.chain(lengths).collect()
    }
}

/// One blank and the panels cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct Blank {
    /// The sheet: name `B01`, size, cuts, offcuts. Its pieces are the panels' rectangles, in the order of `panels`.
    pub sheet: CutSheet,
    /// Index into `PlantRules::assemblies`.
    pub assembly: usize,
    /// Index into `PlantRules::lines`.
    pub line: usize,
    /// The face of every panel on it that lies up.
    pub face_up: Face,
    /// What is cut from it.
    pub panels: Vec<BlankPanel>,
    /// Chases that run through its core, as a line from edge to edge; empty when chases are made in the panel.
    pub chases: Vec<[ShopPoint; 2]>,
    /// Joints between pieces of its core.
    pub core_joints: Vec<[ShopPoint; 2]>,
}

/// A panel on its blank.
#[derive(Clone, Debug, PartialEq)]
pub struct BlankPanel {
    /// Index into `Fabrication::panels`.
    pub panel: usize,
    /// Mark.
    pub mark: String,
    /// Where it lies: bounding rectangle of both skins.
    pub rect: ShopRect,
    /// How it lies, and where each of its points comes to lie.
    pub on: OnBlank,
    /// Mark of the panel it lies nose to tail with, both within one sawn rectangle.
    pub paired_with: Option<String>,
}

/// A sheet of stock with what is cut from it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CutSheet {
    /// Its name in the package: `B01`, `H01`, `F01`.
    pub name: String,
    /// What it is: `OSB`, `EPS`; of a blank its assembly.
    pub what: String,
    /// Name of the leftover it is; empty for new stock.
    pub leftover: String,
    /// Along x.
    pub length: Length,
    /// Along y.
    pub width: Length,
    /// Its thickness.
    pub thickness: Length,
    /// Trim on every edge.
    pub trim: Length,
    /// Kerf of the saw or wire.
    pub kerf: Length,
    /// What is cut from it.
    pub pieces: Vec<SheetPiece>,
    /// Straight cuts through, in sawing order.
    pub cuts: Vec<SheetCut>,
    /// Rectangles left over.
    pub offcuts: Vec<SheetOffcut>,
}

impl CutSheet {
    /// Its area.
    #[must_use]
    pub fn square_inches(&self) -> f64 {
        self.length.to_inches() * self.width.to_inches()
    }
}

/// A rectangle cut from a sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetPiece {
    /// What it is for: a mark, or `B01 outer`.
    pub name: String,
    /// Where it lies.
    pub rect: ShopRect,
}

/// A saw cut from edge to edge of what is left. The kerf lies to the right of an upright line and above a level one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SheetCut {
    /// One end.
    pub from: ShopPoint,
    /// The other.
    pub to: ShopPoint,
    /// 1 for cuts through the whole sheet, 2 for those through what the first left, and so on.
    pub stage: u8,
}

/// A rectangle left over.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetOffcut {
    /// Its name: `B01-1`.
    pub name: String,
    /// Where it lies.
    pub rect: ShopRect,
    /// True when it is large enough to be kept for another job.
    pub is_kept: bool,
}

/// A billet of foam and the slabs cut from it, from the bottom up.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Billet {
    /// Its name: `K01`.
    pub name: String,
    /// Material.
    pub what: String,
    /// Name of the leftover it is; empty for a new one.
    pub leftover: String,
    /// Length of its slabs.
    pub length: Length,
    /// Width of its slabs.
    pub width: Length,
    /// Over all.
    pub height: Length,
    /// Taken off top and bottom.
    pub skin: Length,
    /// Kerf of the wire.
    pub kerf: Length,
    /// Slabs by name, each with its underside and its top above the billet's bottom.
    pub slabs: Vec<(String, Length, Length)>,
    /// What is left below the upper skin.
    pub rest: Length,
    /// Name of what is left with the upper skin on it, when that is kept.
    pub kept: Option<String>,
}

impl Billet {
    /// Height of what is left, the upper skin still on it.
    #[must_use]
    pub fn left(&self) -> Length {
        self.rest + self.skin
    }
}

/// A bar of lumber, or a length of spline, with what is cut from it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bar {
    /// Its name: `L01`.
    pub name: String,
    /// Section: `2x6`.
    pub section: String,
    /// Grade or material.
    pub grade: String,
    /// Name of the leftover it is; empty for new stock.
    pub leftover: String,
    /// Its length.
    pub length: Length,
    /// Trim off each end.
    pub trim: Length,
    /// Kerf of the saw.
    pub kerf: Length,
    /// Marks with their lengths, from the left end.
    pub pieces: Vec<(String, Length)>,
    /// What is left.
    pub offcut: Length,
    /// Name of the offcut, when it is kept.
    pub kept: Option<String>,
}

/// What one kind of stock comes to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Tally {
    /// `blanks`, `boards`, `slabs`, `billets` or `lumber`.
    pub kind: &'static str,
    /// Which of that kind: an assembly and line, a material, a section.
    pub what: String,
    /// How many are used.
    pub count: usize,
    /// The least number that any plan needs, when it is known.
    pub bound: Option<usize>,
    /// What the bound covers: `any cutting`, `any guillotine cutting`.
    pub scope: &'static str,
    /// True when no plan can do with less.
    pub is_proven: bool,
    /// What count and bound come to, as a sentence.
    pub sentence: String,
    /// Of all used: square feet of sheets, cubic feet of billets, feet of bars.
    pub used: f64,
    /// Of what is cut from them, in the same unit.
    pub cut: f64,
    /// Of offcuts that are kept, in the same unit.
    pub kept: f64,
    /// The unit: `sq ft`, `cu ft`, `ft`.
    pub unit: &'static str,
    /// Weight of what is neither cut nor kept, pounds.
    pub waste_lb: f64,
    /// Cost of what is neither cut nor kept, cents, where a price book is given and prices this stock.
    pub waste_cents: Option<i64>,
}

impl Tally {
    /// What is neither cut nor kept, in the tally's unit.
    #[must_use]
    pub fn waste(&self) -> f64 {
        (self.used - self.cut - self.kept).max(0.0)
    }

    /// The station that cuts it: `slabs` of foam, `cores`, `skins`, `saw`, `lumber`.
    #[must_use]
    pub fn station(&self) -> &'static str {
        match self.kind {
            "billets" => "slabs",
            "slabs" => "cores",
            "boards" => "skins",
            "blanks" => "saw",
            _ => "lumber",
        }
    }
}

/// Where the foam of one material goes, cubic feet. `billets` and `slabs` are the sum of the others.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct FoamTally {
    /// Material.
    pub material: String,
    /// All billets, leftover ones among them.
    pub billets: f64,
    /// Leftover slabs.
    pub slabs: f64,
    /// In panels as they leave the plant.
    pub panels: f64,
    /// Kept of billets and slabs for another job.
    pub kept: f64,
    /// Left of billets and slabs and too small to be kept.
    pub rests: f64,
    /// Melted or swept away by the wire.
    pub wire: f64,
    /// In offcuts of blanks.
    pub blank_offcuts: f64,
    /// Ground out of recesses, sawn and trimmed: it goes back to be ground.
    pub grindings: f64,
    /// Weight of the grindings, pounds.
    pub grindings_lb: f64,
    /// What rests, wire and grindings cost, cents, where the price book has this foam.
    pub waste_cents: Option<i64>,
    /// Weight of rests and grindings: all that goes back to be ground, pounds.
    pub ground_lb: f64,
    /// What that is worth, cents, where the price book says.
    pub ground_cents: Option<i64>,
}

/// Something kept for another job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Leftover {
    /// Its name: `B01-1`.
    pub name: String,
    /// `blank`, `board`, `slab`, `billet` or `bar`.
    pub kind: &'static str,
    /// Assembly, or material and thickness, or section.
    pub what: String,
    /// Grade of a bar; empty otherwise.
    pub grade: String,
    /// Thickness of a board or slab, height of a billet; zero otherwise.
    pub thickness: Length,
    /// Along the strength axis.
    pub length: Length,
    /// Across; zero for bars.
    pub width: Length,
    /// Of a blank: true when no joint of its core runs through it.
    pub has_whole_core: bool,
}
