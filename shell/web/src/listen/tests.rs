//! Over real connections: what a phone, a stranger and a foreign page are answered.

use std::io::{Read, Write};
use std::net::TcpStream;
use std::sync::atomic::{AtomicI64, Ordering};

use store::Store;

use super::*;
use crate::scored::tests::served;
use crate::{Record, Server};

const FARM: &str = "/f/hazel-bend";
const MINUTE_MS: i64 = 60_000;

/// Answers of a served farm, over a clock that the test sets.
struct Held {
    port: u16,
    folder: std::path::PathBuf,
    stop: Option<tokio::sync::oneshot::Sender<()>>,
    serving: Option<std::thread::JoinHandle<()>>,
}

struct Answer {
    status: u16,
    head: String,
    body: String,
}

fn held(name: &str, clock: fn() -> i64, patience: Patience) -> Held {
    let folder = std::env::temp_dir().join(format!("warmspell-door-{name}-{}", std::process::id()));
    let _old = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).expect("a folder");
    let store = Store::open(&folder.join("record.db"), clock()).expect("a record");
    let server = Server::new(vec![served()], vec!["farm.test".to_owned()], Some(Record::new(store, clock)), None)
        .expect("a server");
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = listener.local_addr().expect("an address").port();
    let ways = Ways { for_phones: Some(format!("http://farm.test:{port}")), lock: None };
    let server = server.reached(ways, patience);
    let (stop, stopped) = tokio::sync::oneshot::channel();
    let serving = std::thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build().expect("one");
        let stop = async { drop(stopped.await) };
        runtime.block_on(serve(listener, None, server.router(), patience, clock, stop)).expect("served");
    });
    Held { port, folder, stop: Some(stop), serving: Some(serving) }
}

impl Drop for Held {
    fn drop(&mut self) {
        self.stop.take().map(|stop| stop.send(()));
        self.serving.take().map(std::thread::JoinHandle::join);
        let _gone = std::fs::remove_dir_all(&self.folder);
    }
}

impl Held {
    fn raw(&self, bytes: &str) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("connects");
        stream.set_read_timeout(Some(Duration::from_secs(30))).expect("set");
        stream.write_all(bytes.as_bytes()).expect("sent");
        let mut text = Vec::new();
        let _reset = stream.read_to_end(&mut text);
        let text = String::from_utf8_lossy(&text).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.get(9..12).and_then(|status| status.parse().ok()).unwrap_or(0);
        Answer { status, head: head.to_lowercase(), body: body.to_owned() }
    }
    fn ask(&self, method: &str, host: &str, path: &str, more: &str, body: &str) -> Answer {
        let form = "Content-Type: application/x-www-form-urlencoded\r\n";
        self.raw(&format!(
            "{method} {path} HTTP/1.1\r\nHost: {host}:{}\r\nConnection: close\r\n{form}Content-Length: {}\r\n{more}\r\n{body}",
            self.port,
            body.len()
        ))
    }
    fn get(&self, host: &str, path: &str, more: &str) -> Answer {
        self.ask("GET", host, path, more, "")
    }
    fn post(&self, host: &str, path: &str, more: &str, body: &str) -> Answer {
        self.ask("POST", host, path, more, body)
    }
    /// Adds a person as the owner, and gives the number on the page.
    fn number(&self, name: &str, role: &str) -> String {
        let page = self.post("localhost", &format!("{FARM}/people"), "", &format!("name={name}&role={role}"));
        assert_eq!(page.status, 200, "{}", page.body);
        between(&page.body, "class=\"code\">", "<").replace(' ', "")
    }
    fn enter(&self, number: &str) -> Answer {
        self.post("farm.test", &format!("{FARM}/enter"), "", &format!("code={number}"))
    }
    fn cookie(&self, number: &str) -> String {
        let answer = self.enter(number);
        assert_eq!(answer.status, 303, "{}", answer.body);
        format!("Cookie: {}\r\n", between(&answer.head, "set-cookie: ", ";"))
    }
}

fn between<'a>(text: &'a str, from: &str, to: &str) -> &'a str {
    let at = text.find(from).unwrap_or_else(|| panic!("{from} in {text}")) + from.len();
    &text[at..at + text[at..].find(to).expect("an end")]
}

static ONE: AtomicI64 = AtomicI64::new(1_317_800_000_000);
static TWO: AtomicI64 = AtomicI64::new(1_317_800_000_000);

