//! A market day by chance: tables with phones that lose signal and die, lines typed twice, two phones at one table; on the farm's end the real record and
//! the real exchange, on the phones' the very words that send entries and reckon what is left (`web::SENDER`, `web::TILL_SUMS`).

use std::collections::{BTreeMap, BTreeSet};

use chance::{Purpose, Stream};
use farm::facts::Kept;
use farm::facts::market::{Clash, Market, Supply, market};
use serde_json::{Value, json};
use store::{FarmRow, Store};
use units::{Currency, Instant};
use web::{May, Who};

use crate::script::Script;
use crate::server::{FARM, Folder};

mod slip;
mod till;

pub use slip::Slip;
use till::Till;

const DAY: Purpose = Purpose(0x3a4e_7d11);
const BEGIN_MS: i64 = 1_600_000_000_000;
/// What each table is handed of each good, in hundredths of a pound, or pieces.
const HANDED: [(&str, u64); 3] = [("whole", 2500), ("tails", 900), ("piece", 60)];

/// What a day came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MarketDay {
    /// Lines that phones kept.
    pub lines: usize,
    /// Lines that a phone refused since its table had no more.
    pub refused: usize,
    /// Requests and answers that were lost.
    pub lost: usize,
    /// Phones that died and were charged again.
    pub died: usize,
    /// What did not fit together at the end.
    pub clashes: Vec<String>,
}

/// A phone at a table.
struct Phone {
    table: String,
    who: Who,
    script: Script,
    entries: BTreeMap<String, Value>,
    told: Value,
    /// The page it was given last: what the farm had counted, by good, and the marks it had counted.
    page: (BTreeMap<String, f64>, Vec<String>),
    /// No signal for so many turns.
    away: usize,
}

struct Day {
    luck: Stream,
    store: Store,
    _folder: Folder,
    till: Till,
    phones: Vec<Phone>,
    now_ms: i64,
    marks: u64,
    /// Every line that a phone kept, by mark, with the coins it showed its buyer.
    kept: BTreeMap<String, i64>,
    struck: BTreeSet<String>,
    day: MarketDay,
}

/// Lives a market day.
///
/// # Errors
/// What did not hold.
pub fn market_day(seed: u64, slip: Slip) -> Result<MarketDay, String> {
    let mut day = Day::new(seed, slip)?;
    let turns = 60 + day.luck.below(60);
    for turn in 0..turns {
        day.turn(slip, turn)?;
    }
    // Evening: everybody has signal, and all that waits is sent.
    for at in 0..day.phones.len() {
        day.phones[at].away = 0;
        for _ in 0..50 {
            if day.send(at, 0)? {
                break;
            }
        }
    }
    day.judged(slip)?;
    Ok(day.day.clone())
}

impl Day {
    fn new(seed: u64, slip: Slip) -> Result<Day, String> {
        let mut luck = Stream::new(seed, 0, DAY);
        let folder = Folder::new(&format!("market-{seed}-{slip:?}"))?;
        let store = Store::open(&folder.file("record.db"), BEGIN_MS).map_err(|error| format!("{error:?}"))?;
        let row = FarmRow { id: FARM.to_owned(), name: "Bend".to_owned(), made_ms: BEGIN_MS, is_sample: false };
        store.keep_farm(&row).map_err(|error| format!("{error:?}"))?;
        let number = 2 + luck.below(2);
        let phones = (0..number).map(|n| {
            let device = format!("phone-{n}");
            let mut who = Who::here();
            (who.person, who.name, who.may, who.is_here) = (format!("p{n}"), format!("P{n}"), May::Work, false);
            who.device.clone_from(&device);
            let script = Script::new(web::SENDER)?;
            script.tell(&json!({ "act": "open", "tab": 1, "device": device }))?;
            // Two phones at one table is what must not be, and is seen.
            let table = if slip == Slip::TwoPhones { 0 } else { n };
            let page = (BTreeMap::new(), Vec::new());
            Ok(Phone {
                table: format!("Table {table}"),
                who,
                script,
                entries: BTreeMap::new(),
                told: json!({}),
                page,
                away: 0,
            })
        });
        let phones = phones.collect::<Result<Vec<Phone>, String>>()?;
        let day = MarketDay { lines: 0, refused: 0, lost: 0, died: 0, clashes: Vec::new() };
        let (kept, struck) = (BTreeMap::new(), BTreeSet::new());
        let mut day = Day {
            luck,
            store,
            _folder: folder,
            till: Till::new()?,
            phones,
            now_ms: BEGIN_MS,
            marks: 0,
            kept,
            struck,
            day,
        };
        let tables: BTreeSet<String> = day.phones.iter().map(|phone| phone.table.clone()).collect();
        for table in tables {
            for (sold_as, much) in HANDED {
                let amount = match sold_as {
                    "piece" => json!({ "pieces": much.to_string() }),
                    _ => json!({ "amount": format!("{}.{:02} lb", much / 100, much % 100) }),
                };
                let mut typed = json!({ "table": table, "sold_as": sold_as });
                typed.as_object_mut().expect("fields").extend(amount.as_object().expect("one").clone());
                let fact = day.fact("handed", &typed, None, "lead");
                day.post(&Who::here(), "lead", &json!([fact]))?;
            }
        }
        for at in 0..day.phones.len() {
            day.opens_page(at)?;
        }
        Ok(day)
    }

