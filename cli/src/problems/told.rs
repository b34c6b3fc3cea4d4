//! What was said of many records already: of alike problems only the first are shown, the rest is counted and told in the end.

use std::collections::BTreeMap;

use scoring::text::Diagnostic;

use super::{ALIKE, Form};
use crate::terminal::shown::Drawn;
use crate::words::problems as say;

/// Bytes of warnings of good records that are shown; what is worse than a warning has its own end.
const WARNINGS: usize = 256 << 10;

/// Kinds of problems, in the order in which they are told.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    /// What has a code.
    Code(&'static str),
    /// What has none: a requirement that is not met, a method that does not fit.
    Without,
}

/// Problems of one kind that were not shown, and of how many records.
#[derive(Debug, Default)]
struct Left {
    problems: usize,
    records: usize,
}

/// What was said of all records so far.
#[derive(Debug, Default)]
pub(crate) struct Said {
    shown: BTreeMap<Kind, usize>,
    left: BTreeMap<Kind, Left>,
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
        let full = |kind: Kind| before.get(&kind).is_some_and(|n| *n >= ALIKE);
        let mut counted: Vec<Kind> = Vec::new();
        let kept = found.into_iter().filter(|problem| {
            let kind = Kind::Code(problem.code);
            if !full(kind) {
                *self.shown.entry(kind).or_default() += 1;
                return true;
            }
            let left = self.left.entry(kind).or_default();
            left.problems += 1;
            left.records += usize::from(!counted.contains(&kind));
            counted.push(kind);
            false
        });
        kept.collect()
    }

    /// Whether what has no code and ends the work on one record is shown.
    pub(crate) fn one(&mut self) -> bool {
        let shown = self.shown.entry(Kind::Without).or_default();
        *shown += 1;
        let fine = *shown <= ALIKE;
        if !fine {
            let left = self.left.entry(Kind::Without).or_default();
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
        let left = self.left.iter().map(|(kind, left)| {
            let code = if let Kind::Code(code) = kind { Some(*code) } else { None };
            say::left(left.problems, code, left.records)
        });
        let out: Vec<String> = left.chain((self.unwarned > 0).then(|| say::unwarned(self.unwarned))).collect();
        if out.is_empty() { String::new() } else { say::left_out(&out) }
    }
}
