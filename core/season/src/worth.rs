//! What a pond brings if caught on a day: animals by size, times price by size and form, less what the day costs and what
//! cold takes.
//!
//! Model     growth, survival and cold of `stock` on the day table; thin water on the way down; streams in fixed shares
//! Units     coins of the farm's currency, kg, °C
//! Range     as the models it joins
//! Source    prices and costs are the farm's own
//! Left out  prices that fall as a buyer is offered more (ceilings are limits of the plan, not of the price)

use ensemble::DayTable;
use farm::{Farm, Form, Pays, PondCard};
use stock::{Crop, Hidden};

use crate::thin::{Depths, FullPond, WayDown};

/// Most size limits a farm's prices may set, with the finer ones of sale by the piece.
const CLASSES_MOST: usize = 48;
/// Further limits where something is sold by the piece, g: the price of a kilogram then hangs on how many it holds, and a class of
/// the price list is too wide for its middle to tell.
const PIECE_LIMITS_G: [f64; 14] = [5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0, 70.0, 85.0, 100.0];

/// How the crop is shared out among forms, by live weight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Streams {
    /// Share sold or held alive.
    pub live: f64,
    /// Share sold whole on ice by weight.
    pub whole: f64,
    /// Share sold whole by the piece.
    pub piece: f64,
    /// Share headed.
    pub tails: f64,
}

impl Streams {
    /// Dearest form first, each up to what its buyers still take; the last form without a ceiling takes the rest.
    ///
    /// Shares are of the whole farm's crop and the same for every pond, so that no pond's worth hangs on another's date.
    pub fn of(farm: &Farm, crop_kg: f64) -> Streams {
        let room = |form: Form| {
            let sold = farm.prices.rows.iter().any(|row| row.form == form);
            let most = match farm.orders.ceilings.iter().find(|ceiling| ceiling.form == form) {
                Some(ceiling) => ceiling.kg_total.map_or(f64::INFINITY, |kg| (kg - ceiling.sold_kg).max(0.0)),
                None => f64::INFINITY,
            };
            if sold { most / crop_kg.max(1.0) } else { 0.0 }
        };
        let live = room(Form::Live).min(tanks_hold(farm, crop_kg)).min(1.0);
        let piece = room(Form::Piece).min(1.0 - live);
        // A form by the piece without a ceiling shares the bank sale with the form by weight.
        let piece = if piece >= 1.0 - live && room(Form::Whole) > 0.0 { 0.0 } else { piece };
        let whole = room(Form::Whole).min(1.0 - live - piece);
        let tails = if room(Form::Tails) > 0.0 { 1.0 - live - piece - whole } else { 0.0 };
        Streams { live, whole, piece, tails }
    }
}

/// Share of the largest pond still in the water that the live tanks hold: what they cannot hold is chilled, and no pond stays in for
/// want of tanks.
fn tanks_hold(farm: &Farm, crop_kg: f64) -> f64 {
    let stocked = || farm.ponds.iter().filter(|card| card.harvested.is_none()).map(|card| card.stocking.count);
    let largest_kg = crop_kg * stocked().fold(0.0, f64::max) / stocked().sum::<f64>().max(1.0);
    let room_kg = f64::from(farm.cold.live_tanks) * farm.cold.live_tank_m3 * farm.cold.live_kg_m3;
    room_kg / largest_kg.max(1.0)
}

/// Coins a kilogram of whole animals brings, by size.
#[derive(Debug, Clone)]
pub struct PriceBySize {
    limits_g: Vec<f64>,
    /// By class (one more than limits): coins per kg in a live tank, and coins per kg in the mix when nothing is sold alive.
    lively: Vec<f64>,
    limp: Vec<f64>,
}

