//! The pages: what a grower opens before dawn.
//!
//! A page is HTML from the server and works without script. One act, one address, one file in `pages`; what several pages draw
//! stands in `parts`. Sentences come from `words` by name; this room holds none. The engine is reached through [`Desk`], which
//! reckons behind the page's back and keeps the last answer, so that a page never waits for it.
//!
//! To add a page: a file in `pages` with `pub fn routes() -> Router<Arc<Site>>`, merged in `site.rs`; its body goes through
//! `parts::frame::page`.

mod assets;
mod bench;
mod desk;
mod door;
pub mod events;
pub mod exchange;
mod guard;
mod https;
mod keeping;
mod listen;
mod looked;
mod lots;
mod market_read;
pub mod moneybook;
pub mod pages;
pub mod parts;
pub mod prints;
mod record;
pub mod scored;
mod sending;
mod served;
mod shipped;
mod site;
mod who;

pub use assets::{SENDER, TILL_SUMS};
pub use desk::{Desk, Kept};
pub use https::Authority;
pub use listen::{Lock, Patience, Secure, Ways, in_url};
pub use looked::Heard;
pub use record::Record;
pub use served::{Described, Served};
pub use shipped::{NotOpened, Shipped, ShippedPast};
pub use site::{Server, Site};
pub use who::{May, Who};
