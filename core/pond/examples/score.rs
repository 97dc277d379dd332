//! Scores the kernel on the observed cases: `cargo run --release -p pond --example score -- CASES_DIR [key=value ...]`.
#![allow(missing_docs, clippy::disallowed_methods)]

use pond::*;
use std::collections::BTreeMap;

fn rows(path: &str) -> (Vec<String>, Vec<Vec<String>>) {
    let text = std::fs::read_to_string(path).expect(path);
    let mut lines = text.lines().filter(|l| !l.starts_with('#') && !l.is_empty());
    let head = lines.next().unwrap().split(',').map(str::to_string).collect();
    (head, lines.map(|l| l.split(',').map(str::to_string).collect()).collect())
}
fn num(s: &str) -> Option<f64> {
    s.parse().ok()
}
/// hours since 1 Jan (leap = 2020)
fn hours(stamp: &str, year: i32) -> i64 {
    let leap = year % 4 == 0;
    let m: usize = stamp[5..7].parse().unwrap();
    let d: i64 = stamp[8..10].parse().unwrap();
    let h: i64 = if stamp.len() > 11 { stamp[11..13].parse().unwrap() } else { 0 };
    let before = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334][m - 1] + i64::from(leap && m > 2);
    (before + d - 1) * 24 + h
}
fn cos_zenith(lat: f64, lon: f64, utc_h: f64) -> f64 {
    let doy = (utc_h / 24.0).floor() + 1.0;
    let g = std::f64::consts::TAU * (doy - 1.0 + ((utc_h % 24.0) - 12.0) / 24.0) / 365.25;
    let eot = 229.18
        * (0.000075 + 0.001868 * g.cos()
            - 0.032077 * g.sin()
            - 0.014615 * (2.0 * g).cos()
            - 0.040849 * (2.0 * g).sin());
    let dec = 0.006918 - 0.399912 * g.cos() + 0.070257 * g.sin() - 0.006758 * (2.0 * g).cos()
        + 0.000907 * (2.0 * g).sin()
        - 0.002697 * (3.0 * g).cos()
        + 0.00148 * (3.0 * g).sin();
    let solar = (utc_h % 24.0) * 60.0 + eot + 4.0 * lon;
    let ha = (solar / 4.0 - 180.0).to_radians();
    let l = lat.to_radians();
    l.sin() * dec.sin() + l.cos() * dec.cos() * ha.cos()
}
fn es(t: f64) -> f64 {
    6.112 * (17.67 * t / (t + 243.5)).exp()
}
fn longwave(ta: f64, ea: f64, c: f64) -> f64 {
    let tk = ta + 273.15;
    let w = 46.5 * ea / tk;
    let e0 = 1.0 - (1.0 + w) * (-(1.2 + 3.0 * w).sqrt()).exp();
    ((1.0 - 0.84 * c) * e0 + 0.84 * c) * 5.670374e-8 * tk.powi(4)
}
fn clouds(s: &[f64], s0: &[f64]) -> Vec<f64> {
    let n = s.len();
    let mean3 = |v: &[f64], i: usize| v[i.saturating_sub(1)..(i + 2).min(n)].iter().sum::<f64>();
    let raw: Vec<Option<f64>> =
        (0..n).map(|i| (s0[i] > 150.0).then(|| (1.0 - mean3(s, i) / mean3(s0, i)).clamp(0.0, 1.0))).collect();
    let mut out = vec![0.5; n];
    for i in 0..n {
        if let Some(c) = raw[i] {
            out[i] = c;
            continue;
        }
        let b = (0..i).rev().find(|&k| raw[k].is_some());
        let f = (i + 1..n).find(|&k| raw[k].is_some());
        out[i] = match (b, f) {
            (Some(b), Some(f)) => {
                let p = (i - b) as f64 / (f - b) as f64;
                raw[b].unwrap() * (1.0 - p) + raw[f].unwrap() * p
            }
            (Some(k), None) | (None, Some(k)) => raw[k].unwrap(),
            _ => 0.5,
        };
    }
    out
}
fn interp(pts: &[(f64, f64)], x: f64) -> f64 {
    let k = pts.partition_point(|p| p.0 <= x);
    if k == 0 {
        return pts[0].1;
    }
    if k == pts.len() {
        return pts[k - 1].1;
    }
    let (a, b) = (pts[k - 1], pts[k]);
    a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0)
}

