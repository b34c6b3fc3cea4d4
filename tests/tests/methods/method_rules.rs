//! Every rule of every shipped method against how sure its source is: none claims a certainty above the one noted here, and none
//! is without an entry here. Numbers are held in `method_reference.rs`. And: a total shows its weakest input.
//!
//! Certainties: `read` in the source named, `secondary` in a text that restates it, `memory high|medium|low` recalled and not
//! verified, `own` a choice of this project.

use std::collections::{BTreeMap, BTreeSet};

use outside::rank;
use rstest::rstest;
use scoring::method::{Method, Rule, load_shipped, shipped};
use scoring::range::{Assessment, Effort};
use scoring::record::read;
use scoring::text::{Source, Sources};
use scoring::vocab::Certainty;
use scoring::vocab::class::Words;

/// Certainty of every rule that is no number, by method: certainty, then blocks and criteria (`x` and `x/part` are one rule).
///
/// From the reference: Regulation (EU) 2023/1670 is read in a consolidated copy, own only that of several parts the worst counts
/// and that the reference route is found by our step rule. Article 11(1) of Regulation (EU) 2023/1542 is read, and so are the rules of
/// washing machines and of tumble dryers as far as they go. Of the index of
/// 2023/1669 the formula, the classes and the ladders are restated, what "worst met" means is recalled. Published French sheets were
/// read for mowers, vacuum cleaners and washing machines; smartphones and laptops are from memory. Classes of EN 45554 are
/// from memory, everything built on them is own.
const RULES: &[(&str, &[(&str, &[&str])])] = &[
    (
        "eu-2023-1669",
        &[
            ("read", &["scope"]),
            (
                "secondary",
                &["classes", "parts smartphone, any form", "R", "S_DD", "S_SU", "S_SU/system", "S_SU/security", "S_RI"],
            ),
            ("memory high", &["S_SP"]),
            ("memory medium", &["S_F", "S_T"]),
            (
                "memory low",
                &[
                    "absent",
                    "repeated",
                    "steps",
                    "parts smartphone, folding-first",
                    "parts smartphone, folding-second",
                    "switch absent-parts",
                    "switch heating",
                    "switch instances",
                    "switch folding-weights",
                ],
            ),
            (
                "own",
                &[
                    "applies",
                    "scale",
                    "routes",
                    "switch route-read",
                    "switch aside",
                    "switch where-worst-is-met",
                    "switch pairing-surcharge",
                    "switch class-from",
                ],
            ),
        ],
    ),
    (
        "eu-2023-1670",
        &[
            (
                "read",
                &[
                    "scope",
                    "scale",
                    "absent",
                    "company microphone, if sealed false",
                    "company audio connector, if sealed false",
                    "company hinge assembly, if sealed false",
                    "company microphone + speaker + button + charging port + audio connector, if sealed true",
                    "all",
                    "disassembly",
                    "listed",
                    "listed-part",
                    "listed-way",
                    "listed-fasteners",
                    "listed-tools",
                    "listed-environment",
                    "listed-skill",
                    "user",
                    "user-part",
                    "user-way",
                    "user-fasteners",
                    "user-tools",
                    "user-environment",
                    "user-skill",
                    "battery",
                    "battery-ways",
                    "way-1",
                    "way-1-way",
                    "way-1-fasteners",
                    "way-1-tools",
                    "way-1-environment",
                    "way-1-skill",
                    "way-2",
                    "way-2-way",
                    "way-2-fasteners",
                    "way-2-tools",
                    "way-2-environment",
                    "way-2-skill",
                    "way-2-capacity-500",
                    "way-2-capacity-1000",
                    "way-2-dust-phone",
                    "way-2-water-phone",
                    "way-2-dust-tablet",
                    "way-2-water-tablet",
                    "spare-parts",
                    "to-professionals",
                    "to-end-users",
                    "battery-offer",
                    "battery-offered",
                    "battery-to-end-users",
                    "battery-lasting",
                    "battery-to-professionals",
                    "lasting-capacity-500",
                    "lasting-capacity-1000",
                    "lasting-dust-phone",
                    "lasting-water-phone",
                    "lasting-dust-tablet",
                    "lasting-water-tablet",
                    "battery-pairing",
                    "battery-paired",
                    "pairing-battery-end-users",
                    "terms",
                    "terms-of-the-part",
                    "duration",
                    "delivery",
                    "price",
                    "bundling",
                    "unbundled",
                    "sealed",
                    "sealed-company",
                    "sealed-dust-phone",
                    "sealed-water-phone",
                    "power-key-phone",
                    "volume-keys-phone",
                    "port-phone",
                    "sealed-dust-tablet",
                    "sealed-water-tablet",
                    "power-key-tablet",
                    "volume-keys-tablet",
                    "port-tablet",
                    "pairing-professionals",
                    "pairing-end-users",
                    "software",
                    "functionality-updates",
                    "security-updates",
                    "battery-endurance",
                ],
            ),
            ("derived", &["routes", "switch where-worst-is-met"]),
            (
                "own",
                &[
                    "applies",
                    "repeated",
                    "steps",
                    "switch pairing-of-the-battery",
                    "information-and-reset",
                    "repair-information",
                    "factory-reset",
                ],
            ),
        ],
    ),
    (
        "eu-2023-1542-11",
        &[
            ("read", &["scale", "battery", "removal", "tools", "heat-or-solvent"]),
            (
                "own",
                &[
                    "applies",
                    "scope",
                    "absent",
                    "repeated",
                    "routes",
                    "steps",
                    "switch where-worst-is-met",
                    "switch tools-with-the-spare-part",
                    "switch specialised-tools",
                    "way",
                ],
            ),
        ],
    ),
    (
        "eu-2023-2534",
        &[
            (
                "read",
                &[
                    "applies",
                    "scope",
                    "parts tumble dryer, any form",
                    "absent",
                    "repeated",
                    "classes",
                    "steps",
                    "routes",
                    "R",
                    "S_DD",
                    "depth-water-pump",
                    "depth-drum-bearings",
                    "depth-drive-belt",
                    "depth-door",
                    "depth-motor",
                    "depth-control-board",
                    "depth-fan",
                    "depth-motor-capacitor",
                    "S_F",
                    "S_T",
                    "S_RI",
                ],
            ),
            ("own", &["scale", "switch instances"]),
        ],
    ),
    (
        "eu-2023-2533",
        &[
            (
                "read",
                &[
                    "scope",
                    "scale",
                    "all",
                    "replacement",
                    "replaceable",
                    "way",
                    "tools",
                    "spare-parts",
                    "to-professionals",
                    "to-end-users",
                    "terms",
                    "terms-of-the-part",
                    "duration",
                    "delivery",
                    "price",
                ],
            ),
            ("own", &["applies", "absent", "repeated", "routes", "steps"]),
        ],
    ),
    (
        "eu-2019-2023",
        &[
            (
                "read",
                &[
                    "scope",
                    "scale",
                    "all",
                    "replacement",
                    "replaceable",
                    "way",
                    "tools",
                    "spare-parts",
                    "to-professionals",
                    "to-end-users",
                    "terms",
                    "terms-of-the-part",
                    "duration",
                    "delivery",
                    "information",
                ],
            ),
            (
                "own",
                &["applies", "absent", "repeated", "routes", "steps", "switch supplied-tools", "switch group-tools"],
            ),
        ],
    ),
    (
        "fr-index",
        &[
            (
                "read",
                &[
                    "applies",
                    "index",
                    "c1",
                    "c2",
                    "c3",
                    "c4",
                    "c5",
                    "1.1",
                    "2.1",
                    "2.2",
                    "2.3",
                    "3.1",
                    "3.2",
                    "3.3",
                    "3.4",
                    "4.1",
                    "5.1 washing",
                    "5.2 washing",
                    "5.3 washing",
                    "5.1 mower",
                ],
            ),
            ("secondary", &["scope", "steps"]),
            ("memory high", &["5.1 updates", "5.2 updates", "5.3 updates"]),
            ("memory medium", &["scale"]),
            ("own", &["absent", "repeated", "routes", "5.1 other kinds", "5.2 other kinds", "5.3 other kinds"]),
        ],
    ),
    (
        "en-45554",
        &[
            ("memory high", &["fasteners", "tools", "environment"]),
            (
                "memory medium",
                &[
                    "depth",
                    "skill",
                    "diagnosis",
                    "spare-target-group",
                    "spare-interface",
                    "spare-duration",
                    "information-scope",
                    "information-target-group",
                    "data",
                    "reset",
                ],
            ),
            ("memory low", &["return-options"]),
            (
                "own",
                &[
                    "scope",
                    "scale",
                    "absent",
                    "repeated",
                    "steps",
                    "parts smartphone, folding",
                    "parts smartphone, any form",
                    "parts slate tablet, any form",
                    "parts laptop, any form",
                    "parts cordless vacuum cleaner, any form",
                    "parts washing machine, any form",
                    "parts tumble dryer, any form",
                    "parts dishwasher, any form",
                    "parts television, any form",
                    "parts headphones, any form",
                    "parts robot vacuum cleaner, any form",
                    "parts game controller, any form",
                    "parts e-reader, any form",
                    "parts cordless drill, any form",
                    "parts other, any form",
                    "routes",
                    "switch route-read",
                    "switch instances",
                    "switch basic-tools",
                    "switch where-worst-is-met",
                    "switch heating",
                    "switch aside",
                    "switch limit-way",
                    "switch limit-tools",
                    "switch limit-pairing",
                    "switch limit-spare",
                    "switch limit-price",
                    "verdict",
                    "index",
                    "product-related",
                    "product-related-criteria",
                    "support-related",
                    "isolation",
                    "comes-off-alone",
                    "parts-in-the-way",
                    "adhesives",
                    "bench-limit-way",
                    "bench-limit-tools",
                    "bench-limit-pairing",
                    "limit-way",
                    "limit-tools",
                    "limit-pairing",
                    "limit-spare",
                    "limit-price",
                ],
            ),
        ],
    ),
];

