//! A drawing as entities that can be turned, moved, mirrored, shuffled, and written as DXF.

use super::plane::{Point, point};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// What an entity draws, in inches.
#[derive(Clone, Debug)]
pub(crate) enum Shape {
    Line(Point, Point),
    /// Centre, radius, start angle and sweep in radians; the sweep is positive.
    Arc(Point, f64, f64, f64),
    Circle(Point, f64),
    /// Vertices, closed or not, width.
    Poly(Vec<Point>, bool, f64),
    /// Boundary rings and pattern.
    Hatch(Vec<Vec<Point>>, &'static str),
    /// Corners in order round the area.
    Solid([Point; 4]),
    /// Vertices, closed or not, width between its two outermost lines.
    Multi(Vec<Point>, bool, f64),
    /// Middle, height, angle, words.
    Text(Point, f64, f64, String),
    /// From, to, a point on its line, angle of measuring.
    Dimension(Point, Point, Point, f64),
    /// Block, place, scales, angle.
    Insert(String, Point, [f64; 2], f64),
}

/// An entity.
#[derive(Clone, Debug)]
pub(crate) struct Entity {
    pub(crate) layer: String,
    pub(crate) dashed: bool,
    pub(crate) shape: Shape,
}

/// How a sheet lies: mirrored about the y axis, then turned, then moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Lie {
    pub(crate) mirrored: bool,
    /// Radians.
    pub(crate) turn: f64,
    pub(crate) shift: Point,
}

impl Lie {
    pub(crate) fn straight() -> Self {
        Self {
            mirrored: false,
            turn: 0.0,
            shift: point(0.0, 0.0),
        }
    }

    pub(crate) fn at(&self, p: Point) -> Point {
        let (sine, cosine) = self.turn.sin_cos();
        let x = if self.mirrored { -p.x } else { p.x };
        point(x * cosine - p.y * sine, x * sine + p.y * cosine) + self.shift
    }

    fn angle(&self, angle: f64) -> f64 {
        let own = if self.mirrored {
            std::f64::consts::PI - angle
        } else {
            angle
        };
        own + self.turn
    }

    fn shape(&self, shape: &Shape) -> Shape {
        let all = |list: &[Point]| list.iter().map(|p| self.at(*p)).collect::<Vec<_>>();
        match shape {
            Shape::Line(a, b) => Shape::Line(self.at(*a), self.at(*b)),
            Shape::Arc(c, r, from, sweep) => {
                let from = if self.mirrored { from + sweep } else { *from };
                Shape::Arc(self.at(*c), *r, self.angle(from), *sweep)
            }
            Shape::Circle(c, r) => Shape::Circle(self.at(*c), *r),
            Shape::Poly(list, closed, width) => Shape::Poly(all(list), *closed, *width),
            Shape::Hatch(rings, pattern) => {
                Shape::Hatch(rings.iter().map(|ring| all(ring)).collect(), pattern)
            }
            Shape::Solid(corners) => Shape::Solid(corners.map(|p| self.at(p))),
            Shape::Multi(list, closed, width) => Shape::Multi(all(list), *closed, *width),
            Shape::Text(p, height, angle, words) => {
                // Mirrored lettering is set readable again.
                let angle = if self.mirrored { -angle } else { *angle };
                Shape::Text(self.at(*p), *height, angle + self.turn, words.clone())
            }
            Shape::Dimension(a, b, c, angle) => {
                Shape::Dimension(self.at(*a), self.at(*b), self.at(*c), self.angle(*angle))
            }
            Shape::Insert(name, p, [sx, sy], angle) => {
                let (sx, angle) = if self.mirrored {
                    (-sx, -angle)
                } else {
                    (*sx, *angle)
                };
                Shape::Insert(name.clone(), self.at(*p), [sx, *sy], angle + self.turn)
            }
        }
    }
}

/// How a sheet is written.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Writing {
    pub(crate) inches_per_unit: f64,
    /// Code of `$INSUNITS`.
    pub(crate) unit_code: i32,
    pub(crate) version: &'static str,
}

/// A drawing.
#[derive(Clone, Debug, Default)]
pub(crate) struct Sheet {
    pub(crate) blocks: BTreeMap<String, Vec<Entity>>,
    pub(crate) entities: Vec<Entity>,
}

impl Sheet {
    pub(crate) fn add(&mut self, layer: &str, shape: Shape) {
        self.entities.push(Entity {
            layer: layer.to_owned(),
            dashed: false,
            shape,
        });
    }

