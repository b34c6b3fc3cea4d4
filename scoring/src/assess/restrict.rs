//! What of the ways to one part is left when some are done without: actions, and single ways of their operations.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::toward::Toward;
use crate::need::things;
use crate::route::{Need, Operation, RouteProblem, Thing};

/// The ways to one part, as a set of units: every action, and every way of every operation.
pub(super) struct Space {
    toward: Toward,
    /// First unit of each action: the action itself; its ways follow.
    first: Vec<usize>,
    /// Units of the ways of each operation of each action.
    ways: Vec<Vec<Vec<usize>>>,
    units: usize,
    /// Actions whose needs speak of a thing.
    speaking: Vec<Vec<usize>>,
    destroying: Vec<usize>,
    destructive_scored: bool,
}

/// What is left, as a problem, and what its numbers mean.
pub(super) struct Rest {
    /// The problem.
    pub(super) problem: RouteProblem,
    /// Action of the record by action of the problem.
    pub(super) origin: Vec<usize>,
    /// Way of the record by action, operation and way of the problem.
    pub(super) ways: Vec<Vec<Vec<usize>>>,
}

/// Units that a look goes over in the time a route search takes for one state.
const UNITS: usize = 50;

/// What some actions reach, with more of them let in time after time.
struct Reach<'s> {
    space: &'s Space,
    reached: Vec<bool>,
    enabled: Vec<bool>,
}

impl<'s> Reach<'s> {
    fn new(space: &'s Space) -> Self {
        let problem = &space.toward.problem;
        let reached = vec![false; problem.things as usize];
        Self { space, reached, enabled: vec![false; problem.actions.len()] }
    }

    /// Lets in more actions, all of which `may`.
    fn go(&mut self, mut open: Vec<usize>, may: impl Fn(usize) -> bool) {
        // An action is looked at again only when something its needs speak of is reached.
        while let Some(index) = open.pop() {
            let action = &self.space.toward.problem.actions[index];
            let holds = |need: &Need| need.holds(&|t| self.reached[t as usize]);
            if self.enabled[index] || !may(index) || !action.after.iter().all(holds) {
                continue;
            }
            self.enabled[index] = true;
            for &thing in action.frees.iter().chain(&action.does) {
                if !std::mem::replace(&mut self.reached[thing as usize], true) {
                    open.extend(self.space.speaking[thing as usize].iter().filter(|a| !self.enabled[**a]));
                }
            }
        }
    }

    fn arrived(&self) -> bool {
        self.reached[self.space.toward.target as usize]
    }
}

fn has(left: &[u64], unit: usize) -> bool {
    left[unit / 64] >> (unit % 64) & 1 == 1
}

impl Space {
    /// All ways. Where destructive routes are scored they compete by points alone.
    pub(super) fn new(toward: Toward, destructive_scored: bool) -> Self {
        let mut units = 0;
        let mut next = || {
            units += 1;
            units - 1
        };
        let (mut first, mut ways) = (Vec::new(), Vec::new());
        for action in &toward.problem.actions {
            first.push(next());
            ways.push(action.operations.iter().map(|o| o.ways.iter().map(|_| next()).collect()).collect());
        }
        let actions = &toward.problem.actions;
        let mut speaking = vec![Vec::new(); toward.problem.things as usize];
        for (index, action) in actions.iter().enumerate() {
            things(&action.after).into_iter().for_each(|t| speaking[t as usize].push(index));
        }
        let destroying = (0..actions.len()).filter(|&a| !actions[a].damages.is_empty()).collect();
        Self { toward, first, ways, units, speaking, destroying, destructive_scored }
    }

    pub(super) fn toward(&self) -> &Toward {
        &self.toward
    }

    /// All ways that may be scored.
    pub(super) fn start(&self) -> Vec<u64> {
        let mut left = vec![0; self.units.div_ceil(64)];
        (0..self.units).for_each(|u| left[u / 64] |= 1 << (u % 64));
        if !self.destructive_scored {
            self.destroying().for_each(|a| Self::ban(&mut left, self.first[a]));
        }
        left
    }

    /// Whether a unit is still left.
    pub(super) fn open(left: &[u64], unit: usize) -> bool {
        has(left, unit)
    }

    pub(super) fn ban(left: &mut [u64], unit: usize) {
        left[unit / 64] &= !(1 << (unit % 64));
    }

    pub(super) fn len(&self) -> usize {
        self.first.len()
    }

