//! Towns that come with the program: where a farm is, how high, and by which clock; and a slipped sign caught.

use farm::inputs::NOT_KNOWN;
use farm::setup::{Draft, Step};
use units::Day;
use units::measure::{self, Kind};
use words::figures::Manner;
use words::page_setup as say;

use super::step::Shown;
use super::{Fields, field};
use crate::site::Site;

/// A town.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Town<'a> {
    /// Two letters.
    pub country: &'a str,
    /// State; empty outside the United States.
    pub region: &'a str,
    /// Name in plain letters.
    pub name: &'a str,
    /// Degrees north, as written.
    pub latitude: &'a str,
    /// Degrees east, as written.
    pub longitude: &'a str,
    /// Metres above the sea.
    pub elevation_m: &'a str,
    /// Its clock.
    pub zone: &'a str,
}

/// Most towns offered.
const OFFERED: usize = 8;
/// Farther than this from every town, nothing is taken from one, km.
const NO_TOWN_KM: f64 = 600.0;
/// Farther than this from every town, and its mirror image nearer than that to one, a sign may have slipped, km.
const LONELY_KM: (f64, f64) = (150.0, 100.0);
/// A town's height is taken for a farm this near, km.
const SAME_HEIGHT_KM: f64 = 60.0;
/// Mean radius of the earth, km.
const EARTH_KM: f64 = 6371.0;
/// Money of countries where prawns are grown in ponds.
const MONEY: [(&str, &str); 16] = [
    ("US", "USD"),
    ("BR", "BRL"),
    ("MX", "MXN"),
    ("TH", "THB"),
    ("IN", "INR"),
    ("VN", "VND"),
    ("BD", "BDT"),
    ("ID", "IDR"),
    ("CN", "CNY"),
    ("JP", "JPY"),
    ("AU", "AUD"),
    ("ZA", "ZAR"),
    ("PR", "USD"),
    ("TW", "TWD"),
    ("EC", "USD"),
    ("IL", "ILS"),
];

/// Every town of the table.
pub fn towns(site: &Site) -> impl Iterator<Item = Town<'_>> {
    let table = site.shipped().map_or("", |shipped| shipped.places);
    table.lines().filter(|line| !line.starts_with('#')).skip(1).filter_map(|line| {
        let mut parts = line.split(',');
        let mut next = || parts.next();
        Some(Town {
            country: next()?,
            region: next()?,
            name: next()?,
            latitude: next()?,
            longitude: next()?,
            elevation_m: next()?,
            zone: next()?,
        })
    })
}

impl Town<'_> {
    fn distance_km(&self, latitude_deg: f64, longitude_deg: f64) -> f64 {
        let of = |text: &str| text.parse::<f64>().unwrap_or(f64::NAN);
        distance_km((of(self.latitude), of(self.longitude)), (latitude_deg, longitude_deg))
    }
}

/// Along the great circle.
pub fn distance_km(one: (f64, f64), other: (f64, f64)) -> f64 {
    let (north, east) = ((other.0 - one.0).to_radians(), (other.1 - one.1).to_radians());
    let half = (north / 2.0).sin().powi(2)
        + one.0.to_radians().cos() * other.0.to_radians().cos() * (east / 2.0).sin().powi(2);
    2.0 * EARTH_KM * half.sqrt().clamp(0.0, 1.0).asin()
}

fn nearest<'a>(site: &'a Site, place: (f64, f64)) -> Option<(f64, Town<'a>)> {
    towns(site).map(|town| (town.distance_km(place.0, place.1), town)).min_by(|one, other| one.0.total_cmp(&other.0))
}

/// The place as typed, in degrees.
pub fn place_of(draft: &Draft) -> Option<(f64, f64)> {
    let north = measure::read(draft.get("place.latitude"), Kind::Latitude, None).ok()?;
    Some((north, measure::read(draft.get("place.longitude"), Kind::Longitude, None).ok()?))
}

/// Towns whose name begins with, or else holds, what was typed; `Pickens, SC` narrows to the state.
pub fn found<'a>(site: &'a Site, typed: &str) -> Vec<(usize, Town<'a>)> {
    let plain = typed.trim().to_lowercase();
    let (name, region) = plain.split_once(',').map_or((plain.as_str(), ""), |(name, rest)| (name.trim(), rest.trim()));
    if name.is_empty() {
        return Vec::new();
    }
    let fits = |town: &Town| {
        region.is_empty() || town.region.to_lowercase() == region || town.country.to_lowercase() == region
    };
    let of = |test: fn(&str, &str) -> bool| {
        towns(site).enumerate().filter(move |(_, town)| fits(town) && test(&town.name.to_lowercase(), name))
    };
    let mut found: Vec<(usize, Town)> = of(|town, name| town == name).collect();
    for more in
        [of(|town, name| town.starts_with(name)).collect::<Vec<_>>(), of(|town, name| town.contains(name)).collect()]
    {
        found
            .extend(more.into_iter().filter(|(at, _)| !found.iter().any(|(other, _)| other == at)).collect::<Vec<_>>());
    }
    found.truncate(OFFERED);
    found
}

/// What a new draft begins with.
pub fn fill_in(site: &Site, draft: &mut Draft) {
    if let Some(end) = usual_end(site, draft).filter(|_| draft.get("season.last_catch").is_empty()) {
        draft.set("season.last_catch", &end);
    }
}

/// The season's end that is filled in: cold ends it in autumn, of either hemisphere.
pub fn usual_end(site: &Site, draft: &Draft) -> Option<String> {
    let now_ms = site.record().map_or(0, crate::record::Record::now_ms);
    let today = site
        .shipped()
        .and_then(|shipped| shipped.on)
        .unwrap_or(Day(i32::try_from(now_ms.div_euclid(86_400_000)).unwrap_or(0)));
    let south = place_of(draft).is_some_and(|(north, _)| north < 0.0);
    let (month, day) = if south { (4, 30) } else { (10, 31) };
    let year = today.ymd().0;
    let ends = [year, year + 1].into_iter().filter_map(|year| Day::new(year, month, day)).find(|end| *end > today);
    ends.map(|end| end.to_string())
}

