//! The small work that comes round: what it is, and after how many days again.

/// Work at a pond that comes round.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Chore {
    /// Look at what lies on the feeding tray.
    Tray,
    /// Clean the screens of inlet and outlet.
    Screens,
    /// Look over nets and lines against birds and turtles.
    Nets,
    /// Test pH and ammonia in the afternoon.
    Tests,
    /// Read the Secchi disk.
    Secchi,
    /// Weigh a sample.
    Sample,
    /// Mow the banks.
    Mow,
}

impl Chore {
    /// All of them; of two that press alike the one named first goes first.
    pub const ALL: [Chore; 7] =
        [Chore::Tray, Chore::Screens, Chore::Nets, Chore::Tests, Chore::Secchi, Chore::Sample, Chore::Mow];
    /// Words of those that are entered as done and are no reading or sample, in the order of the table of inputs.
    pub const ENTERED: [(&'static str, Chore); 4] =
        [("tray", Chore::Tray), ("screens", Chore::Screens), ("nets", Chore::Nets), ("mow", Chore::Mow)];

    /// Days after which it comes round; all common practice.
    pub fn every_d(self) -> i32 {
        match self {
            Chore::Tray | Chore::Secchi => 3,
            Chore::Screens | Chore::Nets | Chore::Tests => 7,
            Chore::Sample | Chore::Mow => 14,
        }
    }
    /// Its key in the farm file's rhythms.
    pub fn key(self) -> &'static str {
        match self {
            Chore::Tray => "tray",
            Chore::Screens => "screens",
            Chore::Nets => "nets",
            Chore::Tests => "tests",
            Chore::Secchi => "secchi",
            Chore::Sample => "sample",
            Chore::Mow => "mow",
        }
    }
    /// By its word in an entry.
    pub fn parse(word: &str) -> Option<Chore> {
        Chore::ENTERED.into_iter().find(|(own, _)| *own == word).map(|(_, chore)| chore)
    }
    /// Its word in an entry; `None` of a reading or a sample.
    pub fn word(self) -> Option<&'static str> {
        Chore::ENTERED.into_iter().find(|(_, chore)| *chore == self).map(|(word, _)| word)
    }
}
