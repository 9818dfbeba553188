//! Every saw cut of a blank in the order of sawing: openings while the blank is stiff, trim, cuts through, slopes last.

use super::model::Blank;
use crate::fabrication::FabricatedPanel;
use crate::geometry::{ShopPoint, ShopRect};
use crate::units::Length;

/// What a cut is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CutKind {
    /// A side of an opening or of a notch: it stops short of the corner by rule.
    Opening,
    /// Along an edge of the blank; its kerf lies outside the line.
    Trim,
    /// From edge to edge of what is left; its kerf lies to the right of an upright line and above a level one.
    Through,
    /// A sloping edge of a panel.
    Slope,
}

impl CutKind {
    /// The word in `stock.json`.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Opening => "opening",
            Self::Trim => "trim",
            Self::Through => "through",
            Self::Slope => "slope",
        }
    }
}

/// One cut with its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NumberedCut {
    /// From 1, in the order of sawing.
    pub number: usize,
    /// What it is for.
    pub kind: CutKind,
    /// One end, blank axes.
    pub from: ShopPoint,
    /// The other.
    pub to: ShopPoint,
    /// Stage of a cut through: 1 for those through the whole blank; 0 otherwise.
    pub stage: u8,
}

/// All cuts of a blank, numbered.
///
/// - `panel_of`: the panel by its index in the fabrication.
#[must_use]
pub fn numbered_cuts<'a>(
    blank: &Blank,
    panel_of: impl Fn(usize) -> Option<&'a FabricatedPanel>,
) -> Vec<NumberedCut> {
    let mut openings = Vec::new();
    let mut slopes = Vec::new();
    for placed in &blank.panels {
        let Some(panel) = panel_of(placed.panel) else {
            continue;
        };
        let face = panel.face(blank.face_up);
        for hole in &face.holes {
            openings.extend(placed.on.ring(hole).sides());
        }
        let Some(bounds) = face.outline.bounds() else {
            continue;
        };
        for (from, to) in face.outline.sides().filter(|(from, to)| from != to) {
            let side = (placed.on.point(from), placed.on.point(to));
            if from.x != to.x && from.y != to.y {
                slopes.push(side);
            } else if is_notch(from, to, &bounds) {
                openings.push(side);
            }
        }
    }
    let sheet = &blank.sheet;
    let inside = ShopRect::new(
        sheet.trim,
        sheet.trim,
        sheet.length - sheet.trim,
        sheet.width - sheet.trim,
    );
    let trims = if sheet.trim > Length::ZERO {
        inside.ring().sides().collect()
    } else {
        Vec::new()
    };
    let plain = |kind: CutKind| move |(from, to)| (kind, from, to, 0);
    let through = sheet.cuts.iter();
    openings
        .into_iter()
        .map(plain(CutKind::Opening))
        .chain(trims.into_iter().map(plain(CutKind::Trim)))
        .chain(through.map(|cut| (CutKind::Through, cut.from, cut.to, cut.stage)))
        .chain(slopes.into_iter().map(plain(CutKind::Slope)))
        .enumerate()
        .map(|(index, (kind, from, to, stage))| NumberedCut {
            number: index + 1,
            kind,
            from,
            to,
            stage,
        })
        .collect()
}

/// True for a level or upright side that lies inside the bounding rectangle.
fn is_notch(from: ShopPoint, to: ShopPoint, bounds: &ShopRect) -> bool {
    if from.x == to.x {
        from.x != bounds.x0 && from.x != bounds.x1
    } else {
        from.y != bounds.y0 && from.y != bounds.y1
    }
}
