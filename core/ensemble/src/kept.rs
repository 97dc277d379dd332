//! Water of past seasons, run once and used again.
//!
//! Model     a member follows its own water through the forecast and a settling time; then the kept water of the past season it
//!           has become, plus what was left of their difference, which fades with the pond's memory. Wind over the pond, which
//!           differs between members, comes in as the difference between seasons kept at three winds; a start that lies off
//!           the common one fades likewise
//! Units     °C, hours
//! Range     members that are their donors but for a lasting shift
//! Source    our own; the splice against the full run is measured in `docs/numerics/reuse.md`
//! Left out  a lasting shift's effect on evaporation: the water is shifted as the air is

use stock::DayTally;
use units::{LANES, Lanes, Real};
use weather::Members;

use crate::daytable::DayTable;
use crate::hours::HourTable;

/// Kept hours of one pond: one member for each season of the library, hours from the season's first midnight.
#[derive(Debug, Clone)]
pub struct KeptWater {
    /// Animals' water and coldest column by `[season][hour]`, °C.
    hours: Vec<[f32; 2]>,
    per_season: usize,
}

impl KeptWater {
    /// From a run of every season of a library.
    pub fn new(table: &HourTable) -> KeptWater {
        let per_season = table.hours();
        let mut hours = Vec::with_capacity(per_season * table.members());
        for season in 0..table.members() {
            for hour in 0..per_season {
                hours.push([table.animals_c(season, hour) as f32, table.coldest_c(season, hour) as f32]);
            }
        }
        KeptWater { hours, per_season }
    }

    /// Place of a library day's first hour.
    fn place(&self, library_day: usize) -> usize {
        let days = self.per_season / 24;
        (library_day / days) * self.per_season + (library_day % days) * 24
    }

    /// Animals' water and coldest column at an hour of a library day, °C.
    pub fn at(&self, library_day: usize, hour: usize) -> [f32; 2] {
        self.hours[self.place(library_day) + hour]
    }
}

/// One pond's water at a low, a middle and a high wind.
#[derive(Debug, Clone)]
pub struct WindLevels {
    /// Kept water at wind factors of exp(-`step_log`), 1 and exp(`step`) times the middle one.
    pub kept: [KeptWater; 3],
    /// Step of the logarithm between them.
    pub step_log: f64,
}

/// How a member passes over to kept water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Splice {
    /// Hours after which a difference has fallen to a third (e-fold).
    pub memory_h: f64,
    /// How much of a lasting shift of the air the water takes over.
    pub shift_share: f64,
}

/// What a table of days is put together from.
pub struct Spliced<'a> {
    /// Hours run by the kernel, at the middle wind, from the common start.
    pub run: &'a HourTable,
    /// Kept water.
    pub winds: &'a WindLevels,
    /// Who the members are.
    pub members: &'a Members,
    /// How they pass over.
    pub splice: Splice,
    /// Hour of each day that holds dawn.
    pub dawn_hour: usize,
    /// Days wanted.
    pub days: usize,
}

impl Spliced<'_> {
    /// The days of every member. `wind_log` is the logarithm of each member's wind factor over the middle one; `off_c` how much
    /// warmer the pond was at the start than the common start; `before` what the animals have behind them.
    pub fn days(&self, wind_log: &[f64], off_c: f64, before: &DayTally<f64>) -> DayTable {
        let count = self.members.len();
        let left: Vec<f64> = (0..24 * self.days).map(|at| units::exp(-(at as f64) / self.splice.memory_h)).collect();
        let mut table = DayTable::empty(self.days, count);
        for tile in 0..count.div_ceil(LANES) {
            let mut tally: DayTally<Lanes> = before.map(Lanes::splat);
            let mut lanes: Vec<Follower> =
                (0..LANES).map(|lane| Follower::new((tile * LANES + lane).min(count - 1), wind_log)).collect();
            for day in 0..self.days {
                for lane in &mut lanes {
                    lane.begin_day(self, tile, day);
                }
                for hour in 0..24 {
                    let at = day * 24 + hour;
                    // What is left of the start, and what the wind has made of it since.
                    let (start_c, grown) = ((off_c * left[at]) as f32, (1.0 - left[at]) as f32);
                    let (mut animals, mut coldest) = (Lanes::splat(0.0), Lanes::splat(0.0));
                    for (place, lane) in lanes.iter_mut().enumerate() {
                        let [a, c] = lane.hour(self, tile, place, at, grown);
                        animals.0[place] = a + start_c;
                        coldest.0[place] = c + start_c;
                    }
                    tally.hour(animals, coldest, hour == self.dawn_hour);
                }
                table.put_row(tile, day, &tally.end_day());
            }
        }
        table
    }
}

