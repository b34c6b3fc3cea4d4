//! Problems as one JSON document.
//!
//! `{"unfasten": 1, "problems": [{code, severity, file, line, column, end_line, end_column, text, message, reason, mend,
//! also: [{file, line, column, text, words}]}]}`; lines and columns from 1, columns in characters.

use std::io::{self, Write};

use scoring::text::{Diagnostic, Label, Position, Sources, Span};
use serde_json::{Value, json};

use crate::terminal::print_json;

/// Excerpts longer than this, characters, are cut.
const EXCERPT: usize = 200;

/// The document around problems.
pub(super) fn document(problems: &[Value], to: &mut dyn Write) -> io::Result<()> {
    print_json(&json!({ "unfasten": 1, "problems": problems }), to)
}

/// Problems as values.
pub(super) fn values(sources: &Sources, problems: &[Diagnostic]) -> Vec<Value> {
    problems.iter().map(|p| problem(sources, p)).collect()
}

fn problem(sources: &Sources, problem: &Diagnostic) -> Value {
    let (from, until, text) = place(sources, problem.at.span);
    let also: Vec<Value> = problem.also.iter().map(|l| label(sources, l)).collect();
    json!({
        "code": problem.code,
        "severity": problem.severity,
        "file": &*sources.get(problem.at.span.file).name,
        "line": from.line,
        "column": from.column,
        "end_line": until.line,
        "end_column": until.column,
        "text": text,
        "message": problem.message,
        "reason": problem.reason,
        "mend": problem.mend,
        "also": also,
    })
}

fn label(sources: &Sources, label: &Label) -> Value {
    let (from, _, text) = place(sources, label.span);
    json!({
        "file": &*sources.get(label.span.file).name,
        "line": from.line,
        "column": from.column,
        "text": text,
        "words": label.text,
    })
}

fn place(sources: &Sources, span: Span) -> (Position, Position, String) {
    let until = sources.get(span.file).position(span.end);
    (sources.position(span), until, sources.excerpt(span).chars().take(EXCERPT).collect())
}
