//! What happens in a season.

use std::collections::BTreeMap;

use farm::facts::{Fact, Happened, newest_form};
use serde_json::{Value, json};
use units::Instant;

use super::{Air, Season};
use crate::cut::End;
use crate::server::FARM;

const HOUR_MS: usize = 3_600_000;
const DAY_MS: usize = 24 * HOUR_MS;
/// How far a clock may be wrong, days.
const WRONG_DAYS: usize = 90;

impl Season {
    /// The season itself.
    pub(super) fn pass(&mut self) -> Result<(), String> {
        for _ in 0..300 + self.luck.below(300) {
            let most = match self.luck.below(100) {
                0..=79 => 30_000,
                80..=93 => 6 * HOUR_MS,
                94..=98 => 3 * DAY_MS,
                _ => 12 * DAY_MS,
            };
            self.now_ms += 1 + self.luck.below(most) as i64;
            self.step()?;
            self.hear()?;
        }
        Ok(())
    }

    fn step(&mut self) -> Result<(), String> {
        match self.luck.below(100) {
            0..=39 if !self.waiting.is_empty() => {
                let which = self.luck.below(self.waiting.len());
                self.answer(which, true)
            }
            40..=62 if !self.air.is_empty() => {
                let which = self.luck.below(self.air.len());
                self.carry(which)
            }
            63..=77 => self.type_one(),
            88..=90 => self.come_and_go(),
            91..=93 => {
                self.set_clock();
                Ok(())
            }
            94..=95 => self.end_or_start(),
            96 if self.server.is_up() => {
                self.note("backup");
                self.server.back_up(self.now_ms)
            }
            97 => {
                let end = self.end(20);
                let done = self.server.restore(self.now_ms, end, &mut self.luck)?;
                self.note(&format!("restore {done} {end:?}"));
                Ok(())
            }
            98..=99 => self.form(),
            _ if !self.server.is_up() => self.end_or_start(),
            _ => self.send(),
        }
    }

    /// Hears what the tabs ask for and what came to its end in them.
    pub(super) fn hear(&mut self) -> Result<(), String> {
        let (asked, ended) = self.script.heard()?;
        self.waiting.extend(asked);
        for one in ended {
            self.note(&format!("tab {} {} {:?} {}", one.tab, one.what, one.id, one.ok));
            if let (Some(id), true) = (one.id, one.ok) {
                self.typed.maybe.remove(&id);
                self.typed.kept.insert(id);
            }
        }
        Ok(())
    }

    /// How the farm's program ends in the midst of what it does now, if it does.
    fn end(&mut self, percent: usize) -> Option<End> {
        if !self.chance(percent) {
            return None;
        }
        Some(if self.chance(70) { End::Killed } else { End::Power })
    }

    fn clock(&self, phone: usize) -> i64 {
        self.now_ms + self.phones[phone].off_ms
    }

    /// Answers what a tab asked for; with `odd`, its phone may fail or go dead at this moment.
    pub(super) fn answer(&mut self, which: usize, odd: bool) -> Result<(), String> {
        let asked = self.waiting.remove(which);
        let Some(at) = self.phone_of(asked.tab) else { return Ok(()) };
        let value = match asked.what.as_str() {
            "all" => self.phones[at].all(),
            "told" => {
                let key: Value =
                    asked.body.as_deref().and_then(|text| serde_json::from_str(text).ok()).unwrap_or_default();
                self.phones[at].told.get(key.as_str().unwrap_or_default()).cloned().unwrap_or_default()
            }
            "change" => {
                let told = json!({ "act": "judge", "n": asked.n, "entries": self.phones[at].all(),
                    "told": self.phones[at].known(), "now_ms": self.clock(at) });
                let change = self.script.tell(&told)?;
                match if odd { self.luck.below(100) } else { 99 } {
                    0 => return self.dead(at),
                    1 | 2 => {
                        self.phones[at].lay(&change)?;
                        return self.dead(at);
                    }
                    3 => return self.settle(at, asked.n, None),
                    _ => self.phones[at].lay(&change)?,
                }
                Value::Null
            }
            what => {
                let is_photo = what == "photo";
                let body = asked.body.unwrap_or_default();
                self.air.push(Air::Asking { phone: at, by: Some(asked.n), is_photo, body });
                return Ok(());
            }
        };
        self.settle(at, asked.n, Some(value))
    }

