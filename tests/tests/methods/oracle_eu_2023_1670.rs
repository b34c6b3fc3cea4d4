//! The EU ecodesign requirements against an independent reimplementation: each requirement from the terms below, on random
//! records, on the ways that meet the most, found by going through every order. Every requirement is met and missed, every
//! word of every term is on its side, and the exceptions (two ways for the battery, pairs, larger assemblies) are hit on
//! both sides.
//! With some facts hidden, a requirement passes, fails or is not settled as going through all completions says.
//!
//! Regulation (EU) 2023/1670, Annex I and Annex II B (smartphones) and D (slate tablets): read in a consolidated copy.
//! Own readings are named where they stand.

use crate::ecodesign;
use crate::oracle_world;

use std::collections::BTreeMap;

use ecodesign::{END_USER, IN_LARGER, Oracle, PROFESSIONAL, USER_REPLACED, Verdict};
use oracle_world::{ACCESS, CLASSES, Coverage, Dice, FOLDING, Hidden, KINDS, PAIRINGS, PLACES, SKILLS, World};
use rstest::rstest;
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::{Assessment, Effort};
use scoring::record::read;
use scoring::text::{Source, Sources};

/// A device of few parts, so that not everything is in one piece; half of them with little wrong.
fn world(seed: u64, dice: &mut Dice) -> World {
    let folding = seed.is_multiple_of(3);
    let category = if seed.is_multiple_of(2) { "smartphone" } else { "slate tablet" };
    let folding_only = |r: &&str| FOLDING.contains(r) || *r == "protective foil";
    let all: Vec<&str> = PROFESSIONAL.iter().chain(&END_USER).copied().collect();
    let possible: Vec<&str> = all.iter().copied().filter(|r| folding || !folding_only(r)).collect();
    let mut roles: Vec<&str> = Vec::new();
    if folding {
        roles.push(FOLDING[dice.below(2)]);
    }
    // Often the roles that may share a part.
    let crowd: Vec<&str> = if dice.percent(40) { IN_LARGER.to_vec() } else { possible.clone() };
    for _ in 0..=dice.below(4) {
        let from = if dice.percent(70) { &crowd } else { &possible };
        let role = from[dice.below(from.len())];
        if !roles.contains(&role) {
            roles.push(role);
        }
    }
    if dice.percent(60) && !roles.contains(&"battery") {
        roles.push("battery");
    }
    let mut world = World::random(seed + 20_000, category, folding, &roles, &[6, 7, 8]);
    if dice.percent(60) {
        tidy(&mut world, dice);
    }
    world.absent = world.lacking(&all);
    // An attempt that failed, at a part nothing else waits for.
    if dice.percent(10) {
        let needed: Vec<usize> = world.actions.iter().flat_map(|a| a.after.iter().flatten()).copied().collect();
        let last = world.actions.iter_mut().find(|a| a.frees.iter().all(|p| !needed.contains(p)) && a.does.is_none());
        last.into_iter().for_each(|a| a.failed = true);
    }
    world
}

/// Promises on the right side of every bound, all but one.
fn tidy(world: &mut World, dice: &mut Dice) {
    for spare in &mut world.spares {
        (spare.to, spare.years, spare.delivery, spare.published, spare.pairing) = (0, 7, 5, true, 1);
    }
    (world.updates, world.security, world.cycles, world.capacity) = (5, 5, 800, (83, 80));
    (world.information.0, world.reset) = (1, 1);
    let phone = world.category == "smartphone";
    world.ingress = if phone { (6, 7) } else { (4, 2) };
    world.endurance = if phone { [225_000, 100_000, 12_000] } else { [20_000, 10_000, 3_000] };
    let wrong = dice.below(14);
    if (5..10).contains(&wrong) {
        // Something that only a sealed device may have in one piece.
        for role in ["speaker", "button"] {
            if world.instances(role).is_empty() {
                world.parts[0].roles.push(role.to_owned());
            }
        }
    }
    match wrong {
        0 => world.updates = 4,
        1 => world.security = 4,
        2 => world.cycles = 799,
        3 => world.capacity.0 = 82,
        4 => world.capacity.1 = 79,
        5 => world.ingress.0 -= 1,
        6 => world.ingress.1 -= 1,
        n @ 7..=9 => world.endurance[n - 7] -= 1,
        10 => world.spares.iter_mut().for_each(|s| s.to = 1),
        11 => world.information.0 = 2,
        12 => world.reset = 2,
        _ => {}
    }
}

