//! `report --watch`: renders again when the record is saved, the page follows, and problems stand in place of a verdict that no
//! longer follows from the record.
#![cfg(unix)]

use crate::command_support;

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use command_support::program_path;
use serde_json::Value;

/// The program, ended when the test ends.
struct Watching(Child);

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

const RECORD: &str = "unfasten: 1\ndevice: {name: Lamp, maker: Ostrel, category: other}\nteardown: {place: use, skill: layman}\nroles: {cell: {weight: 1}}\nparts: {cell: {role: cell, paired: no}}\nactions:\n  - {free: cell, with: hands, loosen: clip, after: []}\n";

fn ask(address: &str, path: &str, host: &str) -> String {
    let mut stream = TcpStream::connect(address).unwrap();
    stream.set_read_timeout(Some(Duration::from_secs(20))).unwrap();
    write!(stream, "GET {path} HTTP/1.1\r\nHost: {host}\r\n\r\n").unwrap();
    let mut text = String::new();
    stream.read_to_string(&mut text).unwrap();
    text
}

fn body(answer: &str) -> &str {
    answer.split_once("\r\n\r\n").map_or("", |(_, b)| b)
}

/// The state, once something holds of it.
fn state(address: &str, holds: impl Fn(&Value) -> bool) -> Value {
    let until = Instant::now() + Duration::from_mins(2);
    loop {
        let now: Value = serde_json::from_str(body(&ask(address, "/state", address))).unwrap();
        if holds(&now) {
            return now;
        }
        assert!(Instant::now() < until, "{now}");
        std::thread::sleep(Duration::from_millis(100));
    }
}

fn start(record: &Path, out: &Path) -> (Watching, String) {
    let mut child = Command::new(program_path())
        .args(["report", record.to_str().unwrap(), "--out", out.to_str().unwrap(), "--watch", "--method", "en-45554"])
        .stdout(Stdio::null())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stderr.take().unwrap()).lines();
    let first = lines.next().unwrap().unwrap();
    let address = first.split("http://").nth(1).unwrap().split('/').next().unwrap().to_owned();
    // The rest is read and thrown away, so that the program never waits for its reader.
    std::thread::spawn(move || lines.for_each(drop));
    (Watching(child), address)
}

#[test]
fn the_page_follows_the_record() {
    let folder = tempfile::tempdir().unwrap();
    let (record, out) = (folder.path().join("lamp.yaml"), folder.path().join("out"));
    fs::write(&record, RECORD).unwrap();
    let (_watching, address) = start(&record, &out);
    let first = state(&address, |s| s["page"] == "lamp.html");
    assert_eq!(first["problems"], Value::Null);
    // What is shown is the file as it stands on the disk, and nothing in it knows of the watch.
    let page = ask(&address, "/lamp.html", &address);
    let on_disk = fs::read_to_string(out.join("lamp.html")).unwrap();
    assert_eq!(body(&page), on_disk);
    assert!(!on_disk.contains("<script") && !on_disk.contains(&address));
    // The page around asks nobody but this server.
    let around = ask(&address, "/", &address);
    assert!(
        around.contains("fetch(\"/state\")") && !around.contains("http://") && !around.contains("https://"),
        "{around}"
    );

    // Saved again: rendered again.
    fs::write(&record, RECORD.replace("name: Lamp", "name: Lantern")).unwrap();
    state(&address, |s| s["version"].as_u64() > first["version"].as_u64() && s["problems"].is_null());
    assert!(body(&ask(&address, "/lamp.html", &address)).contains("Lantern"));

    // Broken: the problems, not the old verdict. What was published stays on the disk.
    fs::write(&record, RECORD.replace("loosen: clip", "loosen: clipp")).unwrap();
    let broken = state(&address, |s| !s["problems"].is_null());
    let said = broken["problems"].as_str().unwrap();
    assert!(said.contains("lamp.yaml:7") && said.contains("did you mean `clip`?"), "{said}");
    assert!(fs::read_to_string(out.join("lamp.html")).unwrap().contains("Lantern"));

    // Mended: on with it.
    fs::write(&record, RECORD).unwrap();
    state(&address, |s| s["problems"].is_null());
    assert!(!body(&ask(&address, "/lamp.html", &address)).contains("Lantern"));
}

/// A bench sheet the record begins to name is watched from then on; nobody had to list it.
#[test]
fn files_a_record_names_are_followed() {
    let folder = tempfile::tempdir().unwrap();
    let (record, out) = (folder.path().join("lamp.yaml"), folder.path().join("out"));
    fs::write(&record, RECORD.replace("with: hands", "with: unknown") + "bench: sheet.yaml\n").unwrap();
    let sheet = |tools: &str| format!("unfasten bench: 1\nname: bench A\ntools: {{clip: {tools}}}\n");
    fs::write(folder.path().join("sheet.yaml"), sheet("hands")).unwrap();
    let (_watching, address) = start(&record, &out);
    let first = state(&address, |s| s["page"] == "lamp.html");
    fs::write(folder.path().join("sheet.yaml"), sheet("spudger")).unwrap();
    state(&address, |s| s["version"].as_u64() > first["version"].as_u64() && s["problems"].is_null());
    assert!(body(&ask(&address, "/lamp.html", &address)).contains("spudger"));
}

/// Nothing but the report is given out, and to nobody who calls this machine by another name.
#[test]
fn nothing_else_is_given_out() {
    let folder = tempfile::tempdir().unwrap();
    let (record, out) = (folder.path().join("lamp.yaml"), folder.path().join("out"));
    fs::write(&record, RECORD).unwrap();
    let (_watching, address) = start(&record, &out);
    state(&address, |s| s["page"] == "lamp.html");
    for path in ["/../lamp.yaml", "/lamp.yaml", "//etc/passwd", "/%2e%2e/lamp.yaml", "/unfasten-files.json"] {
        assert!(ask(&address, path, &address).starts_with("HTTP/1.1 404"), "{path}");
    }
    for host in ["evil.example", "localhost", ""] {
        assert!(ask(&address, "/state", host).starts_with("HTTP/1.1 403"), "{host}");
    }
}

#[test]
fn a_watch_needs_a_folder_and_a_file() {
    let lone = command_support::unfasten(&["report", "samples/lamp-two.yaml", "--watch"]);
    assert_eq!(lone.exit, unfasten_cli::Exit::WrongInput);
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out").to_str().unwrap().to_owned();
    let piped = command_support::unfasten(&["report", "-", "--out", &out, "--watch"]);
    assert!(piped.err.contains("standard input can't be watched"), "{}", piped.err);
}
