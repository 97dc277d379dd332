use super::*;

/// Mean and deviation of what members hold.
fn of(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    (mean, (values.iter().map(|value| (value - mean) * (value - mean)).sum::<f64>() / (n - 1.0)).sqrt())
}

fn draws(mean: f64, sd: f64, purpose: u32) -> Vec<f64> {
    (0..LEARNERS as u32).map(|member| mean + sd * Stream::new(5, member, Purpose(purpose)).normal()).collect()
}

#[test]
fn one_reading_gives_the_kalman_answer() {
    // The closed form for one normal quantity: gain = P / (P + R), mean + gain (y - mean), (1 - gain) P (Kalman 1960).
    for (mean, sd, read, reading_sd) in [(20.0, 0.5, 21.0, 0.4), (24.0, 2.0, 20.0, 0.1), (10.0, 0.1, 12.0, 1.0)] {
        let mut values = draws(mean, sd, 1);
        let (was, spread) = of(&values);
        let update = Update::of(&values.clone(), read, reading_sd);
        update.moved(&mut values, 1.0, update.off);
        let gain = spread * spread / (spread * spread + reading_sd * reading_sd);
        let (now, left) = of(&values);
        assert!((now - (was + gain * (read - was))).abs() < 1e-9, "{now}");
        assert!((left - (1.0 - gain).sqrt() * spread).abs() < 1e-9, "{left}");
    }
}

#[test]
fn readings_one_after_another_give_the_kalman_answer_of_all_at_once() {
    // Two quantities that hang together, each read once: the joint solution with a diagonal R, solved by hand for two readings.
    let met = |values: &[[f64; 2]], which: usize| values.iter().map(|pair| pair[which]).collect::<Vec<f64>>();
    let (a, b) = (draws(20.0, 0.8, 1), draws(0.0, 0.6, 2));
    let start: Vec<[f64; 2]> = a.iter().zip(&b).map(|(a, b)| [*a, 0.5 * a + b]).collect();
    let (reads, r) = ([20.9, 9.2], 0.3_f64.powi(2));
    let after = |order: [usize; 2]| {
        let mut values = start.clone();
        for which in order {
            let update = Update::of(&met(&values, which), reads[which], 0.3);
            for of in 0..2 {
                let mut column = met(&values, of);
                update.moved(&mut column, 1.0, update.off);
                values.iter_mut().zip(column).for_each(|(pair, value)| pair[of] = value);
            }
        }
        [of(&met(&values, 0)), of(&met(&values, 1))]
    };
    let (m0, m1) = (of(&met(&start, 0)).0, of(&met(&start, 1)).0);
    let n = start.len() as f64 - 1.0;
    let cov = |i: usize, j: usize| {
        let (mi, mj) = ([m0, m1][i], [m0, m1][j]);
        start.iter().map(|pair| (pair[i] - mi) * (pair[j] - mj)).sum::<f64>() / n
    };
    let (p00, p01, p11) = (cov(0, 0), cov(0, 1), cov(1, 1));
    let (s00, s11) = (p00 + r, p11 + r);
    let det = s00 * s11 - p01 * p01;
    let (y0, y1) = (reads[0] - m0, reads[1] - m1);
    let (u0, u1) = ((s11 * y0 - p01 * y1) / det, (s00 * y1 - p01 * y0) / det);
    let wanted = [m0 + p00 * u0 + p01 * u1, m1 + p01 * u0 + p11 * u1];
    for order in [[0, 1], [1, 0]] {
        let got = after(order);
        for (got, wanted) in got.iter().zip(wanted) {
            assert!((got.0 - wanted).abs() < 1e-9, "{order:?}: {got:?}, {wanted}");
        }
    }
}

#[test]
fn a_reading_says_less_of_the_far_end() {
    assert_eq!(taper(0.0), 1.0);
    assert!((taper(1.0 - 1e-9) - taper(1.0)).abs() < 1e-6 && (taper(1.0) - 5.0 / 24.0).abs() < 1e-12);
    assert_eq!(taper(2.0), 0.0);
    assert!((0..200).all(|i| taper(f64::from(i + 1) / 100.0) <= taper(f64::from(i) / 100.0)));
}