    /// Gives a tab what it asked for, or tells it that it failed.
    pub(super) fn settle(&mut self, phone: usize, n: u64, value: Option<Value>) -> Result<(), String> {
        let told =
            json!({ "act": "settle", "n": n, "ok": value.is_some(), "value": value, "now_ms": self.clock(phone) });
        self.script.tell(&told).map(drop)
    }

    /// One thing in the air comes down, or does not.
    fn carry(&mut self, which: usize) -> Result<(), String> {
        let one = self.air.swap_remove(which);
        let roll = self.luck.below(100);
        match one {
            Air::Asking { phone, by: Some(by), .. } if roll < 10 => {
                self.lived.lost += 1;
                self.note(&format!("request of {phone} lost"));
                self.settle(phone, by, None)
            }
            Air::Asking { phone, by: Some(by), is_photo, body } if roll < 20 => {
                // The phone waits no longer; the request comes all the same, whenever it does.
                self.lived.lost += 1;
                self.air.push(Air::Asking { phone, by: None, is_photo, body });
                self.settle(phone, by, None)
            }
            Air::Asking { phone, by, is_photo, body } => {
                if roll < 30 && self.air.len() < 40 {
                    self.air.push(Air::Asking { phone, by: None, is_photo, body: body.clone() });
                }
                let end = self.end(6);
                self.arrive(phone, by, is_photo, &body, end)
            }
            Air::Answering { by, value } => {
                let is_lost = roll < 15;
                self.lived.lost += u32::from(is_lost);
                // The clock of the moment does not matter to a failure; a tab that is gone hears nothing.
                let phone = self.listening.get(&by).copied().unwrap_or(0);
                self.settle(phone, by, (!is_lost).then_some(value))
            }
        }
    }

    /// A request reaches the farm.
    pub(super) fn arrive(
        &mut self,
        phone: usize,
        by: Option<u64>,
        is_photo: bool,
        body: &str,
        end: Option<End>,
    ) -> Result<(), String> {
        let (who, now_ms) = (self.phones[phone].who.clone(), self.now_ms);
        let answer = if is_photo {
            let bytes: Value = serde_json::from_str(body).unwrap_or_default();
            self.server.photo(bytes.as_str().unwrap_or_default(), now_ms, end, &mut self.luck)?
        } else {
            self.server.exchange(&who, body, now_ms, end, &mut self.luck)?
        };
        let status = answer.as_ref().map(|(status, _)| *status);
        self.lived.exchanges += u32::from(status.is_some());
        self.note(&format!("request of {phone} {by:?} photo {is_photo}, {} long: {status:?} {end:?}", body.len()));
        let Some(by) = by else { return Ok(()) };
        match answer {
            None => self.settle(phone, by, None),
            Some((status, said)) => {
                let value = if is_photo {
                    json!({ "status": status, "digest": said["digest"] })
                } else {
                    json!({ "status": status, "said": said })
                };
                self.listening.insert(by, phone);
                self.air.push(Air::Answering { by, value });
                Ok(())
            }
        }
    }

    /// A tab of the phone; opened when there is none.
    pub(super) fn tab(&mut self, phone: usize) -> Result<u64, String> {
        if self.phones[phone].tabs.is_empty() {
            self.open(phone)?;
        }
        let which = self.luck.below(self.phones[phone].tabs.len());
        Ok(self.phones[phone].tabs[which])
    }

    fn open(&mut self, phone: usize) -> Result<(), String> {
        self.tabs += 1;
        let tab = self.tabs;
        self.phones[phone].tabs.push(tab);
        self.script.tell(&json!({ "act": "open", "tab": tab, "device": self.phones[phone].device })).map(drop)
    }

    fn close(&mut self, phone: usize, tab: u64) -> Result<(), String> {
        self.phones[phone].tabs.retain(|other| *other != tab);
        self.waiting.retain(|asked| asked.tab != tab);
        self.lived.gone += 1;
        self.script.tell(&json!({ "act": "close", "tab": tab })).map(drop)
    }

    /// The battery is empty: whatever its tabs were doing ends here.
    pub(super) fn dead(&mut self, phone: usize) -> Result<(), String> {
        self.note(&format!("phone {phone} dead"));
        for tab in self.phones[phone].tabs.clone() {
            self.close(phone, tab)?;
        }
        Ok(())
    }

    fn come_and_go(&mut self) -> Result<(), String> {
        let phone = self.luck.below(self.phones.len());
        match self.luck.below(7) {
            0 => self.dead(phone),
            1 => {
                let tab = self.tab(phone)?;
                self.note(&format!("tab {tab} closed"));
                self.close(phone, tab)
            }
            _ if self.phones[phone].tabs.len() < 3 => {
                self.open(phone)?;
                // A page that is opened sends what waits.
                let tab = self.tabs;
                self.script.tell(&json!({ "act": "send", "tab": tab, "now_ms": self.clock(phone) })).map(drop)
            }
            _ => Ok(()),
        }
    }

