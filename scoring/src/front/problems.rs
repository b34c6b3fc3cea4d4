//! The one error: what is wrong with a text, all of it.

use std::fmt;

use crate::text::{Diagnostic, Position, Severity, Sources, Span};

/// One complaint about a text, with its place and its mend.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Problem {
    /// Stable word code such as `order-circle`; `unfasten about CODE` explains it.
    pub code: &'static str,
    /// Whether the text can't be used as it is.
    pub severity: Severity,
    /// What is wrong; makes sense alone.
    pub message: String,
    /// Name of the text.
    pub file: String,
    /// Line and column, both from 1, columns in characters.
    pub position: Position,
    /// Why it matters, in one sentence.
    pub reason: Option<String>,
    /// What to write instead.
    pub mend: Option<String>,
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}:{}: {}", self.file, self.position.line, self.position.column, self.message)?;
        self.mend.iter().try_for_each(|mend| write!(f, "; {mend}"))
    }
}

/// Every mistake of a text, in file order: at least one of them an error.
///
/// ```
/// let wrong = "unfasten: 1\ndevice: {name: Lantern, category: other}\nactions:\n  - {fre: base}\n  - {free: cell, with: PH9x}\n";
/// let problems = scoring::Teardown::read("lantern.yaml", wrong).unwrap_err();
/// assert!(problems.iter().filter(|p| p.severity == scoring::Severity::Error).count() >= 2); // all at once
/// assert_eq!(problems.iter().next().unwrap().position.line, 4);
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problems(Vec<Problem>);

impl Problems {
    pub(super) fn of(found: &[Diagnostic], sources: &Sources) -> Self {
        Self(found.iter().map(|d| problem(d, sources)).collect())
    }

    /// A complaint about what was asked for, not about a text.
    pub(super) fn asked(code: &'static str, what: &str, message: String, mend: String) -> Self {
        let position = Position { line: 1, column: 1 };
        let file = what.to_owned();
        Self(vec![Problem { code, severity: Severity::Error, message, file, position, reason: None, mend: Some(mend) }])
    }

    /// Each of them, in file order.
    pub fn iter(&self) -> impl Iterator<Item = &Problem> {
        self.0.iter()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none: as warnings of something that could be read.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (at, problem) in self.0.iter().enumerate() {
            if at > 0 {
                f.write_str("\n")?;
            }
            problem.fmt(f)?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

fn problem(found: &Diagnostic, sources: &Sources) -> Problem {
    let Diagnostic { code, severity, message, reason, mend, at, .. } = found.clone();
    Problem {
        code,
        severity,
        message,
        file: file_of(sources, at.span),
        position: sources.position(at.span),
        reason,
        mend,
    }
}

pub(super) fn file_of(sources: &Sources, span: Span) -> String {
    sources.get(span.file).name.to_string()
}
