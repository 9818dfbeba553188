//! Codes of findings made while reading rules and job. See `docs/findings.md`.

use crate::findings::Code;

/// The rules file sets nothing.
pub const RULES_EMPTY: Code = Code::new("RULE-01");
