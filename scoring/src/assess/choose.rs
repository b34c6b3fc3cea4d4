//! One route for each part, such that the total is the highest there is.
//!
//! Every way of combining is monotone in its children, so a part of the tree whose open parts all have their best points at once
//! bounds every choice; means and sums are added up part by part, which bounds them closely. Parts are decided one after the
//! other under these bounds. Among choices of one total the heaviest part has its own most points first (a verdict: passed, then
//! rows met), then the least key.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use super::evaluate::combine;
use super::profiles::Profiles;
use super::{Plan, PlanKind};
use crate::exact::Exact;
use crate::method::Combine;

/// Choices looked at before the best found stands beside a bound.
const LOOKS: u32 = 20_000;

/// What a leaf comes to: no more than what is settled of it, and than each route read for it gives.
#[derive(Clone, Debug, Default)]
pub(super) struct Source {
    /// Points whatever the routes; `None` with nothing read: left out.
    pub(super) fixed: Option<Exact>,
    /// Part (index into the list of parts) and reading.
    pub(super) read: Vec<(usize, usize)>,
    /// Where one of several parts of a role counts as a whole: what the leaf comes to for each.
    pub(super) instances: Vec<Instance>,
}

/// What a leaf comes to for one of several parts of a role.
#[derive(Clone, Debug)]
pub(super) enum Instance {
    /// Points whatever the routes.
    Fixed(Exact),
    /// Part and reading.
    Read(usize, usize),
}

/// A choice.
pub(super) struct Chosen {
    /// Route per part.
    pub(super) which: Vec<usize>,
    /// Set where not all choices were seen: no total is higher.
    pub(super) most: Option<Exact>,
}

/// Which routes of a part are still open.
type Open = Vec<Vec<usize>>;

struct Job<'a, 'm> {
    plan: &'a Plan<'m>,
    sources: &'a [Source],
    parts: &'a [&'a Profiles],
    /// Parts with several routes that are read below each node.
    below: Vec<BTreeSet<usize>>,
    /// Nodes that are not left out; routes change nothing about that.
    there: Vec<bool>,
    /// The share of every node in the total; see [`shares`].
    shares: Vec<Exact>,
    looks: u32,
    cut: bool,
}

/// The best choice. `order`: parts, the heaviest first.
pub(super) fn choose(plan: &Plan<'_>, sources: &[Source], parts: &[&Profiles], order: &[usize]) -> Chosen {
    let first = vec![0; parts.len()];
    if parts.iter().all(|p| p.found.len() == 1) {
        return Chosen { which: first, most: None };
    }
    let (below, there, shares) = (below(plan, sources, parts), there(plan, sources), shares(plan, sources));
    let mut job = Job { plan, sources, parts, below, there, shares, looks: 0, cut: false };
    let open: Open = parts.iter().map(|p| (0..p.found.len()).collect()).collect();
    let mut best: Option<(Exact, Vec<usize>)> = None;
    job.search(&open, order, &mut best);
    let Some((total, which)) = best else { return Chosen { which: first, most: None } };
    if job.cut {
        return Chosen { which, most: job.bound(0, &open) };
    }
    Chosen { which: job.settle_ties(open, order, &total).unwrap_or(which), most: None }
}

fn below(plan: &Plan<'_>, sources: &[Source], parts: &[&Profiles]) -> Vec<BTreeSet<usize>> {
    let mut out: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); plan.nodes.len()];
    for index in (0..plan.nodes.len()).rev() {
        out[index] = match &plan.nodes[index].kind {
            PlanKind::Leaf(..) => {
                // Which instance counts hangs on all that is read of any of them.
                let slot = plan.nodes[index].slot.filter(|_| !sources[index].instances.is_empty());
                let alike = (0..plan.nodes.len()).filter(|&l| slot.is_some() && plan.nodes[l].slot == slot);
                let instances = alike.flat_map(|l| &sources[l].instances).filter_map(|i| match i {
                    Instance::Read(part, _) => Some(*part),
                    Instance::Fixed(_) => None,
                });
                let read = sources[index].read.iter().map(|(p, _)| *p);
                read.chain(instances).filter(|p| parts[*p].found.len() > 1).collect()
            }
            PlanKind::Group(_, children) => children.iter().flat_map(|&c| out[c].iter().copied()).collect(),
        };
    }
    out
}