    fn send(&mut self) -> Result<(), String> {
        let phone = self.luck.below(self.phones.len());
        let tab = self.tab(phone)?;
        self.script.tell(&json!({ "act": "send", "tab": tab, "now_ms": self.clock(phone) })).map(drop)
    }

    fn set_clock(&mut self) {
        let phone = self.luck.below(self.phones.len());
        let some = self.luck.below(WRONG_DAYS * DAY_MS) as i64;
        self.phones[phone].off_ms = match self.luck.below(4) {
            0 => 0,
            1 => -some,
            2 => some / 2000 - 1_900_000,
            _ => some,
        };
        self.note(&format!("clock of {phone} {}", self.phones[phone].off_ms));
    }

    fn end_or_start(&mut self) -> Result<(), String> {
        let was_up = self.server.is_up();
        self.note(if was_up { "end" } else { "start" });
        if was_up {
            self.server.stop();
            Ok(())
        } else {
            self.server.start(self.now_ms)
        }
    }

    fn mark(&mut self) -> (String, String) {
        self.marks += 1;
        let text = format!("e{} {}", self.marks, "the water is warm ".repeat(self.note / 18));
        (format!("{:024x}00000000", self.marks), text.trim().to_owned())
    }

    fn type_one(&mut self) -> Result<(), String> {
        let phone = self.luck.below(self.phones.len());
        let tab = self.tab(phone)?;
        let (id, text) = self.mark();
        let mut typed = BTreeMap::from([("text".to_owned(), text.clone())]);
        let (kind, corrects) = self.kind(phone, &mut typed);
        let is_photo = kind == "photo";
        let (clock, who) = (self.clock(phone), &self.phones[phone].who);
        let mut one = json!({
            "id": id, "state": "waiting", "at": clock, "text": "", "fact": {
                "id": id, "farm": FARM, "device": self.phones[phone].device, "person": who.person, "kind": kind,
                "form": newest_form(&kind).map_or(1, |form| form.version),
                "happened": { "utc_s": self.now_ms / 1000, "offset_s": -18_000 }, "typed_ms": clock,
                "corrects": corrects, "typed": typed,
            },
        });
        if is_photo {
            (one["blob"], one["put"]) = (json!(format!("picture {id}")), json!(false));
            self.typed.photos.insert(id.clone());
        }
        self.note(&format!("phone {phone} types {id} {kind} {corrects:?}"));
        if let Some(of) = corrects {
            self.corrections.insert(id.clone(), of);
        }
        self.typed.maybe.insert(id.clone());
        self.typed.texts.insert(id, text);
        self.script.tell(&json!({ "act": "keep", "tab": tab, "one": one, "now_ms": clock })).map(drop)
    }

    /// What is typed: an entry, a correction of one, or which of two corrections holds.
    fn kind(&mut self, phone: usize, typed: &mut BTreeMap<String, String>) -> (String, Option<String>) {
        let targets: Vec<String> =
            self.typed.kept.iter().rev().filter(|id| !self.typed.photos.contains(*id)).take(8).cloned().collect();
        if targets.is_empty() || self.chance(60) {
            return (if self.chance(12) { "photo" } else { "note" }.to_owned(), None);
        }
        let of = targets[self.luck.below(targets.len())].clone();
        if self.phones[phone].who.is_here && self.chance(8) {
            typed.insert("winner".to_owned(), of.clone());
            return ("settle".to_owned(), Some(of));
        }
        ("note".to_owned(), Some(of))
    }

    fn form(&mut self) -> Result<(), String> {
        let (id, text) = self.mark();
        let fact = Fact {
            id: id.clone(),
            farm: FARM.to_owned(),
            device: "this-machine".to_owned(),
            person: "owner".to_owned(),
            kind: "note".to_owned(),
            form: 1,
            happened: Happened { at: Instant(self.now_ms / 1000), offset_s: 0 },
            typed_ms: self.now_ms,
            corrects: None,
            typed: BTreeMap::from([("text".to_owned(), text.clone())]),
            values: BTreeMap::new(),
        };
        let end = self.end(10);
        self.note(&format!("form {id} {end:?}"));
        self.typed.texts.insert(id, text);
        self.server.form(fact, self.now_ms, end, &mut self.luck)
    }
}
