//! Household tumble dryers: the parts of the repairability index of Delegated Regulation (EU) 2023/2534 that could be read
//! (`read` in a public mirror unless said), and the ecodesign rules of Regulation (EU) 2023/2533. Worked examples by hand
//! (`derived`).

use rstest::rstest;
use scoring::exact::{Exact, Rounding};
use scoring::method::{CriterionKind, Method, Points, load_shipped, read as read_method};
use scoring::range::{Assessment, Effort, class_of};
use scoring::record;
use scoring::text::{Source, Sources};
use scoring::vocab::{Category, Form};

/// Priority parts and mean steps MDS in tenths of a step.
const PARTS: [(&str, i64); 8] = [
    ("water pump", 161),
    ("drum bearings", 189),
    ("drive belt", 409),
    ("door", 30),
    ("motor", 494),
    ("control board", 137),
    ("fan", 77),
    ("motor capacitor", 249),
];

fn method() -> Method {
    load_shipped("eu-2023-2534").unwrap()
}

fn bands(role: &str) -> Vec<(Option<i64>, i64)> {
    let method = method();
    let id = format!("depth-{}/part", role.replace(' ', "-"));
    let CriterionKind::Leaf { points: Points::Bands(bands), .. } = &method.node(&id).unwrap().kind else {
        panic!("{role}")
    };
    let whole = |e: &Exact| e.plain().parse::<i64>().unwrap();
    bands.iter().map(|b| (b.bound.as_ref().map(whole), whole(&b.points.value))).collect()
}

fn points(role: &str, steps: i64) -> i64 {
    bands(role).into_iter().find(|(b, _)| b.is_none_or(|b| steps <= b)).unwrap().1
}

/// Up to 0.70 MDS 10 points, 0.90 7, 1.10 4, 1.30 1, more 0: every number of steps, recounted in thousandths.
#[test]
fn depth_points_follow_the_mean_steps() {
    for (role, mds) in PARTS {
        for steps in 1..80 {
            let share = [(7, 10), (9, 7), (11, 4), (13, 1)].into_iter().find(|(tenths, _)| steps * 100 <= mds * tenths);
            assert_eq!(points(role, steps), share.map_or(0, |(_, p)| p), "{role}, {steps} steps");
        }
    }
}

/// Worked by hand: 6 <= 6.93; 3 <= 3.3; 41 <= 44.99; 14 <= 14.49; 65 > 64.22.
#[rstest]
#[case("fan", 6, 7)]
#[case("door", 3, 4)]
#[case("drive belt", 41, 4)]
#[case("water pump", 14, 7)]
#[case("motor", 65, 0)]
fn worked_examples(#[case] role: &str, #[case] steps: i64, #[case] wanted: i64) {
    assert_eq!(points(role, steps), wanted);
}

/// A dryer of three parts, each a few steps away, the rest absent. Door: by hand, in 1 step of 3: 10 points. Fan: 4 screws and
/// a lift: 1 step: 10. Board: glued, freed with a knife (on general sale).
const DRYER: &str = "
unfasten: 1
device: {name: Drum One, maker: Ostrel, category: tumble dryer}
teardown: {place: use, skill: layman}
parts:
  door: {role: door, paired: no}
  fan wheel: {role: fan, paired: no}
  board: {role: control board, paired: no}
absent: [water pump, drum bearings, drive belt, motor, motor capacitor]
actions:
  - {free: door, with: hands, loosen: clip, after: []}
  - {free: fan wheel, with: PH2, loosen: 4 x screw PH2, after: []}
  - {free: board, with: knife, loosen: {fastener: film adhesive, kind: removable}, after: []}
support:
  information: {to: independent repairers, cost: free}
";

fn assess(text: &str, method: &Method) -> Assessment {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("dryer.yaml", text));
    let found = record::read(&sources, file);
    let record = found.record.unwrap_or_else(|| panic!("{:#?}", found.diagnostics));
    Assessment::new(&record, method, Effort::default())
}

fn value(found: &Assessment, id: &str) -> Option<(String, String)> {
    let node = found.find(id).unwrap_or_else(|| panic!("{id}"));
    node.low.clone().zip(node.high.clone()).map(|(l, h)| (l.plain(), h.plain()))
}

/// Fasteners: reusable 10 and removable 0; tools: none and basic 10, commercially available 0. The spread runs from the worst
/// part to the best, and no answer narrows it: nothing is open here.
#[test]
fn what_could_be_read_is_a_spread_and_there_is_no_index() {
    let found = assess(DRYER, &method());
    let both = |v: &str| Some((v.to_owned(), v.to_owned()));
    assert_eq!((value(&found, "R"), &found.classes), (None, &None));
    assert_eq!(value(&found, "S_DD least"), both("10"));
    assert_eq!(value(&found, "S_DD most"), both("10"));
    assert_eq!((value(&found, "S_F least"), value(&found, "S_F most")), (both("0"), both("10")));
    assert_eq!((value(&found, "S_T least"), value(&found, "S_T most")), (both("0"), both("10")));
    assert_eq!(value(&found, "S_RI"), both("10"));
    assert_eq!(value(&found, "S_F/part/fan"), both("10"));
    assert!(found.unknowns.is_empty(), "{:?}", found.unknowns);
    let said = found.method.no_total().unwrap();
    assert!(said.contains("could not be read") && said.contains("no total and no class"), "{said}");
    let fee = DRYER.replace("cost: free", "cost: fee");
    assert_eq!(value(&assess(&fee, &method()), "S_RI"), both("0"));
}

