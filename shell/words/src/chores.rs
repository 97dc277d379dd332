//! Work that comes round, in words.

use season::chores::{ChoreDue, PondDue};
use season::farm::Chore;

use crate::figures::day_short;

/// Heading of what is due.
pub const DUE: &str = "Comes round today";
/// How it is come by.
pub const DUE_HINT: &str = "A tap opens the entry; kept, it is done. Rhythms are common practice: tray and disk every 3 days, screens, nets and tests every 7, a sample and \
    the banks every 14.";
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

/// Since when, of the pond that waits longest.
pub fn since(due: &ChoreDue) -> String {
    match due.ponds.first() {
        Some(PondDue { last: Some(day), .. }) => format!("last entered {}", day_short(*day).replace("  ", " ")),
        _ => "not entered since stocking".to_owned(),
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
        let due = |last| ChoreDue { chore: Chore::Mow, ponds: vec![PondDue { index: 0, last, since_d: 20 }] };
        assert_eq!(since(&due(Day::parse("2011-09-08"))), "last entered Thu 8 Sep");
        assert_eq!(since(&due(None)), "not entered since stocking");
    }
}