struct Case {
    name: &'static str,
    start: i64,
    airs: Vec<Air<f64>>,
    conds: Vec<Conditions>,
    ground: Ground,
    basin: Basin,
    wind: f64,
    /// place, depth, values by hour index (value at end of hour i is index i+1)
    obs: Vec<(String, f64, Vec<Option<f64>>)>,
    daily: bool,
}

struct Opt(BTreeMap<String, String>);
impl Opt {
    fn f(&self, k: &str, d: f64) -> f64 {
        self.0.get(k).map_or(d, |v| v.parse().unwrap())
    }
}

fn settings(o: &Opt) -> Settings {
    let d = Settings::default();
    Settings {
        albedo: o.f("albedo", d.albedo),
        plant_shade: o.f("cv", d.plant_shade),
        wind_transfer: o.f("ce", d.wind_transfer),
        free_transfer: o.f("cf", d.free_transfer),
        skin: o.f("skin", 1.0) > 0.0,
        skin_floor_w_m2_k: o.f("skinfloor", d.skin_floor_w_m2_k),
        background_m2_s: o.f("kb", d.background_m2_s),
        overturn_m2_s: o.f("kover", d.overturn_m2_s),
        current_length_m: o.f("ell", d.current_length_m),
        wind_stirring: o.f("cw", d.wind_stirring),
        current_drag: o.f("cd", d.current_drag),
        ground_conductivity_w_m_k: o.f("k", 1.0),
        floor_contact_w_m2_k: o.f("contact", 50.0),
        entrainment: o.f("entrain", d.entrainment),
        step_s: o.f("dt", d.step_s),
    }
}
fn grid(o: &Opt, base: Grid) -> Grid {
    let even = o.f("cell", 0.0);
    if even > 0.0 {
        Grid::even(even)
    } else if o.f("halve", 0.0) > 0.0 {
        base.halved()
    } else {
        base
    }
}

