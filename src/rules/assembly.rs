//! What the plant makes panels of, and on which lines: assemblies, laminating lines, the strength axis of boards.

use super::plant::Face;
use crate::units::{Inches, Length};
use schemars::JsonSchema;
use serde::Deserialize;

/// A panel build-up.
#[derive(Clone, Debug, PartialEq)]
pub struct Assembly {
    /// Name, such as `6-1/2`.
    pub name: String,
    /// Foam thickness.
    pub core: Length,
    /// Outer skin; none of a liner whose outer face is bare.
    pub outer: Skin,
    /// Inner skin; none of a liner whose inner face is bare.
    pub inner: Skin,
    /// Section of plates, studs and bucks that fit the core, such as `2x6`.
    pub lumber: String,
    /// Core material, such as `EPS`.
    pub core_material: String,
    /// Weight of the foam, pounds per cubic foot.
    pub core_density: f64,
}

impl Assembly {
    /// From face to face.
    #[must_use]
    pub fn thickness(&self) -> Length {
        self.outer.thickness + self.core + self.inner.thickness
    }

    /// The skin of a face.
    #[must_use]
    pub const fn skin(&self, face: Face) -> &Skin {
        match face {
            Face::Outer => &self.outer,
            Face::Inner => &self.inner,
        }
    }

    /// The faces that have a skin: both, or the one of a liner.
    pub fn skinned(&self) -> impl Iterator<Item = Face> + '_ {
        let faces = [Face::Outer, Face::Inner].into_iter();
        faces.filter(|face| self.skin(*face).is_there())
    }

    /// How many skins it has.
    #[must_use]
    pub fn n_skins(&self) -> u32 {
        u32::from(self.outer.is_there()) + u32::from(self.inner.is_there())
    }

    /// The face that has no skin.
    #[must_use]
    pub fn bare(&self) -> Option<Face> {
        let mut faces = [Face::Outer, Face::Inner].into_iter();
        faces.find(|face| !self.skin(*face).is_there())
    }

    /// True when one face is bare: the panel bears nothing.
    #[must_use]
    pub fn is_liner(&self) -> bool {
        self.bare().is_some()
    }

    /// True when both skins are the same.
    #[must_use]
    pub fn is_even(&self) -> bool {
        self.outer == self.inner
    }

    /// `OSB 7/16`, of unequal skins `treated plywood 1/2 outside, OSB 7/16 inside`, of a liner `OSB 7/16 outside, bare inside`.
    #[must_use]
    pub fn skin_words(&self) -> String {
        if self.is_even() {
            return self.outer.words();
        }
        let side = |skin: &Skin, side| format!("{} {side}", skin.words());
        format!(
            "{}, {}",
            side(&self.outer, "outside"),
            side(&self.inner, "inside")
        )
    }

    /// What it is made of: `OSB 7/16; core EPS 5 5/8`.
    #[must_use]
    pub fn layer_words(&self) -> String {
        let core = self.core.to_string();
        let core = core.trim_end_matches('"');
        format!("{}; core {} {core}", self.skin_words(), self.core_material)
    }

    /// `SKIN 7/16 OSB`, of unequal skins `OUTER SKIN 1/2 TREATED PLYWOOD`.
    #[must_use]
    pub fn skin_call_out(&self, face: Face) -> String {
        let skin = self.skin(face);
        let which = match face {
            _ if self.is_even() => "",
            Face::Outer => "OUTER ",
            Face::Inner => "INNER ",
        };
        let thickness = Inches(skin.thickness);
        format!("{which}SKIN {thickness} {}", skin.material.to_uppercase())
    }

    /// Weight of a square foot of skins and foam without lumber, pounds.
    #[must_use]
    pub fn pounds_per_sq_ft(&self) -> f64 {
        let foam = self.core.to_inches() * self.core_density / 12.0;
        self.outer.pounds_per_sq_ft() + foam + self.inner.pounds_per_sq_ft()
    }
}

/// One skin of a panel.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Skin {
    /// Thickness; 0 where the face is bare foam.
    pub thickness: Length,
    /// Material as printed, such as `OSB`; boards are stocked and priced by it and the thickness.
    pub material: String,
    /// Weight, pounds per cubic foot.
    pub density: f64,
}

impl Skin {
    /// False where the face is bare foam.
    #[must_use]
    pub fn is_there(&self) -> bool {
        self.thickness > Length::ZERO
    }

