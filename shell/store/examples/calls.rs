//! How much room the mornings' forecasts take: `cargo run --release -p store --example calls -- FILE PONDS MORNINGS`.

use std::path::Path;
use std::time::Instant as Clock;

use store::{FarmRow, ForecastRow, Spoken, Store};
use units::Instant;

const FIRST_S: i64 = 1_306_492_200;
const DAY_S: i64 = 86_400;

fn main() {
    let mut words = std::env::args().skip(1);
    let path = words.next().expect("FILE");
    let mut count = || words.next().and_then(|word| word.parse::<i64>().ok()).expect("PONDS MORNINGS");
    let (ponds, mornings) = (count(), count());
    let store = Store::open(Path::new(&path), FIRST_S * 1000).expect("a record");
    let farm = FarmRow { id: "hazel-bend".to_owned(), name: "Hazel Bend".to_owned(), made_ms: 0, is_sample: true };
    store.keep_farm(&farm).expect("a farm");
    let begun = Clock::now();
    let mut kept = 0;
    for morning in 0..mornings {
        let made_ms = (FIRST_S + morning * DAY_S - 1800) * 1000;
        let rows: Vec<ForecastRow> = (0..ponds).flat_map(|pond| of_pond(pond, morning, made_ms)).collect();
        kept += rows.len();
        store.keep_forecast_once("hazel-bend", "0.1.0", made_ms, made_ms + 1, &rows).expect("kept");
    }
    let kept_s = begun.elapsed().as_secs_f64();
    let begun = Clock::now();
    let read = store.forecasts_made("hazel-bend", (0, i64::MAX), None).expect("read").len();
    println!("{kept} rows kept in {kept_s:.2} s, {:.1} ms a morning", kept_s * 1000.0 / mornings as f64);
    println!("{read} rows read in {:.3} s", begun.elapsed().as_secs_f64());
    drop(store);
    let bytes = std::fs::metadata(&path).expect("the file").len();
    println!("{:.1} MB, {:.0} bytes a row", bytes as f64 / 1e6, bytes as f64 / kept as f64);
}

/// A pond's rows of one morning, as the pages keep them.
fn of_pond(pond: i64, morning: i64, made_ms: i64) -> Vec<ForecastRow> {
    let noise = |lead: i64, of: i64| ((pond * 31 + morning * 17 + lead * 7 + of * 3) % 97) as f64 / 97.0 + 1.0 / 3.0;
    let row = |place: &str, depth_m: f64, lead: i64, says: Spoken, value: f64| ForecastRow {
        made_ms,
        pond: format!("pond-{pond}"),
        place: place.to_owned(),
        depth_m,
        at: Instant(FIRST_S + (morning + lead) * DAY_S),
        says,
        value,
        program: "0.1.0".to_owned(),
        seed: 1,
    };
    (1..=10)
        .flat_map(|lead| {
            let middle_c = 20.0 + noise(lead, 1);
            [
                row("deep", 1.83, lead, Spoken::Quantile(0.1), middle_c - 1.0),
                row("deep", 1.83, lead, Spoken::Quantile(0.5), middle_c),
                row("deep", 1.83, lead, Spoken::Quantile(0.9), middle_c + 1.0),
                row("deep", 1.83, lead, Spoken::Chance(15.555_555), noise(lead, 2) / 8.0),
                row("deep", 1.83, lead, Spoken::Chance(20.0), noise(lead, 3) / 2.0),
                row("coldest", 0.91, lead, Spoken::Quantile(0.5), middle_c - 0.2),
                row("stock", 0.0, lead, Spoken::Chance(0.2), noise(lead, 4) / 8.0),
            ]
        })
        .collect()
}
