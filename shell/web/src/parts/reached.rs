//! How a buyer is reached, read from what a person typed: an address of a message that the phone's own programs open.
//!
//! Source    RFC 5724 (`sms:` with the text behind `?body=`), RFC 6068 (`mailto:`), RFC 3986 (what is escaped), E.164 (15 digits at most)

use crate::prints::escaped;

/// Fewest digits of a number that can be called.
const DIGITS_LEAST: usize = 7;
/// Most, by E.164.
const DIGITS_MOST: usize = 15;

/// Addresses to which a message can be sent.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Reached {
    /// A telephone number: digits, with a plus if one was typed.
    pub number: Option<String>,
    /// An address for letters.
    pub mail: Option<String>,
}

/// What stands in a contact as typed.
pub fn reached(contact: &str) -> Reached {
    let mail = contact
        .split(|c: char| c.is_whitespace() || matches!(c, ',' | ';' | '<' | '>' | '(' | ')'))
        .map(|word| word.trim_end_matches('.').trim_start_matches("mailto:"))
        .find(|word| is_mail(word))
        .map(str::to_owned);
    // Digits within an address are no number.
    let rest = mail.as_ref().map_or(contact.to_owned(), |mail| contact.replace(mail.as_str(), "\n"));
    Reached { number: number(&rest), mail }
}

fn is_mail(word: &str) -> bool {
    let plain = |c: char| c.is_ascii_alphanumeric() || "._%+-".contains(c);
    word.split_once('@').is_some_and(|(name, host)| {
        let parts =
            host.split('.').all(|part| !part.is_empty() && part.chars().all(|c| c.is_ascii_alphanumeric() || c == '-'));
        !name.is_empty() && name.chars().all(plain) && host.contains('.') && parts
    })
}

/// The first run of digits that is long enough for a number and not too long for one.
fn number(text: &str) -> Option<String> {
    let runs = text.split(|c: char| !c.is_ascii_digit() && !" -.()/+\u{a0}".contains(c));
    let kept = |run: &str| {
        let run = run.trim();
        let digits: String = run.chars().filter(char::is_ascii_digit).collect();
        let plus = if run.trim_start_matches(['(', ' ']).starts_with('+') { "+" } else { "" };
        (DIGITS_LEAST..=DIGITS_MOST).contains(&digits.len()).then(|| format!("{plus}{digits}"))
    };
    runs.filter_map(kept).next()
}

impl Reached {
    /// Opens the phone's messages with a text.
    pub fn message_to(&self, text: &str) -> Option<String> {
        self.number.as_ref().map(|number| format!("sms:{number}?body={}", escaped(text)))
    }
    /// Opens a letter with a subject and a text.
    pub fn letter_to(&self, subject: &str, text: &str) -> Option<String> {
        // A line of a letter ends with both: RFC 6068, 5.
        let body = escaped(text).replace("%0A", "%0D%0A");
        self.mail
            .as_ref()
            .map(|mail| format!("mailto:{}?subject={}&body={body}", mail.replace('%', "%25"), escaped(subject)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_and_addresses_are_found_in_what_people_type() {
        for (typed, number, mail) in [
            ("555 0102", Some("5550102"), None),
            ("+1 (555) 555-0102", Some("+15555550102"), None),
            ("(+55) 11 95555.0102", Some("+5511955550102"), None),
            ("Pat, 555-0102, evenings after 6", Some("5550102"), None),
            ("suppers@ridge.example", None, Some("suppers@ridge.example")),
            ("Pat <pat.5550102@ridge.example>.", None, Some("pat.5550102@ridge.example")),
            ("pat@ridge.example or 555 0150", Some("5550150"), Some("pat@ridge.example")),
            // A house and a code are no number, nor is what nobody can dial.
            ("12 Mill Lane, gate 4711", None, None),
            ("1234 5678 9012 3456 7890", None, None),
            ("pat@ridge", None, None),
            ("the blue house", None, None),
            ("", None, None),
        ] {
            let read = reached(typed);
            assert_eq!((read.number.as_deref(), read.mail.as_deref()), (number, mail), "{typed}");
        }
    }

    #[test]
    fn a_text_goes_into_an_address_whole() {
        let both = reached("555 0150, pat@ridge.example");
        let text = "Farm & Co: 30 lb at 50% off?\nSee you – Sat #1";
        assert_eq!(
            both.message_to(text).as_deref(),
            Some(
                "sms:5550150?body=Farm%20%26%20Co%3A%2030%20lb%20at%2050%25%20off%3F%0ASee%20you%20%E2%80%93%20Sat%20%231"
            )
        );
        let letter = both.letter_to("Hazel Bend", text).expect("an address");
        assert!(letter.starts_with("mailto:pat@ridge.example?subject=Hazel%20Bend&body=Farm%20%26%20Co"), "{letter}");
        assert!(letter.contains("%3F%0D%0ASee"), "{letter}");
    }
}
