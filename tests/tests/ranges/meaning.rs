//! What a record means: whatever an honest answer says lies in the range that was given without it, and one fact has one
//! value however it is spelt. The oracle is the program's own plain evaluation of the answered record, which other checks
//! hold against laws and standards; the values named here follow from the rules in samples/README.md by hand.

use crate::questions_world;

use outside::method_of;
use rstest::rstest;
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::{Assessment, Case, Effort, Graded};
use scoring::record::{self, Record};
use scoring::text::{Severity, Source, Sources};
use scoring::vocab::Promise;

fn read(text: &str) -> Record {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("test.yaml", text));
    let read = record::read(&sources, file);
    let errors: Vec<_> = read.diagnostics.iter().filter(|d| d.severity == Severity::Error).collect();
    read.record.unwrap_or_else(|| panic!("{errors:?}\n{text}"))
}

fn range(text: &str, method: &Method) -> (Exact, Exact) {
    let found = Assessment::new(&read(text), method, Effort::default()).range();
    (found.low.expect("a low end"), found.high.expect("a high end"))
}

/// The criterion of a part whose id begins so.
fn leaf(found: &Assessment, id: &str) -> Graded {
    let all = found.root.walk();
    let is = |n: &&&Graded| n.id.starts_with(id) && n.children.is_empty();
    (*all.iter().find(is).unwrap_or_else(|| panic!("{:?}", all.iter().map(|n| &n.id).collect::<Vec<_>>()))).clone()
}

/// Asserts that the answered record stays in the range of the open one.
fn encloses(open: &str, answered: &str, method: &Method) {
    let (low, high) = range(open, method);
    let (a, b) = range(answered, method);
    assert!(
        low <= a && b <= high,
        "{} to {} leaves {} to {} ({})\n{answered}",
        a.plain(),
        b.plain(),
        low.plain(),
        high.plain(),
        method.id.value
    );
}

const BOX: &str = "unfasten: 1
device: {name: Box, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
roles: {cell: {weight: 1}}
tools: {odd key: {class: proprietary}}
parts: {cell: {role: cell, paired: no}}
actions:
  - {free: lid, with: PH0, loosen: 2 x screw PH0, after: []}
";

fn boxed(action: &str) -> String {
    format!("{BOX}  - {{free: cell, {action}, after: lid}}\n")
}

/// Any number of operations with any tools; one unknown is one.
#[rstest]
#[case::by_hand("with: hands")]
#[case::one("with: PH1")]
#[case::three("with: [PH1, spudger, tweezers]")]
#[case::heat("with: [heat gun 100 °C 2 min, opening pick]")]
#[case::solvent("with: [isopropyl alcohol, spudger]")]
#[case::nobody_sells("with: [odd key, PH0, odd key, PH0]")]
#[case::at_once("with: spudger + tweezers")]
#[case::ten("with: [PH1, PH0, PH1, PH0, PH1, PH0, PH1, PH0, PH1, PH0]")]
fn unknown_tools_are_any_number_of_any(#[case] with: &str) {
    for id in ["en-45554", "eu-2023-1542-11"] {
        let method = load_shipped(id).unwrap();
        let answered = boxed(&format!("{with}, loosen: connector"));
        for open in
            ["with: unknown, loosen: connector", "loosen: connector", "with: [unknown, unknown], loosen: connector"]
        {
            encloses(&boxed(open), &answered, &method);
        }
    }
}

/// The fault seen: unknown tools promised 10 where an honest answer gives 8.
#[test]
fn unknown_tools_promise_nothing() {
    let method = load_shipped("en-45554").unwrap();
    let depth = |with: &str| {
        let record = read(&boxed(&format!("{with}, loosen: connector")));
        let found = Assessment::new(&record, &method, Effort::default());
        let leaf = leaf(&found, "depth/");
        let shown = leaf.ends.each_ref().map(|e| e.said.clone());
        (leaf.low.unwrap(), leaf.high.unwrap(), shown)
    };
    let (low, high, said) = depth("with: unknown");
    let (one_low, one_high, _) = depth("with: one unknown");
    let (hands, ..) = depth("with: hands");
    assert_eq!(high, hands);
    assert!(low < one_low && one_high <= high);
    // Never a million: two removals are known.
    assert_eq!(said[0], "at least 2 steps");
}

#[rstest]
#[case("loosen: nothing")]
#[case("loosen: 2 x clip")]
#[case("loosen: {fastener: film adhesive, kind: resupplied, count: 3}")]
#[case("loosen: [weld, 12 x liquid adhesive]")]
#[case("loosen: 200 x film adhesive")]
fn unknown_fasteners_are_any_number_of_any(#[case] loosen: &str) {
    let method = load_shipped("en-45554").unwrap();
    encloses(&boxed("with: hands, loosen: unknown"), &boxed(&format!("with: hands, {loosen}")), &method);
    let listed = loosen.replace("loosen: ", "").trim_matches(['[', ']']).to_owned();
    if listed != "nothing" {
        let (open, answered) =
            (boxed("with: hands, loosen: [clip, unknown]"), format!("with: hands, loosen: [clip, {listed}]"));
        encloses(&open, &boxed(&answered), &method);
    }
}

/// One fact, spelt in several ways.
#[rstest]
#[case(
    "loosen: {fastener: film adhesive, count: 3, kind: removable}",
    "loosen: [{fastener: film adhesive, kind: removable}, {fastener: film adhesive, kind: removable}, {fastener: film adhesive, kind: removable}]"
)]
#[case("loosen: 2 x film adhesive", "loosen: [film adhesive, film adhesive]")]
#[case("loosen: 4 x screw T5 6 mm, with: T5", "loosen: [3 x screw T5 6 mm, screw T5 8 mm], with: T5")]
fn spelling_changes_nothing(#[case] one: &str, #[case] other: &str) {
    let method = load_shipped("en-45554").unwrap();
    let with = |text: &str| if text.contains("with") { boxed(text) } else { boxed(&format!("with: hands, {text}")) };
    assert_eq!(range(&with(one), &method), range(&with(other), &method));
}

