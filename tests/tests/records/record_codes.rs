//! Every code is registered, explained, and triggered by a fixture named after it; every example does what it says.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use scoring::record::{self, SupportTable};
use scoring::text::codes::Code;
use scoring::text::{Diagnostic, Severity, Source, Sources};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// Complaints about bytes, as the command would get them.
fn complaints(name: &str, bytes: &[u8]) -> (Sources, Vec<Diagnostic>) {
    let mut sources = Sources::new();
    match Source::checked(name, bytes) {
        Ok(source) => {
            let file = sources.add(source);
            // A file may extend itself in a fixture; nothing else is at hand.
            let own = bytes.to_vec();
            let mut load = |path: &str| {
                if path == name {
                    return Source::checked(name, &own).map_err(|_| String::new());
                }
                Err("there is no such file".to_owned())
            };
            let read = record::read_with(&mut sources, file, &mut load);
            (sources, read.diagnostics)
        }
        Err(refusal) => {
            let refusal = refusal.begun_by(record::START);
            let file = sources.add(refusal.source.clone());
            (sources, vec![refusal.diagnostic(file)])
        }
    }
}

/// Complaints about a support table and the record it is joined to, as the command would get them.
fn joined(name: &str, record: &str, table: &str) -> (Sources, Vec<Diagnostic>) {
    let mut sources = Sources::new();
    let file = sources.add(Source::checked(&format!("{name}.csv"), table.as_bytes()).expect("a text"));
    let (table, mut found) = SupportTable::read(&sources, file);
    if found.iter().all(|d| d.severity == Severity::Warning) {
        let file = sources.add(Source::new(&format!("{name}.yaml"), record));
        let read = record::read_joined(&mut sources, file, &mut |_| Err(String::new()), std::slice::from_ref(&table));
        found.extend(read.diagnostics);
        found.extend(
            table.unmatched(&record::device_keys(&read.record.expect("a record").device).into_iter().collect()),
        );
    }
    (sources, found)
}

/// The record that examples of support tables are joined to.
const LAMP: &str =
    "unfasten: 1\ndevice: {name: Lamp Two, maker: Ostrel, category: other}\nsupport: {updates: 5 years}\n";

fn codes_of(text: &str) -> Vec<&'static str> {
    if text.starts_with("maker,") {
        return joined("example", LAMP, text).1.iter().map(|d| d.code).collect();
    }
    complaints("example.yaml", text.as_bytes()).1.iter().map(|d| d.code).collect()
}

/// An extract as a whole record.
fn whole(extract: &str) -> String {
    if extract.starts_with("maker,") || extract.starts_with("- ") || extract.starts_with("unfasten: 2") {
        return extract.to_owned();
    }
    let mut out = String::new();
    if !extract.contains("unfasten:") {
        out += "unfasten: 1\n";
    }
    if !extract.contains("device:") {
        out += "device: {name: Lamp Two, category: other}\n";
    }
    out + extract + "\n"
}

/// Codes of any file, then those of records and tables.
fn codes() -> impl Iterator<Item = &'static Code> {
    scoring::text::codes::all().iter().chain(record::codes::all())
}

fn with_examples() -> impl Iterator<Item = &'static Code> {
    codes().filter(|c| !c.wrong.is_empty())
}

#[test]
fn examples_trigger_their_code_and_the_mended_ones_are_clean() {
    for code in with_examples() {
        let found = codes_of(&whole(&code.wrong));
        assert!(found.contains(&&*code.code), "{}: {found:?}", code.code);
        assert_eq!(codes_of(&whole(&code.right)), [""; 0], "{}", code.code);
    }
}

#[test]
fn codes_are_words_and_stand_once() {
    let mut seen = BTreeSet::new();
    for code in codes() {
        assert!(code.code.bytes().all(|b| b.is_ascii_lowercase() || b == b'-' || b.is_ascii_digit()));
        assert!(seen.insert(&*code.code), "{}", code.code);
        assert!(code.text.ends_with('.') && !code.title.is_empty());
    }
}

