use ensemble::MemberDay;
use farm::{Ceiling, Price, read_farm};
use stock::{StockParams, Stocking};

use super::*;

const FARM: &str = include_str!("../../../../samples/hazel-bend/farm.toml");

/// Money in round figures: whole prawns of any size at 10.00 a kilogram and nothing else sold.
fn farm() -> Farm {
    let mut farm = read_farm(FARM).expect("the sample reads");
    farm.prices.rows = vec![row(Form::Whole, 0.0, f64::INFINITY, Pays::PerKg(1000.0))];
    farm.orders.ceilings.clear();
    let costs = &mut farm.costs;
    (costs.feed_kg, costs.power_kwh, costs.hand_h) = (100.0, 15.0, 1500.0);
    (costs.fuel_l, costs.ice_kg, costs.packing_kg) = (100.0, 20.0, 30.0);
    (farm.crew.kg_per_hand_h, farm.cold.ice_per_kg) = (20.0, 1.0);
    (farm.ponds[0].aeration.power_kw, farm.ponds[0].aeration.hours_per_day) = (0.75, 10.0);
    farm
}

fn row(form: Form, from_g: f64, to_g: f64, pays: Pays) -> Price {
    Price { form, from_g, to_g, pays, class: String::new() }
}

/// The first pond alone, as when it is the last in the water.
fn last_pond_left(farm: &mut Farm) {
    farm.ponds.iter_mut().skip(1).for_each(|card| card.harvested = Some(card.stocking.on.plus(120)));
}

fn ceiling(form: Form, kg_total: f64, sold_kg: f64) -> Ceiling {
    Ceiling { form, kg_day: None, kg_total: Some(kg_total), notice_h: 0.0, sold_kg }
}

/// Ten thousand animals of 35 g: 350 kg. The water does not thin unless a test says so, and six hours bring it down.
fn today(lead_h: f64) -> PondToday {
    let stocking = Stocking { count: 11_000.0, weight_g: 0.4, per_ha: 60_000.0, substrate_fraction: 0.0 };
    PondToday {
        crop: Crop::new(&stocking, &StockParams::default()).from_sample(35.0, 10_000.0),
        warm_days: 0.0,
        days: 0.0,
        depths: Depths { full_m: 1.2, catch_m: 1.2 },
        lead_h,
        lead_fuel_l: 40.0,
    }
}

/// Nobody dies by himself, so that numbers stay as counted.
const NOBODY_DIES: Hidden = Hidden { hazard_factor: 0.0, ..Hidden::MIDDLE };
const WARM: MemberDay = MemberDay {
    warm_days: 0.0,
    dose_max: 0.0,
    coldest_dose_max: 0.0,
    dawn_c: 30.0,
    dawn_coldest_c: 30.0,
    mean_c: 30.5,
};

fn water(days: &[MemberDay]) -> DayTable {
    let mut table = DayTable::empty(days.len(), 1);
    days.iter().enumerate().for_each(|(day, row)| table.set(day, 0, row));
    table
}

fn valued(farm: &Farm, today: &PondToday, days: &[MemberDay], hidden: &Hidden) -> Vec<Cell> {
    let streams = Streams::of(farm, 350.0);
    let mut out = vec![Cell::default(); days.len()];
    Valuer::new(farm, &farm.ponds[0], today, &streams).member(&water(days), 0, hidden, &mut out);
    out
}

/// To the smallest coin.
fn coins(got: f64, expected: f64) {
    assert!((got - expected).abs() < 0.5, "{got}, by hand {expected}");
}

#[test]
fn a_warm_catch_to_the_cent() {
    let cell = valued(&farm(), &today(6.0), &[WARM; 2], &NOBODY_DIES)[0];
    assert!((cell.caught_kg - 350.0).abs() < 1e-3 && cell.count == 10_000.0 && cell.mean_weight_g == 35.0);
    // 350,000 for the prawns; hands 350/20 h at 15.00, ice 350 kg at 0.20, packing at 0.30, 40 l of fuel at 1.00.
    coins(cell.worth, 350_000.0 - 26_250.0 - 7_000.0 - 10_500.0 - 4_000.0);
    coins(cell.cold_loss, 0.0);
    assert!(cell.loss_fraction < 1e-6 && cell.extra_hand_h < 1e-3 && cell.lively > 0.999_999);
}

