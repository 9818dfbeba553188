//! What stands in the core, what is cut for it, and what does not fit.

use super::super::testing::{Scene, corner, inches, rect, reference};
use super::super::{Chase, FabricatedPanel};
use super::*;
use crate::findings::Severity;
use crate::layout::{PanelEdge, WallEnd};
use crate::rules::{Face, Nailer, Pocket};

/// A plain panel of 8 ft between a corner and a free end.
fn plain() -> Scene {
    Scene::new("96").panel(["0", "96"], corner(WallEnd::Through), PanelEdge::Free, &[])
}

fn bearing(at: &str, post: &str, pocket: Option<[&str; 2]>) -> PointLoad {
    let (plies, section) = post.split_once('-').unwrap();
    PointLoad {
        at: inches(at),
        width: inches("4"),
        what: "girder".to_owned(),
        post: Some(Post {
            plies: plies.parse().unwrap(),
            section: section.to_owned(),
        }),
        pocket: pocket.map(|[bottom, height]| Pocket {
            bottom: inches(bottom),
            height: inches(height),
        }),
        hold_down: None,
    }
}

fn nailer([from, to]: [&str; 2], height: &str, face: Face) -> Nailer {
    Nailer {
        from: inches(from),
        to: inches(to),
        height: inches(height),
        section: "2x6".to_owned(),
        what: "cabinets".to_owned(),
        face,
        is_drawn: false,
        rule: "layout.nailers",
        sources: Vec::new(),
    }
}

fn made(mut scene: Scene, point: PointLoad) -> FabricatedPanel {
    scene.layout.walls[0].points.push(point);
    scene.made(0)
}

fn posts(panel: &FabricatedPanel) -> Vec<ShopRect> {
    let posts = panel.lumber.iter().filter(|piece| piece.usage == "post");
    posts.map(|piece| piece.rect).collect()
}

#[test]
fn a_post_stands_from_sole_to_top_plate_and_parts_the_core() {
    let panel = made(plain(), bearing("48", "2-2x6", None));
    assert_eq!(
        posts(&panel),
        [
            rect("46 1/2, 1 1/2, 48, 106 1/2"),
            rect("48, 1 1/2, 49 1/2, 106 1/2")
        ]
    );
    assert_eq!(panel.core_pieces().count(), 2);
    assert_eq!(panel.inner_skin, panel.outer_skin);
    // The level chases stop a chase's clearance from it.
    let level = panel.chases.iter().filter(|c| c.from.y == inches("16"));
    assert!(level.clone().count() == 2, "{:?}", panel.chases);
    let clear = |c: &Chase| c.to.x <= inches("45 1/2") || c.from.x >= inches("50 1/2");
    assert!(level.into_iter().all(clear), "{:?}", panel.chases);
}

#[test]
fn an_upright_chase_moves_beside_a_post_and_says_so() {
    // Without a post one stands in the middle, at 48. The post takes 46 1/2 to 49 1/2: beside it by 1 in clear and half of 1 1/2.
    let mut scene = plain();
    let uprights = |panel: &FabricatedPanel| -> Vec<Length> {
        let chases = panel.chases.iter().filter(|c| c.from.x == c.to.x);
        chases.map(|c| c.from.x).collect()
    };
    assert!(uprights(&scene.made(0)).contains(&inches("48")));
    scene.layout.walls[0]
        .points
        .push(bearing("48", "2-2x6", None));
    let made = scene.make();
    let moved = uprights(&made.output.panels[0]);
    assert!(moved.contains(&inches("44 3/4")), "{moved:?}");
    let panel = &made.output.panels[0];
    let full = panel.chases.iter().filter(|c| c.from.x == inches("44 3/4"));
    assert_eq!(
        full.map(|c| c.to.y - c.from.y).sum::<Length>(),
        inches("105")
    );
    let said = made
        .findings
        .iter()
        .filter(|f| f.code == codes::CHASE_CUT_SHORT);
    assert!(said.into_iter().any(|f| f.message.contains("44 3/4")));
}

#[test]
fn a_pocket_opens_the_inner_skin_over_its_post() {
    let panel = made(plain(), bearing("48", "2-2x6", Some(["84", "9 1/2"])));
    assert_eq!(panel.outer_skin.holes.len(), 0);
    let hole = panel.inner_skin.holes[0].bounds().unwrap();
    // 4 in of beam with 1/8 in of play at each side.
    assert_eq!(hole, rect("45 7/8, 84, 50 1/8, 93 1/2"));
    assert!(posts(&panel).iter().all(|post| post.y1 == inches("84")));
    assert!(
        panel
            .notes
            .iter()
            .any(|note| note.starts_with("pocket of girder"))
    );
}

