//! What a price must hold though no panel shows it: walls that nobody could lay out, members that nobody has named.

use super::quantities::board_feet;
use crate::building::{Building, PanelWall, RoughOpening};
use crate::fabrication::Fabrication;
use crate::rules::{HeaderMember, HeaderRule, PlantRules, SectionMaterial};
use crate::units::{Length, square_feet};

/// Walls that have no panel: the assembly of each, and the square feet of the rectangle about it from corner to corner,
/// openings included.
pub(super) fn bare_walls(building: &Building, fabrication: &Fabrication) -> Vec<(usize, f64)> {
    let walls = building.walls.iter().zip(0..);
    let bare = walls.filter(|(_, index)| fabrication.panels.iter().all(|it| it.wall != *index));
    bare.map(|(wall, _)| {
        let [from, to] = wall.panelled();
        let about = wall.profile.bounds(from, to);
        (wall.assembly, square_feet(about.width(), about.height()))
    })
    .collect()
}

/// Members over openings that are left to the engineer, each as the plant's table has it by width; beyond the table as its last row
/// that names one. Whoever finds no room for a member still pays for one.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Unnamed {
    /// Of sawn lumber.
    pub(super) board_feet: f64,
    /// Plies of LVL.
    pub(super) lvl_feet: f64,
    /// Headers of panel.
    pub(super) panel_feet: f64,
}

impl Unnamed {
    pub(super) fn of(building: &Building, rules: &PlantRules) -> Self {
        let mut all = Self::default();
        for wall in &building.walls {
            let left = wall.openings.iter();
            for opening in left.filter(|it| it.header == HeaderMember::Engineer) {
                if let Some(row) = row_of(opening, rules) {
                    all.add(row, length_of(wall, opening, row, rules), rules);
                }
            }
        }
        all
    }

    fn add(&mut self, row: &HeaderRule, length: Length, rules: &PlantRules) {
        let feet = length.to_inches() / 12.0;
        match &row.member {
            HeaderMember::Lumber { plies, section } => {
                let material = rules.lumber.sections.get(section).map(|it| it.material);
                if material == Some(SectionMaterial::Lvl) {
                    self.lvl_feet += f64::from(*plies) * feet;
                } else if let Some(one) = board_feet(section, length, rules) {
                    self.board_feet += f64::from(*plies) * one;
                }
            }
            HeaderMember::Sip { .. } => self.panel_feet += feet,
            HeaderMember::None | HeaderMember::Engineer => {}
        }
    }
}

/// The row of the plant's table that names a member for an opening so wide.
fn row_of<'a>(opening: &RoughOpening, rules: &'a PlantRules) -> Option<&'a HeaderRule> {
    let rows = &rules.openings.headers;
    let own = rows.iter().find(|row| opening.width() <= row.up_to);
    if own.is_some_and(|row| row.member != HeaderMember::Engineer) {
        return own;
    }
    let mut named = rows.iter().rev();
    named.find(|row| !matches!(row.member, HeaderMember::Engineer | HeaderMember::None))
}

/// From end to end: the rough opening and the jacks that it bears on.
fn length_of(
    wall: &PanelWall,
    opening: &RoughOpening,
    row: &HeaderRule,
    rules: &PlantRules,
) -> Length {
    let assembly = rules.assemblies.get(wall.assembly);
    let stud = assembly.and_then(|it| rules.lumber.sections.get(&it.lumber));
    let jack = stud.map_or(Length::ZERO, |it| it.thickness);
    opening.width() + jack * (2 * i64::from(row.jacks))
}
