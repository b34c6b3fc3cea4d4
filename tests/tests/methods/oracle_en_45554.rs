//! The default verdict against an independent reimplementation: plain arithmetic from the tables below, on random records
//! of every category, routes recounted by going through every order. Every row of every table, every limiting factor on
//! and off, and both options of every switch are hit.
//!
//! Criteria categories and classes of EN 45554:2020 are from memory (the text is sold); points, weights and limits are the
//! project's own choices, so what is checked is that the engine does what the tables say.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "small numbers of small records"
)]

use crate::oracle_world;

use num_rational::Ratio;
use oracle_world::{
    ACCESS, CLASSES, Counting, Coverage, DATA, DIAGNOSES, Dice, FOLDING, Heat, INTERFACES, KINDS, PLACES, RESETS,
    Reach, SCOPES, SKILLS, Way, World, choices, unbeaten,
};
use scoring::exact::Exact;
use scoring::method::{Method, load_shipped};
use scoring::range::{Assessment, Effort};

type R = Ratio<i64>;
type Weights = &'static [(&'static str, i64)];

const FOLDS: Weights = &[
    ("battery", 5),
    ("display assembly", 5),
    ("hinge", 4),
    ("back cover", 3),
    ("charging port", 3),
    ("rear camera", 2),
    ("speaker", 2),
    ("front camera", 1),
    ("microphone", 1),
    ("button", 1),
];

/// Priority parts and weights (own).
const SETS: [(&str, bool, Weights); 8] = [
    ("smartphone", true, FOLDS),
    ("slate tablet", true, FOLDS),
    (
        "smartphone",
        false,
        &[
            ("battery", 5),
            ("display assembly", 5),
            ("back cover", 3),
            ("charging port", 3),
            ("rear camera", 2),
            ("speaker", 2),
            ("front camera", 1),
            ("microphone", 1),
            ("button", 1),
        ],
    ),
    (
        "slate tablet",
        false,
        &[
            ("battery", 5),
            ("display assembly", 5),
            ("charging port", 4),
            ("speaker", 2),
            ("button", 2),
            ("back cover", 2),
            ("rear camera", 1),
            ("front camera", 1),
            ("microphone", 1),
        ],
    ),
    (
        "laptop",
        false,
        &[
            ("battery", 5),
            ("keyboard", 4),
            ("display assembly", 4),
            ("storage drive", 4),
            ("fan", 3),
            ("memory module", 3),
            ("charging port", 3),
            ("bottom cover", 2),
            ("touchpad", 2),
            ("hinge assembly", 2),
            ("wireless card", 1),
            ("speaker", 1),
            ("camera", 1),
        ],
    ),
    (
        "cordless vacuum cleaner",
        false,
        &[
            ("battery", 5),
            ("brush roll", 4),
            ("filter", 4),
            ("motor", 3),
            ("switch", 3),
            ("charging port", 3),
            ("brush drive", 2),
            ("dust container", 2),
            ("control board", 2),
            ("hose", 1),
            ("wheel", 1),
        ],
    ),
    (
        "washing machine",
        false,
        &[
            ("drain pump", 5),
            ("door seal", 5),
            ("door lock", 4),
            ("heating element", 4),
            ("drum bearings", 4),
            ("motor", 3),
            ("motor brushes", 3),
            ("control board", 3),
            ("shock absorber", 3),
            ("drive belt", 3),
            ("inlet valve", 2),
            ("pressure sensor", 2),
            ("door hinge", 2),
        ],
    ),
    // Its own roles and shares.
    ("other", false, &[]),
];

/// Names for roles of a record's own (category other); one of them is a role of other categories too.
const OWN_ROLES: [&str; 6] = ["lamp head", "battery", "base ring", "key pad", "cord", "gear box"];

/// Criteria and weights (own), product-related and support-related; the groups weigh 3 and 2.
const BENCH: [(&str, i64); 7] = [
    ("depth", 4),
    ("fasteners", 3),
    ("tools", 3),
    ("environment", 1),
    ("skill", 2),
    ("isolation", 2),
    ("adhesives", 1),
];
const PROMISES: [(&str, i64); 9] = [
    ("diagnosis", 2),
    ("spare-target-group", 4),
    ("spare-interface", 1),
    ("spare-duration", 3),
    ("information-scope", 2),
    ("information-target-group", 3),
    ("return-options", 1),
    ("data", 1),
    ("reset", 1),
];
/// Criteria only for devices that hold a person's data.
const DATA_HOLDERS: [&str; 3] = ["smartphone", "slate tablet", "laptop"];
/// Points, best class first (own).
const KIND_POINTS: [i64; 4] = [10, 10, 5, 0];
const CLASS_POINTS: [i64; 8] = [10, 10, 10, 10, 7, 5, 2, 0];
const PLACE_POINTS: [i64; 3] = [10, 5, 0];
const SKILL_POINTS: [i64; 4] = [10, 7, 3, 0];
const ACCESS_POINTS: [i64; 5] = [10, 7, 3, 1, 0];
const LIMIT_SPARE: [i64; 5] = [10, 10, 6, 5, 4];
const LIMIT_TOOLS: [i64; 8] = [10, 10, 10, 10, 10, 10, 5, 3];

