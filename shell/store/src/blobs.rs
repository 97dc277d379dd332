//! Photos and other files, kept under the digest of their bytes.

use rusqlite::{OptionalExtension, params};

use crate::digest::sha256_hex;
use crate::error::StoreError;
use crate::file::Store;

impl Store {
    /// Keeps bytes and gives the digest they are kept under; the same bytes are kept once.
    pub fn keep_blob(&self, media: &str, bytes: &[u8], now_ms: i64) -> Result<String, StoreError> {
        let digest = sha256_hex(bytes);
        self.write(|work| {
            work.execute(
                "insert into blob (digest, media, bytes, received_ms) values (?1, ?2, ?3, ?4) on conflict do nothing",
                params![digest, media, bytes, now_ms],
            )?;
            Ok(())
        })?;
        Ok(digest)
    }

    /// Media type and bytes kept under a digest.
    pub fn blob(&self, digest: &str) -> Result<Option<(String, Vec<u8>)>, StoreError> {
        self.read(|connection| {
            let mut query = connection.prepare_cached("select media, bytes from blob where digest = ?1")?;
            Ok(query.query_row([digest], |row| Ok((row.get(0)?, row.get(1)?))).optional()?)
        })
    }
}
