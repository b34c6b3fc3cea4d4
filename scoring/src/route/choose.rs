//! Which alternatives a route takes: branch and bound over unmet groups, then the order.
//!
//! A node of the tree is a set of needed things and actions, things that must stay out, and
//! members that must serve first. Branching on an unmet group partitions the routes by the first
//! member, in a fixed order, that the route contains. When every group has a needed member, the
//! needed actions are put in order without regard to the groups; if the order happens to satisfy
//! them it is optimal for the node, otherwise the node splits by which member serves in time.

use super::bits::Bits;
use super::bound::{Room, Vector, fixed, needed};
use super::frame::{Group, Member, Owner};
use super::jobs::{Alternatives, Jobs, Start, enabled};
use super::net::Net;
use super::problem::Cost;
use super::sequence::{Budget, Found, sequence};

/// Words of groups up to which every node is charged alike.
const NARROW: u64 = 1_000;
/// States spent on the order of a node whose alternatives are still open.
const PARTIAL: u64 = 2_000;

#[derive(Clone, Debug)]
struct Node {
    need: Bits,
    ban: Bits,
    /// Group and member that must hold before the group's owner.
    commits: Vec<(usize, usize)>,
    bound: Vector,
}

/// What a search is after.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Aim {
    /// The least leading cost only.
    Lead,
    /// The least vector.
    Vector,
    /// Any route below the cutoff.
    First,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Best {
    pub(super) vector: Vector,
    /// Actions by net number, those of the start left out.
    pub(super) order: Vec<usize>,
}

pub(super) struct Search<'a> {
    net: &'a Net,
    start: &'a Start,
    cost: Cost,
    aim: Aim,
    /// Only routes below this count.
    cutoff: Vector,
    best: Option<Best>,
    stack: Vec<Node>,
    room: Room,
}

/// How a search ended.
pub(super) struct Outcome {
    /// The best route below the cutoff.
    pub(super) best: Option<Best>,
    /// Set when stopped: no route has a lower leading cost than this.
    pub(super) stopped: Option<u64>,
}

/// Searches for routes below the cutoff.
pub(super) fn search(net: &Net, start: &Start, cost: Cost, aim: Aim, cutoff: Vector, budget: &mut Budget) -> Outcome {
    let mut search = Search { net, start, cost, aim, cutoff, best: None, stack: Vec::new(), room: Room::default() };
    let root = search.root();
    search.stack.extend(root);
    let stopped = search.run(budget).err();
    Outcome { best: search.best, stopped }
}

/// What no route to the goal costs less than; `None`: there is none.
pub(super) fn floor(net: &Net, start: &Start, cost: Cost) -> Option<u64> {
    let (aim, cutoff) = (Aim::Vector, [u64::MAX; 4]);
    let mut search = Search { net, start, cost, aim, cutoff, best: None, stack: Vec::new(), room: Room::default() };
    search.root().map(|root| root.bound[0])
}

