//! A route found in a case close by: where no other could have more points here, nothing needs to be searched.

use std::cell::OnceCell;

use super::differs::{Behind, Differs};
use super::{Candidate, Cell, Job, Profiles, asked, covers};
use crate::assess::Plan;
use crate::assess::kept::Solved;
use crate::assess::outcome::{PartRoute, Router};
use crate::assess::restrict::Rest;
use crate::exact::Exact;
use crate::method::{Measure, RouteOrder};
use crate::route::{Certificate, Floor, Key, Memo, SearchAnswer, Target, along};

/// States a look at fewer steps may take.
const LOOK: u64 = 2_000;

/// A route to a part that no other beats in any reading, where one of those found elsewhere is one: it may not be the first
/// of those that tie, so this is for those who see only values. `None`: they have to be searched for.
pub(crate) fn again(
    plan: &Plan<'_>,
    router: &Router<'_>,
    near: &Profiles,
    behind: &Behind,
    differs: &Differs,
) -> Option<Profiles> {
    let routes = &plan.method.routes;
    // A reading that names one route wants that one.
    let named =
        routes.order == RouteOrder::FewestSteps || routes.official_first && !router.device().official.is_empty();
    if named || near.found.iter().all(|known| known.route.taken.is_empty()) {
        return None;
    }
    let asked = asked(plan, router, behind.thing);
    let readings: Vec<(usize, usize)> = asked.iter().map(|a| (a.leaf, a.fill)).collect();
    let caps = caps(near, &readings, asked.iter().map(|a| a.measure), differs);
    let mut job = Job::new(plan, router, behind.thing, asked, behind.toward(router, differs));
    let candidate = job.again(near, &caps)?;
    Some(Profiles { readings, found: vec![candidate], most: None, least: None, states: job.states })
}

/// By reading: what no route has more of, since none had in the case close by and nothing that is read there is other here.
fn caps<'m>(
    near: &Profiles,
    readings: &[(usize, usize)],
    measures: impl Iterator<Item = &'m Measure>,
    differs: &Differs,
) -> Vec<Option<Exact>> {
    let whole = near.most.is_none() && near.readings == readings;
    let most = |place: usize| near.found.iter().map(|known| &known.points[place]).max().cloned();
    measures
        .enumerate()
        .map(|(place, measure)| if whole && !differs.bears_on(measure) { most(place) } else { None })
        .collect()
}

/// What no route here goes beyond.
struct Beyond<'c> {
    rest: Rest,
    target: Target,
    /// The least that any route has of all but steps.
    ideal: PartRoute,
    caps: &'c [Option<Exact>],
    /// Worked out when steps first matter.
    floor: OnceCell<Option<Floor>>,
}

impl Job<'_, '_> {
    fn again(&mut self, near: &Profiles, caps: &[Option<Exact>]) -> Option<Candidate> {
        self.states = self.space.weight();
        let mut all = Cell::new(self.space.start(), Key::default());
        if !self.space.settle(&mut all.left) {
            return None;
        }
        let capped = |m: &Measure| self.asked.iter().zip(caps).any(|(a, cap)| a.measure == m && cap.is_some());
        let mut beyond = Beyond {
            rest: self.space.filter(&all.left),
            target: Target::All(vec![self.space.toward().target]),
            ideal: self.ideal(&all.left, |m| !capped(m)),
            caps,
            floor: OnceCell::new(),
        };
        let free = self.reads(&Measure::PartsInTheWay) && !capped(&Measure::PartsInTheWay);
        let known: Vec<Candidate> = near.found.iter().filter_map(|known| self.replayed(known, &beyond)).collect();
        if let Some(known) = known.iter().find(|known| self.unbeaten(known, &beyond)) {
            return Some(known.clone());
        }
        if !free {
            return None;
        }
        // Parts in the way are the loosest of what is known of every route.
        let parts = |memo: &mut Memo| Floor::parts(&beyond.rest.problem, &beyond.target, memo);
        let (parts, states) = self.router.remembering(parts);
        self.states += states;
        if parts <= beyond.ideal.in_the_way {
            return None;
        }
        beyond.ideal.in_the_way = parts;
        known.into_iter().find(|known| self.unbeaten(known, &beyond))
    }

    /// A route known, read here; `None`: it is none here.
    fn replayed(&self, known: &Candidate, beyond: &Beyond<'_>) -> Option<Candidate> {
        let Beyond { rest, target, .. } = beyond;
        let place = |(action, _): &(usize, Vec<usize>)| rest.origin.iter().position(|origin| origin == action);
        let order: Vec<usize> = known.route.taken.iter().map(place).collect::<Option<_>>()?;
        let (route, replayed) = along(&rest.problem, target, &order, known.key.class)?;
        let answer = SearchAnswer::Route { route, certificate: Certificate::Proved, tie_proved: true };
        let solved = Solved { answer, ledger: replayed.ledger, states: 0 };
        let (route, key) = self.router.read(self.thing, &rest.origin, Some(&rest.ways), &solved);
        let points = self.points(&route);
        Some(Candidate { route, key, points })
    }

    /// Whether no route has more points than one known.
    fn unbeaten(&mut self, known: &Candidate, beyond: &Beyond<'_>) -> bool {
        let better = |steps: u32| {
            let steps = steps.saturating_add(self.router.authorisation(self.thing));
            let best = self.points(&PartRoute { steps, at_least: steps, ..beyond.ideal.clone() });
            let best = best.into_iter().zip(beyond.caps).map(|(best, cap)| match cap {
                Some(cap) => best.min(cap.clone()),
                None => best,
            });
            !covers(&known.points, &best.collect::<Vec<_>>())
        };
        // Fewer steps have no fewer points.
        if better(known.key.steps) {
            return false;
        }
        if !better(0) {
            return true;
        }
        let floor = |memo: &mut Memo| Floor::new(&beyond.rest.problem, &beyond.target, memo);
        let Some(floor) = beyond.floor.get_or_init(|| self.router.remembering(floor)) else { return false };
        // The most with which there would be more. Where nobody wrote down how much work something is, they are very many.
        let (mut more, mut no_more) = (floor.steps, known.key.steps);
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