/// 5 in of beam on studs of 1-1/2 in: four of them, 45 to 51, up to the pocket's bottom at 84 in; each 82 1/2 in of 1-1/2 x 5-1/2 at
/// 28 pcf weighs 11.03 lb. Common practice, no source.
#[test]
fn a_load_without_a_named_post_stands_on_a_stack_as_wide_as_it() {
    let mut scene = plain();
    let mut point = bearing("48", "2-2x6", Some(["84", "9 1/2"]));
    point.post = None;
    point.width = inches("5");
    scene.layout.walls[0].points.push(point);
    let outcome = scene.make();
    let panel = &outcome.output.panels[0];
    let stack: Vec<_> = panel
        .lumber
        .iter()
        .filter(|it| it.usage == "blocking")
        .collect();
    let rects: Vec<ShopRect> = stack.iter().map(|it| it.rect).collect();
    assert_eq!(
        rects,
        [
            rect("45, 1 1/2, 46 1/2, 84"),
            rect("46 1/2, 1 1/2, 48, 84"),
            rect("48, 1 1/2, 49 1/2, 84"),
            rect("49 1/2, 1 1/2, 51, 84"),
        ]
    );
    assert!(
        stack
            .iter()
            .all(|it| it.rule == "points.unnamed" && (it.weight_lb - 11.03).abs() < 0.01)
    );
    assert_eq!(panel.core_pieces().count(), 1, "foam stays over the pocket");
    let told = outcome
        .findings
        .iter()
        .find(|it| it.code == codes::BLOCKING_NOT_SIZED)
        .unwrap();
    assert!(told.severity == Severity::Doubt && told.message.contains("not sized: engineer"));
    scene.rules.points.unnamed = UnnamedPost::Nothing;
    assert!(scene.made(0).lumber.iter().all(|it| it.usage != "blocking"));
}

#[test]
fn what_does_not_fit_is_a_fault_that_names_it_and_nothing_is_cut() {
    for (point, words) in [
        (bearing("48", "2-2x8", None), "deep and the core"),
        (bearing("1", "2-2x6", None), "lumber at the panel's end"),
        (
            bearing("48", "2-2x6", Some(["100", "9 1/2"])),
            "cuts the top plate",
        ),
    ] {
        let mut scene = plain();
        scene.layout.walls[0].points.push(point);
        let outcome = scene.make();
        let fault = outcome
            .findings
            .iter()
            .find(|found| found.code == codes::INSERT_DOES_NOT_FIT)
            .unwrap();
        assert_eq!(fault.severity, Severity::Fault);
        assert!(fault.message.contains(words), "{}", fault.message);
        assert!(outcome.output.panels[0].is_held());
        assert!(outcome.output.panels[0].inner_skin.holes.is_empty());
    }
}

fn wiring_box(at: &str, height: &str) -> WiringBox {
    WiringBox {
        depth: None,
        at: inches(at),
        height: inches(height),
        size: [inches("4"), inches("4")],
        what: "switch".to_owned(),
    }
}

#[test]
fn two_things_in_one_place_are_a_fault_and_the_later_one_is_not_made() {
    let pocket = || bearing("48", "2-2x6", Some(["70", "9 1/2"]));
    // A post from 46 1/2 to 49 1/2, its pocket from 45 7/8 to 50 1/8 and 70 to 79 1/2, a cabinet's nailer from 53 1/4 to 58 3/4 up.
    for (points, boxes, nailers, words, n_cuts) in [
        (
            vec![pocket()],
            vec![wiring_box("48", "16")],
            vec![],
            "a post stands",
            1,
        ),
        (
            vec![pocket()],
            vec![wiring_box("52", "72")],
            vec![],
            "the cut for girder",
            1,
        ),
        (
            vec![pocket(), bearing("50", "2-2x6", None)],
            vec![],
            vec![],
            "a post stands",
            1,
        ),
        (
            vec![],
            vec![wiring_box("30", "16"), wiring_box("34", "16")],
            vec![],
            "the cut for switch",
            1,
        ),
        (
            vec![],
            vec![wiring_box("30", "56")],
            vec![nailer(["20", "60"], "56", Face::Inner)],
            "the cut for switch",
            1,
        ),
    ] {
        let mut scene = plain();
        let wall = &mut scene.layout.walls[0];
        (wall.points, wall.boxes, wall.nailers) = (points, boxes, nailers);
        let outcome = scene.make();
        let panel = &outcome.output.panels[0];
        let mut found = outcome.findings.iter();
        let fault = found.find(|it| it.code == codes::INSERT_DOES_NOT_FIT);
        let fault = fault.unwrap_or_else(|| panic!("{words}"));
        assert!(fault.message.contains(words), "{}", fault.message);
        assert!(panel.is_held());
        assert_eq!(panel.inner_cuts.len(), n_cuts, "{words}");
        assert_eq!(panel.inner_skin.holes.len(), n_cuts, "{words}");
    }
    // Behind the outer skin a nailer passes a box of 2 in.
    let mut scene = plain();
    let wall = &mut scene.layout.walls[0];
    wall.boxes.push(wiring_box("30", "16"));
    wall.nailers.push(nailer(["20", "60"], "16", Face::Outer));
    assert!(!scene.make().output.panels[0].is_held());
}

