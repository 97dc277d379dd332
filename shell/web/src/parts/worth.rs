//! Worth by day.
