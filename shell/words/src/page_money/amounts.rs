//! Amounts of money as they are shown and as files hold them.

use units::{Currency, Money};

use crate::figures::{Manner, grouped};

/// An amount to the coin.
pub fn exact(money: Money, currency: Currency) -> String {
    let per_unit = currency.coins_per_unit();
    let (sign, coins) = (if money.coins < 0 { "-" } else { "" }, money.coins.unsigned_abs());
    let (units, rest) = (coins / per_unit.unsigned_abs(), coins % per_unit.unsigned_abs());
    let whole = grouped(units as f64);
    let digits = per_unit.ilog10() as usize;
    let amount = if digits == 0 { whole } else { format!("{whole}.{rest:0digits$}") };
    match currency.code() {
        "USD" => format!("{sign}${amount}"),
        code => format!("{sign}{amount} {code}"),
    }
}

/// An amount to the unit, for tables on a phone.
pub fn units(money: Money, currency: Currency) -> String {
    crate::figures::money(money.coins as f64, 0.0, currency)
}

/// A number of coins as a plain number of units, for files: no sign of the currency, all its digits.
pub fn plain(money: Money, currency: Currency) -> String {
    let per_unit = currency.coins_per_unit();
    let (sign, coins) = (if money.coins < 0 { "-" } else { "" }, money.coins.unsigned_abs());
    let digits = per_unit.ilog10() as usize;
    let per_unit = per_unit.unsigned_abs();
    if digits == 0 {
        format!("{sign}{coins}")
    } else {
        format!("{sign}{}.{:0digits$}", coins / per_unit, coins % per_unit)
    }
}

/// Coins per kg as the person reads prices.
pub fn price(coins_kg: f64, manner: Manner, currency: Currency) -> String {
    let (each, unit) = match manner {
        Manner::UsCustomary => (coins_kg * 0.453_592_37, "lb"),
        Manner::Metric => (coins_kg, "kg"),
    };
    format!("{}/{unit}", exact(Money::from_computed(each), currency))
}

/// A weight as the scale gives it: books are not rounded to two figures.
pub fn weight(kg: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{} lb", grouped(kg / 0.453_592_37)),
        Manner::Metric => format!("{} kg", grouped(kg)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_amount_is_told_to_its_smallest_coin_in_any_currency() {
        for (code, coins, said, file) in [
            ("USD", 123_456, "$1,234.56", "1234.56"),
            ("USD", -7, "-$0.07", "-0.07"),
            ("BRL", 100_000_005, "1,000,000.05 BRL", "1000000.05"),
            ("JPY", 1500, "1,500 JPY", "1500"),
            ("KWD", 1, "0.001 KWD", "0.001"),
        ] {
            let (currency, money) = (Currency::parse(code).expect("a currency"), Money { coins });
            assert_eq!(exact(money, currency), said);
            assert_eq!(plain(money, currency), file);
        }
        let dollars = Currency::parse("USD").expect("a currency");
        assert_eq!(price(2_204.622_6, Manner::UsCustomary, dollars), "$10.00/lb");
    }
}
