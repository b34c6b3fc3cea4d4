//! What a report says drags a verdict down, holds it up or leaves it open: all of it about the score that stands first,
//! nothing in two groups, a part out of reach as one item.
//!
//! The records are invented; what is expected follows from the terms of the weighted mean: of a point that one answer
//! gives and another takes, nobody can say that it is lost or kept.

use crate::report_common;

use std::collections::BTreeSet;

use report::template::Templates;
use report::view::View;
use report::view::types::{Assessed, Contribution};
use report_common::{Case, names, sample_view};

/// A fan whose motor could not be freed and whose switch is asked about, but nowhere in the record. No support facts.
const FAN: &str = "\
unfasten: 1
device: {name: Breeze, maker: Ostrel, category: other, price: 49 EUR}
teardown: {date: 2026-05-02, place: use, skill: layman}
roles:
  motor: {weight: 2}
  switch: {weight: 1}
parts:
  motor: {role: motor, paired: no}
actions:
  - free: grille
    with: hands
    loosen: 4 x clip
    after: []
  - free: motor
    with: PH1
    loosen: 2 x screw PH1
    after: grille
    outcome: failed
    because: shaft seized in its bush
";

fn view(text: &str) -> View {
    Case::new("fan.yaml", text).view()
}

fn by<'v>(view: &'v View, method: &str) -> &'v Assessed {
    view.assessments.iter().find(|a| a.method == method).unwrap()
}

fn anchors(effects: &[Contribution]) -> impl Iterator<Item = &str> {
    effects.iter().flat_map(|e| {
        let cells: Vec<&str> = e.cells.iter().map(|c| c.anchor.as_str()).collect();
        if cells.is_empty() { vec![e.anchor.as_str()] } else { cells }
    })
}

#[test]
fn nothing_stands_in_two_groups() {
    let fan = Case::new("fan.yaml", FAN).view();
    for (name, view) in names().map(|n| (n, sample_view(n))).chain([("fan.yaml", &fan)]) {
        for a in &view.assessments {
            let mut seen = BTreeSet::new();
            for anchor in [&a.drags, &a.holds, &a.open].into_iter().flat_map(|g| anchors(g)) {
                assert!(seen.insert(anchor), "{name}, {}: {anchor} twice", a.method);
            }
            // What drags costs something whatever the answers.
            for e in a.drags.iter().filter(|e| !a.out_of.is_empty() && e.points.contains(" to ")) {
                assert!(!e.points.starts_with("0.00 "), "{name}, {}: {} {}", a.method, e.points, e.what);
            }
        }
    }
}

/// The bench verdict stands first, as an assessment of its own: its bar leads the page and no promise is among what costs it
/// most unless named as the full verdict's. What the section lists is about the full verdict.
#[test]
fn the_bench_verdict_stands_first() {
    let view = view(FAN);
    let a = by(&view, "en-45554");
    let headline = a.headline.as_ref().unwrap();
    let brief = view.brief.as_ref().unwrap();
    for cost in &brief.costs {
        let promise = ["repair information", "faults", "takes back", "sold"].iter().any(|w| cost.text.contains(w));
        assert!(!promise || cost.text.contains("full verdict"), "{}", cost.text);
    }
    assert!(headline.unknowns < a.unknowns.len());
    // The summary leads with the bench verdict and names the full one beside it.
    assert_eq!((&brief.range, &brief.out_of), (&headline.range, &headline.out_of));
    assert!(brief.full.contains(&a.range), "{}", brief.full);
    let pictures = report::markdown::pictures(&view);
    let range = pictures.iter().find(|(n, _)| *n == format!("{}-{}-range.svg", view.pictures, a.key)).unwrap();
    assert!(range.1.contains("bench verdict"), "{}", range.1);
}