fn exact(verdict: Verdict) -> Option<Exact> {
    verdict.map(|met| Exact::from(i64::from(met)))
}

/// Every node of the assessment against the least and the most over the completions.
fn compare(method: &Method, world: &World, rows: &[BTreeMap<String, Verdict>], seed: u64) -> Assessment {
    let found = Assessment::new(&world.record(), method, Effort::default());
    let nodes = found.root.walk();
    for node in &nodes {
        let values =
            || rows.iter().filter_map(|r| *r.get(&node.id).unwrap_or_else(|| panic!("{} unheard of", node.id)));
        let ends = [exact(values().min()), exact(values().max())];
        let given = [node.low.clone(), node.high.clone()];
        // A row below the verdict may be a bound; nothing leaves it.
        let held = node.exact || node.id == found.root.id;
        let within = if held { given == ends } else { given[0] <= ends[0] && ends[1] <= given[1] };
        assert!(within, "{seed}: {} {given:?} {ends:?}\n{}", node.id, world.text());
    }
    assert_eq!(nodes.len(), rows[0].len(), "{seed}: the tree and the oracle differ in rows");
    found
}

#[test]
fn agrees_on_random_records() {
    let method = load_shipped("eu-2023-1670").unwrap();
    let mut cover = Coverage::default();
    let (mut used, mut tied) = (0, 0);
    for seed in 0..700_u64 {
        let mut dice = Dice::new(seed + 77);
        let mut world = world(seed, &mut dice);
        let near = seed % 3 == 2 || seed % 16 == 0;
        // Where only what is met on the way speaks against the device, the reading decides.
        if near && dice.percent(60) {
            tidy(&mut world, &mut Dice::new(2));
            world.actions.iter_mut().for_each(|a| (a.place, a.skill) = (0, 0));
            world.parts.iter_mut().for_each(|p| p.roles.truncate(1));
            if dice.percent(40) {
                proprietary_on_the_way(&mut world);
            }
            let all: Vec<&str> = PROFESSIONAL.iter().chain(&END_USER).copied().collect();
            world.absent = world.lacking(&all);
        }
        if drawn(&method, &world, (near, seed % 4 > 1), seed, &mut cover) {
            used += 1;
        } else {
            tied += 1;
        }
    }
    // One way to everything: nothing ties, so the reading and the switch alone decide.
    for seed in 0..84_u64 {
        let mut dice = Dice::new(seed + 9_000);
        let mut world = world(seed, &mut dice);
        // Half of them lack nothing else.
        let flawless = (0..10_000).find(|n| Dice::new(*n).below(14) == 13).unwrap();
        tidy(&mut world, &mut Dice::new(if seed % 2 == 0 { flawless } else { seed }));
        world.parts.iter_mut().for_each(|p| p.roles.truncate(1));
        one_way(&mut world);
        // Every third folds, and keeps what makes it fold.
        if seed % 3 == 2 {
            proprietary_on_the_way(&mut world);
            let first = world.actions[0].frees.clone();
            first.into_iter().for_each(|p| world.parts[p].roles.clear());
            world.actions.iter_mut().skip(1).for_each(|a| a.operations = vec![vec![vec![]]]);
        } else if let Some(cell) = world.parts.last_mut().filter(|_| seed % 3 == 1) {
            // A cell that only repairers may pair.
            (cell.roles, cell.paired) = (vec!["battery".to_owned()], true);
            world.spares.iter_mut().for_each(|s| s.pairing = 2);
        }
        let all: Vec<&str> = PROFESSIONAL.iter().chain(&END_USER).copied().collect();
        world.absent = world.lacking(&all);
        assert!(drawn(&method, &world, (seed % 3 == 2, seed % 4 > 1), seed, &mut cover), "{seed}: ways tie");
        used += 1;
    }
    assert!(used > 5 * tied, "{used} records, {tied} left to record order");
    wanted(&cover);
}

