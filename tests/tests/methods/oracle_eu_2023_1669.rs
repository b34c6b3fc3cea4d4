//! The EU repairability index against an independent reimplementation: plain arithmetic from the tables below, on random
//! records, routes recounted by going through every order. Every row of every table, every class and every option of every
//! switch is hit.
//!
//! Delegated Regulation (EU) 2023/1669, Annex IV point 5, whose own wording was not available; certainties beside each table.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "small numbers of small records"
)]

use crate::oracle_world;

use num_rational::Ratio;
use oracle_world::{CLASSES, Counting, Coverage, FOLDING, Heat, KINDS, Reach, Way, World, choices, unbeaten};
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::{Assessment, Effort, class_of};
use scoring::vocab::{Category, Form};

type R = Ratio<i64>;

/// Not folding: secondary (analyst article). In hundredths.
const FLAT: [(&str, i64); 9] = [
    ("battery", 30),
    ("display assembly", 30),
    ("back cover", 10),
    ("front camera", 5),
    ("rear camera", 5),
    ("charging port", 5),
    ("button", 5),
    ("microphone", 5),
    ("speaker", 5),
];
/// Folding, the second set that is told of: memory low.
const FOLDS_OTHERWISE: [(&str, i64); 10] = [
    ("battery", 25),
    ("display assembly", 25),
    ("hinge", 20),
    ("back cover", 6),
    ("front camera", 4),
    ("rear camera", 4),
    ("charging port", 4),
    ("button", 4),
    ("microphone", 4),
    ("speaker", 4),
];
/// Folding: memory low. The hinge third is either of two roles.
const FOLDS: [(&str, i64); 10] = [
    ("battery", 25),
    ("display assembly", 25),
    ("hinge", 18),
    ("back cover", 8),
    ("front camera", 4),
    ("rear camera", 4),
    ("charging port", 4),
    ("button", 4),
    ("microphone", 4),
    ("speaker", 4),
];
/// `S_DD`, `S_F`, `S_T`, `S_SP`, `S_SU`, `S_RI` in hundredths: secondary (EU-funded compliance guidance).
const PARAMETERS: [(&str, i64); 6] = [("S_DD", 25), ("S_F", 15), ("S_T", 15), ("S_SP", 15), ("S_SU", 15), ("S_RI", 15)];

/// Reading of the open questions.
#[derive(Clone, Copy)]
struct Reading {
    at_part: bool,
    surcharge: usize,
    counting: Counting,
    absent_left_out: bool,
    rounded: bool,
    second_folding: bool,
}

/// up to 2: 5, 3-5: 4, 6-10: 3, 11-15: 2, over 15: 1 (secondary).
fn depth(steps: usize) -> i64 {
    match steps {
        0..=2 => 5,
        3..=5 => 4,
        6..=10 => 3,
        11..=15 => 2,
        _ => 1,
    }
}

/// reusable 5, resupplied 3 (secondary), removable 1 (memory high); neither 1 (own).
const FASTENERS: [i64; 4] = [5, 3, 1, 1];
/// none 5, basic 4, with part 3, with product 2, commercially available 1 (memory high, 2 and 3 medium); others 1 (own).
const TOOLS: [i64; 8] = [5, 4, 3, 2, 1, 1, 1, 1];

struct Oracle<'w> {
    world: &'w World,
    reading: Reading,
    ways: Vec<Way>,
}

impl<'w> Oracle<'w> {
    /// `None` where only record order could tell equally good routes apart.
    fn new(world: &'w World, reading: Reading) -> Option<Self> {
        let all: Vec<Vec<Way>> = (0..world.parts.len()).map(|p| world.ways(p, reading.counting)).collect();
        let ways = all.into_iter().map(|w| if w.len() == 1 { w.into_iter().next() } else { None });
        Some(Self { world, reading, ways: ways.collect::<Option<_>>()? })
    }

    /// One for every choice of routes that may give the most; `None`: too many to go through.
    fn of_every_choice(world: &'w World, reading: Reading) -> Option<Vec<Self>> {
        let mut each = Vec::new();
        for part in 0..world.parts.len() {
            let points = |way: &Way| {
                let one = Self { world, reading, ways: vec![way.clone(); part + 1] };
                ["S_DD", "S_F", "S_T"].map(|id| one.points(id, part, &mut Coverage::default())).to_vec()
            };
            each.push(unbeaten(world.all_ways(part, reading.counting), points));
        }
        let choices = choices(&each, 3_000)?;
        Some(choices.into_iter().map(|ways| Self { world, reading, ways }).collect())
    }

