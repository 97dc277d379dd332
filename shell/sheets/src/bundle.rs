//! Files packed into one, for taking along.

use std::io::{Cursor, Write};

use zip::write::SimpleFileOptions;
use zip::{DateTime, ZipWriter};

/// Named files packed into one. No clock goes in: the same files give the same bytes.
///
/// # Errors
/// Why it could not be packed.
pub fn bundle(files: &[(String, Vec<u8>)]) -> Result<Vec<u8>, String> {
    let mut pack = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().last_modified_time(DateTime::default()).unix_permissions(0o644);
    for (name, bytes) in files {
        pack.start_file(name.as_str(), options).map_err(|error| error.to_string())?;
        pack.write_all(bytes).map_err(|error| error.to_string())?;
    }
    Ok(pack.finish().map_err(|error| error.to_string())?.into_inner())
}
