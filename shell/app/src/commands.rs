//! The commands, one file each. A command reads its files, asks `season`, and says the answer.

pub mod grow;
pub mod plan;
pub mod record;
pub mod replay;
pub mod serve;
pub mod water;
pub mod weather;

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