#[rstest]
#[case("with: hands, loosen: unknown x film adhesive", "with: hands, loosen: 7 x film adhesive")]
#[case("with: hands, loosen: 2..5 x film adhesive", "with: hands, loosen: 4 x film adhesive")]
#[case("with: hands, loosen: at least 2 x film adhesive", "with: hands, loosen: 40 x film adhesive")]
#[case("with: hands, loosen: perhaps 2 x film adhesive", "with: hands, loosen: 2 x film adhesive")]
#[case("with: hands, loosen: perhaps 2 x film adhesive", "with: hands, loosen: nothing")]
#[case("with: hands, loosen: [clip, perhaps weld]", "with: hands, loosen: [clip, weld]")]
#[case("with: hands, loosen: one unknown", "with: hands, loosen: potting")]
fn open_counts_take_in_their_answers(#[case] open: &str, #[case] answered: &str) {
    encloses(&boxed(open), &boxed(answered), &load_shipped("en-45554").unwrap());
}

/// What comes off in the same lift is not in the way.
#[test]
fn lifted_with_the_target_is_not_in_the_way() {
    let method = load_shipped("en-45554").unwrap();
    let said = |free: &str| {
        let text = format!(
            "unfasten: 1
device: {{name: L, maker: Ostrel, category: other}}
teardown: {{place: use, skill: layman}}
roles: {{motor: {{weight: 1}}}}
parts: {{m: {{role: motor, paired: no}}, bracket: {{}}}}
actions:
{free}"
        );
        let found = Assessment::new(&read(&text), &method, Effort::default());
        leaf(&found, "parts-in-the-way/").ends[0].said.clone()
    };
    assert_eq!(said("  - {free: [m, bracket], with: PH0, loosen: 2 x screw PH0, after: []}"), "0 parts");
    assert_eq!(
        said(
            "  - {free: bracket, with: PH0, loosen: 2 x screw PH0, after: []}\n  - {free: m, with: hands, after: bracket}"
        ),
        "1 part"
    );
}

/// A not attempted action stands above like any other, so that to answer "done" moves nothing that isn't asked.
#[rstest]
#[case("")]
#[case("order: as logged\n")]
fn above_is_what_has_not_failed(#[case] order: &str) {
    let method = load_shipped("en-45554").unwrap();
    let text = |outcome: &str| {
        format!(
            "{order}{BOX}  - {{free: shield, with: hands, loosen: clip, after: [], outcome: {outcome}}}\n  - {{free: cell, with: PH0, loosen: screw PH0}}\n"
        )
    };
    encloses(&text("not attempted"), &text("done"), &method);
    encloses(&text("not attempted"), &text("failed"), &method);
}

