//! Removal of the battery by the end user against an independent reimplementation: each condition from the terms below, on
//! random records, on the way that meets the most, found by going through every order. Every condition is met and missed,
//! every tool class is hit on its side, heat and solvents apart, and every reading of the open questions.
//!
//! Regulation (EU) 2023/1542, Article 11(1): read. It asks nothing of skill. That a way which destroys a part is none, and which
//! of the classes here are its specialised tools and its tools that come with the product: own, with switches.

use crate::oracle_world;

use std::collections::BTreeMap;

use oracle_world::{CLASSES, Coverage, Dice, FOLDING, Hidden, Reach, Way, World};
use scoring::exact::Exact;
use scoring::method::load_shipped;
use scoring::range::{Assessment, Effort};

/// Commercially available tools; specialised ones only if supplied free of charge with the product (a supplied tool is taken
/// as free); no proprietary tools. What doesn't exist can't be bought.
const ALLOWED: [&str; 4] = ["none", "basic", "supplied with product", "commercially available"];

/// How the open questions are read.
#[derive(Clone, Copy, Default)]
struct Reading {
    at_part: bool,
    /// A tool that comes with the spare part counts as supplied.
    with_part: bool,
    /// A tool for a group of products counts as commercially available.
    of_group: bool,
}

/// The record as the reading takes its tools: what is not allowed counts as proprietary.
fn as_read(world: &World, reading: Reading) -> World {
    let place = |word: &str| CLASSES.iter().position(|c| *c == word).unwrap();
    let mut out = world.clone();
    for tool in &mut out.tools {
        tool.class = match (CLASSES[tool.class], reading) {
            ("supplied with part", Reading { with_part: true, .. }) => place("supplied with product"),
            ("product-group specific", Reading { of_group: true, .. }) => place("commercially available"),
            ("supplied with part" | "product-group specific", _) => place("proprietary"),
            _ => tool.class,
        };
    }
    out
}

/// Devices with a portable battery, and what else such a device may have.
const DEVICES: [(&str, bool, &[&str]); 7] = [
    ("smartphone", false, &["back cover", "display assembly"]),
    ("smartphone", true, &["back cover", "hinge assembly"]),
    ("slate tablet", false, &["display assembly"]),
    ("slate tablet", true, &["display folding mechanism", "speaker"]),
    ("laptop", false, &["bottom cover", "keyboard"]),
    ("cordless vacuum cleaner", false, &["filter", "motor"]),
    ("other", false, &["back cover", "switch"]),
];

type Verdict = Option<bool>;

