//! What the job says about walls that the plan draws by one line each.

use super::checks::Checks;
use super::job::HeldFace;
use super::job_file::WallsFile;
use super::plant_file::LengthKey;
use crate::plan::{DrawnLine, SingleLines};
use crate::units::Length;
use std::ops::RangeInclusive;

/// Walls are as thick as this: more is a room.
const THICKNESS: RangeInclusive<Length> = Length::inches(2)..=Length::inches(30);

/// What walls drawn by one line are; one key of them is enough to say that the drafter looked.
pub(super) fn single_lines(file: &WallsFile, checks: &mut Checks<'_>) -> SingleLines {
    let assumed = SingleLines::default();
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
            None => assumed.line,
        },
        exterior: exterior.unwrap_or(assumed.exterior),
        interior: interior.unwrap_or(assumed.interior),
        is_stated: line.is_some() || exterior.is_some() || interior.is_some(),
    }
}

#[cfg(test)]
mod tests {
    use crate::plan::{DrawnLine, SingleLines};
    use crate::rules::read_job;

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
            (DrawnLine::Outside, 8.25, 4.5, true)
        );
        assert!(read_job("[wall]\ndrawn_partition = 40", "job.toml").is_err());
    }
}
