//! Members drawn from the sample farm's own record and the shipped hourly stations, hour by hour.

use units::{Day, LANES, Real, Zone};
use weather::{
    Climate, DailyForecast, DonorRecord, ForecastSkill, Library, MemberNews, Members, Morning, Normals, Past, Place,
    SeasonWindow, moist, read_daily,
};

const HISTORY: &[u8] = include_bytes!("../../../samples/hazel-bend/history.csv");
const GREENSBORO: &[u8] = include_bytes!("../../../samples/donors/greensboro.csv");
const KENNEDY: &[u8] = include_bytes!("../../../samples/donors/kennedy.csv");
const WINDOW: SeasonWindow = SeasonWindow { month: 5, day: 1, n_days: 240 };
const N: u32 = 48;

struct Made {
    library: Library,
    members: Members,
    forecast: DailyForecast,
}

fn make() -> Made {
    let record = read_daily(HISTORY).expect("the sample reads").value;
    let zone = Zone::parse("America/New_York").expect("in the table");
    let place = Place { latitude_deg: 34.68, longitude_deg: -82.84, elevation_m: 240.0, zone };
    let files = [("greensboro", GREENSBORO), ("kennedy", KENNEDY)];
    let lenders = DonorRecord::read(&files).expect("the samples read").0.for_place(&place);
    let normals = Normals::of(&record).expect("long enough");
    let today = Day::new(2020, 9, 1).expect("a date");
    let (library, left_out) = Library::of_record(&record, WINDOW, &normals, &lenders, 1);
    assert_eq!(left_out.iter().map(|(year, _)| *year).collect::<Vec<_>>(), [1962], "a month is missing in 1962");
    let climate = Climate::fit(&record, Some(today)).expect("long enough");
    let past = Past::new(&library, &climate, Some(today));
    assert_eq!(past.n_seasons(), 89);
    let skill = ForecastSkill::default_daily();
    // A front comes on the third day.
    let days = (0..10)
        .map(|lead| {
            let fall = [2.0, 2.0, 0.0, -5.0, -5.0, -3.0, -2.0, -1.0, 0.0, 0.0][lead];
            climate.mean_c(today.plus(lead as i32)).plus(weather::LowHigh { low: fall, high: fall })
        })
        .collect();
    let forecast = DailyForecast { issued: today, days };
    let news = MemberNews::new(2, 0..N, &climate, &skill, today, today.plus(60));
    let morning = Morning {
        today,
        last: today.plus(60),
        forecast: &forecast,
        skill: &skill,
        climate: &climate,
        library: &library,
        past: &past,
        seed: 2,
    };
    let members = Members::draw(&morning, 0..N, &news).expect("inside the window");
    Made { library, members, forecast }
}

#[test]
fn members_hours_are_air() {
    let Made { library, members, forecast } = make();
    let (mut off, mut n) = ([0.0; 2], 0.0f64);
    let mut theirs = 0.0f64;
    let mut own_step = 0.0f64;
    for member in 0..members.len() {
        for day in 1..members.n_days() - 1 {
            let hours: Vec<_> = (0..24).map(|hour| members.air(&library, member, 24 * day + hour)).collect();
            let low = hours.iter().map(|h| h.air_temp_c).fold(f64::INFINITY, f64::min);
            let high = hours.iter().map(|h| h.air_temp_c).fold(f64::NEG_INFINITY, f64::max);
            let own = members.low_high_c(member, day);
            off[0] += (low - own.low) * (low - own.low);
            off[1] += (high - own.high) * (high - own.high);
            n += 1.0;
            for hour in &hours {
                let humid = moist::relative_humidity(hour.air_temp_c, hour.vapour_pressure_hpa);
                assert!(humid < 1.001 && humid > 0.02, "{member} {day}: {hour:?}");
                assert!((150.0..500.0).contains(&hour.longwave_w_m2), "{member} {day}: {hour:?}");
            }
            // Steps at midnight beside those of the past itself.
            let before = members.air(&library, member, 24 * day - 1).air_temp_c;
            own_step += (hours[0].air_temp_c - before).powi(2);
            let donor = members.donor(member, day).library_day;
            if donor % WINDOW.n_days > 0 {
                let step = library.air(donor, 0).air_temp_c - library.air(donor - 1, 23).air_temp_c;
                theirs += step * step;
            }
        }
    }
    let rms = off.map(|sum| (sum / n).sqrt());
    println!("hourly lows and highs against the member's own: rms {rms:.2?} K");
    println!("midnight steps: members {:.3}, past {:.3} K", (own_step / n).sqrt(), (theirs / n).sqrt());
    assert!(rms[0] < 0.8 && rms[1] < 0.8, "{rms:?}");
    assert!(own_step < 1.3 * theirs, "no steps at midnight beyond those of the past");

    // On forecast days the mean over members stands at the forecast, hour by hour as by day.
    for day in 1..6 {
        let dawn = (0..members.len()).map(|m| members.low_high_c(m, day).low).sum::<f64>() / f64::from(N);
        assert!((dawn - forecast.days[day].low).abs() < 1.3, "{day}: {dawn} against {:?}", forecast.days[day]);
    }
    let row = members.air_lanes(&library, 16, 77);
    for lane in 0..LANES {
        let air = members.air(&library, 16 + lane, 77);
        assert!((row.vapour_pressure_hpa.lane(lane) - air.vapour_pressure_hpa).abs() < 1e-4);
        assert!((row.longwave_w_m2.lane(lane) - air.longwave_w_m2).abs() < 5e-3);
    }
}
