//! Each pond this morning: its season so far, drawn to its readings and samples.

use ensemble::{AirSource, StockEstimate};
use farm::{Farm, PondCard};
use rayon::prelude::*;
use stock::{Crop, StockParams, Stocking};
use units::Day;
use weather::Climate;

use crate::crops::{self, CropMet};
use crate::hidden::Known;
use crate::in_pond::{believed, sights, with_told};
use crate::lived::{Lived, ground, live, reading_off, schedule};
use crate::outlook::{MorningAsk, OutlookError};
use crate::ponds::{PondModel, pond_model};
use crate::taken::Caught;
use crate::taught::{Taught, begins, teach};
use crate::worth::PondToday;

/// A pond this morning, with all that was needed to say so.
#[derive(Debug, Clone)]
pub struct Standing {
    /// Its place among the farm's ponds.
    pub index: usize,
    /// As its grower knows it.
    pub card: PondCard,
    /// Ready to run.
    pub model: PondModel,
    /// Its season so far. The water is the mean of what was taught, where readings taught anything.
    pub lived: Lived,
    /// What its readings taught; `None` when there were none.
    pub taught: Option<Taught>,
    /// How far the latest reading lay from the model, K, when there was one.
    pub reading_off_c: Option<f64>,
    /// Its animals.
    pub crop: Crop,
    /// Rate of death of the usual animal, per day.
    pub hazard_per_d: f64,
    /// Told figures.
    pub known: Known,
    /// What is in it, from all that was recorded of its animals.
    pub estimate: StockEstimate,
    /// What was caught of them so far.
    pub caught: Caught,
    /// Share of the animals of each state of the estimate that this left.
    pub left: Vec<f64>,
    /// Something was seen of its animals, or the farm has weighed crops: members take the estimate in place of the priors.
    pub is_seen: bool,
    /// Weighed crops of the farm that taught growth and survival.
    pub crops_taught: usize,
    /// The farm's weighed crops beside what was expected of them.
    pub crops: Vec<CropMet>,
}

impl Standing {
    /// As the valuer needs it.
    pub fn today(&self, on: Day) -> PondToday {
        PondToday {
            crop: self.crop.clone(),
            warm_days: self.lived.warm_days.last().copied().unwrap_or(0.0),
            days: f64::from(on.0 - self.card.stocking.on.0),
            depths: self.model.depths,
            lead_h: f64::from(self.model.ways[0].lead_hours),
            lead_fuel_l: self.model.lead_fuel_l,
        }
    }
}

/// Ponds still in the water, as places among the farm's ponds.
pub fn ponds_in_water(farm: &Farm, on: Day) -> Result<Vec<usize>, OutlookError> {
    let in_water: Vec<usize> =
        (0..farm.ponds.len()).filter(|&pond| farm.ponds[pond].harvested.is_none_or(|day| day > on)).collect();
    if in_water.is_empty() {
        return Err(OutlookError::NothingLeft);
    }
    match in_water.iter().map(|&pond| &farm.ponds[pond]).find(|card| card.stocking.on > on) {
        Some(card) => Err(OutlookError::BeforeStocking { pond: card.name.clone(), on: card.stocking.on }),
        None => Ok(in_water),
    }
}

/// Each pond's season so far, drawn to its readings and samples.
pub fn stand(
    ask: &MorningAsk,
    climate: &Climate,
    in_water: &[usize],
    coming: &dyn AirSource,
) -> Result<Vec<Standing>, OutlookError> {
    let taught_by_crops = crops::learn(ask.farm, ask.past, climate, ask.on);
    // Side by side, and the answers in the ponds' order: of several that cannot be run the first is told.
    let each: Vec<Result<Standing, OutlookError>> = in_water
        .par_iter()
        .map(|&index| {
            let card = &ask.farm.ponds[index];
            let model = pond_model(ask.farm, card).map_err(OutlookError::Pond)?;
            let from = begins(card, ask);
            let mut lived = live(ask.past, climate, card, &model, ask.on, from);
            let reading_off_c = off(&lived, card, &model, ask, climate);
            let taught_water = from
                .zip(lived.kept.take())
                .map(|(from, kept)| teach(ask, climate, (index, card, &model), (from, &kept), coming));
            if let Some(taught) = &taught_water {
                lived.water = taught.mean.clone();
            }
            let params = StockParams::default();
            let stocking = Stocking {
                count: card.stocking.count,
                weight_g: card.stocking.mean_weight_g,
                per_ha: card.stocking.count / (card.shape.area_m2 / 10_000.0),
                substrate_fraction: card.substrate,
            };
            let season_days = f64::from(ask.farm.season.last_catch.0 - card.stocking.on.0).max(1.0);
            let survival_told = ask.farm.season.survival_told.map(|alive| (alive, season_days.min(110.0)));
            let crop = Crop::new(&stocking, &params);
            let (taught, sights) = (&taught_by_crops, sights(card, ask.on, &crop));
            let priors = with_told(&taught.priors, ask.farm, card, crop.hazard_per_d(), taught.crops);
            let caught = Caught::of(card, ask.on, &lived.warm_days);
            let mut estimate = believed(ask.past.seed, index, &crop, &priors, &lived.warm_days, &sights);
            let left = caught.off_all(&crop, &mut estimate);
            Ok(Standing {
                index,
                card: card.clone(),
                hazard_per_d: params.survival.hazard_per_d(card.stocking.mean_weight_g),
                known: Known { survival_told },
                estimate,
                caught,
                left,
                is_seen: !sights.is_empty() || taught.crops > 0,
                crops_taught: taught.crops,
                crops: taught.met.clone(),
                crop,
                model,
                lived,
                taught: taught_water,
                reading_off_c,
            })
        })
        .collect();
    each.into_iter().collect()
}

fn off(lived: &Lived, card: &PondCard, model: &PondModel, ask: &MorningAsk, climate: &Climate) -> Option<f64> {
    let ground = ground(climate, model);
    let schedule = schedule(card, model, &ground, ask.on, 1);
    reading_off(lived, card, ask.past, ask.on, lived.water.bottom_mean(schedule.stage(0)))
}
