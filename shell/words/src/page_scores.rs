//! How good the mornings' forecasts were, in words: for the page and for the command line.

use season::scores::{BandsHeld, LeadScore, MORNINGS_ENOUGH, NEAR_DAWN_S, Pair, Scores};
use units::Day;

use crate::figures::{Manner, bare, day, day_short};

mod chances;

pub use chances::{CHANCE_HEADS, CHANCE_TABLE, chance_row, chances};

/// Title of the page, and the way there.
pub const TITLE: &str = "How good have we been";
/// The way there, below an answer.
pub const SEE: &str = "How good have these forecasts been?";
/// Heading above the dawns by days ahead.
pub const BY_LEAD: &str = "By days ahead";
/// Heading above the latest dawns.
pub const LATEST: &str = "The latest dawns, called the morning before";
/// Heading above the chances.
pub const BY_CHANCE: &str = "Chances, and what came of them";
/// Name of the table by days ahead.
pub const LEAD_TABLE: &str = "Called bottom water at dawn against the thermometer";
/// Column heads of that table.
pub const LEAD_HEADS: [&str; 5] = ["Days ahead", "Missed by", "Had it stayed", "Too warm by", "In the band"];
/// Name of the table of the latest dawns.
pub const LATEST_TABLE: &str = "What was called, and what the thermometer said";
/// Column heads of that table.
pub const LATEST_HEADS: [&str; 4] = ["Dawn", "Called", "Came", "In the band"];
/// Heading above how it is counted.
pub const HOW: &str = "How this is counted";
/// Stretches to choose from, for a screen reader.
pub const STRETCHES: &str = "Which mornings";
/// The season that runs.
pub const SINCE_STOCKING: &str = "Since stocking";
/// All that is kept.
pub const ALL: &str = "All that is kept";
/// All ponds together.
pub const ALL_PONDS: &str = "All ponds";
/// Ponds to choose from, for a screen reader.
pub const PONDS: &str = "Which pond";
/// What the chart of leads shows, for its title.
pub const LEAD_CHART: &str = "How far off the called dawns were, by days ahead";
/// Legend of the chart of leads.
pub const LEAD_LEGEND: &str =
    "Full line: how far the likely value missed. Broken line: had the water stayed as it was read that morning.";
/// Name of the axis of days.
pub const AXIS: &str = "days ahead";
/// What the chart of dawns shows, for its title.
pub const LATEST_CHART: &str = "The latest dawns: band called the morning before, and reading";
/// Legend of the chart of dawns.
pub const LATEST_LEGEND: &str = "Bar: the band called, its line the likely value. Dot: what the thermometer said.";
/// The rows as a file.
pub const ROWS: &str = "Every kept figure as a table (.csv)";
/// What is in it.
pub const ROWS_HINT: &str = "When it was made, by which version, for which pond, place, depth and hour, and its value.";
/// Not every morning is kept without a record.
pub const NOT_KEPT: &str = "The program was started without a record: no morning is kept.";
/// The sample farm has one morning.
pub const SAMPLE: &str = "The sample farm stands still at one morning, so nothing ever comes of what it called. On a farm of your own a \
    morning is kept each day.";

/// How it is counted.
pub fn counted() -> [String; 3] {
    [
        "The first answer of every morning is kept as it was reckoned, and once more when a weather forecast is brought in that day; the \
         last of the two is counted. What is kept is never changed, also when a later version of the program reckons otherwise."
            .to_owned(),
        format!(
            "A dawn counts once a thermometer or logger reading of that pond was taken within {} hours of it, at the drain end if there is \
             one: at dawn the water is mixed, so any depth will do. A mended reading counts as mended. Dawns that nobody read are missing \
             here, and if those were the cold ones, we look better than we were.",
            NEAR_DAWN_S / 3600
        ),
        "The chance of losing animals is kept as well, but not counted yet: deaths that are written down say too little of who lived."
            .to_owned(),
    ]
}

/// A difference of temperatures to a tenth.
fn apart(kelvin: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{:.1} °F", kelvin * 1.8),
        Manner::Metric => format!("{kelvin:.1} °C"),
    }
}

/// The same with its sign; what rounds to nothing has none.
fn signed(kelvin: f64, manner: Manner) -> String {
    let size = scale(kelvin.abs(), manner);
    if kelvin < 0.0 && !size.starts_with("0.0") { format!("\u{2212}{size}") } else { size }
}

/// A difference on the chart's scale.
pub fn scale(kelvin: f64, manner: Manner) -> String {
    format!("{}°", apart(kelvin, manner).split(' ').next().unwrap_or_default())
}

const SMALL: [&str; 11] = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

fn number(count: usize) -> String {
    SMALL.get(count).map_or_else(|| count.to_string(), |word| (*word).to_owned())
}

