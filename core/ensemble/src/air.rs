//! Where a tile's air comes from.

use pond::Air;
use units::{LANES, Lanes, Real};
use weather::{AirRow, Library, Members};

/// Air of sixteen members at a time, hour by hour. The same to the bit however members are grouped.
pub trait AirSource: Sync {
    /// How many members there are.
    fn members(&self) -> usize;
    /// Air of the sixteen members from `first` on; places past the last repeat it.
    fn air(&self, first: usize, hour: usize) -> Air<Lanes>;
}

/// The members of a morning.
pub struct MembersAir<'a> {
    /// The members.
    pub members: &'a Members,
    /// The library they were drawn from.
    pub library: &'a Library,
}

impl AirSource for MembersAir<'_> {
    fn members(&self) -> usize {
        self.members.len()
    }
    fn air(&self, first: usize, hour: usize) -> Air<Lanes> {
        as_air(&self.members.air_lanes(self.library, first, hour))
    }
}

/// Past seasons as they were: one member for each entry, which names a season of the library.
pub struct SeasonsAir<'a> {
    /// The library.
    pub library: &'a Library,
    /// Which season each member lives through.
    pub seasons: &'a [usize],
}

impl AirSource for SeasonsAir<'_> {
    fn members(&self) -> usize {
        self.seasons.len()
    }
    fn air(&self, first: usize, hour: usize) -> Air<Lanes> {
        let mut air: Air<Lanes> = Air::same(&Air {
            air_temp_c: 0.0,
            vapour_pressure_hpa: 0.0,
            wind_m_s: 0.0,
            shortwave_w_m2: 0.0,
            longwave_w_m2: 0.0,
            pressure_hpa: 0.0,
            rain_m: 0.0,
        });
        for lane in 0..LANES {
            let season = self.seasons[(first + lane).min(self.seasons.len() - 1)];
            let one = self.library.air(self.library.season(season).start + hour / 24, hour % 24);
            air.air_temp_c.set_lane(lane, one.air_temp_c);
            air.vapour_pressure_hpa.set_lane(lane, one.vapour_pressure_hpa);
            air.wind_m_s.set_lane(lane, one.wind_m_s);
            air.shortwave_w_m2.set_lane(lane, one.shortwave_w_m2);
            air.longwave_w_m2.set_lane(lane, one.longwave_w_m2);
            air.pressure_hpa.set_lane(lane, one.pressure_hpa);
            air.rain_m.set_lane(lane, one.rain_mm / 1000.0);
        }
        air
    }
}

fn as_air(row: &AirRow<Lanes>) -> Air<Lanes> {
    Air {
        air_temp_c: row.air_temp_c,
        vapour_pressure_hpa: row.vapour_pressure_hpa,
        wind_m_s: row.wind_m_s,
        shortwave_w_m2: row.shortwave_w_m2,
        longwave_w_m2: row.longwave_w_m2,
        pressure_hpa: row.pressure_hpa,
        rain_m: row.rain_mm * Lanes::splat(0.001),
    }
}
