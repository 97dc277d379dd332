//! The phone's own words that reckon what a table has left, in an engine of their own.

use rquickjs::{Context, Function, Runtime};
use serde_json::Value;

/// The words that reckon a table, in an engine of their own.
pub(super) struct Till {
    context: Context,
    _runtime: Runtime,
}

impl Till {
    pub(super) fn new() -> Result<Till, String> {
        let runtime = Runtime::new().map_err(|error| error.to_string())?;
        let context = Context::full(&runtime).map_err(|error| error.to_string())?;
        let face = "globalThis.reckon = (text) => {
          const { known, facts, good, line } = JSON.parse(text);
          const till = tillOf({ unit: \"lb\", coins: 100, known: new Set(known), signs: [\"$\", \"us$\", \"dollar\", \"dollars\", \"cent\", \"cents\", \"¢\", \"usd\"] });
          return JSON.stringify({ left: till.left(good, till.fold(facts)), takes: till.amountOf(line), coins: till.coinsOf(line) });
        };";
        let text = format!("{}\n{face}", web::TILL_SUMS);
        context.with(|ctx| ctx.eval::<(), _>(text).map_err(|_| format!("the till: {:?}", ctx.catch())))?;
        Ok(Till { context, _runtime: runtime })
    }

    pub(super) fn reckon(&self, asked: &Value) -> Result<Value, String> {
        let said: String = self.context.with(|ctx| {
            let reckon: Function = ctx.globals().get("reckon").map_err(|error| error.to_string())?;
            reckon.call((asked.to_string(),)).map_err(|_| format!("the till at {asked}: {:?}", ctx.catch()))
        })?;
        serde_json::from_str(&said).map_err(|error| error.to_string())
    }
}

#[cfg(test)]
mod tests {
    use farm::facts::market::{line_money, price};
    use farm::facts::read_typed;
    use serde_json::json;
    use units::Currency;

    use super::*;

    /// Whatever the phone takes as a line, the farm reads, and to the same coin: a line that the phone counts and the farm drops is money lost.
    #[test]
    fn the_phone_takes_no_price_that_the_farm_does_not_read_to_the_same_coin() {
        let till = Till::new().expect("the script");
        let dollars = Currency::parse("USD").expect("a currency");
        let mut taken = 0;
        for text in [
            "$12/lb",
            "12/lb",
            "$12.50/lb",
            "12 USD/lb",
            "USD 12 per lb",
            "12 dollars per pound",
            "US$ 12/lb",
            "$1,200/kg",
            "$.90/oz",
            "$12 / kg",
            "150 cents/lb",
            "¢90/lb",
            "€12/lb",
            "12 EUR/lb",
            "£12/lb",
            "R$ 12/lb",
            "BRL 12/lb",
            "$12",
            "12",
            "",
            "$12/lb or so",
            "about $12/lb",
            "$12/bushel",
            "$12.50.5/lb",
            "$$12/lb",
            "$12 USD/lb",
            "CAD 12/lb",
            "-$12/lb",
            "$-12/lb",
            "$0.90 each",
            "$1,2,3/lb",
            "$12/lbs",
            "12 \u{20ac} per lb",
        ] {
            let line = json!({ "sold_as": "whole", "amount": "2.35 lb", "price": text });
            let asked =
                json!({ "known": [], "facts": [], "good": { "sold_as": "", "size": "", "left": 0.0 }, "line": line });
            let coins = till.reckon(&asked).expect("it reckons")["coins"].as_i64().unwrap_or(0);
            if coins == 0 {
                continue;
            }
            taken += 1;
            let pays = price(text, &dollars)
                .unwrap_or_else(|| panic!("{text}: the phone counts {coins}, the farm reads no price"));
            assert_eq!(line_money(2.35 * 0.453_592_37, pays).coins, coins, "{text}");
            let typed = [("table", "A"), ("sold_as", "whole"), ("amount", "2.35 lb"), ("price", text)];
            let read = read_typed("sale", 1, &typed.map(|(name, text)| (name.to_owned(), text.to_owned())).into());
            assert!(read.slips.is_empty() || text == "$0.90 each", "{text}: {:?}", read.slips);
        }
        assert!(taken >= 10, "{taken}");
    }
}
