//! Every piece of lumber in a panel: where it lies, what it is cut from, what it weighs.
//!
//! ```text
//!   ┌┬──────────────┬┬┐      ends      what closes or joins the upright edges
//!   ││  ┌────────┐  │││      bucks     what lines an opening
//!   ││  ├┬──────┬┤  │││      headers   what carries over it
//!   │├──┴┘      └┴──┤││
//!   └┴──────────────┴┴┘      piers     solid strips beside framed openings; plates belong to the wall: see `plates`
//! ```

mod bucks;
mod ends;
mod headers;
mod piers;
mod splines;

pub(super) use bucks::{OpeningFrame, frame_opening};
pub(super) use ends::{EndPack, end_pack};
pub(super) use headers::{StackPlace, header_stack, sizing_note, under_plate_note};
pub(super) use piers::{is_pier, jacks_beside};

use super::brief::PanelBrief;
use super::{Fitted, Lumber};
use crate::geometry::ShopRect;
use crate::layout::PanelKind;
use crate::rules::LumberSection;
use crate::units::Length;

/// Which edge of a panel a piece belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Home {
    Left,
    Right,
    Bottom,
    Top,
    /// No edge: in the middle of the panel.
    Field,
    /// The upright side of a step in base or top, by its x.
    Step(Length),
    /// A side of the opening with this index into the wall's openings.
    Opening(usize, Side),
}

/// A side of an opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Left,
    Right,
    Head,
    Sill,
}

/// A piece with the edge it belongs to; mark and edge number come last, when the edges are known.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) home: Home,
    pub(super) lumber: Lumber,
}

/// What a piece is, beside its place.
pub(super) struct PieceKind<'a> {
    pub(super) home: Home,
    pub(super) usage: &'a str,
    pub(super) section: &'a str,
    pub(super) rule: &'a str,
}

/// A plant-fitted piece of 2x lumber as wide as the core takes, its rectangle and the direction of its length given.
pub(super) fn stud(
    brief: &PanelBrief<'_>,
    kind: &PieceKind<'_>,
    rect: ShopRect,
    upright: bool,
) -> Piece {
    piece(
        brief,
        kind,
        rect,
        upright,
        brief.centred_depth(brief.stud.width),
    )
}

/// An upright piece that reaches a sloped plate: its top is cut to the slope, its rectangle reaches to the long point.
pub(super) fn under_slope(brief: &PanelBrief<'_>, mut piece: Piece) -> Piece {
    let lumber = &mut piece.lumber;
    let rect = lumber.rect;
    let [high, low] = brief.head(rect.x0, rect.x1, brief.rules.plates.thickness);
    if lumber.is_upright && brief.panel.kind != PanelKind::Sill && rect.y1 == high && low < high {
        let degrees = brief.slope_deg((rect.x0 + rect.x1).half());
        lumber.end_cuts[1][0] = degrees.abs();
        let lost = (high - low).to_inches() / 2.0 / rect.height().to_inches();
        lumber.weight_lb *= 1.0 - lost;
    }
    piece
}

/// A plant-fitted piece of lumber between two depths below the outer face.
pub(super) fn piece(
    brief: &PanelBrief<'_>,
    kind: &PieceKind<'_>,
    rect: ShopRect,
    upright: bool,
    depth: [Length; 2],
) -> Piece {
    let (grade, density) = brief.rules.lumber.grade_of(kind.section);
    Piece {
        home: kind.home,
        lumber: Lumber {
            mark: String::new(),
            usage: kind.usage.to_owned(),
            section: kind.section.to_owned(),
            grade: grade.to_owned(),
            length: if upright { rect.height() } else { rect.width() },
            rect,
            is_upright: upright,
            depth,
            end_cuts: [[0.0; 2]; 2],
            edge: None,
            fitted: Fitted::Plant,
            rule: kind.rule.to_owned(),
            weight_lb: cubic_feet(rect, depth) * density,
        },
    }
}

