//! The reference route by uniform-cost search over (things reached, tools held, covered).

use std::collections::{BTreeMap, BTreeSet};

use super::answer::{Answer, Certificate, Key, Route, Taken};
use super::problem::{Action, Limits, Problem, Target, Thing, ToolId, Way};
use super::replay::{least_ways, replay};

/// Ranks a route may not exceed: class, kind, place, skill.
type Ranks = [u8; 4];

/// Additive keys: steps, parts, actions, tie, and the sequence itself for record order.
type Label = (u32, u32, u32, u64, Vec<usize>);

type State = (BTreeSet<Thing>, Vec<ToolId>, bool);

/// The reference route to a target: fewest damaged parts, then steps, worst tool class, worst
/// fastener kind, worst environment, worst skill, parts off, actions, tie, record order.
pub fn reference(problem: &Problem, target: &Target, limits: Limits) -> Answer {
    let ids: BTreeSet<u32> = problem
        .actions
        .iter()
        .flat_map(|action| action.damages.iter().copied())
        .collect();
    if !reachable(problem, target, &ids) {
        return Answer::Unreachable;
    }
    let mut budget = limits.states;
    // Least damage: sets of destroyed parts by size; all of the least size are compared.
    let mut allowed: Vec<BTreeSet<u32>> = vec![BTreeSet::new()];
    let sets = loop {
        let good: Vec<_> = allowed
            .iter()
            .filter(|set| reachable(problem, target, set))
            .cloned()
            .collect();
        if !good.is_empty() {
            break good;
        }
        let mut next = BTreeSet::new();
        for set in &allowed {
            for id in &ids {
                if !set.contains(id) {
                    let mut larger = set.clone();
                    larger.insert(*id);
                    next.insert(larger);
                }
            }
        }
        allowed = next.into_iter().collect();
        budget = budget.saturating_sub(allowed.len() as u64);
        if budget == 0 {
            return Answer::Undecided { at_least: 0 };
        }
    };
    let mut best: Option<(Key, Vec<Taken>)> = None;
    for set in sets {
        match staged(problem, target, &set, &mut budget) {
            Ok(Some(found)) => {
                if best.as_ref().is_none_or(|best| found < *best) {
                    best = Some(found);
                }
            }
            Ok(None) => {}
            Err(at_least) => return Answer::Undecided { at_least },
        }
    }
    match best {
        Some((key, taken)) => Answer::Route {
            route: Route { taken, key },
            certificate: Certificate::Proved,
            tie_proved: true,
        },
        None => Answer::Unreachable,
    }
}

/// Steps first, then each rank lowered as far as the steps stay, then the additive keys.
fn staged(
    problem: &Problem,
    target: &Target,
    damage: &BTreeSet<u32>,
    budget: &mut u64,
) -> Result<Option<(Key, Vec<Taken>)>, u32> {
    let mut ranks: Ranks = [u8::MAX; 4];
    let Some(first) = additive(problem, target, damage, ranks, budget)? else {
        return Ok(None);
    };
    let steps = first.0.steps;
    let mut best = first;
    for place in 0..ranks.len() {
        let levels: BTreeSet<u8> = problem
            .actions
            .iter()
            .flat_map(|action| rank_values(action, place))
            .collect();
        for level in levels {
            let mut tighter = ranks;
            tighter[place] = level;
            if let Some(found) = additive(problem, target, damage, tighter, budget)?
                && found.0.steps == steps
            {
                ranks = tighter;
                best = found;
                break;
            }
        }
    }
    Ok(Some(best))
}

fn rank_values(action: &Action, place: usize) -> Vec<u8> {
    match place {
        0 => action
            .operations
            .iter()
            .flat_map(|o| o.ways.iter().map(|w| w.class))
            .collect(),
        1 => vec![action.kind],
        2 => vec![action.place],
        _ => vec![action.skill],
    }
}

/// The least (steps, parts, actions, tie, sequence) under ranks; `Err` with a bound at the limit.
fn additive(
    problem: &Problem,
    target: &Target,
    damage: &BTreeSet<u32>,
    ranks: Ranks,
    budget: &mut u64,
) -> Result<Option<(Key, Vec<Taken>)>, u32> {
    let filtered = restricted(problem, damage, ranks);
    let start: State = (BTreeSet::new(), Vec::new(), false);
    let zero: Label = (0, 0, 0, 0, Vec::new());
    let mut open: BTreeSet<(Label, State)> = BTreeSet::from([(zero.clone(), start.clone())]);
    let mut known: BTreeMap<State, Label> = BTreeMap::from([(start, zero)]);
    while let Some((label, state)) = open.pop_first() {
        if *budget == 0 {
            return Err(label.0);
        }
        *budget -= 1;
        if target.holds(&|thing| state.0.contains(&thing)) {
            let taken = ways_of(problem, &filtered, &label.4);
            let key = replay(problem, Some(target), &taken)
                .map(|r| r.key)
                .unwrap_or_default();
            return Ok(Some((key, taken)));
        }
        for (index, action) in filtered.actions.iter().enumerate() {
            for (next, steps, parts) in perform(action, &state) {
                let mut sequence = label.4.clone();
                sequence.push(index);
                let further: Label = (
                    label.0 + steps,
                    label.1 + parts,
                    label.2 + 1,
                    label.3.saturating_add(action.tie),
                    sequence,
                );
                let better = known.get(&next).is_none_or(|old| further < *old);
                if better {
                    if let Some(old) = known.insert(next.clone(), further.clone()) {
                        open.remove(&(old, next.clone()));
                    }
                    open.insert((further, next));
                }
            }
        }
    }
    Ok(None)
}

