//! A wall to fabricate in tests, written down as a drafter would sketch it.

use super::{FabricateOptions, FabricatedPanel, Fabrication, fabricate};
use crate::building::{
    Building, BuildingStorey, Corner, HeightStack, PanelWall, RoughOpening, SizeOrigin, WallProfile,
};
use crate::findings::Outcome;
use crate::geometry::{Frame, ShopRect};
use crate::layout::{Layout, Panel, PanelEdge, PanelKind, SplineFit, WallEnd, WallLayout};
use crate::plan::OpeningKind;
use crate::rules::{HeaderMember, HeldFace, PlantRules};
use crate::units::{Length, parse_length};

/// A length as on a tape.
pub(super) fn inches(text: &str) -> Length {
    parse_length(text).unwrap()
}

/// `left, bottom, right, top`, each as on a tape.
pub(super) fn rect(text: &str) -> ShopRect {
    let sides: Vec<Length> = text.split(',').map(inches).collect();
    ShopRect::new(sides[0], sides[1], sides[2], sides[3])
}

/// One wall, 108 in high, along +x from (100, 200), of 6-1/2 in panels, and the panels laid out in it.
pub(super) struct Scene {
    pub(super) building: Building,
    pub(super) layout: Layout,
    pub(super) rules: PlantRules,
}

impl Scene {
    pub(super) fn new(length: &str) -> Self {
        let frame = Frame::from_points((100.0, 200.0).into(), (101.0, 200.0).into()).unwrap();
        let wall = PanelWall {
            id: "X1".to_owned(),
            name: "South".to_owned(),
            storey: "S1".to_owned(),
            storey_index: 0,
            frame,
            face_length: inches(length),
            assembly: 1,
            stack: HeightStack {
                panel_bottom: Length::ZERO,
                panel_top: Length::inches(108),
                cap_top: inches("109 1/2"),
            },
            profile: WallProfile::level(Length::ZERO, Length::inches(108), inches(length)),
            left: Corner::default(),
            right: Corner::default(),
            openings: Vec::new(),
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
            sources: vec!["A1".to_owned()],
        };
        let run = WallLayout {
            to: inches(length),
            ..WallLayout::default()
        };
        Self {
            building: Building {
                storeys: vec![BuildingStorey {
                    id: "S1".to_owned(),
                    ..BuildingStorey::default()
                }],
                walls: vec![wall],
                snap_step: Length::TAPE_STEP,
            },
            layout: Layout {
                walls: vec![run],
                panels: Vec::new(),
            },
            rules: PlantRules::default(),
        }
    }

    /// A rough opening: `left, sill, right, head`; a door when the sill is 0.
    pub(super) fn opening(mut self, bounds: &str, header: HeaderMember, jacks: u32) -> Self {
        let r = rect(bounds);
        let kind = if r.y0 > Length::ZERO {
            OpeningKind::Window
        } else {
            OpeningKind::Door
        };
        let openings = &mut self.building.walls[0].openings;
        openings.push(RoughOpening {
            id: format!("O{}", openings.len() + 1),
            kind,
            from: r.x0,
            to: r.x1,
            sill: r.y0,
            head: r.y1,
            unit: [r.width(), r.height()],
            height_origin: SizeOrigin::Plan,
            head_origin: SizeOrigin::Plan,
            tag: None,
            hinge: None,
            header,
            jacks,
            header_from_job: false,
            drawn: None,
            moved_over: None,
            header_rule: "openings.header".to_owned(),
            on_hold: false,
            sources: vec!["B2".to_owned()],
        });
        self
    }

    /// A panel of full height with these openings cut in it.
    pub(super) fn panel(
        self,
        x: [&str; 2],
        left: PanelEdge,
        right: PanelEdge,
        openings: &[usize],
    ) -> Self {
        let bounds = ShopRect::new(
            inches(x[0]),
            Length::ZERO,
            inches(x[1]),
            Length::inches(108),
        );
        self.piece(PanelKind::Wall, bounds, left, right, openings)
    }

    /// A panel of any kind.
    pub(super) fn piece(
        mut self,
        kind: PanelKind,
        rect: ShopRect,
        left: PanelEdge,
        right: PanelEdge,
        openings: &[usize],
    ) -> Self {
        let n_before = self.layout.panels.len();
        let is_jamb = |edge: &PanelEdge| matches!(edge, PanelEdge::Jamb { .. });
        let is_narrow = rect.width() < self.rules.joints.least_panel;
        let is_pier = kind == PanelKind::Wall && is_narrow && [left, right].iter().any(is_jamb);
        self.layout.panels.push(Panel {
            mark: format!("W10{}", n_before + 1),
            erection: u32::try_from(n_before + 1).unwrap().into(),
            wall: 0,
            kind,
            rect,
            make_up: Length::ZERO,
            openings: openings.to_vec(),
            is_pier,
            left,
            right,
            line: 1,
            is_axis_level: false,
            reasons: Vec::new(),
        });
        self
    }

    pub(super) fn make(&self) -> Outcome<Fabrication> {
        fabricate(
            &self.building,
            &self.layout,
            &self.rules,
            &FabricateOptions::default(),
        )
    }

    /// The panel with this place in the layout.
    #[track_caller]
    pub(super) fn made(&self, index: usize) -> FabricatedPanel {
        self.make().output.panels[index].clone()
    }
}

/// A corner at which this wall's run ends so.
pub(super) fn corner(end: WallEnd) -> PanelEdge {
    PanelEdge::Corner { with: 0, end }
}

/// A spline that this panel carries, or receives.
pub(super) fn spline(with: usize, carries: bool) -> PanelEdge {
    let fit = if carries {
        SplineFit::Carries
    } else {
        SplineFit::Receives
    };
    PanelEdge::Spline { with, fit }
}

/// A spline that neither panel carries.
pub(super) fn loose(with: usize) -> PanelEdge {
    PanelEdge::Spline {
        with,
        fit: SplineFit::Loose,
    }
}

/// `2-2x10` as a header.
pub(super) fn plies(text: &str) -> HeaderMember {
    let (plies, section) = text.split_once('-').unwrap();
    HeaderMember::Lumber {
        plies: plies.parse().unwrap(),
        section: section.to_owned(),
    }
}

/// The corner panel of the reference sheet `W101`: 95 7/8 wide, a window 36 1/2 x 48 1/2 without header, a corner at its left
/// end, its spline at the right; beside it a plain panel of 47 7/8.
pub(super) fn reference() -> Scene {
    Scene::new("144")
        .opening("29 3/4, 33 1/2, 66 1/4, 82", HeaderMember::None, 0)
        .panel(
            ["0", "95 7/8"],
            corner(WallEnd::Through),
            spline(1, true),
            &[0],
        )
        .panel(["96", "143 7/8"], spline(0, false), PanelEdge::Free, &[])
}
