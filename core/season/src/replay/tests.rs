use ensemble::{DayTable, MembersAir, PondRun, Spliced, Start, run};
use farm::{read_farm, read_world};
use units::Watch;
use weather::{Climate, DonorRecord, Luck, MemberNews, Members, Morning, Past, issue_forecast, read_daily};

use super::moved::farm_in;
use super::truth::{RUN_DAYS, Stage, run_members};
use super::*;
use crate::lived::{ground, schedule};

const FARM: &str = include_str!("../../../../samples/hazel-bend/farm.toml");
const HISTORY: &[u8] = include_bytes!("../../../../samples/hazel-bend/history.csv");
const WORLD: &str = include_str!("../../../../checks/replay/world.toml");
const DONORS: [(&str, &[u8]); 2] = [
    ("greensboro.csv", include_bytes!("../../../../samples/donors/greensboro.csv")),
    ("kennedy.csv", include_bytes!("../../../../samples/donors/kennedy.csv")),
];

/// Members that pass over to kept water against the same members run whole: dawn water of each pond, after the kernel's days.
#[test]
fn kept_water_stands_for_the_whole_run() {
    let farm = read_farm(FARM).expect("the sample reads");
    let mut history = read_daily(HISTORY).expect("the record reads").value;
    // The last thirty years are enough here and run in a third of the time.
    let cut = history.low_c.len() - 30 * 365;
    history.first = history.first.plus(cut as i32);
    history.low_c.drain(..cut);
    history.high_c.drain(..cut);
    let donors = DonorRecord::read(&DONORS).expect("the donors read").0;
    let past = FarmPast::new(&farm, &history, &donors, 1).expect("a past");
    let mut world = read_world(WORLD).expect("the world reads");
    (world.draws_per_year, world.members) = (1, 32);
    let ask = ReplayAsk {
        farm: &farm,
        past: &past,
        world: &world,
        years: (2016, 2016),
        error_factor: 1.0,
        timing_factor: 1.0,
    };
    let stage = Stage::new(&ask).expect("a stage");
    let of = stage.years.iter().find(|year| year.year == 2016).expect("2016 is whole");
    let moved = farm_in(&farm, 2016);
    let climate = Climate::fit(&past.record, Some(of.first)).expect("a climate");
    let known = Past::new(&stage.library, &climate, Some(of.first));
    let (morning, n) = (20, world.members);
    let today = of.first.plus(morning as i32);
    let last = of.first.plus(stage.days as i32 - 1);
    let luck = Luck { seed: world.seed, id: 2016 };
    let forecast = issue_forecast(&of.days, &climate, &stage.true_skill, today, luck).expect("a forecast");
    let drawn = Morning {
        today,
        last,
        forecast: &forecast,
        skill: &stage.believed,
        climate: &climate,
        library: &stage.library,
        past: &known,
        seed: 5,
    };
    let news = MemberNews::new(5, 0..n as u32, &climate, &stage.believed, of.first, last);
    let members = Members::draw(&drawn, 0..n as u32, &news).expect("members");
    let all: Vec<usize> = (0..farm.ponds.len()).collect();
    let parts = run_members(&stage, &moved, &climate, of, morning, &members, &all);
    let days = stage.days - morning;
    let dawn_hour = past.dawn_hour(of.first);
    for (p, part) in parts.iter().enumerate() {
        let model = &stage.ponds[p].model;
        let before = &of.lived[p][0].tally[morning];
        let spliced = Spliced {
            run: part,
            winds: &stage.ponds[p].winds,
            members: &members,
            splice: stage.ponds[p].splice,
            dawn_hour,
            days,
        }
        .days(&vec![0.0; n], 0.0, before);
        let ground = ground(&climate, model);
        let schedule = schedule(&moved.ponds[p], model, &ground, today, days + 1);
        let pond = PondRun {
            basin: &model.basin,
            schedule: &schedule,
            start: Start::Water(&of.states[p][morning]),
            wind_factor: &vec![moved.ponds[p].wind_factor.median; n],
        };
        let air = MembersAir { members: &members, library: &stage.library };
        let (whole, _) = run(&[pond], &air, 24 * days, &Watch::new()).expect("not stopped");
        let whole = DayTable::from_hours(&whole[0], dawn_hour, before);
        let off = |from: usize, to: usize| {
            let mut sum = 0.0;
            for day in from..to {
                for (a, b) in spliced.dawns_c(day).iter().zip(whole.dawns_c(day)) {
                    sum += f64::from(a - b) * f64::from(a - b);
                }
            }
            (sum / ((to - from) * n) as f64).sqrt()
        };
        println!(
            "{}: before the splice {:.4} K, first five days after {:.3} K, then {:.3} K",
            moved.ponds[p].name,
            off(0, RUN_DAYS),
            off(RUN_DAYS, RUN_DAYS + 5),
            off(RUN_DAYS + 5, days)
        );
        assert_eq!(off(0, RUN_DAYS), 0.0, "until the splice it is the run itself");
        assert!(off(RUN_DAYS, days) < SPLICE_MOST_K, "{}: {} K", moved.ponds[p].name, off(RUN_DAYS, days));
    }
}

/// Most that the splice may be off at dawn, root mean square, K. Known to be wrong: 0.1 is wanted, 0.19 to 0.25 was seen
/// (docs/numerics/reuse.md). It may only fall.
const SPLICE_MOST_K: f64 = 0.3;
