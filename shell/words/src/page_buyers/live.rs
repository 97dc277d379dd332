//! What is said of those who take prawns alive: what is agreed, and what of their tank is unusual.

use farm::facts::market::{Order, SoldAs};
use season::promised::{Tank, tank};

use crate::figures::{Manner, degrees};
use crate::page_sale::word;

/// Head of live buyers.
pub const LIVE: &str = "Live buyers";
/// What to settle with them.
pub const LIVE_SAYS: &str = "Before loading, agree who hauls, who bears what dies on the way, and temper the prawns to their tank. Moving live animals may need papers: your state's rules decide.";

/// What is agreed with a live buyer.
pub fn live_terms(order: &Order, manner: Manner) -> Vec<(&'static str, String)> {
    let litres = order.their_tank_l.map(|litres| volume(litres, manner));
    let warm = order.their_tank_c.map(|celsius| degrees(celsius, manner));
    let unsaid = || "not agreed yet: ask".to_owned();
    vec![
        ("Their tank", litres.unwrap_or_else(unsaid)),
        ("Its water", warm.unwrap_or_else(unsaid)),
        ("Who hauls", order.hauls.as_deref().map_or_else(unsaid, |who| word("hauls", who).to_owned())),
        ("Who bears losses", order.bears.as_deref().map_or_else(unsaid, |who| word("bears", who).to_owned())),
    ]
}

fn volume(litres: f64, manner: Manner) -> String {
    match manner {
        Manner::UsCustomary => format!("{:.0} gal", litres / 3.785_411_784),
        Manner::Metric => format!("{litres:.0} L"),
    }
}

/// What is unusual of a live buyer's tank, and what to ask them. Never a refusal.
pub fn tank_odd(order: &Order, manner: Manner) -> Vec<String> {
    if order.good.sold_as != SoldAs::Live {
        return Vec::new();
    }
    let Tank { load_g_l, most_g_l, least_l, is_cold, is_warm } = tank(order);
    let mut said = Vec::new();
    if let Some(load) = load_g_l.filter(|load| *load > most_g_l) {
        said.push(format!(
            "{} in {} of water is {load:.0} g a litre; with oxygen {most_g_l:.0} is the usual most for a day. It takes {} or more. Ask: is there \
             another tank, do they come in turns, is oxygen on?",
            crate::page_sale::amount(SoldAs::Live, order.amount, manner),
            volume(order.their_tank_l.unwrap_or_default(), manner),
            volume(least_l.ceil(), manner)
        ));
    }
    let water = order.their_tank_c.map(|celsius| degrees(celsius, manner)).unwrap_or_default();
    if is_cold {
        said.push(format!(
            "Their water of {water} is too cold: below {} most die within a day. Ask: is the figure right, can they warm it before the day?",
            degrees(season::promised::COLD_C, manner)
        ));
    } else if is_warm {
        said.push(format!(
            "Their water of {water} is warm for a tank full of prawns: usual is less than {}. Ask: can they cool it, and is oxygen on?",
            degrees(season::harvest::live::TOO_WARM_C, manner)
        ));
    }
    said
}

/// Of an order alive whose tank nobody asked about.
pub const TANK_UNKNOWN: &str =
    "Ask how much water their tank holds and how warm it is: too little or too cold kills what you sell.";

#[cfg(test)]
mod tests {
    use farm::facts::market::{Entered, Good, Rank};
    use units::Instant;

    use super::*;

    #[test]
    fn a_tank_too_small_or_too_cold_is_told_and_a_fit_one_is_not() {
        let order = |pounds: f64, gallons: f64, fahrenheit: f64| Order {
            entered: Entered {
                id: "a".to_owned(),
                head: "a".to_owned(),
                at: Instant(0),
                typed_ms: 0,
                person: String::new(),
                device: String::new(),
            },
            buyer: "Lee".to_owned(),
            contact: None,
            rank: Rank::Ordered,
            good: Good { sold_as: SoldAs::Live, size: String::new() },
            size_g: (0.0, f64::INFINITY),
            amount: pounds * 0.453_592_37,
            pays: None,
            day_from: None,
            day_until: None,
            deposit: None,
            their_tank_l: Some(gallons * 3.785_411_784),
            their_tank_c: Some((fahrenheit - 32.0) / 1.8),
            hauls: None,
            bears: None,
            note: None,
        };
        let of = |pounds, gallons, fahrenheit| tank_odd(&order(pounds, gallons, fahrenheit), Manner::UsCustomary);
        let both = of(100.0, 20.0, 40.0).join(" ");
        // 45.4 kg in 75.7 L is 599 g/L; at 100 g/L it takes 453.6 L, 120 gallons.
        assert!(both.contains("100.00 lb in 20 gal of water is 599 g a litre"), "{both}");
        assert!(both.contains("It takes 120 gal or more"), "{both}");
        assert!(both.contains("40 °F is too cold") && both.contains("Ask: "), "{both}");
        assert!(of(100.0, 200.0, 82.0).join(" ").contains("82 °F is warm"));
        assert_eq!(of(100.0, 200.0, 68.0), Vec::<String>::new());
        let whole = Order { good: Good { sold_as: SoldAs::Whole, size: String::new() }, ..order(100.0, 20.0, 40.0) };
        assert_eq!(tank_odd(&whole, Manner::UsCustomary), Vec::<String>::new());
    }
}