    fn weights(&self) -> Vec<(&'static str, i64)> {
        match (self.world.folding, self.reading.second_folding) {
            (true, true) => FOLDS_OTHERWISE.to_vec(),
            (true, false) => FOLDS.to_vec(),
            (false, _) => FLAT.to_vec(),
        }
    }

    fn instances(&self, role: &str) -> Vec<usize> {
        if role != "hinge" {
            return self.world.instances(role);
        }
        // The first of the two that the device has.
        FOLDING.iter().map(|r| self.world.instances(r)).find(|l| !l.is_empty()).unwrap_or_default()
    }

    fn role_there(&self, role: &str) -> String {
        let hinge = FOLDING.iter().find(|r| !self.world.instances(r).is_empty());
        if role == "hinge" { hinge.map_or(role, |r| *r).to_owned() } else { role.to_owned() }
    }

    fn parameter(&self, id: &str, cover: &mut Coverage) -> R {
        let (mut sum, mut weights) = (R::from(0), R::from(0));
        for (role, weight) in self.weights() {
            let weight = R::from(weight);
            let points = self.instances(role).into_iter().map(|p| self.points(id, p, cover)).min();
            let points = match points {
                Some(points) => points,
                None if self.reading.absent_left_out => continue,
                None => {
                    cover.hit("absent");
                    5
                }
            };
            sum += weight * points;
            weights += weight;
        }
        sum / weights
    }

    fn points(&self, id: &str, part: usize, cover: &mut Coverage) -> i64 {
        let way = &self.ways[part];
        if way.reach != Reach::Yes {
            cover.hit(if way.reach == Reach::No { "no way" } else { "only by damage" });
            return 1;
        }
        let met = if self.reading.at_part { &way.part } else { &way.route };
        match id {
            "S_DD" => {
                let paired = self.world.parts[part].paired;
                let steps = way.steps + if paired { self.reading.surcharge } else { 0 };
                cover.hit(format!("steps {}", steps.min(17)));
                depth(steps)
            }
            "S_F" => {
                cover.hit(format!("fasteners {}", KINDS[met.kind]));
                FASTENERS[met.kind]
            }
            _ => {
                cover.hit(format!("tools {}", CLASSES[met.class]));
                TOOLS[met.class]
            }
        }
    }

    /// Ladder of offers to end users: all 5, + cameras 4, + back cover 3, display + battery 2, display 1 (memory high).
    fn spares(&self, cover: &mut Coverage) -> i64 {
        let offered = |role: &str| {
            let role = self.role_there(role);
            self.world.instances(&role).iter().all(|p| self.world.spare(*p, &role).to == 0)
        };
        let all = |roles: &[&str]| roles.iter().all(|r| offered(r));
        let every: Vec<&str> = self.weights().iter().map(|(r, _)| *r).collect();
        let (points, rung) = if all(&every) {
            (5, "all")
        } else if all(&["display assembly", "battery", "back cover", "front camera", "rear camera"]) {
            (4, "cameras")
        } else if all(&["display assembly", "battery", "back cover"]) {
            (3, "back cover")
        } else if all(&["display assembly", "battery"]) {
            (2, "battery")
        } else if all(&["display assembly"]) {
            (1, "display")
        } else {
            (1, "below")
        };
        cover.hit(format!("spares {rung}"));
        points
    }

    /// 7 or more 5, 6 3, 5 1 (years secondary, points memory high); fewer 1 (own). The lesser of functionality and security
    /// updates (secondary).
    fn updates(&self, cover: &mut Coverage) -> i64 {
        cover.hit(format!("updates {}", self.world.updates));
        let security = self.world.security < self.world.updates;
        cover.hit(if security { "security updates decide" } else { "functionality updates decide" });
        match self.world.updates.min(self.world.security) {
            7.. => 5,
            6 => 3,
            _ => 1,
        }
    }

