//! A receipt: on the screen, on paper, as text to send.

use farm::facts::market::{Payment, Sold, SoldAs};
use units::{Currency, Money, Zone};

use super::{amount, good, money, price, word};
use crate::figures::Manner;
use crate::page_log::moment;

/// Title.
pub const RECEIPT: &str = "Receipt";
/// What is sold, by its common name.
pub const COMMON_NAME: &str = "Freshwater prawns (Macrobrachium rosenbergii), farmed.";
/// Allergen.
pub const ALLERGEN: &str = "Contains crustacean shellfish (prawn).";
/// Cold.
pub const KEEP: &str = "Keep on ice or at 40 °F (4 °C) or below; whole prawns soften within days. Cook before eating.";
/// Live.
pub const KEEP_LIVE: &str = "Live: keep cool, moist and aired. Cook before eating, and none that died warm.";
/// Spines.
pub const SPINES: &str = "Sharp spines and claws.";
/// Local rules.
pub const RULES: &str = "Net weight, without bag, ice and drip; what is sold by weight belongs on a scale that is legal for trade. What a receipt or a label must say differs from place to place: local rules decide.";
/// Sum.
pub const TOTAL: &str = "Total";
/// Nothing of this receipt is known.
pub const UNKNOWN: &str =
    "Nothing of this receipt has reached the farm yet. The phone that wrote it sends it as soon as it has signal.";
/// Takes a line back.
pub const TAKE_BACK: &str = "Take back";
/// Heads the form for what a buyer brings back.
pub const TAKEN_BACK: &str = "Taken back";
/// Heads the form for money that goes back.
pub const GIVEN_BACK: &str = "Money given back";
/// More comes back than went out.
pub const BACK_OVER: &str = "That is more than can come back.";

/// How much of a line can be taken back.
pub fn sold_most(sold_as: SoldAs, left: f64, manner: Manner) -> String {
    format!("At most {}: what was sold and has not been taken back.", super::amount(sold_as, left, manner))
}

/// How much money can be given back.
pub fn paid_most(paid: Money, currency: Currency) -> String {
    format!("At most {}: what was paid and has not been given back.", super::money(paid, currency))
}
/// Gives money back.
pub const GIVE_BACK: &str = "Give money back";
/// More money.
pub const PAY_MORE: &str = "Write down a payment";
/// Way to the PDF.
pub const TO_PDF: &str = "Receipt as PDF";

/// The number that people say: the first of its mark.
pub fn number(receipt: &str) -> String {
    receipt.chars().take(6).collect::<String>().to_uppercase()
}

/// A line of a receipt: what, and what it comes to.
pub fn line(line: &Sold, manner: Manner, currency: Currency) -> [String; 2] {
    let back = if line.takes_back.is_some() { "Taken back: " } else { "" };
    let weighed = if line.good.sold_as.by_piece() {
        ""
    } else if line.drained == Some(true) {
        " net, drained"
    } else {
        " net"
    };
    let lot = line.lot.as_ref().map_or(String::new(), |lot| format!(", lot {lot}"));
    let what = format!(
        "{back}{}: {}{weighed} at {}{lot}",
        good(&line.good),
        amount(line.good.sold_as, line.amount, manner),
        price(line.pays, manner, currency)
    );
    [what, money(line.money, currency)]
}

/// A payment: how, and how much.
pub fn payment(payment: &Payment, currency: Currency) -> [String; 2] {
    let what = match (payment.money.coins < 0, payment.is_deposit) {
        (true, true) => "Deposit given back",
        (true, false) => "Given back",
        (false, true) => "Deposit",
        (false, false) => "Paid",
    };
    let amount = Money { coins: payment.money.coins.abs() };
    [format!("{what}, {}", word("paid_by", &payment.by).to_lowercase()), money(amount, currency)]
}

/// What is still owed, either way; `None` when all is even.
pub fn owing(owed: Money, currency: Currency) -> Option<[String; 2]> {
    match owed.coins {
        0 => None,
        coins if coins > 0 => Some(["Still to be paid".to_owned(), money(owed, currency)]),
        coins => Some(["To be given back".to_owned(), money(Money { coins: -coins }, currency)]),
    }
}

/// What stands below the lines.
pub fn food(lines: &[&Sold]) -> Vec<&'static str> {
    let live = lines.iter().any(|line| line.good.sold_as == SoldAs::Live);
    let chilled = lines.iter().any(|line| line.good.sold_as != SoldAs::Live);
    let mut said = vec![COMMON_NAME, ALLERGEN];
    said.extend(live.then_some(KEEP_LIVE));
    said.extend(chilled.then_some(KEEP));
    said.extend([SPINES, RULES]);
    said
}

/// A receipt with everything on it.
pub struct Whole<'a> {
    /// The farm's name.
    pub farm: &'a str,
    /// Its mark.
    pub mark: &'a str,
    /// Its lines.
    pub lines: Vec<&'a Sold>,
    /// Its payments.
    pub paid: Vec<&'a Payment>,
    /// Still owed.
    pub owed: Money,
    /// The farm's clock.
    pub zone: &'a Zone,
    /// Units.
    pub manner: Manner,
    /// Money.
    pub currency: Currency,
}

impl Whole<'_> {
    /// Number, moment and buyer.
    pub fn head(&self) -> String {
        let at = self.lines.first().map(|line| line.entered.at);
        let at = at.map_or(String::new(), |at| format!(", {}", moment(at, self.zone, self.manner)));
        let buyer = self.lines.iter().find_map(|line| line.buyer.as_deref());
        let buyer = buyer.map_or(String::new(), |buyer| format!(", for {buyer}"));
        format!("{RECEIPT} {}{at}{buyer}", number(self.mark))
    }
    /// What all lines come to.
    pub fn total(&self) -> Money {
        Money { coins: self.lines.iter().map(|line| line.money.coins).sum() }
    }
    /// Lines, sum and money, as name and amount.
    pub fn rows(&self) -> Vec<[String; 2]> {
        let mut rows: Vec<[String; 2]> = self.lines.iter().map(|one| line(one, self.manner, self.currency)).collect();
        rows.push([TOTAL.to_owned(), money(self.total(), self.currency)]);
        rows.extend(self.paid.iter().map(|one| payment(one, self.currency)));
        rows.extend(owing(self.owed, self.currency));
        rows
    }
    /// As text to be sent.
    pub fn text(&self) -> String {
        let rows = self.rows().into_iter().map(|[what, much]| format!("{what}: {much}"));
        let lines = [self.farm.to_owned(), self.head()].into_iter().chain(rows);
        lines.chain(food(&self.lines).into_iter().map(str::to_owned)).collect::<Vec<_>>().join("\n")
    }
}
