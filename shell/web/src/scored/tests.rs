use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;

use farm::facts::{Fact, Happened};
use season::FarmPast;
use season::scores::Beside;
use season::weather::{DonorRecord, read_daily};
use store::{Exchange, FarmRow, Insert};
use units::Watch;

use super::*;

const HAZEL_BEND: &str = include_str!("../../../../samples/hazel-bend/farm.toml");
const HISTORY: &[u8] = include_bytes!("../../../../samples/hazel-bend/history.csv");
const DONORS: [(&str, &[u8]); 2] = [
    ("greensboro.csv", include_bytes!("../../../../samples/donors/greensboro.csv")),
    ("kennedy.csv", include_bytes!("../../../../samples/donors/kennedy.csv")),
];
pub const FARM: &str = "hazel-bend";
const HOUR_MS: i64 = 3_600_000;

/// 5 October 2011, 11 h UTC: 7 in the morning at the farm.
pub fn that_morning() -> i64 {
    1_317_812_400_000
}
/// A clock of another day.
fn years_later() -> i64 {
    that_morning() + 3000 * 24 * HOUR_MS
}

pub struct Kept {
    pub record: Arc<Record>,
    folder: PathBuf,
}

impl Drop for Kept {
    fn drop(&mut self) {
        let _gone = std::fs::remove_dir_all(&self.folder);
    }
}

pub fn kept(name: &str, clock: fn() -> i64) -> Kept {
    let folder = std::env::temp_dir().join(format!("warmspell-scored-{name}-{}", std::process::id()));
    let _old = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    let store = Store::open(&folder.join("record.db"), clock()).expect("a record");
    let row = FarmRow { id: FARM.to_owned(), name: "Hazel Bend".to_owned(), made_ms: clock(), is_sample: true };
    store.keep_farm(&row).expect("a farm");
    Kept { record: Arc::new(Record::new(store, clock)), folder }
}

pub fn served() -> Served {
    let farm = farm::read_farm(HAZEL_BEND).expect("the sample reads");
    let history = read_daily(HISTORY).expect("the record reads").value;
    let donors = DonorRecord::read(&DONORS).expect("the donors read").0;
    let past = FarmPast::new(&farm, &history, &donors, 1).expect("a past");
    Served {
        id: FARM.to_owned(),
        farm,
        past,
        forecast: None,
        on: Day::new(2011, 10, 5).expect("a day"),
        follows_clock: false,
        now_hour: 5,
        members: 16,
        is_sample: true,
        lent_past_km: None,
        manner: words::figures::Manner::Metric,
        file: HAZEL_BEND.to_owned(),
        text: None,
    }
}

fn typed(record: &Record, kind: &str, at: Instant, fields: &[(&str, &str)]) -> Fact {
    Fact {
        id: record.store().new_id().expect("an id"),
        farm: FARM.to_owned(),
        device: "phone".to_owned(),
        person: "ann".to_owned(),
        kind: kind.to_owned(),
        form: 1,
        happened: Happened { at, offset_s: -14_400 },
        typed_ms: at.0 * 1000,
        corrects: None,
        typed: fields.iter().map(|(key, text)| ((*key).to_owned(), (*text).to_owned())).collect(),
        values: BTreeMap::new(),
    }
}

/// Enters something as a person would, with its numbers read.
pub fn enter(record: &Record, kind: &str, at: Instant, fields: &[(&str, &str)]) {
    let mut fact = typed(record, kind, at, fields);
    assert!(fact.read().slips.is_empty(), "{fields:?}");
    insert(record, &fact, record.now_ms());
}

fn insert(record: &Record, fact: &Fact, now_ms: i64) {
    let exchange = Exchange { device: "phone", now_ms, device_ms: None };
    let answers = record.store().insert(std::slice::from_ref(fact), exchange).expect("on the disk");
    assert!(matches!(answers[..], [Insert::Made { .. }]), "{answers:?}");
}

