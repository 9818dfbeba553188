//! What holds of every layout, on random walls with piers, gables, framed openings, walls that meet them and panels issued before.

use super::testing::{Numbers, free_wall, issue};
use super::tests::keeps_its_promises;
use super::{IssuedPanel, Layout, LayoutOptions, PanelKind, RunPiece, WallWishes, codes, lay_out};
use crate::building::{Building, BuildingStorey, PanelWall, Tee, WallProfile};
use crate::findings::Outcome;
use crate::geometry::{Frame, ShopPoint, ShopRect};
use crate::rules::PlantRules;
use crate::units::Length;
use geo::Coord;

/// A wall with what is wished and known of it.
#[derive(Clone)]
struct Case {
    wall: PanelWall,
    wishes: WallWishes,
}

impl Case {
    /// To 25 ft long: wide openings with a narrow strip between or at an end, windows, now and then a gable and a tee; half of them
    /// with panels issued before an opening moved.
    fn random(numbers: &mut Numbers, rules: &PlantRules) -> Self {
        let length = 120 + numbers.below(180);
        let mut openings = Vec::new();
        // Now and then so near the end that a pier of lumber stands there.
        let mut x = [4, 14, 40][place(numbers.below(3))] + numbers.below(6);
        loop {
            let is_wide = numbers.below(3) == 0;
            let to = x + if is_wide { 98 } else { 22 } + numbers.below(30);
            if to + 14 > length {
                break;
            }
            openings.push((x, to));
            x = to + [5, 16, 50][place(numbers.below(3))] + numbers.below(7);
        }
        let mut wall = free_wall(length, &openings, rules);
        if numbers.below(3) == 0 {
            let [low, high] = [90, 130].map(Length::inches);
            wall.stack.panel_top = high;
            let end = Length::inches(length);
            wall.profile = WallProfile {
                top: vec![
                    ShopPoint::new(Length::ZERO, low),
                    ShopPoint::new(end.half(), high),
                    ShopPoint::new(end, low),
                ],
                ..WallProfile::level(Length::ZERO, high, end)
            };
        }
        if numbers.below(3) == 0 {
            let from = Length::inches(numbers.below(length));
            wall.tees.push(Tee {
                wall: "I1".to_owned(),
                from,
                to: from + Length::fraction(4, 1, 2),
            });
        }
        let mut case = Self {
            wall,
            wishes: WallWishes::default(),
        };
        if numbers.below(2) == 0 {
            let clear = case.keeping_clear(numbers);
            let first = clear.laid(rules).output;
            let mut issued = issue(&case.building(), rules, &first);
            let own = issued.walls.remove(&case.wall.id).unwrap_or_default();
            case.wishes.issued = own.issued;
            if let Some(hole) = case.wall.openings.first_mut() {
                (hole.from, hole.to) = (hole.from + rules.grid * 8, hole.to + rules.grid * 8);
            }
        }
        case
    }

    fn keeping_clear(&self, numbers: &mut Numbers) -> Self {
        let length = self.wall.face_length.steps_of(Length::inches(1));
        let from = Length::inches(numbers.below(length));
        let mut clear = self.clone();
        let to = from + Length::inches(1 + numbers.below(80));
        clear.wishes.keep_clear.push([from, to]);
        clear
    }

    fn building(&self) -> Building {
        Building {
            storeys: vec![BuildingStorey::default()],
            walls: vec![self.wall.clone()],
            ..Building::default()
        }
    }

    fn options(&self) -> LayoutOptions {
        LayoutOptions {
            walls: [(self.wall.id.clone(), self.wishes.clone())].into(),
            ..LayoutOptions::default()
        }
    }

    fn laid(&self, rules: &PlantRules) -> Outcome<Layout> {
        lay_out(&self.building(), rules, &self.options())
    }

    /// Seen from inside: its left end at the right.
    fn reversed(&self) -> Self {
        let length = self.wall.face_length;
        let mut back = self.clone();
        back.wall.openings.reverse();
        for hole in &mut back.wall.openings {
            (hole.from, hole.to) = (length - hole.to, length - hole.from);
        }
        for tee in &mut back.wall.tees {
            (tee.from, tee.to) = (length - tee.to, length - tee.from);
        }
        back.wall.profile.top.reverse();
        for point in &mut back.wall.profile.top {
            point.x = length - point.x;
        }
        let rect = |rect: &ShopRect| ShopRect {
            x0: length - rect.x1,
            x1: length - rect.x0,
            ..*rect
        };
        let panels = self.wishes.issued.iter().map(|panel| IssuedPanel {
            rect: rect(&panel.rect),
            edges: [panel.edges[1], panel.edges[0]],
            openings: panel.openings.iter().rev().map(rect).collect(),
            ..panel.clone()
        });
        back.wishes.issued = panels.collect();
        back
    }
}

fn place(number: i64) -> usize {
    usize::try_from(number).unwrap()
}

