//! Bounds on a partly decided route: what the needed actions cost, and what unmet alternatives
//! must add.

use super::bits::Bits;
use super::jobs::Start;
use super::moves::FREE;
use super::net::Net;
use super::problem::Cost;

/// Leading cost, parts off, actions, tie; compared in this order.
pub(super) type Vector = [u64; 4];

/// Shares of a unit of weight: alternatives that overlap split a unit between them.
const SHARES: u64 = 2_520;

/// What the needed actions cost apart from changes of tools: seconds or nothing, parts, actions, tie.
pub(super) fn fixed(net: &Net, need: &Bits, cost: Cost) -> Vector {
    let mut parts = Bits::new(net.frame.parts);
    let mut sum = [0_u64; 4];
    for act in needed(net, need) {
        net.frame.places[act].parts.iter().for_each(|part| parts.insert(*part));
        let act = &net.acts[act];
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
    let goal = net.frame.goal();
    need.iter().filter_map(move |node| node.checked_sub(net.frame.things)).filter(move |act| *act != goal)
}

/// Room in which bounds are worked out, kept from node to node: a search bounds thousands.
#[derive(Default)]
pub(super) struct Room {
    /// Alternatives still open: where the members of each end.
    groups: Vec<usize>,
    /// Members one after the other: where the actions of each end.
    members: Vec<usize>,
    acts: Vec<usize>,
    /// What is left of the weight of every action.
    slack: Vec<u64>,
    /// How many alternatives an action serves.
    serves: Vec<u64>,
    share: Vec<u64>,
    demand: Bits,
    supply: Bits,
}

impl Room {
    /// Forgets the alternatives noted.
    pub(super) fn clear(&mut self) {
        self.groups.clear();
        self.members.clear();
        self.acts.clear();
    }

    /// Notes a member of the alternative at hand: the actions it would add.
    pub(super) fn member(&mut self, acts: impl Iterator<Item = usize>) {
        self.acts.extend(acts);
        self.members.push(self.acts.len());
    }

    /// Ends the alternative at hand.
    pub(super) fn group(&mut self) {
        self.groups.push(self.members.len());
    }

    /// The members of an alternative, as places among all members.
    fn members(&self, group: usize) -> std::ops::Range<usize> {
        let first = group.checked_sub(1).map_or(0, |before| self.groups[before]);
        first..self.groups[group]
    }

    fn acts(&self, member: usize) -> &[usize] {
        let first = member.checked_sub(1).map_or(0, |before| self.members[before]);
        &self.acts[first..self.members[member]]
    }

    /// All actions of an alternative, as often as its members name them.
    fn of_group(&self, group: usize) -> std::ops::Range<usize> {
        let members = self.members(group);
        let first = members.start.checked_sub(1).map_or(0, |before| self.members[before]);
        first..members.end.checked_sub(1).map_or(first, |last| self.members[last])
    }

    /// Steps that the needed actions count at least, given what unmet alternatives add at least.
    pub(super) fn steps(&mut self, net: &Net, need: &Bits, start: &Start, added: u64) -> u64 {
        let mut absorbing = 0_u64;
        let mut counted = 0_u64;
        self.demand.reset(net.subset.len());
        self.supply.reset(net.subset.len());
        for act in needed(net, need).filter(|act| !start.done.has(*act)) {
            let act = &net.acts[act];
            absorbing += u64::from(act.absorbs);
            counted += u64::from(act.least);
            if let Some(set) = act.demands {
                self.demand.insert(usize::from(set));
            }
            self.supply.unite(&act.supplies);
        }
        let bound = |held: u16, cost: u32| {
            let in_hand = |set: usize| net.subset[set].get(usize::from(held)).is_some_and(|yes| *yes);
            let (mut changes, mut taking) = (0_u64, 0_u64);
            for set in self.demand.iter().filter(|set| !self.supply.has(*set) && !in_hand(*set)) {
                changes += 1;
                taking += u64::from(net.taking[set]);
            }
            let absorbed = absorbing.saturating_sub(u64::from(net.closing)) + u64::from(held == FREE);
            // Whatever is added, leaving it out again would cost nothing: the needed actions alone count no more.
            u64::from(cost) + counted + added.max(changes.saturating_sub(absorbed) + taking)
        };
        start.held.iter().map(|(held, cost)| bound(*held, *cost)).min().unwrap_or(0)
    }

    /// A lower bound on the weight that the alternatives noted add together: each raises what it can from the cheapest of
    /// its members, out of weights that all of them share. Those with fewer members go first.
    pub(super) fn packing(&mut self, weight: impl Fn(usize) -> u64, acts: usize) -> u64 {
        if self.groups.is_empty() {
            return 0;
        }
        for list in [&mut self.slack, &mut self.serves, &mut self.share] {
            list.clear();
            list.resize(acts, 0);
        }
        let mut order: Vec<usize> = (0..self.groups.len()).collect();
        order.sort_by_key(|group| self.members(*group).len());
        // First an even split by how many alternatives an action serves, then whatever is left.
        for (turn, &group) in (1_u64..).zip(&order) {
            for at in self.of_group(group) {
                let act = self.acts[at];
                // Named by several members of one alternative it serves that once.
                if std::mem::replace(&mut self.share[act], turn) != turn {
                    self.serves[act] += 1;
                    self.slack[act] = weight(act).saturating_mul(SHARES);
                }
            }
        }
        self.share.fill(0);
        let mut raised = 0_u64;
        for even in [true, false] {
            for &group in &order {
                let available = |member: usize| {
                    self.acts(member).iter().map(|act| self.slack[*act]).fold(0_u64, u64::saturating_add)
                };
                let mut raise = self.members(group).map(available).min().unwrap_or(0);
                if raise > 0 && even {
                    let most = self.acts[self.of_group(group)].iter().map(|act| self.serves[*act]).max();
                    let whole = |member: usize| {
                        self.acts(member).iter().map(|act| weight(*act)).fold(0_u64, u64::saturating_add)
                    };
                    let least = self.members(group).map(whole).min().unwrap_or(0);
                    raise = raise.min(least.saturating_mul(SHARES) / most.unwrap_or(1).max(1));
                }
                if raise == 0 {
                    continue;
                }
                raised = raised.saturating_add(raise);
                self.pay(group, raise);
            }
        }
        raised.div_ceil(SHARES)
    }

    /// Members pay side by side; an action in several of them pays the dearest share once.
    fn pay(&mut self, group: usize, raise: u64) {
        for member in self.members(group) {
            let mut owed = raise;
            let first = member.checked_sub(1).map_or(0, |before| self.members[before]);
            for at in first..self.members[member] {
                let act = self.acts[at];
                let paid = owed.min(self.slack[act]);
                owed -= paid;
                self.share[act] = self.share[act].max(paid);
            }
        }
        for at in self.of_group(group) {
            let act = self.acts[at];
            self.slack[act] -= std::mem::take(&mut self.share[act]);
        }
    }
}
