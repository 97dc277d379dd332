//! Postlarvae in the farm's tanks: how many came, how they are shared out, and each tank's days until stocking.
//!
//! Model     `nursery` for each tank at the warmth it is kept at, or as it was last read; the last delivery entered
//! Units     animals, g, °C, kg, mg/L
//! Range     as `nursery`
//! Source    docs/model/nursery.md
//! Left out  grading; a tank that is filled from another

use farm::facts::{Fact, Kept as Entered, current, read_typed};
use farm::inputs::{log_inputs, read_list};
use farm::{Farm, Tank};
use nursery::{Counted, Kept, Raised, TankDay, counted, exchange_m3_per_d, heat_kwh_per_d, raise, shares};
use pond::chemistry::unionized_fraction;
use units::{Day, Instant};

/// Days that are told of from the arrival on.
const DAYS: u32 = 75;
/// A delivery this long ago is another season's, d.
const OLD_D: i32 = 120;
/// A postlarva whose weight was not told, g.
const YOUNG_G: f64 = 0.01;
/// pH of tanks whose pH was not read (our guess).
const PH_USUAL: f64 = 7.8;
/// Protein of a starter feed (Coyle and others 2003).
const PROTEIN: f64 = 0.42;
/// Weight at which juveniles are commonly stocked, g.
pub const READY_G: f64 = 0.3;
/// Water that postlarvae can live in for days, °C: memory.
const LIVED_IN_C: std::ops::RangeInclusive<f64> = 15.0..=37.0;
/// Humidity of a room, a share (our guess).
const HUMIDITY: f64 = 0.5;

/// A delivery as it was entered.
#[derive(Debug, Clone, PartialEq)]
pub struct Delivery {
    /// Mark of the entry that holds.
    pub id: String,
    /// The moment it came.
    pub at: Instant,
    /// The day.
    pub on: Day,
    /// Animals by the hatchery's paper.
    pub claimed: f64,
    /// The farm's own count, if samples were counted and weighed.
    pub counted: Option<Counted>,
    /// Dead on arrival.
    pub dead: f64,
    /// Weight of one, g.
    pub weight_g: f64,
    /// Papers that came with it, as typed.
    pub papers: Option<String>,
}

impl Delivery {
    /// Animals alive: by the farm's own count if there is one.
    pub fn alive(&self) -> f64 {
        (self.counted.map_or(self.claimed, |count| count.number) - self.dead).max(0.0)
    }
    /// How many fewer came alive than were paid for, and whether that is beyond what the count may be off.
    pub fn short(&self) -> Option<(f64, bool)> {
        let count = self.counted?;
        let short = self.claimed - self.alive();
        Some((short, short > count.either_way))
    }
}

/// What was read in a tank last.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct TankRead {
    /// When, as a day.
    pub on: Option<Day>,
    /// °C.
    pub temp_c: Option<f64>,
    /// pH.
    pub ph: Option<f64>,
    /// Total ammonia nitrogen, mg/L.
    pub ammonia_mg_l: Option<f64>,
    /// Nitrite nitrogen, mg/L.
    pub nitrite_mg_l: Option<f64>,
    /// Oxygen, mg/L.
    pub oxygen_mg_l: Option<f64>,
    /// Dead that were seen since the animals came.
    pub dead: f64,
    /// The last day of an entry of which some figure cannot be read.
    pub unread: Option<Day>,
}

impl TankRead {
    /// Un-ionized ammonia nitrogen as read, mg/L, where ammonia, pH and temperature were.
    pub fn free_mg_l(&self, kept_at_c: f64) -> Option<f64> {
        Some(self.ammonia_mg_l? * unionized_fraction(self.temp_c.unwrap_or(kept_at_c), self.ph?))
    }
}

/// A tank's days.
#[derive(Debug, Clone, PartialEq)]
pub struct TankOutlook {
    /// The tank.
    pub tank: Tank,
    /// Animals put into it.
    pub share: f64,
    /// Its days from the arrival on.
    pub raised: Raised,
    /// Today's row; the last one when they have been here longer than is told.
    pub today: TankDay,
    /// What was read in it last.
    pub read: TankRead,
    /// The water it is reckoned with, °C.
    pub water_c: f64,
    /// The day on which the mean animal is ready to stock: likely, and at the latest of what the model may be off. `None`: not within its days.
    pub ready: (Option<Day>, Option<Day>),
    /// The first day on which filter and exchange are too little.
    pub too_little_from: Option<Day>,
    /// Water to change today so that ammonia stays down, m³; `None` where new water would not help.
    pub change_m3: Option<f64>,
    /// Heat for a day, kWh, in a room of usual warmth.
    pub heat_kwh: f64,
}

