//! The questions asked of the engine, answered in stages: least damage, least leading cost, then
//! each rank lowered as far as the leading cost stays, then the additive keys, then record order.

use std::sync::Arc;

use super::answer::{Certificate, Route, SearchAnswer};
use super::bound::Vector;
use super::canonical::earliest;
use super::choose::{Aim, Best};
use super::damage::{greedy, least_damage};
use super::frame::Refusal;
use super::memo::Memo;
use super::net::{Filter, Net};
use super::problem::{Cost, Limits, RouteProblem, Target};
use super::replay::replay;
use super::sequence::Budget;
use super::ways::Choice;

/// States spent at most on record order, beside the limit.
const ORDER: u64 = 20_000;
const ALL: [u8; 4] = [u8::MAX; 4];
const OPEN: Vector = [u64::MAX; 4];

/// The reference route to a target: fewest damaged parts (none at all if any route destroys
/// nothing), then steps, worst tool class, worst fastener kind, worst environment, worst skill,
/// parts off, actions, tie, record order, and the earliest ways.
///
/// The certificate speaks of the steps. On the limit the best route found is given.
pub fn reference(problem: &RouteProblem, target: &Target, limits: Limits) -> SearchAnswer {
    reference_remembered(problem, target, limits, Ties::RecordOrder, &mut Memo::default()).answer
}

/// [`reference()`] without its last key: some route among those that tie on all scored keys.
///
/// For callers that only read the key, over many completions of one record.
pub fn reference_unordered(problem: &RouteProblem, target: &Target, limits: Limits) -> SearchAnswer {
    reference_remembered(problem, target, limits, Ties::Any, &mut Memo::default()).answer
}

/// Which of the routes that tie on all scored keys is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ties {
    /// The first in record order, as far as that is found within a share of its own.
    RecordOrder,
    /// Whichever is found.
    Any,
}

/// An answer and what it took.
#[derive(Clone, Debug)]
pub struct Charged {
    /// What was found.
    pub answer: SearchAnswer,
    /// States taken from the limit: the same with and without a memo, and whatever the ties.
    pub states: u64,
    /// States that record order took.
    pub ordering: u64,
}

/// [`reference()`], or any route that ties with it, sharing work with earlier questions that are mostly alike.
pub fn reference_remembered(
    problem: &RouteProblem,
    target: &Target,
    limits: Limits,
    ties: Ties,
    memo: &mut Memo,
) -> Charged {
    let mut run = Run::new(problem, target, Cost::Steps, limits, memo);
    let answer = run.stages(true, ties == Ties::RecordOrder);
    Charged { answer, states: limits.states - run.budget.left, ordering: run.ordering }
}

/// The cheapest route by another cost: fewest damaged parts, then the cost, parts off, actions,
/// tie, record order, and the earliest ways. Ranks are not looked at.
///
/// Clear [`Action::damages`](super::Action::damages) to let destructive routes compete.
/// [`Target`] makes it a joint route to all of several things, or to any of them.
pub fn cheapest(problem: &RouteProblem, target: &Target, cost: Cost, limits: Limits) -> SearchAnswer {
    Run::new(problem, target, cost, limits, &mut Memo::default()).stages(false, true)
}

/// A set of parts that may be destroyed, and the problem compiled for it.
pub(super) struct Case {
    pub(super) filter: Filter,
    /// Stands for the net without its ties.
    number: usize,
    pub(super) net: Arc<Net>,
}

struct Run<'a> {
    problem: &'a RouteProblem,
    target: &'a Target,
    cost: Cost,
    budget: Budget,
    ranks: [u8; 4],
    /// States that record order took.
    ordering: u64,
    memo: &'a mut Memo,
}

/// A route in record numbers.
struct Found {
    vector: Vector,
    case: usize,
    /// Actions by net number.
    order: Vec<usize>,
    route: Route,
}

impl<'a> Run<'a> {
    fn new(problem: &'a RouteProblem, target: &'a Target, cost: Cost, limits: Limits, memo: &'a mut Memo) -> Self {
        Self { problem, target, cost, budget: Budget { left: limits.states }, ranks: ALL, ordering: 0, memo }
    }