    pub(crate) fn dashed(&mut self, layer: &str, shape: Shape) {
        self.add(layer, shape);
        if let Some(last) = self.entities.last_mut() {
            last.dashed = true;
        }
    }

    pub(crate) fn line(&mut self, layer: &str, a: Point, b: Point) {
        self.add(layer, Shape::Line(a, b));
    }

    /// The four sides of a box given by its corners in order.
    pub(crate) fn quad(&mut self, layer: &str, corners: [Point; 4], as_one: bool) {
        if as_one {
            self.add(layer, Shape::Poly(corners.to_vec(), true, 0.0));
        } else {
            for i in 0..4 {
                self.line(layer, corners[i], corners[(i + 1) % 4]);
            }
        }
    }

    /// The sheet lying otherwise.
    pub(crate) fn laid(&self, lie: &Lie) -> Self {
        let entities = self.entities.iter().map(|it| Entity {
            shape: lie.shape(&it.shape),
            ..it.clone()
        });
        Self {
            blocks: self.blocks.clone(),
            entities: entities.collect(),
        }
    }

    /// The sheet with a letter before the name of every block.
    pub(crate) fn renamed(&self, letter: &str) -> Self {
        let new = |list: &[Entity]| -> Vec<Entity> {
            let own = |it: &Entity| {
                let mut it = it.clone();
                if let Shape::Insert(name, ..) = &mut it.shape {
                    *name = format!("{letter}{name}");
                }
                it
            };
            list.iter().map(own).collect()
        };
        let blocks = self.blocks.iter();
        Self {
            blocks: blocks
                .map(|(name, list)| (format!("{letter}{name}"), new(list)))
                .collect(),
            entities: new(&self.entities),
        }
    }

    /// The sheet with every block exploded.
    pub(crate) fn exploded(&self) -> Self {
        let mut out = Vec::new();
        for it in &self.entities {
            self.explode(it, &mut out);
        }
        Self {
            blocks: BTreeMap::new(),
            entities: out,
        }
    }

    fn explode(&self, it: &Entity, out: &mut Vec<Entity>) {
        let Shape::Insert(name, at, [sx, sy], angle) = &it.shape else {
            out.push(it.clone());
            return;
        };
        for inner in self.blocks.get(name).into_iter().flatten() {
            let mut own = inner.clone();
            if own.layer == "0" {
                own.layer.clone_from(&it.layer);
            }
            own.shape = scaled(&own.shape, sx.abs());
            // Only even scales are used: a mirror is one about the y axis and a turn.
            let mirrored = (sx * sy) < 0.0;
            let turn = angle + if *sy < 0.0 { std::f64::consts::PI } else { 0.0 };
            let lie = Lie {
                mirrored,
                turn,
                shift: *at,
            };
            own.shape = lie.shape(&own.shape);
            self.explode(&own, out);
        }
    }

    /// The sheet as DXF.
    pub(crate) fn dxf(&self, writing: &Writing) -> String {
        let mut layers: Vec<&str> = self
            .entities
            .iter()
            .chain(self.blocks.values().flatten())
            .map(|it| it.layer.as_str())
            .collect();
        layers.sort_unstable();
        layers.dedup();
        let mut pen = Pen {
            text: String::new(),
            unit: writing.inches_per_unit,
            old: writing.version == "AC1009",
            handle: 0x100,
        };
        pen.put(0, "SECTION");
        pen.put(2, "HEADER");
        pen.put(9, "$ACADVER");
        pen.put(1, writing.version);
        pen.put(9, "$INSUNITS");
        pen.put(70, &writing.unit_code.to_string());
        pen.put(0, "ENDSEC");
        pen.put(0, "SECTION");
        pen.put(2, "TABLES");
        pen.put(0, "TABLE");
        pen.put(2, "LTYPE");
        pen.put(70, "2");
        for (name, lengths) in [("CONTINUOUS", &[][..]), ("DASHED", &[6.0, -3.0])] {
            pen.put(0, "LTYPE");
            pen.put(2, name);
            pen.put(70, "0");
            pen.put(3, "");
            pen.put(72, "65");
            pen.put(73, &lengths.len().to_string());
            pen.number(40, lengths.iter().map(|l: &f64| l.abs()).sum());
            for length in lengths {
                pen.number(49, *length);
            }
        }
        pen.put(0, "ENDTAB");
        pen.put(0, "TABLE");
        pen.put(2, "LAYER");
        pen.put(70, &layers.len().to_string());
        for layer in layers {
            pen.put(0, "LAYER");
            pen.put(2, layer);
            pen.put(70, "0");
            pen.put(62, "7");
            pen.put(6, "CONTINUOUS");
        }
        pen.put(0, "ENDTAB");
        pen.put(0, "ENDSEC");
        pen.put(0, "SECTION");
        pen.put(2, "BLOCKS");
        for (name, entities) in &self.blocks {
            pen.put(0, "BLOCK");
            pen.handle();
            pen.put(8, "0");
            pen.put(2, name);
            pen.put(70, if name.starts_with('*') { "1" } else { "0" });
            pen.point(10, point(0.0, 0.0));
            pen.put(3, name);
            for it in entities {
                pen.entity(it);
            }
            pen.put(0, "ENDBLK");
            pen.handle();
            pen.put(8, "0");
        }
        pen.put(0, "ENDSEC");
        pen.put(0, "SECTION");
        pen.put(2, "ENTITIES");
        for it in &self.entities {
            pen.entity(it);
        }
        pen.put(0, "ENDSEC");
        pen.put(0, "EOF");
        pen.text
    }
}

