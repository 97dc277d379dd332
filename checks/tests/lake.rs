//! A small humic lake held against its thermometers: the one observed water whose licence lets it stand here.
//!
//! Source: NIVA, by way of the repository aemon-j/LER_examples, commit 61eadc5 (MIT); see checks/observed/lake/LICENCE. Light (1.5
//! per m), ground and wind factor (1.4) come from the reference page on the physics; the bound of 0.75 K was set there before
//! this program was written.

use farm::basin::BasinFile;
use farm::observed::Place;
use season::water::{Dawn, From, Restart, WaterAnswer, WaterAsk, read_air, water};
use units::Watch;

fn text(name: &str) -> String {
    let path = format!("{}/observed/lake/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"))
}

fn basin() -> BasinFile {
    farm::basin::read(&text("BASIN.toml")).expect("the basin file is in order")
}

fn run(basin: &BasinFile, restart: Option<Restart>) -> WaterAnswer {
    let air = read_air(text("W.csv").as_bytes(), basin, None, None).expect("the weather is whole").value;
    let observed = farm::observed::read(&text("O.csv"), &basin.zone).expect("the readings are in order");
    let ask = WaterAsk {
        basin,
        air: &air,
        observed: Some(&observed),
        from: None,
        to: None,
        columns: 1,
        at: Vec::new(),
        restart,
        dawn: Dawn::Sun { longitude_deg: basin.longitude_deg },
    };
    water(&ask, &Watch::new()).expect("runs")
}

#[test]
fn the_lake_is_within_three_quarters_of_a_kelvin() {
    let basin = basin();
    let restart = Restart { every_days: 1, lead_days: vec![1, 5, 10], from: From::Readings };
    let found = run(&basin, Some(restart));
    let deep = &found.places[0];
    assert_eq!(deep.place, Place::Deep);
    let all = deep.all.expect("scored");
    // 184 whole days of 8 depths but for one blank and the last day, which the weather does not finish.
    assert!(all.n > 1450, "{all:?}");
    assert!(all.rmse_k <= 0.75, "{all:?}");
    assert!(found.heat_unaccounted < 1e-4, "{}", found.heat_unaccounted);
    for lead in &found.leads {
        let (ours, stays) = (lead.upper.expect("scored"), lead.upper_persistence.expect("scored"));
        assert!(ours.rmse_k < 0.5 * stays.rmse_k, "{lead:?}");
    }
}

#[test]
fn the_score_would_notice_another_lake() {
    let mut murky = basin();
    murky.light = Some(farm::basin::Light::AttenuationPerM(0.5));
    let all = run(&murky, None).places[0].all.expect("scored");
    assert!(all.rmse_k > 1.0, "{all:?}");
}
