//! What a farm can do: gear, hands, daylight, ice, stores, orders, and what was already promised.
//!
//! **Hours** are whole and count from local midnight at the start of day 0, so hour `24 d + h` is `h` o'clock on day `d`; they
//! may be negative. Hour `n` as a span is from `n` to `n + 1`. A job holds its gear from its start to the end of its catch,
//! the end not included: gear let go at noon can be used elsewhere from noon.
//!
//! **A day's amounts** (pounds, hands, ice, baskets, stores, orders) are judged over the members: a limit is kept when at least
//! the share `keep` of members stay within it, each member summed over every pond caught. A part in a million of a limit is
//! let pass, so that sums which should meet it exactly do.
//!
//! **Days** beyond the end of a list are treated as its last entry; an empty list means no limit.

use crate::tables::{COINS_MOST, STREAMS};

/// Everything that bounds which ponds can come out when.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Number of days, as in the tables.
    pub days: usize,
    /// The present hour: no drain opens and no catch begins before it.
    pub now_hour: i32,
    /// By day, the clock hour (0 to 23) of first light, at which a catch begins and catch depth must stand.
    pub first_light: Vec<i32>,
    /// By day, hours in which catching can go on, summed over crews that can catch in different ponds at once.
    pub daylight_hours: Vec<f64>,
    /// By day, whether anyone works; nothing is caught on other days.
    pub workday: Vec<bool>,
    /// By clock hour (24 entries), whether someone is there to open a drain or start a pump; empty: any hour.
    pub start_hours: Vec<bool>,
    /// Pumps, generator, trailers: what is shared and held from start to end.
    pub gear: Vec<Gear>,
    /// Fuel; none: no limit.
    pub fuel: Option<Fuel>,
    /// Most catches on one day (a seining and a part-day each count as one).
    pub catches_per_day: Option<u32>,
    /// Share of members in which a day's amounts must stay within the limit; 0.8 by default.
    pub keep: f64,
    /// Amounts bounded day by day.
    pub day_limits: Vec<DayLimit>,
    /// Places where the catch is held over from day to day.
    pub stores: Vec<Store>,
    /// Ceilings on what buyers take.
    pub orders: Vec<Order>,
    /// Hours of warning that others need.
    pub notices: Vec<Notice>,
    /// Smallest chance with which banks must bear a truck on a catch day.
    pub bank_chance_least: f64,
    /// Smallest chance with which the receiving water must be free on every day that water is let out.
    pub receiving_chance_least: f64,
    /// Pond by pond.
    pub ponds: Vec<PondLimits>,
}

/// Gear of one kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Gear {
    /// How much of it there is: pumps, or the generator's kilowatts.
    pub amount: f64,
    /// First hour at which it is on the farm.
    pub from_hour: i32,
    /// Spans of hours (end not included) in which none of it can be had.
    pub away: Vec<(i32, i32)>,
}

/// Fuel, in the unit of [`Way::fuel_per_hour`]: what has been burnt by the end of any day must have been there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fuel {
    /// In store before day 0.
    pub in_store: f64,
    /// Fetched each day from day 0 on.
    pub per_day: f64,
}

/// What bounds one pond.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct PondLimits {
    /// The ways of getting its water down, the grower's first choice first.
    pub ways: Vec<Way>,
    /// Hours of daylight that emptying it of animals takes, from first light.
    pub catch_hours: f64,
    /// By day, days that a person or the guard has closed to this pond's catch.
    pub closed: Vec<bool>,
    /// By day, how far beyond what the guard allows a catch of this pond then would be, 0 to 1 in [`EXPOSURE_STEPS`] steps.
    /// The search first makes the sum over ponds as small as it can be, and only then looks at money. Empty: no guard.
    pub exposure: Vec<u16>,
    /// By day, chance that the banks bear a truck.
    pub bank_chance: Vec<f64>,
    /// By day, chance that the water can be let out.
    pub receiving_chance: Vec<f64>,
    /// Catch day promised already, with its way if that is promised too.
    pub locked: Option<Locked>,
    /// Days for whose catch everybody was told and everything ordered: no notice is asked for again.
    pub announced: Vec<usize>,
    /// Water that is already going down.
    pub started: Option<Started>,
    /// Shares of the pond taken on the first of two consecutive days; each is a choice beside the single day.
    pub first_day_shares: Vec<f64>,
    /// Early seining of the large animals, when it is a choice; the tables must then hold this pond's parts.
    pub seining: Option<Seining>,
    /// What the pond brings if it is never caught. None: it comes out if that is possible at all.
    pub left_coins: Option<f64>,
}

impl PondLimits {
    /// Whether others know already of a catch (or seining) on this day.
    pub fn was_announced(&self, day: usize) -> bool {
        self.started.is_some() || self.locked.is_some() || self.announced.contains(&day)
    }
}

/// Steps in which [`PondLimits::exposure`] is counted: a chance of 1 is this many.
pub const EXPOSURE_STEPS: u16 = 1000;

