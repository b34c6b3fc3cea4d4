//! Routes of identical problems are solved once: between two methods with one step rule, between records of one design.
//!
//! A route depends on nothing but the problem, the part and the limits, so what is remembered never changes a result.
//! Each thread remembers for itself, and forgets everything when full.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::problem::Posed;
use crate::record::complete::Complete;
use crate::route::{self, Answer, Limits, Memo, Problem, Step, Target, Thing};

/// Problems remembered per thread: about 12 MB at the size of the largest sample.
const REMEMBERED: usize = 256;

/// An answer and the ledger of its route, both in the numbers of the problem.
#[derive(Clone, Debug)]
pub(super) struct Solved {
    /// What was found.
    pub(super) answer: Answer,
    /// Line per operation; empty where there is no route.
    pub(super) ledger: Vec<Step>,
    /// States it took; charged each time it is asked for, so that what was asked before changes nothing.
    pub(super) states: u64,
}

/// What is known of one problem: its answers by part and limit.
#[derive(Clone, Debug)]
pub(super) struct Known(Rc<RefCell<HashMap<(Thing, u64), Rc<Solved>>>>);

/// Words kept between records for routes that unknowns bear on: 8 MB a thread.
const WORDS: usize = 1_000_000;

thread_local! {
    static PROBLEMS: RefCell<HashMap<Problem, Known>> = RefCell::new(HashMap::new());
    static MEMO: RefCell<Memo> = RefCell::new(Memo::with_words(WORDS));
}

/// Work on routes of many completions, of this record and of those before it.
pub(crate) fn remembering<T>(work: impl FnOnce(&mut Memo) -> T) -> T {
    MEMO.with_borrow_mut(work)
}

impl Known {
    /// What earlier questions found out about a problem.
    pub(super) fn of(problem: &Problem) -> Self {
        PROBLEMS.with_borrow_mut(|problems| {
            if let Some(known) = problems.get(problem) {
                return known.clone();
            }
            if problems.len() >= REMEMBERED {
                // What is in use stays with its users.
                problems.clear();
            }
            let known = Self(Rc::default());
            problems.insert(problem.clone(), known.clone());
            known
        })
    }

    /// The reference route to a part. How ties are broken for it follows from the problem: see [`Posed::aim`].
    pub(super) fn reference(&self, posed: &Posed, device: &Complete, thing: Thing, limits: Limits) -> Rc<Solved> {
        let key = (thing, limits.states);
        if let Some(solved) = self.0.borrow().get(&key) {
            return Rc::clone(solved);
        }
        let problem = posed.aim(device, thing);
        let (answer, states) = route::reference_charged(&problem, &Target::All(vec![thing]), limits);
        let ledger = answer.route().and_then(|found| route::replay(&problem, None, &found.taken).ok());
        let solved = Rc::new(Solved { answer, ledger: ledger.map(|r| r.ledger).unwrap_or_default(), states });
        self.0.borrow_mut().insert(key, Rc::clone(&solved));
        solved
    }
}
