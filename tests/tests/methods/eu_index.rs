//! The EU repairability index, Delegated Regulation (EU) 2023/1669, Annex IV point 5: worked checks.
//!
//! The annex's own wording was not available: weights, bands and points are those of texts that restate it or from
//! memory, as each check says. Nothing here raises a certainty.

use std::collections::BTreeMap;

use rstest::rstest;
use scoring::assess::evaluate::fold;
use scoring::assess::points::points;
use scoring::assess::{Plan, PlanKind, Value};
use scoring::exact::Exact;
use scoring::method::{Measure, Method, load_shipped};
use scoring::range::{class_of, show};
use scoring::record::Term;
use scoring::record::complete::*;
use scoring::vocab::{Category, Form, Place, Promise, Skill};

/// Parts in the order of the table of the index, not folding (secondary: analyst article).
const PARTS: [&str; 9] = [
    "battery",
    "display assembly",
    "back cover",
    "front camera",
    "rear camera",
    "charging port",
    "button",
    "microphone",
    "speaker",
];

fn exact(text: &str) -> Exact {
    Exact::parse(text).expect("a number")
}

/// A device that has every priority part; what is measured doesn't matter, points are given.
fn device() -> Complete {
    let fills = PARTS.iter().enumerate().map(|(i, role)| Fill {
        role: (*role).to_owned(),
        part: None,
        thing: u32::try_from(i).expect("small"),
        present: true,
        several_roles: false,
        paired: false,
        spare: Promised::unread(true)
            .with(Promise::To, Term::Word(0))
            .with(Promise::Years, Term::Number(exact("7")))
            .with(Promise::Delivery, Term::Number(exact("5")))
            .with(Promise::Price, Term::Number(exact("10")))
            .with(Promise::PricePublished, Term::Word(0)),
    });
    Complete {
        category: Category::of("smartphone"),
        form: Form::NotFolding,
        tools: vec![],
        things: std::sync::Arc::new(PARTS.iter().map(|p| (*p).to_owned()).collect()),
        actions: vec![CompleteAction {
            written: None,
            exists: true,
            frees: (0..9).collect(),
            does: None,
            operations: vec![vec![vec![]]],
            fasteners: vec![],
            after: vec![],
            destroys: vec![],
            aside: Vec::new(),
            cleans: false,
            mains: false,
            place: Place::Use,
            skill: Skill::Layman,
        }]
        .into(),
        official: Vec::new(),
        fills: fills.collect(),
        support: CompleteSupport {
            facts: Promised::unread(false)
                .with(Promise::InformationTo, Term::Word(0))
                .with(Promise::InformationCost, Term::Word(0))
                .with(Promise::Updates, Term::Number(exact("7")))
                .with(Promise::SecurityUpdates, Term::Number(exact("7"))),
            marks: BTreeMap::new(),
        },
    }
}

fn method() -> Method {
    load_shipped("eu-2023-1669").expect("shipped").for_device(Category::of("smartphone"), Form::NotFolding)
}

/// Index from the points of each parameter; a list gives points part by part, a single number for all parts alike.
fn index(given: &[(&str, &[&str])]) -> Exact {
    let method = method();
    let device = device();
    let plan = Plan::new(&method, &device, &[]);
    let value = |leaf: usize| -> Option<Exact> {
        let node = &plan.nodes[leaf];
        let parameter = node.id.split('/').next().unwrap_or_default();
        let (_, list) = given.iter().find(|(p, _)| *p == parameter).expect("every parameter is given");
        let place = node
            .slot
            .filter(|_| list.len() > 1)
            .map_or(0, |s| PARTS.iter().position(|p| *p == plan.slots[s].role).expect("a priority part"));
        Some(exact(list[place]))
    };
    fold(&plan, &value)[0].clone().expect("a total")
}

fn depth_points(steps: u32) -> String {
    let method = method();
    let device = device();
    let plan = Plan::new(&method, &device, &[]);
    let table = plan
        .nodes
        .iter()
        .find_map(|n| match n.kind {
            PlanKind::Leaf(Measure::Depth, _, points) => Some(points),
            _ => None,
        })
        .expect("depth is measured");
    let value = Value::Number(Exact::from(i64::from(steps)));
    points(table, Measure::Depth.scale(), &[], &value).points.plain()
}

