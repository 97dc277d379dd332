//! Files as answers: read and sent piece by piece, so that a large one needs no memory.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::pin::Pin;
use std::task::{Context, Poll};

use axum::body::{Body, Bytes, HttpBody};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use http_body::Frame;

/// Bytes read at once.
const PIECE: usize = 128 << 10;

/// A file that is there for one purpose and goes when it is done with.
pub struct Passing {
    path: PathBuf,
}

impl Passing {
    /// A name in the system's own place for such files; nothing is there yet.
    pub fn new(name: &str) -> Passing {
        Passing { path: std::env::temp_dir().join(format!("warmspell-{name}")) }
    }
    /// Where it lies.
    pub fn path(&self) -> &Path {
        &self.path
    }
}

impl Drop for Passing {
    fn drop(&mut self) {
        for ending in ["", "-wal", "-shm"] {
            // One that was never made is no fault.
            let _ = std::fs::remove_file(format!("{}{ending}", self.path.display()));
        }
    }
}

/// An open file on its way out.
struct Sending {
    file: File,
    _passing: Passing,
}

impl HttpBody for Sending {
    type Data = Bytes;
    type Error = std::io::Error;
    fn poll_frame(mut self: Pin<&mut Self>, _: &mut Context<'_>) -> Poll<Option<Result<Frame<Bytes>, std::io::Error>>> {
        let mut piece = vec![0; PIECE];
        // A piece from this machine's own disk: it was written a moment ago.
        Poll::Ready(match self.file.read(&mut piece) {
            Ok(0) => None,
            Ok(count) => {
                piece.truncate(count);
                Some(Ok(Frame::data(Bytes::from(piece))))
            }
            Err(error) => Some(Err(error)),
        })
    }
}

/// Sends a file to be saved under a name.
pub fn saved_as(passing: Passing, name: &str, media: &'static str) -> Response {
    match File::open(passing.path()) {
        Ok(file) => answer(Body::new(Sending { file, _passing: passing }), name, media),
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}

/// Sends bytes to be saved under a name.
pub fn bytes_saved_as(bytes: Vec<u8>, name: &str, media: &'static str) -> Response {
    answer(Body::from(bytes), name, media)
}

fn answer(body: Body, name: &str, media: &'static str) -> Response {
    let plain: String = name.chars().filter(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_')).collect();
    let head = [
        (header::CONTENT_TYPE, media.to_owned()),
        (header::CACHE_CONTROL, "no-store".to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{plain}\"")),
    ];
    (head, body).into_response()
}
