//! Reads what the proofs need of `panels.json`.

use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::units::{Erection, Length};
use serde::{Deserialize, Deserializer, de::Error};

/// A length in inches, taken to the whole nanometre.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::verify) struct Inches(pub(in crate::verify) Length);

impl<'de> Deserialize<'de> for Inches {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let inches = f64::deserialize(deserializer)?;
        Length::nearest(inches, Length::nanometres(1))
            .map(Self)
            .ok_or_else(|| D::Error::custom("a length is beyond a hundred miles"))
    }
}

pub(in crate::verify) type Pair = [Inches; 2];

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct PanelsFile {
    pub(in crate::verify) schema: String,
    pub(in crate::verify) walls: Vec<Wall>,
    pub(in crate::verify) panels: Vec<Panel>,
    #[serde(default)]
    pub(in crate::verify) joints: Vec<Joint>,
}

/// What one joint takes.
#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Joint {
    pub(in crate::verify) joint: String,
    pub(in crate::verify) kind: String,
    pub(in crate::verify) panels: Vec<String>,
    pub(in crate::verify) fixings: Vec<Fixing>,
    pub(in crate::verify) sealant_in: Inches,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Wall {
    pub(in crate::verify) id: String,
    pub(in crate::verify) storey: String,
    pub(in crate::verify) origin: [f64; 3],
    pub(in crate::verify) along: [f64; 2],
    pub(in crate::verify) thickness: Inches,
    pub(in crate::verify) length: Inches,
    #[serde(default)]
    pub(in crate::verify) skin_drop: Inches,
    pub(in crate::verify) left_end: String,
    pub(in crate::verify) right_end: String,
    #[serde(default)]
    pub(in crate::verify) moved: Vec<Moved>,
    base: Vec<Pair>,
    top: Vec<Pair>,
    pub(in crate::verify) run: Vec<RunPiece>,
    pub(in crate::verify) plates: Vec<Plate>,
}

/// An opening moved along its wall into line with one of the storey below.
#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Moved {
    pub(in crate::verify) opening: String,
    pub(in crate::verify) by: Inches,
    pub(in crate::verify) over: String,
}

impl Wall {
    /// True when nothing was made for it: the tiling of its run fails and says so, once for all that is missing.
    pub(in crate::verify) const fn is_left_out(&self) -> bool {
        self.run.is_empty() && self.plates.is_empty()
    }

    /// A point of the building in the wall's own axes: inches along its run, and out of its outer face.
    pub(in crate::verify) fn local(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let ([x0, y0, _], [dx, dy]) = (self.origin, self.along);
        let (x, y) = (x - x0, y - y0);
        [x * dx + y * dy, x * dy - y * dx]
    }

    /// The points of its top, run axes.
    pub(in crate::verify) fn top_line(&self) -> Vec<ShopPoint> {
        self.top.iter().copied().map(shop_point).collect()
    }

    /// Where each level of its base begins, run axes.
    pub(in crate::verify) fn base_steps(&self) -> Vec<ShopPoint> {
        self.base.iter().copied().map(shop_point).collect()
    }

    /// The level of its base at x.
    pub(in crate::verify) fn base_at(&self, x: Length) -> Length {
        let steps = self.base_steps();
        let step = steps.iter().take_while(|step| step.x <= x).last();
        step.or(steps.first()).map_or(Length::ZERO, |step| step.y)
    }

    /// The highest level of its base between two places of the run.
    pub(in crate::verify) fn highest_base(&self, from: Length, to: Length) -> Length {
        let steps = self.base_steps().into_iter();
        let between = steps.filter(|step| from < step.x && step.x < to);
        between
            .map(|step| step.y)
            .fold(self.base_at(from), Length::max)
    }

    /// The point of the building that lies `along` its run and `out` of its outer face, inches.
    pub(in crate::verify) fn point(&self, along: f64, out: f64) -> [f64; 2] {
        let ([x0, y0, _], [dx, dy]) = (self.origin, self.along);
        [x0 + dx * along + dy * out, y0 + dy * along - dx * out]
    }
}

