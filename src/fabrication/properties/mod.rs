//! What holds for every panel of every building: laid out for real, over many buildings made by counting, not by chance.

mod buildings;

use super::{Chase, FabricatedPanel, Fitted, Lumber, PartFace};
use crate::geometry::{ShopPoint, ShopRect, ShopRing};
use crate::layout::{PanelKind, PlateUse};
use crate::rules::PlantRules;
use crate::units::Length;
use buildings::{every_building, every_panel};
use geo::Coord;

fn rings(face: &PartFace) -> impl Iterator<Item = &ShopRing> {
    std::iter::once(&face.outline).chain(&face.holes)
}

/// Whether a rectangle lies in a face made of upright rectangles: no side of the face passes through it, and its middle is in.
fn covers(face: &PartFace, rect: ShopRect) -> bool {
    let crosses = |(a, b): (ShopPoint, ShopPoint)| {
        let (x0, x1) = (a.x.min(b.x), a.x.max(b.x));
        let (y0, y1) = (a.y.min(b.y), a.y.max(b.y));
        x0 < rect.x1
            && rect.x0 < x1.max(x0 + Length::nanometres(1))
            && y0 < rect.y1
            && rect.y0 < y1.max(y0 + Length::nanometres(1))
            && !(x1 == x0 && (x0 == rect.x0 || x0 == rect.x1))
            && !(y1 == y0 && (y0 == rect.y0 || y0 == rect.y1))
    };
    let middle = ShopPoint::new((rect.x0 + rect.x1).half(), (rect.y0 + rect.y1).half());
    rings(face).all(|ring| !ring.sides().any(crosses)) && holds_point(face, middle)
}

/// Even-odd over all contours; the point lies on none of them.
fn holds_point(face: &PartFace, p: ShopPoint) -> bool {
    let passes = rings(face)
        .flat_map(ShopRing::sides)
        .filter(|(a, b)| a.x == b.x && a.x > p.x && (a.y > p.y) != (b.y > p.y))
        .count();
    passes % 2 == 1
}

fn chase_rect(chase: &Chase) -> ShopRect {
    let r = chase.diameter.half();
    let (a, b) = (chase.from, chase.to);
    if a.y == b.y {
        ShopRect::new(a.x, a.y - r, b.x, b.y + r)
    } else {
        ShopRect::new(a.x - r, a.y, b.x + r, b.y)
    }
}

#[test]
fn outlines_run_counter_clockwise_holes_clockwise_and_none_touches_itself() {
    let n_panels = every_panel(&mut |_, _, panel| {
        let faces = [&panel.outer_skin, &panel.inner_skin]
            .into_iter()
            .chain(panel.core_pieces());
        for face in faces {
            assert!(face.outline.doubled_area() > 0, "{}", panel.mark);
            assert!(
                face.holes.iter().all(|hole| hole.doubled_area() < 0),
                "{}",
                panel.mark
            );
            for ring in rings(face) {
                let mut points = ring.0.clone();
                points.sort_unstable();
                points.dedup();
                assert_eq!(points.len(), ring.0.len(), "{}", panel.mark);
                assert!(ring.sides().all(|(a, b)| (a.x == b.x) != (a.y == b.y)));
                let sides: Vec<_> = ring.sides().collect();
                for (place, (a, b)) in sides.iter().enumerate() {
                    for (c, d) in &sides[place + 1..] {
                        let crosses = a.x == b.x
                            && c.y == d.y
                            && between(a.x, c.x, d.x)
                            && between(c.y, a.y, b.y)
                            || a.y == b.y
                                && c.x == d.x
                                && between(a.y, c.y, d.y)
                                && between(c.x, a.x, b.x);
                        assert!(!crosses, "{}", panel.mark);
                    }
                }
            }
        }
    });
    assert!(n_panels > 200, "{n_panels}");
}

fn between(value: Length, a: Length, b: Length) -> bool {
    a.min(b) < value && value < a.max(b)
}

