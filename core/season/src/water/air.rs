//! The air of a basin: its weather file read by the basin's clock and made whole.

use farm::basin::{BasinFile, HourLabel};
use units::Instant;
use weather::{AirSeries, Finding, HourlyForm, Place, Read, Refusal, complete, read_hourly};

/// Hours without a hole, and all that was odd on the way.
pub type AirRead = Read<AirSeries>;

/// Reads hourly weather for a basin. A hole too long to fill is refused only when it lies between `from` and `to` (`None`: the
/// file's own ends); then the air is cut to that span.
///
/// # Errors
/// [`Refusal`] names the line and what stands in the way.
pub fn read_air(
    bytes: &[u8],
    basin: &BasinFile,
    from: Option<Instant>,
    to: Option<Instant>,
) -> Result<AirRead, Refusal> {
    let label = match basin.hour_label {
        HourLabel::Start => weather::HourLabel::Start,
        HourLabel::End => weather::HourLabel::End,
    };
    let form = HourlyForm { zone: Some(basin.zone.clone()), label: Some(label) };
    let record = read_hourly(bytes, &form)?;
    let place = Place {
        latitude_deg: basin.latitude_deg,
        longitude_deg: basin.longitude_deg,
        elevation_m: basin.elevation_m,
        zone: basin.zone.clone(),
    };
    let whole = match complete(&record.value, &place, None, None) {
        Err(Refusal::Hole { .. }) if from.is_some() || to.is_some() => {
            let span = (from.unwrap_or(record.value.start), to.unwrap_or_else(|| record.value.end()));
            complete(&record.value, &place, Some(span), None)?
        }
        whole => whole?,
    };
    let findings: Vec<Finding> = record.findings.into_iter().chain(whole.findings).collect();
    Ok(Read { value: whole.value, findings })
}
