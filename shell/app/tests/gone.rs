//! The record's file is gone while somebody types: said plainly, with what was typed; taken once it is back. `checks/faults` tries the
//! disks that need one to be mounted.

use std::io::{Read, Write};
use std::net::TcpStream;

use served::{Folder, started};

mod served;

/// Sends a form; gives the status and the page.
fn post(address: &str, path: &str, form: &str) -> (u16, String) {
    let mut stream = TcpStream::connect(address).expect("it listens");
    let head = format!(
        "POST {path} HTTP/1.1\r\nHost: {address}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\nConnection: close\r\n\r\n",
        form.len()
    );
    stream.write_all(head.as_bytes()).expect("sent");
    stream.write_all(form.as_bytes()).expect("sent");
    let mut page = String::new();
    stream.read_to_string(&mut page).expect("an answer");
    let status = page.split(' ').nth(1).and_then(|code| code.parse().ok()).expect("a status");
    (status, page)
}

#[test]
fn what_was_typed_while_the_file_was_gone_stands_on_the_page_and_is_taken_once_it_is_back() {
    let folder = Folder::new("gone");
    let (record, away) = (folder.0.join("record.db"), folder.0.join("away.db"));
    let (mut child, address) = started(&record);
    let entry = format!("id={:032x}&kind=note&made_ms=1&pond=willow&text=the+heron+is+back", 1);
    let set_up = "farm.name=Alder+Reach";
    std::fs::rename(&record, &away).expect("moved");
    let (status, page) = post(&address, "/f/hazel-bend/log/new", &entry);
    assert_eq!(status, 503);
    for text in ["there is no such file", "What you typed stands below", "value=\"the heron is back\""] {
        assert!(page.contains(text), "{text}: {page}");
    }
    let (status, page) = post(&address, "/setup", set_up);
    assert!(status == 503 && page.contains("Alder Reach") && page.contains("What you typed stands below"), "{page}");
    let (status, page) = post(&address, "/f/hazel-bend/people", "name=Wilma&role=crew");
    assert!(status == 503 && page.contains("value=\"Wilma\"") && page.contains("there is no such file"), "{page}");
    std::fs::rename(&away, &record).expect("moved back");
    for _ in 0..2 {
        assert_eq!(post(&address, "/f/hazel-bend/log/new", &entry).0, 303);
    }
    child.kill().expect("ended");
    child.wait().expect("gone");
    let store = store::Store::open(&record, 1).expect("the record opens");
    assert_eq!(store.last_seq().expect("read"), 1, "once, however often it was sent");
}
