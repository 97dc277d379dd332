//! What a run of one basin says: why it could not be done, and its scores as a table.

use farm::observed::{Place, Spot};
use season::water::{Dawn, Fit, LeadScore, PlaceScore, SpotScore, StartFrom, WaterAnswer, WaterError};
use units::Zone;

/// Why there is no answer, and what to do.
pub fn error(error: &WaterError, zone: &Zone, basin_file: &str) -> String {
    match error {
        WaterError::OutsideWeather { from, to, weather_from, weather_to } => format!(
            "the weather runs from {} to {}, but {} to {} was asked for. Shorten the span or bring more weather",
            zone.stamp(*weather_from),
            zone.stamp(*weather_to),
            zone.stamp(*from),
            zone.stamp(*to)
        ),
        WaterError::NothingBetween { from, to } => {
            format!("there is no hour between {} and {}. Check --from and --to", zone.stamp(*from), zone.stamp(*to))
        }
        WaterError::NoStart => format!(
            "{basin_file} has no start_profile_m_c and no readings give the start. Add start_profile_m_c = [[0, 20]], or --observed"
        ),
        WaterError::GroundUnknown { days } => format!(
            "the weather covers {days} days; the ground under the pond needs a year. Add ground_mean_c (the yearly mean of the \
             air and 1.5 °C more) and ground_half_range_c (half the yearly range of the water) to {basin_file}"
        ),
        WaterError::Shape(_) => {
            format!(
                "the figures of {basin_file} do not make a pond. Check lengths, widths, depths and bank slope against each other"
            )
        }
        WaterError::LevelTooHigh { level_m, most_m } => format!(
            "a level of {level_m:.2} m stands above the banks of {basin_file} ({most_m:.2} m). Correct level_m, or add to the depths"
        ),
        WaterError::NoColumn { most } => format!("a basin is cut into 1 to {most} columns. Correct --columns"),
        WaterError::NoThermometer { by } => {
            format!("--taught-by: the readings have no column {}. Name one of theirs", by.name())
        }
        WaterError::RestartWithoutReadings => {
            "restarting needs readings. Add --observed, or leave out --restart-every".to_owned()
        }
        WaterError::Stopped => "stopped as asked; nothing was written".to_owned(),
    }
}

/// Remarks on how the run was made.
pub fn remarks(answer: &WaterAnswer, basin_file: &str) -> Vec<String> {
    let mut remarks = Vec::new();
    if answer.start == StartFrom::Readings {
        remarks.push(format!("{basin_file}: no start_profile_m_c; the run starts from the first readings"));
    }
    if answer.ground_from_weather {
        remarks.push(format!(
            "{basin_file}: ground_mean_c {:.1} and ground_half_range_c {:.1} are taken from the weather's own years",
            answer.ground.mean_c, answer.ground.half_range_c
        ));
    }
    remarks
}

/// A depth asked for that lies under the floor.
pub fn under_the_floor(spot: &str, deepest_m: f64) -> String {
    format!(
        "{spot} lies under the floor ({deepest_m:.2} m down at the fullest): its column holds the water at the bottom"
    )
}

/// The scores as lines of a table for people.
pub fn table(answer: &WaterAnswer, dawn: Dawn) -> Vec<String> {
    let mut lines = Vec::new();
    if answer.spots.is_empty() {
        return lines;
    }
    lines.push(format!("Model less thermometer, °C; the first day is not counted; dawn is {}.", dawn_words(dawn)));
    lines.push(String::new());
    lines.push(format!(
        "{:<18}{:>8}{:>8}{:>7}   {:>8}{:>8}{:>7}",
        "where", "off by", "mean", "n", "at dawn", "mean", "n"
    ));
    lines.extend(answer.spots.iter().map(spot_line));
    lines.extend(answer.places.iter().map(|place| {
        format!("{:<18}{}   {}", format!("{}, all", place_words(place.place)), fit(place.all), fit(place.dawn_upper))
    }));
    lines.push("(the last columns of \"all\" rows: thermometers down to 1 m, each counted singly)".to_owned());
    for place in &answer.places {
        lines.extend(place_lines(place));
    }
    if !answer.leads.is_empty() {
        lines.push(String::new());
        lines.push(
            if answer.untaught.is_empty() {
                "Started again from the readings, mean of 0.25 to 1 m:"
            } else {
                "Started again from what one thermometer had taught, mean of 0.25 to 1 m:"
            }
            .to_owned(),
        );
        lines.push(format!(
            "{:<10}{:>11}{:>10}{:>26}{:>7}",
            "where", "days ahead", "off by", "if it stayed as it was", "n"
        ));
        lines.extend(answer.leads.iter().map(lead_line));
    }
    if !answer.untaught.is_empty() {
        lines.push("The same days from the run as it went on, untaught:".to_owned());
        lines.extend(answer.untaught.iter().map(lead_line));
    }
    lines
}

fn dawn_words(dawn: Dawn) -> String {
    match dawn {
        Dawn::Sun { .. } => "six o'clock by the sun".to_owned(),
        Dawn::Clock { second } => format!("{:02}:{:02} by the basin's clock", second / 3600, second / 60 % 60),
    }
}

/// A place in words.
pub fn place_words(place: Place) -> &'static str {
    match place {
        Place::Deep => "deep end",
        Place::Middle => "middle",
        Place::Shallow => "shallow end",
    }
}

fn spot_words(spot: Spot) -> String {
    format!("{} {} m", spot.place.name(), spot.depth_m)
}

fn fit(fit: Option<Fit>) -> String {
    match fit {
        Some(Fit { n, rmse_k, bias_k }) => format!("{rmse_k:>8.2}{bias_k:>+8.2}{n:>7}"),
        None => format!("{:>8}{:>8}{:>7}", "-", "-", 0),
    }
}

fn spot_line(score: &SpotScore) -> String {
    format!("{:<18}{}   {}", spot_words(score.spot), fit(score.all), fit(score.dawn))
}

fn place_lines(place: &PlaceScore) -> Vec<String> {
    let words = place_words(place.place);
    let mut lines = vec![String::new()];
    if let Some(range) = place.range {
        let ratio = range.modelled_k / range.observed_k;
        lines.push(format!(
            "{words}: the upper metre swings {:.1} °C a day, the model's {:.1} ({ratio:.2} times), over {} days",
            range.observed_k, range.modelled_k, range.days
        ));
    }
    for spell in &place.spells {
        let ratio = spell.modelled_fall_k / spell.observed_fall_k;
        lines.push(format!(
            "{words}: cool spell {} to {}: fell {:.1} °C, the model's {:.1} ({ratio:.2} times)",
            spell.from, spell.to, spell.observed_fall_k, spell.modelled_fall_k
        ));
    }
    if lines.len() == 1 { Vec::new() } else { lines }
}

fn lead_line(lead: &LeadScore) -> String {
    let rmse = |fit: Option<Fit>| fit.map_or("-".to_owned(), |fit| format!("{:.2}", fit.rmse_k));
    let n = lead.upper.map_or(0, |fit| fit.n);
    format!(
        "{:<10}{:>11}{:>10}{:>26}{n:>7}",
        lead.place.name(),
        lead.lead_days,
        rmse(lead.upper),
        rmse(lead.upper_persistence)
    )
}