/// A proprietary tool on the way to all other parts, not at them.
fn proprietary_on_the_way(world: &mut World) {
    world.tools[0].class = 6;
    world.actions[0].operations = vec![vec![vec![0]]];
    world.actions[0].failed = false;
    if let Some(first) = world.actions[0].frees.first().copied() {
        let others = world.actions.iter_mut().filter(|a| !a.frees.contains(&first));
        others.for_each(|a| a.after = vec![vec![first]]);
    }
}

/// Leaves the first way to everything, and of every choice on it the first.
fn one_way(world: &mut World) {
    let mut given = std::collections::BTreeSet::new();
    world.actions.retain(|a| {
        let own: Vec<usize> = a.frees.iter().chain(&a.does).copied().collect();
        let new = own.iter().all(|t| !given.contains(t));
        given.extend(own);
        new
    });
    for action in &mut world.actions {
        (action.failed, action.place, action.skill) = (false, 0, 0);
        action.damages.clear();
        action.fasteners = vec![(0, false)];
        action.operations.iter_mut().for_each(|o| o.truncate(1));
        action.after.iter_mut().for_each(|group| group.truncate(1));
    }
}

/// Holds one record against the oracle; false where ways tie and record order would have to decide.
fn drawn(method: &Method, world: &World, (near, limited): (bool, bool), seed: u64, cover: &mut Coverage) -> bool {
    let chosen = if near { method.with_switch("where-worst-is-met", "part").unwrap() } else { method.clone() };
    let chosen = if limited { chosen.with_switch("pairing-of-the-battery", "limited").unwrap() } else { chosen };
    let Some(oracle) = Oracle::new(world, (near, limited), cover) else { return false };
    let rows = oracle.rows();
    compare(&chosen, world, std::slice::from_ref(&rows), seed);
    cover.hit(format!("{}, folding {}", world.category, world.folding));
    if near {
        let mut unheard = Coverage::default();
        let Some(route) = Oracle::new(world, (false, limited), &mut unheard) else { return true };
        let route = route.rows();
        for (id, verdict) in &rows {
            let (row, _) = id.split_once('/').unwrap_or((id, ""));
            if route[id] != *verdict && (row.ends_with("fasteners") || row.ends_with("tools")) {
                cover.hit(format!("read at the part: {row}"));
            }
        }
        cover.hit(format!("read at the part {}", if route["all"] == rows["all"] { "alike" } else { "otherwise" }));
    }
    true
}

fn both(wanted: &mut Vec<String>, what: &str) {
    wanted.extend(["met", "missed"].map(|v| format!("{what} {v}")));
}

