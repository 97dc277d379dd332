//! What the phone says of the entries that wait on it.

/// Above the entries that wait on the phone.
pub const OUTBOX: &str = "On this phone";
/// None of them.
pub const OUTBOX_NONE: &str = "Nothing waits: the farm has every entry written here.";
/// They wait.
pub const OUTBOX_WAITS: &str = "Kept on this phone, to be sent when the farm can be reached:";
/// The phone was shut out.
pub const OUTBOX_SHUT: &str =
    "This phone is not let in just now. What waits stays on it and is sent once it is let in again.";
/// Sends now.
pub const OUTBOX_SEND: &str = "Send now";
/// The phone keeps pages by itself.
pub const WAY_KEPT: &str = "This phone keeps the entry pages: they open and take entries without signal.";
/// It is about to.
pub const WAY_COMING: &str =
    "This phone is putting the entry pages by. Wait for this line to change before you walk out of reach.";
/// It does not.
pub const WAY_OPEN: &str = "This phone cannot put pages by over this plain address. Entries are safe here, but keep this page open while you are out of reach: without signal it cannot be loaded again.";
/// The way to change that.
pub const WAY_OPEN_MEND: &str = "Make this phone work without signal";
/// No store on the phone.
pub const WAY_NONE: &str =
    "This browser keeps nothing on the phone (a private window, perhaps). Entries need the signal.";
/// Taken just now.
pub const JUST_KEPT: &str =
    "Kept on this phone. It is sent by itself while a page of the log is open and there is signal.";
/// What was kept just now has been sent.
pub const JUST_SENT: &str = "Sent: the farm has it.";
/// The farm made something of it that is to be looked at.
pub const LOOK_BELOW: &str = "The farm has not taken this as it is: look below, under On this phone";
/// The farm is being asked.
pub const SENDING: &str = "Sending.";
/// It did not answer.
pub const UNSENT: &str =
    "The farm cannot be reached just now. What waits stays on this phone and is tried again by itself.";
/// Could not be put by on the phone.
pub const NOT_PUT_BY: &str = "The phone could not keep this entry. It is still in the form: press Keep again.";
/// The farm had something else under the same mark.
pub const PHONE_DIFFERS: &str =
    "The farm has other words for this entry. Both are kept; look at the log and mend it there.";
/// The farm would not take it.
pub const PHONE_REFUSED: &str = "The farm could not take this entry as it is. It stays here.";
/// Puts a refused or differing entry away on the phone.
pub const PHONE_SEEN: &str = "Put away";
/// Title of the page that stands for those that cannot be fetched.
pub const AWAY: &str = "Out of reach";
/// What can be done there.
pub const AWAY_HINT: &str = "The farm's machine does not answer, and the page you asked for is not kept on this phone. Entries can be written here all the same.";
/// Asks once more.
pub const AGAIN: &str = "Try again";
/// Nothing was typed.
pub const NOTHING_TYPED: &str = "Nothing is typed yet.";
