//! A fixed set of actions to be put in order: precedences, moves, and a bound on what is left.

use super::bits::Bits;
use super::moves::{FREE, HANDS, Move};
use super::net::Net;

/// Where a search starts: what is done already, and the tools that may be held by then.
#[derive(Clone, Debug)]
pub(super) struct Start {
    /// Actions done, by net number.
    pub(super) done: Bits,
    /// Things reached, by landmark index; as wide as the landmarks.
    pub(super) reached: Bits,
    /// Tools held and the count so far, the least count first.
    pub(super) held: Vec<(u16, u32)>,
}

impl Start {
    pub(super) fn closed(net: &Net) -> Self {
        Self { done: Bits::new(net.acts.len()), reached: Bits::new(net.frame.width()), held: vec![(FREE, 0)] }
    }

    /// The start after one more action; `None` if it is not enabled or reaches nothing new.
    pub(super) fn after(&self, net: &Net, act: usize) -> Option<Self> {
        let (action, place) = (&net.acts[act], &net.frame.places[act]);
        let gains = place.gives.iter().any(|thing| !self.reached.has(*thing));
        if self.done.has(act) || !gains || !enabled(net, act, &self.reached) {
            return None;
        }
        let mut next = self.clone();
        next.done.insert(act);
        for thing in &place.gives {
            next.reached.insert(*thing);
        }
        next.held.clear();
        for &(held, cost) in &self.held {
            for entry in &action.moves {
                let (held, more) = moved(net, held, *entry);
                next.held.push((held, cost.saturating_add(more)));
            }
        }
        next.held.sort_unstable_by_key(|(held, cost)| (*cost, *held));
        let mut kept: Vec<(u16, u32)> = Vec::new();
        for (held, cost) in next.held {
            let as_good = |(other, spent): &(u16, u32)| spent.saturating_add(regret(net, *other, held)) <= cost;
            if !kept.iter().any(as_good) {
                kept.retain(|(other, spent)| cost.saturating_add(regret(net, held, *other)) > *spent);
                kept.push((held, cost));
            }
        }
        next.held = kept;
        Some(next)
    }
}

/// Whether an action's needs hold.
pub(super) fn enabled(net: &Net, act: usize, reached: &Bits) -> bool {
    net.frame.places[act].needs.iter().all(|thing| reached.has(*thing))
        && net.frame.groups.iter().all(|group| {
            group.owner != super::frame::Owner::Act(act)
                || group.members.iter().any(|m| m.nodes.iter().all(|thing| reached.has(*thing)))
        })
}

/// Tools held after a move, and what it counts.
pub(super) fn moved(net: &Net, held: u16, entry: Move) -> (u16, u32) {
    let after = if entry.last == HANDS { held } else { entry.last };
    let taken_up = if entry.first == HANDS { 0 } else { regret(net, held, entry.first) };
    (after, entry.inner.saturating_add(taken_up))
}

/// What holding `held` may count more than holding `other` would, whatever comes next; also what
/// it counts to take up the tool set `other`.
pub(super) fn regret(net: &Net, held: u16, other: u16) -> u32 {
    match (held, other) {
        (FREE, FREE) => 0,
        (_, FREE) => 1,
        (FREE, set) => net.taking[usize::from(set)],
        (held, set) if net.subset[usize::from(set)][usize::from(held)] => 0,
        (_, set) => 1 + net.taking[usize::from(set)],
    }
}

/// The ways an action can become enabled beyond its precedences: all of the groups, in each one
/// member, in a member each mask touched by what is done.
pub(super) type Alternatives = Vec<Vec<Vec<Bits>>>;

/// Counts how often one tool set must be picked up anew.
pub(super) struct Pickups {
    /// Actions that can only begin with the set.
    pub(super) demand: Bits,
    /// Other actions that leave it in hand; while one is left the set may come for nothing.
    pub(super) supply: Bits,
    /// `runs[k]`: actions with the set that still lead `k + 1` runs of it, each after a break.
    pub(super) runs: Vec<Bits>,
    /// `breaks[k]`: actions that lay the set aside and still lead to `k + 1` runs.
    pub(super) breaks: Vec<Bits>,
    pub(super) set: u16,
    /// What picking it up counts beyond the change.
    pub(super) taking: u32,
}

/// The actions of one set, numbered from 0 in net order.
pub(super) struct Jobs<'a> {
    pub(super) net: &'a Net,
    pub(super) acts: Vec<usize>,
    /// Per action, what must come before; closed under itself.
    pub(super) before: Vec<Bits>,
    pub(super) all: Bits,
    /// Enabling beyond `before`; empty when that is left out.
    pub(super) alternatives: Vec<Alternatives>,
    /// Those after which the next tools come without a change.
    pub(super) absorbs: Bits,
    /// Whatever comes last ends a step, and can absorb nothing.
    pub(super) closing: bool,
    /// Those that count something whenever they are done.
    pub(super) counts: Bits,
    /// What some of these count beyond one.
    pub(super) dearer: Vec<(usize, u32)>,
    pub(super) pickups: Vec<Pickups>,
}