/// How many of several.
fn none_or(count: usize) -> String {
    if count == 0 { "none".to_owned() } else { number(count) }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn many(count: usize, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}

/// The headline. `kept`: mornings kept.
pub fn headline(scores: &Scores, kept: usize, manner: Manner) -> String {
    match scores.leads.first() {
        _ if kept == 0 => "No morning is kept yet: nothing can be told".to_owned(),
        Some(lead) if scores.are_enough() => {
            let which = match lead.lead_days {
                1 => "The next dawn was".to_owned(),
                days => format!("Dawns {days} days ahead were"),
            };
            format!("{which} called to within {} on average", apart(lead.off_k, manner))
        }
        _ if kept == 1 => "One morning so far: nothing can be told yet".to_owned(),
        _ => format!("{} mornings so far: nothing can be told yet", capital(&number(kept))),
    }
}

/// When too little is there: what is, and what is missing.
pub fn too_little(scores: &Scores, kept: usize) -> String {
    let kept = match kept {
        0 => "The first is kept as soon as it is reckoned.".to_owned(),
        1 => "One morning's forecast is kept.".to_owned(),
        n => format!("The forecasts of {} mornings are kept.", number(n)),
    };
    let read = match scores.dawns {
        0 => "No thermometer reading has been taken near a dawn that was called.".to_owned(),
        1 => "One dawn that was called has been read since.".to_owned(),
        n => format!("{} of the dawns that were called have been read since.", capital(&number(n))),
    };
    let enough = number(MORNINGS_ENOUGH);
    format!(
        "{kept} {read} From {enough} mornings and {enough} dawns on we say how good they were; fewer are one spell of weather. Read a \
         pond's thermometer near dawn, and the next morning's page has more to go by."
    )
}

/// What is kept: "8 mornings kept, from Wednesday 5 October to ..."; `None` for nothing.
pub fn kept(mornings: &[Day]) -> Option<String> {
    let (first, last) = (mornings.first()?, mornings.last()?);
    let kept = many(mornings.len(), "morning");
    Some(if first == last {
        format!("{kept} kept: {}.", day_of_year(*first))
    } else {
        format!("{kept} kept, from {} to {}.", day_of_year(*first), day_of_year(*last))
    })
}

/// A day with its year: what is kept may be of long ago.
fn day_of_year(on: Day) -> String {
    format!("{} {}", day(on), on.ymd().0)
}

/// Days from a morning to a dawn.
fn ahead(days: i32) -> String {
    if days == 1 { "a day ahead".to_owned() } else { format!("{days} days ahead") }
}

/// How far off the dawns of one lead were, beside water that stays.
fn off(lead: &LeadScore, manner: Manner) -> String {
    let side = match lead.too_warm_k {
        k if k.abs() < 0.05 => "neither too warm nor too cold on the whole".to_owned(),
        k if k > 0.0 => format!("{} too warm on the whole", apart(k, manner)),
        k => format!("{} too cold on the whole", apart(-k, manner)),
    };
    let missed = format!(
        "Of {} called {} and read since, the likely value missed by {} on average, and was {side}.",
        many(lead.count, "dawn"),
        ahead(lead.lead_days),
        apart(lead.off_k, manner)
    );
    let Some(beside) = lead.beside else { return missed };
    let stayed = apart(beside.stayed_off_k, manner);
    if beside.count == lead.count {
        format!("{missed} Had the water stayed as it was read that morning, it would have missed by {stayed}.")
    } else {
        format!(
            "{missed} Had the water stayed as it was read that morning, it would have missed by {stayed}; we missed by {} at the {} for \
             which both can be told.",
            apart(beside.off_k, manner),
            many(beside.count, "dawn")
        )
    }
}

/// Leads at which nothing was gained over water that stays.
fn worse(scores: &Scores) -> Option<String> {
    let is_worse = |lead: &&LeadScore| lead.beside.is_some_and(|beside| beside.off_k >= beside.stayed_off_k);
    let days: Vec<String> = scores.leads.iter().filter(is_worse).map(|lead| lead.lead_days.to_string()).collect();
    let (last, before) = days.split_last()?;
    let days = if before.is_empty() { last.clone() } else { format!("{} and {last}", before.join(", ")) };
    let unit = if days == "1" { "day" } else { "days" };
    Some(format!("At {days} {unit} ahead we were no nearer than water that stays as it was."))
}

/// Whether the bands held what they should.
fn bands(scores: &Scores) -> String {
    let [within, colder, warmer] = scores.held();
    let verdict = match scores.bands_held() {
        BandsHeld::TooFew => " That is too few to say whether the bands are right.",
        BandsHeld::TooFewWithin => " The bands were too narrow: trust them less than they look.",
        BandsHeld::TooManyWithin => " The bands were wider than they had to be.",
        BandsHeld::AsSaid => " That is no farther from 8 in 10 than chance allows.",
    };
    let side = match colder {
        0 => "",
        _ => " Water colder than the band is what costs animals: leave room for it when you choose a start.",
    };
    format!(
        "8 in 10 readings should lie within the band; {within} of {} did, {} came colder and {} warmer.{verdict}{side}",
        scores.count,
        none_or(colder),
        none_or(warmer)
    )
}

/// Mornings below which it is said how few they are.
const FEW: usize = 30;

/// The score of the dawns in sentences; none when too little is there.
pub fn sentences(scores: &Scores, manner: Manner) -> Vec<String> {
    let (Some(first), true) = (scores.leads.first(), scores.are_enough()) else { return Vec::new() };
    let mut said = vec![off(first, manner)];
    // The farthest lead that more than a few dawns speak for.
    if let Some(last) = scores.leads.iter().rfind(|lead| lead.count >= MORNINGS_ENOUGH.min(first.count))
        && last.lead_days != first.lead_days
    {
        said.push(off(last, manner));
    }
    said.extend(worse(scores));
    said.push(bands(scores));
    if scores.mornings < FEW {
        said.push(format!(
            "That rests on {} mornings. Neighbouring dawns are alike, so one cold front can still turn it.",
            number(scores.mornings)
        ));
    }
    said
}

/// A table's caption: its name and the unit of its figures.
pub fn caption(name: &str, manner: Manner) -> String {
    let unit = if manner == Manner::UsCustomary { "°F" } else { "°C" };
    format!("{name}, {unit}")
}

/// The chart of leads in a sentence.
pub fn leads_say(scores: &Scores, manner: Manner) -> String {
    let of = |lead: &LeadScore| format!("{} {}", apart(lead.off_k, manner), ahead(lead.lead_days));
    match (scores.leads.first(), scores.leads.last()) {
        (Some(first), Some(last)) if first != last => format!("Missed on average by {}, by {}.", of(first), of(last)),
        (Some(one), _) => format!("Missed on average by {}.", of(one)),
        _ => String::new(),
    }
}

/// The chart of the latest dawns in a sentence.
pub fn latest_say(latest: &[(String, Pair)]) -> String {
    let within = latest.iter().filter(|(_, pair)| is_within(pair)).count();
    let days: Vec<Day> = latest.iter().map(|(_, pair)| pair.called.dawn).collect();
    match (days.first(), days.last()) {
        (Some(first), Some(last)) => format!(
            "From {} to {}: {within} of {} readings lay within the band called the morning before.",
            day(*first),
            day(*last),
            latest.len()
        ),
        _ => String::new(),
    }
}

fn is_within(pair: &Pair) -> bool {
    (pair.called.water_c.low..=pair.called.water_c.high).contains(&pair.came_c)
}

/// A row of the table by days ahead.
pub fn lead_row(lead: &LeadScore, manner: Manner) -> [String; 5] {
    let stayed = lead.beside.map_or("not read".to_owned(), |beside| {
        let of = if beside.count == lead.count { String::new() } else { format!(" ({})", beside.count) };
        format!("{}{of}", scale(beside.stayed_off_k, manner))
    });
    [
        lead.lead_days.to_string(),
        scale(lead.off_k, manner),
        stayed,
        signed(lead.too_warm_k, manner),
        format!("{} of {}", lead.within, lead.count),
    ]
}

/// A row of the table of the latest dawns; `pond` where there are several.
pub fn latest_row(pond: Option<&str>, pair: &Pair, manner: Manner) -> [String; 4] {
    let (band, dawn) = (pair.called.water_c, day_short(pair.called.dawn));
    let side = match pair.came_c {
        c if c < band.low => "no, colder",
        c if c > band.high => "no, warmer",
        _ => "yes",
    };
    [
        pond.map_or(dawn.clone(), |pond| format!("{dawn}, {pond}")),
        format!("{}°, {} to {}", bare(band.middle, manner), bare(band.low, manner), bare(band.high, manner)),
        format!("{}°", bare(pair.came_c, manner)),
        side.to_owned(),
    ]
}

/// The command's whole answer for one farm.
pub fn told(farm: &str, stretch: &str, scores: &Scores, kept: usize, manner: Manner) -> String {
    let mut lines = vec![format!("{farm}, {}", stretch.to_lowercase()), format!("{}.", headline(scores, kept, manner))];
    lines.push(String::new());
    if scores.are_enough() {
        lines.extend(sentences(scores, manner));
        lines.extend(chances(scores));
    } else {
        lines.push(too_little(scores, kept));
    }
    if scores.count > 0 {
        lines.extend([String::new(), caption(LEAD_TABLE, manner)]);
        lines.push(LEAD_HEADS.map(|head| format!("{head:>16}")).join(""));
        let row = |lead: &LeadScore| lead_row(lead, manner).map(|cell| format!("{cell:>16}")).join("");
        lines.extend(scores.leads.iter().map(row));
    }
    lines.push(String::new());
    lines.extend(counted());
    format!("{}\n", lines.join("\n"))
}

/// The record does not hold the farm that was asked for.
pub fn no_farm(named: &str, known: &[String]) -> String {
    match known {
        [] => "The record holds no farm yet: a morning is kept once the pages are served.".to_owned(),
        known => format!("The record holds no farm {named}. It holds: {}.", known.join(", ")),
    }
}

/// The record knows no such stretch of mornings.
pub fn no_stretch(named: &str, known: &[String]) -> String {
    format!("--season {named}: choose one of {}.", known.join(", "))
}

#[cfg(test)]
mod tests;