fn farm(dir: &str, pond: &'static str, o: &Opt) -> Case {
    let dir = format!("{dir}/farm-pond-early-summer");
    let (lat, lon, elev) = (42.11, -93.59, 305.0);
    let (h, r) = rows(&format!("{dir}/forcing_hourly.csv"));
    let col = |n: &str| h.iter().position(|x| x == n).unwrap();
    let start = hours(&r[0][0], 2020);
    let s: Vec<f64> = r.iter().map(|x| num(&x[col("sw_wm2")]).unwrap()).collect();
    let s0: Vec<f64> = r
        .iter()
        .map(|x| {
            let mut sum = 0.0;
            for q in 0..6 {
                let utc = hours(&x[0], 2020) as f64 + 5.0 - 1.0 + (f64::from(q) + 0.5) / 6.0;
                let c = cos_zenith(lat, lon, utc);
                if c > 0.0 {
                    sum += 1098.0 * c * (-0.059 / c).exp();
                }
            }
            sum / 6.0
        })
        .collect();
    let cl = clouds(&s, &s0);
    let ratio = ((293.0 - 0.0065 * elev) / 293.0f64).powf(5.26);
    let mut last_p = 1013.0;
    // Row k is the hour that ends at its label; hour i of the run is row i + 1.
    let mut airs: Vec<Air<f64>> = r
        .iter()
        .enumerate()
        .map(|(k, x)| {
            let ta = num(&x[col("air_c")]).unwrap();
            let ea = es(ta) * num(&x[col("rh_pct")]).unwrap() / 100.0;
            if let Some(p) = num(&x[col("slp_hpa")]) {
                last_p = p;
            }
            Air {
                air_temp_c: ta,
                vapour_pressure_hpa: ea,
                wind_m_s: num(&x[col("wind_ms")]).unwrap(),
                shortwave_w_m2: s[k],
                longwave_w_m2: longwave(ta, ea, cl[k]),
                pressure_hpa: last_p * ratio,
                rain_m: num(&x[col("rain_m_per_h")]).unwrap_or(0.0),
            }
        })
        .collect();
    airs.remove(0);
    let (_, sr) = rows(&format!("{dir}/stage_secchi.csv"));
    let (mut level, mut plants, mut secchi) = (vec![], vec![], vec![]);
    let mut by_doy: BTreeMap<i64, Vec<f64>> = BTreeMap::new();
    for x in sr.iter().filter(|x| x[1] == pond) {
        let doy: f64 = x[0].parse().unwrap();
        if let Some(z) = num(&x[5]) {
            secchi.push((doy, z));
        }
        if let Some(d) = num(&x[3]) {
            if x[2].ends_with("19") {
                level.push((doy, d));
            }
            by_doy.entry(doy as i64).or_default().push(num(&x[4]).map_or(0.0, |c| plants_from_canopy(c, d)));
        }
    }
    let mut most: f64 = 0.0;
    for (doy, b) in by_doy {
        most = most.max(b.iter().sum::<f64>() / b.len() as f64);
        plants.push((doy as f64, most));
    }
    let (_, hy) = rows(&format!("{dir}/hypsography.csv"));
    let table = DepthArea {
        depth_area_m_m2: hy.iter().map(|x| (num(&x[0]).unwrap(), num(&x[1]).unwrap())).collect(),
        length_m: 20.0,
        depth_shallow_m: o.0.get("ds").map(|v| v.parse().unwrap()),
    };
    let shape = Shape::from_table(&table, o.f("columns", 5.0) as usize).unwrap();
    let basin = Basin::with(shape, lat, grid(o, Grid::pond()), settings(o));
    let ground = basin.ground(o.f("tm", 11.0), o.f("ta", 13.0));
    let conds = (0..airs.len())
        .map(|i| {
            let doy = (start + i as i64) as f64 / 24.0 + 1.0;
            Conditions {
                level_m: interp(&level, doy - 0.5),
                attenuation_per_m: attenuation_from_secchi(interp(&secchi, doy - 0.5)),
                plants: o.f("plants", interp(&plants, doy - 0.5)),
                ground_deep_c: ground.deep_c(doy),
            }
        })
        .collect();
    let (oh, or) = rows(&format!("{dir}/pond_{pond}_temperature_hourly.csv"));
    let n = airs.len() + 1;
    let mut obs: Vec<(String, f64, Vec<Option<f64>>)> = oh[1..]
        .iter()
        .map(|x| {
            let (p, d) = x.split_once('_').unwrap();
            (p.to_string(), d.trim_end_matches('m').parse().unwrap(), vec![None; n])
        })
        .collect();
    for x in &or {
        let i = hours(&x[0], 2020) - start;
        if i >= 0 && (i as usize) < n {
            for (k, o) in obs.iter_mut().enumerate() {
                o.2[i as usize] = x.get(k + 1).and_then(|v| num(v));
            }
        }
    }
    Case { name: pond, start, airs, conds, ground, basin, wind: o.f("wind", 0.5), obs, daily: false }
}

