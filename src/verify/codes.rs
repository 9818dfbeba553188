//! Codes of failed proofs. See `docs/findings.md`.
