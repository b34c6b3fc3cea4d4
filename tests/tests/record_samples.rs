//! The shipped sample records read without an error, and the format page is true.

use std::path::Path;

use scoring::record;
use scoring::text::{Severity, Source, Sources};

fn folder() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../samples"))
}

/// Reads a text and gives `severity code line:column message` of every complaint.
fn complaints(name: &str, text: &str) -> (Option<record::Record>, Vec<String>) {
    let mut sources = Sources::new();
    let file = sources.add(Source::new(name, text));
    let read = record::read(&sources, file);
    let shown = read.diagnostics.iter().map(|d| {
        let severity = if d.severity == Severity::Error { "error" } else { "warning" };
        format!("{severity} {} {} {}", d.code, sources.place(d.at.span), d.message)
    });
    let shown = shown.collect();
    (read.record, shown)
}

#[test]
fn samples_read_without_errors() {
    let mut names: Vec<_> = std::fs::read_dir(folder()).unwrap().map(|e| e.unwrap().path()).collect();
    names.retain(|p| p.extension().is_some_and(|e| e == "yaml"));
    names.sort();
    assert!(names.len() >= 5);
    for path in names {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let (record, complaints) = complaints(&name, &std::fs::read_to_string(&path).unwrap());
        assert!(record.is_some(), "{complaints:#?}");
        insta::assert_snapshot!(format!("warnings_{name}"), complaints.join("\n"));
    }
}
