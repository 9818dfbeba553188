//! Worked values of trucks and tie-downs, and what must hold of every load.

use super::stacking::stacked as searched;
use super::*;
use crate::units::square_feet;

fn panel(erection: u32, length: i64, width: i64, thickness: Length, weight_lb: f64) -> LoadedPanel {
    LoadedPanel {
        mark: format!("W{}", 100 + erection),
        erection: erection.into(),
        length: Length::inches(length),
        width: Length::inches(width),
        thickness,
        weight_lb,
        ..LoadedPanel::default()
    }
}

fn stacked(run: &[LoadedPanel], shipping: &ShippingRules, loose_lb: f64) -> Option<Vec<Stack>> {
    searched(run, shipping, loose_lb, &mut 0)
}

#[test]
fn tie_downs_follow_length_and_weight() {
    // 49 CFR 393.110 (FMCSA summary): a 24 ft bundle that nothing blocks takes 2 + ceil(14 / 10) = 4.
    let mut rules = PlantRules::default().dispatch.shipping;
    rules.tie_down = 5_000.0;
    let count = |feet, pounds| tie_downs(Length::feet(feet), pounds, &rules);
    assert_eq!(count(24, 600.0), 4);
    // The same bundle blocked ahead: one for each 10 ft or part of it, 3.
    let blocked = ShippingRules {
        blocked: true,
        ..rules.clone()
    };
    let held = |feet, pounds| tie_downs(Length::feet(feet), pounds, &blocked);
    assert_eq!(
        [held(24, 600.0), held(10, 600.0), held(4, 2_000.0)],
        [3, 1, 1]
    );
    assert_eq!(held(10, 26_000.0), 3);
    assert_eq!(
        [
            count(5, 1_100.0),
            count(5, 1_101.0),
            count(10, 500.0),
            count(11, 500.0),
            count(20, 1.0)
        ],
        [1, 2, 2, 3, 3]
    );
    // 393.106: working load limits of half the weight: 26,000 lb takes three of 5,000 lb.
    assert_eq!(count(10, 26_000.0), 3);
}

#[test]
fn stacks_are_as_high_and_as_heavy_as_worked_out_by_hand() {
    // By hand from 13'-6" - 5'-0" - 4 in = 98 in (states' height by FHWA booklet; deck common practice), panels of 8 ft x 24 ft,
    // two stacks on 48 ft; weights with skins of 40 pcf and foam of 1 pcf.
    let rules = PlantRules::default();
    let shipping = &rules.dispatch.shipping;
    assert_eq!(shipping.clear_height(), Length::inches(98));
    for (name, high, pounds) in [
        ("4-1/2", 21_u32, 25_956.0),
        ("6-1/2", 15, 19_500.0),
        ("8-1/4", 11, 14_916.0),
        ("10-1/4", 9, 12_780.0),
        ("12-1/4", 8, 11_872.0),
    ] {
        let assembly = rules.assemblies.iter().find(|it| it.name == name).unwrap();
        let psf = assembly.pounds_per_sq_ft();
        let weight = psf * square_feet(Length::feet(8), Length::feet(24));
        let run: Vec<LoadedPanel> = (1..=2 * high)
            .map(|n| panel(n, 288, 96, assembly.thickness(), weight))
            .collect();
        let stacks = stacked(&run, shipping, 0.0).unwrap();
        assert_eq!(stacks.len(), 2, "{name}");
        let heaviest: f64 = stacks.iter().map(Stack::weight_lb).sum();
        // The published figures round each panel to a pound.
        assert!(
            (heaviest - pounds).abs() < f64::from(high),
            "{name}: {heaviest}"
        );
        let mut more = run.clone();
        more.push(panel(2 * high + 1, 288, 96, assembly.thickness(), weight));
        assert!(
            stacked(&more, shipping, 0.0).is_none(),
            "{name}: one more fits"
        );
    }
}

