//! What a farm's weighed crops teach of the next: its own growth and survival, made anew from what was recorded.
//!
//! Model     a farm's mean of the logarithm of growth (and of death rate), about which seasons (and ponds) scatter; each weighed crop is a measure of
//!           it with an error of its own; the mean is drawn in as normal beliefs are
//! Units     logarithms of factors
//! Range     crops of which weight and mean weight were taken as they came out
//! Source    the whole spreads are those of `stock`; how they part between farms and seasons is our guess (`docs/model/stock-estimate.md`)
//! Left out  animals left in the mud, crops seined over weeks, ponds of a farm that differ for good

use ensemble::StockPriors;
use farm::{Farm, PastCrop};
use stock::{Crop, StockParams, Stocking};
use units::Day;
use weather::Climate;

use crate::answer::Band;
use crate::in_pond::{bands, believed, sights};
use crate::lived::live;
use crate::past::FarmPast;
use crate::ponds::pond_model;

/// Of growth: deviation between farms, and between seasons of one farm; together 0.20.
const GROWTH_FARM_SEASON: (f64, f64) = (0.16, 0.12);
/// Of the death rate: between farms, and between ponds and seasons of one farm; together 0.60.
const HAZARD_FARM_SEASON: (f64, f64) = (0.40, 0.447_213_595_499_957_94);
/// Standard error of a drained crop's mean weight, as a share of it. Our guess: a hundred and more are weighed, from many baskets.
const WEIGHT_ERROR: f64 = 0.05;
/// Standard error of what came out over what was stocked: the stocking count 10 %, the catch's count 6 %.
const ALIVE_ERROR: f64 = 0.117;
/// Crops looked back on, the latest ones.
const CROPS_MOST: usize = 12;

/// What came out of a pond beside what was expected.
#[derive(Debug, Clone, PartialEq)]
pub struct CropMet {
    /// The pond's short name.
    pub pond: String,
    /// Stocked.
    pub stocked: Day,
    /// Out.
    pub out: Day,
    /// How many were stocked.
    pub stocked_count: f64,
    /// Weighed as it came out, kg.
    pub came_kg: f64,
    /// Counted or reckoned from the mean weight of the catch.
    pub came_count: Option<f64>,
    /// Its mean weight, g.
    pub came_g: Option<f64>,
    /// Expected on the day it came out, from all that was recorded of it before: number, mean weight (g), mass (kg).
    pub expected: [Band; 3],
    /// Whether samples, dead or feed of these animals went into what was expected.
    pub is_seen: bool,
}

/// What the crops of a farm taught.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Taught {
    /// Beliefs for the next stocking.
    pub priors: StockPriors,
    /// Crops that taught growth and survival.
    pub crops: usize,
    /// Every weighed crop beside what was expected, the earliest first.
    pub met: Vec<CropMet>,
}

/// One crop as a measure of the farm.
struct Measure {
    stocked: Day,
    out: Day,
    /// Logarithm of the growth factor, and its error; `None` out of the model's reach.
    growth: Option<(f64, f64)>,
    hazard: Option<(f64, f64)>,
}

/// Learns from the crops that were out before a morning.
pub fn learn(farm: &Farm, past: &FarmPast, climate: &Climate, on: Day) -> Taught {
    let mut crops: Vec<&PastCrop> = farm.crops.iter().filter(|crop| crop.out <= on).collect();
    crops.sort_by_key(|crop| (crop.stocking.on, crop.out, crop.pond.clone()));
    crops.drain(..crops.len().saturating_sub(CROPS_MOST));
    let (mut measures, mut met) = (Vec::new(), Vec::new());
    for crop in crops {
        let before: Vec<&Measure> = measures.iter().filter(|one: &&Measure| one.out <= crop.stocking.on).collect();
        let (priors, _) = drawn_in(&before);
        if let Some((measure, one)) = looked_back(farm, past, climate, crop, &priors) {
            measures.push(measure);
            met.push(one);
        }
    }
    let (priors, crops) = drawn_in(&measures.iter().collect::<Vec<_>>());
    Taught { priors, crops, met }
}

/// The crop as a measure, and beside what was expected of it.
fn looked_back(
    farm: &Farm,
    past: &FarmPast,
    climate: &Climate,
    crop: &PastCrop,
    priors: &StockPriors,
) -> Option<(Measure, CropMet)> {
    let (index, now) = farm.ponds.iter().enumerate().find(|(_, card)| card.id == crop.pond)?;
    let mut card = now.clone();
    if card.stocking.on != crop.stocking.on {
        // What the pond's card tells of is another crop.
        (card.samples, card.dead, card.fed) = Default::default();
        card.stocking = crop.stocking.clone();
    }
    let model = pond_model(farm, &card).ok()?;
    let lived = live(past, climate, &card, &model, crop.out, None);
    let params = StockParams::default();
    let stocking = Stocking {
        count: crop.stocking.count,
        weight_g: crop.stocking.mean_weight_g,
        per_ha: crop.stocking.count / (card.shape.area_m2 / 10_000.0),
        substrate_fraction: card.substrate,
    };
    let grown = Crop::new(&stocking, &params);
    let sights = sights(&card, crop.out, &grown);
    let expected = bands(&believed(past.seed, index, &grown, priors, &lived.warm_days, &sights));
    let came_g = crop.caught_count.map(|count| crop.caught_kg * 1000.0 / count.max(1.0));
    let warm_days = lived.warm_days.last().copied().unwrap_or(0.0);
    let growth = came_g.and_then(|came_g| {
        let factor = grown.growth().warm_days_to(came_g, 1.0)? / warm_days.max(1.0);
        let weight = |factor: f64| units::ln(grown.growth().mean_weight_g(warm_days, factor));
        let slope = (weight(factor * 1.01) - weight(factor * 0.99)) / units::ln(1.01 / 0.99);
        (factor > 0.0).then(|| (units::ln(factor), WEIGHT_ERROR / slope.max(0.05)))
    });
    let days = f64::from(crop.out.0 - crop.stocking.on.0);
    let hazard = crop.caught_count.filter(|_| days > 20.0).map(|count| {
        let died = -units::ln((count / crop.stocking.count).clamp(0.01, 0.98));
        (units::ln(died / (grown.hazard_per_d() * days)), ALIVE_ERROR / died)
    });
    let met = CropMet {
        pond: crop.pond.clone(),
        stocked: crop.stocking.on,
        out: crop.out,
        stocked_count: crop.stocking.count,
        came_kg: crop.caught_kg,
        came_count: crop.caught_count,
        came_g,
        expected,
        is_seen: !sights.is_empty(),
    };
    Some((Measure { stocked: crop.stocking.on, out: crop.out, growth, hazard }, met))
}