/// Counting starts disconnected from any supply: a plug that takes a tool and a minute counts nothing, whatever is unknown of it.
#[rstest]
#[case("with: knife, loosen: 2 x screw PH2")]
#[case("with: unknown, loosen: unknown")]
fn unplugging_is_not_counted(#[case] plug: &str) {
    let action = format!("actions:\n  - {{do: take out the plug, mains: yes, {plug}, after: []}}\n");
    let text = DRYER
        .replace("actions:\n", &action)
        .replace("after: []}\n  - {free: fan", "after: take out the plug}\n  - {free: fan");
    assert_ne!(text.matches("take out the plug").count(), 1);
    let (plugged, plain) = (assess(&text, &method()), assess(DRYER, &method()));
    for id in ["depth-door/part/door", "S_F/part/door", "S_T/part/door"] {
        assert_eq!(value(&plugged, id), value(&plain, id), "{id}");
    }
    assert!(plugged.unknowns.is_empty());
}

/// What is open moves the ends of a spread, each for itself.
#[test]
fn a_spread_is_no_range() {
    let open = DRYER.replace("kind: removable", "kind: resupplied | removable");
    let found = assess(&open, &method());
    let of = |a: &str, b: &str| Some((a.to_owned(), b.to_owned()));
    assert_eq!(value(&found, "S_F least"), of("0", "7"));
    assert_eq!(value(&found, "S_F most"), of("10", "10"));
}

/// Once the coefficients can be read they take the place of `not read`, and index and class follow. Invented coefficients, so
/// that the sum can be checked by hand: parts there weigh 0.2 (door), 0.1 (fan), 0.1 (board), those absent 0.6, so the rest is
/// divided by 0.4. `S_DD` 10; `S_F` (0.2 + 0.1) x 10 / 0.4 = 7.5; `S_T` the same; `S_RI` 10. R = 0.4 x 10 + 0.2 x 7.5 + 0.2 x 7.5
/// + 0.2 x 10 = 9, which is not above 9.00: class B.
#[test]
fn one_edit_gives_the_index() {
    let text = scoring::method::shipped().iter().find(|m| m.id == "eu-2023-2534").unwrap().text;
    let share = |role: &str| match role {
        "door" => "0.2",
        "fan" | "control board" => "0.1",
        _ => "0.12",
    };
    let mut filled = text.to_owned();
    for (role, _) in PARTS {
        filled = filled.replace(&format!("{role}: not read"), &format!("{role}: {}", share(role)));
        let head = format!("Steps to the {role}\n          weight: ");
        filled = filled.replace(&format!("{head}not read"), &format!("{head}{}", share(role)));
    }
    for (id, weight) in [("S_DD", "0.4"), ("S_F", "0.2"), ("S_T", "0.2"), ("S_RI", "0.2")] {
        let at = filled.find(&format!("id: {id}\n")).unwrap();
        let rest = filled[at..].replacen("not read", weight, 1);
        filled.replace_range(at.., &rest);
    }
    let mut sources = Sources::new();
    let file = sources.add(Source::new("filled.yaml", &filled));
    let (method, told) = read_method(&mut sources, file, &mut |_| None);
    let method = method.unwrap_or_else(|| panic!("{told:#?}"));
    assert!(told.is_empty(), "{told:#?}");
    let found = assess(DRYER, &method);
    assert!(found.method.no_total().is_none());
    assert_eq!(value(&found, "R"), Some(("9".to_owned(), "9".to_owned())));
    assert_eq!(found.classes, Some(["B".to_owned(), "B".to_owned()]));
}

/// A above 9.00, B to 7.00, C to 5.00, D to 3.00, E below, on the rounded index.
#[rstest]
#[case("10", "A")]
#[case("9.01", "A")]
#[case("9.005", "A")]
#[case("9.004", "B")]
#[case("9", "B")]
#[case("7", "B")]
#[case("6.995", "B")]
#[case("6.99", "C")]
#[case("5", "C")]
#[case("4.99", "D")]
#[case("3", "D")]
#[case("2.99", "E")]
#[case("0", "E")]
fn classes(#[case] r: &str, #[case] class: &str) {
    let method = method().for_device(Category::of("tumble dryer"), Form::NotFolding);
    assert_eq!(class_of(&method, &Exact::parse(r).unwrap()).as_deref(), Some(class));
    assert_eq!((method.scale.decimals, method.scale.rounding), (2, Rounding::HalfUp));
}

/// 10 years, 15 working days, to professional repairers, doors also to end users; no proprietary tool, no permanent damage.
#[rstest]
#[case("", "", "pass")]
#[case("to: public", "to: independent repairers", "fail")]
#[case("10 years", "9 years", "fail")]
#[case("15 working days", "16 working days", "fail")]
#[case("price published: yes", "price published: no", "fail")]
#[case("with: PH2", "with: claw", "fail")]
#[case("free: board, with: knife", "free: board, destroys: [board], with: knife", "fail")]
#[case("10 years", "unknown", "not settled")]
fn ecodesign(#[case] right: &str, #[case] wrong: &str, #[case] verdict: &str) {
    let others = "heating element, thermostat, temperature sensor, hose, drum seal, drum roller, display, door hinge, door lock, \
                  filter, plastic peripheral, water tank";
    let text = DRYER.replace("motor capacitor]", &format!("motor capacitor, {others}]"))
        + "  spare parts:\n    every part: {to: public, years: 10 years, delivery: 15 working days, price published: yes}\n\
           tools: {claw: {class: proprietary}}\n";
    assert!(right.is_empty() || text.contains(right), "{right}");
    let text = text.replacen(right, wrong, usize::from(!right.is_empty()));
    let found = assess(&text, &load_shipped("eu-2023-2533").unwrap());
    let shown = |v: &Option<Exact>| found.show(v.as_ref().unwrap());
    let (low, high) = (shown(&found.root.low), shown(&found.root.high));
    assert_eq!(if low == high { low } else { "not settled".to_owned() }, verdict);
}
