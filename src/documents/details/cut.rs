//! What a plane meets when it cuts a wall: level across it, or upright through it.
//!
//! ```text
//!   level cut, seen from above            upright cut, outside left
//!   ═══════════╦══════ inner skin         ║▒▒▒║ cap
//!   ░░░░░░▒▒▒▒▒▒░░░░░  foam, lumber       ║▒▒▒║ top plate
//!   ═══════════╩══════ outer skin         ║░░░║ foam
//! ```

use crate::building::Building;
use crate::documents::paper::Spot;
use crate::fabrication::{EdgeContour, FabricatedPanel, Fabrication, Lumber, PartFace};
use crate::geometry::ShopRing;
use crate::layout::{Layout, PlateUse};
use crate::rules::{Assembly, Face, LumberRules, PlantRules, SplineRules};
use crate::units::Length;
use geo::Coord;

/// What a cut part is made of: how it is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Stuff {
    /// Foam of a panel.
    Foam,
    /// Foam of a panel with one skin: its bare face has a line of its own.
    BareFoam,
    /// Foam in a part that is put in: hatched the other way.
    OtherFoam,
    /// Lumber cut along its grain: its lines run with the cut.
    LumberSide,
    /// A skin or a strip of skin.
    Skin,
    /// Lumber cut across its grain.
    LumberEnd,
}

/// What a part is, for call-outs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Part {
    /// A panel's skin.
    Skin(Face),
    /// A panel's foam.
    Foam,
    /// Lumber by its index in the panel.
    Lumber(usize),
    /// A plate by its index in the fabrication.
    Plate(usize),
}

/// One part as cut. Inches; what x and y are, the cut says.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct CutPart {
    /// Its contour.
    pub(crate) ring: Vec<Spot>,
    /// How it is drawn.
    pub(crate) stuff: Stuff,
    /// What it is.
    pub(crate) part: Part,
    /// Index into `Fabrication::panels`, where it belongs to one.
    pub(crate) panel: Option<usize>,
}

/// The models a cut is made from.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CutModels<'a> {
    /// Walls.
    pub(crate) building: &'a Building,
    /// Runs.
    pub(crate) layout: &'a Layout,
    /// Parts.
    pub(crate) fabrication: &'a Fabrication,
    /// Sections of lumber.
    pub(crate) rules: &'a PlantRules,
}

impl Stuff {
    /// What it is, for those who point at it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Foam | Self::BareFoam | Self::OtherFoam => "Foam of",
            Self::Skin => "Skin of",
            Self::LumberSide | Self::LumberEnd => "Lumber",
        }
    }
}