    fn mark(&mut self) -> String {
        self.marks += 1;
        // The letters that a page knows a line by must differ: they come first.
        format!("{:010x}{:022x}", self.marks.wrapping_mul(0x9e37_79b9) & 0xff_ffff_ffff, self.marks)
    }

    fn fact(&mut self, kind: &str, typed: &Value, corrects: Option<&str>, device: &str) -> Value {
        self.now_ms += 1000;
        json!({ "id": self.mark(), "farm": FARM, "device": device, "person": device, "kind": kind, "form": 1,
            "happened": { "utc_s": self.now_ms / 1000, "offset_s": 0 }, "typed_ms": self.now_ms, "corrects": corrects, "typed": typed })
    }

    /// One body to the farm.
    fn post(&self, who: &Who, device: &str, facts: &Value) -> Result<Value, String> {
        let body = json!({ "schema": "warmspell.sync", "version": 1, "device": device, "clock_ms": self.now_ms, "epoch": null, "facts": facts });
        let answer = web::exchange::answer(&self.store, FARM, who, body.to_string().as_bytes(), self.now_ms);
        serde_json::from_str(&answer.body).map_err(|error| error.to_string())
    }

    fn facts(&self) -> Result<Vec<Kept>, String> {
        self.store.facts(FARM).map_err(|error| format!("{error:?}"))
    }

    fn market(&self) -> Result<Market, String> {
        Ok(market(&self.facts()?, &Currency::parse("USD").expect("a currency")))
    }

    /// The phone opens its table's page while it has signal: what the farm has counted, and by which marks.
    fn opens_page(&mut self, at: usize) -> Result<(), String> {
        let market = self.market()?;
        let table = self.phones[at].table.clone();
        let stands = market.stands().into_iter().filter(|stand| stand.table == table);
        let left = stands.map(|stand| (stand.good.sold_as.word().to_owned(), stand.left())).collect();
        let lines = market.sold.iter().filter(|line| line.table == table).map(|line| &line.entered.head);
        let handed = market.handed.iter().filter(|one| one.table == table).map(|one| &one.entered.head);
        self.phones[at].page = (left, lines.chain(handed).map(|head| head[..10].to_owned()).collect());
        Ok(())
    }

    fn turn(&mut self, slip: Slip, turn: usize) -> Result<(), String> {
        let at = self.luck.below(self.phones.len());
        match self.luck.below(20) {
            0 => self.phones[at].away = 5 + self.luck.below(30),
            // It dies in the midst of an entry: what is on its disk stays, the page it then opens is the one it had put by.
            1 => {
                let script = Script::new(web::SENDER)?;
                script.tell(&json!({ "act": "open", "tab": 1, "device": self.phones[at].who.device }))?;
                self.phones[at].script = script;
                self.day.died += 1;
            }
            2 | 3 if self.phones[at].away == 0 => {
                self.send(at, 30)?;
                self.opens_page(at)?;
            }
            4 => self.mends(at)?,
            5 if slip == Slip::Twice && turn > 10 => self.types_again(at)?,
            _ => self.sells(at)?,
        }
        self.phones[at].away = self.phones[at].away.saturating_sub(1);
        if self.phones[at].away == 0 {
            self.send(at, 30)?;
        }
        Ok(())
    }