/// The states an action leads to, with steps counted and parts newly off; none if it is not
/// enabled or reaches nothing new.
fn perform(action: &Action, state: &State) -> Vec<(State, u32, u32)> {
    let (reached, held, covered) = state;
    let gains = action
        .frees
        .iter()
        .chain(&action.does)
        .any(|thing| !reached.contains(thing));
    if !gains
        || !action
            .after
            .iter()
            .all(|need| need.holds(&|thing| reached.contains(&thing)))
    {
        return Vec::new();
    }
    let mut next = reached.clone();
    let off = action
        .frees
        .iter()
        .filter(|part| next.insert(**part))
        .count();
    next.extend(action.does);
    let removal = off > 0 || action.ends_step;
    let mut branches: BTreeMap<(Vec<ToolId>, bool), u32> =
        BTreeMap::from([((held.clone(), *covered), 0)]);
    for operation in &action.operations {
        let mut after = BTreeMap::new();
        for ((held, covered), steps) in &branches {
            for Way { tools, .. } in &operation.ways {
                let (key, cost) = if tools.is_empty() {
                    ((held.clone(), *covered), 0)
                } else {
                    let change = !held.is_empty() && !tools.iter().all(|tool| held.contains(tool));
                    ((tools.clone(), false), u32::from(change && !covered))
                };
                let total = steps + cost;
                after
                    .entry(key)
                    .and_modify(|old: &mut u32| *old = total.min(*old))
                    .or_insert(total);
            }
        }
        branches = after;
    }
    let parts = u32::try_from(off).unwrap_or(u32::MAX);
    branches
        .into_iter()
        .map(|((held, covered), steps)| {
            (
                (next.clone(), held, covered || removal),
                steps + u32::from(removal),
                parts,
            )
        })
        .collect()
}

/// The problem with forbidden actions left without a way, and forbidden ways left out.
fn restricted(problem: &Problem, damage: &BTreeSet<u32>, ranks: Ranks) -> Problem {
    let mut filtered = problem.clone();
    for action in &mut filtered.actions {
        let allowed = action.damages.iter().all(|id| damage.contains(id))
            && action.kind <= ranks[1]
            && action.place <= ranks[2]
            && action.skill <= ranks[3];
        if action.operations.is_empty() {
            action.operations.push(super::Operation {
                ways: vec![Way::default()],
            });
        }
        for operation in &mut action.operations {
            operation
                .ways
                .retain(|way| allowed && way.class <= ranks[0]);
        }
    }
    filtered
}

/// The least ways of a sequence, numbered as in the problem they were filtered from.
fn ways_of(problem: &Problem, filtered: &Problem, sequence: &[usize]) -> Vec<Taken> {
    let mut off = BTreeSet::new();
    let order: Vec<(usize, bool)> = sequence
        .iter()
        .map(|&index| {
            let action = &filtered.actions[index];
            let fresh = action
                .frees
                .iter()
                .filter(|part| off.insert(**part))
                .count()
                > 0;
            (index, fresh || action.ends_step)
        })
        .collect();
    let mut taken = least_ways(filtered, &order);
    for step in &mut taken {
        let original = &problem.actions[step.action].operations;
        let kept = &filtered.actions[step.action].operations;
        if original.is_empty() {
            step.ways.clear();
        }
        for (place, way) in step.ways.iter_mut().enumerate() {
            let wanted = &kept[place].ways[*way];
            *way = original[place]
                .ways
                .iter()
                .position(|w| w == wanted)
                .unwrap_or(*way);
        }
    }
    taken
}

/// Whether the target can be reached at all when only these parts may be destroyed.
fn reachable(problem: &Problem, target: &Target, damage: &BTreeSet<u32>) -> bool {
    let mut reached: BTreeSet<Thing> = BTreeSet::new();
    loop {
        let before = reached.len();
        for action in &problem.actions {
            if action.damages.iter().all(|id| damage.contains(id))
                && action
                    .operations
                    .iter()
                    .all(|operation| !operation.ways.is_empty())
                && action
                    .after
                    .iter()
                    .all(|need| need.holds(&|thing| reached.contains(&thing)))
            {
                reached.extend(&action.frees);
                reached.extend(action.does);
            }
        }
        if reached.len() == before {
            return target.holds(&|thing| reached.contains(&thing));
        }
    }
}
