//! A route found in a case close by: where no other could have more points here, nothing needs to be searched.

use super::{Candidate, Cell, Job, Profiles, asked, covers};
use crate::assess::Plan;
use crate::assess::kept::Solved;
use crate::assess::outcome::{PartRoute, Router};
use crate::exact::Exact;
use crate::method::RouteOrder;
use crate::route::{Certificate, Floor, Key, SearchAnswer, Target, Thing, along};

/// States a look at fewer steps may take.
const LOOK: u64 = 2_000;

/// A route to a part that no other beats in any reading, where one of those found elsewhere is one: it may not be the first
/// of those that tie, so this is for those who see only values. `None`: they have to be searched for.
pub(crate) fn again(plan: &Plan<'_>, router: &Router<'_>, thing: Thing, near: &Profiles) -> Option<Profiles> {
    let routes = &plan.method.routes;
    // A reading that names one route wants that one.
    let named =
        routes.order == RouteOrder::FewestSteps || routes.official_first && !router.device().official.is_empty();
    if named || near.found.iter().all(|known| known.route.taken.is_empty()) {
        return None;
    }
    let asked = asked(plan, router, thing);
    let readings = asked.iter().map(|a| (a.leaf, a.fill)).collect();
    let mut job = Job::new(plan, router, thing, asked);
    let candidate = job.again(near)?;
    Some(Profiles { readings, found: vec![candidate], most: None, least: None, states: job.states })
}

impl Job<'_, '_> {
    fn again(&mut self, near: &Profiles) -> Option<Candidate> {
        self.states = self.space.weight();
        let mut all = Cell::new(self.space.start(), Key::default());
        if !self.space.settle(&mut all.left) {
            return None;
        }
        let rest = self.space.filter(&all.left);
        let target = Target::All(vec![self.space.toward().target]);
        let floor = Floor::new(&rest.problem, &target)?;
        let mut ideal = self.ideal(&all.left);
        ideal.in_the_way = ideal.in_the_way.max(floor.parts);
        let known = near.found.iter().filter_map(|known| {
            let place = |(action, _): &(usize, Vec<usize>)| rest.origin.iter().position(|origin| origin == action);
            let order: Vec<usize> = known.route.taken.iter().map(place).collect::<Option<_>>()?;
            let (route, replayed) = along(&rest.problem, &target, &order, known.key.class)?;
            let answer = SearchAnswer::Route { route, certificate: Certificate::Proved, tie_proved: true };
            let solved = Solved { answer, ledger: replayed.ledger, states: 0 };
            let (route, key) = self.router.read(self.thing, &rest.origin, Some(&rest.ways), &solved);
            let points = self.points(&route);
            Some(Candidate { route, key, points })
        });
        let known: Vec<Candidate> = known.collect();
        known.into_iter().find(|known| self.unbeaten(known, &ideal, &floor))
    }

    /// Whether no route has more points than one known, given the least that any route has of all but steps.
    fn unbeaten(&mut self, known: &Candidate, ideal: &PartRoute, floor: &Floor) -> bool {
        let better = |steps: u32| {
            let steps = steps.saturating_add(self.router.authorisation(self.thing));
            let best: Vec<Exact> = self.points(&PartRoute { steps, at_least: steps, ..ideal.clone() });
            !covers(&known.points, &best)
        };
        // Fewer steps have no fewer points: the most with which there would be more. Where nobody wrote down how much work
        // something is, they are very many.
        let (mut more, mut no_more) = (floor.steps, known.key.steps);
        if better(no_more) {
            return false;
        }
        if more >= no_more || !better(more) {
            return true;
        }
        while no_more - more > 1 {
            let between = more + (no_more - more) / 2;
            if better(between) { more = between } else { no_more = between }
        }
        let (none, states) = floor.none_within(more, LOOK.min(self.left().states));
        self.states += states;
        none
    }
}
