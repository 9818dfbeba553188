//! A sheet as plain data: items in drawing order, millimetres on paper, y down, origin at the upper left.

use super::style::{Fill, Ink, Stroke};
use geo::Coord;

/// A point on paper, mm.
pub type Spot = Coord<f64>;

/// A point on paper from its two coordinates, mm.
#[must_use]
pub const fn spot(x: f64, y: f64) -> Spot {
    Coord { x, y }
}

/// The point of a circle at an angle counter-clockwise as seen from the paper's x.
#[must_use]
pub(super) fn on_circle(centre: Spot, radius: f64, degrees: f64) -> Spot {
    let (sin, cos) = degrees.to_radians().sin_cos();
    Spot {
        x: centre.x + radius * cos,
        y: centre.y - radius * sin,
    }
}

/// An upright rectangle on paper, mm: `x0 <= x1`, `y0 <= y1`, y down.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Area {
    /// Left.
    pub x0: f64,
    /// Top.
    pub y0: f64,
    /// Right.
    pub x1: f64,
    /// Bottom.
    pub y1: f64,
}

impl Area {
    /// From left, top, right, bottom.
    #[must_use]
    pub const fn new(x0: f64, y0: f64, x1: f64, y1: f64) -> Self {
        Self { x0, y0, x1, y1 }
    }

    /// The rectangle of two opposite corners.
    #[must_use]
    pub fn of(a: Spot, b: Spot) -> Self {
        Self::new(a.x.min(b.x), a.y.min(b.y), a.x.max(b.x), a.y.max(b.y))
    }

    /// The bounding rectangle of points; `None` of none.
    #[must_use]
    pub fn around(points: &[Spot]) -> Option<Self> {
        let first = *points.first()?;
        Some(
            points
                .iter()
                .fold(Self::of(first, first), |area, p| area.with(*p)),
        )
    }

    /// Grown until it holds the point.
    #[must_use]
    pub fn with(self, p: Spot) -> Self {
        Self::new(
            self.x0.min(p.x),
            self.y0.min(p.y),
            self.x1.max(p.x),
            self.y1.max(p.y),
        )
    }

    /// Left to right.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.x1 - self.x0
    }

    /// Top to bottom.
    #[must_use]
    pub fn height(&self) -> f64 {
        self.y1 - self.y0
    }

    /// Its middle.
    #[must_use]
    pub fn middle(&self) -> Spot {
        spot(
            f64::midpoint(self.x0, self.x1),
            f64::midpoint(self.y0, self.y1),
        )
    }

    /// Grown by `by` on every side; negative shrinks.
    #[must_use]
    pub fn grown(&self, by: f64) -> Self {
        Self::new(self.x0 - by, self.y0 - by, self.x1 + by, self.y1 + by)
    }

    /// True when the two share more than their edges.
    #[must_use]
    pub fn meets(&self, other: &Self) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }

    /// True when the other lies inside, its edges included.
    #[must_use]
    pub fn holds(&self, other: &Self) -> bool {
        self.x0 <= other.x0 && other.x1 <= self.x1 && self.y0 <= other.y0 && other.y1 <= self.y1
    }

    /// Its corners from the upper left, clockwise on paper.
    #[must_use]
    pub fn corners(&self) -> [Spot; 4] {
        [
            spot(self.x0, self.y0),
            spot(self.x1, self.y0),
            spot(self.x1, self.y1),
            spot(self.x0, self.y1),
        ]
    }
}

/// A whole sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sheet {
    /// Number: `Z-4101`.
    pub number: String,
    /// File name without folder and ending: `Z-4101-W101`.
    pub name: String,
    /// Title of the file.
    pub title: String,
    /// What the sheet shows, in a sentence.
    pub description: String,
    /// Name of the paper: `ANSI B`.
    pub paper: String,
    /// Width, mm.
    pub width: f64,
    /// Height, mm.
    pub height: f64,
    /// Facts kept as `data-` attributes of the root: panel, wall, package.
    pub data: Vec<(String, String)>,
    /// Layers from the bottom up; each a group of its own.
    pub layers: Vec<Group>,
}

/// Items that belong together; a sheet's top groups are its layers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// Id, unique in the sheet: `panel-W101`. Empty for none.
    pub id: String,
    /// What a reader sees when pointing at it. Empty for none.
    pub title: String,
    /// Facts kept as `data-` attributes: `("panel", "W101")`.
    pub data: Vec<(String, String)>,
    /// File that a click opens, relative to the sheet's folder. Empty for none.
    pub link: String,
    /// What it holds, in drawing order.
    pub items: Vec<Item>,
}

/// One thing on paper.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A group.
    Group(Group),
    /// Lines and fills.
    Shape(Shape),
    /// Text.
    Text(Text),
}

/// Lines and fills.
#[derive(Clone, Debug, PartialEq)]
pub struct Shape {
    /// Where.
    pub form: Form,
    /// Its line, if it has one.
    pub stroke: Option<Stroke>,
    /// Its fill.
    pub fill: Fill,
}

/// The geometry of a shape.
#[derive(Clone, Debug, PartialEq)]
pub enum Form {
    /// A straight line.
    Line(Spot, Spot),
    /// Lines from point to point.
    Polyline(Vec<Spot>),
    /// The same, closed.
    Polygon(Vec<Spot>),
    /// Closed contours filled by the even-odd rule: an outline with its holes.
    Region(Vec<Vec<Spot>>),
    /// An upright rectangle.
    Area(Area),
    /// A circle by centre and radius.
    Circle(Spot, f64),
    /// Part of a circle.
    Arc {
        /// Centre.
        centre: Spot,
        /// Radius, mm.
        radius: f64,
        /// Where it starts, degrees from the paper's x, counter-clockwise as seen.
        start_deg: f64,
        /// How far it turns, degrees, counter-clockwise as seen; negative turns clockwise.
        sweep_deg: f64,
    },
    /// Many lines that are one thing: a hatch.
    Hatch(Vec<(Spot, Spot)>),
}

/// A weight of the font.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// To read.
    #[default]
    Regular,
    /// A name or a number to act on.
    Bold,
}

/// Which end of a text its place is.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// Left end.
    #[default]
    Start,
    /// Middle.
    Middle,
    /// Right end.
    End,
}

/// One line of text.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// What it says.
    pub words: String,
    /// Where its baseline stands, at the anchor.
    pub at: Spot,
    /// Cap height, mm.
    pub cap: f64,
    /// Weight.
    pub weight: Weight,
    /// Which end stands there.
    pub anchor: Anchor,
    /// Turned counter-clockwise as seen, degrees: 90 is read from the right.
    pub turn_deg: f64,
    /// Ink.
    pub ink: Ink,
    /// True when a white patch beneath it covers the lines drawn before.
    pub is_masked: bool,
    /// The cell it must stay in, if it has one: the overlap check looks.
    pub cell: Option<Area>,
}
