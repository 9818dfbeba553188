//! Rules of the plant, each set beside its other choice through layout, parts and stock.

use crate::kit::{sample_under, sheet_words};
use panelwright::fabrication::FabricatedPanel;
use panelwright::layout::{PanelEdge, PanelKind, RunPiece, WallEnd};
use panelwright::package::Made;
use panelwright::units::Length;

/// A sample under other rules, proved.
fn made(case: &str, rules: &str) -> Made {
    let made = sample_under(case, "plan.dxf", rules);
    let broken = made.proofs.proofs.iter().find(|proof| proof.n_failed > 0);
    assert!(broken.is_none(), "{:?}", broken.map(|it| it.statement));
    made
}

const UNEQUAL: &str = "[[assemblies]]\nname = '6-1/2'\ncore = '5-5/8'\nouter_skin = '5/8'\ninner_skin = '7/16'\nlumber = '2x6'\n\
    core_material = 'EPS'\ncore_density = 1.0\nskin_material = 'OSB'\nskin_density = 40.0\n";

#[test]
fn skins_of_unequal_thickness_shift_the_core_and_shorten_what_butts() {
    // By hand: 5/8 + 5 5/8 + 7/16 = 6 11/16; a wall that butts is that much shorter than its face at each such end (trade rule).
    let made = made("bunkhouse", UNEQUAL);
    let thickness = Length::fraction(6, 11, 16);
    let mut n_butts = 0;
    for run in &made.layout.walls {
        let wall = &made.building.walls[run.wall];
        let butts = [run.left_end, run.right_end];
        let butts = butts
            .iter()
            .filter(|end| matches!(end, WallEnd::Butt))
            .count();
        n_butts += butts;
        let short = wall.face_length - run.length();
        assert_eq!(
            short,
            thickness * i64::try_from(butts).unwrap(),
            "{}",
            wall.id
        );
    }
    assert_eq!(n_butts, 4);
    for panel in &made.fabrication.panels {
        // Plates, studs and bucks of 5 1/2 lie in the middle of the foam: 5/8 + 1/16 from the outer face.
        let studs = panel.lumber.iter().filter(|it| it.section == "2x6");
        let studs = studs.filter(|it| it.usage == "end stud" || it.usage.starts_with("buck"));
        for stud in studs {
            let near = Length::fraction(0, 11, 16);
            assert_eq!(
                stud.depth,
                [near, near + Length::fraction(5, 1, 2)],
                "{}",
                stud.usage
            );
        }
        for block in panel
            .lumber
            .iter()
            .filter(|it| it.section.starts_with("block"))
        {
            assert_eq!(block.depth[0], Length::fraction(0, 5, 8));
            assert_eq!(block.depth[1], Length::fraction(6, 1, 4));
        }
    }
    let outlines = made
        .documents
        .files
        .iter()
        .filter(|it| it.0.starts_with("outlines/"));
    for (name, bytes) in outlines.filter(|it| it.0.ends_with(".dxf")) {
        let words = String::from_utf8_lossy(bytes);
        assert!(words.contains("thickness=6.6875"), "{name}");
        assert!(
            words.contains("outer face OSB 5/8") && words.contains("inner face OSB"),
            "{name}"
        );
    }
}

#[test]
fn both_buck_conventions_cut_the_hole_that_they_say_from_the_same_rough_opening() {
    let recess = made("bunkhouse", "[openings]\nbuck = 'in recess'\n");
    let lining = made("bunkhouse", "[openings]\nbuck = 'lining'\n");
    let buck = Length::fraction(1, 1, 2);
    let mut n_holes = 0;
    for (made, wider) in [(&recess, Length::ZERO), (&lining, buck)] {
        for panel in &made.fabrication.panels {
            for opening in &panel.openings {
                // Two conventions of the trade: skin hole = rough opening, or rough opening and a buck on each side.
                assert_eq!(
                    opening.skin_hole.x0,
                    opening.rough.x0 - wider,
                    "{}",
                    opening.id
                );
                assert_eq!(
                    opening.skin_hole.x1,
                    opening.rough.x1 + wider,
                    "{}",
                    opening.id
                );
                assert_eq!(
                    opening.skin_hole.y1,
                    opening.rough.y1 + wider,
                    "{}",
                    opening.id
                );
                n_holes += 1;
            }
        }
        // No joint nearer than 6 in to a rough edge, whatever the hole.
        for panel in &made.layout.panels {
            let wall = &made.building.walls[panel.wall];
            let from = made.layout.walls[panel.wall].from;
            for opening in panel.openings.iter().map(|index| &wall.openings[*index]) {
                let [left, right] = [
                    opening.from - from - panel.rect.x0,
                    panel.rect.x1 + from - opening.to,
                ];
                for (edge, leg) in [(panel.left, left), (panel.right, right)] {
                    let is_joint = matches!(edge, PanelEdge::Spline { .. });
                    assert!(
                        !is_joint || leg >= Length::inches(6),
                        "{} {leg}",
                        opening.id
                    );
                }
            }
        }
    }
    assert_eq!(n_holes, 22);
    let lined = |made: &Made| {
        made.fabrication
            .panels
            .iter()
            .flat_map(|it| &it.lumber)
            .filter(|it| it.usage.contains("lining"))
            .count()
    };
    assert_eq!(lined(&recess), 0);
    assert!(lined(&lining) >= 33);
    let roughs = |made: &Made| -> Vec<(String, Length, Length)> {
        let openings = made.building.walls.iter().flat_map(|wall| &wall.openings);
        openings.map(|it| (it.id.clone(), it.from, it.to)).collect()
    };
    assert_eq!(roughs(&recess), roughs(&lining));
}