/// A panel, a gap, or an opening framed between panels.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub(in crate::verify) enum RunPiece {
    Panel {
        panel: String,
        from: Inches,
        to: Inches,
    },
    Opening {
        opening: String,
        from: Inches,
        to: Inches,
        /// From where to where the plan has it, where it ends at a post in a corner.
        #[serde(default)]
        drawn: Option<Pair>,
    },
    Gap {
        gap: Inches,
    },
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Plate {
    pub(in crate::verify) mark: String,
    pub(in crate::verify) section: String,
    #[serde(rename = "use")]
    pub(in crate::verify) usage: String,
    pub(in crate::verify) from: Inches,
    pub(in crate::verify) to: Inches,
    pub(in crate::verify) bottom: Inches,
    pub(in crate::verify) bottom_to: Inches,
    pub(in crate::verify) length: Inches,
    pub(in crate::verify) weight_lb: f64,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Panel {
    pub(in crate::verify) mark: String,
    pub(in crate::verify) revision: String,
    pub(in crate::verify) hold: bool,
    pub(in crate::verify) blank: Option<String>,
    pub(in crate::verify) storey: String,
    pub(in crate::verify) wall: String,
    pub(in crate::verify) kind: String,
    pub(in crate::verify) assembly: String,
    pub(in crate::verify) thickness: Inches,
    pub(in crate::verify) width: Inches,
    pub(in crate::verify) height: Inches,
    #[serde(default)]
    pub(in crate::verify) make_up: Inches,
    #[serde(flatten)]
    pub(in crate::verify) erection: Erection,
    pub(in crate::verify) weight_lb: f64,
    pub(in crate::verify) face_up: String,
    /// The face without skin: its contour is that of the foam.
    #[serde(default)]
    pub(in crate::verify) bare: Option<String>,
    pub(in crate::verify) outer_skin: Face,
    pub(in crate::verify) inner_skin: Face,
    #[serde(default)]
    pub(in crate::verify) inner_cuts: Vec<InnerCut>,
    pub(in crate::verify) core: Face,
    #[serde(default)]
    pub(in crate::verify) core_others: Vec<Face>,
    pub(in crate::verify) openings: Vec<Opening>,
    pub(in crate::verify) edges: Vec<Edge>,
    pub(in crate::verify) lumber: Vec<Lumber>,
    pub(in crate::verify) chases: Vec<Chase>,
    pub(in crate::verify) fixings: Vec<Fixing>,
    pub(in crate::verify) sealant_in: Inches,
    pub(in crate::verify) placed: Placed,
}

impl Panel {
    /// The skins it has, by name.
    pub(in crate::verify) fn skins(&self) -> impl Iterator<Item = (&'static str, &Face)> {
        let faces = [("outer", &self.outer_skin), ("inner", &self.inner_skin)];
        let bare = self.bare.as_deref();
        faces
            .into_iter()
            .filter(move |(name, _)| Some(*name) != bare)
    }

    /// Its width once its right end is trimmed: that of its place in the run.
    pub(in crate::verify) fn set_width(&self) -> Length {
        self.width.0 - self.make_up.0
    }

    /// A contour of a skin once its right end is trimmed.
    pub(in crate::verify) fn set(&self, face: &Face) -> ShopRing {
        let mut ring = face.outline();
        let at_end = ring.0.iter_mut().filter(|point| point.x == self.width.0);
        at_end.for_each(|point| point.x -= self.make_up.0);
        ring
    }

    /// Twice what is trimmed off a skin, square nanometres.
    pub(in crate::verify) fn trimmed(&self, face: &Face) -> i128 {
        face.outline().doubled_area() - self.set(face).doubled_area()
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Face {
    outline: Vec<Pair>,
    holes: Vec<Vec<Pair>>,
}

impl Face {
    /// The outer contour.
    pub(in crate::verify) fn outline(&self) -> ShopRing {
        ring(&self.outline)
    }

    /// The holes.
    pub(in crate::verify) fn holes(&self) -> Vec<ShopRing> {
        self.holes.iter().map(|hole| ring(hole)).collect()
    }

    /// Twice the net area, square nanometres.
    pub(in crate::verify) fn doubled_area(&self) -> i128 {
        let holes = self
            .holes
            .iter()
            .map(|hole| ring(hole).doubled_area().abs());
        self.outline().doubled_area() - holes.sum::<i128>()
    }
}

fn ring(points: &[Pair]) -> ShopRing {
    ShopRing(points.iter().map(|point| shop_point(*point)).collect())
}

/// A pair of lengths as a point.
pub(in crate::verify) const fn shop_point([x, y]: Pair) -> ShopPoint {
    ShopPoint::new(x.0, y.0)
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Opening {
    pub(in crate::verify) id: String,
    rough: [Inches; 4],
    skin_hole: [Inches; 4],
}

impl Opening {
    /// The rough opening, panel axes.
    pub(in crate::verify) fn rough(&self) -> ShopRect {
        rect(self.rough)
    }

    /// The hole in the skins.
    pub(in crate::verify) fn skin_hole(&self) -> ShopRect {
        rect(self.skin_hole)
    }
}

/// A pocket or box in the inner skin alone.
#[derive(Debug, Deserialize)]
pub(in crate::verify) struct InnerCut {
    pub(in crate::verify) what: String,
    rect: [Inches; 4],
}

impl InnerCut {
    /// Where, panel axes.
    pub(in crate::verify) fn rect(&self) -> ShopRect {
        rect(self.rect)
    }
}

const fn rect([x0, y0, x1, y1]: [Inches; 4]) -> ShopRect {
    ShopRect::new(x0.0, y0.0, x1.0, y1.0)
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Edge {
    pub(in crate::verify) contour: String,
    pub(in crate::verify) from: Pair,
    pub(in crate::verify) to: Pair,
    pub(in crate::verify) joint: String,
    pub(in crate::verify) recess: Inches,
    pub(in crate::verify) slots: Vec<serde::de::IgnoredAny>,
    pub(in crate::verify) bevel_deg: f64,
    #[serde(default)]
    pub(in crate::verify) with: Option<String>,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Lumber {
    pub(in crate::verify) mark: String,
    pub(in crate::verify) section: String,
    pub(in crate::verify) length: Inches,
    #[serde(rename = "use")]
    pub(in crate::verify) usage: String,
    rect: [Inches; 4],
    pub(in crate::verify) fitted: String,
    pub(in crate::verify) weight_lb: f64,
}

impl Lumber {
    /// Where it lies, panel axes.
    pub(in crate::verify) fn rect(&self) -> ShopRect {
        rect(self.rect)
    }
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Chase {
    pub(in crate::verify) line: [Pair; 2],
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Fixing {
    #[serde(rename = "use")]
    pub(in crate::verify) usage: String,
    pub(in crate::verify) item: String,
    pub(in crate::verify) count: u32,
}

#[derive(Debug, Deserialize)]
pub(in crate::verify) struct Placed {
    pub(in crate::verify) origin: [f64; 3],
    pub(in crate::verify) x: [f64; 3],
    pub(in crate::verify) y: [f64; 3],
}

impl Placed {
    /// A point of the panel in the building: inches along x, up y, and out of the outer face.
    pub(in crate::verify) fn point(&self, x: f64, y: f64, out: f64) -> [f64; 3] {
        let normal = self.out();
        std::array::from_fn(|i| {
            let part = |vector: &[f64; 3]| vector.get(i).copied().unwrap_or_default();
            part(&self.origin) + part(&self.x) * x + part(&self.y) * y + part(&normal) * out
        })
    }

    /// x × y.
    pub(in crate::verify) fn out(&self) -> [f64; 3] {
        let ([a, b, c], [d, e, f]) = (self.x, self.y);
        [b * f - c * e, c * d - a * f, a * e - b * d]
    }
}
