//! How each computed figure is come by, in words: what is done, from which inputs of what date, where the method stands, and how far
//! off it has been here before.

use season::FarmPast;
use season::answer::{Outlook, PondOutlook, Task, TaskKind};
use season::farm::{Farm, PondCard};
use units::Instant;

use crate::drain::fuel;
use crate::feed::{FEED_HOW, OF_FEED};
use crate::figures::{Manner, animal, count, day, day_short, degrees, depth, mass, odds, span};
use crate::page_log::moment;

mod missed;

pub use missed::missed;

/// What stands behind a figure.
#[derive(Debug, Clone, PartialEq)]
pub struct Explained {
    /// The sum in words.
    pub how: String,
    /// Its inputs: what, and the value with its date.
    pub from: Vec<(&'static str, String)>,
    /// The method and its source, in words: who reads it has the program and no other page.
    pub method: &'static str,
    /// How far off it has been here before.
    pub off: String,
}

/// How the water is reckoned, with its source.
const OF_WATER: &str =
    "The heat of a pond in layers, hour by hour. Readings correct it by the update of Whitaker and Hamill (2002).";
/// How the futures are made.
const OF_FUTURES: &str = "Past seasons joined to the forecast by conditional simulation (Matheron's rule; Chilès and Delfiner 2012), each run through the same pond.";
/// How cold kills.
const OF_COLD: &str = "Our own form through published anchors: a day at 15 °C (59 °F) does no harm, below 14 °C (57 °F) nearly all die when it comes fast. The curve may lie \
    1.5 °C (3 °F) to either side.";
/// How the crop grows.
pub(crate) const OF_CROP: &str = "Our own fit to published crops. On the crops it was fitted to it misses the mean weight by 6 g (0.2 oz) and those alive by 11 in 100.";
/// How a crop falls into sizes.
const OF_SIZES: &str = "Shares of the forms from a published pond trial in Kentucky; they may be out by 10 in 100.";
/// Sums with the farm's own figures.
const OF_SUMS: &str = "Plain sums with the farm's own figures.";
/// The same, with cold in it.
const OF_WORTH: &str = "Plain sums with the farm's own prices and costs; cold as under the chance of loss.";
/// How dates are searched.
const OF_DATES: &str = "All joint dates are searched by branch and bound with prices on what ponds share (Held, Wolfe and Crowder 1974), up to a set effort: \
    where that leaves any untried, the plan says so. Waiting is weighed by a rule that sees each \
    morning only what can be known on it.";

/// Before the inputs.
pub const FROM: &str = "From";
/// Before the method.
pub const METHOD: &str = "Method";
/// Before the misses.
pub const OFF: &str = "How far off here";
/// Said to a screen reader after a figure that opens.
pub const OPENS: &str = "how this is reckoned";
/// Nobody reads the fuel gauge into the record.
const NO_FUEL_METER: &str = "What pumps truly burnt is entered nowhere: nothing to hold it against.";
/// Money and plans: nothing to hold them against yet.
const NO_HARVEST: &str =
    "No pond of this farm has been caught and weighed in this record yet: nothing to hold it against.";

/// What every explanation may look at.
#[derive(Clone, Copy)]
pub struct Behind<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its past.
    pub past: &'a FarmPast,
    /// The answer.
    pub outlook: &'a Outlook,
    /// Units.
    pub manner: Manner,
}

