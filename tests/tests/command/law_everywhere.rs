//! From which day a legal verdict binds, and on what it rests, in every place that shows it; categories in `new`; and the page for
//! authors of methods, done as it says.
//!
//! Days: Regulation (EU) 2023/1542, Article 96 (`read`): applies from 18 February 2027. The article names thermal energy (`read`).

use std::fs;
use std::path::Path;

use rstest::rstest;
use scoring::vocab::Category;
use serde_json::Value;
use unfasten_cli::Exit;

use crate::command_support::{Ran, flat, project, text_of, unfasten, unfasten_reading};

const LAW: &str = "eu-2023-1542-11";
const DAY: &str = "applies to devices first supplied from 18 February 2027";

/// Heat on the way to the battery, told by somebody: a fail by what was told.
const GLOW: &str = "unfasten: 1
device: {name: Glow, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
roles: {battery: {weight: 1}}
parts: {cell: {role: battery, paired: no}}
actions:
  - {free: cell, with: {is: heat gun, basis: told}, loosen: nothing, after: []}
";

fn since(day: &str) -> String {
    GLOW.replacen("category: other", &format!("category: other, on market: {day}"), 1)
}

fn run(words: &[&str], text: &str) -> Ran {
    let ran = unfasten_reading(words, text.as_bytes());
    assert!(matches!(ran.exit, Exit::Done | Exit::NotMet), "{words:?}: {}", ran.err);
    ran
}

/// Words for people say *would* and the day while the device may be older, and neither once it is not.
#[rstest]
#[case::score(&["score", "-", "-m", LAW])]
#[case::page(&["report", "-", "-m", LAW, "--to", "html"])]
#[case::markdown(&["report", "-", "-m", LAW, "--to", "md"])]
#[case::card(&["report", "-", "-m", LAW, "--to", "card"])]
#[case::video(&["report", "-", "-m", LAW, "--to", "video"])]
#[case::gate(&["check", "-", "-m", LAW, "--require", "pass"])]
#[case::unknowns(&["unknowns", "-", "-m", LAW])]
#[case::changes(&["changes", "-", "-m", LAW])]
fn words_say_what_would_be(#[case] words: &[&str]) {
    for (text, binds) in [(GLOW.to_owned(), false), (since("2027-02-17"), false), (since("2027-02-18"), true)] {
        let ran = run(words, &text);
        let said = flat(&format!("{} {}", ran.out, ran.err));
        assert_eq!(said.contains(DAY), !binds, "{words:?}: {said}");
        let would = said.contains("would fail") || said.contains("would give fail");
        assert_eq!(would, !binds, "{words:?}: {said}");
    }
}

/// An index with classes says its class and its day where it leads, too: Delegated Regulation (EU) 2023/1669 applies from 20 June
/// 2025 (`read`).
#[test]
fn an_index_that_leads_has_its_class_and_its_day() {
    for form in ["html", "md", "summary", "card", "video"] {
        let ran = unfasten(&["report", &project("samples/bar-phone.yaml"), "-m", "eu-2023-1669", "--to", form]);
        let said = flat(&ran.out);
        assert!(
            said.contains("class E to D") && said.contains("applies to devices first supplied from 20 June 2025"),
            "{form}: {said}"
        );
    }
    let said = flat(&unfasten(&["score", &project("samples/bar-phone.yaml"), "-m", "eu-2023-1669"]).out);
    assert!(said.contains("of 5, class E to D (applies to devices first supplied from 20 June 2025)"), "{said}");
}

/// As one of several results of a page it stands with its day too, in the summary and in the details.
#[test]
fn a_line_of_the_summary_has_its_day() {
    for form in ["html", "md", "summary"] {
        let out = flat(&run(&["report", "-", "--to", form], GLOW).out);
        // A line of the summary says what would be, and for which devices.
        let would = DAY.replace("applies to", "for");
        let says = |out: &str| out.contains(DAY) || out.contains("would not be met") && out.contains(&would);
        assert!(says(&out), "{form}: {out}");
        assert!(!says(&flat(&run(&["report", "-", "--to", form], &since("2027-02-18")).out)), "{form}");
    }
}

#[test]
fn the_index_and_comparisons_say_it() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let (old, new) = (put("old.yaml", GLOW), put("new.yaml", &since("2027-02-18").replace("Glow", "Gleam")));
    let out = folder.path().join("site");
    let ran = unfasten(&["report", &old, &new, "-m", LAW, "--out", out.to_str().unwrap()]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let index = fs::read_to_string(out.join("index.html")).unwrap();
    assert_eq!(index.matches(DAY).count(), 1, "{index}");
    assert!(index.contains("would fail"));
    for form in ["text", "md", "html"] {
        let ran = unfasten(&["compare", &old, &new, "-m", LAW, "--samples", "50", "--format", form]);
        let said = flat(&ran.out);
        assert!(
            said.contains(DAY) && said.contains("would fail") && said.contains("Gleam: verdict fail"),
            "{form}: {said}"
        );
    }
    // The same device, once its day is known.
    let later = put("later.yaml", &since("2027-02-18"));
    for form in ["text", "md"] {
        let said = flat(&unfasten(&["diff", &old, &later, "-m", LAW, "--format", form]).out);
        assert!(said.contains(&format!("would fail ({DAY})")), "{form}: {said}");
        assert!(said.contains("is now fail") || said.contains("| fail |"), "{form}: {said}");
    }
    let json: Value =
        serde_json::from_str(&unfasten(&["diff", &old, &later, "-m", LAW, "--format", "json"]).out).unwrap();
    assert_eq!(json["binds"], serde_json::json!([["open", "yes"]]));
}

/// For programs: a column, a field, and the sentence.
#[test]
fn tables_and_json_say_it() {
    for (text, binds) in [(GLOW.to_owned(), "open"), (since("2027-02-17"), "no"), (since("2027-02-18"), "yes")] {
        let json: Value =
            serde_json::from_str(&run(&["score", "-", "-m", LAW, "--format", "json"], &text).out).unwrap();
        let one = &json["devices"][0]["assessments"][0];
        assert_eq!((&one["binds"], &one["supplied_from"]), (&Value::from(binds), &Value::from("2027-02-18")));
        assert_eq!(one["said"].as_str().unwrap().contains(DAY), binds != "yes");
        assert_eq!(one["standing"].is_string(), binds != "yes");
        for (form, head) in [("csv", ""), ("devices", "eu-2023-1542-11, ")] {
            let table = run(&["score", "-", "-m", LAW, "--format", form], &text).out;
            let mut reader = csv::Reader::from_reader(table.as_bytes());
            let row: std::collections::BTreeMap<String, String> = reader.deserialize().next().unwrap().unwrap();
            assert_eq!(row[&format!("{head}binds")], binds);
            assert_eq!(row[&format!("{head}supplied from")], "2027-02-18");
            let rests = &row[&format!("{head}rests on")];
            assert!(rests.contains("told: ") && rests.contains("own reading: "), "{rests}");
        }
        for command in ["unknowns", "changes"] {
            let json: Value =
                serde_json::from_str(&run(&[command, "-", "-m", LAW, "--format", "json"], &text).out).unwrap();
            let both = if command == "unknowns" { &json["unknowns"][0]["both"] } else { &json["both"][0] };
            assert_eq!((&both["binds"], &both["supplied_from"]), (&Value::from(binds), &Value::from("2027-02-18")));
        }
    }
}

/// What a verdict rests on that nobody saw or read stands beside it: a told fact, an open one, our own readings.
#[rstest]
#[case::score(&["score", "-", "-m", LAW])]
#[case::page(&["report", "-", "-m", LAW, "--to", "html"])]
#[case::markdown(&["report", "-", "-m", LAW, "--to", "md"])]
#[case::gate(&["check", "-", "-m", LAW, "--require", "pass"])]
#[case::json(&["score", "-", "-m", LAW, "--format", "json"])]
fn what_it_rests_on_stands_beside_it(#[case] words: &[&str]) {
    let said = |text: &str| {
        let ran = run(words, text);
        flat(&format!("{} {}", ran.out, ran.err)).to_lowercase()
    };
    let told = said(GLOW);
    assert!(told.contains("rests on") || told.contains("rests_on"), "{told}");
    assert!(told.contains("told: ") && told.contains("own reading"), "{words:?}: {told}");
    assert!(!said(&GLOW.replace("{is: heat gun, basis: told}", "heat gun")).contains("told: "));
    assert!(said(&GLOW.replace("{is: heat gun, basis: told}", "unknown")).contains("open: "));
}

/// Every category has a record to fill in, which reads without a mistake, asks for each priority part and claims nothing.
#[test]
fn every_category_has_a_record_to_fill_in() {
    for category in Category::shipped() {
        let words: Vec<&str> = std::iter::once("new").chain(category.word().split(' ')).collect();
        let ran = unfasten(&words);
        assert_eq!(ran.exit, Exit::Done, "{category}: {}", ran.err);
        let checked = unfasten_reading(&["check", "-"], ran.out.as_bytes());
        assert_eq!(checked.exit, Exit::Done, "{category}: {}", checked.out);
        for role in category.roles() {
            let set = scoring::method::load_shipped("en-45554").unwrap();
            let set = set.part_set(*category, scoring::vocab::Form::NotFolding).unwrap();
            if set.weights.iter().any(|(r, _)| *r == role.name) {
                assert!(ran.out.contains(&role.name), "{category}: {} is not asked for", role.name);
            }
        }
        // Filled in nowhere, no gate passes.
        let gate = unfasten_reading(&["check", "-", "-m", "en-45554", "--require", "score=0.1"], ran.out.as_bytes());
        assert_ne!(gate.exit, Exit::Done, "{category}: {}", gate.out);
    }
}

/// A code block of the page for authors that begins with some words.
fn block(begins: &str) -> String {
    let page = text_of("criteria/README.md");
    let mut blocks =
        page.split("```").skip(1).step_by(2).filter_map(|b| b.split_once('\n')).map(|(_, text)| text.to_owned());
    blocks.find(|b| b.starts_with(begins)).unwrap_or_else(|| panic!("no block begins `{begins}`"))
}

/// The blocks on a day, a switch and a category, put into the page's own example as the page says.
#[test]
fn the_page_for_authors_does_as_it_says() {
    let folder = tempfile::tempdir().unwrap();
    let put = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let example = block("unfasten method: 1\nid: workshop-evening");
    let check = |file: &str| {
        let ran = unfasten(&["methods", "check", file]);
        assert_eq!(ran.exit, Exit::Done, "{}", ran.out);
    };
    let text_on =
        |file: &str, record: &str, more: &[&str]| flat(&run(&[&["score", "-", "-m", file], more].concat(), record).out);
    let laptop = GLOW.replace("roles: {battery: {weight: 1}}\n", "").replace("category: other", "category: laptop");
    // A day.
    let dated = put("dated.yaml", &example.replacen("scope:", &format!("{}scope:", block("applies: {from")), 1));
    check(&dated);
    assert!(text_on(&dated, &laptop, &[]).contains(DAY));
    let bound = laptop.replace("category: laptop", "category: laptop, on market: 2027-02-18");
    assert!(!text_on(&dated, &bound, &[]).contains(DAY));
    // A switch, named in the rule that depends on it.
    let switch = block("switches:\n").replacen("switches:\n", "", 1);
    let switched = example.replacen("switches:\n", &format!("switches:\n{switch}"), 1).replacen(
        "          measure: tools\n",
        "          measure: tools\n          switch: supplied-tools\n",
        1,
    );
    let switched = put("switched.yaml", &switched);
    check(&switched);
    let key = laptop
        .replace("{is: heat gun, basis: told}", "house key")
        .replace("parts:", "tools: {house key: {class: supplied with part}}\nparts:");
    let total = |option: &str| {
        let out = run(&["score", "-", "-m", &switched, "--reading", option, "--format", "json"], &key).out;
        let json: Value = serde_json::from_str(&out).unwrap();
        json["devices"][0]["assessments"][0]["high"].clone()
    };
    assert_ne!(total("supplied-tools=yes"), total("supplied-tools=no"));
    assert!(
        flat(&unfasten(&["methods", &switched]).out).contains("Are tools that come with the part commonly available?")
    );
    // A category.
    let own = block("own categories:");
    let (before, after) = example.split_once("scope:").unwrap();
    let (_, after) = after.split_once('\n').unwrap();
    let (scale, rest) = after.split_once("parts:").unwrap();
    let (_, rest) = rest.split_once("absent:").unwrap();
    let own = put("own.yaml", &format!("{before}{own}{scale}\nabsent:{rest}"));
    check(&own);
    let ran = unfasten(&["new", "bread", "maker", "--method", &own]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    assert!(ran.out.contains("category: bread maker") && ran.out.contains("kneading blade"), "{}", ran.out);
    let checked = unfasten_reading(&["check", "-", "-m", &own], ran.out.as_bytes());
    assert_eq!(checked.exit, Exit::Done, "{}", checked.out);
}

/// A category for everybody is an entry of three files, as the page says: each shipped one is in all of them, with a reason.
#[test]
fn shipped_categories_stand_where_the_page_says() {
    let method = text_of("criteria/en-45554.yaml");
    assert!(Path::new(&project("scoring/src/vocab/categories.yaml")).exists());
    for word in [
        "tumble dryer",
        "dishwasher",
        "television",
        "headphones",
        "robot vacuum cleaner",
        "game controller",
        "e-reader",
        "cordless drill",
    ] {
        assert!(Category::from_word(word).is_some(), "{word}");
        let set = method
            .split("  - for: ")
            .find(|s| s.starts_with(&format!("[{word}")) || s.lines().next().unwrap().contains(word));
        let set = set.unwrap_or_else(|| panic!("no part set for {word}"));
        assert!(set.contains("rule: ") && set.contains("weights:"), "{word}");
    }
}