/// Codes that stand in the sources of `text` and `record`, read from the text of the program.
fn codes_in_sources() -> BTreeSet<String> {
    fn walk(folder: &Path, out: &mut BTreeSet<String>) {
        for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let path = entry.path();
            if path.is_dir() {
                walk(&path, out);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let text: String = std::fs::read_to_string(&path).unwrap().split_whitespace().collect();
                for sign in ["Diagnostic::error(\"", "Diagnostic::warning(\"", ".code(\"", "code:\"", "odd(\""] {
                    for (at, _) in text.match_indices(sign) {
                        let code = text[at + sign.len()..].split('"').next().unwrap();
                        out.insert(code.to_owned());
                    }
                }
            }
        }
    }
    let mut out = BTreeSet::new();
    walk(&root().join("scoring/src/text"), &mut out);
    walk(&root().join("scoring/src/record"), &mut out);
    out
}

#[test]
fn every_code_used_is_registered_and_every_registered_code_is_used() {
    let registered: BTreeSet<String> = codes().map(|c| c.code.clone()).collect();
    assert_eq!(codes_in_sources(), registered);
}

/// Too large to keep as files.
fn made(code: &str) -> Option<Vec<u8>> {
    match code {
        "file-too-large" => Some(vec![b'x'; 5_000_000]),
        "yaml-size" => Some(format!("unfasten: 1\nabsent: [{}]\n", "a,".repeat(450_000)).into_bytes()),
        "too-many-entries" => {
            let many: String = (0..2_001).map(|i| format!("  - do: a{i}\n")).collect();
            Some(whole(&format!("actions:\n{many}")).into_bytes())
        }
        "too-many-problems" => {
            let many: String = (0..400).map(|i| format!("x{i}: 1\n")).collect();
            Some(whole(&many).into_bytes())
        }
        _ => None,
    }
}

/// Complaints about a fixture, with the table of its name if there is one.
fn fixture(name: &str, bytes: &[u8]) -> (Sources, Vec<Diagnostic>) {
    match std::fs::read_to_string(root().join(format!("tests/fixtures/err/{name}.csv"))) {
        Ok(table) => joined(name, std::str::from_utf8(bytes).expect("UTF-8"), &table),
        Err(_) => complaints(&format!("{name}.yaml"), bytes),
    }
}

#[test]
fn every_code_has_a_fixture_that_triggers_it() {
    for code in codes() {
        let path = root().join(format!("tests/fixtures/err/{}.yaml", code.code));
        let bytes =
            made(&code.code).unwrap_or_else(|| std::fs::read(&path).unwrap_or_else(|_| panic!("{}", path.display())));
        let (_, found) = fixture(&code.code, &bytes);
        assert!(found.iter().any(|d| d.code == code.code), "{}: {found:?}", code.code);
    }
}

/// Position-exact labels of every fixture.
#[test]
fn fixtures_are_marked_where_they_are_wrong() {
    let mut paths: Vec<_> =
        std::fs::read_dir(root().join("tests/fixtures/err")).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|p| p.extension().is_some_and(|e| e == "yaml"));
    paths.sort();
    let mut all = serde_json::Map::new();
    for path in paths {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        let (sources, found) = fixture(name.trim_end_matches(".yaml"), &std::fs::read(&path).unwrap());
        let label = |d: &Diagnostic| {
            let at = sources.position(d.at.span);
            let also: Vec<String> = d.also.iter().map(|l| sources.place(l.span)).collect();
            serde_json::json!({
                "code": d.code, "severity": d.severity, "line": at.line, "column": at.column,
                "text": sources.excerpt(d.at.span), "message": d.message, "reason": d.reason, "mend": d.mend, "also": also,
            })
        };
        all.insert(name, found.iter().map(label).collect());
    }
    insta::assert_snapshot!(serde_json::to_string_pretty(&all).unwrap());
}