#[test]
fn panels_stop_at_a_garage_door_without_being_told() {
    let made = made("workshop", "");
    let mut n_doors = 0;
    for run in &made.layout.walls {
        let wall = &made.building.walls[run.wall];
        let garage = wall.openings.iter().enumerate();
        for (index, door) in garage.filter(|(_, it)| it.kind.name() == "garage_door") {
            n_doors += 1;
            let framed = run
                .run
                .iter()
                .any(|it| matches!(it, RunPiece::Opening { opening, .. } if *opening == index));
            assert!(framed, "{}", door.id);
            let [from, to] = [door.from - run.from, door.to - run.from];
            for panel in made.layout.panels.iter().filter(|it| it.wall == run.wall) {
                let is_beside = panel.rect.x1 <= from || panel.rect.x0 >= to;
                let is_over = panel.kind == PanelKind::Header && panel.rect.y0 >= door.head;
                assert!(is_beside || is_over, "{} {}", door.id, panel.mark);
            }
            let soles = run
                .plates
                .iter()
                .filter(|it| it.plate.name().contains("sole"));
            for sole in soles {
                assert!(sole.to <= from || sole.from >= to, "{}", door.id);
            }
        }
    }
    assert_eq!(n_doors, 2);
}

#[test]
fn the_strength_axis_runs_along_the_span_of_headers_and_up_in_walls() {
    // ANSI/APA PRS 610.1 (ballot of June 2009): facings with their axis vertical; of lintels along the span.
    let line = |axis: &str, wall: &str| {
        format!(
            "[[lines]]\nname = '14 ft'\nwidth = \"14'\"\nlength = \"24'\"\ntrim = 0\nstrength_axis = '{axis}'\nwall_axis = '{wall}'\n\
             report = 'of a test'\nmade_to_length = true\npanel_cents = 5000\nblank_sq_ft_cents = 420\n\
             [[stock.boards]]\nmaterial = 'OSB'\nthickness = '7/16'\nlength = \"24'\"\nwidth = \"24'\"\n"
        )
    };
    for (axis, wall) in [
        ("long", "vertical"),
        ("short", "vertical"),
        ("long", "either"),
    ] {
        let made = made("workshop", &line(axis, wall));
        // Along the blank's length with a long axis, across it with a short one.
        let along = |panel: &FabricatedPanel| {
            let blank = made.stock.blank_of(&panel.mark).unwrap();
            let placed = blank
                .panels
                .iter()
                .find(|it| it.mark == panel.mark)
                .unwrap();
            if axis == "long" {
                placed.rect.width()
            } else {
                placed.rect.height()
            }
        };
        let mut n_level = 0;
        for panel in made.fabrication.panels.iter().filter(|it| !it.is_held()) {
            let is_level = made.layout.panels[panel.panel].is_axis_level;
            n_level += usize::from(is_level && panel.kind == PanelKind::Wall);
            match panel.kind {
                PanelKind::Header => assert_eq!(along(panel), panel.width, "{}", panel.mark),
                PanelKind::Wall if is_level => {
                    assert_eq!(along(panel), panel.width, "{}", panel.mark);
                }
                PanelKind::Wall => assert_eq!(along(panel), panel.height, "{}", panel.mark),
                PanelKind::Sill => {}
            }
            if panel.kind == PanelKind::Wall {
                let way = if is_level { "horizontal" } else { "vertical" };
                let said = format!("strength axis {way}, under of a test");
                assert_eq!(
                    panel.notes.contains(&said),
                    wall == "either",
                    "{:?}",
                    panel.notes
                );
            }
        }
        assert_eq!(n_level > 0, wall == "either", "{axis} {wall}: {n_level}");
        let sheets = made.documents.files.keys();
        for path in sheets.filter(|it| it.starts_with("sheets/")) {
            let is_printed = sheet_words(&made, path).contains("14 ft line: of a test");
            assert_eq!(is_printed, wall == "either", "{path}");
        }
        let headers = made
            .fabrication
            .panels
            .iter()
            .filter(|it| it.kind == PanelKind::Header);
        assert!(headers.count() > 0);
    }
}
