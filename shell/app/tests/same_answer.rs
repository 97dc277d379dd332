//! The same farm and the same record: the page and the command line give one answer, and what was accepted on a page counts as ordered
//! and told for both.

use std::path::Path;
use std::process::Command;

use served::{FORM, Folder, ask, started};

mod served;

/// A page, once it holds a text.
fn once(address: &str, path: &str, text: &str) -> String {
    // Asked again and again: it is reckoned meanwhile.
    for _ in 0..50_000 {
        let page = ask(address, path, None);
        if page.contains(text) {
            return page;
        }
    }
    panic!("{path} never said {text}");
}

fn plan(more: &[&str], record: Option<&Path>) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_warmspell"));
    command.args(["plan", "--members", "16"]).args(more);
    if let Some(record) = record {
        command.arg("--store").arg(record);
    }
    let done = command.output().expect("it runs");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    String::from_utf8(done.stdout).expect("text")
}

fn hidden<'a>(page: &'a str, name: &str) -> &'a str {
    let from = page.split_once(&format!("name=\"{name}\" value=\"")).expect("the field").1;
    from.split_once('"').expect("its end").0
}

/// A pond and the day of its catch, soonest first.
fn catches(json: &str) -> Vec<(String, String)> {
    let all: serde_json::Value = serde_json::from_str(json).expect("JSON");
    let day = |pond: &serde_json::Value| {
        let text = |value: &serde_json::Value| value.as_str().map(str::to_owned);
        Some((text(&pond["planned"]["catch_day"])?, text(&pond["name"])?))
    };
    let mut days: Vec<_> = all["ponds"].as_array().expect("ponds").iter().filter_map(day).collect();
    days.sort();
    days
}

#[test]
fn what_was_accepted_on_the_page_counts_as_ordered_on_the_command_line_too() {
    let folder = Folder::new("same-answer");
    let record = folder.0.join("record.db");
    let (mut child, address) = started(&record);
    let accept = "/f/hazel-bend/plan/accept";
    let page = once(&address, accept, "name=\"plan\"");
    let soonest =
        |more: &[&str], record: Option<&Path>| catches(&plan(&[more, &["--json"]].concat(), record))[0].clone();
    // Ice needs two days' notice: at noon Friday's catch is out of reach, unless all was ordered in the morning.
    let (morning, noon) = (soonest(&[], Some(&record)), soonest(&["--now", "12"], Some(&record)));
    assert_eq!(morning, ("2011-09-30".to_owned(), "Willow".to_owned()));
    assert!(noon.0 > morning.0, "{noon:?}");
    let form = format!("id={}&plan={}", hidden(&page, "id"), hidden(&page, "plan"));
    assert!(ask(&address, "/f/hazel-bend/plan/acceptances", Some((FORM, &form))).starts_with("HTTP/1.1 303"));
    once(&address, accept, "This plan was accepted on");
    assert_eq!(soonest(&["--now", "12"], Some(&record)), morning, "it was ordered when it was accepted");
    assert_eq!(soonest(&["--now", "12"], None), noon, "the farm file alone knows of no acceptance");
    // The first sentence of the page and of the command are one.
    let said = plan(&[], Some(&record));
    let answer = said.split("\n\n").nth(1).expect("an answer").replace('\n', " ");
    let first = answer.split_inclusive("Friday.").next().expect("a sentence");
    assert!(first.starts_with("Order ice by 8 a.m. today: "), "{said}");
    once(&address, "/f/hazel-bend/", first);
    child.kill().expect("ended");
    child.wait().expect("gone");
}
