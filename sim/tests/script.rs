//! The phones' script by single answers: what it keeps, what it sends again, and what it lets go.

use std::collections::BTreeMap;

use serde_json::{Value, json};
use sim::Script;

const DAY_MS: i64 = 86_400_000;
const NOW_MS: i64 = 1_600_000_000_000;

/// A phone with one tab.
struct Phone {
    script: Script,
    entries: BTreeMap<String, Value>,
    told: Value,
}

impl Phone {
    fn new() -> Phone {
        let script = Script::new(web::SENDER).expect("the script runs");
        script.tell(&json!({ "act": "open", "tab": 1, "device": "phone" })).expect("a tab");
        Phone { script, entries: BTreeMap::new(), told: json!({}) }
    }

    fn with(mut self, id: &str, more: Value) -> Phone {
        let mut one =
            json!({ "id": id, "state": "waiting", "at": NOW_MS, "text": "", "fact": { "id": id, "typed": {} } });
        for (key, value) in more.as_object().expect("fields") {
            one[key] = value.clone();
        }
        self.entries.insert(id.to_owned(), one);
        self
    }

    fn state(&self, id: &str) -> &str {
        self.entries.get(id).and_then(|one| one["state"].as_str()).unwrap_or("gone")
    }

    /// Sends all; the farm answers by `farm`, given `post` or `photo` and its body. True when the farm answered for all of it.
    fn send(&mut self, now_ms: i64, farm: &mut dyn FnMut(&str, &Value) -> Value) -> bool {
        let tell = |phone: &Phone, told: Value| phone.script.tell(&told).expect("the script goes on");
        tell(self, json!({ "act": "send", "tab": 1, "now_ms": now_ms }));
        for _ in 0..1000 {
            let (asked, ended) = self.script.heard().expect("the script speaks");
            if let Some(one) = ended.first() {
                return one.ok;
            }
            for one in asked {
                let body: Value =
                    one.body.as_deref().map_or(Value::Null, |text| serde_json::from_str(text).expect("JSON"));
                let all = Value::Array(self.entries.values().cloned().collect());
                let value = match one.what.as_str() {
                    "all" => all,
                    "told" => self.told[body.as_str().expect("a key")].clone(),
                    "change" => {
                        let judge =
                            json!({ "act": "judge", "n": one.n, "entries": all, "told": self.told, "now_ms": now_ms });
                        self.lay(&tell(self, judge));
                        Value::Null
                    }
                    what => farm(what, &body),
                };
                tell(self, json!({ "act": "settle", "n": one.n, "ok": true, "value": value, "now_ms": now_ms }));
            }
        }
        panic!("it sends for ever");
    }

    fn lay(&mut self, change: &Value) {
        for one in change["put"].as_array().into_iter().flatten() {
            self.entries.insert(one["id"].as_str().expect("an id").to_owned(), one.clone());
        }
        for id in change["drop"].as_array().into_iter().flatten() {
            self.entries.remove(id.as_str().expect("an id"));
        }
        for (key, value) in change["told"].as_object().into_iter().flatten() {
            self.told[key] = value.clone();
        }
    }
}

/// An answer to every entry alike.
fn all(answer: &str, epoch: &str, clock_ms: i64, body: &Value) -> Value {
    let ids = body["facts"].as_array().expect("facts").iter();
    let answers: Vec<Value> = ids.map(|fact| json!({ "id": fact["id"], "answer": answer })).collect();
    json!({ "status": 200, "said": { "epoch": epoch, "clock_ms": clock_ms, "answers": answers } })
}

#[test]
fn an_entry_goes_thirty_days_after_its_answer_by_both_clocks_and_not_before() {
    for (farm_days, phone_days, left) in [(29, 29, "had"), (31, 29, "had"), (29, 400, "had"), (31, 31, "gone")] {
        let mut phone = Phone::new().with("a", json!({}));
        assert!(phone.send(NOW_MS, &mut |_, body| all("made", "one", NOW_MS, body)));
        assert_eq!((phone.state("a"), phone.told["epoch"].as_str()), ("had", Some("one")));
        let farm_ms = NOW_MS + farm_days * DAY_MS;
        assert!(phone.send(NOW_MS + phone_days * DAY_MS, &mut |_, body| all("made", "one", farm_ms, body)));
        assert_eq!(phone.state("a"), left, "{farm_days} days by the farm's clock, {phone_days} by the phone's");
    }
}

