//! Runs that are interrupted, killed or get in each other's way: a folder holds what one run wrote, whole, or what was there
//! before.
#![cfg(unix)]

use crate::command_support;

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use command_support::{program_path, text_of};
use rstest::rstest;

/// Devices in the folder; enough that making their files ready takes a while.
const MANY: usize = 24;

/// A file of many records, each a device of its own.
fn fleet(folder: &Path, years: u32) -> String {
    let record = |i: usize| {
        format!(
            "{{\"unfasten\": 1, \"device\": {{\"name\": \"Lamp {i}\", \"maker\": \"Ostrel\", \"category\": \"other\"}}, \
             \"support\": {{\"updates\": \"{years} years\"}}}}\n"
        )
    };
    let path = folder.join("fleet.jsonl");
    fs::write(&path, (0..MANY).map(record).collect::<String>()).unwrap();
    path.to_str().unwrap().to_owned()
}

fn start(fleet: &str, out: &Path) -> Child {
    Command::new(program_path())
        .args(["report", fleet, "--method", "en-45554", "--to", "json", "--out", out.to_str().unwrap()])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap()
}

fn signal(child: &Child, name: &str) {
    let sent = Command::new("kill").args([&format!("-{name}"), &child.id().to_string()]).status().unwrap();
    assert!(sent.success(), "{name}");
}

/// Files of a folder that are not passing ones, and the names of those that are.
fn held(folder: &Path) -> (BTreeMap<String, Vec<u8>>, Vec<String>) {
    let (mut files, mut passing) = (BTreeMap::new(), Vec::new());
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name().into_string().unwrap();
        if name.starts_with(".unfasten-") {
            passing.push(name);
        } else {
            files.insert(name, fs::read(entry.path()).unwrap());
        }
    }
    (files, passing)
}

#[allow(clippy::zombie_processes, reason = "the caller waits for the child it is given")]
/// Stops a run while it makes its files ready: the write phase held open. `None` where it was over too soon.
fn held_open(fleet: &str, out: &Path) -> Option<Child> {
    let mut child = start(fleet, out);
    let until = Instant::now() + Duration::from_mins(2);
    while Instant::now() < until {
        if !held(out).1.is_empty() {
            signal(&child, "STOP");
            return if child.try_wait().unwrap().is_none() { Some(child) } else { None };
        }
        if child.try_wait().unwrap().is_some() {
            return None;
        }
        std::thread::sleep(Duration::from_micros(200));
    }
    panic!("the run wrote nothing in two minutes");
}

#[rstest]
#[case("INT", 2)]
#[case("TERM", 15)]
fn an_interrupt_in_the_write_phase_leaves_the_old_or_the_new(#[case] name: &str, #[case] number: i32) {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    assert!(start(&fleet(folder.path(), 5), &out).wait().unwrap().success());
    let (old, passing) = held(&out);
    assert!(passing.is_empty() && old.len() > 2 * MANY, "{passing:?}, {}", old.len());
    let other = tempfile::tempdir().unwrap();
    assert!(start(&fleet(other.path(), 3), &other.path().join("out")).wait().unwrap().success());
    let (new, _) = held(&other.path().join("out"));
    assert_ne!(old, new);
    let second = fleet(folder.path(), 3);
    let mut child = (0..20).find_map(|_| held_open(&second, &out)).expect("a run can be held open");
    signal(&child, name);
    signal(&child, "CONT");
    let status = child.wait().unwrap();
    let (now, passing) = held(&out);
    // Held at any moment of it: while the folder of passing files is made, filled, or removed.
    assert!(passing.is_empty(), "left over: {passing:?}");
    if status.signal() == Some(number) {
        assert!(now == old || now == new, "half-written");
    } else {
        assert!(status.success() && now == new, "{status}");
    }
    // Whatever it was, the next run has its way.
    assert!(start(&second, &out).wait().unwrap().success());
    assert_eq!(held(&out).0, new);
}

/// Killed outright, nothing can be tidied; the next run does.
#[test]
fn what_a_killed_run_left_is_swept_by_the_next() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let fleet = fleet(folder.path(), 5);
    let mut child = (0..20).find_map(|_| held_open(&fleet, &out)).expect("a run can be held open");
    signal(&child, "KILL");
    child.wait().unwrap();
    assert!(start(&fleet, &out).wait().unwrap().success());
    let (files, passing) = held(&out);
    assert!(passing.is_empty(), "left over: {passing:?}");
    assert!(files.len() > 2 * MANY);
}