impl Behind<'_> {
    fn card(&self, pond: &PondOutlook) -> &PondCard {
        &self.farm.ponds[pond.index]
    }
    pub(crate) fn moment(&self, at: Instant) -> String {
        moment(at, &self.farm.place.zone, self.manner)
    }

    /// The days that the weather came from.
    pub(crate) fn weather(&self) -> (&'static str, String) {
        let (first, last, many) = self.outlook.past_years;
        let record = &self.past.record;
        let ends = record.first.plus(record.low_c.len() as i32 - 1);
        let lived = ends.min(self.outlook.on.plus(-1));
        ("past weather", format!("this season's days to {}; {many} seasons, {first} to {last}", day_short(lived)))
    }
    fn forecast(&self) -> (&'static str, String) {
        let said = self.outlook.forecast.map_or("none: past years alone speak".to_owned(), |used| {
            format!("issued {}, to {}", self.moment(used.issued), day_short(used.last_day))
        });
        ("forecast", said)
    }
    fn futures(&self) -> (&'static str, String) {
        ("futures", format!("{}, seed {}", self.outlook.members, self.outlook.seed))
    }
    fn mark(&self) -> (&'static str, String) {
        ("cold mark", degrees(self.outlook.cold_mark_c, self.manner))
    }
    /// A value, with the words "our guess" when nobody gave it.
    fn given(&self, key: &str, pond: &PondOutlook, value: String) -> String {
        let of = |assumed: &&season::farm::Assumed| assumed.key == key && assumed.of.as_ref() == Some(&pond.name);
        if self.farm.assumed.iter().any(|assumed| of(&assumed)) {
            format!("{value} (our guess until you give yours)")
        } else {
            value
        }
    }
    fn wind(&self, pond: &PondOutlook) -> (&'static str, String) {
        let factor = self.card(pond).wind_factor.median;
        ("wind on this water", self.given("pond.wind_factor", pond, format!("{factor:.2} of the station's")))
    }
    fn light(&self, pond: &PondOutlook) -> (&'static str, String) {
        let seen = self.card(pond).seen.iter().rfind(|seen| seen.on.is_none_or(|on| on <= self.outlook.on));
        let said = seen.or(self.card(pond).seen.first()).map_or(String::new(), |seen| {
            let on = seen.on.map_or("all season".to_owned(), day_short);
            format!("disk out of sight at {}, {on}", depth(seen.secchi_m, self.manner))
        });
        ("light", self.given("pond.secchi", pond, said))
    }
    fn shape(&self, pond: &PondOutlook) -> (&'static str, String) {
        let shape = &self.card(pond).shape;
        let area = match self.manner {
            Manner::UsCustomary => format!("{:.2} acres", shape.area_m2 / 4046.856),
            Manner::Metric => format!("{:.2} ha", shape.area_m2 / 10_000.0),
        };
        let (shallow, deep) = (depth(shape.shallow_depth_m, self.manner), depth(shape.deep_depth_m, self.manner));
        ("shape", format!("{area}, {shallow} to {deep} deep when full"))
    }
    fn reading(&self, pond: &PondOutlook) -> (&'static str, String) {
        let said = pond.measured.map_or("none since yesterday".to_owned(), |(at, at_m, temp_c)| {
            format!("{} at {}, {}", degrees(temp_c, self.manner), depth(at_m, self.manner), self.moment(at))
        });
        ("last reading", said)
    }
    fn emptying(&self, pond: &PondOutlook) -> (&'static str, String) {
        ("to empty", crate::page_morning::empties(pond))
    }
    pub(crate) fn stocked(&self, pond: &PondOutlook) -> (&'static str, String) {
        let stocking = &self.card(pond).stocking;
        ("stocked", format!("{} of {:.2} g, {}", count(stocking.count), stocking.mean_weight_g, day_short(stocking.on)))
    }
    fn samples(&self, pond: &PondOutlook) -> (&'static str, String) {
        let last = self.card(pond).samples.iter().rfind(|sample| sample.on <= self.outlook.on);
        let said = last.map_or("none".to_owned(), |sample| {
            format!(
                "{} weighed, mean {}, {}",
                sample.counted,
                animal(sample.mean_weight_g, self.manner),
                day_short(sample.on)
            )
        });
        ("last sample", said)
    }

    /// Water at this morning's dawn.
    pub fn water(&self, pond: &PondOutlook) -> Explained {
        Explained {
            how: "From stocking to this morning each hour's sun, air, wind and ground are added to the water, column by column and layer \
                by layer; readings near dawn \
                then correct the water and the wind over it. The figure is the middle of all futures."
                .to_owned(),
            from: vec![
                self.stocked(pond),
                self.weather(),
                self.reading(pond),
                self.light(pond),
                self.wind(pond),
                self.shape(pond),
                self.futures(),
            ],
            method: OF_WATER,
            off: missed(&pond.course.misses, self.manner),
        }
    }

    /// The coming dawns.
    pub fn dawns(&self, pond: &PondOutlook) -> Explained {
        Explained {
            how: "Each future begins as the forecast, as wrong as forecasts of that lead have been, and goes on as a past season; the pond \
                is run through every one. The line is the middle, the band leaves out one in ten on either side; a chance is the share \
                of futures below the mark."
                .to_owned(),
            from: vec![self.forecast(), self.weather(), self.reading(pond), self.wind(pond), self.mark(), self.futures()],
            method: OF_FUTURES,
            off: missed(&pond.course.misses, self.manner),
        }
    }

    /// Hours in hand.
    pub fn hand(&self, pond: &PondOutlook) -> Explained {
        Explained {
            how: format!(
                "Hours from now to the first dawn below the cold mark, less {} to empty, less {} to catch. Half of the futures have more \
                 than the likely figure; one in ten has less than the other.",
                span(pond.course.lead_h),
                span(pond.course.catch_h)
            ),
            from: vec![self.mark(), self.emptying(pond), self.forecast(), self.reading(pond), self.futures()],
            method: OF_FUTURES,
            off: missed(&pond.course.misses, self.manner),
        }
    }

    /// Chance of loss.
    pub fn loss(&self, pond: &PondOutlook) -> Explained {
        Explained {
            how: format!(
                "The share of futures in which cold has taken a fifth of the animals by the catch: dead of the cold they met, or below {} \
                 at dawn, too slow to follow the water down, and not found.",
                degrees(self.outlook.follow_mark_c, self.manner)
            ),
            from: vec![self.mark(), self.forecast(), self.reading(pond), self.futures()],
            method: OF_COLD,
            off: NO_HARVEST.to_owned(),
        }
    }

    /// The crop.
    pub fn crop(&self, pond: &PondOutlook) -> Explained {
        Explained {
            how: "Alive: those stocked, less the deaths that such ponds have shown by this day. Weight: growth by the warmth of every day \
                since, drawn towards the samples from the net. In all: one times the other. In brackets: 8 futures of 10."
                .to_owned(),
            from: vec![self.stocked(pond), self.samples(pond), self.weather(), self.futures()],
            method: OF_CROP,
            off: self.sampled(pond),
        }
    }

    /// The day's feed.
    pub fn feed(&self, pond: &PondOutlook) -> Explained {
        let feed = &pond.feed;
        let share = |share: f64| format!("{:.0} %", 100.0 * share);
        Explained {
            how: FEED_HOW.to_owned(),
            from: vec![
                ("in the pond", mass(feed.mass_kg, self.manner)),
                ("rate", share(feed.rate)),
                ("appetite", format!("{} at {}", share(feed.appetite), degrees(feed.water_c, self.manner))),
                ("most without more air", mass(feed.ceiling_kg, self.manner)),
            ],
            method: OF_FEED,
            off: "What is eaten is not measured here: look at the tray.".to_owned(),
        }
    }

    /// The size classes.
    pub fn sizes(&self, pond: &PondOutlook) -> Explained {
        Explained {
            how: "A crop is a mixture of females and three forms of males, each with its own share and spread about the pond's mean; \
                counted out by the weights at which a buyer's price changes."
                .to_owned(),
            from: vec![self.stocked(pond), self.samples(pond), ("mean weight", animal(pond.mean_weight_g.middle, self.manner))],
            method: OF_SIZES,
            off: self.sampled(pond),
        }
    }

    fn sampled(&self, pond: &PondOutlook) -> String {
        match self.card(pond).samples.len() {
            0 => "No sample has been weighed in this pond yet: nothing to hold it against.".to_owned(),
            1 => "One sample has been weighed; the figure is drawn towards it, so it cannot judge it. The catch will."
                .to_owned(),
            n => format!(
                "{n} samples have been weighed; the figure is drawn towards them, so they cannot judge it. The catch will."
            ),
        }
    }

    /// Time to empty.
    pub fn empties(&self, pond: &PondOutlook) -> Explained {
        let how = if pond.lead_told {
            "Your own figure. With fewer pumps it is stretched as the water above catch depth and the pumps' rates say."
                .to_owned()
        } else {
            "The water above catch depth, slice by slice, over what drain and pumps carry at that depth.".to_owned()
        };
        let catch = depth(self.card(pond).emptying.catch_depth_m, self.manner);
        Explained {
            how,
            from: vec![self.shape(pond), ("catch depth", catch)],
            method: OF_SUMS,
            off: "No emptying of this pond has been timed in this record yet.".to_owned(),
        }
    }

    /// What a day brings, and what waiting does.
    pub fn worth(&self, pond: &PondOutlook) -> Explained {
        Explained {
            how: "In each future: the animals found on that day, by size class and price, less hands, ice, fuel and what cold took. The \
                figure is the mean of all futures, rounded to what is known; a chance is a share of them."
                .to_owned(),
            from: vec![self.stocked(pond), self.samples(pond), self.forecast(), self.futures()],
            method: OF_WORTH,
            off: NO_HARVEST.to_owned(),
        }
    }

    /// The hours of waiting and the dates: how they are chosen.
    pub fn dates(&self) -> Explained {
        let known = self.outlook.plan.decision.candidates.len();
        Explained {
            how: format!(
                "{known} first moves were weighed under the same futures, each followed by the best rule for what is learned later, within \
                 hands, ice, pumps, hours and days. The move that is worth most is said; in a toss-up yesterday's dates stand. A start is \
                 the latest that empties the pond by first light of its catch; waiting is free until that start and its notices are due."
            ),
            from: vec![
                self.forecast(),
                self.weather(),
                ("guard", self.outlook.guard_chance.map_or("off".to_owned(), odds)),
                self.mark(),
                self.futures(),
            ],
            method: OF_DATES,
            off: "The command warmspell replay lives past seasons again and holds this rule against others. On this farm: no season has ended yet.".to_owned(),
        }
    }

    /// A task's hour and amount.
    pub fn task(&self, task: &Task) -> Explained {
        let by_name = |name: &str| self.outlook.ponds.iter().find(|pond| pond.name == name);
        match &task.what {
            TaskKind::OrderIce { kg, for_day } => Explained {
                how: "Of the likely catch less what goes alive: the ice that the heat of water, prawns, tubs and packing melts, a quarter on top, or \
                    your own ice for a pound where that is more; less ice in hand. The day's sheet shows each part."
                    .to_owned(),
                from: vec![
                    ("ice", mass(*kg, self.manner)),
                    ("for", day(*for_day)),
                    self.forecast(),
                    self.futures(),
                ],
                method: OF_SUMS,
                off: NO_HARVEST.to_owned(),
            },
            TaskKind::ReadWater { pond } | TaskKind::Seine { pond } | TaskKind::StartDown { pond, .. } | TaskKind::GoesDown { pond } => {
                let mut said = self.dates();
                if let Some(pond) = by_name(pond) {
                    said.from.insert(0, self.emptying(pond));
                    said.from.insert(1, self.reading(pond));
                }
                said
            }
            TaskKind::FetchFuel { pond, fuel_l } => Explained {
                how: "In the order in which the ponds start: what their pumps and generators burn in an hour by the hours to catch depth, less what is in store."
                    .to_owned(),
                from: by_name(pond)
                    .map(|pond| self.emptying(pond))
                    .into_iter()
                    .chain([
                        ("in store", fuel(self.farm.gear.fuel_l, self.manner)),
                        ("more", fuel(*fuel_l, self.manner)),
                    ])
                    .collect(),
                method: OF_SUMS,
                off: NO_FUEL_METER.to_owned(),
            },
            TaskKind::BookColdRoom { .. } | TaskKind::Tell { .. } | TaskKind::NewForecast { .. } => self.dates(),
        }
    }
}
