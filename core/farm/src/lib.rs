//! What people write down: ponds, stockings, readings, prices; and the rules they obey.

pub mod basin;
mod farm;
mod means;
pub mod observed;
mod pond_card;
mod trade;
mod world;

pub use farm::{Assumed, Choices, Days, Doubt, DoubtKind, Farm, Morning, Place, Season, WeatherFiles};
pub use means::{Away, Cold, ColdStore, Crew, Drive, Gear, Hired, Pump, StartOfWork};
pub use pond_card::{
    Aeration, AfterRain, AlongPond, Belief, Emptying, Outlet, Parts, PondCard, Reading, Sample, Seen, Shape, Stocking,
};
pub use trade::{Calendar, Ceiling, Costs, Form, Orders, Pays, Price, Prices};
pub use world::{World, WorldError, read_world};
