//! Each panel, rebuilt from its outline file alone, is the panel of `panels.json`: contours, foam, chases, edges, marks.

use super::Proof;
use super::folders::outline_path;
use crate::findings::Place;
use crate::geometry::{ShopPoint, ShopRing, tolerance};
use crate::units::Length;
use crate::verify::codes;
use crate::verify::ledger::Ledger;
use crate::verify::package::Package;
use crate::verify::readers::outline::{Entity, Outline};
use crate::verify::readers::panels::{Edge, Face, Panel, shop_point};

pub(super) const PROOF: Proof = Proof {
    code: codes::OUTLINE_FILE,
    statement: "each panel rebuilt from its outline file alone equals panels.json within 1e-6 in; held files say HOLD on every layer",
    cases: "files",
    prove,
};

/// What every layer of a held panel begins with.
const HOLD_PREFIX: &str = "HOLD-";

fn prove(package: &Package<'_>, ledger: &mut Ledger) {
    for panel in &package.panels.panels {
        let path = outline_path(panel);
        let Some(bytes) = package.files.get(&path) else {
            continue; // The proof of the folders names it.
        };
        ledger.case();
        let place = || Place {
            file: Some(path.clone()),
            ..Place::panel(&panel.mark)
        };
        match Outline::read(bytes) {
            Err(reason) => ledger.fail(place(), format!("it cannot be read: {reason}")),
            Ok(outline) => {
                for message in differences(panel, &outline) {
                    ledger.fail(place(), message);
                }
            }
        }
    }
}

fn differences(panel: &Panel, outline: &Outline) -> Vec<String> {
    let mut found = Vec::new();
    let mut demand = |holds: bool, message: String| {
        if !holds {
            found.push(message);
        }
    };
    let outlines: Vec<&Entity> = outline.with_role("outline").collect();
    let [contour] = outlines.as_slice() else {
        return vec![format!("it has {} outer contours, not one", outlines.len())];
    };
    let rebuilt = Rebuilt::new(outline, contour);
    let status = if panel.hold { "hold" } else { "cut" };
    for (name, expected) in [
        ("mark", panel.mark.as_str()),
        ("revision", &panel.revision),
        ("assembly", &panel.assembly),
        ("face up", &panel.face_up),
        ("status", status),
    ] {
        let found = contour.fact(name);
        demand(
            found == expected,
            format!("its {name} is '{found}', not '{expected}'"),
        );
    }
    for (name, expected) in [("width", panel.width), ("height", panel.height)] {
        let found = rebuilt.length(contour.fact(name));
        let is_same = found.is_some_and(|found| is_near(found, expected.0));
        demand(
            is_same,
            format!("its {name} is '{}', not {}", contour.fact(name), expected.0),
        );
    }
    let held = outline
        .entities
        .iter()
        .filter(|entity| entity.layer.starts_with(HOLD_PREFIX));
    let expected = if panel.hold {
        outline.entities.len()
    } else {
        0
    };
    let n_held = held.count();
    demand(
        n_held == expected,
        format!("{n_held} entities stand on layers that begin with {HOLD_PREFIX}, not {expected}"),
    );
    let up_is_outer = panel.face_up == "outer";
    let (up, down) = if up_is_outer {
        (&panel.outer_skin, &panel.inner_skin)
    } else {
        (&panel.inner_skin, &panel.outer_skin)
    };
    demand(
        same_face(&rebuilt.up(), up),
        "the face that lies up differs".to_owned(),
    );
    demand(
        same_face(&rebuilt.down(), down),
        "the face that lies down differs".to_owned(),
    );
    let foam: Vec<&Face> = std::iter::once(&panel.core)
        .chain(&panel.core_others)
        .collect();
    let foam: Vec<&&Face> = foam
        .iter()
        .filter(|face| !face.outline().0.is_empty())
        .collect();
    let rebuilt_foam = rebuilt.foam();
    let same_foam = foam.len() == rebuilt_foam.len()
        && foam
            .iter()
            .zip(&rebuilt_foam)
            .all(|(face, rebuilt)| same_face(rebuilt, face));
    demand(same_foam, "the foam differs".to_owned());
    let chases: Vec<ShopRing> = panel
        .chases
        .iter()
        .map(|chase| ShopRing(chase.line.map(shop_point).to_vec()))
        .collect();
    demand(
        same_rings(&rebuilt.chases(), &chases),
        "the chases differ".to_owned(),
    );
    let n_slots: usize = panel.edges.iter().map(|edge| edge.slots.len()).sum();
    let slots = outline
        .with_role("slot")
        .map(|line| line.facts("slot").count());
    demand(
        slots.sum::<usize>() == n_slots,
        "the slots differ".to_owned(),
    );
    demand(
        rebuilt.has_edges(panel),
        "the edges, their joints, recesses or bevels differ".to_owned(),
    );
    found.extend(outline.entities.iter().filter_map(unsound));
    if let Some(double) = doubled(&outline.entities) {
        found.push(format!("two contours on layer {double} are the same"));
    }
    found
}

