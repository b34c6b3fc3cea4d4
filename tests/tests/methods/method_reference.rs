//! The numbers of the shipped methods, copied here with how sure each is: no number different, no certainty above the one
//! here, no number that is not here.
//!
//! Certainties: `read` in the source named, `secondary` in a text that restates it, `memory high|medium|low` recalled and not
//! verified, `own` a choice of this project.

use std::collections::BTreeMap;

use outside::rank;
use scoring::exact::Exact;
use scoring::method::{Absent, Cited, Combine, Criterion, CriterionKind, Method, Points, Rule, load_shipped};
use scoring::vocab::class::Words;
use scoring::vocab::{Category, Certainty, Form};

/// Every number of a method with its certainty, under a readable key.
fn numbers(method: &Method) -> BTreeMap<String, (Exact, Certainty)> {
    let mut out = BTreeMap::new();
    let mut put = |key: String, number: &Cited<Exact>, rule: &Rule| {
        let before = out.insert(key.clone(), (number.value.clone(), number.certainty.unwrap_or(rule.certainty)));
        assert!(before.is_none(), "{key} twice");
    };
    for set in &method.part_sets {
        let form = set.id.as_deref().unwrap_or_else(|| set.forms.first().map_or("any form", |f| f.word()));
        let category = set.categories[0].word();
        for (role, weight) in set.weights.iter().filter(|(_, w)| !w.unread) {
            put(format!("part {category}, {form}: {role}"), weight, &set.rule);
        }
    }
    if let Some(classes) = &method.classes {
        for (name, bound) in &classes.bounds {
            put(format!("class {name}"), bound, &classes.rule);
        }
    }
    for node in method.root.all() {
        if let Some(weight) = node.weight.as_ref().filter(|w| !w.unread) {
            put(format!("weight {}", node.id), weight, &node.rule);
        }
        let CriterionKind::Leaf { points, .. } = &node.kind else {
            continue;
        };
        let id = node.id.trim_end_matches("/part");
        match points {
            Points::Bands(bands) => {
                for band in bands {
                    let bound = band.bound.as_ref().map_or("rest".to_owned(), Exact::plain);
                    put(format!("{id} {bound}"), &band.points, &node.rule);
                }
            }
            Points::Levels(levels) => levels.iter().for_each(|(word, p)| put(format!("{id} {word}"), p, &node.rule)),
            Points::Rungs(rungs) => {
                for rung in rungs {
                    let roles = rung.roles.as_ref().map_or("all".to_owned(), |r| r.join(" + "));
                    let roles = if roles.is_empty() { "nothing" } else { &roles };
                    put(format!("{id} {roles}"), &rung.points, &node.rule);
                }
            }
            Points::Linear(_) => panic!("no shipped method has lines"),
            Points::AsIs => {}
        }
    }
    out
}

/// Lines of `key = value @ certainty`.
fn facts(table: &str) -> BTreeMap<String, (Exact, Certainty)> {
    let fact = |line: &str| {
        let (key, rest) = line.rsplit_once(" = ").unwrap();
        let (value, certainty) = rest.split_once(" @ ").unwrap();
        let certainty = Certainty::from_word(certainty).unwrap_or_else(|| panic!("{certainty}"));
        (key.trim().to_owned(), (Exact::parse(value).unwrap(), certainty))
    };
    table.lines().filter(|l| !l.trim().is_empty()).map(fact).collect()
}

fn hold(id: &str, table: &str) {
    let method = load_shipped(id).unwrap();
    let (found, wanted) = (numbers(&method), facts(table));
    let keys = |m: &BTreeMap<String, (Exact, Certainty)>| m.keys().cloned().collect::<Vec<_>>();
    assert_eq!(keys(&found), keys(&wanted), "{id}");
    for (key, (value, certainty)) in &found {
        let (wanted, most) = &wanted[key];
        assert_eq!(value, wanted, "{id}: {key}");
        assert!(rank(*certainty) >= rank(*most), "{id}: {key} claims `{certainty}`, here it is `{most}`");
    }
}

