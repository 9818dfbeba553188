//! A picture of the building: every panel as a body, seen from above at an angle, near ones over far ones.
//!
//! ```text
//!        up ▲    y (into the picture, to the right)
//!           │  ╱
//!           │╱       parallel projection, turned 30° about the vertical, seen 30° from above: lengths along one
//!           └────► x  direction keep their ratio, nothing can be scaled from it
//! ```
//!
//! Bodies are drawn from the farthest to the nearest by their middles (the painter's method, from memory): right for
//! panels that stand apart, which a layout makes sure of.

use crate::documents::paper::overlap::quad_meets_ring;
use crate::documents::paper::style::{Fill, Pen};
use crate::documents::paper::{Area, Canvas, Form, Lettered, Spot, spot};
use crate::fabrication::{FabricatedPanel, Fabrication};
use crate::geometry::{ShopPoint, ShopRing};
use crate::rules::PlantRules;

/// Turned about the vertical, degrees.
const TURN: f64 = 30.0;
/// Seen from above by, degrees.
const RISE: f64 = 30.0;
/// Cap heights a mark may have, largest first, mm.
const MARKS: [f64; 3] = [4.0, 3.0, 2.4];

type Point = [f64; 3];

/// From the building to the picture: right, up, and away from the eye.
#[derive(Clone, Copy)]
struct Eye {
    turn: (f64, f64),
    rise: (f64, f64),
}

impl Eye {
    fn new() -> Self {
        Self {
            turn: TURN.to_radians().sin_cos(),
            rise: RISE.to_radians().sin_cos(),
        }
    }

    fn see(self, [x, y, z]: Point) -> Point {
        let ((s, c), (sr, cr)) = (self.turn, self.rise);
        let (right, away) = (x * c - y * s, x * s + y * c);
        [right, z * cr + away * sr, away * cr - z * sr]
    }
}

fn added(a: Point, b: Point, by: f64) -> Point {
    [a[0] + b[0] * by, a[1] + b[1] * by, a[2] + b[2] * by]
}

fn cross(a: Point, b: Point) -> Point {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// A panel ready to be drawn.
struct Body<'a> {
    panel: &'a FabricatedPanel,
    /// Faces seen, far ones first: contour with holes, and how it is filled.
    faces: Vec<(Vec<Vec<Point>>, Fill)>,
    /// Middle of the face that is seen.
    middle: Point,
    away: f64,
}

fn on_panel(panel: &FabricatedPanel, p: &ShopPoint, out: f64) -> Point {
    let place = &panel.placed;
    let at = added(place.origin, place.x, p.x.to_inches());
    let at = added(at, place.y, p.y.to_inches());
    added(at, cross(place.x, place.y), out)
}

fn body<'a>(panel: &'a FabricatedPanel, thickness: f64, eye: Eye) -> Body<'a> {
    let place = &panel.placed;
    let normal = cross(place.x, place.y);
    let is_seen = |direction: Point| eye.see(direction)[2] < -1e-9;
    let ring = |ring: &ShopRing, out: f64| -> Vec<Point> {
        ring.0.iter().map(|p| on_panel(panel, p, out)).collect()
    };
    let mut faces = Vec::new();
    for (from, to) in panel.outer_skin.outline.sides() {
        let (ex, ey) = ((to.x - from.x).to_inches(), (to.y - from.y).to_inches());
        // Counter-clockwise: outwards is to the right of an edge.
        let outwards = added([0.0; 3], place.x, ey);
        let outwards = added(outwards, place.y, -ex);
        if is_seen(outwards) {
            let quad = [(from, 0.0), (to, 0.0), (to, -thickness), (from, -thickness)];
            let quad = quad.map(|(p, out)| on_panel(panel, &p, out)).to_vec();
            faces.push((vec![quad], Fill::Medium));
        }
    }
    let is_outside = is_seen(normal);
    let (skin, out) = if is_outside {
        (&panel.outer_skin, 0.0)
    } else {
        (&panel.inner_skin, -thickness)
    };
    let fill = match (panel.is_held(), is_outside) {
        (true, _) => Fill::Medium,
        (false, true) => Fill::White,
        (false, false) => Fill::Light,
    };
    let rings = std::iter::once(&skin.outline).chain(&skin.holes);
    faces.push((rings.map(|it| ring(it, out)).collect(), fill));
    let half = ShopPoint::new(panel.width.half(), panel.height.half());
    let middle = on_panel(panel, &half, out);
    Body {
        panel,
        faces,
        middle,
        away: eye.see(on_panel(panel, &half, -thickness / 2.0))[2],
    }
}