/// First bound that holds, for numbers where fewer is better; the last is for more.
fn up_to(n: usize, bands: &[(usize, i64)], more: i64) -> i64 {
    bands.iter().find(|(bound, _)| n <= *bound).map_or(more, |(_, points)| *points)
}

const SWITCHES: [&str; 7] =
    ["where-worst-is-met", "heating", "limit-way", "limit-tools", "limit-pairing", "limit-spare", "limit-price"];

struct Oracle<'w> {
    world: &'w World,
    /// The switches set to their other option.
    other: &'w [&'static str],
    weights: &'w [(&'static str, i64)],
    ways: Vec<Way>,
}

impl<'w> Oracle<'w> {
    fn new(world: &'w World, weights: &'w [(&'static str, i64)], other: &'w [&'static str]) -> Option<Self> {
        let heat = if other.contains(&"heating") { Heat::Nothing } else { Heat::Tool };
        let mut ways = Vec::new();
        for part in 0..world.parts.len() {
            let mut all = world.ways(part, Counting { each: false, heat });
            ways.push(if all.len() == 1 { all.remove(0) } else { return None });
        }
        Some(Self { world, other, weights, ways })
    }

    /// One for every choice of routes that may give the most; `None`: too many to go through.
    fn of_every_choice(
        world: &'w World,
        weights: &'w [(&'static str, i64)],
        other: &'w [&'static str],
    ) -> Option<Vec<Self>> {
        let heat = if other.contains(&"heating") { Heat::Nothing } else { Heat::Tool };
        let mut each = Vec::new();
        for part in 0..world.parts.len() {
            let points = |way: &Way| {
                let one = Self { world, other, weights, ways: vec![way.clone(); part + 1] };
                let cover = &mut Coverage::default();
                let rows = ["comes off alone", "parts in the way"].into_iter().chain(BENCH.map(|(id, _)| id));
                let rows = rows.filter(|id| *id != "isolation");
                let mut all: Vec<i64> = rows.map(|id| one.bench(id, part, cover).to_integer()).collect();
                all.extend(["limit-way", "limit-tools"].map(|id| one.limit_points(id, part, "", cover)));
                all
            };
            each.push(unbeaten(world.all_ways(part, Counting { each: false, heat }), points));
        }
        let choices = choices(&each, 3_000)?;
        Some(choices.into_iter().map(|ways| Self { world, other, weights, ways }).collect())
    }

    fn instances(&self, role: &str) -> (Vec<usize>, String) {
        let roles: Vec<&str> = if role == "hinge" { FOLDING.to_vec() } else { vec![role] };
        let found = roles.into_iter().map(|r| (self.world.instances(r), r.to_owned()));
        found.into_iter().find(|(list, _)| !list.is_empty()).unwrap_or_default()
    }

    /// Mean over the priority parts the device has, by part weight, of the worst instance.
    fn mean(&self, points: &mut dyn FnMut(usize, &str) -> R) -> Option<R> {
        let (mut sum, mut weights) = (R::from(0), 0);
        for (role, weight) in self.weights {
            let (parts, role) = self.instances(role);
            if let Some(worst) = parts.into_iter().map(|p| points(p, &role)).min() {
                sum += worst * weight;
                weights += weight;
            }
        }
        (weights > 0).then(|| sum / weights)
    }

    /// Worst over the parts of the highest weight.
    fn limit(&self, points: &mut dyn FnMut(usize, &str) -> i64) -> Option<R> {
        let top = self.weights.iter().map(|(_, w)| *w).max()?;
        let highest = self.weights.iter().filter(|(_, w)| *w == top);
        let all = highest.flat_map(|(role, _)| {
            let (parts, role) = self.instances(role);
            parts.into_iter().map(move |p| (p, role.clone())).collect::<Vec<_>>()
        });
        all.map(|(p, role)| points(p, &role)).min().map(R::from)
    }

