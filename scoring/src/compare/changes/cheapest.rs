//! The cheapest set of changes that reaches a target at the low end.
//!
//! Sets are tried in order of cost, so the first that reaches the target is the cheapest. A set is not added to when even
//! the best points in every criterion that the remaining changes could touch would not do. A greedy set found first bounds
//! the cost: it adds single changes, and sets that mend one whole way at once. Where the tries run out it stands, marked so.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet, BinaryHeap};

use super::touch::touched;
use super::{Change, best, shorter, whole};
use crate::assess::evaluate::fold;
use crate::compare::Requirement;
use crate::exact::Exact;
use crate::range::{Case, Range, Study};

/// Sets that share the states of one assessment.
const SIDE_BY_SIDE: usize = 100;
/// Sets worked out, at most, before the greedy set stands. Sixty changes have 1 830 sets of up to two.
pub const TRIES: u32 = 2_000;

/// A set of changes that reaches a target at the low end.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
pub struct Cheapest {
    /// The changes, in record order.
    pub changes: Vec<Change>,
    /// What they cost together.
    pub cost: Exact,
    /// Range of the verdict with all of them.
    pub range: Range,
    /// Both ends as shown.
    pub shown: [String; 2],
    /// Class at both ends.
    pub classes: Option<[String; 2]>,
    /// No cheaper set of these changes does it: all were looked at, and their ranges are exact. False: perhaps not the cheapest.
    pub proved: bool,
    /// Sets worked out.
    pub tried: u32,
}

/// The cheapest set of `changes` that reaches `target` at the low end of the range; `None` when none was found. Costs are
/// by change id, 1 where not given, never below nought. Of equally cheap sets one is given, always the same.
pub fn cheapest(
    study: &Study<'_>,
    changes: &[Change],
    costs: &BTreeMap<String, Exact>,
    target: &Requirement,
) -> Option<Cheapest> {
    Job::new(study, changes, costs, target).run()
}

pub(super) struct Job<'a, 'm> {
    study: &'a Study<'m>,
    changes: &'a [Change],
    cost: Vec<Exact>,
    target: &'a Requirement,
    tries: u32,
    known: BTreeMap<Vec<usize>, Tried>,
    /// Some range looked at was a bound: it may reach the target though that can't be seen.
    blurred: bool,
}

/// What came of a set.
#[derive(Clone)]
pub(super) struct Tried {
    pub(super) range: Range,
    /// Both ends of every leaf.
    pub(super) leaves: BTreeMap<usize, [Option<Exact>; 2]>,
}

impl<'a, 'm> Job<'a, 'm> {
    pub(super) fn new(
        study: &'a Study<'m>,
        changes: &'a [Change],
        costs: &BTreeMap<String, Exact>,
        target: &'a Requirement,
    ) -> Self {
        let one = Exact::one();
        let cost = changes.iter().map(|c| costs.get(&c.id).unwrap_or(&one).clone().max(Exact::zero())).collect();
        Self { study, changes, cost, target, tries: 0, known: BTreeMap::new(), blurred: false }
    }

    /// Of a target that no set reaches: the set that what helps most leads to, and what comes of it.
    pub(super) fn nearest(&mut self) -> (Vec<usize>, Tried) {
        let all: Vec<usize> = (0..self.changes.len()).collect();
        let set = self.greedy(&all).unwrap_or_else(|furthest| furthest);
        let tried = self.look(&set);
        (set, tried)
    }

    fn run(&mut self) -> Option<Cheapest> {
        let touched: Vec<BTreeSet<usize>> = self.changes.iter().map(|c| touched(self.study, &c.make)).collect();
        let useful: Vec<usize> = (0..self.changes.len()).filter(|&i| !touched[i].is_empty()).collect();
        let greedy = self.greedy(&useful).ok();
        let limit = greedy.as_ref().map(|set| self.total(set));
        self.tries = 0;
        let (found, complete) = self.in_order_of_cost(&useful, &touched, limit.as_ref());
        let proved = (found.is_some() || complete) && !self.blurred;
        let set = found.or(greedy)?;
        let range = self.look(&set).range;
        let method = self.study.method();
        Some(Cheapest {
            changes: set.iter().map(|&i| self.changes[i].clone()).collect(),
            cost: self.total(&set),
            shown: range.shown(method),
            classes: range.classes(method),
            range,
            proved,
            tried: self.tries,
        })
    }

    fn total(&self, set: &[usize]) -> Exact {
        set.iter().map(|&i| self.cost[i].clone()).sum()
    }

    fn case(&self, set: &[usize]) -> Case {
        set.iter().fold(self.study.case.clone(), |case, &i| self.changes[i].apply(&case))
    }

    fn look(&mut self, set: &[usize]) -> Tried {
        if let Some(tried) = self.known.get(set) {
            return tried.clone();
        }
        self.tries += 1;
        let study = self.study.with_case(self.case(set), SIDE_BY_SIDE);
        let tried = Tried { range: study.range(0), leaves: study.leaf_ends() };
        self.blurred |= !tried.range.attained[0] && !self.reaches(&tried);
        self.known.insert(set.to_vec(), tried.clone());
        tried
    }

    fn reaches(&self, tried: &Tried) -> bool {
        self.target.reached(self.study.method(), tried.range.low.as_ref())
    }

