//! The evening before: one pond's harvest day, hour by hour, from the plan, the crew, the gear and what is in the pond.
//!
//! The day is lived under every future three times: with everybody who is counted on, with those alone who surely come, and as a person
//! asks. Hours are the clock's on the day of the catch, negative before its midnight.

use std::sync::Arc;

use harvest::{Buyers, Carried, DayTold, DayWater, Draws, FallingWater, Future, Hold, Line, Moved, Without, ice, live};
use units::Day;

use crate::answer::{Band, Outlook, PondOutlook};
use crate::drain::DrainError;
use crate::drawn::Drawn;
use crate::outlook::MorningAsk;

mod again;
mod first;
pub(crate) mod futures;
mod hands;
mod ice_order;
mod keys;
pub(crate) mod means;
mod question;
mod sheet;
mod water;

pub use again::{Again, Rehearsal};
pub use first::TakenFirst;
pub use hands::{CrewMember, Group, at_post};
pub use ice_order::IceOrder;
pub(crate) use ice_order::of_plan as ice_of_plan;
pub use keys::{due_key, limit_key, step_key};
pub use question::{DayWish, INPUTS, LiveOrder, understand};
pub use sheet::{Due, DueKind, Step, StepKind};
use water::Waters;
pub use water::WaysOut;

/// Who is reckoned with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Who {
    /// Everybody who is counted on.
    Everybody,
    /// Only those who surely come.
    Sure,
    /// As asked.
    Asked,
}

/// The day with one crew.
#[derive(Debug, Clone, PartialEq)]
pub struct CrewDay {
    /// Which.
    pub who: Who,
    /// Who comes, with the best place for each.
    pub crew: Vec<CrewMember>,
    /// How the places were bettered from an even share.
    pub moves: Vec<Moved>,
    /// How the day goes.
    pub told: DayTold,
    /// Which limits bind, the dearest first.
    pub binds: Vec<Without>,
    /// What these hands and this ice can carry.
    pub carries: Carried,
}

/// The day's sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct DaySheet {
    /// The farm's name.
    pub farm: String,
    /// The pond's name.
    pub pond: String,
    /// Its place among the farm's ponds.
    pub index: usize,
    /// This morning.
    pub today: Day,
    /// The day of the catch.
    pub on: Day,
    /// The plan's own day.
    pub is_planned: bool,
    /// First light and the hour at which work begins.
    pub first_light_h: f64,
    /// See `first_light_h`.
    pub begins_h: f64,
    /// When the shift ends.
    pub ends_h: f64,
    /// The water starts down.
    pub opens_h: f64,
    /// What lets the water out.
    pub ways_out: WaysOut,
    /// The water's course as the line needs it.
    pub course: FallingWater,
    /// The level by the hour from the opening on, m by the drain.
    pub levels: Vec<(f64, f64)>,
    /// How far the water's course was remade for the line, in order.
    pub holds: Vec<Hold>,
    /// What the line would ask for beyond that.
    pub still_asks: Option<Hold>,
    /// Animals that can be caught, kg, and their mean weight, g.
    pub mass_kg: Band,
    /// See `mass_kg`.
    pub weight_g: Band,
    /// Water at first light on the way down, °C.
    pub water_c: Band,
    /// Where the floor begins to fall bare, °C.
    pub bare_c: Band,
    /// Share of futures in which animals stop following the water.
    pub slow_chance: f64,
    /// What buyers take of it, kg of whole weight.
    pub buyers: Buyers,
    /// With everybody, with those who surely come, and as asked, as far as they differ.
    pub crews: Vec<CrewDay>,
    /// Where the ice goes, by the heat balance, for the likely catch.
    pub ice: ice::IceNeed,
    /// Ice there will be, kg; what the farm's own rule asks for, kg.
    pub ice_have_kg: f64,
    /// See `ice_have_kg`.
    pub ice_rule_kg: f64,
    /// Ice that is there once what this sheet asks for is fetched, kg: never more than can be had.
    pub ice_there_kg: f64,
    /// Minutes in the slurry until the thickest are cold, with the margin, likely.
    pub dwell_min: f64,
    /// Room in the cold store, kg; `None` where no cold store is told.
    pub store_kg: Option<f64>,
    /// The live tanks with what is likely to be in them, at loading and in the morning after; `None` without live sale.
    pub live: Option<(live::LiveLoad, live::LiveHour)>,
    /// The hours of a night in the live tanks after which ammonia or warmth is too much, if it comes to that.
    pub live_good_until_h: Option<f64>,
    /// Baskets there are and what goes into one, kg.
    pub baskets: (u32, f64),
    /// The day hour by hour, for those who surely come.
    pub steps: Vec<Step>,
    /// What is due before, by the hour.
    pub due: Vec<Due>,
    /// Every pond that comes out on this day, in the order in which they are taken when not all can be; empty where this is the only one.
    pub first: Vec<TakenFirst>,
    /// Ice for the days of the plan.
    pub ice_orders: Vec<IceOrder>,
    /// How many futures.
    pub members: usize,
    /// Tasks whose pace is the farm's own.
    pub own_paces: usize,
}