/// Every row; `None` where only record order could tell equally good routes apart.
fn rows(world: &World, reading: Reading, cover: &mut Coverage) -> Option<BTreeMap<String, Verdict>> {
    for tool in &world.tools {
        cover.hit(format!("written: {}", CLASSES[tool.class]));
    }
    let (world, at_part) = (&as_read(world, reading), reading.at_part);
    let cells = world.instances("battery");
    let mut ways: Vec<Way> = Vec::new();
    for cell in &cells {
        let judge = |way: &Way| {
            let met = if at_part { &way.part } else { &way.route };
            let rows =
                [true, ALLOWED.contains(&CLASSES[met.class]), !met.hot].map(|row| way.reach == Reach::Yes && row);
            (usize::from(rows.iter().all(|row| *row)), rows.to_vec())
        };
        let all = world.all_ways(*cell, oracle_world::Counting::USUAL);
        ways.push(oracle_world::best_way(all, cells.len() > 1, judge)?);
    }
    let mut out = BTreeMap::new();
    let mut row = |id: &str, met: &dyn Fn(&Way) -> bool| {
        let each: Vec<bool> = ways.iter().map(met).collect();
        if each.contains(&true) && each.contains(&false) {
            cover.hit(format!("{id} of one battery and not of another"));
        }
        let verdict = each.into_iter().reduce(|a, b| a && b);
        cover.hit(format!("{id} {verdict:?}"));
        out.insert(format!("{id}/battery"), verdict);
        verdict
    };
    let yes = |way: &Way| way.reach == Reach::Yes;
    let met = |way: &Way| if at_part { way.part.clone() } else { way.route.clone() };
    let all = [
        row("way", &yes),
        row("tools", &|w| yes(w) && ALLOWED.contains(&CLASSES[met(w).class])),
        row("heat-or-solvent", &|w| yes(w) && !met(w).hot),
    ];
    let whole = all.into_iter().flatten().reduce(|a, b| a && b);
    cover.hit(format!("removal {whole:?}"));
    out.insert("removal/battery".to_owned(), whole);
    out.insert("battery".to_owned(), whole);
    for (way, cell) in ways.iter().zip(cells) {
        match way.reach {
            Reach::Yes => {
                cover.hit(format!("tools {}", CLASSES[met(way).class]));
                if met(way).hot {
                    let used = |f: fn(&oracle_world::Tool) -> bool| world.tools.iter().any(f);
                    let what = match (used(|t| t.heat), used(|t| t.solvent)) {
                        (true, false) => "heat",
                        (false, true) => "solvent",
                        _ => "either",
                    };
                    cover.hit(format!("hot by {what}"));
                }
            }
            Reach::Damage => cover.hit("only by damage"),
            Reach::No => cover.hit("no way"),
        }
        cover.hit(if world.parts[cell].roles.len() > 1 { "battery in company" } else { "battery by itself" });
    }
    Some(out)
}

fn world(seed: u64, dice: &mut Dice) -> World {
    let (category, folding, beside) = DEVICES[(seed % 7) as usize];
    let mut roles: Vec<&str> = vec!["battery"];
    roles.extend(beside);
    let mut world = World::random(seed + 40_000, category, folding, &roles, &[5, 7]);
    if !world.instances("battery").is_empty() && dice.percent(20) {
        let spot = dice.below(world.parts.len());
        if !world.parts[spot].roles.iter().any(|r| r == "battery") {
            world.parts[spot].roles.push("battery".to_owned());
        }
    }
    world.absent = world.lacking(&roles);
    if folding {
        world.absent.extend(world.lacking(&FOLDING));
        world.absent.sort();
        world.absent.dedup();
    }
    if dice.percent(25) {
        world.tools.iter_mut().for_each(|t| t.heat = false);
        world.tools[dice.below(3)].solvent = true;
    }
    world
}

fn exact(verdict: Verdict) -> Option<Exact> {
    verdict.map(|met| Exact::from(i64::from(met)))
}

