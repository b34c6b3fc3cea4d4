//! Routes explained and timed, end to end: printed ledgers recounted without engine code, times and joint routes counted by
//! hand, JSON against its documented shape. The step rule is that of criteria/STEPS.md (own); times are entries of the
//! shipped table (memory medium; arithmetic derived).

mod command_support;

use command_support::{fits, project, samples, unfasten};
use rstest::rstest;

/// Recounts one printed ledger from its tools and the words `free`: removals, changes, and changes that coincide.
fn recount(page: &[&str]) -> (u32, u32) {
    let cut = |line: &str, from: usize, to: usize| line.chars().skip(from).take(to - from).collect::<String>();
    // Frees, tools and printed total of every operation, and the number of its action.
    let mut operations: Vec<(bool, String, u32, usize)> = Vec::new();
    let (mut action, mut frees) = (0, false);
    for line in page {
        if cut(line, 10, 12).trim().is_empty() && !cut(line, 12, 13).trim().is_empty() {
            action += 1;
            frees = cut(line, 12, 50).starts_with("free ");
        }
        let (count, total) = (cut(line, 52, 56), cut(line, 57, 62).trim().parse::<u32>());
        if let (true, Ok(total)) = (count.trim() == "-" || count.trim().starts_with('+'), total) {
            operations.push((frees, cut(line, 14, 50).trim().to_owned(), total, action));
        }
    }
    let (mut held, mut covered, mut steps, mut printed) = (Vec::<String>::new(), false, 0, 0);
    for (index, (frees, tools, total, action)) in operations.iter().enumerate() {
        if let Some(tools) = tools.strip_prefix("with ") {
            let set: Vec<String> = tools.split(" + ").map(tool).collect();
            if !held.is_empty() && set.iter().any(|t| !held.contains(t)) && !covered {
                steps += 1;
            }
            held = set;
            covered = false;
        }
        if *frees && operations.get(index + 1).is_none_or(|next| next.3 != *action) {
            steps += 1;
            covered = true;
        }
        printed = *total;
        assert_eq!(steps, printed, "{tools}\n{}", page.join("\n"));
    }
    (steps, printed)
}

/// The size of a screwdriver is part of the tool; degrees and minutes are settings.
fn tool(text: &str) -> String {
    let set = text.contains("°C") || text.ends_with(" min");
    let words = text.split(' ').take_while(|w| !set || !w.starts_with(char::is_numeric));
    words.collect::<Vec<_>>().join(" ")
}

#[rstest]
#[case("samples/bar-phone.yaml", &["cell", "display", "main camera"])]
#[case("samples/lamp-two.yaml", &["base ring", "cell"])]
fn printed_ledgers_recount(#[case] sample: &str, #[case] parts: &[&str]) {
    for part in parts {
        let ran = unfasten(&["route", &project(sample), part]);
        let lines: Vec<&str> = ran.out.lines().collect();
        let start = lines.iter().position(|l| l.trim_start().starts_with("-----")).unwrap();
        let page = &lines[start + 1..];
        let (steps, printed) = recount(page);
        assert_eq!(steps, printed);
        assert!(steps > 0 && ran.out.contains(&format!(": {steps} steps, proved")), "{}", ran.out);
    }
}

/// A lamp of the test's own: two parts below one lid, one of them also by its own hatch; own figures, counted on paper.
const LAMP: &str = "unfasten: 1
device: {name: Lamp, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
parts:
  lid: {}
  cell: {role: battery}
  lens: {role: optics}
  hatch: {}
actions:
  - {free: lid, with: PH0, loosen: 2 x screw PH0, after: []}
  - {free: hatch, with: PH0, loosen: 1 x screw PH0, after: []}
  - {free: cell, with: hands, loosen: clip, after: [{any: [lid, hatch]}]}
  - {free: lens, with: PH1, loosen: 1 x screw PH1, after: [lid]}
  - {free: lens, id: lens smashed, with: hands, loosen: nothing, after: [], damages: lens, because: glass}
";

fn lamp() -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("lamp.yaml");
    std::fs::write(&file, LAMP).unwrap();
    let name = file.to_str().unwrap().to_owned();
    (folder, name)
}

