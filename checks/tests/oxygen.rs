//! Oxygen through a night against printed transfer tables and closed forms.

use checks::read;
use pond::chemistry::oxygen_saturation_mg_l;
use pond::oxygen::{Law, part_of_rating, renewed_m_h, used_by_animals_mg_l_h};

const STILL: Law = Law { use_mg_l_h: 0.0, exchange_per_h: 0.0, aerator_per_h: 0.0, saturation_mg_l: 8.0 };

#[test]
fn nights_and_aerators_come_out_as_printed() {
    let table = read("oxygen_nights.csv");
    let mut missed = Vec::new();
    for row in table.rows() {
        let (temp, oxygen) =
            (row.maybe("water_temp_c").unwrap_or(f64::NAN), row.maybe("oxygen_mg_l").unwrap_or(f64::NAN));
        let (a, b, c) = (row.number("a"), row.maybe("b").unwrap_or(f64::NAN), row.maybe("c").unwrap_or(f64::NAN));
        let ours = match row.text("quantity") {
            "part_of_rating" => part_of_rating(temp, oxygen_saturation_mg_l(temp, 1013.25), oxygen, a),
            "aerator_kg_h" => a * part_of_rating(temp, c, oxygen, b),
            // 1 mg/L in a cubic metre is a gram.
            "pond_use_kg_h" => -(Law { use_mg_l_h: a, ..STILL }.after(8.0, 1.0).end_mg_l - 8.0) * b / 1000.0,
            "renewed_m_d" => 24.0 * renewed_m_h(a, temp),
            // A gram of animals in a litre uses mg/L as it uses mg; fed animals use half as much again.
            "animals_mg_g_h" => used_by_animals_mg_l_h(1.0, a, temp, 1.0) / 1.5,
            "hours_to" => Law { use_mg_l_h: a, ..STILL }.hours_to(oxygen, b).expect("it comes to it"),
            "straight_dawn" => Law { use_mg_l_h: a, ..STILL }.after(oxygen, b).end_mg_l,
            "saturating" => Law { exchange_per_h: a, saturation_mg_l: c, ..STILL }.after(oxygen, b).end_mg_l,
            other => panic!("{other} is not computed"),
        };
        let expected = row.number("expected");
        let allowed = match row.text("per") {
            "share" => row.number("tolerance") * expected.abs(),
            _ => row.number("tolerance"),
        };
        if (ours - expected).abs() > allowed {
            missed.push(format!(
                "{}: {ours}, not {expected} within {allowed} ({})",
                row.text("quantity"),
                row.text("source")
            ));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}
