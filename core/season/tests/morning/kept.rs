//! Another question of the same morning, answered from what was drawn for the first.

use farm::{Days, Farm, Pays};
use season::{FarmPast, MorningAsk, answer_from, draw, outlook};
use units::Watch;

use crate::sample::{MEMBERS, Sample, hazel_bend};

fn fewer_hands(farm: &mut Farm) {
    farm.crew.helpers.iter_mut().for_each(|helpers| *helpers = helpers.saturating_sub(2));
}

fn better_price(farm: &mut Farm) {
    for row in &mut farm.prices.rows {
        match &mut row.pays {
            Pays::PerKg(coins) | Pays::Each(coins) => *coins *= 1.2,
        }
    }
}

fn little_ice(farm: &mut Farm) {
    farm.cold.ice_daily_kg *= 0.25;
}

fn more_careful(farm: &mut Farm) {
    farm.choices.risk_weight = 4.0;
}

fn days_named(farm: &mut Farm) {
    let today = farm.morning.as_ref().expect("a sample carries its morning").on;
    farm.ponds[0].locked = Some(today.plus(5));
    farm.ponds[1].forbidden.push(Days { from: today, to: today.plus(4) });
}

fn windier(farm: &mut Farm) {
    farm.ponds[2].wind_factor.median *= 1.5;
}

fn one_more_pump(farm: &mut Farm) {
    farm.gear.pumps.push(farm.gear.pumps[0].clone());
}

fn ask<'a>(sample: &'a Sample, past: &'a FarmPast, farm: &'a Farm) -> MorningAsk<'a> {
    let forecast = Some(&sample.forecast);
    MorningAsk {
        farm,
        past,
        on: sample.own_morning(),
        now_hour: 7,
        forecast,
        members: MEMBERS,
        yesterday: None,
        until_proved: false,
    }
}

/// A change to the farm.
type Change = fn(&mut Farm);

#[test]
fn what_does_not_touch_the_water_is_answered_as_if_all_were_drawn_anew() {
    let sample = hazel_bend();
    let past = FarmPast::new(&sample.farm, &sample.history, &sample.donors, 1).expect("a past");
    let watch = Watch::new();
    let drawn = draw(&ask(&sample, &past, &sample.farm), &watch).expect("drawn");
    let plain = answer_from(&ask(&sample, &past, &sample.farm), &drawn, &watch).expect("answered");
    let changes: [(Change, bool); 7] = [
        (fewer_hands, true),
        (better_price, true),
        (little_ice, true),
        (more_careful, true),
        (days_named, true),
        (windier, false),
        (one_more_pump, false),
    ];
    for (row, (change, fits)) in changes.into_iter().enumerate() {
        let mut farm = sample.farm.clone();
        change(&mut farm);
        assert_eq!(drawn.fits(&ask(&sample, &past, &farm)), fits, "row {row}");
        let answered = answer_from(&ask(&sample, &past, &farm), &drawn, &watch).expect("answered");
        assert_eq!(answered, outlook(&ask(&sample, &past, &farm), &watch).expect("answered"), "row {row}");
        // A change that changes nothing would prove nothing.
        assert!(answered != plain || row == 6, "row {row}");
    }
}
