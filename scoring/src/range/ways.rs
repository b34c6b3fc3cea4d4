//! The cheapest route by time or by parts taken off, with its range over everything nobody established.
//!
//! Every completion of the questions that can bear on it is searched on its own; past a number of completions only a few are,
//! and the result says so.

use std::collections::BTreeSet;

use super::case::{Case, Unknown};
use super::edit::Edit;
use super::tables::Effort;
use crate::assess::joint::{Wanted, read};
use crate::assess::problem::pose;
use crate::assess::time::Times;
use crate::assess::{PartRoute, Reach};
use crate::method::StepRule;
use crate::record::Record;
use crate::record::complete::Complete;
use crate::route::{self, Answer, Certificate, Cost, Limits, Need, Thing};

/// What a route costs.
#[derive(Clone, Copy, Debug)]
pub enum Price<'t> {
    /// Nominal hands-on milliseconds by a table; the first pick-up of a tool, the same on every route with tools, is left out.
    Time(&'t Times),
    /// Parts taken off, the target included.
    Parts,
}

/// The cheapest route, and its range.
#[derive(Clone, Debug)]
pub struct Priced {
    /// Least and greatest cost over the completions; the same twice when settled.
    pub ends: [PricedEnd; 2],
    /// Questions that bear on the cost: two completions apart in nothing else differ.
    pub unknowns: Vec<Unknown>,
    /// Every completion was looked at; false: there were too many, and the range may be wider.
    pub whole: bool,
}

/// The cheapest route in one completion.
#[derive(Clone, Debug)]
pub struct PricedEnd {
    /// The completion.
    pub device: Complete,
    /// Path and label of the answers it supposes.
    pub answers: Vec<(String, String)>,
    /// The route.
    pub route: PartRoute,
    /// Cost: milliseconds, or parts.
    pub cost: u64,
    /// No route costs less; equal to `cost` when proved.
    pub at_least: u64,
}

/// The cheapest route to what is wanted, over the completions of a case.
pub fn priced(
    record: &Record,
    case: &Case,
    rule: &StepRule,
    wanted: &Wanted,
    price: Price<'_>,
    effort: Effort,
) -> Priced {
    let open = bearing(case, wanted, price);
    let sizes: Vec<u64> = open.iter().map(|&u| case.unknowns[u].answers.len() as u64).collect();
    let all = sizes.iter().try_fold(1_u64, |n, s| n.checked_mul(*s)).filter(|n| *n <= effort.routes);
    let choices: Vec<Vec<usize>> = match all {
        Some(n) => (0..n).map(|i| digits(i, &sizes)).collect(),
        None => few(&sizes),
    };
    let limits = Limits { states: effort.states };
    let mut ends: [Option<PricedEnd>; 2] = [None, None];
    let mut costs: Vec<(Reach, u64)> = Vec::new();
    for choice in &choices {
        let mut whole = vec![0; case.unknowns.len()];
        open.iter().zip(choice).for_each(|(&u, &a)| whole[u] = a);
        let mut end = cheapest(record, case.complete(&whole), rule, wanted, price, limits);
        end.answers = open
            .iter()
            .zip(choice)
            .map(|(&u, &a)| (case.unknowns[u].path.clone(), case.unknowns[u].answers[a].label.clone()))
            .collect();
        let key = |e: &PricedEnd| (e.route.reach, e.cost);
        costs.push(key(&end));
        if ends[1].as_ref().is_none_or(|most| key(&end) > key(most)) {
            ends[1] = Some(end.clone());
        }
        if ends[0].as_ref().is_none_or(|least| key(&end) < key(least)) {
            ends[0] = Some(end);
        }
    }
    let fallback = || cheapest(record, case.base.clone(), rule, wanted, price, limits);
    let bears = |k: usize| all.is_none() || turns(&costs, &sizes, k);
    let unknowns = open.iter().enumerate().filter(|(k, _)| bears(*k)).map(|(_, &u)| case.unknowns[u].clone()).collect();
    Priced { ends: ends.map(|end| end.unwrap_or_else(fallback)), unknowns, whole: all.is_some() }
}