/// One way of lowering a pond's water.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Way {
    /// Hours from opening to catch depth.
    pub lead_hours: i32,
    /// What it holds from start to end: index into [`Limits::gear`] and amount.
    pub gear: Vec<(usize, f64)>,
    /// Fuel burnt in each hour from start to end.
    pub fuel_per_hour: f64,
    /// What it costs once (hire, haulage); smallest coins.
    pub cost_coins: f64,
}

/// The longest lead time: over a year.
pub const LEAD_HOURS_MOST: i32 = 10_000;

/// A promised catch day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Locked {
    /// The day on which the pond is emptied (the last, when it takes two).
    pub day: usize,
    /// The way, if that is promised too.
    pub way: Option<usize>,
}

/// Water that is going down.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Started {
    /// When the drain opened or the pump started; usually before now.
    pub start_hour: i32,
    /// The way it goes.
    pub way: usize,
}

/// An early seining of the large animals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seining {
    /// Fewest days between seining and emptying.
    pub gap_days_least: usize,
    /// Most days between them.
    pub gap_days_most: usize,
    /// Hours of daylight the seining takes.
    pub catch_hours: f64,
}

/// An amount bounded day by day.
#[derive(Debug, Clone, PartialEq)]
pub struct DayLimit {
    /// What it is.
    pub kind: DayKind,
    /// Amount needed for each pound, by stream.
    pub per_lb: [f64; STREAMS],
    /// Amount needed once for each catch (a part of a pond counts as its share).
    pub per_catch: f64,
    /// Whether the tables' extra hours of hands count against it.
    pub takes_extra_hours: bool,
    /// By day, how much there is.
    pub amount: Vec<f64>,
}

/// What a day's amount is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DayKind {
    /// Pounds handled.
    Pounds,
    /// Pounds headed.
    Heading,
    /// Hours of hands.
    Hands,
    /// Baskets: pounds they carry in an hour times the day's hours of light.
    Baskets,
    /// Ice.
    Ice,
    /// Pounds of a form that buyers take on one day.
    Buyers,
}

/// A place where the catch is held from day to day.
///
/// On a day the stock is what was carried in plus what is caught; then the day's off-take leaves and the rest is carried on.
/// It is over-full when it exceeds the room and exceeds what it would be with nothing caught.
#[derive(Debug, Clone, PartialEq)]
pub struct Store {
    /// What it is.
    pub kind: StoreKind,
    /// Pounds it receives for each pound caught, by stream.
    pub per_lb: [f64; STREAMS],
    /// Pounds in it before day 0.
    pub at_start_lb: f64,
    /// By day, room in pounds; 0 on a day for which it is not booked.
    pub room_lb: Vec<f64>,
    /// By day, pounds that leave it at the day's end.
    pub offtake_lb: Vec<f64>,
}

/// What a store is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StoreKind {
    /// Cooler or freezer.
    ColdStore,
    /// Live tanks.
    LiveTanks,
}

/// The most that buyers take of a form within a span of days.
#[derive(Debug, Clone, PartialEq)]
pub struct Order {
    /// Pounds counted for each pound caught, by stream.
    pub per_lb: [f64; STREAMS],
    /// First day.
    pub from_day: usize,
    /// Last day, included.
    pub to_day: usize,
    /// Most pounds.
    pub ceiling_lb: f64,
}

/// Warning that someone needs before a catch, counted from now. A pond whose day is promised or whose water is already going
/// down was announced.
#[derive(Debug, Clone, PartialEq)]
pub struct Notice {
    /// Who needs it.
    pub kind: NoticeKind,
    /// Hours from now to the earliest first light of a catch (for gear: to the earliest start with it).
    pub hours: i32,
    /// The hired gear it concerns, an index into [`Limits::gear`]; only read for [`NoticeKind::Gear`].
    pub gear: Option<usize>,
}

/// Who needs warning.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NoticeKind {
    /// The ice house.
    Ice,
    /// Hired hands.
    Crew,
    /// Buyers.
    Buyers,
    /// Whoever hires out gear.
    Gear,
}

/// A limit by name, for explaining which one binds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Limit {
    /// The start would lie before now, or the lead time would be cut short.
    LeadTime,
    /// Nobody is there at the start hour.
    StartHour,
    /// Gear of this index is short or not there yet.
    Gear(usize),
    /// Fuel.
    Fuel,
    /// Hours of light on a day.
    Daylight,
    /// Nobody works that day.
    Workday,
    /// Catches on one day.
    CatchesPerDay,
    /// A day's amount.
    Day(DayKind),
    /// Room in a store.
    Store(StoreKind),
    /// The order of this index.
    Order(usize),
    /// Warning too short.
    Notice(NoticeKind),
    /// Banks too soft.
    Bank,
    /// The receiving water is not free.
    Receiving,
    /// Another day was promised.
    Locked,
    /// The day is closed to the pond.
    Closed,
    /// The guard: [`PondLimits::exposure`]. It steers the search and is never broken in the checker's sense.
    Guard,
    /// The water is already going down, another way or since another hour.
    Started,
    /// The pond is not offered this way of taking (no such way, share, gap or parts, or days outside the tables).
    NotOffered,
    /// The pond is not caught at all, though it should be.
    Left,
}

