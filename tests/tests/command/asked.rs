//! What is asked, and in which order (issue 13, point 5): one order in every form, and nothing that can't matter. Methods and
//! records are made here; that steps don't depend on place, and that a drive settles its driver's class, is the project's design
//! (sections 4 and 5), on the step rule of EN 45554 (from memory, medium).

use rstest::rstest;
use serde_json::Value;

use crate::command_support::{flat, project, unfasten};

fn method(measure: &str, table: &str) -> String {
    format!(
        "unfasten method: 1
id: one
title: One
source: own
certainty: own
scope: {{categories: [other], rule: r}}
scale: {{from: 0, to: 10, decimals: 2, rule: r}}
parts:
  - {{for: [other], own roles: yes, rule: r}}
criteria: {{id: only, each: priority, measure: {measure}, rule: r, {table}}}
"
    )
}

const DEPTH: (&str, &str) = ("depth", "linear: {0: 10, 10: 0}");
const PLACE: (&str, &str) = ("environment", "levels: {use: 10, workshop: 5, production-equivalent: 0}");
const SKILL: (&str, &str) = ("skill", "levels: {layman: 10, generalist: 6, expert: 3, manufacturer: 0}");
const TOOLS: (&str, &str) = (
    "tools",
    "levels: {none: 10, basic: 10, supplied with part: 10, supplied with product: 10, product-group specific: 7, commercially available: 5, proprietary: 2, not feasible: 0}",
);

fn asked(record: &str, (measure, table): (&str, &str)) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let (file, own) = (folder.path().join("box.yaml"), folder.path().join("one.yaml"));
    std::fs::write(&file, record).unwrap();
    std::fs::write(&own, method(measure, table)).unwrap();
    let ran = unfasten(&["unknowns", file.to_str().unwrap(), "--method", own.to_str().unwrap(), "--format", "json"]);
    let found: Value = serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {}", ran.err));
    paths(&found["unknowns"][0]["guide"]["questions"])
}

fn paths(questions: &Value) -> Vec<String> {
    questions.as_array().unwrap().iter().map(|q| q["path"].as_str().unwrap().to_owned()).collect()
}

fn record(teardown: &str, with: &str, loosen: &str) -> String {
    format!(
        "unfasten: 1
device: {{name: Box, maker: Ostrel, category: other}}
teardown: {{{teardown}}}
roles: {{cell: {{weight: 1}}}}
parts: {{cell: {{role: cell, paired: no}}}}
actions:
  - {{free: lid, with: {with}, loosen: {loosen}, after: []}}
  - {{free: cell, with: hands, loosen: clip, after: lid}}
"
    )
}

/// A place, a skill or the class of a driver is asked where a measure reads it and nothing else settles it.
#[rstest]
#[case::steps_hang_on_no_place("place: unknown, skill: layman", "hands", "clip", DEPTH, "teardown.place", false)]
#[case::environment_is_the_place("place: unknown, skill: layman", "hands", "clip", PLACE, "teardown.place", true)]
#[case::steps_hang_on_no_skill("place: use, skill: unknown", "hands", "clip", DEPTH, "teardown.skill", false)]
#[case::skill_is_read("place: use, skill: unknown", "hands", "clip", SKILL, "teardown.skill", true)]
#[case::the_drive_settles_the_driver(
    "place: use, skill: layman",
    "driver",
    "2 x screw PH0",
    TOOLS,
    "tools.screwdriver",
    false
)]
#[case::a_screw_of_no_stated_drive(
    "place: use, skill: layman",
    "driver",
    "2 x screw",
    TOOLS,
    "tools.screwdriver",
    true
)]
#[case::steps_hang_on_no_class("place: use, skill: layman", "driver", "2 x screw", DEPTH, "tools.screwdriver", false)]
fn only_what_can_matter_is_asked(
    #[case] teardown: &str,
    #[case] with: &str,
    #[case] loosen: &str,
    #[case] reads: (&str, &str),
    #[case] path: &str,
    #[case] is_asked: bool,
) {
    let found = asked(&record(teardown, with, loosen), reads);
    assert_eq!(found.iter().any(|p| p.ends_with(path)), is_asked, "{found:?}");
}