/// Check 1 (read + derived): a public register entry. `S_DD` 4.05, `S_F` 5.0, `S_T` 4.0, five years of
/// updates (1), spares for all priority parts (5), information free of charge (5): R = 4.0125, published as 4.01, class A.
/// It does not test the weights (a plain mean also gives 4.01) or the rounding.
#[test]
fn a_public_register_entry() {
    let r = index(&[
        ("S_DD", &["4.05"]),
        ("S_F", &["5"]),
        ("S_T", &["4"]),
        ("S_SP", &["5"]),
        ("S_SU", &["1"]),
        ("S_RI", &["5"]),
    ]);
    assert_eq!(r, exact("4.0125"));
    assert_eq!(show(&method(), &r), "4.01");
    assert_eq!(class_of(&method(), &r).as_deref(), Some("A"));
}

/// Check 2 (derived): arithmetic by hand on part points.
#[test]
fn constructed_part_points() {
    let r = index(&[
        ("S_DD", &["4", "3", "4", "2", "2", "3", "2", "3", "3"]),
        ("S_F", &["3", "3", "3", "5", "5", "5", "5", "5", "5"]),
        ("S_T", &["4"]),
        ("S_SP", &["3"]),
        ("S_SU", &["1"]),
        ("S_RI", &["5"]),
    ]);
    assert_eq!(r, exact("3.3025"));
    assert_eq!(show(&method(), &r), "3.30");
    assert_eq!(class_of(&method(), &r).as_deref(), Some("C"));
}

/// Check 3 (derived): steps to points by the bands (secondary), then as above.
#[test]
fn steps_become_points() {
    let steps = [3, 8, 1, 12, 12, 16, 10, 6, 11];
    let given: Vec<String> = steps.iter().map(|s| depth_points(*s)).collect();
    assert_eq!(given, ["4", "3", "5", "2", "2", "1", "3", "3", "2"]);
    let list: Vec<&str> = given.iter().map(String::as_str).collect();
    let only_depth: &[(&str, &[&str])] =
        &[("S_DD", &list), ("S_F", &["5"]), ("S_T", &["4"]), ("S_SP", &["3"]), ("S_SU", &["5"]), ("S_RI", &["5"])];
    let r = index(only_depth);
    assert_eq!(r, exact("4.1125"));
    // S_DD alone: (R - the other five) / 0.25.
    let others = exact("0.15") * exact("22");
    assert_eq!(&(&r - &others) / &exact("0.25"), exact("3.25"));
    assert_eq!(class_of(&method(), &r).as_deref(), Some("A"));
}

/// Check 4 (derived): ends of the scale, and ties just under a bound. The class is taken from the rounded index (own, by analogy
/// with Delegated Regulation (EU) 2023/2534).
#[rstest]
#[case("5", "5.00", "A")]
#[case("4", "4.00", "A")]
#[case("3.995", "4.00", "A")]
#[case("3.35", "3.35", "B")]
#[case("3.345", "3.35", "B")]
#[case("2.55", "2.55", "C")]
#[case("2.5475", "2.55", "C")]
#[case("1.75", "1.75", "D")]
#[case("1.7475", "1.75", "D")]
#[case("3.9925", "3.99", "B")]
#[case("1", "1.00", "E")]
fn classes_and_ties(#[case] r: &str, #[case] shown: &str, #[case] class: &str) {
    assert_eq!(show(&method(), &exact(r)), shown);
    assert_eq!(class_of(&method(), &exact(r)).as_deref(), Some(class));
}

#[rstest]
#[case("5", "5")]
#[case("1", "1")]
fn all_alike(#[case] points: &str, #[case] total: &str) {
    let list: &[&str] = &[points];
    let all = ["S_DD", "S_F", "S_T", "S_SP", "S_SU", "S_RI"].map(|p| (p, list));
    assert_eq!(index(&all), exact(total));
}

/// Bands of `S_DD` on both sides of every bound (secondary).
#[rstest]
#[case(0, "5")]
#[case(2, "5")]
#[case(3, "4")]
#[case(5, "4")]
#[case(6, "3")]
#[case(10, "3")]
#[case(11, "2")]
#[case(15, "2")]
#[case(16, "1")]
#[case(400, "1")]
fn bands(#[case] steps: u32, #[case] points: &str) {
    assert_eq!(depth_points(steps), points);
}
