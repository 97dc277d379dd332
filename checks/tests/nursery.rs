//! Tanks against published trials and worked examples.

use checks::{Row, read};
use farm::facts::counted;
use nursery::{
    Kept, MakeUp, NitrogenDay, Ripeness, Tank, exchange_m3_per_d, heat_kwh_per_d, make_up_kwh, nitrogen_course, raise,
    waste, weight_g,
};

const COUNTS: [f64; 5] = [412.0, 398.0, 431.0, 405.0, 419.0];

fn kept(protein: f64, ph: f64) -> Kept {
    Kept { water_temp_c: 28.0, ph, protein, fresh_mg_l: 0.0 }
}

/// A tank whose animals can sit on one square metre in all, but for walls and bottom that are next to nothing.
fn netting_alone(m2: f64) -> Tank {
    Tank { water_m3: 1e-9, bottom_m2: 1e-6, substrate_m2: m2, filter_m2: 0.0, changed_m3_d: 0.0 }
}

/// A filter begun with some seed, and so much ammonia put in by the day.
fn begun(water_m3: f64, filter_m2: f64, made_g: f64) -> Vec<NitrogenDay> {
    let tank = Tank { water_m3, bottom_m2: 4.6, substrate_m2: 0.0, filter_m2, changed_m3_d: 0.0 };
    nitrogen_course(&tank, &kept(0.42, 7.8), (2.5, 0.0), Ripeness::BEGUN, &|_| made_g, 70)
}

fn ours(row: Row) -> f64 {
    let [a, b, c, d] =
        ["a", "b", "c", "d"].map(|column| if row.text(column).is_empty() { 0.0 } else { row.number(column) });
    match row.text("quantity") {
        "weight_g" => weight_g(a, b, c, d),
        "survival" => {
            let days = raise(&netting_alone(1.0), &kept(0.42, 7.8), a, 0.01, b as u32).days;
            days[b as usize].count / a
        }
        "counted" => counted(&COUNTS, a / 1000.0, b / 1000.0).expect("samples").number,
        "counted_either_way" => counted(&COUNTS, a / 1000.0, b / 1000.0).expect("samples").either_way,
        "nitrogen_g" => 1000.0 * waste(&netting_alone(1.0), &kept(b, 7.8), a).nitrogen_kg,
        "alkalinity_g" => 1000.0 * waste(&netting_alone(1.0), &kept(b, 7.8), a).alkalinity_kg,
        "exchange_m3" => exchange_m3_per_d(&netting_alone(1.0), &kept(0.42, 7.0), a / 1000.0).expect("clean water"),
        "make_up_kwh" => make_up_kwh(MakeUp { water_m3: a, temp_c: b }, c),
        "heat_kwh" => heat_kwh_per_d(a, b, (c, d), false),
        "ripe_day" => {
            let course = begun(a, b, c);
            let unclear = course.iter().rposition(|day| !day.is_clear()).expect("ammonia was put in");
            (unclear + 1) as f64
        }
        "nitrite_after_ammonia_d" => {
            let course = begun(a, b, c);
            let peak =
                |of: fn(&NitrogenDay) -> f64| course.iter().max_by(|x, y| of(x).total_cmp(&of(y))).expect("days").day;
            f64::from(peak(|day| day.nitrite_mg_l)) - f64::from(peak(|day| day.ammonia_mg_l))
        }
        "count_by_volume" => counted(&[40.0, 44.0], a, b).expect("samples").number,
        other => panic!("{other} is not known here"),
    }
}

#[test]
fn tanks_meet_what_was_published() {
    for row in read("nursery.csv").rows() {
        let (found, expected, tolerance) = (ours(row), row.number("expected"), row.number("tolerance"));
        let off = match row.text("per") {
            "share" => (found / expected - 1.0).abs(),
            _ => (found - expected).abs(),
        };
        assert!(off <= tolerance, "{} ({}): {found} for {expected}", row.text("quantity"), row.text("source"));
    }
}