/// A shape scaled about the origin.
fn scaled(shape: &Shape, by: f64) -> Shape {
    let all = |list: &[Point]| list.iter().map(|p| *p * by).collect::<Vec<_>>();
    match shape {
        Shape::Line(a, b) => Shape::Line(*a * by, *b * by),
        Shape::Arc(c, r, from, sweep) => Shape::Arc(*c * by, r * by, *from, *sweep),
        Shape::Circle(c, r) => Shape::Circle(*c * by, r * by),
        Shape::Poly(list, closed, width) => Shape::Poly(all(list), *closed, width * by),
        Shape::Hatch(rings, pattern) => {
            Shape::Hatch(rings.iter().map(|ring| all(ring)).collect(), pattern)
        }
        Shape::Solid(corners) => Shape::Solid(corners.map(|p| p * by)),
        Shape::Multi(list, closed, width) => Shape::Multi(all(list), *closed, width * by),
        Shape::Text(p, height, angle, words) => {
            Shape::Text(*p * by, height * by, *angle, words.clone())
        }
        Shape::Dimension(a, b, c, angle) => Shape::Dimension(*a * by, *b * by, *c * by, *angle),
        Shape::Insert(name, p, [sx, sy], angle) => {
            Shape::Insert(name.clone(), *p * by, [sx * by, sy * by], *angle)
        }
    }
}

/// Writes pairs of code and value.
struct Pen {
    text: String,
    unit: f64,
    /// Release 12: no light polylines, no subclass markers.
    old: bool,
    handle: u32,
}

impl Pen {
    fn put(&mut self, code: i32, value: &str) {
        let _ = writeln!(self.text, "{code}\n{value}");
    }

    fn number(&mut self, code: i32, value: f64) {
        let _ = writeln!(self.text, "{code}\n{value:.10}");
    }

    fn length(&mut self, code: i32, inches: f64) {
        self.number(code, inches / self.unit);
    }

    fn point(&mut self, code: i32, p: Point) {
        self.length(code, p.x);
        self.length(code + 10, p.y);
    }

    fn handle(&mut self) {
        let handle = format!("{:X}", self.handle);
        self.handle += 1;
        self.put(5, &handle);
    }

    fn start(&mut self, kind: &str, it: &Entity, class: &str) {
        self.put(0, kind);
        self.handle();
        if !self.old {
            self.put(100, "AcDbEntity");
        }
        self.put(8, &it.layer);
        if it.dashed {
            self.put(6, "DASHED");
        }
        if !self.old {
            self.put(100, class);
        }
    }

