//! Every command at a terminal, and piped, on files full of what a terminal would obey: nothing of it arrives.
//!
//! What a terminal obeys: control characters of ISO/IEC 6429 (C0, C1, `ESC` sequences); what changes the direction of text:
//! Unicode Standard Annex 9; what shows nothing: zero-width space and byte-order mark (memory high). Held against a list of
//! this file, not against the program's.
#![cfg(unix)]

use crate::command_support;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use command_support::terminal::at_a_terminal;
use command_support::{program_path, project};

/// Escapes that clear the screen, set the title, colour, turn text about and hide in it, as YAML and JSON write them.
const HOSTILE: &str = r"\u001b[2J\u001b]0;owned\u0007\u009b31m\u202egpj\u200b\u2066\ufeff\u007f\rover";

/// What a terminal would obey or not show; line breaks, tabs and styles of the program's own aside.
fn obeyed(text: &str, styles: bool) -> Option<char> {
    let plain = if styles { without_progress(&without_styles(text)) } else { text.to_owned() };
    let plain = plain.replace("\r\n", "\n");
    plain.chars().find(|c| {
        c.is_control() && !matches!(c, '\n' | '\t')
            || matches!(c, '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
    })
}

/// Without the program's own line of progress, which is written over: `\r3 of 6 records\r               \r`.
fn without_progress(text: &str) -> String {
    let own = |piece: &str| {
        let number = |t: &str| t.bytes().all(|b| b.is_ascii_digit() || b == b' ');
        let told = |(done, of): (&str, &str)| number(done) && of.strip_suffix(" records").is_some_and(number);
        let counted = |(looks, ways): (&str, &str)| {
            looks.strip_prefix("working: ").is_some_and(number)
                && ways.trim_end().strip_suffix(" ways searched").is_some_and(number)
        };
        piece.bytes().all(|b| b == b' ')
            || piece.split_once(" of ").is_some_and(told)
            || piece.split_once(" looks, ").is_some_and(counted)
    };
    let mut out = String::new();
    // Pieces between carriage returns; the one in front of what follows a wiped line is blank.
    let marked = text.replace("\r\n", "\n");
    let mut pieces = marked.split('\r');
    out += pieces.next().unwrap_or_default();
    let mut wiped = false;
    for piece in pieces {
        if own(piece) {
            wiped = true;
        } else {
            out += if wiped { "" } else { "\r" };
            out += piece;
            wiped = false;
        }
    }
    out
}

/// Without `ESC [ numbers m`.
fn without_styles(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("\u{1b}[") {
        let inner = &rest[at + 2..];
        let end = inner.find(|c: char| !(c.is_ascii_digit() || c == ';')).unwrap_or(inner.len());
        if inner[end..].starts_with('m') {
            out.push_str(&rest[..at]);
            rest = &inner[end + 1..];
        } else {
            out.push_str(&rest[..at + 2]);
            rest = inner;
        }
    }
    out + rest
}

fn piped(arguments: &[&str]) -> String {
    let ran = Command::new(program_path()).args(arguments).stdin(Stdio::null()).output().expect("the program runs");
    String::from_utf8([ran.stdout, ran.stderr].concat()).expect("output is UTF-8")
}

/// A record in which every name and text is hostile; `more` stands at its end.
fn record(more: &str) -> String {
    let t = |word: &str| format!("\"{word} {HOSTILE}\"");
    let (lid, cell, role) = (t("lid"), t("cell"), t("heart"));
    let (name, maker, note) = (t("Lamp"), t("Ostrel"), t("note"));
    format!(
        "unfasten: 1
device: {{name: {name}, maker: {maker}, model: {name}, variant: {note}, category: other}}
teardown: {{by: {note}, place of work: {note}}}
parts:
  {lid}: {{role: {role}, note: {note}}}
  {cell}: {{role: cell, hazard: lithium cell, photo: {note}}}
roles: {{{role}: {{weight: 1}}, cell: {{weight: 2}}}}
actions:
  - {{free: {lid}, id: {note}, with: PH0, loosen: [{{fastener: screw PH0, note: {note}}}], after: [], note: {note}}}
  - {{free: {cell}, with: hands, loosen: unknown, after: {lid}, because: {note}, refit: {{care: {note}, buy: {note}}}}}
remarks: [{{for: {note}}}]
own verdict: {note}
support: {{updates: {{is: 5 years, source: {note}}}, spare parts: {{{cell}: {{to: public, source: {note}}}}}}}
notes: {note}
{more}"
    )
}

/// The files commands are given; every one hostile.
fn files(folder: &Path) {
    let bare = HOSTILE.replace("\\u001b", "\u{1b}").replace("\\u0007", "\u{7}").replace("\\u009b", "\u{9b}");
    let bare = bare.replace("\\u202e", "\u{202e}").replace("\\u200b", "\u{200b}").replace("\\u2066", "\u{2066}");
    let bare = bare.replace("\\ufeff", "\u{feff}").replace("\\u007f", "\u{7f}").replace("\\r", "\r");
    let put = |name: &str, text: &str| fs::write(folder.join(name), text).expect("written");
    put("good.yaml", &record(""));
    put("other.yaml", &record("").replace("5 years", "3 years").replace("with: hands", "with: spudger"));
    put("wrong.yaml", &record(&format!("\"odd {HOSTILE}\": 1\nabsent: [\"{HOSTILE}\"]\nofficial: \"{HOSTILE}\"\n")));
    put("raw.yaml", &format!("unfasten: 1\ndevice: {{name: {bare}, category: {bare}}}\n"));
    put("broken.yaml", &format!("unfasten: 1\n{bare}: [\n"));
    put(
        "many.jsonl",
        &format!("{{\"unfasten\": 1, \"device\": {{\"name\": \"{HOSTILE}\", \"category\": \"{HOSTILE}\"}}}}\n{bare}\n"),
    );
    put("table.csv", &format!("maker,model,part,to,years,{bare}\n{bare},{bare},{bare},{bare},{bare},x\n"));
    let method =
        command_support::text_of("criteria/en-45554.yaml").replacen("title: ", &format!("title: \"{HOSTILE} "), 1);
    let method = method.replacen(" with declared weights\n", "\"\n", 1).replacen("id: en-45554", "id: own", 1);
    put("method.yaml", &method);
    put(
        "bad-method.yaml",
        &format!("unfasten method: 1\nid: \"{HOSTILE}\"\n\"{HOSTILE}\": 2\nextends: \"{HOSTILE}\"\n"),
    );
    put("report.md", &format!("{bare}\n<!-- unfasten-data {bare} -->\n"));
    put(
        "captions.srt",
        &format!("1\n00:00:01,000 --> 00:00:04,500\nfive Phillips screws {bare} and the back cover {bare} comes off\n"),
    );
    put("costs.txt", &format!("3, {bare}\n"));
}

/// Every command, on those files. A new command must be named here.
const COMMANDS: &[&[&str]] = &[
    &["new", "laptop"],
    &["new", "\u{1b}[2J\u{9b}31m"],
    &["draft", "captions.srt", "--device", "\u{1b}[2J\u{202e}"],
    &["draft", "captions.srt", "--to", "list"],
    &["draft", "--from", "table.csv"],
    &["answer", "good.yaml", "--from", "table.csv"],
    &["answer", "wrong.yaml", "--from", "table.csv"],
    &["check", "good.yaml", "wrong.yaml", "raw.yaml", "broken.yaml", "many.jsonl"],
    &["check", "good.yaml", "--method", "en-45554", "--require", "score=9", "--support", "table.csv"],
    &["check", "wrong.yaml", "raw.yaml", "--problems", "line"],
    &["check", "wrong.yaml", "raw.yaml", "--problems", "json"],
    &["score", "good.yaml"],
    &["score", "good.yaml", "--format", "json"],
    &["score", "good.yaml", "other.yaml", "--format", "csv"],
    &["score", "good.yaml", "--format", "jsonl"],
    &["score", "good.yaml", "--method", "method.yaml"],
    &["score", "good.yaml", "--method", "bad-method.yaml"],
    &["score", "--marks", "table.csv"],
    &["report", "good.yaml"],
    &["report", "good.yaml", "--to", "html"],
    &["report", "good.yaml", "--to", "json"],
    &["report", "good.yaml", "--to", "video"],
    &["report", "good.yaml", "--to", "card"],
    &["verify", "report.md", "good.yaml"],
    &["template", "good.yaml"],
    &["route", "good.yaml"],
    &["route", "good.yaml", "--why", "--back"],
    &["route", "good.yaml", "--format", "json"],
    &["route", "good.yaml", "no such \u{1b}[2J part"],
    &["route", "good.yaml", "--by", "time", "--times", "table.csv"],
    &["unknowns", "good.yaml", "--firm"],
    &["unknowns", "good.yaml", "--format", "json"],
    &["changes", "good.yaml", "--all", "--target", "9", "--costs", "costs.txt"],
    &["changes", "good.yaml", "--all"],
    &["changes", "good.yaml", "--format", "json"],
    &["compare", "good.yaml", "other.yaml", "--samples", "50"],
    &["compare", "good.yaml", "other.yaml", "--samples", "50", "--format", "md"],
    &["compare", "good.yaml", "other.yaml", "--samples", "50", "--format", "html"],
    &["compare", "good.yaml", "other.yaml", "--samples", "50", "--format", "json"],
    &["diff", "good.yaml", "other.yaml"],
    &["diff", "good.yaml", "other.yaml", "--format", "md"],
    &["diff", "good.yaml", "other.yaml", "--agreement", "--format", "json"],
    &["methods", "method.yaml"],
    &["methods", "check", "bad-method.yaml", "method.yaml"],
    &["schema", "record"],
    &["about", "tools"],
    &["about", "\u{1b}[2J"],
    &["help", "route"],
    &["completions", "bash"],
    &["manual", "good.yaml"],
    &["\u{1b}[2J\u{202e}"],
];

/// Arguments with the files where they stand.
fn placed<'a>(folder: &'a Path, arguments: &[&'a str]) -> Vec<String> {
    let file = |a: &&str| folder.join(a).is_file().then(|| folder.join(a).to_str().expect("UTF-8").to_owned());
    arguments.iter().map(|a| file(a).unwrap_or_else(|| (*a).to_owned())).collect()
}

#[test]
fn nothing_a_file_says_is_obeyed() {
    let folder = tempfile::tempdir().unwrap();
    files(folder.path());
    let mut said = String::new();
    for arguments in COMMANDS {
        let placed = placed(folder.path(), arguments);
        let placed: Vec<&str> = placed.iter().map(String::as_str).collect();
        let (shown, _) = at_a_terminal(&placed, None);
        assert!(!shown.is_empty(), "{arguments:?} says nothing");
        assert_eq!(obeyed(&shown, true), None, "{arguments:?} at a terminal:\n{shown:?}");
        let piped = piped(&placed);
        assert_eq!(obeyed(&piped, false), None, "{arguments:?} piped:\n{piped:?}");
        said += &piped;
    }
    // The hostile texts were there to be shown.
    for word in ["lid", "heart", "note", "Lamp", "Ostrel", "owned", "gpj"] {
        assert!(said.contains(word), "{word}");
    }
}

/// The two ways of looking see what they are for.
#[test]
fn what_is_obeyed_is_seen() {
    assert_eq!(obeyed("a\u{1b}[1;35mb\u{1b}[0m\r\n\tc", true), None);
    assert_eq!(obeyed("a\r\n\r1 of 6 records\r              \rb\r\n", true), None);
    for (text, found) in [("\u{1b}[2J", '\u{1b}'), ("a\u{9b}1m", '\u{9b}'), ("\u{202e}", '\u{202e}'), ("a\rb", '\r')] {
        assert_eq!(obeyed(text, true), Some(found));
    }
    assert_eq!(obeyed("\u{1b}[0m", false), Some('\u{1b}'));
}

#[test]
fn every_command_is_tried() {
    let help = piped(&["--help"]);
    let listed: BTreeSet<&str> = help
        .lines()
        .skip_while(|l| !l.starts_with("Commands:"))
        .skip(1)
        .take_while(|l| l.starts_with("  "))
        .filter(|l| !l.starts_with("   "))
        .filter_map(|l| l.split_whitespace().next())
        .collect();
    let tried: BTreeSet<&str> = COMMANDS.iter().map(|c| c[0]).collect();
    let missing: Vec<_> = listed.difference(&tried).collect();
    assert!(listed.len() > 10 && missing.is_empty(), "{missing:?}");
    assert!(Path::new(&project("samples")).is_dir());
}

/// Work of one record that takes longer than a moment says how far it is, and nothing of that is left in the end.
#[test]
fn long_work_says_how_far_it_is() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("ways.yaml");
    fs::write(&file, crate::heavy::first_draft()).unwrap();
    let (shown, status) = at_a_terminal(&["unknowns", file.to_str().unwrap()], None);
    assert!(status.success(), "{shown}");
    assert!(shown.contains("\rworking: ") && shown.contains(" ways searched"), "{shown}");
    let left = without_progress(&without_styles(&shown));
    assert!(!left.contains("working: ") && left.contains("Open questions"), "{left}");
}
