//! Water of past seasons, run once and used again.
//!
//! Model     a member follows its own water through the forecast and a settling time; then the kept water of the past season it
//!           has become, plus what was left of their difference, which fades with the pond's memory
//! Units     °C, hours
//! Range     members that are their donors but for a lasting shift
//! Source    our own; the splice against the full run is measured in `docs/numerics/reuse.md` and held by a test
//! Left out  a lasting shift's effect on evaporation: the water is shifted as the air is

use crate::hours::HourTable;

/// Kept hours of one pond: one member for each season of the library, hours from the season's first midnight.
#[derive(Debug, Clone)]
pub struct KeptWater {
    /// Animals' water and coldest column by `[season][hour]`, °C.
    hours: Vec<[f32; 2]>,
    per_season: usize,
}

/// How a member passes over to kept water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Splice {
    /// Hours after which the difference has fallen to a third (e-fold).
    pub memory_h: f64,
    /// How much of a lasting shift of the air the water takes over.
    pub shift_share: f64,
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

    /// Hours kept of each season.
    pub fn hours_per_season(&self) -> usize {
        self.per_season
    }

    /// Animals' water and coldest column at an hour of a library day, °C; held at the season's last hour beyond it.
    pub fn at(&self, library_day: usize, hour: usize) -> [f64; 2] {
        let days = self.per_season / 24;
        let (season, day) = (library_day / days, library_day % days);
        let place = (day * 24 + hour).min(self.per_season - 1);
        self.hours[season * self.per_season + place].map(f64::from)
    }
}
