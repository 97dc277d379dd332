//! What people write down: ponds, stockings, readings, prices; and the rules they obey.

pub mod basin;
mod chore;
mod clerk;
pub mod facts;
mod farm;
pub mod inputs;
mod line_card;
pub mod logger;
mod means;
pub mod observed;
pub mod picture;
mod pond_card;
mod ready;
pub mod reasons;
pub mod setup;
mod trade;
pub mod typed;
mod world;

pub use chore::Chore;
pub use farm::{Assumed, Choices, Days, Doubt, DoubtKind, Farm, Morning, Place, Season, Told, WeatherFiles};
pub use line_card::{Group, GroupKind, LineCard};
pub use means::{Away, Cold, ColdStore, Crew, Drive, Gear, Hired, Pump, Source, SourceKind, StartOfWork, Tank};
pub use pond_card::{
    Aeration, AeratorKind, AfterRain, AlongPond, Belief, Caught, ChemistryRead, DeadSeen, Emptying, Fed, FeedLeft,
    Outlet, OxygenRead, Parts, PastCrop, PondCard, Reading, Sample, Seen, Shape, Stocking, Taken, WayDown,
};
pub use ready::{Examined, read_farm};
pub use trade::{Calendar, Ceiling, Costs, Form, Orders, Pays, Price, Prices, SaleDay, StandingBuyer};
pub use typed::FarmTyped;
pub use world::{World, WorldError, read_world};
