//! Commands hold facts and layout, reports facts and looks; what they say stands in the words of `cli` and of `report`, a table per
//! language. Read from their text: no literal outside of these tables is prose. (A rule of this house.)

use crate::command_support;

use std::fs;
use std::path::{Path, PathBuf};

use command_support::project;

/// Literals that are format: what programs read by these very words, whatever the language.
const FORMAT: [&str; 21] = [
    // Fields and values of records.
    r"\nput back: {done: unknown, powered on: unknown, tested: unknown}\n",
    "# own verdict: {verdict}   # {what}",
    r"  spare parts:\n    # {}\n    every part:\n",
    r"# remarks:\n#   - {{against: {against}, at: 1:20}}\n#   - {{for: {for_it}, at: 8:10}}",
    r"  # maker:\n  # model:\n  # variant:\n  # region:\n  # condition: {}",
    r"\n{head}\n  # date: 2026-03-02\n  # by: \n  # video: teardown.mp4               # {}",
    r"  - free: {role}\n    with: unknown\n    loosen: unknown\n    after: unknown",
    ", paired: unknown",
    "{}: unknown",
    "absent: [{}]",
    r#"    \"{row}\": unknown\n"#,
    "back cover",
    "not folding",
    "unfasten bench",
    // Heads of tables, values of JSON.
    "path,answer,question,found,time,line,such as,written",
    "from marks",
    "high included",
    "at least",
    // What browsers are answered.
    "404 Not Found",
    r"HTTP/1.1 {status}\r\nContent-Type: {sort}\r\nContent-Length: {}\r\nCache-Control: no-store\r\nX-Content-Type-Options: \
         nosniff\r\nConnection: close\r\n\r\n",
    "text/html; charset=utf-8",
];

/// Where words of another kind stand: the table itself; arguments and exit codes, described for `--help` where they are declared;
/// JSON documents, described for their schemas where their types are.
const ELSEWHERE: [&str; 5] = ["words/", "arguments.rs", "arguments/", "exit.rs", "documents.rs"];

/// The same of reports.
const FORMAT_OF_REPORTS: [&str; 7] = [
    // Fields of records.
    "every part",
    // Values of JSON.
    "as written",
    "at least",
    // The program by its name and version; a block of a method by its id.
    "unfasten {}",
    "parts {}",
    // A font, and a class of a drawing.
    "DejaVu Sans",
    "col odd",
];

/// The same of reports: the table, and heads of CSV tables.
const ELSEWHERE_IN_REPORTS: [&str; 2] = ["words/", "csv.rs"];

/// Source files of a folder and below, by their paths from it.
fn sources(top: &Path) -> Vec<(String, String)> {
    let (mut out, mut left): (Vec<(String, String)>, Vec<PathBuf>) = (Vec::new(), vec![top.to_owned()]);
    while let Some(folder) = left.pop() {
        for path in fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()) {
            if path.is_dir() {
                left.push(path);
            } else if path.extension().is_some_and(|e| e == "rs") {
                let name = path.strip_prefix(top).unwrap().to_string_lossy().replace('\\', "/");
                out.push((name, fs::read_to_string(&path).unwrap()));
            }
        }
    }
    out.sort();
    out
}

/// String literals of a text of Rust as written, with their lines; those of comments, of tests at its end and of reasons for the
/// compiler are none.
fn literals(text: &str) -> Vec<(usize, String)> {
    let text = text.split("\n#[cfg(test)]\nmod tests").next().unwrap_or_default();
    let (mut out, mut at) = (Vec::new(), 0);
    while let Some(c) = text[at..].chars().next() {
        let rest = &text[at..];
        let hashes = rest.strip_prefix('r').map_or(0, |r| r.len() - r.trim_start_matches('#').len());
        // A name may end in `r`, and `r#type` is one.
        let alone = !text[..at].ends_with(|c: char| c.is_alphanumeric() || c == '_');
        let raw = c == 'r' && (alone || text[..at].ends_with('b')) && rest[1 + hashes..].starts_with('"');
        if rest.starts_with("//") {
            at += rest.find('\n').unwrap_or(rest.len());
        } else if raw {
            let from = at + hashes + 2;
            let end = from + text[from..].find(&format!("\"{}", "#".repeat(hashes))).expect("a literal ends");
            out.push((text[..at].matches('\n').count() + 1, text[from..end].to_owned()));
            at = end + 1 + hashes;
        } else if c == '"' {
            let mut escaped = false;
            let length = rest[1..].find(|c| {
                let ends = c == '"' && !escaped;
                escaped = c == '\\' && !escaped;
                ends
            });
            let end = at + 1 + length.expect("a literal ends");
            if !text[..at].ends_with("reason = ") {
                out.push((text[..at].matches('\n').count() + 1, text[at + 1..end].to_owned()));
            }
            at = end + 1;
        } else if c == '\'' && (rest.starts_with("'\"'") || rest.starts_with("'\\\"'")) {
            at += rest[1..].find('"').unwrap_or(0) + 3;
        } else {
            at += c.len_utf8();
        }
    }
    out
}

