//! Runs the command: in this process with streams of our own, or as the real program.
#![allow(dead_code, reason = "each test file uses its own half")]

pub(crate) mod terminal;

use std::path::{Path, PathBuf};

use unfasten_cli::{Exit, Streams, run};

/// What a run gave.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Ran {
    pub(crate) exit: Exit,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// A text in one line, however it was wrapped.
pub(crate) fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Runs the command in this process, with nothing on standard input.
pub(crate) fn unfasten(arguments: &[&str]) -> Ran {
    unfasten_reading(arguments, b"")
}

/// Runs the command in this process.
pub(crate) fn unfasten_reading(arguments: &[&str], mut input: &[u8]) -> Ran {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut streams = Streams {
        input: &mut input,
        out: &mut out,
        err: &mut err,
        out_styled: false,
        err_styled: false,
        err_terminal: false,
    };
    let exit = run(std::iter::once("unfasten").chain(arguments.iter().copied()), &mut streams);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("output is UTF-8");
    Ran { exit, out: text(out), err: text(err) }
}

/// The real program.
pub(crate) fn program() -> assert_cmd::Command {
    assert_cmd::Command::new(program_path())
}

/// Where the real program is.
pub(crate) fn program_path() -> &'static Path {
    Path::new(env!("CARGO_BIN_EXE_unfasten-under-test"))
}

/// A file of the project.
pub(crate) fn project(path: &str) -> String {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests stand in the project");
    root.join(path).to_str().expect("paths are UTF-8").to_owned()
}

/// The text of a file of the project.
pub(crate) fn text_of(path: &str) -> String {
    std::fs::read_to_string(project(path)).expect("a file of the project")
}

/// All sample records.
pub(crate) fn samples() -> Vec<String> {
    let mut all: Vec<PathBuf> = std::fs::read_dir(project("samples"))
        .expect("samples are there")
        .map(|e| e.expect("readable").path())
        .filter(|p| p.extension().is_some_and(|e| e == "yaml") && !p.ends_with("bench-a.yaml"))
        .collect();
    all.sort();
    all.into_iter().map(|p| p.to_str().expect("paths are UTF-8").to_owned()).collect()
}

/// Every line of a text fits a terminal.
pub(crate) fn fits(what: &str, text: &str) {
    use unicode_width::UnicodeWidthStr;
    for line in text.lines() {
        assert!(line.width() <= 80, "{what}: {} columns:\n{line}", line.width());
    }
}