#[test]
fn a_phone_comes_in_by_a_number_does_its_work_and_goes_out() {
    let held = held("one", || ONE.load(Ordering::SeqCst), Patience::default());
    for path in ["/", "/log", "/people", "/plan", "/files", "/ponds/heron", "/log/new", "/called-and-came"] {
        let answer = held.get("farm.test", &format!("{FARM}{path}"), "");
        assert_eq!(answer.status, 401, "{path}");
    }
    let number = held.number("Jo", "crew");
    assert_eq!(held.enter("12").status, 401, "a wrong number");
    let cookie = held.cookie(&number);
    assert_eq!(held.enter(&number).status, 401, "used");
    for (path, status) in
        [("/", 200), ("/log", 200), ("/log/new", 200), ("/people", 403), ("/plan", 403), ("/files", 403)]
    {
        assert_eq!(held.get("farm.test", &format!("{FARM}{path}"), &cookie).status, status, "{path}");
    }
    // What crew's readings made of the forecasts, without the way to the farm's tables.
    let called = |host: &str, cookie: &str| held.get(host, &format!("{FARM}/called-and-came"), cookie);
    let [crew, owner] = [called("farm.test", &cookie), called("localhost", "")];
    assert!(crew.status == 200 && crew.body.contains("nothing can be told"), "{}", crew.body);
    assert!(owner.body.contains("files/tables/forecast.csv") && !crew.body.contains("files/tables"), "{}", crew.body);
    assert_eq!(held.post("farm.test", &format!("{FARM}/people"), &cookie, "name=Me&role=owner").status, 403);

    let entry = |id: char, kind: &str| {
        let id = id.to_string().repeat(32);
        format!(
            r#"{{"schema":"warmspell.sync","version":1,"device":"d","facts":[{{"id":"{id}","farm":"hazel-bend","device":"d","person":"owner","kind":"{kind}","form":1,"happened":{{"utc_s":1317800000,"offset_s":0}},"typed_ms":1,"typed":{{"pond":"heron","temperature":"61.5 F"}}}}]}}"#
        )
    };
    let sync = format!("{FARM}/sync");
    assert_eq!(held.post("farm.test", &sync, "", &entry('a', "reading")).status, 401);
    assert!(held.post("farm.test", &sync, &cookie, &entry('a', "reading")).body.contains("\"made\""));
    assert!(held.post("farm.test", &sync, &cookie, &entry('a', "reading")).body.contains("\"already_had\""));
    assert!(
        held.post("farm.test", &sync, &cookie, &entry('b', "farm")).body.contains("\"refused\""),
        "crew rewrite no farm"
    );
    let log = held.get("localhost", &format!("{FARM}/log"), "").body;
    assert!(log.contains("61.5 F") && log.contains("by Jo on a phone"), "who was let in stands in the entry: {log}");

    let people = held.get("localhost", &format!("{FARM}/people"), "").body;
    let phone = between(&people, "/phones/", "/").to_owned();
    assert_eq!(held.post("farm.test", &format!("{FARM}/phones/{phone}/end"), &cookie, "").status, 403);
    assert_eq!(held.post("localhost", &format!("{FARM}/phones/{phone}/end"), "", "").status, 303);
    assert_eq!(held.get("farm.test", &format!("{FARM}/log"), &cookie).status, 401, "out");
    assert_eq!(held.post("farm.test", &sync, &cookie, &entry('c', "reading")).status, 401);

    // Let in anew, the same entry is known again.
    let jo = between(&people, "/people/", "/").to_owned();
    let page = held.post("localhost", &format!("{FARM}/people/{jo}/code"), "", "");
    let cookie = held.cookie(&between(&page.body, "class=\"code\">", "<").replace(' ', ""));
    assert!(held.post("farm.test", &sync, &cookie, &entry('a', "reading")).body.contains("\"already_had\""));
    assert_eq!(held.post("localhost", &format!("{FARM}/people/{jo}/end"), "", "").status, 303);
    assert_eq!(held.get("farm.test", &format!("{FARM}/log"), &cookie).status, 401, "let go");
}

#[test]
fn numbers_lapse_and_attempts_are_counted() {
    let held = held("two", || TWO.load(Ordering::SeqCst), Patience::default());
    let number = held.number("Jo", "owner");
    TWO.fetch_add(10 * MINUTE_MS, Ordering::SeqCst);
    assert_eq!(held.enter(&number).status, 401, "ten minutes are over");
    let page = held.get("localhost", &format!("{FARM}/people"), "").body;
    let jo = between(&page, "/people/", "/").to_owned();
    let anew = || {
        let page = held.post("localhost", &format!("{FARM}/people/{jo}/code"), "", "").body;
        between(&page, "class=\"code\">", "<").replace(' ', "")
    };
    let (old, number) = (anew(), anew());
    assert_eq!(held.enter(&old).status, 401, "a newer one took its place");
    for _ in 0..3 {
        assert_eq!(held.enter("1").status, 401);
    }
    let shut = held.enter(&number);
    assert_eq!(shut.status, 429, "even the right one");
    assert!(shut.body.contains("Try again in 15 minutes"), "{}", shut.body);
    TWO.fetch_add(15 * MINUTE_MS, Ordering::SeqCst);
    let cookie = held.cookie(&anew());
    assert_eq!(held.get("farm.test", &format!("{FARM}/people"), &cookie).status, 200, "an owner's phone");
    TWO.fetch_add(crate::door::SESSION_MS, Ordering::SeqCst);
    assert_eq!(held.get("farm.test", &format!("{FARM}/people"), &cookie).status, 401, "a year unseen");
}

