//! Raises the building of a revised plan to the sizes of the issue before, where they differ by rounding alone.

use super::issued::{Issued, IssuedWall};
use super::registration::register;
use crate::building::{AsIssued, Building, IssuedFace, raise_as_issued, raise_building};
use crate::findings::Outcome;
use crate::geometry::{Frame, ShopRect};
use crate::plan::Plan;
use crate::rules::{Job, PlantRules};
use crate::units::Length;

/// The building of a plan, and what was found; `old`: the issue before, if there is one.
#[must_use]
pub fn raise_revised(
    old: Option<&Issued>,
    plan: &Plan,
    job: &Job,
    rules: &PlantRules,
) -> Outcome<Building> {
    let free = raise_building(plan, job, rules);
    let Some(old) = old else { return free };
    let issued = over(old, &free.output);
    raise_as_issued(plan, job, rules, &issued)
}

/// The faces of the issue before, laid over the building.
fn over(old: &Issued, building: &Building) -> AsIssued {
    let faces: Vec<(IssuedWall, IssuedFace)> = old.walls.iter().filter_map(whole_face).collect();
    let walls: Vec<IssuedWall> = faces.iter().map(|(wall, _)| wall.clone()).collect();
    let Some(motion) = register(&walls, &whole_walls(building)) else {
        return AsIssued::default();
    };
    let moved = faces.into_iter().map(|(wall, face)| IssuedFace {
        frame: Frame {
            origin: motion.point([wall.origin[0], wall.origin[1]]).into(),
            along: motion.turn(wall.along).into(),
        },
        ..face
    });
    AsIssued {
        faces: moved.collect(),
    }
}

/// An issued wall from corner to corner, and its face; `None` where the file does not say.
fn whole_face(wall: &IssuedWall) -> Option<(IssuedWall, IssuedFace)> {
    let built = wall.built.as_ref()?;
    let [from, to] = built.corners;
    let [x, y] = wall.along.map(|it| it * from.to_inches());
    let [left, right] = [from, to].map(Length::to_inches);
    let whole = IssuedWall {
        origin: [wall.origin[0] + x, wall.origin[1] + y, 0.0],
        length: right - left,
        openings: (wall.openings.iter())
            .map(|it| it.map(|at| at - left))
            .collect(),
        ..wall.clone()
    };
    let face = IssuedFace {
        storey: wall.storey.clone(),
        frame: Frame {
            origin: [whole.origin[0], whole.origin[1]].into(),
            along: wall.along.into(),
        },
        length: to - from,
        openings: (built.openings.iter())
            .map(|[x0, y0, x1, y1]| ShopRect::new(*x0 - from, *y0, *x1 - from, *y1))
            .collect(),
        tees: (built.tees.iter())
            .map(|it| it.map(|at| at - from))
            .collect(),
    };
    Some((whole, face))
}

/// The walls of a building from corner to corner.
fn whole_walls(building: &Building) -> Vec<IssuedWall> {
    let walls = building.walls.iter();
    walls
        .map(|wall| IssuedWall {
            id: wall.id.clone(),
            storey: wall.storey.clone(),
            origin: [wall.frame.origin.x, wall.frame.origin.y, 0.0],
            along: [wall.frame.along.x, wall.frame.along.y],
            length: wall.face_length.to_inches(),
            openings: (wall.openings.iter())
                .map(|it| [it.from, it.to].map(Length::to_inches))
                .collect(),
            ..IssuedWall::default()
        })
        .collect()
}
