//! What pages, tables and samples may not carry: fonts of one vendor, a mark out of ten for a verdict, folders of whoever ran
//! the program. And remarks as one list.

use crate::command_support;

use std::fs;
use std::path::Path;

use command_support::{project, samples, text_of, unfasten};
use rstest::rstest;
use unfasten_cli::Exit;

/// Generic font families of CSS Fonts Module Level 4 (memory, high): no page may ask for another.
const GENERIC: [&str; 11] = [
    "serif",
    "sans-serif",
    "system-ui",
    "cursive",
    "fantasy",
    "math",
    "monospace",
    "ui-serif",
    "ui-sans-serif",
    "ui-monospace",
    "ui-rounded",
];

/// Families asked for in a page or a drawing.
fn families(text: &str) -> Vec<String> {
    let mut out = Vec::new();
    for (at, word) in text.match_indices("font-family:").chain(text.match_indices("font:")) {
        let value = &text[at + word.len()..];
        let value = &value[..value.find([';', '}', '<']).unwrap_or(value.len())];
        let mut list: Vec<&str> = value.split(',').map(str::trim).collect();
        if word == "font:" {
            // Before the first family stand weight and size.
            list[0] = list[0].rsplit_once(' ').map_or(list[0], |(_, last)| last);
        }
        out.extend(list.into_iter().filter(|f| *f != "inherit").map(str::to_owned));
    }
    out
}

fn generic(what: &str, text: &str) -> usize {
    let asked = families(text);
    for family in &asked {
        assert!(GENERIC.contains(&family.as_str()), "{what} asks for the font {family}");
    }
    assert!(!text.contains("font-family="), "{what}");
    asked.len()
}

#[test]
fn families_are_found() {
    let text = "a{font:650 2rem/1.1 \"Some Face\",serif}b{font-family:ui-serif,serif}c{font:inherit}";
    assert_eq!(families(text), ["ui-serif", "serif", "Face\"", "serif"]);
}

/// Every page and drawing a report writes, the index, and a comparison.
#[test]
fn no_page_names_a_font_of_a_vendor() {
    let folder = tempfile::tempdir().unwrap();
    let [lamp, tablet, other] =
        ["lamp-two", "slate-tablet", "folding-tablet"].map(|n| project(&format!("samples/{n}.yaml")));
    let out = folder.path().join("out");
    let ran = unfasten(&["report", &lamp, &tablet, "--out", out.to_str().unwrap(), "--method", "en-45554"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let mut pages = 0;
    let mut folders = vec![out];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|e| e == "html" || e == "svg") {
                let named = path.file_name().unwrap().to_str().unwrap().to_owned();
                pages += usize::from(generic(&named, &fs::read_to_string(&path).unwrap()) > 0);
            }
        }
    }
    assert!(pages >= 3, "{pages} pages and drawings name fonts");
    let ran = unfasten(&["compare", &tablet, &other, "--samples", "50", "--format", "html"]);
    assert!(generic("comparison", &ran.out) > 0);
}

/// The verdict of a reviewer's own is told in words wherever the project shows one.
#[test]
fn own_verdicts_are_words() {
    let skeleton = unfasten(&["new", "laptop"]).out;
    let pages = ["README.md", "samples/README.md"].map(|p| (p.to_owned(), text_of(p)));
    let records = samples().into_iter().map(|p| (p.clone(), fs::read_to_string(p).unwrap()));
    let mut found = 0;
    for (name, text) in records.chain(pages).chain([("new".to_owned(), skeleton)]) {
        let lines = text.lines().map(|l| l.trim_start_matches(['#', ' '])).filter(|l| l.starts_with("own verdict:"));
        for line in lines {
            let said = line.split_once(':').unwrap().1;
            let said = said.split(" #").next().unwrap();
            assert!(!said.contains(|c: char| c.is_ascii_digit()), "{name}: {line}");
            found += 1;
        }
    }
    assert!(found > 8, "{found}");
}

fn put(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    fs::write(&path, text).unwrap();
    path.to_str().unwrap().to_owned()
}

