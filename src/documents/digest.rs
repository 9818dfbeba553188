//! SHA-256 of a file, as it stands in `manifest.json` and `outlines/index.csv`.

use sha2::{Digest, Sha256};
use std::fmt::Write;

/// SHA-256 as 64 lower-case hexadecimal digits.
#[must_use]
pub fn sha256_hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .fold(String::with_capacity(64), |mut text, byte| {
            // Writing to a String cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_digest_is_that_of_the_published_example() {
        // FIPS 180-2, appendix B.1: SHA-256 of the three letters abc.
        assert_eq!(
            sha256_hex(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}