#[test]
fn the_core_lies_inside_both_skins() {
    every_panel(&mut |_, _, panel| {
        for piece in panel.core_pieces() {
            for ring in rings(piece) {
                for p in &ring.0 {
                    let on_edge = |face: &PartFace| {
                        rings(face).flat_map(ShopRing::sides).any(|(a, b)| {
                            (a.x == p.x && b.x == p.x && a.y.min(b.y) <= p.y && p.y <= a.y.max(b.y))
                                || (a.y == p.y
                                    && b.y == p.y
                                    && a.x.min(b.x) <= p.x
                                    && p.x <= a.x.max(b.x))
                        })
                    };
                    // A bevelled core is measured in its middle, so it is compared with the longer skin.
                    assert!(
                        [&panel.outer_skin, &panel.inner_skin]
                            .into_iter()
                            .any(|face| on_edge(face) || holds_point(face, *p)),
                        "{} {p:?}",
                        panel.mark
                    );
                }
            }
        }
    });
}

/// How deep a piece is in the mean: an I-joist is hollow beside its web.
fn across(rules: &PlantRules, lumber: &Lumber) -> f64 {
    let deep = (lumber.depth[1] - lumber.depth[0]).to_inches();
    if !lumber.section.starts_with("I-joist") {
        return deep;
    }
    let sizes = &rules.splines;
    let flanges = sizes.i_joist_flange_depth.to_inches() * 2.0;
    flanges + (deep - flanges) * sizes.i_joist_web.to_inches() / sizes.i_joist_flange.to_inches()
}

#[test]
fn areas_add_up() {
    every_panel(&mut |rules, _, panel| {
        let holes: f64 = panel
            .openings
            .iter()
            .map(|o| o.skin_hole.ring().square_inches())
            .sum();
        let whole = (panel.width.to_inches()) * panel.height.to_inches();
        assert!(
            (panel.outer_skin.square_inches() + holes - whole).abs() < 1e-6,
            "{}",
            panel.mark
        );
        let core: f64 = panel.core_pieces().map(PartFace::square_inches).sum();
        assert!(
            core < panel
                .outer_skin
                .square_inches()
                .max(panel.inner_skin.square_inches())
        );
        // Foam and lumber fill the panel but for seats, splines' neighbours and plates: what is solid never exceeds what there is.
        let solid: f64 = panel
            .lumber
            .iter()
            .filter(|l| {
                l.fitted == Fitted::Plant
                    && !l.usage.contains("bridge")
                    && !l.usage.contains("lining")
            })
            .filter_map(|l| {
                l.rect
                    .common(&ShopRect::new(
                        Length::ZERO,
                        Length::ZERO,
                        panel.width,
                        panel.height,
                    ))
                    .map(|r| r.ring().square_inches() * across(rules, l))
            })
            .sum();
        let assembly = &rules.assemblies[panel.assembly];
        // What slots take out of the foam, an I-joist's flanges or strips stand in.
        let slots = panel.edges.iter().flat_map(|edge| {
            let height = (edge.to.y - edge.from.y).abs().to_inches();
            let slots = edge.slots.iter();
            slots.map(move |it| height * it.depth.to_inches() * it.width.to_inches())
        });
        let slots: f64 = slots.sum();
        let room = panel
            .outer_skin
            .square_inches()
            .max(panel.inner_skin.square_inches())
            * assembly.core.to_inches();
        assert!(
            core * assembly.core.to_inches() - slots + solid <= room + 1e-6,
            "{}",
            panel.mark
        );
    });
}

