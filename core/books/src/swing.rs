//! What each thing does to the net return when it comes out otherwise, the others held.
//!
//! Model     receipts and costs move in proportion with what drives them; the widest swing stands first
//! Units     smallest coins; changes are fractions (0.1 is a tenth more)
//! Range     changes above -1
//! Source    sensitivity of enterprise budgets, one input at a time (common practice)
//! Left out  how one change brings another: fewer animals grow larger, more of them fetch less

use crate::ledger::Account;
use crate::statement::Made;

/// What may come out otherwise.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Driver {
    /// The price of what is sold.
    Price,
    /// The share that lives: ice, packing and what selling costs go with it.
    Survival,
    /// The weight of one: as survival, and feed goes with it.
    MeanWeight,
    /// The price of postlarvae or juveniles.
    Postlarvae,
    /// The price of feed.
    Feed,
    /// What hired hands cost.
    Hands,
    /// Power and fuel.
    Energy,
    /// Ice and packing.
    IceAndPacking,
    /// The owner's hours.
    OwnHours,
    /// Wear, interest, rent, insurance, taxes.
    Fixed,
}

impl Driver {
    /// Every one.
    pub const ALL: [Driver; 10] = [
        Driver::Price,
        Driver::Survival,
        Driver::MeanWeight,
        Driver::Postlarvae,
        Driver::Feed,
        Driver::Hands,
        Driver::Energy,
        Driver::IceAndPacking,
        Driver::OwnHours,
        Driver::Fixed,
    ];
    /// The costs that go with it.
    pub fn costs(self) -> &'static [Account] {
        match self {
            Driver::Price => &[],
            Driver::Survival => &[Account::Ice, Account::Packing, Account::Selling],
            Driver::MeanWeight => &[Account::Ice, Account::Packing, Account::Selling, Account::Feed],
            Driver::Postlarvae => &[Account::Postlarvae],
            Driver::Feed => &[Account::Feed],
            Driver::Hands => &[Account::Hands],
            Driver::Energy => &[Account::Power, Account::Fuel],
            Driver::IceAndPacking => &[Account::Ice, Account::Packing],
            Driver::OwnHours => &[Account::OwnHours],
            Driver::Fixed => &[Account::Land, Account::Insurance, Account::Taxes, Account::Wear, Account::GearLost],
        }
    }
    /// What is sold goes with it.
    pub fn moves_receipts(self) -> bool {
        matches!(self, Driver::Price | Driver::Survival | Driver::MeanWeight)
    }
    /// The interest of money tied up goes with it.
    pub fn moves_tied_up(self) -> bool {
        self == Driver::Fixed
    }
    /// What the net return gains, coins, when it is more by a fraction.
    pub fn gain(self, made: &Made, fraction: f64) -> f64 {
        let receipts = if self.moves_receipts() { made.receipts().coins as f64 } else { 0.0 };
        let mut costs: f64 = self.costs().iter().map(|account| made.of(*account).coins as f64).sum();
        if self.moves_tied_up() {
            costs += made.tied_up.coins as f64;
        }
        (receipts - costs) * fraction
    }
}

/// One bar.
#[derive(Debug, Clone, PartialEq)]
pub struct Swing {
    /// What comes out otherwise.
    pub driver: Driver,
    /// Net return at each change, coins.
    pub net: Vec<f64>,
    /// The widest it swings, coins.
    pub width: f64,
}

/// Net returns at some changes, the widest swing first; drivers that move nothing are left out.
pub fn swings(made: &Made, changes: &[f64]) -> Vec<Swing> {
    let net = made.net().coins as f64;
    let one = |driver: Driver| {
        let nets: Vec<f64> = changes.iter().map(|change| net + driver.gain(made, *change)).collect();
        let most = nets.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let least = nets.iter().copied().fold(f64::INFINITY, f64::min);
        Swing { driver, net: nets, width: most - least }
    };
    let mut all: Vec<Swing> = Driver::ALL.into_iter().map(one).filter(|swing| swing.width > 0.0).collect();
    all.sort_by(|a, b| b.width.total_cmp(&a.width).then(a.driver.cmp(&b.driver)));
    all
}

#[cfg(test)]
mod tests {
    use units::Money;

    use super::*;

    #[test]
    fn what_swings_widest_stands_first_and_what_is_nothing_is_left_out() {
        let accounts =
            [(Account::Sales, 700_000), (Account::Feed, 50_000), (Account::Ice, 10_000), (Account::Wear, 60_000)];
        let accounts = accounts.map(|(account, coins)| (account, Money { coins })).into();
        let made = Made { accounts, tied_up: Money { coins: 20_000 } };
        let all = swings(&made, &[-0.1, 0.1]);
        let drivers: Vec<Driver> = all.iter().map(|swing| swing.driver).collect();
        use Driver::{Feed, Fixed, IceAndPacking, MeanWeight, Price, Survival};
        assert_eq!(drivers, [Price, Survival, MeanWeight, Fixed, Feed, IceAndPacking]);
        let net = 700_000.0 - 140_000.0;
        assert_eq!(all[0].net, [net - 70_000.0, net + 70_000.0]);
        assert_eq!(all[2].net, [net - 64_000.0, net + 64_000.0], "feed and ice go with the weight of one");
        assert_eq!(all[3].net, [net + 8000.0, net - 8000.0], "a cost that is more takes away");
    }
}
