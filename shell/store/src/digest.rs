//! SHA-256, for ids of blobs, hashes of tokens and the chain over the facts.

use sha2::{Digest, Sha256};

/// SHA-256 as 64 small hexadecimal digits.
pub fn sha256_hex(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// The next link of the chain over a farm's facts: what came before, and this fact as it lies in the store.
pub(crate) fn link(before: &[u8], content: &str, seq: i64, received_ms: i64) -> [u8; 32] {
    let mut hash = Sha256::new();
    hash.update(before);
    hash.update(format!("{seq} {received_ms} {content}"));
    hash.finalize().into()
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
