//! What the page of what falls due says. It reminds; it claims nothing to be satisfied.

use season::farm::facts::{Again, Due, Pack, months_on};
use units::Day;

use crate::figures::{date_year as day, stopped};
use crate::page_trace::word;

/// Name of the page.
pub const TITLE: &str = "What falls due";
/// What it is.
pub const LEAD: &str = "Your own days, as you wrote them down. This is a reminder: whether a permit is needed, held or satisfied, the office says.";
/// Nothing is written down.
pub const NONE: &str = "Nothing is written down yet";
/// What to do then.
pub const NONE_SAYS: &str = "Write down each permit, licence, inspection and tax day once, with the office to ask. Those near are shown in the morning.";
/// Way to an entry.
pub const ADD: &str = "Write one down";
/// Way to mend.
pub const MEND: &str = "It was done, or is another day";
/// Way to the calendar.
pub const TO_CALENDAR: &str = "Put them in a calendar (.ics)";
/// Head of what is done for good.
pub const OVER: &str = "Done, and not coming again";
/// Head of what is commonly asked.
pub const COMMON: &str = "What is commonly asked for";
/// Above that list.
pub const COMMON_SAYS: &str = "Common practice, not law where you are. Write down what your offices ask for.";
/// Head of the records.
pub const RECORDS: &str = "How long records are kept";
/// Below it.
pub const RECORDS_SAYS: &str = "US food law asks for a year for chilled and two for frozen product (21 CFR 123.9); records of trace for two years (memory). Your state, tax office or buyer may ask for longer. The program deletes nothing.";
/// In the morning.
pub const MORNING: &str = "Falls due";

/// What is commonly asked: the kind and where it is asked.
pub const ASKED: [(&str, &str); 8] = [
    ("stocking permit", "To bring in and keep this species: wildlife or agriculture office. Before the order is paid."),
    ("discharge permit", "To let pond water go: water office. Ask before the first drain; some want only a note."),
    (
        "processing licence",
        "Heading, packing, freezing: food safety office. A plan and a trained person may be asked for.",
    ),
    ("sales licence", "Selling at the bank, a market, to restaurants: health or agriculture office."),
    ("scale inspection", "A scale that is traded on: weights and measures office, commonly every year."),
    ("sales tax", "Permit and days of returns: tax office. Food may be exempt."),
    ("insurance", "Liability, product, crop: your insurer. Read what must be reported within how many days."),
    ("records", "Until when a season's papers are kept."),
];

/// A due's own name.
pub fn name(due: &Due) -> String {
    let kind = word("due_kind", &due.kind);
    due.name
        .as_deref()
        .map_or(kind.clone(), |name| if due.kind == "other" { name.to_owned() } else { format!("{kind}: {name}") })
}

/// The headline: what comes next.
pub fn headline(dues: &[Due], today: Day) -> String {
    let open: Vec<(&Due, Day)> = dues.iter().filter_map(|due| Some((due, due.next()?))).collect();
    let past = open.iter().filter(|(_, on)| *on < today).count();
    match (past, open.first()) {
        (0, Some((due, on))) => format!("Next: {}, {}", name(due), when(*on, today)),
        (1, Some((due, on))) => format!("{} was due {}", name(due), day(*on)),
        (n, Some(_)) => format!("{n} things were due before today"),
        (_, None) => NONE.to_owned(),
    }
}

/// A day, with how far it is.
pub fn when(on: Day, today: Day) -> String {
    let far = match on.0 - today.0 {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        -1 => "yesterday".to_owned(),
        n if n > 1 => format!("in {n} days"),
        n => format!("{} days ago", -n),
    };
    format!("{}, {far}", day(on))
}

/// What stands below one.
pub fn about(due: &Due) -> String {
    let mut said = Vec::new();
    said.push(match due.again {
        Again::Once => "Once".to_owned(),
        Again::Month => "Every month".to_owned(),
        Again::Quarter => "Every quarter".to_owned(),
        Again::Year => "Every year".to_owned(),
    });
    if let Some(office) = &due.office {
        said.push(format!("ask {office}"));
    }
    if let Some(done) = due.done_on {
        said.push(format!("done last {}", day(done)));
    }
    if let Some(note) = &due.note {
        said.push(note.clone());
    }
    stopped(said.join("; "))
}

/// One that is near, in the morning.
pub fn near(due: &Due, today: Day) -> Option<String> {
    let on = due.next()?;
    let office = due.office.as_deref().map_or(String::new(), |office| format!(" Ask {office}."));
    let said = if on < today {
        format!("{} was due {}.", name(due), day(on))
    } else {
        format!("{}: {}.", name(due), when(on, today))
    };
    Some(format!("{said}{office}"))
}

/// Until when records of what was packed are commonly kept; `None` when nothing was packed.
pub fn kept_until(packs: &[Pack]) -> Vec<(&'static str, String)> {
    let last = |frozen: bool| packs.iter().filter(|pack| pack.is_frozen == frozen).map(|pack| pack.packed).max();
    let rows = [
        ("Chilled, packed last", last(false), 12),
        ("Frozen, packed last", last(true), 24),
        ("Lots and buyers", packs.iter().map(|pack| pack.packed).max(), 24),
    ];
    rows.into_iter()
        .filter_map(|(what, last, months)| {
            let last = last?;
            Some((what, format!("{}: keep until {} at the least", day(last), day(months_on(last, months)))))
        })
        .collect()
}
