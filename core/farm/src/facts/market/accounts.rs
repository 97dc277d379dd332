//! What each buyer owes: lines against money, by order or receipt.

use std::collections::BTreeMap;

use units::Money;

use super::Market;

/// What lines and money belong together by.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum AccountOf {
    /// An order: its deposit, its lines, its payments.
    Order(String),
    /// A receipt of nobody's order.
    Receipt(String),
    /// Money that names neither; its own mark.
    Loose(String),
}

/// One account.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Account {
    /// Lines sold, less lines taken back.
    pub due: Money,
    /// Money in, less money given back.
    pub paid: Money,
    /// Of that, paid as a deposit.
    pub deposit: Money,
    /// The buyer, where somebody named one.
    pub buyer: Option<String>,
    /// Marks of its receipts.
    pub receipts: Vec<String>,
    /// Marks of the payments that were given back.
    pub given_back: Vec<String>,
}

impl Account {
    /// What is still owed; below nothing when more was paid than bought.
    pub fn owing(&self) -> Money {
        Money { coins: self.due.coins - self.paid.coins }
    }
}

impl Market {
    /// Every account. Each line and each payment stands in exactly one: their sums are the sums of all lines and of all money.
    pub fn accounts(&self) -> BTreeMap<AccountOf, Account> {
        // A receipt with a line of an order is that order's: the payment need name only one of the two.
        let mut order_of: BTreeMap<&str, &str> = BTreeMap::new();
        for line in &self.sold {
            if let Some(order) = &line.order {
                order_of.entry(&line.receipt).or_insert(order);
            }
        }
        let of = |order: &Option<String>, receipt: Option<&str>, id: &str| match (order, receipt) {
            (Some(order), _) => AccountOf::Order(order.clone()),
            (None, Some(receipt)) => match order_of.get(receipt) {
                Some(order) => AccountOf::Order((*order).to_owned()),
                None => AccountOf::Receipt(receipt.to_owned()),
            },
            (None, None) => AccountOf::Loose(id.to_owned()),
        };
        let mut accounts: BTreeMap<AccountOf, Account> = BTreeMap::new();
        for line in &self.sold {
            let account = accounts.entry(of(&line.order, Some(&line.receipt), "")).or_default();
            account.due.coins += line.money.coins;
            account.named(line.buyer.as_ref());
            if !account.receipts.contains(&line.receipt) {
                account.receipts.push(line.receipt.clone());
            }
        }
        for payment in &self.paid {
            let account =
                accounts.entry(of(&payment.order, payment.receipt.as_deref(), &payment.entered.id)).or_default();
            account.paid.coins += payment.money.coins;
            if payment.money.coins < 0 {
                account.given_back.push(payment.entered.id.clone());
            }
            if payment.is_deposit {
                account.deposit.coins += payment.money.coins;
            }
            account.named(payment.buyer.as_ref());
        }
        for (of, account) in &mut accounts {
            if let AccountOf::Order(order) = of {
                account.named(self.order(order).map(|order| &order.buyer));
            }
        }
        accounts
    }
}

impl Account {
    fn named(&mut self, buyer: Option<&String>) {
        if self.buyer.is_none() {
            self.buyer = buyer.cloned();
        }
    }
}