impl PriceBySize {
    /// From the farm's price rows and the shares of forms.
    pub fn new(farm: &Farm, streams: &Streams) -> PriceBySize {
        let tail = farm.prices.tail_yield.unwrap_or(stock::Mixture::new(45_000.0, 0.0).tail_fraction());
        let whole_g = |form: Form, g: f64| if form == Form::Tails { g / tail } else { g };
        let mut limits_g: Vec<f64> = farm
            .prices
            .rows
            .iter()
            .flat_map(|row| [whole_g(row.form, row.from_g), whole_g(row.form, row.to_g)])
            .filter(|g| *g > 0.0 && g.is_finite())
            .collect();
        if farm.prices.rows.iter().any(|row| matches!(row.pays, Pays::Each(_))) {
            limits_g.extend(PIECE_LIMITS_G);
        }
        limits_g.sort_by(f64::total_cmp);
        limits_g.dedup_by(|a, b| (*a - *b).abs() < 1e-6);
        limits_g.truncate(CLASSES_MOST - 1);
        let per_kg = |form: Form, class: usize| {
            let low = if class == 0 { 0.0 } else { limits_g[class - 1] };
            let high = limits_g.get(class).copied().unwrap_or(low * 1.3 + 10.0);
            let g = 0.5 * (low + high);
            let piece_g = if form == Form::Tails { g * tail } else { g };
            let coins = match farm.prices.of(form, piece_g).map(|row| row.pays) {
                Some(Pays::PerKg(coins)) => coins,
                Some(Pays::Each(coins)) => coins / (piece_g / 1000.0),
                None => 0.0,
            };
            if form == Form::Tails { coins * tail } else { coins }
        };
        let mixed = |class: usize, live: f64, whole: f64| {
            live * per_kg(Form::Live, class)
                + whole * per_kg(Form::Whole, class)
                + streams.piece * per_kg(Form::Piece, class)
                + streams.tails * per_kg(Form::Tails, class)
        };
        let classes = 0..=limits_g.len();
        // What is too limp for a live tank is chilled with the rest; a farm that sells nothing whole heads it.
        let limp_as_whole = farm.prices.rows.iter().any(|row| row.form == Form::Whole);
        let limp = |class: usize| {
            let instead = if limp_as_whole { per_kg(Form::Whole, class) } else { per_kg(Form::Tails, class) };
            mixed(class, 0.0, streams.whole) + streams.live * instead
        };
        PriceBySize {
            lively: classes.clone().map(|class| mixed(class, streams.live, streams.whole)).collect(),
            limp: classes.map(limp).collect(),
            limits_g,
        }
    }

    /// Coins a kilogram of the catch brings at a mean weight, when `lively` of it is fit for live tanks.
    pub fn coins_per_kg(&self, crop: &Crop, mean_weight_g: f64, lively: f64, hidden: &Hidden) -> f64 {
        let mut shares = [0.0; CLASSES_MOST];
        let classes = self.limits_g.len() + 1;
        crop.mass_shares(mean_weight_g, &self.limits_g, hidden, &mut shares[..classes]);
        shares[..classes]
            .iter()
            .zip(self.lively.iter().zip(&self.limp))
            .map(|(share, (alive, limp))| share * (lively * alive + (1.0 - lively) * limp))
            .sum()
    }
}

/// One pond as it stands this morning.
#[derive(Debug, Clone)]
pub struct PondToday {
    /// Its animals.
    pub crop: Crop,
    /// Warm days the crop has had since it was stocked (or sampled).
    pub warm_days: f64,
    /// Days since it was stocked.
    pub days: f64,
    /// How thick its water stands, full and at catch depth.
    pub depths: Depths,
    /// Hours from opening to catch depth by the grower's first way.
    pub lead_h: f64,
    /// Fuel burnt on the way down, litres.
    pub lead_fuel_l: f64,
}

/// One pond, day and member in money.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Cell {
    /// Coins, net.
    pub worth: f64,
    /// Coins that cold has taken of what it would have been.
    pub cold_loss: f64,
    /// Share of the animals that cold has taken: dead, or slow and not found.
    pub loss_fraction: f64,
    /// Live weight caught, kg.
    pub caught_kg: f64,
    /// Share of it fit for live tanks.
    pub lively: f64,
    /// Hand-hours beyond the usual.
    pub extra_hand_h: f64,
    /// Mean weight, g.
    pub mean_weight_g: f64,
    /// Animals alive in the pond at the start.
    pub count: f64,
    /// Water at dawn of the catch, °C.
    pub catch_dawn_c: f64,
}

struct MemberPond<'a> {
    table: &'a DayTable,
    member: usize,
}

impl FullPond for MemberPond<'_> {
    fn mean_c(&self, day: i32) -> f64 {
        self.table.at(day.clamp(0, self.table.days() as i32 - 1) as usize, self.member).mean_c
    }
    fn dawn_c(&self, day: i32) -> f64 {
        self.table.at(day.clamp(0, self.table.days() as i32 - 1) as usize, self.member).dawn_c
    }
}

/// What a member's pond has had and cost by some moment.
#[derive(Debug, Clone, Copy)]
struct SoFar {
    warm_days: f64,
    /// Coins for feed and air since this morning.
    spent: f64,
    /// Largest unit dose of cold; on the first day, that of the day's end, as no earlier one is known here.
    dose_max: f64,
}