/// Delegated Regulation (EU) 2023/1669, Annex IV point 5, as restated elsewhere or recalled; own where a case is off the ladder.
const EU_1669: &str = "
part smartphone, any form: battery = 0.30 @ secondary
part smartphone, any form: display assembly = 0.30 @ secondary
part smartphone, any form: back cover = 0.10 @ secondary
part smartphone, any form: front camera = 0.05 @ secondary
part smartphone, any form: rear camera = 0.05 @ secondary
part smartphone, any form: charging port = 0.05 @ secondary
part smartphone, any form: button = 0.05 @ secondary
part smartphone, any form: microphone = 0.05 @ secondary
part smartphone, any form: speaker = 0.05 @ secondary
part smartphone, folding-first: battery = 0.25 @ memory low
part smartphone, folding-first: display assembly = 0.25 @ memory low
part smartphone, folding-first: hinge assembly | display folding mechanism = 0.18 @ memory low
part smartphone, folding-first: back cover = 0.08 @ memory low
part smartphone, folding-first: front camera = 0.04 @ memory low
part smartphone, folding-first: rear camera = 0.04 @ memory low
part smartphone, folding-first: charging port = 0.04 @ memory low
part smartphone, folding-first: button = 0.04 @ memory low
part smartphone, folding-first: microphone = 0.04 @ memory low
part smartphone, folding-first: speaker = 0.04 @ memory low
part smartphone, folding-second: battery = 0.25 @ memory low
part smartphone, folding-second: display assembly = 0.25 @ memory low
part smartphone, folding-second: hinge assembly | display folding mechanism = 0.20 @ memory low
part smartphone, folding-second: back cover = 0.06 @ memory low
part smartphone, folding-second: front camera = 0.04 @ memory low
part smartphone, folding-second: rear camera = 0.04 @ memory low
part smartphone, folding-second: charging port = 0.04 @ memory low
part smartphone, folding-second: button = 0.04 @ memory low
part smartphone, folding-second: microphone = 0.04 @ memory low
part smartphone, folding-second: speaker = 0.04 @ memory low
class A = 4.00 @ secondary
class B = 3.35 @ secondary
class C = 2.55 @ secondary
class D = 1.75 @ secondary
class E = 1.00 @ secondary
weight S_DD = 0.25 @ secondary
weight S_F = 0.15 @ secondary
weight S_T = 0.15 @ secondary
weight S_SP = 0.15 @ secondary
weight S_SU = 0.15 @ secondary
weight S_RI = 0.15 @ secondary
S_DD 2 = 5 @ secondary
S_DD 5 = 4 @ secondary
S_DD 10 = 3 @ secondary
S_DD 15 = 2 @ secondary
S_DD rest = 1 @ secondary
S_F reusable = 5 @ secondary
S_F resupplied = 3 @ secondary
S_F removable = 1 @ memory high
S_F neither = 1 @ own
S_T none = 5 @ memory high
S_T basic = 4 @ memory high
S_T supplied with part = 3 @ memory medium
S_T supplied with product = 2 @ memory medium
S_T product-group specific = 1 @ own
S_T commercially available = 1 @ memory high
S_T proprietary = 1 @ own
S_T not feasible = 1 @ own
S_SP all = 5 @ memory high
S_SP display assembly + battery + back cover + front camera + rear camera = 4 @ memory high
S_SP display assembly + battery + back cover = 3 @ memory high
S_SP display assembly + battery = 2 @ memory high
S_SP display assembly = 1 @ memory high
S_SP nothing = 1 @ own
S_SU/system 7 = 5 @ memory high
S_SU/system 6 = 3 @ memory high
S_SU/system 5 = 1 @ memory high
S_SU/system rest = 1 @ own
S_SU/security 7 = 5 @ memory high
S_SU/security 6 = 3 @ memory high
S_SU/security 5 = 1 @ memory high
S_SU/security rest = 1 @ own
S_RI public, free = 5 @ memory high
S_RI professional, free = 3 @ memory high
S_RI public, fee = 1 @ own
S_RI professional, fee = 1 @ memory high
S_RI authorised or nobody = 1 @ own
";

#[test]
fn eu_2023_1669_numbers() {
    hold("eu-2023-1669", EU_1669);
}

