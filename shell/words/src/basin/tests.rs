use super::*;

/// What a person is told about the first fault of a file.
#[track_caller]
fn check(text: &str, wanted: &str) {
    let faults = farm::basin::read(text).expect_err("refused");
    let said: Vec<String> = faults.iter().map(|found| fault("pond.toml", found)).collect();
    assert!(said.iter().any(|line| line == wanted), "{said:#?}");
}

#[test]
fn a_grower_is_told_where_what_and_what_to_do() {
    check("wind_facter = 1", "pond.toml, line 1, wind_facter: there is no such key. Did you mean wind_factor?");
    check(
        "name = 'A'\nlatitude_deg = 341",
        "pond.toml, line 2, latitude_deg: 341 deg cannot be: from -90 to 90 is taken. Check the unit and the decimal point",
    );
    check(
        "deep_depth_m = '6 lb'",
        "pond.toml, line 1, deep_depth_m: \"6 lb\" is not a quantity for this key; \"lb\" measures something else. \
         A bare number is taken in m",
    );
    check(
        "elevation_m = 3",
        "pond.toml, line 1, hour_label: not given. It is needed: \"start\" or \"end\": which end of its hour a weather line names",
    );
    check("", "pond.toml, line 1: none of secchi_m or light_attenuation_per_m is given. Give one");
}
