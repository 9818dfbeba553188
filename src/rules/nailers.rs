//! Nailers behind what the plan draws on walls: whether the job asks for them, and where the plant's rules put them.

use super::checks::Checks;
use super::job_file::WallsFile;
use super::plant_file::{Key, LengthKey};
use crate::toml_text::{At, LengthValue};
use crate::units::Length;
use schemars::JsonSchema;
use serde::Deserialize;
use std::ops::RangeInclusive;

/// Boards behind cabinets and decks that the plan draws. Heights are middles above the deck.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NailerRules {
    /// Section behind cabinets. Default: 2x6.
    pub cabinet_section: String,
    /// Heights behind base cabinets. Default: 32 in.
    pub base_heights: Vec<Length>,
    /// Heights behind wall cabinets. Default: 56 and 82 in.
    pub wall_heights: Vec<Length>,
    /// Section behind a deck's ledger. Default: 2x10.
    pub ledger_section: String,
}

/// What the job asks to be backed wherever the plan draws it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DrawnNailers {
    /// Cabinets.
    pub cabinets: bool,
    /// Decks and balconies.
    pub decks: bool,
    /// Middle of their ledgers above the storey's deck; a plan does not tell it.
    pub ledger_height: Option<Length>,
}

/// What a plan may draw that hangs on walls.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub(super) enum DrawnWord {
    Cabinets,
    Decks,
}

#[derive(Debug, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct NailersFile {
    cabinet_section: Key<String>,
    base_heights: Key<Vec<At<LengthValue>>>,
    wall_heights: Key<Vec<At<LengthValue>>>,
    ledger_section: Key<String>,
}

/// Middles of boards.
const HEIGHT: RangeInclusive<Length> = Length::ZERO..=Length::feet(40);
/// A ledger may hang below the deck.
const LEDGER: RangeInclusive<Length> = Length::feet(-10)..=Length::feet(40);

/// Takes over what the group gives.
pub(super) fn apply_nailers(file: &NailersFile, to: &mut NailerRules, checks: &mut Checks<'_>) {
    let (cabinet, ledger) = (&mut to.cabinet_section, &mut to.ledger_section);
    checks.text("nailers.cabinet_section", cabinet, &file.cabinet_section);
    let (base, wall) = (&mut to.base_heights, &mut to.wall_heights);
    checks.rising("nailers.base_heights", base, &file.base_heights, &HEIGHT);
    checks.rising("nailers.wall_heights", wall, &file.wall_heights, &HEIGHT);
    checks.text("nailers.ledger_section", ledger, &file.ledger_section);
}

/// What the job asks for.
pub(super) fn drawn_nailers(file: &WallsFile, checks: &mut Checks<'_>) -> DrawnNailers {
    let height: &LengthKey = &file.ledger_height;
    let asks = |word| file.nailers.iter().any(|it| it.value == word);
    let decks = asks(DrawnWord::Decks);
    if let Some(at) = height
        && !decks
    {
        checks.refuse(
            at.offset,
            "wall.ledger_height is the height of the ledgers of drawn decks, and none are asked for".to_owned(),
            "add \"decks\" to wall.nailers, or take it out",
        );
    }
    DrawnNailers {
        cabinets: asks(DrawnWord::Cabinets),
        decks,
        ledger_height: height
            .as_ref()
            .map(|at| checks.one_length("wall.ledger_height", at, &LEDGER)),
    }
}

#[cfg(test)]
mod tests {
    use crate::rules::{DrawnNailers, read_job, read_rules};
    use crate::units::Length;

    #[test]
    fn a_job_asks_for_what_is_drawn_by_name() {
        let of = |text: &str| read_job(text, "job.toml").map(|it| it.output.drawn_nailers);
        assert_eq!(of("").unwrap(), DrawnNailers::default());
        let asked = of("[wall]\nnailers = ['cabinets', 'decks']\nledger_height = 12").unwrap();
        assert!(asked.cabinets && asked.decks);
        assert_eq!(asked.ledger_height, Some(Length::inches(12)));
        assert!(of("[wall]\nnailers = ['shelves']").is_err());
        let lonely = of("[wall]\nnailers = ['cabinets']\nledger_height = 12").unwrap_err();
        assert!(lonely.to_string().starts_with("job.toml:3"), "{lonely}");
        let falling = read_rules("[nailers]\nwall_heights = [80, 50]", "plant.toml");
        assert!(falling.is_err());
    }
}
