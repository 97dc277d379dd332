//! Who may enter: the people of a farm, their phones, the way in, and what a refusal says.

use store::Role;
use units::{Instant, Zone};

use crate::figures::{Manner, stopped};
use crate::page_log::moment;

/// Name of the page.
pub const PEOPLE: &str = "People and phones";
/// What it is for.
pub const PEOPLE_HINT: &str = "This machine is open to whoever sits before it. A phone must be let in once, by a number that you show to whoever carries it. Crew see the morning and the ponds and write in the log; what a pond brings, prices, the plan, the farm's description, files and this page are the owner's.";
/// The people.
pub const WHO: &str = "People";
/// Nobody yet.
pub const NO_ONE: &str = "Nobody has been added yet.";
/// Shows a code.
pub const SHOW_CODE: &str = "Let in a phone";
/// Lets a person go.
pub const LET_GO: &str = "No longer works here";
/// The phones.
pub const PHONES: &str = "Phones that may enter";
/// None yet.
pub const NO_PHONES: &str = "No phone has been let in.";
/// Ends it.
pub const END_PHONE: &str = "End this phone's access";
/// What that does.
pub const END_HINT: &str =
    "A phone whose access ends keeps what was typed on it and not yet sent, and sends it when it is let in again.";
/// A phone's name.
pub const PHONE_NAME: &str = "Name of the phone";
/// Keeps it.
pub const KEEP_NAME: &str = "Keep the name";
/// Adds a person.
pub const ADD: &str = "Add a person";
/// Their name.
pub const NAME: &str = "Name";
/// What they may do.
pub const ROLE: &str = "May do";
/// Adds them and shows a code.
pub const ADD_NOW: &str = "Add, and let in a phone";
/// No name was typed.
pub const NAME_MISSING: &str = "Type the person's name, 40 letters at most";
/// The name is there already.
pub const NAME_TAKEN: &str = "Somebody of this name is on the list. Add a letter or a second name to tell them apart";
/// Summary of what is wrong.
pub const LOOK_AGAIN: &str = "Not kept yet. Look again at:";
/// Title of the page with the code.
pub const CODE: &str = "Let in a phone";
/// Beside the square.
pub const SCAN: &str =
    "Point the phone's camera at the square and open what it offers. The phone must be on the farm's own network.";
/// What the square is, for those who do not see it.
pub const QR: &str = "A square code that holds the address and the number below";
/// Otherwise.
pub const OR_TYPE: &str = "Or open this address on the phone and type the number:";
/// No other device can reach the program.
pub const NOT_REACHED: &str = "No phone can reach this machine yet: the program listens to this machine alone. Start it again with --address 0.0.0.0:8337, on a network you trust.";
/// Back.
pub const TO_PEOPLE: &str = "Back to people and phones";

/// Title of the way in.
pub const ENTER: &str = "This phone is not let in yet";
/// What it asks for.
pub const ENTER_HINT: &str = "Ask the farm's owner to show you a number: on the farm's own machine, under People and phones. It holds ten minutes and lets in one phone.";
/// Its field.
pub const ENTER_CODE: &str = "Number";
/// A name for the phone.
pub const ENTER_NAME: &str = "What shall this phone be called? (You may leave it empty.)";
/// Sends it.
pub const ENTER_NOW: &str = "Come in";
/// What a phone is called when nobody says.
pub const A_PHONE: &str = "Phone";
/// The number is wrong, used or over.
pub const ENTER_WRONG: &str = "This number lets nobody in: it is mistyped, was used already, or its ten minutes are over. Look again, or ask for a new one";
/// Something was posted from a phone that was shut out.
pub const ENTER_LOST: &str = "What you just sent was not taken, since this phone may not enter. Go back one page to find your typing, and send it again once you are in.";
/// What waits on the phone.
pub const ENTER_WAITS: &str =
    "What was typed on this phone and not yet sent stays here, and is sent once it is let in.";
/// To a program that sends entries.
pub const NOT_IN: &str = "This phone is not let in. Its entries stay on it. Open the farm's page to let it in.";
/// The phone is in.
pub const IN_TITLE: &str = "This phone is let in";
/// Goes out.
pub const LEAVE: &str = "End this phone's access";
/// On.
pub const TO_MORNING: &str = "To the morning";
/// Title of a refusal.
pub const OWNERS: &str = "This page is the owner's";
/// A refusal.
pub const OWNERS_HINT: &str = "You may see the morning and the ponds and write in the log. For this page, ask the farm's owner; nothing was changed.";
/// Only one's own.
pub const NOT_YOURS: &str =
    "Only who wrote the entry, or the farm's owner, may choose which of two mendings holds. Nothing was changed.";
/// A farm's own address is needed.
pub const WHICH_FARM: &str = "Open the farm's own address: it stands where the owner shows you the number.";
/// A page went wrong.
pub const BROKE_TITLE: &str = "This page could not be made";
/// What is safe.
pub const BROKE: &str = "Something went wrong in the program, and it has been noted where the program was started. All that was kept before is safe. Go back one page: your typing is there.";
/// Too slow.
pub const SLOW: &str = "This took too long to arrive and was not taken. Try again where the signal is better.";

