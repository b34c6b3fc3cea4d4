//! The fewest questions that leave one value to be shown, whatever the answers.
//!
//! Seen from the other side: the largest set of questions that may stay open because, for every set of answers to the
//! rest, they can't move what is shown. Such sets are closed under taking questions away, so a question that may not
//! stay open alone may not stay open in company.

use std::collections::{BTreeMap, BTreeSet};

use crate::exact::Exact;
use crate::range::study::Study;

/// Up to so many open questions the set is the smallest there is, if the work allowed suffices.
pub const EXACT_TO: usize = 12;
/// Ranges worked out in all.
const TRIES: u32 = 1_500;
/// Ranges worked out for one set of questions.
const EACH: u32 = 300;
/// Sets of answers looked at here and there before looking in order: what shows at all mostly shows soon.
const GLANCES: u32 = 24;

/// Questions that settle what is shown.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
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
    let mut job = Job { study, shown, order, left: TRIES, each: 0, undecided: false, known: BTreeMap::new() };
    let open: BTreeSet<usize> = order.iter().copied().collect();
    let (found, smallest) = if open.len() <= EXACT_TO { job.exact(&open) } else { (job.greedy(order), false) };
    let smallest = smallest && !job.undecided || found.is_empty();
    let paths = found.iter().map(|&u| study.case.unknowns[u].path.clone()).collect();
    Settling { unknowns: found.into_iter().collect(), paths, smallest }
}

struct Job<'a, 'm> {
    study: &'a Study<'m>,
    shown: &'a dyn Fn(&Exact) -> String,
    /// Open questions, the most useful first.
    order: &'a [usize],
    /// Ranges that may still be worked out, in all and for the set at hand.
    left: u32,
    each: u32,
    undecided: bool,
    known: BTreeMap<BTreeSet<usize>, bool>,
}

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

    /// `None`: not decided within the work allowed.
    fn decide(&mut self, rest: &BTreeSet<usize>) -> Option<bool> {
        let asked: Vec<usize> = self.order.iter().copied().filter(|u| !rest.contains(u)).collect();
        self.each = EACH.min(self.left);
        if self.glance(&asked)? {
            return Some(false);
        }
        self.search(&asked, &mut Vec::new())
    }

    /// Whether one value is shown; `None`: a bound shows several, which says nothing, or the work is used up.
    fn shows_one(&mut self, given: &[(usize, usize)]) -> Option<Shows> {
        if self.each == 0 {
            return None;
        }
        self.each -= 1;
        self.left -= 1;
        let range = self.study.range_given(given);
        Some(match (&range.low, &range.high) {
            (Some(low), Some(high)) if low == high || (self.shown)(low) == (self.shown)(high) => Shows::One,
            (None, None) => Shows::One,
            _ if range.exact => Shows::Several,
            _ => Shows::Perhaps,
        })
    }

    /// Looks at sets of answers spread evenly by a fixed rule; true when one leaves more than one value.
    fn glance(&mut self, asked: &[usize]) -> Option<bool> {
        let sizes: Vec<usize> = asked.iter().map(|&u| self.study.case.unknowns[u].answers.len()).collect();
        let ways = sizes.iter().fold(1_u64, |n, &s| n.saturating_mul(s as u64));
        let mut state = 0_u64;
        for look in 0..ways.min(u64::from(GLANCES)) {
            let mut given = Vec::with_capacity(asked.len());
            for (&u, &size) in asked.iter().zip(&sizes) {
                // Knuth's multiplicative step; the high bits pick the answers.
                state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(2 * look + 1);
                given.push((u, usize::try_from((state >> 33) % size as u64).unwrap_or(0)));
            }
            if self.shows_one(&given)? == Shows::Several {
                return Some(true);
            }
        }
        Some(false)
    }

    /// Whether every set of answers shows one value; a branch in which even all that is open together shows one is cut off.
    fn search(&mut self, asked: &[usize], given: &mut Vec<(usize, usize)>) -> Option<bool> {
        let shows = self.shows_one(given)?;
        if shows == Shows::One {
            return Some(true);
        }
        let Some((&u, later)) = asked.split_first() else {
            return if shows == Shows::Several { Some(false) } else { None };
        };
        for answer in 0..self.study.case.unknowns[u].answers.len() {
            given.push((u, answer));
            let found = self.search(later, given);
            given.pop();
            if found != Some(true) {
                return found;
            }
        }
        Some(true)
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Shows {
    One,
    Several,
    Perhaps,
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
