//! The maker's own route as a way to a part.

use super::{Candidate, Cell, Job};
use crate::assess::kept::Solved;
use crate::route::{Certificate, Key, Route, RouteProblem, SearchAnswer, Taken, Target, performed, replay};

/// Choices among the alternatives of the maker's own route that are gone through; past them it is bounded.
const OFFICIAL: usize = 4_096;

impl Job<'_, '_> {
    /// The maker's own route, where the record gives one that reaches the part.
    pub(super) fn official(&mut self, by_steps: bool) -> bool {
        let posed = self.router.posed();
        let place = |action: &usize| posed.origin.iter().position(|o| o == action);
        let order: Vec<usize> = self.router.device().official.iter().filter_map(place).collect();
        let target = Target::All(vec![self.thing]);
        let Ok(done) = performed(&posed.problem, &target, &order) else { return false };
        if !done.reached || !done.unmet.is_empty() {
            return false;
        }
        // `A or B` within an action are ways like any other: the order is the maker's, which of them is used is not.
        let all = alternatives(&posed.problem, &done.taken, OFFICIAL);
        let whole = all.is_some();
        let mut best: Option<Candidate> = None;
        for taken in all.unwrap_or_else(|| vec![done.taken]) {
            let Ok(replayed) = replay(&posed.problem, Some(&target), &taken) else { continue };
            let key = replayed.key;
            let answer =
                SearchAnswer::Route { route: Route { taken, key }, certificate: Certificate::Proved, tie_proved: true };
            let solved = Solved { answer, ledger: replayed.ledger, states: 0 };
            let (route, key) = self.router.read(self.thing, &posed.origin, None, &solved);
            let points = self.points(&route);
            let one = Candidate { route, key, points };
            if !by_steps {
                self.found.push(one);
            } else if best.as_ref().is_none_or(|b| one.key < b.key) {
                best = Some(one);
            }
        }
        self.found.extend(best);
        if !whole {
            let all = Cell::new(self.space.start(), Key::default());
            match self.found.first().filter(|_| by_steps).map(|known| known.points.clone()) {
                Some(known) => self.unnamed(&all, 0, &known),
                None => self.bound(&all, 0),
            }
        }
        !self.found.is_empty()
    }
}

/// An order of actions with every choice of ways, the earliest written first; `None`: more than so many.
fn alternatives(problem: &RouteProblem, order: &[Taken], most: usize) -> Option<Vec<Vec<Taken>>> {
    let mut out: Vec<Vec<Taken>> = vec![Vec::new()];
    for Taken { action, .. } in order {
        let mut each: Vec<Vec<usize>> = vec![Vec::new()];
        for operation in &problem.actions[*action].operations {
            let ways = 0..operation.ways.len();
            each = each.iter().flat_map(|w| ways.clone().map(|i| [&w[..], &[i]].concat())).collect();
            if each.len().saturating_mul(out.len()) > most {
                return None;
            }
        }
        let one = |ways: &Vec<usize>| Taken { action: *action, ways: ways.clone() };
        out = out.iter().flat_map(|o| each.iter().map(|w| [&o[..], &[one(w)]].concat())).collect();
    }
    Some(out)
}