    fn bench(&self, id: &str, part: usize, cover: &mut Coverage) -> R {
        let way = &self.ways[part];
        if way.reach != Reach::Yes {
            cover.hit(if way.reach == Reach::No { "no way" } else { "only by damage" });
            return R::from(0);
        }
        let met = if self.other.contains(&"where-worst-is-met") { &way.part } else { &way.route };
        R::from(match id {
            "depth" => {
                cover.hit(format!("steps {}", way.steps));
                up_to(way.steps, &[(2, 10), (4, 8), (7, 6), (10, 4), (15, 2)], 0)
            }
            "fasteners" => {
                cover.hit(format!("fasteners {}", KINDS[met.kind]));
                KIND_POINTS[met.kind]
            }
            "tools" => {
                cover.hit(format!("tools {}", CLASSES[met.class]));
                CLASS_POINTS[met.class]
            }
            "environment" => {
                cover.hit(format!("environment {}", PLACES[met.place]));
                PLACE_POINTS[met.place]
            }
            "skill" => {
                cover.hit(format!("skill {}", SKILLS[met.skill]));
                SKILL_POINTS[met.skill]
            }
            "adhesives" => {
                cover.hit(format!("adhesives {}", way.route.adhesives.min(3)));
                up_to(way.route.adhesives, &[(0, 10), (1, 6), (2, 3)], 0)
            }
            "comes off alone" => {
                let several = self.world.parts[part].roles.len() > 1;
                let (word, alone) = match (several, way.bundled) {
                    (true, _) => ("several roles", 0),
                    (false, true) => ("with others", 5),
                    (false, false) => ("alone", 10),
                };
                cover.hit(format!("isolation {word}"));
                alone
            }
            _ => {
                cover.hit(format!("in the way {}", way.in_the_way.min(7)));
                up_to(way.in_the_way, &[(0, 10), (1, 8), (3, 5), (5, 2)], 0)
            }
        })
    }

    /// Isolation is two thirds whether the part comes off alone and one third what is in the way; of several instances the
    /// worst counts for each of the two.
    fn criterion(&self, id: &str, cover: &mut Coverage) -> Option<R> {
        let mut mean = |id: &str| self.mean(&mut |part, _| self.bench(id, part, cover));
        if id == "isolation" {
            return Some((mean("comes off alone")? * 2 + mean("parts in the way")?) / 3);
        }
        mean(id)
    }

    fn promise(&self, id: &str, cover: &mut Coverage) -> Option<R> {
        let world = self.world;
        let one = |table: &[i64], words: &[&str], rank: usize, cover: &mut Coverage| {
            cover.hit(format!("{id} {}", words[rank]));
            Some(R::from(table[rank]))
        };
        match id {
            "diagnosis" => one(&[10, 8, 6, 2, 0], &DIAGNOSES, world.diagnosis, cover),
            "information-scope" => one(&[10, 4, 0], &SCOPES, world.information.2, cover),
            "information-target-group" => one(&ACCESS_POINTS, &ACCESS, world.information.0, cover),
            "return-options" => one(&[10, 5, 0], &SCOPES, world.returns, cover),
            "data" | "reset" if !DATA_HOLDERS.contains(&world.category) => None,
            "data" => one(&[10, 5, 0], &DATA, world.data, cover),
            "reset" => one(&[10, 7, 3, 0], &RESETS, world.reset, cover),
            _ => self.mean(&mut |part, role| {
                let spare = world.spare(part, role);
                R::from(match id {
                    "spare-target-group" => {
                        cover.hit(format!("{id} {}", ACCESS[spare.to]));
                        ACCESS_POINTS[spare.to]
                    }
                    "spare-interface" => {
                        cover.hit(format!("{id} {}", INTERFACES[spare.interface]));
                        [10, 6, 0][spare.interface]
                    }
                    _ => {
                        cover.hit(format!("years {}", spare.years));
                        match spare.years {
                            10.. => 10,
                            7.. => 8,
                            5.. => 5,
                            2.. => 2,
                            _ => 0,
                        }
                    }
                })
            }),
        }
    }

    fn limit_of(&self, id: &'static str, cover: &mut Coverage) -> Option<R> {
        if self.other.contains(&id) {
            return None;
        }
        self.limit(&mut |part, role| self.limit_points(id, part, role, cover))
    }

