use super::*;
use crate::{Conditions, Levee, Shape};

#[test]
fn readings_are_taken_where_they_are_asked() {
    let basin = Basin::new(Shape::from_levee(&Levee::paced(60.0, 30.0, 1.0, 2.0), 4).expect("a pond"), 35.0);
    let ground = basin.ground(15.0, 10.0);
    let stage = basin.stage(&Conditions {
        level_m: 2.0,
        attenuation_per_m: 2.0,
        plants: 0.0,
        ground_deep_c: ground.deep_c(200.0),
    });
    let profile = [(0.0, 26.0), (1.0, 24.0), (2.0, 20.0)];
    let water: Water<f64> = Water::start(&basin, &stage, &profile, &ground, 200.0);
    for (depth_m, temp_c) in [(0.3, 25.4), (0.75, 24.5), (1.5, 22.0)] {
        assert!((water.at_depth(&stage, 3, depth_m) - temp_c).abs() < 0.03, "{depth_m}");
    }
    assert_eq!(water.at_depth(&stage, 3, -1.0), water.temps[3 * water.stride()]);
    assert_eq!(water.at_depth(&stage, 0, 5.0), water.bottom(&stage, 0));
    assert!(water.bottom(&stage, 3) < water.bottom(&stage, 0));
    assert!(water.bottom_mean(&stage) > water.coldest_bottom(&stage));
    assert!(water.coldest_column(&stage) < water.mean(&stage));
    assert!((water.upper_metre(&stage, 3) - 25.0).abs() < 0.3, "{}", water.upper_metre(&stage, 3));
    assert!((water.column_mean(&stage, 3) - water.mean(&stage)).abs() < 1.0);
}

#[test]
fn a_member_goes_in_and_comes_out() {
    let basin = Basin::new(Shape::from_levee(&Levee::paced(60.0, 30.0, 1.0, 2.0), 2).expect("a pond"), 35.0);
    let ground = basin.ground(15.0, 10.0);
    let stage = basin.stage(&Conditions { level_m: 2.0, attenuation_per_m: 2.0, plants: 0.0, ground_deep_c: 15.0 });
    let mut row: Water<units::Lanes> = Water::start(&basin, &stage, &[(0.0, 20.0)], &ground, 250.0);
    let one: Water<f64> = Water::start(&basin, &stage, &[(0.0, 25.0)], &ground, 250.0).with_wind(0.75);
    row.set_member(5, &one);
    assert_eq!(row.member(5).temps, one.temps);
    assert_eq!(row.member(5).wind_factor, 0.75);
    assert!(row.member(4).temps.iter().all(|&t| t == 20.0));
}
