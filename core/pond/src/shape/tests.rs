use super::*;

fn standard(columns: usize) -> Shape {
    Shape::from_levee(&Levee::paced(100.0, 40.0, 1.0, 2.1), columns).expect("a pond")
}

/// `geometry_volume.csv`: levee pond 100 x 40 m, 3:1 long sides, 1.0 to 2.1 m; by numerical integral.
#[test]
fn levee_pond_has_its_volumes() {
    for columns in [1, 6] {
        let shape = standard(columns);
        for (drop_m, area_m2, volume_m3) in [
            (0.0, 4000.0, 5449.0),
            (0.25, 3850.0, 4467.75),
            (0.5, 3700.0, 3524.0),
            (1.0, 3400.0, 1749.0),
            (1.25, 2511.356, 1011.5),
            (1.5, 1690.91, 487.636),
            (1.75, 938.631, 160.364),
            (2.0, 254.548, 12.636),
        ] {
            let stage_m = shape.full_m() - drop_m;
            assert!((shape.area_m2(stage_m) / area_m2 - 1.0).abs() < 1e-3, "{drop_m}: {}", shape.area_m2(stage_m));
            assert!((shape.volume_m3(stage_m) - volume_m3).abs() < 0.5, "{drop_m}: {}", shape.volume_m3(stage_m));
            assert!((shape.stage_m(volume_m3) - stage_m).abs() < 1e-3);
        }
        // Physics.md: 30 % of the volume stands at 1.07 m, with 3,278 m2 and a mean depth of 0.50 m.
        let stage_m = shape.stage_m(0.3 * 5449.0);
        assert!((stage_m - 1.07).abs() < 0.01 && (shape.mean_depth_m(stage_m) - 0.5).abs() < 0.01, "{stage_m}");
    }
}

/// USDA-NRCS handbook 590 (memory, arithmetic computed): 12 ft deep, bottom 40 x 100 ft, 2:1 on three sides and 4:1 on the
/// ramp, 3,996 cubic yards by the prismoidal rule, which is exact for it. Ours has two end banks of one slope: 3:1 has the
/// same mean run and the same length at every depth.
#[test]
fn dug_pond_has_the_handbooks_volume() {
    let feet = 0.3048;
    let mut levee = Levee::paced((100.0 + 6.0 * 12.0) * feet, (40.0 + 4.0 * 12.0) * feet, 12.0 * feet, 12.0 * feet);
    levee.side_slope = 2.0;
    levee.end_slope = 3.0;
    let shape = Shape::from_levee(&levee, 3).expect("a pond");
    let yards = shape.volume_m3(shape.full_m()) / (27.0 * feet * feet * feet);
    assert!((yards / 3996.4 - 1.0).abs() < 2e-3, "{yards}");
}

#[test]
fn volume_is_the_integral_of_area() {
    let shape = standard(5);
    for k in 1..210 {
        let y = 0.01 * f64::from(k) + 0.003;
        let slope = (shape.volume_m3(y + 1e-5) - shape.volume_m3(y - 1e-5)) / 2e-5;
        assert!((slope - shape.area_m2(y)).abs() < 1e-3 * shape.area_m2(y) + 1e-3, "{y}");
    }
}

#[test]
fn columns_add_up_and_deepen() {
    let table = DepthArea {
        depth_area_m_m2: vec![(0.0, 400.0), (0.5, 304.0), (1.0, 210.0), (1.5, 100.0), (1.75, 10.0), (2.0, 0.0)],
        length_m: 20.0,
        depth_shallow_m: None,
    };
    let shape = Shape::from_table(&table, 5).expect("a pond");
    for (depth_m, area_m2) in &table.depth_area_m_m2 {
        assert!((shape.area_m2(2.0 - depth_m) - area_m2).abs() < 1e-6, "{depth_m}");
    }
    for c in 0..5 {
        assert!((shape.column_area_m2(c, 2.0) - 80.0).abs() < 1e-6, "equal parts of the full pond");
        for k in 1..200 {
            let y = 0.01 * f64::from(k);
            assert!(shape.column_area_m2(c, y) <= shape.column_area_m2(c, y + 0.01) + 1e-9, "column {c} at {y}");
        }
    }
    assert!(shape.columns().windows(2).all(|pair| pair[0].floor_m >= pair[1].floor_m));
}