/// French statutory sheet: coefficients `read` on published sheets of mowers, washing machines and dishwashers, criteria 1 to 3 on
/// one of a cordless vacuum cleaner; all of smartphones and laptops `memory high`; of other kinds nobody read them.
const FR: &str = "
weight c1 = 1/10 @ read
weight c2 = 1/10 @ read
weight c3 = 1/10 @ read
weight c4 = 1/10 @ read
weight c5 = 1/10 @ read
weight 1.1 = 2 @ read
weight 2.1 = 1 @ read
weight 2.2 = 0.5 @ read
weight 2.3 = 0.5 @ read
weight 3.1 = 1 @ read
weight 3.2 = 0.5 @ read
weight 3.3 = 0.3 @ read
weight 3.4 = 0.2 @ read
weight 4.1 = 2 @ read
weight 5.1 updates = 1 @ memory high
weight 5.2 updates = 0.5 @ memory high
weight 5.3 updates = 0.5 @ memory high
weight 5.1 washing = 1 @ read
weight 5.2 washing = 0.5 @ read
weight 5.3 washing = 0.5 @ read
weight 5.1 mower = 2 @ read
";

#[test]
fn fr_index_numbers() {
    hold("fr-index", FR);
}

/// Which coefficients are read, recalled or not read, by category.
#[rstest::rstest]
#[case("mower", &[("c1", "read"), ("c2", "read"), ("c3", "read"), ("c4", "read"), ("c5", "read")])]
#[case("washing machine", &[("c1", "read"), ("c5", "read")])]
#[case("dishwasher", &[("c1", "read"), ("c4", "read"), ("c5", "read")])]
#[case("cordless vacuum cleaner", &[("c1", "read"), ("c2", "read"), ("c3", "read"), ("c4", ""), ("c5", "")])]
#[case("smartphone", &[("c1", "memory high"), ("c3", "memory high"), ("c4", "memory high"), ("c5", "memory high")])]
#[case("laptop", &[("c2", "memory high"), ("c5", "memory high")])]
#[case("television", &[("c1", ""), ("c2", ""), ("c3", ""), ("c4", ""), ("c5", "")])]
#[case("vacuum cleaner", &[("c1", ""), ("c5", "")])]
#[case("robot vacuum cleaner", &[("c1", ""), ("c5", "")])]
#[case("high-pressure cleaner", &[("c1", ""), ("c5", "")])]
fn fr_index_coefficients_by_category(#[case] category: &str, #[case] wanted: &[(&str, &str)]) {
    let category = Category::from_word(category).unwrap();
    let method = load_shipped("fr-index").unwrap().for_device(category, Form::NotFolding);
    for (criterion, certainty) in wanted {
        for row in method.node(criterion).unwrap().children() {
            let weight = row.weight.as_ref().unwrap();
            assert_eq!(weight.unread, certainty.is_empty(), "{criterion} {}", row.id);
            if !weight.unread {
                let most = Certainty::from_word(certainty).unwrap();
                let claim = weight.certainty.unwrap_or(row.rule.certainty);
                assert!(rank(claim) >= rank(most), "{criterion} {}: {claim}", row.id);
            }
        }
    }
    assert_eq!(method.no_total().is_some(), wanted.iter().any(|(_, c)| c.is_empty()));
}

