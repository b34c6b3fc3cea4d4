//! How a draft, and what nobody tried, look wherever they are shown: shortly, once, and never as more or less than was said.

use crate::command_support;

use std::fs;
use std::path::Path;

use command_support::{project, unfasten};
use unfasten_cli::Exit;

fn written(folder: &Path, name: &str, text: &str) -> String {
    let file = folder.join(name);
    fs::write(&file, text).unwrap();
    file.to_str().unwrap().to_owned()
}

/// A draft of invented captions, of a phone.
fn phone(folder: &Path) -> String {
    let file = folder.join("phone.yaml").to_str().unwrap().to_owned();
    let captions = project("tests/data/narrations/a.vtt");
    let ran = unfasten(&["draft", &captions, "--category", "smartphone", "--out", &file]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    file
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Told once and in at most two lines by every command that uses the record; `check` tells it in full.
#[test]
fn that_nobody_reviewed_it_is_told_once_and_shortly() {
    let folder = tempfile::tempdir().unwrap();
    let file = phone(folder.path());
    for arguments in
        [&["unknowns", &file][..], &["unknowns", &file, "--most", "3"], &["score", &file, "--format", "csv"]]
    {
        let ran = unfasten(arguments);
        assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
        let text = plain(&ran.err);
        assert_eq!(text.matches("nobody has reviewed").count(), 1, "{arguments:?}: {}", ran.err);
        assert!(ran.err.lines().count() <= 2, "{arguments:?}: {}", ran.err);
    }
    // Its verdicts say it below themselves.
    let score = unfasten(&["score", &file]);
    assert_eq!((score.exit, &*score.err), (Exit::Done, ""));
    assert!(plain(&score.out).contains("and nobody has reviewed them"), "{}", score.out);
    let check = unfasten(&["check", &file]);
    assert!(check.err.contains("mend:") || check.out.contains("mend:"), "{}{}", check.out, check.err);
}

/// A draft was done on this bench, as far as anybody knows; that nobody reviewed it is what there is to say.
#[test]
fn what_is_drafted_is_not_called_told_or_planned() {
    let folder = tempfile::tempdir().unwrap();
    let file = phone(folder.path());
    let ran = unfasten(&["report", &file, "--draft", "--to", "summary"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    assert!(ran.out.contains("actions drafted, reviewed by nobody"), "{}", ran.out);
    // One of its actions was told; no other is called so.
    assert!(ran.out.contains("; 1 of 21 actions not done on this bench"), "{}", ran.out);
    assert!(!ran.out.contains("told or planned"), "{}", ran.out);
    // What was told is still called so.
    let told = "unfasten: 1\ndevice: {name: Lantern, category: other}\nteardown: {place: use, skill: layman}\nroles: {cell: {weight: 1}}\n\
                parts: {cell: {role: cell}}\nactions:\n  - {free: cell, with: hands, loosen: connector, after: [], basis: told}\n";
    let told = written(folder.path(), "told.yaml", told);
    let ran = unfasten(&["report", &told, "--to", "summary"]);
    assert!(ran.out.contains("1 of 1 actions not done on this bench"), "{}", ran.out);
}

/// A verdict that no question can move, but that rests on what word lists heard, is not called settled.
#[test]
fn a_verdict_on_drafted_facts_is_not_called_settled() {
    let folder = tempfile::tempdir().unwrap();
    let ran = unfasten(&["score", &phone(folder.path()), "-m", "eu-2023-1542-11"]);
    let text = plain(&ran.out);
    assert!(!text.contains("every fact the method reads is settled"), "{}", ran.out);
    assert!(text.contains("open no question of its own; but nobody has reviewed"), "{}", ran.out);
}

/// What is marked as not tried stands in the log of the page, with its reason.
#[test]
fn a_part_nobody_tried_stands_in_the_log() {
    let text = "unfasten: 1\ndevice: {name: Lantern, category: other}\nteardown: {place: use, skill: layman}\nroles: {cell: {weight: 1}}\n\
                parts:\n  cell: {role: cell, paired: no}\n  front shell: {outcome: not attempted, because: glued all round}\nactions:\n  \
                - {free: lid, with: hands, loosen: 2 x clip, after: []}\n  - {free: cell, with: hands, loosen: connector, after: lid}\n";
    let folder = tempfile::tempdir().unwrap();
    let file = written(folder.path(), "lantern.yaml", text);
    let md = unfasten(&["report", &file, "--to", "md"]);
    let row = md.out.lines().find(|l| l.starts_with("|3|")).unwrap_or_default();
    for said in ["free front shell", "not attempted", "glued all round"] {
        assert!(row.contains(said), "{said} in `{row}`\n{}", md.err);
    }
    let html = unfasten(&["report", &file, "--to", "html"]);
    // Once in the log, once in the record below.
    assert!(html.out.matches("glued all round").count() > 1);
}

/// What came first needs nothing: the list of the closed device says that it is left out.
#[test]
fn the_list_of_the_closed_device_says_what_came_first() {
    let folder = tempfile::tempdir().unwrap();
    let action = |name: &str| format!("  - {{free: {name}, with: hands, loosen: 2 x clip, after: unknown}}\n");
    let text = format!(
        "unfasten: 1\ndevice: {{name: Lantern, category: other}}\nteardown: {{place: use, skill: layman}}\nroles: {{cell: {{weight: 1}}}}\n\
         parts: {{cell: {{role: cell, paired: no}}}}\nactions:\n{}{}{}",
        action("lid"),
        action("shade"),
        action("cell")
    );
    let ran = unfasten(&["unknowns", &written(folder.path(), "lantern.yaml", &text), "--format", "csv"]);
    let row = ran.out.lines().find(|l| l.starts_with("closed device,")).unwrap_or_default();
    assert!(row.contains("What besides `lid`, which came first,"), "{}", ran.out);
}

/// Where one answer lets a part out and another doesn't, whether it can be taken out is open, and not that it can't.
#[test]
fn what_only_an_answer_keeps_in_is_not_called_kept_in() {
    let folder = tempfile::tempdir().unwrap();
    let role = |name: &str| format!("{name}: {{role: {name}, paired: no}}");
    let text = format!(
        "unfasten: 1\ndevice: {{name: Lantern, category: other}}\nteardown: {{place: use, skill: layman}}\n\
         roles: {{cell: {{weight: 1}}, lamp: {{weight: 1}}, fan: {{weight: 1}}}}\nparts: {{{}, {}, {}}}\nactions:\n  \
         - {{free: lid, with: hands, loosen: 2 x clip, after: [], outcome: not attempted}}\n  \
         - {{free: lamp, with: hands, loosen: connector, after: []}}\n  - {{free: fan, with: hands, loosen: connector, after: []}}\n  \
         - {{free: cell, with: hands, loosen: connector, after: unknown}}\n",
        role("cell"),
        role("lamp"),
        role("fan")
    );
    let ran = unfasten(&["score", &written(folder.path(), "lantern.yaml", &text), "-m", "en-45554"]);
    let said = plain(&ran.out);
    assert!(!said.contains("can't be taken out undamaged"), "{}", ran.out);
    // It was taken out here: in no completion is it kept in.
    assert!(!said.contains("can be taken out undamaged is open"), "{}", ran.out);
}
