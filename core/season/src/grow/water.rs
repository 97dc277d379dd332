//! The course of the bottom water from a table of columns: hour by hour, short gaps bridged.

use farm::observed::{Observed, Place, Row, Spot, When};

use super::GrowError;

/// Longest gap that is bridged in a straight line, h. Bottom water has no daily course that a longer line would not cut off.
const BRIDGED_H: f64 = 6.0;

/// A column that stood for the bottom at its place.
pub type Bottom = Spot;

/// Water temperature hour by hour from the first reading.
pub(super) struct Course {
    pub hours_c: Vec<f64>,
    /// The deepest column of each place.
    pub columns: Vec<Bottom>,
    /// Whether the rows were daily means.
    pub daily: bool,
}

/// The mean over places of each place's deepest column. How much water each stands for is not in the file.
pub(super) fn course(observed: &Observed) -> Result<Course, GrowError> {
    let places = Place::ALL.iter().filter_map(|place| {
        let of_place = observed.spots.iter().enumerate().filter(|(_, spot)| spot.place == *place);
        of_place.max_by(|a, b| a.1.depth_m.total_cmp(&b.1.depth_m))
    });
    let (indices, columns): (Vec<usize>, Vec<Bottom>) = places.map(|(index, spot)| (index, *spot)).unzip();
    let mean_c = |row: &Row| {
        let seen: Vec<f64> = indices.iter().filter_map(|index| row.temps_c[*index]).collect();
        // A row with some places missing would jump to the others' level.
        (seen.len() == indices.len()).then(|| seen.iter().sum::<f64>() / seen.len() as f64)
    };
    let readings: Vec<(usize, When, f64)> =
        observed.rows.iter().filter_map(|row| mean_c(row).map(|temp_c| (row.line, row.when, temp_c))).collect();
    let daily = matches!(readings.first(), Some((_, When::MeanOf(_), _)));
    let hours_c = if daily { days_to_hours(&readings)? } else { instants_to_hours(&readings)? };
    Ok(Course { hours_c, columns, daily })
}

fn days_to_hours(readings: &[(usize, When, f64)]) -> Result<Vec<f64>, GrowError> {
    let mut hours_c = Vec::with_capacity(24 * readings.len());
    let mut before = None;
    for (line, when, temp_c) in readings {
        let When::MeanOf(day) = when else { return Err(GrowError::NoReadings) };
        if let Some(before) = before
            && day.0 - before != 1
        {
            return Err(GrowError::WaterGap { line: *line, hours: 24.0 * f64::from(day.0 - before - 1) });
        }
        before = Some(day.0);
        hours_c.extend([*temp_c; 24]);
    }
    Ok(hours_c)
}

fn instants_to_hours(readings: &[(usize, When, f64)]) -> Result<Vec<f64>, GrowError> {
    let mut points = Vec::with_capacity(readings.len());
    for (line, when, temp_c) in readings {
        let When::At(at) = when else { return Err(GrowError::NoReadings) };
        points.push((*line, at.0, *temp_c));
    }
    let Some(&(_, first_s, first_c)) = points.first() else { return Err(GrowError::NoReadings) };
    let mut hours_c = vec![first_c];
    for pair in points.windows(2) {
        let (_, from_s, from_c) = pair[0];
        let (line, to_s, to_c) = pair[1];
        let gap_h = (to_s - from_s) as f64 / 3600.0;
        if gap_h > BRIDGED_H {
            return Err(GrowError::WaterGap { line, hours: gap_h });
        }
        loop {
            let next_s = first_s + 3600 * hours_c.len() as i64;
            if next_s > to_s {
                break;
            }
            hours_c.push(from_c + (to_c - from_c) * (next_s - from_s) as f64 / (to_s - from_s) as f64);
        }
    }
    Ok(hours_c)
}