/// What the page of the place does beyond its fields: finds towns, takes one, fills in what follows from the place.
pub fn take(site: &Site, shown: &mut Shown, before: &Draft, fields: &Fields) {
    field(fields, "town_name").trim().clone_into(&mut shown.town);
    let act = field(fields, "do");
    let draft = &mut shown.draft;
    // Maps give both in one.
    if let Some((north, east)) =
        draft.get("place.latitude").split_once(',').filter(|_| draft.get("place.longitude").is_empty())
    {
        let (north, east) = (north.trim().to_owned(), east.trim().to_owned());
        draft.set("place.latitude", &north);
        draft.set("place.longitude", &east);
    }
    forget(site, draft, before);
    if let Some(at) = act.strip_prefix("town:").and_then(|at| at.parse::<usize>().ok()) {
        if let Some(town) = towns(site).nth(at) {
            draft.set("place.latitude", &half(town.latitude, "N", "S"));
            draft.set("place.longitude", &half(town.longitude, "E", "W"));
            draft.set("place.elevation", &height(&town));
            draft.set("place.time_zone", town.zone);
            money(draft, &town);
        }
    } else if act == "find" {
        shown.towns = Some(found(site, &shown.town).into_iter().map(|(at, _)| at).collect());
    }
    if let Some((km, town)) =
        place_of(&shown.draft).and_then(|place| nearest(site, place)).filter(|near| near.0 <= NO_TOWN_KM)
    {
        let draft = &mut shown.draft;
        if draft.get("place.time_zone").is_empty() {
            draft.set("place.time_zone", town.zone);
        }
        if draft.get("place.elevation").is_empty() && km <= SAME_HEIGHT_KM {
            draft.set("place.elevation", &height(&town));
        }
        money(draft, &town);
    }
    if act.is_empty() {
        shown.draft.guess_open("place", &["elevation"]);
    }
    fill_in(site, &mut shown.draft);
}

/// A town's height in its people's own unit.
fn height(town: &Town) -> String {
    match town.elevation_m.parse::<f64>() {
        Ok(metres) if town.country == "US" => format!("{:.0} ft", metres / 0.3048),
        _ => format!("{} m", town.elevation_m),
    }
}

/// What followed from a place that was changed follows no longer, unless it was changed by hand.
fn forget(site: &Site, draft: &mut Draft, before: &Draft) {
    let places = (place_of(before), place_of(draft));
    let (Some(was), true) = (places.0, places.0 != places.1) else { return };
    let Some((_, town)) = nearest(site, was) else { return };
    let money = MONEY.iter().find(|(country, _)| *country == town.country).map_or("", |(_, money)| *money);
    for (at, followed) in [
        ("place.time_zone", town.zone),
        ("place.elevation", &height(&town)),
        ("place.elevation", NOT_KNOWN),
        ("farm.currency", money),
    ] {
        if draft.get(at) == followed && before.get(at) == followed {
            draft.set(at, "");
        }
    }
}

fn money(draft: &mut Draft, town: &Town) {
    if let Some((_, money)) = MONEY.iter().find(|(country, _)| *country == town.country)
        && draft.get("farm.currency").is_empty()
    {
        draft.set("farm.currency", money);
    }
}

fn half(degrees: &str, plus: &str, minus: &str) -> String {
    match degrees.strip_prefix('-') {
        Some(size) => format!("{size} {minus}"),
        None => format!("{degrees} {plus}"),
    }
}

/// Whether the place was typed rather than taken from a town.
pub fn is_typed(site: &Site, draft: &Draft) -> bool {
    place_of(draft).and_then(|place| nearest(site, place)).is_some_and(|(km, _)| km > 0.01)
}

/// Where the place lies; of one far from every town whose mirror image is near one, that a sign was slipped.
pub fn lies(site: &Site, step: &Step, draft: &Draft, manner: Manner) -> Option<(String, String)> {
    let (north, east) = place_of(draft).filter(|_| step.id == "place")?;
    let (km, town) = nearest(site, (north, east))?;
    let name = |town: &Town| say::town(town.name, town.region, town.country);
    let images = [
        ((north, -east), "place.longitude", if east > 0.0 { "W" } else { "E" }),
        ((-north, east), "place.latitude", if north > 0.0 { "S" } else { "N" }),
    ];
    let slipped = images.into_iter().filter(|_| km > LONELY_KM.0).find_map(|(place, at, wanted)| {
        let (far_km, near) = nearest(site, place)?;
        (far_km <= LONELY_KM.1).then(|| (at.to_owned(), say::mirrored(&name(&town), km, &name(&near), wanted, manner)))
    });
    Some(slipped.unwrap_or_else(|| {
        ("place.longitude".to_owned(), say::near(&name(&town), km, draft.get("place.time_zone"), manner))
    }))
}

#[cfg(test)]
mod tests {
    use super::distance_km;

    #[test]
    fn distances_are_those_of_the_great_circle() {
        // Source: a degree of the meridian on a sphere of 6371 km is 111.19 km; a quarter of it is 10,007.5 km.
        for (one, other, km) in
            [((0.0, 0.0), (1.0, 0.0), 111.19), ((0.0, 0.0), (0.0, 90.0), 10_007.5), ((35.0, -83.0), (35.0, -83.0), 0.0)]
        {
            assert!((distance_km(one, other) - km).abs() < 0.05, "{one:?} {other:?}");
        }
    }
}
