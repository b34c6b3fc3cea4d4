//! The cheapest order of a fixed set of actions, by best-first search over (done, held).
//!
//! For one set of actions done, states differ only in what the next use of tools counts. So a
//! state is kept only while no other of the set counts less by as much as that can differ.

use std::collections::BTreeMap;

use super::bits::Ones;
use super::jobs::{Jobs, Start};
use super::laid_out::{JobTable, Progress, Rest, Words};

/// What is left of a limit, in states.
#[derive(Clone, Copy, Debug)]
pub(super) struct Budget {
    pub(super) left: u64,
}

impl Budget {
    /// Takes some states; false when there are none left.
    pub(super) fn take(&mut self, states: u64) -> bool {
        let enough = self.left >= states;
        self.left = self.left.saturating_sub(states);
        enough
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Found {
    /// The least count, and an order in local numbers that has it.
    Order(u32, Vec<usize>),
    /// Every order counts more than was asked for.
    None,
    /// Stopped; every order counts at least this.
    Stopped(u32),
}

const NONE: u32 = u32::MAX;
/// Words of states up to which every state is charged alike.
const NARROW: u64 = 128;
/// Words of memory one search may fill: 320 MB.
const MEMORY: usize = 40_000_000;

/// All states with one set of actions done.
struct Entry<const N: usize> {
    progress: Progress<N>,
    rest: Rest,
    /// First of its labels.
    first: u32,
}

struct Label {
    entry: u32,
    cost: u32,
    parent: u32,
    /// Next label of the same entry.
    next: u32,
    act: u32,
    held: u16,
    /// Another label of the entry stands for it; only what was reached from it still asks for it.
    stale: bool,
}

struct Space<'a, const N: usize> {
    table: JobTable<'a, N>,
    entries: Vec<Entry<N>>,
    labels: Vec<Label>,
    /// Open addressing over entries.
    slots: Vec<u32>,
    /// Labels still to be looked at, by the least count through them.
    open: BTreeMap<u32, Vec<u32>>,
    most: u32,
}

/// Finds the cheapest order that counts at most `most` in all, the start included.
pub(super) fn sequence(jobs: &Jobs<'_>, start: &Start, most: u32, budget: &mut Budget) -> Found {
    match jobs.all.0.len() {
        ..=1 => Space::<1>::new(jobs, most).run(start, budget),
        2 => Space::<2>::new(jobs, most).run(start, budget),
        3..=4 => Space::<4>::new(jobs, most).run(start, budget),
        5..=16 => Space::<16>::new(jobs, most).run(start, budget),
        // A net has at most 4096 nodes.
        _ => Space::<64>::new(jobs, most).run(start, budget),
    }
}

impl<'a, const N: usize> Space<'a, N> {
    fn new(jobs: &Jobs<'a>, most: u32) -> Self {
        Self {
            table: JobTable::new(jobs),
            entries: Vec::new(),
            labels: Vec::new(),
            slots: vec![NONE; 64],
            open: BTreeMap::new(),
            most,
        }
    }

    fn run(&mut self, start: &Start, budget: &mut Budget) -> Found {
        let closed = self.table.closed();
        for &(held, cost) in &start.held {
            self.push(closed, held, cost, NONE, NONE);
        }
        while let Some(mut lowest) = self.open.first_entry() {
            let level = *lowest.key();
            let Some(index) = lowest.get_mut().pop() else {
                lowest.remove();
                continue;
            };
            let label = &self.labels[index as usize];
            if label.stale {
                continue;
            }
            let (held, cost) = (label.held, label.cost);
            let known = &self.entries[label.entry as usize];
            let memory = self.labels.len() * 4 + self.entries.len() * (2 * N + 4);
            let progress = known.progress;
            // What follows costs by how much is ready, and how wide a state is.
            let ready: u32 = progress.ready.iter().map(|w| w.count_ones()).sum();
            let width = (u64::from(ready) * N as u64).saturating_sub(NARROW);
            if !budget.take(1 + width / 32) || memory > MEMORY {
                return Found::Stopped(level);
            }
            if progress.done == self.table.all {
                return Found::Order(cost, self.retrace(index));
            }
            for (word, ready) in progress.ready.iter().enumerate() {
                for at in Ones(*ready).map(|bit| word * 64 + bit) {
                    let act = u32::try_from(at).unwrap_or(NONE);
                    let mut after = progress;
                    self.table.perform(&mut after, at);
                    for entry in self.table.moves(at) {
                        let (held, more) = self.table.moved(held, *entry);
                        self.push(after, held, cost.saturating_add(more), index, act);
                    }
                }
            }
        }
        Found::None
    }

