//! Glass round a corner: both walls are panelled, and a post that nobody has sized stands in the corner.

use crate::house::{House, opening, package, plan_of, raised_for, walls};
use panelwright::findings::{Finding, Severity};
use panelwright::layout::PanelKind;
use panelwright::plan::OpeningKind;
use panelwright::rules::{Job, JobOpening, OpeningMatch, PlantRules};
use panelwright::units::Length;
use panelwright::verify::verify_package;

/// 28 ft x 16 ft: at the lower right corner a window of 60 in runs to the outer face of X1, one of 48 in from the centre line in X2.
///
/// ```text
///                 │ X2
///   X1          O2¦ 3 1/4 to 51 1/4
///   ──────┄┄┄┄┄┄┄┄┘
///     276   O1   336
/// ```
fn house(job: &Job) -> House {
    let outline = [(0.0, 0.0), (336.0, 0.0), (336.0, 192.0), (0.0, 192.0)];
    let walls = walls(&outline);
    let openings = vec![
        opening("O1", &walls[0], OpeningKind::Window, 272.75, 60.0, "5040"),
        opening("O2", &walls[1], OpeningKind::Window, 0.0, 48.0, "4040"),
    ];
    raised_for(
        plan_of(&outline, walls, openings),
        PlantRules::default(),
        job,
    )
}

fn told<'a>(house: &'a House, code: &str) -> Vec<&'a Finding> {
    let all = house.findings.iter();
    all.filter(|it| it.code.name() == code).collect()
}

#[test]
fn both_walls_are_panelled_round_a_post_that_is_not_sized() {
    let house = house(&Job::default());
    assert!(told(&house, "BLDG-12").is_empty() && told(&house, "LAY-01").is_empty());
    let asked = told(&house, "BLDG-54");
    assert_eq!(asked.len(), 2);
    // Each names the other one: glass that meets with no post is a fault with what may be done about it.
    for (finding, other) in asked.iter().zip(["O2 of X2 meets it", "O1 of X1 meets it"]) {
        assert!(finding.message.contains(other), "{finding}");
        assert!(finding.hint.starts_with("one of three: "), "{finding}");
    }
    for finding in asked {
        assert_eq!(finding.severity, Severity::Fault);
        assert!(
            finding.message.ends_with("not sized: engineer"),
            "{finding}"
        );
    }
    // The other wall's 6-1/2 in and the least pier of 3 in stay free for the post.
    let made = |wall: usize| &house.building.walls[wall].openings[0];
    let post = Length::fraction(9, 1, 2);
    assert_eq!(made(0).to, Length::inches(336) - post);
    assert_eq!(made(1).from, post);
    let files = package(&house);
    for (wall, opening) in [(0, "O1"), (1, "O2")] {
        let own = || house.layout.panels.iter().filter(move |it| it.wall == wall);
        for kind in [PanelKind::Header, PanelKind::Sill] {
            assert_eq!(
                own().filter(|it| it.kind == kind).count(),
                1,
                "{opening} {}",
                kind.name()
            );
        }
        // The post is a panel of its own with nothing but lumber between its skins.
        let is_post = |it: &&panelwright::layout::Panel| {
            it.reasons
                .iter()
                .any(|it| it.words.starts_with("the post of the corner"))
        };
        let posts: Vec<_> = own().filter(is_post).collect();
        let [post] = posts.as_slice() else {
            panic!("{} posts in wall {wall}", posts.len());
        };
        let panels = &house.fabrication.panels;
        let post = panels.iter().find(|it| it.mark == post.mark).unwrap();
        assert_eq!(
            post.core_pieces()
                .map(|it| it.outline.0.len())
                .sum::<usize>(),
            0
        );
        assert!(post.is_held() && !post.lumber.is_empty());
        assert!(
            post.notes
                .iter()
                .any(|it| it.contains("not sized: engineer"))
        );
        // What does not touch the corner may be cut.
        let own = panels.iter().filter(|it| it.wall == wall);
        assert!(own.clone().any(|it| it.is_held()) && own.clone().any(|it| !it.is_held()));
        let list = String::from_utf8(files["lists/panels.csv"].clone()).unwrap();
        assert!(own.into_iter().all(|it| list.contains(&it.mark)));
    }
    let failed = verify_package(&files).unwrap().findings;
    assert!(failed.is_empty(), "{failed:?}");
}

#[test]
fn a_job_that_has_a_post_in_the_corner_is_only_asked_about() {
    let entry = |id: &str| JobOpening {
        which: OpeningMatch::Id(id.to_owned()),
        width: None,
        height: None,
        rough_width: None,
        rough_height: None,
        drawn: None,
        sill: None,
        head: None,
        header: None,
        corner_post: true,
        in_line: None,
        line: 1,
    };
    let job = Job {
        openings: vec![entry("O1"), entry("O2")],
        ..Job::default()
    };
    let house = house(&job);
    let asked = told(&house, "BLDG-54");
    assert!(asked.len() == 2 && asked.iter().all(|it| it.severity == Severity::Doubt));
    let held = house.fabrication.panels.iter().filter(|it| it.is_held());
    assert_eq!(
        held.map(|it| it.mark.as_str()).collect::<Vec<_>>(),
        Vec::<&str>::new()
    );
    // An opening that is moved along its wall is seen, post or not.
    let mut files = package(&house);
    let mut value: serde_json::Value = serde_json::from_slice(&files["panels.json"]).unwrap();
    let run = value["walls"][0]["run"].as_array_mut().unwrap();
    let piece = run.iter_mut().find(|it| it["opening"] == "O1").unwrap();
    for end in 0..2 {
        let at = piece["drawn"][end].as_f64().unwrap();
        piece["drawn"][end] = (at - 0.5).into();
    }
    files.insert("panels.json".to_owned(), value.to_string().into_bytes());
    let proofs = verify_package(&files).unwrap().output.proofs;
    let jambs = proofs
        .iter()
        .find(|it| it.code.name() == "PROOF-03")
        .unwrap();
    assert!(jambs.n_failed > 0);
}

#[test]
fn the_post_between_thick_walls_is_solid_lumber_though_a_panel_may_be_as_narrow() {
    let house = house(&Job {
        assembly: Some("10-1/4".to_owned()),
        ..Job::default()
    });
    let least = house.rules.joints.least_panel;
    let piers = house.layout.panels.iter().filter(|it| it.is_pier);
    let mut piers: Vec<_> = piers
        .map(|it| (it.wall, it.rect.width(), it.mark.as_str()))
        .collect();
    piers.sort_unstable();
    // The wall that runs through is covered by the other's 10-1/4 in; the other one's strip is the least pier.
    let [(0, wide, wide_mark), (1, narrow, narrow_mark)] = piers.as_slice() else {
        panic!("{piers:?}");
    };
    assert_eq!(
        (*wide, *narrow),
        (Length::fraction(13, 1, 4), Length::inches(3))
    );
    assert!(*wide > least);
    for mark in [wide_mark, narrow_mark] {
        let panels = &house.fabrication.panels;
        let post = panels.iter().find(|it| it.mark == **mark).unwrap();
        let foam: usize = post.core_pieces().map(|it| it.outline.0.len()).sum();
        assert_eq!(foam, 0, "{mark}");
        assert!(post.lumber.len() > 1);
        let said = "solid lumber between its skins, not sized: engineer";
        assert!(post.notes.iter().any(|it| it.ends_with(said)));
    }
    // Both strips are told, and every proof holds.
    assert_eq!(told(&house, "LAY-13").len(), 2);
    let failed = verify_package(&package(&house)).unwrap().findings;
    assert!(failed.is_empty(), "{failed:?}");
}