/// Regulation (EU) 2023/1670, Annex II B and D, `read`: what each leaf lets pass. A class of the joint vocabulary that EU law does not
/// have (product-group specific) is `own` where it passes.
const EU_1670: &[(&str, &[&str])] = &[
    ("listed-fasteners", &["reusable", "resupplied", "removable"]),
    (
        "listed-tools",
        &[
            "none",
            "basic",
            "supplied with part",
            "supplied with product",
            "commercially available",
            "product-group specific",
        ],
    ),
    ("listed-environment", &["use", "workshop"]),
    ("listed-skill", &["layman", "generalist"]),
    ("user-fasteners", &["reusable", "resupplied", "removable"]),
    ("user-tools", &["none", "basic", "supplied with part", "supplied with product"]),
    ("user-environment", &["use"]),
    ("user-skill", &["layman"]),
    ("way-1-fasteners", &["reusable", "resupplied"]),
    ("way-1-tools", &["none", "basic", "supplied with part", "supplied with product"]),
    ("way-1-environment", &["use"]),
    ("way-1-skill", &["layman"]),
    ("way-2-fasteners", &["reusable", "resupplied", "removable"]),
    (
        "way-2-tools",
        &[
            "none",
            "basic",
            "supplied with part",
            "supplied with product",
            "commercially available",
            "product-group specific",
        ],
    ),
    ("way-2-environment", &["use", "workshop"]),
    ("way-2-skill", &["layman", "generalist"]),
    ("listed-way", &["yes"]),
    ("user-way", &["yes"]),
    ("way-1-way", &["yes"]),
    ("way-2-way", &["yes"]),
    ("way-2-capacity-500", &["83"]),
    ("way-2-capacity-1000", &["80"]),
    ("way-2-dust-phone", &["6"]),
    ("way-2-water-phone", &["7"]),
    ("way-2-dust-tablet", &["4"]),
    ("way-2-water-tablet", &["2"]),
    ("to-professionals", &["public", "independent repairers"]),
    ("to-end-users", &["public"]),
    ("battery-to-end-users", &["public"]),
    ("battery-to-professionals", &["public", "independent repairers"]),
    ("lasting-capacity-500", &["83"]),
    ("lasting-capacity-1000", &["80"]),
    ("lasting-dust-phone", &["6"]),
    ("lasting-water-phone", &["7"]),
    ("lasting-dust-tablet", &["4"]),
    ("lasting-water-tablet", &["2"]),
    ("pairing-battery-end-users", &["not needed", "public"]),
    ("repair-information", &["public", "independent repairers"]),
    ("factory-reset", &["integrated", "external"]),
    ("duration", &["7"]),
    ("delivery", &["5"]),
    ("price", &["yes"]),
    ("unbundled", &["alone", "allowed company"]),
    ("sealed-company", &["alone", "allowed company", "allowed if sealed"]),
    ("sealed-dust-phone", &["6"]),
    ("sealed-water-phone", &["7"]),
    ("power-key-phone", &["225000"]),
    ("volume-keys-phone", &["100000"]),
    ("port-phone", &["12000"]),
    ("sealed-dust-tablet", &["4"]),
    ("sealed-water-tablet", &["2"]),
    ("power-key-tablet", &["20000"]),
    ("volume-keys-tablet", &["10000"]),
    ("port-tablet", &["3000"]),
    ("pairing-professionals", &["not needed", "public", "independent repairers"]),
    ("pairing-end-users", &["not needed", "public"]),
    ("functionality-updates", &["5"]),
    ("security-updates", &["5"]),
    ("battery-endurance", &["800"]),
];

/// Regulation (EU) 2023/1542, Article 11(1), `read`; that a way must not destroy a part is `own`, and so is what the article's
/// specialised tools and tools that come with the product are among the classes here (switches read them as proprietary).
const EU_1542: &[(&str, &[&str])] = &[
    ("way", &["yes"]),
    (
        "tools",
        &[
            "none",
            "basic",
            "supplied with part",
            "supplied with product",
            "commercially available",
            "product-group specific",
        ],
    ),
    ("heat-or-solvent", &["none"]),
];

/// What a leaf of a verdict method lets pass: words, or bounds.
fn passes(node: &Criterion) -> Vec<(String, Certainty)> {
    let CriterionKind::Leaf { points, .. } = &node.kind else {
        return Vec::new();
    };
    let one = |p: &Cited<Exact>| p.value == Exact::one();
    let sure = |p: &Cited<Exact>| p.certainty.unwrap_or(node.rule.certainty);
    match points {
        Points::Levels(levels) => levels.iter().filter(|(_, p)| one(p)).map(|(w, p)| (w.clone(), sure(p))).collect(),
        Points::Bands(bands) => bands
            .iter()
            .filter(|b| one(&b.points))
            .map(|b| (b.bound.as_ref().map_or("rest".to_owned(), Exact::plain), sure(&b.points)))
            .collect(),
        _ => panic!("a verdict method has levels and bands"),
    }
}

