//! What a page says of how parts come out, held against records written for one case each: the record says it in one line, and a
//! sentence that says otherwise would be wrong whatever the score.

use rstest::rstest;
use scoring::compare::causes::{CauseOf, Causes, held};
use scoring::exact::{Exact, Rounding};
use scoring::method::{Method, load_shipped};
use scoring::range::{Assessment, Effort, fitted};
use scoring::record::{self, Record};
use scoring::text::{Source, Sources};

use crate::report_common::Case;

const HEAD: &str = "unfasten: 1
device: {name: Mini, maker: Ostrel, category: other}
teardown: {place: use, skill: layman}
roles: {battery: {weight: 2}, motor: {weight: 1}}
parts: {lid: {}, cell: {role: battery, paired: no}, drum: {role: motor, paired: no}}
actions:
  - {free: lid, with: opening pick, loosen: 8 x clip, after: []}
";

fn parts(actions: &str) -> Vec<(String, Vec<String>)> {
    let text = format!("{HEAD}{actions}");
    let view = Case::with("mini.yaml", &text, |m| m.id.value == "en-45554").view();
    let brief = view.brief.expect("has points");
    brief
        .parts
        .into_iter()
        .map(|p| (p.head, p.rows.into_iter().map(|r| format!("{}: {}", r.what, r.said)).collect()))
        .collect()
}

/// Nothing of a way that failed is told as one that works, nor is there another where nobody found one.
#[test]
fn a_part_whose_only_way_failed_has_no_work() {
    let told = parts(
        "  - {free: cell, with: prying lever, loosen: {fastener: liquid adhesive, kind: neither}, after: lid, outcome: failed, because: it bent}
  - {free: drum, with: hands, loosen: connector, after: lid}\n",
    );
    assert_eq!(told[0].0, "Battery: can't be taken out");
    assert_eq!(told[0].1, ["work: tried, and failed: it bent", "spare: nothing stated"]);
}

/// What comes off in one lift is not in the way of itself.
#[test]
fn parts_of_one_lift_lie_behind_what_is_before_the_lift() {
    let told = parts("  - {free: [cell, drum], with: hands, loosen: connector, after: lid}\n");
    for (head, rows) in &told {
        assert_eq!(rows[0], "first off: lid", "{head}");
    }
    assert!(told[0].1[1].ends_with("; comes off together with drum"), "{told:?}");
    assert!(told[1].1[1].ends_with("; comes off together with cell"), "{told:?}");
}

/// What nobody established to come first is not nothing.
#[rstest]
#[case("unknown", "first off: not established", "Drum: at least one step if it comes out at all")]
#[case("[]", "first off: nothing", "Drum: one step if it comes out at all")]
fn an_order_nobody_established_is_not_none(#[case] after: &str, #[case] first: &str, #[case] head: &str) {
    let told = parts(&format!(
        "  - {{free: cell, with: hands, loosen: connector, after: lid}}
  - {{free: drum, with: PH0, loosen: 2 x screw PH0, after: {after}, outcome: not attempted}}\n"
    ));
    assert_eq!((told[1].0.as_str(), told[1].1[0].as_str()), (head, first));
}

/// A display that must be paired holds the verdict at 7 by the default method: what costs most says what is left of each gain.
const PAIRED: &str = "unfasten: 1
device: {name: Mini, maker: Ostrel, category: smartphone, form: not folding, price: 300 EUR}
teardown: {place: use, skill: layman}
parts: {screen: {role: display assembly, paired: yes}, cell: {role: battery, paired: no}}
absent: [back cover, front camera, rear camera, charging port, button, microphone, speaker, hinge assembly, display folding mechanism]
actions:
  - {free: screen, with: [heat pad, opening pick], loosen: {fastener: film adhesive, kind: neither}, after: []}
  - {free: cell, with: hands, loosen: connector, after: screen}
";

fn read(text: &str) -> Record {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("mini.yaml", text));
    record::read(&sources, file).record.unwrap()
}

fn bench(record: &Record) -> Method {
    fitted(&load_shipped("en-45554").unwrap().bench_verdict().unwrap(), record)
}

fn low(text: &str) -> Exact {
    let record = read(text);
    Assessment::new(&record, &bench(&record), Effort::default()).root.low.unwrap()
}

/// Oracle: the record with the cause mended, written by hand, and a plain assessment of it.
#[test]
fn what_limits_leave_of_a_gain_is_what_the_mended_record_gains() {
    let record = read(PAIRED);
    let causes = Causes::new(&record, &bench(&record), Effort::default());
    let first = &causes.causes[0];
    assert_eq!(first.of, CauseOf::Action(0));
    let mended = PAIRED.replace(
        "with: [heat pad, opening pick], loosen: {fastener: film adhesive, kind: neither}",
        "with: hands, loosen: []",
    );
    let gain = &low(&mended) - &low(PAIRED);
    let kept = scoring::assess::Kept::default();
    let left = held(&record, &bench(&record), Effort::default(), &kept, &[first]);
    assert_eq!(left[0], [gain.clone(), gain.clone()]);
    assert!(gain < first.gain[0], "the limit takes something of it");
    let brief = Case::with("mini.yaml", PAIRED, |m| m.id.value == "en-45554").view().brief.unwrap();
    let said = format!("; {} while a limit holds", gain.display(1, Rounding::HalfUp));
    assert!(brief.costs[0].text.ends_with(&said), "{:?}", brief.costs[0].text);
    // Without pairing nothing holds it, and nothing is said of limits.
    let free = PAIRED.replace("paired: yes", "paired: no");
    let brief = Case::with("mini.yaml", &free, |m| m.id.value == "en-45554").view().brief.unwrap();
    assert!(brief.costs.iter().all(|c| !c.text.contains("limit")), "{:?}", brief.costs[0].text);
}

/// A part of a verdict whose range no completion is known to fill says what was reached, and that it is a bound.
#[test]
fn a_part_of_a_verdict_is_a_bound_or_reached() {
    let text = HEAD.replace("motor", "button").replace("drum", "keys")
        + "  - {free: [cell, keys], with: hands, loosen: connector, after: lid}
  - {free: cell, id: cell alone, with: spudger, loosen: {fastener: foam tape, kind: neither}, after: lid}\n";
    let view = Case::with("mini.yaml", &text, |m| m.id.value == "en-45554").view();
    let verdict = &view.assessments[0];
    let own = verdict.sub_scores.iter().find(|s| s.title == "Product-related").unwrap();
    assert!(!own.attained, "{}", own.range);
    let bench = verdict.headline.as_ref().unwrap();
    assert_eq!(bench.range, "9.5");
    assert_eq!(own.bounds, format!("reached 9.50; never outside {}", own.range));
}
