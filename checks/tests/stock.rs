//! The animals against published values and crops.

use checks::{Row, read};
use stock::cold::{ColdAlarm, alarm, alive_fraction, lt50_h};
use stock::sizes::{G_PER_LB, count_per_lb, tail_fraction, weight_from_width_g};
use stock::{ColdState, Form, Growth, GrowthParams, Mixture, SurvivalParams, crowding_per_ha, warmth};

const GROWTH: GrowthParams = GrowthParams::FITTED;
const LIVING: SurvivalParams = SurvivalParams::USUAL;

fn mean_weight_g(per_ha: f64, weight_g: f64, substrate_fraction: f64, days: f64, water_temp_c: f64) -> f64 {
    Growth::new(&GROWTH, per_ha, weight_g, substrate_fraction).mean_weight_g(days * warmth(water_temp_c), 1.0)
}

/// Yield in kg/ha of animals above a size.
fn yield_above(row: Row, per_ha: f64, substrate_fraction: f64, limit_g: f64) -> f64 {
    let (stocked_g, days) = (row.number("weight_g"), row.number("days"));
    let weight_g = mean_weight_g(per_ha, stocked_g, substrate_fraction, days, row.number("water_temp_c"));
    let mixture = Mixture::new(crowding_per_ha(&GROWTH, per_ha, substrate_fraction), 0.0);
    per_ha * LIVING.alive_fraction(stocked_g, days, 1.0) * weight_g / 1000.0 * mixture.weight_above(weight_g, limit_g)
}

/// Main effects of a trial of two densities (60,000 and 120,000 per hectare) by two substrates (none and 80 %).
fn density_effect(row: Row, limit_g: f64) -> f64 {
    let at = |per_ha| yield_above(row, per_ha, 0.0, limit_g) + yield_above(row, per_ha, 0.8, limit_g);
    at(120_000.0) / at(60_000.0)
}

fn substrate_effect(row: Row, limit_g: f64) -> f64 {
    let at =
        |substrate| yield_above(row, 60_000.0, substrate, limit_g) + yield_above(row, 120_000.0, substrate, limit_g);
    at(0.8) / at(0.0)
}

fn grown_g(row: Row, stocked_g: f64) -> f64 {
    let (per_ha, substrate) = (row.number("per_ha"), row.number("substrate_fraction"));
    mean_weight_g(per_ha, stocked_g, substrate, row.number("days"), row.number("water_temp_c"))
}

fn mixture_of(row: Row) -> Mixture {
    Mixture::new(row.number("per_ha"), 0.0)
}

fn sum_over_classes(row: Row, of: impl Fn(&stock::SizeClass) -> f64) -> f64 {
    mixture_of(row).classes().iter().map(of).sum()
}

fn ours(row: Row) -> f64 {
    let given = |column| row.number(column);
    match row.text("quantity") {
        "warmth" => warmth(given("water_temp_c")),
        "mean_weight_g" => grown_g(row, given("weight_g")),
        "alive_fraction" => LIVING.alive_fraction(given("weight_g"), given("days"), 1.0),
        "lt50_h" => lt50_h(given("water_temp_c"), given("acclimated_c")),
        "cold_alive_fraction" => {
            let mut animals = ColdState::used_to(given("acclimated_c"));
            for _ in 0..(24.0 * given("days")) as u32 {
                animals.hour(given("water_temp_c"));
            }
            alive_fraction(animals.dose_max)
        }
        "alarm_level" => match alarm(given("water_temp_c")) {
            ColdAlarm::None => 0.0,
            ColdAlarm::Watch => 1.0,
            ColdAlarm::HarvestNow => 2.0,
            ColdAlarm::Overdue => 3.0,
            ColdAlarm::LossExpected => 4.0,
        },
        "count_per_lb" => count_per_lb(given("weight_g")),
        "virgin_female_tail_g" => given("weight_g") * tail_fraction(Form::VirginFemale),
        "weight_from_width_30_mm_g" => weight_from_width_g(30.0),
        "number_shares_sum" => sum_over_classes(row, |class| class.number_fraction),
        "mass_shares_sum" => sum_over_classes(row, |class| class.number_fraction * class.weight_ratio),
        "mass_above_20_g" => mixture_of(row).weight_above(given("weight_g"), 20.0),
        "mass_above_30_g" => mixture_of(row).weight_above(given("weight_g"), 30.0),
        "mass_above_40_g" => mixture_of(row).weight_above(given("weight_g"), 40.0),
        "tail_fraction" => mixture_of(row).tail_fraction(),
        "virgin_female_at_33_g_mean_g" => 33.0 * mixture_of(row).classes()[0].weight_ratio,
        "twice_density_total" => density_effect(row, 0.0),
        "twice_density_mean_weight" => {
            let at = |per_ha| mean_weight_g(per_ha, given("weight_g"), 0.0, given("days"), given("water_temp_c"));
            at(120_000.0) / at(60_000.0)
        }
        "twice_density_over_20_g" => density_effect(row, 20.0),
        "twice_density_over_30_g" => density_effect(row, 30.0),
        "substrate_total" => substrate_effect(row, 0.0),
        "substrate_over_20_g" => substrate_effect(row, 20.0),
        "substrate_over_30_g" => substrate_effect(row, 30.0),
        "larger_stocking_gain" => grown_g(row, given("weight_g")) / grown_g(row, 0.3),
        other => panic!("no such quantity: {other}"),
    }
}

