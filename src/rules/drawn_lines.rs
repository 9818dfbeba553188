//! What the job says about walls that the plan draws by one line each, and what the plant's rules take them for where it does not.

use super::checks::Checks;
use super::job::HeldFace;
use super::job_file::WallsFile;
use super::plant_file::LengthKey;
use crate::plan::{DrawnLine, SingleLines};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Walls drawn by one line of which the job says no thickness.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DrawnLineRules {
    /// Thickness of exterior walls. Default: 6-1/2 in.
    pub exterior: Length,
    /// Thickness of interior walls. Default: 4-1/2 in.
    pub interior: Length,
}

impl DrawnLineRules {
    /// Gives the thicknesses that the job leaves open.
    pub fn assume(&self, lines: &mut SingleLines) {
        for (given, assumed) in [
            (&mut lines.exterior, self.exterior),
            (&mut lines.interior, self.interior),
        ] {
            if *given == 0.0 {
                *given = assumed.to_inches();
            }
        }
    }
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct DrawnLinesFile {
    exterior: LengthKey,
    interior: LengthKey,
}

/// Takes over what the group gives.
pub(super) fn apply_drawn_lines(
    file: &DrawnLinesFile,
    to: &mut DrawnLineRules,
    checks: &mut Checks<'_>,
) {
    let (exterior, interior) = (&mut to.exterior, &mut to.interior);
    checks.length("drawn_lines.exterior", exterior, &file.exterior, &THICKNESS);
    checks.length("drawn_lines.interior", interior, &file.interior, &THICKNESS);
}

/// Walls are as thick as this: more is a room.
const THICKNESS: RangeInclusive<Length> = Length::inches(2)..=Length::inches(30);

/// What walls drawn by one line are; one key of them is enough to say that the drafter looked.
pub(super) fn single_lines(file: &WallsFile, checks: &mut Checks<'_>) -> SingleLines {
    let line = file.drawn_line.as_ref().map(|at| at.value);
    let mut inches = |name, key: &LengthKey| -> Option<f64> {
        let given = key.as_ref()?;
        Some(checks.one_length(name, given, &THICKNESS).to_inches())
    };
    let exterior = inches("wall.drawn_thickness", &file.drawn_thickness);
    let interior = inches("wall.drawn_partition", &file.drawn_partition);
    SingleLines {
        line: match line {
            Some(HeldFace::Outside) => DrawnLine::Outside,
            Some(HeldFace::Inside) => DrawnLine::Inside,
            Some(HeldFace::Centre) => DrawnLine::Centre,
            None => DrawnLine::default(),
        },
        exterior: exterior.unwrap_or_default(),
        interior: interior.unwrap_or_default(),
        is_stated: line.is_some() || exterior.is_some() || interior.is_some(),
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::{DrawnLine, SingleLines};
    use crate::rules::{PlantRules, read_job, read_rules};

    #[test]
    fn the_job_says_what_single_lines_are_or_nothing_is_stated() {
        let of = |text| {
            read_job(text, "job.toml")
                .unwrap()
                .output
                .corrections
                .single_lines
        };
        assert_eq!(of(""), SingleLines::default());
        let said = of("[wall]\ndrawn_line = 'outside'\ndrawn_thickness = '8-1/4'");
        assert_eq!(
            (said.line, said.exterior, said.interior, said.is_stated),
            (DrawnLine::Outside, 8.25, 0.0, true)
        );
        // What it leaves open is the plant's. Common practice, no source: a 2x4 partition with boards on both sides.
        let mut lines = said;
        PlantRules::default().drawn_lines.assume(&mut lines);
        assert_eq!((lines.exterior, lines.interior), (8.25, 4.5));
        let thick = read_rules("[drawn_lines]\nexterior = '10-1/4'", "plant.toml").unwrap();
        let mut lines = of("");
        thick.output.drawn_lines.assume(&mut lines);
        assert_eq!((lines.exterior, lines.interior), (10.25, 4.5));
        assert!(read_rules("[drawn_lines]\nexterior = 40", "plant.toml").is_err());
        assert!(read_job("[wall]\ndrawn_partition = 40", "job.toml").is_err());
    }
}
