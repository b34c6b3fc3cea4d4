//! What all the routes of one assessment may cost together.

use std::cell::Cell;

use crate::route::Limits;

/// States shared by many searches, so that no record, whatever stands in it, can hold a machine for long. Counted in
/// work and not in time: every machine stops at the same place.
#[derive(Debug)]
pub struct Pool {
    left: Cell<u64>,
}

impl Pool {
    /// A pool of so many states.
    pub fn new(states: u64) -> Self {
        Self { left: Cell::new(states) }
    }

    /// States left.
    pub fn left(&self) -> u64 {
        self.left.get()
    }

    /// Nothing is left.
    pub fn dry(&self) -> bool {
        self.left() == 0
    }

    /// What one search may take.
    pub(super) fn limits(&self, most: Limits) -> Limits {
        Limits { states: most.states.min(self.left.get()) }
    }

    /// Takes what a search took.
    pub fn take(&self, states: u64) {
        self.left.set(self.left.get().saturating_sub(states));
    }

    /// What posing and compiling a problem of so many actions costs, in states: each action is copied, and what each
    /// needs is noted as a set of all others.
    pub(super) fn posing(actions: usize) -> u64 {
        let actions = actions as u64;
        1 + actions / 8 + actions * actions / 256
    }
}
