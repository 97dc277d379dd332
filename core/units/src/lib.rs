//! Quantities, civil time, and arithmetic that is the same on every machine.
//!
//! Public functions elsewhere take these newtypes where a mistaken unit would be silent; kernels use bare numbers with the
//! unit as the last word of the name. Civil dates live here and at the rim: no hour loop knows what a month is.

mod clock;
mod math;
pub mod measure;
mod money;
mod quantity;
mod real;
mod spelling;
mod student;
mod watch;

pub use clock::{Day, Instant, Local, SECONDS_PER_HOUR, Zone, ZoneError};
pub use jiff::civil;
pub use math::{acos, asin, atan, atan2, cbrt, cos, erfc, exp, hypot, ln, log10, pow, sin, tan};
pub use money::{Currency, Money};
pub use quantity::{Celsius, CubicMetres, Grams, Hectares, Hours, Kilograms, Metres, SquareMetres};
pub use real::{LANES, Lanes, Real};
pub use spelling::letters_apart;
pub use student::t_95;
pub use watch::Watch;