#[test]
fn after_a_restore_all_that_was_answered_for_is_offered_again_however_old() {
    let (made, old) = (json!({ "state": "had", "under": "one", "had_ms": NOW_MS }), NOW_MS + 300 * DAY_MS);
    let mut phone =
        Phone::new().with("a", made.clone()).with("b", made).with("c", json!({ "state": "differs", "under": "one" }));
    phone.told = json!({ "epoch": "one" });
    let mut sent = Vec::new();
    assert!(phone.send(old, &mut |_, body| {
        sent.push(body["facts"].as_array().expect("facts").len());
        all("already_had", "two", old, body)
    }));
    assert_eq!(sent, [0, 3], "first it hears of the restore");
    assert_eq!(["a", "b", "c"].map(|id| phone.state(id)), ["had"; 3]);
    assert!(phone.entries.values().all(|one| one["under"] == "two"));
}

#[test]
fn what_an_earlier_program_kept_gets_its_thirty_days() {
    let mut phone = Phone::new().with("a", json!({ "state": "had", "at": NOW_MS - 300 * DAY_MS }));
    phone.told = json!({ "epoch": "one" });
    assert!(phone.send(NOW_MS, &mut |_, body| all("made", "one", NOW_MS, body)));
    assert_eq!(
        (phone.state("a"), &phone.entries["a"]["under"], &phone.entries["a"]["had_ms"]),
        ("had", &json!("one"), &json!(NOW_MS))
    );
    assert!(phone.send(NOW_MS, &mut |_, body| all("made", "two", NOW_MS, body)));
    assert_eq!(phone.entries["a"]["under"], "two", "offered again to a restored record");
}

#[test]
fn what_the_farm_says_stands_and_what_it_does_not_say_waits() {
    for (answer, state) in
        [("made", "had"), ("differs", "differs"), ("refused", "refused"), ("of a later program", "waiting")]
    {
        let mut phone = Phone::new().with("a", json!({}));
        assert!(phone.send(NOW_MS, &mut |_, body| all(answer, "one", NOW_MS, body)));
        assert_eq!(phone.state("a"), state, "{answer}");
    }
    for status in [401, 403, 500, 503] {
        let mut phone = Phone::new().with("a", json!({}));
        assert!(!phone.send(NOW_MS, &mut |_, _| json!({ "status": status, "said": null })));
        assert_eq!(phone.state("a"), "waiting", "{status}");
    }
}

#[test]
fn a_body_that_is_too_large_is_sent_in_parts() {
    let mut phone = (0..150).fold(Phone::new(), |phone, n| phone.with(&format!("{n:03}"), json!({})));
    let mut largest = 0;
    assert!(phone.send(NOW_MS, &mut |_, body| {
        let count = body["facts"].as_array().expect("facts").len();
        if count > 30 {
            return json!({ "status": 413, "said": null });
        }
        largest = largest.max(count);
        all("made", "one", NOW_MS, body)
    }));
    assert!((1..=30).contains(&largest));
    assert!(phone.entries.values().all(|one| one["state"] == "had"));
}

#[test]
fn a_photo_goes_before_its_entry_and_again_when_the_farm_lacks_it() {
    let mut phone = Phone::new().with("a", json!({ "blob": "bytes", "put": false }));
    let mut heard = Vec::new();
    assert!(phone.send(NOW_MS, &mut |what, body| {
        heard.push(what.to_owned());
        match (what, heard.len()) {
            ("photo", _) => json!({ "status": 200, "digest": "d" }),
            // A restore came between the two.
            (_, 2) => all("wants_bytes", "two", NOW_MS, body),
            _ => all("made", "two", NOW_MS, body),
        }
    }));
    assert_eq!(heard, ["photo", "post", "photo", "post"]);
    assert_eq!((phone.state("a"), &phone.entries["a"]["fact"]["typed"]["photo"]), ("had", &json!("d")));
    // Shut out for a while is no verdict on the picture; one that the farm cannot read is.
    for (status, state) in [(401, "waiting"), (503, "waiting"), (422, "refused"), (413, "refused")] {
        let mut phone = Phone::new().with("a", json!({ "blob": "bytes", "put": false }));
        phone.send(NOW_MS, &mut |what, body| {
            if what == "photo" { json!({ "status": status, "digest": null }) } else { all("made", "one", NOW_MS, body) }
        });
        assert_eq!(phone.state("a"), state, "{status}");
    }
}
