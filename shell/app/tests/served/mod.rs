//! The program that serves the pages, as a child of a test.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// A folder of a test's own, gone afterwards.
pub struct Folder(pub PathBuf);

impl Folder {
    /// Makes it.
    pub fn new(name: &str) -> Folder {
        let folder = Folder(std::env::temp_dir().join(format!("warmspell-{name}-{}", std::process::id())));
        std::fs::create_dir_all(&folder.0).expect("a folder");
        folder
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// The program, and where it listens.
pub fn started(record: &Path) -> (Child, String) {
    let mut child = Command::new(env!("CARGO_BIN_EXE_warmspell"))
        .args(["serve", "--address", "127.0.0.1:0", "--members", "16", "--store"])
        .arg(record)
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut said = BufReader::new(child.stderr.take().expect("piped"));
    let mut line = String::new();
    let mut all = String::new();
    while said.read_line(&mut line).expect("it speaks") > 0 {
        if let Some((_, after)) = line.split_once("http://") {
            let address = after.split(['/', ' ']).next().expect("an address").to_owned();
            // What it says later must not stop it.
            std::thread::spawn(move || std::io::copy(&mut said, &mut std::io::sink()));
            return (child, address);
        }
        all.push_str(&std::mem::take(&mut line));
    }
    let _ = child.wait();
    panic!("the program ended: {all}");
}

/// The media type of a form's body.
#[allow(dead_code, reason = "not every test sends forms")]
pub const FORM: &str = "application/x-www-form-urlencoded";

/// Asks for a page, or sends a body of a media type; gives all that came back.
#[allow(dead_code, reason = "not every test asks for pages")]
pub fn ask(address: &str, path: &str, body: Option<(&str, &str)>) -> String {
    let mut stream = TcpStream::connect(address).expect("it listens");
    let head = match body {
        None => format!("GET {path} HTTP/1.1\r\nHost: {address}\r\nConnection: close\r\n\r\n"),
        Some((media, body)) => format!(
            "POST {path} HTTP/1.1\r\nHost: {address}\r\nContent-Type: {media}\r\nContent-Length: {}\r\nConnection: close\r\n\r\n{body}",
            body.len()
        ),
    };
    stream.write_all(head.as_bytes()).expect("sent");
    let mut page = String::new();
    stream.read_to_string(&mut page).expect("an answer");
    page
}
