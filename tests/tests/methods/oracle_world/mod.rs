//! Random settled records as texts, and a recount of their routes by going through every order of actions. Shares nothing
//! with the engine: the oracles read from it what a route meets and put it through tables of their own.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    reason = "small numbers of small records"
)]
#![allow(dead_code)]

mod hidden;
mod recount;
mod text;

use std::collections::BTreeSet;

pub(crate) use hidden::Hidden;
#[allow(unused_imports, reason = "not every check looks at routes")]
pub(crate) use recount::{Counting, Heat, Reach, Way, best_way, choices, unbeaten};

/// Classes of tools, best first, as a record writes them; `none` is bare hands.
pub(crate) const CLASSES: [&str; 8] = [
    "none",
    "basic",
    "supplied with part",
    "supplied with product",
    "product-group specific",
    "commercially available",
    "proprietary",
    "not feasible",
];
pub(crate) const KINDS: [&str; 4] = ["reusable", "resupplied", "removable", "neither"];
pub(crate) const PLACES: [&str; 3] = ["use", "workshop", "production-equivalent"];
pub(crate) const SKILLS: [&str; 4] = ["layman", "generalist", "expert", "manufacturer"];
pub(crate) const ACCESS: [&str; 5] =
    ["public", "independent repairers", "authorised repairers", "manufacturer only", "none"];
/// Words of access to pairing, best first.
pub(crate) const PAIRINGS: [&str; 6] =
    ["not needed", "public", "independent repairers", "authorised repairers", "manufacturer only", "none"];
pub(crate) const INTERFACES: [&str; 3] = ["standard part", "standard interface", "non-standard interface"];
pub(crate) const SCOPES: [&str; 3] = ["comprehensive", "basic", "none"];
pub(crate) const DIAGNOSES: [&str; 5] =
    ["intuitive signal", "public codes", "public interface", "proprietary interface", "none"];
pub(crate) const DATA: [&str; 3] = ["built in", "on request", "none"];
pub(crate) const RESETS: [&str; 4] = ["integrated", "external", "service only", "none"];

/// A generator of its own, so that the records and what they cover are the same on every machine.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// Below `n`.
    pub(crate) fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 33) as usize % n.max(1)
    }

    pub(crate) fn percent(&mut self, p: usize) -> bool {
        self.below(100) < p
    }

    /// A rank below `n`; `bad` percent of the time any, else the best.
    fn rank(&mut self, n: usize, bad: usize) -> usize {
        if self.percent(bad) { self.below(n) } else { 0 }
    }
}

#[derive(Clone, Debug)]
pub(crate) struct Tool {
    pub class: usize,
    pub heat: bool,
    pub solvent: bool,
}

#[derive(Clone, Debug)]
pub(crate) struct Part {
    pub roles: Vec<String>,
    pub paired: bool,
}

/// What must be off or done first: all of these, each one of its members. Things: parts, then `do`s.
pub(crate) type Needs = Vec<Vec<usize>>;

#[derive(Clone, Debug)]
pub(crate) struct Action {
    pub frees: Vec<usize>,
    pub does: Option<usize>,
    /// Operations: ways, each a set of tools.
    pub operations: Vec<Vec<Vec<usize>>>,
    /// Kind, adhesive.
    pub fasteners: Vec<(usize, bool)>,
    pub after: Needs,
    pub damages: Vec<usize>,
    pub failed: bool,
    pub place: usize,
    pub skill: usize,
}

#[derive(Clone, Debug)]
pub(crate) struct Spare {
    /// Part name, role or `every part`.
    pub key: String,
    pub to: usize,
    pub years: i64,
    pub delivery: i64,
    /// In percent of the device's price, which is 100.
    pub price: i64,
    pub interface: usize,
    pub published: bool,
    pub pairing: usize,
}

/// A device with nothing unknown but what is hidden.
#[derive(Clone, Debug)]
pub(crate) struct World {
    pub category: &'static str,
    pub folding: bool,
    /// Roles of the record's own and their shares (category other).
    pub own: Vec<(String, i64)>,
    /// What the text leaves open.
    pub hidden: Vec<Hidden>,
    pub tools: Vec<Tool>,
    pub parts: Vec<Part>,
    pub absent: Vec<String>,
    pub actions: Vec<Action>,
    pub spares: Vec<Spare>,
    pub information: (usize, bool, usize),
    pub updates: i64,
    pub security: i64,
    pub diagnosis: usize,
    pub returns: usize,
    pub data: usize,
    pub reset: usize,
    pub cycles: i64,
    pub capacity: (i64, i64),
    pub ingress: (u8, u8),
    pub endurance: [i64; 3],
}

fn pick<T: Copy>(dice: &mut Dice, list: &[T]) -> T {
    list[dice.below(list.len())]
}

