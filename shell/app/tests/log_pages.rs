//! The log, page by page: every entry once, also where hundreds happened in one second.

use std::collections::BTreeMap;

use serde_json::json;
use served::{Folder, ask, started};

mod served;

/// The entries that a page of the log shows, by the way to mend each, and the way to the page of older ones.
fn page(address: &str, path: &str) -> (Vec<i64>, Option<String>) {
    let page = ask(address, path, None);
    let shown = page.split("/log/").skip(1).filter_map(|rest| rest.split_once("/mend\"")).map(|(id, _)| id);
    let shown = shown.filter(|id| id.len() == 32).filter_map(|id| i64::from_str_radix(id, 16).ok());
    let older = page.split_once("/log?before=").map(|(_, rest)| {
        let until = rest.split_once('"').expect("an end").0;
        format!("/f/hazel-bend/log?before={until}")
    });
    (shown.collect(), older)
}

#[test]
fn hundreds_of_entries_of_one_second_are_each_shown_once() {
    let folder = Folder::new("log-pages");
    let (mut child, address) = started(&folder.0.join("record.db"));
    let fact = |n: i64| {
        // A few before, very many in one second, a few after.
        let at = 1_316_000_000
            + if n < 30 {
                n
            } else if n < 480 {
                100
            } else {
                n
            };
        json!({ "id": format!("{n:032x}"), "farm": "hazel-bend", "device": "phone-1", "person": "owner", "kind": "note", "form": 1,
            "happened": { "utc_s": at, "offset_s": 0 }, "typed_ms": 1, "corrects": null, "typed": { "text": format!("seen number {n}.") } })
    };
    let facts: Vec<_> = (0..520).map(fact).collect();
    // No exchange takes more than a few hundred.
    for some in facts.chunks(100) {
        let body = json!({ "schema": "warmspell.sync", "version": 1, "device": "phone-1", "clock_ms": 1, "epoch": null, "facts": some });
        let sent = ask(&address, "/f/hazel-bend/sync", Some(("application/json", &body.to_string())));
        assert!(sent.starts_with("HTTP/1.1 200"), "{sent}");
    }
    let mut times: BTreeMap<i64, u32> = BTreeMap::new();
    let mut path = Some("/f/hazel-bend/log".to_owned());
    let mut pages = 0;
    while let Some(at) = path.take() {
        let (shown, older) = page(&address, &at);
        shown.into_iter().for_each(|n| *times.entry(n).or_default() += 1);
        pages += 1;
        assert!(pages < 20, "the way to older ones leads in a circle: {at}");
        path = older;
    }
    child.kill().expect("ended");
    child.wait().expect("gone");
    let odd: Vec<_> = (0..520).filter(|n| times.get(n) != Some(&1)).collect();
    assert!(odd.is_empty() && pages > 1, "{pages} pages; skipped or doubled: {odd:?}");
}
