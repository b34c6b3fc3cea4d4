//! What was worked out is kept: between completions of one record, two methods with one step rule, a record and its
//! changes.
//!
//! A route depends on nothing but the problem, the part and the limit, and what is read on it on the criteria beside these,
//! so what is kept never changes a result. Whoever starts the work owns the handle; there is no hidden state.

use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, PoisonError};

use super::plan::{Plan, Slot};
use super::profiles::Shared;
use crate::hashed::Hashed;
use crate::method::{Criterion, Routes, StepRule};
use crate::route::{self, Certificate, Limits, Memo, RouteProblem, SearchAnswer, Step, Target, Thing, Ties};

/// Actions of all problems kept together: about 60 MB.
const ACTIONS: usize = 200_000;
/// Methods whose routes are kept at a time: every reading of a method is one.
const METHODS: usize = 24;
/// States a search may set aside beyond those it took: with so many left over a search goes the same way under every limit.
const SLACK: u64 = 4_000;

/// Whether work that was finished within `took` states is the same under a limit.
pub(super) fn same_under(took: u64, limit: u64) -> bool {
    took.saturating_add(SLACK) <= limit
}

/// Work done so far, counted: the same on every machine with one thread.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Work {
    /// Routes asked for.
    pub asked: u64,
    /// Searches made for them; the others were known.
    pub searches: u64,
    /// States these searches took.
    pub states: u64,
    /// Looks at completions, or at many at once.
    pub looks: u64,
}

/// Routes found so far. A copy shares them.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    inner: Arc<Inner>,
    /// Nobody sees the routes, only what is read on them: of routes that tie, any does.
    unseen: bool,
}

#[derive(Debug, Default)]
struct Inner {
    store: Mutex<Store>,
    by_method: Mutex<Vec<ByMethod>>,
    work: [AtomicU64; 4],
}

#[derive(Debug, Default)]
struct Store {
    /// The limit, whether of those that tie it is the first in record order, and what was found.
    solved: Hashed<Asked, Vec<(u64, bool, Arc<Solved>)>>,
    actions: usize,
    /// One for each thread that searches: whoever searches takes one out.
    memos: Vec<Memo>,
}

/// Everything of a method that what is read on routes depends on.
#[derive(Debug)]
struct ByMethod {
    root: Criterion,
    steps: StepRule,
    routes: Routes,
    slots: Vec<Slot>,
    shared: Shared,
}

#[derive(Debug, PartialEq, Eq, Hash)]
struct Asked {
    problem: RouteProblem,
    target: Thing,
}

/// An answer and the ledger of its route, both in the numbers of the problem.
#[derive(Debug)]
pub(super) struct Solved {
    /// What was found.
    pub(super) answer: SearchAnswer,
    /// Line per operation; empty where there is no route.
    pub(super) ledger: Vec<Step>,
    /// States it took; charged each time it is asked for, so that what was asked before changes nothing.
    pub(super) states: u64,
}

impl Solved {
    /// Whether the search gives this answer under another limit too.
    fn holds_under(&self, limit: u64) -> bool {
        let finished = match &self.answer {
            SearchAnswer::Unreachable => true,
            SearchAnswer::Route { certificate, tie_proved, .. } => *certificate == Certificate::Proved && *tie_proved,
            SearchAnswer::Undecided { .. } => false,
        };
        finished && same_under(self.states, limit)
    }
}

impl Kept {
    /// What is kept, for somebody who shows no routes: record order, on which no value depends, takes half the work.
    #[must_use]
    pub(crate) fn unseen(&self) -> Self {
        Self { unseen: true, ..self.clone() }
    }

    /// Whether routes that are the first in record order, or not, do here.
    pub(super) fn takes(&self, ordered: bool) -> bool {
        ordered || self.unseen
    }

    /// Work done so far.
    pub fn work(&self) -> Work {
        let [asked, searches, states, looks] = self.inner.work.each_ref().map(|n| n.load(Ordering::Relaxed));
        Work { asked, searches, states, looks }
    }

    fn count(&self, what: usize, more: u64) {
        self.inner.work[what].fetch_add(more, Ordering::Relaxed);
    }

    /// Notes a look at a completion, or at many at once.
    pub(crate) fn looked(&self) {
        self.count(3, 1);
    }

    /// Routes read for the criteria of a plan.
    pub(crate) fn shared(&self, plan: &Plan<'_>) -> Shared {
        let method = plan.method;
        let mut list = self.inner.by_method.lock().unwrap_or_else(PoisonError::into_inner);
        let same = |m: &&ByMethod| {
            m.steps == method.steps && m.routes == method.routes && m.slots == plan.slots && m.root == method.root
        };
        if let Some(found) = list.iter().find(same) {
            return found.shared.clone();
        }
        if list.len() >= METHODS {
            list.clear();
        }
        let shared = Shared::default();
        list.push(ByMethod {
            root: method.root.clone(),
            steps: method.steps.clone(),
            routes: method.routes.clone(),
            slots: plan.slots.clone(),
            shared: shared.clone(),
        });
        shared
    }

    /// Work with what searches share.
    pub(super) fn remembering<T>(&self, work: impl FnOnce(&mut Memo) -> T) -> T {
        let lock = || self.inner.store.lock().unwrap_or_else(PoisonError::into_inner);
        let mut memo = lock().memos.pop().unwrap_or_default();
        let done = work(&mut memo);
        lock().memos.push(memo);
        done
    }

    /// The shortest route to a thing.
    pub(super) fn shortest(&self, problem: RouteProblem, target: Thing, limits: Limits) -> Arc<Solved> {
        self.count(0, 1);
        let asked = Asked { problem, target };
        let lock = || self.inner.store.lock().unwrap_or_else(PoisonError::into_inner);
        let fits = |(limit, ordered, solved): &&(u64, bool, Arc<Solved>)| {
            self.takes(*ordered) && (*limit == limits.states || solved.holds_under(limits.states))
        };
        if let Some((_, _, solved)) = lock().solved.get(&asked).and_then(|list| list.iter().find(fits)) {
            return Arc::clone(solved);
        }
        let ties = if self.unseen { Ties::Any } else { Ties::RecordOrder };
        let target = Target::All(vec![target]);
        let found = self.remembering(|memo| route::reference_remembered(&asked.problem, &target, limits, ties, memo));
        self.count(1, 1);
        self.count(2, found.states + found.ordering);
        let ledger = found.answer.route().and_then(|route| route::replay(&asked.problem, None, &route.taken).ok());
        let solved = Arc::new(Solved {
            answer: found.answer,
            ledger: ledger.map(|r| r.ledger).unwrap_or_default(),
            states: found.states,
        });
        let mut store = lock();
        if store.actions > ACTIONS {
            store.solved.clear();
            store.actions = 0;
        }
        store.actions += 1 + asked.problem.actions.len();
        let kept = Arc::clone(&solved);
        // One that stopped at another limit is of no use any more, but for those who have that limit.
        store.solved.entry(asked).or_default().push((limits.states, !self.unseen, kept));
        solved
    }
}