impl CutModels<'_> {
    /// The mark of a part: of a piece of lumber or a plate its own, of skin and foam their panel's.
    pub(crate) fn part_id(&self, part: &CutPart) -> Option<String> {
        let panel = part.panel.and_then(|it| self.fabrication.panels.get(it));
        Some(match part.part {
            Part::Plate(index) => self.fabrication.plates.get(index)?.mark.clone(),
            Part::Lumber(index) => panel?.lumber.get(index)?.mark.clone(),
            Part::Skin(_) | Part::Foam => panel?.mark.clone(),
        })
    }

    /// A level cut through a wall at a height above its deck: x along the wall's outside face from its left corner, y inwards.
    pub(crate) fn level(&self, wall: usize, height: Length) -> Vec<CutPart> {
        self.level_of_some(wall, height, |_| true)
    }

    /// The same of those panels alone whose ends, inches along the wall, are wanted.
    pub(crate) fn level_of_some(
        &self,
        wall: usize,
        height: Length,
        is_wanted: impl Fn([f64; 2]) -> bool,
    ) -> Vec<CutPart> {
        let mut parts = Vec::new();
        let start = self.layout.walls.get(wall).map(|run| run.from);
        for (index, panel) in self.fabrication.panels.iter().enumerate() {
            let place = self.layout.panels.get(panel.panel);
            let assembly = self.rules.assemblies.get(panel.assembly);
            let (Some(start), Some(place), Some(assembly)) = (start, place, assembly) else {
                continue;
            };
            let bottom = place.rect.y0;
            if panel.wall != wall || height < bottom || height >= bottom + panel.height {
                continue;
            }
            let ends = [place.rect.x0, place.rect.x1].map(|x| (start + x).to_inches());
            if !is_wanted(ends) {
                continue;
            }
            let before = parts.len();
            let build = (assembly, &self.rules.splines);
            level_panel(panel, build, height - bottom, &mut parts);
            let shift = (start + place.rect.x0).to_inches();
            for part in parts.iter_mut().skip(before) {
                part.panel = Some(index);
                for p in &mut part.ring {
                    p.x += shift;
                }
            }
        }
        parts.sort_by_key(|part| part.stuff);
        parts
    }

    /// A level cut through another wall, in the axes of this one: what meets it at a corner.
    ///
    /// - `near`: a place along this wall's outside face, and how far along the other one panels are cut from there, inches.
    pub(crate) fn level_of_other(
        &self,
        wall: usize,
        other: usize,
        height: Length,
        near: [f64; 2],
    ) -> Vec<CutPart> {
        let walls = &self.building.walls;
        let (Some(own), Some(frame)) = (walls.get(wall), walls.get(other)) else {
            return Vec::new();
        };
        let [at, reach] = near;
        let (middle, _) = frame.frame.local(own.frame.point(at, 0.0));
        let mut parts = self.level_of_some(other, height, |[from, to]| {
            from <= middle + reach && middle - reach <= to
        });
        for p in parts.iter_mut().flat_map(|part| &mut part.ring) {
            let (along, out) = own.frame.local(frame.frame.point(p.x, -p.y));
            *p = Coord { x: along, y: -out };
        }
        parts
    }

    /// An upright cut through a panel at x in its own axes: x from the outer face inwards, y up from the panel's bottom.
    /// Plates that the cut meets are among the parts.
    pub(crate) fn upright(&self, panel: usize, x: Length) -> Vec<CutPart> {
        let Some(it) = self.fabrication.panels.get(panel) else {
            return Vec::new();
        };
        let place = self.layout.panels.get(it.panel);
        let assembly = self.rules.assemblies.get(it.assembly);
        let (Some(place), Some(assembly)) = (place, assembly) else {
            return Vec::new();
        };
        let mut parts = Vec::new();
        upright_panel(it, (assembly, &self.rules.splines), x, &mut parts);
        for (index, plate) in self.fabrication.plates.iter().enumerate() {
            let along = place.rect.x0 + x;
            let is_met = plate.wall == it.wall && plate.from <= along && along < plate.to;
            let (run, rise) = (plate.to - plate.from, plate.bottom_to - plate.bottom);
            let slope = rise.to_inches() / run.to_inches();
            let up = |inches: f64| Length::nearest(inches, Length::nanometres(1));
            let at = up((along - plate.from).to_inches() * slope).unwrap_or_default();
            let foot = plate.bottom + at - place.rect.y0;
            let square = self.rules.plates.thickness;
            let thickness = up(square.to_inches() * slope.hypot(1.0)).unwrap_or(square);
            // A header panel has no sole plate far beneath it.
            let is_near = foot + thickness >= Length::ZERO && foot <= it.height;
            let section = self
                .rules
                .lumber
                .sections
                .get(LumberRules::sawn_from(&plate.section));
            let (true, true, Some(section)) = (is_met, is_near, section) else {
                continue;
            };
            let depth = match plate.plate {
                PlateUse::Cap => [Length::ZERO, assembly.thickness()],
                PlateUse::Sole | PlateUse::Top => {
                    let near = assembly.outer.thickness + (assembly.core - section.width).half();
                    [near, near + section.width]
                }
            };
            parts.push(CutPart {
                ring: rectangle(depth[0], foot, depth[1], foot + thickness),
                stuff: Stuff::LumberEnd,
                part: Part::Plate(index),
                panel: None,
            });
        }
        for part in &mut parts {
            part.panel = part.panel.map(|_| panel);
        }
        parts.sort_by_key(|part| part.stuff);
        parts
    }
}