#[test]
fn a_sill_cuts_a_pool_off() {
    let mut levee = Levee::paced(60.0, 30.0, 1.2, 1.6);
    // Silted before the drain: a pool in the middle, its sill at 0.5 m over the lowest point.
    levee.soundings_m = vec![(30.0, 2.0), (50.0, 1.5)];
    let shape = Shape::from_levee(&levee, 6).expect("a pond");
    let sills: Vec<f64> = shape.columns().iter().map(|column| column.sill_m).collect();
    assert!((sills[2] - 0.5).abs() < 1e-9 && (sills[3] - 0.5).abs() < 1e-9, "{sills:?}");
    assert!((sills[5] - 0.4).abs() < 0.11, "{sills:?}");
    // A straight floor drains from everywhere: each column is cut off when it runs dry.
    assert!(standard(6).columns().iter().all(|column| (column.sill_m - column.floor_m).abs() < 1e-9));
}

#[test]
fn figures_that_cannot_be_are_refused() {
    #[track_caller]
    fn check(levee: &Levee, columns: usize, error: &ShapeError) {
        assert_eq!(Shape::from_levee(levee, columns).as_ref(), Err(error));
    }
    let good = Levee::paced(100.0, 40.0, 1.0, 2.1);
    check(&Levee::paced(-1.0, 40.0, 1.0, 2.1), 5, &ShapeError::NotPositive { what: Figure::Length, value: -1.0 });
    check(&Levee::paced(100.0, 40.0, 2.1, 1.0), 5, &ShapeError::ShallowEndDeeper { shallow_m: 2.1, deep_m: 1.0 });
    check(
        &Levee::paced(100.0, 10.0, 1.0, 2.0),
        5,
        &ShapeError::BanksMeet { width_m: 10.0, slope: 3.0, depth_m: 10.0 / 6.0 },
    );
    check(&good, 0, &ShapeError::Columns { count: 0 });
    check(&good, 13, &ShapeError::Columns { count: 13 });
    let both = Levee { area_m2: Some(9000.0), ..good.clone() };
    check(&both, 5, &ShapeError::AreaIsNotLengthTimesWidth { area_m2: 9000.0, product_m2: 4000.0 });
    check(&Levee { length_m: None, width_m: None, ..good.clone() }, 5, &ShapeError::SidesMissing);
    let back = Levee { soundings_m: vec![(50.0, 1.5), (40.0, 1.6)], ..good };
    check(&back, 5, &ShapeError::NotIncreasing { row: 1, value: 40.0, before: 50.0 });
    assert!(
        Shape::from_levee(&Levee::of_area(4000.0, 1.0, 2.1), 5).is_ok_and(|s| (s.area_m2(2.1) - 4000.0).abs() < 1e-6)
    );
    assert!(matches!(
        Shape::from_levee(&Levee::paced(100.0, f64::NAN, 1.0, 2.0), 5),
        Err(ShapeError::NotPositive { what: Figure::Width, .. })
    ));
}

#[test]
fn tables_that_cannot_be_are_refused() {
    #[track_caller]
    fn check(rows: &[(f64, f64)], error: &ShapeError) {
        let table = DepthArea { depth_area_m_m2: rows.to_vec(), length_m: 20.0, depth_shallow_m: None };
        assert_eq!(Shape::from_table(&table, 4).as_ref(), Err(error));
    }
    check(&[(0.0, 400.0)], &ShapeError::TooFewDepths { count: 1 });
    check(&[(0.5, 400.0), (1.0, 100.0)], &ShapeError::NoSurfaceRow { depth_m: 0.5 });
    check(&[(0.0, 400.0), (1.0, 300.0), (1.0, 200.0)], &ShapeError::NotIncreasing { row: 2, value: 1.0, before: 1.0 });
    check(
        &[(0.0, 400.0), (1.0, 300.0), (1.5, 350.0)],
        &ShapeError::AreaIncreasesDownward { row: 2, area_m2: 350.0, above_m2: 300.0 },
    );
    check(&[(0.0, 400.0), (1.0, -3.0)], &ShapeError::NotPositive { what: Figure::Area, value: -3.0 });
    assert_eq!(
        check_volumes(&[(0.0, 0.0), (1.0, 100.0), (1.5, 90.0)]),
        Err(ShapeError::VolumeDecreases { row: 2, volume_m3: 90.0, before_m3: 100.0 })
    );
    assert_eq!(check_volumes(&[(0.0, 0.0), (1.0, 100.0)]), Ok(()));
}