#[test]
fn stacks_beside_each_other_are_as_high_as_they_can_be_alike() {
    let shipping = PlantRules::default().dispatch.shipping;
    let t = Length::fraction(6, 1, 2);
    // 48 in beside each other on 102 in. Of 22 like panels 15 fill the first stack up to 98 in; levelled both have 11.
    let heights = |run: &[LoadedPanel]| {
        let stacks = stacked(run, &shipping, 0.0).unwrap();
        let n: usize = stacks.iter().map(|it| it.panels.len()).sum();
        assert_eq!(n, run.len());
        for stack in &stacks {
            for above in stack.panels.iter().filter(|it| it.layer > 1) {
                let below = carrier(stack, above).unwrap();
                assert!(above.erection < below.erection);
                assert!(above.length <= below.length + shipping.overhang);
                assert!(above.width <= below.width + shipping.overhang);
            }
        }
        let mut heights: Vec<i64> = stacks.iter().map(|it| it.height.steps_of(t)).collect();
        heights.sort_unstable();
        heights
    };
    let like: Vec<LoadedPanel> = (1..=22).map(|n| panel(n, 288, 48, t, 300.0)).collect();
    assert_eq!(heights(&like), [11, 11]);
    let mixed: Vec<LoadedPanel> = (1..=22)
        .map(|n| panel(n, 288, if n > 19 { 24 } else { 48 }, t, 300.0))
        .collect();
    // Three of 24 in that are set last carry none of the others, and none of those is heaped onto them.
    assert_eq!(heights(&mixed), [3, 9, 10]);
}

#[test]
fn a_stack_stands_in_the_middle_of_its_lane() {
    let shipping = PlantRules::default().dispatch.shipping;
    let t = Length::fraction(6, 1, 2);
    // By hand: 24 and 96 in wide behind each other; on 102 in of deck 39 and 3 in are free on each side of them.
    let run = [panel(1, 288, 96, t, 300.0), panel(2, 280, 24, t, 80.0)];
    let stacks = stacked(&run, &shipping, 0.0).unwrap();
    let places: Vec<(Length, Length)> = stacks.iter().map(|it| (it.width, it.y)).collect();
    let at = |width, y| (Length::inches(width), Length::inches(y));
    assert!(
        places.contains(&at(24, 39)) && places.contains(&at(96, 3)),
        "{places:?}"
    );
}

/// What each panel lies on: the one whose top is its underside and whose width it shares.
fn carrier<'a>(stack: &'a Stack, panel: &LoadedPanel) -> Option<&'a LoadedPanel> {
    let mut all = stack.panels.iter();
    all.find(|it| {
        it.bottom + it.thickness == panel.bottom
            && it.across < panel.across + panel.width
            && panel.across < it.across + it.width
    })
}

#[test]
fn what_is_set_first_lies_on_top_and_nothing_overhangs() {
    let shipping = PlantRules::default().dispatch.shipping;
    let t = Length::fraction(6, 1, 2);
    let run = [
        panel(1, 108, 48, t, 100.0),
        panel(2, 96, 24, t, 50.0),
        panel(3, 108, 48, t, 100.0),
        panel(4, 120, 60, t, 200.0),
    ];
    let stacks = stacked(&run, &shipping, 0.0).unwrap();
    for stack in &stacks {
        for above in stack.panels.iter().filter(|it| it.layer > 1) {
            let below = carrier(stack, above).unwrap();
            assert!(above.erection < below.erection);
            let over = shipping.overhang;
            assert!(above.length <= below.length + over && above.width <= below.width + over);
        }
    }
    let n: usize = stacks.iter().map(|stack| stack.panels.len()).sum();
    assert_eq!(n, 4);
}