/// All panels, the farthest first.
pub(super) struct Picture<'a> {
    eye: Eye,
    bodies: Vec<Body<'a>>,
    /// What they take in the picture, inches; none without panels.
    extent: Option<Area>,
}

impl<'a> Picture<'a> {
    pub(super) fn of(fabrication: &'a Fabrication, rules: &PlantRules) -> Self {
        let eye = Eye::new();
        let thickness = |panel: &FabricatedPanel| {
            let assembly = rules.assemblies.get(panel.assembly);
            assembly.map_or(0.0, |it| it.thickness().to_inches())
        };
        let mut bodies: Vec<Body<'_>> = fabrication
            .panels
            .iter()
            .map(|panel| body(panel, thickness(panel), eye))
            .collect();
        bodies.sort_by(|a, b| {
            b.away
                .total_cmp(&a.away)
                .then_with(|| a.panel.mark.cmp(&b.panel.mark))
        });
        let faces = bodies.iter().flat_map(|it| &it.faces);
        let seen: Vec<Spot> = faces
            .flat_map(|(rings, _)| rings.iter().flatten())
            .map(|p| flat(eye.see(*p)))
            .collect();
        Self {
            eye,
            bodies,
            extent: Area::around(&seen),
        }
    }

    /// Millimetres for an inch when it is as large as an area allows.
    pub(super) fn scale_in(&self, area: &Area) -> f64 {
        self.extent.map_or(0.0, |extent| {
            let [width, height] = [extent.width(), extent.height()].map(|it| it.max(1.0));
            (area.width() / width).min(area.height() / height)
        })
    }

    /// Draws all panels as large as an area allows.
    pub(super) fn draw(&self, canvas: &mut Canvas, area: Area) {
        let Some(extent) = self.extent else {
            return;
        };
        let (eye, bodies, k) = (self.eye, &self.bodies, self.scale_in(&area));
        let (from, to) = (extent.middle(), area.middle());
        let paper = |p: Point| {
            let p = flat(eye.see(p));
            spot(to.x + (p.x - from.x) * k, to.y - (p.y - from.y) * k)
        };
        let mut drawn: Vec<Drawn> = Vec::new();
        for it in bodies {
            let mark = it.panel.mark.as_str();
            let mut here = Drawn::default();
            canvas.group_with(
                &format!("panel-{mark}"),
                &format!("Panel {mark}"),
                &[("panel", mark)],
                |canvas| {
                    for (rings, fill) in &it.faces {
                        let rings: Vec<Vec<Spot>> = rings
                            .iter()
                            .map(|ring| ring.iter().map(|p| paper(*p)).collect())
                            .collect();
                        here.outlines.extend(rings.first().cloned());
                        here.holes = rings.get(1..).unwrap_or_default().to_vec();
                        canvas.shape(Form::Region(rings), Pen::Edge.full(), *fill);
                    }
                },
            );
            drawn.push(here);
        }
        canvas.group("marks", "Marks", |canvas| {
            draw_marks(canvas, bodies, &drawn, &paper);
        });
    }
}

const fn flat([x, y, _]: Point) -> Spot {
    spot(x, y)
}

/// A panel in the picture.
#[derive(Default)]
struct Drawn {
    /// Of each face, the one to read last.
    outlines: Vec<Vec<Spot>>,
    /// Openings of that face.
    holes: Vec<Vec<Spot>>,
}