    fn limit_points(&self, id: &str, part: usize, role: &str, cover: &mut Coverage) -> i64 {
        let way = &self.ways[part];
        let spare = || self.world.spare(part, role);
        let (row, points) = match id {
            "limit-way" => match way.reach {
                Reach::Yes => ("yes".to_owned(), 10),
                Reach::Damage => ("damage".to_owned(), 3),
                Reach::No => ("no".to_owned(), 2),
            },
            // No route to read: the table's worst points.
            "limit-tools" if way.reach != Reach::Yes => ("not read".to_owned(), 3),
            "limit-tools" => (CLASSES[way.route.class].to_owned(), LIMIT_TOOLS[way.route.class]),
            "limit-pairing" if self.world.parts[part].paired => ("yes".to_owned(), 7),
            "limit-pairing" => ("no".to_owned(), 10),
            "limit-spare" => (ACCESS[spare().to].to_owned(), LIMIT_SPARE[spare().to]),
            _ => (spare().price.to_string(), up_to(spare().price as usize, &[(40, 10), (60, 6)], 4)),
        };
        cover.hit(format!("{id} {row}"));
        points
    }

    /// Product-related, support-related, verdict.
    fn scores(&self, cover: &mut Coverage) -> [Option<R>; 3] {
        let mean = |list: Vec<(i64, Option<R>)>| {
            let there: Vec<(i64, R)> = list.into_iter().filter_map(|(w, v)| Some((w, v?))).collect();
            let weights: i64 = there.iter().map(|(w, _)| *w).sum();
            (weights > 0).then(|| there.iter().map(|(w, v)| v * w).sum::<R>() / weights)
        };
        let bench: Vec<_> = BENCH.iter().map(|(id, w)| (*w, self.criterion(id, cover))).collect();
        let promises: Vec<_> = PROMISES.iter().map(|(id, w)| (*w, self.promise(id, cover))).collect();
        let cap = |first: Option<R>, limits: &[Option<R>]| Some(limits.iter().flatten().copied().fold(first?, R::min));
        let limits = SWITCHES[2..].iter().map(|id| self.limit_of(id, cover)).collect::<Vec<_>>();
        let product = cap(mean(bench), &limits[..3]);
        let support = mean(promises);
        let index = mean(vec![(3, product), (2, support)]);
        [product, support, cap(index, &limits)]
    }
}

fn exact(r: R) -> Exact {
    Exact::ratio(*r.numer(), *r.denom()).expect("a ratio")
}

