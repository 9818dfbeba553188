//! Corrections outlive a revised drawing: turned, moved, ids in another order, one line in five moved.

mod along;
mod far;
mod storeys;

use super::*;
use crate::plan::{Opening, OpeningKind, Wall};

/// Numbers that look random and are the same in every run.
struct Numbers(u64);

impl Numbers {
    fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        let bits = u32::try_from(self.0 >> 40).unwrap();
        f64::from(bits) / f64::from(1_u32 << 24)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.next()
    }
}

/// A house of four outside walls and partitions across it, with openings; ids by place.
fn house(it: &mut Numbers) -> Storey {
    let (w, h) = (
        it.between(360.0, 700.0).round(),
        it.between(260.0, 420.0).round(),
    );
    let mut walls = Vec::new();
    let mut add = |start: (f64, f64), end: (f64, f64), thickness: f64, is_exterior: bool| {
        walls.push(Wall {
            id: format!("{}{}", if is_exterior { "X" } else { "I" }, walls.len() + 1),
            is_exterior,
            start: start.into(),
            end: end.into(),
            thickness,
            ..Wall::default()
        });
    };
    for (a, b) in [
        ((0.0, 0.0), (w, 0.0)),
        ((w, 0.0), (w, h)),
        ((w, h), (0.0, h)),
        ((0.0, h), (0.0, 0.0)),
    ] {
        add(a, b, 6.5, true);
    }
    let spine = it.between(0.35, 0.65) * h;
    add((0.0, spine), (w, spine), 4.5, false);
    let mut x = 0.0;
    loop {
        x += it.between(90.0, 170.0);
        if x > w - 80.0 {
            break;
        }
        let (from, to) = if it.next() < 0.5 {
            (0.0, spine)
        } else {
            (spine, h)
        };
        add((x, from), (x, to), 4.5, false);
    }
    let mut openings = Vec::new();
    for wall in &walls {
        let d = wall.end - wall.start;
        let length = d.x.hypot(d.y);
        let mut near = it.between(20.0, 60.0);
        while near + 60.0 < length {
            let width = [24.0, 30.0, 36.0, 48.0]
                [usize::from(it.next() < 0.5) + 2 * usize::from(it.next() < 0.5)];
            openings.push(Opening {
                id: format!("O{}", openings.len() + 1),
                wall: wall.id.clone(),
                kind: if it.next() < 0.5 {
                    OpeningKind::Door
                } else {
                    OpeningKind::Window
                },
                near,
                width,
                centre: wall.start + d * ((near + width / 2.0) / length),
                ..Opening::default()
            });
            near += width + it.between(30.0, 140.0);
        }
    }
    Storey {
        id: "S1".to_owned(),
        walls,
        openings,
        ..Storey::default()
    }
}

/// The house revised: one wall and one opening in five moved, all turned and moved, and the list of everything turned over. The
/// n-th of the old list is the n-th from the end of the new one.
fn revised(old: &Storey, it: &mut Numbers) -> Storey {
    let turn = it.between(0.0, std::f64::consts::TAU);
    let shift = Coord {
        x: it.between(-1e5, 1e5),
        y: it.between(-1e5, 1e5),
    };
    let (sin, cos) = turn.sin_cos();
    let laid = |p: Coord<f64>| Coord {
        x: p.x * cos - p.y * sin + shift.x,
        y: p.x * sin + p.y * cos + shift.y,
    };
    let mut now = old.clone();
    for index in 0..now.walls.len() {
        let is_partition = !now.walls[index].is_exterior && now.walls[index].start.x > 1.0;
        if is_partition && it.next() < 0.2 {
            let by = it.between(-14.0, 14.0);
            now.walls[index].start.x += by;
            now.walls[index].end.x += by;
        }
    }
    for number in 0..now.openings.len() {
        let by = if it.next() < 0.2 {
            it.between(-9.0, 9.0)
        } else {
            0.0
        };
        let opening = &mut now.openings[number];
        let wall = now
            .walls
            .iter()
            .find(|wall| wall.id == opening.wall)
            .unwrap();
        let d = wall.end - wall.start;
        let length = d.x.hypot(d.y);
        opening.near = (opening.near + by).max(2.0);
        opening.centre = wall.start + d * ((opening.near + opening.width / 2.0) / length);
    }
    for wall in &mut now.walls {
        (wall.start, wall.end) = (laid(wall.start), laid(wall.end));
        wall.id = format!("N{}", wall.id);
        if !wall.is_exterior && it.next() < 0.5 {
            std::mem::swap(&mut wall.start, &mut wall.end);
        }
    }
    for opening in &mut now.openings {
        opening.centre = laid(opening.centre);
        opening.id = format!("N{}", opening.id);
        opening.wall = format!("N{}", opening.wall);
        let wall = now
            .walls
            .iter()
            .find(|wall| wall.id == opening.wall)
            .unwrap();
        let d = opening.centre - wall.start;
        opening.near = d.x.hypot(d.y) - opening.width / 2.0;
    }
    now.walls.reverse();
    now.openings.reverse();
    now
}

