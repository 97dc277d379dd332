//! What the record holds of a loss: entries, loggers, weather, photos of its days; and all of it as open files.

use farm::Farm;
use farm::facts::{Kept, Loss, current};
use store::{Asked, At, Quantity, StoreError};
use units::{Day, Instant};
use words::page_losses as say;

use crate::prints::{self, LossFile, LossPhoto};
use crate::record::Record;
use crate::served::Served;

/// Days before it was first seen, and after it was over, d.
const BEFORE_D: i32 = 7;
const AFTER_D: i32 = 3;
/// Days before it in which the last weights are looked for, d.
const WEIGHTS_D: i32 = 60;
/// Kinds of entry of a pond, or of the whole farm, that tell of a loss.
const KINDS: [&str; 14] = [
    "reading",
    "feed",
    "deaths",
    "predators",
    "aerator",
    "chore",
    "weather_note",
    "note",
    "treatment",
    "sample",
    "photo",
    "watch",
    "basket",
    "catch",
];

/// Everything of a loss.
///
/// # Errors
/// When the record cannot be read.
pub fn of_loss(record: &Record, facts: &Served, loss: Loss) -> Result<LossFile, StoreError> {
    let zone = &facts.farm.place.zone;
    let (first, last) = (loss.began.plus(-BEFORE_D), loss.ended.plus(AFTER_D));
    let span = (zone.instant(first, 0), zone.instant(last.plus(1), 0));
    let mut entries = Vec::new();
    for kind in KINDS {
        let asked = Asked { kind: Some(kind), from: Some(span.0), before: Some(span.1), ..Asked::default() };
        entries.extend(record.store().facts_linked(&facts.id, asked)?);
    }
    entries.retain(|kept| {
        let is_here = loss.pond.is_none() || kept.fact.pond().is_none() || kept.fact.pond() == loss.pond.as_deref();
        is_here && (span.0..span.1).contains(&kept.fact.happened.at)
    });
    entries.sort_by_key(|kept| (kept.fact.happened.at, kept.seq));
    record.with_names(&facts.id, &mut entries)?;
    // A record may run on beyond the morning that is asked about: what was not yet, nobody has seen.
    let last_seen = last.min(facts.on.plus(-1));
    let weather =
        facts.past.recorded(first, last_seen).into_iter().map(|day| (day.day, day.low_c, day.high_c)).collect();
    Ok(LossFile {
        weights: weights(record, facts, &loss)?,
        logged: logged(record, facts, &loss, span)?,
        photos: photos(record, &facts.farm, &loss, &entries, facts)?,
        waits: waits(record, facts, &loss, first)?,
        entries,
        weather,
        loss,
    })
}

/// The last weighing before it and what went into the pond, in words.
fn weights(record: &Record, facts: &Served, loss: &Loss) -> Result<Vec<String>, StoreError> {
    let zone = &facts.farm.place.zone;
    let before = zone.instant(loss.began.plus(1), 0);
    let from = zone.instant(loss.began.plus(-WEIGHTS_D), 0);
    let asked = Asked { kind: Some("sample"), from: Some(from), before: Some(before), ..Asked::default() };
    let found = record.store().facts_linked(&facts.id, asked)?;
    let mut said = Vec::new();
    for card in facts.farm.ponds.iter().filter(|card| loss.pond.as_deref().is_none_or(|pond| pond == card.id)) {
        said.push(words::page_losses::stocked(&card.name, card.stocking.count, card.stocking.on));
        let of_pond = |kept: &&Kept| kept.fact.pond() == Some(card.id.as_str());
        if let Some(last) = found.iter().filter(of_pond).max_by_key(|kept| kept.fact.happened.at) {
            let on = zone.day_and_second(last.fact.happened.at).0;
            said.push(words::page_losses::sampled(&card.name, on, &super::super::log::line(facts, &last.fact)));
        }
    }
    Ok(said)
}

/// Treatments of its ponds whose waiting days reach into its days or beyond, in words.
fn waits(record: &Record, facts: &Served, loss: &Loss, first: Day) -> Result<Vec<String>, StoreError> {
    let all = crate::pages::treated::entered(record, facts)?;
    let here = all.iter().filter(|one| loss.pond.as_deref().is_none_or(|pond| pond == one.pond));
    let reaching = here.filter(|one| one.wait_d > 0 && first < one.free_from() && one.on <= loss.ended.plus(AFTER_D));
    let name = |id: &str| facts.farm.ponds.iter().find(|card| card.id == id).map_or(id, |card| &card.name).to_owned();
    Ok(reaching.map(|one| say::waits(&name(&one.pond), one)).collect())
}

