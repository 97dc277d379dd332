//! Every sentence a person reads, by key.
//!
//! The core returns values and reasons; this room says them. The command line and the pages are made from it, so the two
//! cannot disagree.

pub mod basin;
pub mod chemistry;
pub mod chores;
pub mod drain;
pub mod farm;
pub mod feed;
pub mod figures;
pub mod grow;
pub mod log_command;
pub mod morning;
pub mod oxygen;
pub mod page;
pub mod page_apart;
pub mod page_book;
pub mod page_drain;
pub mod page_explain;
pub mod page_file;
pub mod page_files;
pub mod page_forecast;
pub mod page_harvest;
pub mod page_labels;
pub mod page_log;
pub mod page_morning;
pub mod page_nursery;
pub mod page_odd;
pub mod page_orders;
pub mod page_people;
pub mod page_photo;
pub mod page_plan;
pub mod page_pond;
pub mod page_scores;
pub mod page_seasons;
pub mod page_setup;
pub mod page_stock;
pub mod page_stocking;
pub mod page_winter;
pub mod replay;
pub mod serve;
pub mod store;
pub mod sums;
pub mod trouble;
pub mod water;
pub mod weather;