fn wanted(cover: &Coverage) {
    let mut wanted: Vec<String> = Vec::new();
    for row in ["all", "disassembly", "listed", "user", "battery", "battery-ways", "way-1", "way-2", "spare-parts"] {
        both(&mut wanted, row);
    }
    for row in ["to-professionals", "to-end-users", "terms", "terms-of-the-part", "bundling", "unbundled", "sealed"] {
        both(&mut wanted, row);
    }
    for row in ["pairing-professionals", "pairing-end-users", "software", "functionality-updates", "security-updates"] {
        both(&mut wanted, row);
    }
    for row in ["battery-endurance", "sealed-company", "duration", "delivery", "price", "listed-part", "user-part"] {
        both(&mut wanted, row);
    }
    for prefix in ["listed", "user", "way-1", "way-2"] {
        for row in ["way", "fasteners", "tools", "environment", "skill"] {
            both(&mut wanted, &format!("{prefix}-{row}"));
        }
    }
    both(&mut wanted, "way-2-capacity-500");
    both(&mut wanted, "way-2-capacity-1000");
    for kind in ["phone", "tablet"] {
        for row in ["way-2-dust", "way-2-water", "sealed-dust", "sealed-water", "power-key", "volume-keys", "port"] {
            both(&mut wanted, &format!("{row}-{kind}"));
        }
    }
    let professional: Vec<&str> = ["battery"].into_iter().chain(PROFESSIONAL).collect();
    for role in ["display assembly"].iter().chain(&PROFESSIONAL) {
        both(&mut wanted, &format!("listed-part {role}"));
    }
    USER_REPLACED.iter().for_each(|r| both(&mut wanted, &format!("user-part {r}")));
    professional.iter().for_each(|r| both(&mut wanted, &format!("to-professionals {r}")));
    PROFESSIONAL.iter().for_each(|r| both(&mut wanted, &format!("pairing-professionals {r}")));
    for role in &END_USER[1..] {
        both(&mut wanted, &format!("to-end-users {role}"));
        both(&mut wanted, &format!("pairing-end-users {role}"));
    }
    for row in ["battery-offer", "battery-lasting", "battery-pairing", "pairing-lasting", "information-and-reset"] {
        both(&mut wanted, row);
    }
    both(&mut wanted, "repair-information");
    both(&mut wanted, "factory-reset");
    both(&mut wanted, "battery not to end users, lasting");
    both(&mut wanted, "pairing limited, lasting");
    for role in PROFESSIONAL.iter().chain(&END_USER) {
        ["duration", "delivery", "price", "bundling"]
            .iter()
            .for_each(|row| both(&mut wanted, &format!("{row} {role}")));
        wanted.push(format!("bundling {role} not asked"));
    }
    for prefix in ["listed", "user", "way-1", "way-2"] {
        let words = KINDS.iter().chain(&CLASSES).chain(&PLACES).chain(&SKILLS).chain(&["only by damage", "no way"]);
        wanted.extend(words.map(|w| format!("{prefix} {w}")));
    }
    let battery =
        [("met", "met"), ("met", "missed"), ("missed", "met"), ("missed", "missed"), ("not asked", "not asked")];
    wanted.extend(battery.map(|(a, b)| format!("battery: first way {a}, second {b}")));
    wanted.extend((0..4).map(|c| format!("company {c}")));
    for kind in ["phone", "tablet"] {
        let states = [
            "sealed",
            "not sealed",
            "but for dust",
            "but for water",
            "but for power",
            "but for volume",
            "but for port",
        ];
        wanted.extend(states.map(|s| format!("larger assembly {kind}: {s}")));
    }
    for list in ["professional", "user"] {
        wanted.extend(ACCESS.iter().map(|a| format!("{list} to {a}")));
        wanted.extend(PAIRINGS.iter().chain(&["no pairing"]).map(|a| format!("{list} pairing {a}")));
    }
    wanted.extend([6, 7].map(|y| format!("years {y}")));
    wanted.extend([5, 6].map(|d| format!("delivery {d}")));
    wanted.extend(["by role", "p0", "every part"].map(|k| format!("promise {k}")));
    let odd =
        ["sealed in vain", "no such part, sealed", "no such part, not sealed", "one instance met, another missed"];
    wanted.extend(odd.map(str::to_owned));
    for prefix in ["listed", "user", "way-1", "way-2"] {
        wanted.extend(["fasteners", "tools"].map(|row| format!("read at the part: {prefix}-{row}")));
    }
    wanted.extend(["alike", "otherwise"].map(|w| format!("read at the part {w}")));
    wanted
        .extend(["smartphone", "slate tablet"].iter().flat_map(|c| [true, false].map(|f| format!("{c}, folding {f}"))));
    cover.assert(wanted);
}

