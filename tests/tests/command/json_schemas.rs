//! The JSON of every command against its schema, by `jsonschema`, a validator that shares no code with what writes it; and what
//! stands once in it. The schemas leave no field unnamed, so whatever is written must be described.

use std::collections::BTreeSet;
use std::fs;

use rstest::rstest;
use serde_json::{Value, json};
use unfasten_cli::Exit;

use crate::command_support::{project, text_of, unfasten, unfasten_reading};

/// Words that begin with `samples/` are files of the project.
fn run(words: &[&str]) -> String {
    let words: Vec<String> =
        words.iter().map(|w| if w.starts_with("samples/") { project(w) } else { (*w).to_owned() }).collect();
    let ran = unfasten(&words.iter().map(String::as_str).collect::<Vec<_>>());
    assert!(matches!(ran.exit, Exit::Done | Exit::NotMet), "{words:?}: {}", ran.err);
    ran.out
}

fn schema(of: &str) -> Value {
    serde_json::from_str(&unfasten(&["schema", of]).out).unwrap_or_else(|e| panic!("{of}: {e}"))
}

fn fits(of: &str, value: &Value) {
    let validator = jsonschema::validator_for(&schema(of)).unwrap();
    let wrong: Vec<String> = validator.iter_errors(value).map(|e| format!("{}: {e}", e.instance_path())).collect();
    assert!(wrong.is_empty(), "{of}: {wrong:#?}");
    // What the schema doesn't name is refused: else it would describe anything.
    let mut more = value.clone();
    more["something else"] = json!(1);
    assert!(!validator.is_valid(&more), "{of}");
}

const LAMP: &str = "samples/lamp-two.yaml";
const TABLET: &str = "samples/slate-tablet.yaml";
const VACUUM: &str = "samples/cordless-vacuum.yaml";
const SHEET: &str = "samples/bench-a.yaml";

#[rstest]
#[case::score("score", &["score", LAMP, TABLET, "--format", "json"])]
#[case::score_on_a_bench("score", &["score", VACUUM, "--bench", SHEET, "--format", "json"])]
#[case::a_spread("score", &["score", "samples/tumble-dryer.yaml", "--format", "json"])]
#[case::score_line("score-line", &["score", LAMP, "--format", "jsonl"])]
#[case::report("score", &["report", LAMP, "--to", "json"])]
#[case::route("route", &["route", VACUUM, "--why", "--back", "--format", "json"])]
#[case::route_by_time("route", &["route", LAMP, "--by", "time", "--format", "json"])]
#[case::route_on_a_bench("route", &["route", VACUUM, "battery", "--bench", SHEET, "--format", "json"])]
#[case::unknowns("unknowns", &["unknowns", LAMP, "--format", "json"])]
#[case::firm("unknowns", &["unknowns", LAMP, "--firm", "--bench", SHEET, "--format", "json"])]
#[case::changes("changes", &["changes", LAMP, "--format", "json"])]
#[case::target("changes", &["changes", LAMP, "--target", "9.9", "--format", "json"])]
#[case::compare("compare", &["compare", LAMP, TABLET, "--mixed", "--samples", "50", "--format", "json"])]
#[case::compare_laws("compare", &["compare", TABLET, TABLET, "--samples", "50", "-m", "eu-2023-1542-11", "--format", "json"])]
#[case::diff("diff", &["diff", LAMP, LAMP, "--format", "json"])]
#[case::agreement("agreement", &["diff", LAMP, LAMP, "--agreement", "--format", "json"])]
#[case::problems("problems", &["check", VACUUM, "--problems", "json"])]
#[case::no_problems("problems", &["check", LAMP, "--problems", "json"])]
fn documents_fit_their_schemas(#[case] of: &str, #[case] words: &[&str]) {
    let text = run(words);
    fits(of, &serde_json::from_str(&text).unwrap_or_else(|e| panic!("{e}: {text}")));
    // Compact unless asked; laid out it is the same value.
    assert_eq!(text.lines().count(), 1, "{of}");
    if !words.contains(&"jsonl") {
        let pretty = run(&[words, &["--pretty"]].concat());
        assert!(pretty.lines().count() > 3, "{of}");
        assert_eq!(serde_json::from_str::<Value>(&pretty).unwrap(), serde_json::from_str::<Value>(&text).unwrap());
    }
}

