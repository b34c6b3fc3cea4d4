//! Household washing machines, Regulation (EU) 2019/2023, Annex II(8) (`read`): what must be replaceable and offered.

use rstest::rstest;
use scoring::method::{CriterionKind, Roles, load_shipped};
use scoring::range::{Assessment, Effort};
use scoring::record;
use scoring::text::{Source, Sources};

const MACHINE: &str = "
unfasten: 1
device: {name: Rinse, maker: Ostrel, category: washing machine}
teardown: {place: use, skill: expert}
parts:
  pump: {role: drain pump}
  lock: {role: door lock}
absent: [ABSENT]
actions:
  - {free: pump, with: PH2, loosen: 3 x screw PH2, after: []}
  - {free: lock, with: PH2, loosen: 2 x screw PH2, after: []}
support:
  spare parts:
    pump: {to: independent repairers, years: 10 years, delivery: 15 working days}
    lock: {to: public, years: 10 years, delivery: 15 working days}
  information: {to: independent repairers, cost: fee}
tools: {claw: {class: proprietary}, ring: {class: product-group specific}, pin: {class: supplied with part}}
";

fn verdict(text: &str, switch: Option<(&str, &str)>) -> String {
    let method = load_shipped("eu-2019-2023").unwrap();
    let CriterionKind::Each { roles: Roles::Named(roles), .. } = &method.node("replacement").unwrap().kind else {
        panic!()
    };
    let there = ["drain pump", "door lock"];
    let absent: Vec<&str> = roles.iter().map(|r| r.value.as_str()).filter(|r| !there.contains(r)).collect();
    let text = text.replace("ABSENT", &absent.join(", "));
    let method = switch.map_or(method.clone(), |(id, option)| method.with_switch(id, option).unwrap());
    let mut sources = Sources::new();
    let file = sources.add(Source::new("machine.yaml", &text));
    let found = record::read(&sources, file);
    let record = found.record.unwrap_or_else(|| panic!("{:#?}", found.diagnostics));
    let found = Assessment::new(&record, &method, Effort::default());
    let shown = |v: &Option<scoring::exact::Exact>| found.show(v.as_ref().unwrap());
    let (low, high) = (shown(&found.root.low), shown(&found.root.high));
    if low == high { low } else { "not settled".to_owned() }
}

/// No rule on price, skill or environment: an expert may be needed. A fee may be asked for information.
#[rstest]
#[case("", "", "pass")]
#[case("place: use, skill: expert", "place: production-equivalent, skill: manufacturer", "pass")]
#[case("pump, with: PH2", "pump, with: claw", "fail")]
#[case("pump, with: PH2", "pump, destroys: [pump], with: PH2", "fail")]
#[case("to: public", "to: independent repairers", "fail")]
#[case("pump: {to: independent repairers", "pump: {to: authorised repairers", "fail")]
#[case("years: 10 years", "years: 9 years", "fail")]
#[case("delivery: 15 working days", "delivery: 16 working days", "fail")]
#[case("information: {to: independent repairers", "information: {to: authorised repairers", "fail")]
#[case("information: {to: independent repairers", "information: {to: unknown", "not settled")]
fn what_the_law_asks(#[case] right: &str, #[case] wrong: &str, #[case] wanted: &str) {
    assert!(right.is_empty() || MACHINE.contains(right), "{right}");
    assert_eq!(verdict(&MACHINE.replacen(right, wrong, usize::from(!right.is_empty())), None), wanted);
}

/// Commonly available tools are not defined: each open class has its switch (`own`).
#[rstest]
#[case("pin", "supplied-tools", "yes", "pass")]
#[case("pin", "supplied-tools", "no", "fail")]
#[case("ring", "group-tools", "no", "fail")]
#[case("ring", "group-tools", "yes", "pass")]
fn commonly_available(#[case] tool: &str, #[case] switch: &str, #[case] option: &str, #[case] wanted: &str) {
    let text = MACHINE.replacen("pump, with: PH2", &format!("pump, with: {tool}"), 1);
    assert_eq!(verdict(&text, Some((switch, option))), wanted);
}
