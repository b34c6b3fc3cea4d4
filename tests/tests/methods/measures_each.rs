//! Every measure is used by a shipped method, and for each there is a record and a change of one field that changes its
//! points. Points before and after are worked out by hand from the tables the cases name.
//!
//! Sources: EN 45554:2020 classes from memory (high: fasteners, tools, environment; medium: skill, diagnosis, spare parts,
//! information, data, reset; low: return options) with points of our own; Delegated Regulation (EU) 2023/1669, Annex IV
//! point 5 (rungs, years and information: memory high); Regulation (EU) 2023/1670, Annex II (read); Regulation (EU)
//! 2023/1542, Article 11 (secondary); the French statutory sheet (read).

use std::collections::BTreeSet;

use rstest::rstest;
use scoring::exact::Exact;
use scoring::method::{CriterionKind, Measure, Method, load_shipped, shipped};
use scoring::range::{Assessment, Effort, GradedKind};
use scoring::record::read;
use scoring::text::{Source, Sources};
use scoring::vocab::Promise;

const SLAB: &str = include_str!("../../fixtures/measures/slab.yaml");

const EN: &str = "en-45554";
const INDEX: &str = "eu-2023-1669";
const LAW: &str = "eu-2023-1670";

/// A change of one field of the record, and the points of one node before and after.
struct Fixture {
    measure: Measure,
    method: &'static str,
    node: &'static str,
    from: &'static str,
    to: &'static str,
    before: i64,
    after: i64,
}

/// A table of fixtures, each a test of its own and all of them in a list.
macro_rules! fixtures {
    ($($name:ident: $measure:expr, $method:expr, $node:literal, $from:literal => $to:literal, $before:literal => $after:literal;)+) => {
        fn fixtures() -> Vec<Fixture> {
            vec![$(Fixture {
                measure: $measure, method: $method, node: $node, from: $from, to: $to, before: $before, after: $after,
            }),+]
        }

        #[rstest]
        $(#[case::$name(Fixture {
            measure: $measure, method: $method, node: $node, from: $from, to: $to, before: $before, after: $after,
        })])+
        fn one_field_changes_the_points(#[case] fixture: Fixture) {
            hold(&fixture);
        }
    };
}

