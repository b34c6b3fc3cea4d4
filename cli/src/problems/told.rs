//! What was said of many records already: of alike problems only the first are shown, the rest is counted and told in the end.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use scoring::text::Diagnostic;

use super::{ALIKE, Form};
use crate::terminal::{plural, shown::Drawn};

/// Bytes of warnings of good records that are shown; what is worse than a warning has its own end.
const WARNINGS: usize = 256 << 10;
/// The kind of what has no code: a requirement that is not met, a method that does not fit.
const WITHOUT: &str = "without a code";

/// Problems of one kind that were not shown, and of how many records.
#[derive(Debug, Default)]
struct Left {
    problems: usize,
    records: usize,
}

/// What was said of all records so far.
#[derive(Debug, Default)]
pub(crate) struct Said {
    shown: BTreeMap<&'static str, usize>,
    left: BTreeMap<&'static str, Left>,
    warned: usize,
    unwarned: usize,
}

impl Said {
    /// Of the problems of a record those that are shown. A program that reads JSON gets them all.
    pub(crate) fn few(&mut self, form: Form, found: Vec<Diagnostic>) -> Vec<Diagnostic> {
        if form.is_json() {
            return found;
        }
        // Of one record all of a kind or none: of many in one text the drawing tells the end.
        let before = self.shown.clone();
        let full = |code: &str| before.get(code).is_some_and(|n| *n >= ALIKE);
        let mut counted: Vec<&str> = Vec::new();
        let kept = found.into_iter().filter(|problem| {
            if !full(problem.code) {
                *self.shown.entry(problem.code).or_default() += 1;
                return true;
            }
            let left = self.left.entry(problem.code).or_default();
            left.problems += 1;
            left.records += usize::from(!counted.contains(&problem.code));
            counted.push(problem.code);
            false
        });
        kept.collect()
    }

    /// Whether what has no code and ends the work on one record is shown.
    pub(crate) fn one(&mut self) -> bool {
        let shown = self.shown.entry(WITHOUT).or_default();
        *shown += 1;
        let fine = *shown <= ALIKE;
        if !fine {
            let left = self.left.entry(WITHOUT).or_default();
            left.problems += 1;
            left.records += 1;
        }
        fine
    }

    /// Whether what a record wrote beside its result is shown.
    pub(crate) fn beside(&mut self, form: Form, drawn: &Drawn) -> bool {
        if drawn.len() == 0 {
            return true;
        }
        let fine = form.is_json() || self.warned < WARNINGS;
        self.warned += drawn.len();
        self.unwarned += usize::from(!fine);
        fine
    }

    /// What was left out, told at the end; empty where nothing was.
    pub(crate) fn end(&self) -> String {
        let mut out = String::new();
        for (code, left) in &self.left {
            let kind = if *code == WITHOUT { String::new() } else { format!(" ({code})") };
            let _ =
                write!(out, "and {} more of this kind{kind}, in {}; ", left.problems, plural(left.records, "record"));
        }
        if self.unwarned > 0 {
            let _ = write!(out, "and warnings of {} more; ", plural(self.unwarned, "record"));
        }
        if !out.is_empty() {
            out.push_str("mend the first ones and run it again, or see all with `--problems json`");
        }
        out
    }
}
