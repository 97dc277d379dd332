//! What becomes of the season when an order comes late, short, or not at all; and until when a second one is worth it.
//!
//! Model     each pond's winter plan ([`crate::winter`]) for the shifted day or the smaller number, the animals spread over the farm's
//!           ponds by their area; the same past years and draws for every turn, so that only the turn differs
//! Units     animals, d, kg, coins; shares 0 to 1
//! Range     as the winter plan
//! Source    docs/model/orders.md
//! Left out  fewer animals in fewer ponds instead of thinner in all; a nursery that is cut short; what the hatchery pays back

use farm::Farm;
use units::{Day, Watch};

use super::juveniles;
use crate::outlook::OutlookError;
use crate::winter::{GROWN_D, Nursing, Variant, WinterAsk, live};

/// What happened to the order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TurnKind {
    /// It comes as agreed.
    AsOrdered,
    /// It comes so many days late, d.
    Late(i32),
    /// This share of it is missing.
    Short(f64),
    /// It does not come.
    Lost,
}

/// The turns that are told, besides a lost one.
pub const TURNS: [TurnKind; 7] = [
    TurnKind::AsOrdered,
    TurnKind::Late(7),
    TurnKind::Late(14),
    TurnKind::Late(28),
    TurnKind::Short(0.1),
    TurnKind::Short(0.25),
    TurnKind::Short(0.5),
];

/// What is asked.
#[derive(Debug, Clone)]
pub struct TurnsAsk<'a> {
    /// As for the winter plan: limits, prices, costs. Its pond, dates, densities and netting are not used: each pond has its own.
    pub winter: WinterAsk<'a>,
    /// How the animals are raised.
    pub nursing: Nursing,
    /// Postlarvae ordered.
    pub count: f64,
    /// The day they come.
    pub comes: Day,
}

/// One turn, the whole farm.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// What happened.
    pub kind: TurnKind,
    /// The day of stocking; `None` when nothing is stocked.
    pub on: Option<Day>,
    /// Animals per hectare.
    pub per_ha: f64,
    /// Live weight caught, the sum of the ponds' middles, kg.
    pub caught_kg: f64,
    /// Mean weight of one, over the ponds, g.
    pub mean_weight_g: f64,
    /// Share of futures in which the whole farm ends below what was laid out.
    pub loss_chance: f64,
    /// Mean of what is left, coins.
    pub net_coins: f64,
}

/// Until when a second order is worth it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Second {
    /// The last day of stocking, of those looked at, on which more comes in than that order lays out, in the mean; `None`: on none.
    pub worth_until: Option<Day>,
    /// The last one that also keeps to the chance of loss that was given.
    pub within_until: Option<Day>,
    /// The last day that was looked at.
    pub looked_until: Day,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Turns {
    /// Each of [`TURNS`] that can be, and a lost order last.
    pub turns: Vec<Turn>,
    /// A second order instead of the first.
    pub second: Second,
    /// Past years lived through: how many, the first and the last.
    pub years: (usize, i16, i16),
}

/// Days between the stocking days that a second order is looked at for, d.
const STEP_D: i32 = 7;

