use super::*;

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
