use super::*;

/// The trial's tank: 1.9 m³ with 20.5 m² of netting (Coyle and others 2003); its bottom is taken as 1.9 m².
fn trial() -> Tank {
    Tank { water_m3: 1.9, bottom_m2: 1.9, substrate_m2: 20.5, filter_m2: 0.0, changed_m3_d: 0.0 }
}

fn warm() -> Kept {
    Kept { water_temp_c: 28.0, ph: 7.8, protein: 0.42, fresh_mg_l: 0.0 }
}

#[test]
fn shares_add_up_and_all_sit_equally_close() {
    let small = Tank { substrate_m2: 5.0, ..trial() };
    let tanks = [trial(), small, trial()];
    let given = shares(59_885.0, &tanks);
    assert_eq!(given.iter().sum::<f64>(), 59_885.0);
    let close = |at: usize| given[at] / tanks[at].seats_m2();
    assert!((close(0) / close(1) - 1.0).abs() < 1e-3 && given[1] < given[0]);
    assert_eq!(shares(10.0, &[]), Vec::<f64>::new());
}

#[test]
fn tempering_never_hurries_either_way() {
    for (bag, tank, ph) in [(22.0, 28.0, Some((7.0, 8.2))), (28.0, 22.0, None), (25.0, 25.1, Some((7.0, 7.0)))] {
        let steps = temper(bag, tank, ph);
        assert!(steps.last().expect("steps").at_min >= 20.0);
        for pair in steps.windows(2) {
            let minutes = pair[1].at_min - pair[0].at_min;
            assert!((pair[1].temp_c - pair[0].temp_c).abs() <= 0.1 * minutes + 1e-9);
            if let (Some(from), Some(to)) = (pair[0].ph, pair[1].ph) {
                assert!((to - from).abs() <= 0.5 / 15.0 * minutes + 1e-9);
            }
        }
        assert!((steps.last().expect("steps").temp_c - tank).abs() < 1e-9);
    }
}

#[test]
fn ammonia_settles_where_as_much_goes_as_comes() {
    for (filter_m2, changed_m3_d, feed_kg) in [(60.0, 0.5, 0.4), (0.0, 2.0, 0.4), (300.0, 0.01, 1.2), (10.0, 5.0, 1.0)]
    {
        let tank = Tank { filter_m2, changed_m3_d, ..trial() };
        let of = waste(&tank, &Kept { fresh_mg_l: 0.1, ..warm() }, feed_kg);
        let s = of.ammonia_mg_l;
        let gone = 0.6 * filter_m2 * s / (1.0 + s) + changed_m3_d * s;
        let come = 1000.0 * of.nitrogen_kg + changed_m3_d * 0.1;
        assert!((gone / come - 1.0).abs() < 1e-9, "{gone} {come}");
        assert!(of.free_mg_l < s);
    }
    let alone = Tank { filter_m2: 10.0, ..trial() };
    assert!(waste(&alone, &warm(), 1.0).ammonia_mg_l.is_infinite(), "a filter that is too small never catches up");
}

#[test]
fn changed_water_is_enough_and_not_more() {
    let tank = Tank { filter_m2: 40.0, ..trial() };
    let nitrogen_kg = waste(&tank, &warm(), 1.3).nitrogen_kg;
    let needed = exchange_m3_per_d(&tank, &warm(), nitrogen_kg).expect("clean water helps");
    let with = |m3: f64| waste(&Tank { changed_m3_d: m3, ..tank }, &warm(), 1.3);
    assert!(!with(needed * 1.001).is_too_much() && with(needed * 0.98).is_too_much());
    assert_eq!(exchange_m3_per_d(&tank, &Kept { fresh_mg_l: 1.5, ..warm() }, nitrogen_kg), None);
    assert_eq!(exchange_m3_per_d(&Tank { filter_m2: 4000.0, ..tank }, &warm(), nitrogen_kg), Some(0.0));
}

#[test]
fn a_tank_outgrows_its_filter_on_a_day_that_is_told() {
    let tank = Tank { filter_m2: 6.0, changed_m3_d: 0.2, ..trial() };
    let raised = raise(&tank, &warm(), 8_800.0, 0.01, 60);
    let day = raised.too_little_from.expect("it is outgrown");
    assert!(day > 5 && !raised.days[day as usize - 1].waste.is_too_much());
    assert!(
        raised
            .days
            .windows(2)
            .all(|pair| pair[1].count < pair[0].count && pair[1].mean_weight_g > pair[0].mean_weight_g)
    );
    let cold = raise(&tank, &Kept { water_temp_c: 22.0, ..warm() }, 8_800.0, 0.01, 60);
    assert!(cold.days[60].mean_weight_g < 0.7 * raised.days[60].mean_weight_g, "cold water holds them back");
}