/// Eight mornings from `first` on. Willow's dawns are called a day ahead at 20 °C, 19 to 21, and two days ahead at 20 °C, 18 to 22; a
/// chance of 1 in 10 for 15 °C and of 6 in 10 for 20 °C.
fn mornings(record: &Record, farm: &Farm, first: Day) {
    let place = place_of(farm);
    for morning in 0..8 {
        let on = first.plus(morning);
        let row = |lead: i32, says: Spoken, value: f64| ForecastRow {
            made_ms: place.day_start(on).plus_hours(5).0 * 1000,
            pond: "willow".to_owned(),
            place: BOTTOM.to_owned(),
            depth_m: 1.8,
            at: sun::dawn(on.plus(lead), &place),
            says,
            value,
            program: "0.0.9".to_owned(),
            seed: 1,
        };
        let rows: Vec<ForecastRow> = (1..=2)
            .flat_map(|lead| {
                let wide = f64::from(lead);
                [
                    row(lead, Spoken::Quantile(0.1), 20.0 - wide),
                    row(lead, Spoken::Quantile(0.5), 20.0),
                    row(lead, Spoken::Quantile(0.9), 20.0 + wide),
                    row(lead, Spoken::Chance(15.0), 0.1),
                    row(lead, Spoken::Chance(20.0), 0.6),
                ]
            })
            .collect();
        record.store().keep_forecast(FARM, &rows).expect("kept");
    }
}

/// A reading at each of ten dawns: 20.5 °C on the first, 18.5 °C on the second, and so on by turns.
fn thermometer(record: &Record, farm: &Farm, first: Day) {
    for day in 0..10 {
        let at = sun::dawn(first.plus(day), &place_of(farm));
        let text = if day % 2 == 0 { "20.5 C" } else { "18.5 C" };
        let fields = [("pond", "willow"), ("end", "deep"), ("temperature", text)];
        insert(record, &typed(record, "reading", Instant(at.0 + 1200), &fields), at.0 * 1000);
    }
}

fn all() -> Stretch {
    Stretch { key: ALL.to_owned(), name: None, from: None, to: None }
}

/// Eight mornings from 5 October 2011 on, and their thermometer.
pub fn eight_mornings_read(record: &Record, farm: &Farm) {
    let first = Day::new(2011, 10, 5).expect("a day");
    mornings(record, farm, first);
    thermometer(record, farm, first);
}

#[test]
fn eight_mornings_score_as_worked_by_hand() {
    let Kept { record, .. } = &kept("hand", that_morning);
    let farm = farm::read_farm(HAZEL_BEND).expect("the sample reads");
    let first = Day::new(2011, 10, 5).expect("a day");
    mornings(record, &farm, first);
    let wanted = Wanted { farm_id: FARM, farm: &farm, stretch: &all(), pond: None };
    let before = scored(record.store(), wanted).expect("read");
    assert_eq!((before.mornings.len(), before.called, before.scores.count), (8, 16, 0), "nothing was read yet");
    thermometer(record, &farm, first);
    let after = scored(record.store(), wanted).expect("read");
    let scores = &after.scores;
    // Dawns 1 to 8 were called a day ahead, 2 to 9 two days ahead; every day of 5 to 13 October but the first.
    assert_eq!((scores.count, scores.mornings, scores.dawns), (16, 8, 9));
    let [one, two] = scores.leads[..] else { panic!("{scores:?}") };
    // Four dawns at 18.5: 1.5 too warm and below 19; four at 20.5: 0.5 too cold, within.
    assert_eq!((one.lead_days, one.count, one.within, one.colder, one.warmer), (1, 8, 4, 4, 0));
    assert!((one.off_k - 1.0).abs() < 1e-9 && (one.too_warm_k - 0.5).abs() < 1e-9, "{one:?}");
    // Water that stays as it was is 2 off each day and right every second day.
    let near = |beside: Option<Beside>, count: usize, stayed_off_k: f64| {
        beside.is_some_and(|b| {
            b.count == count && (b.off_k - 1.0).abs() < 1e-9 && (b.stayed_off_k - stayed_off_k).abs() < 1e-9
        })
    };
    assert!(near(one.beside, 8, 2.0), "{one:?}");
    assert_eq!((two.count, two.within), (8, 8));
    assert!(near(two.beside, 8, 0.0), "{two:?}");
    // 15 °C never came of 16 times 1 in 10; 20 °C came at the eight dawns of 18.5.
    let chances: Vec<_> = scores.chances.iter().map(|group| (group.up_to, group.count, group.came)).collect();
    assert_eq!(chances, [(0.1, 16, 0), (0.75, 16, 8)]);
    // (16 · 0.1² + 8 · 0.4² + 8 · 0.6²) / 32
    assert!((scores.brier.expect("chances") - 4.32 / 32.0).abs() < 1e-12);
    assert_eq!(after.recent.len(), 8);
    assert!(after.rows.iter().all(|(_, came)| came.is_some()), "every dawn was read");
}