/// One face as rebuilt.
struct RebuiltFace {
    outline: ShopRing,
    holes: Vec<ShopRing>,
}

/// The file's contours, brought back to panel axes.
struct Rebuilt<'a> {
    outline: &'a Outline,
    contour: &'a Entity,
    mirror: Option<Length>,
    to_inches: f64,
}

impl<'a> Rebuilt<'a> {
    fn new(outline: &'a Outline, contour: &'a Entity) -> Self {
        let to_inches = if contour.fact("unit") == "mm" {
            1.0 / 25.4
        } else {
            1.0
        };
        let mut rebuilt = Self {
            outline,
            contour,
            mirror: None,
            to_inches,
        };
        if contour.fact("x mirrored") == "yes" {
            rebuilt.mirror = rebuilt.length(contour.fact("width"));
        }
        rebuilt
    }

    fn length(&self, number: &str) -> Option<Length> {
        let value: f64 = number.parse().ok()?;
        Length::nearest(value * self.to_inches, Length::nanometres(1))
    }

    fn point(&self, point: ShopPoint) -> ShopPoint {
        match self.mirror {
            Some(width) => ShopPoint::new(width - point.x, point.y),
            None => point,
        }
    }

    fn ring(&self, entity: &Entity) -> ShopRing {
        let points = entity.points.iter().map(|point| self.point(*point));
        let ring = ShopRing(points.collect());
        // Mirroring turns a contour round; run backwards it turns as before.
        if self.mirror.is_some() && entity.is_closed {
            ring.reversed()
        } else {
            ring
        }
    }

    fn up(&self) -> RebuiltFace {
        RebuiltFace {
            outline: self.ring(self.contour),
            holes: self
                .outline
                .with_role("opening")
                .map(|it| self.ring(it))
                .collect(),
        }
    }

    fn down(&self) -> RebuiltFace {
        let up = self.up();
        let own = |contour: &'static str| {
            let under = self.outline.with_role("under");
            let these = under.filter(move |it| it.fact("contour") == contour);
            these.map(|it| self.ring(it)).collect::<Vec<_>>()
        };
        let outline = if self.contour.fact("under outline") == "same" {
            up.outline
        } else {
            own("outline").into_iter().next().unwrap_or_default()
        };
        let holes = if self.contour.fact("under holes") == "same" {
            up.holes
        } else {
            own("hole")
        };
        RebuiltFace { outline, holes }
    }

    fn foam(&self) -> Vec<RebuiltFace> {
        let mut pieces: Vec<RebuiltFace> = Vec::new();
        for entity in self.outline.with_role("recess") {
            if entity.fact("contour") == "outline" {
                pieces.push(RebuiltFace {
                    outline: self.ring(entity),
                    holes: Vec::new(),
                });
            } else if let Some(piece) = pieces.last_mut() {
                piece.holes.push(self.ring(entity));
            }
        }
        pieces
    }

    fn chases(&self) -> Vec<ShopRing> {
        let chases = self.outline.with_role("chase");
        chases.map(|line| self.ring(line)).collect()
    }

    /// True when the facts on the contours give every edge of the panel and no other.
    fn has_edges(&self, panel: &Panel) -> bool {
        let on_outline = self.contour.facts("edge").map(|fact| ("outline", fact));
        let holes = self.outline.with_role("opening");
        let on_holes = holes.flat_map(|hole| {
            let name = hole.fact("opening");
            hole.facts("edge").map(move |fact| (name, fact))
        });
        let facts: Vec<(&str, &str)> = on_outline.chain(on_holes).collect();
        facts.len() == panel.edges.len()
            && panel.edges.iter().all(|edge| {
                let mut here = facts.iter().filter(|fact| fact.0 == edge.contour);
                here.any(|fact| self.is_edge(fact.1, edge))
            })
    }

    /// `x0 y0 x1 y1; joint=plate; recess=1.5; bevel=0; …` against an edge.
    fn is_edge(&self, fact: &str, edge: &Edge) -> bool {
        let mut parts = fact.split("; ");
        let place: Option<Vec<Length>> = parts
            .next()
            .unwrap_or_default()
            .split(' ')
            .map(|number| self.length(number))
            .collect();
        let Some([x0, y0, x1, y1]) = place.as_deref() else {
            return false;
        };
        let mut ends = [ShopPoint::new(*x0, *y0), ShopPoint::new(*x1, *y1)].map(|p| self.point(p));
        if self.mirror.is_some() {
            ends.reverse();
        }
        let value = |name: &str| {
            let mut named = parts.clone().filter_map(|part| part.split_once('='));
            named.find(|part| part.0 == name).map_or("", |part| part.1)
        };
        let recess = self.length(value("recess"));
        let bevel: Option<f64> = value("bevel").parse().ok();
        is_near_point(ends[0], shop_point(edge.from))
            && is_near_point(ends[1], shop_point(edge.to))
            && value("joint") == edge.joint
            && recess.is_some_and(|recess| is_near(recess, edge.recess.0))
            && bevel.is_some_and(|bevel| (bevel - edge.bevel_deg).abs() < tolerance::UNIT_VECTOR)
    }
}