/// A day's entry of a list whose last entry goes on; `none` when the list is empty.
pub(crate) fn on_day<T: Copy>(list: &[T], day: usize, none: T) -> T {
    list.get(day).or(list.last()).copied().unwrap_or(none)
}

/// Whether `need` is within `have`, with the part in a million that sums may be off.
pub(crate) fn within(need: f64, have: f64) -> bool {
    need <= have + 1.0e-6 * have.abs().max(1.0)
}

/// How many of `members` must keep a limit.
pub(crate) fn members_to_keep(keep: f64, members: usize) -> usize {
    ((keep * members as f64 - 1.0e-9).ceil().max(0.0) as usize).min(members)
}

impl Limits {
    /// Limits of `ponds` ponds over `days` days under which anything goes: a base to build on.
    pub fn open(days: usize, ponds: Vec<PondLimits>) -> Limits {
        Limits {
            days,
            now_hour: 0,
            first_light: vec![6],
            daylight_hours: Vec::new(),
            workday: Vec::new(),
            start_hours: Vec::new(),
            gear: Vec::new(),
            fuel: None,
            catches_per_day: None,
            keep: 0.8,
            day_limits: Vec::new(),
            stores: Vec::new(),
            orders: Vec::new(),
            notices: Vec::new(),
            bank_chance_least: 0.0,
            receiving_chance_least: 0.0,
            ponds,
        }
    }

    /// The hour of first light on a day.
    pub fn first_light_hour(&self, day: usize) -> i32 {
        24 * day as i32 + on_day(&self.first_light, day, 6)
    }

    /// The latest hour not after `hour` at which someone is there to start; none within a week before it: `None`.
    pub fn latest_start(&self, hour: i32) -> Option<i32> {
        (0..168).map(|back| hour - back).find(|&hour| self.someone_is_there(hour))
    }

    /// Whether a drain may be opened or a pump started at this hour.
    pub fn someone_is_there(&self, hour: i32) -> bool {
        self.start_hours.get(hour.rem_euclid(24) as usize).copied().unwrap_or(true)
    }

    /// Whether every number in it is one and none is negative that may not be; shares lie between 0 and 1.
    pub fn is_sound(&self) -> bool {
        let amount = |value: f64| value >= 0.0;
        let share = |value: f64| (0.0..=1.0).contains(&value);
        let streams = |per_lb: &[f64; STREAMS]| per_lb.iter().all(|&value| value.is_finite() && value >= 0.0);
        let way_is = |way: &Way| {
            (0..=LEAD_HOURS_MOST).contains(&way.lead_hours)
                && way.cost_coins.abs() <= COINS_MOST
                && way.fuel_per_hour.is_finite()
                && amount(way.fuel_per_hour)
                && way.gear.iter().all(|used| used.1.is_finite() && amount(used.1))
        };
        let pond_is = |pond: &PondLimits| {
            pond.catch_hours.is_finite()
                && amount(pond.catch_hours)
                && pond.ways.iter().all(way_is)
                && pond.exposure.iter().all(|&exposure| exposure <= EXPOSURE_STEPS)
                && pond.bank_chance.iter().chain(&pond.receiving_chance).all(|&chance| share(chance))
                && pond.first_day_shares.iter().all(|&first| 0.0 < first && first < 1.0)
                && pond.seining.is_none_or(|seining| seining.catch_hours.is_finite() && amount(seining.catch_hours))
                && pond.left_coins.is_none_or(|coins| coins.abs() <= COINS_MOST)
        };
        let day_is = |limit: &DayLimit| {
            streams(&limit.per_lb)
                && limit.per_catch.is_finite()
                && amount(limit.per_catch)
                && limit.amount.iter().all(|&have| amount(have))
        };
        let store_is = |store: &Store| {
            streams(&store.per_lb)
                && store.at_start_lb.is_finite()
                && amount(store.at_start_lb)
                && store.room_lb.iter().chain(&store.offtake_lb).all(|&have| amount(have))
        };
        share(self.keep)
            && self.keep > 0.0
            && share(self.bank_chance_least)
            && share(self.receiving_chance_least)
            && self.daylight_hours.iter().all(|&hours| amount(hours))
            && self.gear.iter().all(|gear| amount(gear.amount))
            && self.fuel.is_none_or(|fuel| amount(fuel.in_store) && amount(fuel.per_day))
            && self.day_limits.iter().all(day_is)
            && self.stores.iter().all(store_is)
            && self.orders.iter().all(|order| streams(&order.per_lb) && amount(order.ceiling_lb))
            && self.ponds.iter().all(pond_is)
    }
}
