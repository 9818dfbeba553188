//! Hold-downs of the job: a post through the core beside the panel's end or an opening, and the place of the device on it.
//!
//! ```text
//!   │▒│▓▓│          ▒ end stud or jamb     ▓ post, plate to plate, slid clear of what stands there
//!   │▒│▓▓├──┐       the cut through inner skin and core beside it, away from the end, above the sole plate:
//!   │▒│▓▓│  │       the device is bolted to the post through it, and its rod goes through plate and deck
//!   └─┴──┴──┴──
//! ```
//!
//! Post, device and anchorage are the engineer's: the job names them, nothing is sized here.

use super::super::InnerCut;
use super::{Field, Inserts, Solid, Upright, conflicts};
use crate::geometry::ShopRect;
use crate::rules::{HoldDown, PointLoad};
use crate::units::{Inches, Length};

/// Stands the post, cuts the access, and says what goes where.
pub(super) fn hold_down(
    field: &Field<'_>,
    point: &PointLoad,
    device: &HoldDown,
    mut upright: Upright<'_>,
    to: &mut Inserts,
) {
    let brief = field.brief;
    let asked = upright.middle;
    if let Some(section) = brief.rules.lumber.sections.get(upright.section) {
        let half = (section.thickness * i64::from(upright.plies)).half();
        upright.middle = beside(field, asked, half);
    }
    let Some(post) = field.put(&upright, to) else {
        return;
    };
    if let Some([wide, high]) = device.access {
        // Away from the nearer end of the panel, where the foam is.
        let is_left = post.x0 + post.x1 < brief.width;
        let x0 = if is_left { post.x1 } else { post.x0 - wide };
        let cut = ShopRect::new(x0, post.y0, x0 + wide, post.y0 + high);
        let depth = brief.assembly.inner.thickness + brief.assembly.core;
        let why = field.obstacle(cut);
        match why.or_else(|| conflicts::of_cut(brief, (cut, depth), to)) {
            Some(why) => {
                let what = format!("the access cut of {}", point.what);
                to.findings.push(field.fault(&what, &why));
            }
            None => {
                to.foam_holes.push(cut);
                to.inner_cuts.push(InnerCut {
                    what: point.what.clone(),
                    rect: cut,
                    depth,
                });
                to.solids.push(Solid {
                    rect: cut,
                    depth: [brief.assembly.outer.thickness, brief.assembly.thickness()],
                });
            }
        }
    }
    to.notes
        .push(words(point, device, post, asked != upright.middle));
}

/// The nearest place to the one asked for that is clear of the packs at the ends and of openings with their frames.
fn beside(field: &Field<'_>, asked: Length, half: Length) -> Length {
    let within = |x: Length| {
        let (low, high) = (field.left + half, field.right - half);
        if low <= high { x.clamp(low, high) } else { x }
    };
    let mut x = within(asked);
    for frame in field.frames {
        let hole = frame.foam_hole;
        if hole.x0 < x + half && x - half < hole.x1 {
            x = if asked - hole.x0 < hole.x1 - asked {
                hole.x0 - half
            } else {
                hole.x1 + half
            };
        }
    }
    x
}

fn words(point: &PointLoad, device: &HoldDown, post: ShopRect, is_moved: bool) -> String {
    let named = match &device.device {
        Some(name) => format!("device {name}, named by the job"),
        None => "device not sized: engineer".to_owned(),
    };
    let access = device.access.map_or_else(String::new, |[wide, high]| {
        format!(
            "; cut {} x {} through inner skin and core beside it",
            Inches(wide),
            Inches(high)
        )
    });
    let moved = if is_moved {
        ", slid clear of end stud or jamb"
    } else {
        ""
    };
    format!(
        "{}: {named}, on the post {} to {} from the left end{moved}, at the sole plate{access}; post, rod and anchorage: engineer",
        point.what,
        Inches(post.x0),
        Inches(post.x1)
    )
}

#[cfg(test)]
mod tests {
    use super::super::super::FabricatedPanel;
    use super::super::super::testing::{Scene, corner, inches, rect};
    use super::*;
    use crate::layout::{PanelEdge, WallEnd};
    use crate::rules::{HeaderMember, Post};

    fn at(place: &str, device: HoldDown) -> PointLoad {
        PointLoad {
            at: inches(place),
            width: inches("3"),
            what: "hold-down".to_owned(),
            post: Some(Post {
                plies: 2,
                section: "2x6".to_owned(),
            }),
            pocket: None,
            hold_down: Some(device),
        }
    }

    fn made(mut scene: Scene, point: PointLoad) -> FabricatedPanel {
        scene.layout.walls[0].points.push(point);
        scene.made(0)
    }

    fn posts(panel: &FabricatedPanel) -> Vec<ShopRect> {
        let posts = panel
            .lumber
            .iter()
            .filter(|it| it.usage == "hold-down post");
        posts.map(|it| it.rect).collect()
    }

    #[test]
    fn a_post_at_the_corner_stands_beside_the_end_stud() {
        let scene =
            Scene::new("96").panel(["0", "96"], corner(WallEnd::Through), PanelEdge::Free, &[]);
        let device = HoldDown {
            device: None,
            access: Some([inches("6"), inches("16")]),
        };
        let panel = made(scene, at("1", device));
        assert_eq!(
            posts(&panel),
            [
                rect("1 1/2, 1 1/2, 3, 106 1/2"),
                rect("3, 1 1/2, 4 1/2, 106 1/2")
            ]
        );
        let cut = panel.inner_skin.holes[0].bounds();
        assert_eq!(cut, Some(rect("4 1/2, 1 1/2, 10 1/2, 17 1/2")));
        assert!(panel.outer_skin.holes.is_empty());
        let note = panel.notes.iter().find(|it| it.starts_with("hold-down"));
        assert!(note.is_some_and(|it| it.contains("device not sized: engineer")));
        // The level chase at 16 in passes neither the post nor the cut: it begins 1 in beyond.
        let level = panel.chases.iter().filter(|c| c.from.y == inches("16"));
        let from = level.map(|c| c.from.x.min(c.to.x)).min();
        assert_eq!(from, Some(inches("11 1/2")));
    }

    #[test]
    fn a_post_at_an_opening_stands_beside_its_jamb() {
        let scene = Scene::new("96")
            .opening("40, 33, 70, 82", HeaderMember::None, 0)
            .panel(["0", "96"], PanelEdge::Free, PanelEdge::Free, &[0]);
        let device = HoldDown {
            device: Some("HD-A of sheet S2".to_owned()),
            access: None,
        };
        let panel = made(scene, at("38", device));
        // The buck of 1 1/2 in begins at 38 1/2: the post of 3 in ends there.
        assert_eq!(posts(&panel)[1].x1, inches("38 1/2"));
        let note = panel.notes.iter().find(|it| it.starts_with("hold-down"));
        assert!(note.is_some_and(|it| it.contains("HD-A of sheet S2, named by the job")));
    }
}