fn correction(id: &str) -> PlanCorrection {
    PlanCorrection {
        anchor: CorrectionAnchor::Id(id.to_owned()),
        intent: CorrectionIntent::Exterior,
        file: "job.toml".to_owned(),
        line: 1,
    }
}

#[test]
fn a_storey_that_grows_into_the_shape_another_had_is_known_by_its_title() {
    let found = |names: [&str; 2]| grown(["GROUND", "UPPER"], names);
    assert_eq!(found(["GROUND", "UPPER"]), [Some(0), Some(1)]);
    assert_eq!(found(["UPPER", "GROUND"]), [Some(1), Some(0)]);
}

#[test]
fn without_titles_the_storeys_of_a_sheet_are_told_apart_together() {
    // The upper storey fits best where the ground floor was, but then the sheet would have come apart.
    assert_eq!(grown(["", ""], ["", ""]), [Some(0), Some(1)]);
    let ground = &storeys_of_a_sheet([0.0, -24.0], ["", ""])[..1];
    let plan = storeys_of_a_sheet([24.0, 0.0], ["", ""]);
    let alone = Fits::of(ground, &plan).joint();
    assert_eq!(alone[0].map(|it| it.0), Ok(1), "alone it fits better there");
}

/// Two storeys of one house beside each other, each longer than the house by so much.
fn storeys_of_a_sheet(longer: [f64; 2], names: [&str; 2]) -> Vec<Storey> {
    let house = house(&mut Numbers(20_261_129));
    let end = house.walls[0].end.x;
    let of = |number: u8| {
        let (mut storey, i) = (house.clone(), usize::from(number));
        (storey.id, storey.name) = (format!("S{}", number + 1), names[i].to_owned());
        let aside = f64::from(number) * 1200.0;
        let put = |p: &mut Coord<f64>| {
            p.x += aside + if p.x > end - 1.0 { longer[i] } else { 0.0 };
        };
        for wall in &mut storey.walls {
            put(&mut wall.start);
            put(&mut wall.end);
        }
        for opening in &mut storey.openings {
            put(&mut opening.centre);
        }
        storey
    };
    [0, 1].map(of).to_vec()
}

/// For each storey of a sheet of two which it is when each of them grew by 24 in, the upper one into the shape of the other.
fn grown(was: [&str; 2], is: [&str; 2]) -> [Option<usize>; 2] {
    let old = storeys_of_a_sheet([0.0, -24.0], was);
    let now = storeys_of_a_sheet([24.0, 0.0], is);
    let found = Fits::of(&old, &now).joint();
    [0, 1].map(|i| found[i].ok().map(|it| it.0))
}

