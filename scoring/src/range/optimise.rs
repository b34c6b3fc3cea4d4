//! The lowest and highest value of a node over all completions, exactly.
//!
//! Components of unknowns are independent, and every way of combining is monotone in its children. So: dominated
//! outcomes of a component can be dropped; a node whose children share no component takes its children's ends; linear
//! nodes take each component's best contribution; what is shared is branched on. Left-out parts change weights, so the
//! pattern of what is left out is fixed first. Past a stated number of branches the ends of the children are combined
//! as if they were independent: sound, and marked outer.

use std::collections::{BTreeMap, BTreeSet};

use super::tables::{Signature, Tables};
use crate::assess::evaluate::{combine, fold};
use crate::assess::{Plan, PlanKind};
use crate::exact::Exact;
use crate::method::Combine;

/// Which end is sought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The lowest value.
    Low,
    /// The highest.
    High,
}

/// An end of a node's range.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reached {
    /// The value; `None` where the node is left out in every completion.
    pub value: Option<Exact>,
    /// Per component: the outcome (index into its signatures) that gives it.
    pub with: BTreeMap<usize, usize>,
    /// False: a sound bound, perhaps not attained.
    pub exact: bool,
}

/// Branches taken for one node before falling back to outer bounds.
const BRANCHES: u32 = 20_000;

/// Finds ends of nodes.
pub struct Optimiser<'a, 'm> {
    plan: &'a Plan<'m>,
    tables: &'a Tables,
    /// Component and place in it, by leaf.
    home: Vec<Option<(usize, usize)>>,
    /// Leaves below each node.
    below: Vec<Vec<usize>>,
    /// Components below each node, ascending.
    under: Vec<Vec<usize>>,
    /// Values of the nodes no component stands below; of others, nothing.
    sure: Vec<Option<Exact>>,
}

type Allowed = BTreeMap<usize, Vec<usize>>;

impl<'a, 'm> Optimiser<'a, 'm> {
    /// Prepares a plan with its tables.
    pub fn new(plan: &'a Plan<'m>, tables: &'a Tables) -> Self {
        let mut home = vec![None; plan.nodes.len()];
        for (c, component) in tables.components.iter().enumerate() {
            for (place, &leaf) in component.leaves.iter().enumerate() {
                home[leaf] = Some((c, place));
            }
        }
        let mut below = vec![Vec::new(); plan.nodes.len()];
        for index in (0..plan.nodes.len()).rev() {
            below[index] = match &plan.nodes[index].kind {
                PlanKind::Leaf(..) => vec![index],
                PlanKind::Group(_, children) => children.iter().flat_map(|&c| below[c].iter().copied()).collect(),
            };
        }
        let under = below
            .iter()
            .map(|leaves| {
                let found: BTreeSet<usize> = leaves.iter().filter_map(|&l| home[l]).map(|(c, _)| c).collect();
                found.into_iter().collect()
            })
            .collect();
        let sure = fold(plan, &|leaf| tables.settled.get(&leaf).cloned().flatten());
        Self { plan, tables, home, below, under, sure }
    }

    /// One end of a node's range over all completions.
    pub fn end(&self, node: usize, end: End) -> Reached {
        let mut allowed = Allowed::new();
        for &c in self.components_below(node) {
            allowed.insert(c, self.worth_trying(node, c, end));
        }
        let exact = allowed.keys().all(|&c| self.tables.components[c].exact);
        let mut search = Search { of: self, end, branches: 0, outer: false };
        let (value, with) = search.by_pattern(node, &allowed);
        Reached { value, with, exact: exact && !search.outer }
    }

    fn components_below(&self, node: usize) -> &[usize] {
        &self.under[node]
    }

    /// Places in a component of the leaves below a node.
    fn places(&self, node: usize, component: usize) -> Vec<usize> {
        let homes = self.below[node].iter().filter_map(|&l| self.home[l]);
        homes.filter(|(c, _)| *c == component).map(|(_, place)| place).collect()
    }

    fn signature(&self, component: usize, index: usize) -> &Signature {
        &self.tables.components[component].signatures[index]
    }

