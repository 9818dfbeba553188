//! What the plant makes panels of, and on which lines: assemblies, laminating lines, the strength axis of boards.

use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;

/// A panel build-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Assembly {
    /// Name, such as `6-1/2`.
    pub name: String,
    /// Foam thickness.
    pub core: Length,
    /// Outer skin thickness.
    pub outer_skin: Length,
    /// Inner skin thickness.
    pub inner_skin: Length,
    /// Section of plates, studs and bucks that fit the core, such as `2x6`.
    pub lumber: String,
    /// Skin material, such as `OSB`.
    pub skin_material: String,
    /// Core material, such as `EPS`.
    pub core_material: String,
    /// Weight of the foam, pounds per cubic foot.
    pub core_density: f64,
    /// Weight of the skins, pounds per cubic foot.
    pub skin_density: f64,
}

impl Assembly {
    /// Over both skins.
    #[must_use]
    pub fn thickness(&self) -> Length {
        self.outer_skin + self.core + self.inner_skin
    }
}

/// Which way the strong direction of a board's strands runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum StrengthAxis {
    /// Along the long side of the blank.
    #[serde(rename = "long")]
    Long,
    /// Along the short side.
    #[serde(rename = "short")]
    Short,
}

/// One laminating line and the greatest blank it makes.
#[derive(Clone, Debug, PartialEq)]
pub struct LaminatingLine {
    /// Name, such as `4 ft`.
    pub name: String,
    /// Width of a blank, across the line.
    pub width: Length,
    /// Greatest length of a blank.
    pub length: Length,
    /// Trim taken off every edge of a blank.
    pub trim: Length,
    /// Strength axis of its boards.
    pub strength_axis: StrengthAxis,
    /// Which way that axis stands in wall panels from this line. Default: vertical.
    pub wall_axis: WallAxis,
    /// The evaluation report that covers wall panels whose axis is horizontal; empty for none.
    pub report: String,
    /// True when a blank is as long as what is cut from it, false when it always has the line's length.
    pub made_to_length: bool,
}

/// Which way the strength axis stands in a wall.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum WallAxis {
    /// Up and down, as the prescriptive rules assume.
    #[default]
    #[serde(rename = "vertical")]
    Vertical,
    /// Along the wall: only under a named evaluation report.
    #[serde(rename = "horizontal")]
    Horizontal,
}

impl LaminatingLine {
    /// True when the height of a wall panel runs along the blank's length.
    #[must_use]
    pub fn stands_along(&self) -> bool {
        (self.strength_axis == StrengthAxis::Long) == (self.wall_axis == WallAxis::Vertical)
    }
}