impl World {
    /// A random device: `roles` are those a method asks about, `numbers` years worth trying.
    pub(crate) fn random(seed: u64, category: &'static str, folding: bool, roles: &[&str], years: &[i64]) -> Self {
        let dice = &mut Dice::new(seed);
        (0..5).for_each(|_| {
            let _ = dice.below(2);
        });
        // How often anything is other than the best.
        let bad = pick(dice, &[2, 12, 30, 60, 90]);
        let scarce = pick(dice, &[0, 10, 60]);
        let tools = (0..3)
            .map(|i| Tool { class: (1 + dice.rank(7, bad)).max(1), heat: i == 2 && dice.percent(40), solvent: false })
            .collect();
        let mut present: Vec<&str> = roles.iter().copied().filter(|_| !dice.percent(scarce)).collect();
        if present.is_empty() {
            present.push(roles[0]);
        }
        if folding && !present.iter().any(|r| FOLDING.contains(r)) {
            present.push(FOLDING[0]);
        }
        let absent = roles.iter().filter(|r| !present.contains(r)).map(|r| (*r).to_owned()).collect();
        let count = 2 + dice.below(3);
        let mut parts: Vec<Part> =
            (0..count).map(|_| Part { roles: Vec::new(), paired: dice.percent(bad / 2) }).collect();
        let turn = dice.below(count);
        for (i, role) in present.iter().enumerate() {
            let home = if i < count { (i + turn) % count } else { dice.below(count) };
            parts[home].roles.push((*role).to_owned());
        }
        // A second instance of a role.
        if dice.percent(25) {
            let role = pick(dice, &present).to_owned();
            let home = dice.below(count);
            if !parts[home].roles.contains(&role) {
                parts[home].roles.push(role);
            }
        }
        let actions = Self::actions(dice, bad, count);
        let spare = |dice: &mut Dice, key: String| Spare {
            key,
            to: dice.rank(4, bad) + usize::from(dice.percent(bad / 8)),
            years: pick(dice, years),
            delivery: pick(dice, &[1, 5, 6, 10, 11]),
            price: if dice.percent(bad) { pick(dice, &[40, 41, 60, 61, 150]) } else { 10 },
            interface: dice.rank(3, bad),
            published: !dice.percent(bad),
            pairing: dice.below(6),
        };
        let mut spares: Vec<Spare> = Vec::new();
        for role in &present {
            if dice.percent(70) {
                spares.push(spare(dice, (*role).to_owned()));
            }
        }
        if dice.percent(30) {
            spares.push(spare(dice, "p0".to_owned()));
        }
        spares.push(spare(dice, "every part".to_owned()));
        Self {
            category,
            folding,
            own: Vec::new(),
            hidden: Vec::new(),
            tools,
            parts,
            absent,
            actions,
            spares,
            information: (dice.rank(5, bad), !dice.percent(bad), dice.rank(3, bad)),
            updates: if dice.percent(bad) { pick(dice, &[0, 4, 5, 6]) } else { 7 + 3 * i64::from(dice.percent(50)) },
            security: pick(dice, &[4, 5, 6, 7, 10]),
            diagnosis: dice.rank(5, bad),
            returns: dice.rank(3, bad),
            data: dice.rank(3, bad),
            reset: dice.rank(4, bad),
            cycles: pick(dice, &[799, 800, 1000]),
            capacity: (pick(dice, &[82, 83, 90]), pick(dice, &[79, 80, 85])),
            ingress: (pick(dice, &[3, 4, 5, 6]), pick(dice, &[1, 2, 6, 7, 8])),
            endurance: [
                pick(dice, &[19_999, 20_000, 224_999, 225_000]),
                pick(dice, &[9_999, 10_000, 99_999, 100_000]),
                pick(dice, &[2_999, 3_000, 11_999, 12_000]),
            ],
        }
    }

    fn actions(dice: &mut Dice, bad: usize, parts: usize) -> Vec<Action> {
        let mut actions: Vec<Action> = Vec::new();
        // Things that earlier actions free or do.
        let mut earlier: Vec<usize> = Vec::new();
        let mut left: Vec<usize> = (0..parts).collect();
        let mut choices = 0;
        while !left.is_empty() && actions.len() < 4 {
            let does = actions.iter().all(|a: &Action| a.does.is_none()) && dice.percent(20);
            let frees: Vec<usize> = if does {
                vec![]
            } else {
                let n = if dice.percent(bad / 3) || actions.len() == 3 { left.len().min(2) } else { 1 };
                left.drain(..n).collect()
            };
            let after = Self::needs(dice, &earlier, bad);
            let action = Self::action(dice, bad, frees, does.then_some(parts), after, &mut choices);
            earlier.extend(action.frees.iter().chain(&action.does).copied());
            actions.push(action);
        }
        // A part no action frees has a way that failed.
        if !left.is_empty() {
            let mut action = Self::action(dice, bad, left, None, vec![], &mut choices);
            action.failed = true;
            actions.push(action);
        } else if dice.percent(40) {
            // A second way to a part: by other means, from fewer or other parts.
            let target = dice.below(parts);
            let before: Vec<usize> = earlier.iter().copied().filter(|t| *t < target).collect();
            let after = Self::needs(dice, &before, bad);
            let mut action = Self::action(dice, bad, vec![target], None, after, &mut choices);
            if dice.percent(40) && parts > 1 {
                action.damages = vec![(target + 1) % parts];
            }
            actions.push(action);
        }
        if dice.percent(bad / 6) {
            let i = dice.below(actions.len());
            if !actions[i].frees.is_empty() && actions[i].damages.is_empty() {
                let other = (actions[i].frees[0] + 1) % parts;
                if !actions[i].frees.contains(&other) {
                    actions[i].damages = vec![other];
                }
            }
        }
        actions
    }