    /// Outcomes of a component as far as they differ below a node, without dominated ones.
    fn worth_trying(&self, node: usize, component: usize, end: End) -> Vec<usize> {
        let places = self.places(node, component);
        let all = &self.tables.components[component].signatures;
        let mut distinct: BTreeMap<Vec<&Option<Exact>>, usize> = BTreeMap::new();
        for (index, signature) in all.iter().enumerate() {
            distinct.entry(places.iter().map(|&p| &signature.points[p]).collect()).or_insert(index);
        }
        let list: Vec<(Vec<&Option<Exact>>, usize)> = distinct.into_iter().collect();
        // Pruning compares pairs; a very long list is left as it is.
        if list.len() > 3_000 {
            return list.into_iter().map(|(_, i)| i).collect();
        }
        // A part whose every value is at the end of all tables pulls a mean at least as far as leaving it out does.
        let utmost = self.utmost(node, end);
        let beats = |a: &[&Option<Exact>], b: &[&Option<Exact>]| {
            a.iter().zip(b).all(|(x, y)| match (x, y) {
                (Some(x), Some(y)) if end == End::Low => x <= y,
                (Some(x), Some(y)) => x >= y,
                (None, None) => true,
                (Some(x), None) => utmost.as_ref() == Some(x),
                (None, Some(_)) => false,
            })
        };
        let mut out: Vec<usize> = list
            .iter()
            .enumerate()
            .filter(|(i, (points, _))| !list.iter().enumerate().any(|(j, (other, _))| *i != j && beats(other, points)))
            .map(|(_, (_, index))| *index)
            .collect();
        out.sort_unstable();
        out
    }

    /// The end of all tables below a node; none where sums make more parts count for more.
    fn utmost(&self, node: usize, end: End) -> Option<Exact> {
        let sums = |n: usize| matches!(self.plan.nodes[n].kind, PlanKind::Group(Combine::Sum | Combine::Gate, _));
        if (node..self.plan.nodes.len()).any(sums) {
            return None;
        }
        let tables = self.below[node].iter().filter_map(|&l| match &self.plan.nodes[l].kind {
            PlanKind::Leaf(_, _, points) => Some(Plan::extremes(points)),
            PlanKind::Group(..) => None,
        });
        if end == End::Low { tables.map(|(low, _)| low).min() } else { tables.map(|(_, high)| high).max() }
    }

    fn point(&self, leaf: usize, allowed: &Allowed) -> Option<Exact> {
        match self.home[leaf] {
            None => self.tables.settled.get(&leaf).cloned().flatten(),
            Some((c, place)) => self.signature(c, allowed[&c][0]).points[place].clone(),
        }
    }
}

struct Search<'o, 'a, 'm> {
    of: &'o Optimiser<'a, 'm>,
    end: End,
    branches: u32,
    outer: bool,
}

type Found = (Option<Exact>, BTreeMap<usize, usize>);