/// A difference of every kind: a value, an action added, one taken out; and a record that no longer says it is drafted.
#[test]
fn differences_and_problems_fit_too() {
    let folder = tempfile::tempdir().unwrap();
    let text = text_of(LAMP);
    let put = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    };
    let old = put("old.yaml", &text);
    let new =
        put("new.yaml", &text.replacen("5 x screw PH0", "4 x clip", 1).replacen("price: 79 EUR", "price: 89 EUR", 1));
    for more in [&[][..], &["--agreement"]] {
        let found: Value =
            serde_json::from_str(&run(&[&["diff", &old, &new, "--format", "json"], more].concat())).unwrap();
        fits(if more.is_empty() { "diff" } else { "agreement" }, &found);
    }
    let wrong = put("wrong.yaml", &text.replacen("battery", "bttery", 1).replacen("after: []", "after: nowhere", 1));
    let ran = unfasten(&["--problems", "json", "score", &wrong]);
    assert_eq!(ran.exit, Exit::WrongInput);
    fits("problems", &serde_json::from_str(&ran.err).unwrap());
}

#[test]
fn published_sheets_fit() {
    let table = "sheet,category,row,printed\nmower A,mower,1.1,5\nmower A,mower,c1,10\n";
    for (of, form) in [("marks", "json"), ("marks-line", "jsonl")] {
        let ran = unfasten_reading(&["score", "--marks", "-", "--format", form], table.as_bytes());
        assert!(!ran.out.is_empty(), "{}", ran.err);
        fits(of, &serde_json::from_str(&ran.out).unwrap());
    }
    let folder = tempfile::tempdir().unwrap();
    let [old, new] =
        [("old.csv", table.to_owned()), ("new.csv", table.replace("1.1,5", "1.1,6"))].map(|(name, text)| {
            let path = folder.path().join(name);
            std::fs::write(&path, text).unwrap();
            path.to_str().unwrap().to_owned()
        });
    let ran = unfasten(&["diff", &old, &new, "--marks", "--format", "json"]);
    fits("marks-diff", &serde_json::from_str(&ran.out).unwrap());
}

/// Every `--format json` of the command has a schema: a new command that lacks one fails here.
#[test]
fn every_command_with_json_has_a_schema() {
    let listed = unfasten(&["schema", "--help"]).out;
    for command in
        ["score", "report", "route", "unknowns", "changes", "compare", "diff", "check", "new", "methods", "about"]
    {
        let help = unfasten(&[command, "--help"]).out;
        // One list of words is that of `--problems`.
        if help.matches("- json:").count() > 1 {
            assert!(listed.contains(command), "{command} writes JSON without a schema");
        }
    }
}

fn phone() -> Value {
    let text = run(&["score", "samples/bar-phone.yaml", "--format", "json"]);
    // What the project asks for; it was 1.8 MB.
    assert!(text.len() < 250_000, "{} bytes", text.len());
    serde_json::from_str(&text).unwrap()
}

fn nodes<'v>(node: &'v Value, out: &mut Vec<&'v Value>) {
    out.push(node);
    node["children"].as_array().into_iter().flatten().for_each(|c| nodes(c, out));
}