    /// `OSB 7/16`, or `bare`.
    #[must_use]
    pub fn words(&self) -> String {
        if self.is_there() {
            format!("{} {}", self.material, Inches(self.thickness))
        } else {
            "bare".to_owned()
        }
    }

    /// Weight of a square foot, pounds.
    #[must_use]
    pub fn pounds_per_sq_ft(&self) -> f64 {
        self.thickness.to_inches() * self.density / 12.0
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
    /// Which way that axis may stand in wall panels from this line. Default: vertical.
    pub wall_axis: WallAxis,
    /// The evaluation report that covers wall panels whose axis is level; empty for none.
    pub report: String,
    /// True when a blank is as long as what is cut from it, false when it always has the line's length.
    pub made_to_length: bool,
}

/// Which way the strength axis may stand in a wall.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
pub enum WallAxis {
    /// Up and down, as the prescriptive rules assume.
    #[default]
    #[serde(rename = "vertical")]
    Vertical,
    /// Up and down or along the wall, panel by panel: only under a named evaluation report.
    #[serde(rename = "either")]
    Either,
}

/// The words of `lines.wall_axis`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
pub(super) enum WallAxisWord {
    /// Up and down.
    #[serde(rename = "vertical")]
    Vertical,
    /// Either way, under a named evaluation report.
    #[serde(rename = "either")]
    Either,
    /// Refused: the word is "either".
    #[serde(rename = "horizontal")]
    Horizontal,
}

/// A way in which a wall panel lies on a blank of a line.
///
/// ```text
///   stands: its height runs along the blank      lies: its width does
///   ┌──────────────┬────┐                        ┌───────────────────────┐
///   │  up ──►      │    │                        │  ▲ up                 │
///   └──────────────┴────┘                        └───────────────────────┘
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    /// True when its height runs along the blank's length.
    pub stands: bool,
    /// True when the strength axis of its boards is level in the wall.
    pub is_axis_level: bool,
}

impl LaminatingLine {
    /// The ways in which wall panels may lie on its blanks, that with the axis upright first.
    pub fn ways(&self) -> impl Iterator<Item = Way> {
        let upright = self.strength_axis == StrengthAxis::Long;
        let may_be_level = self.wall_axis == WallAxis::Either;
        let ways = [false, true].map(|is_axis_level| Way {
            stands: upright != is_axis_level,
            is_axis_level,
        });
        ways.into_iter()
            .filter(move |way| may_be_level || !way.is_axis_level)
    }

    /// Greatest width and height of a wall panel that lies so.
    #[must_use]
    pub fn room(&self, way: Way) -> (Length, Length) {
        let (across, along) = (self.width - self.trim * 2, self.length - self.trim * 2);
        if way.stands {
            (across, along)
        } else {
            (along, across)
        }
    }

    /// The way that a wall panel of this size lies: of those it has room in that which uses less blank, its axis upright where
    /// they use the same; `None` where it has room in none.
    ///
    /// - `kerf`: between two panels cut from one blank.
    #[must_use]
    pub fn way(&self, (width, height): (Length, Length), kerf: Length) -> Option<Way> {
        let fits = self.ways().filter(|way| {
            let room = self.room(*way);
            width <= room.0 && height <= room.1
        });
        let mut best: Option<(Way, (i128, i128))> = None;
        for way in fits {
            let used = self.used(way, (width, height), kerf);
            // Lengths over counts, compared crosswise.
            if best.is_none_or(|(_, known)| used.0 * known.1 < known.0 * used.1) {
                best = Some((way, used));
            }
        }
        best.map(|it| it.0)
    }

    /// What a wall panel uses of a blank: length in nanometres, and how many panels share it.
    ///
    /// - A blank of fixed length is shared by as many panels of this size as are cut from it, a kerf between each two.
    /// - A blank made to length is as long as the panel and its trim; where the panel's width runs along it, every started foot
    ///   counts, so that prices stay flat between widths.
    #[must_use]
    pub fn used(&self, way: Way, (width, height): (Length, Length), kerf: Length) -> (i128, i128) {
        let nm = |length: Length| i128::from(length.to_nanometres());
        let trim = self.trim * 2;
        let along = if way.stands { height } else { width };
        match (self.made_to_length, way.stands) {
            (true, true) => (nm(along + trim), 1),
            (true, false) => (nm((along + trim).ceil_to(Length::feet(1))), 1),
            (false, _) => (
                nm(self.length),
                (nm(self.length - trim + kerf) / nm(along + kerf).max(1)).max(1),
            ),
        }
    }
}