#[test]
fn lumber_lies_in_the_panel_but_for_splines_and_headers_and_never_in_foam_or_other_lumber() {
    every_panel(&mut |_, _, panel| {
        let skin = panel.inner_skin.outline.bounds().unwrap();
        let bounds = ShopRect::new(
            skin.x0.min(Length::ZERO),
            Length::ZERO,
            skin.x1.max(panel.width),
            panel.height,
        );
        let fitted: Vec<_> = panel
            .lumber
            .iter()
            .filter(|l| l.fitted == Fitted::Plant)
            .collect();
        for (place, piece) in fitted.iter().enumerate() {
            let r = piece.rect;
            assert!(r.x0 < r.x1 && r.y0 < r.y1, "{}", piece.mark);
            assert!(bounds.y0 <= r.y0 && r.y1 <= bounds.y1, "{}", piece.mark);
            let may_stick_out = piece.usage.contains("spline") || panel.kind == PanelKind::Header;
            assert!(
                may_stick_out || (bounds.x0 <= r.x0 && r.x1 <= bounds.x1),
                "{} {}",
                piece.mark,
                piece.usage
            );
            for other in &fitted[place + 1..] {
                let shares = r.common(&other.rect).is_some()
                    && piece.depth[0] < other.depth[1]
                    && other.depth[0] < piece.depth[1];
                assert!(
                    !shares,
                    "{} {} and {} {}",
                    piece.mark, piece.usage, other.mark, other.usage
                );
            }
            // Surface strips lie in slots behind the skins, the only lumber that has foam beside it.
            if !piece.usage.starts_with("spline, ") {
                for core in panel.core_pieces() {
                    for ring in rings(core) {
                        assert!(
                            ring.0
                                .iter()
                                .all(|p| !(between(p.x, r.x0, r.x1) && between(p.y, r.y0, r.y1))),
                            "{} {}",
                            piece.mark,
                            piece.usage
                        );
                    }
                    let middle = ShopPoint::new((r.x0 + r.x1).half(), (r.y0 + r.y1).half());
                    assert!(!holds_point(core, middle), "{} {}", piece.mark, piece.usage);
                }
            }
        }
        for piece in &panel.lumber {
            assert!(
                !piece.rule.is_empty() && !piece.section.is_empty() && piece.length > Length::ZERO
            );
        }
    });
}

#[test]
fn chases_lie_in_foam_and_keep_clear_of_what_frames_openings() {
    let mut n_chases = 0;
    let frames = ["buck", "jack", "king stud", "header"];
    every_panel(&mut |rules, _, panel| {
        // A sill panel's foam ends at its own studs and buck, which are drilled like plates.
        let framing: Vec<_> = panel
            .lumber
            .iter()
            .filter(|l| frames.iter().any(|word| l.usage.starts_with(word)))
            .filter(|l| {
                panel.kind == PanelKind::Wall
                    && l.fitted == Fitted::Plant
                    && !l.usage.contains("lining")
            })
            .collect();
        for chase in &panel.chases {
            n_chases += 1;
            let rect = chase_rect(chase);
            let around = rect.grown(rules.chases.clear_of_lumber);
            let near = framing.iter().find(|l| l.rect.common(&around).is_some());
            assert!(
                near.is_none(),
                "{} {:?}",
                panel.mark,
                near.map(|l| &l.usage)
            );
            assert!(
                panel.core_pieces().any(|piece| covers(piece, rect)),
                "{} {rect:?} {:?}",
                panel.mark,
                panel.core
            );
        }
    });
    assert!(n_chases > 500, "{n_chases}");
}

#[test]
fn level_chases_have_the_same_height_above_the_deck_in_every_panel() {
    every_panel(&mut |rules, building, panel| {
        let floor = building.storeys[0].floor.to_inches();
        for chase in panel.chases.iter().filter(|c| c.from.y == c.to.y) {
            let above = panel.placed.origin[2] - floor + chase.from.y.to_inches();
            let known = rules
                .chases
                .horizontal
                .iter()
                .any(|h| (h.to_inches() - above).abs() < 1e-9);
            assert!(known, "{} {above}", panel.mark);
        }
    });
}

#[test]
fn every_panel_faces_out_and_its_openings_lie_where_the_wall_has_them() {
    every_panel(&mut |_, building, panel| {
        let wall = &building.walls[panel.wall];
        let ([ox, oy, _], [xx, xy, _]) = (panel.placed.origin, panel.placed.x);
        // x × y with y = up: (xy, -xx, 0).
        assert!(
            (xy - wall.frame.out().x).abs() < 1e-12 && (-xx - wall.frame.out().y).abs() < 1e-12
        );
        for opening in &panel.openings {
            let rough = &wall.openings[opening.opening];
            let left = opening.rough.x0.to_inches();
            let found = Coord {
                x: ox + xx * left,
                y: oy + xy * left,
            };
            let (along, out) = wall.frame.local(found);
            assert!(
                (along - rough.from.to_inches()).abs() < 1e-6 && out.abs() < 1e-6,
                "{}",
                panel.mark
            );
        }
    });
}