/// Not panelled, openings framed by need, cents: what the search makes least, in this order.
fn rank(laid: &Outcome<Layout>) -> (usize, usize, i64) {
    let count = |code| laid.findings.iter().filter(|it| it.code == code).count();
    let cents = laid.output.walls.iter().map(|wall| wall.cost_cents).sum();
    (count(codes::NO_LAYOUT), count(codes::FRAMED_BY_NEED), cents)
}

fn eighths() -> PlantRules {
    PlantRules {
        grid: Length::fraction(0, 1, 8),
        ..PlantRules::default()
    }
}

/// Joints of the only wall, along it.
fn joints(layout: &Layout) -> Vec<Length> {
    let wall = &layout.walls[0];
    let gaps = wall.run.iter().filter_map(|piece| match piece {
        RunPiece::Gap { to, .. } => Some(wall.from + *to),
        RunPiece::Panel { .. } | RunPiece::Opening { .. } => None,
    });
    gaps.collect()
}

#[test]
fn panels_tile_and_no_demand_is_broken() {
    let rules = eighths();
    let mut numbers = Numbers(61);
    let (mut piers, mut framed, mut gables, mut kept) = (0, 0, 0, 0);
    for _ in 0..60 {
        let case = Case::random(&mut numbers, &rules);
        let layout = keeps_its_promises(&case.building(), &rules, &case.options());
        let walls = || layout.panels.iter().filter(|it| it.kind == PanelKind::Wall);
        piers += walls().filter(|it| it.is_pier).count();
        let run = layout.walls[0].run.iter();
        framed += run
            .filter(|it| matches!(it, RunPiece::Opening { .. }))
            .count();
        gables += usize::from(case.wall.profile.is_sloped() && !layout.panels.is_empty());
        let is_kept = |it: &&IssuedPanel| walls().any(|panel| panel.rect == it.rect);
        kept += case.wishes.issued.iter().filter(is_kept).count();
    }
    let seen = [piers, framed, gables, kept];
    assert!(seen.iter().all(|count| *count > 8), "{seen:?}");
}

#[test]
fn a_reversed_wall_costs_the_same_and_the_reversed_layout_is_among_its_least() {
    let rules = eighths();
    let mut numbers = Numbers(62);
    let mut judged = 0;
    for _ in 0..40 {
        let case = Case::random(&mut numbers, &rules);
        let (laid, back) = (case.laid(&rules), case.reversed());
        assert_eq!(rank(&laid), rank(&back.laid(&rules)), "{:?}", case.wall);
        // A joint is named by where its right panel starts: reversed, that is where its left panel ended.
        let mut wished = back;
        let turned = |joint: Length| case.wall.face_length - joint + rules.joints.gap;
        wished.wishes.joints = joints(&laid.output).into_iter().map(turned).collect();
        let again = wished.laid(&rules);
        assert_eq!(rank(&again), rank(&laid));
        assert!(
            again
                .findings
                .iter()
                .all(|it| it.code != codes::WISH_REFUSED)
        );
        judged += usize::from(rank(&laid).0 == 0);
    }
    assert!(judged > 25, "{judged}");
}

#[test]
fn a_turned_wall_is_laid_out_the_same() {
    let rules = eighths();
    let mut numbers = Numbers(63);
    for _ in 0..10 {
        let case = Case::random(&mut numbers, &rules);
        let mut turned = case.clone();
        let to = Coord { x: 3.0, y: -4.0 };
        turned.wall.frame = Frame::from_points(Coord { x: 0.0, y: 0.0 }, to).unwrap();
        assert_eq!(case.laid(&rules), turned.laid(&rules));
    }
}

#[test]
fn a_stretch_kept_clear_never_lowers_the_cost() {
    let rules = eighths();
    let mut numbers = Numbers(64);
    let mut dearer = 0;
    for _ in 0..40 {
        let case = Case::random(&mut numbers, &rules);
        let clear = case.keeping_clear(&mut numbers).laid(&rules);
        let is_refused = clear
            .findings
            .iter()
            .any(|it| it.code == codes::WISH_REFUSED);
        let (free, clear) = (rank(&case.laid(&rules)), rank(&clear));
        assert!(is_refused || clear >= free, "{free:?} {clear:?}");
        dearer += usize::from(!is_refused && clear > free);
    }
    assert!(dearer > 3, "{dearer}");
}

#[test]
fn a_grid_that_contains_another_never_costs_more() {
    let mut numbers = Numbers(65);
    let (coarse, fine) = (
        PlantRules {
            grid: Length::inches(1),
            ..eighths()
        },
        eighths(),
    );
    let mut cheaper = 0;
    for _ in 0..40 {
        let case = Case::random(&mut numbers, &fine);
        let (on_coarse, on_fine) = (rank(&case.laid(&coarse)), rank(&case.laid(&fine)));
        assert!(on_fine <= on_coarse, "{on_fine:?} {on_coarse:?}");
        cheaper += usize::from(on_fine < on_coarse);
    }
    assert!(cheaper > 3, "{cheaper}");
}