fn json(arguments: &[&str]) -> serde_json::Value {
    let mut all = arguments.to_vec();
    all.extend(["--format", "json"]);
    let ran = unfasten(&all);
    let value: serde_json::Value =
        serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {}{}", ran.out, ran.err));
    let schema: serde_json::Value = serde_json::from_str(&unfasten(&["schema", "route"]).out).unwrap();
    let errors: Vec<String> =
        jsonschema::validator_for(&schema).unwrap().iter_errors(&value).map(|e| e.to_string()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    value["routes"].clone()
}

/// Apart: cell 2 (lid or hatch, cell), lens 2 (lid; the change of driver coincides; lens). Together: lid, cell, lens, 3.
/// Any: 2. Smashing the lens is 1 and never scored.
#[test]
fn joint_routes_are_those_counted_by_hand() {
    let (_folder, lamp) = lamp();
    let steps = |more: &[&str]| {
        let mut all = vec!["route", lamp.as_str()];
        all.extend(more);
        json(&all).as_array().unwrap().iter().map(|r| r["steps_low"].as_u64().unwrap()).collect::<Vec<_>>()
    };
    assert_eq!(steps(&["cell", "lens"]), [2, 2]);
    assert_eq!(steps(&["cell", "lens", "--together"]), [3]);
    assert_eq!(steps(&["cell", "lens", "--any"]), [2]);
    let lens = json(&["route", &lamp, "lens"])[0].clone();
    assert_eq!(lens["destructive"], serde_json::json!({"steps": 1, "destroys": ["lens"]}));
    // The log took lid, hatch and cell before the lens: 4 removals, changes coincide.
    assert_eq!(lens["performed"]["steps"], 4);
    assert_eq!(lens["performed"]["reached"], true);
}

/// By hand from the shipped table: cell by the hatch = screw (14 x 0.36) 5.04 + positioning 1.44 + removing 1.44, then clip
/// (7 x 0.36) 2.52 + 1.44 + 1.44: 13.32 s; by the lid it is one screw more. Certainty of the entries: memory medium, own.
#[test]
fn times_add_up() {
    let (_folder, lamp) = lamp();
    let cell = json(&["route", &lamp, "cell", "--by", "time"])[0].clone();
    assert_eq!(cell["cost"], serde_json::json!([13320, 13320]));
    assert_eq!(cell["actions"], serde_json::json!(["hatch", "cell"]));
    // Pick-up (5 x 0.36) 1.80 once: 15.12 s, a quarter either way.
    assert_eq!(cell["time"]["hands_on"], "11 to 19 s");
    assert_eq!(cell["certificate"], "proved");
}

#[test]
fn every_sample_explains_in_80_columns_and_in_its_shape() {
    for sample in samples().iter().filter(|s| !s.contains("workstation")) {
        let ran = unfasten(&["route", sample, "--back"]);
        fits(sample, &ran.out.replace(&project(""), ""));
        assert!(!json(&["route", sample, "--back", "--by", "parts"]).as_array().unwrap().is_empty());
    }
}

#[rstest]
#[case(&["cell", "--together"])]
#[case(&["--any"])]
#[case(&["cell", "--times", "x.yaml"])]
fn what_makes_no_sense_is_refused(#[case] more: &[&str]) {
    let lamp = project("samples/lamp-two.yaml");
    let mut all = vec!["route", lamp.as_str()];
    all.extend(more);
    assert_eq!(unfasten(&all).exit, unfasten_cli::Exit::WrongInput);
}

#[rstest]
#[case("explained_lamp", "../samples/lamp-two.yaml", "cell")]
#[case("explained_phone", "../samples/bar-phone.yaml", "cell")]
fn text_is_as_reviewed(#[case] name: &str, #[case] sample: &str, #[case] part: &str) {
    let ran = unfasten(&["route", sample, part, "--why", "--back"]);
    insta::assert_snapshot!(name, ran.out);
}