/// Beliefs for the next stocking after some crops, and how many said anything.
fn drawn_in(measures: &[&Measure]) -> (StockPriors, usize) {
    let told = measures.iter().filter(|one| one.growth.is_some() || one.hazard.is_some()).count();
    // Ponds of one season share its luck in growth: their mean is one measure.
    let mut seasons: Vec<(Day, Vec<(f64, f64)>)> = Vec::new();
    for one in measures {
        let Some(growth) = one.growth else { continue };
        match seasons.last_mut().filter(|(out, _)| one.stocked < *out) {
            Some((out, all)) => {
                *out = (*out).max(one.out);
                all.push(growth);
            }
            None => seasons.push((one.out, vec![growth])),
        }
    }
    let growth = seasons.iter().map(|(_, all)| {
        let n = all.len() as f64;
        let error = all.iter().map(|(_, error)| error * error).sum::<f64>().sqrt() / n;
        (all.iter().map(|(ln, _)| ln).sum::<f64>() / n, error)
    });
    let hazard = measures.iter().filter_map(|one| one.hazard);
    let priors = StockPriors {
        growth_ln: next(GROWTH_FARM_SEASON, growth),
        hazard_ln: next(HAZARD_FARM_SEASON, hazard),
        ..StockPriors::default()
    };
    (priors, told)
}

/// Mean and deviation of the next season's value, from measures of earlier ones with their errors.
fn next((farm, season): (f64, f64), measures: impl Iterator<Item = (f64, f64)>) -> (f64, f64) {
    let (mut weight, mut sum) = (1.0 / (farm * farm), 0.0);
    for (value, error) in measures {
        let own = 1.0 / (season * season + error * error);
        weight += own;
        sum += own * value;
    }
    (sum / weight, (1.0 / weight + season * season).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measure(year: i32, growth: f64, hazard: f64) -> Measure {
        let stocked = Day(365 * year);
        Measure { stocked, out: stocked.plus(110), growth: Some((growth, 0.05)), hazard: Some((hazard, 0.4)) }
    }

    #[test]
    fn without_a_crop_the_beliefs_are_the_published_ones() {
        let (priors, crops) = drawn_in(&[]);
        let usual = StockPriors::default();
        assert_eq!(crops, 0);
        assert!((priors.growth_ln.1 - usual.growth_ln.1).abs() < 1e-12 && priors.growth_ln.0 == 0.0, "{priors:?}");
        assert!((priors.hazard_ln.1 - usual.hazard_ln.1).abs() < 1e-12 && priors.hazard_ln.0 == 0.0, "{priors:?}");
    }

    #[test]
    fn crops_draw_the_farm_in_but_never_beyond_what_seasons_scatter() {
        let crops: Vec<Measure> = (0..6).map(|year| measure(year, -0.3, 0.5)).collect();
        let mut before = StockPriors::default();
        for n in 1..=crops.len() {
            let (priors, told) = drawn_in(&crops[..n].iter().collect::<Vec<_>>());
            assert_eq!(told, n);
            assert!(priors.growth_ln.1 < before.growth_ln.1 && priors.hazard_ln.1 < before.hazard_ln.1);
            assert!(priors.growth_ln.0 < before.growth_ln.0 && priors.growth_ln.0 > -0.3);
            assert!(priors.hazard_ln.0 > before.hazard_ln.0 && priors.hazard_ln.0 < 0.5);
            assert!(priors.growth_ln.1 > 0.12 && priors.hazard_ln.1 > 0.447);
            before = priors;
        }
        // Against the sum by hand: one measure of -0.3 with error 0.05 about a farm's mean of deviation 0.16, seasons 0.12.
        let (one, _) = drawn_in(&[&crops[0]]);
        let gain = 0.0256 / (0.0256 + 0.0144 + 0.0025);
        assert!((one.growth_ln.0 + 0.3 * gain).abs() < 1e-12);
        assert!((one.growth_ln.1 * one.growth_ln.1 - (0.0256 * (1.0 - gain) + 0.0144)).abs() < 1e-12);
    }

    #[test]
    fn ponds_of_one_season_are_one_measure_of_growth() {
        let (one, four) = (measure(0, -0.3, 0.5), [0, 1, 2, 3].map(|_| measure(0, -0.3, 0.5)));
        let (alone, _) = drawn_in(&[&one]);
        let (together, _) = drawn_in(&four.iter().collect::<Vec<_>>());
        let (apart, _) =
            drawn_in(&(0..4).map(|year| measure(year, -0.3, 0.5)).collect::<Vec<_>>().iter().collect::<Vec<_>>());
        assert!(together.growth_ln.1 < alone.growth_ln.1 && apart.growth_ln.1 < together.growth_ln.1);
        assert_eq!(together.hazard_ln, apart.hazard_ln, "each pond dies by itself");
    }
}
