//! The cheapest order of a fixed set of actions, by best-first search over (done, held).
//!
//! For one set of actions done, a state is worth at most one step more than any other, because
//! they differ only in the next use of tools. So only the cheapest states of a set are kept, and
//! of these one in which the next tools come free stands for all.

use super::bits::Ones;
use super::jobs::{Jobs, Start, moved};
use super::net::FREE;

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
/// Words of memory one search may fill: 320 MB.
const MEMORY: usize = 40_000_000;

/// All states with one set of actions done.
struct Entry {
    cost: u32,
    first: u32,
    free: bool,
}

struct Label {
    entry: u32,
    cost: u32,
    parent: u32,
    /// Next label of the same entry.
    next: u32,
    act: u32,
    held: u16,
}

struct Space<'a> {
    jobs: &'a Jobs<'a>,
    bits: Vec<u64>,
    entries: Vec<Entry>,
    labels: Vec<Label>,
    /// Open addressing over entries.
    slots: Vec<u32>,
    buckets: Vec<Vec<u32>>,
    most: u32,
}

/// Finds the cheapest order that counts at most `most` in all, the start included.
pub(super) fn sequence(jobs: &Jobs<'_>, start: &Start, most: u32, budget: &mut Budget) -> Found {
    let mut space = Space {
        jobs,
        bits: Vec::new(),
        entries: Vec::new(),
        labels: Vec::new(),
        slots: vec![NONE; 64],
        buckets: Vec::new(),
        most,
    };
    for &(held, cost) in &start.held {
        let mut done = vec![0; jobs.words];
        space.push(&mut done, held, cost, NONE, NONE);
    }
    space.run(budget)
}

impl Space<'_> {
    fn run(&mut self, budget: &mut Budget) -> Found {
        let width = self.jobs.words;
        let mut level = 0;
        let mut done = vec![0; width];
        let mut next = vec![0; width];
        loop {
            while level < self.buckets.len() && self.buckets[level].is_empty() {
                level += 1;
            }
            let Some(index) = self.buckets.get_mut(level).and_then(Vec::pop) else {
                return Found::None;
            };
            let label = &self.labels[index as usize];
            let (held, cost, entry) = (label.held, label.cost, label.entry as usize);
            let known = &self.entries[entry];
            if known.cost < cost || (known.free && held != FREE) {
                continue;
            }
            let memory = self.labels.len() * 4 + self.entries.len() * (width + 4);
            if !budget.take(1) || memory > MEMORY {
                return Found::Stopped(u32::try_from(level).unwrap_or(NONE));
            }
            done.copy_from_slice(&self.bits[entry * width..(entry + 1) * width]);
            if done == self.jobs.all.0 {
                return Found::Order(cost, self.retrace(index));
            }
            for word in 0..width {
                for bit in Ones(self.jobs.all.0[word] & !done[word]) {
                    let at = word * 64 + bit;
                    if !self.jobs.ready(at, &done) {
                        continue;
                    }
                    for entry in self.jobs.moves(at) {
                        let (after, more) = moved(self.jobs.net, held, *entry, self.jobs.ends(at));
                        next.copy_from_slice(&done);
                        next[word] |= 1 << bit;
                        let act = u32::try_from(at).unwrap_or(NONE);
                        let found = self.push(&mut next, after, cost + more, index, act);
                        // Cheaper than the level only if the bound dropped on the way.
                        level = level.min(found.unwrap_or(level));
                    }
                }
            }
        }
    }

    /// Adds a state unless a known one is as good; gives its level.
    fn push(
        &mut self,
        done: &mut [u64],
        held: u16,
        cost: u32,
        parent: u32,
        act: u32,
    ) -> Option<usize> {
        self.jobs.settle(done, held, None);
        let total = cost + self.jobs.bound(done, held);
        if total > self.most {
            return None;
        }
        let entry = self.entry(done);
        let known = &mut self.entries[entry as usize];
        if known.cost < cost || (known.cost == cost && known.free) {
            return None;
        }
        if known.cost > cost {
            known.cost = cost;
            known.first = NONE;
        } else if held != FREE {
            let mut at = known.first;
            while let Some(label) = self.labels.get(at as usize) {
                if self.jobs.net.subset[usize::from(held)][usize::from(label.held)] {
                    return None;
                }
                at = label.next;
            }
        }
        let index = u32::try_from(self.labels.len()).unwrap_or(NONE);
        let known = &mut self.entries[entry as usize];
        known.free = held == FREE;
        self.labels.push(Label {
            entry,
            cost,
            parent,
            next: known.first,
            act,
            held,
        });
        known.first = index;
        let level = total as usize;
        if self.buckets.len() <= level {
            self.buckets.resize_with(level + 1, Vec::new);
        }
        self.buckets[level].push(index);
        Some(level)
    }

    /// The entry of a set of actions done, made if it is new.
    fn entry(&mut self, done: &[u64]) -> u32 {
        if (self.entries.len() + 1) * 2 > self.slots.len() {
            let mut slots = vec![NONE; self.slots.len() * 2];
            for entry in 0..self.entries.len() {
                let width = self.jobs.words;
                let mut at = slot(&self.bits[entry * width..(entry + 1) * width], slots.len());
                while slots[at] != NONE {
                    at = (at + 1) % slots.len();
                }
                slots[at] = u32::try_from(entry).unwrap_or(NONE);
            }
            self.slots = slots;
        }
        let width = self.jobs.words;
        let mut at = slot(done, self.slots.len());
        while self.slots[at] != NONE {
            let entry = self.slots[at] as usize;
            if self.bits[entry * width..(entry + 1) * width] == *done {
                return self.slots[at];
            }
            at = (at + 1) % self.slots.len();
        }
        let entry = u32::try_from(self.entries.len()).unwrap_or(NONE);
        self.slots[at] = entry;
        self.bits.extend_from_slice(done);
        self.entries.push(Entry {
            cost: u32::MAX,
            first: NONE,
            free: false,
        });
        entry
    }

    fn retrace(&self, goal: u32) -> Vec<usize> {
        let mut path = Vec::new();
        let mut at = goal;
        while let Some(label) = self.labels.get(at as usize) {
            path.push((label.act, label.held));
            at = label.parent;
        }
        let mut order = Vec::with_capacity(self.jobs.acts.len());
        let mut done = vec![0; self.jobs.words];
        for (act, held) in path.into_iter().rev() {
            if act != NONE {
                let at = act as usize;
                done[at / 64] |= 1 << (at % 64);
                order.push(at);
            }
            self.jobs.settle(&mut done, held, Some(&mut order));
        }
        order
    }
}

/// A place in a table whose length is a power of two. Any fixed mixing would do; no result
/// depends on it.
fn slot(words: &[u64], length: usize) -> usize {
    let mut hash = 0_u64;
    for word in words {
        hash = (hash ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        hash ^= hash >> 29;
    }
    usize::try_from(hash >> 3).unwrap_or(0) & (length - 1)
}
