//! Digests of text: 128 bits of SHA-256, as hexadecimal digits.

use sha2::{Digest, Sha256};

/// The SHA-256 of `text`, in 64 hexadecimal digits.
pub fn sha256(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The first 128 bits of the SHA-256 of `text`, in 32 hexadecimal digits.
pub fn digest(text: &str) -> String {
    let digit = |value: u8| char::from_digit(u32::from(value), 16).unwrap_or('0');
    Sha256::digest(text.as_bytes()).iter().take(16).flat_map(|byte| [digit(byte >> 4), digit(byte & 15)]).collect()
}
