//! Problems as one JSON document.

use std::io::{self, Write};

use report::json::Layout;
use schemars::JsonSchema;
use scoring::text::{Diagnostic, Label, Position, Severity, Sources, Span};
use serde::Serialize;

use super::Form;
use crate::requirement::Figures;
use crate::terminal::shown::escaped_json;

/// Excerpts longer than this, characters, are cut.
const EXCERPT: usize = 200;

/// Problems with some texts, in file order.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Problems {
    /// Version of this document.
    unfasten: u32,
    /// The problems.
    problems: Vec<ToldProblem>,
    /// What was required of the records, by `check --require`; left out where nothing was.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    requirements: Vec<Required>,
}

/// A requirement held against one record.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Required {
    /// The record.
    pub(crate) file: String,
    /// As written.
    pub(crate) requirement: String,
    /// Which verdict was held against it.
    pub(crate) verdict: &'static str,
    /// Whether it holds at the low end, by every method asked.
    pub(crate) met: bool,
    /// The figures, by method.
    pub(crate) by: Vec<Figures>,
}

/// A problem: where, what, why, and the mend. Lines and columns count from 1, columns in characters.
#[derive(Serialize, JsonSchema)]
pub(crate) struct ToldProblem {
    /// Its code; `unfasten about CODE` explains it.
    code: &'static str,
    /// Error or warning.
    severity: Severity,
    /// The text it stands in.
    file: String,
    /// Line it begins on.
    line: u32,
    /// Column it begins at.
    column: u32,
    /// Line it ends on.
    end_line: u32,
    /// Column after its end.
    end_column: u32,
    /// The offending text.
    text: String,
    /// What is wrong.
    message: String,
    /// Why that is wrong.
    reason: Option<String>,
    /// What to do.
    mend: Option<String>,
    /// Other places that have to do with it.
    also: Vec<Also>,
}

/// Another place that has to do with a problem.
#[derive(Serialize, JsonSchema)]
pub(crate) struct Also {
    /// The text it stands in.
    file: String,
    /// Line.
    line: u32,
    /// Column.
    column: u32,
    /// The text there.
    text: String,
    /// What it has to do with it.
    words: String,
}

/// The document around problems.
pub(super) fn document(
    form: Form,
    problems: Vec<ToldProblem>,
    requirements: Vec<Required>,
    to: &mut dyn Write,
) -> io::Result<()> {
    let layout = if form == Form::Indented { Layout::Indented } else { Layout::Compact };
    writeln!(
        to,
        "{}",
        escaped_json(&layout.text(&Problems { unfasten: report::json::VERSION, problems, requirements }))
    )
}

/// Problems as values.
pub(super) fn values(sources: &Sources, problems: &[Diagnostic]) -> Vec<ToldProblem> {
    problems.iter().map(|p| problem(sources, p)).collect()
}

fn problem(sources: &Sources, problem: &Diagnostic) -> ToldProblem {
    let (from, until, text) = place(sources, problem.at.span);
    ToldProblem {
        code: problem.code,
        severity: problem.severity,
        file: sources.get(problem.at.span.file).name.to_string(),
        line: from.line,
        column: from.column,
        end_line: until.line,
        end_column: until.column,
        text,
        message: problem.message.clone(),
        reason: problem.reason.clone(),
        mend: problem.mend.clone(),
        also: problem.also.iter().map(|l| label(sources, l)).collect(),
    }
}

fn label(sources: &Sources, label: &Label) -> Also {
    let (from, _, text) = place(sources, label.span);
    Also {
        file: sources.get(label.span.file).name.to_string(),
        line: from.line,
        column: from.column,
        text,
        words: label.text.clone(),
    }
}

fn place(sources: &Sources, span: Span) -> (Position, Position, String) {
    let until = sources.get(span.file).position(span.end);
    (sources.position(span), until, sources.excerpt(span).chars().take(EXCERPT).collect())
}