fn lake(dir: &str, o: &Opt) -> Case {
    let dir = format!("{dir}/small-lake-2014");
    let (lat, elev) = (60.37, 510.0);
    let (h, r) = rows(&format!("{dir}/forcing_hourly.csv"));
    let col = |n: &str| h.iter().position(|x| x == n).unwrap();
    let start = hours(&r[0][0], 2014);
    let mut ratio = ((293.0 - 0.0065 * elev) / 293.0f64).powf(5.26);
    if o.f("rawp", 0.0) > 0.0 {
        ratio = 1.0;
    }
    let s: Vec<f64> = r.iter().map(|x| num(&x[col("sw_wm2")]).unwrap()).collect();
    let s0: Vec<f64> = r
        .iter()
        .map(|x| {
            let mut sum = 0.0;
            for q in 0..6 {
                let utc = hours(&x[0], 2014) as f64 + (f64::from(q) + 0.5) / 6.0 + o.f("lakeshift", 0.0);
                let c = cos_zenith(lat, 9.73, utc);
                if c > 0.0 {
                    sum += 1098.0 * c * (-0.059 / c).exp();
                }
            }
            sum / 6.0
        })
        .collect();
    let cl = clouds(&s, &s0);
    println!("cloud from sun {:.3}", cl.iter().sum::<f64>() / cl.len() as f64);
    let airs: Vec<Air<f64>> = r
        .iter()
        .enumerate()
        .map(|(k, x)| {
            let ta = num(&x[col("air_c")]).unwrap();
            let ea = es(ta) * num(&x[col("rh_pct")]).unwrap() / 100.0;
            Air {
                air_temp_c: ta,
                vapour_pressure_hpa: ea,
                wind_m_s: num(&x[col("wind_ms")]).unwrap(),
                shortwave_w_m2: num(&x[col("sw_wm2")]).unwrap(),
                longwave_w_m2: longwave(
                    ta,
                    ea,
                    if o.f("suncloud", 0.0) > 0.0 { cl[k] } else { num(&x[col("cloud")]).unwrap() },
                ),
                pressure_hpa: num(&x[col("p_source_pa")]).unwrap() / 100.0 * ratio,
                rain_m: num(&x[col("rain_mm_per_h")]).unwrap_or(0.0) / 1000.0,
            }
        })
        .collect();
    let (_, hy) = rows(&format!("{dir}/hypsography.csv"));
    let table = DepthArea {
        depth_area_m_m2: hy.iter().map(|x| (num(&x[0]).unwrap(), num(&x[1]).unwrap())).collect(),
        length_m: 300.0,
        depth_shallow_m: None,
    };
    let shape = Shape::from_table(&table, o.f("lakecolumns", 1.0) as usize).unwrap();
    let basin = Basin::with(shape, lat, grid(o, Grid::lake()), settings(o));
    let ground = basin.ground(5.5, 1.0);
    let conds = (0..airs.len())
        .map(|i| Conditions {
            level_m: 9.0,
            attenuation_per_m: o.f("lakelight", 1.5),
            plants: 0.0,
            ground_deep_c: ground.deep_c((start + i as i64) as f64 / 24.0 + 1.0),
        })
        .collect();
    let (oh, or) = rows(&format!("{dir}/temperature_daily_mean.csv"));
    let n = airs.len() + 1;
    let mut obs: Vec<(String, f64, Vec<Option<f64>>)> =
        oh[1..].iter().map(|x| ("deep".to_string(), x.trim_end_matches('m').parse().unwrap(), vec![None; n])).collect();
    for x in &or {
        let i = hours(&x[0], 2014) - start;
        if i >= 0 && (i as usize) < n {
            for (k, o) in obs.iter_mut().enumerate() {
                o.2[i as usize] = x.get(k + 1).and_then(|v| num(v));
            }
        }
    }
    Case { name: "lake", start, airs, conds, ground, basin, wind: o.f("lakewind", 1.4), obs, daily: true }
}

#[derive(Default, Clone, Copy)]
struct Score {
    n: f64,
    s: f64,
    ss: f64,
}
impl Score {
    fn add(&mut self, e: f64) {
        self.n += 1.0;
        self.s += e;
        self.ss += e * e;
    }
    fn rmse(&self) -> f64 {
        (self.ss / self.n).sqrt()
    }
    fn bias(&self) -> f64 {
        self.s / self.n
    }
}

fn column_of(place: &str, columns: usize, o: &Opt) -> usize {
    match place {
        "deep" => o.f("coldeep", columns as f64 - 1.0) as usize,
        "mid" => o.f("colmid", (columns / 2) as f64) as usize,
        _ => o.f("colshallow", 0.0) as usize,
    }
    .min(columns - 1)
}