#[test]
fn verdict_methods_let_pass_what_the_law_lets_pass() {
    for (id, table, most) in [("eu-2023-1670", EU_1670, Certainty::Read), ("eu-2023-1542-11", EU_1542, Certainty::Read)]
    {
        let method = load_shipped(id).unwrap();
        let leaves: Vec<&Criterion> =
            method.root.all().into_iter().filter(|n| matches!(n.kind, CriterionKind::Leaf { .. })).collect();
        assert_eq!(leaves.len(), table.len(), "{id}");
        for leaf in leaves {
            let name = leaf.id.trim_end_matches("/part");
            let (_, wanted) = table.iter().find(|(n, _)| *n == name).unwrap_or_else(|| panic!("{id}: {name}"));
            let mut found: Vec<_> = passes(leaf);
            found.sort_by(|a, b| a.0.cmp(&b.0));
            let mut wanted: Vec<_> = wanted.iter().map(|w| (*w).to_owned()).collect();
            wanted.sort();
            assert_eq!(found.iter().map(|f| f.0.clone()).collect::<Vec<_>>(), wanted, "{id}: {name}");
            for (word, certainty) in found {
                let most = if word == "product-group specific" { Certainty::Own } else { most };
                assert!(rank(certainty) >= rank(most), "{id}: {name} {word} claims `{certainty}`");
            }
        }
    }
}

/// Roles of the lists of Regulation (EU) 2023/1670 (`read`).
#[test]
fn eu_2023_1670_lists() {
    let professional = [
        "front camera",
        "rear camera",
        "audio connector",
        "charging port",
        "button",
        "microphone",
        "speaker",
        "hinge assembly",
        "display folding mechanism",
    ];
    let user = ["back cover", "sim tray", "memory tray", "protective foil"];
    let method = load_shipped("eu-2023-1670").unwrap();
    let roles = |id: &str| -> Vec<String> {
        let CriterionKind::Each { roles: scoring::method::Roles::Named(roles), how: Combine::Worst, .. } =
            &method.node(id).unwrap().kind
        else {
            panic!("{id}")
        };
        roles.iter().map(|r| r.value.clone()).collect()
    };
    assert_eq!(roles("listed"), [&["display assembly"][..], &professional].concat());
    assert_eq!(roles("user"), user);
    assert_eq!(roles("battery"), ["battery"]);
    assert_eq!(roles("to-professionals"), [&["battery"][..], &professional].concat());
    assert_eq!(roles("pairing-professionals"), professional);
    let offered =
        ["battery", "back cover", "protective foil", "display assembly", "charger", "sim tray", "memory tray"];
    // The battery has a row of its own: point 1(c)(ii).
    assert_eq!(roles("to-end-users"), offered[1..]);
    assert_eq!(roles("pairing-end-users"), offered[1..]);
    assert_eq!(roles("battery-offer"), ["battery"]);
    assert_eq!(method.node("battery-offer").unwrap().rule.clause, "Annex II B and D, point 1(c)(ii)");
    assert!(method.node("duration").unwrap().rule.clause.ends_with("point not read"));
    let mut terms = roles("terms");
    terms.sort();
    let mut all: Vec<String> = professional.iter().chain(&offered).map(|r| (*r).to_owned()).collect();
    all.sort();
    assert_eq!(terms, all);
}

/// All weights and points of `en-45554` are our own: the standard leaves them to whoever applies it.
#[test]
fn en_45554_numbers_are_own() {
    for (key, (_, certainty)) in numbers(&load_shipped("en-45554").unwrap()) {
        assert_eq!(certainty, Certainty::Own, "{key}");
    }
}

