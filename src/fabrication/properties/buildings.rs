//! Buildings made by counting: rectangles, Ls and bays, with openings where they fit.

use super::super::{FabricateOptions, FabricatedPanel, Fabrication, fabricate};
use crate::building::{
    Building, BuildingStorey, Corner, CornerKind, HeightStack, PanelWall, RoughOpening, SizeOrigin,
    WallProfile,
};
use crate::geometry::Frame;
use crate::layout::{Layout, LayoutOptions, lay_out};
use crate::plan::{Hinge, OpeningKind};
use crate::rules::{BuckConvention, HeldFace, PlantRules, SplineKind};
use crate::units::Length;
use geo::Coord;

/// Numbers that jump about, the same each time (a linear congruence).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: i64) -> i64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(self.0 >> 40).unwrap() % limit
    }
}

/// A building on corners in inches, counter-clockwise, with openings where they fit.
fn raise(corners: &[(f64, f64)], rules: &PlantRules, numbers: &mut Numbers) -> Building {
    let n = corners.len();
    let at = |i: usize| Coord::from(corners[i % n]);
    let heading = |i: usize| {
        let d = at(i + 1) - at(i);
        d.y.atan2(d.x).to_degrees()
    };
    let corner = |with: usize, before: usize, after: usize| {
        let turn = (heading(after) - heading(before) + 540.0).rem_euclid(360.0) - 180.0;
        let kind = if (turn - 90.0).abs() < 1e-9 {
            CornerKind::Outside
        } else if (turn + 90.0).abs() < 1e-9 {
            CornerKind::Inside
        } else {
            CornerKind::Odd
        };
        Corner {
            with: Some(with),
            kind,
            turn_deg: turn,
        }
    };
    let mut walls = Vec::new();
    for i in 0..n {
        let d = at(i + 1) - at(i);
        let length = Length::nearest(d.x.hypot(d.y), Length::nanometres(1)).unwrap();
        walls.push(PanelWall {
            id: format!("X{}", i + 1),
            name: format!("X{}", i + 1),
            storey: "S1".to_owned(),
            storey_index: 0,
            frame: Frame::from_points(at(i), at(i + 1)).unwrap(),
            face_length: length,
            assembly: rules
                .assemblies
                .iter()
                .position(|a| a.name == "6-1/2")
                .unwrap(),
            stack: HeightStack {
                panel_bottom: Length::ZERO,
                panel_top: Length::inches(108),
                cap_top: Length::fraction(109, 1, 2),
            },
            profile: WallProfile::level(Length::ZERO, Length::inches(108), length),
            left: corner((i + n - 1) % n, (i + n - 1) % n, i),
            right: corner((i + 1) % n, i, (i + 1) % n),
            openings: openings(length, rules, numbers),
            tees: Vec::new(),
            jacks_above: Vec::new(),
            held: HeldFace::Outside,
            drawn_thickness: 6.5,
            skin_drop: Length::ZERO,
            stops: [Length::ZERO; 2],
            role: crate::building::WallRole::Exterior,
            bears: true,
            bearing: String::new(),
            on_hold: false,
            sources: Vec::new(),
        });
    }
    Building {
        storeys: vec![BuildingStorey {
            id: "S1".to_owned(),
            floor: Length::inches(12),
            ..BuildingStorey::default()
        }],
        walls,
        snap_step: Length::TAPE_STEP,
    }
}

fn openings(length: Length, rules: &PlantRules, numbers: &mut Numbers) -> Vec<RoughOpening> {
    let mut openings = Vec::new();
    let mut from = Length::inches(20 + numbers.below(30));
    loop {
        let width = Length::inches(18 + numbers.below(90));
        if from + width + Length::inches(24) > length {
            return openings;
        }
        let is_door = numbers.below(3) == 0;
        let row = rules
            .openings
            .headers
            .iter()
            .find(|row| width <= row.up_to)
            .unwrap();
        openings.push(RoughOpening {
            id: format!("O{}", numbers.below(1_000_000)),
            kind: if is_door {
                OpeningKind::Door
            } else {
                OpeningKind::Window
            },
            from,
            to: from + width,
            sill: if is_door {
                Length::ZERO
            } else {
                Length::inches(20 + numbers.below(30))
            },
            head: Length::inches(82),
            unit: [width, Length::inches(48)],
            height_origin: SizeOrigin::Plan,
            head_origin: SizeOrigin::Plan,
            tag: None,
            hinge: [None, Some(Hinge::Start), Some(Hinge::End)]
                [usize::try_from(numbers.below(3)).unwrap()],
            header: row.member.clone(),
            jacks: row.jacks,
            header_from_job: false,
            drawn: None,
            moved_over: None,
            header_rule: "openings.headers".to_owned(),
            on_hold: false,
            sources: Vec::new(),
        });
        from += width + Length::inches(30 + numbers.below(60));
    }
}

/// Many buildings, laid out and made: rectangles, Ls and bays, with all splines and both buck conventions.
pub(super) fn every_building(check: &mut dyn FnMut(&PlantRules, &Building, &Layout, &Fabrication)) {
    let mut numbers = Numbers(2026);
    for round in 0..24 {
        let mut rules = PlantRules::default();
        rules.joints.spline = SplineKind::ALL[round % SplineKind::ALL.len()];
        if round % 5 == 0 {
            rules.openings.buck = BuckConvention::Lining;
        }
        if round % 3 == 0 {
            rules.recesses.seat = Length::fraction(0, 1, 16);
        }
        let (w, d) = (
            Length::inches(220 + numbers.below(300)).to_inches(),
            Length::inches(200 + numbers.below(160)).to_inches(),
        );
        let rectangle = [(0.0, 0.0), (w, 0.0), (w, d), (0.0, d)];
        let ell = [
            (0.0, 0.0),
            (w, 0.0),
            (w, d),
            (w - 100.0, d),
            (w - 100.0, d + 90.0),
            (0.0, d + 90.0),
        ];
        let bay = [
            (0.0, 0.0),
            (w, 0.0),
            (w + 60.0, 60.0),
            (w + 60.0, d + 60.0),
            (w, d + 120.0),
            (0.0, d + 120.0),
        ];
        let corners: &[(f64, f64)] = match round % 3 {
            0 => &rectangle,
            1 => &ell,
            _ => &bay,
        };
        let building = raise(corners, &rules, &mut numbers);
        let layout = lay_out(&building, &rules, &LayoutOptions::default()).output;
        let made = fabricate(&building, &layout, &rules, &FabricateOptions::default());
        check(&rules, &building, &layout, &made.output);
    }
}

/// Every panel of them that can be made; nothing is promised of one on HOLD. Returns how many.
pub(super) fn every_panel(
    check: &mut dyn FnMut(&PlantRules, &Building, &FabricatedPanel),
) -> usize {
    let mut n_panels = 0;
    every_building(&mut |rules, building, _, made| {
        for panel in made.panels.iter().filter(|panel| !panel.is_held()) {
            check(rules, building, panel);
            n_panels += 1;
        }
    });
    n_panels
}