/// Loggers' readings: pond, what, place, depth in m, when, value.
fn logged(
    record: &Record,
    facts: &Served,
    loss: &Loss,
    span: (Instant, Instant),
) -> Result<Vec<prints::LoggedRow>, StoreError> {
    let mut rows = Vec::new();
    for spot in record.store().logged_spots(&facts.id)? {
        if loss.pond.as_deref().is_some_and(|pond| pond != spot.pond) {
            continue;
        }
        let at = At {
            farm: &facts.id,
            pond: &spot.pond,
            quantity: spot.quantity,
            place: &spot.place,
            depth_m: spot.depth_m,
        };
        let what = match spot.quantity {
            Quantity::Temperature => "temperature_c",
            Quantity::Oxygen => "oxygen_mg_l",
            _ => "other",
        };
        let read = record.store().readings(at, span)?;
        rows.extend(read.into_iter().map(|(at, value)| prints::LoggedRow {
            pond: spot.pond.clone(),
            what,
            place: spot.place.clone(),
            depth_m: spot.depth_m,
            at,
            value,
        }));
    }
    Ok(rows)
}

fn photos(
    record: &Record,
    farm: &Farm,
    loss: &Loss,
    entries: &[Kept],
    facts: &Served,
) -> Result<Vec<LossPhoto>, StoreError> {
    let own = loss.photo.iter().map(|digest| (digest.clone(), say::headline(loss, farm)));
    // Each photo once, with the note that holds; one that was struck out was taken by mistake.
    let holding = current(entries);
    let of_entries =
        holding.iter().filter_map(|entry| entry.settled()).filter(|kept| kept.fact.kind == "photo").filter_map(
            |kept| {
                let digest = kept.fact.text("photo")?.to_owned();
                let when = say::entry_at(kept, &farm.place.zone, facts.manner);
                Some((digest, format!("{when} {}", kept.fact.text("note").unwrap_or_default()).trim().to_owned()))
            },
        );
    let mut all = Vec::new();
    for (digest, says) in own.chain(of_entries) {
        if let Some((media, bytes)) = record.store().blob(&digest)? {
            all.push(LossPhoto { digest, says, media, bytes });
        }
    }
    Ok(all)
}

/// All of it as files in one folder, packed.
///
/// # Errors
/// Why it could not be packed, in words.
pub fn bundle(facts: &Served, file: &LossFile) -> Result<Vec<u8>, String> {
    let zone = &facts.farm.place.zone;
    let stamp = |at: Instant| zone.stamp(at);
    let mut entries =
        vec![["seq", "id", "kind", "utc_s", "local", "by", "corrects", "typed"].map(str::to_owned).to_vec()];
    for kept in &file.entries {
        let typed: Vec<String> = kept.fact.typed.iter().map(|(name, text)| format!("{name}={text}")).collect();
        entries.push(vec![
            kept.seq.to_string(),
            kept.fact.id.clone(),
            kept.fact.kind.clone(),
            kept.fact.happened.at.0.to_string(),
            stamp(kept.fact.happened.at),
            kept.fact.person.clone(),
            kept.fact.corrects.clone().unwrap_or_default(),
            typed.join("; "),
        ]);
    }
    let mut loggers = vec![["pond", "what", "place", "depth_m", "utc_s", "local", "value"].map(str::to_owned).to_vec()];
    loggers.extend(file.logged.iter().map(|row| {
        vec![
            row.pond.clone(),
            row.what.to_owned(),
            row.place.clone(),
            row.depth_m.to_string(),
            row.at.0.to_string(),
            stamp(row.at),
            row.value.to_string(),
        ]
    }));
    let mut weather = vec![["day", "low_c", "high_c"].map(str::to_owned).to_vec()];
    let of_day = |(on, low, high): &(Day, f64, f64)| vec![on.to_string(), low.to_string(), high.to_string()];
    weather.extend(file.weather.iter().map(of_day));
    let pdf = prints::loss_file(&facts.farm, file, facts.manner);
    let mut files = vec![
        ("README.txt".to_owned(), say::README.as_bytes().to_vec()),
        ("entries.csv".to_owned(), prints::csv(&entries)),
        ("loggers.csv".to_owned(), prints::csv(&loggers)),
        ("weather.csv".to_owned(), prints::csv(&weather)),
        ("loss.pdf".to_owned(), pdf.pdf().map_err(|_| words::page_print::NOT_MADE.to_owned())?),
    ];
    for (at, photo) in file.photos.iter().enumerate() {
        let ending = photo.media.rsplit('/').next().unwrap_or("bin").replace("jpeg", "jpg");
        files.push((
            format!("photos/{:02}-{}.{ending}", at + 1, &photo.digest[..8.min(photo.digest.len())]),
            photo.bytes.clone(),
        ));
    }
    sheets::bundle(&files)
}