impl SoFar {
    /// A share of the way to another moment.
    fn towards(&self, to: &SoFar, share: f64) -> SoFar {
        let between = |from: f64, to: f64| from + share * (to - from);
        SoFar {
            warm_days: between(self.warm_days, to.warm_days),
            spent: between(self.spent, to.spent),
            dose_max: between(self.dose_max, to.dose_max),
        }
    }
}

/// Everything that does not change between days and members.
pub struct Valuer<'a> {
    farm: &'a Farm,
    card: &'a PondCard,
    today: &'a PondToday,
    prices: PriceBySize,
    down: WayDown,
}

impl<'a> Valuer<'a> {
    /// For one pond of the farm.
    pub fn new(farm: &'a Farm, card: &'a PondCard, today: &'a PondToday, streams: &Streams) -> Valuer<'a> {
        Valuer {
            farm,
            card,
            today,
            prices: PriceBySize::new(farm, streams),
            down: WayDown::new(today.depths, today.lead_h),
        }
    }

    /// One member's cells, day by day.
    pub fn member(&self, table: &DayTable, member: usize, hidden: &Hidden, out: &mut [Cell]) {
        let pond = MemberPond { table, member };
        // What has come by the start of each day; what is fed and aired stops when the water goes down.
        let mut so_far = SoFar { warm_days: self.today.warm_days, spent: 0.0, dose_max: table.at(0, member).dose_max };
        let mut before = Vec::with_capacity(out.len() + 1);
        for day in 0..out.len() {
            before.push(so_far);
            let row = table.at(day, member);
            let standing =
                self.today.crop.standing(so_far.warm_days, self.today.days + day as f64, row.dose_max, hidden);
            let feed = stock::feed::ration_kg_per_d(standing.mass_kg, standing.mean_weight_g, row.mean_c);
            so_far.spent += feed * self.farm.costs.feed_kg + self.air_coins_per_d();
            so_far.warm_days += row.warm_days;
            so_far.dose_max = row.dose_max;
        }
        for (day, cell) in out.iter_mut().enumerate() {
            let start_d = (day as f64 + 0.25 - self.today.lead_h / 24.0).max(0.0);
            let whole = start_d.floor() as usize;
            let into = start_d - whole as f64;
            let from = before[whole];
            let at_start = before.get(whole + 1).map_or(from, |to| from.towards(to, into));
            *cell = self.cell(&pond, day, &at_start, hidden);
        }
    }

    fn air_coins_per_d(&self) -> f64 {
        self.card.aeration.power_kw * self.card.aeration.hours_per_day * self.farm.costs.power_kwh
    }

    fn cell(&self, pond: &MemberPond, day: usize, at_start: &SoFar, hidden: &Hidden) -> Cell {
        let today = self.today;
        let thin = self.down.morning(pond, day as i32);
        let dose = at_start.dose_max + thin.dose;
        let days = today.days + day as f64;
        let standing = today.crop.standing(at_start.warm_days, days, dose, hidden);
        let gathered = today.crop.gathered(thin.dawn_c, hidden);
        let weight_g = standing.mean_weight_g;
        let warm_kg = standing.warm_count * weight_g / 1000.0;
        let kg = standing.mass_kg * gathered.found_fraction;
        let income = kg * self.prices.coins_per_kg(&today.crop, weight_g, gathered.lively_fraction, hidden);
        let costs = self.harvest_coins(kg, gathered.hours_factor);
        let cold = standing.cold_alive_fraction < 1.0 || gathered.found_fraction < 0.9999;
        let without = if cold || gathered.lively_fraction < 0.9999 {
            let income = warm_kg * self.prices.coins_per_kg(&today.crop, weight_g, 1.0, hidden);
            income - self.harvest_coins(warm_kg, 1.0)
        } else {
            income - costs
        };
        let worth = income - costs - at_start.spent;
        Cell {
            worth,
            cold_loss: (without - (income - costs)).max(0.0),
            loss_fraction: 1.0 - standing.cold_alive_fraction * gathered.found_fraction,
            caught_kg: kg,
            lively: gathered.lively_fraction,
            extra_hand_h: kg / self.farm.crew.kg_per_hand_h * (gathered.hours_factor - 1.0),
            mean_weight_g: weight_g,
            count: standing.count,
            catch_dawn_c: thin.dawn_c,
        }
    }

    fn harvest_coins(&self, kg: f64, hours_factor: f64) -> f64 {
        let costs = &self.farm.costs;
        let hands = kg / self.farm.crew.kg_per_hand_h * hours_factor * costs.hand_h;
        let ice = kg * self.farm.cold.ice_per_kg * costs.ice_kg;
        hands + ice + kg * costs.packing_kg + self.today.lead_fuel_l * costs.fuel_l
    }
}

#[cfg(test)]
mod tests;