fn level_panel(
    panel: &FabricatedPanel,
    (assembly, sizes): (&Assembly, &SplineRules),
    y: Length,
    parts: &mut Vec<CutPart>,
) {
    let inner = assembly.outer.thickness + assembly.core;
    let mut add = |ring: Vec<Spot>, stuff: Stuff, part: Part| {
        parts.push(CutPart {
            ring,
            stuff,
            part,
            panel: Some(0),
        });
    };
    let slopes = end_slopes(panel);
    let sheared = |from: f64, to: f64, depth: [Length; 2], slope: [f64; 2], zero: f64| {
        let at = |x: f64, z: Length, slope: f64| Coord {
            x: x + (z.to_inches() - zero) * slope,
            y: z.to_inches(),
        };
        vec![
            at(from, depth[0], slope[0]),
            at(to, depth[0], slope[1]),
            at(to, depth[1], slope[1]),
            at(from, depth[1], slope[0]),
        ]
    };
    for face in assembly.skinned() {
        let depth = skin_depth(assembly, face);
        let spans = spans_across(panel.face(face), y);
        let n_spans = spans.len();
        for (i, (from, to)) in spans.into_iter().enumerate() {
            let slope = ends_only(slopes, i, n_spans);
            // A skin's own contour holds at its outer face.
            let zero = depth[0].to_inches();
            add(
                sheared(from, to, depth, slope, zero),
                Stuff::Skin,
                Part::Skin(face),
            );
        }
    }
    let core = [assembly.outer.thickness, inner];
    let middle = f64::midpoint(core[0].to_inches(), core[1].to_inches());
    let mut foam: Vec<(f64, f64)> = panel
        .core_pieces()
        .flat_map(|piece| spans_across(piece, y))
        .collect();
    foam.sort_by(|a, b| a.0.total_cmp(&b.0));
    let n_spans = foam.len();
    for (i, (from, to)) in foam.into_iter().enumerate() {
        let slope = ends_only(slopes, i, n_spans);
        add(
            sheared(from, to, core, slope, middle),
            foam_of(assembly),
            Part::Foam,
        );
    }
    for (index, lumber) in panel.lumber.iter().enumerate() {
        if y < lumber.rect.y0 || y >= lumber.rect.y1 {
            continue;
        }
        let slope = lumber_slope(panel, lumber, slopes);
        let middle = f64::midpoint(lumber.depth[0].to_inches(), lumber.depth[1].to_inches());
        let (from, to) = (lumber.rect.x0.to_inches(), lumber.rect.x1.to_inches());
        let ring = |layer: &Layer| {
            if lumber.usage == "corner filler" {
                return wedge(panel, lumber, layer.depth);
            }
            let narrower = layer.narrower.to_inches();
            let ends = [from + narrower, to - narrower];
            sheared(ends[0], ends[1], layer.depth, [slope, slope], middle)
        };
        let grain = if lumber.is_upright {
            Stuff::LumberEnd
        } else {
            Stuff::LumberSide
        };
        for layer in made_of(lumber, assembly, sizes, grain) {
            add(ring(&layer), layer.stuff, Part::Lumber(index));
        }
    }
}

fn foam_of(assembly: &Assembly) -> Stuff {
    if assembly.is_liner() {
        Stuff::BareFoam
    } else {
        Stuff::Foam
    }
}

/// Where a skin lies, from the outer face inwards.
fn skin_depth(assembly: &Assembly, face: Face) -> [Length; 2] {
    match face {
        Face::Outer => [Length::ZERO, assembly.outer.thickness],
        Face::Inner => [
            assembly.outer.thickness + assembly.core,
            assembly.thickness(),
        ],
    }
}

fn upright_panel(
    panel: &FabricatedPanel,
    (assembly, sizes): (&Assembly, &SplineRules),
    x: Length,
    parts: &mut Vec<CutPart>,
) {
    let inner = assembly.outer.thickness + assembly.core;
    let mut add = |depth: [Length; 2], from: f64, to: f64, stuff: Stuff, part: Part| {
        let (near, far) = (depth[0].to_inches(), depth[1].to_inches());
        let ring = [(near, from), (far, from), (far, to), (near, to)];
        parts.push(CutPart {
            ring: ring.map(|(x, y)| Coord { x, y }).to_vec(),
            stuff,
            part,
            panel: Some(0),
        });
    };
    for face in assembly.skinned() {
        let depth = skin_depth(assembly, face);
        for (from, to) in spans_up(panel.face(face), x) {
            add(depth, from, to, Stuff::Skin, Part::Skin(face));
        }
    }
    for (from, to) in panel.core_pieces().flat_map(|piece| spans_up(piece, x)) {
        add(
            [assembly.outer.thickness, inner],
            from,
            to,
            foam_of(assembly),
            Part::Foam,
        );
    }
    for (index, lumber) in panel.lumber.iter().enumerate() {
        if x < lumber.rect.x0 || x >= lumber.rect.x1 {
            continue;
        }
        let grain = if lumber.is_upright {
            Stuff::LumberSide
        } else {
            Stuff::LumberEnd
        };
        let (from, to) = (lumber.rect.y0.to_inches(), lumber.rect.y1.to_inches());
        let is_met = |layer: &Layer| {
            lumber.rect.x0 + layer.narrower <= x && x < lumber.rect.x1 - layer.narrower
        };
        for layer in made_of(lumber, assembly, sizes, grain)
            .iter()
            .filter(|it| is_met(it))
        {
            add(layer.depth, from, to, layer.stuff, Part::Lumber(index));
        }
    }
}

/// A wedge beside the end of a panel: as wide as its rectangle at one face, nothing at the other.
fn wedge(panel: &FabricatedPanel, lumber: &Lumber, depth: [Length; 2]) -> Vec<Spot> {
    let is_left = lumber.rect.x0 < Length::ZERO;
    let [end, tip] = if is_left {
        [Length::ZERO, lumber.rect.x0]
    } else {
        [panel.width, lumber.rect.x1]
    };
    let is_wide_inside = lumber.section.contains("inside");
    let at = |x: Length, z: Length| Coord {
        x: x.to_inches(),
        y: z.to_inches(),
    };
    let wide = if is_wide_inside { depth[1] } else { depth[0] };
    vec![at(end, depth[0]), at(tip, wide), at(end, depth[1])]
}

