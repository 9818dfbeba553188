//! The same plan drawn otherwise: turned, mirrored, moved, shuffled, exploded, renamed, in another unit, its lines reversed.

use crate::generator::plan::Plan as Drawn;
use crate::generator::plane::{Point, distance, point};
use crate::generator::random::Random;
use crate::generator::sheet::{Entity, Lie, Shape, Sheet, Writing};
use crate::score::recover;
use panelwright::plan::Plan;

/// Results agree within this once turned back, inches.
const SAME: f64 = 1.0 / 1024.0;
/// Results agree within this where no coordinate was touched.
const EXACT: f64 = 1e-9;

/// A wall or an opening as what it is and where its points lie.
type Thing = (String, Vec<Point>);

/// Everything of a plan, by kind and place.
fn things(plan: &Plan, back: &dyn Fn(Point) -> Point) -> Vec<Thing> {
    let mut list = Vec::new();
    for storey in &plan.storeys {
        for wall in &storey.walls {
            let side = if wall.is_exterior {
                "outside"
            } else {
                "inside"
            };
            let name = format!("wall {side} {:.3}", wall.thickness);
            list.push((name, vec![back(wall.start), back(wall.end)]));
        }
        for opening in &storey.openings {
            let mut walls = storey.walls.iter();
            let is_exterior = walls.any(|it| it.id == opening.wall && it.is_exterior);
            let side = if is_exterior { "outside" } else { "inside" };
            let name = format!("{} {side} {:.3}", opening.kind.name(), opening.width);
            list.push((name, vec![back(opening.centre)]));
        }
        for corner in &storey.outline {
            list.push(("corner".to_owned(), vec![back(*corner)]));
        }
    }
    list
}

/// What one has and the other has not.
fn lacks(one: &[Thing], other: &[Thing], reach: f64) -> Vec<String> {
    let is_at = |a: &[Point], b: &[Point]| {
        a.len() == b.len()
            && (a.iter().zip(b).all(|(p, q)| distance(*p, *q) <= reach)
                || a.iter()
                    .zip(b.iter().rev())
                    .all(|(p, q)| distance(*p, *q) <= reach))
    };
    one.iter()
        .filter(|(name, at)| !other.iter().any(|(n, p)| n == name && is_at(at, p)))
        .map(|(name, at)| format!("{name} at {at:?}"))
        .collect()
}

/// How many things there are, and what differs.
#[derive(Default)]
struct Difference {
    things: usize,
    wrong: Vec<String>,
}

impl Difference {
    /// Recovers a plan drawn otherwise, and adds how it differs.
    fn check(&mut self, drawn: &Drawn, what: &str, other: &str, lie: &Lie, reach: f64) {
        let plain = recover(&drawn.dxf()).unwrap().0;
        let changed = recover(other).unwrap().0;
        let own = things(&plain, &|p| lie.at(p));
        let found = things(&changed, &|p| p);
        self.things += own.len();
        let lost = lacks(&own, &found, reach).into_iter();
        let new = lacks(&found, &own, reach).into_iter();
        let both = lost
            .map(|it| format!("lost {it}"))
            .chain(new.map(|it| format!("new {it}")));
        self.wrong
            .extend(both.map(|it| format!("{} {what}: {it}", drawn.name())));
    }

    /// Nothing may differ.
    #[track_caller]
    fn assert(&self) {
        let wrong = self.wrong.join("\n");
        assert!(wrong.is_empty(), "of {} things:\n{wrong}", self.things);
    }
}

/// Plans whose layer names say nothing, so that names may change.
fn plans() -> Vec<Drawn> {
    let exact = (0..60).filter(|seed| seed % 3 < 2).map(Drawn::of);
    exact
        .filter(|plan| ["0", "L1"].contains(&plan.style.names[0]))
        .take(8)
        .collect()
}

fn with(drawn: &Drawn, entities: Vec<Entity>) -> String {
    let sheet = Sheet {
        blocks: drawn.sheet.blocks.clone(),
        entities,
    };
    sheet.dxf(&drawn.style.writing)
}

#[test]
fn a_plan_turned_mirrored_or_moved_is_the_same_plan() {
    let lie = |mirrored, turn: f64, x: f64, y: f64| Lie {
        mirrored,
        turn: turn.to_radians(),
        shift: point(x, y),
    };
    let lies = [
        lie(false, 90.0, 0.0, 0.0),
        lie(false, 180.0, 0.0, 0.0),
        lie(false, 17.3, 0.0, 0.0),
        lie(true, 0.0, 0.0, 0.0),
        lie(true, 90.0, 0.0, 0.0),
        lie(false, 0.0, 1e6, -1e6),
    ];
    let mut difference = Difference::default();
    for drawn in plans() {
        for lie in &lies {
            let other = drawn.sheet.laid(lie).dxf(&drawn.style.writing);
            difference.check(&drawn, &format!("{lie:?}"), &other, lie, SAME);
        }
    }
    difference.assert();
}

#[test]
fn a_plan_shuffled_exploded_renamed_or_reversed_is_the_same_plan() {
    let straight = Lie::straight();
    let mut difference = Difference::default();
    for drawn in plans() {
        let mut random = Random::new(drawn.seed);
        let mut shuffled = drawn.sheet.entities.clone();
        random.shuffle(&mut shuffled);
        difference.check(
            &drawn,
            "shuffled",
            &with(&drawn, shuffled),
            &straight,
            EXACT,
        );
        let exploded = drawn.sheet.exploded().dxf(&drawn.style.writing);
        difference.check(&drawn, "exploded", &exploded, &straight, SAME);
        let reversed = drawn.sheet.entities.iter().map(|it| {
            let shape = match &it.shape {
                Shape::Line(a, b) => Shape::Line(*b, *a),
                Shape::Poly(list, closed, width) => {
                    Shape::Poly(list.iter().rev().copied().collect(), *closed, *width)
                }
                other => other.clone(),
            };
            Entity {
                shape,
                ..it.clone()
            }
        });
        difference.check(
            &drawn,
            "reversed",
            &with(&drawn, reversed.collect()),
            &straight,
            EXACT,
        );
        let renamed = drawn.sheet.entities.iter().map(|it| Entity {
            layer: format!("Q{}", it.layer),
            ..it.clone()
        });
        difference.check(
            &drawn,
            "renamed",
            &with(&drawn, renamed.collect()),
            &straight,
            EXACT,
        );
    }
    difference.assert();
}

#[test]
fn a_plan_in_another_unit_is_the_same_plan() {
    let mut difference = Difference::default();
    for drawn in plans() {
        for (inches_per_unit, unit_code) in [
            (1.0, 1),
            (12.0, 2),
            (1.0 / 25.4, 4),
            (1.0 / 2.54, 5),
            (1000.0 / 25.4, 6),
        ] {
            let writing = Writing {
                inches_per_unit,
                unit_code,
                ..drawn.style.writing
            };
            let other = drawn.sheet.dxf(&writing);
            difference.check(
                &drawn,
                &format!("unit {unit_code}"),
                &other,
                &Lie::straight(),
                SAME,
            );
        }
    }
    difference.assert();
}
