//! SHA-256, for comparing files with what manifest and index say of them.

use sha2::{Digest, Sha256};

/// 64 lower-case hexadecimal digits.
pub(in crate::verify) fn sha256(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}