fixtures! {
    // Steps, own bounds: lid, cell; then lid, change to the spudger, cell.
    depth: Measure::Depth, EN, "depth/part/battery", "with: PH1" => "with: [PH1, spudger]", 10 => 8;
    // Worst kind, class A reusable, class B removable: 10, 5 (classes memory high, points own).
    fasteners: Measure::Fasteners, EN, "fasteners/part/battery",
        "loosen: 2 x screw PH1" => "loosen: {fastener: film adhesive, kind: removable}", 10 => 5;
    // Basic, class A; a knife is commercially available (derived), class C: 10, 5.
    tools: Measure::Tools, EN, "tools/part/battery", "with: PH1" => "with: knife", 10 => 5;
    // Use, workshop: 10, 5.
    environment: Measure::Environment, EN, "environment/part/battery",
        "place: use            # cell" => "place: workshop", 10 => 5;
    // Layman, generalist: 10, 7.
    skill: Measure::Skill, EN, "skill/part/battery", "skill: layman         # cell" => "skill: generalist", 10 => 7;
    // Several roles in one part, alone (own): 0, 10.
    isolation: Measure::Isolation, EN, "comes-off-alone/charging port",
        "role: [charging port, microphone]" => "role: charging port", 0 => 10;
    // No adhesive joint, one (own): 10, 6.
    adhesives: Measure::Adhesives, EN, "adhesives/part/battery",
        "loosen: 2 x screw PH1" => "loosen: {fastener: film adhesive, kind: resupplied}", 10 => 6;
    // Comes off, only by damage (own limit): 10, 3.
    reachable: Measure::Reachable, EN, "limit-way/part/battery",
        "after: lid            # cell" => "after: lid\n    destroys: jack", 10 => 3;
    // No thermal energy (secondary): met, missed.
    heat: Measure::HeatOrSolvent, "eu-2023-1542-11", "heat-or-solvent/battery",
        "with: PH1" => "with: [heat gun, PH1]", 1 => 0;
    // One other part first, two (own): 8, 5.
    in_the_way: Measure::PartsInTheWay, EN, "parts-in-the-way/battery",
        "after: lid            # cell" => "after: [lid, jack]", 8 => 5;
    // Not paired, paired (own limit): 10, 7.
    paired: Measure::Paired, EN, "limit-pairing/part/battery",
        "role: battery, paired: no" => "role: battery, paired: yes", 10 => 7;
    // A microphone may come with a port, a display may not (read).
    bundling: Measure::Bundling, LAW, "unbundled/charging port",
        "role: [charging port, microphone]" => "role: [charging port, display assembly]", 1 => 0;
    // Public, independent repairers: 10, 7.
    spare_to: Measure::Promise(Promise::To), EN, "spare-target-group/part/battery",
        "cell:       {to: public" => "cell:       {to: independent repairers", 10 => 7;
    // Ten years, seven (bounds own): 10, 8.
    spare_years: Measure::Promise(Promise::Years), EN, "spare-duration/part/battery", "years: 10" => "years: 7", 10 => 8;
    // Within 5 working days (read).
    spare_delivery: Measure::Promise(Promise::Delivery), LAW, "delivery/battery",
        "delivery: 5 working days" => "delivery: 6 working days", 1 => 0;
    // 160 of 400 EUR is 40 %, 164 is 41 % (own limit): 10, 6.
    spare_price: Measure::Promise(Promise::Price), EN, "limit-price/part/battery", "price: 160 EUR" => "price: 164 EUR", 10 => 6;
    // An indicative price is published (read).
    price_published: Measure::Promise(Promise::PricePublished), LAW, "price/battery",
        "price: 160 EUR, price published: yes" => "price: 160 EUR, price published: no", 1 => 0;
    // Standard part, standard interface: 10, 6.
    spare_interface: Measure::Promise(Promise::Interface), EN, "spare-interface/part/battery",
        "interface: standard part" => "interface: standard interface", 10 => 6;
    // Access to pairing for end users too, display assembly (read).
    pairing: Measure::Promise(Promise::Pairing), LAW, "pairing-end-users/part/display assembly",
        "pairing: public" => "pairing: independent repairers", 1 => 0;
    // All parts, then the display but not the battery: 5, 1 (memory high).
    spares_offered: Measure::SparesOffered, INDEX, "S_SP",
        "cell:       {to: public" => "cell:       {to: independent repairers", 5 => 1;
    // Seven years, six: 5, 3 (memory high).
    updates: Measure::Promise(Promise::Updates), INDEX, "S_SU/system", "  updates: 7" => "  updates: 6", 5 => 3;
    // At least five years (read).
    security_updates: Measure::Promise(Promise::SecurityUpdates), LAW, "security-updates",
        "security updates: 5" => "security updates: 4", 1 => 0;
    // Public and free: 5 (memory high); public at a fee is off the ladder: 1 (own).
    information: Measure::Information, INDEX, "S_RI", "cost: free" => "cost: fee", 5 => 1;
    // Public, independent repairers: 10, 7.
    information_to: Measure::Promise(Promise::InformationTo), EN, "information-target-group",
        "information: {to: public" => "information: {to: independent repairers", 10 => 7;
    // Comprehensive, basic: 10, 4.
    information_scope: Measure::Promise(Promise::InformationScope), EN, "information-scope",
        "scope: comprehensive" => "scope: basic", 10 => 4;
    // Intuitive signal, public codes: 10, 8.
    diagnosis: Measure::Promise(Promise::Diagnosis), EN, "diagnosis", "diagnosis: intuitive signal" => "diagnosis: public codes", 10 => 8;
    // Comprehensive, basic: 10, 5.
    returns: Measure::Promise(Promise::Returns), EN, "return-options",
        "return options: comprehensive" => "return options: basic", 10 => 5;
    // Built in, on request: 10, 5.
    data: Measure::Promise(Promise::Data), EN, "data",
        "data transfer and deletion: built in" => "data transfer and deletion: on request", 10 => 5;
    // Integrated, external: 10, 7.
    reset: Measure::Promise(Promise::Reset), EN, "reset", "reset: integrated" => "reset: external", 10 => 7;
    // At least 800 cycles to 80 % (read).
    battery_cycles: Measure::Promise(Promise::BatteryCycles), LAW, "battery-endurance", "cycles: 800" => "cycles: 799", 1 => 0;
    // At least 83 % after 500 cycles (read).
    capacity_500: Measure::Promise(Promise::Capacity500), LAW, "way-2-capacity-500/battery",
        "500 cycles: 83 %" => "500 cycles: 82.9 %", 1 => 0;
    // At least 80 % after 1 000 cycles (read).
    capacity_1000: Measure::Promise(Promise::Capacity1000), LAW, "way-2-capacity-1000/battery",
        "1000 cycles: 80 %" => "1000 cycles: 79.9 %", 1 => 0;
    // Dust-tight: first digit 6 (read; digits after IEC 60529, memory high).
    ingress_dust: Measure::Promise(Promise::IngressDust), LAW, "way-2-dust-phone/battery", "IP67" => "IP57", 1 => 0;
    // Immersion in 1 m for 30 minutes: second digit 7.
    ingress_water: Measure::Promise(Promise::IngressWater), LAW, "way-2-water-phone/battery", "IP67" => "IP66", 1 => 0;
    // 225 000, 100 000 and 12 000 operations for a larger assembly (read).
    power_key: Measure::Promise(Promise::PowerKey), LAW, "power-key-phone/charging port", "power key: 225000" => "power key: 224999", 1 => 0;
    volume_keys: Measure::Promise(Promise::VolumeKeys), LAW, "volume-keys-phone/charging port",
        "volume keys: 100000" => "volume keys: 99999", 1 => 0;
    port: Measure::Promise(Promise::PortEndurance), LAW, "port-phone/charging port",
        "charging port: 12000" => "charging port: 11999", 1 => 0;
    // Marks are taken as given.
    mark: Measure::Mark("1.1".to_owned()), "fr-index", "1.1", "\"1.1\": 7" => "\"1.1\": 8", 7 => 8;
}