#[test]
fn narrow_panels_lie_side_by_side_on_a_wide_one() {
    let mut shipping = PlantRules::default().dispatch.shipping;
    shipping.deck_length = Length::feet(24);
    let t = Length::fraction(6, 1, 2);
    // By hand: 15 layers of 6 1/2 in within 98 in; the lowest takes all the width, the others two of 47 in each: 1 + 14 x 2 = 29. One on
    // one, 15 are all.
    let run: Vec<LoadedPanel> = (1..=29)
        .map(|n| panel(n, 288, if n > 28 { 96 } else { 47 }, t, 300.0))
        .collect();
    let found = stacked(&run, &shipping, 0.0).unwrap();
    assert_eq!(found.len(), 1);
    assert_eq!(trucks(&run, &shipping), (1, 1));
    let mut more = run;
    more.insert(0, panel(0, 288, 47, t, 300.0));
    assert!(stacked(&more, &shipping, 0.0).is_none());
    for stack in &found {
        assert_eq!((stack.columns, stack.is_level), (2, true));
        assert_eq!(stack.height, t * 15);
        let lowest = &stack.panels[0];
        assert_eq!((lowest.layer, lowest.column), (1, 0));
        for above in &stack.panels[1..] {
            // 94 of 96 in lie in the middle; each column keeps its side.
            let left = if above.column == 1 { 1 } else { 48 };
            assert_eq!(above.across, Length::inches(left));
            let below = carrier(stack, above).unwrap();
            assert!(above.erection < below.erection && above.layer == below.layer + 1);
        }
    }
    // 3 in wider together than what they would lie on, or of another thickness: they do not.
    shipping.greatest_height = shipping.deck_height + shipping.dunnage + t * 2;
    let other = Length::fraction(4, 1, 2);
    for (lowest, second, fits) in [(92, t, true), (91, t, false), (92, other, false)] {
        let run = [
            panel(1, 288, 47, t, 300.0),
            panel(2, 288, 47, second, 300.0),
            panel(3, 288, lowest, t, 300.0),
        ];
        let found = stacked(&run, &shipping, 0.0);
        assert_eq!(found.is_some(), fits, "{lowest}");
    }
}

#[test]
fn columns_of_unlike_height_take_straps_of_their_own() {
    let mut shipping = PlantRules::default().dispatch.shipping;
    shipping.deck_length = Length::feet(20);
    let t = Length::fraction(6, 1, 2);
    let run: Vec<LoadedPanel> = (1..=4)
        .map(|n| panel(n, 240, if n > 3 { 96 } else { 47 }, t, 300.0))
        .collect();
    // One stack, so many layers high.
    let mut count = |run: &[LoadedPanel], layers: i64| {
        shipping.greatest_height = shipping.deck_height + shipping.dunnage + t * layers;
        let ((trucks, _), _) = load_all(run, &shipping, 0.0);
        let stacks = trucks.into_iter().flat_map(|it| it.stacks);
        let counts = stacks.map(|it| (it.panels.len(), it.columns, it.tie_downs));
        counts.collect::<Vec<_>>()
    };
    // 49 CFR 393.110 as summarised by FMCSA: 20 ft unblocked take 2 + 1. Two beside each other on the third are level.
    assert_eq!(count(&run[1..], 2), [(3, 2, 3)]);
    // A fourth on one of them: each column is held by itself.
    assert_eq!(count(&run, 3), [(4, 2, 6)]);
}

#[test]
fn panels_that_differ_by_a_joint_share_a_stack_up_to_the_allowed_height() {
    let mut shipping = PlantRules::default().dispatch.shipping;
    let t = Length::fraction(6, 1, 2);
    // Each a little wider than the one below it: 15 of 6 1/2 in reach 97 1/2 of the 98 in that are clear.
    let run: Vec<LoadedPanel> = (1..=15)
        .map(|n| LoadedPanel {
            width: Length::inches(96) - Length::fraction(0, 1, 16) * i64::from(n),
            ..panel(n, 108, 96, t, 400.0)
        })
        .collect();
    assert_eq!(stacked(&run, &shipping, 0.0).unwrap().len(), 1);
    shipping.overhang = Length::ZERO;
    // Without overhang five bays of 9 ft are all that the deck holds.
    assert!(stacked(&run, &shipping, 0.0).is_none());
    assert_eq!(stacked(&run[..5], &shipping, 0.0).unwrap().len(), 5);
}

#[test]
fn a_load_too_heavy_or_too_long_does_not_fit() {
    let mut shipping = PlantRules::default().dispatch.shipping;
    let t = Length::fraction(6, 1, 2);
    assert!(stacked(&[panel(1, 600, 48, t, 100.0)], &shipping, 0.0).is_none());
    assert_eq!(
        limits_broken(&panel(1, 600, 120, t, 100.0), &shipping, 0.0),
        ["longer than the deck", "wider than the deck"]
    );
    shipping.payload = 150.0;
    assert!(stacked(&[panel(1, 96, 48, t, 100.0)], &shipping, 0.0).is_some());
    assert!(stacked(&[panel(1, 96, 48, t, 100.0)], &shipping, 51.0).is_none());
}

