//! Least steps, time or parts by plain uniform-cost search over (things, held, covered), without
//! bounds or shortcuts. Written apart from the engine.
#![allow(clippy::cast_possible_truncation, reason = "indices of small random problems")]

use std::collections::{BTreeMap, BTreeSet};

use scoring::route::{Action, Cost, RouteProblem, Target};

type State = (Vec<u64>, Vec<u16>, bool);

fn has(reached: &[u64], thing: u32) -> bool {
    reached[thing as usize / 64] >> (thing % 64) & 1 == 1
}

fn set(reached: &mut [u64], thing: u32) -> bool {
    let new = !has(reached, thing);
    reached[thing as usize / 64] |= 1 << (thing % 64);
    new
}

/// The least cost among routes that destroy nothing; `Err` after too many states.
pub fn least(problem: &RouteProblem, target: &Target, cost: Cost, states: usize) -> Result<Option<u64>, ()> {
    let start: State = (vec![0; problem.things as usize / 64 + 1], Vec::new(), false);
    let mut open: BTreeSet<(u64, State)> = BTreeSet::from([(0, start.clone())]);
    let mut known: BTreeMap<State, u64> = BTreeMap::from([(start, 0)]);
    while let Some((spent, state)) = open.pop_first() {
        if target.holds(&|thing| has(&state.0, thing)) {
            return Ok(Some(spent));
        }
        if known.len() > states {
            return Err(());
        }
        for action in problem.actions.iter().filter(|action| action.damages.is_empty()) {
            for (next, more) in perform(problem, action, &state, cost) {
                let total = spent + more;
                if known.get(&next).is_none_or(|old| total < *old) {
                    if let Some(old) = known.insert(next.clone(), total) {
                        open.remove(&(old, next.clone()));
                    }
                    open.insert((total, next));
                }
            }
        }
    }
    Ok(None)
}

fn perform(problem: &RouteProblem, action: &Action, state: &State, cost: Cost) -> Vec<(State, u64)> {
    let (reached, held, covered) = state;
    if action.frees.iter().chain(&action.does).all(|thing| has(reached, *thing))
        || !action.after.iter().all(|need| need.holds(&|thing| has(reached, thing)))
    {
        return Vec::new();
    }
    let mut next = reached.clone();
    let laid_aside = action.aside.iter().any(|part| !has(reached, *part));
    let off = action.frees.iter().filter(|part| set(&mut next, **part)).count();
    if let Some(thing) = action.does {
        set(&mut next, thing);
    }
    let steps = cost == Cost::Steps;
    let mut branches: BTreeMap<(Vec<u16>, bool), u64> = BTreeMap::from([((held.clone(), *covered), 0)]);
    for (place, operation) in action.operations.iter().enumerate() {
        let closes = place + 1 == action.operations.len() && (off > 0 || laid_aside);
        let mut after: BTreeMap<(Vec<u16>, bool), u64> = BTreeMap::new();
        for ((held, covered), sofar) in &branches {
            for way in &operation.ways {
                let ends = closes || operation.ends || way.ends;
                let (mut to, mut more) = if way.tools.is_empty() {
                    ((held.clone(), *covered), 0)
                } else {
                    let several = problem.each && (*covered || way.tools.iter().any(|t| !held.contains(t)));
                    let several = if several { way.tools.len() as u64 - 1 } else { 0 };
                    let change = !held.is_empty() && way.tools.iter().any(|t| !held.contains(t));
                    let price = match cost {
                        Cost::Steps => u64::from(change && !covered) + several,
                        Cost::Time { change: each } => u64::from(change) * u64::from(each),
                        Cost::Parts => 0,
                    };
                    ((way.tools.clone(), false), price)
                };
                to.1 |= ends;
                if steps {
                    more += u64::from(ends) + u64::from(way.cost);
                }
                let total = sofar + more;
                after.entry(to).and_modify(|old| *old = total.min(*old)).or_insert(total);
            }
        }
        branches = after;
    }
    let fixed = match cost {
        Cost::Steps => 0,
        Cost::Time { .. } => action.seconds.into(),
        Cost::Parts => off as u64,
    };
    branches.into_iter().map(|((held, covered), more)| ((next.clone(), held, covered), more + fixed)).collect()
}
