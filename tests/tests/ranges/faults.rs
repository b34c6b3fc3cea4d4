//! Records on which ranges or routes were once wrong, each with what is right and why.

use rstest::rstest;
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::{Assessment, Effort, Range};
use scoring::record::{Record, read};
use scoring::text::{Source, Sources};

use crate::questions_world::read_method;

fn record(text: &str) -> Record {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("fault.yaml", text));
    let read = read(&sources, file);
    read.record.unwrap_or_else(|| panic!("{:#?}", read.diagnostics))
}

fn range(text: &str, method: &Method) -> Range {
    Assessment::new(&record(text), method, Effort::default()).range()
}

fn shipped(id: &str) -> Method {
    load_shipped(id).unwrap()
}

const METHOD: &str = "unfasten method: 1
id: fault
title: F
source: own
certainty: own
scope: {categories: [CATEGORY], rule: r}
scale: {from: 0, to: 100, decimals: 2, rule: r}
parts:
  - {for: [other], own roles: yes, rule: r}
absent: {points: left out, rule: r}
STEPS
";

fn method(category: &str, steps: &str, criteria: &str) -> Method {
    let parts = "parts:\n  - {for: [other], own roles: yes, rule: r}\n";
    let head = METHOD.replace("CATEGORY", category).replace("STEPS", steps);
    let head = if category == "other" { head } else { head.replace(parts, "") };
    read_method(&format!("{head}{criteria}"))
}

/// Alternatives are ways like any other: one without heat is enough, whichever is written first.
#[test]
fn the_order_of_alternatives_changes_nothing() {
    let tab = |with: &str| {
        format!(
            "unfasten: 1\ndevice: {{name: Tab, maker: Ostrel, category: smartphone}}\nteardown: {{place: use, skill: layman}}\n\
             parts: {{cell: {{role: battery, paired: no}}}}\nactions:\n  - {{free: lid, with: hands, loosen: clip, after: []}}\n  \
             - {{free: cell, with: {with}, loosen: {{fastener: film adhesive, kind: removable}}, after: lid}}\n"
        )
    };
    let law = shipped("eu-2023-1542-11");
    let heat = range(&tab("heat gun or suction cup"), &law);
    assert_eq!(heat, range(&tab("suction cup or heat gun"), &law));
    assert_ne!(heat, range(&tab("heat gun"), &law));
}

/// A second way to the motor, of as many steps and worse joints, takes nothing away.
#[test]
fn a_second_way_never_lowers_the_total() {
    let tie = |more: &str| {
        format!(
            "unfasten: 1\ndevice: {{name: Tie, maker: Ostrel, category: other}}\nteardown: {{place: use, skill: layman}}\n\
             roles: {{motor: {{weight: 1}}}}\nparts:\n  m: {{role: motor, paired: no}}\nactions:\n  \
             - {{id: a way, free: m, with: TR8, loosen: 2 x screw TR8, after: []}}\n{more}"
        )
    };
    let second = "  - {id: b way, free: m, with: PH0, loosen: {fastener: liquid adhesive, kind: neither}, after: []}\n";
    let default = shipped("en-45554");
    let (one, two) = (range(&tie(""), &default), range(&tie(second), &default));
    assert!(two.low >= one.low && two.high >= one.high, "{one:?} {two:?}");
    // The reading in which the shortest route is taken whatever else is met on it is exempt from the law, and says so.
    let shortest = default.with_switch("route-read", "fewest steps").expect("a switch of the method");
    assert!(range(&tie(second), &shortest).high < two.high);
}

