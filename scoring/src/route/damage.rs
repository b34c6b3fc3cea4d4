//! The first key: which parts a route destroys, and a route without a search.

use super::net::{Filter, forward, permitted, reached_ids};
use super::problem::{Problem, Target, Thing};
use super::sequence::Budget;

const ANY: [u8; 4] = [u8::MAX; 4];

/// All least sets of destroyed parts with which the target can be reached, and whether they are
/// proved least; `None` if it can't be reached at all.
///
/// Parts without which nothing reaches the target are in every set; the rest is tried by size.
pub(super) fn least_damage(problem: &Problem, target: &Target, budget: &mut Budget) -> Option<(Vec<Vec<u32>>, bool)> {
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

/// Some route to the target: everything in the order it becomes possible, less what is not needed.
pub(super) fn greedy(problem: &Problem, target: &Target, filter: &Filter) -> Option<Vec<usize>> {
    let things = reached_ids(problem);
    let (mut order, _) = forward(problem, filter, &things);
    let feasible = |order: &[usize]| {
        let mut reached = vec![false; things.len()];
        for &index in order {
            let holds = |thing: Thing| things.binary_search(&thing).is_ok_and(|at| reached[at]);
            if target.holds(&holds) {
                break;
            }
            let action = &problem.actions[index];
            if !permitted(action, filter) || !action.after.iter().all(|need| need.holds(&holds)) {
                return false;
            }
            for thing in action.frees.iter().chain(&action.does) {
                if let Ok(at) = things.binary_search(thing) {
                    reached[at] = true;
                }
            }
        }
        target.holds(&|thing: Thing| things.binary_search(&thing).is_ok_and(|at| reached[at]))
    };
    if !feasible(&order) {
        return None;
    }
    // Leaving out works backwards; very long orders are kept as they are.
    if order.len() <= 2_000 {
        for at in (0..order.len()).rev() {
            let mut shorter = order.clone();
            shorter.remove(at);
            if feasible(&shorter) {
                order = shorter;
            }
        }
    }
    Some(order)
}