    /// Adds a state unless a known one is as good.
    fn push(&mut self, mut progress: Progress<N>, held: u16, cost: u32, parent: u32, act: u32) {
        self.table.settle(&mut progress, held, None);
        let mut slot = self.slot(&progress.done);
        let total = if let Some(known) = self.entries.get(self.slots[slot] as usize) {
            let mut at = known.first;
            while let Some(label) = self.labels.get(at as usize) {
                if label.cost.saturating_add(self.table.regret(label.held, held)) <= cost {
                    return;
                }
                at = label.next;
            }
            cost.saturating_add(self.table.bound(known.rest, &progress.done, held))
        } else {
            let rest = self.table.rest(&progress.done);
            let total = cost.saturating_add(self.table.bound(rest, &progress.done, held));
            if total <= self.most {
                if (self.entries.len() + 1) * 2 > self.slots.len() {
                    self.grow();
                    slot = self.slot(&progress.done);
                }
                self.slots[slot] = u32::try_from(self.entries.len()).unwrap_or(NONE);
                self.entries.push(Entry { progress, rest, first: NONE });
            }
            total
        };
        if total > self.most {
            return;
        }
        let entry = self.slots[slot];
        // The new state may stand for others.
        let mut next = NONE;
        let mut at = self.entries[entry as usize].first;
        while let Some(label) = self.labels.get_mut(at as usize) {
            let this = std::mem::replace(&mut at, label.next);
            if cost.saturating_add(self.table.regret(held, label.held)) <= label.cost {
                label.stale = true;
            } else {
                label.next = next;
                next = this;
            }
        }
        let index = u32::try_from(self.labels.len()).unwrap_or(NONE);
        self.labels.push(Label { entry, cost, parent, next, act, held, stale: false });
        self.entries[entry as usize].first = index;
        self.open.entry(total).or_default().push(index);
    }

    /// The place of a set of actions done: of its entry, or an empty one.
    fn slot(&self, done: &Words<N>) -> usize {
        let mut at = slot(done, self.slots.len());
        while let Some(entry) = self.entries.get(self.slots[at] as usize) {
            if entry.progress.done == *done {
                break;
            }
            at = (at + 1) & (self.slots.len() - 1);
        }
        at
    }

    fn grow(&mut self) {
        let length = self.slots.len() * 2;
        self.slots = vec![NONE; length];
        for (index, entry) in self.entries.iter().enumerate() {
            let mut at = slot(&entry.progress.done, length);
            while self.slots[at] != NONE {
                at = (at + 1) & (length - 1);
            }
            self.slots[at] = u32::try_from(index).unwrap_or(NONE);
        }
    }

    fn retrace(&self, goal: u32) -> Vec<usize> {
        let mut path = Vec::new();
        let mut at = goal;
        while let Some(label) = self.labels.get(at as usize) {
            path.push((label.act, label.held));
            at = label.parent;
        }
        let mut order = Vec::new();
        let mut progress = self.table.closed();
        for (act, held) in path.into_iter().rev() {
            if act != NONE {
                self.table.perform(&mut progress, act as usize);
                order.push(act as usize);
            }
            self.table.settle(&mut progress, held, Some(&mut order));
        }
        order
    }
}

/// A place in a table whose length is a power of two. Any fixed mixing would do; no result
/// depends on it. The upper bits of a product depend on every bit of its factors, so those are taken.
fn slot(words: &[u64], length: usize) -> usize {
    const ODD: u64 = 0x9E37_79B9_7F4A_7C15;
    let mut hash = 0_u64;
    for word in words {
        hash = (hash ^ word).wrapping_mul(ODD);
        hash ^= hash >> 32;
    }
    usize::try_from(hash.wrapping_mul(ODD) >> 32).unwrap_or(0) >> (32 - length.trailing_zeros()).min(31)
}
