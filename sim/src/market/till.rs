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
          const till = tillOf({ unit: \"lb\", coins: 100, known: new Set(known) });
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