/// A strip of panel as thick as the core, made with the panel's own skins: a block spline, a header.
pub(super) fn strip_of_panel(
    brief: &PanelBrief<'_>,
    kind: &PieceKind<'_>,
    rect: ShopRect,
    upright: bool,
) -> Piece {
    let assembly = brief.assembly;
    let mut strip = piece(
        brief,
        kind,
        rect,
        upright,
        brief.centred_depth(assembly.core),
    );
    let (outer, inner) = (&assembly.outer, &assembly.inner);
    let of = |thickness: Length| cubic_feet(rect, [Length::ZERO, thickness]);
    let mut skins: Vec<&str> = assembly
        .skinned()
        .map(|it| assembly.skin(it).material.as_str())
        .collect();
    skins.dedup();
    strip.lumber.grade = format!("{} on {}", skins.join(" and "), assembly.core_material);
    let foam = assembly.core - outer.thickness - inner.thickness;
    strip.lumber.weight_lb = of(outer.thickness) * outer.density
        + of(inner.thickness) * inner.density
        + of(foam) * assembly.core_density;
    strip
}

/// What is left of a level board outside the stretches taken by others, from left to right.
pub(super) fn board_between(
    board: ShopRect,
    taken: impl Iterator<Item = [Length; 2]>,
) -> Vec<ShopRect> {
    let mut taken: Vec<[Length; 2]> = taken.collect();
    taken.sort_unstable();
    let mut parts = Vec::new();
    let mut from = board.x0;
    for [low, high] in taken {
        if low > from {
            parts.push(ShopRect {
                x0: from,
                x1: low.min(board.x1),
                ..board
            });
        }
        from = from.max(high);
    }
    if from < board.x1 {
        parts.push(ShopRect { x0: from, ..board });
    }
    parts
}

/// Volume of a block.
pub(super) fn cubic_feet(rect: ShopRect, depth: [Length; 2]) -> f64 {
    rect.width().to_inches() * rect.height().to_inches() * (depth[1] - depth[0]).to_inches()
        / 1728.0
}

/// Board feet of a piece: nominal thickness times nominal width in inches times length in feet, by twelve.
///
/// ```
/// use panelwright::fabrication::board_feet;
/// use panelwright::rules::PlantRules;
/// use panelwright::units::Length;
/// // 2x10, 16 ft: 26.67 board feet. Source: a material handbook that cites PS 20.
/// let rules = PlantRules::default();
/// let found = board_feet(&rules.lumber.sections["2x10"], Length::feet(16));
/// assert!((found - 26.67).abs() < 0.005);
/// ```
#[must_use]
pub fn board_feet(section: &LumberSection, length: Length) -> f64 {
    f64::from(section.nominal_thickness) * f64::from(section.nominal_width) * length.to_inches()
        / 144.0
}

/// The narrowest section of the plant's stud thickness that is at least `width` wide, and its name.
pub(super) fn section_for<'a>(
    brief: &PanelBrief<'a>,
    width: Length,
) -> Option<(&'a str, LumberSection)> {
    brief
        .rules
        .lumber
        .sections
        .iter()
        .filter(|(_, section)| section.width >= width && section.thickness == brief.stud.thickness)
        .min_by_key(|(name, section)| (section.width, name.as_str()))
        .map(|(name, section)| (name.as_str(), *section))
}

/// `2x6` when that is as wide as wanted, else `2x8 ripped to 6 1/2`.
pub(super) fn section_name(brief: &PanelBrief<'_>, width: Length) -> String {
    use crate::units::Inches;
    match section_for(brief, width) {
        Some((name, section)) if section.width == width => name.to_owned(),
        Some((name, _)) => format!("{name} ripped to {}", Inches(width)),
        None => format!("{} wide", Inches(width)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::PlantRules;

    #[test]
    fn board_feet_follow_the_nominal_section() {
        // 2x10x16 = 26.67: a material handbook that cites PS 20. The others by the same formula: derived.
        let rules = PlantRules::default();
        for (section, feet, expected) in [
            ("2x10", 16, 26.67),
            ("2x4", 8, 5.33),
            ("2x6", 12, 12.0),
            ("2x8", 14, 18.67),
            ("2x12", 16, 32.0),
        ] {
            let found = board_feet(&rules.lumber.sections[section], Length::feet(feet));
            assert!((found - expected).abs() < 0.005, "{section}: {found}");
        }
    }
}