    /// A line, if the phone says that there is as much left.
    fn sells(&mut self, at: usize) -> Result<(), String> {
        let (sold_as, _) = HANDED[self.luck.below(HANDED.len())];
        let much = 20 + self.luck.below(480);
        let cents = 500 + self.luck.below(1500);
        let typed = match sold_as {
            "piece" => {
                json!({ "pieces": (1 + much / 40).to_string(), "price": format!("${}.{:02} each", cents / 1000, cents / 10 % 100) })
            }
            _ => {
                json!({ "amount": format!("{}.{:02} lb", much / 100, much % 100), "tare": "0.05 lb", "price": format!("${}.{:02}/lb", cents / 100, cents % 100) })
            }
        };
        let mut line = json!({ "table": self.phones[at].table, "sold_as": sold_as, "receipt": format!("{:032x}", self.marks + 1) });
        line.as_object_mut().expect("fields").extend(typed.as_object().expect("fields").clone());
        self.keeps_if_left(at, sold_as, &line, None)
    }

    fn keeps_if_left(&mut self, at: usize, sold_as: &str, line: &Value, corrects: Option<&str>) -> Result<(), String> {
        let phone = &self.phones[at];
        let facts: Vec<Value> = phone.entries.values().map(|one| one["fact"].clone()).collect();
        let left = phone.page.0.get(sold_as).copied().unwrap_or(0.0);
        let good = json!({ "sold_as": sold_as, "size": "", "left": left });
        let said = self.till.reckon(&json!({ "known": phone.page.1, "facts": facts, "good": good, "line": line }))?;
        let (left, takes) = (said["left"].as_f64().unwrap_or(0.0), said["takes"].as_f64().unwrap_or(0.0));
        // As the page does it: the script is asked before anything is kept.
        if takes > left + 1e-6 {
            self.day.refused += 1;
            return Ok(());
        }
        let device = phone.who.device.clone();
        let fact = self.fact("sale", line, corrects, &device);
        let id = fact["id"].as_str().unwrap_or_default().to_owned();
        let one = json!({ "id": id, "state": "waiting", "at": self.now_ms, "text": "", "fact": fact });
        self.keep(at, &one)?;
        self.kept.insert(id, said["coins"].as_i64().unwrap_or(0));
        self.day.lines += 1;
        Ok(())
    }

    /// Strikes one of its own lines.
    fn mends(&mut self, at: usize) -> Result<(), String> {
        let lines: Vec<String> = self.phones[at]
            .entries
            .iter()
            .filter(|(id, one)| one["fact"]["corrects"].is_null() && !self.struck.contains(*id))
            .map(|(id, _)| id.clone())
            .collect();
        if lines.is_empty() {
            return Ok(());
        }
        let id = lines[self.luck.below(lines.len())].clone();
        let device = self.phones[at].who.device.clone();
        let fact = self.fact("sale", &json!({ "struck": "yes", "table": self.phones[at].table }), Some(&id), &device);
        let mark = fact["id"].as_str().unwrap_or_default().to_owned();
        self.keep(at, &json!({ "id": mark, "state": "waiting", "at": self.now_ms, "text": "", "fact": fact }))?;
        self.struck.insert(id);
        Ok(())
    }

    /// Somebody types a line of another phone again, at that phone's table: it knows nothing of it, and keeps it.
    fn types_again(&mut self, at: usize) -> Result<(), String> {
        let other = (at + 1) % self.phones.len();
        let line = self.phones[other].entries.values().find(|one| one["fact"]["corrects"].is_null());
        let Some(typed) = line.map(|one| one["fact"]["typed"].clone()) else { return Ok(()) };
        let device = self.phones[at].who.device.clone();
        let fact = self.fact("sale", &typed, None, &device);
        let id = fact["id"].as_str().unwrap_or_default().to_owned();
        let coins = self.till.reckon(
            &json!({ "known": [], "facts": [], "good": { "sold_as": "", "size": "", "left": 0.0 }, "line": typed }),
        )?;
        self.keep(at, &json!({ "id": id, "state": "waiting", "at": self.now_ms, "text": "", "fact": fact }))?;
        self.kept.insert(id, coins["coins"].as_i64().unwrap_or(0));
        self.day.lines += 1;
        Ok(())
    }

    fn keep(&mut self, at: usize, one: &Value) -> Result<(), String> {
        self.phones[at].script.tell(&json!({ "act": "keep", "tab": 1, "one": one }))?;
        self.answers(at, "keep", 0)
            .and_then(|ok| if ok { Ok(()) } else { Err("a phone could not keep a line".to_owned()) })
    }

