//! Codes of findings made while raising a building. See `docs/findings.md`.