/// One member on its way along run and kept water.
struct Follower {
    member: usize,
    wind: [f32; 3],
    wind_log: f64,
    donor: usize,
    shift_c: f32,
    /// Difference of the member's water from its donor's, fading.
    off: [f32; 2],
    fade: f32,
    last: [f32; 2],
}

impl Follower {
    fn new(member: usize, wind_log: &[f64]) -> Follower {
        Follower {
            member,
            wind: [0.0; 3],
            wind_log: wind_log[member],
            donor: usize::MAX - 1,
            shift_c: 0.0,
            off: [0.0; 2],
            fade: 1.0,
            last: [0.0; 2],
        }
    }

    fn begin_day(&mut self, of: &Spliced, tile: usize, day: usize) {
        let donor = of.members.donor(self.member, day);
        let x = self.wind_log / of.winds.step_log;
        // Quadratic through the three winds, as weights on their waters, less the middle one.
        self.wind = [(0.5 * x * (x - 1.0)) as f32, (-x * x) as f32, (0.5 * x * (x + 1.0)) as f32];
        self.fade = units::exp(-1.0 / of.splice.memory_h) as f32;
        let shift_c = (donor.lasting_shift_c * of.splice.shift_share) as f32;
        let first_kept = day * 24 >= of.run.hours();
        let newly_kept = first_kept && (day - 1) * 24 < of.run.hours();
        let joined = donor.library_day != self.donor + 1;
        if first_kept && day > 0 && (joined || newly_kept) {
            // Where the member was an hour ago, against where its donor was then.
            let before = if newly_kept { run_hour(of, tile, self.member, day * 24 - 1) } else { self.last };
            let kept = of.winds.kept[1].at(donor.library_day.saturating_sub(1), 23);
            self.off = std::array::from_fn(|i| before[i] - kept[i] - shift_c);
        }
        self.shift_c = shift_c;
        self.donor = donor.library_day;
    }

    fn hour(&mut self, of: &Spliced, tile: usize, lane: usize, at: usize, grown: f32) -> [f32; 2] {
        let hour = at % 24;
        let middle = of.winds.kept[1].at(self.donor, hour);
        let own = if at < of.run.hours() {
            let (animals, coldest) = of.run.at(tile, at);
            [animals.0[lane], coldest.0[lane]]
        } else {
            self.off = self.off.map(|off| off * self.fade);
            std::array::from_fn(|i| middle[i] + self.shift_c + self.off[i])
        };
        self.last = own;
        if self.wind_log == 0.0 {
            return own;
        }
        let (low, high) = (of.winds.kept[0].at(self.donor, hour), of.winds.kept[2].at(self.donor, hour));
        std::array::from_fn(|i| {
            own[i] + grown * (self.wind[0] * low[i] + self.wind[1] * middle[i] + self.wind[2] * high[i])
        })
    }
}

fn run_hour(of: &Spliced, tile: usize, member: usize, at: usize) -> [f32; 2] {
    let (animals, coldest) = of.run.at(tile, at);
    let lane = member - tile * LANES;
    [animals.lane(lane) as f32, coldest.lane(lane) as f32]
}