/// Why there is no sheet.
#[derive(Debug, Clone, PartialEq)]
pub enum DayError {
    /// No such pond in the water.
    NoPond,
    /// The day lies outside the days planned for.
    DayOutside {
        /// The first day that can be asked for.
        first: Day,
        /// The last.
        last: Day,
    },
    /// Nobody comes.
    Nobody,
    /// The water cannot be let out.
    Drain(DrainError),
}

impl DaySheet {
    /// The day with those who surely come.
    pub fn sure(&self) -> &CrewDay {
        self.crews.iter().find(|crew| crew.who == Who::Sure).unwrap_or(&self.crews[0])
    }

    /// The day that was asked for, else with everybody.
    pub fn asked(&self) -> &CrewDay {
        self.crews.iter().find(|crew| crew.who == Who::Asked).unwrap_or(&self.crews[0])
    }
}

/// Rounds in which the water is remade for the line.
const ROUNDS: usize = 3;
/// Futures that a request to the water is found from: eight in ten of these must be served.
const HOLD_FUTURES: usize = 60;

/// Everything a rehearsal stands on, made once.
struct Stage<'a> {
    ask: &'a MorningAsk<'a>,
    shown: &'a PondOutlook,
    wish: &'a DayWish,
    on: Day,
    begins_h: f64,
    ends_h: f64,
    futures: Vec<Future>,
    water_c: Vec<f64>,
    buyers: Buyers,
}

/// Rehearses a day of one pond, named by its place among the farm's ponds.
///
/// # Errors
/// [`DayError`].
pub fn rehearse(
    ask: &MorningAsk,
    drawn: &Drawn,
    outlook: &Outlook,
    pond: usize,
    wish: &DayWish,
) -> Result<DaySheet, DayError> {
    rehearsal(ask, drawn, outlook, pond, wish).map(|rehearsal| rehearsal.sheet)
}

/// The same with what it was lived from, to be told again as the day goes.
///
/// # Errors
/// [`DayError`].
pub fn rehearsal(
    ask: &MorningAsk,
    drawn: &Drawn,
    outlook: &Outlook,
    pond: usize,
    wish: &DayWish,
) -> Result<Rehearsal, DayError> {
    let at = drawn.ponds.iter().position(|standing| standing.index == pond).ok_or(DayError::NoPond)?;
    let shown = outlook.ponds.iter().find(|shown| shown.index == pond).ok_or(DayError::NoPond)?;
    let planned =
        shown.planned.map(|planned| planned.second_day.filter(|_| planned.parts).unwrap_or(planned.catch_day));
    let on = wish.on.or(planned).or(shown.days.first().map(|day| day.day)).ok_or(DayError::NoPond)?;
    let day = usize::try_from(on.0 - ask.on.0).ok().filter(|&day| day < drawn.days);
    let (first, last) = (ask.on, ask.on.plus(drawn.days as i32 - 1));
    let day = day.ok_or(DayError::DayOutside { first, last })?;
    let (first_light, _) = crate::weigh::light(ask.farm, &ask.past.place, ask.on, drawn.days);
    let first_light_h = f64::from(first_light[day]);
    let begins_h = wish.start_h.unwrap_or(first_light_h);
    let (futures, water_c) = futures::of_day(ask.farm, drawn, at, day);
    let mass = Band::of(futures.iter().map(|future| future.mass_kg).collect());
    let stage = Stage {
        ask,
        shown,
        wish,
        on,
        begins_h,
        ends_h: begins_h + ask.farm.crew.hours_per_day,
        buyers: means::buyers(ask.farm, mass.middle, wish.ordered_live_kg(on)),
        futures,
        water_c,
    };
    let down = water::down(drawn, &stage)?;
    let waters = Waters::new(drawn, &stage, &down)?;
    let crews = hands::crews(ask.farm, on, wish, (stage.begins_h, stage.ends_h));
    if crews.iter().any(|(_, crew)| crew.is_empty()) {
        return Err(DayError::Nobody);
    }
    Ok(stage.lived((drawn, outlook), (&down, &waters), crews, first_light_h, planned == Some(on)))
}

