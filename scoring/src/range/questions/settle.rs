//! The fewest questions that leave one value to be shown, whatever the answers.
//!
//! Seen from the other side: the largest set of questions that may stay open because, for every set of answers to the
//! rest, they can't move what is shown. Such sets are closed under taking questions away, so a question that may not
//! stay open alone may not stay open in company.

use std::collections::{BTreeMap, BTreeSet};

use crate::assess::{Plan, PlanKind};
use crate::exact::Exact;
use crate::method::Combine;
use crate::range::study::{Study, answer_at, range_in};
use crate::range::tables::Tables;

/// Up to so many open questions the set is the smallest there is.
pub const EXACT_TO: usize = 12;
/// Ranges worked out for one set of questions while looking for answers under which it shows.
const TRIES: u32 = 4_000;
/// Sets of answers looked at here and there before looking in order: what shows at all mostly shows soon.
const GLANCES: u32 = 300;
/// Different sums kept apart at once.
const SUMS: usize = 100_000;

/// Questions that settle what is shown.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Settling {
    /// Indices of unknowns in the case, in record order.
    pub unknowns: Vec<usize>,
    /// Their data paths.
    pub paths: Vec<String>,
    /// No smaller set does it. False: found greedily, perhaps not the smallest; it settles all the same.
    pub smallest: bool,
}

/// The fewest of the study's open questions (`order`: the most useful first) after which `shown` is one value.
pub(super) fn fewest(study: &Study<'_>, order: &[usize], shown: &dyn Fn(&Exact) -> String) -> Settling {
    let mut job = Job { study, shown, tries: 0, undecided: false, known: BTreeMap::new() };
    let open: BTreeSet<usize> = order.iter().copied().collect();
    let (found, smallest) = if open.len() <= EXACT_TO { job.exact(&open) } else { (job.greedy(order), false) };
    let smallest = smallest && !job.undecided || found.is_empty();
    let paths = found.iter().map(|&u| study.case.unknowns[u].path.clone()).collect();
    Settling { unknowns: found.into_iter().collect(), paths, smallest }
}

struct Job<'a, 'm> {
    study: &'a Study<'m>,
    shown: &'a dyn Fn(&Exact) -> String,
    tries: u32,
    undecided: bool,
    known: BTreeMap<BTreeSet<usize>, bool>,
}

/// Outcomes a component may still have, one set per way of answering what is asked of it.
type Classes = Vec<Vec<usize>>;

impl Job<'_, '_> {
    fn exact(&mut self, open: &BTreeSet<usize>) -> (BTreeSet<usize>, bool) {
        let idle: Vec<usize> = open.iter().copied().filter(|&u| self.may_stay_open(&BTreeSet::from([u]))).collect();
        let needed: BTreeSet<usize> = open.iter().copied().filter(|u| !idle.contains(u)).collect();
        for size in 0..=idle.len() {
            for asked in subsets(idle.len(), size) {
                let rest = idle.iter().enumerate().filter(|(i, _)| !asked.contains(i)).map(|(_, &u)| u).collect();
                if self.may_stay_open(&rest) {
                    return (open.difference(&rest).copied().collect(), true);
                }
            }
        }
        (needed, true)
    }

    /// The most useful questions up to where the rest may stay open, then without those that turn out not to be needed.
    fn greedy(&mut self, order: &[usize]) -> BTreeSet<usize> {
        let (mut enough, mut short) = (order.len(), 0);
        if self.may_stay_open(&order.iter().copied().collect()) {
            return BTreeSet::new();
        }
        while enough - short > 1 {
            let middle = usize::midpoint(enough, short);
            if self.may_stay_open(&order[middle..].iter().copied().collect()) {
                enough = middle;
            } else {
                short = middle;
            }
        }
        let mut rest: BTreeSet<usize> = order[enough..].iter().copied().collect();
        for &u in order[..enough].iter().rev() {
            rest.insert(u);
            if !self.may_stay_open(&rest) {
                rest.remove(&u);
            }
        }
        order.iter().copied().filter(|u| !rest.contains(u)).collect()
    }

    /// Whether what is shown is one value for every set of answers to all other questions.
    fn may_stay_open(&mut self, rest: &BTreeSet<usize>) -> bool {
        if let Some(&known) = self.known.get(rest) {
            return known;
        }
        if self.known.iter().any(|(set, open)| !open && set.is_subset(rest)) {
            return false;
        }
        let answer = self.decide(rest);
        if answer.is_none() {
            self.undecided = true;
        }
        self.known.insert(rest.clone(), answer == Some(true));
        answer == Some(true)
    }