/// Up to two facts hidden: what any completion can make of a row is its range.
#[test]
fn not_settled_where_completions_differ() {
    let method = load_shipped("eu-2023-1670").unwrap();
    let mut cover = Coverage::default();
    let (mut bounds, mut nodes) = (0, 0);
    for seed in 0..170_u64 {
        let mut dice = Dice::new(seed + 9_001);
        let mut world = world(seed * 7 + 3, &mut dice);
        for _ in 0..=dice.below(2) {
            let hidden = hide(&world, &mut dice);
            let digits = |h: &Hidden| matches!(h, Hidden::Ingress | Hidden::IngressOr(..));
            let again = world.hidden.iter().any(|h| *h == hidden || digits(h) && digits(&hidden));
            if !again {
                world.hidden.push(hidden);
            }
        }
        let mut heard = Coverage::default();
        let all: Option<Vec<_>> =
            world.completions().iter().map(|w| Some(Oracle::new(w, (false, false), &mut heard)?.rows())).collect();
        let Some(all) = all else { continue };
        let found = compare(&method, &world, &all, seed);
        bounds += found.root.walk().iter().filter(|n| !n.exact).count();
        nodes += found.root.walk().len();
        let ends = [&found.root.low, &found.root.high].map(|v| v.as_ref().map(|v| found.show(v)).unwrap());
        cover.hit(format!("{} to {}", ends[0], ends[1]));
        for hidden in &world.hidden {
            let name = format!("{hidden:?}");
            let name = name.split(['(', ' ']).next().unwrap();
            let open = found.root.walk().iter().any(|n| n.low != n.high);
            cover.hit(format!("{name} {}", if open { "open" } else { "no matter" }));
        }
    }
    assert!(nodes > 20 * bounds, "{bounds} of {nodes} ranges are bounds");
    let mut wanted: Vec<String> = ["fail to fail", "fail to pass", "pass to pass"].map(str::to_owned).to_vec();
    let names = [
        "Cycles",
        "Capacity500",
        "Capacity1000",
        "Ingress",
        "IngressOr",
        "Endurance",
        "Updates",
        "Security",
        "Class",
        "Place",
        "Skill",
        "Works",
        "Paired",
        "To",
        "Years",
        "Delivery",
        "Published",
        "Pairing",
    ];
    wanted.extend(names.map(|n| format!("{n} open")));
    cover.assert(wanted);
}

fn hide(world: &World, dice: &mut Dice) -> Hidden {
    let action = dice.below(world.actions.len());
    let (tool, spare, part) = (dice.below(3), dice.below(world.spares.len()), dice.below(world.parts.len()));
    let three = dice.below(3);
    match dice.below(18) {
        0 => Hidden::Cycles,
        1 => Hidden::Capacity500,
        2 => Hidden::Capacity1000,
        3 => Hidden::Ingress,
        4 => {
            let codes = [(4, 8), (6, 2), (3, 1)];
            let (dust, water) = if codes[three] == world.ingress { codes[(three + 1) % 3] } else { codes[three] };
            Hidden::IngressOr(dust, water)
        }
        5 => Hidden::Endurance(three),
        6 => Hidden::Updates,
        7 => Hidden::Security,
        8 => Hidden::Class(tool),
        9 => Hidden::Place(action),
        10 => Hidden::Skill(action),
        11 if !world.actions[action].failed && !world.actions[action].frees.is_empty() => Hidden::Works(action),
        11 | 12 => Hidden::Paired(part),
        13 => Hidden::To(spare),
        14 => Hidden::Years(spare),
        15 => Hidden::Delivery(spare),
        16 => Hidden::Published(spare),
        _ => Hidden::Pairing(spare),
    }
}

/// Dust of one code and water of the other is no code: `IP48 | IP62` is under IP67 either way.
#[test]
fn two_codes_are_not_mixed() {
    let method = load_shipped("eu-2023-1670").unwrap();
    let mut world = world(6, &mut Dice::new(5));
    world.category = "smartphone";
    world.parts[0].roles.push("battery".to_owned());
    world.absent.retain(|r| r != "battery");
    world.ingress = (4, 8);
    world.hidden = vec![Hidden::IngressOr(6, 2)];
    let found = Assessment::new(&world.record(), &method, Effort::default());
    let way = found.find("way-2/battery").unwrap();
    assert_eq!([&way.low, &way.high].map(Clone::clone), [Some(Exact::zero()), Some(Exact::zero())]);
}