#[test]
fn agrees_on_random_records() {
    // Nodes are held on the shortest routes, which are one each; the verdict also on those that give it the most, the default.
    let best = load_shipped("en-45554").unwrap();
    let method = best.with_switch("route-read", "fewest steps").unwrap();
    let mut cover = Coverage::default();
    let (mut used, mut tied) = (0, 0);
    let (mut chosen_from, mut higher) = (0, 0);
    for seed in 0..1100_u64 {
        let (category, folding, weights) = SETS[(seed % 8) as usize];
        let hinge = FOLDING[(seed / 8 % 2) as usize];
        let mut weights = weights.to_vec();
        let dice = &mut Dice::new(seed + 123);
        if category == "other" && !dice.percent(8) {
            let count = 1 + dice.below(OWN_ROLES.len());
            weights = OWN_ROLES[..count].iter().map(|r| (*r, [1, 2, 3, 5, 5][dice.below(5)])).collect();
        }
        let roles: Vec<&str> = weights.iter().map(|(r, _)| if *r == "hinge" { hinge } else { r }).collect();
        let roles = if roles.is_empty() { vec!["battery", "motor"] } else { roles };
        let mut world = World::random(seed + 5000, category, folding, &roles, &[1, 2, 4, 5, 6, 7, 9, 10, 12]);
        if category == "other" {
            world.own = weights.iter().map(|(r, w)| ((*r).to_owned(), *w)).collect();
            cover.hit(format!("own roles {}", weights.len().min(2)));
        }
        if seed % 7 == 5 {
            world.bury(2 + dice.below(5));
        }
        if folding {
            let other = FOLDING.into_iter().filter(|r| world.instances(r).is_empty()).map(str::to_owned);
            let other: Vec<String> = other.filter(|r| !world.absent.contains(r)).collect();
            world.absent.extend(other);
        }
        let turn = (seed / 16 % 8) as usize;
        let switch = turn.checked_sub(1).map(|t| SWITCHES[t]);
        // A part only damage frees gets the worst points of `limit-tools` as well, which are those of `limit-way`: the latter
        // is switched beside a `limit-tools` that is off.
        let others: Vec<&str> = match switch {
            Some("limit-way") => vec!["limit-tools", "limit-way"],
            other => other.into_iter().collect(),
        };
        let set = |method: &Method| {
            others.iter().fold(method.clone(), |method, id| {
                let option = match *id {
                    "where-worst-is-met" => "part",
                    "heating" => "nothing",
                    _ => "off",
                };
                method.with_switch(id, option).unwrap()
            })
        };
        if seed % 3 == 0
            && let Some(all) = Oracle::of_every_choice(&world, &weights, &others)
        {
            let found = Assessment::new(&world.record(), &set(&best), Effort::default());
            let verdict = |one: &Oracle<'_>| one.scores(&mut Coverage::default())[2];
            let most = all.iter().map(verdict).max().expect("a choice");
            let ends = [most.map(exact), most.map(exact)];
            assert_eq!([found.root.low.clone(), found.root.high.clone()], ends, "{seed}: most\n{}", world.text());
            chosen_from += usize::from(all.len() > 1);
            higher += usize::from(Oracle::new(&world, &weights, &others).is_some_and(|one| verdict(&one) < most));
        }
        let before = &others[..others.len().saturating_sub(1)];
        let (Some(oracle), Some(plain)) =
            (Oracle::new(&world, &weights, &others), Oracle::new(&world, &weights, before))
        else {
            tied += 1;
            continue;
        };
        used += 1;
        let chosen = set(&method);
        let found = Assessment::new(&world.record(), &chosen, Effort::default());
        let scores = oracle.scores(&mut cover);
        for (id, score) in ["product-related", "support-related", "verdict"].into_iter().zip(scores) {
            let node = found.find(id).unwrap();
            let ends = [score.map(exact), score.map(exact)];
            assert_eq!([node.low.clone(), node.high.clone()], ends, "{seed}: {id}\n{}", world.text());
        }
        cover.hit(format!("{category}, folding {folding}"));
        if let Some(id) = switch {
            let before = plain.scores(&mut Coverage::default())[2];
            cover.hit(format!("switch {id} {}", if before == scores[2] { "no matter" } else { "matters" }));
        }
    }
    assert!(used > 5 * tied, "{used} records, {tied} left to record order");
    assert!(
        chosen_from > 25 && higher > 5,
        "a choice in {chosen_from} records, {higher} read higher than the shortest"
    );
    let rows = |what: &str, words: &[&str]| words.iter().map(|w| format!("{what} {w}")).collect::<Vec<_>>();
    let mut wanted = vec!["no way".to_owned(), "only by damage".to_owned()];
    wanted.extend([2, 3, 4, 5, 7, 8, 10, 11, 15, 16].map(|s| format!("steps {s}")));
    wanted.extend(rows("fasteners", &KINDS));
    wanted.extend(rows("tools", &CLASSES));
    wanted.extend(rows("environment", &PLACES));
    wanted.extend(rows("skill", &SKILLS));
    wanted.extend(rows("adhesives", &["0", "1", "2", "3"]));
    wanted.extend(rows("isolation", &["several roles", "with others", "alone"]));
    wanted.extend(rows("in the way", &["0", "1", "2", "3", "4", "5", "6"]));
    wanted.extend(rows("own roles", &["0", "1", "2"]));
    wanted.extend(rows("diagnosis", &DIAGNOSES));
    wanted.extend(rows("information-scope", &SCOPES));
    wanted.extend(rows("information-target-group", &ACCESS));
    wanted.extend(rows("return-options", &SCOPES));
    wanted.extend(rows("data", &DATA));
    wanted.extend(rows("reset", &RESETS));
    wanted.extend(rows("spare-target-group", &ACCESS));
    wanted.extend(rows("spare-interface", &INTERFACES));
    wanted.extend([1, 2, 4, 5, 6, 7, 9, 10].map(|y| format!("years {y}")));
    wanted.extend(rows("limit-way", &["yes", "damage", "no"]));
    wanted.extend(rows("limit-tools", &CLASSES));
    wanted.extend(rows("limit-tools", &["not read"]));
    wanted.extend(rows("limit-pairing", &["yes", "no"]));
    wanted.extend(rows("limit-spare", &ACCESS));
    wanted.extend(rows("limit-price", &["40", "41", "60", "61"]));
    wanted.extend(SWITCHES.iter().flat_map(|s| ["matters", "no matter"].map(|m| format!("switch {s} {m}"))));
    wanted.extend(SETS.map(|(c, f, _)| format!("{c}, folding {f}")));
    cover.assert(wanted);
}