fn there(plan: &Plan<'_>, sources: &[Source]) -> Vec<bool> {
    let mut out = vec![false; plan.nodes.len()];
    for index in (0..plan.nodes.len()).rev() {
        out[index] = match &plan.nodes[index].kind {
            PlanKind::Leaf(..) => is_there(&sources[index]),
            PlanKind::Group(Combine::Apart, _) => false,
            PlanKind::Group(Combine::Cap | Combine::Gate, children) => children.first().is_some_and(|&c| out[c]),
            PlanKind::Group(Combine::Mean, children) => {
                children.iter().any(|&c| out[c] && !plan.nodes[c].weight.is_zero())
            }
            PlanKind::Group(_, children) => children.iter().any(|&c| out[c]),
        };
    }
    out
}

impl Job<'_, '_> {
    fn points(&self, part: usize, route: usize, reading: usize) -> &Exact {
        &self.parts[part].found[route].points[reading]
    }

    /// The most a leaf can have.
    fn leaf(&self, leaf: usize, open: &Open) -> Option<Exact> {
        let source = &self.sources[leaf];
        if let Some(slot) = self.plan.nodes[leaf].slot.filter(|_| !source.instances.is_empty()) {
            let settled = self.below[leaf].iter().all(|&p| open[p].len() == 1);
            if settled {
                let which: Vec<usize> = open.iter().map(|list| list[0]).collect();
                let lowest = lowest(self.plan, self.sources, &self.shares, self.parts, &which, slot);
                return source.instances.get(lowest).map(|i| instance(i, self.parts, &which));
            }
            let most = source.instances.iter().filter_map(|i| match i {
                Instance::Fixed(points) => Some(points),
                Instance::Read(p, r) => open[*p].iter().map(|&c| self.points(*p, c, *r)).max(),
            });
            return most.max().cloned();
        }
        let read = source.read.iter().filter_map(|&(p, r)| open[p].iter().map(|&c| self.points(p, c, r)).max());
        source.fixed.iter().chain(read).min().cloned()
    }

    /// No choice gives a node more.
    fn bound(&self, node: usize, open: &Open) -> Option<Exact> {
        match &self.plan.nodes[node].kind {
            PlanKind::Leaf(..) => self.leaf(node, open),
            PlanKind::Group(Combine::Mean | Combine::Sum, _) => self.linear(node, open),
            PlanKind::Group(how, children) => {
                let list: Vec<_> =
                    children.iter().map(|&c| (self.plan.nodes[c].weight.clone(), self.bound(c, open))).collect();
                combine(*how, &list, &self.plan.method.scale.low)
            }
        }
    }

    /// Means and sums, nested ones opened up: what hangs on one part is added up route by route.
    fn linear(&self, node: usize, open: &Open) -> Option<Exact> {
        let mut atoms: Vec<(Exact, usize)> = Vec::new();
        if !self.atoms(node, &Exact::one(), &mut atoms) {
            return None;
        }
        let mut total = Exact::zero();
        let mut by_part: Vec<Vec<Exact>> = vec![Vec::new(); self.parts.len()];
        for (share, atom) in atoms {
            let mut on = self.below[atom].iter().filter(|p| open[**p].len() > 1);
            match (on.next(), on.next()) {
                (Some(&part), None) => {
                    let sums = &mut by_part[part];
                    sums.resize(open[part].len(), Exact::zero());
                    let mut one = open.clone();
                    for (place, &route) in open[part].iter().enumerate() {
                        one[part] = vec![route];
                        if let Some(value) = self.bound(atom, &one) {
                            sums[place] = &sums[place] + &(&share * &value);
                        }
                    }
                }
                _ => {
                    if let Some(value) = self.bound(atom, open) {
                        total = &total + &(&share * &value);
                    }
                }
            }
        }
        for sums in by_part {
            if let Some(best) = sums.into_iter().max() {
                total = &total + &best;
            }
        }
        Some(total)
    }