/// A layer of a piece: its depths, what it is, and how much narrower it is than the piece, on each side.
struct Layer {
    depth: [Length; 2],
    stuff: Stuff,
    narrower: Length,
}

/// The layers a piece is made of, from the outer face inwards: a block is a strip of panel, a filler is foam, an I-joist has two
/// flanges and a web, all else is solid.
fn made_of(lumber: &Lumber, assembly: &Assembly, sizes: &SplineRules, grain: Stuff) -> Vec<Layer> {
    let [near, far] = lumber.depth;
    let layer = |depth: [Length; 2], stuff: Stuff| Layer {
        depth,
        stuff,
        narrower: Length::ZERO,
    };
    if lumber.section.starts_with("block") || lumber.section.starts_with("SIP ") {
        let (a, b) = (
            near + assembly.outer.thickness,
            far - assembly.inner.thickness,
        );
        let mut layers = vec![
            layer([near, a], Stuff::Skin),
            layer([a, b], Stuff::OtherFoam),
            layer([b, far], Stuff::Skin),
        ];
        layers.retain(|it| it.depth[0] < it.depth[1]);
        return layers;
    }
    if lumber.section.starts_with("I-joist") {
        let flange = sizes.i_joist_flange_depth.min((far - near).half());
        let (a, b) = (near + flange, far - flange);
        let web = Layer {
            narrower: (lumber.rect.width() - sizes.i_joist_web).half(),
            ..layer([a, b], Stuff::Skin)
        };
        return vec![layer([near, a], grain), web, layer([b, far], grain)];
    }
    let stuff = if lumber.usage.contains("filler") {
        Stuff::OtherFoam
    } else if lumber.section.starts_with("strip") {
        Stuff::Skin
    } else {
        grain
    };
    vec![layer([near, far], stuff)]
}

/// How far the panel's left and right ends move along x for each inch inwards.
fn end_slopes(panel: &FabricatedPanel) -> [f64; 2] {
    let tangent = |is_left: bool| {
        panel
            .edges
            .iter()
            .filter(|edge| edge.contour == EdgeContour::Outline && edge.from.x == edge.to.x)
            .filter(|edge| edge.bevel_deg != 0.0)
            .find(|edge| (edge.from.x + edge.from.x < panel.width) == is_left)
            .map_or(0.0, |edge| edge.bevel_deg.to_radians().tan())
    };
    // Positive: the outer skin is longer, so inwards the left end moves right and the right end moves left.
    [tangent(true), -tangent(false)]
}

fn ends_only(slopes: [f64; 2], index: usize, count: usize) -> [f64; 2] {
    [
        if index == 0 { slopes[0] } else { 0.0 },
        if index + 1 == count { slopes[1] } else { 0.0 },
    ]
}

fn lumber_slope(panel: &FabricatedPanel, lumber: &Lumber, slopes: [f64; 2]) -> f64 {
    let edge = lumber.edge.and_then(|edge| panel.edges.get(edge));
    match edge {
        Some(edge) if edge.bevel_deg != 0.0 => {
            if edge.from.x + edge.from.x < panel.width {
                slopes[0]
            } else {
                slopes[1]
            }
        }
        _ => 0.0,
    }
}

fn rectangle(x0: Length, y0: Length, x1: Length, y1: Length) -> Vec<Spot> {
    [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
        .map(|(x, y)| Coord {
            x: x.to_inches(),
            y: y.to_inches(),
        })
        .to_vec()
}

/// Where a level line runs through a face: pairs of x, inches.
fn spans_across(face: &PartFace, y: Length) -> Vec<(f64, f64)> {
    spans(face, |p| p.x, |p| p.y, y)
}

/// Where an upright line runs through a face: pairs of y, inches.
fn spans_up(face: &PartFace, x: Length) -> Vec<(f64, f64)> {
    spans(face, |p| p.y, |p| p.x, x)
}

fn spans(
    face: &PartFace,
    along: impl Fn(&crate::geometry::ShopPoint) -> Length,
    across: impl Fn(&crate::geometry::ShopPoint) -> Length,
    level: Length,
) -> Vec<(f64, f64)> {
    let mut cuts: Vec<f64> = std::iter::once(&face.outline)
        .chain(&face.holes)
        .flat_map(ShopRing::sides)
        .filter(|(a, b)| (across(a) <= level) != (across(b) <= level))
        .map(|(a, b)| {
            let part = (level - across(&a)).to_inches() / (across(&b) - across(&a)).to_inches();
            let from = along(&a).to_inches();
            from + (along(&b).to_inches() - from) * part
        })
        .collect();
    cuts.sort_by(f64::total_cmp);
    cuts.chunks_exact(2)
        .filter_map(|pair| Some((*pair.first()?, *pair.last()?)))
        .collect()
}
