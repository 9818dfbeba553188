//! Codes of findings made while fabricating panels. See `docs/findings.md`.
