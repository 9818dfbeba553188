//! The empty rules that the shipped defaults are laid over: no value here survives, and a test sees to that.

use super::plant::{
    BuckConvention, CapAtTees, ChaseMade, ChaseRules, CornerRules, CornerTreatment, Face,
    FixingRules, JointRules, LayerNames, LiftRules, LumberRules, OddCorner, OpeningRules,
    PlantRules, PlateRules, RecessRules, SawRules, SawUnit, SawVersion, ScopeRules, SoleAtDoors,
};
use crate::units::Length;
use std::collections::BTreeMap;

impl PlantRules {
    /// Rules in which nothing is set.
    pub(super) fn blank() -> Self {
        Self {
            name: String::new(),
            grid: Length::ZERO,
            default_assembly: String::new(),
            default_wall_height: Length::ZERO,
            assemblies: Vec::new(),
            lines: Vec::new(),
            joints: JointRules {
                gap: Length::ZERO,
                spline: super::SplineKind::Block,
                least_panel: Length::ZERO,
                preferred_panel: Length::ZERO,
                from_opening: Length::ZERO,
                from_opening_preferred: Length::ZERO,
                from_tee: Length::ZERO,
                from_point_load: Length::ZERO,
                site_tolerance: Length::ZERO,
            },
            plates: PlateRules {
                thickness: Length::ZERO,
                stock_lengths: Vec::new(),
                joint_offset: Length::ZERO,
                least_piece: Length::ZERO,
                sole_at_doors: SoleAtDoors::Stops,
                has_cap: false,
                cap_at_tees: CapAtTees::Laps,
            },
            recesses: RecessRules {
                plate: Length::ZERO,
                end_stud: Length::ZERO,
                buck: Length::ZERO,
                seat: Length::ZERO,
            },
            splines: super::SplineRules::default(),
            corners: CornerRules {
                screw_spacing: Length::ZERO,
                screw_bite: Length::ZERO,
                odd: OddCorner::Mitre,
                tee: super::TeeStud::None,
                tee_least_angle: 0.0,
            },
            fixings: FixingRules {
                nail: String::new(),
                nail_spacing: Length::ZERO,
            },
            openings: OpeningRules {
                buck: BuckConvention::InRecess,
                drawn_width: BTreeMap::new(),
                allowances: BTreeMap::new(),
                sizes: BTreeMap::new(),
                headers: Vec::new(),
                whole_up_to: Length::ZERO,
                least_leg: Length::ZERO,
                door_bridge: Length::ZERO,
            },
            chases: ChaseRules {
                diameter: Length::ZERO,
                horizontal: Vec::new(),
                vertical_from_joint: Length::ZERO,
                vertical_spacing: Length::ZERO,
                vertical_least: Length::ZERO,
                from_latch: Length::ZERO,
                clear_of_lumber: Length::ZERO,
                made: ChaseMade::Core,
            },
            lumber: LumberRules {
                sections: BTreeMap::new(),
                grade: String::new(),
                density: 0.0,
            },
            lifts: LiftRules {
                hand_limit: 0.0,
                forklift_limit: 0.0,
                pick_half_spacing: Length::ZERO,
                pick_below_top: Length::ZERO,
                greatest_weight: 0.0,
            },
            saw: SawRules {
                unit: SawUnit::Inch,
                version: SawVersion::R12,
                face_up: Face::Outer,
                corners: CornerTreatment::StopShort,
                tool_radius: Length::ZERO,
                layers: LayerNames {
                    outline: String::new(),
                    opening: String::new(),
                    under: String::new(),
                    recess: String::new(),
                    slot: String::new(),
                    chase: String::new(),
                    mark: String::new(),
                    note: String::new(),
                    blank: String::new(),
                    cut: String::new(),
                    offcut: String::new(),
                    core_joint: String::new(),
                },
            },
            alignment: super::AlignmentRules::default(),
            piers: super::PierRules::default(),
            points: super::PointRules::default(),
            stock: super::StockRules::default(),
            dispatch: super::DispatchRules::default(),
            sheets: super::SheetRules::default(),
            cost: super::CostRules::default(),
            scope: ScopeRules {
                source: String::new(),
                wall_height: Length::ZERO,
                building_length: Length::ZERO,
                building_width: Length::ZERO,
                storeys: 0,
                ground_snow_psf: 0.0,
                wind_mph_exposure_b: 0.0,
                wind_mph_exposure_c: 0.0,
                horizontal_chases: 0,
                seismic: Vec::new(),
                thicknesses: Vec::new(),
            },
        }
    }
}