/// Classes of EN 45554:2020 (letters from memory): words of one class score alike, of a better class more.
#[test]
fn en_45554_keeps_the_classes_of_the_standard() {
    let method = load_shipped("en-45554").unwrap();
    let classes: &[(&str, &[&[&str]])] = &[
        ("fasteners", &[&["reusable", "resupplied"], &["removable"], &["neither"]]),
        (
            "tools",
            &[
                &["none", "basic", "supplied with part", "supplied with product"],
                &["product-group specific"],
                &["commercially available"],
                &["proprietary"],
                &["not feasible"],
            ],
        ),
        ("environment", &[&["use"], &["workshop"], &["production-equivalent"]]),
        ("skill", &[&["layman"], &["generalist"], &["expert"], &["manufacturer"]]),
        (
            "diagnosis",
            &[&["intuitive signal"], &["public codes"], &["public interface"], &["proprietary interface"], &["none"]],
        ),
        (
            "spare-target-group",
            &[&["public"], &["independent repairers"], &["authorised repairers"], &["manufacturer only"], &["none"]],
        ),
        ("spare-interface", &[&["standard part"], &["standard interface"], &["non-standard interface"]]),
        ("information-scope", &[&["comprehensive"], &["basic"], &["none"]]),
        ("return-options", &[&["comprehensive"], &["basic"], &["none"]]),
        ("data", &[&["built in"], &["on request"], &["none"]]),
        ("reset", &[&["integrated"], &["external"], &["service only"], &["none"]]),
    ];
    let numbers = numbers(&method);
    for (id, classes) in classes {
        let points =
            |word: &str| numbers.get(&format!("{id} {word}")).unwrap_or_else(|| panic!("{id} {word}")).0.clone();
        for class in *classes {
            assert!(class.iter().all(|w| points(w) == points(class[0])), "{id}: {class:?}");
        }
        for pair in classes.windows(2) {
            assert!(points(pair[0][0]) > points(pair[1][0]), "{id}: {pair:?}");
        }
        assert_eq!(points(classes[0][0]), Exact::from(10), "{id}");
    }
}

fn exact(text: &str) -> Exact {
    Exact::parse(text).unwrap()
}

/// Σ weight × value with a part set's own weights.
fn by_parts(method: &Method, form: Form, values: &[i64]) -> Exact {
    let set = method.part_set(Category::of("smartphone"), form).unwrap();
    assert_eq!(set.weights.len(), values.len());
    set.weights.iter().zip(values).fold(Exact::zero(), |sum, ((_, w), v)| &sum + &(&w.value * &Exact::from(*v)))
}

fn index(method: &Method, values: [&str; 6]) -> Exact {
    let children = method.root.children();
    children
        .iter()
        .zip(values)
        .fold(Exact::zero(), |sum, (n, v)| &sum + &(&n.weight.as_ref().unwrap().value * &exact(v)))
}

/// By the index rounded to two decimals: `own`, by analogy with Delegated Regulation (EU) 2023/2534.
fn class<'m>(method: &'m Method, total: &Exact) -> &'m str {
    let bounds = &method.classes.as_ref().unwrap().bounds;
    let total = &total.round(2, scoring::exact::Rounding::HalfUp);
    &bounds.iter().find(|(_, b)| *total >= b.value).unwrap().0
}

fn shown(method: &Method, total: &Exact) -> String {
    total.display(method.scale.decimals, method.scale.rounding)
}