#[test]
fn agrees_on_random_records() {
    let method = load_shipped("eu-2023-1542-11").unwrap();
    let mut cover = Coverage::default();
    let (mut used, mut tied, mut bounds, mut all_nodes) = (0, 0, 0, 0);
    for seed in 0..1500_u64 {
        let mut dice = Dice::new(seed + 5);
        let mut world = world(seed, &mut dice);
        let near = seed % 4 == 3;
        let reading = Reading { at_part: near, with_part: seed % 3 == 1, of_group: seed % 7 > 3 };
        let options = [
            ("where-worst-is-met", if near { "part" } else { "route" }),
            ("tools-with-the-spare-part", if reading.with_part { "allowed" } else { "not allowed" }),
            ("specialised-tools", if reading.of_group { "allowed" } else { "not allowed" }),
        ];
        let chosen = options.iter().fold(method.clone(), |m, (switch, option)| m.with_switch(switch, option).unwrap());
        if near && dice.percent(30) {
            world.tools[0].class = 6;
        }
        // A fact that nobody established, in every fifth record.
        if seed % 5 == 2 {
            let action = dice.below(world.actions.len());
            let can_open = !world.actions[action].failed && !world.actions[action].frees.is_empty();
            match dice.below(3) {
                0 => world.hidden.push(Hidden::Class(dice.below(3))),
                1 if can_open => world.hidden.push(Hidden::Works(action)),
                _ => world.hidden.push(Hidden::Class(dice.below(3))),
            }
        }
        let mut heard = Coverage::default();
        let all: Option<Vec<_>> = world.completions().iter().map(|w| rows(w, reading, &mut heard)).collect();
        let Some(all) = all else {
            tied += 1;
            continue;
        };
        used += 1;
        let found = Assessment::new(&world.record(), &chosen, Effort::default());
        let nodes = found.root.walk();
        assert_eq!(nodes.len(), all[0].len(), "{seed}: the tree and the oracle differ in rows");
        for node in nodes {
            let values = || all.iter().filter_map(|r| r[&node.id]);
            let ends = [exact(values().min()), exact(values().max())];
            let given = [node.low.clone(), node.high.clone()];
            // A row below the verdict may be a bound; nothing leaves it.
            let held = node.exact || node.id == found.root.id;
            let within = if held { given == ends } else { given[0] <= ends[0] && ends[1] <= given[1] };
            assert!(within, "{seed}: {} {given:?} {ends:?}\n{}", node.id, world.text());
            bounds += usize::from(!node.exact);
            all_nodes += 1;
        }
        if let (Some(low), Some(high)) = (&found.root.low, &found.root.high) {
            cover.hit(format!("{} to {}", found.show(low), found.show(high)));
            if low != high {
                let name = format!("{:?}", world.hidden[0]);
                cover.hit(format!("open by {}", name.split('(').next().unwrap()));
            }
        } else {
            cover.hit("no battery");
        }
        if world.hidden.is_empty() {
            let hit = rows(&world, reading, &mut cover).unwrap();
            cover.hit(format!("{}, folding {}: {:?}", world.category, world.folding, hit["battery"]));
            if near {
                let Some(route) = rows(&world, Reading { at_part: false, ..reading }, &mut heard) else { continue };
                for id in ["tools", "heat-or-solvent", "removal"] {
                    let key = format!("{id}/battery");
                    let words = if route[&key] == hit[&key] { "alike" } else { "otherwise" };
                    cover.hit(format!("read at the part: {id} {words}"));
                }
            }
        }
    }
    assert!(used > 8 * tied, "{used} records, {tied} left to record order");
    assert!(all_nodes > 20 * bounds, "{bounds} of {all_nodes} ranges are bounds");
    let mut wanted: Vec<String> = Vec::new();
    for id in ["way", "tools", "heat-or-solvent", "removal"] {
        wanted.extend(["Some(true)", "Some(false)", "None"].map(|v| format!("{id} {v}")));
    }
    wanted.extend(["way", "tools", "heat-or-solvent"].map(|id| format!("{id} of one battery and not of another")));
    wanted.extend(CLASSES.iter().filter(|c| !["none", "not feasible"].contains(c)).map(|c| format!("written: {c}")));
    wanted.extend(["none", "proprietary", "not feasible"].iter().chain(&ALLOWED[1..]).map(|c| format!("tools {c}")));
    wanted.extend(["heat", "solvent"].map(|w| format!("hot by {w}")));
    let odd = ["only by damage", "no way", "battery in company", "battery by itself", "no battery"];
    wanted.extend(odd.map(str::to_owned));
    wanted.extend(["fail to fail", "fail to pass", "pass to pass"].map(str::to_owned));
    wanted.extend(["Class", "Works"].map(|h| format!("open by {h}")));
    for id in ["tools", "heat-or-solvent", "removal"] {
        wanted.extend(["alike", "otherwise"].map(|w| format!("read at the part: {id} {w}")));
    }
    for (category, folding, _) in DEVICES {
        wanted.extend(["Some(true)", "Some(false)"].map(|v| format!("{category}, folding {folding}: {v}")));
    }
    cover.assert(wanted);
}