#[test]
fn a_part_out_of_reach_is_one_item() {
    let view = view(FAN);
    let a = by(&view, "en-45554");
    let named: Vec<&Contribution> = a.drags.iter().filter(|e| e.what.contains("motor")).collect();
    let [motor] = named.as_slice() else { panic!("{:#?}", a.drags) };
    assert!(motor.what.contains("can't be taken out") && motor.said.ends_with("points in all"), "{motor:?}");
    assert!(motor.cells.len() > 4);
    let page = report::html::report(&view, &Templates::shipped()).unwrap();
    for cell in &motor.cells {
        assert!(page.contains(&cell.anchor), "{}", cell.anchor);
    }
    // Nobody knows whether there is a switch; it stands once, and open.
    let named: Vec<&Contribution> =
        [&a.drags, &a.holds, &a.open].into_iter().flatten().filter(|e| e.what.contains("switch")).collect();
    assert!(named.len() == 1 && a.open.iter().any(|e| e.what == named[0].what), "{named:#?}");
}

/// A part the record doesn't mention has no way in it, so none is drawn or claimed.
#[test]
fn no_route_to_what_is_not_in_the_record() {
    let view = view(FAN);
    assert!(view.routes.iter().all(|r| r.target == "motor" && r.chart.is_empty()), "{:#?}", view.routes);
    for a in &view.assessments {
        assert!(!a.certificate.contains("proved"), "{}: {}", a.method, a.certificate);
    }
    let battery = by(&view, "eu-2023-1542-11");
    assert!(battery.reason.contains("mentions none of the parts it asks about (battery)"), "{}", battery.reason);
}

/// Where the bench shows nothing the method weighs, the report says so instead of heading with it.
#[test]
fn what_is_left_out_is_no_headline() {
    let text = FAN
        .replace("roles:\n  motor: {weight: 2}\n  switch: {weight: 1}\n", "")
        .replace("{role: motor, paired: no}", "{paired: no}");
    let view = view(&text);
    let a = by(&view, "en-45554");
    assert!(a.headline.is_none());
    let bench = a.sub_scores.iter().find(|s| s.title == "Product-related").unwrap();
    assert!(bench.out_of.is_empty() && bench.left_out.contains("names no part"), "{bench:?}");
    let absent = text.replace("actions:", "absent: [battery]\nactions:");
    let view = self::view(&absent);
    let a = by(&view, "eu-2023-1542-11");
    assert_eq!(a.range, "does not apply");
    assert!(a.reason.contains("the device has none of the parts it asks about: battery"), "{}", a.reason);
}

/// What a failed attempt failed on is told with the part, in both forms; a method's unfinished sentence is ended, and an
/// own choice is said once.
#[test]
fn words_are_whole() {
    let view = view(FAN);
    let templates = Templates::shipped();
    for text in [report::html::report(&view, &templates).unwrap(), report::markdown::report(&view, &templates).unwrap()]
    {
        assert!(text.contains("tried, and failed: shaft seized in its bush"));
        assert!(!text.contains("Certainty: own choice") && !text.contains("own choice; own choice"));
    }
    assert_eq!(scoring::method::sentence("Whatever comes first"), "Whatever comes first.");
    assert_eq!(scoring::method::sentence("Whatever (comes first.)"), "Whatever (comes first.)");
    let shipped = scoring::method::load_shipped("en-45554").unwrap();
    let mut method = shipped;
    method.scope.rule.text = "Any device".to_owned();
    let aloud = scoring::method::aloud(&method);
    let scope = aloud.iter().find(|p| p.id == "scope").unwrap();
    assert!(scope.text.ends_with("other. Any device."), "{}", scope.text);
}

/// A name that would fill a page stands in a box that scrolls, whole and escaped once.
#[test]
fn long_names_are_boxed_whole() {
    let name = format!("<b>{}</b>", "grille ".repeat(120).trim_end());
    let text = FAN.replace("grille", &format!("{name:?}"));
    let page = report::html::report(&view(&text), &Templates::shipped()).unwrap();
    assert!(page.contains("tabindex=\"0\" role=\"group\"") && page.contains("&lt;b&gt;grille grille"));
    assert!(!page.contains("<b>grille grille") && !page.contains("&amp;lt;"));
}

