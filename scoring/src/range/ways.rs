//! The cheapest route by time or by parts taken off, with its range over everything nobody established.
//!
//! Every completion of the questions that can bear on it is searched on its own; past a number of completions only a few are,
//! and the result says so.

use std::collections::BTreeSet;

use super::case::{Case, Unknown, may_exist};
use super::counting::{every, how_many};
use super::edit::Edit;
use super::study::Effort;
use crate::assess::joint::{Wanted, read};
use crate::assess::problem::pose;
use crate::assess::time::Times;
use crate::assess::{PartRoute, Reach};
use crate::method::StepRule;
use crate::need;
use crate::record::Record;
use crate::record::complete::Complete;
use crate::route::{self, Certificate, Cost, Limits, Operation, Route, RouteProblem, SearchAnswer, Taken, Thing};

/// What a route costs.
#[derive(Clone, Copy, Debug)]
pub enum Price<'t> {
    /// Nominal hands-on milliseconds by a table, the first pick-up of a tool included.
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
    let sizes: Vec<usize> = open.iter().map(|&u| case.unknowns[u].answers.len()).collect();
    let all = how_many(sizes.iter().copied()).filter(|n| *n <= effort.looks.saturating_mul(60));
    let choices: Vec<Vec<usize>> = if all.is_some() { every(&sizes).collect() } else { few(&sizes) };
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
    let target = wanted.target(&device);
    let found = match price {
        Price::Time(times) => {
            let (problem, change) = times.pose(record, &device, &posed);
            let pick_up = u64::from(times.milliseconds("tool pick-up"));
            // The search knows only what a change costs. All routes with tools pay one pick-up more; those without may
            // be cheaper for it, and are searched apart.
            let solve = |problem: &RouteProblem| {
                Paid::of(route::cheapest(problem, &target, Cost::Time { change }, limits), |route| {
                    route::replay(problem, None, &route.taken)
                        .map_or(0, |r| r.seconds.saturating_add(u64::from(r.changes) * u64::from(change)))
                })
            };
            let any = solve(&problem).with_pick_up(&problem, pick_up);
            let (bare, hands) = by_hand(&problem);
            let mut bare = solve(&bare);
            for taken in bare.route.iter_mut().flat_map(|route| &mut route.taken) {
                taken.ways.clone_from(&hands[taken.action]);
            }
            any.or(bare)
        }
        Price::Parts => {
            Paid::of(route::cheapest(&posed.problem, &target, Cost::Parts, limits), |route| u64::from(route.key.parts))
        }
    };
    let route = match &found.route {
        Some(route) => read(&device, &posed, &posed.problem, wanted, route),
        None => PartRoute::unread(&device, 0),
    };
    PricedEnd { device, answers: Vec::new(), route, cost: found.cost, at_least: found.at_least }
}

/// A route and what it costs; without a route, what a search that was stopped knows, or that there is none.
struct Paid {
    route: Option<Route>,
    cost: u64,
    at_least: u64,
    open: bool,
}

impl Paid {
    fn of(answer: SearchAnswer, cost: impl Fn(&Route) -> u64) -> Self {
        match answer {
            SearchAnswer::Route { route, certificate, .. } => {
                let cost = cost(&route);
                let at_least = match certificate {
                    Certificate::Proved => cost,
                    Certificate::AtLeast(n) => u64::from(n),
                };
                Self { route: Some(route), cost, at_least, open: false }
            }
            SearchAnswer::Unreachable => Self { route: None, cost: 0, at_least: 0, open: false },
            SearchAnswer::Undecided { at_least } => {
                let at_least = u64::from(at_least);
                Self { route: None, cost: at_least + 1, at_least, open: true }
            }
        }
    }

    fn with_pick_up(mut self, problem: &RouteProblem, pick_up: u64) -> Self {
        let tools = |t: &Taken| {
            let operations = &problem.actions[t.action].operations;
            operations.iter().zip(&t.ways).any(|(operation, way)| !operation.ways[*way].tools.is_empty())
        };
        if self.route.as_ref().is_some_and(|r| r.taken.iter().any(tools)) {
            self.cost = self.cost.saturating_add(pick_up);
            self.at_least = self.at_least.saturating_add(pick_up);
        }
        self
    }

    /// The better of the two; nothing better than either bound exists.
    fn or(self, other: Self) -> Self {
        let none = |p: &Self| p.route.is_none() && !p.open;
        if none(&other) {
            return self;
        }
        if none(&self) {
            return other;
        }
        let at_least = self.at_least.min(other.at_least);
        let worth = |p: &Self| (p.route.as_ref().map_or(u32::MAX, |r| r.key.damaged), p.cost);
        let best = if worth(&other) < worth(&self) { other } else { self };
        Self { at_least, ..best }
    }
}

/// The problem with bare hands alone, and per action the ways by hand in the numbers of the problem as it was.
fn by_hand(problem: &RouteProblem) -> (RouteProblem, Vec<Vec<usize>>) {
    let mut bare = problem.clone();
    let mut hands = Vec::new();
    for action in &mut bare.actions {
        let by_hand = |o: &Operation| o.ways.iter().position(|way| way.tools.is_empty());
        hands.push(action.operations.iter().map(|o| by_hand(o).unwrap_or_default()).collect());
        action.operations.iter_mut().for_each(|o| {
            o.ways.retain(|way| way.tools.is_empty());
            o.ways.truncate(1);
        });
    }
    (bare, hands)
}

/// The questions whose answers can change which actions lead to the target, or what they cost.
fn bearing(case: &Case, wanted: &Wanted, price: Price<'_>) -> Vec<usize> {
    let edits = || case.unknowns.iter().flat_map(|u| &u.answers).flat_map(|a| &a.edits);
    let may = may_exist(case);
    let mut things: BTreeSet<Thing> = wanted.things(&case.base).into_iter().collect();
    let mut actions: BTreeSet<usize> = BTreeSet::new();
    loop {
        let before = (things.len(), actions.len());
        for (index, action) in case.base.actions.iter().enumerate().filter(|(index, _)| may[*index]) {
            if action.frees.iter().chain(&action.does).any(|t| things.contains(t)) && actions.insert(index) {
                things.extend(need::things(&action.after));
            }
        }
        for edit in edits() {
            match edit {
                Edit::After(a, needs) if actions.contains(a) => things.extend(need::things(needs)),
                Edit::Replace(a, _, to) if actions.contains(a) => {
                    things.insert(*to);
                }
                Edit::Frees(a, frees) if frees.iter().any(|t| things.contains(t)) && actions.insert(*a) => {
                    things.extend(need::things(&case.base.actions[*a].after));
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

/// The first answers, and each other answer alone.
fn few(sizes: &[usize]) -> Vec<Vec<usize>> {
    let mut out = vec![vec![0; sizes.len()]];
    for (place, &size) in sizes.iter().enumerate() {
        for answer in 1..size {
            let mut one = vec![0; sizes.len()];
            one[place] = answer;
            out.push(one);
        }
    }
    out
}

/// Whether turning one question alone ever changes the cost.
fn turns(costs: &[(Reach, u64)], sizes: &[usize], place: usize) -> bool {
    let stride: usize = sizes[place + 1..].iter().product();
    let size = sizes[place];
    (0..costs.len()).any(|i| !(i / stride).is_multiple_of(size) && costs[i] != costs[i - stride])
}
