//! The first key: which parts a route destroys, and a route without a search.

use super::frame::{forward, reached_ids};
use super::net::{Filter, permitted};
use super::problem::{Need, RouteProblem, Target, Thing};
use super::sequence::Budget;

const ANY: [u8; 4] = [u8::MAX; 4];

/// All least sets of destroyed parts with which the target can be reached, and whether they are
/// proved least; `None` if it can't be reached at all.
///
/// Parts without which nothing reaches the target are in every set; the rest is tried by size.
pub(super) fn least_damage(
    problem: &RouteProblem,
    target: &Target,
    budget: &mut Budget,
) -> Option<(Vec<Vec<u32>>, bool)> {
    let things = reached_ids(problem);
    let reaches = |damage: &[u32]| {
        let filter = Filter { damage: damage.to_vec(), ranks: ANY };
        let (_, reached) = forward(problem, &filter, &things);
        target.holds(&|thing: Thing| things.binary_search(&thing).is_ok_and(|at| reached[at]))
    };
    if reaches(&[]) {
        return Some((vec![Vec::new()], true));
    }
    let mut ids: Vec<u32> = problem.actions.iter().flat_map(|action| action.damages.iter().copied()).collect();
    ids.sort_unstable();
    ids.dedup();
    if !reaches(&ids) {
        return None;
    }
    let without = |id: &u32| ids.iter().copied().filter(|other| other != id).collect::<Vec<_>>();
    let (needed, rest): (Vec<u32>, Vec<u32>) = ids.iter().partition(|id| !reaches(&without(id)));
    for size in 0..=rest.len() {
        let mut sets = Vec::new();
        let mut picks: Vec<usize> = (0..size).collect();
        loop {
            // Each set costs a look at every action.
            if !budget.take(1 + problem.actions.len() as u64 / 8) {
                // Some set that can't be made smaller by leaving one out.
                let mut some = ids.clone();
                for id in &ids {
                    let less: Vec<u32> = some.iter().copied().filter(|other| other != id).collect();
                    if reaches(&less) {
                        some = less;
                    }
                }
                return Some((vec![some], false));
            }
            let mut set = needed.clone();
            set.extend(picks.iter().map(|at| rest[*at]));
            set.sort_unstable();
            if reaches(&set) {
                sets.push(set);
            }
            // The next choice of `size` in ascending order.
            let Some(at) = (0..size).rev().find(|at| picks[*at] < rest.len() - size + at) else {
                break;
            };
            picks[at] += 1;
            for later in at + 1..size {
                picks[later] = picks[later - 1] + 1;
            }
        }
        if !sets.is_empty() {
            return Some((sets, true));
        }
    }
    None
}

/// Orders up to which each action is tried without: the work grows with the square.
const TRIED: usize = 400;

/// Some route to the target: of everything in the order it becomes possible, what the target is reached by, less what
/// turns out not to be needed.
pub(super) fn greedy(problem: &RouteProblem, target: &Target, filter: &Filter) -> Option<Vec<usize>> {
    let things = reached_ids(problem);
    let at = |thing: Thing| things.binary_search(&thing).ok();
    let (all, _) = forward(problem, filter, &things);
    // Where in the order a thing is first reached.
    let mut first = vec![usize::MAX; things.len()];
    for (place, index) in all.iter().enumerate() {
        for thing in problem.actions[*index].frees.iter().chain(&problem.actions[*index].does).filter_map(|t| at(*t)) {
            first[thing] = first[thing].min(place);
        }
    }
    let reached = |thing: Thing| at(thing).map_or(usize::MAX, |thing| first[thing]);
    let mut wanted = vec![false; all.len()];
    let goals: Vec<usize> = match target {
        Target::All(list) => list.iter().map(|t| reached(*t)).collect(),
        Target::AnyOf(list) => vec![list.iter().map(|t| reached(*t)).min()?],
    };
    for place in goals {
        *wanted.get_mut(place)? = true;
    }
    for place in (0..all.len()).rev() {
        if wanted[place] {
            mark(&problem.actions[all[place]].after, &reached, &mut wanted);
        }
    }
    let mut order: Vec<usize> = (0..all.len()).filter(|place| wanted[*place]).map(|place| all[place]).collect();
    let feasible = |order: &[usize]| {
        let mut reached = vec![false; things.len()];
        for &index in order {
            let holds = |thing: Thing| at(thing).is_some_and(|thing| reached[thing]);
            if target.holds(&holds) {
                break;
            }
            let action = &problem.actions[index];
            if !permitted(action, filter) || !action.after.iter().all(|need| need.holds(&holds)) {
                return false;
            }
            for thing in action.frees.iter().chain(&action.does).filter_map(|thing| at(*thing)) {
                reached[thing] = true;
            }
        }
        target.holds(&|thing: Thing| at(thing).is_some_and(|thing| reached[thing]))
    };
    if !feasible(&order) {
        return None;
    }
    // Leaving out works backwards.
    if order.len() <= TRIED {
        for place in (0..order.len()).rev() {
            let mut shorter = order.clone();
            shorter.remove(place);
            if feasible(&shorter) {
                order = shorter;
            }
        }
    }
    Some(order)
}

/// Marks the actions, by place in an order, that first reach what needs ask for; of alternatives the one that holds first.
fn mark(needs: &[Need], reached: &impl Fn(Thing) -> usize, wanted: &mut [bool]) {
    fn whole(needs: &[Need], reached: &impl Fn(Thing) -> usize) -> usize {
        let of = |need: &Need| match need {
            Need::Thing(thing) => reached(*thing),
            Need::Any(members) => members.iter().map(|m| whole(m, reached)).min().unwrap_or(usize::MAX),
        };
        needs.iter().map(of).max().unwrap_or(0)
    }
    for need in needs {
        match need {
            Need::Thing(thing) => {
                if let Some(mark) = wanted.get_mut(reached(*thing)) {
                    *mark = true;
                }
            }
            Need::Any(members) => {
                if let Some(first) = members.iter().min_by_key(|m| whole(m, reached)) {
                    mark(first, reached, wanted);
                }
            }
        }
    }
}