    /// What is added up below a linear node, with its share; false where everything is left out.
    fn atoms(&self, node: usize, share: &Exact, out: &mut Vec<(Exact, usize)>) -> bool {
        let PlanKind::Group(how @ (Combine::Mean | Combine::Sum), children) = &self.plan.nodes[node].kind else {
            out.push((share.clone(), node));
            return true;
        };
        // What is left out doesn't depend on routes.
        let there: Vec<usize> = children.iter().copied().filter(|&c| self.there[c]).collect();
        let weight = |c: usize| &self.plan.nodes[c].weight;
        let sum: Exact = there.iter().map(|&c| weight(c).clone()).sum();
        if *how == Combine::Mean && sum.is_zero() {
            return false;
        }
        for &c in &there {
            let part = match how {
                Combine::Mean => (share * weight(c)).checked_div(&sum).unwrap_or_else(Exact::zero),
                _ => share * weight(c),
            };
            self.atoms(c, &part, out);
        }
        !there.is_empty()
    }

    /// The best choice among those open, where it is better than the best so far.
    fn search(&mut self, open: &Open, order: &[usize], best: &mut Option<(Exact, Vec<usize>)>) {
        self.looks += 1;
        if self.looks > LOOKS {
            self.cut = true;
            return;
        }
        let Some(bound) = self.bound(0, open) else { return };
        if best.as_ref().is_some_and(|(found, _)| *found >= bound) {
            return;
        }
        // The choice the bound leans on may already be as good.
        let which: Vec<usize> = (0..open.len()).map(|p| self.favourite(p, open)).collect();
        let single: Open = which.iter().map(|&w| vec![w]).collect();
        if let Some(value) = self.bound(0, &single)
            && best.as_ref().is_none_or(|(found, _)| value > *found)
        {
            let reached = value == bound;
            *best = Some((value, which));
            if reached {
                return;
            }
        }
        let Some(part) = self.next(open, order) else { return };
        let mut ways: Vec<(Option<Exact>, usize)> = Vec::new();
        for &route in &open[part] {
            let mut one = open.clone();
            one[part] = vec![route];
            ways.push((self.bound(0, &one), route));
        }
        ways.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
        for (_, route) in ways {
            let mut one = open.clone();
            one[part] = vec![route];
            self.search(&one, order, best);
        }
    }

    fn next(&self, open: &Open, order: &[usize]) -> Option<usize> {
        order.iter().copied().find(|&p| open[p].len() > 1 && self.below[0].contains(&p))
    }

    /// The route of a part that leaves the highest bound.
    fn favourite(&self, part: usize, open: &Open) -> usize {
        if let [only] = open[part][..] {
            return only;
        }
        let mut one = open.clone();
        let bound = |route: usize, one: &mut Open| {
            one[part] = vec![route];
            self.bound(0, one)
        };
        let all: Vec<(Option<Exact>, usize)> = open[part].iter().map(|&r| (bound(r, &mut one), r)).collect();
        all.into_iter().max_by(|a, b| a.0.cmp(&b.0).then(b.1.cmp(&a.1))).map_or(0, |(_, r)| r)
    }

    /// Whether some choice among those open has the total.
    fn has(&mut self, open: &Open, order: &[usize], total: &Exact) -> bool {
        self.looks += 1;
        if self.looks > 2 * LOOKS || self.bound(0, open).is_none_or(|bound| bound < *total) {
            return false;
        }
        let Some(part) = self.next(open, order) else { return true };
        for &route in &open[part] {
            let mut one = open.clone();
            one[part] = vec![route];
            if self.has(&one, order, total) {
                return true;
            }
        }
        false
    }

    /// Among the choices of one total: the heaviest part first, its own most points, then the least key.
    fn settle_ties(&mut self, mut open: Open, order: &[usize], total: &Exact) -> Option<Vec<usize>> {
        self.looks = 0;
        for &part in order {
            if open[part].len() == 1 {
                continue;
            }
            let mut list: Vec<(Own, usize)> = open[part].iter().map(|&r| (self.own(part, r, &open), r)).collect();
            list.sort_by(|a, b| (Reverse(&a.0), a.1).cmp(&(Reverse(&b.0), b.1)));
            let found = list.into_iter().find(|(_, route)| {
                let mut one = open.clone();
                one[part] = vec![*route];
                self.has(&one, order, total)
            });
            open[part] = vec![found?.1];
        }
        Some(open.into_iter().map(|list| list[0]).collect())
    }