/// Checks 1 to 4: a public register entry (`read` and `derived`), and constructed ones (`derived`).
#[test]
fn eu_2023_1669_checks() {
    let m = load_shipped("eu-2023-1669").unwrap();
    let one = index(&m, ["4.05", "5", "4", "5", "1", "5"]);
    assert_eq!((one.clone(), shown(&m, &one).as_str(), class(&m, &one)), (exact("4.0125"), "4.01", "A"));
    let depth = by_parts(&m, Form::NotFolding, &[4, 3, 4, 2, 2, 3, 2, 3, 3]);
    let fasteners = by_parts(&m, Form::NotFolding, &[3, 3, 3, 5, 5, 5, 5, 5, 5]);
    assert_eq!((depth.clone(), fasteners.clone()), (exact("3.25"), exact("3.60")));
    let two = index(&m, [&depth.plain(), &fasteners.plain(), "4", "3", "1", "5"]);
    assert_eq!((two.clone(), shown(&m, &two).as_str(), class(&m, &two)), (exact("3.3025"), "3.30", "C"));
    let CriterionKind::Leaf { points: Points::Bands(bands), .. } = &m.node("S_DD/part").unwrap().kind else { panic!() };
    let points = |steps: i64| {
        let band = bands.iter().find(|b| b.bound.as_ref().is_none_or(|b| Exact::from(steps) <= *b)).unwrap();
        band.points.value.plain().parse::<i64>().unwrap()
    };
    let values: Vec<i64> = [3, 8, 1, 12, 12, 16, 10, 6, 11].map(points).to_vec();
    assert_eq!(values, [4, 3, 5, 2, 2, 1, 3, 3, 2]);
    let depth = by_parts(&m, Form::NotFolding, &values);
    let three = index(&m, [&depth.plain(), "5", "4", "3", "5", "5"]);
    assert_eq!((three.clone(), class(&m, &three)), (exact("4.1125"), "A"));
    assert_eq!(index(&m, ["5"; 6]), Exact::from(5));
    assert_eq!((index(&m, ["1"; 6]), class(&m, &Exact::one())), (Exact::one(), "E"));
    let tie = exact("3.995");
    assert_eq!((shown(&m, &tie).as_str(), class(&m, &tie)), ("4.00", "A"));
    assert_eq!(by_parts(&m, Form::Folding, &[1; 10]), Exact::one());
    assert_eq!(m.absent, Absent::Points(Exact::from(5)));
}

/// Published French sheets (`read`): the printed criterion lies in the interval that the printed marks, give or take half of their last
/// digit, allow. Published sheet 1: electric mower, whole numbers. Published sheet 2: cordless vacuum cleaner, one decimal,
/// criteria 1 and 2.
#[test]
fn fr_index_sheets() {
    let method = load_shipped("fr-index").unwrap();
    let interval = |category: Category, criterion: &str, marks: &[&str], half: &str| {
        let fitted = method.for_device(category, Form::NotFolding);
        let node = fitted.node(criterion).unwrap();
        assert_eq!(node.children().len(), marks.len());
        let end = |sign: i64| {
            node.children().iter().zip(marks).fold(Exact::zero(), |sum, (n, mark)| {
                let mark =
                    (&exact(mark) + &(&Exact::from(sign) * &exact(half))).max(Exact::zero()).min(Exact::from(10));
                &sum + &(&n.weight.as_ref().unwrap().value * &mark)
            })
        };
        (end(-1), end(0), end(1))
    };
    let within = |printed: &str, (low, _, high): &(Exact, Exact, Exact), half: &str| {
        let (printed, half) = (exact(printed), exact(half));
        &printed + &half >= *low && &printed - &half <= *high
    };
    let sheet: [(&str, &[&str], &str); 5] = [
        ("c1", &["5"], "10"),
        ("c2", &["9", "10", "9"], "19"),
        ("c3", &["8", "8", "10", "10"], "16"),
        ("c4", &["0"], "0"),
        ("c5", &["10"], "20"),
    ];
    for (criterion, marks, printed) in sheet {
        let found = interval(Category::of("mower"), criterion, marks, "0.5");
        assert!(within(printed, &found, "0.5"), "{criterion}: {printed} not in {found:?}");
    }
    // From printed marks alone criterion 3 would be 17, not the printed 16.
    assert_eq!(interval(Category::of("mower"), "c3", &["8", "8", "10", "10"], "0.5").1, Exact::from(17));
    for (criterion, marks, printed) in [("c1", &["7.7"][..], "15.4"), ("c2", &["7.8", "10", "10"], "17.8")] {
        let found = interval(Category::of("cordless vacuum cleaner"), criterion, marks, "0.05");
        assert!(within(printed, &found, "0.05"), "{criterion}");
        assert_eq!(found.1, exact(printed));
    }
    // A total of 65 is an index of 6.5: the weights of the criteria are tenths of each other's marks.
    let total = ["10", "19", "16", "0", "20"].iter().zip(method.root.children());
    let index = total.fold(Exact::zero(), |sum, (mark, n)| &sum + &(&n.weight.as_ref().unwrap().value * &exact(mark)));
    assert_eq!(index.display(1, method.scale.rounding), "6.5");
}