/// A mill whose drive comes out at once or behind all else: nobody said. Counted by hand (one tool a part, each another than the one
/// before, and nothing shared): the drive and the motor are two steps, with foot, plate, pack and board before them six.
const MILL: &str = "\
unfasten: 1
device: {name: Mill, maker: Ostrel, category: other}
teardown: {place: workshop, skill: generalist}
roles: {battery pack: {weight: 2}, motor: {weight: 2}}
parts:
  pack: {role: battery pack, paired: no, hazard: lithium cell}
  motor: {role: motor, paired: no}
actions:
  - {free: foot, with: spudger, loosen: film adhesive, after: []}
  - {free: plate, with: T10, loosen: 4 x screw T10, after: foot}
  - {free: pack, with: side cutters, loosen: zip tie, after: plate}
  - {free: board, with: PH0, loosen: 3 x screw PH0, after: plate}
  - {free: drive, with: T10, loosen: 4 x screw T10, after: unknown}
  - {free: motor, with: PH0, loosen: 2 x screw PH0, after: drive}
";

/// Steps that differ at the two ends are told as such, here and in the lines of what costs most; where the order is known, as they are.
#[test]
fn steps_that_differ_at_both_ends_are_told_as_such() {
    let said = |after: &str| {
        let brief = view(&MILL.replace("after: unknown", &format!("after: {after}"))).brief.unwrap();
        let costs: Vec<String> = brief.costs.iter().map(|c| c.text.clone()).collect();
        (brief.sentence.clone(), costs.join("; "))
    };
    for (after, steps) in [
        ("[]", "two steps"),
        ("[foot, plate, pack, board]", "six steps"),
        ("unknown", "two steps at the high end and six at the low"),
    ] {
        let (sentence, costs) = said(after);
        assert!(sentence.contains(&format!("the motor takes {steps}")), "{sentence}");
        let other = costs.contains("the motor takes") && !costs.contains(&format!("the motor takes {steps}"));
        assert!(!other, "{costs}");
    }
    // The pack is the battery: the method that asks for one finds it, and its caution is told.
    let view = view(MILL);
    let battery = view.assessments.iter().find(|a| a.key.contains("1542")).unwrap();
    assert!(!battery.range.contains("not settled"), "{}", battery.range);
    assert!(view.cautions.iter().any(|c| c.hazard.contains("lithium")));
}

/// What came first in the log and was done has nothing before it, asked or not; of what came later, and of what nobody did, nobody
/// knows.
#[test]
fn what_came_first_waits_for_nothing() {
    let with = |foot: &str| view(&MILL.replace("loosen: film adhesive, after: []", foot));
    let after = |view: &View, id: &str| view.log.iter().find(|l| l.id == id).unwrap().after.clone();
    let done = with("loosen: film adhesive, after: unknown");
    assert!(!after(&done, "foot").contains("not established"), "{}", after(&done, "foot"));
    assert_eq!(after(&done, "drive"), "not established");
    for foot in ["outcome: not attempted", "basis: told"] {
        let idle = with(&format!("loosen: film adhesive, after: unknown, {foot}"));
        assert_eq!(after(&idle, "foot"), "not established", "{foot}");
    }
}

/// Remarks nobody confirmed make a page a draft, and it says so first.
#[test]
fn drafted_remarks_make_a_draft() {
    let drafted = view(&(MILL.to_owned() + "remarks:\n  - {for: light, basis: drafted}\n"));
    assert!(drafted.status.starts_with("Draft: remarks"), "{}", drafted.status);
    let plain = view(&(MILL.to_owned() + "remarks:\n  - {for: light}\n"));
    assert!(!plain.status.contains("Draft"), "{}", plain.status);
}