/// Rules, evidence, actions and routes stand once, and everything that refers to them leads somewhere; the device says what it
/// is, what leads, why, and what moves it.
#[test]
fn what_is_shared_stands_once() {
    let document = phone();
    let device = &document["devices"][0];
    let text = text_of("samples/bar-phone.yaml");
    assert!(text.contains(&format!("category: {}", device["category"].as_str().unwrap())));
    assert_eq!(device["device"], "Ostrel Yarrow");
    assert_eq!(device["headline"]["verdict"], "bench");
    let said = unfasten(&["score", &project("samples/bar-phone.yaml"), "-m", "en-45554"]).out;
    let flat = said.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains(&format!("bench verdict {} of 10", device["headline"]["range"].as_str().unwrap())), "{flat}");
    assert!(flat.contains(device["reason"].as_str().unwrap()), "{flat}");
    assert!(device["causes"].as_array().is_some_and(|c| !c.is_empty()));
    for list in ["rules", "evidence", "actions", "routes"] {
        let all = device[list].as_array().unwrap();
        let once: BTreeSet<String> = all.iter().map(ToString::to_string).collect();
        assert_eq!(once.len(), all.len(), "{list}");
        assert!(all.len() > 2, "{list}");
    }
    let count = |list: &str| device[list].as_array().unwrap().len() as u64;
    let mut used = [0, 0, 0].map(|_: u32| BTreeSet::new());
    for one in device["assessments"].as_array().unwrap() {
        let mut all = Vec::new();
        nodes(&one["root"], &mut all);
        let ids: BTreeSet<&str> = all.iter().map(|n| n["id"].as_str().unwrap()).collect();
        assert_eq!(ids.len(), all.len());
        for kind in ["drags", "holds", "open"] {
            for effect in one["effects"][kind].as_array().unwrap() {
                assert!(ids.contains(effect["node"].as_str().unwrap()), "{effect}");
            }
        }
        let unknowns: BTreeSet<u64> =
            one["unknowns"].as_array().unwrap().iter().map(|u| u["number"].as_u64().unwrap()).collect();
        for node in all {
            used[0].insert(node["rule"].as_u64().unwrap());
            assert!(node["unknowns"].as_array().into_iter().flatten().all(|u| unknowns.contains(&u.as_u64().unwrap())));
            for end in node["ends"].as_array().unwrap() {
                used[1].extend(end["evidence"].as_array().into_iter().flatten().map(|e| e.as_u64().unwrap()));
                used[2].extend(end["route"].as_u64());
            }
        }
    }
    for (list, used) in ["rules", "evidence", "routes"].into_iter().zip(&used) {
        assert!(used.iter().all(|u| *u < count(list)), "{list}");
    }
    // Nothing is kept that nobody refers to.
    assert_eq!((used[0].len() as u64, used[1].len() as u64), (count("rules"), count("evidence")));
    for route in device["routes"].as_array().unwrap() {
        let operations = route["operations"].as_array().unwrap();
        assert!(operations.iter().all(|o| o["action"].as_u64().unwrap() < count("actions")));
        let counted: u64 = operations.iter().map(|o| o["counted"].as_u64().unwrap()).sum();
        assert_eq!(route["count"].as_u64().unwrap(), counted, "{}", route["target"]);
    }
}

/// An exact value stands beside what is shown wherever rounding lost something, and only there.
#[test]
fn figures_are_exact() {
    use scoring::exact::{Exact, Rounding};
    let document = phone();
    let first = &document["devices"][0]["assessments"][0];
    let mut all = Vec::new();
    nodes(&first["root"], &mut all);
    let (mut rounded, mut whole) = (0, 0);
    for node in all {
        for (shown, exact) in [("low", "exact_low"), ("high", "exact_high")] {
            let Some(shown) = node[shown].as_str() else { continue };
            match node[exact].as_str() {
                Some(exact) => {
                    let places = shown.split_once('.').map_or(0, |(_, d)| d.len());
                    let exact = Exact::parse(exact).unwrap();
                    assert_eq!(exact.display(u8::try_from(places).unwrap(), Rounding::HalfUp), shown);
                    rounded += 1;
                }
                None => whole += 1,
            }
        }
    }
    assert!(rounded > 3 && whole > 3, "{rounded} {whole}");
}

