//! Valuing "wait and watch": what each start is worth over waiting, for a grower who looks again every morning.

mod board;
mod extremes;
mod fit;
mod lay;
mod ridge;
mod rule;
mod signals;
mod value;

pub use board::{Board, Lattice, Opening};
pub use extremes::{Fixed, clairvoyant, fixed};
pub use fit::{FitSettings, fit};
pub use rule::Rule;
pub use signals::{SignalKind, Signals};
pub use value::{FirstMove, Valued, Waiting, Watchful, act, follow, value};

pub(crate) use extremes::best_line;
pub(crate) use lay::{Laid, decide_by_hour, lay};
pub(crate) use ridge::{Sums, dot};
pub(crate) use signals::{Shape, morning_features};