    /// A part's own points on a route: for a verdict what it passes, then rows met; else its share of the total.
    fn own(&self, part: usize, route: usize, open: &Open) -> Own {
        let mut one = open.clone();
        one[part] = vec![route];
        let nodes = &self.plan.nodes;
        let mut values: Vec<Option<Exact>> = vec![None; nodes.len()];
        for index in (0..nodes.len()).rev() {
            values[index] = match &nodes[index].kind {
                PlanKind::Leaf(..) => self.leaf(index, &one),
                PlanKind::Group(how, children) => {
                    let list: Vec<_> = children.iter().map(|&c| (nodes[c].weight.clone(), values[c].clone())).collect();
                    combine(*how, &list, &self.plan.method.scale.low)
                }
            };
        }
        let mine = (0..nodes.len()).filter(|&n| self.below[n].contains(&part) && nodes[n].slot.is_some());
        if self.plan.method.scale.verdict {
            let met = |n: usize| values[n].as_ref().is_some_and(|v| *v >= self.plan.method.scale.high);
            let whole = |n: usize| !nodes.iter().any(|p| p.slot.is_some() && children(&p.kind).contains(&n));
            let passes = mine.clone().filter(|&n| whole(n) && met(n)).count();
            let rows = mine.filter(|&n| matches!(nodes[n].kind, PlanKind::Leaf(..)) && met(n)).count();
            return Own { passes, points: Exact::from(i64::try_from(rows).unwrap_or(i64::MAX)) };
        }
        let leaves = mine.filter(|&n| matches!(nodes[n].kind, PlanKind::Leaf(..)));
        let points = leaves.filter_map(|n| values[n].as_ref().map(|v| &self.shares[n] * v)).sum();
        Own { passes: 0, points }
    }
}

fn instance(of: &Instance, parts: &[&Profiles], which: &[usize]) -> Exact {
    match of {
        Instance::Fixed(points) => points.clone(),
        Instance::Read(part, reading) => parts[*part].found[which[*part]].points[*reading].clone(),
    }
}

/// Of several parts of a role, the one whose points come to the lowest total.
pub(super) fn lowest(
    plan: &Plan<'_>,
    sources: &[Source],
    shares: &[Exact],
    parts: &[&Profiles],
    which: &[usize],
    slot: usize,
) -> usize {
    let leaves: Vec<usize> = (0..plan.nodes.len())
        .filter(|&l| plan.nodes[l].slot == Some(slot) && !sources[l].instances.is_empty())
        .collect();
    let count = leaves.iter().map(|&l| sources[l].instances.len()).max().unwrap_or(0);
    let total = |k: usize| -> (Exact, Vec<Exact>) {
        let points: Vec<Exact> = leaves.iter().map(|&l| instance(&sources[l].instances[k], parts, which)).collect();
        (leaves.iter().zip(&points).map(|(&l, p)| &shares[l] * p).sum(), points)
    };
    (0..count).min_by_key(|&k| total(k)).unwrap_or(0)
}

fn is_there(source: &Source) -> bool {
    source.fixed.is_some() || !source.read.is_empty() || !source.instances.is_empty()
}

/// The share of every node in the total, as far as it is a mean or a sum; limits and conditions have none.
pub(super) fn shares(plan: &Plan<'_>, sources: &[Source]) -> Vec<Exact> {
    let nodes = &plan.nodes;
    let mut there = vec![false; nodes.len()];
    for index in (0..nodes.len()).rev() {
        there[index] = match &nodes[index].kind {
            PlanKind::Leaf(..) => is_there(&sources[index]),
            PlanKind::Group(_, children) => children.iter().any(|&c| there[c]),
        };
    }
    let mut share: Vec<Exact> = vec![Exact::zero(); nodes.len()];
    share[0] = Exact::one();
    for index in 0..nodes.len() {
        let PlanKind::Group(how, children) = &nodes[index].kind else { continue };
        let left: Vec<usize> = children.iter().copied().filter(|&c| there[c]).collect();
        let sum: Exact = left.iter().map(|&c| nodes[c].weight.clone()).sum();
        for &c in &left {
            share[c] = match how {
                Combine::Mean => (&share[index] * &nodes[c].weight).checked_div(&sum).unwrap_or_else(Exact::zero),
                Combine::Sum => &share[index] * &nodes[c].weight,
                Combine::Cap | Combine::Gate if Some(&c) != children.first() => Exact::zero(),
                _ => share[index].clone(),
            };
        }
    }
    share
}

fn children<'k>(kind: &'k PlanKind<'_>) -> &'k [usize] {
    match kind {
        PlanKind::Group(_, children) => children,
        PlanKind::Leaf(..) => &[],
    }
}

#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Own {
    passes: usize,
    points: Exact,
}
