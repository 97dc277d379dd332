use super::*;
use crate::{Levee, Shape};

fn basin(columns: usize) -> Basin {
    Basin::new(Shape::from_levee(&Levee::paced(100.0, 40.0, 1.0, 2.1), columns).expect("a pond"), 35.0)
}

fn at(basin: &Basin, level_m: f64) -> Stage {
    basin.stage(&Conditions { level_m, attenuation_per_m: 1.7, plants: 0.3, ground_deep_c: 15.0 })
}

#[test]
fn cells_hold_all_the_water_and_floor() {
    let basin = basin(6);
    for level_m in [2.4, 2.1, 1.83, 1.07, 0.5, 0.2] {
        let stage = at(&basin, level_m);
        for c in 0..6 {
            if stage.cells(c) == 0 {
                assert!(level_m - basin.shape().columns()[c].floor_m < DRY_M);
                continue;
            }
            let volume_m3: f64 = (0..stage.cells(c)).map(|j| stage.volume_m3(c, j)).sum();
            assert!((volume_m3 / basin.shape().column_volume_m3(c, level_m) - 1.0).abs() < 1e-9);
            let base = c * stage.stride();
            let floor_m2: f64 = stage.ring_m2[base..base + stage.cells(c)].iter().sum();
            assert!((floor_m2 / stage.surface_m2(c) - 1.0).abs() < 1e-9, "the floor lies under the whole surface");
            // All of the sun that enters is somewhere: in the water or in the floor.
            let step = basin.settings().step_s / HEAT_CAPACITY_J_M3_K;
            assert!((stage.column_sun[c] / (step * stage.surface_m2(c)) - 1.0).abs() < 1e-9, "{level_m} {c}");
        }
    }
}

#[test]
fn columns_fall_dry_and_apart() {
    let basin = basin(6);
    let full = at(&basin, 2.1);
    assert!((0..6).all(|c| full.connected(c)));
    // At 0.5 m the floor of the three shallow columns is bare: their lowest floors stand at 0.92, 0.73 and 0.55 m.
    let low = at(&basin, 0.5);
    assert_eq!((0..6).map(|c| low.cells(c) > 0).collect::<Vec<_>>(), [false, false, false, true, true, true]);
    assert!(!low.connected(0) && low.connected(4));
    assert_eq!(at(&basin, 0.0).cell_count(), 0);
}

#[test]
fn a_stage_serves_while_little_changes() {
    let basin = basin(4);
    let stage = at(&basin, 2.0);
    let own = *stage.conditions();
    assert!(stage.serves(&Conditions { level_m: 1.9985, ..own }));
    assert!(!stage.serves(&Conditions { level_m: 1.99, ..own }));
    assert!(!stage.serves(&Conditions { attenuation_per_m: 2.0, ..own }));
    assert!(!stage.serves(&Conditions { plants: 0.4, ..own }));
    assert!(!stage.serves(&Conditions { ground_deep_c: 15.3, ..own }));
}
