//! Collects complaints while reading.

use crate::text::limits::{MOST_DIAGNOSTICS, MOST_MISTAKES};
use crate::text::{Diagnostic, Sources, Span, diagnostic};

/// Collects complaints while values are read from trees over some sources.
#[derive(Debug)]
pub struct Reader<'s> {
    sources: &'s Sources,
    diagnostics: Vec<Diagnostic>,
    dropped: usize,
    last: Span,
}

impl<'s> Reader<'s> {
    /// No complaints yet.
    pub fn new(sources: &'s Sources) -> Self {
        Self { sources, diagnostics: Vec::new(), dropped: 0, last: Span::default() }
    }

    /// The sources the trees were parsed from.
    pub fn sources(&self) -> &'s Sources {
        self.sources
    }

    /// Takes a complaint.
    pub fn complain(&mut self, diagnostic: Diagnostic) {
        if self.diagnostics.len() < MOST_DIAGNOSTICS {
            self.last = diagnostic.at.span;
            self.diagnostics.push(diagnostic);
        } else {
            self.dropped += 1;
        }
    }

    /// Whether so much is wrong that looking for more would only take time: no value is read any more.
    pub fn full(&self) -> bool {
        self.dropped >= MOST_MISTAKES
    }

    /// Whether anything so far is an error.
    pub fn failed(&self) -> bool {
        self.diagnostics.iter().any(|d| d.severity == crate::text::Severity::Error)
    }

    /// All complaints, in file order.
    pub fn finish(mut self) -> Vec<Diagnostic> {
        diagnostic::without_guesses(&mut self.diagnostics);
        diagnostic::in_file_order(&mut self.diagnostics);
        if self.dropped > 0 {
            let least = if self.full() { "at least " } else { "" };
            let message = format!("{least}{} more problems are not shown", self.dropped);
            self.diagnostics.push(
                Diagnostic::error("too-many-problems", self.last, message)
                    .because("After this many, most follow from a few.")
                    .mend("mend the first ones and check again"),
            );
        }
        self.diagnostics
    }
}