#[test]
fn a_cover_and_a_warmer_room_save_heat() {
    let open = heat_kwh_per_d(10.0, 28.0, (20.0, 0.5), false);
    assert!(heat_kwh_per_d(10.0, 28.0, (20.0, 0.5), true) < 0.6 * open);
    assert!(heat_kwh_per_d(10.0, 28.0, (26.0, 0.5), false) < open);
    assert_eq!(make_up_kwh(MakeUp { water_m3: 1.0, temp_c: 30.0 }, 28.0), 0.0);
}

/// As common practice begins a filter: ammonia put in by the day, no animals.
fn begun(days: u32) -> Vec<NitrogenDay> {
    let tank = Tank { water_m3: 4.0, filter_m2: 46.0, ..trial() };
    nitrogen_course(&tank, &warm(), (2.5, 0.0), Ripeness::BEGUN, &|_| 8.0, days)
}

#[test]
fn nitrite_peaks_after_ammonia_in_a_filter_that_ripens() {
    let course = begun(60);
    let peak = |of: fn(&NitrogenDay) -> f64| course.iter().max_by(|a, b| of(a).total_cmp(&of(b))).expect("days").day;
    let (ammonia, nitrite) = (peak(|day| day.ammonia_mg_l), peak(|day| day.nitrite_mg_l));
    assert!((5..=16).contains(&ammonia) && (ammonia + 4..=32).contains(&nitrite), "{ammonia} {nitrite}");
    let clear = course.iter().find(|day| day.day > nitrite && day.is_clear()).expect("it ripens").day;
    assert!((26..=44).contains(&clear), "four to six weeks by common practice: day {clear}");
    assert!(course[clear as usize..].iter().all(NitrogenDay::is_clear), "and stays so");
}

#[test]
fn nitrogen_is_neither_made_nor_lost() {
    // Without exchange and second step all that was made is in the water.
    let tank = Tank { water_m3: 3.0, filter_m2: 30.0, ..trial() };
    let dead = Ripeness { ammonia: 0.5, nitrite: 0.0 };
    let after = nitrogen_course(&tank, &warm(), (1.0, 0.2), dead, &|_| 6.0, 1)[1];
    let held = tank.water_m3 * (after.ammonia_mg_l + after.nitrite_mg_l);
    let come = 3.0 * 1.2 + 6.0;
    assert!(held <= come + 1e-9 && held > 0.97 * come, "{held} {come}");
    let none = Tank { filter_m2: 0.0, changed_m3_d: 2.0, ..tank };
    let washed = nitrogen_course(&none, &warm(), (0.0, 0.0), Ripeness::RIPE, &|_| 6.0, 40)[40];
    assert!((washed.ammonia_mg_l - 3.0).abs() < 1e-6 && washed.nitrite_mg_l == 0.0, "{washed:?}");
}

#[test]
fn a_ripe_filter_settles_where_the_daily_reckoning_says() {
    let tank = Tank { filter_m2: 46.0, changed_m3_d: 0.5, water_m3: 4.0, ..trial() };
    let day = nitrogen_course(&tank, &warm(), (0.0, 0.0), Ripeness::RIPE, &|_| 8.0, 60)[60];
    let feed_kg = 8.0 / (1000.0 * 0.42 * 0.092);
    let settled = waste(&tank, &warm(), feed_kg).ammonia_mg_l;
    assert!((day.ammonia_mg_l / settled - 1.0).abs() < 0.05, "{day:?} {settled}");
    assert!(day.is_clear(), "{day:?}");
    let read = ripeness_read(&tank, 8.0, (day.ammonia_mg_l, day.nitrite_mg_l)).expect("fed");
    assert!(read.ammonia > 0.9 && read.nitrite > 0.9, "{read:?}");
}

#[test]
fn a_filter_that_dies_under_fed_animals_passes_the_limits_ammonia_first() {
    let tank = Tank { filter_m2: 46.0, water_m3: 4.0, ..trial() };
    let course = nitrogen_course(&tank, &warm(), (0.3, 0.1), Ripeness::BEGUN, &|_| 12.0, 40);
    let first = |of: &dyn Fn(&NitrogenDay) -> bool| course.iter().find(|day| of(day)).map(|day| day.day);
    let ammonia = first(&|day| day.ammonia_mg_l > AMMONIA_MOST_MG_L).expect("passed");
    let nitrite = first(&|day| day.nitrite_mg_l > NITRITE_MOST_MG_L).expect("passed");
    assert!(ammonia <= 1 && nitrite > ammonia, "{ammonia} {nitrite}");
    let colder =
        nitrogen_course(&tank, &Kept { water_temp_c: 22.0, ..warm() }, (0.3, 0.1), Ripeness::BEGUN, &|_| 12.0, 40);
    assert!(colder[14].ripeness.ammonia < course[14].ripeness.ammonia, "cold water ripens it later");
}