    /// Sets in order of cost, then size, then record order. The set found, and whether all cheaper ones were seen.
    fn in_order_of_cost(
        &mut self,
        useful: &[usize],
        touched: &[BTreeSet<usize>],
        limit: Option<&Exact>,
    ) -> (Option<Vec<usize>>, bool) {
        let mut open: BinaryHeap<Reverse<(Exact, usize, Vec<usize>)>> = BinaryHeap::new();
        open.push(Reverse((Exact::zero(), 0, Vec::new())));
        while let Some(Reverse((cost, _, set))) = open.pop() {
            if limit.is_some_and(|l| cost >= *l && !set.is_empty()) {
                return (None, true);
            }
            if self.tries >= TRIES {
                return (None, false);
            }
            let tried = self.look(&set);
            if self.reaches(&tried) {
                return (Some(set), true);
            }
            let rest: Vec<usize> = useful
                .iter()
                .copied()
                .filter(|i| set.last().is_none_or(|last| i > last))
                .filter(|&i| set.iter().all(|&j| !self.changes[i].excludes(&self.changes[j])))
                .collect();
            if !self.could_reach(&tried, &rest, touched) {
                continue;
            }
            for i in rest {
                let cost = &cost + &self.cost[i];
                let mut next = set.clone();
                next.push(i);
                if limit.is_none_or(|l| cost < *l) && self.opened(&next) {
                    open.push(Reverse((cost, next.len(), next)));
                }
            }
        }
        (None, true)
    }

    /// Whether the best points in everything the rest could touch would do.
    fn could_reach(&self, tried: &Tried, rest: &[usize], touched: &[BTreeSet<usize>]) -> bool {
        let free: BTreeSet<usize> = rest.iter().flat_map(|&i| touched[i].iter().copied()).collect();
        let top = |leaf: usize| {
            let high = tried.leaves.get(&leaf).and_then(|e| e[1].clone());
            if free.contains(&leaf) { high.max(best(&self.study.plan.nodes[leaf].kind)) } else { high }
        };
        // Parts that may be left out move weights; then no bound is drawn.
        if tried.leaves.values().any(|[low, high]| low.is_none() != high.is_none()) || self.study.may_leave_out() {
            return true;
        }
        let values = fold(&self.study.plan, &top);
        self.target.reached(self.study.method(), values[0].as_ref())
    }

    /// Adds what helps most for its cost until the target is reached, a single change or what mends one whole way, then
    /// takes out what is not needed. Where nothing more helps, what came of it so far.
    fn greedy(&mut self, useful: &[usize]) -> Result<Vec<usize>, Vec<usize>> {
        let mut set: Vec<usize> = Vec::new();
        let mut now = self.look(&set);
        let mut moves: Vec<Vec<usize>> = useful.iter().map(|i| vec![*i]).collect();
        moves.extend(whole::ways(self.study, self.changes, &self.cost));
        moves.extend(shorter::ways(self.study, self.changes, &self.cost));
        let weight = |t: &Tried| -> Exact { t.leaves.values().flatten().flatten().cloned().sum() };
        while !self.reaches(&now) {
            let mut best: Option<(Exact, Exact, Vec<usize>, Tried)> = None;
            let mut helpful = Vec::new();
            for more in moves {
                let new: Vec<usize> = more.iter().copied().filter(|i| !set.contains(i)).collect();
                let excluded = |i: &usize| set.iter().any(|&j| self.changes[*i].excludes(&self.changes[j]));
                if new.is_empty() || new.iter().any(excluded) {
                    continue;
                }
                let mut next = [&set[..], &new].concat();
                next.sort_unstable();
                if !self.opened(&next) {
                    continue;
                }
                let tried = self.look(&next);
                let per = self.total(&new).max(Exact::ratio(1, 1_000_000).unwrap_or_else(Exact::one));
                let of = |gain: Exact| gain.checked_div(&per).unwrap_or_else(Exact::zero);
                let gain = match (&now.range.low, &tried.range.low) {
                    (Some(a), Some(b)) => of(b - a),
                    _ => Exact::zero(),
                };
                // Where nothing moves the verdict, what moves its criteria is on the way.
                let near = of(&weight(&tried) - &weight(&now));
                if gain.is_negative() || gain.is_zero() && (near.is_negative() || near.is_zero()) {
                    // What helps only beside others is among the whole ways.
                    continue;
                }
                if best.as_ref().is_none_or(|(g, n, ..)| (&gain, &near) > (g, n)) {
                    best = Some((gain, near, next, tried));
                }
                helpful.push(more);
            }
            let Some((_, _, next, tried)) = best else { return Err(set) };
            set = next;
            now = tried;
            moves = helpful;
        }
        let mut place = 0;
        while place < set.len() {
            let mut fewer = set.clone();
            fewer.remove(place);
            let tried = self.look(&fewer);
            if self.reaches(&tried) {
                set = fewer;
            } else {
                place += 1;
            }
        }
        Ok(set)
    }

    /// Whether every part freed still needs something opened first where it did.
    fn opened(&self, set: &[usize]) -> bool {
        if set.iter().filter(|&&i| self.changes[i].id.starts_with("order ")).count() < 2 {
            return true;
        }
        let after = self.case(set);
        let before = self.study.case.base.actions.iter();
        before
            .zip(&after.base.actions)
            .all(|(was, is)| was.frees.is_empty() || was.after.is_empty() || !is.after.is_empty())
    }
}