#[test]
fn waiting_costs_feed_and_air_until_the_water_starts_down() {
    // A day's ration is 3 % of 350 kg in water above 26 °C: 10.5 kg at 1.00. Air: 0.75 kW for 10 h at 0.15. A catch begins at 6 h.
    let (ready, a_day) = (302_250.0, 1050.0 + 112.5);
    for (lead_h, day, days_fed) in
        [(6.0, 0, 0.0), (6.0, 2, 2.0), (30.0, 2, 1.0), (18.0, 2, 1.5), (54.0, 2, 0.0), (96.0, 2, 0.0)]
    {
        let cells = valued(&farm(), &today(lead_h), &[WARM; 4], &NOBODY_DIES);
        coins(cells[day].worth, ready - days_fed * a_day);
    }
    // Animals grow until the water starts down and not after; they die until the catch.
    let growing = [MemberDay { warm_days: 0.9, ..WARM }; 4];
    let today = today(18.0);
    let cell = valued(&farm(), &today, &growing, &Hidden::MIDDLE)[2];
    let weight_g = today.crop.growth().mean_weight_g(0.9 * 1.5, 1.0);
    let hazard_per_d = StockParams::default().survival.hazard_per_d(0.4);
    assert!((cell.mean_weight_g - weight_g).abs() < 1e-4 && weight_g > 35.2, "{cell:?}");
    assert!((cell.count - 10_000.0 * units::exp(-2.0 * hazard_per_d)).abs() < 1e-3, "{cell:?}");
}

#[test]
fn a_cold_catch_loses_animals_and_costs_hands() {
    // At 18.2 °C half follow (docs/model/cold.md): 0.18 of the rest is lost, gathering takes twice as long.
    let cold = MemberDay { dawn_c: 18.2, mean_c: 18.4, ..WARM };
    let cell = valued(&farm(), &today(6.0), &[cold; 2], &NOBODY_DIES)[0];
    let caught_kg = 350.0 * 0.91;
    assert!((cell.caught_kg - caught_kg).abs() < 1e-2 && (cell.loss_fraction - 0.09).abs() < 1e-4, "{cell:?}");
    // Hands 318.5/20 h twice over, ice, packing, fuel.
    let by_hand = 318_500.0 - 47_775.0 - 6_370.0 - 9_555.0 - 4_000.0;
    assert!((cell.worth - by_hand).abs() < 5.0, "{} by hand {by_hand}", cell.worth);
    assert!((cell.cold_loss - (302_250.0 - by_hand)).abs() < 5.0, "{cell:?}");
    assert!((cell.extra_hand_h - caught_kg / 20.0).abs() < 1e-2 && (cell.catch_dawn_c - 18.2).abs() < 1e-4);
    assert!((cell.lively - (1.0 - 0.5 * 0.82 * 0.3 / 0.91)).abs() < 1e-4, "{cell:?}");
}

#[test]
fn the_dead_are_those_of_the_dose_up_to_the_start() {
    // A unit dose of 1 by the end of day 1 kills half; it rises evenly within the day.
    let mut days = [WARM; 5];
    days[1..].iter_mut().for_each(|day| day.dose_max = 1.0);
    for (lead_h, day, dose) in [(6.0, 0, 0.0), (6.0, 1, 0.0), (18.0, 2, 0.5), (30.0, 3, 1.0), (6.0, 4, 1.0)] {
        let cell = valued(&farm(), &today(lead_h), &days, &NOBODY_DIES)[day];
        let alive = 1.0 / (1.0 + dose * dose * dose);
        assert!((cell.count - 10_000.0 * alive).abs() < 0.01, "{lead_h} h, day {day}: {cell:?}");
        assert!((cell.loss_fraction - (1.0 - alive)).abs() < 1e-6);
    }
    let half = valued(&farm(), &today(30.0), &days, &NOBODY_DIES)[3];
    // 175 kg: hands 8.75 h, ice, packing, fuel, and two days of feed and air. Without the cold it would be the whole crop.
    let (kept, whole) = (175_000.0 - 13_125.0 - 3_500.0 - 5_250.0 - 4_000.0, 302_250.0);
    coins(half.cold_loss, whole - kept);
    let tender = Hidden { cold_shift_k: 1.5, ..NOBODY_DIES };
    let cell = valued(&farm(), &today(30.0), &days, &tender)[3];
    assert!((cell.count - 10_000.0 / 1001.0).abs() < 0.01, "a shift of 1.5 K is ten times the dose: {cell:?}");
}