impl Search<'_, '_, '_> {
    fn better(&self, a: &Option<Exact>, b: &Option<Exact>) -> bool {
        match (a, b) {
            (Some(a), Some(b)) if self.end == End::Low => a < b,
            (Some(a), Some(b)) => a > b,
            (Some(_), None) => true,
            (None, _) => false,
        }
    }

    fn keep(&self, best: &mut Option<Found>, found: Found) {
        if best.as_ref().is_none_or(|(value, _)| self.better(&found.0, value)) {
            *best = Some(found);
        }
    }

    /// Fixes which leaves are left out, component by component, before looking for the end.
    fn by_pattern(&mut self, node: usize, allowed: &Allowed) -> Found {
        for (&c, list) in allowed {
            let mut patterns: BTreeMap<Vec<bool>, Vec<usize>> = BTreeMap::new();
            if list.len() < 2 {
                continue;
            }
            let places = self.of.places(node, c);
            for &i in list {
                let points = &self.of.signature(c, i).points;
                patterns.entry(places.iter().map(|&p| points[p].is_none()).collect()).or_default().push(i);
            }
            if patterns.len() > 1 {
                let mut best = None;
                for part in patterns.into_values() {
                    self.branches += 1;
                    if self.branches > BRANCHES {
                        self.outer = true;
                        return self.crude(node, allowed);
                    }
                    let mut fixed = allowed.clone();
                    fixed.insert(c, part);
                    let found = self.by_pattern(node, &fixed);
                    self.keep(&mut best, found);
                }
                return best.unwrap_or_default();
            }
        }
        self.solve(node, allowed)
    }

    /// Bounds by the lowest and highest points of any leaf: a mean lies between.
    fn crude(&self, node: usize, allowed: &Allowed) -> Found {
        let ends = |l: &usize| -> Vec<Option<Exact>> {
            match self.of.home[*l] {
                None => vec![self.of.tables.settled.get(l).cloned().flatten()],
                Some((c, p)) => allowed[&c].iter().map(|&i| self.of.signature(c, i).points[p].clone()).collect(),
            }
        };
        let all = self.of.below[node].iter().flat_map(ends).flatten();
        let value = if self.end == End::Low { all.min() } else { all.max() };
        (value, allowed.iter().map(|(&c, list)| (c, list[0])).collect())
    }

    fn solve(&mut self, node: usize, allowed: &Allowed) -> Found {
        let under = self.of.components_below(node);
        if under.iter().all(|c| allowed[c].len() == 1) {
            let with = under.iter().map(|&c| (c, allowed[&c][0])).collect();
            return (self.evaluate(node, allowed), with);
        }
        match &self.of.plan.nodes[node].kind {
            PlanKind::Leaf(..) => {
                let mut best = None;
                for &c in under {
                    for &i in &allowed[&c] {
                        let fixed = Allowed::from([(c, vec![i])]);
                        let found = (self.of.point(node, &fixed), BTreeMap::from([(c, i)]));
                        self.keep(&mut best, found);
                    }
                }
                best.unwrap_or_default()
            }
            PlanKind::Group(Combine::Mean | Combine::Sum, _) => self.linear(node, allowed),
            PlanKind::Group(how, children) => self.other(*how, node, children, allowed),
        }
    }

    fn evaluate(&self, node: usize, allowed: &Allowed) -> Option<Exact> {
        if self.of.under[node].is_empty() {
            return self.of.sure[node].clone();
        }
        match &self.of.plan.nodes[node].kind {
            PlanKind::Leaf(..) => self.of.point(node, allowed),
            PlanKind::Group(how, children) => {
                let list: Vec<_> = children
                    .iter()
                    .map(|&c| (self.of.plan.nodes[c].weight.clone(), self.evaluate(c, allowed)))
                    .collect();
                combine(*how, &list, &self.of.plan.method.scale.low)
            }
        }
    }

    /// Worst, best, cap and gate.
    fn other(&mut self, how: Combine, node: usize, children: &[usize], allowed: &Allowed) -> Found {
        // The lowest of minima is the minimum of the lowest, shared unknowns or not; likewise for the highest.
        let commutes =
            matches!((how, self.end), (Combine::Worst | Combine::Cap, End::Low) | (Combine::Best, End::High));
        if commutes {
            let mut best = None;
            for &child in children {
                let found = self.solve(child, allowed);
                self.keep(&mut best, found);
            }
            let (value, mut with) = best.unwrap_or_default();
            for &c in self.of.components_below(node) {
                with.entry(c).or_insert_with(|| allowed[&c][0]);
            }
            return (value, with);
        }
        if let Some(shared) = self.shared(children, allowed) {
            return self.branch(node, shared, allowed);
        }
        let mut with = BTreeMap::new();
        let list: Vec<_> = children
            .iter()
            .map(|&c| {
                let (value, part) = self.solve(c, allowed);
                with.extend(part);
                (self.of.plan.nodes[c].weight.clone(), value)
            })
            .collect();
        (combine(how, &list, &self.of.plan.method.scale.low), with)
    }

    /// A component open below two of these nodes; the one with the fewest outcomes.
    fn shared(&self, nodes: &[usize], allowed: &Allowed) -> Option<usize> {
        let mut seen: BTreeMap<usize, u32> = BTreeMap::new();
        for &n in nodes {
            for &c in self.of.components_below(n) {
                *seen.entry(c).or_default() += 1;
            }
        }
        seen.into_iter()
            .filter(|(c, times)| *times > 1 && allowed[c].len() > 1)
            .map(|(c, _)| c)
            .min_by_key(|c| allowed[c].len())
    }

    fn branch(&mut self, node: usize, component: usize, allowed: &Allowed) -> Found {
        let mut best = None;
        for &i in &allowed[&component] {
            self.branches += 1;
            if self.branches > BRANCHES {
                self.outer = true;
                return self.apart(node, allowed);
            }
            let mut fixed = allowed.clone();
            fixed.insert(component, vec![i]);
            let found = self.solve(node, &fixed);
            self.keep(&mut best, found);
        }
        best.unwrap_or_default()
    }

    /// Children's ends combined as if they were independent.
    fn apart(&mut self, node: usize, allowed: &Allowed) -> Found {
        let PlanKind::Group(how, children) = &self.of.plan.nodes[node].kind else {
            return self.solve(node, allowed);
        };
        let mut with = BTreeMap::new();
        let list: Vec<_> = children
            .iter()
            .map(|&c| {
                let (value, part) = self.apart(c, allowed);
                with.extend(part);
                (self.of.plan.nodes[c].weight.clone(), value)
            })
            .collect();
        (combine(*how, &list, &self.of.plan.method.scale.low), with)
    }

    /// Means and sums, nested ones opened up: each component gives its best contribution.
    fn linear(&mut self, node: usize, allowed: &Allowed) -> Found {
        let mut atoms: Vec<(usize, Exact)> = Vec::new();
        self.atoms(node, &Exact::one(), allowed, &mut atoms);
        let is_leaf = |n: usize| matches!(self.of.plan.nodes[n].kind, PlanKind::Leaf(..));
        let knots: Vec<usize> = atoms.iter().map(|(n, _)| *n).filter(|&n| !is_leaf(n)).collect();
        // A component below a knot may be below nothing else, or it is branched on.
        for &knot in &knots {
            for &c in self.of.components_below(knot) {
                let elsewhere = atoms.iter().any(|(n, _)| *n != knot && self.of.components_below(*n).contains(&c));
                if elsewhere && allowed[&c].len() > 1 {
                    return self.branch(node, c, allowed);
                }
            }
        }
        let mut total = Exact::zero();
        let mut with = BTreeMap::new();
        let mut shares: BTreeMap<usize, Vec<(usize, &Exact)>> = BTreeMap::new();
        for (n, share) in &atoms {
            if !is_leaf(*n) {
                let (value, part) = self.solve(*n, allowed);
                with.extend(part);
                if let Some(value) = value {
                    total = &total + &(share * &value);
                }
            } else if let Some((c, place)) = self.of.home[*n] {
                shares.entry(c).or_default().push((place, share));
            } else if let Some(value) = self.of.tables.settled.get(n).cloned().flatten() {
                total = &total + &(share * &value);
            }
        }
        for (c, list) in shares {
            let mut best: Option<(Exact, usize)> = None;
            for &i in &allowed[&c] {
                let points = &self.of.signature(c, i).points;
                let sum: Exact = list.iter().filter_map(|(p, share)| points[*p].as_ref().map(|v| *share * v)).sum();
                let wins = best.as_ref().is_none_or(|(b, _)| if self.end == End::Low { sum < *b } else { sum > *b });
                if wins {
                    best = Some((sum, i));
                }
            }
            if let Some((sum, i)) = best {
                total = &total + &sum;
                with.insert(c, i);
            }
        }
        ((!atoms.is_empty()).then_some(total), with)
    }

    /// Leaves and knots with their share of a linear node's value. What is left out is left out in every outcome allowed.
    fn atoms(&self, node: usize, share: &Exact, allowed: &Allowed, out: &mut Vec<(usize, Exact)>) {
        let PlanKind::Group(how @ (Combine::Mean | Combine::Sum), children) = &self.of.plan.nodes[node].kind else {
            out.push((node, share.clone()));
            return;
        };
        let there: Vec<usize> = children.iter().copied().filter(|&c| self.evaluate(c, allowed).is_some()).collect();
        let weight = |c: usize| &self.of.plan.nodes[c].weight;
        let sum: Exact = there.iter().map(|&c| weight(c).clone()).sum();
        for c in there {
            let part = match how {
                Combine::Mean => (share * weight(c)).checked_div(&sum).unwrap_or_else(Exact::zero),
                _ => share * weight(c),
            };
            self.atoms(c, &part, allowed, out);
        }
    }
}

/// Values of all nodes under chosen outcomes.
pub fn values(plan: &Plan<'_>, tables: &Tables, with: &BTreeMap<usize, usize>) -> Vec<Option<Exact>> {
    let mut points: BTreeMap<usize, Option<Exact>> = tables.settled.clone();
    for (c, component) in tables.components.iter().enumerate() {
        let signature = &component.signatures[with.get(&c).copied().unwrap_or(0)];
        for (leaf, value) in component.leaves.iter().zip(&signature.points) {
            points.insert(*leaf, value.clone());
        }
    }
    fold(plan, &|leaf| points.get(&leaf).cloned().flatten())
}
