//! Routes of identical problems are solved once: between completions of one record, two methods with one step rule,
//! a record and its changes.
//!
//! A route depends on nothing but the problem, the part and the limit, so what is kept never changes a result. Whoever
//! starts the work owns the handle; there is no hidden state.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::route::{self, Answer, Limits, Problem, Step, Target, Thing};

/// Actions of all problems kept together: about 60 MB.
const ACTIONS: usize = 200_000;

/// Routes found so far. A copy shares them.
#[derive(Clone, Debug, Default)]
pub struct Kept(Arc<Mutex<Store>>);

#[derive(Debug, Default)]
struct Store {
    solved: HashMap<Asked, Arc<Solved>>,
    actions: usize,
}

#[derive(Debug, PartialEq, Eq, Hash)]
struct Asked {
    problem: Problem,
    target: Thing,
    states: u64,
}

/// An answer and the ledger of its route, both in the numbers of the problem.
#[derive(Debug)]
pub(super) struct Solved {
    /// What was found.
    pub(super) answer: Answer,
    /// Line per operation; empty where there is no route.
    pub(super) ledger: Vec<Step>,
    /// States it took; charged each time it is asked for, so that what was asked before changes nothing.
    pub(super) states: u64,
}

impl Kept {
    /// The shortest route to a thing.
    pub(super) fn shortest(&self, problem: Problem, target: Thing, limits: Limits) -> Arc<Solved> {
        let asked = Asked { problem, target, states: limits.states };
        if let Some(solved) = self.0.lock().unwrap_or_else(PoisonError::into_inner).solved.get(&asked) {
            return Arc::clone(solved);
        }
        let (answer, states) = route::reference_charged(&asked.problem, &Target::All(vec![target]), limits);
        let ledger = answer.route().and_then(|found| route::replay(&asked.problem, None, &found.taken).ok());
        let solved = Arc::new(Solved { answer, ledger: ledger.map(|r| r.ledger).unwrap_or_default(), states });
        let mut store = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if store.actions > ACTIONS {
            *store = Store::default();
        }
        store.actions += 1 + asked.problem.actions.len();
        store.solved.insert(asked, Arc::clone(&solved));
        solved
    }
}