/// Answers [`TurnsAsk`].
///
/// # Errors
/// When a pond cannot be run, the past is too short, the order comes too late to grow anything, or somebody asked to stop.
pub fn turns(ask: &TurnsAsk, watch: &Watch) -> Result<Turns, OutlookError> {
    let farm = ask.winter.farm;
    let first = ask.comes.plus(ask.nursing.days);
    let last_catch = ask.winter.last_catch;
    let latest = last_catch.plus(-(GROWN_D as i32));
    if first > latest {
        return Err(OutlookError::SeasonOver { last_catch });
    }
    let dates: Vec<Day> = (0..).map(|week| first.plus(STEP_D * week)).take_while(|day| *day <= latest).collect();
    let per_ha = per_ha(farm, ask.count, &ask.nursing);
    let asked = pairs(&dates, first, per_ha);
    let mut sums: Vec<Sum> = vec![Sum::default(); asked.len()];
    let mut years = (0, 0, 0);
    for pond in 0..farm.ponds.len() {
        let substrate = farm.ponds[pond].substrate;
        let one = WinterAsk { pond, dates: dates.clone(), per_ha: vec![per_ha], substrate, ..ask.winter.clone() };
        let lived = live(&one, &asked, watch)?;
        years = lived.years;
        let lived = lived.variants.iter().zip(&lived.nets);
        sums.iter_mut().zip(lived).for_each(|(sum, (variant, nets))| sum.add(variant, nets));
    }
    let other = ask.winter.other_coins * farm.ponds.len() as f64;
    let of = |kind: TurnKind| {
        let wanted = (date_of(kind, &dates, first)?, per_ha * left(kind));
        let at = asked.iter().position(|pair| *pair == wanted)?;
        Some(sums[at].turn(kind, dates[wanted.0], wanted.1))
    };
    let mut told: Vec<Turn> = TURNS.into_iter().filter_map(of).collect();
    told.push(Turn {
        kind: TurnKind::Lost,
        on: None,
        per_ha: 0.0,
        caught_kg: 0.0,
        mean_weight_g: 0.0,
        loss_chance: 0.0,
        net_coins: -other,
    });
    // What an empty pond costs is spent either way: a second order need only bring more than it lays out itself.
    let whole = |at: &usize| asked[*at].1 == per_ha;
    let last = |good: &dyn Fn(&Sum) -> bool| {
        (0..asked.len()).filter(whole).filter(|&at| good(&sums[at])).map(|at| dates[asked[at].0]).max()
    };
    let second = Second {
        worth_until: last(&|sum| sum.net() + other > 0.0),
        within_until: last(&|sum| sum.net() + other > 0.0 && sum.loss_chance() <= ask.winter.loss_chance_most),
        looked_until: *dates.last().expect("the first day is among them"),
    };
    Ok(Turns { turns: told, second, years })
}

/// Animals per hectare when an order is spread over all ponds by area.
fn per_ha(farm: &Farm, postlarvae: f64, nursing: &Nursing) -> f64 {
    let room_ha = farm.ponds.iter().map(|card| card.shape.area_m2).sum::<f64>() / 10_000.0;
    juveniles(postlarvae, nursing) / room_ha
}

/// Share of the order that comes.
fn left(kind: TurnKind) -> f64 {
    match kind {
        TurnKind::Short(missing) => 1.0 - missing,
        _ => 1.0,
    }
}

fn date_of(kind: TurnKind, dates: &[Day], first: Day) -> Option<usize> {
    let late = if let TurnKind::Late(days) = kind { days } else { 0 };
    dates.iter().position(|day| *day == first.plus(late))
}

/// Every week at the whole number, and the smaller numbers on the first day.
fn pairs(dates: &[Day], first: Day, per_ha: f64) -> Vec<(usize, f64)> {
    let mut pairs: Vec<(usize, f64)> = (0..dates.len()).map(|at| (at, per_ha)).collect();
    for kind in TURNS {
        if let (TurnKind::Short(_), Some(at)) = (kind, date_of(kind, dates, first)) {
            pairs.push((at, per_ha * left(kind)));
        }
    }
    pairs
}

/// The ponds of one date and number, summed.
#[derive(Debug, Clone, Default)]
struct Sum {
    caught_kg: f64,
    caught_count: f64,
    /// What is left, life by life.
    nets: Vec<f64>,
}

impl Sum {
    fn add(&mut self, one: &Variant, nets: &[f64]) {
        self.caught_kg += one.caught_kg.middle;
        self.caught_count += one.caught_kg.middle * 1000.0 / one.mean_weight_g.middle.max(1e-6);
        self.nets.resize(nets.len(), 0.0);
        self.nets.iter_mut().zip(nets).for_each(|(sum, net)| *sum += net);
    }
    fn net(&self) -> f64 {
        self.nets.iter().sum::<f64>() / self.nets.len().max(1) as f64
    }
    fn loss_chance(&self) -> f64 {
        self.nets.iter().filter(|net| **net < 0.0).count() as f64 / self.nets.len().max(1) as f64
    }
    fn turn(&self, kind: TurnKind, on: Day, per_ha: f64) -> Turn {
        Turn {
            kind,
            on: Some(on),
            per_ha,
            caught_kg: self.caught_kg,
            mean_weight_g: 1000.0 * self.caught_kg / self.caught_count.max(1e-6),
            loss_chance: self.loss_chance(),
            net_coins: self.net(),
        }
    }
}