impl Stage<'_> {
    fn lived(
        &self,
        (drawn, outlook): (&Drawn, &Outlook),
        (down, waters): (&water::Down, &Waters),
        crews: Vec<(Who, Vec<CrewMember>)>,
        first_light_h: f64,
        is_planned: bool,
    ) -> Rehearsal {
        let farm = self.ask.farm;
        let rates = means::rates(farm);
        let draws = Draws::new(self.ask.past.seed, 0..self.futures.len() as u32, &rates);
        let mut line = Line::new();
        let strands = futures::strands(farm, &farm.ponds[self.shown.index]);
        let day_of = |crew: &[CrewMember], course: &FallingWater, water: &Arc<DayWater>| harvest::Day {
            course: course.clone(),
            water: Arc::clone(water),
            strands,
            hands: crew.iter().map(|one| one.hand).collect(),
            means: means::means(farm, self.on, self.wish),
            buyers: self.buyers,
            rates: rates.clone(),
            standing: None,
        };
        // Those who surely come set the water's pace.
        let sure = crews.iter().find(|(who, _)| *who == Who::Sure).map_or(&crews[0].1, |(_, crew)| crew);
        let few = &self.futures[..self.futures.len().min(HOLD_FUTURES)];
        let (mut course, mut holds) = (down.course.clone(), Vec::new());
        let mut water = waters.with(&holds);
        let mut still_asks = harvest::hold(&mut line, &day_of(sure, &course, &water), few, &draws);
        while let Some(hold) = still_asks.filter(|_| holds.len() < ROUNDS) {
            course = course.held(hold.from_h, hold.for_h);
            holds.push(hold);
            water = waters.with(&holds);
            still_asks = harvest::hold(&mut line, &day_of(sure, &course, &water), few, &draws);
        }
        let mut days = Vec::new();
        let crews: Vec<CrewDay> = crews
            .into_iter()
            .map(|(who, mut crew)| {
                let mut day = day_of(&crew, &course, &water);
                let moves = harvest::best_posts(&mut line, &mut day, &self.futures, &draws);
                // What could be carried were the water kept as long as it is needed: hands and ice alone.
                let kept =
                    FallingWater { dip_from_h: down.course.seine_h.1, dry_h: f64::INFINITY, ..down.course.clone() };
                let kept = harvest::Day { course: kept, ..day.clone() };
                crew.iter_mut().zip(&day.hands).for_each(|(one, hand)| one.hand = *hand);
                let told = CrewDay {
                    who,
                    moves,
                    told: harvest::tell(&harvest::live_all(&mut line, &day, &self.futures, &draws)),
                    binds: harvest::relaxed(&mut line, &day, &self.futures, &draws),
                    carries: harvest::carried(&mut line, &kept, &self.futures, &draws),
                    crew,
                };
                days.push((who, day));
                told
            })
            .collect();
        let sheet =
            self.sheet((drawn, outlook), (down, &water), course, (holds, still_asks), crews, first_light_h, is_planned);
        let whole = down.whole(&sheet.holds);
        Rehearsal { sheet, days, futures: self.futures.clone(), draws, full_m: down.full_m, whole }
    }

    fn sheet(
        &self,
        (drawn, outlook): (&Drawn, &Outlook),
        (down, water): (&water::Down, &DayWater),
        course: FallingWater,
        (holds, still_asks): (Vec<Hold>, Option<Hold>),
        crews: Vec<CrewDay>,
        first_light_h: f64,
        is_planned: bool,
    ) -> DaySheet {
        let (farm, means) = (self.ask.farm, means::means(self.ask.farm, self.on, self.wish));
        let band = |of: fn(&Future) -> f64| Band::of(self.futures.iter().map(of).collect());
        let (mass_kg, weight_g) = (band(|one| one.mass_kg), band(|one| one.weight_g));
        let (bare_c, slow_chance) = water::where_bare(self, &course, water);
        let water_c = Band::of((0..self.futures.len()).map(|member| water.by_drain_c(self.begins_h, member)).collect());
        let sure = crews.iter().find(|crew| crew.who == Who::Sure).unwrap_or(&crews[0]);
        let iced = ice_order::of_day(self, mass_kg.middle, water_c.middle);
        let live = means::live(farm, sure.told.live_kg.middle, water_c.middle);
        let (course, levels) = down.told(course, &holds, self.ends_h);
        let mut sheet = DaySheet {
            farm: farm.name.clone(),
            pond: self.shown.name.clone(),
            index: self.shown.index,
            today: self.ask.on,
            on: self.on,
            is_planned,
            first_light_h,
            begins_h: self.begins_h,
            ends_h: self.ends_h,
            opens_h: down.opens_h,
            ways_out: down.ways_out.clone(),
            levels,
            course,
            holds,
            still_asks,
            mass_kg,
            weight_g,
            water_c,
            bare_c,
            slow_chance,
            buyers: self.buyers,
            ice: iced.heat,
            ice_have_kg: means.ice_kg,
            ice_rule_kg: iced.rule_kg,
            ice_there_kg: 0.0,
            dwell_min: 60.0 * water::dwell_h(self, water).middle,
            store_kg: farm.cold.store.as_ref().map(|_| means.store_kg),
            live_good_until_h: live.and_then(|load| load.good_until(means::live_hours(farm))),
            live: live.map(|load| (load, load.at(means::live_hours(farm)))),
            baskets: (means.baskets, means.basket_kg),
            steps: Vec::new(),
            due: Vec::new(),
            first: first::of_day(self, outlook, sure.carries.on_ice_kg),
            ice_orders: ice_order::of_plan(farm, outlook.on, &outlook.ponds),
            members: self.futures.len(),
            own_paces: means::own_paces(farm),
            crews,
        };
        sheet.ice_there_kg = sheet.ice_need_kg().max(farm.cold.ice_kg).min(sheet.ice_have_kg);
        sheet.steps = sheet::steps(&sheet);
        sheet.due = sheet::due(farm, &sheet, drawn.days);
        sheet
    }
}
