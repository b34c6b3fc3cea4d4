//! A complaint about a text: what, where, why, and the mend.

use super::Span;

/// How much a complaint weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "lowercase")]
#[non_exhaustive]
pub enum Severity {
    /// Worth a look; the file is used.
    Warning,
    /// The file can't be used as it is.
    Error,
}

impl Severity {
    /// The word for it: `error`, `warning`.
    pub fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// A marked place with a few words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The place.
    pub span: Span,
    /// What is there; may be empty.
    pub text: String,
}

/// One complaint. The headline makes sense alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// Stable word code such as `order-circle`, explained by `unfasten about CODE`.
    pub code: &'static str,
    /// Warning or error.
    pub severity: Severity,
    /// The headline: what is wrong.
    pub message: String,
    /// The offending text.
    pub at: Label,
    /// Other places that matter (the first of two duplicates, the rest of a circle).
    pub also: Vec<Label>,
    /// Why it matters, in one sentence.
    pub reason: Option<String>,
    /// What to write instead.
    pub mend: Option<String>,
    /// Texts that were read as if this were mended: what else is found there is not told.
    pub doubts: Vec<Span>,
}

impl Diagnostic {
    /// An error at a place.
    pub fn error(code: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: Severity::Error,
            message: message.into(),
            at: Label { span, text: String::new() },
            also: Vec::new(),
            reason: None,
            mend: None,
            doubts: Vec::new(),
        }
    }

    /// A warning at a place.
    pub fn warning(code: &'static str, span: Span, message: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, ..Self::error(code, span, message) }
    }

    /// Adds the words at the marked place.
    pub fn marked(mut self, text: impl Into<String>) -> Self {
        self.at.text = text.into();
        self
    }

    /// Adds another place.
    pub fn also(mut self, span: Span, text: impl Into<String>) -> Self {
        self.also.push(Label { span, text: text.into() });
        self
    }

    /// Adds the reason.
    pub fn because(mut self, reason: impl Into<String>) -> Self {
        self.reason = Some(reason.into());
        self
    }

    /// Adds the mend.
    pub fn mend(mut self, mend: impl Into<String>) -> Self {
        self.mend = Some(mend.into());
        self
    }

    /// If it says that a text is empty, tells how such a text is begun.
    pub(super) fn begin_with(&mut self, start: &str) {
        if self.code == "empty-file" {
            self.mend = Some(start.to_owned());
        }
    }
}

/// Takes out what follows from a guess: complaints in text that another casts doubt on.
pub fn without_guesses(diagnostics: &mut Vec<Diagnostic>) {
    let doubts: Vec<Span> = diagnostics.iter().flat_map(|d| d.doubts.iter().copied()).collect();
    let guessed = |at: Span| doubts.iter().any(|d| d.file == at.file && d.start <= at.start && at.start <= d.end);
    diagnostics.retain(|d| d.code == "yaml-syntax" || !guessed(d.at.span));
}

/// Sorts complaints into file order: file, place, then code.
pub fn in_file_order(diagnostics: &mut [Diagnostic]) {
    diagnostics.sort_by(|a, b| (a.at.span, a.code, &a.message).cmp(&(b.at.span, b.code, &b.message)));
}