/// All ways to put panels, the last first, on stacks that stand one behind the other.
fn any_way(run: &[LoadedPanel], stacks: &[Vec<&LoadedPanel>], shipping: &ShippingRules) -> bool {
    let Some((panel, before)) = run.split_last() else {
        return true;
    };
    let over = shipping.overhang;
    let holds =
        |it: &&LoadedPanel| panel.length <= it.length + over && panel.width <= it.width + over;
    let with = |place: usize| {
        let mut more = stacks.to_vec();
        match more.get_mut(place) {
            Some(stack) => stack.push(panel),
            None => more.push(vec![panel]),
        }
        let high = |it: &Vec<&LoadedPanel>| it.iter().map(|it| it.thickness).sum::<Length>();
        let long = |it: &Vec<&LoadedPanel>| it.iter().map(|it| it.length).max().unwrap();
        let fits = more.iter().all(|it| high(it) <= shipping.clear_height());
        let deck: Length = more.iter().map(long).sum();
        fits && deck <= shipping.deck_length && any_way(before, &more, shipping)
    };
    (0..=stacks.len()).any(|place| {
        let carries = stacks
            .get(place)
            .is_none_or(|stack| stack.first().is_none_or(holds) && stack.last().is_none_or(holds));
        carries && with(place)
    })
}

#[test]
fn the_search_stacks_what_can_be_stacked_and_nothing_else() {
    // Wide panels, so that no two stand side by side; every way is tried beside it.
    let mut shipping = PlantRules::default().dispatch.shipping;
    shipping.deck_length = Length::feet(20);
    shipping.greatest_height = shipping.deck_height + shipping.dunnage + Length::inches(20);
    let t = Length::fraction(6, 1, 2);
    let (mut state, mut counts) = (7_u64, [0, 0, 0, 0]);
    for _ in 0..300 {
        let run: Vec<LoadedPanel> = (1..=7)
            .map(|n| {
                state = state
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1);
                let feet = 4 + i64::try_from((state >> 33) % 7).unwrap();
                panel(n, feet * 12, 96, t, 100.0)
            })
            .collect();
        let can = any_way(&run, &[], &shipping);
        let wide = searched(&run, &shipping, 0.0, &mut EFFORT.clone()).is_some();
        let first = stacked(&run, &shipping, 0.0).is_some();
        assert_eq!(wide, can, "{run:?}");
        assert!(!first || can);
        counts[0] += u32::from(first);
        counts[1] += u32::from(wide);
        counts[2] += u32::from(!can);
        let room = bound::Room::new(&run, &shipping);
        let least = chains::fewest(&run, &shipping, |from| room.most(&run, from, 0.0));
        assert!(!can || least == 1, "{run:?}");
        counts[3] += u32::from(least > room.fewest(&run, 0.0));
    }
    // Some fit only by the search, some not at all, and of some only what lies on what proves it.
    assert!(
        counts[0] < counts[1] && counts[2] > 0 && counts[3] > 0,
        "{counts:?}"
    );
}

/// All ways to put panels, the last first, on others or on the deck, one behind the other there; on one lie as many side by side as its
/// width takes. Places: what each lies on, and how high its top is.
fn any_tree(
    run: &[LoadedPanel],
    at: usize,
    on: &mut Vec<(Option<usize>, Length)>,
    shipping: &ShippingRules,
) -> bool {
    let Some(index) = at.checked_sub(1) else {
        return true;
    };
    let panel = &run[index];
    let over = shipping.overhang;
    // `on` begins with the last of the run.
    let of = |place: usize| &run[run.len() - 1 - place];
    for below in 0..=on.len() {
        let carries = on.get(below).map(|it| it.1);
        let foot = carries.unwrap_or_default();
        let fits = match carries {
            None => {
                let deck = on.iter().zip(0..).filter(|(it, _)| it.0.is_none());
                let taken: Length = deck.map(|(_, place)| of(place).length).sum();
                taken + panel.length <= shipping.deck_length
            }
            Some(_) => {
                let beside = on.iter().zip(0..).filter(|(it, _)| it.0 == Some(below));
                let taken: Length = beside.map(|(_, place)| of(place).width).sum();
                panel.length <= of(below).length + over
                    && taken + panel.width <= of(below).width + over
            }
        };
        let top = foot + panel.thickness;
        if fits && top <= shipping.clear_height() {
            on.push((carries.map(|_| below), top));
            if any_tree(run, index, on, shipping) {
                return true;
            }
            on.pop();
        }
    }
    false
}