#[test]
fn what_is_remembered_gives_way_to_what_is_new() {
    let Kept { record, .. } = &kept("remembered", that_morning);
    let facts = served();
    let first = facts.on;
    let counts = || {
        let found = of_farm(record, &facts, &all(), None).expect("read");
        (found.mornings.len(), found.scores.count)
    };
    assert_eq!(counts(), (0, 0));
    mornings(record, &facts.farm, first);
    assert_eq!(counts(), (8, 0), "new mornings");
    thermometer(record, &facts.farm, first);
    assert_eq!(counts(), (8, 16), "new readings of the same mornings");
    let heron = of_farm(record, &facts, &all(), Some("heron")).expect("read");
    assert_eq!((heron.mornings.len(), heron.scores.count), (0, 0), "another pond's");
    let again = of_farm(record, &facts, &all(), None).expect("read");
    assert!(Arc::ptr_eq(&again, &of_farm(record, &facts, &all(), None).expect("read")), "counted once");
}

#[test]
fn seasons_are_stretches_of_days_and_not_calendar_years() {
    let Kept { record, .. } = &kept("seasons", that_morning);
    let farm = farm::read_farm(HAZEL_BEND).expect("the sample reads");
    // A crop over New Year, and another begun in the same calendar year.
    let (winter, summer) = (Day::new(2010, 12, 28).expect("a day"), Day::new(2011, 9, 1).expect("a day"));
    for first in [winter, summer] {
        mornings(record, &farm, first);
        thermometer(record, &farm, first);
    }
    let found = stretches(record.store(), FARM, &farm).expect("read");
    assert_eq!(found.iter().map(|one| one.key.as_str()).collect::<Vec<_>>(), [THIS, ALL]);
    let count = |stretch: &Stretch| {
        let wanted = Wanted { farm_id: FARM, farm: &farm, stretch, pond: None };
        scored(record.store(), wanted).expect("read").mornings.len()
    };
    assert_eq!((count(&found[0]), count(&found[1])), (8, 16), "since stocking, and all");
    for (id, starts, ends) in [("w", winter.plus(-20), Some(winter.plus(3))), ("s", summer, None)] {
        let row = store::Season { id: id.to_owned(), farm: FARM.to_owned(), name: id.to_uppercase(), starts, ends };
        record.store().keep_season(&row).expect("kept");
    }
    let found = stretches(record.store(), FARM, &farm).expect("read");
    assert_eq!(found.iter().map(|one| one.key.as_str()).collect::<Vec<_>>(), ["s", "w", ALL]);
    assert_eq!(found.iter().map(count).collect::<Vec<_>>(), [8, 4, 16], "a season ends on its last day");
}

