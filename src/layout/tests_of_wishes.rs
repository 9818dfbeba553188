//! What the drafter states about walls: kept exactly, or refused with the rule it breaks.

use super::testing::{add_window, rectangle};
use super::*;
use crate::building::Building;
use crate::rules::PointLoad;
use crate::units::Length;

fn laid(house: &Building, walls: &[(&str, WallWishes)]) -> Outcome<Layout> {
    let walls = walls.iter();
    let options = LayoutOptions {
        walls: walls
            .map(|(id, it)| ((*id).to_owned(), it.clone()))
            .collect(),
        ..LayoutOptions::default()
    };
    lay_out(house, &PlantRules::default(), &options)
}

fn inches(values: [i64; 2]) -> [Length; 2] {
    values.map(Length::inches)
}

/// Panels of the first wall, along its outside face.
fn panels(layout: &Layout) -> Vec<[Length; 2]> {
    let wall = &layout.walls[0];
    let run = wall.run.iter();
    run.filter_map(|piece| match piece {
        RunPiece::Panel { from, to, .. } => Some([*from + wall.from, *to + wall.from]),
        _ => None,
    })
    .collect()
}

fn codes_of(outcome: &Outcome<Layout>) -> Vec<crate::findings::Code> {
    outcome
        .findings
        .iter()
        .map(|finding| finding.code)
        .collect()
}

#[test]
fn a_locked_panel_stands_where_it_is_locked_and_costs_no_less() {
    let house = rectangle(288, 192, &PlantRules::default());
    let free = laid(&house, &[]);
    let wish = WallWishes {
        locked: vec![inches([100, 160])],
        ..WallWishes::default()
    };
    let kept = laid(&house, &[("X1", wish)]);
    assert_eq!(kept.findings, []);
    assert!(panels(&kept.output).contains(&inches([100, 160])));
    let cost = |outcome: &Outcome<Layout>| -> i64 {
        outcome
            .output
            .walls
            .iter()
            .map(|wall| wall.cost_cents)
            .sum()
    };
    assert!(cost(&kept) >= cost(&free));
}

#[test]
fn a_locked_panel_that_breaks_a_rule_is_refused_with_it() {
    let mut house = rectangle(288, 192, &PlantRules::default());
    add_window(&mut house.walls[0], 130, 178);
    let check = |locked: [i64; 2], rule: &str| {
        let wish = WallWishes {
            locked: vec![inches(locked)],
            ..WallWishes::default()
        };
        let refused = laid(&house, &[("X1", wish)]);
        let words: Vec<&str> = refused
            .findings
            .iter()
            .map(|f| f.message.as_str())
            .collect();
        assert_eq!(codes_of(&refused), [codes::WISH_REFUSED], "{words:?}");
        assert!(words[0].contains(rule), "{words:?}");
        assert!(!panels(&refused.output).is_empty());
    };
    check([100, 182], "joints.from_opening");
    check([20, 28], "joints.least_panel");
    check([20, 128], "lines");
    check([200, 300], "beyond the run");
}

#[test]
fn wishes_that_no_layout_keeps_together_are_refused_and_the_wall_is_panelled_without_them() {
    let house = rectangle(288, 192, &PlantRules::default());
    let wish = WallWishes {
        keep_clear: vec![inches([60, 200])],
        ..WallWishes::default()
    };
    let refused = laid(&house, &[("X1", wish)]);
    assert_eq!(codes_of(&refused), [codes::WISH_REFUSED]);
    assert!(refused.findings[0].message.contains("refused together"));
    assert_eq!(panels(&refused.output).len(), 3);
}

#[test]
fn no_joint_lies_under_a_point_load_and_one_over_an_opening_is_a_fault() {
    let mut house = rectangle(288, 192, &PlantRules::default());
    // Without the load joints stand at 96 and 192.
    let point = |at: i64| PointLoad {
        at: Length::inches(at),
        width: Length::fraction(3, 1, 2),
        what: "girder".to_owned(),
        ..PointLoad::default()
    };
    let wish = |at: i64| WallWishes {
        points: vec![point(at)],
        ..WallWishes::default()
    };
    let outcome = laid(&house, &[("X1", wish(96))]);
    assert_eq!(outcome.findings, []);
    let keep = Length::fraction(4, 3, 4);
    let at = Length::inches(96);
    let found = panels(&outcome.output);
    assert!(
        found
            .iter()
            .any(|[from, to]| *from <= at - keep && *to >= at + keep),
        "{found:?}"
    );
    assert_eq!(outcome.output.walls[0].points, [point(96)]);
    let told = outcome
        .output
        .panels
        .iter()
        .flat_map(|panel| &panel.reasons);
    let told: Vec<&str> = told
        .filter(|reason| reason.about == "point load")
        .map(|reason| reason.words.as_str())
        .collect();
    assert_eq!(told.len(), 1);
    assert!(told[0].contains("not sized: engineer"), "{told:?}");
    add_window(&mut house.walls[0], 120, 160);
    let outcome = laid(&house, &[("X1", wish(140))]);
    assert_eq!(codes_of(&outcome), [codes::POINT_LOAD]);
}

#[test]
fn a_foundation_measured_otherwise_than_drawn_is_asked_about() {
    let house = rectangle(288, 192, &PlantRules::default());
    let wish = |measured: Length| WallWishes {
        measured: Some(measured),
        ..WallWishes::default()
    };
    let close = laid(&house, &[("X1", wish(Length::fraction(288, 1, 4)))]);
    assert_eq!(close.findings, []);
    let off = laid(&house, &[("X1", wish(Length::fraction(287, 5, 8)))]);
    assert_eq!(codes_of(&off), [codes::MEASURED_OTHERWISE]);
}

#[test]
fn the_panel_that_closes_a_tight_ring_gets_a_loose_spline() {
    // Every wall butts at its right: whichever wall is last ends against one that stands.
    let house = rectangle(288, 192, &PlantRules::default());
    let wish = WallWishes {
        right: Some(CornerWish::Butts),
        ..WallWishes::default()
    };
    let ids = ["X1", "X2", "X3", "X4"];
    let wishes: Vec<(&str, WallWishes)> = ids.iter().map(|id| (*id, wish.clone())).collect();
    let outcome = laid(&house, &wishes);
    assert_eq!(codes_of(&outcome), [codes::NO_TRAVEL]);
    let layout = outcome.output;
    let last = layout.panels.last().unwrap();
    let PanelEdge::Spline { with, carries } = last.left else {
        panic!("{last:?}");
    };
    assert!(!carries);
    let own = layout.panels.len() - 1;
    assert_eq!(
        layout.panels[with].right,
        PanelEdge::Spline {
            with: own,
            carries: false
        }
    );
    let loose = layout.panels.iter().filter(|panel| {
        let mut told = panel.reasons.iter();
        told.any(|reason| reason.words.contains("loose"))
    });
    assert_eq!(loose.count(), 2);
}
