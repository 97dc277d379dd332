use std::sync::atomic::{AtomicI64, Ordering};

use super::*;
use crate::scored::tests::{FARM, kept, served, that_morning};

fn site(hosts: &[&str]) -> Site {
    Site {
        farms: RwLock::new(Vec::new()),
        record: None,
        shipped: None,
        hosts: hosts.iter().map(|host| (*host).to_owned()).collect(),
    }
}

#[test]
fn only_names_on_the_list_are_answered() {
    let site = site(&["localhost", "127.0.0.1", "[::1]", "farm.local"]);
    for (host, known) in [
        ("localhost", true),
        ("localhost:8080", true),
        ("LOCALHOST:1", true),
        ("[::1]:8080", true),
        ("farm.local:80", true),
        ("evil.example", false),
        ("localhost.evil.example", false),
        ("", false),
    ] {
        assert_eq!(site.knows_host(host), known, "{host}");
    }
}

static CLOCK_MS: AtomicI64 = AtomicI64::new(0);

fn clock() -> i64 {
    CLOCK_MS.load(Ordering::SeqCst)
}

#[test]
fn a_new_day_is_reckoned_when_the_farms_own_clock_says_so() {
    CLOCK_MS.store(that_morning(), Ordering::SeqCst);
    let kept = kept("new-day", clock);
    let mut of_test = site(&[]);
    of_test.record = Some(Arc::clone(&kept.record));
    for (id, follows_clock) in [(FARM, true), ("asked-for", false)] {
        let written = Served { id: id.to_owned(), follows_clock, ..served() };
        let desk = Arc::new(Desk::new(written.clone(), None));
        of_test.change(|all| all.push(Standing { id: id.to_owned(), desk, written: Arc::new(written), away: false }));
    }
    let shown = |farm: &str| of_test.desk(farm).expect("open").facts().on;
    let first = shown(FARM);
    let hour_ms = 3_600_000;
    // It is 7 in the morning at the farm: 16 hours on it is still the same day there, though not at Greenwich.
    for (hours, later) in [(16, 0), (17, 1), (17 + 23, 1), (17 + 24, 2)] {
        CLOCK_MS.store(that_morning() + hours * hour_ms, Ordering::SeqCst);
        of_test.look_at_the_clock();
        assert_eq!(shown(FARM), first.plus(later), "{hours} hours later");
        assert_eq!(shown("asked-for"), first, "a morning asked for by name stays");
    }
}
