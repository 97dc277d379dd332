//! The one handle that may cross a wall: how far a long call is, and whether to stop.

use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

/// Shared between a long call and whoever waits for it.
#[derive(Debug, Default)]
pub struct Watch {
    done: AtomicU64,
    total: AtomicU64,
    stop: AtomicBool,
}

impl Watch {
    /// A watch at zero.
    pub fn new() -> Watch {
        Watch::default()
    }
    /// Says how many steps there will be.
    pub fn expect(&self, total: u64) {
        self.total.store(total, Ordering::Relaxed);
    }
    /// Counts `steps` more as done.
    pub fn advance(&self, steps: u64) {
        self.done.fetch_add(steps, Ordering::Relaxed);
    }
    /// Steps done and steps expected.
    pub fn progress(&self) -> (u64, u64) {
        (self.done.load(Ordering::Relaxed), self.total.load(Ordering::Relaxed))
    }
    /// Asks the call to end at its next clean place.
    pub fn ask_to_stop(&self) {
        self.stop.store(true, Ordering::Relaxed);
    }
    /// Whether the call was asked to end.
    pub fn asked_to_stop(&self) -> bool {
        self.stop.load(Ordering::Relaxed)
    }
}
