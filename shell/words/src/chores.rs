//! Work that comes round, in words.

use season::chores::{ChoreDue, PondDue, RhythmBy};
use season::farm::Chore;

use crate::figures::day_short;

/// Heading of what is due.
pub const DUE: &str = "Comes round today";
/// How it is come by.
pub const DUE_HINT: &str = "A tap on a pond says that it was done there now; readings and samples are typed. How often: as the farm's description says, else as the pond's own log \
    shows from four entries on, else common practice: tray and disk every 3 days, screens, nets and tests every 7, a sample and the banks every 14.";
/// The way to the entry with a time or a note of one's own; it also works without signal.
pub const OTHERWISE: &str = "Another time, a note, or no signal";
/// Takes a tap back.
pub const TAKE_BACK: &str = "Take it back";
/// It was taken back.
pub const TAKEN_BACK: &str = "Taken back: it stays readable in the log and counts no more.";
/// It could not be kept.
pub const NOT_DONE: &str = "Nothing was entered.";

/// What a tap has entered.
pub fn just_done(chore: Chore, pond: &str, at: &str) -> String {
    crate::figures::stopped(format!("{pond}: {}, {at}", short(chore).to_lowercase()))
}

/// The tap, for a reader who hears it alone.
pub fn done_now(chore: Chore, pond: &str) -> String {
    format!("{pond}: {}, just now", short(chore).to_lowercase())
}
/// Those that press less.
pub const MORE: &str = "More that comes round";
/// Done work shown at once.
pub const SHOWN: usize = 3;

/// What is to be done.
pub fn long(chore: Chore) -> &'static str {
    match chore {
        Chore::Tray => "Look at the feeding tray two hours after feeding",
        Chore::Screens => "Clean the screens of inlet and outlet",
        Chore::Nets => "Look over nets and lines against birds and turtles",
        Chore::Tests => "Test pH and ammonia between 3 and 5 in the afternoon",
        Chore::Secchi => "Read the Secchi disk near noon",
        Chore::Sample => "Weigh a sample",
        Chore::Mow => "Mow the banks",
    }
}

/// The same in the entry, when it is done.
pub fn short(chore: Chore) -> &'static str {
    match chore {
        Chore::Tray => "Tray looked at",
        Chore::Screens => "Screens cleaned",
        Chore::Nets => "Nets looked over",
        Chore::Tests => "Water tested",
        Chore::Secchi => "Disk read",
        Chore::Sample => "Sample weighed",
        Chore::Mow => "Banks mown",
    }
}

/// The caution that belongs to it.
pub fn care(chore: Chore) -> Option<&'static str> {
    match chore {
        Chore::Mow => Some("Mow along the slope, not over the water's edge; nobody in the mower's throw."),
        Chore::Screens => Some("Stop the flow first; keep arms and loose clothes away from pipes that draw."),
        _ => None,
    }
}

/// Since when, of the pond that waits longest, and how often it comes round there.
pub fn since(due: &ChoreDue) -> String {
    let Some(first) = due.ponds.first() else { return "not entered since stocking".to_owned() };
    let last = match first.last {
        Some(day) => format!("last entered {}", day_short(day).replace("  ", " ")),
        None => "not entered since stocking".to_owned(),
    };
    match first.by {
        RhythmBy::Usual => last,
        RhythmBy::OwnLog => format!("{last}; {}, as your log shows", every(first)),
        RhythmBy::Told => format!("{last}; {}, as you said", every(first)),
    }
}

fn every(due: &PondDue) -> String {
    match due.every_d {
        1 => "every day".to_owned(),
        days => format!("every {days} days"),
    }
}

/// A pond's way to the entry, for a reader who hears it alone.
pub fn tap(chore: Chore, pond: &str) -> String {
    format!("{pond}: {}", long(chore))
}

/// Where its entry is typed: the query of the entry page.
pub fn entry(chore: Chore, pond: &str) -> String {
    match (chore, chore.word()) {
        (_, Some(word)) => format!("kind=chore&pond={pond}&chore={word}"),
        (Chore::Sample, None) => format!("kind=sample&pond={pond}"),
        _ => format!("pond={pond}"),
    }
}

#[cfg(test)]
mod tests {
    use units::Day;

    use super::*;

    #[test]
    fn each_work_has_its_words_and_its_entry() {
        for chore in Chore::ALL {
            assert!(long(chore).len() > 10 && !short(chore).is_empty());
        }
        assert_eq!(entry(Chore::Nets, "heron"), "kind=chore&pond=heron&chore=nets");
        assert_eq!(
            (entry(Chore::Sample, "heron"), entry(Chore::Tests, "heron")),
            ("kind=sample&pond=heron".into(), "pond=heron".into())
        );
        let due = |last, every_d, by| ChoreDue {
            chore: Chore::Mow,
            ponds: vec![PondDue { index: 0, last, since_d: 20, every_d, by }],
        };
        let day = Day::parse("2011-09-08");
        assert_eq!(since(&due(day, 14, RhythmBy::Usual)), "last entered Thu 8 Sep");
        assert_eq!(since(&due(day, 5, RhythmBy::OwnLog)), "last entered Thu 8 Sep; every 5 days, as your log shows");
        assert_eq!(since(&due(None, 1, RhythmBy::Told)), "not entered since stocking; every day, as you said");
    }
}