/// One row a device: the same figures as a row a criterion, and both verdicts with the sheet and without.
#[test]
fn devices_are_a_table() {
    let words = ["score", LAMP, VACUUM, TABLET, "--bench", SHEET, "--format"];
    let table = run(&[&words[..], &["devices"]].concat());
    let rows = |text: &str| -> Vec<std::collections::BTreeMap<String, String>> {
        csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
    };
    let devices = rows(&table);
    let criteria = rows(&run(&[&words[..], &["csv"]].concat()));
    assert_eq!(devices.len(), 3);
    let mut all = 0;
    let documents: Value = serde_json::from_str(&run(&[&words[..], &["json"]].concat())).unwrap();
    for (row, document) in devices.iter().zip(documents["devices"].as_array().unwrap()) {
        for field in ["device", "category", "record"] {
            assert_eq!(row[field], document[field].as_str().unwrap());
        }
        assert_eq!(row["sheet"], document["sheet"].as_str().unwrap_or_default());
        let mut met = 0;
        for one in document["assessments"].as_array().unwrap() {
            let method = one["method"].as_str().unwrap();
            let cell = |what: &str| row[&format!("{method}, {what}")].as_str();
            let verdict = criteria.iter().find(|r| r["method"] == method && r["device"] == row["device"]).unwrap();
            for what in ["low", "high", "attained", "unknowns", "supplied from", "binds", "fingerprint"] {
                assert_eq!(cell(what), verdict[what], "{method} {what}");
            }
            for what in ["category", "sheet"] {
                assert_eq!(row[what], verdict[what]);
            }
            for what in ["low without sheet", "high without sheet"] {
                assert_eq!(cell(what), verdict[what], "{method} {what}");
                assert_eq!(cell(what).is_empty(), row["sheet"].is_empty());
            }
            // The column `binds` says what `would` does.
            if let Some(range) = one["bench"]["range"].as_str().map(|r| r.trim_start_matches("would ")) {
                // A table has two decimals where the method shows one.
                let shown = |cell: &str| {
                    scoring::exact::Exact::parse(cell).map_or(cell.to_owned(), |v| {
                        let places = range.split(' ').next().unwrap().split_once('.').map_or(0, |(_, d)| d.len());
                        v.display(u8::try_from(places).unwrap(), scoring::exact::Rounding::HalfUp)
                    })
                };
                let (low, high) = (shown(cell("bench low")), shown(cell("bench high")));
                assert_eq!(range, if low == high { low } else { format!("{low} to {high}") });
                met += 1;
            }
        }
        all += met;
    }
    assert!(all > 1);
    // A method that is not for a device leaves its cells empty.
    assert!(devices[0]["eu-2023-1669, low"].is_empty() && !devices[2]["eu-2023-1669, low"].is_empty());
    // Every column is described.
    let page = text_of("report/TABLES.md");
    for head in csv::Reader::from_reader(table.as_bytes()).headers().unwrap() {
        let what = head.split_once(", ").map_or_else(|| head.to_owned(), |(_, what)| format!("METHOD, {what}"));
        assert!(page.contains(&format!("`{what}`")), "{what}");
    }
}

/// Standard input of one JSON object a line is many records, for every command that takes many; of one line, one record.
#[test]
fn standard_input_reads_json_lines() {
    let line = |name: &str| {
        json!({
            "unfasten": 1,
            "device": {"name": name, "maker": "Ostrel", "category": "other"},
            "roles": {"cell": {"weight": 1}},
            "parts": {"cell": {"role": "cell", "paired": "no"}},
            "actions": [{"free": "cell", "with": "hands", "loosen": "clip", "after": []}],
        })
        .to_string()
            + "\n"
    };
    let two = line("One") + &line("Two");
    let on = |words: &[&str], text: &str| {
        let ran = unfasten_reading(words, text.as_bytes());
        assert!(matches!(ran.exit, Exit::Done), "{words:?}: {}", ran.err);
        ran.out
    };
    for form in ["json", "jsonl", "csv", "devices", "text"] {
        let out = on(&["score", "-", "--format", form, "-m", "en-45554"], &two);
        assert!(out.contains("Ostrel One") && out.contains("Ostrel Two") && out.contains("-:2"), "{form}: {out}");
    }
    assert!(on(&["check", "-"], &two).contains("-:2: no problems"));
    assert!(on(&["compare", "-", "--samples", "50"], &two).contains("2 devices"));
    let out = tempfile::tempdir().unwrap();
    on(&["report", "-", "-m", "en-45554", "--out", out.path().to_str().unwrap()], &two);
    assert!(out.path().join("index.html").exists());
    for command in ["route", "unknowns", "changes"] {
        assert!(!on(&[command, "-"], &line("One")).is_empty(), "{command}");
    }
}

/// An editor finds the schema by the comment that `new` begins with, and what `new` writes is what the schema allows.
#[rstest]
#[case("laptop")]
#[case("smartphone")]
#[case("tumble dryer")]
fn a_new_record_names_a_schema_that_it_fits(#[case] category: &str) {
    let words: Vec<&str> = std::iter::once("new").chain(category.split(' ')).collect();
    let text = run(&words);
    let name = text.lines().next().and_then(|l| l.strip_prefix("# yaml-language-server: $schema=")).unwrap();
    assert!(text.contains(&format!(": unfasten schema record > {name}\n")), "{text}");
    fits("record", &serde_yaml::from_str(&text).unwrap());
    // A slip of the pen is marked while it is typed.
    let slip: Value = serde_yaml::from_str(&text.replacen("\nteardown:", "\nteerdown:", 1)).unwrap();
    assert!(!jsonschema::validator_for(&schema("record")).unwrap().is_valid(&slip));
}