/// Every rule of a method under a readable key: the blocks around the criteria, then the criteria by id.
fn rules(method: &Method) -> BTreeMap<(String, bool), Rule> {
    let mut out = BTreeMap::new();
    // What is scored for each part shares the entry of the criterion above.
    let mut put = |key: String, rule: &Rule| {
        let (entry, part) = key.strip_suffix("/part").map_or((key.as_str(), false), |entry| (entry, true));
        let before = out.insert((entry.to_owned(), part), rule.clone());
        assert!(before.is_none(), "{key} twice");
    };
    put("scope".to_owned(), &method.scope.rule);
    put("scale".to_owned(), &method.scale.rule);
    put("absent".to_owned(), &method.absent_rule);
    put("repeated".to_owned(), &method.repeated_rule);
    put("steps".to_owned(), &method.steps.rule);
    put("routes".to_owned(), &method.routes.rule);
    if !method.days.rule.text.is_empty() {
        put("applies".to_owned(), &method.days.rule);
    }
    for set in &method.part_sets {
        let form = set.id.as_deref().unwrap_or_else(|| set.forms.first().map_or("any form", |f| f.word()));
        put(format!("parts {}, {form}", set.categories[0].word()), &set.rule);
    }
    if let Some(classes) = &method.classes {
        put("classes".to_owned(), &classes.rule);
    }
    for company in &method.company {
        put(format!("company {}, if sealed {}", company.roles.join(" + "), company.if_sealed), &company.rule);
    }
    for switch in &method.switches {
        put(format!("switch {}", switch.id), &switch.rule);
    }
    for node in method.root.all() {
        put(node.id.clone(), &node.rule);
    }
    out
}