fn run(case: &Case, o: &Opt) -> Vec<Vec<f64>> {
    let basin = &case.basin;
    let flat: Vec<Conditions> = case.conds.clone();
    let schedule = Schedule::new(basin, &flat, &Flows::default());
    let mut profile: Vec<(f64, f64)> =
        case.obs.iter().filter(|x| x.0 == "deep").filter_map(|x| x.2[0].map(|t| (x.1, t))).collect();
    profile.sort_by(|a, b| a.0.total_cmp(&b.0));
    let day = case.start as f64 / 24.0 + 1.0;
    let mut water: Water<f64> =
        Water::start(basin, schedule.stage(0), &profile, &case.ground, day).with_wind(case.wind);
    let mut budget = Budget::default();
    let mut scratch = Scratch::new(basin);
    let columns = basin.columns();
    let mut out: Vec<Vec<f64>> = case.obs.iter().map(|_| vec![f64::NAN]).collect();
    let before = water.heat_j(schedule.stage(0), 0);
    let clock = std::time::Instant::now();
    for (i, air) in case.airs.iter().enumerate() {
        hour(basin, schedule.stage(i), schedule.next(i), air, &mut water, &mut budget, &mut scratch);
        let stage = schedule.stage_after(i);
        for (k, ob) in case.obs.iter().enumerate() {
            let c = column_of(&ob.0, columns, o);
            out[k].push(water.at_depth(stage, c, ob.1));
        }
    }
    let took = clock.elapsed().as_secs_f64();
    let stage = schedule.stage_after(case.airs.len() - 1);
    let miss = water.heat_j(stage, 0) - before - budget.total_j(0);
    println!(
        "[{}] closure {:.1e} of {:.2e} J; unspent {:.3} m, evap {:.3} m; {:.1} us/hour; cells {}",
        case.name,
        miss,
        Budget::<f64>::sum_abs(&budget),
        water.unspent_m,
        budget.evaporated_m(0),
        took * 1e6 / case.airs.len() as f64,
        stage.cell_count(),
    );
    out
}

trait SumAbs {
    fn sum_abs(b: &Budget<f64>) -> f64;
}
impl SumAbs for Budget<f64> {
    fn sum_abs(b: &Budget<f64>) -> f64 {
        b.sun_j.abs() + b.surface_j.abs()
    }
}

