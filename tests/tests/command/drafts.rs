//! From footage to a verdict: `draft`, `check`, `answer`, `report`, end to end.

use crate::command_support;

use std::fs;
use std::path::Path;

use command_support::{fits, program_path, project, unfasten};
use unfasten_cli::Exit;

const CAPTIONS: &str = "tests/data/narrations/a.vtt";

/// A draft of invented captions in a folder of its own.
fn drafted(folder: &Path) -> String {
    let file = folder.join("pellet.yaml").to_str().unwrap().to_owned();
    let ran = unfasten(&["draft", &project(CAPTIONS), "--device", "Pellet", "--out", &file]);
    assert_eq!((ran.exit, &*ran.out), (Exit::Done, ""), "{}", ran.err);
    // Where the line breaks depends on the folder's name.
    assert!(ran.err.replace('\n', " ").contains("nobody has reviewed it"), "{}", ran.err);
    fits("draft", &ran.err.replace(&file, "pellet.yaml"));
    file
}

#[test]
fn a_draft_is_checked_with_one_warning_and_reported_only_as_a_draft() {
    let folder = tempfile::tempdir().unwrap();
    let file = drafted(folder.path());
    let check = unfasten(&["check", &file]);
    assert_eq!(check.exit, Exit::Done, "{}", check.out);
    assert!(check.out.ends_with(": 1 warning\n"), "{}", check.out);
    assert!(check.out.contains("20 actions were drafted and nobody has reviewed them"), "{}", check.out);
    // It must not exist yet.
    assert_eq!(unfasten(&["draft", &project(CAPTIONS), "--out", &file]).exit, Exit::WrongInput);
}

/// A short record with drafted actions: small enough to be scored at once.
const SMALL: &str = "unfasten: 1   # mine\ndevice: {name: Lantern, category: other}\nteardown: {place: use, skill: unknown}\nroles: {cell: {weight: 1}}\nparts: {cell: {role: cell, paired: no}}   # the cell\nactions:\n  # 0:10 lid off\n  - free: lid\n    at: 0:10\n    with: unknown   # by hand?\n    loosen: 2 x clip\n    after: unknown\n    basis: drafted\n\n  - free: cell\n    at: 0:20\n    with: hands\n    loosen: connector\n    after: lid\n# the end\n";

fn small(folder: &Path) -> String {
    let file = folder.join("lantern.yaml");
    fs::write(&file, SMALL).unwrap();
    file.to_str().unwrap().to_owned()
}

#[test]
fn a_report_of_a_draft_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let refused = unfasten(&["report", &file, "--to", "md"]);
    assert_eq!(refused.exit, Exit::WrongInput);
    assert!(refused.err.contains("is a draft: 1 action nobody has reviewed"), "{}", refused.err);
    let shown = unfasten(&["report", &file, "--to", "md", "--draft"]);
    assert_eq!(shown.exit, Exit::Done, "{}", shown.err);
    let head: String = shown.out.lines().take(12).collect::<Vec<_>>().join("\n");
    assert!(shown.out.contains("Draft: 1 of 2 actions"), "{head}");
    let score = unfasten(&["score", &file]);
    assert!(score.out.replace('\n', " ").contains("nobody has reviewed them"), "{}", score.out);
}

#[test]
fn a_list_makes_the_same_record() {
    let folder = tempfile::tempdir().unwrap();
    let list = folder.path().join("list.csv").to_str().unwrap().to_owned();
    let captions = project(CAPTIONS);
    assert_eq!(unfasten(&["draft", &captions, "--to", "list", "--out", &list]).exit, Exit::Done);
    let direct = unfasten(&["draft", &captions, "--device", "Pellet"]).out;
    let back = unfasten(&["draft", "--from", &list, "--device", "Pellet"]);
    assert_eq!(back.exit, Exit::Done, "{}", back.err);
    let lines = |text: &str, start: &str| {
        text.lines().map(str::trim).filter(|l| l.starts_with(start)).map(str::to_owned).collect::<Vec<_>>()
    };
    for start in ["- free:", "- do:", "at:", "with:", "loosen:", "outcome:"] {
        assert_eq!(lines(&direct, start), lines(&back.out, start));
    }
}