/// Words of a sentence in a literal: letters alone between spaces, a mark of punctuation behind them or not. Keys, paths, options
/// and what is filled in are none, nor is what stands in an attribute or an example between backticks.
fn words(literal: &str) -> usize {
    let said: String = literal.split('`').step_by(2).collect::<Vec<_>>().join(" ");
    let said = said.replace("\\n", " ").replace("\\t", " ");
    let word = |token: &&str| {
        let bare = token.trim_matches(|c: char| "(),.;:!?".contains(c));
        bare.chars().count() > 1 && bare.chars().all(|c| c.is_alphabetic() || c == '\'')
    };
    said.split_whitespace().filter(word).count()
}

/// Two words, or one beside something that is filled in.
fn is_prose(literal: &str) -> bool {
    words(literal) > usize::from(!literal.contains('{'))
}

#[test]
fn literals_and_words_are_found() {
    let text = "#[allow(x, reason = \"no\")] let a = \"one two\"; // \"no\"\nlet b = r#\"a \"b\" c\"#; let c = '\"'; let d = \"x\\\"y\";\nlet r#type = b\"z\";\n\
                \n#[cfg(test)]\nmod tests { \"not this\" }";
    let found = literals(text);
    let expected = [(1, "one two"), (2, "a \"b\" c"), (2, "x\\\"y"), (3, "z")];
    assert_eq!(found, expected.map(|(line, text)| (line, text.to_owned())));
    for (literal, count) in [
        ("wrote {} to {folder}", 2),
        ("{name}, with ", 1),
        ("see `unfasten check`", 1),
        ("the device can't be read: {error}", 5),
        ("{stem}-{line}.summary.md", 0),
        ("  # {words}\\n  {name}: {{{}}}", 0),
        ("--method", 0),
        ("class={text}", 0),
    ] {
        assert_eq!(words(literal), count, "{literal}");
    }
    let prose = ["two words", "{} points", "{name}, with "].map(is_prose);
    let none = ["word", "{unfasten}-{files}.md", "--out DIR", "# {}\\n\\n{}\\n"].map(is_prose);
    assert_eq!((prose, none), ([true; 3], [false; 4]));
}

/// What a crate says outside of its words; literals that are format are none, and each of them is written somewhere. With it how many
/// literals were read.
fn prose(house: &str, elsewhere: &[&str], format: &[&str]) -> (Vec<String>, usize) {
    let sources = sources(Path::new(&project(&format!("{house}/src"))));
    assert!(sources.len() > 60, "only {} files were found", sources.len());
    let (mut wrong, mut seen, mut used) = (Vec::new(), 0, vec![false; format.len()]);
    for (file, text) in sources.iter().filter(|(file, _)| !elsewhere.iter().any(|e| file.starts_with(e))) {
        for (line, literal) in literals(text) {
            seen += 1;
            match format.iter().position(|f| *f == literal) {
                Some(known) => used[known] = true,
                None if is_prose(&literal) => wrong.push(format!("{house}/src/{file}:{line}: \"{literal}\"")),
                None => {}
            }
        }
    }
    let idle: Vec<&str> = format.iter().zip(used).filter(|(_, used)| !used).map(|(f, _)| *f).collect();
    assert!(idle.is_empty(), "nothing is written so any more: {idle:#?}");
    // What the table holds is prose: the sieve would find it.
    let table = sources.iter().filter(|(file, _)| file.starts_with("words/english/"));
    let said = table.flat_map(|(_, text)| literals(text)).filter(|(_, literal)| is_prose(literal)).count();
    assert!(said > 200, "only {said} sentences were recognised in the table");
    (wrong, seen)
}

#[test]
fn commands_speak_through_their_table() {
    let (wrong, seen) = prose("cli", &ELSEWHERE, &FORMAT);
    assert!(wrong.is_empty(), "prose outside of the words: {wrong:#?}");
    assert!(seen > 300, "only {seen} literals were read");
    // The page around a report that is watched has keys where words stand.
    let page = fs::read_to_string(project("cli/src/commands/watch/around.html")).unwrap();
    let page = page.split("<script>").next().unwrap_or_default().split("</style>").last().unwrap_or_default();
    let shown: Vec<&str> = page.split('>').filter_map(|piece| piece.split('<').next()).collect();
    let said: Vec<&&str> = shown.iter().filter(|text| !text.trim().is_empty()).collect();
    assert_eq!(said, [&"{not rendered}", &"{not shown}"]);
}

#[test]
fn reports_speak_through_their_table() {
    let (wrong, seen) = prose("report", &ELSEWHERE_IN_REPORTS, &FORMAT_OF_REPORTS);
    assert!(wrong.is_empty(), "prose outside of the words: {wrong:#?}");
    assert!(seen > 300, "only {seen} literals were read");
}