    fn entity(&mut self, it: &Entity) {
        match &it.shape {
            Shape::Line(a, b) => {
                self.start("LINE", it, "AcDbLine");
                self.point(10, *a);
                self.point(11, *b);
            }
            Shape::Circle(c, r) => {
                self.start("CIRCLE", it, "AcDbCircle");
                self.point(10, *c);
                self.length(40, *r);
            }
            Shape::Arc(c, r, from, sweep) => {
                self.start("ARC", it, "AcDbCircle");
                self.point(10, *c);
                self.length(40, *r);
                if !self.old {
                    self.put(100, "AcDbArc");
                }
                self.number(50, from.to_degrees().rem_euclid(360.0));
                self.number(51, (from + sweep).to_degrees().rem_euclid(360.0));
            }
            Shape::Poly(list, closed, width) => self.poly(it, list, *closed, *width),
            Shape::Hatch(rings, pattern) => self.hatch(it, rings, pattern),
            Shape::Solid([a, b, c, d]) => {
                self.start("SOLID", it, "AcDbTrace");
                for (code, p) in [(10, a), (11, b), (12, d), (13, c)] {
                    self.point(code, *p);
                }
            }
            Shape::Multi(list, closed, width) => self.multi(it, list, *closed, *width),
            Shape::Text(p, height, angle, words) => {
                self.start("TEXT", it, "AcDbText");
                self.point(10, *p);
                self.length(40, *height);
                self.put(1, words);
                self.number(50, angle.to_degrees());
                self.put(72, "1");
                self.point(11, *p);
                if !self.old {
                    self.put(100, "AcDbText");
                }
                self.put(73, "2");
            }
            Shape::Dimension(a, b, c, angle) => {
                self.start("DIMENSION", it, "AcDbDimension");
                self.point(10, *c);
                self.put(70, "0");
                if !self.old {
                    self.put(100, "AcDbAlignedDimension");
                }
                self.point(13, *a);
                self.point(14, *b);
                self.number(50, angle.to_degrees());
                if !self.old {
                    self.put(100, "AcDbRotatedDimension");
                }
            }
            Shape::Insert(name, p, [sx, sy], angle) => {
                self.start("INSERT", it, "AcDbBlockReference");
                self.put(2, name);
                self.point(10, *p);
                self.number(41, *sx);
                self.number(42, *sy);
                self.number(43, 1.0);
                self.number(50, angle.to_degrees());
            }
        }
    }

    fn poly(&mut self, it: &Entity, list: &[Point], closed: bool, width: f64) {
        let flag = if closed { "1" } else { "0" };
        if self.old {
            self.start("POLYLINE", it, "");
            self.put(66, "1");
            self.point(10, point(0.0, 0.0));
            self.put(70, flag);
            self.length(40, width);
            self.length(41, width);
            for p in list {
                self.put(0, "VERTEX");
                self.handle();
                self.put(8, &it.layer);
                self.point(10, *p);
            }
            self.put(0, "SEQEND");
            self.handle();
            self.put(8, &it.layer);
            return;
        }
        self.start("LWPOLYLINE", it, "AcDbPolyline");
        self.put(90, &list.len().to_string());
        self.put(70, flag);
        if width > 0.0 {
            self.length(43, width);
        }
        for p in list {
            self.point(10, *p);
        }
    }

    fn hatch(&mut self, it: &Entity, rings: &[Vec<Point>], pattern: &str) {
        let is_solid = pattern == "SOLID";
        self.start("HATCH", it, "AcDbHatch");
        self.point(10, point(0.0, 0.0));
        self.number(30, 0.0);
        self.number(230, 1.0);
        self.put(2, pattern);
        self.put(70, if is_solid { "1" } else { "0" });
        self.put(71, "0");
        self.put(91, &rings.len().to_string());
        for ring in rings {
            self.put(92, "2");
            self.put(72, "0");
            self.put(73, "1");
            self.put(93, &ring.len().to_string());
            for p in ring {
                self.point(10, *p);
            }
            self.put(97, "0");
        }
        self.put(75, "0");
        self.put(76, "1");
        if !is_solid {
            self.put(52, "0");
            self.put(41, "1");
            self.put(77, "0");
            self.put(78, "1");
            self.put(53, "45");
            self.put(43, "0");
            self.put(44, "0");
            self.length(45, -2.0);
            self.length(46, 2.0);
            self.put(79, "0");
        }
        self.put(98, "0");
    }

    /// A multi-line of two elements, `width` apart, about its vertices.
    fn multi(&mut self, it: &Entity, list: &[Point], closed: bool, width: f64) {
        self.start("MLINE", it, "AcDbMline");
        self.put(2, "STANDARD");
        self.length(40, width);
        self.put(70, "1");
        self.put(71, if closed { "3" } else { "1" });
        self.put(72, &list.len().to_string());
        self.put(73, "2");
        if let Some(first) = list.first() {
            self.point(10, *first);
        }
        for (p, direction, mitre, reach) in super::plane::mitres(list, closed) {
            self.point(11, p);
            self.number(12, direction.x);
            self.number(22, direction.y);
            self.number(13, mitre.x);
            self.number(23, mitre.y);
            for side in [0.5, -0.5] {
                self.put(74, "2");
                self.length(41, side * width * reach);
                self.number(41, 0.0);
                self.put(75, "0");
            }
        }
    }
}
