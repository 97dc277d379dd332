//! A pond's water through past years, laid on the days of the coming one.

use ensemble::{DayTable, HourTable, PondRun, SeasonsAir, Start, run};
use farm::PondCard;
use stock::DayTally;
use units::{Day, Watch};
use weather::{Climate, Library, SeasonWindow};

use super::{WARM_DAWN_C, WARM_MORNINGS};
use crate::lived::{ground, schedule};
use crate::past::{FarmPast, PastError};
use crate::ponds::PondModel;

/// The latest whole past years of a stretch of days.
pub(super) fn library(past: &FarmPast, from: Day, days: usize, most: usize) -> Result<Library, PastError> {
    let (_, month, day) = from.ymd();
    let window = SeasonWindow { month, day, n_days: days };
    let (mut whole, _) = Library::whole_seasons(&past.record, window);
    whole.drain(..whole.len().saturating_sub(most));
    past.hours_of(window, whole)
}

/// The pond's water under every past year, from the library's first day.
pub(super) fn water(
    card: &PondCard,
    model: &PondModel,
    climate: &Climate,
    library: &Library,
    from: Day,
    watch: &Watch,
) -> Option<HourTable> {
    let days = library.window().n_days;
    let seasons: Vec<usize> = (0..library.years().len()).collect();
    let ground = ground(climate, model);
    let schedule = schedule(card, model, &ground, from, days);
    let air_c = climate.mean_c(from);
    let start_c = [(0.0, 0.5 * (air_c.low + air_c.high) + 1.5)];
    let pond = PondRun {
        basin: &model.basin,
        schedule: &schedule,
        start: Start::Profile(&start_c, &ground, f64::from(from.day_of_year())),
        wind_factor: &vec![card.wind_factor.median; seasons.len()],
    };
    let air = SeasonsAir { library, seasons: &seasons };
    let (mut tables, _) = run(&[pond], &air, 24 * days, watch)?;
    tables.pop()
}

/// The pond's water of all past years, laid on the days of the coming one.
pub(super) struct Water {
    /// First day.
    pub from: Day,
    /// Hour by hour, a member for each past year.
    pub hours: HourTable,
    /// Hour of the day's coldest water.
    pub dawn_hour: usize,
}

impl Water {
    fn dawn_c(&self, member: usize, day: Day) -> f64 {
        let at = (day.0 - self.from.0).max(0) as usize * 24 + self.dawn_hour;
        self.hours.animals_c(member, at.min(self.hours.hours() - 1))
    }

    /// Share of past years whose dawns stayed warm from a day on.
    pub fn warm_chance(&self, on: Day) -> f64 {
        let members = self.hours.members();
        let is_warm =
            |member: &usize| (0..WARM_MORNINGS).all(|day| self.dawn_c(*member, on.plus(day as i32)) >= WARM_DAWN_C);
        (0..members).filter(is_warm).count() as f64 / members as f64
    }

    /// What animals that are stocked on a day meet, day by day.
    pub fn table(&self, on: Day, days: usize) -> DayTable {
        let members = self.hours.members();
        let mut table = DayTable::empty(days, members);
        let first = (on.0 - self.from.0) as usize * 24;
        for member in 0..members {
            // They come used to the pond's water: tempering is part of stocking.
            let mut tally = DayTally::new(self.hours.animals_c(member, first));
            for day in 0..days {
                for hour in 0..24 {
                    let at = first + 24 * day + hour;
                    tally.hour(
                        self.hours.animals_c(member, at),
                        self.hours.coldest_c(member, at),
                        hour == self.dawn_hour,
                    );
                }
                table.set_row(day, member, &tally.end_day());
            }
        }
        table
    }
}