fn chance(state: &mut u64, n: u64) -> i64 {
    *state = state
        .wrapping_mul(6_364_136_223_846_793_005)
        .wrapping_add(1);
    i64::try_from((*state >> 33) % n).unwrap()
}

#[test]
fn no_bound_asks_for_more_than_some_way_to_stack_side_by_side_needs() {
    let mut shipping = PlantRules::default().dispatch.shipping;
    shipping.deck_length = Length::feet(16);
    shipping.greatest_height = shipping.deck_height + shipping.dunnage + Length::inches(20);
    let t = Length::fraction(6, 1, 2);
    let (mut state, mut counts) = (11_u64, [0, 0, 0]);
    for _ in 0..400 {
        let run: Vec<LoadedPanel> = (1..=6)
            .map(|n| {
                let long = 12 * (5 + chance(&mut state, 4));
                let wide = [30, 36, 47, 60, 96][usize::try_from(chance(&mut state, 5)).unwrap()];
                panel(n, long, wide, t, 100.0)
            })
            .collect();
        let can = any_tree(&run, run.len(), &mut Vec::new(), &shipping);
        let found = searched(&run, &shipping, 0.0, &mut EFFORT.clone());
        let room = bound::Room::new(&run, &shipping);
        let least = chains::fewest(&run, &shipping, |from| room.most(&run, from, 0.0));
        let least = least.max(room.fewest(&run, 0.0));
        assert!(!can || least == 1, "{run:?}");
        assert!(found.is_none() || least == 1, "{run:?}");
        counts[0] += u32::from(can);
        counts[1] += u32::from(least > 1);
        counts[2] += u32::from(found.is_some_and(|all| all.iter().any(|it| it.columns > 0)));
    }
    assert!(counts.iter().all(|it| *it > 0), "{counts:?}");
}

/// The fewest trucks for a run by trying every way to part it, each part that `rides` being one truck.
fn parted(n: usize, rides: &impl Fn(usize, usize) -> bool) -> usize {
    let mut best = vec![0_usize];
    for end in 1..=n {
        let ways = (0..end).filter(|from| *from + 1 == end || rides(*from, end));
        let least = ways.map(|from| best[from] + 1).min();
        best.push(least.unwrap());
    }
    best[n]
}

#[test]
fn heavier_panels_never_need_fewer_trucks() {
    // Of what rides on a truck every part of the run rides too, and weight only ever forbids: with heavier panels the runs that ride are
    // some of those that rode, so no parting is new and the fewest cannot fall. That is tried here for the fewest by every parting of
    // every run with every way to stack, and for the bound. What the plan itself needs may, where it is not proved the fewest, be one
    // more for lighter panels: its search does not look at every way. Where it is proved it cannot be.
    let mut shipping = PlantRules::default().dispatch.shipping;
    shipping.deck_length = Length::feet(16);
    shipping.greatest_height = shipping.deck_height + shipping.dunnage + Length::inches(14);
    shipping.payload = 500.0;
    let t = Length::fraction(6, 1, 2);
    let (mut state, mut rose, mut proved) = (3_u64, 0, 0);
    for _ in 0..120 {
        let light: Vec<LoadedPanel> = (1..=6)
            .map(|n| {
                let long = 12 * (5 + chance(&mut state, 4));
                let wide = [47, 60, 96][usize::try_from(chance(&mut state, 3)).unwrap()];
                let pounds = f64::from(u32::try_from(chance(&mut state, 300)).unwrap());
                panel(n, long, wide, t, pounds)
            })
            .collect();
        let heavy: Vec<LoadedPanel> = light
            .iter()
            .map(|it| LoadedPanel {
                weight_lb: it.weight_lb
                    + f64::from(u32::try_from(chance(&mut state, 200)).unwrap()),
                ..it.clone()
            })
            .collect();
        let fewest = |run: &[LoadedPanel]| {
            parted(run.len(), &|from, end| {
                let part = &run[from..end];
                let weight: f64 = part.iter().map(|it| it.weight_lb).sum();
                weight <= shipping.payload && any_tree(part, part.len(), &mut Vec::new(), &shipping)
            })
        };
        let [least, most] = [&light, &heavy].map(|run| fewest(run));
        assert!(least <= most, "{light:?}");
        let [(trucks, bound), (more, above)] = [&light, &heavy].map(|run| {
            let ((trucks, _), bound) = load_all(run, &shipping, 0.0);
            (trucks.len(), bound)
        });
        assert!(bound <= above && bound <= least && above <= most);
        if trucks == bound {
            assert!(trucks <= more, "{light:?}");
            proved += 1;
        }
        rose += u32::from(least < most);
    }
    assert!(rose > 0 && proved > 60, "{rose} {proved}");
}