impl Search<'_> {
    /// What every route needs.
    fn root(&mut self) -> Option<Node> {
        let net = self.net;
        let mut need = net.frame.lm[net.frame.node(net.frame.goal())].clone();
        need.unite(&self.start.reached);
        for act in self.start.done.iter() {
            need.insert(net.frame.node(act));
        }
        self.evaluate(Node { need, ban: Bits::new(net.frame.width()), commits: Vec::new(), bound: [0; 4] })
    }

    /// `Err` with a lower bound on the leading cost when the budget is spent.
    fn run(&mut self, budget: &mut Budget) -> Result<(), u64> {
        while let Some(node) = self.stack.pop() {
            if self.pruned(node.bound) {
                continue;
            }
            let lead = node.bound[0];
            // Every group is looked at several times, each time as wide as the problem.
            let width = (node.need.0.len() * self.net.frame.groups.len()) as u64;
            let weight = 1 + width.saturating_sub(NARROW) / 600;
            let done = if budget.take(weight) { self.expand(node, budget) } else { Err(lead) };
            if let Err(bound) = done {
                let open = self.stack.iter().map(|node| node.bound[0]).min();
                let best = self.best.as_ref().map(|best| best.vector[0]);
                // A node pruned by the cutoff is no better than the cutoff.
                let least = open.into_iter().chain(best).fold(bound, u64::min);
                return Err(least.min(self.cutoff[0]));
            }
            if self.aim == Aim::First && self.best.is_some() {
                return Ok(());
            }
        }
        Ok(())
    }

    fn pruned(&self, bound: Vector) -> bool {
        match self.aim {
            Aim::Lead => bound[0] >= self.cutoff[0],
            Aim::Vector | Aim::First => bound >= self.cutoff,
        }
    }

    fn alive(member: &Member, ban: &Bits) -> bool {
        !member.lm.meets(ban)
    }

    /// Whether the group matters in a node, and has no needed member yet.
    fn unmet(&self, group: &Group, need: &Bits) -> bool {
        let matters = match group.owner {
            Owner::Act(act) => need.has(self.net.frame.node(act)) && !self.start.done.has(act),
            Owner::Thing(thing) => need.has(thing) && !self.start.reached.has(thing),
        };
        matters && !group.members.iter().any(|m| m.nodes.iter().all(|node| need.has(*node)))
    }

    /// Adds all that is forced and bounds the node; `None` if it holds nothing of use.
    fn evaluate(&mut self, mut node: Node) -> Option<Node> {
        let mut open: Vec<usize> = Vec::new();
        loop {
            let mut changed = false;
            open.clear();
            for (index, group) in self.net.frame.groups.iter().enumerate() {
                if !self.unmet(group, &node.need) {
                    continue;
                }
                let mut alive = group.members.iter().filter(|m| Self::alive(m, &node.ban));
                let only = alive.next()?;
                if alive.next().is_none() {
                    node.need.unite(&only.lm);
                    changed = true;
                } else {
                    open.push(index);
                }
            }
            if node.need.meets(&node.ban) {
                return None;
            }
            if !changed {
                break;
            }
        }
        node.bound = self.bound(&node, &open);
        (!self.pruned(node.bound)).then_some(node)
    }

    fn bound(&mut self, node: &Node, open: &[usize]) -> Vector {
        let (net, start, room) = (self.net, self.start, &mut self.room);
        let mut vector = fixed(net, &node.need, self.cost);
        room.clear();
        for group in open {
            for member in net.frame.groups[*group].members.iter().filter(|m| Self::alive(m, &node.ban)) {
                room.member(needed(net, &member.lm).filter(|a| !node.need.has(net.frame.node(*a))));
            }
            room.group();
        }
        let count = net.acts.len();
        let added = match self.cost {
            Cost::Steps => room.packing(|act| u64::from(net.acts[act].least), count),
            Cost::Time { .. } => room.packing(|act| net.acts[act].seconds, count),
            Cost::Parts => 0,
        };
        vector[0] = match self.cost {
            Cost::Steps => room.steps(net, &node.need, start, added),
            Cost::Time { .. } => {
                let spent = start.held.iter().map(|(_, cost)| *cost).min().unwrap_or(0);
                vector[0].saturating_add(added).saturating_add(self.cost.priced(spent))
            }
            Cost::Parts => vector[0],
        };
        vector[2] += self.room.packing(|_| 1, count);
        vector
    }

    /// The highest count of an order that is still below the cutoff, given the other keys.
    fn most(&self, sums: Vector) -> Option<u32> {
        let rest_is_lower = self.aim != Aim::Lead && sums[1..] < self.cutoff[1..];
        let lead = if rest_is_lower { self.cutoff[0] } else { self.cutoff[0].checked_sub(1)? };
        let most = match self.cost {
            Cost::Steps => lead,
            Cost::Time { change } => {
                let left = lead.checked_sub(sums[0])?;
                left.checked_div(change.into()).unwrap_or(u64::MAX)
            }
            Cost::Parts => {
                if lead < sums[0] {
                    return None;
                }
                u64::MAX
            }
        };
        Some(u32::try_from(most).unwrap_or(u32::MAX))
    }

    fn expand(&mut self, mut node: Node, budget: &mut Budget) -> Result<(), u64> {
        let sums = fixed(self.net, &node.need, self.cost);
        let lead = node.bound[0];
        let split = self.widest(&node);
        let Some(most) = self.most(sums) else {
            return Ok(());
        };
        let Some(mut jobs) = self.jobs(&node) else {
            return Ok(());
        };
        let offset = if self.cost == Cost::Steps { 0 } else { sums[0] };
        let found = match split {
            Some(_) => {
                let mut part = Budget { left: PARTIAL.min(budget.left) };
                let before = part.left;
                let found = sequence(&jobs, self.start, most, &mut part);
                budget.take(before - part.left);
                found
            }
            None => sequence(&jobs, self.start, most, budget),
        };
        let (count, order) = match found {
            Found::None => return Ok(()),
            Found::Stopped(count) => {
                let bound = lead.max(offset.saturating_add(self.cost.priced(count)));
                if split.is_none() {
                    return Err(bound);
                }
                (count, Vec::new())
            }
            Found::Order(count, order) => (count, order),
        };
        node.bound[0] = lead.max(offset.saturating_add(self.cost.priced(count)));
        if self.pruned(node.bound) {
            return Ok(());
        }
        if let Some(group) = split {
            self.branch(&node, group);
            return Ok(());
        }
        let mut vector = sums;
        vector[0] = node.bound[0];
        let global: Vec<usize> = order.iter().map(|at| jobs.acts[*at]).collect();
        let Some(broken) = self.broken(&node, &global) else {
            self.accept(vector, global);
            return Ok(());
        };
        // The groups may still hold in another order that counts no more.
        jobs.alternatives = self.alternatives(&jobs);
        match sequence(&jobs, self.start, most, budget) {
            Found::Order(exact, order) => {
                let global = order.iter().map(|at| jobs.acts[*at]).collect();
                vector[0] = offset.saturating_add(self.cost.priced(exact));
                self.accept(vector, global);
                if exact == count {
                    return Ok(());
                }
            }
            Found::None => {}
            Found::Stopped(_) => return Err(node.bound[0]),
        }
        self.commit(&node, broken);
        Ok(())
    }

    fn accept(&mut self, vector: Vector, order: Vec<usize>) {
        let (vector, order) = self.trimmed(vector, order);
        if !self.pruned(vector) {
            self.cutoff = vector;
            self.best = Some(Best { vector, order });
        }
    }

    /// The order without actions that reach nothing new where they stand; they can only cost.
    fn trimmed(&self, vector: Vector, order: Vec<usize>) -> (Vector, Vec<usize>) {
        let mut now = self.start.clone();
        let mut kept = Vec::with_capacity(order.len());
        for &act in &order {
            if let Some(next) = now.after(self.net, act) {
                now = next;
                kept.push(act);
            }
        }
        if kept.len() == order.len() {
            return (vector, order);
        }
        let mut need = Bits::new(self.net.frame.width());
        for act in now.done.iter() {
            need.insert(self.net.frame.node(act));
        }
        let mut vector = fixed(self.net, &need, self.cost);
        let count = self.cost.priced(now.held[0].1);
        vector[0] = if self.cost == Cost::Steps { count } else { vector[0].saturating_add(count) };
        (vector, kept)
    }

    /// The unmet group with the fewest members left.
    fn widest(&self, node: &Node) -> Option<usize> {
        let open = self.net.frame.groups.iter().enumerate().filter(|(_, g)| self.unmet(g, &node.need));
        open.min_by_key(|(_, group)| group.members.iter().filter(|m| Self::alive(m, &node.ban)).count())
            .map(|(index, _)| index)
    }

    /// Children by the first member the route contains, the most promising on top.
    fn branch(&mut self, node: &Node, group: usize) {
        let mut members: Vec<(Vector, usize)> = Vec::new();
        let net = self.net;
        let group = &net.frame.groups[group];
        for (index, member) in group.members.iter().enumerate() {
            if Self::alive(member, &node.ban) {
                let mut child = node.clone();
                child.need.unite(&member.lm);
                if let Some(child) = self.evaluate(child) {
                    members.push((child.bound, index));
                }
            }
        }
        members.sort_unstable();
        let mut ban = node.ban.clone();
        let mut children = Vec::new();
        for (_, index) in members {
            let member = &group.members[index];
            let mut child = node.clone();
            child.need.unite(&member.lm);
            child.ban.clone_from(&ban);
            let floor = node.bound[0];
            if let Some(mut child) = self.evaluate(child) {
                child.bound[0] = child.bound[0].max(floor);
                children.push(child);
            }
            if let [single] = member.nodes[..] {
                ban.insert(single);
            }
        }
        self.stack.extend(children.into_iter().rev());
    }

    /// Children by which member of a group serves in time.
    fn commit(&mut self, node: &Node, group: usize) {
        let (net, mut children) = (self.net, Vec::new());
        for (index, member) in net.frame.groups[group].members.iter().enumerate() {
            if !Self::alive(member, &node.ban) {
                continue;
            }
            let mut child = node.clone();
            child.need.unite(&member.lm);
            child.commits.push((group, index));
            let floor = node.bound[0];
            if let Some(mut child) = self.evaluate(child) {
                child.bound[0] = child.bound[0].max(floor);
                children.push(child);
            }
        }
        children.sort_by_key(|child| child.bound);
        self.stack.extend(children.into_iter().rev());
    }

    /// The needed actions with every precedence that holds in all routes of the node.
    fn jobs(&self, node: &Node) -> Option<Jobs<'_>> {
        let net = self.net;
        let acts: Vec<usize> = needed(net, &node.need).filter(|act| !self.start.done.has(*act)).collect();
        let mut local = vec![usize::MAX; net.acts.len()];
        for (at, act) in acts.iter().enumerate() {
            local[*act] = at;
        }
        let mut before = Vec::with_capacity(acts.len());
        for &act in &acts {
            let mut lm = net.frame.lm[net.frame.node(act)].clone();
            lm.remove(net.frame.node(act));
            let mut wanted = net.frame.places[act].needs.clone();
            for (group, member) in &node.commits {
                let group = &net.frame.groups[*group];
                if group.owner == Owner::Act(act) {
                    lm.unite(&group.members[*member].lm);
                    wanted.extend(&group.members[*member].nodes);
                }
            }
            for (group, member) in &node.commits {
                let group = &net.frame.groups[*group];
                if let Owner::Thing(thing) = group.owner
                    && wanted.contains(&thing)
                {
                    lm.unite(&group.members[*member].lm);
                }
            }
            if lm.has(net.frame.node(act)) {
                return None;
            }
            let mut bits = Bits::new(acts.len());
            for earlier in needed(net, &lm).map(|act| local[act]).filter(|at| *at != usize::MAX) {
                bits.insert(earlier);
            }
            before.push(bits);
        }
        Jobs::new(net, acts, before)
    }

    /// The first group an order does not satisfy in time.
    fn broken(&self, node: &Node, order: &[usize]) -> Option<usize> {
        let net = self.net;
        let mut reached = self.start.reached.clone();
        let committed = |index: usize| node.commits.iter().any(|(group, _)| *group == index);
        for &act in order {
            if !enabled(net, act, &reached) {
                // A thing with several providers may be late, or a group of the action itself.
                let late = |thing: usize| !reached.has(thing);
                let broken = net.frame.groups.iter().enumerate().find(|(index, group)| {
                    !committed(*index)
                        && match group.owner {
                            Owner::Act(owner) => {
                                owner == act
                                    && !group.members.iter().any(|m| m.nodes.iter().all(|thing| reached.has(*thing)))
                            }
                            Owner::Thing(thing) => {
                                late(thing)
                                    && (net.frame.places[act].needs.contains(&thing)
                                        || node.commits.iter().any(|(group, member)| {
                                            let group = &net.frame.groups[*group];
                                            group.owner == Owner::Act(act)
                                                && group.members[*member].nodes.contains(&thing)
                                        }))
                            }
                        }
                });
                debug_assert!(broken.is_some(), "commits hold by precedence");
                if let Some((index, _)) = broken {
                    return Some(index);
                }
            }
            for thing in &net.frame.places[act].gives {
                reached.insert(*thing);
            }
        }
        None
    }

    /// Groups and things with several providers, as masks over the actions of a node.
    fn alternatives(&self, jobs: &Jobs<'_>) -> Vec<Alternatives> {
        let net = self.net;
        let reached = &self.start.reached;
        // `None`: reached at the start.
        let mask = |thing: usize| {
            if reached.has(thing) {
                return None;
            }
            let mut mask = Bits::new(jobs.acts.len());
            for (at, act) in jobs.acts.iter().enumerate() {
                if net.frame.providers[thing].contains(act) {
                    mask.insert(at);
                }
            }
            Some(mask)
        };
        let masks = |things: &[usize]| things.iter().filter_map(|thing| mask(*thing)).collect::<Vec<_>>();
        jobs.acts
            .iter()
            .map(|act| {
                let needs = &net.frame.places[*act].needs;
                let several = needs.iter().filter(|thing| net.frame.providers[**thing].len() > 1);
                let mut groups: Alternatives = several.filter_map(|thing| Some(vec![vec![mask(*thing)?]])).collect();
                for group in net.frame.groups.iter().filter(|group| group.owner == Owner::Act(*act)) {
                    groups.push(group.members.iter().map(|m| masks(&m.nodes)).collect());
                }
                groups
            })
            .collect()
    }
}