#[test]
fn of_corrections_on_revised_plans_99_in_100_are_kept_and_none_goes_astray() {
    let mut numbers = Numbers(20_261_126);
    let (mut n_all, mut n_kept, mut n_astray, mut n_lost_plans) = (0_usize, 0_usize, 0, 0);
    for _ in 0..150 {
        let old = house(&mut numbers);
        let now = revised(&old, &mut numbers);
        let earlier = EarlierPlan {
            storeys: vec![old.clone()],
        };
        let plan = Plan {
            storeys: vec![now.clone()],
            ..Plan::default()
        };
        let ids: Vec<String> = old
            .walls
            .iter()
            .map(|it| it.id.clone())
            .chain(old.openings.iter().map(|it| it.id.clone()))
            .collect();
        let corrections: Vec<PlanCorrection> = ids.iter().map(|id| correction(id)).collect();
        let mut findings = Vec::new();
        let located = carry(&earlier, &plan, &corrections, &mut findings);
        n_all += corrections.len();
        n_lost_plans += usize::from(located.is_empty());
        for it in &located {
            let CorrectionAnchor::Id(id) = &it.correction.anchor else {
                panic!("{it:?}");
            };
            let renamed = format!("N{id}");
            let is_right = match now.openings.iter().find(|o| o.id == renamed) {
                Some(opening) => {
                    let d = opening.centre - it.at;
                    d.x.hypot(d.y) < 1e-6
                }
                None => wall_at(&now, it.at).is_some_and(|(wall, _)| wall.id == renamed),
            };
            n_kept += usize::from(is_right);
            n_astray += usize::from(!is_right);
        }
        let n_orphans = findings
            .iter()
            .filter(|it| it.code == codes::ORPHAN_CORRECTION)
            .count();
        assert_eq!(located.len() + n_orphans, corrections.len());
    }
    assert_eq!(n_astray, 0);
    assert!(
        n_kept * 100 >= n_all * 99,
        "{n_kept} of {n_all} kept, {n_lost_plans} plans lost"
    );
}

#[test]
fn of_a_building_that_is_the_same_from_both_ends_its_own_place_tells_and_elsewhere_nothing() {
    let mut old = house(&mut Numbers(7));
    old.walls.truncate(4);
    old.openings.clear();
    let earlier = EarlierPlan {
        storeys: vec![old.clone()],
    };
    let corrections = [correction("X1")];
    let carried = |now: Storey| {
        let plan = Plan {
            storeys: vec![now],
            ..Plan::default()
        };
        let mut findings = Vec::new();
        let at = carry(&earlier, &plan, &corrections, &mut findings);
        let at: Vec<Coord<f64>> = at.iter().map(|it| it.at).collect();
        (at, findings)
    };
    let middle = (old.walls[0].start + old.walls[0].end) / 2.0;
    let (at, findings) = carried(old.clone());
    assert_eq!(at, [middle]);
    // It may have been turned on its place: both are told.
    let opposite = (old.walls[2].start + old.walls[2].end) / 2.0;
    let doubt = findings.iter().find(|it| it.code == codes::EITHER_WAY);
    let between = doubt.and_then(|it| it.place.between).unwrap();
    for (told, meant) in between.iter().zip([middle, opposite]) {
        let d = Coord::from(*told) - meant;
        assert!(d.x.hypot(d.y) < 1e-6, "{findings:?}");
    }
    let ids = [CorrectionAnchor::Id("X1".to_owned())];
    let either = |now: &Storey| {
        let mut now = now.clone();
        now.walls.reverse();
        let storeys = vec![now];
        let plan = Plan {
            storeys,
            ..Plan::default()
        };
        entries_either_way(&earlier, &plan, &ids)
    };
    let told = either(&old)[0].clone().unwrap();
    assert_eq!(told.map(|it| it.wall), ["X1", "X3"]);
    // A wall within tells, and nothing is asked.
    let mut uneven = old.clone();
    let mut across = old.walls[1].clone();
    (across.id, across.is_exterior) = ("I5".to_owned(), false);
    (across.start.x, across.end.x) = (80.0, 80.0);
    uneven.walls.push(across);
    let mut other_order = uneven.clone();
    other_order.walls.reverse();
    let uneven = EarlierPlan {
        storeys: vec![uneven],
    };
    let plan = Plan {
        storeys: vec![other_order],
        ..Plan::default()
    };
    assert_eq!(entries_either_way(&uneven, &plan, &ids), [None]);
    let mut elsewhere = old;
    for wall in &mut elsewhere.walls {
        let over = |p: Coord<f64>| Coord {
            x: 90.0 - p.x,
            y: 70.0 - p.y,
        };
        (wall.start, wall.end) = (over(wall.start), over(wall.end));
    }
    let (at, findings) = carried(elsewhere);
    assert!(at.is_empty());
    assert!(
        findings[0].message.contains("the same from both ends"),
        "{findings:?}"
    );
}