    fn decide(&mut self, rest: &BTreeSet<usize>) -> Option<bool> {
        let tables = &self.study.tables;
        let classes: Vec<Classes> = (0..tables.components.len()).map(|c| self.classes(c, rest)).collect();
        if classes.iter().all(|c| c.iter().all(|class| class.len() == 1)) {
            return Some(true);
        }
        // A bound stands for values in between as well: what it can't rule out stays undecided.
        let bounded = tables.components.iter().any(|c| !c.exact);
        let found = match linear(&self.study.plan, tables) {
            Some((base, shares)) => self.by_sums(&base, &shares, &classes),
            None => None,
        };
        let found = found.or_else(|| self.by_search(&classes));
        found.filter(|settled| *settled || !bounded)
    }

    fn classes(&self, component: usize, rest: &BTreeSet<usize>) -> Classes {
        let component = &self.study.tables.components[component];
        if !component.exact {
            return vec![(0..component.signatures.len()).collect()];
        }
        let turns = self.study.turns(&component.unknowns);
        let asked: Vec<(usize, usize)> =
            component.unknowns.iter().zip(turns).filter(|(u, _)| !rest.contains(u)).map(|(_, turn)| turn).collect();
        let mut by_answers: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for (completion, &outcome) in component.outcomes.iter().enumerate() {
            let key = asked.iter().fold(0, |n, turn| n * turn.1 + answer_at(completion, *turn));
            by_answers.entry(key).or_default().insert(outcome as usize);
        }
        let distinct: BTreeSet<Vec<usize>> = by_answers.into_values().map(|set| set.into_iter().collect()).collect();
        distinct.into_iter().collect()
    }

    /// Where the verdict is a sum over components: every pair of (lowest sum, width) that answers can lead to.
    fn by_sums(&self, base: &Exact, shares: &[Vec<Exact>], classes: &[Classes]) -> Option<bool> {
        let mut sums: BTreeSet<(Exact, Exact)> = BTreeSet::from([(base.clone(), Exact::zero())]);
        for (worth, classes) in shares.iter().zip(classes) {
            let steps: BTreeSet<(Exact, Exact)> = classes
                .iter()
                .filter_map(|class| {
                    let low = class.iter().map(|&i| &worth[i]).min()?;
                    let high = class.iter().map(|&i| &worth[i]).max()?;
                    Some((low.clone(), high - low))
                })
                .collect();
            let mut next = BTreeSet::new();
            for (low, width) in &sums {
                next.extend(steps.iter().map(|(l, w)| (low + l, width + w)));
            }
            if next.len() > SUMS {
                return None;
            }
            sums = next;
        }
        Some(sums.iter().all(|(low, width)| width.is_zero() || (self.shown)(low) == (self.shown)(&(low + width))))
    }

    /// Looks for answers under which more than one value is left; a branch in which even all that is open together
    /// shows one value is cut off.
    fn by_search(&mut self, classes: &[Classes]) -> Option<bool> {
        self.tries = 0;
        let mut tables = self.study.tables.clone();
        if self.glance(&mut tables, classes) {
            return Some(false);
        }
        // Few ways first: the tree stays narrow at the top.
        let mut order: Vec<usize> = (0..classes.len()).collect();
        order.sort_by_key(|&c| classes[c].len());
        self.search(&mut tables, classes, &order).map(|found| !found)
    }

    fn shows_one(&self, tables: &Tables) -> bool {
        let range = range_in(&self.study.plan, tables, 0);
        match (&range.low, &range.high) {
            (Some(low), Some(high)) => low == high || (self.shown)(low) == (self.shown)(high),
            _ => range.low == range.high,
        }
    }

    /// Looks at sets of answers spread evenly by a fixed rule; true when one leaves more than one value.
    fn glance(&self, tables: &mut Tables, classes: &[Classes]) -> bool {
        let ways = classes.iter().fold(1_u64, |n, c| n.saturating_mul(c.len() as u64));
        let looks = ways.min(u64::from(GLANCES));
        let mut state = 0_u64;
        for look in 0..looks {
            for (c, component) in tables.components.iter_mut().enumerate() {
                // Knuth's multiplicative step; the high bits pick the answers.
                state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(2 * look + 1);
                let class = &classes[c][usize::try_from((state >> 33) % classes[c].len() as u64).unwrap_or(0)];
                let all = &self.study.tables.components[c].signatures;
                component.signatures = class.iter().map(|&i| all[i].clone()).collect();
            }
            if !self.shows_one(tables) {
                return true;
            }
        }
        tables.components.clone_from(&self.study.tables.components);
        false
    }