/// The cheapest route in one completion.
fn cheapest(
    record: &Record,
    device: Complete,
    rule: &StepRule,
    wanted: &Wanted,
    price: Price<'_>,
    limits: Limits,
) -> PricedEnd {
    let posed = pose(&device, rule);
    let (problem, cost) = match price {
        Price::Time(times) => {
            let (problem, change) = times.pose(record, &device, &posed);
            (problem, Cost::Time { change })
        }
        Price::Parts => (posed.problem.clone(), Cost::Parts),
    };
    let answer = route::cheapest(&problem, &wanted.target(&device), cost, limits);
    let (route, cost, at_least) = match answer {
        Answer::Route { route: found, certificate, .. } => {
            let spent = match cost {
                Cost::Time { change } => route::replay(&problem, None, &found.taken)
                    .map_or(0, |r| r.seconds.saturating_add(u64::from(r.changes) * u64::from(change))),
                Cost::Steps | Cost::Parts => u64::from(found.key.parts),
            };
            let least = match certificate {
                Certificate::Proved => spent,
                Certificate::AtLeast(n) => u64::from(n),
            };
            (read(&device, &posed, &problem, wanted, &found), spent, least)
        }
        Answer::Unreachable => (PartRoute::unread(&device, 0), 0, 0),
        Answer::Undecided { at_least } => (PartRoute::unread(&device, 0), u64::from(at_least) + 1, u64::from(at_least)),
    };
    PricedEnd { device, answers: Vec::new(), route, cost, at_least }
}

/// The questions whose answers can change which actions lead to the target, or what they cost.
fn bearing(case: &Case, wanted: &Wanted, price: Price<'_>) -> Vec<usize> {
    let edits = || case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits);
    let mut things: BTreeSet<Thing> = wanted.things(&case.base).into_iter().collect();
    let mut actions: BTreeSet<usize> = BTreeSet::new();
    loop {
        let before = (things.len(), actions.len());
        for (index, action) in case.base.actions.iter().enumerate() {
            if action.frees.iter().chain(&action.does).any(|t| things.contains(t)) && actions.insert(index) {
                mentioned(&action.after, &mut things);
            }
        }
        for edit in edits() {
            match edit {
                Edit::After(a, needs) if actions.contains(a) => mentioned(needs, &mut things),
                Edit::Replace(a, _, to) if actions.contains(a) => {
                    things.insert(*to);
                }
                Edit::Frees(a, frees) if frees.iter().any(|t| things.contains(t)) && actions.insert(*a) => {
                    mentioned(&case.base.actions[*a].after, &mut things);
                }
                _ => {}
            }
        }
        if before == (things.len(), actions.len()) {
            break;
        }
    }
    let bears = |edit: &Edit| match edit {
        Edit::After(a, _) | Edit::Replace(a, ..) | Edit::Without(a, _) | Edit::Exists(a, _) | Edit::Frees(a, _) => {
            actions.contains(a)
        }
        Edit::Ways(a, ..) | Edit::Operations(a, _) => matches!(price, Price::Time(_)) && actions.contains(a),
        _ => false,
    };
    (0..case.unknowns.len()).filter(|&u| case.unknowns[u].answers.iter().flat_map(|a| &a.edits).any(bears)).collect()
}

fn mentioned(needs: &[Need], found: &mut BTreeSet<Thing>) {
    for need in needs {
        match need {
            Need::Thing(thing) => {
                found.insert(*thing);
            }
            Need::Any(members) => members.iter().for_each(|m| mentioned(m, found)),
        }
    }
}

/// The answers of the completion with a number, the last question turning fastest.
fn digits(mut number: u64, sizes: &[u64]) -> Vec<usize> {
    let mut out: Vec<usize> = sizes
        .iter()
        .rev()
        .map(|&size| {
            let digit = number % size;
            number /= size;
            usize::try_from(digit).unwrap_or(0)
        })
        .collect();
    out.reverse();
    out
}

/// The first answers, and each other answer alone.
fn few(sizes: &[u64]) -> Vec<Vec<usize>> {
    let mut out = vec![vec![0; sizes.len()]];
    for (place, &size) in sizes.iter().enumerate() {
        for answer in 1..usize::try_from(size).unwrap_or(usize::MAX) {
            let mut one = vec![0; sizes.len()];
            one[place] = answer;
            out.push(one);
        }
    }
    out
}

/// Whether turning one question alone ever changes the cost.
fn turns(costs: &[(Reach, u64)], sizes: &[u64], place: usize) -> bool {
    let stride = usize::try_from(sizes[place + 1..].iter().product::<u64>()).unwrap_or(usize::MAX);
    let size = usize::try_from(sizes[place]).unwrap_or(1);
    (0..costs.len()).any(|i| (i / stride) % size != 0 && costs[i] != costs[i - stride])
}
