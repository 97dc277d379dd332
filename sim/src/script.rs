//! The script that phones run, in an engine of its own.

use rquickjs::{Context, Function, Runtime};
use serde_json::Value;

/// The engine with the script in it.
pub struct Script {
    runtime: Runtime,
    context: Context,
}

/// What a tab asks of its world.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asked {
    /// Under which number it is answered.
    pub n: u64,
    /// The tab.
    pub tab: u64,
    /// `all`, `told` or `change` of the phone's shelf; `post` or `photo` to the farm.
    pub what: String,
    /// What goes with it, JSON.
    pub body: Option<String>,
}

/// What came to its end in a tab.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ended {
    /// The tab.
    pub tab: u64,
    /// `keep` or `send`.
    pub what: String,
    /// The entry that was kept.
    pub id: Option<String>,
    /// As it should.
    pub ok: bool,
}

impl Script {
    /// An engine that runs `sender`.
    ///
    /// # Errors
    /// What is wrong with the script.
    pub fn new(sender: &str) -> Result<Script, String> {
        let runtime = Runtime::new().map_err(|error| error.to_string())?;
        let context = Context::full(&runtime).map_err(|error| error.to_string())?;
        let text = format!("{sender}\n{}", include_str!("driver.js"));
        context.with(|ctx| ctx.eval::<(), _>(text).map_err(|_| format!("the script: {:?}", ctx.catch())))?;
        Ok(Script { runtime, context })
    }

    /// Tells the script something and lets it run until it waits again.
    ///
    /// # Errors
    /// What the script threw.
    pub fn tell(&self, told: &Value) -> Result<Value, String> {
        let said: String = self.context.with(|ctx| {
            let tell: Function = ctx.globals().get("tell").map_err(|error| error.to_string())?;
            tell.call((told.to_string(),)).map_err(|_| format!("the script at {told}: {:?}", ctx.catch()))
        })?;
        while self.runtime.is_job_pending() {
            self.runtime.execute_pending_job().map_err(|error| format!("the script after {told}: {error:?}"))?;
        }
        serde_json::from_str(&said).map_err(|error| error.to_string())
    }

    /// What was asked and what came to its end since this was last called.
    ///
    /// # Errors
    /// What the script threw.
    pub fn heard(&self) -> Result<(Vec<Asked>, Vec<Ended>), String> {
        let said = self.tell(&serde_json::json!({ "act": "heard" }))?;
        let list = |name: &str| said[name].as_array().cloned().unwrap_or_default();
        let text = |value: &Value| value.as_str().map(str::to_owned);
        let number = |value: &Value| value.as_u64().unwrap_or_default();
        let (asked, ended) = (list("asked"), list("ended"));
        let asked = asked.iter().map(|one| Asked {
            n: number(&one["n"]),
            tab: number(&one["tab"]),
            what: text(&one["what"]).unwrap_or_default(),
            body: text(&one["body"]),
        });
        let ended = ended.iter().map(|one| Ended {
            tab: number(&one["tab"]),
            what: text(&one["what"]).unwrap_or_default(),
            id: text(&one["id"]),
            ok: one["ok"].as_bool().unwrap_or_default(),
        });
        Ok((asked.collect(), ended.collect()))
    }
}