    fn search(&mut self, tables: &mut Tables, classes: &[Classes], order: &[usize]) -> Option<bool> {
        self.tries += 1;
        if self.tries > TRIES {
            return None;
        }
        if self.shows_one(tables) {
            return Some(false);
        }
        let Some((&c, order)) = order.split_first() else { return Some(true) };
        let all = &self.study.tables.components[c].signatures;
        for class in &classes[c] {
            tables.components[c].signatures = class.iter().map(|&i| all[i].clone()).collect();
            if self.search(tables, classes, order)? {
                return Some(true);
            }
        }
        tables.components[c].signatures.clone_from(all);
        Some(false)
    }
}

/// A verdict that is a sum over components: its settled part, and what each outcome of each component adds. `None`
/// where something other than means and sums is on the way, or parts may be left out.
fn linear(plan: &Plan<'_>, tables: &Tables) -> Option<(Exact, Vec<Vec<Exact>>)> {
    let mut shares: BTreeMap<usize, Exact> = BTreeMap::new();
    let open: BTreeSet<usize> = tables.components.iter().flat_map(|c| c.leaves.iter().copied()).collect();
    let left_out = tables.components.iter().flat_map(|c| &c.signatures).any(|s| s.points.contains(&None));
    if left_out || !spread(plan, tables, &open, 0, &Exact::one(), &mut shares) {
        return None;
    }
    let base = shares
        .iter()
        .filter(|(leaf, _)| !open.contains(leaf))
        .filter_map(|(leaf, share)| tables.settled.get(leaf)?.as_ref().map(|v| share * v))
        .sum();
    let worth = tables
        .components
        .iter()
        .map(|c| {
            let worth = |points: &[Option<Exact>]| -> Exact {
                let each = c.leaves.iter().zip(points);
                each.filter_map(|(leaf, v)| Some(shares.get(leaf)? * v.as_ref()?)).sum()
            };
            c.signatures.iter().map(|s| worth(&s.points)).collect()
        })
        .collect();
    Some((base, worth))
}

/// Writes the share of every leaf below a node; false where the node is not linear.
fn spread(
    plan: &Plan<'_>,
    tables: &Tables,
    open: &BTreeSet<usize>,
    node: usize,
    share: &Exact,
    out: &mut BTreeMap<usize, Exact>,
) -> bool {
    let (how, children) = match &plan.nodes[node].kind {
        PlanKind::Leaf(..) => {
            out.insert(node, share.clone());
            return true;
        }
        PlanKind::Group(how @ (Combine::Mean | Combine::Sum), children) => (*how, children),
        PlanKind::Group(..) => return false,
    };
    let there: Vec<usize> = children.iter().copied().filter(|&c| is_there(plan, tables, open, c)).collect();
    let sum: Exact = there.iter().map(|&c| plan.nodes[c].weight.clone()).sum();
    there.into_iter().all(|c| {
        let weight = &plan.nodes[c].weight;
        let part = match how {
            Combine::Mean => (share * weight).checked_div(&sum).unwrap_or_else(Exact::zero),
            _ => share * weight,
        };
        spread(plan, tables, open, c, &part, out)
    })
}

fn is_there(plan: &Plan<'_>, tables: &Tables, open: &BTreeSet<usize>, node: usize) -> bool {
    match &plan.nodes[node].kind {
        PlanKind::Leaf(..) => open.contains(&node) || tables.settled.get(&node).is_some_and(Option::is_some),
        PlanKind::Group(_, children) => children.iter().any(|&c| is_there(plan, tables, open, c)),
    }
}

/// Subsets of `0..n` of one size, in order.
fn subsets(n: usize, size: usize) -> Vec<Vec<usize>> {
    let mut out = Vec::new();
    let mut now: Vec<usize> = (0..size).collect();
    loop {
        out.push(now.clone());
        let Some(place) = (0..size).rev().find(|&i| now[i] < n - size + i) else { return out };
        now[place] += 1;
        for i in place + 1..size {
            now[i] = now[i - 1] + 1;
        }
    }
}