    fn stages(&mut self, ranked: bool, ordered: bool) -> SearchAnswer {
        let Some((damage, damage_proved)) = least_damage(self.problem, self.target, &mut self.budget) else {
            return SearchAnswer::Unreachable;
        };
        let mut cases = match self.compile(&damage) {
            Ok(cases) => cases,
            Err(Refusal::Unreachable) => return SearchAnswer::Unreachable,
            Err(Refusal::TooLarge) => return self.stopgap(&damage[0], 0),
        };
        let mut best: Option<Found> = None;
        let mut floor: Option<u64> = None;
        for case in 0..cases.len() {
            let cutoff = best.as_ref().map_or(OPEN, |best| best.vector);
            let (found, stopped) = self.ask(&cases, case, Aim::Lead, cutoff);
            best = found.or(best);
            floor = floor.into_iter().chain(stopped).min();
        }
        let Some(mut best) = best else {
            return floor.map_or(SearchAnswer::Unreachable, |f| self.stopgap(&damage[0], f));
        };
        if !damage_proved {
            // Other sets of destroyed parts were not looked at.
            return answer(best.route, Certificate::AtLeast(0), false);
        }
        if let Some(floor) = floor.filter(|floor| *floor < best.vector[0]) {
            return answer(best.route, Certificate::AtLeast(narrow(floor)), false);
        }
        let mut proved = true;
        if ranked {
            proved = self.rank(&damage, &mut cases, &mut best);
        }
        // Without alternatives there is one set of actions, and its sums are what they are.
        let alone = cases.len() == 1;
        let settled = alone && cases[0].net.frame.groups.is_empty();
        if proved && !settled {
            for case in &mut cases {
                case.net = Arc::clone(&case.net).tied(self.problem, alone);
            }
            let acts = &cases[best.case].net.acts;
            best.vector[3] = best.order.iter().map(|act| acts[*act].tie).sum();
            for case in 0..cases.len() {
                let (found, stopped) = self.ask(&cases, case, Aim::Vector, best.vector);
                best = found.unwrap_or(best);
                proved &= stopped.is_none();
            }
        }
        if proved && ordered {
            self.order(&cases, &mut best);
        }
        answer(best.route, Certificate::Proved, proved)
    }

    fn compile(&mut self, damage: &[Vec<u32>]) -> Result<Vec<Case>, Refusal> {
        let mut cases = Vec::new();
        let mut refusal = Refusal::Unreachable;
        for damage in damage {
            let filter = Filter { damage: damage.clone(), ranks: self.ranks };
            let memo = &mut *self.memo;
            let (number, net) = memo.compile(self.problem, self.target, &filter, self.cost);
            match net {
                Ok(net) => cases.push(Case { filter, number, net }),
                Err(Refusal::Unreachable) => {}
                Err(Refusal::TooLarge) => refusal = Refusal::TooLarge,
            }
        }
        if cases.is_empty() || refusal == Refusal::TooLarge { Err(refusal) } else { Ok(cases) }
    }

    fn ask(&mut self, cases: &[Case], case: usize, aim: Aim, cutoff: Vector) -> (Option<Found>, Option<u64>) {
        let Case { number, net, .. } = &cases[case];
        let memo = &mut *self.memo;
        let outcome = memo.search((*number, net), self.cost, aim, cutoff, &mut self.budget);
        let found = outcome.best.map(|best| self.found(cases, case, best));
        (found, outcome.stopped)
    }

    fn found(&self, cases: &[Case], case: usize, best: Best) -> Found {
        let Best { vector, order } = best;
        let Case { net, filter, .. } = &cases[case];
        let originals: Vec<usize> = order.iter().map(|act| net.acts[*act].original).collect();
        Found { vector, case, route: self.route(&originals, filter), order }
    }

    fn route(&self, originals: &[usize], filter: &Filter) -> Route {
        let every_change = matches!(self.cost, Cost::Time { .. });
        let choice = Choice { class: filter.ranks[0], every_change, each: self.problem.each };
        let taken = choice.least(self.problem, &ending(self.problem, originals));
        let key = replay(self.problem, Some(self.target), &taken).map(|r| r.key);
        debug_assert!(key.is_ok(), "{key:?}");
        Route { taken, key: key.unwrap_or_default() }
    }

    /// Lowers the worst class, kind, place and skill in turn; false when the budget ran out.
    fn rank(&mut self, damage: &[Vec<u32>], cases: &mut Vec<Case>, best: &mut Found) -> bool {
        let cutoff = [best.vector[0].saturating_add(1), 0, 0, 0];
        for place in 0..self.ranks.len() {
            let key = best.route.key;
            let now = [key.class, key.kind, key.place, key.skill][place];
            let least = cases.iter().map(|case| self.floor(case, place)).min().unwrap_or(0);
            let mut levels: Vec<u8> = cases
                .iter()
                .flat_map(|case| case.net.acts.iter())
                .filter_map(|act| self.problem.actions.get(act.original))
                .flat_map(|action| ranks(action, place))
                .filter(|level| (least..now).contains(level))
                .collect();
            levels.sort_unstable();
            levels.dedup();
            self.ranks[place] = now;
            for level in levels {
                self.ranks[place] = level;
                let compiled = self.compile(damage);
                self.ranks[place] = now;
                let Ok(tighter) = compiled else { continue };
                let mut lower = None;
                for case in 0..tighter.len() {
                    let (found, stopped) = self.ask(&tighter, case, Aim::First, cutoff);
                    lower = found;
                    if lower.is_some() {
                        break;
                    }
                    if stopped.is_some() {
                        return false;
                    }
                }
                if let Some(found) = lower {
                    *best = found;
                    *cases = tighter;
                    self.ranks[place] = level;
                    break;
                }
            }
        }
        let cut = cases.iter().any(|case| self.cuts(case));
        if cut {
            // The ranks found hold from here on, also where nothing was lowered.
            match self.compile(damage) {
                Ok(tighter) => *cases = tighter,
                Err(_) => return false,
            }
            for case in 0..cases.len() {
                let (found, stopped) = self.ask(cases, case, Aim::First, cutoff);
                if let Some(found) = found {
                    *best = found;
                    return true;
                }
                if stopped.is_some() {
                    return false;
                }
            }
        }
        true
    }

