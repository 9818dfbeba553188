//! The two skins of an assembly, as its file gives them: one material for both, or one for each face; one face may be bare.
//!
//! ```text
//!   skin_material = "OSB"                             ═══ OSB        outer_skin_material = "treated plywood"   ═══ plywood
//!   outer_skin = "7/16", inner_skin = "7/16"          ░░░                                                      ░░░
//!                                                     ═══ OSB        inner_skin = 0                            ░░░ bare: a liner
//! ```

use super::apply::DENSITY;
use super::assembly::Skin;
use super::checks::Checks;
use super::plant::Face;
use super::plant_file::{AssemblyFile, Key};
use crate::toml_text::{At, LengthValue};
use crate::units::Length;
use std::ops::RangeInclusive;

/// A skin that is there.
const SKIN: RangeInclusive<Length> = Length::TAPE_STEP..=Length::feet(2);

/// What the file says of one face.
struct Given<'a> {
    face: Face,
    thickness: &'a At<LengthValue>,
    material: &'a Key<String>,
    density: &'a Key<f64>,
}

impl Given<'_> {
    fn key(&self, what: &str) -> String {
        format!("assemblies.{}_skin{what}", self.face.name())
    }
}

/// The outer and the inner skin.
pub(super) fn skins(file: &AssemblyFile, checks: &mut Checks<'_>) -> [Skin; 2] {
    let common = file.skin_material.as_ref();
    let material = common.map(|at| checks.one_text("assemblies.skin_material", at));
    let density = file.skin_density.as_ref();
    let density = density.map(|at| checks.one_number("assemblies.skin_density", at, &DENSITY));
    let common = (material, density);
    let outer = Given {
        face: Face::Outer,
        thickness: &file.outer_skin,
        material: &file.outer_skin_material,
        density: &file.outer_skin_density,
    };
    let inner = Given {
        face: Face::Inner,
        thickness: &file.inner_skin,
        material: &file.inner_skin_material,
        density: &file.inner_skin_density,
    };
    let skins = [outer, inner].map(|given| skin(&given, &common, checks));
    if skins.iter().all(|skin| !skin.is_there()) {
        checks.refuse(
            file.outer_skin.offset,
            format!("assembly '{}' has no skin", file.name.value),
            "give outer_skin or inner_skin a thickness; 0 leaves a face bare, on one side alone",
        );
    }
    skins
}

