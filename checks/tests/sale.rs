//! Prices and counts of the sale against published figures and arithmetic done apart.

use books::allocate::{Class, SoldAs, Wanted};
use checks::read;
use farm::Pays;
use farm::facts::market::{line_money, price};
use units::Currency;

const LB_KG: f64 = 0.453_592_37;

fn coins_per_lb(typed: &str) -> f64 {
    match price(typed, &Currency::parse("USD").expect("a currency")) {
        Some(Pays::PerKg(coins)) => coins * LB_KG,
        other => panic!("{typed}: {other:?}"),
    }
}

/// kg of the form, or pieces, that a kg of whole weight comes to where the catch is shared out.
fn per_kg(sold_as: SoldAs, tail_fraction: f64, mean_weight_g: f64) -> f64 {
    let class = Class { weight_kg: 1.0, mean_weight_g, live_kg: 1.0, tail_fraction };
    let wanted = Wanted { sold_as, from_g: 0.0, to_g: 1e9, amount: 1.0, pays_coins: 1.0, rank: 0 };
    wanted.amount_per_kg(&class)
}

/// Pieces in a pound at both ends of a size.
fn pieces_per_lb(typed: &str) -> (f64, f64) {
    let read = farm::facts::read_typed(
        "handed",
        1,
        &[("table", "A"), ("sold_as", "tails"), ("amount", "1 lb"), ("size", typed)]
            .map(|(name, text)| (name.to_owned(), text.to_owned()))
            .into(),
    );
    assert!(read.slips.is_empty(), "{typed}: {:?}", read.slips);
    let (from_g, to_g) = farm::facts::market::size_g(typed).expect("a size");
    (1000.0 * LB_KG / to_g, 1000.0 * LB_KG / from_g)
}

#[test]
fn prices_and_counts_come_out_as_printed() {
    let table = read("sale.csv");
    let mut missed = Vec::new();
    for row in table.rows() {
        let typed = row.text("typed");
        let money = |pounds: f64| {
            let pays = price(typed, &Currency::parse("USD").expect("a currency")).expect("a price");
            line_money(pounds * LB_KG, pays).coins as f64
        };
        let ours = match row.text("what") {
            "coins_per_lb" => coins_per_lb(typed),
            "pieces_per_lb" => pieces_per_lb(typed).0,
            "pieces_per_lb_most" => pieces_per_lb(typed).1,
            "whole_cents_of_tails_at_half" => coins_per_lb(typed) * per_kg(SoldAs::Tails, 0.5, 30.0),
            "whole_cents_of_tails_at_45" => coins_per_lb(typed) * per_kg(SoldAs::Tails, 0.45, 30.0),
            "tails_cents_of_whole_at_45" => coins_per_lb(typed) / per_kg(SoldAs::Tails, 0.45, 30.0),
            "piece_cents_of_37_8_g" => coins_per_lb(typed) / LB_KG / per_kg(SoldAs::Piece, 0.45, 37.8),
            "line_coins_of_2_40_lb" => money(2.40),
            "line_coins_of_half_an_ounce" => money(0.03125),
            what => panic!("{what} is not checked"),
        };
        if (ours - row.number("expected")).abs() > row.number("tolerance") {
            missed.push(format!("{} of {typed}: {ours}, printed {}", row.text("what"), row.text("expected")));
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
}