/// What nobody did may need any other action, also one lower in the list.
#[rstest]
#[case("basis: told")]
#[case("basis: planned")]
#[case("outcome: not attempted")]
fn what_nobody_did_may_need_any_other(#[case] how: &str) {
    let method = load_shipped("en-45554").unwrap();
    let text = |after: &str| {
        format!(
            "{BOX}  - {{free: cell, with: hands, loosen: connector, {how}{after}}}\n  - {{free: fan, with: T5, loosen: 3 x screw T5, after: lid}}\n"
        )
    };
    for after in [", after: []", ", after: lid", ", after: fan", ", after: [lid, fan]"] {
        encloses(&text(""), &text(after), &method);
    }
    // What was done in this order can't have needed what came later.
    let seen = |after: &str| text(after).replace(how, "basis: seen");
    let depth = |text: &str| leaf(&Assessment::new(&read(text), &method, Effort::default()), "depth/").low.unwrap();
    assert!(depth(&seen("")) > depth(&text("")), "{how}");
}

#[test]
fn perhaps_in_after_takes_in_both() {
    let method = load_shipped("en-45554").unwrap();
    let text = |after: &str| {
        format!(
            "{BOX}  - {{free: fan, with: T5, loosen: 3 x screw T5, after: lid}}\n  - {{free: cell, with: hands, loosen: connector, after: {after}}}\n"
        )
    };
    for (open, answers) in [
        ("[lid, perhaps fan]", ["lid", "[lid, fan]"]),
        ("{any: [fan, [lid, perhaps fan]]}", ["{any: [fan, lid]}", "{any: [fan, [lid, fan]]}"]),
    ] {
        let (low, high) = range(&text(open), &method);
        let ends = answers.map(|a| range(&text(a), &method));
        let (lows, highs) = (ends.iter().map(|e| &e.0), ends.iter().map(|e| &e.1));
        assert_eq!((Some(&low), Some(&high)), (lows.min(), highs.max()));
    }
}

const PRICED: &str = "unfasten method: 1
id: price-mix
title: Price mix
source: own
certainty: own
scope: {categories: [other], rule: r}
scale: {from: 0, to: 10, decimals: 2, rule: r}
parts:
  - {for: [other], own roles: yes, rule: r}
criteria:
  id: total
  combine: mean
  rule: r
  of:
    - {id: a, weight: 1, each: priority, measure: spare part price share, rule: r, bands: {up to 40: 10, up to 60: 6, more: 4}}
";

fn priced() -> Method {
    let (method, said) = method_of(PRICED);
    method.unwrap_or_else(|| panic!("{said:?}"))
}

fn shop(device: &str, cell: &str, lamp: &str) -> String {
    format!(
        "unfasten: 1
device: {{name: Box, maker: Ostrel, category: other{device}}}
teardown: {{place: use, skill: layman}}
roles: {{cell: {{weight: 1}}, lamp: {{weight: 1}}}}
parts: {{cell: {{role: cell, paired: no}}, lamp: {{role: lamp, paired: no}}}}
actions:
  - {{free: cell, with: hands, loosen: clip, after: []}}
  - {{free: lamp, with: hands, loosen: clip, after: []}}
support: {{spare parts: {{cell: {{to: public, price: {cell}}}, lamp: {{to: public, price: {lamp}}}}}}}
"
    )
}

/// By hand: 30 of 100 EUR gives 10; 60 gives 6, more than 60 gives 4.
#[rstest]
#[case(", price: 100 EUR", "at least 60 EUR", "7", "8")]
#[case(", price: 100 EUR", "60..500 EUR", "7", "8")]
#[case(", price: 100 EUR", "at most 60 EUR", "8", "10")]
#[case(", price: 100 EUR", "40 EUR | 70 EUR", "7", "10")]
#[case(", price: 100 EUR", "unknown", "7", "10")]
#[case(", price: at most 100 EUR", "at least 61 EUR", "4", "7")]
fn an_open_price_is_bounded_on_the_stated_side(
    #[case] device: &str,
    #[case] cell: &str,
    #[case] low: &str,
    #[case] high: &str,
) {
    let (a, b) = range(&shop(device, cell, "30 EUR"), &priced());
    assert_eq!((a.plain().as_str(), b.plain().as_str()), (low, high));
}

