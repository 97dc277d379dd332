//! What goes wrong on a market day by a person's slip.

/// What may go wrong on a day beside lost signal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Slip {
    /// Nothing: every table has one phone, every line is typed once.
    None,
    /// A line is typed again on another phone.
    Twice,
    /// Two phones sell for one table, each without knowing of the other.
    TwoPhones,
}