/// Marks of the panels that are seen well: on their face, over nothing of a nearer panel, clear of each other.
fn draw_marks(
    canvas: &mut Canvas,
    bodies: &[Body<'_>],
    drawn: &[Drawn],
    paper: &impl Fn(Point) -> Spot,
) {
    let mut taken: Vec<Area> = Vec::new();
    for (index, it) in bodies.iter().enumerate() {
        let at = paper(it.middle);
        let Some(own) = drawn.get(index) else {
            continue;
        };
        let face = own.outlines.last();
        let Some((face, around)) = face.and_then(|it| Some((it, Area::around(it)?))) else {
            continue;
        };
        let nearer = drawn.get(index + 1..).unwrap_or_default().iter();
        let over: Vec<&Vec<Spot>> = nearer
            .flat_map(|it| &it.outlines)
            .filter(|ring| Area::around(ring).is_some_and(|it| it.meets(&around)))
            .collect();
        let spots = places(at, face);
        // What is seen through an opening is another panel: a mark stands there only where its face has no room.
        let tries = [false, true].into_iter();
        let tries = tries.flat_map(|in_hole| MARKS.map(|cap| (in_hole, cap)));
        let free = tries.into_iter().find_map(|(in_hole, cap)| {
            let lettered = Lettered::cap(cap).bold().middle();
            let half = lettered.width(&it.panel.mark) / 2.0 + 1.0;
            let rise = cap / 2.0 + 1.0;
            spots.iter().find_map(|at| {
                let label = Area::new(at.x - half, at.y - rise, at.x + half, at.y + rise);
                let corners = label.corners();
                let is_free = around.holds(&label)
                    && !taken.iter().any(|other| other.meets(&label))
                    && corners.iter().all(|p| is_inside(*p, face))
                    && !over.iter().any(|ring| quad_meets_ring(&corners, ring))
                    && (in_hole || !own.holes.iter().any(|it| quad_meets_ring(&corners, it)));
                is_free.then_some((*at, label, lettered))
            })
        });
        if let Some((at, label, lettered)) = free {
            canvas.text_centred(at, it.panel.mark.clone(), lettered.masked());
            taken.push(label);
        }
    }
}

/// Places for a mark on a face: its middle, then others over the whole of it, the nearest to the middle first.
fn places(middle: Spot, face: &[Spot]) -> Vec<Spot> {
    const STEPS: i32 = 16;
    let Some(around) = Area::around(face) else {
        return vec![middle];
    };
    let part = |i: i32| f64::from(i) / f64::from(STEPS);
    let rows = (1..STEPS).flat_map(|i| (1..STEPS).map(move |j| (part(i), part(j))));
    let mut places: Vec<Spot> = rows
        .map(|(i, j)| {
            spot(
                around.x0 + around.width() * i,
                around.y0 + around.height() * j,
            )
        })
        .collect();
    let off = |p: &Spot| (p.x - middle.x).hypot(p.y - middle.y);
    places.sort_by(|a, b| off(a).total_cmp(&off(b)));
    places.insert(0, middle);
    places
}

/// By counting how often a ray to the right meets the contour.
fn is_inside(p: Spot, ring: &[Spot]) -> bool {
    let next = ring.iter().cycle().skip(1);
    let crossings = ring
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.y > p.y) != (b.y > p.y))
        .filter(|(a, b)| p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y))
        .count();
    crossings % 2 == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The middle of a panel with a doorway is nothing of it: its mark stands beside.
    #[test]
    fn a_mark_finds_another_place_where_the_middle_of_a_face_is_open() {
        let corners = [
            (0.0, 0.0),
            (40.0, 0.0),
            (40.0, 30.0),
            (30.0, 30.0),
            (30.0, 10.0),
            (10.0, 10.0),
            (10.0, 30.0),
            (0.0, 30.0),
        ];
        let face = corners.map(|(x, y)| spot(x, y));
        let found = places(spot(20.0, 20.0), &face);
        assert!(!is_inside(found[0], &face));
        let on_face: Vec<&Spot> = found.iter().filter(|p| is_inside(**p, &face)).collect();
        let off = |p: &Spot| (p.x - 20.0).hypot(p.y - 20.0);
        assert!(on_face.iter().all(|p| off(p) >= off(on_face[0])));
        assert_eq!(found.len(), 1 + 15 * 15);
    }

    #[test]
    fn up_stays_up_and_what_is_behind_is_farther_away() {
        let eye = Eye::new();
        let [_, up, _] = eye.see([0.0, 0.0, 1.0]);
        // cos 30°: seen from 30° above, an upright foot is shortened to 0.866.
        assert!((up - 0.866_025).abs() < 1e-6);
        assert!(eye.see([0.0, 10.0, 0.0])[2] > eye.see([0.0, 0.0, 0.0])[2]);
        assert!(is_inside(
            spot(1.0, 1.0),
            &[spot(0.0, 0.0), spot(3.0, 0.0), spot(0.0, 3.0)]
        ));
        assert!(!is_inside(
            spot(2.5, 2.5),
            &[spot(0.0, 0.0), spot(3.0, 0.0), spot(0.0, 3.0)]
        ));
    }
}