#[test]
fn a_mended_reading_counts_as_mended_and_a_pond_by_itself() {
    let Kept { record, .. } = &kept("mended", that_morning);
    let farm = farm::read_farm(HAZEL_BEND).expect("the sample reads");
    let first = Day::new(2011, 10, 5).expect("a day");
    mornings(record, &farm, first);
    let at = sun::dawn(first.plus(1), &place_of(&farm));
    let slip = typed(record, "reading", at, &[("pond", "willow"), ("temperature", "2.05 C")]);
    let mended = Fact {
        corrects: Some(slip.id.clone()),
        ..typed(record, "reading", at, &[("pond", "willow"), ("temperature", "20.5 C")])
    };
    insert(record, &slip, at.0 * 1000);
    insert(record, &mended, at.0 * 1000);
    let score_of = |pond: Option<&str>| {
        let wanted = Wanted { farm_id: FARM, farm: &farm, stretch: &all(), pond };
        scored(record.store(), wanted).expect("read").scores
    };
    let scores = score_of(Some("willow"));
    assert_eq!(scores.count, 1);
    assert!((scores.leads[0].off_k - 0.5).abs() < 1e-9, "{scores:?}");
    assert_eq!(score_of(Some("quarry")).count, 0);
}

#[test]
fn a_morning_is_kept_once_and_again_when_a_weather_forecast_comes() {
    let Kept { record, .. } = &kept("once", that_morning);
    let facts = served();
    let (outlook, _) = facts.reckon(None, None, &Watch::new()).expect("an answer");
    let begun_ms = that_morning() - HOUR_MS;
    assert_eq!(keep(record, &facts, &outlook, begun_ms), Ok(true));
    assert_eq!(keep(record, &facts, &outlook, begun_ms + 60_000), Ok(false), "the first stands");
    let rows = |record: &Record| record.store().forecasts_made(FARM, (0, i64::MAX), None).expect("read");
    let kept_rows = rows(record);
    let of = |place: &str| kept_rows.iter().filter(|row| row.place == place).count();
    let ponds = outlook.ponds.len();
    assert_eq!((of(BOTTOM), of(COLDEST)), (ponds * 10 * 5, ponds * 10));
    assert!(of(STOCK) > 0 && kept_rows.iter().all(|row| row.made_ms == begun_ms && row.seed == 1));
    let dawn = outlook.ponds[0].dawns[2];
    let at = sun::dawn(dawn.day, &place_of(&facts.farm));
    let middles: Vec<f64> = kept_rows
        .iter()
        .filter(|row| {
            (row.place.as_str(), row.at, row.says) == (BOTTOM, at, Spoken::Quantile(0.5)) && row.pond == "willow"
        })
        .map(|row| row.value)
        .collect();
    assert_eq!(middles, [dawn.water_c.middle], "to the last bit");
    // A weather forecast is brought in, and the answer begun after it is kept too.
    let news = typed(record, "forecast", Instant(that_morning() / 1000), &[("text", "day,low_c,high_c")]);
    insert(record, &news, that_morning());
    assert_eq!(keep(record, &facts, &outlook, that_morning() + 5000), Ok(true));
    assert_eq!(keep(record, &facts, &outlook, that_morning() + 9000), Ok(false), "once for each");
    assert_eq!(rows(record).len(), 2 * kept_rows.len());
    let wanted = Wanted { farm_id: FARM, farm: &facts.farm, stretch: &all(), pond: None };
    let found = scored(record.store(), wanted).expect("read");
    assert_eq!((found.mornings.len(), found.called), (1, ponds * 10), "one set of a day is scored");
}

#[test]
fn a_morning_of_another_day_counts_as_made_at_its_own_hour() {
    let Kept { record, .. } = &kept("lived", years_later);
    let facts = served();
    let (outlook, _) = facts.reckon(None, None, &Watch::new()).expect("an answer");
    assert_eq!(keep(record, &facts, &outlook, years_later()), Ok(true));
    assert_eq!(keep(record, &facts, &outlook, years_later() + HOUR_MS), Ok(false));
    let made = record.store().last_forecast_ms(FARM).expect("read");
    assert_eq!(made, Some(that_morning() - 2 * HOUR_MS), "5 in the morning at the farm");
}
