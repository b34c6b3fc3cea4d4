//! Many records at once: folders, patterns, JSON Lines, threads, bad ones among good ones; and the tables that come out.

use crate::command_support;
use crate::report_common;

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

#[cfg(unix)]
use command_support::terminal::at_a_terminal;
use command_support::{Ran, program, project, text_of, unfasten, unfasten_reading};
use report::json::Layout;
use rstest::rstest;
use scoring::exact::{Exact, Rounding};
use tempfile::TempDir;
use unfasten_cli::Exit;

fn lamp(name: &str) -> String {
    text_of("samples/lamp-two.yaml").replacen("name: Lamp Two", &format!("name: {name}"), 1)
}

/// A record on one line of JSON, keys in the order of the file.
fn json(yaml: &str) -> String {
    let value: serde_yaml::Value = serde_yaml::from_str(yaml).unwrap();
    serde_json::to_string(&value).unwrap()
}

fn put(folder: &Path, name: &str, text: impl AsRef<[u8]>) -> String {
    let path = folder.join(name);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

/// A folder with records in files of every ending, one below another folder, and things that are no records.
fn bench() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    put(folder.path(), "c.yaml", lamp("Third"));
    put(folder.path(), "a.yml", lamp("First"));
    put(folder.path(), "b/deep.jsonl", format!("{}\n{}\n", json(&lamp("Second A")), json(&lamp("Second B"))));
    put(folder.path(), "notes.md", "no record");
    put(folder.path(), ".draft.yaml", "no record");
    put(folder.path(), ".old/x.yaml", "no record");
    folder
}

/// Devices in a table of scores, in order, each once.
fn devices(csv: &str) -> Vec<String> {
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let mut out: Vec<String> = reader.records().map(|r| r.unwrap()[0].to_owned()).collect();
    out.dedup();
    out
}

const ALL: [&str; 4] = ["Ostrel First", "Ostrel Second A", "Ostrel Second B", "Ostrel Third"];

fn path(folder: &TempDir) -> &str {
    folder.path().to_str().unwrap()
}

