//! Another question of the same morning, answered from what was drawn for the first.

use farm::{Days, Farm, Pays};
use season::answer::{Task, TaskKind};
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

/// Lower was let go last night and read lower; Heron since this morning.
fn water_let_go(farm: &mut Farm) {
    let today = farm.morning.as_ref().expect("a sample carries its morning").on;
    let (last_night, dawn) = (farm.place.zone.instant(today, -7200), farm.place.zone.instant(today, 6 * 3600));
    farm.ponds[2].draining_since = Some(last_night);
    farm.ponds[2].draining_read = Some((dawn, 0.1));
    farm.ponds[3].draining_since = Some(dawn);
}

/// Accepted yesterday for the day after tomorrow: its ice was to be ordered by an hour that is past.
fn accepted_yesterday(farm: &mut Farm) {
    let today = farm.morning.as_ref().expect("a sample carries its morning").on;
    farm.cold.ice_notice_h = 60.0;
    farm.ponds[0].announced = vec![today.plus(2)];
    farm.ponds[0].announced_on = Some(today.plus(-1));
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
fn ice_of_a_plan_accepted_before_today_is_not_ordered_again() {
    let sample = hazel_bend();
    let past = FarmPast::new(&sample.farm, &sample.history, &sample.donors, 1).expect("a past");
    let asks_ice = |accepted_days_ago: i32| {
        let mut farm = sample.farm.clone();
        accepted_yesterday(&mut farm);
        farm.ponds[0].announced_on = Some(sample.own_morning().plus(-accepted_days_ago));
        let answer = outlook(&ask(&sample, &past, &farm), &Watch::new()).expect("answered");
        let friday = sample.own_morning().plus(2);
        assert!(
            answer.ponds[0].planned.is_some_and(|planned| planned.catch_day == friday),
            "Willow is caught on Friday"
        );
        let is_it = |task: &Task| matches!(task.what, TaskKind::OrderIce { for_day, .. } if for_day == friday);
        answer.tasks.iter().any(is_it)
    };
    // On the day of the acceptance nobody has ordered yet.
    assert!(asks_ice(0) && !asks_ice(1));
}

#[test]
fn what_does_not_touch_the_water_is_answered_as_if_all_were_drawn_anew() {
    let sample = hazel_bend();
    let past = FarmPast::new(&sample.farm, &sample.history, &sample.donors, 1).expect("a past");
    let watch = Watch::new();
    let drawn = draw(&ask(&sample, &past, &sample.farm), &watch).expect("drawn");
    let plain = answer_from(&ask(&sample, &past, &sample.farm), &drawn, &watch).expect("answered");
    let changes: [(Change, bool); 9] = [
        (fewer_hands, true),
        (better_price, true),
        (little_ice, true),
        (more_careful, true),
        (days_named, true),
        (water_let_go, true),
        (accepted_yesterday, true),
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
        assert!(answered != plain || row == 8, "row {row}");
    }
}
