//! The page on past weather: a file is read before one's eyes, or the record that comes with the program is taken.

use std::collections::BTreeMap;
use std::sync::Arc;

use axum::extract::{Multipart, Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use farm::setup::{Draft, step as page_named};
use maud::{Markup, html};
use season::weather::HourlyForm;
use season::weather_report::{WeatherAsk, WeatherReport, WeatherSpan, weather_report};
use units::Zone;
use words::page_setup as say;

use super::place::{distance_km, place_of};
use super::step::{Shown, page};
use super::{drafts, next, opened};
use crate::pages::farms::refused;
use crate::pages::onward;
use crate::record::{Record, waiting};
use crate::shipped::{SHIPPED, file_of};
use crate::site::Site;

/// Most oddities shown.
const ODDITIES: usize = 60;

/// A file that was read: its name as the farm file knows it, its bytes.
type Brought = (String, Vec<u8>);

/// Reads the file of a form; `None` when none came.
pub async fn upload(mut form: Multipart) -> Option<Brought> {
    while let Ok(Some(part)) = form.next_field().await {
        if part.name() == Some("file") {
            let name = part.file_name().unwrap_or_default().to_owned();
            let bytes = part.bytes().await.ok()?;
            return (!bytes.is_empty()).then(|| (plain_name(&name), bytes.to_vec()));
        }
    }
    None
}

/// The last part of a path, in letters a file name may have everywhere.
fn plain_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or_default();
    let plain: String = last
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_') { c } else { '-' })
        .take(80)
        .collect();
    if plain.trim_matches(['.', '-']).is_empty() { "history.csv".to_owned() } else { plain }
}

/// A file was brought: it is kept under its digest and read; one that holds days of the past is taken.
pub async fn bring(State(site): State<Arc<Site>>, Path(farm): Path<String>, form: Multipart) -> Response {
    let brought = upload(form).await;
    let (record, mut open) = match opened(&site, &farm) {
        Ok(opened) => opened,
        Err(response) => return *response,
    };
    let Some(step) = page_named("weather") else { return onward("/farms") };
    let Some((name, bytes)) = brought else {
        let mut shown = Shown::new(Some(&farm), step, None, open.draft);
        shown.brought = Some(html! { p.wrong role="alert" { (say::WEATHER_EMPTY) } });
        return (StatusCode::UNPROCESSABLE_ENTITY, page(&site, &shown)).into_response();
    };
    let read = report(&open.draft, &name, &bytes);
    let is_taken = matches!(&read, Ok(report) if matches!(report.span, WeatherSpan::Days { .. }));
    let kept = waiting(|| {
        let digest = record.store().keep_blob("text/plain", &bytes, record.now_ms())?;
        let typed = BTreeMap::from([("name".to_owned(), name.clone()), ("photo".to_owned(), digest)]);
        drafts::keep(record, &farm, "farm_file", typed)?;
        if is_taken {
            open.draft.set("weather.history", &name);
            open.draft.set("weather.history_moved", "");
            drafts::keep_draft(record, &farm, &open.draft)?;
        }
        Ok(())
    });
    if let Err(error) = kept {
        return refused(&site, &error);
    }
    if is_taken {
        return onward(&format!("/f/{farm}/setup/weather"));
    }
    let mut shown = Shown::new(Some(&farm), step, None, open.draft);
    shown.brought = Some(html! { div.trouble role="alert" { (said(&name, read.as_ref())) } });
    (StatusCode::UNPROCESSABLE_ENTITY, page(&site, &shown)).into_response()
}

/// The shipped record is taken, turned round by half a year in the other hemisphere.
pub async fn take_shipped(State(site): State<Arc<Site>>, Path(farm): Path<String>) -> Response {
    let (record, mut open) = match opened(&site, &farm) {
        Ok(opened) => opened,
        Err(response) => return *response,
    };
    let Some(past) = site.shipped().and_then(|shipped| shipped.pasts.first()) else { return onward("/farms") };
    open.draft.set("weather.history", &format!("{SHIPPED}{}", past.name));
    open.draft.set("weather.history_moved", if is_south(&open.draft) { "182 days" } else { "" });
    match waiting(|| drafts::keep_draft(record, &farm, &open.draft)) {
        Ok(()) => onward(&page_named("weather").map_or_else(String::new, |step| next(&farm, step, None, &open.draft))),
        Err(error) => refused(&site, &error),
    }
}

fn is_south(draft: &Draft) -> bool {
    place_of(draft).is_some_and(|(north, _)| north < 0.0)
}