#[test]
fn the_mirror_image_of_a_house_carries_nothing_and_says_why() {
    for seed in [7, 11, 23, 40, 41] {
        let old = house(&mut Numbers(seed));
        let mut now = old.clone();
        let over = |p: Coord<f64>| Coord { x: -p.x, y: p.y };
        for wall in &mut now.walls {
            (wall.start, wall.end) = (over(wall.end), over(wall.start));
        }
        for opening in &mut now.openings {
            opening.centre = over(opening.centre);
            let wall = now.walls.iter().find(|it| it.id == opening.wall).unwrap();
            let d = wall.end - wall.start;
            opening.near = d.x.hypot(d.y) - opening.near - opening.width;
        }
        let plan = Plan {
            storeys: vec![now],
            ..Plan::default()
        };
        let corrections: Vec<PlanCorrection> =
            old.openings.iter().map(|it| correction(&it.id)).collect();
        let anchors: Vec<CorrectionAnchor> =
            corrections.iter().map(|it| it.anchor.clone()).collect();
        let earlier = EarlierPlan { storeys: vec![old] };
        let mut findings = Vec::new();
        assert!(carry(&earlier, &plan, &corrections, &mut findings).is_empty());
        assert_eq!(findings.len(), corrections.len());
        assert!(findings[0].message.contains("mirror image"), "{findings:?}");
        // Nor is anything else of the job taken over without a word.
        let meanings = other_meanings(&earlier, &plan, &anchors);
        assert!(meanings.iter().all(Option::is_some), "{meanings:?}");
        let whither = anchors_now(&earlier, &plan, &anchors);
        assert!(whither.iter().all(|it| matches!(it, Whither::Lost(_))));
    }
}

#[test]
fn another_house_carries_nothing() {
    let mut numbers = Numbers(11);
    let (old, other) = (house(&mut numbers), house(&mut numbers));
    let plan = Plan {
        storeys: vec![other],
        ..Plan::default()
    };
    let id = old.openings[0].id.clone();
    let earlier = EarlierPlan { storeys: vec![old] };
    let corrections = [correction(&id)];
    let mut findings = Vec::new();
    assert!(carry(&earlier, &plan, &corrections, &mut findings).is_empty());
    assert_eq!(findings[0].code, codes::ORPHAN_CORRECTION);
}

#[test]
fn names_that_moved_on_are_told_and_those_that_stayed_are_not() {
    let mut numbers = Numbers(23);
    let mut n_told = 0_usize;
    for _ in 0..20 {
        let old = house(&mut numbers);
        // The last opening is drawn first now: every id names its neighbour.
        let mut now = old.clone();
        let ids: Vec<String> = old.openings.iter().map(|it| it.id.clone()).collect();
        now.openings.rotate_right(1);
        for (opening, id) in now.openings.iter_mut().zip(&ids) {
            opening.id.clone_from(id);
        }
        let names = |at: &String| CorrectionAnchor::Id(at.clone());
        let anchors: Vec<_> = ids.iter().map(names).collect();
        let plan = Plan {
            storeys: vec![now],
            ..Plan::default()
        };
        let earlier = EarlierPlan {
            storeys: vec![old.clone()],
        };
        let meanings = other_meanings(&earlier, &plan, &anchors);
        for (i, meaning) in meanings.iter().enumerate() {
            let meaning = meaning.as_ref().unwrap();
            let next = &ids[(i + 1) % ids.len()];
            assert!(meaning.now.as_ref().is_none_or(|id| id == next));
            n_told += usize::from(meaning.now.is_some());
        }
        let walls: Vec<_> = old.walls.iter().map(|it| names(&it.id)).collect();
        assert!(
            other_meanings(&earlier, &plan, &walls)
                .iter()
                .all(Option::is_none)
        );
        let same = Plan {
            storeys: vec![old],
            ..Plan::default()
        };
        assert!(
            other_meanings(&earlier, &same, &anchors)
                .iter()
                .all(Option::is_none)
        );
    }
    assert!(n_told > 100, "{n_told}");
}

