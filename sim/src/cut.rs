//! What a kill leaves of the record's file: the bytes as they stood before a writing and after it, and a state between the two.
//!
//! SQLite writes a commit into the log beside the file from front to back, and only afterwards carries pages from the log into the
//! file, in their order. A process that is killed leaves a beginning of that row of writes. A cut of power leaves, of what was not
//! yet asked to be on the disk, any pieces in any order.

use std::fs;
use std::path::{Path, PathBuf};

use chance::Stream;

/// Bytes of the file and of the log beside it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bytes {
    file: Vec<u8>,
    log: Vec<u8>,
}

/// How the program ends in the midst of a writing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// Killed: a beginning of what it wrote is there.
    Killed,
    /// The power fails: of what was not yet forced to the disk, any pieces are there.
    Power,
}

/// A page, bytes; the head of the log and of each of its frames.
const PAGE: usize = 4096;
const LOG_HEAD: usize = 32;
const FRAME_HEAD: usize = 24;

fn beside(path: &Path, ending: &str) -> PathBuf {
    PathBuf::from(format!("{}{ending}", path.display()))
}

impl Bytes {
    /// As they stand now.
    pub fn of(path: &Path) -> Bytes {
        // No log: nothing was written yet.
        Bytes { file: fs::read(path).unwrap_or_default(), log: fs::read(beside(path, "-wal")).unwrap_or_default() }
    }

    /// Puts them in the place of what stands there. Nobody may have the file open.
    ///
    /// # Errors
    /// Of the file system.
    pub fn put(&self, path: &Path) -> std::io::Result<()> {
        for ending in ["-wal", "-shm"] {
            let _ = fs::remove_file(beside(path, ending));
        }
        fs::write(path, &self.file)?;
        if self.log.is_empty() { Ok(()) } else { fs::write(beside(path, "-wal"), &self.log) }
    }

    /// A state between this one and `after`, as an end in the midst of the writing leaves it.
    pub fn cut(&self, after: &Bytes, end: End, luck: &mut Stream) -> Bytes {
        let changed = changed(&self.file, &after.file);
        // Pages are carried over only once all of the log is on the disk.
        if !changed.is_empty() && luck.below(2) == 0 {
            let file = match end {
                End::Killed => {
                    let written = luck.below(changed.len() + 1);
                    mixed(&self.file, &after.file, &changed[..written])
                }
                End::Power => {
                    let some: Vec<usize> = changed.into_iter().filter(|_| luck.below(2) == 0).collect();
                    mixed(&self.file, &after.file, &some)
                }
            };
            return Bytes { file, log: after.log.clone() };
        }
        let first =
            (0..after.log.len()).find(|&at| self.log.get(at) != Some(&after.log[at])).unwrap_or(after.log.len());
        let log = match end {
            End::Killed => beginning(&self.log, &after.log, place(first, after.log.len(), luck)),
            End::Power => {
                // Pieces of a sector, none of them forced to the disk before the last was written.
                let mut log = beginning(&self.log, &after.log, after.log.len());
                let zeros = vec![0; after.log.len()];
                for from in (first..after.log.len()).step_by(512).filter(|_| luck.below(2) == 0).collect::<Vec<_>>() {
                    let to = (from + 512).min(after.log.len());
                    let old = if to <= self.log.len() { &self.log[from..to] } else { &zeros[from..to] };
                    log[from..to].copy_from_slice(old);
                }
                log
            }
        };
        Bytes { file: self.file.clone(), log }
    }
}

/// Where the writing ended: at the edge of a frame or of its head, or anywhere.
fn place(first: usize, last: usize, luck: &mut Stream) -> usize {
    let frame = FRAME_HEAD + PAGE;
    let edges: Vec<usize> = (0..)
        .map(|n| LOG_HEAD + n * frame)
        .take_while(|&at| at <= last)
        .flat_map(|at| [at, at + FRAME_HEAD])
        .chain([0, last])
        .filter(|at| (first..=last).contains(at))
        .collect();
    if luck.below(2) == 0 && !edges.is_empty() {
        edges[luck.below(edges.len())]
    } else {
        first + luck.below(last - first + 1)
    }
}

/// The first `n` bytes as they came, and behind them what stood there.
fn beginning(before: &[u8], after: &[u8], n: usize) -> Vec<u8> {
    let mut bytes = after[..n].to_vec();
    bytes.extend(before.iter().skip(n));
    bytes
}

/// Pages that differ.
fn changed(before: &[u8], after: &[u8]) -> Vec<usize> {
    let page = |bytes: &[u8], n: usize| bytes.get(n * PAGE..((n + 1) * PAGE).min(bytes.len())).map(<[u8]>::to_vec);
    (0..after.len().div_ceil(PAGE)).filter(|&n| page(before, n) != page(after, n)).collect()
}

fn mixed(before: &[u8], after: &[u8], pages: &[usize]) -> Vec<u8> {
    let mut bytes = before.to_vec();
    for n in pages {
        let (from, to) = (n * PAGE, ((n + 1) * PAGE).min(after.len()));
        if bytes.len() < to {
            bytes.resize(to, 0);
        }
        bytes[from..to].copy_from_slice(&after[from..to]);
    }
    bytes
}