fn report(draft: &Draft, name: &str, bytes: &[u8]) -> Result<WeatherReport, String> {
    let zone = zone(draft);
    let form = HourlyForm { zone: Some(zone.clone()), label: None };
    weather_report(&WeatherAsk { bytes, name, form: &form, place: None, donors: None })
        .map_err(|refusal| words::weather::refusal(&refusal, &zone))
}

fn zone(draft: &Draft) -> Zone {
    Zone::parse(draft.get("place.time_zone")).unwrap_or_else(|_| Zone::utc())
}

/// What a file holds, what was odd in it and what was done; or why it cannot be read.
fn said(name: &str, read: Result<&WeatherReport, &String>) -> Markup {
    match read {
        Err(why) => html! { p { (name) ": " (why) "." } },
        Ok(report) => {
            let odd = words::weather::grouped(&report.findings, &report.zone, false);
            html! {
                p { (say::weather_read(name, report)) }
                @if !matches!(report.span, WeatherSpan::Days { .. }) { p { (say::WEATHER_NOT_DAYS) } }
                @if odd.is_empty() { p { (say::WEATHER_CLEAN) } } @else {
                    details { summary { (say::WEATHER_ODD) } ul.rest { @for line in odd.iter().take(ODDITIES) { li { (line) } } } }
                }
            }
        }
    }
}

/// How far the shipped record lies.
fn shipped_says(site: &Site, shown: &Shown) -> Option<String> {
    let past = site.shipped()?.pasts.first()?;
    let far = place_of(&shown.draft).map(|place| distance_km(place, (past.latitude_deg, past.longitude_deg)));
    Some(say::shipped(far, is_south(&shown.draft), shown.manner()))
}

/// What is in use.
fn standing(site: &Site, record: &Record, farm: &str, shown: &Shown) -> Markup {
    let history = shown.draft.get("weather.history");
    if history.is_empty() {
        return html! { p { (say::WEATHER_NONE) } };
    }
    if site.shipped().is_some_and(|shipped| shipped.past(history).is_some()) {
        return html! { p { (shipped_says(site, shown).unwrap_or_default()) } };
    }
    let bytes = waiting(|| {
        let own = record.own(farm)?;
        let Some(digest) = file_of(&own, history) else { return Ok(None) };
        record.store().blob(digest)
    });
    match bytes {
        Ok(Some((_, bytes))) => said(history, report(&shown.draft, history, &bytes).as_ref()),
        // The file lies beside the farm's own on this machine.
        Ok(None) if site.desk(farm).is_some() => html! { p { (history) } },
        Ok(None) => html! { p.wrong { (say::no_past(history)) } },
        Err(error) => html! { p.trouble { (words::store::error(record.store().path(), &error)) } },
    }
}

/// The page's forms.
pub fn form(site: &Site, shown: &Shown) -> Markup {
    let (Some(farm), Some(record)) = (&shown.farm, site.record()) else { return html! {} };
    html! {
        @if let Some(brought) = &shown.brought { (brought) }
        h2.small { (say::WEATHER_NOW) }
        div #e-weather-history tabindex="-1" { (standing(site, record, farm, shown)) }
        @if !shown.draft.get("weather.history").is_empty() {
            p.onward { a.button.main href=(next(farm, shown.step, None, &shown.draft)) { (say::GO_ON) } }
        }
        form.entry.setup-form method="post" enctype="multipart/form-data" action=(format!("/f/{farm}/setup/weather-file")) {
            div.field {
                label for="e-file" { (say::WEATHER_FILE) }
                input #e-file type="file" name="file" aria-describedby="h-file";
                p.hint #h-file { (say::WEATHER_SAYS) }
            }
            button type="submit" { (say::WEATHER_BRING) }
        }
        @if let Some(says) = shipped_says(site, shown).filter(|_| !shown.draft.get("weather.history").starts_with(SHIPPED)) {
            h2.small { (say::WEATHER_SHIPPED) }
            p { (says) }
            form.entry.setup-form method="post" action=(format!("/f/{farm}/setup/weather-shipped")) {
                button type="submit" class=[shown.draft.get("weather.history").is_empty().then_some("main")] { (say::WEATHER_TAKE) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::plain_name;

    #[test]
    fn names_of_files_lead_nowhere_else() {
        for (name, plain) in [
            ("history.csv", "history.csv"),
            ("C:\\data\\my file.csv", "my-file.csv"),
            ("../../etc/passwd", "passwd"),
            ("..", "history.csv"),
            ("", "history.csv"),
        ] {
            assert_eq!(plain_name(name), plain);
        }
    }
}