fn same_face(rebuilt: &RebuiltFace, face: &Face) -> bool {
    same_ring(&rebuilt.outline, &face.outline()) && same_rings(&rebuilt.holes, &face.holes())
}

fn same_rings(a: &[ShopRing], b: &[ShopRing]) -> bool {
    a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same_ring(a, b))
}

/// Vertex by vertex from the same start.
fn same_ring(a: &ShopRing, b: &ShopRing) -> bool {
    a.0.len() == b.0.len() && a.0.iter().zip(&b.0).all(|(a, b)| is_near_point(*a, *b))
}

fn is_near_point(a: ShopPoint, b: ShopPoint) -> bool {
    is_near(a.x, b.x) && is_near(a.y, b.y)
}

fn is_near(a: Length, b: Length) -> bool {
    (a - b).to_inches().abs() <= tolerance::OUTLINE_COORDINATE
}

/// What is wrong with a contour in itself: open, turning the wrong way, a side of no length, crossing itself.
fn unsound(entity: &Entity) -> Option<String> {
    let role = entity.fact("role");
    if !matches!(role, "outline" | "opening" | "under" | "recess") {
        return None;
    }
    let ring = ShopRing(entity.points.clone());
    let layer = &entity.layer;
    let is_hole = role == "opening" || entity.fact("contour") == "hole";
    if !entity.is_closed || ring.0.len() < 3 {
        return Some(format!("a contour on layer {layer} is not closed"));
    }
    if (ring.doubled_area() < 0) != is_hole || ring.doubled_area() == 0 {
        return Some(format!("a contour on layer {layer} turns the wrong way"));
    }
    let sides: Vec<(ShopPoint, ShopPoint)> = ring.sides().collect();
    if sides.iter().any(|(a, b)| a == b) {
        return Some(format!(
            "a contour on layer {layer} has a side of no length"
        ));
    }
    let crosses = sides.iter().enumerate().any(|(n, side)| {
        let later = sides.iter().skip(n + 1);
        later.into_iter().any(|other| do_cross(*side, *other))
    });
    crosses.then(|| format!("a contour on layer {layer} crosses itself"))
}

/// True when two sides cross at a point inside both.
fn do_cross((a, b): (ShopPoint, ShopPoint), (c, d): (ShopPoint, ShopPoint)) -> bool {
    let turn = |p, q, r| ShopRing(vec![p, q, r]).doubled_area().signum();
    turn(a, b, c) * turn(a, b, d) < 0 && turn(c, d, a) * turn(c, d, b) < 0
}

/// The layer of two contours that are the same.
fn doubled(entities: &[Entity]) -> Option<&str> {
    let contours: Vec<&Entity> = entities.iter().filter(|entity| entity.is_closed).collect();
    contours.iter().enumerate().find_map(|(n, a)| {
        let mut later = contours.iter().skip(n + 1);
        later
            .any(|b| a.layer == b.layer && a.points == b.points)
            .then_some(a.layer.as_str())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn contour(points: &[(i64, i64)]) -> Entity {
        let point = |(x, y): &(i64, i64)| ShopPoint::new(Length::inches(*x), Length::inches(*y));
        Entity {
            layer: "RECESS".to_owned(),
            points: points.iter().map(point).collect(),
            is_closed: true,
            facts: vec![("role".to_owned(), "recess".to_owned())],
        }
    }

    #[test]
    fn a_contour_that_turns_back_or_crosses_itself_is_unsound() {
        assert_eq!(unsound(&contour(&[(0, 0), (4, 0), (4, 4), (0, 4)])), None);
        let turned = unsound(&contour(&[(0, 0), (0, 4), (4, 4), (4, 0)]));
        assert!(turned.unwrap().contains("wrong way"));
        let crossed = unsound(&contour(&[(0, 0), (9, 0), (9, 9), (5, -3), (0, 9)]));
        assert!(crossed.unwrap().contains("crosses"));
    }
}
