//! English: what `check` says, apart from the problems themselves.

use super::plain;
use crate::arguments::VerdictOf;

/// What a method lacks of a record.
pub(crate) enum Lacks {
    /// So many facts, and it gives no total.
    WithoutTotal(usize),
    /// Nothing.
    Nothing,
    /// So many facts, none of which can change its verdict.
    Settled(usize),
    /// So many facts.
    Open(usize),
}

/// Head of what a method lacks in a file, the record of a device.
pub(crate) fn lacks(method: &str, lacks: &Lacks, file: &str, device: &str) -> String {
    match *lacks {
        Lacks::WithoutTotal(n) => {
            format!(
                "{method} still lacks {} in {file} ({device}); it gives no total, whatever they are:",
                plain::facts(n)
            )
        }
        Lacks::Nothing => format!("{method} lacks nothing in {file}: every fact it reads is settled."),
        Lacks::Settled(n) => {
            format!("{method} is settled in {file} whatever the rest; {} open all the same:", plain::facts(n))
        }
        Lacks::Open(n) => format!("{method} still lacks {} in {file} ({device}):", plain::facts(n)),
    }
}

/// What limits of a method read.
pub(crate) fn limits_read(what: &str) -> String {
    format!("Its limits read {what}.")
}

/// Where an unknown stands and what it can be.
pub(crate) fn can_be(place: &str, path: &str, answers: &str) -> String {
    format!("{} {place}, {path}; can be: {answers}", plain::AT)
}

/// How a requirement fares.
pub(crate) fn requirement(file: &str, text: &str, met: bool, verdict: VerdictOf, why: &str) -> String {
    let words = if met { "met" } else { "not met" };
    format!("{file}: {text} is {words} by the {}: {why}", plain::verdict_of(verdict))
}