    fn needs(dice: &mut Dice, earlier: &[usize], bad: usize) -> Needs {
        let mut needs: Needs = earlier.iter().filter(|_| dice.percent(10 + bad / 2)).map(|t| vec![*t]).collect();
        if earlier.len() > 1 && dice.percent(20) {
            let first = dice.below(earlier.len());
            let second = (first + 1) % earlier.len();
            needs.retain(|n| !n.contains(&earlier[first]) && !n.contains(&earlier[second]));
            needs.push(vec![earlier[first], earlier[second]]);
        }
        needs
    }

    fn action(
        dice: &mut Dice,
        bad: usize,
        frees: Vec<usize>,
        does: Option<usize>,
        after: Needs,
        choices: &mut u32,
    ) -> Action {
        let set = |dice: &mut Dice| -> Vec<usize> {
            match dice.below(8) {
                _ if !dice.percent(bad.max(40)) => vec![],
                6 => vec![0, 1],
                7 => vec![],
                n => vec![n % 3],
            }
        };
        let mut operations: Vec<Vec<Vec<usize>>> = vec![vec![set(dice)]];
        if dice.percent(bad) {
            operations.push(vec![set(dice)]);
        }
        // Two tools in turn: as many steps as one likes.
        if dice.percent(bad / 3) {
            let turns = dice.below(18);
            operations.extend((0..turns).map(|i| vec![vec![i % 2]]));
        }
        if *choices == 0 && dice.percent(15) {
            *choices += 1;
            let last = operations.len() - 1;
            let one = operations[last][0].first().copied().unwrap_or(0);
            operations[last] = vec![vec![one], vec![(one + 1) % 3]];
        }
        let fasteners =
            (0..dice.below(if bad > 50 { 4 } else { 2 })).map(|_| (dice.rank(4, bad), dice.percent(bad))).collect();
        Action {
            frees,
            does,
            operations,
            fasteners,
            after,
            damages: vec![],
            failed: false,
            place: dice.rank(3, bad),
            skill: dice.rank(4, bad),
        }
    }

    /// Puts `count` parts of no role over everything else, at most three in one lift.
    pub(crate) fn bury(&mut self, count: usize) {
        let parts = self.parts.len();
        let shift = |thing: &mut usize| *thing += if *thing < parts { 0 } else { count };
        for action in &mut self.actions {
            action.does.iter_mut().for_each(shift);
            action.after.iter_mut().flatten().for_each(shift);
        }
        let lids: Vec<usize> = (parts..parts + count).collect();
        let mut over: Vec<Vec<usize>> = Vec::new();
        for lift in lids.chunks(3) {
            let after = over.clone();
            over.push(vec![lift[0]]);
            self.actions.iter_mut().for_each(|a| {
                if a.frees.first().is_none_or(|p| *p < parts) {
                    a.after.push(vec![lift[0]]);
                }
            });
            self.actions.push(Action {
                frees: lift.to_vec(),
                does: None,
                operations: vec![vec![vec![]]],
                fasteners: vec![],
                after,
                damages: vec![],
                failed: false,
                place: 0,
                skill: 0,
            });
        }
        self.parts.extend(lids.iter().map(|_| Part { roles: Vec::new(), paired: false }));
    }

    /// Roles of the list that no part fills.
    pub(crate) fn lacking(&self, roles: &[&str]) -> Vec<String> {
        roles.iter().filter(|r| self.instances(r).is_empty()).map(|r| (*r).to_owned()).collect()
    }

    /// Parts that fill a role.
    pub(crate) fn instances(&self, role: &str) -> Vec<usize> {
        (0..self.parts.len()).filter(|&p| self.parts[p].roles.iter().any(|r| r == role)).collect()
    }

    /// The promise for a part in a role: by its name, by the role, for every part.
    pub(crate) fn spare(&self, part: usize, role: &str) -> &Spare {
        let name = format!("p{part}");
        let find = |key: &str| self.spares.iter().find(|s| s.key == key);
        find(&name).or_else(|| find(role)).or_else(|| find("every part")).expect("every part is promised")
    }
}

pub(crate) const FOLDING: [&str; 2] = ["hinge assembly", "display folding mechanism"];

/// Rows hit; at the end none of those wanted may be missing.
#[derive(Default)]
pub(crate) struct Coverage(BTreeSet<String>);

impl Coverage {
    pub(crate) fn hit(&mut self, row: impl Into<String>) {
        self.0.insert(row.into());
    }

    pub(crate) fn assert(&self, wanted: impl IntoIterator<Item = String>) {
        let missing: Vec<String> = wanted.into_iter().filter(|w| !self.0.contains(w)).collect();
        assert!(missing.is_empty(), "no random record hit: {missing:#?}");
    }
}