/// The nursery.
#[derive(Debug, Clone, PartialEq)]
pub struct NurseryOutlook {
    /// The last delivery; `None` when none was entered of late.
    pub delivery: Option<Delivery>,
    /// Deliveries of late before that one: the tanks go by the last alone.
    pub earlier: Vec<Delivery>,
    /// Every tank; without a delivery as if nothing were in it.
    pub tanks: Vec<TankOutlook>,
}

/// The deliveries of late, in order of days.
pub fn deliveries(facts: &[Entered], farm: &Farm, today: Day) -> Vec<Delivery> {
    let zone = &farm.place.zone;
    let entries = current(facts);
    let told = entries.iter().filter_map(|entry| entry.settled()).filter(|kept| kept.fact.kind == "delivery");
    let mut told: Vec<(Day, &Entered)> =
        told.map(|kept| (zone.day_and_second(kept.fact.happened.at).0, kept)).collect();
    told.retain(|(on, _)| (0..=OLD_D).contains(&(today.0 - on.0)));
    told.sort_by_key(|(on, kept)| (*on, kept.seq));
    told.into_iter().filter_map(|(on, kept)| delivery(on, kept)).collect()
}

fn delivery(on: Day, kept: &Entered) -> Option<Delivery> {
    let value = |name: &str| kept.fact.values.get(name).copied();
    let input = log_inputs().find(|input| input.key == "log.counts")?;
    let counts = kept.fact.text("counts").and_then(|text| read_list(input, text).ok()).unwrap_or_default();
    let counted = match (value("sample_weight"), value("all_weight")) {
        (Some(sample_g), Some(all_g)) => counted(&counts, sample_g / 1000.0, all_g / 1000.0),
        _ => None,
    };
    Some(Delivery {
        id: kept.fact.id.clone(),
        at: kept.fact.happened.at,
        on,
        claimed: value("claimed")?,
        counted,
        dead: value("dead").unwrap_or(0.0),
        weight_g: value("mean_weight").unwrap_or(YOUNG_G),
        papers: kept.fact.text("papers").map(str::to_owned),
    })
}

/// What was read last in a tank, each quantity by itself.
fn last_read(facts: &[Entered], farm: &Farm, tank: &str, since: Day) -> TankRead {
    let zone = &farm.place.zone;
    let entries = current(facts);
    let mut told: Vec<(i64, Day, &Entered)> = entries
        .iter()
        .filter_map(|entry| entry.settled())
        .filter(|kept| kept.fact.kind == "tank" && kept.fact.text("tank") == Some(tank))
        .map(|kept| (kept.fact.happened.at.0, zone.day_and_second(kept.fact.happened.at).0, kept))
        .filter(|(_, on, _)| *on >= since)
        .collect();
    told.sort_by_key(|(at, ..)| *at);
    let mut read = TankRead::default();
    for (_, on, kept) in told {
        let value = |name: &str| kept.fact.values.get(name).copied();
        read = TankRead {
            on: Some(on),
            temp_c: value("temperature").or(read.temp_c),
            ph: value("ph").or(read.ph),
            ammonia_mg_l: value("ammonia").or(read.ammonia_mg_l),
            nitrite_mg_l: value("nitrite").or(read.nitrite_mg_l),
            oxygen_mg_l: value("oxygen").or(read.oxygen_mg_l),
            dead: read.dead + value("deaths").unwrap_or(0.0),
            unread: if is_whole(&kept.fact) { read.unread } else { Some(on) },
        };
    }
    read
}

/// Whether every figure of an entry could be read.
fn is_whole(fact: &Fact) -> bool {
    read_typed(&fact.kind, fact.form, &fact.typed).slips.is_empty()
}

/// Every tank's days, from the deliveries and readings that were entered.
pub fn nursery(farm: &Farm, facts: &[Entered], today: Day) -> NurseryOutlook {
    let mut earlier = deliveries(facts, farm, today);
    let delivery = earlier.pop();
    let models: Vec<nursery::Tank> = farm.tanks.iter().map(model).collect();
    let given = shares(delivery.as_ref().map_or(0.0, Delivery::alive), &models);
    let (since, weight_g) = delivery.as_ref().map_or((today, YOUNG_G), |one| (one.on, one.weight_g));
    let tanks = farm
        .tanks
        .iter()
        .zip(&models)
        .zip(given)
        .map(|((tank, model), share)| {
            let read = last_read(facts, farm, &tank.name, since);
            one(tank, model, share, (since, today), weight_g, read)
        })
        .collect();
    NurseryOutlook { delivery, earlier, tanks }
}