    pub(super) fn origin(&self, action: usize) -> usize {
        self.toward.origin[action]
    }

    /// The action of the problem that stands for one of the record.
    pub(super) fn place(&self, origin: usize) -> Option<usize> {
        self.toward.origin.iter().position(|&o| o == origin)
    }

    pub(super) fn action_unit(&self, action: usize) -> usize {
        self.first[action]
    }

    /// Units of an action's ways; of an action without operations, the action.
    pub(super) fn units(&self, action: usize) -> impl Iterator<Item = usize> + '_ {
        let itself = self.ways[action].is_empty().then_some(self.first[action]);
        self.ways[action].iter().flatten().copied().chain(itself)
    }

    /// The level of every unit of ways, by action, operation and way; `of_ways`: it isn't one of the whole action.
    pub(super) fn levels(&self, of_ways: bool, rank: impl Fn(usize, usize, usize) -> u8) -> Vec<u8> {
        let mut out = vec![0; self.units];
        for (action, operations) in self.ways.iter().enumerate() {
            if operations.is_empty() || !of_ways {
                let level = rank(action, 0, 0);
                self.units(action).for_each(|unit| out[unit] = level);
                continue;
            }
            for (o, ways) in operations.iter().enumerate() {
                ways.iter().enumerate().for_each(|(w, &unit)| out[unit] = rank(action, o, w));
            }
        }
        out
    }

    /// How much a look at what is left takes, counted in states of a route search.
    pub(super) fn weight(&self) -> u64 {
        (self.units / UNITS) as u64
    }

    pub(super) fn frees_target(&self, action: usize) -> bool {
        self.toward.problem.actions[action].frees.contains(&self.toward.target)
    }

    /// Actions left that free the part.
    pub(super) fn freeing<'s>(&'s self, left: &'s [u64]) -> impl Iterator<Item = usize> + 's {
        (0..self.len()).filter(|&a| has(left, self.first[a]) && self.frees_target(a))
    }

    /// Whether an action frees something beside the part.
    pub(super) fn bundles(&self, action: usize) -> bool {
        self.toward.problem.actions[action].frees.iter().any(|t| *t != self.toward.target)
    }

    pub(super) fn destroying(&self) -> impl Iterator<Item = usize> + '_ {
        self.destroying.iter().copied()
    }

    pub(super) fn does(&self, action: usize) -> Option<Thing> {
        self.toward.problem.actions[action].does
    }

    /// What an action's needs speak of.
    pub(super) fn speaks_of(&self, action: usize) -> BTreeSet<Thing> {
        things(&self.toward.problem.actions[action].after)
    }

    /// Parts taken off before the one that frees the target.
    pub(super) fn parts_before(&self, on_route: &[usize]) -> BTreeSet<Thing> {
        let before = on_route.iter().filter(|&&a| !self.frees_target(a));
        before.flat_map(|&a| self.toward.problem.actions[a].frees.iter().copied()).collect()
    }

    /// Actions that take a part off other than with the target.
    pub(super) fn only_before(&self, part: Thing) -> impl Iterator<Item = usize> + '_ {
        (0..self.len()).filter(move |&a| self.toward.problem.actions[a].frees.contains(&part) && !self.frees_target(a))
    }

    fn possible(&self, left: &[u64], action: usize) -> bool {
        has(left, self.first[action]) && self.ways[action].iter().all(|o| o.iter().any(|&u| has(left, u)))
    }

    /// The actions left that have a way of each operation left.
    pub(super) fn able(&self, left: &[u64]) -> Vec<bool> {
        (0..self.len()).map(|a| self.possible(left, a)).collect()
    }

    /// Takes out what can't be done any more; false: the part can't be reached.
    pub(super) fn settle(&self, left: &mut [u64]) -> bool {
        let able = self.able(left);
        let mut reach = Reach::new(self);
        reach.go((0..self.len()).filter(|&a| able[a]).rev().collect(), |a| able[a]);
        for (action, enabled) in reach.enabled.iter().enumerate() {
            if !enabled {
                Self::ban(left, self.first[action]);
                self.ways[action].iter().flatten().for_each(|&u| Self::ban(left, u));
            }
        }
        reach.arrived()
    }

    /// The least level under which the part can still be reached, from the level of each unit.
    pub(super) fn least_level(&self, left: &[u64], able: &[bool], levels: &[u8]) -> u8 {
        // An action's level: of each operation its best way, of those the worst.
        let own: Vec<u8> = (0..self.len()).map(|a| self.level(left, a, levels)).collect();
        let mut by_level: BTreeMap<u8, Vec<usize>> = BTreeMap::new();
        for action in (0..self.len()).rev().filter(|&a| able[a]) {
            by_level.entry(own[action]).or_default().push(action);
        }
        // What is reached under one level is reached under the next.
        let mut reach = Reach::new(self);
        for (level, actions) in by_level {
            reach.go(actions, |a| able[a] && own[a] <= level);
            if reach.arrived() {
                return level;
            }
        }
        0
    }

    /// The level of an action with what is left: of each operation its best way, of those the worst.
    pub(super) fn level(&self, left: &[u64], action: usize, levels: &[u8]) -> u8 {
        if self.ways[action].is_empty() {
            return levels[self.first[action]];
        }
        let of =
            |ways: &Vec<usize>| ways.iter().filter(|&&u| has(left, u)).map(|&u| levels[u]).min().unwrap_or(u8::MAX);
        self.ways[action].iter().map(of).max().unwrap_or(0)
    }

    /// No route has less than this of what actions add up.
    pub(super) fn least_sum(&self, able: &[bool], cost: impl Fn(usize) -> u32) -> u32 {
        self.cheapest(able, |action, _| cost(action))
    }

    /// No route takes fewer other parts off before the target.
    pub(super) fn least_parts(&self, able: &[bool]) -> u32 {
        let frees = |action: usize, thing: Thing| self.toward.problem.actions[action].frees.contains(&thing);
        self.cheapest(able, |action, thing| u32::from(thing != self.toward.target && frees(action, thing)))
    }

    /// The dearest chain of needs at the cheapest choice of ways: a bound below for any sum over a route.
    fn cheapest(&self, able: &[bool], cost: impl Fn(usize, Thing) -> u32) -> u32 {
        fn dearest(needs: &[Need], price: &[u32]) -> u32 {
            needs
                .iter()
                .map(|need| match need {
                    Need::Thing(t) => price[*t as usize],
                    Need::Any(members) => members.iter().map(|m| dearest(m, price)).min().unwrap_or(u32::MAX),
                })
                .max()
                .unwrap_or(0)
        }
        let problem = &self.toward.problem;
        let mut price = vec![u32::MAX; problem.things as usize];
        let mut open: VecDeque<usize> = (0..problem.actions.len()).filter(|&a| able[a]).collect();
        let mut waiting = vec![false; problem.actions.len()];
        open.iter().for_each(|&a| waiting[a] = true);
        while let Some(index) = open.pop_front() {
            waiting[index] = false;
            let action = &problem.actions[index];
            let before = dearest(&action.after, &price);
            if before == u32::MAX {
                continue;
            }
            for &thing in action.frees.iter().chain(&action.does) {
                let whole = before.saturating_add(cost(index, thing));
                if whole >= price[thing as usize] {
                    continue;
                }
                price[thing as usize] = whole;
                for &next in &self.speaking[thing as usize] {
                    if able[next] && !std::mem::replace(&mut waiting[next], true) {
                        open.push_back(next);
                    }
                }
            }
        }
        let least = price[self.toward.target as usize];
        if least == u32::MAX { 0 } else { least }
    }

    /// What is left as a problem of its own.
    pub(super) fn filter(&self, left: &[u64]) -> Rest {
        let whole = &self.toward.problem;
        let mut rest = Rest {
            problem: RouteProblem { things: whole.things, actions: Vec::new(), each: whole.each },
            origin: Vec::new(),
            ways: Vec::new(),
        };
        for (index, action) in whole.actions.iter().enumerate().filter(|(a, _)| has(left, self.first[*a])) {
            let mut action = action.clone();
            if self.destructive_scored {
                action.damages.clear();
            }
            let mut kept = Vec::new();
            for (operation, units) in action.operations.iter_mut().zip(&self.ways[index]) {
                let open: Vec<usize> = (0..units.len()).filter(|&w| has(left, units[w])).collect();
                *operation =
                    Operation { ways: open.iter().map(|&w| operation.ways[w].clone()).collect(), ..operation.clone() };
                kept.push(open);
            }
            rest.problem.actions.push(action);
            rest.origin.push(self.toward.origin[index]);
            rest.ways.push(kept);
        }
        rest
    }
}
