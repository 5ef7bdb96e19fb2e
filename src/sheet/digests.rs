//! Digests of text: 128 bits of SHA-256, as hexadecimal digits.

use sha2::{Digest, Sha256};

/// The SHA-256 of `text`, in 64 hexadecimal digits.
pub fn sha256(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The first 128 bits of the SHA-256 of `text`, in 32 hexadecimal digits.
pub fn digest(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().take(16).map(|byte| format!("{byte:02x}")).collect()
}
