//! Codes of findings made while recovering a plan. See `docs/findings.md`.