#[test]
fn what_is_said_of_a_room_or_a_gap_goes_where_the_plan_round_it_went() {
    let mut numbers = Numbers(29);
    let old = house(&mut numbers);
    let mut now = old.clone();
    let over = |p: Coord<f64>| Coord {
        x: 1000.0 - p.y,
        y: 40.0 + p.x,
    };
    for wall in &mut now.walls {
        (wall.start, wall.end) = (over(wall.start), over(wall.end));
    }
    for opening in &mut now.openings {
        opening.centre = over(opening.centre);
    }
    let mut earlier = EarlierPlan { storeys: vec![old] };
    let corners = [(10.0, 10.0), (50.0, 10.0), (50.0, 60.0), (10.0, 60.0)];
    earlier.storeys[0].rooms.push(crate::plan::Room {
        id: "R1".to_owned(),
        outline: corners.map(Coord::from).to_vec(),
        ..crate::plan::Room::default()
    });
    let plan = Plan {
        storeys: vec![now],
        ..Plan::default()
    };
    let mut gap = correction("");
    gap.anchor = CorrectionAnchor::Point {
        at: [30.0, 70.0],
        storey: None,
    };
    gap.intent = CorrectionIntent::Wall;
    let corrections = [correction("R1"), gap];
    let mut findings = Vec::new();
    let located = carry(&earlier, &plan, &corrections, &mut findings);
    assert_eq!(located.len(), 2, "{findings:?}");
    let is_in = |at: Coord<f64>| (940.0..990.0).contains(&at.x) && (50.0..90.0).contains(&at.y);
    assert!(is_in(located[0].at), "{:?}", located[0].at);
    let d = located[1].at - over(Coord { x: 30.0, y: 70.0 });
    assert!(d.x.hypot(d.y) < 1e-6);
}

#[test]
fn of_a_storey_that_lies_nowhere_the_orphan_says_so() {
    let mut numbers = Numbers(11);
    let (old, other) = (house(&mut numbers), house(&mut numbers));
    let plan = Plan {
        storeys: vec![other],
        ..Plan::default()
    };
    let corrections = [correction(&old.openings[0].id)];
    let earlier = EarlierPlan { storeys: vec![old] };
    let mut findings = Vec::new();
    carry(&earlier, &plan, &corrections, &mut findings);
    let said = &findings[0].message;
    assert!(
        said.contains("lies on no storey of this one") && !said.contains("names no"),
        "{said}"
    );
}

/// Walls and openings numbered anew, one opening more, one fewer: what is found again is called as it was.
#[test]
fn what_is_found_again_keeps_its_id_and_what_is_new_gets_one_never_used() {
    let old = house(&mut Numbers(7));
    let issued = EarlierPlan {
        storeys: vec![old.clone()],
    };
    let issued = IssuedNames {
        before_corrections: issued.clone(),
        as_issued: issued,
    };
    let mut now = old.clone();
    now.openings.pop().unwrap();
    for (i, wall) in now.walls.iter_mut().enumerate() {
        let letter = wall.id.remove(0);
        let number = old.walls.len() - i;
        let id = format!("{letter}{number}");
        let was = &old.walls[i].id;
        let own = now.openings.iter_mut().zip(&old.openings);
        for (opening, _) in own.filter(|(_, it)| it.wall == *was) {
            opening.wall.clone_from(&id);
        }
        wall.id = id;
    }
    let n_openings = now.openings.len();
    for (i, opening) in now.openings.iter_mut().enumerate() {
        opening.id = format!("O{}", n_openings - i);
    }
    let fresh = Opening {
        id: "O99".to_owned(),
        wall: now.walls[0].id.clone(),
        // Far beyond everything that was there.
        centre: now.walls[0].end + (now.walls[0].end - now.walls[0].start) * 3.0,
        width: 30.0,
        ..Opening::default()
    };
    now.openings.push(fresh);
    Names::of(Some(&issued), true).give(&mut now);
    for (wall, was) in now.walls.iter().zip(&old.walls) {
        assert_eq!(wall.id, was.id);
    }
    for (opening, was) in now.openings.iter().zip(&old.openings).take(n_openings) {
        assert_eq!((&opening.id, &opening.wall), (&was.id, &was.wall));
    }
    let last = now.openings.last().unwrap();
    assert_eq!(last.id, format!("O{}", old.openings.len() + 1));
}