#[test]
fn lumber_of_neighbours_and_plates_never_share_a_place_and_never_lie_in_a_neighbours_foam() {
    //   ░░░░▒▒║▒▒░░░░      a spline, a header's end, a plate: each reaches into a neighbour's recess and no farther
    every_building(&mut |rules, building, layout, made| {
        for (index, wall) in building.walls.iter().enumerate() {
            let panels: Vec<&FabricatedPanel> = made
                .panels
                .iter()
                .filter(|p| p.wall == index && !p.is_held())
                .collect();
            let corner = |panel: &FabricatedPanel| {
                let rect = layout.panels[panel.panel].rect;
                (rect.x0, rect.y0)
            };
            for (place, panel) in panels.iter().enumerate() {
                let (x, y) = corner(panel);
                for piece in panel.lumber.iter().filter(|l| l.fitted == Fitted::Plant) {
                    let here = piece.rect.moved(x, y);
                    for other in &panels[place + 1..] {
                        let (ox, oy) = corner(other);
                        let clash = other.lumber.iter().find(|l| {
                            l.fitted == Fitted::Plant
                                && l.rect.moved(ox, oy).common(&here).is_some()
                                && l.depth[0] < piece.depth[1]
                                && piece.depth[0] < l.depth[1]
                        });
                        assert!(
                            clash.is_none(),
                            "{} {} and {:?}",
                            piece.mark,
                            piece.usage,
                            clash.map(|l| (&l.mark, &l.usage))
                        );
                    }
                    for other in panels.iter().filter(|other| other.mark != panel.mark) {
                        let (ox, oy) = corner(other);
                        let there = here.moved(-ox, -oy);
                        let middle = ShopPoint::new(
                            (there.x0 + there.x1).half(),
                            (there.y0 + there.y1).half(),
                        );
                        let in_foam = |core: &PartFace| {
                            holds_point(core, middle)
                                || core.outline.0.iter().any(|p| {
                                    between(p.x, there.x0, there.x1)
                                        && between(p.y, there.y0, there.y1)
                                })
                        };
                        assert!(
                            piece.usage.starts_with("spline, ")
                                || !other.core_pieces().any(in_foam),
                            "{} {} in {}",
                            piece.mark,
                            piece.usage,
                            other.mark
                        );
                    }
                    for plate in made
                        .plates
                        .iter()
                        .filter(|plate| plate.wall == index && plate.plate != PlateUse::Cap)
                    {
                        let thickness = rules.plates.thickness;
                        let rect = ShopRect::new(
                            plate.from,
                            plate.bottom,
                            plate.to,
                            plate.bottom + thickness,
                        );
                        assert!(
                            rect.common(&here).is_none(),
                            "{} {} and {} of {}",
                            piece.mark,
                            piece.usage,
                            plate.mark,
                            wall.id
                        );
                    }
                }
            }
        }
    });
}

#[test]
fn picks_stand_in_the_skin_at_equal_distance_from_the_centre_of_gravity() {
    let mut n_picked = 0;
    every_panel(&mut |rules, _, panel| {
        if let [a, b] = panel.pick_points[..] {
            n_picked += 1;
            let middle = f64::midpoint(a.x.to_inches(), b.x.to_inches());
            assert!((middle - panel.centre_of_gravity[0]).abs() <= 1.0 / 16.0 + 1e-9);
            assert!(a.y == b.y && a.y.to_inches() > panel.centre_of_gravity[1]);
            // Never so close together that the panel could tip between them.
            assert!(
                b.x - a.x >= rules.lifts.pick_half_spacing.half(),
                "{}",
                panel.mark
            );
            for pick in [a, b] {
                assert!(holds_point(&panel.outer_skin, pick), "{}", panel.mark);
            }
        }
    });
    assert!(n_picked > 100, "{n_picked}");
}
