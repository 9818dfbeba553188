//! `[[correction]]` of the job: what the drafter decided about the plan.

use super::checks::Checks;
use super::job_layout::ALONG;
use super::plant_file::{Key, LengthKey};
use super::read_job::{SIZE, anchor, filled, size};
use crate::plan::{CorrectionAnchor, CorrectionIntent, OpeningKind, PlanCorrection};
use crate::toml_text::{At, PlaceValue};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;

#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CorrectionFile {
    /// Wall, opening or room by its id in the plan.
    id: Key<String>,
    /// Or the point where it is, drawing coordinates.
    at: Key<[PlaceValue; 2]>,
    /// Storey of the point.
    storey: Key<String>,
    /// Or the handle of a dimension, with is = "trusted".
    dimension: Key<String>,
    /// What holds there.
    is: At<CorrectionWord>,
    /// Width of the opening that stands there, jamb to jamb as drawn.
    width: LengthKey,
    /// Middle of an opening that stands elsewhere, from its wall's left corner seen from outside; with is = "moved".
    middle: LengthKey,
    /// Which layer bears, counted from the outside, from 1; with is = "core".
    layer: Key<usize>,
}

/// What the drafter says holds.
#[derive(Clone, Copy, Debug, Deserialize, JsonSchema, PartialEq)]
#[serde(rename_all = "lowercase")]
enum CorrectionWord {
    #[serde(rename = "not a wall")]
    NotAWall,
    #[serde(rename = "not an opening")]
    NotAnOpening,
    Wall,
    Exterior,
    Interior,
    Door,
    Window,
    Opening,
    #[serde(rename = "garage_door")]
    GarageDoor,
    #[serde(rename = "single lines")]
    SingleLines,
    Moved,
    Core,
    Trusted,
}

/// Takes one entry over; `None`, with a mistake, when it does not say one thing.
pub(super) fn correction(
    at: &At<CorrectionFile>,
    checks: &mut Checks<'_>,
) -> Option<PlanCorrection> {
    let file = &at.value;
    let anchor = match filled(&file.dimension) {
        Some(handle) if file.id.is_none() && file.at.is_none() => {
            CorrectionAnchor::Dimension(handle)
        }
        Some(_) => {
            checks.refuse(
                at.offset,
                "this [[correction]] names a dimension and something else",
                "give exactly one of id, at and dimension",
            );
            return None;
        }
        None => {
            let keys = (&file.id, &file.at, &file.storey);
            anchor("correction", keys, at.offset, checks)?
        }
    };
    let is_trust = file.is.value == CorrectionWord::Trusted;
    if is_trust != matches!(anchor, CorrectionAnchor::Dimension(_)) {
        checks.refuse(
            file.is.offset,
            "a dimension can only be trusted, and only a dimension can",
            "write dimension = \"2F4\" and is = \"trusted\" together, or neither",
        );
        return None;
    }
    let layer = file.layer.as_ref().map(|at| at.value);
    if layer.is_some() != (file.is.value == CorrectionWord::Core) {
        checks.refuse(
            file.is.offset,
            "a layer is given without is = \"core\", or the other way round",
            "write is = \"core\" and layer = 2 together: layers count from the outside, from 1",
        );
        return None;
    }
    let middle = size("correction.middle", &file.middle, &ALONG, checks);
    if middle.is_some() != (file.is.value == CorrectionWord::Moved) {
        checks.refuse(
            file.is.offset,
            "a middle is given without is = \"moved\", or the other way round",
            "write is = \"moved\" and middle = \"12'-3 1/2\\\"\" together: from the wall's left corner seen from outside to the middle of the opening",
        );
        return None;
    }
    let width = size("correction.width", &file.width, &SIZE, checks).map(Length::to_inches);
    let opening = |kind| CorrectionIntent::Opening { kind, width };
    let intent = match file.is.value {
        CorrectionWord::NotAWall => CorrectionIntent::NotAWall,
        CorrectionWord::NotAnOpening => CorrectionIntent::NotAnOpening,
        CorrectionWord::Wall => CorrectionIntent::Wall,
        CorrectionWord::SingleLines => CorrectionIntent::SingleLines,
        CorrectionWord::Exterior => CorrectionIntent::Exterior,
        CorrectionWord::Interior => CorrectionIntent::Interior,
        CorrectionWord::Core => CorrectionIntent::Core {
            layer: layer.unwrap_or(1),
        },
        CorrectionWord::Trusted => CorrectionIntent::Trusted,
        CorrectionWord::Moved => CorrectionIntent::Moved {
            middle: middle.unwrap_or(Length::ZERO).to_inches(),
        },
        CorrectionWord::Door => opening(OpeningKind::Door),
        CorrectionWord::Window => opening(OpeningKind::Window),
        CorrectionWord::Opening => opening(OpeningKind::Opening),
        CorrectionWord::GarageDoor => opening(OpeningKind::GarageDoor),
    };
    if let (Some(given), false) = (
        &file.width,
        matches!(intent, CorrectionIntent::Opening { .. }),
    ) {
        checks.refuse(
            given.offset,
            "this [[correction]] gives a width to something that is no opening",
            "delete the width, or say which kind of opening it is",
        );
    }
    Some(PlanCorrection {
        anchor,
        intent,
        file: checks.text.file.to_owned(),
        line: checks.text.line(at.offset),
    })
}

#[cfg(test)]
mod tests {
    use crate::plan::{CorrectionAnchor, CorrectionIntent};
    use crate::rules::read_job;

    #[test]
    fn a_point_with_more_decimals_than_a_nanometre_is_rounded_and_a_width_is_not() {
        let text = "[[correction]]\nat = [123.456789012, \"-7.0000000001\"]\nis = 'wall'\n";
        let job = read_job(text, "job.toml").unwrap().output;
        let CorrectionAnchor::Point { at: [x, y], .. } = job.corrections.list[0].anchor else {
            panic!("{:?}", job.corrections.list);
        };
        assert!((x - 123.456_789_012).abs() < 1e-7 && (y + 7.0).abs() < 1e-7);
        let text = "[[correction]]\nat = [1, 2]\nis = 'door'\nwidth = 36.123456789012\n";
        let error = read_job(text, "job.toml").unwrap_err().to_string();
        assert!(error.contains("finer than a nanometre"), "{error}");
        let text = "[[correction]]\nat = [1e300, \"here\"]\nis = 'wall'\n";
        assert!(read_job(text, "job.toml").is_err());
    }

    #[test]
    fn an_opening_is_moved_by_its_middle_and_by_nothing_else() {
        let text = "[[correction]]\nid = 'O3'\nis = 'moved'\nmiddle = \"8'-3 1/4\\\"\"\n";
        let job = read_job(text, "job.toml").unwrap().output;
        let middle = 99.25;
        assert_eq!(
            job.corrections.list[0].intent,
            CorrectionIntent::Moved { middle }
        );
        for text in [
            "[[correction]]\nid = 'O3'\nis = 'moved'\n",
            "[[correction]]\nid = 'O3'\nis = 'door'\nmiddle = 99\n",
        ] {
            let error = read_job(text, "job.toml").unwrap_err().to_string();
            assert!(
                error.starts_with("job.toml:3: a middle is given without is"),
                "{error}"
            );
        }
    }
}