#[test]
fn thin_water_is_what_the_catch_meets() {
    let cooling: Vec<MemberDay> =
        (0..6).map(|day| MemberDay { dawn_c: 22.0 - f64::from(day), mean_c: 22.6 - f64::from(day), ..WARM }).collect();
    let thin = PondToday { depths: Depths { full_m: 1.2, catch_m: 0.2 }, ..today(54.0) };
    let (full, thin) =
        (valued(&farm(), &today(54.0), &cooling, &NOBODY_DIES)[4], valued(&farm(), &thin, &cooling, &NOBODY_DIES)[4]);
    assert!((full.catch_dawn_c - 18.0).abs() < 1e-4 && thin.catch_dawn_c < 16.5, "{full:?} {thin:?}");
    assert!(thin.worth < full.worth - 10_000.0 && thin.cold_loss > full.cold_loss + 10_000.0);
    assert!(thin.count < 10_000.0, "the dose gathered on the way counts too");
}

#[test]
fn streams_fill_the_dearest_first() {
    let mut farm = farm();
    farm.cold.live_tanks = 100;
    let check = |farm: &Farm, crop_kg: f64, expected: [f64; 4]| {
        let got = Streams::of(farm, crop_kg);
        let got = [got.live, got.whole, got.piece, got.tails];
        assert!(got.iter().zip(expected).all(|(a, b)| (a - b).abs() < 1e-12), "{got:?}, by hand {expected:?}");
    };
    check(&farm, 400.0, [0.0, 1.0, 0.0, 0.0]);
    // Live buyers take 100 kg, of which 20 are sold; nobody buys live while no price stands for it.
    farm.orders.ceilings = vec![ceiling(Form::Live, 100.0, 20.0)];
    check(&farm, 400.0, [0.0, 1.0, 0.0, 0.0]);
    farm.prices.rows.push(row(Form::Live, 0.0, f64::INFINITY, Pays::PerKg(2000.0)));
    check(&farm, 400.0, [0.2, 0.8, 0.0, 0.0]);
    check(&farm, 40.0, [1.0, 0.0, 0.0, 0.0]);
    farm.orders.ceilings.push(ceiling(Form::Whole, 200.0, 0.0));
    check(&farm, 400.0, [0.2, 0.5, 0.0, 0.0]);
    farm.prices.rows.push(row(Form::Tails, 0.0, f64::INFINITY, Pays::PerKg(2500.0)));
    check(&farm, 400.0, [0.2, 0.5, 0.0, 0.3]);
    // By the piece up to 40 kg; without a ceiling it is the bank's own sale and goes with the rest by weight.
    farm.prices.rows.push(row(Form::Piece, 0.0, f64::INFINITY, Pays::Each(50.0)));
    check(&farm, 400.0, [0.2, 0.5, 0.0, 0.3]);
    farm.orders.ceilings.push(ceiling(Form::Piece, 40.0, 0.0));
    check(&farm, 400.0, [0.2, 0.5, 0.1, 0.2]);
    farm.orders.ceilings[0].sold_kg = 130.0;
    check(&farm, 400.0, [0.0, 0.5, 0.1, 0.4]);
}

/// Coins for a kilogram of a crop of mean weight 35 g.
fn per_kg(farm: &Farm, streams: &Streams, lively: f64) -> f64 {
    PriceBySize::new(farm, streams).coins_per_kg(&today(6.0).crop, 35.0, lively, &Hidden::MIDDLE)
}

const ALL_WHOLE: Streams = Streams { live: 0.0, whole: 1.0, piece: 0.0, tails: 0.0 };