    /// Whether the ranks found forbid anything a case was compiled with.
    fn cuts(&self, case: &Case) -> bool {
        case.net.acts.iter().filter_map(|act| self.problem.actions.get(act.original)).any(|action| {
            (0..self.ranks.len()).any(|place| {
                ranks(action, place).any(|level| level > self.ranks[place] && level <= case.filter.ranks[place])
            })
        })
    }

    /// A rank no route of the case can go below.
    fn floor(&self, case: &Case, place: usize) -> u8 {
        let net = &case.net;
        let needed =
            net.frame.lm[net.frame.node(net.frame.goal())].iter().filter_map(|n| n.checked_sub(net.frame.things));
        let actions = needed.filter_map(|act| self.problem.actions.get(net.acts[act].original));
        actions
            .map(|action| match place {
                0 => {
                    let least = action
                        .operations
                        .iter()
                        .map(|operation| operation.ways.iter().map(|way| way.class).min().unwrap_or(0));
                    least.max().unwrap_or(0)
                }
                1 => action.kind,
                2 => action.place,
                _ => action.skill,
            })
            .max()
            .unwrap_or(0)
    }

    /// The first in record order among the best of all cases, as far as its share of states goes.
    fn order(&mut self, cases: &[Case], best: &mut Found) {
        // No score depends on record order, so it has a share of its own and takes nothing from the rest.
        let mut share = Budget { left: ORDER };
        let mut first: Option<(Vec<usize>, usize)> = None;
        for (case, Case { net, .. }) in cases.iter().enumerate() {
            let witness = (case == best.case).then(|| best.order.clone());
            let order = earliest(net, self.cost, best.vector, witness, &mut share);
            let Some(order) = order else { continue };
            let originals: Vec<usize> = order.iter().map(|act| net.acts[*act].original).collect();
            if first.as_ref().is_none_or(|(least, _)| originals < *least) {
                first = Some((originals, case));
            }
        }
        self.ordering = ORDER - share.left;
        if let Some((originals, case)) = first {
            best.route = self.route(&originals, &cases[case].filter);
        }
    }

    /// Some route, without a search, and a bound on the leading cost.
    fn stopgap(&self, damage: &[u32], floor: u64) -> SearchAnswer {
        let filter = Filter { damage: damage.to_vec(), ranks: self.ranks };
        match greedy(self.problem, self.target, &filter) {
            Some(order) => {
                let route = self.route(&order, &filter);
                answer(route, Certificate::AtLeast(narrow(floor)), false)
            }
            None => SearchAnswer::Undecided { at_least: narrow(floor) },
        }
    }
}

fn answer(route: Route, certificate: Certificate, tie_proved: bool) -> SearchAnswer {
    SearchAnswer::Route { route, certificate, tie_proved }
}

fn narrow(bound: u64) -> u32 {
    u32::try_from(bound).unwrap_or(u32::MAX)
}

/// The ranks an action may put on a route.
fn ranks(action: &super::Action, place: usize) -> impl Iterator<Item = u8> + '_ {
    let classes = action.operations.iter().flat_map(|operation| &operation.ways);
    let single = [action.kind, action.place, action.skill];
    classes.filter(move |_| place == 0).map(|way| way.class).chain(place.checked_sub(1).map(move |place| single[place]))
}

/// With each action of an order, whether it takes off or lays aside a part still on.
pub(super) fn ending(problem: &RouteProblem, order: &[usize]) -> Vec<(usize, bool)> {
    let mut off: std::collections::BTreeSet<super::Thing> = std::collections::BTreeSet::new();
    order
        .iter()
        .map(|&index| {
            let action = &problem.actions[index];
            let ends = action.frees.iter().chain(&action.aside).any(|part| !off.contains(part));
            off.extend(&action.frees);
            (index, ends)
        })
        .collect()
}