/// Every fact answered by a table equals the record written by hand, and comments stay.
#[test]
fn answers_of_a_table_go_into_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let open = unfasten(&["unknowns", &file, "--format", "csv"]);
    assert_eq!(open.exit, Exit::Done, "{}", open.err);
    let asked: Vec<&str> = open.out.lines().skip(1).filter_map(|l| l.split(',').next()).collect();
    assert_eq!(asked[..3], ["teardown.skill", "actions[0].basis", "actions[0].with"], "{}", open.out);
    // What was done first on the closed device needs nothing: not asked, but an answer is taken.
    assert!(!asked.contains(&"actions[0].after"), "{}", open.out);
    let answers = folder.path().join("answers.csv").to_str().unwrap().to_owned();
    fs::write(&answers, "path,answer\nteardown.skill,layman\nactions[0].with,\"[opening pick, hands]\"\nactions[0].after,[]\nactions[0].basis,seen\nsupport.updates,\n").unwrap();
    let ran = unfasten(&["answer", &file, "--from", &answers]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let by_hand = SMALL
        .replace("skill: unknown", "skill: layman")
        .replace("with: unknown   # by", "with: [opening pick, hands]   # by")
        .replace("after: unknown", "after: []")
        .replace("basis: drafted", "basis: seen");
    assert_eq!(fs::read_to_string(&file).unwrap(), by_hand);
    assert!(unfasten(&["check", &file]).out.ends_with("no problems\n"));
}

#[test]
fn a_wrong_answer_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let answers = folder.path().join("answers.csv").to_str().unwrap().to_owned();
    fs::write(
        &answers,
        "path,answer\nteardown.skill,layman\nactions[0].with,hammer time\nactions[9].with,hands\nteardown.place,: [\n",
    )
    .unwrap();
    let ran = unfasten(&["answer", &file, "--from", &answers]);
    assert_eq!(ran.exit, Exit::WrongInput, "{}", ran.err);
    for line in ["answers.csv:3", "answers.csv:4", "answers.csv:5"] {
        assert!(ran.err.contains(line), "{line} in\n{}", ran.err);
    }
    assert_eq!(fs::read_to_string(&file).unwrap(), SMALL);
    // Without a terminal nothing is asked.
    assert_eq!(unfasten(&["answer", "-"]).exit, Exit::WrongInput);
}

/// The loop at a terminal: a wrong answer is told, a right one stands in the file at once, undo takes it back.
#[cfg(unix)]
#[test]
fn questions_are_answered_at_a_terminal() {
    let folder = tempfile::tempdir().unwrap();
    let file = small(folder.path());
    let command = format!("{} answer {file}", program_path().display());
    let mut terminal = rexpect::spawn(&command, Some(60_000)).unwrap();
    let held = || fs::read_to_string(&file).unwrap();
    // Place and skill first.
    terminal.exp_string("teardown.skill").unwrap();
    terminal.exp_string("answer").unwrap();
    terminal.send_line("wizard").unwrap();
    terminal.exp_string("error").unwrap();
    assert_eq!(held(), SMALL);
    terminal.exp_string("answer").unwrap();
    terminal.send_line("1").unwrap();
    terminal.exp_string("actions[0].basis").unwrap();
    terminal.exp_string("answer").unwrap();
    assert_eq!(held(), SMALL.replace("skill: unknown", "skill: layman"));
    terminal.send_line("u").unwrap();
    terminal.exp_string("teardown.skill").unwrap();
    terminal.exp_string("answer").unwrap();
    assert_eq!(held(), SMALL);
    terminal.send_line("generalist").unwrap();
    terminal.exp_string("actions[0].basis").unwrap();
    terminal.exp_string("answer").unwrap();
    // Left for later.
    terminal.send_line("").unwrap();
    terminal.exp_string("actions[0].with").unwrap();
    terminal.exp_string("answer").unwrap();
    terminal.send_line("hands").unwrap();
    // Nothing can stand before the first action, so the maker's offer comes next.
    terminal.exp_string("support.spare parts.cell.to").unwrap();
    terminal.exp_string("answer").unwrap();
    terminal.send_line("q").unwrap();
    terminal.exp_eof().unwrap();
    assert_eq!(held(), SMALL.replace("skill: unknown", "skill: generalist").replace("with: unknown", "with: hands"));
}