fn report(case: &Case, model: &[Vec<f64>]) {
    let local = |i: usize| (case.start + i as i64) % 24;
    if case.daily {
        let mut all = Score::default();
        let mut parts = String::new();
        for (k, ob) in case.obs.iter().enumerate() {
            let mut sc = Score::default();
            let mut i = 0;
            while i + 24 < model[k].len() {
                // Daily mean over the hours of the day, which ends at index i + 24.
                if let Some(t) = ob.2[i] {
                    if i >= 24 {
                        let m = model[k][i + 1..=i + 24].iter().sum::<f64>() / 24.0;
                        sc.add(m - t);
                        all.add(m - t);
                    }
                }
                i += 24;
            }
            parts += &format!(" {}m {:.2}({:+.2})", ob.1, sc.rmse(), sc.bias());
        }
        println!("  lake all {:.3} ({:+.2});{parts}", all.rmse(), all.bias());
        return;
    }
    for place in ["deep", "mid", "shallow"] {
        let mut all = Score::default();
        let mut dawn = Score::default();
        let mut parts = String::new();
        let idx: Vec<usize> = (0..case.obs.len()).filter(|&k| case.obs[k].0 == place).collect();
        for &k in &idx {
            let mut sc = Score::default();
            let mut night = Score::default();
            for i in 25..model[k].len() {
                if let Some(t) = case.obs[k].2[i] {
                    let e = model[k][i] - t;
                    sc.add(e);
                    all.add(e);
                    if local(i) == 6 {
                        night.add(e);
                        if case.obs[k].1 <= 1.0 {
                            dawn.add(e);
                        }
                    }
                }
            }
            parts += &format!(" {}m {:.2}({:+.2}|{:+.2})", case.obs[k].1, sc.rmse(), sc.bias(), night.bias());
        }
        // Upper-metre means for range and falls.
        let upper: Vec<usize> = idx.iter().copied().filter(|&k| case.obs[k].1 <= 1.0).collect();
        let mean_at = |i: usize, obs: bool| -> Option<f64> {
            let v: Vec<f64> =
                upper.iter().filter_map(|&k| if obs { case.obs[k].2[i] } else { Some(model[k][i]) }).collect();
            (v.len() == upper.len()).then(|| v.iter().sum::<f64>() / v.len() as f64)
        };
        let n = model[0].len();
        let (mut ro, mut rm) = (0.0, 0.0);
        let mut d = 24;
        while d + 24 < n {
            let range = |obs: bool| -> Option<f64> {
                let v: Option<Vec<f64>> = (d..d + 24).map(|i| mean_at(i, obs)).collect();
                v.map(|v| v.iter().fold(f64::MIN, |a, &b| a.max(b)) - v.iter().fold(f64::MAX, |a, &b| a.min(b)))
            };
            if let (Some(a), Some(b)) = (range(true), range(false)) {
                ro += a;
                rm += b;
            }
            d += 24;
        }
        let fall = |a: i64, b: i64| {
            let (i, j) = ((a * 24 + 6 - case.start) as usize, (b * 24 + 6 - case.start) as usize);
            let f = |obs| Some(mean_at(i, obs)? - mean_at(j, obs)?);
            format!("{:.1}/{:.1}", f(false).unwrap_or(f64::NAN), f(true).unwrap_or(f64::NAN))
        };
        // 28-30 May = doy 149..151 -> index from 0: 148..150.
        println!(
            "  {} {place:8} all {:.3} dawn {:.3}({:+.2}) range {:.2} falls {} {} {};{parts}",
            case.name,
            all.rmse(),
            dawn.rmse(),
            dawn.bias(),
            rm / ro,
            fall(148, 150),
            fall(160, 163),
            fall(172, 175)
        );
    }
}

/// Differences at 06 h from a run with steps of a minute, over every place that has a logger.
fn converge(dir: &str, o: &Opt) {
    let with = |dt: f64| {
        let mut o = Opt(o.0.clone());
        o.0.insert("dt".to_string(), dt.to_string());
        [farm(dir, "B", &o), farm(dir, "F", &o), lake(dir, &o)].map(|case| (run(&case, &o), case.start))
    };
    let fine = with(o.f("fine", 60.0));
    for dt in [300.0, 600.0, 1200.0, 1800.0, 3600.0] {
        let coarse = with(dt);
        for (a, b) in coarse.iter().zip(&fine) {
            let mut sc = Score::default();
            let mut worst: f64 = 0.0;
            for (x, y) in a.0.iter().zip(&b.0) {
                for i in (25..x.len()).filter(|&i| (a.1 + i as i64) % 24 == 6) {
                    sc.add(x[i] - y[i]);
                    worst = worst.max((x[i] - y[i]).abs());
                }
            }
            println!("dt {dt:5}: rms {:.4} mean {:+.4} worst {:.3}", sc.rmse(), sc.bias(), worst);
        }
    }
}

fn main() {
    let mut args = std::env::args().skip(1);
    let dir = args.next().expect("the folder of cases");
    let o = Opt(args.filter_map(|a| a.split_once('=').map(|(k, v)| (k.to_string(), v.to_string()))).collect());
    if o.f("converge", 0.0) > 0.0 {
        converge(&dir, &o);
        return;
    }
    for case in [farm(&dir, "B", &o), farm(&dir, "F", &o), lake(&dir, &o)] {
        let model = run(&case, &o);
        report(&case, &model);
    }
}
