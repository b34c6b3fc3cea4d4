//! Which ways to choose along a fixed order of actions.

use std::collections::{BTreeMap, BTreeSet};

use super::answer::Taken;
use super::problem::{RouteProblem, ToolId, Way};

/// What the count looks at along an order.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice {
    /// Highest tool class rank allowed.
    pub(super) class: u8,
    /// Every change is charged, coinciding or not, and nothing else.
    pub(super) every_change: bool,
    /// Each tool beyond the first counts when several are taken up or used after a step ended.
    pub(super) each: bool,
}

/// One operation of the order.
struct Layer<'a> {
    at: usize,
    ways: &'a [Way],
    /// A step ends with this operation, whichever way is chosen.
    ends: bool,
}

/// The tools held, empty for none yet, and whether a step's end covers the next change.
type State<'a> = (&'a [ToolId], bool);

impl Choice {
    fn after<'a>(self, state: State<'a>, way: &'a Way, ends: bool) -> (State<'a>, u32) {
        let (held, covered) = state;
        let ends = ends || way.ends;
        let own = if self.every_change { 0 } else { way.cost.saturating_add(u32::from(ends)) };
        if way.tools.is_empty() {
            return ((held, covered || ends), own);
        }
        let new = !way.tools.iter().all(|tool| held.contains(tool));
        let free = held.is_empty() || covered && !self.every_change;
        let several = self.each && !self.every_change && (new || covered);
        let beyond = if several { u32::try_from(way.tools.len() - 1).unwrap_or(u32::MAX) } else { 0 };
        ((way.tools.as_slice(), ends), u32::from(new && !free).saturating_add(beyond).saturating_add(own))
    }

    fn allowed(self, ways: &[Way]) -> impl Iterator<Item = (usize, &Way)> {
        ways.iter().enumerate().filter(move |(_, way)| way.class <= self.class)
    }

    /// For a fixed order, with whether the last operation of each action ends a step: the ways that
    /// count least, the earliest written first.
    pub(super) fn least(self, problem: &RouteProblem, order: &[(usize, bool)]) -> Vec<Taken> {
        let mut layers = Vec::new();
        for (at, &(index, ends)) in order.iter().enumerate() {
            let operations = &problem.actions[index].operations;
            for (place, operation) in operations.iter().enumerate() {
                let ends = operation.ends || ends && place + 1 == operations.len();
                layers.push(Layer { at, ways: &operation.ways, ends });
            }
        }
        let mut taken: Vec<Taken> = order.iter().map(|&(action, _)| Taken { action, ways: Vec::new() }).collect();
        if layers.iter().all(|layer| layer.ways.len() == 1) {
            for layer in &layers {
                taken[layer.at].ways.push(0);
            }
            return taken;
        }
        let mut reachable: Vec<BTreeSet<State<'_>>> = vec![BTreeSet::from([(&[][..], false)])];
        for layer in &layers {
            let mut next = BTreeSet::new();
            for &state in reachable.last().into_iter().flatten() {
                let ways = self.allowed(layer.ways);
                next.extend(ways.map(|(_, way)| self.after(state, way, layer.ends).0));
            }
            reachable.push(next);
        }
        let mut rest: BTreeMap<State<'_>, u32> =
            reachable.last().into_iter().flatten().map(|state| (*state, 0)).collect();
        let mut picks: Vec<BTreeMap<State<'_>, usize>> = Vec::new();
        for (depth, layer) in layers.iter().enumerate().rev() {
            let mut costs = BTreeMap::new();
            let mut best = BTreeMap::new();
            for &state in &reachable[depth] {
                let options = self.allowed(layer.ways).filter_map(|(index, way)| {
                    let (next, cost) = self.after(state, way, layer.ends);
                    rest.get(&next).map(|rest| (rest.saturating_add(cost), index))
                });
                if let Some((cost, index)) = options.min() {
                    costs.insert(state, cost);
                    best.insert(state, index);
                }
            }
            rest = costs;
            picks.push(best);
        }
        let mut state: State<'_> = (&[], false);
        for (layer, picks) in layers.iter().zip(picks.iter().rev()) {
            let Some(&way) = picks.get(&state) else { break };
            taken[layer.at].ways.push(way);
            state = self.after(state, &layer.ways[way], layer.ends).0;
        }
        taken
    }
}
