//! A bench sheet, named in a record or for one run, in every command: what it supplies leads, and what the verdict is without
//! stands beside it; both verdicts stand, the bench verdict first. The figures with a sheet are those of a record that has
//! its facts written in, the figures without those of the record as it is: that is what a sheet means.

use std::fs;
use std::path::Path;

use serde_json::Value;
use unfasten_cli::Exit;

use crate::command_support::{Ran, fits, flat, project, unfasten};

const SHEET: &str = "unfasten bench: 1
name: bench Q
place: use
skill: layman
tools:
  screw: the driver that fits
  connector: hands
  film adhesive: heat pad 70 °C 4 min
kinds:
  film adhesive: removable
";

const OPEN: &str = "unfasten: 1
device: {name: Box, maker: Ostrel, category: other}
roles: {cell: {weight: 1}}
parts: {cell: {role: cell, paired: no}}
actions:
  - {free: lid, loosen: 2 x screw PH0, after: []}
  - {free: cell, loosen: [connector, film adhesive], after: lid}
";

/// What the sheet says, written into the record.
const WRITTEN: &str = "unfasten: 1
device: {name: Box, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
roles: {cell: {weight: 1}}
parts: {cell: {role: cell, paired: no}}
actions:
  - {free: lid, with: PH0, loosen: 2 x screw PH0, after: []}
  - {free: cell, with: [hands, heat pad 70 °C 4 min], loosen: [connector, {fastener: film adhesive, kind: removable}], after: lid}
";

struct Desk(tempfile::TempDir);

impl Desk {
    fn new() -> Self {
        let desk = Self(tempfile::tempdir().unwrap());
        desk.put("q.yaml", SHEET);
        desk.put("open.yaml", OPEN);
        desk.put("written.yaml", WRITTEN);
        desk.put("named.yaml", &OPEN.replacen("device:", "bench: q.yaml\ndevice:", 1).replace("Box", "Crate"));
        desk
    }

    fn put(&self, name: &str, text: &str) {
        let path = self.0.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    fn at(&self, name: &str) -> String {
        self.0.path().join(name).to_str().unwrap().to_owned()
    }

    /// Words that begin with `@` are files of this folder.
    fn run(&self, words: &[&str]) -> Ran {
        let words: Vec<String> =
            words.iter().map(|w| w.strip_prefix('@').map_or_else(|| (*w).to_owned(), |w| self.at(w))).collect();
        let ran = unfasten(&words.iter().map(String::as_str).collect::<Vec<_>>());
        assert!(matches!(ran.exit, Exit::Done | Exit::NotMet), "{words:?}: {}", ran.err);
        ran
    }

    fn json(&self, words: &[&str]) -> Value {
        let ran = self.run(words);
        serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {}", ran.out))
    }
}

/// The verdicts of a record by the default method, `bench verdict A; full verdict B`, as `check` says them.
fn verdicts(desk: &Desk, words: &[&str]) -> String {
    let ran = desk.run(&[&["check", "-m", "en-45554", "--require", "score=0"], words].concat());
    let out = flat(&ran.out);
    let from = out.find("bench verdict").unwrap_or_else(|| panic!("{out}"));
    let end = out[from..].find(" en-45554 still lacks").or_else(|| out[from..].find(" en-45554 lacks")).unwrap_or(0);
    let said = &out[from..];
    let stop = [end, said.find(" Its limits").unwrap_or(usize::MAX), said.find(": score=0").unwrap_or(usize::MAX)];
    let stop = stop.into_iter().filter(|s| *s > 0).min().unwrap();
    let said = &said[..stop.min(said.len())];
    // The name of the file that the next sentence begins with.
    said.rsplit_once(' ').filter(|(_, last)| Path::new(last).is_absolute()).map_or(said, |(s, _)| s).to_owned()
}

/// `with X by the sheet of bench Q, Y without`, from the two records that say the same without a sheet.
fn both(desk: &Desk) -> String {
    let split = |text: &str| -> [String; 2] {
        let (bench, full) = text.split_once("; full verdict ").unwrap_or_else(|| panic!("{text}"));
        [bench.strip_prefix("bench verdict ").unwrap().to_owned(), full.to_owned()]
    };
    let [with, without] = ["@written.yaml", "@open.yaml"].map(|r| split(&verdicts(desk, &[r])));
    assert_ne!(with, without);
    format!(
        "bench verdict {} by the sheet of bench Q, {} without; full verdict {} by the sheet of bench Q, {} without",
        with[0], without[0], with[1], without[1]
    )
}

/// Every command that says a verdict, with `--bench` and with `bench:` in the record.
#[test]
fn verdicts_stand_with_the_sheet_and_without_in_every_command() {
    let desk = Desk::new();
    let both = both(&desk);
    let ways: [&[&str]; 2] = [&["@open.yaml", "--bench", "@q.yaml"], &["@named.yaml"]];
    for way in ways {
        assert_eq!(verdicts(&desk, way), both);
        for command in ["unknowns", "changes"] {
            let ran = desk.run(&[&[command], way].concat());
            assert!(flat(&ran.out).contains(&both), "{command}: {}", ran.out);
            fits(command, &ran.out);
            let json = desk.json(&[&[command, "--format", "json"], way].concat());
            let found = if command == "unknowns" { &json["unknowns"][0]["both"] } else { &json["both"][0] };
            assert_eq!(found["sheet"], "bench Q", "{json}");
            let kinds: Vec<&str> =
                found["verdicts"].as_array().unwrap().iter().map(|v| v["verdict"].as_str().unwrap()).collect();
            assert_eq!(kinds, ["bench", "full"]);
            assert!(found["verdicts"].as_array().unwrap().iter().all(|v| v["without"].is_string()));
        }
        let score = flat(&desk.run(&[&["score", "-m", "en-45554"], way].concat()).out);
        let [bench, full] = both.split("; ").collect::<Vec<_>>()[..] else { panic!("{both}") };
        for one in [bench, full] {
            let range = one.split(" by the sheet").next().unwrap().split_once("verdict ").unwrap().1;
            assert!(score.contains(&format!("{range} of 10 by the sheet of bench Q;")), "{score}");
        }
    }
    // Without a sheet nothing is said of one.
    for command in ["unknowns", "changes", "route", "score"] {
        let ran = desk.run(&[command, "@open.yaml"]);
        assert!(!ran.out.contains("sheet"), "{}", ran.out);
    }
}

/// Steps with the sheet lead, those without stand beside; both are those of the records that say the same.
#[test]
fn routes_are_counted_with_the_sheet_and_without() {
    let desk = Desk::new();
    for by in ["steps", "time"] {
        let head = |words: &[&str]| {
            let out = desk.run(&[&["route", "--by", by], words, &["cell"]].concat()).out;
            out.lines().skip_while(|l| !l.starts_with("cell")).map(str::to_owned).collect::<Vec<_>>().join("\n")
        };
        let on = flat(&head(&["@open.yaml", "--bench", "@q.yaml"]));
        let first = |text: &str| flat(text).strip_prefix("cell: ").unwrap().split(',').next().unwrap().to_owned();
        let (with, without) = (first(&head(&["@written.yaml"])), first(&head(&["@open.yaml"])));
        assert_ne!(with, without, "{by}");
        assert!(on.starts_with(&format!("cell: {with}")), "{by}: {on}");
        assert!(on.contains(&format!("by the sheet of bench Q; without it {without}")), "{by}: {on}");
    }
    let counts = |words: &[&str]| {
        let json = desk.json(&[&["route", "--format", "json"], words, &["cell"]].concat());
        json["routes"][0].clone()
    };
    let on = counts(&["@named.yaml"]);
    let [with, without] = ["@written.yaml", "@open.yaml"].map(|r| counts(&[r]));
    assert_eq!(on["sheet"], "bench Q");
    for count in ["steps_low", "steps_high", "steps_open", "certificate", "bound"] {
        assert_eq!((&on[count], &on["without_sheet"][count]), (&with[count], &without[count]), "{count}");
    }
    assert_eq!((&without["sheet"], &without["without_sheet"]), (&Value::Null, &Value::Null));
}

/// A fact that says what the sheet took for granted changes nothing with it, and something without.
#[test]
fn differences_are_worked_out_on_the_sheet_and_without() {
    let desk = Desk::new();
    desk.put("stated.yaml", &OPEN.replacen("roles:", "teardown: {place: use}\nroles:", 1));
    let words = ["diff", "@open.yaml", "@stated.yaml", "--bench", "@q.yaml", "-m", "en-45554"];
    let text = flat(&desk.run(&words).out);
    assert!(text.contains("Both on the bench sheet of bench Q."), "{text}");
    assert!(text.contains("en-45554 (bench verdict): was") && text.contains("en-45554 (full verdict): was"), "{text}");
    let json = desk.json(&[&words[..], &["--format", "json"]].concat());
    let found = &json["correction"];
    assert_eq!((&json["verdicts"][0], &json["verdicts"][1]), (&Value::from("bench"), &Value::from("full")));
    assert_eq!(found["before"][0]["range"], found["after"][0]["range"]);
    assert_ne!(found["before"][0]["without"]["range"], found["after"][0]["without"]["range"]);
    assert_eq!(found["changes"][0]["moved"][0], true, "{found}");
    // The same where the records name the sheet; one that no longer does is a difference like any other.
    let plain = OPEN.replace("Box", "Crate");
    desk.put("dropped.yaml", &plain);
    let json = desk.json(&["diff", "@named.yaml", "@dropped.yaml", "-m", "en-45554", "--format", "json"]);
    let found = &json["correction"];
    assert_eq!(found["sheets"], serde_json::json!(["bench Q", null]));
    assert_eq!(found["changes"][0]["path"], "bench");
    assert_eq!(found["before"][0]["without"]["range"], found["after"][0]["range"]);
    assert_ne!(found["before"][0]["range"], found["after"][0]["range"]);
    let md = desk.run(&["diff", "@named.yaml", "@dropped.yaml", "-m", "en-45554", "--format", "md"]).out;
    assert!(md.contains("that of bench Q at first, none then") && md.contains("without the sheet"), "{md}");
}

/// What a sheet takes for granted is not asked; a line the sheet answers may still be written.
#[test]
fn answers_are_taken_on_the_sheet() {
    let desk = Desk::new();
    let open = |words: &[&str]| desk.run(&[&["unknowns", "--format", "csv"], words].concat()).out.lines().count();
    assert!(open(&["@open.yaml", "--bench", "@q.yaml"]) < open(&["@open.yaml"]));
    assert_eq!(open(&["@open.yaml", "--bench", "@q.yaml"]), open(&["@named.yaml"]));
    desk.put("answers.csv", "path,answer\nteardown.place,workshop\n");
    let ran = desk.run(&["answer", "@open.yaml", "--bench", "@q.yaml", "--from", "@answers.csv"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    assert!(fs::read_to_string(desk.at("open.yaml")).unwrap().contains("place: workshop"));
    let missing = unfasten(&["answer", &desk.at("open.yaml"), "--bench", &desk.at("none.yaml"), "--from", "x.csv"]);
    assert_eq!(missing.exit, Exit::WrongInput);
    assert!(missing.err.contains("none.yaml"), "{}", missing.err);
}

/// Records of a folder take the sheet each of them names, or all of them the one of `--bench`; the sheet itself, in the
/// folder or matched by a pattern, is no record.
#[test]
fn folders_take_sheets() {
    let desk = Desk::new();
    desk.put("all/q.yaml", SHEET);
    desk.put("all/a.yaml", &OPEN.replacen("device:", "bench: q.yaml\ndevice:", 1).replace("Box", "Anvil"));
    desk.put("all/below/b.yaml", &OPEN.replace("Box", "Bell"));
    let of = |words: &[&str]| -> Vec<(String, Value, String)> {
        let out = desk.run(&[&["score", "--format", "jsonl", "-m", "en-45554"], words].concat()).out;
        let lines = out.lines().map(|l| serde_json::from_str::<Value>(l).unwrap());
        let found = lines.map(|v| {
            let one = &v["assessments"][0];
            (v["device"].as_str().unwrap().to_owned(), v["sheet"].clone(), one["low"].to_string())
        });
        found.collect()
    };
    let named = of(&["@all"]);
    assert_eq!(named.iter().map(|n| n.1.clone()).collect::<Vec<_>>(), [Value::from("bench Q"), Value::Null]);
    assert_ne!(named[0].2, named[1].2);
    let given = of(&["@all", "--bench", "@q.yaml"]);
    assert!(given.iter().all(|n| n.1 == "bench Q" && n.2 == named[0].2), "{given:?}");
    assert_eq!(of(&["@all/*.yaml"]).len(), 1);
    let out = desk.at("site");
    desk.run(&["report", "@all", "--out", &out, "-m", "en-45554"]);
    let index = fs::read_to_string(Path::new(&out).join("index.html")).unwrap();
    assert_eq!(index.matches("by the sheet of bench Q").count(), 1, "{index}");
    for (page, has) in [("a.html", true), ("b.html", false)] {
        let page = fs::read_to_string(Path::new(&out).join(page)).unwrap();
        assert_eq!(page.contains("by the sheet of bench Q"), has);
    }
}

/// Devices judged by different sheets are marked as such, in words and in every form; judged alike they are not.
#[test]
fn comparisons_mark_different_sheets() {
    let desk = Desk::new();
    let both = both(&desk);
    for (form, more) in [("text", ""), ("md", ""), ("html", "")] {
        let said = |words: &[&str]| {
            flat(&desk.run(&[&["compare", "--format", form], words].concat()).out)
                .replace("\\[", "[")
                .replace("\\]", "]")
        };
        let differ = said(&["@named.yaml", "@written.yaml"]);
        assert!(differ.contains("These devices are judged by different bench sheets"), "{form}{more}: {differ}");
        assert!(
            differ.contains("Ostrel Crate [sheet of bench Q]") && differ.contains("Ostrel Box [no sheet]"),
            "{differ}"
        );
        // Both verdicts stand, with the sheet and without.
        assert!(differ.contains(&both), "{form}: {both}\n{differ}");
        let alike = said(&["@named.yaml", "@open.yaml", "--bench", "@q.yaml"]);
        assert!(!alike.contains("different bench sheets") && alike.contains(&both), "{form}: {alike}");
    }
    let json = desk.json(&["compare", "--format", "json", "@named.yaml", "@written.yaml"]);
    assert_eq!((&json["sheets_differ"], &json["both"][0]["sheet"]), (&Value::from(true), &Value::from("bench Q")));
    assert_eq!(json["both"][1]["sheet"], Value::Null);
    // In the table each device has its sheet in a column of its own, in every row.
    let csv = desk.run(&["compare", "--format", "csv", "@named.yaml", "@written.yaml"]).out;
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let heads = reader.headers().unwrap().clone();
    let of: Vec<usize> = (0..heads.len()).filter(|i| heads[*i].ends_with(", sheet")).collect();
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert!(of.len() == 2 && rows.len() > 1, "{csv}");
    assert!(rows.iter().all(|r| (&r[of[0]], &r[of[1]]) == ("bench Q", "")), "{csv}");
}

/// A verdict leads by the bench sheet; a limit that reads the heaviest parts names them, ties and all, in the reason and in
/// `check`: weights 2 and 1 make one part the heaviest, 2 and 2 both.
#[test]
fn the_heaviest_parts_are_named() {
    let desk = Desk::new();
    let text = |weight: u32| {
        format!(
            "unfasten: 1
device: {{name: Fan, maker: Ostrel, category: other, price: 40 EUR}}
teardown: {{place: use, skill: layman}}
roles: {{motor: {{weight: 2}}, switch: {{weight: {weight}}}}}
parts: {{m: {{role: motor, paired: no}}, s: {{role: switch, paired: no}}}}
actions:
  - {{free: m, with: hands, loosen: clip, after: []}}
  - {{free: s, with: hands, loosen: clip, after: [], outcome: failed}}
"
        )
    };
    desk.put("one.yaml", &text(1));
    desk.put("two.yaml", &text(2));
    let reason = |file: &str| flat(&desk.run(&["score", "-m", "en-45554", file]).out);
    let check = |file: &str| flat(&desk.run(&["check", "-m", "en-45554", file]).out);
    assert!(check("@one.yaml").contains("Its limits read the heaviest part: motor."), "{}", check("@one.yaml"));
    let tie = "the heaviest parts, which tie: motor and switch";
    assert!(check("@two.yaml").contains(&format!("Its limits read {tie}.")), "{}", check("@two.yaml"));
    let html = desk.run(&["report", "-m", "en-45554", "@two.yaml", "--to", "html"]).out;
    assert!(flat(&html).contains(tie), "{html}");
    assert!(reason("@two.yaml").contains("tie: motor and switch"), "{}", reason("@two.yaml"));
    assert!(!reason("@one.yaml").contains("tie"));
}

/// The shipped sheet is one, and the samples' folder leaves it out.
#[test]
fn the_shipped_sheet_is_no_record() {
    let ran = unfasten(&["check", &project("samples/bench-a.yaml")]);
    assert_eq!(ran.exit, Exit::WrongInput);
}
