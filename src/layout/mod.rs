//! Decides where each panel starts and ends, its mark and its place in the order of erection.
//!
//! ```text
//!   PanelWall ──► run from corner to corner ──► allowed joints ──► exact search ──► panels, gaps, openings, plates
//! ```
//!
//! *Promises.* Panels and gaps tile each run exactly. No joint lies in an opening or nearer to one than the rules allow.
//! The layout of a wall has the least cost that its rules allow, and says that cost. Every joint knows why it is there.
//!
//! *Does not do.* Parts inside a panel: that is `fabrication`.

mod assemble;
pub mod codes;
mod corners;
mod model;
mod plates;
mod ring;
mod run;
mod search;

use crate::building::Building;
use crate::findings::Outcome;
use crate::rules::PlantRules;

pub use model::{
    Layout, Panel, PanelEdge, PanelKind, PlateRun, PlateUse, Reason, RunPiece, WallEnd, WallLayout,
};

/// How to lay out.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LayoutOptions {
    /// How many truly different layouts of each wall to keep besides the best. Default: none.
    pub alternatives: usize,
}

/// Lays out every wall of the building.
///
/// - Returns panels in the order of erection, and for each wall its run, plates, cost and bound.
/// - A wall that cannot be panelled is a fault that names it; the rest goes on.
#[must_use]
pub fn lay_out(
    building: &Building,
    rules: &PlantRules,
    _options: &LayoutOptions,
) -> Outcome<Layout> {
    let chosen = ring::choose(building, rules);
    let mut findings = Vec::new();
    let output = assemble::assemble(building, rules, &chosen, &mut findings);
    Outcome { output, findings }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::building::{BuildingStorey, Corner, CornerKind, HeightStack, PanelWall};
    use crate::geometry::Frame;
    use crate::rules::HeldFace;
    use crate::units::Length;

    /// A rectangle out to out, without openings, 9 ft panels, 6-1/2 in thick.
    fn rectangle(width: i64, depth: i64, rules: &PlantRules) -> Building {
        let corners = [(0, 0), (width, 0), (width, depth), (0, depth)];
        let point = |i: usize| {
            let (x, y) = corners[i % 4];
            geo::Coord {
                x: Length::inches(x).to_inches(),
                y: Length::inches(y).to_inches(),
            }
        };
        let corner = |with| Corner {
            with: Some(with),
            kind: CornerKind::Outside,
            turn_deg: 90.0,
        };
        let top = Length::inches(108);
        let wall = |i: usize| PanelWall {
            id: format!("X{}", i + 1),
            name: format!("X{}", i + 1),
            storey: "S1".to_owned(),
            storey_index: 0,
            frame: Frame::from_points(point(i), point(i + 1)).unwrap(),
            face_length: Length::inches(if i == 0 || i == 2 { width } else { depth }),
            assembly: rules
                .assemblies
                .iter()
                .position(|a| a.name == "6-1/2")
                .unwrap(),
            stack: HeightStack {
                panel_bottom: Length::ZERO,
                panel_top: top,
                cap_top: top + Length::fraction(1, 1, 2),
            },
            left: corner((i + 3) % 4),
            right: corner((i + 1) % 4),
            openings: Vec::new(),
            tees: Vec::new(),
            held: HeldFace::Outside,
            drawn_thickness: 6.5,
            bearing: String::new(),
            on_hold: false,
            sources: Vec::new(),
        };
        Building {
            storeys: vec![BuildingStorey {
                id: "S1".to_owned(),
                ..BuildingStorey::default()
            }],
            walls: (0..4).map(wall).collect(),
            ..Building::default()
        }
    }

    /// A 16 ft x 24 ft house with 9 ft walls in 6-1/2 in panels is a normal small job (common practice, no source).
    ///
    /// By hand: the two 24 ft walls run through, 288 in: three jumbo modules of 96 in, so 95 7/8 + 1/8 gap, 95 7/8 + 1/8,
    /// and 96 at the end where no joint follows. The two 16 ft walls butt at both ends: 192 - 2 x 6 1/2 = 179 in: one module
    /// of 96 (95 7/8 + 1/8) and 83 left. Ten panels. The other way round (16 ft walls through: 96 + 96; 24 ft walls 275 =
    /// 96 + 96 + 83) costs the same to the cent, so the longer walls run through.
    #[test]
    fn a_sixteen_by_twenty_four_house_has_ten_panels() {
        let rules = PlantRules::default();
        let layout = lay_out(
            &rectangle(288, 192, &rules),
            &rules,
            &LayoutOptions::default(),
        )
        .output;
        let widths: Vec<(String, String)> = layout
            .panels
            .iter()
            .map(|p| (p.mark.clone(), p.rect.width().to_string()))
            .collect();
        let by_hand = [
            ("W101", "95 7/8\""),
            ("W102", "95 7/8\""),
            ("W103", "96\""),
            ("W104", "95 7/8\""),
            ("W105", "83\""),
            ("W106", "95 7/8\""),
            ("W107", "95 7/8\""),
            ("W108", "96\""),
            ("W109", "95 7/8\""),
            ("W110", "83\""),
        ];
        assert_eq!(
            widths,
            by_hand.map(|(mark, width)| (mark.to_owned(), width.to_owned()))
        );
        for laid in &layout.walls {
            assert_eq!(laid.cost_cents, laid.bound_cents);
        }
    }

    #[test]
    fn twenty_eight_feet_with_two_butts_leave_twenty_six_eleven() {
        // Trade rule (derived): out to out less one panel thickness at each butt; 28'-0" and 6-1/2 in give 26'-11".
        let rules = PlantRules::default();
        let layout = lay_out(
            &rectangle(528, 336, &rules),
            &rules,
            &LayoutOptions::default(),
        )
        .output;
        let butting: Vec<String> = layout
            .walls
            .iter()
            .filter(|laid| laid.left_end == WallEnd::Butt && laid.right_end == WallEnd::Butt)
            .map(|laid| laid.length().feet_inches().to_string())
            .collect();
        assert_eq!(butting, ["26'-11\"", "26'-11\""]);
    }

    #[test]
    fn panels_and_gaps_tile_each_run() {
        let rules = PlantRules::default();
        for (width, depth) in [(288, 192), (528, 336), (130, 97), (721, 403)] {
            for laid in lay_out(
                &rectangle(width, depth, &rules),
                &rules,
                &LayoutOptions::default(),
            )
            .output
            .walls
            {
                let mut reached = Length::ZERO;
                for piece in &laid.run {
                    let (from, to) = match piece {
                        RunPiece::Panel { from, to, .. }
                        | RunPiece::Gap { from, to }
                        | RunPiece::Opening { from, to, .. } => (*from, *to),
                    };
                    assert_eq!(from, reached);
                    reached = to;
                }
                assert_eq!(reached, laid.length());
            }
        }
    }
}
