//! What the command writes: whole or not at all, and nothing that isn't its own is replaced.

use crate::command_support;

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use command_support::{project, unfasten};
use unfasten_cli::Exit;

fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path())
        .map(|p| (p.file_name().unwrap().to_str().unwrap().to_owned(), fs::read(&p).unwrap()))
        .collect()
}

fn report(record: &str, out: &Path, more: &[&str]) -> Exit {
    let record = project(record);
    let mut arguments = vec!["report", record.as_str(), "--out", out.to_str().unwrap(), "--method", "en-45554"];
    arguments.extend(more);
    unfasten(&arguments).exit
}

#[test]
fn a_report_is_written_whole_listed_and_the_same_again() {
    let folder = tempfile::tempdir().unwrap();
    let (a, b) = (folder.path().join("a"), folder.path().join("deep/er/b"));
    assert_eq!(report("samples/lamp-two.yaml", &a, &[]), Exit::Done);
    assert_eq!(report("samples/lamp-two.yaml", &b, &[]), Exit::Done);
    let written = files(&a);
    assert_eq!(written, files(&b));
    for name in ["lamp-two.html", "lamp-two.md", "lamp-two.json", "unfasten-files.json"] {
        assert!(written.contains_key(name), "{name} missing in {:?}", written.keys());
    }
    let manifest: serde_json::Value = serde_json::from_slice(&written["unfasten-files.json"]).unwrap();
    let listed: Vec<&String> = manifest["files"].as_object().unwrap().keys().collect();
    let others: Vec<&String> = written.keys().filter(|n| *n != "unfasten-files.json").collect();
    assert_eq!(listed, others, "the manifest lists every file");
    // Again: its own files may be replaced.
    assert_eq!(report("samples/lamp-two.yaml", &a, &[]), Exit::Done);
    assert_eq!(written, files(&a));
}

#[test]
fn a_file_changed_by_hand_stops_everything_unless_forced() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    assert_eq!(report("samples/lamp-two.yaml", &out, &[]), Exit::Done);
    fs::write(out.join("lamp-two.md"), "my own words").unwrap();
    let before = files(&out);
    assert_eq!(report("samples/lamp-two.yaml", &out, &[]), Exit::WrongInput);
    assert_eq!(files(&out), before, "nothing at all was written");
    assert_eq!(report("samples/lamp-two.yaml", &out, &["--force"]), Exit::Done);
    assert_ne!(files(&out)["lamp-two.md"], b"my own words");
}

#[test]
fn what_somebody_else_put_there_stays() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("lamp-two.html"), "a page of mine").unwrap();
    fs::write(folder.path().join("other.txt"), "notes").unwrap();
    assert_eq!(report("samples/lamp-two.yaml", folder.path(), &[]), Exit::WrongInput);
    assert_eq!(files(folder.path()).len(), 2);
    assert_eq!(report("samples/lamp-two.yaml", folder.path(), &["--to", "md"]), Exit::Done);
    assert_eq!(files(folder.path())["lamp-two.html"], b"a page of mine");
    assert_eq!(files(folder.path())["other.txt"], b"notes");
}

#[test]
fn a_failed_run_leaves_an_old_report_alone() {
    let folder = tempfile::tempdir().unwrap();
    let record = folder.path().join("lamp.yaml");
    let text = command_support::text_of("samples/lamp-two.yaml");
    fs::write(&record, &text).unwrap();
    let (record, out) = (record.to_str().unwrap(), folder.path().join("out"));
    let run = || unfasten(&["report", record, "--out", out.to_str().unwrap()]).exit;
    assert_eq!(run(), Exit::Done);
    let before = files(&out);
    fs::write(record, text.replace("free: cell", "free: [")).unwrap();
    assert_eq!(run(), Exit::WrongInput);
    assert_eq!(files(&out), before);
}

#[test]
fn a_place_that_is_no_folder_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "x").unwrap();
    assert_eq!(report("samples/lamp-two.yaml", &file, &[]), Exit::WrongInput);
    assert_eq!(fs::read(&file).unwrap(), b"x");
}

/// A folder nobody may write to: the command fails (1), and says so.
#[test]
fn a_folder_that_cannot_be_made_is_a_failure() {
    let ran = unfasten(&["report", &project("samples/lamp-two.yaml"), "--out", "/proc/unfasten-test", "--to", "md"]);
    assert_eq!(ran.exit, Exit::Failed);
    assert!(ran.err.starts_with("failed: "), "{}", ran.err);
}

#[test]
fn new_never_replaces_a_record() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("mine.yaml");
    let path = file.to_str().unwrap();
    assert_eq!(unfasten(&["new", "laptop", "--out", path]).exit, Exit::Done);
    let written = fs::read(&file).unwrap();
    assert_eq!(unfasten(&["new", "other", "--out", path]).exit, Exit::WrongInput);
    assert_eq!(fs::read(&file).unwrap(), written);
}

#[test]
fn templates_written_out_render_the_same_report() {
    let folder = tempfile::tempdir().unwrap();
    let templates = folder.path().join("templates");
    let lamp = project("samples/lamp-two.yaml");
    assert_eq!(unfasten(&["template", templates.to_str().unwrap()]).exit, Exit::Done);
    let html = |more: &[&str]| {
        let mut arguments = vec!["report", lamp.as_str(), "--to", "html"];
        arguments.extend(more);
        unfasten(&arguments)
    };
    let usual = html(&[]);
    assert_eq!(html(&["--template", templates.to_str().unwrap()]), usual);
    fs::write(templates.join("report.html"), "{{ view.title }} as I like it").unwrap();
    assert_eq!(html(&["--template", templates.to_str().unwrap()]).out.trim(), "Ostrel Lamp Two as I like it");
    fs::write(templates.join("report.html"), "{% if %}").unwrap();
    let broken = html(&["--template", templates.to_str().unwrap()]);
    assert_eq!(broken.exit, Exit::WrongInput);
    assert!(broken.err.contains("report.html:1"), "{}", broken.err);
}

#[test]
fn a_missing_picture_is_a_warning() {
    let folder = tempfile::tempdir().unwrap();
    let record = folder.path().join("phone.yaml");
    fs::copy(project("samples/bar-phone.yaml"), &record).unwrap();
    let ran = unfasten(&["report", record.to_str().unwrap(), "--to", "html", "--method", "en-45554"]);
    assert_eq!(ran.exit, Exit::Done);
    assert!(ran.err.contains("warning: picture `photos/yarrow-rim.png`"), "{}", ran.err);
    let phone = project("samples/bar-phone.yaml");
    let found = unfasten(&["report", &phone, "--to", "html", "--method", "en-45554"]);
    assert!(!found.err.contains("picture"), "{}", found.err);
}