#[test]
fn rules_claim_no_more_than_the_reference() {
    let ids: Vec<&str> = shipped().iter().map(|m| m.id).collect();
    for (id, table) in RULES {
        assert!(ids.contains(id), "{id} is not shipped");
        let found = rules(&load_shipped(id).unwrap());
        let mut known = BTreeMap::new();
        for (most, keys) in *table {
            for key in *keys {
                assert_eq!(known.insert((*key).to_owned(), *most), None, "{id}: {key} twice");
            }
        }
        let names: BTreeSet<&String> = found.keys().map(|(key, _)| key).collect();
        assert_eq!(names, known.keys().collect(), "{id}: every rule has an entry, every entry a rule");
        for ((key, _), rule) in &found {
            let most = Certainty::from_word(known[key]).unwrap();
            let claim = rule.certainty;
            assert!(rank(claim) >= rank(most), "{id}: {key} claims `{claim}`, here it is `{most}`");
            assert!(!rule.text.is_empty() && !rule.source.is_empty(), "{id}: {key} has no words or no source");
        }
    }
    assert_eq!(RULES.len(), ids.len(), "every shipped method has entries");
}

/// A total shows its weakest input, a number as much as a rule; a row that gave no points is none.
#[rstest]
#[case::rules_only("", "read")]
#[case::a_weight("weight: {is: 1, certainty: memory low}", "memory low")]
#[case::points_given("up to 2: {is: 10, certainty: memory medium}", "memory medium")]
#[case::points_not_given("more: {is: 0, certainty: memory low}", "read")]
#[case::a_part_weight("battery: {is: 3, certainty: memory high}", "memory high")]
#[case::a_class("fair: {is: 5, certainty: secondary}", "secondary")]
#[case::an_own_choice("up to 2: {is: 10, certainty: own}", "read")]
fn a_total_shows_its_weakest_input(#[case] number: &str, #[case] weakest: &str) {
    let method = "unfasten method: 1\nid: house\ntitle: House\nsource: a book\ncertainty: read\n\
        scope: {categories: [laptop], rule: Laptops.}\n\
        scale: {from: 0, to: 10, decimals: 1, rounding: half up, rule: Tenths.}\n\
        parts:\n  - for: [laptop]\n    rule: Parts.\n    weights:\n      battery: 3\n\
        absent: {points: left out, rule: Left out.}\nrepeated: {rule: The worst.}\nsteps: {rule: As usual.}\n\
        classes:\n  rule: Two.\n  bounds:\n    fair: 5\n    poor: 0\n\
        criteria:\n  id: all\n  combine: mean\n  rule: A mean.\n  of:\n    - id: depth\n      each: priority\n      weight: 1\n      \
        measure: depth\n      rule: Steps.\n      bands:\n        up to 2: 10\n        more: 0\n";
    let mut text = method.to_owned();
    if let Some((key, _)) = number.split_once(": ") {
        let line = text.lines().find(|l| l.trim_start().starts_with(&format!("{key}: "))).unwrap().to_owned();
        text = text.replacen(line.trim_start(), number, 1);
        assert_ne!(text, method, "{number}");
    }
    let record = "unfasten: 1\ndevice: {name: Fold, maker: Ostrel, category: laptop}\n\
        teardown: {place: use, skill: layman}\nparts:\n  cell: {role: battery}\n\
        actions:\n  - {free: cell, with: PH0, loosen: 2 x screw PH0, after: []}\n";
    let mut sources = Sources::new();
    let [method, record] =
        [("house.yaml", text.as_str()), ("record.yaml", record)].map(|(n, t)| sources.add(Source::new(n, t)));
    let record = read(&sources, record).record.unwrap();
    let (method, complaints) = scoring::method::read(&mut sources, method, &mut |_| None);
    let method = method.unwrap_or_else(|| panic!("{complaints:#?}\n{text}"));
    let found = Assessment::new(&record, &method, Effort::default());
    assert!(found.settled());
    assert_eq!(found.weakest.word(), weakest, "{text}");
}
