//! A record and a method prepared once, so that many "what if" questions can be asked of them.

use std::collections::BTreeMap;

use super::assessment::{class_of, show};
use super::case::Case;
use super::optimise::{End, Optimiser};
use super::tables::{Effort, Tables};
use crate::assess::Plan;
use crate::exact::Exact;
use crate::method::Method;
use crate::record::Record;

/// Lowest and highest value over some completions.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Range {
    /// Lowest; `None`: left out in every completion.
    pub low: Option<Exact>,
    /// Highest.
    pub high: Option<Exact>,
    /// Both ends are attained; false marks outer bounds.
    pub exact: bool,
}

impl Range {
    /// `high - low`; nought where nothing is left to score.
    pub fn width(&self) -> Exact {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => high - low,
            _ => Exact::zero(),
        }
    }

    /// Both ends as the method shows them; empty where nothing is left to score.
    pub fn shown(&self, method: &Method) -> [String; 2] {
        [&self.low, &self.high].map(|v| v.as_ref().map_or_else(String::new, |v| show(method, v)))
    }

    /// Class at both ends, where the method has classes.
    pub fn classes(&self, method: &Method) -> Option<[String; 2]> {
        Some([class_of(method, self.low.as_ref()?)?, class_of(method, self.high.as_ref()?)?])
    }
}

/// A record prepared for a method, with every leaf read under every answer it depends on.
#[derive(Clone, Debug)]
pub struct Study<'m> {
    /// The record as one complete record plus its unknowns.
    pub case: Case,
    /// The method unfolded for it.
    pub plan: Plan<'m>,
    /// What every leaf comes to.
    pub tables: Tables,
    /// Work allowed.
    pub effort: Effort,
}

impl<'m> Study<'m> {
    /// Prepares a record. The method is taken as given: [`Method::for_device`] comes before.
    pub fn new(record: &Record, method: &'m Method, effort: Effort) -> Self {
        Self::of(Case::new(record, method), method, effort)
    }

    /// Prepares a case.
    pub fn of(case: Case, method: &'m Method, effort: Effort) -> Self {
        let plan = Plan::new(method, &case.base, &case.own_roles);
        let tables = Tables::new(&plan, &case, effort);
        Self { case, plan, tables, effort }
    }

    /// The same method, another case that differs by a few edits: one of `many` that are looked at. Beyond what this study
    /// took they share its pool of states, so that looking at all of them takes no longer than a few assessments.
    pub fn with_case(&self, case: Case, many: usize) -> Self {
        let plan = Plan::new(self.method(), &case.base, &case.own_roles);
        let (pool, took) = (self.effort.pool, self.tables.states());
        let alike = if took < pool / 4 { 2 * took } else { 0 };
        let share = alike + pool / (many.max(1) as u64);
        let effort = Effort { pool: share.min(pool), ..self.effort };
        let tables = Tables::near(&plan, &case, effort, (&self.case, &self.tables));
        Self { case, plan, tables, effort: self.effort }
    }

    /// The same method, another case close to this one: routes the difference can't touch are taken over. Nothing else is
    /// shared, so that the ranges are those of the case alone.
    pub fn beside(&self, case: Case) -> Self {
        let plan = Plan::new(self.method(), &case.base, &case.own_roles);
        let tables = Tables::near(&plan, &case, self.effort, (&self.case, &self.tables));
        Self { case, plan, tables, effort: self.effort }
    }

    /// Whether some leaf may be left out in some completion and not in others.
    pub fn may_leave_out(&self) -> bool {
        let open = |s: &super::tables::Signature| s.points.contains(&None);
        self.tables.components.iter().any(|c| c.signatures.iter().any(open))
    }

    /// The method.
    pub fn method(&self) -> &'m Method {
        self.plan.method
    }

    /// Range of a node of the plan; 0 is the verdict.
    pub fn range(&self, node: usize) -> Range {
        range_in(&self.plan, &self.tables, node)
    }

    /// Range of the verdict once some questions are answered: unknown and answer, by index.
    ///
    /// Outcomes that don't go with the answers are taken out. Where a group of unknowns had too many completions to be
    /// gone through, the case is prepared anew: fewer unknowns may fit.
    pub fn range_given(&self, given: &[(usize, usize)]) -> Range {
        let bounded = |u: usize| self.tables.components.iter().any(|c| !c.exact && c.unknowns.contains(&u));
        if given.iter().any(|(u, _)| bounded(*u)) {
            let mut order = given.to_vec();
            order.sort_unstable();
            let case = order.iter().rev().fold(self.case.clone(), |case, (u, a)| case.fix(*u, *a));
            let many = self.case.unknowns.iter().map(|u| u.answers.len()).sum();
            return self.with_case(case, many).range(0);
        }
        let mut tables = self.tables.clone();
        for component in &mut tables.components {
            let fixed: Vec<(usize, usize)> = given
                .iter()
                .filter_map(|(u, a)| component.unknowns.iter().position(|x| x == u).map(|p| (p, *a)))
                .collect();
            if fixed.is_empty() {
                continue;
            }
            let turns = self.turns(&component.unknowns);
            let mut keep = vec![false; component.signatures.len()];
            for (place, &outcome) in component.outcomes.iter().enumerate() {
                if fixed.iter().all(|(p, a)| answer_at(place, turns[*p]) == *a) {
                    keep[outcome as usize] = true;
                }
            }
            let mut kept = keep.iter();
            component.signatures.retain(|_| *kept.next().unwrap_or(&false));
        }
        range_in(&self.plan, &tables, 0)
    }

    /// Per unknown: how many completions pass before its answer changes, and how many answers it has.
    pub(super) fn turns(&self, unknowns: &[usize]) -> Vec<(usize, usize)> {
        let mut out = vec![(1, 1); unknowns.len()];
        let mut stride = 1;
        for (place, &u) in unknowns.iter().enumerate().rev() {
            let answers = self.case.unknowns[u].answers.len();
            out[place] = (stride, answers);
            stride *= answers;
        }
        out
    }

    /// Unknowns some leaf reads, in record order.
    pub fn open(&self) -> Vec<usize> {
        (0..self.case.unknowns.len()).filter(|&u| self.tables.matters[u]).collect()
    }

    /// Lowest and highest points of every leaf, by plan node.
    pub fn leaf_ends(&self) -> BTreeMap<usize, [Option<Exact>; 2]> {
        let mut out: BTreeMap<usize, [Option<Exact>; 2]> =
            self.tables.settled.iter().map(|(l, v)| (*l, [v.clone(), v.clone()])).collect();
        for component in &self.tables.components {
            for (place, &leaf) in component.leaves.iter().enumerate() {
                let points = || component.signatures.iter().filter_map(|s| s.points[place].clone());
                out.insert(leaf, [points().min(), points().max()]);
            }
        }
        out
    }
}

/// Which answer an unknown has in a completion, by its turns.
pub(super) fn answer_at(completion: usize, (stride, answers): (usize, usize)) -> usize {
    completion / stride % answers
}

/// Range of a node under tables that may have been narrowed.
pub(super) fn range_in(plan: &Plan<'_>, tables: &Tables, node: usize) -> Range {
    let optimiser = Optimiser::new(plan, tables);
    let [low, high] = [End::Low, End::High].map(|end| optimiser.end(node, end));
    Range { exact: low.exact && high.exact, low: low.value, high: high.value }
}
