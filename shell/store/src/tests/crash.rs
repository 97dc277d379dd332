//! The program is killed between any two writes: what was acknowledged is there, once.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Write};
use std::process::{Command, Stdio};

use super::*;

const FILE: &str = "WARMSPELL_KILL_FILE";
const FROM: &str = "WARMSPELL_KILL_FROM";

/// Does nothing as a test; as a child it inserts until it is killed, and says each id once it is kept.
#[test]
fn child_that_inserts_until_it_is_killed() {
    let (Some(path), Ok(from)) = (std::env::var_os(FILE), std::env::var(FROM)) else { return };
    let store = Store::open(Path::new(&path), NOW_MS).expect("the store opens after a kill");
    let from: u64 = from.parse().expect("a number");
    let mut out = std::io::stdout();
    for n in (from..from + 100_000).step_by(3) {
        let facts = [reading(n, "64F"), reading(n + 1, "65F"), reading(n + 2, "66F")];
        let answers = store.insert(&facts, exchange()).expect("kept");
        assert!(answers.iter().all(|answer| matches!(answer, Insert::Made { .. } | Insert::AlreadyHad { .. })));
        for fact in &facts {
            // The parent is gone only when it has killed us.
            let _ = writeln!(out, "kept {}", fact.id);
        }
        let _ = out.flush();
    }
}

#[test]
fn nothing_acknowledged_is_lost_to_a_kill() {
    let kills: u64 = std::env::var("WARMSPELL_KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(20);
    let folder = Folder::new("kill");
    let path = folder.store().path().to_owned();
    let mut acknowledged = BTreeSet::new();
    for round in 0..kills {
        let mut child = Command::new(std::env::current_exe().expect("this test"))
            .args(["--exact", "tests::crash::child_that_inserts_until_it_is_killed", "--nocapture", "--test-threads=1"])
            .env(FILE, &path)
            .env(FROM, (round * 1_000_000).to_string())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("a child");
        let mut lines = BufReader::new(child.stdout.take().expect("piped")).lines().map_while(Result::ok);
        // A different place in the burst each time; the kill itself falls wherever the child happens to be.
        let until = 1 + (round * 7) % 23;
        let mut heard = 0;
        while heard < until {
            let line = lines.next().expect("the child speaks until it is killed");
            if let Some((_, id)) = line.split_once("kept ") {
                acknowledged.insert(id.to_owned());
                heard += 1;
            }
        }
        child.kill().expect("killed");
        child.wait().expect("gone");
        // What it had said before it died was acknowledged too. A line cut short names no whole id.
        acknowledged.extend(
            lines.filter_map(|line| line.split_once("kept ").map(|(_, id)| id.to_owned())).filter(|id| id.len() == 32),
        );
    }
    let store = Store::open(&path, NOW_MS).expect("the store opens");
    store.full_check().expect("whole");
    let there: Vec<String> = store.facts("bend").unwrap().into_iter().map(|kept| kept.fact.id).collect();
    let once: BTreeSet<String> = there.iter().cloned().collect();
    assert_eq!(once.len(), there.len(), "nothing twice");
    assert!(acknowledged.len() as u64 >= kills, "{}", acknowledged.len());
    let lost: Vec<&String> = acknowledged.difference(&once).collect();
    assert!(lost.is_empty(), "lost: {lost:?}");
}