/// A piece is paired or not, whatever roles it fills: one question.
#[test]
fn one_piece_is_one_question() {
    let method = load_shipped("eu-2023-1670").unwrap();
    let mut world = world(6, &mut Dice::new(5));
    world.parts[0].roles = ["microphone", "speaker"].map(str::to_owned).to_vec();
    let all: Vec<&str> = PROFESSIONAL.iter().chain(&END_USER).copied().collect();
    world.absent = world.lacking(&all);
    world.spares.iter_mut().for_each(|s| s.pairing = 5);
    world.hidden = vec![Hidden::Paired(0)];
    let found = Assessment::new(&world.record(), &method, Effort::default());
    let asked: Vec<&str> = found.unknowns.iter().map(|u| u.path.as_str()).collect();
    assert_eq!(asked, ["parts.p0.paired"]);
}

/// A phone that meets everything, and one change of its promises: what nobody mentions is not settled, what is offered to
/// nobody is missed in every term that an offer has.
#[rstest]
#[case::as_it_is("", "", &[("all", "pass")])]
#[case::a_speaker_nobody_mentions(
    "  - speaker\n", "",
    &[("listed-part/speaker", "open"), ("to-professionals/part/speaker", "pass"), ("disassembly", "open"), ("all", "open")],
)]
#[case::no_offer_of_the_cell(
    "{to: public, years: 10, delivery: 5 working days, price: 160 EUR, price published: yes, interface: standard part, \
     pairing: not needed}",
    "{to: none}",
    &[
        ("to-professionals/part/battery", "fail"),
        ("battery-offer", "fail"),
        ("duration/battery", "fail"),
        ("delivery/battery", "fail"),
        ("price/battery", "fail"),
        ("bundling/battery", "pass"),
        ("battery-pairing", "pass"),
        ("duration/display assembly", "pass"),
        ("all", "fail"),
    ],
)]
#[case::an_offer_whose_terms_are_those_of_every_part(
    "{to: public, years: 10, delivery: 5 working days, price: 160 EUR, price published: yes, interface: standard part, \
     pairing: not needed}",
    "{to: public}",
    &[
        ("battery-offer", "pass"),
        ("duration/battery", "pass"),
        ("delivery/battery", "pass"),
        ("price/battery", "pass"),
        ("all", "pass"),
    ],
)]
#[case::an_offer_without_terms(
    "{to: public, years: 8, delivery: 4 working days, price: 100 EUR, price published: yes, interface: standard interface, \
     pairing: public}",
    "{to: public}",
    &[
        ("duration/battery", "pass"),
        ("duration/charging port", "open"),
        ("delivery/charging port", "open"),
        ("price/charging port", "open"),
        ("to-professionals/part/charging port", "pass"),
        ("all", "open"),
    ],
)]
#[case::not_sealed_but_nothing_shared(
    "IP67",
    "IP20",
    &[
        ("sealed/battery", "fail"),
        ("bundling/battery", "pass"),
        ("bundling/charging port", "pass"),
        ("bundling/hinge assembly", "not asked"),
        ("all", "pass"),
    ],
)]
#[case::serialised_by_nobody_knows(
    "glass: {role: display assembly, paired: yes}", "glass: {role: display assembly}",
    &[("pairing-end-users/part/display assembly", "pass"), ("all", "pass")],
)]
fn promises_that_are_not_made(#[case] from: &str, #[case] to: &str, #[case] wanted: &[(&str, &str)]) {
    let slab = include_str!("../../fixtures/measures/slab.yaml");
    assert!(from.is_empty() || slab.matches(from).count() == 1, "{from}");
    let text = if from.is_empty() { slab.to_owned() } else { slab.replace(from, to) };
    let mut sources = Sources::new();
    let file = sources.add(Source::new("slab.yaml", &text));
    let record = read(&sources, file).record.unwrap();
    let found = Assessment::new(&record, &load_shipped("eu-2023-1670").unwrap(), Effort::default());
    for (id, word) in wanted {
        let node = found.find(id).unwrap();
        let said = match (&node.low, &node.high) {
            (Some(low), Some(high)) if low == high => found.show(low),
            (None, None) => "not asked".to_owned(),
            _ => "open".to_owned(),
        };
        assert_eq!(said, *word, "{id}");
    }
}
