//! English: what stands behind a number: readings, ends, questions.

use super::number;

/// `points: up to 2: 10; up to 4: 8`.
pub fn points_by(table: &str) -> String {
    format!("points: {table}")
}

/// `all nine parts`.
pub fn all_parts(parts: usize) -> String {
    format!("all {} parts", number(parts))
}

/// A mean of equal values.
pub fn all_alike(parts: usize) -> String {
    if parts == 2 { "the same for both parts".to_owned() } else { format!("the same for all {} parts", number(parts)) }
}

/// What a requirement on no part is asked of.
pub const THE_DEVICE: &str = "the device";

/// `at least 800 cycles`.
pub fn bound(more: bool, bound: &str, unit: &str) -> String {
    if unit == "code digit" {
        return format!("the digit {bound} or a higher one");
    }
    format!("{} {bound} {unit}", if more { "at least" } else { "at most" }).trim_end().to_owned()
}

/// What was read at the low and at the high end.
pub fn at_ends(low: &str, high: &str) -> String {
    format!("at the low end {low}; at the high end {high}")
}

/// Limits of which none is lower than the criteria.
pub const NO_LIMIT_BINDS: &str = "no limit binds";

/// What is read at an end of a fact that is open.
pub const NOBODY_ESTABLISHED: &str = "not established";

/// `set by Tools`.
pub fn set_by(what: &str) -> String {
    format!("set by {what}")
}

/// `source: data sheet`.
pub fn from_source(source: &str) -> String {
    format!("source: {source}")
}

/// How many other readings of a method would change its result.
pub fn readings(all: usize, changing: usize, outer: bool) -> String {
    let outer = if outer { ", as far as outer bounds tell" } else { "" };
    match (all, changing) {
        (0, _) => String::new(),
        (1, 0) => format!("Another reading of the method would not change it{outer}."),
        (1, _) => format!("Another reading of the method would change it{outer}."),
        (n, 0) => format!("None of {n} other readings of the method would change it{outer}."),
        (n, c) => format!("{c} of {n} other readings of the method would change it{outer}."),
    }
}

/// How many questions are open, of all criteria and of the bench verdict.
pub fn unknowns(all: usize, bench: Option<usize>) -> String {
    let questions = |n: usize| format!("{n} {}", if n == 1 { "question" } else { "questions" });
    match bench {
        Some(bench) => format!("{} open on all criteria, {bench} on the bench verdict", questions(all)),
        None => format!("{} open", questions(all)),
    }
}

/// `3 questions open`; empty where none is.
pub fn questions_open(n: usize) -> String {
    match n {
        0 => String::new(),
        1 => "1 question open".to_owned(),
        n => format!("{n} questions open"),
    }
}

/// What a verdict is without what a bench takes for granted.
pub fn without_sheet(sheet: &str, bench: Option<&str>, full: &str) -> String {
    match bench {
        Some(bench) => format!("By the sheet of {sheet}; without it {bench} on the bench, {full} in full."),
        None => format!("By the sheet of {sheet}; without it {full}."),
    }
}

/// The answers at the two ends, where they differ.
pub fn answers_at(low: &str, high: &str) -> String {
    if low.is_empty() || low == high { String::new() } else { format!("Low end: {low}; high end: {high}.") }
}

/// What stays open after an answer.
pub fn stays_open(worst: &str, mean: &str) -> String {
    if worst.is_empty() { String::new() } else { format!("Leaves at most {worst} points open, {mean} on average.") }
}

/// A question the record says nothing of.
pub const NO_LINE_YET: &str = "no line about it yet";

/// What stands before something read at one end: `tried near the low end:`.
pub fn labelled(label: &str) -> String {
    format!("{label}:")
}

/// What a range of an index is, and by whose bench sheet: whoever sets devices side by side must see it.
pub fn judged(of: &str, sheet: Option<&str>) -> String {
    match (of, sheet) {
        (of, None) => of.to_owned(),
        ("", Some(sheet)) => format!("by the sheet of {sheet}"),
        (of, Some(sheet)) => format!("{of}, by the sheet of {sheet}"),
    }
}

/// The way back to a method by its id: `both ends of en-45554`.
/// Of an end that is a bound only a completion that was tried is told.
pub fn ends_of(which: [bool; 2], attained: [bool; 2], methods: &str) -> String {
    match (which, attained) {
        ([true, true], [true, true]) => methods.to_owned(),
        ([true, true], _) => format!("{} of {methods}", crate::words::both_ends(attained)),
        ([true, false], [true, _]) | ([false, _], [_, true]) => {
            format!("the {} of {methods}", crate::words::end(true, !which[0]))
        }
        ([true, false] | [false, _], _) => format!("one {} of {methods}", crate::words::end(false, !which[0])),
    }
}

/// `5.3 to 6.6 of 10 with the maker's promises`.
pub fn with_promises(range: &str, out_of: &str) -> String {
    format!("{range} {out_of} with the maker's promises")
}

/// Questions beside those shown: those that move the verdict or were not worked out, and those that alone do not.
pub fn more_open(shown: usize, more: usize, silent: usize) -> String {
    let alone = match silent {
        0 => return if more == 0 { String::new() } else { beside(shown, more) },
        1 => "one question that alone moves it by less than 0.05".to_owned(),
        n => format!("{} questions that alone move it by less than 0.05", number(n)),
    };
    match (shown, more) {
        (0, 0) => alone,
        (_, 0) => format!("and {alone}"),
        (_, more) => format!("{}; {alone}", beside(shown, more)),
    }
}

fn beside(shown: usize, more: usize) -> String {
    match (shown, more) {
        (0, 1) => "one question; what it moves was not worked out".to_owned(),
        (0, n) => format!("{} questions; what each moves was not worked out", number(n)),
        (_, 1) => "and one more; what it moves was not worked out".to_owned(),
        (_, n) => format!("and {n} more"),
    }
}

/// The method, and how sure its weakest rule is; `bench`: of what the bench shows, which has a certainty of its own.
pub fn method_and_weakest(title: &str, phrase: &str, bench: bool) -> String {
    let of = if bench { "weakest rule on the bench" } else { "weakest rule" };
    format!("{title}; {of}: {}.", phrase.split(',').next().unwrap_or_default())
}

/// The weakest rule of a verdict, and that of its bench verdict, which is another.
pub fn weakest(full: &str, bench: &str) -> String {
    format!("on the bench {bench}; with the maker's promises {full}")
}

/// Lost points in a line.
pub fn lost_by_criterion(rows: &str) -> String {
    if rows.is_empty() { String::new() } else { format!("By criterion: {rows}.") }
}

/// A question another method asks too.
pub fn same_question(number: usize, method: &str) -> String {
    format!("as question {number} of {method}")
}

/// `Three devices by EU repairability index`.
pub fn devices_by(devices: usize, method: &str) -> String {
    crate::words::capital(&format!("{} devices by {method}", number(devices)))
}

/// A reading of a method that nobody asked for.
pub const NOT_WORKED_OUT: &str = "not worked out";

/// What is said of each of several rows in a row.
pub fn each(notes: &[String]) -> String {
    format!("each {}", notes.join(", "))
}