/// Results are passed on: what they name is no folder of the machine they were made on.
#[rstest]
#[case("score", &["text", "csv", "devices", "json", "jsonl"])]
#[case("compare", &["text", "md", "html", "csv", "json"])]
fn results_tell_no_folder(#[case] command: &str, #[case] forms: &[&str]) {
    let folder = tempfile::tempdir().unwrap();
    let base = put(folder.path(), "base.yaml", &text_of("samples/lamp-two.yaml"));
    // Of the same name, made from a base, joined to a table: all three files are in what is said.
    let study = put(folder.path(), "study.yaml", "unfasten: 1\nextends: base.yaml\nteardown: {skill: layman}\n");
    let table =
        put(folder.path(), "promises.csv", "maker,model,part,to,years\nOstrel,Lamp Two,jack board,public,6 years\n");
    let many = put(folder.path(), "many.jsonl", "{\"unfasten\": 1, \"extends\": \"base.yaml\"}\n");
    for form in forms {
        let mut arguments = vec![command, &base, &study, &many, "--support", &table, "--format", form];
        arguments.extend(["--method", "en-45554"]);
        if command == "compare" {
            arguments.extend(["--samples", "50"]);
        }
        let ran = unfasten(&arguments);
        assert_eq!(ran.exit, Exit::Done, "{form}: {}", ran.err);
        let told = folder.path().to_str().unwrap();
        assert!(!ran.out.contains(told), "{form}: {}", ran.out);
        for name in ["study.yaml", "many.jsonl:1"] {
            assert!(ran.out.contains(name), "{form}, {name}: {}", ran.out);
        }
    }
}

/// As it was named where that is relative; below the working folder from there. Complaints keep the name as it was given.
#[test]
fn records_are_named_from_here() {
    let relative = "../samples/lamp-two.yaml";
    assert!(unfasten(&["score", relative, "--method", "en-45554"]).out.contains(&format!("({relative})")));
    let below = std::env::current_dir().unwrap().join("fixtures/measures/slab.yaml");
    let ran = unfasten(&["score", below.to_str().unwrap(), "--format", "jsonl", "--method", "en-45554"]);
    assert!(ran.out.contains("\"fixtures/measures/slab.yaml"), "{}{}", ran.out, ran.err);
    let folder = tempfile::tempdir().unwrap();
    let broken = put(folder.path(), "broken.yaml", "unfasten: 1\n");
    assert!(unfasten(&["score", &broken, "--method", "en-45554", "--problems", "line"]).err.contains(&broken));
}

/// One list in the order of the footage, each led by its word; remarks without a time come last, as they were written.
#[test]
fn remarks_are_one_list_in_the_order_of_the_footage() {
    let folder = tempfile::tempdir().unwrap();
    let text = text_of("samples/lamp-two.yaml");
    let (before, _) = text.split_once("remarks:").unwrap();
    let remarks = "remarks:\n  - {for: third, at: 2:00}\n  - {against: fifth}\n  - {against: first, at: 0:10}\n  \
                   - {for: fourth, at: 1:00:00}\n  - {for: sixth}\n  - {against: second, at: 0:41}\n";
    let record = put(folder.path(), "lamp.yaml", &format!("{before}{remarks}"));
    let page = unfasten(&["report", &record, "--to", "md", "--method", "en-45554"]).out;
    let found: Vec<&str> =
        page.lines().filter(|l| l.starts_with("- **for** ") || l.starts_with("- **against** ")).collect();
    assert_eq!(
        found,
        [
            "- **against** first (0:10)",
            "- **against** second (0:41)",
            "- **for** third (2:00)",
            "- **for** fourth (1:00:00)",
            "- **against** fifth",
            "- **for** sixth",
        ]
    );
    let page =
        scraper::Html::parse_document(&unfasten(&["report", &record, "--to", "html", "--method", "en-45554"]).out);
    let item = scraper::Selector::parse("h3 + ul > li > b:first-child").unwrap();
    let led: Vec<String> = page.select(&item).map(|b| b.text().collect()).collect();
    assert_eq!(led, ["against", "against", "for", "for", "against", "for"]);
}