/// One of two fans that surely failed caps what the worst of them can be.
#[test]
fn a_settled_bad_instance_caps_the_upper_end() {
    let fans = |outcome: &str| {
        format!(
            "unfasten: 1\ndevice: {{name: Alder, maker: Ostrel, category: laptop}}\nparts:\n  floor: {{role: bottom cover}}\n  \
             left fan: {{role: fan}}\n  right fan: {{role: fan}}\n  pack: {{role: battery}}\nactions:\n  \
             - {{free: floor, with: [spudger], loosen: {{fastener: clip}}, after: []}}\n  \
             - {{free: plate, with: unknown, loosen: unknown, after: floor}}\n  \
             - {{free: pack, with: unknown, loosen: unknown, after: plate}}\n  \
             - {{free: left fan, with: unknown, loosen: unknown, after: plate}}\n  \
             - {{free: right fan, with: [spudger, PH1], loosen: {{fastener: adhesive, kind: removable}}, after: [floor], outcome: {outcome}}}\n"
        )
    };
    let default = shipped("en-45554");
    let (done, failed) = (range(&fans("done"), &default), range(&fans("failed"), &default));
    assert!(failed.high <= done.high, "{done:?} {failed:?}");
}

/// Seventeen roles nobody mentioned, each there or not: a sum counts those that are there, from one role at its worst (10 for
/// years and 50 for whom it is offered to, since the maker promises both for every part) to all of them.
#[test]
fn a_sum_over_parts_that_may_be_missing_holds_every_completion() {
    let roles: Vec<String> = (0..17).map(|r| format!("r{r}: {{weight: 1}}")).collect();
    let text = format!(
        "unfasten: 1\ndevice: {{name: Box, maker: Ostrel, category: other}}\nteardown: {{place: use, skill: layman}}\n\
         roles: {{{}}}\nactions:\n  - {{free: lid, with: hands, loosen: clip, after: []}}\n\
         support: {{spare parts: {{every part: {{to: public, years: 7}}}}}}\n",
        roles.join(", ")
    );
    let sum = method(
        "other",
        "",
        "criteria:
  id: total
  combine: sum
  rule: r
  of:
    - {id: a, weight: 10, each: priority, combine: mean, measure: spare part years, rule: r, bands: {from 5: 4, less: 1}}
    - {id: b, weight: 10, each: priority, combine: mean, measure: spare part to, rule: r, levels: {public: 5, independent repairers: 3, authorised repairers: 2, manufacturer only: 1, none: 0}}
",
    );
    let found = range(&text, &sum);
    let n = |n: i64| Some(Exact::from(n));
    // Every role that is there gives 40 and 50, and a mean of those is the same.
    assert_eq!((found.low, found.high, found.exact), (n(90), n(90), true));
}

/// The cap is left out with its first: no completion has a value.
#[test]
fn a_limit_is_left_out_with_what_it_limits() {
    let text = "unfasten: 1
device: {name: L, maker: Ostrel, category: laptop}
teardown: {place: use, skill: layman}
parts: {disp: {role: display assembly, paired: no}}
absent: [battery]
actions:
  - {free: a1, with: hands, loosen: clip, after: []}
  - {free: a, with: hands, loosen: clip, after: a1}
  - {free: b, with: hands, loosen: {fastener: film adhesive, kind: neither}, after: []}
  - {free: disp, with: hands, loosen: clip, after: a | b}
";
    let capped = method(
        "laptop",
        "",
        "criteria:
  id: total
  combine: cap
  rule: r
  of:
    - {id: first, each: [battery], measure: depth, rule: r, linear: {0: 10, 10: 0}}
    - {id: limit, each: [display assembly], measure: depth, rule: r, linear: {0: 10, 10: 0}}
",
    );
    let found = range(text, &capped);
    assert_eq!((found.low, found.high), (None, None));
}

