use super::*;
use crate::{Conditions, Levee, Shape};
use units::Lanes;

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

#[test]
fn water_cut_into_its_own_cells_again_is_itself() {
    let shape = |columns| Shape::from_levee(&Levee::paced(60.0, 30.0, 1.0, 2.0), columns).expect("a pond");
    let (basin, rough) = (Basin::new(shape(3), 35.0), Basin::new(shape(2), 35.0));
    let ground = basin.ground(15.0, 10.0);
    let conditions = Conditions { level_m: 2.0, attenuation_per_m: 2.0, plants: 0.0, ground_deep_c: 15.0 };
    let stage = basin.stage(&conditions);
    let mut water: Water<f64> =
        Water::start(&basin, &stage, &[(0.0, 26.0), (2.0, 20.0)], &ground, 200.0).with_wind(0.6);
    // Columns that differ, so that a column taken for another would show.
    for column in 0..3 {
        for j in 0..stage.cells(column) {
            let i = column * water.stride() + j;
            water.temps[i] += column as f64;
            water.bed[i * LAYERS] += 2.0 * column as f64;
        }
    }
    let again = water.recut(&stage, &basin, &stage);
    assert_eq!(again.wind_factor, 0.6);
    for column in 0..3 {
        for j in 0..stage.cells(column) {
            let i = column * water.stride() + j;
            assert!((again.temps[i] - water.temps[i]).abs() < 1e-12, "column {column}, cell {j}");
            assert_eq!(again.bed[i * LAYERS..(i + 1) * LAYERS], water.bed[i * LAYERS..(i + 1) * LAYERS]);
        }
    }
    // Two columns take the two ends.
    let into = rough.stage(&conditions);
    let two = water.recut(&stage, &rough, &into);
    for (new, old) in [(0, 0), (1, 2)] {
        let off_k = two.at_depth(&into, new, 0.6) - water.at_depth(&stage, old, 0.6);
        assert!(off_k.abs() < 0.05, "column {new}: {off_k}");
    }
}

#[test]
fn a_layered_column_is_mixed_to_its_first_colder_cell() {
    let basin = Basin::new(Shape::from_levee(&Levee::paced(60.0, 30.0, 1.0, 2.0), 4).expect("a pond"), 35.0);
    let ground = basin.ground(15.0, 10.0);
    let stage = basin.stage(&Conditions {
        level_m: 2.0,
        attenuation_per_m: 2.0,
        plants: 0.0,
        ground_deep_c: ground.deep_c(200.0),
    });
    let mixed =
        |profile: &[(f64, f64)]| Water::<f64>::start(&basin, &stage, profile, &ground, 200.0).mixed_m(&stage, 3);
    let whole_m = mixed(&[(0.0, 25.0)]);
    assert!((1.7..=2.0).contains(&whole_m), "{whole_m}");
    assert_eq!(mixed(&[(0.0, 25.0), (2.0, 24.9)]), whole_m, "a tenth is no layer");
    let upper_m = mixed(&[(0.0, 26.0), (0.8, 26.0), (0.9, 24.0), (2.0, 23.0)]);
    assert!((0.6..1.0).contains(&upper_m), "{upper_m}");
    // Sixteen side by side are each their own.
    let mut row: Water<Lanes> = Water::start(&basin, &stage, &[(0.0, 25.0)], &ground, 200.0);
    row.set_member(5, &Water::start(&basin, &stage, &[(0.0, 26.0), (0.8, 26.0), (0.9, 24.0)], &ground, 200.0));
    let lanes = row.mixed_m(&stage, 3);
    assert!((lanes.lane(5) - upper_m).abs() < 1e-5 && (lanes.lane(4) - whole_m).abs() < 1e-5);
}
