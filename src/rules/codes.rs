//! Codes of findings made while reading rules and job. See `docs/findings.md`.
