//! English: what `answer` says, apart from the questions themselves.

use std::io::Error;

use scoring::text::words::{clock, count};

use super::plain;

/// What is asked for at the prompt.
pub(crate) const PROMPT: &str = "answer";

pub(crate) const NOT_INTO_INPUT: &str = "answers are written into a file, not into standard input";

pub(crate) const NO_TERMINAL: [&str; 2] = [
    "questions are asked at a terminal, and this is none",
    "answer them with --from answers.csv; `unfasten unknowns RECORD --format csv` makes one to fill in",
];

pub(crate) fn unreadable(name: &str, error: &Error) -> String {
    format!("`{name}` can't be read: {error}")
}

/// Why an answer can't be written in, and what to do.
pub(crate) const NO_YAML: &str = "the record can't be read as YAML";

pub(crate) fn no_place(path: &str) -> String {
    format!("there is no place `{path}` in this record that could be changed")
}

pub(crate) const TAKE_PATHS: &str = "take paths from `unfasten unknowns RECORD --format csv`";

pub(crate) fn no_value(value: &str) -> String {
    format!("`{value}` is no single value")
}

pub(crate) const QUOTE_IT: &str = "put text that holds `: `, `#`, a comma or a bracket in quotes";

/// What a draft wrote and nobody has reviewed yet.
pub(crate) fn unreviewed(message: &str) -> String {
    format!("{message}; `unfasten check` names the place")
}

pub(crate) fn no_table(list: &str) -> [String; 2] {
    [format!("`{list}` holds no table"), "make one with `unfasten unknowns RECORD --format csv`".to_owned()]
}

pub(crate) fn lacks_columns(list: &str) -> [String; 2] {
    [
        format!("`{list}` lacks a column `path` or `answer`"),
        "let its first line name them; `unfasten unknowns RECORD --format csv` makes such a table".to_owned(),
    ]
}

pub(crate) fn no_record(name: &str) -> String {
    format!("`{name}` does not read as a record")
}

pub(crate) fn no_record_any_more(name: &str) -> String {
    format!("`{name}` no longer reads as a record")
}

/// Why a row of a list can't be taken; `line`: of the record, where the row answers one.
pub(crate) fn row_refused(line: Option<u32>, record: &str) -> String {
    let whose = line.map_or_else(String::new, |line| format!("It answers line {line} of {record}: "));
    format!("{whose}it can't stand there, and nothing was written.")
}

pub(crate) fn answered_above(path: &str) -> String {
    format!("`{path}` has an answer above already")
}

pub(crate) const LET_ONE_BE_EMPTY: &str = "let one of the two lines be empty; what needs two things at once has a line of its \
                                           own, such as `actions[3].after` with `[lid, fan]`";

pub(crate) fn wrote(answers: usize, name: &str) -> String {
    format!("wrote {} into {name}", count(answers, "answer"))
}

/// How to answer.
pub(crate) const HOW: &str = "An answer is written into the file at once. A number takes an answer offered; nothing: ask later; \
                              u: undo; p: open the footage; q: stop.";

/// The end of the talk, with so many questions left for later.
pub(crate) fn end(left: usize) -> String {
    match left {
        0 => "Nothing is open any more.".to_owned(),
        n => format!("{} left for later. Run it again to be asked.", plain::questions(n)),
    }
}

/// Where a question stands: what was found, when, its line, its path, and how many are open.
pub(crate) fn place(found: &str, at: Option<u32>, line: Option<u32>, path: &str, open: usize) -> String {
    let time = plain::at_time(at);
    let line = line.map_or_else(|| "not in the file yet".to_owned(), plain::line);
    format!("{found}{time}; {line}, {path}; {open} open")
}

/// An answer offered: when it was done, what it means, and where it leads.
pub(crate) fn offer(answer: &str, at: Option<u32>, means: &str, leads: Option<&str>) -> String {
    let time = at.map_or_else(String::new, |at| format!(" ({})", clock(at)));
    let means = if means.is_empty() { String::new() } else { format!(": {means}") };
    let leads = leads.map_or_else(String::new, |said| format!(" (then {said})"));
    format!("{answer}{time}{means}{leads}")
}

pub(crate) const NOTHING_TO_UNDO: &str = "There is nothing to undo.";

pub(crate) const CHANGED_MEANWHILE: &str =
    "The file was changed in the meantime; the answer goes into what it holds now.";

pub(crate) const NO_PLAYER: &str = "Name a command with --player, such as --player 'COMMAND --start={time} {video}'.";

pub(crate) const NO_TIME: &str = "This question has no time in the footage.";

pub(crate) const NO_VIDEO: &str = "The record names no `video` under `teardown`: write it there, or name the file in --player \
                                   instead of {video}.";

pub(crate) fn not_run(program: &str, error: &Error) -> String {
    format!("`{program}` can't be run: {error}")
}