    /// Public and free 5, professionals free 3, professionals at a fee 1 (memory high); else 1 (own).
    fn information(&self, cover: &mut Coverage) -> i64 {
        let (to, free, _) = self.world.information;
        cover.hit(format!("information {to} {free}"));
        match (to, free) {
            (0, true) => 5,
            (1, true) => 3,
            _ => 1,
        }
    }

    fn scores(&self, cover: &mut Coverage) -> Vec<(&'static str, R)> {
        let score = |id: &'static str, cover: &mut Coverage| match id {
            "S_SP" => R::from(self.spares(cover)),
            "S_SU" => R::from(self.updates(cover)),
            "S_RI" => R::from(self.information(cover)),
            _ => self.parameter(id, cover),
        };
        PARAMETERS.iter().map(|(id, _)| (*id, score(id, cover))).collect()
    }

    /// A 4.00, B 3.35, C 2.55, D 1.75, E 1.00 (secondary). Two decimals, half up: memory medium.
    fn class(&self, r: R) -> &'static str {
        let r = if self.reading.rounded { (r * 100 + R::new(1, 2)).floor() / 100 } else { r };
        let bounds = [("A", 400), ("B", 335), ("C", 255), ("D", 175)];
        bounds.iter().find(|(_, b)| r >= R::new(*b, 100)).map_or("E", |(c, _)| c)
    }
}

fn exact(r: R) -> Exact {
    Exact::ratio(*r.numer(), *r.denom()).expect("a ratio")
}