fn skin(
    given: &Given<'_>,
    common: &(Option<String>, Option<f64>),
    checks: &mut Checks<'_>,
) -> Skin {
    let thickness = given.thickness.value.0;
    if thickness == Length::ZERO {
        let own = given.material.as_ref().map(|at| at.offset);
        if let Some(offset) = own.or(given.density.as_ref().map(|at| at.offset)) {
            checks.refuse(
                offset,
                format!(
                    "{} is 0, and the file says what it is made of",
                    given.key("")
                ),
                "give the skin a thickness, or leave its material and density out",
            );
        }
        return Skin::default();
    }
    checks.one_length(&given.key(""), given.thickness, &SKIN);
    let own = given.material.as_ref();
    let own = own.map(|at| checks.one_text(&given.key("_material"), at));
    let own_density = given.density.as_ref();
    let own_density = own_density.map(|at| checks.one_number(&given.key("_density"), at, &DENSITY));
    let (common, common_density) = common;
    let offset = given
        .material
        .as_ref()
        .map_or(given.thickness.offset, |at| at.offset);
    let is_other = own.is_some() && own != *common;
    let density = own_density.or(common_density.filter(|_| !is_other));
    let Some(material) = own.or_else(|| common.clone()) else {
        checks.refuse(
            offset,
            format!("{} is of no material", given.key("")),
            format!(
                "give skin_material for both faces, or {}_skin_material",
                given.face.name()
            ),
        );
        return Skin {
            thickness,
            ..Skin::default()
        };
    };
    if density.is_none() {
        checks.refuse(
            offset,
            format!(
                "nothing says what {material} weighs, the material of {}",
                given.key("")
            ),
            format!(
                "give {}_skin_density, pounds per cubic foot",
                given.face.name()
            ),
        );
    }
    Skin {
        thickness,
        material,
        density: density.unwrap_or_default(),
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::{Face, PlantRules, read_rules};
    use crate::units::Length;

    const REST: &str =
        "core = '5-5/8'\nlumber = '2x6'\ncore_material = 'EPS'\ncore_density = 1.0\n";

    fn read(skins: &str) -> Result<PlantRules, String> {
        let text = format!("default_assembly = 'A'\n[[assemblies]]\nname = 'A'\n{REST}{skins}");
        let read = read_rules(&text, "plant.toml");
        read.map(|it| it.output).map_err(|error| error.to_string())
    }

    #[test]
    fn one_material_serves_both_faces_and_either_face_may_have_its_own() {
        let rules =
            read("outer_skin='7/16'\ninner_skin='7/16'\nskin_material='OSB'\nskin_density=40.0\n");
        let plain = rules.unwrap().assemblies.remove(0);
        assert!(plain.is_even() && !plain.is_liner());
        assert_eq!(plain.skin_words(), "OSB 7/16");
        let rules = read(
            "outer_skin='1/2'\ninner_skin='7/16'\nskin_material='OSB'\nskin_density=40.0\n\
             outer_skin_material='treated plywood'\nouter_skin_density=36.0\n",
        );
        let uneven = rules.unwrap().assemblies.remove(0);
        assert_eq!(
            uneven.skin_words(),
            "treated plywood 1/2 outside, OSB 7/16 inside"
        );
        assert_eq!(uneven.thickness(), Length::fraction(6, 9, 16));
        // By hand: 1/2 in of 36 pcf 1.5, 7/16 in of 40 pcf 1.458, 5 5/8 in of 1 pcf 0.469.
        assert!((uneven.pounds_per_sq_ft() - 3.427).abs() < 5e-4);
        // Both of their own: the common ones may be left out.
        let rules = read(
            "outer_skin='1/2'\ninner_skin='1/2'\nouter_skin_material='treated plywood'\nouter_skin_density=36.0\n\
             inner_skin_material='OSB'\ninner_skin_density=40.0\n",
        );
        assert!(!rules.unwrap().assemblies.remove(0).is_even());
    }

    #[test]
    fn a_face_without_thickness_is_bare() {
        let rules =
            read("outer_skin='7/16'\ninner_skin=0\nskin_material='OSB'\nskin_density=40.0\n");
        let liner = rules.unwrap().assemblies.remove(0);
        assert_eq!((liner.bare(), liner.n_skins()), (Some(Face::Inner), 1));
        assert_eq!(liner.thickness(), Length::fraction(6, 1, 16));
        assert_eq!(liner.skin_words(), "OSB 7/16 outside, bare inside");
    }

    #[test]
    fn skins_that_contradict_themselves_are_refused() {
        for (skins, message) in [
            (
                "outer_skin=0\ninner_skin=0\nskin_material='OSB'\nskin_density=40.0\n",
                "plant.toml:8: assembly 'A' has no skin",
            ),
            (
                "outer_skin='7/16'\ninner_skin='7/16'\nskin_density=40.0\ninner_skin_material='OSB'\n",
                "plant.toml:8: assemblies.outer_skin is of no material: give skin_material for both faces",
            ),
            (
                "outer_skin='7/16'\ninner_skin='7/16'\nskin_material='OSB'\nskin_density=40.0\nouter_skin_material='plywood'\n",
                "plant.toml:12: nothing says what plywood weighs, the material of assemblies.outer_skin: give outer_skin_density",
            ),
            (
                "outer_skin='7/16'\ninner_skin=0\nskin_material='OSB'\nskin_density=40.0\ninner_skin_density=36.0\n",
                "plant.toml:12: assemblies.inner_skin is 0, and the file says what it is made of",
            ),
            (
                "outer_skin='0.01'\ninner_skin='7/16'\nskin_material='OSB'\nskin_density=40.0\n",
                "plant.toml:8: assemblies.outer_skin is",
            ),
            (
                "outer_skin=-1\ninner_skin='7/16'\nskin_material='OSB'\nskin_density=40.0\n",
                "plant.toml:8: assemblies.outer_skin is",
            ),
        ] {
            let error = read(skins).unwrap_err();
            assert!(error.starts_with(message), "{error}");
        }
        let error = read_rules("[joints]\nliner_spline = 'block'\n", "plant.toml").unwrap_err();
        assert_eq!(
            error.to_string(),
            "plant.toml:2: joints.liner_spline is 'block', which needs two skins: take \"single lumber\" or \"double lumber\""
        );
    }
}
