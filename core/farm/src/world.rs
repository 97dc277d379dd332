//! The world of a replay: how wrong its forecasts are and how far its hidden values may lie, read from a file.

use serde::Deserialize;

/// A world fixed before any policy is tried in it.
#[derive(Debug, Clone, PartialEq)]
pub struct World {
    /// Seed of all its draws.
    pub seed: u64,
    /// First and last year replayed.
    pub years: (i16, i16),
    /// Hidden draws for each year.
    pub draws_per_year: usize,
    /// Root mean square error of a daily mean forecast by lead in days, K.
    pub error_sd_c: Vec<f64>,
    /// Standard deviation of the timing of fronts at a lead of five days, h.
    pub timing_sd_h_at_5_days: f64,
    /// Standard deviation of the logarithm of a pond's wind factor.
    pub wind_factor_sd_log: f64,
    /// Standard deviation of the logarithm of the farm's growth factor.
    pub growth_factor_sd_log: f64,
    /// Standard deviation of the logarithm of a pond's death rate.
    pub hazard_sd_log: f64,
    /// Standard deviation of the tolerance of cold, K.
    pub cold_shift_sd_c: f64,
    /// Factors on the true forecast error, tried one at a time.
    pub true_error_factors: Vec<f64>,
    /// Factor on the true timing error, tried alone.
    pub true_timing_factor: f64,
    /// Members of the planner.
    pub members: usize,
}

/// Why a world file cannot be used.
#[derive(Debug, Clone, PartialEq)]
pub struct WorldError {
    /// Line, from 1, when it is known.
    pub line: Option<usize>,
    /// What the reader of the file's form says, or the name of the value out of range.
    pub detail: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Written {
    seed: u64,
    first_year: i16,
    last_year: i16,
    draws_per_year: usize,
    forecast: WrittenForecast,
    hidden: WrittenHidden,
    planner: WrittenPlanner,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenForecast {
    error_sd_c: Vec<f64>,
    timing_sd_h_at_5_days: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenHidden {
    wind_factor_sd_log: f64,
    growth_factor_sd_log: f64,
    hazard_sd_log: f64,
    cold_shift_sd_c: f64,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct WrittenPlanner {
    true_error_factors: Vec<f64>,
    true_timing_factor: f64,
    members: usize,
}

/// Reads a world file.
pub fn read_world(text: &str) -> Result<World, WorldError> {
    let written: Written = toml::from_str(text).map_err(|error| WorldError {
        line: error.span().map(|span| text[..span.start.min(text.len())].matches('\n').count() + 1),
        detail: error.message().to_owned(),
    })?;
    let world = World {
        seed: written.seed,
        years: (written.first_year, written.last_year),
        draws_per_year: written.draws_per_year,
        error_sd_c: written.forecast.error_sd_c,
        timing_sd_h_at_5_days: written.forecast.timing_sd_h_at_5_days,
        wind_factor_sd_log: written.hidden.wind_factor_sd_log,
        growth_factor_sd_log: written.hidden.growth_factor_sd_log,
        hazard_sd_log: written.hidden.hazard_sd_log,
        cold_shift_sd_c: written.hidden.cold_shift_sd_c,
        true_error_factors: written.planner.true_error_factors,
        true_timing_factor: written.planner.true_timing_factor,
        members: written.planner.members,
    };
    fault(&world).map_or(Ok(world), |detail| Err(WorldError { line: None, detail }))
}

fn fault(world: &World) -> Option<String> {
    let spreads = [
        ("forecast.timing_sd_h_at_5_days", world.timing_sd_h_at_5_days, 48.0),
        ("hidden.wind_factor_sd_log", world.wind_factor_sd_log, 2.0),
        ("hidden.growth_factor_sd_log", world.growth_factor_sd_log, 2.0),
        ("hidden.hazard_sd_log", world.hazard_sd_log, 3.0),
        ("hidden.cold_shift_sd_c", world.cold_shift_sd_c, 5.0),
        ("planner.true_timing_factor", world.true_timing_factor, 10.0),
    ];
    if let Some((name, value, most)) = spreads.into_iter().find(|(_, value, most)| !(0.0..=*most).contains(value)) {
        return Some(format!("{name} is {value}; it must lie between 0 and {most}"));
    }
    if world.error_sd_c.is_empty() || world.error_sd_c.iter().any(|sd| !(0.0..=20.0).contains(sd)) {
        return Some("forecast.error_sd_c needs at least one value, each from 0 to 20".to_owned());
    }
    if world.true_error_factors.is_empty()
        || world.true_error_factors.iter().any(|factor| !(0.0..=5.0).contains(factor))
    {
        return Some("planner.true_error_factors needs at least one value, each from 0 to 5".to_owned());
    }
    let counts = (1..=1000).contains(&world.draws_per_year) && (8..=4096).contains(&world.members);
    (!counts || world.years.0 > world.years.1)
        .then(|| "draws_per_year (1 to 1000), planner.members (8 to 4096) or the years are out of range".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    const WRITTEN: &str = include_str!("../../../checks/replay/world.toml");

    #[test]
    fn the_fixed_world_reads() {
        let world = read_world(WRITTEN).expect("the shipped world");
        assert_eq!(world.years, (1950, 2020));
        assert!(world.error_sd_c.windows(2).all(|pair| pair[0] <= pair[1]), "forecasts do not improve with lead");
    }

    #[test]
    fn a_wrong_world_is_refused_with_its_line_or_name() {
        let misspelt = WRITTEN.replace("cold_shift_sd_c ", "cold_shift_sd ");
        assert!(read_world(&misspelt).expect_err("an unknown key").line.is_some());
        let negative = WRITTEN.replace("hazard_sd_log = 0.60", "hazard_sd_log = -1.0");
        assert!(read_world(&negative).expect_err("a negative spread").detail.contains("hidden.hazard_sd_log"));
    }
}
