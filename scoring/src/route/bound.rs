//! Bounds on a partly decided route: what the needed actions cost, and what unmet alternatives
//! must add.

use super::bits::Bits;
use super::net::{FREE, Net};
use super::problem::Cost;

/// Leading cost, parts off, actions, tie; compared in this order.
pub(super) type Vector = [u64; 4];

/// Shares of a unit of weight: alternatives that overlap split a unit between them.
const SHARES: u64 = 2_520;

/// What the needed actions cost apart from changes of tools: seconds or nothing, parts, actions, tie.
pub(super) fn fixed(net: &Net, need: &Bits, cost: Cost) -> Vector {
    let mut parts = Bits::new(net.parts);
    let mut sum = [0_u64; 4];
    for act in needed(net, need) {
        let act = &net.acts[act];
        for part in &act.parts {
            parts.insert(*part);
        }
        sum[0] += act.seconds;
        sum[2] += 1;
        sum[3] = sum[3].saturating_add(act.tie);
    }
    sum[1] = parts.0.iter().map(|word| u64::from(word.count_ones())).sum();
    sum[0] = match cost {
        Cost::Steps => 0,
        Cost::Time { .. } => sum[0],
        Cost::Parts => sum[1],
    };
    sum
}

/// The needed actions, without the goal, ascending.
pub(super) fn needed<'a>(net: &'a Net, need: &'a Bits) -> impl Iterator<Item = usize> + 'a {
    let goal = net.goal();
    need.iter().filter_map(move |node| node.checked_sub(net.things)).filter(move |act| *act != goal)
}

/// Steps that the needed actions count at least, given what unmet alternatives add at least.
pub(super) fn steps(net: &Net, need: &Bits, done: &Bits, held: &[(u16, u32)], added: u64) -> u64 {
    let mut absorbing = 0_u64;
    let mut counted = 0_u64;
    let mut demand = vec![false; net.subset.len()];
    let mut supply = vec![false; net.subset.len()];
    for act in needed(net, need).filter(|act| !done.has(*act)) {
        let act = &net.acts[act];
        absorbing += u64::from(act.absorbs);
        counted += u64::from(act.least);
        let first = act.moves[0].first;
        let single = act.moves.iter().all(|entry| entry.first == first);
        if single && let Some(wanted) = demand.get_mut(usize::from(first)) {
            *wanted = true;
        }
        for entry in &act.moves {
            for (set, supplied) in supply.iter_mut().enumerate() {
                let leaves = net.subset[set].get(usize::from(entry.last)).is_some_and(|yes| *yes);
                *supplied |= leaves && !(single && usize::from(first) == set);
            }
        }
    }
    let bound = |held: u16, cost: u32| {
        let in_hand = |set: usize| net.subset[set].get(usize::from(held)).is_some_and(|yes| *yes);
        let pickups = (0..demand.len()).filter(|set| demand[*set] && !supply[*set] && !in_hand(*set));
        let (mut changes, mut taking) = (0_u64, 0_u64);
        for set in pickups {
            changes += 1;
            taking += u64::from(net.taking[set]);
        }
        let absorbed = absorbing.saturating_sub(u64::from(net.closing)) + u64::from(held == FREE);
        // Whatever is added, leaving it out again would cost nothing: the needed actions alone count no more.
        u64::from(cost) + counted + added.max(changes.saturating_sub(absorbed) + taking)
    };
    held.iter().map(|(held, cost)| bound(*held, *cost)).min().unwrap_or(0)
}

/// A lower bound on the weight that several alternatives add together: each raises what it can
/// from the cheapest of its members, out of weights that all of them share.
pub(super) fn packing(groups: &[Vec<Vec<usize>>], weight: impl Fn(usize) -> u64, acts: usize) -> u64 {
    let mut slack: Vec<Option<u64>> = vec![None; acts];
    // First an even split by how many alternatives an action serves, then whatever is left.
    let mut serves = vec![0_u64; acts];
    for group in groups {
        let mut all: Vec<usize> = group.iter().flatten().copied().collect();
        all.sort_unstable();
        all.dedup();
        for act in all {
            serves[act] += 1;
            slack[act] = Some(weight(act).saturating_mul(SHARES));
        }
    }
    let mut raised = 0_u64;
    for even in [true, false] {
        for group in groups {
            let most = group.iter().flatten().map(|act| serves[*act]).max().unwrap_or(1).max(1);
            let available = |member: &Vec<usize>| {
                member.iter().map(|act| slack[*act].unwrap_or(0)).fold(0_u64, u64::saturating_add)
            };
            let mut raise = group.iter().map(available).min().unwrap_or(0);
            if even {
                let whole =
                    |member: &Vec<usize>| member.iter().map(|act| weight(*act)).fold(0_u64, u64::saturating_add);
                let least = group.iter().map(whole).min().unwrap_or(0);
                raise = raise.min(least.saturating_mul(SHARES) / most);
            }
            if raise == 0 {
                continue;
            }
            raised = raised.saturating_add(raise);
            // Members pay side by side; an action in several of them pays the dearest share once.
            let mut share = std::collections::BTreeMap::new();
            for member in group {
                let mut owed = raise;
                for act in member {
                    let paid = owed.min(slack[*act].unwrap_or(0));
                    owed -= paid;
                    let entry = share.entry(*act).or_insert(0);
                    *entry = paid.max(*entry);
                }
            }
            for (act, paid) in share {
                if let Some(left) = &mut slack[act] {
                    *left -= paid;
                }
            }
        }
    }
    raised.div_ceil(SHARES)
}