/// What is known of the way to the cell only narrows what was said without it.
#[test]
fn destructive_routes_are_held_by_the_range() {
    let text = |with: &str| {
        format!(
            "unfasten: 1\ndevice: {{name: Box, maker: Ostrel, category: other}}\nteardown: {{place: use, skill: layman}}\n\
             roles: {{cell: {{weight: 1}}}}\nparts: {{cell: {{role: cell, paired: no}}}}\nactions:\n  \
             - {{free: lid, with: [{with}], loosen: clip, after: []}}\n  - {{free: frame, with: [{with}], loosen: clip, after: lid}}\n  \
             - {{free: board, with: PH0, loosen: clip, after: frame}}\n  - {{free: shield, with: PH1, loosen: clip, after: board}}\n  \
             - {{free: cell, id: gentle, with: PH0, loosen: screw, after: shield, outcome: not attempted, because: x}}\n  \
             - {{free: cell, id: cut, with: hands, loosen: clip, after: [], destroys: lid}}\n"
        )
    };
    let scored = method(
        "other",
        "steps: {simultaneous tools: one, heating: tool, destructive scored: yes, rule: r}",
        "criteria: {id: depth, each: priority, measure: depth, rule: r, linear: {0: 10, 10: 0}}\n",
    );
    let (known, open) = (range(&text("hands"), &scored), range(&text("unknown, unknown"), &scored));
    // One step by destruction, whatever else is open: the way that gives most is read.
    assert_eq!(known.high, Some(Exact::from(9)));
    assert!(open.low <= known.low && open.high >= known.high, "{open:?} {known:?}");
}

/// Of two batteries one counts in all criteria, where the method reads it so: the one of the lowest total.
#[test]
fn one_of_several_parts_counts_as_a_whole() {
    let text = "unfasten: 1
device: {name: Box, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
roles: {cell: {weight: 1}}
parts: {left: {role: cell, paired: no}, right: {role: cell, paired: no}}
actions:
  - {free: lid, with: hands, loosen: clip, after: []}
  - {free: left, with: hands, loosen: {fastener: film adhesive, kind: neither}, after: []}
  - {free: right, with: hands, loosen: clip, after: lid}
";
    let criteria = "criteria:
  id: total
  combine: mean
  rule: r
  of:
    - {id: depth, weight: 1, each: priority, measure: depth, rule: r, bands: {up to 1: 10, more: 4}}
    - {id: kind, weight: 1, each: priority, measure: fasteners, rule: r, levels: {reusable: 10, resupplied: 10, resupplied at cost: 10, removable: 10, neither: 0}}
";
    let per_measure = method("other", "", criteria);
    let whole = method("other", "repeated: {instances: lowest as a whole, rule: r}", criteria);
    // Depths 1 and 2, kinds neither and reusable: the worst of each is 4 and 0; the left cell alone is 10 and 0, the right 4
    // and 10, so the left counts.
    let n = |n: i64| Some(Exact::from(n));
    assert_eq!(range(text, &per_measure).low, n(2));
    assert_eq!(range(text, &whole).low, n(5));
}

/// A worse alternative, whichever action has it, takes nothing from the route on which it isn't used: at the part stand the core and
/// what is done for it, so that by way of the frame a plain bar is all (9), by way of the turned cover the maker's own key (2).
#[rstest]
#[case::without("plain bar")]
#[case::before("own key or plain bar")]
#[case::after("plain bar or own key")]
fn an_alternative_that_is_not_used_takes_nothing(#[case] second: &str) {
    let method = read_method(
        "unfasten method: 1
id: one
title: One
source: own
certainty: own
scope: {categories: [other], rule: r}
scale: {from: 0, to: 10, decimals: 2, rule: r}
parts:
  - {for: [other], own roles: yes, rule: r}
criteria:
  id: only
  each: priority
  read at: part
  measure: tools
  rule: r
  levels:
    {none: 10, basic: 9, supplied with part: 8, supplied with product: 8, product-group specific: 7, commercially available: 5, proprietary: 2, not feasible: 0}
",
    );
    let text = format!(
        "unfasten: 1
device: {{name: Box, maker: Ostrel, category: other}}
teardown: {{place: use, skill: layman}}
roles: {{core: {{weight: 1}}}}
tools: {{own key: {{class: proprietary}}, plain bar: {{class: basic}}}}
parts: {{core: {{role: core, paired: no}}}}
actions:
  - {{do: cover turned, with: own key, loosen: clip, after: []}}
  - {{free: frame, with: [own key, plain bar], loosen: clip, after: []}}
  - {{free: core, with: [plain bar, {second}], loosen: clip, after: {{any: [frame, cover turned]}}}}
"
    );
    let range = Assessment::new(&record(&text), &method, Effort::default()).range();
    assert_eq!((range.low, range.high), (Some(Exact::from(9)), Some(Exact::from(9))));
}