fn model(tank: &Tank) -> nursery::Tank {
    nursery::Tank {
        water_m3: tank.water_m3,
        bottom_m2: tank.bottom_m2,
        substrate_m2: tank.netting_m2,
        filter_m2: tank.filter_m2,
        changed_m3_d: tank.changed_m3_d,
    }
}

fn one(
    tank: &Tank,
    model: &nursery::Tank,
    share: f64,
    (since, today): (Day, Day),
    weight_g: f64,
    read: TankRead,
) -> TankOutlook {
    // A thermometer that shows what no postlarva lives in was misread: the heater's own figure stands in.
    let water_c = read.temp_c.filter(|c| LIVED_IN_C.contains(c)).unwrap_or(tank.kept_at_c);
    let kept = Kept { water_temp_c: water_c, ph: read.ph.unwrap_or(PH_USUAL), protein: PROTEIN, fresh_mg_l: 0.0 };
    let raised = raise(model, &kept, share, weight_g, DAYS);
    let today_row = raised.days[((today.0 - since.0).max(0) as usize).min(DAYS as usize)];
    let reaches = |of: f64| {
        let day = raised.days.iter().find(|day| day.mean_weight_g * of >= READY_G);
        day.map(|day| since.plus(day.day as i32))
    };
    let has_any = share > 0.0;
    TankOutlook {
        tank: tank.clone(),
        share,
        today: today_row,
        read,
        water_c,
        ready: if has_any { (reaches(1.0), reaches(1.0 - nursery::RAISED_ERROR)) } else { (None, None) },
        too_little_from: raised.too_little_from.map(|day| since.plus(day as i32)),
        change_m3: exchange_m3_per_d(model, &kept, today_row.waste.nitrogen_kg),
        heat_kwh: heat_kwh_per_d(tank.bottom_m2, water_c, (nursery::AIR_USUAL_C, HUMIDITY), false),
        raised,
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use farm::facts::Happened;

    use super::*;

    fn entered(farm: &Farm, seq: i64, kind: &str, on: Day, typed: &[(&str, &str)]) -> Entered {
        let mut fact = Fact {
            id: format!("{seq:032x}"),
            farm: "hazel-bend".to_owned(),
            device: "phone".to_owned(),
            person: "ann".to_owned(),
            kind: kind.to_owned(),
            form: 1,
            happened: Happened { at: farm.place.zone.instant(on, 32_400), offset_s: -14_400 },
            typed_ms: 0,
            corrects: None,
            typed: typed.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect(),
            values: BTreeMap::new(),
        };
        fact.read();
        Entered { seq, received_ms: 0, clock_off_ms: 0, fact }
    }

    #[test]
    fn misread_figures_are_told_and_not_reckoned_with_and_the_dead_are_counted() {
        let farm = farm::read_farm(include_str!("../../../samples/hazel-bend/farm.toml")).expect("the sample reads");
        let on = |days: i32| Day::new(2011, 9, 1).expect("a day").plus(days);
        let facts = [
            entered(&farm, 1, "delivery", on(0), &[("claimed", "40,000")]),
            entered(&farm, 2, "delivery", on(2), &[("claimed", "50,000"), ("dead", "1000")]),
            entered(&farm, 3, "tank", on(3), &[("tank", "North"), ("temperature", "28 F"), ("deaths", "40")]),
            entered(&farm, 4, "tank", on(4), &[("tank", "North"), ("ammonia", "400"), ("deaths", "60")]),
        ];
        let told = nursery(&farm, &facts, on(5));
        assert_eq!(told.earlier.len(), 1);
        assert_eq!(told.tanks.iter().map(|tank| tank.share).sum::<f64>(), 49_000.0);
        let north = &told.tanks[0];
        assert_eq!((north.read.dead, north.read.unread), (100.0, Some(on(4))));
        assert_eq!(north.water_c, farm.tanks[0].kept_at_c, "nothing lives at 28 °F");
        assert_eq!(told.tanks[1].read, TankRead::default());
        assert!(nursery(&farm, &facts, on(200)).delivery.is_none(), "of another season");
    }
}