#[test]
fn published_values_are_met() {
    let table = read("biology.csv");
    let mut faults = Vec::new();
    let (mut outside, mut missed) = (0, 0);
    for row in table.rows() {
        let (ours, expected) = (ours(row), row.number("expected"));
        let met = match row.text("bound") {
            "above" => ours > expected,
            "below" => ours < expected,
            "near" => {
                let unit = if row.text("per") == "share" { expected.abs() } else { 1.0 };
                (ours - expected).abs() <= row.number("tolerance") * unit
            }
            other => panic!("no such bound: {other}"),
        };
        outside += usize::from(row.text("kind") == "outside");
        missed += usize::from(row.text("kind") == "missed");
        if !met {
            let quantity = row.text("quantity");
            faults.push(format!("{quantity}: {ours:.4} against {expected} ({})", row.text("source")));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(outside >= 16, "only {outside} rows from outside");
    assert!(missed <= 6, "known misses may only become fewer: {missed}");
}

/// Root mean square of observed less modelled, and how many rows.
fn rms(pairs: &[(String, f64, f64)]) -> f64 {
    (pairs.iter().map(|(_, seen, ours)| (seen - ours) * (seen - ours)).sum::<f64>() / pairs.len() as f64).sqrt()
}

fn show(what: &str, pairs: &[(String, f64, f64)]) {
    for (id, seen, ours) in pairs {
        println!("{what:9} {id:4} seen {seen:8.1}  model {ours:8.1}  {:+6.1}", ours - seen);
    }
    println!("{what:9} rms {:.1} over {} rows", rms(pairs), pairs.len());
}

/// The errors of weight, survival and yield over published crops, as docs/model states them.
#[test]
fn crops_are_missed_by_no_more_than_stated() {
    let (mut weights, mut alive, mut yields) = (Vec::new(), Vec::new(), Vec::new());
    let (trials, table) = (read("trials.csv"), read("trial_assumptions.csv"));
    for row in table.rows() {
        let (id, stocked_g, days) = (row.text("id").to_owned(), row.number("weight_g"), row.number("days"));
        let pond = row.text("tank") == "no";
        let trial = trials.find("id", &id);
        let survival = LIVING.alive_fraction(stocked_g, days, 1.0);
        let weight_g = grown_g(row, stocked_g);
        if let Some(seen) = row.maybe("weight_obs_g").filter(|_| pond) {
            weights.push((id.clone(), seen, weight_g));
        }
        if let Some(seen) = row.maybe("survival_obs_pct") {
            assert_eq!(Some(seen), trial.maybe("survival_pct"), "{id}");
            alive.push((id.clone(), seen, 100.0 * survival));
        }
        if let Some(seen) = row.maybe("yield_obs_kg_ha").filter(|_| pond) {
            yields.push((id, seen, row.number("per_ha") * survival * weight_g / 1000.0));
        }
    }
    show("weight", &weights);
    show("survival", &alive);
    show("yield", &yields);
    // Stated figures: 6.0 g over five crops, 11 points over ten, 494 kg/ha over four; held to their last digit.
    assert_eq!((weights.len(), alive.len(), yields.len()), (5, 10, 4));
    assert!(rms(&weights) < 6.05 && rms(&alive) < 11.5 && rms(&yields) < 494.5);
}

/// Common practice, no published source: whole prawns sell at $10 to 15 a pound and at $0.70 to 1.20 apiece, which agree
/// only where an animal weighs 0.07 to 0.08 lb. A usual crop must land there.
#[test]
fn a_usual_crop_sells_alike_by_the_pound_and_by_the_piece() {
    let (low_lb, high_lb) = (0.70 / 10.0, 1.20 / 15.0);
    assert!((low_lb - 0.07_f64).abs() < 1e-12 && (high_lb - 0.08_f64).abs() < 1e-12);
    let mixture = Mixture::new(crowding_per_ha(&GROWTH, 59_000.0, 0.5), 0.0);
    let mut inside = Vec::new();
    for stocked_g in [0.3, 0.4, 0.5] {
        for days in [100.0, 105.0, 110.0] {
            let weight_g = mean_weight_g(59_000.0, stocked_g, 0.5, days, 26.0);
            let weight_lb = weight_g / G_PER_LB;
            println!(
                "{stocked_g} g, {days} d: {weight_g:.1} g, {weight_lb:.4} lb, {:.1} per lb",
                count_per_lb(weight_g)
            );
            inside.push((0.07..0.08).contains(&weight_lb));
            // The far corner (0.5 g, 110 days) lies a twentieth beyond the band.
            assert!((0.07..0.085).contains(&weight_lb), "{stocked_g} g {days} d: {weight_lb}");
            let middling =
                mixture.number_above(weight_g, G_PER_LB / 20.0) - mixture.number_above(weight_g, G_PER_LB / 8.0);
            assert!(middling > 0.5, "most animals count 8 to 20 a pound: {middling}");
        }
    }
    let count = inside.iter().filter(|inside| **inside).count();
    assert!(inside[4], "the middle of the usual range lies within the band");
    assert!(count >= 5, "most usual crops lie within the band: {count} of 9");
}