    /// Sends what waits; `lost` in a hundred requests or answers get lost.
    fn send(&mut self, at: usize, lost: usize) -> Result<bool, String> {
        let now_ms = self.now_ms;
        self.phones[at].script.tell(&json!({ "act": "send", "tab": 1, "now_ms": now_ms }))?;
        self.answers(at, "send", lost)
    }

    /// Answers whatever the phone's script asks of its world, until what was begun has ended.
    fn answers(&mut self, at: usize, what: &str, lost: usize) -> Result<bool, String> {
        for _ in 0..400 {
            let (asked, ended) = self.phones[at].script.heard()?;
            if let Some(one) = ended.iter().find(|one| one.what == what) {
                return Ok(one.ok);
            }
            for one in asked {
                let body: Value =
                    one.body.as_deref().map_or(Value::Null, |text| serde_json::from_str(text).unwrap_or(Value::Null));
                let (mut ok, mut value) = (true, Value::Null);
                let all = Value::Array(self.phones[at].entries.values().cloned().collect());
                match one.what.as_str() {
                    "all" => value = all,
                    "told" => value = self.phones[at].told[body.as_str().unwrap_or_default()].clone(),
                    "change" => {
                        let judge = json!({ "act": "judge", "n": one.n, "entries": all, "told": self.phones[at].told });
                        let change = self.phones[at].script.tell(&judge)?;
                        self.lay(at, &change);
                    }
                    _ => {
                        let reaches = self.luck.below(100) >= lost;
                        if reaches {
                            let who = self.phones[at].who.clone();
                            let said = self.post(&who, &who.device.clone(), &body["facts"])?;
                            value = json!({ "status": 200, "said": said });
                        }
                        // The request was lost, or its answer was.
                        ok = reaches && self.luck.below(100) >= lost;
                        self.day.lost += usize::from(!ok);
                    }
                }
                self.phones[at].script.tell(&json!({ "act": "settle", "n": one.n, "ok": ok, "value": value }))?;
            }
        }
        Err(format!("a phone never ended to {what}"))
    }

    fn lay(&mut self, at: usize, change: &Value) {
        let phone = &mut self.phones[at];
        for one in change["put"].as_array().into_iter().flatten() {
            phone.entries.insert(one["id"].as_str().unwrap_or_default().to_owned(), one.clone());
        }
        for id in change["drop"].as_array().into_iter().flatten().filter_map(Value::as_str) {
            phone.entries.remove(id);
        }
        for (key, value) in change["told"].as_object().into_iter().flatten() {
            phone.told[key.as_str()] = value.clone();
        }
    }

    /// What must hold in the evening, whatever happened.
    fn judged(&mut self, slip: Slip) -> Result<(), String> {
        let market = self.market()?;
        let there: BTreeMap<&str, i64> =
            market.sold.iter().map(|line| (line.entered.id.as_str(), line.money.coins)).collect();
        let counts: BTreeMap<&str, i64> = self
            .kept
            .iter()
            .filter(|(id, _)| !self.struck.contains(*id))
            .map(|(id, coins)| (id.as_str(), *coins))
            .collect();
        if there != counts {
            return Err(format!("lines kept and lines there differ: {counts:?} and {there:?}"));
        }
        if !market.unread.is_empty() {
            return Err(format!("unread: {:?}", market.unread));
        }
        let known = Supply { live_kg: 1e6, whole_kg: 1e6, tails_kg: 1e6, first: Some(Instant(0)), ..Supply::default() };
        let clashes = market.clashes(&known);
        let over: Vec<&Clash> = clashes.iter().filter(|clash| matches!(clash, Clash::TableOver { .. })).collect();
        for stand in market.stands() {
            let shown = over.iter().any(|clash| matches!(clash, Clash::TableOver { table, good, .. } if *table == stand.table && *good == stand.good));
            if shown != (stand.left() < -1e-6) {
                return Err(format!("{stand:?} is {}shown as a clash", if shown { "" } else { "not " }));
            }
        }
        if slip == Slip::None && !clashes.is_empty() {
            return Err(format!("one phone to a table, and yet {clashes:?}"));
        }
        self.day.clashes = clashes.iter().map(|clash| format!("{clash:?}")).collect();
        Ok(())
    }
}
