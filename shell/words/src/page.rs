//! What stands on every page, and what a page says when it has nothing to show.

use std::time::Duration;

use store::StoreError;

use crate::figures::span;

/// Stands before the day of a farm that is made up.
pub const INVENTED: &str = "Invented sample,";
/// The program's name.
pub const PROGRAM: &str = "warmspell";
/// Name of the list of farms.
pub const FARMS: &str = "Farms";
/// Ways between the pages, for a screen reader.
pub const WAYS: &str = "Pages of this farm";
/// To them, from the head.
pub const TO_WAYS: &str = "Pages";
/// The first page.
pub const MORNING: &str = "Morning";
/// The plan's page.
pub const PLAN: &str = "Harvest plan";
/// The log.
pub const LOG: &str = "Log";
/// The way to the sums.
pub const SUMS: &str = "Sums";
/// Files out and in.
pub const FILES: &str = "Files";
/// The set-up.
pub const SETUP: &str = "Set-up";
/// Who may enter.
pub const PEOPLE: &str = "People";
/// First link of a page, seen only by those who go by keys.
pub const SKIP: &str = "To the answer";
/// Back to the start.
pub const BACK: &str = "Back to the farm";
/// Title of a page that is not there.
pub const MISSING_TITLE: &str = "Nothing stands here";
/// What is said on it.
pub const MISSING: &str = "This address leads nowhere. The pond, farm or page may have been renamed.";
/// To a request for a name that is not this server's.
pub const STRANGE_HOST: &str =
    "This name is not known as one of this farm's. Open the page by the address shown where the program was started.";
/// To a post from another site.
pub const STRANGE_POST: &str =
    "This entry came from another site's page and was not taken. Open the farm's own page and try again.";
/// Title while the first answer is reckoned.
pub const WORKING_TITLE: &str = "Weighing the coming weeks";
/// Said meanwhile.
pub const WORKING: &str = "The first answer takes a few seconds. This page fetches it by itself.";
/// Title when nothing is left in the water.
pub const ALL_OUT_TITLE: &str = "Every pond is out";
/// Title when no answer can be given.
pub const TROUBLE_TITLE: &str = "This morning has no answer";

/// A newer answer came while something was being typed.
pub const NEWER: &str = "A newer answer is there; what you are typing was left alone.";
/// Shows it.
pub const SHOW_NEWER: &str = "Show the newer answer";
/// The farm's machine does not answer.
pub const AWAY: &str = "Out of reach: this page is as it was when it was last loaded.";

/// A link was pressed that cannot be followed without signal, on a page that could not be brought back.
pub const STAY: &str = "Out of reach: the next page cannot be loaded now, and this one would be lost. It was left open; try again with signal.";

/// A page's title for the window.
pub fn title(page: &str, farm: &str) -> String {
    format!("{page}: {farm}")
}

/// When the answer on the page was made.
pub fn reckoned(ago: Duration, working: bool) -> String {
    let ago_h = ago.as_secs_f64() / 3600.0;
    let when = match ago.as_secs() {
        0..120 => "just now".to_owned(),
        s @ 120..3600 => format!("{} minutes ago", s / 60),
        _ => format!("{} ago", span(ago_h)),
    };
    if working { format!("Reckoned {when}; a newer answer is on its way.") } else { format!("Reckoned {when}.") }
}

/// Above a page that was drawn before the program was started again.
pub fn before(ago: Duration, complete: bool) -> String {
    let since = if complete { "" } else { " What was written down since is not in it." };
    format!("This page is from before the program was started. {}{since}", reckoned(ago, true))
}

/// On every page while the record's file is damaged.
pub fn damaged(error: &StoreError, is_owner: bool) -> String {
    if !is_owner {
        return "The file that holds the farm's record is damaged. Tell the owner now. Go on writing on your phone: it keeps its entries for 30 days."
            .to_owned();
    }
    let what = match error {
        StoreError::Damaged(what) | StoreError::Other(what) => format!(" ({what})"),
        _ => String::new(),
    };
    format!(
        "The file that holds the record is damaged{what}. Bring the last backup back; phones then send again what was entered on them in the last 30 days. No backup is made of a damaged file."
    )
}
/// Above a form that could not be kept.
pub const TYPED_STANDS: &str =
    "What you typed stands below. Nothing of it is kept yet; press the button again once this is mended.";
/// The way to the backups.
pub const TO_FILES: &str = "To the files and backups";

#[cfg(test)]
mod tests {
    use store::StoreError;

    use super::*;

    #[test]
    fn an_answer_tells_its_age() {
        for (seconds, working, said) in [
            (3, false, "Reckoned just now."),
            (600, false, "Reckoned 10 minutes ago."),
            (7200, true, "Reckoned 2 hours ago; a newer answer is on its way."),
        ] {
            assert_eq!(reckoned(Duration::from_secs(seconds), working), said);
        }
    }

    #[test]
    fn a_damage_is_said_to_each_as_it_helps() {
        let damage = StoreError::Damaged("a page".to_owned());
        assert!(super::damaged(&damage, true).starts_with("The file that holds the record is damaged (a page). Bring"));
        assert!(super::damaged(&damage, false).contains("Tell the owner now"));
    }
}