#[test]
fn every_answer_is_guarded() {
    let patience =
        Patience { head: Duration::from_millis(300), request: Duration::from_millis(300), ..Patience::default() };
    let held = held("three", || 1_317_800_000_000, patience);
    for (host, path) in [
        ("localhost", "/"),
        ("localhost", "/f/hazel-bend/log"),
        ("localhost", "/nowhere"),
        ("localhost", "/openapi.json"),
        ("farm.test", "/f/hazel-bend/people"),
        ("farm.test", "/f/hazel-bend/certificate"),
        ("evil.example", "/"),
        ("localhost.evil.example", "/"),
    ] {
        let answer = held.get(host, path, "");
        assert_eq!(answer.status == 421, host.contains("evil"), "{host} {path}");
        let csp = between(&answer.head, "content-security-policy: ", "\r\n");
        assert!(
            csp.contains("default-src 'none'") && csp.contains("frame-ancestors 'none'") && !csp.contains("unsafe")
        );
        for line in ["x-content-type-options: nosniff", "referrer-policy: same-origin"] {
            assert!(answer.head.contains(line), "{host} {path} {line}");
        }
        assert!(!answer.body.contains("<style") && !answer.body.contains(" style="), "{path}");
    }
    for (more, status) in [
        ("Origin: http://evil.example\r\n", 403),
        ("Sec-Fetch-Site: cross-site\r\n", 403),
        ("Sec-Fetch-Site: same-site\r\n", 403),
        ("Origin: null\r\n", 403),
        ("Sec-Fetch-Site: same-origin\r\n", 200),
    ] {
        assert_eq!(held.post("localhost", &format!("{FARM}/people"), more, "name=&role=crew").status, status, "{more}");
    }
    for path in [
        "/f/../f/hazel-bend/people",
        "/f/hazel-bend/..%2fpeople",
        "/f/%68azel-bend/people",
        "//f/hazel-bend/people",
        "/f/hazel-bend/%70eople",
        "/assets/../Cargo.toml",
        "/assets/..%2f..%2fCargo.toml",
        "/f/hazel-bend/enter/../people",
    ] {
        let answer = held.get("farm.test", path, "");
        assert!(
            [401, 404].contains(&answer.status) && !answer.body.contains("Add a person"),
            "{path} {}",
            answer.status
        );
        assert_ne!(held.get("localhost", "/assets/..%2f..%2fCargo.toml", "").status, 200);
    }
    let passed_on = held.get("localhost", &format!("{FARM}/people"), "X-Forwarded-For: 10.0.0.7\r\n");
    assert_eq!(passed_on.status, 401, "another program passes the network on");
    let long = held.post("farm.test", &format!("{FARM}/enter"), "", &format!("code={}", "1".repeat(5000)));
    assert_eq!(long.status, 413);
    // A head and a body that never end.
    assert_eq!(held.raw("GET / HTTP/1.1\r\nHost: localhost\r\nX-").status, 0);
    let slow = "POST /f/hazel-bend/people HTTP/1.1\r\nHost: localhost\r\nContent-Length: 9\r\nContent-Type: application/x-www-form-urlencoded\r\n\r\nna";
    assert_eq!(held.raw(slow).status, 408);
}

#[test]
fn a_panic_shows_a_plain_page() {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().expect("a runtime");
    let router = Router::new()
        .route(
            "/",
            axum::routing::get(|| async {
                if true {
                    panic!("as tried")
                }
            }),
        )
        .layer(tower_http::catch_panic::CatchPanicLayer::custom(broken));
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port");
    let port = listener.local_addr().expect("an address").port();
    let serving = runtime.spawn(serve(listener, None, router, Patience::default(), || 0, std::future::pending()));
    let held = Held { port, folder: std::path::PathBuf::new(), stop: None, serving: None };
    let answer = held.get("localhost", "/", "");
    assert_eq!(answer.status, 500);
    assert!(answer.body.contains(words::page_people::BROKE_TITLE) && !answer.body.contains("as tried"));
    serving.abort();
}