fn assess(text: &str, method: &Method) -> Assessment {
    let mut sources = Sources::new();
    let file = sources.add(Source::new("slab.yaml", text));
    let found = read(&sources, file);
    // A part that only damage frees is warned of; one case is about just that.
    let others: Vec<_> = found.diagnostics.iter().filter(|d| d.code != "only-by-damage").collect();
    assert!(others.is_empty(), "{others:#?}\n{text}");
    Assessment::new(&found.record.expect("a record"), method, Effort::default())
}

fn hold(fixture: &Fixture) {
    let Fixture { measure, method, node, from, to, before, after } = fixture;
    assert_eq!(SLAB.matches(from).count(), 1, "`{from}` names one place");
    let method = load_shipped(method).unwrap();
    for (text, points) in [(SLAB.to_owned(), before), (SLAB.replace(from, to), after)] {
        let found = assess(&text, &method);
        let node = found.find(node).unwrap_or_else(|| panic!("{node} is no node"));
        let GradedKind::Leaf { measure: read, .. } = &node.kind else { panic!("{} reads nothing", node.id) };
        assert_eq!(read, measure, "{}", node.id);
        assert_eq!([&node.low, &node.high], [&Some(Exact::from(*points)); 2], "{} of `{to}`", node.id);
    }
    assert_ne!(before, after);
}

/// The closed set as words, marks as one.
fn closed_set() -> BTreeSet<String> {
    let words = Measure::all().iter().map(Measure::word);
    words.chain(["mark".to_owned()]).collect()
}

fn word(measure: &Measure) -> String {
    if let Measure::Mark(_) = measure { "mark".to_owned() } else { measure.word() }
}

#[test]
fn every_measure_has_a_fixture() {
    let fixtures = fixtures();
    let found: BTreeSet<String> = fixtures.iter().map(|f| word(&f.measure)).collect();
    assert_eq!(found, closed_set());
    assert_eq!(fixtures.len(), found.len(), "one case a measure");
}

#[test]
fn every_measure_is_used_by_a_shipped_method() {
    let criteria = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../criteria");
    let files: BTreeSet<String> = std::fs::read_dir(criteria)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter_map(|name| name.strip_suffix(".yaml").map(str::to_owned))
        .collect();
    let ids: BTreeSet<String> = shipped().iter().map(|m| m.id.to_owned()).collect();
    assert_eq!(files, ids, "the files under criteria are the shipped methods");
    let mut used = BTreeSet::new();
    for id in ids {
        let method = load_shipped(&id).unwrap();
        for node in method.root.all() {
            if let CriterionKind::Leaf { measure, .. } = &node.kind {
                used.insert(word(measure));
            }
        }
    }
    assert_eq!(used, closed_set());
}

/// The base itself is settled under every method that takes it, so that a change of one field is all that happens.
#[rstest]
fn the_base_is_settled(#[values(EN, INDEX, LAW, "eu-2023-1542-11")] id: &str) {
    let found = assess(SLAB, &load_shipped(id).unwrap());
    assert!(found.settled(), "{:#?}", found.unknowns.iter().map(|u| &u.path).collect::<Vec<_>>());
}
