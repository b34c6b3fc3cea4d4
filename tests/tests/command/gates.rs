//! What stands beside a gate and a correction: how far a verdict is from what is required, the exact value where rounding hides it, and
//! every node whose value moved (issue 13, point 7). Figures are by hand from the method below (own), or from the table of classes.

use std::collections::BTreeMap;

use num_rational::Ratio;
use rstest::rstest;
use serde_json::Value;
use unfasten_cli::Exit;

use crate::command_support::{Ran, fits, flat, project, unfasten};

/// Depth of two steps is 8, a reusable kind 6: (39 x 8 + 6) / 40 = 7.95, shown as 8.0, of class B.
const METHOD: &str = "unfasten method: 1
id: near
title: Near
source: own
certainty: own
scope: {categories: [other], rule: r}
scale: {from: 0, to: 10, decimals: 1, rule: r}
classes: {from total: exact, bounds: {A: 8, B: 5, C: 0}, rule: r}
parts:
  - {for: [other], own roles: yes, rule: r}
criteria:
  id: total
  combine: mean
  rule: r
  of:
    - {id: depth, weight: 39, each: priority, measure: depth, rule: r, linear: {0: 10, 10: 0}}
    - {id: kind, weight: 1, each: priority, measure: fasteners, rule: r, levels: {reusable: 6, resupplied: 6, removable: 3, neither: 0}}
";