/// Panels 8 ft high of these widths in sixteenths of an inch, the first set first.
fn row(widths: &[i64], thickness: Length) -> Vec<LoadedPanel> {
    let panel = |(erection, width): (u32, &i64)| LoadedPanel {
        width: Length::fraction(0, *width, 16),
        ..panel(erection, 96, 0, thickness, 150.0)
    };
    (1..).zip(widths).map(panel).collect()
}

fn trucks(run: &[LoadedPanel], shipping: &ShippingRules) -> (usize, usize) {
    let ((trucks, _), bound) = load_all(run, shipping, 700.0);
    (trucks.len(), bound)
}

#[test]
fn short_stacks_stand_behind_each_other_beside_a_long_one() {
    let shipping = PlantRules::default().dispatch.shipping;
    // A house of 36 panels, the last a strip of 1 ft by 16 ft over a garage door: it must not take a third of the deck for itself.
    let widths = [
        1534, 1534, 1534, 1376, 766, 1534, 662, 1244, 1534, 1534, 1480, 1534, 1534, 1534, 656,
        1534, 1534, 1534, 1080, 551, 1534, 567, 384, 406, 1534, 384, 384, 448, 760, 1448, 1534,
        1534, 1024, 592, 592,
    ];
    for thickness in [Length::fraction(4, 1, 2), Length::fraction(6, 1, 2)] {
        let mut run = row(&widths, thickness);
        run.push(panel(36, 192, 12, thickness, 70.0));
        let stacks = stacked(&run, &shipping, 700.0).unwrap();
        let strip = stacks
            .iter()
            .find(|it| it.length == Length::inches(192))
            .unwrap();
        let beside: Vec<&Stack> = stacks
            .iter()
            .filter(|it| it.x < strip.x + strip.length && strip.x < it.x + it.length)
            .collect();
        assert!(beside.len() > 2, "{stacks:?}");
        assert_eq!(trucks(&run, &shipping), (1, 1));
    }
}

#[test]
fn a_search_finds_the_truck_that_the_first_fit_misses() {
    // 63 panels of an office: narrow ones on wide ones bar the way, and only one narrow stack is allowed on the deck. By hand: 6 stacks.
    let shipping = PlantRules::default().dispatch.shipping;
    let widths = [
        409, 1449, 1534, 1534, 1534, 1449, 1534, 1063, 1449, 1432, 766, 1247, 1534, 1352, 766,
        1449, 1534, 1534, 1534, 1536, 1536, 1534, 1449, 524, 572, 1534, 1534, 1534, 1534, 1009,
        766, 1534, 1534, 1534, 766, 1534, 1534, 1534, 1534, 1534, 1535, 1534, 1534, 1534, 1534,
        1534, 1534, 1534, 1534, 1534, 1534, 1534, 1534, 1534, 1534, 1534, 1534, 1008, 766, 1534,
        1534, 1534, 766,
    ];
    let run = row(&widths, Length::fraction(6, 1, 2));
    assert!(stacked(&run, &shipping, 700.0).is_none());
    assert_eq!(trucks(&run, &shipping), (1, 1));
}

#[test]
fn what_nothing_carries_takes_deck_of_its_own() {
    // Each is set later than the one before it and 3 in narrower: none lies on another, and six stacks of 8 ft are all that 48 ft take.
    let shipping = PlantRules::default().dispatch.shipping;
    let widths: Vec<i64> = (0..7).map(|n| (96 - 3 * n) * 16).collect();
    let run = row(&widths, Length::fraction(6, 1, 2));
    assert_eq!(trucks(&run[..6], &shipping), (1, 1));
    assert_eq!(trucks(&run, &shipping), (2, 2));
    let room = bound::Room::new(&run, &shipping);
    assert_eq!(room.fewest(&run, 700.0), 1);
}
