//! What the drafter states about walls: kept exactly, or refused with the rule it breaks.

use super::testing::{Numbers, add_window, rectangle};
use super::*;
use crate::building::Building;
use crate::findings::Severity;
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
fn a_wall_that_no_layout_fits_anyhow_refuses_no_wish() {
    let mut house = rectangle(288, 192, &PlantRules::default());
    // Two openings wider than a panel holds, and less than the least pier between them.
    add_window(&mut house.walls[0], 40, 140);
    add_window(&mut house.walls[0], 142, 240);
    let wish = WallWishes {
        keep_clear: vec![inches([4, 8])],
        ..WallWishes::default()
    };
    let bare = codes_of(&laid(&house, &[]));
    assert!(!bare.is_empty());
    assert_eq!(codes_of(&laid(&house, &[("X1", wish)])), bare);
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
fn a_foundation_measured_otherwise_than_drawn_blocks_until_somebody_accepts_it() {
    let house = rectangle(288, 192, &PlantRules::default());
    let wish = |measured: Length| WallWishes {
        measured: Some(measured),
        ..WallWishes::default()
    };
    let close = laid(&house, &[("X1", wish(Length::fraction(288, 1, 4)))]);
    assert_eq!(close.findings, []);
    let off = laid(&house, &[("X1", wish(Length::fraction(287, 5, 8)))]);
    assert_eq!(codes_of(&off), [codes::MEASURED_OTHERWISE]);
    assert_eq!(off.findings[0].severity, Severity::Fault);
    assert_eq!(off.findings[0].place.element.as_deref(), Some("X1"));
    let mut accepted = wish(Length::fraction(287, 5, 8));
    accepted.measured_accepted = Some("foreman: sill shimmed".to_owned());
    let told = laid(&house, &[("X1", accepted)]);
    assert_eq!(told.findings[0].severity, Severity::Note);
    assert!(
        told.findings[0]
            .message
            .ends_with("accepted: foreman: sill shimmed")
    );
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
    let PanelEdge::Spline {
        with,
        fit: SplineFit::Loose,
    } = last.left
    else {
        panic!("{last:?}");
    };
    let own = layout.panels.len() - 1;
    assert_eq!(
        layout.panels[with].right,
        PanelEdge::Spline {
            with: own,
            fit: SplineFit::Loose
        }
    );
    let loose = layout.panels.iter().filter(|panel| {
        let mut told = panel.reasons.iter();
        told.any(|reason| reason.words.contains("loose"))
    });
    assert_eq!(loose.count(), 2);
}

#[test]
fn two_wishes_that_exclude_each_other_name_the_rule_between_them() {
    let house = rectangle(288, 192, &PlantRules::default());
    let check = |joints: &[i64], locked: &[[i64; 2]], rule: &str| {
        let wish = WallWishes {
            joints: joints.iter().map(|x| Length::inches(*x)).collect(),
            locked: locked.iter().map(|it| inches(*it)).collect(),
            ..WallWishes::default()
        };
        let refused = laid(&house, &[("X1", wish)]);
        assert_eq!(
            codes_of(&refused),
            [codes::WISH_REFUSED],
            "{joints:?} {locked:?}"
        );
        let words = &refused.findings[0].message;
        assert!(words.contains(rule), "{words}");
    };
    check(&[100, 107], &[], "joints.least_panel");
    check(&[5], &[], "joints.least_panel");
    check(&[284], &[], "joints.least_panel");
    check(&[], &[[40, 90], [60, 120]], "joints.gap");
    check(&[], &[[40, 90], [90, 140]], "joints.gap");
    check(&[70], &[[40, 90]], "[[layout]]");
}

#[test]
fn a_wall_runs_through_where_only_then_the_drafters_panel_can_stand() {
    // Locked from the very corner: where the wall butts, its run begins 6 1/2 farther in.
    let house = rectangle(288, 192, &PlantRules::default());
    let lock = |id: &str, from: i64| {
        let wish = WallWishes {
            locked: vec![inches([from, 60])],
            ..WallWishes::default()
        };
        laid(&house, &[(id, wish)])
    };
    let kept = lock("X2", 0);
    assert_eq!(kept.findings, []);
    assert_eq!(kept.output.walls[1].left_end, WallEnd::Through);
}

/// Random wishes on random walls: each is kept to the nanometre, or refused by name with the key of a rule.
#[test]
fn every_wish_is_kept_exactly_or_refused_by_name() {
    let rules = PlantRules::default();
    let mut numbers = Numbers(91);
    let (mut kept, mut refused, mut together) = (0, 0, 0);
    for _ in 0..120 {
        let mut house = rectangle(200 + numbers.below(200), 192, &rules);
        let from = 20 + numbers.below(100);
        add_window(&mut house.walls[0], from, from + 24 + numbers.below(70));
        let length = house.walls[0].face_length;
        let mut place = || {
            let sixteenths = if numbers.below(4) == 0 { 1 } else { 16 };
            Length::fraction(
                0,
                numbers.below(length.steps_of(Length::inches(1)) + 8) * sixteenths,
                sixteenths,
            ) - Length::inches(3)
        };
        let mut wish = WallWishes::default();
        for _ in 0..2 {
            wish.joints.push(place());
            let at = place();
            wish.locked
                .push([at, at + Length::inches(30) + place().half().half()]);
        }
        let at = place();
        wish.keep_clear.push([at, at + Length::inches(9)]);
        let found = laid(&house, &[("X1", wish.clone())]);
        let words: Vec<&str> = found
            .findings
            .iter()
            .filter(|it| it.code == codes::WISH_REFUSED)
            .map(|it| it.message.as_str())
            .collect();
        let panels = panels(&found.output);
        if words.iter().any(|it| it.contains("refused together")) {
            together += 1;
            assert!(!panels.is_empty());
            continue;
        }
        let refusal = |name: &str| {
            let own: Vec<&&str> = words.iter().filter(|it| it.starts_with(name)).collect();
            for words in &own {
                let rules = [
                    "(joints.",
                    "(lines)",
                    "(grid)",
                    "(openings.",
                    "(wishes.",
                    "[[layout]]",
                    "beyond the run",
                ];
                assert!(rules.iter().any(|rule| words.contains(rule)), "{words}");
            }
            own.len()
        };
        let joints: Vec<Length> = panels.iter().skip(1).map(|it| it[0]).collect();
        for joint in &wish.joints {
            let is_kept = joints.contains(joint);
            let n_refused = refusal(&format!("the joint fixed at {joint} "));
            assert!(is_kept != (n_refused > 0), "{joint}: {words:?} {panels:?}");
            kept += i32::from(is_kept);
            refused += i32::from(!is_kept);
        }
        for [from, to] in &wish.locked {
            let is_kept = panels.contains(&[*from, *to]);
            let n_refused = refusal(&format!("the panel locked from {from} to {to} "));
            assert!(
                is_kept != (n_refused > 0),
                "{from} {to}: {words:?} {panels:?}"
            );
            kept += i32::from(is_kept);
            refused += i32::from(!is_kept);
        }
        for joint in joints {
            let [from, to] = wish.keep_clear[0];
            assert!(
                joint <= from || joint - rules.joints.gap >= to,
                "{joint} in {from} to {to}"
            );
        }
    }
    assert!(
        kept > 40 && refused > 40 && together < 60,
        "{kept} {refused} {together}"
    );
}
