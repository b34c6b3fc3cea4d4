//! The edits that make the way to a part shorter.
//!
//! Steps add up over a way, and bands of steps pay for several edits together where one alone reaches no band. For each part a
//! route search looks for the way of fewest steps on which an edit is an action of its own, done once, that counts as many
//! steps as it has to save: none, so that every edit that saves a step is found; or more, so that only those are that save much.

use std::collections::{BTreeMap, BTreeSet};

use super::Change;
use super::whole::compatible;
use crate::assess::PlanKind;
use crate::assess::problem::pose;
use crate::exact::{Exact, Rounding};
use crate::method::Measure;
use crate::range::Study;
use crate::route::{self, Action, Cost, Limits, Need, Operation, RouteProblem, Target, Thing, Way};

/// States one search may visit; what it finds is looked at again by the whole method.
const STATES: u64 = 20_000;
/// What the cheapest edit has to save at least.
const SAVES: [u32; 3] = [0, 1, 2];
/// Dearer edits than this many times the cheapest are asked to save no more.
const DEAREST: u32 = 1_000;

/// Sets of changes, each of which makes the ways to the parts of one criterion shorter; each ascending, none twice.
pub(super) fn ways(study: &Study<'_>, changes: &[Change], cost: &[Exact]) -> Vec<Vec<usize>> {
    let slots: BTreeSet<usize> = study
        .plan
        .leaves()
        .filter(|&leaf| matches!(&study.plan.nodes[leaf].kind, PlanKind::Leaf(Measure::Depth, ..)))
        .filter_map(|leaf| study.plan.nodes[leaf].slot)
        .collect();
    if slots.is_empty() {
        return Vec::new();
    }
    let design = Design::new(study, changes);
    let mut found: BTreeMap<(Thing, u32), Option<Vec<usize>>> = BTreeMap::new();
    let mut out: BTreeSet<Vec<usize>> = BTreeSet::new();
    for slot in slots {
        let things: BTreeSet<Thing> =
            study.plan.slots[slot].fills.iter().map(|&f| study.case.base.fills[f].thing).collect();
        for saves in SAVES {
            let mut of = |t: Thing| found.entry((t, saves)).or_insert_with(|| design.shortest(t, saves, cost)).clone();
            let all: Option<Vec<Vec<usize>>> = things.iter().map(|&t| of(t)).collect();
            let set: BTreeSet<usize> = all.into_iter().flatten().flatten().collect();
            if set.len() > 1 && compatible(changes, &set) {
                out.insert(set.into_iter().collect());
            }
        }
    }
    out.into_iter().collect()
}

/// The device with every change on offer: an action stands as it is, and once more for each change of it, waiting for that.
struct Design {
    problem: RouteProblem,
    /// Actions of the device; those that stand for changes follow.
    count: usize,
}

impl Design {
    fn new(study: &Study<'_>, changes: &[Change]) -> Self {
        let (case, rule) = (&study.case, &study.method().steps);
        let plain = pose(&case.base, rule);
        let first = plain.problem.things;
        let plain_of: BTreeMap<usize, Action> =
            plain.origin.iter().copied().zip(plain.problem.actions.iter().map(counted)).collect();
        let mut actions = plain.problem.actions;
        // Per action of the record, the changes of it.
        let mut of: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        let variants = |set: &[usize], only: Option<usize>| -> Vec<(usize, Action)> {
            let made = set.iter().fold(case.clone(), |made, &c| changes[c].apply(&made));
            let posed = pose(&made.base, rule);
            let differs = |a: usize, x: &Action| plain_of.get(&a) != Some(&counted(x));
            let wait = |mut action: Action| {
                action.after.extend(set.iter().map(|&c| Need::Thing(token(first, c))));
                action
            };
            let all = posed.origin.into_iter().zip(posed.problem.actions);
            all.filter(|(a, x)| only.is_none_or(|o| o == *a) && differs(*a, x)).map(|(a, x)| (a, wait(x))).collect()
        };
        for change in 0..changes.len() {
            for (action, variant) in variants(&[change], None) {
                of.entry(action).or_default().push(change);
                actions.push(variant);
            }
        }
        // Several changes of one action at once: as many as go together, in the order listed, and leave something to open first.
        let opened = |set: &BTreeSet<usize>, action: usize| {
            let was = &case.base.actions[action];
            let made = set.iter().fold(case.clone(), |made, &c| changes[c].apply(&made));
            was.frees.is_empty() || was.after.is_empty() || !made.base.actions[action].after.is_empty()
        };
        for (action, list) in of.into_iter().filter(|(a, list)| list.len() > 1 && *a < case.base.actions.len()) {
            let mut set: BTreeSet<usize> = BTreeSet::new();
            for change in list {
                let with: BTreeSet<usize> = set.iter().copied().chain([change]).collect();
                if compatible(changes, &with) && opened(&with, action) {
                    set = with;
                }
            }
            if set.len() > 1 {
                let set: Vec<usize> = set.into_iter().collect();
                actions.extend(variants(&set, Some(action)).into_iter().map(|(_, variant)| variant));
            }
        }
        let count = actions.len();
        for change in 0..changes.len() {
            let operations = vec![Operation { ways: vec![Way::default()], ends: false }];
            actions.push(Action { does: Some(token(first, change)), operations, ..Action::default() });
        }
        let things = token(first, changes.len());
        Self { problem: RouteProblem { things, actions, each: plain.problem.each }, count }
    }

    /// The changes on the shortest way to a part, if the cheapest has to save as much as this; `None` if there is no way.
    fn shortest(&self, target: Thing, saves: u32, cost: &[Exact]) -> Option<Vec<usize>> {
        let cheapest = cost.iter().filter(|c| !c.is_zero()).min();
        let times = |c: &Exact| -> u32 {
            let times = cheapest.and_then(|least| c.checked_div(least)).unwrap_or_else(Exact::zero);
            times.display(0, Rounding::HalfUp).parse().unwrap_or(DEAREST).min(DEAREST)
        };
        let mut problem = self.problem.clone();
        for (action, cost) in problem.actions[self.count..].iter_mut().zip(cost) {
            action.operations[0].ways[0].cost = saves * times(cost);
        }
        let limits = Limits { states: STATES };
        let answer = route::cheapest(&problem, &Target::All(vec![target]), Cost::Steps, limits);
        let found = answer.route().filter(|route| route.key.damaged == 0)?;
        Some(found.taken.iter().filter_map(|taken| taken.action.checked_sub(self.count)).collect())
    }
}

/// What steps are counted on.
fn counted(action: &Action) -> Action {
    let mut out = Action { kind: 0, place: 0, skill: 0, tie: 0, ..action.clone() };
    out.operations.iter_mut().flat_map(|o| &mut o.ways).for_each(|way| way.class = 0);
    out
}

/// Stands for a change that was made.
fn token(first: Thing, change: usize) -> Thing {
    first + u32::try_from(change).unwrap_or(u32::MAX)
}
