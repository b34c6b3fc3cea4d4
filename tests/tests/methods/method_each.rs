//! Criteria once for each part, and numbers taken as points, against `criteria/README.md`. Expected means are worked out by
//! hand from the weights.

use outside::method_of;
use rstest::rstest;
use scoring::method::Method;
use scoring::range::{Assessment, Effort};
use scoring::text::{Source, Sources};

const RECORD: &str = "
unfasten: 1
device: {name: Test, maker: Ostrel, category: smartphone, form: not folding}
parts:
  back: {role: back cover, paired: no}
  cell: {role: battery, paired: no}
  display: {role: display assembly, paired: yes}
actions: []
";

fn method(each: &str, points: &str) -> (Option<Method>, Vec<String>) {
    let text = format!(
        "
unfasten method: 1
id: each
title: Each
edition: 1
about: For checks.
source: own choice
certainty: own
scope: {{categories: [smartphone], rule: all}}
scale: {{from: 0, to: 10, decimals: 1, rounding: half up, rule: one decimal}}
steps: {{simultaneous tools: one, heating: tool, mains: nothing, remote authorisation: nothing, destructive scored: no, rule: usual}}
parts:
  - {{for: [smartphone], weights: {{battery: 9, display assembly: 1}}, rule: nine to one}}
criteria:
  id: total
  title: Total
  combine: mean
  rule: mean
  of:
    - {{id: coded, title: Coded, weight: 1, each: {each}, combine: mean, rule: r, {points}}}
"
    );
    method_of(&text)
}

#[rstest]
// Nine times ten and once nought.
#[case("priority", "9")]
#[case("[battery, display assembly]", "9")]
#[case("[display assembly]", "0")]
// The back cover has no weight: then all count alike.
#[case("[battery, display assembly, back cover]", "20/3")]
fn parts_count_by_weight_where_each_has_one(#[case] each: &str, #[case] total: &str) {
    let (method, problems) = method(each, "measure: paired, levels: {no: 10, yes: 0}");
    let method = method.unwrap_or_else(|| panic!("{problems:?}"));
    let mut sources = Sources::new();
    let file = sources.add(Source::new("test.yaml", RECORD));
    let record = scoring::record::read(&sources, file).record.unwrap();
    let found = Assessment::new(&record, &method, Effort::default());
    assert_eq!(found.root.low.as_ref().unwrap().plain(), total);
    assert_eq!(found.root.low, found.root.high);
}

/// A number with no upper end can't be points, whatever the scale.
#[test]
fn only_marks_are_points_as_they_are() {
    let (_, problems) = method("priority", "measure: spare part years, as is: yes");
    assert!(problems.iter().any(|p| p.starts_with("points-outside: `spare part years`")), "{problems:?}");
    let (method, problems) = method("priority", "measure: spare part years, linear: {0: 0, 10: 10}");
    assert!(method.is_some() && problems.is_empty(), "{problems:?}");
}
