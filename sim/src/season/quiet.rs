//! The end of a season: nothing is lost any more, every phone sends what it has, and all is held against what was typed.

use serde_json::{Value, json};

use super::{Air, Season};
use crate::judge;

impl Season {
    /// Late requests come, phones are opened once more and send until nothing waits.
    pub(super) fn quieten(&mut self) -> Result<(), String> {
        self.note("quiet");
        if !self.server.is_up() {
            self.server.start(self.now_ms)?;
        }
        for phone in 0..self.phones.len() {
            self.dead(phone)?;
        }
        for one in std::mem::take(&mut self.air) {
            if let Air::Asking { phone, is_photo, body, .. } = one {
                self.arrive(phone, None, is_photo, &body, None)?;
            }
        }
        // Twice: what the second phone tells may be news to nobody, but a phone that heard of a restore offers again.
        for _ in 0..2 {
            for phone in 0..self.phones.len() {
                let tab = self.tab(phone)?;
                let now_ms = self.now_ms + self.phones[phone].off_ms;
                self.script.tell(&json!({ "act": "send", "tab": tab, "now_ms": now_ms }))?;
                self.until_quiet()?;
            }
        }
        Ok(())
    }

    fn until_quiet(&mut self) -> Result<(), String> {
        for _ in 0..10_000 {
            self.hear()?;
            if !self.waiting.is_empty() {
                self.answer(0, false)?;
            } else if let Some(one) = self.air.pop() {
                match one {
                    Air::Asking { phone, by, is_photo, body } => self.arrive(phone, by, is_photo, &body, None)?,
                    Air::Answering { by, value } => {
                        let phone = self.listening.get(&by).copied().unwrap_or(0);
                        self.settle(phone, by, Some(value))?;
                    }
                }
            } else {
                return Ok(());
            }
        }
        Err("a phone sends for ever".to_owned())
    }

    /// Holds what is there against what was typed.
    pub(super) fn judged(&mut self) -> Result<(), String> {
        self.server.store()?.full_check().map_err(|error| format!("the full check: {error:?}"))?;
        let facts = self.server.facts()?;
        judge::gapless(&facts.iter().map(|kept| kept.seq).collect::<Vec<_>>())?;
        judge::once(&facts, &self.typed, &self.server.forms)?;
        judge::together(&facts, &self.corrections)?;
        self.lived.forks = judge::forks(&facts)?;
        let store = self.server.store()?;
        for id in &self.typed.photos {
            let Some(kept) = facts.iter().find(|kept| kept.fact.id == *id) else { continue };
            let bytes =
                store.blob(kept.fact.text("photo").unwrap_or_default()).map_err(|error| format!("{error:?}"))?;
            if bytes.is_none_or(|(_, bytes)| bytes != format!("picture {id}").as_bytes()) {
                return Err(format!("entry {id} has not its own picture"));
            }
        }
        let epoch = Value::String(store.epoch().map_err(|error| format!("{error:?}"))?);
        for phone in &self.phones {
            for (id, one) in &phone.entries {
                if one["state"] != "had" || one["under"] != epoch {
                    return Err(format!("{} holds {id} as {} under {}", phone.device, one["state"], one["under"]));
                }
            }
        }
        Ok(())
    }
}
