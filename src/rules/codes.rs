//! Codes of findings made while reading rules and job. See `docs/findings.md`.

use crate::findings::Code;

/// A value in a rules or job file is misspelt or impossible: the file is refused.
pub const REFUSED: Code = Code::new("RULE-01");

/// Plant rules were taken from the shipped defaults.
pub const DEFAULTS_TAKEN: Code = Code::new("RULE-02");

/// Defaults that give sizes or name members were taken.
pub const SIZE_DEFAULTS_TAKEN: Code = Code::new("RULE-03");

/// The plant allows less than the trade keeps.
pub const LOWERED: Code = Code::new("RULE-10");

/// There is no job file, or it leaves out what every sheet prints.
pub const JOB_INCOMPLETE: Code = Code::new("RULE-04");
