//! The commands, one file each. A command reads its files, asks `season`, and says the answer.

pub mod books;
pub mod day;
pub mod drain;
pub mod grow;
pub mod logger;
pub mod of_morning;
pub mod one_pond;
pub mod order;
pub mod plan;
pub mod promised;
pub mod record;
pub mod replay;
pub mod scores;
pub mod serve;
pub mod sum;
pub mod trace;
pub mod water;
pub mod weather;
pub mod winter;

/// What a command has to say.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Told {
    /// For stdout.
    pub answer: String,
    /// For stderr, a line each.
    pub notes: Vec<String>,
    /// 0 done, 1 the answer is no, 2 could not.
    pub code: u8,
}

impl Told {
    /// An answer and what should be remarked on with it.
    pub fn answer(answer: String, notes: Vec<String>) -> Told {
        Told { answer, notes, code: 0 }
    }
    /// Why nothing could be answered.
    pub fn could_not(why: String) -> Told {
        Told { answer: String::new(), notes: vec![why], code: 2 }
    }
}

/// An answer for a program: schema and version come first, the rest in the order of its keys.
pub(crate) fn versioned(schema: &str, version: u32, rest: serde_json::Map<String, serde_json::Value>) -> String {
    let rest = format!("{:#}", serde_json::Value::Object(rest));
    let rest = rest.strip_prefix('{').expect("an object was made just above");
    format!("{{\n  \"schema\": \"{schema}\",\n  \"version\": {version},{rest}\n")
}

#[cfg(test)]
mod tests {
    use super::versioned;

    #[test]
    fn answers_for_programs_name_their_schema_first() {
        let mut rest = serde_json::Map::new();
        rest.insert("currency".to_owned(), serde_json::json!("USD"));
        let text = versioned("warmspell.plan", 1, rest);
        assert!(text.starts_with("{\n  \"schema\": \"warmspell.plan\",\n  \"version\": 1,\n  \"currency\""), "{text}");
        let back: serde_json::Value = serde_json::from_str(&text).expect("it is still an object");
        assert_eq!(back["currency"], "USD");
    }
}