#[test]
fn agrees_on_random_records() {
    // Rows are held on the shortest routes, which are one each; the index also on those that give it the most, the default.
    let best = load_shipped("eu-2023-1669").unwrap();
    let method = best.with_switch("route-read", "fewest steps").unwrap();
    let mut cover = Coverage::default();
    let (mut used, mut tied) = (0, 0);
    let (mut chosen_from, mut higher) = (0, 0);
    for seed in 0..1_080_u64 {
        let folding = seed % 3 == 0;
        let mut roles: Vec<&str> = FLAT.iter().map(|(r, _)| *r).collect();
        if folding {
            roles.push(FOLDING[(seed % 2) as usize]);
        }
        let category = if seed % 5 == 0 { "slate tablet" } else { "smartphone" };
        let mut world = World::random(seed, category, folding, &roles, &[5, 7]);
        world.absent.retain(|r| !FOLDING.contains(&r.as_str()));
        if folding {
            let other = FOLDING.into_iter().filter(|r| world.instances(r).is_empty()).map(str::to_owned);
            let other: Vec<String> = other.collect();
            world.absent.extend(other);
        }
        // One switch after another, each option beside all the rest at their defaults.
        let turn = seed / 6 % 10;
        let reading = Reading {
            at_part: turn == 1,
            surcharge: [0, 0, 1, 2, 0, 0, 0, 0, 0, 0][turn as usize],
            // Memory low, by analogy with (EU) 2023/2534: every heating, and each of several tools at once, is a step.
            counting: match turn {
                4 => Counting { each: false, heat: Heat::Nothing },
                8 => Counting { each: true, heat: Heat::Tool },
                9 => Counting { each: false, heat: Heat::Tool },
                _ => Counting { each: true, heat: Heat::Step },
            },
            absent_left_out: turn == 5,
            rounded: turn != 6,
            second_folding: turn == 7,
        };
        let switch = [
            None,
            Some(("where-worst-is-met", "part")),
            Some(("pairing-surcharge", "one")),
            Some(("pairing-surcharge", "two")),
            Some(("heating", "nothing")),
            Some(("absent-parts", "left out")),
            Some(("class-from", "exact")),
            Some(("folding-weights", "second")),
            Some(("heating", "tool-each")),
            Some(("heating", "tool")),
        ][turn as usize];
        let set = |method: &Method| {
            switch.map_or_else(|| method.clone(), |(id, option)| method.with_switch(id, option).unwrap())
        };
        let index = |scores: &[(&str, R)]| -> R {
            scores.iter().zip(PARAMETERS).map(|((_, s), (_, w))| s * R::new(w, 100)).sum()
        };
        if let Some(all) = Oracle::of_every_choice(&world, reading) {
            let found = Assessment::new(&world.record(), &set(&best), Effort::default());
            let totals = all.iter().map(|one| index(&one.scores(&mut Coverage::default())));
            let most = totals.max().expect("a choice");
            let ends = [Some(exact(most)), Some(exact(most))];
            assert_eq!([found.root.low.clone(), found.root.high.clone()], ends, "{seed}: most\n{}", world.text());
            assert_eq!(found.classes.as_ref().unwrap()[0], all[0].class(most), "{seed}: class of {most}");
            chosen_from += usize::from(all.len() > 1);
            let shortest = Oracle::new(&world, reading).map(|one| index(&one.scores(&mut Coverage::default())));
            higher += usize::from(shortest.is_some_and(|s| s < most));
        }
        let Some(oracle) = Oracle::new(&world, reading) else {
            tied += 1;
            continue;
        };
        used += 1;
        let record = world.record();
        let chosen = set(&method);
        let found = Assessment::new(&record, &chosen, Effort::default());
        let scores = oracle.scores(&mut cover);
        let r = index(&scores);
        for (id, score) in scores {
            let node = found.find(id).unwrap();
            let ends = [Some(exact(score)), Some(exact(score))];
            assert_eq!([node.low.clone(), node.high.clone()], ends, "{seed}: {id}\n{}", world.text());
        }
        let ends = [Some(exact(r)), Some(exact(r))];
        assert_eq!([found.root.low.clone(), found.root.high.clone()], ends, "{seed}: R\n{}", world.text());
        let class = oracle.class(r);
        assert_eq!(found.classes.as_ref().unwrap()[0], class, "{seed}: class of {r}");
        cover.hit(format!("class {class}"));
        // A switch counts as hit where its option changes what the default gives.
        let plain = Assessment::new(&record, &method, Effort::default());
        if let Some((id, option)) = switch
            && (plain.root.low != found.root.low || plain.classes != found.classes)
        {
            cover.hit(format!("switch {id} {option}"));
        }
        cover.hit(format!("{category}, folding {folding}"));
    }
    assert!(used > 5 * tied, "{used} records, {tied} left to record order");
    assert!(
        chosen_from > 25 && higher > 25,
        "a choice in {chosen_from} records, {higher} read higher than the shortest"
    );
    let mut wanted: Vec<String> = ["absent", "no way", "only by damage"].map(str::to_owned).to_vec();
    wanted.extend([1, 2, 3, 5, 6, 10, 11, 15, 16, 17].map(|s| format!("steps {s}")));
    wanted.extend(KINDS.map(|k| format!("fasteners {k}")));
    wanted.extend(CLASSES.map(|c| format!("tools {c}")));
    wanted.extend(["all", "cameras", "back cover", "battery", "display", "below"].map(|r| format!("spares {r}")));
    wanted.extend([0, 4, 5, 6, 7, 10].map(|y| format!("updates {y}")));
    wanted.extend((0..5).flat_map(|to| [true, false].map(|free| format!("information {to} {free}"))));
    wanted.extend(["A", "B", "C", "D", "E"].map(|c| format!("class {c}")));
    wanted.extend(
        ["where-worst-is-met part", "pairing-surcharge one", "pairing-surcharge two"].map(|s| format!("switch {s}")),
    );
    wanted.extend(["security", "functionality"].map(|w| format!("{w} updates decide")));
    wanted.extend(["heating nothing", "heating tool-each", "heating tool"].map(|s| format!("switch {s}")));
    wanted.extend(["absent-parts left out", "folding-weights second"].map(|s| format!("switch {s}")));
    wanted
        .extend(["smartphone", "slate tablet"].iter().flat_map(|c| [true, false].map(|f| format!("{c}, folding {f}"))));
    cover.assert(wanted);
}

/// Random records rarely tie just under a bound: `class-from` is held on the values around every bound.
#[test]
fn class_from_the_rounded_index() {
    let method = load_shipped("eu-2023-1669").unwrap().for_device(Category::of("smartphone"), Form::NotFolding);
    let exact = method.with_switch("class-from", "exact").unwrap();
    for (r, exact_class, rounded_class) in
        [("3.995", "B", "A"), ("3.345", "C", "B"), ("2.5475", "D", "C"), ("1.7475", "E", "D"), ("3.9925", "B", "B")]
    {
        let r = Exact::parse(r).unwrap();
        assert_eq!(class_of(&exact, &r).as_deref(), Some(exact_class));
        assert_eq!(class_of(&method, &r).as_deref(), Some(rounded_class));
    }
}