/// What can't be read ends at once: a pipe nobody writes to, a device, named, found in a folder, behind a link, in the
/// way of a report; a link out of the folder is not followed.
#[test]
fn pipes_devices_and_links_hold_nothing_up() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fs::write(at("lamp.yaml"), text_of("samples/lamp-two.yaml")).unwrap();
    assert!(Command::new("mkfifo").arg(at("pipe.yaml")).status().unwrap().success());
    std::os::unix::fs::symlink(at("pipe.yaml"), at("link.jsonl")).unwrap();
    fs::create_dir(at("templates")).unwrap();
    assert!(Command::new("mkfifo").arg(at("templates/report.md")).status().unwrap().success());
    fs::create_dir(at("out")).unwrap();
    assert!(Command::new("mkfifo").arg(at("out/lamp.html")).status().unwrap().success());
    let text = |name: &str| at(name).to_str().unwrap().to_owned();
    let (all, pipe, link, lamp) = (text(""), text("pipe.yaml"), text("link.jsonl"), text("lamp.yaml"));
    let (templates, out) = (text("templates"), text("out"));
    let runs: [&[&str]; 9] = [
        &["check", &pipe],
        &["check", &link],
        &["check", &all],
        &["score", "/dev/zero"],
        &["score", &lamp, "--method", &pipe],
        &["score", &lamp, "--support", &pipe],
        &["verify", &pipe, &lamp],
        &["report", &lamp, "--to", "md", "--template", &templates],
        &["report", &lamp, "--to", "html", "--out", &out],
    ];
    for arguments in runs {
        let ran = Command::new("timeout").arg("60").arg(program_path()).args(arguments).stdin(Stdio::null()).output();
        let ran = ran.unwrap();
        let said = String::from_utf8_lossy(&ran.stdout) + String::from_utf8_lossy(&ran.stderr);
        assert_eq!(ran.status.code(), Some(2), "{arguments:?}: {said}");
        assert!(!said.contains("panicked"), "{said}");
    }
}

/// `answer` stopped or killed at twenty moments of its run: the record is the old one or the new one to the last byte, and nothing stands
/// beside it that the next run doesn't sweep.
#[test]
fn an_interrupt_of_answer_leaves_the_old_record_or_the_new() {
    let folder = tempfile::tempdir().unwrap();
    let (record, answers) = (folder.path().join("lamp.yaml"), folder.path().join("answers.csv"));
    // Long enough that it takes a while to write.
    let padding: String = (0..4_000).map(|i| format!("# line {i} of what was said\n")).collect();
    let old = format!(
        "unfasten: 1\ndevice: {{name: Lamp, maker: Ostrel, category: other}}\nteardown: {{place: use, skill: unknown}}\n{padding}actions:\n  - {{free: lid, with: unknown, loosen: clip, after: []}}\n"
    );
    let new = old.replace("skill: unknown", "skill: layman").replace("with: unknown", "with: hands");
    fs::write(&answers, "path,answer\nteardown.skill,layman\nactions[0].with,hands\n").unwrap();
    let run = || {
        Command::new(program_path())
            .args(["answer", record.to_str().unwrap(), "--from", answers.to_str().unwrap()])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap()
    };
    fs::write(&record, &old).unwrap();
    let begun = Instant::now();
    assert!(run().wait().unwrap().success());
    let whole = begun.elapsed();
    assert_eq!(fs::read_to_string(&record).unwrap(), new);
    let mut kept = 0;
    for moment in 0..20_u32 {
        fs::write(&record, &old).unwrap();
        let mut child = run();
        std::thread::sleep(whole * moment / 19);
        signal(&child, ["INT", "TERM", "KILL"][moment as usize % 3]);
        child.wait().unwrap();
        let now = fs::read_to_string(&record).unwrap();
        assert!(now == old || now == new, "half-written at moment {moment} of {whole:?}");
        kept += usize::from(now == old);
    }
    assert!(kept > 0, "no run was stopped before it had written");
    fs::write(&record, &old).unwrap();
    assert!(run().wait().unwrap().success());
    // An empty folder may stay of a run that was killed before it had said whose it is.
    let empty = |path: &Path| fs::read_dir(path).is_ok_and(|mut inside| inside.next().is_none());
    let left: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().path()).filter(|p| !empty(p)).collect();
    assert_eq!(left.len(), 2, "left over: {left:?}");
}
