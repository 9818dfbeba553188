//! Codes of findings made while laying out panels. See `docs/findings.md`.
