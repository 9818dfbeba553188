//! Codes of findings made while reading a drawing. See `docs/findings.md`.
