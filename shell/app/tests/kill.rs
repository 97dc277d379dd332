//! The program that serves the pages is killed in a burst of entries: what it answered for is there, once, in its place.
//!
//! `WARMSPELL_KILLS` names how often. Three phones send without a pause, each the same entries again until they are answered for.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::sync::Mutex;
use std::sync::mpsc::{Sender, channel};

use serde_json::{Value, json};
use served::{Folder, started};
use store::Store;

mod served;

const NOW_MS: i64 = 1_600_000_000_000;
const FARM: &str = "hazel-bend";
const PHONES: u64 = 3;
const AT_ONCE: u64 = 3;

/// The body of the answer to an exchange; `None` when it did not come whole.
fn exchange(address: &str, body: &str) -> Option<Value> {
    let mut stream = TcpStream::connect(address).ok()?;
    let head = format!(
        "POST /f/{FARM}/sync HTTP/1.1\r\nHost: {address}\r\nContent-Type: application/json\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
        body.len()
    );
    stream.write_all(head.as_bytes()).ok()?;
    stream.write_all(body.as_bytes()).ok()?;
    let mut answer = String::new();
    stream.read_to_string(&mut answer).ok()?;
    let (head, body) = answer.split_once("\r\n\r\n")?;
    if !head.starts_with("HTTP/1.1 200") {
        return None;
    }
    serde_json::from_str(body).ok()
}

fn id(n: u64) -> String {
    format!("{n:032x}")
}

fn body(phone: u64, first: u64) -> String {
    let facts: Vec<Value> = (first..first + AT_ONCE)
        .map(|n| {
            json!({
                "id": id(n), "farm": FARM, "device": format!("phone-{phone}"), "person": "owner", "kind": "note", "form": 1,
                "happened": { "utc_s": 1_600_000_000 + n, "offset_s": 0 }, "typed_ms": NOW_MS, "corrects": null,
                "typed": { "text": format!("entry {n}") },
            })
        })
        .collect();
    json!({ "schema": "warmspell.sync", "version": 1, "device": format!("phone-{phone}"), "clock_ms": NOW_MS, "epoch": null, "facts": facts })
        .to_string()
}

/// A phone in a burst: where it stands, and what was answered for.
struct Phone {
    next: Mutex<u64>,
    answered: Mutex<BTreeSet<String>>,
}

/// Sends until the program is gone, and tells of each answer.
fn burst(n: u64, phone: &Phone, address: &str, heard: &Sender<()>) {
    loop {
        let first = *phone.next.lock().expect("whole");
        let Some(said) = exchange(address, &body(n, first)) else { return };
        let answers = said["answers"].as_array().cloned().unwrap_or_default();
        for one in &answers {
            assert!(matches!(one["answer"].as_str(), Some("made" | "already_had")), "{one}");
            phone.answered.lock().expect("whole").insert(one["id"].as_str().expect("an id").to_owned());
        }
        assert_eq!(answers.len() as u64, AT_ONCE);
        *phone.next.lock().expect("whole") += AT_ONCE;
        // Nobody listens any more once the kill is on its way.
        let _ = heard.send(());
    }
}

#[test]
fn nothing_the_pages_answered_for_is_lost_to_a_kill() {
    let kills: usize = std::env::var("WARMSPELL_KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(3);
    let folder = Folder::new("serve-kill");
    let record = folder.0.join("record.db");
    let phones: Vec<Phone> =
        (0..PHONES).map(|n| Phone { next: Mutex::new(1 + n * 10_000_000), answered: Mutex::default() }).collect();
    for round in 0..kills {
        let (mut child, address) = started(&record);
        let (heard, listens) = channel();
        std::thread::scope(|scope| {
            for (n, phone) in (0..).zip(&phones) {
                let (address, heard) = (&address, heard.clone());
                scope.spawn(move || burst(n, phone, address, &heard));
            }
            drop(heard);
            // Another place in the burst each time; within an exchange the kill falls where it falls.
            for _ in 0..=(round * 7) % 29 {
                listens.recv().expect("the phones are answered until the kill");
            }
            child.kill().expect("killed");
            child.wait().expect("gone");
        });
    }
    // The last entries that were never answered for are sent once more, as a phone does.
    let (mut child, address) = started(&record);
    for (n, phone) in (0..).zip(&phones) {
        let first = *phone.next.lock().expect("whole");
        exchange(&address, &body(n, first)).expect("answered");
    }
    child.kill().expect("killed");
    child.wait().expect("gone");
    judged(&record, &phones, kills);
}

fn judged(record: &Path, phones: &[Phone], kills: usize) {
    let store = Store::open(record, NOW_MS).expect("the record opens");
    store.full_check().expect("whole");
    let facts = store.facts(FARM).expect("read");
    let mut there: BTreeMap<String, u32> = BTreeMap::new();
    for (kept, n) in facts.iter().zip(1..) {
        assert_eq!(kept.seq, n, "numbered without a gap");
        *there.entry(kept.fact.text("text").unwrap_or_default().to_owned()).or_default() += 1;
    }
    let ids: BTreeSet<&str> = facts.iter().map(|kept| kept.fact.id.as_str()).collect();
    assert_eq!(ids.len(), facts.len());
    assert!(there.values().all(|times| *times == 1), "nothing twice");
    let mut answered = 0;
    for phone in phones {
        let all = phone.answered.lock().expect("whole");
        let lost: Vec<&String> = all.iter().filter(|id| !ids.contains(id.as_str())).collect();
        assert!(lost.is_empty(), "lost: {lost:?}");
        answered += all.len();
    }
    assert!(answered >= kills * AT_ONCE as usize, "{answered}");
    println!("killed {kills} times; {answered} entries answered for, {} in the record", facts.len());
}