#[test]
fn a_folder_is_its_records_by_path() {
    let folder = bench();
    let ran = unfasten(&["score", path(&folder), "--format", "csv"]);
    assert_eq!((ran.exit, &*ran.err), (Exit::Done, ""));
    assert_eq!(devices(&ran.out), ALL);
    let ran = unfasten(&["check", path(&folder)]);
    assert_eq!(ran.exit, Exit::Done);
    let names: Vec<&str> = ran.out.lines().map(|l| l.rsplit('/').next().unwrap()).collect();
    let said = ["a.yml", "deep.jsonl:1", "deep.jsonl:2", "c.yaml"].map(|n| format!("{n}: no problems"));
    assert_eq!(names, said);
    let out = folder.path().join("site");
    let ran = unfasten(&["report", path(&folder), "--to", "html", "--out", out.to_str().unwrap()]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    for file in ["a.html", "deep-1.html", "deep-2.html", "c.html", "index.html"] {
        assert!(out.join(file).exists(), "{file}");
    }
    // Places in a report are lines of the file, and links to them lead to its listing.
    let second = fs::read_to_string(out.join("deep-2.html")).unwrap();
    assert!(second.contains("id=L2>") && !second.contains("id=L1>"), "listing");
    let ran = unfasten(&["compare", path(&folder), "--samples", "50", "--format", "csv"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    assert!(ran.out.lines().next().unwrap().contains("\"Ostrel Second B, high\""), "{}", ran.out);
}

#[rstest]
#[case::all_endings("**/*.[yj]*", &ALL)]
#[case::one_ending("*.y*ml", &["Ostrel First", "Ostrel Third"])]
#[case::one_sign("?.yml", &["Ostrel First"])]
#[case::folders("b*", &["Ostrel Second A", "Ostrel Second B"])]
fn a_pattern_the_shell_left_alone_is_followed(#[case] pattern: &str, #[case] found: &[&str]) {
    let folder = bench();
    fs::remove_file(folder.path().join(".draft.yaml")).unwrap();
    fs::remove_dir_all(folder.path().join(".old")).unwrap();
    let ran = unfasten(&["score", &format!("{}/{pattern}", path(&folder)), "--format", "csv"]);
    assert_eq!((ran.exit, &*ran.err), (Exit::Done, ""));
    let mut given = devices(&ran.out);
    given.sort();
    assert_eq!(given, found);
}

/// A file whose name has signs of a pattern is that file.
#[test]
fn a_file_of_that_name_is_no_pattern() {
    let folder = tempfile::tempdir().unwrap();
    let file = put(folder.path(), "lamp [2].yaml", lamp("Bracket"));
    let ran = unfasten(&["score", &file, "--format", "csv"]);
    assert_eq!(devices(&ran.out), ["Ostrel Bracket"]);
}

#[rstest]
#[case::no_match("none-*.yaml", "missing-file", "no file matches")]
#[case::bad_pattern("a***b", "missing-file", "it is no pattern")]
#[case::empty_folder("empty", "directory", "there is no record in the folder")]
#[case::missing("none.yaml", "missing-file", "there is no file")]
#[case::missing_lines("none.jsonl", "missing-file", "there is no file")]
#[case::empty_lines("blank.jsonl", "empty-file", "is empty")]
fn what_gives_no_record_is_said_and_the_rest_delivered(#[case] name: &str, #[case] code: &str, #[case] words: &str) {
    let folder = bench();
    fs::create_dir(folder.path().join("empty")).unwrap();
    put(folder.path(), "blank.jsonl", "\n \r\n\n");
    let (odd, good) = (format!("{}/{name}", path(&folder)), format!("{}/c.yaml", path(&folder)));
    let ran = unfasten(&["--problems", "line", "score", &odd, &good, "--format", "csv"]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.err.contains(&format!("error: {code}: ")) && ran.err.contains(words), "{}", ran.err);
    assert_eq!(devices(&ran.out), ["Ostrel Third"]);
    let alone = unfasten(&["score", &odd, "--format", "json"]);
    assert_eq!((alone.exit, &*alone.out), (Exit::WrongInput, ""));
}

#[cfg(unix)]
#[test]
fn links_are_followed_but_not_in_a_circle() {
    use std::os::unix::fs::symlink;
    let folder = bench();
    let elsewhere = tempfile::tempdir().unwrap();
    put(elsewhere.path(), "z.yaml", lamp("Linked"));
    symlink(elsewhere.path(), folder.path().join("y")).unwrap();
    symlink(folder.path(), folder.path().join("b/up")).unwrap();
    let ran = unfasten(&["score", path(&folder), "--format", "csv"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let words = ran.err.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.starts_with("warning: the link `") && words.contains("leads back to the folder"), "{words}");
    assert_eq!(devices(&ran.out), [&ALL[..], &["Ostrel Linked"]].concat());
    // A record that is a link to itself, and one to nothing, are bad records.
    symlink("d.yaml", folder.path().join("d.yaml")).unwrap();
    symlink("nothing", folder.path().join("e.yaml")).unwrap();
    symlink("nothing", folder.path().join("f")).unwrap();
    let ran = unfasten(&["--problems", "line", "score", path(&folder), "--format", "csv"]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.err.contains("d.yaml` can't be read") && ran.err.contains("there is no file"), "{}", ran.err);
    assert_eq!(devices(&ran.out).len(), 5);
}

/// Root may read everything, so there this can't be tried.
#[cfg(unix)]
#[test]
fn a_folder_nobody_may_read_is_said() {
    use std::os::unix::fs::PermissionsExt;
    let folder = bench();
    let shut = folder.path().join("b");
    fs::set_permissions(&shut, fs::Permissions::from_mode(0o000)).unwrap();
    let closed = fs::read_dir(&shut).is_err();
    let ran = unfasten(&["--problems", "line", "score", path(&folder), "--format", "csv"]);
    fs::set_permissions(&shut, fs::Permissions::from_mode(0o755)).unwrap();
    if closed {
        assert_eq!(ran.exit, Exit::WrongInput);
        assert!(ran.err.contains("error: unreadable-file: "), "{}", ran.err);
        assert_eq!(devices(&ran.out), ["Ostrel First", "Ostrel Third"]);
    }
}

#[test]
fn a_variant_in_a_folder_or_a_line_finds_its_base() {
    let folder = tempfile::tempdir().unwrap();
    put(folder.path(), "base.yaml", lamp("Base"));
    put(folder.path(), "study.yaml", "unfasten: 1\nextends: base.yaml\ndevice: {name: Study}\n");
    put(
        folder.path(),
        "studies.jsonl",
        "{\"unfasten\": 1, \"extends\": \"base.yaml\", \"device\": {\"name\": \"Line\"}}\n",
    );
    let ran = unfasten(&["score", path(&folder), "--format", "csv"]);
    assert_eq!((ran.exit, &*ran.err), (Exit::Done, ""));
    assert_eq!(devices(&ran.out), ["Ostrel Base", "Ostrel Line", "Ostrel Study"]);
}

/// A line of JSON gives what the file of YAML gives, places apart.
#[test]
fn json_says_what_yaml_says() {
    for name in ["lamp-two", "bar-phone", "folding-tablet", "washing-machine"] {
        let text = text_of(&format!("samples/{name}.yaml"));
        let folder = tempfile::tempdir().unwrap();
        let (yaml, line) = (put(folder.path(), "r.yaml", &text), put(folder.path(), "r.jsonl", json(&text)));
        let rows = |file: &str| -> Vec<Vec<String>> {
            let ran = unfasten(&["score", file, "--format", "csv"]);
            assert_eq!(ran.exit, Exit::Done, "{name}: {}", ran.err);
            let mut reader = csv::Reader::from_reader(ran.out.as_bytes());
            let keep = |r: csv::StringRecord| -> Vec<String> {
                let moved = ["evidence", "fingerprint", "record"];
                let named = r.iter().zip(report::csv::COLUMNS).filter(|(_, c)| !moved.contains(c));
                named.map(|(cell, _)| cell.to_owned()).collect()
            };
            reader.records().map(|r| keep(r.unwrap())).collect()
        };
        assert_eq!(rows(&yaml), rows(&line), "{name}");
    }
}

/// Line breaks of two kinds, blank lines, a byte-order mark, a bad line, an unclosed one, one over 4 MB.
#[test]
fn odd_lines_are_told_by_their_number_and_column() {
    let folder = tempfile::tempdir().unwrap();
    let good = |name: &str| json(&lamp(name));
    let wrong = good("Wrong").replacen("\"price\":\"79 EUR\"", "\"price\":\"cheap\"", 1);
    assert!(wrong.contains("cheap"));
    let column = wrong.find("cheap").unwrap() + 1;
    let mut text = format!("\u{feff}{}\r\n\r\n{wrong}\n   \n{{\"unfasten\": 1, \"device\": [\n", good("One"));
    write!(text, "{{\"unfasten\": 1, \"notes\": \"{}\"}}\n[1, 2]\n{}", "x".repeat(5 << 20), good("Last")).unwrap();
    let file = put(folder.path(), "fleet.jsonl", text);
    for threads in ["1", "3"] {
        let ran = unfasten(&["--problems", "line", "score", &file, "--format", "csv", "--threads", threads]);
        assert_eq!(ran.exit, Exit::WrongInput);
        assert_eq!(devices(&ran.out), ["Ostrel One", "Ostrel Last"]);
        let lines: Vec<&str> = ran.err.lines().collect();
        let places = [
            format!("{file}:3:{column}: error: wrong-value: "),
            format!("{file}:5:"),
            format!("{file}:6:1: error: file-too-large: "),
            format!("{file}:7:1: error: not-a-record: "),
        ];
        assert_eq!(lines.len(), places.len(), "{}", ran.err);
        for (line, place) in lines.iter().zip(places) {
            assert!(line.starts_with(&place), "{line}\n{place}");
        }
        // The evidence of a good line names its line too.
        // Results are passed on, so a file outside of the working folder is named without its folders.
        assert!(ran.out.contains("fleet.jsonl:8:") && ran.out.contains(",fleet.jsonl:8,"), "places");
        assert!(!ran.out.contains(path(&folder)), "{}", ran.out);
    }
    // Marked, the line is cut around the place, and numbered as in the file.
    let ran = unfasten(&["score", &file]);
    assert!(ran.err.contains(&format!("fleet.jsonl:3:{column}")), "{}", ran.err);
    let ran = unfasten(&["--problems", "json", "check", &file]);
    let problems: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let first = &problems["problems"][0];
    assert_eq!((&first["line"], first["column"].as_u64()), (&3.into(), Some(column as u64)));
}

/// Writers of JSON that keep to ASCII write a character beyond U+FFFF as two escapes. RFC 8259, section 7 (read: its
/// example is U+1D11E as `\ud834\udd1e`).
#[test]
fn escapes_of_json_are_read() {
    let folder = tempfile::tempdir().unwrap();
    let text = json(&lamp("Clef \u{1d11e} a/b \u{e9}"));
    let escaped = text.replace('\u{1d11e}', "\\ud834\\udd1e").replace("a/b", "a\\/b").replace('\u{e9}', "\\u00e9");
    assert_ne!(text, escaped);
    let file = put(folder.path(), "x.jsonl", escaped.replacen("{\"unfasten\":", "\t{\t\"unfasten\"\t:", 1));
    let ran = unfasten(&["score", &file, "--format", "csv"]);
    assert_eq!((ran.exit, &*ran.err), (Exit::Done, ""));
    assert_eq!(devices(&ran.out), ["Ostrel Clef \u{1d11e} a/b \u{e9}"]);
}

/// Forty records, some bad, in files and lines.
fn many() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let mut lines = String::new();
    for n in 0..24 {
        let text = lamp(&format!("Line {n:02}"));
        let text = if n % 7 == 3 { text.replacen("category: other", "category: teapot", 1) } else { text };
        lines += &(json(&text) + "\n");
    }
    put(folder.path(), "fleet.jsonl", lines);
    for n in 0..16 {
        let text = if n % 5 == 2 { "unfasten: 1\n".to_owned() } else { lamp(&format!("File {n:02}")) };
        put(folder.path(), &format!("r{n:02}.yaml"), text);
    }
    folder
}

#[rstest]
#[case::text(&["score"])]
#[case::csv(&["score", "--format", "csv"])]
#[case::json(&["score", "--format", "json"])]
#[case::jsonl(&["score", "--format", "jsonl"])]
#[case::devices(&["score", "--format", "devices"])]
#[case::check(&["check", "--method", "en-45554"])]
#[case::check_json(&["check", "--problems", "json"])]
#[case::compare(&["compare", "--samples", "50", "--format", "json"])]
fn the_number_of_threads_changes_no_byte(#[case] arguments: &[&str]) {
    let folder = many();
    let run = |threads: &str| unfasten(&[arguments, &[path(&folder), "--threads", threads]].concat());
    let one = run("1");
    assert_eq!(one.exit, Exit::WrongInput, "{}", one.err);
    assert!(!one.out.is_empty());
    for threads in ["2", "3", "16"] {
        assert_eq!(run(threads), one, "{threads} threads");
    }
}

#[test]
fn reports_are_the_same_from_any_number_of_threads() {
    let folder = bench();
    let made: Vec<Vec<(String, Vec<u8>)>> = ["1", "3"]
        .iter()
        .map(|threads| {
            let out = tempfile::tempdir().unwrap();
            let to = out.path().to_str().unwrap();
            let ran = unfasten(&["report", path(&folder), "--to", "html,json", "--out", to, "--threads", threads]);
            assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
            let files = fs::read_dir(out.path()).unwrap().map(|e| e.unwrap());
            let mut files: Vec<_> =
                files.map(|e| (e.file_name().into_string().unwrap(), fs::read(e.path()).unwrap())).collect();
            files.sort();
            files
        })
        .collect();
    assert_eq!(made[0], made[1]);
    assert!(made[0].len() > 8, "{}", made[0].len());
}

/// What is written piece by piece is one valid document, the same as written at once.
#[test]
fn streamed_json_is_one_document() {
    let folder = many();
    let ran = unfasten(&["score", path(&folder), "--format", "json"]);
    let document: serde_json::Value = serde_json::from_str(&ran.out).unwrap();
    let schema: serde_json::Value = serde_json::from_str(&unfasten(&["schema", "score"]).out).unwrap();
    assert!(jsonschema::is_valid(&schema, &document));
    let all = document["devices"].as_array().unwrap();
    let lines = unfasten(&["score", path(&folder), "--format", "jsonl"]).out;
    assert_eq!(lines.lines().count(), all.len());
    for (line, whole) in lines.lines().zip(all) {
        let mut line: serde_json::Value = serde_json::from_str(line).unwrap();
        let fields = line.as_object_mut().unwrap();
        assert_eq!(fields.remove("unfasten"), Some(1.into()));
        // Named by its file, and its line where the file holds many: never by the folders it stands in.
        let record = fields["record"].clone();
        let record = record.as_str().unwrap();
        assert!(record.starts_with("fleet.jsonl:") || record.starts_with('r') && record.ends_with(".yaml"), "{record}");
        assert_eq!(&line, whole);
    }
    // One record alone: the same bytes as the library writes for its view.
    let text = text_of("samples/lamp-two.yaml");
    let case = report_common::Case::with("-", &text, |m| m.id.value == "en-45554");
    for (layout, more) in [(Layout::Compact, None), (Layout::Indented, Some("--pretty"))] {
        let whole = report::json::devices(&[case.view()], layout);
        let words: Vec<&str> =
            ["score", "-", "--method", "en-45554", "--format", "json"].into_iter().chain(more).collect();
        assert_eq!(unfasten_reading(&words, text.as_bytes()).out, whole);
    }
}

/// Results come while records are still being read: the reader of the first row need not wait for the last record.
#[cfg(unix)]
#[rstest]
#[case("1")]
#[case("2")]
fn results_come_as_they_become_ready(#[case] threads: &str) {
    use std::io::{BufRead, BufReader};
    use std::process::{Command, Stdio};
    let mut child = Command::new(command_support::program_path())
        .args(["score", "-", "--format", "csv", "--threads", threads])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut writer = child.stdin.take().unwrap();
    let mut rows = BufReader::new(child.stdout.take().unwrap()).lines();
    for name in ["Early", "Late"] {
        std::io::Write::write_all(&mut writer, (json(&lamp(name)) + "\n").as_bytes()).unwrap();
        // Blocks for ever if rows only came at the end.
        let found = rows.by_ref().any(|r| r.unwrap().starts_with(&format!("Ostrel {name},")));
        assert!(found, "{name}");
    }
    drop(writer);
    assert!(rows.all(|r| r.is_ok()));
    assert!(child.wait().unwrap().success());
}

/// Nothing about progress where the error stream is no terminal.
#[test]
fn progress_is_for_terminals() {
    let folder = bench();
    let ran = program().args(["score", path(&folder), "--format", "csv"]).output().unwrap();
    assert!(ran.status.success() && ran.stderr.is_empty());
}

#[cfg(unix)]
#[test]
fn progress_shows_on_a_terminal_and_is_wiped() {
    let folder = tempfile::tempdir().unwrap();
    let line = json(&lamp("One")) + "\n";
    let file = put(folder.path(), "x.jsonl", line.repeat(1_200));
    let out = folder.path().join("out.csv");
    let arguments = ["score", &file, "--method", "en-45554", "--format", "csv"];
    let (shown, status) = at_a_terminal(&arguments, Some(fs::File::create(&out).unwrap()));
    assert!(status.success() && shown.contains(" of 1 200 records"), "{shown:?}");
    let rows = fs::read_to_string(&out).unwrap();
    assert!(!rows.contains("1 200 records") && devices(&rows).len() == 1);
}

/// Standard input is one record, or many: one a line as JSON. What is one line of JSON is the latter, with one line.
#[test]
fn standard_input_holds_one_record_or_many() {
    let score =
        |text: &str| unfasten_reading(&["score", "-", "--method", "en-45554", "--format", "csv"], text.as_bytes());
    let (one, two) = (lamp("One"), lamp("Two"));
    let many = score(&format!("\n{}\n\n{}\n", json(&one), json(&two)));
    assert_eq!((many.exit, devices(&many.out).len()), (Exit::Done, 2), "{}", many.err);
    let value: serde_json::Value = serde_json::from_str(&json(&one)).unwrap();
    let (whole, line, pretty) =
        (score(&one), score(&json(&one)), score(&serde_json::to_string_pretty(&value).unwrap()));
    for ran in [&whole, &line, &pretty] {
        assert_eq!((ran.exit, devices(&ran.out).len()), (Exit::Done, 1), "{}", ran.err);
    }
    let wrong = score(&format!("{}\n{{}}}}\n", json(&one)));
    assert_eq!(wrong.exit, Exit::WrongInput);
    assert!(wrong.err.contains("-:2:"), "{}", wrong.err);
}

fn sections() -> Vec<Vec<String>> {
    let text = text_of("report/TABLES.md");
    let mut out: Vec<Vec<String>> = Vec::new();
    for line in text.lines() {
        if line.starts_with("| column |") {
            out.push(Vec::new());
        } else if let (Some(name), Some(last)) = (line.strip_prefix("| `"), out.last_mut()) {
            let cells: Vec<&str> = line.trim_matches('|').split(" | ").map(str::trim).collect();
            assert!(cells.len() == 5 && cells.iter().all(|c| !c.is_empty()), "{line}");
            last.push(name.split_once('`').unwrap().0.to_owned());
        }
    }
    out
}

/// The data dictionary names the columns that are written, in their order.
#[test]
fn the_dictionary_is_the_heads() {
    let [scores, devices, compared, sheets] = sections().try_into().unwrap();
    let heads = |ran: Ran| -> Vec<String> {
        csv::Reader::from_reader(ran.out.as_bytes()).headers().unwrap().iter().map(str::to_owned).collect()
    };
    let (lamp, phone) = (project("samples/lamp-two.yaml"), project("samples/bar-phone.yaml"));
    assert_eq!(heads(unfasten(&["score", &lamp, "--format", "csv"])), scores);
    assert_eq!(scores, report::csv::COLUMNS);
    let all: Vec<String> = report::csv::DEVICE.iter().map(|c| (*c).to_owned()).collect();
    let all = all.into_iter().chain(report::csv::VERDICTS.iter().map(|v| format!("METHOD, {v}")));
    assert_eq!(devices, all.collect::<Vec<_>>());
    let table = tempfile::NamedTempFile::new().unwrap();
    std::fs::write(table.path(), "sheet,category,row,printed\nA,mower,1.1,5\n").unwrap();
    let audited = unfasten(&["score", "--marks", table.path().to_str().unwrap(), "--format", "csv"]);
    assert_eq!(heads(audited), sheets);
    let written = heads(unfasten(&["compare", &lamp, &phone, "--mixed", "--samples", "50", "--format", "csv"]));
    let mut expected = Vec::new();
    for column in &compared {
        match column.strip_prefix("DEVICE") {
            // Four columns a device, those of one device together.
            Some(", low") => {
                let names = [&written[3], &written[7]].map(|h| h.strip_suffix(", low").unwrap().to_owned());
                let of = |n: &String| report::csv::OF_EACH.map(|of| format!("{n}{of}"));
                expected.extend(names.iter().flat_map(of));
            }
            Some(_) => {}
            None => expected.push(column.clone()),
        }
    }
    assert_eq!(written, expected);
}

/// Every cell reads back as what it was: texts, decimals, exact fractions, within the ranges the dictionary gives.
#[test]
fn tables_read_back() {
    for name in report_common::names() {
        let case = report_common::sample(name);
        let table = report::csv::header() + &report::csv::scores(&case.job());
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        let nodes = case.assessments.iter().flat_map(|(a, ..)| a.root.walk().into_iter().map(move |n| (a, n)));
        let nodes: Vec<_> = nodes.collect();
        assert_eq!(rows.len(), nodes.len());
        for (row, (assessment, node)) in rows.iter().zip(nodes) {
            let at = |column: &str| {
                let index = report::csv::COLUMNS.iter().position(|c| *c == column).unwrap();
                report::csv::plain(&row[index]).to_owned()
            };
            assert_eq!((at("node"), at("title")), (node.id.clone(), node.title.clone()));
            assert_eq!(Exact::parse(&at("weight")), Some(node.weight.clone()), "{name} {}", node.id);
            let decimals = assessment.method.scale.decimals.max(2);
            for (shown, exact, value) in [("low", "exact low", &node.low), ("high", "exact high", &node.high)] {
                assert_eq!(Exact::parse(&at(exact)).as_ref(), value.as_ref(), "{name} {}", node.id);
                if !assessment.method.scale.verdict {
                    let rounded = value.as_ref().map(|v| v.round(decimals, Rounding::HalfUp));
                    assert_eq!(Exact::parse(&at(shown)), rounded, "{name} {}", node.id);
                }
            }
            let certainty = ["read", "secondary", "memory high", "memory medium", "memory low", "derived", "own"];
            assert!(certainty.contains(&&*at("certainty")) && ["yes", "no"].contains(&&*at("attained")));
            assert_eq!((at("fingerprint").len(), at("record")), (64, name.to_owned()));
            assert_eq!(at("unknowns"), node.unknowns.len().to_string());
            let root = node.id == assessment.root.id;
            assert_eq!(at("class low").is_empty(), !(root && assessment.classes.is_some()));
            for place in at("evidence").split(' ').filter(|p| !p.is_empty()) {
                assert!(place.starts_with(&format!("{name}:")), "{place}");
            }
        }
    }
}

/// A device with the name of a formula, in both tables.
#[rstest]
#[case("=HYPERLINK(\\\"http://x\\\")", "=HYPERLINK(\"http://x\")")]
#[case("@SUM(A1)", "@SUM(A1)")]
#[case("+1+1", "+1+1")]
#[case("-1+1", "-1+1")]
#[case("'quoted", "'quoted")]
#[case("\\t=1", "=1")]
#[case("\\uff1d1", "\u{ff1d}1")]
fn no_cell_runs(#[case] written: &str, #[case] meant: &str) {
    let folder = tempfile::tempdir().unwrap();
    let text = lamp("X").replacen("maker: Ostrel, ", "", 1).replacen("name: X", &format!("name: \"{written}\""), 1);
    let files = [put(folder.path(), "a.yaml", &text), put(folder.path(), "b.yaml", lamp("Other"))];
    let [a, b] = &files;
    let scores = unfasten(&["score", a, "--format", "csv"]);
    let compared = unfasten(&["compare", a, b, "--samples", "50", "--format", "csv"]);
    for (ran, head) in [(&scores, false), (&compared, true)] {
        assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
        let mut found = false;
        for row in csv::ReaderBuilder::new().has_headers(false).from_reader(ran.out.as_bytes()).records() {
            for cell in &row.unwrap() {
                assert!(!cell.starts_with(['=', '+', '@', '\t', '\r', '\u{ff1d}']), "{cell}");
                assert!(!cell.starts_with('-') || Exact::parse(cell).is_some(), "{cell}");
                let said = report::csv::plain(cell);
                found |= said == if head { format!("{meant}, low") } else { meant.to_owned() };
            }
        }
        assert!(found, "{meant}: {}", ran.out);
    }
}

/// A line that can't be read is told in the words of JSON, which its author wrote.
#[test]
fn a_broken_line_is_no_json() {
    let folder = tempfile::tempdir().unwrap();
    let file = put(folder.path(), "broken.jsonl", "{\"unfasten\": 1, \"device\": {\"name\": \"Lamp\"\n");
    let ran = unfasten(&["--problems", "line", "check", &file]);
    assert_eq!(ran.exit, Exit::WrongInput);
    assert!(ran.out.contains("this line is not valid JSON") && !ran.out.contains("YAML"), "{}", ran.out);
}

/// Problems have an end: what many records have alike is shown a hundred times and then counted, so that 34 MB of mistakes don't
/// make as much on the terminal; a program that reads JSON gets all. The bound is a number of ours: a hundred times what one
/// problem takes at most, for each of three kinds.
#[test]
fn problems_have_an_end() {
    let folder = tempfile::tempdir().unwrap();
    let name = format!("first{}last", "n".repeat(45_000));
    let bad = format!(
        "{{\"unfasten\":1,\"device\":{{\"name\":\"{name}\",\"category\":\"othr\"}},\"wth\":1,\"actions\":[{{\"free\":\"lid\",\"wht\":\"hands\"}}]}}\n"
    );
    let good = format!("{}\n", json(&lamp("Good")));
    let records = (34 << 20) / bad.len() + 1;
    // The good one stands at the very end: all before it was passed over.
    let many = put(folder.path(), "many.jsonl", bad.repeat(records) + &good);
    assert!(fs::metadata(&many).unwrap().len() > 34 << 20);
    let ran = program().args(["score", &many, "--method", "en-45554", "--format", "csv"]).output().unwrap();
    let err = String::from_utf8(ran.stderr).unwrap();
    assert_eq!(ran.status.code(), Some(2));
    assert!(err.len() < 400_000, "{} bytes", err.len());
    assert!(String::from_utf8(ran.stdout).unwrap().contains("Good"));
    let flat = err.split_whitespace().collect::<Vec<_>>().join(" ");
    let told = format!("and {} more of this kind (wrong-value), in {} records;", records - 100, records - 100);
    assert!(flat.contains(&told), "{told} in\n{}", &flat[flat.len().saturating_sub(600)..]);
    assert!(flat.ends_with("mend the first ones and run it again, or see all with `--problems json`"));
    assert!(err.lines().all(|l| l.chars().count() <= 80), "a name of 45 000 letters is cut in the middle");

    // One record of many mistakes tells its own end, and only that.
    let actions: String = (0..250).map(|i| format!("  - {{free: p{i}, wht: hands}}\n")).collect();
    let one = put(
        folder.path(),
        "one.yaml",
        format!("unfasten: 1\ndevice: {{name: A, category: other}}\nactions:\n{actions}"),
    );
    let ran = unfasten(&["score", &one]);
    assert_eq!(ran.err.matches("more of this kind").count(), 1, "{}", ran.err);
}