/// The open list of `score` and of the page is that of `unknowns`, in its order.
#[rstest]
#[case("bar-phone")]
#[case("headphones")]
#[case("laptop")]
#[case("cordless-vacuum")]
fn one_order_stands_everywhere(#[case] name: &str) {
    let file = project(&format!("samples/{name}.yaml"));
    let run = |arguments: &[&str]| unfasten(&[arguments, &[&file, "--method", "en-45554"]].concat()).out;
    let found: Value = serde_json::from_str(&run(&["unknowns", "--format", "json"])).unwrap();
    let ranked: Vec<String> = found["unknowns"][0]["guide"]["questions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|q| flat(q["question"].as_str().unwrap()))
        .collect();
    assert!(ranked.len() > 2, "{ranked:?}");
    let score = run(&["score"]);
    let list = flat(score.split("\n  open ").nth(1).expect("what is open"));
    let mut from = 0;
    for (place, question) in ranked.iter().take(3).enumerate() {
        let head = format!("{}. {question}", place + 1);
        let at = list[from..].find(&head).unwrap_or_else(|| panic!("{name}: {head} is not next in: {list}"));
        from += at;
    }
    // The text of `unknowns` itself tells them in the same order.
    let told = flat(&run(&["unknowns"]));
    let at: Vec<Option<usize>> =
        ranked.iter().take(3).enumerate().map(|(i, q)| told.find(&format!("{}. {q}", i + 1))).collect();
    assert!(at.iter().all(Option::is_some) && at.is_sorted(), "{name}: {at:?}");
}

/// Where every question that is open is needed, nothing is said of a set that settles it.
#[test]
fn that_all_questions_settle_it_goes_without_saying() {
    let folder = tempfile::tempdir().unwrap();
    let (file, own) = (folder.path().join("box.yaml"), folder.path().join("one.yaml"));
    std::fs::write(&own, method(SKILL.0, SKILL.1)).unwrap();
    let said = |text: &str| {
        std::fs::write(&file, text).unwrap();
        unfasten(&["unknowns", file.to_str().unwrap(), "--method", own.to_str().unwrap()]).out
    };
    let one = said(&record("place: use, skill: unknown", "hands", "clip"));
    assert!(one.contains("1. ") && !one.contains("settled by") && one.contains("hangs on this one question"), "{one}");
}

const TWO: &str = "unfasten: 1
device: {name: Box, maker: Ostrel, category: other, price: 100 EUR}
teardown: {place: use, skill: layman, date: 2026-05-01}
roles: {cell: {weight: 2}, motor: {weight: 1}}
parts: {cell: {role: cell, paired: no}, motor: {role: motor, paired: no}}
actions:
  - {free: lid, with: hands, loosen: clip, after: []}
  - {free: cell, with: hands, loosen: clip, after: lid}
  - {free: motor, with: hands, loosen: clip, after: lid}
";

/// Where an answer leads, as the open list has it, is what `score` shows once the answer stands in the record.
#[test]
fn an_answer_leads_where_the_record_with_it_stands() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("box.yaml");
    let score = |paired: &str| {
        std::fs::write(&file, TWO.replacen("paired: no", &format!("paired: {paired}"), 1)).unwrap();
        flat(&unfasten(&["score", file.to_str().unwrap(), "--method", "en-45554"]).out)
    };
    let verdict = |text: &str| text.split("bench verdict ").nth(1).unwrap().split(" of 10").next().unwrap().to_owned();
    let (yes, no) = (verdict(&score("yes")), verdict(&score("no")));
    assert_ne!(yes, no);
    let open = score("unknown");
    assert!(open.contains(&format!("must be paired: yes {yes}, no {no}")), "{yes}, {no}: {open}");
}

/// Several things that must be off first may be answered apart by commas, as everywhere else.
#[test]
fn what_must_be_off_is_answered_with_plain_commas() {
    let folder = tempfile::tempdir().unwrap();
    let (file, answers) = (folder.path().join("box.yaml"), folder.path().join("answers.csv"));
    let open = "{free: motor, with: hands, loosen: clip, after: unknown}";
    std::fs::write(&file, TWO.replace("{free: motor, with: hands, loosen: clip, after: lid}", open)).unwrap();
    std::fs::write(&answers, "path,answer\nactions[2].after,\"lid, cell\"\n").unwrap();
    let ran = unfasten(&["answer", file.to_str().unwrap(), "--from", answers.to_str().unwrap()]);
    assert_eq!(ran.exit, unfasten_cli::Exit::Done, "{}", ran.err);
    let written = std::fs::read_to_string(&file).unwrap();
    assert!(written.contains(&open.replace("unknown", "[lid, cell]")), "{written}");
}