#[test]
fn each_size_brings_its_own_price() {
    let mut farm = farm();
    farm.prices.rows = vec![
        row(Form::Whole, 20.0, 30.0, Pays::PerKg(600.0)),
        row(Form::Whole, 30.0, f64::INFINITY, Pays::PerKg(1200.0)),
    ];
    let mut shares = [0.0; 3];
    today(6.0).crop.mass_shares(35.0, &[20.0, 30.0], &Hidden::MIDDLE, &mut shares);
    assert!(shares.iter().all(|share| *share > 0.01), "{shares:?}");
    // What no row names brings nothing.
    let by_hand = shares[1] * 600.0 + shares[2] * 1200.0;
    assert!((per_kg(&farm, &ALL_WHOLE, 1.0) - by_hand).abs() < 1e-6);
    // Tails: 0.42 of the weight; a class of tails from 12.6 g on is one of whole animals from 30 g on.
    farm.prices.tail_yield = Some(0.42);
    farm.prices.rows = vec![row(Form::Tails, 12.6, f64::INFINITY, Pays::PerKg(2500.0))];
    let heavy: f64 = {
        let mut shares = [0.0; 2];
        today(6.0).crop.mass_shares(35.0, &[30.0], &Hidden::MIDDLE, &mut shares);
        shares[1]
    };
    let tails = Streams { whole: 0.0, tails: 1.0, ..ALL_WHOLE };
    assert!((per_kg(&farm, &tails, 1.0) - heavy * 0.42 * 2500.0).abs() < 1e-3);
}

#[test]
fn limp_animals_are_chilled_and_never_sold_alive() {
    let mut farm = farm();
    farm.prices.rows.push(row(Form::Live, 0.0, f64::INFINITY, Pays::PerKg(2000.0)));
    let streams = Streams { live: 0.2, whole: 0.8, ..ALL_WHOLE };
    coins(per_kg(&farm, &streams, 1.0), 0.2 * 2000.0 + 0.8 * 1000.0);
    // A quarter limp: that quarter of the live share goes at the whole price.
    coins(per_kg(&farm, &streams, 0.75), 0.75 * 1200.0 + 0.25 * 1000.0);
    // Where nothing is sold whole it is headed.
    farm.prices.tail_yield = Some(0.4);
    farm.prices.rows[0] = row(Form::Tails, 0.0, f64::INFINITY, Pays::PerKg(2000.0));
    let streams = Streams { live: 0.2, whole: 0.0, piece: 0.0, tails: 0.8 };
    coins(per_kg(&farm, &streams, 0.0), 800.0);
}

#[test]
fn a_price_by_the_piece_pays_for_the_animals_there_are() {
    // One price for any size: a kilogram holds some thirty animals of 35 g, and no class without a limit may stand for a lighter one.
    let mut farm = farm();
    farm.prices.rows = vec![row(Form::Piece, 0.0, f64::INFINITY, Pays::Each(90.0))];
    let piece = Streams { whole: 0.0, piece: 1.0, ..ALL_WHOLE };
    let evenly = 90.0 / 0.035;
    let got = per_kg(&farm, &piece, 1.0);
    assert!((got / evenly - 1.0).abs() < 0.05, "{got}, {evenly} by number over mass");
    // Small and large at their own prices stay between them.
    farm.prices.rows =
        vec![row(Form::Piece, 0.0, 30.0, Pays::Each(60.0)), row(Form::Piece, 30.0, f64::INFINITY, Pays::Each(90.0))];
    let both = per_kg(&farm, &piece, 1.0);
    assert!(both < got && both > 60.0 / 0.035 * 0.95, "{both}");
}

/// A last pond whose live share passed the tanks was told that it could not come out.
#[test]
fn no_more_is_sold_alive_than_the_tanks_hold() {
    let mut farm = farm();
    farm.prices.rows.push(row(Form::Live, 0.0, f64::INFINITY, Pays::PerKg(2000.0)));
    (farm.cold.live_tanks, farm.cold.live_tank_m3, farm.cold.live_kg_m3) = (2, 1.0, 50.0);
    last_pond_left(&mut farm);
    // 100 kg of tanks for a pond of 400 kg; for four ponds the largest counts.
    assert!((Streams::of(&farm, 400.0).live - 0.25).abs() < 1e-12);
    farm.ponds.iter_mut().for_each(|card| (card.harvested, card.stocking.count) = (None, 1000.0));
    farm.ponds[0].stocking.count = 2000.0;
    // Two fifths of 1,000 kg are in the first pond: 400 kg again.
    assert!((Streams::of(&farm, 1000.0).live - 0.25).abs() < 1e-12);
    farm.cold.live_tanks = 0;
    assert_eq!(Streams::of(&farm, 1000.0).live, 0.0);
}