impl<'a> Jobs<'a> {
    /// `before[i]` in local numbers; `None` if the precedences are circular.
    pub(super) fn new(net: &'a Net, acts: Vec<usize>, mut before: Vec<Bits>) -> Option<Self> {
        let count = acts.len();
        let order = close(&mut before)?;
        let mut absorbs = Bits::new(count);
        let mut counts = Bits::new(count);
        let mut dearer = Vec::new();
        let mut sinks = Bits::full(count);
        for (at, act) in acts.iter().enumerate() {
            let act = &net.acts[*act];
            if act.absorbs {
                absorbs.insert(at);
            }
            if act.least > 0 {
                counts.insert(at);
            }
            if act.least > 1 {
                dearer.push((at, act.least - 1));
            }
            for earlier in before[at].iter() {
                sinks.remove(earlier);
            }
        }
        let closing = sinks.within(&absorbs);
        let mut jobs = Self {
            net,
            all: Bits::full(count),
            alternatives: Vec::new(),
            acts,
            before,
            absorbs,
            closing,
            counts,
            dearer,
            pickups: Vec::new(),
        };
        jobs.pickups = (0..net.subset.len()).filter_map(|set| jobs.pickups_of(set, &order)).collect();
        Some(jobs)
    }

    fn pickups_of(&self, set: usize, order: &[usize]) -> Option<Pickups> {
        let count = self.acts.len();
        let subset = &self.net.subset[set];
        let name = u16::try_from(set).ok()?;
        let mut demand = Bits::new(count);
        let mut supply = Bits::new(count);
        let mut breakers = Bits::new(count);
        let mut wanted = false;
        for (at, act) in self.acts.iter().enumerate() {
            let moves = &self.net.acts[*act].moves;
            // A step's end leaves nothing in hand: what is taken up then is counted, and the change absorbed.
            let leaves = |entry: &Move| subset.get(usize::from(entry.last)).is_some_and(|yes| *yes);
            if moves.iter().all(|entry| entry.first == name) {
                demand.insert(at);
                wanted = true;
            } else if moves.iter().any(leaves) {
                supply.insert(at);
            }
            if moves.iter().all(|entry| entry.last != HANDS && !leaves(entry)) {
                breakers.insert(at);
            }
        }
        if !wanted {
            return None;
        }
        // Later runs first: how many runs an action still leads, itself included.
        let mut down = vec![0_usize; count];
        let mut beyond = vec![0_usize; count];
        // best_run[x]: most runs led by a later action with the set; best_break[x]: by a breaker.
        let mut best_run = vec![0_usize; count];
        let mut best_break = vec![0_usize; count];
        for &at in order.iter().rev() {
            if breakers.has(at) {
                beyond[at] = best_run[at];
            }
            if demand.has(at) {
                let again = if breakers.has(at) { best_run[at] } else { best_break[at] };
                down[at] = best_run[at].max(1 + again);
            }
            for earlier in self.before[at].iter() {
                best_run[earlier] = best_run[earlier].max(down[at]);
                if breakers.has(at) {
                    best_break[earlier] = best_break[earlier].max(beyond[at]);
                }
            }
        }
        let levels = |values: &[usize]| {
            let most = values.iter().copied().max().unwrap_or(0);
            (1..=most)
                .map(|least| {
                    let mut level = Bits::new(count);
                    for (at, value) in values.iter().enumerate() {
                        if *value >= least {
                            level.insert(at);
                        }
                    }
                    level
                })
                .collect()
        };
        let taking = self.net.taking[set];
        Some(Pickups { runs: levels(&down), breaks: levels(&beyond), demand, supply, set: name, taking })
    }
}

/// Closes precedences under themselves and gives an order that respects them.
fn close(before: &mut [Bits]) -> Option<Vec<usize>> {
    let count = before.len();
    let mut order = Vec::with_capacity(count);
    let mut placed = Bits::new(count);
    while order.len() < count {
        let start = order.len();
        for at in 0..count {
            if placed.has(at) || !before[at].within(&placed) {
                continue;
            }
            let mut closed = before[at].clone();
            for earlier in before[at].iter() {
                closed.unite(&before[earlier]);
            }
            before[at] = closed;
            placed.insert(at);
            order.push(at);
        }
        if order.len() == start {
            return None;
        }
    }
    Some(order)
}
