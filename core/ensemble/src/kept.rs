//! Water of past seasons, run once and used again.
//!
//! Model     a member follows its own water through the forecast and a settling time; then the kept water of the past season it
//!           has become, plus the difference between two runs of the pond's rough twin: under the member's air from its own
//!           start, and under the donor's. What the twin was off by at the splice fades with the pond's memory. Wind over the
//!           pond, which differs between members, comes in as the difference between seasons kept at three winds; a start
//!           that lies off the common one fades likewise
//! Units     °C, hours
//! Range     members whose hours are their donors' but for a shift of the air
//! Source    our own; the splice against the full run, cause by cause: docs/numerics/reuse.md
//! Left out  level and light that differ between a member's date and its donor's, but for what the twin sees of them

use stock::DayTally;
use units::{LANES, Lanes, Real};
use weather::Members;

use crate::daytable::DayTable;
use crate::hours::{HourTable, TileHours};

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

/// Members that pass over to kept water.
pub struct Followed<'a> {
    /// Hours that the kernel ran, from the common start.
    pub run: &'a HourTable,
    /// Kept water at the same wind.
    pub kept: &'a KeptWater,
    /// Hours of the members' twins, all days.
    pub twin: &'a HourTable,
    /// Kept water of the twin.
    pub twin_kept: &'a KeptWater,
    /// Who the members are.
    pub members: &'a Members,
    /// Hours in which a twin forgets its start, e-fold.
    pub memory_h: f64,
}

impl Followed<'_> {
    /// Hours of all days: those of the kernel, then kept water and what makes the twin differ from its own kept water.
    pub fn hours(&self) -> HourTable {
        let tiles = (0..self.run.tiles()).map(|tile| self.tile(tile)).collect();
        HourTable::new(self.run.members(), tiles)
    }

    fn tile(&self, tile: usize) -> TileHours {
        let (run_days, days) = (self.run.hours() / 24, self.twin.hours() / 24);
        let left = Lanes::splat(units::exp(-1.0 / self.memory_h));
        let mut hours = self.run.tile(tile).clone();
        hours.reserve(24 * days.saturating_sub(run_days));
        // How far the twin's answer was off in the last hour of the kernel.
        let mut off = match (run_days.checked_sub(1), hours.last()) {
            (Some(day), Some(last)) if run_days < days => {
                let told = self.hour(tile, &self.donors(tile, day), 24 * day + 23);
                std::array::from_fn(|i| last[i] - told[i])
            }
            _ => [Lanes::splat(0.0); 2],
        };
        for day in run_days..days {
            let donors = self.donors(tile, day);
            for at in 24 * day..24 * (day + 1) {
                off = off.map(|off| off * left);
                let told = self.hour(tile, &donors, at);
                hours.push(std::array::from_fn(|i| told[i] + off[i]));
            }
        }
        hours
    }

    /// Places of the donors' days in kept water.
    fn donors(&self, tile: usize, day: usize) -> [usize; LANES] {
        std::array::from_fn(|lane| {
            let member = (tile * LANES + lane).min(self.run.members() - 1);
            self.kept.place(self.members.donor(member, day).library_day)
        })
    }

    fn hour(&self, tile: usize, donors: &[usize; LANES], at: usize) -> [Lanes; 2] {
        let (animals, coldest) = self.twin.at(tile, at);
        let mut told = [animals, coldest];
        for (lane, donor) in donors.iter().enumerate() {
            let place = donor + at % 24;
            let (kept, twin) = (self.kept.hours[place], self.twin_kept.hours[place]);
            for (told, (kept, twin)) in told.iter_mut().zip(kept.into_iter().zip(twin)) {
                told.0[lane] += kept - twin;
            }
        }
        told
    }
}

/// One pond's water at a low, a middle and a high wind.
#[derive(Debug, Clone)]
pub struct WindLevels {
    /// Kept water at wind factors of exp(-`step_log`), 1 and exp(`step`) times the middle one.
    pub kept: [KeptWater; 3],
    /// Step of the logarithm between them.
    pub step_log: f64,
    /// The twin's at the middle wind.
    pub twin: KeptWater,
}

/// How a difference of start or wind fades in a pond.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Splice {
    /// Hours after which a difference has fallen to a third (e-fold).
    pub memory_h: f64,
}

/// What a table of days is put together from.
pub struct Spliced<'a> {
    /// Hours of all days at the middle wind, from the common start: [`Followed::hours`].
    pub run: &'a HourTable,
    /// Kept water.
    pub winds: &'a WindLevels,
    /// Who the members are.
    pub members: &'a Members,
    /// How differences fade.
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
            let winds: Vec<Winds> =
                (0..LANES).map(|lane| Winds::new(self, (tile * LANES + lane).min(count - 1), wind_log)).collect();
            for day in 0..self.days {
                for hour in 0..24 {
                    let at = day * 24 + hour;
                    // What is left of the start, and what the wind has made of it since.
                    let (start_c, grown) = (Lanes::splat(off_c * left[at]), (1.0 - left[at]) as f32);
                    let (mut animals, mut coldest) = self.run.at(tile, at);
                    for (lane, winds) in winds.iter().enumerate().filter(|(_, winds)| winds.blow) {
                        let [a, c] = winds.more(self, day, hour);
                        animals.0[lane] += grown * a;
                        coldest.0[lane] += grown * c;
                    }
                    tally.hour(animals + start_c, coldest + start_c, hour == self.dawn_hour);
                }
                table.put_row(tile, day, &tally.end_day());
            }
        }
        table
    }
}

/// One member's wind: a quadratic through the three winds, as weights on their waters, less the middle one.
struct Winds {
    member: usize,
    blow: bool,
    weights: [f32; 3],
}

impl Winds {
    fn new(of: &Spliced, member: usize, wind_log: &[f64]) -> Winds {
        let x = wind_log[member] / of.winds.step_log;
        let weights = [(0.5 * x * (x - 1.0)) as f32, (-x * x) as f32, (0.5 * x * (x + 1.0)) as f32];
        Winds { member, blow: x != 0.0, weights }
    }

    /// What the wind adds in the end, K.
    fn more(&self, of: &Spliced, day: usize, hour: usize) -> [f32; 2] {
        let place = of.winds.kept[1].place(of.members.donor(self.member, day).library_day) + hour;
        let [low, middle, high] = [0, 1, 2].map(|wind: usize| of.winds.kept[wind].hours[place]);
        std::array::from_fn(|i| self.weights[0] * low[i] + self.weights[1] * middle[i] + self.weights[2] * high[i])
    }
}