const BOX: &str = "unfasten: 1
device: {name: Box, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
roles: {cell: {weight: 1}}
parts: {cell: {role: cell, paired: no}}
actions:
  - {free: lid, with: hands, loosen: clip, after: []}
  - {free: cell, with: hands, loosen: clip, after: lid}
";

struct Folder(tempfile::TempDir);

impl Folder {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn file(&self, name: &str, text: &str) -> String {
        let path = self.0.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap_or_else(|e| panic!("{e}: {text}"))
}

/// A decimal or a fraction.
fn number(text: &str) -> Ratio<i64> {
    let whole = |t: &str| t.parse::<i64>().unwrap();
    if let Some((n, d)) = text.split_once('/') {
        return Ratio::new(whole(n), whole(d));
    }
    let (before, after) = text.split_once('.').unwrap_or((text, ""));
    let digits = whole(&format!("{before}{after}"));
    Ratio::new(digits, 10_i64.pow(u32::try_from(after.len()).unwrap()))
}

#[rstest]
#[case("score=8", "7.95 (shown as 8.0)", ", 0.05 to 8", "0.05")]
#[case("class=A", "7.95 (shown as 8.0), class B", ", 0.05 to class A", "0.05")]
#[case("score=9", "8.0", ", 1.05 to 9", "1.05")]
fn a_gate_says_how_far_it_is(#[case] asked: &str, #[case] low: &str, #[case] far: &str, #[case] exact: &str) {
    let folder = Folder::new();
    let [record, method] = [folder.file("box.yaml", BOX), folder.file("near.yaml", METHOD)];
    let Ran { exit, out, err } = unfasten(&["check", &record, "--method", &method, "--require", asked]);
    assert_eq!(exit, Exit::NotMet, "{out}{err}");
    let said = flat(&err);
    assert!(said.contains(&format!("near gives {low}")) && said.contains(far), "{said}");
    fits("check", &err);
    let ran = unfasten(&["check", &record, "--method", &method, "--require", asked, "--problems", "json"]);
    let found = &json(&ran.out)["requirements"][0];
    assert_eq!((&found["met"], &found["requirement"]), (&Value::Bool(false), &Value::from(asked)));
    assert_eq!((&found["by"][0]["exact_low"], &found["by"][0]["distance"]), (&"7.95".into(), &exact.into()));
}

#[test]
fn a_gate_that_is_met_has_no_distance() {
    let folder = Folder::new();
    let [record, method] = [folder.file("box.yaml", BOX), folder.file("near.yaml", METHOD)];
    let arguments = ["check", &record, "--method", &method, "--require", "class=B", "--problems", "json"];
    let ran = unfasten(&arguments);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let found = &json(&ran.out)["requirements"][0];
    assert_eq!(
        (&found["met"], &found["by"][0]["distance"], &found["verdict"]),
        (&true.into(), &"0".into(), &"full".into())
    );
    // Without a requirement there is none to speak of.
    let plain = unfasten(&["check", &record, "--problems", "json"]);
    assert!(json(&plain.out).get("requirements").is_none(), "{}", plain.out);
}

/// Classes of (EU) 2023/1669 from 4.00, 3.35, 2.55 and 1.75 (secondary); from the rounded total (memory medium).
#[test]
fn the_distance_to_a_class_is_that_of_the_figure_shown() {
    let phone = project("samples/bar-phone.yaml");
    for (class, from) in [("A", "4.00"), ("B", "3.35"), ("C", "2.55")] {
        let require = format!("class={class}");
        let arguments = ["check", &phone, "--method", "eu-2023-1669", "--require", &require, "--problems", "json"];
        let ran = unfasten(&arguments);
        let found = json(&ran.out);
        let by = &found["requirements"][0]["by"][0];
        let shown = number(by["low"].as_str().unwrap());
        let gap = (number(from) - shown).max(Ratio::from_integer(0));
        assert_eq!(number(by["distance"].as_str().unwrap()), gap, "{class}: {by}");
        assert_eq!(found["requirements"][0]["met"], gap == Ratio::from_integer(0), "{class}");
    }
}

/// Every node of a verdict by its id: both ends, exact.
fn nodes(record: &str, method: &str) -> (String, BTreeMap<String, [String; 2]>) {
    fn walk(node: &Value, out: &mut BTreeMap<String, [String; 2]>) {
        let end = |key: &str| {
            let exact = node.get(format!("exact_{key}")).or(node.get(key));
            exact.and_then(Value::as_str).map_or_else(|| "left out".to_owned(), str::to_owned)
        };
        out.insert(node["id"].as_str().unwrap().to_owned(), [end("low"), end("high")]);
        node.get("children").and_then(Value::as_array).into_iter().flatten().for_each(|c| walk(c, out));
    }
    let ran = unfasten(&["score", record, "--method", method, "--format", "json"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let mut out = BTreeMap::new();
    let json = json(&ran.out);
    let root = &json["devices"][0]["assessments"][0]["root"];
    walk(root, &mut out);
    (root["id"].as_str().unwrap().to_owned(), out)
}

/// Heat that is no longer needed, beside a tool nobody sells: the word of the verdict stays, a requirement of it turns.
#[rstest]
#[case("eu-2023-1542-11", "with: heat gun", "with: hands")]
#[case("eu-2023-1670", "with: spudger, loosen: connector", "with: odd key, loosen: connector")]
#[case("en-45554", "with: spudger, loosen: connector", "with: odd key, loosen: connector")]
fn a_correction_names_every_node_that_moved(#[case] method: &str, #[case] from: &str, #[case] to: &str) {
    let folder = Folder::new();
    let text = "unfasten: 1
device: {name: Alder, maker: Ostrel, category: smartphone, form: not folding}
teardown: {place: use, skill: layman}
tools: {odd key: {class: proprietary}}
parts: {cover: {role: back cover, paired: no}, pack: {role: battery, paired: no}, screen: {role: display assembly, paired: no}}
absent: [charging port, microphone, rear camera, front camera, speaker, button, sim tray, audio connector, memory tray, charger]
actions:
  - {free: cover, with: heat gun, loosen: {fastener: film adhesive, kind: neither}, after: []}
  - {free: pack, with: odd key, loosen: clip, after: cover}
  - {free: screen, with: spudger, loosen: connector, after: cover}
";
    assert!(text.contains(from));
    let [old, new] = [folder.file("old.yaml", text), folder.file("new.yaml", &text.replace(from, to))];
    let ran = unfasten(&["diff", &old, &new, "--method", method, "--format", "json"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let found = json(&ran.out);
    // The verdicts of a method are in turn; the full one has every node.
    let of = found["verdicts"].as_array().unwrap().iter().position(|v| v == "full").unwrap();
    let ((root, was), (_, is)) = (nodes(&old, method), nodes(&new, method));
    let moved: BTreeMap<&str, [&Value; 2]> = found["correction"]["moved"][of]
        .as_array()
        .unwrap()
        .iter()
        .map(|row| (row["id"].as_str().unwrap(), [&row["before"], &row["after"]]))
        .collect();
    let same = |a: &[String; 2], b: &Value| {
        // Words, or figures of whatever spelling.
        let value = |t: &str| t.chars().next().is_some_and(|c| c.is_ascii_digit()).then(|| number(t));
        a.iter().zip(b.as_array().unwrap()).all(|(a, b)| {
            let b = b.as_str().unwrap();
            a == b || value(a).is_some() && value(a) == value(b)
        })
    };
    let mut met = 0;
    for (id, before) in &was {
        let after = &is[id];
        let Some([told_before, told_after]) = moved.get(id.as_str()) else {
            // The verdict itself stands above.
            assert!(before == after || *id == root, "{id}: {before:?} {after:?}");
            continue;
        };
        met += 1;
        assert!(before != after, "{id} did not move");
        assert!(
            same(before, told_before) && same(after, told_after),
            "{id}: {before:?} {told_before}, {after:?} {told_after}"
        );
    }
    assert!(met > 0, "{found}");
    assert_eq!(met, moved.len(), "a node that is in neither");
    let text = unfasten(&["diff", &old, &new, "--method", method]);
    assert!(text.out.contains(" becomes "), "{}", text.out);
    fits("diff", &text.out);
}

/// Two variants of one base differ in what they say themselves, not in what both take from it.
#[test]
fn records_of_one_base_list_only_what_they_say() {
    let folder = Folder::new();
    folder.file("base.yaml", BOX);
    let variant = |with: &str| {
        format!(
            "unfasten: 1\nextends: base.yaml\ndevice: {{variant: study}}\nactions:\n  - {{free: cell, with: {with}, loosen: clip, after: lid}}\n"
        )
    };
    let [one, other] = [folder.file("one.yaml", &variant("PH0")), folder.file("other.yaml", &variant("spudger"))];
    let ran = unfasten(&["diff", &one, &other, "--format", "json"]);
    assert_eq!(ran.exit, Exit::Done, "{}", ran.err);
    let found = json(&ran.out);
    let changes = found["correction"]["changes"].as_array().unwrap();
    let paths: Vec<&str> = changes.iter().map(|c| c["path"].as_str().unwrap()).collect();
    assert_eq!(paths, ["actions[free cell].with"], "{}", ran.out);
    // Nor does a variant list against its base what it left alone.
    let base = folder.0.path().join("base.yaml");
    let ran = unfasten(&["diff", base.to_str().unwrap(), &one, "--format", "json"]);
    let found = json(&ran.out);
    let paths: Vec<&str> =
        found["correction"]["changes"].as_array().unwrap().iter().map(|c| c["path"].as_str().unwrap()).collect();
    assert!(
        paths.iter().all(|p| !p.contains("lid") && !p.starts_with("roles") && !p.starts_with("parts")),
        "{paths:?}"
    );
}

/// Requirements of the document that fail at both ends: leaves, and whole choices of which one way would do.
fn failed(node: &Value, out: &mut Vec<(String, String)>) {
    let choice = node["id"].as_str().is_some_and(|id| id.starts_with("battery-ways/"));
    match node.get("children").and_then(Value::as_array).filter(|_| !choice) {
        Some(children) => children.iter().for_each(|c| failed(c, out)),
        _ if node["low"] == "fail" && node["high"] == "fail" => {
            out.push((node["title"].as_str().unwrap().to_owned(), node["id"].as_str().unwrap().to_owned()));
        }
        _ => {}
    }
}

/// Every requirement that is surely not met is listed: in the text, as a row of the table, as a node of the document.
#[test]
fn all_that_is_not_met_is_listed() {
    let folder = Folder::new();
    let record = folder.file(
        "alder.yaml",
        "unfasten: 1
device: {name: Alder, maker: Ostrel, category: smartphone, form: not folding}
teardown: {place: workshop, skill: expert}
tools: {odd key: {class: proprietary}}
parts: {cover: {role: back cover, paired: no}, pack: {role: battery, paired: no}, screen: {role: display assembly, paired: no}}
absent: [charging port, microphone, rear camera, front camera, speaker, button, sim tray, audio connector, memory tray, charger]
actions:
  - {free: cover, with: odd key, loosen: {fastener: film adhesive, kind: neither}, after: []}
  - {free: pack, with: odd key, loosen: weld, after: cover}
  - {free: screen, with: odd key, loosen: weld, after: cover}
",
    );
    let method = "eu-2023-1670";
    let ran = unfasten(&["score", &record, "--method", method, "--format", "json"]);
    let mut leaves = Vec::new();
    failed(&json(&ran.out)["devices"][0]["assessments"][0]["root"], &mut leaves);
    assert!(leaves.len() > 6, "{leaves:?}");
    let text = unfasten(&["score", &record, "--method", method]).out;
    fits("score", &text);
    let list = text.split("  not met  ").nth(1).expect("a list").split("\n  most open").next().unwrap();
    let list = list.split("\n  rests on").next().unwrap();
    let said = flat(list);
    for (title, id) in &leaves {
        assert!(said.contains(title.as_str()), "{id}: {said}");
    }
    let csv = unfasten(&["score", &record, "--method", method, "--format", "csv"]).out;
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let heads = reader.headers().unwrap().clone();
    let column = |head: &str| heads.iter().position(|h| h == head).unwrap();
    let rows: Vec<String> = reader
        .records()
        .map(Result::unwrap)
        .filter(|r| &r[column("low")] == "fail" && &r[column("high")] == "fail")
        .map(|r| r[column("node")].to_owned())
        .collect();
    assert!(leaves.iter().all(|(_, id)| rows.contains(id)), "{rows:?}");
}