#[test]
fn where_a_post_parts_a_nailer_it_is_told() {
    let mut scene = plain();
    let wall = &mut scene.layout.walls[0];
    wall.points.push(bearing("48", "2-2x6", None));
    wall.nailers.push(nailer(["20", "60"], "56", Face::Inner));
    let outcome = scene.make();
    let left_out = |it: &&Finding| it.code == codes::NAILER_LEFT_OUT;
    assert_eq!(outcome.findings.iter().filter(left_out).count(), 1);
    let panel = &outcome.output.panels[0];
    let boards = panel.lumber.iter().filter(|it| it.usage == "nailer");
    assert_eq!(boards.count(), 2);
    assert!(!panel.is_held());
}

#[test]
fn a_box_is_cut_into_the_inner_skin_and_asks_for_its_wire() {
    let mut scene = plain();
    let place = |height: &str| WiringBox {
        depth: None,
        at: inches("30"),
        height: inches(height),
        size: [inches("2 1/4"), inches("3 3/4")],
        what: "receptacle".to_owned(),
    };
    scene.layout.walls[0].boxes = vec![place("16"), place("70")];
    let outcome = scene.make();
    let panel = &outcome.output.panels[0];
    assert_eq!(panel.inner_skin.holes.len(), 2);
    let unfed = outcome
        .findings
        .iter()
        .filter(|found| found.code == codes::BOX_WITHOUT_WIRE);
    assert_eq!(unfed.count(), 1, "the one at 16 lies on the level chase");
}

#[test]
fn a_nailer_lies_behind_the_inner_skin_and_is_parted_by_an_opening() {
    // Window of the reference panel with its bucks: 28 1/4 to 67 3/4, 32 to 83 1/2.
    let mut scene = reference();
    let it = nailer(["10", "90"], "60", Face::Inner);
    scene.layout.walls[0].nailers.push(it);
    let panel = scene.made(0);
    let nailers: Vec<&crate::fabrication::Lumber> = panel
        .lumber
        .iter()
        .filter(|piece| piece.usage == "nailer")
        .collect();
    let rects: Vec<ShopRect> = nailers.iter().map(|piece| piece.rect).collect();
    assert_eq!(
        rects,
        [
            rect("10, 57 1/4, 28 1/4, 62 3/4"),
            rect("67 3/4, 57 1/4, 90, 62 3/4")
        ]
    );
    // Core 5-5/8 behind a skin of 7/16: from 4-9/16 to 6-1/16 below the outer face.
    assert_eq!(nailers[0].depth, [inches("4 9/16"), inches("6 1/16")]);
}

#[test]
fn a_decks_nailer_lies_behind_the_outer_skin_and_nobody_sized_what_hangs_on_it() {
    let mut scene = plain();
    let mut deck = nailer(["10", "90"], "12", Face::Outer);
    deck.what = "deck".to_owned();
    scene.layout.walls[0].nailers = vec![deck, nailer(["20", "60"], "12", Face::Inner)];
    let outcome = scene.make();
    let panel = &outcome.output.panels[0];
    let found: Vec<_> = panel
        .lumber
        .iter()
        .filter(|it| is_nailer(&it.usage))
        .map(|it| (it.usage.as_str(), it.rect, it.depth))
        .collect();
    // Skin 7/16, lumber 1 1/2: from 7/16 to 1 15/16 below the outer face. The one behind the inner skin passes it.
    let [outer, inner] = [["7/16", "1 15/16"], ["4 9/16", "6 1/16"]].map(|it| it.map(inches));
    let want = [
        ("outer nailer", rect("10, 9 1/4, 90, 14 3/4"), outer),
        ("nailer", rect("20, 9 1/4, 60, 14 3/4"), inner),
    ];
    assert_eq!(found, want);
    assert!(panel.holds.is_empty(), "{:?}", panel.holds);
    assert!(panel.outer_skin.holes.is_empty(), "no skin is cut for it");
    let note = panel.notes.iter().find(|it| it.contains("outer skin"));
    assert!(note.unwrap().contains("not sized: engineer"));
    let told = outcome.findings.iter();
    let told = told.filter(|it| it.code == codes::OUTER_NAILER).count();
    assert_eq!(told, 1, "{:?}", outcome.findings);
    // 80 in and 40 in of 1-1/2 x 5-1/2 at 28 pcf instead of foam at 1 pcf: 120 x 8.25 / 1728 x 27 = 15.5 lb. Derived.
    let bare = plain().made(0);
    assert!((panel.weight_lb - bare.weight_lb - 15.47).abs() < 0.1);
}

#[test]
fn what_the_plan_shows_never_holds_a_panel_and_what_the_job_says_does() {
    for (is_drawn, code) in [
        (true, codes::NAILER_LEFT_OUT),
        (false, codes::INSERT_DOES_NOT_FIT),
    ] {
        let mut scene = plain();
        let high = Nailer {
            is_drawn,
            ..nailer(["10", "90"], "107", Face::Inner)
        };
        scene.layout.walls[0].nailers.push(high);
        let outcome = scene.make();
        assert!(outcome.findings.iter().any(|it| it.code == code));
        assert_eq!(outcome.output.panels[0].is_held(), !is_drawn);
    }
}