/// Two parts of one price hang on the price of the device alike: both at 40 % or both above, never one of each.
#[test]
fn an_open_price_of_the_device_is_one_unknown() {
    let method = priced();
    let open = shop("", "30 EUR", "60 EUR");
    let case = Case::new(&read(&open), &method);
    assert_eq!(case.unknowns.iter().map(|u| u.path.as_str()).collect::<Vec<_>>(), ["device.price"]);
    for price in ["10", "50", "75", "80", "100", "149", "150", "151", "9000"] {
        encloses(&open, &shop(&format!(", price: {price} EUR"), "30 EUR", "60 EUR"), &method);
    }
    // Some price gives each answer's points, worked out on the answer's own record.
    let found: std::collections::BTreeSet<String> = ["1", "50", "75", "99", "100", "149", "150"]
        .iter()
        .map(|p| range(&shop(&format!(", price: {p} EUR"), "30 EUR", "60 EUR"), &method).0.plain())
        .collect();
    let plan_values: std::collections::BTreeSet<String> = case.unknowns[0]
        .answers
        .iter()
        .enumerate()
        .map(|(a, _)| questions_world::plainly(&case, &method, &[a]).unwrap().plain())
        .collect();
    assert_eq!(plan_values, found);
}

/// `every part` speaks, fact by fact, for what a named part leaves out: an answer about one fact leaves the others.
#[test]
fn every_part_speaks_fact_by_fact() {
    let text = |named: &str| {
        format!(
            "unfasten: 1
device: {{name: E, maker: Ostrel, category: other, price: 100 EUR}}
teardown: {{place: use, skill: layman}}
roles: {{cell: {{weight: 1}}, motor: {{weight: 1}}}}
parts: {{cell: {{role: cell, paired: no}}, m: {{role: motor, paired: no}}}}
actions:
  - {{free: cell, with: PH0, loosen: 2 x screw PH0, after: []}}
  - {{free: m, with: PH0, loosen: 2 x screw PH0, after: []}}
support:
  spare parts:
{named}    every part: {{to: authorised repairers, years: 10, price: 20 EUR, interface: standard part}}
  information: {{to: public, scope: comprehensive}}
  diagnosis: public codes
  return options: comprehensive
"
        )
    };
    let method = load_shipped("en-45554").unwrap();
    let (low, high) = range(&text(""), &method);
    let (a, b) = range(&text("    cell: {to: public}\n"), &method);
    // Who can have it was settled worse before, so both ends rise, and by the same.
    assert!(low <= a && high <= b, "{} to {} became {} to {}", low.plain(), high.plain(), a.plain(), b.plain());
    assert_eq!(&high - &low, &b - &a);
    // Nobody sells it: what is said of every part doesn't speak for it.
    let spare = |named: &str| {
        let record = read(&text(named));
        let found = record.support.spare(["cell", "cell", "every part"]).unwrap().into_owned();
        (found.facts.number(Promise::Years).map(Exact::plain), found.facts.word(Promise::To))
    };
    assert_eq!(spare("    cell: none\n").0, None);
    assert_eq!(spare("    cell: unknown\n"), (None, None));
    assert_eq!(spare("    cell: {to: public}\n"), (Some("10".into()), Some(scoring::vocab::Access::Public)));
}

/// A rule for the heaviest parts says which they are; where weights tie, each counts.
#[rstest]
#[case(3, 2, Some("the heaviest part: cell"))]
#[case(2, 2, Some("the heaviest parts, which tie: cell and motor"))]
fn the_heaviest_parts_are_named(#[case] cell: u32, #[case] motor: u32, #[case] said: Option<&str>) {
    let text = format!(
        "unfasten: 1
device: {{name: T, maker: Ostrel, category: other}}
teardown: {{place: use, skill: layman}}
roles: {{cell: {{weight: {cell}}}, motor: {{weight: {motor}}}}}
parts: {{cell: {{role: cell, paired: no}}, m: {{role: motor, paired: no}}}}
actions:
  - {{free: cell, with: PH0, loosen: screw PH0, after: []}}
  - {{free: m, with: PH0, loosen: screw PH0, after: []}}
"
    );
    let of = |id: &str| Assessment::new(&read(&text), &load_shipped(id).unwrap(), Effort::default()).heaviest_said();
    assert_eq!(of("en-45554").as_deref(), said);
    assert_eq!(of("eu-2023-1542-11"), None);
}