/// A role.
pub fn role(role: Role) -> &'static str {
    match role {
        Role::Owner => "Owner: everything",
        Role::Crew => "Crew: see the ponds, write in the log",
    }
}

/// What a code is for and how long it holds.
pub fn code_for(name: &str, minutes: i64) -> String {
    format!("For {name}. It holds {minutes} minutes and lets in one phone; a newer one takes its place.")
}

/// A code in two halves, as it is read aloud.
pub fn code(digits: &str) -> String {
    let half = digits.len() / 2;
    format!("{} {}", &digits[..half], &digits[half..])
}

/// Too many attempts.
pub fn too_many(left_ms: i64) -> String {
    let minutes = (left_ms.max(0) + 59_999) / 60_000;
    let when = if minutes <= 1 { "a minute".to_owned() } else { format!("{minutes} minutes") };
    format!(
        "Too many wrong numbers. Try again in {when}; a number shown meanwhile may be over by then, so ask for a new one"
    )
}

/// A phone and whose it is.
pub fn phone(person: &str, made_ms: i64, seen_ms: Option<i64>, zone: &Zone, manner: Manner) -> String {
    let said = |ms: i64| moment(Instant(ms.div_euclid(1000)), zone, manner);
    let seen = seen_ms.map_or(String::new(), |seen| stopped(format!(" Last seen {}", said(seen))));
    stopped(format!("{person}'s, let in {}", said(made_ms))) + &seen
}

/// Who a phone writes as, on the way to what may be done about it.
pub fn writes_as(name: &str) -> String {
    format!("This phone writes as {name}")
}

/// Who is in.
pub fn you_are(name: &str) -> String {
    format!("It writes as {name}.")
}

/// Title of the page about the farm's own certificate.
pub const LOCK: &str = "Make this phone work without signal";
/// What it is for.
pub const LOCK_WHY: &str = "A phone keeps the farm's pages without signal only when it trusts the machine they come from. You show it that it may, once, by a small file of the farm's own: the farm's certificate. It says nothing about you and costs nothing.";
/// Not switched on.
pub const LOCK_OFF: &str = "This is not switched on here. Start the program with --https, then open this page again.";
/// Before moving.
pub const LOCK_FIRST: &str = "First, send what waits. Entries typed on this plain page stay with it and do not move. Look below under what waits on this phone: if anything waits, press Send now, and move when nothing waits.";
/// Fetch.
pub const LOCK_FETCH: &str = "Fetch the farm's certificate";
/// Compare.
pub const LOCK_COMPARE: &str = "Compare its fingerprint, letter by letter or at least the first and last eight, with what the owner's own machine shows on this same page. If they differ, do not install it: somebody else is on the network.";
/// The fingerprint's name.
pub const LOCK_PRINT: &str = "Fingerprint (SHA-256)";
/// Android.
pub const LOCK_ANDROID: [&str; 3] = [
    "Fetch the file. Open Settings and search for \"CA certificate\" (often under Security, More security settings, Install from storage).",
    "Choose CA certificate, read the warning, choose Install anyway, and pick the file.",
    "To remove it: Settings, search for \"user credentials\" or \"trusted credentials\", User, choose it, Remove.",
];
/// iPhone.
pub const LOCK_IPHONE: [&str; 4] = [
    "Fetch the file in Safari and allow the download of a profile.",
    "Open Settings, General, VPN & Device Management, choose the profile and Install.",
    "Then Settings, General, About, Certificate Trust Settings: switch it on.",
    "To remove it: Settings, General, VPN & Device Management, choose it, Remove Profile.",
];
/// Others.
pub const LOCK_OTHER: [&str; 2] = [
    "Fetch the file and look in the settings of the system or the browser for certificates, then authorities: import it there, for web sites.",
    "To remove it, find it in the same list and delete it.",
];
/// Menus differ.
pub const LOCK_MENUS: &str = "Menus have other names on some phones.";
/// What it can and cannot do.
pub const LOCK_LIMITS: &str = "The certificate can vouch only for addresses of a home or farm network and names that end in .local, .lan, .internal, .home.arpa, .test or localhost, never for a bank or any other place on the internet. Its key lies beside the record on the farm's machine: keep that folder to yourself.";
/// Then.
pub const LOCK_THEN: &str = "Then open the farm here, and let the phone in anew with a number from the owner:";

/// While entries wait, in place of that address.
pub const LOCK_WAITS: &str =
    "The next step stands here once nothing waits on this phone: send what waits first, below.";

/// Heads of the systems.
pub const LOCK_HEADS: [&str; 3] = ["Android", "iPhone or iPad", "Others"];

#[cfg(test)]
mod tests {
    use super::{code, too_many};

    #[test]
    fn numbers_are_read_in_halves_and_waits_in_minutes() {
        assert_eq!(code("48217730"), "4821 7730");
        assert!(too_many(1).contains("in a minute;"), "{}", too_many(1));
        assert!(too_many(60_001).contains("in 2 minutes;"), "{}", too_many(60_001));
    }
}
